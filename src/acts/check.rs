//! Checks every file of a shop, every reference, and every ceiling of every colourway.

use super::plan::as_job;
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::model::{Colourway, Faults, Job, Recipe, UnusualSize};
use crate::plan::run_sheet::Finding;
use crate::plan::{Ask, Stop, check_ceilings, option_costs, refuses, timed};
use crate::store::{Opened, check_all, told};
use crate::suggest::some_listed;

/// Counters without edges are named up to so many, then counted.
const MOST_NAMED: usize = 4;

/// What was checked and what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// How many systems, colorants, colourways and jobs are sound.
    pub sound: [usize; 4],
    /// How many ceilings were checked.
    pub ceilings: usize,
    /// Everything found, errors and refusals among it.
    pub found: Diagnostics,
    /// How many of the cautions are STOPs of a plan.
    pub stops: usize,
}

/// Checks a shop.
#[must_use]
pub fn check(opened: &Opened) -> Checked {
    let shop = &opened.shop;
    let mut found = opened.found.clone();
    found.extend(check_all(opened));
    let mut ceilings = 0;
    let mut stops = Vec::new();
    for (name, colourway) in &shop.colourways {
        // What dangles has been told already.
        let Ok(recipe) = Recipe::of(shop, colourway) else { continue };
        let (checks, faults) = check_ceilings(&recipe, &shop.house, &[]);
        ceilings += checks.len();
        // What a job raises holds for that job alone.
        let (sound, refused): (Vec<&Job>, Vec<&Job>) = jobs_of(shop.jobs.values(), name)
            .partition(|job| holds(&check_ceilings(&recipe, &shop.house, &job.overrides).1));
        found.extend(refused_jobs(opened, colourway, &sound, &refused));
        for job in &sound {
            stops.extend(stopped(opened, colourway, job));
            found.0.extend(options_not_planned(opened, colourway, job));
        }
        if holds(&faults) || sound.is_empty() || !refused.is_empty() {
            if let Some(file) = opened.files.colourways.get(name) {
                found.extend(told(&opened.files, file, faults));
            }
            continue;
        }
        let jobs: Vec<&str> = sound.iter().map(|job| job.name.as_str()).collect();
        let words = format!(
            "\"{name}\" exceeds its ceilings but where a job raises them: {}",
            crate::suggest::listed(&jobs, "and")
        );
        found.extend(Diagnostics::from(Diagnostic::caution(words)));
    }
    once(&mut found);
    found.0.extend(unchecked_ratios(opened));
    found.0.extend(shop.jobs.values().filter_map(|job| unstated_edges(opened, job)));
    found.0.extend(shop.jobs.values().flat_map(|job| unusual_sizes(opened, job)));
    // After what may be the reason for them.
    let count = stops.len();
    found.0.extend(stops);
    found.0.sort_by_key(|each| std::cmp::Reverse(each.severity >= Severity::Refused));
    Checked {
        sound: [shop.systems.len(), shop.colorants.len(), shop.colourways.len(), shop.jobs.len()],
        ceilings,
        found,
        stops: count,
    }
}

/// The systems whose mix ratio cannot be checked, in one line for all of them.
fn unchecked_ratios(opened: &Opened) -> Option<Diagnostic> {
    let systems = opened.shop.systems.iter().filter(|(_, system)| system.stoichiometry.is_none());
    let names: Vec<String> = systems.map(|(name, _)| format!("\"{name}\"")).collect();
    let (names, states, ratios) = match names.as_slice() {
        [] => return None,
        [name] => (name.clone(), "states", "its mix ratio is"),
        [one, other] => (format!("{one} and {other}"), "state", "their mix ratios are"),
        [one, rest @ ..] => {
            (format!("{one} and {} more", rest.len()), "state", "their mix ratios are")
        }
    };
    let words = format!(
        "{names} {states} no equivalent weights: {ratios} not checked (stoichiometry in book/src/files.md)"
    );
    Some(Diagnostic { severity: Severity::Note, ..Diagnostic::error(words) })
}

/// The counters of a job whose file says nothing of edges, in one line: an island without any is rare, and what is
/// forgotten there is neither planned nor bought.
fn unstated_edges(opened: &Opened, job: &Job) -> Option<Diagnostic> {
    let places = &opened.files.jobs.get(&job.name)?.places;
    let silent = job.counters.iter().filter(|(_, counter)| !counter.states_edges);
    let names: Vec<&String> = silent.map(|(name, _)| name).collect();
    let first = names.first()?;
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
    let words =
        format!("no edge of {} is coated, for none is stated", some_listed(&quoted, MOST_NAMED));
    Some(Diagnostic::of(Severity::Note, words).at(places.place(&["counters".into(), (*first).into()])).hint(
        "list the edges that the resin runs over, or write edges: [] where it runs over none",
    ))
}

/// The measures of a job's counters that may be mistyped, each at its place.
fn unusual_sizes(opened: &Opened, job: &Job) -> Vec<Diagnostic> {
    let Some(file) = opened.files.jobs.get(&job.name) else { return Vec::new() };
    let told =
        |size: UnusualSize| Diagnostic::caution(size.words(None)).at(file.places.place(&size.path));
    job.unusual_sizes().into_iter().map(told).collect()
}

