//! Figures that can be, but are so far from what is usual that a slip of the tape, of a unit or of a key is likelier.
//!
//! - [`System::unusual`], [`Colorant::unusual`]: figures that are read off a datasheet.
//! - [`Job::unusual_sizes`]: measures of counters, of their edges and of their splashbacks.
//!
//! They are told and stop nothing: there are resins and rooms of every kind. All bounds are common practice, no
//! source, and wide, so that whoever is told looks.

use super::colorant::Colorant;
use super::fault::{Step, at};
use super::job::{Counter, Job};
use super::shape::{Point, Shape};
use super::system::{MixRatio, System};
use crate::quantity::{Area, Length, Mass, Units};

/// Part A to part B, by volume or mass: resins for poured films lie at 1 : 1 to 5 : 1 by volume, some at 10 : 1 by
/// mass.
const RATIOS: std::ops::RangeInclusive<f64> = 0.8..=12.0;

/// Pot lives, min: coating resins state 20–60 min, deep ones some hours.
const POT_LIVES_MIN: std::ops::RangeInclusive<f64> = 5.0..=600.0;

/// Densities of a part, g/mL: unfilled ones lie at 0.9–1.2.
const DENSITIES: std::ops::RangeInclusive<f64> = 0.85..=1.7;

/// The mixed mass that a pot life holds for, g: datasheets state 100 g to 1 gal.
const POT_LIFE_MASSES_G: std::ops::RangeInclusive<f64> = 50.0..=5000.0;

/// The highest ceiling of one colorant, or of all of them in a system: metallic and pearl powders rarely bear more than
/// 10 %, pastes 6–10 %.
const HIGHEST_CEILING: f64 = 0.2;

/// An unusual figure of a datasheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Unusual {
    /// Where in the file it stands.
    pub path: Vec<Step>,
    /// What it is: `a pot life of 35 h`.
    what: String,
    /// What it may be mistaken for: `minutes typed as h`.
    mistaken: &'static str,
    /// What is usual.
    usual: &'static str,
}

impl Unusual {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "unusual: {}: is it read off the datasheet so? ({}) {}",
            self.what, self.mistaken, self.usual
        )
    }

    /// In few words.
    #[must_use]
    pub fn brief(&self) -> String {
        format!("unusual: {}: look at the datasheet first ({})", self.what, self.mistaken)
    }
}

impl System {
    /// Its figures that are unusual. A mix ratio that the equivalent weights of the same file bear out is none, nor one
    /// that they deny: that is told by [`System::off_equivalents`].
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let mut all = Vec::new();
        let (a, b, by) = match self.ratio {
            MixRatio::Volume { a, b } => (a, b, "volume"),
            MixRatio::Mass { a, b } => (a, b, "mass"),
        };
        if self.stoichiometry.is_none() && !RATIOS.contains(&(a / b)) {
            all.push(Unusual {
                path: at!["ratio"],
                what: format!("a mix ratio A : B of {a} : {b} by {by}"),
                mistaken: if a < b { "A and B swapped?" } else { "a nought too many?" },
                usual: "Resins for poured films lie at 1 : 1 to 5 : 1 by volume, some at 10 : 1 by mass",
            });
        }
        for (field, part, density) in
            [("density_a", "A", self.density_a), ("density_b", "B", self.density_b)]
        {
            if !DENSITIES.contains(&density.g_per_ml()) {
                all.push(Unusual {
                    path: at![field],
                    what: format!(
                        "a density of part {part} of {} ({})",
                        density.show(Units::Metric),
                        density.show(Units::Us)
                    ),
                    mistaken: "another unit? that of a filled product?",
                    usual: "Part A is usually near 1.15 g/mL (9.6 lb/gal), part B near 0.97 g/mL (8.1 lb/gal)",
                });
            }
        }
        let minutes = self.pot_life.time.min();
        if !POT_LIVES_MIN.contains(&minutes) {
            let long = minutes > *POT_LIVES_MIN.end();
            all.push(Unusual {
                path: at!["pot_life", "time"],
                what: format!("a pot life of {}", self.pot_life.time.show(Units::Metric)),
                mistaken: if long {
                    "minutes typed as h? the time to cure?"
                } else {
                    "hours typed as min?"
                },
                usual: "Coating resins state 20–60 min, deep ones some hours",
            });
        }
        if self.density_b > self.density_a {
            all.push(Unusual {
                path: at!["density_b"],
                what: format!(
                    "a hardener denser than its resin: part B {} ({}), part A {} ({})",
                    self.density_b.show(Units::Metric),
                    self.density_b.show(Units::Us),
                    self.density_a.show(Units::Metric),
                    self.density_a.show(Units::Us)
                ),
                mistaken: "A and B swapped?",
                usual: "Part A is usually at 1.10–1.17 g/mL (9.2–9.8 lb/gal), part B at 0.93–1.05 g/mL (7.8–8.8 lb/gal)",
            });
        }
        let mass = self.pot_life.mass;
        if !POT_LIFE_MASSES_G.contains(&mass.g()) {
            all.push(Unusual {
                path: at!["pot_life", "mass"],
                what: format!("a pot life stated for {} of mix", in_both(mass)),
                mistaken: if mass.g() > *POT_LIFE_MASSES_G.end() {
                    "g typed as kg? the mass of the whole kit?"
                } else {
                    "kg typed as g?"
                },
                usual: "Datasheets state it for 100 g to 1 gal (about 4 kg)",
            });
        }
        let ceiling = self.ceilings.colorant;
        if ceiling.value() > HIGHEST_CEILING {
            all.push(Unusual {
                path: at!["ceilings", "colorant"],
                what: format!("a ceiling of {} for all colorants", ceiling.show(Units::Metric)),
                mistaken: "the point lost? that of one powder?",
                usual: "Systems usually bear 5–10 % of their mixed mass",
            });
        }
        all
    }
}

