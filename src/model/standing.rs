//! How far a number can be trusted.

use std::fmt;

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Read with an instrument on this very material.
    Measured,
    /// Stated by the product's datasheet.
    Datasheet,
    /// Reckoned from something else, or common practice.
    Estimated,
    /// Made up for the demo; never for a client's counter.
    Demo,
}

impl Standing {
    /// All of them, the surest first.
    pub const ALL: [Self; 4] = [Self::Measured, Self::Datasheet, Self::Estimated, Self::Demo];

    /// The word a person writes and reads.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Datasheet => "datasheet",
            Self::Estimated => "estimated",
            Self::Demo => "demo",
        }
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
