//! What a person says is in a vessel: colorants as they were weighed, neat or let down in part A.

use crate::diagnostic::Diagnostic;
use crate::model::Colorant;
use crate::quantity::{Fraction, Mass};
use crate::report::correct_rows::stated_weight;
use crate::report::let_down_words;

/// Spellings of the word that tells a let-down, longest first.
const LET_DOWN: [&str; 4] = ["let-down", "let down", "letdown", "ld"];

/// A colorant's name and, where its weight is that of a let-down, the let-down's ratio: colorant to colorant
/// and part A. Read as a label writes it, `blue paste, let-down 1 : 3`, with some leniency: capitals, the comma,
/// spaces about the colon and a trailing `in part A` do not matter. `is_name` says what is a colorant's own
/// name, which is never cut.
///
/// # Errors
/// A let-down without a ratio that can be read.
pub(super) fn held_word(
    word: &str,
    is_name: impl Fn(&str) -> bool,
) -> Result<(String, Option<Fraction>), Diagnostic> {
    let word = word.trim();
    if is_name(word) {
        return Ok((word.to_owned(), None));
    }
    let small = word.to_ascii_lowercase();
    // A word of its own, after a name.
    let begins = |at: usize, spelling: &str| {
        let before = small[..at].chars().next_back();
        let after = small[at + spelling.len()..].chars().next();
        before.is_none_or(|c| !c.is_alphanumeric()) && after.is_none_or(|c| !c.is_alphabetic())
    };
    let found = LET_DOWN.iter().find_map(|spelling| {
        small
            .match_indices(spelling)
            .map(|(at, _)| at)
            .find(|at| begins(*at, spelling))
            .map(|at| (at, at + spelling.len()))
    });
    let Some((from, to)) = found else { return ratio_alone(word, is_name) };
    let name = word[..from].trim_end_matches([' ', ',', '(', ':', '-']).to_owned();
    let ratio = small[to..].trim().trim_end_matches(')').trim();
    let ratio =
        ratio.strip_suffix("in part a").or_else(|| ratio.strip_suffix("in a")).unwrap_or(ratio);
    match ratio_of(ratio) {
        Some(ratio) if !name.is_empty() => Ok((name, Some(within_bounds(word, ratio)?))),
        _ => Err(unread(word, if is_name(&name) { &name } else { "blue paste" })),
    }
}

/// Parts of one to a part of the other that a let-down has at most, either way: a weaker one brings no colour that
/// is seen, and a stronger one is neat colorant. (Common practice, no source; a plan makes none weaker than 1 : 99.)
const MOST_PARTS: f64 = 1000.0;

/// A ratio that a let-down can have.
fn within_bounds(word: &str, ratio: Fraction) -> Result<Fraction, Diagnostic> {
    let parts_of_a = 1.0 / ratio.value() - 1.0;
    if parts_of_a > MOST_PARTS * (1.0 + 1e-9) {
        return Err(Diagnostic::error(format!(
            "\"{word}\" is weaker than 1 : {MOST_PARTS}, which no let-down is"
        ))
        .hint("a plan makes none weaker than 1 : 99, for more part A than that is not stirred evenly; look at its label"));
    }
    if parts_of_a < (1.0 - 1e-9) / MOST_PARTS {
        return Err(Diagnostic::error(format!(
            "\"{word}\" is stronger than {MOST_PARTS} : 1, which no let-down is"
        ))
        .hint("the ratio is colorant : part A; neat colorant is typed by its name alone"));
    }
    Ok(ratio)
}

fn unread(word: &str, name: &str) -> Diagnostic {
    Diagnostic::error(format!("\"{word}\" is no let-down that can be read")).hint(format!(
        "write what stands on its label, and the weight of the let-down: --held \"{name}, let-down 1 : 3=8.8 g\""
    ))
}

/// A name and a ratio with no word between, as a let-down's cup is labelled in large letters: `blue paste 1 : 3`.
/// What has no ratio is a name, right or wrong.
fn ratio_alone(
    word: &str,
    is_name: impl Fn(&str) -> bool,
) -> Result<(String, Option<Fraction>), Diagnostic> {
    let digits = word
        .char_indices()
        .filter(|(at, c)| {
            c.is_ascii_digit() && !word[..*at].ends_with(|c: char| c.is_ascii_digit())
        })
        .map(|(at, _)| at);
    let cut: Vec<(&str, &str)> = digits
        .map(|at| (word[..at].trim_end_matches([' ', ',', '(', ':', '-']), &word[at..]))
        .filter(|(name, _)| !name.is_empty())
        .collect();
    let read = |tail: &str| {
        let tail = tail.to_ascii_lowercase();
        let tail = tail.trim().trim_end_matches(')').trim();
        let tail = tail.strip_suffix("in part a").or_else(|| tail.strip_suffix("in a"));
        tail.and_then(ratio_of)
    };
    let read = |tail: &str| ratio_of(tail.trim_end_matches([' ', ')'])).or_else(|| read(tail));
    if let Some((name, tail)) = cut.iter().find(|(name, _)| is_name(name)) {
        let ratio = read(tail).ok_or_else(|| unread(word, name))?;
        return Ok(((*name).to_owned(), Some(within_bounds(word, ratio)?)));
    }
    let found = cut.iter().find_map(|(name, tail)| Some((*name, read(tail)?)));
    match found {
        Some((name, ratio)) => Ok((name.to_owned(), Some(within_bounds(word, ratio)?))),
        None => Ok((word.to_owned(), None)),
    }
}

