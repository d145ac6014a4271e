//! Why a mix is not corrected, and what becomes of it.

use super::correct_beside::Larger;
use super::correct_ways::NotFound;
use crate::diagnostic::Diagnostic;
use crate::matching::{AsItStands, Uncorrected, Unmixed};
use crate::quantity::{Mass, Units};
use crate::report::correct_clock::verdict_words;
use crate::report::correct_refusal::{Against, Refusal};
use crate::report::correct_rows::not_used_words;

/// Whether less of the same mix could be corrected.
pub(super) const fn matters_how_much(why: &Uncorrected) -> bool {
    matches!(why, Uncorrected::TooLarge { .. } | Uncorrected::NoVessel { .. })
}

/// What grows to no more than so much of the least mass that is asked for grows for that. (Common practice, no source: what the
/// steps of scales leave open is less.)
const ABOUT: f64 = 1.05;

/// Whether less of the same mix is looked for: where it could be corrected, and no larger vessel takes all of it.
pub(super) fn less_can_be(why: &Uncorrected, larger: Option<&Larger>) -> bool {
    matters_how_much(why) && !larger.is_some_and(Larger::serves)
}

/// What a check refuses is refused. `unmixed`, where it is that, says what becomes of what is not used; `plan_is_late`, where
/// it is, that a mix made anew would be late too; `at_least`, where it is asked for, may be all that is too much;
/// `without` says what could be done without it.
///
/// # Errors
/// What makes no sense.
pub(super) fn refused(
    not: &NotFound,
    unmixed: Option<&Unmixed>,
    plan_is_late: Option<String>,
    at_least: Option<Mass>,
    without: Option<String>,
    units: Units,
) -> Result<Refusal, Diagnostic> {
    let NotFound { why, part, larger } = not;
    let Some(against) = Against::of(why) else { return Err(Diagnostic::error(why.to_string())) };
    let left = not_used_words(unmixed, units);
    let anew = |begin: &str| vec![format!("{begin} anew; {left}.")];
    let told = |nor: Vec<String>, to_do| Refusal { against, why: why.to_string(), nor, to_do };
    let larger: Vec<String> = larger.iter().map(|larger| larger.words(units)).collect();
    let late = match (why, part) {
        (Uncorrected::TooLate { .. }, _) => Some((why.to_string(), None)),
        (_, Some(late @ Uncorrected::TooLate { .. })) => Some((late.to_string(), Some(why))),
        _ => None,
    };
    if let Some((words, besides)) = late {
        let besides = besides
            .map(|why| format!("That is for a part of it. All of it is not corrected: {why}."));
        let to_do = match plan_is_late {
            Some(_) => vec![format!("{}.", capitalised(&left))],
            None => anew("Mix"),
        };
        let nor = besides.into_iter().chain(larger).chain(plan_is_late).collect();
        return Ok(Refusal { against: Against::Late, why: words, nor, to_do });
    }
    if let (Uncorrected::TooLarge { grown_g, most_g }, Some(least)) = (why, at_least)
        && least.g() > *most_g
        && *grown_g <= least.g() * ABOUT
    {
        let most = Mass::from_g(*most_g).show(units);
        let less = format!(
            "Ask for no more than {most} with --at-least; what is wanted beyond that is a mix of its own."
        );
        return Ok(told(larger, vec![less, format!("{}.", capitalised(&left))]));
    }
    if let Some(way) = without {
        let ask = format!("Ask again without --at-least: there is a way then: {way}.");
        return Ok(told(larger, vec![ask, format!("{}.", capitalised(&left))]));
    }
    Ok(match (why, part) {
        (_, Some(part)) => {
            let of_part = format!("Nor is a part of it corrected: {part}.");
            told(larger.into_iter().chain([of_part]).collect(), anew("Mix"))
        }
        (Uncorrected::OutOfReach { .. }, None) => {
            let also = "Allow further colorants with --also, or use it up in a darker base.";
            told(Vec::new(), [vec![also.to_owned()], anew("Or mix")].concat())
        }
        (Uncorrected::NoVessel { .. }, None) => told(larger, anew("Mix")),
        (Uncorrected::WantedExceeds(_), None) => {
            told(Vec::new(), vec![format!("{}.", capitalised(&left))])
        }
        (Uncorrected::NoSolvent { .. }, None) => told(
            Vec::new(),
            vec![format!("Nothing that is added takes it out again: mix anew without it; {left}.")],
        ),
        _ => told(Vec::new(), anew("Mix")),
    })
}

