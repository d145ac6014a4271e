//! Every ceiling checked in every base and every small batch of a colourway.

use std::collections::BTreeMap;

use crate::diagnostic::Severity;
use crate::model::{Faults, House, Layer, Override, Pour, Recipe, Step, System, at};
use crate::quantity::Fraction;

use super::base::BasePlan;
use super::loading::{Dosed, Limits, Route, Standing};
use super::mixing::{Ingredient, per_gram_of_resin};
use super::refusals::refusals;
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
pub(super) struct Mixed<'a> {
    pub(super) place: Place,
    /// Its colorants per gram of its resin.
    pub(super) dosed: Vec<Dosed<'a>>,
    /// Where each stands in the colourway.
    pub(super) paths: Vec<Vec<Step>>,
    /// How many of them, the first, have the very loading that stands there: all in a base, the accents
    /// in a small batch.
    pub(super) typed: usize,
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
    let of_bases: Vec<Mixed<'_>> =
        recipe.colourway.bases.keys().map(|name| base_mix(recipe, name)).collect();
    let of_batches: Vec<Mixed<'_>> = recipe
        .colourway
        .pours
        .iter()
        .enumerate()
        // Bases have been checked by themselves, and a mean of safe mixes is safe.
        .filter(|(_, pour)| pour.layers.iter().any(|layer| matches!(layer, Layer::Accent { .. })))
        .map(|(number, pour)| small_batch_mix(recipe, pour, number, &|base| dosed(recipe, base)))
        .collect();
    let checks = of_bases.iter().chain(&of_batches).flat_map(|mix| checks_of(&limits, house, mix));
    let faults = refusals(recipe, &limits, &of_bases, &of_batches);
    (checks.collect(), faults)
}

/// A base by itself, per gram of its resin.
fn base_mix<'a>(recipe: &Recipe<'a>, name: &str) -> Mixed<'a> {
    let dosed = dosed(recipe, name);
    let paths = dosed.iter().map(|d| at!["bases", name, "colorants", &d.colorant.name]).collect();
    let typed = dosed.len();
    Mixed { place: Place::Base(name.to_owned()), dosed, paths, typed }
}

/// Everything in one container per gram of its resin: bases, tinted as `of_base` says, by their share
/// of resin mass, accents by their dose.
pub(super) fn small_batch_mix<'a>(
    recipe: &Recipe<'a>,
    pour: &Pour,
    number: usize,
    of_base: &dyn Fn(&str) -> Vec<Dosed<'a>>,
) -> Mixed<'a> {
    let resin: Vec<(&str, Vec<Dosed<'a>>, f64)> = pour
        .base_fractions()
        .map(|(base, fraction)| {
            let tinted = of_base(base);
            let grams = fraction / ml_per_g_of_resin(recipe.system, &tinted);
            (base, tinted, grams)
        })
        .collect();
    let all_resin: f64 = resin.iter().map(|(_, _, g)| g).sum();
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
    for (base, tinted, g) in resin {
        for each in tinted {
            mix.push(Dosed { loading: each.loading * g / all_resin, ..each });
            paths.push(at!["bases", base, "colorants", &each.colorant.name]);
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
            let [value, ceiling] = apart(&standing);
            let message = format!(
                "{}: {} stands at {value} as the scales can weigh it, its ceiling is {ceiling} ({})",
                place.words(),
                standing.route.words(),
                standing.trust
            );
            faults
                .push(at![], Severity::Refused, message)
                .hint("a finer scale in house.ron, or more to pour at once");
        }
    };
    let mut tinted = BTreeMap::new();
    for base in bases {
        // Of mixes weighed differently, the most of each colorant.
        let mut most: BTreeMap<String, f64> = BTreeMap::new();
        for (name, loading) in base.kinds().iter().flat_map(|(_, mix)| mix.loadings_weighed()) {
            let own = most.entry(name).or_insert(loading);
            *own = own.max(loading);
        }
        let mix: Vec<Dosed<'_>> = most
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
                lot: colorant.lot.as_ref().map(|lot| lot.name.clone()),
                density: colorant.density,
                loading: dose.loading.value() / colorant.lot_strength(),
            }
        })
        .collect()
}

