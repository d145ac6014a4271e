//! A container in section: its layers with their numbers, told apart without colour.

use super::canvas::{Ink, NodeId, Role, Shape, Strip, Tree};
use super::font::{Fonts, Weight};
use crate::report::sheet::Container;

const TOP_WIDTH: f32 = 58.0;
const BOTTOM_WIDTH: f32 = 42.0;
const LEAST_HEIGHT: f32 = 72.0;
/// From the uppermost layer to the rim.
const FREE: f32 = 8.0;
const BADGE: f32 = 10.0;
pub(super) const WIDTH: f32 = TOP_WIDTH + 4.0;

/// The drawing, as a figure below `parent`.
pub(super) fn container(
    fonts: &Fonts,
    tree: &mut Tree,
    parent: NodeId,
    container: &Container,
) -> Strip {
    let node = tree.node(parent, Role::Figure(container.alt.clone()));
    // A number stands in the thinnest layer.
    #[expect(clippy::cast_possible_truncation, reason = "a part of 1")]
    let inner = ((BADGE + 0.4) / container.thinnest() as f32).max(LEAST_HEIGHT - FREE);
    let height = inner + FREE;
    // Half the width at a height above the bottom.
    let half = |above: f32| (BOTTOM_WIDTH + (TOP_WIDTH - BOTTOM_WIDTH) * above / height) / 2.0;
    let (middle, floor) = (TOP_WIDTH / 2.0 + 1.0, height + 1.0);
    let slice = |from: f32, to: f32| {
        vec![
            [middle - half(from), floor - from],
            [middle + half(from), floor - from],
            [middle + half(to), floor - to],
            [middle - half(to), floor - to],
        ]
    };
    let mut shapes = Vec::new();
    let mut from = 0.0;
    for layer in &container.layers {
        #[expect(clippy::cast_possible_truncation, reason = "a part of 1")]
        let to = from + layer.height as f32 * inner;
        let ink = layer.colour.map_or(Ink::White, Ink::Colour);
        shapes.push(Shape::Area { corners: slice(from, to), ink });
        shapes.push(Shape::Stroke {
            corners: slice(from, to),
            closed: true,
            width: 0.6,
            dashed: false,
            ink: Ink::Black,
        });
        // The number on white, readable on any colour and without any.
        let centre = floor - (from + to) / 2.0;
        let corner = [middle - BADGE / 2.0, centre - BADGE / 2.0];
        let badge = Shape::rectangle(corner, [BADGE, BADGE]);
        shapes.push(Shape::Area { corners: badge.clone(), ink: Ink::White });
        shapes.push(Shape::Stroke {
            corners: badge,
            closed: true,
            width: 0.4,
            dashed: false,
            ink: Ink::Black,
        });
        let (line, size) = (fonts.line(&layer.number.to_string(), Weight::Strong), 8.5);
        let at = [middle - line.width(size) / 2.0, centre + size * 0.36];
        shapes.push(Shape::Text { at, size, line, ink: Ink::Black });
        from = to;
    }
    let walls = vec![
        [middle - half(height), floor - height],
        [middle - half(0.0), floor],
        [middle + half(0.0), floor],
        [middle + half(height), floor - height],
    ];
    shapes.push(Shape::Stroke {
        corners: walls,
        closed: false,
        width: 1.4,
        dashed: false,
        ink: Ink::Black,
    });
    let mut strip = Strip::gap(height + 3.0);
    strip.piece(Some(node), shapes);
    strip
}
