//! Percent or fraction: declared, written in the header, or shown by the numbers; never guessed in silence.

use crate::diagnostic::{Diagnostic, Place};

/// What a reflectance of all the light is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// 1.
    Fraction,
    /// 100.
    Percent,
}

impl Scale {
    /// The number that stands for all the light.
    #[must_use]
    pub const fn full(self) -> f64 {
        match self {
            Self::Fraction => 1.0,
            Self::Percent => 100.0,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Fraction => "fractions (0 to 1)",
            Self::Percent => "percent (0 to 100)",
        }
    }
}

/// No fraction is above this: surfaces without fluorescence stay below 1, and strongly fluorescent
/// ones reach about 1.8 in their band (common practice, no source).
const ABOVE_ANY_FRACTION: f64 = 2.0;

/// In percent, a whole set of readings below this would hold nothing but light traps: black films
/// return about 4 % from their surface alone (Fresnel, index 1.5), 0.3 % with the specular part left out.
const BELOW_ANY_PERCENT: f64 = 1.0;

/// A set whose largest number is below this could be either: dark films as fractions, light traps as percent.
const TELLING: f64 = 0.1;

/// Which scale numbers up to `largest` are in, and what to say about it.
///
/// `declared` is the person's word, `written` the header's.
///
/// # Errors
/// When words and numbers contradict one another, or nothing tells.
pub(super) fn decide(
    declared: Option<Scale>,
    written: Option<Scale>,
    largest: f64,
    place: Place,
) -> Result<(Scale, Option<Diagnostic>), Diagnostic> {
    let at = |diagnostic: Diagnostic| diagnostic.at(place.clone());
    if let (Some(declared), Some(written)) = (declared, written)
        && declared != written
    {
        return Err(at(Diagnostic::error(format!(
            "the header says {}, but {} were declared",
            written.word(),
            declared.word()
        ))));
    }
    match declared.or(written) {
        Some(Scale::Fraction) if largest > ABOVE_ANY_FRACTION => Err(at(Diagnostic::error(
            format!("stated as fractions, but the largest number is {largest}"),
        )
        .hint("are they percent?"))),
        Some(Scale::Percent) if largest <= BELOW_ANY_PERCENT => Ok((
            Scale::Percent,
            Some(at(Diagnostic::caution(format!(
                "stated as percent, but no number is above {largest}: darker than any paint"
            ))
            .hint("are they fractions?"))),
        )),
        Some(scale) => Ok((scale, None)),
        None if largest > ABOVE_ANY_FRACTION => {
            Ok((Scale::Percent, Some(told(Scale::Percent, largest, place))))
        }
        None if largest <= BELOW_ANY_PERCENT && largest > TELLING => {
            Ok((Scale::Fraction, Some(told(Scale::Fraction, largest, place))))
        }
        None => Err(at(Diagnostic::error(format!(
            "nothing tells whether these are percent or fractions: the largest number is {largest}"
        ))
        .hint("state which"))),
    }
}

fn told(scale: Scale, largest: f64, place: Place) -> Diagnostic {
    Diagnostic::caution(format!(
        "taken as {}, because the largest number is {largest}",
        scale.word()
    ))
    .at(place)
    .hint("state it to be sure")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::diagnostic::Source;

    fn decided(
        declared: Option<Scale>,
        written: Option<Scale>,
        largest: f64,
    ) -> Result<(Scale, bool), ()> {
        let place = Place::new(&Arc::new(Source { name: "r".into(), text: String::new() }), 0..0);
        decide(declared, written, largest, place)
            .map(|(scale, said)| (scale, said.is_some()))
            .map_err(|_| ())
    }

    #[test]
    fn numbers_decide_only_where_they_are_clear_and_then_it_is_said() {
        assert_eq!(decided(None, None, 0.92), Ok((Scale::Fraction, true)));
        assert_eq!(decided(None, None, 1.0), Ok((Scale::Fraction, true)));
        assert_eq!(decided(None, None, 92.0), Ok((Scale::Percent, true)));
        assert_eq!(decided(None, None, 4.0), Ok((Scale::Percent, true)), "a black film alone");
        for unclear in [0.04, 1.2, 2.0] {
            assert_eq!(decided(None, None, unclear), Err(()), "{unclear} could be either");
        }
    }

    #[test]
    fn a_word_decides_and_is_doubted_where_the_numbers_contradict_it() {
        use Scale::{Fraction, Percent};
        assert_eq!(decided(Some(Fraction), None, 0.04), Ok((Fraction, false)));
        assert_eq!(decided(None, Some(Percent), 1.2), Ok((Percent, false)));
        assert_eq!(decided(None, Some(Percent), 0.9), Ok((Percent, true)));
        assert_eq!(decided(Some(Fraction), None, 92.0), Err(()));
        assert_eq!(decided(Some(Fraction), Some(Percent), 0.5), Err(()));
    }
}
