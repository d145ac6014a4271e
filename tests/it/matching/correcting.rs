//! Corrections: published arithmetic, minimality, ratio, ceilings, time.

use std::collections::BTreeMap;

use pourbook::matching::{
    Clock, CorrectAsk, Correction, Exactly, Held, Known, LastPour, Part, Suspicion, Uncorrected,
    Unmixed, VesselAsked, WeighedDose, Weighing, correct, keep, suspicions,
};
use pourbook::model::{Colorant, House, System};
use pourbook::plan::{Standing, minimum_weight};
use pourbook::quantity::{Fraction, Mass, Temperature, TimeSpan, Volume};
use proptest::prelude::*;

use super::finding::looking;
use super::shelf;

fn g(mass: f64) -> Mass {
    Mass::from_g(mass)
}

fn masses(all: &[(&str, f64)]) -> BTreeMap<String, Mass> {
    all.iter().map(|(name, mass)| ((*name).to_owned(), g(*mass))).collect()
}

fn loadings(all: &[(&str, f64)]) -> BTreeMap<String, f64> {
    all.iter().map(|(name, loading)| ((*name).to_owned(), *loading)).collect()
}

/// A base of white and red, `red` times overdosed in 3 kg.
fn overdosed<'a>(
    system: &'a System,
    shelf: &'a [Colorant],
    house: &'a House,
    red: f64,
) -> CorrectAsk<'a> {
    let a = system.mass_fraction_a();
    CorrectAsk {
        limits: shelf::limits(system),
        small_batches: Vec::new(),
        house,
        shelf: shelf
            .iter()
            .filter(|c| ["white", "red", "black"].contains(&c.name.as_str()))
            .collect(),
        looking: looking(),
        wanted: loadings(&[("white", 0.03), ("red", 0.005)]),
        held: Held {
            part_a: g(3000.0 * a),
            part_b: g(3000.0 * (1.0 - a)),
            colorants: masses(&[("white", 90.0), ("red", 15.0 * red)]),
        },
        let_downs: BTreeMap::new(),
        first_keeps: None,
        measured: None,
        within: 0.5,
        at_least: None,
        vessel: VesselAsked::Smallest,
        enough: None,
        clock: None,
    }
}

fn sound(ask: &CorrectAsk<'_>, done: &Correction) {
    assert!(done.error_after <= ask.within + 1e-9, "{} ΔE00", done.error_after);
    assert!(done.ratio_error <= 0.005, "A : B off by {}", done.ratio_error);
    assert!(!done.standings.iter().any(Standing::exceeded), "{:?}", done.standings);
    assert!(done.added().g() >= 0.0, "nothing is taken out");
}

#[test]
fn an_overdose_is_brought_within_tolerance_with_less_than_exactly() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let ask = overdosed(&system, &shelf, &house, 1.5);
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    assert!(done.error_before > ask.within, "it was off: {}", done.error_before);
    let Exactly { restored: exact, names, .. } = done.exactly.clone().unwrap();
    assert_eq!(names, ["red", "white"], "in order of name");
    // S = 1.5: 1500 g of resin and 45 g of white.
    assert!((exact.added() - 1545.0).abs() < 1e-6, "{exact:?}");
    assert!(done.added().g() < exact.added(), "{} of {}", done.added().g(), exact.added());
}

#[test]
fn a_mix_that_is_right_needs_nothing() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let ask = overdosed(&system, &shelf, &house, 1.0);
    let done = correct(&ask).unwrap();
    assert!(done.is_nothing(), "{done:?}");
}

#[test]
fn a_wrong_ratio_is_filled_up() {
    // A : B 500/262 on 100 : 50.
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = overdosed(&system, &shelf, &house, 1.0);
    ask.held.part_b = ask.held.part_b * 1.03;
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    let want = ask.held.part_a.g() * 0.03;
    assert!((done.part_a.mass.g() - want).abs() < 0.01 * ask.held.part_a.g(), "{done:?}");
}

