//! The form for a fat of one's own.

use super::{Context, Form, Refused, choice, id_from, not_understood, pasted, preview, text, text_id, understood};
use crate::theme::Tokens;
use crate::widgets::picker::Picker;
use crate::widgets::small;
use barwright_core::design::edit::Edit;
use barwright_core::design::own::acids::{Pasted, Says, written};
use barwright_core::design::own::fat::OwnFatError;
use barwright_core::design::own::{self, FigureError, OwnFat};
use barwright_core::library::acids::Acids;
use barwright_core::library::fats::{Fat, FatKind};
use barwright_core::library::material::MaterialId;
use barwright_core::library::possible::SvRanges;
use barwright_core::number::{fixed, short};
use barwright_core::units::{Interval, Share};
use eframe::egui::{Grid, Id, Label, RichText, Ui};
use std::sync::Arc;

/// The form for one fat.
#[derive(Debug)]
pub struct FatForm {
    /// The record that is changed; `None` for a new one.
    changed: Option<Arc<Fat>>,
    /// Whose typed shares hold when it is added.
    held: Vec<MaterialId>,
    name: String,
    kind: FatKind,
    sv: String,
    iv: String,
    unsaponifiable: String,
    inci: String,
    acids: String,
    /// What is written there, as it was last understood.
    pasted: Pasted,
    /// The fat whose acids were taken, with the text that they gave.
    like: Option<(String, String)>,
    picker: Picker,
}

const WHAT: &str = "fat";
const NAME: &str = "Name";
const SV: &str = "Saponification value";
const IV: &str = "Iodine value";
const UNSAPONIFIABLE: &str = "Unsaponifiable, %";
const INCI: &str = "INCI name";
const ACIDS: &str = "Fatty acids";

/// The kinds that a fat of one's own may have; a wax ester needs a molar mass.
const KINDS: [FatKind; 3] = [FatKind::Triglyceride, FatKind::FreeAcid, FatKind::Wax];

const fn words(kind: FatKind) -> &'static str {
    match kind {
        FatKind::Triglyceride => "oil, fat or butter",
        FatKind::FreeAcid => "free fatty acids",
        FatKind::WaxEster { .. } => "wax ester",
        FatKind::Wax => "wax",
    }
}

/// A range as it is typed.
fn typed(range: Interval, scale: f64) -> String {
    let end = |value: f64| short(value * scale, 3);
    if range.width() > 0.0 { format!("{} – {}", end(range.min()), end(range.max())) } else { end(range.min()) }
}

/// Percent in g/kg.
const G_PER_KG: f64 = 10.0;

impl FatForm {
    /// The form for a new fat called `name`; the shares of `held` hold when it is added.
    pub fn named(name: String, held: Vec<MaterialId>) -> Self {
        Self {
            changed: None,
            held,
            name,
            kind: FatKind::Triglyceride,
            sv: String::new(),
            iv: String::new(),
            unsaponifiable: String::new(),
            inci: String::new(),
            acids: String::new(),
            pasted: Pasted::default(),
            like: None,
            picker: Picker::default(),
        }
    }

    /// The form with the figures of `fat`.
    pub fn of(fat: &Arc<Fat>, acids: &Acids) -> Self {
        let text = written(fat.profile().iter().map(|e| (e.acid, e.range, e.typical)), acids);
        let source = fat.profile().first().map(|e| e.source.clone());
        Self {
            changed: Some(Arc::clone(fat)),
            kind: fat.kind,
            sv: typed(fat.sv.value, 1.0),
            iv: fat.iv.as_ref().map(|iv| typed(iv.value, 1.0)).unwrap_or_default(),
            unsaponifiable: fat.unsaponifiable.as_ref().map(|u| typed(u.value, 1.0 / G_PER_KG)).unwrap_or_default(),
            inci: fat.inci.fat.clone(),
            pasted: Pasted::read(&text, acids),
            like: source.map(|source| (source, text.clone())),
            acids: text,
            ..Self::named(fat.name.clone(), Vec::new())
        }
    }

