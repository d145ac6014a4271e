//! Measures of a job that can be, but are so far from what is usual that a slip of the tape, of a unit or of a key is
//! likelier.
//!
//! - [`Job::unusual_sizes`]: counters, their cut-outs, edges and splashbacks, the film on faces, and the job's other
//!   figures.
//!
//! They are told and stop nothing: there are rooms of every kind. All bounds are common practice, no source, and wide, so
//! that whoever is told looks.

use super::fault::{Step, at};
use super::job::{Counter, Job};
use super::shape::{Point, Shape};
use super::slip_of_film;
use super::slip_of_length::{Likely, is_whole, likely};
use super::slip_of_volume;
use super::tenfold::{TENS, meant};
use super::unusual_board;
use super::unusual_cutout::{LikelySides, UnusualCutOut};
use crate::quantity::{Area, Dimensions, Fraction, Length, Temperature, Units, Volume};

/// A leg, a front or a bar is no longer in one room: 20 ft.
const LONGEST: Length = Length::from_mm(6100.0);

/// Legs, fronts and bars that a slip may have been meant for, mm: 3 ft to 20 ft.
const USUAL_LEGS_MM: std::ops::RangeInclusive<f64> = 900.0..=LONGEST.mm();

/// Depths of a run along a wall: 12 in to 48 in, a little less and more.
const RUN_DEPTHS_MM: std::ops::RangeInclusive<f64> = 290.0..=1225.0;

/// The shorter side of a rectangle, from a sill to an island that is reached across from both sides: 6 in to 6 ft.
const SIDES_MM: std::ops::RangeInclusive<f64> = 150.0..=1830.0;

/// The widest round table: 8 ft.
const WIDEST_ROUND: Length = Length::from_mm(2450.0);

/// The narrowest round that is poured: a coaster of 3 in, a little less.
const NARROWEST_ROUND: Length = Length::from_mm(75.0);

/// Round tables that a slip may have been meant for, mm: 20 in to 8 ft.
const USUAL_ROUNDS_MM: std::ops::RangeInclusive<f64> = 500.0..=WIDEST_ROUND.mm();

/// Films on upright faces, mm: some 0.5 mm stay up, up to 1 mm without running.
const USUAL_FACE_FILMS_MM: std::ops::RangeInclusive<f64> = 0.1..=2.0;

/// All counters of a job: 200 ft².
pub(super) const LARGEST_IN_ALL: Area = Area::from_m2(18.6);

/// The film on upright faces that was likely meant; a question, as a hint.
pub(crate) fn face_film_meant(film: Length) -> Option<String> {
    film_within(film).map(|likely| format!("did you mean {likely}?"))
}

/// A film within the usual ones by a slip of the point, where it is one that a person types: a tenth of a millimetre, a
/// whole mil.
fn film_within(film: Length) -> Option<String> {
    let likely = Length::from_mm(meant(film.mm(), &USUAL_FACE_FILMS_MM, TENS)?);
    let is_typed = is_whole(likely.mm() * 10.0) || is_whole(likely.mil());
    is_typed.then(|| slip_of_film::as_typed(likely, film))
}

/// What is unusual of a counter, or of all of a job's.
#[derive(Debug, Clone, PartialEq)]
pub struct UnusualSize {
    /// Where in the job it stands.
    pub path: Vec<Step>,
    /// Whose it is; none where it is that of all counters together.
    pub counter: Option<String>,
    /// Which measure.
    pub(super) what: String,
    /// How large it is.
    pub(super) size: Size,
    /// `long`, `narrow`, `short for so long a counter`.
    pub(super) how: &'static str,
    /// Which was likely meant, where a slip of the point or of the unit makes it usual: `40 in (1.016 m)`.
    pub(super) meant: Option<String>,
    /// For which part of it: ` for edge 1`; empty where it is for all of it.
    pub(super) meant_for: String,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Size {
    Length(Length),
    Sides(Dimensions),
    Film(Length),
    Area(Area),
    Share(Fraction),
    Count(u32),
    Temperature(Temperature),
    Room(Volume),
    /// On a metre.
    OfEdge(Volume),
}

/// So much on a metre, as `150 mL a m of edge`, `1.55 fl oz a ft of edge`.
pub(super) fn of_edge(on_a_metre: Volume, units: Units) -> String {
    match units {
        Units::Us => format!("{} a ft of edge", (on_a_metre * 0.3048).show(units)),
        Units::Metric => format!("{} a m of edge", on_a_metre.show(units)),
    }
}

impl Size {
    fn show(self, units: Units) -> String {
        match self {
            Self::Length(length) => length.show(units),
            Self::Sides(sides) => sides.show(units),
            Self::Film(film) => film.show_film(units),
            Self::Area(area) => unusual_board::shown(area, units),
            Self::Share(share) => share.show(units),
            Self::Count(count) => count.to_string(),
            Self::Temperature(temperature) => temperature.show(units),
            Self::Room(room) => slip_of_volume::room(room, units),
            Self::OfEdge(on_a_metre) => of_edge(on_a_metre, units),
        }
    }

