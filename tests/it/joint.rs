//! The joint fit of mixtures against samples made from known pigments.

use std::sync::Arc;

use pourbook::characterise::joint::{
    Face, JointError, JointFit, Measure, Options, Sample, SampleSet, Substrate, cross_validate,
    fit, predict,
};
use pourbook::diagnostic::Source;
use pourbook::file::readings::amounts;
use pourbook::optics::{Geometry, Surface, film_reflectance};
use pourbook::spectrum::{Spectrum, wavelength_nm};

/// Exponent of the total quantity by which the made samples spread.
const SPREAD: f64 = -0.3;
/// What the made samples' matt faces add.
const LEVEL: f64 = 0.03;
const NAMES: [&str; 5] = ["white", "yellow", "red", "blue", "black"];

/// k and s of a made pigment at a quantity of 1, smooth over the spectrum as pigments are.
fn made(pigment: usize) -> (Spectrum, Spectrum) {
    let edge = |nm: f64, at: f64, width: f64| 1.0 / (1.0 + libm::exp((nm - at) / width));
    let k = Spectrum::of_wavelength(|nm| match pigment {
        0 => 0.02 + 0.3 * edge(nm, 395.0, 10.0),
        1 => 0.04 + 12.0 * edge(nm, 500.0, 12.0),
        2 => 0.08 + 16.0 * edge(nm, 590.0, 10.0),
        3 => 0.4 + 18.0 * edge(-nm, -560.0, 25.0),
        _ => 25.0,
    });
    let s = Spectrum::of_wavelength(|nm| {
        let tilt = (nm - 550.0) / 550.0;
        match pigment {
            0 => 3.0 - 0.8 * tilt,
            1 => 0.9 - 0.3 * tilt,
            2 => 0.7 + 0.2 * tilt,
            3 => 0.25,
            _ => 0.5,
        }
    });
    (k, s)
}

/// A repeatable number about 0 with a deviation of about 1.
fn noise(state: &mut u64) -> f64 {
    let mut sum = 0.0;
    for _ in 0..12 {
        *state ^= *state << 13;
        *state ^= *state >> 7;
        *state ^= *state << 17;
        sum += f64::from(u32::try_from(*state >> 40).unwrap()) / f64::from(1_u32 << 24);
    }
    sum - 6.0
}

fn paper() -> Substrate {
    Substrate {
        name: String::new(),
        reflectance: Spectrum::of_wavelength(|nm| 0.87 - 0.1 * libm::exp(-(nm - 380.0) / 30.0)),
        geometry: Geometry::Unknown,
    }
}

/// The true reading of quantities on the paper.
fn truth(amounts: &[(usize, f64)]) -> Spectrum {
    let total: f64 = amounts.iter().map(|(_, q)| q).sum();
    let scale = libm::pow(total, SPREAD);
    Spectrum(std::array::from_fn(|band| {
        let (mut k, mut s) = (0.0, 0.0);
        for (pigment, quantity) in amounts {
            let (pk, ps) = made(*pigment);
            k += quantity * scale * pk[band];
            s += quantity * scale * ps[band];
        }
        let face = Surface { k1: 0.0, k2: 0.2 };
        let below = face.internal(paper().reflectance[band], Geometry::SpecularExcluded);
        let body = face.reading(film_reflectance(k, s, 1.0, below), Geometry::SpecularExcluded);
        LEVEL + (1.0 - LEVEL) * body
    }))
}

fn sample(amounts: &[(usize, f64)], error: f64, state: &mut u64) -> Sample {
    let own = noise(state) * error / 4.0;
    let reading = Spectrum(truth(amounts).0.map(|r| {
        let z = libm::cbrt(r) + own + error * noise(state);
        z * z * z
    }));
    let id = amounts.iter().map(|(p, q)| format!("{} {q}", NAMES[*p])).collect::<Vec<_>>();
    Sample {
        id: id.join(" + "),
        amounts: amounts.to_vec(),
        film_mm: None,
        substrate: 0,
        geometry: Geometry::Unknown,
        reading: Some(reading),
    }
}

