//! Laying a pour: containers one after another, each layer when it leaves the lip.

use super::board::{Board, Plot};
use super::input::{Container, FilmColour, Mist, PourInput, Role, SceneError};
use super::ledger::Ledger;
use super::paint::Paint;
use super::path::{Pass, passes};
use super::print::{Palette, single};
use super::{Region, Scene, Spot, SurfaceFinish};
use crate::flow::series::{cos_turns, sin_turns};
use crate::flow::{
    Advector, Back, Contour, Ellipse, Map, Origin, Random, Source, Vortex, back_trace, draw_off,
    tilt,
};

/// Radius of a base's drops, mm, before they run together.
const BASE_MM: f64 = 15.0;
/// Radius of an accent's drops, mm, at a dose of about one drop a pass.
const ACCENT_MM: f64 = 4.2;
/// Volume of each band of mixture between two neighbouring bases, as a share of the thinner.
const SHEAR: f64 = 0.055;
/// Most of the thinner of two neighbouring bases that folds into the other.
const FOLD: f64 = 0.3;
/// How much of the upper base each band holds, from the top down.
const BANDS: [f64; 3] = [0.78, 0.5, 0.22];
/// Streaks in the first film, a mm².
const STREAKS_PER_MM2: f64 = 1.5e-3;
/// How deep the lip draws, as a share of the container (see [`draw_off`]).
const LIP_REACH: (f64, f64) = (0.12, 0.4);
/// A place nearer to a rim than this (in q/R²) is moved a little, so that all precisions agree which side it is on.
const CLEAR: f64 = 0.01;

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
        laying.add_up_areas();
        let finish = laying.surface_finish();
        let advector = Advector::new(&laying.maps);
        let Laying { maps, spots, regions, film, ledger, .. } = laying;
        Ok(Self {
            maps,
            spots,
            regions,
            film,
            advector,
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
    spots: Vec<Option<Spot>>,
    regions: Vec<Region>,
    /// By map: where its spot lies and which regions are its own.
    homes: Vec<Option<Home>>,
    film: Spot,
    ledger: Ledger,
    /// The way the pour goes in general, turns.
    direction: f64,
}

/// Where a spot was laid, and its regions.
struct Home {
    /// The spot it was laid in, by map; none for the first film.
    host: Option<usize>,
    /// The finer regions of that spot that hold it.
    within: Vec<usize>,
    /// Its own rim, if it shows.
    rim: Option<usize>,
    /// Its inclusions' rims.
    finer: Vec<Option<usize>>,
    area_mm2: f64,
}

/// Purposes that draw their own random numbers.
#[derive(Debug, Clone, Copy)]
enum Draw {
    Direction = 1,
    FirstFilm,
    Plots,
    Order,
    Container,
    Print,
    Settle,
    Cells,
    Between,
}

/// One layer's part in one pass, or what two of them mixed to.
#[derive(Debug, Clone)]
struct Portion {
    /// What it is made of.
    shares: Vec<f64>,
    volume_ml: f64,
    role: Role,
    /// Accents: whether it floats crisp.
    floats: bool,
    /// How far up in the container, 0 bottom to 1 top.
    height: f64,
}

impl<'a> Laying<'a> {
    fn new(input: &'a PourInput, board: &'a Board, palette: Palette<'a>) -> Self {
        let count = input.colours.len();
        let pure = |colour: usize| one_hot(colour, count);
        let (film, regions) = first_film(board, &palette, &pure(input.first_film), input.seed);
        let mut ledger = Ledger { poured_ml: vec![0.0; count], first_film_ml: vec![0.0; count] };
        if let Some(skim) = ledger.first_film_ml.get_mut(input.first_film) {
            *skim = board.area_mm2() * input.film_mm / 1000.0;
        }
        for layer in input.containers.iter().flat_map(|c| &c.layers) {
            if let Some(sum) = ledger.poured_ml.get_mut(layer.colour) {
                *sum += layer.volume_ml;
            }
        }
        let [x0, y0, x1, y1] = board.box_mm();
        let mut random = Random::stream(input.seed, Draw::Direction as u64);
        let direction = if x1 - x0 > 1.6 * (y1 - y0) {
            0.08 * random.bell()
        } else if y1 - y0 > 1.6 * (x1 - x0) {
            0.25 + 0.08 * random.bell()
        } else {
            random.unit()
        };
        Self {
            input,
            board,
            palette,
            maps: Vec::new(),
            spots: Vec::new(),
            regions,
            homes: Vec::new(),
            film,
            ledger,
            direction,
        }
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
            if index % 2 == 1 {
                self.nudge_board(index);
            }
        }
        self.raise_cells();
    }

    /// One container along its passes.
    fn pour_container(&mut self, index: usize, container: &Container, plot: &Plot) {
        let keep = 1.0 - self.input.cells;
        let volumes: Vec<f64> = container
            .layers
            .iter()
            .map(|l| if l.role == Role::Base { l.volume_ml * keep } else { l.volume_ml })
            .collect();
        let total: f64 = volumes.iter().sum();
        let area = total * 1000.0 / self.input.film_mm;
        let mut random = self.random(Draw::Container, index);
        let direction = self.direction_at(plot, &mut random);
        let ways = passes(plot, area, self.input.path, direction, &mut random);
        let reach = random.between(LIP_REACH.0, LIP_REACH.1);
        let parts = draw_off(&volumes, reach, ways.len());
        let mut held = vec![0.0; volumes.len()];
        for (number, (way, part)) in ways.iter().zip(&parts).enumerate() {
            let last = number + 1 == ways.len();
            let mut leaving = vec![0.0; part.len()];
            for ((out, hold), (amount, whole)) in
                leaving.iter_mut().zip(&mut held).zip(part.iter().zip(&volumes))
            {
                // A trace too small to see waits for the next pass.
                *hold += amount;
                if last || *hold > 0.02 * whole {
                    *out = *hold;
                    *hold = 0.0;
                }
            }
            for portion in self.portions(container, &leaving, &mut random) {
                self.lay_portion(&portion, way, index, &mut random);
            }
        }
    }

    /// What one pass lays, top layer first. Two bases that leave together shear into one another: between them
    /// lie bands of their mixtures, each taking as much of one as it holds.
    fn portions(
        &self,
        container: &Container,
        leaving: &[f64],
        random: &mut Random,
    ) -> Vec<Portion> {
        let count = self.input.colours.len();
        let layers = &container.layers;
        let mut portions: Vec<Portion> = layers
            .iter()
            .zip(leaving)
            .enumerate()
            .map(|(level, (layer, volume))| {
                #[expect(clippy::cast_precision_loss, reason = "a few layers")]
                let height = (level as f64 + 0.5) / layers.len() as f64;
                Portion {
                    shares: one_hot(layer.colour, count),
                    volume_ml: *volume,
                    role: layer.role,
                    floats: layer.role == Role::Accent && level > 0,
                    height,
                }
            })
            .collect();
        fold_bases(&mut portions, random);
        sink_accents(&mut portions);
        let mut laid: Vec<Portion> = Vec::new();
        let mut above: Option<(usize, Portion)> = None;
        let mut give = vec![0.0; portions.len()];
        let mut bands: Vec<(usize, Portion)> = Vec::new();
        for (level, portion) in portions.iter().enumerate().rev() {
            if portion.role != Role::Base || portion.volume_ml <= 0.0 {
                continue;
            }
            if let Some((upper, over)) = &above {
                let band = SHEAR * over.volume_ml.min(portion.volume_ml);
                for part in BANDS {
                    for (index, amount) in [(*upper, part), (level, 1.0 - part)] {
                        if let Some(sum) = give.get_mut(index) {
                            *sum += band * amount;
                        }
                    }
                    let shares = over
                        .shares
                        .iter()
                        .zip(&portion.shares)
                        .map(|(a, b)| a * part + b * (1.0 - part))
                        .collect();
                    bands.push((level, Portion { shares, volume_ml: band, ..portion.clone() }));
                }
            }
            above = Some((level, portion.clone()));
        }
        for (level, mut portion) in portions.into_iter().enumerate().rev() {
            laid.extend(bands.iter().filter(|(at, _)| *at == level).map(|(_, band)| band.clone()));
            portion.volume_ml -= give.get(level).copied().unwrap_or(0.0);
            laid.push(portion);
        }
        laid.retain(|p| p.volume_ml > 0.0);
        laid
    }

    /// Lays one layer's part along a pass: drops that run together to a ribbon.
    fn lay_portion(&mut self, portion: &Portion, way: &Pass, index: usize, random: &mut Random) {
        let area = portion.volume_ml * 1000.0 / self.input.film_mm;
        let count = drop_count(area, portion);
        let sizes = shares_of_one(count, random);
        let mut print = self.random(Draw::Print, self.maps.len() ^ (index << 20));
        for (k, size) in sizes.iter().enumerate() {
            let radius2 = area * size / core::f64::consts::PI;
            let radius = radius2.sqrt();
            #[expect(clippy::cast_precision_loss, reason = "tens of drops")]
            let s = (k as f64 + random.between(0.25, 0.75)) / count as f64;
            let (p, d) = way.at(s.clamp(0.0, 1.0));
            let (side, spread, stretch) = match portion.role {
                Role::Base => (0.45 * radius * random.bell(), 0.03, random.between(1.05, 1.5)),
                Role::Accent => {
                    let height = portion.height;
                    ((2.0 + radius) * random.bell(), 0.03, random.between(1.6, 2.2 + 1.6 * height))
                }
            };
            let turn = spread * random.bell();
            let (c, n) = (cos_turns(turn), sin_turns(turn));
            let along = [d[0] * c - d[1] * n, d[0] * n + d[1] * c];
            let centre = [p[0] - d[1] * side, p[1] + d[0] * side];
            let source = Source { centre, radius2, along, stretch };
            self.lay(source, portion, &mut print);
        }
    }

    /// One source with its print.
    fn lay(&mut self, source: Source, portion: &Portion, print: &mut Random) {
        let source = Source { centre: self.clear_place(source.centre), ..source };
        let (host, within, under) = self.host_of(source.centre);
        let (shares, radius) = (&portion.shares, source.radius2.sqrt());
        let spot = match portion.role {
            Role::Base => self.palette.base_spot(shares, radius, print),
            Role::Accent => {
                self.palette.accent_spot(shares, portion.floats.then_some(&under), radius, print)
            }
        };
        self.lay_spot(source, spot, &under, host, within);
    }

    /// What lies at `p` now: the spot (by map), its finer regions there, and the paint.
    fn host_of(&self, p: [f64; 2]) -> (Option<usize>, Vec<usize>, Paint) {
        let (host, spot, place) = match back_trace(&self.maps, p) {
            Origin::Source(map, disc) => match self.spots.get(map) {
                Some(Some(spot)) => (Some(map), spot, disc),
                _ => (None, &self.film, disc),
            },
            Origin::Film(at) => (None, &self.film, at),
        };
        let holding = spot
            .inclusions
            .iter()
            .enumerate()
            .filter(|(_, i)| i.reach(place) < 1.0)
            .map(|(k, _)| k);
        let within = match host.and_then(|map| self.homes.get(map)) {
            Some(Some(home)) => holding.filter_map(|k| *home.finer.get(k)?).collect(),
            _ => holding.collect(),
        };
        (host, within, spot.paint_in(place))
    }

    fn lay_spot(
        &mut self,
        source: Source,
        spot: Spot,
        under: &Paint,
        host: Option<usize>,
        within: Vec<usize>,
    ) {
        let start = self.maps.len() + 1;
        let ellipse = |centre: [f64; 2], along: [f64; 2], half: [f64; 2]| {
            let middle = source.from_disc(centre);
            let arm = |way: [f64; 2], length: f64| {
                let tip =
                    source.from_disc([centre[0] + way[0] * length, centre[1] + way[1] * length]);
                [tip[0] - middle[0], tip[1] - middle[1]]
            };
            Ellipse {
                centre: middle,
                u: arm(along, half[0]),
                v: arm([-along[1], along[0]], half[1]),
            }
        };
        let area_mm2 = core::f64::consts::PI * source.radius2;
        let mut push = |shape: Ellipse, area_mm2: f64, step: Paint| {
            if step.is_nothing() {
                return None;
            }
            let contour = Contour { ellipse: shape, start, ease: step.ease(), area_mm2 };
            self.regions.push(Region { contour, step });
            Some(self.regions.len() - 1)
        };
        let rim = push(ellipse([0.0; 2], [1.0, 0.0], [1.0; 2]), area_mm2, spot.body.less(under));
        let finer = spot
            .inclusions
            .iter()
            .map(|i| {
                let area = area_mm2 * i.half[0] * i.half[1];
                push(ellipse(i.centre, i.along, i.half), area, i.step.clone())
            })
            .collect();
        self.maps.push(Map::Source(source));
        self.spots.push(Some(spot));
        self.homes.push(Some(Home { host, within, rim, finer, area_mm2 }));
    }

    /// Adds to every region the area of what was let in inside it later: rims only move, so they hold it still.
    fn add_up_areas(&mut self) {
        let mut totals: Vec<f64> =
            self.homes.iter().map(|home| home.as_ref().map_or(0.0, |h| h.area_mm2)).collect();
        for (map, home) in self.homes.iter().enumerate().rev() {
            let Some(home) = home else { continue };
            let total = totals.get(map).copied().unwrap_or(0.0);
            if let Some(sum) = home.host.and_then(|host| totals.get_mut(host)) {
                *sum += total;
            }
            for index in &home.within {
                if let Some(region) = self.regions.get_mut(*index) {
                    region.contour.area_mm2 += total;
                }
            }
            if let Some(region) = home.rim.and_then(|rim| self.regions.get_mut(rim)) {
                region.contour.area_mm2 = total;
            }
        }
    }

    /// `p`, or a place close by that is clear of every rim.
    fn clear_place(&self, p: [f64; 2]) -> [f64; 2] {
        let mut at = p;
        let mut random = Random::new(self.maps.len() as u64 ^ self.input.seed);
        for _ in 0..8 {
            if self.is_clear(at) {
                return at;
            }
            at = [p[0] + random.between(-0.6, 0.6), p[1] + random.between(-0.6, 0.6)];
        }
        at
    }

    fn is_clear(&self, p: [f64; 2]) -> bool {
        let mut at = p;
        for (map, spot) in self.maps.iter().zip(&self.spots).rev() {
            if let Map::Source(source) = map {
                let disc = source.in_disc(at);
                let reach = disc[0] * disc[0] + disc[1] * disc[1];
                if (reach - 1.0).abs() < CLEAR {
                    return false;
                }
            }
            match map.back(at) {
                Back::At(before) => at = before,
                Back::Came(disc) => {
                    return spot.as_ref().is_none_or(|spot| {
                        spot.inclusions.iter().all(|i| (i.reach(disc) - 1.0).abs() > CLEAR)
                    });
                }
            }
        }
        true
    }

    fn move_film(&mut self, maps: impl IntoIterator<Item = Map>) {
        for map in maps {
            self.maps.push(map);
            self.spots.push(None);
            self.homes.push(None);
        }
    }

    /// The way a container is poured: along the ground where the ground is long, else as the pour goes.
    fn direction_at(&self, plot: &Plot, random: &mut Random) -> f64 {
        let own =
            if plot.reach[0] > 1.5 * plot.reach[1] { turn_of(plot.along) } else { self.direction };
        own + 0.05 * random.bell()
    }

    /// The board is moved a little while the next container is fetched.
    fn nudge_board(&mut self, index: usize) {
        let mut random = self.random(Draw::Between, index);
        let way = self.direction + 0.25 + 0.1 * random.bell();
        let length = random.between(140.0, 330.0);
        let waves = tilt(way, &[length], 0.07, || random.bell() * 0.6);
        self.move_film(waves);
    }

    /// Cells rise late: clusters of small drops of base with a rim of the last accent, if there is one.
    fn raise_cells(&mut self) {
        if self.input.cells <= 0.0 {
            return;
        }
        let count = self.input.colours.len();
        let mut random = self.random(Draw::Cells, 0);
        let mut print = self.random(Draw::Cells, 1);
        for container in &self.input.containers {
            let cluster = self.board.pick_inside(random.unit());
            for layer in container.layers.iter().filter(|l| l.role == Role::Base) {
                let volume = layer.volume_ml * self.input.cells;
                let area = volume * 1000.0 / self.input.film_mm;
                let drops = held_count(area / (core::f64::consts::PI * 55.0), 1.0, 40.0);
                let sizes = shares_of_one(drops, &mut random);
                for size in sizes {
                    let centre =
                        [cluster[0] + 55.0 * random.bell(), cluster[1] + 55.0 * random.bell()];
                    let portion = Portion {
                        shares: one_hot(layer.colour, count),
                        volume_ml: volume * size,
                        role: Role::Base,
                        floats: false,
                        height: 1.0,
                    };
                    let source = Source {
                        centre,
                        radius2: area * size / core::f64::consts::PI,
                        along: [1.0, 0.0],
                        stretch: 1.0,
                    };
                    self.lay(source, &portion, &mut print);
                }
            }
        }
    }

    /// The last movements: the film turns here and there, then the board is tilted and set level.
    fn settle(&mut self) {
        let mut random = self.random(Draw::Settle, 0);
        let area = self.board.area_mm2();
        let turns = held_count(area / 160_000.0, 1.0, 40.0) + 1;
        for _ in 0..turns {
            let centre = self.board.pick_inside(random.unit());
            let radius = random.between(160.0, 420.0);
            let half_tangent =
                random.between(0.12, 0.42) * if random.unit() < 0.5 { 1.0 } else { -1.0 };
            self.move_film([Map::Vortex(Vortex {
                centre,
                radius2: radius * radius,
                half_tangent,
            })]);
        }
        let way = self.direction + 0.25 + 0.04 * random.bell();
        let scaled = |lengths: &[f64], random: &mut Random| -> Vec<f64> {
            lengths.iter().map(|l| l * random.between(0.85, 1.18)).collect()
        };
        let long = scaled(&[340.0, 250.0, 185.0, 135.0], &mut random);
        self.move_film(tilt(way, &long, 0.19, || random.bell() * 0.7));
        let across = scaled(&[420.0, 190.0], &mut random);
        self.move_film(tilt(way + 0.16, &across, 0.12, || random.bell() * 0.7));
        let fine = scaled(&[96.0, 61.0], &mut random);
        self.move_film(tilt(way + 0.07 * random.bell(), &fine, 0.08, || random.bell() * 0.7));
    }

    /// What finishing a picture needs of the colours.
    fn surface_finish(&self) -> SurfaceFinish {
        let count = self.input.colours.len();
        let primer = self.palette.primer().map(single);
        let pure: Vec<[f64; 3]> =
            (0..count).map(|c| self.palette.rgb(&one_hot(c, count), 1.0)).collect();
        let strength = if self.input.mist == Mist::None {
            Vec::new()
        } else {
            crate::picture::render::tinting_strengths(&pure, |shares| self.palette.rgb(shares, 1.0))
        };
        SurfaceFinish {
            primer,
            pure: pure.into_iter().map(|rgb| rgb.map(single)).collect(),
            strength,
            mist: self.input.mist,
            seed: self.input.seed,
        }
    }
}

