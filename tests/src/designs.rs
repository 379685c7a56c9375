//! Random designs, for laws that hold for all of them.

use barwright_core::acids::AcidId;
use barwright_core::additions::{AddedAcid, Addition, AdditionLine, Amount, Contents, Stage, UncountedAcid};
use barwright_core::blend::{Blend, FatLine};
use barwright_core::design::{
    Alkali, AllergenList, Calibration, OvenGel, Price, Process, Spare, Surroundings, WaterRule,
};
use barwright_core::edit::Edit;
use barwright_core::fats::Fat;
use barwright_core::material::{MaterialId, Sourced, Trust};
use barwright_core::mould::{Cuboid, Mould, Size};
use barwright_core::scale::Scale;
use barwright_core::scents::{Cas, Constituent, Scent, ScentLine};
use barwright_core::supplier::{Certificate, SupplierFigure};
use barwright_core::units::{
    AcceptedChance, AcidMolarMass, AmountMass, AmountPerKg, AmountPercent, BarMass, Bars, BatterDensity, Celsius, Days,
    EquilibriumMoisture, FatMass, Fill, Grams, Hours, Interval, LyeConcentration, Millilitres, Millimetres, Minutes,
    Money, Multiple, PackMass, Purity, PurityMargin, SaponificationValue, ScaleDivision, Share, SolidsDensity,
    Superfat, SvMargin, TimeConstant, WaterPercent, WaterRatio,
};
use barwright_core::{Design, Library, document};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{Index, select, subsequence};
use proptest::test_runner::RngSeed;
use std::sync::{Arc, LazyLock};

pub(crate) static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// So many random designs for each law; no file of past failures, since the laws hold for all.
/// The same cases in every run, so that a check never fails by the luck of the draw alone; set
/// `PROPTEST_RNG_SEED` and `PROPTEST_CASES` to look further.
pub(crate) fn tried(cases: u32) -> ProptestConfig {
    let told = |name| std::env::var_os(name).is_some();
    let base = ProptestConfig { failure_persistence: None, ..ProptestConfig::default() };
    let seed = if told("PROPTEST_RNG_SEED") { base.rng_seed } else { RngSeed::Fixed(1908) };
    let cases = if told("PROPTEST_CASES") { base.cases } else { cases };
    // Some laws speak of few designs only; however many are tried, as many may be passed over.
    ProptestConfig { cases, max_global_rejects: 1024 + 20 * cases, rng_seed: seed, ..base }
}

// ---- quantities ---------------------------------------------------------------------------------

macro_rules! any_in_range {
    ($($name:ident: $kind:ident),+) => {$(
        /// Any allowed value, both ends now and then.
        pub(crate) fn $name() -> impl Strategy<Value = $kind> {
            prop_oneof![
                8 => ($kind::MIN..=$kind::MAX).prop_map(|v| $kind::new(v).expect("in range")),
                1 => Just($kind::new($kind::MIN).expect("in range")),
                1 => Just($kind::new($kind::MAX).expect("in range")),
            ]
        }
    )+};
}

any_in_range! {
    any_share: Share,
    any_superfat: Superfat,
    any_chance: AcceptedChance,
    any_purity: Purity,
    any_purity_margin: PurityMargin,
    any_concentration: LyeConcentration,
    any_ratio: WaterRatio,
    any_percent: WaterPercent,
    any_fat_mass: FatMass,
    any_division: ScaleDivision,
    any_sv: SaponificationValue,
    any_sv_margin: SvMargin,
    any_temperature: Celsius,
    any_minutes: Minutes,
    any_time_constant: TimeConstant,
    any_hours: Hours,
    any_days: Days,
    any_moisture: EquilibriumMoisture,
    any_pack: PackMass,
    any_money: Money,
    any_density: BatterDensity,
    any_fill: Fill,
    any_length: Millimetres,
    any_volume: Millilitres,
    any_bar_mass: BarMass,
    any_amount_percent: AmountPercent,
    any_amount_mass: AmountMass,
    any_amount_per_kg: AmountPerKg,
    any_solids: SolidsDensity,
    any_molar_mass: AcidMolarMass
}

