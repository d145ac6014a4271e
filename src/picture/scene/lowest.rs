//! How deep a stream may be laid into what lies there already, so that nothing is cut off square where it ends.

use super::proportional::Row;

/// How steeply that depth may change along the strip where a hand means it.
const MEANT: f64 = 0.6;
/// How steeply it may grow away from where a stream or the ground ends beside fluid.
const BESIDE: f64 = 0.3;
/// The ground ends at a wall, not in a slope, where a strip is deeper than that beside where it has none, mm.
const WALL_MM: f64 = 15.0;
/// A stream that loses more of its width from one column to the next is cut off there, mm.
const CUT_MM: f64 = 6.0;
/// One thinner than that may end anywhere, mm.
const FELT_MM: f64 = 1.0;
/// A beginning that changes by so many times a column's width from one to the next is a jump, felt so many columns to each
/// side (a spline's coefficient acts two steps far).
const JUMP: f64 = 4.0;
pub(super) const SPLINE: usize = 3;

/// Where a fluid begins and ends in a column, mm; `None` where there is none.
pub(super) type Laid = Option<[f64; 2]>;

/// The lowest places of a strip that may be opened, by column, mm.
pub(super) struct Lowest {
    /// Where a hand means to lay a stream at the lowest.
    pub(super) meant: Vec<f64>,
    /// Where one may come to lie that follows what lies there.
    followed: Vec<f64>,
    /// Where the strip begins and ends; not where it has no ground.
    strip: Vec<Laid>,
    /// Whether any of it or of what it joins comes to lie on the board.
    shown: Vec<bool>,
}

impl Lowest {
    /// Those of a strip that begins where what it `joins` ends (none where it has no ground) and is `depth` mm deep, if
    /// a hand dips up to `dip` mm into what is `laid`. What happens where nothing is `shown` need not look well.
    pub(super) fn new(
        joins: &[Laid],
        depth: &[f64],
        laid: &[Laid],
        shown: Vec<bool>,
        dip: f64,
        step: f64,
    ) -> Self {
        let mut base: Vec<f64> = joins
            .iter()
            .zip(laid)
            .map(|(join, laid)| join.or(*laid).map_or(f64::NAN, |[_, base]| base))
            .collect();
        fill_nearest(&mut base);
        let mut room: Vec<f64> =
            joins.iter().map(|j| j.map_or(f64::NAN, |[begin, base]| base - begin)).collect();
        fill_nearest(&mut room);
        let mut beside = vec![f64::INFINITY; room.len()];
        let mut walls = vec![0];
        let seen = |at: usize| shown.get(at - 1..=at).is_some_and(|s| s.contains(&true));
        for (at, laid) in laid.windows(2).enumerate() {
            let at = at + 1;
            let fluid = laid.iter().all(Option::is_some);
            let steep = base.get(at - 1..=at).is_some_and(|b| (b[1] - b[0]).abs() > JUMP * step);
            let wall = depth
                .get(at - 1..=at)
                .is_some_and(|d| d[0].min(d[1]) <= 0.0 && d[0].max(d[1]) > WALL_MM);
            let (before, after) = (at.saturating_sub(SPLINE)..at, at..at + SPLINE);
            if fluid && (steep || wall) && seen(at) {
                // What a stream opens on this side (of a sink, an inner corner) stays closed on the other, as far up as
                // there is fluid on both.
                let higher = base.get(at - 1..=at).map_or(0.0, |b| b[0] - b[1]);
                hold(&mut beside, before, higher.max(0.0));
                hold(&mut beside, after, (-higher).max(0.0));
                walls.push(at);
            } else if steep && !fluid {
                // A line goes steeply from one side to the other over bare ground: from the very beginning there, or what
                // is opened below would be missing at the end.
                hold(&mut room, before.start..after.end, 0.0);
            }
        }
        // What holds on one side of a wall does not on the other.
        walls.push(beside.len());
        for side in walls.windows(2) {
            hold_slope(beside.get_mut(side[0]..side[1]).unwrap_or_default(), BESIDE * step);
        }
        let of = |most: f64, slope: f64| {
            let mut dips: Vec<f64> = room.iter().map(|room| room.clamp(0.0, most)).collect();
            hold_slope(&mut dips, slope * step);
            let dips = dips.into_iter().zip(&beside).map(|(dip, beside)| dip.min(*beside));
            base.iter().zip(dips).map(|(base, dip)| base - dip).collect::<Vec<f64>>()
        };
        let (meant, followed) = (of(dip, MEANT), of(f64::INFINITY, f64::INFINITY));
        let strip = joins.iter().zip(depth);
        let strip = strip
            .map(|(join, deep)| join.filter(|_| *deep > 0.0).map(|[_, base]| [base, base + deep]))
            .collect();
        Self { meant, followed, strip, shown }
    }

