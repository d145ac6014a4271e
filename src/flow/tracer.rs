//! Many samples of a picture carried back at once, a patch of it as one polynomial.
//!
//! Between the rims of what was let in, a chain of maps is smooth, so a small square of the picture goes back through
//! all of it as the values at a few nodes: [`NODES`] points in place of thousands of samples. Where the rim of a
//! ribbon runs through the square the samples are told apart by the polynomials of their distance from the ribbon's
//! line and of its width there, and what lies on either side goes on as a branch of its own, smooth again. A sample so
//! costs a few evaluations, one a rim that its square meets, and a ribbon that lies elsewhere two comparisons, however
//! many there are.
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

mod patch;
mod reach;
mod scatter;
mod step;

use super::map::{Back, Map, Origin, back_trace};
use super::series::sin_turns_fast;
use patch::{
    Basis, LANES, NODES, Nodes, POINTS, Rows, SIDE, doubt, pitch_of, quartered, sine_rest, span,
};
use reach::{Bounds, Reaches};
pub use scatter::Grid;
use step::{Columns, Step};

/// Largest error of a rim's place, in pitches of the samples.
const TOLERANCE: f32 = 1.2;
/// In the smallest patches so much is let pass: where the film is drawn out that far its lines are finer than samples.
const HOPELESS: f32 = 5.0;
/// Largest error of a map on the nodes, in pitches of the samples: it stays in all that follows.
const SMOOTH: f32 = 0.2;
/// Over so much of a turn's fade or a tooth's width a patch goes with one polynomial.
const STEEP: f32 = 0.25;
/// Samples along a patch to begin with, and where cutting ends.
const LARGEST: usize = 96;
const SMALLEST: usize = 12;
/// A drop this many radii away bends a patch as a polynomial does.
const FAR: f32 = 4.0;

/// The number that stands for the film that was there first.
pub const FIRST_FILM: u32 = u32::MAX;

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

/// Carries blocks of samples back through one list of maps; keeps its working memory from block to block.
#[derive(Debug)]
pub struct Tracer<'a> {
    maps: &'a [Map],
    steps: Vec<Step>,
    reaches: Reaches,
    /// For the pattern of the grid that was traced last.
    bases: Vec<Basis>,
    every: usize,
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
    reaches: &'a Reaches,
    bases: &'a [Basis],
    pitch_mm: f32,
    /// The block's first sample.
    first: [isize; 2],
}

impl<'a> Tracer<'a> {
    /// Samples of a block each way that it is quickest to ask for: whole patches.
    pub const BLOCK: usize = LARGEST;

