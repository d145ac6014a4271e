//! Loadings for a wanted colour.

use std::collections::BTreeMap;

use crate::colour::{Srgb8, smooth_reflectance_of_srgb};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::matching::{Answer, Ask, Looking, Rank, Unmatched, find};
use crate::model::{Colorant, Colourway, Finish, Job, Override, Primer, Recipe, Shop, System};
use crate::picture::{APPROXIMATE, Note, Pair, Pairs, pairs};
use crate::plan::Limits;
use crate::predict::{Viewing, look_of_base};
use crate::quantity::{Length, Mass, Units};
use crate::report::{MatchHead, colour_unknown_words};
use crate::spectrum::{Illuminant, Observer, Spectrum, weights};
use crate::store::Opened;
use crate::suggest::{listed, some_listed};

use super::find::{colorant_weighed, curable, named};
use super::match_target::{Seen, Wanted, wanted};
use super::plan::{colourway, sound_house};
use super::swatch::Picture;

/// Weights of the further lamps where none is stated.
const FURTHER_LAMP: f64 = 0.3;

/// What to match, and with what.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchAsk {
    /// `#5a6f7c`, `52,-3.5,8`, `COLOURWAY/BASE`, or a file of readings (`FILE` or `FILE#SAMPLE`).
    pub target: String,
    /// The lamp that a target in Lab was read under.
    pub target_lamp: Illuminant,
    /// The colourway whose system, film and primer are taken; the job's own where none is named.
    pub colourway: Option<String>,
    /// The job whose raised ceilings hold.
    pub job: Option<String>,
    /// Another resin system.
    pub system: Option<String>,
    /// Another film.
    pub film: Option<Length>,
    /// Another primer.
    pub primer: Option<Srgb8>,
    /// Lamps with their weights; daylight, lamp light and an LED where none is named.
    pub lamps: Vec<(Illuminant, Option<f64>)>,
    /// The observer.
    pub observer: Observer,
    /// Only these colorants; all that Kubelka–Munk holds for where none is named.
    pub only: Vec<String>,
    /// Colorants that every recipe has to hold.
    pub must: Vec<String>,
    /// Colorants that none may hold.
    pub never: Vec<String>,
    /// What is in stock of colorants.
    pub stock: Vec<(String, Mass)>,
    /// Most colorants in a recipe.
    pub most: usize,
    /// Mixed resin of the batch to be weighed.
    pub batch: Option<Mass>,
    /// How many alternatives.
    pub alternatives: usize,
    /// What they are ranked by.
    pub rank: Rank,
    /// Whether recipes that the primer shows through are ranked like those that hide it.
    pub show_through: bool,
}

/// What was matched.
#[derive(Debug, Clone, PartialEq)]
pub struct Matched {
    /// What it was matched for.
    pub head: MatchHead,
    /// The recipes.
    pub answer: Answer,
}

/// What is taken from a colourway, a system or the words.
struct Ground<'a> {
    system: &'a System,
    film: Length,
    primer: Spectrum,
    shown: Srgb8,
    /// What nobody stated, and what a colourway cannot lend, in words.
    notes: Vec<String>,
}

/// Colorants left out are named up to so many, then counted.
const MOST_NAMED: usize = 4;

