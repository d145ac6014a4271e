//! The shop's own scales, vessels and thresholds: everything that is policy, in one place.

use std::collections::BTreeMap;
use std::ops::Deref;

use super::fault::{Faults, at};
use super::timed::Timed;
use crate::quantity::{Fraction, Length, Mass, Temperature, TimeSpan, Units, Volume};

/// A scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// What it is called.
    pub name: String,
    /// Its smallest step.
    pub readability: Mass,
    /// The most it weighs.
    pub capacity: Mass,
}

/// What a house is made of, before it has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct HouseParts {
    /// Units to show where none are asked for.
    pub units: Units,
    /// Scales, in any order.
    pub scales: Vec<Scale>,
    /// Sizes of mixing vessels, brim-full.
    pub vessels: Vec<Volume>,
    /// How full a vessel or container may be.
    pub fill: Fraction,
    /// Most mixed mass in one vessel, for heat.
    pub largest_mix: Mass,
    /// Relative error that a weighing may have.
    pub weighing_tolerance: Fraction,
    /// How near under a ceiling a caution begins, as a fraction of the ceiling.
    pub near_ceiling: Fraction,
    /// Stoichiometry shift from which a caution is given.
    pub off_ratio_caution: Fraction,
    /// Stoichiometry shift beyond which a plan is refused.
    pub off_ratio_limit: Fraction,
    /// ΔE00 up to which two colours count as a match.
    pub match_within: f64,
    /// The container size where a colourway states none.
    pub container: Volume,
    /// The film on vessel walls where a job states none.
    pub cling_film: Length,
    /// How long steps take in this shop; the usual time where it states none.
    pub durations: BTreeMap<Timed, TimeSpan>,
    /// Pairs of hands for a job that no file states.
    pub crew: u32,
    /// Temperature of the room where no job file states it.
    pub temperature: Temperature,
}

impl Default for HouseParts {
    /// Common practice, no source, but for the tolerance of weighing (a 2 % change of a loading is
    /// about as small as is seen) and the off-ratio bounds (≤ 2 % usual, > 5 % refused; one adhesive
    /// maker's advice is ±5 %).
    fn default() -> Self {
        Self {
            units: Units::Metric,
            scales: vec![
                Scale {
                    name: "bench scale".into(),
                    readability: Mass::from_g(1.0),
                    capacity: Mass::from_g(15_000.0),
                },
                Scale {
                    name: "small scale".into(),
                    readability: Mass::from_g(0.1),
                    capacity: Mass::from_g(2000.0),
                },
            ],
            vessels: vec![
                Volume::from_l(1.0),
                Volume::from_l(2.5),
                Volume::from_l(5.0),
                Volume::from_l(10.0),
            ],
            fill: Fraction::from_percent(80.0),
            largest_mix: Mass::from_g(7000.0),
            weighing_tolerance: Fraction::from_percent(2.0),
            near_ceiling: Fraction::from_percent(10.0),
            off_ratio_caution: Fraction::from_percent(2.0),
            off_ratio_limit: Fraction::from_percent(5.0),
            match_within: 1.0,
            container: Volume::from_ml(250.0),
            cling_film: Length::from_mm(0.5),
            durations: BTreeMap::new(),
            crew: 1,
            temperature: House::USUAL_ROOM,
        }
    }
}

/// A house whose figures are sound. Its scales stand from the coarsest to the finest, its vessels
/// from the smallest to the largest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct House(HouseParts);

impl Deref for House {
    type Target = HouseParts;
    fn deref(&self) -> &HouseParts {
        &self.0
    }
}

/// Less than this in a mixing vessel is not stirred evenly. (Common practice, no source.)
const SMALLEST_LARGEST_MIX: Mass = Mass::from_g(50.0);

impl House {
    /// The room where nobody states its temperature (common practice, no source).
    pub const USUAL_ROOM: Temperature = Temperature::from_c(22.0);

