//! What to lay out before the first weighing: scales, vessels, cups, paddles, counted from the plan.
//!
//! In scope: what the plan's own steps use, for all coats, each used once unless its words say otherwise.
//! Out of scope: what protects people, which the cautions tell, and spares.

use std::collections::BTreeSet;

use crate::model::{House, Kind, Recipe, Scale};
use crate::quantity::{Mass, Units, Volume};

use super::base::BasePlan;
use super::containers::Containers;
use super::mixing::{DoseWeighed, Means};
use super::paddle::Wiped;
use super::run_sheet::{RunSheet, Step};
use super::small_batch::{AccentMeans, LayerPlan, SmallBatch};
use super::stock::Stock;
use super::wanted_at_once::{WantedAtOnce, does_the_same};

/// A kind of thing that is laid out.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ware {
    /// Scales that something is weighed on: which of the house.
    Scale(String),
    /// Vessels that A and B are mixed in, two a mix.
    MixingVessel,
    /// Containers that are poured from.
    Container,
    /// Cups in which colorants are weighed.
    DoseCup,
    /// Cups in which accents are weighed.
    AccentCup,
    /// Cups in which let-downs are made.
    LetDownCup,
    /// Syringes that share a cup of accent out.
    Syringe,
    /// Paddles for parts A and B.
    MixingPaddle,
    /// The paddle that stirs colorants in.
    TintingPaddle(Wiped),
    /// Sticks for let-downs.
    Stick,
    /// Scrapers for drips.
    Scraper,
}

impl Ware {
    /// What it is, by its own name where it has one.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Scale(name) => name,
            other => other.word(),
        }
    }

    /// What it is.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Scale(_) => "scale",
            Self::MixingVessel => "mixing vessel",
            Self::Container => "container",
            Self::DoseCup => "cup for a colorant",
            Self::AccentCup => "cup for an accent",
            Self::LetDownCup => "let-down cup with a lid",
            Self::Syringe => "syringe",
            Self::MixingPaddle => "mixing paddle",
            Self::TintingPaddle(_) => "tinting paddle",
            Self::Stick => "stirring stick",
            Self::Scraper => "drip scraper",
        }
    }

    /// What it is for, and how often.
    #[must_use]
    pub const fn purpose(&self) -> &'static str {
        match self {
            Self::Scale(_) => "one a hand that weighs on it at once",
            Self::MixingVessel => "two a mix: one to mix in, a clean one to mix again and tint in",
            Self::Container => "one each, as numbered",
            Self::DoseCup => "one a weighing of its own, rinsed with the mix",
            Self::AccentCup => "one a container, or one a small batch where it is shared out",
            Self::LetDownCup => "one a let-down",
            Self::Syringe => "one an accent that is shared out",
            Self::MixingPaddle => "one a hand that mixes A and B; wiped before the clean vessel",
            Self::TintingPaddle(Wiped::BeforeLighter) => {
                "one for all, from light to dark; wiped before a lighter base"
            }
            Self::TintingPaddle(Wiped::BeforeAnyOther) => {
                "one for all, which is lighter is not known; wiped before each other base"
            }
            Self::Stick => "one a let-down",
            Self::Scraper => "for the lower edges",
        }
    }
}

/// Things of one kind and size.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// What.
    pub ware: Ware,
    /// How large, brim-full; none where it has no size.
    pub size: Option<Volume>,
    /// Whether larger ones do as well.
    pub at_least: bool,
    /// How many, all coats.
    pub count: u32,
}

/// Cups, brim-full, US fl oz (usual sizes; common practice, no source).
const CUPS_FL_OZ: [f64; 6] = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0];

/// Cups, brim-full, mL (usual sizes; common practice, no source).
const CUPS_ML: [f64; 6] = [30.0, 60.0, 120.0, 250.0, 500.0, 1000.0];

/// A cup is filled no further than this, so that it can be stirred and rinsed (common practice, no source).
const CUP_FILL: f64 = 0.5;

