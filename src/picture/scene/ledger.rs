//! What was poured of each colour.

use super::input::PourInput;

/// Volumes by colour, mL, in the order of the colours.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// Poured from containers.
    pub poured_ml: Vec<f64>,
}

impl Ledger {
    pub(super) fn of(input: &PourInput) -> Self {
        let mut poured_ml = vec![0.0; input.colours.len()];
        for layer in input.containers.iter().flat_map(|c| &c.layers) {
            if let Some(sum) = poured_ml.get_mut(layer.colour) {
                *sum += layer.volume_ml;
            }
        }
        Self { poured_ml }
    }

    /// Share of each colour in what the containers held; all 0 if they held nothing.
    #[must_use]
    pub fn poured_shares(&self) -> Vec<f64> {
        let total: f64 = self.poured_ml.iter().sum();
        self.poured_ml.iter().map(|v| if total > 0.0 { v / total } else { 0.0 }).collect()
    }
}
