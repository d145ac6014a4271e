//! Whether a corrected mix can still be poured.

use super::course::{Course, Delay};
use super::{Clock, CorrectAsk, LastPour, Uncorrected};
use crate::heat::course::HORIZON_S;
use crate::plan::Wiped;
use crate::plan::run_sheet::{
    Ask, Basis, DatasheetPotLife, Durations, HeatRules, Mix, PotLife, TintingPaddle, Vessel,
    celsius_as_drawn, run_sheet,
};
use crate::quantity::{Mass, TimeSpan, Volume};

/// The clock of a corrected mix.
#[derive(Debug, Clone, PartialEq)]
pub struct InTime {
    /// Since B first met A.
    pub age: TimeSpan,
    /// Pot life of the corrected mass in its vessel, or of what has stood there until now where that is more,
    /// from when B first met A; what is fresh in it is not counted in its favour. `None` where it lasts beyond a
    /// month.
    pub pot_life: Option<TimeSpan>,
    /// The least and greatest of it, as a plan's clock reckons them; `None` where it is as the datasheet states
    /// it.
    pub range: Option<(TimeSpan, TimeSpan)>,
    /// A mix older than this share of its pot life as it is poured is tight.
    pub tight_share: f64,
    /// From now until the last of it is poured: to make let-downs, weigh and stir in, and what follows.
    pub needed: TimeSpan,
    /// What of that correcting it takes; nought where nothing is added.
    pub work: TimeSpan,
    /// How many let-downs are made in that time.
    pub let_downs: usize,
    /// That it is counted as on the schedule of a job's plan; `None` where what follows is stated or assumed.
    pub on_schedule: Option<OnSchedule>,
}

/// A clock that is counted as on the schedule of a job's plan.
#[derive(Debug, Clone, PartialEq)]
pub struct OnSchedule {
    /// The mix of the plan: `slate 2`.
    pub mix: String,
    /// By how much it is late if all work has stood still since it was tinted; `None` where it is in time even so.
    pub late_if_stood: Option<TimeSpan>,
    /// Mixes that it may be as well, and by how much it is late then.
    pub late_as: Vec<(String, TimeSpan)>,
}

/// To stir a let-down until no streak is left, s. (Common practice, no source.)
const STIR_LET_DOWN_S: f64 = 60.0;

impl InTime {
    /// What is to spare.
    #[must_use]
    pub fn spare(&self) -> Option<TimeSpan> {
        self.pot_life.map(|life| life - self.poured())
    }

    /// Its age when the last of it is poured.
    #[must_use]
    pub fn poured(&self) -> TimeSpan {
        self.age + self.needed
    }

    /// By how much it is late by the least of its pot life; `None` where it is in time by that too.
    #[must_use]
    pub fn late_by_shortest(&self) -> Option<TimeSpan> {
        let (least, _) = self.range?;
        Some(self.poured() - least).filter(|late| late.s() > 0.0)
    }

    /// Whether it is in time with little to spare, or only if its pot life is not the least that it may be: what
    /// a plan calls tight too.
    #[must_use]
    pub fn is_tight(&self) -> bool {
        let late_in_life =
            self.pot_life.is_some_and(|life| self.poured().s() > self.tight_share * life.s());
        let if_stood = self.on_schedule.as_ref().and_then(|own| own.late_if_stood);
        late_in_life || self.late_by_shortest().is_some() || if_stood.is_some()
    }
}

