//! Why a mix is not corrected as it is, and what can be done with it all the same.

use super::correct_beside::Larger;
use crate::diagnostic::{Diagnostic, Severity};
use crate::matching::{InTime, Uncorrected};
use crate::plan::left_over_words;
use crate::quantity::Units;
use crate::report::correct_rows::{KeptWords, clock_words};

/// Whether less of the same mix could be corrected.
pub(super) const fn matters_how_much(why: &Uncorrected) -> bool {
    matches!(why, Uncorrected::TooLarge { .. } | Uncorrected::NoVessel { .. })
}

/// Whether less of the same mix is looked for: where it could be corrected, and no larger vessel takes all of it.
pub(super) fn less_can_be(why: &Uncorrected, larger: Option<&Larger>) -> bool {
    matters_how_much(why) && !larger.is_some_and(Larger::serves)
}

/// How much of a mix to keep, and what goes with that.
pub(super) struct KeptTold {
    /// How much, and what to add to it.
    pub(super) words: KeptWords,
    /// That it hides less than the recipe; none where it hides as that does, or its colour is not known.
    pub(super) caution: Option<String>,
    /// Its clock, where it runs.
    pub(super) clock: Option<InTime>,
    /// What it is held against, in sentences.
    pub(super) beside: Vec<String>,
    /// The vessel that it stands in, in words.
    pub(super) vessel: String,
}

/// Why a mix is not corrected as it is, and what can be done with it all the same: told each by itself, so that nobody
/// who reads `refused` takes the whole mix for lost.
pub(super) struct Refusal {
    pub(super) why: Diagnostic,
    pub(super) way: Option<Diagnostic>,
}

/// What a check refuses is refused; what makes no sense is an error. `part` is how much of it to keep, where
/// less could be corrected; `larger` is the vessel that all of it would go into, where its own is too small.
pub(super) fn refused(
    why: &Uncorrected,
    clock_rests_on: &str,
    part: Option<Result<KeptTold, Uncorrected>>,
    larger: Option<&Larger>,
    units: Units,
) -> Refusal {
    let severity = match why {
        Uncorrected::TooLate { .. }
        | Uncorrected::OutOfReach { .. }
        | Uncorrected::WantedExceeds(_)
        | Uncorrected::NoSolvent { .. }
        | Uncorrected::TooLarge { .. }
        | Uncorrected::NoVessel { .. }
        | Uncorrected::NotWeighable => Severity::Refused,
        _ => Severity::Error,
    };
    let told = Diagnostic::of(severity, why.to_string());
    let told = larger.map(|larger| larger.words(units)).into_iter().fold(told, Diagnostic::hint);
    let left = format!("what is not used is {}", left_over_words(units));
    if let Some(Ok(kept)) = part {
        let clock = kept
            .clock
            .map(|clock| format!("{} {clock_rests_on}", clock_words(&clock)).trim_end().to_owned());
        let caution = kept.caution.map(|words| format!("CAUTION: {words}"));
        let KeptWords { keep, add, then } = kept.words;
        let way = Diagnostic::note(format!("THERE IS A WAY: {keep}"));
        let hints = add.into_iter().chain([then]).chain(kept.beside);
        let hints = hints.chain(caution).chain([kept.vessel]).chain(clock);
        let way = hints.fold(way, Diagnostic::hint);
        let message = format!("not all of it can be corrected: {why}");
        let why = Diagnostic { message, ..told };
        let way = way.hint(format!("keep no more than that; {left}"));
        return Refusal { why, way: Some(way) };
    }
    let told = match (why, part) {
        (Uncorrected::TooLate { .. }, _) => {
            told.hint(format!("mix anew; {left}")).hint(clock_rests_on)
        }
        (_, Some(Err(Uncorrected::TooLate { .. }))) => told
            .hint(format!("and no part of it can be poured in time: mix anew; {left}"))
            .hint(clock_rests_on),
        (_, Some(Err(_))) => told.hint(format!("mix anew; {left}")),
        (Uncorrected::NoVessel { .. }, None) => told.hint(format!("or mix anew; {left}")),
        (Uncorrected::OutOfReach { .. }, None) => {
            told.hint("allow further colorants with --also, or use it up in a darker base")
        }
        (Uncorrected::NoSolvent { .. }, None) => told
            .hint(format!("nothing that is added takes it out again: mix anew without it; {left}")),
        _ => told,
    };
    Refusal { why: told, way: None }
}
