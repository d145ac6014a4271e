//! The whole plan.

use std::collections::{BTreeMap, BTreeSet};

use crate::colour::Srgb8;
use crate::diagnostic::Severity;
use crate::model::{
    Colourway, Faults, Fingerprint, House, Job, JobParts, Losses, PotLife, Primer, Recipe,
    Standing, at,
};
use crate::predict::Viewing;
use crate::quantity::{Density, Fraction, Length, Mass, TimeSpan, Units, Volume};

use super::ask::{Ask, NotPlanned};
use super::base::{BasePlan, bases};
use super::cautions::{Caution, Holds, cautions, flame_meets_vapour};
use super::checks::{Check, check_ceilings, ingredients, over_as_weighed};
use super::coat_uprights::UprightCoats;
use super::containers::Containers;
use super::cost::{Cost, OptionCost, cost};
use super::demand::{Demand, cling_share, wall_film};
use super::extent::smallest_board_in_proportion;
use super::figures::{Figures, Rests, figures};
use super::fills::{MixFills, fills};
use super::lay_out::{LaidOut, Uses, lay_out};
use super::ledger::{Content, Ledger, Material};
use super::mist::MistLiquid;
use super::mixing::{Mix, per_gram_of_resin};
use super::proportion::Astray;
use super::remedies::{Remedies, remedies};
use super::run_sheet::{Basis, Finding, RunSheet, RunSheetError};
use super::small_batch::{LayerPlan, SmallBatch, small_batches};
use super::stock::{Stock, stocks};
use super::take_off::TakeOff;
use super::time::{Conditions, Timing, time};
use super::upright::Uprights;

/// Everything that follows from a colourway and a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The job's name.
    pub job: String,
    /// The colourway's name.
    pub colourway: String,
    /// The resin system's name.
    pub system: String,
    /// The recipe's fingerprint.
    pub fingerprint: Fingerprint,
    /// The primer's colour.
    pub primer: Srgb8,
    /// Film of one coat.
    pub film: Length,
    /// Film on upright faces, each coat.
    pub face_film: Length,
    /// How many coats; every weight of bases and small batches is for one.
    pub coats: u32,
    /// When one coat may follow another; none where the system does not state it.
    pub recoat: Option<Recoat>,
    /// Grams of part B to 100 g of part A.
    pub phr: f64,
    /// Densities of part A, part B and the two mixed.
    pub densities: [Density; 3],
    /// What there is to coat.
    pub take_off: TakeOff,
    /// What of that is lost, and who says so.
    pub losses: Losses,
    /// Volumes of one coat.
    pub demand: Demand,
    /// What its figures rest on.
    pub figures: Vec<Rests>,
    /// Every ceiling in every base and small batch.
    pub checks: Vec<Check>,
    /// Bases of one coat from the lightest to the darkest.
    pub bases: Vec<BasePlan>,
    /// What bases look like on faces and splashbacks; none where there are none.
    pub uprights: Option<Uprights>,
    /// With what faces and splashbacks are coated in one coat; none where there are none.
    pub upright_coats: Option<UprightCoats>,
    /// Let-downs to make first, for all coats.
    pub stocks: Vec<Stock>,
    /// Containers of one coat; none where bases are poured straight from their mix.
    pub containers: Option<Containers>,
    /// Containers that are not in the recipe's proportion; none where they are, nearly.
    pub astray: Option<Astray>,
    /// Small batches of one coat in pour order.
    pub small_batches: Vec<SmallBatch>,
    /// Which mix fills which containers, in one coat; empty where mixes are poured as they are.
    pub fills: Vec<MixFills>,
    /// The run sheet of one coat, or why there is none.
    pub time: Result<RunSheet, RunSheetError>,
    /// What would help where a mix comes too late or hot.
    pub remedies: Remedies,
    /// Hands at the bench.
    pub crew: u32,
    /// Whether a job file states crew and temperatures, else options of the command.
    pub filed: bool,
    /// The pot life that the system states.
    pub pot_life: PotLife,
    /// What the clock and the gate reckon with.
    pub conditions: Conditions,
    /// The whole job's account, all coats.
    pub ledger: Ledger,
    /// What to buy.
    pub cost: Cost,
    /// Vessels, cups and paddles to lay out, all coats.
    pub lay_out: Vec<LaidOut>,
    /// What is misted, where the pattern has a mist; it is to be had besides what is bought above.
    pub mist: Option<MistLiquid>,
    /// The job's other ways, priced.
    pub options: Vec<OptionCost>,
    /// Cautions, the gravest first.
    pub cautions: Vec<Caution>,
}

