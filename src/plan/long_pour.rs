//! A pour that takes longer than its film runs: what is poured first no longer flows when the last comes to it.

use crate::model::PotLife;

use super::run_sheet::RunSheet;

/// A film runs about so many times as long as the pot life that is stated for a mass in its cup (common practice, no
/// source).
const FILM_RUNS: f64 = 2.0;

/// How long a film stands before the pour is done, where that is longer than it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LongPour {
    /// How long what is poured first has stood when the last is poured and the edges are done, s.
    pub stands_s: i64,
    /// How long it runs, s: an estimate.
    pub runs_s: f64,
}

impl LongPour {
    /// How long a film runs, as `FILM_RUNS` estimates it, in words.
    pub const ESTIMATED_AS: &'static str = "twice the stated pot life";

    /// Of a run sheet with a stated pot life; none where the pour is done while its film runs.
    pub(super) fn of(sheet: &RunSheet, pot_life: &PotLife) -> Option<Self> {
        let stands_s = sheet.first_stands_s();
        let runs_s = FILM_RUNS * pot_life.time.s();
        #[expect(clippy::cast_precision_loss, reason = "seconds of a day's work")]
        let long = stands_s as f64 > runs_s;
        long.then_some(Self { stands_s, runs_s })
    }
}
