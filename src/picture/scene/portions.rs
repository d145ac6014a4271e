//! What one pass of a container lays, strand by strand: when each layer leaves, what folds into what.

use super::input::{Container, Role};
use super::palette::one_hot;
use super::section::CELLS;
use crate::flow::{Random, draw_off};

/// Most of the thinner of two neighbouring bases that folds into the other.
const FOLD: f64 = 0.2;
/// A layer that gives less than this share of itself to a pass waits for the next.
const TRACE: f64 = 0.02;

/// One layer's part in one pass, or what two of them mixed to.
#[derive(Debug, Clone)]
pub(super) struct Portion {
    /// Number of the layer's colour.
    pub(super) colour: usize,
    /// What it is made of.
    pub(super) shares: Vec<f64>,
    pub(super) volume_ml: f64,
    pub(super) role: Role,
    /// Whether it floats crisp: an accent that has fluid below it.
    pub(super) floats: bool,
    /// How far up in the container, 0 bottom to 1 top.
    pub(super) height: f64,
    /// How much of it leaves at each of [`CELLS`] + 1 moments of the pass, on any scale.
    pub(super) leaving: Vec<f64>,
}

/// The portions of each of `passes` equal parts of a container's pour, upper layers first; what a pass has nothing of
/// is left out. Over all passes each layer leaves whole.
pub(super) fn portions(
    container: &Container,
    passes: usize,
    reach: f64,
    colours: usize,
    random: &mut Random,
) -> Vec<Vec<Portion>> {
    let volumes: Vec<f64> = container.layers.iter().map(|l| l.volume_ml).collect();
    let moments = draw_off(&volumes, reach, passes * CELLS);
    let mut held = vec![0.0; volumes.len()];
    let mut all = Vec::with_capacity(passes);
    for pass in 0..passes {
        let (from, last) = (pass * CELLS, pass + 1 == passes);
        let mut laid = Vec::new();
        for (level, layer) in container.layers.iter().enumerate() {
            let at = |moment: usize| {
                moments.get(moment).and_then(|row| row.get(level)).copied().unwrap_or(0.0)
            };
            let Some(hold) = held.get_mut(level) else { continue };
            *hold += (from..from + CELLS).map(at).sum::<f64>();
            if !last && *hold <= TRACE * layer.volume_ml || *hold <= 0.0 {
                continue;
            }
            let leaving = (0..=CELLS)
                .map(|k| 0.5 * (at(from + k.saturating_sub(1)) + at(from + k.min(CELLS - 1))))
                .collect();
            #[expect(clippy::cast_precision_loss, reason = "a few layers")]
            let height = (level as f64 + 0.5) / container.layers.len() as f64;
            laid.push(Portion {
                colour: layer.colour,
                shares: one_hot(layer.colour, colours),
                volume_ml: core::mem::take(hold),
                role: layer.role,
                floats: layer.role == Role::Accent && level > 0,
                height,
                leaving,
            });
        }
        fold_bases(&mut laid, random);
        sink_accents(&mut laid);
        laid.retain(|p| p.volume_ml > 0.0);
        laid.reverse();
        all.push(laid);
    }
    all
}

/// Neighbouring bases fold into one another in the container, differently from pass to pass: each takes as much
/// as it gives.
fn fold_bases(portions: &mut [Portion], random: &mut Random) {
    let bases: Vec<usize> = portions
        .iter()
        .enumerate()
        .filter(|(_, p)| p.role == Role::Base)
        .map(|(index, _)| index)
        .collect();
    for pair in bases.windows(2) {
        let &[low, high] = pair else { continue };
        let (Some(a), Some(b)) = (portions.get(low).cloned(), portions.get(high).cloned()) else {
            continue;
        };
        let part = random.unit();
        let swapped = FOLD * part * part * a.volume_ml.min(b.volume_ml);
        for (index, own, other) in [(low, &a, &b), (high, &b, &a)] {
            let Some(portion) = portions.get_mut(index) else { continue };
            let taken = swapped / own.volume_ml;
            for (share, (o, n)) in
                portion.shares.iter_mut().zip(own.shares.iter().zip(&other.shares))
            {
                *share = o * (1.0 - taken) + n * taken;
            }
        }
    }
}

/// An accent at the bottom comes up last, through the base above it: it takes some of that base along.
fn sink_accents(portions: &mut [Portion]) {
    for index in 0..portions.len() {
        let Some(accent) = portions.get(index).cloned() else { continue };
        if accent.role != Role::Accent || accent.floats {
            continue;
        }
        let above = portions.iter_mut().skip(index + 1);
        let Some(over) = above.into_iter().find(|p| p.role == Role::Base) else { continue };
        let taken = (0.7 * accent.volume_ml).min(0.3 * over.volume_ml);
        let sum = accent.volume_ml + taken;
        let shares = accent
            .shares
            .iter()
            .zip(&over.shares)
            .map(|(a, b)| (a * accent.volume_ml + b * taken) / sum)
            .collect();
        over.volume_ml -= taken;
        if let Some(slot) = portions.get_mut(index) {
            *slot = Portion { shares, volume_ml: sum, ..accent };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::input::Layer;
    use super::*;

    #[test]
    fn every_colour_leaves_whole() {
        let layers = [
            (0, 1.2, Role::Accent),
            (1, 40.0, Role::Base),
            (2, 0.8, Role::Accent),
            (3, 25.0, Role::Base),
            (4, 31.0, Role::Base),
        ]
        .map(|(colour, volume_ml, role)| Layer { colour, volume_ml, role });
        let container = Container { layers: layers.to_vec() };
        for (seed, reach) in [(1, 0.02), (2, 0.3), (3, 2.0)] {
            let mut random = Random::new(seed);
            let all = portions(&container, 4, reach, 5, &mut random);
            let mut sums = [0.0; 5];
            for portion in all.iter().flatten() {
                assert_eq!(portion.leaving.len(), CELLS + 1, "a value a moment");
                for (sum, share) in sums.iter_mut().zip(&portion.shares) {
                    *sum += share * portion.volume_ml;
                }
            }
            for layer in &layers {
                let sum = sums[layer.colour];
                assert!((sum - layer.volume_ml).abs() < 1e-9, "{sum} of {}", layer.volume_ml);
            }
        }
    }
}
