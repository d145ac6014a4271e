//! A colorant's optical data, or a lot's strength, from a file of readings.

use std::path::{Path, PathBuf};

use crate::characterise::{
    Finding, FindingAsk, Interval, LotStrength, characterise_colorant, lot_strength,
};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::decode::LARGEST_READINGS;
use crate::file::readings::drawn::{DrawnRow, drawn_rows};
use crate::file::readings::{self, Scale};
use crate::file::{with_lot, with_optics};
use crate::model::{Colorant, Lot, Optics, System};
use crate::optics::{Geometry, Surface, infinite_reflectance, infinite_reflectance_spectrum};
use crate::picture::{Curve, Panel, Scale as PlotScale, colorant_panels, plot, plot_svg};
use crate::quantity::Fraction;
use crate::spectrum::{BANDS, Illuminant, Observer, Spectrum};
use crate::store::{Opened, ShopFile, read_text};
use crate::suggest::listed;

use super::find::named;
use super::swatch::{Picture, file_stem};

/// The strengths of a lot's bands may differ by this share before it is said that its hue differs.
const HUE_DIFFERS: f64 = 0.1;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct CharacteriseAsk {
    /// The colorant by name or file.
    pub colorant: String,
    /// The file of readings.
    pub readings: PathBuf,
    /// Percent or fractions, where it is known.
    pub scale: Option<Scale>,
    /// Whether the gloss is in the readings, where their file does not say.
    pub geometry: Option<Geometry>,
    /// The resin system, where their file does not say.
    pub system: Option<String>,
    /// The lamp of colours given as Lab.
    pub lamp: Illuminant,
    /// The observer of colours given as Lab.
    pub observer: Observer,
    /// Whether an estimate from a masstone alone is wanted.
    pub accept_masstone_alone: bool,
}

/// A lot against the standing lot.
#[derive(Debug, Clone, PartialEq)]
pub struct LotFound {
    /// The colorant.
    pub colorant: String,
    /// The lot.
    pub lot: String,
    /// Its strength.
    pub strength: LotStrength,
    /// Cautions and notes.
    pub said: Diagnostics,
}

/// A colorant's file with something new in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColorantText {
    /// Where the colorant's file lies.
    pub path: PathBuf,
    /// Its text with the new figures.
    pub text: String,
}

/// Characterises a colorant.
///
/// # Errors
/// What is wrong with the ask, the file, or the readings; a masstone alone is refused unless an estimate
/// is wanted.
pub fn characterise(opened: &Opened, ask: &CharacteriseAsk) -> Result<Finding, Diagnostics> {
    let (colorant, _) = colorant(opened, &ask.colorant)?;
    let (rows, said) = rows(&ask.readings, ask.scale)?;
    let mut finding = characterise_colorant(&FindingAsk {
        colorant,
        shelf: &opened.shop.colorants,
        system: system(opened, ask, &rows)?,
        rows: &rows,
        geometry: ask.geometry,
        lamp: &ask.lamp,
        observer: ask.observer,
        accept_masstone_alone: ask.accept_masstone_alone,
    })
    .map_err(|mut told| {
        told.extend(said.clone());
        told
    })?;
    finding.said.0.splice(0..0, said.0);
    Ok(finding)
}

