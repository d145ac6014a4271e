//! Widths of what lies side by side along a ribbon, evened out where one would end square.
//!
//! The same symmetric smoothing of all widths along the ribbon keeps both their sum at each place and each one's own sum over
//! all places, so what was fitted to the poured volumes stays fitted.

use super::ground::number;
use super::widths::smoothed;

/// Most rounds, and how much over its bound a step may stay.
const ROUNDS: usize = 24;
const NEAR: f64 = 1.05;
/// What is let through at a step, in places², in one round at most.
const MOST: f64 = 12.0;
/// So many steps to both sides pass with one that is to.
const BESIDE: usize = 3;

/// Smooths `widths` (one row for each, a value a place) along their places until the bounds between them nowhere move by more
/// than `most` from a place to the next, one value a step, or as near as some rounds come. The first and the last place stand
/// for half as much as the others (trapezium rule).
pub(super) fn eased(widths: &mut [Vec<f64>], most: &[f64]) {
    for _ in 0..ROUNDS {
        let through = through(widths, most);
        if through.iter().all(|t| *t <= 0.0) {
            return;
        }
        let system = System::new(&through);
        widths.iter_mut().for_each(|row| system.solve(row));
    }
}

/// How much is to pass at each step from a place to the next.
fn through(widths: &[Vec<f64>], most: &[f64]) -> Vec<f64> {
    let mut moved = vec![0.0; most.len()];
    let mut worst = vec![0.0_f64; most.len()];
    for row in widths {
        let steps = row.iter().zip(row.iter().skip(1));
        for ((moved, worst), (a, b)) in moved.iter_mut().zip(&mut worst).zip(steps) {
            *moved += b - a;
            *worst = worst.max(moved.abs());
        }
    }
    let over = worst.iter().zip(most).map(|(worst, most)| worst / most);
    let needed: Vec<f64> =
        over.map(|over| if over > NEAR { (over * over - 1.0).min(MOST) } else { 0.0 }).collect();
    if needed.iter().all(|n| *n <= 0.0) {
        return needed;
    }
    // Evenly: where little passes beside much, all of a step would gather.
    let near = |k: usize| k.saturating_sub(BESIDE)..(k + BESIDE + 1).min(needed.len());
    let widest: Vec<f64> = (0..needed.len())
        .map(|k| needed.get(near(k)).unwrap_or_default().iter().fold(0.0, |a: f64, b| a.max(*b)))
        .collect();
    smoothed(&widest, number(BESIDE))
}

/// One step of diffusion, solved from its end (so it is stable however much passes): for each place its mass times the new
/// value less what passes to its neighbours is its mass times the old one. Tridiagonal, by elimination (Thomas).
struct System {
    /// Mass of each place, what passes to it from the one before and from it to the next, and the diagonal after elimination.
    places: Vec<[f64; 4]>,
}

impl System {
    fn new(through: &[f64]) -> Self {
        let at = |k: Option<usize>| k.and_then(|k| through.get(k)).copied().unwrap_or(0.0);
        let mut places: Vec<[f64; 4]> = Vec::with_capacity(through.len() + 1);
        for k in 0..=through.len() {
            let mass = if k == 0 || k == through.len() { 0.5 } else { 1.0 };
            let (before, after) = (at(k.checked_sub(1)), at(Some(k)));
            let eliminated = places.last().map_or(0.0, |last| before * before / last[3]);
            places.push([mass, before, after, mass + before + after - eliminated]);
        }
        Self { places }
    }

    fn solve(&self, row: &mut [f64]) {
        let mut last = 0.0;
        for (value, [mass, before, _, diagonal]) in row.iter_mut().zip(&self.places) {
            *value = (*value * mass + before * last) / diagonal;
            last = *value;
        }
        let mut next = 0.0;
        for (value, [_, _, after, diagonal]) in row.iter_mut().zip(&self.places).rev() {
            *value += after * next / diagonal;
            next = *value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sum(row: &[f64]) -> f64 {
        row.iter().sum::<f64>() - 0.5 * (row[0] + row[row.len() - 1])
    }

    /// How far the bounds between rows move at most at each step.
    fn moves(widths: &[Vec<f64>]) -> Vec<f64> {
        let bounds = |place: usize| {
            widths.iter().scan(0.0, move |at, row| {
                *at += row[place];
                Some(*at)
            })
        };
        let step = |k: usize| bounds(k).zip(bounds(k + 1)).map(|(a, b): (f64, f64)| (a - b).abs());
        (0..widths[0].len() - 1).map(|k| step(k).fold(0.0, f64::max)).collect()
    }

    #[test]
    fn what_ends_square_comes_to_end_aslant() {
        let first: Vec<f64> = (0..65).map(|k| if k < 30 { 0.7 } else { 0.1 }).collect();
        let mut widths = vec![first.clone(), first.iter().map(|w| 1.0 - w).collect()];
        eased(&mut widths, &[0.04; 64]);
        let worst = moves(&widths).into_iter().fold(0.0, f64::max);
        assert!(worst < 0.05, "{worst} of 0.6 at the beginning");
        assert!((sum(&widths[0]) - sum(&first)).abs() < 1e-12);
        assert!((widths[0][0] - 0.7).abs() < 0.01 && (widths[0][64] - 0.1).abs() < 0.01);
    }

    #[test]
    fn what_is_even_enough_stays_as_it_is() {
        let first: Vec<f64> = (0..65).map(|k| 0.2 + 0.009 * f64::from(k)).collect();
        let mut widths = vec![first.clone(), first.iter().map(|w| 1.0 - w).collect()];
        let before = widths.clone();
        eased(&mut widths, &[0.01; 64]);
        assert_eq!(widths, before);
    }

    proptest! {
        #[test]
        fn sums_are_kept_both_ways(
            rows in prop::collection::vec(prop::collection::vec(0.0_f64..1.0, 20), 2..8),
            most in 1e-6_f64..0.5,
        ) {
            let mut widths = rows.clone();
            eased(&mut widths, &[most; 19]);
            for (row, before) in widths.iter().zip(&rows) {
                prop_assert!((sum(row) - sum(before)).abs() < 1e-9 * (1.0 + sum(before)));
                prop_assert!(row.iter().all(|w| *w >= 0.0));
            }
            // What fills each place goes on filling it.
            let all = |of: &[Vec<f64>], k: usize| of.iter().map(|r| r[k]).sum::<f64>();
            prop_assume!((0..20).all(|k| all(&rows, k) > 1e-9));
            let mut levelled: Vec<Vec<f64>> = rows
                .iter()
                .map(|r| r.iter().enumerate().map(|(k, w)| w / all(&rows, k)).collect())
                .collect();
            eased(&mut levelled, &[most; 19]);
            for k in 0..20 {
                prop_assert!((all(&levelled, k) - 1.0).abs() < 1e-9);
            }
        }
    }
}
