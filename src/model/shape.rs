//! Shapes of counters and cut-outs, with their exact areas.

use geo::algorithm::line_intersection::{LineIntersection, line_intersection};
use geo::{Area as _, Contains, Coord, Intersects, Line, LineString, Polygon};

use crate::quantity::{Area, Length, Units};

/// A point of a plan view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Along the wall.
    pub x: Length,
    /// Away from the wall.
    pub y: Length,
}

/// A plane shape, seen from above. Rectangles, L and U stand with one corner at the origin; a circle
/// has its centre there.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A rectangle.
    Rectangle {
        /// Along the wall.
        length: Length,
        /// Away from it.
        depth: Length,
    },
    /// Two legs of one depth that share a corner; each leg measured along its wall.
    L {
        /// The leg along x.
        a: Length,
        /// The leg along y.
        b: Length,
        /// Depth of both.
        depth: Length,
    },
    /// Three legs of one depth; each measured along its wall.
    U {
        /// The left leg, along y.
        left: Length,
        /// The back leg, along x.
        back: Length,
        /// The right leg, along y.
        right: Length,
        /// Depth of all three.
        depth: Length,
    },
    /// A circle.
    Circle {
        /// Across.
        diameter: Length,
    },
    /// A free polygon, its corners in turn.
    Polygon(Vec<Point>),
}

/// Straight pieces into which a circle's outline is cut where only polygons serve (containment,
/// pictures); its area is exact all the same.
const CIRCLE_PIECES: u32 = 720;

impl Shape {
    /// The exact area.
    #[must_use]
    pub fn area(&self) -> Area {
        match self {
            Self::Circle { diameter } => {
                let r_m = diameter.m() / 2.0;
                Area::from_m2(std::f64::consts::PI * r_m * r_m)
            }
            _ => Area::from_m2(self.polygon_mm().unsigned_area() * 1e-6),
        }
    }

    /// All around.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        match self {
            Self::Circle { diameter } => Length::from_mm(std::f64::consts::PI * diameter.mm()),
            _ => {
                let corners = self.outline_mm();
                let next = corners.iter().cycle().skip(1);
                let sides = corners.iter().zip(next);
                Length::from_mm(sides.map(|(a, b)| libm::hypot(b[0] - a[0], b[1] - a[1])).sum())
            }
        }
    }

    /// The longest wall that an upright strip of one piece can stand along: sides that turn by less than
    /// 45° from one to the next count as one, for a strip may be bent along a bow.
    #[must_use]
    pub fn longest_wall(&self) -> Length {
        let corners = self.outline_mm();
        let count = corners.len();
        let side = |at: usize| {
            let (from, to) = (corners[at % count], corners[(at + 1) % count]);
            [to[0] - from[0], to[1] - from[1]]
        };
        let length = |[x, y]: [f64; 2]| libm::hypot(x, y);
        // At the corner where this side begins.
        let bends = |at: usize| {
            let (before, here) = (side(at + count - 1), side(at));
            let along = before[0] * here[0] + before[1] * here[1];
            along < std::f64::consts::FRAC_1_SQRT_2 * length(before) * length(here)
        };
        let Some(first) = (0..count).find(|at| bends(*at)) else { return self.perimeter() };
        let (mut longest, mut run) = (0.0_f64, 0.0);
        for at in first..first + count {
            run = if bends(at % count) { 0.0 } else { run } + length(side(at));
            longest = longest.max(run);
        }
        Length::from_mm(longest)
    }

    /// The front that faces the room, without the ends, of a shape that stands along its walls. None of a rectangle, a
    /// circle or a free polygon, which may stand free.
    #[must_use]
    pub(super) fn front(&self) -> Option<Length> {
        match self {
            Self::L { a, b, depth } => Some(*a + *b - *depth * 2.0),
            Self::U { left, back, right, depth } => Some(*left + *back + *right - *depth * 4.0),
            Self::Rectangle { .. } | Self::Circle { .. } | Self::Polygon(_) => None,
        }
    }

    /// The lengths of edge that a counter of this shape usually has, in words with lengths that can be
    /// typed: the front that faces the room, and what ends that stand free add.
    #[must_use]
    pub fn usual_edges(&self) -> String {
        let told = |length: Length| format!("\"{}\"", length.show(Units::Us));
        let front = self.front().unwrap_or_else(|| self.perimeter());
        match self {
            Self::Rectangle { length, depth } => format!(
                "a long side is {}, an end {}",
                told(length.greater(*depth)),
                told(length.lesser(*depth))
            ),
            Self::L { depth, .. } => {
                format!("the front of this L is {}, each end {}", told(front), told(*depth))
            }
            Self::U { depth, .. } => {
                format!("the front of this U is {}, each end {}", told(front), told(*depth))
            }
            Self::Circle { .. } | Self::Polygon(_) => {
                format!("all around is {}", told(front))
            }
        }
    }

    /// Corners of the outline, mm, in turn; a circle as a fine polygon.
    #[must_use]
    pub fn outline_mm(&self) -> Vec<[f64; 2]> {
        match self {
            Self::Rectangle { length, depth } => rectangle(length.mm(), depth.mm()),
            Self::L { a, b, depth } => {
                let (a, b, d) = (a.mm(), b.mm(), depth.mm());
                vec![[0.0, 0.0], [a, 0.0], [a, d], [d, d], [d, b], [0.0, b]]
            }
            Self::U { left, back, right, depth } => {
                let (l, w, r, d) = (left.mm(), back.mm(), right.mm(), depth.mm());
                vec![[0.0, 0.0], [w, 0.0], [w, r], [w - d, r], [w - d, d], [d, d], [d, l], [0.0, l]]
            }
            Self::Circle { diameter } => {
                let r = diameter.mm() / 2.0;
                (0..CIRCLE_PIECES)
                    .map(|piece| {
                        let turn = f64::from(piece) / f64::from(CIRCLE_PIECES);
                        let (sin, cos) = libm::sincos(turn * std::f64::consts::TAU);
                        [r * cos, r * sin]
                    })
                    .collect()
            }
            Self::Polygon(points) => points.iter().map(|p| [p.x.mm(), p.y.mm()]).collect(),
        }
    }

    /// The outline as a polygon, mm.
    fn polygon_mm(&self) -> Polygon<f64> {
        let corners = self.outline_mm().into_iter().map(|[x, y]| Coord { x, y }).collect();
        Polygon::new(LineString(corners), Vec::new())
    }

    /// What makes this no shape at all: a length not above zero, a leg not longer than its depth, too
    /// few corners, an outline that crosses itself (with the point where it does).
    #[must_use]
    pub fn fault(&self) -> Option<String> {
        let lengths: Vec<Length> = match self {
            Self::Rectangle { length, depth } => vec![*length, *depth],
            Self::L { a, b, depth } => vec![*a, *b, *depth],
            Self::U { left, back, right, depth } => vec![*left, *back, *right, *depth],
            Self::Circle { diameter } => vec![*diameter],
            Self::Polygon(_) => Vec::new(),
        };
        if !lengths.iter().all(|length| length.mm() > 0.0) {
            return Some("every length of a shape must be above zero".to_owned());
        }
        match self {
            Self::L { a, b, depth } if a <= depth || b <= depth => {
                let (leg, axis) = if a <= depth { ("a", "x") } else { ("b", "y") };
                Some(format!(
                    "leg {leg} of this L is no longer than the depth: a leg is measured along its wall (a along x, b along y) from the corner in which both walls meet, so that leg {leg} ends farther along {axis} than the other is deep"
                ))
            }
            Self::U { left, back, right, depth }
                if left <= depth || right <= depth || back.mm() <= 2.0 * depth.mm() =>
            {
                Some(
                    "the legs of a U are measured along the walls: left and right longer than the depth, the back longer than twice the depth"
                        .to_owned(),
                )
            }
            Self::Polygon(points) => polygon_fault(points),
            _ => None,
        }
    }

    /// Whether `inner`, moved by `at`, lies wholly inside this shape.
    #[must_use]
    pub fn contains(&self, inner: &Self, at: Point) -> bool {
        self.polygon_mm().contains(&inner.moved_mm(at))
    }

    /// Whether two shapes, each moved, overlap or touch.
    #[must_use]
    pub fn overlaps(&self, at: Point, other: &Self, other_at: Point) -> bool {
        self.moved_mm(at).intersects(&other.moved_mm(other_at))
    }

    fn moved_mm(&self, at: Point) -> Polygon<f64> {
        use geo::Translate;
        self.polygon_mm().translate(at.x.mm(), at.y.mm())
    }
}

