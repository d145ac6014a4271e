//! Which way what was laid runs: a stream that lands follows it nearly, and so cuts nothing off square.

use core::ops::Range;
use std::collections::VecDeque;

/// One stream as it was laid: its line and its width, mm, by column.
#[derive(Debug, Clone)]
struct Layer {
    first: usize,
    table: Vec<[f64; 2]>,
}

impl Layer {
    /// Line and width in a column; `None` where it is not.
    fn at(&self, column: usize) -> Option<[f64; 2]> {
        self.table.get(column.checked_sub(self.first)?).copied()
    }
}

/// So many swaths before the present one are known.
const KNOWN: usize = 3;

/// What was laid of late, the last on top.
#[derive(Debug, Clone, Default)]
pub(super) struct Layers {
    all: Vec<Layer>,
    /// How many of them belong to each of the swaths that were begun, the present one last.
    swaths: VecDeque<usize>,
}

impl Layers {
    /// A new swath begins.
    pub(super) fn begin_swath(&mut self) {
        self.swaths.push_back(0);
        if self.swaths.len() > KNOWN + 1
            && let Some(oldest) = self.swaths.pop_front()
        {
            self.all.drain(..oldest);
        }
    }

    /// A stream is laid.
    pub(super) fn lay(&mut self, first: usize, table: &[[f64; 2]]) {
        self.all.push(Layer { first, table: table.to_vec() });
        if let Some(present) = self.swaths.back_mut() {
            *present += 1;
        }
    }

    /// A line from the middle of `wanted` (mm, by column from `first` on) both ways, that crosses what lies there at most
    /// by `most` mm from a column to the next on its way to what is wanted.
    pub(super) fn follow(&self, first: usize, wanted: &[f64], most: f64) -> Vec<f64> {
        let near = self.near(first..first + wanted.len());
        let middle = wanted.len() / 2;
        let mut line = wanted.to_vec();
        let mut walk = |columns: &mut dyn Iterator<Item = [usize; 2]>| {
            for [from, to] in columns {
                let (Some(at), Some(goal)) = (line.get(from), wanted.get(to)) else { continue };
                let along = carried(&near, *at, first + from, first + to);
                let next = along + (goal - along).clamp(-most, most);
                if let Some(place) = line.get_mut(to) {
                    *place = next;
                }
            }
        };
        walk(&mut (middle..wanted.len().saturating_sub(1)).map(|k| [k, k + 1]));
        walk(&mut (1..=middle).rev().map(|k| [k, k - 1]));
        line
    }

    /// Those that lie in any of some columns, the last on top.
    fn near(&self, columns: Range<usize>) -> Vec<&Layer> {
        let within = |l: &&Layer| l.first < columns.end && columns.start < l.first + l.table.len();
        self.all.iter().filter(within).collect()
    }
}

/// Where the layer that lies at `y` in one column lies in the next one, mm.
fn carried(layers: &[&Layer], mut y: f64, from: usize, to: usize) -> f64 {
    // Back to when it was laid, then on again beside it.
    let mut begun = 0;
    let mut share = None;
    for (index, layer) in layers.iter().enumerate().rev() {
        let Some([line, width]) = layer.at(from) else { continue };
        if y >= line + width {
            y -= width;
        } else if y > line {
            (begun, share) = (index, Some((y - line) / width));
            break;
        }
    }
    let mut here = y;
    let mut there = y;
    for (index, layer) in layers.iter().enumerate().skip(begun) {
        let own = layer.at(from);
        let next = layer.at(to).or(own.map(|[line, _]| [line, 0.0]));
        match (own, next, share) {
            (Some([line, width]), Some([on, wide]), Some(share)) if index == begun => {
                (here, there) = (line + share * width, on + share * wide);
            }
            // What lies above where a stream opened what was there lies above it all along.
            (Some([line, width]), Some([on, wide]), _) if here >= line => {
                (here, there) = (here + width, there.max(on) + wide);
            }
            (None, Some([on, wide]), _) if there >= on => there += wide,
            _ => {}
        }
    }
    there
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A stream 10 mm wide along y = 0, and one within it, 5 mm up, that grows by 1 mm a column from column 4 on.
    fn opened() -> Layers {
        let mut layers = Layers::default();
        layers.lay(0, &[[0.0, 10.0]; 12]);
        let growing: Vec<[f64; 2]> = (0..8).map(|k| [5.0, f64::from(k)]).collect();
        layers.lay(4, &growing);
        layers
    }

    #[test]
    fn a_layer_goes_on_beside_what_opened_it() {
        let opened = opened();
        let layers = opened.near(0..12);
        let carried = |y, from, to| carried(&layers, y, from, to);
        // Below the opening it stays, above it is shoved on, within it keeps its share.
        assert!((carried(3.0, 6, 7) - 3.0).abs() < 1e-12);
        assert!((carried(8.0, 6, 7) - 9.0).abs() < 1e-12);
        assert!((carried(6.0, 6, 7) - 6.5).abs() < 1e-12);
        assert!((carried(8.0, 3, 4) - 8.0).abs() < 1e-12, "as wide as nothing there");
        assert!((carried(-4.0, 6, 7) + 4.0).abs() < 1e-12, "before all");
    }

    #[test]
    fn a_line_that_may_not_cross_lies_along_one_layer() {
        let line = opened().follow(0, &[7.0; 12], 0.0);
        // From the middle, 2 mm wide there and 1 mm of it below: that half all along.
        assert!((line[11] - (5.0 + 7.0)).abs() < 1e-9 && (line[0] - 5.0).abs() < 1e-9, "{line:?}");
    }

    #[test]
    fn a_swath_forgets_those_long_before() {
        let mut layers = Layers::default();
        for swath in 0..8 {
            layers.begin_swath();
            layers.lay(0, &[[0.0, 1.0]]);
            layers.lay(0, &[[0.0, 1.0]]);
            assert_eq!(layers.all.len(), 2 * usize::min(swath + 1, KNOWN + 1));
        }
    }

    proptest! {
        #[test]
        fn what_is_crossed_from_a_column_to_the_next_is_bounded(
            streams in prop::collection::vec((0_usize..20, 0.0_f64..80.0, prop::collection::vec(0.0_f64..20.0, 1..30)), 0..12),
            wanted in prop::collection::vec(-20.0_f64..120.0, 2..40),
            most in 0.0_f64..3.0,
        ) {
            let mut layers = Layers::default();
            for (first, line, widths) in streams {
                let table: Vec<[f64; 2]> = widths.iter().map(|w| [line, *w]).collect();
                layers.lay(first, &table);
            }
            let line = layers.follow(0, &wanted, most);
            let (middle, near) = (wanted.len() / 2, layers.near(0..wanted.len()));
            prop_assert!((line[middle] - wanted[middle]).abs() < 1e-12);
            for k in middle..wanted.len() - 1 {
                let crossed = (line[k + 1] - carried(&near, line[k], k, k + 1)).abs();
                prop_assert!(crossed <= most + 1e-9);
            }
        }
    }
}
