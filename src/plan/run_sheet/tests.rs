use super::*;
use crate::plan::paddle::Wiped;
use proptest::prelude::*;

fn vessel(capacity_ml: f64) -> Vessel {
    Vessel { capacity_ml, diameter_mm: None }
}

fn mix(name: &str, volume_ml: f64) -> Mix {
    Mix {
        name: name.to_owned(),
        part: (1, 1),
        mass_g: volume_ml * 1.1,
        volume_ml,
        clings_g: 0.0,
        vessel: vessel(volume_ml / 0.8),
        colorants: 2,
        split_into: 1,
    }
}

/// Two bases of `volume_ml` each, poured in `batches` equal batches that take from both, with a
/// twentieth of each left over.
fn kitchen(volume_ml: f64, batches: usize, crew: usize, celsius: f64) -> Ask {
    let mixes = vec![mix("fog", volume_ml), mix("slate", volume_ml)];
    let each_g = 0.95 * volume_ml * 1.1 / f64::from(u32::try_from(batches).unwrap());
    let batches = (0..batches)
        .map(|at| Batch {
            name: format!("batch {}", at + 1),
            takes: vec![Take { mix: 0, mass_g: each_g }, Take { mix: 1, mass_g: each_g }],
            layers: 2,
            accents: 1,
        })
        .collect();
    Ask {
        mixes,
        batches,
        crew,
        paddle: TintingPaddle::Shared(Wiped::BeforeLighter),
        mist: true,
        upright_m2: 0.0,
        ambient_celsius: celsius,
        parts_celsius: celsius,
        pot_life: DatasheetPotLife { minutes: 40.0, mass_g: 100.0, celsius: 25.0, vessel: None },
        density_g_per_ml: 1.1,
        weather: None,
        durations: Durations::default(),
        rules: HeatRules::default(),
    }
}

/// The same two bases, each in two mixes: the first of each serves the first half of the batches.
fn kitchen_in_rounds(volume_ml: f64, batches: usize, crew: usize, celsius: f64) -> Ask {
    let mut ask = kitchen(volume_ml, batches, crew, celsius);
    ask.mixes = ["fog", "fog", "slate", "slate"]
        .into_iter()
        .enumerate()
        .map(|(at, name)| Mix { part: (at % 2 + 1, 2), ..mix(name, volume_ml / 2.0) })
        .collect();
    for (at, batch) in ask.batches.iter_mut().enumerate() {
        let round = usize::from(at >= batches / 2);
        for take in &mut batch.takes {
            take.mix = take.mix * 2 + round;
        }
    }
    ask
}

fn found(sheet: &RunSheet, which: impl Fn(&Finding) -> bool) -> usize {
    sheet.findings.iter().filter(|one| which(one)).count()
}

#[test]
fn a_sample_board_has_nothing_to_say() {
    let mut ask = kitchen(500.0, 4, 1, 22.0);
    ask.pot_life.minutes = 90.0;
    let sheet = run_sheet(&ask).unwrap();
    assert_eq!(sheet.findings, [], "{:?}", sheet.clocks);
    // Two mixes of three steps, four batches of three, two mistings, three scrapings.
    assert_eq!(sheet.lines.len(), 6 + 12 + 2 + 3, "{:?}", sheet.lines);
    assert!(matches!(sheet.lines[0].step, Step::Mix { mix: 0 }), "the lightest first");
}

