//! The changes a person can make to a design; the one way in.

use crate::design::blend::{Blend, BlendError};
use crate::design::mould::Size;
use crate::design::scale::{ScaleError, Scaled};
use crate::design::supplier::Certificate;
use crate::design::{Alkali, Calibration, Design, MOST_RECORDS, Price, Process, Surroundings, WaterRule};
use crate::library::Library;
use crate::library::additions::{Addition, AdditionLine, MOST_LINES, Stage};
use crate::library::allergens::AllergenList;
use crate::library::fats::Fat;
use crate::library::material::MaterialId;
use crate::library::scents::{MOST_CONSTITUENTS, Scent, ScentLine};
use crate::units::{AcceptedChance, Bars, FatMass, Grams, ScaleDivision, Share, Superfat};
use std::mem::discriminant;
use std::sync::Arc;

/// One change. Lines of additions and scents are named by their position, since the same
/// material may go in at two stages.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Gives the design another name.
    Rename(String),
    /// Replaces the notes.
    Notes(String),
    /// Chooses a style by name.
    Style(String),
    /// Moves a fat's share; the unlocked others give way.
    Share(MaterialId, Share),
    /// Gives a fat a typed share while others hold theirs; what is left gives way.
    TypeShare {
        /// The fat.
        fat: MaterialId,
        /// Its share.
        share: Share,
        /// Whose shares hold.
        held: Vec<MaterialId>,
    },
    /// Adds a fat while others hold their shares.
    TypeFat {
        /// The fat.
        fat: Arc<Fat>,
        /// Its share, unless more is free.
        share: Share,
        /// Whose shares hold.
        held: Vec<MaterialId>,
    },
    /// Locks or unlocks a fat's share.
    Lock(MaterialId, bool),
    /// Adds a fat.
    AddFat(Arc<Fat>, Share),
    /// Keeps the record of a fat of one's own, in place of one with the same id.
    DefineFat(Arc<Fat>),
    /// Takes a fat out.
    RemoveFat(MaterialId),
    /// Scales the unlocked fats so that the shares sum to 100.
    FillBlend,
    /// Puts another blend in place of the design's.
    TakeBlend(Blend),
    /// Puts a blend that was written down in its place, with the mass of its fats if that was written too.
    WriteBlend(Blend, Option<FatMass>),
    /// Changes the superfat.
    Superfat(Superfat),
    /// Changes the chance of a lye-heavy bar that is accepted.
    AcceptedChance(AcceptedChance),
    /// Changes the kind of alkali or its purity.
    Alkali(Alkali),
    /// Gives a fat what its supplier's certificate says; an empty one takes that away.
    Supplier(MaterialId, Certificate),
    /// Changes the water.
    Water(WaterRule),
    /// Changes the size of the batch; a mould that sets the number of bars sets it.
    Size(Size),
    /// Fills a mould that is cut into so many bars.
    FillMould(Size, Bars),
    /// Makes the batch larger or smaller with all that is in it.
    Scale(Scaled),
    /// Changes the number of bars.
    Bars(Bars),
    /// Changes the step of the scale.
    ScaleDivision(ScaleDivision),
    /// Puts an addition in.
    AddAddition(AdditionLine),
    /// Replaces the addition at a position.
    SetAddition(usize, AdditionLine),
    /// Takes the addition at a position out.
    RemoveAddition(usize),
    /// Moves a mass of the addition at a position to another stage; what is left stays.
    MoveAddition {
        /// Position.
        index: usize,
        /// How much of it; at least all of it moves the whole line.
        mass: Grams,
        /// Mass of the fats in the batch, by which amounts are counted.
        fats: Grams,
        /// Where to.
        to: Stage,
    },
    /// Keeps the record of an addition of one's own, in place of one with the same id.
    DefineAddition(Arc<Addition>),
    /// Puts a scent in.
    AddScent(ScentLine),
    /// Replaces the scent at a position.
    SetScent(usize, ScentLine),
    /// Takes the scent at a position out.
    RemoveScent(usize),
    /// Keeps the record of a scent of one's own, in place of one with the same id.
    DefineScent(Arc<Scent>),
    /// Changes temperatures and times.
    Process(Process),
    /// Changes what the jug cools in; a time constant measured elsewhere is forgotten.
    JugStands(Surroundings),
    /// Changes what the maker measured.
    Calibration(Calibration),
    /// Gives a material this price, in place of any that it had.
    SetPrice(Price),
    /// Takes the price of a material away.
    RemovePrice(String),
    /// Changes the currency's label.
    Currency(String),
    /// Chooses which allergens the label names.
    AllergenList(AllergenList),
    /// Puts the library's records in place of those kept in the design, but for those that carry
    /// the maker's own figures.
    RefreshRecords,
    /// Rests the lye of every fat on what its record has as published and possible; fatty acids in additions count as fats.
    NarrowLye,
}

