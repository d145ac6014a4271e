//! The small batches: each container's layers with what the scale shows after each.

use std::collections::BTreeMap;

use crate::model::{House, Kind, Layer, Pour, Recipe, Scale, Standing};
use crate::quantity::{Fraction, Mass, Volume};

use super::checks::ingredients;
use super::containers::Containers;
use super::mixing::per_gram_of_resin;
use super::weighing::{Weighed, finest_for, scale_for, step_up, to_step, weighs, within_a_step};

/// How an accent gets into its container.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AccentMeans {
    /// On the scale that carries the container.
    OnTop,
    /// In a cup on a finer scale, a cup for each container.
    InCup,
    /// In one cup for all containers of the pour, then shared out evenly by syringe: only what is liquid.
    Shared,
}

/// One layer in one container.
#[derive(Debug, Clone, PartialEq)]
pub enum LayerPlan {
    /// A base.
    Base {
        /// Its name.
        name: String,
        /// How much of it.
        volume: Volume,
        /// On the container's scale.
        weighed: Weighed,
    },
    /// An accent.
    Accent {
        /// Its name.
        name: String,
        /// Its colorant.
        colorant: String,
        /// The lot that it is weighed for, where its file states one.
        lot: Option<String>,
        /// Its loading on the container's mixed resin, by this lot's strength.
        loading: Fraction,
        /// How it is weighed.
        means: AccentMeans,
        /// On its scale; of a shared cup, all doses together, which no step of the scale binds.
        weighed: Weighed,
        /// What each own cup, or each container's part of a shared one, holds beyond its weight and is left in it, since
        /// nothing rinses it; nothing of what goes in on top.
        spare: Mass,
        /// Containers that share the weighed amount.
        containers: u32,
        /// What goes into one container, by the colorant's density: what a syringe shows. None for a dry powder,
        /// which no syringe draws and whose density is that of its particles.
        volume: Option<Volume>,
        /// How far that density can be trusted.
        density_standing: Standing,
    },
}

/// What an accent's cup, its own or a shared one, holds beyond its weight: a twentieth of it …
const SPARE: f64 = 0.05;

/// … and at least so much, for what clings in the cup and in a syringe (estimated; common practice, no source).
const LEAST_SPARE: Mass = Mass::from_g(0.2);

/// That in words: `5 %, at least 0.2 g`.
#[must_use]
pub fn spare_in_a_cup_words() -> String {
    format!("{:.0} %, at least {} g", SPARE * 100.0, LEAST_SPARE.g())
}

/// What an accent's cup holds beyond this weight.
fn spare_in_a_cup(weight: Mass) -> Mass {
    (weight * SPARE).greater(LEAST_SPARE)
}

impl LayerPlan {
    /// What its cup holds beyond what goes into the containers, for each container.
    #[must_use]
    pub fn spare(&self) -> Mass {
        match self {
            Self::Base { .. } => Mass::ZERO,
            Self::Accent { spare, .. } => *spare,
        }
    }

    /// What is weighed into its cup, an own or a shared one, with what is left in it; nothing where it has none.
    #[must_use]
    pub fn cup(&self) -> Mass {
        match self {
            Self::Accent {
                means: AccentMeans::InCup | AccentMeans::Shared,
                weighed,
                spare,
                containers,
                ..
            } => weighed.mass + *spare * f64::from(*containers),
            Self::Accent { .. } | Self::Base { .. } => Mass::ZERO,
        }
    }

    /// What goes into one container.
    #[must_use]
    pub fn mass(&self) -> Mass {
        match self {
            Self::Base { weighed, .. } => weighed.mass,
            Self::Accent { weighed, containers, .. } => {
                weighed.mass * (1.0 / f64::from(*containers))
            }
        }
    }

    /// The layer's name.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Base { name, .. } | Self::Accent { name, .. } => name,
        }
    }

    /// Its weight on the scale.
    #[must_use]
    pub fn weighed(&self) -> &Weighed {
        match self {
            Self::Base { weighed, .. } | Self::Accent { weighed, .. } => weighed,
        }
    }
}

/// One kind of container.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallBatch {
    /// The pour's name.
    pub name: String,
    /// How many, in one coat.
    pub count: u32,
    /// Mixed resin A+B in each: what the loadings of its accents are of.
    pub resin: Mass,
    /// From the bottom to the top.
    pub layers: Vec<LayerPlan>,
}

impl SmallBatch {
    /// What is left in its own cups of accents, of all its containers.
    #[must_use]
    pub fn spare(&self) -> Mass {
        self.layers.iter().map(|layer| layer.spare() * f64::from(self.count)).sum()
    }

    /// What one container holds.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.layers.iter().map(LayerPlan::mass).sum()
    }
}

/// The small batches of one coat; `None` where no scale of the house bears a container.
pub(super) fn small_batches(
    recipe: &Recipe<'_>,
    house: &House,
    containers: &Containers,
) -> Option<Vec<SmallBatch>> {
    recipe
        .colourway
        .pours
        .iter()
        .zip(&containers.counts)
        .filter(|(_, count)| **count > 0)
        .map(|(pour, count)| small_batch(recipe, house, pour, *count, containers.fill))
        .collect()
}

/// Exact masses of a container's layers: bases by volume, accents by the container's resin mass.
struct Exact {
    /// Base layers from the bottom: volume and mass.
    bases: Vec<(Volume, Mass)>,
    resin: Mass,
}

