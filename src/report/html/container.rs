//! A container in section, as SVG within the page.

use std::fmt::Write as _;

use super::safe;
use crate::report::sheet::Container;

const TOP: f64 = 58.0;
const BOTTOM: f64 = 42.0;
/// From the uppermost layer to the rim.
const FREE: f64 = 8.0;
/// A number in its square stands in the thinnest layer.
const NUMBER: f64 = 11.4;

pub(super) fn draw(out: &mut String, container: &Container) {
    let inner = (NUMBER / container.thinnest()).max(64.0);
    let height = inner + FREE;
    let (middle, floor) = (TOP / 2.0 + 1.0, height + 1.0);
    let half = |above: f64| (BOTTOM + (TOP - BOTTOM) * above / height) / 2.0;
    let _ = write!(
        out,
        "<svg role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {} {}\" width=\"{}\" height=\"{}\">",
        safe(&container.alt),
        TOP + 2.0,
        height + 2.0,
        TOP * 1.5,
        height * 1.5
    );
    let mut from = 0.0;
    for layer in &container.layers {
        let to = from + layer.height * inner;
        let colour = layer.colour.map_or_else(|| "#ffffff".to_owned(), |c| c.to_string());
        let _ = write!(
            out,
            "<polygon points=\"{:.1},{:.1} {:.1},{:.1} {:.1},{:.1} {:.1},{:.1}\" fill=\"{colour}\" stroke=\"#000\" stroke-width=\"0.6\"/>",
            middle - half(from),
            floor - from,
            middle + half(from),
            floor - from,
            middle + half(to),
            floor - to,
            middle - half(to),
            floor - to,
        );
        let centre = floor - f64::midpoint(from, to);
        let _ = write!(
            out,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"11\" height=\"11\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"0.4\"/><text x=\"{middle:.1}\" y=\"{:.1}\" font-size=\"9\" font-weight=\"600\" text-anchor=\"middle\">{}</text>",
            middle - 5.5,
            centre - 5.5,
            centre + 3.2,
            layer.number
        );
        from = to;
    }
    let _ = writeln!(
        out,
        "<polyline points=\"{:.1},1 {:.1},{floor:.1} {:.1},{floor:.1} {:.1},1\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.4\"/></svg>",
        middle - half(height),
        middle - half(0.0),
        middle + half(0.0),
        middle + half(height),
    );
}
