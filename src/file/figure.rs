//! Figures and words that several nouns' files share.

use super::noun::{Gaps, note};
use super::tree::{Kind, Value};
use crate::diagnostic::Diagnostic;
use crate::model::{Amount, Package, PackageUnit, Standing};
use crate::quantity::{Fraction, Length, Mass, TimeSpan, Units, Volume};
use crate::spectrum::{BANDS, Spectrum};

/// Where a figure comes from, as a word.
pub(super) fn standing(at: Value<'_>) -> Option<Standing> {
    at.one_of(&[
        ("Measured", Standing::Measured),
        ("Datasheet", Standing::Datasheet),
        ("Estimated", Standing::Estimated),
        ("Demo", Standing::Demo),
    ])
}

/// A share: `"56.7 %"`, or a bare number from 0 to 1.
pub(super) fn share(at: Value<'_>) -> Option<Fraction> {
    let Kind::Number(digits) = &at.node().kind else { return at.parse() };
    let number = at.number()?;
    if number > 1.0 {
        return at.report(
            Diagnostic::error(format!("{digits} is no share: a bare number is a part of 1"))
                .hint(format!("write \"{digits} %\"")),
        );
    }
    Some(Fraction::new(number))
}

/// A bare figure above this is rather a loading in percent than a part of one: `0.6` for 0.6 %. (Common practice, no
/// source.)
const LARGEST_LOADING: f64 = 0.1;

/// The same of a ceiling. (Common practice, no source.)
const LARGEST_CEILING: f64 = 0.2;

/// A loading or a dose.
pub(super) fn loading(at: Value<'_>) -> Option<Fraction> {
    small_part(at, LARGEST_LOADING)
}

/// A ceiling.
pub(super) fn ceiling(at: Value<'_>) -> Option<Fraction> {
    small_part(at, LARGEST_CEILING)
}

/// A fraction that is hardly more than `most`: where its unit is left out, the likelier of both readings is told first.
fn small_part(at: Value<'_>, most: f64) -> Option<Fraction> {
    let (Kind::Number(figure) | Kind::Text(figure) | Kind::Unquoted(figure)) = &at.node().kind
    else {
        return at.parse();
    };
    let figure = figure.trim();
    match figure.parse::<f64>() {
        Ok(value) if value > most && value <= 1.0 => {
            let part = Fraction::new(value).show(Units::Metric);
            at.parse_like(&format!("\"{figure} %\", or \"{part}\" if it is a part of one"))
        }
        _ => at.parse(),
    }
}

/// Two lengths in brackets, the lesser first.
pub(super) fn lengths(at: Value<'_>, names: [&'static str; 2]) -> Option<(Length, Length)> {
    let [one, other] = at.items(names)?;
    let (one, other) = (one.parse(), other.parse());
    Some((one?, other?))
}

/// Two times in brackets, the earlier first.
pub(super) fn times(at: Value<'_>, names: [&'static str; 2]) -> Option<(TimeSpan, TimeSpan)> {
    let [one, other] = at.items(names)?;
    let (one, other) = (one.parse(), other.parse());
    Some((one?, other?))
}

/// One number a band of the working grid, 380–730 nm by 10 nm; or a single number for all of them.
pub(super) fn spectrum(at: Value<'_>) -> Option<Spectrum> {
    if matches!(at.node().kind, Kind::Number(_)) {
        return at.number().map(Spectrum::flat);
    }
    let numbers = at.list(Value::number)?;
    let count = numbers.len();
    match <[f64; BANDS]>::try_from(numbers) {
        Ok(bands) => Some(Spectrum(bands)),
        Err(_) => at.report(
            Diagnostic::error(format!("a spectrum has {BANDS} numbers; this list has {count}"))
                .hint("one every 10 nm from 380 nm to 730 nm, or a single number for all"),
        ),
    }
}

/// A package: `(size: "1.5 gal", price: "129 USD")`.
pub(super) fn package(at: Value<'_>, gaps: &Gaps) -> Option<Package> {
    let fields = at.fields("package", &["size", "price", "note"])?;
    note(fields, gaps);
    let size = fields.need("size", |at| Some((amount(at)?, unit(at))));
    let price = fields.need("price", Value::parse);
    let (size, unit) = size?;
    Some(Package { size, price: price?, unit })
}

/// The unit in which an amount is written.
fn unit(at: Value<'_>) -> Option<PackageUnit> {
    match &at.node().kind {
        Kind::Text(written) | Kind::Unquoted(written) => PackageUnit::of_text(written),
        _ => None,
    }
}

/// A volume or a mass.
fn amount(at: Value<'_>) -> Option<Amount> {
    let (Kind::Text(written) | Kind::Unquoted(written) | Kind::Number(written)) = &at.node().kind
    else {
        return at.parse::<Volume>().map(Amount::Volume);
    };
    let as_volume = match written.parse::<Volume>() {
        Ok(volume) => return Some(Amount::Volume(volume)),
        Err(error) => error,
    };
    match written.parse::<Mass>() {
        Ok(mass) => Some(Amount::Mass(mass)),
        // What is wrong with the figure itself is told alike by both.
        Err(as_mass) if as_mass.message == as_volume.message || as_mass.is_of_a_volume() => {
            at.report(as_volume.into())
        }
        Err(_) => {
            let mut diagnostic =
                Diagnostic::error(format!("{written:?} is neither a volume nor a mass"));
            diagnostic.hints.extend(as_volume.hint);
            at.report(diagnostic)
        }
    }
}
