//! Enums whose variants stand in a list.

/// Defines an enum of bare variants with `ALL`, the list of them in their order. Written once, so a new variant is
/// in the list too.
macro_rules! listed {
    (
        $(#[$about:meta])*
        $vis:vis enum $name:ident { $($(#[$doc:meta])* $variant:ident,)+ }
        $(#[$all:meta])*
        ALL
    ) => {
        $(#[$about])*
        $vis enum $name { $($(#[$doc])* $variant,)+ }

        impl $name {
            $(#[$all])*
            $vis const ALL: [Self; [$(Self::$variant),+].len()] = [$(Self::$variant),+];
        }
    };
}
