//! One swath: the passes laid over and beside one another along one strip of the ground.
//!
//! The widths of a swath's passes add up, place by place, to the ground that it covers, and each pass' own to its area:
//! so what is poured covers the ground and no more. Where a pass is laid it opens what lies there already, of its own
//! swath and a little of the one before, and shoves it on over ground that is still bare.

use super::dragging::drags;
use super::ground::{Ground, number};
use super::input::RibbonPath;
use super::pass::{Hand, Pass};
use super::widths::{smoothed, widths};
use crate::flow::series::sin_turns;
use crate::flow::{Drag, Map, Random, Ribbon};

/// How far into the swath before a pass may be laid, as a share of the swath's depth.
const DIP: f64 = 0.6;
/// How steeply that may change along the strip.
const STEEPEST: f64 = 0.6;
/// A beginning that changes by so many times a column's width from one to the next is a jump, felt so many columns to each
/// side (a spline's coefficient acts two steps far).
const JUMP: f64 = 4.0;
const SPLINE: usize = 3;
/// What bounds a line is evened out over so far along the strip to both sides, mm: a hand does not follow a step.
const EVEN_MM: f64 = 45.0;
/// A line keeps about so far from where it may not go, mm.
const SOFT_MM: f64 = 5.0;

/// How far the pour has come, column by column.
#[derive(Debug, Clone)]
pub(super) struct Front {
    /// Where the fluid begins and ends, mm; nothing laid yet where it is `None`.
    laid: Vec<Option<[f64; 2]>>,
}

impl Front {
    pub(super) fn new(ground: &Ground) -> Self {
        Self { laid: vec![None; ground.columns] }
    }

    /// Whether all within `radius` of a place is under fluid.
    pub(super) fn holds(&self, ground: &Ground, [x, y]: [f64; 2], radius: f64) -> bool {
        let near = self.laid.iter().enumerate().map(|(k, laid)| {
            let away = ground.x(k) - x;
            (radius * radius - away * away, laid)
        });
        let mut within = near.filter(|(left, _)| *left > 0.0).peekable();
        within.peek().is_some()
            && ground.x(0) < x - radius
            && within.all(|(left, laid)| {
                laid.is_some_and(|[from, to]| from < y - left.sqrt() && y + left.sqrt() < to)
            })
    }

    /// Where the fluid of the column nearest to `x` ends.
    pub(super) fn end(&self, ground: &Ground, x: f64) -> Option<f64> {
        let column = self.laid.get(ground.column_at(x))?;
        column.map(|[_, to]| to)
    }
}

/// A strip of ground to be covered: in each column the next stretch of ground, up to a height.
pub(super) struct Strip {
    /// Where the fluid below begins and ends, by column, mm: where the strip begins; not where there is no ground.
    joins: Vec<Option<[f64; 2]>>,
    /// How deep it is.
    depth: Vec<f64>,
}

impl Strip {
    /// What comes next, up to the height `high`.
    pub(super) fn new(ground: &Ground, front: &Front, high: f64) -> Self {
        let near = 2.5 * ground.lattice.step;
        let (mut joins, mut depths) = (Vec::new(), Vec::new());
        for (column, laid) in front.laid.iter().enumerate() {
            let end = laid.map_or(f64::NEG_INFINITY, |[_, end]| end);
            let next = ground.stretch(column, end, high);
            // Past a gap (a sink, a corner) the fluid begins anew.
            let join = next.map(|[from, _]| match laid {
                Some([begin, end]) if from <= end + near => [*begin, *end],
                _ => [from, from],
            });
            depths.push(join.zip(next).map_or(0.0, |([_, base], [_, to])| (to - base).max(0.0)));
            joins.push(join);
        }
        Self { joins, depth: depths }
    }

    /// mm².
    pub(super) fn area(&self, ground: &Ground) -> f64 {
        self.depth.iter().sum::<f64>() * ground.lattice.step
    }

    /// Makes it as deep as `area` mm² of fluid are.
    fn hold(&mut self, ground: &Ground, area: f64) {
        let fit = area / self.area(ground);
        if fit.is_finite() {
            self.depth.iter_mut().for_each(|d| *d *= fit);
            return;
        }
        // No ground is left: what remains goes over the far edge.
        #[expect(clippy::cast_precision_loss, reason = "a count of columns")]
        let even = area / ground.lattice.step / self.depth.len().max(1) as f64;
        self.depth.fill(even);
    }