    /// A tracer for these maps.
    #[must_use]
    pub fn new(maps: &'a [Map]) -> Self {
        Self {
            maps,
            steps: maps.iter().map(Step::of).collect(),
            reaches: Reaches::of(maps),
            bases: Vec::new(),
            every: 0,
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
        if self.bases.is_empty() || self.every != grid.every {
            let sizes = core::iter::successors(Some(LARGEST), |n| Some(n / 2));
            let sizes = sizes.take_while(|n| *n >= SMALLEST);
            self.bases = sizes.map(|samples| Basis::new(samples, grid.every)).collect();
            self.every = grid.every;
        }
        let walk = Walk {
            maps: self.maps,
            steps: &self.steps,
            reaches: &self.reaches,
            bases: &self.bases,
            pitch_mm: single(grid.pitch_mm),
            first,
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

    /// A patch's first sample in the grid.
    #[inline(always)]
    fn first_of(&self, branch: &Branch) -> [isize; 2] {
        [0, 1].map(|k| self.first[k] + usize::from(branch.corner[k]).cast_signed())
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
        let mut columns: Option<Columns> = None;
        let mut bounds: Option<Bounds> = None;
        loop {
            let near = bounds.get_or_insert_with(|| Bounds::of(&branch.x, &branch.y));
            let Some(number) = self.reaches.last_that_meets(branch.maps, near) else { break };
            let Some(step) = self.steps.get(number) else { break };
            branch.maps = number + 1;
            match step {
                Step::Ribbon(ribbon) => {
                    let columns = match &mut columns {
                        Some(known) if known.lattice == ribbon.lattice => known,
                        other => other.insert(Columns::new(&branch.x, ribbon.lattice)),
                    };
                    let (line, width) = ribbon.opened(columns);
                    let (mut near, mut far) = ([0.0; NODES], [0.0; NODES]);
                    for i in 0..NODES {
                        near[i] = branch.y[i] - line[i];
                        far[i] = near[i] - width[i];
                    }
                    let (near_span, far_span) = (span(&near), span(&far));
                    let room = 0.05 * (near_span.1 - near_span.0);
                    if near_span.1 < -room {
                        branch.maps = number;
                        continue;
                    }
                    let unsure = doubt(&width);
                    if !smallest && unsure > SMOOTH * self.pitch_mm {
                        return self.cut(branch, stack, spare, out);
                    }
                    if far_span.0 > room {
                        branch.push(&width);
                        branch.maps = number;
                        bounds = None;
                        continue;
                    }
                    let off = (doubt(&near) + unsure) / pitch_of(&near, basis.samples);
                    if off > (if smallest { HOPELESS } else { TOLERANCE }) {
                        return self.cut(branch, stack, spare, out);
                    }
                    let mut sides =
                        [spare.pop().unwrap_or_default(), spare.pop().unwrap_or_default()];
                    let part = ribbon.parts(columns);
                    self.part(branch, basis, number, [&part, &near, &width], &mut sides, out);
                    for (beyond, runs) in sides.into_iter().enumerate() {
                        if runs.is_empty() {
                            spare.push(runs);
                            continue;
                        }
                        let mut next = Branch { maps: number, runs, ..*branch };
                        if beyond == 1 {
                            next.push(&width);
                        }
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
                Step::Vortex { centre, form: [xx, xy, yy], per_area, half_tangent } => {
                    let mut fade = [0.0; NODES];
                    for i in 0..NODES {
                        let (dx, dy) = (branch.x[i] - centre[0], branch.y[i] - centre[1]);
                        let q = dx * (xx * dx + xy * dy) + dy * (xy * dx + yy * dy);
                        fade[i] = 1.0 - q * per_area;
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
                        branch.x[i] = centre[0] + dx * cos - (xy * dx + yy * dy) * sin;
                        branch.y[i] = centre[1] + dy * cos + (xx * dx + xy * dy) * sin;
                    }
                }
                Step::Rotation { along } => {
                    for i in 0..NODES {
                        let (x, y) = (branch.x[i], branch.y[i]);
                        branch.x[i] = x * along[0] + y * along[1];
                        branch.y[i] = y * along[0] - x * along[1];
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
            columns = None;
            bounds = None;
        }
        let mut rows = Rows::new(basis, self.first_of(branch), [&branch.x, &branch.y]);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let [xs, ys] = rows.of(run);
            let (from, to) = (usize::from(run.from), usize::from(run.to));
            if let (Some(xs), Some(ys)) = (xs.get(from..to), ys.get(from..to)) {
                out.put(at + from, FIRST_FILM, xs, ys);
            }
        }
    }

    /// Tells the samples of a branch apart at a ribbon, by the nodes' share of its area, distance from its line and width:
    /// what came with it is put, the rest goes to its side (before the line, beyond the far rim).
    #[inline(always)]
    fn part(
        &self,
        branch: &Branch,
        basis: &Basis,
        number: usize,
        nodes: [&Nodes; 3],
        sides: &mut [Vec<Run>; 2],
        out: &mut Traced,
    ) {
        let tag = u32::try_from(number).unwrap_or(FIRST_FILM);
        for side in sides.iter_mut() {
            side.clear();
        }
        let mut rows = Rows::new(basis, self.first_of(branch), nodes);
        let (mut kinds, mut places) = ([0_u8; LARGEST], [0.0_f32; LARGEST]);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let [along, across, width] = rows.of(run);
            let (from, to) = (usize::from(run.from), usize::from(run.to));
            let first = from / LANES * LANES;
            for lane in first / LANES..to.div_ceil(LANES) {
                for i in lane * LANES..lane * LANES + LANES {
                    let (y, w) = (across[i], width[i]);
                    // 0 before, 1 beyond, 2 within.
                    let kind = if y < w { 2 } else { 1 };
                    kinds[i] = if y < 0.0 { 0 } else { kind };
                    places[i] = y / w;
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

    /// Where the fluid at `p` came from, by those of the first `count` maps that do anything where it is.
    fn origin(&self, mut count: usize, mut p: [f64; 2]) -> (u32, [f32; 2]) {
        while let Some(number) = self.reaches.last_that_meets(count, &Bounds::at(p)) {
            match self.maps.get(number).map(|map| map.back(p)) {
                Some(Back::Came(place)) => {
                    return (u32::try_from(number).unwrap_or(FIRST_FILM), place.map(single));
                }
                Some(Back::At(before)) => p = before,
                None => break,
            }
            count = number;
        }
        (FIRST_FILM, p.map(single))
    }

    /// The samples of a branch, each through the rest of the maps by itself.
    #[cold]
    #[inline(never)]
    fn one_by_one(&self, branch: &Branch, basis: &Basis, out: &mut Traced) {
        let mut rows = Rows::new(basis, self.first_of(branch), [&branch.x, &branch.y]);
        for run in &branch.runs {
            let at = branch.row_start(run, out);
            let [xs, ys] = rows.of(run);
            for i in usize::from(run.from)..usize::from(run.to) {
                let (from, [x, y]) = self.origin(branch.maps, [xs[i], ys[i]].map(f64::from));
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

    /// Moves the nodes back across a ribbon, as if it had not been.
    #[inline(always)]
    fn push(&mut self, width: &Nodes) {
        for i in 0..NODES {
            self.y[i] -= width[i];
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

#[inline(always)]
#[expect(clippy::cast_possible_truncation, reason = "what it is for")]
fn single(x: f64) -> f32 {
    x as f32
}

#[cfg(test)]
mod tests {
    use super::super::map::{Rotation, Source, Tine, Vortex, Wave};
    use super::super::random::Random;
    use super::super::ribbon::{Lattice, Ribbon};
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
            let lattice = Lattice { origin: -60.0, step: 9.0 };
            let (swell, phase) = (random.between(3.0, 22.0), random.unit());
            let (bend, wave) = (random.between(0.0, 9.0), random.between(6.0, 20.0));
            let table: Vec<[f64; 2]> = (0..8 + random.below(16))
                .map(|k| {
                    let turns = f64::from(u8::try_from(k).unwrap_or(0)) / wave + phase;
                    [place[1] + bend * sin_turns(turns), swell * (1.0 + sin_turns(2.3 * turns))]
                })
                .collect();
            #[expect(clippy::cast_possible_truncation, reason = "a few")]
            let first = (place[0] / 9.0) as i64;
            maps.push(Map::Ribbon(Ribbon::new(lattice, first, &table)));
            if random.unit() < 0.3 {
                maps.push(Map::Rotation(Rotation { along: unit(turn) }));
            }
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
                    half: [random.between(30.0, 140.0), random.between(30.0, 140.0)],
                    along: unit(turn),
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
    fn against_the_plain_way(maps: &[Map], pitch_mm: f64, every: usize) -> (f64, f64) {
        let grid = Grid { origin_mm: [3.0, -4.0], pitch_mm, every };
        let mut tracer = Tracer::new(maps);
        let mut out = Traced::default();
        let (mut strays, mut off, mut count) = (0_u32, 0.0, 0.0);
        for block in [[0, 0], [96, 0], [96, 192]] {
            let (width, rows) = (90, 96);
            tracer.trace(&grid, block, width, rows, &mut out);
            for row in 0..rows {
                for column in 0..width {
                    let number = [block[0] + column.cast_signed(), block[1] + row.cast_signed()];
                    let (from, place) = origin(maps, grid.at(number));
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
            for (pitch, every) in [(0.05, 4), (0.2, 3), (0.5, 1), (0.5, 7)] {
                let (strays, off) = against_the_plain_way(&stir(seed, false), pitch, every);
                assert!(strays < 0.01, "seed {seed}, {pitch} mm, {every}: {strays} strays");
                assert!(off < 0.1, "seed {seed}, {pitch} mm, {every}: {off} pitches off");
            }
        }
    }

    #[test]
    fn drops_are_followed_too() {
        for seed in 0..4 {
            let (strays, off) = against_the_plain_way(&stir(seed, true), 0.2, 4);
            assert!(strays < 0.01, "seed {seed}: {strays} strays");
            assert!(off < 0.1, "seed {seed}: {off} pitches off");
        }
    }

    #[test]
    fn nothing_poured_is_the_first_film_where_it_is() {
        let grid = Grid { origin_mm: [5.0, 7.0], pitch_mm: 2.0, every: 1 };
        let mut out = Traced::default();
        Tracer::new(&[]).trace(&grid, [-3, 4], 20, 11, &mut out);
        assert_eq!((out.width, out.rows), (20, 11));
        assert!(out.from.iter().all(|from| *from == FIRST_FILM));
        let [x, y] = out.place[2 * 20 + 6];
        assert!((x - 11.0).abs() < 1e-4 && (y - 19.0).abs() < 1e-4, "{x} {y}");
    }

    #[test]
    fn junk_ends() {
        let wild = |origin, step| {
            let table = [[1e30, f64::INFINITY], [f64::NAN, 1e-30], [-1e300, 4.0]];
            Map::Ribbon(Ribbon::new(Lattice { origin, step }, i64::MIN, &table))
        };
        let maps = [wild(0.0, 1e-12), wild(f64::NAN, 1.0), wild(1e300, f64::INFINITY)];
        let grid = Grid { origin_mm: [0.0; 2], pitch_mm: 1.0, every: 5 };
        Tracer::new(&maps).trace(&grid, [0, 0], 96, 96, &mut Traced::default());
    }
}
