//! Colorants and the shelf they stand on.

use std::collections::BTreeMap;
use std::ops::Deref;

use super::fault::{Faults, at};
use super::package::Package;
use super::standing::Standing;
use super::unusual::as_doubts;
use super::unusual::density_of_colorant_meant;
use crate::optics::Ks;
use crate::quantity::{Density, Fraction, Units};

/// How a colorant comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Pigment ground in a carrier.
    Paste,
    /// Dry pigment, mica, flake.
    Powder,
    /// Dissolved colour.
    Dye,
    /// A thin liquid dropped or dribbled as an accent.
    LiquidAccent,
}

impl Kind {
    /// The words a person reads.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Paste => "paste",
            Self::Powder => "powder",
            Self::Dye => "dye",
            Self::LiquidAccent => "liquid accent",
        }
    }
}

/// How a colorant's particles meet light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Finish {
    /// Absorbs and scatters: Kubelka–Munk holds.
    Plain,
    /// Platelets with a sheen: Kubelka–Munk holds for the diffuse part only.
    Pearl,
    /// Metal flake: Kubelka–Munk does not hold.
    Metallic,
}

/// What carries the pigment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Carrier {
    /// None: dry.
    None,
    /// Epoxy resin that takes part in the cure.
    Epoxy {
        /// Epoxide equivalent weight of the carrier alone, g/eq.
        eew_g_per_eq: f64,
    },
    /// A liquid that stays in the film and does not react.
    NonReactive,
    /// A solvent, which is flammable until the datasheet says otherwise.
    Solvent,
}

/// What about a colorant can hurt someone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Fine dust: weigh without a draught, mask on.
    Dust,
    /// Flammable liquid or vapour.
    Flammable,
    /// Sprayed from a can.
    Aerosol,
    /// Contains isocyanate.
    Isocyanate,
}

/// The optical data of a colorant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Optics {
    /// K and S per unit concentration: mm⁻¹ per (g colorant per mL film).
    pub unit: Ks,
    /// Where they come from.
    pub standing: Standing,
}

/// One delivery of a colorant.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// As printed on the label.
    pub name: String,
    /// Tinting strength against the standing lot: 1.08 tints as strongly as 1.08 times as much.
    pub strength: Fraction,
}

/// What a colorant is made of, before it has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct ColorantParts {
    /// Its name on the shelf.
    pub name: String,
    /// How it comes.
    pub kind: Kind,
    /// How it meets light.
    pub finish: Finish,
    /// Generic Colour Index names of its pigments, such as `PBk11`.
    pub pigments: Vec<String>,
    /// Density as supplied.
    pub density: Density,
    /// Pigment as a fraction of its mass; the rest is carrier.
    pub solids: Fraction,
    /// The carrier.
    pub carrier: Carrier,
    /// Largest loading: fraction of mixed resin mass.
    pub ceiling: Fraction,
    /// Where the ceiling comes from.
    pub ceiling_standing: Standing,
    /// K and S, once known.
    pub optics: Option<Optics>,
    /// The lot in use.
    pub lot: Option<Lot>,
    /// Packages on sale.
    pub packages: Vec<Package>,
    /// What can hurt.
    pub hazards: Vec<Hazard>,
    /// Where the figures come from that do not say so themselves.
    pub standing: Standing,
}

/// A colorant whose figures are sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Colorant(ColorantParts);

/// All colorants of the shop by name.
pub type Shelf = BTreeMap<String, Colorant>;

impl Deref for Colorant {
    type Target = ColorantParts;
    fn deref(&self) -> &ColorantParts {
        &self.0
    }
}

/// Densities that a colorant can have, g/mL: spirit inks lie near 0.8, pastes at 1.1–2.5, dry pigments at their
/// solid's own, titanium dioxide at 4.2, iron oxides at 5.2, bronze and copper powders at 8–9. (Common practice, no
/// source.)
const DENSITIES: std::ops::RangeInclusive<f64> = 0.6..=9.0;

