//! Pictures for paper: outlines, one grey and words, no colour.

use super::Filled;
use super::figures::lengths;
use crate::design::mould::{Mould, cuts};
use crate::number::fixed;
use crate::quantity::Unit;
use crate::units::{Measures, in_percent, percent_of};
use maud::{Markup, html};

/// Width of the mould's picture, in its own units.
const WIDE: f64 = 360.0;
/// The most that a view is high.
const HIGH: f64 = 72.0;
/// Between the two views.
const GAP: f64 = 30.0;
/// Height of a line of words.
const WORDS: f64 = 13.0;
/// Room for the words over the view from above, and for those beside the other view.
const CAPTION: f64 = 130.0;
const SHORT_CAPTION: f64 = 66.0;
/// The most cuts and the most cavities that are drawn.
const CUTS: usize = 120;
const CAVITIES: u32 = 24;
/// The grey of what is filled.
const GREY: &str = "#c8c8c8";

/// A coordinate.
fn at(value: f64) -> String {
    format!("{value:.1}")
}

/// A box, empty or filled.
fn rect([x, y, w, h]: [f64; 4], fill: &str) -> Markup {
    html! { rect x=(at(x)) y=(at(y)) width=(at(w)) height=(at(h)) fill=(fill) stroke="#000" stroke-width="1.2" {} }
}

/// A dashed line where the soap is cut.
fn cut(x1: f64, y1: f64, x2: f64, y2: f64) -> Markup {
    html! {
        line x1=(at(x1)) y1=(at(y1)) x2=(at(x2)) y2=(at(y2)) stroke="#000" stroke-width="0.8" stroke-dasharray="4 2.5" {}
    }
}

fn words(x: f64, y: f64, text: &str) -> Markup {
    html! { text x=(at(x)) y=(at(y)) { (text) } }
}

/// The mould, how far it is filled and where the soap is cut.
pub(super) fn mould(filled: &Filled, measures: Measures) -> Markup {
    let fraction = filled.fill.fraction();
    match filled.mould {
        Mould::Loaf(c) | Mould::Slab(c) => {
            let sides = [c.length_mm.get(), c.width_mm.get(), c.height_mm.get()];
            boxed(sides, fraction, filled.mould.grid(filled.bars), measures)
        }
        Mould::Round { diameter_mm, length_mm } => {
            round(diameter_mm.get(), length_mm.get(), fraction, filled.bars.get(), measures)
        }
        Mould::Cavities { count, .. } => cavities(count.get(), fraction),
    }
}

/// How high of how much it is filled.
fn filled_of(height: f64, fraction: f64, measures: Measures) -> String {
    let filled = Unit::Millimetres.number_in(height * fraction, 0, measures);
    format!("{filled} of {}", lengths(&[height], measures))
}

/// Words and a frame around a drawing `height` units high.
fn framed(height: f64, said: &str, drawing: &Markup) -> Markup {
    html! {
        svg viewBox={ "0 0 " (at(WIDE)) " " (at(height)) } role="img" aria-label=(said) { (drawing) }
    }
}

/// A box from above with its cuts, and from its end with its fill, at one scale.
fn boxed([length, width, height]: [f64; 3], fraction: f64, (rows, columns): (u32, u32), measures: Measures) -> Markup {
    let scale = ((WIDE - GAP - 4.0) / (length + width)).min(HIGH / width.max(height));
    let (l, w, h) = (length * scale, width * scale, height * scale);
    let (top, left) = (WORDS + 2.0, 1.0);
    let end = (left + l + GAP).max(CAPTION);
    let caption = end.min(WIDE - SHORT_CAPTION);
    let level = top + h * (1.0 - fraction);
    let said = format!(
        "The mould from above with {} bars, and from its end, filled to {} %",
        rows * columns,
        fixed(in_percent(fraction), 0)
    );
    let drawing = html! {
        (words(left, WORDS - 3.0, &format!("from above, {}", lengths(&[length, width], measures))))
        (rect([left, top, l, w], GREY))
        @for x in cuts(l, rows).take(CUTS) { (cut(left + x, top, left + x, top + w)) }
        @for y in cuts(w, columns).take(CUTS) { (cut(left, top + y, left + l, top + y)) }
        (words(caption, WORDS - 3.0, "from the end"))
        (rect([end, level, w, h * fraction], GREY))
        (rect([end, top, w, h], "none"))
        (words(caption, top + h + WORDS - 2.0, &filled_of(height, fraction, measures)))
    };
    framed(top + w.max(h + WORDS) + 3.0, &said, &drawing)
}

/// A standing tube, drawn lying, with its cuts, and its floor.
fn round(diameter: f64, length: f64, fraction: f64, bars: u32, measures: Measures) -> Markup {
    let scale = ((WIDE - GAP - 4.0) / (length + diameter)).min(HIGH / diameter);
    let (l, d) = (length * scale, diameter * scale);
    let (top, left) = (WORDS + 2.0, 1.0);
    let middle = left + l + GAP + d / 2.0;
    let said = format!("The tube with {bars} bars, filled to {} %, and its floor", fixed(in_percent(fraction), 0));
    let drawing = html! {
        (words(left, WORDS - 3.0, &format!("lying, its floor at the left; filled {}", filled_of(length, fraction, measures))))
        (rect([left, top, l * fraction, d], GREY))
        (rect([left, top, l, d], "none"))
        @for x in cuts(l * fraction, bars).take(CUTS) { (cut(left + x, top, left + x, top + d)) }
        circle cx=(at(middle)) cy=(at(top + d / 2.0)) r=(at(d / 2.0)) fill=(GREY) stroke="#000" stroke-width="1.2" {}
        (words((left + l + GAP).min(WIDE - SHORT_CAPTION), top + d + WORDS - 2.0, &format!("Ø {}", lengths(&[diameter], measures))))
    };
    framed(top + d + WORDS + 2.0, &said, &drawing)
}

