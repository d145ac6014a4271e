//! Colourways: the recipes.

use std::collections::BTreeMap;
use std::ops::Deref;

use super::fault::{Faults, Step, at};
use super::unusual::loading_meant;
use crate::colour::{Srgb8, smooth_reflectance_of_srgb};
use crate::quantity::{Fraction, Length, Volume};
use crate::spectrum::{Illuminant, Observer, Spectrum, weights};

/// Most by which a base's stated share may differ from what the pours use of it. Layers are written
/// in whole parts, so a share written to the percent point still fits.
const SHARE_FITS_WITHIN: f64 = 0.01;
/// Most by which the stated shares may differ from 100 % in sum.
const SUM_FITS_WITHIN: f64 = 0.005;

/// A colorant and how much of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// The colorant's name on the shelf.
    pub colorant: String,
    /// Colorant mass / mixed resin mass.
    pub loading: Fraction,
}

/// One tinted resin of the colourway.
#[derive(Debug, Clone, PartialEq)]
pub struct Base {
    /// Its name within the colourway.
    pub name: String,
    /// Its share of the poured volume of all bases, where the recipe states it.
    pub share: Option<Fraction>,
    /// Its colorants with their loadings; none for a clear base.
    pub colorants: Vec<Dose>,
}

/// A colorant that goes into the small batches as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Accent {
    /// Its name within the colourway.
    pub name: String,
    /// The colorant's name on the shelf.
    pub colorant: String,
}

/// One layer in a small batch's container.
#[derive(Debug, Clone, PartialEq)]
pub enum Layer {
    /// A base, in parts by volume of the container's bases.
    Base {
        /// Which.
        base: String,
        /// How many parts.
        parts: f64,
    },
    /// An accent, as a fraction of the container's resin mass.
    Accent {
        /// Which.
        accent: String,
        /// Accent mass / mixed resin mass in the container.
        dose: Fraction,
    },
}

/// A kind of small batch and how often it is repeated.
#[derive(Debug, Clone, PartialEq)]
pub struct Pour {
    /// Its name within the colourway.
    pub name: String,
    /// How many containers of it one set has.
    pub count: u32,
    /// From the bottom of the container to the top.
    pub layers: Vec<Layer>,
}

/// The path along which containers are emptied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ribbon {
    /// To and fro along the length.
    Sweep,
    /// A loose, turning walk.
    Wander,
    /// Diagonal drifts, all of one hand.
    Drift,
}

/// How much alcohol is misted over the wet film.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mist {
    /// None.
    None,
    /// A light mist, twice.
    Light,
    /// A heavy mist: muddies veins.
    Heavy,
}

/// What the preview needs beyond amounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pattern {
    /// Seed of everything that chance decides.
    pub seed: u64,
    /// The path.
    pub ribbon: Ribbon,
    /// The mist.
    pub mist: Mist,
}

impl Default for Pattern {
    fn default() -> Self {
        Self { seed: 1, ribbon: Ribbon::Sweep, mist: Mist::None }
    }
}

/// The coat under the film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Primer {
    /// A colour as seen in daylight (D65, 2°).
    Colour(Srgb8),
}

/// What a colourway is made of, before it has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourwayParts {
    /// Its name.
    pub name: String,
    /// The resin system's name.
    pub system: String,
    /// Film thickness of one coat.
    pub film: Length,
    /// What lies under it.
    pub primer: Primer,
    /// The container size of the approved sample, which every job keeps.
    pub container: Volume,
    /// Bases by name.
    pub bases: BTreeMap<String, Base>,
    /// Their names as the file lists them: the order of tinting where their colours are not known. No part of the
    /// fingerprint.
    pub base_order: Vec<String>,
    /// Accents by name.
    pub accents: BTreeMap<String, Accent>,
    /// Small batches in pour order.
    pub pours: Vec<Pour>,
    /// Pattern settings.
    pub pattern: Pattern,
    /// Anything the maker wants to keep with it.
    pub note: Option<String>,
}

/// A recipe that fits together.
#[derive(Debug, Clone, PartialEq)]
pub struct Colourway {
    parts: ColourwayParts,
    shares: BTreeMap<String, f64>,
    primer_reflectance: Spectrum,
}

