//! What would help where a mix cannot be poured in time, or only hot.
//!
//! A change is made as a person makes it, in the house's or the job's file and to the very value that
//! is told, and the whole job is planned anew: what is told to help has been seen to.

use crate::model::{House, Job, JobParts};
use crate::quantity::{Mass, Money, Temperature, Units};

use super::ask::NotPlanned;
use super::long_pour::LongPour;
use super::run_sheet::Finding;
use super::whole::{Plan, Stop};

/// One change of house or job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A smaller largest mix in the house.
    SmallerMixes {
        /// The largest mix then, in whole steps of 10 g.
        largest: Mass,
    },
    /// More hands.
    Crew {
        /// All hands then.
        crew: u32,
    },
    /// A cooler room.
    Cooler {
        /// The room then: whole degrees in `units`.
        room: Temperature,
        /// The house's units, in which that is told exactly.
        units: Units,
        /// Parts A and B, stated to be warmer than that, are cooled as well.
        parts_too: bool,
    },
}

/// What changes bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Mixes of one coat: vessels and pages follow their number.
    pub mixes: usize,
    /// Mixes still too late.
    pub late_mixes: usize,
    /// The worst of them, s; 0 if all are in time.
    pub worst_late_s: i64,
    /// Mixes that are in time, but with little to spare or not by the shortest of their pot life.
    pub tight_mixes: usize,
    /// Mixes that are still hot when last poured.
    pub hot_mixes: usize,
    /// Other reasons not to pour.
    pub other_stops: usize,
    /// Those of them that the plan without the changes has not.
    pub new_stops: usize,
    /// That the film poured first no longer runs when the last is poured.
    pub long_pour: Option<LongPour>,
    /// How much more it costs than the plan without the changes; none where it costs no more, or not all has a price.
    pub dearer: Option<Money>,
    /// How long the whole takes then, s.
    pub makespan_s: i64,
    /// Whether that is longer than a crew works at a stretch, and longer than the plan takes without the
    /// changes.
    pub too_long: bool,
}

/// The longest that a crew stays at one pour, a working day, s: a remedy by which it takes longer, such as
/// many small mixes by one pair of hands, is none. (Common practice, no source.)
const LONGEST_S: i64 = 8 * 3600;

impl Outcome {
    /// What a plan is, beside one without the changes; none where it has no run sheet.
    fn of(plan: &Plan, before: Before) -> Option<Self> {
        let sheet = plan.time.as_ref().ok()?;
        let (late_mixes, worst_late_s) = sheet.lateness();
        let other_stops = other_stops(plan);
        let hot = |finding: &&Finding| matches!(finding, Finding::HotPour { .. });
        Some(Self {
            mixes: plan.bases.iter().map(|base| base.mixes.len()).sum(),
            late_mixes,
            worst_late_s,
            tight_mixes: (0..sheet.clocks.len()).filter(|mix| sheet.is_tight(*mix)).count(),
            hot_mixes: sheet.findings.iter().filter(hot).count(),
            other_stops,
            new_stops: other_stops.saturating_sub(before.other_stops),
            long_pour: plan.long_pour,
            dearer: plan
                .cost
                .total
                .zip(before.total)
                .and_then(|(own, before)| own.minus(before).ok())
                .filter(|more| more.minor() > 0),
            makespan_s: sheet.makespan_s,
            too_long: sheet.makespan_s > before.makespan_s.max(LONGEST_S),
        })
    }

    /// Whether every mix is poured in time.
    #[must_use]
    pub const fn in_time(&self) -> bool {
        self.late_mixes == 0
    }

    /// Whether every mix is poured in time, none hot, within a crew's day, and no new reason speaks
    /// against it.
    #[must_use]
    pub const fn does(&self) -> bool {
        self.late_mixes == 0 && self.hot_mixes == 0 && self.new_stops == 0 && !self.too_long
    }

    /// Whether it does, and the pour is done while its film runs.
    #[must_use]
    pub const fn does_while_it_runs(&self) -> bool {
        self.does() && self.long_pour.is_none()
    }

    /// The lower, the nearer to what does.
    pub(crate) const fn distance(&self) -> (usize, i64, usize, usize, bool) {
        (self.new_stops, self.worst_late_s, self.late_mixes, self.hot_mixes, self.too_long)
    }
}

/// The plan without the changes.
#[derive(Debug, Clone, Copy, Default)]
struct Before {
    /// Reasons not to pour beside lateness.
    other_stops: usize,
    /// How long it takes, s.
    makespan_s: i64,
    /// What it costs.
    total: Option<Money>,
}

/// Reasons not to pour that lateness is none of.
fn other_stops(plan: &Plan) -> usize {
    let late = |stop: &&Stop<'_>| {
        matches!(stop, Stop::Clock(Finding::TooLate { .. } | Finding::HotPour { .. }))
    };
    let all = plan.stops();
    all.len() - all.iter().filter(late).count()
}

