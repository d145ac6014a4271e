//! When the one paddle that stirs colorants in is wiped as it goes from mix to mix.

use super::base::BasePlan;

/// Before which mixes the tinting paddle is wiped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wiped {
    /// Before a lighter base: going on to a darker one carries nothing over that shows.
    BeforeLighter,
    /// Before any other base, since nobody here knows which is lighter.
    BeforeAnyOther,
}

impl Wiped {
    /// As far as the colours of the bases are known; one that is not may be the darkest.
    #[must_use]
    pub fn of(bases: &[BasePlan]) -> Self {
        if bases.len() > 1 && bases.iter().any(|base| base.look.is_none()) {
            Self::BeforeAnyOther
        } else {
            Self::BeforeLighter
        }
    }
}