#[test]
fn one_person_works_in_the_order_of_the_recipe() {
    let sheet = run_sheet(&kitchen(500.0, 4, 1, 22.0)).unwrap();
    let order: Vec<Step> = sheet.lines.iter().map(|line| line.step).collect();
    let expected: Vec<Step> = (0..2)
        .flat_map(|mix| [Step::Mix { mix }, Step::SecondVessel { mix }, Step::Tint { mix }])
        .chain((0..4).flat_map(|batch| {
            [Step::Decant { batch }, Step::Accents { batch }, Step::Pour { batch }]
        }))
        .chain((0..2).map(|pass| Step::Mist { pass }))
        .chain((0..3).map(|round| Step::ScrapeDrips { round }))
        .collect();
    assert_eq!(order, expected);
    let at = |step: Step| sheet.lines.iter().find(|line| line.step == step).unwrap();
    let wait_s = at(Step::Mist { pass: 1 }).start_s - at(Step::Mist { pass: 0 }).end_s;
    assert_eq!(wait_s, 300, "five minutes between the mistings");
    let drained_s = at(Step::ScrapeDrips { round: 0 }).start_s - at(Step::Pour { batch: 3 }).end_s;
    assert_eq!(drained_s, 3600, "an hour after the last pour");
}

#[test]
fn a_big_pour_by_one_person_on_a_hot_day_is_too_late() {
    let ask = kitchen(6000.0, 40, 1, 28.0);
    let sheet = run_sheet(&ask).unwrap();
    for (mix, clock) in sheet.clocks.iter().enumerate() {
        let by_s = clock.last_pour.unwrap().0 - clock.pour_by_s.unwrap();
        assert!(by_s > 0, "{clock:?}");
        assert!(
            sheet.findings.contains(&Finding::TooLate { mix, batch: 39, by_s }),
            "{:?}",
            sheet.findings
        );
        let hot = clock.pot_life.hot.unwrap();
        assert!(hot.celsius == 50.0 && hot.seconds < clock.pot_life.seconds.unwrap(), "{clock:?}");
    }
}

#[test]
fn staggering_keeps_second_mixes_young() {
    let ask = kitchen_in_rounds(3000.0, 10, 1, 24.0);
    let first = run_sheet(&ask).unwrap();
    let staggered = run_sheet_mixing(&ask, Mixing::Staggered).unwrap();
    for mix in [1, 3] {
        let (before, after) = (first.clocks[mix].age_s, staggered.clocks[mix].age_s);
        assert!(after < before, "mix {mix}: {before:?} s all first, {after:?} s staggered");
    }
    let begun_s = staggered.clocks[1].start_s;
    let poured = staggered
        .lines
        .iter()
        .filter(|line| matches!(line.step, Step::Pour { batch: 0..=4 }) && line.end_s <= begun_s)
        .count();
    assert!(poured >= 3, "the second mix waits for pours of the first: {:?}", staggered.lines);
}

/// A large light mix begun first is too old by the time that the small dark one is ready; begun last, with the paddle
/// wiped for it, it is in time.
#[test]
fn the_shortest_lived_mix_is_begun_last_where_only_that_is_in_time() {
    let two = |large_ml: f64| {
        let mut ask = kitchen(large_ml, 8, 1, 24.0);
        ask.mixes[1] = Mix { colorants: 6, ..mix("slate", 300.0) };
        for batch in &mut ask.batches {
            batch.takes[1].mass_g = 0.95 * 300.0 * 1.1 / 8.0;
        }
        ask
    };
    let sizes = (4..30).map(|step| two(f64::from(step) * 250.0));
    let late = |sheet: &RunSheet| sheet.lateness().0 > 0;
    let mut seen = 0;
    for ask in sizes {
        let first = run_sheet(&ask).unwrap();
        let staggered = run_sheet_mixing(&ask, Mixing::Staggered).unwrap();
        let other = run_sheet_mixing(&ask, Mixing::ShortestLivedLast).unwrap();
        assert_eq!(other.wiped_before, [0], "the lighter comes after the darker");
        let begins = |mix| other.lines.iter().find(|line| line.step == Step::Tint { mix }).unwrap();
        assert!(begins(0).start_s >= begins(1).end_s, "one paddle");
        let serves = run_sheet_that_serves(&ask).unwrap();
        if late(&first) && late(&staggered) && !late(&other) {
            seen += 1;
            assert_eq!(serves.mixing, Mixing::ShortestLivedLast);
            assert!(!late(&serves));
        } else if !first.any_in_trouble() {
            assert_eq!(serves.mixing, Mixing::AllFirst, "no wiping without need");
        }
    }
    assert!(seen > 0, "there are kitchens that only this saves");
}

