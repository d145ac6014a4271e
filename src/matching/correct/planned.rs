//! What a job's plan says of the mix that is corrected: which of its mixes it is, and what is left of what it buys.

use super::Held;
use crate::model::System;
use crate::plan::{Content, DoseWeighed, Line, Material, Mix, Plan};
use crate::quantity::Mass;
use crate::suggest::listed;

/// The mix of a job's plan that a mix is taken for.
#[derive(Debug, Clone)]
pub struct Planned<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// Which mix: `fog`, `fog 1`, `fog 2 or 3` where these are weighed alike.
    pub name: String,
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
    /// The mix of the plan's base whose parts A and B are the nearest to what is held; `None` where the plan has no
    /// such base.
    #[must_use]
    pub fn nearest(plan: &'a Plan, base: &str, held: &Held) -> Option<Self> {
        let base = plan.bases.iter().find(|each| each.name == base)?;
        let apart = |mix: &Mix| {
            let [a, b] = parts(mix);
            (a - held.part_a).g().abs() + (b - held.part_b).g().abs()
        };
        let kinds = base.kinds();
        let (numbers, mix) =
            kinds.iter().min_by(|(_, one), (_, other)| apart(one).total_cmp(&apart(other)))?;
        let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
        let numbers: Vec<&str> = numbers.iter().map(String::as_str).collect();
        let name = match base.number() {
            1 => base.name.clone(),
            _ => format!("{} {}", base.name, listed(&numbers, "or")),
        };
        Some(Self { plan, name, mix })
    }

    /// What of `needed` is not left of what the plan buys, once this mix is `held` and all others are weighed as
    /// planned.
    #[must_use]
    pub fn supply(&self, system: &System, held: &Held, needed: &Content) -> Supply {
        let mut supply = Supply::default();
        for (material, mass) in needed.iter().filter(|(_, mass)| mass.g() > NOTHING_G) {
            match self.left(system, held, material) {
                Some(left) if (mass - left).g() > NOTHING_G => {
                    supply.short.push((material.clone(), mass - left.greater(Mass::ZERO)));
                }
                Some(_) => {}
                None => supply.unknown.push(material.clone()),
            }
        }
        supply
    }

    /// What is left of one material; below nought where more has been weighed than is bought. `None` where its file
    /// states no packages.
    fn left(&self, system: &System, held: &Held, material: &Material) -> Option<Mass> {
        let lines = &self.plan.cost.lines;
        let bought = |line: &Line| (!line.packages.is_empty()).then_some(line.demand + line.left);
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

/// Parts A and B of a mix, let-downs included.
fn parts(mix: &Mix) -> [Mass; 2] {
    [mix.resin() - mix.part_b.mass, mix.part_b.mass]
}
