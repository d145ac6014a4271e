//! What a job's plan says of the mix that is corrected: which of its mixes it is, and what is left of what it buys.

use super::Held;
use super::slipped::{WITHIN, undone};
use super::suspect::{NEAR, is_near_within};
use crate::model::System;
use crate::plan::{BasePlan, Content, DoseWeighed, Line, Material, Mix, Plan};
use crate::quantity::Mass;
use crate::suggest::listed;

/// The mix of a job's plan that a mix is taken for.
#[derive(Debug, Clone)]
pub struct Planned<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Which mix: `fog`, `fog 1`, `fog 2 or 3` where these are weighed alike.
    pub name: String,
    /// The numbers of the mixes that are weighed alike, from 1; one where a person names it.
    pub numbers: Vec<u32>,
    /// It.
    pub mix: &'a Mix,
}

/// How much of what is needed is not left of what a plan buys.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supply {
    /// What is short, and by how much; in the order of a mix.
    pub short: Vec<(Material, Mass)>,
    /// What is not known, for its file states no packages.
    pub unknown: Vec<Material>,
}

/// Less than this is not weighed, g.
const NOTHING_G: f64 = 0.005;

impl<'a> Planned<'a> {
    /// The mix of the plan's base that is the nearest to all that is held; `None` where the plan has no such base.
    #[must_use]
    pub fn nearest(plan: &'a Plan, base: &str, held: &Held) -> Option<Self> {
        let base = plan.bases.iter().find(|each| each.name == base)?;
        let kinds = base.kinds().into_iter();
        // Of what is like none of them, as half a mix, the one nearest in mass.
        let far = |mix: &Mix| (apart(mix, held), (mix.mass() - held.mass()).abs().g());
        let (numbers, mix) = kinds.min_by(|(_, one), (_, other)| {
            let [(one, mass), (other, other_mass)] = [far(one), far(other)];
            one.total_cmp(&other).then(mass.total_cmp(&other_mass))
        })?;
        Some(Self { plan, name: name_of(base, &numbers), numbers, mix })
    }

    /// The mix of the plan's base with this number, from 1; `None` where there is no such.
    #[must_use]
    pub fn numbered(plan: &'a Plan, base: &str, number: u32) -> Option<Self> {
        let base = plan.bases.iter().find(|each| each.name == base)?;
        let at = usize::try_from(number).ok()?.checked_sub(1)?;
        let mix = base.mixes.get(at)?;
        Some(Self { plan, name: name_of(base, &[number]), numbers: vec![number], mix })
    }

    /// All mixes of the plan's base, those weighed alike as one.
    #[must_use]
    pub fn all(plan: &'a Plan, base: &str) -> Vec<Self> {
        let own = plan.bases.iter().filter(|each| each.name == base);
        let kinds = own.flat_map(|base| base.kinds().into_iter().map(move |kind| (base, kind)));
        kinds
            .map(|(base, (numbers, mix))| Self {
                plan,
                name: name_of(base, &numbers),
                numbers,
                mix,
            })
            .collect()
    }

    /// Parts A and B that it has, let-downs included.
    #[must_use]
    pub fn parts(&self) -> [Mass; 2] {
        parts(self.mix)
    }

    /// Parts A and B as its mixing sheet has them, without the part A of let-downs.
    #[must_use]
    pub const fn on_sheet(&self) -> [Mass; 2] {
        [self.mix.part_a.mass, self.mix.part_b.mass]
    }

