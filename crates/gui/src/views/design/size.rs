//! Left column: how large the batch is, by fats, mould, volume or bars.

use super::Scene;
use super::controls::{Written, bounded, id_of, quantity, row};
use crate::open::OpenDesign;
use crate::views::Changes;
use crate::widgets::number_field::NumberField;
use crate::widgets::{heading, name, small};
use barwright_core::chemistry::masses::Masses;
use barwright_core::chemistry::scale::Scale;
use barwright_core::design::Calibration;
use barwright_core::design::edit::Edit;
use barwright_core::design::mould::{Cuboid, Mould, Near, Size, SizeKind};
use barwright_core::formula::Plain;
use barwright_core::library::measures::parse_content;
use barwright_core::number::{self, fixed, short};
use barwright_core::quantity::Unit;
use barwright_core::units::{
    BarMass, Bars, BatterDensity, FatMass, Fill, Grams, LengthUnit, MassUnit, Measures, Millilitres, Millimetres,
    ScaleDivision,
};
use eframe::egui::{ComboBox, Id, Ui};
use std::sync::Arc;

/// Draws the controls.
pub fn show(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let design = Arc::clone(open.design());
    let batch = open.evaluation(scene.library).masses;
    heading(ui, "Size");
    let now = design.size.kind();
    let sold = open.evaluation(scene.library).cure.as_ref().map_or(batch.bar_fresh, |c| c.bar_at_sale(Plain));
    let to = Near { fats: batch.fats, batter_ml: batch.batter_ml, bar: batch.bar_fresh, sold, bars: design.bars };
    row(ui, "By", |ui| {
        let combo = ComboBox::from_id_salt("size kind").selected_text(now.words());
        let combo = combo.width(ui.available_size_before_wrap().x).height(320.0);
        let response = combo.show_ui(ui, |ui| {
            for kind in SizeKind::ALL {
                if ui.selectable_label(kind == now, kind.words()).clicked() && kind != now {
                    changes.edit(Edit::Size(kind.near(to)));
                }
            }
        });
        name(ui, &response.response, "How the size is given");
    });
    match design.size {
        Size::FatMass(_) => fat_mass(ui, open, &batch, scene, changes),
        Size::Mould { mould, fill } => {
            mould_fields(ui, id_of(open, "mould"), (mould, fill), scene.measures, changes);
        }
        Size::Volume { ml, fill } => {
            let id = id_of(open, "volume");
            row(ui, "Volume", |ui| {
                content(ui, changes, id, ("Volume to fill", 92.0, 10.0), (ml, scene.measures), |ml| {
                    Edit::Size(Size::Volume { ml, fill })
                });
            });
            NumberField::complaint(ui, id);
            filled(ui, id_of(open, "fill"), fill, changes, |fill| Size::Volume { ml, fill });
        }
        Size::BarMass(mass) => {
            bar(ui, open, (mass, scene.measures), ("Weight of a fresh bar", "fresh", AS_CUT), changes, Size::BarMass);
        }
        Size::BarAtSale(mass) => {
            let words = ("Weight of a bar at sale", "at sale", AT_SALE);
            bar(ui, open, (mass, scene.measures), words, changes, Size::BarAtSale);
        }
    }
    if design.size.own_bars().is_none() {
        bars(ui, open, changes);
    }
    density(ui, open, &batch, changes);
    division(ui, open, scene, changes);
    use_up(ui, open, scene, changes);
}

/// The steps of the maker's scale.
fn division(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let id = id_of(open, "scale division");
    let now = open.design().scale_division;
    row(ui, "Scale", |ui| {
        ui.label("in steps of");
        let shown = Unit::Grams.short_in(now.get(), 3, scene.measures);
        let field = NumberField { id, name: "Division of the scale", shown: &shown, width: 82.0, hint: "" };
        let read = |text: &str| bounded(Unit::Grams.parse_in(text, scene.measures));
        let unit = scene.measures.mass;
        let (usual, offered) = divisions(unit);
        let step = |by: f64| {
            let next = if by > 0.0 { usual.iter().find(|d| **d > now) } else { usual.iter().rfind(|d| **d < now) };
            next.copied()
        };
        changes
            .field(ui, &field, read, step, Edit::ScaleDivision)
            .on_hover_text("The least that your scale shows; the weights to put on it are rounded to this");
        for division in offered {
            let on = division == now;
            if ui.selectable_label(on, Unit::Grams.short_in(division.get(), 1, scene.measures)).clicked() && !on {
                changes.edit(Edit::ScaleDivision(division));
            }
        }
    });
    NumberField::complaint(ui, id);
}