/// When a coat may follow the one before without sanding between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recoat {
    /// Not before this time after the coat below.
    pub earliest: TimeSpan,
    /// Nor after this.
    pub latest: TimeSpan,
    /// Where these times come from.
    pub standing: Standing,
}

/// A reason not to pour as planned.
#[derive(Debug, Clone, Copy)]
pub enum Stop<'a> {
    /// What the clock or the gate of weather found.
    Clock(&'a Finding),
    /// Nothing says that it can be poured in time.
    NoRunSheet(&'a RunSheetError),
    /// What can hurt someone at once.
    Caution(&'a Caution),
}

impl Plan {
    /// Every reason not to pour as planned. A plan that has one is shown and saved all the same, for it
    /// is what a person mends the job from, but it counts as refused.
    ///
    /// A mix that comes after the end of its pot life is such a reason though that end is an estimate:
    /// gelling resin cannot be poured, runs hot in its vessel, and the remedies cost little. One that is
    /// late only by the doubt of the estimate is not.
    #[must_use]
    pub fn stops(&self) -> Vec<Stop<'_>> {
        let mut all = Vec::new();
        match &self.time {
            Ok(sheet) => {
                let stopping = sheet.findings.iter().filter(|finding| finding.stops());
                all.extend(stopping.map(Stop::Clock));
            }
            Err(RunSheetError::NotAsked) => {}
            Err(why) => all.push(Stop::NoRunSheet(why)),
        }
        all.extend(self.cautions.iter().filter(|caution| caution.stops).map(Stop::Caution));
        all
    }

    /// Mixed resin A+B issued, as a volume.
    #[must_use]
    pub fn resin_volume(&self) -> Volume {
        self.ledger.issued.of(&Material::PartA) / self.densities[0]
            + self.ledger.issued.of(&Material::PartB) / self.densities[1]
    }

    /// Where the least sure of some figures comes from; none where no file states any.
    #[must_use]
    pub fn standing_of(&self, figures: Figures) -> Option<Standing> {
        self.figures.iter().filter(|each| each.figures == figures).map(|each| each.standing).max()
    }

    /// The standing of a pot life on the run sheet: carried over from the datasheet's, and no surer
    /// than that.
    #[must_use]
    pub fn pot_life_standing(&self, basis: Basis) -> Standing {
        let carried = match basis {
            Basis::Datasheet => Standing::Measured,
            Basis::Estimated => Standing::Estimated,
        };
        self.standing_of(Figures::PotLife).map_or(carried, |stated| stated.max(carried))
    }
}

/// Plans a job.
///
/// # Errors
/// [`NotPlanned`], by the file in which a person would mend it: references that dangle, a ceiling
/// exceeded (severity refused, with the largest safe loading), flame where there is flammable
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
    whole.options = ask
        .job
        .options
        .iter()
        .map(|(name, choice)| {
            let cost = option(ask, choice).and_then(|(colourway, job)| {
                weights(&Ask { shop: ask.shop, colourway: &colourway, job: &job }, house)
                    .map(|plan| plan.cost)
                    .map_err(|why| why.words())
            });
            OptionCost { name: name.clone(), cost }
        })
        .collect();
    Ok(whole)
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
pub(super) fn timed(ask: &Ask<'_>, house: &House) -> Result<Plan, NotPlanned> {
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
    let mut not = NotPlanned::colourway(refused);
    if let Some(why) = flame_meets_vapour(&recipe, job) {
        not.job
            .push(at!["flame"], Severity::Refused, why)
            .hint("draw bubbles out with a vacuum or a slow roller, or leave the mist out");
    }
    if !(not.colourway.0.is_empty() && not.job.0.is_empty()) {
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
            .ok_or_else(|| no_container("a larger container, or less cling on its walls"))?;
        let batches = small_batches(&recipe, house, &containers).ok_or_else(|| {
            no_container(
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
        .ok_or_else(no_vessel)?;
    let off_ratio = off_ratio_as_weighed(&bases, recipe.system.phr(), house);
    if !off_ratio.0.is_empty() {
        return Err(NotPlanned::job(off_ratio));
    }
    let over = over_as_weighed(&recipe, house, &job.overrides, &bases, &small_batches);
    if !over.0.is_empty() {
        return Err(NotPlanned::job(over));
    }
    let stocks = stocks(&bases, job.coats, house).ok_or_else(no_vessel)?;
    let ledger = ledger(&bases, &small_batches, containers.as_ref(), &demand, &stocks, job.coats);
    let area = take_off.flat() + take_off.upright();
    let cost = cost(&recipe, &ledger.issued, area);
    let mist = MistLiquid::of(colourway.pattern.mist, take_off.flat(), job.coats);
    let uprights = Uprights::of(&recipe, job, &take_off, &bases);
    let left_out = left_out(&recipe, &bases, &small_batches);
    let holds = Holds {
        recipe: &recipe,
        left_out: &left_out,
        job,
        mist,
        work: take_off.work(),
        largest_mix: bases
            .iter()
            .flat_map(|base| &base.mixes)
            .map(Mix::mass)
            .fold(Mass::ZERO, Mass::greater),
        left: ledger.left.total(),
        coats: job.coats,
        bases: &bases,
        uprights: uprights.as_ref(),
        units: house.units,
    };
    let upright_coats =
        UprightCoats::of(&take_off, &demand, &bases, &small_batches, containers.as_ref());
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
    let cautions = cautions(&holds);
    let lay_out = lay_out(&Uses {
        recipe: &recipe,
        bases: &bases,
        containers: containers.as_ref(),
        batches: &small_batches,
        stocks: &stocks,
        run_sheet: time.as_ref().ok(),
        crew: job.crew,
        coats: job.coats,
        units: house.units,
    });
    let Primer::Colour(primer) = colourway.primer;
    Ok(Plan {
        time,
        remedies: Remedies::default(),
        crew: job.crew,
        filed: job.filed,
        pot_life: recipe.system.pot_life,
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
        phr: recipe.system.phr(),
        densities: [
            recipe.system.density_a,
            recipe.system.density_b,
            recipe.system.mixed_density(),
        ],
        cautions,
        take_off,
        losses: job.losses,
        demand,
        figures: figures(&recipe, &left_out),
        checks,
        fills: fills(&bases, &small_batches),
        bases,
        uprights,
        upright_coats,
        stocks,
        containers,
        astray,
        small_batches,
        ledger,
        cost,
        lay_out,
        mist,
        options: Vec::new(),
    })
}

/// Refuses more film on upright faces than the system bears on the flat, where a job has any.
fn face_film_beyond(recipe: &Recipe<'_>, house: &House, job: &Job, take_off: &TakeOff) -> Faults {
    let mut faults = Faults::default();
    let (system, units) = (recipe.system, house.units);
    if take_off.upright().m2() > 0.0 && job.face_film > system.film_max {
        let message = format!(
            "a film of {} on upright faces is more than \"{}\" allows in one pour even on the flat: {}",
            job.face_film.show_film(units),
            system.name,
            system.film_max.show_film(units),
        );
        faults.error(at!["face_film"], message).hint(format!(
            "on an upright face {} is usual, and much more runs down",
            House::USUAL_FACE_FILM.show_film(units)
        ));
    }
    faults
}

fn no_container(hint: &str) -> NotPlanned {
    let mut faults = Faults::default();
    faults
        .error(at!["container"], "the house's scales or this container size cannot serve this job")
        .hint(hint);
    NotPlanned::colourway(faults)
}

fn no_vessel() -> NotPlanned {
    let mut faults = Faults::default();
    faults
        .error(at![], "no mixing vessel and scale of the house serve this job")
        .hint("add a vessel size or a scale to house.ron: vessels: [\"1 qt\", \"1 gal\"]");
    NotPlanned::job(faults)
}

/// Bases whose parts A and B no scale of the house weighs near enough to the mix ratio.
fn off_ratio_as_weighed(bases: &[BasePlan], phr: f64, house: &House) -> Faults {
    let mut faults = Faults::default();
    let limit = house.off_ratio_limit;
    // Each base with the worst of its mixes.
    let worst_of = |base: &'_ BasePlan| {
        let off = base.mixes.iter().map(|mix| (mix.ratio_error(phr), mix.part_b.readability));
        off.max_by(|one, two| one.0.total_cmp(&two.0))
    };
    // Written so that a figure that is no number is refused.
    let beyond = |base: &BasePlan| {
        let (off, step) = worst_of(base)?;
        let within = off <= limit.value();
        (!within).then(|| (base.name.clone(), off, step))
    };
    let bases: Vec<(String, f64, Mass)> = bases.iter().filter_map(beyond).collect();
    if let Some((_, _, step)) = bases.iter().max_by(|one, two| one.1.total_cmp(&two.1)) {
        let each = bases.iter().map(|(name, off, _)| {
            format!("base \"{name}\" {}", Fraction::new(*off).show(Units::Metric))
        });
        let message = format!(
            "the scale's steps of {} bring parts A and B off ratio beyond the limit of {}: {}",
            step,
            limit.show(Units::Metric),
            each.collect::<Vec<_>>().join(", ")
        );
        faults
            .push(at![], Severity::Refused, message)
            .hint("a finer scale in house.ron, or more to pour at once");
    }
    faults
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

/// The account of all coats: mixes, then containers, then what comes out of them by the demand's
/// parts.
fn ledger(
    bases: &[BasePlan],
    batches: &[SmallBatch],
    containers: Option<&Containers>,
    demand: &Demand,
    stocks: &[Stock],
    coats: u32,
) -> Ledger {
    let mut coat = Ledger::default();
    let mut poured_out = Content::default();
    let mut waiting = BTreeMap::new();
    for base in bases {
        let (account, out) = base.account();
        coat.add(1.0, &account);
        if batches.is_empty() {
            poured_out += &out;
        } else {
            waiting.insert(base.name.as_str(), out);
        }
    }
    for batch in batches {
        {
            let times = f64::from(batch.count);
            let mut held = Content::default();
            for layer in &batch.layers {
                let mass = layer.mass() * times;
                match layer {
                    LayerPlan::Base { name, .. } => {
                        if let Some(base) = waiting.get_mut(name.as_str()) {
                            held += &base.take(mass);
                        }
                    }
                    LayerPlan::Accent { colorant, .. } => {
                        coat.issued.put(Material::Colorant(colorant.clone()), mass);
                        held.put(Material::Colorant(colorant.clone()), mass);
                    }
                }
            }
            let kept = containers.map_or(0.0, |c| c.cling.ml() / c.fill.ml());
            coat.cling += &held.take(held.total() * kept);
            poured_out += &held;
        }
    }
    for rest in waiting.into_values() {
        coat.left += &rest;
    }
    let all = demand.out().ml();
    let part = |volume: Volume| poured_out.times(volume.ml() / all);
    coat.poured += &part(demand.net());
    coat.run_off += &part(demand.run_off);
    coat.left += &part(demand.allowance);
    let mut job = Ledger::default();
    job.add(f64::from(coats), &coat);
    for stock in stocks {
        job.add(1.0, &stock.account());
    }
    job
}