impl Deref for Colourway {
    type Target = ColourwayParts;
    fn deref(&self) -> &ColourwayParts {
        &self.parts
    }
}

impl Colourway {
    /// A colourway from its parts.
    ///
    /// # Errors
    /// Everything that does not fit: amounts not above zero, a layer of an unknown base or accent,
    /// an accent in no pour, shares that do not sum to 100 % or do not fit the pours.
    pub fn new(parts: ColourwayParts) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        if parts.name.trim().is_empty() {
            faults.error(at!["name"], "a colourway needs a name");
        }
        faults.positive(at!["film"], "the film", parts.film.mm());
        faults.positive(at!["container"], "the container", parts.container.ml());
        if parts.bases.is_empty() {
            faults.error(at!["bases"], "a colourway needs at least one base");
        }
        for base in parts.bases.values() {
            for dose in &base.colorants {
                let at = at!["bases", &base.name, "colorants", &dose.colorant];
                share_with_meant(&mut faults, at, "a loading", dose.loading);
            }
            if let Some(share) = base.share {
                faults.share(at!["bases", &base.name, "share"], "a share", share.value(), 1.0);
            }
        }
        check_pours(&parts, &mut faults);
        let Primer::Colour(primer) = parts.primer;
        let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        let primer_reflectance =
            smooth_reflectance_of_srgb(primer, &daylight).unwrap_or_else(|_| {
                faults
                    .error(at!["primer"], format!("no paint has the colour {primer}"))
                    .hint("take the primer's colour from its card or a photograph");
                Spectrum::flat(0.0)
            });
        let shares =
            if faults.0.is_empty() { shares(&parts, &mut faults) } else { BTreeMap::new() };
        faults.into_result(|| Self { parts, shares, primer_reflectance })
    }

    /// Each base's share of the poured volume of all bases; they sum to 1. From the pours where
    /// there are any, else as stated.
    #[must_use]
    pub fn shares(&self) -> &BTreeMap<String, f64> {
        &self.shares
    }

    /// Reflectance of the bare primer: the smoothest that has its colour in daylight (estimated).
    #[must_use]
    pub const fn primer_reflectance(&self) -> &Spectrum {
        &self.primer_reflectance
    }

    /// How many containers one set of pours has.
    #[must_use]
    pub fn containers_in_a_set(&self) -> u32 {
        self.pours.iter().map(|pour| pour.count).sum()
    }
}

/// An error unless a loading or dose lies in 0 < share ≤ 1, with the one that was likely meant.
fn share_with_meant(faults: &mut Faults, path: Vec<Step>, what: &str, share: Fraction) {
    let fault = faults.share(path, what, share.value(), 1.0);
    if let Some((fault, meant)) = fault.zip(loading_meant(share)) {
        fault.hint(meant);
    }
}

fn check_pours(parts: &ColourwayParts, faults: &mut Faults) {
    let mut used = BTreeMap::<&str, bool>::new();
    for (at, pour) in parts.pours.iter().enumerate() {
        if pour.count == 0 {
            faults.error(at!["pours", at, "count"], "a pour is repeated at least once");
        }
        if pour.count > 10_000 {
            faults
                .error(at!["pours", at, "count"], "a set has at most 10,000 containers of a kind");
        }
        if !pour.layers.iter().any(|layer| matches!(layer, Layer::Base { .. })) {
            faults
                .error(at!["pours", at, "layers"], "a small batch needs at least one base layer")
                .hint("write Base(\"name\", parts)");
        }
        for (layer_at, layer) in pour.layers.iter().enumerate() {
            let here = |last: usize| at!["pours", at, "layers", layer_at, last];
            match layer {
                Layer::Base { base, parts: amount } => {
                    if !parts.bases.contains_key(base) {
                        faults
                            .error(here(0), format!("no base is called \"{base}\""))
                            .offer(base, parts.bases.keys());
                    }
                    faults.positive(here(1), "the parts of a layer", *amount);
                }
                Layer::Accent { accent, dose } => {
                    if !parts.accents.contains_key(accent) {
                        faults
                            .error(here(0), format!("no accent is called \"{accent}\""))
                            .offer(accent, parts.accents.keys());
                    }
                    share_with_meant(faults, here(1), "a dose", *dose);
                    used.insert(accent, true);
                }
            }
        }
    }
    for name in parts.accents.keys() {
        if !used.contains_key(name.as_str()) {
            faults.error(at!["accents", name], format!("no pour has the accent \"{name}\"")).hint(
                format!("add Accent(\"{name}\", \"0.5 %\") to a pour's layers, or take it out"),
            );
        }
    }
}

