//! A correction beside what its job needs, what mixing anew costs and what is left of what the plan buys; and the vessel
//! that it stands in.

use serde_json::{Value, json};

use crate::matching::{BesideAnew, InVessel, Supply, VesselAsked, Worth};
use crate::plan::Material;
use crate::quantity::{Mass, Units};
use crate::suggest::listed;

/// The mix of a job's plan that is corrected.
#[derive(Debug, Clone, PartialEq)]
pub struct MixOfJob {
    /// The job.
    pub job: String,
    /// Which of its mixes: `fog 1`.
    pub mix: String,
    /// How much the plan mixes of it, less what has been poured.
    pub needs: Mass,
    /// Whether some of it has been poured.
    pub poured: bool,
    /// Whether it is told as it stands in its second vessel, without what stays on the wall of the first.
    pub came_over: bool,
    /// What the scales that it is weighed on leave open of that: no difference is told below.
    pub within: Mass,
}

/// What a correction is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectBeside {
    /// The mix of the job's plan; none where no job is named, or it has no plan.
    pub job: Option<MixOfJob>,
    /// The mass of the corrected mix.
    pub after: Mass,
    /// By how much that is short of what the job needs, where `--at-least` makes it good; none where it is enough.
    pub short: Option<Mass>,
    /// What it costs to mix anew and to correct.
    pub anew: BesideAnew,
    /// Whether enough is left of what the plan buys to correct, and to mix anew.
    pub supplies: Option<[Supply; 2]>,
}

/// What a correction is held against, a sentence each. Without a job mixing anew is told where it costs less, and
/// where `always`.
#[must_use]
pub fn beside_words(beside: &CorrectBeside, always: bool, units: Units) -> Vec<String> {
    let anew_is_less = beside.anew.anew_is_less();
    let alone = !always && beside.job.is_none();
    let mut words: Vec<String> =
        beside.job.iter().map(|job| against_job_words(beside.after, job, units)).collect();
    let makes_good = beside.job.as_ref().filter(|_| beside.short.is_some());
    words.extend(makes_good.map(makes_good_words));
    if anew_is_less || !alone {
        words.push(anew_words(beside, units));
    } else if let Some(as_held) = &beside.anew.as_held {
        words.push(as_held_words(as_held, beside, units));
    }
    if let Some([to_correct, anew]) = &beside.supplies {
        words.extend(supply_words(to_correct, "To correct it"));
        if anew_is_less || !to_correct.short.is_empty() {
            words.extend(unknown_words(anew, "To mix it anew"));
        }
    }
    words
}

/// What tells how a mix is made as much as its job needs, in a sentence.
fn makes_good_words(job: &MixOfJob) -> String {
    let needs = job.needs.show_weighed(Mass::from_g(1.0));
    format!("What makes that up is told with --at-least \"{needs}\".")
}

/// That a mix to which nothing is added is less than its job needs, by so much, in two sentences.
#[must_use]
pub fn too_little_words(short: Mass, mass: Mass, job: &MixOfJob, units: Units) -> String {
    let [short, mass, needs] = [short, mass, job.needs].map(|mass| mass.show(units));
    let MixOfJob { job: name, mix, .. } = job;
    format!(
        "TOO LITTLE FOR {name}: {mass} is {short} less than it needs of {mix}, {needs}. {}",
        makes_good_words(job)
    )
}

/// What is short of what the plan buys to correct it, in a sentence; none where enough of it is left, or no plan says.
#[must_use]
pub fn short_to_correct_words(beside: &CorrectBeside, units: Units) -> Option<String> {
    let [to_correct, _] = beside.supplies.as_ref()?;
    (!to_correct.short.is_empty()).then(|| {
        format!(
            "SHORT: what is added takes {} more than is left of what the plan buys.",
            short_words(to_correct, units)
        )
    })
}

/// What a person must have beyond what the plan buys to correct it, as a condition; none where enough of it is left, or
/// no plan says.
#[must_use]
pub fn provided_words(beside: &CorrectBeside, units: Units) -> Option<String> {
    let [to_correct, _] = beside.supplies.as_ref()?;
    (!to_correct.short.is_empty())
        .then(|| format!("if you have {} more than the plan buys", short_words(to_correct, units)))
}

/// What is short, and by how much, in a list.
fn short_words(supply: &Supply, units: Units) -> String {
    let short: Vec<String> = supply
        .short
        .iter()
        .map(|(material, mass)| format!("{} of {}", mass.show(units), material.words()))
        .collect();
    let short: Vec<&str> = short.iter().map(String::as_str).collect();
    listed(&short, "and")
}