/// Divisions that scales have which show `unit`: the arrow keys go from one to the next. Then those that most have.
fn divisions(unit: MassUnit) -> ([ScaleDivision; 9], [ScaleDivision; 3]) {
    let of = |value: f64| ScaleDivision::nearest(unit.to_grams(value).0);
    match unit {
        MassUnit::Gram => ([0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0].map(of), [0.1, 1.0, 5.0].map(of)),
        MassUnit::Ounce => {
            ([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.125, 0.25].map(of), [0.01, 0.05, 0.1].map(of))
        }
    }
}

fn fat_mass(ui: &mut Ui, open: &OpenDesign, batch: &Masses, scene: &Scene<'_>, changes: &mut Changes) {
    let id = id_of(open, "fat mass");
    let unit = scene.measures.mass;
    row(ui, "Fats", |ui| {
        let shown = number::mass(batch.fats, unit);
        let field = NumberField { id, name: "Mass of all fats", shown: &shown, width: 92.0, hint: "" };
        let read = |text: &str| {
            let mass = number::parse_mass(text, unit).map_err(|e| e.to_string())?;
            FatMass::new(mass.0).map_err(|e| e.to_string())
        };
        let step = |by: f64| Some(FatMass::nearest(batch.fats.0 + unit.step(10.0, 1.0) * by));
        changes
            .field(ui, &field, read, step, |mass| Edit::Size(Size::FatMass(mass)))
            .on_hover_text("All fats together; g, kg, oz and lb are understood");
    });
    NumberField::complaint(ui, id);
}

/// The batch made so large that what there is of one fat goes into it.
fn use_up(ui: &mut Ui, open: &OpenDesign, scene: &Scene<'_>, changes: &mut Changes) {
    let id = id_of(open, "use up");
    let masses = &open.evaluation(scene.library).fat_masses;
    let chosen = ui.data(|d| d.get_temp::<usize>(id)).filter(|i| *i < masses.len()).unwrap_or_default();
    let Some(mass) = masses.get(chosen) else { return };
    row(ui, "Use up", |ui| {
        let unit = scene.measures.mass;
        let shown = number::mass(*mass, unit);
        let field = NumberField {
            id: id.with("mass"),
            name: "Mass of the fat to use up",
            shown: &shown,
            width: 92.0,
            hint: "",
        };
        let read = |text: &str| {
            let mass = FatMass::new(number::parse_mass(text, unit).map_err(|e| e.to_string())?.0);
            let scale = Scale::UsingUp { fat: chosen, mass: mass.map_err(|e| e.to_string())? };
            scale.scaled(open.design()).map_err(|e| e.to_string())
        };
        let step = |by: f64| {
            let mass = FatMass::nearest(mass.0 + unit.step(5.0, 0.25) * by);
            Scale::UsingUp { fat: chosen, mass }.scaled(open.design()).ok()
        };
        changes
            .field(ui, &field, read, step, Edit::Scale)
            .on_hover_text("Type how much of this fat you have: the whole batch becomes so large that it goes in");
        ui.label("of");
        let fat = fat_choice(ui, id.with("fat"), open, chosen);
        if fat != chosen {
            ui.data_mut(|d| d.insert_temp(id, fat));
        }
    });
    NumberField::complaint(ui, id.with("mass"));
}