/// The clock of a mix that has become so much in a vessel of so much, brim-full, where it runs. Refuses a correction that comes too late. What is weighed,
/// and how many let-downs are made for it, are counted, for each of the vessels that it is shared out over.
pub(super) fn in_time(
    ask: &CorrectAsk<'_>,
    (mass, volume): (Mass, Volume),
    vessel: Option<Volume>,
    (weighings, let_downs): (usize, usize),
) -> Result<Option<InTime>, Uncorrected> {
    let (Some(clock), Some(vessel)) = (&ask.clock, vessel) else { return Ok(None) };
    let own = lasts(ask, clock, (mass, volume), vessel)?;
    let life = as_planned(clock, own, mass, vessel);
    let pot_life = life.and_then(|life| life.seconds).map(TimeSpan::from_s);
    let range = life
        .filter(|life| life.basis == Basis::Estimated)
        .and_then(|life| life.range_s)
        .map(|(least_s, most_s)| (TimeSpan::from_s(least_s), TimeSpan::from_s(most_s)));
    let work = work(volume, (weighings, let_downs));
    #[expect(clippy::cast_precision_loss, reason = "counts of vessels are small")]
    let vessels = clock.vessels.max(1) as f64;
    let delay = Delay { age: clock.age, work, vessels, poured: clock.poured };
    let (poured, on_schedule) = match &clock.last_pour {
        LastPour::After(pour) => (clock.age + (work + *pour) * vessels, None),
        LastPour::Planned(courses) => counted(courses, delay, pot_life),
    };
    let in_time = InTime {
        age: clock.age,
        pot_life,
        range,
        tight_share: HeatRules::default().tight_share,
        needed: poured - clock.age,
        work: work * vessels,
        let_downs,
        on_schedule,
    };
    let spare = in_time.spare();
    let too_late = |hot_celsius| Uncorrected::TooLate {
        needed_min: in_time.needed.min(),
        left_min: spare.map_or(f64::MAX, |spare| (in_time.needed + spare).min().max(0.0)),
        hot_celsius,
    };
    let hot = hot(ask, clock, &in_time, (mass, volume), vessel)?;
    if hot.is_some() || spare.is_some_and(|spare| spare.s() < 0.0) {
        return Err(too_late(hot));
    }
    Ok(Some(in_time))
}

/// Poured so little later than planned, a mix is as warm as planned, s. (Common practice, no source.)
const AS_PLANNED_S: f64 = 120.0;

/// How hot the mix is as the last of it is poured, °C, where that is too hot. It stands whole until its pour begins, and is
/// drawn off evenly from then on. What is poured as planned is as hot as the plan has it, which knows its containers.
fn hot(
    ask: &CorrectAsk<'_>,
    clock: &Clock,
    in_time: &InTime,
    (mass, volume): (Mass, Volume),
    vessel: Volume,
) -> Result<Option<f64>, Uncorrected> {
    let ends = in_time.poured();
    let of = |courses: &[Course]| {
        let own = in_time.on_schedule.as_ref()?;
        courses.iter().find(|course| course.mix == own.mix).cloned()
    };
    let begins = match &clock.last_pour {
        LastPour::After(pour) => ends - *pour,
        LastPour::Planned(courses) => match of(courses) {
            None => return Ok(None),
            Some(course) if !course.hot && (ends - course.last).s() <= AS_PLANNED_S => {
                return Ok(None);
            }
            // What is left of it has been drawn from since then.
            Some(course) if clock.poured > 0.0 => course.first,
            Some(course) => ends - (course.last - course.first),
        },
    };
    let one = one_mix(ask, clock, (mass, volume), vessel);
    let [from_s, to_s] = [begins, ends].map(whole_s);
    let celsius = celsius_as_drawn(&one, from_s, to_s)?;
    Ok(celsius.filter(|celsius| *celsius > one.rules.hot_pour_celsius))
}

/// A time of a clock in whole seconds, none before B met A.
fn whole_s(time: TimeSpan) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "at most the horizon of the heat model")]
    let whole = time.s().clamp(0.0, HORIZON_S) as i64;
    whole
}

