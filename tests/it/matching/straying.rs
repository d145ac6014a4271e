//! Spreads of planned colours against what can be reckoned in closed form.

use pourbook::colour::delta_e_2000;
use pourbook::matching::{Cause, Doubts, Improve, Spread, spreads};
use pourbook::model::{House, Recipe};
use pourbook::plan::{Ask, Plan, for_board, plan};
use pourbook::predict::{Viewing, look};
use pourbook::quantity::Length;
use pourbook::store::open;

/// The demo's slate on a board, looked at by `f`.
fn with_plan<T>(f: impl FnOnce(&Recipe<'_>, &Plan) -> T) -> T {
    with_scales(1.0, f)
}

/// The same with scales so many times as coarse.
fn with_scales<T>(coarser: f64, f: impl FnOnce(&Recipe<'_>, &Plan) -> T) -> T {
    let opened = open(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes")).unwrap();
    let mut shop = opened.shop;
    let mut house = (*shop.house).clone();
    for scale in &mut house.scales {
        scale.readability = scale.readability * coarser;
    }
    shop.house = House::new(house).unwrap();
    let shop = &shop;
    let colourway = &shop.colourways["Tidewater Slate"];
    let job = for_board(shop, "600x600mm".parse().unwrap()).unwrap();
    let recipe = Recipe::of(shop, colourway).unwrap();
    let planned = plan(&Ask { shop, colourway, job: &job }).unwrap();
    f(&recipe, &planned)
}

fn spread_of(recipe: &Recipe<'_>, planned: &Plan, doubts: &Doubts) -> Vec<Spread> {
    spreads(recipe, &planned.bases, &planned.stocks, &Viewing::of(recipe), doubts)
}

const NONE: Doubts =
    Doubts { scale_steps: 0.0, lot: 0.0, film: 0.0, ratio: 0.0, draws: 4000, seed: 5 };

#[test]
fn the_same_seed_gives_the_same_figures_and_another_gives_others() {
    with_plan(|recipe, planned| {
        let doubts = Doubts { draws: 200, ..Doubts::default() };
        let once = spread_of(recipe, planned, &doubts);
        assert_eq!(once, spread_of(recipe, planned, &doubts), "to the bit");
        let other = spread_of(recipe, planned, &Doubts { seed: 2, ..doubts });
        assert_ne!(once[0].draws, other[0].draws);
        assert!(!once.is_empty(), "bases with known colours");
        for spread in &once {
            let sum: f64 = spread.shares.iter().map(|(_, share)| share).sum();
            assert!((sum - 1.0).abs() < 1e-9, "{sum}");
            assert!(spread.mean < spread.within_95, "{spread:?}");
            assert!(spread.first.is_some(), "something is to be mended");
        }
    });
}

#[test]
fn a_film_that_strays_a_little_spreads_as_its_slope_says() {
    // Scales so fine that rounding, a fixed miss, is nothing beside the film.
    with_scales(1e-3, |recipe, planned| {
        let film = 0.005;
        let doubts = Doubts { film, ..NONE };
        // So thin that the ground shows through and the film matters.
        let viewing = Viewing { film: Length::from_mm(0.25), ..Viewing::of(recipe) };
        let mut checked = 0;
        let all = spreads(recipe, &planned.bases, &planned.stocks, &viewing, &doubts);
        for (spread, base) in all.iter().zip(&planned.bases) {
            assert_eq!(spread.base, base.name);
            let loadings: Vec<(&str, f64)> = base
                .mix
                .loadings_weighed()
                .iter()
                .map(|(name, loading)| {
                    let (name, colorant) = recipe.colorants.get_key_value(name.as_str()).unwrap();
                    (*name, loading * colorant.lot_strength())
                })
                .collect();
            let at = |factor: f64| {
                let film = Length::from_mm(viewing.film.mm() * factor);
                look(recipe, &loadings, &Viewing { film, ..viewing.clone() }).unwrap().lab
            };
            // One standard deviation either way: half of the difference between them.
            let sd = 0.5 * delta_e_2000(at(1.0 - film), at(1.0 + film));
            // Without rounding, which is a fixed miss: from the mean squares of the causes.
            let rounding = spread.shares.iter().find(|(c, _)| *c == Cause::Rounding).unwrap().1;
            if rounding > 0.05 {
                continue;
            }
            checked += 1;
            // |z| of a normal z: mean 0.7979, 95 % within 1.9600; 4000 draws, so 5 % is over 4 errors.
            let (mean, within) = (spread.mean / sd, spread.within_95 / sd);
            assert!((mean / 0.797_885 - 1.0).abs() < 0.06, "{}: mean {mean}", base.name);
            assert!((within / 1.959_964 - 1.0).abs() < 0.06, "{}: 95 % {within}", base.name);
        }
        assert!(checked > 0, "a base whose rounding is small");
    });
}

#[test]
fn mean_squares_of_causes_add() {
    with_plan(|recipe, planned| {
        let doubts =
            Doubts { scale_steps: 0.1, lot: 0.004, film: 0.01, ratio: 0.002, draws: 4000, seed: 5 };
        for spread in spread_of(recipe, planned, &doubts) {
            let all: f64 =
                spread.draws.iter().map(|d| d * d).sum::<f64>() / spread.draws.len() as f64;
            // Each cause by itself, from the share of a spread where it is alone.
            let alone = |doubts: Doubts| {
                let one = spread_of(recipe, planned, &doubts);
                let one = one.iter().find(|s| s.base == spread.base).unwrap();
                let square: f64 = one.draws.iter().map(|d| d * d).sum();
                square / one.draws.len() as f64
            };
            let fixed = alone(NONE);
            let sum = alone(Doubts { scale_steps: 0.1, ..NONE })
                + alone(Doubts { lot: 0.004, ..NONE })
                + alone(Doubts { film: 0.01, ..NONE })
                + alone(Doubts { ratio: 0.002, ..NONE })
                - 3.0 * fixed;
            assert!((sum / all - 1.0).abs() < 0.08, "{}: {sum} for {all}", spread.base);
        }
    });
}

#[test]
fn what_to_mend_first_follows_the_largest_cause() {
    with_plan(|recipe, planned| {
        let lots = spread_of(recipe, planned, &Doubts { lot: 0.2, draws: 300, ..NONE });
        assert!(
            lots.iter().any(|s| matches!(s.first, Some(Improve::TestTheLot(_)))),
            "{:?}",
            lots.iter().map(|s| &s.first).collect::<Vec<_>>()
        );
        let film = spread_of(recipe, planned, &Doubts { film: 0.3, draws: 300, ..NONE });
        assert!(
            film.iter().any(|s| matches!(s.first, Some(Improve::ThickerFilm | Improve::EvenFilm))),
            "{:?}",
            film.iter().map(|s| &s.first).collect::<Vec<_>>()
        );
    });
}