/// A list of the blend's fats to choose the one to use up.
pub fn fat_choice(ui: &mut Ui, id: Id, open: &OpenDesign, now: usize) -> usize {
    let mut chosen = now;
    let lines = open.design().blend.lines();
    let text = lines.get(now).map_or("–", |l| l.fat.name.as_str());
    let width = ui.available_size_before_wrap().x.clamp(90.0, 190.0);
    let combo = ComboBox::from_id_salt(id).selected_text(text).width(width).truncate();
    let response = combo.show_ui(ui, |ui| {
        for (index, line) in lines.iter().enumerate() {
            if ui.selectable_label(index == now, &line.fat.name).clicked() {
                chosen = index;
            }
        }
    });
    name(ui, &response.response, "Fat to use up");
    chosen
}

const AS_CUT: &str = "As it is cut; it loses weight while it cures";
const AT_SALE: &str =
    "When its cure ends, by the forecast of its drying; the label states what your lightest bar weighs on the day";

fn bar(
    ui: &mut Ui,
    open: &OpenDesign,
    (mass, measures): (BarMass, Measures),
    (name, when, tip): (&str, &str, &str),
    changes: &mut Changes,
    size: impl Fn(BarMass) -> Size,
) {
    let id = id_of(open, "bar mass");
    let unit = measures.mass;
    row(ui, "A bar", |ui| {
        let shown = number::mass(Grams(mass.get()), unit);
        let field = NumberField { id, name, shown: &shown, width: 92.0, hint: "" };
        let read = |text: &str| {
            let mass = number::parse_mass(text, unit).map_err(|e| e.to_string())?;
            BarMass::new(mass.0).map_err(|e| e.to_string())
        };
        let step = |by: f64| Some(BarMass::nearest(mass.get() + unit.step(5.0, 0.25) * by));
        changes.field(ui, &field, read, step, |mass| Edit::Size(size(mass)));
        ui.label(when).on_hover_text(tip);
    });
    NumberField::complaint(ui, id);
}

/// Fields for the measures of a mould and how far it is filled; `changes` gets the size with it.
pub fn mould_fields(ui: &mut Ui, id: Id, (mould, fill): (Mould, Fill), measures: Measures, changes: &mut Changes) {
    let ids = ["a", "b", "c"].map(|w| id.with(w));
    let order = match mould {
        Mould::Loaf(_) | Mould::Slab(_) => "length × width × height",
        Mould::Round { .. } => "diameter × length",
        Mould::Cavities { .. } => "how many, and how much each holds",
    };
    row(ui, "Inside", |ui| {
        let is_wide = ui.available_size_before_wrap().x > 440.0;
        inside(ui, ids, (mould, fill), measures, changes);
        if is_wide {
            small(ui, order);
        }
    });
    for id in ids {
        NumberField::complaint(ui, id);
    }
    filled(ui, id.with("fill"), fill, changes, |fill| Size::Mould { mould, fill });
}

/// The fields for the measures themselves.
fn inside(ui: &mut Ui, ids: [Id; 3], (mould, fill): (Mould, Fill), measures: Measures, changes: &mut Changes) {
    let size = |mould: Mould| Edit::Size(Size::Mould { mould, fill });
    match mould {
        Mould::Loaf(c) | Mould::Slab(c) => {
            let box_of = |c: Cuboid| if matches!(mould, Mould::Loaf(_)) { Mould::Loaf(c) } else { Mould::Slab(c) };
            let now = [c.length_mm, c.width_mm, c.height_mm];
            let names = ["Length of the mould", "Width of the mould", "Height of the mould"];
            sides(ui, changes, ids, (names, measures), now, |[length_mm, width_mm, height_mm]| {
                size(box_of(Cuboid { length_mm, width_mm, height_mm }))
            });
        }
        Mould::Round { diameter_mm, length_mm } => {
            ui.label("Ø");
            let names = ["Diameter of the mould", "Length of the mould"];
            sides(ui, changes, ids, (names, measures), [diameter_mm, length_mm], |[diameter_mm, length_mm]| {
                size(Mould::Round { diameter_mm, length_mm })
            });
        }
        Mould::Cavities { count, ml } => {
            count_field(ui, changes, ids[0], "Number of cavities", count, |count| size(Mould::Cavities { count, ml }));
            ui.label("of");
            content(ui, changes, ids[1], ("Volume of a cavity", 74.0, 1.0), (ml, measures), |ml| {
                size(Mould::Cavities { count, ml })
            });
        }
    }
}

