//! Where on a counter the containers of each kind go.

use crate::plan::Plan;

/// That those of each kind are spread over all that they coat; none where there is one kind alone. (Common practice, no
/// source.)
#[must_use]
pub(super) fn spread_words(plan: &Plan) -> Option<String> {
    several_kinds(plan).then(|| {
        format!(
            "Spread each kind over the whole of {}: ribbons here and there, with room beside them for the kinds that follow, which also go a little over them. So the picture has it; one kind in one place looks otherwise.",
            surface(plan)
        )
    })
}

/// The same in few words.
#[must_use]
pub(super) fn spread_brief(plan: &Plan) -> Option<&'static str> {
    several_kinds(plan).then_some("each kind over all")
}

fn several_kinds(plan: &Plan) -> bool {
    plan.small_batches.iter().filter(|batch| batch.count > 0).count() > 1
        && plan.containers.as_ref().is_some_and(|containers| containers.number() > 2)
}

fn surface(plan: &Plan) -> &'static str {
    match (plan.pieces.is_empty(), plan.take_off.boards_alone()) {
        (false, _) => "each piece",
        (true, true) => "the board",
        (true, false) => "the counter",
    }
}
