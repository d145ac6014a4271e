//! Amounts that add up both ways: iterative proportional fitting.

/// A row of amounts over some of the columns.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Number of the total that it is part of.
    pub(super) total: usize,
    /// The column of its first amount.
    pub(super) first: usize,
    /// Amounts, nought or more.
    pub(super) amounts: Vec<f64>,
}

/// Scales each column's amounts so that they sum to its own. What is nought stays so.
pub(super) fn level(rows: &mut [Row], columns: &[f64]) {
    let found = sums(rows, columns.len());
    for row in rows.iter_mut() {
        let beside = found.iter().zip(columns).skip(row.first);
        for (amount, (sum, column)) in row.amounts.iter_mut().zip(beside) {
            if *sum > 0.0 {
                *amount *= column / sum;
            }
        }
    }
}

/// The sum of the amounts in each of so many columns.
pub(super) fn sums(rows: &[Row], columns: usize) -> Vec<f64> {
    let mut sums = vec![0.0; columns];
    for row in rows {
        for (sum, amount) in sums.iter_mut().skip(row.first).zip(&row.amounts) {
            *sum += amount;
        }
    }
    sums
}

/// Scales amounts so that the rows of each total sum to it (exactly) and each column sums to its own, within `within` or as
/// near as `rounds` rounds come: the largest error of a column. Ratios between rows change only by the total, ratios
/// between columns only by the column, so what the first guess looked like is kept (Deming and Stephan 1940, Ann. Math.
/// Statist. 11, 427). What is nought stays so.
pub(super) fn fit(
    rows: &mut [Row],
    totals: &[f64],
    columns: &[f64],
    rounds: usize,
    within: f64,
) -> f64 {
    let mut most = 0.0;
    for round in 0..=rounds {
        let mut held = vec![0.0; totals.len()];
        for row in rows.iter() {
            if let Some(sum) = held.get_mut(row.total) {
                *sum += row.amounts.iter().sum::<f64>();
            }
        }
        for row in rows.iter_mut() {
            if let (Some(sum), Some(total)) = (held.get(row.total), totals.get(row.total))
                && *sum > 0.0
            {
                row.amounts.iter_mut().for_each(|amount| *amount *= total / sum);
            }
        }
        let found = sums(rows, columns.len());
        let off = found.iter().zip(columns).map(|(sum, column)| (sum - column).abs());
        most = off.fold(0.0, f64::max);
        if round == rounds || most < within {
            break;
        }
        level(rows, columns);
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The census table of Deming and Stephan's method in its plainest form: 2 × 2, where the odds ratio is kept.
    #[test]
    fn sums_are_met_and_the_odds_ratio_is_kept() {
        let mut rows = vec![
            Row { total: 0, first: 0, amounts: vec![3.0, 1.0] },
            Row { total: 1, first: 0, amounts: vec![2.0, 5.0] },
        ];
        let off = fit(&mut rows, &[7.0, 5.0], &[4.0, 8.0], 200, 1e-13);
        assert!(off < 1e-12, "{off}");
        let [a, b] = [&rows[0].amounts, &rows[1].amounts];
        assert!((a[0] + a[1] - 7.0).abs() < 1e-12 && (b[0] + b[1] - 5.0).abs() < 1e-12);
        assert!((a[0] * b[1] / (a[1] * b[0]) - 7.5).abs() < 1e-9, "{a:?} {b:?}");
    }

    #[test]
    fn rows_of_one_total_share_it_and_nought_stays() {
        let mut rows = vec![
            Row { total: 0, first: 0, amounts: vec![1.0, 0.0] },
            Row { total: 0, first: 1, amounts: vec![1.0, 2.0] },
            Row { total: 1, first: 0, amounts: vec![1.0, 1.0, 1.0] },
        ];
        let off = fit(&mut rows, &[6.0, 3.0], &[3.0, 3.0, 3.0], 200, 1e-12);
        assert!(off < 1e-11, "{off}");
        let all: f64 = rows[..2].iter().flat_map(|r| &r.amounts).sum();
        assert!((all - 6.0).abs() < 1e-12 && rows[0].amounts[1] == 0.0, "{rows:?}");
    }
}
