//! What the clock finds as sentences, those of one kind together: decided once for the text, the printed
//! sheet and the page.

use super::time_words::{finding_words, mix_name, seconds_f64};
use crate::plan::run_sheet::{Finding, RunSheet};
use crate::quantity::Units;

/// What a person must know before they begin, those of one kind together; what stops the pour is told
/// apart, in [`stop_rows`](super::stop_rows::stop_rows).
#[must_use]
pub fn caution_rows(sheet: &RunSheet, units: Units) -> Vec<String> {
    cautions_where(sheet, units, |_| true)
}

/// Of [`caution_rows`], what the first page tells; what is late by the shortest pot life alone stands
/// with the pot lives.
pub(super) fn first_page_rows(sheet: &RunSheet, units: Units) -> Vec<String> {
    cautions_where(sheet, units, |finding| !late_by_shortest(finding))
}

/// Of [`caution_rows`], what is late by the shortest pot life alone.
pub(super) fn late_by_shortest_rows(sheet: &RunSheet, units: Units) -> Vec<String> {
    cautions_where(sheet, units, late_by_shortest)
}

fn late_by_shortest(finding: &Finding) -> bool {
    matches!(finding, Finding::Tight { late_by_shortest_s: Some(_), .. })
}

fn cautions_where(sheet: &RunSheet, units: Units, which: impl Fn(&Finding) -> bool) -> Vec<String> {
    let cautions: Vec<&Finding> =
        sheet.findings.iter().filter(|finding| !finding.stops() && which(finding)).collect();
    finding_rows_of(sheet, &cautions, units).into_iter().map(|(_, words)| words).collect()
}

/// Some findings in words, those of one kind together, each with the first of its kind.
pub(super) fn finding_rows_of(
    sheet: &RunSheet,
    findings: &[&Finding],
    units: Units,
) -> Vec<(Finding, String)> {
    let mut kinds: Vec<Vec<&Finding>> = Vec::new();
    for &finding in findings {
        let same = |kind: &&mut Vec<&Finding>| {
            kind.first().is_some_and(|first| {
                std::mem::discriminant(*first) == std::mem::discriminant(finding)
                    && !matches!(first, Finding::Weather(_))
            })
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.push(finding),
            None => kinds.push(vec![finding]),
        }
    }
    kinds
        .iter()
        .filter_map(|kind| {
            let first = **kind.first()?;
            let words = match kind[..] {
                [only] => finding_words(sheet, only, units),
                _ => together(sheet, kind, units),
            };
            Some((first, words))
        })
        .collect()
}

/// Of many findings of one kind so many are named beside the worst, the next worst first.
const MOST_NAMED: usize = 3;

