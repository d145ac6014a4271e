//! How a mix is as it stands, for whoever has no time to correct it: how far it is off, and whether it can be poured so.

use super::vessel::{stands, volume_of};
use super::{Bench, CorrectAsk, Eyes, InTime, RATIO_WITHIN, Uncorrected};

/// A mix to which nothing is added.
#[derive(Debug, Clone, PartialEq)]
pub struct AsItStands {
    /// How far off its colour is: lamps' weighted root mean square ΔE00.
    pub error: f64,
    /// Its clock, where it can be poured as it is: its A : B is within what weighing may leave open, every ceiling is kept, and
    /// it is in time. `None` where it cannot, or no clock runs.
    pub poured: Option<InTime>,
}

/// How a mix is as it stands.
///
/// # Errors
/// [`Uncorrected`]: an ask that makes no sense.
pub fn as_it_stands(ask: &CorrectAsk<'_>) -> Result<AsItStands, Uncorrected> {
    let bench = Bench::of(ask)?;
    let Eyes { aims, sight, .. } = bench.eyes()?;
    let least = bench.least(&sight, &aims, None);
    let nothing = vec![0.0; least.kinds.len()];
    let cures = bench.ratio_error(0.0, 0.0) <= RATIO_WITHIN && least.allowed(&nothing);
    let volume = volume_of(ask, bench.resin_held(), &ask.held.colorants);
    let in_time = stands(ask, (ask.held.mass(), volume), (0, 0)).ok();
    let poured = in_time.and_then(|(_, in_time)| in_time).filter(|_| cures);
    Ok(AsItStands { error: least.colour_error(&nothing), poured })
}