/// The strength of a lot against the standing lot, from a file with one tint of each.
///
/// # Errors
/// What is wrong with the file: not exactly one tint of each lot, tints that were made differently,
/// readings that nothing can be told from.
pub fn lot(opened: &Opened, ask: &CharacteriseAsk) -> Result<LotFound, Diagnostics> {
    let (colorant, _) = colorant(opened, &ask.colorant)?;
    let (rows, mut said) = rows(&ask.readings, ask.scale)?;
    let system = system(opened, ask, &rows)?;
    let of = |standing: bool| -> Result<&DrawnRow, Diagnostic> {
        let is = |row: &&DrawnRow| {
            !row.lot.is_empty() && row.lot.eq_ignore_ascii_case("standing") == standing
        };
        let mut found = rows.iter().filter(is);
        let what = if standing { "the standing lot" } else { "the new lot" };
        let hint = "a column lot says standing, or the new lot's name; one row each";
        let row = found
            .next()
            .ok_or_else(|| Diagnostic::error(format!("no reading of {what} is here")).hint(hint))?;
        match found.next() {
            None => Ok(row),
            Some(more) => {
                Err(Diagnostic::error(format!("there is more than one reading of {what}"))
                    .at(more.place.clone())
                    .hint(hint))
            }
        }
    };
    let (ours, theirs) = (of(false)?, of(true)?);
    let alike = ours.loadings == theirs.loadings
        && ours.film == theirs.film
        && ours.substrate == theirs.substrate
        && ours.geometry == theirs.geometry;
    if !alike {
        return Err(Diagnostic::error(
            "the two tints were not made and read alike: loadings, film, substrate and geometry must be the same",
        )
        .at(ours.place.clone())
        .into());
    }
    if !ours.loadings.is_empty() && !ours.loadings.contains_key(&colorant.name) {
        return Err(Diagnostic::error(format!("the tints hold no {}", colorant.name))
            .at(ours.place.clone())
            .into());
    }
    let reading = |row: &DrawnRow| {
        row.reflectance.ok_or_else(|| {
            Diagnostic::error("a lot's strength needs a reflectance").at(row.place.clone())
        })
    };
    let geometry = ours.geometry.or(ask.geometry).ok_or_else(|| {
        Diagnostic::error("a lot's strength depends on whether the gloss is in the readings")
            .at(ours.place.clone())
            .hint("a column geometry with included or excluded, or --geometry")
    })?;
    let surface = Surface::of_index(system.clear.refractive_index);
    let strength = lot_strength(&reading(ours)?, &reading(theirs)?, surface, geometry)
        .ok_or_else(|| {
            Diagnostic::error(
                "nothing can be told from these readings: one is as dark as the surface alone, or the standing tint absorbs nothing",
            )
            .at(ours.place.clone())
        })?;
    let (low, high) = strength.range;
    if high > low * (1.0 + HUE_DIFFERS) {
        said.push(
            Diagnostic::caution(format!(
                "the lot is {:.1} % as strong in one band and {:.1} % in another: its hue differs, and no dose makes the two alike",
                100.0 * low,
                100.0 * high
            ))
            .at(ours.place.clone()),
        );
    }
    Ok(LotFound { colorant: colorant.name.clone(), lot: ours.lot.clone(), strength, said })
}

/// The colorant's own file with the optics found in it.
///
/// # Errors
/// The file cannot take them.
pub fn with_found_optics(opened: &Opened, finding: &Finding) -> Result<ColorantText, Diagnostics> {
    let (_, file) = colorant(opened, &finding.colorant)?;
    let optics = Optics { unit: finding.found.unit, standing: finding.standing };
    Ok(ColorantText { path: file.path.clone(), text: with_optics(file.places.source(), &optics)? })
}

/// The colorant's own file with the lot in it.
///
/// # Errors
/// The file cannot take it.
pub fn with_found_lot(opened: &Opened, found: &LotFound) -> Result<ColorantText, Diagnostics> {
    let (_, file) = colorant(opened, &found.colorant)?;
    let lot = Lot { name: found.lot.clone(), strength: Fraction::new(found.strength.strength) };
    Ok(ColorantText { path: file.path.clone(), text: with_lot(file.places.source(), &lot)? })
}

/// Curves of absorption, scattering, and the reflectance of a film that hides, with their doubt, drawn
/// and as SVG.
///
/// # Errors
/// Only where memory runs out.
pub fn finding_plots(opened: &Opened, finding: &Finding) -> Result<Vec<Picture>, Diagnostics> {
    let (known, _) = colorant(opened, &finding.colorant)?;
    let found = &finding.found;
    let mut parts = crate::model::ColorantParts::clone(known);
    parts.optics = Some(Optics { unit: found.unit, standing: finding.standing });
    let broken = |_| Diagnostic::error("these coefficients cannot be drawn");
    let colorant = Colorant::new(parts).map_err(broken)?;
    let mut panels = colorant_panels(std::iter::once((finding.colorant.as_str(), &colorant)));
    let intervals = [&found.k_interval, &found.s_interval];
    for (panel, intervals) in panels.iter_mut().zip(intervals) {
        for curve in &mut panel.curves {
            curve.doubt = Some(ends(&curve.values, intervals));
        }
    }
    let colour = panels.first().and_then(|panel| panel.curves.first()).map(|curve| curve.colour);
    if let Some(colour) = colour {
        let thick = infinite_reflectance_spectrum(&found.unit);
        panels.push(Panel {
            title: "internal reflectance R of a film that hides".to_owned(),
            scale: PlotScale::Percent,
            curves: vec![Curve {
                name: finding.colorant.clone(),
                values: thick,
                doubt: Some(reflectance_ends(finding)),
                colour,
                standing: finding.standing,
            }],
        });
    }
    let title = format!("{}: from readings", finding.colorant);
    let stem = file_stem(&finding.colorant);
    let told = |why: String| Diagnostic::error(why);
    let picture = plot(&title, &panels).map_err(|why| told(why.to_string()))?;
    let notes = [crate::picture::Note { keyword: "Title", text: title.clone() }];
    let bytes = picture.png(&notes).map_err(|why| told(why.to_string()))?;
    Ok(vec![
        Picture { file: format!("{stem}.png"), bytes },
        Picture { file: format!("{stem}.svg"), bytes: plot_svg(&title, &panels).into_bytes() },
    ])
}

