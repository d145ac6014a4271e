//! Sizes of cut-outs that can be, but that a slip of a unit or of the point explains better.
//!
//! - [`CutOut::unusual`]: a rectangular one that lies in its counter.
//! - [`CutOut::size_asked`]: any that does not.
//! - [`CutOut::turn_asked`]: one that would with its sides the other way round.
//!
//! Round holes are asked about only where they do not fit: a tap's is 20 mm wide, a sink's 450 mm. All bounds are common
//! practice, no source.

use std::ops::RangeInclusive;

use super::job::CutOut;
use super::shape::Shape;
use super::slip_of_length::{Likely, Slip, is_whole, likely};
use crate::quantity::{Dimensions, Length, Units};

/// The longer side of a rectangular cut-out, mm: from a socket's to a double sink's with its drainer.
const LONGER_SIDES_MM: RangeInclusive<f64> = 150.0..=1200.0;

/// Sides of sinks and hobs, mm.
const USUAL_SIDES_MM: RangeInclusive<f64> = 300.0..=1000.0;

/// Shorter sides of sinks, hobs and sockets, mm.
const SHORTER_SIDES_MM: RangeInclusive<f64> = 100.0..=1000.0;

/// The shorter side of a rectangular cut-out is at least this part of its longer one: a drainage slot's.
const LEAST_PART: f64 = 0.2;

/// A rectangular cut-out whose size is unusual.
pub(super) struct UnusualCutOut {
    /// Its size.
    pub(super) sides: Dimensions,
    /// `small`, `large`.
    pub(super) how: &'static str,
    /// Which size was likely meant.
    pub(super) meant: Option<LikelySides>,
}

/// A size that was likely meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LikelySides([Likely; 2]);

impl LikelySides {
    /// As it was meant, and in brackets in the other kind of units: `31 in x 18 in (787 mm x 457 mm)`.
    pub(super) fn words(self) -> String {
        let [width, height] = self.0;
        let sides = Dimensions::new(width.length, height.length);
        let metric = sides.show(Units::Metric);
        let meant = format!("{} x {}", width.show(), height.show());
        let other = if meant == metric { sides.show(Units::Us) } else { metric };
        format!("{meant} ({other})")
    }
}

impl CutOut {
    /// What is unusual of its size, where it is a rectangle.
    pub(super) fn unusual(&self) -> Option<UnusualCutOut> {
        let Shape::Rectangle { length, depth } = &self.shape else { return None };
        let (longer, shorter) = (length.greater(*depth), length.lesser(*depth));
        let sides = Dimensions::new(*length, *depth);
        let how = if longer.mm() < *LONGER_SIDES_MM.start() {
            "small"
        } else if longer.mm() > *LONGER_SIDES_MM.end() {
            "large"
        } else if shorter < longer * LEAST_PART {
            "narrow"
        } else {
            return None;
        };
        let meant = match how {
            "small" => larger_meant(sides),
            "large" => smaller_meant(sides),
            _ => wider_meant(sides),
        };
        Some(UnusualCutOut { sides, how, meant })
    }

    /// Which size was likely meant where it does not lie inside its counter; a question, as a hint.
    pub(super) fn size_asked(&self) -> Option<String> {
        let meant = match &self.shape {
            Shape::Rectangle { .. } => self.unusual()?.meant?.words(),
            Shape::Circle { diameter } => side_meant(*diameter)?.words(),
            Shape::L { .. } | Shape::U { .. } | Shape::Polygon(_) => return None,
        };
        Some(format!("did you mean {meant} for the size of the cut-out?"))
    }

    /// Its sides the other way round, where it lies inside `counter` so and not as it is; a question, as a hint.
    pub(super) fn turn_asked(&self, counter: &Shape) -> Option<String> {
        let Shape::Rectangle { length, depth } = &self.shape else { return None };
        let turned = Shape::Rectangle { length: *depth, depth: *length };
        let fits = counter.contains(&turned, self.at) && !counter.contains(&self.shape, self.at);
        fits.then(|| {
            let (first, second) = (typed(*depth), typed(*length));
            format!("the first side is along x: did you mean Rectangle(\"{first}\", \"{second}\")?")
        })
    }
}

/// A side as it is typed: in inches where it is sixteenths of them.
fn typed(side: Length) -> String {
    match is_whole(side.in_() * 16.0) {
        true => side.show_in_inches(),
        false => side.show(Units::Metric),
    }
}

/// That of a sink or a hob, else of one whose other side is as short as a bar sink's.
fn larger_meant(sides: Dimensions) -> Option<LikelySides> {
    both_sides_meant(sides, &USUAL_SIDES_MM, &USUAL_SIDES_MM)
        .or_else(|| both_sides_meant(sides, &USUAL_SIDES_MM, &SHORTER_SIDES_MM))
}

/// Both sides, mm the longer in `longer` and the other in `shorter`, by one slip: whoever takes inches for millimetres does
/// so twice.
pub(super) fn both_sides_meant(
    sides: Dimensions,
    longer: &RangeInclusive<f64>,
    shorter: &RangeInclusive<f64>,
) -> Option<LikelySides> {
    let is_wide = sides.width >= sides.height;
    let (width, height) = if is_wide { (longer, shorter) } else { (shorter, longer) };
    // One unit for another slips in both sides, a point rather in one.
    let [units, points] =
        [false, true].map(|point| Slip::all().filter(move |slip| slip.is_of_the_point() == point));
    units.chain(points).find_map(|slip| {
        Some(LikelySides([slip.undone(sides.width, width)?, slip.undone(sides.height, height)?]))
    })
}

