//! Figures that can be, but are so far from what is usual that a slip of a unit or of a key is likelier.
//!
//! - [`System::unusual`], [`Colorant::unusual`]: figures that are read off a datasheet.
//! - [`Colourway::unusual`]: those of a recipe.
//!
//! They are told and stop nothing: there are resins of every kind. All bounds are common practice, no
//! source, and wide, so that whoever is told looks.

use super::colorant::{Colorant, Kind};
use super::colourway::{Base, Colourway, Layer, Pour};
use super::fault::{Step, at};
use super::slip_of_film;
use super::slip_of_length::is_whole;
use super::slip_of_volume;
use super::system::{MixRatio, System};
use super::tenfold::{TENS, meant};
use super::unusual_price::{self, OF_COLORANT, OF_RESIN};
use crate::diagnostic::Severity;
use crate::model::Faults;
use crate::quantity::{Density, Fraction, Length, Mass, TimeSpan, Units, Volume};

/// Part A to part B, by volume or mass: resins for poured films lie at 1 : 1 to 5 : 1 by volume, some at 10 : 1 by
/// mass.
const USUAL_RATIOS: std::ops::RangeInclusive<f64> = 0.8..=12.0;

/// The same by mass, of which a slip may have been meant: 100 : 10 to 100 : 100.
const USUAL_RATIOS_BY_MASS: std::ops::RangeInclusive<f64> = 1.0..=10.0;

/// Pot lives, min: coating resins state 20–60 min, deep ones some hours.
const USUAL_POT_LIVES_MIN: std::ops::RangeInclusive<f64> = 5.0..=600.0;

/// Those of resins that are poured no thicker than [`THICKEST_COATING`], min.
const USUAL_POT_LIVES_OF_COATINGS_MIN: std::ops::RangeInclusive<f64> = 5.0..=180.0;

/// A resin that may be poured thicker than this in one pour is made for deep ones.
const THICKEST_COATING: Length = Length::from_mm(10.0);

/// The least film of a resin that levels in one pour.
const THICKEST_LEAST_FILM: Length = Length::from_mm(20.0);

/// The thickest film of one pour, mm: coatings 3–10, deep ones up to some 50.
const USUAL_LARGEST_FILMS_MM: std::ops::RangeInclusive<f64> = 0.8..=60.0;

/// A lot's tinting strength against the standing lot: deliveries differ by a few percent, another grade by half.
const USUAL_STRENGTHS: std::ops::RangeInclusive<f64> = 0.5..=2.0;

/// Densities of a part, g/mL: unfilled ones lie at 0.9–1.2.
const USUAL_DENSITIES: std::ops::RangeInclusive<f64> = 0.85..=1.7;

/// The mixed mass that a pot life holds for, g: datasheets state 100 g, 150 g, 8 oz or 1 lb, a few 1 kg.
const USUAL_POT_LIFE_MASSES_G: std::ops::RangeInclusive<f64> = 20.0..=1200.0;

/// The highest ceiling of one colorant, or of all of them in a system: metallic and pearl powders rarely bear more than
/// 10 %, pastes 6–10 %.
pub(super) const HIGHEST_CEILING: f64 = 0.2;

/// The lowest ceiling of a paste or a powder; dyes and inks may be so strong that less is enough.
const LOWEST_CEILING: f64 = 0.001;

/// The least colorant of a tinted base: below a tenth of a gram to a kilogram not even a dye is seen.
const LEAST_TINT: f64 = 0.0001;

/// All colorant of a base that percent typed for parts of one may have been meant for.
const USUAL_TINTS: std::ops::RangeInclusive<f64> = 0.001..=0.1;

/// Ceilings that a slipped point may have been meant for.
const USUAL_CEILINGS: std::ops::RangeInclusive<f64> = 0.005..=HIGHEST_CEILING;

/// Loadings and doses that a slipped point may have been meant for.
const USUAL_LOADINGS: std::ops::RangeInclusive<f64> = 0.0005..=0.1;

