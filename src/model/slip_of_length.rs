//! Which length was likely meant where one is far from what is usual.
//!
//! - [`likely`]: the lengths that a slip of the unit or of the point explains, the likelier first.
//! - [`Likely`]: one of them, shown in the unit in which it was meant.

use std::ops::RangeInclusive;

use super::tenfold::meant;
use crate::quantity::{Length, Units};

/// How a length may have been mistyped: all that is common practice, no source, the likelier first.
const SLIPS: [Slip; 7] = [
    Slip::Unit { typed: Unit::Ft, meant: Unit::In },
    Slip::Unit { typed: Unit::In, meant: Unit::Ft },
    Slip::Unit { typed: Unit::Mm, meant: Unit::In },
    Slip::Unit { typed: Unit::M, meant: Unit::Ft },
    Slip::Point { times: 10.0 },
    Slip::Point { times: 100.0 },
    Slip::Unit { typed: Unit::In, meant: Unit::Mm },
];

/// Metres were typed for feet, or for feet and inches, from this on: 3 m. What is shorter is typed in millimetres too, and
/// the figure says nothing.
const METRES_FOR_FEET_FROM: Length = Length::from_mm(3000.0);

/// No run in a room is so many inches; what is shorter may have been typed in feet and inches as well.
const MOST_INCHES: f64 = 250.0;

/// Below this a length is spoken of in inches alone: 4 ft.
const IN_INCHES_BELOW: Length = Length::from_mm(1219.2);

/// A unit of the tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    M,
    Ft,
    In,
    Mm,
}

/// One way to mistype a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Slip {
    /// One unit typed for another; the figure is that of both.
    Unit { typed: Unit, meant: Unit },
    /// A point at the wrong place: what was meant lies so many times above or below it.
    Point { times: f64 },
}

/// A length that was likely meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Likely {
    /// How long it is.
    pub(super) length: Length,
    /// In which unit it was likely meant.
    unit: Unit,
}

impl Likely {
    /// A length that was typed as it was meant.
    pub(super) fn as_typed(length: Length) -> Self {
        let unit = match () {
            () if !Unit::In.is_typed(length) => Unit::Mm,
            () if length < IN_INCHES_BELOW => Unit::In,
            () => Unit::Ft,
        };
        Self { length, unit }
    }

    /// In the unit in which it was meant, and in brackets in the other kind: `40 in (1.016 m)`, `12 ft 6 in (3.81 m)`,
    /// `400 mm (1 ft 3 3/4 in)`.
    pub(super) fn words(self) -> String {
        let other = if self.unit == Unit::Mm { Units::Us } else { Units::Metric };
        format!("{} ({})", self.show(), self.length.show(other))
    }

    /// In the unit in which it was meant.
    pub(super) fn show(self) -> String {
        match self.unit {
            Unit::In => self.length.show_in_inches(),
            Unit::Ft => self.length.show(Units::Us),
            Unit::M | Unit::Mm => self.length.show(Units::Metric),
        }
    }
}

/// Whether it has a fraction of an inch as a tape shows it, but for halves, which are typed with a point too: a point does
/// not slip in it.
pub(super) fn is_vulgar(length: Length) -> bool {
    let inches = length.in_();
    is_whole(inches * 16.0) && !is_whole(inches * 2.0) && !is_whole(length.mm())
}

/// Whether it is so many whole units, as far as a figure that was converted can tell.
pub(super) fn is_whole(units: f64) -> bool {
    libm::fabs(units - libm::round(units)) < 1e-6 * units.max(1.0)
}

impl Unit {
    const fn of_one(self) -> Length {
        match self {
            Self::M => Length::from_m(1.0),
            Self::Ft => Length::from_ft(1.0),
            Self::In => Length::from_in(1.0),
            Self::Mm => Length::from_mm(1.0),
        }
    }

    fn of(self, length: Length) -> f64 {
        match self {
            Self::M => length.m(),
            Self::Ft => length.ft(),
            Self::In => length.in_(),
            Self::Mm => length.mm(),
        }
    }

    /// Whether a person types a length so: an eighth of an inch, half a foot, half a metre, half a millimetre.
    fn is_typed(self, length: Length) -> bool {
        let parts = match self {
            Self::In => 8.0,
            Self::M | Self::Ft | Self::Mm => 2.0,
        };
        is_whole(self.of(length) * parts)
    }
}

