//! Spectral plots: reflectance of films, absorption and scattering of colorants, band by band.

use std::fmt::Write as _;

use super::drawing::{DrawingError, draw, escaped};
use super::raster::Raster;
use crate::colour::{Srgb8, ToScreen};
use crate::model::{Colorant, Standing};
use crate::optics::infinite_reflectance_spectrum;
use crate::spectrum::{BANDS, Illuminant, Observer, Spectrum, wavelength_nm, weights};

/// Pixels per inch.
const DPI: u32 = 144;
/// Lengths in 1/96 in.
const WIDTH: f64 = 860.0;
const PANEL: f64 = 300.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 250.0;
const TOP: f64 = 64.0;
const GAP: f64 = 62.0;
const FOOT: f64 = 34.0;

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What it is called beside its end.
    pub name: String,
    /// A value a band.
    pub values: Spectrum,
    /// Lower and upper end of where the truth lies at 95 %, where that is known.
    pub doubt: Option<[Spectrum; 2]>,
    /// The colour of its line; told apart by its dashes too.
    pub colour: Srgb8,
    /// Where its figures come from.
    pub standing: Standing,
}

/// How a panel's values are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// 0 to 100 %.
    Percent,
    /// Decades, as far as the values go.
    Decades,
}

/// Curves over one set of axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What the values are, with their unit.
    pub title: String,
    /// Their layout.
    pub scale: Scale,
    /// The curves.
    pub curves: Vec<Curve>,
}

/// A plot as an SVG drawing.
#[must_use]
pub fn plot_svg(title: &str, panels: &[Panel]) -> String {
    #[expect(clippy::cast_precision_loss, reason = "a few panels")]
    let height = TOP + panels.len() as f64 * (PANEL + GAP) + FOOT;
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{height}" font-family="Inter" font-size="12" fill="#1c1c1c"><rect width="{WIDTH}" height="{height}" fill="#ffffff"/>"##
    );
    let _ = write!(
        svg,
        r#"<text x="24" y="34" font-size="20" font-weight="600">{}</text>"#,
        escaped(title)
    );
    let mut top = TOP;
    for panel in panels {
        draw_panel(&mut svg, top, panel);
        top += PANEL + GAP;
    }
    let shaded = panels.iter().flat_map(|panel| &panel.curves).any(|curve| curve.doubt.is_some());
    let doubt =
        if shaded { " Shaded: where the truth lies at 95 %, where that is known." } else { "" };
    let _ = write!(
        svg,
        r#"<text x="24" y="{}">36 bands, 380 to 730 nm by 10.{doubt}</text></svg>"#,
        height - 16.0
    );
    svg
}

/// A plot as a picture.
///
/// # Errors
/// Only where memory runs out.
pub fn plot(title: &str, panels: &[Panel]) -> Result<Raster, DrawingError> {
    draw(&plot_svg(title, panels), DPI)
}

/// Where values lie on a panel's upright axis: 0 at its foot, 1 at its head.
struct Axis {
    scale: Scale,
    /// Exponents of ten at foot and head.
    decades: [f64; 2],
}

impl Axis {
    fn of(panel: &Panel) -> Self {
        let positive = panel
            .curves
            .iter()
            .flat_map(|curve| std::iter::once(&curve.values).chain(curve.doubt.iter().flatten()))
            .flat_map(|values| values.iter().copied())
            .filter(|v| *v > 0.0);
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        for value in positive {
            least = least.min(value);
            most = most.max(value);
        }
        if least > most {
            (least, most) = (1.0, 10.0);
        }
        let head = libm::ceil(libm::log10(most) - 1e-9);
        // No more than five decades: what is below is not seen in any film.
        let foot = libm::floor(libm::log10(least) + 1e-9).max(head - 5.0).min(head - 1.0);
        Self { scale: panel.scale, decades: [foot, head] }
    }

    fn height(&self, value: f64) -> f64 {
        let [foot, head] = self.decades;
        match self.scale {
            Scale::Percent => value.clamp(0.0, 1.0),
            Scale::Decades if value > 0.0 => {
                ((libm::log10(value) - foot) / (head - foot)).clamp(0.0, 1.0)
            }
            Scale::Decades => 0.0,
        }
    }

    /// Marks with their words.
    fn marks(&self) -> Vec<(f64, String)> {
        match self.scale {
            Scale::Percent => {
                [0.0, 0.2, 0.4, 0.6, 0.8, 1.0].map(|v| (v, format!("{:.0} %", v * 100.0))).into()
            }
            Scale::Decades => {
                let [foot, head] = self.decades;
                let mut marks = Vec::new();
                let mut exponent = foot;
                while exponent <= head + 0.5 {
                    let value = libm::exp10(exponent);
                    marks.push((value, format!("{}", (value * 1e6).round() / 1e6)));
                    exponent += 1.0;
                }
                marks
            }
        }
    }
}

fn across(band: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a band number is small")]
    let part = band as f64 / (BANDS - 1) as f64;
    LEFT + part * (WIDTH - LEFT - RIGHT)
}

