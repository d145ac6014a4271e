//! How far A : B of what is held is off the system's.

use super::CorrectAsk;

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
