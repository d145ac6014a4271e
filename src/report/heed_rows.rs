//! What does not stop the pour but is to be known before it: a mix ratio that its equivalents deny, cold, measures that
//! may be mistyped,
//! containers that are not in the recipe's proportion, which mixes are tight, where the primer shows through.
//! Decided once for the text, the sheets and the page.

use super::clock_rows::scales_short_brief;
use super::scale_rows::wanted_words;
use super::time_words::{minutes, mix_name, seconds_f64};
use crate::model::UnusualSize;
use crate::plan::{
    Astray, Caution, CounterArea, Larger, LongPour, Plan, PourCount, TooCoarse, Wait,
};
use crate::quantity::{Dimensions, Units};
use crate::suggest::{listed, some_listed};

/// What is to be heeded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum HeedKind {
    /// Cautions of what spoils the whole pour.
    Graver,
    /// Measures that may be mistyped.
    Sizes,
    /// Counters whose edges nobody states.
    NoRunOff,
    /// A dose that no scale weighs well.
    TooCoarse,
    /// Containers that are not in the recipe's proportion.
    Astray,
    /// Mixes with little time to spare.
    Tight,
    /// Scales that more hands want at once than there are.
    Scales,
    /// A pour that outlasts its film.
    LongPour,
    /// A long time between two pours on one piece.
    Wait,
    /// A primer that shows on upright faces.
    Thin,
}

impl HeedKind {
    /// Every kind, the gravest first.
    pub(super) const ALL: [Self; 10] = [
        Self::Graver,
        Self::Sizes,
        Self::NoRunOff,
        Self::TooCoarse,
        Self::Astray,
        Self::Tight,
        Self::Scales,
        Self::LongPour,
        Self::Wait,
        Self::Thin,
    ];

    /// All of this kind, in full.
    fn words(self, plan: &Plan, units: Units) -> Vec<String> {
        let one = |words: Option<String>| words.into_iter().collect();
        match self {
            Self::Graver => graver_cautions(plan)
                .map(|caution| format!("{} (see CAUTIONS)", caution.brief))
                .collect(),
            Self::Scales => one(scales_short_brief(plan)
                .map(|words| format!("{words}: several hands weigh at once (see CLOCK)"))),
            Self::Tight => one(tight_words(plan)),
            Self::LongPour => one(long_pour_words(plan)),
            Self::Wait => one(wait_words(plan)),
            Self::Thin => one(thin_words(plan, units)),
            Self::Sizes | Self::NoRunOff | Self::TooCoarse | Self::Astray => {
                self.at_the_head(plan, units)
            }
        }
    }

    /// What of this kind stands at the head of the mixing sheet's first page, in the few words that there is room for
    /// above a bench; nothing of what stands further down on that page, with its clock or among its cautions.
    pub(super) fn at_the_head(self, plan: &Plan, units: Units) -> Vec<String> {
        let one = |words: Option<String>| words.into_iter().collect();
        match self {
            Self::Graver => graver_cautions(plan).map(|caution| caution.brief.clone()).collect(),
            Self::Sizes => unusual_size_words(plan, units).collect(),
            Self::NoRunOff => one(without_run_off_words(plan)),
            Self::TooCoarse => one(too_coarse_words(plan)),
            Self::Astray => one(plan.astray.as_ref().map(|astray| astray_words(astray, units))),
            Self::LongPour => one(long_pour_brief(plan)),
            Self::Wait => one(wait_brief(plan)),
            // With the clock of the mixes, after the cautions, and as the caution of the primer.
            Self::Tight | Self::Scales | Self::Thin => Vec::new(),
        }
    }
}

/// Everything to heed, the gravest first.
#[must_use]
pub fn heed_rows(plan: &Plan, units: Units) -> Vec<String> {
    HeedKind::ALL.into_iter().flat_map(|kind| kind.words(plan, units)).collect()
}

/// Cautions that are told where nobody overlooks them, for what they warn of spoils the whole pour.
fn graver_cautions(plan: &Plan) -> impl Iterator<Item = &Caution> {
    plan.cautions.iter().filter(|caution| caution.topic.spoils_the_pour())
}

