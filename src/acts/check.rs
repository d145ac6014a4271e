//! Checks every file of a shop, every reference, and every ceiling of every colourway.

use crate::diagnostic::{Diagnostics, Severity};
use crate::model::{Job, Recipe};
use crate::plan::check_ceilings;
use crate::store::{Opened, check_all, told};

/// What was checked and what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// How many systems, colorants, colourways and jobs are sound.
    pub sound: [usize; 4],
    /// How many ceilings were checked.
    pub ceilings: usize,
    /// Everything found, errors and refusals among it.
    pub found: Diagnostics,
}

/// Checks a shop.
#[must_use]
pub fn check(opened: &Opened) -> Checked {
    let shop = &opened.shop;
    let mut found = opened.found.clone();
    found.extend(check_all(opened));
    let mut ceilings = 0;
    for (name, colourway) in &shop.colourways {
        // What dangles has been told already.
        let Ok(recipe) = Recipe::of(shop, colourway) else { continue };
        // A ceiling that a job of this colourway raises is raised here too.
        let overrides: Vec<_> =
            jobs_of(shop.jobs.values(), name).flat_map(|job| job.overrides.clone()).collect();
        let (checks, faults) = check_ceilings(&recipe, &shop.house, &overrides);
        ceilings += checks.len();
        if let Some(file) = opened.files.colourways.get(name) {
            found.extend(told(&opened.files, file, faults));
        }
    }
    found.0.sort_by_key(|each| std::cmp::Reverse(each.severity >= Severity::Refused));
    Checked {
        sound: [shop.systems.len(), shop.colorants.len(), shop.colourways.len(), shop.jobs.len()],
        ceilings,
        found,
    }
}

fn jobs_of<'a>(
    jobs: impl Iterator<Item = &'a Job>,
    colourway: &str,
) -> impl Iterator<Item = &'a Job> {
    jobs.filter(move |job| job.colourway.as_deref() == Some(colourway))
}