    /// In `units`, or in both where it is not known which a person reads.
    fn words(self, units: Option<Units>) -> String {
        let both = || [Units::Us, Units::Metric].map(|units| self.show(units));
        match (units, self) {
            // Millimetres that were meant as inches are known again only in inches.
            (Some(units), Self::Sides(sides)) => sides.show_both(units),
            (Some(units), _) => self.show(units),
            (None, Self::Share(_) | Self::Count(_)) => self.show(Units::Metric),
            (None, _) => {
                let [us, metric] = both();
                format!("{us} ({metric})")
            }
        }
    }
}

impl UnusualSize {
    /// In words, the measure in `units`, or in both where it is not known which a person reads:
    /// `leg a, 24 ft 6 in, is unusually long: measured so?`.
    #[must_use]
    pub fn words(&self, units: Option<Units>) -> String {
        let whose = match (&self.counter, units) {
            (Some(name), None) => format!(" of \"{name}\""),
            _ => String::new(),
        };
        let asked = self.meant.as_ref().map_or_else(
            || match self.size {
                Size::Share(_) | Size::Count(_) | Size::OfEdge(_) => "meant so?".to_owned(),
                Size::Length(_)
                | Size::Sides(_)
                | Size::Film(_)
                | Size::Area(_)
                | Size::Temperature(_)
                | Size::Room(_) => "measured so?".to_owned(),
            },
            |meant| format!("did you mean {meant}{}?", self.meant_for),
        );
        let (what, size, how) = (&self.what, self.size.words(units), self.how);
        format!("{what}{whose}, {size}, is unusually {how}: {asked}")
    }
}

/// An unusual measure of a shape: which, how large, how so, and which was likely meant.
struct Measure {
    what: &'static str,
    length: Length,
    how: &'static str,
    meant: Option<String>,
}

/// The lengths that were likely meant, in words; none where none is likely.
pub(super) fn length_meant(
    length: Length,
    usual: &std::ops::RangeInclusive<f64>,
) -> Option<String> {
    let words: Vec<String> = likely(length, usual).into_iter().map(Likely::words).collect();
    (!words.is_empty()).then(|| words.join(", or "))
}

impl Measure {
    /// The same as it is told, of a counter and at a place.
    fn told(self, counter: Option<&String>, path: Vec<Step>) -> UnusualSize {
        UnusualSize {
            path,
            counter: counter.cloned(),
            what: self.what.to_owned(),
            size: Size::Length(self.length),
            how: self.how,
            meant: self.meant,
            meant_for: String::new(),
        }
    }
}

impl Shape {
    /// Which depth was likely meant of an L or a U that is no shape, where its depth is unusual; a question, as a hint.
    pub(super) fn depth_meant(&self) -> Option<String> {
        let (Self::L { depth, .. } | Self::U { depth, .. }) = self else { return None };
        let meant = length_meant(*depth, &RUN_DEPTHS_MM)?;
        Some(format!("did you mean {meant} for the depth?"))
    }

    /// What is unusual of its measures, each as a question for a hint.
    pub(super) fn unusual_asked(&self) -> Vec<String> {
        self.unusual().into_iter().map(|own| own.told(None, Vec::new()).words(None)).collect()
    }