    /// Its base; `None` where it is of another plan.
    #[must_use]
    pub fn base(&self) -> Option<&'a BasePlan> {
        let is_own = |base: &&BasePlan| base.mixes.iter().any(|mix| std::ptr::eq(mix, self.mix));
        self.plan.bases.iter().find(is_own)
    }

    /// Whether the plan has further mixes of its base.
    pub(super) fn has_others(&self) -> bool {
        self.base().is_some_and(|base| base.mixes.len() > 1)
    }

    /// Its number, or the first of those weighed alike.
    #[must_use]
    pub fn number(&self) -> Option<u32> {
        self.numbers.first().copied()
    }

    /// Whether parts A and B that are held are those that it has.
    pub(super) fn is_held(&self, held: &Held) -> bool {
        miss(parts(self.mix), [held.part_a.g(), held.part_b.g()]) <= NEAR
    }

    /// Whether what is held may be it: one of its parts is as it has it, or a slip of them explains what is stated.
    pub(super) fn may_be_held(&self, held: &Held) -> bool {
        let own = [held.part_a.g(), held.part_b.g()];
        let one = parts(self.mix)
            .iter()
            .zip(own)
            .any(|(planned, own)| is_near_within(own, planned.g(), NEAR));
        one || slipped(parts(self.mix), own).is_some()
    }

    /// What the scales leave open of its mass: a step of each that the plan weighs it on.
    #[must_use]
    pub fn within(&self) -> Mass {
        let parts = self.mix.part_a.readability + self.mix.part_b.readability;
        parts + self.mix.doses.iter().map(|dose| dose.weighed().readability).sum::<Mass>()
    }

    /// What the plan buys of a colorant; `None` where it does not buy it, or its file states no packages.
    pub(super) fn bought(&self, colorant: &str) -> Option<Mass> {
        let line = self.plan.cost.lines.iter().skip(1).find(|line| line.name == colorant)?;
        bought(line)
    }

    /// What of `needed` is not left of what the plan buys, once this mix is `held` and all others are weighed as
    /// planned.
    #[must_use]
    pub fn supply(&self, system: &System, held: &Held, needed: &Content) -> Supply {
        let mut supply = Supply::default();
        for (material, mass) in needed.iter().filter(|(_, mass)| mass.g() > NOTHING_G) {
            match self.left(system, held, material) {
                // Of what its scale does not show nothing is short.
                Some(left) if mass - left >= self.step(material) => {
                    supply.short.push((material.clone(), mass - left.greater(Mass::ZERO)));
                }
                Some(_) => {}
                None => supply.unknown.push(material.clone()),
            }
        }
        supply
    }

    /// The step of the scale on which the plan weighs a material into this mix.
    fn step(&self, material: &Material) -> Mass {
        let dosed = |name: &String| {
            let dose = self.mix.doses.iter().find(|dose| dose.colorant == *name)?;
            let weighed = dose.weighed();
            Some(weighed.readability * (dose.colorant_mass() / weighed.mass))
        };
        match material {
            Material::PartA => self.mix.part_a.readability,
            Material::PartB => self.mix.part_b.readability,
            Material::Colorant(name) => dosed(name).unwrap_or(Mass::from_g(NOTHING_G)),
        }
    }

    /// What is left of one material; below nought where more has been weighed than is bought. `None` where its file
    /// states no packages.
    fn left(&self, system: &System, held: &Held, material: &Material) -> Option<Mass> {
        let lines = &self.plan.cost.lines;
        let issued = self.plan.ledger.issued.of(material);
        let [a, b] = parts(self.mix);
        let share = system.mass_fraction_a();
        // A kit holds both parts in the mix ratio.
        let kit = || bought(self.plan.cost.resin()?);
        Some(match material {
            Material::PartA => kit()? * share - issued + a - held.part_a,
            Material::PartB => kit()? * (1.0 - share) - issued + b - held.part_b,
            Material::Colorant(name) => {
                let line = lines.iter().skip(1).find(|line| line.name == *name);
                // What the plan has no use for it does not buy.
                let bought = line.map_or(Some(Mass::ZERO), bought)?;
                let planned = self.mix.doses.iter().filter(|dose| dose.colorant == *name);
                let planned: Mass = planned.map(DoseWeighed::colorant_mass).sum();
                let held = held.colorants.get(name).copied().unwrap_or(Mass::ZERO);
                bought - issued + planned - held
            }
        })
    }
}