/// Every note once, with the other files that it holds for: what waits for one file waits in many.
fn once(found: &mut Diagnostics) {
    let mut kept: Vec<(Diagnostic, Vec<String>)> = Vec::new();
    for note in found.0.iter().filter(|each| each.severity == Severity::Note) {
        let file = note.place.as_ref().map(|place| place.source.name.clone());
        match kept.iter_mut().find(|(first, _)| first.message == note.message) {
            Some((first, others)) => {
                let own = first.place.as_ref().map(|place| place.source.name.clone());
                others.extend(file.filter(|file| own.as_ref() != Some(file)));
                others.dedup();
            }
            None => kept.push((note.clone(), Vec::new())),
        }
    }
    found.0.retain(|each| each.severity != Severity::Note);
    found.0.extend(kept.into_iter().map(|(note, others)| match &others[..] {
        [] => note,
        [other] => note.hint(format!("so does {other}")),
        [other, rest @ ..] => note.hint(format!("so do {other} and {} more", rest.len())),
    }));
}

/// What planning refuses of jobs for a colourway, but for ceilings, which are told with the colourway.
fn refused_jobs(
    opened: &Opened,
    colourway: &Colourway,
    within: &[&Job],
    beyond: &[&Job],
) -> Diagnostics {
    let files = &opened.files;
    let mut found = Diagnostics::default();
    for job in within.iter().chain(beyond) {
        let Some(not) = plannable(opened, colourway, job).as_ref().and_then(refuses) else {
            continue;
        };
        let ceilings_hold = within.iter().any(|each| each.name == job.name);
        if let Some(file) = files.jobs.get(&job.name) {
            found.extend(told(files, file, not.job));
        }
        if ceilings_hold && let Some(file) = files.colourways.get(&colourway.name) {
            found.extend(told(files, file, not.colourway));
        }
    }
    found
}

/// That a job whose files are sound must not be poured as planned, and every reason in few words, those of one kind
/// together: its plan says the rest.
fn stopped(opened: &Opened, colourway: &Colourway, job: &Job) -> Vec<Diagnostic> {
    let Some(file) = opened.files.jobs.get(&job.name) else { return Vec::new() };
    let Some(ask) = plannable(opened, colourway, job) else { return Vec::new() };
    let Ok(plan) = timed(&ask, &opened.shop.house) else { return Vec::new() };
    let mut whys: Vec<(String, usize)> = Vec::new();
    for stop in plan.stops() {
        let why = why_stopped(&stop);
        match whys.iter_mut().find(|(known, _)| *known == why) {
            Some((_, mixes)) => *mixes += 1,
            None => whys.push((why, 1)),
        }
    }
    let last = whys.len();
    let way = as_job(opened, &job.name);
    let told = (1..).zip(whys).map(|(number, (why, mixes))| {
        let likewise = match mixes {
            1 => String::new(),
            2 => ", and another likewise".to_owned(),
            mixes => format!(", and {} more likewise", mixes - 1),
        };
        let words = format!("the plan of \"{}\" says STOP: {why}{likewise}", job.name);
        let told = Diagnostic::caution(words).at(file.places.place(&["name".into()]));
        if number == last {
            told.hint(format!("what would mend it is told by: pourbook plan {way}"))
        } else {
            told
        }
    });
    told.collect()
}

/// Why a plan says STOP, in few words.
fn why_stopped(stop: &Stop<'_>) -> String {
    match stop {
        Stop::Clock(Finding::TooLate { .. }) => {
            "a mix would be poured after its pot life".to_owned()
        }
        Stop::Clock(Finding::HotPour { .. }) => "a mix would be too hot as it is poured".to_owned(),
        Stop::Clock(Finding::Weather(_)) => "the air or the surface is not fit for it".to_owned(),
        Stop::Clock(Finding::MistLate { .. }) => "the mist would come too late".to_owned(),
        Stop::Clock(Finding::ScrapeLate { .. }) => "drips would be scraped too late".to_owned(),
        Stop::Clock(Finding::NeverPoured { .. }) => "a mix would be poured into nothing".to_owned(),
        Stop::Clock(Finding::Tight { .. } | Finding::LeftOverRunsHot { .. }) => {
            "the clock speaks against it".to_owned()
        }
        Stop::NoRunSheet(_) => "no run sheet can be made for it".to_owned(),
        Stop::Caution(caution) => caution.brief.clone(),
    }
}

/// The options of a job that cannot be planned, while the job itself can, each with the reason.
fn options_not_planned(opened: &Opened, colourway: &Colourway, job: &Job) -> Vec<Diagnostic> {
    let Some(ask) = plannable(opened, colourway, job) else { return Vec::new() };
    let Some(file) = opened.files.jobs.get(&job.name) else { return Vec::new() };
    if job.options.is_empty() || refuses(&ask).is_some() {
        return Vec::new();
    }
    let told = option_costs(&ask).into_iter().filter_map(|option| {
        let why = option.cost.err()?;
        let words = format!("option \"{}\" cannot be planned: {why}", option.name);
        let place = file.places.place(&["options".into(), option.name.as_str().into()]);
        Some(Diagnostic::caution(words).at(place))
    });
    told.collect()
}

/// What is to be planned, unless that has been told already: nothing is weighed by guessed scales, and something may
/// dangle.
fn plannable<'a>(opened: &'a Opened, colourway: &'a Colourway, job: &'a Job) -> Option<Ask<'a>> {
    let shop = &opened.shop;
    let sound = opened.house_found.0.is_empty() && shop.faults_of_job(job).0.is_empty();
    sound.then_some(Ask { shop, colourway, job })
}

/// Whether nothing is refused.
fn holds(faults: &Faults) -> bool {
    faults.0.iter().all(|fault| fault.severity < Severity::Refused)
}

fn jobs_of<'a>(
    jobs: impl Iterator<Item = &'a Job>,
    colourway: &str,
) -> impl Iterator<Item = &'a Job> {
    jobs.filter(move |job| job.colourway.as_deref() == Some(colourway))
}
