//! What a correction is held against: its job's plan, mixing anew, and the vessels of the house.

use std::collections::BTreeMap;

use crate::matching::{
    self, ByProportion, CorrectAsk, Correction, Held, Planned, Uncorrected, VesselAsked, Weighing,
};
use crate::plan::{Content, Material, first_vessel_keeps};
use crate::quantity::{Fraction, Mass, Units, Volume};
use crate::report::correct_beside::{CorrectBeside, MixOfJob};
use crate::report::correct_first_vessel::{FirstVessel, SheetWeights};
use crate::report::let_down_words;

/// What was weighed into a mix, what of that has been poured, and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Weighed<'a> {
    pub(super) all: &'a Held,
    pub(super) poured: Mass,
    /// Whether it is stated as it stands in its second vessel, without what stays on the wall of the first.
    pub(super) came_over: bool,
    /// Whether what has been poured is scraped off again, since its A : B is off.
    pub(super) lost: bool,
}

impl<'a> Weighed<'a> {
    /// It is taken to be stated as in the second vessel where it holds both parts and colorants that go in there, and
    /// neither part is, to the step, as the sheet weighs it into the first.
    pub(super) fn of(
        all: &'a Held,
        poured: Mass,
        planned: Option<&Planned<'_>>,
        let_downs: &BTreeMap<String, Fraction>,
    ) -> Self {
        let came_over = planned.is_some_and(|planned| {
            let parts = [all.part_a, all.part_b];
            let both = parts.iter().all(|part| part.g() > 0.0);
            both && is_tinted(all, let_downs) && !as_on_sheet(planned, parts).contains(&true)
        });
        Self { all, poured, came_over, lost: false }
    }

    /// What of the planned mix it is without.
    fn stays_behind(self, planned: &Planned<'_>) -> Mass {
        let kept = planned.mix.resin() * planned.mix.first_kept;
        if self.came_over { kept } else { Mass::ZERO }
    }
}

/// Whether colorants are in it that go into the second vessel: let-downs that are planned go into the first.
fn is_tinted(held: &Held, let_downs: &BTreeMap<String, Fraction>) -> bool {
    held.colorants.iter().any(|(name, mass)| mass.g() > 0.0 && !let_downs.contains_key(name))
}

/// Whether each of parts A and B is to the step as the sheet weighs it.
fn as_on_sheet(planned: &Planned<'_>, held: [Mass; 2]) -> [bool; 2] {
    let own = planned.parts();
    let steps = [planned.mix.part_a.readability, planned.mix.part_b.readability];
    [0, 1].map(|part| (own[part] - held[part]).abs() < steps[part] * 0.5)
}

/// The mix of the plan in a few words and its mass as it stands, less what has been poured.
pub(super) fn mix_of_job(planned: &Planned<'_>, weighed: Weighed<'_>) -> MixOfJob {
    let stands = planned.mix.mass() - weighed.stays_behind(planned);
    let poured = if weighed.lost { Mass::ZERO } else { weighed.poured };
    MixOfJob {
        job: planned.plan.job.clone(),
        mix: planned.name.clone(),
        needs: (stands - poured).greater(Mass::ZERO),
        poured: poured > Mass::ZERO,
        came_over: weighed.came_over,
        within: planned.within(),
    }
}

/// A correction that adds so much, and becomes so much, held against all.
pub(super) fn beside(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    weighed: Weighed<'_>,
    (added, after): (Content, Mass),
) -> CorrectBeside {
    let anew = matching::beside_anew(ask, added, after);
    let supplies = planned.map(|planned| {
        [&anew.correction, &anew.anew]
            .map(|worth| planned.supply(ask.limits.system, weighed.all, &worth.content))
    });
    let job = planned.map(|planned| mix_of_job(planned, weighed));
    let short = planned
        .zip(job.as_ref())
        .filter(|_| ask.at_least.is_none())
        .and_then(|(planned, job)| short_of_job(planned, weighed, (job.needs, after)));
    CorrectBeside { job, after, short, anew, supplies }
}

/// The same of a mix in two vessels, of which each is added so much to, and becomes so much: mass and job are of one
/// vessel, costs and what is left of what the plan buys are of both.
pub(super) fn beside_of_two(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    weighed: Weighed<'_>,
    (added, after): (Content, Mass),
) -> CorrectBeside {
    let mut both = added.clone();
    for (material, mass) in added.iter() {
        both.put(material.clone(), mass);
    }
    let ask = CorrectAsk { enough: ask.enough.map(|enough| enough * 2.0), ..ask.clone() };
    CorrectBeside { after, ..beside(&ask, planned, weighed, (both, after * 2.0)) }
}