/// A change that cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The blend cannot be as asked.
    #[error(transparent)]
    Blend(#[from] BlendError),
    /// The batch cannot be as large as asked.
    #[error(transparent)]
    Scale(#[from] ScaleError),
    /// No addition or scent stands at that position.
    #[error("there is no such line any more")]
    NoLine,
    /// More lines than a design holds.
    #[error(
        "a design holds at most {MOST_LINES} additions, {MOST_LINES} scents and {MOST_RECORDS} records of materials"
    )]
    TooMany,
    /// A scent with more constituents than it may hold.
    #[error("a scent has at most {MOST_CONSTITUENTS} constituents")]
    TooManyConstituents,
}

/// A kind of material that a design keeps records of besides those in use.
trait Record: PartialEq {
    fn id(&self) -> &MaterialId;
}

impl Record for Fat {
    fn id(&self) -> &MaterialId {
        &self.id
    }
}

impl Record for Addition {
    fn id(&self) -> &MaterialId {
        &self.id
    }
}

impl Record for Scent {
    fn id(&self) -> &MaterialId {
        &self.id
    }
}

/// Takes the kept record of the same id, which comes before the library's, or `given`.
fn take<T: Record>(spare: &mut Vec<Arc<T>>, given: Arc<T>) -> Arc<T> {
    spare.iter().position(|s| s.id() == given.id()).map_or(given, |i| spare.remove(i))
}

/// Keeps `record`, which no line uses any more, unless the library holds the same.
fn keep<T: Record>(spare: &mut Vec<Arc<T>>, record: Arc<T>, known: Option<&Arc<T>>) {
    if known.is_none_or(|k| **k != *record) && !spare.iter().any(|s| s.id() == record.id()) {
        spare.push(record);
        spare.sort_by(|a, b| a.id().cmp(b.id()));
    }
}

/// Puts `record` in place of a kept one of the same id.
fn replace<T: Record>(spare: &mut Vec<Arc<T>>, record: Arc<T>) {
    spare.retain(|s| s.id() != record.id());
    spare.push(record);
    spare.sort_by(|a, b| a.id().cmp(b.id()));
}

