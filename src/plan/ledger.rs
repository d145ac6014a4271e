//! Where every gram goes: issued = poured + run-off + cling + left, material by material.

use std::collections::BTreeMap;
use std::ops::AddAssign;

use crate::quantity::Mass;

/// Something that is weighed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Material {
    /// Part A of the resin.
    PartA,
    /// Part B of the resin.
    PartB,
    /// A colorant by name.
    Colorant(String),
}

impl Material {
    /// What a person reads.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::PartA => "part A",
            Self::PartB => "part B",
            Self::Colorant(name) => name,
        }
    }
}

/// Masses of materials together in one place, g.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Content(BTreeMap<Material, f64>);

impl Content {
    /// Puts some of a material in.
    pub fn put(&mut self, material: Material, mass: Mass) {
        *self.0.entry(material).or_insert(0.0) += mass.g();
    }

    /// Everything together.
    #[must_use]
    pub fn total(&self) -> Mass {
        Mass::from_g(self.0.values().sum())
    }

    /// The mass of one material.
    #[must_use]
    pub fn of(&self, material: &Material) -> Mass {
        Mass::from_g(self.0.get(material).copied().unwrap_or(0.0))
    }

    /// Mixed or unmixed resin, parts A and B together.
    #[must_use]
    pub fn resin(&self) -> Mass {
        self.of(&Material::PartA) + self.of(&Material::PartB)
    }

    /// Each material with its mass.
    pub fn iter(&self) -> impl Iterator<Item = (&Material, Mass)> {
        self.0.iter().map(|(material, g)| (material, Mass::from_g(*g)))
    }

    /// This many times the content.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self(self.0.iter().map(|(material, g)| (material.clone(), g * factor)).collect())
    }

    /// Takes out a mass of the well-mixed content; what is asked for beyond the content is taken
    /// all the same, so that a shortage shows as a negative rest and is never hidden.
    #[must_use]
    pub fn take(&mut self, mass: Mass) -> Self {
        let total = self.total().g();
        if total == 0.0 {
            return Self::default();
        }
        let taken = self.times(mass.g() / total);
        for (material, g) in &taken.0 {
            if let Some(rest) = self.0.get_mut(material) {
                *rest -= g;
            }
        }
        taken
    }
}

impl AddAssign<&Self> for Content {
    fn add_assign(&mut self, other: &Self) {
        for (material, g) in &other.0 {
            *self.0.entry(material.clone()).or_insert(0.0) += g;
        }
    }
}

/// The whole job's account.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// Weighed out of the packages.
    pub issued: Content,
    /// On the work.
    pub poured: Content,
    /// Over the edges.
    pub run_off: Content,
    /// On the walls of vessels.
    pub cling: Content,
    /// Mixed and not used: the allowance, what rounding up to the scale's step adds, rests of
    /// let-downs.
    pub left: Content,
}

impl Ledger {
    /// Adds another's account, `times` over.
    pub fn add(&mut self, times: f64, other: &Self) {
        self.issued += &other.issued.times(times);
        self.poured += &other.poured.times(times);
        self.run_off += &other.run_off.times(times);
        self.cling += &other.cling.times(times);
        self.left += &other.left.times(times);
    }

    /// The largest difference between issued and accounted for over all materials.
    #[must_use]
    pub fn imbalance(&self) -> Mass {
        let off = self.issued.iter().map(|(material, issued)| {
            let gone = [&self.poured, &self.run_off, &self.cling, &self.left]
                .into_iter()
                .map(|place| place.of(material).g())
                .sum::<f64>();
            (issued.g() - gone).abs()
        });
        Mass::from_g(off.fold(0.0, f64::max))
    }
}
