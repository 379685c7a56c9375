//! What the shelf means for a design: what a batch takes of it, what is missing, and where its lots differ from what the
//! design rests on. Nothing here changes a design: what differs is offered as an edit.

use super::colour;
use crate::chemistry::colour::forecast::Seen;
use crate::design::edit::Edit;
use crate::design::log::{BatchCode, LotId};
use crate::design::own_bar::{self, Makeup, OwnBar};
use crate::design::shelf::{Lot, Need, Papers, Plan, Shelf, Stock, Stuff, ToBuy};
use crate::design::supplier::{Certificate, SupplierFigure};
use crate::design::words::{Day, Line};
use crate::design::{Alkali, AlkaliKind, Calibration, Design, Price};
use crate::evaluate::{Evaluation, evaluate};
use crate::library::Library;
use crate::library::additions::Addition;
use crate::number::{self, short};
use crate::quantity::Unit;
use crate::trust::Trust;
use crate::units::{AmountMass, Grams, Measures, Money, PackMass, Share};
use std::sync::Arc;

/// Water contents nearer than this are alike, percent: a sample of 20 g on a kitchen scale tells no more (our
/// judgement).
const ALIKE: f64 = 0.5;

/// What a batch of `design` takes of the shelf, in the order of work.
pub fn needs(design: &Design, evaluation: &Evaluation) -> Vec<Need> {
    let alkali = &evaluation.masses.alkali;
    let fats = design.blend.lines().iter().map(|l| Stuff::Fat(l.fat.id.clone())).zip(&evaluation.fat_masses);
    let both = [(Stuff::SodiumHydroxide, &alkali.naoh), (Stuff::PotassiumHydroxide, &alkali.koh)];
    let additions = design.additions.iter().map(|l| Stuff::Addition(l.addition.id.clone()));
    let scents = design.scents.iter().map(|l| Stuff::Scent(l.scent.id.clone()));
    let all = fats.chain(both).chain(additions.zip(&evaluation.addition_masses));
    let mut needs: Vec<Need> = Vec::new();
    for (stuff, grams) in all.chain(scents.zip(&evaluation.scents.masses)).filter(|(_, g)| g.0 > 0.0) {
        match needs.iter_mut().find(|n| n.stuff == stuff) {
            Some(need) => need.grams += grams.0,
            None => needs.push(Need { stuff, grams: grams.0 }),
        }
    }
    needs
}

/// A batch of `design` as it is planned for `on`.
pub fn plan(design: &Design, evaluation: &Evaluation, on: Option<Day>) -> Plan {
    let needs = needs(design, evaluation).into_iter().map(|n| (n.stuff, AmountMass::nearest(n.grams)));
    Plan { design: Line::shortened(&design.name), on, needs: needs.collect() }
}

/// What is missing for a batch of `design` once all planned batches have theirs.
pub fn missing(design: &Design, evaluation: &Evaluation, stock: &Stock<'_>) -> Vec<ToBuy> {
    let needs = needs(design, evaluation);
    // Less than a scale shows is not missing.
    let least = design.scale_division.get() / 2.0;
    let is_ours = |stuff: &Stuff| needs.iter().any(|n| n.stuff == *stuff);
    stock.to_buy(&needs).into_iter().filter(|line| line.missing > least && is_ours(&line.stuff)).collect()
}

/// `design` with the shelf’s prices where it has none of its own: for sums, never to be saved. Prices in another
/// currency stay on the shelf.
pub fn with_prices(design: &Design, shelf: &Shelf) -> Design {
    let mut priced = design.clone();
    let currency = shelf.currency.as_str();
    if !currency.is_empty() && currency != design.currency {
        return priced;
    }
    let stock = shelf.stock();
    let fats = shelf.lots.iter().filter_map(|lot| match &lot.stuff {
        Stuff::Fat(id) => Some((lot.stuff.clone(), id.to_string())),
        _ => None,
    });
    let additions = design.additions.iter().map(|l| &l.addition.id);
    let additions = additions.map(|id| (Stuff::Addition(id.clone()), design.addition_price_id(id)));
    let scents = design.scents.iter().map(|l| &l.scent.id);
    let scents = scents.map(|id| (Stuff::Scent(id.clone()), design.scent_price_id(id)));
    let alkali = [(Stuff::SodiumHydroxide, crate::cost::NAOH), (Stuff::PotassiumHydroxide, crate::cost::KOH)];
    let alkali = alkali.map(|(stuff, id)| (stuff, id.to_owned()));
    for (stuff, material) in fats.chain(additions).chain(scents).chain(alkali) {
        if let Some((pack, price)) = stock.price(&stuff).filter(|_| priced.price(&material).is_none()) {
            let (pack_g, price) = (PackMass::nearest(pack), Money::nearest(price));
            priced.prices.push(Price { material, pack_g, price });
        }
    }
    priced
}