/// A mass that may be a few grams or some hundred kilograms: `200 kg (440.9 lb)`.
fn in_both(mass: Mass) -> String {
    let rounded = |figure: f64| libm::round(figure * 10.0) / 10.0;
    let (g, lb) = (mass.g(), mass.lb());
    if g < 1000.0 {
        format!("{} g ({} oz)", rounded(g), rounded(lb * 16.0))
    } else {
        format!("{} kg ({} lb)", rounded(g / 1000.0), rounded(lb))
    }
}

impl Colorant {
    /// Its figures that are unusual.
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let high = self.ceiling.value() > HIGHEST_CEILING;
        let told = high.then(|| Unusual {
            path: at!["ceiling"],
            what: format!("a ceiling of {}", self.ceiling.show(Units::Metric)),
            mistaken: "the point lost? its solids?",
            usual: "Metallic and pearl powders rarely bear more than 10 % of the mixed mass, pastes 6–10 %",
        });
        told.into_iter().collect()
    }
}

/// A leg, a front or a bar is no longer in one room: 20 ft.
const LONGEST: Length = Length::from_mm(6100.0);

/// Depths of a run along a wall: 12 in to 48 in, a little less and more.
const RUN_DEPTHS_MM: std::ops::RangeInclusive<f64> = 290.0..=1225.0;

/// The shorter side of a rectangle, from a sill to an island that is reached across from both sides: 6 in to 6 ft.
const SIDES_MM: std::ops::RangeInclusive<f64> = 150.0..=1830.0;

/// The widest round table: 8 ft.
const WIDEST_ROUND: Length = Length::from_mm(2450.0);

/// The highest face of a slab's edge: 6 in. What is higher is a waterfall's.
const HIGHEST_FACE: Length = Length::from_mm(152.4);

/// The highest splashback: 30 in. Wall cupboards hang at 18–24 in.
const HIGHEST_SPLASHBACK: Length = Length::from_mm(762.0);

/// All exposed edge of a counter is at least this part of its shape's longest side: the front that faces the room has no
/// wall, and is seldom much shorter than the wall behind it.
const LEAST_EDGE: f64 = 0.25;

/// All counters of a job: 200 ft².
const LARGEST_IN_ALL: Area = Area::from_m2(18.6);

/// What is unusual of a counter, or of all of a job's.
#[derive(Debug, Clone, PartialEq)]
pub struct UnusualSize {
    /// Where in the job it stands.
    pub path: Vec<Step>,
    /// Whose it is; none where it is that of all counters together.
    pub counter: Option<String>,
    /// Which measure.
    what: String,
    /// How large it is.
    size: Size,
    /// `long`, `narrow`, `short for so long a counter`.
    how: &'static str,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Size {
    Length(Length),
    Area(Area),
}

impl UnusualSize {
    /// In words, the measure in `units`, or in both where it is not known which a person reads:
    /// `leg a, 24 ft 6 in, is unusually long: measured so?`.
    #[must_use]
    pub fn words(&self, units: Option<Units>) -> String {
        let show = |units| match self.size {
            Size::Length(length) => length.show(units),
            Size::Area(area) => area.show(units),
        };
        let shown =
            units.map_or_else(|| format!("{} ({})", show(Units::Us), show(Units::Metric)), show);
        let whose = match (&self.counter, units) {
            (Some(name), None) => format!(" of \"{name}\""),
            _ => String::new(),
        };
        format!("{}{whose}, {shown}, is unusually {}: measured so?", self.what, self.how)
    }
}

