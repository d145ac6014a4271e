//! What each set of readings is worth in the simulated shop, and which reading to take next.

use pourbook::characterise::{
    Basis, Belief, Candidate, Conditions, Drawdown, Known, Noise, Presumption, Refused, Route,
    characterise, characterise_presumed, next_reading, tint_of_colour,
};
use pourbook::optics::Ks;
use pourbook::spectrum::{BANDS, Illuminant, Observer};

use super::shop::{Dice, Eye, Shop, error_of_recipes};

const P: Presumption = Presumption::PASTE;

/// Mean ΔE00 of random mixtures when every colour was estimated from one such drawdown.
fn error_of(
    shop: &Shop,
    draw: impl Fn(usize, &mut Dice) -> Drawdown,
    conditions: &Conditions,
) -> f64 {
    let truth = shop.truth();
    let known = [Known::exact(truth[0])];
    let mut dice = Dice(50);
    let mut units: Vec<Ks> = vec![truth[0]];
    for which in 1..shop.shelf.len() {
        let set = [draw(which, &mut dice)];
        let found = characterise_presumed(&set, &known, conditions, &P).expect("an estimate");
        assert_eq!(found.basis, Basis::Presumption, "never passed off as measured");
        units.push(found.unit);
    }
    error_of_recipes(shop, &units, 300, 5)
}

fn tint(shop: &Shop, which: usize, noise: Noise, dice: &mut Dice) -> Drawdown {
    shop.drawdown(&[(which, 0.006), (0, 0.054)], 3.0, &[shop.white], noise, dice)
}

#[test]
fn one_film_over_black_and_white() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let draw = |which: usize, dice: &mut Dice| {
        let loading = shop.shelf[which].masstone;
        shop.drawdown(&[(which, loading)], 0.2, &[shop.black, shop.white], noise, dice)
    };
    let error = error_of(&shop, draw, &shop.conditions(noise));
    assert!(error < 2.5, "mean ΔE00 {error}");
}

#[test]
fn one_tint_read() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let error = error_of(&shop, |w, dice| tint(&shop, w, noise, dice), &shop.conditions(noise));
    assert!(error < 0.7, "mean ΔE00 {error}");
}

#[test]
fn the_colour_alone_of_one_tint() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let eye = Eye::new();
    let white = shop.seen(&shop.film(&shop.truth(), &[(0, 0.06)]), 3.0, &shop.white);
    let draw = |which: usize, dice: &mut Dice| {
        let mut drawn = tint(&shop, which, noise, dice);
        let seen = eye.weights.xyz(&drawn.readings[0].seen);
        drawn.readings[0].seen =
            tint_of_colour(seen, &white, &Illuminant::D65, Observer::Cie1931_2deg)
                .expect("a colour within the white");
        drawn
    };
    let error = error_of(&shop, draw, &shop.conditions(Noise::PHOTOGRAPH));
    assert!(error < 1.7, "mean ΔE00 {error}");
}

#[test]
fn a_masstone_alone_is_refused_because_it_misleads() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let conditions = shop.conditions(noise);
    let draw = |which: usize, dice: &mut Dice| {
        shop.drawdown(&[(which, shop.shelf[which].masstone)], 3.0, &[shop.white], noise, dice)
    };
    let error = error_of(&shop, draw, &conditions);
    assert!((3.0..15.0).contains(&error), "bad, and no worse than is told: {error}");
    let set = [draw(2, &mut Dice(1))];
    let refused = characterise(&set, &[], &conditions, &P, false).expect_err("a masstone alone");
    assert_eq!(refused, Refused::MasstoneAlone, "{refused}");
    let (route, found) = characterise(&set, &[], &conditions, &P, true).expect("on demand");
    assert_eq!((route, found.basis), (Route::MasstoneAlone, Basis::Presumption), "and flagged");
    assert!(found.share_identified() < 0.2, "identified {}", found.share_identified());
}

#[test]
fn the_route_is_told() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let conditions = shop.conditions(noise);
    let known = [Known::exact(shop.truth()[0])];
    let mut dice = Dice(8);
    let ask =
        |set: &[Drawdown]| characterise(set, &known, &conditions, &P, false).expect("an answer").0;
    assert_eq!(ask(&shop.full_set(2, noise, &mut dice)), Route::Readings, "a full set");
    assert_eq!(ask(&[tint(&shop, 2, noise, &mut dice)]), Route::Tint, "a tint");
    let film = shop.drawdown(&[(2, 0.04)], 0.2, &[shop.black, shop.white], noise, &mut dice);
    assert_eq!(ask(&[film]), Route::OneFilm, "a film that hides in part of the spectrum");
}

/// The candidate that is ranked first does lower the true error more than the one ranked last.
#[test]
fn the_reading_to_take_next_helps_most() {
    let shop = Shop::new();
    let noise = Noise::SPECTROPHOTOMETER;
    let conditions = shop.conditions(noise);
    let truth = shop.truth();
    let known = [Known::exact(truth[0])];
    let which = 2;
    let masstone = shop.drawdown(&[(which, 0.04)], 3.0, &[shop.white], noise, &mut Dice(3));
    let first = characterise_presumed(std::slice::from_ref(&masstone), &known, &conditions, &P)
        .expect("an estimate");
    let options = [
        shop.drawdown(&[(which, 0.05)], 3.0, &[shop.white], noise, &mut Dice(4)),
        shop.drawdown(&[(which, 0.006), (0, 0.054)], 3.0, &[shop.white], noise, &mut Dice(5)),
        shop.drawdown(&[(which, 0.04)], 0.05, &[shop.black, shop.white], noise, &mut Dice(6)),
    ];
    let as_candidate = |d: &Drawdown| Candidate {
        film: d.film.clone(),
        grounds: d.readings.iter().map(|r| r.ground).collect(),
        geometry: d.readings[0].geometry,
    };
    let candidates: Vec<Candidate> = options.iter().map(as_candidate).collect();
    let uses: Vec<Candidate> = [0.002, 0.005, 0.01]
        .iter()
        .map(|loading| {
            let made = [(which, *loading), (0, 0.02)];
            as_candidate(&shop.drawdown(&made, 3.0, &[shop.white], noise, &mut Dice(0)))
        })
        .collect();
    let rows = Eye::new().weights;
    let weights: [f64; BANDS] =
        std::array::from_fn(|b| rows.rows().iter().map(|row| row[b].max(0.0)).sum());
    let belief = Belief::after(&first, &P);
    let ranked = next_reading(&belief, &candidates, &uses, &known, &conditions, &weights);
    assert_eq!(ranked.len(), 3, "every candidate is ranked");
    assert_eq!(ranked[2].candidate, 0, "another masstone that hides tells nothing: {ranked:?}");
    for worth in &ranked {
        assert!(worth.error_after <= worth.error_now, "a reading never hurts: {worth:?}");
    }
    assert!(ranked[0].error_after < 0.3 * ranked[0].error_now, "{ranked:?}");
    let error_with = |candidate: usize| {
        let set = [masstone.clone(), options[candidate].clone()];
        let found = characterise_presumed(&set, &known, &conditions, &P).expect("an estimate");
        let mut units = truth.clone();
        units[which] = found.unit;
        error_of_recipes(&shop, &units, 300, 5)
    };
    let (best, worst) = (error_with(ranked[0].candidate), error_with(ranked[2].candidate));
    assert!(best < 0.5 * worst, "in truth {best} against {worst}");
}
