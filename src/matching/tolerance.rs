//! How sure a mix is: the spread of its colour over what scales, lots, films and proportions do, by
//! seeded draws, and which cause to mend first.
//!
//! A draw weighs every part with the scale's error, takes each colorant's strength, the proportion of
//! B and the film from bell curves, and looks at the film. Each cause is also drawn alone; for small
//! errors their mean squares add, which is what the shares are of.

use super::blend::{Sight, Unit, blend};
use super::tints::{gram, resin};
use crate::colour::{Lab, delta_e_2000};
use crate::flow::Random;
use crate::model::Recipe;
use crate::optics::{Geometry, Surface};
use crate::plan::{BasePlan, Means, Stock};
use crate::predict::Viewing;
use crate::spectrum::Xyz;

/// How far things stray: standard deviations.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubts {
    /// Of one weighing, in steps of the scale. The repeatability of a scale at its best is 0.41 steps
    /// (the form of USP general chapter <41>).
    pub scale_steps: f64,
    /// Of a lot's tinting strength, as a fraction.
    pub lot: f64,
    /// Of the film's thickness, as a fraction.
    pub film: f64,
    /// Of the proportion of B beyond weighing, as a fraction: what stays in the jug.
    pub ratio: f64,
    /// How many draws.
    pub draws: u32,
    /// Seed of the draws.
    pub seed: u64,
}

impl Default for Doubts {
    /// Lots within ±5 %, poured films within ±20 %, B within ±1 % nineteen times in twenty (common
    /// practice, no source).
    fn default() -> Self {
        Self { scale_steps: 0.41, lot: 0.025, film: 0.10, ratio: 0.005, draws: 2000, seed: 1 }
    }
}

/// Why a colour strays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Doses rounded to the scale's step.
    Rounding,
    /// The scale's error.
    Scale,
    /// Strength of the lots.
    Lot,
    /// Thickness of the film.
    Film,
    /// Proportion of B.
    Ratio,
}

impl Cause {
    /// Every cause.
    pub const ALL: [Self; 5] = [Self::Rounding, Self::Scale, Self::Lot, Self::Film, Self::Ratio];

    /// What a person reads.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rounding => "rounding",
            Self::Scale => "scale",
            Self::Lot => "lots",
            Self::Film => "film",
            Self::Ratio => "A : B",
        }
    }
}

/// What to mend first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Improve {
    /// Weigh this colorant on a finer scale.
    FinerScale(String),
    /// Let this colorant down in part A.
    LetDown(String),
    /// Make a bigger mix: this colorant's dose is small for its scale and its let-down.
    BiggerMix(String),
    /// Try this colorant's lot against the standing one.
    TestTheLot(String),
    /// Pour a thicker film: this one does not hide what is below it.
    ThickerFilm,
    /// Level the film: it hides, but not evenly.
    EvenFilm,
    /// Scrape the jug of B clean.
    ScrapeTheJug,
}

impl Improve {
    /// What a person reads.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::FinerScale(name) => format!("weigh {name} on a finer scale"),
            Self::LetDown(name) => format!("let {name} down in part A"),
            Self::BiggerMix(name) => format!("make a bigger mix: the dose of {name} is small"),
            Self::TestTheLot(name) => format!("try the lot of {name} against the standing one"),
            Self::ThickerFilm => "pour a thicker film".to_owned(),
            Self::EvenFilm => "level the film".to_owned(),
            Self::ScrapeTheJug => "scrape the jug of part B clean".to_owned(),
        }
    }
}

/// The spread of one base.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The base.
    pub base: String,
    /// Mean ΔE00 against the recipe.
    pub mean: f64,
    /// ΔE00 that 95 of 100 mixes stay within.
    pub within_95: f64,
    /// All draws' ΔE00, ascending.
    pub draws: Vec<f64>,
    /// Each cause's share of the mean square, the largest first; they sum to 1, or are all 0.
    pub shares: Vec<(Cause, f64)>,
    /// What to mend first, where anything strays.
    pub first: Option<Improve>,
}

/// One colorant of a mix, as it strays.
struct Part {
    name: String,
    /// What a unit of loading (as weighed) brings.
    unit: Unit,
    loading_recipe: f64,
    loading: f64,
    /// A step of its scale over its weight, that of its stock included.
    step: f64,
    let_down: bool,
    within_tolerance: bool,
}

/// A base as weighed, ready to be drawn.
struct Drawn<'a> {
    sight: Sight,
    resin: Unit,
    parts: Vec<Part>,
    /// A and B as shares of the resin, and a step of their scale over it.
    a: f64,
    step: f64,
    doubts: &'a Doubts,
}

/// The spread of every base of a plan whose colour is known.
#[must_use]
pub fn spreads(
    recipe: &Recipe<'_>,
    bases: &[BasePlan],
    stocks: &[Stock],
    viewing: &Viewing,
    doubts: &Doubts,
) -> Vec<Spread> {
    bases.iter().filter_map(|base| spread(recipe, base, stocks, viewing, doubts)).collect()
}

