//! How much of a mix is corrected: all of it; where that is refused, all of it in a larger vessel or in two, or a part;
//! and too late, where the job's plan is as late.

use crate::matching::{CorrectAsk, Divided, Kept, Uncorrected, Unmixed, VesselAsked};
use crate::quantity::Units;
use crate::report::correct_rows::not_used_words;
use crate::report::correct_way::{InPart, Way};

use super::correct_beside::Larger;
use super::correct_refusal::less_can_be;

/// What corrects all of a mix, each half of it, and a part of it.
pub(super) struct Means<'m, T> {
    pub(super) all: &'m dyn Fn(&CorrectAsk<'_>) -> Result<T, Uncorrected>,
    pub(super) halves: &'m dyn Fn(&CorrectAsk<'_>) -> Option<(Divided, T)>,
    pub(super) part: &'m dyn Fn(&CorrectAsk<'_>) -> Result<Kept<T>, Uncorrected>,
}

/// A correction, and of how much of the mix it is.
pub(super) struct Found<T> {
    pub(super) done: T,
    /// How much is corrected, where that is not all of it in one vessel.
    pub(super) in_part: Option<InPart>,
    /// Why the clock refuses it, where it is told all the same.
    pub(super) late: Option<Uncorrected>,
}

/// Why there is none.
pub(super) struct NotFound {
    pub(super) why: Uncorrected,
    /// Why there is none of a part either, where one was looked for.
    pub(super) part: Option<Uncorrected>,
    /// The vessel that all of it would go into.
    pub(super) larger: Option<Larger>,
}

impl NotFound {
    /// Why it is too late, where that is all that stands against it.
    fn too_late(&self) -> Option<&Uncorrected> {
        let of_larger = self.larger.as_ref().and_then(Larger::why_not);
        let all = [Some(&self.why), self.part.as_ref(), of_larger];
        all.into_iter().flatten().find(|why| matches!(why, Uncorrected::TooLate { .. }))
    }
}

/// The first of these that serves; where only the clock stands against it and `plan_is_late`, that all the same, as long as
/// its pot life is not over: a mix made anew would be as late.
pub(super) fn sought<T>(
    ask: &CorrectAsk<'_>,
    means: &Means<'_, T>,
    plan_is_late: bool,
    units: Units,
) -> Result<Found<T>, Box<NotFound>> {
    let not = match in_time(ask, means, units) {
        Ok(found) => return Ok(found),
        Err(not) => not,
    };
    // What has passed its pot life is poured no more, whatever the plan's clock says.
    let still_runs = |why: &&Uncorrected| matches!(why, Uncorrected::TooLate { left_min, .. } if *left_min > 0.0);
    let late = not.too_late().filter(|_| plan_is_late).filter(still_runs).cloned();
    let unclocked = CorrectAsk { clock: None, ..ask.clone() };
    match late.map(|late| (in_time(&unclocked, means, units), late)) {
        Some((Ok(found), late)) => Ok(Found { late: Some(late), ..found }),
        _ => Err(not),
    }
}

/// What could be done with a mix that is too large to be made up to the least mass that is asked for, were none asked for, in a
/// sentence without a full stop; none where nothing could, or none is asked for.
pub(super) fn without_least<T>(
    ask: &CorrectAsk<'_>,
    not: &NotFound,
    means: &Means<'_, T>,
    units: Units,
) -> Option<String> {
    ask.at_least.filter(|_| matches!(not.why, Uncorrected::TooLarge { .. }))?;
    let free = CorrectAsk { at_least: None, ..ask.clone() };
    let found = in_time(&free, means, units).ok()?;
    let all = || "all of it is corrected".to_owned();
    Some(found.in_part.map_or_else(all, |in_part| in_part.way.words(units)))
}

fn in_time<T>(
    ask: &CorrectAsk<'_>,
    means: &Means<'_, T>,
    units: Units,
) -> Result<Found<T>, Box<NotFound>> {
    let why = match (means.all)(ask) {
        Ok(done) => return Ok(Found { done, in_part: None, late: None }),
        Err(why) => why,
    };
    let larger = Larger::of(ask, &why, |ask| (means.all)(ask).map(drop));
    let told = |way, done| {
        let in_part = Some(InPart { why: why.to_string(), way, provided: None });
        Found { done, in_part, late: None }
    };
    if let Some(larger) = larger.as_ref().filter(|larger| larger.serves()) {
        let moved = CorrectAsk { vessel: VesselAsked::Smallest, ..ask.clone() };
        if let Ok(done) = (means.all)(&moved) {
            return Ok(told(Way::Move { size: larger.size() }, done));
        }
    }
    if !less_can_be(&why, larger.as_ref()) {
        return Err(Box::new(NotFound { why, part: None, larger }));
    }
    if let Some((divided, done)) = (means.halves)(ask) {
        let Divided { vessels, each, scale, readability, .. } = divided;
        return Ok(told(Way::Divide { vessels, each, scale, readability }, done));
    }
    match (means.part)(ask) {
        Ok(kept) => Ok(told(keep(&kept, units), kept.correction)),
        Err(part) => Err(Box::new(NotFound { why, part: Some(part), larger })),
    }
}

fn keep<T>(kept: &Kept<T>, units: Units) -> Way {
    let unmixed: Option<&Unmixed> = kept.unmixed.as_ref();
    Way::Keep {
        mass: kept.mass,
        scale: kept.scale.clone(),
        readability: kept.readability,
        thrown: kept.thrown,
        set_aside: unmixed.is_some(),
        left: not_used_words(unmixed, units),
    }
}