#[test]
fn a_ceiling_that_is_exceeded_is_kept_afterwards() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = overdosed(&system, &shelf, &house, 1.0);
    // 7.5 % white where 6 % is the ceiling: whatever the colour, resin has to go in.
    ask.held.colorants = masses(&[("white", 225.0), ("red", 15.0)]);
    ask.within = 5.0;
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    assert!(done.added().g() > 700.0, "{}", done.added().g());
}

#[test]
fn a_measured_miss_moves_the_aim() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = overdosed(&system, &shelf, &house, 1.0);
    let right = correct(&ask).unwrap();
    // It came out 3 L* lighter than predicted: black is added.
    let mut measured = right.look_before.lab;
    measured.l += 3.0;
    ask.measured = Some(measured);
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    assert!((done.aim.l - (right.look_before.lab.l - 3.0)).abs() < 1e-9, "{:?}", done.aim);
    assert!(done.doses.iter().any(|d| d.colorant == "black"), "{:?}", done.doses);
    assert!(done.added().g() < 100.0, "a pinch of black, not a flood: {:?}", done.doses);
}

#[test]
fn a_left_over_is_used_up_in_another_base() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let a = system.mass_fraction_a();
    let mut ask = overdosed(&system, &shelf, &house, 1.0);
    // 200 g of a paler pink into 2 kg of the wanted red.
    ask.wanted = loadings(&[("white", 0.02), ("red", 0.02)]);
    ask.held = Held {
        part_a: g(200.0 * a),
        part_b: g(200.0 * (1.0 - a)),
        colorants: masses(&[("white", 6.0), ("red", 1.0)]),
    };
    ask.at_least = Some(g(2000.0));
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    assert!(done.after.g() > 1990.0, "{}", done.after.g());
    assert!(done.after.g() < 2200.0, "{}", done.after.g());
}

#[test]
fn a_correction_larger_than_the_house_mixes_is_refused() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = overdosed(&system, &shelf, &house, 4.0);
    ask.held.part_a = ask.held.part_a * 2.0;
    ask.held.part_b = ask.held.part_b * 2.0;
    ask.held.colorants = masses(&[("white", 180.0), ("red", 160.0)]);
    let most = house.largest_mix.g();
    match correct(&ask) {
        Err(Uncorrected::TooLarge { grown_g, most_g }) => {
            assert!(grown_g > most_g && (most_g - most).abs() < 1e-9, "{grown_g} of {most_g}");
        }
        other => panic!("{other:?}"),
    }
}

/// Of what would grow too large the most is kept that fits: that part can be corrected, and nearly fills the
/// largest mix.
#[test]
fn the_most_is_kept_that_fits_when_corrected() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    for within in [0.4, 0.5] {
        let mut ask = CorrectAsk { within, ..overdosed(&system, &shelf, &house, 4.0) };
        let all = ask.held.clone();
        let kept = keep(&ask).unwrap();
        sound(&ask, &kept.correction);
        assert!(kept.correction.after <= house.largest_mix, "{kept:?}");
        assert!(kept.mass < all.mass(), "{kept:?}");
        let steps = kept.mass.g() / kept.readability.g();
        assert!((steps - steps.round()).abs() < 1e-6, "{kept:?}");
        let share = kept.mass.g() / all.mass().g();
        let colorants = all.colorants.iter();
        ask.held = Held {
            part_a: all.part_a * share,
            part_b: all.part_b * share,
            colorants: colorants.map(|(name, mass)| (name.clone(), *mass * share)).collect(),
        };
        assert_eq!(correct(&ask).unwrap(), kept.correction, "what is told is what that part needs");
        let room = 1.0 - kept.correction.after.g() / house.largest_mix.g();
        assert!(room < 0.02, "{room} of the largest mix is left unused: {kept:?}");
    }
    let fits = overdosed(&system, &shelf, &house, 1.2);
    assert_eq!(keep(&fits).unwrap().correction, correct(&fits).unwrap(), "all of it fits");
}

