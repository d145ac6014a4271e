//! What leaves a tilted container when.

use super::series::exp;

/// How finely the pour is followed: steps over the whole of it.
const STEPS: usize = 240;

/// The volume of each layer that leaves in each of `parts` equal parts of the pour.
///
/// `layers` are volumes from the bottom of the container to the top, any unit; `reach` δ is how deep the lip
/// draws, as a fraction of the whole volume. At each moment the lip draws from depth z below the surface with
/// weight exp(−z/(δV₀)): as δ → 0 the layers leave strictly top first, for large δ all leave together. Layers
/// keep their order while they leave.
///
/// The answer has one row a part, one column a layer in the order given. Each part sums to the same volume and
/// each layer to what was given, to rounding: the last part takes what is left. Layers that are not positive and
/// finite count as empty. The form of the weight is common practice in stratified withdrawal, no source; δ
/// between 0.05 and 0.6 spans what pourers describe.
///
/// ```
/// let parts = pourbook::flow::draw_off(&[50.0, 50.0], 0.01, 2);
/// assert!(parts[0][1] > 49.0 && parts[1][0] > 49.0); // the upper layer first
/// ```
#[must_use]
pub fn draw_off(layers: &[f64], reach: f64, parts: usize) -> Vec<Vec<f64>> {
    let clean: Vec<f64> =
        layers.iter().map(|v| if v.is_finite() && *v > 0.0 { *v } else { 0.0 }).collect();
    let total: f64 = clean.iter().sum();
    let parts = parts.max(1);
    let mut out = vec![vec![0.0; clean.len()]; parts];
    if total <= 0.0 {
        return out;
    }
    let scale = total * reach.clamp(1e-3, 1e3);
    let steps_per_part = STEPS.div_ceil(parts);
    #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
    let step_volume = total / (steps_per_part * parts) as f64;
    let mut left = clean.clone();
    for row in &mut out {
        for _ in 0..steps_per_part {
            let taken = draw_once(&left, step_volume, scale);
            for ((cell, rest), take) in row.iter_mut().zip(&mut left).zip(taken) {
                *cell += take;
                *rest -= take;
            }
        }
    }
    // Rounding leaves a trace; it goes out last.
    for (index, rest) in left.iter().enumerate() {
        if let Some(cell) = out.last_mut().and_then(|row| row.get_mut(index)) {
            *cell += rest;
        }
    }
    out
}

/// One small draw of `volume` from what is left, bottom to top.
fn draw_once(left: &[f64], volume: f64, scale: f64) -> Vec<f64> {
    let mut taken = vec![0.0; left.len()];
    let mut wanted = volume;
    // A layer may hold less than its weight asks; what is missing is asked of the others again.
    for _ in 0..left.len() {
        let mut depth = 0.0;
        let mut weights = vec![0.0; left.len()];
        for (index, held) in left.iter().enumerate().rev() {
            let rest = (held - taken.get(index).copied().unwrap_or(0.0)).max(0.0);
            let thick = rest / scale;
            // ∫ exp(−z) dz over the layer; for a thin one the thickness itself.
            let integral = if thick < 1e-9 { thick } else { 1.0 - exp(-thick) };
            if let Some(weight) = weights.get_mut(index) {
                *weight = exp(-depth) * integral;
            }
            depth += thick;
        }
        let sum: f64 = weights.iter().sum();
        if sum <= 0.0 || wanted <= volume * 1e-12 {
            break;
        }
        let mut given = 0.0;
        for ((take, weight), held) in taken.iter_mut().zip(&weights).zip(left) {
            let share = (wanted * weight / sum).min(held - *take).max(0.0);
            *take += share;
            given += share;
        }
        wanted -= given;
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn every_layer_leaves_whole(
            layers in prop::collection::vec(0.0_f64..500.0, 1..8), reach in 0.01_f64..5.0, parts in 1_usize..9
        ) {
            let out = draw_off(&layers, reach, parts);
            let total: f64 = layers.iter().sum();
            for (index, volume) in layers.iter().enumerate() {
                let sum: f64 = out.iter().map(|row| row[index]).sum();
                prop_assert!((sum - volume).abs() <= 1e-9 * total.max(1.0), "layer {} of {}", sum, volume);
            }
            for row in &out {
                let sum: f64 = row.iter().sum();
                prop_assert!((sum * parts as f64 - total).abs() <= 1e-6 * total.max(1.0), "equal parts");
                prop_assert!(row.iter().all(|v| *v >= -1e-12), "nothing flows back");
            }
        }
    }

    #[test]
    fn a_small_reach_is_top_first_and_a_large_one_all_together() {
        let strict = draw_off(&[30.0, 40.0, 30.0], 0.005, 10);
        assert!(strict[0][2] > 9.9 && strict[9][0] > 9.9, "{strict:?}");
        let blended = draw_off(&[30.0, 40.0, 30.0], 500.0, 10);
        for row in blended {
            assert!((row[0] - 3.0).abs() < 0.05 && (row[2] - 3.0).abs() < 0.05, "{row:?}");
        }
    }

    #[test]
    fn junk_is_empty() {
        assert_eq!(draw_off(&[f64::NAN, -1.0], 0.1, 2), vec![vec![0.0, 0.0]; 2], "nothing to draw");
        assert!(draw_off(&[], 0.1, 1)[0].is_empty(), "no layers, no columns");
    }
}
