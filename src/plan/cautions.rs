//! What can hurt someone in this plan, with its source.
//!
//! A caution is given by what the plan really holds. None of it replaces the product's safety data
//! sheet, local codes or licensed practice, and every sheet says so.

use std::collections::BTreeSet;

use super::base::BasePlan;
use super::mist::{MISTED, MistLiquid};
use super::mist_vapour::{Room, mist_vapour};
use super::upright::Uprights;
use super::weather::DEW_MARGIN_K;
use crate::heat::{HeatError, air::dew_point_celsius};
use crate::model::{Hazard, House, Job, Mist, Recipe};
use crate::optics::HIDING_RATIO;
use crate::predict::Look;
use crate::quantity::{Length, Mass, Temperature, Units, Volume};
use crate::suggest::listed;

/// The sentence that stands under all cautions.
const DEFERS: &str = "These are the usual cautions, not advice on a product: its safety data sheet, local codes and licensed practice come first.";

/// What a caution is about; the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// Flammable vapour and flame.
    Fire,
    /// What is breathed.
    Air,
    /// What touches skin and eyes.
    Skin,
    /// Heat of left-overs and waiting mixes.
    Heat,
    /// A mix ratio that the equivalent weights of the same file deny.
    Ratio,
    /// Water on a cold surface.
    Dew,
    /// A room in which resin does not cure as stated.
    Cold,
    /// A film that runs down upright faces.
    Sag,
    /// Sanding and dry powder.
    Dust,
    /// Food on the finished counter.
    Food,
    /// A primer that shows through.
    Primer,
    /// A ceiling raised by a person.
    Raised,
}

impl Topic {
    /// The word that stands before the caution.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fire => "fire",
            Self::Air => "air",
            Self::Skin => "skin",
            Self::Heat => "heat",
            Self::Ratio => "mix ratio",
            Self::Dew => "dew",
            Self::Cold => "cold",
            Self::Sag => "upright faces",
            Self::Dust => "dust",
            Self::Food => "food",
            Self::Primer => "primer",
            Self::Raised => "raised ceiling",
        }
    }

    /// Whether what it warns of spoils the whole pour, and so is told before all else.
    #[must_use]
    pub const fn spoils_the_pour(self) -> bool {
        matches!(self, Self::Ratio | Self::Cold)
    }
}

/// One caution.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// What it is about.
    pub topic: Topic,
    /// What to heed.
    pub text: String,
    /// What to do or leave, in the few words that there is room for above a bench; empty for what is not
    /// told there.
    pub brief: String,
    /// Where it comes from.
    pub source: &'static str,
    /// Whether it speaks against doing it as planned at all.
    pub stops: bool,
}

/// Fresh air while misting and purging, changes an hour: a fan in an open window (estimated).
const AIR_CHANGES_PER_HOUR: f64 = 6.0;

/// A mixed mass from which a left-over in its vessel can run hot enough to smoke (common practice,
/// no source).
const HOT_LEFT_OVER: Mass = Mass::from_g(200.0);

/// Below this resin thickens, and does not level or cure as its datasheet states (common practice, no source).
const COLD: Temperature = Temperature::from_c(15.0);

/// A thicker film than this runs down an upright face as it cures: 30–40 mil a coat stay (common practice, no
/// source).
const SAGS: Length = Length::from_mm(1.016);

/// What the cautions are drawn from.
pub(super) struct Holds<'a> {
    pub(super) recipe: &'a Recipe<'a>,
    /// Colorants of the recipe that are in nothing that is poured.
    pub(super) left_out: &'a BTreeSet<&'a str>,
    pub(super) job: &'a Job,
    pub(super) mist: Option<MistLiquid>,
    /// What is coated: `counter`, or `board`.
    pub(super) work: &'static str,
    pub(super) largest_mix: Mass,
    /// What is left over of what has met part B.
    pub(super) left: Mass,
    /// Whether it is poured from containers, not out of the mixes.
    pub(super) in_containers: bool,
    pub(super) coats: u32,
    pub(super) bases: &'a [BasePlan],
    pub(super) uprights: Option<&'a Uprights>,
    /// In which words are told.
    pub(super) units: Units,
}

