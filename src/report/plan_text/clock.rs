//! The clock: when each step comes, each mix's age against its pot life, what would help.

use super::super::clock_rows::{
    carried_over_words, first_drips_words, hot_from_words, mix_clock_rows, mixing_words,
    wanted_at_once_words,
};
use super::super::finding_rows::caution_rows;
use super::super::page::{Column, Page};
use super::super::remedy_rows::remedy_rows;
use super::super::scale_rows::{fills_accent_cups, small_cups_words};
use super::super::step_rows::{idle_words, step_runs};
use crate::plan::Plan;
use crate::plan::run_sheet::RunSheet;
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    page.heading(if plan.coats == 1 { "CLOCK" } else { "CLOCK, EACH COAT" });
    let sheet = match &plan.time {
        Ok(sheet) => sheet,
        Err(why) => {
            page.line(2, &format!("no run sheet: {why}"));
            return;
        }
    };
    page.line(
        2,
        &format!(
            "Hours and minutes from the moment B first meets A. Before: the work level, masked, primed and clean; each mix's part A weighed into its vessel, {} weighed{}, containers set out. Part B is weighed onto A within \"mix B into A\".",
            small_cups_words(plan),
            if fills_accent_cups(plan) {
                ", each accent's own cup filled with a little more than its weight"
            } else {
                ""
            }
        ),
    );
    if let Some(words) = mixing_words(sheet.mixing) {
        page.line(2, words);
    }
    for words in wanted_at_once_words(plan).into_iter().chain(first_drips_words(sheet)) {
        page.line(2, &words);
    }
    steps(page, plan, sheet, units);
    if let Some(words) = idle_words(plan, sheet) {
        page.line(2, &words);
    }
    if let Some(words) = carried_over_words(plan, sheet, units) {
        page.line(2, &words);
    }
    if let Some(words) = hot_from_words(sheet, units) {
        page.line(2, &words);
    }
    clocks(page, plan, sheet);
    for words in caution_rows(sheet, units) {
        page.hang(2, "caution: ", &words);
    }
    for row in remedy_rows(plan, units) {
        page.hang(2, "tried: ", &row.words);
    }
}

fn steps(page: &mut Page, plan: &Plan, sheet: &RunSheet, units: Units) {
    for run in step_runs(plan, sheet, units) {
        let alone = run.who.is_empty();
        if !alone {
            page.line(2, &run.who);
        }
        let rows: Vec<Vec<String>> = (1_usize..)
            .zip(run.rows)
            .map(|(number, row)| vec![format!("{number}."), row.start, row.end, row.words])
            .collect();
        let columns = [Column::Right, Column::Right, Column::Right, Column::Left];
        page.rows(if alone { 2 } else { 4 }, &columns, &rows);
    }
}

fn clocks(page: &mut Page, plan: &Plan, sheet: &RunSheet) {
    let after = |what: &str, when: &str| {
        if when.is_empty() { String::new() } else { format!("{what} {when}") }
    };
    let rows: Vec<Vec<String>> = mix_clock_rows(plan, sheet)
        .into_iter()
        .map(|row| {
            let life =
                if row.pour_by.is_empty() { row.lasts } else { format!("lasts {}", row.lasts) };
            vec![
                row.name,
                after("starts", &row.start),
                life,
                after("pour by", &row.pour_by),
                after("used up", &row.last_pour),
                row.verdict,
            ]
        })
        .collect();
    page.rows(2, &[Column::Left; 6], &rows);
}