#[test]
fn weights_off_as_slips_are_off_are_suspected() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let right = overdosed(&system, &shelf, &house, 1.0);
    let [a, b] = [right.held.part_a, right.held.part_b];
    let slipped = |a: Mass, b: Mass, colorants: &[(&str, f64)]| {
        let mut ask = right.clone();
        (ask.held.part_a, ask.held.part_b) = (a, b);
        for (name, grams) in colorants {
            ask.held.colorants.insert((*name).to_owned(), g(*grams));
        }
        suspicions(&ask, &Known::default())
    };
    assert_eq!(slipped(a, b, &[]), [], "as it should be");
    assert_eq!(slipped(a, b * 1.1, &[("red", 20.0)]), [], "off, but as no slip is");
    assert_eq!(slipped(b, a, &[]), [Suspicion::PartsSwapped]);
    assert_eq!(slipped(a * 2.0, b, &[]), [Suspicion::TwiceA]);
    assert_eq!(slipped(a, b * 2.0, &[]), [Suspicion::TwiceB]);
    assert_eq!(slipped(a, a + b, &[]), [Suspicion::ReadingForB]);
    // 0.3 g of red in 3 kg of resin is let down: 1 : 49 is weighed as 15 g.
    let mut little = right.clone();
    little.wanted.insert("red".to_owned(), 1e-4);
    little.held.colorants.insert("red".to_owned(), g(15.0));
    let neat = Suspicion::LetDownAsNeat {
        colorant: "red".to_owned(),
        ratio: Fraction::new(0.02),
        weighed: g(15.0),
    };
    assert_eq!(suspicions(&little, &Known::default()), std::slice::from_ref(&neat));
    // Whatever of B is in by now, for it was weighed for the whole.
    for (b_in, part) in [
        (0.0, None),
        (0.2, None),
        (0.5, Some(Suspicion::TwiceA)),
        (1.2, None),
        (2.0, Some(Suspicion::TwiceB)),
    ] {
        let mut early = little.clone();
        early.held.part_b = early.held.part_b * b_in;
        let told: Vec<Suspicion> = part.into_iter().chain([neat.clone()]).collect();
        assert_eq!(suspicions(&early, &Known::default()), told, "{b_in} of B");
    }
    let mut swapped = little.clone();
    (swapped.held.part_a, swapped.held.part_b) = (b, a);
    let told = [Suspicion::PartsSwapped, neat];
    assert_eq!(suspicions(&swapped, &Known::default()), told, "swapped");
    let weighing =
        Weighing { colorant: "red".to_owned(), mass: g(15.0), let_down: Some(Fraction::new(0.02)) };
    let stated = Known { weighings: vec![weighing], ..Known::default() };
    assert_eq!(suspicions(&little, &stated), [], "stated as a let-down it is not one again");
    // No plan lets so little down 1 : 1.
    little.held.colorants.insert("red".to_owned(), g(0.6));
    let doubled = Suspicion::TwiceColorant("red".to_owned());
    assert_eq!(suspicions(&little, &Known::default()), [doubled]);
    little.held.colorants.insert("red".to_owned(), g(0.3));
    assert_eq!(suspicions(&little, &Known::default()), [], "neat it is right");
    let twice = Suspicion::TwiceColorant("red".to_owned());
    assert_eq!(slipped(a, b, &[("red", 30.2)]), [twice]);
    let swapped = Suspicion::ColorantsSwapped("red".to_owned(), "white".to_owned());
    assert_eq!(slipped(a, b, &[("red", 90.0), ("white", 15.0)]), [swapped]);
}

