//! A written quantity to a figure in the base unit.
//!
//! ```text
//! quantity = [sign] term { term }      a term more only for mass, volume, length and time,
//! term     = number unit               the largest unit first: 10' 4-1/2", 1 h 30 min
//! ```
//!
//! Amounts are never negative; temperatures may be. A bare number is refused, and so is every
//! unit of another dimension: nothing is guessed.

use super::error::{QuantityError, quoted};
use super::number::{Number, starts_number, take_number};
use super::units::{self, Dimension, Found, K_AT_0_C, UNITS};
use crate::suggest;

/// The longest text that is read, in bytes. The canonical forms need at most 32.
const LONGEST: usize = 96;

/// Reads `text` as a quantity of `dimension`, in its base unit.
///
/// # Errors
/// Anything but one finite amount of that dimension.
pub(super) fn amount(text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    let written = text.trim();
    refuse_size(written)?;
    let written = &plain_spaces(written);
    if written.is_empty() {
        return Err(QuantityError::new(format!("expected {}, found nothing", dimension.noun()))
            .hint(examples(dimension)));
    }
    let (negative, unsigned) = take_sign(written);
    let terms = take_terms(written, unsigned, dimension)?;
    let value = sum(written, negative, &terms, dimension)?;
    refuse_negative(written, value, dimension)?;
    Ok(value)
}

/// The text with every white space, a line's end or a no-break space, as a plain one.
pub(super) fn plain_spaces(text: &str) -> String {
    text.chars().map(|each| if each.is_whitespace() { ' ' } else { each }).collect()
}

/// Refuses a text longer than any quantity.
pub(super) fn refuse_size(written: &str) -> Result<(), QuantityError> {
    if written.len() <= LONGEST {
        return Ok(());
    }
    Err(QuantityError::new(format!("{} is too long for a quantity", quoted(written)))
        .hint(format!("write at most {LONGEST} characters")))
}

/// What is wrong with a figure that has no unit, and how it would be right.
pub(super) fn bare(figure: &str, dimension: Dimension) -> QuantityError {
    if figure.starts_with(['-', '−']) && dimension != Dimension::Temperature {
        return negative(figure, dimension);
    }
    let error = QuantityError::new(format!("{figure} has no unit"));
    if dimension == Dimension::Fraction {
        // 0.014 most likely means 1.4 %, and 5 means 5 %; 0.5 may mean either; 0 is 0 % either way.
        return error.hint(match figure.parse::<f64>() {
            Ok(value) if value > 0.0 && value <= 1.0 => {
                let percent = super::show::shifted(value, 2);
                format!("write \"{percent} %\", or \"{figure} %\" if it is percent already")
            }
            _ => format!("write \"{figure} %\""),
        });
    }
    let offered: Vec<String> =
        first_units(dimension, figure).iter().map(|unit| format!("\"{figure} {unit}\"")).collect();
    let offered: Vec<&str> = offered.iter().map(String::as_str).collect();
    error.hint(format!("write {}", suggest::listed(&offered, "or")))
}

/// A right text of this dimension, as a hint.
pub(super) fn examples(dimension: Dimension) -> String {
    let (first, second) = right_texts(dimension);
    format!("write it like \"{first}\" or \"{second}\"")
}

/// What belongs in a place of this dimension.
pub(super) fn expected(dimension: Dimension) -> String {
    format!("{} such as \"{}\"", dimension.noun(), right_texts(dimension).0)
}

const fn right_texts(dimension: Dimension) -> (&'static str, &'static str) {
    match dimension {
        Dimension::Mass => ("250 g", "1 lb 4 oz"),
        Dimension::Volume => ("1.5 gal", "250 mL"),
        Dimension::Length => ("25 1/2 in", "600 mm"),
        Dimension::Area => ("42 ft2", "3.9 m2"),
        Dimension::Temperature => ("77 °F", "25 °C"),
        Dimension::Time => ("40 min", "1 h 30 min"),
        Dimension::Density => ("1.15 g/mL", "9.6 lb/gal"),
        Dimension::Fraction => ("1.4 %", "0.12 %"),
    }
}

