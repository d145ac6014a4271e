//! From an ask to ranked recipes.

use std::cmp::Ordering;

use super::ask::{Ask, Rank, Unmatched};
use super::blend::{Sight, Unit};
use super::candidate::{Candidate, Looker};
use super::climb::{Aim, SHARED_ROWS, error_of};
use super::reach::{Reach, reach};
use super::room::{ROOM, take_place};
use super::search::{Found, MUST_SHARE, SHORT_LIST, Search, near_enough};
use super::target::{Aimed, aimed, aims, lamps};
use super::tints::{Tint, gram, resin, tints};
use super::weigh::weigh;
use crate::colour::delta_e_2000;
use crate::model::Colorant;
use crate::optics::{Geometry, Surface};
use crate::plan::{Dosed, Limits};

/// More colorants than this are not searched at once.
pub const MOST_CHOICE: usize = 64;
/// Errors nearer to one another than this (ΔE00) count as alike when alternatives are ranked: a
/// twentieth of the least that is seen.
const ALIKE: f64 = 0.05;
/// For each alternative wanted, so many of the nearest are weighed and ranked by colour.
const WEIGHED_FOR_EACH: usize = 4;

/// The recipes found.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The target under each lamp.
    pub aimed: Aimed,
    /// The best recipes, ranked; where none within tolerance hides what lies below, the nearest that does among
    /// them.
    pub candidates: Vec<Candidate>,
    /// Where the target cannot be reached within the house's tolerance: how far it is, in which
    /// direction, and what would help.
    pub reach: Option<Reach>,
    /// How many combinations of colorants there were.
    pub combinations: usize,
    /// How many of them were ruled out without being climbed.
    pub ruled_out: usize,
    /// Whether recipes that hide were sought before all others.
    pub hiding_sought: bool,
}

impl Answer {
    /// Whether there are recipes within a tolerance (ΔE00), and the primer shows through all that the
    /// colorants make: known only where recipes that hide were sought.
    #[must_use]
    pub fn none_hides(&self, within: f64) -> bool {
        if !self.hiding_sought {
            return false;
        }
        let mut near = self.candidates.iter().filter(|each| each.error <= within).peekable();
        near.peek().is_some() && near.all(|each| !each.hides())
    }
}

impl Answer {
    /// Which recipe is the nearest that hides, where none within a tolerance (ΔE00) does.
    #[must_use]
    pub fn nearest_that_hides(&self, within: f64) -> Option<usize> {
        let hiding = self.candidates.iter().enumerate().filter(|(_, each)| each.hides());
        let nearest = hiding.min_by(|(_, one), (_, other)| one.error.total_cmp(&other.error));
        nearest.map(|(at, _)| at).filter(|_| self.none_hides(within))
    }
}