    /// Its measures that are unusual of a counter.
    fn unusual(&self) -> Vec<Measure> {
        let long = |what, length: Length| {
            let meant = length_meant(length, &USUAL_LEGS_MM);
            (length > LONGEST).then_some(Measure { what, length, how: "long", meant })
        };
        let deep = |what, length: Length, range: std::ops::RangeInclusive<f64>| {
            let how = if length.mm() < *range.start() { "narrow" } else { "deep" };
            let meant = length_meant(length, &range);
            (!range.contains(&length.mm())).then_some(Measure { what, length, how, meant })
        };
        let told = match self {
            Self::Rectangle { length, depth } => {
                let (longer, shorter) = (length.greater(*depth), length.lesser(*depth));
                if let Some(meant) = longer_side_meant(longer, shorter) {
                    let (what, how) = ("the longer side", "long");
                    vec![Some(Measure { what, length: longer, how, meant: Some(meant) })]
                } else {
                    vec![
                        long("the longer side", longer),
                        deep("the shorter side", shorter, SIDES_MM),
                    ]
                }
            }
            Self::L { a, b, depth } => {
                vec![long("leg a", *a), long("leg b", *b), deep("the depth", *depth, RUN_DEPTHS_MM)]
            }
            Self::U { left, back, right, depth } => vec![
                long("the left leg", *left),
                long("the back leg", *back),
                long("the right leg", *right),
                deep("the depth", *depth, RUN_DEPTHS_MM),
            ],
            Self::Circle { diameter } => {
                let meant = length_meant(*diameter, &USUAL_ROUNDS_MM);
                let how = if *diameter > WIDEST_ROUND { "wide" } else { "small" };
                let (what, length) = ("the circle", *diameter);
                let is_usual = (NARROWEST_ROUND..=WIDEST_ROUND).contains(diameter);
                vec![(!is_usual).then_some(Measure { what, length, how, meant })]
            }
            Self::Polygon(points) => {
                let extent = |of: fn(&Point) -> Length| {
                    let mm = points.iter().map(|point| of(point).mm());
                    let [least, most] = mm
                        .fold([f64::INFINITY, f64::NEG_INFINITY], |[l, m], x| [l.min(x), m.max(x)]);
                    Length::from_mm(most - least)
                };
                vec![
                    long("the extent along x", extent(|point| point.x)),
                    long("the extent along y", extent(|point| point.y)),
                ]
            }
        };
        told.into_iter().flatten().collect()
    }
}

/// What was likely meant for the longer side of a rectangle that is too long, where that alone makes both usual, for then
/// the other is as it was measured.
fn longer_side_meant(longer: Length, shorter: Length) -> Option<String> {
    if longer <= LONGEST {
        return None;
    }
    let mut each = likely(longer, &(*SIDES_MM.start()..=LONGEST.mm()));
    each.retain(|it| {
        let (short, long) = (it.length.lesser(shorter), it.length.greater(shorter));
        SIDES_MM.contains(&short.mm()) && long <= LONGEST
    });
    let words: Vec<String> = each.into_iter().map(Likely::words).collect();
    (!words.is_empty()).then(|| words.join(", or "))
}

impl Counter {
    /// Rectangular cut-outs of a size that is unusual, each with where in the counter it stands.
    fn unusual_cutouts(&self, counter: &String) -> impl Iterator<Item = UnusualSize> {
        self.cutouts.iter().filter_map(move |(name, cut)| {
            let UnusualCutOut { sides, how, meant } = cut.unusual()?;
            Some(UnusualSize {
                path: at!["counters", counter, "cutouts", name],
                counter: Some(counter.clone()),
                what: format!("the cut-out \"{name}\""),
                size: Size::Sides(sides),
                how,
                meant: meant.map(LikelySides::words),
                meant_for: String::new(),
            })
        })
    }
}

impl Job {
    /// The measures of its counters that are unusual; where no shape's is, that of all together, if that is; then those of
    /// cut-outs, edges and splashbacks, the film on them, and the allowance.
    #[must_use]
    pub fn unusual_sizes(&self) -> Vec<UnusualSize> {
        let mut all: Vec<UnusualSize> = Vec::new();
        for (name, counter) in &self.counters {
            let told = |own: Measure| own.told(Some(name), at!["counters", name, "shape"]);
            all.extend(counter.shape.unusual().into_iter().map(told));
        }
        let in_all: Area = self.counters.values().map(|counter| counter.shape.area()).sum();
        if all.is_empty() && in_all > LARGEST_IN_ALL {
            all.push(UnusualSize {
                path: at!["counters"],
                counter: None,
                what: "all of it together".to_owned(),
                size: Size::Area(in_all),
                how: "large",
                meant: None,
                meant_for: String::new(),
            });
        }
        for (name, counter) in &self.counters {
            all.extend(counter.unusual_cutouts(name));
            all.extend(counter.unusual_uprights().into_iter().map(|own| UnusualSize {
                path: at!["counters", name].into_iter().chain(own.path).collect(),
                counter: Some(name.clone()),
                what: own.what,
                size: Size::Length(own.length),
                how: own.how,
                meant: own.meant,
                meant_for: own.meant_for,
            }));
        }
        all.extend(self.unusual_boards());
        all.extend(self.unusual_face_film());
        all.extend(self.unusual_figures());
        all
    }

