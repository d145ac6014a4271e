//! Whether a mix may be made: every ceiling, and the largest loading that stays under all of them.
//!
//! One implementation serves the plan, matching and corrections. A mix is looked at per gram of mixed
//! resin (A+B without colorant). The routes by which it can be refused:
//!
//! | route | rule | source |
//! |---|---|---|
//! | one colorant | ℓ ≤ its ceiling | the product's datasheet; else common practice, no source |
//! | mixture | Σ ℓᵢ/ceilingᵢ ≤ 1 | the additive form used for mixtures of limited quantities (as for mixed exposures in 29 CFR 1910.1000(d)(2)) |
//! | all colorants | Σ ℓᵢ ≤ the system's ceiling | the system's datasheet |
//! | solvent | Σ ℓᵢ·(non-reactive carrier) ≤ the system's ceiling, which may be 0: then none may be used | the system's datasheet |
//! | off ratio | shift of amine hydrogen : epoxide by epoxy carriers ≤ the house's limit | common practice, no source |

use crate::model::{Colorant, Override, Raised, Standing as Trust, Stoichiometry, System};

/// Room for the rounding of sums, so that a loading exactly at its ceiling passes.
const ROUNDING: f64 = 1e-9;

/// A ceiling that a mix has to keep.
#[derive(Debug, Clone, PartialEq)]
pub enum Route {
    /// One colorant's own, by name.
    Colorant(String),
    /// All colorants, each against its own ceiling.
    Mixture,
    /// All colorants against the system's ceiling.
    AllColorants,
    /// Solvent and other non-reactive carrier against the system's ceiling.
    Solvent,
    /// The shift of stoichiometry by epoxy carriers.
    OffRatio,
}

impl Route {
    /// What a person reads.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Mixture => "mixture rule, Σ loading/ceiling".to_owned(),
            other => other.short_words(),
        }
    }

    /// The same where the rule need not be explained.
    #[must_use]
    pub fn short_words(&self) -> String {
        match self {
            Self::Colorant(name) => format!("ceiling of \"{name}\""),
            Self::Mixture => "mixture rule".to_owned(),
            Self::AllColorants => "all colorants together".to_owned(),
            Self::Solvent => "solvent and non-reactive carrier".to_owned(),
            Self::OffRatio => "off ratio through epoxy carriers".to_owned(),
        }
    }
}

/// One colorant in a mix.
#[derive(Debug, Clone, Copy)]
pub struct Dosed<'a> {
    /// The colorant.
    pub colorant: &'a Colorant,
    /// Colorant mass / mixed resin mass.
    pub loading: f64,
}

/// Where a mix stands against one ceiling.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Which ceiling.
    pub route: Route,
    /// The mix's figure, in the ceiling's own terms.
    pub value: f64,
    /// The ceiling.
    pub ceiling: f64,
    /// Whether a person raised it, with a reason.
    pub raised: bool,
    /// How far the ceiling itself can be trusted.
    pub trust: Trust,
}

impl Standing {
    /// Whether the ceiling is exceeded.
    #[must_use]
    pub fn exceeded(&self) -> bool {
        // Written so that a figure that is no number counts as exceeded.
        let within = self.value <= self.ceiling * (1.0 + ROUNDING);
        !within
    }

    /// How much of the ceiling is used: 1 at the ceiling.
    #[must_use]
    pub fn used(&self) -> f64 {
        // Nothing of a ceiling of nought, which stands for "none may be used", is within it.
        if self.value == 0.0 { 0.0 } else { self.value / self.ceiling }
    }

    /// Whether the ceiling is nought: none may be used.
    #[must_use]
    pub fn allows_none(&self) -> bool {
        self.ceiling <= 0.0
    }
}

/// A ceiling as a linear inequality: Σ aᵢ·ℓᵢ ≤ most.
#[derive(Debug, Clone, PartialEq)]
pub struct Inequality {
    /// Which ceiling.
    pub route: Route,
    /// What each unit of loading counts, in the order of the colorants; at least 0.
    pub per_loading: Vec<f64>,
    /// The most of it.
    pub most: f64,
}

/// The ceilings in force: the system's, raised where the job says so.
#[derive(Debug, Clone, Copy)]
pub struct Limits<'a> {
    /// The resin system.
    pub system: &'a System,
    /// Largest shift of stoichiometry, as a fraction.
    pub off_ratio: f64,
    /// Ceilings that the job raises.
    pub raised: &'a [Override],
}

