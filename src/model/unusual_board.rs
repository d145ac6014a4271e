//! Sizes of boards, and an area of which nothing else is known, that can be, but that a slip of a unit or of the point
//! explains better.
//!
//! All bounds are common practice, no source, and wide.

use std::ops::RangeInclusive;

use super::fault::at;
use super::job::Job;
use super::slip_of_length::is_whole;
use super::tenfold::{TENS, meant};
use super::unusual_cutout::{LikelySides, both_sides_meant};
use super::unusual_size::{LARGEST_IN_ALL, Size, UnusualSize};
use crate::quantity::{Area, Dimensions, Units};

/// Sides of boards, mm: from a chip of 2 in to a sheet of 10 ft.
const SIDES_MM: RangeInclusive<f64> = 50.0..=3100.0;

/// Sides that a slip may have been meant for, mm: 3 in to 4 ft.
const MEANT_SIDES_MM: RangeInclusive<f64> = 75.0..=1225.0;

/// The least area that is coated: a coaster's is twice that.
const LEAST_AREA: Area = Area::from_m2(0.005);

/// Areas that a slip may have been meant for, m²: 3 ft² to 200 ft².
const MEANT_AREAS_M2: RangeInclusive<f64> = 0.27..=LARGEST_IN_ALL.m2();

/// Square metres in a square inch.
const M2_PER_IN2: f64 = 6.4516e-4;

/// Units of area that may have been typed, and whether square metres may be meant by them; square feet may by all.
/// (Common practice, no source.)
const TYPED_M2: [(f64, bool); 4] = [(1e-6, true), (1e-4, true), (M2_PER_IN2, false), (1.0, false)];

impl Job {
    /// Boards and the area, where they are unusual.
    pub(super) fn unusual_boards(&self) -> impl Iterator<Item = UnusualSize> {
        let boards = self.boards.iter().enumerate().filter_map(|(at, board)| {
            let (how, meant) = of_board(board.size)?;
            let what = match self.boards.len() {
                1 => "the board".to_owned(),
                _ => format!("board {}", at + 1),
            };
            Some(UnusualSize {
                path: at!["boards", at, "size"],
                counter: None,
                what,
                size: Size::Sides(board.size),
                how,
                meant: meant.map(LikelySides::words),
                meant_for: String::new(),
            })
        });
        let area = self.area.and_then(|area| {
            let how = match area {
                small if small < LEAST_AREA => "small",
                large if large > LARGEST_IN_ALL => "large",
                _ => return None,
            };
            Some(UnusualSize {
                path: at!["area"],
                counter: None,
                what: "the area".to_owned(),
                size: Size::Area(area),
                how,
                meant: area_meant(area),
                meant_for: String::new(),
            })
        });
        boards.chain(area)
    }
}

/// An area, a small one in square inches and millimetres: `42 ft²`, `0.07 in²`, `42 mm²`.
pub(super) fn shown(area: Area, units: Units) -> String {
    let rounded = |figure: f64| libm::round(figure * 100.0) / 100.0;
    match units {
        _ if area >= LEAST_AREA => area.show(units),
        Units::Us => format!("{} in²", rounded(area.m2() / M2_PER_IN2)),
        Units::Metric => format!("{} mm²", rounded(area.mm2())),
    }
}

/// How a board's size is unusual, and which was likely meant.
fn of_board(size: Dimensions) -> Option<(&'static str, Option<LikelySides>)> {
    let (longer, shorter) = (size.width.greater(size.height), size.width.lesser(size.height));
    let how = match () {
        () if shorter.mm() < *SIDES_MM.start() => "small",
        () if longer.mm() > *SIDES_MM.end() => "large",
        () => return None,
    };
    Some((how, both_sides_meant(size, &MEANT_SIDES_MM, &MEANT_SIDES_MM)))
}

/// The areas that were likely meant, in words.
fn area_meant(area: Area) -> Option<String> {
    let fits = |likely: &Area| MEANT_AREAS_M2.contains(&likely.m2());
    let in_ft2 = |area: Area| format!("{} ({})", area.show(Units::Us), area.show(Units::Metric));
    let in_m2 = |area: Area| format!("{} ({})", area.show(Units::Metric), area.show(Units::Us));
    let by_unit = TYPED_M2.into_iter().find_map(|(typed, may_be_m2)| {
        let figure = area.m2() / typed;
        let ft2 = Some(Area::from_ft2(figure)).filter(fits).map(in_ft2);
        let m2 = Some(Area::from_m2(figure)).filter(fits).filter(|_| may_be_m2).map(in_m2);
        let words: Vec<String> = ft2.into_iter().chain(m2).collect();
        (is_whole(figure * 10.0) && !words.is_empty()).then(|| words.join(", or "))
    });
    let by_point = meant(area.m2(), &MEANT_AREAS_M2, TENS).map(Area::from_m2).and_then(|likely| {
        let is_ft2 = is_whole(likely.ft2() * 10.0);
        (is_ft2 || is_whole(likely.m2() * 100.0))
            .then(|| if is_ft2 { in_ft2(likely) } else { in_m2(likely) })
    });
    by_unit.or(by_point)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    #[test]
    fn the_area_that_was_likely_meant_is_found() {
        for (m2, told) in [
            (42e-6, "42 ft² (3.9 m²)"),
            (42e-4, "42 ft² (3.9 m²)"),
            (3.9e-6, "3.9 ft² (0.362 m²), or 3.9 m² (42 ft²)"),
            (42.0, "42 ft² (3.9 m²)"),
            (Area::from_ft2(420.0).m2(), "42 ft² (3.9 m²)"),
            (f64::MAX, ""),
        ] {
            assert_eq!(area_meant(Area::from_m2(m2)).unwrap_or_default(), told, "{m2}");
        }
    }

    #[test]
    fn a_board_that_is_poured_is_not_unusual() {
        let mm = |a, b| Dimensions::new(Length::from_mm(a), Length::from_mm(b));
        for size in [mm(600.0, 600.0), mm(50.0, 75.0), mm(2440.0, 1220.0), mm(100.0, 3048.0)] {
            assert!(of_board(size).is_none(), "{size:?}");
        }
        for (size, how, told) in [
            (mm(6.0, 6.0), "small", "6 in x 6 in (152 mm x 152 mm)"),
            (mm(24.0, 24.0), "small", "24 in x 24 in (610 mm x 610 mm)"),
            (mm(15_240.0, 15_240.0), "large", "600 mm x 600 mm (1 ft 11 5/8 in x 1 ft 11 5/8 in)"),
            (mm(7315.2, 7315.2), "large", "24 in x 24 in (610 mm x 610 mm)"),
        ] {
            let (found, meant) = of_board(size).unwrap();
            let meant = meant.map(LikelySides::words).unwrap_or_default();
            assert_eq!((found, meant.as_str()), (how, told), "{size:?}");
        }
    }
}