    /// What is typed, field by field.
    fn own(&self) -> Result<OwnFat, Refused> {
        let at = |label: &str, why: FigureError| Refused::at(WHAT, label, &why);
        let optional = |text: &str, label: &str, units: &[&str]| match text.trim() {
            "" => Ok(None),
            typed => own::figure(typed, units).map(Some).map_err(|why| at(label, why)),
        };
        let name = own::name(&self.name).map_err(|why| Refused::at(WHAT, NAME, &why))?;
        let sv = own::figure(&self.sv, &["mg KOH/g", "mg/g", "mg"]).map_err(|why| at(SV, why))?;
        let acids = self.pasted.acids().map_err(|why| Refused::at(WHAT, ACIDS, &why))?;
        let unsaponifiable = optional(&self.unsaponifiable, UNSAPONIFIABLE, &["%"])?;
        let in_g_per_kg = |percent: Interval| Interval::new(percent.min() * G_PER_KG, percent.max() * G_PER_KG).ok();
        let source = self.like.as_ref().filter(|(_, text)| *text == self.acids);
        Ok(OwnFat {
            name,
            kind: self.kind,
            sv,
            acids,
            acids_source: source
                .map_or_else(|| "the supplier’s certificate, as typed".into(), |(from, _)| from.clone()),
            iv: optional(&self.iv, IV, &["g/100 g", "g/100g", "g"])?,
            unsaponifiable: unsaponifiable.and_then(in_g_per_kg),
            inci: self.inci.clone(),
        })
    }

    fn record(&self, id: MaterialId, acids: &Acids) -> Result<Fat, Refused> {
        self.own()?.record(id, self.changed.as_deref(), acids).map_err(|why| {
            let label = match &why {
                OwnFatError::Name(_) => NAME,
                OwnFatError::Inci(_) => INCI,
                OwnFatError::Sv(_) | OwnFatError::Misprint { .. } => SV,
                OwnFatError::Iv(_) => IV,
                OwnFatError::Unsaponifiable(_) => UNSAPONIFIABLE,
                OwnFatError::Acids(_) | OwnFatError::Profile(_) | OwnFatError::Wax => ACIDS,
            };
            Refused::at(WHAT, label, &why)
        })
    }

    /// The id of the record.
    fn id(&self, context: &Context<'_>) -> Result<MaterialId, Refused> {
        let design = context.design;
        let taken = |id: &str| {
            let spare = design.spare.fats.iter().any(|f| f.id.as_str() == id);
            spare || context.library.fat(id).is_some() || design.blend.lines().iter().any(|l| l.fat.id.as_str() == id)
        };
        match &self.changed {
            Some(fat) => Ok(fat.id.clone()),
            None => id_from(&self.name, taken),
        }
    }

    /// The acids: a box to type or paste them, and a field to take those of a fat that is known.
    fn acid_fields(&mut self, ui: &mut Ui, context: &Context<'_>) {
        let library = context.library;
        small(
            ui,
            "Fatty acids, percent of all, if they are known: typed, pasted from the certificate, or as of a known fat",
        );
        // What was typed is not replaced.
        let is_free = self.acids.trim().is_empty() || self.like.as_ref().is_some_and(|(_, text)| *text == self.acids);
        if is_free {
            let known: Vec<Arc<Fat>> = library.fats().iter().filter(|f| !f.profile().is_empty()).cloned().collect();
            let id = Id::unique("acids like those of");
            let hint = "Take those of a fat it is like…";
            if let Some(fat) = self.picker.show(ui, id, hint, &library.names, &known, |_| None) {
                let given = fat.profile().iter().map(|e| (e.acid, e.range, e.typical));
                self.acids = written(given, &library.acids);
                self.pasted = Pasted::read(&self.acids, &library.acids);
                self.like = Some((format!("taken as those of {}", fat.name), self.acids.clone()));
                if self.unsaponifiable.trim().is_empty() {
                    let matter = fat.unsaponifiable.as_ref().map(|u| typed(u.value, 1.0 / G_PER_KG));
                    self.unsaponifiable = matter.unwrap_or_default();
                }
            }
        }
        if pasted(ui, context, (WHAT, ACIDS), &mut self.acids, "Oleic acid C18:1  72 %\nPalmitic 7.5–20\n…") {
            self.pasted = Pasted::read(&self.acids, &library.acids);
        }
        if self.pasted.lines.is_empty() {
            return;
        }
        preview(ui, WHAT, |ui| {
            for line in &self.pasted.lines {
                match &line.says {
                    Says::Acid(given) => {
                        let percent = typed(given.range, 1.0);
                        let found = given.typical.map(|t| format!(", found {}", short(t, 2))).unwrap_or_default();
                        let name = library.acids.get(given.acid).in_words();
                        understood(ui, true, &name, &format!("{percent} %{found}"));
                    }
                    Says::LeftOut => understood(ui, false, &line.text, "left out"),
                    Says::Unread(why) => not_understood(ui, line.number, &line.text, why),
                }
            }
        });
    }