/// Finds the best recipes.
///
/// # Errors
/// [`Unmatched`] for an ask that has no answer. A target out of reach is no error.
pub fn find(ask: &Ask<'_>) -> Result<Answer, Unmatched> {
    let limits = &ask.limits;
    let system = limits.system;
    let film_mm = ask.looking.film.mm();
    let (least, most) = (system.film_min.mm(), system.film_max.mm());
    if !(film_mm >= least * (1.0 - 1e-9) && film_mm <= most * (1.0 + 1e-9)) {
        return Err(Unmatched::Film(film_mm, least, most));
    }
    if !ask.looking.primer.iter().all(|r| (0.0..=1.0).contains(r)) {
        return Err(Unmatched::NotANumber("the primer's reflectance"));
    }
    if !(1..=super::subsets::MOST_COLORANTS).contains(&ask.most) {
        return Err(Unmatched::Most(ask.most));
    }
    let lamps = lamps(&ask.looking)?;
    let aimed = aimed(&ask.target, &ask.looking, &lamps)?;
    let aims = aims(&aimed.labs, &lamps);
    let choice = choice(ask)?;
    let surface = Surface::of_index(system.clear.refractive_index);
    let sight = Sight {
        film_mm,
        ground: surface.internal_spectrum(&ask.looking.primer, Geometry::SpecularExcluded),
        surface,
        lamps: lamps.iter().map(|(lamp, _)| *lamp).collect(),
    };
    let shelf = tinted(ask, &choice, &sight)?;
    let must = must(ask, &shelf)?;
    let resin = resin(system);
    let (base, used) = with_must(&resin, &shelf, &must);
    let search_with =
        |used| Search { sight: &sight, aims: &aims, base: &base, used, tints: &shelf, chart: None };
    let search = search_with(used);
    let within = ask.house.match_within;
    let hunt = search.hunt(&must, ask.most, ask.alternatives.max(1), within);

    let everyone = choice.iter().chain(&ask.beyond);
    let looker = Looker {
        limits,
        colorants: everyone.map(|c| (c.name.as_str(), *c)).collect(),
        looking: &ask.looking,
        aims: &aimed.labs,
        shares: lamps.iter().map(|(_, share)| *share).collect(),
    };
    let wanted = match ask.rank {
        Rank::Colour => (ask.alternatives.max(1) * WEIGHED_FOR_EACH).min(SHORT_LIST),
        Rank::Lamps | Rank::Cost | Rank::Hiding => SHORT_LIST,
    };
    let judged = |near: &[Found], hiding: &[Found]| -> Result<Vec<Candidate>, Unmatched> {
        let mut candidates = Vec::new();
        for found in to_judge(&search, near, hiding, &must, wanted) {
            let loadings = inside(limits, &looker, loadings(&found, &shelf, &must));
            if let Ok(mut candidate) = looker.candidate(&loadings) {
                weighed(ask, &looker, (&sight, &aims, &resin), &mut candidate)?;
                candidates.push(candidate);
            }
        }
        Ok(candidates)
    };
    let hiding = if ask.show_through {
        Vec::new()
    } else {
        search.that_hide(&hunt.found, &must, ask.most, within)
    };
    let hiding_within = near_enough(&hiding, within);
    let mut candidates = judged(&hunt.found, hiding_within)?;
    drop_clear(&mut candidates, within);
    let near_ceiling = ask.house.near_ceiling.value();
    let crowded = |each: &Candidate| each.error <= within && each.is_near_a_ceiling(near_ceiling);
    if candidates.iter().any(crowded) {
        // The nearest lies at a ceiling; within tolerance there may be others with room below it.
        let roomy = search_with(used.map(|used| used + near_ceiling + ROOM));
        let near = near_enough(&hunt.found, within);
        let with_room = judged(&roomy.again(near), &roomy.that_hide_again(hiding_within, within))?;
        let with_room = with_room.into_iter().filter(|each| each.error <= within && !crowded(each));
        take_place(&mut candidates, with_room.collect(), crowded);
    }
    rank(&mut candidates, ask.rank, (within, near_ceiling), ask.show_through);
    shorten(&mut candidates, ask.alternatives.max(1));
    let none_hides = !ask.show_through
        && candidates.iter().any(|each| each.error <= within)
        && !candidates.iter().any(|each| each.error <= within && each.hides());
    if none_hides && let Some(nearest) = hiding.first() {
        let loadings = inside(limits, &looker, loadings(nearest, &shelf, &must));
        if let Ok(mut candidate) = looker.candidate(&loadings) {
            weighed(ask, &looker, (&sight, &aims, &resin), &mut candidate)?;
            add_hiding(&mut candidates, candidate, (ask.alternatives.max(1), within));
        }
    }
    for candidate in &mut candidates {
        sensitivity(&looker, candidate);
    }
    let reach = candidates
        .iter()
        .min_by(|one, two| one.exact_error.total_cmp(&two.exact_error))
        .filter(|best| best.exact_error > within)
        .map(|best| reach(ask, &sight, &aims, &resin, &shelf, best, &aimed));
    Ok(Answer {
        aimed,
        candidates,
        reach,
        combinations: hunt.combinations,
        ruled_out: hunt.ruled_out,
        hiding_sought: !ask.show_through,
    })
}

/// Adds the nearest recipe that hides at its place among those beyond the tolerance, if none of them is as near.
/// Where only matches are wanted it is one more than was asked for.
fn add_hiding(candidates: &mut Vec<Candidate>, hiding: Candidate, (most, within): (usize, f64)) {
    let as_near = |each: &Candidate| each.hides() && each.error <= hiding.error + ALIKE;
    if !hiding.hides() || candidates.iter().any(as_near) {
        return;
    }
    let beyond = hiding.error.max(within);
    let at = candidates.iter().position(|each| each.error > beyond).unwrap_or(candidates.len());
    candidates.insert(at, hiding);
    candidates.truncate(most.max(at + 1));
}

