//! A plan reckoned step by step, from recipe and job to everything that follows from them.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::Severity;
use crate::model::{Colourway, Faults, Fingerprint, House, Job, JobParts, Primer, Recipe, at};
use crate::predict::Viewing;
use crate::quantity::Mass;

use super::account::ledger;
use super::ask::{Ask, NotPlanned};
use super::base::{BasePlan, bases};
use super::cautions::{Holds, cautions};
use super::checks::{check_ceilings, ingredients, over_as_weighed};
use super::coat_uprights::UprightCoats;
use super::containers::Containers;
use super::cost::{OptionCost, cost};
use super::demand::{Demand, cling_share, wall_film};
use super::extent::smallest_board_in_proportion;
use super::figures::figures;
use super::fills::fills;
use super::have_ready::have_ready;
use super::lay_out::{Uses, lay_out};
use super::long_pour::LongPour;
use super::mist::MistLiquid;
use super::mist_in_the_room::wants_cartridges;
use super::mixing::{Mix, per_gram_of_resin};
use super::not_weighed::{face_film_beyond, no_container, no_vessel, off_ratio_as_weighed};
use super::pieces::{Poured, find_waits, pieces};
use super::products::flame_meets_vapour;
use super::proportion::Astray;
use super::remedies::{Remedies, remedies};
use super::run_sheet::RunSheetError;
use super::small_batch::{LayerPlan, SmallBatch, small_batches};
use super::stock::{Stock, stocks};
use super::take_off::TakeOff;
use super::time::{Conditions, Timing, time};
use super::too_coarse::too_coarse;
use super::upright::Uprights;
use super::wanted_at_once::wanted_at_once;
use super::whole::{Plan, Recoat};

/// Plans a job.
///
/// # Errors
/// [`NotPlanned`], by the file in which a person would mend it: references that dangle, a ceiling
/// exceeded (severity refused, with the largest safe loading), a mix ratio that cannot cure, flame where there is flammable
/// vapour, or a house whose vessels or scales cannot serve.
pub fn plan(ask: &Ask<'_>) -> Result<Plan, NotPlanned> {
    plan_mended_by(ask, |house, job| timed(&Ask { job, ..*ask }, house))
}

/// Plans a job whose remedies are planned by `anew`, with another house and another job.
pub(super) fn plan_mended_by(
    ask: &Ask<'_>,
    anew: impl Fn(&House, &Job) -> Result<Plan, NotPlanned>,
) -> Result<Plan, NotPlanned> {
    let house = &ask.shop.house;
    let mut whole = timed(ask, house)?;
    whole.remedies = remedies(&whole, house, ask.job, anew);
    whole.options = option_costs(ask);
    Ok(whole)
}

/// Each of the job's other ways with its cost, or why it cannot be planned.
#[must_use]
pub fn option_costs(ask: &Ask<'_>) -> Vec<OptionCost> {
    let each = ask.job.options.iter().map(|(name, choice)| {
        let cost = option(ask, choice).and_then(|(colourway, job)| {
            let own = Ask { shop: ask.shop, colourway: &colourway, job: &job };
            weights(&own, &ask.shop.house).map(|plan| plan.cost).map_err(|why| why.words())
        });
        OptionCost { name: name.clone(), cost }
    });
    each.collect()
}

/// The colourway and job of an option.
fn option(ask: &Ask<'_>, choice: &crate::model::Choice) -> Result<(Colourway, Job), String> {
    let base = match &choice.colourway {
        Some(name) => ask
            .shop
            .colourways
            .get(name)
            .ok_or_else(|| format!("no colourway is called \"{name}\""))?,
        None => ask.colourway,
    };
    let words = |faults: Faults| {
        faults.0.iter().map(|fault| fault.message.as_str()).collect::<Vec<_>>().join("; ")
    };
    let colourway = match choice.film {
        Some(film) => {
            let mut parts = (**base).clone();
            parts.film = film;
            Colourway::new(parts).map_err(words)?
        }
        None => base.clone(),
    };
    let parts = JobParts {
        coats: choice.coats.unwrap_or(ask.job.coats),
        options: BTreeMap::new(),
        ..(**ask.job).clone()
    };
    Ok((colourway, Job::new(parts).map_err(words)?))
}

/// The plan in this house without options and run sheet, for whoever needs many plans' weights and costs.
pub(super) fn weights(ask: &Ask<'_>, house: &House) -> Result<Plan, NotPlanned> {
    reckoned(ask, house, Clock::LeftOut)
}

/// The plan in this house with its run sheet, without options and remedies.
///
/// # Errors
/// What [`plan()`] refuses.
pub fn timed(ask: &Ask<'_>, house: &House) -> Result<Plan, NotPlanned> {
    reckoned(ask, house, Clock::Reckoned)
}

/// Why [`plan()`] refuses to plan, if it does, without the clock and the ways to mend it, which refuse
/// nothing.
#[must_use]
pub fn refuses(ask: &Ask<'_>) -> Option<NotPlanned> {
    weights(ask, &ask.shop.house).err()
}

