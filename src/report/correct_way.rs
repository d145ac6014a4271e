//! That a mix is not corrected all as it stands, and what is done instead: a part of it kept, or all of it shared out over
//! two vessels; or that the clock refuses what is told, as it refuses the plan.

use serde_json::{Value, json};

use super::time_words::{WholeMinutes, seconds_f64};
use crate::plan::run_sheet::MixClock;
use crate::quantity::{Mass, Units, Volume};

/// What is done with a mix that cannot be corrected all in one vessel.
#[derive(Debug, Clone, PartialEq)]
pub struct InPart {
    /// Why not all of it, in a sentence without a full stop.
    pub why: String,
    /// What is done instead.
    pub way: Way,
    /// What has to be had beyond what the plan buys, as a condition; none where enough is left of that.
    pub provided: Option<String>,
}

/// How much of a mix is corrected.
#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// A part of it.
    Keep {
        /// How much, a whole number of steps.
        mass: Mass,
        /// The scale that it is weighed on.
        scale: String,
        /// Its step.
        readability: Mass,
        /// What is not kept.
        thrown: Mass,
        /// Whether that is set aside, for it neither heats nor cures.
        set_aside: bool,
        /// What becomes of it, in a sentence without a full stop.
        left: String,
    },
    /// All of it, in a larger vessel of the house's.
    Move {
        /// Its size, brim-full.
        size: Volume,
    },
    /// All of it, in several vessels.
    Divide {
        /// How many.
        vessels: usize,
        /// How much goes into each, a whole number of steps.
        each: Mass,
        /// The scale that it is weighed on.
        scale: String,
        /// Its step.
        readability: Mass,
    },
}

impl Way {
    /// What is done, in a sentence without a full stop.
    #[must_use]
    pub fn words(&self, units: Units) -> String {
        match self {
            Self::Keep { .. } => "a part of it is corrected".to_owned(),
            Self::Move { size } => format!("it goes into a {} vessel", size.show(units)),
            Self::Divide { vessels, .. } => format!("it is shared out over {vessels} vessels"),
        }
    }
}

impl InPart {
    /// Whether what is corrected is weighed out of the mix: not all of it stands in one vessel.
    #[must_use]
    pub const fn is_of_parts(&self) -> bool {
        matches!(self.way, Way::Keep { .. } | Way::Divide { .. })
    }

    /// Why not all of it, and that there is a way.
    pub(super) fn begin(&self, units: Units) -> Vec<String> {
        let not = match self.way {
            Way::Keep { .. } => "NOT ALL OF IT CAN BE CORRECTED",
            Way::Move { .. } => "NOT IN THIS VESSEL",
            Way::Divide { .. } => "NOT IN ONE VESSEL",
        };
        let provided =
            self.provided.as_ref().map_or_else(String::new, |provided| format!(", {provided}"));
        let way = self.way.words(units);
        vec![format!("{not}: {}.", self.why), format!("THERE IS A WAY{provided}: {way}.")]
    }

    /// Why not all of it, and of what the rest is told, where that is no way; `not` begins the sentence.
    pub(super) fn begin_beside(&self, not: &str) -> Vec<String> {
        let of = match &self.way {
            Way::Keep { .. } => "a part of it",
            Way::Move { .. } => "all of it in a larger vessel",
            Way::Divide { .. } => "each half of it in a vessel of its own",
        };
        let why = &self.why;
        vec![format!("{not} as it stands: {why}. What stands below is for {of}.")]
    }

    /// The heading and the line before what is added, and the heading of that.
    pub(super) fn before_adding(&self, units: Units) -> [String; 3] {
        match &self.way {
            Way::Keep { mass, scale, readability, thrown, set_aside, .. } => [
                "KEEP".to_owned(),
                format!(
                    "{} of it ({scale}), well mixed; {} the other {}.",
                    mass.show_weighed(*readability),
                    if *set_aside { "set aside" } else { "throw away" },
                    thrown.show(units),
                ),
                "ADD TO THAT".to_owned(),
            ],
            Way::Move { size } => [
                "MOVE".to_owned(),
                format!(
                    "all of it into a {} vessel, the house's smallest that holds it.",
                    size.show(units)
                ),
                "ADD".to_owned(),
            ],
            Way::Divide { vessels, each, scale, readability } => [
                "SHARE OUT".to_owned(),
                format!(
                    "{} of it ({scale}), well mixed, into one of {vessels} vessels, the rest into the other.",
                    each.show_weighed(*readability),
                ),
                "ADD TO EACH".to_owned(),
            ],
        }
    }

