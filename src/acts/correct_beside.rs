//! What a correction is held against: its job's plan, mixing anew, and the vessels of the house.

use crate::matching::{self, CorrectAsk, Planned, Uncorrected, VesselAsked};
use crate::plan::Content;
use crate::quantity::{Mass, Units, Volume};
use crate::report::correct_beside::{CorrectBeside, MixOfJob};

/// The mix of the plan in a few words and its mass.
pub(super) fn mix_of_job(planned: &Planned<'_>) -> MixOfJob {
    MixOfJob { job: planned.plan.job.clone(), mix: planned.name.clone(), needs: planned.mix.mass() }
}

/// A correction that adds so much, and becomes so much, held against all.
pub(super) fn beside(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    added: Content,
    after: Mass,
) -> CorrectBeside {
    let anew = matching::beside_anew(ask, added, after);
    let supplies = planned.map(|planned| {
        [&anew.correction, &anew.anew]
            .map(|worth| planned.supply(ask.limits.system, &ask.held, &worth.content))
    });
    CorrectBeside { job: planned.map(mix_of_job), after, anew, supplies }
}

/// The house's smallest vessel that holds a mix that its own does not, and why the mix is not corrected in that either.
pub(super) struct Larger {
    size: Volume,
    why_not: Option<Uncorrected>,
}

impl Larger {
    /// For a mix that does not go into its vessel; `correct` tries it in another.
    pub(super) fn of(
        ask: &CorrectAsk<'_>,
        why: &Uncorrected,
        correct: impl Fn(&CorrectAsk<'_>) -> Result<(), Uncorrected>,
    ) -> Option<Self> {
        let Uncorrected::NoVessel { needed, .. } = why else { return None };
        let size = matching::smallest_vessel(ask.house, *needed)?;
        let moved = CorrectAsk { vessel: VesselAsked::Stated(size), ..ask.clone() };
        Some(Self { size, why_not: correct(&moved).err() })
    }

    /// Whether all of the mix can be corrected in it.
    pub(super) const fn serves(&self) -> bool {
        self.why_not.is_none()
    }

    /// What it is good for, in words.
    pub(super) fn words(&self, units: Units) -> String {
        let size = self.size.show(units);
        match &self.why_not {
            None => format!(
                "the house's smallest vessel that holds it is the {size} one: move it all over, and ask again with --vessel \"{size}\""
            ),
            Some(why) => format!("the house's {size} vessel would hold it, but: {why}"),
        }
    }
}