/// Cavities from their side.
fn cavities(count: u32, fraction: f64) -> Markup {
    const SIDE: f64 = 32.0;
    const APART: f64 = 40.0;
    let shown = count.min(CAVITIES);
    let across = shown.min(8);
    let said = format!("{count} cavities, filled to {} %", fixed(in_percent(fraction), 0));
    let tops = (0..shown).map(|i| (f64::from(i % across) * APART + 1.0, f64::from(i / across) * APART + WORDS + 2.0));
    let more = if shown < count {
        format!("{shown} of {count} cavities, each filled to {} %", fixed(in_percent(fraction), 0))
    } else {
        said.clone()
    };
    let drawing = html! {
        (words(1.0, WORDS - 3.0, &more))
        @for (x, y) in tops {
            (rect([x, y + SIDE * (1.0 - fraction), SIDE, SIDE * fraction], GREY))
            (rect([x, y, SIDE, SIDE], "none"))
        }
    };
    framed(WORDS + f64::from(shown.div_ceil(across)) * APART, &said, &drawing)
}

/// A fat's percent as a bar on a scale to `most`.
pub(super) fn share(percent: f64, most: f64) -> Markup {
    let wide = if most > 0.0 { percent_of(percent, most) } else { 0.0 };
    html! {
        svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" {
            rect x="0" y="1" width=(at(wide)) height="8" fill="#777" {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::mould::Cuboid;
    use crate::units::{Bars, Fill, Millilitres, Millimetres};

    fn mm(value: f64) -> Millimetres {
        Millimetres::nearest(value)
    }

    fn moulds() -> Vec<Mould> {
        let mut all: Vec<Mould> =
            [(296.0, 70.0, 60.0), (1000.0, 40.0, 40.0), (40.0, 90.0, 200.0), (5000.0, 1.0, 1.0), (1.0, 5000.0, 1.0)]
                .into_iter()
                .map(|(l, w, h)| Cuboid { length_mm: mm(l), width_mm: mm(w), height_mm: mm(h) })
                .flat_map(|c| [Mould::Loaf(c), Mould::Slab(c)])
                .collect();
        for (d, l) in [(75.0, 300.0), (300.0, 30.0), (1.0, 5000.0), (5000.0, 1.0)] {
            all.push(Mould::Round { diameter_mm: mm(d), length_mm: mm(l) });
        }
        for count in [1, 6, 24, 10_000] {
            all.push(Mould::Cavities { count: Bars::new(count).expect("in range"), ml: Millilitres::nearest(100.0) });
        }
        all
    }

    fn number(tag: &str, name: &str) -> f64 {
        let rest = tag.split_once(&format!(" {name}=\"")).unwrap_or_else(|| panic!("{name} in {tag}")).1;
        rest.split_once('"').expect("its end").0.parse().expect("a number")
    }

    #[test]
    fn nothing_is_drawn_beyond_the_frame() {
        for mould_of in moulds() {
            for (fill, bars) in [(1.0, 1), (55.0, 9), (100.0, 10_000)] {
                let bars = Bars::new(bars).expect("in range");
                let filled = Filled { mould: mould_of, fill: Fill::nearest(fill), bars, times: 1.0 };
                let svg = mould(&filled, Measures::METRIC).into_string();
                let frame = svg.split_once("viewBox=\"0 0 ").expect("a frame").1.split_once('"').expect("its end").0;
                let (wide, high) = frame.split_once(' ').expect("two numbers");
                let (wide, high): (f64, f64) = (wide.parse().expect("a number"), high.parse().expect("a number"));
                for tag in svg.split('<').filter(|t| t.starts_with("rect")) {
                    let right = number(tag, "x") + number(tag, "width");
                    let low = number(tag, "y") + number(tag, "height");
                    assert!(right <= wide && low <= high, "{mould_of:?}: {tag} in {frame}");
                }
                for tag in svg.split('<').filter(|t| t.starts_with("text")) {
                    // A letter is about half as wide as the type is high, 9 units.
                    let said = tag.split_once('>').expect("words").1.chars().count();
                    let right = number(tag, "x") + 4.9 * f64::from(u32::try_from(said).expect("few"));
                    assert!(right <= wide && number(tag, "y") <= high, "{mould_of:?}: {tag} in {frame}");
                }
            }
        }
    }

    #[test]
    fn a_loaf_of_nine_bars_has_eight_cuts() {
        let loaf = Mould::Loaf(Cuboid { length_mm: mm(296.0), width_mm: mm(70.0), height_mm: mm(60.0) });
        let bars = Bars::new(9).expect("in range");
        let svg =
            mould(&Filled { mould: loaf, fill: Fill::nearest(90.0), bars, times: 1.0 }, Measures::METRIC).into_string();
        assert_eq!(svg.matches("<line ").count(), 8, "{svg}");
    }
}
