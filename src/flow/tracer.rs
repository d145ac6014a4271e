//! Many samples of a picture carried back at once, a patch of it as one polynomial.
//!
//! Between the rims of what was let in, a chain of maps is smooth, so a small square of the picture goes back through
//! all of it as the values at a few nodes: [`NODES`] points in place of thousands of samples. Where the rim of a
//! ribbon runs through the square the samples are told apart by the polynomial of their distance from the ribbon's
//! middle line, and what lies on either side goes on as a branch of its own, smooth again. A sample so costs a few
//! evaluations, one a rim that its square meets, however many maps there are.
//!
//! The error is watched: before a map that bends the square more than a polynomial follows ([`SMOOTH`]), and where the
//! last coefficient says that a rim would stand more than [`TOLERANCE`] of a sample's pitch off its place, the square is
//! cut into four, there and then: what came before was done once for all four. Where that no longer helps (or a drop's
//! rim, which no polynomial follows, is near) the samples go back one by one.
//!
//! Nodes are carried in `f32`, some micrometres off on a board of a metre; every lane does the same `+ − × ÷ √`
//! whatever the width of the machine's vectors, so the bits do not depend on it.

#![expect(
    clippy::needless_range_loop,
    reason = "by index, so that loops over nodes and lanes become vector code"
)]

use super::map::{Map, Origin, back_trace};
use super::series::sin_turns_fast;

/// Nodes along each side of a patch.
const SIDE: usize = 6;
/// Nodes of a patch.
const NODES: usize = SIDE * SIDE;
/// Chebyshev's points of the second kind, cos(πk/5).
const POINTS: [f32; SIDE] = [-1.0, -0.809_017, -0.309_017, 0.309_017, 0.809_017, 1.0];
/// Largest error of a rim's place, in pitches of the samples.
const TOLERANCE: f32 = 0.4;
/// In the smallest patches so much is let pass: where the film is drawn out that far its lines are finer than samples.
const HOPELESS: f32 = 2.0;
/// Largest error of a map on the nodes, in pitches of the samples: it stays in all that follows.
const SMOOTH: f32 = 0.02;
/// Over so much of a turn's fade or a tooth's width a patch goes with one polynomial.
const STEEP: f32 = 0.25;
/// Samples along a patch to begin with, and where cutting ends.
const LARGEST: usize = 96;
const SMALLEST: usize = 12;
/// A drop this many radii away bends a patch as a polynomial does.
const FAR: f32 = 4.0;

/// The number that stands for the film that was there first.
pub const FIRST_FILM: u32 = u32::MAX;

/// Samples of a picture: a grid of points of the plane, `pitch_mm` apart both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// The first sample, mm.
    pub origin_mm: [f64; 2],
    /// From one sample to the next, mm.
    pub pitch_mm: f64,
}

/// Where the fluid at each sample of a block came from, row by row.
#[derive(Debug, Clone, Default)]
pub struct Traced {
    /// Samples across.
    pub width: usize,
    /// Samples down.
    pub rows: usize,
    /// Number of the map that let it in, or [`FIRST_FILM`].
    pub from: Vec<u32>,
    /// Its place there: [`Back::Came`](crate::flow::Back::Came), or mm of the plane for the first film.
    pub place: Vec<[f32; 2]>,
}

impl Traced {
    fn reset(&mut self, width: usize, rows: usize) {
        (self.width, self.rows) = (width, rows);
        self.from.clear();
        self.from.resize(width * rows, FIRST_FILM);
        self.place.clear();
        self.place.resize(width * rows, [0.0; 2]);
    }

    /// Puts samples that came from one map, from number `at` on.
    #[inline(always)]
    fn put(&mut self, at: usize, from: u32, xs: &[f32], ys: &[f32]) {
        let range = at..at + xs.len();
        let numbers = self.from.get_mut(range.clone());
        if let (Some(numbers), Some(places)) = (numbers, self.place.get_mut(range)) {
            numbers.fill(from);
            for ((place, x), y) in places.iter_mut().zip(xs).zip(ys) {
                *place = [*x, *y];
            }
        }
    }
}

/// Samples of one row of a patch, `from` up to but not including `to`.
#[derive(Debug, Clone, Copy)]
struct Run {
    row: u16,
    from: u16,
    to: u16,
}

/// A value at each node.
type Nodes = [f32; NODES];

/// Samples worked on together.
const LANES: usize = 8;

/// Samples of a patch that went the same way so far, and the nodes they are interpolated from.
struct Branch {
    /// Maps that are still to be gone back through.
    maps: usize,
    /// The patch's size, as the number of its basis.
    level: usize,
    /// The patch's upper left sample in the block.
    corner: [u16; 2],
    x: Nodes,
    y: Nodes,
    runs: Vec<Run>,
}