fn shares(parts: &ColourwayParts, faults: &mut Faults) -> BTreeMap<String, f64> {
    let stated = stated_shares(parts, faults);
    if parts.pours.is_empty() {
        return stated.unwrap_or_else(|| {
            let any_stated = parts.bases.values().any(|base| base.share.is_some());
            if any_stated {
                // What is wrong with them is told.
                return BTreeMap::new();
            }
            if parts.bases.len() == 1 {
                return parts.bases.keys().map(|name| (name.clone(), 1.0)).collect();
            }
            faults
                .error(at!["bases"], "without pours every base needs its share")
                .hint("write share: \"50 %\" in each base, or add pours");
            BTreeMap::new()
        });
    }
    let poured = poured_shares(parts);
    for name in parts.bases.keys() {
        let used = poured.get(name).copied().unwrap_or(0.0);
        if used == 0.0 {
            faults
                .error(at!["bases", name], format!("no pour has a layer of the base \"{name}\""))
                .hint(format!("add Base(\"{name}\", 50) to a pour's layers, or take it out"));
        } else if let Some(share) = stated.as_ref().and_then(|all| all.get(name))
            && (share - used).abs() > SHARE_FITS_WITHIN
        {
            faults
                .error(
                    at!["bases", name, "share"],
                    format!(
                        "the share {} % of \"{name}\" does not fit the pours, which use {:.2} %",
                        trim(share * 100.0),
                        used * 100.0
                    ),
                )
                .hint(format!(
                    "write share: \"{:.1} %\", change the layers, or leave shares out",
                    used * 100.0
                ));
        }
    }
    poured
}

/// A figure without needless digits.
fn trim(figure: f64) -> f64 {
    (figure * 1e4).round() / 1e4
}

fn stated_shares(parts: &ColourwayParts, faults: &mut Faults) -> Option<BTreeMap<String, f64>> {
    let stated: BTreeMap<String, f64> = parts
        .bases
        .values()
        .filter_map(|base| Some((base.name.clone(), base.share?.value())))
        .collect();
    if stated.is_empty() {
        return None;
    }
    if let Some(without) = parts.bases.keys().find(|name| !stated.contains_key(*name)) {
        faults
            .error(at!["bases", without], format!("\"{without}\" has no share while others do"))
            .hint(if parts.pours.is_empty() {
                "give every base its share"
            } else {
                "give every base its share, or none"
            });
        return None;
    }
    let sum: f64 = stated.values().sum();
    if (sum - 1.0).abs() > SUM_FITS_WITHIN {
        faults
            .error(at!["bases"], format!("the shares sum to {:.2} %, not 100 %", sum * 100.0))
            .hint(if parts.pours.is_empty() {
                "make them sum to 100 %"
            } else {
                "make them sum to 100 %, or leave them out: the pours tell them"
            });
        return None;
    }
    Some(stated.into_iter().map(|(name, share)| (name, share / sum)).collect())
}

/// Shares of the bases over one set of equally filled containers.
fn poured_shares(parts: &ColourwayParts) -> BTreeMap<String, f64> {
    let mut poured = BTreeMap::new();
    let containers: f64 = parts.pours.iter().map(|pour| f64::from(pour.count)).sum();
    for pour in &parts.pours {
        for (base, fraction) in pour.base_fractions() {
            *poured.entry(base.to_owned()).or_insert(0.0) +=
                f64::from(pour.count) / containers * fraction;
        }
    }
    poured
}

impl Pour {
    /// Each base layer from the bottom with its fraction of the container's bases by volume.
    pub fn base_fractions(&self) -> impl Iterator<Item = (&str, f64)> {
        let total: f64 = self
            .layers
            .iter()
            .map(|layer| match layer {
                Layer::Base { parts, .. } => *parts,
                Layer::Accent { .. } => 0.0,
            })
            .sum();
        self.layers.iter().filter_map(move |layer| match layer {
            Layer::Base { base, parts } => Some((base.as_str(), parts / total)),
            Layer::Accent { .. } => None,
        })
    }
}