    /// The lowest places of one stream of these widths, mm: where it is cut off beside fluid because the ground ends sooner
    /// there, it lies above all that is on both sides, or what lies above it would end too. `ends` is where the fluid ends, mm.
    pub(super) fn of(&self, own: &Row, laid: &[Laid], ends: &[f64], step: f64) -> Vec<f64> {
        let mut most = vec![f64::INFINITY; self.followed.len()];
        let at = |column: usize| self.strip.get(column).copied().flatten();
        let mut hold_above = |inner: usize, outer: usize| {
            let top = ends.get(inner).copied().unwrap_or(f64::INFINITY);
            let beside = laid.get(outer).copied().flatten().filter(|[begin, _]| *begin < top);
            // One that ends since the ground begins higher up there lies below what goes on.
            let rises = at(inner)
                .zip(at(outer))
                .is_some_and(|([from, to], [next, end])| next - from > to - end);
            let shown = [inner, outer].iter().any(|k| self.shown.get(*k) == Some(&true));
            if let Some([_, end]) = beside
                && shown
                && !rises
            {
                let near = inner.saturating_sub(SPLINE)..inner + SPLINE + 1;
                hold(&mut most, near, (top - end).max(0.0));
            }
        };
        for (column, pair) in own.amounts.windows(2).enumerate() {
            let column = own.first + column;
            if (pair[0] - pair[1]).abs() > CUT_MM {
                let falls = pair[0] > pair[1];
                let [inner, outer] =
                    if falls { [column, column + 1] } else { [column + 1, column] };
                hold_above(inner, outer);
            }
        }
        // However thin it is, it ends with the strip's ground.
        let felt = own.amounts.iter().enumerate().filter(|(_, width)| **width > FELT_MM);
        for inner in felt.map(|(column, _)| own.first + column) {
            for outer in inner.saturating_sub(SPLINE)..=inner + SPLINE {
                if at(outer).is_none() {
                    hold_above(inner, outer);
                }
            }
        }
        hold_slope(&mut most, BESIDE * step);
        let all = self.followed.iter().zip(most).zip(ends);
        all.map(|((lowest, most), end)| lowest.max(end - most)).collect()
    }
}

/// At most so much at some columns, as far as they are there.
fn hold(depths: &mut [f64], columns: core::ops::Range<usize>, most: f64) {
    let end = columns.end.min(depths.len());
    for depth in depths.get_mut(columns.start..end).into_iter().flatten() {
        *depth = depth.min(most);
    }
}

