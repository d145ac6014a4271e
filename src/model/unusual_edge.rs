//! Edges and splashbacks that can be, but that a slip of the tape, of a unit or of the point explains better.
//!
//! - [`Counter::unusual_uprights`]: those of a counter.
//! - [`edge_meant`]: which edge was likely meant of one that cannot be.
//!
//! All bounds are common practice, no source, and wide.

use std::ops::RangeInclusive;

use super::fault::{Step, at};
use super::job::{Counter, Edge};
use super::job_edges::TAPE;
use super::shape::Shape;
use super::slip_of_length::asked;
use super::unusual_size::length_meant;
use crate::quantity::Length;

/// A shorter stretch of edge is rather a rim that is mistyped: 4 in, a little less.
const SHORTEST_EDGE: Length = Length::from_mm(100.0);

/// A circle's edge is asked about where it is less than this part of all around, and a slip of it is all around.
const LEAST_EDGE_OF_ROUND: f64 = 0.25;

/// All around by a tape, as a part of what the diameter gives.
const ALL_AROUND: RangeInclusive<f64> = 0.95..=TAPE;

/// The highest face of a slab's edge: 6 in. What is higher is a waterfall's.
const HIGHEST_USUAL_FACE: Length = Length::from_mm(152.4);

/// The lowest face of an edge that resin runs over: what is lower was likely meant in inches. Thin slabs have 6 mm.
const LOWEST_FACE: Length = Length::from_mm(5.0);

/// The lowest splashback: an inch.
const LOWEST_SPLASHBACK: Length = Length::from_mm(25.0);

/// The highest splashback: 30 in. Wall cupboards hang at 18–24 in.
const HIGHEST_USUAL_SPLASHBACK: Length = Length::from_mm(762.0);

/// Faces that a slip may have been meant for, mm: 3/8 in to 6 in.
const USUAL_FACES_MM: RangeInclusive<f64> = 10.0..=HIGHEST_USUAL_FACE.mm();

/// Splashbacks that a slip may have been meant for, mm: 2 in to 30 in.
const USUAL_SPLASHBACKS_MM: RangeInclusive<f64> = 50.0..=HIGHEST_USUAL_SPLASHBACK.mm();

/// All exposed edge of a rectangle is at least this part of its longer side: the front that faces the room has no wall.
const LEAST_EDGE_OF_SIDE: f64 = 0.25;

/// All exposed edge of an L or a U is at least this part of its front: cupboards and machines that stand as high as the
/// counter cover the rest of it, or a tall one.
const LEAST_EDGE_OF_FRONT: f64 = 0.5;

/// The edge that was likely meant where one is longer than all that it can run along, which is `most`; a question, as a
/// hint.
pub(super) fn edge_meant(edge: Length, most: Length) -> Option<String> {
    asked(edge, &(300.0..=most.mm()))
}

/// A measure of an edge or a splashback that is unusual.
pub(super) struct Upright {
    /// Where in the counter.
    pub(super) path: Vec<Step>,
    pub(super) what: String,
    pub(super) length: Length,
    pub(super) how: &'static str,
    pub(super) meant: Option<String>,
    pub(super) meant_for: String,
}

impl Shape {
    /// All edge that a shape along its walls can expose: its front and its two ends. None of a rectangle, a circle or a
    /// free polygon, which may stand free.
    fn most_edge(&self) -> Option<Length> {
        let (Self::L { depth, .. } | Self::U { depth, .. }) = self else { return None };
        self.front().map(|front| front + *depth * 2.0)
    }

    /// The least edge that a counter of this shape usually shows; none of a circle, of which any part may stand at a
    /// wall, nor of a free polygon, whose front may be anything.
    fn least_edge(&self) -> Option<Length> {
        match self {
            Self::Rectangle { length, depth } => Some(length.greater(*depth) * LEAST_EDGE_OF_SIDE),
            Self::L { .. } | Self::U { .. } => self.front().map(|it| it * LEAST_EDGE_OF_FRONT),
            Self::Circle { .. } | Self::Polygon(_) => None,
        }
    }
}