/// Ladders of every pigment and mixtures of the pairs asked for.
fn set(pairs: &[(usize, usize)], error: f64) -> SampleSet {
    let mut state = 88_172_645_463_325_252;
    let mut samples = Vec::new();
    for pigment in 0..NAMES.len() {
        for quantity in [0.25, 0.5, 1.0, 2.0, 4.0] {
            samples.push(sample(&[(pigment, quantity)], error, &mut state));
        }
    }
    for (a, b) in pairs {
        for (one, two) in [(0.25, 0.25), (0.5, 1.0), (1.0, 0.5), (1.0, 1.0), (2.0, 1.0), (1.0, 2.0)]
        {
            samples.push(sample(&[(*a, one), (*b, two)], error, &mut state));
        }
    }
    SampleSet {
        measure: Measure::Quantity,
        pigments: NAMES.map(str::to_owned).to_vec(),
        substrates: vec![paper()],
        samples,
    }
}

const SEEN: [(usize, usize); 6] = [(0, 1), (0, 3), (0, 4), (1, 2), (2, 3), (3, 4)];
const UNSEEN: [(usize, usize); 4] = [(0, 2), (1, 3), (1, 4), (2, 4)];

/// Settings for samples as exact as these are made: their noise, and no habit of ladders.
fn careful(noise: f64) -> Options {
    Options { noise, common: noise / 4.0, outlier: 4.0 * noise, ..Options::for_paint() }
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let all: Vec<f64> = values.collect();
    all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap())
}

#[test]
fn pairs_never_seen_are_predicted() {
    let found = fit(&set(&SEEN, 0.004), &careful(0.004)).unwrap();
    let unseen = set(&UNSEEN, 0.0);
    let mixtures: Vec<Sample> =
        unseen.samples.iter().filter(|sample| sample.amounts.len() > 1).cloned().collect();
    let unseen = SampleSet { samples: mixtures, ..unseen };
    let predicted = predict(&found, &unseen).unwrap();
    let delta = mean(predicted.iter().map(|p| p.delta_e_2000.unwrap()));
    assert!(delta < 1.0, "mean ΔE00 of pairs never seen: {delta}");
    let triple = SampleSet {
        samples: vec![sample(&[(0, 1.0), (1, 0.5), (3, 0.25)], 0.0, &mut 1)],
        ..unseen.clone()
    };
    let delta = predict(&found, &triple).unwrap()[0].delta_e_2000.unwrap();
    assert!(delta < 1.5, "three pigments never seen together: {delta}");
}

#[test]
fn the_law_and_the_pigments_are_recovered() {
    let pairs: Vec<(usize, usize)> = SEEN.iter().chain(&UNSEEN).copied().collect();
    let found = fit(&set(&pairs, 0.001), &careful(0.001)).unwrap();
    assert!((found.law.spread - SPREAD).abs() < 0.05, "spread {}", found.law.spread);
    let Face::Matt { ln_levels, .. } = &found.law.face else { panic!("a matt face was asked for") };
    assert_eq!(ln_levels.len(), NAMES.len(), "a level a pigment");
    let scale = libm::pow(found.law.reference, 1.0 + SPREAD);
    for (pigment, fitted) in found.pigments.iter().enumerate() {
        let (k, s) = made(pigment);
        let compare = |name: &str, got: &[f64], doubt: &[f64], true_one: &Spectrum| {
            for band in 2..34 {
                let off = libm::log(got[band] / (true_one[band] * scale)).abs();
                let allowed = 0.25 + 4.0 * doubt[band];
                assert!(
                    off < allowed,
                    "{name} of {} at {} nm: ln off by {off:.3}, doubt {:.3}",
                    fitted.name,
                    wavelength_nm(band),
                    doubt[band]
                );
            }
        };
        compare("k", &fitted.k, &fitted.ln_k_deviation, &k);
        compare("s", &fitted.s, &fitted.ln_s_deviation, &s);
    }
}