/// Matches.
///
/// # Errors
/// Names that nothing has, a target that cannot be read, or an ask that has no answer.
pub fn match_colour(opened: &Opened, ask: &MatchAsk) -> Result<Matched, Diagnostics> {
    sound_house(opened)?;
    let shop = &opened.shop;
    let house = &shop.house;
    let job = job_of(opened, ask.job.as_deref())?;
    let raised = job.map_or(&[][..], |job| &job.overrides);
    let ground = ground(opened, ask, job)?;
    curable(opened, ground.system)?;
    let lamps = lamps(ask);
    let seen = Seen { lamp: ask.target_lamp.clone(), observer: ask.observer };
    let Wanted { target, words, mut notes } = wanted(opened, &ask.target, seen, ground.system)?;
    let colorant = |word: &String| -> Result<&Colorant, Diagnostics> {
        let files = &opened.files.colorants;
        named(opened, "colorant", word, &shop.colorants, |name| files.get(name)).map(|(_, c)| c)
    };
    let names = |words: &[String]| -> Result<Vec<String>, Diagnostics> {
        words.iter().map(|word| Ok(colorant(word)?.name.clone())).collect()
    };
    let limits = Limits { system: ground.system, off_ratio: house.off_ratio_limit.value(), raised };
    let usual = |c: &&Colorant| c.finish == Finish::Plain && c.optics.is_some() && !limits.bars(c);
    let must = names(&ask.must)?;
    let mut shelf: Vec<&Colorant> = if ask.only.is_empty() {
        shop.colorants.values().filter(usual).collect()
    } else {
        ask.only.iter().map(colorant).collect::<Result<_, _>>()?
    };
    for name in &must {
        if let Some(colorant) = shop.colorants.get(name)
            && !shelf.iter().any(|known| known.name == *name)
        {
            shelf.push(colorant);
        }
    }
    let beyond: Vec<&Colorant> = shop
        .colorants
        .values()
        .filter(usual)
        .filter(|c| !shelf.iter().any(|known| known.name == c.name))
        .collect();
    let mut stock = BTreeMap::new();
    for (word, mass) in &ask.stock {
        stock.insert(colorant_weighed(opened, word)?.name.clone(), *mass);
    }
    let never = names(&ask.never)?;
    let choice = shelf.len();
    if ask.only.is_empty() {
        let chosen = |c: &Colorant| {
            never.contains(&c.name) || shelf.iter().any(|known| known.name == c.name)
        };
        let rest: Vec<&Colorant> = shop.colorants.values().filter(|c| !chosen(c)).collect();
        notes.extend(left_out(&rest, &limits));
    }
    let only: Vec<String> = match ask.only.is_empty() {
        true => Vec::new(),
        false => shelf.iter().map(|colorant| colorant.name.clone()).collect(),
    };
    let answer = find(&Ask {
        limits,
        house,
        shelf,
        beyond,
        must,
        never: never.clone(),
        stock: stock.clone(),
        most: ask.most,
        target,
        looking: Looking {
            film: ground.film,
            primer: ground.primer,
            lamps: lamps.clone(),
            observer: ask.observer,
        },
        batch: ask.batch,
        alternatives: ask.alternatives,
        rank: ask.rank,
        show_through: ask.show_through,
    })
    .map_err(|why| {
        if matches!(why, Unmatched::EmptyShelf | Unmatched::NoOptics) {
            nothing_to_choose(shop, &only, &never)
        } else {
            Diagnostic::error(why.to_string())
        }
    })?;
    let viewing = |lamp: &Illuminant| Viewing {
        film: ground.film,
        primer: ground.primer,
        lamp: lamp.clone(),
        observer: ask.observer,
    };
    notes.splice(0..0, ground.notes);
    let head = MatchHead {
        target: words,
        notes,
        raised: raised.iter().map(Override::words).collect(),
        stock,
        system: ground.system.name.clone(),
        film: ground.film,
        primer: ground.shown,
        viewings: lamps.iter().map(|(lamp, _)| viewing(lamp).words()).collect(),
        weights: lamps.iter().map(|(_, weight)| *weight).collect(),
        choice,
        within: house.match_within,
        near_ceiling: house.near_ceiling,
    };
    Ok(Matched { head, answer })
}

/// What is left out of the choice though nobody asked for that, and what would bring it in.
fn left_out(rest: &[&Colorant], limits: &Limits<'_>) -> Vec<String> {
    let told = |which: &dyn Fn(&Colorant) -> bool, why: &str| {
        let names: Vec<&str> = rest.iter().filter(|c| which(c)).map(|c| c.name.as_str()).collect();
        let listed = some_listed(&names, MOST_NAMED);
        (!names.is_empty()).then(|| format!("LEFT OUT, {why}: {listed}."))
    };
    let unseen = told(
        &|c| c.optics.is_none(),
        "for want of optical data, which `pourbook characterise` makes from drawdowns (book/src/readings.md)",
    );
    let barred = told(
        &|c| c.optics.is_some() && limits.bars(c),
        "for the resin system takes no solvent or non-reactive carrier",
    );
    [unseen, barred].into_iter().flatten().collect()
}