/// Lagrange's polynomials of the nodes at the samples of a patch's side: the same for all patches of one size.
#[derive(Debug)]
struct Basis {
    samples: usize,
    /// By lanes of samples: the weight of each node.
    lanes: Vec<[[f32; LANES]; SIDE]>,
    /// For the nodes of each half of the side: the weights of this side's nodes.
    halves: [[[f32; SIDE]; SIDE]; 2],
}

impl Basis {
    fn new(samples: usize) -> Self {
        let mut lanes = vec![[[0.0_f32; LANES]; SIDE]; samples.div_ceil(LANES)];
        #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
        let place = |sample: f64| 2.0 * sample / (samples.max(2) - 1) as f64 - 1.0;
        for sample in 0..samples {
            #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
            let weights = lagrange(place(sample as f64));
            if let Some(lane) = lanes.get_mut(sample / LANES) {
                for (to, weight) in lane.iter_mut().zip(weights) {
                    to[sample % LANES] = weight;
                }
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
        let half = (samples / 2) as f64;
        let halves = [0.0, half].map(|first| {
            POINTS.map(|point| {
                let sample = first + 0.5 * (f64::from(point) + 1.0) * (half - 1.0);
                lagrange(place(sample))
            })
        });
        Self { samples, lanes, halves }
    }
}

/// The value of each node's polynomial at `x` in −1 to 1.
fn lagrange(x: f64) -> [f32; SIDE] {
    core::array::from_fn(|node| {
        let own = f64::from(POINTS[node]);
        let others = POINTS.iter().enumerate().filter(|(other, _)| *other != node);
        single(others.fold(1.0, |product, (_, point)| {
            product * (x - f64::from(*point)) / (own - f64::from(*point))
        }))
    })
}

/// A map with its coefficients as the nodes need them.
#[derive(Debug, Clone, Copy)]
enum Step {
    Ribbon(Channel),
    Wave { normal: [f32; 2], amplitude: f32, per_mm: f32, phase: f32 },
    Tine { normal: [f32; 2], offset: f32, per_width: f32, amplitude: f32 },
    Vortex { centre: [f32; 2], per_radius2: f32, half_tangent: f32 },
    Source { centre: [f32; 2], form: [f32; 3], radius2: f32 },
}

/// A ribbon's coefficients.
#[derive(Debug, Clone, Copy)]
struct Channel {
    middle: [f32; 2],
    along: [f32; 2],
    half_length: f32,
    per_half_length: f32,
    half_width: f32,
    /// Amplitude, per mm, phase.
    bends: [[f32; 3]; 3],
    most_bent: f32,
}

impl Step {
    fn of(map: &Map) -> Self {
        match map {
            Map::Ribbon(r) => Self::Ribbon(Channel {
                middle: r.middle.map(single),
                along: r.along.map(single),
                half_length: single(r.half_length),
                per_half_length: single(1.0 / r.half_length),
                half_width: single(0.5 * r.width),
                bends: r.bends.map(|b| [b.amplitude, b.per_mm, b.phase].map(single)),
                most_bent: r.bends.iter().map(|b| single(b.amplitude.abs())).sum(),
            }),
            Map::Wave(w) => Self::Wave {
                normal: w.normal.map(single),
                amplitude: single(w.amplitude),
                per_mm: single(w.per_mm),
                phase: single(w.phase),
            },
            Map::Tine(t) => Self::Tine {
                normal: t.normal.map(single),
                offset: single(t.offset),
                per_width: single(1.0 / t.width),
                amplitude: single(t.amplitude),
            },
            Map::Vortex(v) => Self::Vortex {
                centre: v.centre.map(single),
                per_radius2: single(1.0 / v.radius2),
                half_tangent: single(v.half_tangent),
            },
            Map::Source(s) => Self::Source {
                centre: s.centre.map(single),
                form: s.form().map(single),
                radius2: single(s.radius2),
            },
        }
    }
}

impl Channel {
    /// Half the ribbon's width at `s` = x/h.
    #[inline(always)]
    fn half_width(&self, s: f32) -> f32 {
        let s2 = s * s;
        let rest = 1.0 - s2 * s2;
        let rest = if rest > 0.0 { rest } else { 0.0 };
        self.half_width * rest * rest * rest
    }

    /// The bent middle line's distance from the axis at `s`.
    #[inline(always)]
    fn bent(&self, s: f32) -> f32 {
        let x = s * self.half_length;
        let [a, b, c] = self.bends;
        a[0] * sin_turns_fast(x * a[1] + a[2])
            + b[0] * sin_turns_fast(x * b[1] + b[2])
            + c[0] * sin_turns_fast(x * c[1] + c[2])
    }
}

/// Carries blocks of samples back through one list of maps; keeps its working memory from block to block.
#[derive(Debug)]
pub struct Tracer<'a> {
    maps: &'a [Map],
    steps: Vec<Step>,
    bases: Vec<Basis>,
    stack: Vec<Branch>,
    spare: Vec<Vec<Run>>,
}

impl core::fmt::Debug for Branch {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Branch").field("maps", &self.maps).field("runs", &self.runs.len()).finish()
    }
}

