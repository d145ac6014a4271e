//! What to add to a mix that went wrong.

use std::collections::{BTreeMap, BTreeSet};

use crate::colour::Lab;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::matching::{
    self, AsWeighed, Clock, CorrectAsk, Correction, Held, Known, Looking, OtherBase, Planned,
    RATIO_WITHIN, RatioOff, Suspicion, Uncorrected, Unmixed, VesselAsked, Weighing,
};
use crate::model::{Base, Colorant, Override, Recipe};
use crate::plan::{BasePlan, Company, Content, Limits};
use crate::quantity::{Fraction, Length, Mass, Temperature, TimeSpan, Volume};
use crate::report::correct_beside::{CorrectBeside, provided_words, too_little_words};
use crate::report::correct_first_vessel::{FirstVessel, as_weighed_first_words};
use crate::report::correct_refusal::{Against, Refusal, RefusedMix};
use crate::report::correct_rows::{
    NO_B_YET, arithmetic_weight, fills_words, foreign_words, hiding_words, kept_words,
    not_used_words, overfull_words, poured_off_words, ratio_words, suspicion_words,
};
use crate::report::correct_way::{InPart, Late, Way, plan_is_late_words};
use crate::report::{CorrectHead, MixHead, Restoration, let_down_words};
use crate::spectrum::{Illuminant, Observer};
use crate::store::Opened;

use super::correct_beside::{
    Weighed, beside, beside_of_two, first_vessel, first_vessel_by_proportion, mix_of_job,
    over_of_sheet, short_of_job,
};
use super::correct_plan::{first_keeps, let_downs_of, no_such_mix, planned, unplanned_words};
use super::correct_refusal::{self, matters_how_much};
use super::correct_taken::{left_words, share_left, taken, twice_words};
use super::correct_times::{planned_late, pour_has_begun, times};
use super::correct_ways::{Means, NotFound, sought, without_least};
use super::find::{base_called, colorant_weighed, curable, faults_told};
use super::held::{brought, held_word, weighing_words};
use super::match_colour::job_of;
use super::plan::{colourway, sound_house};

/// A mix that went wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionAsk {
    /// The colourway by name or file.
    pub colourway: String,
    /// The base that it should be.
    pub base: String,
    /// The job whose raised ceilings hold, and whose plan says how warm the room is and how long the base
    /// is poured.
    pub job: Option<String>,
    /// Which mix of the base in the job's plan, from 1; the one that fits best where none is stated.
    pub mix: Option<u32>,
    /// What is in the vessel: part A.
    pub part_a: Mass,
    /// Part B.
    pub part_b: Mass,
    /// Colorants as weighed, by name; a let-down as its label names it: `blue paste, let-down 1 : 3`.
    pub colorants: Vec<(String, Mass)>,
    /// What of all that is still in the vessel, where some of it has been poured.
    pub left: Option<Mass>,
    /// What was measured of a cured film of it, in Lab under the first lamp.
    pub measured: Option<Lab>,
    /// Further colorants that may be added.
    pub also: Vec<String>,
    /// ΔE00 that is near enough; the shop's own where none is stated.
    pub within: Option<f64>,
    /// The least mass that it has to have in the end.
    pub at_least: Option<Mass>,
    /// Lamps with weights; daylight where none is named.
    pub lamps: Vec<(Illuminant, Option<f64>)>,
    /// The observer.
    pub observer: Observer,
    /// Another film than the recipe's.
    pub film: Option<Length>,
    /// Since B met A.
    pub age: Option<TimeSpan>,
    /// The vessel, brim-full; where none is stated that of the job's plan, or the shop's smallest that holds the mix.
    pub vessel: Option<Volume>,
    /// Temperature of the room; the job's, or 22 °C, where none is stated.
    pub temperature: Option<Temperature>,
    /// From the corrected mix to the last pour of it; as long as in the job's plan, or 5 min, where
    /// nothing is stated.
    pub until_poured: Option<TimeSpan>,
}

