//! Plans a colourway for a job, a board, an area or a kit.

use std::path::Path;

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::model::{Colourway, Faults, Job};
use crate::plan::{self, Ask, NotPlanned, Plan, for_area, for_board, for_kit};
use crate::quantity::{Area, Dimensions, Volume};
use crate::store::{Opened, ShopFile, told};
use crate::suggest;

use super::find::{named, with_mistakes_of_files};

/// How large.
#[derive(Debug, Clone, PartialEq)]
pub enum Extent {
    /// A job of the shop, by name or file.
    Job(String),
    /// One sample board.
    Board(Dimensions),
    /// A flat area.
    Area(Area),
    /// As much as a kit of mixed resin covers.
    Kit(Volume),
}

/// What to plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanAsk {
    /// The colourway by name or file; where none is named, the job's own.
    pub colourway: Option<String>,
    /// How large.
    pub extent: Extent,
}

/// Plans.
///
/// # Errors
/// What is wrong, each at its place: names that nothing has, references that dangle, ceilings
/// exceeded; a house file with mistakes, for nothing is weighed by guessed scales and limits.
pub fn plan(opened: &Opened, ask: &PlanAsk) -> Result<Plan, Diagnostics> {
    plan_of(opened, ask).map(|found| found.plan)
}

/// Refuses a house file with mistakes: nothing is weighed by guessed scales and limits.
pub(super) fn sound_house(opened: &Opened) -> Result<(), Diagnostics> {
    if opened.house_found.0.is_empty() { Ok(()) } else { Err(opened.house_found.clone()) }
}

/// A plan with what it was made of.
pub(super) struct PlanOf<'a> {
    pub(super) plan: Plan,
    pub(super) colourway: &'a Colourway,
    /// The job; a kit has none of its own.
    pub(super) job: Option<Job>,
}

/// Plans, and keeps what the plan was made of.
pub(super) fn plan_of<'a>(opened: &'a Opened, ask: &PlanAsk) -> Result<PlanOf<'a>, Diagnostics> {
    sound_house(opened)?;
    let shop = &opened.shop;
    let (job, job_file) = match &ask.extent {
        Extent::Job(word) => {
            let files = &opened.files.jobs;
            let (name, job) = named(opened, "job", word, &shop.jobs, |name| files.get(name))?;
            (Some(job.clone()), files.get(name))
        }
        Extent::Board(size) => (Some(for_board(shop, *size).map_err(bare)?), None),
        Extent::Area(area) => (Some(for_area(shop, *area).map_err(bare)?), None),
        Extent::Kit(_) => (None, None),
    };
    let word = ask
        .colourway
        .clone()
        .or_else(|| job.as_ref()?.colourway.clone())
        .ok_or_else(|| no_colourway(opened, &ask.extent))?;
    let (colourway, file) = colourway(opened, &word)?;
    let planned = match (&ask.extent, &job) {
        (Extent::Kit(kit), _) => for_kit(shop, colourway, *kit),
        (_, Some(job)) => planned(opened, colourway, job),
        (_, None) => Err(NotPlanned::default()),
    };
    let planned = planned.map_err(|not| {
        let mut all = Diagnostics::default();
        let system_file = opened.files.systems.get(&colourway.system);
        let own = [(not.system, system_file), (not.colourway, file), (not.job, job_file)];
        for (faults, file) in own {
            all.extend(match file {
                Some(file) => told(&opened.files, file, faults),
                None => bare(faults),
            });
        }
        with_mistakes_of_files(opened, all)
    });
    planned.map(|plan| PlanOf { plan, colourway, job })
}

