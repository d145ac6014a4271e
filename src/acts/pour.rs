//! Pictures of a pour: the board or the job's counters to scale, several seeds beside each other, one
//! board under several lamps, a close-up at real scale.

use std::sync::atomic::AtomicBool;

use crate::colour::{cct, delta_e_2000};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::model::{Fingerprint, Recipe};
use crate::picture::pour::{Palette, pour_input};
use crate::picture::render::{RenderSettings, View, Watch, account, render};
use crate::picture::scene::{PourInput, Scene};
use crate::picture::{APPROXIMATE, Raster, captioned, contact_sheet};
use crate::predict::{Viewing, look_of_base};
use crate::quantity::{Dimensions, Length, Units};
use crate::report::sheet::BoardShown;
use crate::spectrum::{Illuminant, Observer, weights};
use crate::store::Opened;

use super::plan::{Extent, PlanAsk, bare, plan_of};
use super::swatch::{Picture, encoded};

/// Margin around a board, mm.
const MARGIN_MM: f64 = 12.0;
/// Side of a close-up, mm.
const CLOSE_UP_MM: f64 = 150.0;

/// Which pictures of a pour.
#[derive(Debug, Clone, PartialEq)]
pub struct PourAsk {
    /// The colourway by name or file; where none is named, the job's own.
    pub colourway: Option<String>,
    /// What is poured on: a job, a board or an area.
    pub extent: Extent,
    /// Lamps to look under; daylight D65 where none is named.
    pub lamps: Vec<Illuminant>,
    /// The observer.
    pub observer: Observer,
    /// Another seed than the recipe's.
    pub seed: Option<u64>,
    /// How many seeds to lay beside each other, from that one on.
    pub seeds: u32,
    /// Pixels of the longer side.
    pub longest_px: u32,
    /// Pixels per inch of the real board instead.
    pub dpi: Option<u32>,
    /// Whether to draw a close-up at real scale as well.
    pub close_up: bool,
    /// Whether the film reflects a window.
    pub gloss: bool,
}

impl PourAsk {
    /// A colourway on an extent in daylight by the recipe's own seed, and nothing further.
    #[must_use]
    pub fn plain(colourway: String, extent: Extent, longest_px: u32) -> Self {
        Self {
            colourway: Some(colourway),
            extent,
            lamps: Vec::new(),
            observer: Observer::Cie1931_2deg,
            seed: None,
            seeds: 1,
            longest_px,
            dpi: None,
            close_up: false,
            gloss: false,
        }
    }
}

/// A colour's part of the pour.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// Of the containers' volume, 0–1.
    pub poured: f64,
    /// Of what lies on the board in the picture, 0–1.
    pub on_board: f64,
}

/// The pictures of a pour, and each colour's part in the first of them.
///
/// # Errors
/// As a plan; also a colourway with a colorant that has no optical data, or a size that cannot be.
pub fn pour(
    opened: &Opened,
    ask: &PourAsk,
    progress: &(dyn Fn(f32) + Sync),
) -> Result<(Vec<Picture>, Vec<Part>), Diagnostics> {
    let plan_ask = PlanAsk { colourway: ask.colourway.clone(), extent: ask.extent.clone() };
    let of = plan_of(opened, &plan_ask)?;
    let job = of.job.ok_or_else(|| {
        Diagnostic::error("a kit has no shape to draw").hint("name a job, a board or an area")
    })?;
    let recipe = Recipe::of(&opened.shop, of.colourway).map_err(bare)?;
    let seed = ask.seed.unwrap_or(of.colourway.pattern.seed);
    let daylight = [Illuminant::D65];
    let lamps = if ask.lamps.is_empty() { &daylight[..] } else { &ask.lamps };
    let drawing = Drawing { ask, recipe: &recipe, progress };
    let input = |palette: &Palette, seed| pour_input(&of.plan, &recipe, &job, palette, seed);
    let fingerprint = Fingerprint::of(&recipe);
    let mut pictures = Vec::new();

    let (viewing, palette) = drawing.palette(&lamps[0])?;
    let words = viewing.words();
    let first = input(&palette, seed);
    let (scene, board) = drawing.drawn(&first, &palette)?;
    let name = format!("{} on {}", of.plan.colourway, of.plan.job);
    let lines = [
        format!("{APPROXIMATE}: {name}"),
        format!("{words} · seed {seed} · recipe {fingerprint} · what a pour may look like"),
    ];
    let told = |picture: &Raster| captioned(picture, [&lines[0], &lines[1]]).map_err(told_of);
    let mut keep = |file: &str, picture: &Raster| -> Result<(), Diagnostics> {
        let title = format!("{name}, seed {seed}");
        pictures.push(encoded(file.to_owned(), picture, &title, &words, fingerprint)?);
        Ok(())
    };
    keep("pour.png", &told(&board)?)?;
    if ask.close_up {
        keep("close-up.png", &told(&drawing.close_up(&scene)?)?)?;
    }
    if lamps.len() > 1 {
        let mut all = vec![(board.clone(), lamp_lines(&recipe, &viewing, &viewing)?)];
        for lamp in &lamps[1..] {
            let (other, palette) = drawing.palette(lamp)?;
            let (_, seen) = drawing.drawn(&input(&palette, seed), &palette)?;
            all.push((seen, lamp_lines(&recipe, &other, &viewing)?));
        }
        let sheet = contact_sheet(
            &all,
            3,
            [
                &lines[0],
                "the same pour under each lamp, each adapted to its own white; ΔE00: how far each colour moves from the first lamp",
            ],
        );
        keep("lamps.png", &sheet.map_err(told_of)?)?;
    }
    if ask.seeds > 1 {
        let seed_lines = |seed: u64| [format!("seed {seed}"), String::new()];
        let mut all = vec![(board, seed_lines(seed))];
        for further in 1..u64::from(ask.seeds) {
            let other = seed.wrapping_add(further);
            let (_, seen) = drawing.drawn(&input(&palette, other), &palette)?;
            all.push((seen, seed_lines(other)));
        }
        let sheet = contact_sheet(&all, 3, [&lines[0], "the same recipe, other chances"]);
        keep("seeds.png", &sheet.map_err(told_of)?)?;
    }
    let accounts = account(&scene, 1024, 0, &Watch::nobody()).map_err(told_of)?;
    let (poured, kept) = (scene.ledger().poured_shares(), accounts.kept_shares());
    let parts = palette
        .names
        .iter()
        .zip(poured.iter().zip(&kept))
        .map(|(name, (poured, on_board))| Part {
            name: name.clone(),
            poured: *poured,
            on_board: *on_board,
        })
        .collect();
    Ok((pictures, parts))
}

