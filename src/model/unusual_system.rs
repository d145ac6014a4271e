//! Figures of a system that are told once on its datasheet, and can be, but that a slip explains better: a mix ratio by
//! volume typed as one by mass, its ceilings, its temperatures, its recoat window, its clear film.
//!
//! All bounds are common practice, no source, and wide.

use std::ops::RangeInclusive;

use super::fault::{Step, at};
use super::slip_of_length::is_whole;
use super::system::{MixRatio, Stoichiometry, System};
use super::tenfold::{TENS, meant};
use super::unusual::{HIGHEST_CEILING, ReadOff, Unusual, ceiling_meant, low_ceiling_meant};
use super::unusual_temperature::{self, LOWEST_C, MEANT_C, MEANT_LOWEST_C, OF_POT_LIVES_C};
use crate::quantity::{Fraction, TimeSpan, Units};

/// Whole ratios that tins state by volume, A to B.
const WHOLE_RATIOS: RangeInclusive<f64> = 1.0..=5.0;

/// Part B by mass that differs by less, as a fraction, whether the ratio is read by volume or by mass, is not asked about.
const ALIKE: f64 = 0.02;

/// A ratio by mass within so much of the equivalents, as a fraction, is as it was meant.
const FITS_EQUIVALENTS: f64 = 0.05;

/// A ratio was meant by volume where that leaves less than this part of what it is off the equivalents by mass.
const FITS_BETTER: f64 = 0.5;

/// The lowest ceiling of all colorants in a system.
const LOWEST_CEILING_OF_ALL: f64 = 0.005;

/// The highest ceiling of solvent: most datasheets allow none, some up to 5 %, thinned ones to soak in up to 10 %.
const HIGHEST_SOLVENT: f64 = 0.15;

/// Ceilings of solvent that a slipped point may have been meant for.
const USUAL_SOLVENTS: RangeInclusive<f64> = 0.005..=0.05;

/// Earliest recoats, min: from a fast system's half an hour to a slow one's days.
const EARLIEST_MIN: RangeInclusive<f64> = 15.0..=4320.0;

/// Earliest recoats that a slip may have been meant for, min: 1 h to 24 h.
const MEANT_EARLIEST_MIN: RangeInclusive<f64> = 60.0..=1440.0;

/// The latest recoat without sanding, min: three weeks.
const LATEST_MIN: f64 = 30_240.0;

/// Latest recoats that a slip may have been meant for, min: 8 h to a week.
const MEANT_LATEST_MIN: RangeInclusive<f64> = 480.0..=10_080.0;

/// What a clear film absorbs at most of every band, per mm: a film of 3 mm with that is as dark as sunglasses.
const MOST_CLEAR_A_MM: f64 = 0.15;

/// What a slip may have been meant for, per mm.
const MEANT_CLEAR_A_MM: RangeInclusive<f64> = 0.0005..=0.01;

impl System {
    /// What is unusual of these.
    pub(super) fn unusual_of_sheet(&self) -> Vec<Unusual> {
        let told = |path: Vec<Step>, what, meant, usual| Unusual {
            path,
            what,
            meant,
            mistaken: "",
            usual,
            read_off: ReadOff::Datasheet,
        };
        let mut all = Vec::new();
        let temperature = self.pot_life.temperature;
        if unusual_temperature::unusual(temperature, &OF_POT_LIVES_C).is_some() {
            all.push(told(
                at!["pot_life", "temperature"],
                format!("a pot life stated at {}", temperature.show_in_both()),
                unusual_temperature::meant(temperature, &MEANT_C),
                "Datasheets state it at 20–25 °C (68–77 °F)",
            ));
        }
        if let Some(lowest) = self.lowest_temperature
            && unusual_temperature::unusual(lowest, &LOWEST_C).is_some()
        {
            all.push(told(
                at!["lowest_temperature"],
                format!("a lowest temperature of {}", lowest.show_in_both()),
                unusual_temperature::meant(lowest, &MEANT_LOWEST_C),
                "Datasheets ask for some 10–18 °C (50–65 °F) and more",
            ));
        }
        let percent = |share: f64| Fraction::new(share).show(Units::Metric);
        let ceiling = self.ceilings.colorant;
        if !(LOWEST_CEILING_OF_ALL..=HIGHEST_CEILING).contains(&ceiling.value()) {
            let high = ceiling.value() > HIGHEST_CEILING;
            let likely = if high { ceiling_meant(ceiling) } else { low_ceiling_meant(ceiling) };
            let mut unusual = told(
                at!["ceilings", "colorant"],
                format!("a ceiling of {} for all colorants", percent(ceiling.value())),
                likely,
                "Systems usually bear 5–10 % of their mixed mass",
            );
            unusual.mistaken = if high { "that of one powder?" } else { "" };
            all.push(unusual);
        }
        let solvent = self.ceilings.solvent.value();
        if solvent > HIGHEST_SOLVENT {
            all.push(told(
                at!["ceilings", "solvent"],
                format!("a ceiling of {} for solvent", percent(solvent)),
                meant(solvent, &USUAL_SOLVENTS, TENS).map(percent),
                "Systems bear none, or a few percent of their mixed mass: more does not leave the film",
            ));
        }
        all.extend(self.unusual_recoat());
        all.extend(self.unusual_clear());
        all
    }

