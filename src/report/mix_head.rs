//! What stands over every correction, by colour or by proportion alone: which mix it is and what is known of it.

use serde_json::{Value, json};

use super::correct_beside::{
    CorrectBeside, MixOfJob, beside_json, beside_words, vessel_json, vessel_words,
};
use super::page::Page;
use crate::matching::InVessel;
use crate::quantity::Units;

/// A mix that went wrong, as it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct MixHead {
    /// The colourway's name.
    pub colourway: String,
    /// The base.
    pub base: String,
    /// How far A : B is off as it stands, and after where that is known; none where weighing may leave it so.
    pub ratio: Option<String>,
    /// What is taken to be in the vessel, and what not.
    pub taken: Vec<String>,
    /// Whether it is the recipe as nearly as the shop's scales weigh it, less what stays on the wall of a first vessel.
    pub as_weighed: bool,
    /// What the stated weights look like a slip of, in sentences.
    pub suspicions: Vec<String>,
    /// Ceilings that a job raises, with its reasons.
    pub raised: Vec<String>,
    /// That B has met A and no clock was reckoned; none where one was, or where there is no B.
    pub clock_left_out: Option<String>,
    /// What its clock reckons with, in words; empty where B has not met A.
    pub clock_rests_on: Vec<String>,
    /// The mix of the job's plan that it is taken for; none where no job is named, or it has no plan.
    pub job: Option<MixOfJob>,
    /// What the correction is held against; none where nothing is added.
    pub beside: Option<CorrectBeside>,
}

/// That nothing is missing of such a mix.
pub(super) const AS_WEIGHED: &str = "Nothing: it is the recipe as nearly as the scales weigh it, less what stays in its first vessel.";

impl MixHead {
    /// What it is, and what comes before its colour; `how` is added to the title.
    pub(super) fn begin(&self, page: &mut Page, how: &str) {
        page.title(&format!("Correction of {} of {}{how}", self.base, self.colourway));
        for words in self.clock_left_out.iter().chain(&self.ratio) {
            page.line(0, words);
        }
    }

    /// What the correction is held against.
    pub(super) fn tell_beside(&self, page: &mut Page, units: Units) {
        for words in self.beside.iter().flat_map(|beside| beside_words(beside, false, units)) {
            page.line(2, &words);
        }
    }

    /// The vessel that it stands in.
    pub(super) fn tell_vessel(&self, page: &mut Page, vessel: Option<&InVessel>, units: Units) {
        page.line(2, &vessel_words(vessel, self.job.as_ref(), units));
    }

    /// Both for machines: the vessel, and what the correction is held against.
    pub(super) fn stands_json(&self, vessel: Option<&InVessel>) -> [Value; 2] {
        [json!(vessel.map(vessel_json)), json!(self.beside.as_ref().map(beside_json))]
    }

    /// What it is taken to hold, and what that looks like.
    pub(super) fn tell_held(&self, page: &mut Page) {
        for words in self.taken.iter().chain(&self.raised) {
            page.line(0, words);
        }
        for words in &self.suspicions {
            page.hang(0, "SUSPECTED: ", words);
        }
    }
}
