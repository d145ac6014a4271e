//! 10,000 random cases a quantity against a general-purpose colour library (colour-science 0.4.7).

use pourbook::colour::{
    Adaptation, Application, Cat, Lab, OkLab, Xyy, Xyz, cct, cie_whiteness, delta_e_94,
    delta_e_2000, delta_e_2000_batch, delta_e_ab, delta_e_cmc, linear_from_xyz, srgb_encode,
    yellowness_e313,
};
use pourbook::spectrum::{BANDS, Illuminant, Observer, Spectrum, wavelength_nm, weights};

use super::cases::{CASES, Draws, answers, lab_pairs, smooth_reflectances, table, xyz_cases};

const D65_WHITE: Xyz = Xyz::new(95.047, 100.0, 108.883);
const A_WHITE: Xyz = Xyz::new(109.850, 100.0, 35.585);

/// Equal to what an f32 keeps of a value.
#[track_caller]
fn same(ours: f64, theirs: f64, what: &str) {
    assert!((ours - theirs).abs() <= 1e-5 + 2e-7 * theirs.abs(), "{what}: {ours} for {theirs}");
}

#[test]
fn differences() {
    let theirs = answers::<6>(include_bytes!("../../fixtures/colour/differences.f32"));
    let pairs = lab_pairs();
    let (ones, twos): (Vec<Lab>, Vec<Lab>) = pairs.iter().copied().unzip();
    let mut batch = vec![0.0; CASES];
    delta_e_2000_batch(&ones, &twos, &mut batch);
    for (case, ((one, two), theirs)) in pairs.into_iter().zip(theirs).enumerate() {
        let say = |formula: &str| format!("{formula}, case {case}, {one:?} {two:?}");
        same(delta_e_2000(one, two), theirs[0], &say("ΔE00"));
        same(batch[case], theirs[0], &say("ΔE00 batch"));
        same(delta_e_ab(one, two), theirs[1], &say("ΔE*ab"));
        same(delta_e_94(one, two, Application::GraphicArts), theirs[2], &say("ΔE94"));
        same(delta_e_94(one, two, Application::Textiles), theirs[3], &say("ΔE94 textiles"));
        same(delta_e_cmc(one, two, 2.0, 1.0), theirs[4], &say("CMC(2:1)"));
        same(delta_e_cmc(one, two, 1.0, 1.0), theirs[5], &say("CMC(1:1)"));
    }
}

#[test]
fn spaces() {
    let theirs = answers::<10>(include_bytes!("../../fixtures/colour/spaces.f32"));
    for (case, (xyz, theirs)) in xyz_cases(2).into_iter().zip(theirs).enumerate() {
        let lab = Lab::from_xyz(xyz, D65_WHITE);
        let lch = lab.to_lch();
        let xyy = Xyy::from_xyz(xyz, D65_WHITE);
        let ok = OkLab::from_xyz_d65(xyz);
        let ours = [lab.l, lab.a, lab.b, lch.c, lch.h_deg, xyy.x, xyy.y, ok.l, ok.a, ok.b];
        let names = ["L*", "a*", "b*", "C*", "h", "x", "y", "OK L", "OK a", "OK b"];
        for ((ours, theirs), name) in ours.into_iter().zip(theirs).zip(names) {
            let looser = if name == "h" { 3e-5 * (1.0 + 1.0 / lch.c.max(1e-3)) } else { 0.0 };
            let off = ((ours - theirs).abs() - looser).max(0.0);
            assert!(off <= 1e-5 + 2e-7 * theirs.abs(), "{name}, case {case}: {ours} for {theirs}");
        }
    }
}

#[test]
fn adaptation() {
    let theirs = answers::<6>(include_bytes!("../../fixtures/colour/adaptation.f32"));
    let cat16 = Adaptation::new(A_WHITE, D65_WHITE, Cat::Cat16);
    let bradford = Adaptation::new(A_WHITE, D65_WHITE, Cat::Bradford);
    for (case, (xyz, theirs)) in xyz_cases(3).into_iter().zip(theirs).enumerate() {
        let ours = [cat16.apply(xyz).to_array(), bradford.apply(xyz).to_array()];
        for (ours, theirs) in ours.into_iter().flatten().zip(theirs) {
            // The library keeps its inverse matrices to fewer digits.
            assert!((ours - theirs).abs() < 1e-4, "case {case}: {ours} for {theirs}");
        }
    }
}

#[test]
fn screens() {
    let theirs = answers::<6>(include_bytes!("../../fixtures/colour/srgb.f32"));
    for (case, (xyz, theirs)) in xyz_cases(4).into_iter().zip(theirs).enumerate() {
        let linear = linear_from_xyz(xyz);
        for (at, linear) in linear.into_iter().enumerate() {
            same(linear, theirs[at], &format!("linear, case {case}"));
            let encoded = srgb_encode(linear.clamp(0.0, 1.0));
            same(encoded, theirs[3 + at], &format!("encoded, case {case}"));
        }
    }
}