impl Counter {
    /// Measures of its edges and splashbacks that are unusual.
    pub(super) fn unusual_uprights(&self) -> Vec<Upright> {
        // Where the counter itself is mistyped, its edge is not.
        let is_usual = self.shape.unusual_asked().is_empty();
        let edge = || self.unusual_edge().or_else(|| self.short_rim());
        let mut all: Vec<Upright> = is_usual.then(edge).flatten().into_iter().collect();
        let of = |what: &str, number: usize, count: usize| match count {
            1 => format!("the {what}"),
            _ => format!("{what} {number}"),
        };
        all.extend(self.short_rims_of_cutouts());
        let faces = self.edges.iter().enumerate().map(|(at, edge)| {
            let what = format!("the face of {}", of("edge", at + 1, self.edges.len()));
            (at!["edges", at, "face"], what, edge.face, LOWEST_FACE, USUAL_FACES_MM)
        });
        let strips = self.splashbacks.iter().enumerate().map(|(at, strip)| {
            let what = of("splashback", at + 1, self.splashbacks.len());
            let path = at!["splashbacks", at, "height"];
            (path, what, strip.height, LOWEST_SPLASHBACK, USUAL_SPLASHBACKS_MM)
        });
        all.extend(faces.chain(strips).filter_map(|(path, what, length, lowest, usual)| {
            let how = match length {
                height if height.mm() > *usual.end() => "high",
                height if height < lowest => "low",
                _ => return None,
            };
            let meant = length_meant(length, &usual);
            Some(Upright { path, what, length, how, meant, meant_for: String::new() })
        }));
        all
    }

    /// All of its edge together, where that is too little for so long a counter, or more than a counter of this shape
    /// shows where it stands along its walls.
    fn unusual_edge(&self) -> Option<Upright> {
        let length: Length = self.edges.iter().map(|edge| edge.length).sum();
        let least = self.shape.least_edge().filter(|_| !self.edges.is_empty())?;
        let cuts: Length = self.cutouts.values().map(|cut| cut.shape.perimeter()).sum();
        if let Some(long) = self.shape.most_edge().and_then(|most| self.long_run(least, most)) {
            return Some(long);
        }
        if let Some(long) = self.long_front() {
            return Some(long);
        }
        let most = self.shape.most_edge().map(|most| (most + cuts) * TAPE);
        let how = if length < least {
            "short for so long a counter"
        } else if most.is_some_and(|most| length > most) {
            "long for a counter along its walls, more than its front and both ends"
        } else {
            return None;
        };
        let around = self.shape.perimeter();
        let (meant, meant_for) = match self.edges[..] {
            [_] => {
                let usual = least.mm()..=most.unwrap_or(around).mm();
                (length_meant(length, &usual), String::new())
            }
            _ if length < least => {
                let front = self.shape.front().map_or(around, |front| front * TAPE);
                self.front_meant(&(least.mm()..=front.mm()))
            }
            // Of several that are too long it is not known which is mistyped.
            _ => (None, String::new()),
        };
        let what = "all exposed edge together".to_owned();
        Some(Upright { path: at!["edges"], what, length, how, meant, meant_for })
    }

    /// One edge that is longer than the front and both ends, `most`, whatever cut-outs have rims of their own.
    fn long_run(&self, least: Length, most: Length) -> Option<Upright> {
        let most = most * TAPE;
        let is_rim = |edge: &Edge| {
            let mut rims = self.cutouts.values().map(|cut| cut.shape.perimeter());
            rims.any(|rim| edge.length <= rim * TAPE)
        };
        let (at, edge) =
            self.edges.iter().enumerate().find(|(_, edge)| edge.length > most && !is_rim(edge))?;
        Some(Upright {
            path: at!["edges", at, "length"],
            what: if self.edges.len() > 1 {
                format!("edge {}", at + 1)
            } else {
                "the edge".to_owned()
            },
            length: edge.length,
            how: "long for a counter along its walls, more than its front and both ends",
            meant: length_meant(edge.length, &(least.mm()..=most.mm())),
            meant_for: String::new(),
        })
    }