/// What an offer is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Matter {
    /// What the lye rests on.
    Lye,
    /// The colour.
    Colour,
}

/// Something of a lot that a design does not rest on yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// The lot: the one of its kind that is used next.
    pub lot: LotId,
    /// What it is about.
    pub matter: Matter,
    /// What differs, in a sentence.
    pub why: String,
    /// What comes of it, in a sentence: the alkali that would be and is, or the colour.
    pub then: String,
    /// The step that takes it.
    pub edit: Edit,
}

/// Where the lots that are used next differ from what `design` rests on: certificates, purities, dryness, and the colour
/// of bars that were made of them.
pub fn offers(
    design: &Design,
    evaluation: &Evaluation,
    shelf: &Shelf,
    library: &Library,
    measures: Measures,
) -> Vec<Offer> {
    let stock = shelf.stock();
    let mut offers = Vec::new();
    for Need { stuff, grams } in needs(design, evaluation) {
        let Some(lot) = stock.lots_of(&stuff).first().copied() else { continue };
        let left = stock.left(lot.id).left;
        let not_all = if left + design.scale_division.get() / 2.0 < grams {
            let [left, all] = [left, grams].map(|g| number::mass(Grams(g), measures.mass));
            format!("; there are only {left} of it left, and a batch takes {all}")
        } else {
            String::new()
        };
        let offered = differs(design, lot, library).map(|offered| (offered, Matter::Lye));
        let looked = looked_at(design, evaluation, lot, library).map(|offered| (offered, Matter::Colour));
        for ((why, edit), matter) in offered.into_iter().chain(looked) {
            let Ok(next) = edit.clone().apply(design, library) else { continue };
            // What leaves all as it is would be asked about for ever.
            if next == *design {
                continue;
            }
            let evaluated = evaluate(&next, library);
            let then = match matter {
                Matter::Lye => alkali_words(evaluation, &evaluated, measures),
                Matter::Colour => colour_words([(design, evaluation), (&next, &evaluated)], library),
            };
            offers.push(Offer { lot: lot.id, matter, why: why + &not_all, then, edit });
        }
    }
    offers
}

/// So many lots may have coloured a bar where no batch says which it was.
const LATEST: usize = 3;

/// The lots of `shelf` that may have coloured a bar of this makeup: those that its batch took if that is known, else
/// the latest ones; what only whitens is none of them.
pub fn that_coloured<'a>(
    shelf: &'a Shelf,
    makeup: &Makeup,
    batch: Option<BatchCode>,
    library: &Library,
) -> Vec<&'a Lot> {
    let colours = |lot: &&Lot| {
        let Stuff::Addition(id) = &lot.stuff else { return false };
        makeup.colourants.iter().any(|(colourant, _)| colourant == id) && library.pigments.colours(id)
    };
    let lots = shelf.lots.iter().rev().filter(colours);
    match batch.and_then(|code| shelf.batch(code)) {
        Some(made) => lots.filter(|lot| made.lots.iter().any(|(id, _)| *id == lot.id)).collect(),
        None => lots.take(LATEST).collect(),
    }
}

