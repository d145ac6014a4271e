//! A counter's shape in words, its measures by the names that they have in the job's file.

use crate::model::Shape;
use crate::quantity::{Length, Units};

/// A shape with its measures, so that a person can hold it against the drawing: which leg is which.
#[must_use]
pub(super) fn shape_words(shape: &Shape, units: Units) -> String {
    let show = |length: &Length| length.show(units);
    match shape {
        Shape::Rectangle { length, depth } => {
            format!("rectangle {} × {}", show(length), show(depth))
        }
        Shape::L { a, b, depth } => {
            format!("L, a {} along x, b {} along y, depth {}", show(a), show(b), show(depth))
        }
        Shape::U { left, back, right, depth } => format!(
            "U, left {} and right {} along y, back {} along x, depth {}",
            show(left),
            show(right),
            show(back),
            show(depth)
        ),
        Shape::Circle { diameter } => format!("circle {} across", show(diameter)),
        Shape::Polygon(corners) => {
            let over = |of: fn(&crate::model::Point) -> f64| {
                let all = corners.iter().map(of);
                let most = all.clone().fold(f64::NEG_INFINITY, f64::max);
                Length::from_mm((most - all.fold(f64::INFINITY, f64::min)).max(0.0))
            };
            format!(
                "{} corners, {} along x, {} along y",
                corners.len(),
                show(&over(|corner| corner.x.mm())),
                show(&over(|corner| corner.y.mm()))
            )
        }
    }
}