#[test]
fn a_paddle_is_cleaned_before_a_lighter_colour() {
    let ask = kitchen_in_rounds(3000.0, 10, 1, 24.0);
    let sheet = run_sheet_mixing(&ask, Mixing::Staggered).unwrap();
    let at = |mix| sheet.lines.iter().find(|line| line.step == Step::Tint { mix }).unwrap();
    assert!(at(1).start_s >= at(2).end_s, "fog again after slate");
    assert_eq!(sheet.wiped_before, [1]);
    // The hand that tints wipes first, and is at nothing else meanwhile.
    let lasts = |mix| at(mix).end_s - at(mix).start_s;
    assert_eq!(lasts(1), lasts(0) + 60);
    assert_eq!(lasts(2), lasts(0), "darker");
}

/// Where nobody knows which base is lighter, each change of base is wiped for, and no mix of the same base.
#[test]
fn a_paddle_is_wiped_before_any_other_base_where_colours_are_not_known() {
    for (mixing, wiped) in [(Mixing::AllFirst, vec![2]), (Mixing::Staggered, vec![2, 1, 3])] {
        for crew in 1..3 {
            let paddle = TintingPaddle::Shared(Wiped::BeforeAnyOther);
            let ask = Ask { paddle, ..kitchen_in_rounds(3000.0, 10, crew, 24.0) };
            let sheet = run_sheet_mixing(&ask, mixing).unwrap();
            assert_eq!(sheet.wiped_before, wiped, "{mixing:?}, a crew of {crew}");
            let tints = sheet.lines.iter().filter_map(|line| match line.step {
                Step::Tint { mix } => Some((mix, line.end_s - line.start_s)),
                _ => None,
            });
            let first_s = tints.clone().find(|(mix, _)| *mix == 0).unwrap().1;
            for (mix, lasts_s) in tints {
                let wiping_s = if wiped.contains(&mix) { 60 } else { 0 };
                assert_eq!(lasts_s, first_s + wiping_s, "{mixing:?}, mix {mix}");
            }
        }
    }
}

#[test]
fn a_bucket_of_left_over_runs_hot_and_a_film_does_not() {
    let sheet = run_sheet(&kitchen(4000.0, 6, 2, 25.0)).unwrap();
    assert_eq!(sheet.left_overs.len(), 2, "{:?}", sheet.left_overs);
    for (at, left) in sheet.left_overs.iter().enumerate() {
        assert!((left.mass_g - 220.0).abs() < 1e-6, "{left:?}");
        assert!(left.peak_celsius > 100.0 && left.peak_spread_celsius < 45.0, "{left:?}");
        assert!(sheet.findings.contains(&Finding::LeftOverRunsHot { left_over: at }), "{left:?}");
    }
    let small = run_sheet(&kitchen(500.0, 4, 1, 22.0)).unwrap();
    assert!(small.left_overs.iter().all(|left| left.peak_celsius < 60.0), "27 g stay cool");
}

/// 20 g lie half a millimetre deep in a bucket: that is a film and no mass that heats itself, however hot the mix was.
#[test]
fn what_lies_thin_on_the_bottom_is_no_left_over() {
    let with_left = |left_g: f64| {
        let mut ask = kitchen(6000.0, 40, 1, 28.0);
        let each_g = (6600.0 - left_g) / 40.0;
        for take in ask.batches.iter_mut().flat_map(|batch| &mut batch.takes) {
            take.mass_g = each_g;
        }
        run_sheet(&ask).unwrap()
    };
    let thin = with_left(20.0);
    assert!(thin.findings.iter().any(Finding::stops), "such a pour is late, and hot");
    assert_eq!(thin.left_overs, [], "a film");
    assert_eq!(with_left(300.0).left_overs.len(), 2, "8 mm deep");
}