    /// One edge that is longer than the front, where an end is listed beside it: whoever lists an end by itself lists the
    /// front by itself.
    fn long_front(&self) -> Option<Upright> {
        let (Shape::L { depth, .. } | Shape::U { depth, .. }) = &self.shape else { return None };
        let front = self.shape.front()?;
        let is_end = |edge: &Edge| (*depth / TAPE..=*depth * TAPE).contains(&edge.length);
        let is_rim = |edge: &Edge| {
            let mut rims = self.cutouts.values().map(|cut| cut.shape.perimeter());
            rims.any(|rim| edge.length <= rim * TAPE)
        };
        if !self.edges.iter().any(is_end) {
            return None;
        }
        let is_long = |edge: &Edge| edge.length > front * TAPE && !is_end(edge) && !is_rim(edge);
        let at = self.edges.iter().position(is_long)?;
        Some(Upright {
            path: at!["edges", at, "length"],
            what: format!("edge {}", at + 1),
            length: self.edges[at].length,
            how: "long for its front, beside an end that is listed by itself",
            meant: None,
            meant_for: String::new(),
        })
    }

    /// The edge of a circle, which may stand at a wall but for a little, where a slip of it is all around.
    fn short_rim(&self) -> Option<Upright> {
        let ([edge], Shape::Circle { .. }) = (&self.edges[..], &self.shape) else { return None };
        let (length, around) = (edge.length, self.shape.perimeter());
        let all_around = around.mm() * ALL_AROUND.start()..=around.mm() * ALL_AROUND.end();
        let meant = length_meant(length, &all_around)?;
        (length < around * LEAST_EDGE_OF_ROUND).then(|| Upright {
            path: at!["edges", 0_usize, "length"],
            what: "the edge".to_owned(),
            length,
            how: "short for the rim of so wide a circle",
            meant: Some(meant),
            meant_for: String::new(),
        })
    }

    /// Edges of next to nothing that a slip explains as the rim of a cut-out, which is coated as any other edge.
    fn short_rims_of_cutouts(&self) -> impl Iterator<Item = Upright> {
        let several = self.edges.len() > 1;
        self.edges.iter().enumerate().filter_map(move |(at, edge)| {
            let (name, meant) = self.cutouts.iter().find_map(|(name, cut)| {
                // Nor is the rim of a cut-out where that is mistyped.
                if cut.unusual().is_some() {
                    return None;
                }
                let rim = cut.shape.perimeter();
                let is_rim = |edge: &Edge| (rim / TAPE..=rim * TAPE).contains(&edge.length);
                // Whose rim is listed needs no other.
                if self.edges.iter().any(is_rim) {
                    return None;
                }
                let meant = length_meant(edge.length, &(rim.mm() / TAPE..=rim.mm() * TAPE))?;
                Some((name, meant))
            })?;
            (edge.length < SHORTEST_EDGE).then(|| Upright {
                path: at!["edges", at, "length"],
                what: if several { format!("edge {}", at + 1) } else { "the edge".to_owned() },
                length: edge.length,
                how: "short",
                meant: Some(meant),
                meant_for: format!(" for the rim of the cut-out \"{name}\""),
            })
        })
    }

    /// Of several edges that are too short together, the one that a slip explains as most of the front, and for which it
    /// stands; none where it may be either of two.
    fn front_meant(&self, usual: &RangeInclusive<f64>) -> (Option<String>, String) {
        let fronts = self.edges.iter().enumerate().filter_map(|(number, edge)| {
            let meant = length_meant(edge.length, usual)?;
            Some((meant, format!(" for edge {}", number + 1)))
        });
        match &fronts.collect::<Vec<_>>()[..] {
            [(meant, which)] => (Some(meant.clone()), which.clone()),
            _ => (None, String::new()),
        }
    }
}
