//! The colours of a recipe under several lamps, in figures, as text for a terminal.

use super::page::{Column, Page, Paint};
use crate::picture::Chip;

/// Every base and accent with its colour under each lamp; nothing for a single lamp.
#[must_use]
pub fn lamp_text(seen: &[(&str, &[Chip])], paint: Paint) -> String {
    let [(_, first), _, ..] = seen else { return String::new() };
    let mut page = Page::new(paint);
    page.heading("UNDER EACH LAMP, EACH AGAINST ITS OWN WHITE");
    let mut rows = Vec::new();
    for (at, chip) in first.iter().enumerate() {
        for (lamp, (viewing, chips)) in seen.iter().enumerate() {
            let name = if lamp == 0 { chip.name.clone() } else { String::new() };
            let colour = match chips.get(at).map(|chip| &chip.look) {
                Some(Ok(look)) => {
                    let [l, a, b] = look.lab.to_array().map(|c| (c * 10.0).round() / 10.0 + 0.0);
                    vec![
                        format!("L* {l:.1}"),
                        format!("a* {a:.1}"),
                        format!("b* {b:.1}"),
                        look.shown.to_string(),
                    ]
                }
                Some(Err(why)) => vec![why.to_string()],
                None => Vec::new(),
            };
            rows.push([vec![name, (*viewing).to_owned()], colour].concat());
        }
    }
    let columns =
        [Column::Left, Column::Left, Column::Right, Column::Right, Column::Right, Column::Left];
    page.rows(2, &columns, &rows);
    page.into_text()
}
