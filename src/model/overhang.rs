//! On which sides of its counter a cut-out sticks out, and by how much, in the words of the drawing: walls at the top and
//! at the left, x to the right, y away from the wall at the top.

use super::shape::{Point, Shape};
use crate::quantity::{Length, Units};

/// What sticks out by less is no more than what a figure loses by rounding, mm.
const LEAST_TOLD_MM: f64 = 0.05;

/// How far a shape reaches on one side of another.
#[derive(Debug, Clone, PartialEq)]
struct Overhang {
    /// Beyond what.
    side: &'static str,
    /// By how much, mm.
    by_mm: f64,
    /// Up to which x or y, mm; none where that is less than 0, or neither tells.
    up_to: Option<(char, f64)>,
}

impl Overhang {
    const fn low(side: &'static str, from_mm: f64) -> Self {
        Self { side, by_mm: -from_mm, up_to: None }
    }

    const fn high(side: &'static str, axis: char, to_mm: f64, end_mm: f64) -> Self {
        Self { side, by_mm: to_mm - end_mm, up_to: Some((axis, to_mm)) }
    }

    fn words(&self) -> String {
        let told = |mm: f64| {
            let length = Length::from_mm(mm);
            format!("{} ({})", length.show(Units::Us), length.show(Units::Metric))
        };
        let up_to = self.up_to.map(|(axis, mm)| format!(", {axis} up to {}", told(mm)));
        format!("{} beyond {}{}", told(self.by_mm), self.side, up_to.unwrap_or_default())
    }
}

/// The least box around an outline, mm.
struct Extent {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Extent {
    fn of(corners: &[[f64; 2]]) -> Self {
        let none = Self {
            left: f64::INFINITY,
            right: f64::NEG_INFINITY,
            top: f64::INFINITY,
            bottom: f64::NEG_INFINITY,
        };
        corners.iter().fold(none, |so_far, [x, y]| Self {
            left: so_far.left.min(*x),
            right: so_far.right.max(*x),
            top: so_far.top.min(*y),
            bottom: so_far.bottom.max(*y),
        })
    }
}

impl Shape {
    /// Where `inner`, moved by `at`, sticks out of this shape, to follow what says that it does:
    /// `: it sticks out 5 in (127 mm) beyond the front, y up to 2 ft 6 in (762 mm)`. Empty where it does not, or only into
    /// a bay of a free polygon.
    pub(super) fn overhang_words(&self, inner: &Self, at: Point) -> String {
        let told = self.overhangs(inner, at).iter().map(Overhang::words).collect::<Vec<_>>();
        match told.is_empty() {
            true => String::new(),
            false => format!(": it sticks out {}", told.join(", and ")),
        }
    }