fn spread(
    recipe: &Recipe<'_>,
    base: &BasePlan,
    stocks: &[Stock],
    viewing: &Viewing,
    doubts: &Doubts,
) -> Option<Spread> {
    let drawn = Drawn::of(recipe, base, stocks, viewing, doubts)?;
    let wanted = drawn.lab(|part| part.loading_recipe, 1.0);
    let weighed = drawn.lab(|part| part.loading, 1.0);
    let mut draws: Vec<f64> = (0..doubts.draws.max(1))
        .map(|draw| delta_e_2000(wanted, drawn.one(draw, &Cause::ALL)))
        .collect();
    draws.sort_by(f64::total_cmp);
    let square_of = |cause: Cause| {
        if cause == Cause::Rounding {
            let delta = delta_e_2000(wanted, weighed);
            return delta * delta;
        }
        let sum: f64 = (0..doubts.draws.max(1))
            .map(|draw| {
                let delta = delta_e_2000(weighed, drawn.one(draw, &[cause]));
                delta * delta
            })
            .sum();
        sum / f64::from(doubts.draws.max(1))
    };
    let squares = Cause::ALL.map(|cause| (cause, square_of(cause)));
    let all: f64 = squares.iter().map(|(_, square)| square).sum();
    let mut shares: Vec<(Cause, f64)> = squares
        .iter()
        .map(|(cause, square)| (*cause, if all > 0.0 { square / all } else { 0.0 }))
        .collect();
    shares.sort_by(|one, two| two.1.total_cmp(&one.1));
    let first = shares.first().filter(|(_, share)| *share > 0.0);
    let first = first.and_then(|(cause, _)| drawn.improve(*cause, base, weighed));
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let mean = draws.iter().sum::<f64>() / draws.len() as f64;
    Some(Spread {
        base: base.name.clone(),
        mean,
        within_95: percentile(&draws, 0.95),
        draws,
        shares,
        first,
    })
}

/// The value that this share of ascending values stays within, linear between neighbours.
#[must_use]
pub fn percentile(ascending: &[f64], share: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
    let place = (ascending.len().saturating_sub(1)) as f64 * share.clamp(0.0, 1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 0 to the last place"
    )]
    let below = place as usize;
    let Some(low) = ascending.get(below) else { return 0.0 };
    let high = ascending.get(below + 1).unwrap_or(low);
    #[expect(clippy::cast_precision_loss, reason = "a place among draws")]
    let part = place - below as f64;
    low + part * (high - low)
}

impl<'a> Drawn<'a> {
    fn of(
        recipe: &Recipe<'_>,
        base: &BasePlan,
        stocks: &[Stock],
        viewing: &Viewing,
        doubts: &'a Doubts,
    ) -> Option<Self> {
        // Of several mixes the smallest is weighed least finely.
        let mix = base.smallest()?;
        let surface = Surface::of_index(recipe.system.clear.refractive_index);
        let ground = surface.internal_spectrum(&viewing.primer, Geometry::SpecularExcluded);
        let lamps = vec![viewing.weights()];
        let mut parts = Vec::with_capacity(mix.doses.len());
        for (dose, (_, loading)) in mix.doses.iter().zip(mix.loadings_weighed()) {
            let colorant = recipe.colorants.get(dose.colorant.as_str())?;
            let weighed = dose.weighed();
            let own = weighed.readability.g() / weighed.mass.g().max(1e-9);
            let stock = match &dose.means {
                Means::LetDown { down, .. } => stocks
                    .iter()
                    .find(|stock| stock.colorant == dose.colorant && stock.ratio == down.ratio)
                    .map_or(0.0, |stock| {
                        let weighed = &stock.colorant_weighed;
                        weighed.readability.g() / weighed.mass.g().max(1e-9)
                    }),
                Means::OnTop(_) | Means::InCup(_) => 0.0,
            };
            parts.push(Part {
                name: dose.colorant.clone(),
                unit: gram(colorant)?.times(colorant.lot_strength()),
                loading_recipe: dose.loading.value(),
                loading,
                step: libm::hypot(own, stock),
                let_down: matches!(dose.means, Means::LetDown { .. }),
                within_tolerance: weighed.within_tolerance(),
            });
        }
        let all = mix.resin().g();
        Some(Self {
            sight: Sight { film_mm: viewing.film.mm(), ground, surface, lamps },
            resin: resin(recipe.system),
            parts,
            a: 1.0 - mix.part_b.mass.g() / all,
            step: mix.part_a.readability.g() / all,
            doubts,
        })
    }

    /// The colour of loadings in a film so many times as thick.
    fn lab(&self, loading: impl Fn(&Part) -> f64, film: f64) -> Lab {
        let whole =
            self.parts.iter().fold(self.resin, |whole, part| whole.plus(loading(part), &part.unit));
        self.seen(&whole, film)
    }