#[test]
fn temperatures() {
    let theirs = answers::<2>(include_bytes!("../../fixtures/colour/temperature.f32"));
    let mut draws = Draws::seeded(5);
    let (mut worst_kelvin, mut worst_duv) = (0.0_f64, 0.0_f64);
    for [x, y] in theirs {
        let [u0, u1] = draws.uniforms();
        let (kelvin, duv) = (1e6 / (50.0 + u0 * 550.0), (u1 - 0.5) * 0.04);
        let found = cct(Xyy { x, y, luminance: 100.0 }.to_xyz()).unwrap();
        worst_kelvin = worst_kelvin.max((found.kelvin / kelvin - 1.0).abs());
        worst_duv = worst_duv.max((found.duv - duv).abs());
    }
    assert!(worst_kelvin < 1e-4, "relative in kelvin: {worst_kelvin}");
    assert!(worst_duv < 2e-6, "Duv: {worst_duv}");
}

#[test]
fn whites_and_yellows() {
    let theirs = answers::<3>(include_bytes!("../../fixtures/colour/whiteness.f32"));
    let mut draws = Draws::seeded(6);
    for (case, theirs) in theirs.into_iter().enumerate() {
        let u: [f64; 3] = draws.uniforms();
        let of = |white: f64, u: f64| white * (0.75 + 0.25 * u);
        let xyz = Xyz::new(of(D65_WHITE.x, u[0]), of(D65_WHITE.y, u[1]), of(D65_WHITE.z, u[2]));
        let white = cie_whiteness(xyz, D65_WHITE, Observer::Cie1931_2deg);
        same(white.whiteness, theirs[0], &format!("W, case {case}"));
        same(white.tint, theirs[1], &format!("T, case {case}"));
        let yellowness = yellowness_e313(xyz, Observer::Cie1931_2deg);
        same(yellowness, theirs[2], &format!("YI, case {case}"));
    }
}

/// Smooth reflectances read every 10 nm and folded, against the library's sums at 1 nm over
/// 360–830 nm of the same reflectances.
#[test]
fn folded_tristimulus_values() {
    let theirs = answers::<9>(include_bytes!("../../fixtures/colour/spectra.f32"));
    let seen = [
        (Illuminant::D65, Observer::Cie1931_2deg),
        (Illuminant::D65, Observer::Cie1964_10deg),
        (Illuminant::D50, Observer::Cie1931_2deg),
    ];
    let seen = seen.map(|(light, observer)| weights(&light, observer));
    let (mut sum, mut worst) = (0.0, 0.0_f64);
    for (reflectance, theirs) in smooth_reflectances().iter().zip(theirs) {
        let sampled = Spectrum::of_wavelength(reflectance);
        for (weights, theirs) in seen.iter().zip(theirs.chunks(3)) {
            let theirs = Xyz::new(theirs[0], theirs[1], theirs[2]);
            let lab = |xyz| Lab::from_xyz(xyz, weights.white());
            let off = delta_e_2000(lab(weights.xyz(&sampled)), lab(theirs));
            sum += off;
            worst = worst.max(off);
        }
    }
    let mean = sum / (3 * CASES) as f64;
    println!("folded against 1 nm: mean {mean:.5}, worst {worst:.5} ΔE00");
    assert!(mean < 3e-3 && worst < 0.03, "mean {mean}, worst {worst}");
}

/// Band by band where both grids fold alike: away from their ends, which are 380 and 730 nm here
/// and 360 and 780 nm there.
#[test]
fn weights_of_astm_e2022() {
    let ten = Observer::Cie1964_10deg;
    let (a, d65) = (weights(&Illuminant::A, ten), weights(&Illuminant::D65, ten));
    let theirs = table(include_str!("../../fixtures/colour/weights_e2022.csv"));
    let mut compared = 0;
    for (band, row) in theirs.iter().skip(2).enumerate().take(BANDS) {
        assert!((row[0] - wavelength_nm(band)).abs() < 1e-9, "their third row is our first band");
        if !(420.0..=690.0).contains(&row[0]) {
            continue;
        }
        for (at, weights) in [(1, &a), (4, &d65)] {
            for k in 0..3 {
                let (ours, theirs) = (weights.rows()[k][band], row[at + k]);
                assert!((ours - theirs).abs() < 1e-4, "{} nm, {k}: {ours} {theirs}", row[0]);
                compared += 1;
            }
        }
    }
    assert_eq!(compared, 28 * 6, "every band between");
}
