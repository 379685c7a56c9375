//! Additions, scents and materials of one's own.

use super::LIBRARY;
use super::blend::any_fat;
use super::quantities::{
    any_amount, any_molar_mass, any_share, any_solids, any_stage, any_temperature, any_text, any_trust, id,
};
use barwright_core::design::Spare;
use barwright_core::library::additions::{AddedAcid, Addition, AdditionLine, Contents, UncountedAcid};
use barwright_core::library::fats::Fat;
use barwright_core::library::handling::Handling;
use barwright_core::library::material::{MaterialId, Sourced};
use barwright_core::library::scents::{Behaviour, Cas, Constituent, ListedAllergen, Scent, ScentLine, Supplied};
use barwright_core::units::Share;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use std::sync::Arc;

fn any_contents() -> impl Strategy<Value = Contents> {
    (any_share(), any_share(), option::of(any_share())).prop_map(|(water, fat, sugars)| {
        // What water leaves goes to fat, and what both leave to sugars.
        let fat = Share::nearest(fat.fraction() * (100.0 - water.get()));
        let sugars = sugars.map(|s| Share::nearest(s.fraction() * (100.0 - water.get() - fat.get())));
        Contents { water, fat, sugars }
    })
}

/// A record as the library has it or, now and then, with contents, acids and words of its own.
fn any_addition(addition: Arc<Addition>) -> impl Strategy<Value = Arc<Addition>> {
    let acid = (any_text(), any_share(), any_molar_mass(), 1..=6_u8, any_trust()).prop_map(
        |(name, content, molar_mass, protons, trust)| {
            let source = name.clone();
            Sourced { value: AddedAcid::new(name, content, molar_mass, protons), source, trust }
        },
    );
    let uncounted = (any_text(), any_share(), 0.0..=5.0).prop_map(|(name, most, naoh_per_gram)| UncountedAcid {
        name,
        most,
        naoh_per_gram,
    });
    let acids = (option::of(acid), option::of(uncounted));
    let rest = (any_share(), any_stage(), any_solids(), any_trust(), any_text());
    let own = (any_contents(), acids, rest).prop_map({
        let addition = Arc::clone(&addition);
        move |(contents, (acid, uncounted_acid), (alcohol, usual_stage, solids_density, trust, words))| {
            let room = 100.0 - contents.water.get() - contents.fat.get();
            let acid = acid.map(|mut a| {
                a.value.content = Share::nearest(a.value.content.fraction() * room);
                a
            });
            let mut own =
                Addition { acid, uncounted_acid, alcohol, usual_stage, solids_density, ..(*addition).clone() };
            own.contents = Sourced { value: contents, source: words.clone(), trust };
            own.name.clone_from(&words);
            own.advice = words;
            Arc::new(own.checked().expect("no more than all of it"))
        }
    });
    prop_oneof![3 => Just(addition), 1 => own]
}

/// What a supplier may say of a scent; mostly little.
fn any_supplied() -> impl Strategy<Value = Supplied> {
    let allergen = (select(&["Linalool", "Coumarin", "no such thing"][..]), any_share());
    let allergens = vec(allergen.prop_map(|(name, most)| ListedAllergen { name: name.into(), most }), 0..3);
    let behaviour = option::of(select(&Behaviour::ALL[..]));
    let flash = option::of(any_temperature());
    (option::of(any_share()), option::of(any_share()), flash, behaviour, allergens, any::<bool>()).prop_map(
        |(limit, vanillin, flash, behaviour, allergens, lists_none)| {
            let lists_none = lists_none && allergens.is_empty();
            Supplied { limit, vanillin, flash, behaviour, allergens, lists_none }
        },
    )
}

/// A record as the library has it or, now and then, with constituents and words of its own.
fn any_scent(scent: Arc<Scent>) -> impl Strategy<Value = Arc<Scent>> {
    // Numbers that have a limit, several at once, and some that have none.
    let cas = select(&["97-53-0", "78-70-6; 126-90-9", "5392-40-5", "7732-18-5", ""][..])
        .prop_map(|numbers| Cas::new(numbers).expect("right numbers"));
    let constituent = (any_text(), cas.clone(), any_share(), any::<bool>(), any_trust()).prop_map(
        |(name, cas, most, whole, trust)| Constituent { source: name.clone(), name, cas, most, whole, trust },
    );
    let own = (any_text(), cas, vec(constituent, 0..5), any_supplied()).prop_map({
        let scent = Arc::clone(&scent);
        move |(name, cas, constituents, supplied)| {
            let own = Scent { name, cas, constituents, ..Scent::clone(&scent) };
            Arc::new(own.with_supplied(supplied, scent.handling.clone()))
        }
    });
    prop_oneof![3 => Just(scent), 1 => own]
}

