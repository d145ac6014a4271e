//! Each mix's pot life, its age as it is poured, and what becomes of what is left.

use super::RunSheetError;
use super::ask::{Ask, Mix};
use super::resins::{Resins, cooling, filled};
use super::work::Step;
use super::{Finding, HeatRules, Line};
use crate::heat::HeatError;
use crate::heat::course::{Cooling, HORIZON_S, Mass, Resin, State};
use crate::heat::pot_life::pot_life_s;
use crate::heat::vessel::{Cylinder, film};

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Stated by the datasheet for this mass, vessel and temperature.
    Datasheet,
    /// Carried over from the datasheet's figure by the thermal model.
    Estimated,
}

/// How long a mix can be poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// Seconds from the start of mixing; none if longer than a month.
    pub seconds: Option<f64>,
    /// The least and greatest of it, s: over the activation energies and heats of amine–epoxy cures
    /// in the literature, and over how well the cup may have been cooled in which the datasheet's
    /// was measured; each doubt taken alone.
    pub range_s: Option<(f64, f64)>,
    /// Where it comes from.
    pub basis: Basis,
    /// From when on it is too hot to pour, standing whole in its vessel (estimated); none where it gels before, or never
    /// is.
    pub hot: Option<HotFrom>,
}

/// From when on a mix that stands whole in its vessel is so hot that it runs away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotFrom {
    /// Seconds from the start of mixing.
    pub seconds: f64,
    /// How hot it is then, °C.
    pub celsius: f64,
}

impl PotLife {
    /// What the planner aims at, s: the pour well inside the pot life, and before it is hot. More
    /// than a plain deadline, so that of two plans in time the one with room to spare is taken.
    pub(super) fn aim_s(&self, rules: &HeatRules) -> Option<i64> {
        let tight_s = self.seconds.map(|life_s| life_s * rules.tight_share);
        let hot_s = self.hot.map(|hot| hot.seconds);
        [tight_s, hot_s].into_iter().flatten().map(rounded_down).min()
    }

    /// In whole seconds, rounded down.
    pub(super) fn whole_s(&self) -> Option<i64> {
        self.seconds.map(rounded_down)
    }
}

/// Whole seconds of a time that the thermal model gives.
fn rounded_down(seconds: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the model follows no mass for longer than 30 days"
    )]
    let whole = seconds.floor() as i64;
    whole
}

/// A mix's clock, from the moment B meets A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixClock {
    /// When the clock starts, s from the first step.
    pub start_s: i64,
    /// Its pot life, whole in its mixing vessel.
    pub pot_life: PotLife,
    /// By when it must be poured, s from the first step: before it gels and, where it is hot as it is poured, before
    /// it is, standing whole.
    pub pour_by_s: Option<i64>,
    /// When the last of it is decanted, s from the first step (the moment decanting ends).
    pub last_decant_s: Option<i64>,
    /// When the last of it is poured, s from the first step, and in which batch.
    pub last_pour: Option<(i64, usize)>,
    /// Its age then, s.
    pub age_s: Option<i64>,
    /// By how much that is too late, s; none if in time.
    pub late_by_s: Option<i64>,
    /// How what waits of it stands at its last decanting (estimated); as it was mixed, if none.
    pub at_last_decant: State,
    /// How the last batch with it stands as it is poured, having waited in its container since it
    /// was decanted (estimated).
    pub at_last_pour: Option<State>,
}

/// What is left of a mix, standing in its vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOver {
    /// Index of the mix.
    pub mix: usize,
    /// How much, g.
    pub mass_g: f64,
    /// How hot it gets if it stays there, °C (estimated).
    pub peak_celsius: f64,
    /// When, s from the first step.
    pub peak_s: i64,
    /// How hot it gets if it is spread in a thin film instead, °C (estimated).
    pub peak_spread_celsius: f64,
    /// Whether spreading it still keeps it below what counts as hot.
    pub spreading_helps: bool,
}

