//! The pour preview: amounts, agreement with the plain loop, and the same bytes everywhere.

use palette::color_difference::Ciede2000;
use palette::{FromColor, Lab, Srgb};
use pourbook::flow::Random;
use pourbook::picture::render::{
    Picture, RenderError, RenderSettings, View, Watch, account, areas, reference, render,
};
use pourbook::picture::scene::{
    Container, Finish, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role, Scene,
    SceneError,
};
use std::sync::atomic::AtomicBool;

/// A stand-in for the spectral film: single-constant Kubelka–Munk in three bands, of `+ − × ÷ √` alone.
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
        return [0.8, 0.79, 0.75];
    }
    [0, 1, 2].map(|band| {
        let f: f64 = amounts
            .iter()
            .zip(COLOURS.iter().cycle())
            .map(|(amount, colour)| {
                let r = colour[band];
                amount / total * (1.0 - r) * (1.0 - r) / (2.0 * r)
            })
            .sum();
        1.0 + f - (f * f + 2.0 * f).sqrt()
    })
}

fn rectangle(x: f64, y: f64, wide: f64, high: f64) -> Outline {
    Outline {
        outer: vec![[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]],
        holes: vec![],
    }
}

fn layer(colour: usize, volume_ml: f64, role: Role) -> Layer {
    Layer { colour, volume_ml, role }
}

/// Three bases and two accents on a small board.
fn small_pour(seed: u64) -> PourInput {
    let low = Container {
        layers: vec![
            layer(3, 1.4, Role::Accent),
            layer(0, 30.0, Role::Base),
            layer(1, 45.0, Role::Base),
            layer(4, 1.8, Role::Accent),
        ],
    };
    let high = Container {
        layers: vec![
            layer(2, 40.0, Role::Base),
            layer(3, 1.0, Role::Accent),
            layer(1, 33.0, Role::Base),
        ],
    };
    PourInput {
        colours: vec![PourColour::default(); 5],
        containers: vec![low.clone(), high.clone(), low],
        board: vec![rectangle(0.0, 0.0, 280.0, 220.0)],
        film_mm: 3.0,
        path: RibbonPath::Sweep,
        mist: Mist::None,
        seed,
    }
}

fn random_pour(seed: u64) -> PourInput {
    let mut random = Random::new(seed);
    let paths = [RibbonPath::Sweep, RibbonPath::Drift, RibbonPath::Wander];
    let containers = (0..1 + random.below(3))
        .map(|_| {
            let layers = (0..2 + random.below(3))
                .map(|level| {
                    let colour = random.below(5);
                    if level > 0 && random.unit() < 0.35 {
                        layer(colour, random.between(0.2, 3.0), Role::Accent)
                    } else {
                        layer(colour, random.between(8.0, 40.0), Role::Base)
                    }
                })
                .collect();
            Container { layers }
        })
        .collect();
    PourInput {
        containers,
        path: paths[random.below(3)],
        board: vec![rectangle(-40.0, 25.0, 240.0, 180.0)],
        ..small_pour(seed)
    }
}

/// Margin that holds all that a small pour pushes off its board, mm.
const WHOLE_MM: f64 = 500.0;

fn drawn(scene: &Scene, view: &View, threads: usize) -> Picture {
    let settings = RenderSettings { threads, ..RenderSettings::default() };
    render(scene, view, &settings, &Watch::nobody()).expect("a picture")
}

/// Shares of the poured colours over the whole plane (before anything is cut at the board's edge): largest
/// difference from what was poured.
fn share_error(input: &PourInput, longest_px: usize) -> f64 {
    let scene = Scene::build(input, &film).expect("a scene");
    let view = View::of_board(&scene, WHOLE_MM, longest_px);
    let areas = areas(&scene, &view, false, 2, &Watch::nobody()).expect("areas");
    let poured_mm2 = input.poured_ml() * 1000.0 / input.film_mm;
    let shares = scene.ledger().poured_shares();
    areas
        .iter()
        .zip(shares)
        .map(|(area, share)| (area / poured_mm2 - share).abs())
        .fold(0.0, f64::max)
}