/// What was left unfinished is completed to the recipe, not only into the tolerance; nothing else is added.
#[test]
fn an_unfinished_mix_is_completed() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let right = overdosed(&system, &shelf, &house, 1.0);
    let whole = right.held.clone();
    let only_a = Held { part_a: whole.part_a, ..Held::default() };
    let no_b = Held { part_b: Mass::ZERO, ..whole.clone() };
    let no_colour = Held { colorants: BTreeMap::new(), ..whole.clone() };
    for held in [only_a, no_b, no_colour] {
        let ask = CorrectAsk { held: held.clone(), ..right.clone() };
        let done = correct(&ask).unwrap();
        sound(&ask, &done);
        assert!(done.completes, "{done:?}");
        let missing = whole.mass() - held.mass();
        assert!((done.added() - missing).g().abs() < 2.0, "{missing}: {done:?}");
        assert!((held.part_b + done.part_b.mass - whole.part_b).g().abs() <= 1.0, "{done:?}");
        for (name, mass) in &whole.colorants {
            let dose = done.doses.iter().find(|dose| dose.colorant == *name);
            let has = held.colorants.get(name).copied().unwrap_or_default()
                + dose.map_or(Mass::ZERO, |dose| dose.mass);
            assert!((has.g() / mass.g() - 1.0).abs() < 0.03, "{name} {mass}: {done:?}");
        }
    }
    let over = correct(&overdosed(&system, &shelf, &house, 1.5)).unwrap();
    assert!(!over.completes, "an overdose is no unfinished mix");
}

/// Whatever of B is in, too much or too little: a mix that is not tinted yet gets the recipe for the whole that its
/// ratio makes, not the least that passes by colour.
#[test]
fn an_untinted_mix_is_completed_whatever_its_ratio() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let right = overdosed(&system, &shelf, &house, 1.0);
    for b in [0.0, 0.1, 0.5, 0.97, 0.98, 0.994, 1.0, 1.006, 1.013, 1.1, 1.5, 2.0] {
        for tinted in [0.0, 0.3] {
            let mut ask = right.clone();
            ask.held.part_b = ask.held.part_b * b;
            ask.held.colorants = masses(&[("white", 90.0 * tinted), ("red", 15.0 * tinted)]);
            let done = correct(&ask).unwrap();
            sound(&ask, &done);
            assert!(done.completes, "{b}, {tinted}: {done:?}");
            let whole = 3000.0 * b.max(1.0);
            for (name, loading) in &ask.wanted {
                let has = done.loadings[name];
                assert!((has / loading - 1.0).abs() < 0.01, "{b}, {tinted}: {name} {has}");
            }
            let resin = done.after.g() - 105.0 * b.max(1.0);
            assert!((resin - whole).abs() < 3.0, "{b}, {tinted}: {resin} of {whole}");
        }
    }
    // One that holds too much, even for the whole that its ratio makes, is not.
    let mut over = right.clone();
    over.held.part_b = over.held.part_b * 0.5;
    over.held.colorants = masses(&[("red", 22.0)]);
    assert!(!correct(&over).unwrap().completes);
}

/// What grows too large for every scale is told to grow too large.
#[test]
fn what_no_scale_bears_is_too_large_where_it_is() {
    let (system, shelf) = (shelf::system(), shelf::shelf());
    let scale = |name: &str, step: f64, capacity: f64| pourbook::model::Scale {
        name: name.into(),
        readability: g(step),
        capacity: g(capacity),
    };
    let parts = pourbook::model::HouseParts {
        scales: vec![scale("bench", 1.0, 9000.0), scale("small", 0.01, 200.0)],
        ..Default::default()
    };
    let house = House::new(parts).unwrap();
    // More part A than the bench bears would go in.
    let ask = overdosed(&system, &shelf, &house, 20.0);
    match correct(&ask) {
        Err(Uncorrected::TooLarge { grown_g, most_g }) => {
            assert!(grown_g > 9000.0 && (most_g - house.largest_mix.g()).abs() < 1e-9, "{grown_g}");
        }
        other => panic!("{other:?}"),
    }
    // What is kept of so much overdose is next to nothing of what it becomes.
    assert!(matches!(keep(&ask), Err(Uncorrected::LittleKept { .. })), "{:?}", keep(&ask));
    for times in [4.0, 6.0, 8.0, 10.0, 12.0] {
        let ask = overdosed(&system, &shelf, &house, times);
        match keep(&ask) {
            Ok(kept) => {
                sound(&ask, &kept.correction);
                assert!(kept.mass >= kept.correction.after * 0.2, "{times}: {kept:?}");
            }
            Err(why) => assert!(matches!(why, Uncorrected::LittleKept { .. }), "{why:?}"),
        }
    }
    assert!(keep(&overdosed(&system, &shelf, &house, 4.0)).is_ok());
}

