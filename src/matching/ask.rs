//! What is asked of a match, and why there may be no answer.

use std::collections::BTreeMap;

use crate::colour::{Lab, Srgb8};
use crate::model::{Colorant, House};
use crate::plan::Limits;
use crate::quantity::{Length, Mass, Units};
use crate::spectrum::{Illuminant, Observer, Spectrum};

/// The wanted colour.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "one an ask; a spectrum is no burden")]
pub enum Target {
    /// CIELAB under a stated lamp for a stated observer.
    Lab {
        /// The colour.
        lab: Lab,
        /// The lamp that it was read under.
        lamp: Illuminant,
        /// The observer.
        observer: Observer,
    },
    /// A screen's colour, seen in daylight as white paper would be.
    Screen(Srgb8),
    /// A reflectance as read without the gloss, 0–1: of a sample, or of another base.
    Reflectance(Spectrum),
}

/// How the film will be looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Looking {
    /// Film thickness.
    pub film: Length,
    /// Reflectance of the bare primer, as read.
    pub primer: Spectrum,
    /// Lamps with their weights; the first is the one that recipes are named by.
    pub lamps: Vec<(Illuminant, f64)>,
    /// The observer.
    pub observer: Observer,
}

/// What alternatives are ranked by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rank {
    /// Nearness under the lamps' weights; where that is alike, fewer colorants first.
    Colour,
    /// Least difference under the worst lamp.
    Lamps,
    /// Least cost per litre.
    Cost,
    /// Highest contrast ratio at this film.
    Hiding,
}

/// Which loadings make the target?
#[derive(Debug, Clone)]
pub struct Ask<'a> {
    /// The ceilings in force, with the resin system.
    pub limits: Limits<'a>,
    /// Scales and tolerances.
    pub house: &'a House,
    /// Colorants to choose from.
    pub shelf: Vec<&'a Colorant>,
    /// Colorants outside the choice that may be offered where the target is out of reach.
    pub beyond: Vec<&'a Colorant>,
    /// Colorants that every recipe has to hold.
    pub must: Vec<String>,
    /// Colorants that none may hold.
    pub never: Vec<String>,
    /// What is in stock, where it is known and the batch is stated.
    pub stock: BTreeMap<String, Mass>,
    /// Most colorants in one recipe, 1–4.
    pub most: usize,
    /// The wanted colour.
    pub target: Target,
    /// How it is looked at.
    pub looking: Looking,
    /// Mixed resin (A+B) of the batch to be weighed, if weights are wanted.
    pub batch: Option<Mass>,
    /// How many alternatives, from 1.
    pub alternatives: usize,
    /// What they are ranked by.
    pub rank: Rank,
    /// Whether recipes that the primer shows through are ranked like those that hide it; else they
    /// come after every recipe within tolerance that hides.
    pub show_through: bool,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unmatched {
    /// There is nothing to choose from.
    #[error("there is no colorant to choose from")]
    EmptyShelf,
    /// No colorant of the choice can be predicted.
    #[error("no colorant of the choice has optical data")]
    NoOptics,
    /// More colorants than can be searched.
    #[error("{0} colorants are too many to choose from at once: name at most {1}")]
    TooMany(usize, usize),
    /// A recipe of none, or of more colorants than is supported.
    #[error("a recipe of {0} colorants cannot be searched for: ask for 1 to 4")]
    Most(usize),
    /// A colorant that must be used is not in the choice.
    #[error("\"{0}\" must be used, but it is not among the colorants to choose from")]
    MustBeMissing(String),
    /// A colorant that must be used cannot be.
    #[error("\"{name}\" must be used, but {why}")]
    MustNot {
        /// The colorant.
        name: String,
        /// Why it cannot be used.
        why: &'static str,
    },
    /// More colorants must be used than a recipe may hold.
    #[error("{0} colorants must be used, but a recipe may hold only {1}")]
    MustTooMany(usize, usize),
    /// Ceilings or the stock leave no room for any colorant.
    #[error("the ceilings, or what is in stock, leave no room for any colorant of the choice")]
    NoRoom,
    /// A number that is none.
    #[error("{0} is not a number that can be used")]
    NotANumber(&'static str),
    /// A colour that no surface has.
    #[error("no surface has this colour: {0}")]
    NoSurface(String),
    /// A film that the system does not allow.
    #[error(
        "a film of {} is outside what the resin system allows in one pour: {} to {}",
        both(*.0), both(*.1), both(*.2)
    )]
    Film(f64, f64, f64),
    /// No lamp, too many, or weights that do not weigh.
    #[error("name 1 to {0} lamps, each with a weight above nought")]
    Lamps(usize),
    /// No scale of the house bears the batch.
    #[error("no scale of the house bears a batch of {0:.0} g")]
    TooHeavy(f64),
}

/// A film, mm, in both units.
fn both(mm: f64) -> String {
    let film = Length::from_mm(mm);
    format!("{} ({})", film.show_film(Units::Metric), film.show_film(Units::Us))
}
