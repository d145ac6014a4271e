//! What to add to a mix that went wrong.

use std::collections::BTreeMap;

use crate::colour::Lab;
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::matching::{self, Clock, CorrectAsk, Correction, Held, Looking, Uncorrected};
use crate::model::{Colorant, Override, Recipe};
use crate::plan::Limits;
use crate::quantity::{Length, Mass, Temperature, TimeSpan, Volume};
use crate::report::CorrectHead;
use crate::spectrum::{Illuminant, Observer};
use crate::store::{Opened, told};

use super::find::named;
use super::match_colour::job_of;
use super::plan::{bare, colourway, sound_house};

/// A mix that went wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionAsk {
    /// The colourway by name or file.
    pub colourway: String,
    /// The base that it should be.
    pub base: String,
    /// The job whose raised ceilings hold.
    pub job: Option<String>,
    /// What is in the vessel: part A.
    pub part_a: Mass,
    /// Part B.
    pub part_b: Mass,
    /// Colorants as weighed.
    pub colorants: Vec<(String, Mass)>,
    /// What was measured of a cured film of it, in Lab under the first lamp.
    pub measured: Option<Lab>,
    /// Further colorants that may be added.
    pub also: Vec<String>,
    /// ΔE00 that is near enough; the shop's own where none is stated.
    pub within: Option<f64>,
    /// The least mass that it has to have in the end.
    pub at_least: Option<Mass>,
    /// Lamps with weights; daylight where none is named.
    pub lamps: Vec<(Illuminant, Option<f64>)>,
    /// The observer.
    pub observer: Observer,
    /// Another film than the recipe's.
    pub film: Option<Length>,
    /// Since B met A.
    pub age: Option<TimeSpan>,
    /// The vessel, brim-full; the shop's smallest that holds the mix where none is stated.
    pub vessel: Option<Volume>,
    /// Temperature of the room.
    pub temperature: Temperature,
    /// From the corrected mix to the last pour of it.
    pub until_poured: TimeSpan,
}

/// A correction and what it is of.
#[derive(Debug, Clone, PartialEq)]
pub struct Corrected {
    /// What it is of.
    pub head: CorrectHead,
    /// What to add.
    pub correction: Correction,
}

/// The part of the tolerance that is aimed at where something has to be added: what comes to its very edge
/// is beyond it by the next slip of a scale. (Common practice, no source.) Where additions cannot bring the mix so
/// near, the whole tolerance is used.
const AIMED_AT: f64 = 0.8;

