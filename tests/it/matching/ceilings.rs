//! No recipe breaks a ceiling, by the plan's own check.

use pourbook::matching::{Ask, Target, find};
use pourbook::model::{Carrier, Colorant, ColorantParts, Lot, Override, Raised};
use pourbook::plan::{Dosed, Limits};
use pourbook::quantity::{Fraction, Mass};
use pourbook::spectrum::Spectrum;
use proptest::prelude::*;

use super::finding::ask;
use super::shelf;

/// Carriers of every kind, in turn.
fn mixed_shelf(strengths: &[f64]) -> Vec<Colorant> {
    let carriers = [
        Carrier::Epoxy { eew_g_per_eq: 190.0 },
        Carrier::Solvent,
        Carrier::NonReactive,
        Carrier::None,
    ];
    strengths
        .iter()
        .enumerate()
        .map(|(row, strength)| {
            let carrier = carriers[row % carriers.len()];
            let solids = if carrier == Carrier::None { 1.0 } else { 0.4 };
            let plain = shelf::colorant(row, carrier, solids);
            let lot = Some(Lot { name: "L".into(), strength: Fraction::new(*strength) });
            Colorant::new(ColorantParts { lot, ..ColorantParts::clone(&plain) }).unwrap()
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_recipe_breaks_a_ceiling(
        strengths in prop::collection::vec(0.8..1.25_f64, 4),
        level in 0.02..0.95_f64, tilt in -0.4..0.4_f64, bend in -0.3..0.3_f64,
        off_ratio in 0.001..0.05_f64,
        all in 0.002..0.08_f64,
        batch in prop::option::of(50.0..4000.0_f64),
    ) {
        let (system, house) = (shelf::system_with_weights(), shelf::house());
        let shelf = mixed_shelf(&strengths);
        let raised = [Override {
            ceiling: Raised::AllColorants,
            to: Fraction::new(all),
            reason: "a test".into(),
        }];
        let limits = Limits { off_ratio, raised: &raised, system: &system };
        let target = Spectrum::of_wavelength(|nm| {
            let x = (nm - 555.0) / 175.0;
            (level + tilt * x + bend * x * x).clamp(0.005, 0.99)
        });
        let batch = batch.map(Mass::from_g);
        let choice = shelf.iter().collect();
        let answer =
            find(&Ask { batch, ..ask(limits, &house, choice, Target::Reflectance(target)) }).unwrap();
        prop_assert!(!answer.candidates.is_empty());
        for candidate in &answer.candidates {
            let mix: Vec<Dosed<'_>> = candidate
                .doses
                .iter()
                .map(|dose| Dosed {
                    colorant: shelf.iter().find(|c| c.name == dose.colorant).unwrap(),
                    loading: dose.weighed_loading,
                })
                .collect();
            for standing in limits.standings(&mix) {
                prop_assert!(!standing.exceeded(), "{:?} of {:?}", standing, candidate.doses);
            }
            if let Some(weighed) = &candidate.weighed {
                for dose in &weighed.doses {
                    let steps = dose.mass.g() / dose.by.step.g();
                    prop_assert!((steps - steps.round()).abs() < 1e-6, "{:?}", dose);
                }
            }
        }
    }
}

proptest! {
    #[test]
    fn inequalities_hold_exactly_where_no_ceiling_is_exceeded(
        loadings in prop::collection::vec(0.0..0.06_f64, 4),
        off_ratio in 0.001..0.05_f64,
        raise in prop::option::of(0.01..0.1_f64),
    ) {
        let system = shelf::system_with_weights();
        let shelf = mixed_shelf(&[1.0; 4]);
        let raised: Vec<Override> = raise
            .map(|to| Override {
                ceiling: Raised::Colorant(shelf[0].name.clone()),
                to: Fraction::new(to),
                reason: "a test".into(),
            })
            .into_iter()
            .collect();
        let limits = Limits { off_ratio, raised: &raised, system: &system };
        let colorants: Vec<&Colorant> = shelf.iter().collect();
        let mix: Vec<Dosed<'_>> = colorants
            .iter()
            .zip(&loadings)
            .map(|(colorant, loading)| Dosed { colorant, loading: *loading })
            .collect();
        let standings = limits.standings(&mix);
        for row in limits.inequalities(&colorants) {
            let sum: f64 = row.per_loading.iter().zip(&loadings).map(|(a, l)| a * l).sum();
            let standing = standings.iter().find(|s| s.route == row.route).unwrap();
            prop_assume!((sum / row.most - 1.0).abs() > 1e-6);
            prop_assert_eq!(sum > row.most, standing.exceeded(), "{:?} {:?}", row, standing);
        }
    }
}
