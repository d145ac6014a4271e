//! Each mix's clock as a row: when it begins, how long it can be poured, by when; decided once for the
//! text, the printed sheet and the page.

use super::time_words::{WholeMinutes, clock, minutes, mix_name, seconds_f64};
use crate::model::House;
use crate::model::Standing;
use crate::plan::run_sheet::{Basis, Mixing, PotLife, RunSheet, Step};
use crate::plan::{Figures, Plan, Recoat};
use crate::quantity::{Temperature, Units};

/// One mix's clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixClockRow {
    /// The mix.
    pub name: String,
    /// When B meets A.
    pub start: String,
    /// Its name where there is little room.
    pub short: String,
    /// How long it can be poured, with the range that it lies in.
    pub lasts: String,
    /// How long it can be poured, alone.
    pub life: String,
    /// From the shortest to the longest that this may be, in minutes; empty where it is stated, not estimated.
    pub range: String,
    /// How far that is known.
    pub basis: String,
    /// By when it must be poured; empty where it does not gel.
    pub pour_by: String,
    /// When the last of it is poured; empty where none is.
    pub last_pour: String,
    /// Whether that is in time.
    pub verdict: String,
    /// Whether it is not, by the estimate, or is too hot by then.
    pub late: bool,
    /// Whether there is little room, or none by the shortest pot life.
    pub tight: bool,
}

/// How mixes follow one another where that is not the usual way, and why.
#[must_use]
pub const fn mixing_words(mixing: Mixing) -> Option<&'static str> {
    match mixing {
        Mixing::AllFirst => None,
        Mixing::Staggered => {
            Some("Mixes start only when they are needed: all at once would not be poured in time.")
        }
        Mixing::ShortestLivedLast => Some(
            "Mixes start in another order than they are listed, the one that gels soonest last: from light to dark they would not be poured in time.",
        ),
    }
}

/// Which scales more hands want at once than there are, a sentence each.
#[must_use]
pub fn wanted_at_once_words(plan: &Plan) -> Vec<String> {
    let short = plan.wanted_at_once.iter().filter(|wanted| wanted.more() > 0);
    let told = short.map(|wanted| {
        let first = format!(
            "first at {} and for {} in all",
            clock(wanted.first_s),
            minutes(seconds_f64(wanted.seconds))
        );
        let most = minutes(seconds_f64(wanted.most_s));
        let step = wanted.readability.show_weighed(wanted.readability);
        let (hands, more) = (wanted.hands, wanted.more());
        // Where the most hands want it as long as any more than there are, one figure tells both.
        let by = if wanted.most_s == wanted.seconds {
            format!("by {hands} hands at once, {first}")
        } else {
            format!("by more hands than there are of it, {first}, by {hands} at once for {most} of that")
        };
        let scales = match more {
            0 | 1 => format!("another that shows {step}"),
            _ if wanted.most_s == wanted.seconds => format!("{more} more that show {step}"),
            _ => format!(
                "{more} more that show {step} ({} more would leave {most} in which one hand waits)",
                more - 1
            ),
        };
        format!(
            "The {} is wanted {by}: set out {scales}, or weigh in turn, for which the clock leaves no time.",
            wanted.scale,
        )
    });
    told.collect()
}

/// The same in the few words that there is room for above a bench: what is set out beside what the house has.
#[must_use]
pub fn scales_short_brief(plan: &Plan) -> Option<String> {
    let short = plan.wanted_at_once.iter().filter(|wanted| wanted.more() > 0);
    let scales: Vec<String> =
        short.map(|wanted| format!("{} × {}", wanted.hands, wanted.scale)).collect();
    (!scales.is_empty()).then(|| format!("set out {}", scales.join(", ")))
}

/// How long a mix can be poured, the shortest first, for by that it is safe: `19–52 (est. 40) min`; a stated pot
/// life alone.
fn lasts_words(range: &str, lasts: &str) -> String {
    match lasts.strip_suffix(" min") {
        _ if range.is_empty() => lasts.to_owned(),
        Some(estimate) => format!("{range} (est. {estimate}) min"),
        None => format!("{range} min (est. {lasts})"),
    }
}

