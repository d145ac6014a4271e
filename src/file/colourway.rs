//! A colourway's file: the recipe.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::figure::{loading, share};
use super::held;
use super::noun::{self, Gaps, note, version};
use super::place::Placed;
use super::tree::{Kind, Value};
use crate::colour::Srgb8;
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{
    Accent, Base, Colourway, ColourwayParts, Dose, House, Layer, Mist, Pattern, Pour, Primer,
    Ribbon,
};
use crate::quantity::{Fraction, Length};

/// Reads a colourway; where it states no container, the house's is meant.
///
/// # Errors
/// Everything wrong with the text, its values, or the recipe they make, in the order of the file.
pub fn read(source: &Arc<Source>, house: &House) -> Result<Placed<Colourway>, Diagnostics> {
    noun::read(source, |at, gaps| parts(at, gaps, house), Colourway::new)
}

fn parts(at: Value<'_>, gaps: &Gaps, house: &House) -> Option<ColourwayParts> {
    let fields = held::fields(at, "colourway", held::COLOURWAY)?;
    version(fields, gaps);
    let note = note(fields, gaps);
    let name = gaps.fill(fields.need("name", Value::name), "unnamed".to_owned());
    let system = gaps.fill(fields.need("system", Value::name), "unnamed".to_owned());
    let film = gaps.fill(fields.need("film", Value::parse), Length::from_mm(3.0));
    let white = Srgb8::new(255, 255, 255);
    let primer = Primer::Colour(gaps.fill(fields.need("primer", colour), white));
    let container = fields.or("container", house.container, Value::parse);
    let container = gaps.fill(container, house.container);
    let bases = fields.need("bases", |at| bases(at, gaps));
    let (bases, base_order) = bases.unzip();
    let accents = fields.or("accents", BTreeMap::new(), |at| accents(at, gaps));
    let known = Known { bases: bases.as_ref(), accents: accents.as_ref() };
    let pours = fields.or("pours", Vec::new(), |at| at.list(|at| pour(at, gaps, known)));
    let pattern = fields.or("pattern", Pattern::default(), |at| pattern(at, gaps));
    let pattern = gaps.fill(pattern, Pattern::default());
    let mut bases = bases?;
    let (accents, pours) = gaps.fill(accents.zip(pours).map(Some), None).unwrap_or_else(|| {
        share_alike(&mut bases);
        Default::default()
    });
    Some(ColourwayParts {
        name,
        system,
        film,
        primer,
        container,
        bases,
        base_order: base_order.unwrap_or_default(),
        accents,
        pours,
        pattern,
        note,
    })
}

fn colour(at: Value<'_>) -> Option<Srgb8> {
    let written = match &at.node().kind {
        Kind::Text(written) | Kind::Unquoted(written) => written,
        Kind::Broken => return None,
        _ => return at.wrong("must be a colour in quotes, such as \"#e8e6e0\""),
    };
    match written.parse() {
        Ok(colour) => Some(colour),
        Err(_) => at.report(
            Diagnostic::error(format!("{written:?} is no colour"))
                .hint("write # and six hexadecimal digits, such as \"#e8e6e0\""),
        ),
    }
}

/// Without its pours a recipe is checked for the rest only: no share is then wrong.
fn share_alike(bases: &mut BTreeMap<String, Base>) {
    let share = u32::try_from(bases.len()).map(|count| Fraction::new(1.0 / f64::from(count)));
    for base in bases.values_mut() {
        base.share = share.ok();
    }
}

/// The bases by name, and their names as they are listed.
fn bases(at: Value<'_>, gaps: &Gaps) -> Option<(BTreeMap<String, Base>, Vec<String>)> {
    let entries = at.map(|at| Some(gaps.fill(base(at, gaps).map(Some), None)))?;
    let all_read = entries.iter().all(|(_, base)| base.is_some());
    let order = entries.iter().map(|(name, _)| name.value.clone()).collect();
    let bases = entries.into_iter().map(|(name, base)| {
        let (share, colorants) = base.unwrap_or_default();
        // The share of one base says nothing where another's could not be read.
        let share = share.filter(|_| all_read);
        (name.value.clone(), Base { name: name.value, share, colorants })
    });
    Some((bases.collect(), order))
}

fn base(at: Value<'_>, gaps: &Gaps) -> Option<(Option<Fraction>, Vec<Dose>)> {
    let fields = at.fields("base", &["share", "colorants", "note"])?;
    note(fields, gaps);
    let share = fields.may("share", share);
    let doses = fields.or("colorants", Vec::new(), |at| {
        at.map(|at| Some(gaps.fill(loading(at), Fraction::from_percent(1.0))))
    });
    let colorants =
        doses?.into_iter().map(|(name, loading)| Dose { colorant: name.value, loading }).collect();
    Some((share?, colorants))
}

