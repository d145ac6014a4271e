//! How far the colours of a plan may stray.

use crate::diagnostic::Diagnostics;
use crate::matching::{Doubts, Spread, spreads};
use crate::model::Recipe;
use crate::plan::Plan;
use crate::predict::Viewing;
use crate::store::Opened;

use super::plan::{PlanAsk, bare, plan_of};

/// Plans, and draws how far each base strays.
///
/// # Errors
/// As [`super::plan()`].
pub fn plan_with_spreads(
    opened: &Opened,
    ask: &PlanAsk,
    doubts: &Doubts,
) -> Result<(Plan, Vec<Spread>), Diagnostics> {
    let found = plan_of(opened, ask)?;
    let recipe = Recipe::of(&opened.shop, found.colourway).map_err(bare)?;
    let plan = found.plan;
    let viewing = Viewing { film: plan.film, ..Viewing::of(&recipe) };
    let spreads = spreads(&recipe, &plan.bases, &plan.stocks, &viewing, doubts);
    Ok((plan, spreads))
}
