//! The fats of a design with their shares, and how shares give way to each other.

use crate::design::supplier::{Certificate, SuppliedAcids, SuppliedAcidsError, SupplierFigure};
use crate::formula::{Input, Num, Plain, Reading};
use crate::library::fats::Fat;
use crate::library::material::MaterialId;
use crate::number::short;
use crate::units::{Interval, Share};
use std::sync::Arc;

/// Shares count as 100 within this many percent.
pub const SUM_TOLERANCE: f64 = 1e-6;
/// The most fats a blend may hold.
pub const MOST_FATS: usize = 100;

/// One fat in a blend.
#[derive(Debug, Clone, PartialEq)]
pub struct FatLine {
    /// The fat as it is used: its record as it was when the design was made or saved, with the
    /// fatty acids of the supplier's certificate if there are any.
    pub fat: Arc<Fat>,
    /// Its percent of the blend.
    pub share: Share,
    /// Whether the share holds still when others move.
    pub locked: bool,
    /// The supplier's figure, which then replaces that of the record.
    pub supplier: Option<SupplierFigure>,
    /// The fatty acids on the supplier's certificate; they are in `fat` already.
    pub acids: Option<SuppliedAcids>,
}

impl FatLine {
    /// A line of `fat` with `share`, unlocked, without a supplier's figure.
    pub const fn new(fat: Arc<Fat>, share: Share) -> Self {
        Self { fat, share, locked: false, supplier: None, acids: None }
    }

    /// The fat's record as published, without the supplier's fatty acids.
    pub fn published(&self) -> &Arc<Fat> {
        self.acids.as_ref().map_or(&self.fat, SuppliedAcids::published)
    }

    /// What the supplier's certificate says.
    pub fn certificate(&self) -> Certificate {
        let acids = self.acids.as_ref().map_or_else(Vec::new, |a| a.listed().to_vec());
        Certificate { sv: self.supplier, acids }
    }

    /// The line with what `certificate` says in place of what another one said.
    ///
    /// # Errors
    /// [`SuppliedAcidsError`] if its fatty acids make no profile.
    pub fn with_certificate(self, certificate: Certificate) -> Result<Self, SuppliedAcidsError> {
        let published = Arc::clone(self.published());
        let Certificate { sv: supplier, acids } = certificate;
        if acids.is_empty() {
            return Ok(Self { fat: published, supplier, acids: None, ..self });
        }
        let (acids, fat) = SuppliedAcids::of(published, acids)?;
        Ok(Self { fat, supplier, acids: Some(acids), ..self })
    }

    /// The saponification value the lye is worked out with, mg KOH/g: the supplier's, else the
    /// middle of what the fat's record rests on ([`Fat::lye`]).
    pub fn saponification_value(&self) -> f64 {
        self.supplier.map_or_else(|| self.fat.lye().mid(), |s| s.sv.get())
    }

    /// Where that value may lie: the supplier's ±, else what the fat's record rests on.
    pub fn saponification_range(&self) -> Interval {
        let of_supplier =
            self.supplier.and_then(|s| Interval::new(s.sv.get() - s.pm.get(), s.sv.get() + s.pm.get()).ok());
        of_supplier.unwrap_or(self.fat.lye())
    }
}

/// Why a blend cannot be as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BlendError {
    /// The fat is not in the blend.
    #[error("{0} is not in the blend")]
    Absent(MaterialId),
    /// The fat is in the blend already.
    #[error("{0} is in the blend already")]
    Present(String),
    /// Too many fats.
    #[error("a blend holds at most {MOST_FATS} fats")]
    TooMany,
    /// What the locked fats hold leaves too little room.
    #[error("locked fats hold {held} %, so {name} can have at most {most} %; unlock one first")]
    NoRoom {
        /// The fat that was to move.
        name: String,
        /// Percent held by locks.
        held: String,
        /// The most it can have.
        most: String,
    },
    /// Every other fat is locked, so nothing can give way.
    #[error("every other fat is locked, so {name} must stay at {only} %; unlock one first")]
    NothingGives {
        /// The fat that was to move.
        name: String,
        /// The one share it can have.
        only: String,
    },
    /// What a certificate says of a fat's acids cannot be.
    #[error("{name}: {error}")]
    Certificate {
        /// The fat.
        name: String,
        /// What is wrong.
        error: SuppliedAcidsError,
    },
    /// All fats are locked and do not sum to 100.
    #[error("all fats are locked at {sum} % in all; unlock one so that it can take up the rest")]
    AllLocked {
        /// The sum of the shares.
        sum: String,
    },
}

