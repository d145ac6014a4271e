//! The sheets of a plan: printed and as a page.

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::model::Recipe;
use crate::picture::chips;
use crate::plan::Plan;
use crate::predict::Viewing;
use crate::quantity::Units;
use crate::report::sheet::{BoardShown, Day, Sheets, SheetsAsk, sheets as of_plan};
use crate::store::Opened;

use super::find::faults_told;
use super::plan::colourway;

/// What the sheets of a plan are made for.
#[derive(Debug, Clone, Copy)]
pub struct SheetsFor<'a> {
    /// Units to show.
    pub units: Units,
    /// The day that they are dated.
    pub day: Option<Day>,
    /// Whether the client's approval names colorants and their loadings; a shop's recipe is its own, so
    /// that this is to be asked for.
    pub recipe_on_approval: bool,
    /// A preview of a sample board, as of [`sample_board`](super::sample_board), or why there is none.
    pub board: Result<&'a BoardShown, &'a str>,
}

/// The sheets of a plan, with chips as the recipe's own viewing shows them.
///
/// # Errors
/// The plan is of a colourway that the shop has no more; a picture that cannot be encoded.
pub fn sheets(opened: &Opened, plan: &Plan, made: SheetsFor<'_>) -> Result<Sheets, Diagnostics> {
    let (way, file) = colourway(opened, &plan.colourway)?;
    let recipe =
        Recipe::of(&opened.shop, way).map_err(|faults| faults_told(opened, file, faults))?;
    let viewing = Viewing::of(&recipe);
    let ask = SheetsAsk {
        plan,
        chips: &chips(&recipe, &viewing),
        viewing: &viewing.words(),
        board: made.board,
        recipe_on_approval: made.recipe_on_approval,
        units: made.units,
        day: made.day,
    };
    Ok(of_plan(&ask).map_err(|why| Diagnostic::error(why.to_string()))?)
}
