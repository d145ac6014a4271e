//! What a strip of ground spans: where it begins and ends, and where it would if its edges were not steep.
//!
//! A stream does not climb a wall: where the ground begins higher up (at a board's side, behind a sink), the streams that
//! run lower down end there and those above go on.

use super::proportional::Row;

/// How steeply a stream follows an edge of the ground, mm a mm.
const STEEPEST: f64 = 0.55;
/// What is a wall, mm, and how far up in what is there a pass is laid that comes to one, 0 to 1.
const WALL_MM: f64 = 8.0;
const ON_TOP: f64 = 0.9;
/// A pass that would lose more than all but so much of itself where it is cut keeps so much everywhere.
const KEPT: f64 = 0.2;

/// Where a strip begins and ends, column by column.
#[derive(Debug, Clone)]
pub(super) struct Span {
    /// Where it begins and ends, mm; none where it has no depth.
    own: Vec<Option<[f64; 2]>>,
    /// Where it would if its edges were nowhere steeper than a stream follows them.
    even: Vec<Option<[f64; 2]>>,
}

impl Span {
    /// A span of columns `step` mm apart.
    pub(super) fn new(own: Vec<Option<[f64; 2]>>, step: f64) -> Self {
        let mut even = own.clone();
        for _ in 0..2 {
            let mut last: Option<[f64; 2]> = None;
            for place in &mut even {
                // Stretches that do not meet are strips of their own.
                if let (Some([low, high]), Some([from, to])) = (last, *place)
                    && from < high
                    && low < to
                {
                    *place =
                        Some([from.min(low + STEEPEST * step), to.max(high - STEEPEST * step)]);
                }
                last = *place;
            }
            even.reverse();
        }
        Self { own, even }
    }

    /// How deep it is, mm.
    pub(super) fn depths(&self) -> Vec<f64> {
        self.own.iter().map(|s| s.map_or(0.0, |[from, to]| to - from)).collect()
    }

    /// How deep it would be if its edges were not steep, mm.
    pub(super) fn whole(&self) -> Vec<f64> {
        self.even.iter().map(|s| s.map_or(0.0, |[from, to]| to - from)).collect()
    }

    /// Where it would begin, mm.
    pub(super) fn beginnings(&self) -> Vec<f64> {
        self.even.iter().map(|s| s.map_or(f64::NAN, |[from, _]| from)).collect()
    }

    /// Whether a row comes to a wall that it may go on above.
    fn meets_wall(&self, row: &Row) -> bool {
        let all = self.own.iter().zip(&self.even).skip(row.first).zip(&row.amounts);
        let mut walls = all.filter(|((own, even), amount)| match (own, even) {
            (Some([from, _]), Some([low, _])) => **amount > 0.0 && from - low > WALL_MM,
            _ => false,
        });
        walls.next().is_some()
    }

    /// Where passes are laid: those that come to a wall one on top of the other, since what comes to lie beside its top is
    /// to lie so high up when it is poured.
    pub(super) fn place(&self, rows: &[Row], places: &mut [f64]) {
        for (row, place) in rows.iter().zip(places) {
            if self.meets_wall(row) {
                *place = ON_TOP + (1.0 - ON_TOP) * *place;
            }
        }
    }

    /// Takes from the passes that lie above one another in `order` what would lie below and above the strip's own edges.
    pub(super) fn cut(&self, rows: &mut [Row], order: &[usize]) {
        let whole: Vec<Vec<f64>> = rows.iter().map(|r| r.amounts.clone()).collect();
        let mut left: Vec<f64> = rows.iter().map(|r| r.amounts.iter().sum()).collect();
        for (column, (own, even)) in self.own.iter().zip(&self.even).enumerate() {
            let (Some([from, to]), Some([low, high])) = (own, even) else { continue };
            if to - from >= high - low {
                continue;
            }
            let at = |row: &Row| column.checked_sub(row.first).filter(|k| *k < row.amounts.len());
            let sum: f64 = rows.iter().filter_map(|r| r.amounts.get(at(r)?)).sum();
            let cuts = [from, to].map(|y| sum * (y - low) / (high - low));
            let mut below = 0.0;
            for number in order {
                let Some(row) = rows.get_mut(*number) else { continue };
                let Some(place) = at(row).and_then(|k| row.amounts.get_mut(k)) else { continue };
                let above = below + *place;
                let kept = (above.min(cuts[1]) - below.max(cuts[0])).max(0.0);
                if let Some(left) = left.get_mut(*number) {
                    *left -= *place - kept;
                }
                (*place, below) = (kept, above);
            }
        }
        for ((row, left), whole) in rows.iter_mut().zip(left).zip(whole) {
            if left < KEPT * whole.iter().sum::<f64>() {
                for (amount, whole) in row.amounts.iter_mut().zip(whole) {
                    *amount = amount.max(KEPT * whole);
                }
            }
        }
    }
}