/// What branches are followed with.
struct Walk<'a> {
    maps: &'a [Map],
    steps: &'a [Step],
    bases: &'a [Basis],
    pitch_mm: f32,
}

impl<'a> Tracer<'a> {
    /// Samples of a block each way that it is quickest to ask for: whole patches.
    pub const BLOCK: usize = LARGEST;

    /// A tracer for these maps.
    #[must_use]
    pub fn new(maps: &'a [Map]) -> Self {
        let sizes = core::iter::successors(Some(LARGEST), |n| Some(n / 2));
        Self {
            maps,
            steps: maps.iter().map(Step::of).collect(),
            bases: sizes.take_while(|n| *n >= SMALLEST).map(Basis::new).collect(),
            stack: Vec::new(),
            spare: Vec::new(),
        }
    }

    /// Traces `width` × `rows` samples (each at most [`Tracer::BLOCK`]) of `grid` from sample `first` on.
    ///
    /// The same block gives the same bits on every machine.
    #[inline(always)]
    pub fn trace(
        &mut self,
        grid: &Grid,
        first: [isize; 2],
        width: usize,
        rows: usize,
        out: &mut Traced,
    ) {
        let (width, rows) = (width.min(LARGEST), rows.min(LARGEST));
        out.reset(width, rows);
        let walk = Walk {
            maps: self.maps,
            steps: &self.steps,
            bases: &self.bases,
            pitch_mm: single(grid.pitch_mm),
        };
        let runs = self.spare.pop().unwrap_or_default();
        self.stack.push(walk.root(grid, first, runs, out));
        while let Some(mut branch) = self.stack.pop() {
            walk.follow(&mut branch, &mut self.stack, &mut self.spare, out);
            self.spare.push(branch.runs);
        }
    }
}