/// A lamp by name with its colour temperature, where it has one, and how far each colour moves from the first
/// lamp to it.
fn lamp_lines(
    recipe: &Recipe<'_>,
    viewing: &Viewing,
    first: &Viewing,
) -> Result<[String; 2], Diagnostic> {
    // Colour temperature is defined for the 2° observer.
    let white = weights(&viewing.lamp, Observer::Cie1931_2deg).white();
    let kelvin = cct(white).map_or_else(String::new, |cct| format!(" · {:.0} K", cct.kelvin));
    let name = format!("{}{kelvin}", viewing.words());
    if viewing == first {
        return Ok([name, "ΔE00 of the others from here".to_owned()]);
    }
    let colourway = recipe.colourway;
    let mut moved = Vec::new();
    for base in colourway.bases.keys() {
        let lab = |viewing: &Viewing| look_of_base(recipe, base, viewing).map(|look| look.lab);
        let [there, here] = [lab(first), lab(viewing)].map(|lab| lab.map_err(told_of));
        moved.push(format!("{base} {:.1}", delta_e_2000(there?, here?)));
    }
    Ok([name, format!("ΔE00 from {}: {}", first.lamp, moved.join(", "))])
}

/// Side of the sample board that a client is shown, mm.
const SAMPLE_MM: f64 = 600.0;
/// Pixels of its longer side: 200 to the inch as it is printed.
const SAMPLE_PX: u32 = 600;

/// The colourway poured on a sample board under the recipe's own lamp, as a client is shown it; a whole
/// counter at that size would show no veins.
///
/// # Errors
/// As a plan of that board; also a colourway with a colorant that has no optical data.
pub fn sample_board(
    opened: &Opened,
    colourway: &str,
    units: Units,
) -> Result<BoardShown, Diagnostics> {
    let side = Length::from_mm(SAMPLE_MM);
    let size = Dimensions::new(side, side);
    let extent = Extent::Board(size);
    let plan_ask = PlanAsk { colourway: Some(colourway.to_owned()), extent: extent.clone() };
    let of = plan_of(opened, &plan_ask)?;
    let job = of.job.ok_or_else(|| Diagnostic::error("a board has no shape to draw"))?;
    let recipe = Recipe::of(&opened.shop, of.colourway).map_err(bare)?;
    let ask = PourAsk {
        observer: Viewing::of(&recipe).observer,
        ..PourAsk::plain(colourway.to_owned(), extent, SAMPLE_PX)
    };
    let drawing = Drawing { ask: &ask, recipe: &recipe, progress: &|_| () };
    let (viewing, palette) = drawing.palette(&Viewing::of(&recipe).lamp)?;
    let seed = of.colourway.pattern.seed;
    let input = pour_input(&of.plan, &recipe, &job, &palette, seed);
    let (_, picture) = drawing.drawn(&input, &palette)?;
    let shows = format!(
        "a sample board of {} poured in {}, seen under {}, seed {seed}",
        size.show_both(units),
        of.plan.colourway,
        viewing.words()
    );
    Ok(BoardShown { picture, shows })
}

