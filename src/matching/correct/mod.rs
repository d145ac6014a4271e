//! What brings back a mix that went wrong: overdosed, off colour, or a left-over used up in another
//! base. Additions only, the least that serve, weighable, at the system's A : B, in time.
//!
//! ```text
//! held ─► restore (exactly, by proportion)
//!     ├─► complete (unfinished, whatever its ratio: what is missing, no more) ─► steps ─► clock; too much of it ─► least
//!     └─► least (within tolerance, by colour) ─► steps (of the scales) ─► clock (in time?)
//! ```

mod anew;
mod as_it_stands;
mod as_weighed;
mod ask;
mod by_proportion;
mod clock;
mod complete;
mod correction;
mod course;
mod divide;
mod keep;
mod least;
mod planned;
mod ratio;
mod restore;
mod slipped;
mod steps;
mod suspect;
mod vessel;

use std::collections::BTreeMap;

pub use anew::{BesideAnew, Worth, beside_anew};
pub use as_it_stands::{AsItStands, as_it_stands};
pub use as_weighed::{AsWeighed, as_weighed};
pub use ask::{Clock, CorrectAsk, Held, Uncorrected};
pub use by_proportion::{ByProportion, Exactly, by_proportion, for_ratio, foreign};
pub use clock::{InTime, OnSchedule};
pub use correction::Correction;
pub use course::{Course, LastPour, Lasts};
pub use divide::{Divided, divide};
pub use keep::{Kept, keep, keep_by_proportion};
pub use planned::{Planned, Supply};
pub use ratio::{Part, RatioOff, Unmixed, ratio_off};
pub use restore::{Restored, restore};
pub use slipped::{Amount, Expected, Slipped};
pub use steps::PartAdded;
pub use suspect::{Known, OtherBase, Suspicion, Weighing, suspicions};
pub use vessel::{InVessel, Overfull, VesselAsked, overfull, smallest_vessel};

use self::by_proportion::{by_arithmetic, exactly};
use self::least::{Additions, Kind, Least, MOST_KINDS};
use self::steps::Wanted;
use self::vessel::stands;
use super::ask::Target;
use super::blend::{Sight, Unit};
use super::climb::{Aim, Chart, SHORT_OF_CONTRAST};
use super::target::{aimed, aims, lamps};
use super::tints::{gram, resin};
use super::weigh::let_down_a;
use crate::colour::{Lab, delta_e_2000};
use crate::model::Colorant;
use crate::optics::{Geometry, HIDING_RATIO, Surface};
use crate::plan::{Dosed, Inequality, Place, Route};
use crate::predict::{Look, Viewing, look_of};
use crate::quantity::Mass;

/// Beyond this many times its mass a mix is thrown away rather than corrected. (Common practice, no
/// source.)
const GROWN: f64 = 20.0;
/// A : B may be off by this much after weighing, as a fraction.
pub const RATIO_WITHIN: f64 = 0.005;
/// Where no weighable steps serve, the tolerance aimed at is drawn in, a hair at first: what a hair brings
/// is nearly the least, what a fifth brings is not.
const DRAWN_IN: [f64; 9] = [1.0, 0.9998, 0.999, 0.99, 0.96, 0.9, 0.8, 0.6, 0.4];

/// Everything about one ask that does not change while additions are sought.
struct Bench<'a> {
    ask: &'a CorrectAsk<'a>,
    /// Colorants that can be added, in the kinds' order after resin.
    colorants: Vec<&'a Colorant>,
    by_name: BTreeMap<&'a str, &'a Colorant>,
    a: f64,
}

/// The least weighable additions; where those thin a recipe that hides so far that it no longer does, more,
/// if any that can be had keep it hiding.
///
/// # Errors
/// [`Uncorrected`]: an ask that makes no sense, a colour that additions cannot reach, a mix that would
/// be too old.
pub fn correct(ask: &CorrectAsk<'_>) -> Result<Correction, Uncorrected> {
    let least = corrected(ask, Below::MayShow)?;
    if !least.hides_less() {
        return Ok(least);
    }
    Ok(hidden(ask).unwrap_or(least))
}

/// What lies below the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Below {
    MayShow,
    Hidden,
}

/// The least additions after which the film hides as the recipe does; none where no such can be had.
fn hidden(ask: &CorrectAsk<'_>) -> Option<Correction> {
    corrected(ask, Below::Hidden).ok().filter(|found| !found.hides_less())
}

