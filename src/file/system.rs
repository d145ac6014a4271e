//! A resin system's file.

use std::sync::Arc;

use super::figure::{ceiling, lengths, package, spectrum, standing, times};
use super::held;
use super::noun::{self, Gaps, note, version};
use super::place::Placed;
use super::tree::{Kind, Value};
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{
    Ceilings, Clear, MixRatio, PotLife, Standing, Stoichiometry, System, SystemParts,
};
use crate::quantity::{Density, Fraction, Length, Mass, Temperature, TimeSpan, Volume};
use crate::spectrum::Spectrum;

/// Refractive index of a cured clear film where the file states none: cured bisphenol-A epoxies lie
/// near 1.55 (common practice, no source).
const USUAL_REFRACTIVE_INDEX: f64 = 1.55;

/// Reads a resin system.
///
/// # Errors
/// Everything wrong with the text, its values, or the system they make, in the order of the file.
pub fn read(source: &Arc<Source>) -> Result<Placed<System>, Diagnostics> {
    noun::read(source, parts, System::new)
}

fn parts(at: Value<'_>, gaps: &Gaps) -> Option<SystemParts> {
    let fields = held::fields(at, "system", held::SYSTEM)?;
    version(fields, gaps);
    note(fields, gaps);
    let name = gaps.fill(fields.need("name", Value::name), "unnamed".to_owned());
    let ratio = gaps.fill(fields.need("ratio", ratio), MixRatio::Mass { a: 2.0, b: 1.0 });
    let density = |name| gaps.fill(fields.need(name, Value::parse), Density::from_g_per_ml(1.0));
    let (density_a, density_b) = (density("density_a"), density("density_b"));
    let (film_min, film_max) = gaps.fill(
        fields.need("film", |at| lengths(at, ["thinnest", "thickest"])),
        (Length::from_mm(1.0), Length::from_mm(2.0)),
    );
    let mixed = ratio.mixed_density(density_a, density_b);
    let pot_life = gaps.fill(
        fields.need("pot_life", |at| pot_life(at, mixed)),
        PotLife {
            time: TimeSpan::from_min(30.0),
            mass: Mass::from_g(100.0),
            temperature: Temperature::from_c(25.0),
        },
    );
    let lowest_temperature = gaps.fill(fields.may("lowest_temperature", Value::parse), None);
    let recoat = gaps.fill(fields.may("recoat", |at| times(at, ["earliest", "latest"])), None);
    let own = gaps.fill(fields.need("standing", standing), Standing::Estimated);
    let ceilings = gaps.fill(
        fields.need("ceilings", |at| ceilings(at, own)),
        Ceilings { colorant: Fraction::ONE, solvent: Fraction::ONE, standing: own },
    );
    let stoichiometry = gaps.fill(fields.may("stoichiometry", stoichiometry), None);
    let usual = Clear {
        refractive_index: USUAL_REFRACTIVE_INDEX,
        absorption_per_mm: Spectrum::flat(0.0),
        standing: Standing::Estimated,
    };
    let clear = gaps.fill(fields.or("clear", usual, |at| clear(at, own)), usual);
    let packages = fields.or("packages", Vec::new(), |at| at.list(|at| package(at, gaps)));
    let packages = gaps.fill(packages, Vec::new());
    Some(SystemParts {
        name,
        ratio,
        density_a,
        density_b,
        clear,
        film_min,
        film_max,
        pot_life,
        lowest_temperature,
        recoat,
        ceilings,
        stoichiometry,
        packages,
        standing: own,
    })
}

/// The two figures of a ratio in a text, as in `2:1 by volume` and `2 to 1`.
fn parts_in(text: &str) -> Option<(&str, &str)> {
    let figure = |c: char| c.is_ascii_digit() || c == '.';
    let (before, after) = text.split_once(':').or_else(|| text.split_once(" to "))?;
    let (before, after) = (before.trim_end(), after.trim_start());
    let a = &before[before.trim_end_matches(figure).len()..];
    let b = &after[..after.len() - after.trim_start_matches(figure).len()];
    (!a.is_empty() && !b.is_empty()).then_some((a, b))
}

fn ratio(at: Value<'_>) -> Option<MixRatio> {
    if let Kind::Text(text) | Kind::Unquoted(text) = &at.node().kind
        && let Some((a, b)) = parts_in(text)
    {
        let text_lower = text.to_lowercase();
        let (by, what) = if text_lower.contains("vol") {
            (format!("write ByVolume({a}, {b})"), "by volume")
        } else if text_lower.contains("mass") || text_lower.contains("weight") {
            (format!("write ByMass({a}, {b})"), "by weight")
        } else {
            (
                format!("write ByVolume({a}, {b}) or ByMass({a}, {b}), without quotes"),
                "by volume or by weight",
            )
        };
        let message = if what == "by volume or by weight" {
            format!("'ratio' does not say whether \"{text}\" is by volume or by weight")
        } else {
            format!("'ratio' does not stand as {text}")
        };
        return at.instead_of_its_form(Diagnostic::error(message).hint(by));
    }
    let (by, at) = at.variant(&["ByVolume", "ByMass"])?;
    let [a, b] = at.items(["parts of A", "parts of B"])?;
    let (a, b) = (a.number(), b.number());
    let (a, b) = (a?, b?);
    Some(if by == "ByVolume" { MixRatio::Volume { a, b } } else { MixRatio::Mass { a, b } })
}

/// A pot life; what it is stated for may be a volume too, as on many datasheets, and is its mass at the mixed density.
fn pot_life(at: Value<'_>, mixed: Density) -> Option<PotLife> {
    let fields = at.fields("pot life", &["time", "mass", "temperature"])?;
    let time = fields.need("time", Value::parse);
    let mass = fields.need("mass", |at| {
        if let Kind::Text(text) | Kind::Unquoted(text) = &at.node().kind
            && let Ok(volume) = text.parse::<Volume>()
        {
            return Some(volume * mixed);
        }
        at.parse()
    });
    let temperature = fields.need("temperature", Value::parse);
    Some(PotLife { time: time?, mass: mass?, temperature: temperature? })
}

fn ceilings(at: Value<'_>, own: Standing) -> Option<Ceilings> {
    let fields = at.fields("group of ceilings", &["colorant", "solvent", "standing"])?;
    let colorant = fields.need("colorant", ceiling);
    let solvent = fields.need("solvent", ceiling);
    let standing = fields.or("standing", own, standing);
    Some(Ceilings { colorant: colorant?, solvent: solvent?, standing: standing? })
}

fn stoichiometry(at: Value<'_>) -> Option<Stoichiometry> {
    let fields = at.fields("stoichiometry", &["eew", "ahew"])?;
    let eew = fields.need("eew", Value::number);
    let ahew = fields.need("ahew", Value::number);
    Some(Stoichiometry { eew_g_per_eq: eew?, ahew_g_per_eq: ahew? })
}

fn clear(at: Value<'_>, own: Standing) -> Option<Clear> {
    let fields = at.fields("clear film", &["refractive_index", "absorption_per_mm", "standing"])?;
    let index = fields.or("refractive_index", USUAL_REFRACTIVE_INDEX, Value::number);
    let absorption = fields.or("absorption_per_mm", Spectrum::flat(0.0), spectrum);
    let standing = fields.or("standing", own, standing);
    Some(Clear { refractive_index: index?, absorption_per_mm: absorption?, standing: standing? })
}
