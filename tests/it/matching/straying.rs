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
                .smallest()
                .unwrap()
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

/// Eigenvalues of a symmetric matrix of three rows, by Jacobi's rotations.
fn eigenvalues(mut m: [[f64; 3]; 3]) -> [f64; 3] {
    for _ in 0..60 {
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            let angle = 0.5 * libm::atan2(2.0 * m[p][q], m[q][q] - m[p][p]);
            let (cos, sin) = (libm::cos(angle), libm::sin(angle));
            for row in &mut m {
                let (a, b) = (row[p], row[q]);
                (row[p], row[q]) = (cos * a - sin * b, sin * a + cos * b);
            }
            let (a, b) = (m[p], m[q]);
            m[p] = std::array::from_fn(|at| cos * a[at] - sin * b[at]);
            m[q] = std::array::from_fn(|at| sin * a[at] + cos * b[at]);
        }
    }
    [m[0][0], m[1][1], m[2][2]]
}

/// P(Σ λᵢzᵢ² > x) for standard normal z (J. P. Imhof, Biometrika 48, 419, 1961):
/// ½ + (1/π)∫₀^∞ sin θ(u)/(u·ρ(u)) du, θ = ½Σ atan(λᵢu) − xu/2, ρ = Π(1 + λᵢ²u²)^¼.
fn exceeded(weights: [f64; 3], x: f64) -> f64 {
    let largest = weights.iter().copied().fold(0.0, f64::max);
    // By steps of ln u, until they no longer follow the sine: what is left out is below 1e-3.
    let step = 0.004;
    let sum: f64 = (-3000..3000)
        .map(|n| libm::exp(f64::from(n) * step) / largest)
        .take_while(|u| step * x * u < 1.0)
        .map(|u| {
            let theta = weights.iter().map(|w| 0.5 * libm::atan(w * u)).sum::<f64>() - 0.5 * x * u;
            let rho: f64 = weights.iter().map(|w| libm::pow(1.0 + w * w * u * u, 0.25)).product();
            libm::sin(theta) / rho * step
        })
        .sum();
    0.5 + sum / std::f64::consts::PI
}

#[test]
fn quadratic_forms_have_their_known_quantiles() {
    // χ² of 1 and of 3 degrees of freedom exceed these once in twenty (any table).
    assert!((exceeded([1.0, 0.0, 0.0], 3.841_459) - 0.05).abs() < 2e-3);
    assert!((exceeded([1.0; 3], 7.814_728) - 0.05).abs() < 1e-4);
    let [a, b, c] = eigenvalues([[2.0, 1.0, 0.0], [1.0, 2.0, 0.0], [0.0, 0.0, 5.0]]);
    assert!((a + b + c - 9.0).abs() < 1e-12 && (a * b * c - 15.0).abs() < 1e-9, "{a} {b} {c}");
}

#[test]
fn all_causes_together_spread_as_propagation_of_errors_says() {
    // Small errors: the colour moves linearly, so ΔE00² is a quadratic form of normal numbers. Its weights
    // are the eigenvalues of J·Jᵀ, a column of J what one standard deviation of one cause does.
    let doubts =
        Doubts { scale_steps: 0.0, lot: 0.003, film: 0.003, ratio: 0.0015, draws: 8000, seed: 9 };
    with_scales(1e-4, |recipe, planned| {
        let viewing = Viewing { film: Length::from_mm(0.3), ..Viewing::of(recipe) };
        let all = spreads(recipe, &planned.bases, &planned.stocks, &viewing, &doubts);
        for (spread, base) in all.iter().zip(&planned.bases) {
            let strength = |name: &str| recipe.colorants[name].lot_strength();
            let weighed = base.smallest().unwrap().loadings_weighed();
            let lab = |more: &dyn Fn(usize) -> f64, film: f64| {
                let loadings: Vec<(&str, f64)> = weighed
                    .iter()
                    .enumerate()
                    .map(|(at, (name, l))| (name.as_str(), l * strength(name) * more(at)))
                    .collect();
                let film = Length::from_mm(viewing.film.mm() * film);
                look(recipe, &loadings, &Viewing { film, ..viewing.clone() }).unwrap().lab
            };
            let middle = lab(&|_| 1.0, 1.0);
            let local = pourbook::colour::delta_e_2000_slopes(middle, middle).by_sample;
            let column = |up: pourbook::colour::Lab, down: pourbook::colour::Lab| {
                let half = |a: f64, b: f64| 0.5 * (a - b);
                let moved = [half(up.l, down.l), half(up.a, down.a), half(up.b, down.b)];
                local.map(|row| row.iter().zip(moved).map(|(a, b)| a * b).sum::<f64>())
            };
            let mut columns = vec![column(lab(&|_| 1.0, 1.003), lab(&|_| 1.0, 0.997))];
            for which in 0..weighed.len() {
                let by = |d: f64| move |at: usize| if at == which { 1.0 + d } else { 1.0 };
                columns.push(column(lab(&by(0.003), 1.0), lab(&by(-0.003), 1.0)));
            }
            // More B is more resin: every loading falls.
            let b = base.smallest().unwrap().part_b.mass.g() / base.smallest().unwrap().resin().g();
            let by = |d: f64| move |_: usize| 1.0 / (1.0 + b * d);
            columns.push(column(lab(&by(0.0015), 1.0), lab(&by(-0.0015), 1.0)));
            let mut square = [[0.0; 3]; 3];
            for column in &columns {
                for (row, a) in square.iter_mut().zip(column) {
                    for (cell, b) in row.iter_mut().zip(column) {
                        *cell += a * b;
                    }
                }
            }
            let weights = eigenvalues(square);
            // One in twenty beyond the 95th percentile; the standard error of the share is 0.0024.
            let beyond = exceeded(weights, spread.within_95 * spread.within_95);
            assert!((beyond - 0.05).abs() < 0.01, "{}: {beyond} beyond 95 %", spread.base);
            let mean_square =
                spread.draws.iter().map(|d| d * d).sum::<f64>() / spread.draws.len() as f64;
            let trace: f64 = weights.iter().sum();
            assert!(
                (mean_square / trace - 1.0).abs() < 0.08,
                "{}: {mean_square} {trace}",
                spread.base
            );
            // E√Q = ∫ P(Q > x²) dx.
            let widest = 6.0 * libm::sqrt(trace);
            let part = widest / 80.0;
            let mean: f64 = (0..80)
                .map(|n| (f64::from(n) + 0.5) * part)
                .map(|x| part * exceeded(weights, x * x))
                .sum();
            assert!(
                (spread.mean / mean - 1.0).abs() < 0.04,
                "{}: {} {mean}",
                spread.base,
                spread.mean
            );
        }
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
