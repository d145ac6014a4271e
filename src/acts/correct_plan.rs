//! The plan of the job that a mix is corrected for, and what of it a correction needs to know.

use std::collections::BTreeMap;

use super::correct::CorrectionAsk;
use super::plan::{Extent, PlanAsk, plan};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::matching::Planned;
use crate::plan::{BasePlan, Means as WeighedBy, Plan};
use crate::quantity::Fraction;
use crate::report::correct_rows::parts_words;
use crate::store::Opened;

/// The plan of the job that is named, in this colourway; none where none is named.
///
/// # Errors
/// Why it cannot be planned.
pub(super) fn planned(opened: &Opened, ask: &CorrectionAsk) -> Result<Option<Plan>, Diagnostics> {
    let Some(job) = ask.job.clone() else { return Ok(None) };
    let ask = PlanAsk { colourway: Some(ask.colourway.clone()), extent: Extent::Job(job) };
    plan(opened, &ask).map(Some)
}

/// That the job that is named cannot be planned, and why, in two sentences.
pub(super) fn unplanned_words(ask: &CorrectionAsk, why: &Diagnostics) -> String {
    let job = ask.job.as_deref().unwrap_or_default();
    let first = why.0.iter().max_by_key(|each| each.severity);
    let first = first.map_or("", |first| first.message.as_str());
    let others = match why.0.len() {
        0 | 1 => String::new(),
        more => format!(", and {} more", more - 1),
    };
    format!(
        "NO PLAN OF {job}: {first}{others}. So its vessel, what it needs and its clock are not known here."
    )
}

/// That a job's plan has no such mix of a base, and what it has.
pub(super) fn no_such_mix(
    number: u32,
    plan: Option<&Plan>,
    base: &str,
    unplanned: Option<String>,
) -> Diagnostic {
    let told = |words: String| Diagnostic::error(format!("no mix {number} of {base}: {words}"));
    let Some(plan) = plan else {
        let why = unplanned.unwrap_or_else(|| "no job is named".to_owned());
        return told(why).hint("--mix numbers the mixes of a job's plan: name a job with --job");
    };
    let made = plan.bases.iter().find(|each| each.name == base).map_or(0, BasePlan::number);
    match made {
        0 => told(format!("the plan of {} mixes none of it", plan.job)),
        1 => told(format!("the plan of {} has one mix of it", plan.job))
            .hint("type --mix 1, or leave it out"),
        _ => {
            let all = Planned::all(plan, base);
            let all =
                all.iter().map(|mix| format!("{}: {}", mix.name, parts_words(mix.on_sheet())));
            let told = told(format!("the plan of {} has {made} mixes of it", plan.job));
            all.fold(told.hint(format!("type --mix 1 to --mix {made}")), Diagnostic::hint)
        }
    }
}

/// The let-downs that a plan makes for a base, by colorant: their cups are at hand.
pub(super) fn let_downs_of(plan: &Plan, base: &str) -> BTreeMap<String, Fraction> {
    let own = plan.bases.iter().filter(|each| each.name == base);
    let doses = own.flat_map(|base| &base.mixes).flat_map(|mix| &mix.doses);
    let let_downs = doses.filter_map(|dose| match &dose.means {
        WeighedBy::LetDown { down, .. } => Some((dose.colorant.clone(), down.ratio)),
        _ => None,
    });
    let_downs.collect()
}

/// The greatest share of a mix of this base that stays in its first vessel, as planned.
pub(super) fn first_keeps(plan: &Plan, base: &str) -> Option<f64> {
    let own = plan.bases.iter().filter(|each| each.name == base);
    own.flat_map(|base| &base.mixes).map(|mix| mix.first_kept).reduce(f64::max)
}
