//! What was poured of each colour.

/// Volumes by colour, mL, in the order of the colours.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// Poured from containers.
    pub poured_ml: Vec<f64>,
    /// Spread as the first film over the board.
    pub first_film_ml: Vec<f64>,
}

impl Ledger {
    /// Share of each colour in what the containers held; all 0 if they held nothing.
    #[must_use]
    pub fn poured_shares(&self) -> Vec<f64> {
        let total: f64 = self.poured_ml.iter().sum();
        self.poured_ml.iter().map(|v| if total > 0.0 { v / total } else { 0.0 }).collect()
    }

    /// All of a colour that came onto the board, mL.
    #[must_use]
    pub fn issued_ml(&self) -> Vec<f64> {
        self.poured_ml.iter().zip(&self.first_film_ml).map(|(a, b)| a + b).collect()
    }
}
