//! A sheet of chips: every base and accent of a colourway with its name, loadings, colour and how far
//! it hides.

use std::fmt::Write as _;

use super::APPROXIMATE;
use super::chip::{Chip, lab_words};
use super::drawing::{DrawingError, draw, escaped};
use super::raster::Raster;
use crate::model::{Fingerprint, Finish};
use crate::quantity::{Length, Units};

/// A sheet that could not be drawn.
pub type SheetError = DrawingError;

/// Pixels per inch of a sheet.
const DPI: u32 = 192;
/// Chips in a row.
const ACROSS: usize = 3;
/// Lengths in 1/96 in.
const MARGIN: usize = 32;
const CELL: [usize; 2] = [304, 364];
const CHIP: [usize; 2] = [280, 150];
const HEAD: usize = 96;
const FOOT: usize = 64;
/// Letters that fit a line of small text in a cell.
const LINE_LETTERS: usize = 46;

/// What stands over and under the chips.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetHead<'a> {
    /// The colourway.
    pub colourway: &'a str,
    /// Its fingerprint.
    pub fingerprint: Fingerprint,
    /// The resin system.
    pub system: &'a str,
    /// The film looked at.
    pub film: Length,
    /// The lamp and observer, in words.
    pub viewing: &'a str,
    /// Units to show.
    pub units: Units,
}

/// The sheet as a picture.
///
/// # Errors
/// Only where memory runs out.
pub fn sheet(head: &SheetHead<'_>, chips: &[Chip]) -> Result<Raster, SheetError> {
    draw(&svg(head, chips), DPI)
}

fn svg(head: &SheetHead<'_>, chips: &[Chip]) -> String {
    let rows = chips.len().div_ceil(ACROSS).max(1);
    let width = 2 * MARGIN + ACROSS * CELL[0];
    let height = HEAD + rows * CELL[1] + FOOT;
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" font-family="Inter" fill="#1c1c1c">"##
    );
    text(&mut svg, MARGIN, 48, 28, true, head.colourway);
    let under = format!(
        "{} · film {} · {} · recipe {}",
        head.system,
        head.film.show_film(head.units),
        head.viewing,
        head.fingerprint
    );
    text(&mut svg, MARGIN, 74, 14, false, &under);
    for (at, chip) in chips.iter().enumerate() {
        let x = MARGIN + at % ACROSS * CELL[0];
        let y = HEAD + at / ACROSS * CELL[1];
        draw_chip(&mut svg, x, y, chip, head.units);
    }
    let foot = format!(
        "{APPROXIMATE}: reckoned by Kubelka–Munk, shown within what a screen or printer can. Small fields: the film over black, over white, the bare primer."
    );
    text(&mut svg, MARGIN, height - 36, 12, false, &foot);
    let last = "Judge a colour on a cured sample board under the room's own lamps.";
    text(&mut svg, MARGIN, height - 18, 12, false, last);
    svg.push_str("</svg>");
    svg
}

fn text(svg: &mut String, x: usize, y: usize, size: usize, bold: bool, words: &str) {
    let weight = if bold { r#" font-weight="600""# } else { "" };
    let _ = write!(
        svg,
        r#"<text x="{x}" y="{y}" font-size="{size}"{weight}>{}</text>"#,
        escaped(words)
    );
}

fn draw_chip(svg: &mut String, x: usize, y: usize, chip: &Chip, units: Units) {
    let [width, height] = CHIP;
    match (&chip.look, chip.over_black, chip.over_white) {
        (Ok(look), Some(black), Some(white)) => {
            let _ = write!(
                svg,
                r#"<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{}"/>"#,
                look.shown
            );
            let small = 40;
            for (at, colour) in [black, white, chip.primer].into_iter().enumerate() {
                let left = x + width - (3 - at) * (small + 5);
                let top = y + height - small / 2;
                let _ = write!(
                    svg,
                    r##"<rect x="{left}" y="{top}" width="{small}" height="{small}" fill="{colour}" stroke="#ffffff" stroke-width="5"/><rect x="{left}" y="{top}" width="{small}" height="{small}" fill="none" stroke="#808080" stroke-width="0.75"/>"##
                );
            }
        }
        _ => {
            let _ = write!(
                svg,
                r##"<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="none" stroke="#888888" stroke-dasharray="6 6"/>"##
            );
        }
    }
    let mut line = y + height + 26;
    text(svg, x, line, 18, true, &shortened(&chip.name, 22));
    line += 3;
    let mut small = |words: &str| {
        for part in textwrap::wrap(words, LINE_LETTERS) {
            line += 17;
            text(svg, x, line, 12, false, &shortened(&part, LINE_LETTERS));
        }
    };
    for words in chip.kind_words() {
        small(&words);
    }
    let doses = chip.dose_words();
    for words in doses.iter().take(4) {
        small(words);
    }
    if doses.len() > 4 {
        small(&format!("and {} more", doses.len() - 4));
    }
    match &chip.look {
        Ok(look) => {
            small(&lab_words(look));
            let hides = look.hiding_film.map_or_else(
                || "does not hide".to_owned(),
                |film| format!("hides from {}", film.show_film(units)),
            );
            small(&format!("contrast ratio {:.3}, {hides}", look.contrast_ratio));
            if look.finish != Finish::Plain {
                small("pearl or metal: a mean over directions");
            }
            if !look.in_gamut {
                small("no screen shows it fully");
            }
        }
        Err(_) => small(&format!("no optical data: {}", chip.without_optics.join(", "))),
    }
}

/// Words cut to a number of letters.
fn shortened(words: &str, letters: usize) -> String {
    if words.chars().count() <= letters {
        return words.to_owned();
    }
    let mut cut: String = words.chars().take(letters.saturating_sub(1)).collect();
    cut.push('…');
    cut
}