/// Several findings of one kind in one sentence, the worst in full.
fn together(sheet: &RunSheet, kind: &[&Finding], units: Units) -> String {
    let badness = |finding: &Finding| match *finding {
        Finding::TooLate { by_s, .. }
        | Finding::MistLate { by_s }
        | Finding::ScrapeLate { by_s, .. } => seconds_f64(by_s),
        Finding::Tight { spare_s, late_by_shortest_s, .. } => {
            late_by_shortest_s.map_or(-seconds_f64(spare_s), seconds_f64)
        }
        Finding::HotPour { celsius, .. } => celsius,
        Finding::LeftOverRunsHot { left_over } => {
            sheet.left_overs.get(left_over).map_or(0.0, |left| left.peak_celsius)
        }
        Finding::NeverPoured { .. } | Finding::Weather(_) => 0.0,
    };
    let name = |finding: &Finding| match *finding {
        Finding::TooLate { mix, .. }
        | Finding::Tight { mix, .. }
        | Finding::HotPour { mix, .. }
        | Finding::NeverPoured { mix } => Some(mix_name(sheet, mix)),
        Finding::LeftOverRunsHot { left_over } => {
            sheet.left_overs.get(left_over).map(|left| mix_name(sheet, left.mix))
        }
        Finding::ScrapeLate { round, .. } => Some(format!("time {}", round + 1)),
        Finding::MistLate { .. } | Finding::Weather(_) => None,
    };
    // The first of equals is told in full.
    let worst = kind.iter().rev().max_by(|one, other| badness(one).total_cmp(&badness(other)));
    let Some(worst) = worst else { return String::new() };
    let mut others: Vec<&Finding> =
        kind.iter().copied().filter(|finding| !std::ptr::eq(*finding, *worst)).collect();
    let mut more = 0;
    if others.len() > MOST_NAMED + 1 {
        others.sort_by(|one, other| badness(other).total_cmp(&badness(one)));
        more = others.len() - MOST_NAMED;
        others.truncate(MOST_NAMED);
    }
    let mut names: Vec<String> = others.into_iter().filter_map(name).collect();
    if more > 0 {
        names.push(format!("and {more} more"));
    }
    format!("{}; likewise, but no worse: {}", finding_words(sheet, worst, units), names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Wiped;
    use crate::plan::run_sheet::{
        Ask, Batch, DatasheetPotLife, Durations, HeatRules, Mix, Take, TintingPaddle, Vessel,
        run_sheet,
    };

    fn sheet(celsius: f64, left: f64) -> RunSheet {
        sheet_of(3, celsius, left)
    }

    /// So many equal mixes poured in one batch each, `left` of each left over.
    fn sheet_of(count: usize, celsius: f64, left: f64) -> RunSheet {
        let mixes = (1..=count)
            .map(|part| Mix {
                name: "fog".to_owned(),
                part: (part, count),
                mass_g: 4400.0,
                volume_ml: 4000.0,
                clings_g: 0.0,
                vessel: Vessel { capacity_ml: 5000.0, diameter_mm: None },
                colorants: 2,
                split_into: 1,
            })
            .collect();
        let batches = (0..count)
            .map(|mix| Batch {
                name: format!("pour {mix}"),
                takes: vec![Take { mix, mass_g: 4400.0 * (1.0 - left) }],
                layers: 1,
                accents: 0,
            })
            .collect();
        let ask = Ask {
            mixes,
            batches,
            crew: 1,
            paddle: TintingPaddle::Shared(Wiped::BeforeLighter),
            mist: false,
            upright_m2: 0.0,
            ambient_celsius: celsius,
            parts_celsius: celsius,
            pot_life: DatasheetPotLife {
                minutes: 40.0,
                mass_g: 100.0,
                celsius: 25.0,
                vessel: None,
            },
            density_g_per_ml: 1.1,
            weather: None,
            durations: Durations::default(),
            rules: HeatRules::default(),
        };
        run_sheet(&ask).unwrap()
    }

    #[test]
    fn findings_of_one_kind_are_told_in_one_line() {
        let sheet = sheet(24.0, 0.1);
        let hot = sheet
            .findings
            .iter()
            .filter(|finding| matches!(finding, Finding::LeftOverRunsHot { .. }))
            .count();
        assert_eq!(hot, 3, "{:?}", sheet.findings);
        let rows = caution_rows(&sheet, Units::Metric);
        let told: Vec<_> = rows.iter().filter(|row| row.contains("left in its vessel")).collect();
        assert_eq!(told.len(), 1, "{rows:?}");
        for name in ["fog 1 of 3", "fog 2 of 3", "fog 3 of 3"] {
            assert!(told[0].contains(name), "{}", told[0]);
        }
    }

    #[test]
    fn of_many_the_worst_are_named_and_the_others_counted() {
        let sheet = sheet_of(9, 34.0, 0.1);
        let late: Vec<&Finding> = sheet.findings.iter().filter(|one| one.stops()).collect();
        assert!(late.len() > 5, "{late:?}");
        let rows = finding_rows_of(&sheet, &late, Units::Us);
        let [(_, words)] = &rows[..] else { panic!("{rows:?}") };
        assert!(words.ends_with(&format!(", and {} more", late.len() - 4)), "{words}");
        assert_eq!(words.matches(" of 9").count(), 4, "the worst, and three: {words}");
    }

    #[test]
    fn what_stops_is_no_caution() {
        let sheet = sheet(34.0, 0.1);
        assert!(sheet.findings.iter().any(|finding| finding.stops()), "{:?}", sheet.findings);
        let rows = caution_rows(&sheet, Units::Us);
        assert!(rows.iter().all(|row| !row.contains("after the end of its pot life")), "{rows:?}");
    }

    #[test]
    fn a_left_over_that_no_spreading_cools_is_carried_out() {
        let mut hot = sheet(24.0, 0.1);
        assert!(hot.left_overs.iter().any(|left| left.spreading_helps), "{:?}", hot.left_overs);
        let spread = caution_rows(&hot, Units::Metric);
        assert!(spread.iter().any(|row| row.contains("spread it under")), "{spread:?}");
        for left in &mut hot.left_overs {
            left.spreading_helps = false;
        }
        let carried = caution_rows(&hot, Units::Metric);
        assert!(carried.iter().any(|row| row.contains("carry it outdoors")), "{carried:?}");
        assert!(!carried.iter().any(|row| row.contains("spread it under")), "{carried:?}");
    }
}