/// The least loading that an overdose may have been meant for: tints lie below what is usual of colours.
const LEAST_OVERDOSE_MEANT: f64 = 0.0002;

/// Containers of one kind in a set.
const MOST_IN_A_SET: u32 = 60;

/// Containers that a hand pours from, mL: 2 fl oz to 1 gal.
const USUAL_CONTAINERS_ML: std::ops::RangeInclusive<f64> = 50.0..=4000.0;

/// Containers that a slip may have been meant for, mL: small batches are poured from 8 fl oz to 1 gal.
const MEANT_CONTAINERS_ML: std::ops::RangeInclusive<f64> = 200.0..=4000.0;

/// Densities of colorants, g/mL: inks near 0.8, pastes 1.1–2.5, dry pigments up to 5.
const USUAL_DENSITIES_OF_COLORANTS: std::ops::RangeInclusive<f64> = 0.75..=5.3;

/// The loading that was likely meant where one of more than all the resin is written; a question, as a hint.
pub(super) fn loading_meant(loading: Fraction) -> Option<String> {
    let likely = meant(loading.value(), &USUAL_LOADINGS, TENS)?;
    Some(did_you_mean(&Fraction::new(likely).show(Units::Metric)))
}

/// The density of a part that was likely meant where one that cannot be is written; a question, as a hint.
pub(super) fn density_meant(density: Density) -> Option<String> {
    density_within(density, &USUAL_DENSITIES).map(|likely| did_you_mean(&likely))
}

/// The same of a colorant.
pub(super) fn density_of_colorant_meant(density: Density) -> Option<String> {
    density_within(density, &USUAL_DENSITIES_OF_COLORANTS).map(|likely| did_you_mean(&likely))
}

fn density_within(density: Density, usual: &std::ops::RangeInclusive<f64>) -> Option<String> {
    let likely = Density::from_g_per_ml(meant(density.g_per_ml(), usual, TENS)?);
    Some(format!("{} ({})", likely.show(Units::Metric), likely.show(Units::Us)))
}

/// The film that was likely meant where one outside the system's limits is written; a question, as a hint.
pub(super) fn film_meant(film: Length, least: Length, most: Length) -> Option<String> {
    slip_of_film::meant(film, &(least.mm()..=most.mm())).map(|likely| did_you_mean(&likely))
}

/// The loading that was likely meant where one exceeds a ceiling by far: a tenth or a hundredth of it, where that is safe;
/// a question, as a hint. None of one that is less than twice what is safe. Both loadings are parts of one of the same
/// mass.
#[must_use]
pub fn overdose_meant(loading: Fraction, safe: Fraction) -> Option<String> {
    if loading.value() < 2.0 * safe.value() {
        return None;
    }
    let likely = meant(loading.value(), &(LEAST_OVERDOSE_MEANT..=safe.value()), TENS)?;
    Some(did_you_mean(&Fraction::new(likely).show(Units::Metric)))
}

fn did_you_mean(likely: &str) -> String {
    format!("did you mean {likely}?")
}

/// Where a figure is read off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReadOff {
    Datasheet,
    Recipe,
    Price,
    House,
}

/// An unusual figure of a datasheet or of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Unusual {
    /// Where in the file it stands.
    pub path: Vec<Step>,
    /// What it is: `a pot life of 35 h`.
    pub(super) what: String,
    /// Which was likely meant, where a slip of the point or of the unit makes it usual: `40 min`.
    pub(super) meant: Option<String>,
    /// What it may be mistaken for: `minutes typed as h`.
    pub(super) mistaken: &'static str,
    /// What is usual.
    pub(super) usual: &'static str,
    /// Where it is read off.
    pub(super) read_off: ReadOff,
}