/// The bases of a colourway whose colours are not known, where there are any: what is taken from it is not these.
fn lends_no_colour(opened: &Opened, way: &Colourway) -> Option<String> {
    let recipe = Recipe::of(&opened.shop, way).ok()?;
    let viewing = Viewing::of(&recipe);
    let unknown = |name: &&String| look_of_base(&recipe, name, &viewing).is_err();
    let names: Vec<&str> = way.bases.keys().filter(unknown).map(String::as_str).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Of \"{}\" the resin system, film and primer are taken; how its {} would look is not known, for want of optical data.",
            way.name,
            some_listed(&names, MOST_NAMED)
        )
    })
}

/// Why nothing is left to choose from, kind by kind, and what would bring something back: of the colorants `only` where
/// some are named, else of all.
fn nothing_to_choose(shop: &Shop, only: &[String], never: &[String]) -> Diagnostic {
    if shop.colorants.is_empty() {
        return Diagnostic::error("no colorant is left to choose from: the shop has none")
            .hint("write one a file into its colorants folder (book/src/files.md)");
    }
    let names = |left_out: &dyn Fn(&Colorant) -> bool| -> Vec<String> {
        let meant = |c: &&Colorant| only.is_empty() || only.contains(&c.name);
        let all = shop.colorants.values().filter(meant).filter(|c| left_out(c));
        all.map(|c| c.name.clone()).collect()
    };
    let banned = |c: &Colorant| never.contains(&c.name);
    let unseen = names(&|c| !banned(c) && c.optics.is_none());
    let effect = names(&|c| !banned(c) && c.optics.is_some() && c.finish != Finish::Plain);
    let mut why = Vec::new();
    let mut add = |names: &[String], reason: &str| {
        if !names.is_empty() {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            why.push(format!("{reason}: {}", listed(&names, "and")));
        }
    };
    add(&names(&banned), "left out by --never");
    add(&unseen, "without optical data");
    if only.is_empty() {
        add(&effect, "pearls and metal flakes, which only --only takes");
    }
    let mut told =
        Diagnostic::error(format!("no colorant is left to choose from ({})", why.join("; ")));
    if !only.is_empty() {
        told = told.hint("name others with --only, or leave --only out");
    }
    if !never.is_empty() {
        told = told.hint("name fewer with --never");
    }
    if !unseen.is_empty() {
        told = told.hint(colour_unknown_words(&unseen));
    }
    told
}

fn lamps(ask: &MatchAsk) -> Vec<(Illuminant, f64)> {
    let usual = [Illuminant::D65, Illuminant::A, Illuminant::LedB3].map(|lamp| (lamp, None));
    let named = if ask.lamps.is_empty() { &usual[..] } else { &ask.lamps };
    named
        .iter()
        .enumerate()
        .map(|(at, (lamp, weight))| {
            (lamp.clone(), weight.unwrap_or(if at == 0 { 1.0 } else { FURTHER_LAMP }))
        })
        .collect()
}

/// The job whose raised ceilings hold, where one is named.
pub(super) fn job_of<'a>(
    opened: &'a Opened,
    word: Option<&str>,
) -> Result<Option<&'a Job>, Diagnostics> {
    let files = &opened.files.jobs;
    word.map(|word| {
        named(opened, "job", word, &opened.shop.jobs, |name| files.get(name)).map(|(_, job)| job)
    })
    .transpose()
}

