//! One mix of a base: how large, in which vessel, and every weight in it.
//!
//! Parts A and B (with any let-down) are mixed in a first vessel, moved to a clean second one and
//! mixed again, and tinted there. Walls of both keep some, so the weights are reckoned backwards
//! from what has to come out.

use crate::model::{House, Scale, System};
use crate::optics::{Portion, composition};
use crate::quantity::{Density, Fraction, Length, Mass, Volume};

use super::demand::made_for;
use super::ledger::{Content, Material};
use super::let_down::{Brought, LetDown, ratio_for};
use super::takes::whole_takes;
use super::vessel::Vessel;
use super::weighing::{
    Weighed, balanced, finest_for, keeps_ratio, scale_for, scale_for_parts, weighs,
};

/// How a colorant gets into a mix.
#[derive(Debug, Clone, PartialEq)]
pub enum Means {
    /// Straight into the second vessel, on the scale that carries it.
    OnTop(Weighed),
    /// In a cup on a finer scale, then into the second vessel.
    InCup(Weighed),
    /// As a let-down in part A, into the first vessel.
    LetDown {
        /// Ratio and what part A is lessened by.
        down: LetDown,
        /// The let-down's weight.
        weighed: Weighed,
    },
}

/// A colorant's dose in one mix.
#[derive(Debug, Clone, PartialEq)]
pub struct DoseWeighed {
    /// Its name.
    pub colorant: String,
    /// The lot that it is weighed for, where its file states one.
    pub lot: Option<String>,
    /// The recipe's loading, corrected for the lot's strength.
    pub loading: Fraction,
    /// As reckoned.
    pub exact: Mass,
    /// How it is weighed.
    pub means: Means,
}

impl DoseWeighed {
    /// The colorant's own mass as weighed.
    #[must_use]
    pub fn colorant_mass(&self) -> Mass {
        match &self.means {
            Means::OnTop(weighed) | Means::InCup(weighed) => weighed.mass,
            Means::LetDown { down, weighed } => weighed.mass * down.ratio.value(),
        }
    }

    /// The weight on the scale.
    #[must_use]
    pub fn weighed(&self) -> &Weighed {
        match &self.means {
            Means::OnTop(weighed) | Means::InCup(weighed) | Means::LetDown { weighed, .. } => {
                weighed
            }
        }
    }
}

/// One mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// Size of both vessels.
    pub vessel: Volume,
    /// Part A, let-downs apart.
    pub part_a: Weighed,
    /// Part B, with the vessel and its part A tared: that stood off the scale until its clock began, where other
    /// vessels were tared meanwhile.
    pub part_b: Weighed,
    /// Colorants in the recipe's order.
    pub doses: Vec<DoseWeighed>,
    /// The share of the first vessel's content that stays there.
    pub first_kept: f64,
    /// The share of the second vessel's content that stays there.
    pub second_kept: f64,
    /// What the second vessel holds, tinted.
    pub volume: Volume,
    /// What is taken out to be poured.
    pub out: Mass,
}

impl Mix {
    /// Mixed resin A+B as weighed, part A of let-downs included.
    #[must_use]
    pub fn resin(&self) -> Mass {
        self.part_a.mass + self.part_b.mass + self.let_down_a()
    }

    /// Mixed resin A+B that comes over into the second vessel: what the loadings of colorants that are weighed there
    /// are of.
    #[must_use]
    pub fn resin_over(&self) -> Mass {
        self.account().tinted.resin()
    }

    fn let_down_a(&self) -> Mass {
        self.let_downs().map(|dose| dose.weighed().mass - dose.colorant_mass()).sum()
    }

    fn let_downs(&self) -> impl Iterator<Item = &DoseWeighed> {
        self.doses.iter().filter(|dose| matches!(dose.means, Means::LetDown { .. }))
    }

    /// Colorants that are weighed into the second vessel.
    pub fn tints(&self) -> impl Iterator<Item = &DoseWeighed> {
        self.doses.iter().filter(|dose| !matches!(dose.means, Means::LetDown { .. }))
    }

