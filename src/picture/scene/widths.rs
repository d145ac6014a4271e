//! How wide each pass of a swath lies, column by column.

use super::ground::number;
use super::input::RibbonPath;
use super::kinks::even_out;
use super::pass::{Hand, Pass};
use super::proportional::{Row, fit, level, sums};
use super::span::{Span, stacked};
use crate::flow::Random;
use crate::flow::series::{exp, sin_turns};

/// How often what ends at walls is fitted anew.
const CUTS: usize = 12;
/// Most rounds of fitting widths to ground and areas, and the error in mm at which it ends before.
const ROUNDS: usize = 40;
const EXACT_MM: f64 = 0.1;
/// Passes that miss the ground by more, mm, are guessed so many times as long as they are meant to be.
const LONGER: [f64; 4] = [1.0, 1.4, 2.0, 3.0];
/// And if that does not help they may stray: so much of its depth lies anywhere in a first guess.
const STRAY_MM: f64 = 5.0;
const STRAY: f64 = 0.02;
/// A stream thinner than this, or than this share of its widest, breaks off, mm (common practice, no source).
const BLUNT_MM: f64 = 3.0;
const BLUNT: f64 = 0.15;
/// A piece that has broken off holds at least so much of what the largest holds.
const PIECE: f64 = 0.2;
/// Where a stream begins and ends its width is evened out twice over so far to both sides: as a share of its widest, at
/// least and at most mm. So it has no corner, and what it shoves on does not get a step in it.
const ROUND: f64 = 1.4;
const ROUND_MM: (f64, f64) = (16.0, 70.0);

/// Means over so many columns to both sides.
pub(super) fn smoothed(values: &[f64], reach: f64) -> Vec<f64> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held")]
    let reach = reach.round().clamp(1.0, 1000.0) as usize;
    let mut before = vec![0.0];
    let mut sum = 0.0;
    before.extend(values.iter().map(|value| {
        sum += value;
        sum
    }));
    let at = |index: usize| before.get(index).copied().unwrap_or(sum);
    (0..values.len())
        .map(|k| {
            let (from, to) = (k.saturating_sub(reach), (k + reach + 1).min(values.len()));
            (at(to) - at(from)) / number(to - from)
        })
        .collect()
}

/// Takes away where a stream would be thinner than it holds together, so that it ends soon, not in a long hair or in a blob at
/// the end of one; `part` of what is too thin.
fn end_bluntly(row: &mut Row, part: f64) {
    let widest = row.amounts.iter().fold(0.0_f64, |most, w| most.max(*w));
    let least = part * BLUNT_MM.min(BLUNT * widest);
    for width in &mut row.amounts {
        *width = (*width - least).max(0.0);
    }
    let pieces = row.amounts.split(|width| *width <= 0.0);
    let largest = pieces.map(|piece| piece.iter().sum()).fold(0.0, f64::max);
    for piece in row.amounts.split_mut(|width| *width <= 0.0) {
        if piece.iter().sum::<f64>() < PIECE * largest {
            piece.fill(0.0);
        }
    }
}

/// Rows that end bluntly, but for pieces without which a column would keep less than half.
fn blunted(rows: &[Row], part: f64, columns: usize) -> Vec<Row> {
    let mut blunt = rows.to_vec();
    blunt.iter_mut().for_each(|row| end_bluntly(row, part));
    let few: Vec<bool> = sums(&blunt, columns)
        .iter()
        .zip(sums(rows, columns))
        .map(|(left, all)| *left < 0.5 * all)
        .collect();
    for (row, before) in blunt.iter_mut().zip(rows) {
        // A piece is taken whole or not at all: no end is cut off square.
        let mut at = 0;
        for piece in before.amounts.split_inclusive(|width| *width <= 0.0) {
            let own = at..at + piece.len();
            let columns = row.first + own.start..row.first + own.end;
            if few.get(columns).is_some_and(|few| few.contains(&true))
                && let Some(place) = row.amounts.get_mut(own.clone())
            {
                place.copy_from_slice(piece);
            }
            at = own.end;
        }
    }
    blunt
}

/// A row that may lie anywhere, a little.
fn stray(row: &mut Row, depths: &[f64]) {
    let own = depths.iter().enumerate().map(|(column, depth)| {
        let own = column.checked_sub(row.first).and_then(|at| row.amounts.get(at));
        own.copied().unwrap_or(0.0).max(STRAY * depth)
    });
    *row = Row { total: row.total, first: 0, amounts: own.collect() };
}

/// A row evened out, so that it begins and ends without a corner.
fn rounded(row: &Row, step: f64, columns: usize) -> Row {
    let widest = row.amounts.iter().fold(0.0_f64, |most, w| most.max(*w));
    let reach = (ROUND * widest).clamp(ROUND_MM.0, ROUND_MM.1) / step;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held")]
    let more = 2 * reach.round().clamp(1.0, 1000.0) as usize;
    let first = row.first.saturating_sub(more);
    let to = (row.first + row.amounts.len() + more).min(columns);
    let all: Vec<f64> = (first..to)
        .map(|at| {
            at.checked_sub(row.first).and_then(|at| row.amounts.get(at)).copied().unwrap_or(0.0)
        })
        .collect();
    Row { total: row.total, first, amounts: smoothed(&smoothed(&all, reach), reach) }
}