impl Walk<'_> {
    /// All samples of a block, where they lie in the picture.
    #[inline(always)]
    fn root(&self, grid: &Grid, first: [isize; 2], mut runs: Vec<Run>, out: &Traced) -> Branch {
        #[expect(clippy::cast_precision_loss, reason = "samples of a picture")]
        let start = [0, 1].map(|k| grid.origin_mm[k] + first[k] as f64 * grid.pitch_mm);
        #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
        let half = 0.5 * (LARGEST - 1) as f64 * grid.pitch_mm;
        let (mut x, mut y) = ([0.0; NODES], [0.0; NODES]);
        for (node, (x, y)) in x.iter_mut().zip(&mut y).enumerate() {
            *x = single(start[0] + half * (1.0 + f64::from(POINTS[node % SIDE])));
            *y = single(start[1] + half * (1.0 + f64::from(POINTS[node / SIDE])));
        }
        runs.clear();
        #[expect(clippy::cast_possible_truncation, reason = "below a hundred")]
        runs.extend((0..out.rows).map(|row| Run {
            row: row as u16,
            from: 0,
            to: out.width as u16,
        }));
        Branch { maps: self.maps.len(), level: 0, corner: [0; 2], x, y, runs }
    }

    /// Cuts a branch's patch into four, or sends its samples back one by one where it is too small for that.
    #[inline(always)]
    fn cut(
        &self,
        branch: &Branch,
        stack: &mut Vec<Branch>,
        spare: &mut Vec<Vec<Run>>,
        out: &mut Traced,
    ) {
        let Some(basis) = self.bases.get(branch.level) else { return };
        if self.is_smallest(branch) {
            self.one_by_one(branch, basis, out);
            return;
        }
        #[expect(clippy::cast_possible_truncation, reason = "below a hundred")]
        let half = (basis.samples / 2) as u16;
        for down in 0..2_u16 {
            for right in 0..2_u16 {
                let mut runs = spare.pop().unwrap_or_default();
                runs.clear();
                let (left, top) = (right * half, down * half);
                for run in &branch.runs {
                    let from = run.from.max(left);
                    let to = run.to.min(left + half);
                    if run.row >= top && run.row < top + half && from < to {
                        runs.push(Run { row: run.row - top, from: from - left, to: to - left });
                    }
                }
                if runs.is_empty() {
                    spare.push(runs);
                    continue;
                }
                let quarter = [usize::from(right), usize::from(down)];
                stack.push(Branch {
                    maps: branch.maps,
                    level: branch.level + 1,
                    corner: [branch.corner[0] + left, branch.corner[1] + top],
                    x: quartered(&branch.x, basis, quarter),
                    y: quartered(&branch.y, basis, quarter),
                    runs,
                });
            }
        }
    }

    fn is_smallest(&self, branch: &Branch) -> bool {
        branch.level + 1 >= self.bases.len()
    }

    /// Follows one branch back until its samples have come from somewhere or part.
    #[inline(always)]
    fn follow(
        &self,
        branch: &mut Branch,
        stack: &mut Vec<Branch>,
        spare: &mut Vec<Vec<Run>>,
        out: &mut Traced,
    ) {
        let Some(basis) = self.bases.get(branch.level) else { return };
        let smallest = self.is_smallest(branch);
        while let Some(number) = branch.maps.checked_sub(1) {
            let Some(step) = self.steps.get(number) else { break };
            match step {
                Step::Ribbon(ribbon) => {
                    let (mut s, mut y) = ([0.0; NODES], [0.0; NODES]);
                    for i in 0..NODES {
                        let (dx, dy) =
                            (branch.x[i] - ribbon.middle[0], branch.y[i] - ribbon.middle[1]);
                        s[i] =
                            (dx * ribbon.along[0] + dy * ribbon.along[1]) * ribbon.per_half_length;
                        y[i] = dy * ribbon.along[0] - dx * ribbon.along[1];
                    }
                    let (s_low, s_high) = span(&s);
                    if s_low > 1.0 || s_high < -1.0 {
                        branch.maps = number;
                        continue;
                    }
                    let mut half = [0.0; NODES];
                    for i in 0..NODES {
                        half[i] = ribbon.half_width(s[i]);
                    }
                    // Far from the axis the side is plain whatever the bends.
                    let mut side = side_of(&y, ribbon.half_width + ribbon.most_bent);
                    if side == 0.0 {
                        for i in 0..NODES {
                            y[i] -= ribbon.bent(s[i]);
                        }
                        side = side_of(&y, span(&half).1);
                    }
                    if side != 0.0 {
                        branch.push(ribbon, &half, side);
                        branch.maps = number;
                        continue;
                    }
                    let off = doubt(&y, &half) / pitch_of(&y, basis.samples);
                    if off > (if smallest { HOPELESS } else { TOLERANCE }) {
                        return self.cut(branch, stack, spare, out);
                    }
                    let mut sides =
                        [spare.pop().unwrap_or_default(), spare.pop().unwrap_or_default()];
                    self.part(branch, basis, number, ribbon, &s, &y, &mut sides, out);
                    for (runs, side) in sides.into_iter().zip([1.0, -1.0]) {
                        if runs.is_empty() {
                            spare.push(runs);
                            continue;
                        }
                        let mut next = Branch { maps: number, runs, ..*branch };
                        next.push(ribbon, &half, side);
                        stack.push(next);
                    }
                    return;
                }
                Step::Wave { normal, amplitude, per_mm, phase } => {
                    let mut turns = [0.0; NODES];
                    for i in 0..NODES {
                        let across = branch.x[i] * normal[0] + branch.y[i] * normal[1];
                        turns[i] = across * per_mm + phase;
                    }
                    let (low, high) = span(&turns);
                    if !smallest && sine_rest(high - low) * amplitude.abs() > SMOOTH * self.pitch_mm
                    {
                        return self.cut(branch, stack, spare, out);
                    }
                    for i in 0..NODES {
                        let by = amplitude * sin_turns_fast(turns[i]);
                        branch.x[i] += normal[1] * by;
                        branch.y[i] -= normal[0] * by;
                    }
                }
                Step::Tine { normal, offset, per_width, amplitude } => {
                    let mut across = [0.0; NODES];
                    for i in 0..NODES {
                        across[i] = (branch.x[i] * normal[0] + branch.y[i] * normal[1] - offset)
                            * per_width;
                    }
                    let (low, high) = span(&across);
                    if !smallest && high - low > STEEP && low < 4.0 && high > -4.0 {
                        return self.cut(branch, stack, spare, out);
                    }
                    for i in 0..NODES {
                        let by = amplitude / (1.0 + across[i] * across[i]);
                        branch.x[i] += normal[1] * by;
                        branch.y[i] -= normal[0] * by;
                    }
                }
                Step::Vortex { centre, per_radius2, half_tangent } => {
                    let mut fade = [0.0; NODES];
                    for i in 0..NODES {
                        let (dx, dy) = (branch.x[i] - centre[0], branch.y[i] - centre[1]);
                        fade[i] = 1.0 - (dx * dx + dy * dy) * per_radius2;
                    }
                    let (low, high) = span(&fade);
                    if high <= 0.0 {
                        branch.maps = number;
                        continue;
                    }
                    if !smallest && high - low > STEEP {
                        return self.cut(branch, stack, spare, out);
                    }
                    for i in 0..NODES {
                        let (dx, dy) = (branch.x[i] - centre[0], branch.y[i] - centre[1]);
                        let fade = if fade[i] > 0.0 { fade[i] } else { 0.0 };
                        let t = -half_tangent * fade * fade;
                        let norm = 1.0 / (1.0 + t * t);
                        let (cos, sin) = ((1.0 - t * t) * norm, 2.0 * t * norm);
                        branch.x[i] = centre[0] + dx * cos - dy * sin;
                        branch.y[i] = centre[1] + dx * sin + dy * cos;
                    }
                }
                Step::Source { centre, form, radius2 } => {
                    let mut q = [0.0; NODES];
                    for i in 0..NODES {
                        let (dx, dy) = (branch.x[i] - centre[0], branch.y[i] - centre[1]);
                        q[i] = form[0] * dx * dx + form[1] * dx * dy + form[2] * dy * dy;
                    }
                    let (low, high) = span(&q);
                    if low - 0.3 * (high - low) < FAR * FAR * radius2 {
                        return self.cut(branch, stack, spare, out);
                    }
                    for i in 0..NODES {
                        let factor = (1.0 - radius2 / q[i]).sqrt();
                        branch.x[i] = centre[0] + (branch.x[i] - centre[0]) * factor;
                        branch.y[i] = centre[1] + (branch.y[i] - centre[1]) * factor;
                    }
                }
            }
            branch.maps = number;
        }
        let mut rows = Rows::new(basis, &branch.x, &branch.y);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let (xs, ys) = rows.of(run);
            let (from, to) = (usize::from(run.from), usize::from(run.to));
            if let (Some(xs), Some(ys)) = (xs.get(from..to), ys.get(from..to)) {
                out.put(at + from, FIRST_FILM, xs, ys);
            }
        }
    }

    /// Tells the samples of a branch apart at a ribbon: what came with it is put, the rest goes to its side (below,
    /// above the middle line).
    #[inline(always)]
    #[expect(clippy::too_many_arguments, reason = "one call")]
    fn part(
        &self,
        branch: &Branch,
        basis: &Basis,
        number: usize,
        ribbon: &Channel,
        s: &Nodes,
        y: &Nodes,
        sides: &mut [Vec<Run>; 2],
        out: &mut Traced,
    ) {
        let tag = u32::try_from(number).unwrap_or(FIRST_FILM);
        for side in sides.iter_mut() {
            side.clear();
        }
        let mut rows = Rows::new(basis, s, y);
        let (mut kinds, mut places) = ([0_u8; LARGEST], [0.0_f32; LARGEST]);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let (along, across) = rows.of(run);
            let (from, to) = (usize::from(run.from), usize::from(run.to));
            let first = from / LANES * LANES;
            for lane in first / LANES..to.div_ceil(LANES) {
                for i in lane * LANES..lane * LANES + LANES {
                    let half = ribbon.half_width(along[i]);
                    let y = across[i];
                    // 0 below, 1 above, 2 within.
                    kinds[i] = if y.abs() < half { 2 } else { u8::from(y >= 0.0) };
                    places[i] = 0.5 + 0.5 * y / half;
                }
            }
            let mut i = from;
            while i < to {
                let (began, kind) = (i, kinds[i]);
                i = end_of(&kinds, i, to);
                match sides.get_mut(usize::from(kind)) {
                    #[expect(clippy::cast_possible_truncation, reason = "below a hundred")]
                    Some(side) => {
                        side.push(Run { row: run.row, from: began as u16, to: i as u16 });
                    }
                    None => {
                        if let (Some(xs), Some(ys)) = (along.get(began..i), places.get(began..i)) {
                            out.put(at + began, tag, xs, ys);
                        }
                    }
                }
            }
        }
    }

    /// The samples of a branch, each through the rest of the maps by itself.
    #[cold]
    #[inline(never)]
    fn one_by_one(&self, branch: &Branch, basis: &Basis, out: &mut Traced) {
        let maps = self.maps.get(..branch.maps).unwrap_or_default();
        let mut rows = Rows::new(basis, &branch.x, &branch.y);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let (xs, ys) = rows.of(run);
            for i in usize::from(run.from)..usize::from(run.to) {
                let (from, [x, y]) = origin(maps, [f64::from(xs[i]), f64::from(ys[i])]);
                out.put(at + i, from, &[x], &[y]);
            }
        }
    }
}

