//! A plan as text for a terminal.

mod buy;
mod clock;
mod heed;
mod mix;
mod pour;
mod size;
mod stop;
mod warn;

use super::clock_rows::recoat_words;
use super::page::{Page, Paint};
use super::standing_words::standing_rows;
use crate::plan::Plan;
use crate::quantity::Units;

/// The whole plan as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn plan_text(plan: &Plan, units: Units, paint: Paint) -> String {
    let mut page = Page::new(paint);
    page.title(&format!("{}  for  {}", plan.colourway, plan.job));
    page.line(
        0,
        &format!(
            "recipe {} · {} · {} of {} · primer {}",
            plan.fingerprint,
            plan.system,
            match plan.coats {
                1 => "one coat".to_owned(),
                coats => format!("{coats} coats"),
            },
            plan.film.show_film(units),
            plan.primer,
        ),
    );
    if let Some(words) = recoat_words(plan, units) {
        page.line(0, &words);
    }
    stop::write(&mut page, plan, units);
    heed::write(&mut page, plan, units);
    page.heading("FIGURES REST ON");
    for (standing, words) in standing_rows(plan) {
        page.hang(2, &format!("{standing}: "), &words);
    }
    size::write(&mut page, plan, units);
    buy::write(&mut page, plan, units);
    mix::write(&mut page, plan, units);
    pour::write(&mut page, plan, units);
    clock::write(&mut page, plan, units);
    warn::write(&mut page, plan);
    page.into_text()
}
