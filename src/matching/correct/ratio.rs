//! How far A : B of what is held is off the system's.

use super::CorrectAsk;
use crate::quantity::Mass;

/// Which part a mix has too much of, or lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RatioOff {
    /// Part A, by this fraction of what part B needs; above 0.
    TooMuchA(f64),
    /// Part B, by this fraction of what part A needs; above 0.
    TooMuchB(f64),
    /// There is no part A.
    NoA,
    /// There is no part B.
    NoB,
}

impl RatioOff {
    /// How far it is off, as a fraction; without end where a part is missing.
    #[must_use]
    pub const fn by(self) -> f64 {
        match self {
            Self::TooMuchA(by) | Self::TooMuchB(by) => by,
            Self::NoA | Self::NoB => f64::INFINITY,
        }
    }
}

/// Part A in which there is no part B, or too little to gel it: it neither heats nor cures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unmixed {
    /// Part B that is in it.
    pub part_b: Mass,
    /// Part B that it lacks to cure.
    pub lacks: Mass,
}

/// Less than this share of the part B that part A needs does not gel it. (Common practice, no source; by the
/// Flory–Stockmayer condition epoxide of two and amine of four functions gel from a third on.)
const GELS_FROM: f64 = 0.25;

impl Unmixed {
    /// What is held, where it is that.
    #[must_use]
    pub fn of(ask: &CorrectAsk<'_>) -> Option<Self> {
        let part_b = ask.held.part_b;
        let needed = ask.held.part_a * (ask.limits.system.phr() / 100.0);
        let unmixed = needed.g() > 0.0 && part_b < needed * GELS_FROM;
        unmixed.then(|| Self { part_b, lacks: needed - part_b })
    }

    /// So much of it, well mixed.
    #[must_use]
    pub fn share(self, share: f64) -> Self {
        Self { part_b: self.part_b * share, lacks: self.lacks * share }
    }
}

/// How far A : B is off as it stands; `None` where it is right to the last digit, or where neither is held.
#[must_use]
pub fn ratio_off(ask: &CorrectAsk<'_>) -> Option<RatioOff> {
    let [a, b] = [ask.held.part_a.g(), ask.held.part_b.g()];
    match (a > 0.0, b > 0.0) {
        (false, false) => None,
        (true, false) => Some(RatioOff::NoB),
        (false, true) => Some(RatioOff::NoA),
        (true, true) => {
            let b_too_much = b / a * 100.0 / ask.limits.system.phr();
            match b_too_much {
                more if more > 1.0 => Some(RatioOff::TooMuchB(more - 1.0)),
                less if less < 1.0 => Some(RatioOff::TooMuchA(1.0 / less - 1.0)),
                _ => None,
            }
        }
    }
}