/// The range in which an estimated pot life lies, in minutes, outwards to whole ones: `20–55`; empty for a stated
/// one.
fn range_words(life: &PotLife) -> String {
    match (life.basis, life.range_s) {
        (Basis::Estimated, Some((least_s, most_s))) => {
            format!("{:.0}–{:.0}", libm::floor(least_s / 60.0), libm::ceil(most_s / 60.0))
        }
        _ => String::new(),
    }
}

/// How far a pot life is known: as its file states it, or carried over from that.
fn basis_words(plan: &Plan, basis: Basis) -> String {
    let stated = plan.standing_of(Figures::PotLife).map_or("", Standing::word);
    match basis {
        Basis::Datasheet => stated.to_owned(),
        Basis::Estimated => format!("estimated from {stated}"),
    }
}

/// From which pot life those on the run sheet were carried over, and how; none where all are as stated.
#[must_use]
pub fn carried_over_words(plan: &Plan, sheet: &RunSheet, units: Units) -> Option<String> {
    sheet.clocks.iter().any(|own| own.pot_life.basis == Basis::Estimated).then(|| {
        format!(
            "Pot lives are carried over from the stated {} of {} at {} ({}) to each mix in its vessel at {}: a larger mass shortens it, a cooler room lengthens it. Its range comes first, from the shortest, for how well the stated mass may have been cooled as it was timed; then the estimate (est.), by which the clock goes. A mix as large as yours, timed once in its vessel, makes a surer pot_life for that file.",
            minutes(plan.pot_life.time.s()),
            plan.pot_life.mass.show(units),
            plan.pot_life.temperature.show(units),
            plan.standing_of(Figures::PotLife).map_or("", Standing::word),
            House::room_words(plan.conditions.parts, units),
        )
    })
}

/// From when on each mix is too hot to pour if it is left whole in its vessel, before it gels; none where none is.
#[must_use]
pub fn hot_from_words(sheet: &RunSheet, units: Units) -> Option<String> {
    let mut each: Vec<(String, Vec<String>)> = Vec::new();
    let mut hottest = None;
    for (mix, clock) in sheet.clocks.iter().enumerate() {
        let Some(hot) = clock.pot_life.hot else { continue };
        hottest = Some(hot.celsius);
        let (from, name) = (minutes(hot.seconds), mix_name(sheet, mix));
        match each.iter_mut().find(|(known, _)| *known == from) {
            Some((_, names)) => names.push(name),
            None => each.push((from, vec![name])),
        }
    }
    let told: Vec<String> =
        each.into_iter().map(|(from, names)| format!("{from}: {}", names.join(", "))).collect();
    let planned = if (0..sheet.clocks.len()).any(|mix| sheet.is_hot(mix)) {
        ""
    } else {
        "What is drawn off as planned stays cool enough. "
    };
    Some(format!(
        "{planned}A mix that still stands whole in its vessel is over {} before it gels, and runs away, from so many minutes of its clock on (estimated): {}. Whatever the clock says, a mix that is hot is not poured but carried outdoors.",
        Temperature::from_c(hottest?).show(units),
        told.join("; ")
    ))
}

/// The same in the few words that there is room for above a bench: when the first of them is.
#[must_use]
pub fn hot_from_brief(sheet: &RunSheet) -> Option<String> {
    let hot = sheet.clocks.iter().filter_map(|clock| clock.pot_life.hot);
    let first = hot.min_by(|one, other| one.seconds.total_cmp(&other.seconds))?;
    Some(format!("a mix still whole at {} is too hot (estimated)", minutes(first.seconds)))
}

/// Shorter than this, what was poured first and last drips at one time, s. (Common practice, no source.)
const DRIPS_TOGETHER_S: i64 = 1200;

/// From when on what was poured first is scraped, in a pour so long that its drips do not wait for the steps, which
/// count from the last pour; none in a shorter one.
#[must_use]
pub fn first_drips_words(sheet: &RunSheet) -> Option<String> {
    let scraped = sheet.lines.iter().find(|line| matches!(line.step, Step::ScrapeDrips { .. }))?;
    let poured = sheet.lines.iter().filter(|line| matches!(line.step, Step::Pour { .. }));
    let ends: Vec<i64> = poured.map(|line| line.end_s).collect();
    let (first_s, last_s) = (*ends.iter().min()?, *ends.iter().max()?);
    (last_s - first_s >= DRIPS_TOGETHER_S).then(|| {
        format!(
            "Drips hang sooner where it was poured first: scrape there from {} on, whenever a hand is free; the steps count from the last pour.",
            clock(first_s + scraped.start_s - last_s)
        )
    })
}