/// Words of every script, quotes, line ends and control characters.
pub(crate) fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[a-z \"\\\\\n\r\t/*(){}\\[\\],:#'’“”äßé😀\u{0}\u{7f}\u{feff}\u{2028}]{0,40}",
        Just("He said \"all of it\",\r\n\tthen r#\"nothing\"# // and left".to_owned()),
    ]
}

/// A material's name in files; the library knows none of those used here.
pub(crate) fn id(text: &str) -> MaterialId {
    MaterialId::new(text).expect("a good id")
}

/// Amounts as makers use them and, now and then, any that can be typed.
fn any_amount() -> impl Strategy<Value = Amount> {
    prop_oneof![
        3 => (0.0..=40.0).prop_map(|v| Amount::PercentOfFats(AmountPercent::nearest(v))),
        3 => (0.0..=300.0).prop_map(|v| Amount::Grams(AmountMass::nearest(v))),
        3 => (0.0..=100.0).prop_map(|v| Amount::GramsPerKgFats(AmountPerKg::nearest(v))),
        1 => prop_oneof![
            any_amount_percent().prop_map(Amount::PercentOfFats),
            any_amount_mass().prop_map(Amount::Grams),
            any_amount_per_kg().prop_map(Amount::GramsPerKgFats),
        ],
    ]
}

fn any_trust() -> impl Strategy<Value = Trust> {
    select(&[Trust::Read, Trust::Transcription, Trust::FromMemory, Trust::CommonPractice, Trust::Maker][..])
}

pub(crate) fn any_stage() -> impl Strategy<Value = Stage> {
    select(&Stage::ALL)
}

// ---- fats ---------------------------------------------------------------------------------------

fn any_supplier() -> impl Strategy<Value = SupplierFigure> {
    (any_sv(), any_sv_margin()).prop_map(|(sv, pm)| SupplierFigure { sv, pm })
}

/// A record as the library has it or, now and then, with figures and words of its own.
fn any_fat(fat: Arc<Fat>) -> impl Strategy<Value = Arc<Fat>> {
    let own = (any_sv(), any_sv(), any_text()).prop_map({
        let fat = Arc::clone(&fat);
        move |(a, b, words)| {
            let mut own = Fat::clone(&fat);
            own.sv.value = Interval::hull([a.get(), b.get()]).expect("two numbers");
            own.sv.source.clone_from(&words);
            own.name = words;
            Arc::new(own)
        }
    });
    prop_oneof![3 => Just(fat), 1 => own]
}

/// Fatty acids as a certificate lists them: some of the profile's, or any of the table.
fn any_supplied_acids(fat: &Fat) -> impl Strategy<Value = Vec<(AcidId, Share)>> + use<> {
    let mut acids: Vec<AcidId> = fat.profile().iter().map(|e| e.acid).collect();
    acids.extend(LIBRARY.acids.iter().map(|(id, _)| id).filter(|id| !fat.profile().iter().any(|e| e.acid == *id)));
    let count = acids.len().min(6);
    (subsequence(acids, 1..=count), vec(0.0..40.0_f64, count), any::<bool>()).prop_map(|(acids, parts, is_whole)| {
        let sum: f64 = parts.iter().take(acids.len()).sum();
        let scale = if is_whole || sum > 100.0 { 100.0 / sum.max(1.0) } else { 1.0 };
        acids.into_iter().zip(parts).map(|(acid, part)| (acid, Share::nearest(part * scale))).collect()
    })
}

/// A line of a given fat with any share, lock and certificate.
fn any_line(fat: Arc<Fat>) -> impl Strategy<Value = FatLine> {
    let acids = option::weighted(0.2, any_supplied_acids(&fat));
    (any_fat(fat), any_share(), any::<bool>(), option::weighted(0.3, any_supplier()), acids).prop_map(
        |(fat, share, locked, sv, acids)| {
            let line = FatLine { locked, supplier: sv, ..FatLine::new(fat, share) };
            // Not every list makes a profile.
            let certificate = Certificate { sv, acids: acids.unwrap_or_default() };
            line.clone().with_certificate(certificate).unwrap_or(line)
        },
    )
}

