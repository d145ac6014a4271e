//! A mix shared out over two vessels, where all of it would grow too large in one as it is completed.

use super::vessel::VesselAsked;
use super::{CorrectAsk, Correction, Planned, Uncorrected, correct};
use crate::plan::{Plan, fineness};
use crate::quantity::Mass;

/// A mix in two like parts, and what to add to each.
#[derive(Debug, Clone, PartialEq)]
pub struct Divided {
    /// Over how many vessels.
    pub vessels: usize,
    /// What is poured into each, a whole number of steps.
    pub each: Mass,
    /// The scale that it is weighed on.
    pub scale: String,
    /// Its step.
    pub readability: Mass,
    /// What is added to each, with the clock of them all.
    pub correction: Correction,
}

/// Over so many vessels a mix is shared out at most: more are not corrected in time.
const VESSELS: usize = 2;

/// Two vessels with half of a mix each, both completed: nothing is thrown away, so that this is sought only of what is
/// unfinished, not of what is overdosed. `planned` is the job's plan and the base: where a mix stands in a vessel of the
/// plan's, each half goes into the one that the plan has for so much.
///
/// # Errors
/// [`Uncorrected`]: that of a half; [`Uncorrected::NotWeighable`] where it would be no completion.
pub fn divide(
    ask: &CorrectAsk<'_>,
    planned: Option<(&Plan, &str)>,
) -> Result<Divided, Uncorrected> {
    let all = ask.held.mass();
    #[expect(clippy::cast_precision_loss, reason = "counts of vessels are small")]
    let share = all * (1.0 / VESSELS as f64);
    let by = fineness(ask.house, share, share, Mass::ZERO).ok_or(Uncorrected::NotWeighable)?;
    let step = by.readability.g();
    let each = Mass::from_g((share.g() / step).round() * step);
    let mut half = ask.clone();
    half.held = ask.held.part(each / all);
    if let Some(clock) = &mut half.clock {
        clock.stood = clock.stood.greater(all);
        clock.vessels = VESSELS;
    }
    if let (VesselAsked::Planned(_), Some((plan, base))) = (half.vessel, planned)
        && let Some(own) = Planned::nearest(plan, base, &half.held)
    {
        half.vessel = VesselAsked::Planned(own.mix.vessel);
    }
    let correction = correct(&half)?;
    if !correction.completes {
        return Err(Uncorrected::NotWeighable);
    }
    let (scale, readability) = (by.scale, by.readability);
    Ok(Divided { vessels: VESSELS, each, scale, readability, correction })
}