/// Whether misted or flammable material meets a flame in this job: such a plan is refused.
pub(super) fn flame_meets_vapour(recipe: &Recipe<'_>, job: &Job) -> Option<String> {
    if !job.flame {
        return None;
    }
    if recipe.colourway.pattern.mist != Mist::None {
        return Some(format!(
            "the job has flame: true and the colourway mists {}: no flame, torch, heat gun or spark may come near a misted surface or into its room until it is purged",
            MISTED.name
        ));
    }
    products(recipe, job).into_iter().find(|product| product.flammable).map(|product| {
        format!(
            "the job has flame: true and \"{}\" is flammable: no flame, torch, heat gun or spark may come near it",
            product.name
        )
    })
}

/// Every caution that the plan calls for, the gravest first.
pub(super) fn cautions(holds: &Holds<'_>) -> Vec<Caution> {
    let mut all = Vec::new();
    let mut too_much_mist = false;
    let mut say = |topic, text: String, brief: String, source| {
        all.push(Caution { topic, text, brief, source, stops: false });
    };
    let Holds { recipe, work, units, .. } = *holds;
    for each in &holds.job.overrides {
        say(Topic::Raised, each.words(), each.brief(), "the job file");
    }
    if let Some(mist) = &holds.mist {
        say(
            Topic::Fire,
            format!(
                "once {} is misted: no flame, torch, heat gun, heater, switch or spark at the {work} or in the room until it is purged; vapour lies in a layer over the {work}, whatever the room's mean",
                mist.name
            ),
            "from the first mist until the room is purged: no flame, heat gun, heater, switch or spark in it".to_owned(),
            match units {
                Units::Us => {
                    "29 CFR 1910.106 (flammable liquids); NIOSH Pocket Guide (flash point 53 °F)"
                }
                Units::Metric => {
                    "29 CFR 1910.106 (flammable liquids); NIOSH Pocket Guide (flash point 12 °C)"
                }
            },
        );
        let air = mist_in_the_room(holds, mist).unwrap_or_else(|_| MistInTheRoom {
            text: "the vapour could not be reckoned for this room: treat the air as flammable"
                .to_owned(),
            brief: "vapour not reckoned for this room: treat the air as flammable".to_owned(),
            dangerous: false,
        });
        too_much_mist = air.dangerous;
        let source = "NIOSH Pocket Guide; ideal gas law, evenly mixed (estimated)";
        say(Topic::Air, air.text, air.brief, source);
    }
    let opened = |product: &Product<'_>| product.over || !holds.left_out.contains(product.name);
    for product in products(recipe, holds.job).into_iter().filter(opened) {
        product.cautions(&mut say);
    }
    say(
        Topic::Skin,
        "uncured epoxy and amine hardener burn and can make you allergic for life: nitrile gloves, changed when splashed, long sleeves, eye protection; soap and water, never solvent, on skin".to_owned(),
        "nitrile gloves, sleeves, goggles; never solvent on skin".to_owned(),
        "29 CFR 1910.1200 (read the safety data sheet); 29 CFR 1910.138 (hand protection)",
    );
    let thin = match units {
        Units::Us => "1/8 in",
        Units::Metric => "3 mm",
    };
    say(
        Topic::Heat,
        format!(
            "a mix left standing heats itself and can smoke; the largest here is {:.0} g{}. What is left over is spread under {thin} on foil outdoors while it is cool to the hand; what is warm already is not spread but carried outdoors in its vessel to bare ground clear of all that burns; never lid it",
            holds.largest_mix.g(),
            if holds.left >= HOT_LEFT_OVER {
                format!(
                    ", and about {:.0} g are left over in all if nothing goes wrong: what is made holds the allowance too, so pour until the film stands everywhere and keep back the rest, {} first; a little stays in the mixing vessels",
                    holds.left.g(),
                    if holds.in_containers { "the last containers" } else { "the last mix" }
                )
            } else {
                String::new()
            }
        ),
        "left-overs outdoors, thin on foil while cool; no lid".to_owned(),
        "common practice, no source",
    );
    if let Ok(dew) = dew_point_celsius(holds.job.temperature.c(), holds.job.humidity.percent()) {
        let least = Temperature::from_c(dew + DEW_MARGIN_K);
        let surface = holds.job.surface.unwrap_or(holds.job.temperature);
        let near_dew = surface < least;
        let dew = Temperature::from_c(dew);
        // What the dew point asks for is no permission where the cold forbids it.
        let least_words = match cold(holds) {
            Some(_) if least < recipe.system.lowest_temperature.unwrap_or(COLD) => format!(
                "{} for its dew alone, and {} for its cold",
                least.show(units),
                least_warm_words(recipe.system.lowest_temperature, units)
            ),
            _ => least.show(units),
        };
        say(
            Topic::Dew,
            format!(
                "dew point {} at {} and {} relative humidity (estimated): pour only on a surface of at least {}{}",
                dew.show(units),
                House::room_words(holds.job.temperature, units),
                holds.job.humidity.show(units),
                least_words,
                if near_dew { "; the surface as planned is too near it, do not pour" } else { "" }
            ),
            format!(
                "pour only on a surface of at least {}{}",
                least_words,
                if near_dew { ": as planned it is colder, do not pour" } else { "" }
            ),
            "Magnus formula, Sonntag's constants; 3 °C (5 °F) as with ISO 8502-4",
        );
    }
    if let Some(off) = recipe.system.off_equivalents() {
        say(
            Topic::Ratio,
            format!("{}: {}", recipe.system.name, off.words()),
            format!("{}: {}", recipe.system.name, off.brief()),
            "equivalent weights of the system's file; common practice, no source",
        );
    }
    if let Some((text, brief)) = cold(holds) {
        say(Topic::Cold, text, brief, "common practice, no source");
    }
    if let Some(uprights) = holds.uprights.filter(|uprights| uprights.film > SAGS) {
        say(
            Topic::Sag,
            format!(
                "a film of {} on {} runs down and hangs in drips before it gels: about {} a coat stay up; brush thinner coats, each on the one before once that has gelled: face_film and coats in the job",
                uprights.film.show_film(units),
                uprights.words,
                SAGS.show_film(units),
            ),
            String::new(),
            "common practice, no source",
        );
    }
    say(
        Topic::Dust,
        format!(
            "sanding the {work}{}: stone, concrete and tile hold silica; wet or with extraction, fitted respirator",
            if holds.coats > 1 { " and between coats" } else { "" }
        ),
        "sand wet or with extraction, fitted respirator".to_owned(),
        "29 CFR 1926.1153 (respirable silica: PEL 50, action level 25 µg/m³)",
    );
    say(
        Topic::Food,
        "a clear resin's claim of food contact does not cover added colorants: boards and plates on the cured counter".to_owned(),
        "boards and plates on the cured counter, not food".to_owned(),
        "21 CFR 175.300",
    );
    let upright = holds.uprights.and_then(|uprights| uprights.caution(units));
    for (text, brief) in primer_shows(holds).into_iter().chain(upright) {
        say(Topic::Primer, text, brief, "ISO 6504-3 (hiding: a contrast ratio of 0.98)");
    }
    // What the mist makes of the air is the first that is said of it.
    if let Some(air) = all.iter_mut().find(|caution| caution.topic == Topic::Air) {
        air.stops = too_much_mist;
    }
    all.sort_by_key(|caution| caution.topic);
    all
}