impl Limits<'_> {
    fn raised_to(&self, which: &Raised) -> Option<f64> {
        self.raised.iter().find(|each| each.ceiling == *which).map(|each| each.to.value())
    }

    /// A colorant's ceiling and whether it was raised.
    fn of_colorant(&self, colorant: &Colorant) -> (f64, bool) {
        match self.raised_to(&Raised::Colorant(colorant.name.clone())) {
            Some(to) => (to, true),
            None => (colorant.ceiling.value(), false),
        }
    }

    fn of_all(&self) -> (f64, bool) {
        match self.raised_to(&Raised::AllColorants) {
            Some(to) => (to, true),
            None => (self.system.ceilings.colorant.value(), false),
        }
    }

    fn of_solvent(&self) -> (f64, bool) {
        match self.raised_to(&Raised::Solvent) {
            Some(to) => (to, true),
            None => (self.system.ceilings.solvent.value(), false),
        }
    }

    /// Whether any loading of this colorant is too much: it brings solvent or non-reactive carrier into a system that
    /// takes none.
    #[must_use]
    pub fn bars(&self, colorant: &Colorant) -> bool {
        self.of_solvent().0 <= 0.0 && colorant.non_reactive_fraction() > 0.0
    }

    /// Where a mix stands against every ceiling that applies to it. One colorant may occur several
    /// times; its loadings add.
    #[must_use]
    pub fn standings(&self, mix: &[Dosed<'_>]) -> Vec<Standing> {
        let mix = merged(mix);
        let mut all = Vec::with_capacity(mix.len() + 4);
        for dosed in &mix {
            let (ceiling, raised) = self.of_colorant(dosed.colorant);
            let route = Route::Colorant(dosed.colorant.name.clone());
            let trust = dosed.colorant.ceiling_standing;
            all.push(Standing { route, value: dosed.loading, ceiling, raised, trust });
        }
        let any_raised = all.iter().any(|standing| standing.raised);
        let used: f64 = all.iter().map(Standing::used).sum();
        // The rule is no surer than the ceilings that it sums over.
        let trust = all.iter().map(|standing| standing.trust).fold(Trust::Estimated, Trust::max);
        all.push(Standing {
            route: Route::Mixture,
            value: used,
            ceiling: 1.0,
            raised: any_raised,
            trust,
        });
        let trust = self.system.ceilings.standing;
        let (ceiling, raised) = self.of_all();
        let value = mix.iter().map(|dosed| dosed.loading).sum();
        all.push(Standing { route: Route::AllColorants, value, ceiling, raised, trust });
        let (ceiling, raised) = self.of_solvent();
        let value = mix.iter().map(|d| d.loading * d.colorant.non_reactive_fraction()).sum();
        all.push(Standing { route: Route::Solvent, value, ceiling, raised, trust });
        if let Some(weights) = self.system.stoichiometry {
            let value = off_ratio(self.system, weights, &mix);
            all.push(Standing {
                route: Route::OffRatio,
                value,
                ceiling: self.off_ratio,
                raised: false,
                // The house's own limit: common practice.
                trust: Trust::Estimated,
            });
        }
        all
    }

    /// Every ceiling as a linear inequality on the loadings of these colorants, each named once: a mix
    /// of them keeps all of these exactly when none of its [`Self::standings`] is exceeded.
    #[must_use]
    pub fn inequalities(&self, colorants: &[&Colorant]) -> Vec<Inequality> {
        let each = |f: &dyn Fn(&Colorant) -> f64| colorants.iter().map(|c| f(c)).collect();
        let mut all: Vec<Inequality> = colorants
            .iter()
            .enumerate()
            .map(|(at, colorant)| Inequality {
                route: Route::Colorant(colorant.name.clone()),
                per_loading: (0..colorants.len()).map(|i| f64::from(u8::from(i == at))).collect(),
                most: self.of_colorant(colorant).0,
            })
            .collect();
        all.push(Inequality {
            route: Route::Mixture,
            per_loading: each(&|c| 1.0 / self.of_colorant(c).0),
            most: 1.0,
        });
        all.push(Inequality {
            route: Route::AllColorants,
            per_loading: each(&|_| 1.0),
            most: self.of_all().0,
        });
        all.push(Inequality {
            route: Route::Solvent,
            per_loading: each(&Colorant::non_reactive_fraction),
            most: self.of_solvent().0,
        });
        if let Some(weights) = self.system.stoichiometry {
            all.push(Inequality {
                route: Route::OffRatio,
                per_loading: each(&Colorant::epoxide_eq_per_g),
                most: self.epoxide_room(weights),
            });
        }
        all
    }

    /// Epoxide that carriers may bring per gram of mixed resin, eq/g: shift = added/(own + added) ≤
    /// limit, so added ≤ own·limit/(1 − limit).
    fn epoxide_room(&self, weights: Stoichiometry) -> f64 {
        let own = self.system.mass_fraction_a() / weights.eew_g_per_eq;
        own * self.off_ratio / (1.0 - self.off_ratio)
    }

    /// The largest loading of the mix's `which`-th colorant that keeps every ceiling, the others
    /// staying as they are; `None` when the others alone exceed one.
    #[must_use]
    pub fn largest_safe(&self, mix: &[Dosed<'_>], which: usize) -> Option<f64> {
        let subject = mix.get(which)?.colorant;
        // The others, any further dose of the same colorant included.
        let others: Vec<Dosed<'_>> = mix
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != which)
            .map(|(_, dosed)| *dosed)
            .collect();
        let others = merged(&others);
        if self.standings(&others).iter().any(Standing::exceeded) {
            return None;
        }
        let same: f64 =
            others.iter().filter(|d| d.colorant.name == subject.name).map(|d| d.loading).sum();
        let (own, _) = self.of_colorant(subject);
        let used: f64 = others.iter().map(|d| d.loading / self.of_colorant(d.colorant).0).sum();
        let total: f64 = others.iter().map(|d| d.loading).sum();
        let mut largest = (own - same).min((1.0 - used) * own).min(self.of_all().0 - total);
        let per_unit = subject.non_reactive_fraction();
        if per_unit > 0.0 {
            let solvent: f64 =
                others.iter().map(|d| d.loading * d.colorant.non_reactive_fraction()).sum();
            largest = largest.min((self.of_solvent().0 - solvent) / per_unit);
        }
        let epoxide = subject.epoxide_eq_per_g();
        if let Some(weights) = self.system.stoichiometry
            && epoxide > 0.0
        {
            let added: f64 = others.iter().map(|d| d.loading * d.colorant.epoxide_eq_per_g()).sum();
            largest = largest.min((self.epoxide_room(weights) - added) / epoxide);
        }
        Some(largest.max(0.0))
    }

    /// The factor by which all loadings of a mix must shrink together to keep every ceiling; 1 where
    /// they keep it as they are.
    #[must_use]
    pub fn largest_scale(&self, mix: &[Dosed<'_>]) -> f64 {
        let standings = self.standings(mix);
        standings
            .iter()
            .map(|standing| match standing.route {
                // shift = x/(own + x): the factor on x that brings it to the limit.
                Route::OffRatio if standing.value > 0.0 => {
                    (standing.ceiling / (1.0 - standing.ceiling))
                        / (standing.value / (1.0 - standing.value))
                }
                _ if standing.value > 0.0 => standing.ceiling / standing.value,
                _ => 1.0,
            })
            .fold(1.0, f64::min)
    }
}

/// The same mix with each colorant once.
fn merged<'a>(mix: &[Dosed<'a>]) -> Vec<Dosed<'a>> {
    let mut all: Vec<Dosed<'a>> = Vec::with_capacity(mix.len());
    for dosed in mix {
        match all.iter_mut().find(|known| known.colorant.name == dosed.colorant.name) {
            Some(known) => known.loading += dosed.loading,
            None => all.push(*dosed),
        }
    }
    all
}

