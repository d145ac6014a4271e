//! Every ceiling checked in every base and every small batch of a colourway.

use std::collections::BTreeMap;

use crate::diagnostic::Severity;
use crate::model::{Colorant, Faults, House, Layer, Override, Pour, Recipe, Step, at};

use super::base::BasePlan;
use super::loading::{Dosed, Limits, Route, Standing};
use super::mixing::{Ingredient, per_gram_of_resin};
use super::small_batch::{LayerPlan, SmallBatch};

/// Where a mix is.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// A base, by name.
    Base(String),
    /// A small batch, by name: its bases and accents taken together.
    SmallBatch(String),
}

impl Place {
    /// What a person reads.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Base(name) => format!("base \"{name}\""),
            Self::SmallBatch(name) => format!("small batch \"{name}\""),
        }
    }
}

/// One ceiling in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Where.
    pub place: Place,
    /// Where it stands.
    pub standing: Standing,
    /// Whether it is near enough under the ceiling for a caution.
    pub near: bool,
    /// The largest safe loading, as the file states loadings, of the colorant that counts most here
    /// (in a small batch: of its accents), the others as they are; where the ceiling is exceeded or
    /// near.
    pub largest_safe: Option<(String, f64)>,
}

/// A mix to be checked.
struct Mixed<'a> {
    place: Place,
    /// Its colorants per gram of its resin.
    dosed: Vec<Dosed<'a>>,
    /// Where each stands in the colourway.
    paths: Vec<Vec<Step>>,
    /// How many of them, the first, have the very loading that stands there: all in a base, the accents
    /// in a small batch.
    typed: usize,
}

/// Checks every base and small batch of a recipe, with what a job raises. Exceeded ceilings become
/// refusals that point into the colourway.
#[must_use]
pub fn check_ceilings(
    recipe: &Recipe<'_>,
    house: &House,
    raised: &[Override],
) -> (Vec<Check>, Faults) {
    let limits = Limits { system: recipe.system, off_ratio: house.off_ratio_limit.value(), raised };
    let mut checks = Vec::new();
    let mut faults = Faults::default();
    for base in recipe.colourway.bases.values() {
        let (mix, paths): (Vec<_>, Vec<_>) = base
            .colorants
            .iter()
            .map(|dose| {
                let colorant = recipe.colorants[dose.colorant.as_str()];
                let loading = dose.loading.value() / colorant.lot_strength();
                let path = at!["bases", &base.name, "colorants", &dose.colorant];
                (Dosed { colorant, loading }, path)
            })
            .unzip();
        let place = Place::Base(base.name.clone());
        let typed = mix.len();
        let mix = Mixed { place, dosed: mix, paths, typed };
        check_mix(&limits, house, &mix, &mut checks, &mut faults);
    }
    for (number, pour) in recipe.colourway.pours.iter().enumerate() {
        if !pour.layers.iter().any(|layer| matches!(layer, Layer::Accent { .. })) {
            // Its bases have been checked by themselves, and a mean of safe mixes is safe.
            continue;
        }
        let mix = small_batch_mix(recipe, pour, number);
        check_mix(&limits, house, &mix, &mut checks, &mut faults);
    }
    (checks, faults)
}

/// Everything in one container per gram of its resin: bases by their share of resin mass, accents by
/// their dose.
fn small_batch_mix<'a>(recipe: &Recipe<'a>, pour: &Pour, number: usize) -> Mixed<'a> {
    let resin: Vec<(&str, f64)> = pour
        .base_fractions()
        .map(|(base, fraction)| {
            let (ml, _) = per_gram_of_resin(recipe.system, &ingredients(recipe, base));
            (base, fraction / ml)
        })
        .collect();
    let all_resin: f64 = resin.iter().map(|(_, g)| g).sum();
    let mut mix = Vec::new();
    let mut paths = Vec::new();
    for (layer_at, layer) in pour.layers.iter().enumerate() {
        if let Layer::Accent { accent, dose } = layer {
            let colorant = recipe.colorants[recipe.colourway.accents[accent].colorant.as_str()];
            mix.push(Dosed { colorant, loading: dose.value() / colorant.lot_strength() });
            paths.push(at!["pours", number, "layers", layer_at, 1]);
        }
    }
    let typed = mix.len();
    for (base, g) in resin {
        for each in ingredients(recipe, base) {
            let colorant = recipe.colorants[each.colorant.as_str()];
            mix.push(Dosed { colorant, loading: each.loading * g / all_resin });
            paths.push(at!["bases", base, "colorants", &each.colorant]);
        }
    }
    Mixed { place: Place::SmallBatch(pour.name.clone()), dosed: mix, paths, typed }
}