/// How long every mix lasts.
pub(super) fn lives(ask: &Ask, resins: &Resins) -> Result<Vec<PotLife>, RunSheetError> {
    let mut lives: Vec<PotLife> = Vec::with_capacity(ask.mixes.len());
    for (at, mix) in ask.mixes.iter().enumerate() {
        // Equal mixes are many, and following one is the dear part.
        let twin = ask.mixes[..at].iter().position(|other| {
            (other.mass_g, other.volume_ml, other.vessel) == (mix.mass_g, mix.volume_ml, mix.vessel)
        });
        if let Some(twin) = twin {
            lives.push(lives[twin]);
            continue;
        }
        let cooling = cooling(&mix.vessel, mix.volume_ml)?;
        let life = |resin: &Resin, cooling: &Cooling| {
            pot_life_s(resin, cooling, ask.parts_celsius, ask.ambient_celsius)
        };
        let seconds = life(&resins.usual, &cooling)?;
        let mut range_s = seconds.map(|middle| (middle, middle));
        for corner in &resins.corners {
            range_s = range_s
                .zip(life(&corner.resin, &corner.cooling(cooling))?)
                .map(|((low, high), life)| (low.min(life), high.max(life)));
        }
        let hot_s = Mass::new(&resins.usual, &cooling, ask.ambient_celsius)?
            .seconds_to_celsius(State::fresh(ask.parts_celsius), ask.rules.hot_pour_celsius)?;
        let sooner = |hot_s: &f64| seconds.is_none_or(|life_s| *hot_s < life_s);
        let hot = hot_s
            .filter(sooner)
            .map(|seconds| HotFrom { seconds, celsius: ask.rules.hot_pour_celsius });
        lives.push(PotLife { seconds, range_s, basis: basis(ask, mix), hot });
    }
    Ok(lives)
}

/// A mix of the stated mass in the stated vessel at the stated temperature has the stated pot
/// life; any other has an estimate.
fn basis(ask: &Ask, mix: &Mix) -> Basis {
    let stated = &ask.pot_life;
    let same_mass = (mix.mass_g - stated.mass_g).abs() <= 0.01 * stated.mass_g;
    let same_heat = (ask.ambient_celsius - stated.celsius).abs() <= 0.5
        && (ask.parts_celsius - stated.celsius).abs() <= 0.5;
    if same_mass && same_heat && stated.vessel == Some(mix.vessel) {
        Basis::Datasheet
    } else {
        Basis::Estimated
    }
}

fn seconds(whole: i64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "schedules last days, not aeons")]
    let seconds = whole.max(0) as f64;
    seconds
}

/// How long a mass is followed as it waits, s: what has cured for a month changes no more.
fn waited_s(whole: i64) -> f64 {
    seconds(whole).min(HORIZON_S)
}

