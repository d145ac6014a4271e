//! The steps whose durations a shop may state for itself.

/// A step that takes time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Timed {
    /// Pouring B into A and mixing.
    Mix,
    /// More for every litre mixed.
    MixALitre,
    /// Moving to a clean second vessel and mixing again.
    SecondVessel,
    /// More for every litre.
    SecondVesselALitre,
    /// Stirring in one colorant.
    Tint,
    /// Wiping the tinting paddle clean before a lighter colour, or before another where colours are not known.
    CleanPaddle,
    /// Filling one layer into a container.
    FillALayer,
    /// Dosing one accent.
    Accent,
    /// Pouring a container.
    Pour,
    /// More for every litre poured.
    PourALitre,
    /// Coating a square metre of edges and splashbacks by brush.
    CoatASquareMetre,
    /// Misting the whole surface once.
    Mist,
    /// The wait between the two mists.
    MistWait,
    /// Scraping drips once round.
    Scrape,
}

impl Timed {
    /// All of them.
    pub const ALL: [Self; 14] = [
        Self::Mix,
        Self::MixALitre,
        Self::SecondVessel,
        Self::SecondVesselALitre,
        Self::Tint,
        Self::CleanPaddle,
        Self::FillALayer,
        Self::Accent,
        Self::Pour,
        Self::PourALitre,
        Self::CoatASquareMetre,
        Self::Mist,
        Self::MistWait,
        Self::Scrape,
    ];

    /// What it is called in a house's file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mix => "mix",
            Self::MixALitre => "mix a litre",
            Self::SecondVessel => "second vessel",
            Self::SecondVesselALitre => "second vessel a litre",
            Self::Tint => "tint",
            Self::CleanPaddle => "clean paddle",
            Self::FillALayer => "fill a layer",
            Self::Accent => "accent",
            Self::Pour => "pour",
            Self::PourALitre => "pour a litre",
            Self::CoatASquareMetre => "coat a square metre",
            Self::Mist => "mist",
            Self::MistWait => "wait between mists",
            Self::Scrape => "scrape",
        }
    }

    /// The step with a word; none has any other.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|step| step.word() == word)
    }
}
