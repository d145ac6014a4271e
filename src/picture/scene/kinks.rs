//! Widths of passes beside one another, evened out where one changes too suddenly along the strip.
//!
//! What a pass shoves on moves by its width, so a kink in that shows as a step across all that lies beyond. Between two
//! neighbouring columns as much of one pass changes places with the others as its *share* of the column differs: a
//! diffusion of shares, in which every column keeps its depth and every pass its area.

use super::proportional::{Row, sums};

/// A kink is felt between places so far to both sides of it, mm, and is one where a width lies further off the straight
/// line between them, mm.
const FELT_MM: f64 = 6.0;
const KINK_MM: f64 = 0.6;
/// As far to both sides of a kink shares are evened out, less and less, mm.
const REACH_MM: f64 = 24.0;
/// So much of a difference of shares changes places in a round: at most 1/3, so that none turns round.
const PART: f64 = 0.25;
/// It is half as much where a strip's depth changes by so much, mm a mm, and next to none at a wall, where streams end.
const STEEP: f64 = 2.0;
/// Most rounds.
const ROUNDS: usize = 80;

/// Evens out widths by column, columns being `step` mm apart.
pub(super) fn even_out(rows: &mut [Row], columns: usize, step: f64) {
    for row in rows.iter_mut() {
        let mut amounts = vec![0.0; columns];
        for (place, amount) in amounts.iter_mut().skip(row.first).zip(&row.amounts) {
            *place = *amount;
        }
        *row = Row { total: row.total, first: 0, amounts };
    }
    let depths = sums(rows, columns);
    // The most that may change places between a column and the next: the lesser of both depths, and less at a wall.
    let open: Vec<f64> = depths
        .windows(2)
        .map(|pair| {
            let slope = (pair[1] - pair[0]) / step / STEEP;
            PART * pair[0].min(pair[1]) / (1.0 + slope * slope)
        })
        .collect();
    let mut shares = vec![0.0; columns];
    for _ in 0..ROUNDS {
        let near = near_kinks(rows, columns, step);
        if near.iter().all(|near| *near <= 0.0) {
            break;
        }
        for row in rows.iter_mut() {
            for ((share, own), depth) in shares.iter_mut().zip(&row.amounts).zip(&depths) {
                *share = if *depth > 0.0 { own / depth } else { 0.0 };
            }
            let between = shares.windows(2).zip(near.windows(2)).zip(&open).enumerate();
            for (at, ((share, near), open)) in between {
                let moved = open * near[0].min(near[1]) * (share[1] - share[0]);
                if let Some([one, next]) = row.amounts.get_mut(at..at + 2) {
                    *one += moved;
                    *next -= moved;
                }
            }
        }
    }
    for row in rows {
        // Differences of rounding.
        row.amounts.iter_mut().for_each(|width| *width = width.max(0.0));
        // As long as it lies, a hand's way is.
        let lies = |width: &f64| *width > 0.0;
        row.first = row.amounts.iter().position(lies).unwrap_or(0);
        row.amounts.truncate(row.amounts.iter().rposition(lies).map_or(0, |last| last + 1));
        row.amounts.drain(..row.first.min(row.amounts.len()));
    }
}

/// How near each column is to a kink of any row: 1 at one, 0 beyond its reach.
fn near_kinks(rows: &[Row], columns: usize, step: f64) -> Vec<f64> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few columns")]
    let felt = (FELT_MM / step).round().max(1.0) as usize;
    let mut near = vec![0.0_f64; columns];
    for row in rows {
        for (at, own) in row.amounts.windows(2 * felt + 1).enumerate() {
            let off = own[felt] - 0.5 * (own[0] + own[2 * felt]);
            if off.abs() > KINK_MM
                && let Some(near) = near.get_mut(at + felt)
            {
                *near = 1.0;
            }
        }
    }
    let less = step / REACH_MM;
    for _ in 0..2 {
        let mut last = 0.0_f64;
        for near in &mut near {
            last = near.max(last - less);
            *near = last;
        }
        near.reverse();
    }
    near
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STEP: f64 = 2.0;

    fn row(first: usize, amounts: Vec<f64>) -> Row {
        Row { total: 0, first, amounts }
    }

    proptest! {
        #[test]
        fn columns_keep_their_depths_and_passes_their_areas(
            columns in 1_usize..60,
            given in prop::collection::vec((0_usize..60, prop::collection::vec(0.0_f64..80.0, 0..60)), 1..6),
        ) {
            let mut rows: Vec<Row> = given
                .into_iter()
                .map(|(first, mut amounts)| {
                    let first = first.min(columns - 1);
                    amounts.truncate(columns - first);
                    row(first, amounts)
                })
                .collect();
            let areas = |rows: &[Row]| rows.iter().map(|r| r.amounts.iter().sum()).collect::<Vec<f64>>();
            let (depths, own) = (sums(&rows, columns), areas(&rows));
            even_out(&mut rows, columns, STEP);
            for (now, before) in sums(&rows, columns).iter().zip(&depths) {
                prop_assert!((now - before).abs() < 1e-9, "a column of {before} mm is {now} mm");
            }
            for (now, before) in areas(&rows).iter().zip(&own) {
                prop_assert!((now - before).abs() < 1e-9, "a pass of {before} is {now}");
            }
            prop_assert!(rows.iter().flat_map(|r| &r.amounts).all(|w| *w >= 0.0));
        }
    }

    /// The largest change of width from a column to the next.
    fn steepest(row: &Row) -> f64 {
        row.amounts.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max)
    }

    #[test]
    fn a_stream_that_ends_square_tapers_off() {
        // 30 mm of it, 60 mm of what lies over it and goes on.
        let mut rows = [row(0, vec![30.0; 40]), row(0, [vec![60.0; 40], vec![90.0; 40]].concat())];
        even_out(&mut rows, 80, STEP);
        assert!(rows.iter().all(|row| steepest(row) < 4.0), "{rows:?}");
        assert!(rows[0].amounts[..20].iter().all(|w| *w > 29.9), "{rows:?}");
        assert!(rows[0].amounts.iter().skip(60).all(|w| *w < 0.1), "{rows:?}");
    }

    #[test]
    fn what_is_even_stays_and_what_ends_at_a_wall_ends_there() {
        let gentle = row(0, (0..50_u8).map(|k| 20.0 + 0.6 * f64::from(k)).collect());
        let mut rows = [gentle.clone(), row(0, vec![40.0; 50])];
        even_out(&mut rows, 50, STEP);
        assert_eq!(rows[0].amounts, gentle.amounts);
        // The ground begins 120 mm higher up from one column to the next.
        let mut rows = [row(0, vec![120.0; 30]), row(0, vec![50.0; 60])];
        even_out(&mut rows, 60, STEP);
        let over: f64 = rows[0].amounts[30..].iter().sum();
        assert!(over * STEP < 0.05 * 120.0 * 30.0 * STEP, "{over}");
    }
}