#[test]
fn the_datasheet_s_own_case_keeps_its_figure_and_its_standing() {
    let mut ask = kitchen(500.0, 4, 1, 25.0);
    ask.pot_life = DatasheetPotLife {
        minutes: 35.0,
        mass_g: 550.0,
        celsius: 25.0,
        vessel: Some(vessel(625.0)),
    };
    let life = run_sheet(&ask).unwrap().clocks[0].pot_life;
    assert_eq!(life.basis, Basis::Datasheet, "{life:?}");
    assert!((life.seconds.unwrap() - 35.0 * 60.0).abs() < 0.01, "{life:?}");
    ask.ambient_celsius = 20.0;
    let life = run_sheet(&ask).unwrap().clocks[0].pot_life;
    assert_eq!(life.basis, Basis::Estimated, "{life:?}");
    let (least, most) = life.range_s.unwrap();
    assert!(least < life.seconds.unwrap() && life.seconds.unwrap() < most, "{life:?}");
}

/// 40 min of 150 g: how long kilograms last depends on how the cup was cooled, and the range says so.
#[test]
fn the_range_of_a_large_mix_holds_every_way_to_cool_the_datasheet_s_cup() {
    let mut ask = kitchen(2000.0 / 1.1, 1, 1, 25.0);
    ask.pot_life.mass_g = 150.0;
    let life = run_sheet(&ask).unwrap().clocks[0].pot_life;
    let (least_s, most_s) = life.range_s.unwrap();
    let [least, middle, most] = [least_s, life.seconds.unwrap(), most_s].map(|s| s / 60.0);
    assert!((14.0..18.0).contains(&least), "{least} min");
    assert!((32.0..35.0).contains(&middle), "{middle} min");
    // Had the cup lost nothing, it would have been no better off than a bucket that loses nothing.
    assert!((39.99..40.01).contains(&most), "{most} min: no longer than what is stated of less");
}

#[test]
fn in_time_by_the_estimate_but_late_by_the_shortest_is_tight_and_stops_nothing() {
    let sheet = run_sheet(&kitchen(2000.0, 8, 1, 20.0)).unwrap();
    let clock = &sheet.clocks[0];
    let (age_s, life_s) = (clock.age_s.unwrap(), clock.pot_life.whole_s().unwrap());
    let least_s = clock.pot_life.range_s.unwrap().0;
    assert!(f64::from(i32::try_from(age_s).unwrap()) > least_s && age_s < life_s, "{clock:?}");
    assert_eq!(clock.late_by_s, None, "{clock:?}");
    assert!(sheet.is_tight(0), "{:?}", sheet.findings);
    let told = sheet.findings.iter().find_map(|finding| match finding {
        Finding::Tight { mix: 0, spare_s, late_by_shortest_s } => {
            Some((*spare_s, *late_by_shortest_s))
        }
        _ => None,
    });
    let (spare_s, late_s) = told.unwrap();
    assert_eq!(spare_s, life_s - age_s, "{clock:?}");
    assert!(late_s.is_some_and(|by_s| by_s > 0), "{late_s:?}");
    assert_eq!(found(&sheet, Finding::stops), 0, "{:?}", sheet.findings);
}

#[test]
fn cold_damp_weather_is_a_finding() {
    let mut ask = kitchen(500.0, 4, 1, 22.0);
    ask.pot_life.minutes = 90.0;
    ask.weather = Some(crate::plan::weather::Weather {
        air_celsius: 18.0,
        surface_celsius: 17.0,
        humidity_percent: 85.0,
        lowest_celsius: None,
        highest_celsius: None,
        dampest_percent: None,
    });
    let sheet = run_sheet(&ask).unwrap();
    // 18 °C and 85 % has its dew point at 15.439 °C.
    assert!((sheet.gate.as_ref().unwrap().dew_point_celsius - 15.439).abs() < 5e-4, "{sheet:?}");
    assert!(
        matches!(sheet.findings[..], [Finding::Weather(NoPour::NearDewPoint { .. })]),
        "{:?}",
        sheet.findings
    );
    assert!(sheet.findings[0].stops(), "it stops the pour");
}