/// The least temperature that is not cold: the lowest that a system's file states, or else a round figure (15 °C are
/// 59 °F).
#[must_use]
pub fn least_warm_words(lowest: Option<Temperature>, units: Units) -> String {
    match (lowest, units) {
        (Some(lowest), _) => House::room_words(lowest, units),
        (None, Units::Us) => "60 °F".to_owned(),
        (None, Units::Metric) => "15 °C".to_owned(),
    }
}

/// That room, surface or parts are cold, in full and in brief.
fn cold(holds: &Holds<'_>) -> Option<(String, String)> {
    let (job, units) = (holds.job, holds.units);
    let each = [
        ("the room", Some(job.temperature)),
        ("the surface", job.surface),
        ("parts A and B", job.parts),
    ];
    let system = holds.recipe.system;
    let limit = system.lowest_temperature.unwrap_or(COLD);
    let cold: Vec<String> = each
        .into_iter()
        .filter_map(|(what, temperature)| Some((what, temperature?)))
        .filter(|(_, temperature)| *temperature < limit)
        .map(|(what, temperature)| format!("{what} at {}", House::room_words(temperature, units)))
        .collect();
    if cold.is_empty() {
        return None;
    }
    let cold: Vec<&str> = cold.iter().map(String::as_str).collect();
    let least = least_warm_words(system.lowest_temperature, units);
    let (about, whose) = if system.lowest_temperature.is_some() {
        ("", format!("that is the lowest that \"{}\" bears ({})", system.name, system.standing))
    } else {
        let stated = House::room_words(system.pot_life.temperature, units);
        let whose = format!(
            "its datasheet, whose pot life is stated at {stated}, says how cold it may be (lowest_temperature in the system's file)"
        );
        ("about ", whose)
    };
    let text = format!(
        "{}: below {about}{least} resin thickens, traps bubbles, does not level and may not cure at all, however long its pot life here; {whose}. Warm room, {work} and parts first, and keep them warm until it has cured",
        listed(&cold, "and"),
        work = holds.work,
    );
    let brief = format!(
        "too cold to cure as stated: warm room, {} and parts above {least} first",
        holds.work
    );
    Some((text, brief))
}