/// That no colourway is named where one has to be, with those that there are.
fn no_colourway(opened: &Opened, extent: &Extent) -> Diagnostic {
    let (what, way) = match extent {
        Extent::Job(_) => ("no colourway is named, and the job has none of its own", "--job JOB"),
        Extent::Board(_) => {
            ("no colourway is named, and a board has none of its own", "--board SIZE")
        }
        Extent::Area(_) => {
            ("no colourway is named, and an area has none of its own", "--area AREA")
        }
        Extent::Kit(_) => ("no colourway is named, and a kit has none of its own", "--kit VOLUME"),
    };
    let told = Diagnostic::error(what).hint(format!("pourbook plan COLOURWAY {way}"));
    let names: Vec<&str> = opened.shop.colourways.keys().map(String::as_str).collect();
    if names.is_empty() {
        return told;
    }
    told.hint(format!("colourways: {}", suggest::listed(&names, "and")))
}

fn planned(opened: &Opened, colourway: &Colourway, job: &Job) -> Result<Plan, NotPlanned> {
    let faults = opened.shop.faults_of_job(job);
    if faults.0.is_empty() {
        plan::plan(&Ask { shop: &opened.shop, colourway, job })
    } else {
        Err(NotPlanned::job(faults))
    }
}

/// A colourway by name or file, with its file.
pub(super) fn colourway<'a>(
    opened: &'a Opened,
    word: &str,
) -> Result<(&'a Colourway, Option<&'a ShopFile>), Diagnostics> {
    let files = &opened.files.colourways;
    let found = named(opened, "colourway", word, &opened.shop.colourways, |name| files.get(name));
    match found {
        Ok((name, colourway)) => Ok((colourway, files.get(name))),
        Err(_) if job_called(opened, word).is_some() => {
            Err(Diagnostic::error(format!("no colourway is called \"{word}\", but a job is"))
                .hint(as_job(opened, word))
                .into())
        }
        Err(why) => Err(why),
    }
}

/// The job of that name, if there is one.
fn job_called<'a>(opened: &'a Opened, word: &str) -> Option<&'a Job> {
    let files = &opened.files.jobs;
    let found = named(opened, "job", word, &opened.shop.jobs, |name| files.get(name));
    found.ok().map(|(_, job)| job)
}

/// How a job of the shop is named on the command line, with the shop where that is not found from here.
pub(super) fn as_job(opened: &Opened, word: &str) -> String {
    let job = format!("--job {}", suggest::as_typed(word.trim()));
    if opened.folder == Path::new(".") {
        job
    } else {
        format!("{job} --shop {}", suggest::as_typed(&opened.folder.display().to_string()))
    }
}

/// That a job's own file states what an option would: crew or temperature.
#[must_use]
pub fn job_states(opened: &Opened, word: &str, field: &str) -> Diagnostic {
    let files = &opened.files.jobs;
    let found = named(opened, "job", word, &opened.shop.jobs, |name| files.get(name));
    let file = found.ok().and_then(|(name, _)| files.get(name)?.path.file_name()).map_or_else(
        || "the job's file".to_owned(),
        |file| format!("jobs/{}", file.to_string_lossy()),
    );
    Diagnostic::error(format!("--{field} is for --board, --area or --kit: a job states its own"))
        .hint(format!("edit {field} in {file}"))
}

/// That nothing says how large; where the word that was meant for a colourway is a job's name, how a job is
/// named.
#[must_use]
pub fn no_extent(opened: &Opened, word: Option<&str>) -> Diagnostic {
    let all = "--job JOB, --board SIZE, --area AREA or --kit VOLUME";
    match word {
        Some(word) if job_called(opened, word).is_some() => {
            Diagnostic::error(format!("\"{word}\" is a job, and stands where a colourway would"))
                .hint(format!("pourbook plan {}", as_job(opened, word)))
        }
        _ => Diagnostic::error("say how large").hint(all),
    }
}

/// Faults of something that has no file.
pub(super) fn bare(faults: Faults) -> Diagnostics {
    Diagnostics(
        faults
            .0
            .into_iter()
            .map(|fault| Diagnostic {
                severity: fault.severity,
                message: fault.message,
                place: None,
                hints: fault.hints,
            })
            .collect(),
    )
}
