//! The bases: how much of each, in which order, in how many mixes.

use std::collections::BTreeMap;

use crate::colour::delta_e_2000;
use crate::model::{House, Recipe};
use crate::predict::{Look, Viewing, look};
use crate::quantity::{Length, Mass};

use super::checks::ingredients;
use super::ledger::{Content, Ledger};
use super::let_down::{Brought, ratio_for};
use super::mixing::{Ingredient, Mix, Order};

/// One base in one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct BasePlan {
    /// Its name.
    pub name: String,
    /// Its share of the poured volume of all bases.
    pub share: f64,
    /// What has to come out of its mixes.
    pub out: Mass,
    /// How many equal mixes.
    pub mixes: u32,
    /// Each of them.
    pub mix: Mix,
    /// What it will look like, where its colorants' optics are known.
    pub look: Option<Look>,
    /// ΔE00 between the recipe and the mix as rounded to the scale.
    pub rounding_delta_e: Option<f64>,
}

impl BasePlan {
    /// Where the mixes of this base go, up to the containers.
    pub(super) fn account(&self) -> (Ledger, Content) {
        let one = self.mix.account();
        let mixes = f64::from(self.mixes);
        let mut ledger = Ledger::default();
        let part =
            Ledger { issued: one.issued, cling: one.cling, left: one.left, ..Ledger::default() };
        ledger.add(mixes, &part);
        (ledger, one.out.times(mixes))
    }
}

/// The bases from the lightest to the darkest; bases without optics come
/// last, by name. `None` where no vessel or scale of the house serves.
pub(super) fn bases(
    recipe: &Recipe<'_>,
    house: &House,
    out: &BTreeMap<String, Mass>,
    wall_film: Length,
    cling_share: f64,
    coats: u32,
    viewing: &Viewing,
) -> Option<Vec<BasePlan>> {
    let loadings: Vec<Vec<Ingredient>> = out.keys().map(|name| ingredients(recipe, name)).collect();
    let order = |loadings| Order { system: recipe.system, house, loadings, wall_film, cling_share };
    let mut divisions = Vec::with_capacity(out.len());
    let mut too_small: BTreeMap<String, Vec<(&str, Brought)>> = BTreeMap::new();
    for ((name, mass), loadings) in out.iter().zip(&loadings) {
        let order = order(loadings);
        let division = order.divide(*mass)?;
        for (colorant, brought) in order.too_small(&division, coats) {
            too_small.entry(colorant).or_default().push((name, brought));
        }
        divisions.push(division);
    }
    let ratios = let_down_ratios(house, &too_small);
    let mut all = Vec::with_capacity(out.len());
    for (((name, mass), loadings), division) in out.iter().zip(&loadings).zip(&divisions) {
        let ratio = |colorant: &str| ratios.get(&(name.as_str(), colorant)).copied();
        let mix = order(loadings).weigh(division, *mass, ratio)?;
        let mixes = division.number;
        let look_of = |weighed: Option<&[(String, f64)]>| {
            look(recipe, &standing_loadings(recipe, loadings, weighed), viewing).ok()
        };
        let seen = look_of(None);
        let rounded = look_of(Some(&mix.loadings_weighed()));
        let rounding_delta_e =
            seen.as_ref().zip(rounded.as_ref()).map(|(one, two)| delta_e_2000(one.lab, two.lab));
        all.push(BasePlan {
            name: name.clone(),
            share: recipe.colourway.shares()[name],
            out: *mass,
            mixes,
            mix,
            look: seen,
            rounding_delta_e,
        });
    }
    let lightness =
        |base: &BasePlan| base.look.as_ref().map_or(f64::NEG_INFINITY, |look| look.lab.l);
    all.sort_by(|one, other| {
        lightness(other).total_cmp(&lightness(one)).then_with(|| one.name.cmp(&other.name))
    });
    Some(all)
}

/// The ratio at which a base takes a colorant that is let down: one for all bases if one serves them all,
/// so that one let-down is made; else each base's own.
fn let_down_ratios<'a>(
    house: &House,
    too_small: &'a BTreeMap<String, Vec<(&'a str, Brought)>>,
) -> BTreeMap<(&'a str, &'a str), f64> {
    let mut ratios = BTreeMap::new();
    for (colorant, doses) in too_small {
        let all: Vec<Brought> = doses.iter().map(|(_, brought)| *brought).collect();
        let common = ratio_for(house, &all);
        for (base, brought) in doses {
            if let Some(ratio) = common.or_else(|| ratio_for(house, &[*brought])) {
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
