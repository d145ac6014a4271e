//! Numbers as people write them at a bench: `1.5`, `25 1/2`, `4-1/2`, `25½`, `3e-4`.

use super::error::{QuantityError, quoted};
use super::units::{Scale, ten_to};

/// Exponents beyond this are as good as endless; clamping keeps their arithmetic in range.
const EXPONENT_LIMIT: i32 = 9_999;

/// A number before its unit is known.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Number {
    /// Decimal digits with at most one point, and a power of ten.
    Decimal { digits: String, exponent: i32 },
    /// A whole and a vulgar fraction.
    Mixed { whole: f64, above: f64, below: f64 },
}

impl Number {
    /// The value in the base unit of a scale. Not finite if it is too large.
    pub(super) fn scaled(&self, negative: bool, scale: Scale) -> f64 {
        let signed = |value: f64| if negative { -value } else { value };
        match (self, scale) {
            (Self::Decimal { digits, exponent }, Scale::Ten(shift)) => {
                // The point moves in the text, so that "1.4 %" is the double nearest to 0.014.
                signed(decimal(digits, exponent + shift))
            }
            (Self::Mixed { .. }, Scale::Ten(shift)) if shift < 0 => {
                signed(self.value() / ten_to(-shift))
            }
            (_, Scale::Ten(_) | Scale::Times(_)) => signed(self.value() * scale.size()),
            (_, Scale::Fahrenheit) => (signed(self.value()) - 32.0) * 5.0 / 9.0,
            (_, Scale::Kelvin) => signed(self.value()) - super::units::K_AT_0_C,
        }
    }

    /// The plain value.
    pub(super) fn value(&self) -> f64 {
        match self {
            Self::Decimal { digits, exponent } => decimal(digits, *exponent),
            Self::Mixed { whole, above, below } => whole + above / below,
        }
    }

    /// Whether it is written as a whole number.
    pub(super) fn is_whole(&self) -> bool {
        match self {
            Self::Decimal { .. } => self.value().fract() == 0.0,
            Self::Mixed { .. } => false,
        }
    }
}

fn decimal(digits: &str, exponent: i32) -> f64 {
    // Digits hold nothing but digits and one point by construction.
    format!("{digits}e{exponent}").parse().unwrap_or(f64::NAN)
}

/// The parts of a vulgar fraction in one character.
const fn vulgar(character: char) -> Option<(f64, f64)> {
    Some(match character {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    })
}

/// Whether a number can start with this character.
pub(super) const fn starts_number(character: char) -> bool {
    character.is_ascii_digit() || vulgar(character).is_some()
}

/// Takes the number at the start of `text`: it and the rest. `None` if there is no number.
///
/// # Errors
/// A comma among the digits, a denominator of zero, a range, two numbers in a row.
pub(super) fn take_number(text: &str) -> Result<Option<(Number, &str)>, QuantityError> {
    let digits = digits_length(text);
    if digits == 0 {
        let mut characters = text.chars();
        return Ok(characters.next().and_then(vulgar).map(|(above, below)| {
            (Number::Mixed { whole: 0.0, above, below }, characters.as_str())
        }));
    }
    let (figure, rest) = text.split_at(digits);
    refuse_comma(text, figure, rest)?;
    if figure.matches('.').count() > 1 {
        return Err(QuantityError::new(format!("{} has more than one point", quoted(figure))));
    }
    let is_whole = !figure.contains('.');
    if !is_whole && after_slash(rest).is_some() {
        return Err(pointed_fraction(text));
    }
    if is_whole {
        // 1/8
        if let Some((below, after)) = after_slash(rest) {
            return fraction(text, 0.0, figure, below, after).map(Some);
        }
        // 25½ and 25 ½
        let near = rest.trim_start_matches([' ', '-']);
        let mut characters = near.chars();
        if let Some((above, below)) = characters.next().and_then(vulgar) {
            let mixed = Number::Mixed { whole: decimal(figure, 0), above, below };
            return Ok(Some((mixed, characters.as_str())));
        }
        // 25 1/2 and 4-1/2
        let next = digits_length(near);
        if near.len() < rest.len() && next > 0 {
            let (above, after) = near.split_at(next);
            if let Some((below, after)) = after_slash(after) {
                return fraction(text, decimal(figure, 0), above, below, after).map(Some);
            }
            if rest.trim_start().starts_with('-') {
                return Err(QuantityError::new(format!(
                    "{} reads as a range",
                    quoted(&format!("{figure}-{above}"))
                ))
                .hint("write one figure; a mixed fraction is written 4-1/2"));
            }
        }
    }
    let (exponent, rest) = take_exponent(rest);
    let figure = if figure == "." { "0" } else { figure };
    Ok(Some((Number::Decimal { digits: figure.to_owned(), exponent }, rest)))
}

/// How many bytes of digits and points `text` starts with; none unless there is a digit.
fn digits_length(text: &str) -> usize {
    let length = text.bytes().take_while(|byte| byte.is_ascii_digit() || *byte == b'.').count();
    if text[..length].bytes().any(|byte| byte.is_ascii_digit()) { length } else { 0 }
}

/// The digits after a slash, and the rest.
fn after_slash(text: &str) -> Option<(&str, &str)> {
    let text = text.strip_prefix(['/', '⁄'])?;
    let length = text.bytes().take_while(u8::is_ascii_digit).count();
    (length > 0).then(|| text.split_at(length))
}