/// Whether the run sheet is reckoned, which takes longer than all the rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Clock {
    Reckoned,
    LeftOut,
}

/// The plan in this house, without options and remedies.
fn reckoned(ask: &Ask<'_>, house: &House, clock: Clock) -> Result<Plan, NotPlanned> {
    let (colourway, job) = (ask.colourway, ask.job);
    let recipe = Recipe::of(ask.shop, colourway).map_err(NotPlanned::colourway)?;
    let (checks, refused) = check_ceilings(&recipe, house, &job.overrides);
    let mut not =
        NotPlanned { system: recipe.system.refused_ratio(), ..NotPlanned::colourway(refused) };
    if let Some(why) = flame_meets_vapour(&recipe, job) {
        not.job
            .push(at!["flame"], Severity::Refused, why)
            .hint("write flame: false, and draw bubbles out with a vacuum or a slow roller; or leave out what burns");
    }
    if not != NotPlanned::default() {
        return Err(not);
    }
    let take_off = TakeOff::of(job);
    let thick = face_film_beyond(&recipe, house, job, &take_off);
    if !thick.0.is_empty() {
        return Err(NotPlanned::job(thick));
    }
    let demand = Demand::of(&take_off, colourway.film, job.face_film, &job.losses);
    let (film_on_walls, share) = (wall_film(job.losses.cling), cling_share(job.losses.cling));
    let (containers, small_batches) = if colourway.pours.is_empty() {
        (None, Vec::new())
    } else {
        let fill = house.fill.value();
        let containers = Containers::of(colourway, fill, film_on_walls, share, demand.out())
            .ok_or_else(|| {
                no_container(&job.name, "a larger container, or less cling on its walls")
            })?;
        let batches = small_batches(&recipe, house, &containers).ok_or_else(|| {
            no_container(
                &job.name,
                "a smaller container, or a scale that bears a full one: scales in house.ron",
            )
        })?;
        (Some(containers), batches)
    };
    let mut astray =
        containers.as_ref().and_then(|containers| Astray::of(colourway, &containers.counts));
    if let Some(astray) = &mut astray
        && take_off.boards_alone()
    {
        astray.board = smallest_board_in_proportion(ask.shop, colourway);
    }
    let takes = taken_of_bases(&recipe, &demand, &small_batches);
    let viewing = Viewing::of(&recipe);
    // A stated share is of all that is mixed: it has been reckoned with once, where what is mixed was
    // last in a vessel.
    let share = if containers.is_some() { 0.0 } else { share };
    let bases = bases(&recipe, house, &takes, film_on_walls, share, job.coats, &viewing)
        .ok_or_else(|| no_vessel(house.units))?;
    let off_ratio = off_ratio_as_weighed(&bases, recipe.system.phr(), house);
    if !off_ratio.0.is_empty() {
        return Err(NotPlanned::job(off_ratio));
    }
    let over = over_as_weighed(&recipe, house, &job.overrides, &bases, &small_batches);
    if !over.0.is_empty() {
        return Err(NotPlanned::job(over));
    }
    let stocks = stocks(&bases, job.coats, house).ok_or_else(|| no_vessel(house.units))?;
    let ledger = ledger(&bases, &small_batches, containers.as_ref(), &demand, &stocks, job.coats);
    let area = take_off.flat() + take_off.upright();
    let cost = cost(&recipe, &ledger.issued, area);
    let mist = MistLiquid::of(colourway.pattern.mist, take_off.flat(), job.coats);
    let uprights = Uprights::of(&recipe, job, &take_off, &bases);
    let left_out = left_out(&recipe, &bases, &small_batches);
    // A let-down is part A with pigment, and what stays in an accent's cup has met nothing: neither cures nor heats.
    let in_cups: Mass = small_batches.iter().map(SmallBatch::spare).sum();
    let left =
        ledger.left.total() - stocks.iter().map(Stock::left).sum() - in_cups * f64::from(job.coats);
    let upright_coats =
        UprightCoats::of(&take_off, &demand, &bases, &small_batches, containers.as_ref());
    let (mut pieces, over) = pieces(&Poured {
        take_off: &take_off,
        film: colourway.film,
        face_film: job.face_film,
        demand: &demand,
        losses: &job.losses,
        bases: &bases,
        batches: &small_batches,
        containers: containers.as_ref(),
        uprights: upright_coats.as_ref(),
        units: house.units,
    });
    let time = match clock {
        Clock::Reckoned => time(&Timing {
            recipe: &recipe,
            house,
            job,
            bases: &bases,
            batches: &small_batches,
            containers: containers.as_ref(),
            uprights: upright_coats.as_ref(),
        }),
        Clock::LeftOut => Err(RunSheetError::NotAsked),
    };
    if let Ok(sheet) = &time {
        find_waits(&mut pieces, sheet);
    }
    let wanted_at_once = time
        .as_ref()
        .map_or_else(|_| Vec::new(), |sheet| wanted_at_once(house, sheet, &bases, &small_batches));
    let holds = Holds {
        recipe: &recipe,
        left_out: &left_out,
        job,
        house,
        mist,
        work: take_off.work(),
        largest_mix: bases
            .iter()
            .flat_map(|base| &base.mixes)
            .map(Mix::mass)
            .fold(Mass::ZERO, Mass::greater),
        left,
        in_containers: containers.is_some(),
        allowance: over.as_ref().filter(|_| containers.is_some()),
        coats: job.coats,
        bases: &bases,
        uprights: uprights.as_ref(),
        units: house.units,
    };
    let cautions = cautions(&holds);
    let lay_out = lay_out(&Uses {
        recipe: &recipe,
        bases: &bases,
        containers: containers.as_ref(),
        batches: &small_batches,
        stocks: &stocks,
        run_sheet: time.as_ref().ok(),
        wanted_at_once: &wanted_at_once,
        house,
        crew: job.crew,
        coats: job.coats,
        units: house.units,
    });
    let cartridges = mist.as_ref().map(|mist| wants_cartridges(job, mist, house.units));
    let have_ready = have_ready(cartridges, upright_coats.as_ref());
    let Primer::Colour(primer) = colourway.primer;
    Ok(Plan {
        long_pour: time
            .as_ref()
            .ok()
            .and_then(|sheet| LongPour::of(sheet, &recipe.system.pot_life)),
        time,
        wanted_at_once,
        remedies: Remedies::default(),
        units: house.units,
        crew: job.crew,
        filed: job.filed,
        pot_life: recipe.system.pot_life,
        lowest_temperature: recipe.system.lowest_temperature,
        conditions: Conditions::of(job),
        job: job.name.clone(),
        colourway: colourway.name.clone(),
        system: recipe.system.name.clone(),
        fingerprint: Fingerprint::of(&recipe),
        primer,
        film: colourway.film,
        face_film: job.face_film,
        coats: job.coats,
        recoat: recipe.system.recoat.map(|(earliest, latest)| Recoat {
            earliest,
            latest,
            standing: recipe.system.standing,
        }),
        ratio: recipe.system.ratio,
        phr: recipe.system.phr(),
        ratio_is_checked: recipe.system.stoichiometry.is_some(),
        densities: [
            recipe.system.density_a,
            recipe.system.density_b,
            recipe.system.mixed_density(),
        ],
        cautions,
        take_off,
        losses: job.losses,
        demand,
        figures: figures(&recipe, &left_out, bases.iter().any(|base| base.look.is_some())),
        checks,
        pieces,
        over,
        too_coarse: too_coarse(house, &bases, &small_batches, job.coats),
        fills: fills(&bases, &small_batches),
        bases,
        uprights,
        upright_coats,
        stocks,
        containers,
        astray,
        raised: job.overrides.clone(),
        small_batches,
        left_over: left * (1.0 / f64::from(job.coats)),
        ledger,
        cost,
        lay_out,
        have_ready,
        mist,
        options: Vec::new(),
    })
}