#[test]
fn a_mix_that_goes_nowhere_is_a_finding() {
    let mut ask = kitchen(500.0, 2, 1, 22.0);
    ask.mixes.push(mix("spare", 300.0));
    let sheet = run_sheet(&ask).unwrap();
    assert!(sheet.findings.contains(&Finding::NeverPoured { mix: 2 }), "{:?}", sheet.findings);
    assert!((sheet.left_overs[2].mass_g - 330.0).abs() < 1e-9, "all of it is left over");
}

#[test]
fn what_cannot_be_is_refused() {
    let good = || kitchen(500.0, 4, 1, 22.0);
    let refused = |change: &dyn Fn(&mut Ask)| {
        let mut ask = good();
        change(&mut ask);
        run_sheet(&ask).unwrap_err()
    };
    let error = refused(&|ask| ask.batches[0].takes[0].mass_g = 400.0);
    assert!(matches!(error, RunSheetError::Overdrawn { mix: 0, .. }), "{error}");
    let error = refused(&|ask| ask.batches[1].takes[0].mix = 7);
    assert!(matches!(error, RunSheetError::NoSuchMix { batch: 1, mix: 7 }), "{error}");
    let error = refused(&|ask| ask.crew = 0);
    assert!(matches!(error, RunSheetError::Crew { crew: 0 }), "{error}");
    let error = refused(&|ask| ask.mixes[0].vessel.capacity_ml = 499.0);
    assert!(matches!(error, RunSheetError::Amount { .. }), "{error}");
    let error = refused(&|ask| ask.durations.mix_s = f64::NAN);
    assert!(matches!(error, RunSheetError::Amount { .. }), "{error}");
    let error = refused(&|ask| ask.pot_life.minutes = 0.0);
    assert!(matches!(error, RunSheetError::Heat(_)), "{error}");
}

#[test]
fn a_sheet_of_nothing_is_empty() {
    let mut ask = kitchen(500.0, 1, 1, 22.0);
    ask.mixes.clear();
    ask.batches.clear();
    let sheet = run_sheet(&ask).unwrap();
    assert_eq!((sheet.lines.len(), sheet.makespan_s), (0, 0), "{sheet:?}");
}

/// A litre in a vessel for five, all of it but 1.9 g poured: what is left is a smear.
#[test]
fn a_left_over_as_thin_as_a_smear_stops_no_run_sheet_and_has_nothing_to_say() {
    let mut ask = kitchen(900.0, 2, 6, 25.0);
    for mix in &mut ask.mixes {
        mix.vessel = vessel(5000.0);
    }
    for take in ask.batches.iter_mut().flat_map(|batch| &mut batch.takes) {
        take.mass_g = (990.0 - 1.9) / 2.0;
    }
    let sheet = run_sheet(&ask).unwrap();
    assert_eq!(sheet.left_overs, [], "a smear has no heat of its own");
    assert_eq!(found(&sheet, Finding::stops), 0, "{:?}", sheet.findings);
}

/// Numbers that people and programs get wrong.
fn odd_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(-1.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(1e300),
        Just(f64::MIN_POSITIVE),
        any::<f64>(),
        0.0..100.0,
    ]
}

fn paddles() -> impl Strategy<Value = TintingPaddle> {
    prop_oneof![
        Just(TintingPaddle::OneEach),
        Just(TintingPaddle::Shared(Wiped::BeforeLighter)),
        Just(TintingPaddle::Shared(Wiped::BeforeAnyOther)),
    ]
}

