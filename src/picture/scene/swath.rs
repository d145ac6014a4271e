//! One swath: the passes laid over and beside one another along one strip of the ground.
//!
//! The widths of a swath's passes add up, place by place, to the ground that it covers, and each pass' own to its area:
//! so what is poured covers the ground and no more. Where a pass is laid it opens what lies there already, of its own
//! swath and a little of the one before, and shoves it on over ground that is still bare.

use super::ground::{Ground, number};
use super::input::RibbonPath;
use super::layers::Layers;
use super::lowest::{Laid, Lowest, SPLINE, fill_nearest, hold_slope};
use super::pass::{Hand, Pass};
use super::proportional::Row;
use super::span::Span;
use super::way::{Way, held, place};
use super::widths::{smoothed, widths};
use crate::flow::{Random, Ribbon};

/// How far into the swath before a pass may be laid, as a share of the swath's depth.
pub(super) const DIP: f64 = 0.6;
/// What bounds a line is evened out over so far along the strip to both sides, mm: a hand does not follow a step.
const EVEN_MM: f64 = 45.0;
/// So far from where a strip goes up to the end of the ground it gives way fully when it is fitted, mm.
const GIVES_MM: f64 = 120.0;
/// A strip's depth is fitted to what is poured over it where the ground goes on alone, if it becomes so many times what it
/// was at least and at most.
const REST: (f64, f64) = (0.7, 1.4);

/// How steeply a line crosses what lies there, mm a mm, and over how many mm to both sides it is evened out.
const CROSSING: f64 = 0.06;
const FOLLOW_MM: f64 = 6.0;

/// How far the pour has come, column by column.
#[derive(Debug, Clone)]
pub(super) struct Front {
    /// Where the fluid begins and ends, mm; nothing laid yet where it is `None`.
    laid: Vec<Laid>,
    /// Which way that runs.
    layers: Layers,
}

impl Front {
    pub(super) fn new(ground: &Ground) -> Self {
        Self { laid: vec![None; ground.columns], layers: Layers::default() }
    }
}

/// A strip of ground to be covered: in each column the next stretch of ground, up to a height.
pub(super) struct Strip {
    /// Where the fluid below begins and ends, by column, mm: where the strip begins; not where there is no ground.
    joins: Vec<Laid>,
    /// How deep it is.
    depth: Vec<f64>,
    /// Whether it goes up to where the ground ends.
    full: Vec<bool>,
}

impl Strip {
    /// What comes next, up to the height `high` at each x, mm.
    pub(super) fn new(ground: &Ground, front: &Front, high: impl Fn(f64) -> f64) -> Self {
        let near = 2.5 * ground.lattice.step;
        let (mut joins, mut depths, mut full) = (Vec::new(), Vec::new(), Vec::new());
        for (column, laid) in front.laid.iter().enumerate() {
            let end = laid.map_or(f64::NEG_INFINITY, |[_, end]| end);
            let next = ground.stretch(column, end, high(ground.x(column)));
            // Past a gap (a sink, a corner) the fluid begins anew.
            let join = next.map(|[from, _]| match laid {
                Some([begin, end]) if from <= end + near => [*begin, *end],
                _ => [from, from],
            });
            depths.push(join.zip(next).map_or(0.0, |([_, base], [_, to])| (to - base).max(0.0)));
            joins.push(join);
            full.push(next.is_some_and(|[_, to]| ground.ends_at(column, to)));
        }
        Self { joins, depth: depths, full }
    }

    /// mm².
    pub(super) fn area(&self, ground: &Ground) -> f64 {
        self.depth.iter().sum::<f64>() * ground.lattice.step
    }

    /// Where it begins and ends.
    fn span(&self, front: &Front, step: f64) -> Span {
        let own =
            self.joins.iter().zip(&front.laid).zip(&self.depth).map(|((join, laid), depth)| {
                let join = join.or(*laid).filter(|_| *depth > 0.0);
                join.map(|[_, base]| [base, base + depth])
            });
        Span::new(own.collect(), step)
    }

