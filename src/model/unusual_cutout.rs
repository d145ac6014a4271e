//! Sizes of cut-outs that can be, but that a slip of a unit or of the point explains better.
//!
//! - [`CutOut::unusual`]: a rectangular one that lies in its counter.
//! - [`CutOut::size_asked`]: any that does not.
//!
//! Round holes are asked about only where they do not fit: a tap's is 20 mm wide, a sink's 450 mm. All bounds are common
//! practice, no source.

use super::job::CutOut;
use super::shape::Shape;
use super::unusual_size::{SLIPS_OF_LENGTHS, SLIPS_OF_UNITS, is_whole, length_meant};
use crate::quantity::{Dimensions, Length, Units};

/// The longer side of a rectangular cut-out, mm: from a socket's to a double sink's with its drainer.
const LONGER_SIDES_MM: std::ops::RangeInclusive<f64> = 150.0..=1200.0;

/// Sides of sinks and hobs, mm.
const USUAL_SIDES_MM: std::ops::RangeInclusive<f64> = 300.0..=1000.0;

/// Millimetres typed for inches.
const MM_FOR_INCHES: &[f64] = &[25.4];

/// A rectangular cut-out whose size is unusual.
pub(super) struct UnusualCutOut {
    /// Its size.
    pub(super) sides: Dimensions,
    /// `small`, `large`.
    pub(super) how: &'static str,
    /// Which size was likely meant.
    pub(super) meant: Option<Dimensions>,
}

impl CutOut {
    /// What is unusual of its size, where it is a rectangle.
    pub(super) fn unusual(&self) -> Option<UnusualCutOut> {
        let Shape::Rectangle { length, depth } = &self.shape else { return None };
        let (longer, sides) = (length.greater(*depth), Dimensions::new(*length, *depth));
        if LONGER_SIDES_MM.contains(&longer.mm()) {
            return None;
        }
        let small = longer.mm() < *LONGER_SIDES_MM.start();
        let meant = if small { larger_meant(sides) } else { smaller_meant(sides) };
        Some(UnusualCutOut { sides, how: if small { "small" } else { "large" }, meant })
    }

    /// Which size was likely meant where it does not lie inside its counter; a question, as a hint.
    pub(super) fn size_asked(&self) -> Option<String> {
        let [us, metric] = match &self.shape {
            Shape::Rectangle { .. } => {
                let meant = self.unusual()?.meant?;
                [Units::Us, Units::Metric].map(|units| meant.show(units))
            }
            Shape::Circle { diameter } => {
                let meant = side_meant(*diameter)?;
                [Units::Us, Units::Metric].map(|units| meant.show(units))
            }
            Shape::L { .. } | Shape::U { .. } | Shape::Polygon(_) => return None,
        };
        Some(format!("did you mean {us} ({metric}) for the size of the cut-out?"))
    }
}

/// Both sides by one slip: whoever takes inches for millimetres does so twice.
fn larger_meant(sides: Dimensions) -> Option<Dimensions> {
    let slips = [MM_FOR_INCHES, SLIPS_OF_LENGTHS].concat();
    slips.iter().find_map(|slip| {
        let side = |side: Length| length_meant(side, &USUAL_SIDES_MM, &[*slip]);
        Some(Dimensions::new(side(sides.width)?, side(sides.height)?))
    })
}

/// Each side that is too long by a slip of its own; none where one is left unexplained.
fn smaller_meant(sides: Dimensions) -> Option<Dimensions> {
    let side = |side: Length| match side.mm() > *LONGER_SIDES_MM.end() {
        true => side_meant(side),
        false => Some(side),
    };
    Some(Dimensions::new(side(sides.width)?, side(sides.height)?))
}

/// The side that was likely meant of one that is too long. Whole feet were likely meant as inches.
fn side_meant(side: Length) -> Option<Length> {
    if side.mm() <= *LONGER_SIDES_MM.end() {
        return None;
    }
    let slips = if is_whole(side.ft()) { SLIPS_OF_UNITS } else { SLIPS_OF_LENGTHS };
    length_meant(side, &USUAL_SIDES_MM, &[slips, MM_FOR_INCHES].concat())
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
        ] {
            let told = rectangle(typed[0], typed[1]).unusual().unwrap();
            assert_eq!(told.how, how, "{typed:?}");
            let near = |one: Length, two: Length| (one - two).abs() < mm(1e-6);
            match (told.meant, likely) {
                (Some(found), Some([length, depth])) => {
                    assert!(near(found.width, length) && near(found.height, depth), "{found:?}");
                }
                (found, likely) => assert_eq!(found.is_some(), likely.is_some(), "{found:?}"),
            }
        }
    }
}