impl Branch {
    /// Where a run's row begins in the block.
    #[inline(always)]
    fn row_start(&self, run: &Run, out: &Traced) -> usize {
        (usize::from(self.corner[1]) + usize::from(run.row)) * out.width
            + usize::from(self.corner[0])
    }

    /// Moves the nodes to one side of a ribbon's middle line, as if it had not been.
    #[inline(always)]
    fn push(&mut self, ribbon: &Channel, half: &Nodes, side: f32) {
        for i in 0..NODES {
            let by = side * half[i];
            self.x[i] -= ribbon.along[1] * by;
            self.y[i] += ribbon.along[0] * by;
        }
    }
}

/// Where the fluid at `p` came from, as [`Traced`] holds it.
#[must_use]
pub fn origin(maps: &[Map], p: [f64; 2]) -> (u32, [f32; 2]) {
    match back_trace(maps, p) {
        Origin::Came(number, place) => {
            (u32::try_from(number).unwrap_or(FIRST_FILM), place.map(single))
        }
        Origin::Film(at) => (FIRST_FILM, at.map(single)),
    }
}

/// Two polynomials at the samples of a patch's rows; a row's own coefficients are kept while runs of it follow one
/// another.
struct Rows<'a> {
    basis: &'a Basis,
    nodes: [&'a Nodes; 2],
    row: Option<u16>,
    weights: [[f32; SIDE]; 2],
    values: [[f32; LARGEST]; 2],
}