impl Unusual {
    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        let so = match self.read_off {
            ReadOff::Datasheet => "is it read off the datasheet so?",
            ReadOff::Recipe | ReadOff::House => "is it meant so?",
            ReadOff::Price => "is it on the bill so?",
        };
        let asked = self.asked();
        let asked = if asked.is_empty() { asked } else { format!("({asked}) ") };
        format!("unusual: {}: {so} {asked}{}", self.what, self.usual)
    }

    /// What was likely meant, and what it may be mistaken for.
    fn asked(&self) -> String {
        let meant = self.meant.as_ref().map(|meant| format!("did you mean {meant}?"));
        let mistaken = (!self.mistaken.is_empty()).then(|| self.mistaken.to_owned());
        meant.into_iter().chain(mistaken).collect::<Vec<_>>().join(" ")
    }

    /// In few words.
    #[must_use]
    pub fn brief(&self) -> String {
        let at = match self.read_off {
            ReadOff::Datasheet => "the datasheet",
            ReadOff::Recipe => "the recipe",
            ReadOff::Price => "the bill",
            ReadOff::House => "house.ron",
        };
        let asked = self.asked();
        let asked = if asked.is_empty() { asked } else { format!(" ({asked})") };
        format!("unusual: {}: look at {at} first{asked}", self.what)
    }
}

/// What is unusual as cautions, each at its place.
pub(super) fn as_doubts(all: Vec<Unusual>) -> Faults {
    let mut doubts = Faults::default();
    for unusual in all {
        let words = unusual.words();
        doubts.push(unusual.path, Severity::Caution, words);
    }
    doubts
}

