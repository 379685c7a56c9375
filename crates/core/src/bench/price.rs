//! What to ask for a bar.

use crate::cautions::NoStop;
use crate::cost::{Cost, Total};
use crate::formula::{Input, Reading};
use crate::number::short;
use crate::units::SalesMargin;

/// What to ask for a bar that costs what `cost` says, so that `margin` percent of the price are left:
/// cost/(1 − margin). A design with a Stop has no price: it has no [`NoStop`].
///
/// ```
/// use barwright_core::bench::price;
/// use barwright_core::cautions::NoStop;
/// use barwright_core::cost::Cost;
/// use barwright_core::design::document;
/// use barwright_core::formula::Plain;
/// use barwright_core::units::SalesMargin;
/// use barwright_core::{Library, evaluate};
/// let library = Library::embedded()?;
/// let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100)], superfat: 8)"#;
/// let design = document::read(text.as_bytes(), &library)?;
/// let evaluation = evaluate(&design, &library);
/// let (clear, cost) = (NoStop::of(&design, &evaluation, &library)?, Cost::of(&design, &evaluation).ok_or("no fats")?);
/// let asked = price::of_bar(Plain, &cost, SalesMargin::new(50.0)?, &clear).known();
/// assert_eq!(asked, 2.0 * cost.bar(Plain).known());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn of_bar<R: Reading>(r: R, cost: &Cost<R::N>, margin: SalesMargin, _: &NoStop<'_>) -> Total<R::N> {
    let about = || Input::chosen("Margin", format!("{} % of the price", short(margin.get(), 1)));
    let one = R::N::from(1.0);
    cost.bar(r).times(one / (one - r.input("margin", margin.fraction(), "", about)))
}
