//! Whole containers' worth shared out over the mixes of a base, so that no container waits for two of them.

use crate::quantity::Mass;

/// How much larger than need be the largest mix may be where that shares containers out by number.
const EVEN_BY_NUMBER: f64 = 1.05;

/// Whole takes, in order, shared out over mixes that fit, `most` mixes at most: as many takes from each
/// mix where its largest is then hardly larger than need be, else as even by mass as can be. `None` where
/// so few do not hold them.
pub(super) fn whole_takes(
    takes: &[Mass],
    most: usize,
    fits: impl Fn(Mass) -> bool,
) -> Option<Vec<Mass>> {
    if takes.is_empty() || takes.iter().any(|take| !fits(*take)) {
        return None;
    }
    // The most that fits, sought for once: all sums are compared with it.
    let whole: Mass = takes.iter().copied().sum();
    let room = if fits(whole) {
        whole
    } else {
        let (mut low, mut high) = (0.0, whole.g());
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if fits(Mass::from_g(middle)) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Mass::from_g(low)
    };
    let number = runs_within(takes, room).len();
    if number > most {
        return None;
    }
    let largest = |outs: &[Mass]| outs.iter().copied().fold(Mass::ZERO, Mass::greater);
    // The smallest room in which so many mixes hold them all.
    let (mut low, mut high) = (largest(takes).g(), room.g());
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if runs_within(takes, Mass::from_g(middle)).len() <= number {
            high = middle;
        } else {
            low = middle;
        }
    }
    let by_mass = runs_within(takes, Mass::from_g(high));
    let by_number: Vec<Mass> = (0..number)
        .map(|mix| {
            let from = |mix: usize| (mix * takes.len()).div_ceil(number);
            takes[from(mix)..from(mix + 1)].iter().copied().sum()
        })
        .collect();
    let most_of_one = largest(&by_number);
    let even = most_of_one <= room && most_of_one <= largest(&by_mass) * EVEN_BY_NUMBER;
    Some(if even { by_number } else { by_mass })
}

/// Takes in order, each run of them as long as `room` holds.
fn runs_within(takes: &[Mass], room: Mass) -> Vec<Mass> {
    let mut runs: Vec<Mass> = Vec::new();
    for take in takes {
        match runs.last_mut() {
            Some(run) if *run + *take <= room * (1.0 + 1e-12) => *run += *take,
            _ => runs.push(*take),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn grams(all: &[f64]) -> Vec<Mass> {
        all.iter().map(|g| Mass::from_g(*g)).collect()
    }

    fn of(takes: &[f64], most: usize, room: f64) -> Option<Vec<f64>> {
        let outs = whole_takes(&grams(takes), most, |mass| mass.g() <= room)?;
        Some(outs.into_iter().map(Mass::g).collect())
    }

    #[test]
    fn whole_containers_come_from_one_mix() {
        // Nine containers of 100 g in mixes of 460 g at most: equal mixes of 450 g would cut the fifth.
        assert_eq!(of(&[100.0; 9], 3, 460.0), Some(vec![300.0; 3]));
        assert_eq!(of(&[100.0; 9], 2, 460.0), None, "two mixes do not hold them whole");
        assert_eq!(of(&[100.0; 9], 2, 500.0), Some(vec![500.0, 400.0]));
        // By mass where containers differ much.
        assert_eq!(of(&[300.0, 300.0, 50.0, 50.0, 50.0, 50.0], 2, 600.0), Some(vec![300.0, 500.0]));
        assert_eq!(of(&[500.0, 700.0], 9, 600.0), None, "one container is larger than a mix");
    }

    proptest! {
        #[test]
        fn nothing_is_lost_and_every_mix_fits(
            takes in prop::collection::vec(1.0..300.0_f64, 1..60), room in 300.0..2000.0_f64,
        ) {
            let outs = of(&takes, usize::MAX, room).expect("every one fits");
            prop_assert!(outs.iter().all(|out| *out <= room * (1.0 + 1e-9)), "{outs:?}");
            let (all, sum): (f64, f64) = (takes.iter().sum(), outs.iter().sum());
            prop_assert!((all - sum).abs() < 1e-9 * all);
            // Each mix ends where a container does.
            let mut ends = 0.0;
            for out in outs {
                ends += out;
                let mut edge = 0.0;
                let at_an_edge = takes.iter().any(|take| {
                    edge += take;
                    (edge - ends).abs() < 1e-6
                });
                prop_assert!(at_an_edge, "{ends}");
            }
        }
    }
}
