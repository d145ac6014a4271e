//! What bases look like on faces and splashbacks, where the film is thinner than on the flat.

use crate::colour::delta_e_2000;
use crate::model::{Colourway, Job, Recipe};
use crate::optics::HIDING_RATIO;
use crate::predict::{Look, Viewing, look_of_base};
use crate::quantity::{Length, Units};
use crate::suggest::listed;

use super::base::BasePlan;
use super::cautions::SAGS;
use super::take_off::TakeOff;

/// ΔE00 from which a difference on two surfaces that meet at an edge is told (estimated: about what is
/// just seen side by side).
const SEEN_DELTA_E: f64 = 1.0;

/// Nobody coats faces more often than this for the colour alone. (Common practice, no source.)
const MOST_COATS: f64 = 4.0;

/// Faces and splashbacks, once all coats are on.
#[derive(Debug, Clone, PartialEq)]
pub struct Uprights {
    /// What there is of them: `edges`, `splashbacks`, or both.
    pub words: &'static str,
    /// The film that stays on them, in each coat.
    pub film: Length,
    /// How many coats they get.
    pub coats: u32,
    /// Whether that is less than on the flat.
    pub thinner: bool,
    /// The bases whose optics are known, in the plan's order.
    pub bases: Vec<UprightBase>,
}

/// A base on upright faces.
#[derive(Debug, Clone, PartialEq)]
pub struct UprightBase {
    /// Its name.
    pub name: String,
    /// What it looks like there.
    pub look: Look,
    /// ΔE00 between there and the flat.
    pub delta_e: f64,
    /// L* there less L* on the flat: above 0 it comes out paler.
    pub paler: f64,
}

impl UprightBase {
    /// Whether it hides what lies below it.
    #[must_use]
    pub fn hides(&self) -> bool {
        self.look.contrast_ratio >= HIDING_RATIO
    }

    /// How it differs from the flat, if that is seen.
    #[must_use]
    pub fn differs(&self) -> Option<&'static str> {
        (self.delta_e >= SEEN_DELTA_E).then_some(if self.paler.abs() < 0.5 * SEEN_DELTA_E {
            "of another tone"
        } else if self.paler > 0.0 {
            "paler"
        } else {
            "darker"
        })
    }
}

impl Uprights {
    /// Faces and splashbacks of a job; none where it has none.
    pub(super) fn of(
        recipe: &Recipe<'_>,
        job: &Job,
        take_off: &TakeOff,
        bases: &[BasePlan],
    ) -> Option<Self> {
        let any = |area: fn(&super::CounterArea) -> f64| {
            take_off.counters.iter().any(|counter| area(counter) > 0.0)
        };
        let words = match (any(|one| one.faces.m2()), any(|one| one.splashbacks.m2())) {
            (false, false) => return None,
            (true, false) => "edges",
            (false, true) => "splashbacks",
            (true, true) => "edges and splashbacks",
        };
        let colourway: &Colourway = recipe.colourway;
        let coats = f64::from(job.coats);
        let at = |film: Length| Viewing { film: film * coats, ..Viewing::of(recipe) };
        let (flat, upright) = (at(colourway.film), at(job.face_film));
        let seen = |base: &BasePlan| {
            let look = look_of_base(recipe, &base.name, &upright).ok()?;
            let flat = look_of_base(recipe, &base.name, &flat).ok()?;
            Some(UprightBase {
                name: base.name.clone(),
                delta_e: delta_e_2000(look.lab, flat.lab),
                paler: look.lab.l - flat.lab.l,
                look,
            })
        };
        Some(Self {
            words,
            film: job.face_film,
            coats: job.coats,
            thinner: job.face_film < colourway.film,
            bases: bases.iter().filter_map(seen).collect(),
        })
    }

    /// Bases through which the primer shows there.
    pub fn thin(&self) -> impl Iterator<Item = &UprightBase> {
        self.bases.iter().filter(|base| !base.hides())
    }

    /// The film in words: `20 mil`, `2 coats of 20 mil`.
    #[must_use]
    pub fn film_words(&self, units: Units) -> String {
        let film = self.film.show_film(units);
        if self.coats == 1 { film } else { format!("{} coats of {film}", self.coats) }
    }

