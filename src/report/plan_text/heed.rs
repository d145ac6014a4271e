//! What does not stop the pour but is to be known before it, under the title: which mixes are tight, and where
//! the primer shows through.

use super::super::page::Page;
use super::super::time_words::mix_name;
use crate::plan::Plan;
use crate::quantity::Units;
use crate::suggest::listed;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    if let Ok(sheet) = &plan.time {
        let tight = (0..sheet.clocks.len()).filter(|mix| sheet.is_tight(*mix));
        let names: Vec<String> = tight.map(|mix| mix_name(sheet, mix)).collect();
        if !names.is_empty() {
            let every = names.len() > 1 && names.len() == sheet.clocks.len();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let names = if every { "every mix".to_owned() } else { listed(&names, "and") };
            page.hang(0, "HEED: ", &format!("tight in time: {names} (see CLOCK)"));
        }
    }
    if let Some(uprights) = &plan.uprights {
        let names: Vec<String> = uprights.thin().map(|base| format!("\"{}\"", base.name)).collect();
        if !names.is_empty() {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            page.hang(
                0,
                "HEED: ",
                &format!(
                    "on {} at {} the primer shows through {} (see CAUTIONS)",
                    uprights.words,
                    uprights.film_words(units),
                    listed(&names, "and"),
                ),
            );
        }
    }
}
