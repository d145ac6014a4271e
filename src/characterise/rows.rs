//! A shop's rows of readings laid out as films over grounds.

use std::collections::BTreeMap;

use super::drawdown::{Covariance, Drawdown, Film, Known, Reading};
use super::finding::{FindingAsk, conditions};
use super::tint_colour::tint_of_colour;
use crate::colour::{Lab, smooth_reflectance};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::drawn::{DrawnRow, FilmStated};
use crate::model::{Optics, Standing};
use crate::optics::{
    Composition, Geometry, Ks, Layer, Portion, Surface, composition, mix_in_binder,
};
use crate::spectrum::{BANDS, Spectrum, weights};
use crate::suggest::{did_you_mean, listed};

/// Internal reflectance of the black and the white of an opacity chart that was not read itself: its
/// black reads near 1 %, its white 80 % (ISO 6504-3 asks ≤ 5 % and 80 ± 2 %).
pub(super) const CHART: [f64; 2] = [0.01, 0.80];

/// What a film was made of.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Make {
    pub(super) drawdown: String,
    pub(super) film_mm: f64,
    pub(super) loadings: BTreeMap<String, f64>,
}

impl Make {
    /// Whether two readings can be of one film.
    fn same(&self, other: &Self) -> bool {
        self.drawdown == other.drawdown
            && self.film_mm == other.film_mm
            && self.loadings == other.loadings
    }
}

/// Rows as drawdowns.
pub(super) struct Laid<'a> {
    pub(super) drawdowns: Vec<Drawdown>,
    /// The rows of each drawdown's readings.
    pub(super) rows: Vec<Vec<&'a DrawnRow>>,
    pub(super) makes: Vec<Make>,
    pub(super) known: Vec<Known>,
    /// Names of the known colorants.
    pub(super) names: Vec<String>,
    /// Whether any reading is a colour alone.
    pub(super) colour_alone: bool,
    pub(super) said: Diagnostics,
}

/// Doubt of a colorant's optical data by where they come from, as a share of the whole: a film off by
/// 2 % makes data measured from it so. Common practice, no source. Demo data were made up exactly.
const fn doubt(standing: Standing) -> f64 {
    match standing {
        Standing::Measured | Standing::Demo => 0.02,
        Standing::Datasheet => 0.05,
        Standing::Estimated => 0.10,
    }
}

/// Optical data as known, with their doubt: the whole by where they come from, each band by a
/// quarter of that.
pub(super) fn known_of(optics: &Optics) -> Known {
    let scale = doubt(optics.standing);
    let own = scale / 4.0;
    let square = |x: f64| (own * x) * (own * x);
    let covariance: [Covariance; BANDS] = std::array::from_fn(|band| Covariance {
        kk: square(optics.unit.k[band]),
        ks: 0.0,
        ss: square(optics.unit.s[band]),
    });
    Known { unit: optics.unit, covariance, scale }
}

/// A film from what a millilitre of it holds: the sought colorant first, then those known.
pub(super) fn film(made: &Composition, others: &[usize], film_mm: f64) -> Film {
    let c = &made.concentrations_g_per_ml;
    Film {
        sought_g_per_ml: c.first().copied().unwrap_or(0.0),
        others_g_per_ml: others.iter().copied().zip(c.iter().skip(1).copied()).collect(),
        resin_volume_fraction: made.resin_volume_fraction,
        film_mm,
    }
}