fn corrected(ask: &CorrectAsk<'_>, below: Below) -> Result<Correction, Uncorrected> {
    let bench = Bench::of(ask)?;
    let Eyes { look_before, look_wanted, labs, aims, sight } = bench.eyes()?;
    // What is within tolerance of this on the chart hides at least.
    let ratio = HIDING_RATIO + ask.within / SHORT_OF_CONTRAST;
    let chart = Chart::of(&sight, ratio);
    let chart = (below == Below::Hidden).then_some(&chart);
    let least = bench.least(&sight, &aims, chart);
    let ratio_fix = bench.ratio_fix();
    let held_g = ask.held.mass().g();
    let exactly = bench.exactly();
    let at_most = by_arithmetic(ask)
        // Where a measurement speaks against the prediction, the proportions alone prove nothing.
        .filter(|_| ask.measured.is_none())
        .map_or(held_g * GROWN, |added| added * 1.01 + 1e-6)
        .min(held_g * GROWN)
        .max(ratio_fix);
    let looks = [look_before, look_wanted];
    let error_before = least.colour_error(&vec![0.0; least.kinds.len()]);
    let made =
        |steps| bench.correction(steps, looks.clone(), (error_before, labs.clone()), &exactly);
    let mut too_much = None;
    if let Some(steps) = bench.completed(&least) {
        match made(steps) {
            Ok(done) => return Ok(Correction { completes: true, ..done }),
            Err(
                why @ (Uncorrected::TooLarge { .. }
                | Uncorrected::NoVessel { .. }
                | Uncorrected::TooLate { .. }),
            ) => too_much = Some(why),
            Err(why) => return Err(why),
        }
    }
    // Where all that is missing does not go in, what brings the mix within tolerance may.
    let done = brought_near(&bench, &least, [ratio_fix, at_most]).and_then(made);
    match (done, too_much) {
        (Ok(done), too_much) => Ok(Correction { falls_short: too_much, ..done }),
        (Err(_), Some(too_much)) => Err(too_much),
        (Err(why), None) => Err(why),
    }
}

/// The least weighable additions that bring the mix within tolerance, of at least `ratio_fix` g of resin and at most
/// `at_most` g in all.
fn brought_near(
    bench: &Bench<'_>,
    least: &Least<'_>,
    [ratio_fix, at_most]: [f64; 2],
) -> Result<steps::Steps, Uncorrected> {
    let ask = bench.ask;
    let held_g = ask.held.mass().g();
    let mut chosen = None;
    // What is too large for every scale is too large before that.
    let mut not_weighable = Uncorrected::NotWeighable;
    for share in DRAWN_IN {
        if chosen.is_some() {
            break;
        }
        let found = least.additions(share * ask.within, ratio_fix, at_most).map_err(|nearest| {
            Uncorrected::OutOfReach {
                error: nearest.error,
                grown: (held_g + nearest.total()) / held_g,
            }
        });
        let found = match found {
            Ok(found) => bench.filled(least, found),
            Err(_) if share < 1.0 => break,
            Err(why) => return Err(why),
        };
        let grown = ask.held.mass() + Mass::from_g(found.total());
        if share >= 1.0 && found.total() > 0.0 && grown > ask.house.largest_mix {
            let most_g = ask.house.largest_mix.g();
            not_weighable = Uncorrected::TooLarge { grown_g: grown.g(), most_g };
        }
        chosen = bench.steps(least, &found, Wanted::TheLeast).map_err(|why| match why {
            Uncorrected::NotWeighable => not_weighable.clone(),
            other => other,
        })?;
    }
    chosen.ok_or(not_weighable)
}

/// The rows that count, the tightest first: without those that hold wherever another does.
fn binding(rows: Vec<Inequality>) -> Vec<Inequality> {
    let follows = |row: &Inequality, from: &Inequality| {
        let pairs = row.per_loading.iter().zip(&from.per_loading);
        row.most > 0.0
            && from.most > 0.0
            && pairs.clone().all(|(own, other)| own / row.most <= other / from.most)
    };
    let mut left: Vec<Inequality> = Vec::with_capacity(rows.len());
    // What none of the colorants counts in holds whatever is added, even of a ceiling of nought.
    let counts = |row: &Inequality| row.per_loading.iter().any(|own| *own != 0.0);
    for row in rows.into_iter().filter(counts) {
        if left.iter().any(|kept| follows(&row, kept)) {
            continue;
        }
        left.retain(|kept| !follows(kept, &row));
        left.push(row);
    }
    let tight = |row: &Inequality| row.per_loading.iter().sum::<f64>() / row.most;
    left.sort_by(|one, other| tight(other).total_cmp(&tight(one)));
    left
}

