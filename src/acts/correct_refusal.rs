//! Why a mix is not corrected, and what becomes of it.

use super::correct_beside::Larger;
use super::correct_ways::NotFound;
use crate::diagnostic::{Diagnostic, Severity};
use crate::matching::{Uncorrected, Unmixed};
use crate::quantity::Units;
use crate::report::correct_rows::not_used_words;

/// Whether less of the same mix could be corrected.
pub(super) const fn matters_how_much(why: &Uncorrected) -> bool {
    matches!(why, Uncorrected::TooLarge { .. } | Uncorrected::NoVessel { .. })
}

/// Whether less of the same mix is looked for: where it could be corrected, and no larger vessel takes all of it.
pub(super) fn less_can_be(why: &Uncorrected, larger: Option<&Larger>) -> bool {
    matters_how_much(why) && !larger.is_some_and(Larger::serves)
}

/// What a check refuses is refused; what makes no sense is an error. `unmixed`, where it is that, says what becomes of what
/// is not used.
pub(super) fn refused(
    not: &NotFound,
    unmixed: Option<&Unmixed>,
    clock_rests_on: &str,
    units: Units,
) -> Diagnostic {
    let NotFound { why, part, larger } = not;
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
    let larger = larger.as_ref().map(|larger| larger.words(units));
    let told = larger.into_iter().fold(told, Diagnostic::hint);
    let left = not_used_words(unmixed, units);
    match (why, part) {
        (Uncorrected::TooLate { .. }, _) => {
            told.hint(format!("mix anew; {left}")).hint(clock_rests_on)
        }
        (_, Some(Uncorrected::TooLate { .. })) => told
            .hint(format!("and no part of it can be poured in time: mix anew; {left}"))
            .hint(clock_rests_on),
        (_, Some(_)) => told.hint(format!("mix anew; {left}")),
        (Uncorrected::NoVessel { .. }, None) => told.hint(format!("or mix anew; {left}")),
        (Uncorrected::OutOfReach { .. }, None) => told
            .hint("allow further colorants with --also, or use it up in a darker base")
            .hint(format!("or mix anew; {left}")),
        (Uncorrected::NotWeighable, None) => told.hint(format!("mix anew; {left}")),
        (Uncorrected::WantedExceeds(_), None) => told.hint(left),
        (Uncorrected::NoSolvent { .. }, None) => told
            .hint(format!("nothing that is added takes it out again: mix anew without it; {left}")),
        _ => told,
    }
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
            let words = why.to_string();
            let not = NotFound { why, part: None, larger: None };
            let told = |unmixed| refused(&not, unmixed, "", Units::Us).hints.join(" ");
            assert!(told(None).contains("what is not used is spread under 1/8 in"), "{words}");
            let kept = told(Some(&unmixed));
            assert!(
                kept.contains("it keeps closed as part A does")
                    && kept.contains("449.4 g of part B"),
                "{kept}"
            );
        }
        let why = Uncorrected::TooLarge { grown_g: 33_000.0, most_g: 3000.0 };
        let not = NotFound { why, part: Some(Uncorrected::NotWeighable), larger: None };
        let hints = refused(&not, None, "", Units::Us).hints;
        assert!(
            hints.iter().any(|hint| hint.starts_with("mix anew; what is not used is")),
            "{hints:?}"
        );
    }
}