/// Units of both systems, to offer for a bare number: of those that people leave out, the ones in which a
/// number of this size is usual.
fn first_units(dimension: Dimension, figure: &str) -> &'static [&'static str] {
    let value = figure.parse::<f64>().unwrap_or_default();
    match dimension {
        Dimension::Mass => &["g", "oz"],
        // Kits and vessels; cups and containers.
        Dimension::Volume if value < 20.0 => &["gal", "L", "mL"],
        Dimension::Volume => &["mL", "fl oz"],
        // Nobody has fractions of a millimetre.
        Dimension::Length if figure.contains(['/', '⁄']) => &["in", "mm"],
        // A film of 1/8 in is 125 mil.
        Dimension::Length if (10.0..=500.0).contains(&value) => &["mm", "in", "mil"],
        Dimension::Length => &["mm", "in"],
        Dimension::Area => &["m2", "ft2"],
        // No resin is poured at 45 °C.
        Dimension::Temperature if value >= 45.0 => &["°F", "°C"],
        Dimension::Temperature => &["°C", "°F"],
        Dimension::Time => &["min", "h"],
        Dimension::Density => &["g/mL", "lb/gal"],
        Dimension::Fraction => &["%"],
    }
}

fn take_sign(text: &str) -> (bool, &str) {
    if let Some(rest) = text.strip_prefix(['-', '−']) {
        return (true, rest.trim_start());
    }
    (false, text.strip_prefix('+').unwrap_or(text).trim_start())
}

struct Term<'a> {
    number: Number,
    /// As it was written, the number with its unit.
    written: &'a str,
    unit: Found,
}

fn take_terms<'a>(
    written: &str,
    text: &'a str,
    expected: Dimension,
) -> Result<Vec<Term<'a>>, QuantityError> {
    let mut terms: Vec<Term<'a>> = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let Some((number, after)) = take_number(rest)? else {
            return Err(no_number(written, rest, expected, terms.is_empty()));
        };
        let figure = rest[..rest.len() - after.len()].trim();
        let (name, following) = take_unit(after, expected);
        if name.is_empty() {
            return Err(no_unit(written, figure, following, expected, terms.is_empty()));
        }
        let term = &rest[..rest.len() - following.len()];
        let unit = known_unit(term.trim(), figure, &number, name, expected)?;
        terms.push(Term { number, written: term.trim(), unit });
        // 10'-4 1/2": a dash between feet and inches joins, it does not subtract. In 10' -4" it
        // might be a minus, and is left for an error.
        let joined = following.strip_prefix('-').or_else(|| following.strip_prefix(" - "));
        rest = match joined {
            Some(after) if unit.symbol == "ft" => after.trim_start(),
            _ => following.trim_start(),
        };
    }
    Ok(terms)
}

/// The unit at the start of `text`, as written, and what follows: up to the next number. A 2 or 3
/// is a power and belongs to the unit when it touches its letter and ends the term; where a length
/// is expected it must end the text, because 10ft2 1/2in has no power in it.
fn take_unit(text: &str, expected: Dimension) -> (&str, &str) {
    let mut before = ' ';
    for (at, character) in text.char_indices() {
        if starts_number(character) {
            let after = &text[at + character.len_utf8()..];
            let ends = after.is_empty()
                || expected != Dimension::Length
                    && after.starts_with(|next: char| next.is_whitespace())
                    && after.trim_start().chars().next().is_none_or(starts_number);
            let touches = before.is_alphabetic() || before == '^';
            if matches!(character, '2' | '3') && touches && ends {
                let end = at + character.len_utf8();
                return (text[..end].trim(), &text[end..]);
            }
            // The dash of 10'-4" stays with what follows.
            let name = text[..at].trim_end().trim_end_matches('-').trim_end();
            return (name.trim(), &text[name.len()..]);
        }
        before = character;
    }
    (text.trim(), "")
}