    /// Where the fluid may be opened at the lowest, by column, mm: where the strip begins, or a little into what was laid
    /// before.
    fn lowest(&self, front: &Front, deep: f64, step: f64) -> Vec<f64> {
        let mut base: Vec<f64> = self
            .joins
            .iter()
            .zip(&front.laid)
            .map(|(join, laid)| join.or(*laid).map_or(f64::NAN, |[_, base]| base))
            .collect();
        fill_nearest(&mut base);
        let mut dips: Vec<f64> = self
            .joins
            .iter()
            .map(|j| {
                j.map_or(f64::NAN, |[begin, base]| (0.8 * (base - begin)).clamp(0.0, DIP * deep))
            })
            .collect();
        fill_nearest(&mut dips);
        // Where it begins on one side of a gap and on the other side past it, a line goes steeply from one to the other
        // over bare ground: from the very beginning there, or what is opened below would be missing at the end.
        for at in 1..base.len() {
            let steep = base.get(at - 1..=at).is_some_and(|b| (b[1] - b[0]).abs() > JUMP * step);
            let near = at.saturating_sub(SPLINE)..(at + SPLINE).min(dips.len());
            if let (true, Some(near)) = (steep, dips.get_mut(near)) {
                near.fill(0.0);
            }
        }
        hold_slope(&mut dips, STEEPEST * step);
        base.iter().zip(dips).map(|(base, dip)| base - dip).collect()
    }
}

/// A pass as it lands: what lies there is dragged along first, then opened.
pub(super) struct Landing {
    pub(super) drags: Vec<Drag>,
    pub(super) ribbon: Ribbon,
}

impl Landing {
    /// The film's movements, the ribbon last.
    pub(super) fn into_maps(self) -> impl Iterator<Item = Map> {
        self.drags.into_iter().map(Map::Drag).chain([Map::Ribbon(self.ribbon)])
    }
}

/// Lays the passes over a strip, in their order.
pub(super) fn lay(
    ground: &Ground,
    front: &mut Front,
    mut strip: Strip,
    passes: &[Pass],
    hand: Hand,
    random: &mut Random,
) -> Vec<Landing> {
    strip.hold(ground, passes.iter().map(|p| p.area).sum());
    let lowest = strip.lowest(front, hand.deep, ground.lattice.step);
    for (laid, join) in front.laid.iter_mut().zip(&strip.joins) {
        *laid = join.or(*laid);
    }
    let step = ground.lattice.step;
    let widths = widths(&strip.depth, passes, hand, step, random);
    let part = if hand.path == RibbonPath::Wander { 0.5 } else { 0.8 };
    let mut landings = Vec::with_capacity(passes.len());
    for (pass, own) in passes.iter().zip(&widths) {
        let long = number(own.amounts.len()) * step;
        let way = Way::new(pass, hand.path, part * long, random);
        let ends: Vec<f64> = front
            .laid
            .iter()
            .zip(&lowest)
            .map(|(laid, lowest)| laid.map_or(*lowest, |[_, end]| end.max(*lowest)))
            .collect();
        let [low, high] = [&lowest, &ends].map(|bound| smoothed(bound, EVEN_MM / step));
        let middle = ground.x(own.first) + 0.5 * long;
        let table: Vec<[f64; 2]> = own
            .amounts
            .iter()
            .enumerate()
            .map(|(at, width)| {
                let column = own.first + at;
                let of = |values: &[f64]| values.get(column).copied().unwrap_or(0.0);
                let wanted = way.line(ground.x(column), middle, [of(&low), of(&high)]);
                [held(wanted, [of(&lowest), of(&ends)]), *width]
            })
            .collect();
        let first = i64::try_from(own.first).unwrap_or(0);
        let room: Vec<f64> = table
            .iter()
            .enumerate()
            .map(|(at, [line, _])| match front.laid.get(own.first + at) {
                Some(Some([begin, end])) => (line - begin).min(end - line),
                _ => 0.0,
            })
            .collect();
        let line: Vec<f64> = table.iter().map(|[line, _]| *line).collect();
        let drags = drags(ground, own.first, &line, &room, random);
        landings.push(Landing { drags, ribbon: Ribbon::new(ground.lattice, first, &table) });
        for (at, width) in own.amounts.iter().enumerate() {
            if let Some(Some([_, end])) = front.laid.get_mut(own.first + at) {
                *end += width;
            }
        }
    }
    landings
}

/// How one pass goes over its strip.
struct Way {
    /// Where between the nearest and the furthest line it may be, 0 to 1.
    place: f64,
    /// How steeply it crosses the strip.
    slope: f64,
    /// Amplitude mm, waves per mm, phase.
    bends: [[f64; 3]; 3],
}

impl Way {
    fn new(pass: &Pass, path: RibbonPath, length: f64, random: &mut Random) -> Self {
        let [turn, of] = pass.turn;
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let through = (turn as f64 + 0.5) / of.max(1) as f64;
        let (place, slope) = match path {
            RibbonPath::Sweep => (0.3 + 0.6 * through + 0.1 * random.bell(), 0.08 * random.bell()),
            RibbonPath::Drift => {
                let sign = if turn.is_multiple_of(2) { 1.0 } else { -1.0 };
                (0.5 + 0.15 * random.bell(), sign * random.between(0.12, 0.3))
            }
            RibbonPath::Wander => (random.unit(), 0.14 * random.bell()),
        };
        // A hand sways slowly and far, trembles quickly and little.
        let sways = match path {
            RibbonPath::Wander => [(0.03, 0.08, 0.6, 1.3), (0.005, 0.02, 1.4, 2.6)],
            _ => [(0.02, 0.05, 0.8, 1.6), (0.003, 0.011, 2.0, 3.6)],
        };
        let mut bend = |(least, most, few, many): (f64, f64, f64, f64)| {
            [
                random.between(least, most) * length,
                random.between(few, many) / length,
                random.unit(),
            ]
        };
        let (slow, quick) = (bend(sways[0]), bend(sways[1]));
        let tremor = [random.between(0.4, 1.6), 1.0 / random.between(70.0, 140.0), random.unit()];
        Self { place, slope, bends: [slow, quick, tremor] }
    }