#[test]
fn shares_of_the_picture_are_the_poured_shares() {
    for seed in 0..50 {
        let error = share_error(&random_pour(seed), 1024);
        assert!(error < 0.005, "recipe {seed} is off by {:.2} percentage points", error * 100.0);
    }
}

#[test]
fn the_error_of_shares_falls_with_resolution() {
    let mean =
        |longest: usize| (0..6).map(|s| share_error(&random_pour(s), longest)).sum::<f64>() / 6.0;
    let (coarse, fine) = (mean(60), mean(480));
    assert!(fine < 0.5 * coarse, "{coarse} at 60 pixels, {fine} at 480");
}

#[test]
fn kept_and_run_off_make_what_was_poured() {
    let input = small_pour(4);
    let scene = Scene::build(&input, &film).expect("a scene");
    let accounts = account(&scene, 300, 2, &Watch::nobody()).expect("accounts");
    let view = View::of_board(&scene, WHOLE_MM, 700);
    let whole = areas(&scene, &view, false, 2, &Watch::nobody()).expect("areas");
    let sums = accounts.kept_ml.iter().zip(&accounts.run_off_ml).zip(&accounts.poured_ml);
    for (colour, (((kept, run_off), poured), area)) in sums.zip(&whole).enumerate() {
        assert!((kept + run_off - poured).abs() < 1e-9, "colour {colour} balances");
        // What lies beside the board by its own area.
        let off = area * input.film_mm / 1000.0 - kept;
        assert!(
            (off - run_off).abs() < 0.004 * input.poured_ml(),
            "colour {colour}: {off} mL beside the board by area, {run_off} by account"
        );
    }
    let board_ml = scene.board().area_mm2() * input.film_mm / 1000.0;
    let kept: f64 = accounts.kept_ml.iter().sum();
    assert!((kept / board_ml - 1.0).abs() < 2e-3, "the board is covered: {kept} of {board_ml}");
}

#[test]
fn a_board_is_covered_where_the_pour_is_enough_for_it() {
    // Straight and crooked boards, with and without sinks, some with little to spare.
    let sink = vec![[140.0, 80.0], [330.0, 80.0], [330.0, 200.0], [140.0, 200.0]];
    let mut with_sink = rectangle(0.0, 0.0, 900.0, 300.0);
    with_sink.holes.push(sink);
    let crooked = Outline {
        outer: vec![
            [0.0, 0.0],
            [700.0, 60.0],
            [650.0, 330.0],
            [300.0, 290.0],
            [260.0, 700.0],
            [0.0, 720.0],
        ],
        holes: vec![],
    };
    for (board, spare) in [
        (rectangle(0.0, 0.0, 600.0, 600.0), 1.15),
        (rectangle(-500.0, 300.0, 1500.0, 300.0), 1.2),
        (with_sink, 1.2),
        (crooked, 1.2),
    ] {
        for seed in 0..6 {
            let mut input = PourInput { board: vec![board.clone()], ..small_pour(seed) };
            let scene = Scene::build(&input, &film).expect("a scene");
            let wanted = scene.board().area_mm2() * input.film_mm / 1000.0 * spare;
            let one = input.containers[0].clone();
            let volume: f64 = one.layers.iter().map(|l| l.volume_ml).sum();
            let count = (wanted / volume).round().max(1.0);
            input.containers = (0..)
                .take_while(|i| f64::from(*i) < count)
                .map(|_| Container {
                    layers: one
                        .layers
                        .iter()
                        .map(|l| Layer { volume_ml: l.volume_ml * wanted / volume / count, ..*l })
                        .collect(),
                })
                .collect();
            let scene = Scene::build(&input, &film).expect("a scene");
            let accounts = account(&scene, 400, 2, &Watch::nobody()).expect("accounts");
            let kept: f64 = accounts.kept_ml.iter().sum();
            let bare = 1.0 - kept / (wanted / spare);
            assert!(bare < 0.01, "seed {seed}: {bare} of {:?} is bare", board.outer);
        }
    }
}

