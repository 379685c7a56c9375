//! The Fernhollow designs that come with the program.

use barwright_core::design::document::{self, DocumentError};
use barwright_core::{Design, Library};

/// A design held in the program.
#[derive(Debug, Clone, Copy)]
pub struct Example {
    /// What the menu calls it.
    pub title: &'static str,
    text: &'static str,
}

macro_rules! example {
    ($title:literal, $file:literal) => {
        Example { title: $title, text: include_str!(concat!("../../../assets/examples/", $file)) }
    };
}

/// What a newcomer sees first.
pub const STARTER: Example = example!("Fernhollow starter", "fernhollow-starter.barwright");

/// The others.
pub const ALL: [Example; 6] = [
    example!("Apple oat loaf", "apple-oat-loaf.barwright"),
    example!("Carrot slab", "carrot-slab.barwright"),
    example!("Orchard olive", "orchard-olive.barwright"),
    example!("Cellar scrub", "cellar-scrub.barwright"),
    example!("Winter tallow", "winter-tallow.barwright"),
    example!("Orchard dual lye", "orchard-dual-lye.barwright"),
];

impl Example {
    /// The design.
    ///
    /// # Errors
    /// [`DocumentError`] if the file in `assets/examples` is wrong; a test keeps them right.
    pub fn design(&self, library: &Library) -> Result<Design, DocumentError> {
        document::read(self.text.as_bytes(), library)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::cautions::{self, Level};
    use barwright_core::evaluate;

    #[test]
    fn every_example_opens_complete_and_without_a_stop() {
        let library = Library::embedded().expect("assets parse");
        for example in std::iter::once(STARTER).chain(ALL) {
            let design = example.design(&library).expect(example.title);
            let evaluation = evaluate(&design, &library);
            let told = cautions::of(&design, &evaluation, &library);
            assert_ne!(told.first().map(|c| c.level), Some(Level::Stop), "{}: {told:?}", example.title);
            assert!(evaluation.estimates.is_some(), "{}", example.title);
            assert_eq!(design.name, example.title);
        }
    }
}
