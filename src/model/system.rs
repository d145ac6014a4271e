//! Two-part resin systems.

use std::ops::Deref;

use super::fault::{Faults, at};
use super::package::Package;
use super::standing::Standing;
use super::unusual::as_doubts;
use super::unusual::density_meant;
use super::unusual_temperature::{self, MEANT_C, MEANT_LOWEST_C};
use crate::diagnostic::Severity;
use crate::quantity::{Density, Fraction, Length, Mass, Temperature, TimeSpan, Units};
use crate::spectrum::Spectrum;

/// The proportion of part A to part B, as the datasheet states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MixRatio {
    /// A to B by volume.
    Volume {
        /// Parts of A.
        a: f64,
        /// Parts of B.
        b: f64,
    },
    /// A to B by mass.
    Mass {
        /// Parts of A.
        a: f64,
        /// Parts of B.
        b: f64,
    },
}

impl MixRatio {
    /// A for B and B for A.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Volume { a, b } => Self::Volume { a: b, b: a },
            Self::Mass { a, b } => Self::Mass { a: b, b: a },
        }
    }

    /// The same with the point of one of its parts one or two places farther, as it is likeliest typed first: by mass with
    /// 100 parts of A, by volume with small whole parts.
    fn slips_of_the_point(self) -> Vec<Self> {
        let times = [0.1, 10.0, 0.01, 100.0];
        let all = times.into_iter().flat_map(|times| [(1.0, times), (times, 1.0)]);
        let mut all: Vec<Self> = all
            .map(|(of_a, of_b)| match self {
                Self::Volume { a, b } => Self::Volume { a: a * of_a, b: b * of_b },
                Self::Mass { a, b } => Self::Mass { a: a * of_a, b: b * of_b },
            })
            .collect();
        let unlikely = |ratio: &Self| match *ratio {
            Self::Mass { a, .. } => libm::fabs(a - 100.0),
            Self::Volume { a, b } if a.min(b) < 1.0 => f64::INFINITY,
            Self::Volume { a, b } => a.max(b),
        };
        all.sort_by(|one, other| unlikely(one).total_cmp(&unlikely(other)));
        all
    }

    /// In words, to two decimals: `2 : 1 by volume`.
    #[must_use]
    pub fn words(self) -> String {
        let (a, b, by) = match self {
            Self::Volume { a, b } => (a, b, "volume"),
            Self::Mass { a, b } => (a, b, "weight"),
        };
        let rounded = |part: f64| libm::round(part * 100.0) / 100.0;
        format!("{} : {} by {by}", rounded(a), rounded(b))
    }

    /// As it is typed in a file, to two decimals.
    fn typed(self) -> String {
        let (by, a, b) = match self {
            Self::Volume { a, b } => ("ByVolume", a, b),
            Self::Mass { a, b } => ("ByMass", a, b),
        };
        let rounded = |part: f64| libm::round(part * 100.0) / 100.0;
        format!("{by}({}, {})", rounded(a), rounded(b))
    }

    /// Mass of part A as a fraction of the mixed mass A+B, for parts of these densities.
    #[must_use]
    pub fn mass_fraction_a(self, density_a: Density, density_b: Density) -> f64 {
        match self {
            Self::Mass { a, b } => a / (a + b),
            Self::Volume { a, b } => {
                let mass_a = a * density_a.g_per_ml();
                mass_a / (mass_a + b * density_b.g_per_ml())
            }
        }
    }

    /// Density of the mixed parts of these densities: volumes taken as additive.
    #[must_use]
    pub fn mixed_density(self, density_a: Density, density_b: Density) -> Density {
        let a = self.mass_fraction_a(density_a, density_b);
        let ml_per_g = a / density_a.g_per_ml() + (1.0 - a) / density_b.g_per_ml();
        Density::from_g_per_ml(1.0 / ml_per_g)
    }
}

/// Equivalent weights, where the datasheet gives them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stoichiometry {
    /// Epoxide equivalent weight of part A, g/eq.
    pub eew_g_per_eq: f64,
    /// Amine hydrogen equivalent weight of part B, g/eq.
    pub ahew_g_per_eq: f64,
}

