//! The film formula against the differential equations it solves.

use pourbook::optics::{
    Geometry, Surface, film_reflectance, film_reflectance_batch_at, film_slopes,
    film_transmittance, infinite_reflectance,
};
use proptest::prelude::*;

/// Ten thousand films by matrix exponential in 60 digits; made by `two_flux.py` beside it.
const TWO_FLUX: &str = include_str!("../fixtures/film/two_flux.csv");

struct Row {
    k: f64,
    s: f64,
    film_mm: f64,
    substrate: f64,
    surface: Surface,
    reflectance: f64,
    transmittance: f64,
    reading: f64,
}

fn rows() -> Vec<Row> {
    TWO_FLUX
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| {
            let v: Vec<f64> = line.split(',').map(|cell| cell.parse().expect("a number")).collect();
            Row {
                k: v[0],
                s: v[1],
                film_mm: v[2],
                substrate: v[3],
                surface: Surface { k1: v[4], k2: v[5] },
                reflectance: v[6],
                transmittance: v[7],
                reading: v[8],
            }
        })
        .collect()
}

#[test]
fn ten_thousand_films_by_matrix_exponential() {
    let rows = rows();
    assert_eq!(rows.len(), 10_000, "the fixture is whole");
    for r in &rows {
        let got = film_reflectance(r.k, r.s, r.film_mm, r.substrate);
        assert!((got - r.reflectance).abs() < 1e-12, "{} {} {}: {got}", r.k, r.s, r.film_mm);
        let through = film_transmittance(r.k, r.s, r.film_mm);
        let near = (through - r.transmittance).abs() < 1e-11 * r.transmittance;
        assert!(near, "{} {} {}: {through} against {}", r.k, r.s, r.film_mm, r.transmittance);
        let seen = r.surface.reading(got, Geometry::SpecularIncluded);
        assert!((seen - r.reading).abs() < 1e-12, "{} {}: {seen}", r.surface.k1, r.surface.k2);
    }
}

#[test]
fn the_batch_agrees_with_the_matrix_exponential() {
    let rows = rows();
    let column = |of: fn(&Row) -> f64| -> Vec<f64> { rows.iter().map(of).collect() };
    let mut out = vec![0.0; rows.len()];
    film_reflectance_batch_at(
        &column(|r| r.k),
        &column(|r| r.s),
        &column(|r| r.film_mm),
        &column(|r| r.substrate),
        &mut out,
    );
    for (got, row) in out.iter().zip(&rows) {
        assert!((got - row.reflectance).abs() < 1e-12, "{got} against {}", row.reflectance);
    }
}

/// Integrates dR/dx = s − 2(k+s)R + sR² from R(0) = `substrate` to `film_mm` by Taylor steps of
/// order 24 (the series of a product of series is exact), each short enough that the last term is
/// below 1e-16 and that the order's stability on the decaying solution holds.
fn integrate(k: f64, s: f64, film_mm: f64, substrate: f64) -> f64 {
    const ORDER: usize = 24;
    let mut r = substrate;
    let mut at = 0.0;
    while at < film_mm {
        let mut series = [0.0; ORDER + 1];
        series[0] = r;
        for n in 0..ORDER {
            let square: f64 = (0..=n).map(|i| series[i] * series[n - i]).sum();
            let source = if n == 0 { s } else { 0.0 };
            series[n + 1] = (source - 2.0 * (k + s) * series[n] + s * square) / (n + 1) as f64;
        }
        let last = series[ORDER].abs().max(f64::MIN_POSITIVE);
        let small = (1e-16 / last).powf(1.0 / ORDER as f64);
        let step = small.min(5.0 / (2.0 * (k + s)).max(1e-300)).min(film_mm - at);
        r = series.iter().rev().fold(0.0, |sum, term| sum * step + term);
        at = if step >= film_mm - at { film_mm } else { at + step };
    }
    r
}

#[test]
fn the_integrator_knows_two_closed_cases() {
    // k = 0: 1 − R falls as 1/(1/(1−Rg) + sx); s = 0: R = Rg·e^(−2kx).
    let pure = integrate(0.0, 8.0, 0.5, 0.1);
    assert!((pure - (1.0 - 1.0 / (1.0 / 0.9 + 4.0))).abs() < 1e-14, "{pure}");
    let clear = integrate(1.5, 0.0, 0.8, 0.6);
    assert!((clear - 0.6 * (-2.4_f64).exp()).abs() < 1e-14, "{clear}");
}

/// Zero, or a coefficient from 1e-9 to 1e4 mm⁻¹.
fn coefficient() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 9 => (-9.0..4.0_f64).prop_map(|e| 10.0_f64.powf(e))]
}

fn share() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 1 => Just(1.0), 4 => 0.0..=1.0_f64]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_formula_solves_the_differential_equation(
        k in coefficient(), s in coefficient(), e in -4.0..1.0_f64, g in share(),
    ) {
        // From 0.1 µm to 10 mm, but no more optical thickness than the integrator gets through.
        let film_mm = 10.0_f64.powf(e).min(2e3 / (k + s).max(1e-3));
        let stepped = integrate(k, s, film_mm, g);
        let got = film_reflectance(k, s, film_mm, g);
        prop_assert!((got - stepped).abs() < 1e-9, "{} against {}", got, stepped);
        let with_slopes = film_slopes(k, s, film_mm, g).reflectance;
        prop_assert!((with_slopes - got).abs() < 1e-15, "one reflectance, two ways");
    }

    #[test]
    fn a_thicker_film_nears_the_endless_one(
        k in coefficient(), s in coefficient(), g in share(), thick in 0.0..4.0_f64,
    ) {
        let end = infinite_reflectance(k, s);
        let thin_mm = 0.01;
        let near = (film_reflectance(k, s, thin_mm, g) - end).abs();
        let nearer = (film_reflectance(k, s, thin_mm * (1.0 + thick), g) - end).abs();
        prop_assert!(k == 0.0 && s == 0.0 || nearer <= near + 1e-14, "{} then {}", near, nearer);
    }
}