/// A correction and what it is of.
#[derive(Debug, Clone, PartialEq)]
pub enum Corrected {
    /// Brought within tolerance of its colour.
    Coloured {
        /// What it is of.
        head: Box<CorrectHead>,
        /// What to add.
        correction: Box<Correction>,
    },
    /// Brought back by proportion alone: a colorant has no optical data.
    ByProportion(Box<Restoration>),
    /// Refused by a check, and no part of it can be corrected either.
    Refused(Box<RefusedMix>),
}

impl Corrected {
    /// Whether a check refuses to correct all of it as it stands, and what is told is what can be done all the same.
    #[must_use]
    pub const fn is_refused(&self) -> bool {
        match self {
            Self::Coloured { head, .. } => head.mix.is_refused(),
            Self::ByProportion(done) => done.mix.is_refused(),
            Self::Refused(_) => true,
        }
    }
}

/// The part of the tolerance that is aimed at where something has to be added: what comes to its very edge
/// is beyond it by the next slip of a scale. (Common practice, no source.) Where additions cannot bring the mix so
/// near, the whole tolerance is used.
const AIMED_AT: f64 = 0.8;

/// Additions that go beyond what a job needs by so great a part of it are told with less that would do. (Common practice,
/// no source: about what a plan allows for what stays in vessels and runs off.)
const CLEARLY_MORE: f64 = 0.05;

/// What is told where B has met A and nobody says how long ago.
const CLOCK_LEFT_OUT: &str = "CLOCK NOT RECKONED: B has met A, and the mix may gel before it is corrected and poured; give --age to have it checked.";

/// What is told where an age is given of a mix in which B has not met A.
const AGE_PASSED_OVER: &str = "AGE PASSED OVER: by what is stated B has not met A, so no clock has begun; if it has, state both parts.";

/// What is wrong with a colorant's name that was followed by a let-down's ratio, with how a let-down is written:
/// under the bare name its weight would be taken for so much neat colorant.
fn with_let_down_form(unknown: Diagnostics, let_down: Option<Fraction>) -> Diagnostics {
    let Some(ratio) = let_down else { return unknown };
    let mut unknown = unknown;
    if let Some(last) = unknown.0.pop() {
        let words = let_down_words(ratio);
        unknown.0.push(last.hint(format!(
            "keep its ratio, or it counts as neat colorant: --held \"NAME, {words}=GRAMS g\""
        )));
    }
    unknown
}

