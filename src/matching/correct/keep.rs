//! How much of a mix to keep, where all of it would grow too large as it is corrected.

use super::vessel::most_mixed;
use super::{
    Below, ByProportion, CorrectAsk, Correction, Held, Uncorrected, Unmixed, by_proportion,
    corrected,
};
use crate::plan::fineness;
use crate::quantity::Mass;

/// A part of a mix, and what to add to it: by its colour, or by proportion alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept<T = Correction> {
    /// What is kept, a whole number of steps.
    pub mass: Mass,
    /// What is not, and is thrown away.
    pub thrown: Mass,
    /// That what is not kept is part A without enough part B to gel, which is not thrown away; else none.
    pub unmixed: Option<Unmixed>,
    /// The scale that it is weighed on.
    pub scale: String,
    /// Its step.
    pub readability: Mass,
    /// What is added to that.
    pub correction: T,
}

impl<T> Kept<T> {
    /// The same with what is added told in another way.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Kept<U> {
        let Self { mass, thrown, unmixed, scale, readability, correction } = self;
        Kept { mass, thrown, unmixed, scale, readability, correction: change(correction) }
    }
}

/// What a part of a mix becomes.
trait Becomes {
    /// Its mass when it has been corrected.
    fn after(&self) -> Mass;
}

impl Becomes for Correction {
    fn after(&self) -> Mass {
        self.after
    }
}

impl Becomes for ByProportion {
    fn after(&self) -> Mass {
        self.after
    }
}

/// Tries to come below the limit, each a step smaller than proportion says.
const TRIES: u32 = 6;
/// Looks between what fits and what does not, each finer than the one before.
const SWEEPS: u32 = 2;
/// The part of what no scale weighs that is tried next: as near as the most is looked for.
const A_LITTLE_LESS: f64 = 0.99;
/// Where what is kept is less than this share of what it becomes, that is mixing anew with an old clock. (Common practice, no
/// source.)
const LEAST_KEPT: f64 = 0.2;
/// Amounts tried in a look.
const SWEPT: f64 = 10.0;

impl Held {
    /// This share of it, well mixed.
    #[must_use]
    pub fn part(&self, share: f64) -> Self {
        Self {
            part_a: self.part_a * share,
            part_b: self.part_b * share,
            colorants: self
                .colorants
                .iter()
                .map(|(name, mass)| (name.clone(), *mass * share))
                .collect(),
        }
    }
}

/// The most of a mix, to about a hundredth of it and to the scale's step, that is still no larger than the house mixes at
/// once, and goes into its vessel, when it has been corrected; where it is known how much is enough, no more than
/// becomes that.
///
/// # Errors
/// [`Uncorrected`]: that of the smallest part tried, where none can be corrected.
pub fn keep(ask: &CorrectAsk<'_>) -> Result<Kept, Uncorrected> {
    let least = kept_by(ask, |ask| corrected(ask, Below::MayShow))?;
    if !least.correction.hides_less() {
        return Ok(least);
    }
    // Less is kept of what has to hide.
    let hiding = kept_by(ask, |part| {
        corrected(part, Below::Hidden).and_then(|found| {
            if found.hides_less() { Err(Uncorrected::NotWeighable) } else { Ok(found) }
        })
    });
    Ok(hiding.unwrap_or(least))
}

/// The same, each part brought back by proportion alone: for a mix whose colour is not known.
///
/// # Errors
/// [`Uncorrected`]: that of the smallest part tried, where none can be restored.
pub fn keep_by_proportion(ask: &CorrectAsk<'_>) -> Result<Kept<ByProportion>, Uncorrected> {
    kept_by(ask, by_proportion)
}

/// The same, each part corrected by `correct`.
fn kept_by<T: Becomes>(
    ask: &CorrectAsk<'_>,
    correct: impl Fn(&CorrectAsk<'_>) -> Result<T, Uncorrected>,
) -> Result<Kept<T>, Uncorrected> {
    let all = ask.held.mass();
    let most = all.lesser(ask.house.largest_mix);
    let by = fineness(ask.house, most, most, Mass::ZERO).ok_or(Uncorrected::NotWeighable)?;
    let step = by.readability.g();
    let part = |steps: f64| {
        let mut ask = ask.clone();
        ask.held = ask.held.part(steps * step / all.g());
        if let Some(clock) = &mut ask.clock {
            clock.stood = clock.stood.greater(all);
        }
        correct(&ask)
    };
    let thrown = |steps: f64| (all - Mass::from_g(steps * step)).greater(Mass::ZERO);
    let kept = |steps: f64, correction: T| {
        let (mass, after) = (Mass::from_g(steps * step), correction.after());
        // One part alone has no clock yet.
        if mass < after * LEAST_KEPT && Unmixed::of(ask).is_none() {
            return Err(Uncorrected::LittleKept { kept_g: mass.g(), after_g: after.g() });
        }
        Ok(Kept {
            mass,
            thrown: thrown(steps),
            unmixed: Unmixed::of(ask).map(|unmixed| unmixed.share(thrown(steps) / all)),
            scale: by.scale.clone(),
            readability: by.readability,
            correction,
        })
    };
    let mut too_many = (all.g() / step).ceil();
    let mut why = match correct(ask) {
        Ok(correction) => {
            let (steps, found) = no_more_than_enough(ask, (too_many, correction), part);
            return kept(steps, found);
        }
        Err(why) => why,
    };
    for tried in 0..TRIES {
        // A mix grows by the same part of itself, however much of it there is.
        let share = match &why {
            // A little less may be weighed.
            Uncorrected::NotWeighable if tried > 0 => A_LITTLE_LESS,
            Uncorrected::TooLarge { grown_g, .. } => most_mixed(ask).g() / grown_g,
            Uncorrected::NoVessel { vessel, needed, .. } => vessel.holds / *needed,
            _ => break,
        };
        let steps = (too_many * share).floor().min(too_many - 1.0);
        if steps < 1.0 {
            break;
        }
        match part(steps) {
            Ok(found) => {
                let mut best = (steps, found);
                // What rounding to a scale's steps adds leaps, so the most that fits is looked for from above.
                for _ in 0..SWEEPS {
                    let stride = ((too_many - best.0) / SWEPT).max(1.0);
                    let mut steps = (too_many - stride).floor();
                    while steps > best.0 {
                        if let Ok(found) = part(steps) {
                            best = (steps, found);
                            break;
                        }
                        too_many = steps;
                        steps = (steps - stride).floor();
                    }
                }
                let (steps, found) = no_more_than_enough(ask, best, part);
                return kept(steps, found);
            }
            Err(too_large) => (too_many, why) = (steps, too_large),
        }
    }
    Err(why)
}

/// The least part found that still becomes as much as is enough, from one that becomes no less: less is added to it, and
/// it is poured sooner. The part given where it is not known how much is enough.
fn no_more_than_enough<T: Becomes>(
    ask: &CorrectAsk<'_>,
    mut best: (f64, T),
    part: impl Fn(f64) -> Result<T, Uncorrected>,
) -> (f64, T) {
    let Some(enough) = ask.enough else { return best };
    let enough = ask.at_least.map_or(enough, |least| enough.greater(least));
    let mut low = 0.0;
    for _ in 0..TRIES {
        // A mix grows by the same part of itself, however much of it there is, but for a scale's steps.
        let steps = (best.0 * (enough / best.1.after())).ceil().max(low + 1.0);
        if steps >= best.0 {
            break;
        }
        match part(steps) {
            Ok(found) if found.after() >= enough => best = (steps, found),
            _ => low = steps,
        }
    }
    best
}