impl<'a> Rows<'a> {
    #[inline(always)]
    fn new(basis: &'a Basis, one: &'a Nodes, two: &'a Nodes) -> Self {
        Self {
            basis,
            nodes: [one, two],
            row: None,
            weights: [[0.0; SIDE]; 2],
            values: [[0.0; LARGEST]; 2],
        }
    }

    /// Both at the samples of a run (and of the lanes that it begins and ends in), by their number in the row.
    #[inline(always)]
    fn of(&mut self, run: &Run) -> (&[f32; LARGEST], &[f32; LARGEST]) {
        if self.row != Some(run.row) {
            self.row = Some(run.row);
            let row = usize::from(run.row);
            let down = self.basis.lanes.get(row / LANES);
            let Some(down) = down else { return (&self.values[0], &self.values[1]) };
            for which in 0..2 {
                let nodes = self.nodes[which];
                let mut sums = [0.0; SIDE];
                for line in 0..SIDE {
                    let weight = down[line][row % LANES];
                    for node in 0..SIDE {
                        sums[node] += weight * nodes[line * SIDE + node];
                    }
                }
                self.weights[which] = sums;
            }
        }
        let lanes = usize::from(run.from) / LANES..usize::from(run.to).div_ceil(LANES);
        for lane in lanes {
            let Some(basis) = self.basis.lanes.get(lane) else { continue };
            for which in 0..2 {
                let weights = &self.weights[which];
                let mut sum = [0.0; LANES];
                for node in 0..SIDE {
                    for k in 0..LANES {
                        sum[k] += weights[node] * basis[node][k];
                    }
                }
                let to = lane * LANES;
                if let Some(to) = self.values[which].get_mut(to..to + LANES) {
                    to.copy_from_slice(&sum);
                }
            }
        }
        let [one, two] = &self.values;
        (one, two)
    }
}

/// Where the kinds stop being that of number `from`, at most `to`; eight at a time where they go on.
#[inline(always)]
fn end_of(kinds: &[u8; LARGEST], from: usize, to: usize) -> usize {
    let kind = kinds[from];
    let mut i = from;
    while let Some(eight) = kinds.get(i..i + LANES).and_then(|k| <[u8; LANES]>::try_from(k).ok())
        && eight == [kind; LANES]
    {
        i += LANES;
    }
    while i < to && kinds[i] == kind {
        i += 1;
    }
    if i < to { i } else { to }
}

