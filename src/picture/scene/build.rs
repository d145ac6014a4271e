//! Laying a pour: containers one after another, each pass a ribbon, the film moved between.

use super::board::{Board, Plot};
use super::input::{Container, FilmColour, PourInput, RibbonPath, Role, SceneError};
use super::ledger::Ledger;
use super::palette::{Palette, one_hot, single};
use super::path::{pass, pass_count};
use super::portions::{Portion, portions};
use super::section::{CELLS, Grade, Section, Strand};
use super::streaks::Streaks;
use super::{FirstFilm, Scene, SurfaceFinish};
use crate::flow::series::{cos_turns, exp, sin_turns};
use crate::flow::{Map, Random, Ribbon, Vortex, tilt};

/// How deep the lip draws, as a share of the container (see [`crate::flow::draw_off`]).
const LIP_REACH: (f64, f64) = (0.2, 0.7);
/// Thickness that an accent holds together at, mm: on top it leaves first and in one piece, further down it is drawn
/// out among the bases (as pourers see it; common practice, no source).
const TOP_MM: f64 = 1.7;
const INNER_MM: f64 = 0.9;

impl Scene {
    /// Lays a pour. `film` gives the colour of a film over the primer from its amounts.
    ///
    /// # Errors
    /// [`SceneError`] where a number can't be, or there is no board.
    pub fn build(input: &PourInput, film: FilmColour<'_>) -> Result<Self, SceneError> {
        input.check()?;
        let board = Board::new(input.board.clone())?;
        let board_ml = board.area_mm2() * input.film_mm / 1000.0;
        if input.poured_ml() > 100.0 * board_ml {
            return Err(SceneError::TooMuch { poured_ml: input.poured_ml() });
        }
        let palette = Palette::new(film, input.film_mm, &input.colours);
        let mut laying = Laying::new(input, &board, palette);
        laying.pour_all();
        laying.settle();
        let ledger = laying.ledger();
        let Laying { palette, maps, sections, direction, .. } = laying;
        let first = palette.soft(&one_hot(input.first_film, input.colours.len()));
        let film = FirstFilm {
            streak: palette.streak(&first, None),
            paint: first,
            along: [single(cos_turns(direction)), single(sin_turns(direction))],
        };
        let finish = SurfaceFinish {
            primer: palette.primer().map(single),
            pure: palette.pure,
            strength: palette.strength,
            mist: input.mist,
            seed: input.seed,
        };
        Ok(Self {
            maps,
            sections,
            film,
            streaks: Streaks::new(),
            board,
            finish,
            film_mm: input.film_mm,
            ledger,
        })
    }
}

/// A pour being laid.
struct Laying<'a> {
    input: &'a PourInput,
    board: &'a Board,
    palette: Palette<'a>,
    maps: Vec<Map>,
    sections: Vec<Option<Section>>,
    /// The way the pour goes in general, turns.
    direction: f64,
}

/// Purposes that draw their own random numbers.
#[derive(Debug, Clone, Copy)]
enum Draw {
    Direction = 1,
    Plots,
    Order,
    Container,
    Section,
    Settle,
    Between,
}

impl<'a> Laying<'a> {
    fn new(input: &'a PourInput, board: &'a Board, palette: Palette<'a>) -> Self {
        let [x0, y0, x1, y1] = board.box_mm();
        let mut random = Random::stream(input.seed, Draw::Direction as u64);
        let direction = if x1 - x0 > 1.6 * (y1 - y0) {
            0.08 * random.bell()
        } else if y1 - y0 > 1.6 * (x1 - x0) {
            0.25 + 0.08 * random.bell()
        } else {
            random.unit()
        };
        Self { input, board, palette, maps: Vec::new(), sections: Vec::new(), direction }
    }

    fn ledger(&self) -> Ledger {
        let count = self.input.colours.len();
        let mut ledger = Ledger { poured_ml: vec![0.0; count], first_film_ml: vec![0.0; count] };
        if let Some(skim) = ledger.first_film_ml.get_mut(self.input.first_film) {
            *skim = self.board.area_mm2() * self.input.film_mm / 1000.0;
        }
        for layer in self.input.containers.iter().flat_map(|c| &c.layers) {
            if let Some(sum) = ledger.poured_ml.get_mut(layer.colour) {
                *sum += layer.volume_ml;
            }
        }
        ledger
    }

    fn random(&self, purpose: Draw, index: usize) -> Random {
        Random::stream(self.input.seed, (purpose as u64) | ((index as u64) << 8))
    }

    fn pour_all(&mut self) {
        let containers = &self.input.containers;
        let mut plots_random = self.random(Draw::Plots, 0);
        let mut plots = self.board.plots(containers.len(), || plots_random.unit());
        self.random(Draw::Order, 0).shuffle(&mut plots);
        for (index, (container, plot)) in containers.iter().zip(&plots).enumerate() {
            self.pour_container(index, container, plot);
            self.disturb(index, plot);
        }
    }

