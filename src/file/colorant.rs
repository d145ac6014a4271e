//! A colorant's file.

use std::sync::Arc;

use super::figure::{ceiling, package, spectrum, standing};
use super::held;
use super::noun::{self, Gaps, note, version};
use super::place::Placed;
use super::tree::{self, Fields, Value};
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{Carrier, Colorant, ColorantParts, Finish, Hazard, Kind, Lot, Optics, Standing};
use crate::optics::Ks;
use crate::quantity::{Density, Fraction};

/// Reads a colorant.
///
/// # Errors
/// Everything wrong with the text, its values, or the colorant they make, in the order of the file.
pub fn read(source: &Arc<Source>) -> Result<Placed<Colorant>, Diagnostics> {
    noun::read(source, parts, Colorant::new)
}

fn parts(at: Value<'_>, gaps: &Gaps) -> Option<ColorantParts> {
    let fields = held::fields(at, "colorant", held::COLORANT)?;
    version(fields, gaps);
    note(fields, gaps);
    let name = gaps.fill(fields.need("name", Value::name), "unnamed".to_owned());
    let kind = gaps.fill(fields.need("kind", kind), Kind::Paste);
    let finish = gaps.fill(fields.or("finish", Finish::Plain, finish), Finish::Plain);
    let pigments = fields.or("pigments", Vec::new(), |at| at.list(Value::name));
    let pigments = gaps.fill(pigments, Vec::new());
    let density = gaps.fill(fields.need("density", Value::parse), Density::from_g_per_ml(1.0));
    let carrier = fields.or("carrier", Carrier::None, carrier);
    let solids = gaps.fill(solids(fields, carrier), Fraction::ONE);
    let carrier = gaps.fill(carrier, Carrier::NonReactive);
    let highest = gaps.fill(fields.need("ceiling", ceiling), Fraction::ONE);
    let own = gaps.fill(fields.need("standing", standing), Standing::Estimated);
    let ceiling_standing = gaps.fill(fields.or("ceiling_standing", own, standing), own);
    let optics = gaps.fill(fields.may("optics", |at| optics(at, gaps)), None);
    let lot = gaps.fill(fields.may("lot", |at| lot(at, gaps)), None);
    let packages = fields.or("packages", Vec::new(), |at| at.list(|at| package(at, gaps)));
    let packages = gaps.fill(packages, Vec::new());
    let hazards = fields.or("hazards", Vec::new(), |at| at.list(hazard));
    let hazards = gaps.fill(hazards, Vec::new());
    Some(ColorantParts {
        name,
        kind,
        finish,
        pigments,
        density,
        solids,
        carrier,
        ceiling: highest,
        ceiling_standing,
        optics,
        lot,
        packages,
        hazards,
        standing: own,
    })
}

fn kind(at: Value<'_>) -> Option<Kind> {
    at.one_of(&[
        ("Paste", Kind::Paste),
        ("Powder", Kind::Powder),
        ("Dye", Kind::Dye),
        ("Liquid", Kind::LiquidAccent),
    ])
}

fn finish(at: Value<'_>) -> Option<Finish> {
    at.one_of(&[("Plain", Finish::Plain), ("Pearl", Finish::Pearl), ("Metallic", Finish::Metallic)])
}

/// What about a product can hurt someone.
pub(super) fn hazard(at: Value<'_>) -> Option<Hazard> {
    at.one_of(&[
        ("Dust", Hazard::Dust),
        ("Flammable", Hazard::Flammable),
        ("Aerosol", Hazard::Aerosol),
        ("Isocyanate", Hazard::Isocyanate),
    ])
}

fn carrier(at: Value<'_>) -> Option<Carrier> {
    // The word `None` is not seen here: a field of `None` counts as not written.
    let (kind, at) = at.variant(&["Epoxy", "NonReactive", "Solvent"])?;
    if kind == "Epoxy" {
        if matches!(at.node().kind, tree::Kind::Word(_)) {
            return at.report(
                Diagnostic::error("an epoxy carrier needs its epoxide equivalent weight")
                    .hint("write Epoxy(eew: 190), with the figure of its datasheet"),
            );
        }
        let eew = at.fields("carrier", &["eew"])?.need("eew", Value::number)?;
        return Some(Carrier::Epoxy { eew_g_per_eq: eew });
    }
    let [] = at.items([])?;
    Some(if kind == "Solvent" { Carrier::Solvent } else { Carrier::NonReactive })
}

/// All of a dry colorant is solids; of any other the file must say how much.
fn solids(fields: Fields<'_>, carrier: Option<Carrier>) -> Option<Fraction> {
    if let Some(at) = fields.get("solids") {
        return at.parse();
    }
    match (carrier, fields.get("carrier")) {
        (Some(Carrier::None), _) => Some(Fraction::ONE),
        (Some(_), Some(at)) => at.report(
            Diagnostic::error("a colorant with a carrier needs 'solids'")
                .hint("write solids: \"60 %\": the pigment's part of its mass"),
        ),
        _ => None,
    }
}

fn optics(at: Value<'_>, gaps: &Gaps) -> Option<Optics> {
    let fields = at.fields("group of optics", &["standing", "k", "s", "note"])?;
    note(fields, gaps);
    let standing = fields.need("standing", standing);
    let k = fields.need("k", spectrum);
    let s = fields.need("s", spectrum);
    Some(Optics { unit: Ks { k: k?, s: s? }, standing: standing? })
}

fn lot(at: Value<'_>, gaps: &Gaps) -> Option<Lot> {
    let fields = at.fields("lot", &["name", "strength", "note"])?;
    note(fields, gaps);
    let name = fields.need("name", Value::name);
    let strength = fields.need("strength", Value::parse);
    Some(Lot { name: name?, strength: strength? })
}