/// Least and greatest value.
#[inline(always)]
fn span(values: &Nodes) -> (f32, f32) {
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

/// Which way a patch is to go back where all of it lies beyond `reach` on one side of a line, from the nodes' distances;
/// 0 where it does not. What lies between the nodes may reach a little beyond them.
#[inline(always)]
fn side_of(y: &Nodes, reach: f32) -> f32 {
    let (low, high) = span(y);
    let room = reach + 0.05 * (high - low);
    if low > room {
        -1.0
    } else if high < -room {
        1.0
    } else {
        0.0
    }
}

/// The nodes of a quarter of a patch (right, lower) from the patch's own.
#[inline(always)]
fn quartered(nodes: &Nodes, basis: &Basis, quarter: [usize; 2]) -> Nodes {
    let (across, down) = (&basis.halves[quarter[0]], &basis.halves[quarter[1]]);
    let mut lines = [0.0; NODES];
    for line in 0..SIDE {
        for node in 0..SIDE {
            let mut sum = 0.0;
            for k in 0..SIDE {
                sum += across[node][k] * nodes[line * SIDE + k];
            }
            lines[line * SIDE + node] = sum;
        }
    }
    let mut out = [0.0; NODES];
    for line in 0..SIDE {
        for node in 0..SIDE {
            let mut sum = 0.0;
            for k in 0..SIDE {
                sum += down[line][k] * lines[k * SIDE + node];
            }
            out[line * SIDE + node] = sum;
        }
    }
    out
}

/// How far the interpolating polynomial may be from a sine of amplitude 1 over so many turns: (πn)⁶/(6!·2⁵), the
/// remainder with Chebyshev's nodes.
#[inline(always)]
fn sine_rest(turns: f32) -> f32 {
    let x = turns * core::f32::consts::PI;
    let x2 = x * x;
    x2 * x2 * x2 * (1.0 / 23_040.0)
}

/// Weights that give the highest of the Chebyshev coefficients of a line of nodes.
const HIGHEST: [f32; SIDE] = [-0.1, 0.2, -0.2, 0.2, -0.2, 0.1];

/// How far the polynomials of a rim (distance from the middle line, half width) may be off, mm: their last
/// coefficients, the largest of all lines and columns of nodes.
#[inline(always)]
fn doubt(y: &Nodes, half: &Nodes) -> f32 {
    let mut most = 0.0_f32;
    for line in 0..SIDE {
        let mut sums = [0.0_f32; 4];
        for node in 0..SIDE {
            let weight = HIGHEST[node];
            let (across, down) = (line * SIDE + node, node * SIDE + line);
            sums[0] += weight * y[across];
            sums[1] += weight * y[down];
            sums[2] += weight * half[across];
            sums[3] += weight * half[down];
        }
        let here = sums[0].abs() + sums[2].abs();
        let there = sums[1].abs() + sums[3].abs();
        most = if here > most { here } else { most };
        most = if there > most { there } else { most };
    }
    most
}

/// How much the distance from the middle line changes from sample to sample, about: the larger of across and down.
#[inline(always)]
fn pitch_of(y: &Nodes, samples: usize) -> f32 {
    let (a, b, c, d) = (y[0], y[SIDE - 1], y[NODES - SIDE], y[NODES - 1]);
    let across = (b - a).abs() + (d - c).abs();
    let down = (c - a).abs() + (d - b).abs();
    let most = if across > down { across } else { down };
    #[expect(clippy::cast_precision_loss, reason = "below a hundred")]
    let steps = 2.0 * (samples - 1) as f32;
    most / steps
}

#[inline(always)]
#[expect(clippy::cast_possible_truncation, reason = "what it is for")]
fn single(x: f64) -> f32 {
    x as f32
}

#[cfg(test)]
mod tests {
    use super::super::map::{Source, Tine, Vortex, Wave};
    use super::super::random::Random;
    use super::super::ribbon::{Bend, Ribbon};
    use super::super::series::{cos_turns, sin_turns};
    use super::*;

    fn unit(turn: f64) -> [f64; 2] {
        [cos_turns(turn), sin_turns(turn)]
    }

    /// A pour of every kind of map.
    fn stir(seed: u64, drops: bool) -> Vec<Map> {
        let mut random = Random::new(seed);
        let mut maps = Vec::new();
        for _ in 0..18 {
            let place = [random.between(-30.0, 130.0), random.between(-30.0, 130.0)];
            let turn = random.unit();
            maps.push(Map::Ribbon(Ribbon {
                middle: place,
                along: unit(turn),
                half_length: random.between(60.0, 240.0),
                width: random.between(3.0, 22.0),
                bends: [(9.0, 180.0), (4.0, 90.0), (1.0, 70.0)].map(|(most, wave)| Bend {
                    amplitude: random.between(0.0, most),
                    per_mm: random.between(0.6, 1.0) / wave,
                    phase: random.unit(),
                }),
            }));
            let centre = [random.between(-20.0, 120.0), random.between(-20.0, 120.0)];
            match random.below(4) {
                0 => maps.push(Map::Wave(Wave {
                    normal: unit(random.unit()),
                    amplitude: random.between(1.0, 14.0),
                    per_mm: 1.0 / random.between(80.0, 300.0),
                    phase: random.unit(),
                })),
                1 => maps.push(Map::Tine(Tine {
                    normal: unit(random.unit()),
                    offset: random.between(-50.0, 50.0),
                    width: random.between(15.0, 60.0),
                    amplitude: random.between(-30.0, 30.0),
                })),
                2 => maps.push(Map::Vortex(Vortex {
                    centre,
                    radius2: random.between(900.0, 20_000.0),
                    half_tangent: random.between(-0.5, 0.5),
                })),
                _ if drops => maps.push(Map::Source(Source {
                    centre,
                    radius2: random.between(9.0, 200.0),
                    along: unit(random.unit()),
                    stretch: random.between(1.0, 1.8),
                })),
                _ => {}
            }
        }
        maps
    }

    /// Share of samples that the tracer lets come from another map than the plain way back does, and of the others the
    /// mean distance in pitches of the samples, measured where they came from.
    fn against_the_plain_way(maps: &[Map], pitch_mm: f64) -> (f64, f64) {
        let grid = Grid { origin_mm: [3.0, -4.0], pitch_mm };
        let mut tracer = Tracer::new(maps);
        let mut out = Traced::default();
        let (mut strays, mut off, mut count) = (0_u32, 0.0, 0.0);
        for block in [[0, 0], [96, 0], [96, 192]] {
            let (width, rows) = (90, 96);
            tracer.trace(&grid, block, width, rows, &mut out);
            for row in 0..rows {
                for column in 0..width {
                    let at = |k: usize, step: usize| {
                        grid.origin_mm[k] + (block[k] as f64 + step as f64) * pitch_mm
                    };
                    let (from, place) = origin(maps, [at(0, column), at(1, row)]);
                    let index = row * width + column;
                    if out.from[index] != from {
                        strays += 1;
                    } else if from == FIRST_FILM {
                        let [dx, dy] = [0, 1].map(|k| f64::from(out.place[index][k] - place[k]));
                        off += (dx * dx + dy * dy).sqrt() / pitch_mm;
                        count += 1.0;
                    }
                }
            }
        }
        (f64::from(strays) / f64::from(3 * 90 * 96), off / f64::max(count, 1.0))
    }

    #[test]
    fn samples_come_from_where_the_plain_way_back_says() {
        for seed in 0..10 {
            for pitch in [0.05, 0.2, 0.5] {
                let (strays, off) = against_the_plain_way(&stir(seed, false), pitch);
                assert!(strays < 0.01, "seed {seed}, {pitch} mm: {strays} strays");
                assert!(off < 0.1, "seed {seed}, {pitch} mm: {off} pitches off");
            }
        }
    }

    #[test]
    fn drops_are_followed_too() {
        for seed in 0..4 {
            let (strays, off) = against_the_plain_way(&stir(seed, true), 0.2);
            assert!(strays < 0.01, "seed {seed}: {strays} strays");
            assert!(off < 0.1, "seed {seed}: {off} pitches off");
        }
    }

    #[test]
    fn nothing_poured_is_the_first_film_where_it_is() {
        let grid = Grid { origin_mm: [5.0, 7.0], pitch_mm: 2.0 };
        let mut out = Traced::default();
        Tracer::new(&[]).trace(&grid, [-3, 4], 20, 11, &mut out);
        assert_eq!((out.width, out.rows), (20, 11));
        assert!(out.from.iter().all(|from| *from == FIRST_FILM));
        let [x, y] = out.place[2 * 20 + 6];
        assert!((x - 11.0).abs() < 1e-4 && (y - 19.0).abs() < 1e-4, "{x} {y}");
    }

    #[test]
    fn junk_ends() {
        let wild = Ribbon {
            middle: [f64::NAN, 0.0],
            along: [1.0, 0.0],
            half_length: 1e-12,
            width: f64::INFINITY,
            bends: [Bend { amplitude: 1e30, per_mm: f64::NAN, phase: 0.0 }; 3],
        };
        let maps = [Map::Ribbon(wild), Map::Ribbon(Ribbon { middle: [0.0; 2], ..wild })];
        let grid = Grid { origin_mm: [0.0; 2], pitch_mm: 1.0 };
        Tracer::new(&maps).trace(&grid, [0, 0], 96, 96, &mut Traced::default());
    }
}
