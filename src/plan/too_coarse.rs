//! A dose that the house's scales do not weigh within its tolerance: which is the least sure, and what would weigh it.

use crate::model::{House, HouseParts, Scale};
use crate::quantity::Mass;

use super::base::BasePlan;
use super::let_down::{Brought, most, ratio_for};
use super::mixing::{Means, Mix};
use super::small_batch::{AccentMeans, LayerPlan, SmallBatch};
use super::weighing::{Weighed, minimum_weight, scale_for};

/// Steps in which scales are sold, the coarsest first, g. (Common practice, no source.)
const STEPS_G: [f64; 5] = [1.0, 0.1, 0.01, 0.001, 0.0001];

/// What a scale of such a step bears: twenty thousand steps, or 100 g where that is more. (Common practice, no
/// source.)
const STEPS_BORNE: f64 = 20_000.0;
const LEAST_BORNE: Mass = Mass::from_g(100.0);

/// A mix so many times as large is another job. (Common practice, no source.)
const MOST_TIMES: u32 = 20;

/// A dose that its scale does not weigh within the house's tolerance, with every way in which one would: below the
/// scale's minimum weight, or off by more than the tolerance as the scale's step shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct TooCoarse {
    /// The colorant's or accent's name.
    pub name: String,
    /// What is wanted and what can be weighed.
    pub weighed: Weighed,
    /// Readability of the coarsest usual scale that weighs it straight within tolerance, an accent in one cup for
    /// all its containers, but a powder container by container; none where no usual scale does.
    pub straight: Option<Mass>,
    /// Readability of the coarsest usual scale with which it would be let down; none where that is no coarser
    /// than the one that weighs it straight, and for accents, which go in as they are.
    pub let_down: Option<Mass>,
    /// How much more at once the house's own scales would weigh; none where no vessel holds that.
    pub larger: Option<Larger>,
    /// How many more doses are not weighed within the tolerance.
    pub others: usize,
}

/// How much more at once a dose could be weighed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Larger {
    /// A mix so many times as large.
    Mix(u32),
    /// So many containers of the small batch, their accent from one cup.
    Containers(u32),
}

/// The dose that may be off by the greatest share of itself, where one is not weighed within the house's
/// tolerance. Bases' layers are not meant: they stray by a step so that readings do not.
pub(super) fn too_coarse(
    house: &House,
    bases: &[BasePlan],
    batches: &[SmallBatch],
    coats: u32,
) -> Option<TooCoarse> {
    let of_bases = bases.iter().flat_map(BasePlan::kinds).flat_map(|(numbers, mix)| {
        let straight = mix.doses.iter().filter(|d| !matches!(d.means, Means::LetDown { .. }));
        let mixes = u32::try_from(numbers.len()).unwrap_or(u32::MAX).saturating_mul(coats);
        straight.map(move |dose| (dose.colorant.as_str(), dose.weighed(), In::Mix(mix, mixes)))
    });
    let of_batches = batches.iter().flat_map(|batch| {
        batch.layers.iter().filter_map(|layer| match layer {
            // What is shared out is measured by the syringe.
            LayerPlan::Base { .. } | LayerPlan::Accent { means: AccentMeans::Shared, .. } => None,
            LayerPlan::Accent { name, weighed, volume, .. } => {
                // A liquid could be weighed once for all containers, a powder is for each.
                let cups = if volume.is_some() { batch.count } else { 1 };
                let mass = weighed.exact * f64::from(cups);
                let each = volume.map(|_| mass * (1.0 / f64::from(batch.count)));
                Some((name.as_str(), weighed, In::Cup { mass, each }))
            }
        })
    });
    let mut off: Vec<_> =
        of_bases.chain(of_batches).filter(|(_, weighed, _)| !weighed.serves()).collect();
    off.sort_by(|one, other| other.1.doubt().total_cmp(&one.1.doubt()));
    let (name, weighed, place) = off.first()?;
    let dose = match place {
        In::Mix(..) => weighed.exact,
        In::Cup { mass, .. } => *mass,
    };
    let straight = usual_scale(|scale| {
        minimum_weight(scale.readability, weighed.tolerance) <= dose && dose <= scale.capacity
    });
    let (let_down, larger) = match place {
        In::Mix(mix, mixes) => {
            let brought = brought(mix, dose, *mixes);
            let lets_down = |scale: &Scale| {
                let with = with_scale(house, scale);
                with.is_some_and(|house| ratio_for(&house, &[brought]).is_some())
            };
            let let_down = usual_scale(lets_down).filter(|step| straight.is_none_or(|s| *step > s));
            (let_down, larger_mix(house, mix, brought).map(Larger::Mix))
        }
        In::Cup { each, .. } => {
            (None, each.and_then(|each| containers(house, each)).map(Larger::Containers))
        }
    };
    Some(TooCoarse {
        name: (*name).to_owned(),
        weighed: (*weighed).clone(),
        straight,
        let_down,
        larger,
        others: off.len() - 1,
    })
}

