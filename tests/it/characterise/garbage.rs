//! Whatever is read, a characterisation answers or refuses; it never panics nor gives a number that
//! is none.

use pourbook::characterise::{
    Conditions, Drawdown, Film, Noise, Presumption, Reading, characterise,
};
use pourbook::optics::{Geometry, Ks, Surface};
use pourbook::spectrum::Spectrum;
use proptest::prelude::*;

fn value() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..=1.0_f64,
        1 => Just(0.0),
        1 => Just(1.0),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(-1.0), Just(1e300), Just(57.0)],
    ]
}

fn drawdown() -> impl Strategy<Value = Drawdown> {
    let geometry = prop_oneof![
        Just(Geometry::SpecularIncluded),
        Just(Geometry::SpecularExcluded),
        Just(Geometry::Unknown)
    ];
    let reading =
        (value(), value(), value(), geometry).prop_map(|(ground, low, high, geometry)| Reading {
            ground: Spectrum::flat(ground),
            seen: Spectrum::of_wavelength(|nm| if nm < 550.0 { low } else { high }),
            geometry,
        });
    let film_mm = prop_oneof![1e-3..5.0_f64, Just(f64::INFINITY), Just(0.0), Just(1e9)];
    (prop::collection::vec(reading, 0..3), film_mm, prop_oneof![1e-6..2.0_f64, Just(0.0)]).prop_map(
        |(readings, film_mm, sought_g_per_ml)| Drawdown {
            film: Film {
                sought_g_per_ml,
                others_g_per_ml: Vec::new(),
                resin_volume_fraction: 0.95,
                film_mm,
            },
            readings,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn an_answer_is_made_of_numbers(set in prop::collection::vec(drawdown(), 0..3)) {
        let conditions = Conditions {
            surface: Surface::of_index(1.53),
            binder: Ks::CLEAR,
            noise: Noise::SPECTROPHOTOMETER,
        };
        if let Ok((_, found)) = characterise(&set, &[], &conditions, &Presumption::PASTE, true) {
            for (x, interval) in found.unit.k.iter().zip(&found.k_interval)
                .chain(found.unit.s.iter().zip(&found.s_interval))
            {
                prop_assert!(x.is_finite() && *x >= 0.0, "{}", x);
                prop_assert!(interval.low <= *x * (1.0 + 1e-9) && interval.high >= *x * (1.0 - 1e-9),
                    "{} in {:?}", x, interval);
            }
            prop_assert!(found.rms_root.is_finite(), "{}", found.rms_root);
        }
    }
}