/// Corrects.
///
/// # Errors
/// Names that nothing has; a mix that cannot be corrected, or not in time (refused).
pub fn correct(opened: &Opened, ask: &CorrectionAsk) -> Result<Corrected, Diagnostics> {
    sound_house(opened)?;
    let shop = &opened.shop;
    let raised = job_of(opened, ask.job.as_deref())?.map_or(&[][..], |job| &job.overrides);
    let (way, file) = colourway(opened, &ask.colourway)?;
    let recipe = Recipe::of(shop, way).map_err(|faults| faults_told(opened, file, faults))?;
    curable(opened, recipe.system)?;
    let base = base_called(way, &ask.base)?;
    let wanted: BTreeMap<String, f64> =
        base.colorants.iter().map(|d| (d.colorant.clone(), d.loading.value())).collect();
    let mut held = Held { part_a: ask.part_a, part_b: ask.part_b, colorants: BTreeMap::new() };
    let is_name = |word: &str| colorant_weighed(opened, word).is_ok();
    let mut weighings = Vec::new();
    // How often each colorant was stated.
    let mut stated: BTreeMap<&str, u32> = BTreeMap::new();
    let (planned, unplanned) = match planned(opened, ask) {
        Ok(planned) => (planned, None),
        Err(why) => (None, Some(unplanned_words(ask, &why))),
    };
    let mut let_downs =
        planned.as_ref().map(|plan| let_downs_of(plan, &base.name)).unwrap_or_default();
    let mut typed = Vec::new();
    for (word, mass) in &ask.colorants {
        let (name, let_down) = held_word(word, is_name)?;
        let colorant = colorant_weighed(opened, &name)
            .map_err(|unknown| with_let_down_form(unknown, let_down))?;
        if let Some(ratio) = let_down {
            // Its cup stands on the bench.
            let_downs.insert(colorant.name.clone(), ratio);
        }
        *stated.entry(&colorant.name).or_default() += 1;
        let [own, part_a] = brought(*mass, let_down);
        *held.colorants.entry(colorant.name.clone()).or_default() += own;
        held.part_a += part_a;
        typed.push(Weighing { colorant: colorant.name.clone(), mass: *mass, let_down });
        weighings.push(weighing_words(colorant, *mass, let_down));
    }
    // As it was weighed, whatever has been poured of it.
    let in_full = held;
    let share = share_left(ask.left, in_full.mass())?;
    let poured = in_full.mass() * (1.0 - share);
    let held = in_full.part(share);
    let mut at_hand: BTreeMap<&str, &Colorant> = BTreeMap::new();
    for name in wanted.keys().chain(held.colorants.keys()).chain(&ask.also) {
        let colorant = colorant_weighed(opened, name)?;
        at_hand.insert(colorant.name.as_str(), colorant);
    }
    let limits =
        Limits { system: recipe.system, off_ratio: shop.house.off_ratio_limit.value(), raised };
    for name in &ask.also {
        let colorant = colorant_weighed(opened, name)?;
        if limits.bars(colorant) {
            return Err(Diagnostic::refused(format!(
                "\"{}\" takes no solvent or other non-reactive carrier (its ceiling is 0 %), and \"{}\" brings some",
                recipe.system.name, colorant.name
            ))
            .hint("leave it out of --also")
            .into());
        }
    }
    let usual = [(Illuminant::D65, None)];
    let lamps = if ask.lamps.is_empty() { &usual[..] } else { &ask.lamps };
    let film = ask.film.unwrap_or(way.film);
    let looking = Looking {
        film,
        primer: *way.primer_reflectance(),
        lamps: lamps.iter().map(|(lamp, weight)| (lamp.clone(), weight.unwrap_or(1.0))).collect(),
        observer: ask.observer,
    };
    let within = ask.within.unwrap_or(shop.house.match_within);
    let met = held.part_a.g() > 0.0 && ask.part_b.g() > 0.0;
    let age = ask.age.filter(|_| met);
    let mut taken = taken(ask, &weighings, &held, &wanted);
    taken.extend(ask.left.map(|left| left_words(left, in_full.mass(), shop.house.units)));
    taken.extend(twice_words(&stated));
    let degrees = match ask.observer {
        Observer::Cie1931_2deg => "2°",
        Observer::Cie1964_10deg => "10°",
    };
    let first_keeps = planned.as_ref().and_then(|plan| first_keeps(plan, &base.name));
    let mix_of_plan = |plan, held: &Held| match ask.mix {
        Some(number) => Planned::numbered(plan, &base.name, number),
        None => Planned::nearest(plan, &base.name, held),
    };
    let of_plan = planned.as_ref().and_then(|plan| mix_of_plan(plan, &in_full));
    if let (Some(number), None) = (ask.mix, &of_plan) {
        return Err(no_such_mix(number, planned.as_ref(), &base.name, unplanned).into());
    }
    let times = age.map(|_| times(shop.house.units, ask, planned.as_ref(), of_plan.as_ref()));
    let clock = age.zip(times.as_ref()).map(|(age, times)| Clock {
        age,
        // What is left has stood with all of it.
        stood: if ask.left.is_some() { in_full.mass() } else { Mass::ZERO },
        vessels: 1,
        temperature: times.temperature,
        parts: times.parts,
        poured: 1.0 - share,
        last_pour: times.last_pour.clone(),
    });
    let vessel = match (ask.vessel, &of_plan) {
        (Some(stated), _) => VesselAsked::Stated(stated),
        (None, Some(planned)) => VesselAsked::Planned(planned.mix.vessel),
        (None, None) => VesselAsked::Smallest,
    };
    let weighed = Weighed::of(&in_full, poured, of_plan.as_ref(), &let_downs);
    let job = of_plan.as_ref().map(|planned| mix_of_job(planned, weighed));
    let asked = CorrectAsk {
        limits,
        small_batches: Company::of(&recipe, &base.name),
        house: &shop.house,
        shelf: at_hand.values().copied().collect(),
        looking,
        wanted,
        held,
        let_downs,
        first_keeps,
        measured: ask.measured,
        within,
        at_least: ask.at_least,
        vessel,
        enough: job.as_ref().map(|job| job.needs),
        clock,
    };
    // What has been poured of a ratio that is off is scraped off: the job needs it again.
    let lost = poured > Mass::ZERO
        && matching::ratio_off(&asked).is_some_and(|off| off.by() > RATIO_WITHIN);
    let weighed = Weighed { lost, ..weighed };
    let job = of_plan.as_ref().map(|planned| mix_of_job(planned, weighed));
    let asked = CorrectAsk { enough: job.as_ref().map(|job| job.needs), ..asked };
    let asked_in_full = CorrectAsk { held: in_full.clone(), ..asked.clone() };
    let known = Known {
        weighings: typed,
        planned: of_plan.clone(),
        instead_of_named: ask
            .mix
            .and(planned.as_ref())
            .and_then(|plan| Planned::nearest(plan, &base.name, &in_full)),
        others: other_bases(opened, &way.bases, &base.name),
    };
    let (cannot_be, overfull) = match matching::overfull(&asked) {
        Some(over) if over.cannot_be => (Some(fills_words(&over, shop.house.units)), None),
        over => (None, over.map(|over| overfull_words(&over, shop.house.units))),
    };
    let mut suspected = matching::suspicions(&asked_in_full, &known);
    if cannot_be.is_some() {
        // Amounts that cannot be say nothing of the others, but that they themselves are too much.
        suspected
            .retain(|each| matches!(each, Suspicion::Slipped(slip) if slip.meant < slip.typed));
    }
    let suspicions = |corrected| -> Vec<String> {
        suspected.iter().map(|each| suspicion_words(each, corrected)).collect()
    };
    let ratio_off = matching::ratio_off(&asked);
    // Without an age a mix without part B has not been spoilt: that part comes last.
    let no_b_yet = ask.age.is_none() && ratio_off == Some(matching::RatioOff::NoB);
    let ratio = |after: Option<&Correction>| {
        let to_mass = asked.at_least.is_some_and(|least| least > asked.held.mass());
        if no_b_yet {
            return Some(NO_B_YET.to_owned());
        }
        let words = ratio_words(ratio_off, after, to_mass)?;
        Some(match ask.left {
            Some(_) => format!("{words} {}", poured_off_words(poured, shop.house.units)),
            None => words,
        })
    };
    let rests_on = times.map_or_else(Vec::new, |times| times.words);
    let clock_left_out = match (ask.age, met) {
        (None, true) => Some(CLOCK_LEFT_OUT.to_owned()),
        (Some(_), false) => Some(AGE_PASSED_OVER.to_owned()),
        _ => None,
    };
    let units = shop.house.units;
    let unseen: Vec<String> = wanted_or_held(&asked)
        .filter(|name| shop.colorants.get(*name).is_some_and(|c| c.optics.is_none()))
        .map(str::to_owned)
        .collect();
    let unmixed = Unmixed::of(&asked);
    let late_in_plan = planned.as_ref().and_then(|plan| planned_late(plan, &base.name));
    let mix_head = |ratio, found: Told| {
        let Told { in_part, late, added, after, first_vessel } = found;
        let in_parts = in_part.as_ref().is_some_and(InPart::is_of_parts);
        let halves = matches!(in_part.as_ref().map(|part| &part.way), Some(Way::Divide { .. }));
        // Of two halves each stands in a vessel of its own, and both are added to.
        let held = if halves { in_full.part(0.5) } else { in_full.clone() };
        let of_plan = planned.as_ref().and_then(|plan| mix_of_plan(plan, &held));
        let beside = (added.total().g() > 0.0).then(|| {
            let held_against = if halves { beside_of_two } else { beside };
            let beside = held_against(&asked, of_plan.as_ref(), weighed, (added, after));
            CorrectBeside { short: beside.short.filter(|_| in_part.is_none()), ..beside }
        });
        let corrected = after > Mass::ZERO;
        let nothing = corrected && beside.is_none() && asked.at_least.is_none();
        let too_little = of_plan.as_ref().filter(|_| nothing).and_then(|planned| {
            let job = mix_of_job(planned, weighed);
            let mass = asked.held.mass();
            let short = short_of_job(planned, weighed, (job.needs, mass))?;
            Some(too_little_words(short, mass, &job, units))
        });
        let as_weighed = matching::as_weighed(&asked) == AsWeighed::Whole;
        let told_once = first_vessel.is_some() || as_weighed || in_parts || !corrected;
        let as_weighed_first = of_plan
            .as_ref()
            .filter(|_| !told_once)
            .and_then(|planned| over_of_sheet(&asked_in_full, planned))
            .map(as_weighed_first_words);
        let provided = beside.as_ref().and_then(|beside| provided_words(beside, units));
        MixHead {
            colourway: way.name.clone(),
            base: base.name.clone(),
            ratio,
            taken: taken.clone(),
            left: ask.left,
            as_weighed,
            suspicions: suspicions(true),
            overfull: overfull.clone(),
            foreign: Vec::new(),
            refusal: None,
            raised: raised.iter().map(Override::words).collect(),
            in_part: in_part.map(|in_part| InPart { provided, ..in_part }),
            late: late.zip(late_in_plan).map(|(why, planned_clock)| Late {
                why: why.to_string(),
                job: planned.as_ref().map(|plan| plan.job.clone()).unwrap_or_default(),
                base: base.name.clone(),
                planned: planned_clock,
                // All of it with that would be too large where only parts of it are corrected.
                for_ratio: for_ratio_words(matching::for_ratio(&asked), ratio_off)
                    .filter(|_| !in_parts),
                left: not_used_words(unmixed.as_ref(), units),
            }),
            unplanned: unplanned.clone(),
            first_vessel,
            as_weighed_first,
            too_little,
            clock_left_out: clock_left_out.clone(),
            clock_rests_on: rests_on.clone(),
            vessel: asked.vessel,
            job: of_plan.as_ref().map(|planned| mix_of_job(planned, weighed)),
            beside,
        }
    };
    // What is told beside a refusal as beside an answer.
    let not_corrected = |refusal: Refusal, mix: MixHead| {
        let mix = MixHead { refusal: Some(refusal), suspicions: suspicions(false), ..mix };
        Corrected::Refused(Box::new(RefusedMix { mix, unseen: unseen.clone() }))
    };
    if let Some(fills) = cannot_be {
        // Of amounts that no vessel holds nothing is reckoned.
        let mix = MixHead { clock_left_out: None, ..mix_head(None, Told::nothing()) };
        return Ok(not_corrected(correct_refusal::cannot_be(fills, units), mix));
    }
    let refused = |not: Box<NotFound>, without: Option<String>, foreign: Vec<String>| {
        // What is not its colour fares better anew.
        let late = late_in_plan.as_ref().zip(planned.as_ref()).filter(|_| foreign.is_empty());
        let late = late.map(|(latest, plan)| plan_is_late_words(latest, &plan.job, &base.name));
        let least = asked.at_least;
        match correct_refusal::refused(&not, unmixed.as_ref(), late, least, without, units) {
            Ok(refusal) => {
                let is_late = refusal.against == Against::Late && foreign.is_empty();
                let stands = is_late.then(|| matching::as_it_stands(&asked).ok()).flatten();
                let refusal = match stands {
                    Some(stands) => correct_refusal::as_it_stands(refusal, &stands, within),
                    None => refusal,
                };
                let begun = is_late && ask.left.is_none() && pour_has_begun(asked.clock.as_ref());
                let refusal = if begun { correct_refusal::with_left(refusal) } else { refusal };
                let mix = mix_head(ratio(None), Told::nothing());
                let clock_left_out = mix.clock_left_out.filter(|_| matters_how_much(&not.why));
                Ok(not_corrected(refusal, MixHead { clock_left_out, foreign, ..mix }))
            }
            Err(why) => {
                let told_of = suspicions(false).into_iter();
                let told_of = told_of.map(|words| format!("suspected: {words}"));
                let told_of = overfull.iter().cloned().chain(told_of);
                let told_of = told_of.chain(ratio(None)).chain(unplanned.clone());
                Err(Diagnostics::from(told_of.fold(why, Diagnostic::hint)))
            }
        }
    };
    if !unseen.is_empty() {
        let means = Means {
            all: &matching::by_proportion,
            halves: &|_| None,
            part: &matching::keep_by_proportion,
        };
        let foreign = matching::foreign(&asked);
        let foreign = (!foreign.is_empty()).then(|| {
            let left = not_used_words(unmixed.as_ref(), units);
            foreign_words(&foreign, &base.name, &left, ask.at_least)
        });
        let found = match sought(&asked, &means, late_in_plan.is_some(), units) {
            Ok(found) => found,
            Err(not) => {
                // What becomes of it stands among what is done.
                let without = without_least(&asked, &not, &means, units);
                return refused(not, without, foreign.into_iter().flatten().take(1).collect());
            }
        };
        let done = found.done;
        let foreign = foreign.unwrap_or_default();
        // What brings its ratio right is no correction: it is held against none.
        let added = if foreign.is_empty() { done.content_added() } else { Content::default() };
        let in_parts = found.in_part.as_ref().is_some_and(InPart::is_of_parts);
        let first_vessel = (!in_parts)
            .then(|| first_vessel_by_proportion(&asked_in_full, of_plan.as_ref(), &done))
            .flatten();
        let told = Told {
            in_part: found.in_part,
            late: found.late,
            added,
            after: done.after,
            first_vessel,
        };
        let mix = MixHead { foreign, ..mix_head(ratio(None), told) };
        return Ok(Corrected::ByProportion(Box::new(Restoration { mix, unseen, done })));
    }
    let aimed_at = |done: &Correction| (!done.completes).then_some(AIMED_AT * within);
    let all = |ask: &CorrectAsk<'_>| {
        let found = matching::correct(ask)?;
        if found.is_nothing() || found.completes {
            return Ok((found, None));
        }
        let safer = matching::correct(&safer_than(ask)).ok();
        let safer = safer.filter(|safer| found.hides_less() || !safer.hides_less());
        Ok(safer.map_or((found, None), |safer| {
            let aimed_at = aimed_at(&safer);
            (safer, aimed_at)
        }))
    };
    let part = |ask: &CorrectAsk<'_>| {
        let safer = matching::keep(&safer_than(ask)).map(|kept| (kept, true));
        let (kept, is_safer) = safer.or_else(|_| matching::keep(ask).map(|kept| (kept, false)))?;
        let aimed_at = aimed_at(&kept.correction).filter(|_| is_safer);
        Ok(kept.map(|done| (done, aimed_at)))
    };
    let of_base = planned.as_ref().map(|plan| (plan, base.name.as_str()));
    let halves = |ask: &CorrectAsk<'_>| {
        let divided = matching::divide(ask, of_base).ok()?;
        // With a job only where two of its mixes come of it.
        let half = ask.held.part(0.5);
        let serves = of_base.is_none_or(|(plan, name)| {
            let number = plan.bases.iter().find(|each| each.name == name).map(BasePlan::number);
            Planned::nearest(plan, name, &half).is_none_or(|own| {
                let needs = own.mix.mass();
                number > Some(1) && divided.correction.after - needs <= needs * CLEARLY_MORE
            })
        });
        if !serves {
            return None;
        }
        let done = (divided.correction.clone(), None);
        Some((divided, done))
    };
    let means = Means { all: &all, halves: &halves, part: &part };
    let found = match sought(&asked, &means, late_in_plan.is_some(), units) {
        Ok(found) => found,
        Err(not) => {
            let without = without_least(&asked, &not, &means, units);
            return refused(not, without, Vec::new());
        }
    };
    let (correction, aimed_at) = found.done;
    let in_parts = found.in_part.as_ref().is_some_and(InPart::is_of_parts);
    // What is weighed out of a mix is what stands there.
    let first_vessel = (!in_parts)
        .then(|| {
            first_vessel(
                &asked_in_full,
                of_plan.as_ref(),
                &correction,
                (ask.part_a, &known.weighings),
            )
        })
        .flatten();
    let clearly_more = job.as_ref().is_some_and(|job| {
        correction.after - correction.before.greater(job.needs) > job.needs * CLEARLY_MORE
    });
    let less = (clearly_more && found.in_part.is_none() && found.late.is_none())
        .then(|| part(&asked).ok().filter(|kept| kept.thrown.g() > 0.0))
        .flatten()
        .map(|kept| kept_words(&kept.map(|(done, _)| done), recipe.system.phr(), units));
    let told = Told {
        in_part: found.in_part,
        late: found.late,
        added: correction.content_added(),
        after: correction.after,
        first_vessel,
    };
    let head = CorrectHead {
        mix: mix_head(ratio(Some(&correction)), told),
        less,
        viewings: lamps.iter().map(|(lamp, _)| format!("{lamp}/{degrees}")).collect(),
        hides_less: hiding_words(&correction, film, units),
        phr: recipe.system.phr(),
        within,
        aimed_at,
    };
    Ok(Corrected::Coloured { head: Box::new(head), correction: Box::new(correction) })
}

