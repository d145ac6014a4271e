//! `match` and `correct`: from words to exit code.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde_json::json;

use super::args::{Common, amount, lamp, observer, quantity, whole};
use super::env::Env;
use super::run::{json_text, opened, save, units};
use super::show::{DONE, REFUSED, print};
use crate::acts::{self, Corrected, CorrectionAsk, MatchAsk};
use crate::colour::{Lab, Srgb8};
use crate::diagnostic::Diagnostics;
use crate::matching::Rank;
use crate::quantity::{Length, Mass, Temperature, TimeSpan, Volume};
use crate::report::correct_refusal::{refusal_json, refusal_text};
use crate::report::{
    correct_json, correct_text, match_json, match_text, restoration_json, restoration_text,
};
use crate::spectrum::{Illuminant, Observer};

#[derive(Debug, Args)]
pub(super) struct MatchWords {
    /// #5a6f7c or 5a6f7c, a Lab colour 52,-3.5,8, COLOURWAY/BASE, or a file of readings (FILE or FILE#SAMPLE)
    #[arg(allow_hyphen_values = true)]
    target: String,
    /// The lamp that a Lab target was read under
    #[arg(long, value_name = "LAMP", default_value = "D65", value_parser = lamp)]
    target_lamp: Illuminant,
    /// Take resin system, film and primer from this colourway
    #[arg(long, value_name = "COLOURWAY")]
    like: Option<String>,
    /// Keep the ceilings that this job raises with a reason; without --like take its colourway's system, film and primer
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
    /// The resin system [default: the colourway's, or the shop's first]
    #[arg(long, value_name = "SYSTEM")]
    system: Option<String>,
    /// The film: "1/8 in", 3mm
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true, value_parser = amount::<Length>)]
    film: Option<Length>,
    /// The primer: #e8e6e0
    #[arg(long, value_name = "COLOUR")]
    primer: Option<Srgb8>,
    /// A lamp with its weight, as often as wanted: D65, A=0.3 [default: D65, A and LED-B3 at 0.3]
    #[arg(long, value_name = "LAMP", value_parser = weighted_lamp)]
    lamp: Vec<(Illuminant, Option<f64>)>,
    /// The observer: 2 or 10 degrees
    #[arg(long, value_name = "DEGREES", default_value = "2", value_parser = observer)]
    observer: Observer,
    /// Choose from these colorants only
    #[arg(long, value_name = "COLORANT")]
    only: Vec<String>,
    /// A colorant that every recipe has to hold
    #[arg(long, value_name = "COLORANT")]
    must: Vec<String>,
    /// A colorant that none may hold
    #[arg(long, value_name = "COLORANT")]
    never: Vec<String>,
    /// What is in stock, with --batch: "phthalo blue paste=12 g"
    #[arg(long, value_name = "COLORANT=MASS", value_parser = dosed, requires = "batch")]
    stock: Vec<(String, Mass)>,
    /// Most colorants in a recipe, 1 to 4
    #[arg(long, value_name = "NUMBER", default_value_t = 4, value_parser = whole(1, 4))]
    most: u32,
    /// Mixed resin (A and B) of a batch, to be given weights: 2.5kg
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, value_parser = amount::<Mass>)]
    batch: Option<Mass>,
    /// How many recipes to show
    #[arg(long, value_name = "NUMBER", default_value_t = 5, value_parser = whole(1, 50))]
    alternatives: u32,
    /// What recipes that are within tolerance and hide the primer are ranked by
    #[arg(long, value_name = "BY", value_enum, default_value_t = RankWord::Colour)]
    rank: RankWord,
    /// Rank recipes that the primer shows through like those that hide it
    #[arg(long)]
    show_through: bool,
    /// Leave chips of the target beside the recipes under each lamp in this folder
    #[arg(long, value_name = "FOLDER")]
    save: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RankWord {
    /// Nearest first
    Colour,
    /// Steadiest from lamp to lamp first
    Lamps,
    /// Cheapest per litre first
    Cost,
    /// Best hiding at this film first
    Hiding,
}

impl From<RankWord> for Rank {
    fn from(word: RankWord) -> Self {
        match word {
            RankWord::Colour => Self::Colour,
            RankWord::Lamps => Self::Lamps,
            RankWord::Cost => Self::Cost,
            RankWord::Hiding => Self::Hiding,
        }
    }
}

