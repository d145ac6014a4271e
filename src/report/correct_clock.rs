//! The clock of a corrected mix in words.

use serde_json::{Value, json};

use super::time_words::{clock, minutes};
use crate::matching::{Course, InTime, OnSchedule};
use crate::quantity::TimeSpan;
use crate::suggest::listed;

/// An age in minutes; a short one that is no whole number of them in seconds, as it was typed.
fn age_words(age: TimeSpan) -> String {
    let whole = (age.min() - age.min().round()).abs() < 1e-6;
    if whole || age.min() >= 10.0 {
        format!("{:.0} min", age.min())
    } else {
        format!("{:.0} s", age.s())
    }
}

/// How old a corrected mix is and what of its pot life is left, in a sentence or two.
#[must_use]
pub fn clock_words(clock: &InTime) -> String {
    let life = clock.pot_life.map_or_else(
        || "longer than a month".to_owned(),
        |life| match clock.range {
            Some((least, most)) => format!(
                "{:.0} min ({:.0}–{:.0}, estimated for the corrected mass)",
                life.min(),
                libm::floor(least.min()),
                libm::ceil(most.min())
            ),
            None => format!("{:.0} min, as its datasheet states it", life.min()),
        },
    );
    let let_downs = match clock.let_downs {
        0 => "",
        1 => "make the let-down, ",
        _ => "make the let-downs, ",
    };
    let corrects = clock.work.s() > 0.0;
    let needed = match (&clock.on_schedule, corrects) {
        (None, true) => {
            format!("{:.0} min are needed to {let_downs}weigh, stir and pour", clock.needed.min())
        }
        (None, false) => format!("{:.0} min are needed to pour", clock.needed.min()),
        (Some(_), _) => {
            let work = if corrects {
                format!(", the {} to {let_downs}weigh and stir counted", minutes(clock.work.s()))
            } else {
                String::new()
            };
            format!("by the plan its last pour ends {:.0} min from now{work}", clock.needed.min())
        }
    };
    let on_schedule = clock.on_schedule.as_ref().map_or_else(String::new, on_schedule_words);
    format!(
        "B met A {} ago; pot life {life}; {needed}: {}.{on_schedule}",
        age_words(clock.age),
        verdict_words(clock),
    )
}

/// Less than this to spare is told with the first words, s. (Common practice, no source.)
const LITTLE_SPARE_S: f64 = 120.0;

/// That a corrected mix has next to no time to spare, in a sentence; none where it has more.
pub(super) fn little_spare_words(clock: &InTime) -> Option<String> {
    let spare = clock.spare().filter(|spare| spare.s() < LITTLE_SPARE_S)?;
    Some(format!("ONLY {} TO SPARE, by the clock below.", minutes(spare.s())))
}

/// What it is only in time with, in sentences with a blank before each.
fn on_schedule_words(own: &OnSchedule) -> String {
    let stood = own.late_if_stood.map(|late| {
        format!(
            " That is if the other mixes were made meanwhile as planned; if work has stood still since it was tinted it is {} too late: then state with --until-poured the time that its pour still needs.",
            minutes(late.s())
        )
    });
    let late_as: Vec<String> = own
        .late_as
        .iter()
        .map(|(mix, late)| format!("as {mix} it is {} too late", minutes(late.s())))
        .collect();
    let late_as: Vec<&str> = late_as.iter().map(String::as_str).collect();
    let others = (!late_as.is_empty()).then(|| {
        format!(" That is as {}; {}: --mix says which it is.", own.mix, listed(&late_as, "and"))
    });
    stood.into_iter().chain(others).collect()
}

/// The schedule that a clock is counted by, for machines.
pub(super) fn on_schedule_json(own: &OnSchedule) -> Value {
    let late_as = own.late_as.iter();
    json!({
        "mix": own.mix,
        "late_if_work_stood_still_min": own.late_if_stood.map(TimeSpan::min),
        "late_as_min": late_as.map(|(mix, late)| (mix.clone(), json!(late.min())))
            .collect::<serde_json::Map<String, Value>>(),
    })
}

/// The course of a mix in a job's plan, and that its clock is counted by it, in sentences; `poured`: some of it has been poured.
#[must_use]
pub fn course_words(courses: &[Course], job: &str, poured: bool) -> String {
    let at = |age: TimeSpan| {
        #[expect(clippy::cast_possible_truncation, reason = "whole seconds of a day's work")]
        let seconds = age.s() as i64;
        clock(seconds)
    };
    let each: Vec<String> = courses
        .iter()
        .map(|course| {
            format!(
                "{} is tinted at {}, first drawn from at {} and all poured at {}",
                course.mix,
                at(course.ready),
                at(course.first),
                at(course.last)
            )
        })
        .collect();
    let due =
        if poured { "as much of it is poured as is by now" } else { "it is first drawn from" };
    format!(
        "By its own clock in the plan of {job} {}. Counted as on that schedule: by how much it is older now than when {due}, and what correcting it takes, comes on top; --until-poured states another time from the corrected mix to its last pour.",
        each.join("; ")
    )
}

/// Whether a corrected mix is in time, by the estimate and by the least of its pot life.
#[must_use]
pub fn verdict_words(clock: &InTime) -> String {
    let spare = clock.spare().map(|spare| minutes(spare.s()));
    match (spare, clock.late_by_shortest()) {
        (None, _) => "in time".to_owned(),
        (Some(spare), None) if clock.is_tight() => format!("tight: only {spare} to spare"),
        (Some(spare), None) => format!("in time, {spare} to spare"),
        (Some(spare), Some(late)) => format!(
            "tight: in time by the estimate, with {spare} to spare, but late by its shortest pot life: by {}; pour it only while it runs as thin as it did, else it is a left-over: outdoors, thin on foil while cool, no lid",
            minutes(late.s())
        ),
    }
}