/// The fats of a design: no fat twice, in the order the person gave them.
///
/// The shares need not sum to 100 (a file may be wrong); [`Blend::is_whole`] tells. Changing a
/// share by [`Blend::set_share`] makes them sum to 100 or refuses.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Blend(Vec<FatLine>);

fn percent(value: f64) -> String {
    crate::number::short(value, 2)
}

impl Blend {
    /// A blend of `lines`.
    ///
    /// # Errors
    /// [`BlendError::Present`] if a fat stands twice, [`BlendError::TooMany`] over 100 lines.
    pub fn new(lines: Vec<FatLine>) -> Result<Self, BlendError> {
        if lines.len() > MOST_FATS {
            return Err(BlendError::TooMany);
        }
        for (i, line) in lines.iter().enumerate() {
            if lines[..i].iter().any(|l| l.fat.id == line.fat.id) {
                return Err(BlendError::Present(line.fat.name.clone()));
            }
        }
        Ok(Self(lines))
    }

    /// The fats, in order.
    pub fn lines(&self) -> &[FatLine] {
        &self.0
    }

    /// The line of fat `id`.
    pub fn line(&self, id: &MaterialId) -> Option<&FatLine> {
        self.0.iter().find(|l| l.fat.id == *id)
    }

    /// Sum of the shares, percent.
    pub fn total(&self) -> f64 {
        self.0.iter().map(|l| l.share.get()).sum()
    }

    /// Percent of the blend that has to be exchanged to get from this one to `other`: half the sum of the
    /// absolute differences of the shares.
    pub fn exchanged(&self, other: &Self) -> f64 {
        self.read_exchanged(Plain, other)
    }

    /// The same in any reading, with the shares that differ as its inputs.
    pub fn read_exchanged<R: Reading>(&self, r: R, other: &Self) -> R::N {
        let share = |blend: &Self, line: &FatLine| blend.line(&line.fat.id).map_or(0.0, |l| l.share.get());
        let only_there = other.lines().iter().filter(|l| self.line(&l.fat.id).is_none());
        let part = |line: &FatLine| {
            let (own, there) = (share(self, line), share(other, line));
            let about = || {
                let value = format!("{} % here, {} % in the design", short(there, 4), short(own, 4));
                Input::worked_out(&line.fat.name, value, "the shares of both")
            };
            let differs = (there - own).abs() > 0.0;
            differs.then(|| (r.input("share", there, "", about) - r.input("share in the design", own, "", about)).abs())
        };
        r.sum(self.lines().iter().chain(only_there).filter_map(part)) / 2.0
    }

    /// Whether `other` has the same fats in the same shares, in whatever order.
    pub fn has_shares_of(&self, other: &Self) -> bool {
        /// Less than any share that is typed or searched for, percent.
        const NOTHING: f64 = 1e-9;
        self.exchanged(other) < NOTHING
    }

    /// Whether the shares sum to 100 within [`SUM_TOLERANCE`].
    pub fn is_whole(&self) -> bool {
        (self.total() - Share::MAX).abs() <= SUM_TOLERANCE
    }

    fn index(&self, id: &MaterialId) -> Result<usize, BlendError> {
        self.0.iter().position(|l| l.fat.id == *id).ok_or_else(|| BlendError::Absent(id.clone()))
    }

    /// Percent held by the locked fats other than the one at `index`.
    fn held_beside(&self, index: usize) -> f64 {
        self.0.iter().enumerate().filter(|(i, l)| *i != index && l.locked).map(|(_, l)| l.share.get()).sum()
    }

    /// The least and the most that fat `id` can have while the locked ones hold; one number if
    /// nothing else can give way.
    ///
    /// # Errors
    /// [`BlendError::Absent`] if the fat is not in the blend.
    pub fn room(&self, id: &MaterialId) -> Result<(f64, f64), BlendError> {
        let index = self.index(id)?;
        let most = (Share::MAX - self.held_beside(index)).max(0.0);
        let gives = self.0.iter().enumerate().any(|(i, l)| i != index && !l.locked);
        Ok((if gives { 0.0 } else { most }, most))
    }

