//! What to weigh into each mix, lightest base first.

use super::super::fill_rows::fills_words;
use super::super::look_words::{HIDING_NOT_KNOWN, look_line};
use super::super::mix_ratio_words::mix_ratio_words;
use super::super::page::{Column, Page};
use super::super::scale_rows::{
    INTO_VESSEL_WORDS, PARTS_WORDS, STRENGTH_WORDS, ScaleRow, comes_over_words, kind_words,
    mix_order_words, mix_rows, mix_words, stock_left_words, stock_rows, stock_serves_words,
    stock_words,
};
use crate::plan::{BasePlan, Plan, Stock};
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    let coat = if plan.coats == 1 { "" } else { ", EACH COAT" };
    if !plan.stocks.is_empty() {
        page.heading("FIRST, LET DOWN IN PART A");
        for stock in &plan.stocks {
            write_stock(page, plan, stock);
        }
        page.line(2, INTO_VESSEL_WORDS);
        page.line(2, STRENGTH_WORDS);
    }
    page.heading(&format!("MIX{coat}: {}", mix_order_words(plan).to_uppercase()));
    page.line(
        2,
        &format!(
            "{PARTS_WORDS} Mix; move to a clean second vessel, mix again, tare; then the colorants, in % of the A and B that comes over (the rest stays on the first vessel's wall); a let-down's colorant in % of all A and B. Own cup: weigh it small, beforehand too, and rinse the cup with the mix."
        ),
    );
    page.line(2, &mix_ratio_words(plan));
    for (at, base) in plan.bases.iter().enumerate() {
        write_base(page, plan, at + 1, base, units);
    }
}

fn write_stock(page: &mut Page, plan: &Plan, stock: &Stock) {
    let serves = stock_serves_words(plan, stock);
    page.line(2, &format!("{} for {serves}, {}", stock.colorant, stock_words(stock)));
    page.rows(6, &SCALE, &stock_rows(stock).into_iter().map(row).collect::<Vec<_>>());
    let left = stock_left_words(stock, plan.phr);
    if !left.is_empty() {
        page.line(6, &left);
    }
}

/// What, its weight, on which scale, what that shows then, the loading, a remark.
const SCALE: [Column; 6] =
    [Column::Left, Column::Right, Column::Left, Column::Right, Column::Right, Column::Left];

fn row(row: ScaleRow) -> Vec<String> {
    let remarks = row.remarks();
    // The neat colorant of a let-down's weight would be many times too much: it is not what is named first.
    let (what, remarks) = match row.let_down {
        Some(let_down) => (let_down, format!("of {}, {remarks}", row.what)),
        None => (row.what, remarks),
    };
    vec![what, row.weight, format!("{} shows", row.scale), row.reading, row.loading, remarks]
}

fn write_base(page: &mut Page, plan: &Plan, number: usize, base: &BasePlan, units: Units) {
    let chip = base.look.as_ref().map_or_else(String::new, |look| page.chip(look.shown));
    page.line(2, &format!("{chip}{number}. {} · {}", base.name, mix_words(base, units)));
    let kinds = base.kinds();
    for (numbers, mix) in &kinds {
        let over = comes_over_words(mix, units);
        if kinds.len() > 1 {
            let over = over.map_or_else(String::new, |over| format!("; {over}"));
            page.line(4, &format!("{}, {}{over}", kind_words(numbers), mix.mass().show(units)));
        } else if let Some(over) = over {
            let each = if base.number() > 1 { "of each " } else { "" };
            page.line(4, &format!("{each}{over}"));
        }
        page.rows(6, &SCALE, &mix_rows(mix).into_iter().map(row).collect::<Vec<_>>());
    }
    let fills = fills_words(plan, &base.name);
    if !fills.is_empty() {
        page.line(6, &fills);
    }
    page.line(6, &look_words(base, units));
}

fn look_words(base: &BasePlan, units: Units) -> String {
    let Some(look) = &base.look else {
        return format!(
            "its colour is not known: a colorant has no optical data · {HIDING_NOT_KNOWN}"
        );
    };
    let rounding = base.rounding_delta_e.map_or_else(String::new, |delta| {
        format!(" · weighing to the scale's step moves it {delta:.2} ΔE00")
    });
    format!("{}{rounding}", look_line(look, units))
}