    /// Its mix ratio by mass, where it was rather meant by volume: where the equivalent weights say so, or without them
    /// where it is a whole one. Tins state whole ratios by volume; by mass the same parts make another, for B is the
    /// lighter.
    pub(super) fn ratio_meant_by_volume(&self) -> Option<Unusual> {
        let MixRatio::Mass { a, b } = self.ratio else { return None };
        let (typed, by_volume) = (self.phr(), self.phr_of(MixRatio::Volume { a, b }));
        let told = |what, usual| Unusual {
            path: at!["ratio"],
            what,
            meant: Some(format!("ByVolume({a}, {b}), which is 100 : {by_volume:.1} by mass")),
            mistaken: "",
            usual,
            read_off: ReadOff::Datasheet,
        };
        if let Some(Stoichiometry { eew_g_per_eq, ahew_g_per_eq }) = self.stoichiometry {
            let asked_for = 100.0 * ahew_g_per_eq / eew_g_per_eq;
            let off = |phr: f64| libm::fabs(phr / asked_for - 1.0);
            let fits = off(typed) <= FITS_EQUIVALENTS || off(by_volume) >= FITS_BETTER * off(typed);
            return (!fits).then(|| {
                told(
                    format!(
                        "a mix ratio A : B of {a} : {b} by mass where the equivalent weights ask for 100 : {asked_for:.1}"
                    ),
                    "Read by volume it is nearer to these weights, and tins state ratios by volume mostly",
                )
            });
        }
        let is_whole = is_whole(a / b) && WHOLE_RATIOS.contains(&(a / b));
        (is_whole && libm::fabs(by_volume / typed - 1.0) > ALIKE).then(|| {
            told(
                format!("a whole mix ratio A : B of {a} : {b} by mass"),
                "Tins state whole ratios by volume mostly, and by mass what that makes",
            )
        })
    }

    /// Its recoat window: minutes typed for hours, days for hours, a nought too many.
    fn unusual_recoat(&self) -> impl Iterator<Item = Unusual> {
        let show = |min: f64| TimeSpan::from_min(min).show(Units::Metric);
        let told = move |at: usize, which, time: TimeSpan, meant: Option<f64>| Unusual {
            path: at!["recoat", at],
            what: format!("{which} recoat after {}", time.show(Units::Metric)),
            meant: meant.map(show),
            mistaken: "",
            usual: "Datasheets state a window like 4 h to 24 h, some up to a week",
            read_off: ReadOff::Datasheet,
        };
        let (earliest, latest) = self.recoat.unzip();
        let earliest = earliest.filter(|time| !EARLIEST_MIN.contains(&time.min()));
        let earliest = earliest.map(move |time| {
            let likely = time_meant(time, &MEANT_EARLIEST_MIN, &[60.0, 24.0, 10.0]);
            told(0, "an earliest", time, likely)
        });
        let latest = latest.filter(|time| time.min() > LATEST_MIN).map(move |time| {
            // Hours of whole days as days: 24 d for 24 h.
            let likely = time_meant(time, &MEANT_LATEST_MIN, &[24.0, 10.0]);
            told(1, "a latest", time, likely)
        });
        earliest.into_iter().chain(latest)
    }

    /// Its clear film, where it absorbs much of every band.
    fn unusual_clear(&self) -> Option<Unusual> {
        let all = self.clear.absorption_per_mm;
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        let most = all.iter().copied().fold(0.0, f64::max);
        (least > MOST_CLEAR_A_MM).then(|| Unusual {
            path: at!["clear", "absorption_per_mm"],
            what: format!("a clear film that absorbs {least} a mm in every band"),
            meant: meant(least, &MEANT_CLEAR_A_MM, &[100.0, 1000.0])
                .filter(|_| least.total_cmp(&most).is_eq())
                .map(|likely| format!("{}", libm::round(likely * 1e6) / 1e6)),
            mistaken: "",
            usual: "Clear films absorb some 0.001–0.01 a mm, amber ones more in the blue alone",
            read_off: ReadOff::Datasheet,
        })
    }
}

/// The time, min in `usual`, that was likely meant: the first that is whole hours.
fn time_meant(time: TimeSpan, usual: &RangeInclusive<f64>, slips: &[f64]) -> Option<f64> {
    let mut each = slips.iter().filter_map(|slip| meant(time.min(), usual, &[*slip]));
    each.find(|min| is_whole(min / 60.0))
}
