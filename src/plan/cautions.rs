//! What can hurt someone in this plan, with its source.
//!
//! A caution is given by what the plan really holds. None of it replaces the product's safety data
//! sheet, local codes or licensed practice, and every sheet says so.

use std::collections::BTreeSet;

use super::base::BasePlan;
use super::cold::cold;
use super::dew::dew;
use super::mist::MistLiquid;
use super::mist_in_the_room::{MistInTheRoom, mist_in_the_room};
use super::pieces::Over;
use super::primer_shows::{primer_not_known, primer_shows};
use super::products::{Product, products};
use super::upright::Uprights;
use crate::model::{House, Job, Raised, Recipe};
use crate::quantity::{Fraction, Length, Mass, Units};

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
    /// A ceiling raised by a person.
    Raised,
    /// A mix ratio that the equivalent weights of the same file deny.
    Ratio,
    /// A figure of the datasheet that is so unusual that it may be misread or mistyped.
    Datasheet,
    /// A figure of the recipe that is so unusual that it may be mistyped.
    Recipe,
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
            Self::Datasheet => "datasheet",
            Self::Recipe => "recipe",
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
        matches!(self, Self::Raised | Self::Ratio | Self::Datasheet | Self::Recipe | Self::Cold)
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

/// A mixed mass from which a left-over in its vessel can run hot enough to smoke (common practice,
/// no source).
const HOT_LEFT_OVER: Mass = Mass::from_g(200.0);

/// A thicker film than this runs down an upright face as it cures: 30–40 mil a coat stay (common practice, no
/// source).
pub(super) const SAGS: Length = Length::from_mm(1.016);

/// What the cautions are drawn from.
pub(super) struct Holds<'a> {
    pub(super) recipe: &'a Recipe<'a>,
    /// Colorants of the recipe that are in nothing that is poured.
    pub(super) left_out: &'a BTreeSet<&'a str>,
    pub(super) job: &'a Job,
    pub(super) house: &'a House,
    pub(super) mist: Option<MistLiquid>,
    /// What is coated: `counter`, or `board`.
    pub(super) work: &'static str,
    pub(super) largest_mix: Mass,
    /// What is left over of what has met part B.
    pub(super) left: Mass,
    /// Whether it is poured from containers, not out of the mixes.
    pub(super) in_containers: bool,
    /// The allowance of one coat, where containers hold it.
    pub(super) allowance: Option<&'a Over>,
    pub(super) coats: u32,
    pub(super) bases: &'a [BasePlan],
    pub(super) uprights: Option<&'a Uprights>,
    /// In which words are told.
    pub(super) units: Units,
}