impl System {
    /// Its figures that are unusual. A mix ratio that the equivalent weights of the same file bear out is none, nor one
    /// that they deny, which is told by [`System::off_equivalents`]; but one by mass that they bear out only by volume is.
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let mut all = Vec::new();
        let (a, b, by) = match self.ratio {
            MixRatio::Volume { a, b } => (a, b, "volume"),
            MixRatio::Mass { a, b } => (a, b, "mass"),
        };
        if self.stoichiometry.is_none() && !USUAL_RATIOS.contains(&(a / b)) {
            // By mass B is stated to 100 parts of A, and a point of it slips.
            let of_hundred = (by == "mass" && a == 100.0 && a < b)
                .then(|| meant(a / b, &USUAL_RATIOS_BY_MASS, TENS))
                .flatten()
                .map(|likely| format!("100 : {}", libm::round(a / likely * 1e6) / 1e6));
            let is_slipped = of_hundred.is_some();
            all.push(Unusual {
                path: at!["ratio"],
                what: format!("a mix ratio A : B of {a} : {b} by {by}"),
                meant: of_hundred.or_else(|| {
                    meant(a / b, &USUAL_RATIOS, TENS)
                        .filter(|_| a > b)
                        .map(|likely| format!("{} : 1", libm::round(likely * 1e6) / 1e6))
                }),
                mistaken: match a < b {
                    true if is_slipped => "",
                    true => "A and B swapped?",
                    false => "a nought too many?",
                },
                usual: "Resins for poured films lie at 1 : 1 to 5 : 1 by volume, some at 10 : 1 by mass",
                read_off: ReadOff::Datasheet,
            });
        }
        all.extend(self.ratio_meant_by_volume());
        for (field, part, density) in
            [("density_a", "A", self.density_a), ("density_b", "B", self.density_b)]
        {
            if !USUAL_DENSITIES.contains(&density.g_per_ml()) {
                all.push(Unusual {
                    path: at![field],
                    what: format!(
                        "a density of part {part} of {} ({})",
                        density.show(Units::Metric),
                        density.show(Units::Us)
                    ),
                    meant: density_within(density, &USUAL_DENSITIES),
                    mistaken: "another unit? that of a filled product?",
                    usual: "Part A is usually near 1.15 g/mL (9.6 lb/gal), part B near 0.97 g/mL (8.1 lb/gal)",
                    read_off: ReadOff::Datasheet,
                });
            }
        }
        let minutes = self.pot_life.time.min();
        let usual = match self.film_max > THICKEST_COATING {
            true => USUAL_POT_LIVES_MIN,
            false => USUAL_POT_LIVES_OF_COATINGS_MIN,
        };
        if !usual.contains(&minutes) {
            let long = minutes > *usual.end();
            all.push(Unusual {
                path: at!["pot_life", "time"],
                what: format!("a pot life of {}", self.pot_life.time.show(Units::Metric)),
                // A place of the point, else minutes for hours.
                meant: meant(minutes, &usual, &[10.0, 60.0])
                    .map(|likely| TimeSpan::from_min(likely).show(Units::Metric)),
                mistaken: if long {
                    "minutes typed as h? the time to cure?"
                } else {
                    "hours typed as min?"
                },
                usual: "Coating resins state 20–60 min, deep ones some hours",
                read_off: ReadOff::Datasheet,
            });
        }
        if self.density_b > self.density_a {
            all.push(Unusual {
                path: at!["density_b"],
                what: format!(
                    "a hardener denser than its resin: part B {} ({}), part A {} ({})",
                    self.density_b.show(Units::Metric),
                    self.density_b.show(Units::Us),
                    self.density_a.show(Units::Metric),
                    self.density_a.show(Units::Us)
                ),
                meant: None,
                mistaken: "A and B swapped?",
                usual: "Part A is usually at 1.10–1.17 g/mL (9.2–9.8 lb/gal), part B at 0.93–1.05 g/mL (7.8–8.8 lb/gal)",
                read_off: ReadOff::Datasheet,
            });
        }
        let films = self.film_min.mm()..=self.film_max.mm();
        if *films.start() > THICKEST_LEAST_FILM.mm()
            || !USUAL_LARGEST_FILMS_MM.contains(films.end())
        {
            let in_both = |film: Length| {
                format!("{} ({})", film.show_film(Units::Metric), film.show_film(Units::Us))
            };
            all.push(Unusual {
                path: at!["film"],
                what: format!("films of {} to {}", in_both(self.film_min), in_both(self.film_max)),
                meant: None,
                mistaken: "ft typed for in, cm for mm? a slipped point?",
                usual: "Coating resins take 1–6 mm (40–250 mil) in one pour, deep ones up to some 50 mm (2 in)",
                read_off: ReadOff::Datasheet,
            });
        }
        let mass = self.pot_life.mass;
        if !USUAL_POT_LIFE_MASSES_G.contains(&mass.g()) {
            all.push(Unusual {
                path: at!["pot_life", "mass"],
                what: format!("a pot life stated for {} of mix", in_both(mass)),
                meant: pot_life_mass_meant(mass).map(in_both),
                mistaken: if mass.g() > *USUAL_POT_LIFE_MASSES_G.end() {
                    "oz typed as lb? g typed as kg? the mass of the whole kit?"
                } else {
                    "kg typed as g?"
                },
                usual: "Datasheets state it for 100 g to 1 lb, a few for 1 kg (2.2 lb)",
                read_off: ReadOff::Datasheet,
            });
        }
        all.extend(self.unusual_of_sheet());
        all.extend(unusual_price::of(&self.packages, self.mixed_density(), &OF_RESIN));
        all
    }
}

/// The mass of a pot life that was likely meant: ounces for pounds, a place of the point, grams for kilograms, and of these
/// the first that a datasheet would state.
fn pot_life_mass_meant(mass: Mass) -> Option<Mass> {
    let usual = |slip| meant(mass.g(), &USUAL_POT_LIFE_MASSES_G, &[slip]).map(Mass::from_g);
    let is_ounces = |likely: &Mass| is_whole(likely.lb() * 16.0);
    let is_stated = |likely: &Mass| is_whole(likely.g() / 5.0) || is_ounces(likely);
    usual(16.0)
        .filter(is_ounces)
        .or_else(|| [10.0, 1000.0].into_iter().filter_map(usual).find(is_stated))
}

/// The ceiling that was likely meant.
pub(super) fn ceiling_meant(ceiling: Fraction) -> Option<String> {
    let likely = meant(ceiling.value(), &USUAL_CEILINGS, &[10.0])?;
    Some(Fraction::new(likely).show(Units::Metric))
}

/// The same of one that is too low: percent typed for parts of one first.
pub(super) fn low_ceiling_meant(ceiling: Fraction) -> Option<String> {
    let likely = meant(ceiling.value(), &(0.01..=0.1), &[100.0, 10.0])?;
    Some(Fraction::new(likely).show(Units::Metric))
}

