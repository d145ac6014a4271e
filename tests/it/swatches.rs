//! The pictures that `swatch` leaves: what any reader of PNG finds in them.

use std::fs;
use std::path::Path;

use pourbook::acts::{SwatchAsk, swatch};
use pourbook::colour::Srgb8;
use pourbook::quantity::Units;
use pourbook::spectrum::Observer;
use pourbook::store::open;
use serde_json::Value;

use crate::program::Bench;

struct Read {
    width: u32,
    height: u32,
    rgb: Vec<u8>,
    srgb: bool,
    per_metre: Option<(u32, u32)>,
    notes: Vec<(String, String)>,
}

impl Read {
    fn of(path: &Path) -> Self {
        let file = std::io::BufReader::new(fs::File::open(path).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut rgb).unwrap();
        let info = reader.info();
        assert_eq!(info.color_type, png::ColorType::Rgb);
        assert_eq!(info.bit_depth, png::BitDepth::Eight);
        let latin =
            info.uncompressed_latin1_text.iter().map(|t| (t.keyword.clone(), t.text.clone()));
        let wide = info.utf8_text.iter().map(|t| (t.keyword.clone(), t.get_text().unwrap()));
        Self {
            width: info.width,
            height: info.height,
            srgb: info.srgb.is_some(),
            per_metre: info.pixel_dims.map(|dims| {
                assert_eq!(dims.unit, png::Unit::Meter);
                (dims.xppu, dims.yppu)
            }),
            notes: latin.chain(wide).collect(),
            rgb,
        }
    }

    fn note(&self, keyword: &str) -> &str {
        let found = self.notes.iter().find(|(known, _)| known == keyword);
        &found.unwrap_or_else(|| panic!("no {keyword} in {:?}", self.notes)).1
    }

    fn pixel(&self, x: u32, y: u32) -> Srgb8 {
        let at = 3 * (y as usize * self.width as usize + x as usize);
        Srgb8 { r: self.rgb[at], g: self.rgb[at + 1], b: self.rgb[at + 2] }
    }
}