    /// The film on upright faces, where there are any and it is unusual.
    fn unusual_face_film(&self) -> Option<UnusualSize> {
        let mut counters = self.counters.values();
        let any = counters.any(|one| !one.edges.is_empty() || !one.splashbacks.is_empty());
        let film = self.face_film;
        if !any || USUAL_FACE_FILMS_MM.contains(&film.mm()) {
            return None;
        }
        Some(UnusualSize {
            path: at!["face_film"],
            counter: None,
            what: "the film on upright faces".to_owned(),
            size: Size::Film(film),
            how: if film.mm() > *USUAL_FACE_FILMS_MM.end() { "thick" } else { "thin" },
            meant: film_within(film),
            meant_for: String::new(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(shape: &Shape) -> Vec<(&'static str, &'static str)> {
        shape.unusual().into_iter().map(|own| (own.what, own.how)).collect()
    }

    #[test]
    fn measures_of_ordinary_kitchens_are_not_unusual() {
        let (ft, inch) = (Length::from_ft, Length::from_in);
        for shape in [
            Shape::L { a: ft(20.0), b: ft(8.0), depth: inch(25.5) },
            Shape::U { left: ft(9.0), back: ft(14.5), right: ft(12.0), depth: inch(36.0) },
            Shape::Rectangle { length: ft(10.0), depth: ft(5.0) },
            Shape::Rectangle { length: inch(25.5), depth: ft(18.0) },
            Shape::Rectangle { length: ft(6.0), depth: inch(8.0) },
            Shape::Circle { diameter: inch(72.0) },
            Shape::L {
                a: Length::from_mm(6000.0),
                b: Length::from_mm(2400.0),
                depth: Length::from_mm(300.0),
            },
        ] {
            assert_eq!(told(&shape), [], "{shape:?}");
        }
    }

    #[test]
    fn a_slip_of_the_tape_is_told() {
        let (ft, inch) = (Length::from_ft, Length::from_in);
        let l = |a, b, depth| Shape::L { a, b, depth };
        assert_eq!(told(&l(ft(24.5), ft(8.0), inch(25.5))), [("leg a", "long")]);
        assert_eq!(told(&l(ft(14.5), ft(28.0), inch(25.5))), [("leg b", "long")]);
        assert_eq!(told(&l(ft(14.5), ft(8.0), inch(10.0))), [("the depth", "narrow")]);
        assert_eq!(told(&l(ft(14.5), ft(8.0), inch(52.0))), [("the depth", "deep")]);
        let rectangle = Shape::Rectangle { length: ft(10.0), depth: inch(2.5) };
        assert_eq!(told(&rectangle), [("the shorter side", "narrow")]);
        let rectangle = Shape::Rectangle { length: ft(8.0), depth: ft(25.5) };
        assert_eq!(told(&rectangle), [("the longer side", "long")], "25 1/2 in is meant");
        assert_eq!(told(&Shape::Circle { diameter: ft(42.0) }), [("the circle", "wide")]);
        let point = |x, y| Point { x: inch(x), y: inch(y) };
        let bar = Shape::Polygon(vec![point(10.0, 0.0), point(300.0, 0.0), point(300.0, 30.0)]);
        assert_eq!(told(&bar), [("the extent along x", "long")]);
    }

    #[test]
    fn sides_are_told_as_they_are_round_too() {
        let sides = Dimensions::new(Length::from_in(31.0), Length::from_in(18.0));
        let words = Size::Sides(sides).words(Some(Units::Metric));
        assert_eq!(words, "787 mm x 457 mm (2 ft 7 in x 1 ft 6 in)");
        assert_eq!(Size::Sides(sides).words(Some(Units::Us)), "2 ft 7 in x 1 ft 6 in");
    }

    #[test]
    fn a_slip_of_the_longer_side_leaves_the_shorter_one_in_peace() {
        let (ft, inch) = (Length::from_ft, Length::from_in);
        let island = Shape::Rectangle { length: inch(76.5), depth: ft(38.0) };
        let asked =
            "the longer side, 38 ft (11.582 m), is unusually long: did you mean 38 in (965 mm)?";
        assert_eq!(island.unusual_asked(), [asked]);
        let both = Shape::Rectangle { length: ft(31.0), depth: ft(25.0) };
        assert_eq!(told(&both), [("the longer side", "long"), ("the shorter side", "deep")]);
    }
}