/// How a mix is looked at: what it looks like, what it should, and what is aimed at.
struct Eyes {
    look_before: Look,
    look_wanted: Look,
    /// What is aimed at under each lamp.
    labs: Vec<Lab>,
    aims: Vec<Aim>,
    sight: Sight,
}

impl<'a> Bench<'a> {
    fn eyes(&self) -> Result<Eyes, Uncorrected> {
        let ask = self.ask;
        let lamps = lamps(&ask.looking)?;
        let wanted: Vec<(&str, f64)> = ask.wanted.iter().map(|(n, l)| (n.as_str(), *l)).collect();
        let look_wanted = self.look(&wanted, 0)?;
        let target = Target::Reflectance(look_wanted.reflectance);
        let mut labs = aimed(&target, &ask.looking, &lamps)?.labs;
        let look_before = self.look(&self.standing(&ask.held.colorants, self.resin_held()), 0)?;
        if let Some(measured) = ask.measured {
            if !measured.to_array().iter().all(|c| c.is_finite()) {
                return Err(super::Unmatched::NotANumber("the measured colour").into());
            }
            // What the prediction misses now it will miss after the additions too.
            let own = look_before.lab;
            for lab in &mut labs {
                *lab = Lab::new(
                    lab.l + own.l - measured.l,
                    lab.a + own.a - measured.a,
                    lab.b + own.b - measured.b,
                );
            }
        }
        let aims = aims(&labs, &lamps);
        let surface = Surface::of_index(ask.limits.system.clear.refractive_index);
        let sight = Sight {
            film_mm: ask.looking.film.mm(),
            ground: surface.internal_spectrum(&ask.looking.primer, Geometry::SpecularExcluded),
            surface,
            lamps: lamps.iter().map(|(lamp, _)| *lamp).collect(),
        };
        Ok(Eyes { look_before, look_wanted, labs, aims, sight })
    }

    fn of(ask: &'a CorrectAsk<'a>) -> Result<Self, Uncorrected> {
        if !(ask.within.is_finite() && ask.within > 0.0) {
            return Err(Uncorrected::Tolerance);
        }
        let masses = [("part A", ask.held.part_a), ("part B", ask.held.part_b)];
        let colorants = ask.held.colorants.iter().map(|(name, mass)| (name.as_str(), *mass));
        for (name, mass) in masses.into_iter().chain(colorants) {
            if !(mass.g().is_finite() && mass.g() >= 0.0) {
                return Err(Uncorrected::NotAMass(name.to_owned()));
            }
        }
        if ask.held.part_a.g() + ask.held.part_b.g() <= 0.0 {
            return Err(Uncorrected::Nothing);
        }
        let by_name: BTreeMap<&str, &Colorant> =
            ask.shelf.iter().map(|colorant| (colorant.name.as_str(), *colorant)).collect();
        let mut unseen = None;
        for name in ask.wanted.keys().chain(ask.held.colorants.keys()) {
            let colorant = by_name
                .get(name.as_str())
                .ok_or_else(|| Uncorrected::NoSuchColorant(name.clone()))?;
            if colorant.optics.is_none() {
                unseen.get_or_insert_with(|| name.clone());
            }
        }
        let colorants: Vec<&Colorant> =
            by_name.values().filter(|c| c.optics.is_some()).copied().collect();
        if colorants.len() + 1 > MOST_KINDS {
            return Err(Uncorrected::TooMany(colorants.len(), MOST_KINDS - 1));
        }
        let bench = Self { ask, colorants, by_name, a: ask.limits.system.mass_fraction_a() };
        let mix: Vec<Dosed<'_>> = ask
            .wanted
            .iter()
            .filter_map(|(name, loading)| {
                let colorant = *bench.by_name.get(name.as_str())?;
                Some(Dosed { colorant, loading: loading / colorant.lot_strength() })
            })
            .collect();
        // However little of it: no ceiling of nought is kept by thinning.
        let barred = ask.held.colorants.iter().find(|(name, mass)| {
            let bars = |colorant: &&Colorant| ask.limits.bars(colorant);
            let unwanted = !ask.wanted.contains_key(*name);
            unwanted && mass.g() > 0.0 && bench.by_name.get(name.as_str()).is_some_and(bars)
        });
        if let Some((name, _)) = barred {
            let system = ask.limits.system.name.clone();
            return Err(Uncorrected::NoSolvent { system, colorant: name.clone() });
        }
        if let Some(standing) = ask.limits.standings(&mix).iter().find(|one| one.exceeded()) {
            return Err(Uncorrected::WantedExceeds(standing.route.words()));
        }
        for batch in &ask.small_batches {
            let standings = batch.standings(&ask.limits, &mix);
            if let Some(standing) = standings.iter().find(|one| one.exceeded()) {
                let place = Place::SmallBatch(batch.name().to_owned()).words();
                let words = format!("{}, in {place}", standing.route.words());
                return Err(Uncorrected::WantedExceeds(words));
            }
        }
        // Last: what needs no colour is told where this is all that is wrong.
        unseen.map_or(Ok(bench), |name| Err(Uncorrected::NoOptics(name)))
    }