/// A datasheet's mix ratio may be off what its equivalent weights ask for by so much, as a fraction, before that
/// is told: systems are sold up to a tenth off on purpose (for speed, hardness or a round ratio), and the
/// equivalents of two blended parts are each given to a twentieth. (Common practice, no source.)
pub const EQUIVALENTS_WITHIN: f64 = 0.2;

/// Nothing cures with more than so many times, or less than so great a part, of the hardener that its equivalents ask
/// for. (Common practice, no source.)
const CURES_WITHIN: f64 = 2.0;

/// A mix ratio that is not what the equivalent weights ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffEquivalents {
    /// Part B to 100 g of part A by the stated ratio, g.
    pub stated: f64,
    /// The same with an amine hydrogen for every epoxide group: 100·AHEW/EEW, g.
    pub by_equivalents: f64,
    /// The same by the stated ratio the other way round, where that fits much better, g.
    pub swapped: Option<f64>,
    /// The same with a point of the stated ratio put right, where that fits, g.
    pub slipped: Option<f64>,
    /// The ratio that fits: the stated one with its point put right, or the other way round, where that fits much better,
    /// else that of the equivalents.
    right: MixRatio,
}

impl OffEquivalents {
    /// Whether it is so far off that what is mixed by it cannot cure.
    #[must_use]
    pub fn cannot_cure(&self) -> bool {
        let times = self.stated / self.by_equivalents;
        !(1.0 / CURES_WITHIN..=CURES_WITHIN).contains(&times)
    }

    /// That nothing is mixed by it, and what would be right.
    fn refuse(&self, faults: &mut Faults) {
        let right = self.right.typed();
        let right = match (self.slipped, self.swapped) {
            (Some(_), _) => format!("did you mean {right}?"),
            (None, Some(_)) => format!("with its parts the other way round it is {right}"),
            (None, None) => format!("by these weights it is about {right}"),
        };
        faults
            .push(at!["ratio"], Severity::Refused, self.words())
            .hint(match self.slipped {
                Some(_) => format!("{right} Write what the datasheet states"),
                None => format!("{right}: write what the datasheet states"),
            })
            .hint("if the datasheet states the ratio so, eew (of part A) or ahew (of part B) is mistyped; where it states neither, leave stoichiometry out");
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        let off = (self.stated / self.by_equivalents - 1.0) * 100.0;
        let way = if off > 0.0 { "more" } else { "less" };
        let swap = match (self.slipped, self.swapped) {
            (Some(slipped), _) => {
                let right = self.right.typed();
                format!("; {right} would be {slipped:.0} g, so a point of it looks slipped")
            }
            (None, Some(swapped)) => {
                format!(
                    "; the other way round it would be {swapped:.0} g, so its parts look swapped"
                )
            }
            (None, None) => String::new(),
        };
        format!(
            "the mix ratio asks for {:.0} g of part B to 100 g of part A, {:.0} % {way} than the {:.0} g that the equivalent weights (eew, ahew) of the same file ask for{swap}; look at the datasheet before anything is mixed: off its ratio it does not cure",
            self.stated,
            libm::fabs(off),
            self.by_equivalents,
        )
    }

    /// In few words.
    #[must_use]
    pub fn brief(&self) -> String {
        let doubt = match (self.slipped, self.swapped) {
            (Some(_), _) => "looks slipped by a point",
            (None, Some(_)) => "looks swapped",
            (None, None) => "is doubtful",
        };
        format!(
            "A : B {doubt}: {:.0} g of B to 100 g of A, and its equivalents ask for {:.0} g; look at the datasheet first",
            self.stated, self.by_equivalents
        )
    }
}

/// A pot life, which means nothing without its mass and temperature (ISO 9514:2019).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// Time from mixing to unworkable.
    pub time: TimeSpan,
    /// The mixed mass it was stated for.
    pub mass: Mass,
    /// The temperature it was stated for.
    pub temperature: Temperature,
}

/// The optics of the clear, cured film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clear {
    /// Refractive index.
    pub refractive_index: f64,
    /// Absorption, per mm of film, band by band.
    pub absorption_per_mm: Spectrum,
    /// Where these come from.
    pub standing: Standing,
}