/// Refusals of what passes its ceilings as reckoned but not as weighed: a dose below its scale's
/// minimum is rounded up to a whole step, which may be a large part of it.
pub(super) fn over_as_weighed(
    recipe: &Recipe<'_>,
    house: &House,
    raised: &[Override],
    bases: &[BasePlan],
    batches: &[SmallBatch],
) -> Faults {
    let limits = Limits { system: recipe.system, off_ratio: house.off_ratio_limit.value(), raised };
    let mut faults = Faults::default();
    let mut check = |place: Place, mix: &[Dosed<'_>]| {
        // One word a place is enough: the ceiling that is exceeded most.
        let worst = limits
            .standings(mix)
            .into_iter()
            .max_by(|one, other| one.used().total_cmp(&other.used()));
        if let Some(standing) = worst
            && standing.used() > 1.0 + house.weighing_tolerance.value()
        {
            let message = format!(
                "{}: {} stands at {} as the scales can weigh it, its ceiling is {}",
                place.words(),
                standing.route.words(),
                percent(standing.value, 4),
                percent(standing.ceiling, 4)
            );
            faults
                .push(at![], Severity::Refused, message)
                .hint("a finer scale in house.ron, or more to pour at once");
        }
    };
    let mut tinted = BTreeMap::new();
    for base in bases {
        let mix: Vec<Dosed<'_>> = base
            .mix
            .loadings_weighed()
            .into_iter()
            .map(|(name, loading)| Dosed { colorant: recipe.colorants[name.as_str()], loading })
            .collect();
        check(Place::Base(base.name.clone()), &mix);
        tinted.insert(base.name.as_str(), mix);
    }
    for batch in batches {
        // Grams of each colorant and of resin in one container.
        let (mut grams, mut resin) = (Vec::new(), 0.0);
        for layer in &batch.layers {
            let mass = layer.mass().g();
            match layer {
                LayerPlan::Base { name, .. } => {
                    let mix = tinted.get(name.as_str()).map_or(&[][..], Vec::as_slice);
                    let own = mass / (1.0 + mix.iter().map(|d| d.loading).sum::<f64>());
                    resin += own;
                    grams.extend(mix.iter().map(|d| (d.colorant, d.loading * own)));
                }
                LayerPlan::Accent { colorant, .. } => {
                    grams.push((recipe.colorants[colorant.as_str()], mass));
                }
            }
        }
        let mix: Vec<Dosed<'_>> =
            grams.into_iter().map(|(colorant, g)| Dosed { colorant, loading: g / resin }).collect();
        check(Place::SmallBatch(batch.name.clone()), &mix);
    }
    faults
}

/// A base's colorants as they are weighed: the loading divided by the lot's strength.
pub(super) fn ingredients(recipe: &Recipe<'_>, base: &str) -> Vec<Ingredient> {
    recipe.colourway.bases[base]
        .colorants
        .iter()
        .map(|dose| {
            let colorant = recipe.colorants[dose.colorant.as_str()];
            Ingredient {
                colorant: dose.colorant.clone(),
                density: colorant.density,
                loading: dose.loading.value() / colorant.lot_strength(),
            }
        })
        .collect()
}