/// Bases that do not hide the primer at the film of the plan, in full and in brief.
fn primer_shows(holds: &Holds<'_>) -> Option<(String, String)> {
    let units = holds.units;
    let thin: Vec<(&str, &Look)> = holds
        .bases
        .iter()
        .filter_map(|base| Some((base.name.as_str(), base.look.as_ref()?)))
        .filter(|(_, look)| look.contrast_ratio < HIDING_RATIO)
        .collect();
    if thin.is_empty() {
        return None;
    }
    let each: Vec<String> = thin
        .iter()
        .map(|(name, look)| {
            let hides = look.hiding_film.map_or_else(
                || "hides at no film".to_owned(),
                |film| format!("hides from {}", film.show_film(units)),
            );
            format!("\"{name}\" ({:.3}, {}; {hides})", look.contrast_ratio, look.standing)
        })
        .collect();
    let film = holds.recipe.colourway.film.show_film(units);
    let text = format!(
        "the primer shows through at {film}: contrast ratio below {HIDING_RATIO} of {}. Its colour is part of the recipe: prime evenly, {}",
        each.join(", "),
        if holds.work == "board" {
            "and the counter later with the same primer"
        } else {
            "the sample board as the counter"
        }
    );
    let names: Vec<&str> = thin.iter().map(|(name, _)| *name).collect();
    let brief = format!("shows through {}: prime evenly", listed(&names, "and"));
    Some((text, brief))
}

/// Something that is opened in this job, with what about it can hurt someone.
struct Product<'a> {
    name: &'a str,
    flammable: bool,
    hazards: &'a [Hazard],
    /// Whether it goes over the cured pour instead of into it.
    over: bool,
}

/// The colorants of the recipe and the job's top coat.
fn products<'a>(recipe: &'a Recipe<'_>, job: &'a Job) -> Vec<Product<'a>> {
    let colorants = recipe.colorants.values().map(|colorant| Product {
        name: &colorant.name,
        flammable: colorant.is_flammable(),
        hazards: &colorant.hazards,
        over: false,
    });
    let top_coat = job.top_coat.iter().map(|coat| Product {
        name: &coat.name,
        flammable: coat.hazards.contains(&Hazard::Flammable),
        hazards: &coat.hazards,
        over: true,
    });
    colorants.chain(top_coat).collect()
}

impl Product<'_> {
    fn cautions(&self, say: &mut impl FnMut(Topic, String, String, &'static str)) {
        let name = if self.over {
            format!("top coat \"{}\"", self.name)
        } else {
            format!("\"{}\"", self.name)
        };
        if self.flammable {
            say(
                Topic::Fire,
                format!(
                    "{name} carries a flammable solvent: no flame or spark, lids on, rags in a closed metal can"
                ),
                format!("{name}: no flame or spark, lid on, rags in a closed metal can"),
                "29 CFR 1910.106 (flammable liquids)",
            );
        }
        for hazard in self.hazards {
            match hazard {
                Hazard::Dust => say(
                    Topic::Dust,
                    format!(
                        "{name} is a dry powder: weigh without a draught, fitted particulate respirator, wet wipe, never sweep"
                    ),
                    format!("{name}, dry: fitted particulate respirator, wet wipe, never sweep"),
                    "29 CFR 1910.134 (respirators)",
                ),
                Hazard::Isocyanate => say(
                    Topic::Air,
                    format!(
                        "{name} holds isocyanate: it can make you allergic for life; supplied air or as its data sheet says, nobody else in the room"
                    ),
                    format!(
                        "{name}, isocyanate: supplied air or as its data sheet says, nobody else in the room"
                    ),
                    "NIOSH Pocket Guide (HDI: REL 0.005 ppm, ceiling 0.020 ppm in 10 min)",
                ),
                Hazard::Aerosol if self.over => say(
                    Topic::Air,
                    format!(
                        "{name} is sprayed: outdoors or with air moving out, organic-vapour cartridge with a particle filter unless its data sheet asks for more"
                    ),
                    format!("{name}, sprayed: air moving out, organic-vapour and particle filter"),
                    "29 CFR 1910.134 (respirators)",
                ),
                Hazard::Aerosol => say(
                    Topic::Air,
                    format!(
                        "{name} comes from a spray can: decant outdoors, let propellant go, organic-vapour cartridge"
                    ),
                    format!("{name}, spray can: decant outdoors, organic-vapour cartridge"),
                    "29 CFR 1910.134 (respirators)",
                ),
                Hazard::Flammable => {}
            }
        }
    }
}