/// Each pass' widths by column, mm, that sum to the strip's depth in each column (as near as they come) and to its area.
/// `places` tells where in what is there a pass is laid, 0 at the bottom and 1 on top.
pub(super) fn widths(
    strip: &Span,
    passes: &[Pass],
    places: &mut [f64],
    hand: Hand,
    step: f64,
    random: &mut Random,
) -> Vec<Row> {
    let totals: Vec<f64> = passes.iter().map(|p| p.area / step).collect();
    let (depths, whole) = (strip.depths(), strip.whole());
    // As if its edges were not steep, first.
    let more = whole.iter().sum::<f64>() / depths.iter().sum::<f64>();
    let wholes: Vec<f64> = totals.iter().map(|total| total * more).collect();
    let fitted = |rows: &mut [Row]| fit(rows, &wholes, &whole, ROUNDS, EXACT_MM);
    let mut rows = Vec::new();
    let mut off = f64::INFINITY;
    let begun = random.clone();
    for longer in LONGER {
        *random = begun.clone();
        rows = guesses(&whole, passes, hand, longer, random);
        off = fitted(&mut rows);
        if off < STRAY_MM {
            break;
        }
    }
    if off >= STRAY_MM {
        // Some pass has too little ground where it was to lie (a strip of pieces): it may stray.
        rows.iter_mut().for_each(|row| stray(row, &whole));
        off = fitted(&mut rows);
    }
    // Only where the ground is covered as well.
    let mut better = |mut next: Vec<Row>, rows: &mut Vec<Row>| {
        let without = fitted(&mut next);
        if without < 1.2 * off + EXACT_MM {
            (*rows, off) = (next, without);
        }
    };
    for part in [1.0, 1.0, 0.5] {
        better(blunted(&rows, part, whole.len()), &mut rows);
    }
    let round = rows.iter().map(|row| rounded(row, step, whole.len())).collect();
    better(round, &mut rows);
    better(blunted(&rows, 0.5, whole.len()), &mut rows);
    strip.place(&rows, places);
    let order = stacked(&rows, places, hand.dip);
    let mut ended = ended_at_walls(strip, rows, &order, &totals);
    even_out(&mut ended, whole.len(), step);
    ended
}

/// Rows fitted as if the strip's edges were not steep, as they lie where those that run into a wall end there.
fn ended_at_walls(strip: &Span, mut rows: Vec<Row>, order: &[usize], totals: &[f64]) -> Vec<Row> {
    let (depths, whole) = (strip.depths(), strip.whole());
    let mut cut = rows.clone();
    strip.cut(&mut cut, order);
    for _ in 0..CUTS {
        // Who loses at a wall lies the wider elsewhere; what lies below the wall then ends at it again.
        for ((row, cut), total) in rows.iter_mut().zip(&cut).zip(totals) {
            let more = total / cut.amounts.iter().sum::<f64>();
            if more.is_finite() {
                row.amounts.iter_mut().for_each(|width| *width *= more);
            }
        }
        level(&mut rows, &whole);
        cut.clone_from(&rows);
        strip.cut(&mut cut, order);
    }
    let off = fit(&mut cut, totals, &depths, ROUNDS, EXACT_MM);
    // A stream that is cut thin at a wall ends there.
    let mut blunt = blunted(&cut, 1.0, depths.len());
    let without = fit(&mut blunt, totals, &depths, ROUNDS, EXACT_MM);
    if without < 1.2 * off + EXACT_MM { blunt } else { cut }
}

