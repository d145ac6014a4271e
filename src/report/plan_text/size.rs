//! What there is to coat and how much resin that takes.

use super::super::buy_rows::{account_words, take_off_rows};
use super::super::loss_words::{allowance_words, over_words, run_off_words};
use super::super::page::{Column, Page};
use crate::plan::Plan;
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    page.heading("TO COAT");
    let rows: Vec<Vec<String>> = take_off_rows(plan, units).into_iter().map(Vec::from).collect();
    page.rows(2, &[Column::Left, Column::Right, Column::Left], &rows);

    let coat = if plan.coats == 1 { "RESIN" } else { "RESIN, EACH COAT" };
    page.heading(coat);
    let demand = &plan.demand;
    let edges = over_words(plan);
    let rows = vec![
        vec![
            "on the work".to_owned(),
            demand.net().show(units),
            format!(
                "flat {} at {} · upright {} at {}",
                demand.flat.show(units),
                plan.film.show_film(units),
                demand.upright.show(units),
                plan.face_film.show_film(units)
            ),
        ],
        vec![edges.to_owned(), demand.run_off.show(units), run_off_words(&plan.losses, units)],
        vec!["allowance".to_owned(), demand.allowance.show(units), allowance_words(&plan.losses)],
        vec!["out of containers".to_owned(), demand.out().show(units), String::new()],
    ];
    page.rows(2, &[Column::Left, Column::Right, Column::Left], &rows);
    page.line(2, &account_words(plan, units));
}
