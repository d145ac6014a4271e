//! Why a mix is not corrected as it is, and what can be done with it all the same.

use super::correct_beside::Larger;
use crate::diagnostic::{Diagnostic, Severity};
use crate::matching::{InTime, Uncorrected, Unmixed};
use crate::quantity::Units;
use crate::report::correct_rows::{KeptWords, clock_words, not_used_words};

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
    /// That what is not kept is part A without enough part B to gel; else none.
    pub(super) unmixed: Option<Unmixed>,
    /// What has to be had beyond what the plan buys, as a condition; none where enough is left of that.
    pub(super) provided: Option<String>,
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
/// less could be corrected; `larger` is the vessel that all of it would go into, where its own is too small; `unmixed`,
/// where it is that, says what becomes of what is not used.
pub(super) fn refused(
    why: &Uncorrected,
    unmixed: Option<&Unmixed>,
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
    let left = not_used_words(unmixed, units);
    if let Some(Ok(kept)) = part {
        let clock = kept
            .clock
            .map(|clock| format!("{} {clock_rests_on}", clock_words(&clock)).trim_end().to_owned());
        let caution = kept.caution.map(|words| format!("CAUTION: {words}"));
        let KeptWords { keep, add, then } = kept.words;
        let provided = kept.provided.map_or_else(String::new, |provided| format!(", {provided}"));
        let way = Diagnostic::note(format!("THERE IS A WAY{provided}: {keep}"));
        let hints = add.into_iter().chain([then]).chain(kept.beside);
        let hints = hints.chain(caution).chain([kept.vessel]).chain(clock);
        let way = hints.fold(way, Diagnostic::hint);
        let message = format!("not all of it can be corrected, but a part can, see below: {why}");
        let why = Diagnostic { message, ..told };
        let left = not_used_words(kept.unmixed.as_ref(), units);
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
        (Uncorrected::OutOfReach { .. }, None) => told
            .hint("allow further colorants with --also, or use it up in a darker base")
            .hint(format!("or mix anew; {left}")),
        (Uncorrected::NotWeighable, None) => told.hint(format!("mix anew; {left}")),
        (Uncorrected::WantedExceeds(_), None) => told.hint(left),
        (Uncorrected::NoSolvent { .. }, None) => told
            .hint(format!("nothing that is added takes it out again: mix anew without it; {left}")),
        _ => told,
    };
    Refusal { why: told, way: None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matching::Part;
    use crate::quantity::Mass;

    /// Whatever a check refuses says what becomes of what is in the vessel.
    #[test]
    fn no_refusal_leaves_a_live_mix_without_a_word() {
        let unmixed = Unmixed { part: Part::A, other: Mass::ZERO, lacks: Mass::from_g(449.4) };
        for why in [
            Uncorrected::TooLate { needed_min: 8.0, left_min: 5.0 },
            Uncorrected::OutOfReach { error: 2.13, grown: 20.0 },
            Uncorrected::WantedExceeds("solids".to_owned()),
            Uncorrected::NoSolvent { system: "flood".to_owned(), colorant: "ink".to_owned() },
            Uncorrected::NotWeighable,
        ] {
            let told = |unmixed| {
                let hints = refused(&why, unmixed, "", None, None, Units::Us).why.hints;
                hints.join(" ")
            };
            assert!(told(None).contains("what is not used is spread under 1/8 in"), "{why}");
            let kept = told(Some(&unmixed));
            assert!(
                kept.contains("it keeps closed as part A does")
                    && kept.contains("449.4 g of part B"),
                "{kept}"
            );
        }
        let large = Uncorrected::TooLarge { grown_g: 33_000.0, most_g: 3000.0 };
        let part = Some(Err(Uncorrected::NotWeighable));
        let hints = refused(&large, None, "", part, None, Units::Us).why.hints;
        assert!(
            hints.iter().any(|hint| hint.starts_with("mix anew; what is not used is")),
            "{hints:?}"
        );
    }
}