/// Gives columns without a value that of the nearest with one, or 0.
pub(super) fn fill_nearest(values: &mut [f64]) {
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
pub(super) fn hold_slope(values: &mut [f64], most: f64) {
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
    use super::*;

    const STEP: f64 = 2.0;

    /// Fluid from 0 to 100 in 40 columns; the strip's ground goes on over the first 20.
    fn corner() -> (Vec<Laid>, Vec<f64>, Vec<Laid>) {
        let laid = vec![Some([0.0, 100.0]); 40];
        let there = |k: usize| k < 20;
        let joins = (0..40).map(|k| there(k).then_some([0.0, 100.0])).collect();
        let depth = (0..40).map(|k| if there(k) { 50.0 } else { 0.0 }).collect();
        (joins, depth, laid)
    }

    #[test]
    fn nothing_is_opened_where_the_ground_ends_beside_fluid() {
        let (joins, depth, laid) = corner();
        let lowest = Lowest::new(&joins, &depth, &laid, vec![true; 40], 60.0, STEP);
        assert_eq!(lowest.meant[20 - SPLINE..20], [100.0; SPLINE], "on top at the corner");
        let away = lowest.meant[20 - SPLINE - 10];
        assert!((away - (100.0 - 10.0 * BESIDE * STEP)).abs() < 1e-9, "{away}");
        assert!(lowest.meant.iter().zip(&lowest.followed).all(|(a, b)| b <= a));
    }

    #[test]
    fn a_hand_dips_no_deeper_than_it_means_and_a_stream_that_follows_does() {
        let all = vec![Some([0.0, 100.0]); 40];
        let lowest = Lowest::new(&all, &[50.0; 40], &all, vec![true; 40], 60.0, STEP);
        assert_eq!((lowest.meant[20], lowest.followed[20]), (40.0, 0.0));
    }

    #[test]
    fn a_stream_that_is_cut_off_lies_on_top() {
        let all = vec![Some([0.0, 100.0]); 40];
        let lowest = Lowest::new(&all, &[50.0; 40], &all, vec![true; 40], 60.0, STEP);
        let ends = vec![100.0; 40];
        let row = |amounts: Vec<f64>| Row { total: 0, first: 5, amounts };
        let cut = lowest.of(&row(vec![20.0, 20.0, 20.0, 0.0, 0.0]), &all, &ends, STEP);
        assert_eq!(cut[7], 100.0, "at its last column");
        assert!((cut[7 + SPLINE + 20] - (100.0 - 20.0 * BESIDE * STEP)).abs() < 1e-9, "{cut:?}");
        let tapered = lowest.of(&row(vec![5.0, 4.0, 3.0, 1.0, 0.0]), &all, &ends, STEP);
        assert_eq!(tapered, lowest.followed);
    }

    #[test]
    fn above_the_fluid_on_the_other_side_anything_may_be_opened() {
        let (mut joins, depth, mut laid) = corner();
        // The fluid beyond the corner ends 40 mm lower than that on this side.
        laid[20..].fill(Some([0.0, 60.0]));
        joins[..20].fill(Some([0.0, 100.0]));
        let lowest = Lowest::new(&joins, &depth, &laid, vec![true; 40], 60.0, STEP);
        assert_eq!(lowest.meant[19], 60.0, "down to where there is fluid on both");
        let ends: Vec<f64> = laid.iter().map(|l| l.map_or(0.0, |[_, end]| end)).collect();
        let own = Row {
            total: 0,
            first: 10,
            amounts: vec![20.0; 10].into_iter().chain([0.0; 5]).collect(),
        };
        let lines = lowest.of(&own, &laid, &ends, STEP);
        assert_eq!(lines[19], 60.0, "a stream that is cut off there too");
    }

    #[test]
    fn what_does_not_show_is_not_held() {
        let (joins, depth, laid) = corner();
        let lowest = Lowest::new(&joins, &depth, &laid, vec![false; 40], 60.0, STEP);
        assert_eq!(lowest.meant[19], 40.0, "as deep as a hand dips");
    }

    #[test]
    fn what_no_column_knows_is_nought() {
        let mut values = [f64::NAN; 3];
        fill_nearest(&mut values);
        assert_eq!(values, [0.0; 3]);
        let mut values = [f64::NAN, 2.0, f64::NAN, f64::NAN, 5.0];
        fill_nearest(&mut values);
        assert_eq!(values, [2.0, 2.0, 2.0, 2.0, 5.0]);
    }
}