    fn seen(&self, whole: &Unit, film: f64) -> Lab {
        let film_mm = (self.sight.film_mm * film).max(0.0);
        let seen = blend::<0>(&Sight { film_mm, ..self.sight.clone() }, whole, &[], &[]);
        let [x, y, z] = seen.xyz[0];
        let white = self.sight.lamps.first().map(|lamp| lamp.white()).unwrap_or_default();
        Lab::from_xyz(Xyz { x, y, z }, white)
    }

    /// One draw with these causes at work; what a cause draws does not hang on the others.
    fn one(&self, draw: u32, causes: &[Cause]) -> Lab {
        let at_work = |cause: Cause| f64::from(u8::from(causes.contains(&cause)));
        let stream = |purpose: u64| Random::stream(self.doubts.seed, u64::from(draw) * 8 + purpose);
        let mut scale = stream(0);
        let step = self.doubts.scale_steps * at_work(Cause::Scale);
        let a = self.a + self.step * step * normal(&mut scale);
        let b = 1.0 - self.a + self.step * step * normal(&mut scale);
        let jug = self.doubts.ratio * at_work(Cause::Ratio) * normal(&mut stream(1));
        let resin = a + b * (1.0 + jug);
        let mut lots = stream(2);
        let lot = self.doubts.lot * at_work(Cause::Lot);
        let mut whole = self.resin;
        for part in &self.parts {
            let weighed = 1.0 + part.step * step * normal(&mut scale);
            let strength = 1.0 + lot * normal(&mut lots);
            let loading = part.loading * (weighed * strength).max(0.0) / resin;
            whole = whole.plus(loading, &part.unit);
        }
        let film = 1.0 + self.doubts.film * at_work(Cause::Film) * normal(&mut stream(3));
        self.seen(&whole, film)
    }

    /// The colorant that moves the colour most when it strays by `by`.
    fn worst(&self, weighed: Lab, by: impl Fn(&Part) -> f64) -> Option<&Part> {
        let moved = |subject: &Part| {
            let more = |part: &Part| {
                let own = part.name == subject.name;
                part.loading * if own { 1.0 + by(part) } else { 1.0 }
            };
            delta_e_2000(weighed, self.lab(more, 1.0))
        };
        self.parts.iter().max_by(|one, two| moved(one).total_cmp(&moved(two)))
    }

    fn improve(&self, cause: Cause, base: &BasePlan, weighed: Lab) -> Option<Improve> {
        match cause {
            Cause::Scale | Cause::Rounding => {
                let part = self.worst(weighed, |part| part.step)?;
                let name = part.name.clone();
                Some(match (part.let_down, part.within_tolerance) {
                    (true, _) => Improve::BiggerMix(name),
                    (false, false) => Improve::LetDown(name),
                    (false, true) => Improve::FinerScale(name),
                })
            }
            Cause::Lot => {
                let part = self.worst(weighed, |_| self.doubts.lot)?;
                Some(Improve::TestTheLot(part.name.clone()))
            }
            Cause::Film => {
                let hides = base
                    .look
                    .as_ref()
                    .is_some_and(|look| look.contrast_ratio >= crate::optics::HIDING_RATIO);
                Some(if hides { Improve::EvenFilm } else { Improve::ThickerFilm })
            }
            Cause::Ratio => Some(Improve::ScrapeTheJug),
        }
    }
}

/// A normal number of mean 0 and standard deviation 1 (G. E. P. Box, M. E. Muller, Ann. Math. Stat. 29,
/// 610, 1958).
fn normal(random: &mut Random) -> f64 {
    let radius = libm::sqrt(-2.0 * libm::log(1.0 - random.unit()));
    radius * libm::cos(std::f64::consts::TAU * random.unit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_of_a_ladder() {
        let ladder: Vec<f64> = (0..=100).map(f64::from).collect();
        assert!((percentile(&ladder, 0.95) - 95.0).abs() < 1e-12);
        assert!((percentile(&[1.0, 2.0], 0.5) - 1.5).abs() < 1e-12);
        assert_eq!(percentile(&[], 0.95), 0.0, "nothing drawn");
    }

    #[test]
    fn normal_numbers_have_their_moments() {
        let mut random = Random::new(3);
        let n = 200_000;
        let (mut mean, mut square, mut fourth) = (0.0, 0.0, 0.0);
        for _ in 0..n {
            let z = normal(&mut random);
            mean += z;
            square += z * z;
            fourth += z * z * z * z;
        }
        let n = f64::from(n);
        // Standard errors: 0.0022, 0.0032, 0.022.
        assert!((mean / n).abs() < 0.01, "{}", mean / n);
        assert!((square / n - 1.0).abs() < 0.015, "{}", square / n);
        assert!((fourth / n - 3.0).abs() < 0.1, "{}", fourth / n);
    }
}
