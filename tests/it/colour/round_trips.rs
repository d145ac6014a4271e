//! Laws: what goes there comes back, and what must hold for every colour.

use pourbook::colour::{
    Adaptation, Cat, Lab, OkLab, Srgb8, ToScreen, Xyy, Xyz, linear_from_xyz, metamerism_index,
    smooth_reflectance, srgb_decode, srgb_encode, xyz_from_linear,
};
use std::sync::Arc;

use pourbook::spectrum::{
    BANDS, DaylightCct, Illuminant, Lamp, Observer, Spectrum, Weights, resample, weights,
};
use proptest::prelude::*;

const D65: Xyz = Xyz::new(95.047, 100.0, 108.883);

fn xyz() -> impl Strategy<Value = Xyz> {
    [0.0..110.0_f64, 0.0..100.0, 0.0..120.0].prop_map(Xyz::from_array)
}

fn close(a: Xyz, b: Xyz, within: f64) -> bool {
    a.to_array().into_iter().zip(b.to_array()).all(|(a, b)| (a - b).abs() < within)
}

fn any_weights() -> impl Strategy<Value = Weights> {
    let lights: Vec<Illuminant> = Illuminant::named().collect();
    (prop::sample::select(lights), prop::sample::select(Observer::ALL.to_vec()))
        .prop_map(|(light, observer)| weights(&light, observer))
}

/// Reflectances with soft or hard edges anywhere between nearly 0 and nearly 1.
fn reflectance() -> impl Strategy<Value = Spectrum> {
    (0.005..0.995_f64, 0.005..0.995_f64, 380.0..730.0_f64, 10.0..200.0_f64, -0.4..0.4_f64).prop_map(
        |(low, high, edge, width, ripple)| {
            Spectrum::of_wavelength(|nm| {
                let t = 1.0 / (1.0 + (-(nm - edge) / width).exp());
                let base = low + (high - low) * t;
                let room = base.min(1.0 - base);
                base + ripple * room * (nm * 0.03).sin()
            })
        },
    )
}

proptest! {
    #[test]
    fn spaces_come_back(xyz in xyz()) {
        let lab = Lab::from_xyz(xyz, D65);
        prop_assert!(close(lab.to_xyz(D65), xyz, 1e-10), "Lab {lab:?}");
        prop_assert!(close(lab.to_lch().to_lab().to_xyz(D65), xyz, 1e-9), "LCh {lab:?}");
        prop_assert!((0.0..360.0).contains(&lab.to_lch().h_deg), "hue {lab:?}");
        let ok = OkLab::from_xyz_d65(xyz);
        prop_assert!(close(ok.to_xyz_d65(), xyz, 1e-10), "OKLab {ok:?}");
        let xyy = Xyy::from_xyz(xyz, D65);
        prop_assert!(xyz.y < 1e-6 || close(xyy.to_xyz(), xyz, 1e-4), "xyY {xyy:?}");
        let linear = linear_from_xyz(xyz);
        prop_assert!(close(xyz_from_linear(linear), xyz, 1e-10), "sRGB {linear:?}");
        for v in linear.map(|v| v.clamp(0.0, 1.0)) {
            // The standard's two pieces meet to 1e-8 of light only.
            prop_assert!((srgb_decode(srgb_encode(v)) - v).abs() < 1e-7, "transfer {v}");
        }
    }

    #[test]
    fn adaptation_comes_back(xyz in xyz(), from in any_weights(), to in any_weights()) {
        for cat in [Cat::Cat16, Cat::Bradford] {
            let there = Adaptation::new(from.white(), to.white(), cat);
            let back = Adaptation::new(to.white(), from.white(), cat);
            prop_assert!(close(back.apply(there.apply(xyz)), xyz, 1e-9), "{cat:?}");
            prop_assert!(close(there.apply(from.white()), to.white(), 1e-9), "{cat:?} white");
        }
    }

    #[test]
    fn tristimulus_values_add(w in any_weights(), one in reflectance(), two in reflectance()) {
        let mixed = w.xyz(&one.zip(&two, |a, b| 0.3 * a + 0.7 * b)).to_array();
        let (one, two) = (w.xyz(&one).to_array(), w.xyz(&two).to_array());
        for k in 0..3 {
            prop_assert!((mixed[k] - 0.3 * one[k] - 0.7 * two[k]).abs() < 1e-9, "{mixed:?}");
        }
    }

    #[test]
    fn every_screen_colour_shows_as_itself(r in any::<u8>(), g in any::<u8>(), b in any::<u8>()) {
        let colour = Srgb8::new(r, g, b);
        let screen = ToScreen::from_white(pourbook::colour::SRGB_WHITE);
        let shown = screen.show(colour.to_xyz());
        prop_assert!(shown.in_gamut && shown.srgb8() == colour, "{colour} {shown:?}");
        prop_assert_eq!(colour.to_string().parse::<Srgb8>(), Ok(colour));
    }

    #[test]
    fn a_colour_off_the_screen_keeps_its_hue(xyz in xyz(), w in any_weights()) {
        let screen = ToScreen::from_white(w.white());
        let shown = screen.show(xyz);
        prop_assert!(shown.linear.iter().all(|v| (0.0..=1.0).contains(v)), "{shown:?}");
        let wanted = OkLab::from_xyz_d65(xyz_from_linear(screen.linear(xyz)));
        let got = OkLab::from_xyz_d65(xyz_from_linear(shown.linear));
        if wanted.l < 1.0 && wanted.l > 0.0 && got.chroma() > 0.02 {
            let turned = (wanted.hue_deg() - got.hue_deg()).abs();
            prop_assert!(turned.min(360.0 - turned) < 0.5, "{wanted:?} {got:?}");
            prop_assert!((wanted.l - got.l).abs() < 1e-3, "{wanted:?} {got:?}");
        }
    }
}

