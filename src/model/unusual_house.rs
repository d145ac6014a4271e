//! Figures of a house that can be, but that a slip explains better: the weighing, the clock and the purchase rest on them.
//!
//! - [`House::unusual`]: each as a question.
//!
//! They are told and stop nothing. All bounds are common practice, no source, and wide.

use std::ops::RangeInclusive;

use super::fault::{Step, at};
use super::house::House;
use super::slip_of_volume;
use super::tenfold::{TENS, meant};
use super::timed::Timed;
use super::unusual::{ReadOff, Unusual, as_doubts, in_both, unusual_container};
use crate::model::Faults;
use crate::quantity::{Fraction, Length, Mass, TimeSpan, Units};

/// Steps of scales that resin is weighed on, g.
const READABILITIES_G: RangeInclusive<f64> = 0.0001..=5.0;

/// Relative errors that a weighing may have.
const TOLERANCES: RangeInclusive<f64> = 0.002..=0.1;

/// The most that is mixed in one vessel, g: beyond a bucket no hand stirs it evenly, and it heats itself.
const LARGEST_MIXES_G: RangeInclusive<f64> = 150.0..=15_000.0;

/// How full vessels are filled.
const FILLS: RangeInclusive<f64> = 0.4..=1.0;

/// Shifts of the mix ratio that a house lets pass, or cautions of.
const OFF_RATIOS: RangeInclusive<f64> = 0.001..=0.12;

/// How near under a ceiling a caution begins, as a part of the ceiling.
const MARGINS: RangeInclusive<f64> = 0.005..=0.5;

/// Colour differences that count as a match, ΔE00: below 0.1 no instrument tells them apart, above 6 they are two colours.
const MATCHES: RangeInclusive<f64> = 0.1..=6.0;

/// Mixing vessels, mL: a medicine cup to a drum.
const VESSELS_ML: RangeInclusive<f64> = 20.0..=220_000.0;

/// How many of its steps a scale bears: a pocket scale of 20 g by 0.1 g to fine ones by the kilogram.
const STEPS_OF_SCALES: RangeInclusive<f64> = 100.0..=10_000_000.0;

/// Films that stay on the walls of emptied vessels, mm.
pub(super) const CLING_FILMS_MM: RangeInclusive<f64> = 0.05..=2.0;

/// Those that a slip may have been meant for, mm.
pub(super) const MEANT_CLING_FILMS_MM: RangeInclusive<f64> = 0.2..=1.0;

/// How long one step takes, s: mixing is stirring for minutes, the others a few seconds to half an hour.
const fn usual_time_s(step: Timed) -> RangeInclusive<f64> {
    match step {
        Timed::Mix | Timed::SecondVessel => 30.0..=1200.0,
        Timed::MistWait => 10.0..=3600.0,
        Timed::MixALitre | Timed::SecondVesselALitre | Timed::PourALitre => 0.0..=1800.0,
        _ => 2.0..=1800.0,
    }
}