/// A dry powder lies so much looser than its particles are dense: mica flakes of 3 g/mL lie at some 0.2–0.4 g/mL as they
/// are poured (common practice, no source).
const LOOSE_POWDER: f64 = 10.0;

/// The smallest usual cup for so much; beyond all of them, what would be filled so far.
fn cup_for(content: Volume, units: Units) -> Volume {
    let needs = content * (1.0 / CUP_FILL);
    let sizes = match units {
        Units::Us => CUPS_FL_OZ.map(Volume::from_fl_oz),
        Units::Metric => CUPS_ML.map(Volume::from_ml),
    };
    sizes.into_iter().find(|size| *size >= needs).unwrap_or(needs)
}

/// Everything that the plan's steps use.
pub(super) struct Uses<'a> {
    pub(super) recipe: &'a Recipe<'a>,
    pub(super) bases: &'a [BasePlan],
    pub(super) containers: Option<&'a Containers>,
    pub(super) batches: &'a [SmallBatch],
    pub(super) stocks: &'a [Stock],
    pub(super) run_sheet: Option<&'a RunSheet>,
    pub(super) wanted_at_once: &'a [WantedAtOnce],
    pub(super) house: &'a House,
    pub(super) crew: u32,
    pub(super) coats: u32,
    /// In whose usual sizes cups are had.
    pub(super) units: Units,
}

/// What to lay out, in the order of work.
pub(super) fn lay_out(uses: &Uses<'_>) -> Vec<LaidOut> {
    let mut all = Tray::default();
    all.vessels(uses);
    all.cups(uses);
    if let Some(containers) = uses.containers {
        let size = Some(uses.recipe.colourway.container);
        all.put(Ware::Container, size, false, containers.number().saturating_mul(uses.coats));
    }
    let mixing = uses.run_sheet.map(RunSheet::mixing_hands).and_then(|all| u32::try_from(all).ok());
    all.put(Ware::MixingPaddle, None, false, mixing.unwrap_or(uses.crew));
    if uses.bases.iter().flat_map(|base| &base.mixes).any(|mix| !mix.doses.is_empty()) {
        all.put(Ware::TintingPaddle(Wiped::of(uses.bases)), None, false, 1);
    }
    let scrapes = |sheet: &RunSheet| {
        sheet.lines.iter().any(|line| matches!(line.step, Step::ScrapeDrips { .. }))
    };
    if uses.run_sheet.is_some_and(scrapes) {
        all.put(Ware::Scraper, None, false, 1);
    }
    all.0.sort_by(|one, other| {
        let size = |laid: &LaidOut| laid.size.map_or(0.0, |size| size.ml());
        one.ware.cmp(&other.ware).then(size(one).total_cmp(&size(other)))
    });
    scales(uses).chain(all.0).collect()
}

/// Scales that something is weighed on, the coarsest first; of one that more hands want at once than there are, so many
/// more.
fn scales<'a>(uses: &Uses<'a>) -> impl Iterator<Item = LaidOut> + use<'a> {
    let mixes = uses.bases.iter().flat_map(|base| &base.mixes);
    let parts = mixes.flat_map(|mix| {
        let doses = mix.doses.iter().map(DoseWeighed::weighed);
        [&mix.part_a, &mix.part_b].into_iter().chain(doses)
    });
    let layers = uses.batches.iter().flat_map(|batch| &batch.layers).map(LayerPlan::weighed);
    let stocks =
        uses.stocks.iter().flat_map(|stock| [&stock.colorant_weighed, &stock.part_a_weighed]);
    let used: BTreeSet<&str> =
        parts.chain(layers).chain(stocks).map(|weighed| weighed.scale.as_str()).collect();
    let wanted_at_once = uses.wanted_at_once;
    // Others of the house that do the same, one for each further hand.
    let alike: BTreeSet<&str> = wanted_at_once
        .iter()
        .flat_map(|wanted| {
            let others = uses.house.scales.iter().map(|scale| scale.name.as_str());
            let others = others.filter(|name| {
                *name != wanted.scale && does_the_same(uses.house, &wanted.scale, name)
            });
            others.take(wanted.hands.saturating_sub(1))
        })
        .collect();
    let laid = move |scale: &&Scale| {
        let name = scale.name.as_str();
        used.contains(name) || alike.contains(name)
    };
    uses.house.scales.iter().filter(laid).map(move |scale| {
        let wanted = wanted_at_once.iter().find(|wanted| wanted.scale == scale.name);
        let more = wanted.map_or(0, WantedAtOnce::more);
        LaidOut {
            ware: Ware::Scale(scale.name.clone()),
            size: None,
            at_least: false,
            count: more.saturating_add(1),
        }
    })
}

