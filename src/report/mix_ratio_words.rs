//! Part A to part B as their file states them and as scales have them: a tin that says 2 : 1 is weighed otherwise.

use crate::model::{MixRatio, Standing};
use crate::plan::{Figures, Plan};

/// Both, with the standing: `Part A to part B: 2 : 1 by volume, which is 100 : 42.2 by weight (demo).`
#[must_use]
pub(super) fn mix_ratio_words(plan: &Plan) -> String {
    let standing = plan.standing_of(Figures::Mix).map_or("", Standing::word);
    let stated = plan.ratio.words();
    let weighed = match plan.ratio {
        MixRatio::Mass { a: 100.0, .. } => String::new(),
        _ => format!(", which is {} by weight", mix_by_weight(plan)),
    };
    format!(
        "Part A to part B: {stated} by its file{weighed} ({standing}). Hold it against the tin."
    )
}

/// As scales have them: `100 : 42.2`.
#[must_use]
pub(super) fn mix_by_weight(plan: &Plan) -> String {
    format!("100 : {:.1}", plan.phr)
}
