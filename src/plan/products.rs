//! The products that are opened in a job, and what about each can hurt someone.

use super::cautions::Topic;
use super::mist::MISTED;
use crate::model::{Hazard, Job, Mist, Recipe};

/// Something that is opened in this job, with what about it can hurt someone.
pub(super) struct Product<'a> {
    pub(super) name: &'a str,
    flammable: bool,
    dusty: bool,
    hazards: &'a [Hazard],
    /// Whether it goes over the cured pour instead of into it.
    pub(super) over: bool,
}

/// The colorants of the recipe and the job's top coat.
pub(super) fn products<'a>(recipe: &'a Recipe<'_>, job: &'a Job) -> Vec<Product<'a>> {
    let colorants = recipe.colorants.values().map(|colorant| Product {
        name: &colorant.name,
        flammable: colorant.is_flammable(),
        dusty: colorant.is_dusty(),
        hazards: &colorant.hazards,
        over: false,
    });
    let top_coat = job.top_coat.iter().map(|coat| Product {
        name: &coat.name,
        flammable: coat.hazards.contains(&Hazard::Flammable),
        dusty: coat.hazards.contains(&Hazard::Dust),
        hazards: &coat.hazards,
        over: true,
    });
    colorants.chain(top_coat).collect()
}

impl Product<'_> {
    /// Says what each of its hazards asks for.
    pub(super) fn cautions(&self, say: &mut impl FnMut(Topic, String, String, &'static str)) {
        let name = if self.over {
            format!("top coat \"{}\"", self.name)
        } else {
            format!("\"{}\"", self.name)
        };
        if self.flammable {
            say(
                Topic::Fire,
                format!(
                    "{name} carries a flammable solvent: no flame or spark, lids on, rags in a closed metal can"
                ),
                format!("{name}: no flame or spark, lid on, rags in a closed metal can"),
                "29 CFR 1910.106 (flammable liquids)",
            );
        }
        if self.dusty {
            say(
                Topic::Dust,
                format!(
                    "{name} is a dry powder: weigh without a draught, fitted particulate respirator, wet wipe, never sweep"
                ),
                format!("{name}, dry: fitted particulate respirator, wet wipe, never sweep"),
                "29 CFR 1910.134 (respirators)",
            );
        }
        for hazard in self.hazards {
            match hazard {
                Hazard::Isocyanate => say(
                    Topic::Air,
                    format!(
                        "{name} holds isocyanate: it can make you allergic for life; supplied air or as its data sheet says, nobody else in the room"
                    ),
                    format!(
                        "{name}, isocyanate: supplied air or as its data sheet says, nobody else in the room"
                    ),
                    "NIOSH Pocket Guide (HDI: REL 0.005 ppm, ceiling 0.020 ppm in 10 min)",
                ),
                Hazard::Aerosol if self.over => say(
                    Topic::Air,
                    format!(
                        "{name} is sprayed: outdoors or with air moving out, organic-vapour cartridge with a particle filter unless its data sheet asks for more"
                    ),
                    format!("{name}, sprayed: air moving out, organic-vapour and particle filter"),
                    "29 CFR 1910.134 (respirators)",
                ),
                Hazard::Aerosol => say(
                    Topic::Air,
                    format!(
                        "{name} comes from a spray can: decant outdoors, let propellant go, organic-vapour cartridge"
                    ),
                    format!("{name}, spray can: decant outdoors, organic-vapour cartridge"),
                    "29 CFR 1910.134 (respirators)",
                ),
                // Told above.
                Hazard::Flammable | Hazard::Dust => {}
            }
        }
    }
}

/// Whether misted or flammable material meets a flame in this job: such a plan is refused.
pub(super) fn flame_meets_vapour(recipe: &Recipe<'_>, job: &Job) -> Option<String> {
    if !job.flame {
        return None;
    }
    if recipe.colourway.pattern.mist != Mist::None {
        return Some(format!(
            "the job has flame: true and the colourway mists {}: no flame, torch, heat gun or spark may come near a misted surface or into its room until it is purged",
            MISTED.name
        ));
    }
    products(recipe, job).into_iter().find(|product| product.flammable).map(|product| {
        format!(
            "the job has flame: true and \"{}\" is flammable: no flame, torch, heat gun or spark may come near it",
            product.name
        )
    })
}