impl Shape {
    /// The longest side of a shape whose front is nearly as long; none of a circle, of which any part may stand at a
    /// wall, nor of a free polygon, whose front may be anything.
    fn long_side(&self) -> Option<Length> {
        match self {
            Self::Rectangle { length, depth } => Some(length.greater(*depth)),
            Self::L { a, b, .. } => Some(a.greater(*b)),
            Self::U { left, back, right, .. } => Some(left.greater(*back).greater(*right)),
            Self::Circle { .. } | Self::Polygon(_) => None,
        }
    }

    /// Its measures that are unusual of a counter: which, how large, how so.
    fn unusual(&self) -> Vec<(&'static str, Length, &'static str)> {
        let long = |what, length: Length| (length > LONGEST).then_some((what, length, "long"));
        let deep = |what, length: Length, range: std::ops::RangeInclusive<f64>| {
            let how = if length.mm() < *range.start() { "narrow" } else { "deep" };
            (!range.contains(&length.mm())).then_some((what, length, how))
        };
        let told = match self {
            Self::Rectangle { length, depth } => vec![
                long("the longer side", length.greater(*depth)),
                deep("the shorter side", length.lesser(*depth), SIDES_MM),
            ],
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
                vec![(*diameter > WIDEST_ROUND).then_some(("the circle", *diameter, "wide"))]
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

impl Counter {
    /// Measures of its edges and splashbacks that are unusual: where in the counter, which, how large, how so.
    fn unusual_uprights(&self) -> Vec<(Vec<Step>, String, Length, &'static str)> {
        let mut all = Vec::new();
        let edge: Length = self.edges.iter().map(|edge| edge.length).sum();
        if let Some(side) = self.shape.long_side()
            && !self.edges.is_empty()
            && edge < side * LEAST_EDGE
        {
            let what = "all exposed edge together".to_owned();
            all.push((at!["edges"], what, edge, "short for so long a counter"));
        }
        let of = |what: &str, number: usize, count: usize| match count {
            1 => format!("the {what}"),
            _ => format!("{what} {number}"),
        };
        for (number, edge) in self.edges.iter().enumerate() {
            if edge.face > HIGHEST_FACE {
                let what = format!("the face of {}", of("edge", number + 1, self.edges.len()));
                all.push((at!["edges", number, "face"], what, edge.face, "high"));
            }
        }
        for (number, strip) in self.splashbacks.iter().enumerate() {
            if strip.height > HIGHEST_SPLASHBACK {
                let what = of("splashback", number + 1, self.splashbacks.len());
                let path = at!["splashbacks", number, "height"];
                all.push((path, what, strip.height, "high"));
            }
        }
        all
    }
}

impl Job {
    /// The measures of its counters that are unusual; where no shape's is, that of all together, if that is; then those of
    /// edges and splashbacks.
    #[must_use]
    pub fn unusual_sizes(&self) -> Vec<UnusualSize> {
        let mut all: Vec<UnusualSize> = Vec::new();
        for (name, counter) in &self.counters {
            all.extend(counter.shape.unusual().into_iter().map(|(what, length, how)| {
                UnusualSize {
                    path: at!["counters", name, "shape"],
                    counter: Some(name.clone()),
                    what: what.to_owned(),
                    size: Size::Length(length),
                    how,
                }
            }));
        }
        let in_all: Area = self.counters.values().map(|counter| counter.shape.area()).sum();
        if all.is_empty() && in_all > LARGEST_IN_ALL {
            all.push(UnusualSize {
                path: at!["counters"],
                counter: None,
                what: "all of it together".to_owned(),
                size: Size::Area(in_all),
                how: "large",
            });
        }
        for (name, counter) in &self.counters {
            all.extend(counter.unusual_uprights().into_iter().map(|(below, what, length, how)| {
                UnusualSize {
                    path: at!["counters", name].into_iter().chain(below).collect(),
                    counter: Some(name.clone()),
                    what,
                    size: Size::Length(length),
                    how,
                }
            }));
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(shape: &Shape) -> Vec<(&'static str, &'static str)> {
        shape.unusual().into_iter().map(|(what, _, how)| (what, how)).collect()
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
        assert_eq!(told(&rectangle), [("the longer side", "long"), ("the shorter side", "deep")]);
        assert_eq!(told(&Shape::Circle { diameter: ft(42.0) }), [("the circle", "wide")]);
        let point = |x, y| Point { x: inch(x), y: inch(y) };
        let bar = Shape::Polygon(vec![point(10.0, 0.0), point(300.0, 0.0), point(300.0, 30.0)]);
        assert_eq!(told(&bar), [("the extent along x", "long")]);
    }
}
