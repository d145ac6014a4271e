//! Which film was likely meant where one is far from what is usual, told in the unit in which it was typed.
//!
//! - [`meant`]: the film that a slip of the point, of the slash of a fraction or of the unit explains.
//! - [`as_typed`]: a film in the unit of another one.

use std::ops::RangeInclusive;

use super::slip_of_length::{is_vulgar, is_whole};
use super::tenfold::{TENS, meant as divided};
use crate::quantity::units::{MM_PER_IN, MM_PER_MIL};
use crate::quantity::{Length, Units};

/// Below which inches a film is typed: `15.16 in` for 15/16 in.
const MOST_OF_A_FRACTION: f64 = 16.0;

/// In how many parts an inch is divided on a rule.
const PARTS_OF_AN_INCH: [f64; 6] = [2.0, 4.0, 8.0, 16.0, 32.0, 64.0];

/// In how many millimetres a unit was typed, and in how many it was meant: inches for millimetres and the other way round,
/// millimetres for mils and the other way round, inches for mils. (Common practice, no source.)
const UNITS: [(f64, f64); 5] = [
    (MM_PER_IN, 1.0),
    (1.0, MM_PER_IN),
    (1.0, MM_PER_MIL),
    (MM_PER_MIL, 1.0),
    (MM_PER_IN, MM_PER_MIL),
];

/// `3 mm (118 mil)`, or `20 mil (0.508 mm)` where `typed` is a figure of inches or mils rather than of millimetres.
pub(super) fn as_typed(likely: Length, typed: Length) -> String {
    let [us, metric] = [Units::Us, Units::Metric].map(|units| likely.show_film(units));
    if is_us(typed) { format!("{us} ({metric})") } else { format!("{metric} ({us})") }
}

/// Whether a film was typed in inches or mils: as millimetres it has more than a tenth, and as those it has not.
fn is_us(typed: Length) -> bool {
    let is_metric = is_whole(typed.mm() * 10.0);
    !is_metric && (is_whole(typed.mil()) || is_whole(typed.in_() * 64.0))
}

/// The film, mm in `usual`, that was likely meant, in words; none where nothing likely is known.
pub(super) fn meant(film: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    if !film.is_finite() || usual.contains(&film.mm()) {
        return None;
    }
    let by_point = || {
        // A point does not slip in a fraction; quarters are typed with one too.
        let is_decimal = !is_vulgar(film) || is_whole(film.in_() * 4.0);
        let likely = divided(film.mm(), usual, TENS).filter(|_| is_decimal)?;
        Some(as_typed(Length::from_mm(likely), film))
    };
    if let Some(in_feet) = fraction_of_a_foot(film, usual) {
        let all: Vec<String> = [in_feet].into_iter().chain(by_unit(film, usual)).collect();
        return Some(all.join(", or "));
    }
    fraction_meant(film, usual)
        .or_else(|| fraction_alone(film, usual))
        .or_else(by_point)
        .or_else(|| by_unit(film, usual))
}

/// In inches and, in brackets, in millimetres.
fn in_inches(likely: Length) -> String {
    format!("{} ({})", likely.show_in_inches(), likely.show_film(Units::Metric))
}

/// A fraction of a foot for one of an inch: `1/8 ft` for 1/8 in.
fn fraction_of_a_foot(film: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    let feet = film.ft();
    let likely = Length::from_in(feet);
    let is_it = feet < 1.0 && is_whole(feet * 16.0) && !is_whole(feet * 2.0);
    (is_it && usual.contains(&likely.mm())).then(|| in_inches(likely))
}

/// A digit before the fraction of an inch that was meant alone: `1 1/8 in` for 1/8 in.
fn fraction_alone(film: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    let inches = film.in_();
    let likely = Length::from_in(inches - libm::floor(inches + 1e-9));
    (inches > 1.0 && is_vulgar(film) && usual.contains(&likely.mm())).then(|| in_inches(likely))
}

/// A point for the slash of a fraction of an inch: `1.8 in` for 1/8 in.
fn fraction_meant(film: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    let inches = film.in_();
    if !is_us(film) || inches >= MOST_OF_A_FRACTION {
        return None;
    }
    let whole = libm::floor(inches + 1e-9);
    PARTS_OF_AN_INCH.into_iter().find_map(|parts| {
        let places = if parts < 10.0 { 10.0 } else { 100.0 };
        let is_it =
            whole >= 1.0 && whole < parts && libm::fabs((inches - whole) * places - parts) < 1e-6;
        let likely = Length::from_in(whole / parts);
        (is_it && usual.contains(&likely.mm())).then(|| in_inches(likely))
    })
}

/// The same figure in another unit, told in that one.
fn by_unit(film: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    UNITS.into_iter().find_map(|(typed, own)| {
        let figure = film.mm() / typed;
        let likely = Length::from_mm(figure * own);
        let is_typed = is_whole(figure * 2.0) || typed == 1.0 && is_whole(figure * 64.0);
        let shown = [Units::Us, Units::Metric].map(|units| likely.show_film(units));
        (is_typed && usual.contains(&likely.mm())).then(|| match own == 1.0 {
            true => format!("{} ({})", shown[1], shown[0]),
            false => format!("{} ({})", shown[0], shown[1]),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_film_that_was_likely_meant_is_told_in_the_unit_typed() {
        let (inch, mm, mil) = (Length::from_in, Length::from_mm, Length::from_mil);
        let films = 1.5..=6.0;
        for (typed, told) in [
            (inch(1.8), "1/8 in (3.18 mm)"),
            (inch(3.16), "3/16 in (4.76 mm)"),
            (mm(30.0), "3 mm (118 mil)"),
            (mm(0.3), "3 mm (118 mil)"),
            (inch(1.25), "125 mil (3.18 mm)"),
            (mil(12.0), "120 mil (3.05 mm)"),
            (inch(3.0), "3 mm (118 mil)"),
            (mm(0.125), "125 mil (3.18 mm)"),
            (mm(125.0), "125 mil (3.18 mm)"),
            (inch(1.125), "1/8 in (3.18 mm)"),
            (inch(1.5), "1/8 in (3.18 mm)"),
            (inch(2.25), "3/16 in (4.76 mm)"),
            (mm(3.0), ""),
            (mm(f64::INFINITY), ""),
        ] {
            assert_eq!(meant(typed, &films).unwrap_or_default(), told, "{typed:?}");
        }
    }
}