/// The clock of every mix on the lines of a schedule.
pub(super) fn clocks(
    ask: &Ask,
    resin: &Resin,
    lives: &[PotLife],
    lines: &[Line],
) -> Result<Vec<MixClock>, RunSheetError> {
    let at = |step: Step| lines.iter().find(|line| line.step == step);
    lives
        .iter()
        .enumerate()
        .map(|(mix, pot_life)| {
            let start_s = at(Step::Mix { mix }).map_or(0, |line| line.start_s);
            let mut decants: Vec<Decanted> = ask
                .takes(mix)
                .filter_map(|(batch, mass_g)| {
                    // What is poured as it is waits in its own vessel until then.
                    let filled = at(Step::Decant { batch }).or_else(|| at(Step::Pour { batch }));
                    let end_s = filled?.end_s;
                    Some(Decanted { end_s, batch, mass_g })
                })
                .collect();
            decants.sort_by_key(|decant| (decant.end_s, decant.batch));
            let stands = stands(ask, resin, mix, start_s, &decants)?;
            let last_pour = ask
                .takes(mix)
                .filter_map(|(batch, _)| {
                    let poured = at(Step::Pour { batch })?;
                    // What is held back of the last batch is spread later.
                    let held = at(Step::CoatUprights).filter(|_| batch + 1 == ask.batches.len());
                    Some((held.unwrap_or(poured).end_s, batch))
                })
                .max();
            let at_last_pour = match last_pour {
                Some((poured_s, batch)) => decants
                    .iter()
                    .zip(&stands)
                    .rfind(|(decant, _)| decant.batch == batch)
                    .map(|(decant, stood)| {
                        let container = Cylinder::squat(ask.batch_volume_ml(batch).max(1.0))?;
                        Mass::new(resin, &container.cooling(), ask.ambient_celsius)?
                            .after(*stood, waited_s(poured_s - decant.end_s))
                    })
                    .transpose()?,
                None => None,
            };
            let age_s = last_pour.map(|(poured_s, _)| poured_s - start_s);
            let late_by_s = match (age_s, pot_life.whole_s()) {
                (Some(age_s), Some(life_s)) if age_s > life_s => Some(age_s - life_s),
                _ => None,
            };
            // What has gelled by then is late, hot or not.
            let is_hot = late_by_s.is_none()
                && at_last_pour
                    .is_some_and(|state: State| state.celsius > ask.rules.hot_pour_celsius);
            let hot_s = pot_life.hot.filter(|_| is_hot).map(|hot| rounded_down(hot.seconds));
            let ends_s = [pot_life.whole_s(), hot_s].into_iter().flatten().min();
            Ok(MixClock {
                start_s,
                pot_life: *pot_life,
                pour_by_s: ends_s.map(|ends_s| start_s + ends_s),
                last_decant_s: decants.last().map(|decant| decant.end_s),
                last_pour,
                age_s,
                late_by_s,
                at_last_decant: stands.last().copied().unwrap_or(State::fresh(ask.parts_celsius)),
                at_last_pour,
            })
        })
        .collect()
}

/// A decanting from a mix.
struct Decanted {
    end_s: i64,
    batch: usize,
    mass_g: f64,
}

/// How what waits of a mix in its vessel stands at the end of each decanting; it is less, and
/// cools better, after each.
fn stands(
    ask: &Ask,
    resin: &Resin,
    mix: usize,
    start_s: i64,
    decants: &[Decanted],
) -> Result<Vec<State>, HeatError> {
    let one = &ask.mixes[mix];
    let mut state = State::fresh(ask.parts_celsius);
    let mut now_s = start_s;
    let mut waiting_g = one.mass_g;
    let mut stands = Vec::with_capacity(decants.len());
    for decant in decants {
        let volume_ml = one.volume_ml * (waiting_g / one.mass_g).max(0.0);
        let waiting = Mass::new(resin, &cooling(&one.vessel, volume_ml)?, ask.ambient_celsius)?;
        state = waiting.after(state, waited_s(decant.end_s - now_s))?;
        stands.push(state);
        now_s = decant.end_s;
        waiting_g -= decant.mass_g;
    }
    Ok(stands)
}

/// In so many portions a mix is drawn off where no plan tells its containers.
const PORTIONS: u32 = 8;

/// How hot the first mix of `ask` is as the last of it is drawn, °C (estimated): it stands whole in its vessel until
/// `from_s`, and is drawn off evenly until `to_s`, both s from the start of mixing.
///
/// # Errors
/// [`RunSheetError`] for an amount out of range.
pub fn celsius_as_drawn(ask: &Ask, from_s: i64, to_s: i64) -> Result<Option<f64>, RunSheetError> {
    ask.check()?;
    let Some(mix) = ask.mixes.first() else { return Ok(None) };
    let last = i64::from(PORTIONS - 1);
    let drawn: Vec<Decanted> = (0..PORTIONS)
        .map(|portion| Decanted {
            end_s: from_s + (to_s - from_s).max(0) * i64::from(portion) / last,
            batch: 0,
            mass_g: mix.mass_g / f64::from(PORTIONS),
        })
        .collect();
    let stands = stands(ask, &Resins::usual(ask)?, 0, 0, &drawn)?;
    Ok(stands.last().map(|state| state.celsius))
}