/// Different fats of the library, in any order.
fn some_fats(count: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Vec<Arc<Fat>>> {
    subsequence(LIBRARY.fats().to_vec(), count).prop_shuffle()
}

/// A blend whose shares sum to anything, of no fat up to all of them.
pub(crate) fn any_blend() -> impl Strategy<Value = Blend> {
    let size = prop_oneof![6 => some_fats(0..=6), 1 => some_fats(58..=58)];
    size.prop_flat_map(|fats| fats.into_iter().map(any_line).collect::<Vec<_>>())
        .prop_map(|lines| Blend::new(lines).expect("no fat twice"))
}

/// `blend` with its shares scaled to 100; unchanged if they are all zero.
fn scaled_to_100(blend: &Blend) -> Blend {
    let total = blend.total();
    let line = |l: &FatLine| FatLine { share: Share::nearest(100.0 * l.share.get() / total), ..l.clone() };
    if total > 0.0 {
        Blend::new(blend.lines().iter().map(line).collect()).expect("no fat twice")
    } else {
        blend.clone()
    }
}

/// A blend of at least one fat whose shares sum to 100.
pub(crate) fn whole_blend() -> impl Strategy<Value = Blend> {
    any_blend().prop_map(|b| scaled_to_100(&b)).prop_filter("shares that sum to 100", Blend::is_whole)
}

// ---- additions and scents -----------------------------------------------------------------------

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
            Sourced { value: AddedAcid { name, content, molar_mass, protons }, source, trust }
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

/// A record as the library has it or, now and then, with constituents and words of its own.
fn any_scent(scent: Arc<Scent>) -> impl Strategy<Value = Arc<Scent>> {
    // Numbers that have a limit, several at once, and some that have none.
    let cas = select(&["97-53-0", "78-70-6; 126-90-9", "5392-40-5", "7732-18-5", ""][..])
        .prop_map(|numbers| Cas::new(numbers).expect("right numbers"));
    let constituent = (any_text(), cas.clone(), any_share(), any::<bool>(), any_trust()).prop_map(
        |(name, cas, most, whole, trust)| Constituent { source: name.clone(), name, cas, most, whole, trust },
    );
    let own = (any_text(), cas, vec(constituent, 0..5)).prop_map({
        let scent = Arc::clone(&scent);
        move |(name, cas, constituents)| Arc::new(Scent { name, cas, constituents, ..Scent::clone(&scent) })
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
    Addition { id, ..addition.clone() }
}

fn scent_named(scent: &Scent, id: MaterialId) -> Scent {
    Scent { id, ..scent.clone() }
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
pub(crate) fn any_scent_line(scent: Arc<Scent>) -> impl Strategy<Value = ScentLine> {
    (any_amount(), any_stage()).prop_map(move |(amount, stage)| ScentLine { scent: Arc::clone(&scent), amount, stage })
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
fn any_additions() -> impl Strategy<Value = Vec<AdditionLine>> {
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
fn any_spare() -> impl Strategy<Value = Spare> {
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

// ---- any design ---------------------------------------------------------------------------------

fn any_water() -> impl Strategy<Value = WaterRule> {
    prop_oneof![
        any_concentration().prop_map(WaterRule::LyeConcentration),
        any_ratio().prop_map(WaterRule::WaterToAlkali),
        any_percent().prop_map(WaterRule::PercentOfFats),
    ]
}

fn any_alkali() -> impl Strategy<Value = Alkali> {
    // Half of the designs are of sodium alone, for which alone the jug's heat is known.
    let koh_share = prop_oneof![Just(Share::nearest(0.0)), any_share()];
    (koh_share, any_purity(), any_purity(), any_purity_margin(), any_purity_margin()).prop_map(
        |(koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm)| Alkali {
            koh_share,
            naoh_purity,
            koh_purity,
            naoh_purity_pm,
            koh_purity_pm,
        },
    )
}

pub(crate) fn any_bars() -> impl Strategy<Value = Bars> {
    prop_oneof![(1..=24_u32), (1..=10_000_u32)].prop_map(|n| Bars::new(n).expect("in range"))
}

/// A mould as kitchens have them or, now and then, any that can be typed.
pub(crate) fn any_mould() -> impl Strategy<Value = Mould> {
    let length = || prop_oneof![4 => (20.0..=400.0).prop_map(Millimetres::nearest), 1 => any_length()];
    let volume = prop_oneof![4 => (40.0..=200.0).prop_map(Millilitres::nearest), 1 => any_volume()];
    let cuboid = move || {
        let sides = (length(), length(), length());
        sides.prop_map(|(length_mm, width_mm, height_mm)| Cuboid { length_mm, width_mm, height_mm })
    };
    prop_oneof![
        cuboid().prop_map(Mould::Loaf),
        cuboid().prop_map(Mould::Slab),
        (length(), length()).prop_map(|(diameter_mm, length_mm)| Mould::Round { diameter_mm, length_mm }),
        (any_bars(), volume).prop_map(|(count, ml)| Mould::Cavities { count, ml }),
    ]
}

/// So much fat, a tonne at the most.
pub(crate) fn any_fat_size() -> impl Strategy<Value = Size> {
    prop_oneof![(100.0..=3000.0).prop_map(FatMass::nearest), any_fat_mass()].prop_map(Size::FatMass)
}

/// A size that the fats' mass follows from.
pub(crate) fn any_solved_size() -> impl Strategy<Value = Size> {
    prop_oneof![
        4 => (any_mould(), any_fill()).prop_map(|(mould, fill)| Size::Mould { mould, fill }),
        2 => (any_volume(), any_fill()).prop_map(|(ml, fill)| Size::Volume { ml, fill }),
        1 => any_bar_mass().prop_map(Size::BarMass),
        1 => (60.0..=150.0).prop_map(|g| Size::BarMass(BarMass::nearest(g))),
    ]
}

fn any_size() -> impl Strategy<Value = Size> {
    prop_oneof![any_fat_size().boxed(), any_solved_size().boxed()]
}

fn any_process() -> impl Strategy<Value = Process> {
    // Rooms and baths as they are, so that the jug's peak is often known, and any other.
    let degrees = || prop_oneof![(0.0..=40.0).prop_map(Celsius::nearest), any_temperature()];
    let oven = (any_temperature(), any_minutes()).prop_map(|(oven_c, minutes)| OvenGel { oven_c, minutes });
    let stands = prop_oneof![Just(Surroundings::Air), degrees().prop_map(Surroundings::Bath)];
    let jug = (option::of(degrees()), any_share(), stands);
    let made = (option::of(oven), any_hours(), any_days(), any_moisture(), option::of(any_text()));
    (degrees(), degrees(), option::of(any_temperature()), jug, made).prop_map(
        |(room_c, mix_c, fats_c, (jug_water_c, jug_frozen, jug_stands), made)| {
            let (oven_gel, cut_hours, cure_days, equilibrium_moisture, made_on) = made;
            Process {
                room_c,
                mix_c,
                fats_c,
                jug_water_c,
                jug_frozen,
                jug_stands,
                oven_gel,
                cut_hours,
                cure_days,
                equilibrium_moisture,
                made_on,
            }
        },
    )
}

fn any_calibration() -> impl Strategy<Value = Calibration> {
    (option::weighted(0.3, any_density()), option::of(any_time_constant()))
        .prop_map(|(batter_g_per_ml, jug_cooling_min)| Calibration { batter_g_per_ml, jug_cooling_min })
}

/// Text, or the id of something that may well be in use.
fn any_material() -> impl Strategy<Value = String> {
    prop_oneof![any_text(), select(vec!["naoh", "koh", "water", "olive_virgin", "lavender"]).prop_map(Into::into)]
}

fn any_price() -> impl Strategy<Value = Price> {
    (any_material(), any_pack(), any_money()).prop_map(|(material, pack_g, price)| Price { material, pack_g, price })
}

fn any_prices() -> impl Strategy<Value = Vec<Price>> {
    vec(any_price(), 0..3)
}

fn any_allergen_list() -> impl Strategy<Value = AllergenList> {
    prop_oneof![Just(AllergenList::Extended), Just(AllergenList::FirstTwentyFour), Just(AllergenList::Off)]
}

/// Any design with this blend.
pub(crate) fn design_of(blend: impl Strategy<Value = Blend> + 'static) -> impl Strategy<Value = Design> {
    let style = prop_oneof![(0..LIBRARY.styles().len()).prop_map(|i| LIBRARY.styles()[i].name.clone()), any_text(),];
    // In boxes, since so many strategies in each other are too large for a test's stack.
    let words = (any_text(), any_text(), style, any_text()).boxed();
    let lye = (any_superfat(), any_chance(), any_alkali(), any_water(), any_division()).boxed();
    let size = (any_size(), any_bars()).boxed();
    let more = (any_additions().boxed(), any_scents().boxed(), any_spare().boxed());
    let rest = (any_process(), any_prices(), any_allergen_list(), any_calibration()).boxed();
    (blend.boxed(), words, lye, size, more, rest).prop_map(|(blend, words, lye, (size, bars), more, rest)| {
        let (name, notes, style, currency) = words;
        let (superfat, accepted_chance, alkali, water, scale_division) = lye;
        let (additions, scents, spare) = more;
        let (process, prices, allergen_list, calibration) = rest;
        Design {
            name,
            notes,
            style,
            blend,
            spare,
            superfat,
            accepted_chance,
            alkali,
            scale_division,
            water,
            size,
            bars,
            additions,
            scents,
            process,
            prices,
            currency,
            allergen_list,
            calibration,
        }
    })
}

pub(crate) fn any_design() -> impl Strategy<Value = Design> {
    design_of(any_blend())
}

/// `design` with every amount in relation to the fats: what was so many grams becomes so many
/// for each kilogram.
pub(crate) fn by_the_fats(mut design: Design) -> Design {
    let related = |amount: &mut Amount| {
        if let Amount::Grams(g) = amount {
            *amount = Amount::GramsPerKgFats(AmountPerKg::nearest(g.get()));
        }
    };
    design.additions.iter_mut().for_each(|l| related(&mut l.amount));
    design.scents.iter_mut().for_each(|l| related(&mut l.amount));
    design
}

// ---- files --------------------------------------------------------------------------------------

pub(crate) fn written(design: &Design) -> String {
    document::write(design, &LIBRARY).expect("every design can be written")
}

pub(crate) fn read_back(text: &str) -> Design {
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("what was written is refused: {e}\n{text}"))
}

// ---- edits --------------------------------------------------------------------------------------

/// An edit whose fat is named by its place, since which fats are there changes on the way. Places
/// of additions and scents stand in the edits themselves and are often wrong.
#[derive(Debug, Clone)]
pub(crate) enum Step {
    Fixed(Edit),
    Share(Index, Share),
    Lock(Index, bool),
    Remove(Index),
}

impl Step {
    pub(crate) fn edit(&self, design: &Design) -> Option<Edit> {
        let lines = design.blend.lines();
        let id = |which: &Index| (!lines.is_empty()).then(|| lines[which.index(lines.len())].fat.id.clone());
        Some(match self {
            // The line's own record stays, as when a person changes its amount or its stage.
            Self::Fixed(Edit::SetAddition(i, line)) => {
                let kept = design.additions.get(*i).map(|l| Arc::clone(&l.addition));
                let addition = kept.unwrap_or_else(|| Arc::clone(&line.addition));
                Edit::SetAddition(*i, AdditionLine { addition, ..line.clone() })
            }
            Self::Fixed(Edit::SetScent(i, line)) => {
                let kept = design.scents.get(*i).map(|l| Arc::clone(&l.scent));
                let scent = kept.unwrap_or_else(|| Arc::clone(&line.scent));
                Edit::SetScent(*i, ScentLine { scent, ..line.clone() })
            }
            Self::Fixed(edit) => edit.clone(),
            Self::Share(which, share) => Edit::Share(id(which)?, *share),
            Self::Lock(which, locked) => Edit::Lock(id(which)?, *locked),
            Self::Remove(which) => Edit::RemoveFat(id(which)?),
        })
    }
}

/// A place in a list of additions or scents, within it or behind its end.
fn any_place() -> impl Strategy<Value = usize> {
    prop_oneof![9 => 0..8_usize, 1 => any::<usize>()]
}

/// An addition of the library or of one's own; few, so that the same ones meet.
pub(crate) fn an_addition() -> impl Strategy<Value = Arc<Addition>> {
    let mut some: Vec<Arc<Addition>> = LIBRARY.additions()[..4].to_vec();
    some.push(Arc::new(addition_named(&some[0], id("orchard_pulp"))));
    select(some).prop_flat_map(any_addition)
}

/// A scent of the library or of one's own; few, so that the same ones meet.
pub(crate) fn a_scent() -> impl Strategy<Value = Arc<Scent>> {
    let mut some: Vec<Arc<Scent>> = LIBRARY.scents()[..4].to_vec();
    some.push(Arc::new(scent_named(&some[0], id("bog_myrtle"))));
    select(some).prop_flat_map(any_scent)
}

/// Any change to additions, scents and what else a batch has besides fats and lye.
fn any_batch_edit() -> impl Strategy<Value = Edit> {
    let addition = || an_addition().prop_flat_map(any_addition_line);
    let scent = || a_scent().prop_flat_map(any_scent_line);
    let mass = prop_oneof![4 => 0.0..=100.0, 1 => Just(0.0), 1 => Just(f64::MAX)];
    let fats = prop_oneof![4 => 100.0..=3000.0, 1 => Just(0.0)];
    let moved = (any_place(), mass, fats, any_stage()).prop_map(|(index, mass, fats, to)| Edit::MoveAddition {
        index,
        mass: Grams(mass),
        fats: Grams(fats),
        to,
    });
    prop_oneof![
        3 => addition().prop_map(Edit::AddAddition),
        1 => (any_place(), addition()).prop_map(|(i, line)| Edit::SetAddition(i, line)),
        2 => any_place().prop_map(Edit::RemoveAddition),
        2 => moved,
        1 => an_addition().prop_map(Edit::DefineAddition),
        3 => scent().prop_map(Edit::AddScent),
        1 => (any_place(), scent()).prop_map(|(i, line)| Edit::SetScent(i, line)),
        2 => any_place().prop_map(Edit::RemoveScent),
        1 => a_scent().prop_map(Edit::DefineScent),
        1 => any_size().prop_map(Edit::Size),
        1 => (0.01..200.0_f64).prop_map(|times| Edit::Scale(Scale::Times(Multiple::nearest(times)))),
        1 => any_process().prop_map(Edit::Process),
        1 => any_calibration().prop_map(Edit::Calibration),
        1 => any_price().prop_map(Edit::SetPrice),
        1 => any_material().prop_map(Edit::RemovePrice),
        1 => any_text().prop_map(Edit::Currency),
        1 => any_allergen_list().prop_map(Edit::AllergenList),
    ]
}

pub(crate) fn any_step() -> impl Strategy<Value = Step> {
    let fat = (0..LIBRARY.fats().len()).prop_flat_map(|i| any_fat(Arc::clone(&LIBRARY.fats()[i])));
    let fixed = prop_oneof![
        any_text().prop_map(Edit::Rename),
        any_text().prop_map(Edit::Notes),
        any_text().prop_map(Edit::Style),
        (fat, any_share()).prop_map(|(fat, share)| Edit::AddFat(fat, share)),
        Just(Edit::FillBlend),
        any_superfat().prop_map(Edit::Superfat),
        any_chance().prop_map(Edit::AcceptedChance),
        any_alkali().prop_map(Edit::Alkali),
        any_water().prop_map(Edit::Water),
        any_bars().prop_map(Edit::Bars),
        any_division().prop_map(Edit::ScaleDivision),
        Just(Edit::RefreshRecords),
    ];
    prop_oneof![
        12 => fixed.prop_map(Step::Fixed),
        12 => any_batch_edit().prop_map(Step::Fixed),
        4 => (any::<Index>(), any_share()).prop_map(|(i, s)| Step::Share(i, s)),
        2 => (any::<Index>(), any::<bool>()).prop_map(|(i, l)| Step::Lock(i, l)),
        2 => any::<Index>().prop_map(Step::Remove),
    ]
}
