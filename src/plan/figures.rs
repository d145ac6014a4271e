//! What the figures of a plan rest on: the standing of what its resin system and colorants state.

use std::collections::BTreeSet;

use crate::model::{Recipe, Standing};

/// A group of figures that a file states together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Figures {
    /// Mix ratio and densities of a system: what parts A and B are weighed by.
    Mix,
    /// Density and solids of a colorant.
    Density,
    /// Pot life of a system: what the clock runs by.
    PotLife,
    /// Package sizes and prices.
    Prices,
    /// Ceilings.
    Ceilings,
    /// Optical data: what colours are reckoned from.
    Optics,
}

impl Figures {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 6] =
        [Self::Mix, Self::Density, Self::PotLife, Self::Prices, Self::Ceilings, Self::Optics];

    /// What a person reads.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mix => "mix ratio and densities",
            Self::Density => "density and solids",
            Self::PotLife => "pot life",
            Self::Prices => "prices",
            Self::Ceilings => "ceilings",
            Self::Optics => "colour data",
        }
    }
}

/// Where one group of figures of one file comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rests {
    /// The system's or colorant's name.
    pub of: String,
    /// Whether it is the resin system.
    pub system: bool,
    /// Which figures.
    pub figures: Figures,
    /// Where they come from.
    pub standing: Standing,
}

/// Every figure of a recipe's files that the plan uses, the resin system first; what a file does not
/// state is not there, nor what of the recipe is in nothing that is poured, nor colour data where no `colour` follows
/// from them.
pub(super) fn figures(recipe: &Recipe<'_>, left_out: &BTreeSet<&str>, colour: bool) -> Vec<Rests> {
    let resin = recipe.system;
    let mut all = Vec::new();
    let mut say = |of: &str, system, figures, standing, stated: bool| {
        if stated {
            all.push(Rests { of: of.to_owned(), system, figures, standing });
        }
    };
    let own = resin.standing;
    say(&resin.name, true, Figures::Mix, own, true);
    say(&resin.name, true, Figures::PotLife, own, true);
    say(&resin.name, true, Figures::Prices, own, !resin.packages.is_empty());
    say(&resin.name, true, Figures::Ceilings, resin.ceilings.standing, true);
    say(&resin.name, true, Figures::Optics, resin.clear.standing, colour);
    for (name, colorant) in recipe.colorants.iter().filter(|(name, _)| !left_out.contains(*name)) {
        let own = colorant.standing;
        say(name, false, Figures::Density, own, true);
        say(name, false, Figures::Prices, own, !colorant.packages.is_empty());
        say(name, false, Figures::Ceilings, colorant.ceiling_standing, true);
        if let Some(optics) = &colorant.optics {
            say(name, false, Figures::Optics, optics.standing, colour);
        }
    }
    all
}