#[derive(Debug, Args)]
pub(super) struct CorrectWords {
    /// The colourway's name or file
    colourway: String,
    /// The base that the mix should be
    base: String,
    /// The job that it is mixed for: its plan says which vessel it stands in, how much of it is needed and what is left of what is bought, with --age the room's temperature and the pour's length too; ceilings that it raises with a reason are kept as raised
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
    /// Which mix of the base in the job's plan it is, by its number on the sheets: 2 [default: the one whose parts A and B fit best]
    #[arg(long, value_name = "NUMBER", value_parser = whole(1, 10_000), requires = "job")]
    mix: Option<u32>,
    /// Part A in the vessel, without the vessel's own weight and without that of let-downs; of what has moved to the second vessel, what came over
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, value_parser = amount::<Mass>)]
    part_a: Mass,
    /// Part B in the vessel
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, value_parser = amount::<Mass>)]
    part_b: Mass,
    /// A colorant in the vessel: "red oxide paste=27 g"; a let-down as its label names it: "blue paste, let-down 1 : 3=8.8 g" or "blue paste 1 : 3=8.8 g"
    #[arg(long = "held", value_name = "COLORANT=MASS", value_parser = dosed)]
    held: Vec<(String, Mass)>,
    /// What is still in the vessel, where some of it has been poured; parts A and B and colorants are then typed in full, as they were weighed
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, value_parser = amount::<Mass>)]
    left: Option<Mass>,
    /// What a cured film of it measured under the first lamp, in Lab: 52,-3.5,8
    #[arg(long, value_name = "L,a,b", value_parser = lab, allow_hyphen_values = true)]
    measured: Option<Lab>,
    /// A further colorant that may be added
    #[arg(long, value_name = "COLORANT")]
    also: Vec<String>,
    /// ΔE00 that is near enough [default: the shop's]
    #[arg(long, value_name = "NUMBER", value_parser = delta_e, allow_hyphen_values = true)]
    within: Option<f64>,
    /// The least mass to end with, where a left-over goes into a new base
    #[arg(long, value_name = "MASS", allow_hyphen_values = true, value_parser = amount::<Mass>)]
    at_least: Option<Mass>,
    /// A lamp with its weight, as often as wanted [default: D65]
    #[arg(long, value_name = "LAMP", value_parser = weighted_lamp)]
    lamp: Vec<(Illuminant, Option<f64>)>,
    /// The observer: 2 or 10 degrees
    #[arg(long, value_name = "DEGREES", default_value = "2", value_parser = observer)]
    observer: Observer,
    /// Another film than the recipe's
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true, value_parser = amount::<Length>)]
    film: Option<Length>,
    /// How long ago B met A: "12 min"; left out, B has not met A yet
    #[arg(long, value_name = "TIME", allow_hyphen_values = true, value_parser = amount::<TimeSpan>)]
    age: Option<TimeSpan>,
    /// The vessel that it stands in, brim-full: "1 gal", 5L [default: as in the job's plan, or the shop's smallest that holds it]
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, value_parser = amount::<Volume>)]
    vessel: Option<Volume>,
    /// Temperature of the room: 74F, "21 °C" [default: the job's, or 22 °C (72 °F)]
    #[arg(long, value_name = "TEMPERATURE", value_parser = quantity::<Temperature>)]
    temperature: Option<Temperature>,
    /// From the corrected mix to its last pour [default: as in the job's plan, or 5 min]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true, value_parser = amount::<TimeSpan>)]
    until_poured: Option<TimeSpan>,
}

/// `A` or `A=0.3`.
fn weighted_lamp(word: &str) -> Result<(Illuminant, Option<f64>), String> {
    let Some((name, weight)) = word.rsplit_once('=') else { return Ok((lamp(word)?, None)) };
    let weight: f64 = weight.trim().parse().map_err(|_| format!("\"{weight}\" is no weight"))?;
    if weight.is_finite() && weight > 0.0 {
        Ok((lamp(name.trim())?, Some(weight)))
    } else {
        Err(format!("the weight of a lamp must be above 0, not {weight}"))
    }
}

