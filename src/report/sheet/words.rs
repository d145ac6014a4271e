//! Sentences that stand on more than one sheet.

use crate::plan::{Plan, Topic, defers};
use crate::report::standing_words::demo_warning;

/// What stands under every page: that ceilings are raised by a person and why, what the cautions are about, and what
/// comes before any of it. A client reads it too, so it names no colorant.
pub(super) fn foot(plan: &Plan) -> String {
    let raised = plan.raised.iter().map(|each| {
        format!(
            "RAISED by the job: a ceiling, named in the cautions of the mixing sheet ({}). ",
            each.reason
        )
    });
    let mut topics: Vec<&str> = Vec::new();
    for caution in plan.cautions.iter().filter(|caution| caution.topic != Topic::Raised) {
        if !topics.contains(&caution.topic.word()) {
            topics.push(caution.topic.word());
        }
    }
    format!(
        "{}{}Cautions on the mixing sheet: {}. {}",
        demo_warning(plan).unwrap_or_default(),
        raised.collect::<String>(),
        topics.join(", "),
        defers()
    )
}

/// How many coats of which film over which primer.
pub(super) fn film_words(plan: &Plan, units: crate::quantity::Units) -> String {
    let coats = match plan.coats {
        1 => "one coat".to_owned(),
        coats => format!("{coats} coats"),
    };
    format!("{} · {coats} of {} · primer {}", plan.system, plan.film.show_film(units), plan.primer)
}