/// What the system bears of anything that is not resin, as fractions of mixed resin mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ceilings {
    /// All colorants together.
    pub colorant: Fraction,
    /// Solvent and other non-reactive carrier; 0 where none may be used.
    pub solvent: Fraction,
    /// Where these come from.
    pub standing: Standing,
}

/// What a system is made of, before it has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemParts {
    /// Its name in the shop.
    pub name: String,
    /// A to B.
    pub ratio: MixRatio,
    /// Density of part A.
    pub density_a: Density,
    /// Density of part B.
    pub density_b: Density,
    /// The clear film.
    pub clear: Clear,
    /// Thinnest film per pour that the datasheet allows.
    pub film_min: Length,
    /// Thickest film per pour that the datasheet allows.
    pub film_max: Length,
    /// Pot life with its mass and temperature.
    pub pot_life: PotLife,
    /// Lowest temperature of room, surface and parts at which the datasheet lets it be poured and cure; none where it
    /// states none.
    pub lowest_temperature: Option<Temperature>,
    /// Earliest and latest recoat without sanding.
    pub recoat: Option<(TimeSpan, TimeSpan)>,
    /// Ceilings.
    pub ceilings: Ceilings,
    /// Equivalent weights.
    pub stoichiometry: Option<Stoichiometry>,
    /// Kits on sale.
    pub packages: Vec<Package>,
    /// Where the figures come from that do not say so themselves.
    pub standing: Standing,
}

/// A two-part resin system whose figures are sound.
#[derive(Debug, Clone, PartialEq)]
pub struct System(SystemParts);

impl Deref for System {
    type Target = SystemParts;
    fn deref(&self) -> &SystemParts {
        &self.0
    }
}

/// Densities that a part of a resin system can have, g/mL: unfilled ones lie at 0.9–1.2, heavily filled ones at
/// twice that. (Common practice, no source.)
const DENSITIES: std::ops::RangeInclusive<f64> = 0.7..=3.0;

/// Pot lives that a resin poured by hand can have, min: what gels sooner cannot be stirred, let alone poured.
/// (Common practice, no source.)
const POT_LIVES_MIN: std::ops::RangeInclusive<f64> = 2.0..=2880.0;

/// Mixed masses that a pot life can be stated for, g: from a drop to more than any drum. (Common practice, no source.)
const POT_LIFE_MASSES_G: std::ops::RangeInclusive<f64> = 1.0..=1e6;

/// Of one part to one of the other, by volume or mass, at most. (Common practice, no source.)
const MOST_TO_ONE: f64 = 1000.0;

/// Equivalent weights that a part can have, g/eq: the smallest amines have an AHEW of 15, solid resins an EEW of some
/// thousand. (Common practice, no source.)
const EQUIVALENT_WEIGHTS: std::ops::RangeInclusive<f64> = 10.0..=10_000.0;