impl Slip {
    /// All of them, the likelier first.
    pub(super) fn all() -> impl Iterator<Item = Self> {
        SLIPS.into_iter()
    }

    /// Whether it is a point at the wrong place.
    pub(super) const fn is_of_the_point(self) -> bool {
        matches!(self, Self::Point { .. })
    }

    /// How many times above or below what was typed lies what was meant.
    fn times(self) -> f64 {
        match self {
            Self::Unit { typed, meant } => {
                let (typed, meant) = (typed.of_one(), meant.of_one());
                typed.greater(meant) / typed.lesser(meant)
            }
            Self::Point { times } => times,
        }
    }

    /// What was meant, if this slip made `length` of something usual.
    pub(super) fn undone(self, length: Length, usual: &RangeInclusive<f64>) -> Option<Likely> {
        let likely = Length::from_mm(meant(length.mm(), usual, &[self.times()])?);
        match self {
            Self::Unit { typed, meant } => {
                // Which of the two units is the larger decides on which side of what was meant the slip lies.
                let up = meant.of_one() > typed.of_one();
                // A fraction of a millimetre was typed as one of an inch.
                let eighths = (typed, meant) == (Unit::Mm, Unit::In) && is_whole(length.mm() * 8.0);
                // Several feet are typed in tenths too, halves among them.
                let tenths = (typed, meant) == (Unit::In, Unit::Ft)
                    && length.in_() >= 5.0
                    && is_whole(length.in_() * 10.0);
                let is_typed = typed.is_typed(length) || eighths || tenths;
                // Of inches for millimetres nobody means odd ones.
                let round = (typed, meant) != (Unit::In, Unit::Mm) || is_whole(likely.mm() / 5.0);
                // Millimetres that are inches too were typed as those.
                let other = typed == Unit::Mm && Unit::In.is_typed(length);
                // A foot and some inches were not typed as inches for feet, a part of a foot other than a tenth least of all.
                let whole =
                    (typed, meant) != (Unit::In, Unit::Ft) || is_whole(length.in_()) || tenths;
                let long = typed != Unit::M || length >= METRES_FOR_FEET_FROM;
                let fits = up == (likely > length) && is_typed && !other && whole && long && round;
                fits.then_some(Likely { length: likely, unit: meant })
            }
            Self::Point { .. } if is_vulgar(length) => None,
            Self::Point { .. } => {
                let is_typed = [Unit::Mm, Unit::In].iter().any(|unit| unit.is_typed(likely));
                is_typed.then(|| Likely::as_typed(likely))
            }
        }
    }
}

/// The lengths, mm in `usual`, that were likely meant: one by a slip of the unit, one by one of the point; none of one
/// that is usual.
pub(super) fn likely(length: Length, usual: &RangeInclusive<f64>) -> Vec<Likely> {
    let first = |slips: &[Slip]| slips.iter().find_map(|slip| slip.undone(length, usual));
    let [feet, inches, mm, metres, ten, hundred, inches_for_mm] = SLIPS;
    let by_feet = feet_run_on(length, usual);
    let by_unit = first(&[feet, inches, mm, metres]);
    let by_inches = inches_after_a_point(length, usual);
    let by_point = first(&[ten, hundred]);
    // What is rarer is asked only where nothing else is likely.
    let rarer = (by_feet.is_none() && by_unit.is_none() && by_point.is_none())
        .then(|| eighths_of_feet(length, usual).or_else(|| digit_run_on(length, usual)))
        .flatten();
    let by_tape = by_feet.into_iter().chain(by_unit).chain(by_inches);
    let all: Vec<Likely> = by_tape.chain(by_point).chain(rarer).collect();
    // Inches for millimetres are rare, and many lengths would be whole ones.
    if all.is_empty() { first(&[inches_for_mm]).into_iter().collect() } else { all }
}

/// Feet with a quarter or an eighth, which belong to inches: `92 1/4 ft` for 92 1/4 in. None of one that is usual.
fn eighths_of_feet(length: Length, usual: &RangeInclusive<f64>) -> Option<Likely> {
    let likely = Length::from_in(length.ft());
    let is_it = is_whole(length.ft() * 8.0) && !usual.contains(&length.mm());
    (is_it && usual.contains(&likely.mm())).then_some(Likely { length: likely, unit: Unit::In })
}