    /// How bases there differ from the flat: `dove and chalk come out darker`; empty where nobody sees it.
    #[must_use]
    pub fn differ_words(&self) -> String {
        let differing = ["paler", "darker", "of another tone"].into_iter().filter_map(|how| {
            let names: Vec<String> = self
                .bases
                .iter()
                .filter(|base| base.differs() == Some(how))
                .map(|base| format!("\"{}\"", base.name))
                .collect();
            let come = if names.len() == 1 { "comes" } else { "come" };
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            (!names.is_empty()).then(|| format!("{} {come} out {how}", listed(&names, "and")))
        });
        differing.collect::<Vec<_>>().join(", ")
    }

    /// The caution in full and in brief; none where every base hides there.
    pub(super) fn caution(&self, units: Units) -> Option<(String, String)> {
        let thin: Vec<&UprightBase> = self.thin().collect();
        if thin.is_empty() {
            return None;
        }
        let each: Vec<String> = thin
            .iter()
            .map(|base| {
                let hides = base.look.hiding_film.map_or_else(
                    || "hides at no film".to_owned(),
                    |film| format!("hides from {}", film.show_film(units)),
                );
                format!(
                    "\"{}\" ({:.3}, {}; {hides})",
                    base.name, base.look.contrast_ratio, base.look.standing
                )
            })
            .collect();
        let differ = self.differ_words();
        let text = format!(
            "on {} at {} the primer shows through: contrast ratio below {HIDING_RATIO} of {}.{} {}",
            self.words,
            self.film_words(units),
            listed(&each.iter().map(String::as_str).collect::<Vec<_>>(), "and"),
            if differ.is_empty() {
                String::new()
            } else {
                format!(" Beside the counter {differ}.")
            },
            self.what_hides(&thin, units),
        );
        let names: Vec<&str> = thin.iter().map(|base| base.name.as_str()).collect();
        let brief = format!("shows on {}: {}", self.words, names.join(", "));
        Some((text, brief))
    }

    /// What would hide the primer there: a thicker film where that does not run, else more coats, else another primer.
    fn what_hides(&self, thin: &[&UprightBase], units: Units) -> String {
        const PRIMER: &str = "a primer nearer to the colour";
        let all: Option<Vec<Length>> = thin.iter().map(|base| base.look.hiding_film).collect();
        let Some(hides) = all.and_then(|films| films.into_iter().reduce(Length::greater)) else {
            return format!("No film hides it there: {PRIMER}");
        };
        let each = hides * (1.0 / f64::from(self.coats.max(1)));
        let coats = (hides / self.film - 1e-9).ceil();
        if each > SAGS && coats > MOST_COATS {
            return format!(
                "It hides from {} on, which is {coats:.0} coats of {} and would run down as one: {PRIMER}",
                hides.show_film(units),
                self.film.show_film(units),
            );
        }
        let coats = match coats {
            coats if coats == f64::from(self.coats) + 1.0 => match self.coats {
                1 => "A second coat there".to_owned(),
                _ => "One more coat there".to_owned(),
            },
            coats => format!("{coats:.0} coats of {} there", self.film.show_film(units)),
        };
        if each <= SAGS {
            return format!(
                "{coats}, {PRIMER}, or a film from {} on, which does not run: face_film in the job",
                each.show_film(units)
            );
        }
        format!(
            "{coats} would hide it, or {PRIMER}: a film of {} would run down",
            each.show_film(units)
        )
    }

    /// What a client is told before approving; none where it looks like the flat.
    #[must_use]
    pub fn approval_words(&self, units: Units) -> Option<String> {
        let differ = self.differ_words();
        (!differ.is_empty()).then(|| {
            let coated = if self.thinner { "coated thinner" } else { "coated" };
            let mut words = self.words.to_owned();
            if let Some(first) = words.get_mut(0..1) {
                first.make_ascii_uppercase();
            }
            format!(
                "{words} are {coated} ({}) and look different from the flat: {differ}.",
                self.film_words(units)
            )
        })
    }
}
