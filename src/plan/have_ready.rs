//! What the plan's steps use up or protect with, which no file prices: to be had before the pour.
//!
//! In scope: what this plan's own steps and cautions ask for. Out of scope: how much of it, but for the primer.

use super::coat_uprights::UprightCoats;

/// Something to have ready.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ready {
    /// The coat under the film, in the recipe's colour.
    Primer,
    /// What touches uncured resin is gloved.
    Gloves,
    /// What splashes meets glass.
    Goggles,
    /// For the dust of sanding and of dry pigments.
    DustMask,
    /// For air that holds more of the mist than is recommended, or nobody knows how much.
    Cartridges,
    /// What mists.
    Sprayer,
    /// What faces and splashbacks are coated with.
    Brush,
    /// On which left-overs are spread.
    Foil,
}

impl Ready {
    /// What it is.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Primer => "primer",
            Self::Gloves => "nitrile gloves",
            Self::Goggles => "goggles",
            Self::DustMask => "a fitted particulate respirator for dust",
            Self::Cartridges => "a respirator with organic-vapour cartridges",
            Self::Sprayer => "a mist sprayer",
            Self::Brush => "a brush",
            Self::Foil => "foil for left-overs",
        }
    }
}

/// What to have ready; `misted`: whether something is, and whether the air then wants cartridges.
pub(super) fn have_ready(misted: Option<bool>, uprights: Option<&UprightCoats>) -> Vec<Ready> {
    let mut all = vec![Ready::Primer, Ready::Gloves, Ready::Goggles, Ready::DustMask];
    if misted == Some(true) {
        all.push(Ready::Cartridges);
    }
    if misted.is_some() {
        all.push(Ready::Sprayer);
    }
    if uprights.is_some() {
        all.push(Ready::Brush);
    }
    all.push(Ready::Foil);
    all
}