/// The same, looked up.
pub(super) fn dosed<'a>(recipe: &Recipe<'a>, base: &str) -> Vec<Dosed<'a>> {
    ingredients(recipe, base)
        .into_iter()
        .map(|each| Dosed {
            colorant: recipe.colorants[each.colorant.as_str()],
            loading: each.loading,
        })
        .collect()
}

/// Millilitres of a tinted mix that hold a gram of resin.
pub(super) fn ml_per_g_of_resin(system: &System, mix: &[Dosed<'_>]) -> f64 {
    let tinted: Vec<Ingredient> = mix
        .iter()
        .map(|each| Ingredient {
            colorant: each.colorant.name.clone(),
            lot: None,
            density: each.colorant.density,
            loading: each.loading,
        })
        .collect();
    per_gram_of_resin(system, &tinted).0
}

/// One mix against every ceiling.
fn checks_of(limits: &Limits<'_>, house: &House, mix: &Mixed<'_>) -> Vec<Check> {
    let check = |standing: Standing| {
        let caution_from = match standing.route {
            Route::OffRatio => house.off_ratio_caution.value(),
            _ => standing.ceiling * (1.0 - house.near_ceiling.value()),
        };
        let exceeded = standing.exceeded();
        let near = !exceeded && standing.value > caution_from;
        let largest_safe = if exceeded || near { mix.safe(limits, &standing.route) } else { None };
        Check { place: mix.place.clone(), standing, near, largest_safe }
    };
    limits.standings(&mix.dosed).into_iter().map(check).collect()
}

impl Mixed<'_> {
    /// The colorant that counts most on a route, of those that a person is told to lower: the ones
    /// whose loading here is the loading that stands in the file.
    pub(super) fn culprit(&self, route: &Route) -> Option<usize> {
        culprit(&self.dosed[..self.typed], route)
    }

    /// The largest safe loading of that colorant, as the file states it (a stronger lot is weighed
    /// less than that), the others as they are.
    fn safe(&self, limits: &Limits<'_>, route: &Route) -> Option<(String, f64)> {
        let which = self.culprit(route)?;
        let colorant = self.dosed[which].colorant;
        let safe = limits.largest_safe(&self.dosed, which)? * colorant.lot_strength();
        Some((colorant.name.clone(), safe))
    }

    /// The ceilings that it exceeds.
    pub(super) fn exceeded(&self, limits: &Limits<'_>) -> Vec<Standing> {
        limits.standings(&self.dosed).into_iter().filter(Standing::exceeded).collect()
    }

    pub(super) fn keeps(&self, limits: &Limits<'_>) -> bool {
        !limits.standings(&self.dosed).iter().any(Standing::exceeded)
    }

    /// The same with another loading of one colorant, as weighed.
    pub(super) fn with(&self, which: usize, loading: f64) -> Self {
        let mut dosed = self.dosed.clone();
        if let Some(changed) = dosed.get_mut(which) {
            changed.loading = loading;
        }
        Self { dosed, place: self.place.clone(), paths: self.paths.clone(), typed: self.typed }
    }
}

/// The small batches that hold a base, with another loading of its `which`-th colorant (as weighed).
pub(super) fn with_loading<'a>(
    recipe: &Recipe<'a>,
    of_batches: &[Mixed<'_>],
    base: &str,
    which: usize,
    loading: f64,
) -> Vec<Mixed<'a>> {
    let tinted = |name: &str| {
        let mut all = dosed(recipe, name);
        if let Some(changed) = all.get_mut(which).filter(|_| name == base) {
            changed.loading = loading;
        }
        all
    };
    let checked = |pour: &Pour| {
        of_batches.iter().any(|batch| batch.place == Place::SmallBatch(pour.name.clone()))
    };
    let pours = recipe.colourway.pours.iter().enumerate();
    pours
        .filter(|(_, pour)| checked(pour) && pour.base_fractions().any(|(name, _)| name == base))
        .map(|(number, pour)| small_batch_mix(recipe, pour, number, &tinted))
        .collect()
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

/// The value and the ceiling that it exceeds, so finely that they never read alike.
pub(super) fn apart(standing: &Standing) -> [String; 2] {
    Fraction::new(standing.value).show_apart(Fraction::new(standing.ceiling))
}
