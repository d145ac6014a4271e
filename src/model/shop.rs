//! The whole shop.

use std::collections::BTreeMap;

use super::colorant::Shelf;
use super::colourway::Colourway;
use super::fault::{Faults, at};
use super::house::House;
use super::job::{Job, Raised};
use super::system::System;

/// Everything the shop's files say, each noun by its name.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shop {
    /// Scales, vessels, thresholds.
    pub house: House,
    /// Resin systems.
    pub systems: BTreeMap<String, System>,
    /// Colorants.
    pub colorants: Shelf,
    /// Recipes.
    pub colourways: BTreeMap<String, Colourway>,
    /// Jobs.
    pub jobs: BTreeMap<String, Job>,
}

impl Shop {
    /// What a job names that the shop does not have.
    #[must_use]
    pub fn faults_of_job(&self, job: &Job) -> Faults {
        let mut faults = Faults::default();
        let named = job.colourway.iter().map(|name| (at!["colourway"], name)).chain(
            job.options.iter().filter_map(|(option, choice)| {
                Some((at!["options", option, "colourway"], choice.colourway.as_ref()?))
            }),
        );
        for (at, name) in named {
            if !self.colourways.contains_key(name) {
                faults
                    .error(at, format!("no colourway is called \"{name}\""))
                    .offer(name, self.colourways.keys());
            }
        }
        for (at, each) in job.overrides.iter().enumerate() {
            if let Raised::Colorant(name) = &each.ceiling
                && !self.colorants.contains_key(name)
            {
                faults
                    .error(
                        at!["overrides", at, "ceiling"],
                        format!("no colorant is called \"{name}\""),
                    )
                    .offer(name, self.colorants.keys());
            }
        }
        faults
    }
}
