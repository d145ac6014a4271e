//! Jobs that need no job file: a sample board, a bare area, what a kit gives.

use std::collections::BTreeMap;

use crate::model::{Board, Colourway, Faults, House, Job, JobParts, Losses, RunOff, Shop, at};
use crate::quantity::{Area, Dimensions, Length, Units, Volume};

use super::ask::{Ask, NotPlanned};
use super::containers::Containers;
use super::demand::{Demand, cling_share, wall_film};
use super::proportion::near_enough;
use super::reckon::{plan_mended_by, timed, weights};
use super::take_off::TakeOff;
use super::whole::Plan;

/// A job of one sample board, everything else as is usual in this house.
///
/// # Errors
/// A board without size.
pub fn for_board(shop: &Shop, size: Dimensions) -> Result<Job, Faults> {
    let name = format!("sample board {}", size.show(size.round_in(shop.house.units)));
    let parts = JobParts::bare(name, &shop.house);
    let losses = Losses { run_off: RunOff::USUAL_OF_BOARDS, ..parts.losses };
    Job::new(JobParts { boards: vec![Board { size, count: 1 }], losses, ..parts })
}

/// The largest square board, m, that is looked at for one that holds a recipe's proportion.
const LARGEST_BOARD_M: f64 = 2.0;

/// The side of the smallest square sample board whose containers are in the recipe's proportion, in whole
/// inches or in whole steps of 25 mm; none up to two metres.
pub(super) fn smallest_board_in_proportion(shop: &Shop, colourway: &Colourway) -> Option<Length> {
    let step = match shop.house.units {
        Units::Us => Length::from_in(1.0),
        Units::Metric => Length::from_mm(25.0),
    };
    let sides = (1_u32..).map(|steps| step * f64::from(steps));
    sides.take_while(|side| side.m() <= LARGEST_BOARD_M).find(|side| {
        let Ok(job) = for_board(shop, Dimensions::new(*side, *side)) else { return false };
        let demand = Demand::of(&TakeOff::of(&job), colourway.film, job.face_film, &job.losses);
        let (film, share) = (wall_film(job.losses.cling), cling_share(job.losses.cling));
        Containers::of(colourway, shop.house.fill.value(), film, share, demand.out())
            .is_some_and(|containers| near_enough(colourway, &containers.counts))
    })
}

/// A job of a flat area and nothing else known.
///
/// # Errors
/// No area.
pub fn for_area(shop: &Shop, area: Area) -> Result<Job, Faults> {
    let parts = JobParts::bare(format!("{} of counter", area.show(shop.house.units)), &shop.house);
    Job::new(JobParts { area: Some(area), ..parts })
}

/// A kit that covers more than this, m², was meant in another unit: no job is that large.
const LARGEST_M2: f64 = 9_000.0;

/// Less than this is not mixed by hand: it cures off its ratio, and most of it stays on the vessel's wall. (Common practice,
/// no source.)
const LEAST_KIT: Volume = Volume::from_ml(50.0);

/// The plan of the largest area that a kit of mixed resin (parts A and B together, in the system's ratio)
/// covers: found by halving, because what clings goes with whole vessels. Neither part of it takes more than
/// the kit holds of it.
///
/// # Errors
/// As [`plan`](super::plan()); also a kit too small to coat anything.
pub fn for_kit(shop: &Shop, colourway: &Colourway, kit: Volume) -> Result<Plan, NotPlanned> {
    let named = kit.show(shop.house.units);
    if kit.ml() / 1000.0 > LARGEST_M2 * colourway.film.mm() {
        return Err(cannot(
            format!(
                "a kit of {named} covers more than {}",
                Area::from_m2(LARGEST_M2).show(shop.house.units)
            ),
            "look at its unit",
        ));
    }
    if kit < LEAST_KIT {
        let least = LEAST_KIT.show(shop.house.units);
        return Err(cannot(
            format!("a kit of {named} is too small to be mixed and poured: {least} is the least"),
            "look at its unit: write it like \"48 fl oz\" or \"1.5 L\"",
        ));
    }
    let parts = JobParts::bare(format!("what a kit of {named} covers"), &shop.house);
    let of = Kit { shop, colourway, kit };
    let job = of.covered(&shop.house, &parts)?;
    // What a kit covers hangs on the vessels, and so on how large a mix may be.
    plan_mended_by(&Ask { shop, colourway, job: &job }, |house, job| {
        if house.largest_mix == shop.house.largest_mix {
            return timed(&Ask { shop, colourway, job }, house);
        }
        let job = of.covered(house, job)?;
        timed(&Ask { shop, colourway, job: &job }, house)
    })
}

fn cannot(message: String, hint: &str) -> NotPlanned {
    let mut faults = Faults::default();
    faults.error(at![], message).hint(hint);
    NotPlanned::job(faults)
}

fn too_small(named: &str) -> NotPlanned {
    cannot(
        format!("a kit of {named} is too small to coat anything with this colourway"),
        "what clings to vessels takes it all",
    )
}

/// A kit of mixed resin for a colourway.
#[derive(Debug, Clone, Copy)]
struct Kit<'a> {
    shop: &'a Shop,
    colourway: &'a Colourway,
    kit: Volume,
}

impl Kit<'_> {
    /// A job like `parts` of the largest area that the kit covers in this house.
    fn covered(self, house: &House, parts: &JobParts) -> Result<Job, NotPlanned> {
        let Kit { shop, colourway, kit } = self;
        let job = |m2: f64| {
            let area = Some(Area::from_m2(m2));
            Job::new(JobParts { area, options: BTreeMap::new(), ..parts.clone() })
                .map_err(NotPlanned::job)
        };
        // No loss at all bounds the area from above.
        let bound = (kit.ml() / 1000.0) / colourway.film.mm();
        let (mut covers, mut too_large) = (0.0, bound * 1.01);
        let mut best = None;
        for _ in 0..40 {
            let middle = f64::midpoint(covers, too_large);
            let job = job(middle)?;
            let plan = weights(&Ask { shop, colourway, job: &job }, house)?;
            // A hair below the kit, so that the last bit of a sum does not buy a second one.
            let fits =
                kit_needed(&plan).is_some_and(|needed| needed.ml() <= kit.ml() * (1.0 - 1e-10));
            if fits {
                covers = middle;
                best = Some(job);
            } else {
                too_large = middle;
            }
        }
        best.ok_or_else(|| too_small(&kit.show(shop.house.units)))
    }
}

/// The kit that a plan takes: what is bought is reckoned on the part that runs out first, and so is this. Parts A
/// and B as weighed would come to less wherever their steps on the scale leave them off the ratio, or a let-down
/// takes part A alone.
fn kit_needed(plan: &Plan) -> Option<Volume> {
    let resin = plan.cost.resin()?;
    Some(resin.demand / resin.density)
}
