//! A target beside what comes near it, edge to edge, so that an eye sees the difference.

use std::fmt::Write as _;

use super::APPROXIMATE;
use super::drawing::{DrawingError, draw, escaped};
use super::raster::Raster;
use crate::colour::Srgb8;

/// One colour to stand beside the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// What it is called.
    pub name: String,
    /// Its colour.
    pub colour: Srgb8,
    /// ΔE00 from the target under this lamp.
    pub delta_e: f64,
    /// What it is made of, a line each.
    pub words: Vec<String>,
}

/// A target and the colours beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairs {
    /// Over the picture.
    pub title: String,
    /// Under the title.
    pub under: String,
    /// The target's colour.
    pub target: Srgb8,
    /// What stands beside it.
    pub rows: Vec<Pair>,
}

/// Pixels per inch.
const DPI: u32 = 192;
/// Lengths in 1/96 in.
const MARGIN: usize = 28;
const WIDTH: usize = 760;
const HEAD: usize = 88;
const ROW: usize = 124;
const FOOT: usize = 40;
/// Lines of words beside a pair.
const LINES: usize = 5;
/// Width of the target's and of the other's half.
const HALF: usize = 170;

/// The pairs as a picture.
///
/// # Errors
/// Only where memory runs out.
pub fn pairs(pairs: &Pairs) -> Result<Raster, DrawingError> {
    let height = HEAD + pairs.rows.len().max(1) * ROW + FOOT;
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{height}" font-family="Inter" fill="#1c1c1c">"##
    );
    let text = |svg: &mut String, x: usize, y: usize, size: usize, bold: bool, words: &str| {
        let weight = if bold { r#" font-weight="600""# } else { "" };
        let _ = write!(
            svg,
            r#"<text x="{x}" y="{y}" font-size="{size}"{weight}>{}</text>"#,
            escaped(words)
        );
    };
    text(&mut svg, MARGIN, 42, 22, true, &pairs.title);
    let under = format!("{} · left the target, right the recipe", pairs.under);
    text(&mut svg, MARGIN, 66, 13, false, &under);
    for (at, row) in pairs.rows.iter().enumerate() {
        let y = HEAD + at * ROW;
        for (x, colour) in [(MARGIN, pairs.target), (MARGIN + HALF, row.colour)] {
            let _ = write!(
                svg,
                r#"<rect x="{x}" y="{y}" width="{HALF}" height="{}" fill="{colour}" shape-rendering="crispEdges"/>"#,
                ROW - 16
            );
        }
        let x = MARGIN + 2 * HALF + 18;
        let head = format!("{} · ΔE00 {:.2}", row.name, row.delta_e);
        text(&mut svg, x, y + 20, 16, true, &head);
        for (line, words) in row.words.iter().take(LINES).enumerate() {
            text(&mut svg, x, y + 42 + 18 * line, 13, false, words);
        }
    }
    let foot = format!("{APPROXIMATE}: reckoned by Kubelka–Munk, shown within what a screen can.");
    text(&mut svg, MARGIN, height - 16, 12, false, &foot);
    svg.push_str("</svg>");
    draw(&svg, DPI)
}