/// Corrects.
///
/// # Errors
/// Names that nothing has; a mix that cannot be corrected, or not in time (refused).
pub fn correct(opened: &Opened, ask: &CorrectionAsk) -> Result<Corrected, Diagnostics> {
    sound_house(opened)?;
    let shop = &opened.shop;
    let raised = job_of(opened, ask.job.as_deref())?.map_or(&[][..], |job| &job.overrides);
    let (way, file) = colourway(opened, &ask.colourway)?;
    let recipe = Recipe::of(shop, way).map_err(|faults| match file {
        Some(file) => told(&opened.files, file, faults),
        None => bare(faults),
    })?;
    let base = way.bases.get(&ask.base).ok_or_else(|| {
        let names: Vec<&str> = way.bases.keys().map(String::as_str).collect();
        Diagnostic::error(format!("\"{}\" has no base \"{}\"", way.name, ask.base))
            .hint(format!("its bases: {}", crate::suggest::listed(&names, "and")))
    })?;
    let files = &opened.files.colorants;
    let colorant = |word: &str| -> Result<&Colorant, Diagnostics> {
        named(opened, "colorant", word, &shop.colorants, |name| files.get(name)).map(|(_, c)| c)
    };
    let wanted: BTreeMap<String, f64> =
        base.colorants.iter().map(|d| (d.colorant.clone(), d.loading.value())).collect();
    let mut held = Held { part_a: ask.part_a, part_b: ask.part_b, colorants: BTreeMap::new() };
    for (word, mass) in &ask.colorants {
        *held.colorants.entry(colorant(word)?.name.clone()).or_default() += *mass;
    }
    let mut at_hand: BTreeMap<&str, &Colorant> = BTreeMap::new();
    for name in wanted.keys().chain(held.colorants.keys()).chain(&ask.also) {
        let colorant = colorant(name)?;
        at_hand.insert(colorant.name.as_str(), colorant);
    }
    let usual = [(Illuminant::D65, None)];
    let lamps = if ask.lamps.is_empty() { &usual[..] } else { &ask.lamps };
    let looking = Looking {
        film: ask.film.unwrap_or(way.film),
        primer: *way.primer_reflectance(),
        lamps: lamps.iter().map(|(lamp, weight)| (lamp.clone(), weight.unwrap_or(1.0))).collect(),
        observer: ask.observer,
    };
    let within = ask.within.unwrap_or(shop.house.match_within);
    let clock = ask.age.map(|age| Clock {
        age,
        vessel: ask.vessel,
        temperature: ask.temperature,
        until_poured: ask.until_poured,
    });
    let taken = taken(&held, &wanted);
    let degrees = match ask.observer {
        Observer::Cie1931_2deg => "2°",
        Observer::Cie1964_10deg => "10°",
    };
    let corrected_within = |within: f64| {
        matching::correct(&CorrectAsk {
            limits: Limits {
                system: recipe.system,
                off_ratio: shop.house.off_ratio_limit.value(),
                raised,
            },
            house: &shop.house,
            shelf: at_hand.values().copied().collect(),
            looking: looking.clone(),
            wanted: wanted.clone(),
            held: held.clone(),
            measured: ask.measured,
            within,
            at_least: ask.at_least,
            clock: clock.clone(),
        })
    };
    let mut correction = corrected_within(within).map_err(|why| refused(&why))?;
    let mut aimed_at = None;
    if !correction.is_nothing()
        && let Ok(safer) = corrected_within(AIMED_AT * within)
    {
        (correction, aimed_at) = (safer, Some(AIMED_AT * within));
    }
    let head = CorrectHead {
        colourway: way.name.clone(),
        base: base.name.clone(),
        taken,
        raised: raised.iter().map(Override::words).collect(),
        viewings: lamps.iter().map(|(lamp, _)| format!("{lamp}/{degrees}")).collect(),
        within,
        aimed_at,
    };
    Ok(Corrected { head, correction })
}

/// What is taken to be in the vessel, and which of the base's colorants are taken not to be.
fn taken(held: &Held, wanted: &BTreeMap<String, f64>) -> Vec<String> {
    let step = Mass::from_g(0.01);
    let parts = [("part A", held.part_a), ("part B", held.part_b)];
    let colorants = held.colorants.iter().map(|(name, mass)| (name.as_str(), *mass));
    let all: Vec<String> = parts
        .into_iter()
        .chain(colorants)
        .map(|(name, mass)| format!("{name} {}", mass.show_weighed(step)))
        .collect();
    let mut words = vec![format!("In the vessel, as stated: {}.", all.join(", "))];
    let unnamed: Vec<&str> = wanted
        .keys()
        .filter(|name| !held.colorants.contains_key(*name))
        .map(String::as_str)
        .collect();
    if !unnamed.is_empty() {
        words.push(format!(
            "Not named, so taken not to be in it: {}. Name with --held what is.",
            unnamed.join(", ")
        ));
    }
    words
}

/// What a check refuses is refused; what makes no sense is an error.
fn refused(why: &Uncorrected) -> Diagnostic {
    let severity = match why {
        Uncorrected::TooLate { .. }
        | Uncorrected::OutOfReach { .. }
        | Uncorrected::WantedExceeds(_)
        | Uncorrected::TooLarge { .. }
        | Uncorrected::NoVessel { .. }
        | Uncorrected::NotWeighable => Severity::Refused,
        _ => Severity::Error,
    };
    let told = Diagnostic { severity, ..Diagnostic::error(why.to_string()) };
    match why {
        Uncorrected::TooLate { .. } => told.hint("spread it thin where it can cure, and mix anew"),
        Uncorrected::TooLarge { .. } => told.hint(
            "put part of it aside and correct the rest alone, or mix anew; spread what is not used thin where it can cure",
        ),
        Uncorrected::NoVessel { .. } => told.hint("put part of it aside and correct the rest alone"),
        Uncorrected::OutOfReach { .. } => {
            told.hint("allow further colorants with --also, or use it up in a darker base")
        }
        _ => told,
    }
}
