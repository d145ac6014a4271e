//! Figures of a job that are no measures of the tape, and can be, but that a slip explains better: its losses, its coats,
//! its crew, the humidity.
//!
//! They are told and stop nothing. All bounds are common practice, no source, and wide.

use super::fault::at;
use super::job::{Cling, Job, RunOff};
use super::tenfold::{TENS, meant};
use super::unusual_house::CLING_FILMS_MM;
use super::unusual_size::{Size, UnusualSize, of_edge};
use crate::quantity::{Fraction, Length, Units, Volume};

/// Allowances, where there is one: 5 % is usual, a first pour takes up to a quarter.
const USUAL_ALLOWANCES: std::ops::RangeInclusive<f64> = 0.005..=0.3;

/// What runs over a metre of edge, mL: 150 is usual.
const USUAL_RUN_OFFS_ML_A_M: std::ops::RangeInclusive<f64> = 0.0..=450.0;

/// What runs off as a share of what is poured: 10–20 % is usual.
const MOST_RUN_OFF: f64 = 0.4;

/// What clings as a share of what is mixed.
const MOST_CLING: f64 = 0.2;

/// Coats of a counter.
const MOST_COATS: u32 = 6;

/// Hands that mix and pour at one counter.
const MOST_CREW: u32 = 10;

/// Relative humidities of a room that is worked in, outdoors in a desert included.
const USUAL_HUMIDITIES: std::ops::RangeInclusive<f64> = 0.08..=1.0;

/// Allowances that a slip may have been meant for.
const MEANT_ALLOWANCES: std::ops::RangeInclusive<f64> = 0.01..=0.15;

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
        let share_of = |path, what: &str, own: Fraction, most: f64| {
            (own.value() > most).then(|| {
                let likely = share(meant(own.value(), &(0.01..=most), TENS));
                figure(path, what, Size::Share(own), "large", likely)
            })
        };
        let run_off = match self.losses.run_off {
            RunOff::Share(own) => {
                share_of(at!["losses", "run_off"], "the run-off", own, MOST_RUN_OFF)
            }
            RunOff::PerEdge { volume, per } => {
                let on_a_metre = volume.ml() / per.m();
                (!USUAL_RUN_OFFS_ML_A_M.contains(&on_a_metre)).then(|| {
                    let likely = meant(on_a_metre, &(30.0..=450.0), TENS).map(Volume::from_ml);
                    let [us, metric] = [Units::Us, Units::Metric];
                    let likely =
                        likely.map(|it| format!("{} ({})", of_edge(it, us), of_edge(it, metric)));
                    let size = Size::OfEdge(Volume::from_ml(on_a_metre));
                    figure(at!["losses", "run_off"], "the run-off", size, "large", likely)
                })
            }
        };
        let cling = match self.losses.cling {
            Cling::Share(own) => {
                share_of(at!["losses", "cling"], "what clings to vessels", own, MOST_CLING)
            }
            Cling::Film(film) => (film.mm() > *CLING_FILMS_MM.end()).then(|| {
                let likely = meant(film.mm(), &(0.2..=1.0), TENS).map(Length::from_mm);
                let likely = likely.map(|it| it.show_film(Units::Metric));
                let what = "the film on vessel walls";
                figure(at!["losses", "cling"], what, Size::Film(film), "thick", likely)
            }),
        };
        let all = [
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
        all.into_iter().flatten()
    }
}