fn against_job_words(after: Mass, job: &MixOfJob, units: Units) -> String {
    let MixOfJob { job, mix, needs, poured, came_over, within } = job;
    let more = (after - *needs).g();
    let apart = Mass::from_g(more.abs());
    let [after, needed] = [after, *needs].map(|mass| mass.show(units));
    // What two amounts that read differently are alike by is said.
    let (how, by) = match more {
        _ if apart <= *within && after != needed => {
            ("as much as".to_owned(), ", to the scales' steps")
        }
        _ if apart <= *within => ("as much as".to_owned(), ""),
        more if more > 0.0 => (format!("{} more than", apart.show(units)), ""),
        _ => (format!("{} less than", apart.show(units)), ""),
    };
    let [still, less] = if *poured { [" still", " less what is poured"] } else { [""; 2] };
    let second = if *came_over { " in its second vessel" } else { "" };
    format!("{after} is {how} {job}{still} needs of {mix}: {needed}, as planned{second}{less}{by}.")
}

fn anew_words(beside: &CorrectBeside, units: Units) -> String {
    let BesideAnew { anew, correction, .. } = &beside.anew;
    let less = if beside.anew.anew_is_less() { "MIXING ANEW COSTS LESS. " } else { "" };
    let lacks =
        beside.supplies.as_ref().map(|[_, anew]| anew).filter(|anew| !anew.short.is_empty());
    let lacks = lacks.map_or_else(String::new, |anew| {
        format!(", and {} more than the plan buys", short_words(anew, units))
    });
    format!(
        "{less}To mix {} anew: {}{lacks}; to correct: {} more, {}.",
        anew.mass().show(units),
        money(anew),
        correction.mass().show(units),
        money(correction)
    )
}

/// That mixing no more anew than stands there costs less, for whoever wants no more than that.
fn as_held_words(as_held: &Worth, beside: &CorrectBeside, units: Units) -> String {
    let correction = &beside.anew.correction;
    format!(
        "IF {} IS ENOUGH, MIXING THAT ANEW COSTS LESS: {}; to correct: {} more, {}, which gives {}.",
        as_held.mass().show(units),
        money(as_held),
        correction.mass().show(units),
        money(correction),
        beside.after.show(units)
    )
}

fn money(worth: &Worth) -> String {
    worth.money.map_or_else(|| "not all of it is priced".to_owned(), |money| money.show())
}

/// That enough is left of what the plan buys, or that this is not known; what is short is told elsewhere.
fn supply_words(supply: &Supply, what: &str) -> Vec<String> {
    let enough = supply.short.is_empty() && supply.unknown.is_empty();
    let enough = enough.then(|| format!("{what} enough is left of what the plan buys."));
    enough.into_iter().chain(unknown_words(supply, what)).collect()
}

/// That it is not known whether enough is left.
fn unknown_words(supply: &Supply, what: &str) -> Option<String> {
    let names: Vec<&str> = supply.unknown.iter().map(Material::words).collect();
    (!names.is_empty()).then(|| {
        format!(
            "{what} it is not known whether enough is left of {}: no packages in its file.",
            listed(&names, "and")
        )
    })
}

/// The vessel that a corrected mix stands in, who says so, and what it holds, in a sentence or two; `asked`: as it was asked
/// for; `named`: a job is named, whether it can be planned or not.
#[must_use]
pub fn vessel_words(
    vessel: Option<&InVessel>,
    asked: VesselAsked,
    job: Option<&MixOfJob>,
    named: bool,
    units: Units,
) -> String {
    let Some(vessel) = vessel else {
        if let VesselAsked::Stated(size) = asked {
            return format!(
                "Vessel: {} (stated). It holds this mix, but with no room to stir it.",
                size.show(units)
            );
        }
        return "Vessel: none that is known takes it with room to stir; --vessel states one."
            .to_owned();
    };
    if let Some(planned) = vessel.moved_from() {
        let whose = job.map_or_else(String::new, |job| format!(" for {}", job.mix));
        return format!(
            "MOVE IT into a {} vessel, which takes {} with room to stir: the plan's {} one{whose} holds less than it becomes.",
            vessel.size.show(units),
            vessel.holds.show(units),
            planned.show(units)
        );
    }
    let said = match (vessel.asked, job) {
        (VesselAsked::Stated(_), _) => "stated".to_owned(),
        (VesselAsked::Planned(_), Some(job)) => {
            format!("as the plan of {} has it for {}; --vessel states another", job.job, job.mix)
        }
        (VesselAsked::Planned(_), None) => "as planned; --vessel states another".to_owned(),
        (VesselAsked::Smallest, _) => {
            let or_job = if named { "" } else { ", or --job" };
            format!("ASSUMED, the house's smallest that holds it; --vessel{or_job}")
        }
    };
    format!(
        "Vessel: {} ({said}). It takes {} with room to stir.",
        vessel.size.show(units),
        vessel.holds.show(units)
    )
}

