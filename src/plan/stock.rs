//! Let-down stocks: one for each colorant and ratio, enough for all mixes that take from it.

use crate::model::House;
use crate::quantity::{Fraction, Mass};

use super::base::BasePlan;
use super::ledger::{Content, Ledger, Material};
use super::let_down::{made, most};
use super::mixing::{DoseWeighed, Means};
use super::weighing::{Weighed, scale_for, step_up};

/// A let-down to make before the mixes.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// The colorant.
    pub colorant: String,
    /// The lot that it is weighed for, where its file states one.
    pub lot: Option<String>,
    /// Colorant / (colorant + part A).
    pub ratio: Fraction,
    /// Colorant to weigh.
    pub colorant_weighed: Weighed,
    /// Part A to weigh on top; where the colorant's scale does not bear both, on another, tared.
    pub part_a_weighed: Weighed,
    /// What the mixes of all coats take from it.
    pub taken: Mass,
}

/// The stocks for all coats; `None` where no scale of the house weighs one.
pub(super) fn stocks(bases: &[BasePlan], coats: u32, house: &House) -> Option<Vec<Stock>> {
    let mut wanted: Vec<(&DoseWeighed, Fraction, Mass)> = Vec::new();
    for base in bases {
        for dose in base.mixes.iter().flat_map(|mix| &mix.doses) {
            if let Means::LetDown { down, weighed } = &dose.means {
                let mass = weighed.mass * f64::from(coats);
                match wanted
                    .iter_mut()
                    .find(|(one, ratio, _)| one.colorant == dose.colorant && *ratio == down.ratio)
                {
                    Some((_, _, sum)) => *sum += mass,
                    None => wanted.push((dose, down.ratio, mass)),
                }
            }
        }
    }
    let mut all = Vec::with_capacity(wanted.len());
    for (dose, ratio, taken) in wanted {
        // More than any scale bears is made in equal parts.
        let whole = made(house, ratio.value(), taken)?;
        let parts = (whole / most(house)).ceil().max(1.0);
        if parts > MOST_PARTS {
            return None;
        }
        let part = let_down_stock(dose.colorant.clone(), ratio, taken / parts, house)?;
        let part = Stock { lot: dose.lot.clone(), ..part };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 1000")]
        all.extend(std::iter::repeat_n(part, parts as usize));
    }
    Some(all)
}

/// Parts in which one let-down is made at most.
const MOST_PARTS: f64 = 1000.0;

/// One let-down, of which `taken` is needed: how it is made, no less than is stirred and weighed well; `None`
/// where no scale of the house weighs it.
#[must_use]
pub fn let_down_stock(
    colorant: String,
    ratio: Fraction,
    taken: Mass,
    house: &House,
) -> Option<Stock> {
    let load = made(house, ratio.value(), taken)?;
    let exact = load * ratio.value();
    // On one scale in one cup, else the colorant on a finer one that bears it alone.
    let scale = scale_for(house, exact, load).or_else(|| scale_for(house, exact, exact))?;
    let colorant_weighed = Weighed::on(house, scale, exact, step_up(exact, scale.readability));
    let a = colorant_weighed.mass * ((1.0 - ratio.value()) / ratio.value());
    let part_a_weighed = if load <= scale.capacity {
        let mut on_top = Weighed::dose(house, scale, a);
        on_top.reading = colorant_weighed.mass + on_top.mass;
        on_top
    } else {
        Weighed::dose(house, scale_for(house, a, load)?, a)
    };
    Some(Stock { colorant, lot: None, ratio, colorant_weighed, part_a_weighed, taken })
}

impl Stock {
    /// What is made of it.
    #[must_use]
    pub fn made(&self) -> Mass {
        self.colorant_weighed.mass + self.part_a_weighed.mass
    }

    /// What is made and not taken.
    #[must_use]
    pub fn left(&self) -> Mass {
        self.made() - self.taken
    }

    /// The part B that what is left needs to cure, for a system of so many grams of B to 100 g of A.
    #[must_use]
    pub fn part_b_for_left(&self, phr: f64) -> Mass {
        self.left() * (1.0 - self.ratio.value()) * (phr / 100.0)
    }

    /// The account of what is made and not taken: the mixes have issued what they take.
    pub(super) fn account(&self) -> Ledger {
        let mut rest = Content::default();
        let taken = self.taken.g();
        let colorant = self.colorant_weighed.mass.g() - taken * self.ratio.value();
        let a = self.part_a_weighed.mass.g() - taken * (1.0 - self.ratio.value());
        rest.put(Material::Colorant(self.colorant.clone()), Mass::from_g(colorant));
        rest.put(Material::PartA, Mass::from_g(a));
        Ledger { issued: rest.clone(), left: rest, ..Ledger::default() }
    }
}