/// What is judged of what a search found, so many: what hides first.
fn to_judge(
    search: &Search<'_>,
    near: &[Found],
    hiding: &[Found],
    must: &[usize],
    wanted: usize,
) -> Vec<Found> {
    let mut all = distinct(hiding.to_vec(), must);
    all.truncate(wanted);
    // What hides in other amounts stands for the same colorants; but the nearest of all stands too.
    let near = distinct(near.to_vec(), must).into_iter().take(wanted).enumerate();
    let chart = search.chart();
    let further: Vec<_> = near
        .filter(|(at, (used, found))| {
            all.iter().all(|(other, _)| other != used) || (*at == 0 && !search.hides(&chart, found))
        })
        .map(|(_, each)| each)
        .collect();
    all.into_iter().chain(further).map(|(_, found)| found).collect()
}

/// The shelf without what may never be used.
fn choice<'a>(ask: &Ask<'a>) -> Result<Vec<&'a Colorant>, Unmatched> {
    if ask.shelf.is_empty() {
        return Err(Unmatched::EmptyShelf);
    }
    let contradiction = ask.must.iter().find(|name| ask.never.contains(name));
    if let Some(name) = contradiction {
        return Err(Unmatched::MustNot { name: name.clone(), why: "it must never be used" });
    }
    let choice: Vec<&Colorant> =
        ask.shelf.iter().filter(|c| !ask.never.contains(&c.name)).copied().collect();
    match choice.len() {
        0 => Err(Unmatched::EmptyShelf),
        many if many > MOST_CHOICE => Err(Unmatched::TooMany(many, MOST_CHOICE)),
        _ => Ok(choice),
    }
}

/// The choice as tints, what is in stock counted.
fn tinted<'a>(
    ask: &Ask<'_>,
    choice: &[&'a Colorant],
    sight: &Sight,
) -> Result<Vec<Tint<'a>>, Unmatched> {
    if choice.iter().all(|colorant| colorant.optics.is_none()) {
        return Err(Unmatched::NoOptics);
    }
    let Some(first) = sight.lamps.first() else { return Err(Unmatched::Lamps(1)) };
    let in_stock = |colorant: &Colorant| {
        let resin = ask.batch?;
        ask.stock.get(&colorant.name).map(|stock| stock.g() / resin.g())
    };
    let shelf = tints(&ask.limits, choice, sight.film_mm, first, in_stock);
    if shelf.is_empty() { Err(Unmatched::NoRoom) } else { Ok(shelf) }
}

/// Indices of what must be used.
fn must(ask: &Ask<'_>, shelf: &[Tint<'_>]) -> Result<Vec<usize>, Unmatched> {
    let mut all = Vec::with_capacity(ask.must.len());
    for name in &ask.must {
        let Some(colorant) = ask.shelf.iter().find(|colorant| colorant.name == *name) else {
            return Err(Unmatched::MustBeMissing(name.clone()));
        };
        let Some(at) = shelf.iter().position(|tint| tint.colorant.name == *name) else {
            let why = if colorant.optics.is_none() {
                "it has no optical data"
            } else {
                "a ceiling or the stock leaves no room for it"
            };
            return Err(Unmatched::MustNot { name: name.clone(), why });
        };
        if !all.contains(&at) {
            all.push(at);
        }
    }
    if all.len() > ask.most {
        return Err(Unmatched::MustTooMany(all.len(), ask.most));
    }
    Ok(all)
}