/// One part with none of the other, or with less than a quarter of it, neither heats nor cures.
#[test]
fn a_part_without_enough_of_the_other_is_unmixed() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let right = overdosed(&system, &shelf, &house, 1.0);
    let needed = right.held.part_b;
    let of = |b: f64| {
        let mut ask = right.clone();
        ask.held.part_b = needed * b;
        Unmixed::of(&ask)
    };
    for b in [0.0, 0.1, 0.24] {
        let unmixed = of(b).unwrap();
        assert!((unmixed.lacks - needed * (1.0 - b)).g().abs() < 1e-6, "{unmixed:?}");
        assert_eq!(unmixed.part, Part::A, "{unmixed:?}");
        assert!((unmixed.other - needed * b).g().abs() < 1e-9, "{unmixed:?}");
    }
    assert!(of(0.26).is_none() && of(1.0).is_none() && of(3.0).is_none());
    let mut only_b = right.clone();
    let part_a = right.held.part_a;
    for (share, unmixed) in [(0.0, true), (0.24, true), (0.26, false)] {
        only_b.held.part_a = part_a * share;
        let found = Unmixed::of(&only_b);
        assert_eq!(found.is_some(), unmixed, "{share}: {found:?}");
        if let Some(found) = found {
            assert_eq!(found.part, Part::B, "{found:?}");
            assert!((found.lacks - part_a * (1.0 - share)).g().abs() < 1e-6, "{found:?}");
        }
    }
}

/// What is kept of a mix goes into the vessel that it is for: what stood there before counts for its clock alone.
#[test]
fn the_vessel_of_what_is_kept_follows_from_what_that_becomes() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = CorrectAsk {
        vessel: VesselAsked::Planned(Volume::from_l(5.0)),
        enough: Some(g(3000.0)),
        clock: Some(Clock {
            age: TimeSpan::from_min(1.0),
            stood: Mass::ZERO,
            vessels: 1,
            temperature: Temperature::from_c(20.0),
            parts: Temperature::from_c(20.0),
            poured: 0.0,
            last_pour: LastPour::After(TimeSpan::from_min(1.0)),
        }),
        ..overdosed(&system, &shelf, &house, 1.0)
    };
    // Three times the B: 4.4 L stood there, 3 kg are made of a part.
    ask.held.part_b = ask.held.part_b * 3.0;
    let kept = keep(&ask).unwrap();
    assert!(kept.thrown.g() > 1000.0, "{kept:?}");
    let vessel = kept.correction.vessel.unwrap();
    assert_eq!((vessel.size, vessel.moved_from()), (Volume::from_l(5.0), None), "{kept:?}");
    let life = |done: &Correction| done.in_time.as_ref().unwrap().pot_life.unwrap();
    // As old, and as warm by now, as all that stood.
    let mut alone = ask.clone();
    let share = kept.mass.g() / ask.held.mass().g();
    alone.held.part_a = alone.held.part_a * share;
    alone.held.part_b = alone.held.part_b * share;
    for mass in alone.held.colorants.values_mut() {
        *mass = *mass * share;
    }
    let fresh = correct(&alone).unwrap();
    assert!(life(&kept.correction) < life(&fresh), "{kept:?} {fresh:?}");
    assert_eq!(fresh.vessel, kept.correction.vessel);
}

