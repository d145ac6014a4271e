//! Laying a pour: containers one after another, each pass a ribbon, swath by swath over the ground.

use super::board::Board;
use super::ground::{Ground, number};
use super::input::{FilmColour, PourInput, RibbonPath, Role, SceneError};
use super::ledger::Ledger;
use super::palette::{Palette, single};
use super::pass::{Hand, Pass};
use super::portions::{Portion, portions};
use super::section::{CELLS, Grade, Section, Strand};
use super::settling::last_moves;
use super::streaks::Streaks;
use super::swath::{DIP, Front, Strip, lay};
use super::{Scene, SurfaceFinish};
use crate::flow::series::{exp, sin_turns};
use crate::flow::{Map, Random, Ribbon};

/// Depth of a swath: what a hand sways over, mm.
const SWATH_MM: (f64, f64) = (60.0, 300.0);
/// About how wide a poured ribbon lies, mm (common practice: a stream as wide as two or three fingers).
const RIBBON_MM: f64 = 60.0;
/// So much wider or thinner from a container held low and from one held high.
const WIDENED: (f64, f64) = (1.6, 0.75);
/// A gap that is poured over, as a share of a swath's depth: a tap's hole is, a sink is not.
const BRIDGED: f64 = 0.4;
/// From column to column of the ground, mm, and how many there are across a container's ground at least.
const COLUMN_MM: (f64, f64) = (0.6, 2.5);
const COLUMNS: f64 = 80.0;

/// How far a pour may go askew to the box of a board that is not long, turns.
const ASIDE: f64 = 0.05;
/// And to the longest edge of a long one, turns: aslant it would end in a long tip there.
const ALONG: f64 = 0.006;

/// How far a swath's end sways, as a share of its depth: waves per mm, least and greatest, and their strengths. A hand that
/// goes over one place after the other leaves no straight front.
const SWAY: [(f64, f64, f64); 2] = [(0.0012, 0.0025, 0.16), (0.003, 0.006, 0.07)];

/// How deep the lip draws, as a share of the container (see [`crate::flow::draw_off`]).
const LIP_REACH: (f64, f64) = (0.2, 0.7);
/// How steeply what lies side by side in a ribbon may go across it, mm a mm: no layer ends square there.
const ASLANT: f64 = 0.2;
/// Most folds of a section.
const FOLDS: usize = 5;
/// Thickness that an accent holds together at, mm: on top it leaves first and in one piece, further down it is drawn
/// out among the bases (as pourers see it; common practice, no source).
const TOP_MM: f64 = 1.0;
const INNER_MM: f64 = 0.6;

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
        let last = last_moves(&board, laying.direction, input.path, laying.random(Draw::Settle, 0));
        laying.pour_all(&last);
        laying.sections.extend(last.iter().map(|_| None));
        laying.maps.extend(last);
        let ledger = Ledger::of(input);
        let Laying { palette, maps, sections, .. } = laying;
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
    Order,
    Container,
    Section,
    Lamella,
    Settle,
    Swath,
    Height,
    Front,
}

impl<'a> Laying<'a> {
    fn new(input: &'a PourInput, board: &'a Board, palette: Palette<'a>) -> Self {
        let mut random = Random::stream(input.seed, Draw::Direction as u64);
        // Along the ground where it is long.
        let direction = match board.long_side() {
            Some(turn) => turn + ALONG * random.bell(),
            // Else nearly along one side of its box: a hand goes from edge to edge.
            None => {
                0.25 * f64::from(u8::from(random.unit() < 0.5)) + ASIDE * random.between(-1.0, 1.0)
            }
        };
        Self { input, board, palette, maps: Vec::new(), sections: Vec::new(), direction }
    }

    fn random(&self, purpose: Draw, index: usize) -> Random {
        Random::stream(self.input.seed, (purpose as u64) | ((index as u64) << 8))
    }

