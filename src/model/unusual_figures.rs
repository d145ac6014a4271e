//! Figures of a job that are no measures of the tape, and can be, but that a slip explains better: its losses, its coats,
//! its crew, the humidity, temperatures.
//!
//! They are told and stop nothing. All bounds are common practice, no source, and wide.

use std::ops::RangeInclusive;

use super::fault::at;
use super::job::{Cling, Job, RunOff};
use super::slip_of_film;
use super::slip_of_volume;
use super::tenfold::{TENS, meant};
use super::unusual_house::{CLING_FILMS_MM, MEANT_CLING_FILMS_MM};
use super::unusual_size::{Size, UnusualSize, of_edge};
use super::unusual_temperature::{self, MEANT_C, ROOMS_C, WARMED_C};
use crate::quantity::{Fraction, Length, Units, Volume};

/// Allowances, where there is one: 5 % is usual, a first pour takes up to a quarter.
const USUAL_ALLOWANCES: RangeInclusive<f64> = 0.005..=0.3;

/// What runs over a metre of edge, mL, where anything does: 150 is usual.
const USUAL_RUN_OFFS_ML_A_M: RangeInclusive<f64> = 5.0..=450.0;

/// What runs off as a share of what is poured, where anything does: 10–20 % is usual.
const USUAL_RUN_OFFS: RangeInclusive<f64> = 0.005..=0.4;

/// What clings as a share of what is mixed, where anything does: 2–10 % is usual.
const USUAL_CLINGS: RangeInclusive<f64> = 0.002..=0.2;

/// Coats of a counter.
const MOST_COATS: u32 = 6;

/// The least air of a room that is worked in: a closet's, 4 m³ (141 ft³).
pub(crate) const LEAST_ROOM: Volume = Volume::from_ml(4e6);

/// The air of rooms that are worked in, mL: from a closet to a hall.
const USUAL_ROOMS_ML: RangeInclusive<f64> = LEAST_ROOM.ml()..=5e9;

/// Rooms that a slip may have been meant for, mL: from a bathroom to a large shop.
const MEANT_ROOMS_ML: RangeInclusive<f64> = 8e6..=1e9;

/// Hands that mix and pour at one counter.
const MOST_CREW: u32 = 10;

/// Relative humidities of a room that is worked in, outdoors in a desert included.
const USUAL_HUMIDITIES: RangeInclusive<f64> = 0.08..=1.0;

/// Allowances that a slip may have been meant for.
const MEANT_ALLOWANCES: RangeInclusive<f64> = 0.01..=0.15;

