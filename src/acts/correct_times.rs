//! What the clock of a correction reckons with: stated, planned or assumed.

use super::correct::CorrectionAsk;
use crate::model::House;
use crate::plan::Plan;
use crate::plan::run_sheet::{MixClock, Step};
use crate::quantity::{Temperature, TimeSpan, Units};

/// What the clock reckons with.
pub(super) struct Times {
    pub(super) temperature: Temperature,
    pub(super) until_poured: TimeSpan,
    /// Both in words, with who says so.
    pub(super) words: Vec<String>,
}

/// From the corrected mix to its last pour where nothing states it, min.
const POUR_MIN: f64 = 5.0;

/// What is stated; else what the job's plan says; else what is assumed.
pub(super) fn times(units: Units, ask: &CorrectionAsk, plan: Option<&Plan>, base: &str) -> Times {
    let planned_room = plan.map(|plan| plan.conditions.room);
    let planned_pour = plan.and_then(|plan| pour_of(plan, base));
    let job = plan.map_or("", |plan| plan.job.as_str());
    let or_job = if ask.job.is_some() { "" } else { ", or --job" };
    let option = |stated: bool, option: &str| {
        if stated { "stated".to_owned() } else { format!("ASSUMED; {option}{or_job}") }
    };
    let (temperature, room) = match (ask.temperature, planned_room) {
        (None, Some(room)) => (room, format!("{job}; --temperature")),
        (stated, _) => {
            (stated.unwrap_or(House::USUAL_ROOM), option(stated.is_some(), "--temperature"))
        }
    };
    let (until_poured, pour) = match (ask.until_poured, planned_pour) {
        (None, Some(pour)) => (pour, format!("as in the plan of {job}; --until-poured")),
        (stated, _) => (
            stated.unwrap_or(TimeSpan::from_min(POUR_MIN)),
            option(stated.is_some(), "--until-poured"),
        ),
    };
    let mut words = vec![format!(
        "Reckoned with a room of {} ({room}) and {} from the corrected mix to its last pour ({pour}).",
        House::room_words(temperature, units),
        until_poured.show(units),
    )];
    if plan.is_some()
        && let Some(job) = &ask.job
        && planned_pour.is_none()
        && ask.until_poured.is_none()
    {
        words.push(format!("The plan of {job} has no clock for {base}."));
    }
    Times { temperature, until_poured, words }
}

/// The clock of the mix of this base that is the latest in the plan; none where all are in time by it.
pub(super) fn planned_late(plan: &Plan, base: &str) -> Option<MixClock> {
    let sheet = plan.time.as_ref().ok()?;
    let clocks = sheet.mixes.iter().zip(&sheet.clocks).filter(|(mix, _)| mix.name == base);
    let late = clocks.map(|(_, clock)| clock).filter(|clock| clock.late_by_s.is_some());
    late.max_by_key(|clock| clock.late_by_s).copied()
}

/// From a mix of this base that is ready to its last pour, as planned: the longest of its mixes.
fn pour_of(plan: &Plan, base: &str) -> Option<TimeSpan> {
    let sheet = plan.time.as_ref().ok()?;
    let of_base = |at: &usize| sheet.mixes.get(*at).is_some_and(|mix| mix.name == base);
    let seconds = (0..sheet.clocks.len()).filter(of_base).filter_map(|at| {
        let (poured_s, _) = sheet.clocks[at].last_pour?;
        let ready = sheet.lines.iter().filter(|line| match line.step {
            Step::Mix { mix }
            | Step::SecondVessel { mix }
            | Step::Split { mix }
            | Step::Tint { mix } => mix == at,
            _ => false,
        });
        Some(poured_s - ready.map(|line| line.end_s).max()?)
    });
    #[expect(clippy::cast_precision_loss, reason = "seconds of a day's work")]
    seconds.max().map(|seconds| TimeSpan::from_s(seconds.max(0) as f64))
}