    /// Pours all containers, swath by swath, on the ground that `last` brings onto the board.
    fn pour_all(&mut self, last: &[Map]) {
        let area = self.input.poured_ml() * 1000.0 / self.input.film_mm;
        let count = self.input.containers.len();
        if count == 0 {
            return;
        }
        #[expect(clippy::cast_precision_loss, reason = "at most thousands")]
        let side = (area / count as f64).sqrt();
        let deep = (swath_share(self.input.path) * side).clamp(SWATH_MM.0, SWATH_MM.1);
        let step = (side / COLUMNS).clamp(COLUMN_MM.0, COLUMN_MM.1);
        let ground = Ground::new(self.board, last, area, step, BRIDGED * deep);
        let (passes, laid) = self.passes(deep);
        let mut front = Front::new(&ground);
        let [mut level, top] = ground.span();
        let mut from = 0;
        for number in 0.. {
            let Some(rest) = passes.get(from..).filter(|rest| !rest.is_empty()) else { break };
            let left: f64 = rest.iter().map(|p| p.area).sum();
            let mut own = rest.len();
            // The last swath takes what is left, if it reaches all that is left to cover.
            let mut strip = Strip::new(&ground, &front, |_| top);
            let sway = Swell::new(&SWAY, &mut self.random(Draw::Front, number));
            let upto = |level: f64| {
                let sway = &sway;
                move |x: f64| level + deep * sway.at(x)
            };
            let wanted = Strip::new(&ground, &front, upto(level + deep)).area(&ground);
            if left > 1.35 * wanted && level < top || strip.area(&ground) < 0.999 * left {
                // Something is to be left for ground that lies behind a gap.
                let most = rest.len().saturating_sub(1).max(1);
                let sum;
                (own, sum) = take(rest.get(..most).unwrap_or(rest), wanted);
                level = height_of(sum, level, top, |high| {
                    Strip::new(&ground, &front, upto(high)).area(&ground)
                });
                strip = Strip::new(&ground, &front, upto(level));
            }
            let mut random = self.random(Draw::Swath, number);
            let hand = Hand {
                path: self.input.path,
                dip: if number == 0 { 0.0 } else { DIP * deep },
                back: number % 2 == 1,
                last: own == rest.len(),
            };
            let own = rest.get(..own).unwrap_or(rest);
            let ribbons = lay(&ground, &mut front, strip, own, hand, &mut random);
            let poured = own.iter().zip(ribbons).zip(laid.iter().skip(from));
            for (at, ((pass, ribbon), portions)) in poured.enumerate() {
                let section = self.section(from + at, pass.container, portions, &ribbon);
                self.sections.push(Some(section));
                self.maps.push(Map::Ribbon(ribbon));
            }
            from += own.len();
        }
    }

    /// Every pass of every container in the order they are poured, and what each lays.
    fn passes(&self, deep: f64) -> (Vec<Pass>, Vec<Vec<Portion>>) {
        let mut order: Vec<usize> = (0..self.input.containers.len()).collect();
        self.random(Draw::Order, 0).shuffle(&mut order);
        let (mut passes, mut laid) = (Vec::new(), Vec::new());
        for number in order {
            let Some(container) = self.input.containers.get(number) else { continue };
            let volume: f64 = container.layers.iter().map(|l| l.volume_ml).sum();
            let area = volume * 1000.0 / self.input.film_mm;
            let mut random = self.random(Draw::Container, number);
            let count = pass_count(area, deep, self.input.path, self.height(number));
            let reach = random.between(LIP_REACH.0, LIP_REACH.1);
            let mut own = portions(container, count, reach, self.input.colours.len(), &mut random);
            own.retain(|portions| volume_of(portions) > 0.0);
            let of = own.len();
            for (turn, portions) in own.into_iter().enumerate() {
                let area = volume_of(&portions) * 1000.0 / self.input.film_mm;
                passes.push(Pass { container: number, turn: [turn, of], area });
                laid.push(portions);
            }
        }
        (passes, laid)
    }

    /// How high a container is held as it is poured, 0 to 1: from high up a stream is thinner and coils more as it lands, so
    /// there are quiet places and busy ones.
    fn height(&self, container: usize) -> f64 {
        self.random(Draw::Height, container).unit()
    }

    /// What one pass lays across its ribbon.
    fn section(
        &self,
        pass: usize,
        container: usize,
        portions: &[Portion],
        ribbon: &Ribbon,
    ) -> Section {
        let mut random = self.random(Draw::Section, pass);
        let folds = match self.height(container) {
            low if low < 0.4 => 1,
            low if low < 0.7 => 2,
            high if high < 0.88 => 3,
            _ => FOLDS,
        };
        let begin = [random.between(0.0, 1000.0), random.between(0.0, 100.0)].map(single);
        // What is drawn for a colour is drawn for it alone, so that a layer more or elsewhere leaves the others as they are.
        let own = |what: usize, colour: usize| {
            self.random(Draw::Lamella, pass << 16 | what << 8 | colour)
        };
        let volume = volume_of(portions);
        let strands = self.strands(portions, volume);
        let mut grades = Vec::new();
        for (a, one) in strands.iter().enumerate().filter(|(_, s)| !s.floats) {
            for (b, two) in strands.iter().enumerate().skip(a + 1).filter(|(_, s)| !s.floats) {
                let colours = [a, b].map(|k| portions.get(k).map_or(0, |p| p.colour));
                let softness = single(own(FOLDS + colours[0], colours[1]).between(0.1, 0.6));
                let tone = self.palette.tone(&one.paint, &two.paint);
                grades.push(Grade::new([a, b], softness, tone));
            }
        }
        let (long, area) = (ribbon.length(), ribbon.area());
        let width = if long > 0.0 { area / long } else { 0.0 };
        let guesses = guesses(portions, volume, folds, width, own);
        let size = [long, width].map(single);
        // From a place to the next: a cell is as wide as its area over its length.
        let cell = area / number(CELLS);
        let most: Vec<f64> = ribbon
            .parts(CELLS)
            .windows(2)
            .map(|x| ASLANT * (x[1] - x[0]) * (x[1] - x[0]) / cell)
            .collect();
        Section::fitted(strands, &grades, guesses, &most, size, begin)
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
}

/// How deep a swath is, as a share of a container's side: the shallower, the longer its passes lie.
fn swath_share(path: RibbonPath) -> f64 {
    match path {
        RibbonPath::Sweep => 0.55,
        RibbonPath::Drift => 0.62,
        RibbonPath::Wander => 0.7,
    }
}

/// The first passes whose areas come nearest to `wanted`, at least one: how many, and their area.
fn take(passes: &[Pass], wanted: f64) -> (usize, f64) {
    let (mut count, mut sum) = (0, 0.0);
    for pass in passes {
        if count > 0 && sum + 0.5 * pass.area > wanted {
            break;
        }
        (count, sum) = (count + 1, sum + pass.area);
    }
    (count, sum)
}

/// The height between two up to which there are `area` mm² to cover.
fn height_of(area: f64, low: f64, high: f64, covered: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if covered(middle) < area { low = middle } else { high = middle }
    }
    high
}