fn exact(recipe: &Recipe<'_>, pour: &Pour, fill: Volume) -> Exact {
    let mut per_ml = BTreeMap::new();
    for (base, _) in pour.base_fractions() {
        per_ml.entry(base).or_insert_with(|| {
            let (ml, g) = per_gram_of_resin(recipe.system, &ingredients(recipe, base));
            (1.0 / ml, g / ml)
        });
    }
    let resin_per_ml: f64 =
        pour.base_fractions().map(|(base, fraction)| fraction * per_ml[base].0).sum();
    // mL of accents per mL of bases.
    let accents: f64 = pour
        .layers
        .iter()
        .map(|layer| match layer {
            Layer::Base { .. } => 0.0,
            Layer::Accent { accent, dose } => {
                let colorant = recipe.colorants[recipe.colourway.accents[accent].colorant.as_str()];
                dose.value() / colorant.lot_strength() * resin_per_ml / colorant.density.g_per_ml()
            }
        })
        .sum();
    let bases_ml = fill.ml() / (1.0 + accents);
    let bases = pour
        .base_fractions()
        .map(|(base, fraction)| {
            let volume = Volume::from_ml(bases_ml * fraction);
            (volume, Mass::from_g(volume.ml() * per_ml[base].1))
        })
        .collect();
    Exact { bases, resin: Mass::from_g(bases_ml * resin_per_ml) }
}

fn small_batch(
    recipe: &Recipe<'_>,
    house: &House,
    pour: &Pour,
    count: u32,
    fill: Volume,
) -> Option<SmallBatch> {
    let exact = exact(recipe, pour, fill);
    let least =
        exact.bases.iter().map(|(_, mass)| *mass).fold(Mass::from_g(f64::MAX), Mass::lesser);
    // Twice the resin leaves room for colorants and the container itself.
    let load = exact.resin * 2.0;
    let scale = scale_for(house, least, load).or_else(|| finest_for(house, load))?;
    let mut bases = exact.bases.iter();
    let (mut poured, mut reading) = (Mass::from_g(0.0), Mass::from_g(0.0));
    let mut from_cups = Mass::from_g(0.0);
    let mut layers = Vec::with_capacity(pour.layers.len());
    for layer in &pour.layers {
        match layer {
            Layer::Base { base, .. } => {
                let (volume, mass) = *bases.next()?;
                poured += mass;
                // Readings are rounded, not layers: so errors do not pile up.
                let wanted = to_step(poured, scale.readability) - reading;
                let stepped = within_a_step(wanted, mass, scale.readability);
                let mut weighed = Weighed::on(house, scale, mass, stepped);
                reading += stepped;
                weighed.reading = reading + to_step(from_cups, scale.readability);
                layers.push(LayerPlan::Base { name: base.clone(), volume, weighed });
            }
            Layer::Accent { accent, dose } => {
                let colorant = &recipe.colourway.accents[accent].colorant;
                let of = recipe.colorants[colorant.as_str()];
                let loading = dose.value() / of.lot_strength();
                let mass = exact.resin * loading;
                let by_syringe = of.kind != Kind::Powder;
                let (means, mut weighed, containers) =
                    accent_means(house, mass, count, scale, by_syringe)?;
                if means == AccentMeans::OnTop {
                    poured += mass;
                    reading += weighed.mass;
                    weighed.reading = reading + to_step(from_cups, scale.readability);
                } else {
                    // The container is not tared between its layers: what comes from a cup shows with
                    // the next one.
                    from_cups += weighed.mass * (1.0 / f64::from(containers));
                }
                let each = weighed.mass * (1.0 / f64::from(containers));
                let spare = match means {
                    AccentMeans::OnTop => Mass::ZERO,
                    AccentMeans::InCup => spare_in_a_cup(weighed.mass),
                    // In whole steps of its scale, so that it really holds more than all doses.
                    AccentMeans::Shared => {
                        let doses = weighed.mass;
                        let cup = step_up(doses + spare_in_a_cup(doses), weighed.readability);
                        (cup - doses) * (1.0 / f64::from(containers))
                    }
                };
                layers.push(LayerPlan::Accent {
                    name: accent.clone(),
                    colorant: colorant.clone(),
                    lot: of.lot.as_ref().map(|lot| lot.name.clone()),
                    loading: Fraction::new(loading),
                    means,
                    weighed,
                    spare,
                    containers,
                    volume: by_syringe.then(|| Volume::from_ml(each.g() / of.density.g_per_ml())),
                    density_standing: of.standing,
                });
            }
        }
    }
    Some(SmallBatch { name: pour.name.clone(), count, resin: exact.resin, layers })
}

/// An accent's dose on the container's scale if that weighs it within tolerance, else in a cup on a
/// finer one, else in one cup shared out `by_syringe` where it can be and there are several containers; else in a cup
/// on the finest scale for what that is worth.
fn accent_means(
    house: &House,
    dose: Mass,
    count: u32,
    container_scale: &Scale,
    by_syringe: bool,
) -> Option<(AccentMeans, Weighed, u32)> {
    if weighs(house, container_scale, dose) {
        return Some((AccentMeans::OnTop, Weighed::dose(house, container_scale, dose), 1));
    }
    if let Some(scale) = scale_for(house, dose, dose) {
        return Some((AccentMeans::InCup, Weighed::dose(house, scale, dose), 1));
    }
    if count == 1 || !by_syringe {
        let scale = finest_for(house, dose)?;
        return Some((AccentMeans::InCup, Weighed::dose(house, scale, dose), 1));
    }
    let cup = dose * f64::from(count);
    let load = cup + spare_in_a_cup(cup);
    let scale = scale_for(house, cup, load).or_else(|| finest_for(house, load))?;
    // A syringe draws each dose, so no dose is bound to the scale's step.
    Some((AccentMeans::Shared, Weighed::on(house, scale, cup, cup), count))
}