#[test]
fn nothing_poured_leaves_the_primer() {
    let input = PourInput { containers: vec![], ..small_pour(1) };
    let scene = Scene::build(&input, &film).expect("a scene");
    let accounts = account(&scene, 60, 1, &Watch::nobody()).expect("accounts");
    assert!(accounts.kept_ml.iter().all(|v| *v == 0.0), "{accounts:?}");
}

/// ΔE00 of every pixel of two pictures, sorted.
fn differences(a: &Picture, b: &Picture) -> Vec<f32> {
    let lab = |rgb: &[u8]| Lab::from_color(Srgb::new(rgb[0], rgb[1], rgb[2]).into_format::<f32>());
    let mut all: Vec<f32> = a
        .rgb
        .chunks_exact(3)
        .zip(b.rgb.chunks_exact(3))
        .map(|(a, b)| lab(a).difference(lab(b)))
        .collect();
    all.sort_by(f32::total_cmp);
    all
}

#[test]
fn the_picture_is_that_of_the_plain_loop() {
    for (seed, mist) in [(1, Mist::None), (2, Mist::Light)] {
        let input = PourInput { mist, ..small_pour(seed) };
        let scene = Scene::build(&input, &film).expect("a scene");
        let view = View { origin_mm: [60.0, 50.0], mm_per_px: 0.55, width: 72, height: 54 };
        // By as many samples a pixel, and as it is exported against a picture of many more.
        for (samples, plain) in [(3, 3), (4, 8)] {
            let settings = RenderSettings { around: None, samples, ..RenderSettings::default() };
            let plain = reference::draw(&scene, &view, &settings, plain).expect("a picture");
            let fast = render(&scene, &view, &settings, &Watch::nobody()).expect("a picture");
            let all = differences(&plain, &fast);
            #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
            let mean = all.iter().sum::<f32>() / all.len() as f32;
            let p99 = all[all.len() * 99 / 100];
            assert!(
                mean < 0.3 && p99 < 3.0,
                "{mist:?}, {samples}: mean ΔE00 {mean}, 99th percentile {p99}"
            );
        }
    }
}

#[test]
fn one_sample_a_pixel_shows_the_pour_too() {
    let scene = Scene::build(&small_pour(5), &film).expect("a scene");
    let view = View { origin_mm: [20.0, 20.0], mm_per_px: 0.3, width: 200, height: 160 };
    let of = |samples| {
        let settings = RenderSettings { samples, ..RenderSettings::default() };
        render(&scene, &view, &settings, &Watch::nobody()).expect("a picture")
    };
    let all = differences(&of(1), &of(4));
    assert!(all[all.len() / 2] < 1.0, "half of the pixels are off by {}", all[all.len() / 2]);
}

#[test]
fn bytes_do_not_depend_on_threads() {
    let input = PourInput { mist: Mist::Light, ..small_pour(9) };
    let scene = Scene::build(&input, &film).expect("a scene");
    let view = View::of_board(&scene, 5.0, 120);
    let one = drawn(&scene, &view, 1);
    for threads in [2, 3, 7] {
        assert_eq!(one, drawn(&scene, &view, threads), "{threads} threads");
    }
}

#[test]
fn a_small_picture_takes_more_samples_a_pixel_and_no_more_in_all() {
    let samples = |width: usize, height: usize| {
        let view = View { origin_mm: [0.0; 2], mm_per_px: 1.0, width, height };
        RenderSettings::fine(&view).samples
    };
    assert_eq!([samples(3840, 2560), samples(1000, 1000), samples(1000, 900)], [4, 4, 4]);
    assert_eq!([samples(760, 760), samples(400, 400), samples(1, 1)], [5, 8, 8]);
}

#[test]
fn bytes_are_these_on_every_machine_and_build() {
    // Raw RGB, before any PNG. A change here is a change of every picture: say so in the release notes.
    const EXPECTED: &str = "26e90a8d007b4870447d841c88db0fa90afa02442791620d45d9e2d6361348fc";
    let input = PourInput { mist: Mist::Light, ..small_pour(7) };
    let scene = Scene::build(&input, &film).expect("a scene");
    let settings = RenderSettings { gloss: true, ..RenderSettings::default() };
    let view = View::of_board(&scene, 4.0, 160);
    let picture = render(&scene, &view, &settings, &Watch::nobody()).expect("a picture");
    assert_eq!(blake3::hash(&picture.rgb).to_hex().as_str(), EXPECTED, "the bytes have changed");
}