    fn resin_held(&self) -> Mass {
        self.ask.held.part_a + self.ask.held.part_b
    }

    /// Loadings of standing lots of what is weighed in so much resin.
    fn standing(&self, weighed: &'a BTreeMap<String, Mass>, resin: Mass) -> Vec<(&'a str, f64)> {
        weighed
            .iter()
            .filter_map(|(name, mass)| {
                let colorant = self.by_name.get(name.as_str())?;
                Some((name.as_str(), mass.g() / resin.g() * colorant.lot_strength()))
            })
            .collect()
    }

    fn look(&self, loadings: &[(&str, f64)], lamp: usize) -> Result<Look, Uncorrected> {
        let looking = &self.ask.looking;
        let (lamp, _) =
            looking.lamps.get(lamp).ok_or(super::Unmatched::Lamps(super::MOST_LAMPS))?;
        let viewing = Viewing {
            film: looking.film,
            primer: looking.primer,
            lamp: lamp.clone(),
            observer: looking.observer,
        };
        look_of(self.ask.limits.system, &self.by_name, loadings, &viewing)
            .map_err(|unseen| Uncorrected::NoOptics(unseen.to_string()))
    }

    /// The part of A or B, g, that brings the ratio right; nothing where it is off by no more than weighing
    /// may leave it.
    fn ratio_fix(&self) -> f64 {
        let (a, b) = (self.ask.held.part_a.g(), self.ask.held.part_b.g());
        if self.ratio_error(0.0, 0.0) <= RATIO_WITHIN {
            return 0.0;
        }
        (a / self.a).max(b / (1.0 - self.a)) - a - b
    }

    /// A and B, g, of so much added resin.
    fn parts(&self, resin_added: f64) -> [f64; 2] {
        let whole = self.resin_held().g() + resin_added;
        let a = self.a * whole - self.ask.held.part_a.g();
        let b = (1.0 - self.a) * whole - self.ask.held.part_b.g();
        [a.max(0.0), b.max(0.0)]
    }

