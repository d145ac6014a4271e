//! How long each step takes, and when a step counts as late. All of it is common practice with
//! no source; a shop that times itself puts its own figures here.

use super::RunSheetError;
use super::ask::amount;

/// Seconds a step takes. "Per litre" adds to the step's own time with the volume handled.
#[derive(Debug, Clone, PartialEq)]
pub struct Durations {
    /// Pouring B into A and mixing, s. The clock starts as this begins.
    pub mix_s: f64,
    /// More for every litre mixed, s.
    pub mix_per_litre_s: f64,
    /// Moving to a clean second vessel and mixing again, s.
    pub second_vessel_s: f64,
    /// More for every litre, s.
    pub second_vessel_per_litre_s: f64,
    /// Splitting a mix, for each vessel it is split into, s.
    pub split_each_s: f64,
    /// Tinting, for each colorant, s.
    pub tint_each_s: f64,
    /// Wiping the paddle clean before a lighter colour, or before another where colours are not known, s.
    pub clean_paddle_s: f64,
    /// Decanting one layer into a small batch's container, s.
    pub decant_layer_s: f64,
    /// Dosing one accent, s.
    pub accent_each_s: f64,
    /// Pouring a small batch, s.
    pub pour_s: f64,
    /// More for every litre poured, s.
    pub pour_per_litre_s: f64,
    /// Coating a square metre of edges and splashbacks by brush, s.
    pub coat_per_m2_s: f64,
    /// Misting the whole surface once, s.
    pub mist_s: f64,
    /// The wait between the two mistings, s.
    pub mist_wait_s: f64,
    /// The second misting is late if it begins this much after the wait, s.
    pub mist_slack_s: f64,
    /// Scraping drips once round, s.
    pub scrape_s: f64,
    /// When drips are scraped, s after the last pour.
    pub scrape_after_s: Vec<f64>,
    /// A scraping is late if it begins this much after its time, s.
    pub scrape_slack_s: f64,
}

impl Default for Durations {
    fn default() -> Self {
        Self {
            mix_s: 180.0,
            mix_per_litre_s: 15.0,
            second_vessel_s: 120.0,
            second_vessel_per_litre_s: 10.0,
            split_each_s: 30.0,
            tint_each_s: 45.0,
            clean_paddle_s: 60.0,
            decant_layer_s: 20.0,
            accent_each_s: 15.0,
            pour_s: 45.0,
            pour_per_litre_s: 45.0,
            coat_per_m2_s: 300.0,
            mist_s: 90.0,
            mist_wait_s: 300.0,
            mist_slack_s: 300.0,
            scrape_s: 240.0,
            scrape_after_s: vec![3600.0, 4500.0, 5400.0],
            scrape_slack_s: 600.0,
        }
    }
}

impl Durations {
    /// Refuses a time that is negative, not finite or longer than a day.
    pub(super) fn check(&self) -> Result<(), RunSheetError> {
        let each = [
            ("time to mix (s)", self.mix_s),
            ("time to mix a litre (s)", self.mix_per_litre_s),
            ("time in the second vessel (s)", self.second_vessel_s),
            ("time in the second vessel for a litre (s)", self.second_vessel_per_litre_s),
            ("time to split (s)", self.split_each_s),
            ("time to tint (s)", self.tint_each_s),
            ("time to clean a paddle (s)", self.clean_paddle_s),
            ("time to decant a layer (s)", self.decant_layer_s),
            ("time to dose an accent (s)", self.accent_each_s),
            ("time to pour (s)", self.pour_s),
            ("time to pour a litre (s)", self.pour_per_litre_s),
            ("time to coat a square metre by brush (s)", self.coat_per_m2_s),
            ("time to mist (s)", self.mist_s),
            ("wait between mistings (s)", self.mist_wait_s),
            ("slack of the second misting (s)", self.mist_slack_s),
            ("time to scrape drips (s)", self.scrape_s),
            ("slack of a scraping (s)", self.scrape_slack_s),
        ];
        let scrapings = self.scrape_after_s.iter().map(|&s| ("time of a scraping (s)", s));
        for (what, value) in each.into_iter().chain(scrapings) {
            amount(what, value, 0.0, 86_400.0)?;
        }
        Ok(())
    }
}

/// When heat and time are worth a word. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatRules {
    /// A mix poured hotter than this is told, °C: it runs away and sets as it is poured.
    pub hot_pour_celsius: f64,
    /// A left-over that gets hotter than this is told, °C: too hot to hold, cups soften.
    pub hot_left_over_celsius: f64,
    /// A mix poured later than this share of its pot life is told.
    pub tight_share: f64,
    /// The film in which a hot left-over is spread, mm.
    pub spread_film_mm: f64,
}

impl Default for HeatRules {
    fn default() -> Self {
        Self {
            hot_pour_celsius: 50.0,
            hot_left_over_celsius: 60.0,
            tight_share: 0.9,
            spread_film_mm: 3.0,
        }
    }
}

impl HeatRules {
    pub(super) fn check(&self) -> Result<(), RunSheetError> {
        amount("hot pour (°C)", self.hot_pour_celsius, 0.0, 300.0)?;
        amount("hot left-over (°C)", self.hot_left_over_celsius, 0.0, 300.0)?;
        amount("tight share of pot life", self.tight_share, 0.0, 1.0)?;
        amount("film to spread a left-over (mm)", self.spread_film_mm, 0.1, 50.0)?;
        Ok(())
    }
}