/// Each side that is too long by a slip of its own; none where one is left unexplained.
fn smaller_meant(sides: Dimensions) -> Option<LikelySides> {
    let side = |side: Length| match side.mm() > *LONGER_SIDES_MM.end() {
        true => side_meant(side),
        false => Some(Likely::as_typed(side)),
    };
    Some(LikelySides([side(sides.width)?, side(sides.height)?]))
}

/// The shorter side by a slip of its own, the longer one as it is.
fn wider_meant(sides: Dimensions) -> Option<LikelySides> {
    let least = sides.width.lesser(sides.height);
    let side = |side: Length| match side == least {
        true => likely(side, &USUAL_SIDES_MM).into_iter().next(),
        false => Some(Likely::as_typed(side)),
    };
    Some(LikelySides([side(sides.width)?, side(sides.height)?]))
}

/// The side that was likely meant of one that is too long.
fn side_meant(side: Length) -> Option<Likely> {
    let long = side.mm() > *LONGER_SIDES_MM.end();
    long.then(|| likely(side, &USUAL_SIDES_MM).into_iter().next()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Point;

    fn cut(shape: Shape) -> CutOut {
        CutOut { shape, at: Point { x: Length::from_mm(0.0), y: Length::from_mm(0.0) } }
    }

    fn rectangle(length: Length, depth: Length) -> CutOut {
        cut(Shape::Rectangle { length, depth })
    }

    #[test]
    fn sinks_hobs_sockets_and_taps_are_not_unusual() {
        let (inch, mm) = (Length::from_in, Length::from_mm);
        for (length, depth) in [
            (inch(31.0), inch(18.0)),
            (mm(1160.0), mm(480.0)),
            (inch(36.0), inch(21.0)),
            (mm(200.0), mm(60.0)),
            (mm(490.0), mm(560.0)),
        ] {
            assert!(rectangle(length, depth).unusual().is_none(), "{length:?} {depth:?}");
        }
        assert!(cut(Shape::Circle { diameter: mm(20.0) }).unusual().is_none());
    }

    #[test]
    fn sides_that_fit_the_other_way_round_are_asked_about() {
        let (ft, inch, mm) = (Length::from_ft, Length::from_in, Length::from_mm);
        let counter = Shape::L { a: ft(12.0), b: ft(8.0), depth: inch(25.5) };
        let asked = |length, depth, x, y| {
            let shape = Shape::Rectangle { length, depth };
            CutOut { shape, at: Point { x: inch(x), y: inch(y) } }.turn_asked(&counter)
        };
        assert_eq!(
            asked(inch(28.5), inch(20.5), 2.5, 50.0).as_deref(),
            Some(
                "the first side is along x: did you mean Rectangle(\"20 1/2 in\", \"28 1/2 in\")?"
            )
        );
        assert_eq!(
            asked(mm(500.0), mm(800.0), 60.0, 3.0).as_deref(),
            Some("the first side is along x: did you mean Rectangle(\"800 mm\", \"500 mm\")?")
        );
        assert_eq!(asked(inch(20.5), inch(28.5), 2.5, 50.0), None, "it fits as it is");
        assert_eq!(asked(inch(28.5), inch(28.5), 2.5, 50.0), None, "a square has no other way");
        assert_eq!(asked(inch(28.5), inch(20.5), 2.5, 80.0), None, "it does not fit so either");
    }

    #[test]
    fn the_size_that_was_likely_meant_is_found() {
        let (ft, inch, mm) = (Length::from_ft, Length::from_in, Length::from_mm);
        for (typed, how, likely) in [
            ([mm(31.0), mm(18.0)], "small", Some([inch(31.0), inch(18.0)])),
            ([mm(80.0), mm(51.0)], "small", Some([mm(800.0), mm(510.0)])),
            ([mm(140.0), mm(20.0)], "small", None),
            ([mm(30.0), mm(17.75)], "small", Some([inch(30.0), inch(17.75)])),
            ([mm(15.0), mm(10.0)], "small", Some([inch(15.0), inch(10.0)])),
            ([ft(31.0), inch(18.0)], "large", Some([inch(31.0), inch(18.0)])),
            ([ft(31.0), ft(18.0)], "large", Some([inch(31.0), inch(18.0)])),
            ([mm(8600.0), mm(500.0)], "large", Some([mm(860.0), mm(500.0)])),
            ([inch(860.0), inch(500.0)], "large", Some([mm(860.0), mm(500.0)])),
            ([mm(1250.0), mm(500.0)], "large", None),
            ([inch(31.5), inch(1.7)], "narrow", Some([inch(31.5), inch(17.0)])),
            ([inch(31.0), mm(18.0)], "narrow", Some([inch(31.0), inch(18.0)])),
            ([mm(1000.0), inch(1.05)], "narrow", None),
        ] {
            let told = rectangle(typed[0], typed[1]).unusual().unwrap();
            assert_eq!(told.how, how, "{typed:?}");
            let near = |one: Length, two: Length| (one - two).abs() < mm(1e-6);
            match (told.meant, likely) {
                (Some(LikelySides(found)), Some([length, depth])) => {
                    let [width, height] = found.map(|side| side.length);
                    assert!(near(width, length) && near(height, depth), "{found:?}");
                }
                (found, likely) => assert_eq!(found.is_some(), likely.is_some(), "{found:?}"),
            }
        }
    }
}