/// A mass that may be a few grams or some hundred kilograms: `200 kg (440.9 lb)`.
pub(super) fn in_both(mass: Mass) -> String {
    let rounded = |figure: f64| libm::round(figure * 10.0) / 10.0;
    let (g, lb) = (mass.g(), mass.lb());
    if g < 1000.0 {
        format!("{} g ({} oz)", rounded(g), rounded(lb * 16.0))
    } else {
        format!("{} kg ({} lb)", rounded(g / 1000.0), rounded(lb))
    }
}

impl Colorant {
    /// Its figures that are unusual.
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let high = self.ceiling.value() > HIGHEST_CEILING;
        let is_strong = matches!(self.kind, Kind::Dye | Kind::LiquidAccent);
        let low = self.ceiling.value() < LOWEST_CEILING && !is_strong;
        let told = (high || low).then(|| Unusual {
            path: at!["ceiling"],
            what: format!("a ceiling of {}", self.ceiling.show(Units::Metric)),
            meant: if high {
                ceiling_meant(self.ceiling)
            } else {
                low_ceiling_meant(self.ceiling)
            },
            mistaken: if high { "its solids?" } else { "" },
            usual: "Metallic and pearl powders rarely bear more than 10 % of the mixed mass, pastes 6–10 %",
            read_off: ReadOff::Datasheet,
        });
        let prices = unusual_price::of(&self.packages, self.density, &OF_COLORANT);
        let own = [self.unusual_kind(), self.unusual_strength()];
        told.into_iter().chain(own.into_iter().flatten()).chain(prices).collect()
    }

    /// The strength of its lot, which all its weights rest on.
    fn unusual_strength(&self) -> Option<Unusual> {
        let strength = self.lot_strength();
        (!USUAL_STRENGTHS.contains(&strength)).then(|| Unusual {
            path: at!["lot", "strength"],
            what: format!("a lot of {} strength", Fraction::new(strength).show(Units::Metric)),
            meant: meant(strength, &(0.8..=1.25), TENS)
                .map(|likely| Fraction::new(likely).show(Units::Metric)),
            mistaken: "",
            usual: "Lots differ by a few percent; every weight of this colorant is divided by it",
            read_off: ReadOff::Datasheet,
        })
    }
}

impl Pour {
    /// That its parts come near a hundred and miss it, in words: whoever wrote them as per cent has mistyped one. It spoils
    /// nothing where they are parts, so no plan tells it.
    fn beside_a_hundred(&self) -> Option<String> {
        let parts = self.layers.iter().filter_map(|layer| match layer {
            Layer::Base { parts, .. } => Some(*parts),
            Layer::Accent { .. } => None,
        });
        let parts: Vec<f64> = parts.collect();
        let total: f64 = parts.iter().sum();
        let misses = (80.0..=120.0).contains(&total) && libm::fabs(total - 100.0) > 0.5;
        let as_percent =
            parts.iter().all(|own| is_whole(*own)) && parts.iter().any(|own| *own >= 10.0);
        if parts.len() < 2 || !misses || !as_percent || self.parts_meant().is_some() {
            return None;
        }
        let (off, how) = match total < 100.0 {
            true => (100.0 - total, "missing"),
            false => (total - 100.0, "too many"),
        };
        Some(format!(
            "the parts of the pour \"{}\" sum to {total:.0}: fine if they are parts; if they are meant as per cent, {off:.0} are {how}",
            self.name
        ))
    }

