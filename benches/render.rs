//! The pour preview against the plain scalar loop, by picture size and by number of maps.
//!
//! `cargo bench --bench render` prints the best of a few runs of each; `-- quick` draws fewer. The plain loop is
//! timed on a part of the picture and scaled up, since the whole takes minutes.
#![expect(
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a benchmark reports on standard output"
)]

use palette::color_difference::Ciede2000;
use palette::{FromColor, Lab, Srgb};
use pourbook::flow::{Grid, Traced, Tracer};
use pourbook::picture::render::{Picture, RenderSettings, View, Watch, reference, render};
use pourbook::picture::scene::{
    Container, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role, Scene,
};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Single-constant Kubelka–Munk in three bands over a primer.
fn film(amounts: &[f64]) -> [f64; 3] {
    const COLOURS: [[f64; 3]; 5] = [
        [0.07, 0.12, 0.19],
        [0.60, 0.52, 0.39],
        [0.19, 0.13, 0.08],
        [0.004, 0.004, 0.005],
        [0.88, 0.87, 0.83],
    ];
    let total: f64 = amounts.iter().sum();
    if total <= 0.0 {
        return [0.8; 3];
    }
    [0, 1, 2].map(|band| {
        let f: f64 = amounts
            .iter()
            .zip(COLOURS)
            .map(|(a, c)| a / total * (1.0 - c[band]) * (1.0 - c[band]) / (2.0 * c[band]))
            .sum();
        1.0 + f - (f * f + 2.0 * f).sqrt()
    })
}

fn pour(board: Outline, area_mm2: f64, mist: Mist) -> PourInput {
    let recipes = [
        vec![
            (3, 0.012, Role::Accent),
            (0, 0.4, Role::Base),
            (1, 0.6, Role::Base),
            (4, 0.02, Role::Accent),
        ],
        vec![(1, 0.45, Role::Base), (2, 0.55, Role::Base), (3, 0.02, Role::Accent)],
        vec![(2, 0.6, Role::Base), (4, 0.02, Role::Accent), (0, 0.4, Role::Base)],
    ];
    let volume = area_mm2 * 3.0 / 1000.0 * 1.25;
    let count = (volume / 150.0).ceil().max(1.0);
    let containers = (0..)
        .take_while(|i| f64::from(*i) < count)
        .zip(recipes.iter().cycle())
        .map(|(_, layers)| Container {
            layers: layers
                .iter()
                .map(|(colour, share, role)| Layer {
                    colour: *colour,
                    volume_ml: volume / count * share,
                    role: *role,
                })
                .collect(),
        })
        .collect();
    PourInput {
        colours: vec![PourColour::default(); 5],
        containers,
        board: vec![board],
        film_mm: 3.0,
        path: RibbonPath::Sweep,
        mist,
        seed: 7,
    }
}

fn square(side: f64) -> Outline {
    Outline { outer: vec![[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]], holes: vec![] }
}

fn kitchen() -> (Outline, f64) {
    let outer = vec![
        [0.0, 0.0],
        [3000.0, 0.0],
        [3000.0, 635.0],
        [635.0, 635.0],
        [635.0, 1687.0],
        [0.0, 1687.0],
    ];
    let sink = vec![[1400.0, 110.0], [2150.0, 110.0], [2150.0, 520.0], [1400.0, 520.0]];
    let area = 3000.0 * 635.0 + 635.0 * 1052.0 - 750.0 * 410.0;
    (Outline { outer, holes: vec![sink] }, area)
}

