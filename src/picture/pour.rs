//! A plan as a pour: its containers with their layers, the job's real outlines, and the colour of any
//! film that the colours make together.

use std::collections::BTreeSet;

use crate::colour::ToScreen;
use crate::model::{self, Job, Mist, Recipe, Ribbon};
use crate::optics::{Geometry, Ks, Layer, Surface};
use crate::plan::{LayerPlan, Plan};
use crate::predict::{self, Unseen, Viewing};
use crate::spectrum::{Spectrum, Weights};

use super::scene::{self, Container, Outline, PourColour, PourInput, RibbonPath, Role};

/// Space between counters drawn side by side, mm.
const BETWEEN_MM: f64 = 150.0;

/// The colours of a pour, which any film of them takes its own from.
#[derive(Debug, Clone)]
pub struct Palette {
    /// Names, bases first.
    pub names: Vec<String>,
    films: Vec<Ks>,
    finishes: Vec<scene::Finish>,
    ground: Spectrum,
    surface: Surface,
    weights: Weights,
    screen: ToScreen,
}

impl Palette {
    /// The colours of a recipe under a viewing: bases by name, then accents by name as they are.
    ///
    /// # Errors
    /// Colorants without optical data, each by name.
    pub fn of(recipe: &Recipe<'_>, viewing: &Viewing) -> Result<Self, Unseen> {
        let way = recipe.colourway;
        let (mut names, mut films, mut finishes) = (Vec::new(), Vec::new(), Vec::new());
        let mut without = BTreeSet::new();
        for base in way.bases.values() {
            let mix: Vec<(&str, f64)> =
                base.colorants.iter().map(|d| (d.colorant.as_str(), d.loading.value())).collect();
            match predict::film(recipe, &mix) {
                Ok((film, _, finish)) => {
                    names.push(base.name.clone());
                    films.push(film);
                    finishes.push(drawn(finish));
                }
                Err(Unseen::NoOptics(names)) => without.extend(names),
            }
        }
        for accent in way.accents.values() {
            let colorant = recipe.colorants.get(accent.colorant.as_str());
            let Some((colorant, optics)) =
                colorant.and_then(|one| one.optics.as_ref().map(|own| (one, own)))
            else {
                without.insert(accent.colorant.clone());
                continue;
            };
            names.push(accent.name.clone());
            // Undiluted: as many grams in a millilitre as its density.
            films.push(optics.unit.scaled(colorant.density.g_per_ml()));
            finishes.push(drawn(colorant.finish));
        }
        if !without.is_empty() {
            return Err(Unseen::NoOptics(without.into_iter().collect()));
        }
        let surface = Surface::of_index(recipe.system.clear.refractive_index);
        let weights = viewing.weights();
        Ok(Self {
            names,
            films,
            finishes,
            ground: surface.internal_spectrum(&viewing.primer, Geometry::SpecularExcluded),
            surface,
            screen: ToScreen::from_white(weights.white()),
            weights,
        })
    }

    /// Linear sRGB of a film over the primer that holds so many mm of each colour, mixed: K and S
    /// add by amount.
    #[must_use]
    pub fn linear(&self, amounts_mm: &[f64]) -> [f64; 3] {
        let mut film = Ks::CLEAR;
        for (amount, own) in amounts_mm.iter().zip(&self.films) {
            film.add(*amount, own);
        }
        // The amounts are already in the coefficients: a layer of thickness one.
        let inner = Layer { ks: film, film_mm: 1.0 }.over(&self.ground);
        let seen = self.surface.reading_spectrum(&inner, Geometry::SpecularExcluded);
        self.screen.show(self.weights.xyz(&seen)).linear
    }
}

const fn drawn(finish: model::Finish) -> scene::Finish {
    match finish {
        model::Finish::Plain => scene::Finish::Opaque,
        model::Finish::Pearl => scene::Finish::Pearl,
        model::Finish::Metallic => scene::Finish::Metallic,
    }
}

