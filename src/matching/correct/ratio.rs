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

/// Part A or B in which there is none of the other, or too little to gel it: it neither heats nor cures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unmixed {
    /// Which part it is.
    pub part: Part,
    /// How much of the other part is in it.
    pub other: Mass,
    /// How much of the other part it lacks to cure.
    pub lacks: Mass,
}

/// One of the two parts of a resin system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The resin.
    A,
    /// The hardener.
    B,
}

impl Part {
    /// The part that cures it.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::A => "part A",
            Self::B => "part B",
        }
    }
}

/// Less than this share of what one part needs of the other does not gel it. (Common practice, no source; by the
/// Flory–Stockmayer condition epoxide of two and amine of four functions gel from a third on, of whichever there is less.)
const GELS_FROM: f64 = 0.25;

impl Unmixed {
    /// What is held, where it is that.
    #[must_use]
    pub fn of(ask: &CorrectAsk<'_>) -> Option<Self> {
        let b_to_a = ask.limits.system.phr() / 100.0;
        let [a, b] = [ask.held.part_a, ask.held.part_b];
        let of = |part, other: Mass, needed: Mass| {
            let unmixed = needed.g() > 0.0 && other < needed * GELS_FROM;
            unmixed.then(|| Self { part, other, lacks: needed - other })
        };
        of(Part::A, b, a * b_to_a).or_else(|| of(Part::B, a, b * (1.0 / b_to_a)))
    }

    /// So much of it, well mixed.
    #[must_use]
    pub fn share(self, share: f64) -> Self {
        Self { other: self.other * share, lacks: self.lacks * share, ..self }
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