#[test]
fn a_moved_board_gives_the_moved_picture() {
    let input = small_pour(3);
    let mut moved = input.clone();
    for corner in moved.board.iter_mut().flat_map(|o| &mut o.outer) {
        *corner = [corner[0] + 512.0, corner[1] - 256.0];
    }
    let shares = |input: &PourInput| {
        let scene = Scene::build(input, &film).expect("a scene");
        account(&scene, 200, 1, &Watch::nobody()).expect("accounts").kept_shares()
    };
    // The last waves stand still while the board moves, so what runs off differs a little, what was poured not.
    for (here, there) in shares(&input).iter().zip(shares(&moved)) {
        assert!((here - there).abs() < 0.12, "{here} {there}");
    }
    assert!(share_error(&moved, 300) < 0.005, "poured shares hold wherever the board lies");
}

#[test]
fn a_seed_and_a_recipe_make_a_picture_of_their_own() {
    let view = View { origin_mm: [0.0, 0.0], mm_per_px: 2.0, width: 140, height: 110 };
    let picture =
        |input: &PourInput| drawn(&Scene::build(input, &film).expect("a scene"), &view, 1);
    let first = picture(&small_pour(1));
    assert_eq!(first, picture(&small_pour(1)), "the same again");
    assert_ne!(first, picture(&small_pour(2)), "another seed");
    let heavy = PourInput { mist: Mist::Heavy, ..small_pour(1) };
    assert_ne!(first, picture(&heavy), "misted");
}

/// Standard deviation of the green channel's bytes.
fn contrast(picture: &Picture) -> f64 {
    let greens = || picture.rgb.chunks_exact(3).map(|p| f64::from(p[1]));
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let n = (picture.rgb.len() / 3) as f64;
    let mean = greens().sum::<f64>() / n;
    (greens().map(|g| (g - mean) * (g - mean)).sum::<f64>() / n).sqrt()
}

/// Mean difference of the green channel's bytes from pixel to pixel.
fn crispness(picture: &Picture) -> f64 {
    let greens: Vec<f64> = picture.rgb.chunks_exact(3).map(|p| f64::from(p[1])).collect();
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let n = greens.len() as f64;
    greens.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum::<f64>() / n
}

#[test]
fn mist_softens_and_heavy_mist_muddies() {
    let view = View { origin_mm: [20.0, 20.0], mm_per_px: 0.4, width: 260, height: 200 };
    for seed in [2, 6] {
        let of = |mist| {
            let input = PourInput { mist, ..small_pour(seed) };
            drawn(&Scene::build(&input, &film).expect("a scene"), &view, 1)
        };
        let (none, light, heavy) = (of(Mist::None), of(Mist::Light), of(Mist::Heavy));
        let away = |picture: &Picture| {
            let all = differences(&none, picture);
            #[expect(clippy::cast_precision_loss, reason = "some thousands")]
            let mean = all.iter().sum::<f32>() / all.len() as f32;
            mean
        };
        let (a_little, a_lot) = (away(&light), away(&heavy));
        assert!(a_little > 0.1 && a_lot > 1.6 * a_little, "ΔE00 {a_little} and {a_lot}");
        let [crisp, muddy] = [&none, &heavy].map(crispness);
        assert!(muddy < 0.8 * crisp, "from pixel to pixel {crisp}, muddied {muddy}");
        let [c, m] = [&none, &heavy].map(contrast);
        assert!(m < c, "contrast {c}, muddied {m}");
    }
}

