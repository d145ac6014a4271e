//! A 24-patch chart: published reflectances give its published colours, and the folded weights
//! lose nothing against sums in full.

use pourbook::colour::{Lab, Xyy, Xyz, delta_e_2000, metamerism_index};
use pourbook::spectrum::{Illuminant, Observer, Spectrum, resample, weights};

use super::cases::table;

#[test]
fn published_reflectances_give_the_published_colours() {
    let rows = table(include_str!("../../fixtures/colour/chart_published.csv"));
    assert_eq!(rows.len(), 24, "the whole chart");
    let d50 = weights(&Illuminant::D50, Observer::Cie1931_2deg);
    let mut worst = 0.0_f64;
    for row in rows {
        let reflectance = Spectrum(row[4..].try_into().unwrap());
        let ours = Lab::from_xyz(d50.xyz(&reflectance), d50.white());
        let (x, y, luminance) = (row[1], row[2], 100.0 * row[3]);
        let published = Lab::from_xyz(Xyy { x, y, luminance }.to_xyz(), d50.white());
        let off = delta_e_2000(ours, published);
        assert!(off < 0.3, "patch {}: {off}, {ours:?} for {published:?}", row[0]);
        worst = worst.max(off);
    }
    println!("chart: worst {worst:.3} ΔE00");
}

#[test]
fn folding_is_as_good_as_summing_in_full() {
    let rows = table(include_str!("../../fixtures/colour/chart_fine.csv"));
    assert_eq!(rows.len(), 24, "the whole chart");
    let (two, ten) = (Observer::Cie1931_2deg, Observer::Cie1964_10deg);
    let seen = [
        (Illuminant::D65, two, 0.005, 0.01),
        (Illuminant::D65, ten, 0.005, 0.01),
        (Illuminant::A, ten, 0.005, 0.01),
        (Illuminant::F2, ten, 0.015, 0.06),
        (Illuminant::F11, ten, 0.03, 0.08),
        (Illuminant::LedB3, ten, 0.005, 0.015),
    ];
    let nm: Vec<f64> = (0..81).map(|i| 380.0 + 5.0 * f64::from(i)).collect();
    for (at, (light, observer, mean_within, worst_within)) in seen.into_iter().enumerate() {
        let w = weights(&light, observer);
        let (mut sum, mut worst) = (0.0, 0.0_f64);
        for row in &rows {
            let full = Xyz::new(row[1 + 3 * at], row[2 + 3 * at], row[3 + 3 * at]);
            let reflectance = resample(&nm, &row[19..]).unwrap();
            let lab = |xyz| Lab::from_xyz(xyz, w.white());
            let off = delta_e_2000(lab(w.xyz(&reflectance)), lab(full));
            sum += off;
            worst = worst.max(off);
        }
        let mean = sum / 24.0;
        println!("{light} {observer}: mean {mean:.4}, worst {worst:.4} ΔE00");
        assert!(mean < mean_within && worst < worst_within, "{light} {observer}: {mean} {worst}");
    }
}

#[test]
fn a_metameric_pair_falls_apart_as_far_as_the_library_says() {
    let text = include_str!("../../fixtures/colour/metamers.csv");
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    let (lamps, bands) = rows.split_at(4);
    let spectrum = |column: usize| {
        let values: Vec<f64> = bands.iter().map(|row| row[column].parse().unwrap()).collect();
        Spectrum(values.try_into().unwrap())
    };
    let (one, two) = (spectrum(1), spectrum(2));
    let ten = Observer::Cie1964_10deg;
    let reference = weights(&Illuminant::D65, ten);
    for lamp in lamps {
        let light: Illuminant = lamp[0].parse().unwrap();
        let theirs: f64 = lamp[1].parse().unwrap();
        let ours = metamerism_index(&one, &two, &reference, &weights(&light, ten));
        println!("{light}: {ours:.4} for {theirs:.4}");
        assert!((ours - theirs).abs() < 0.02 * theirs + 0.005, "{light}: {ours} for {theirs}");
    }
}