impl House {
    /// Its figures that are unusual.
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let told = |path: Vec<Step>, what: String, meant: Option<String>, usual| Unusual {
            path,
            what,
            meant,
            mistaken: "",
            usual,
            read_off: ReadOff::House,
        };
        let mass = |g: f64| Mass::from_g(g).show(Units::Metric);
        let load = |g: f64| in_both(Mass::from_g(g));
        let film_in_both = |film: Length| match self.units {
            Units::Us => {
                format!("{} ({})", film.show_film(Units::Us), film.show_film(Units::Metric))
            }
            Units::Metric => film.show_film(Units::Metric),
        };
        let share = |value: f64| Fraction::new(value).show(Units::Metric);
        let mut all = Vec::new();
        for scale in &self.scales {
            let g = scale.readability.g();
            if !READABILITIES_G.contains(&g) {
                all.push(told(
                    at!["scales"],
                    format!("a readability of {} of the {}", mass(g), scale.name),
                    meant(g, &(0.1..=2.0), TENS).map(mass),
                    "Scales for resin show 1 g, for colorants 0.1 g or 0.01 g",
                ));
                continue;
            }
            let (capacity, steps) = (scale.capacity.g(), scale.capacity / scale.readability);
            if !STEPS_OF_SCALES.contains(&steps) {
                all.push(told(
                    at!["scales"],
                    format!("a capacity of {} of the {}", load(capacity), scale.name),
                    meant(steps, &(500.0..=1_000_000.0), &[1000.0]).map(|likely| load(likely * g)),
                    "Scales bear some hundred to a million of their steps",
                ));
            }
        }
        let tolerance = self.weighing_tolerance.value();
        if !TOLERANCES.contains(&tolerance) {
            all.push(told(
                at!["weighing_tolerance"],
                format!("a weighing tolerance of {}", share(tolerance)),
                meant(tolerance, &(0.01..=0.05), TENS).map(share),
                "A change of a loading by 2 % is about as small as is seen",
            ));
        }
        let largest = self.largest_mix.g();
        if !LARGEST_MIXES_G.contains(&largest) {
            all.push(told(
                at!["largest_mix"],
                format!("a largest mix of {}", load(largest)),
                meant(largest, &(500.0..=15_000.0), &[1000.0, 10.0, 100.0]).map(load),
                "One vessel holds 1–10 kg: more is not stirred evenly by hand, and heats itself",
            ));
        }
        let fill = self.fill.value();
        if !FILLS.contains(&fill) {
            all.push(told(
                at!["fill"],
                format!("a fill of {}", share(fill)),
                meant(fill, &(0.5..=0.95), TENS).map(share),
                "Vessels and containers are filled to some 80 %",
            ));
        }
        for (field, what, off, usual) in [
            (
                "off_ratio_limit",
                "an off-ratio limit",
                self.off_ratio_limit.value(),
                "Beyond some 5 % off its ratio a mix may never cure",
            ),
            (
                "off_ratio_caution",
                "an off-ratio caution",
                self.off_ratio_caution.value(),
                "It comes before the limit, usually at 2 %",
            ),
        ] {
            if !OFF_RATIOS.contains(&off) {
                all.push(told(
                    at![field],
                    format!("{what} of {}", share(off)),
                    meant(off, &(0.01..=*OFF_RATIOS.end()), &[10.0, 100.0, 1000.0]).map(share),
                    usual,
                ));
            }
        }
        let margin = self.near_ceiling.value();
        if !MARGINS.contains(&margin) {
            // Whoever types 90 % means from 90 % of the ceiling on.
            let likely = match margin > *MARGINS.end() && margin < 1.0 {
                true => Some(1.0 - margin),
                false => meant(margin, &(0.05..=0.3), &[100.0, 10.0]),
            };
            all.push(told(
                at!["near_ceiling"],
                format!("a margin of {} under a ceiling", share(margin)),
                likely.map(share),
                "A caution begins this far under the ceiling, usually at 10 % of it",
            ));
        }
        if !MATCHES.contains(&self.match_within) {
            all.push(told(
                at!["match_within"],
                format!("colours that match within {} ΔE00", self.match_within),
                meant(self.match_within, &(0.5..=4.0), TENS)
                    .map(|likely| format!("{} ΔE00", libm::round(likely * 1e4) / 1e4)),
                "A difference of 1 is about as small as is seen side by side",
            ));
        }
        for vessel in &self.vessels {
            if !VESSELS_ML.contains(&vessel.ml()) {
                let shown = format!("{} ({})", vessel.show(Units::Us), vessel.show(Units::Metric));
                all.push(told(
                    at!["vessels"],
                    format!("a vessel of {shown}"),
                    slip_of_volume::meant(*vessel, &(400.0..=25_000.0)),
                    "Mixing vessels hold a cup to a drum",
                ));
            }
        }
        all.extend(unusual_container(self.container, ReadOff::House));
        let film = self.cling_film.mm();
        if film > 0.0 && !CLING_FILMS_MM.contains(&film) {
            all.push(told(
                at!["cling_film"],
                format!("a film of {} on vessel walls", film_in_both(self.cling_film)),
                meant(film, &MEANT_CLING_FILMS_MM, TENS)
                    .map(|mm| film_in_both(Length::from_mm(mm))),
                "Some 0.5 mm stay on the walls of an emptied vessel",
            ));
        }
        for (step, time) in &self.durations {
            let usual = usual_time_s(*step);
            if !usual.contains(&time.s()) {
                all.push(told(
                    at!["durations", step.word()],
                    format!("{} for the step \"{}\"", time.show(Units::Metric), step.word()),
                    meant(time.s(), &usual, &[60.0, 10.0])
                        .map(|s| TimeSpan::from_s(s).show(Units::Metric)),
                    "The clock of every mix rests on it",
                ));
            }
        }
        all
    }

    /// What is doubtful in figures that can be: told, but in nobody's way.
    #[must_use]
    pub fn doubts(&self) -> Faults {
        as_doubts(self.unusual())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::HouseParts;

    fn told(change: impl FnOnce(&mut HouseParts)) -> Vec<String> {
        let mut parts = HouseParts::default();
        change(&mut parts);
        let house = House::new(parts).unwrap();
        house.unusual().iter().map(Unusual::words).collect()
    }

    #[test]
    fn the_usual_house_is_not_unusual() {
        assert_eq!(told(|_| ()), [""; 0]);
    }

    #[test]
    fn each_slip_of_a_house_is_asked_about() {
        let first = |change: fn(&mut HouseParts)| told(change).into_iter().next().unwrap();
        for (words, change) in [
            (
                "unusual: a largest mix of 30 kg (66.1 lb): is it meant so? (did you mean 3 kg (6.6 lb)?)",
                (|parts| parts.largest_mix = Mass::from_g(30_000.0)) as fn(&mut HouseParts),
            ),
            ("unusual: a fill of 8 %: is it meant so? (did you mean 80 %?)", |parts| {
                parts.fill = Fraction::from_percent(8.0);
            }),
            (
                "unusual: a weighing tolerance of 50 %: is it meant so? (did you mean 5 %?)",
                |parts| {
                    parts.weighing_tolerance = Fraction::from_percent(50.0);
                },
            ),
            (
                "unusual: a film of 5 mm on vessel walls: is it meant so? (did you mean 0.5 mm?)",
                |parts| parts.cling_film = Length::from_mm(5.0),
            ),
            (
                "unusual: a readability of 10.0 g of the bench scale: is it meant so? (did you mean 1.00 g?)",
                |parts| parts.scales[0].readability = Mass::from_g(10.0),
            ),
            (
                "unusual: an off-ratio limit of 50 %: is it meant so? (did you mean 5 %?) Beyond",
                |parts| parts.off_ratio_limit = Fraction::from_percent(50.0),
            ),
            ("unusual: a fill of 39 %: is it meant so? Vessels", |parts| {
                parts.fill = Fraction::from_percent(39.0);
            }),
            ("unusual: 3 s for the step \"mix\": is it meant so? (did you mean 3 min?)", |parts| {
                parts.durations.insert(Timed::Mix, TimeSpan::from_s(3.0));
            }),
        ] {
            let found = first(change);
            assert!(found.starts_with(words), "{words}: {found}");
        }
    }
}