    /// Spreads what is missing to 100 over the unlocked lines other than `fixed` and those `held`, in proportion
    /// to what they have, or evenly if they have nothing.
    fn spread(&mut self, fixed: Option<usize>, held: &[MaterialId]) {
        let is_free = |i: usize, l: &FatLine| Some(i) != fixed && !l.locked && !held.contains(&l.fat.id);
        let free = self.0.iter().enumerate().filter(|(i, l)| is_free(*i, l));
        let (count, have) = free.fold((0_u32, 0.0), |(n, sum), (_, l)| (n + 1, sum + l.share.get()));
        let want = (Share::MAX - (self.total() - have)).max(0.0);
        for (i, line) in self.0.iter_mut().enumerate() {
            if is_free(i, line) {
                let share = if have > 0.0 { line.share.get() / have * want } else { want / f64::from(count) };
                // Where nothing may hold, the callers have checked the room.
                line.share = Share::nearest(share);
            }
        }
    }

    /// Gives fat `id` the share `to`; the other unlocked fats give way in proportion, so that
    /// the sum is 100. Locked fats hold. The fat's own lock does not hold against this.
    ///
    /// # Errors
    /// [`BlendError`] if the fat is absent or the locked ones leave no room; the blend is then
    /// unchanged.
    pub fn set_share(&mut self, id: &MaterialId, to: Share) -> Result<(), BlendError> {
        let index = self.index(id)?;
        let (least, most) = self.room(id)?;
        self.below_most(index, to)?;
        if to.get() < least - SUM_TOLERANCE {
            let name = self.0[index].fat.name.clone();
            return Err(BlendError::NothingGives { name, only: percent(most) });
        }
        self.0[index].share = to;
        self.spread(Some(index), &[]);
        Ok(())
    }

    /// Whether the locked fats leave the one at `index` room for the share `to`.
    fn below_most(&self, index: usize, to: Share) -> Result<(), BlendError> {
        let held = self.held_beside(index);
        let most = (Share::MAX - held).max(0.0);
        if to.get() > most + SUM_TOLERANCE {
            let name = self.0[index].fat.name.clone();
            return Err(BlendError::NoRoom { name, held: percent(held), most: percent(most) });
        }
        Ok(())
    }

    /// Gives fat `id` the share `to` while the fats in `held` keep theirs as if they were locked: what is typed in one
    /// sitting holds. The others give way in proportion as far as they can; where that is not far enough, the sum is
    /// short of 100 or beyond, which [`Blend::is_whole`] shows.
    ///
    /// # Errors
    /// [`BlendError`] if the fat is absent or the locked ones leave no room; the blend is then unchanged.
    pub fn set_share_holding(&mut self, id: &MaterialId, to: Share, held: &[MaterialId]) -> Result<(), BlendError> {
        let index = self.index(id)?;
        self.below_most(index, to)?;
        self.0[index].share = to;
        self.spread(Some(index), held);
        Ok(())
    }

    /// Adds `fat` while the fats in `held` keep their shares: with what is still free, or with `share` taken from the
    /// others as far as they have it.
    ///
    /// # Errors
    /// [`BlendError`] if the fat is there already or the blend is full.
    pub fn add_holding(&mut self, fat: Arc<Fat>, share: Share, held: &[MaterialId]) -> Result<(), BlendError> {
        if self.line(&fat.id).is_some() {
            return Err(BlendError::Present(fat.name.clone()));
        }
        if self.0.len() >= MOST_FATS {
            return Err(BlendError::TooMany);
        }
        let free = Share::MAX - self.total();
        let gives = |l: &&FatLine| !l.locked && !held.contains(&l.fat.id);
        let have: f64 = self.0.iter().filter(gives).map(|l| l.share.get()).sum();
        let id = fat.id.clone();
        let share = if free > SUM_TOLERANCE { free } else { share.get().min(have) };
        self.0.push(FatLine::new(fat, Share::nearest(0.0)));
        self.set_share_holding(&id, Share::nearest(share), held)
    }

    /// Locks or unlocks the share of fat `id`.
    ///
    /// # Errors
    /// [`BlendError::Absent`] if the fat is not in the blend.
    pub fn set_locked(&mut self, id: &MaterialId, locked: bool) -> Result<(), BlendError> {
        let index = self.index(id)?;
        self.0[index].locked = locked;
        Ok(())
    }

    /// Gives a fat what its supplier's certificate says, in place of what another one said.
    ///
    /// # Errors
    /// [`BlendError::Absent`] if the fat is not in the blend, [`BlendError::Certificate`] if the
    /// certificate's fatty acids make no profile.
    pub fn set_certificate(&mut self, id: &MaterialId, certificate: Certificate) -> Result<(), BlendError> {
        let index = self.index(id)?;
        let line = self.0[index].clone();
        let name = line.fat.name.clone();
        self.0[index] = line.with_certificate(certificate).map_err(|error| BlendError::Certificate { name, error })?;
        Ok(())
    }