    /// The film that stays on upright faces where nobody states it (estimated).
    pub const USUAL_FACE_FILM: Length = Length::from_mm(0.5);

    /// A room's temperature in words; the usual one as people say it, `72 °F`.
    #[must_use]
    pub fn room_words(room: Temperature, units: Units) -> String {
        if room == Self::USUAL_ROOM { room.show_about(units) } else { room.show(units) }
    }

    /// A house from its parts.
    ///
    /// # Errors
    /// No scale or vessel, a figure not above zero, a scale that weighs less than its own step, two of one name.
    pub fn new(mut parts: HouseParts) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        if parts.scales.is_empty() {
            faults.error(at!["scales"], "the shop needs at least one scale");
        }
        for (at, scale) in parts.scales.iter().enumerate() {
            faults.positive(at!["scales", at], "a scale's readability", scale.readability.g());
            if scale.capacity <= scale.readability {
                faults.error(at!["scales", at], "a scale weighs more than its smallest step");
            }
            if parts.scales[..at].iter().any(|before| before.name == scale.name) {
                let name = &scale.name;
                faults
                    .error(at!["scales", at, "name"], format!("two scales are called \"{name}\""))
                    .hint(format!("two of a kind have a name each: \"{name}\" and \"{name} 2\""));
            }
        }
        if parts.vessels.is_empty() {
            faults.error(at!["vessels"], "the shop needs at least one mixing vessel");
        }
        for (at, vessel) in parts.vessels.iter().enumerate() {
            faults.positive(at!["vessels", at], "a vessel's size", vessel.ml());
        }
        faults.share(at!["fill"], "the fill", parts.fill.value(), 1.0);
        let largest = parts.largest_mix;
        if !(largest.g().is_finite() && largest >= SMALLEST_LARGEST_MIX) {
            faults
                .error(
                    at!["largest_mix"],
                    format!(
                        "the largest mix cannot be {}: at least {} are stirred well",
                        largest.show(parts.units),
                        SMALLEST_LARGEST_MIX.show(parts.units)
                    ),
                )
                .hint("look at its unit: \"3 kg\", \"3000 g\"");
        }
        faults.share(
            at!["weighing_tolerance"],
            "the weighing tolerance",
            parts.weighing_tolerance.value(),
            0.5,
        );
        faults.share(
            at!["near_ceiling"],
            "the margin under a ceiling",
            parts.near_ceiling.value(),
            1.0,
        );
        faults.share(
            at!["off_ratio_caution"],
            "the off-ratio caution",
            parts.off_ratio_caution.value(),
            1.0,
        );
        faults.share(
            at!["off_ratio_limit"],
            "the off-ratio limit",
            parts.off_ratio_limit.value(),
            1.0,
        );
        faults.positive(at!["match_within"], "the tolerance of a match", parts.match_within);
        faults.positive(at!["container"], "the container", parts.container.ml());
        faults.not_negative(at!["cling_film"], "the clinging film", parts.cling_film.mm());
        for (step, time) in &parts.durations {
            if !(0.0..=86_400.0).contains(&time.s()) {
                faults.error(at!["durations", step.word()], "a step takes 0 s to 24 h");
            }
        }
        parts.scales.sort_by(|one, other| other.readability.g().total_cmp(&one.readability.g()));
        parts.vessels.sort_by(|one, other| one.ml().total_cmp(&other.ml()));
        faults.into_result(|| Self(parts))
    }

    /// The same house, shown in other units.
    #[must_use]
    pub fn in_units(self, units: Units) -> Self {
        Self(HouseParts { units, ..self.0 })
    }

    /// The same house with another crew for jobs that no file states.
    #[must_use]
    pub fn with_crew(self, crew: u32) -> Self {
        Self(HouseParts { crew, ..self.0 })
    }

    /// The same house with another room temperature for jobs that no file states.
    #[must_use]
    pub fn with_room_at(self, temperature: Temperature) -> Self {
        Self(HouseParts { temperature, ..self.0 })
    }
}