/// The latest bar of the kind of `design` that `lot` went into, if the design does not know it yet, and the edit that
/// takes it.
fn looked_at(design: &Design, evaluation: &Evaluation, lot: &Lot, library: &Library) -> Option<(String, Edit)> {
    // Most lots have none, and a forecast is work.
    if lot.own_bars.is_empty() {
        return None;
    }
    let makeup = colour::forecast(design, evaluation, library)?.makeup;
    let bar = lot.own_bars.iter().rev().find(|bar| bar.of.differs(&makeup).is_none())?;
    let known = &design.calibration;
    // A later look at a bar of its own stands.
    let is_later = |own: &OwnBar| own.of.differs(&bar.of).is_none() && own.looked_at() >= bar.looked_at();
    if known.own_bars.iter().any(is_later) {
        return None;
    }
    let own_bars = own_bar::with(&known.own_bars, bar.clone()).into();
    let why = format!("{}: {} was coloured with it", lot.id, Seen::of(bar).words());
    Some((why, Edit::Calibration(Calibration { own_bars, ..known.clone() })))
}

/// Old and new colour in a sentence.
fn colour_words(each: [(&Design, &Evaluation); 2], library: &Library) -> String {
    let name = |(design, evaluation)| {
        let forecast = colour::forecast(design, evaluation, library)?;
        Some(colour::name(forecast.shades(1.0)?.likely).to_lowercase())
    };
    match each.map(name) {
        [Some(now), Some(next)] if now == next => format!("Colour: {next} still, and surer"),
        [Some(now), Some(next)] => format!("Colour: {next} instead of {now}"),
        [None, Some(next)] => format!("Colour: {next}"),
        [_, None] => "No shade can be told with it either".into(),
    }
}

/// What of `lot` differs from what `design` has, and the edit that takes it.
fn differs(design: &Design, lot: &Lot, library: &Library) -> Option<(String, Edit)> {
    match &lot.stuff {
        Stuff::Fat(id) => {
            let line = design.blend.line(id)?;
            let held = line.certificate();
            let certificate = certificate(&lot.papers, library)?;
            // What the papers do not say stays as it is.
            let next = Certificate {
                sv: certificate.sv.or(held.sv),
                acids: if certificate.acids.is_empty() { held.acids.clone() } else { certificate.acids },
            };
            if next == held {
                return None;
            }
            let told = next.sv.map_or_else(
                || "fatty acids".to_owned(),
                |sv| format!("saponification value {} ± {} mg KOH/g", short(sv.sv.get(), 1), short(sv.pm.get(), 1)),
            );
            let now = held.sv.map_or_else(
                || "the published figures".to_owned(),
                |sv| format!("{} ± {}", short(sv.sv.get(), 1), short(sv.pm.get(), 1)),
            );
            let why =
                format!("{}: the certificate of {} says {told}; the design rests on {now}", line.fat.name, lot.id);
            Some((why, Edit::Supplier(id.clone(), next)))
        }
        Stuff::SodiumHydroxide | Stuff::PotassiumHydroxide => {
            let (purity, pm) = lot.papers.purity?;
            let now = design.alkali;
            let (next, is, was, name) = if lot.stuff == Stuff::SodiumHydroxide {
                let next = Alkali { naoh_purity: purity, naoh_purity_pm: pm, ..now };
                (next, (purity, pm), (now.naoh_purity, now.naoh_purity_pm), AlkaliKind::Sodium.words())
            } else {
                let next = Alkali { koh_purity: purity, koh_purity_pm: pm, ..now };
                (next, (purity, pm), (now.koh_purity, now.koh_purity_pm), AlkaliKind::Potassium.words())
            };
            let (is, was) = [is, was].map(|(p, pm)| format!("{} ± {} %", short(p.get(), 2), short(pm.get(), 2))).into();
            let why = format!("{name}: {} is {is} pure; the design rests on {was}", lot.id);
            (next != now).then_some((why, Edit::Alkali(next)))
        }
        Stuff::Addition(id) => {
            let water = lot.produce.as_ref()?.water()?;
            let line = design.additions.iter().find(|l| l.addition.id == *id)?;
            let held = line.addition.contents.value.water;
            if (held.get() - water.get()).abs() < ALIKE {
                return None;
            }
            let next = dried(&line.addition, water, lot.id)?;
            let why = format!(
                "{}: a dried sample of {} had {} % water; the design rests on {} %",
                line.addition.name,
                lot.id,
                short(water.get(), 1),
                short(held.get(), 1)
            );
            Some((why, Edit::DefineAddition(Arc::new(next))))
        }
        Stuff::Scent(_) | Stuff::Other(_) => None,
    }
}