fn fraction<'a>(
    text: &str,
    whole: f64,
    above: &str,
    below: &str,
    rest: &'a str,
) -> Result<(Number, &'a str), QuantityError> {
    if above.contains('.') || rest.starts_with('.') {
        return Err(pointed_fraction(text));
    }
    let figure = above;
    let (above, below) = (decimal(above, 0), decimal(below, 0));
    if below == 0.0 {
        return Err(QuantityError::new(format!("{} divides by zero", quoted(text))));
    }
    if above >= below {
        return Err(improper(whole, figure, below));
    }
    Ok((Number::Mixed { whole, above, below }, rest))
}

/// A fraction of 1 or more, as `73/8`: nobody writes that of a tape, but a space is soon lost.
fn improper(whole: f64, above: &str, below: f64) -> QuantityError {
    let written =
        if whole > 0.0 { format!("{whole} {above}/{below}") } else { format!("{above}/{below}") };
    let error = QuantityError::new(format!(
        "{} has a fraction of 1 or more: a space is lost in it, or a digit wrong",
        quoted(&written)
    ));
    // Where a space may have stood; none in a figure after a whole number.
    let meant: Vec<String> = (1..above.len())
        .filter(|_| whole <= 0.0)
        .filter_map(|at| Some((above.get(..at)?, above.get(at..)?)))
        .filter(|(_, part)| !part.starts_with('0') && decimal(part, 0) < below)
        .map(|(whole, part)| format!("{whole} {part}/{below}"))
        .collect();
    if meant.is_empty() { error } else { error.hint(format!("write {}", meant.join(" or "))) }
}

fn pointed_fraction(text: &str) -> QuantityError {
    QuantityError::new(format!("{} has a point inside a fraction", quoted(text)))
        .hint("write 1/2 or 0.5")
}

fn take_exponent(text: &str) -> (i32, &str) {
    let Some(after) = text.strip_prefix(['e', 'E']) else { return (0, text) };
    let unsigned = after.strip_prefix(['+', '-']).unwrap_or(after);
    let length = unsigned.bytes().take_while(u8::is_ascii_digit).count();
    if length == 0 {
        return (0, text);
    }
    let (digits, rest) = unsigned.split_at(length);
    let size = digits.parse().unwrap_or(EXPONENT_LIMIT).min(EXPONENT_LIMIT);
    (if after.starts_with('-') { -size } else { size }, rest)
}

/// A comma between digits: decimal in one country, a separator of thousands in another. Never
/// guessed.
fn refuse_comma(text: &str, figure: &str, rest: &str) -> Result<(), QuantityError> {
    let grouped = rest.bytes().take_while(|byte| byte.is_ascii_digit() || b",.".contains(byte));
    let written = &text[..figure.len() + grouped.count()];
    let written = written.trim_end_matches(',');
    if !written.contains(',') {
        return Ok(());
    }
    let error = QuantityError::new(format!("{} has a comma in the number", quoted(written)));
    let joined: String = written.chars().filter(|character| *character != ',').collect();
    let with_point = written.replacen(',', ".", 1);
    let groups: Vec<&str> = written.split('.').next().unwrap_or(written).split(',').collect();
    let in_threes = groups.iter().skip(1).all(|group| group.len() == 3)
        && (1..=3).contains(&groups[0].len())
        && groups[0] != "0";
    let one_comma = written.matches(',').count() == 1 && !written.contains('.');
    Err(match (in_threes, one_comma) {
        (true, true) => error.hint(format!(
            "write {joined} without a separator, or {with_point} if the comma is a decimal point"
        )),
        (true, false) if joined.matches('.').count() <= 1 => {
            error.hint(format!("write {joined} without separators"))
        }
        (false, true) => error.hint(format!("write {with_point}, with a point")),
        _ => error.hint("write digits and at most one point, such as 1234.5"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(text: &str) -> (f64, &str) {
        let (number, rest) = take_number(text).unwrap().unwrap();
        (number.value(), rest)
    }

    #[test]
    fn takes_the_longest_number_and_leaves_the_rest() {
        for (text, value, rest) in [
            ("25 1/2 in", 25.5, " in"),
            ("4-1/2\"", 4.5, "\""),
            ("25½in", 25.5, "in"),
            ("25 ½in", 25.5, "in"),
            ("½", 0.5, ""),
            ("7/8\"", 0.875, "\""),
            ("1.5e3g", 1500.0, "g"),
            ("1e-2 g", 0.01, " g"),
            // No digit after the e: it belongs to what follows.
            ("1e", 1.0, "e"),
            ("1 each", 1.0, " each"),
            (".5", 0.5, ""),
            ("5.", 5.0, ""),
            ("10' 4\"", 10.0, "' 4\""),
            // The second number is no fraction, so it is not taken.
            ("10 4", 10.0, " 4"),
        ] {
            assert_eq!(taken(text), (value, rest), "{text}");
        }
    }

    #[test]
    fn no_number_is_no_error() {
        for text in ["", " 1", "in", ".", "..", "/2", "-1", "e5", "٣"] {
            assert_eq!(take_number(text), Ok(None), "{text:?}");
        }
    }

    #[test]
    fn a_comma_is_never_guessed_at() {
        for text in ["1,5", "1,000", "1,234,567.5", "12,34", "0,500", "1.234,5", "1,2,3"] {
            let error = take_number(text).unwrap_err();
            assert!(error.message.contains("comma"), "{text}: {error}");
            assert!(error.hint.is_some(), "{text}");
        }
    }

    #[test]
    fn the_point_moves_instead_of_multiplying() {
        let percent = take_number("0.07").unwrap().unwrap().0;
        // 0.07 / 100 in doubles is 0.0007000000000000001.
        assert_eq!(percent.scaled(false, Scale::Ten(-2)), 0.0007);
    }
}