/// Neighbouring bases fold into one another in the container, differently from pass to pass: each takes as much
/// as it gives.
fn fold_bases(portions: &mut [Portion], random: &mut Random) {
    let bases: Vec<usize> = portions
        .iter()
        .enumerate()
        .filter(|(_, p)| p.role == Role::Base && p.volume_ml > 0.0)
        .map(|(index, _)| index)
        .collect();
    for pair in bases.windows(2) {
        let &[low, high] = pair else { continue };
        let (Some(a), Some(b)) = (portions.get(low).cloned(), portions.get(high).cloned()) else {
            continue;
        };
        let part = random.unit();
        let swapped = FOLD * part * part * a.volume_ml.min(b.volume_ml);
        for (index, own, other) in [(low, &a, &b), (high, &b, &a)] {
            let Some(portion) = portions.get_mut(index) else { continue };
            let taken = swapped / own.volume_ml;
            for (share, (o, n)) in
                portion.shares.iter_mut().zip(own.shares.iter().zip(&other.shares))
            {
                *share = o * (1.0 - taken) + n * taken;
            }
        }
    }
}

/// An accent at the bottom comes up last, through the base above it: it takes some of that base along.
fn sink_accents(portions: &mut [Portion]) {
    for index in 0..portions.len() {
        let Some(accent) = portions.get(index).cloned() else { continue };
        if accent.role != Role::Accent || accent.floats || accent.volume_ml <= 0.0 {
            continue;
        }
        let above = portions.iter_mut().skip(index + 1);
        let Some(over) = above.into_iter().find(|p| p.role == Role::Base && p.volume_ml > 0.0)
        else {
            continue;
        };
        let taken = (0.7 * accent.volume_ml).min(0.3 * over.volume_ml);
        let sum = accent.volume_ml + taken;
        let shares = accent
            .shares
            .iter()
            .zip(&over.shares)
            .map(|(a, b)| (a * accent.volume_ml + b * taken) / sum)
            .collect();
        over.volume_ml -= taken;
        if let Some(slot) = portions.get_mut(index) {
            *slot = Portion { shares, volume_ml: sum, ..accent };
        }
    }
}

