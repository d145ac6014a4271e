//! The bases: how much of each, in which order, in which mixes.

use std::collections::BTreeMap;

use crate::colour::delta_e_2000;
use crate::model::{House, Recipe};
use crate::predict::{Look, Viewing, look};
use crate::quantity::{Length, Mass};

use super::checks::ingredients;
use super::ledger::{Content, Ledger};
use super::let_down::{Brought, ratio_for};
use super::mixing::{Ingredient, Mix, Order, per_gram_of_resin};

/// One base in one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct BasePlan {
    /// Its name.
    pub name: String,
    /// Its share of the poured volume of all bases in this plan.
    pub share: f64,
    /// That share in the recipe, from which whole containers may stray.
    pub recipe_share: f64,
    /// What has to come out of its mixes.
    pub out: Mass,
    /// Its mixes, in the order of filling; one at least.
    pub mixes: Vec<Mix>,
    /// What it will look like, where its colorants' optics are known.
    pub look: Option<Look>,
    /// ΔE00 between the recipe and the mixes as rounded to the scale: the largest.
    pub rounding_delta_e: Option<f64>,
}

impl BasePlan {
    /// Its mixes by how they are weighed: the numbers of those weighed alike, from 1, and one of them.
    #[must_use]
    pub fn kinds(&self) -> Vec<(Vec<u32>, &Mix)> {
        let mut kinds: Vec<(Vec<u32>, &Mix)> = Vec::new();
        for (number, mix) in (1..).zip(&self.mixes) {
            match kinds.iter_mut().find(|(_, one)| one.weighed_as(mix)) {
                Some((numbers, _)) => numbers.push(number),
                None => kinds.push((vec![number], mix)),
            }
        }
        kinds
    }

    /// The smallest of its mixes, whose weighing errs most.
    #[must_use]
    pub fn smallest(&self) -> Option<&Mix> {
        self.mixes.iter().min_by(|one, two| one.mass().g().total_cmp(&two.mass().g()))
    }

    /// How many mixes.
    #[must_use]
    pub fn number(&self) -> u32 {
        u32::try_from(self.mixes.len()).unwrap_or(u32::MAX)
    }

    /// Where the mixes of this base go, up to the containers.
    pub(super) fn account(&self) -> (Ledger, Content) {
        let (mut ledger, mut out) = (Ledger::default(), Content::default());
        for mix in &self.mixes {
            let one = mix.account();
            let part = Ledger {
                issued: one.issued,
                cling: one.cling,
                left: one.left,
                ..Ledger::default()
            };
            ledger.add(1.0, &part);
            out += &one.out;
        }
        (ledger, out)
    }
}

/// The bases from the lightest to the darkest, each with what is taken of it for one container after
/// another; bases without optics come last, as their file lists them. `None` where no vessel or scale of the house
/// serves.
pub(super) fn bases(
    recipe: &Recipe<'_>,
    house: &House,
    takes: &BTreeMap<String, Vec<Mass>>,
    wall_film: Length,
    cling_share: f64,
    coats: u32,
    viewing: &Viewing,
) -> Option<Vec<BasePlan>> {
    let loadings: Vec<Vec<Ingredient>> =
        takes.keys().map(|name| ingredients(recipe, name)).collect();
    let order = |loadings| Order { system: recipe.system, house, loadings, wall_film, cling_share };
    let mut divisions = Vec::with_capacity(takes.len());
    let mut too_small: BTreeMap<String, Vec<(&str, Vec<Brought>)>> = BTreeMap::new();
    for ((name, takes), loadings) in takes.iter().zip(&loadings) {
        let order = order(loadings);
        let division = order.divide(takes)?;
        for (colorant, brought) in order.too_small(&division, coats) {
            too_small.entry(colorant).or_default().push((name, brought));
        }
        divisions.push(division);
    }
    let volumes_ml: Vec<f64> = takes
        .values()
        .zip(&loadings)
        .map(|(takes, loadings)| {
            let (ml, g) = per_gram_of_resin(recipe.system, loadings);
            takes.iter().copied().sum::<Mass>().g() * ml / g
        })
        .collect();
    let all_ml: f64 = volumes_ml.iter().sum();
    let ratios = let_down_ratios(house, &too_small);
    let mut all = Vec::with_capacity(takes.len());
    for ((((name, takes), loadings), division), volume_ml) in
        takes.iter().zip(&loadings).zip(&divisions).zip(&volumes_ml)
    {
        let ratio = |colorant: &str| ratios.get(&(name.as_str(), colorant)).copied();
        let mixes = order(loadings).weigh(division, ratio)?;
        let look_of = |weighed: Option<&[(String, f64)]>| {
            look(recipe, &standing_loadings(recipe, loadings, weighed), viewing).ok()
        };
        let seen = look_of(None);
        let recipe_share = recipe.colourway.shares()[name];
        let poured_as_mixed = recipe.colourway.pours.is_empty();
        let mut base = BasePlan {
            name: name.clone(),
            share: if poured_as_mixed { recipe_share } else { volume_ml / all_ml },
            recipe_share,
            out: takes.iter().copied().sum(),
            mixes,
            look: seen,
            rounding_delta_e: None,
        };
        let off = base.kinds().into_iter().filter_map(|(_, mix)| {
            let rounded = look_of(Some(&mix.loadings_weighed()))?;
            Some(delta_e_2000(base.look.as_ref()?.lab, rounded.lab))
        });
        base.rounding_delta_e = off.max_by(f64::total_cmp);
        all.push(base);
    }
    let lightness =
        |base: &BasePlan| base.look.as_ref().map_or(f64::NEG_INFINITY, |look| look.lab.l);
    let listed = |base: &BasePlan| {
        let place = recipe.colourway.base_order.iter().position(|name| *name == base.name);
        place.unwrap_or(usize::MAX)
    };
    all.sort_by(|one, other| {
        let lighter = lightness(other).total_cmp(&lightness(one));
        lighter.then_with(|| listed(one).cmp(&listed(other)))
    });
    Some(all)
}

/// The ratio at which a base takes a colorant that is let down: one for all bases if one serves them all,
/// so that one let-down is made; else each base's own.
fn let_down_ratios<'a>(
    house: &House,
    too_small: &'a BTreeMap<String, Vec<(&'a str, Vec<Brought>)>>,
) -> BTreeMap<(&'a str, &'a str), f64> {
    let mut ratios = BTreeMap::new();
    for (colorant, doses) in too_small {
        let all: Vec<Brought> = doses.iter().flat_map(|(_, each)| each).copied().collect();
        let common = ratio_for(house, &all);
        for (base, brought) in doses {
            if let Some(ratio) = common.or_else(|| ratio_for(house, brought)) {
                ratios.insert((*base, colorant.as_str()), ratio);
            }
        }
    }
    ratios
}

/// Loadings of the standing lots that tint as the weighed ones do: weighed loading times strength.
fn standing_loadings<'a>(
    recipe: &Recipe<'a>,
    loadings: &[Ingredient],
    weighed: Option<&[(String, f64)]>,
) -> Vec<(&'a str, f64)> {
    loadings
        .iter()
        .enumerate()
        .filter_map(|(at, each)| {
            let (name, colorant) = recipe.colorants.get_key_value(each.colorant.as_str())?;
            let loading = weighed.map_or(each.loading, |weighed| weighed[at].1);
            Some((*name, loading * colorant.lot_strength()))
        })
        .collect()
}