/// Whole inches, more than a room has, two neighbouring digits the same, as one was typed twice: `922 in` for 92 in. None
/// of one that is usual.
fn digit_run_on(length: Length, usual: &RangeInclusive<f64>) -> Option<Likely> {
    let inches = libm::round(length.in_());
    if usual.contains(&length.mm())
        || !is_whole(length.in_())
        || !(MOST_INCHES..1e6).contains(&inches)
    {
        return None;
    }
    let places = [1.0, 10.0, 100.0, 1000.0, 10_000.0];
    places.into_iter().find_map(|place| {
        let digit = |place: f64| libm::floor(inches / place) % 10.0;
        let is_double = inches >= place * 10.0 && digit(place) == digit(place * 10.0);
        // What stands before the second of them, and after it.
        let [before, after] = [libm::floor(inches / (place * 10.0)), inches % place];
        let likely = Length::from_in(before * place + after);
        (is_double && usual.contains(&likely.mm()))
            .then_some(Likely { length: likely, unit: Unit::In })
    })
}

/// Feet and inches whose feet have a digit too many: a nought, `80 ft 3 1/2 in` for 8 ft 3 1/2 in, one typed twice,
/// `88 ft 3 1/2 in`, or that of the inches, `56 ft 3/4 in` for 5 ft 6 3/4 in, `51 ft 11 3/4 in` for 5 ft 11 3/4 in. None of
/// one that is usual, nor of whole feet, which say nothing.
fn feet_run_on(length: Length, usual: &RangeInclusive<f64>) -> Option<Likely> {
    if usual.contains(&length.mm()) || !is_whole(length.in_() * 16.0) {
        return None;
    }
    let feet = libm::floor(length.ft() + 1e-9);
    let inches = length.in_() - feet * 12.0;
    let (tens, ones) = (libm::floor(feet / 10.0), feet % 10.0);
    let likely = if inches < 1.0 / 32.0 || tens < 1.0 {
        return None;
    } else if ones == 0.0 || (tens < 10.0 && (ones == tens || ones == first_digit(inches))) {
        Length::from_ft(tens) + Length::from_in(inches)
    } else if tens < 10.0 && inches < 1.0 {
        Length::from_ft(tens) + Length::from_in(ones + inches)
    } else {
        return None;
    };
    usual.contains(&likely.mm()).then_some(Likely { length: likely, unit: Unit::Ft })
}

/// The first digit of less than a hundred inches; nought of less than one.
fn first_digit(inches: f64) -> f64 {
    let whole = libm::floor(inches + 1e-9);
    if whole >= 10.0 { libm::floor(whole / 10.0) } else { whole }
}

/// Feet and inches that were typed with a point between them, as metres: `11.4 m` for 11 ft 4 in. None of one that is
/// usual.
fn inches_after_a_point(length: Length, usual: &RangeInclusive<f64>) -> Option<Likely> {
    let metres = length.m();
    let feet = libm::floor(metres + 1e-9);
    let inches = [10.0, 100.0]
        .into_iter()
        .map(|places| (metres - feet) * places)
        .find(|inches| is_whole(*inches))
        .map(libm::round)
        .filter(|inches| (1.0..12.0).contains(inches))?;
    let likely = Length::from_ft(feet) + Length::from_in(inches);
    let is_new = length >= METRES_FOR_FEET_FROM
        && !usual.contains(&length.mm())
        && usual.contains(&likely.mm());
    is_new.then_some(Likely { length: likely, unit: Unit::Ft })
}

