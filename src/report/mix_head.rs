//! What stands over every correction, by colour or by proportion alone: which mix it is and what is known of it.

use serde_json::{Value, json};

use super::correct_beside::{
    CorrectBeside, MixOfJob, beside_json, beside_words, moved_vessel_words, short_to_correct_words,
    vessel_json, vessel_words,
};
use super::correct_clock::{clock_words, little_spare_words};
use super::correct_first_vessel::{FirstVessel, first_vessel_json, first_vessel_words};
use super::correct_refusal::Refusal;
use super::correct_way::{InPart, Late, Way, in_part_json, late_json};
use super::page::{Page, WIDTH};
use crate::matching::{InTime, InVessel, VesselAsked};
use crate::quantity::{Mass, Units};

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
    /// What of it is still in the vessel, where some has been poured.
    pub left: Option<Mass>,
    /// Whether it is the recipe as nearly as the shop's scales weigh it, less what stays on the wall of a first vessel.
    pub as_weighed: bool,
    /// What the stated weights look like a slip of, in sentences.
    pub suspicions: Vec<String>,
    /// That more is stated than its vessel holds; none where it goes in.
    pub overfull: Option<String>,
    /// That it holds what its recipe does not and nothing takes out again, and what to do, in sentences; empty where it can
    /// be made the recipe's colour.
    pub foreign: Vec<String>,
    /// Ceilings that a job raises, with its reasons.
    pub raised: Vec<String>,
    /// What is done instead where all of it cannot be corrected in one vessel.
    pub in_part: Option<InPart>,
    /// That the clock refuses it, as it refuses the job's plan.
    pub late: Option<Late>,
    /// That there is no correction, not of a part of it either; none where there is one.
    pub refusal: Option<Refusal>,
    /// That the job that is named cannot be planned, and why.
    pub unplanned: Option<String>,
    /// In which of its two vessels it is taken to stand; none where that moves nothing that is added.
    pub first_vessel: Option<FirstVessel>,
    /// That its parts are stated as they are weighed into the first, though it is tinted; none where that is no matter.
    pub as_weighed_first: Option<String>,
    /// That it is less than its job needs though nothing is added, and how that is made good; none where it is enough.
    pub too_little: Option<String>,
    /// That B has met A and no clock was reckoned; none where one was, or where there is no B.
    pub clock_left_out: Option<String>,
    /// What its clock reckons with, in words; empty where B has not met A.
    pub clock_rests_on: Vec<String>,
    /// The vessel that it is taken to stand in, as it was asked for.
    pub vessel: VesselAsked,
    /// The mix of the job's plan that it is taken for; none where no job is named, or it has no plan.
    pub job: Option<MixOfJob>,
    /// What the correction is held against; none where nothing is added.
    pub beside: Option<CorrectBeside>,
}

/// That nothing is missing of such a mix.
pub(super) const AS_WEIGHED: &str = "Nothing: it is the recipe as nearly as the scales weigh it, less what stays in its first vessel.";

impl MixHead {
    /// What it is, and what comes before its colour; `how` is added to the title.
    pub(super) fn begin(&self, page: &mut Page, how: &str, clock: Option<&InTime>, units: Units) {
        let title = format!("Correction of {} of {}{how}", self.base, self.colourway);
        for line in textwrap::wrap(&title, WIDTH) {
            page.title(&line);
        }
        // Before any order to add or to throw away: it may be all that is wrong.
        if let Some(words) = &self.overfull {
            page.line(0, words);
        }
        // Of amounts that cannot be nothing else is told first.
        let (first, then) = match self.refusal.as_ref().and_then(Refusal::cannot_be) {
            Some(_) => (self.why_not(units), Vec::new()),
            None => (Vec::new(), self.why_not(units)),
        };
        for words in &first {
            page.line(0, words);
        }
        for words in &self.suspicions {
            page.hang(0, "SUSPECTED: ", words);
        }
        for words in &self.foreign {
            page.line(0, words);
        }
        for words in &then {
            page.line(0, words);
        }
        // The headline of a way has it already.
        let provided = self.in_part.is_some() && self.late.is_none() && self.foreign.is_empty();
        let beside = self.beside.as_ref().filter(|_| !provided);
        let short = beside.and_then(|beside| short_to_correct_words(beside, units));
        let spare = clock.and_then(little_spare_words);
        for words in [short, spare].iter().flatten().chain(&self.too_little) {
            page.line(0, words);
        }
        for words in self.clock_left_out.iter().chain(&self.unplanned).chain(&self.ratio) {
            page.line(0, words);
        }
    }

    /// Why it is not corrected all as it stands: one headline, and what else there is to it.
    fn why_not(&self, units: Units) -> Vec<String> {
        let foreign = !self.foreign.is_empty();
        let beside = match (foreign, &self.overfull) {
            (true, _) => Some("It does not serve for another colour either"),
            (false, Some(_)) => Some("Nor is it corrected as stated"),
            (false, None) => None,
        };
        let refused = self.refusal.iter().flat_map(|refusal| refusal.begin(beside));
        let late = self.late.iter().flat_map(|late| late.begin(foreign));
        // What is too late, or not its colour, is no way.
        let part = self.in_part.iter().flat_map(|part| match (&self.late, foreign) {
            (None, false) => part.begin(units),
            (_, true) => part.begin_beside("All of it is not brought to cure"),
            (Some(_), false) => part.begin_beside("Nor is all of it corrected"),
        });
        refused.chain(late).chain(part).collect()
    }