/// Lays the rows that hold the sought colorant out as films over grounds.
///
/// # Errors
/// Each row's mistake at its place.
pub(super) fn lay_out<'a>(ask: &FindingAsk<'a>) -> Result<Laid<'a>, Diagnostics> {
    let mut laid = Laid {
        drawdowns: Vec::new(),
        rows: Vec::new(),
        makes: Vec::new(),
        known: Vec::new(),
        names: Vec::new(),
        colour_alone: false,
        said: Diagnostics::default(),
    };
    let sought = &ask.colorant.name;
    let holds = |row: &DrawnRow| row.loadings.contains_key(sought);
    let (mut without, mut unread, mut unstated, mut charted) = (0, 0, None, None);
    for row in ask.rows.iter().filter(|row| !row.loadings.is_empty()) {
        if !holds(row) {
            without += 1;
            continue;
        }
        if row.reflectance.is_none() && row.lab.is_none() {
            unread += 1;
            continue;
        }
        if row.geometry.or(ask.geometry).is_none() && row.reflectance.is_some() {
            unstated.get_or_insert(row);
        }
        match one_row(ask, row, &mut laid) {
            Ok(from_chart) => {
                if from_chart {
                    charted.get_or_insert(row);
                }
            }
            Err(told) => laid.said.push(told.at(row.place.clone())),
        }
    }
    if laid.said.stop() {
        return Err(laid.said);
    }
    for (count, what) in
        [(without, format!("hold none of {sought}")), (unread, "hold no reading".into())]
    {
        if count > 0 {
            laid.said.push(Diagnostic::note(format!("{count} rows {what} and are left out")));
        }
    }
    if let Some(row) = unstated {
        laid.said.push(
            Diagnostic::caution(
                "it is not said whether the gloss is in the readings; the doubt is widened for it",
            )
            .at(row.place.clone())
            .hint("a column geometry with included or excluded, or --geometry"),
        );
    }
    if let Some(row) = charted {
        laid.said.push(
            Diagnostic::caution(format!(
                "the bare chart was not read: its black is taken as {} % and its white as {} %",
                100.0 * CHART[0],
                100.0 * CHART[1]
            ))
            .at(row.place.clone())
            .hint("read both bare and add them as rows without loadings, with substrate black and white"),
        );
    }
    if laid.drawdowns.is_empty() {
        let columns: Vec<&str> = names_in(ask.rows);
        let mut told = Diagnostic::error(format!("no reading of a film with {sought} is here"));
        told.hints.extend(did_you_mean(sought, columns.iter().copied()));
        if columns.is_empty() {
            told = told.hint(format!("a column loading_{sought} says how much of it a film holds"));
        } else {
            told = told.hint(format!("there are films with {}", listed(&columns, "and")));
        }
        return Err(told.into());
    }
    Ok(laid)
}

/// Colorants named in rows, each once.
fn names_in(rows: &[DrawnRow]) -> Vec<&str> {
    let mut names: Vec<&str> =
        rows.iter().flat_map(|row| row.loadings.keys().map(String::as_str)).collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// Adds one row; whether it lies over a chart that was not read.
fn one_row<'a>(
    ask: &FindingAsk<'a>,
    row: &'a DrawnRow,
    laid: &mut Laid<'a>,
) -> Result<bool, Diagnostic> {
    let film_mm = match row.film {
        FilmStated::Thick(film) => film.mm(),
        FilmStated::Hides => f64::INFINITY,
        FilmStated::Not => {
            return Err(Diagnostic::error(format!("{}: how thick is the film?", row.id))
                .hint("a column film_mm, or film with \"hides\" for one that hides"));
        }
    };
    let sought = &ask.colorant.name;
    let density = |colorant: &crate::model::Colorant| colorant.density.g_per_ml();
    let mut portions = vec![Portion {
        loading: row.loadings.get(sought).copied().unwrap_or(0.0),
        density_g_per_ml: density(ask.colorant),
    }];
    let mut others = Vec::new();
    for (name, loading) in row.loadings.iter().filter(|(name, _)| *name != sought) {
        let Some(colorant) = ask.shelf.get(name) else {
            let names = ask.shelf.keys().map(String::as_str);
            let mut told =
                Diagnostic::error(format!("no colorant of the shop is called \"{name}\""));
            told.hints.extend(did_you_mean(name, names));
            return Err(told);
        };
        let Some(optics) = &colorant.optics else {
            return Err(Diagnostic::error(format!("\"{name}\" has no optical data yet"))
                .hint(format!("characterise {name} first")));
        };
        let place = laid.names.iter().position(|known| known == name).unwrap_or_else(|| {
            laid.names.push(name.clone());
            laid.known.push(known_of(optics));
            laid.names.len() - 1
        });
        others.push(place);
        portions.push(Portion { loading: *loading, density_g_per_ml: density(colorant) });
    }
    let resin = ask.system.mixed_density().g_per_ml();
    let surface = Surface::of_index(ask.system.clear.refractive_index);
    let (ground, from_chart) = ground(ask, row, &surface)?;
    let stated = row.geometry.or(ask.geometry);
    let (seen, geometry) = match (row.reflectance, row.lab) {
        (Some(read), _) => (read, stated.unwrap_or(Geometry::Unknown)),
        (None, Some(lab)) => {
            laid.colour_alone = true;
            // Colours are taken without the gloss, unless it is said.
            let geometry = stated.unwrap_or(Geometry::SpecularExcluded);
            let scene = Scene { surface, ground, film_mm, geometry, resin };
            let units: Vec<&Ks> = others.iter().map(|at| &laid.known[*at].unit).collect();
            (of_colour(ask, row, lab, &scene, &portions, &units)?, geometry)
        }
        (None, None) => return Ok(false),
    };
    let make = Make { drawdown: row.drawdown.clone(), film_mm, loadings: row.loadings.clone() };
    let reading = Reading { ground, seen, geometry };
    // The same make over the same ground once more is another film, unless it is said not to be.
    let at = laid.makes.iter().rposition(|known| known.same(&make)).filter(|at| {
        let again = |read: &DrawnRow| read.substrate == row.substrate;
        !make.drawdown.is_empty() || !laid.rows[*at].iter().any(|read| again(read))
    });
    match at {
        Some(at) => {
            laid.drawdowns[at].readings.push(reading);
            laid.rows[at].push(row);
        }
        None => {
            let film = film(&composition(resin, &portions), &others, film_mm);
            laid.drawdowns.push(Drawdown { film, readings: vec![reading] });
            laid.rows.push(vec![row]);
            laid.makes.push(make);
        }
    }
    Ok(from_chart)
}

