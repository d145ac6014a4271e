//! What speaks against pouring as planned, each with what would mend it: decided once for the text,
//! JSON, the printed sheet and the page.

use super::finding_rows::finding_rows_of;
use super::remedy_rows::{in_vain_words, remedy_rows};
use crate::plan::run_sheet::{Finding, RunSheetError};
use crate::plan::weather::NoPour;
use crate::plan::{Plan, Stop};
use crate::quantity::Units;

/// One reason not to pour as planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StopRow {
    /// What is wrong.
    pub words: String,
    /// What would mend it.
    pub remedy: String,
    /// Whether that has been planned and is found to do.
    pub is_a_way: bool,
}

/// Every reason not to pour as planned; reasons of one kind told together.
#[must_use]
pub fn stop_rows(plan: &Plan, units: Units) -> Vec<StopRow> {
    let mut rows = Vec::new();
    let mut findings: Vec<&Finding> = Vec::new();
    for stop in plan.stops() {
        match stop {
            Stop::Clock(finding) => findings.push(finding),
            Stop::NoRunSheet(why) => rows.push(StopRow {
                words: format!(
                    "no run sheet can be made, so nothing says that it is poured in time: {why}"
                ),
                remedy: if plan.filed {
                    no_run_sheet_remedy(why).to_owned()
                } else {
                    let most = plan.most_for_one_clock().map_or_else(String::new, |area| {
                        format!(", up to about {} of this recipe", area.show(units))
                    });
                    format!("ask for less at once{most}: what is typed for --kit, --area or --board is more than one pour. Pour it in several, each planned for itself")
                },
                is_a_way: false,
            }),
            Stop::Caution(caution) => rows.push(StopRow {
                words: format!("{}: {}", caution.topic.word(), caution.brief),
                remedy: "another surface pattern (mist: None), a larger room, or less at once"
                    .to_owned(),
                is_a_way: false,
            }),
        }
    }
    if let Ok(sheet) = &plan.time {
        let told = finding_rows_of(sheet, &findings, units);
        rows.extend(told.into_iter().map(|(kind, words)| {
            let (remedy, is_a_way) = remedy(plan, &kind, units);
            StopRow { words, remedy, is_a_way }
        }));
    }
    rows
}

/// What brings a job of a file onto one clock.
const fn no_run_sheet_remedy(why: &RunSheetError) -> &'static str {
    match why {
        RunSheetError::TooMany => {
            "look at the measures of its counters first; a job as large as that is poured in several, each a job of its own; containers or mixes as small as that: larger ones, container: \"…\" in the colourway, largest_mix: \"…\" in house.ron"
        }
        RunSheetError::Crew { .. } => "state who is at the bench in the job: crew: 2",
        _ => "bring that amount of the job or house file into its range",
    }
}

/// What would mend it, and whether that has been planned and is found to do.
fn remedy(plan: &Plan, finding: &Finding, units: Units) -> (String, bool) {
    let simple = match finding {
        Finding::Weather(NoPour::NearDewPoint { .. }) => {
            "warm the surface or dry the air, then measure both again"
        }
        Finding::Weather(NoPour::TooCold { .. }) => "warm it, then measure again",
        Finding::Weather(NoPour::TooWarm { .. }) => "let it cool, then measure again",
        Finding::Weather(NoPour::TooDamp { .. }) => "dry the air, then measure again",
        Finding::NeverPoured { .. } => "leave it out",
        _ => {
            let mut does = remedy_rows(plan, units);
            does.retain(|row| row.does);
            // What only trades one harm for another stands with what was tried, where there is a better way.
            if does.iter().any(|row| !row.runs_dry) {
                does.retain(|row| !row.runs_dry);
            }
            let all: Vec<String> = does.into_iter().map(|row| row.words).collect();
            return match all.is_empty() {
                true => (in_vain_words(plan, units), false),
                false => (all.join("; or "), true),
            };
        }
    };
    (simple.to_owned(), false)
}
