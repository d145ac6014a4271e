//! Whether a corrected mix can still be poured.

use super::{CorrectAsk, Uncorrected};
use crate::plan::Wiped;
use crate::plan::run_sheet::{
    Ask, Basis, DatasheetPotLife, Durations, HeatRules, Mix, TintingPaddle, Vessel, run_sheet,
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
    /// To weigh, stir in and pour; to make let-downs first, too.
    pub needed: TimeSpan,
    /// How many let-downs that is.
    pub let_downs: usize,
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
        late_in_life || self.late_by_shortest().is_some()
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
    let system = ask.limits.system;
    let durations = Durations::default();
    let rules = HeatRules::default();
    let tight_share = rules.tight_share;
    let density = system.mixed_density().g_per_ml();
    let volume_ml = volume.ml();
    let celsius = clock.temperature.c();
    let sheet = run_sheet(&Ask {
        mixes: vec![Mix {
            name: "the corrected mix".to_owned(),
            part: (1, 1),
            mass_g: mass.g(),
            volume_ml,
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
        ambient_celsius: celsius,
        parts_celsius: celsius,
        pot_life: DatasheetPotLife {
            minutes: system.pot_life.time.min(),
            mass_g: system.pot_life.mass.g(),
            celsius: system.pot_life.temperature.c(),
            vessel: None,
        },
        density_g_per_ml: density,
        weather: None,
        durations: durations.clone(),
        rules,
    })?;
    let of_mix = sheet.clocks.first().map(|clock| clock.pot_life);
    let pot_life = of_mix.and_then(|life| life.seconds).map(TimeSpan::from_s);
    let range = of_mix
        .filter(|life| life.basis == Basis::Estimated)
        .and_then(|life| life.range_s)
        .map(|(least_s, most_s)| (TimeSpan::from_s(least_s), TimeSpan::from_s(most_s)));
    #[expect(clippy::cast_precision_loss, reason = "counts of weighings are small")]
    let weigh_s = durations.tint_each_s * weighings as f64 + STIR_LET_DOWN_S * let_downs as f64;
    let litres = volume_ml / 1000.0;
    let stir_s = durations.second_vessel_s + durations.second_vessel_per_litre_s * litres;
    #[expect(clippy::cast_precision_loss, reason = "counts of vessels are small")]
    let vessels = clock.vessels.max(1) as f64;
    let needed = (TimeSpan::from_s(weigh_s + stir_s) + clock.until_poured) * vessels;
    let in_time = InTime { age: clock.age, pot_life, range, tight_share, needed, let_downs };
    match in_time.spare() {
        Some(spare) if spare.s() < 0.0 => Err(Uncorrected::TooLate {
            needed_min: needed.min(),
            left_min: (needed + spare).min().max(0.0),
        }),
        _ => Ok(Some(in_time)),
    }
}