#[test]
fn the_corrected_mix_must_go_into_its_vessel() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let with = |vessel| CorrectAsk {
        clock: Some(Clock {
            age: TimeSpan::from_min(1.0),
            stood: Mass::ZERO,
            vessels: 1,
            temperature: Temperature::from_c(20.0),
            parts: Temperature::from_c(20.0),
            poured: 0.0,
            last_pour: LastPour::After(TimeSpan::from_min(1.0)),
        }),
        vessel,
        ..overdosed(&system, &shelf, &house, 1.2)
    };
    let tight = correct(&with(VesselAsked::Stated(Volume::from_l(0.1))));
    assert!(matches!(tight, Err(Uncorrected::NoVessel { .. })), "{tight:?}");
    // Where none is stated the house's own is taken that holds the mix as it is afterwards.
    let done = correct(&with(VesselAsked::Smallest)).unwrap();
    assert!(done.in_time.is_some());
    let vessel = done.vessel.unwrap();
    assert_eq!(vessel.size, Volume::from_l(5.0), "3 kg do not go into 2.5 L");
    assert!((vessel.holds.l() - 4.0).abs() < 1e-9, "{vessel:?}");
    // Without a clock too: what does not go in cannot be stirred.
    let unclocked = |vessel| correct(&CorrectAsk { clock: None, ..with(vessel) });
    let tight = unclocked(VesselAsked::Stated(Volume::from_l(2.5)));
    assert!(matches!(tight, Err(Uncorrected::NoVessel { .. })), "{tight:?}");
    // What outgrows the plan's is moved into the house's next.
    let moved = unclocked(VesselAsked::Planned(Volume::from_l(2.5))).unwrap().vessel.unwrap();
    assert_eq!(moved.size, Volume::from_l(5.0), "{moved:?}");
    assert_eq!(moved.moved_from(), Some(Volume::from_l(2.5)), "{moved:?}");
    let stays = unclocked(VesselAsked::Planned(Volume::from_l(10.0))).unwrap().vessel.unwrap();
    assert_eq!((stays.size, stays.moved_from()), (Volume::from_l(10.0), None), "{stays:?}");
}

/// Of what would grow too large no more is kept than becomes what is enough.
#[test]
fn no_more_is_kept_than_is_enough() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let all = overdosed(&system, &shelf, &house, 4.0);
    let most = keep(&all).unwrap();
    let ask = CorrectAsk { enough: Some(g(3000.0)), ..all };
    let kept = keep(&ask).unwrap();
    sound(&ask, &kept.correction);
    let after = kept.correction.after;
    assert!(after >= g(3000.0) && after < g(3060.0), "{kept:?}");
    assert!(kept.correction.added() < most.correction.added() * 0.5, "{kept:?}");
    // Where less than that is to be had, the most is kept as ever.
    let endless = CorrectAsk { enough: Some(g(90_000.0)), ..ask };
    assert_eq!(keep(&endless).unwrap(), most);
}

#[test]
fn a_correction_that_comes_too_late_is_refused() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let at = |minutes: f64| CorrectAsk {
        clock: Some(Clock {
            age: TimeSpan::from_min(minutes),
            stood: Mass::ZERO,
            vessels: 1,
            temperature: Temperature::from_c(25.0),
            parts: Temperature::from_c(25.0),
            poured: 0.0,
            last_pour: LastPour::After(TimeSpan::from_min(5.0)),
        }),
        vessel: VesselAsked::Stated(Volume::from_l(10.0)),
        ..overdosed(&system, &shelf, &house, 1.5)
    };
    let early = correct(&at(2.0)).unwrap();
    let in_time = early.in_time.unwrap();
    let life = in_time.pot_life.unwrap();
    // 40 min belong to 150 g at 25 °C; kilograms last less.
    assert!(life.min() > 10.0 && life.min() < 40.0, "{life:?}");
    assert!(in_time.spare().unwrap().s() > 0.0, "{in_time:?}");
    assert!(!in_time.is_tight() && in_time.late_by_shortest().is_none(), "{in_time:?}");
    // As a plan has it: in time by the estimate but late by the least of its range is tight.
    let (least, _) = in_time.range.unwrap();
    let between = (least.min() + life.min()) / 2.0 - in_time.needed.min();
    let tight = correct(&at(between)).unwrap().in_time.unwrap();
    assert!(tight.spare().unwrap().s() > 0.0 && tight.is_tight(), "{tight:?}");
    assert!(tight.late_by_shortest().is_some(), "{tight:?}");
    let late = correct(&at(life.min() - 3.0)).unwrap_err();
    assert!(matches!(late, Uncorrected::TooLate { .. }), "{late:?}");
}

