//! Sizes of cut-outs that can be, but that a slip of a unit or of the point explains better.
//!
//! - [`CutOut::unusual`]: a rectangular one that lies in its counter.
//! - [`CutOut::size_asked`]: any that does not.
//!
//! Round holes are asked about only where they do not fit: a tap's is 20 mm wide, a sink's 450 mm. All bounds are common
//! practice, no source.

use super::job::CutOut;
use super::shape::Shape;
use super::slip_of_length::{Likely, Slip, likely};
use crate::quantity::{Dimensions, Length, Units};

/// The longer side of a rectangular cut-out, mm: from a socket's to a double sink's with its drainer.
const LONGER_SIDES_MM: std::ops::RangeInclusive<f64> = 150.0..=1200.0;

/// Sides of sinks and hobs, mm.
const USUAL_SIDES_MM: std::ops::RangeInclusive<f64> = 300.0..=1000.0;

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
}

/// Both sides by one slip: whoever takes inches for millimetres does so twice.
fn larger_meant(sides: Dimensions) -> Option<LikelySides> {
    Slip::all().into_iter().find_map(|slip| {
        let side = |side: Length| slip.undone(side, &USUAL_SIDES_MM);
        Some(LikelySides([side(sides.width)?, side(sides.height)?]))
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
    fn the_size_that_was_likely_meant_is_found() {
        let (ft, inch, mm) = (Length::from_ft, Length::from_in, Length::from_mm);
        for (typed, how, likely) in [
            ([mm(31.0), mm(18.0)], "small", Some([inch(31.0), inch(18.0)])),
            ([mm(80.0), mm(51.0)], "small", Some([mm(800.0), mm(510.0)])),
            ([mm(140.0), mm(20.0)], "small", None),
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
