//! How far a fit carries: mixtures held out together by what is in them, predicted from the rest.

use super::answer::{Spread, fit, predict};
use super::options::Options;
use super::sample::{JointError, Sample, SampleSet};

/// What a cross-validation found.
#[derive(Debug, Clone, PartialEq)]
pub struct CrossValidation {
    /// Kinds of mixture: each the pigments that are in it, by index.
    pub groups: usize,
    /// ΔE00 of every mixture when its kind was held out: index of the sample, value.
    pub held_out: Vec<(usize, f64)>,
    /// All of them in three numbers.
    pub spread: Spread,
}

/// Predicts every mixture from a fit that saw no mixture of the same pigments.
///
/// Samples of one pigment are always fitted. Mixtures are grouped by which pigments they hold, all
/// amounts of a group held out together; the groups are dealt to the folds in an order that `seed`
/// shuffles.
///
/// # Errors
/// [`JointError`]: fewer groups than folds, or a fit that fails, as when all mixtures of a pigment
/// fall into one fold and it has no samples of its own.
pub fn cross_validate(
    set: &SampleSet,
    folds: usize,
    seed: u64,
    options: &Options,
) -> Result<CrossValidation, JointError> {
    let kind = |sample: &Sample| {
        let mut pigments: Vec<usize> = sample.amounts.iter().map(|(pigment, _)| *pigment).collect();
        pigments.sort_unstable();
        pigments
    };
    let mixture = |sample: &Sample| sample.amounts.len() > 1 && sample.reading.is_some();
    let mut groups: Vec<Vec<usize>> =
        set.samples.iter().filter(|sample| mixture(sample)).map(kind).collect();
    groups.sort();
    groups.dedup();
    if folds < 2 || groups.len() < folds {
        return Err(JointError::TooFewGroups { groups: groups.len(), folds });
    }
    shuffle(&mut groups, seed);
    let mut held_out = Vec::new();
    for fold in 0..folds {
        let held: Vec<&Vec<usize>> = groups.iter().skip(fold).step_by(folds).collect();
        let is_held = |sample: &Sample| mixture(sample) && held.contains(&&kind(sample));
        let part = |wanted: bool| -> (Vec<usize>, SampleSet) {
            let chosen =
                set.samples.iter().enumerate().filter(|(_, sample)| is_held(sample) == wanted);
            let (places, samples) = chosen.map(|(at, sample)| (at, sample.clone())).unzip();
            (places, SampleSet { samples, ..set.clone() })
        };
        let (_, train) = part(false);
        let (places, test) = part(true);
        let predicted = predict(&fit(&train, options)?, &test)?;
        held_out.extend(
            places.into_iter().zip(predicted).filter_map(|(at, p)| Some((at, p.delta_e_2000?))),
        );
    }
    held_out.sort_by_key(|(at, _)| *at);
    let values: Vec<f64> = held_out.iter().map(|(_, value)| *value).collect();
    let spread = Spread::of(&values).ok_or(JointError::NothingToFit)?;
    Ok(CrossValidation { groups: groups.len(), held_out, spread })
}

/// Fisher–Yates with a `SplitMix64` stream (Steele, Lea, Flood, OOPSLA 2014): the same order of the
/// same seed on every machine.
fn shuffle<T>(items: &mut [T], seed: u64) {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    };
    for last in (1..items.len()).rev() {
        let among = last as u64 + 1;
        let chosen = usize::try_from(next() % among).unwrap_or(0);
        items.swap(last, chosen);
    }
}
