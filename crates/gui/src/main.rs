//! Starts Barwright.

use std::process::ExitCode;

fn main() -> ExitCode {
    barwright::cli::main()
}