impl System {
    /// A system from its parts.
    ///
    /// # Errors
    /// Every figure that cannot be: a density, ratio, film or pot life not above zero, film limits
    /// the wrong way round, a ceiling outside 0–100 %.
    pub fn new(parts: SystemParts) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        let (MixRatio::Volume { a, b } | MixRatio::Mass { a, b }) = parts.ratio;
        faults.positive(at!["ratio"], "each part of the mix ratio", a.min(b));
        if a.min(b) > 0.0 && a.max(b) / a.min(b) > MOST_TO_ONE {
            faults
                .error(at!["ratio"], "no mix ratio is more than 1000 to 1")
                .hint("look at the noughts: write what the datasheet states, such as ByVolume(2, 1) or ByMass(100, 42)");
        }
        for (field, part, density) in
            [("density_a", "A", parts.density_a), ("density_b", "B", parts.density_b)]
        {
            if !DENSITIES.contains(&density.g_per_ml()) {
                let fault = faults.error(
                        at![field],
                        format!(
                            "the density of part {part} cannot be {} ({}): resins weigh 0.7–3 g/mL (6–25 lb/gal)",
                            density.show(Units::Metric),
                            density.show(Units::Us),
                        ),
                    );
                if let Some(meant) = density_meant(density) {
                    fault.hint(meant);
                }
                fault.hint("look at the point and the unit: part A is usually near 1.15 g/mL (9.6 lb/gal), part B near 0.97 g/mL (8.1 lb/gal)");
            }
        }
        faults.positive(at!["film", 0], "the thinnest film", parts.film_min.mm());
        if parts.film_max < parts.film_min {
            faults
                .error(at!["film"], "the thickest film is below the thinnest")
                .hint("write the thinnest first: film: (\"1.5 mm\", \"6 mm\")");
        }
        let life = &parts.pot_life;
        if !POT_LIVES_MIN.contains(&life.time.min()) {
            faults
                .error(
                    at!["pot_life", "time"],
                    format!(
                        "the pot life cannot be {}: it lies at 2 min to 48 h",
                        life.time.show(Units::Metric)
                    ),
                )
                .hint("look at the unit: coating resins state 20–60 min, deep ones hours");
        }
        faults.positive(at!["pot_life", "mass"], "the mass of the pot life", life.mass.g());
        if life.mass.g() > 0.0 && !POT_LIFE_MASSES_G.contains(&life.mass.g()) {
            faults
                .error(
                    at!["pot_life", "mass"],
                    "no pot life is stated for less than 1 g of mix, or for more than 1000 kg (2200 lb)",
                )
                .hint("look at the noughts and the unit: datasheets state 100 g to 1 gal");
        }
        // Pot lives are stated of rooms and of heated benches, never of an oven or a freezer (common practice, no source).
        if !(0.0..=60.0).contains(&life.temperature.c()) {
            let fault = faults.error(
                at!["pot_life", "temperature"],
                format!(
                    "{} is no temperature to state a pot life at",
                    life.temperature.show_in_both()
                ),
            );
            fault.hints.extend(unusual_temperature::asked(life.temperature, &MEANT_C));
            fault.hint("write that of the datasheet, such as \"77 °F\" or \"25 °C\"");
        }
        if let Some(lowest) = parts.lowest_temperature
            && !(-20.0..=40.0).contains(&lowest.c())
        {
            let fault = faults.error(
                at!["lowest_temperature"],
                format!("{} is no lowest temperature to pour at", lowest.show_in_both()),
            );
            fault.hints.extend(unusual_temperature::asked(lowest, &MEANT_LOWEST_C));
            fault.hint("write that of the datasheet, such as \"60 °F\" or \"16 °C\"");
        }
        if let Some((earliest, latest)) = parts.recoat {
            faults.positive(at!["recoat"], "the earliest recoat", earliest.s());
            if latest < earliest {
                faults.error(at!["recoat"], "the latest recoat comes before the earliest");
            }
        }
        let all = parts.ceilings.colorant.value();
        let at = at!["ceilings", "colorant"];
        if let Some(fault) = faults.share(at, "the ceiling of all colorants", all, 1.0) {
            fault.hint("write what the datasheet allows, such as \"6 %\"; a resin that takes no colorant at all has no recipe");
        }
        if !(0.0..=1.0).contains(&parts.ceilings.solvent.value()) {
            faults
                .error(
                    at!["ceilings", "solvent"],
                    "the ceiling of solvent must be 0 % or more and at most 100 %",
                )
                .hint("write what the datasheet allows, such as \"2 %\", or \"0 %\" if it allows none");
        }
        if let Some(weights) = parts.stoichiometry {
            faults.positive(at!["stoichiometry", "eew"], "EEW", weights.eew_g_per_eq);
            faults.positive(at!["stoichiometry", "ahew"], "AHEW", weights.ahew_g_per_eq);
            for (field, what, weight) in
                [("eew", "EEW", weights.eew_g_per_eq), ("ahew", "AHEW", weights.ahew_g_per_eq)]
            {
                if weight > 0.0 && !EQUIVALENT_WEIGHTS.contains(&weight) {
                    faults
                        .error(
                            at!["stoichiometry", field],
                            format!("{what} must lie at 10–10,000 g/eq"),
                        )
                        .hint("look at the datasheet: liquid epoxy resins have an EEW near 190, hardeners an AHEW of 20–300");
                }
            }
        }
        let n = parts.clear.refractive_index;
        if !(n > 1.0 && n < 2.5) {
            faults
                .error(at!["clear", "refractive_index"], "the refractive index must lie in 1–2.5")
                .hint("cured epoxies lie near 1.55");
        }
        if parts.clear.absorption_per_mm.iter().any(|k| !(k.is_finite() && *k >= 0.0)) {
            faults.error(at!["clear"], "the clear film's absorption must not be negative");
        }
        for (at, package) in parts.packages.iter().enumerate() {
            faults.positive(at!["packages", at], "the size of a package", package.size.bare());
            faults.not_negative(at!["packages", at], "a price", package.price.amount());
        }
        faults.into_result(|| Self(parts))
    }

    /// That nothing is mixed by its ratio, where the equivalent weights of the same file say that it cannot cure.
    #[must_use]
    pub fn refused_ratio(&self) -> Faults {
        let mut faults = Faults::default();
        if let Some(off) = self.off_equivalents().filter(OffEquivalents::cannot_cure) {
            off.refuse(&mut faults);
        }
        faults
    }

    /// What is doubtful in figures that can be, told and in nobody's way, but for a ratio that cannot cure, which is
    /// refused.
    #[must_use]
    pub fn doubts(&self) -> Faults {
        let mut doubts = self.refused_ratio();
        if let Some(off) = self.off_equivalents().filter(|off| !off.cannot_cure()) {
            doubts.push(at!["ratio"], Severity::Caution, off.words());
        }
        doubts.0.extend(as_doubts(self.unusual()).0);
        doubts
    }

    /// How the mix ratio is off what the equivalent weights ask for, where they are stated and it is off by more
    /// than [`EQUIVALENTS_WITHIN`].
    #[must_use]
    pub fn off_equivalents(&self) -> Option<OffEquivalents> {
        let Stoichiometry { eew_g_per_eq, ahew_g_per_eq } = self.stoichiometry?;
        let by_equivalents = 100.0 * ahew_g_per_eq / eew_g_per_eq;
        let stated = self.phr();
        let swapped = self.phr_of(self.ratio.turned());
        let off = |phr: f64| libm::fabs(libm::log(phr / by_equivalents));
        let within = libm::log(1.0 + EQUIVALENTS_WITHIN);
        // Where both explain it, the one that comes nearer.
        let mut slips =
            self.ratio.slips_of_the_point().into_iter().map(|ratio| (self.phr_of(ratio), ratio));
        let slipped = slips.find(|(phr, _)| off(*phr) <= within && off(*phr) < off(swapped));
        let swapped = Some(swapped).filter(|it| slipped.is_none() && off(*it) < 0.5 * off(stated));
        (off(stated) > within).then(|| OffEquivalents {
            stated,
            by_equivalents,
            swapped,
            slipped: slipped.map(|(phr, _)| phr),
            right: match (slipped, swapped) {
                (Some((_, ratio)), _) => ratio,
                (None, Some(_)) => self.ratio.turned(),
                (None, None) => self.ratio_of(by_equivalents),
            },
        })
    }

    /// The mix ratio of so many grams of part B to 100 g of part A, as this one is stated: by volume or by mass.
    fn ratio_of(&self, phr: f64) -> MixRatio {
        match self.ratio {
            MixRatio::Volume { .. } => {
                let a = (100.0 / self.density_a.g_per_ml()) / (phr / self.density_b.g_per_ml());
                MixRatio::Volume { a, b: 1.0 }
            }
            MixRatio::Mass { .. } => MixRatio::Mass { a: 100.0, b: phr },
        }
    }

    /// Mass of part A as a fraction of the mixed mass A+B.
    #[must_use]
    pub fn mass_fraction_a(&self) -> f64 {
        self.ratio.mass_fraction_a(self.density_a, self.density_b)
    }

    /// Density of the mixed resin, without colorant: volumes taken as additive.
    #[must_use]
    pub fn mixed_density(&self) -> Density {
        self.ratio.mixed_density(self.density_a, self.density_b)
    }

    /// Grams of part B to 100 g of part A.
    #[must_use]
    pub fn phr(&self) -> f64 {
        self.phr_of(self.ratio)
    }

    /// The same of another ratio of these parts.
    pub(super) fn phr_of(&self, ratio: MixRatio) -> f64 {
        let a = ratio.mass_fraction_a(self.density_a, self.density_b);
        100.0 * (1.0 - a) / a
    }
}
