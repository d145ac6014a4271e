//! The run sheet of a plan: its mixes and containers as the clock sees them.

use std::collections::BTreeMap;

use crate::model::{House, Job, Mist, Recipe, Timed};
use crate::quantity::{Fraction, Temperature, TimeSpan};

use super::base::BasePlan;
use super::coat_uprights::UprightCoats;
use super::containers::Containers;
use super::fills::drawn;
use super::paddle::Wiped;
use super::run_sheet::{
    Ask, Batch, DatasheetPotLife, Durations, HeatRules, Mix, RunSheet, RunSheetError, Take,
    TintingPaddle, Vessel, run_sheet_that_serves,
};
use super::small_batch::{LayerPlan, SmallBatch};
use super::weather::Weather;

/// What the clock and the gate reckon with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// The room.
    pub room: Temperature,
    /// Parts A and B as they meet.
    pub parts: Temperature,
    /// The surface; one that has stood in the room is as warm as the room.
    pub surface: Temperature,
    /// Relative humidity of the room.
    pub humidity: Fraction,
}

impl Conditions {
    pub(super) fn of(job: &Job) -> Self {
        let room = job.temperature;
        Self {
            room,
            parts: job.parts.unwrap_or(room),
            surface: job.surface.unwrap_or(room),
            humidity: job.humidity,
        }
    }
}

/// The usual durations, with what the shop states for itself.
fn durations(own: &BTreeMap<Timed, TimeSpan>) -> Durations {
    let mut all = Durations::default();
    for (step, time) in own {
        let place = match step {
            Timed::Mix => &mut all.mix_s,
            Timed::MixALitre => &mut all.mix_per_litre_s,
            Timed::SecondVessel => &mut all.second_vessel_s,
            Timed::SecondVesselALitre => &mut all.second_vessel_per_litre_s,
            Timed::Tint => &mut all.tint_each_s,
            Timed::CleanPaddle => &mut all.clean_paddle_s,
            Timed::FillALayer => &mut all.decant_layer_s,
            Timed::Accent => &mut all.accent_each_s,
            Timed::Pour => &mut all.pour_s,
            Timed::PourALitre => &mut all.pour_per_litre_s,
            Timed::CoatASquareMetre => &mut all.coat_per_m2_s,
            Timed::Mist => &mut all.mist_s,
            Timed::MistWait => &mut all.mist_wait_s,
            Timed::Scrape => &mut all.scrape_s,
        };
        *place = time.s();
    }
    all
}

/// What the run sheet of one coat follows from.
#[derive(Clone, Copy)]
pub(super) struct Timing<'a> {
    pub(super) recipe: &'a Recipe<'a>,
    pub(super) house: &'a House,
    pub(super) job: &'a Job,
    pub(super) bases: &'a [BasePlan],
    pub(super) batches: &'a [SmallBatch],
    pub(super) containers: Option<&'a Containers>,
    pub(super) uprights: Option<&'a UprightCoats>,
}

/// The run sheet of one coat.
pub(super) fn time(timing: &Timing<'_>) -> Result<RunSheet, RunSheetError> {
    let Timing { recipe, house, job, bases, batches, containers, uprights } = *timing;
    let mut mixes = Vec::new();
    // What is still to be taken of each mix, base by base.
    let mut first = Vec::with_capacity(bases.len());
    for base in bases {
        first.push(mixes.len());
        for (part, mix) in (1..).zip(&base.mixes) {
            mixes.push(Mix {
                name: base.name.clone(),
                part: (part, base.mixes.len()),
                mass_g: mix.mass().g(),
                volume_ml: mix.volume.ml(),
                clings_g: mix.account().cling.total().g(),
                vessel: Vessel { capacity_ml: mix.vessel.ml(), diameter_mm: None },
                colorants: mix.doses.len(),
                split_into: 1,
            });
        }
    }
    let batches = match containers {
        Some(_) => poured_from_containers(bases, batches, &first),
        None => poured_from_mixes(bases),
    };
    let Conditions { room, parts, surface, humidity } = Conditions::of(job);
    let ask = Ask {
        mixes,
        batches,
        crew: job.crew as usize,
        paddle: TintingPaddle::Shared(Wiped::of(bases)),
        mist: recipe.colourway.pattern.mist != Mist::None,
        upright_m2: uprights.map_or(0.0, |coats| coats.area.m2()),
        ambient_celsius: room.c(),
        parts_celsius: parts.c(),
        pot_life: DatasheetPotLife {
            minutes: recipe.system.pot_life.time.min(),
            mass_g: recipe.system.pot_life.mass.g(),
            celsius: recipe.system.pot_life.temperature.c(),
            vessel: None,
        },
        density_g_per_ml: recipe.system.mixed_density().g_per_ml(),
        weather: Some(Weather {
            air_celsius: room.c(),
            surface_celsius: surface.c(),
            humidity_percent: humidity.percent(),
            lowest_celsius: recipe.system.lowest_temperature.map(Temperature::c),
            highest_celsius: None,
            dampest_percent: None,
        }),
        durations: durations(&house.durations),
        rules: HeatRules::default(),
    };
    run_sheet_that_serves(&ask)
}

/// One batch a container; each layer is drawn from its base's mixes in turn. `first` holds the index
/// of each base's first mix.
fn poured_from_containers(
    bases: &[BasePlan],
    batches: &[SmallBatch],
    first: &[usize],
) -> Vec<Batch> {
    let mut all: Vec<Batch> = batches
        .iter()
        .flat_map(|batch| {
            let is_accent = |layer: &&LayerPlan| matches!(layer, LayerPlan::Accent { .. });
            let accents = batch.layers.iter().filter(is_accent).count();
            let layers = batch.layers.len() - accents;
            let one = Batch { name: batch.name.clone(), takes: Vec::new(), layers, accents };
            std::iter::repeat_n(one, batch.count as usize)
        })
        .collect();
    // Containers are weighed in whole steps of a scale, which together may be a little more than the mix
    // holds: the last of it is then so much less.
    let mut left_g: Vec<f64> =
        bases.iter().flat_map(|base| &base.mixes).map(|mix| mix.mass().g()).collect();
    for one in drawn(bases, batches) {
        let mix = first[one.base] + one.mix;
        let mass_g = one.mass.g().min(left_g[mix]);
        left_g[mix] -= mass_g;
        all[one.container].takes.push(Take { mix, mass_g });
    }
    all
}

/// Without containers each mix is poured as it is. Weighed in whole steps of a scale it may hold a little less than is
/// wanted of it.
fn poured_from_mixes(bases: &[BasePlan]) -> Vec<Batch> {
    bases
        .iter()
        .flat_map(|base| base.mixes.iter().map(move |mix| (base, mix)))
        .enumerate()
        .map(|(at, (base, mix))| Batch {
            name: base.name.clone(),
            takes: vec![Take { mix: at, mass_g: mix.out.g().min(mix.mass().g()) }],
            layers: 0,
            accents: 0,
        })
        .collect()
}