/// Where along the strip each pass is wide, before it is fitted: about its container's part of the strip, so many times
/// `longer`.
fn guesses(
    strip: &[f64],
    passes: &[Pass],
    Hand { path, back, last: closing, .. }: Hand,
    longer: f64,
    random: &mut Random,
) -> Vec<Row> {
    // Column at which a share of the strip's ground is passed.
    let total: f64 = strip.iter().sum();
    let column_at = |share: f64| {
        let wanted = total * if back { 1.0 - share } else { share };
        let mut sum = 0.0;
        for (column, depth) in strip.iter().enumerate() {
            if sum + depth >= wanted && *depth > 0.0 {
                return number(column) + (wanted - sum) / depth;
            }
            sum += depth;
        }
        number(strip.len())
    };
    let area: f64 = passes.iter().map(|p| p.area).sum();
    let (first, last) = (passes.first().map(|p| p.container), passes.last().map(|p| p.container));
    let covered = |column: &usize| strip.get(*column).is_some_and(|d| *d > 0.0);
    let begin = (0..strip.len()).find(covered).unwrap_or(0);
    let end = (0..strip.len()).rev().find(covered).map_or(strip.len(), |k| k + 1);
    let mut all = Vec::with_capacity(passes.len());
    let mut so_far = 0.0;
    for group in passes.chunk_by(|a, b| a.container == b.container) {
        let own: f64 = group.iter().map(|p| p.area).sum();
        let ends = [column_at(so_far / area), column_at((so_far + own) / area)];
        so_far += own;
        let (middle, long) = (f64::midpoint(ends[0], ends[1]), (ends[1] - ends[0]).abs());
        for pass in group {
            let reach = match path {
                RibbonPath::Wander => random.between(0.8, 1.3),
                _ => random.between(1.0, 1.7),
            };
            let half =
                if closing { (1.4 * reach * long).max(60.0) } else { (reach * long).max(6.0) };
            let half = longer * half;
            let at = (middle + 0.3 * long * random.bell()).clamp(number(begin), number(end));
            // Whoever is first or last in a strip fills its end.
            let (opens, closes) = if back { (last, first) } else { (first, last) };
            let fills = [opens, closes].map(|end| end == Some(pass.container));
            let waves = [random.between(0.8, 2.2) / half, random.between(2.0, 3.5) / half];
            let phases = [random.unit(), random.unit()];
            let edge = |offset: f64| (at + offset).clamp(number(begin), number(end));
            let (from, to) = (
                if fills[0] { number(begin) } else { edge(-half) },
                if fills[1] { number(end) } else { edge(half) },
            );
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held")]
            let (from, to) = (from.floor() as usize, to.ceil() as usize);
            let widths = (from..to)
                .map(|column| {
                    let depth = strip.get(column).copied().unwrap_or(0.0);
                    let s = (number(column) - at) / half;
                    let within = s > -1.0 && s < 1.0;
                    let filled = fills[0] && s <= 0.0 || fills[1] && s >= 0.0;
                    let shape = match (filled, within) {
                        (true, _) => 1.0,
                        (_, true) => (1.0 - s * s) * (1.0 - s * s),
                        _ => 0.0,
                    };
                    let swell = 0.45 * sin_turns(number(column) * waves[0] + phases[0])
                        + 0.12 * sin_turns(number(column) * waves[1] + phases[1]);
                    depth * shape * exp(swell)
                })
                .collect();
            all.push(Row { total: all.len(), first: from, amounts: widths });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_pass_keeps_its_area_on_any_ground(
            ground in prop::collection::vec(prop::option::weighted(0.9, (0.0_f64..60.0, 1.0_f64..200.0)), 1..90),
            counts in prop::collection::vec(1_usize..6, 1..5),
            (back, last, seed) in (any::<bool>(), any::<bool>(), any::<u64>()),
        ) {
            prop_assume!(ground.iter().any(Option::is_some));
            let step = 2.5;
            let own = ground.iter().map(|g| g.map(|(from, deep)| [from, from + deep])).collect();
            let span = Span::new(own, step);
            let all: f64 = span.depths().iter().sum::<f64>() * step;
            let of: usize = counts.iter().sum();
            let passes: Vec<Pass> = counts
                .iter()
                .enumerate()
                .flat_map(|(container, count)| (0..*count).map(move |turn| (container, turn, *count)))
                .map(|(container, turn, count)| Pass { container, turn: [turn, count], area: all / number(of) })
                .collect();
            let mut places = vec![0.5; passes.len()];
            let hand = Hand { path: RibbonPath::Sweep, dip: 90.0, back, last };
            let rows = widths(&span, &passes, &mut places, hand, step, &mut Random::new(seed));
            prop_assert_eq!(rows.len(), passes.len());
            for (row, pass) in rows.iter().zip(&passes) {
                let area = row.amounts.iter().sum::<f64>() * step;
                prop_assert!((area / pass.area - 1.0).abs() < 1e-9, "{} of {}", area, pass.area);
                prop_assert!(row.amounts.iter().all(|w| *w >= 0.0));
                prop_assert!(row.first + row.amounts.len() <= ground.len());
            }
        }
    }

    #[test]
    fn no_pass_lies_as_a_hair_along_the_whole_strip() {
        // Deep at both ends, with little ground between them: what is first meant does not fit there.
        let deep = |k: u16| {
            let x = f64::from(k) / 600.0 - 1.0;
            25.0 + 225.0 * x * x * x * x
        };
        let ground = (0..1200).map(|k| Some([0.0, deep(k)])).collect();
        let (step, count) = (2.5, 24);
        let span = Span::new(ground, step);
        let all: f64 = span.depths().iter().sum::<f64>() * step;
        for seed in 0..40 {
            let passes: Vec<Pass> = (0..count)
                .map(|k| Pass { container: k / 3, turn: [k % 3, 3], area: all / number(count) })
                .collect();
            let mut places = vec![0.5; count];
            let hand = Hand { path: RibbonPath::Wander, dip: 90.0, back: false, last: false };
            let rows = widths(&span, &passes, &mut places, hand, step, &mut Random::new(seed));
            for row in rows {
                let hair = row.amounts.iter().filter(|w| **w > 0.0 && **w < 4.0).count();
                assert!(hair < 700, "{seed}: {hair} of 1200 columns");
            }
        }
    }
}