/// `did you mean 40 in (1.016 m), or 4 ft (1.219 m)?`; none where nothing likely is known.
pub(super) fn asked(length: Length, usual: &RangeInclusive<f64>) -> Option<String> {
    let words: Vec<String> = likely(length, usual).into_iter().map(Likely::words).collect();
    (!words.is_empty()).then(|| format!("did you mean {}?", words.join(", or ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_that_was_likely_meant_is_one_that_a_person_types() {
        let (ft, inch, mm) = (Length::from_ft, Length::from_in, Length::from_mm);
        let (legs, depths) = (900.0..=6100.0, 290.0..=1225.0);
        let (faces, splashbacks) = (10.0..=152.4, 50.0..=762.0);
        for (typed, usual, told) in [
            (ft(125.0), &legs, "125 in (3.175 m), 12 ft 6 in (3.81 m)"),
            (ft(40.0), &legs, "40 in (1.016 m), 4 ft (1.219 m)"),
            (mm(37_500.0), &legs, "3.75 m (12 ft 3 5/8 in)"),
            (ft(24.5), &legs, ""),
            (ft(25.5), &depths, "25 1/2 in (648 mm)"),
            (inch(2.55), &depths, "25 1/2 in (648 mm)"),
            (mm(25.0), &depths, "25 in (635 mm)"),
            (inch(600.0), &depths, "600 mm (1 ft 11 5/8 in)"),
            (ft(1.5), &faces, "1 1/2 in (38 mm)"),
            (mm(1.5), &faces, "1 1/2 in (38 mm), 15 mm (9/16 in)"),
            (inch(40.0), &splashbacks, "4 in (102 mm)"),
            (inch(400.0), &splashbacks, "4 in (102 mm)"),
            (mm(4.0), &splashbacks, "4 in (102 mm), 400 mm (1 ft 3 3/4 in)"),
            (inch(255.0), &depths, "25 1/2 in (648 mm)"),
            (inch(17.5), &(3000.0..=6000.0), "17 ft 6 in (5.334 m), 14 ft 7 in (4.445 m)"),
            (inch(16.5), &(3000.0..=6000.0), "16 ft 6 in (5.029 m), 13 ft 9 in (4.191 m)"),
            (inch(4.5), &(1000.0..=6000.0), "45 in (1.143 m)"),
            (inch(16.25), &(3000.0..=6000.0), ""),
            (ft(92.25), &legs, "92 1/4 in (2.343 m)"),
            (ft(78.25), &legs, "78 1/4 in (1.988 m)"),
            (inch(922.0), &legs, "92 in (2.337 m)"),
            (inch(1007.0), &legs, "107 in (2.718 m)"),
            (ft(51.0) + inch(11.875), &legs, "5 ft 11 7/8 in (1.826 m)"),
            (ft(88.0) + inch(3.5), &legs, "8 ft 3 1/2 in (2.527 m)"),
            (inch(3.25), &(300.0..=1000.0), ""),
            (inch(2000.0), &(300.0..=9000.0), "16 ft 8 in (5.08 m)"),
            (mm(11_400.0), &legs, "11 ft 4 in (3.454 m), 1.14 m (3 ft 8 7/8 in)"),
            (mm(12_000.0), &legs, "12 ft (3.658 m), 1.2 m (3 ft 11 1/4 in)"),
            (mm(11_110.0), &legs, "11 ft 11 in (3.632 m), 1.111 m (3 ft 7 3/4 in)"),
            (inch(14.0), &(3000.0..=6000.0), "14 ft (4.267 m), 11 ft 8 in (3.556 m)"),
            (inch(17.6), &(3000.0..=6000.0), "17 ft 7 3/16 in (5.364 m), 14 ft 8 in (4.47 m)"),
            (ft(80.0) + inch(3.5), &legs, "8 ft 3 1/2 in (2.527 m)"),
            (ft(56.0) + inch(0.75), &legs, "5 ft 6 3/4 in (1.695 m)"),
            (ft(120.0) + inch(6.0), &legs, "12 ft 6 in (3.81 m), 120 1/2 in (3.061 m)"),
        ] {
            let found: Vec<String> = likely(typed, usual).into_iter().map(Likely::words).collect();
            assert_eq!(found.join(", "), told, "{typed:?}");
        }
        let odd = mm(9713.7);
        assert_eq!(asked(odd, &legs), None, "neither half a millimetre nor a part of an inch");
    }

    #[test]
    fn what_was_meant_is_what_is_typed_with_its_slip_put_in_again() {
        for slip in Slip::all() {
            for eighths in 1..400_u32 {
                let typed = Length::from_in(f64::from(eighths) / 8.0);
                let usual = 900.0..=6100.0;
                let Some(found) = slip.undone(typed, &usual) else { continue };
                assert!(usual.contains(&found.length.mm()));
                let times = found.length.mm() / typed.mm();
                assert!((times - slip.times()).abs() < 1e-9, "{times} {slip:?}");
            }
        }
    }
}