/// Internal reflectance of what lies below a row's film, and whether it was presumed.
fn ground(
    ask: &FindingAsk<'_>,
    row: &DrawnRow,
    surface: &Surface,
) -> Result<(Spectrum, bool), Diagnostic> {
    let word = row.substrate.as_str();
    let bare = |row: &&DrawnRow| row.loadings.is_empty() && row.reflectance.is_some();
    let named = |known: &str| known.eq_ignore_ascii_case(word);
    let under = ask.rows.iter().filter(bare).find(|known| {
        named(if known.substrate.is_empty() { &known.id } else { &known.substrate })
            || named(&known.id)
    });
    if let Some((read, under)) = under.and_then(|under| Some((under.reflectance?, under))) {
        let geometry = under.geometry.or(ask.geometry).unwrap_or(Geometry::Unknown);
        let inside = surface.internal_spectrum(&read, geometry);
        return Ok((inside.map(|r| r.clamp(0.0, 1.0)), false));
    }
    match word.to_ascii_lowercase().as_str() {
        "black" => Ok((Spectrum::flat(CHART[0]), true)),
        "white" => Ok((Spectrum::flat(CHART[1]), true)),
        // Nothing shows through a film that hides.
        "" if row.film == FilmStated::Hides => Ok((Spectrum::flat(0.5), false)),
        "" => Err(Diagnostic::error(format!("{}: what lies below the film?", row.id))
            .hint("a column substrate: black, white, or the name of a row read bare")),
        _ => {
            let names = ask.rows.iter().filter(bare).map(|known| known.id.as_str());
            let mut told =
                Diagnostic::error(format!("{}: nothing called \"{word}\" was read bare", row.id));
            told.hints.extend(did_you_mean(word, names.chain(["black", "white"])));
            Err(told)
        }
    }
}

/// How a colour was seen.
struct Scene {
    surface: Surface,
    ground: Spectrum,
    film_mm: f64,
    geometry: Geometry,
    resin: f64,
}

/// The reflectance of a film of which only the colour is known.
fn of_colour(
    ask: &FindingAsk<'_>,
    row: &DrawnRow,
    lab: [f64; 3],
    scene: &Scene,
    portions: &[Portion],
    units: &[&Ks],
) -> Result<Spectrum, Diagnostic> {
    let eye = weights(ask.lamp, ask.observer);
    let [l, a, b] = lab;
    let seen = Lab { l, a, b }.to_xyz(eye.white());
    let no_such = |why: crate::colour::Unreachable| {
        Diagnostic::error(format!("{}: no such film has that colour: {why}", row.id))
            .hint("Lab under which lamp and for which observer? --lamp and --observer say so")
    };
    let (whole, of_others): (f64, f64) = (
        portions.iter().map(|p| p.loading).sum(),
        portions.iter().skip(1).map(|p| p.loading).sum(),
    );
    if of_others <= 0.0 {
        return smooth_reflectance(seen, &eye).map_err(no_such);
    }
    // The white alone, as much of it as there is colorant in all.
    let alone: Vec<Portion> = portions
        .iter()
        .skip(1)
        .map(|p| Portion { loading: p.loading * whole / of_others, ..*p })
        .collect();
    let made = composition(scene.resin, &alone);
    let amounts: Vec<(f64, &Ks)> =
        made.concentrations_g_per_ml.iter().copied().zip(units.iter().copied()).collect();
    let binder = conditions(ask.system, super::drawdown::Noise::PHOTOGRAPH).binder;
    let ks = mix_in_binder(&binder, made.resin_volume_fraction, &amounts);
    let internal = Layer { ks, film_mm: scene.film_mm.min(1e4) }.over(&scene.ground);
    let white = scene.surface.reading_spectrum(&internal, scene.geometry);
    tint_of_colour(seen, &white, ask.lamp, ask.observer).map_err(no_such)
}