/// What the mist makes of the room's air, in words.
struct MistInTheRoom {
    text: String,
    brief: String,
    /// Whether it is immediately dangerous to life or health.
    dangerous: bool,
}

fn mist_in_the_room(holds: &Holds<'_>, mist: &MistLiquid) -> Result<MistInTheRoom, HeatError> {
    let celsius = holds.job.temperature.c();
    let units = holds.units;
    let volume_ml = mist.each_coat.ml();
    // Coats are hours apart, and the room is purged between them.
    let when = if mist.coats > 1 { "each coat" } else { "in all" };
    let liquid = format!(
        "about {} of {} misted {when} ({})",
        mist.each_coat.show(units),
        mist.name,
        MistLiquid::STANDING,
    );
    let Some(room) = holds.job.room else {
        // The layer at the limit is the same in any room.
        let any = Room { volume_m3: 100.0, celsius, air_changes_per_hour: AIR_CHANGES_PER_HOUR };
        let layer = air_words(mist_vapour(&MISTED, volume_ml, &any)?.at_lower_limit_m3, 1, units);
        let room = match units {
            Units::Us => "1400 ft3",
            Units::Metric => "40 m3",
        };
        return Ok(MistInTheRoom {
            text: format!(
                "{liquid}: enough to fill {layer} at the lower flammable limit; write room: \"{room}\" in the job and the plan reckons the room's air"
            ),
            brief: format!(
                "mist fills {layer} to the lower flammable limit (estimated): air moving out, cartridges"
            ),
            dangerous: false,
        });
    };
    let volume_m3 = room_m3(room);
    let room = Room { volume_m3, celsius, air_changes_per_hour: AIR_CHANGES_PER_HOUR };
    let vapour = mist_vapour(&MISTED, volume_ml, &room)?;
    let dangerous = vapour.mean_ppm >= MISTED.dangerous_ppm;
    let (verdict, heed) = if dangerous {
        let verdict = format!(
            "immediately dangerous (NIOSH IDLH {:.0} ppm): do not mist this much in this room",
            MISTED.dangerous_ppm
        );
        (verdict, "DO NOT MIST this much in this room")
    } else if vapour.mean_ppm > MISTED.recommended_limit_ppm {
        let verdict = format!(
            "above the recommended {:.0} ppm: organic-vapour cartridges and air moving out",
            MISTED.recommended_limit_ppm
        );
        (verdict, "organic-vapour cartridges, air moving out")
    } else {
        ("air moving out all the same".to_owned(), "air moving out")
    };
    let brief = format!(
        "mist makes {:.0} ppm (estimated): {heed}; then purge {:.0} min at {AIR_CHANGES_PER_HOUR:.0} air changes an hour (fan), else longer",
        vapour.mean_ppm, vapour.purge_to_tenth_min
    );
    let text = format!(
        "{liquid} in {} of room: {:.0} ppm, {:.1} % of the lower flammable limit, {verdict}; it could fill {} at that limit; at {AIR_CHANGES_PER_HOUR:.0} air changes an hour purge {:.0} min",
        air_words(volume_m3, 0, units),
        vapour.mean_ppm,
        vapour.fraction_of_lower_limit * 100.0,
        air_words(vapour.at_lower_limit_m3, 1, units),
        vapour.purge_to_tenth_min,
    );
    Ok(MistInTheRoom { text, brief, dangerous })
}

/// Cubic metres in a cubic foot: the international foot of 0.3048 m (NIST SP 811, appendix B).
const M3_PER_FT3: f64 = 0.3048 * 0.3048 * 0.3048;

/// A volume of air, in the unit that rooms are spoken of in.
fn air_words(m3: f64, decimals: usize, units: Units) -> String {
    match units {
        Units::Us => format!("{:.0} ft³", m3 / M3_PER_FT3),
        Units::Metric => format!("{m3:.decimals$} m³"),
    }
}

fn room_m3(room: Volume) -> f64 {
    room.l() / 1000.0
}

/// The sentence that stands under all cautions on every sheet.
#[must_use]
pub const fn defers() -> &'static str {
    DEFERS
}
