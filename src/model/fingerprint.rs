//! One short word for one meaning: two sheets with one fingerprint mean the same recipe.
//!
//! It is taken of what decides every weight and the look: the colourway (bases, loadings, accents,
//! pours in their order, film, primer, container, pattern), and of its system and colorants what
//! weighing needs (ratio, densities, solids, carrier). It is not taken of the text (order of fields,
//! comments, units), nor of prices, packages, lots, ceilings, notes and optical data, which may
//! change while the recipe stays.
//!
//! Films, container sizes and everything else that is said in either of two unit systems count to
//! four significant digits (`1 gal` and `3.785 L` are one meaning); loadings, doses, parts, ratios
//! and densities to nine.

use std::fmt;
use std::fmt::Write as _;

use super::colourway::{Layer, Mist, Primer, Ribbon};
use super::recipe::Recipe;
use super::system::MixRatio;
use super::{Carrier, Colorant, System};

/// Letters that are not mistaken for one another when read aloud or off a stained sheet.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// Sixty bits of a hash, as twelve letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint(u64);

impl Fingerprint {
    /// The fingerprint of a recipe's meaning.
    #[must_use]
    pub fn of(recipe: &Recipe<'_>) -> Self {
        Self::of_text(&meaning(recipe))
    }

    /// The fingerprint of a text whose every letter counts.
    #[must_use]
    pub fn of_text(text: &str) -> Self {
        let hash = blake3::hash(text.as_bytes());
        let mut first = [0; 8];
        first.copy_from_slice(&hash.as_bytes()[..8]);
        Self(u64::from_be_bytes(first) >> 4)
    }

    /// Its first eight letters, where a short word will do.
    #[must_use]
    pub fn short(self) -> String {
        self.to_string().chars().take(9).collect()
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for place in 0..12u32 {
            if place > 0 && place.is_multiple_of(4) {
                f.write_char('-')?;
            }
            let bits = (self.0 >> (55 - 5 * place)) & 31;
            let letter = usize::try_from(bits).map_or(b'?', |at| LETTERS[at]);
            f.write_char(char::from(letter))?;
        }
        Ok(())
    }
}

/// A figure to nine significant digits.
fn fine(figure: f64) -> String {
    format!("{:.8e}", figure + 0.0)
}

/// A figure that people state in either of two unit systems: to four significant digits.
fn coarse(figure: f64) -> String {
    format!("{:.3e}", figure + 0.0)
}

/// The canonical text that is hashed: one line a fact, names quoted, order fixed.
fn meaning(recipe: &Recipe<'_>) -> String {
    let way = recipe.colourway;
    let mut lines = vec!["pourbook meaning 1".to_owned()];
    let mut say = |line: String| lines.push(line);
    say(format!("colourway {:?}", way.name));
    say(format!("film mm {}", coarse(way.film.mm())));
    say(format!("container ml {}", coarse(way.container.ml())));
    let Primer::Colour(colour) = way.primer;
    say(format!("primer {colour}"));
    for (name, share) in way.shares() {
        say(format!("base {name:?} share {}", fine(*share)));
        let mut doses = way.bases[name].colorants.clone();
        doses.sort_by(|one, other| one.colorant.cmp(&other.colorant));
        for dose in doses {
            say(format!("  loading {:?} {}", dose.colorant, fine(dose.loading.value())));
        }
    }
    for accent in way.accents.values() {
        say(format!("accent {:?} of {:?}", accent.name, accent.colorant));
    }
    for pour in &way.pours {
        say(format!("pour {:?} x {}", pour.name, pour.count));
        for layer in &pour.layers {
            say(match layer {
                Layer::Base { base, parts } => format!("  base {base:?} {}", fine(*parts)),
                Layer::Accent { accent, dose } => {
                    format!("  accent {accent:?} {}", fine(dose.value()))
                }
            });
        }
    }
    let ribbon = match way.pattern.ribbon {
        Ribbon::Sweep => "sweep",
        Ribbon::Wander => "wander",
        Ribbon::Drift => "drift",
    };
    let mist = match way.pattern.mist {
        Mist::None => "none",
        Mist::Light => "light",
        Mist::Heavy => "heavy",
    };
    say(format!("pattern {} {ribbon} {mist}", way.pattern.seed));
    say(system(recipe.system));
    for colorant in recipe.colorants.values() {
        say(colorant_line(colorant));
    }
    lines.join("\n")
}

fn system(system: &System) -> String {
    let (by, a, b) = match system.ratio {
        MixRatio::Volume { a, b } => ("volume", a, b),
        MixRatio::Mass { a, b } => ("mass", a, b),
    };
    let weights = system.stoichiometry.map_or_else(String::new, |weights| {
        format!(" eew {} ahew {}", fine(weights.eew_g_per_eq), fine(weights.ahew_g_per_eq))
    });
    format!(
        "system {:?} {by} {} density {} {}{weights}",
        system.name,
        fine(a / b),
        fine(system.density_a.g_per_ml()),
        fine(system.density_b.g_per_ml()),
    )
}

fn colorant_line(colorant: &Colorant) -> String {
    let carrier = match colorant.carrier {
        Carrier::None => "none".to_owned(),
        Carrier::Epoxy { eew_g_per_eq } => format!("epoxy {}", fine(eew_g_per_eq)),
        Carrier::NonReactive => "non-reactive".to_owned(),
        Carrier::Solvent => "solvent".to_owned(),
    };
    format!(
        "colorant {:?} density {} solids {} carrier {carrier}",
        colorant.name,
        fine(colorant.density.g_per_ml()),
        fine(colorant.solids.value()),
    )
}