impl Edit {
    /// What undo calls this step.
    pub fn name(&self, design: &Design) -> String {
        let fat = |id: &MaterialId| design.blend.line(id).map_or_else(|| id.to_string(), |l| l.fat.name.clone());
        let addition = |i: &usize| design.additions.get(*i).map_or("addition", |l| l.addition.name.as_str());
        let scent = |i: &usize| design.scents.get(*i).map_or("scent", |l| l.scent.name.as_str());
        let material = |id: &str| design.material_name(id).unwrap_or(id).to_owned();
        match self {
            Self::Rename(_) => "name".into(),
            Self::Notes(_) => "notes".into(),
            Self::Style(_) => "style".into(),
            Self::Share(id, _) | Self::TypeShare { fat: id, .. } => format!("share of {}", fat(id)),
            Self::Lock(id, true) => format!("lock {}", fat(id)),
            Self::Lock(id, false) => format!("unlock {}", fat(id)),
            Self::AddFat(record, _) | Self::TypeFat { fat: record, .. } => format!("add {}", record.name),
            Self::DefineFat(record) => format!("figures of {}", record.name),
            Self::RemoveFat(id) => format!("remove {}", fat(id)),
            Self::FillBlend => "make it 100 %".into(),
            Self::TakeBlend(_) => "take another blend".into(),
            Self::WriteBlend(..) => "type a blend".into(),
            Self::Superfat(_) => "superfat".into(),
            Self::AcceptedChance(_) => "accepted chance".into(),
            Self::Supplier(id, _) => format!("supplier’s figures of {}", fat(id)),
            Self::Alkali(next) if next.is_read_anew(&design.alkali) => "purity read from the tub".into(),
            Self::Alkali(a) if Alkali { koh_share: a.koh_share, ..design.alkali } == *a => "alkali".into(),
            Self::Alkali(_) => "purity of the alkali".into(),
            Self::Water(_) => "water".into(),
            Self::Size(_) => "size of the batch".into(),
            Self::FillMould(..) => "another mould".into(),
            Self::Scale(_) => "scale the batch".into(),
            Self::Bars(_) => "number of bars".into(),
            Self::ScaleDivision(_) => "division of the scale".into(),
            Self::AddAddition(line) => format!("add {}", line.addition.name),
            Self::SetAddition(i, _) => format!("change {}", addition(i)),
            Self::RemoveAddition(i) => format!("remove {}", addition(i)),
            Self::MoveAddition { index, .. } => format!("move {}", addition(index)),
            Self::DefineAddition(record) => format!("figures of {}", record.name),
            Self::AddScent(line) => format!("add {}", line.scent.name),
            Self::SetScent(i, _) => format!("change {}", scent(i)),
            Self::RemoveScent(i) => format!("remove {}", scent(i)),
            Self::DefineScent(record) => format!("figures of {}", record.name),
            Self::Process(p) if p.jug_frozen != design.process.jug_frozen => "frozen part of the jug".into(),
            Self::Process(p) if p.oven_gel != design.process.oven_gel => "oven".into(),
            Self::Process(p) if p.rest != design.process.rest => "where the mould stands".into(),
            Self::Process(p) if p.is_warmed_as(&design.process) => "times".into(),
            Self::Process(_) => "temperatures".into(),
            Self::JugStands(_) => "what the jug cools in".into(),
            Self::Calibration(next) if next.own_bars != design.calibration.own_bars => "colour of an own bar".into(),
            Self::Calibration(_) => "calibration".into(),
            Self::SetPrice(price) => format!("price of {}", material(&price.material)),
            Self::RemovePrice(id) => format!("remove the price of {}", material(id)),
            Self::Currency(_) => "currency".into(),
            Self::AllergenList(_) => "allergens on the label".into(),
            Self::RefreshRecords => "use the library’s figures".into(),
            Self::NarrowLye => "narrower saponification values".into(),
        }
    }

