//! What is asked of a correction, and why there may be none.

use std::collections::BTreeMap;

use super::super::ask::{Looking, Unmatched};
use super::course::LastPour;
use super::vessel::{InVessel, VesselAsked};
use crate::colour::Lab;
use crate::model::{Colorant, House};
use crate::plan::run_sheet::{HeatRules, RunSheetError};
use crate::plan::{Company, Limits};
use crate::quantity::{Fraction, Mass, Temperature, TimeSpan, Units, Volume};

/// What stands in the vessel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Held {
    /// Part A, that of let-downs included, g.
    pub part_a: Mass,
    /// Part B.
    pub part_b: Mass,
    /// Colorants as weighed.
    pub colorants: BTreeMap<String, Mass>,
}

impl Held {
    /// All of it.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.part_a + self.part_b + self.colorants.values().copied().sum::<Mass>()
    }
}

/// The clock of a mix that has begun to cure.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    /// Since B met A.
    pub age: TimeSpan,
    /// Temperature of the room.
    pub temperature: Temperature,
    /// Temperature of parts A and B as they met.
    pub parts: Temperature,
    /// The mass that has stood in it until now, where that is more than the corrected mix: what is kept of a mix
    /// is as old as the whole of it.
    pub stood: Mass,
    /// The share of it that has been poured already, 0–1.
    pub poured: f64,
    /// When the last of it is poured.
    pub last_pour: LastPour,
    /// Over how many vessels it is shared out, which are corrected and poured one after the other; at least 1.
    pub vessels: usize,
}

/// How is this mix brought to that colour?
#[derive(Debug, Clone)]
pub struct CorrectAsk<'a> {
    /// The ceilings in force, with the resin system.
    pub limits: Limits<'a>,
    /// The small batches that the base goes into beside an accent: their ceilings are kept too.
    pub small_batches: Vec<Company<'a>>,
    /// Scales and tolerances.
    pub house: &'a House,
    /// Colorants that may be added; those held and wanted must be among them.
    pub shelf: Vec<&'a Colorant>,
    /// How the film is looked at.
    pub looking: Looking,
    /// The wanted base: loadings of standing lots.
    pub wanted: BTreeMap<String, f64>,
    /// What stands in the vessel.
    pub held: Held,
    /// Strengths of the let-downs that are at hand or planned, by colorant: colorant / (colorant + part A). They are
    /// taken from where a scale weighs them, and others made only where not.
    pub let_downs: BTreeMap<String, Fraction>,
    /// The share of a mix that stays on the wall of its first vessel, where a plan says so.
    pub first_keeps: Option<f64>,
    /// What was measured of it under the first lamp, if anything: the corrected colour is then aimed
    /// off by as much as the prediction of what is held missed the measurement.
    pub measured: Option<Lab>,
    /// ΔE00 that is near enough (lamps' weighted root mean square).
    pub within: f64,
    /// The least mass that the mix has to have in the end, where a left-over goes into a new base.
    pub at_least: Option<Mass>,
    /// The vessel that it stands in.
    pub vessel: VesselAsked,
    /// The mass that the job's plan mixes of it, where that is known: of a mix that would grow too large, no more is kept
    /// than becomes as much as this.
    pub enough: Option<Mass>,
    /// Its clock, where B has met A.
    pub clock: Option<Clock>,
}

/// Why there is no correction.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Uncorrected {
    /// The colour cannot be reckoned.
    #[error(transparent)]
    Unmatched(#[from] Unmatched),
    /// Nothing is in the vessel.
    #[error("nothing is held: say what is in the vessel")]
    Nothing,
    /// A mass that is none.
    #[error("{0} is not a mass that can be held")]
    NotAMass(String),
    /// A colorant that is not at hand.
    #[error("\"{0}\" is not among the colorants at hand")]
    NoSuchColorant(String),
    /// A colorant without optical data.
    #[error("\"{0}\" has no optical data")]
    NoOptics(String),
    /// More colorants than a correction can weigh up.
    #[error("{0} colorants are too many for one correction: at most {1}")]
    TooMany(usize, usize),
    /// A tolerance that is none.
    #[error("the tolerance must be above 0 ΔE00")]
    Tolerance,
    /// The wanted colour cannot be had by additions.
    #[error("additions up to {grown:.0} times the mix come no nearer than {error:.2} ΔE00")]
    OutOfReach {
        /// The least error, ΔE00.
        error: f64,
        /// How far the mix was let grow.
        grown: f64,
    },
    /// The wanted base itself exceeds a ceiling.
    #[error("the wanted base exceeds a ceiling: {0}")]
    WantedExceeds(String),
    /// The mix holds a colorant that brings solvent or other non-reactive carrier, and the system takes none.
    #[error(
        "\"{system}\" takes no solvent or other non-reactive carrier (its ceiling is 0 %), and \"{colorant}\", which the mix holds, brings some"
    )]
    NoSolvent {
        /// The resin system.
        system: String,
        /// The colorant.
        colorant: String,
    },
    /// No scale weighs the additions finely enough.
    #[error(
        "no scale of the house bears this mix and weighs its additions finely enough to keep A : B within 0.5 % and the colour within tolerance"
    )]
    NotWeighable,
    /// The corrected mix cannot be poured in time.
    #[error("{}", too_late_words(*.needed_min, *.left_min, *.hot_celsius))]
    TooLate {
        /// Minutes to weigh, stir in and pour.
        needed_min: f64,
        /// Minutes of pot life left to the corrected mass.
        left_min: f64,
        /// How hot it is as the last of it is poured, °C (estimated), where that is too hot.
        hot_celsius: Option<f64>,
    },
    /// The corrected mix would be larger than the house mixes at once.
    #[error(
        "it would grow to {}, and the house mixes at most {} at once for its heat",
        grams(*.grown_g),
        grams(*.most_g)
    )]
    TooLarge {
        /// Mass after the correction, g.
        grown_g: f64,
        /// The house's largest mix, g.
        most_g: f64,
    },
    /// So little of the mix would be kept that it is mixed anew in all but name.
    #[error(
        "only {} would be kept of the {} that it becomes, which is mixing anew with an old clock",
        grams(*.kept_g),
        grams(*.after_g)
    )]
    LittleKept {
        /// What would be kept, g.
        kept_g: f64,
        /// What that would become, g.
        after_g: f64,
    },
    /// The corrected mix does not go into its vessel.
    #[error(
        "it would fill {}, and {} takes {} with room to stir",
        needed_words(*.needed, .vessel.holds, *.units),
        vessel_words(.vessel, *.units),
        .vessel.holds.show(*.units)
    )]
    NoVessel {
        /// The vessel meant.
        vessel: InVessel,
        /// Volume after the correction.
        needed: Volume,
        /// Units to tell them in.
        units: Units,
    },
    /// The clock cannot be followed.
    #[error("its pot life cannot be reckoned: {0}")]
    Clock(#[from] RunSheetError),
}