/// What the papers say of a fat; `None` if they say nothing of it.
fn certificate(papers: &Papers, library: &Library) -> Option<Certificate> {
    let sv = papers.sv.map(|(sv, pm)| SupplierFigure { sv, pm });
    let acids = papers.acids.iter().filter_map(|(sign, share)| Some((library.acids.find(sign.as_str())?, *share)));
    let acids: Vec<_> = acids.collect();
    (sv.is_some() || !acids.is_empty()).then_some(Certificate { sv, acids })
}

/// `addition` with `water` in it; what else is in it keeps its part of the dry matter.
fn dried(addition: &Addition, water: Share, lot: LotId) -> Option<Addition> {
    let held = addition.contents.value;
    let dry = 1.0 - held.water.fraction();
    if dry <= 0.0 {
        return None;
    }
    let factor = (1.0 - water.fraction()) / dry;
    let of_dry = |share: Share| Share::nearest(share.get() * factor);
    let mut next = addition.clone();
    next.contents.value.water = water;
    next.contents.value.fat = of_dry(held.fat);
    next.contents.value.sugars = held.sugars.map(of_dry);
    next.contents.source = format!("Water by a dried sample of lot {lot}; {}", addition.contents.source);
    next.contents.trust = Trust::Maker;
    if let Some(acid) = &mut next.acid {
        acid.value.content = of_dry(acid.value.content);
    }
    next.checked().ok()
}