/// Σ(Δz)² with R = (tanh z + 1)/2.
fn roughness(reflectance: &Spectrum) -> f64 {
    let z = reflectance.map(|r| 0.5 * (r / (1.0 - r)).ln());
    z.0.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn the_smoothest_reflectance_is_exact_and_no_rougher(
        original in reflectance(), w in any_weights()
    ) {
        let colour = w.xyz(&original);
        let smooth = smooth_reflectance(colour, &w);
        prop_assert!(smooth.is_ok(), "a real reflectance has this colour: {colour:?}");
        let smooth = smooth.unwrap();
        prop_assert!(close(w.xyz(&smooth), colour, 1e-8), "{:?} for {colour:?}", w.xyz(&smooth));
        prop_assert!(
            roughness(&smooth) <= roughness(&original) * (1.0 + 1e-6) + 1e-9,
            "{} against {}", roughness(&smooth), roughness(&original)
        );
    }

    #[test]
    fn any_ask_for_a_reflectance_is_answered(
        values in [-10.0..130.0_f64, -10.0..110.0, -10.0..130.0], w in any_weights()
    ) {
        let colour = Xyz::from_array(values);
        if let Ok(smooth) = smooth_reflectance(colour, &w) {
            prop_assert!(close(w.xyz(&smooth), colour, 1e-8), "exact: {colour:?}");
            prop_assert!(smooth.iter().all(|v| (0.0..=1.0).contains(v)), "{smooth:?}");
        }
    }

    #[test]
    fn a_match_falls_apart_only_under_another_lamp(original in reflectance()) {
        let d65 = weights(&Illuminant::D65, Observer::Cie1964_10deg);
        let twin = smooth_reflectance(d65.xyz(&original), &d65);
        prop_assert!(twin.is_ok(), "{original:?}");
        let twin = twin.unwrap();
        let index = |test: &Weights| metamerism_index(&original, &twin, &d65, test);
        prop_assert!(index(&d65) < 1e-6, "the pair matches under the reference");
        let f11 = weights(&Illuminant::F11, Observer::Cie1964_10deg);
        let apart = (0..BANDS).map(|i| (original[i] - twin[i]).abs()).fold(0.0, f64::max);
        prop_assert!(index(&f11) < 300.0 * apart + 1e-6, "{} for {apart}", index(&f11));
    }
}

#[test]
fn a_lamp_of_ones_own_is_what_its_readings_say() {
    // D65 read every 5 nm, on another scale, is D65.
    let power = Illuminant::D65.power();
    let nm: Vec<f64> = (0..95).map(|i| 360.0 + 5.0 * f64::from(i)).collect();
    let readings = nm.iter().map(|nm| 0.01 * power(*nm)).collect();
    let own = Illuminant::Custom(Arc::new(Lamp::new(nm, readings).unwrap()));
    let near = Illuminant::Daylight(DaylightCct::new(6504.0).unwrap());
    for observer in Observer::ALL {
        let d65 = weights(&Illuminant::D65, observer).white();
        assert!(close(weights(&own, observer).white(), d65, 1e-9), "{observer}");
        // Exact temperature and unrounded components: a little beside the table.
        assert!(close(weights(&near, observer).white(), d65, 0.05), "{observer}");
    }
}

proptest! {
    #[test]
    fn any_readings_are_resampled_or_refused(
        readings in prop::collection::vec(
            (prop_oneof![8 => 350.0..800.0_f64, 1 => any::<f64>()], any::<f64>()), 0..60
        ),
        in_order in any::<bool>(),
    ) {
        let (mut nm, values): (Vec<f64>, Vec<f64>) = readings.into_iter().unzip();
        if in_order {
            nm.sort_by(f64::total_cmp);
        }
        let _ = resample(&nm, &values);
        let _ = Lamp::new(nm, values);
    }

    #[test]
    fn resampled_readings_stay_near_their_source(
        start in 360.0..400.0_f64, steps in prop::collection::vec(0.5..20.0_f64, 30..400),
        level in 0.05..0.8_f64, slope in -1e-4..1e-4_f64,
    ) {
        let mut at = start;
        let nm: Vec<f64> = steps.iter().map(|step| { at += step; at - step }).collect();
        let values: Vec<f64> = nm.iter().map(|nm| level + slope * (nm - 550.0)).collect();
        if let Ok(spectrum) = resample(&nm, &values) {
            let (first, last) = (nm[0], nm[nm.len() - 1]);
            for (band, value) in spectrum.iter().enumerate() {
                let held = pourbook::spectrum::wavelength_nm(band).clamp(first, last);
                let wanted = level + slope * (held - 550.0);
                prop_assert!((value - wanted).abs() < 1e-9, "band {band}: {value} {wanted}");
            }
        } else {
            prop_assert!(nm[nm.len() - 1] < 700.0, "these steps leave no gap");
        }
    }
}