/// `red oxide paste=27 g`.
fn dosed(word: &str) -> Result<(String, Mass), String> {
    let (name, mass) = word
        .rsplit_once('=')
        .ok_or_else(|| format!("\"{word}\" needs a mass: \"red oxide paste=27 g\""))?;
    let mass: Mass = mass.trim().parse().map_err(|why| format!("{why}"))?;
    Ok((name.trim().to_owned(), mass))
}

/// A tolerance.
fn delta_e(word: &str) -> Result<f64, String> {
    let number =
        word.trim().parse().ok().filter(|number: &f64| number.is_finite() && *number > 0.0);
    number.ok_or_else(|| "write a ΔE00 above 0, such as 1.5".to_owned())
}

fn lab(word: &str) -> Result<Lab, String> {
    acts::lab_of(word).ok_or_else(|| format!("\"{word}\" is no Lab colour: 52,-3.5,8"))
}

pub(super) fn match_colour(
    env: &mut Env<'_>,
    common: &Common,
    words: MatchWords,
) -> Result<u8, Diagnostics> {
    let opened = opened(env, common)?;
    let ask = MatchAsk {
        target: words.target,
        target_lamp: words.target_lamp,
        colourway: words.like,
        job: words.job,
        system: words.system,
        film: words.film,
        primer: words.primer,
        lamps: words.lamp,
        observer: words.observer,
        only: words.only,
        must: words.must,
        never: words.never,
        stock: words.stock,
        most: words.most as usize,
        batch: words.batch,
        alternatives: words.alternatives as usize,
        rank: words.rank.into(),
        show_through: words.show_through,
    };
    let matched = acts::match_colour(&opened, &ask)?;
    let mut saved = Vec::new();
    if let Some(folder) = &words.save {
        let files: Vec<(String, Vec<u8>)> = acts::match_pictures(&matched, units(&opened))?
            .into_iter()
            .map(|picture| (picture.file, picture.bytes))
            .collect();
        save(folder, &files)?;
        saved = files.iter().map(|(name, _)| folder.join(name).display().to_string()).collect();
    }
    let text = if common.json {
        let mut answer = match_json(&matched.head, &matched.answer);
        answer["pictures"] = json!(saved);
        json_text(&answer)
    } else {
        let mut text = match_text(&matched.head, &matched.answer, units(&opened), env.paint_out);
        if !saved.is_empty() {
            text.push_str(&format!("\nSaved: {}\n", saved.join(", ")));
        }
        text
    };
    // As weighed: a small batch on a coarse scale may miss what the exact amounts reach.
    let within = matched.answer.candidates.iter().any(|each| each.error <= matched.head.within);
    Ok(print(env, &text).max(if within { DONE } else { REFUSED }))
}

pub(super) fn correct(
    env: &mut Env<'_>,
    common: &Common,
    words: CorrectWords,
) -> Result<u8, Diagnostics> {
    let opened = opened(env, common)?;
    let ask = CorrectionAsk {
        colourway: words.colourway,
        base: words.base,
        job: words.job,
        mix: words.mix,
        part_a: words.part_a,
        part_b: words.part_b,
        colorants: words.held,
        left: words.left,
        measured: words.measured,
        also: words.also,
        within: words.within,
        at_least: words.at_least,
        lamps: words.lamp,
        observer: words.observer,
        film: words.film,
        age: words.age,
        vessel: words.vessel,
        temperature: words.temperature,
        until_poured: words.until_poured,
    };
    let (units, paint) = (units(&opened), env.paint_out);
    let corrected = acts::correct(&opened, &ask)?;
    let refused = corrected.is_refused();
    let text = match corrected {
        Corrected::Coloured { head, correction } if common.json => {
            json_text(&correct_json(&head, &correction))
        }
        Corrected::Coloured { head, correction } => correct_text(&head, &correction, units, paint),
        Corrected::ByProportion(done) if common.json => json_text(&restoration_json(&done)),
        Corrected::ByProportion(done) => restoration_text(&done, units, paint),
        Corrected::Refused(told) if common.json => json_text(&refusal_json(&told)),
        Corrected::Refused(told) => refusal_text(&told, units, paint),
    };
    Ok(print(env, &text).max(if refused { REFUSED } else { DONE }))
}