/// What is left over in all, and of which containers it is kept back.
fn left_words(holds: &Holds<'_>) -> String {
    let left =
        format!(", and about {:.0} g are left over in all if nothing goes wrong: ", holds.left.g());
    let held = holds.allowance.and_then(|over| Some((over, over.from.first()?, over.from.last()?)));
    let Some((over, first, last)) = held else {
        let last = if holds.in_containers { "the last containers" } else { "the last mix" };
        return format!(
            "{left}what is made holds the allowance too, so pour until the film is thick enough everywhere and keep back the rest, {last} first; a little stays in the mixing vessels"
        );
    };
    let containers = match (first.container, last.container) {
        (first, last) if first == last => format!("container {first}"),
        (first, last) => format!("containers {first}–{last}"),
    };
    let coat = if holds.coats > 1 { " a coat" } else { "" };
    format!(
        "{left}the allowance of {:.0} g{coat}, in {containers}, is poured last and only where the film is still too thin, else it is kept back; the rest stays in the mixing vessels",
        over.mass.g()
    )
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
        let brief = each.brief(stated_ceiling(recipe, &each.ceiling));
        say(Topic::Raised, format!("{brief}: {}", each.reason), brief, "the job file");
    }
    if holds.job.flame {
        say(
            Topic::Fire,
            "a torch or heat gun draws out bubbles: once over each part as it is poured, always moving, a hand's breadth off, never on a mix that stands in its vessel; nothing that burns within reach, an extinguisher at hand".to_owned(),
            "torch: always moving, once over; nothing that burns within reach, extinguisher at hand".to_owned(),
            "common practice, no source",
        );
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
        let air = mist_in_the_room(holds.job, mist, units).unwrap_or_else(|_| MistInTheRoom {
            text: "the vapour cannot be reckoned for this room as stated: treat its air as flammable; DO NOT MIST, or state the room's true size (room) and temperature"
                .to_owned(),
            brief: "vapour not reckoned for this room as stated: DO NOT MIST".to_owned(),
            dangerous: true,
            cartridges: true,
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
    say(
        Topic::Heat,
        format!(
            "a mix left standing heats itself and can smoke; the largest here is {:.0} g{}. What is left over is {}",
            holds.largest_mix.g(),
            if holds.left >= HOT_LEFT_OVER { left_words(holds) } else { String::new() },
            left_over_words(units)
        ),
        "left-overs outdoors, thin on foil while cool; no lid".to_owned(),
        "common practice, no source",
    );
    if let Some((text, brief)) = dew(recipe.system, holds.job, units) {
        let source = "Magnus formula, Sonntag's constants; 3 °C (5 °F) as with ISO 8502-4";
        say(Topic::Dew, text, brief, source);
    }
    if let Some(off) = recipe.system.off_equivalents() {
        say(
            Topic::Ratio,
            format!("{}: {}", recipe.system.name, off.words()),
            format!("{}: {}", recipe.system.name, off.brief()),
            "equivalent weights of the system's file; common practice, no source",
        );
    }
    let of_system = recipe.system.unusual().into_iter().map(|own| (&recipe.system.name, own));
    let colorants = recipe.colorants.values();
    let of_colorants =
        colorants.flat_map(|one| one.unusual().into_iter().map(|own| (&one.name, own)));
    for (name, unusual) in of_system.chain(of_colorants) {
        say(
            Topic::Datasheet,
            format!("{name}: {}", unusual.words()),
            format!("{name}: {}", unusual.brief()),
            "common practice, no source",
        );
    }
    let of_house = holds.house.unusual();
    for unusual in recipe.colourway.unusual().into_iter().chain(of_house) {
        say(Topic::Recipe, unusual.words(), unusual.brief(), "common practice, no source");
    }
    if let Some((text, brief)) = cold(recipe.system, holds.job, work, units) {
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
    let flat = primer_shows(holds.bases, recipe.colourway.film, work, units);
    let film = recipe.colourway.film;
    let not_known = primer_not_known(holds.bases, film, holds.uprights, work, units);
    for (text, brief) in flat.into_iter().chain(upright).chain(not_known) {
        say(Topic::Primer, text, brief, "ISO 6504-3 (hiding: a contrast ratio of 0.98)");
    }
    // What the mist makes of the air is the first that is said of it.
    if let Some(air) = all.iter_mut().find(|caution| caution.topic == Topic::Air) {
        air.stops = too_much_mist;
    }
    all.sort_by_key(|caution| caution.topic);
    all
}

/// A ceiling as its file states it; none for a colorant that the recipe does not have.
fn stated_ceiling(recipe: &Recipe<'_>, which: &Raised) -> Option<Fraction> {
    match which {
        Raised::Colorant(name) => recipe.colorants.get(name.as_str()).map(|one| one.ceiling),
        Raised::AllColorants => Some(recipe.system.ceilings.colorant),
        Raised::Solvent => Some(recipe.system.ceilings.solvent),
    }
}

/// What is done with a mix that is not poured, as the end of a sentence. (Common practice, no source.)
#[must_use]
pub fn left_over_words(units: Units) -> String {
    let thin = match units {
        Units::Us => "1/8 in",
        Units::Metric => "3 mm",
    };
    format!(
        "spread under {thin} on foil outdoors while it is cool to the hand; what is warm already is not spread but carried outdoors in its vessel to bare ground clear of all that burns; never lid it"
    )
}

/// What is done with part A and pigment in which there is no part B, or too little to gel it, as the end of a sentence:
/// without part B it neither heats nor cures. `part_b` of part B cures it; `none_in`: there is none in it, so that it
/// keeps. (Common practice, no source.)
#[must_use]
pub fn part_a_left_over_words(part_b: &str, none_in: bool) -> String {
    let is = if none_in {
        "part A with pigment, it keeps closed as part A does, for this recipe alone"
    } else {
        "part A with pigment and too little part B to gel, it does not keep"
    };
    format!("{is}; never into the bin wet: mix it off with {part_b} of part B and let it cure")
}

/// The sentence that stands under all cautions on every sheet.
#[must_use]
pub const fn defers() -> &'static str {
    DEFERS
}