/// In which order passes come to lie from the bottom up, if each is laid in turn at its place (0 to 1) in what lies there
/// already and `dip` mm below it.
pub(super) fn stacked(rows: &[Row], places: &[f64], dip: f64) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(rows.len());
    for (number, (row, place)) in rows.iter().zip(places).enumerate() {
        let sum: f64 = row.amounts.iter().sum();
        let mut passed = 0.0;
        let middle = row.amounts.iter().position(|a| {
            passed += a;
            passed >= 0.5 * sum
        });
        let middle = row.first + middle.unwrap_or(0);
        let at = |number: &usize| -> f64 {
            let row = rows.get(*number);
            let amount = row.and_then(|r| r.amounts.get(middle.checked_sub(r.first)?));
            amount.copied().unwrap_or(0.0)
        };
        let there: f64 = order.iter().map(at).sum();
        let height = place * (dip + there) - dip;
        let mut below = 0.0;
        let index = order.iter().position(|other| {
            let own = at(other);
            below += own;
            below - 0.5 * own > height
        });
        order.insert(index.unwrap_or(order.len()), number);
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(amounts: &[&[f64]]) -> Vec<Row> {
        let row = |(total, a): (usize, &&[f64])| Row { total, first: 0, amounts: a.to_vec() };
        amounts.iter().enumerate().map(row).collect()
    }

    /// Ground that begins 8 mm higher from the third column on, columns 10 mm apart.
    fn walled() -> Span {
        let own = [[0.0, 16.0], [0.0, 16.0], [12.0, 16.0], [12.0, 16.0]].map(Some);
        Span::new(own.to_vec(), 10.0)
    }

    #[test]
    fn a_steep_edge_is_evened_out_and_a_gap_is_not() {
        let even = walled().beginnings();
        assert_eq!(even, [0.0, 0.0, 10.0 * STEEPEST, 20.0 * STEEPEST]);
        let apart = Span::new(vec![Some([0.0, 10.0]), Some([30.0, 40.0]), None], 10.0);
        assert_eq!((apart.depths(), apart.whole()), (vec![10.0, 10.0, 0.0], vec![10.0, 10.0, 0.0]));
    }

    #[test]
    fn the_lower_streams_end_at_a_wall_and_the_upper_go_on() {
        let mut rows = rows(&[&[8.0; 4], &[8.0; 4]]);
        walled().cut(&mut rows, &[1, 0]);
        // In the third column 6.5 of 10.5 mm lie below the wall: all of the lower 5.25 and 1.25 of the upper; in the
        // fourth 1 of 5.
        let kept = |row: usize, column: usize| rows[row].amounts[column] / 16.0;
        assert_eq!([kept(0, 0), kept(1, 0), kept(1, 2), kept(0, 3)], [0.5, 0.5, 0.0, 0.5]);
        assert!((kept(0, 2) - 4.0 / 10.5).abs() < 1e-12, "{}", kept(0, 2));
        assert!((kept(1, 3) - 1.5 / 5.0).abs() < 1e-12, "{}", kept(1, 3));
    }

    #[test]
    fn a_stream_is_never_cut_away_whole() {
        let own = [[0.0, 1.0], [8.0, 9.0]].map(Some);
        let span = Span { own: own.to_vec(), even: vec![Some([0.0, 9.0]); 2] };
        let mut rows = rows(&[&[3.0, 3.0], &[3.0, 3.0], &[3.0, 3.0]]);
        span.cut(&mut rows, &[0, 1, 2]);
        assert!(rows.iter().all(|r| r.amounts.iter().sum::<f64>() >= KEPT * 6.0), "{rows:?}");
    }

    #[test]
    fn streams_that_meet_a_wall_are_laid_one_on_top_of_the_other() {
        let mut places = [0.0, 0.0];
        let rows =
            [Row { total: 0, first: 0, amounts: vec![1.0; 2] }, rows(&[&[1.0; 4]]).remove(0)];
        let wall = [[0.0, 30.0], [0.0, 30.0], [20.0, 30.0], [20.0, 30.0]].map(Some);
        Span::new(wall.to_vec(), 10.0).place(&rows, &mut places);
        assert_eq!(places, [0.0, ON_TOP]);
    }

    #[test]
    fn passes_come_to_lie_where_they_are_laid() {
        let rows = rows(&[&[10.0], &[10.0], &[10.0]]);
        assert_eq!(stacked(&rows, &[0.5, 1.0, 1.0], 0.0), [0, 1, 2]);
        assert_eq!(stacked(&rows, &[0.5, 0.0, 0.5], 0.0), [1, 2, 0]);
        // Half way down into 30 mm below: beneath all.
        assert_eq!(stacked(&rows, &[1.0, 1.0, 0.3], 30.0), [2, 0, 1]);
    }
}