    /// Adds `fat` with `share`, or with what the locked fats leave; the others give way. The
    /// first fat of an empty blend gets 100.
    ///
    /// # Errors
    /// [`BlendError`] if the fat is there already or the blend is full.
    pub fn add(&mut self, fat: Arc<Fat>, share: Share) -> Result<(), BlendError> {
        if self.line(&fat.id).is_some() {
            return Err(BlendError::Present(fat.name.clone()));
        }
        if self.0.len() >= MOST_FATS {
            return Err(BlendError::TooMany);
        }
        let id = fat.id.clone();
        self.0.push(FatLine::new(fat, Share::nearest(0.0)));
        let (least, most) = self.room(&id)?;
        self.set_share(&id, Share::nearest(share.get().clamp(least, most)))
    }

    /// Takes fat `id` out; the other unlocked fats take up its share in proportion. If all are
    /// locked the sum stays short, which [`Blend::is_whole`] shows.
    ///
    /// # Errors
    /// [`BlendError::Absent`] if the fat is not in the blend.
    pub fn remove(&mut self, id: &MaterialId) -> Result<(), BlendError> {
        let index = self.index(id)?;
        self.0.remove(index);
        let held: f64 = self.0.iter().filter(|l| l.locked).map(|l| l.share.get()).sum();
        // Shares that locks hold above 100 (a file can say so) leave nothing to spread.
        if held <= Share::MAX && self.0.iter().any(|l| !l.locked) {
            self.spread(None, &[]);
        }
        Ok(())
    }

    /// Scales the unlocked fats so that the sum is 100.
    ///
    /// # Errors
    /// [`BlendError::AllLocked`] or [`BlendError::NoRoom`] if the locked fats do not allow it.
    pub fn fill(&mut self) -> Result<(), BlendError> {
        let held: f64 = self.0.iter().filter(|l| l.locked).map(|l| l.share.get()).sum();
        let Some(free) = self.0.iter().find(|l| !l.locked) else {
            return Err(BlendError::AllLocked { sum: percent(held) });
        };
        if held > Share::MAX + SUM_TOLERANCE {
            let name = free.fat.name.clone();
            return Err(BlendError::NoRoom { name, held: percent(held), most: percent(0.0) });
        }
        self.spread(None, &[]);
        Ok(())
    }