    fn overhangs(&self, inner: &Self, at: Point) -> Vec<Overhang> {
        let moved = |[x, y]: [f64; 2]| [x + at.x.mm(), y + at.y.mm()];
        let corners: Vec<_> = inner.outline_mm().into_iter().map(moved).collect();
        let cut = Extent::of(&corners);
        let (low, high) = (Overhang::low, Overhang::high);
        let mut all = match self {
            Self::Rectangle { length, depth } => vec![
                low("the left end", cut.left),
                high("the right end", 'x', cut.right, length.mm()),
                low("the wall at the top", cut.top),
                high("the front", 'y', cut.bottom, depth.mm()),
            ],
            Self::L { a, b, depth } => beyond_l(&cut, [*a, *b, *depth].map(Length::mm)),
            Self::U { left, back, right, depth } => {
                beyond_u(&cut, [*left, *back, *right, *depth].map(Length::mm))
            }
            Self::Circle { diameter } => {
                let farthest = corners.iter().map(|[x, y]| libm::hypot(*x, *y)).fold(0.0, f64::max);
                let by_mm = farthest - diameter.mm() / 2.0;
                vec![Overhang { side: "the rim", by_mm, up_to: None }]
            }
            Self::Polygon(_) => {
                let own = Extent::of(&self.outline_mm());
                vec![
                    low("the corner farthest left", cut.left - own.left),
                    high("the corner farthest right", 'x', cut.right, own.right),
                    low("the corner at the top", cut.top - own.top),
                    high("the corner at the front", 'y', cut.bottom, own.bottom),
                ]
            }
        };
        all.retain(|each| each.by_mm > LEAST_TOLD_MM);
        all
    }
}

/// Beyond the front, by as much as the cut-out must be moved towards the wall that it is nearest to.
fn beyond_front(ways: impl IntoIterator<Item = Overhang>) -> Option<Overhang> {
    ways.into_iter().min_by(|one, other| one.by_mm.total_cmp(&other.by_mm))
}

fn beyond_l(cut: &Extent, [a, b, depth]: [f64; 3]) -> Vec<Overhang> {
    let (low, high) = (Overhang::low, Overhang::high);
    let (in_leg_a, in_leg_b) = (cut.top < depth, cut.left < depth);
    let mut all = vec![low("the wall at the left", cut.left), low("the wall at the top", cut.top)];
    if in_leg_a {
        all.push(high("the end of leg a", 'x', cut.right, a));
    }
    if in_leg_b {
        all.push(high("the end of leg b", 'y', cut.bottom, b));
    }
    // Into the leg in which a part of it lies; where that is both or none, the nearer way.
    let up = (in_leg_a || !in_leg_b).then(|| high("the front", 'y', cut.bottom, depth));
    let left = (in_leg_b || !in_leg_a).then(|| high("the front", 'x', cut.right, depth));
    all.extend(beyond_front(up.into_iter().chain(left)));
    all
}

fn beyond_u(cut: &Extent, [left, back, right, depth]: [f64; 4]) -> Vec<Overhang> {
    let (low, high) = (Overhang::low, Overhang::high);
    let right_leg = back - depth;
    let (in_back, in_left, in_right) = (cut.top < depth, cut.left < depth, cut.right > right_leg);
    let mut all = vec![
        low("the wall at the left", cut.left),
        high("the wall at the right", 'x', cut.right, back),
        low("the wall at the top", cut.top),
    ];
    if in_left {
        all.push(high("the end of the left leg", 'y', cut.bottom, left));
    }
    if in_right {
        all.push(high("the end of the right leg", 'y', cut.bottom, right));
    }
    let none = !in_back && !in_left && !in_right;
    let up = (in_back || none).then(|| high("the front", 'y', cut.bottom, depth));
    let to_left = in_left.then(|| high("the front", 'x', cut.right, depth));
    let to_right = in_right.then(|| low("the front", cut.left - right_leg));
    all.extend(beyond_front([up, to_left, to_right].into_iter().flatten()));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(
        shape: &Shape,
        [length, depth]: [f64; 2],
        [x, y]: [f64; 2],
    ) -> Vec<(&'static str, f64)> {
        let mm = Length::from_mm;
        let cut = Shape::Rectangle { length: mm(length), depth: mm(depth) };
        let at = Point { x: mm(x), y: mm(y) };
        let told = shape.overhangs(&cut, at);
        assert_eq!(told.is_empty(), shape.contains(&cut, at), "{length} {depth} {x} {y}: {told:?}");
        told.into_iter().map(|each| (each.side, each.by_mm)).collect()
    }

    #[test]
    fn each_side_of_a_rectangle_has_its_word() {
        let shape =
            Shape::Rectangle { length: Length::from_mm(3000.0), depth: Length::from_mm(600.0) };
        let told = |at| told(&shape, [800.0, 400.0], at);
        assert_eq!(told([1000.0, 100.0]), []);
        assert_eq!(told([1000.0, 300.0]), [("the front", 100.0)]);
        assert_eq!(told([1000.0, -50.0]), [("the wall at the top", 50.0)]);
        assert_eq!(told([-50.0, 100.0]), [("the left end", 50.0)]);
        assert_eq!(told([2300.0, 250.0]), [("the right end", 100.0), ("the front", 50.0)]);
    }

    #[test]
    fn a_cut_out_of_an_l_is_told_of_the_leg_in_which_it_lies() {
        let mm = Length::from_mm;
        let shape = Shape::L { a: mm(3000.0), b: mm(2000.0), depth: mm(600.0) };
        let told = |size, at| told(&shape, size, at);
        assert_eq!(told([800.0, 400.0], [1000.0, 300.0]), [("the front", 100.0)], "leg a");
        assert_eq!(told([400.0, 800.0], [250.0, 1000.0]), [("the front", 50.0)], "leg b");
        assert_eq!(told([400.0, 400.0], [2700.0, 100.0]), [("the end of leg a", 100.0)]);
        assert_eq!(told([400.0, 400.0], [100.0, 1700.0]), [("the end of leg b", 100.0)]);
        assert_eq!(told([400.0, 400.0], [-20.0, 100.0]), [("the wall at the left", 20.0)]);
        assert_eq!(told([400.0, 400.0], [300.0, 250.0]), [("the front", 50.0)], "the corner");
        assert_eq!(told([400.0, 400.0], [1000.0, 900.0]), [("the front", 700.0)], "the room");
    }

    #[test]
    fn a_cut_out_of_a_u_is_told_of_the_leg_in_which_it_lies() {
        let mm = Length::from_mm;
        let shape =
            Shape::U { left: mm(2000.0), back: mm(3000.0), right: mm(1500.0), depth: mm(600.0) };
        let told = |at| told(&shape, [400.0, 400.0], at);
        assert_eq!(told([1300.0, 300.0]), [("the front", 100.0)]);
        assert_eq!(told([250.0, 1000.0]), [("the front", 50.0)]);
        assert_eq!(told([2350.0, 1000.0]), [("the front", 50.0)]);
        assert_eq!(told([100.0, 1700.0]), [("the end of the left leg", 100.0)]);
        assert_eq!(told([2500.0, 1200.0]), [("the end of the right leg", 100.0)]);
        assert_eq!(told([2700.0, 100.0]), [("the wall at the right", 100.0)]);
        assert_eq!(told([1300.0, 1000.0]), [("the front", 800.0)], "the room");
    }

    #[test]
    fn a_cut_out_of_a_circle_is_told_of_its_rim() {
        let shape = Shape::Circle { diameter: Length::from_mm(1000.0) };
        assert_eq!(
            told(&shape, [400.0, 300.0], [-200.0, 300.0]),
            [("the rim", libm::hypot(200.0, 600.0) - 500.0)]
        );
    }

    #[test]
    fn the_words_give_both_units_and_where_it_ends() {
        let inch = Length::from_in;
        let shape = Shape::L { a: inch(150.0), b: inch(100.0), depth: inch(2.5) };
        let sink = Shape::Rectangle { length: inch(30.0), depth: inch(17.75) };
        let words = shape.overhang_words(&sink, Point { x: inch(52.0), y: inch(3.5) });
        assert_eq!(
            words,
            ": it sticks out 1 ft 6 3/4 in (476 mm) beyond the front, y up to 1 ft 9 1/4 in (540 mm)"
        );
    }
}