/// Old and new alkali in a sentence.
fn alkali_words(now: &Evaluation, next: &Evaluation, measures: Measures) -> String {
    let mass = |mass: Grams| Unit::Grams.text_in(mass.0, 2, measures);
    let words = |name: &str, now: Grams, next: Grams| {
        (now.0 > 0.0 || next.0 > 0.0).then(|| format!("{name} {} instead of {}", mass(next), mass(now)))
    };
    let (now, next) = (&now.masses.alkali, &next.masses.alkali);
    let both = [words("NaOH", now.naoh, next.naoh), words("KOH", now.koh, next.koh)];
    both.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::document;
    use crate::design::own_bar::ColourSeen;
    use crate::design::shelf::{Correction, Produce, ShelfEdit};
    use crate::library::material::MaterialId;
    use crate::units::{Purity, PurityMargin, SaponificationValue, StockChange, SvMargin};

    fn library() -> Library {
        Library::embedded().expect("assets parse")
    }

    fn design(library: &Library) -> Design {
        let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100)], superfat: 8,
            additions: [(addition: "carrot_boiled", amount: PercentOfFats(10), stage: AtTrace)])"#;
        document::read(text.as_bytes(), library).expect("a design")
    }

    fn lot(stuff: Stuff, grams: f64) -> Lot {
        Lot::new(LotId(0), stuff, AmountMass::nearest(grams))
    }

    fn olive() -> Stuff {
        Stuff::Fat(MaterialId::new("olive_virgin").expect("an id"))
    }

    fn shelf(lots: Vec<Lot>) -> Shelf {
        ShelfEdit::PutAll(lots).apply(&Shelf::default()).expect("room")
    }

    fn offered(design: &Design, shelf: &Shelf, library: &Library) -> Vec<Offer> {
        offers(design, &evaluate(design, library), shelf, library, Measures::default())
    }

    #[test]
    fn a_differing_lot_is_offered_as_one_step_and_is_quiet_once_taken() {
        let library = library();
        let design = design(&library);
        let sv = (SaponificationValue::nearest(192.4), SvMargin::nearest(1.0));
        let papers = Papers { sv: Some(sv), ..Papers::default() };
        let pure = Papers { purity: Some((Purity::nearest(97.0), PurityMargin::nearest(1.0))), ..Papers::default() };
        let puree = Stuff::Addition(design.additions[0].addition.id.clone());
        let dried = Some((AmountMass::nearest(20.0), AmountMass::nearest(4.0)));
        let shelf = shelf(vec![
            Lot { papers, ..lot(olive(), 900.0) },
            Lot { papers: pure, ..lot(Stuff::SodiumHydroxide, 900.0) },
            Lot { produce: Some(Produce { dried, ..Produce::default() }), ..lot(puree, 500.0) },
        ]);
        let all = offered(&design, &shelf, &library);
        assert_eq!(all.iter().map(|o| o.lot.0).collect::<Vec<_>>(), [1, 2, 3], "{all:#?}");
        assert!(all[1].then.starts_with("NaOH ") && all[1].then.contains(" instead of "), "{}", all[1].then);
        assert!(all[2].why.contains("80 % water"), "{}", all[2].why);
        let mut taken = design.clone();
        for offer in all {
            taken = offer.edit.apply(&taken, &library).expect("it can be taken");
        }
        assert_eq!(offered(&taken, &shelf, &library), [], "each is asked about once");
        assert!((taken.additions[0].addition.contents.value.water.get() - 80.0).abs() < 1e-9);
        // By hand: as much more of an alkali as it is less pure.
        let naoh = |d: &Design| evaluate(d, &library).masses.alkali.naoh.0;
        let only = Edit::Alkali(Alkali { naoh_purity: Purity::nearest(97.0), ..design.alkali });
        let less_pure = only.apply(&design, &library).expect("a purity");
        let expected = naoh(&design) * design.alkali.naoh_purity.get() / 97.0;
        assert!((naoh(&less_pure) - expected).abs() < 1e-9, "{} {expected}", naoh(&less_pure));
    }

    #[test]
    fn an_offer_says_how_much_of_its_lot_is_left_where_a_batch_takes_more() {
        let library = library();
        let design = design(&library);
        let papers = Papers { purity: Some((Purity::nearest(97.0), PurityMargin::nearest(0.5))), ..Papers::default() };
        let naoh = evaluate(&design, &library).masses.alkali.naoh.0;
        let why = |grams: f64| {
            let lot = Lot { papers: papers.clone(), ..lot(Stuff::SodiumHydroxide, grams) };
            offered(&design, &shelf(vec![lot]), &library).swap_remove(0).why
        };
        assert!(
            why(naoh / 2.0).contains("there are only") && why(naoh / 2.0).contains("a batch takes"),
            "half is there"
        );
        assert!(!why(naoh * 2.0).contains("there are only"), "enough is there");
    }

    #[test]
    fn what_is_used_next_decides_and_what_is_used_up_says_nothing() {
        let library = library();
        let design = design(&library);
        let sv = (SaponificationValue::nearest(192.4), SvMargin::nearest(1.0));
        let papers = Papers { sv: Some(sv), ..Papers::default() };
        let day = |text: &str| Day::try_from(text.to_owned()).ok();
        let plain = Lot { best_before: day("2027-01-01"), ..lot(olive(), 900.0) };
        let later = Lot { papers: papers.clone(), best_before: day("2028-01-01"), ..lot(olive(), 900.0) };
        assert_eq!(offered(&design, &shelf(vec![plain, later]), &library), []);
        assert_eq!(offered(&design, &shelf(vec![Lot { papers, ..lot(olive(), 0.0) }]), &library), []);
    }

    #[test]
    fn the_colour_of_a_bar_goes_with_its_lot_to_designs_of_its_kind() {
        let library = library();
        let design = design(&library);
        let makeup =
            |design: &Design| colour::forecast(design, &evaluate(design, &library), &library).expect("a bar").makeup;
        let day = |text: &str| Day::try_from(text.to_owned()).expect("a day");
        let colour = ColourSeen::new([78.0, 12.0, 52.0]).expect("a colour");
        let bar = OwnBar { colour, day: day("2026-05-12"), batch: None, of: makeup(&design), again: None };
        let puree = Stuff::Addition(design.additions[0].addition.id.clone());
        let shelf = shelf(vec![lot(puree.clone(), 500.0), lot(puree, 900.0)]);
        let shelf = ShelfEdit::Looked(LotId(1), Box::new(bar.clone())).apply(&shelf).expect("it is there");
        let text = document::write_shelf(&shelf, &library).expect("writes");
        assert_eq!(document::read_shelf(text.as_bytes(), &library).expect("reads"), shelf);
        let changed = Lot { own_bars: Vec::new(), ..shelf.lots[0].clone() };
        assert_eq!(
            ShelfEdit::Change(Box::new(changed)).apply(&shelf).expect("kept").lots[0].own_bars,
            std::slice::from_ref(&bar)
        );
        let all = offered(&design, &shelf, &library);
        assert!(matches!(&all[..], [offer] if offer.matter == Matter::Colour && offer.lot == LotId(1)), "{all:#?}");
        assert!(all[0].why.contains("your bar of 12 May 2026") && all[0].then.starts_with("Colour: "), "{all:?}");
        let taken = all[0].edit.clone().apply(&design, &library).expect("it can be taken");
        assert_eq!(&*taken.calibration.own_bars, std::slice::from_ref(&bar));
        assert_eq!(offered(&taken, &shelf, &library), [], "asked about once");
        // A later bar of one's own stands; an earlier one gives way.
        for (text, offers) in [("2026-06-01", 0), ("2026-04-01", 1)] {
            let own = OwnBar { day: day(text), ..bar.clone() };
            let own_bars = vec![own].into();
            let known = Design { calibration: Calibration { own_bars, ..Calibration::default() }, ..design.clone() };
            assert_eq!(offered(&known, &shelf, &library).len(), offers, "{text}");
        }
        // Other fats, and another lot that is used next.
        let text = r#"(barwright: 1, fats: [(fat: "coconut", share: 100)], superfat: 8,
            additions: [(addition: "carrot_boiled", amount: PercentOfFats(10), stage: AtTrace)])"#;
        let other = document::read(text.as_bytes(), &library).expect("a design");
        assert_eq!(offered(&other, &shelf, &library), []);
        let count = Correction {
            on: day("2026-06-01"),
            grams: StockChange::nearest(500.0),
            reason: Line::shortened("used up"),
        };
        let used_up = ShelfEdit::Correct(LotId(1), count).apply(&shelf).expect("a reason");
        assert_eq!(offered(&design, &used_up, &library), [], "another lot may be stronger");
    }

    #[test]
    fn planned_batches_come_before_another_one() {
        let library = library();
        let design = design(&library);
        let evaluation = evaluate(&design, &library);
        let oil = evaluation.fat_masses[0].0;
        let there = |times: f64| {
            let lots = needs(&design, &evaluation).into_iter().map(|n| lot(n.stuff, n.grams * times)).collect();
            shelf(lots)
        };
        let enough = there(1.5);
        assert_eq!(missing(&design, &evaluation, &enough.stock()), []);
        let planned = ShelfEdit::Plan(plan(&design, &evaluation, None)).apply(&enough).expect("room");
        let lines = missing(&design, &evaluation, &planned.stock());
        let of_oil = lines.iter().find(|l| l.stuff == olive()).expect("half a batch is missing");
        assert!((of_oil.missing - oil / 2.0).abs() < 1e-6, "{of_oil:?}");
    }

    #[test]
    fn the_designs_own_price_wins_and_another_currency_is_left() {
        let library = library();
        let design = design(&library);
        let priced = Lot { price: Some(Money::nearest(20.0)), ..lot(olive(), 1000.0) };
        let naoh = Lot { price: Some(Money::nearest(8.0)), ..lot(Stuff::SodiumHydroxide, 1000.0) };
        let shelf = shelf(vec![priced, naoh]);
        let own =
            Price { material: "olive_virgin".into(), pack_g: PackMass::nearest(500.0), price: Money::nearest(9.0) };
        let with_own = Edit::SetPrice(own.clone()).apply(&design, &library).expect("a price");
        let both = with_prices(&with_own, &shelf);
        assert_eq!(both.price("olive_virgin"), Some(&own));
        assert_eq!(both.price("naoh").map(|p| p.price.get()), Some(8.0));
        assert_eq!(with_prices(&design, &shelf).price("olive_virgin").map(|p| p.price.get()), Some(20.0));
        let foreign = Shelf { currency: Line::shortened("SEK"), ..shelf };
        assert_eq!(with_prices(&design, &foreign), design);
    }
}
