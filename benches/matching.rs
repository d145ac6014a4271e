//! Matches over all subsets of a shelf, under three lamps.

#![allow(clippy::unwrap_used, missing_docs, reason = "a measurement, not a part of the house")]

use std::collections::BTreeMap;

use pourbook::colour::Lab;
use pourbook::matching::{Ask, Looking, Rank, Target, find};
use pourbook::model::{
    Carrier, Ceilings, Clear, Colorant, ColorantParts, Finish, House, Kind, MixRatio, Optics,
    PotLife, Standing, System, SystemParts,
};
use pourbook::optics::Ks;
use pourbook::plan::Limits;
use pourbook::quantity::{Density, Fraction, Length, Mass, Temperature, TimeSpan};
use pourbook::spectrum::{Illuminant, Observer, Spectrum};

fn main() {
    divan::main();
}

fn system() -> System {
    System::new(SystemParts {
        name: "flood".into(),
        ratio: MixRatio::Volume { a: 2.0, b: 1.0 },
        density_a: Density::from_g_per_ml(1.15),
        density_b: Density::from_g_per_ml(0.97),
        clear: Clear {
            refractive_index: 1.55,
            absorption_per_mm: Spectrum::flat(0.002),
            standing: Standing::Demo,
        },
        film_min: Length::from_mm(1.0),
        film_max: Length::from_mm(6.0),
        pot_life: PotLife {
            time: TimeSpan::from_min(40.0),
            mass: Mass::from_g(150.0),
            temperature: Temperature::from_c(25.0),
        },
        lowest_temperature: None,
        recoat: None,
        ceilings: Ceilings {
            colorant: Fraction::from_percent(8.0),
            solvent: Fraction::from_percent(2.0),
            standing: Standing::Demo,
        },
        stoichiometry: None,
        packages: Vec::new(),
        standing: Standing::Demo,
    })
    .unwrap()
}

/// A white, a black, and absorption bells all around the spectrum.
fn shelf(count: u32) -> Vec<Colorant> {
    (0..count)
        .map(|at| {
            let centre = 380.0 + 330.0 * f64::from(at) / f64::from(count);
            let (k, s) = match at {
                0 => (Spectrum::flat(0.05), 85.0),
                1 => (Spectrum::flat(600.0), 8.0),
                _ => {
                    let bell = Spectrum::of_wavelength(|nm| {
                        let x = (nm - centre) / (35.0 + 5.0 * f64::from(at % 5));
                        0.05 + f64::from(80 + 60 * (at % 6)) * libm::exp(-x * x)
                    });
                    (bell, f64::from(4 + 7 * (at % 5)))
                }
            };
            let s = Spectrum::of_wavelength(|nm| s * 550.0 / nm);
            Colorant::new(ColorantParts {
                name: format!("paste {at:02}"),
                kind: Kind::Paste,
                finish: Finish::Plain,
                pigments: Vec::new(),
                density: Density::from_g_per_ml(1.6),
                solids: Fraction::new(1.0),
                carrier: Carrier::None,
                ceiling: Fraction::new(if at % 3 == 0 { 0.06 } else { 0.03 }),
                ceiling_standing: Standing::Demo,
                optics: Some(Optics { unit: Ks { k, s }, standing: Standing::Demo }),
                lot: None,
                packages: Vec::new(),
                hazards: Vec::new(),
                standing: Standing::Demo,
            })
            .unwrap()
        })
        .collect()
}

fn matched(shelf: &[Colorant], most: usize, lab: Lab) -> f64 {
    let system = system();
    let house = House::default();
    let answer = find(&Ask {
        limits: Limits { system: &system, off_ratio: 0.05, raised: &[] },
        house: &house,
        shelf: shelf.iter().collect(),
        beyond: Vec::new(),
        must: Vec::new(),
        never: Vec::new(),
        stock: BTreeMap::new(),
        most,
        target: Target::Lab { lab, lamp: Illuminant::D65, observer: Observer::Cie1931_2deg },
        looking: Looking {
            film: Length::from_mm(3.0),
            primer: Spectrum::flat(0.8),
            lamps: vec![(Illuminant::D65, 1.0), (Illuminant::A, 0.3), (Illuminant::F11, 0.3)],
            observer: Observer::Cie1931_2deg,
        },
        batch: None,
        alternatives: 5,
        rank: Rank::Colour,
        show_through: false,
    })
    .unwrap();
    answer.candidates[0].error
}

/// In reach, at its edge, out of reach.
const TARGETS: [Lab; 3] =
    [Lab::new(52.0, -8.0, -12.0), Lab::new(35.0, 40.0, 15.0), Lab::new(70.0, 60.0, 80.0)];

#[divan::bench(args = [0, 1, 2], sample_count = 20)]
fn up_to_3_of_16(bencher: divan::Bencher<'_, '_>, target: usize) {
    let shelf = shelf(16);
    bencher.bench_local(|| matched(&shelf, 3, TARGETS[target]));
}

#[divan::bench(args = [0, 1, 2], sample_count = 5)]
fn up_to_4_of_24(bencher: divan::Bencher<'_, '_>, target: usize) {
    let shelf = shelf(24);
    bencher.bench_local(|| matched(&shelf, 4, TARGETS[target]));
}