    /// One container along its passes.
    fn pour_container(&mut self, index: usize, container: &Container, plot: &Plot) {
        let total: f64 = container.layers.iter().map(|l| l.volume_ml).sum();
        let area = total * 1000.0 / self.input.film_mm;
        let mut random = self.random(Draw::Container, index);
        let direction = self.direction_at(plot, &mut random);
        let path = self.input.path;
        let (count, long) = pass_count(plot, area, path);
        let reach = random.between(LIP_REACH.0, LIP_REACH.1);
        let colours = self.input.colours.len();
        let laid = portions(container, count, reach, colours, &mut random);
        for (number, portions) in laid.iter().enumerate() {
            let volume: f64 = portions.iter().map(|p| p.volume_ml).sum();
            if volume <= 0.0 {
                continue;
            }
            let area = volume * 1000.0 / self.input.film_mm;
            let ribbon = pass(plot, (number, count), area, long, path, direction, &mut random);
            let mut own = self.random(Draw::Section, self.maps.len());
            let section = self.section(portions, volume, &ribbon, &mut own);
            self.maps.push(Map::Ribbon(ribbon));
            self.sections.push(Some(section));
            if random.unit() < 0.4 {
                let way = direction + 0.25 * random.bell();
                let length = [random.between(120.0, 210.0)];
                self.move_film(tilt(way, &length, 0.05, || random.bell() * 0.7));
            }
        }
    }

    /// What one pass lays across its ribbon.
    fn section(
        &self,
        portions: &[Portion],
        volume: f64,
        ribbon: &Ribbon,
        random: &mut Random,
    ) -> Section {
        let strands = self.strands(portions, volume);
        let mut grades = Vec::new();
        for (a, one) in strands.iter().enumerate().filter(|(_, s)| !s.floats) {
            for (b, two) in strands.iter().enumerate().skip(a + 1).filter(|(_, s)| !s.floats) {
                grades.push(Grade {
                    between: [a, b],
                    softness: single(random.between(0.2, 1.0)),
                    tone: self.palette.tone(&one.paint, &two.paint),
                });
            }
        }
        let folds = match random.below(8) {
            0 => 1,
            1..=3 => 2,
            4 | 5 => 3,
            6 => 4,
            _ => 6,
        };
        let guesses = guesses(portions, volume, folds, ribbon.width, random);
        let size = [2.0 * ribbon.half_length, ribbon.width].map(single);
        let begin = [random.between(0.0, 1000.0), random.between(0.0, 100.0)].map(single);
        Section::fitted(strands, grades, guesses, size, begin)
    }

    fn strands(&self, portions: &[Portion], volume: f64) -> Vec<Strand> {
        let soft: Vec<_> = portions.iter().map(|p| self.palette.soft(&p.shares)).collect();
        // The nearest base below a strand, or else above: what it lies against.
        let beside = |index: usize| {
            let bases =
                |k: &usize| *k != index && portions.get(*k).is_some_and(|p| p.role == Role::Base);
            (index + 1..portions.len()).find(bases).or_else(|| (0..index).rev().find(bases))
        };
        portions
            .iter()
            .enumerate()
            .filter_map(|(index, portion)| {
                let own = soft.get(index)?;
                let neighbour = beside(index).and_then(|k| soft.get(k));
                let paint = match (portion.floats, neighbour) {
                    (true, Some(under)) => self.palette.crisp(&portion.shares, under),
                    _ => own.clone(),
                };
                let streak =
                    if portion.floats { [0.0; 8] } else { self.palette.streak(own, neighbour) };
                Some(Strand {
                    paint,
                    streak,
                    floats: portion.floats,
                    share: portion.volume_ml / volume,
                })
            })
            .collect()
    }

    fn move_film(&mut self, maps: impl IntoIterator<Item = Map>) {
        for map in maps {
            self.maps.push(map);
            self.sections.push(None);
        }
    }

    /// The way a container is poured: along the ground where the ground is long, else as the pour goes.
    fn direction_at(&self, plot: &Plot, random: &mut Random) -> f64 {
        let own =
            if plot.reach[0] > 1.5 * plot.reach[1] { turn_of(plot.along) } else { self.direction };
        let spread = if self.input.path == RibbonPath::Wander { 0.3 } else { 0.06 };
        own + spread * random.bell()
    }

    /// The board is moved a little while the next container is fetched, and the film turns where it was poured.
    fn disturb(&mut self, index: usize, plot: &Plot) {
        let mut random = self.random(Draw::Between, index);
        if index % 2 == 1 {
            let way = self.direction + 0.25 + 0.1 * random.bell();
            let length = random.between(140.0, 330.0);
            self.move_film(tilt(way, &[length], 0.07, || random.bell() * 0.6));
        }
        if random.unit() < 0.7 {
            let centre = [0, 1].map(|k| plot.centre[k] + 110.0 * random.bell());
            let turn = turn_about(centre, (90.0, 240.0), (0.2, 0.75), &mut random);
            self.move_film([turn]);
        }
    }