fn mixings() -> impl Strategy<Value = Mixing> {
    prop_oneof![Just(Mixing::AllFirst), Just(Mixing::Staggered), Just(Mixing::ShortestLivedLast),]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// However little a mix is, is drawn from it or is left of it in whatever vessel, and however
    /// long it waits.
    #[test]
    fn no_sliver_is_too_thin_for_a_run_sheet(
        mixes in prop::collection::vec((-1.5..4.0_f64, 1.0..500.0_f64, any::<bool>()), 1..4),
        takes in prop::collection::vec((0_usize..4, 0.0..1.0_f64, 0.0..9.0_f64), 1..12),
        crew in 1_usize..8,
        celsius in 10.0..35.0,
        pour_s in 1.0..80_000.0,
        mixing in mixings(),
    ) {
        let mut ask = kitchen(500.0, 1, crew, celsius);
        ask.durations.pour_s = pour_s;
        ask.mixes = mixes
            .iter()
            .map(|&(size, room, broad)| {
                let mut one = mix("fog", libm::pow(10.0, size));
                one.vessel = vessel((one.volume_ml * room).clamp(500.0, 200_000.0));
                one.vessel.diameter_mm = broad.then_some(600.0);
                one
            })
            .collect();
        let mut left: Vec<f64> = ask.mixes.iter().map(|mix| mix.mass_g).collect();
        ask.batches = takes
            .iter()
            .map(|&(mix, share, small)| {
                let mix = mix % left.len();
                // From all of what is left to a billionth of it.
                let mass_g = left[mix] * (1.0 - share * libm::pow(10.0, -small));
                left[mix] -= mass_g;
                let takes = vec![Take { mix, mass_g }];
                Batch { name: "sliver".to_owned(), takes, layers: 1, accents: 0 }
            })
            .collect();
        let sheet = run_sheet_mixing(&ask, mixing);
        prop_assert!(sheet.is_ok(), "{sheet:?}");
    }

    #[test]
    fn a_run_sheet_hangs_together(
        volume_ml in 200.0..5000.0,
        batches in 1_usize..12,
        crew in 1_usize..4,
        celsius in 15.0..32.0,
        rounds in any::<bool>(),
        paddle in paddles(),
        mist in any::<bool>(),
        mixing in mixings(),
    ) {
        let ask = if rounds && batches > 1 {
            kitchen_in_rounds(volume_ml, batches, crew, celsius)
        } else {
            kitchen(volume_ml, batches, crew, celsius)
        };
        let ask = Ask { paddle, mist, ..ask };
        // An odd number of batches overdraws one round; that is refused, not planned.
        prop_assume!(ask.check().is_ok());
        let sheet = run_sheet_mixing(&ask, mixing).unwrap();

        for (at, one) in sheet.lines.iter().enumerate() {
            prop_assert!(one.workers.len() == 1 && one.workers[0] < crew, "{one:?}");
            for other in &sheet.lines[at + 1..] {
                prop_assert!(
                    one.workers != other.workers
                        || one.end_s <= other.start_s
                        || other.end_s <= one.start_s,
                    "in two places: {one:?} and {other:?}"
                );
            }
        }
        let at = |step: Step| sheet.lines.iter().find(|line| line.step == step).unwrap();
        for one in &sheet.lines {
            let Some(wait) = one.waits_for else { continue };
            let first = at(wait.step);
            prop_assert!(first.end_s <= one.start_s, "waits for what comes later: {one:?}");
            prop_assert!(first.workers == [wait.hand] && first.workers != one.workers, "{one:?}");
            let own = sheet.lines.iter().filter(|other| other.workers == one.workers);
            let free_s = own.filter(|other| other.end_s <= one.start_s).map(|other| other.end_s).max();
            prop_assert!(first.end_s >= free_s.unwrap_or(0), "its hand is busy: {one:?} {first:?}");
        }
        for (batch, one) in ask.batches.iter().enumerate() {
            let decant = at(Step::Decant { batch });
            for take in &one.takes {
                prop_assert!(at(Step::Tint { mix: take.mix }).end_s <= decant.start_s, "untinted");
            }
            prop_assert!(decant.end_s <= at(Step::Accents { batch }).start_s, "no container");
            let (dosed, pour) = (at(Step::Accents { batch }), at(Step::Pour { batch }));
            prop_assert!(dosed.end_s <= pour.start_s, "poured before it is dosed");
            if batch > 0 {
                let before = at(Step::Pour { batch: batch - 1 });
                prop_assert!(before.end_s <= at(Step::Pour { batch }).start_s, "pour order");
            }
        }
        for mix in 0..ask.mixes.len() {
            let (once, again) = (at(Step::Mix { mix }), at(Step::SecondVessel { mix }));
            prop_assert!(once.end_s <= again.start_s, "mixed again before it is mixed");
            prop_assert!(again.end_s <= at(Step::Tint { mix }).start_s, "tinted unmixed");
        }
        prop_assert!(sheet.makespan_s >= sheet.critical_path_s, "beats the longest chain");

        for (mix, clock) in sheet.clocks.iter().enumerate() {
            let age_s = clock.last_pour.unwrap().0 - at(Step::Mix { mix }).start_s;
            prop_assert_eq!(clock.age_s, Some(age_s));
            let late = found(&sheet, |f| matches!(f, Finding::TooLate { mix: m, .. } if *m == mix));
            let gone = clock.pot_life.seconds.is_some_and(|life_s| f64::from(i32::try_from(age_s).unwrap()) > life_s);
            prop_assert_eq!(late == 1, gone, "{:?}", clock);
            prop_assert!(clock.at_last_decant.conversion >= 0.0 && clock.at_last_decant.conversion <= 1.0);
        }
    }

    #[test]
    fn a_warmer_day_or_a_bigger_mix_never_has_more_time(
        volume_ml in 200.0..4000.0,
        celsius in 15.0..28.0,
        warmer in 0.1..5.0,
        more in 1.01..2.0,
    ) {
        let life = |volume_ml, celsius| {
            let ask = kitchen(volume_ml, 2, 1, celsius);
            let resins = resins::Resins::of(&ask).unwrap();
            let life = clocks::lives(&ask, &resins).unwrap()[0];
            let (least_s, most_s) = life.range_s.unwrap();
            [least_s, life.seconds.unwrap(), most_s]
        };
        let base = life(volume_ml, celsius);
        prop_assert!(base[0] < base[1] && base[1] < base[2], "{base:?}");
        let shorter = |other: [f64; 3]| other.iter().zip(&base).all(|(one, base)| one < base);
        prop_assert!(shorter(life(volume_ml, celsius + warmer)), "warmer");
        let bigger = life(volume_ml * more, celsius);
        prop_assert!(bigger[0] < base[0] && bigger[1] < base[1], "bigger");
        // What loses no heat lasts as long in any mass.
        prop_assert!(bigger[2] <= base[2] * (1.0 + 1e-9), "longest of a bigger one");
    }

    #[test]
    fn no_number_makes_it_panic(
        numbers in prop::collection::vec(odd_number(), 12),
        which in 0_usize..12,
    ) {
        let mut ask = kitchen(500.0, 2, 1, 22.0);
        let one = &mut ask.mixes[0];
        let slots: [&mut f64; 12] = [
            &mut ask.ambient_celsius,
            &mut ask.parts_celsius,
            &mut ask.pot_life.minutes,
            &mut ask.pot_life.mass_g,
            &mut ask.pot_life.celsius,
            &mut ask.density_g_per_ml,
            &mut one.mass_g,
            &mut one.volume_ml,
            &mut one.vessel.capacity_ml,
            &mut ask.batches[0].takes[0].mass_g,
            &mut ask.durations.pour_s,
            &mut ask.rules.tight_share,
        ];
        for (at, (slot, number)) in slots.into_iter().zip(&numbers).enumerate() {
            // One odd number at a time reaches further in than twelve.
            if at == which || which == 0 {
                *slot = *number;
            }
        }
        if let Ok(sheet) = run_sheet(&ask) {
            prop_assert!(sheet.makespan_s >= sheet.critical_path_s, "{sheet:?}");
        }
    }
}