    /// What is told after all else, in a sentence.
    pub(super) fn at_last(&self) -> Option<String> {
        match &self.way {
            Way::Keep { left, .. } => Some(format!("Keep no more than that; {left}.")),
            Way::Move { .. } => None,
            Way::Divide { .. } => Some(
                "What is added and what it becomes is told for one vessel; costs, what is left of what is bought, and the clock are of both."
                    .to_owned(),
            ),
        }
    }
}

/// That the clock refuses what is told, as it refuses the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Late {
    /// How late, in a sentence without a full stop.
    pub why: String,
    /// The job.
    pub job: String,
    /// The base.
    pub base: String,
    /// The clock of its latest mix in the plan.
    pub planned: MixClock,
    /// Part A or part B, in words, and its weight, that brings A : B right and no more than that; none where it is right,
    /// or where not all of it is corrected in one vessel.
    pub for_ratio: Option<String>,
    /// What becomes of what is not poured, in a sentence without a full stop.
    pub left: String,
}

impl Late {
    /// That it is too late, and the plan too; and what makes it cure all the same. `foreign`: it is mixed anew in any case.
    pub(super) fn begin(&self, foreign: bool) -> Vec<String> {
        let Self { why, job, base, planned, .. } = self;
        if foreign {
            return vec![format!("This one is too late, too: {why}.")];
        }
        let late = [format!("TOO LATE: {why}."), plan_is_late_words(planned, job, base)];
        let for_ratio = self.for_ratio.iter().map(|part| {
            format!("Whatever its colour, it cures once A : B is right: for that alone add {part}, by arithmetic.")
        });
        late.into_iter().chain(for_ratio).collect()
    }

    /// What is told after all else, in a sentence; `left_is_told`: what becomes of what is not used stands there already.
    pub(super) fn at_last(&self, left_is_told: bool) -> String {
        let left = if left_is_told { String::new() } else { format!("; {}", self.left) };
        format!("Pour what you can while it runs as thin as it did, and no more of it{left}.")
    }
}

/// That a job's plan is late with a base, by the clock of its latest mix, in two sentences.
#[must_use]
pub fn plan_is_late_words(latest: &MixClock, job: &str, base: &str) -> String {
    let late = WholeMinutes::of(latest).late(latest.late_by_s.unwrap_or_default());
    format!(
        "THE PLAN ITSELF TAKES LONGER than the pot life: {base} of {job} by {late}. Mixed anew it would fare no better; `pourbook plan` says what would bring the plan into time."
    )
}

/// The way for machines.
pub(super) fn in_part_json(told: &InPart) -> Value {
    let (keep, share_out, move_into_ml) = match &told.way {
        Way::Keep { mass, scale, readability, thrown, set_aside, left } => (
            json!({
                "mass_g": mass.g(),
                "readability_g": readability.g(),
                "scale": scale,
                "not_kept_g": thrown.g(),
                "set_aside": set_aside,
                "not_kept": left,
            }),
            Value::Null,
            None,
        ),
        Way::Move { size } => (Value::Null, Value::Null, Some(size.ml())),
        Way::Divide { vessels, each, scale, readability } => (
            Value::Null,
            json!({
                "vessels": vessels,
                "each_g": each.g(),
                "readability_g": readability.g(),
                "scale": scale,
            }),
            None,
        ),
    };
    json!({
        "why": told.why,
        "provided": told.provided,
        "keep": keep,
        "share_out": share_out,
        "move_into_ml": move_into_ml,
    })
}

/// The clock's refusal for machines.
pub(super) fn late_json(late: &Late, rests_on: &[String]) -> Value {
    json!({
        "why": late.why,
        "planned_late_min": late.planned.late_by_s.map(|late_s| seconds_f64(late_s) / 60.0),
        "for_ratio": late.for_ratio,
        "not_poured": late.left,
        "rests_on": rests_on,
    })
}