/// Width of a field for a side, points: room for “1234.5 mm” and “12.598 in”.
const SIDE: f32 = 76.0;

/// A field for each side; all of them can be typed into one, as a maker writes them down.
fn sides<const N: usize>(
    ui: &mut Ui,
    changes: &mut Changes,
    ids: [Id; 3],
    (names, measures): ([&str; N], Measures),
    now: [Millimetres; N],
    edit: impl Fn([Millimetres; N]) -> Edit,
) {
    for (i, (name, id)) in names.into_iter().zip(ids).enumerate() {
        if i > 0 {
            ui.label("×");
        }
        let with = |side: Millimetres| {
            let mut all = now;
            all[i] = side;
            all
        };
        let shown = Unit::Millimetres.short_in(now[i].get(), 1, measures);
        let field = NumberField { id, name, shown: &shown, width: SIDE, hint: "" };
        let read = |text: &str| read_sides(text, measures.length).map(|typed| typed.or(with));
        let by = Unit::Millimetres.step_in(1.0, measures);
        let step = |steps: f64| Some(with(Millimetres::nearest(now[i].get() + by * steps)));
        changes.field(ui, &field, read, step, &edit).on_hover_text("This measure, or all of them with x between");
    }
}

/// What is typed for the sides of a mould.
#[derive(Debug, PartialEq)]
enum Sides<const N: usize> {
    One(Millimetres),
    All([Millimetres; N]),
}

impl<const N: usize> Sides<N> {
    /// All sides, of which one may be the one typed.
    fn or(self, with: impl FnOnce(Millimetres) -> [Millimetres; N]) -> [Millimetres; N] {
        match self {
            Self::One(side) => with(side),
            Self::All(sides) => sides,
        }
    }
}

fn read_sides<const N: usize>(text: &str, unit: LengthUnit) -> Result<Sides<N>, String> {
    let count = text.split(['x', 'X', '×']).filter(|side| !side.trim().is_empty()).count();
    if count > 1 && count != N || text.trim().ends_with(['x', 'X', '×']) {
        return Err(format!("type one measure, or all {N} with x between"));
    }
    let typed = number::parse_sides(text, unit).map_err(|e| e.to_string())?;
    let typed: Vec<Millimetres> = typed.into_iter().map(|mm| bounded(Ok(mm))).collect::<Result<_, String>>()?;
    match (&typed[..], <[Millimetres; N]>::try_from(&typed[..])) {
        (_, Ok(all)) => Ok(Sides::All(all)),
        ([one, ..], _) => Ok(Sides::One(*one)),
        ([], _) => Err("type a number".into()),
    }
}

/// A field for what something holds: a volume, or what the water in it weighs.
fn content(
    ui: &mut Ui,
    changes: &mut Changes,
    id: Id,
    (name, width, step): (&str, f32, f64),
    (now, measures): (Millilitres, Measures),
    edit: impl FnOnce(Millilitres) -> Edit,
) {
    let shown = Unit::Millilitres.short_in(now.get(), 1, measures);
    let field = NumberField { id, name, shown: &shown, width, hint: "" };
    let read = |text: &str| bounded(parse_content(text, measures.volume));
    let by = Unit::Millilitres.step_in(step, measures);
    changes
        .field(ui, &field, read, |steps| Some(Millilitres::nearest(now.get() + by * steps)), edit)
        .on_hover_text("A volume; or fill it with water, weigh that, and type the weight with its unit, as 1200 g");
}

fn filled(ui: &mut Ui, id: Id, fill: Fill, changes: &mut Changes, size: impl FnOnce(Fill) -> Size) {
    row(ui, "Filled to", |ui| {
        let written = Written { name: "Fill, percent", unit: "%", step: 1.0, decimals: 1, width: 62.0 };
        quantity(ui, changes, id, written, fill, |fill| Edit::Size(size(fill)))
            .on_hover_text("Of the mould's volume; the fats are worked out so that the batter fills it so far");
    });
    NumberField::complaint(ui, id);
}

