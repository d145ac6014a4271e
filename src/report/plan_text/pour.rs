//! The small batches in pour order, each container's layers as they go in.

use super::super::fill_rows::{fill_rows, numbered};
use super::super::page::{Column, Page};
use super::super::piece_rows::{clings_words, over_row, piece_rows, pieces_words};
use super::super::scale_rows::{accent_cups_words, accents_are_of_words, batch_words, layer_rows};
use super::super::spread_words::spread_words;
use super::super::step_rows::{allowance_last_words, hold_back_words};
use crate::plan::{Plan, SmallBatch};
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    let Some(containers) = &plan.containers else {
        write_pieces(page, plan);
        return;
    };
    let board = plan.take_off.boards_alone();
    let coat = if plan.coats == 1 { "" } else { ", EACH COAT" };
    page.heading(&format!(
        "POUR{coat}: {}",
        match containers.number() {
            1 => "1 CONTAINER".to_owned(),
            number => format!("{number} CONTAINERS, IN THIS ORDER"),
        }
    ));
    // With several pieces it stands beside the weights to pour on each.
    let clings = if plan.pieces.is_empty() { clings_words(plan) } else { None };
    page.line(
        2,
        &format!(
            "each filled to {} (the recipe's own: {}); tare each one empty, then layer on layer with no tare between{}",
            containers.fill.show(units),
            containers.approved.show(units),
            clings.map_or_else(String::new, |words| format!("; {words}"))
        ),
    );
    if let Some(words) = spread_words(plan) {
        page.line(2, &words);
    }
    let scale = containers.vein_scale();
    if (scale - 1.0).abs() > 0.06 {
        page.line(
            2,
            &format!(
                "the containers change size: veins come out at about {scale:.2} of {}",
                if board { "those from full containers" } else { "the sample's" }
            ),
        );
    }
    let cups = accent_cups_words(plan);
    if !cups.is_empty() {
        page.line(2, &cups);
    }
    for ((first, batch), number) in numbered(&plan.small_batches).zip(1..) {
        write_batch(page, number, first, batch, units);
    }
    for words in hold_back_words(plan).into_iter().chain(allowance_last_words(plan)) {
        page.line(2, &words);
    }
    write_pieces(page, plan);
    page.heading("FILL: WHICH MIX GOES INTO WHICH CONTAINERS");
    for row in fill_rows(plan) {
        page.hang(2, &format!("{} into ", row.mix), &row.into);
    }
}

/// Which containers go on which piece, where there are several.
fn write_pieces(page: &mut Page, plan: &Plan) {
    let rows = piece_rows(plan);
    if rows.is_empty() {
        return;
    }
    page.heading("ON WHICH PIECE");
    page.line(2, &pieces_words(plan));
    for row in rows.into_iter().chain(over_row(plan)) {
        let from = if row.from.is_empty() { String::new() } else { format!(": {}", row.from) };
        let size = if row.size.is_empty() { String::new() } else { format!("{}, ", row.size) };
        page.hang(2, &format!("{}: ", row.piece), &format!("{size}{}{from}", row.share));
    }
}

fn write_batch(page: &mut Page, number: usize, first: u32, batch: &SmallBatch, units: Units) {
    let resin = accents_are_of_words(batch, units);
    let resin = resin.map_or_else(String::new, |words| format!(", {words}"));
    page.line(
        2,
        &format!("{number}. {} · {}{resin}", batch.name, batch_words(batch, first, units)),
    );
    let last = batch.layers.len().saturating_sub(1);
    let rows: Vec<Vec<String>> = layer_rows(batch)
        .into_iter()
        .enumerate()
        .map(|(at, row)| {
            let place = match at {
                0 if last > 0 => "bottom",
                at if at == last && last > 0 => "top",
                _ => "",
            };
            let remarks = row.remarks();
            let shows = format!("{} shows", row.scale);
            vec![place.to_owned(), row.what, row.weight, shows, row.reading, row.loading, remarks]
        })
        .collect();
    page.rows(6, &COLUMNS, &rows);
}

/// Where in the container, what, its weight, on which scale, what that shows then, an accent's loading, a remark.
const COLUMNS: [Column; 7] = [
    Column::Left,
    Column::Left,
    Column::Right,
    Column::Left,
    Column::Right,
    Column::Right,
    Column::Left,
];
