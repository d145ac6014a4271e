//! The words of the run sheet: times, steps, findings and remedies.

use crate::plan::Change;
use crate::plan::run_sheet::{Finding, MixClock, RunSheet, Step};
use crate::plan::weather::{NoPour, Place};
use crate::quantity::{Mass, Temperature, Units};

/// Seconds from the start as hours and minutes: `1:05`.
#[must_use]
pub fn clock(seconds: i64) -> String {
    clock_minutes(nearest_minute(seconds))
}

/// Seconds to the nearest minute.
const fn nearest_minute(seconds: i64) -> i64 {
    seconds.saturating_add(30).div_euclid(60)
}

fn clock_minutes(minutes: i64) -> String {
    format!("{}:{:02}", minutes.div_euclid(60), minutes.rem_euclid(60))
}

/// A span in whole minutes, or in seconds below two.
#[must_use]
pub fn minutes(seconds: f64) -> String {
    if seconds.abs() < 120.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.0} min", seconds / 60.0)
    }
}

/// Moments of a mix's clock in whole minutes, as a sheet prints them: what stands there as a span is their difference,
/// so that what is printed adds up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WholeMinutes {
    start: i64,
    last_pour: Option<i64>,
    pour_by: Option<i64>,
}

impl WholeMinutes {
    /// Moments to the nearest minute; the deadline down, yet no earlier than a last pour that is in time.
    pub(super) fn of(own: &MixClock) -> Self {
        let last_pour = own.last_pour.map(|(s, _)| nearest_minute(s));
        let pour_by = own.pour_by_s.map(|by_s| {
            let down = by_s.div_euclid(60);
            let in_time = last_pour.filter(|_| own.last_pour.is_some_and(|(s, _)| s <= by_s));
            in_time.map_or(down, |last| down.max(last))
        });
        Self { start: nearest_minute(own.start_s), last_pour, pour_by }
    }

    /// By when it must be poured; none where it does not gel.
    pub(super) fn pour_by(self) -> Option<String> {
        self.pour_by.map(clock_minutes)
    }

    /// How long it lasts, of so many seconds.
    pub(super) fn lasts(self, seconds: f64) -> String {
        span_words(seconds, self.pour_by.map(|by| by - self.start))
    }

    /// How long lies between its last pour and its deadline, of so many seconds.
    pub(super) fn spare(self, spare_s: i64) -> String {
        let spare = self.pour_by.zip(self.last_pour).map(|(by, last)| by - last);
        span_words(seconds_f64(spare_s), spare)
    }

    /// By how much its last pour is late, of so many seconds.
    pub(super) fn late(self, late_s: i64) -> String {
        let late = self.pour_by.zip(self.last_pour).map(|(by, last)| last - by);
        span_words(seconds_f64(late_s), late)
    }

    /// By how much it is late by the least of its pot life's range, of so many seconds.
    fn late_by_shortest(self, own: &MixClock, late_s: i64) -> String {
        let least = own.pot_life.range_s.and_then(|(least_s, _)| minutes_down(least_s));
        let late = least.zip(self.last_pour).map(|(least, last)| last - self.start - least);
        span_words(seconds_f64(late_s), late)
    }
}

/// A span by the whole minutes between two printed moments; below two minutes by its seconds.
fn span_words(seconds: f64, between: Option<i64>) -> String {
    match between {
        Some(between) if seconds.abs() >= 120.0 => format!("{between} min"),
        _ => minutes(seconds),
    }
}

/// Whole minutes of a span, down, as a range is printed.
fn minutes_down(seconds: f64) -> Option<i64> {
    #[expect(clippy::cast_possible_truncation, reason = "checked to be less than an aeon")]
    (seconds.abs() < 1e15).then(|| libm::floor(seconds / 60.0) as i64)
}