    /// Whether both are weighed alike, to the gram and on the same scales; what comes out of them may
    /// still differ a little.
    #[must_use]
    pub fn weighed_as(&self, other: &Self) -> bool {
        (&self.part_a, &self.part_b, &self.doses) == (&other.part_a, &other.part_b, &other.doses)
    }

    /// The whole mix's mass.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.resin() + self.doses.iter().map(DoseWeighed::colorant_mass).sum()
    }

    /// How far part B : part A as weighed is from the system's, as a fraction.
    #[must_use]
    pub fn ratio_error(&self, phr: f64) -> f64 {
        let a = (self.part_a.mass + self.let_down_a()).g();
        if a > 0.0 { (self.part_b.mass.g() / a * 100.0 / phr - 1.0).abs() } else { 1.0 }
    }

    /// What is weighed into the first vessel.
    pub(super) fn first_content(&self) -> Content {
        let mut content = Content::default();
        content.put(Material::PartA, self.part_a.mass + self.let_down_a());
        content.put(Material::PartB, self.part_b.mass);
        for dose in self.let_downs() {
            content.put(Material::Colorant(dose.colorant.clone()), dose.colorant_mass());
        }
        content
    }

    /// The account of one such mix: what clings, what comes out for the containers, what is left.
    pub(super) fn account(&self) -> MixAccount {
        let mut vessel = self.first_content();
        let mut cling = vessel.take(vessel.total() * self.first_kept);
        for dose in self.tints() {
            vessel.put(Material::Colorant(dose.colorant.clone()), dose.colorant_mass());
        }
        let tinted = vessel.clone();
        cling += &vessel.take(vessel.total() * self.second_kept);
        let out = vessel.take(self.out);
        let mut issued = self.first_content();
        for dose in self.tints() {
            issued.put(Material::Colorant(dose.colorant.clone()), dose.colorant_mass());
        }
        MixAccount { issued, tinted, cling, out, left: vessel }
    }

    /// Loadings in the tinted mix as weighed, by colorant.
    #[must_use]
    pub fn loadings_weighed(&self) -> Vec<(String, f64)> {
        let tinted = self.account().tinted;
        let resin = tinted.resin().g();
        self.doses
            .iter()
            .map(|dose| {
                let mass = tinted.of(&Material::Colorant(dose.colorant.clone()));
                (dose.colorant.clone(), mass.g() / resin)
            })
            .collect()
    }
}

/// Where one mix goes.
pub(super) struct MixAccount {
    pub(super) issued: Content,
    /// The second vessel's content before anything leaves it.
    pub(super) tinted: Content,
    pub(super) cling: Content,
    pub(super) out: Content,
    pub(super) left: Content,
}

/// What the mixes of one base are made from and to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Order<'a> {
    pub(super) system: &'a System,
    pub(super) house: &'a House,
    /// Colorants with density and loading as weighed (lot strength counted).
    pub(super) loadings: &'a [Ingredient],
    /// The film on vessel walls.
    pub(super) wall_film: Length,
    /// The share of a mix that clings, where that is stated instead.
    pub(super) cling_share: f64,
}

/// A colorant and how much of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ingredient {
    pub(super) colorant: String,
    /// Its lot, where its file states one.
    pub(super) lot: Option<String>,
    pub(super) density: Density,
    pub(super) loading: f64,
}

/// Millilitres of tinted mix per gram of mixed resin, and its grams.
pub(super) fn per_gram_of_resin(system: &System, loadings: &[Ingredient]) -> (f64, f64) {
    let portions: Vec<Portion> = loadings
        .iter()
        .map(|each| Portion { loading: each.loading, density_g_per_ml: each.density.g_per_ml() })
        .collect();
    let film = composition(system.mixed_density().g_per_ml(), &portions);
    let mass = 1.0 + loadings.iter().map(|each| each.loading).sum::<f64>();
    (film.film_ml_per_g_resin, mass)
}