    /// The design after this change.
    ///
    /// # Errors
    /// [`EditError`] if the blend cannot be as asked, a line is not there, or there are too many.
    pub fn apply(&self, design: &Design, library: &Library) -> Result<Design, EditError> {
        let mut next = design.clone();
        match self.clone() {
            Self::Rename(name) => next.name = name,
            Self::Notes(notes) => next.notes = notes,
            Self::Style(style) => next.style = style,
            Self::Share(id, share) => next.blend.set_share(&id, share)?,
            Self::TypeShare { fat, share, held } => next.blend.set_share_holding(&fat, share, &held)?,
            Self::TypeFat { fat, share, held } => {
                next.blend.add_holding(take(&mut next.spare.fats, fat), share, &held)?;
            }
            Self::Lock(id, locked) => next.blend.set_locked(&id, locked)?,
            Self::AddFat(fat, share) => next.blend.add(take(&mut next.spare.fats, fat), share)?,
            Self::DefineFat(record) => next.define_fat(&record),
            Self::RemoveFat(id) => {
                let gone = next.blend.line(&id).map(|l| Arc::clone(l.published()));
                next.blend.remove(&id)?;
                if let Some(fat) = gone {
                    keep(&mut next.spare.fats, fat, library.fat(id.as_str()));
                }
            }
            Self::FillBlend => next.blend.fill()?,
            Self::TakeBlend(blend) => next.take_blend(blend, library),
            Self::WriteBlend(blend, mass) => {
                next.take_blend(blend, library);
                next.size = mass.map_or(next.size, Size::FatMass);
            }
            Self::Superfat(superfat) => next.superfat = superfat,
            Self::AcceptedChance(chance) => next.accepted_chance = chance,
            Self::Supplier(id, certificate) => next.blend.set_certificate(&id, certificate)?,
            Self::Alkali(alkali) => next.alkali = alkali.after(&design.alkali),
            Self::Water(water) => next.water = water,
            Self::Size(size) => {
                next.size = size;
                next.bars = size.own_bars().unwrap_or(next.bars);
            }
            Self::FillMould(size, bars) => (next.size, next.bars) = (size, bars),
            Self::Scale(scaled) => next = scaled.of(design)?,
            Self::Bars(bars) => next.bars = bars,
            Self::ScaleDivision(division) => next.scale_division = division,
            Self::AddAddition(line) => {
                let line = next.with_shared_addition(line);
                next.additions.push(line);
            }
            Self::SetAddition(index, line) => {
                next.remove_addition(index, library)?;
                let line = next.with_shared_addition(line);
                next.additions.insert(index, line);
            }
            Self::RemoveAddition(index) => next.remove_addition(index, library)?,
            Self::MoveAddition { index, mass, fats, to } => next.move_addition(index, mass, fats, to)?,
            Self::DefineAddition(record) => next.define_addition(record),
            Self::AddScent(line) => {
                let line = next.with_shared_scent(line);
                next.scents.push(line);
            }
            Self::SetScent(index, line) => {
                next.remove_scent(index, library)?;
                let line = next.with_shared_scent(line);
                next.scents.insert(index, line);
            }
            Self::RemoveScent(index) => next.remove_scent(index, library)?,
            Self::DefineScent(record) => next.define_scent(record),
            Self::Process(process) => next.process = process,
            Self::JugStands(stands) => {
                next.process.jug_stands = stands;
                next.calibration.jug_cooling_min = None;
            }
            Self::Calibration(calibration) => next.calibration = calibration,
            Self::SetPrice(price) => next.set_price(price),
            Self::RemovePrice(material) => next.prices.retain(|p| p.material != material),
            Self::Currency(currency) => next.currency = currency,
            Self::AllergenList(list) => next.allergen_list = list,
            Self::RefreshRecords => next.refresh(library),
            Self::NarrowLye => next.narrow_lye(),
        }
        next.keep_prices_apart(design);
        // What a file could not hold would be lost when it is saved.
        if next.additions.len() > MOST_LINES || next.scents.len() > MOST_LINES || next.records() > MOST_RECORDS {
            return Err(EditError::TooMany);
        }
        let mut scents = next.scents.iter().map(|l| &l.scent).chain(&next.spare.scents);
        if scents.any(|s| s.constituents.len().max(s.supplied.allergens.len()) > MOST_CONSTITUENTS) {
            return Err(EditError::TooManyConstituents);
        }
        Ok(next)
    }
}

impl Design {
    /// How many records of materials a file of this design holds at the most.
    fn records(&self) -> usize {
        let spare = self.spare.fats.len() + self.spare.additions.len() + self.spare.scents.len();
        self.blend.lines().len() + self.additions.len() + self.scents.len() + spare
    }

    /// Puts `blend` in place; records of fats that go are kept, and kept ones of fats that come are
    /// used for them.
    fn take_blend(&mut self, blend: Blend, library: &Library) {
        let gone = std::mem::replace(&mut self.blend, blend);
        let spare = std::mem::take(&mut self.spare.fats);
        self.blend.replace_records(|id| {
            let comes = gone.line(id).is_none();
            spare.iter().find(|f| comes && f.id == *id).map(Arc::clone)
        });
        self.spare.fats = spare;
        self.spare.fats.retain(|f| self.blend.line(&f.id).is_none());
        for line in gone.lines().iter().filter(|l| self.blend.line(&l.fat.id).is_none()) {
            keep(&mut self.spare.fats, Arc::clone(line.published()), library.fat(line.fat.id.as_str()));
        }
    }

    /// Puts `price` where the material's price stands, or at the end.
    fn set_price(&mut self, price: Price) {
        let at = self.prices.iter().position(|p| p.material == price.material).unwrap_or(self.prices.len());
        self.prices.retain(|p| p.material != price.material);
        self.prices.insert(at, price);
    }

    fn define_fat(&mut self, record: &Arc<Fat>) {
        if self.blend.line(&record.id).is_some() {
            self.blend.replace_records(|id| (*id == record.id).then(|| Arc::clone(record)));
        } else {
            replace(&mut self.spare.fats, Arc::clone(record));
        }
    }