impl Job {
    /// Figures of the job that are no measures of the tape, where they are unusual.
    pub(super) fn unusual_figures(&self) -> impl Iterator<Item = UnusualSize> {
        let (allowance, humidity) = (self.losses.allowance.value(), self.humidity.value());
        let no_allowance = allowance == 0.0;
        let share = |meant: Option<f64>| meant.map(|it| Fraction::new(it).show(Units::Metric));
        let few = |count: u32, most: u32| {
            let tenth = (count > most && count.is_multiple_of(10)).then_some(count / 10);
            tenth.filter(|tenth| *tenth <= most).map(|tenth| tenth.to_string())
        };
        let figure = |path, what: &str, size, how, meant| UnusualSize {
            path,
            counter: None,
            what: what.to_owned(),
            size,
            how,
            meant,
            meant_for: String::new(),
        };
        let large = allowance > *USUAL_ALLOWANCES.end();
        let share_of = |path, what: &str, own: Fraction, usual: &RangeInclusive<f64>| {
            let value = own.value();
            (value > 0.0 && !usual.contains(&value)).then(|| {
                let large = value > *usual.end();
                // Of what is too small it is likelier that percent was typed for parts of one.
                let (slips, least): (&[f64], f64) =
                    if large { (TENS, 0.01) } else { (&[100.0, 10.0], 0.02) };
                let likely = share(meant(value, &(least..=*usual.end()), slips));
                let how = if large { "large" } else { "small" };
                figure(path, what, Size::Share(own), how, likely)
            })
        };
        let run_off = match self.losses.run_off {
            RunOff::Share(own) => {
                share_of(at!["losses", "run_off"], "the run-off", own, &USUAL_RUN_OFFS)
            }
            RunOff::PerEdge { volume, per } => {
                let on_a_metre = volume.ml() / per.m();
                (on_a_metre > 0.0 && !USUAL_RUN_OFFS_ML_A_M.contains(&on_a_metre)).then(|| {
                    let likely = meant(on_a_metre, &(30.0..=450.0), TENS).map(Volume::from_ml);
                    let [us, metric] = [Units::Us, Units::Metric];
                    let likely =
                        likely.map(|it| format!("{} ({})", of_edge(it, us), of_edge(it, metric)));
                    let size = Size::OfEdge(Volume::from_ml(on_a_metre));
                    let large = on_a_metre > *USUAL_RUN_OFFS_ML_A_M.end();
                    let how = if large { "large" } else { "small" };
                    figure(at!["losses", "run_off"], "the run-off", size, how, likely)
                })
            }
        };
        let cling = match self.losses.cling {
            Cling::Share(own) => {
                share_of(at!["losses", "cling"], "what clings to vessels", own, &USUAL_CLINGS)
            }
            Cling::Film(film) => {
                (film.mm() > 0.0 && !CLING_FILMS_MM.contains(&film.mm())).then(|| {
                    let likely = meant(film.mm(), &MEANT_CLING_FILMS_MM, TENS);
                    let likely = likely.map(|mm| slip_of_film::as_typed(Length::from_mm(mm), film));
                    let what = "the film on vessel walls";
                    let how = if film.mm() < *CLING_FILMS_MM.start() { "thin" } else { "thick" };
                    figure(at!["losses", "cling"], what, Size::Film(film), how, likely)
                })
            }
        };
        let temperatures = [
            ("temperature", "the room's temperature", Some(self.temperature), ROOMS_C),
            ("surface", "the surface's temperature", self.surface, WARMED_C),
            ("parts", "the temperature of the parts", self.parts, WARMED_C),
        ];
        let temperatures = temperatures.into_iter().filter_map(|(field, what, own, usual)| {
            let own = own?;
            let how = unusual_temperature::unusual(own, &usual)?;
            let likely = unusual_temperature::meant(own, &MEANT_C);
            Some(figure(at![field], what, Size::Temperature(own), how, likely))
        });
        let temperatures: Vec<UnusualSize> = temperatures.collect();
        let room = self.room.filter(|room| !USUAL_ROOMS_ML.contains(&room.ml())).map(|room| {
            let how = if room.ml() < *USUAL_ROOMS_ML.start() { "small" } else { "large" };
            let likely = slip_of_volume::meant(room, &MEANT_ROOMS_ML);
            figure(at!["room"], "the room", Size::Room(room), how, likely)
        });
        let all = [
            room,
            run_off,
            cling,
            (!no_allowance && !USUAL_ALLOWANCES.contains(&allowance)).then(|| {
                figure(
                    at!["losses", "allowance"],
                    "the allowance",
                    Size::Share(self.losses.allowance),
                    if large { "large" } else { "small" },
                    share(meant(allowance, &MEANT_ALLOWANCES, TENS)),
                )
            }),
            (self.coats > MOST_COATS).then(|| {
                let (coats, likely) = (Size::Count(self.coats), few(self.coats, MOST_COATS));
                figure(at!["coats"], "the number of coats", coats, "large", likely)
            }),
            (self.crew > MOST_CREW).then(|| {
                let (crew, likely) = (Size::Count(self.crew), few(self.crew, MOST_CREW));
                figure(at!["crew"], "the crew", crew, "large", likely)
            }),
            (!USUAL_HUMIDITIES.contains(&humidity)).then(|| {
                let likely = share(meant(humidity, &(0.2..=0.95), TENS));
                let size = Size::Share(self.humidity);
                figure(at!["humidity"], "the humidity", size, "low", likely)
            }),
        ];
        all.into_iter().flatten().chain(temperatures)
    }
}
