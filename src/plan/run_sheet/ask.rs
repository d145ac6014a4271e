//! What a run sheet is made from, in plain numbers.

use super::RunSheetError;
use super::durations::{Durations, HeatRules};
use crate::plan::paddle::Wiped;
use crate::plan::weather::Weather;

/// Most mixes that one clock is made for.
pub const MOST_MIXES: usize = 400;

/// Most containers that one clock is made for.
pub const MOST_BATCHES: usize = 1000;

/// A round vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vessel {
    /// Brimful, mL.
    pub capacity_ml: f64,
    /// Inner diameter, mm; a vessel without one is taken as deep as it is wide.
    pub diameter_mm: Option<f64>,
}

/// A mix of A and B with its colorants.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// What the crew calls it.
    pub name: String,
    /// Which of how many mixes of the same thing: (1, 1) for the only one.
    pub part: (usize, usize),
    /// Its mass, g.
    pub mass_g: f64,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// What of it clings to the walls of its vessels as a film, g: it is not left over in one mass.
    pub clings_g: f64,
    /// What it is mixed in.
    pub vessel: Vessel,
    /// Colorants stirred in.
    pub colorants: usize,
    /// Vessels it is split into before tinting; 1 for no split.
    pub split_into: usize,
}

/// What a small batch takes from a mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Take {
    /// Index of the mix.
    pub mix: usize,
    /// How much, g.
    pub mass_g: f64,
}

/// A small batch: one container, poured once.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// What the crew calls it.
    pub name: String,
    /// What it takes from which mixes.
    pub takes: Vec<Take>,
    /// Layers decanted; none where a mix is poured as it is, by the hand that takes it up.
    pub layers: usize,
    /// Accents dosed.
    pub accents: usize,
}

/// The pot life that the datasheet states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DatasheetPotLife {
    /// Minutes.
    pub minutes: f64,
    /// Of what mass, g.
    pub mass_g: f64,
    /// At what temperature, °C.
    pub celsius: f64,
    /// In what vessel; datasheets seldom say, and then a cup filled as deep as it is wide.
    pub vessel: Option<Vessel>,
}

/// What colorants are stirred in with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TintingPaddle {
    /// Each mix has its own.
    OneEach,
    /// One goes from mix to mix.
    Shared(Wiped),
}

/// Everything a run sheet follows from.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The mixes in the order of tinting: lightest first, so that one paddle serves.
    pub mixes: Vec<Mix>,
    /// The small batches in the order of pouring.
    pub batches: Vec<Batch>,
    /// People.
    pub crew: usize,
    /// What colorants are stirred in with.
    pub paddle: TintingPaddle,
    /// Edges and splashbacks, coated after the last pour with what is held back of it, m²; 0 for none.
    pub upright_m2: f64,
    /// The surface is misted after the last pour.
    pub mist: bool,
    /// Temperature of the room, °C.
    pub ambient_celsius: f64,
    /// Temperature of A and B as they meet, °C.
    pub parts_celsius: f64,
    /// The datasheet's pot life.
    pub pot_life: DatasheetPotLife,
    /// Density of the mixed resin, g/mL.
    pub density_g_per_ml: f64,
    /// Surface and air, if known.
    pub weather: Option<Weather>,
    /// How long steps take.
    pub durations: Durations,
    /// When heat is worth a word.
    pub rules: HeatRules,
}

/// `value`, if it lies in `low..=high` (so never NaN).
pub(super) fn amount(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, RunSheetError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(RunSheetError::Amount { what, value, low, high })
    }
}

impl Ask {
    /// What the batches take from a mix, g.
    pub(super) fn taken_g(&self, mix: usize) -> f64 {
        self.takes(mix).map(|(_, mass_g)| mass_g).sum()
    }

    /// The batches that take from a mix, in pour order, with how much, g.
    pub(super) fn takes(&self, mix: usize) -> impl DoubleEndedIterator<Item = (usize, f64)> {
        self.batches.iter().enumerate().flat_map(move |(batch, one)| {
            one.takes
                .iter()
                .filter(move |take| take.mix == mix && take.mass_g > 0.0)
                .map(move |take| (batch, take.mass_g))
        })
    }

    /// The volume of a batch without its accents, mL.
    pub(super) fn batch_volume_ml(&self, batch: usize) -> f64 {
        self.batches[batch]
            .takes
            .iter()
            .map(|take| {
                let mix = &self.mixes[take.mix];
                take.mass_g * mix.volume_ml / mix.mass_g
            })
            .sum()
    }

    /// Refuses what cannot be.
    pub(super) fn check(&self) -> Result<(), RunSheetError> {
        if self.crew == 0 || self.crew > 100 {
            return Err(RunSheetError::Crew { crew: self.crew });
        }
        if self.mixes.len() > MOST_MIXES || self.batches.len() > MOST_BATCHES {
            return Err(RunSheetError::TooMany);
        }
        self.durations.check()?;
        self.rules.check()?;
        amount("density of the mix (g/mL)", self.density_g_per_ml, 0.5, 5.0)?;
        amount("mass of the stated pot life (g)", self.pot_life.mass_g, 1.0, 1e6)?;
        amount("edges and splashbacks (m²)", self.upright_m2, 0.0, 1e4)?;
        for (at, mix) in self.mixes.iter().enumerate() {
            amount("mass of a mix (g)", mix.mass_g, 0.01, 1e6)?;
            amount("volume of a mix (mL)", mix.volume_ml, 0.01, 1e6)?;
            amount("capacity of a vessel (mL)", mix.vessel.capacity_ml, mix.volume_ml, 1e6)?;
            if mix.colorants > 100 || mix.split_into > 100 {
                return Err(RunSheetError::TooMany);
            }
            let over_g = self.taken_g(at) - mix.mass_g;
            if over_g > 1e-6 * mix.mass_g {
                return Err(RunSheetError::Overdrawn { mix: at, by_g: over_g });
            }
        }
        for (at, batch) in self.batches.iter().enumerate() {
            if batch.layers > 1000 || batch.accents > 1000 {
                return Err(RunSheetError::TooMany);
            }
            for take in &batch.takes {
                amount("mass taken (g)", take.mass_g, 0.0, 1e6)?;
                if take.mix >= self.mixes.len() {
                    return Err(RunSheetError::NoSuchMix { batch: at, mix: take.mix });
                }
            }
        }
        Ok(())
    }
}