/// The film that is there first, with its streaks, and their rims.
fn first_film(
    board: &Board,
    palette: &Palette<'_>,
    shares: &[f64],
    seed: u64,
) -> (Spot, Vec<Region>) {
    let body = palette.soft(shares);
    let mut random = Random::stream(seed, Draw::FirstFilm as u64);
    let count = held_count(board.area_mm2() * STREAKS_PER_MM2, 1.0, 4000.0);
    let mut inclusions = palette.streaks(&body, palette.sheen(shares), count, &mut random);
    for inclusion in &mut inclusions {
        let at = board.pick_inside(random.unit());
        inclusion.centre = [at[0] + 9.0 * random.bell(), at[1] + 9.0 * random.bell()];
        inclusion.half = inclusion.half.map(|h| h * 2.0 * BASE_MM);
    }
    let regions = inclusions
        .iter()
        .map(|i| {
            let ellipse = Ellipse {
                centre: i.centre,
                u: [i.along[0] * i.half[0], i.along[1] * i.half[0]],
                v: [-i.along[1] * i.half[1], i.along[0] * i.half[1]],
            };
            let (ease, area_mm2) = (i.step.ease(), core::f64::consts::PI * i.half[0] * i.half[1]);
            let contour = Contour { ellipse, start: 0, ease, area_mm2 };
            Region { contour, step: i.step.clone() }
        })
        .collect();
    (Spot { body, inclusions }, regions)
}

/// How many drops a layer's part makes.
fn drop_count(area: f64, portion: &Portion) -> usize {
    let pi = core::f64::consts::PI;
    match portion.role {
        Role::Base => held_count(area / (pi * BASE_MM * BASE_MM), 1.0, 60.0),
        // A larger dose makes bolder drops as well as more.
        Role::Accent => {
            let ratio: f64 = area / (pi * ACCENT_MM * ACCENT_MM);
            held_count(ratio.sqrt() * 1.6, 1.0, 40.0)
        }
    }
}

fn held_count(x: f64, low: f64, high: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between")]
    let count = x.round().clamp(low, high) as usize;
    count
}

/// Uneven sizes that sum to 1.
fn shares_of_one(count: usize, random: &mut Random) -> Vec<f64> {
    let raw: Vec<f64> = (0..count).map(|_| random.between(0.4, 1.6)).collect();
    let sum: f64 = raw.iter().sum();
    raw.into_iter().map(|v| v / sum).collect()
}

fn one_hot(index: usize, count: usize) -> Vec<f64> {
    (0..count).map(|i| if i == index { 1.0 } else { 0.0 }).collect()
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