/// Colorants of a recipe that are in nothing that is mixed or poured.
fn left_out<'a>(
    recipe: &Recipe<'a>,
    bases: &[BasePlan],
    batches: &[SmallBatch],
) -> BTreeSet<&'a str> {
    let mixed = bases.iter().flat_map(|base| &base.mixes).flat_map(|mix| &mix.doses);
    let mut used: BTreeSet<&str> = mixed.map(|dose| dose.colorant.as_str()).collect();
    used.extend(batches.iter().flat_map(|batch| &batch.layers).filter_map(|layer| match layer {
        LayerPlan::Base { .. } => None,
        LayerPlan::Accent { colorant, .. } => Some(colorant.as_str()),
    }));
    recipe.colorants.keys().copied().filter(|name| !used.contains(name)).collect()
}

/// What is taken of each base in one coat: a layer of one container after another, in pour order; all at
/// once where mixes are poured as they are.
fn taken_of_bases(
    recipe: &Recipe<'_>,
    demand: &Demand,
    batches: &[SmallBatch],
) -> BTreeMap<String, Vec<Mass>> {
    if batches.is_empty() {
        let shares = recipe.colourway.shares().iter();
        return shares
            .map(|(base, share)| {
                let (ml, g) = per_gram_of_resin(recipe.system, &ingredients(recipe, base));
                (base.clone(), vec![Mass::from_g(demand.out().ml() * share / ml * g)])
            })
            .collect();
    }
    let mut takes: BTreeMap<String, Vec<Mass>> = BTreeMap::new();
    for batch in batches {
        for _ in 0..batch.count {
            for layer in &batch.layers {
                if let LayerPlan::Base { name, .. } = layer {
                    takes.entry(name.clone()).or_default().push(layer.mass());
                }
            }
        }
    }
    takes
}