impl Colorant {
    /// A colorant from its parts.
    ///
    /// # Errors
    /// Every figure that cannot be: a density outside 0.6–9 g/mL, solids or ceiling outside 0–100 %, a dry
    /// colorant with less than all solids, negative K or S, a lot without strength.
    pub fn new(parts: ColorantParts) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        if !DENSITIES.contains(&parts.density.g_per_ml()) {
            let fault = faults.error(
                    at!["density"],
                    format!(
                        "the density of a colorant cannot be {} ({}): they weigh 0.6–9 g/mL (5–75 lb/gal)",
                        parts.density.show(Units::Metric),
                        parts.density.show(Units::Us),
                    ),
                );
            if let Some(meant) = density_of_colorant_meant(parts.density) {
                fault.hint(meant);
            }
            fault.hint("look at the point and the unit: pastes are usually near 1.1–2.5 g/mL (9–21 lb/gal), inks near 0.9 g/mL (7.5 lb/gal)");
        }
        faults.share(at!["solids"], "solids", parts.solids.value(), 1.0);
        if let Some(fault) = faults.share(at!["ceiling"], "the ceiling", parts.ceiling.value(), 1.0)
        {
            fault.hint("write the largest loading that its datasheet allows, such as \"5 %\"; what may not be used at all is not on the shelf");
        }
        let dry = parts.carrier == Carrier::None;
        if dry && parts.solids.value() < 1.0 {
            faults
                .error(at!["carrier"], "a colorant with less than 100 % solids has a carrier")
                .hint("write carrier: Epoxy(eew: 190), NonReactive or Solvent");
        }
        if let Carrier::Epoxy { eew_g_per_eq } = parts.carrier {
            faults.positive(at!["carrier"], "the carrier's EEW", eew_g_per_eq);
        }
        if let Some(optics) = &parts.optics
            && optics
                .unit
                .k
                .iter()
                .chain(optics.unit.s.iter())
                .any(|x| !(x.is_finite() && *x >= 0.0))
        {
            faults.error(at!["optics"], "K and S must not be negative");
        }
        if let Some(lot) = &parts.lot {
            faults.positive(at!["lot", "strength"], "the lot's strength", lot.strength.value());
        }
        for (at, package) in parts.packages.iter().enumerate() {
            faults.positive(at!["packages", at], "the size of a package", package.size.bare());
            faults.not_negative(at!["packages", at], "a price", package.price.amount());
        }
        faults.into_result(|| Self(parts))
    }

    /// What is doubtful in figures that can be: told, but in nobody's way.
    #[must_use]
    pub fn doubts(&self) -> Faults {
        as_doubts(self.unusual())
    }

    /// Carrier as a fraction of the colorant's mass.
    #[must_use]
    pub fn carrier_fraction(&self) -> f64 {
        match self.carrier {
            Carrier::None => 0.0,
            _ => 1.0 - self.solids.value(),
        }
    }

    /// Liquid that stays in the film without reacting, as a fraction of the colorant's mass.
    #[must_use]
    pub fn non_reactive_fraction(&self) -> f64 {
        match self.carrier {
            Carrier::NonReactive | Carrier::Solvent => self.carrier_fraction(),
            Carrier::None | Carrier::Epoxy { .. } => 0.0,
        }
    }

    /// Epoxide equivalents brought by one gram of colorant, eq/g.
    #[must_use]
    pub fn epoxide_eq_per_g(&self) -> f64 {
        match self.carrier {
            Carrier::Epoxy { eew_g_per_eq } => self.carrier_fraction() / eew_g_per_eq,
            _ => 0.0,
        }
    }

    /// Tinting strength of the lot in use against the standing lot (1 when none is stated).
    #[must_use]
    pub fn lot_strength(&self) -> f64 {
        self.lot.as_ref().map_or(1.0, |lot| lot.strength.value())
    }

    /// Whether it dusts when it is opened and weighed: a powder, a dye without anything that carries it, or whatever
    /// its file says does.
    #[must_use]
    pub fn is_dusty(&self) -> bool {
        self.kind == Kind::Powder
            || (self.kind == Kind::Dye && self.carrier == Carrier::None)
            || self.hazards.contains(&Hazard::Dust)
    }

    /// Whether its vapour can burn.
    #[must_use]
    pub fn is_flammable(&self) -> bool {
        self.carrier == Carrier::Solvent
            || self.hazards.iter().any(|h| matches!(h, Hazard::Flammable | Hazard::Aerosol))
    }
}