/// The same, aimed inside its tolerance.
fn safer_than<'a>(ask: &CorrectAsk<'a>) -> CorrectAsk<'a> {
    CorrectAsk { within: AIMED_AT * ask.within, ..ask.clone() }
}

/// What a correction comes to, for what stands over it.
struct Told {
    in_part: Option<InPart>,
    late: Option<Uncorrected>,
    added: Content,
    after: Mass,
    first_vessel: Option<FirstVessel>,
}

impl Told {
    /// Of no correction.
    fn nothing() -> Self {
        Self {
            in_part: None,
            late: None,
            added: Content::default(),
            after: Mass::ZERO,
            first_vessel: None,
        }
    }
}

/// The colorants that the mix holds or should hold, each once.
fn wanted_or_held<'a>(ask: &'a CorrectAsk<'_>) -> impl Iterator<Item = &'a str> {
    let names: BTreeSet<&str> =
        ask.wanted.keys().chain(ask.held.colorants.keys()).map(String::as_str).collect();
    names.into_iter()
}

/// The other bases of a colourway, as the lots at hand are weighed for them.
fn other_bases(opened: &Opened, bases: &BTreeMap<String, Base>, own: &str) -> Vec<OtherBase> {
    let strength = |name: &str| opened.shop.colorants.get(name).map_or(1.0, Colorant::lot_strength);
    let others = bases.values().filter(|base| base.name != own);
    others
        .map(|base| OtherBase {
            name: base.name.clone(),
            loadings: base
                .colorants
                .iter()
                .map(|dose| {
                    let loading = dose.loading.value() / strength(&dose.colorant);
                    (dose.colorant.clone(), loading)
                })
                .collect(),
        })
        .collect()
}

/// The part, and how much of it, that brings A : B right and no more; none where weighing may leave it as it is.
fn for_ratio_words([a, b]: [f64; 2], off: Option<RatioOff>) -> Option<String> {
    off.filter(|off| off.by() > RATIO_WITHIN)?;
    let (part, grams) = if a > 0.0 { ("part A", a) } else { ("part B", b) };
    (grams > 0.0).then(|| format!("{} of {part}", arithmetic_weight(Mass::from_g(grams))))
}