/// The ends of intervals; an open one is drawn a decade up.
fn ends(values: &Spectrum, intervals: &[Interval; BANDS]) -> [Spectrum; 2] {
    let high = |band: usize| {
        let high = intervals[band].high;
        if high.is_finite() { high } else { 10.0 * values[band] }
    };
    [Spectrum(std::array::from_fn(|band| intervals[band].low)), Spectrum(std::array::from_fn(high))]
}

/// Where the hiding film's reflectance lies: the interval of ln(k/s), taken through R∞.
fn reflectance_ends(finding: &Finding) -> [Spectrum; 2] {
    /// Two-sided normal deviate of 95 %.
    const DEVIATE: f64 = 1.96;
    let found = &finding.found;
    let end = |sign: f64| {
        Spectrum(std::array::from_fn(|band| {
            let (k, s) = (found.unit.k[band].max(1e-9), found.unit.s[band].max(1e-9));
            let c = &found.covariance[band];
            let relative = c.kk / (k * k) - 2.0 * c.ks / (k * s) + c.ss / (s * s);
            let factor = libm::exp(sign * DEVIATE * libm::sqrt(relative.clamp(0.0, 100.0)));
            infinite_reflectance(k * factor, s)
        }))
    };
    [end(1.0), end(-1.0)]
}

fn colorant<'a>(
    opened: &'a Opened,
    word: &str,
) -> Result<(&'a Colorant, &'a ShopFile), Diagnostics> {
    let files = &opened.files.colorants;
    let (name, colorant) =
        named(opened, "colorant", word, &opened.shop.colorants, |name| files.get(name))?;
    let file = files.get(name).ok_or_else(|| {
        Diagnostic::error(format!("the file of \"{name}\" is gone from the shop"))
    })?;
    Ok((colorant, file))
}

fn rows(path: &Path, scale: Option<Scale>) -> Result<(Vec<DrawnRow>, Diagnostics), Diagnostics> {
    let source = read_text(path, LARGEST_READINGS)?;
    drawn_rows(&readings::read(&source, scale)?)
}

/// The resin system: as asked, as the readings say, or the shop's only one.
fn system<'a>(
    opened: &'a Opened,
    ask: &CharacteriseAsk,
    rows: &[DrawnRow],
) -> Result<&'a System, Diagnostics> {
    let shop = &opened.shop;
    let mut stated: Vec<&DrawnRow> = rows.iter().filter(|row| !row.system.is_empty()).collect();
    stated.dedup_by_key(|row| &row.system);
    let word = match (&ask.system, stated.as_slice()) {
        (Some(word), _) => word,
        (None, [one]) => &one.system,
        (None, [_, other, ..]) => {
            return Err(Diagnostic::error("these readings are of films in several resin systems")
                .at(other.place.clone())
                .hint("one file for each")
                .into());
        }
        (None, []) => {
            if let (Some(only), 1) = (shop.systems.values().next(), shop.systems.len()) {
                return Ok(only);
            }
            let names: Vec<&str> = shop.systems.keys().map(String::as_str).collect();
            return Err(Diagnostic::error("which resin system were the films made of?")
                .hint(format!("--system, or a column system, with {}", listed(&names, "or")))
                .into());
        }
    };
    let files = &opened.files.systems;
    named(opened, "system", word, &shop.systems, |name| files.get(name)).map(|(_, system)| system)
}