/// Where a dose goes.
enum In<'a> {
    /// Into each of so many like mixes, all coats.
    Mix(&'a Mix, u32),
    /// Into containers, out of a cup of so much; each so much where one cup serves several of them.
    Cup { mass: Mass, each: Option<Mass> },
}

/// Readability of the coarsest usual scale that serves.
fn usual_scale(serves: impl Fn(&Scale) -> bool) -> Option<Mass> {
    let usual = STEPS_G.iter().map(|step| Scale {
        name: "another scale".to_owned(),
        readability: Mass::from_g(*step),
        capacity: Mass::from_g(*step * STEPS_BORNE).greater(LEAST_BORNE),
    });
    usual.into_iter().find(serves).map(|scale| scale.readability)
}

/// The house with one scale more.
fn with_scale(house: &House, scale: &Scale) -> Option<House> {
    let mut parts: HouseParts = (**house).clone();
    parts.scales.retain(|own| own.name != scale.name);
    parts.scales.push(scale.clone());
    House::new(parts).ok()
}

/// A let-down brings half of a mix's part A at most.
fn brought(mix: &Mix, dose: Mass, mixes: u32) -> Brought {
    Brought { dose, most_a: mix.part_a.mass * 0.5, mixes: f64::from(mixes) }
}

/// How many times as large a mix has to be, so that the house's scales weigh its dose straight or let down.
fn larger_mix(house: &House, mix: &Mix, one: Brought) -> Option<u32> {
    let vessel = house.vessels.iter().map(|size| size.ml()).fold(0.0, f64::max);
    let holds = |times: f64| {
        mix.volume.ml() * times <= vessel * house.fill.value()
            && mix.mass() * times <= house.largest_mix.lesser(most(house))
    };
    let weighs = |times: f64| {
        let more = Brought { dose: one.dose * times, most_a: one.most_a * times, ..one };
        scale_for(house, more.dose, more.dose).is_some() || ratio_for(house, &[more]).is_some()
    };
    (2..=MOST_TIMES)
        .take_while(|times| holds(f64::from(*times)))
        .find(|times| weighs(f64::from(*times)))
}

/// From how many containers on the house's finest scale weighs their accent in one cup.
fn containers(house: &House, each: Mass) -> Option<u32> {
    let finest = house.scales.last()?;
    let least = minimum_weight(finest.readability, house.weighing_tolerance) / each;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 1000")]
    (least <= 1000.0).then(|| least.ceil() as u32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Fraction;

    #[test]
    fn the_coarsest_step_that_weighs_a_mass_is_named() {
        let within = Fraction::from_percent(2.0);
        let step = |g: f64| {
            usual_scale(|scale| minimum_weight(scale.readability, within) <= Mass::from_g(g))
        };
        // 2·0.41·d/0.02 = 41 d.
        for (g, one) in [(41.0, 1.0), (40.9, 0.1), (0.42, 0.01), (0.06, 0.001)] {
            assert!((step(g).unwrap().g() - one).abs() < 1e-12, "{g} g");
        }
        assert_eq!(step(1e-6), None);
    }

    /// A scale of 1 g alone: 0.41 g are weighed straight from 0.01 g on. A scale of 0.1 g weighs 4.1 g of the let-down 1 : 9, of
    /// which 41 g are made.
    #[test]
    fn every_way_is_told() {
        let scales = vec![Scale {
            name: "bench".into(),
            readability: Mass::from_g(1.0),
            capacity: Mass::from_g(15_000.0),
        }];
        let house = House::new(HouseParts { scales, ..HouseParts::default() }).unwrap();
        let one = Brought { dose: Mass::from_g(0.41), most_a: Mass::from_g(300.0), mixes: 1.0 };
        let lets_down =
            |scale: &Scale| ratio_for(&with_scale(&house, scale).unwrap(), &[one]).is_some();
        assert_eq!(usual_scale(lets_down), Some(Mass::from_g(0.1)));
        assert_eq!(containers(&house, Mass::from_g(2.0)), Some(21));
        assert_eq!(containers(&house, Mass::from_g(0.001)), None);
    }
}
