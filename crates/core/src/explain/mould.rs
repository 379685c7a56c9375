//! Measures of the mould and of the bars cut from it.

use super::sum::{number, sum};
use super::{About, Input, Parts};
use crate::design::mould::{Mould, Size};
use crate::number::short;
use crate::units::Millimetres;

fn side(mm: Millimetres) -> String {
    number(mm.get())
}

/// A measure of a bar: its size, mm, and how it comes about, in symbols and in numbers.
type Measure = (f64, &'static str, String);

impl About<'_> {
    /// Measures of a bar in the order of the report: a block's from the longest to the shortest.
    pub(super) fn bar_measures(self) -> Vec<Measure> {
        let Size::Mould { mould, fill } = &self.design.size else { return Vec::new() };
        let (fill, bars) = (*fill, self.design.bars);
        let part = number(fill.fraction());
        let sorted = |mut measures: Vec<Measure>| {
            measures.sort_by(|a, b| b.0.total_cmp(&a.0));
            measures
        };
        match mould {
            Mould::Loaf(c) => sorted(vec![
                (
                    c.length_mm.get() / f64::from(bars.get()),
                    "length of the mould ÷ number of bars",
                    format!("{} ÷ {}", side(c.length_mm), bars.get()),
                ),
                (c.width_mm.get(), "width of the mould", side(c.width_mm)),
                (
                    c.height_mm.get() * fill.fraction(),
                    "height of the mould × how far it is filled",
                    format!("{} × {part}", side(c.height_mm)),
                ),
            ]),
            Mould::Slab(c) => {
                let (rows, columns) = mould.grid(bars);
                sorted(vec![
                    (
                        c.length_mm.get() / f64::from(rows),
                        "length of the mould ÷ rows of bars",
                        format!("{} ÷ {rows}", side(c.length_mm)),
                    ),
                    (
                        c.width_mm.get() / f64::from(columns),
                        "width of the mould ÷ columns of bars",
                        format!("{} ÷ {columns}", side(c.width_mm)),
                    ),
                    (
                        c.height_mm.get() * fill.fraction(),
                        "height of the mould × how far it is filled",
                        format!("{} × {part}", side(c.height_mm)),
                    ),
                ])
            }
            Mould::Round { diameter_mm, length_mm } => vec![
                (diameter_mm.get(), "diameter of the mould", side(*diameter_mm)),
                (
                    length_mm.get() * fill.fraction() / f64::from(bars.get()),
                    "length of the mould × how far it is filled ÷ number of bars",
                    format!("{} × {part} ÷ {}", side(*length_mm), bars.get()),
                ),
            ],
            Mould::Cavities { .. } => Vec::new(),
        }
    }

    pub(super) fn bar_mm(self, index: usize) -> Result<Parts, String> {
        let (_, formula, numbers) =
            self.bar_measures().into_iter().nth(index).ok_or("no mould gives the bar’s measures")?;
        let mut inputs = self.mould_inputs();
        if let Size::Mould { fill, .. } = &self.design.size {
            inputs.push(Input::chosen("Filled", format!("{} %", short(fill.get(), 2))));
        }
        inputs.push(Input::chosen("Bars", self.design.bars.get().to_string()));
        Ok(Parts {
            formula,
            numbers,
            inputs,
            trust: match &self.design.size {
                Size::Mould { mould: Mould::Slab(_), .. } => {
                    "Geometry, without what the cutting takes: the slab is cut into the grid whose faces come nearest to 3 \
                     : 2. A bar shrinks a little as it dries."
                }
                _ => "Geometry, without what the cutting takes. A bar shrinks a little as it dries.",
            }
            .into(),
        })
    }

    /// The mould as typed.
    pub(super) fn mould_inputs(self) -> Vec<Input> {
        let Size::Mould { mould, .. } = &self.design.size else { return Vec::new() };
        let mm = |name: &str, of: Millimetres| Input::chosen(name, format!("{} mm", short(of.get(), 3)));
        match mould {
            Mould::Loaf(c) | Mould::Slab(c) => {
                vec![mm("Length inside", c.length_mm), mm("Width inside", c.width_mm), mm("Height inside", c.height_mm)]
            }
            Mould::Round { diameter_mm, length_mm } => {
                vec![mm("Diameter inside", *diameter_mm), mm("Length inside", *length_mm)]
            }
            Mould::Cavities { count, ml } => vec![
                Input::chosen("Cavities", count.get().to_string()),
                Input::chosen("Each holds", format!("{} ml", short(ml.get(), 3))),
            ],
        }
    }

    pub(super) fn mould_ml(self) -> Result<Parts, String> {
        let Size::Mould { mould, .. } = &self.design.size else { return Err("the design has no mould".into()) };
        let (formula, numbers) = match mould {
            Mould::Loaf(c) | Mould::Slab(c) => (
                "length × width × height",
                format!("{} × {} × {} ÷ 1000", side(c.length_mm), side(c.width_mm), side(c.height_mm)),
            ),
            Mould::Round { diameter_mm, length_mm } => {
                let d = side(*diameter_mm);
                ("π ÷ 4 × diameter² × length", format!("3.14159265 ÷ 4 × {d} × {d} × {} ÷ 1000", side(*length_mm)))
            }
            Mould::Cavities { count, ml } => {
                ("cavities × volume of each", sum([format!("{} × {}", count.get(), number(ml.get()))]))
            }
        };
        Ok(Parts {
            formula,
            numbers,
            inputs: self.mould_inputs(),
            trust: "Geometry; measure inside, with the lining in.".into(),
        })
    }
}
