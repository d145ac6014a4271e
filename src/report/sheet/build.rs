//! The sheets of a plan.

use super::drawing::Colours;
use super::words::{film_words, foot};
use super::{Day, Head, Sheets, approval, buying, labels, mixing};
use crate::model::Fingerprint;
use crate::picture::{Chip, PngError, Raster};
use crate::plan::Plan;
use crate::quantity::Units;
use crate::report::plan_json::plan_json;

/// What sheets are made from.
#[derive(Debug, Clone)]
pub struct SheetsAsk<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Chips of all bases and accents.
    pub chips: &'a [Chip],
    /// The lamp and observer under which the chips are seen, in words.
    pub viewing: &'a str,
    /// A preview of a sample board poured in the colourway, or why there is none.
    pub board: Result<&'a BoardShown, &'a str>,
    /// Whether the client's approval names colorants and their loadings.
    pub recipe_on_approval: bool,
    /// Units to show.
    pub units: Units,
    /// When the sheets are made; the same day gives the same bytes.
    pub day: Option<Day>,
}

/// A poured board as a picture, and what it is a picture of.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardShown {
    /// The board from above.
    pub picture: Raster,
    /// Its size, its colourway, the lamp and observer, the seed; in words.
    pub shows: String,
}

/// All sheets of a plan.
///
/// # Errors
/// The board's picture cannot be encoded: memory ran out.
pub fn sheets(ask: &SheetsAsk<'_>) -> Result<Sheets, PngError> {
    let plan = ask.plan;
    let colours: Colours = ask
        .chips
        .iter()
        .filter_map(|chip| Some(((chip.accent, chip.name.clone()), chip.look.as_ref().ok()?.shown)))
        .collect();
    Ok(Sheets {
        title: format!("{} for {}", plan.colourway, plan.job),
        head: Head {
            job: plan.job.clone(),
            colourway: plan.colourway.clone(),
            film: film_words(plan, ask.units),
            fingerprint: plan.fingerprint.to_string(),
            revision: Fingerprint::of_text(&plan_json(plan).to_string()).short(),
            day: ask.day,
        },
        foot: foot(plan),
        sheets: vec![
            mixing::mixing(plan, &colours, ask.units),
            buying::buying(plan, ask.units),
            labels::labels(plan, ask.units),
            approval::approval(ask)?,
        ],
    })
}