/// What is bought; `None` where the file states no packages.
fn bought(line: &Line) -> Option<Mass> {
    (!line.packages.is_empty()).then_some(line.demand + line.left)
}

/// Which mixes of a base: `fog`, `fog 1`, `fog 2 or 3`.
fn name_of(base: &BasePlan, numbers: &[u32]) -> String {
    let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
    let numbers: Vec<&str> = numbers.iter().map(String::as_str).collect();
    match base.number() {
        1 => base.name.clone(),
        _ => format!("{} {}", base.name, listed(&numbers, "or")),
    }
}

/// An amount that misses what a mix has of it by so great a share, or by more, is off by so much and no more: one slip does not
/// outweigh all else that fits. (Common practice, no source.)
const OFF_AT_MOST: f64 = 0.25;
/// A slip of parts A and B explains what is stated less well than one part that is off. (Common practice, no source.)
const SLIP_COUNTS: f64 = 1.2 * OFF_AT_MOST;

/// How far all that is held is from a mix: parts A and B as its sheet has them, or what of them came over into the second
/// vessel, or as they are with a slip of theirs undone, whichever is the nearest; and each colorant that is held.
fn apart(mix: &Mix, held: &Held) -> f64 {
    let off = |is: f64, planned: f64| ((is / planned - 1.0).abs()).min(OFF_AT_MOST);
    let own = [held.part_a.g(), held.part_b.g()];
    let sheet = parts(mix);
    let as_stated = |share: f64| -> f64 {
        sheet.iter().zip(own).map(|(planned, is)| off(is, planned.g() * share)).sum()
    };
    let slipped = slipped(sheet, own).map(|missed| SLIP_COUNTS + missed);
    let of_parts = [as_stated(1.0), as_stated(1.0 - mix.first_kept)].into_iter().chain(slipped);
    let tinted = held.colorants.iter().filter(|(_, mass)| mass.g() > 0.0);
    let of_colorants = tinted.map(|(name, mass)| {
        let planned = mix.doses.iter().filter(|dose| dose.colorant == *name);
        let planned: Mass = planned.map(DoseWeighed::colorant_mass).sum();
        if planned.g() > 0.0 { off(mass.g(), planned.g()) } else { OFF_AT_MOST }
    });
    of_parts.fold(f64::INFINITY, f64::min) + of_colorants.sum::<f64>()
}

/// By how much parts A and B, g, miss those of a mix, as a fraction: the worse of the two.
fn miss(mix: [Mass; 2], own: [f64; 2]) -> f64 {
    let pairs = mix.iter().zip(own);
    pairs.map(|(mix, own)| (own / mix.g() - 1.0).abs()).fold(0.0, f64::max)
}

/// The same with a slip of the parts undone, the best fitting: swapped, one twice what it is, part B as read with part A on
/// the scale, a slipped point or unit. `None` where none fits.
fn slipped(mix: [Mass; 2], [a, b]: [f64; 2]) -> Option<f64> {
    let exact = [[b, a], [0.5 * a, b], [a, 0.5 * b], [a, b - a]].map(|own| (own, NEAR));
    let units = [undone(a, mix[0].g()), undone(b, mix[1].g())];
    let of_unit = units
        .iter()
        .any(Option::is_some)
        .then(|| ([units[0].unwrap_or(a), units[1].unwrap_or(b)], WITHIN));
    exact
        .into_iter()
        .chain(of_unit)
        .map(|(own, within)| (miss(mix, own), within))
        .filter(|(missed, within)| missed <= within)
        .map(|(missed, _)| missed)
        .min_by(f64::total_cmp)
}

/// Parts A and B of a mix, let-downs included.
fn parts(mix: &Mix) -> [Mass; 2] {
    [mix.resin() - mix.part_b.mass, mix.part_b.mass]
}
