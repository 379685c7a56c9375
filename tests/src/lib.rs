//! Acceptance checks live in `tests/`; this library is empty.
