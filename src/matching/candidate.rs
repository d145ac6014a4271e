//! One recipe that a match found, with everything that it is ranked by.

use std::collections::BTreeMap;

use super::ask::Looking;
use super::weigh::WeighedBatch;
use crate::colour::{Lab, delta_e_2000};
use crate::model::{Colorant, Package, System};
use crate::optics::HIDING_RATIO;
use crate::plan::{Dosed, Limits, Standing};
use crate::predict::{Look, Unseen, Viewing, look_of};
use crate::quantity::{Currency, Density, Money};

/// A colorant of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct CandidateDose {
    /// Its name.
    pub colorant: String,
    /// Loading of the standing lot, as a recipe states it.
    pub loading: f64,
    /// Loading of the lot in use, as it is weighed.
    pub weighed_loading: f64,
}

/// A recipe for the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its colorants, by name.
    pub doses: Vec<CandidateDose>,
    /// How it looks under each lamp.
    pub looks: Vec<Look>,
    /// ΔE00 against the target under each lamp.
    pub delta_e: Vec<f64>,
    /// Root of the lamps' weighted mean of ΔE00²: what was made least.
    pub error: f64,
    /// What a litre of it costs, resin included; none where something has no price.
    pub cost_per_litre: Option<Money>,
    /// Every ceiling, with what is used of it.
    pub standings: Vec<Standing>,
    /// As weighed for the batch; `looks`, `delta_e` and `error` are then those of the weighed batch.
    pub weighed: Option<WeighedBatch>,
    /// The error before weighing.
    pub exact_error: f64,
    /// ΔE00 under the first lamp for a hundredth more of each colorant, in the doses' order.
    pub sensitivity: Vec<f64>,
}

impl Candidate {
    /// ΔE00 under the first lamp.
    #[must_use]
    pub fn first_delta_e(&self) -> f64 {
        self.delta_e.first().copied().unwrap_or(f64::INFINITY)
    }

    /// The largest ΔE00 under any further lamp: how far the colours part when the lamp changes.
    #[must_use]
    pub fn lamp_change(&self) -> f64 {
        self.delta_e.iter().skip(1).copied().fold(0.0, f64::max)
    }

    /// Luminance over black by that over white at this film.
    #[must_use]
    pub fn contrast_ratio(&self) -> f64 {
        self.looks.first().map_or(0.0, |look| look.contrast_ratio)
    }

    /// The ceiling of which most is used; `None` where none applies.
    #[must_use]
    pub fn fullest(&self) -> Option<&Standing> {
        self.standings.iter().max_by(|one, two| one.used().total_cmp(&two.used()))
    }

    /// Whether it comes within this part of a ceiling.
    #[must_use]
    pub fn is_near_a_ceiling(&self, margin: f64) -> bool {
        self.fullest().is_some_and(|standing| standing.used() >= 1.0 - margin)
    }

    /// Whether the film hides what lies below it.
    #[must_use]
    pub fn hides(&self) -> bool {
        self.contrast_ratio() >= HIDING_RATIO
    }
}

/// What is needed to look at any recipe of the shelf.
pub(super) struct Looker<'a> {
    pub(super) limits: &'a Limits<'a>,
    pub(super) colorants: BTreeMap<&'a str, &'a Colorant>,
    pub(super) looking: &'a Looking,
    pub(super) aims: &'a [Lab],
    /// Shares of the lamps.
    pub(super) shares: Vec<f64>,
}

impl Looker<'_> {
    /// The look of loadings (of standing lots) under every lamp.
    pub(super) fn looks(&self, loadings: &[(&str, f64)]) -> Result<Vec<Look>, Unseen> {
        self.looking
            .lamps
            .iter()
            .map(|(lamp, _)| {
                let viewing = Viewing {
                    film: self.looking.film,
                    primer: self.looking.primer,
                    lamp: lamp.clone(),
                    observer: self.looking.observer,
                };
                look_of(self.limits.system, &self.colorants, loadings, &viewing)
            })
            .collect()
    }

    /// The recipe of these loadings (of standing lots), judged.
    pub(super) fn candidate(&self, loadings: &[(&str, f64)]) -> Result<Candidate, Unseen> {
        let looks = self.looks(loadings)?;
        let delta_e: Vec<f64> =
            looks.iter().zip(self.aims).map(|(look, aim)| delta_e_2000(*aim, look.lab)).collect();
        let error = self.error(&delta_e);
        let mut doses: Vec<CandidateDose> = Vec::with_capacity(loadings.len());
        let mut mix: Vec<Dosed<'_>> = Vec::with_capacity(loadings.len());
        for (name, loading) in loadings {
            let Some(colorant) = self.colorants.get(name) else { continue };
            let weighed_loading = loading / colorant.lot_strength();
            mix.push(Dosed { colorant, loading: weighed_loading });
            let colorant = (*name).to_owned();
            doses.push(CandidateDose { colorant, loading: *loading, weighed_loading });
        }
        Ok(Candidate {
            standings: self.limits.standings(&mix),
            cost_per_litre: cost_per_litre(self.limits.system, &mix),
            doses,
            looks,
            delta_e,
            error,
            exact_error: error,
            weighed: None,
            sensitivity: Vec::new(),
        })
    }

    /// Root of the weighted mean square.
    pub(super) fn error(&self, delta_e: &[f64]) -> f64 {
        libm::sqrt(self.shares.iter().zip(delta_e).map(|(share, d)| share * d * d).sum())
    }
}

/// Price of a gram by the cheapest package, in the currency's whole units.
pub(super) fn per_gram(packages: &[Package], density: Density) -> Option<(f64, Currency)> {
    packages
        .iter()
        .map(|p| (p.price.amount() / p.size.mass(density).g(), p.price.currency()))
        .min_by(|one, two| one.0.total_cmp(&two.0))
}

/// What a litre of a mix costs at the cheapest packages' unit prices (bought in quantity; what packages
/// leave over is the plan's affair).
fn cost_per_litre(system: &System, mix: &[Dosed<'_>]) -> Option<Money> {
    let density = system.mixed_density();
    let (resin, currency) = per_gram(&system.packages, density)?;
    let mut volume_ml = 1.0 / density.g_per_ml();
    let mut cost = resin;
    for dosed in mix {
        let colorant = dosed.colorant;
        volume_ml += dosed.loading / colorant.density.g_per_ml();
        let (each, its_currency) = per_gram(&colorant.packages, colorant.density)?;
        if its_currency != currency {
            return None;
        }
        cost += each * dosed.loading;
    }
    Money::new(cost / volume_ml * 1000.0, currency).ok()
}
