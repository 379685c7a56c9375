//! The form for a tool.

use super::super::fields::{Fields, Wrong, accept, line, mass, shown_mass, typed, typed_day, whole};
use super::super::scene::Scene;
use crate::theme;
use crate::views::Changes;
use crate::widgets::small;
use barwright_core::bench::day::shown;
use barwright_core::design::shelf::{Holds, JugAtHand, MouldAtHand, ScaleAtHand, ShelfEdit, Workshop};
use barwright_core::number::{self, parse, parse_millilitres, parse_millimetres, short};
use barwright_core::units::{Bars, Celsius, Millilitres, Millimetres, ScaleDivision, TimeConstant};
use eframe::egui::{Id, RichText, Ui};

/// The kinds of tools.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Scale,
    Jug,
    Mould,
    /// There is one, and it stays.
    Oven,
}

impl Kind {
    pub(super) const ALL: [Self; 3] = [Self::Scale, Self::Jug, Self::Mould];

    pub(super) const fn many(self) -> &'static str {
        match self {
            Self::Scale => "Scales",
            Self::Jug => "Jugs",
            Self::Mould => "Moulds",
            Self::Oven => "Oven",
        }
    }

    pub(super) const fn add(self) -> &'static str {
        match self {
            Self::Scale => "Add a scale…",
            Self::Jug => "Add a jug…",
            Self::Mould => "Add a mould…",
            Self::Oven => "Oven",
        }
    }
}

const NAME: &str = "Name of the tool";
const DIVISION: &str = "Division of the scale in the workshop";
const LARGEST: &str = "Largest load";
const CHECKED: &str = "Day of the last check";
const ML: &str = "What it holds, ml";
const COOLING: &str = "Cooling time constant, minutes";
const LENGTH: &str = "Inner length";
const WIDTH: &str = "Inner width";
const HEIGHT: &str = "Inner height";
const BARS: &str = "Bars of the mould";
const LINER: &str = "Liner of the mould";
const ERROR: &str = "How much hotter than it says, °C";

/// The form.
#[derive(Debug)]
pub(super) struct ToolForm {
    id: Id,
    kind: Kind,
    /// Its place, if it is there already.
    at: Option<usize>,
    name: String,
    /// The other fields, in the order in which they stand.
    texts: [String; 6],
    wrong: Option<Wrong>,
    sent: Option<u64>,
    /// Whether it is to take the focus.
    is_new: bool,
}

impl ToolForm {
    pub(super) fn new(nth: u64, kind: Kind, at: Option<usize>, scene: Scene<'_>) -> Self {
        let (name, texts) = known(kind, at, scene);
        Self { id: Id::unique(("tool form", nth)), kind, at, name, texts, wrong: None, sent: None, is_new: true }
    }

    /// Draws it; whether it is done with.
    pub(super) fn show(&mut self, ui: &mut Ui, scene: Scene<'_>, changes: &mut Changes) -> bool {
        if self.sent.is_some_and(|sent| scene.keeper.revision() > sent) {
            return true;
        }
        let title = match self.kind {
            Kind::Scale => "A scale",
            Kind::Jug => "A jug",
            Kind::Mould => "A mould",
            Kind::Oven => "The oven",
        };
        ui.label(RichText::new(title).font(theme::strong(16.0)));
        let fields = Fields { id: self.id, wrong: self.wrong.as_ref(), region: scene.region };
        if std::mem::take(&mut self.is_new) {
            let first = if self.kind == Kind::Oven { ERROR } else { NAME };
            ui.memory_mut(|m| m.request_focus(fields.id_of(first)));
        }
        let measures = scene.measures;
        if self.kind != Kind::Oven {
            fields.text(ui, "Name", NAME, &mut self.name, "");
        }
        match self.kind {
            Kind::Scale => {
                let [division, largest, checked, ..] = &mut self.texts;
                fields.short(ui, "Division", DIVISION, division, "g");
                fields.short(ui, "Largest load", LARGEST, largest, measures.mass.sign());
                fields.day(ui, "Last checked", CHECKED, checked);
                small(ui, "With a weight that is known, as a new coin or a litre of water.");
            }
            Kind::Jug => {
                let [ml, cooling, ..] = &mut self.texts;
                fields.short(ui, "Holds", ML, ml, "ml");
                fields.short(ui, "Cools in", COOLING, cooling, "min");
                small(ui, "Until the lye is down to 37 % of what it was above the room; the Log can tell.");
            }
            Kind::Mould => {
                let unit = measures.length.sign();
                let [length, width, height, water, bars, liner] = &mut self.texts;
                fields.short(ui, "Length", LENGTH, length, unit);
                fields.short(ui, "Width", WIDTH, width, unit);
                fields.short(ui, "Height", HEIGHT, height, unit);
                fields.short(ui, "Or water in it", ML, water, "ml");
                fields.short(ui, "Cut into", BARS, bars, "bars");
                fields.text(ui, "Lined with", LINER, liner, "");
            }
            Kind::Oven => {
                let [error, ..] = &mut self.texts;
                fields.short(ui, "Hotter by", ERROR, error, "°C");
                small(ui, "What a thermometer in it shows beyond what the knob says; − where it is colder.");
            }
        }
        fields.rest(ui);
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            if accept(ui, "Keep it", scene.is_ours()) {
                let edit = self.read(scene);
                self.wrong = edit.and_then(|edit| scene.ask(edit, changes).map_err(|why| ("", why))).err();
                self.sent = self.wrong.is_none().then_some(scene.keeper.revision());
            }
            ui.button("Cancel").clicked()
        })
        .inner
    }

    fn read(&self, scene: Scene<'_>) -> Result<ShelfEdit, Wrong> {
        let measures = scene.measures;
        let mut next = scene.shelf().workshop.clone();
        let name = line(NAME, &self.name)?;
        if name.is_empty() && self.kind != Kind::Oven {
            return Err((NAME, "give it a name, to tell it from the others".to_owned()));
        }
        let ml = |text: &str| parse_millilitres(text, measures.volume);
        match self.kind {
            Kind::Scale => {
                let [division, largest, checked, ..] = &self.texts;
                let division: Option<ScaleDivision> = typed(DIVISION, division, |t| parse(t, &["g"]))?;
                let division = division.ok_or((DIVISION, "say its step, as 0.1 or 1".to_owned()))?;
                let largest = mass(LARGEST, largest, measures.mass)?;
                let checked = typed_day(CHECKED, checked, scene.region)?;
                put(&mut next.scales, self.at, ScaleAtHand { name, division, largest, checked });
            }
            Kind::Jug => {
                let [holds, cooling, ..] = &self.texts;
                let ml: Option<Millilitres> = typed(ML, holds, ml)?;
                let ml = ml.ok_or((ML, "say how much it holds".to_owned()))?;
                let cooling: Option<TimeConstant> = typed(COOLING, cooling, |t| parse(t, &["min"]))?;
                put(&mut next.jugs, self.at, JugAtHand { name, ml, cooling });
            }
            Kind::Mould => {
                let [length, width, height, water, bars, liner] = &self.texts;
                let bars = whole(BARS, bars)?.ok_or((BARS, "say into how many bars it is cut".to_owned()))?;
                let bars = Bars::try_from(bars).map_err(|e| (BARS, e.to_string()))?;
                let liner = line(LINER, liner)?;
                let holds = holds([length, width, height], water, scene)?;
                put(&mut next.moulds, self.at, MouldAtHand { name, holds, bars, liner });
            }
            Kind::Oven => {
                let [error, ..] = &self.texts;
                next.oven_error = typed::<Celsius>(ERROR, error, |t| parse(t, &["°C", "C"]))?;
            }
        }
        Ok(ShelfEdit::Workshop(next))
    }
}