#[test]
fn impossible_corrections_are_told() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let base = || overdosed(&system, &shelf, &house, 1.5);
    let nothing = CorrectAsk { held: Held::default(), ..base() };
    assert_eq!(correct(&nothing).unwrap_err(), Uncorrected::Nothing);
    let mut negative = base();
    negative.held.colorants.insert("red".into(), g(-1.0));
    assert!(matches!(correct(&negative).unwrap_err(), Uncorrected::NotAMass(_)));
    let mut unknown = base();
    unknown.held.colorants.insert("teal".into(), g(1.0));
    assert!(matches!(correct(&unknown).unwrap_err(), Uncorrected::NoSuchColorant(_)));
    let strict = CorrectAsk { within: 0.0, ..base() };
    assert_eq!(correct(&strict).unwrap_err(), Uncorrected::Tolerance);
    let mut over = base();
    over.wanted.insert("white".into(), 0.07);
    assert!(matches!(correct(&over).unwrap_err(), Uncorrected::WantedExceeds(_)));
    // Black in a white base: twenty times its mass would not bring it back.
    let mut spoilt = base();
    spoilt.held.colorants.insert("black".into(), g(60.0));
    spoilt.within = 0.2;
    assert!(matches!(correct(&spoilt).unwrap_err(), Uncorrected::OutOfReach { .. }));
    let mut coarse = base();
    let scale = pourbook::model::Scale {
        name: "yard scale".into(),
        readability: g(500.0),
        capacity: g(90_000.0),
    };
    let parts = pourbook::model::HouseParts { scales: vec![scale], ..Default::default() };
    let yard = House::new(parts).unwrap();
    coarse.house = &yard;
    assert_eq!(correct(&coarse).unwrap_err(), Uncorrected::NotWeighable);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn corrections_keep_ratio_ceilings_and_tolerance(
        white in 0.6..1.6_f64, red in 0.6..1.8_f64, b in 0.97..1.03_f64, size in 0.3..3.0_f64,
        within in 0.3..1.5_f64,
    ) {
        let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
        let mut ask = overdosed(&system, &shelf, &house, red);
        ask.held.part_a = ask.held.part_a * size;
        ask.held.part_b = ask.held.part_b * (size * b);
        ask.held.colorants =
            masses(&[("white", 90.0 * size * white), ("red", 15.0 * size * red)]);
        ask.within = within;
        let done = match correct(&ask) {
            Err(Uncorrected::TooLarge { grown_g, most_g }) => {
                prop_assert!(grown_g > most_g, "{} of {}", grown_g, most_g);
                return Ok(());
            }
            other => other.unwrap(),
        };
        prop_assert!(done.error_after <= within + 1e-9, "{} of {}", done.error_after, within);
        prop_assert!(done.ratio_error <= 0.005, "{}", done.ratio_error);
        prop_assert!(!done.standings.iter().any(Standing::exceeded));
        for part in [&done.part_a, &done.part_b] {
            let least = minimum_weight(part.readability, house.weighing_tolerance) * (1.0 - 1e-9);
            prop_assert!(part.mass == Mass::ZERO || part.mass >= least, "{:?} is not weighed well", part);
        }
        prop_assert!(done.doses.iter().all(WeighedDose::within_tolerance), "{:?}", done.doses);
        let exact = done.exactly.clone().unwrap().restored;
        // Weighing may cost a few steps beyond the exact restoration.
        prop_assert!(done.added().g() <= exact.added() + 6.0, "{} of {}", done.added().g(), exact.added());
    }
}