    fn define_addition(&mut self, record: Arc<Addition>) {
        let lines = self.additions.iter_mut().filter(|l| l.addition.id == record.id);
        if lines.map(|l| l.addition = Arc::clone(&record)).count() == 0 {
            replace(&mut self.spare.additions, record);
        }
    }

    fn define_scent(&mut self, record: Arc<Scent>) {
        let lines = self.scents.iter_mut().filter(|l| l.scent.id == record.id);
        if lines.map(|l| l.scent = Arc::clone(&record)).count() == 0 {
            replace(&mut self.spare.scents, record);
        }
    }

    /// Puts the library's records in place of those in use.
    fn refresh(&mut self, library: &Library) {
        self.blend.replace_records(|id| library.fat(id.as_str()).map(Arc::clone));
        self.spare.fats.retain(|fat| library.fat(fat.id.as_str()).is_none());
        for line in &mut self.additions {
            if let Some(known) = library.addition(line.addition.id.as_str()).filter(|_| !line.addition.is_makers()) {
                line.addition = Arc::clone(known);
            }
        }
        for line in &mut self.scents {
            if let Some(known) = library.scent(line.scent.id.as_str()).filter(|_| !line.scent.is_makers()) {
                line.scent = Arc::clone(known);
            }
        }
    }

    /// Rests the lye of every record of a fat on what is published and possible, and counts fatty acids as fats.
    fn narrow_lye(&mut self) {
        let kept: Vec<Arc<Fat>> = self.blend.lines().iter().map(|l| l.published().narrowed()).collect();
        self.blend.replace_records(|id| kept.iter().find(|f| f.id == *id).map(Arc::clone));
        for fat in &mut self.spare.fats {
            *fat = fat.narrowed();
        }
        for line in &mut self.additions {
            line.addition = line.addition.counting_as_fat(true);
        }
        for addition in &mut self.spare.additions {
            *addition = addition.counting_as_fat(true);
        }
    }

    /// `line` with the record that other lines of the material use, since all share one, or that
    /// was kept for it.
    fn with_shared_addition(&mut self, line: AdditionLine) -> AdditionLine {
        let used = self.additions.iter().find(|l| l.addition.id == line.addition.id);
        let addition = match used {
            Some(l) => Arc::clone(&l.addition),
            None => take(&mut self.spare.additions, line.addition),
        };
        AdditionLine { addition, ..line }
    }

    /// Takes the addition at `index` out; its record is kept unless it is the library's or still in
    /// use.
    fn remove_addition(&mut self, index: usize, library: &Library) -> Result<(), EditError> {
        if index >= self.additions.len() {
            return Err(EditError::NoLine);
        }
        let gone = self.additions.remove(index).addition;
        if !self.additions.iter().any(|l| l.addition.id == gone.id) {
            let known = library.addition(gone.id.as_str());
            keep(&mut self.spare.additions, gone, known);
        }
        Ok(())
    }

    /// As [`Self::with_shared_addition`].
    fn with_shared_scent(&mut self, line: ScentLine) -> ScentLine {
        let used = self.scents.iter().find(|l| l.scent.id == line.scent.id);
        let scent = match used {
            Some(l) => Arc::clone(&l.scent),
            None => take(&mut self.spare.scents, line.scent),
        };
        ScentLine { scent, ..line }
    }

    /// As [`Self::remove_addition`].
    fn remove_scent(&mut self, index: usize, library: &Library) -> Result<(), EditError> {
        if index >= self.scents.len() {
            return Err(EditError::NoLine);
        }
        let gone = self.scents.remove(index).scent;
        if !self.scents.iter().any(|l| l.scent.id == gone.id) {
            let known = library.scent(gone.id.as_str());
            keep(&mut self.spare.scents, gone, known);
        }
        Ok(())
    }

