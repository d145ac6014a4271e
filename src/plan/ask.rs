//! What is asked of the plan, and why there may be none.

use crate::model::{Colourway, Faults, Job, Shop};

/// A colourway for a job in a shop.
#[derive(Debug, Clone, Copy)]
pub struct Ask<'a> {
    /// Where references are looked up.
    pub shop: &'a Shop,
    /// The recipe.
    pub colourway: &'a Colourway,
    /// What to coat, and the day's conditions.
    pub job: &'a Job,
}

/// Why there is no plan: faults by the file that a person would mend.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NotPlanned {
    /// In the colourway.
    pub colourway: Faults,
    /// In the job.
    pub job: Faults,
    /// In the resin system.
    pub system: Faults,
}

impl NotPlanned {
    /// Faults of the colourway alone.
    #[must_use]
    pub fn colourway(faults: Faults) -> Self {
        Self { colourway: faults, ..Self::default() }
    }

    /// Faults of the job alone.
    #[must_use]
    pub fn job(faults: Faults) -> Self {
        Self { job: faults, ..Self::default() }
    }

    /// Every message in one line, for places where no file can be shown.
    #[must_use]
    pub fn words(&self) -> String {
        let all: Vec<&str> = self
            .colourway
            .0
            .iter()
            .chain(&self.job.0)
            .chain(&self.system.0)
            .map(|fault| fault.message.as_str())
            .collect();
        all.join("; ")
    }
}