/// Changes tried together, and what they bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// The changes; one, or several where no single one does.
    pub changes: Vec<Change>,
    /// What the plan is then.
    pub outcome: Outcome,
}

/// All that was tried.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Remedies {
    /// Of each kind of change, and of kinds together, the gentlest that does; the best where none of
    /// that kind does. Those that do come first, those of them last whose film no longer runs when the pour is done,
    /// by how few mixes stay tight.
    pub tried: Vec<Remedy>,
    /// How many plans were made.
    pub plans: usize,
    /// How far each kind of change was taken.
    pub reach: Vec<Change>,
}

/// No more plans than this are made in search of a remedy.
const MOST_PLANS: usize = 60;

/// So many more hands are tried, in this order.
const MORE_HANDS: [u32; 2] = [1, 2];

/// The largest mix is tried in so many parts, in this order.
const PARTS: [u32; 4] = [2, 3, 4, 6];

/// No room is tried that is colder than this, °C: below it resin thickens and cures slowly (common
/// practice, no source).
const COOLEST_CELSIUS: f64 = 18.0;

/// A way to change a plan; all zero for none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Way {
    more_hands: u32,
    /// By so many steps of temperature.
    cooler: u32,
    /// The largest mix in so many parts.
    parts: u32,
}

/// Which changes go together.
#[derive(Debug, Clone, Copy)]
struct Kind {
    hands: bool,
    cooler: bool,
    smaller: bool,
}

/// Kinds of change: alone, in pairs, all together. Later ones are tried only where none of the
/// earlier does while its film runs.
const KINDS: [&[Kind]; 3] = [
    &[
        Kind { hands: true, cooler: false, smaller: false },
        Kind { hands: false, cooler: true, smaller: false },
        Kind { hands: false, cooler: false, smaller: true },
    ],
    &[
        Kind { hands: true, cooler: true, smaller: false },
        Kind { hands: true, cooler: false, smaller: true },
        Kind { hands: false, cooler: true, smaller: true },
    ],
    &[Kind { hands: true, cooler: true, smaller: true }],
];

/// What helps a plan in which a mix comes too late or hot; nothing is tried for any other. `anew` plans
/// the job with another house and another job.
pub(super) fn remedies(
    plan: &Plan,
    house: &House,
    job: &Job,
    anew: impl Fn(&House, &Job) -> Result<Plan, NotPlanned>,
) -> Remedies {
    if !plan.time.as_ref().is_ok_and(super::run_sheet::RunSheet::any_in_trouble) {
        return Remedies::default();
    }
    let largest = plan.bases.iter().flat_map(|base| &base.mixes).map(super::Mix::mass);
    let mut search = Search {
        house,
        job,
        largest: largest.fold(Mass::from_g(0.0), Mass::greater),
        before: Before {
            other_stops: other_stops(plan),
            makespan_s: plan.time.as_ref().map_or(0, |sheet| sheet.makespan_s),
            total: plan.cost.total,
        },
        coolest: 0,
        idle: plan.time.as_ref().is_ok_and(|sheet| sheet.hands() < plan.crew as usize),
        coolest_celsius: plan
            .lowest_temperature
            .map_or(COOLEST_CELSIUS, |lowest| lowest.c().max(COOLEST_CELSIUS)),
        anew,
        plans: 0,
        reach: Way::default(),
    };
    search.coolest = search.coolest_step();
    let mut tried: Vec<Remedy> = Vec::new();
    for kinds in KINDS {
        let found = kinds.iter().filter_map(|kind| search.best_of(*kind));
        // Beside one that does, though long, what is no better is nothing to be tried.
        let does = tried.iter().any(|remedy| remedy.outcome.does());
        tried.extend(found.filter(|remedy| !does || remedy.outcome.does_while_it_runs()));
        if tried.iter().any(|remedy| remedy.outcome.does_while_it_runs()) {
            break;
        }
    }
    // Those that help most come first.
    tried.sort_by_key(|remedy| {
        let does = remedy.outcome.does();
        let long = does && remedy.outcome.long_pour.is_some();
        (!does, long, if does { remedy.outcome.tight_mixes } else { 0 })
    });
    let reach = search.changes(search.reach);
    Remedies { tried, plans: search.plans, reach }
}

struct Search<'a, Anew> {
    house: &'a House,
    job: &'a Job,
    /// The largest mix as planned.
    largest: Mass,
    /// The plan without changes.
    before: Before,
    /// The coolest room that is tried, °C: one at which the system may be poured.
    coolest_celsius: f64,
    /// How many steps lead to it.
    coolest: u32,
    /// Whether some of the crew have nothing to do.
    idle: bool,
    anew: Anew,
    plans: usize,
    reach: Way,
}