/// A mass in whole grams; from ten tonnes on, which no mix is, by its power of ten.
fn grams(mass_g: f64) -> String {
    if mass_g < 1e7 { format!("{mass_g:.0} g") } else { format!("{mass_g:.3e} g") }
}

/// A volume that does not go into what holds too little for it; the two never read alike.
fn needed_words(needed: Volume, holds: Volume, units: Units) -> String {
    let words = needed.show(units);
    if words == holds.show(units) { format!("a little more than {words}") } else { words }
}

/// The vessel in words.
fn vessel_words(vessel: &InVessel, units: Units) -> String {
    let size = vessel.size.show(units);
    match vessel.asked {
        VesselAsked::Stated(_) => format!("its {size} vessel"),
        VesselAsked::Planned(_) => format!("the plan's {size} vessel"),
        VesselAsked::Smallest => format!("the house's largest vessel, {size},"),
    }
}

/// Why a mix cannot be poured in time: it has gelled by then, or is too hot.
fn too_late_words(needed_min: f64, left_min: f64, hot_celsius: Option<f64>) -> String {
    let needed = libm::ceil(needed_min);
    let both =
        |celsius: f64| format!("{:.0} °F ({celsius:.0} °C)", Temperature::from_c(celsius).f());
    let most = both(HeatRules::default().hot_pour_celsius);
    let gelled = || {
        format!(
            "it cannot be poured in time: {needed:.0} min are needed, and {:.0} min of its pot life are left",
            libm::floor(left_min)
        )
    };
    match hot_celsius {
        None => gelled(),
        // How hot it gets beyond that is of no use to anybody.
        Some(_) if needed_min > left_min => {
            format!("{}; before that it is over {most} (estimated) and runs away", gelled())
        }
        Some(celsius) => format!(
            "it would be {} when the last of it is poured, {needed:.0} min from now (estimated): too hot, for from {} on a mix runs away and sets as it is poured",
            both(celsius),
            most,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is refused for want of room or time never reads as if it were enough.
    #[test]
    fn what_is_too_little_never_reads_as_enough() {
        let huge = Uncorrected::TooLarge { grown_g: 1e30, most_g: 3000.0 }.to_string();
        assert!(
            huge.starts_with("it would grow to 1.000e30 g, and the house mixes at most 3000 g")
        );
        let late = |left_min, hot_celsius| {
            Uncorrected::TooLate { needed_min: 8.1, left_min, hot_celsius }.to_string()
        };
        let gelled = late(7.9, None);
        assert!(gelled.contains("9 min are needed, and 7 min"), "{gelled}");
        let both = late(7.9, Some(60.2));
        assert!(
            both.starts_with(&gelled)
                && both.ends_with("over 122 °F (50 °C) (estimated) and runs away")
        );
        let hot = "it would be 140 °F (60 °C) when the last of it is poured, 9 min from now (estimated): too hot, for from 122 °F (50 °C) on";
        assert!(late(9.0, Some(60.2)).starts_with(hot), "{}", late(9.0, Some(60.2)));
        let size = Volume::from_l(2.5);
        let holds = Volume::from_l(2.0);
        let asked = VesselAsked::Stated(size);
        let vessel = InVessel { size, holds, asked };
        let told = |needed, units| Uncorrected::NoVessel { vessel, needed, units }.to_string();
        assert_eq!(
            told(Volume::from_l(2.001), Units::Metric),
            "it would fill a little more than 2 L, and its 2.5 L vessel takes 2 L with room to stir"
        );
        assert_eq!(
            told(Volume::from_l(2.5), Units::Us),
            "it would fill 2.64 qt, and its 2.64 qt vessel takes 2.11 qt with room to stir"
        );
    }
}
