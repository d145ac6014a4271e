//! Names that the PDF's font cannot show.

use std::collections::BTreeSet;

use super::PdfError;
use super::font::Fonts;
use crate::plan::{LayerPlan, Plan};

/// The names on a plan's sheets that hold letters which the PDF's font has not: on paper these letters stand by
/// their numbers. Each once.
///
/// # Errors
/// [`PdfError::Font`], which is never the person's mistake.
pub fn unshown(plan: &Plan) -> Result<Vec<String>, PdfError> {
    let fonts = Fonts::new()?;
    let bases = plan.bases.iter();
    let doses = bases.clone().flat_map(|base| &base.mixes).flat_map(|mix| &mix.doses);
    let layers = plan.small_batches.iter().flat_map(|batch| &batch.layers);
    let accents = layers.filter_map(|layer| match layer {
        LayerPlan::Accent { name, colorant, .. } => Some([name, colorant]),
        LayerPlan::Base { .. } => None,
    });
    let names: BTreeSet<&String> = [&plan.job, &plan.colourway, &plan.system]
        .into_iter()
        .chain(bases.map(|base| &base.name))
        .chain(doses.map(|dose| &dose.colorant))
        .chain(plan.small_batches.iter().map(|batch| &batch.name))
        .chain(accents.flatten())
        .chain(plan.take_off.counters.iter().map(|counter| &counter.name))
        .collect();
    Ok(names.into_iter().filter(|name| !fonts.has_all(name)).cloned().collect())
}