/// Resin with the least of what must be used, and what that uses of the ceilings.
fn with_must(resin: &Unit, shelf: &[Tint<'_>], must: &[usize]) -> (Unit, [f64; SHARED_ROWS]) {
    let mut used = [0.0; SHARED_ROWS];
    let base = must.iter().fold(*resin, |base, at| {
        for (cell, uses) in used.iter_mut().zip(shelf[*at].uses) {
            *cell += MUST_SHARE * uses;
        }
        base.plus(MUST_SHARE, &shelf[*at].unit)
    });
    (base, used)
}

/// A smaller part of the most that may be used is none.
const TRACE: f64 = 1e-6;

/// Each set of colorants used once, best first, without those that add a colorant and gain nothing by it.
fn distinct(mut found: Vec<Found>, must: &[usize]) -> Vec<(Vec<usize>, Found)> {
    found.sort_by(|one, two| {
        one.error.total_cmp(&two.error).then_with(|| one.subset.cmp(&two.subset))
    });
    let mut by_size: Vec<(Vec<usize>, Found)> = found
        .into_iter()
        .map(|each| {
            let used = each
                .subset
                .members()
                .zip(each.amounts)
                .filter(|(member, amount)| *amount > TRACE || must.contains(member))
                .map(|(member, _)| member)
                .collect();
            (used, each)
        })
        .collect();
    by_size.sort_by_key(|(used, _)| used.len());
    let mut kept: Vec<(Vec<usize>, Found)> = Vec::new();
    for (used, each) in by_size {
        let gains_nothing = kept.iter().any(|(other, known)| {
            let alike = known.error <= each.error + ALIKE;
            // To come below what anyone could see is a gain, however small.
            let unseen_at_last = each.error <= ALIKE && known.error > ALIKE;
            other.iter().all(|member| used.contains(member)) && alike && !unseen_at_last
        });
        if !gains_nothing {
            kept.push((used, each));
        }
    }
    kept.sort_by(|one, two| one.1.error.total_cmp(&two.1.error));
    kept
}

/// Loadings of standing lots, by name.
fn loadings<'a>(found: &Found, shelf: &[Tint<'a>], must: &[usize]) -> Vec<(&'a str, f64)> {
    let mut all: Vec<(&str, f64)> = found
        .subset
        .members()
        .zip(found.amounts)
        .map(|(member, amount)| {
            (member, amount + if must.contains(&member) { MUST_SHARE } else { 0.0 })
        })
        .filter(|(_, amount)| *amount > TRACE)
        .map(|(member, amount)| {
            (shelf[member].colorant.name.as_str(), amount * shelf[member].largest)
        })
        .collect();
    all.sort_by_key(|(name, _)| *name);
    all
}

/// The same loadings, shrunk together by what the rounding of the climb has left of a ceiling.
fn inside<'a>(
    limits: &Limits<'_>,
    looker: &Looker<'_>,
    mut loadings: Vec<(&'a str, f64)>,
) -> Vec<(&'a str, f64)> {
    let mix: Vec<Dosed<'_>> = loadings
        .iter()
        .filter_map(|(name, loading)| {
            let colorant = *looker.colorants.get(name)?;
            Some(Dosed { colorant, loading: loading / colorant.lot_strength() })
        })
        .collect();
    let scale = limits.largest_scale(&mix);
    for (_, loading) in &mut loadings {
        *loading *= scale;
    }
    loadings
}

/// The candidate as it is weighed, where a batch is stated.
fn weighed(
    ask: &Ask<'_>,
    looker: &Looker<'_>,
    (sight, aims, resin_gram): (&Sight, &[Aim], &Unit),
    candidate: &mut Candidate,
) -> Result<(), Unmatched> {
    let Some(resin) = ask.batch else { return Ok(()) };
    let wanted: Vec<(&Colorant, f64)> = candidate
        .doses
        .iter()
        .filter_map(|dose| {
            let colorant = looker.colorants.get(dose.colorant.as_str())?;
            Some((*colorant, dose.weighed_loading))
        })
        .collect();
    let standing = |loadings: &[f64]| -> Vec<(&str, f64)> {
        wanted
            .iter()
            .zip(loadings)
            .map(|((colorant, _), loading)| {
                (colorant.name.as_str(), loading * colorant.lot_strength())
            })
            .collect()
    };
    let units: Vec<Unit> = wanted
        .iter()
        .map(|(colorant, _)| {
            gram(colorant).map_or(Unit::NONE, |g| g.times(colorant.lot_strength()))
        })
        .collect();
    let error = |loadings: &[f64]| {
        let mix = units.iter().zip(loadings).fold(*resin_gram, |mix, (u, l)| mix.plus(*l, u));
        error_of(sight, aims, &mix)
    };
    let in_stock = |colorant: &Colorant| ask.stock.get(&colorant.name).copied();
    let batch = weigh(&ask.limits, ask.house, resin, &wanted, in_stock, error)?;
    if let Ok(as_weighed) = looker.candidate(&standing(&batch.loadings())) {
        let exact_error = candidate.exact_error;
        *candidate = Candidate { exact_error, weighed: Some(batch), ..as_weighed };
    }
    Ok(())
}