#[test]
fn one_wrongly_dosed_sample_loses_its_weight() {
    let mut with_error = set(&SEEN, 0.002);
    // White with blue, the blue four times what the table says.
    let wrong = 32;
    assert_eq!(with_error.samples[wrong].id, "white 0.5 + blue 1", "the sample meant");
    with_error.samples[wrong].amounts[1].1 /= 4.0;
    let found = fit(&with_error, &careful(0.004)).unwrap();
    let others = mean(found.samples[38..].iter().map(|sample| sample.weight));
    let wrong = found.samples[wrong].weight;
    assert!(wrong < 0.5 * others, "weight {wrong} beside {others}");
}

#[test]
fn cross_validation_holds_pairs_out_whole_and_repeats() {
    let pairs: Vec<(usize, usize)> = SEEN.iter().chain(&UNSEEN).copied().collect();
    let samples = set(&pairs, 0.004);
    let options = careful(0.004);
    let once = cross_validate(&samples, 5, 7, &options).unwrap();
    assert_eq!((once.groups, once.held_out.len()), (10, 60), "every mixture once");
    assert_eq!(once, cross_validate(&samples, 5, 7, &options).unwrap(), "same seed, same figures");
    assert!(once.spread.mean < 1.0, "mean ΔE00 {}", once.spread.mean);
    let in_sample = fit(&samples, &options).unwrap();
    let fitted = mean(in_sample.samples[25..].iter().map(|sample| sample.delta_e_2000));
    assert!(once.spread.mean > fitted, "held out {} above fitted {fitted}", once.spread.mean);
    assert_eq!(
        cross_validate(&samples, 11, 7, &options),
        Err(JointError::TooFewGroups { groups: 10, folds: 11 }),
        "more folds than pairs"
    );
}

#[test]
fn films_of_known_thickness_are_fitted_by_loading() {
    // Black and white panels, films under a smooth face read with the gloss included.
    let panel = |name: &str, r: f64| Substrate {
        name: name.to_owned(),
        reflectance: Spectrum::flat(r),
        geometry: Geometry::SpecularIncluded,
    };
    let face = Surface::of_index(1.5);
    let substrates = vec![panel("black", 0.06), panel("white", 0.82)];
    let film = |amounts: &[(usize, f64)], film_mm: f64, substrate: usize| {
        let reading = Spectrum(std::array::from_fn(|band| {
            let (mut k, mut s) = (0.0, 0.0);
            for (pigment, loading) in amounts {
                let (pk, ps) = made(*pigment);
                k += loading * 100.0 * pk[band];
                s += loading * 100.0 * ps[band];
            }
            let bare: f64 = substrates[substrate].reflectance[band];
            let below = face.internal(bare, Geometry::SpecularIncluded).max(0.0);
            face.reading(film_reflectance(k, s, film_mm, below), Geometry::SpecularIncluded)
        }));
        Sample {
            id: format!("{amounts:?} {film_mm} mm over {substrate}"),
            amounts: amounts.to_vec(),
            film_mm: Some(film_mm),
            substrate,
            geometry: Geometry::SpecularIncluded,
            reading: Some(reading),
        }
    };
    let mut samples = Vec::new();
    for substrate in 0..2 {
        samples.push(film(&[(0, 0.02)], 0.5, substrate));
        for pigment in 1..NAMES.len() {
            samples.push(film(&[(pigment, 0.01)], 0.5, substrate));
            samples.push(film(&[(0, 0.02), (pigment, 0.002)], 1.0, substrate));
            samples.push(film(&[(0, 0.02), (pigment, 0.005)], 1.0, substrate));
        }
    }
    let wanted = film(&[(0, 0.02), (1, 0.004), (3, 0.002)], 2.0, 1);
    let set = SampleSet {
        measure: Measure::Loading,
        pigments: NAMES.map(str::to_owned).to_vec(),
        substrates: substrates.clone(),
        samples,
    };
    let found = fit(&set, &Options::for_films(1.5)).unwrap();
    let other = SampleSet { samples: vec![wanted], ..set.clone() };
    let delta = predict(&found, &other).unwrap()[0].delta_e_2000.unwrap();
    assert!(delta < 0.3, "a green never seen, in another film: {delta}");
    let as_text = serde_json::to_string(&found).unwrap();
    let back: JointFit = serde_json::from_str(&as_text).unwrap();
    let again = predict(&back, &other).unwrap()[0].delta_e_2000.unwrap();
    assert!((again - delta).abs() < 1e-9, "a kept fit predicts the same");
    let no_film =
        SampleSet { samples: vec![Sample { film_mm: None, ..other.samples[0].clone() }], ..set };
    assert!(
        matches!(predict(&found, &no_film), Err(JointError::Impossible { .. })),
        "loadings without a film"
    );
}