/// One mix against every ceiling. What a person is told to lower is one of its first `typed`
/// colorants: those whose loading here is the loading that stands in the file.
fn check_mix(
    limits: &Limits<'_>,
    house: &House,
    mix: &Mixed<'_>,
    checks: &mut Vec<Check>,
    faults: &mut Faults,
) {
    let Mixed { place, dosed, paths, typed } = mix;
    for standing in limits.standings(dosed) {
        let caution_from = match standing.route {
            Route::OffRatio => house.off_ratio_caution.value(),
            _ => standing.ceiling * (1.0 - house.near_ceiling.value()),
        };
        let exceeded = standing.exceeded();
        let near = !exceeded && standing.value > caution_from;
        let culprit = culprit(&dosed[..*typed], &standing.route);
        // As the file states it: a stronger lot is weighed less than that.
        let safe = culprit.and_then(|which| {
            let strength = dosed[which].colorant.lot_strength();
            Some(limits.largest_safe(dosed, which)? * strength)
        });
        if exceeded {
            let path = culprit.map_or_else(Vec::new, |which| paths[which].clone());
            let fault = faults.push(path, Severity::Refused, exceeds(place, &standing));
            fault.hint(match (culprit, safe) {
                (Some(which), Some(safe)) => largest_in_words(dosed[which].colorant, safe),
                (Some(_), None) => format!(
                    "the others alone exceed it: bring all loadings here to {} of what they are, or less",
                    safe_percent(limits.largest_scale(dosed))
                ),
                (None, _) => "lower the loadings of its bases".to_owned(),
            });
        }
        let largest_safe = culprit
            .filter(|_| exceeded || near)
            .and_then(|which| Some((dosed[which].colorant.name.clone(), safe?)));
        checks.push(Check { place: place.clone(), standing, near, largest_safe });
    }
}

fn largest_in_words(colorant: &Colorant, safe: f64) -> String {
    let name = &colorant.name;
    let shown = safe_percent(safe);
    if shown == "0 %" {
        return format!("leave \"{name}\" out here: the others use the ceiling up");
    }
    let lot = match &colorant.lot {
        Some(lot) if colorant.lot_strength() != 1.0 => {
            format!(" (its lot tints at {})", lot.strength)
        }
        _ => String::new(),
    };
    format!("the largest safe loading of \"{name}\" here is {shown}, the others as they are{lot}")
}

/// The colorant that counts most on a route.
fn culprit(mix: &[Dosed<'_>], route: &Route) -> Option<usize> {
    let weight = |dosed: &Dosed<'_>| match route {
        Route::Colorant(name) => f64::from(u8::from(dosed.colorant.name == *name)) * dosed.loading,
        Route::Mixture => dosed.loading / dosed.colorant.ceiling.value(),
        Route::AllColorants => dosed.loading,
        Route::Solvent => dosed.loading * dosed.colorant.non_reactive_fraction(),
        Route::OffRatio => dosed.loading * dosed.colorant.epoxide_eq_per_g(),
    };
    (0..mix.len())
        .filter(|which| weight(&mix[*which]) > 0.0)
        .max_by(|one, other| weight(&mix[*one]).total_cmp(&weight(&mix[*other])))
}

fn exceeds(place: &Place, standing: &Standing) -> String {
    let (value, ceiling) = apart(standing.value, standing.ceiling);
    match &standing.route {
        Route::Colorant(name) => {
            format!(
                "\"{name}\" at {value} in {} exceeds its ceiling of {ceiling} of mixed resin mass",
                place.words()
            )
        }
        Route::Mixture => format!(
            "the colorants of {} use {value} of their ceilings together, and may use {ceiling} (mixture rule)",
            place.words()
        ),
        Route::AllColorants => format!(
            "all colorants of {} are {value} of mixed resin mass, above the system's ceiling of {ceiling}",
            place.words()
        ),
        Route::Solvent => format!(
            "solvent and non-reactive carrier in {} are {value} of mixed resin mass, above the system's ceiling of {ceiling}",
            place.words()
        ),
        Route::OffRatio => format!(
            "epoxy carriers bring {} {value} off ratio, beyond the limit of {ceiling}",
            place.words()
        ),
    }
}

/// A fraction as a person reads it.
fn percent(fraction: f64, decimals: usize) -> String {
    let shown = format!("{:.decimals$}", fraction * 100.0);
    format!("{} %", shown.trim_end_matches('0').trim_end_matches('.'))
}

/// A value and the ceiling that it exceeds, so finely that they never read alike.
fn apart(value: f64, ceiling: f64) -> (String, String) {
    let decimals = (4..12)
        .find(|decimals| percent(value, *decimals) != percent(ceiling, *decimals))
        .unwrap_or(12);
    (percent(value, decimals), percent(ceiling, decimals))
}

/// A safe loading to four figures (and three decimals at least), cut, never rounded up: so it can be
/// typed back.
fn safe_percent(fraction: f64) -> String {
    let percent = fraction * 100.0;
    let mut steps = 1000.0;
    while percent > 0.0 && percent * steps < 1000.0 && steps < 1e12 {
        steps *= 10.0;
    }
    format!("{} %", (percent * steps * (1.0 + 1e-12)).floor() / steps)
}