/// The best of `runs` runs.
fn best<T>(runs: usize, mut work: impl FnMut() -> T) -> (Duration, T) {
    let mut found: Option<(Duration, T)> = None;
    for _ in 0..runs.max(1) {
        let start = Instant::now();
        let value = black_box(work());
        let took = start.elapsed();
        if found.as_ref().is_none_or(|(least, _)| took < *least) {
            found = Some((took, value));
        }
    }
    found.expect("at least one run")
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn differences(a: &Picture, b: &Picture) -> (f32, f32) {
    let lab = |rgb: &[u8]| match *rgb {
        [r, g, b] => Lab::from_color(Srgb::new(r, g, b).into_format::<f32>()),
        _ => Lab::default(),
    };
    let mut all: Vec<f32> = a
        .rgb
        .chunks_exact(3)
        .zip(b.rgb.chunks_exact(3))
        .map(|(a, b)| lab(a).difference(lab(b)))
        .collect();
    all.sort_by(f32::total_cmp);
    #[expect(clippy::cast_precision_loss, reason = "a mean")]
    let mean = all.iter().sum::<f32>() / all.len() as f32;
    (mean, all.get(all.len() * 99 / 100).copied().unwrap_or(0.0))
}

fn main() {
    let runs = if std::env::args().any(|a| a == "quick") { 2 } else { 8 };
    println!("carrying samples back, alone on one thread:");
    arithmetic_limit(runs);
    println!(
        "\n1024 × 1024 pixels, 3 × 3 samples each, all threads; the whole of ever larger boards:"
    );
    growth(runs, |view, _| View { width: 1024, height: 1024, ..*view });
    println!("\nthe same boards, always at 0.6 mm a pixel, 1024 × 1024 pixels in the middle:");
    growth(runs, |_, side| {
        let corner = (side - 614.4) / 2.0;
        View { origin_mm: [corner; 2], mm_per_px: 0.6, width: 1024, height: 1024 }
    });
    println!("\nsizes and threads:");
    sizes(runs);
}

/// Boards with more and more maps, seen as `seen` says from the view of the whole and the side.
fn growth(runs: usize, seen: impl Fn(&View, f64) -> View) {
    let nobody = Watch::nobody();
    let settings = RenderSettings { around: None, ..RenderSettings::default() };
    println!("  board mm   maps  build ms  draw ms  ns/px  plain 3×3 s   ratio  mean ΔE00   p99");
    for side in [930.0, 1620.0, 3050.0, 5350.0] {
        let input = pour(square(side), side * side, Mist::None);
        let (build, scene) = best(2, || Scene::build(&input, &film).expect("a scene"));
        let view = seen(&View::of_board(&scene, 0.0, 1024), side);
        let (took, _) =
            best(runs, || render(&scene, &view, &settings, &nobody).expect("a picture"));
        // A part of the same picture both ways, sample for sample.
        let part = View {
            origin_mm: view.origin_mm.map(|o| o + 410.0 * view.mm_per_px),
            width: 64,
            height: 48,
            ..view
        };
        let (plain, truth) =
            best(1, || reference::draw(&scene, &part, &settings, 3).expect("a picture"));
        let scaled = plain.as_secs_f64() * (1024.0 * 1024.0) / (64.0 * 48.0);
        let fast = render(&scene, &part, &settings, &nobody).expect("a picture");
        let (mean, p99) = differences(&truth, &fast);
        println!(
            "  {side:8.0} {:6} {:9.1} {:8.1} {:6.1} {scaled:12.1} {:7.0} {mean:10.3} {p99:5.2}",
            scene.maps().len(),
            ms(build),
            ms(took),
            took.as_secs_f64() * 1e9 / (1024.0 * 1024.0),
            scaled / took.as_secs_f64()
        );
    }
}

fn sizes(runs: usize) {
    let nobody = Watch::nobody();
    let board = pour(square(600.0), 360_000.0, Mist::None);
    let misted = PourInput { mist: Mist::Light, ..board.clone() };
    let (outline, area) = kitchen();
    let whole = pour(outline, area, Mist::None);
    for (name, input, longest) in [
        ("board 512", &board, 512),
        ("board 1024", &board, 1024),
        ("board 1024, light mist", &misted, 1024),
        ("kitchen 3840", &whole, 3840),
    ] {
        if runs < 3 && longest > 2000 {
            continue;
        }
        let scene = Scene::build(input, &film).expect("a scene");
        let view = View::of_board(&scene, 0.0, longest);
        for threads in [1, 2] {
            let settings = RenderSettings { threads, ..RenderSettings::default() };
            let (took, _) =
                best(runs.min(4), || render(&scene, &view, &settings, &nobody).expect("a picture"));
            println!(
                "  {name:24} {:5} maps {:4} × {:4}  {threads} threads {:8.1} ms",
                scene.maps().len(),
                view.width,
                view.height,
                ms(took)
            );
        }
    }
}

/// What a sample costs to carry back, beside the least that its place could: two polynomials of six terms once.
fn arithmetic_limit(runs: usize) {
    let scene = Scene::build(&pour(square(600.0), 360_000.0, Mist::None), &film).expect("a scene");
    let grid = Grid { origin_mm: [0.0; 2], pitch_mm: 600.0 / 3072.0, every: 3 };
    let mut tracer = Tracer::new(scene.maps());
    let mut traced = Traced::default();
    let (whole, _) = best(runs, || {
        pulp::Arch::new().dispatch(Blocks {
            tracer: &mut tracer,
            grid: &grid,
            traced: &mut traced,
        });
    });
    let basis = [[0.37_f32; 96]; 6];
    let (mut xs, mut ys) = ([0.0_f32; 96], [0.0_f32; 96]);
    let (bare, _) = best(runs, || {
        for row in 0..96 * 1024_u32 {
            let weight = black_box(row as f32);
            pulp::Arch::new().dispatch(|| {
                for i in 0..96 {
                    let (mut x, mut y) = (0.0, 0.0);
                    for node in &basis {
                        x += weight * node[i];
                        y += (weight + 1.0) * node[i];
                    }
                    (xs[i], ys[i]) = (x, y);
                }
            });
            black_box((&xs, &ys));
        }
    });
    let per = |time: Duration| time.as_secs_f64() * 1e9 / (3072.0 * 3072.0);
    println!(
        "  {} maps: {:.2} ns a sample; two polynomials of six terms alone {:.2} ns",
        scene.maps().len(),
        per(whole),
        per(bare)
    );
}

/// Every block of a picture of 1024 × 1024 pixels, compiled for the vectors at hand.
struct Blocks<'a, 'b> {
    tracer: &'a mut Tracer<'b>,
    grid: &'a Grid,
    traced: &'a mut Traced,
}

impl pulp::NullaryFnOnce for Blocks<'_, '_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        for down in 0..32 {
            for right in 0..32 {
                self.tracer.trace(self.grid, [right * 96, down * 96], 96, 96, self.traced);
            }
        }
    }
}