impl<Anew: Fn(&House, &Job) -> Result<Plan, NotPlanned>> Search<'_, Anew> {
    /// The gentlest way of a kind that does while its film runs, else the gentlest that does, else the best.
    fn best_of(&mut self, kind: Kind) -> Option<Remedy> {
        // Where hands stand idle already, one more changes nothing.
        if (kind.cooler && self.coolest == 0) || (kind.hands && self.idle) {
            return None;
        }
        let mut best: Option<Remedy> = None;
        for &more_hands in if kind.hands { &MORE_HANDS[..] } else { &[0] } {
            for &parts in if kind.smaller { &PARTS[..] } else { &[1] } {
                let cooler = if kind.cooler { self.coolest } else { 0 };
                let way = Way { more_hands, cooler, parts };
                let Some(remedy) = self.tried(way) else { continue };
                let remedy = match kind.cooler && remedy.outcome.does() {
                    true => self.warmest(way, remedy),
                    false => remedy,
                };
                if remedy.outcome.does_while_it_runs() {
                    return Some(remedy);
                }
                let nearer = best.as_ref().is_none_or(|best| {
                    !best.outcome.does()
                        && (remedy.outcome.does()
                            || remedy.outcome.distance() < best.outcome.distance())
                });
                if nearer {
                    best = Some(remedy);
                }
            }
        }
        best
    }

    /// The warmest room that does, where the coolest (`way`) does, by halving: each room that is told
    /// has been planned, and the next warmer one does not do.
    fn warmest(&mut self, way: Way, coolest: Remedy) -> Remedy {
        let (mut too_warm, mut enough, mut best) = (0, way.cooler, coolest);
        while enough - too_warm > 1 {
            let middle = too_warm + (enough - too_warm) / 2;
            match self.tried(Way { cooler: middle, ..way }) {
                Some(remedy) if remedy.outcome.does() => {
                    enough = middle;
                    best = remedy;
                }
                _ => too_warm = middle,
            }
        }
        best
    }

    /// What one way brings; none where it changes nothing, cannot be planned, or enough has been tried.
    fn tried(&mut self, way: Way) -> Option<Remedy> {
        let changes = self.changes(way);
        let wanted = [way.more_hands > 0, way.cooler > 0, way.parts > 1];
        if changes.len() < wanted.into_iter().filter(|is| *is).count() || self.plans >= MOST_PLANS {
            return None;
        }
        let (house, job) = changed(self.house, self.job, &changes)?;
        self.plans += 1;
        let outcome = Outcome::of(&(self.anew)(&house, &job).ok()?, self.before)?;
        self.reach = Way {
            more_hands: self.reach.more_hands.max(way.more_hands),
            cooler: self.reach.cooler.max(way.cooler),
            parts: self.reach.parts.max(way.parts),
        };
        Some(Remedy { changes, outcome })
    }

    fn changes(&self, way: Way) -> Vec<Change> {
        let crew = (way.more_hands > 0)
            .then_some(Change::Crew { crew: self.job.crew.saturating_add(way.more_hands) });
        let cooler = (way.cooler > 0).then(|| {
            let room = self.room(way.cooler);
            let parts_too = self.job.parts.is_some_and(|parts| parts > room);
            Change::Cooler { room, units: self.house.units, parts_too }
        });
        // Up to the next 10 g, so that equal parts of the largest fit.
        let share_g = self.largest.g() / f64::from(way.parts.max(1));
        let largest = Mass::from_g((share_g / 10.0).ceil() * 10.0);
        let smaller =
            (way.parts > 1 && largest < self.largest).then_some(Change::SmallerMixes { largest });
        [crew, cooler, smaller].into_iter().flatten().collect()
    }

    /// The room some steps cooler, in whole degrees: 2 °F or 1 °C a step.
    fn room(&self, steps: u32) -> Temperature {
        let steps = f64::from(steps);
        match self.house.units {
            Units::Us => Temperature::from_f(self.job.temperature.f().round() - 2.0 * steps),
            Units::Metric => Temperature::from_c(self.job.temperature.c().round() - steps),
        }
    }

    /// How many steps stay above the coolest room.
    fn coolest_step(&self) -> u32 {
        const MOST: u32 = 100;
        (1..=MOST)
            .take_while(|steps| self.room(*steps).c() >= self.coolest_celsius - 1e-9)
            .last()
            .unwrap_or(0)
    }
}

/// The house and the job after some changes; none where they cannot be.
fn changed(house: &House, job: &Job, changes: &[Change]) -> Option<(House, Job)> {
    let mut house = (**house).clone();
    let mut job = JobParts { options: std::collections::BTreeMap::new(), ..(**job).clone() };
    for change in changes {
        match *change {
            Change::SmallerMixes { largest } => house.largest_mix = largest,
            Change::Crew { crew } => job.crew = crew,
            Change::Cooler { room, parts_too, .. } => {
                job.temperature = room;
                if parts_too {
                    job.parts = Some(room);
                }
            }
        }
    }
    House::new(house).ok().zip(Job::new(job).ok())
}