fn draw_panel(svg: &mut String, top: f64, panel: &Panel) {
    let axis = Axis::of(panel);
    let up = |value: f64| top + PANEL * (1.0 - axis.height(value));
    let (left, right, foot) = (across(0), across(BANDS - 1), top + PANEL);
    let _ = write!(
        svg,
        r#"<text x="{left}" y="{}" font-weight="600">{}</text>"#,
        top - 10.0,
        escaped(&panel.title)
    );
    for (value, words) in axis.marks() {
        let y = up(value);
        let _ = write!(
            svg,
            r##"<path d="M{left} {y:.1}H{right}" stroke="#dddddd"/><text x="{}" y="{:.1}" text-anchor="end">{words}</text>"##,
            left - 8.0,
            y + 4.0
        );
    }
    for band in (2..BANDS).step_by(5) {
        let x = across(band);
        let _ = write!(
            svg,
            r##"<path d="M{x:.1} {top}V{foot}" stroke="#eeeeee"/><text x="{x:.1}" y="{}" text-anchor="middle">{} nm</text>"##,
            foot + 18.0,
            wavelength_nm(band)
        );
    }
    let mut labels: Vec<(f64, usize)> =
        panel.curves.iter().enumerate().map(|(at, c)| (up(c.values[BANDS - 1]), at)).collect();
    labels.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut last = f64::NEG_INFINITY;
    for (y, at) in labels {
        let curve = &panel.curves[at];
        draw_curve(svg, curve, at, &up);
        // Labels keep a line's distance; a hair leads from each curve's end to its own.
        let at_y = y.max(last + 16.0);
        last = at_y;
        let _ = write!(
            svg,
            r##"<path d="M{right:.1} {y:.1}L{:.1} {at_y:.1}" stroke="#888888" fill="none"/><text x="{:.1}" y="{:.1}">{} ({})</text>"##,
            right + 14.0,
            right + 18.0,
            at_y + 4.0,
            escaped(&shortened(&curve.name)),
            curve.standing
        );
    }
}

fn draw_curve(svg: &mut String, curve: &Curve, number: usize, up: &impl Fn(f64) -> f64) {
    const DASHES: [&str; 5] = ["none", "8 4", "2 3", "12 4 2 4", "5 2"];
    if let Some([low, high]) = &curve.doubt {
        let over = (0..BANDS).map(|band| (band, high[band]));
        let under = (0..BANDS).rev().map(|band| (band, low[band]));
        let points: String = over
            .chain(under)
            .map(|(band, value)| format!("{:.1},{:.1} ", across(band), up(value)))
            .collect();
        let _ = write!(
            svg,
            r#"<polygon points="{points}" fill="{}" fill-opacity="0.18"/>"#,
            curve.colour
        );
    }
    let points: String = (0..BANDS)
        .map(|band| format!("{:.1},{:.1} ", across(band), up(curve.values[band])))
        .collect();
    let dash = DASHES[number % DASHES.len()];
    let _ = write!(
        svg,
        r#"<polyline points="{points}" fill="none" stroke="{}" stroke-width="2.2" stroke-dasharray="{dash}"/>"#,
        curve.colour
    );
}

fn shortened(name: &str) -> String {
    if name.chars().count() <= 26 {
        return name.to_owned();
    }
    let cut: String = name.chars().take(25).collect();
    format!("{cut}…")
}

/// Panels of absorption and of scattering of colorants, each drawn in the colour of its thick film.
#[must_use]
pub fn colorant_panels<'a>(colorants: impl Iterator<Item = (&'a str, &'a Colorant)>) -> Vec<Panel> {
    let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    let (mut absorption, mut scattering) = (Vec::new(), Vec::new());
    for (name, colorant) in colorants {
        let Some(optics) = &colorant.optics else { continue };
        let thick = infinite_reflectance_spectrum(&optics.unit);
        let shown = ToScreen::from_white(daylight.white()).show(daylight.xyz(&thick)).srgb8();
        // A white line on white paper is not seen.
        let dark = |channel: u8| channel.min(190);
        let colour = Srgb8 { r: dark(shown.r), g: dark(shown.g), b: dark(shown.b) };
        let curve = |values: Spectrum| Curve {
            name: name.to_owned(),
            values,
            doubt: None,
            colour,
            standing: optics.standing,
        };
        absorption.push(curve(optics.unit.k));
        scattering.push(curve(optics.unit.s));
    }
    let panel = |what: &str, curves| Panel {
        title: format!("{what}, mm⁻¹ per (g of colorant per mL of film)"),
        scale: Scale::Decades,
        curves,
    };
    vec![panel("absorption K", absorption), panel("scattering S", scattering)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_shaded_is_said_to_be() {
        let curve = |doubt| Curve {
            name: "slate".to_owned(),
            values: Spectrum::flat(0.5),
            doubt,
            colour: Srgb8 { r: 40, g: 50, b: 60 },
            standing: Standing::Demo,
        };
        let svg = |doubt| {
            let curves = vec![curve(doubt)];
            let panel = Panel { title: "R".to_owned(), scale: Scale::Percent, curves };
            plot_svg("slate", &[panel])
        };
        assert!(!svg(None).contains("Shaded"));
        let doubt = [Spectrum::flat(0.4), Spectrum::flat(0.6)];
        assert!(svg(Some(doubt)).contains("Shaded"));
    }
}