fn known_unit(
    term: &str,
    figure: &str,
    number: &Number,
    written: &str,
    expected: Dimension,
) -> Result<Found, QuantityError> {
    let name = units::tidy(written);
    if let Some(litres) = units::imperial_litres(&name) {
        if expected != Dimension::Volume {
            return Err(mismatch(term, figure, expected, Dimension::Volume, ""));
        }
        let error = QuantityError::new(format!(
            "{} is imperial: gallons, quarts, pints and fluid ounces are US measures here",
            quoted(term)
        ));
        let litres = number.value() * litres;
        return Err(if litres.is_finite() {
            error.hint(format!("write \"{} L\"", super::show::significant(litres, 6)))
        } else {
            error.hint(examples(expected))
        });
    }
    let Some(found) = units::find(&name) else {
        return Err(unknown_unit(figure, written, &name, expected));
    };
    if found.dimension == expected {
        return Ok(found);
    }
    Err(mismatch(term, figure, expected, found.dimension, found.symbol))
}

fn mismatch(
    term: &str,
    figure: &str,
    expected: Dimension,
    found: Dimension,
    symbol: &str,
) -> QuantityError {
    let error = QuantityError::new(format!(
        "expected {}, found {} ({term})",
        expected.noun(),
        found.noun()
    ))
    .found(found);
    match (expected, symbol) {
        (Dimension::Volume, "oz") => {
            error.hint(format!("oz is a weight; for a volume write \"{figure} fl oz\""))
        }
        (Dimension::Mass, "fl oz") => {
            error.hint(format!("fl oz is a volume; for a weight write \"{figure} oz\""))
        }
        (Dimension::Time, "m") => {
            error.hint(format!("m is metres; for minutes write \"{figure} min\""))
        }
        (Dimension::Area, "ft" | "in" | "m" | "mm" | "cm" | "yd") => {
            error.hint(format!("for an area write \"{figure} {symbol}2\""))
        }
        _ => error.hint(examples(expected)),
    }
}

fn unknown_unit(figure: &str, written: &str, name: &str, expected: Dimension) -> QuantityError {
    let noun = expected.noun();
    let measure = noun.split_once(' ').map_or(noun, |(_, bare)| bare);
    let error = QuantityError::new(match expected {
        Dimension::Fraction => format!("{} is not percent", quoted(written)),
        _ => format!("{} is not a unit of {measure}", quoted(written)),
    });
    match (expected, name) {
        (Dimension::Length, "M") => return error.hint("for metres write a small m"),
        // Nearer to g and L by its letters, and neither is meant.
        (Dimension::Volume, "gl" | "gls" | "gl." | "gll") => {
            return error.hint(format!("write \"{figure} gal\""));
        }
        (Dimension::Mass, "Mg") => return error.hint("for milligrams write mg"),
        (Dimension::Temperature, "deg" | "degree" | "degrees" | "°") => {
            return error.hint(format!("write \"{figure} °C\" or \"{figure} °F\""));
        }
        (Dimension::Time, ":") => return error.hint("write it like \"1 h 30 min\""),
        (Dimension::Area, "x" | "×") => {
            return error.hint("write the area itself, such as \"3.9 m2\" or \"42 ft2\"");
        }
        _ => {}
    }
    // "3 mm thick": the unit is right and something follows it.
    let first = name.split(' ').next().unwrap_or(name);
    if first.len() < name.len() && units::find(first).is_some_and(|it| it.dimension == expected) {
        return error.hint(format!("write \"{figure} {first}\" and nothing after it"));
    }
    let usual = expected.usual_units();
    let right = suggest::nearest(name, usual.iter().copied()).or_else(|| {
        let spellings = UNITS
            .iter()
            .filter(|unit| unit.dimension == expected)
            .flat_map(|unit| unit.names.iter().chain([&unit.symbol]));
        suggest::nearest(name, spellings.copied())
    });
    match right {
        Some(right) => error.hint(format!("write \"{figure} {right}\"")),
        None => error.hint(format!("write it in {}", suggest::listed(usual, "or"))),
    }
}

fn no_unit(
    written: &str,
    figure: &str,
    following: &str,
    expected: Dimension,
    first: bool,
) -> QuantityError {
    if following.is_empty() && first {
        return bare(written, expected);
    }
    let error = QuantityError::new(format!("{} has no unit", quoted(figure)));
    if following.trim_start().starts_with(starts_number) {
        return error.hint("write a number without spaces inside, and its unit after it");
    }
    error.hint(examples(expected))
}