/// Measures of counters that are so unusual that they may be mistyped.
fn unusual_size_words(plan: &Plan, units: Units) -> impl Iterator<Item = String> {
    let of_counters = plan.take_off.counters.iter().flat_map(move |counter| {
        let words =
            move |size: &UnusualSize| format!("\"{}\": {}", counter.name, size.words(Some(units)));
        counter.unusual.iter().map(words)
    });
    of_counters.chain(plan.take_off.unusual.iter().map(move |size| size.words(Some(units))))
}

/// Of which counters no run-off is counted since the job states none of their edges, and what to write.
fn without_run_off_words(plan: &Plan) -> Option<String> {
    let silent: Vec<&CounterArea> = plan.without_run_off().collect();
    let first = silent.first()?;
    let names: Vec<String> = silent.iter().map(|counter| format!("\"{}\"", counter.name)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let (its, usual) = match silent.len() {
        1 => ("its edges", format!(" ({})", first.shape.usual_edges())),
        _ => ("their edges", String::new()),
    };
    Some(format!(
        "no run-off over edges is counted for {}: the job states none of {its}. Write in it edges: [(length: \"…\", face: \"…\")]{usual}, or edges: [] where nothing runs over",
        some_listed(&names, MOST_NAMED),
    ))
}

/// The dose that the house's scales weigh least well, where one does not weigh it within its tolerance.
fn too_coarse_words(plan: &Plan) -> Option<String> {
    let coarse = plan.too_coarse.as_ref()?;
    let TooCoarse { name, weighed, others, .. } = coarse;
    let more = match others {
        0 => String::new(),
        1 => "; 1 other dose is not weighed well either".to_owned(),
        others => format!("; {others} other doses are not weighed well either"),
    };
    let below = if weighed.within_tolerance() {
        String::new()
    } else {
        let tolerance = weighed.tolerance.show(Units::Metric);
        let from = weighed.minimum().show(Units::Metric);
        format!(" and weighs to {tolerance} only from {from} on")
    };
    Some(format!(
        "too coarse a scale: {name} {} wanted, the {} shows {}{below}. {}{more}",
        wanted_words(weighed),
        weighed.scale,
        weighed.mass.show_weighed(weighed.readability),
        finer_words(coarse),
    ))
}

/// What would weigh it, every way: `A scale of 0.1 g weighs it let down, one of 0.01 g as it is; so does this scale
/// in a mix 5 times as large`.
fn finer_words(coarse: &TooCoarse) -> String {
    let scale = match (coarse.let_down, coarse.straight) {
        (Some(let_down), Some(straight)) => format!(
            "A scale of {} g weighs it as a let-down, one of {} g as it is",
            let_down.g(),
            straight.g()
        ),
        (Some(let_down), None) => format!("A scale of {} g weighs it as a let-down", let_down.g()),
        (None, Some(straight)) => format!("A scale of {} g weighs it", straight.g()),
        (None, None) => "No usual scale weighs it".to_owned(),
    };
    let larger = match coarse.larger {
        Some(Larger::Mix(times)) => {
            format!(", and the house's own do in a mix {times} times as large")
        }
        Some(Larger::Containers(number)) => {
            format!(", and the house's own do where {number} containers share one cup")
        }
        None => String::new(),
    };
    format!("{scale}{larger}")
}

/// How the containers stray from the recipe, and what would hold its proportion.
#[must_use]
pub fn astray_words(astray: &Astray, units: Units) -> String {
    let quoted = |names: &mut dyn Iterator<Item = &String>| {
        let names: Vec<String> = names.map(|name| format!("\"{name}\"")).collect();
        listed(&names.iter().map(String::as_str).collect::<Vec<_>>(), "and")
    };
    let missing: Vec<&PourCount> = astray.left_out().collect();
    let mut words = if missing.is_empty() {
        "the containers are not in the recipe's proportion".to_owned()
    } else {
        let mut words = format!(
            "this leaves out {} of the recipe",
            quoted(&mut missing.iter().map(|pour| &pour.name))
        );
        let own = [("base", &astray.bases), ("accent", &astray.accents)];
        let own = own.into_iter().filter(|(_, names)| !names.is_empty()).map(|(kind, names)| {
            let plural = if names.len() == 1 { "" } else { "s" };
            format!("its {kind}{plural} {}", quoted(&mut names.iter()))
        });
        let own: Vec<String> = own.collect();
        if !own.is_empty() {
            words += &format!(", with {}", own.join(" and "));
        }
        words
    };
    let here = counted(astray, |pour| pour.here);
    let there = counted(astray, |pour| pour.in_a_set);
    words += &format!(": {here} here, {there} in the recipe");
    let set = match astray.set {
        1 => "each container holds the proportion".to_owned(),
        set => format!("{set} containers, or a multiple, hold the proportion"),
    };
    let board = astray.board.map_or_else(String::new, |side| {
        let size = Dimensions::new(side, side).show(units);
        format!("; the smallest square board that comes near it is {size}")
    });
    format!("{words}. {set}{board}")
}

/// `2 × stony : 1 × bronzy`.
fn counted(astray: &Astray, count: impl Fn(&PourCount) -> u32) -> String {
    let each = astray.pours.iter().map(|pour| format!("{} × {}", count(pour), pour.name));
    each.collect::<Vec<_>>().join(" : ")
}

/// Which mixes are tight in time.
fn tight_words(plan: &Plan) -> Option<String> {
    let sheet = plan.time.as_ref().ok()?;
    let tight = (0..sheet.clocks.len()).filter(|mix| sheet.is_tight(*mix));
    let names: Vec<String> = tight.map(|mix| mix_name(sheet, mix)).collect();
    if names.is_empty() {
        return None;
    }
    let every = names.len() > 1 && names.len() == sheet.clocks.len();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let names = if every { "every mix".to_owned() } else { listed(&names, "and") };
    Some(format!("tight in time: {names} (see CLOCK)"))
}

/// That what is poured first no longer runs when the last comes to it.
pub(super) fn long_pour_words(plan: &Plan) -> Option<String> {
    plan.long_pour.map(|LongPour { stands_s, runs_s }| {
        format!(
            "a long pour: the film poured first has stood {} when the last is poured and the edges are done, and runs for about {} ({}, estimated). What comes later no longer runs into it: more hands, or a part of the job at a time",
            minutes(seconds_f64(stands_s)),
            minutes(runs_s),
            LongPour::ESTIMATED_AS,
        )
    })
}

/// The same in one line of half a page.
fn long_pour_brief(plan: &Plan) -> Option<String> {
    plan.long_pour.map(|LongPour { stands_s, runs_s }| {
        format!(
            "a long pour: film stands {}, runs {} (est.)",
            minutes(seconds_f64(stands_s)),
            minutes(runs_s),
        )
    })
}

/// On which pieces a pour comes long after the one before.
pub(super) fn wait_words(plan: &Plan) -> Option<String> {
    let long = plan.pieces.iter().filter_map(|piece| {
        let wait = piece.longest_wait.filter(Wait::is_long)?;
        let (before, after) = wait.between;
        let long = minutes(seconds_f64(wait.seconds));
        Some((wait.seconds, format!("{long} on {} (container {before}, then {after})", piece.name)))
    });
    let mut long: Vec<(i64, String)> = long.collect();
    long.sort_by_key(|(seconds, _)| std::cmp::Reverse(*seconds));
    let more = long.len().saturating_sub(MOST_NAMED);
    let mut names: Vec<String> =
        long.into_iter().take(MOST_NAMED).map(|(_, words)| words).collect();
    if more > 0 {
        names.push(format!("{more} more"));
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    (!names.is_empty()).then(|| {
        format!(
            "between two pours on a piece lie {}: what comes later runs less into what stands. A piece that is a job of its own is poured in one go",
            listed(&names, "and")
        )
    })
}

/// The longest of them in few words.
fn wait_brief(plan: &Plan) -> Option<String> {
    let long = plan
        .pieces
        .iter()
        .filter_map(|piece| Some((piece.longest_wait.filter(Wait::is_long)?, piece.name.as_str())));
    let (wait, name) = long.max_by_key(|(wait, _)| wait.seconds)?;
    let (before, after) = wait.between;
    Some(format!(
        "up to {} between two pours on {name} (container {before}, then {after})",
        minutes(seconds_f64(wait.seconds)),
    ))
}

/// More than this are counted rather than named.
const MOST_NAMED: usize = 3;

/// On which upright faces the primer shows through.
fn thin_words(plan: &Plan, units: Units) -> Option<String> {
    let uprights = plan.uprights.as_ref()?;
    let names: Vec<String> = uprights.thin().map(|base| format!("\"{}\"", base.name)).collect();
    if names.is_empty() {
        return None;
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    Some(format!(
        "on {} at {} the primer shows through {} (see CAUTIONS)",
        uprights.words,
        uprights.film_words(units),
        listed(&names, "and"),
    ))
}
