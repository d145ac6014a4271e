//! What to buy, what it costs, and what the job's other ways cost.

use super::super::buy_rows::{
    buy_rows, have_ready_words, lay_out_row, left_value_words, option_rows, options_words,
    total_words,
};
use super::super::page::{Column, Page};
use crate::plan::{Figures, Plan};
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    page.heading("BUY");
    let rows: Vec<Vec<String>> = buy_rows(plan, units)
        .into_iter()
        .map(|row| vec![row.name, row.takes, row.packages, row.price, row.left])
        .collect();
    let columns = [Column::Left, Column::Right, Column::Left, Column::Right, Column::Left];
    page.rows(2, &columns, &rows);
    page.line(2, &total_words(&plan.cost, plan.standing_of(Figures::Prices), units));
    if let Some(words) = left_value_words(plan) {
        page.line(2, &words);
    }
    for words in have_ready_words(plan, units) {
        page.line(2, &words);
    }
    for (option, words) in option_rows(plan, units) {
        page.hang(2, &format!("{option}: "), &words);
    }
    if let Some(words) = options_words(plan) {
        page.line(2, words);
    }
    page.heading("LAY OUT (NO SPARES COUNTED)");
    let rows: Vec<Vec<String>> =
        plan.lay_out.iter().map(|laid| Vec::from(lay_out_row(laid, units))).collect();
    page.rows(2, &[Column::Right, Column::Left, Column::Left], &rows);
}