/// When one coat may follow another; none where there is one coat alone.
#[must_use]
pub fn recoat_words(plan: &Plan, units: Units) -> Option<String> {
    let which = match plan.coats {
        0 | 1 => return None,
        2 => "second coat",
        _ => "each further coat",
    };
    let before = if plan.coats == 2 { "the first" } else { "the one before" };
    Some(match &plan.recoat {
        Some(Recoat { earliest, latest, standing }) => format!(
            "{which} from {} to {} after {before} was poured ({standing}); later than that, sand {before} first. The clock starts anew with each coat",
            earliest.show(units),
            latest.show(units),
        ),
        None => format!(
            "{which}: the resin's file states no recoat window, take it from the datasheet. The clock starts anew with each coat"
        ),
    })
}

/// The clock of every mix of a plan's run sheet.
#[must_use]
pub fn mix_clock_rows(plan: &Plan, sheet: &RunSheet) -> Vec<MixClockRow> {
    sheet
        .clocks
        .iter()
        .enumerate()
        .map(|(mix, own)| (mix, own, WholeMinutes::of(own)))
        .map(|(mix, own, whole)| MixClockRow {
            name: mix_name(sheet, mix),
            short: match sheet.mixes.get(mix) {
                Some(mix) if mix.part.1 > 1 => {
                    format!("{} {}/{}", mix.name, mix.part.0, mix.part.1)
                }
                _ => mix_name(sheet, mix),
            },
            start: clock(own.start_s),
            lasts: own.pot_life.seconds.map_or_else(
                || "does not gel in a month".to_owned(),
                |seconds| lasts_words(&range_words(&own.pot_life), &whole.lasts(seconds)),
            ),
            range: range_words(&own.pot_life),
            life: own
                .pot_life
                .seconds
                .map_or_else(|| "no end".to_owned(), |seconds| whole.lasts(seconds)),
            basis: basis_words(plan, own.pot_life.basis),
            pour_by: whole.pour_by().unwrap_or_default(),
            last_pour: own.last_pour.map_or_else(String::new, |(s, _)| clock(s)),
            late: own.late_by_s.is_some() || sheet.is_hot(mix),
            tight: sheet.is_tight(mix),
            verdict: match own.late_by_s {
                Some(late) => format!("LATE by {}", whole.late(late)),
                None if sheet.is_hot(mix) => "TOO HOT".to_owned(),
                None if sheet.is_tight(mix) => "tight".to_owned(),
                None => "in time".to_owned(),
            },
        })
        .collect()
}

/// How long one mix of a base can be poured, for its label; none where its pot life is not known or has no end.
#[must_use]
pub fn good_for_words(plan: &Plan, base: &str, number: usize) -> Option<String> {
    let sheet = plan.time.as_ref().ok()?;
    let at = sheet.mixes.iter().position(|mix| mix.name == base && mix.part.0 == number)?;
    sheet.clocks.get(at)?.pot_life.seconds?;
    let row = mix_clock_rows(plan, sheet).into_iter().nth(at)?;
    let hot = sheet.clocks.get(at)?.pot_life.hot.map_or_else(String::new, |hot| {
        format!("; still whole at {} it is too hot", minutes(hot.seconds))
    });
    Some(format!("good for {}{hot}", row.lasts))
}

/// Pot lives with the mixes that have them: `23–64 (est. 49) min: shell; 21–59 (est. 45) min: oyster 1/2`.
#[must_use]
pub fn pot_lives_words(plan: &Plan, sheet: &RunSheet) -> String {
    let mut lives: Vec<(String, Vec<String>)> = Vec::new();
    for row in mix_clock_rows(plan, sheet) {
        match lives.iter_mut().find(|(lasts, _)| *lasts == row.lasts) {
            Some((_, mixes)) => mixes.push(row.short),
            None => lives.push((row.lasts, vec![row.short])),
        }
    }
    let words = lives.into_iter().map(|(lasts, mixes)| format!("{lasts}: {}", mixes.join(", ")));
    words.collect::<Vec<_>>().join("; ")
}