#[test]
fn a_table_goes_in_and_unknown_things_are_told() {
    let read = |text: &str| {
        let source = Arc::new(Source { name: "t.csv".into(), text: text.to_owned() });
        amounts::read(&source, None, &[]).unwrap()
    };
    let bands: Vec<usize> = (0..36).step_by(2).collect();
    let heads = |names: &str| {
        let bands: Vec<String> = bands.iter().map(|b| format!("R{}", wavelength_nm(*b))).collect();
        format!("{names},{}\n", bands.join(","))
    };
    let line = |start: String, r: &Spectrum| {
        let values: Vec<String> = bands.iter().map(|b| r[*b].to_string()).collect();
        format!("{start},{}\n", values.join(","))
    };
    let mut text = heads("quantity_white,quantity_blue");
    text += &line("0,0".into(), &paper().reflectance);
    let amounts = [0.5, 1.0, 2.0].into_iter().flat_map(|w| [0.25, 0.5, 1.0].map(|b| (w, b)));
    for (white, blue) in amounts.chain([(1.0, 0.0), (4.0, 0.0), (0.0, 0.5), (0.0, 2.0)]) {
        let amounts: Vec<(usize, f64)> =
            [(0, white), (3, blue)].into_iter().filter(|a| a.1 > 0.0).collect();
        text += &line(format!("{white},{blue}"), &truth(&amounts));
    }
    let set = SampleSet::of_table(&read(&text), &[]).unwrap();
    assert_eq!((set.samples.len(), set.substrates.len()), (13, 1), "paper apart");
    let found = fit(&set, &careful(0.004)).unwrap();
    // A table of wishes has neither bands nor a substrate: those of the fit serve.
    let wishes = read("quantity_blue,quantity_white\n0.5,1.5\n");
    let wishes = SampleSet::of_table(&wishes, &found.substrates()).unwrap();
    let predicted = &predict(&found, &wishes).unwrap()[0];
    let true_one = truth(&[(0, 1.5), (3, 0.5)]);
    for band in (2..34).step_by(4) {
        let off = (predicted.reflectance[band] - true_one[band]).abs();
        assert!(off < 0.03, "at {} nm off by {off}", wavelength_nm(band));
    }
    let green = read("quantity_green\n1\n");
    let green = SampleSet::of_table(&green, &found.substrates()).unwrap();
    assert_eq!(
        predict(&found, &green).unwrap_err(),
        JointError::PigmentUnknown("green".into()),
        "never fitted"
    );
    let lost = SampleSet::of_table(&wishes_without_ground(&read), &[]).unwrap_err().to_string();
    assert!(lost.contains("no reading of a bare substrate"), "{lost}");
}

fn wishes_without_ground(read: &impl Fn(&str) -> amounts::RawAmounts) -> amounts::RawAmounts {
    read("quantity_blue,quantity_white\n0.5,1.5\n")
}