    /// That what is corrected grows.
    pub(super) const fn grows(&self) -> &'static str {
        match &self.in_part {
            None | Some(InPart { way: Way::Move { .. }, .. }) => "The mix grows",
            Some(InPart { way: Way::Keep { .. }, .. }) => "What is kept grows",
            Some(InPart { way: Way::Divide { .. }, .. }) => "Each grows",
        }
    }

    /// Whether a check refuses to correct all of it as it stands, or it cannot be as stated.
    #[must_use]
    pub const fn is_refused(&self) -> bool {
        self.in_part.is_some()
            || self.late.is_some()
            || self.refusal.is_some()
            || self.overfull.is_some()
            || !self.foreign.is_empty()
    }

    /// The heading of what is added, and before it what is done with the mix first.
    pub(super) fn head_additions(&self, page: &mut Page, units: Units) {
        let all_the_same = if self.late.is_some() { ", IF IT IS TRIED ALL THE SAME" } else { "" };
        let Some(in_part) = &self.in_part else {
            page.heading(&format!("ADD{all_the_same}"));
            return;
        };
        let [first, how, add] = in_part.before_adding(units);
        page.heading(&format!("{first}{all_the_same}"));
        page.line(2, &how);
        page.heading(&add);
    }

    /// What comes after all else of what is added.
    pub(super) fn tell_at_last(&self, page: &mut Page) {
        let kept = matches!(self.in_part, Some(InPart { way: Way::Keep { .. }, .. }));
        let late = self.late.iter().map(|late| late.at_last(kept));
        for words in self.in_part.iter().filter_map(InPart::at_last).chain(late) {
            page.line(2, &words);
        }
    }

    /// In which of its two vessels it is taken to stand.
    pub(super) fn tell_first_vessel(&self, page: &mut Page, units: Units) {
        if let Some(told) = &self.first_vessel {
            page.line(2, &first_vessel_words(told, units));
        }
        if let Some(words) = &self.as_weighed_first {
            page.line(2, words);
        }
    }

    /// What is told of it for machines, beside what is added: why a check refuses it, and what is done all the same.
    pub(super) fn ways_json(&self) -> Value {
        json!({
            "refused": self.is_refused(),
            "cannot_be": self.overfull.clone().or_else(|| self.refusal.as_ref()?.cannot_be()),
            "not_its_colour": self.foreign,
            "in_part": self.in_part.as_ref().map(in_part_json),
            "refusal": self.refusal.as_ref().map(Refusal::json),
            "late": self.late.as_ref().map(|late| late_json(late, &self.clock_rests_on)),
            "not_planned": self.unplanned,
            "first_vessel": self.first_vessel.as_ref().map(first_vessel_json),
            "taken": self.taken,
            "left_g": self.left.map(Mass::g),
            "too_little": self.too_little,
            "as_weighed_first": self.as_weighed_first,
        })
    }

    /// What the correction is held against.
    pub(super) fn tell_beside(&self, page: &mut Page, units: Units) {
        for words in self
            .beside
            .iter()
            .flat_map(|beside| beside_words(beside, self.in_part.is_some(), units))
        {
            page.line(2, &words);
        }
    }

    /// The vessel that it stands in.
    pub(super) fn tell_vessel(&self, page: &mut Page, vessel: Option<&InVessel>, units: Units) {
        let moved = matches!(self.in_part, Some(InPart { way: Way::Move { .. }, .. }));
        let named = self.job.is_some() || self.unplanned.is_some();
        page.line(
            2,
            &match vessel.filter(|_| moved) {
                Some(vessel) => moved_vessel_words(vessel, units),
                None => vessel_words(vessel, self.vessel, self.job.as_ref(), named, units),
            },
        );
    }

    /// Both for machines: the vessel, and what the correction is held against.
    pub(super) fn stands_json(&self, vessel: Option<&InVessel>) -> [Value; 2] {
        [json!(vessel.map(vessel_json)), json!(self.beside.as_ref().map(beside_json))]
    }

    /// What its clock reckons with, where it has one.
    pub(super) fn tell_clock(&self, page: &mut Page, clock: Option<&InTime>) {
        for words in clock.map(clock_words).iter() {
            page.line(2, words);
        }
        let reckoned = clock.is_some() || self.late.is_some();
        for words in self.clock_rests_on.iter().filter(|_| reckoned) {
            page.line(2, words);
        }
    }

    /// What it is taken to hold, under a heading of its own: what was typed is known, and comes when what is to be done
    /// has been read.
    pub(super) fn tell_reckoned_from(&self, page: &mut Page) {
        page.heading("RECKONED FROM");
        self.tell_held(page, 2);
    }

    /// What it is taken to hold.
    pub(super) fn tell_held(&self, page: &mut Page, indent: usize) {
        for words in self.taken.iter().chain(&self.raised) {
            page.line(indent, words);
        }
    }
}