/// Different records: some of `known`, and some with names of their own that begin as one of them.
fn some_records<T: Clone + std::fmt::Debug + 'static, S: Strategy<Value = Arc<T>>>(
    known: &[Arc<T>],
    named: fn(&T, MaterialId) -> T,
    own: &[&str],
    any: fn(Arc<T>) -> S,
) -> impl Strategy<Value = Vec<Arc<T>>> + use<T, S> {
    let own: Vec<Arc<T>> = own.iter().zip(known).map(|(own, like)| Arc::new(named(like, id(own)))).collect();
    (subsequence(known.to_vec(), 0..=3), subsequence(own.clone(), 0..=own.len()))
        .prop_flat_map(move |(known, own)| known.into_iter().chain(own).map(any).collect::<Vec<_>>())
}

fn fat_named(fat: &Fat, id: MaterialId) -> Fat {
    let mut own = fat.clone();
    own.id = id;
    own
}

fn addition_named(addition: &Addition, id: MaterialId) -> Addition {
    Addition { id, handling: Handling::of_kind(addition.kind), ..addition.clone() }
}

fn scent_named(scent: &Scent, id: MaterialId) -> Scent {
    Scent { id, handling: Handling::of_scent(), ..scent.clone() }
}

/// Any amount of `addition` at any stage.
pub(crate) fn any_addition_line(addition: Arc<Addition>) -> impl Strategy<Value = AdditionLine> {
    (any_amount(), any::<bool>(), any_stage()).prop_map(move |(amount, counts_as_water, stage)| AdditionLine {
        addition: Arc::clone(&addition),
        amount,
        counts_as_water,
        stage,
    })
}

/// Any amount of `scent` at any stage.
pub(crate) fn any_scent_line(scent: Arc<Scent>) -> BoxedStrategy<ScentLine> {
    let line = move |(amount, stage)| ScentLine { scent: Arc::clone(&scent), amount, stage };
    (any_amount(), any_stage()).prop_map(line).boxed()
}

/// Up to `most` lines of these records, the same ones again and again; none without a record.
fn lines_of<T, S>(records: Vec<Arc<T>>, line: fn(Arc<T>) -> S, most: usize) -> BoxedStrategy<Vec<S::Value>>
where
    T: std::fmt::Debug + 'static,
    S: Strategy<Value: Clone> + 'static,
{
    if records.is_empty() {
        Just(Vec::new()).boxed()
    } else {
        vec(select(records).prop_flat_map(line), 0..=most).boxed()
    }
}

/// No line up to six; the same material may stand several times and then has one record.
pub(super) fn any_additions() -> impl Strategy<Value = Vec<AdditionLine>> {
    let own = ["orchard_pulp", "fernhollow_brine"];
    let records = some_records(LIBRARY.additions(), addition_named, &own, any_addition);
    let lines = records.prop_flat_map(|records| lines_of(records, any_addition_line, 6));
    prop_oneof![1 => Just(Vec::new()), 3 => lines]
}

/// No line up to four; the same scent may stand several times and then has one record.
pub(crate) fn any_scents() -> impl Strategy<Value = Vec<ScentLine>> {
    let records = some_records(LIBRARY.scents(), scent_named, &["bog_myrtle", "hay"], any_scent);
    let lines = records.prop_flat_map(|records| lines_of(records, any_scent_line, 4));
    prop_oneof![1 => Just(Vec::new()), 2 => lines]
}

/// Materials of one's own that no line uses, in the order of their names.
pub(super) fn any_spare() -> impl Strategy<Value = Spare> {
    let fats = ["acorn", "medlar_kernel", "zebu_tallow"];
    let fats = some_records(&LIBRARY.fats()[..3], fat_named, &fats, any_fat);
    let additions = ["ash_salt", "quince_pulp"];
    let additions = some_records(&LIBRARY.additions()[..3], addition_named, &additions, any_addition);
    let scents = some_records(&LIBRARY.scents()[..3], scent_named, &["bark", "moss"], any_scent);
    (fats, additions, scents).prop_map(|(mut fats, mut additions, mut scents)| {
        fats.retain(|f| LIBRARY.fat(f.id.as_str()).is_none());
        additions.retain(|a| LIBRARY.addition(a.id.as_str()).is_none());
        scents.retain(|s| LIBRARY.scent(s.id.as_str()).is_none());
        Spare { fats, additions, scents }
    })
}

/// An addition of the library or of one's own; few, so that the same ones meet.
pub(crate) fn an_addition() -> BoxedStrategy<Arc<Addition>> {
    let mut some: Vec<Arc<Addition>> = LIBRARY.additions()[..4].to_vec();
    some.push(Arc::new(addition_named(&some[0], id("orchard_pulp"))));
    select(some).prop_flat_map(any_addition).boxed()
}

/// A scent of the library or of one's own; few, so that the same ones meet.
pub(crate) fn a_scent() -> BoxedStrategy<Arc<Scent>> {
    let mut some: Vec<Arc<Scent>> = LIBRARY.scents()[..4].to_vec();
    some.push(Arc::new(scent_named(&some[0], id("bog_myrtle"))));
    select(some).prop_flat_map(any_scent).boxed()
}