#[test]
fn more_accent_on_top_shows_more() {
    let white = |dose: f64| {
        let mut input = small_pour(8);
        for layer in input.containers.iter_mut().flat_map(|c| &mut c.layers) {
            if layer.colour == 4 {
                layer.volume_ml = dose;
            }
        }
        let scene = Scene::build(&input, &film).expect("a scene");
        account(&scene, 240, 1, &Watch::nobody()).expect("accounts").kept_ml[4]
    };
    let (thin, bold) = (white(1.0), white(5.0));
    assert!(bold > 3.0 * thin && thin > 0.0, "{thin} mL and {bold} mL of the accent on the board");
}

#[test]
fn a_picture_can_be_stopped_and_tells_how_far_it_is() {
    let scene = Scene::build(&small_pour(1), &film).expect("a scene");
    let view = View::of_board(&scene, 0.0, 64);
    let stop = AtomicBool::new(true);
    let stopped = Watch { progress: &|_| {}, cancel: &stop };
    let settings = RenderSettings::default();
    assert_eq!(render(&scene, &view, &settings, &stopped), Err(RenderError::Cancelled));
    let told = std::sync::Mutex::new(Vec::new());
    let go = AtomicBool::new(false);
    let note = |share: f32| told.lock().expect("no poison").push(share);
    let watch = Watch { progress: &note, cancel: &go };
    render(&scene, &view, &settings, &watch).expect("a picture");
    let told = told.into_inner().expect("no poison");
    assert_eq!(told.last(), Some(&1.0), "done is told last");
    assert!(told.iter().all(|share| (0.0..=1.0).contains(share)), "{told:?}");
}

#[test]
fn impossible_pours_are_refused() {
    let good = small_pour(1);
    let refused = |change: &dyn Fn(&mut PourInput)| {
        let mut input = good.clone();
        change(&mut input);
        Scene::build(&input, &film).expect_err("refused")
    };
    assert!(matches!(refused(&|i| i.colours.clear()), SceneError::Colours { given: 0 }));
    let stray = refused(&|i| i.containers[0].layers[0].colour = 9);
    assert!(matches!(stray, SceneError::NoSuchColour { number: 9, .. }), "{stray}");
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0, 1e9] {
        let error = refused(&|i| i.containers[0].layers[0].volume_ml = bad);
        assert!(matches!(error, SceneError::Number { .. }), "{bad}: {error}");
        let error = refused(&|i| i.film_mm = bad);
        assert!(matches!(error, SceneError::Number { .. }), "{bad}: {error}");
    }
    assert!(matches!(refused(&|i| i.board.clear()), SceneError::NoBoard));
    let flood = refused(&|i| i.containers[0].layers[1].volume_ml = 9e5);
    assert!(matches!(flood, SceneError::TooMuch { .. }), "{flood}");
    let scene = Scene::build(&good, &film).expect("a scene");
    for (mm_per_px, width) in [(f64::NAN, 10), (0.0, 10), (1.0, 0), (1.0, 1_000_000)] {
        let view = View { origin_mm: [0.0; 2], mm_per_px, width, height: 10 };
        let result = render(&scene, &view, &RenderSettings::default(), &Watch::nobody());
        assert_eq!(result, Err(RenderError::Size), "{mm_per_px} {width}");
    }
}

#[test]
fn extremes_draw_without_a_panic() {
    let mut input = small_pour(1);
    input.colours = vec![PourColour { finish: Finish::Metallic }; 24];
    input.containers.truncate(1);
    input.containers[0].layers = (0..24).map(|c| layer(c, 1.0 + c as f64, Role::Base)).collect();
    input.mist = Mist::Heavy;
    let scene = Scene::build(&input, &|_: &[f64]| [f64::NAN, -3.0, 1e9]).expect("a scene");
    for mm_per_px in [0.02, 3.0, 900.0] {
        let view = View { origin_mm: [100.0, 90.0], mm_per_px, width: 20, height: 9 };
        assert_eq!(drawn(&scene, &view, 2).rgb.len(), 20 * 9 * 3);
    }
    // Nothing poured: the primer alone.
    input.containers.clear();
    let bare = Scene::build(&input, &film).expect("a scene");
    let view = View::of_board(&bare, 0.0, 24);
    assert_eq!(drawn(&bare, &view, 1).width, 24);
}