/// A mix's name, with its number where there are several of a kind.
#[must_use]
pub fn mix_name(sheet: &RunSheet, mix: usize) -> String {
    match sheet.mixes.get(mix) {
        Some(mix) if mix.part.1 > 1 => format!("{} {} of {}", mix.name, mix.part.0, mix.part.1),
        Some(mix) => mix.name.clone(),
        None => format!("mix {}", mix + 1),
    }
}

/// What is done in a step.
#[must_use]
pub fn step_words(sheet: &RunSheet, step: Step) -> String {
    match step {
        Step::Mix { mix } => format!("mix B into A: {}", mix_name(sheet, mix)),
        Step::SecondVessel { mix } => {
            format!("clean second vessel, mix again: {}", mix_name(sheet, mix))
        }
        Step::Split { mix } => format!("split {}", mix_name(sheet, mix)),
        Step::Tint { mix } => format!("tint {}", mix_name(sheet, mix)),
        Step::Decant { batch } => format!("fill container {}", batch + 1),
        Step::Accents { batch } => format!("accents into container {}", batch + 1),
        Step::Pour { batch } => format!("pour container {}", batch + 1),
        Step::CoatUprights => "coat edges and splashbacks".to_owned(),
        Step::Mist { pass: 0 } => "mist lightly".to_owned(),
        Step::Mist { .. } => "mist again; never flood".to_owned(),
        Step::ScrapeDrips { round } => format!("scrape drips, time {}", round + 1),
    }
}

/// A finding in one sentence.
#[must_use]
pub fn finding_words(sheet: &RunSheet, finding: &Finding, units: Units) -> String {
    let degrees = |celsius: f64| Temperature::from_c(celsius).show(units);
    // What is reckoned for a left-over is not known to a tenth of a degree.
    let about = |celsius: f64| match units {
        Units::Us => Temperature::from_f(Temperature::from_c(celsius).f().round()).show(units),
        Units::Metric => degrees(celsius.round()),
    };
    #[expect(clippy::cast_precision_loss, reason = "seconds of a working day")]
    let span = |seconds: i64| minutes(seconds as f64);
    let own = |mix: usize| sheet.clocks.get(mix).map(|own| (WholeMinutes::of(own), own));
    let spare =
        |mix, seconds| own(mix).map_or_else(|| span(seconds), |(whole, _)| whole.spare(seconds));
    match *finding {
        Finding::TooLate { mix, batch, by_s } => {
            format!(
                "{} would be poured with container {}, {} after the end of its pot life",
                mix_name(sheet, mix),
                batch + 1,
                own(mix).map_or_else(|| span(by_s), |(whole, _)| whole.late(by_s))
            )
        }
        Finding::Tight { mix, spare_s, late_by_shortest_s: Some(by_s) } => format!(
            "{} is in time by the estimate, with {} to spare, but late by its shortest pot life: by {}; time a test mix before the job",
            mix_name(sheet, mix),
            spare(mix, spare_s),
            own(mix).map_or_else(|| span(by_s), |(whole, own)| whole.late_by_shortest(own, by_s))
        ),
        Finding::Tight { mix, spare_s, late_by_shortest_s: None } => format!(
            "{} has only {} to spare before its pot life ends (estimated)",
            mix_name(sheet, mix),
            spare(mix, spare_s)
        ),
        Finding::HotPour { mix, celsius, most_celsius } => format!(
            "{} would be {} when the last of it is poured (estimated): too hot, for from {} on a mix runs away and sets as it is poured; a smaller mix or a cooler room keeps it cooler",
            mix_name(sheet, mix),
            about(celsius),
            about(most_celsius)
        ),
        Finding::NeverPoured { mix } => format!("{} goes into nothing", mix_name(sheet, mix)),
        Finding::LeftOverRunsHot { left_over } => match sheet.left_overs.get(left_over) {
            Some(left) => {
                let what = format!(
                    "{:.0} g of {} left in its vessel would reach {} (estimated)",
                    left.mass_g,
                    mix_name(sheet, left.mix),
                    about(left.peak_celsius)
                );
                let (thin, thinner) = match units {
                    Units::Us => ("1/8 in", about(left.peak_spread_celsius)),
                    Units::Metric => ("3 mm", about(left.peak_spread_celsius)),
                };
                if left.spreading_helps {
                    format!(
                        "{what}: spread it under {thin} on foil outdoors while it is cool to the hand ({thinner} then), never lid it"
                    )
                } else {
                    format!(
                        "{what}, and is too warm by then to be spread: carry it outdoors in its vessel to bare ground clear of all that burns, keep away, never lid it"
                    )
                }
            }
            None => "a left-over would run hot".to_owned(),
        },
        Finding::MistLate { by_s } => format!("the second mist comes {} late", span(by_s)),
        Finding::ScrapeLate { round, by_s } => {
            format!("drips are scraped {} late the {}. time", span(by_s), round + 1)
        }
        Finding::Weather(NoPour::NearDewPoint {
            dew_point_celsius,
            surface_at_least_celsius,
            surface_celsius,
        }) => format!(
            "the surface at {} is too near the dew point of {}: it must be at least {}",
            degrees(surface_celsius),
            degrees(dew_point_celsius),
            degrees(surface_at_least_celsius)
        ),
        Finding::Weather(NoPour::TooCold { place, celsius, lowest_celsius }) => format!(
            "the {} at {} is colder than the {} that the datasheet allows",
            place_word(place),
            degrees(celsius),
            degrees(lowest_celsius)
        ),
        Finding::Weather(NoPour::TooWarm { place, celsius, highest_celsius }) => format!(
            "the {} at {} is warmer than the {} that the datasheet allows",
            place_word(place),
            degrees(celsius),
            degrees(highest_celsius)
        ),
        Finding::Weather(NoPour::TooDamp { humidity_percent, dampest_percent }) => format!(
            "the air at {humidity_percent:.0} % relative humidity is damper than the {dampest_percent:.0} % that the datasheet allows"
        ),
    }
}