/// The refusal of a mix that comes too late, with how it is as it stands, and that it can be poured so where it can.
pub(super) fn as_it_stands(refusal: Refusal, stands: &AsItStands, within: f64) -> Refusal {
    let Refusal { nor, to_do, .. } = refusal;
    let off = format!(
        "As it stands its colour is {:.2} ΔE00 off; {within:.2} is near enough.",
        stands.error
    );
    let pour = stands.poured.as_ref().map(|clock| {
        format!(
            "It can be poured as it is, if that colour is accepted: its A : B is right, its ceilings are kept, and with nothing added it is {}.",
            verdict_words(clock)
        )
    });
    let or_anew = |words: &String| match words.strip_prefix("Mix anew;") {
        Some(rest) if pour.is_some() => format!("Or mix anew;{rest}"),
        _ => words.clone(),
    };
    let rest: Vec<String> = to_do.iter().map(or_anew).collect();
    Refusal {
        nor: std::iter::once(off).chain(nor).collect(),
        to_do: pour.into_iter().chain(rest).collect(),
        ..refusal
    }
}

/// The same of a mix of which some may have been poured, with the way to say so.
pub(super) fn with_left(refusal: Refusal) -> Refusal {
    let left = "Where some of it has been poured, --left says what is still in the vessel: what is poured is not waited for.";
    let to_do = refusal.to_do.iter().cloned().chain([left.to_owned()]).collect();
    Refusal { to_do, ..refusal }
}

/// The refusal of more than any vessel holds; `fills` says how much that is.
pub(super) fn cannot_be(fills: String, units: Units) -> Refusal {
    Refusal {
        against: Against::CannotBe,
        why: fills,
        nor: Vec::new(),
        to_do: vec![
            "Look at what was typed, its point and its unit, and ask again.".to_owned(),
            "What stands in several vessels is corrected one by one; a larger vessel is stated with --vessel.".to_owned(),
            // How much of it is part A is not known of such amounts.
            format!("{}.", capitalised(&not_used_words(None, units))),
        ],
    }
}

/// The words with a capital at their beginning.
fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::matching::Part;

    /// Whatever a check refuses says what becomes of what is in the vessel.
    #[test]
    fn no_refusal_leaves_a_live_mix_without_a_word() {
        let unmixed = Unmixed { part: Part::A, other: Mass::ZERO, lacks: Mass::from_g(449.4) };
        for why in [
            Uncorrected::TooLate { needed_min: 8.0, left_min: 5.0, hot_celsius: None },
            Uncorrected::OutOfReach { error: 2.13, grown: 20.0 },
            Uncorrected::WantedExceeds("solids".to_owned()),
            Uncorrected::NoSolvent { system: "flood".to_owned(), colorant: "ink".to_owned() },
            Uncorrected::NotWeighable,
        ] {
            let words = why.to_string();
            let not = NotFound { why, part: None, larger: None };
            for plan_is_late in [None, Some("THE PLAN ITSELF TAKES LONGER".to_owned())] {
                let told = |unmixed| {
                    let refused =
                        refused(&not, unmixed, plan_is_late.clone(), None, None, Units::Us);
                    refused.expect("refused").to_do.join(" ")
                };
                let left = told(None).to_lowercase();
                assert!(left.contains("what is not used is spread under 1/8 in"), "{words}");
                let kept = told(Some(&unmixed));
                assert!(
                    kept.contains("it keeps closed as part A does")
                        && kept.contains("449.4 g of part B"),
                    "{kept}"
                );
            }
        }
        let why = Uncorrected::TooLarge { grown_g: 33_000.0, most_g: 3000.0 };
        let not = NotFound { why, part: Some(Uncorrected::NotWeighable), larger: None };
        let told = refused(&not, None, None, None, None, Units::Us).expect("refused");
        assert!(told.to_do[0].starts_with("Mix anew; what is not used is"), "{told:?}");
        assert!(told.nor[0].starts_with("Nor is a part of it corrected: no scale"), "{told:?}");
        let not = NotFound { why: Uncorrected::Nothing, part: None, larger: None };
        assert!(refused(&not, None, None, None, None, Units::Us).is_err(), "no mix at all");
    }
}
