//! Which way from the readings at hand to coefficients.

use thiserror::Error;

use super::answer::Characterised;
use super::drawdown::{Conditions, Drawdown, Known};
use super::impossible::Impossible;
use super::measured::characterise_measured;
use super::presumed::{Presumption, characterise_presumed};

/// Readings alone are enough when they determine this share of the bands.
const ENOUGH: f64 = 0.9;

/// How coefficients were found, the surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Route {
    /// The readings determine them.
    Readings,
    /// One film of the colorant by itself over several grounds; where it hides, s is presumed.
    OneFilm,
    /// Tints, but too few: s is presumed.
    Tint,
    /// A masstone over one ground: hardly more than k/s is known, and tints will be wrong.
    MasstoneAlone,
}

impl Route {
    /// Mean ΔE00 of random mixtures that coefficients found this way are to be expected to give: means
    /// in a simulated shop with films off by 2 % and an instrument's noise. A full set of readings 0.1,
    /// one film over black and white 1–2, a tint 0.5 or, of its colour alone, 1, a masstone 12.
    #[must_use]
    pub const fn expected_delta_e_2000(self, colour_alone: bool) -> f64 {
        match self {
            Self::Readings if colour_alone => 1.0,
            Self::Readings => 0.1,
            Self::OneFilm => 2.0,
            Self::Tint if colour_alone => 1.0,
            Self::Tint => 0.5,
            Self::MasstoneAlone => 12.0,
        }
    }

    /// The route in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Readings => "readings alone",
            Self::OneFilm => "one film over several grounds; scattering presumed where it hides",
            Self::Tint => "tints, too few of them; scattering presumed",
            Self::MasstoneAlone => "a masstone alone; how strongly it tints is presumed",
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Refused {
    /// A reading cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// A masstone alone, and an estimate was not asked for.
    #[error(
        "a masstone over one ground does not tell how strongly the colorant tints; \
         read a tint of known loading in white as well"
    )]
    MasstoneAlone,
}

/// A colorant's coefficients from what readings there are: measured where they suffice, else
/// estimated, and which of the two.
///
/// # Errors
///
/// [`Refused`]: impossible readings, or a masstone alone unless `accept_masstone_alone`.
pub fn characterise(
    drawdowns: &[Drawdown],
    known: &[Known],
    conditions: &Conditions,
    presumption: &Presumption,
    accept_masstone_alone: bool,
) -> Result<(Route, Characterised), Refused> {
    let measured = characterise_measured(drawdowns, known, conditions)?;
    if measured.share_identified() >= ENOUGH {
        return Ok((Route::Readings, measured));
    }
    let pure = drawdowns.iter().all(|d| d.film.others_g_per_ml.iter().all(|(_, c)| *c <= 0.0));
    let one_ground = drawdowns.iter().all(|d| d.readings.len() < 2);
    let route = match (pure, one_ground) {
        (false, _) => Route::Tint,
        (true, false) => Route::OneFilm,
        (true, true) => Route::MasstoneAlone,
    };
    if route == Route::MasstoneAlone && !accept_masstone_alone {
        return Err(Refused::MasstoneAlone);
    }
    let estimated = characterise_presumed(drawdowns, known, conditions, presumption)?;
    Ok((route, estimated))
}