fn accents(at: Value<'_>, gaps: &Gaps) -> Option<BTreeMap<String, Accent>> {
    let entries = at.map(|at| accent(at, gaps))?;
    let accents = entries
        .into_iter()
        .map(|(name, colorant)| (name.value.clone(), Accent { name: name.value, colorant }));
    Some(accents.collect())
}

fn accent(at: Value<'_>, gaps: &Gaps) -> Option<String> {
    let fields = at.fields("accent", &["colorant", "note"])?;
    note(fields, gaps);
    Some(gaps.fill(fields.need("colorant", Value::name), "unnamed".to_owned()))
}

/// What the file calls a base, and what an accent.
#[derive(Debug, Clone, Copy)]
struct Known<'n> {
    bases: Option<&'n BTreeMap<String, Base>>,
    accents: Option<&'n BTreeMap<String, Accent>>,
}

impl Known<'_> {
    fn is_base(self, name: &str) -> bool {
        self.bases.is_some_and(|bases| bases.contains_key(name))
    }

    fn is_accent(self, name: &str) -> bool {
        self.accents.is_some_and(|accents| accents.contains_key(name))
    }
}

fn pour(at: Value<'_>, gaps: &Gaps, known: Known<'_>) -> Option<Pour> {
    let fields = at.fields("pour", &["name", "count", "layers", "note"])?;
    note(fields, gaps);
    let name = gaps.fill(fields.need("name", Value::name), "unnamed".to_owned());
    let count = fields.or("count", 1, Value::whole);
    let layers = fields.need("layers", |at| at.list(|at| layer(at, gaps, known)));
    Some(Pour { name, count: count?, layers: layers? })
}

fn layer(at: Value<'_>, gaps: &Gaps, known: Known<'_>) -> Option<Layer> {
    let (kind, at) = at.variant(&["Accent", "Base"])?;
    let own_dose = |dose| gaps.fill(dose, Fraction::from_percent(1.0));
    if kind == "Base" {
        let [base, parts] = at.items(["name", "parts"])?;
        let name = base.name();
        if let Some(accent) =
            name.as_ref().filter(|name| known.is_accent(name) && !known.is_base(name))
        {
            let told = Diagnostic::error(format!("\"{accent}\" is an accent, not a base"));
            let dose = figure_of(parts).filter(|percent| *percent <= MOST_OF_AN_ACCENT);
            let dose = dose.unwrap_or(USUAL_OF_AN_ACCENT);
            let dose = base.report(told.hint(format!("write Accent(\"{accent}\", \"{dose} %\")")));
            return Some(Layer::Accent { accent: name?, dose: own_dose(dose) });
        }
        let parts = parts.number();
        Some(Layer::Base { base: name?, parts: parts? })
    } else {
        let [accent, dose] = at.items(["name", "percentage"])?;
        let name = accent.name();
        if let Some(base) =
            name.as_ref().filter(|name| known.is_base(name) && !known.is_accent(name))
        {
            let told = Diagnostic::error(format!("\"{base}\" is a base, not an accent"));
            let parts = figure_of(dose).map_or("parts".to_owned(), |parts| parts.to_string());
            let parts = accent.report(told.hint(format!("write Base(\"{base}\", {parts})")));
            return Some(Layer::Base { base: name?, parts: gaps.fill(parts, 1.0) });
        }
        let dose = own_dose(loading(dose));
        Some(Layer::Accent { accent: name?, dose })
    }
}

/// The most that an accent is dosed, in percent, where a figure was typed as parts of a base.
const MOST_OF_AN_ACCENT: f64 = 10.0;

/// What an accent is dosed, in percent, to show how it is written.
const USUAL_OF_AN_ACCENT: f64 = 0.5;

/// A bare figure, or that of a percentage.
fn figure_of(at: Value<'_>) -> Option<f64> {
    let (Kind::Number(figure) | Kind::Text(figure) | Kind::Unquoted(figure)) = &at.node().kind
    else {
        return None;
    };
    let figure = figure.trim().trim_end_matches('%').trim_end();
    figure.parse().ok().filter(|figure: &f64| figure.is_finite() && *figure > 0.0)
}

fn pattern(at: Value<'_>, gaps: &Gaps) -> Option<Pattern> {
    let fields = at.fields("pattern", &["seed", "ribbon", "mist", "note"])?;
    note(fields, gaps);
    let usual = Pattern::default();
    let seed = fields.or("seed", usual.seed, Value::whole);
    let ribbon = fields.or("ribbon", usual.ribbon, |at| {
        at.one_of(&[("Sweep", Ribbon::Sweep), ("Wander", Ribbon::Wander), ("Drift", Ribbon::Drift)])
    });
    // `mist: None` counts as not written, which means the same: no mist unless the file says so.
    let mist = fields.or("mist", Mist::None, |at| {
        at.one_of(&[("None", Mist::None), ("Light", Mist::Light), ("Heavy", Mist::Heavy)])
    });
    Some(Pattern { seed: seed?, ribbon: ribbon?, mist: mist? })
}
