//! A patch of samples as polynomials: values at nodes, from them values at all samples.

use super::scatter::{Grid, off};
use super::{LARGEST, Run, single};

/// Nodes along each side of a patch.
pub(super) const SIDE: usize = 6;
/// Nodes of a patch.
pub(super) const NODES: usize = SIDE * SIDE;
/// Chebyshev's points of the second kind, cos(πk/5).
pub(super) const POINTS: [f32; SIDE] = [-1.0, -0.809_017, -0.309_017, 0.309_017, 0.809_017, 1.0];
/// Samples worked on together.
pub(super) const LANES: usize = 8;

/// A value at each node.
pub(super) type Nodes = [f32; NODES];

/// Weights of the nodes of a line, at samples of a lane.
type Lane = [[f32; LANES]; SIDE];

/// Lagrange's polynomials of the nodes at the samples of a patch's side: the same for all patches of one size.
#[derive(Debug)]
pub(super) struct Basis {
    pub(super) samples: usize,
    every: usize,
    /// By kind of row in the grid's pattern, by lanes of its samples: the weight of each node across.
    across: Vec<Vec<Lane>>,
    /// By row: the weight of each node down, and how it changes by one row.
    down: Vec<[[f32; SIDE]; 2]>,
    /// By kind of column in the grid's pattern: how far the samples of a lane that begins with it lie below their rows.
    below: Vec<[f32; LANES]>,
    /// For the nodes of each half of the side: the weights of this side's nodes.
    halves: [[[f32; SIDE]; SIDE]; 2],
}

impl Basis {
    /// For `samples` a side, of a grid whose pattern repeats after `every`.
    pub(super) fn new(samples: usize, every: usize) -> Self {
        let every = every.clamp(1, Grid::MOST);
        #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
        let place = |sample: f64| 2.0 * sample / (samples.max(2) - 1) as f64 - 1.0;
        let across = (0..every.cast_signed()).map(|kind| {
            let mut lanes = vec![[[0.0_f32; LANES]; SIDE]; samples.div_ceil(LANES)];
            for sample in 0..samples {
                #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
                let at = sample as f64 + f64::from(off(every, kind));
                if let Some(lane) = lanes.get_mut(sample / LANES) {
                    for (to, weight) in lane.iter_mut().zip(lagrange(place(at))) {
                        to[sample % LANES] = weight;
                    }
                }
            }
            lanes
        });
        let down = (0..samples).map(|row| {
            #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
            let [above, at, below] = [-0.5, 0.0, 0.5].map(|by| lagrange(place(row as f64 + by)));
            [at, core::array::from_fn(|node| below[node] - above[node])]
        });
        let below = (0..every)
            .map(|first| core::array::from_fn(|k| -off(every, (first + k).cast_signed())));
        #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
        let half = (samples / 2) as f64;
        let halves = [0.0, half].map(|first| {
            POINTS.map(|point| {
                let sample = first + 0.5 * (f64::from(point) + 1.0) * (half - 1.0);
                lagrange(place(sample))
            })
        });
        Self {
            samples,
            every,
            across: across.collect(),
            down: down.collect(),
            below: below.collect(),
            halves,
        }
    }

    /// The kind of a row or column in the grid's pattern.
    #[inline(always)]
    fn kind(&self, number: isize) -> usize {
        number.rem_euclid(self.every.cast_signed()).unsigned_abs()
    }
}

/// The value of each node's polynomial at `x` in −1 to 1.
pub(super) fn lagrange(x: f64) -> [f32; SIDE] {
    core::array::from_fn(|node| {
        let own = f64::from(POINTS[node]);
        let others = POINTS.iter().enumerate().filter(|(other, _)| *other != node);
        single(others.fold(1.0, |product, (_, point)| {
            product * (x - f64::from(*point)) / (own - f64::from(*point))
        }))
    })
}

/// Polynomials at the samples of a patch's rows; a row's own coefficients are kept while runs of it follow one another.
pub(super) struct Rows<'a, const N: usize> {
    basis: &'a Basis,
    /// The patch's first sample in the grid.
    first: [isize; 2],
    nodes: [&'a Nodes; N],
    row: Option<u16>,
    /// The row's weights and what one row adds to them.
    weights: [[[f32; SIDE]; 2]; N],
    /// The weights at the samples of a lane, and the kind of column that it begins with.
    lane: [Lane; N],
    kind: usize,
    values: [[f32; LARGEST]; N],
}

