//! The whole plan: what it holds, and what speaks against pouring it.

use crate::colour::Srgb8;
use crate::model::{Fingerprint, Losses, MixRatio, Override, PotLife, RunOff, Standing};
use crate::quantity::{Area, Density, Length, Mass, Temperature, TimeSpan, Units, Volume};

use super::base::BasePlan;
use super::cautions::Caution;
use super::checks::Check;
use super::coat_uprights::UprightCoats;
use super::containers::Containers;
use super::cost::{Cost, OptionCost};
use super::demand::Demand;
use super::figures::{Figures, Rests};
use super::fills::MixFills;
use super::have_ready::Ready;
use super::lay_out::LaidOut;
use super::ledger::{Ledger, Material};
use super::long_pour::LongPour;
use super::mist::MistLiquid;
use super::pieces::{Over, Piece};
use super::proportion::Astray;
use super::remedies::Remedies;
use super::run_sheet::{Basis, Finding, MOST_BATCHES, MOST_MIXES, RunSheet, RunSheetError};
use super::small_batch::SmallBatch;
use super::stock::Stock;
use super::take_off::{CounterArea, TakeOff};
use super::time::Conditions;
use super::too_coarse::TooCoarse;
use super::upright::Uprights;
use super::wanted_at_once::WantedAtOnce;

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
    /// Part A to part B as the system's file states them.
    pub ratio: MixRatio,
    /// Grams of part B to 100 g of part A.
    pub phr: f64,
    /// Whether the system's file states equivalent weights, against which its mix ratio and what epoxy carriers
    /// shift of it are checked.
    pub ratio_is_checked: bool,
    /// Densities of part A, part B and the two mixed.
    pub densities: [Density; 3],
    /// Ceilings that the job raises, and why.
    pub raised: Vec<Override>,
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
    /// Which containers go on which piece, in one coat; empty where there is one piece alone.
    pub pieces: Vec<Piece>,
    /// The allowance of one coat, which is no piece's from the start; none where mixes are poured as they are on one
    /// piece alone.
    pub over: Option<Over>,
    /// The dose that the house's scales show least well; none where all are within its tolerance.
    pub too_coarse: Option<TooCoarse>,
    /// Which mix fills which containers, in one coat; empty where mixes are poured as they are.
    pub fills: Vec<MixFills>,
    /// The run sheet of one coat, or why there is none.
    pub time: Result<RunSheet, RunSheetError>,
    /// That the pour takes longer than its film runs; none where it does not, or there is no run sheet.
    pub long_pour: Option<LongPour>,
    /// Scales that more hands want at one moment of the run sheet than there are.
    pub wanted_at_once: Vec<WantedAtOnce>,
    /// What would help where a mix comes too late or hot.
    pub remedies: Remedies,
    /// The house's units, in which the plan's own words stand.
    pub units: Units,
    /// Hands at the bench.
    pub crew: u32,
    /// Whether a job file states crew and temperatures, else options of the command.
    pub filed: bool,
    /// The pot life that the system states.
    pub pot_life: PotLife,
    /// The lowest temperature at which the system may be poured; none where its file states none.
    pub lowest_temperature: Option<Temperature>,
    /// What the clock and the gate reckon with.
    pub conditions: Conditions,
    /// What of all that meets part B in one coat is left over if nothing goes wrong, the allowance with it.
    pub left_over: Mass,
    /// The whole job's account, all coats.
    pub ledger: Ledger,
    /// What to buy.
    pub cost: Cost,
    /// Scales, vessels, cups and paddles to lay out, all coats.
    pub lay_out: Vec<LaidOut>,
    /// What the steps use up or protect with and no file prices.
    pub have_ready: Vec<Ready>,
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

    /// The counters of which no run-off is counted since the job states none of their edges; none where it goes by
    /// another measure, or is stated to be none.
    pub fn without_run_off(&self) -> impl Iterator<Item = &CounterArea> {
        let by_edge = match self.losses.run_off {
            RunOff::PerEdge { volume, .. } => volume.ml() > 0.0,
            RunOff::Share(_) => false,
        };
        self.take_off.counters.iter().filter(move |counter| by_edge && !counter.states_edges)
    }

    /// The flat area of which one clock is about made, where this plan has more mixes or containers than that: mixes
    /// and containers go with the area, in whole vessels, so a tenth is left to spare, and the figure is round in the
    /// plan's units. None where it is something else that no clock is made for.
    #[must_use]
    pub fn most_for_one_clock(&self) -> Option<Area> {
        if self.time != Err(RunSheetError::TooMany) {
            return None;
        }
        let mixes: usize = self.bases.iter().map(|base| base.mixes.len()).sum();
        let containers: u64 = self.small_batches.iter().map(|batch| u64::from(batch.count)).sum();
        let containers = usize::try_from(containers).unwrap_or(usize::MAX);
        #[expect(clippy::cast_precision_loss, reason = "a share, rounded")]
        let share = |most: usize, count: usize| most as f64 / count.max(1) as f64;
        let share = share(MOST_MIXES, mixes).min(share(MOST_BATCHES, containers));
        let area = self.take_off.flat() * (0.9 * share);
        (share < 1.0).then(|| match self.units {
            Units::Us => Area::from_ft2(two_digits(area.ft2())),
            Units::Metric => Area::from_m2(two_digits(area.m2())),
        })
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

/// A figure down to its first two digits.
fn two_digits(figure: f64) -> f64 {
    if !(figure.is_finite() && figure > 0.0) {
        return 0.0;
    }
    let step = libm::pow(10.0, libm::floor(libm::log10(figure)) - 1.0);
    libm::floor(figure / step) * step
}