#[test]
fn chips_show_the_predicted_colour_with_its_chunks() {
    let bench = Bench::demo();
    let words = ["swatch", "Tidewater Slate", "--json", "--to", "chips", "--shop", "shop"];
    let ran = bench.run(&words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    let plan = bench.run(&["plan", "--job", "galley-kitchen", "--json", "--shop", "shop"]);
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    let fingerprint = plan["fingerprint"].as_str().unwrap();
    let mut chips = 0;
    for chip in answer["seen"][0]["chips"].as_array().unwrap() {
        let (kind, name) = (chip["kind"].as_str().unwrap(), chip["name"].as_str().unwrap());
        let read = Read::of(&bench.path("chips").join(format!("{kind}-{name}.png")));
        assert!(read.srgb, "an sRGB chunk");
        assert_eq!(read.per_metre, Some((11_811, 11_811)), "300 dots an inch");
        assert_eq!((read.width, read.height), (600, 716), "two inches, and its label");
        let letters = (600..716).flat_map(|y| (0..600).map(move |x| (x, y)));
        let dark = letters.filter(|(x, y)| read.pixel(*x, *y).r < 100).count();
        assert!(dark > 1000, "{name} is labelled: {dark} dark pixels");
        assert_eq!(read.note("Recipe fingerprint"), fingerprint);
        assert!(read.note("Description").contains("approximate"), "{:?}", read.notes);
        assert!(read.note("Lamp").contains("D65"), "{:?}", read.notes);
        // Nearly four fifths of the chip are the film over the primer, of one colour.
        let shown = chip["look"]["srgb"].as_str().unwrap();
        for y in (0..472).step_by(7) {
            for x in (0..600).step_by(11) {
                assert_eq!(read.pixel(x, y).to_string(), shown, "{name} at {x}, {y}");
            }
        }
        // Base chips are the very colour that the plan states.
        if kind == "base" {
            let bases = plan["bases"].as_array().unwrap();
            let base = bases.iter().find(|base| base["name"] == name).unwrap();
            assert_eq!(base["look"]["srgb"], shown);
        }
        chips += 1;
    }
    assert_eq!(chips, 3, "two bases and an accent");
    // An accent is poured in drops and shown as a film: both are told.
    let chips = answer["seen"][0]["chips"].as_array().unwrap();
    let ink = chips.iter().find(|chip| chip["name"] == "ink").unwrap();
    assert_eq!(ink["shown_as"][0]["loading_percent"], 10.0);
    let dosed: Vec<f64> =
        ink["dosed_percent"].as_array().unwrap().iter().map(|d| d.as_f64().unwrap()).collect();
    assert!((dosed[0] - 0.6).abs() < 1e-9 && (dosed[1] - 0.8).abs() < 1e-9, "{dosed:?}");
    let overview = Read::of(&bench.path("chips/overview.png"));
    assert_eq!(overview.note("Recipe fingerprint"), fingerprint);
    assert!(overview.srgb && overview.per_metre.is_some());
    // The sheet shows each chip's colour.
    for chip in answer["seen"][0]["chips"].as_array().unwrap() {
        let shown = chip["look"]["srgb"].as_str().unwrap();
        let pixels = overview.rgb.chunks_exact(3);
        let as_shown =
            pixels.filter(|p| Srgb8 { r: p[0], g: p[1], b: p[2] }.to_string() == shown).count();
        assert!(as_shown > 20_000, "{shown} on the sheet: {as_shown} pixels");
    }
}

/// Another seed is another picture beside the recipe's own, and nothing else is drawn again.
#[test]
fn another_seed_leaves_the_recipe_s_own_pictures_alone() {
    let bench = Bench::demo();
    let words = ["swatch", "Salt Marsh", "--board", "100x100mm", "--size", "64", "--to", "kept"];
    let own = bench.run(&[&words[..], &["--shop", "shop"]].concat());
    assert_eq!(own.code, 0, "{own:?}");
    let before = fs::read(bench.path("kept/pour.png")).unwrap();
    let seeded = bench.run(&[&words[..], &["--seed", "12", "--shop", "shop"]].concat());
    assert_eq!(seeded.out.trim(), "kept/pour-seed-12.png", "{seeded:?}");
    assert_eq!(before, fs::read(bench.path("kept/pour.png")).unwrap());
    assert_ne!(before, fs::read(bench.path("kept/pour-seed-12.png")).unwrap());
}

/// Under several lamps every colour is told in figures too, lamp by lamp.
#[test]
fn colours_under_several_lamps_are_told_in_figures() {
    let bench = Bench::demo();
    let words = ["swatch", "Salt Marsh", "--lamp", "D65", "--lamp", "A", "--to", "chips"];
    let ran = bench.run(&[&words[..], &["--shop", "shop"]].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    for viewing in ["D65/2°", "A/2°"] {
        let told = ran.out.lines().filter(|line| line.contains(viewing) && line.contains("L* "));
        assert!(told.count() >= 3, "{viewing}: {}", ran.out);
    }
}

#[test]
fn a_lamp_that_is_none_is_told_with_those_that_it_may_mean() {
    let bench = Bench::demo();
    for (word, meant) in [
        ("LED", "LED-B1"),
        ("led-b", "LED-B3"),
        ("daylight", "D65"),
        ("halogen", "\"A\""),
        ("moon", "there are"),
    ] {
        let ran = bench.run(&["swatch", "Salt Marsh", "--lamp", word, "--shop", "shop"]);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains(meant), "{word}: {}", ran.err);
    }
}

#[test]
fn the_same_recipe_gives_the_same_pixels() {
    let bench = Bench::demo();
    for to in ["one", "two"] {
        let ran = bench.run(&["swatch", "Kelp and Oyster", "--to", to, "--shop", "shop"]);
        assert_eq!(ran.code, 0, "{ran:?}");
    }
    let mut pictures = 0;
    for entry in fs::read_dir(bench.path("one")).unwrap() {
        let name = entry.unwrap().file_name();
        let (one, two) = (bench.path("one").join(&name), bench.path("two").join(&name));
        if name.to_string_lossy().ends_with(".png") {
            let (one, two) = (Read::of(&one), Read::of(&two));
            assert!(one.rgb == two.rgb && one.notes == two.notes, "{name:?}");
            pictures += 1;
        }
    }
    assert!(pictures >= 4, "{pictures}");
}

/// Decoded pixels, not bytes of the file: the encoder may change.
#[test]
fn the_demos_chips_are_as_approved() {
    let bench = Bench::demo();
    let opened = open(&bench.path("shop")).unwrap();
    let mut told = String::new();
    for colourway in opened.shop.colourways.keys() {
        let ask = SwatchAsk {
            colourway: colourway.clone(),
            lamps: Vec::new(),
            observer: Observer::Cie1931_2deg,
            film: None,
            primer: None,
            units: Units::Us,
        };
        let (pictures, _) = swatch(&opened, &ask).unwrap();
        for picture in pictures {
            if picture.file.starts_with("base") || picture.file.starts_with("accent") {
                let path = bench.path("one.png");
                fs::write(&path, &picture.bytes).unwrap();
                let read = Read::of(&path);
                let hash = blake3::hash(&read.rgb).to_hex();
                let strip = [100, 300, 500].map(|x| read.pixel(x, 599).to_string());
                told += &format!(
                    "{colourway}/{}: {} over black, white, bare {} #{}\n",
                    picture.file,
                    read.pixel(300, 100),
                    strip.join(" "),
                    &hash[..12]
                );
            }
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn pictures_go_to_one_folder_however_the_colourway_is_named() {
    let bench = Bench::demo();
    let names =
        ["Tidewater Slate", "tidewater slate", "tidewater-slate", "colourways/tidewater-slate.ron"];
    for name in names {
        let ran = bench.run(&["swatch", name, "--shop", "shop"]);
        assert_eq!(ran.code, 0, "{ran:?}");
        assert!(ran.out.contains("swatches/tidewater-slate/overview.png"), "{name}: {}", ran.out);
    }
    assert_eq!(fs::read_dir(bench.path("shop/swatches")).unwrap().count(), 1);
}

/// A job names its colourway, so that it need not be typed; one that is typed goes before it.
#[test]
fn a_job_s_own_colourway_is_drawn() {
    let bench = Bench::demo();
    let job = ["--job", "sample-board", "--size", "64", "--shop", "shop"];
    let ran = bench.run(&[&["swatch"][..], &job].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("in Tidewater Slate, the colourway of the job\n"), "{}", ran.out);
    assert!(
        bench.path("shop/swatches/tidewater-slate/pour-600-mm-sample-board.png").exists(),
        "{}",
        ran.out
    );
    let ran = bench.run(&[&["swatch", "salt-marsh"][..], &job, &["--json"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let told: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(told["colourway"], "Salt Marsh");
    for words in
        [&["swatch", "--shop", "shop"][..], &["swatch", "--board", "9x9in", "--shop", "shop"]]
    {
        let ran = bench.run(words);
        assert_eq!(ran.code, 2, "{}", ran.err);
        assert!(ran.err.contains("a swatch needs a colourway"), "{}", ran.err);
    }
}

#[test]
fn names_that_look_alike_in_a_file_do_not_take_each_others_place() {
    let bench = Bench::small();
    let text = crate::small_shop::COLOURWAY.replace("\"fog\"", "\"Slate!\"");
    bench.put("colourways/slate.ron", text);
    // Without optics there is no chip: give white some.
    let white = crate::small_shop::changed(
        crate::small_shop::WHITE,
        "standing: Demo,\n)",
        "optics: (standing: Demo, k: 1, s: 60), standing: Demo,\n)",
    );
    bench.put("colorants/white.ron", white);
    let ran = bench.run(&["swatch", "Tidewater Slate", "--to", "chips", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let one = Read::of(&bench.path("chips/base-slate.png"));
    let two = Read::of(&bench.path("chips/base-slate-2.png"));
    assert_ne!(one.pixel(9, 9), two.pixel(9, 9));
    assert_ne!(one.note("Title"), two.note("Title"));
}