#[test]
fn no_general_purpose_optimiser_finds_less_to_add() {
    let (system, shelf) = (shelf::system(), shelf::shelf());
    // The optimiser does not weigh: a scale so fine that steps are nothing beside the additions.
    let scale = pourbook::model::Scale {
        name: "fine".into(),
        readability: g(0.001),
        capacity: g(300_000.0),
    };
    let parts = pourbook::model::HouseParts { scales: vec![scale], ..Default::default() };
    let house = House::new(parts).unwrap();
    let a = system.mass_fraction_a();
    let table = include_str!("../../fixtures/matching/least_additions.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(table.as_bytes());
    let mut count = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let names: Vec<&str> = row[1].split(' ').collect();
        let numbers = |at: usize| row[at].split(' ').map(|n| n.parse::<f64>().unwrap());
        let [b, dl, da, db, within, least] = [4, 5, 6, 7, 8, 9].map(|at| numbers(at).sum::<f64>());
        let named = |at: usize| names.iter().map(|n| (*n).to_owned()).zip(numbers(at));
        let mut ask = CorrectAsk {
            limits: shelf::limits(&system),
            small_batches: Vec::new(),
            house: &house,
            shelf: shelf.iter().filter(|c| names.contains(&c.name.as_str())).collect(),
            looking: looking(),
            wanted: named(2).filter(|(_, loading)| *loading > 0.0).collect(),
            held: Held {
                part_a: g(3000.0 * a),
                part_b: g(3000.0 * (1.0 - a) * b),
                colorants: named(3)
                    .filter(|(_, held)| *held > 0.0)
                    .map(|(n, m)| (n, g(m)))
                    .collect(),
            },
            let_downs: BTreeMap::new(),
            first_keeps: None,
            measured: None,
            within,
            at_least: None,
            vessel: VesselAsked::Smallest,
            enough: None,
            clock: None,
        };
        if &row[0] == "measured" {
            // The aim moves against what was measured.
            let predicted =
                correct(&CorrectAsk { within: 50.0, ..ask.clone() }).unwrap().look_before.lab;
            ask.measured = Some(pourbook::colour::Lab::new(
                predicted.l - dl,
                predicted.a - da,
                predicted.b - db,
            ));
        }
        let done = correct(&ask).unwrap_or_else(|why| panic!("{row:?}: {why}"));
        sound(&ask, &done);
        let added = done.added().g();
        if done.completes {
            // Nothing of it is overdosed for the whole that its ratio makes: it gets its recipe, not the least.
            let exact = done.exactly.clone().unwrap().restored;
            assert!(added <= exact.added() + 0.05, "{row:?}: {added}, {exact:?}");
            assert!(added >= least * 0.998 - 0.05, "{row:?}: {added} below {least}");
            continue;
        }
        // Above: what the steps of the scale may cost. Below: the optimiser's own tolerance.
        assert!(added <= least * 1.01 + 0.05, "{row:?}: {added} where {least} will do");
        assert!(added >= least * 0.998 - 0.05, "{row:?}: {added} below {least}");
        assert!(least >= 20.0, "{row:?}: a small addition says nothing about the least");
        count += 1;
    }
    assert!(count >= 20, "{count} problems in the table");
}

/// A little short of B, and of a black so little that it goes in with a let-down: the let-down's part A is taken
/// into the ratio's tolerance.
#[test]
fn a_let_down_needs_no_part_a_that_the_ratio_wants() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let mut ask = overdosed(&system, &shelf, &house, 1.76);
    ask.held.part_b = ask.held.part_b * 0.9985;
    ask.held.colorants = masses(&[("white", 54.0), ("red", 26.4)]);
    ask.within = 1.37;
    let done = correct(&ask).unwrap();
    sound(&ask, &done);
    assert!(done.doses.iter().all(WeighedDose::within_tolerance), "{:?}", done.doses);
}
