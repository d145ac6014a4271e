//! What the clock of a correction reckons with: stated, planned or assumed.

use super::correct::CorrectionAsk;
use crate::matching::{Clock, Course, LastPour, Lasts, Planned};
use crate::model::House;
use crate::plan::Plan;
use crate::plan::run_sheet::{MixClock, Step};
use crate::quantity::{Temperature, TimeSpan, Units};
use crate::report::correct_clock::course_words;

/// What the clock reckons with.
pub(super) struct Times {
    /// The room's.
    pub(super) temperature: Temperature,
    /// Parts A and B as they met.
    pub(super) parts: Temperature,
    pub(super) last_pour: LastPour,
    /// All in words, with who says so.
    pub(super) words: Vec<String>,
}

/// From the corrected mix to its last pour where nothing states it, min.
const POUR_MIN: f64 = 5.0;

/// What is stated; else what the job's plan says of the mix that it is taken for; else what is assumed.
pub(super) fn times(
    units: Units,
    ask: &CorrectionAsk,
    plan: Option<&Plan>,
    planned: Option<&Planned<'_>>,
) -> Times {
    let or_job = if ask.job.is_some() { "" } else { ", or --job" };
    let option = |stated: bool, option: &str| {
        if stated { "stated".to_owned() } else { format!("ASSUMED; {option}{or_job}") }
    };
    let (temperature, parts, room) = match (ask.temperature, plan) {
        (None, Some(plan)) => {
            let room = format!("{}; --temperature", plan.job);
            (plan.conditions.room, plan.conditions.parts, room)
        }
        (stated, _) => {
            let room = stated.unwrap_or(House::USUAL_ROOM);
            (room, room, option(stated.is_some(), "--temperature"))
        }
    };
    let room = format!("a room of {} ({room})", House::room_words(temperature, units));
    let courses = planned.filter(|_| ask.until_poured.is_none()).map_or_else(Vec::new, |planned| {
        let numbers = planned.numbers.iter();
        numbers.filter_map(|number| course(planned, *number, ask.temperature.is_none())).collect()
    });
    let (last_pour, words) = match (courses.is_empty(), planned) {
        (false, Some(planned)) => {
            let words = course_words(&courses, &planned.plan.job, ask.left.is_some());
            (LastPour::Planned(courses), vec![format!("Reckoned with {room}. {words}")])
        }
        _ => {
            let until = ask.until_poured.unwrap_or(TimeSpan::from_min(POUR_MIN));
            let pour = option(ask.until_poured.is_some(), "--until-poured");
            let words = format!(
                "Reckoned with {room} and {} from the corrected mix to its last pour ({pour}).",
                until.show(units)
            );
            (LastPour::After(until), vec![words])
        }
    };
    let no_clock = matches!(last_pour, LastPour::After(_)) && ask.until_poured.is_none();
    let no_clock = plan
        .filter(|_| no_clock)
        .map(|plan| format!("The plan of {} has no clock for {}.", plan.job, ask.base));
    Times { temperature, parts, last_pour, words: words.into_iter().chain(no_clock).collect() }
}

/// The course of the mix of the planned base with this number; none where the plan has no clock for it. `its_room`: it is
/// reckoned with the plan's room.
fn course(planned: &Planned<'_>, number: u32, its_room: bool) -> Option<Course> {
    let Planned { plan, mix, .. } = planned;
    let sheet = plan.time.as_ref().ok()?;
    let base = planned.base()?;
    let part = usize::try_from(number).ok()?;
    let at = sheet.mixes.iter().position(|mix| mix.name == base.name && mix.part.0 == part)?;
    let clock = sheet.clocks.get(at)?;
    // Without containers each mix is poured as it is.
    let fills = plan.fills.iter().find(|fills| fills.base == base.name && fills.mix == number);
    let batches: Vec<usize> = fills.map_or_else(
        || vec![at],
        |fills| {
            let containers = fills.containers().into_iter();
            containers.filter_map(|one| usize::try_from(one).ok()?.checked_sub(1)).collect()
        },
    );
    let makes_ready = |step: &Step| match step {
        Step::Mix { mix }
        | Step::SecondVessel { mix }
        | Step::Split { mix }
        | Step::Tint { mix } => *mix == at,
        _ => false,
    };
    let takes = |step: &Step| match step {
        Step::Decant { batch } | Step::Pour { batch } => batches.contains(batch),
        _ => false,
    };
    let ready = sheet.lines.iter().filter(|line| makes_ready(&line.step)).map(|line| line.end_s);
    let first = sheet.lines.iter().filter(|line| takes(&line.step)).map(|line| line.start_s);
    let (last_s, _) = clock.last_pour?;
    let [ready, first, last] = [ready.max()?, first.min()?, last_s].map(|at_s| {
        #[expect(clippy::cast_precision_loss, reason = "seconds of a day's work")]
        TimeSpan::from_s((at_s - clock.start_s).max(0) as f64)
    });
    let lasts =
        Lasts { mass: mix.mass() + planned.within(), vessel: mix.vessel, pot_life: clock.pot_life };
    let name =
        if base.number() == 1 { base.name.clone() } else { format!("{} {number}", base.name) };
    let hot = its_room && sheet.is_hot(at);
    Some(Course { mix: name, ready, first, last, lasts: its_room.then_some(lasts), hot })
}

/// Whether a mix is so old that some of it has been poured, where it is on the schedule of its job's plan.
pub(super) fn pour_has_begun(clock: Option<&Clock>) -> bool {
    clock.is_some_and(|clock| match &clock.last_pour {
        LastPour::Planned(courses) => courses.iter().any(|course| course.first < clock.age),
        LastPour::After(_) => false,
    })
}

/// The clock of the mix of this base that is the latest in the plan; none where all are in time by it.
pub(super) fn planned_late(plan: &Plan, base: &str) -> Option<MixClock> {
    let sheet = plan.time.as_ref().ok()?;
    let clocks = sheet.mixes.iter().zip(&sheet.clocks).filter(|(mix, _)| mix.name == base);
    let late = clocks.map(|(_, clock)| clock).filter(|clock| clock.late_by_s.is_some());
    late.max_by_key(|clock| clock.late_by_s).copied()
}