impl<'a, const N: usize> Rows<'a, N> {
    #[inline(always)]
    pub(super) fn new(basis: &'a Basis, first: [isize; 2], nodes: [&'a Nodes; N]) -> Self {
        Self {
            basis,
            first,
            nodes,
            row: None,
            weights: [[[0.0; SIDE]; 2]; N],
            lane: [[[0.0; LANES]; SIDE]; N],
            kind: usize::MAX,
            values: [[0.0; LARGEST]; N],
        }
    }

    /// All at the samples of a run (and of the lanes that it begins and ends in), by their number in the row.
    #[inline(always)]
    pub(super) fn of(&mut self, run: &Run) -> &[[f32; LARGEST]; N] {
        let row = usize::from(run.row);
        if self.row != Some(run.row) {
            self.row = Some(run.row);
            self.kind = usize::MAX;
            let Some(down) = self.basis.down.get(row) else { return &self.values };
            for which in 0..N {
                let nodes = self.nodes[which];
                let mut sums = [[0.0; SIDE]; 2];
                for line in 0..SIDE {
                    for node in 0..SIDE {
                        sums[0][node] += down[0][line] * nodes[line * SIDE + node];
                        sums[1][node] += down[1][line] * nodes[line * SIDE + node];
                    }
                }
                self.weights[which] = sums;
            }
        }
        let kind = self.basis.kind(self.first[1] + row.cast_signed());
        let Some(across) = self.basis.across.get(kind) else { return &self.values };
        let lanes = usize::from(run.from) / LANES..usize::from(run.to).div_ceil(LANES);
        for lane in lanes {
            let Some(basis) = across.get(lane) else { continue };
            self.begin(self.basis.kind(self.first[0] + (lane * LANES).cast_signed()));
            for which in 0..N {
                let weights = &self.lane[which];
                let mut sum = [0.0; LANES];
                for node in 0..SIDE {
                    for k in 0..LANES {
                        sum[k] += weights[node][k] * basis[node][k];
                    }
                }
                let to = lane * LANES;
                if let Some(to) = self.values[which].get_mut(to..to + LANES) {
                    to.copy_from_slice(&sum);
                }
            }
        }
        &self.values
    }

    /// The row's weights as a lane that begins with that kind of column needs them: each column's samples lie as far from
    /// the row as the pattern says, so little that the weights change evenly.
    #[inline(always)]
    fn begin(&mut self, kind: usize) {
        if self.kind == kind {
            return;
        }
        self.kind = kind;
        let Some(below) = self.basis.below.get(kind) else { return };
        for which in 0..N {
            let [at, step] = &self.weights[which];
            for node in 0..SIDE {
                for k in 0..LANES {
                    self.lane[which][node][k] = at[node] + below[k] * step[node];
                }
            }
        }
    }
}

/// Least and greatest value.
#[inline(always)]
pub(super) fn span(values: &Nodes) -> (f32, f32) {
    // Four at a time and by index, so that the comparisons become vector code.
    let (mut low, mut high) = ([f32::INFINITY; 4], [f32::NEG_INFINITY; 4]);
    for four in 0..NODES / 4 {
        for k in 0..4 {
            let value = values[4 * four + k];
            low[k] = if value < low[k] { value } else { low[k] };
            high[k] = if value > high[k] { value } else { high[k] };
        }
    }
    let least = |a: f32, b: f32| if a < b { a } else { b };
    let most = |a: f32, b: f32| if a > b { a } else { b };
    (
        least(least(low[0], low[1]), least(low[2], low[3])),
        most(most(high[0], high[1]), most(high[2], high[3])),
    )
}

/// The nodes of a quarter of a patch (right, lower) from the patch's own.
#[inline(always)]
pub(super) fn quartered(nodes: &Nodes, basis: &Basis, [right, lower]: [usize; 2]) -> Nodes {
    let lines = refined(nodes, &basis.halves[right], 1, SIDE);
    refined(&lines, &basis.halves[lower], SIDE, 1)
}

/// Every line of nodes that are `step` apart, and the lines `next` apart, at other places along it.
#[inline(always)]
fn refined(nodes: &Nodes, places: &[[f32; SIDE]; SIDE], step: usize, next: usize) -> Nodes {
    let mut out = [0.0; NODES];
    for line in 0..SIDE {
        for place in 0..SIDE {
            let mut sum = 0.0;
            for k in 0..SIDE {
                sum += places[place][k] * nodes[line * next + k * step];
            }
            out[line * next + place * step] = sum;
        }
    }
    out
}

/// How far the interpolating polynomial may be from a sine of amplitude 1 over so many turns: (πn)⁶/(6!·2⁵), the
/// remainder with Chebyshev's nodes.
#[inline(always)]
pub(super) fn sine_rest(turns: f32) -> f32 {
    let x = turns * core::f32::consts::PI;
    let x2 = x * x;
    x2 * x2 * x2 * (1.0 / 23_040.0)
}

/// Weights that give the highest of the Chebyshev coefficients of a line of nodes.
const HIGHEST: [f32; SIDE] = [-0.1, 0.2, -0.2, 0.2, -0.2, 0.1];

/// How far the polynomial of a value may be off: its last coefficient, the largest of all lines and columns of nodes.
#[inline(always)]
pub(super) fn doubt(values: &Nodes) -> f32 {
    let mut most = 0.0_f32;
    for line in 0..SIDE {
        let mut sums = [0.0_f32; 2];
        for node in 0..SIDE {
            let weight = HIGHEST[node];
            sums[0] += weight * values[line * SIDE + node];
            sums[1] += weight * values[node * SIDE + line];
        }
        for sum in sums {
            let sum = sum.abs();
            most = if sum > most { sum } else { most };
        }
    }
    most
}

/// How much the distance from a line changes from sample to sample, about: the larger of across and down.
#[inline(always)]
pub(super) fn pitch_of(y: &Nodes, samples: usize) -> f32 {
    let (a, b, c, d) = (y[0], y[SIDE - 1], y[NODES - SIDE], y[NODES - 1]);
    let across = (b - a).abs() + (d - c).abs();
    let down = (c - a).abs() + (d - b).abs();
    let most = if across > down { across } else { down };
    #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
    let steps = 2.0 * (samples - 1) as f32;
    most / steps
}
