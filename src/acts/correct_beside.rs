//! What a correction is held against: its job's plan, mixing anew, and the vessels of the house.

use crate::matching::{
    self, ByProportion, CorrectAsk, Correction, Planned, Uncorrected, VesselAsked, Weighing,
};
use crate::plan::{Content, Material, first_vessel_keeps};
use crate::quantity::{Fraction, Mass, Units, Volume};
use crate::report::correct_beside::{CorrectBeside, MixOfJob};
use crate::report::correct_first_vessel::{FirstVessel, SheetWeights};
use crate::report::let_down_words;

/// The mix of the plan in a few words and its mass.
pub(super) fn mix_of_job(planned: &Planned<'_>) -> MixOfJob {
    MixOfJob {
        job: planned.plan.job.clone(),
        mix: planned.name.clone(),
        needs: planned.mix.mass(),
        within: planned.within(),
    }
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

/// The same of a mix in two vessels, of which each is added so much to, and becomes so much: mass and job are of one
/// vessel, costs and what is left of what the plan buys are of both.
pub(super) fn beside_of_two(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    added: Content,
    after: Mass,
) -> CorrectBeside {
    let mut both = added.clone();
    for (material, mass) in added.iter() {
        both.put(material.clone(), mass);
    }
    let ask = CorrectAsk { enough: ask.enough.map(|enough| enough * 2.0), ..ask.clone() };
    CorrectBeside { after, ..beside(&ask, planned, both, after * 2.0) }
}

/// In which of its two vessels a mix is taken to stand, where what stays in the first would move what is added by a step
/// of its scale. `planned` is the mix of the job's plan, `stated` part A and the colorants as they were typed.
pub(super) fn first_vessel(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    done: &Correction,
    stated: (Mass, &[Weighing]),
) -> Option<FirstVessel> {
    // Let-downs that are planned go into the first vessel.
    let is_first = |name: &str| ask.let_downs.contains_key(name);
    let tinted = ask.held.colorants.iter().any(|(name, mass)| mass.g() > 0.0 && !is_first(name));
    let held = ask.held.part_a + ask.held.part_b;
    let added = [done.part_a_in_all(), done.part_b.mass];
    // What is tinted already has moved without what is added.
    let moving = if tinted { held } else { held + added.into_iter().sum() };
    let content = moving / ask.limits.system.mixed_density();
    let keeps = ask.first_keeps.or_else(|| first_vessel_keeps(ask.house, content))?;
    let moves = |mass: Mass, step: Mass| mass * keeps >= step;
    let mut tints = done.doses.iter().filter(|dose| !is_first(&dose.colorant));
    let moved = if done.completes {
        tints.any(|dose| moves(dose.mass, dose.by.step))
    } else {
        // One part alone is a matter of the other.
        let both = [ask.held.part_a, ask.held.part_b, done.part_a.mass, done.part_b.mass];
        let parts = [&done.part_a, &done.part_b];
        tinted
            && both.iter().all(|mass| mass.g() > 0.0)
            && parts.iter().any(|part| moves(part.mass, part.readability))
    };
    moved.then(|| FirstVessel {
        keeps: Fraction::new(keeps),
        stays: moving * keeps,
        tinted,
        came_over: planned.is_some_and(|planned| has_come_over(ask, planned)),
        instead: instead(ask, stated, 1.0 - keeps),
        sheet: planned.filter(|_| done.completes).and_then(|planned| {
            sheet(ask, planned, done.doses.iter().map(|dose| dose.colorant.as_str()))
        }),
    })
}

/// Beyond a step of its scale a weight may miss another by so much and be the same. (Common practice, no source.)
const SAME_WITHIN: f64 = 0.005;

/// Whether parts A and B are what the plan says comes over into the second vessel of that mix, and nearer to that than to its
/// sheet.
fn has_come_over(ask: &CorrectAsk<'_>, planned: &Planned<'_>) -> bool {
    let held = [ask.held.part_a, ask.held.part_b];
    let steps = [planned.mix.part_a.readability, planned.mix.part_b.readability];
    let over = 1.0 - planned.mix.first_kept;
    planned.parts().into_iter().zip(held).zip(steps).all(|((planned, held), step)| {
        let [off, off_sheet] = [planned * over, planned].map(|mass| (held - mass).g().abs());
        off <= step.g().max(planned.g() * SAME_WITHIN) && off < off_sheet
    })
}

/// What is typed of what came over: parts A and B, and let-downs, which went into the first vessel, each as this share of what
/// was typed.
fn instead(
    ask: &CorrectAsk<'_>,
    (part_a, weighings): (Mass, &[Weighing]),
    share: f64,
) -> Vec<(String, Mass)> {
    let parts = [("--part-a".to_owned(), part_a), ("--part-b".to_owned(), ask.held.part_b)];
    let let_downs = weighings.iter().filter_map(|weighing| {
        let words = let_down_words(weighing.let_down?);
        Some((format!("{}, {words}", weighing.colorant), weighing.mass))
    });
    parts.into_iter().chain(let_downs).map(|(what, mass)| (what, mass * share)).collect()
}

/// The same of a mix that is completed by proportion alone, where no colorant is in it yet.
pub(super) fn first_vessel_by_proportion(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    done: &ByProportion,
) -> Option<FirstVessel> {
    let exactly = done.exactly.as_ref()?;
    let is_first = |name: &str| ask.let_downs.contains_key(name);
    let tinted = ask.held.colorants.iter().any(|(name, mass)| mass.g() > 0.0 && !is_first(name));
    let (mut moving, mut moved) = (ask.held.part_a + ask.held.part_b, Vec::new());
    for (material, mass, step) in exactly.weighable() {
        match material {
            Material::Colorant(name) => moved.push((name, mass, step)),
            _ => moving += mass,
        }
    }
    let content = moving / ask.limits.system.mixed_density();
    let keeps = ask.first_keeps.or_else(|| first_vessel_keeps(ask.house, content))?;
    moved.retain(|(name, ..)| !is_first(name));
    let matters = moved.iter().any(|(_, mass, step)| *mass * keeps >= *step);
    (!tinted && matters).then(|| FirstVessel {
        keeps: Fraction::new(keeps),
        stays: moving * keeps,
        tinted,
        came_over: false,
        instead: Vec::new(),
        sheet: planned
            .and_then(|planned| sheet(ask, planned, moved.iter().map(|(name, ..)| name.as_str()))),
    })
}

/// What the mixing sheet weighs of these colorants, which complete a mix, where its parts A or B are what is held.
fn sheet<'a>(
    ask: &CorrectAsk<'_>,
    planned: &Planned<'_>,
    colorants: impl Iterator<Item = &'a str>,
) -> Option<SheetWeights> {
    let own = [planned.mix.resin() - planned.mix.part_b.mass, planned.mix.part_b.mass];
    let held = [ask.held.part_a, ask.held.part_b];
    let step = planned.mix.part_a.readability;
    let as_planned = own.iter().zip(&held).any(|(own, held)| (*own - *held).g().abs() <= step.g());
    let doses: Option<Vec<(String, String)>> = colorants
        .filter(|name| !ask.let_downs.contains_key(*name))
        .map(|name| {
            // Of what is in by part the sheet does not say the rest.
            let none_in = ask.held.colorants.get(name).is_none_or(|mass| mass.g() <= 0.0);
            let mut planned = planned.mix.doses.iter().filter(|own| own.colorant == name);
            let weighed = planned.next().filter(|_| none_in)?.weighed();
            Some((name.to_owned(), weighed.mass.show_weighed(weighed.readability)))
        })
        .collect();
    let doses = doses.filter(|doses| as_planned && !doses.is_empty())?;
    Some(SheetWeights { mix: planned.name.clone(), doses })
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

    /// Why the mix is not corrected in it either; none where it is.
    pub(super) const fn why_not(&self) -> Option<&Uncorrected> {
        self.why_not.as_ref()
    }

    /// Its size, brim-full.
    pub(super) const fn size(&self) -> Volume {
        self.size
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