    /// Moves `mass` of the addition at `index` to the stage `to`, onto a line with the same kind of
    /// amount that is there already or as a line of its own. All of it, or what has no mass
    /// without fats, moves with its amount as it was given.
    pub(crate) fn move_addition(&mut self, index: usize, mass: Grams, fats: Grams, to: Stage) -> Result<(), EditError> {
        let line = self.additions.get(index).ok_or(EditError::NoLine)?.clone();
        if line.stage == to {
            return Ok(());
        }
        let all = line.amount.mass(fats);
        let whole = mass >= all;
        let moved = if whole { line.amount } else { line.amount.with_mass(mass, fats) };
        let fits = |l: &AdditionLine| {
            let together = l.amount.number() + moved.number();
            l.addition.id == line.addition.id
                && l.stage == to
                && l.counts_as_water == line.counts_as_water
                && discriminant(&l.amount) == discriminant(&moved)
                // Not more than a line holds.
                && l.amount.with_number(together).number() >= together
        };
        match self.additions.iter().position(fits) {
            Some(there) => {
                let amount = self.additions[there].amount;
                self.additions[there].amount = amount.with_number(amount.number() + moved.number());
                if whole {
                    self.additions.remove(index);
                }
            }
            None if whole => self.additions[index].stage = to,
            None => self.additions.push(AdditionLine { amount: moved, stage: to, ..line.clone() }),
        }
        if !whole {
            self.additions[index].amount = line.amount.with_mass(all - mass, fats);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::additions::Amount;
    use crate::units::AmountMass;

    #[test]
    fn a_record_of_ones_own_outlives_its_line() {
        let library = Library::embedded().expect("assets parse");
        let mut own = library.fats()[0].as_ref().clone();
        own.name = "Orchard press".into();
        own.id = MaterialId::new("orchard_press").expect("good");
        let design = Design::default();
        let add = |fat: Fat| Edit::AddFat(Arc::new(fat), Share::nearest(10.0));
        let with = add(own.clone()).apply(&design, &library).expect("room");
        let without = Edit::RemoveFat(own.id.clone()).apply(&with, &library).expect("there");
        assert_eq!(without.spare.fats.len(), 1, "kept");
        let again = add(own.clone()).apply(&without, &library).expect("room");
        assert!(again.spare.fats.is_empty(), "taken back into the blend");
        assert_eq!(*again.blend.lines()[0].fat, own);
    }

    #[test]
    fn part_of_an_addition_moves_and_the_sum_stays() {
        let library = Library::embedded().expect("assets parse");
        let puree = Arc::clone(library.addition("apple_puree").expect("tabled"));
        let line = AdditionLine {
            amount: Amount::Grams(AmountMass::nearest(60.0)),
            stage: Stage::IntoFats,
            ..AdditionLine::usual(puree)
        };
        let fats = Grams(750.0);
        let with = Edit::AddAddition(line).apply(&Design::default(), &library).expect("room");
        let part = Edit::MoveAddition { index: 0, mass: Grams(20.0), fats, to: Stage::IntoJug };
        let moved = part.apply(&with, &library).expect("there");
        let masses: Vec<_> = moved.additions.iter().map(|l| (l.stage, l.amount.mass(fats).0)).collect();
        assert_eq!(masses, [(Stage::IntoFats, 40.0), (Stage::IntoJug, 20.0)]);
        let rest = Edit::MoveAddition { index: 0, mass: Grams(40.0), fats, to: Stage::IntoJug };
        let together = rest.apply(&moved, &library).expect("there");
        assert_eq!(together.additions.len(), 1, "the two lines are one again");
        assert!((together.additions[0].amount.mass(fats).0 - 60.0).abs() < 1e-9, "nothing is lost");
        assert_eq!(part.apply(&Design::default(), &library), Err(EditError::NoLine));
    }

    #[test]
    fn an_addition_of_ones_own_is_kept_when_it_is_taken_out() {
        let library = Library::embedded().expect("assets parse");
        let mut own = library.addition("apple_puree").expect("tabled").as_ref().clone();
        own.id = MaterialId::new("orchard_puree").expect("good");
        let own = Arc::new(own);
        let defined = Edit::DefineAddition(Arc::clone(&own)).apply(&Design::default(), &library).expect("room");
        assert_eq!(defined.spare.additions, [Arc::clone(&own)]);
        let with = Edit::AddAddition(AdditionLine::usual(own)).apply(&defined, &library).expect("room");
        assert!(with.spare.additions.is_empty(), "in use");
        let without = Edit::RemoveAddition(0).apply(&with, &library).expect("there");
        assert_eq!(without.spare.additions.len(), 1, "kept");
    }
}