/// By how much epoxy carriers move amine hydrogen : epoxide away from the system's own, as a
/// fraction: 1 − (index with them / index without). Non-reactive carriers dilute and do not shift.
#[must_use]
pub fn off_ratio(system: &System, weights: Stoichiometry, mix: &[Dosed<'_>]) -> f64 {
    let own = system.mass_fraction_a() / weights.eew_g_per_eq;
    let added: f64 = mix.iter().map(|d| d.loading * d.colorant.epoxide_eq_per_g()).sum();
    added / (own + added)
}

/// Stoichiometric index of a mix: amine hydrogen / epoxide, 1 when they balance.
#[must_use]
pub fn stoichiometric_index(system: &System, weights: Stoichiometry, mix: &[Dosed<'_>]) -> f64 {
    let a = system.mass_fraction_a();
    let added: f64 = mix.iter().map(|d| d.loading * d.colorant.epoxide_eq_per_g()).sum();
    ((1.0 - a) / weights.ahew_g_per_eq) / (a / weights.eew_g_per_eq + added)
}

/// Part B, per gram of mixed resin, that would take up the epoxide which carriers bring.
#[must_use]
pub fn hardener_to_restore(weights: Stoichiometry, mix: &[Dosed<'_>]) -> f64 {
    let added: f64 = mix.iter().map(|d| d.loading * d.colorant.epoxide_eq_per_g()).sum();
    added * weights.ahew_g_per_eq
}

/// Epoxide equivalent weight of a blend, g/eq: Σm / Σ(mᵢ/EEWᵢ) over parts given as mass (any one
/// unit) with EEW. Parts without an EEW do not react and count in Σm only; `None` where nothing reacts.
///
/// ```
/// use pourbook::plan::blended_eew;
/// // A paste of half pigment, half resin of EEW 190:
/// assert_eq!(blended_eew(&[(50.0, None), (50.0, Some(190.0))]), Some(380.0));
/// ```
#[must_use]
pub fn blended_eew(parts: &[(f64, Option<f64>)]) -> Option<f64> {
    let mass: f64 = parts.iter().map(|(mass, _)| mass).sum();
    let equivalents: f64 = parts.iter().filter_map(|(mass, eew)| Some(mass / (*eew)?)).sum();
    (equivalents > 0.0).then(|| mass / equivalents)
}