/// Spreading that spares less than this, K, is not worth handling a hot vessel for (common practice,
/// no source).
const SPREADING_SPARES_K: f64 = 5.0;

/// What is left of the mixes after their last decanting, what clings to walls apart: more than a gram,
/// more than a thousandth, and a body of its own: deeper in its vessel than the film in which left-overs are spread so
/// that they do not heat themselves. What lies no deeper loses its heat through top and bottom as that film does, and
/// clings to the bottom as much as it lies there.
pub(super) fn left_overs(
    ask: &Ask,
    resin: &Resin,
    clocks: &[MixClock],
) -> Result<Vec<LeftOver>, RunSheetError> {
    let spread = film(ask.rules.spread_film_mm)?;
    let mut left_overs = Vec::new();
    for (mix, (one, clock)) in ask.mixes.iter().zip(clocks).enumerate() {
        let mass_g = one.mass_g - one.clings_g - ask.taken_g(mix);
        if mass_g <= 1.0_f64.max(1e-3 * one.mass_g) {
            continue;
        }
        let volume_ml = one.volume_ml * mass_g / one.mass_g;
        let in_vessel = filled(&one.vessel, volume_ml)?;
        if in_vessel.depth_mm() <= ask.rules.spread_film_mm {
            continue;
        }
        let in_vessel = Mass::new(resin, &in_vessel.cooling(), ask.ambient_celsius)?;
        let stays = in_vessel.course(clock.at_last_decant)?;
        let spread = Mass::new(resin, &spread, ask.ambient_celsius)?;
        let peak_spread_celsius = spread.course(clock.at_last_decant)?.peak_celsius;
        left_overs.push(LeftOver {
            mix,
            mass_g,
            peak_celsius: stays.peak_celsius,
            peak_s: clock.last_decant_s.unwrap_or(clock.start_s) + rounded_down(stays.peak_s),
            peak_spread_celsius,
            spreading_helps: peak_spread_celsius <= ask.rules.hot_left_over_celsius
                && peak_spread_celsius < stays.peak_celsius - SPREADING_SPARES_K,
        });
    }
    Ok(left_overs)
}

/// What the clocks and left-overs say.
pub(super) fn findings(ask: &Ask, clocks: &[MixClock], left_overs: &[LeftOver]) -> Vec<Finding> {
    let HeatRules { hot_pour_celsius, hot_left_over_celsius, tight_share, .. } = ask.rules;
    let mut found = Vec::new();
    for (mix, clock) in clocks.iter().enumerate() {
        let Some((_, batch)) = clock.last_pour else {
            found.push(Finding::NeverPoured { mix });
            continue;
        };
        let hot = clock.at_last_pour.map(|state| state.celsius);
        let hot = hot.filter(|celsius| *celsius > hot_pour_celsius);
        if let Some(by_s) = clock.late_by_s {
            found.push(Finding::TooLate { mix, batch, by_s });
        } else if let Some(celsius) = hot {
            found.push(Finding::HotPour { mix, celsius, most_celsius: hot_pour_celsius });
        } else if let (Some(age_s), Some(life_s)) = (clock.age_s, clock.pot_life.whole_s()) {
            let least_s = clock.pot_life.range_s.map(|(least_s, _)| rounded_down(least_s));
            let late_by_shortest_s =
                least_s.map(|least_s| age_s - least_s).filter(|by_s| *by_s > 0);
            if late_by_shortest_s.is_some() || seconds(age_s) > tight_share * seconds(life_s) {
                let spare_s = life_s - age_s;
                found.push(Finding::Tight { mix, spare_s, late_by_shortest_s });
            }
        }
    }
    for (at, left_over) in left_overs.iter().enumerate() {
        if left_over.peak_celsius > hot_left_over_celsius {
            found.push(Finding::LeftOverRunsHot { left_over: at });
        }
    }
    found
}