/// An error of drawing, told.
fn told_of(why: impl std::fmt::Display) -> Diagnostic {
    Diagnostic::error(why.to_string())
}

struct Drawing<'a> {
    ask: &'a PourAsk,
    recipe: &'a Recipe<'a>,
    progress: &'a (dyn Fn(f32) + Sync),
}

impl Drawing<'_> {
    fn palette(&self, lamp: &Illuminant) -> Result<(Viewing, Palette), Diagnostic> {
        let mut viewing = Viewing::of(self.recipe);
        viewing.lamp = lamp.clone();
        viewing.observer = self.ask.observer;
        let palette = Palette::of(self.recipe, &viewing).map_err(|why| {
            told_of(why).hint("a pour is drawn from the optics of all its colours")
        })?;
        Ok((viewing, palette))
    }

    fn drawn(&self, input: &PourInput, palette: &Palette) -> Result<(Scene, Raster), Diagnostic> {
        let scene = Scene::build(input, &|amounts| palette.linear(amounts)).map_err(told_of)?;
        let mut view = View::of_board(&scene, MARGIN_MM, self.ask.longest_px as usize);
        if let Some(dpi) = self.ask.dpi {
            view = scaled(&view, Length::from_in(1.0).mm() / f64::from(dpi.max(1)));
        }
        let raster = self.rendered(&scene, &view)?;
        Ok((scene, raster))
    }

    fn close_up(&self, scene: &Scene) -> Result<Raster, Diagnostic> {
        const DPI: u32 = 200;
        let [x0, y0, x1, y1] = scene.board().box_mm();
        let side = CLOSE_UP_MM.min(x1 - x0).min(y1 - y0);
        // The middle of the first outline's box is on the board oftener than not; a corner near it is not.
        let middle = [f64::midpoint(x0, x1), f64::midpoint(y0, y1)];
        let centre = nearest_on_board(scene, middle, side);
        let whole = View {
            origin_mm: [centre[0] - side / 2.0, centre[1] - side / 2.0],
            mm_per_px: side,
            width: 1,
            height: 1,
        };
        self.rendered(scene, &scaled(&whole, Length::from_in(1.0).mm() / f64::from(DPI)))
    }

    fn rendered(&self, scene: &Scene, view: &View) -> Result<Raster, Diagnostic> {
        let never = AtomicBool::new(false);
        let settings = RenderSettings { gloss: self.ask.gloss, ..RenderSettings::fine(view) };
        let watch = Watch { progress: self.progress, cancel: &never };
        let picture = render(scene, view, &settings, &watch).map_err(told_of)?;
        let count = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let dpi = (Length::from_in(1.0).mm() / view.mm_per_px).round().clamp(1.0, 1e6) as u32;
        Ok(Raster {
            width: count(picture.width),
            height: count(picture.height),
            dpi,
            rgb: picture.rgb,
        })
    }
}

/// The same part of the plane at another scale.
fn scaled(view: &View, mm_per_px: f64) -> View {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "clamped to what a picture may be"
    )]
    let pixels = |count: usize| {
        (count as f64 * view.mm_per_px / mm_per_px).round().clamp(1.0, View::MOST_PX as f64)
            as usize
    };
    View { width: pixels(view.width), height: pixels(view.height), mm_per_px, ..*view }
}

/// A point of the board around which a square of that side lies on it, the nearest found to a point on
/// a lattice over the board's box; that point itself where there is none.
fn nearest_on_board(scene: &Scene, wanted: [f64; 2], side: f64) -> [f64; 2] {
    let [x0, y0, x1, y1] = scene.board().box_mm();
    let half = side / 2.0;
    let lies = |p: [f64; 2]| {
        [[-1.0, -1.0], [1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [0.0, 0.0]]
            .iter()
            .all(|[x, y]| scene.board().contains([p[0] + x * half * 0.98, p[1] + y * half * 0.98]))
    };
    let mut best: Option<(f64, [f64; 2])> = None;
    for i in 0..=40 {
        for j in 0..=40 {
            let part = |low: f64, high: f64, step: i32| low + (high - low) * f64::from(step) / 40.0;
            let p = [part(x0, x1, i), part(y0, y1, j)];
            let away =
                (p[0] - wanted[0]) * (p[0] - wanted[0]) + (p[1] - wanted[1]) * (p[1] - wanted[1]);
            if best.is_none_or(|(least, _)| away < least) && lies(p) {
                best = Some((away, p));
            }
        }
    }
    best.map_or(wanted, |(_, p)| p)
}
