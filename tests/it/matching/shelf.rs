//! An invented shelf and resin system, the same as in tests/fixtures/matching/*.py.

use pourbook::model::{
    Carrier, Ceilings, Clear, Colorant, ColorantParts, Finish, House, HouseParts, Kind, MixRatio,
    Optics, PotLife, Scale, Standing, Stoichiometry, System, SystemParts,
};
use pourbook::optics::Ks;
use pourbook::plan::Limits;
use pourbook::quantity::{Density, Fraction, Length, Mass, Temperature, TimeSpan};
use pourbook::spectrum::Spectrum;

/// Name, ceiling, density, absorption bells (height, centre, width), scattering at 550 nm, its power.
type Row = (&'static str, f64, f64, &'static [(f64, f64, f64)], f64, f64);

const SHELF: [Row; 8] = [
    ("white", 0.06, 2.0, &[(60.0, 380.0, 18.0)], 85.0, -1.0),
    ("black", 0.02, 1.2, &[(600.0, 550.0, 900.0)], 8.0, -1.0),
    ("red", 0.06, 1.9, &[(160.0, 470.0, 60.0)], 30.0, 0.5),
    ("yellow", 0.06, 1.6, &[(90.0, 400.0, 45.0)], 25.0, -0.5),
    ("blue", 0.02, 1.2, &[(500.0, 640.0, 55.0), (60.0, 400.0, 20.0)], 6.0, -2.0),
    ("green", 0.02, 1.2, &[(350.0, 430.0, 35.0), (400.0, 660.0, 45.0)], 5.0, -2.0),
    ("violet", 0.02, 1.2, &[(420.0, 550.0, 40.0)], 6.0, -1.5),
    ("umber", 0.06, 1.8, &[(140.0, 380.0, 140.0)], 12.0, -1.0),
];

pub(super) fn system() -> System {
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

/// The same with equivalent weights, so that the off-ratio ceiling counts.
pub(super) fn system_with_weights() -> System {
    let plain = system();
    let stoichiometry = Some(Stoichiometry { eew_g_per_eq: 190.0, ahew_g_per_eq: 67.0 });
    System::new(SystemParts { stoichiometry, ..SystemParts::clone(&plain) }).unwrap()
}

pub(super) fn colorant(row: usize, carrier: Carrier, solids: f64) -> Colorant {
    let (name, ceiling, density, bells, s, power) = SHELF[row % SHELF.len()];
    let k = Spectrum::of_wavelength(|nm| {
        0.05 + bells
            .iter()
            .map(|(h, c, w)| h * libm::exp(-((nm - c) / w) * ((nm - c) / w)))
            .sum::<f64>()
    });
    let s = Spectrum::of_wavelength(|nm| s * libm::pow(nm / 550.0, power));
    Colorant::new(ColorantParts {
        name: name.into(),
        kind: Kind::Paste,
        finish: Finish::Plain,
        pigments: Vec::new(),
        density: Density::from_g_per_ml(density),
        solids: Fraction::new(solids),
        carrier,
        ceiling: Fraction::new(ceiling),
        ceiling_standing: Standing::Demo,
        optics: Some(Optics { unit: Ks { k, s }, standing: Standing::Demo }),
        lot: None,
        packages: Vec::new(),
        hazards: Vec::new(),
        standing: Standing::Demo,
    })
    .unwrap()
}

pub(super) fn shelf() -> Vec<Colorant> {
    (0..SHELF.len()).map(|row| colorant(row, Carrier::None, 1.0)).collect()
}

pub(super) fn limits(system: &System) -> Limits<'_> {
    Limits { system, off_ratio: 0.05, raised: &[] }
}

/// A bench with a scale to 0.01 g.
pub(super) fn house() -> House {
    let scale = |name: &str, step: f64, capacity: f64| Scale {
        name: name.into(),
        readability: Mass::from_g(step),
        capacity: Mass::from_g(capacity),
    };
    House::new(HouseParts {
        scales: vec![
            scale("bench", 1.0, 15_000.0),
            scale("small", 0.1, 2000.0),
            scale("pocket", 0.01, 200.0),
        ],
        ..HouseParts::default()
    })
    .unwrap()
}