/// `1 : 3`, parts of colorant to parts of A.
fn ratio_of(text: &str) -> Option<Fraction> {
    let (colorant, a) = text.split_once(':').or_else(|| text.split_once(" to "))?;
    let number = |text: &str| {
        let digits = text.trim();
        // No sign and no exponent: parts are counted.
        let plain = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        digits.parse::<f64>().ok().filter(|parts| plain && parts.is_finite() && *parts > 0.0)
    };
    let (colorant, a) = (number(colorant)?, number(a)?);
    let ratio = colorant / (colorant + a);
    (ratio > 0.0 && ratio < 1.0).then(|| Fraction::new(ratio))
}

/// What a weighing brought: the colorant's own mass, and part A.
pub(super) fn brought(mass: Mass, let_down: Option<Fraction>) -> [Mass; 2] {
    let own = let_down.map_or(mass, |ratio| mass * ratio.value());
    [own, mass - own]
}

/// A weighing in words: `blue paste, let-down 1 : 3 8.80 g (2.20 g of it, 6.60 g of part A)`.
pub(super) fn weighing_words(
    colorant: &Colorant,
    mass: Mass,
    let_down: Option<Fraction>,
) -> String {
    let name = &colorant.name;
    let weight = stated_weight(mass);
    let Some(ratio) = let_down else { return format!("{name} {weight}") };
    let [own, a] = brought(mass, let_down);
    format!(
        "{weight} of {name}, {} ({} of {name} and {} of part A)",
        let_down_words(ratio),
        stated_weight(own),
        stated_weight(a)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(word: &str) -> Result<(String, Option<f64>), Diagnostic> {
        let own = |name: &str| ["old let-down paste", "blue paste", "red 15"].contains(&name);
        held_word(word, own).map(|(name, ratio)| (name, ratio.map(Fraction::value)))
    }

    #[test]
    fn a_let_down_is_read_as_its_label_writes_it() {
        for word in [
            "blue paste, let-down 1 : 3",
            "blue paste, let-down 1:3",
            "blue paste let down 1 :3",
            "blue paste, Let-Down 1 : 3 in part A",
            "blue paste (letdown 1 to 3)",
            " blue paste, ld 2:6 ",
            "blue paste 1 : 3",
            "blue paste 1:3",
            "blue paste,1: 3 in part A",
            "blue paste (1 to 3)",
            "blue paste1:3",
        ] {
            assert_eq!(read(word).unwrap(), ("blue paste".to_owned(), Some(0.25)), "{word}");
        }
        assert_eq!(
            read("gold paste").unwrap(),
            ("gold paste".to_owned(), None),
            "ld within a word"
        );
        assert_eq!(read("red 15").unwrap().1, None, "a colorant's own number");
        assert_eq!(read("red 15 1 : 4").unwrap(), ("red 15".to_owned(), Some(0.2)));
        assert_eq!(read("green 7").unwrap(), ("green 7".to_owned(), None), "unknown, no ratio");
        assert_eq!(read("green 7 1 : 4").unwrap(), ("green 7".to_owned(), Some(0.2)));
        assert_eq!(read("old let-down paste").unwrap().1, None, "a colorant's own name");
        for word in [
            "blue paste, let-down",
            "let-down 1 : 3",
            "blue, let-down 1 : 0",
            "blue, let-down -1 : 3",
            "blue paste 1/3",
            "blue paste 10 %",
        ] {
            assert!(read(word).is_err(), "{word}");
        }
        for (word, told) in [
            ("blue paste, let-down 1 : 100000000000000000000", "weaker than 1 : 1000"),
            ("blue paste 1 : 1001", "weaker than 1 : 1000"),
            ("blue, let-down 2000 : 1", "stronger than 1000 : 1"),
        ] {
            let why = read(word).unwrap_err();
            assert!(why.message.contains(told), "{why:?}");
        }
        assert!(read("blue paste 1 : 1000").is_ok() && read("blue paste 1000 : 1").is_ok());
    }

    proptest! {
        #[test]
        fn nothing_typed_panics_and_no_ratio_is_beyond_its_bounds(word in ".{0,40}", tail in "[0-9: .to]{0,12}") {
            for text in [word.clone(), format!("{word} {tail}"), format!("{word} let-down {tail}")] {
                if let Ok((_, Some(ratio))) = read(&text) {
                    prop_assert!(ratio > 0.0009 && ratio < 0.9991);
                }
            }
        }
    }
}