/// How old a mix is as the last of it is poured, counted as on the plan's schedule, and by which of the mixes that it may be:
/// the latest of those that are in time, the least late where none is.
fn counted(
    courses: &[Course],
    delay: Delay,
    life: Option<TimeSpan>,
) -> (TimeSpan, Option<OnSchedule>) {
    let late = |poured: TimeSpan| {
        life.map(|life| poured - life).filter(|late| late.s() > 0.0).unwrap_or(TimeSpan::ZERO)
    };
    let by_end = |one: &&Course, other: &&Course| {
        let [one, other] = [one, other].map(|course| course.poured_at(delay).on_schedule.s());
        one.total_cmp(&other)
    };
    let is_late = |course: &&Course| late(course.poured_at(delay).on_schedule).s() > 0.0;
    let in_time = courses.iter().filter(|course| !is_late(course)).max_by(by_end);
    let Some(own) = in_time.or_else(|| courses.iter().min_by(by_end)) else {
        return (delay.age + delay.work * delay.vessels, None);
    };
    let poured = own.poured_at(delay);
    let if_stood = late(poured.stood_still);
    let late_as = courses.iter().filter(|course| course.mix != own.mix && is_late(course));
    let on_schedule = OnSchedule {
        mix: own.mix.clone(),
        late_if_stood: (if_stood.s() > 0.0).then_some(if_stood),
        late_as: late_as
            .map(|course| (course.mix.clone(), late(course.poured_at(delay).on_schedule)))
            .collect(),
    };
    (poured.on_schedule, Some(on_schedule))
}

/// To make let-downs, weigh and stir in, in one vessel; nothing where nothing is weighed.
fn work(volume: Volume, (weighings, let_downs): (usize, usize)) -> TimeSpan {
    if weighings == 0 {
        return TimeSpan::ZERO;
    }
    let durations = Durations::default();
    #[expect(clippy::cast_precision_loss, reason = "counts of weighings are small")]
    let weigh_s = durations.tint_each_s * weighings as f64 + STIR_LET_DOWN_S * let_downs as f64;
    let stir_s = durations.second_vessel_s + durations.second_vessel_per_litre_s * volume.l();
    TimeSpan::from_s(weigh_s + stir_s)
}

/// The pot life that a job's plan gives a mix, for no more of it than is planned, in the planned vessel, where that is the
/// longer: the plan counts what stands in the second vessel alone.
fn as_planned(clock: &Clock, own: Option<PotLife>, mass: Mass, vessel: Volume) -> Option<PotLife> {
    let LastPour::Planned(courses) = &clock.last_pour else { return own };
    let planned = courses.iter().filter_map(|course| course.lasts).find(|lasts| {
        mass <= lasts.mass && (vessel.ml() - lasts.vessel.ml()).abs() <= 1e-6 * vessel.ml()
    });
    let longer = |planned: &PotLife| match (planned.seconds, own.and_then(|own| own.seconds)) {
        (Some(planned), Some(own)) => planned > own,
        _ => false,
    };
    planned.map(|lasts| lasts.pot_life).filter(longer).or(own)
}

/// How long so much of the corrected mix lasts in such a vessel.
fn lasts(
    ask: &CorrectAsk<'_>,
    clock: &Clock,
    (mass, volume): (Mass, Volume),
    vessel: Volume,
) -> Result<Option<PotLife>, Uncorrected> {
    let sheet = run_sheet(&one_mix(ask, clock, (mass, volume), vessel))?;
    Ok(sheet.clocks.first().map(|clock| clock.pot_life))
}

/// So much of a mix in such a vessel, with nothing done to it.
fn one_mix(
    ask: &CorrectAsk<'_>,
    clock: &Clock,
    (mass, volume): (Mass, Volume),
    vessel: Volume,
) -> Ask {
    let system = ask.limits.system;
    Ask {
        mixes: vec![Mix {
            name: "the corrected mix".to_owned(),
            part: (1, 1),
            mass_g: mass.g(),
            volume_ml: volume.ml(),
            clings_g: 0.0,
            vessel: Vessel { capacity_ml: vessel.ml(), diameter_mm: None },
            colorants: 0,
            split_into: 1,
        }],
        batches: Vec::new(),
        crew: 1,
        paddle: TintingPaddle::Shared(Wiped::BeforeLighter),
        mist: false,
        upright_m2: 0.0,
        ambient_celsius: clock.temperature.c(),
        parts_celsius: clock.parts.c(),
        pot_life: DatasheetPotLife {
            minutes: system.pot_life.time.min(),
            mass_g: system.pot_life.mass.g(),
            celsius: system.pot_life.temperature.c(),
            vessel: None,
        },
        density_g_per_ml: system.mixed_density().g_per_ml(),
        weather: None,
        durations: Durations::default(),
        rules: HeatRules::default(),
    }
}
