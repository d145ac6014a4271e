//! What to add to a mix, and what it becomes.

use std::collections::BTreeMap;

use super::super::weigh::{WeighedDose, let_down_a};
use super::{Exactly, InTime, InVessel, PartAdded, Uncorrected};
use crate::colour::Lab;
use crate::optics::HIDING_RATIO;
use crate::plan::{Content, Material, Standing};
use crate::predict::Look;
use crate::quantity::Mass;

/// What to add.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Part A to add, that of let-downs apart.
    pub part_a: PartAdded,
    /// Part B to add.
    pub part_b: PartAdded,
    /// Colorants to add, by name; those that get nothing are left out.
    pub doses: Vec<WeighedDose>,
    /// The mass before.
    pub before: Mass,
    /// The mass after.
    pub after: Mass,
    /// How the mix looks as it is, by prediction, under the first lamp.
    pub look_before: Look,
    /// How it will look.
    pub look_after: Look,
    /// How the recipe looks.
    pub look_wanted: Look,
    /// What it is expected to measure under the first lamp, where it was measured: the prediction, off by as
    /// much as it missed before.
    pub expected: Option<Lab>,
    /// The colour aimed at under the first lamp: the wanted one, shifted by what the prediction missed.
    pub aim: Lab,
    /// Lamps' weighted root mean square ΔE00 before.
    pub error_before: f64,
    /// The same after.
    pub error_after: f64,
    /// Loadings after, as weighed.
    pub loadings: BTreeMap<String, f64>,
    /// Every ceiling after.
    pub standings: Vec<Standing>,
    /// How far B : A is from the system's after, as a fraction.
    pub ratio_error: f64,
    /// What would bring the mix back to the recipe exactly; `None` where the mix holds something foreign.
    pub exactly: Option<Exactly>,
    /// Whether it completes an unfinished mix: what is missing of the recipe is added, and nothing else.
    pub completes: bool,
    /// Why it does not complete an unfinished mix, though all that is missing was sought first: the least that serves is
    /// added instead. `None` where that was not sought, or went in.
    pub falls_short: Option<Uncorrected>,
    /// The vessel that it stands in; `None` where it is not known, or filled beyond its headroom and nothing is added.
    pub vessel: Option<InVessel>,
    /// The clock, where it runs.
    pub in_time: Option<InTime>,
}

impl Correction {
    /// Part A to add in all, that of let-downs included.
    #[must_use]
    pub fn part_a_in_all(&self) -> Mass {
        self.part_a.mass + let_down_a(&self.doses)
    }

    /// Whether nothing has to be added.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        self.doses.is_empty() && self.part_a.mass.g() + self.part_b.mass.g() <= 0.0
    }

    /// Whether it no longer hides what lies below it, as the recipe does at this film.
    #[must_use]
    pub fn hides_less(&self) -> bool {
        self.look_wanted.contrast_ratio >= HIDING_RATIO
            && self.look_after.contrast_ratio < HIDING_RATIO
    }

    /// All that is added.
    #[must_use]
    pub fn added(&self) -> Mass {
        self.after - self.before
    }

    /// The same, each material.
    #[must_use]
    pub fn content_added(&self) -> Content {
        let mut content = Content::default();
        content.put(Material::PartA, self.part_a_in_all());
        content.put(Material::PartB, self.part_b.mass);
        for dose in &self.doses {
            content.put(Material::Colorant(dose.colorant.clone()), dose.mass);
        }
        content
    }
}
