//! Own bars whose colour was seen: what they say of the next bars, and of which.
//!
//! Sources: the project's own optics (checked in `colour.rs`); factors of white powders after a scattering of 25 /cm for
//! each percent of titanium dioxide beside 12.4 /cm of soap (from memory, rutile 2.7 against 1.47). Carotenoids fade by
//! first order: beta-carotene in juice at a rate of 0.309 a day in light (Pesek and Warthesen, photodegradation in
//! vegetable juice, by the abstract), which halves it in 2.24 days.

use barwright_core::bench::colour::forecast;
use barwright_core::chemistry::colour::fading::Pace;
use barwright_core::chemistry::colour::forecast::{Basis, Forecast};
use barwright_core::chemistry::colour::optics::{Lab, absorption, difference};
use barwright_core::chemistry::colour::sought::{REACH, Sought};
use barwright_core::chemistry::colour::strength::{READING_ERROR, USUAL};
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::design::history::History;
use barwright_core::design::own_bar::{Again, ColourSeen, Differs, MOST_OWN_BARS, OwnBar, with};
use barwright_core::design::words::Day;
use barwright_core::design::{Calibration, Design};
use barwright_core::library::material::MaterialId;
use barwright_core::quantities::{About, AnyQuantity, HalfGone};
use barwright_core::{Library, evaluate};

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

const OIL: &str = r#"(fat: "sunflower", share: 70)"#;

/// A design of 30 % coconut with the fat, the additions and the process that are said.
fn design(fat: &str, additions: &[(&str, f64)], process: &str) -> Design {
    let lines: Vec<String> =
        additions.iter().map(|(id, g)| format!("(addition: \"{id}\", amount: GramsPerKgFats({g:?}))")).collect();
    let text = format!(
        "(barwright: 1, fats: [(fat: \"coconut\", share: 30), {fat}], additions: [{}], process: ({process}))",
        lines.join(",")
    );
    document::read(text.as_bytes(), &library()).expect("a design")
}

fn carrot(g_per_kg: f64) -> Design {
    design(OIL, &[("carrot_boiled", g_per_kg)], "")
}