/// The vessel that a corrected mix has been moved into, in two sentences.
pub(super) fn moved_vessel_words(vessel: &InVessel, units: Units) -> String {
    format!(
        "Vessel: {}, into which it is moved. It takes {} with room to stir.",
        vessel.size.show(units),
        vessel.holds.show(units)
    )
}

/// The vessel for machines.
pub(super) fn vessel_json(vessel: &InVessel) -> Value {
    json!({
        "size_ml": vessel.size.ml(),
        "holds_ml": vessel.holds.ml(),
        "from": match vessel.asked {
            VesselAsked::Stated(_) => "stated",
            VesselAsked::Planned(_) => "plan",
            VesselAsked::Smallest => "smallest",
        },
        "moved_from_ml": vessel.moved_from().map(|size| size.ml()),
    })
}

/// What a correction is held against, for machines.
pub(super) fn beside_json(beside: &CorrectBeside) -> Value {
    let worth = |worth: &Worth| {
        json!({
            "mass_g": worth.mass().g(),
            "cost": worth.money.map(|money| json!({
                "amount": money.amount(),
                "currency": money.currency().to_string(),
            })),
        })
    };
    let supply = |supply: &Supply| {
        let short = supply.short.iter();
        json!({
            "short_g": short.map(|(what, mass)| (what.words().to_owned(), json!(mass.g())))
                .collect::<serde_json::Map<String, Value>>(),
            "not_known": supply.unknown.iter().map(Material::words).collect::<Vec<_>>(),
        })
    };
    json!({
        "job": beside.job.as_ref().map(|job| json!({
            "job": job.job,
            "mix": job.mix,
            "needs_g": job.needs.g(),
            "more_than_needed_g": (beside.after - job.needs).g(),
        })),
        "to_mix_anew": worth(&beside.anew.anew),
        "to_correct": worth(&beside.anew.correction),
        "anew_costs_less": beside.anew.anew_is_less(),
        "to_mix_as_much_as_held_anew": beside.anew.as_held.as_ref().map(worth),
        "left_of_plan": beside.supplies.as_ref().map(|[to_correct, anew]| json!({
            "to_correct": supply(to_correct),
            "to_mix_anew": supply(anew),
        })),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Content;

    #[test]
    fn what_no_scale_shows_is_no_difference() {
        let job = MixOfJob {
            job: "bar".to_owned(),
            mix: "fog 1".to_owned(),
            needs: Mass::from_g(2537.0),
            poured: false,
            came_over: false,
            within: Mass::from_g(2.3),
        };
        let told = |after| against_job_words(Mass::from_g(after), &job, Units::Metric);
        assert_eq!(told(2537.2), "2537 g is as much as bar needs of fog 1: 2537 g, as planned.");
        let near =
            "2539 g is as much as bar needs of fog 1: 2537 g, as planned, to the scales' steps.";
        assert_eq!(told(2539.0), near);
        for (after, how) in [(2540.0, "3.00 g more than"), (2534.0, "3.00 g less than")] {
            assert!(told(after).contains(how), "{}", told(after));
        }
    }

    #[test]
    fn what_has_to_be_had_is_told_where_something_is_short() {
        let worth = || Worth { content: Content::default(), money: None };
        let with = |supplies| CorrectBeside {
            job: None,
            after: Mass::from_g(2537.0),
            short: None,
            anew: BesideAnew { anew: worth(), correction: worth(), as_held: None },
            supplies,
        };
        let short = Supply {
            short: vec![
                (Material::PartA, Mass::from_g(744.2)),
                (Material::Colorant("blue paste".to_owned()), Mass::from_g(3.5)),
            ],
            unknown: Vec::new(),
        };
        let told = |supplies| provided_words(&with(supplies), Units::Us);
        assert_eq!(
            told(Some([short.clone(), Supply::default()])).unwrap(),
            "if you have 744.2 g of part A and 3.50 g of blue paste more than the plan buys"
        );
        assert_eq!(
            told(Some([Supply::default(), short])),
            None,
            "what mixing anew takes is another matter"
        );
        assert_eq!(told(None), None);
    }
}