/// How many passes a container of `area` mm² is poured in where a swath is `deep` mm, held at a height from 0 to 1.
fn pass_count(area: f64, deep: f64, path: RibbonPath, height: f64) -> usize {
    let long = area / deep;
    // A short stream is a thin one.
    let (length, widest, slimness) = match path {
        RibbonPath::Wander => (0.9 * long, 85.0, 4.0),
        _ => (1.3 * long, RIBBON_MM, 6.5),
    };
    let width = (length / slimness).min(widest) * (WIDENED.0 + (WIDENED.1 - WIDENED.0) * height);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "2 to 60")]
    let count = (area / (0.66 * length * width)).round().clamp(2.0, 60.0) as usize;
    count
}

fn volume_of(portions: &[Portion]) -> f64 {
    portions.iter().map(|p| p.volume_ml).sum()
}

/// How wide each lamella lies at each place, before it is fitted to the volumes: what leaves then, in folds that grow and
/// shrink, bases with swells, accents in stretches where they hold together.
fn guesses(
    portions: &[Portion],
    volume: f64,
    folds: usize,
    width_mm: f64,
    random: impl Fn(usize, usize) -> Random,
) -> Vec<Vec<f64>> {
    let mut all = Vec::with_capacity(folds * portions.len());
    for fold in 0..folds {
        let mut own = random(fold, PourInput::MOST_COLOURS);
        let size = own.between(0.25, 1.0);
        let swell = Swell::new(&[(0.5, 2.2, 1.0)], &mut own);
        let widths: Vec<f64> =
            (0..=CELLS).map(|k| size * (1.0 + 0.85 * swell.at(place(k)))).collect();
        let mut order: Vec<&Portion> = portions.iter().collect();
        if fold % 2 == 1 {
            order.reverse();
        }
        for portion in order {
            let mut own = random(fold, portion.colour);
            let ripple =
                Swell::new(&[(0.6, 1.4, 0.5), (1.8, 3.2, 0.35), (4.0, 7.0, 0.15)], &mut own);
            let shape: Vec<f64> = if portion.floats {
                #[expect(clippy::cast_precision_loss, reason = "a few")]
                let mean_mm = portion.volume_ml / volume * width_mm / folds as f64;
                let holds_at = INNER_MM + (TOP_MM - INNER_MM) * portion.height;
                // A larger dose goes as much into bolder veins as into longer ones.
                stretches(&ripple, (0.36 * (mean_mm / holds_at).sqrt()).clamp(0.07, 0.8))
            } else {
                (0..=CELLS).map(|k| exp(0.8 * ripple.at(place(k)))).collect()
            };
            let leaving = portion.leaving.iter().map(|v| v + 1e-3 * portion.volume_ml);
            all.push(shape.iter().zip(&widths).zip(leaving).map(|((s, w), v)| s * w * v).collect());
        }
    }
    all
}

/// A place along a ribbon, 0 to 1.
#[expect(clippy::cast_precision_loss, reason = "a few")]
fn place(cell: usize) -> f64 {
    cell as f64 / CELLS as f64
}

/// Nothing but where the swell is highest, on `part` of the way.
fn stretches(swell: &Swell, part: f64) -> Vec<f64> {
    let heights: Vec<f64> = (0..=CELLS).map(|k| swell.at(place(k))).collect();
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

/// A sum of waves along a line, within the sum of their strengths.
struct Swell {
    waves: Vec<(f64, f64, f64)>,
}

impl Swell {
    /// Waves given by least and greatest count along what is 1 long, and by strength.
    fn new(waves: &[(f64, f64, f64)], random: &mut Random) -> Self {
        let waves = waves
            .iter()
            .map(|(few, many, strength)| (random.between(*few, *many), random.unit(), *strength))
            .collect();
        Self { waves }
    }

    fn at(&self, s: f64) -> f64 {
        self.waves.iter().map(|(count, phase, by)| by * sin_turns(count * s + phase)).sum()
    }
}