/// What is told of `design`, by `read`.
fn told<T>(design: &Design, read: impl Fn(&Forecast<'_>) -> T) -> T {
    let library = library();
    let evaluation = evaluate(design, &library);
    read(&forecast(design, &evaluation, &library).expect("a bar"))
}

/// The strengths of the band, bit by bit.
fn strengths(design: &Design) -> [u64; 3] {
    told(design, |f| f.strengths.map(f64::to_bits))
}

fn basis(of: &Forecast<'_>) -> String {
    of.basis_words()
}

fn plain(of: &Forecast<'_>) -> Lab {
    of.plain()
}

/// A bar of `design` that looked as one does in which a milligram is so strong.
fn bar_at(design: &Design, times: f64) -> OwnBar {
    told(design, |f| seen(f, f.mixture.colour(times * USUAL, 1.0)))
}

fn seen(of: &Forecast<'_>, colour: Lab) -> OwnBar {
    let colour = ColourSeen::new([colour.l, colour.a, colour.b]).expect("a colour");
    let day = Day::try_from("2026-05-12".to_owned()).expect("a day");
    OwnBar { colour, day, batch: None, of: of.makeup.clone(), again: None }
}

/// `design` with an own bar.
fn knowing(design: &Design, bar: OwnBar) -> Design {
    let known = design.calibration.clone();
    let calibration = Calibration { own_bars: with(&known.own_bars, bar).into(), ..known };
    Edit::Calibration(calibration).apply(design, &library()).expect("taken")
}

fn likely(design: &Design) -> Lab {
    told(design, |f| f.shades(1.0).expect("a shade").likely)
}

#[test]
fn an_own_bar_brings_the_shade_to_what_was_seen_and_holds_when_the_amount_changes() {
    let plain_tables = carrot(100.0);
    for times in [0.4, 2.2] {
        let bar = bar_at(&plain_tables, times);
        let looked = Lab::from(bar.colour);
        let known = knowing(&plain_tables, bar);
        let off = difference(likely(&known), looked);
        assert!(off < READING_ERROR, "times {times}: off by {off}");
        assert!(off < difference(likely(&plain_tables), looked), "nearer than the tables");
        // The same puree, half as much: still the strength of the bar.
        let half = Design { calibration: known.calibration.clone(), ..carrot(50.0) };
        let strength = |d: &Design| told(d, |f| f.strengths[1]);
        assert!((strength(&half) / strength(&known) - 1.0).abs() < 1e-9, "one strength for the puree");
        assert!(told(&half, |f| matches!(f.basis, Basis::OwnBar(_))));
        // The band is narrower than that of the tables.
        let width = |d: &Design| told(d, |f| (f.strengths[2] / f.strengths[0]).ln());
        assert!(width(&known) < 0.8 * width(&plain_tables), "{} of {}", width(&known), width(&plain_tables));
    }
}

#[test]
fn it_counts_for_the_same_puree_fats_and_warmth_only_and_says_why_not() {
    let bar = bar_at(&carrot(100.0), 2.0);
    let olive = r#"(fat: "olive_virgin", share: 70)"#;
    for (other, why, words) in [
        (design(OIL, &[("pumpkin_canned", 100.0)], ""), Differs::Colourants, "coloured with something else"),
        (design(OIL, &[("carrot_boiled", 90.0), ("kaolin", 10.0)], ""), Differs::Colourants, "something else"),
        (design(olive, &[("carrot_boiled", 100.0)], ""), Differs::Fats, "other fats"),
        (design(OIL, &[("carrot_boiled", 100.0)], "rest: Insulated"), Differs::Gel, "kept warm otherwise"),
    ] {
        let known = knowing(&other, bar.clone());
        assert_eq!(strengths(&known), strengths(&other), "{why:?}");
        let rests_on = told(&known, |f| f.basis);
        assert!(matches!(rests_on, Basis::Tables { not: Some((_, differs)) } if differs == why), "{rests_on:?}");
        let line = told(&known, basis);
        assert!(line.contains(words) && line.contains("Your bar of 12 May 2026"), "{line}");
    }
    let line = told(&knowing(&carrot(60.0), bar), basis);
    assert!(line.starts_with("From your bar of 12 May 2026, same puree"), "{line}");
}

#[test]
fn a_plain_bar_gives_the_base_of_the_same_fats() {
    let none = design(OIL, &[], "");
    let bar = told(&none, |f| seen(f, Lab::new(84.0, 0.0, 16.0)));
    let known = knowing(&none, bar.clone());
    let base = told(&known, plain);
    assert!((base.l - 84.0).abs() < 0.1 && (base.b - 16.0).abs() < 0.1, "{base:?}");
    let with_carrot = Design { calibration: known.calibration, ..carrot(100.0) };
    assert!(told(&with_carrot, |f| matches!(f.basis, Basis::PlainBar(_))));
    assert!(likely(&with_carrot).l < likely(&carrot(100.0)).l, "a darker plain bar, a darker one with carrot");
}

#[test]
fn what_is_hidden_or_not_seen_is_not_matched() {
    for (additions, can) in [
        (&[("carrot_boiled", 100.0)][..], true),
        (&[][..], true),
        (&[("banana", 100.0)][..], false),
        (&[("beetroot_raw", 80.0)][..], false),
        (&[("carrot_boiled", 100.0), ("turmeric", 5.0)][..], false),
        (&[("alkanet", 5.0)][..], true),
        (&[("alkanet", 5.0), ("beetroot_raw", 80.0)][..], false),
    ] {
        assert_eq!(told(&design(OIL, additions, ""), |f| Sought::of(f).is_some()), can, "{additions:?}");
    }
}

#[test]
fn both_sliders_reach_what_half_and_double_bars_look_like() {
    let (sought, likely) = told(&carrot(100.0), |f| (Sought::of(f).expect("a bar"), f.mixture.colour(USUAL, 1.0)));
    assert_eq!(sought.colour([0.0; 3]), likely, "they begin at what is likely");
    let (pale, deep) = (sought.colour([-REACH, 0.0, 0.0]), sought.colour([REACH, 0.0, 0.0]));
    assert!(pale.l > likely.l && likely.l > deep.l && pale.b < likely.b, "{pale:?} {deep:?}");
    let reach = |times: f64| told(&carrot(100.0), |f| f.mixture.colour(times * USUAL, 1.0));
    assert!(pale.b < reach(0.3).b && deep.l < reach(3.0).l, "three times either way");
    assert!(sought.colour([0.0, REACH, 0.0]).a > likely.a + 10.0);
}

#[test]
fn the_file_keeps_own_bars_and_an_old_file_reads_the_same() {
    let library = library();
    let old = carrot(100.0);
    let text = document::write(&old, &library).expect("writes");
    assert!(!text.contains("own_bars"), "a program from before reads it");
    let known = knowing(&old, bar_at(&old, 1.5));
    let text = document::write(&known, &library).expect("writes");
    assert_eq!(document::read(text.as_bytes(), &library).expect("reads"), known);
    for (good, bad) in [("own_bars: [", "own_bars: [(),"), ("2026-05-12", "2026-05-32"), ("stood: Room", "stood: Sun")]
    {
        assert!(text.contains(good), "{good}");
        assert!(document::read(text.replacen(good, bad, 1).as_bytes(), &library).is_err(), "{bad}");
    }
    let [l, ..] = known.calibration.own_bars[0].colour.lab();
    let dark = text.replacen(&format!("{l}"), "1e9", 1);
    let error = document::read(dark.as_bytes(), &library).expect_err("no colour");
    assert!(error.to_string().contains("no colour"), "{error}");
}

#[test]
fn it_can_be_undone_and_the_same_kind_of_bar_stands_once() {
    let library = library();
    let old = carrot(100.0);
    let mut history = History::new(old.clone(), true);
    let known = |design: &Design, times| knowing(design, bar_at(design, times)).calibration;
    let edit = Edit::Calibration(known(&old, 2.0));
    history.commit(edit.name(&old), edit.apply(&old, &library).expect("taken"), None);
    assert_eq!(history.undo_name(), Some("colour of an own bar"));
    assert_eq!(history.design().calibration.own_bars.len(), 1);
    let again = known(history.design(), 3.0);
    assert_eq!(again.own_bars.len(), 1, "a later bar of the kind takes its place");
    history.undo();
    assert_eq!(**history.design(), old);
    let mut bars = Vec::new();
    for i in 0..=MOST_OWN_BARS {
        let mut bar = bar_at(&old, 1.0);
        bar.of.colourants[0].0 = MaterialId::new(&format!("puree_{i}")).expect("an id");
        bars = with(&bars, bar);
    }
    assert_eq!(bars.len(), MOST_OWN_BARS, "the oldest makes way");
}

#[test]
fn titanium_dioxide_weakens_all_absorption() {
    // In percent of the cured bar: 1 to a third, 0.3 to six tenths.
    let bar = told(&carrot(100.0), |f| f.makeup.bar_per_fats.get());
    for (percent, factor) in [(0.3, 0.62), (1.0, 0.33)] {
        let additions = [("carrot_boiled", 100.0), ("titanium_dioxide", percent * 10.0 * bar)];
        let (white, without) = (likely(&design(OIL, &additions, "")), likely(&carrot(100.0)));
        assert!(white.l > without.l && white.b < without.b, "{percent} %: {white:?} {without:?}");
        // By its lightness, as if it were one band: near enough to see a factor.
        let ks = |colour: Lab| absorption(((colour.l + 16.0) / 116.0).powi(3));
        let found = ks(white) / ks(without);
        assert!((found - factor).abs() < 0.06, "{percent} %: {found} against {factor}");
    }
}

#[test]
fn gel_is_told_in_words_and_alkanet_carries_its_caution() {
    let words = |d: &Design| told(d, |f| f.words(d)).join(" ");
    let gelled = design(OIL, &[("carrot_boiled", 100.0)], "rest: Insulated");
    assert!(words(&gelled).contains("darker and deeper"), "{}", words(&gelled));
    assert!(!words(&carrot(100.0)).contains("darker and deeper"));
    assert_eq!(strengths(&gelled), strengths(&carrot(100.0)), "no source for a number");
    // A gelled bar that was seen has it in it.
    let known = knowing(&gelled, bar_at(&gelled, 1.4));
    assert!(!words(&known).contains("darker and deeper"));
    let alkanet = design(OIL, &[("alkanet", 5.0)], "");
    assert!(words(&alkanet).contains("harmful to the liver"), "{}", words(&alkanet));
}

#[test]
fn what_only_an_own_bar_tells_looks_like_it_and_follows_the_amount() {
    for (id, colour) in [
        ("indigo", [58.0, -6.0, -12.0]),
        ("madder", [66.0, 22.0, 8.0]),
        ("charcoal", [45.0, 0.0, 2.0]),
        ("annatto_seed", [76.0, 16.0, 58.0]),
    ] {
        let of = |grams: f64| design(OIL, &[(id, grams)], "");
        assert!(told(&of(5.0), |f| f.shades(1.0).is_none()), "{id}: no shade without an own bar");
        let bar = told(&of(5.0), |f| seen(f, Lab::new(colour[0], colour[1], colour[2])));
        let known = |grams: f64| Design { calibration: knowing(&of(5.0), bar.clone()).calibration, ..of(grams) };
        let off = difference(likely(&known(5.0)), Lab::new(colour[0], colour[1], colour[2]));
        // Three lobes do not give every colour; less than a bar is read wrong.
        assert!(off < 0.7 * READING_ERROR, "{id}: off by {off}");
        let (half, double) = (likely(&known(2.5)), likely(&known(10.0)));
        assert!(half.l > likely(&known(5.0)).l && likely(&known(5.0)).l > double.l, "{id}: {half:?} {double:?}");
        let line = told(&known(5.0), basis);
        assert!(line.contains("same colourants"), "{line}");
        assert!(told(&known(5.0), |f| f.words(&of(5.0)))[0].contains("by your own bar"), "{id}");
        // The other half of the words stays: what is not known, and every caution.
        assert!(told(&known(5.0), |f| f.words(&of(5.0)).len()) > 1, "{id}");
    }
}

/// What two looks at a carrot bar tell, the second after so many days, if half of its colour goes in `half` days.
fn paling(half: f64, days: u64) -> (Pace, String) {
    let design = carrot(100.0);
    let mut bar = bar_at(&design, 1.2);
    let left = (-(days as f64) / half).exp2();
    let Lab { l, a, b, .. } = told(&design, |f| f.mixture.colour(1.2 * left * USUAL, 1.0));
    bar.again = Some(Again { colour: ColourSeen::new([l, a, b]).expect("a colour"), day: bar.day.after(days) });
    let known = knowing(&design, bar);
    told(&known, |f| (f.fading.expect("seen twice").pace, f.over_time().expect("words").into_owned()))
}

#[test]
fn two_looks_tell_how_fast_a_bar_pales_and_one_does_not() {
    let known = knowing(&carrot(100.0), bar_at(&carrot(100.0), 1.2));
    assert!(told(&known, |f| f.fading.is_none() && f.over_time().is_some_and(|w| w.contains("No date can be given"))));
    for (half, days) in [(9.0, 20), (40.0, 60), (40.0, 120), (120.0, 180), (400.0, 800)] {
        let (pace, words) = paling(half, days);
        let Pace::Halves([short, middle, long]) = pace else { panic!("{half} {days}: {pace:?}") };
        assert!((0.6..1.7).contains(&(middle / half)), "{half} after {days}: {pace:?}");
        assert!(short < half && half < long, "{half} after {days}: {pace:?}");
        assert!(
            words.contains("half of its colour is gone after about") && words.contains("kept as that bar"),
            "{words}"
        );
    }
    // Hardly paler in a month, and all gone in two years: only that.
    let (pace, words) = paling(2000.0, 30);
    assert!(matches!(pace, Pace::Longer(days) if (20.0..2000.0).contains(&days)), "{pace:?}");
    assert!(words.contains("paled too little for a date"), "{words}");
    // The first day tells nothing.
    assert_eq!(paling(40.0, 1).0, Pace::Untold);
    let (pace, words) = paling(2.24, 700);
    assert!(matches!(pace, Pace::Shorter(days) if (2.24..700.0).contains(&days)), "{pace:?}");
    assert!(words.contains("had lost most of its colour"), "{words}");
}

#[test]
fn an_earlier_look_is_the_first_and_a_look_of_another_colour_gives_no_date() {
    let design = carrot(100.0);
    let bar = bar_at(&design, 1.2);
    let look = |days: i64, lab: [f64; 3]| Again {
        colour: ColourSeen::new(lab).expect("a colour"),
        day: Day(bar.day.0 + chrono::Duration::days(days)),
    };
    let deeper = told(&design, |f| f.mixture.colour(2.4 * USUAL, 1.0));
    let both = bar.seen_also(look(-60, [deeper.l, deeper.a, deeper.b])).expect("of another day");
    assert_eq!(both.again, Some(Again { colour: bar.colour, day: bar.day }), "in the order of their days");
    assert_eq!(bar.seen_also(look(0, [50.0, 0.0, 0.0])), None);
    // Blue, black, white and the loudest green: never a number that is none, and no date.
    for lab in [[40.0, 10.0, -60.0], [0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [50.0, -150.0, 150.0]] {
        let known = knowing(&design, bar.seen_also(look(90, lab)).expect("of another day"));
        let pace = told(&known, |f| f.fading.expect("seen twice").pace);
        // White is where a bar without any colour nearly is.
        let is_told =
            matches!(pace, Pace::Untold) || lab[0] > 99.0 && matches!(pace, Pace::Shorter(days) if days < 90.0);
        assert!(is_told, "{lab:?}: {pace:?}");
    }
}

#[test]
fn the_time_in_which_the_colour_halves_is_a_quantity_that_answers() {
    let design = carrot(100.0);
    let library = library();
    let half_gone = |design: &Design| {
        let evaluation = evaluate(design, &library);
        HalfGone.value(About::new(design, &evaluation, &library))
    };
    assert!(half_gone(&design).is_err_and(|why| format!("{why:?}").contains("looked at twice")));
    let mut bar = bar_at(&design, 1.2);
    let Lab { l, a, b, .. } = told(&design, |f| f.mixture.colour(0.3 * USUAL, 1.0));
    let again = ColourSeen::new([l, a, b]).expect("a colour");
    bar.again = Some(Again { colour: again, day: bar.day.after(150) });
    let known = knowing(&design, bar.clone());
    let days = half_gone(&known).expect("two looks");
    assert!((45.0..130.0).contains(&days), "a quarter is left after 150 days: {days}");
    let text = document::write(&known, &library).expect("writes");
    assert_eq!(document::read(text.as_bytes(), &library).expect("reads"), known);
    // A second look that is no later tells nothing, and breaks nothing.
    bar.again = Some(Again { colour: again, day: bar.day });
    assert!(half_gone(&knowing(&design, bar)).is_err());
}