    /// Whether any of a column, or of what lies below it, comes to lie on the board.
    fn shown(&self, ground: &Ground, front: &Front) -> Vec<bool> {
        let all = self.joins.iter().zip(&front.laid).zip(&self.depth).enumerate();
        all.map(|(column, ((join, laid), depth))| {
            let fluid = join.or(*laid);
            fluid.is_some_and(|[begin, base]| ground.shows(column, [begin, base + depth]))
        })
        .collect()
    }

    /// Makes it as deep as `area` mm² of fluid are: what goes up to the end of the ground stays, if the rest can be fitted,
    /// the more the further it is from there, so that the front gets no step.
    fn hold(&mut self, ground: &Ground, area: f64) {
        let step = ground.lattice.step;
        let sum: f64 = self.depth.iter().sum();
        let mut open: Vec<f64> =
            self.full.iter().map(|full| if *full { 0.0 } else { 1.0 }).collect();
        hold_slope(&mut open, step / GIVES_MM);
        let rest: f64 = self.depth.iter().zip(&open).map(|(d, open)| d * open).sum();
        let more = (area / step - sum) / rest;
        if 1.0 + more > REST.0 && 1.0 + more < REST.1 {
            self.depth.iter_mut().zip(open).for_each(|(d, open)| *d *= 1.0 + more * open);
            return;
        }
        let fit = area / step / sum;
        if fit.is_finite() {
            self.depth.iter_mut().for_each(|d| *d *= fit);
            return;
        }
        // No ground is left: what remains goes over the far edge.
        let even = area / step / number(self.depth.len().max(1));
        self.depth.fill(even);
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
) -> Vec<Ribbon> {
    strip.hold(ground, passes.iter().map(|p| p.area).sum());
    let step = ground.lattice.step;
    let shown = strip.shown(ground, front);
    let lowest = Lowest::new(&strip.joins, &strip.depth, &front.laid, shown, hand.dip, step);
    for (laid, join) in front.laid.iter_mut().zip(&strip.joins) {
        *laid = join.or(*laid);
    }
    let span = strip.span(front, step);
    let mut places: Vec<f64> = passes.iter().map(|p| place(p, hand.path, random)).collect();
    let widths = widths(&span, passes, &mut places, hand, step, random);
    let mut even = span.beginnings();
    fill_nearest(&mut even);
    // What lies there before the swath is poured.
    let begun: Vec<f64> =
        front.laid.iter().map(|l| l.map_or(f64::NEG_INFINITY, |[_, end]| end)).collect();
    front.layers.begin_swath();
    let part = if hand.path == RibbonPath::Wander { 0.5 } else { 0.8 };
    let mut ribbons = Vec::with_capacity(passes.len());
    for ((pass, own), place) in passes.iter().zip(&widths).zip(places) {
        let long = number(own.amounts.len()) * step;
        let way = Way::new(pass, place, hand.path, part * long, random);
        let ends: Vec<f64> = front
            .laid
            .iter()
            .zip(&lowest.meant)
            .map(|(laid, lowest)| laid.map_or(*lowest, |[_, end]| end.max(*lowest)))
            .collect();
        // As a hand sees it: where nothing is laid yet at the far side of a wall, what is up there is not meant.
        let seen = |bound: &[f64]| -> Vec<f64> {
            let all = bound.iter().zip(&begun).zip(&ends).zip(&even);
            let seen: Vec<f64> = all
                .map(
                    |(((bound, begun), end), even)| {
                        if end > begun { *bound } else { bound.min(*even) }
                    },
                )
                .collect();
            smoothed(&seen, EVEN_MM / step)
        };
        let [low, high] = [seen(&lowest.meant), seen(&ends)];
        let least = lowest.of(own, &front.laid, &ends, step);
        let line = line(ground, &front.layers, own, &way, [&low, &high], [&least, &ends]);
        let table: Vec<[f64; 2]> = line.iter().zip(&own.amounts).map(|(l, w)| [*l, *w]).collect();
        let first = i64::try_from(own.first).unwrap_or(0);
        front.layers.lay(own.first, &table);
        ribbons.push(Ribbon::new(ground.lattice, first, &table));
        for (at, width) in own.amounts.iter().enumerate() {
            if let Some(Some([_, end])) = front.laid.get_mut(own.first + at) {
                *end += width;
            }
        }
    }
    ribbons
}

/// The line of one pass, mm, by column of `own`: as the hand means it between what it sees (`seen`, from and to), but nearly
/// along what lies there; where it opens anything, between `within`.
fn line(
    ground: &Ground,
    layers: &Layers,
    own: &Row,
    way: &Way,
    seen: [&[f64]; 2],
    within: [&[f64]; 2],
) -> Vec<f64> {
    let step = ground.lattice.step;
    let columns = own.first..own.first + own.amounts.len();
    let middle = ground.x(own.first) + 0.5 * number(own.amounts.len()) * step;
    let bounds = |column: usize, by: [&[f64]; 2]| by.map(|b| b.get(column).copied().unwrap_or(0.0));
    let wanted: Vec<f64> = columns
        .clone()
        .map(|column| {
            let seen = bounds(column, seen);
            held(way.line(ground.x(column), middle, seen), seen)
        })
        .collect();
    let line = layers.follow(own.first, &wanted, CROSSING * step);
    let even = smoothed(&line, FOLLOW_MM / step).into_iter().zip(columns);
    even.enumerate()
        .map(|(at, (line, column))| {
            let near = at.saturating_sub(SPLINE)..(at + SPLINE + 1).min(own.amounts.len());
            let opens = own.amounts.get(near).is_some_and(|near| near.iter().any(|w| *w > 0.0));
            if opens { held(line, bounds(column, within)) } else { line }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::board::Board;
    use super::super::input::Outline;
    use super::*;
    use crate::flow::{Map, Origin, back_trace};

    /// Passes of four containers on a board of 500 × 300 mm, 1.2 times as much as it holds, in two swaths.
    fn poured(path: RibbonPath, seed: u64) -> (Vec<Pass>, Vec<Ribbon>) {
        let outer = vec![[0.0, 0.0], [500.0, 0.0], [500.0, 300.0], [0.0, 300.0]];
        let board = Board::new(vec![Outline { outer, holes: vec![] }]).expect("a board");
        let area = 1.2 * board.area_mm2();
        let ground = Ground::new(&board, &[], area, 4.0, 50.0);
        let passes: Vec<Pass> = (0..20)
            .map(|k| Pass { container: k / 5, turn: [k % 5, 5], area: area / 20.0 })
            .collect();
        let mut front = Front::new(&ground);
        let mut random = Random::new(seed);
        let mut ribbons = Vec::new();
        for (number, own) in passes.chunks(10).enumerate() {
            let high = if number == 0 { 150.0 } else { 1e6 };
            let strip = Strip::new(&ground, &front, |_| high);
            let (back, last) = (number == 1, number == 1);
            let dip = if back { DIP * 150.0 } else { 0.0 };
            let hand = Hand { path, dip, back, last };
            ribbons.extend(lay(&ground, &mut front, strip, own, hand, &mut random));
        }
        (passes, ribbons)
    }

    #[test]
    fn every_pass_has_its_area_and_the_board_is_covered() {
        for path in [RibbonPath::Sweep, RibbonPath::Drift, RibbonPath::Wander] {
            for seed in 0..8 {
                let (passes, ribbons) = poured(path, seed);
                assert_eq!(passes.len(), ribbons.len(), "one ribbon a pass");
                for (pass, ribbon) in passes.iter().zip(&ribbons) {
                    let off = (ribbon.area() / pass.area - 1.0).abs();
                    assert!(off < 1e-9, "{path:?} {seed}: {off}");
                }
                let maps: Vec<Map> = ribbons.into_iter().map(Map::Ribbon).collect();
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
        let (_, ribbons) = poured(RibbonPath::Sweep, 3);
        let lowest = |from: usize| {
            let own = ribbons.iter().skip(from).take(10);
            let lines = own.filter_map(|l| l.line_and_width(250.0));
            lines.map(|[line, _]| line).fold(f64::INFINITY, f64::min)
        };
        assert!(lowest(0) < 0.0, "the first begins beyond the edge");
        let second = lowest(10);
        assert!(second < 149.0 && second > 40.0, "the second at {second}");
    }
}
