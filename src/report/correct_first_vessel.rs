//! In which of its two vessels a corrected mix is taken to stand, where that moves what is added.

use serde_json::{Value, json};

use crate::quantity::{Fraction, Mass, Units};

/// What stays on the wall of a mix's first vessel, and what its sheet weighs for the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstVessel {
    /// The share of the mix that stays there, as planned or as estimated for the house's smallest vessel that holds it.
    pub keeps: Fraction,
    /// What that is of parts A and B.
    pub stays: Mass,
    /// Whether it holds what goes into the second vessel, so that it does not move any more.
    pub tinted: bool,
    /// Whether parts A and B are what the job's plan says comes over into the second vessel.
    pub came_over: bool,
    /// What is typed where it has moved since it was weighed: `--part-a`, `--part-b` and let-downs by name, with what came over
    /// of them; empty where it has not moved.
    pub instead: Vec<(String, Mass)>,
    /// What the job's mixing sheet weighs of what is completed; none where no job is named, or the parts are not as planned.
    pub sheet: Option<SheetWeights>,
}

/// Weights of a mixing sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetWeights {
    /// Which mix: `fog 2 or 3`.
    pub mix: String,
    /// Colorants with their weights as the sheet has them.
    pub doses: Vec<(String, String)>,
}

/// The vessel that a mix is taken to stand in, in sentences.
#[must_use]
pub(super) fn first_vessel_words(told: &FirstVessel, units: Units) -> String {
    let less = told.keeps.show(units);
    let stays = format!("{} ({less})", told.stays.show(units));
    match &told.sheet {
        Some(SheetWeights { mix, doses }) => {
            let doses: Vec<String> =
                doses.iter().map(|(name, weight)| format!("{name} {weight}")).collect();
            format!(
                "Reckoned on all that is stated, as if tinted in the vessel it is in. The mixing sheet reckons without the {stays} that stay on the first vessel's wall: if A and B are then as on it for {mix} and it is tinted in its clean second vessel, follow the sheet: {}. Else follow this.",
                doses.join(", ")
            )
        }
        None if !told.tinted => format!(
            "Reckoned on all that is stated, as if tinted in the vessel it is in. If it moves into a clean second vessel first, about {stays} stay on the first one's wall: then take {less} less of each colorant that goes in after that."
        ),
        None if told.came_over => "Parts A and B are as the plan has them once they are in the second vessel: they are taken as what came over, and nothing is to be taken off them.".to_owned(),
        None => format!(
            "Reckoned as if all that is stated stood in one vessel. If A and B are as weighed in the first vessel and have moved into the clean second one since, about {stays} stayed on the first one's wall: type {} instead. Do that once: what came over is not lessened again.",
            instead_words(told).join(" ")
        ),
    }
}

/// That parts A and B are stated as they are weighed into the first vessel, though what is tinted has left it, in two sentences;
/// `over`: what the plan counts to have come over, let-downs apart.
#[must_use]
pub fn as_weighed_first_words([a, b]: [Mass; 2]) -> String {
    let [a, b] = [a, b].map(part_weight);
    format!(
        "A and B are stated as the sheet weighs them into the first vessel; of them the plan counts {a} of A and {b} of B to come over. If the colorants are in the second vessel, --part-a \"{a}\" --part-b \"{b}\" is a little nearer."
    )
}

/// A part to whole grams, as a scale for resin shows it; little of it, and a let-down, finer.
fn part_weight(mass: Mass) -> String {
    let step = if mass.g() < 10.0 {
        0.01
    } else if mass.g() < 100.0 {
        0.1
    } else {
        1.0
    };
    mass.show_weighed(Mass::from_g(step))
}

/// What is typed instead, an option each.
fn instead_words(told: &FirstVessel) -> Vec<String> {
    let option = |(what, mass): &(String, Mass)| {
        let weight = part_weight(*mass);
        if what.starts_with("--") {
            format!("{what} \"{weight}\"")
        } else {
            format!("--held \"{what}={weight}\"")
        }
    };
    told.instead.iter().map(option).collect()
}

/// The same for machines.
pub(super) fn first_vessel_json(told: &FirstVessel) -> Value {
    json!({
        "keeps_percent": told.keeps.percent(),
        "stays_g": told.stays.g(),
        "came_over": told.came_over,
        "type_instead": if told.tinted && !told.came_over { instead_words(told) } else { Vec::new() },
        "sheet": told.sheet.as_ref().map(|sheet| json!({
            "mix": sheet.mix,
            "colorants": sheet.doses.iter().map(|(name, weight)| (name.clone(), json!(weight)))
                .collect::<serde_json::Map<String, Value>>(),
        })),
    })
}