/// Errors nearer to one another than this (ΔE00) are equally good: a bench instrument does not repeat a
/// reading of a glossy film nearer than this (common practice, no source).
const TOLD_APART: f64 = 0.1;

/// Costs are compared to this part of themselves: a smaller saving decides nothing.
const COST_STEP: f64 = 0.01;

/// Ranks: those within tolerance by what is asked, those that hide the primer before those that do not
/// (unless it may show through), those that stand clear of their ceilings before those that a slip of the scale
/// takes above one; the others after them by error. Among recipes whose errors no instrument tells apart the
/// cheaper comes first, then the one with fewer colorants.
fn rank(
    candidates: &mut [Candidate],
    by: Rank,
    (within, near_ceiling): (f64, f64),
    show_through: bool,
) {
    // Steps begin at the best, so that all that cannot be told from it stand together.
    let best = candidates.iter().map(|each| each.error).fold(f64::INFINITY, f64::min);
    let alike = |candidate: &Candidate| ((candidate.error - best) / TOLD_APART).floor();
    let crowded = |candidate: &Candidate| candidate.is_near_a_ceiling(near_ceiling);
    let cost = |candidate: &Candidate| {
        candidate.cost_per_litre.map_or(f64::INFINITY, |cost| cost.amount())
    };
    let cost_step =
        |candidate: &Candidate| (libm::log(cost(candidate).max(1e-9)) / COST_STEP).round();
    candidates.sort_by(|one, two| {
        let near = |candidate: &Candidate| candidate.error > within;
        let asked = match by {
            _ if near(one) && near(two) => Ordering::Equal,
            Rank::Colour => Ordering::Equal,
            Rank::Lamps => one.lamp_change().total_cmp(&two.lamp_change()),
            Rank::Cost => cost(one).total_cmp(&cost(two)),
            Rank::Hiding => two.contrast_ratio().total_cmp(&one.contrast_ratio()),
        };
        // The colours of all that are within tolerance are as good as one another; what shows through
        // is not.
        let crowded_match = |candidate: &Candidate| !near(candidate) && crowded(candidate);
        let shows = |candidate: &Candidate| !(show_through || near(candidate) || candidate.hides());
        near(one)
            .cmp(&near(two))
            .then(shows(one).cmp(&shows(two)))
            .then(asked)
            .then(crowded_match(one).cmp(&crowded_match(two)))
            .then(alike(one).total_cmp(&alike(two)))
            .then(crowded(one).cmp(&crowded(two)))
            .then(cost_step(one).total_cmp(&cost_step(two)))
            .then(one.doses.len().cmp(&two.doses.len()))
            .then(one.error.total_cmp(&two.error))
            .then(one.lamp_change().total_cmp(&two.lamp_change()))
            .then(cost(one).total_cmp(&cost(two)))
    });
}

/// The clear film is an answer where it is a match, or all that there is; else it is no recipe for the
/// colour.
fn drop_clear(candidates: &mut Vec<Candidate>, within: f64) {
    if candidates.iter().any(|each| !each.doses.is_empty()) {
        candidates.retain(|each| !each.doses.is_empty() || each.error <= within);
    }
}

/// The first so many; the nearest of all takes the last place where it would not have one.
fn shorten(candidates: &mut Vec<Candidate>, alternatives: usize) {
    let nearest = (0..candidates.len())
        .min_by(|one, two| candidates[*one].exact_error.total_cmp(&candidates[*two].exact_error));
    if let Some(nearest) = nearest
        && nearest >= alternatives
        && alternatives > 1
    {
        candidates.swap(alternatives - 1, nearest);
    }
    candidates.truncate(alternatives);
}

/// How far the colour moves for a hundredth more of each colorant.
fn sensitivity(looker: &Looker<'_>, candidate: &mut Candidate) {
    let loadings: Vec<(&str, f64)> =
        candidate.doses.iter().map(|dose| (dose.colorant.as_str(), dose.loading)).collect();
    let Some(own) = candidate.looks.first() else { return };
    let moved = (0..loadings.len()).map(|at| {
        let mut more = loadings.clone();
        more[at].1 *= 1.01;
        looker
            .looks(&more)
            .ok()
            .and_then(|looks| looks.first().map(|look| delta_e_2000(own.lab, look.lab)))
            .unwrap_or(0.0)
    });
    candidate.sensitivity = moved.collect();
}