const fn place_word(place: Place) -> &'static str {
    match place {
        Place::Air => "air",
        Place::Surface => "surface",
    }
}

/// A change that the planner tried, and what a person writes to make it: in the job's file where it is
/// `filed`, else as an option of the command.
#[must_use]
pub fn change_words(change: Change, filed: bool, units: Units) -> String {
    match change {
        Change::SmallerMixes { largest } => {
            let kg = kilograms(largest);
            format!("mixes of at most {kg} (largest_mix: \"{kg}\" in house.ron)")
        }
        Change::Crew { crew } => {
            let how =
                if filed { format!("crew: {crew} in the job") } else { format!("--crew {crew}") };
            format!("a crew of {crew} ({how})")
        }
        Change::Cooler { room, units: exact, parts_too } => {
            // Written in the units in which it is a whole number, so that it is what was tried.
            let (shown, written) = (room.show(units), room.show(exact));
            if parts_too {
                format!(
                    "a room and resin of {shown} (temperature: \"{written}\" and parts: \"{written}\" in the job)"
                )
            } else if filed {
                format!("a room of {shown} (temperature: \"{written}\" in the job)")
            } else {
                format!("a room of {shown} (--temperature \"{written}\")")
            }
        }
    }
}

/// How far a kind of change was taken.
#[must_use]
pub(super) fn reach_words(change: Change, units: Units) -> String {
    match change {
        Change::SmallerMixes { largest } => format!("mixes down to {}", kilograms(largest)),
        Change::Crew { crew } => format!("a crew of up to {crew}"),
        Change::Cooler { room, .. } => format!("a room down to {}", room.show(units)),
    }
}

/// Seconds for what is reckoned in parts of them.
#[expect(clippy::cast_precision_loss, reason = "seconds of a working day")]
pub(super) const fn seconds_f64(seconds: i64) -> f64 {
    seconds as f64
}

/// In whole steps of 10 g.
fn kilograms(mass: Mass) -> String {
    format!("{:.2} kg", mass.g() / 1000.0)
}
