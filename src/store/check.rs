//! What the files of a shop say of one another.

use super::refusal::shown;
use std::path::Path;

use super::shop::{Files, Opened, ShopFile};
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::file::splice::quoted;
use crate::model::{Faults, Recipe};

/// Everything that one file of the shop names and no other holds, films outside their system's
/// limits, prices in two currencies, what is doubtful in the house, a system, a colorant or a colourway: each at its place,
/// the house before systems before
/// colorants before colourways before jobs, in the order of their files.
#[must_use]
pub fn check_all(opened: &Opened) -> Diagnostics {
    let Opened { shop, files, .. } = opened;
    let recipes = shop.colourways.iter().filter_map(|(name, colourway)| {
        Some((files.colourways.get(name)?, Recipe::of(shop, colourway).err()?))
    });
    let jobs = shop
        .jobs
        .iter()
        .filter_map(|(name, job)| Some((files.jobs.get(name)?, shop.faults_of_job(job))));
    let systems = shop
        .systems
        .iter()
        .filter_map(|(name, system)| Some((files.systems.get(name)?, system.doubts())));
    let colorants = shop
        .colorants
        .iter()
        .filter_map(|(name, colorant)| Some((files.colorants.get(name)?, colorant.doubts())));
    let colourways = shop
        .colourways
        .iter()
        .filter_map(|(name, colourway)| Some((files.colourways.get(name)?, colourway.doubts())));
    let house = files.house.iter().map(|file| (file, shop.house.doubts()));
    let mut found = Diagnostics::default();
    found.extend(all_told(files, house.collect()));
    found.extend(all_told(files, systems.collect()));
    found.extend(all_told(files, colorants.collect()));
    found.extend(all_told(files, recipes.collect()));
    found.extend(all_told(files, colourways.collect()));
    found.extend(all_told(files, jobs.collect()));
    found
}

/// The faults of several files, in the order of the files.
fn all_told(files: &Files, mut faults: Vec<(&ShopFile, Faults)>) -> Diagnostics {
    faults.sort_by_key(|(file, _)| &file.path);
    let mut all = Diagnostics::default();
    for (file, faults) in faults {
        all.extend(told(files, file, faults));
    }
    all
}

/// The faults of one file at their places. Where a name belongs to a file that has mistakes of its
/// own, those are told already, and no second error is made of them: a note says what waits for it.
#[must_use]
pub fn told(files: &Files, file: &ShopFile, faults: Faults) -> Diagnostics {
    let mut found = file.places.diagnostics(faults);
    for each in &mut found.0 {
        if let Some(path) = unsound_file(files, each) {
            each.severity = Severity::Note;
            each.message =
                format!("this is not looked at before the mistakes in {} are mended", shown(path));
            each.hints.clear();
        }
    }
    found.0.sort_by_key(|each| each.place.as_ref().map_or(0, |place| place.span.start));
    found
}

fn unsound_file<'f>(files: &'f Files, told: &Diagnostic) -> Option<&'f Path> {
    let text = told.place.as_ref()?.text();
    let named = |name: &String| text.contains(&quoted(name));
    // Where its name could not be read, a file is known by its own.
    let called = |path: &Path| {
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().to_lowercase());
        stem.is_some_and(|stem| text.to_lowercase().replace(' ', "-").contains(&quoted(&stem)))
    };
    let found = files
        .unsound
        .iter()
        .find(|each| each.name.as_ref().map_or_else(|| called(&each.path), named));
    found.map(|each| each.path.as_path())
}