/// In which of its two vessels a mix is taken to stand, where what stays in the first would move what is added by a step
/// of its scale. `planned` is the mix of the job's plan, `stated` part A and the colorants as they were typed.
pub(super) fn first_vessel(
    ask: &CorrectAsk<'_>,
    planned: Option<&Planned<'_>>,
    done: &Correction,
    stated: (Mass, &[Weighing]),
) -> Option<FirstVessel> {
    let is_first = |name: &str| ask.let_downs.contains_key(name);
    let tinted = is_tinted(&ask.held, &ask.let_downs);
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
        // What is tinted already has its parts from its sheet only where none of them is added.
        sheet: planned
            .filter(|_| done.completes && (!tinted || added == [Mass::ZERO; 2]))
            .and_then(|planned| {
                sheet(ask, planned, added, done.doses.iter().map(|dose| dose.colorant.as_str()))
            }),
    })
}

/// Beyond a step of its scale a weight may miss another by so much and be the same. (Common practice, no source.)
const SAME_WITHIN: f64 = 0.005;

/// How far a part of a mix is off what is planned of it, and what of that is none.
struct Off {
    by: Mass,
    within: Mass,
}

impl Off {
    fn is_unseen(&self) -> bool {
        self.by <= self.within
    }
}

/// How far parts A and B are off what is expected of them.
fn off_by(planned: &Planned<'_>, expected: [Mass; 2], held: [Mass; 2]) -> [Off; 2] {
    let steps = [planned.mix.part_a.readability, planned.mix.part_b.readability];
    let off = |at: usize| Off {
        by: (held[at] - expected[at]).abs(),
        within: steps[at].greater(expected[at] * SAME_WITHIN),
    };
    [off(0), off(1)]
}

/// Whether parts A and B are what the plan says comes over into the second vessel of that mix, and nearer to that than to its
/// sheet.
fn has_come_over(ask: &CorrectAsk<'_>, planned: &Planned<'_>) -> bool {
    let held = [ask.held.part_a, ask.held.part_b];
    let sheet = planned.parts();
    let over = off_by(planned, came_over(planned), held);
    let nearer = off_by(planned, sheet, held).into_iter().zip(over);
    nearer.into_iter().all(|(sheet, over)| over.by < sheet.by && over.is_unseen())
}

/// Parts A and B that come over into the second vessel of a mix, as planned.
fn came_over(planned: &Planned<'_>) -> [Mass; 2] {
    planned.parts().map(|mass| mass * (1.0 - planned.mix.first_kept))
}

/// Parts A and B that the plan counts to have come over, where they are stated to the step as its sheet weighs them, though
/// colorants are held that go into the second vessel; let-downs' part A apart, as they are typed.
pub(super) fn over_of_sheet(ask: &CorrectAsk<'_>, planned: &Planned<'_>) -> Option<[Mass; 2]> {
    let as_weighed = as_on_sheet(planned, [ask.held.part_a, ask.held.part_b]) == [true; 2];
    let over = planned.on_sheet().map(|mass| mass * (1.0 - planned.mix.first_kept));
    (is_tinted(&ask.held, &ask.let_downs) && as_weighed).then_some(over)
}

/// By how much a mix is short of what its job needs of it, where what stays in its first vessel and the steps of scales do not
/// explain it.
pub(super) fn short_of_job(
    planned: &Planned<'_>,
    weighed: Weighed<'_>,
    (needs, mass): (Mass, Mass),
) -> Option<Mass> {
    let kept = planned.mix.resin() * planned.mix.first_kept;
    let unseen = planned.within() + kept - weighed.stays_behind(planned);
    Some(needs - mass).filter(|short| *short > unseen)
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
    let tinted = is_tinted(&ask.held, &ask.let_downs);
    let (mut added, mut moved) = ([Mass::ZERO; 2], Vec::new());
    for (material, mass, step) in exactly.weighable() {
        match material {
            Material::Colorant(name) => moved.push((name, mass, step)),
            Material::PartA => added[0] += mass,
            Material::PartB => added[1] += mass,
        }
    }
    let moving = ask.held.part_a + ask.held.part_b + added.into_iter().sum();
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
        sheet: planned.and_then(|planned| {
            sheet(ask, planned, added, moved.iter().map(|(name, ..)| name.as_str()))
        }),
    })
}

/// What the mixing sheet weighs of these colorants, which complete a mix, where its parts A and B are what is held once so much
/// of them is added.
fn sheet<'a>(
    ask: &CorrectAsk<'_>,
    planned: &Planned<'_>,
    [more_a, more_b]: [Mass; 2],
    colorants: impl Iterator<Item = &'a str>,
) -> Option<SheetWeights> {
    let after = [ask.held.part_a + more_a, ask.held.part_b + more_b];
    let as_planned = off_by(planned, planned.parts(), after).into_iter().all(|off| off.is_unseen());
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