impl Order<'_> {
    /// The most that a scale of the house bears.
    fn bears(&self) -> Mass {
        self.house.scales.iter().map(|s| s.capacity).fold(Mass::from_g(0.0), Mass::greater)
    }

    /// The mixes from which all of `takes` is taken, one after another: the fewest mixes, then those of
    /// which nothing is cut in two, then the smallest vessel. `None` where no vessel of the house serves.
    pub(super) fn divide(&self, takes: &[Mass]) -> Option<Division> {
        let mut best: Option<((usize, bool), Division)> = None;
        for size in &self.house.vessels {
            let Some((division, cut)) = self.divide_in(Vessel::of(*size), takes) else { continue };
            let rank = (division.mixes.len(), cut);
            if best.as_ref().is_none_or(|(least, _)| rank < *least) {
                best = Some((rank, division));
            }
        }
        best.map(|(_, division)| division)
    }

    /// The mixes in such vessels, and whether a take is cut in two between mixes. Each mix holds whole
    /// takes where that needs few mixes more than the fewest and can be weighed as well; else mixes are
    /// equal.
    fn divide_in(&self, vessel: Vessel, takes: &[Mass]) -> Option<(Division, bool)> {
        let out: Mass = takes.iter().copied().sum();
        let fewest = self.fewest_in(vessel, out)?;
        let most = (fewest + fewest.div_ceil(A_MIX_MORE_IN)) as usize;
        let fits = |mass: Mass| self.sizes(vessel, mass).is_some_and(|s| self.fits(vessel, &s));
        let whole = whole_takes(takes, most, fits).and_then(|outs| self.levelled(vessel, outs));
        let equal = vec![out * (1.0 / f64::from(fewest)); fewest as usize];
        let equal = self.levelled(vessel, equal)?;
        match whole {
            Some(whole) if self.weighs_well(&whole) || !self.weighs_well(&equal) => {
                Some((whole, false))
            }
            _ => Some((equal, true)),
        }
    }

    /// Whether the house's scales keep A : B in all these mixes, and weigh every dose straight or let down.
    fn weighs_well(&self, division: &Division) -> bool {
        let keeps = |(_, sizes): &(Mass, Sizes)| {
            let a = self.system.mass_fraction_a();
            let lighter = sizes.resin * a.min(1.0 - a);
            self.bench(sizes).is_some_and(|scale| keeps_ratio(self.house, scale, lighter))
        };
        division.kinds.iter().all(keeps)
            && self
                .too_small(division, 1)
                .iter()
                .all(|(_, brought)| ratio_for(self.house, brought).is_some())
    }

    /// Mixes that are nearly alike are weighed alike, as the largest of them; what that makes too much is
    /// left over.
    fn levelled(&self, vessel: Vessel, outs: Vec<Mass>) -> Option<Division> {
        let mut order: Vec<usize> = (0..outs.len()).collect();
        order.sort_by(|one, other| outs[*other].g().total_cmp(&outs[*one].g()));
        let mut kinds: Vec<(Mass, Sizes)> = Vec::new();
        let mut kind_of = vec![0; outs.len()];
        for at in order {
            let out = outs[at];
            if !kinds.last().is_some_and(|(largest, _)| out >= *largest * (1.0 - NEARLY_ALIKE)) {
                kinds.push((out, self.sizes(vessel, out)?));
            }
            kind_of[at] = kinds.len() - 1;
        }
        let mixes = outs.into_iter().zip(kind_of).collect();
        Some(Division { vessel, kinds, mixes })
    }

    fn fits(&self, vessel: Vessel, sizes: &Sizes) -> bool {
        let full = vessel.size * self.house.fill.value();
        let in_vessel = sizes.second <= full && sizes.first <= full;
        in_vessel && sizes.mass <= self.house.largest_mix && sizes.load <= self.bears()
    }

    /// The fewest equal mixes in such vessels.
    fn fewest_in(&self, vessel: Vessel, out: Mass) -> Option<u32> {
        let fits = |sizes: &Sizes| self.fits(vessel, sizes);
        let sizes_of = |number: u32| self.sizes(vessel, out * (1.0 / f64::from(number)));
        const MOST: u32 = 100_000;
        if !fits(&sizes_of(MOST)?) {
            return None;
        }
        // What a mix holds falls as mixes are more, so the least number is found by halving.
        let (mut too_few, mut enough) = (0, MOST);
        while enough - too_few > 1 {
            let middle = too_few + (enough - too_few) / 2;
            if fits(&sizes_of(middle)?) {
                enough = middle;
            } else {
                too_few = middle;
            }
        }
        Some(enough)
    }

    fn sizes(&self, vessel: Vessel, out: Mass) -> Option<Sizes> {
        let (ml, g) = per_gram_of_resin(self.system, self.loadings);
        let out_volume = made_for(Volume::from_ml(out.g() / g * ml), self.cling_share);
        let second = vessel.content_for(self.wall_film, out_volume)?;
        let density = self.system.mixed_density();
        let resin_second = Mass::from_g(second.ml() / ml);
        let first = vessel.content_for(self.wall_film, resin_second / density)?;
        let resin = density * first;
        let mass = resin + resin_second * (g - 1.0);
        Some(Sizes { first, second, resin, resin_second, mass, load: mass + vessel.empty() })
    }

    /// The scale that carries a mix.
    fn bench(&self, sizes: &Sizes) -> Option<&Scale> {
        let a = self.system.mass_fraction_a();
        let lighter = sizes.resin * a.min(1.0 - a);
        scale_for_parts(self.house, lighter, sizes.load)
    }

    /// The doses that no scale weighs well as they are in one of the mixes or more, by colorant, with what
    /// each kind of mix takes.
    pub(super) fn too_small(&self, division: &Division, coats: u32) -> Vec<(String, Vec<Brought>)> {
        let is_small = |each: &&Ingredient| {
            division.kinds.iter().any(|(_, sizes)| {
                let straight =
                    |bench| self.straight(sizes.resin_second * each.loading, bench).is_some();
                !self.bench(sizes).is_none_or(straight)
            })
        };
        let small: Vec<&Ingredient> = self.loadings.iter().filter(is_small).collect();
        // Let-downs bring half of part A at most, whatever their number.
        #[expect(clippy::cast_precision_loss, reason = "a few colorants")]
        let share = 0.5 / small.len().max(1) as f64;
        let brought = |each: &Ingredient| {
            let of_kind = |(kind, (_, sizes)): (usize, &(Mass, Sizes))| {
                let such = division.mixes.iter().filter(|(_, own)| *own == kind).count();
                #[expect(clippy::cast_precision_loss, reason = "at most 10⁵")]
                let mixes = such as f64 * f64::from(coats);
                let most_a = sizes.resin * (self.system.mass_fraction_a() * share);
                Brought { dose: sizes.resin * each.loading, most_a, mixes }
            };
            division.kinds.iter().enumerate().map(of_kind).collect()
        };
        small.into_iter().map(|each| (each.colorant.clone(), brought(each))).collect()
    }

    /// The mixes as weighed; `ratio` gives the let-down's of a colorant that needs one. `None` where no
    /// scale of the house serves.
    pub(super) fn weigh(
        &self,
        division: &Division,
        ratio: impl Fn(&str) -> Option<f64>,
    ) -> Option<Vec<Mix>> {
        let kinds: Option<Vec<Mix>> = division
            .kinds
            .iter()
            .map(|(out, sizes)| self.weigh_one(division.vessel, *sizes, *out, &ratio))
            .collect();
        let kinds = kinds?;
        Some(division.mixes.iter().map(|&(out, kind)| Mix { out, ..kinds[kind].clone() }).collect())
    }

    fn weigh_one(
        &self,
        vessel: Vessel,
        sizes: Sizes,
        out: Mass,
        ratio: &impl Fn(&str) -> Option<f64>,
    ) -> Option<Mix> {
        let house = self.house;
        let a_fraction = self.system.mass_fraction_a();
        let part_b = sizes.resin * (1.0 - a_fraction);
        let bench = self.bench(&sizes)?;
        let mut doses = Vec::with_capacity(self.loadings.len());
        let mut on_top = Mass::from_g(0.0);
        let mut less_a = Mass::from_g(0.0);
        for each in self.loadings {
            let means = self.means(each, &sizes, bench, ratio(&each.colorant))?;
            match &means {
                Means::OnTop(weighed) => on_top += weighed.mass,
                Means::LetDown { down, weighed } => {
                    less_a += weighed.mass * (1.0 - down.ratio.value());
                }
                Means::InCup(_) => {}
            }
            let (loading, colorant) = (Fraction::new(each.loading), each.colorant.clone());
            let exact = match &means {
                Means::LetDown { .. } => sizes.resin * each.loading,
                _ => sizes.resin_second * each.loading,
            };
            let lot = each.lot.clone();
            let mut dose = DoseWeighed { colorant, lot, loading, exact, means };
            if let Means::OnTop(weighed) = &mut dose.means {
                weighed.reading = on_top;
            }
            doses.push(dose);
        }
        let exact = [sizes.resin * a_fraction - less_a, part_b];
        let masses = balanced(&exact, bench.readability);
        let resin = |at: usize| Weighed::on(house, bench, exact[at], masses[at]);
        let cling = |content: Volume| vessel.cling(self.wall_film, content).ml() / content.ml();
        Some(Mix {
            vessel: vessel.size,
            part_a: resin(0),
            part_b: resin(1),
            doses,
            first_kept: cling(sizes.first),
            second_kept: self.cling_share + (1.0 - self.cling_share) * cling(sizes.second),
            volume: sizes.second,
            out,
        })
    }

    /// A dose on the bench scale if that weighs it within tolerance, else in a cup on a finer one; `None`
    /// where no scale weighs it so.
    fn straight(&self, dose: Mass, bench: &Scale) -> Option<Means> {
        let house = self.house;
        if weighs(house, bench, dose) {
            return Some(Means::OnTop(Weighed::dose(house, bench, dose)));
        }
        scale_for(house, dose, dose).map(|scale| Means::InCup(Weighed::dose(house, scale, dose)))
    }

    /// How a dose gets into the mix: let down in part A where a ratio is given, else straight if a scale
    /// weighs it well, else in a cup on the finest for what it is worth.
    fn means(
        &self,
        each: &Ingredient,
        sizes: &Sizes,
        bench: &Scale,
        ratio: Option<f64>,
    ) -> Option<Means> {
        let house = self.house;
        let dose = sizes.resin_second * each.loading;
        if let Some(ratio) = ratio {
            let all_of_it = Brought {
                dose: sizes.resin * each.loading,
                most_a: sizes.resin * self.system.mass_fraction_a(),
                mixes: 1.0,
            };
            let (down, scale) = all_of_it.at(house, ratio)?;
            let weighed = Weighed::dose(house, scale, down.weigh);
            return Some(Means::LetDown { down, weighed });
        }
        if let Some(straight) = self.straight(dose, bench) {
            return Some(straight);
        }
        Some(Means::InCup(Weighed::dose(house, finest_for(house, dose)?, dose)))
    }
}

/// What a base is divided into.
#[derive(Debug, Clone)]
pub(super) struct Division {
    vessel: Vessel,
    /// Mixes that are weighed alike: what can come out of each, and its sizes.
    kinds: Vec<(Mass, Sizes)>,
    /// Each mix in the order of filling: what comes out of it, and its kind.
    mixes: Vec<(Mass, usize)>,
}

/// For whole containers from one mix, one mix more is made in so many, and in the last few.
const A_MIX_MORE_IN: u32 = 8;

/// Mixes that differ by no more than this are weighed alike: the crew has fewer figures to mistake, and
/// it costs less resin than rounding up to packages does.
const NEARLY_ALIKE: f64 = 0.02;

/// Volumes and masses of one mix before rounding.
#[derive(Debug, Clone, Copy)]
struct Sizes {
    /// In the first vessel.
    first: Volume,
    /// In the second vessel, tinted.
    second: Volume,
    /// Resin in the first vessel.
    resin: Mass,
    /// Resin that reaches the second vessel.
    resin_second: Mass,
    /// All that is weighed for it, as [`Mix::mass`].
    mass: Mass,
    /// The same with the vessel: what its scale bears.
    load: Mass,
}