    /// The parts of a base layer that were likely meant where one slip of their point makes those of all layers a hundred:
    /// which layer, and how many.
    fn parts_meant(&self) -> Option<(usize, f64)> {
        let parts = |layer: &Layer| match layer {
            Layer::Base { parts, .. } => Some(*parts),
            Layer::Accent { .. } => None,
        };
        let total: f64 = self.layers.iter().filter_map(parts).sum();
        let makes_all = |likely: f64, own: f64| libm::fabs(total - own + likely - 100.0) < 1e-6;
        let mut each = self.layers.iter().enumerate();
        each.find_map(|(at, layer)| {
            let own = parts(layer).filter(|own| *own < total && !makes_all(*own, *own))?;
            let all = TENS.iter().flat_map(|slip| [own / slip, own * slip]);
            all.into_iter().find(|likely| makes_all(*likely, own)).map(|likely| (at, likely))
        })
    }
}

impl Base {
    /// All its colorant, where that is too little to be seen.
    fn too_faint(&self) -> Option<Unusual> {
        let all: f64 = self.colorants.iter().map(|dose| dose.loading.value()).sum();
        if self.colorants.is_empty() || all >= LEAST_TINT {
            return None;
        }
        let percent = |share: f64| Fraction::new(share).show(Units::Metric);
        let (path, together) = match &self.colorants[..] {
            [one] => (at!["bases", &self.name, "colorants", &one.colorant], ""),
            _ => (at!["bases", &self.name, "colorants"], " together"),
        };
        Some(Unusual {
            path,
            what: format!("a base \"{}\" of {} colorant{together}", self.name, percent(all)),
            meant: meant(all, &USUAL_TINTS, &[100.0, 1000.0]).map(percent),
            mistaken: "",
            usual: "Bases hold 0.1–8 % of colorant, faint tints of a dye 0.02 %",
            read_off: ReadOff::Recipe,
        })
    }
}

/// A container that no hand pours from, where it is so large, or so small.
pub(super) fn unusual_container(container: Volume, read_off: ReadOff) -> Option<Unusual> {
    let in_both =
        |volume: Volume| format!("{} ({})", volume.show(Units::Us), volume.show(Units::Metric));
    (!USUAL_CONTAINERS_ML.contains(&container.ml())).then(|| Unusual {
        path: at!["container"],
        what: format!("a container of {}", in_both(container)),
        meant: slip_of_volume::meant(container, &MEANT_CONTAINERS_ML),
        mistaken: "",
        usual: "A hand pours from 2 fl oz to 1 gal (60 mL to 4 L)",
        read_off,
    })
}

impl Colourway {
    /// Its figures that are unusual.
    #[must_use]
    pub fn unusual(&self) -> Vec<Unusual> {
        let told = unusual_container(self.container, ReadOff::Recipe);
        let faint = self.bases.values().filter_map(Base::too_faint);
        let parts = self.pours.iter().enumerate().filter_map(|(at, pour)| {
            let (layer, likely) = pour.parts_meant()?;
            let Some(Layer::Base { base, parts }) = pour.layers.get(layer) else { return None };
            Some(Unusual {
                path: at!["pours", at, "layers", layer, 1_usize],
                what: format!("{parts} parts of \"{base}\" in \"{}\"", pour.name),
                meant: Some(format!("{likely} parts")),
                mistaken: "",
                usual: "With that the parts of all its layers make 100",
                read_off: ReadOff::Recipe,
            })
        });
        let counts = self.pours.iter().enumerate().filter(|(_, pour)| pour.count > MOST_IN_A_SET);
        let counts = counts.map(|(at, pour)| Unusual {
            path: at!["pours", at, "count"],
            what: format!("{} containers of \"{}\" in one set", pour.count, pour.name),
            meant: None,
            mistaken: "a nought too many?",
            usual: "A set is the containers of one sample board, some 2 to 20; a job takes as many as it needs in this proportion",
            read_off: ReadOff::Recipe,
        });
        told.into_iter().chain(faint).chain(parts).chain(counts).collect()
    }

    /// What is doubtful in figures that can be: told, but in nobody's way.
    #[must_use]
    pub fn doubts(&self) -> Faults {
        let mut doubts = as_doubts(self.unusual());
        for (at, pour) in self.pours.iter().enumerate() {
            if let Some(words) = pour.beside_a_hundred() {
                doubts.push(at!["pours", at, "layers"], Severity::Caution, words);
            }
        }
        doubts
    }
}