fn count_field(
    ui: &mut Ui,
    changes: &mut Changes,
    id: eframe::egui::Id,
    name: &str,
    now: Bars,
    edit: impl FnOnce(Bars) -> Edit,
) {
    let shown = now.get().to_string();
    let field = NumberField { id, name, shown: &shown, width: 46.0, hint: "" };
    let read = |text: &str| {
        let count: u32 = text.trim().parse().ok().ok_or_else(|| format!("“{}” is not a whole number", text.trim()))?;
        Bars::new(count).map_err(|e| e.to_string())
    };
    let step = |by: f64| Bars::new(if by > 0.0 { now.get() + 1 } else { now.get().saturating_sub(1) }).ok();
    changes.field(ui, &field, read, step, edit);
}

fn bars(ui: &mut Ui, open: &OpenDesign, changes: &mut Changes) {
    let id = id_of(open, "bars");
    let now = open.design().bars;
    row(ui, "Cut into", |ui| {
        count_field(ui, changes, id, "Number of bars", now, Edit::Bars);
        ui.label(if now.get() == 1 { "bar" } else { "bars" });
    });
    NumberField::complaint(ui, id);
}

/// The batter's density: estimated, or as the maker measured it.
fn density(ui: &mut Ui, open: &OpenDesign, batch: &Masses, changes: &mut Changes) {
    let id = id_of(open, "batter density");
    let calibration = open.design().calibration.clone();
    let estimated = batch.batter_g_per_ml();
    row(ui, "Batter", |ui| {
        let shown = match (calibration.batter_g_per_ml, estimated) {
            (Some(density), _) => format!("{} g/ml", short(density.get(), 4)),
            (None, Some(density)) => format!("{} g/ml", fixed(density, 3)),
            (None, None) => "–".into(),
        };
        let field = NumberField { id, name: "Density of the batter", shown: &shown, width: 92.0, hint: "" };
        let step = |by: f64| {
            let now = calibration.batter_g_per_ml.map(BatterDensity::get).or(estimated)?;
            Some(BatterDensity::nearest(now + 0.005 * by))
        };
        let set = |density: Option<BatterDensity>| {
            Edit::Calibration(Calibration { batter_g_per_ml: density, ..calibration.clone() })
        };
        changes.field(ui, &field, read_density, step, |d| set(Some(d))).on_hover_text(
            "Type what a poured batch weighed and filled, as 1126/1110, or its density in g/ml; the sizes then rest on it",
        );
        if calibration.batter_g_per_ml.is_some() {
            ui.label("measured");
            if ui.button("Estimate it").clicked() {
                changes.edit(set(None));
            }
        } else {
            ui.label("estimated");
        }
    });
    NumberField::complaint(ui, id);
}

/// Reads a density, or a mass and a volume.
fn read_density(text: &str) -> Result<BatterDensity, String> {
    bounded(number::parse_density(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_sides_can_be_typed_into_one_field() {
        let read = |text: &str| read_sides::<3>(text, LengthUnit::Millimetre);
        let mm = Millimetres::nearest;
        assert_eq!(read("200"), Ok(Sides::One(mm(200.0))));
        assert_eq!(read("20 x 15 x 3 cm"), Ok(Sides::All([mm(200.0), mm(150.0), mm(30.0)])));
        assert_eq!(read("200x150").expect_err("one is missing"), "type one measure, or all 3 with x between");
        assert_eq!(read("200x150x"), read("200x150"), "the last is empty");
        let inches = read_sides::<3>("200x150", LengthUnit::Inch);
        assert_eq!(inches, read("200x150"), "what is missing is told first");
        assert!(read("200xx150x3").is_err(), "one is empty");
        assert!(read("200x150x0").is_err(), "no mould is so low");
    }

    #[test]
    fn a_poured_batch_is_typed_as_mass_over_volume() {
        let read = |text: &str| read_density(text).map(BatterDensity::get);
        assert_eq!(read("1110 g / 1000 ml"), Ok(1.11));
        assert_eq!(read("1110/1000"), Ok(1.11));
        assert_eq!(read("1,05 g/ml"), Ok(1.05));
        assert!(read("1110").is_err(), "no batter is so dense");
        assert!(read("1110/0").is_err(), "no volume");
    }
}
