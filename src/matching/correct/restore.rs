//! Back to a recipe exactly: the arithmetic of an overdose.

/// How a mix is brought back to a recipe by additions alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Restored {
    /// How many times the recipe the mix becomes: S = max(mᵢ/xᵢ).
    pub size: f64,
    /// What is added of each part: S·xᵢ − mᵢ, at least 0.
    pub additions: Vec<f64>,
}

impl Restored {
    /// All that is added.
    #[must_use]
    pub fn added(&self) -> f64 {
        self.additions.iter().sum()
    }
}

/// The least additions that give a mix of `held` parts the proportions of `recipe` exactly: the part
/// that is most overdosed sets the size S = max(mᵢ/xᵢ), every other part is filled up to it (the
/// arithmetic in common use for batch corrections). `None` where the mix holds something that the
/// recipe does not, or the recipe is nothing.
///
/// ```
/// use pourbook::matching::restore;
/// let back = restore(&[100.0, 50.0, 6.0, 0.3], &[400.0, 200.0, 27.0, 1.2]).unwrap();
/// assert!((back.size - 4.5).abs() < 1e-12 && (back.additions[0] - 50.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn restore(recipe: &[f64], held: &[f64]) -> Option<Restored> {
    if recipe.len() != held.len() {
        return None;
    }
    let mut size = 0.0_f64;
    for (part, mass) in recipe.iter().zip(held) {
        let sound = part.is_finite() && mass.is_finite() && *part >= 0.0 && *mass >= 0.0;
        if !sound || (*part <= 0.0 && *mass > 0.0) {
            return None;
        }
        if *part > 0.0 {
            size = size.max(mass / part);
        }
    }
    let additions =
        recipe.iter().zip(held).map(|(part, mass)| (size * part - mass).max(0.0)).collect();
    (size > 0.0).then_some(Restored { size, additions })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_published_examples() {
        // Recipe 100/50/6/0.3, in the vessel 400/200/27/1.2.
        let back = restore(&[100.0, 50.0, 6.0, 0.3], &[400.0, 200.0, 27.0, 1.2]).unwrap();
        assert!((back.size - 4.5).abs() < 1e-12, "{back:?}");
        for (got, want) in back.additions.iter().zip([50.0, 25.0, 0.0, 0.15]) {
            assert!((got - want).abs() < 1e-9, "{back:?}");
        }
        let total = 400.0 + 200.0 + 27.0 + 1.2 + back.added();
        assert!((total - 703.35).abs() < 1e-9, "{total}");
        // A:B 500/262 on 100:50: 24 g of A.
        let ratio = restore(&[100.0, 50.0], &[500.0, 262.0]).unwrap();
        assert!((ratio.additions[0] - 24.0).abs() < 1e-9 && ratio.additions[1] == 0.0, "{ratio:?}");
    }

    #[test]
    fn what_cannot_be_brought_back() {
        assert_eq!(restore(&[100.0, 0.0], &[50.0, 1.0]), None, "something foreign");
        assert_eq!(restore(&[100.0], &[50.0, 1.0]), None, "lengths differ");
        assert_eq!(restore(&[f64::NAN], &[50.0]), None, "no number");
        assert_eq!(restore(&[1.0, 1.0], &[0.0, 0.0]), None, "nothing held");
    }

    proptest! {
        #[test]
        fn proportions_are_exact_and_no_less_would_do(
            recipe in prop::collection::vec(0.01..100.0_f64, 2..6),
            shares in prop::collection::vec(0.0..5.0_f64, 6),
        ) {
            let held: Vec<f64> = recipe.iter().zip(&shares).map(|(x, s)| x * s).collect();
            prop_assume!(held.iter().any(|m| *m > 0.0));
            let back = restore(&recipe, &held).unwrap();
            for ((x, m), a) in recipe.iter().zip(&held).zip(&back.additions) {
                prop_assert!(((m + a) / x - back.size).abs() < 1e-9 * back.size);
            }
            // The most overdosed part gets nothing, so a smaller size would take something out.
            prop_assert!(back.additions.iter().any(|a| *a < 1e-9 * back.size * 100.0));
        }
    }
}
