//! What there is to coat and how much resin that takes.

use super::super::buy_rows::{account_words, take_off_rows};
use super::super::loss_words::{allowance_words, over_words, run_off_words};
use super::super::page::{Column, Page};
use crate::plan::Plan;
use crate::quantity::{Length, Units, Volume};

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    page.heading("TO COAT");
    let rows: Vec<Vec<String>> = take_off_rows(plan, units).into_iter().map(Vec::from).collect();
    page.rows(2, &[Column::Left, Column::Right, Column::Left], &rows);

    let coat = if plan.coats == 1 { "RESIN" } else { "RESIN, EACH COAT" };
    page.heading(coat);
    let demand = &plan.demand;
    // All in the unit of their sum, so that they can be added up.
    let shown = |volume: Volume| volume.show_beside(demand.out(), units);
    let at = |what: &str, volume: Volume, film: Length| {
        format!("{what} {} at {}", shown(volume), film.show_film(units))
    };
    let flat = at("flat", demand.flat, plan.film);
    let edges = over_words(plan);
    let rows = vec![
        vec![
            "on the work".to_owned(),
            shown(demand.net()),
            if demand.upright.ml() > 0.0 {
                format!("{flat} · {}", at("upright", demand.upright, plan.face_film))
            } else {
                flat
            },
        ],
        vec![edges.to_owned(), shown(demand.run_off), run_off_words(&plan.losses, units)],
        vec!["allowance".to_owned(), shown(demand.allowance), allowance_words(&plan.losses)],
        vec!["out of containers".to_owned(), shown(demand.out()), String::new()],
    ];
    page.rows(2, &[Column::Left, Column::Right, Column::Left], &rows);
    page.line(2, &account_words(plan, units));
}