    /// What the lye would rest on, once enough is typed.
    fn outcome(&self, ui: &mut Ui, context: &Context<'_>) {
        let Ok(id) = self.id(context) else { return };
        let acids = &context.library.acids;
        let Ok(fat) = self.record(id, acids) else { return };
        let SvRanges { possible, used, .. } = SvRanges::of(&fat);
        let allowed = match possible {
            Some(p) => format!("its fatty acids allow {} to {}", fixed(p.min(), 1), fixed(p.max(), 1)),
            None => "without fatty acids the estimates leave it out".into(),
        };
        let words =
            format!("The lye rests on {} to {} mg KOH/g; {allowed}", fixed(used.min(), 1), fixed(used.max(), 1));
        ui.add(Label::new(RichText::new(words).color(Tokens::of(ui).quiet)).wrap());
    }
}

/// The share that a fat gets when it is added, percent.
const NEW_SHARE: f64 = 5.0;

impl Form for FatForm {
    fn title(&self) -> String {
        if self.changed.is_some() { "Figures of a fat of your own" } else { "A fat of your own" }.into()
    }

    fn take(&self) -> &'static str {
        if self.changed.is_some() { "Use these figures" } else { "Add it" }
    }

    fn first(&self) -> Id {
        text_id(WHAT, if self.name.is_empty() || self.changed.is_some() { NAME } else { SV })
    }

    fn draft(&self) -> Option<&str> {
        self.changed.is_none().then_some(self.name.trim())
    }

    fn fields(&mut self, ui: &mut Ui, context: &Context<'_>) -> Option<Edit> {
        Grid::new("own fat").num_columns(2).spacing([12.0, 5.0]).show(ui, |ui| {
            text(ui, context, WHAT, NAME, (&mut self.name, "Orchard press"));
            let kept = self.changed.as_ref().map(|fat| fat.kind).filter(|kind| !KINDS.contains(kind));
            choice(ui, (WHAT, "Kind"), &mut self.kind, KINDS.into_iter().chain(kept), words);
            text(ui, context, WHAT, SV, (&mut self.sv, "188–196 or 190 ± 2, mg KOH/g"));
            text(ui, context, WHAT, IV, (&mut self.iv, "not known, g/100 g"));
            text(ui, context, WHAT, UNSAPONIFIABLE, (&mut self.unsaponifiable, "not known"));
            text(ui, context, WHAT, INCI, (&mut self.inci, "as on a label, if known"));
        });
        ui.add_space(4.0);
        self.acid_fields(ui, context);
        self.outcome(ui, context);
        None
    }

    fn edit(&mut self, context: &Context<'_>) -> Result<Edit, Refused> {
        // What is wrong with the name is told before it is made an id.
        self.own()?;
        let fat = Arc::new(self.record(self.id(context)?, &context.library.acids)?);
        let share = Share::nearest(NEW_SHARE);
        Ok(match (&self.changed, self.held.is_empty()) {
            (Some(_), _) => Edit::DefineFat(fat),
            (None, true) => Edit::AddFat(fat, share),
            (None, false) => Edit::TypeFat { fat, share, held: self.held.clone() },
        })
    }
}