/// What has been laid out so far.
#[derive(Default)]
struct Tray(Vec<LaidOut>);

impl Tray {
    fn put(&mut self, ware: Ware, size: Option<Volume>, at_least: bool, count: u32) {
        if count == 0 {
            return;
        }
        match self.0.iter_mut().find(|laid| laid.ware == ware && laid.size == size) {
            Some(laid) => laid.count = laid.count.saturating_add(count),
            None => self.0.push(LaidOut { ware, size, at_least, count }),
        }
    }

    fn vessels(&mut self, uses: &Uses<'_>) {
        for mix in uses.bases.iter().flat_map(|base| &base.mixes) {
            let both = uses.coats.saturating_mul(2);
            self.put(Ware::MixingVessel, Some(mix.vessel), false, both);
        }
    }

    fn cups(&mut self, uses: &Uses<'_>) {
        let colorants = &uses.recipe.colorants;
        let holds = |colorant: &str, mass: Mass| {
            colorants.get(colorant).map_or(Volume::from_ml(mass.g()), |one| {
                let loose = if one.kind == Kind::Powder { LOOSE_POWDER } else { 1.0 };
                mass / one.density * loose
            })
        };
        let part_a = uses.recipe.system.density_a;
        for dose in uses.bases.iter().flat_map(|base| &base.mixes).flat_map(|mix| &mix.doses) {
            let content = match &dose.means {
                Means::OnTop(_) => continue,
                Means::InCup(weighed) => holds(&dose.colorant, weighed.mass),
                // Mostly part A.
                Means::LetDown { weighed, .. } => weighed.mass / part_a,
            };
            self.put(Ware::DoseCup, Some(cup_for(content, uses.units)), true, uses.coats);
        }
        for batch in uses.batches {
            for layer in &batch.layers {
                let LayerPlan::Accent { colorant, means, .. } = layer else { continue };
                let cup = Some(cup_for(holds(colorant, layer.cup()), uses.units));
                match means {
                    AccentMeans::OnTop => {}
                    AccentMeans::InCup => {
                        let count = batch.count.saturating_mul(uses.coats);
                        self.put(Ware::AccentCup, cup, true, count);
                    }
                    AccentMeans::Shared => {
                        self.put(Ware::AccentCup, cup, true, uses.coats);
                        self.put(Ware::Syringe, None, false, uses.coats);
                    }
                }
            }
        }
        for stock in uses.stocks {
            self.put(Ware::LetDownCup, Some(cup_for(stock.made() / part_a, uses.units)), true, 1);
            self.put(Ware::Stick, None, false, 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cup_is_half_full_at_most() {
        let fl_oz = Volume::from_fl_oz;
        let cup = |content: f64| cup_for(fl_oz(content), Units::Us);
        assert_eq!(cup(0.2), fl_oz(1.0));
        assert_eq!(cup(0.5), fl_oz(1.0));
        assert_eq!(cup(0.51), fl_oz(2.0));
        assert_eq!(cup(40.0), fl_oz(80.0), "larger than any usual cup");
        assert_eq!(cup_for(Volume::from_ml(10.0), Units::Metric), Volume::from_ml(30.0));
    }
}