    fn least<'s>(&self, sight: &'s Sight, aims: &'s [Aim], chart: Option<&'s Chart>) -> Least<'s> {
        let limits = &self.ask.limits;
        let of_batches = self.ask.small_batches.iter();
        let rows: Vec<Inequality> = limits
            .inequalities(&self.colorants)
            .into_iter()
            .chain(of_batches.flat_map(|batch| batch.inequalities(limits, &self.colorants)))
            // The mixture rule holds each to its own.
            .filter(|row| !matches!(row.route, Route::Colorant(_)))
            .collect();
        let rows = binding(rows);
        let resin_gram = resin(limits.system);
        let resin_held = self.resin_held().g();
        let mut held = resin_gram.times(resin_held);
        let mut room: Vec<f64> = rows.iter().map(|row| row.most * resin_held).collect();
        let takes_of_resin = rows.iter().map(|row| -row.most).collect();
        let mut kinds = vec![Kind { unit: resin_gram, takes: takes_of_resin }];
        for (at, colorant) in self.colorants.iter().enumerate() {
            let unit = gram(colorant).unwrap_or(Unit::NONE).times(colorant.lot_strength());
            let takes: Vec<f64> = rows.iter().map(|row| row.per_loading[at]).collect();
            let mass = self.ask.held.colorants.get(&colorant.name).map_or(0.0, |mass| mass.g());
            held = held.plus(mass, &unit);
            for (cell, takes) in room.iter_mut().zip(&takes) {
                *cell -= mass * takes;
            }
            kinds.push(Kind { unit, takes });
        }
        Least { sight, aims, chart, held, kinds, room }
    }

    /// The additions filled up with the wanted base to the least mass asked for.
    fn filled(&self, least: &Least<'_>, mut found: Additions) -> Additions {
        let Some(at_least) = self.ask.at_least else { return found };
        let missing = at_least.g() - self.ask.held.mass().g() - found.total();
        if missing <= 0.0 {
            return found;
        }
        let weighed = |colorant: &Colorant| {
            self.ask.wanted.get(&colorant.name).map_or(0.0, |l| l / colorant.lot_strength())
        };
        let gram_of_resin: f64 = 1.0 + self.colorants.iter().map(|c| weighed(c)).sum::<f64>();
        let more = missing / gram_of_resin;
        if let Some((first, colorants)) = found.grams.split_first_mut() {
            *first += more;
            for (grams, colorant) in colorants.iter_mut().zip(&self.colorants) {
                *grams += more * weighed(colorant);
            }
        }
        found.error = least.error(&found.grams);
        found
    }

    /// What restores the wanted base exactly.
    fn exactly(&self) -> Option<Exactly> {
        exactly(self.ask)
    }

    fn correction(
        &self,
        steps: steps::Steps,
        [look_before, look_wanted]: [Look; 2],
        (error_before, labs): (f64, Vec<Lab>),
        exactly: &Option<Exactly>,
    ) -> Result<Correction, Uncorrected> {
        let ask = self.ask;
        let mut colorants = ask.held.colorants.clone();
        for dose in &steps.doses {
            *colorants.entry(dose.colorant.clone()).or_default() += dose.mass;
        }
        let (weighings, let_downs) = (steps.weighings(), steps.let_downs());
        let [part_a, part_b] = steps.parts;
        let a = ask.held.part_a + part_a.mass + let_down_a(&steps.doses);
        let b = ask.held.part_b + part_b.mass;
        let resin = a + b;
        let loadings: BTreeMap<String, f64> =
            colorants.iter().map(|(name, mass)| (name.clone(), mass.g() / resin.g())).collect();
        let mix: Vec<Dosed<'_>> = loadings
            .iter()
            .filter_map(|(name, loading)| {
                Some(Dosed { colorant: self.by_name.get(name.as_str())?, loading: *loading })
            })
            .collect();
        let standing: Vec<(&str, f64)> = loadings
            .iter()
            .filter_map(|(name, loading)| {
                Some((name.as_str(), loading * self.by_name.get(name.as_str())?.lot_strength()))
            })
            .collect();
        let after = resin + colorants.values().copied().sum::<Mass>();
        let square = ask.looking.lamps.iter().zip(&labs).enumerate().try_fold(
            0.0,
            |sum, (at, ((_, weight), lab))| {
                let delta = delta_e_2000(*lab, self.look(&standing, at)?.lab);
                Ok::<f64, Uncorrected>(sum + weight * delta * delta)
            },
        )?;
        let weight: f64 = ask.looking.lamps.iter().map(|(_, weight)| weight).sum();
        let most = ask.house.largest_mix;
        if after > ask.held.mass() && after > most {
            return Err(Uncorrected::TooLarge { grown_g: after.g(), most_g: most.g() });
        }
        let volume = vessel::volume_of(ask, resin, &colorants);
        let (vessel, in_time) = stands(ask, (after, volume), (weighings, let_downs))?;
        let look_after = self.look(&standing, 0)?;
        let expected = ask.measured.map(|measured| {
            let (after, before) = (look_after.lab, look_before.lab);
            Lab::new(
                after.l + measured.l - before.l,
                after.a + measured.a - before.a,
                after.b + measured.b - before.b,
            )
        });
        Ok(Correction {
            expected,
            part_a,
            part_b,
            doses: steps.doses,
            before: ask.held.mass(),
            after,
            look_before,
            look_after,
            look_wanted,
            aim: labs.first().copied().unwrap_or_default(),
            error_before,
            error_after: libm::sqrt(square / weight),
            standings: ask.limits.standings(&mix),
            loadings,
            ratio_error: (b.g() / a.g() * 100.0 / ask.limits.system.phr() - 1.0).abs(),
            exactly: exactly.clone(),
            completes: false,
            falls_short: None,
            vessel,
            in_time,
        })
    }
}
