//! Which fields each kind of file holds, and so in which file one belongs that stands in another.
//!
//! - [`fields`]: the fields of a file of one kind; one of another kind is told where it stands.

use super::tree::{Fields, Value};
use crate::suggest::listed;

/// A recipe's fields.
pub(super) const COLOURWAY: &[&str] = &[
    "version",
    "name",
    "system",
    "film",
    "primer",
    "container",
    "bases",
    "accents",
    "pours",
    "pattern",
    "note",
];

/// A job's.
pub(super) const JOB: &[&str] = &[
    "version",
    "name",
    "colourway",
    "counters",
    "boards",
    "area",
    "coats",
    "face_film",
    "losses",
    "crew",
    "temperature",
    "surface",
    "parts",
    "humidity",
    "room",
    "flame",
    "top_coat",
    "options",
    "overrides",
    "note",
];

/// A resin system's.
pub(super) const SYSTEM: &[&str] = &[
    "version",
    "name",
    "ratio",
    "density_a",
    "density_b",
    "film",
    "pot_life",
    "lowest_temperature",
    "recoat",
    "ceilings",
    "stoichiometry",
    "clear",
    "packages",
    "standing",
    "note",
];

/// A colorant's.
pub(super) const COLORANT: &[&str] = &[
    "version",
    "name",
    "kind",
    "finish",
    "pigments",
    "density",
    "solids",
    "carrier",
    "ceiling",
    "ceiling_standing",
    "optics",
    "lot",
    "packages",
    "hazards",
    "standing",
    "note",
];

/// The house's.
pub(super) const HOUSE: &[&str] = &[
    "version",
    "units",
    "scales",
    "vessels",
    "fill",
    "largest_mix",
    "weighing_tolerance",
    "near_ceiling",
    "off_ratio_caution",
    "off_ratio_limit",
    "match_within",
    "container",
    "cling_film",
    "durations",
    "note",
];

/// Each kind of file: how it is called, where it lies, what it holds; those that a person writes oftenest first.
const KINDS: [(&str, &str, &[&str]); 5] = [
    ("a recipe", "colourways/", COLOURWAY),
    ("a job", "jobs/", JOB),
    ("a resin system", "systems/", SYSTEM),
    ("a colorant", "colorants/", COLORANT),
    ("the house", "house.ron", HOUSE),
];

/// The fields of a file that is a `what` and may hold `names`.
pub(super) fn fields<'t>(
    at: Value<'t>,
    what: &'static str,
    names: &'static [&'static str],
) -> Option<Fields<'t>> {
    at.fields_or_elsewhere(what, names, elsewhere)
}

/// In which file a field of this name stands: `'film' stands in the file of a recipe (colourways/) or a resin system
/// (systems/)`.
fn elsewhere(name: &str) -> Option<String> {
    let homes = KINDS.iter().filter(|(_, _, names)| names.contains(&name));
    let homes: Vec<String> = homes.map(|(kind, place, _)| format!("{kind} ({place})")).collect();
    let homes: Vec<&str> = homes.iter().map(String::as_str).collect();
    (!homes.is_empty()).then(|| format!("'{name}' stands in the file of {}", listed(&homes, "or")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_is_told_every_file_that_it_stands_in() {
        let told = |name| elsewhere(name).unwrap_or_default();
        assert_eq!(
            told("film"),
            "'film' stands in the file of a recipe (colourways/) or a resin system (systems/)"
        );
        assert_eq!(told("crew"), "'crew' stands in the file of a job (jobs/)");
        assert_eq!(
            told("largest_mix"),
            "'largest_mix' stands in the file of the house (house.ron)"
        );
        assert_eq!(told("flim"), "");
    }
}