fn ground<'a>(
    opened: &'a Opened,
    ask: &MatchAsk,
    job: Option<&Job>,
) -> Result<Ground<'a>, Diagnostics> {
    let shop = &opened.shop;
    let own = job.and_then(|job| job.colourway.as_ref());
    let way = match ask.colourway.as_ref().or(own) {
        Some(word) => Some(colourway(opened, word)?.0),
        None => None,
    };
    let files = &opened.files.systems;
    let word = ask.system.clone().or_else(|| way.map(|way| way.system.clone()));
    let system = match word {
        Some(word) => named(opened, "system", &word, &shop.systems, |name| files.get(name))?.1,
        None => shop.systems.values().next().ok_or_else(|| {
            Diagnostic::error("the shop has no resin system").hint("pourbook check")
        })?,
    };
    let mut assumed = Vec::new();
    if way.is_none() {
        let units = shop.house.units;
        // Without a colourway: half-way between what the system allows, over a white primer.
        if ask.system.is_none() && shop.systems.len() > 1 {
            assumed.push(format!("the resin system {} (--system)", system.name));
        }
        if ask.film.is_none() {
            assumed.push(format!(
                "a film of {}, half-way between its thinnest and thickest (--film)",
                middle_of(system).show_film(units)
            ));
        }
        if ask.primer.is_none() {
            assumed.push(format!("the primer {WHITE_PRIMER} (--primer)"));
        }
    }
    if !assumed.is_empty() {
        let all: Vec<&str> = assumed.iter().map(String::as_str).collect();
        assumed = vec![format!(
            "ASSUMED, for nothing states it: {}. Another film or primer is another recipe: state yours, or take a colourway's with --like.",
            crate::suggest::listed(&all, "and")
        )];
    }
    let film = ask.film.or_else(|| way.map(|way| way.film)).unwrap_or_else(|| middle_of(system));
    let (primer, shown) = match (ask.primer, way) {
        (None, Some(way)) => {
            let Primer::Colour(shown) = way.primer;
            (*way.primer_reflectance(), shown)
        }
        (colour, _) => {
            let shown = colour.unwrap_or(WHITE_PRIMER);
            (smooth(shown)?, shown)
        }
    };
    let mut notes = assumed;
    // What a job brings with it was not asked for by name.
    let like = way.filter(|_| ask.colourway.is_some());
    notes.extend(like.and_then(|way| lends_no_colour(opened, way)));
    Ok(Ground { system, film, primer, shown, notes })
}

/// The primer where none is stated: a white one.
const WHITE_PRIMER: Srgb8 = Srgb8::new(0xf2, 0xf2, 0xf0);

/// The film where none is stated: half-way between what the system allows.
fn middle_of(system: &System) -> Length {
    Length::from_mm(f64::midpoint(system.film_min.mm(), system.film_max.mm()))
}

fn smooth(colour: Srgb8) -> Result<Spectrum, Diagnostic> {
    let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    smooth_reflectance_of_srgb(colour, &daylight).map_err(|_| {
        Diagnostic::error(format!("no paint has the colour {colour}"))
            .hint("take the primer's colour from its card or a photograph")
    })
}

/// Chips of the target beside each recipe, a picture for each lamp.
///
/// # Errors
/// Only where memory runs out.
pub fn match_pictures(matched: &Matched, units: Units) -> Result<Vec<Picture>, Diagnostics> {
    let aimed = &matched.answer.aimed;
    let mut all = Vec::with_capacity(matched.head.viewings.len());
    for (lamp, viewing) in matched.head.viewings.iter().enumerate() {
        let rows = matched
            .answer
            .candidates
            .iter()
            .enumerate()
            .filter_map(|(number, candidate)| {
                let look = candidate.looks.get(lamp)?;
                let mut words: Vec<String> = candidate
                    .doses
                    .iter()
                    .map(|dose| format!("{} {:.4} %", dose.colorant, dose.loading * 100.0))
                    .collect();
                if !candidate.hides() {
                    words.push("the primer shows through".to_owned());
                }
                Some(Pair {
                    name: format!("{}", number + 1),
                    colour: look.shown,
                    delta_e: candidate.delta_e.get(lamp).copied().unwrap_or_default(),
                    words,
                })
            })
            .collect();
        let title = format!("{} under {viewing}", matched.head.target);
        let picture = pairs(&Pairs {
            title: title.clone(),
            under: format!("{} · film {}", matched.head.system, matched.head.film.show_film(units)),
            target: aimed.shown.get(lamp).copied().unwrap_or(Srgb8::new(0, 0, 0)),
            rows,
        })
        .map_err(|why| Diagnostic::error(why.to_string()))?;
        let note = |keyword, text: String| Note { keyword, text };
        let notes = [
            note("Title", title),
            note("Description", format!("{APPROXIMATE}; {viewing}")),
            note("Software", concat!("pourbook ", env!("CARGO_PKG_VERSION")).to_owned()),
            note("Lamp", viewing.clone()),
        ];
        let bytes = picture.png(&notes).map_err(|why| Diagnostic::error(why.to_string()))?;
        let stem = super::swatch::file_stem(viewing);
        all.push(Picture { file: format!("match-{stem}.png"), bytes });
    }
    Ok(all)
}