/// Puts `tool` in the place `at`, or behind the others.
fn put<T>(tools: &mut Vec<T>, at: Option<usize>, tool: T) {
    match at.and_then(|at| tools.get_mut(at)) {
        Some(place) => *place = tool,
        None => tools.push(tool),
    }
}

/// The texts of a tool that is there already.
fn known(kind: Kind, at: Option<usize>, scene: Scene<'_>) -> (String, [String; 6]) {
    let Workshop { scales, jugs, moulds, oven_error } = &scene.shelf().workshop;
    let empty = || [const { String::new() }; 6];
    let text = |value: f64| short(value, 3);
    let mut texts = empty();
    let name = match (kind, at) {
        (Kind::Scale, Some(at)) => scales.get(at).map(|scale| {
            texts[0] = text(scale.division.get());
            texts[1] = scale.largest.map(|g| shown_mass(g.get(), scene.measures.mass)).unwrap_or_default();
            texts[2] = scale.checked.map(|d| shown(d.0)).unwrap_or_default();
            scale.name.to_string()
        }),
        (Kind::Jug, Some(at)) => jugs.get(at).map(|jug| {
            texts[0] = format!("{} ml", text(jug.ml.get()));
            texts[1] = jug.cooling.map(|c| text(c.get())).unwrap_or_default();
            jug.name.to_string()
        }),
        (Kind::Mould, Some(at)) => moulds.get(at).map(|mould| {
            match mould.holds {
                Holds::Loaf { length, width, height } => {
                    for (place, side) in [length, width, height].into_iter().enumerate() {
                        texts[place] = format!("{} mm", text(side.get()));
                    }
                }
                Holds::Water(ml) => texts[3] = format!("{} ml", text(ml.get())),
            }
            texts[4] = mould.bars.get().to_string();
            texts[5] = mould.liner.to_string();
            mould.name.to_string()
        }),
        (Kind::Oven, _) => {
            texts[0] = oven_error.map(|c| text(c.get())).unwrap_or_default();
            None
        }
        (_, None) => None,
    };
    (name.unwrap_or_default(), texts)
}

/// What is known of the oven.
pub(super) fn oven_words(error: Option<Celsius>, _: Scene<'_>) -> String {
    match error {
        None => "Its error is not known.".into(),
        Some(error) if error.get() < 0.0 => format!("Colder than it says by {} °C.", number::short(-error.get(), 1)),
        Some(error) => format!("Hotter than it says by {} °C.", number::short(error.get(), 1)),
    }
}

/// How much a mould holds, by its three `sides` or the `water` in it.
fn holds(sides: [&str; 3], water: &str, scene: Scene<'_>) -> Result<Holds, Wrong> {
    let measures = scene.measures;
    if let Some(ml) = typed::<Millilitres>(ML, water, |t| parse_millilitres(t, measures.volume))? {
        return Ok(Holds::Water(ml));
    }
    let side = |called, text: &str| -> Result<Millimetres, Wrong> {
        let side = typed(called, text, |t| parse_millimetres(t, measures.length))?;
        side.ok_or((called, "type its three measures, or how much water fills it".to_owned()))
    };
    Ok(Holds::Loaf { length: side(LENGTH, sides[0])?, width: side(WIDTH, sides[1])?, height: side(HEIGHT, sides[2])? })
}