    /// Where the hand would lay it at `x`, mm, if it may be between two lines there.
    fn line(&self, x: f64, middle: f64, [low, high]: [f64; 2]) -> f64 {
        let mut y = low + self.place.clamp(0.0, 1.0) * (high - low) + self.slope * (x - middle);
        for [amplitude, per_mm, phase] in self.bends {
            y += amplitude * sin_turns((x - middle) * per_mm + phase);
        }
        y
    }
}

/// A place held between two others, softly where they are far apart.
fn held(y: f64, [low, high]: [f64; 2]) -> f64 {
    let room = high - low;
    let soft = SOFT_MM.min(0.25 * room);
    let below = |a: f64, b: f64| 0.5 * (a + b - ((a - b) * (a - b) + soft * soft).sqrt());
    let held = below(y - low, room);
    low + (-below(-held, 0.0)).clamp(0.0, room)
}

/// Gives columns without a value that of the nearest with one, or 0.
fn fill_nearest(values: &mut [f64]) {
    for _ in 0..2 {
        let mut last = f64::NAN;
        for value in values.iter_mut() {
            if value.is_nan() { *value = last } else { last = *value }
        }
        values.reverse();
    }
    for value in values {
        if value.is_nan() {
            *value = 0.0;
        }
    }
}

/// Lowers values until none is more than `most` above its neighbour.
fn hold_slope(values: &mut [f64], most: f64) {
    for _ in 0..2 {
        let mut last = f64::INFINITY;
        for value in values.iter_mut() {
            last = value.min(last + most);
            *value = last;
        }
        values.reverse();
    }
}

#[cfg(test)]
mod tests {
    use super::super::board::Board;
    use super::super::input::Outline;
    use super::*;
    use crate::flow::{Origin, back_trace};

    /// Passes of four containers on a board of 500 × 300 mm, 1.2 times as much as it holds, in two swaths.
    fn poured(path: RibbonPath, seed: u64) -> (Vec<Pass>, Vec<Landing>) {
        let outer = vec![[0.0, 0.0], [500.0, 0.0], [500.0, 300.0], [0.0, 300.0]];
        let board = Board::new(vec![Outline { outer, holes: vec![] }]).expect("a board");
        let area = 1.2 * board.area_mm2();
        let ground = Ground::new(&board, &[], area, 4.0, 50.0);
        let passes: Vec<Pass> = (0..20)
            .map(|k| Pass { container: k / 5, turn: [k % 5, 5], area: area / 20.0 })
            .collect();
        let mut front = Front::new(&ground);
        let mut random = Random::new(seed);
        let mut landings = Vec::new();
        for (number, own) in passes.chunks(10).enumerate() {
            let high = if number == 0 { 150.0 } else { 1e6 };
            let strip = Strip::new(&ground, &front, high);
            let hand = Hand { path, deep: 150.0, back: number == 1, last: number == 1 };
            landings.extend(lay(&ground, &mut front, strip, own, hand, &mut random));
        }
        (passes, landings)
    }

    #[test]
    fn every_pass_has_its_area_and_the_board_is_covered() {
        for path in [RibbonPath::Sweep, RibbonPath::Drift, RibbonPath::Wander] {
            for seed in 0..8 {
                let (passes, landings) = poured(path, seed);
                assert_eq!(passes.len(), landings.len(), "one ribbon a pass");
                for (pass, landing) in passes.iter().zip(&landings) {
                    let off = (landing.ribbon.area() / pass.area - 1.0).abs();
                    assert!(off < 1e-9, "{path:?} {seed}: {off}");
                }
                let maps: Vec<Map> = landings.into_iter().flat_map(Landing::into_maps).collect();
                let mut bare = 0;
                for i in 0..100 {
                    for j in 0..60 {
                        let p = [5.0 * f64::from(i) + 2.5, 5.0 * f64::from(j) + 2.5];
                        bare += u32::from(matches!(back_trace(&maps, p), Origin::Film(_)));
                    }
                }
                assert!(bare <= 12, "{path:?} {seed}: {bare} of 6000 places are bare");
            }
        }
    }

    #[test]
    fn a_later_swath_reaches_into_the_one_before() {
        let (_, landings) = poured(RibbonPath::Sweep, 3);
        let lowest = |from: usize| {
            let own = landings.iter().skip(from).take(10);
            let lines = own.filter_map(|l| l.ribbon.line_and_width(250.0));
            lines.map(|[line, _]| line).fold(f64::INFINITY, f64::min)
        };
        assert!(lowest(0) < 0.0, "the first begins beyond the edge");
        let second = lowest(10);
        assert!(second < 149.0 && second > 40.0, "the second at {second}");
    }
}