fn rectangle(length: f64, depth: f64) -> Vec<[f64; 2]> {
    vec![[0.0, 0.0], [length, 0.0], [length, depth], [0.0, depth]]
}

/// Most corners of a free polygon: the check for crossings compares every pair of sides.
const MOST_CORNERS: usize = 2000;

fn polygon_fault(points: &[Point]) -> Option<String> {
    if points.len() < 3 {
        return Some("a polygon needs at least three corners".to_owned());
    }
    if points.len() > MOST_CORNERS {
        return Some(format!("a polygon has at most {MOST_CORNERS} corners"));
    }
    let corner = |at: usize| {
        let point = points[at % points.len()];
        Coord { x: point.x.mm(), y: point.y.mm() }
    };
    let sides: Vec<Line<f64>> =
        (0..points.len()).map(|at| Line::new(corner(at), corner(at + 1))).collect();
    if let Some(at) = sides.iter().position(|side| side.start == side.end) {
        return Some(format!(
            "corners {} and {} are the same point",
            at + 1,
            (at + 1) % points.len() + 1
        ));
    }
    for (i, one) in sides.iter().enumerate() {
        for (j, other) in sides.iter().enumerate().skip(i + 1) {
            let next = j == i + 1;
            let wraps = i == 0 && j == sides.len() - 1;
            match line_intersection(*one, *other) {
                // Neighbours share a corner; anything more is a fold back.
                Some(LineIntersection::SinglePoint { .. }) if next || wraps => {}
                Some(LineIntersection::SinglePoint { intersection: at, .. }) => {
                    return Some(format!(
                        "the outline crosses itself at {} along, {} deep ({:.0} mm, {:.0} mm), where side {} meets side {}",
                        Length::from_mm(at.x).show(Units::Us),
                        Length::from_mm(at.y).show(Units::Us),
                        at.x,
                        at.y,
                        i + 1,
                        j + 1
                    ));
                }
                Some(LineIntersection::Collinear { intersection }) => {
                    return Some(format!(
                        "the outline runs back over itself at ({:.1} mm, {:.1} mm), where side {} lies on side {}",
                        intersection.start.x,
                        intersection.start.y,
                        i + 1,
                        j + 1
                    ));
                }
                None => {}
            }
        }
    }
    None
}