    /// Puts other records of the same fats in place; shares, locks and certificates stay. A fat
    /// whose certificate does not go with the new record keeps the old one.
    pub(crate) fn replace_records(&mut self, find: impl Fn(&MaterialId) -> Option<Arc<Fat>>) {
        for line in &mut self.0 {
            if let Some(fat) = find(&line.fat.id) {
                let bare = FatLine { fat, acids: None, ..line.clone() };
                if let Ok(replaced) = bare.with_certificate(line.certificate()) {
                    *line = replaced;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    fn blend(parts: &[(&str, f64, bool)]) -> Blend {
        let library = Library::embedded().expect("assets parse");
        let lines = parts.iter().map(|&(id, share, locked)| FatLine {
            locked,
            ..FatLine::new(Arc::clone(library.fat(id).expect("in the library")), Share::new(share).expect("a share"))
        });
        Blend::new(lines.collect()).expect("no fat twice")
    }

    fn shares(blend: &Blend) -> Vec<f64> {
        blend.lines().iter().map(|l| l.share.get()).collect()
    }

    fn id(text: &str) -> MaterialId {
        MaterialId::new(text).expect("a good id")
    }

    #[test]
    fn the_unlocked_others_give_way_in_proportion() {
        let mut b = blend(&[
            ("olive_virgin", 40.0, false),
            ("coconut", 30.0, true),
            ("palm", 20.0, false),
            ("castor", 10.0, false),
        ]);
        b.set_share(&id("olive_virgin"), Share::nearest(55.0)).expect("there is room");
        assert_eq!(shares(&b), [55.0, 30.0, 10.0, 5.0]);
    }

    #[test]
    fn a_share_beyond_the_room_is_refused_and_nothing_changes() {
        let mut b = blend(&[("olive_virgin", 40.0, false), ("coconut", 60.0, true)]);
        let before = b.clone();
        let error = b.set_share(&id("olive_virgin"), Share::nearest(41.0)).expect_err("coconut holds 60");
        assert_eq!(
            error.to_string(),
            "locked fats hold 60 %, so Olive oil, virgin can have at most 40 %; unlock one first"
        );
        b.set_share(&id("olive_virgin"), Share::nearest(39.0)).expect_err("nothing else can give way");
        assert_eq!(b, before);
    }

    #[test]
    fn fats_at_zero_share_evenly_what_is_let_go() {
        let mut b = blend(&[("olive_virgin", 100.0, false), ("coconut", 0.0, false), ("palm", 0.0, false)]);
        b.set_share(&id("olive_virgin"), Share::nearest(40.0)).expect("there is room");
        assert_eq!(shares(&b), [40.0, 30.0, 30.0]);
    }

    #[test]
    fn removing_a_fat_gives_its_share_to_the_unlocked() {
        let mut b = blend(&[("olive_virgin", 40.0, false), ("coconut", 30.0, true), ("palm", 30.0, false)]);
        b.remove(&id("palm")).expect("it is there");
        assert_eq!(shares(&b), [70.0, 30.0]);
        b.set_locked(&id("olive_virgin"), true).expect("it is there");
        b.remove(&id("coconut")).expect("it is there");
        assert!(!b.is_whole(), "all others were locked");
        assert!(b.fill().expect_err("all are locked").to_string().contains("70 %"), "says the sum");
    }

    #[test]
    fn the_first_fat_gets_everything_and_a_second_makes_room() {
        let library = Library::embedded().expect("assets parse");
        let mut b = Blend::default();
        b.add(Arc::clone(&library.fats()[0]), Share::nearest(5.0)).expect("empty");
        assert_eq!(shares(&b), [100.0]);
        b.add(Arc::clone(&library.fats()[1]), Share::nearest(5.0)).expect("room");
        assert_eq!(shares(&b), [95.0, 5.0]);
        b.add(Arc::clone(&library.fats()[1]), Share::nearest(5.0)).expect_err("twice");
    }
    #[test]
    fn a_blend_typed_from_top_to_bottom_is_the_one_that_was_typed() {
        let mut b = blend(&[
            ("olive_virgin", 44.0, false),
            ("coconut", 26.0, false),
            ("cocoa_butter", 22.0, false),
            ("castor", 8.0, false),
        ]);
        let typed = [("olive_virgin", 40.0), ("coconut", 30.0), ("cocoa_butter", 22.0), ("castor", 8.0)];
        let mut held = Vec::new();
        for (i, (fat, share)) in typed.into_iter().enumerate() {
            b.set_share_holding(&id(fat), Share::nearest(share), &held).expect("it is there");
            held.push(id(fat));
            for (line, (_, share)) in b.lines().iter().zip(&typed[..=i]) {
                assert!((line.share.get() - share).abs() < 1e-12, "what was typed holds: {:?}", shares(&b));
            }
            assert!(b.is_whole(), "the others give way: {:?}", shares(&b));
        }
        b.set_share_holding(&id("castor"), Share::nearest(5.0), &held).expect("it is there");
        assert!((b.total() - 97.0).abs() < 1e-12, "nothing is left to give way: {:?}", shares(&b));
        b.set_share_holding(&id("olive_virgin"), Share::nearest(50.0), &held).expect("it is there");
        assert!((b.total() - 107.0).abs() < 1e-12, "nor to give: {:?}", shares(&b));
    }

    #[test]
    fn a_fat_added_in_the_sitting_takes_what_is_free() {
        let library = Library::embedded().expect("assets parse");
        let fat = |id: &str| Arc::clone(library.fat(id).expect("tabled"));
        let mut b = Blend::default();
        let mut held = Vec::new();
        for (name, typed) in [("olive_virgin", 40.0), ("coconut", 30.0), ("shea", 30.0)] {
            b.add_holding(fat(name), Share::nearest(5.0), &held).expect("room");
            assert!(b.is_whole(), "it takes the rest: {:?}", shares(&b));
            b.set_share_holding(&id(name), Share::nearest(typed), &held).expect("it is there");
            held.push(id(name));
        }
        assert_eq!(shares(&b), [40.0, 30.0, 30.0]);
        b.add_holding(fat("castor"), Share::nearest(5.0), &held).expect("room");
        assert_eq!(shares(&b), [40.0, 30.0, 30.0, 0.0], "nothing gives way, so it begins with nothing");
        b.add_holding(fat("palm"), Share::nearest(5.0), &held[1..]).expect("room");
        assert_eq!(shares(&b), [35.0, 30.0, 30.0, 0.0, 5.0], "from what does not hold");
    }
}