    /// The last movements: the film turns here and there, then the board is tilted and set level.
    fn settle(&mut self) {
        let mut random = self.random(Draw::Settle, 0);
        let area = self.board.area_mm2();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 40")]
        let turns = (area / 160_000.0).round().clamp(1.0, 40.0) as usize + 1;
        for _ in 0..turns {
            let centre = self.board.pick_inside(random.unit());
            let turn = turn_about(centre, (160.0, 420.0), (0.14, 0.45), &mut random);
            self.move_film([turn]);
        }
        let way = self.direction + 0.25 + 0.04 * random.bell();
        let scaled = |lengths: &[f64], random: &mut Random| -> Vec<f64> {
            lengths.iter().map(|l| l * random.between(0.85, 1.18)).collect()
        };
        let long = scaled(&[340.0, 250.0, 185.0, 135.0], &mut random);
        self.move_film(tilt(way, &long, 0.15, || random.bell() * 0.7));
        let across = scaled(&[420.0, 190.0], &mut random);
        self.move_film(tilt(way + 0.16, &across, 0.12, || random.bell() * 0.7));
        let fine = scaled(&[96.0, 61.0], &mut random);
        self.move_film(tilt(way + 0.07 * random.bell(), &fine, 0.08, || random.bell() * 0.7));
    }
}

/// A turn about `centre`, its radius (mm) and the tangent of half its angle drawn between bounds.
fn turn_about(
    centre: [f64; 2],
    radius: (f64, f64),
    half_tangent: (f64, f64),
    random: &mut Random,
) -> Map {
    let radius = random.between(radius.0, radius.1);
    let sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
    let half_tangent = sign * random.between(half_tangent.0, half_tangent.1);
    Map::Vortex(Vortex { centre, radius2: radius * radius, half_tangent })
}

/// How wide each lamella lies at each place, before it is fitted to the volumes: what leaves then, in folds that grow and
/// shrink, bases with swells, accents in stretches where they hold together.
fn guesses(
    portions: &[Portion],
    volume: f64,
    folds: usize,
    width_mm: f64,
    random: &mut Random,
) -> Vec<Vec<f64>> {
    let mut all = Vec::with_capacity(folds * portions.len());
    for fold in 0..folds {
        let size = random.between(0.25, 1.0);
        let swell = Swell::new(&[(0.5, 2.2, 1.0)], random);
        let widths: Vec<f64> = (0..=CELLS).map(|k| size * (1.0 + 0.85 * swell.at(k))).collect();
        let mut order: Vec<&Portion> = portions.iter().collect();
        if fold % 2 == 1 {
            order.reverse();
        }
        for portion in order {
            let ripple = Swell::new(&[(0.6, 1.4, 0.5), (1.8, 3.2, 0.35), (4.0, 7.0, 0.15)], random);
            let shape: Vec<f64> = if portion.floats {
                #[expect(clippy::cast_precision_loss, reason = "a few")]
                let mean_mm = portion.volume_ml / volume * width_mm / folds as f64;
                let holds_at = INNER_MM + (TOP_MM - INNER_MM) * portion.height;
                // A larger dose goes as much into bolder veins as into longer ones.
                stretches(&ripple, (0.36 * (mean_mm / holds_at).sqrt()).clamp(0.07, 0.8))
            } else {
                (0..=CELLS).map(|k| exp(0.8 * ripple.at(k))).collect()
            };
            let leaving = portion.leaving.iter().map(|v| v + 1e-3 * portion.volume_ml);
            all.push(shape.iter().zip(&widths).zip(leaving).map(|((s, w), v)| s * w * v).collect());
        }
    }
    all
}

/// Nothing but where the swell is highest, on `part` of the way.
fn stretches(swell: &Swell, part: f64) -> Vec<f64> {
    let heights: Vec<f64> = (0..=CELLS).map(|k| swell.at(k)).collect();
    let mut sorted = heights.clone();
    sorted.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "below the count"
    )]
    let from = ((1.0 - part) * CELLS as f64) as usize;
    let least = sorted.get(from).copied().unwrap_or(0.0);
    heights.into_iter().map(|h| (h - least).max(0.0)).collect()
}

/// A sum of waves along a ribbon, within ±1.
struct Swell {
    waves: Vec<(f64, f64, f64)>,
}

impl Swell {
    /// Waves given by least and greatest count along the ribbon and by strength.
    fn new(waves: &[(f64, f64, f64)], random: &mut Random) -> Self {
        let waves = waves
            .iter()
            .map(|(few, many, strength)| (random.between(*few, *many), random.unit(), *strength))
            .collect();
        Self { waves }
    }

    fn at(&self, place: usize) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let s = place as f64 / CELLS as f64;
        self.waves.iter().map(|(count, phase, by)| by * sin_turns(count * s + phase)).sum()
    }
}

/// The turn (0 to 0.5) of a line's direction, to a thousandth, by search: no arc tangent needed.
fn turn_of(along: [f64; 2]) -> f64 {
    let mut best = (0.0, -1.0);
    for step in 0..500 {
        let turn = f64::from(step) / 1000.0;
        let hit = (cos_turns(turn) * along[0] + sin_turns(turn) * along[1]).abs();
        if hit > best.1 {
            best = (turn, hit);
        }
    }
    best.0
}