fn no_number(written: &str, rest: &str, expected: Dimension, first: bool) -> QuantityError {
    let word = rest.trim();
    let lower = word.to_lowercase();
    if ["nan", "inf"].iter().any(|each| lower.starts_with(each)) {
        return QuantityError::new(format!("{} is not an amount", quoted(written)))
            .hint(examples(expected));
    }
    if first && units::find(&units::tidy(word)).is_some() {
        return QuantityError::new(format!("{} has no number before it", quoted(word)))
            .hint(examples(expected));
    }
    if rest.starts_with(['-', '−']) {
        return QuantityError::new(format!("{} has a minus sign inside", quoted(written)))
            .hint(examples(expected));
    }
    if rest.starts_with(',') {
        return QuantityError::new(format!("{} has a comma", quoted(written)))
            .hint(examples(expected));
    }
    QuantityError::new(format!("{} is not {}", quoted(written), expected.noun()))
        .hint(examples(expected))
}

fn sum(
    written: &str,
    negative: bool,
    terms: &[Term<'_>],
    dimension: Dimension,
) -> Result<f64, QuantityError> {
    if let [_, second, ..] = terms
        && !dimension.is_compound()
    {
        return Err(QuantityError::new(format!(
            "{} is more than one figure: {} comes after the first",
            quoted(written),
            quoted(second.written)
        ))
        .hint(examples(dimension)));
    }
    for pair in terms.windows(2) {
        let [larger, smaller] = pair else { continue };
        if larger.unit.scale.size() <= smaller.unit.scale.size() {
            // 11 in 4 in: of a tape's two figures the first is feet.
            let is_twice = larger.unit.symbol == "in" && smaller.unit.symbol == "in";
            let is_tape = is_twice
                && terms.len() == 2
                && larger.number.is_whole()
                && smaller.number.value() < 12.0;
            let hint = if is_tape {
                let (feet, inches) = (larger.number.value(), smaller.written);
                format!("write \"{feet} ft {inches}\" if that is meant; each unit stands once")
            } else {
                "write the largest unit first, and each unit once".to_owned()
            };
            return Err(QuantityError::new(format!(
                "{} comes before {}",
                quoted(larger.written),
                quoted(smaller.written)
            ))
            .hint(hint));
        }
        if !larger.number.is_whole() {
            return Err(QuantityError::new(format!(
                "{} is not whole, but {} follows it",
                quoted(larger.written),
                quoted(smaller.written)
            ))
            .hint("only the last figure may have a fraction"));
        }
        // 11 ft 15 in is rather a slip for 11 ft 5 in than a length that a tape shows.
        let inches = smaller.number.value();
        if larger.unit.symbol == "ft" && smaller.unit.symbol == "in" && inches >= 12.0 {
            let feet = larger.number.value() + (inches / 12.0).floor();
            let hint = if smaller.number.is_whole() {
                format!("write \"{feet} ft {} in\" if that is meant", inches % 12.0)
            } else {
                "after feet write less than 12 in".to_owned()
            };
            return Err(QuantityError::new(format!(
                "{} is a foot or more, and comes after feet",
                quoted(smaller.written)
            ))
            .hint(hint));
        }
    }
    let total: f64 = terms.iter().map(|term| term.number.scaled(negative, term.unit.scale)).sum();
    if total.is_finite() {
        // Never minus nought.
        Ok(total + 0.0)
    } else {
        Err(QuantityError::new(format!("{} is too large", quoted(written))))
    }
}

fn refuse_negative(written: &str, value: f64, dimension: Dimension) -> Result<(), QuantityError> {
    if dimension == Dimension::Temperature {
        // The doubles nearest to 0 K written in °C and °F.
        if value >= -K_AT_0_C - 1e-9 {
            return Ok(());
        }
        return Err(QuantityError::new(format!("{} is below absolute zero", quoted(written)))
            .hint("look at its sign and unit: a room is near \"72 °F\" or \"22 °C\""));
    }
    if value < 0.0 {
        return Err(negative(written, dimension));
    }
    Ok(())
}

fn negative(written: &str, dimension: Dimension) -> QuantityError {
    QuantityError::new(format!("{} is negative", quoted(written)))
        .hint(format!("{} is never less than nothing", dimension.noun()))
}