/// The pour of one coat of a plan.
#[must_use]
pub fn pour_input(
    plan: &Plan,
    recipe: &Recipe<'_>,
    job: &Job,
    palette: &Palette,
    seed: u64,
) -> PourInput {
    let colour = |name: &str| palette.names.iter().position(|known| known == name).unwrap_or(0);
    let pattern = recipe.colourway.pattern;
    let mut containers = Vec::new();
    for batch in &plan.small_batches {
        let layers: Vec<scene::Layer> = batch
            .layers
            .iter()
            .map(|layer| match layer {
                LayerPlan::Base { name, volume, .. } => {
                    scene::Layer { colour: colour(name), volume_ml: volume.ml(), role: Role::Base }
                }
                LayerPlan::Accent { name, colorant, .. } => {
                    let density = recipe.colorants[colorant.as_str()].density;
                    scene::Layer {
                        colour: colour(name),
                        volume_ml: (layer.mass() / density).ml(),
                        role: Role::Accent,
                    }
                }
            })
            .collect();
        for _ in 0..batch.count {
            containers.push(Container { layers: layers.clone() });
        }
    }
    if containers.is_empty() {
        for base in &plan.bases {
            let layer = scene::Layer {
                colour: colour(&base.name),
                volume_ml: plan.demand.out().ml() * base.share,
                role: Role::Base,
            };
            containers.push(Container { layers: vec![layer] });
        }
    }
    PourInput {
        colours: palette.finishes.iter().map(|finish| PourColour { finish: *finish }).collect(),
        containers,
        board: outlines(job),
        film_mm: plan.film.mm(),
        path: match pattern.ribbon {
            Ribbon::Sweep => RibbonPath::Sweep,
            Ribbon::Wander => RibbonPath::Wander,
            Ribbon::Drift => RibbonPath::Drift,
        },
        mist: match pattern.mist {
            Mist::None => scene::Mist::None,
            Mist::Light => scene::Mist::Light,
            Mist::Heavy => scene::Mist::Heavy,
        },
        seed,
    }
}

/// The outlines of a job's counters and boards, side by side. A bare area is drawn as a strip of
/// counter 650 mm deep, or as a square where it is less.
fn outlines(job: &Job) -> Vec<Outline> {
    let mut all = Vec::new();
    let mut x_mm = 0.0;
    let mut place = |outer: Vec<[f64; 2]>, holes: Vec<Vec<[f64; 2]>>| {
        let span = |axis: usize| {
            let along = outer.iter().map(|p| p[axis]);
            (along.clone().fold(f64::INFINITY, f64::min), along.fold(f64::NEG_INFINITY, f64::max))
        };
        let ((left, right), (top, _)) = (span(0), span(1));
        let moved = |corners: Vec<[f64; 2]>| -> Vec<[f64; 2]> {
            corners.into_iter().map(|[x, y]| [x - left + x_mm, y - top]).collect()
        };
        all.push(Outline {
            outer: moved(outer.clone()),
            holes: holes.into_iter().map(moved).collect(),
        });
        x_mm += right - left + BETWEEN_MM;
    };
    for counter in job.counters.values() {
        let holes = counter
            .cutouts
            .values()
            .map(|cut| {
                let (dx, dy) = (cut.at.x.mm(), cut.at.y.mm());
                cut.shape.outline_mm().into_iter().map(|[x, y]| [x + dx, y + dy]).collect()
            })
            .collect();
        place(counter.shape.outline_mm(), holes);
    }
    let rectangle = |w: f64, h: f64| vec![[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
    for board in &job.boards {
        for _ in 0..board.count {
            place(rectangle(board.size.width.mm(), board.size.height.mm()), Vec::new());
        }
    }
    if let Some(area) = job.area {
        let depth = area.mm2().sqrt().min(650.0);
        place(rectangle(area.mm2() / depth, depth), Vec::new());
    }
    all
}
