//! The demo's pictures in `swatches/`, chips and poured boards, and the pairs that the book shows: all current, pixel by
//! pixel.
//!
//! With `SWATCHES_UPDATE=1` they are drawn anew.

use std::fs;
use std::path::{Path, PathBuf};

use pourbook::acts::{Extent, Picture, PourAsk, pour};
use pourbook::quantity::{Dimensions, Length};
use pourbook::spectrum::Illuminant;
use pourbook::store::open;

use crate::program::Bench;

fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn board(side_mm: f64) -> Extent {
    let side = Length::from_mm(side_mm);
    Extent::Board(Dimensions::new(side, side))
}

fn ask(colourway: &str, extent: Extent, longest_px: u32) -> PourAsk {
    PourAsk::plain(colourway.to_owned(), extent, longest_px)
}

/// Decoded pixels: the encoder may change.
fn pixels(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut rgb).unwrap();
    (reader.info().width, reader.info().height, rgb)
}

/// Holds a picture against the one in the repository, or puts it there.
fn hold(path: &Path, bytes: &[u8]) {
    if std::env::var_os("SWATCHES_UPDATE").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        return;
    }
    let shown = path.strip_prefix(repository()).unwrap().display();
    let kept = fs::read(path).unwrap_or_else(|why| panic!("{shown}: {why}"));
    let same = if path.extension().is_some_and(|kind| kind == "png") {
        pixels(&kept) == pixels(bytes)
    } else {
        kept == bytes
    };
    assert!(same, "{shown} is not what the program draws now; SWATCHES_UPDATE=1 draws it anew");
}

fn drawn(bench: &Bench, ask: &PourAsk) -> Vec<Picture> {
    let opened = open(&bench.path("shop")).unwrap();
    pour(&opened, ask, &|_| ()).unwrap().0
}

#[test]
fn the_demos_chips_are_current() {
    let bench = Bench::demo();
    let ran = bench.run(&["swatch", "Tidewater Slate", "--to", "chips", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    for entry in fs::read_dir(bench.path("chips")).unwrap() {
        let entry = entry.unwrap();
        let kept = repository().join("swatches/tidewater-slate").join(entry.file_name());
        hold(&kept, &fs::read(entry.path()).unwrap());
    }
}

#[test]
fn the_demos_boards_are_current() {
    let bench = Bench::demo();
    let hold_as = |name: &str, picture: &Picture| {
        hold(&repository().join("swatches/poured").join(format!("{name}.png")), &picture.bytes);
    };
    for name in [
        "copper-hull",
        "estuary-at-dusk",
        "kelp-and-oyster",
        "mooring-rope",
        "salt-marsh",
        "tidewater-slate",
    ] {
        hold_as(name, &drawn(&bench, &ask(name, board(600.0), 520))[0]);
    }
    let slate = PourAsk {
        lamps: vec![Illuminant::D65, Illuminant::A, Illuminant::LedB3],
        seeds: 6,
        ..ask("tidewater-slate", board(600.0), 260)
    };
    let sheets = drawn(&bench, &slate);
    for (file, name) in
        [("lamps.png", "tidewater-slate-lamps"), ("seeds.png", "tidewater-slate-seeds")]
    {
        hold_as(name, sheets.iter().find(|p| p.file == file).unwrap());
    }
    let kitchen = ask("tidewater-slate", Extent::Job("galley-kitchen".to_owned()), 1100);
    hold_as("galley-kitchen", &drawn(&bench, &kitchen)[0]);
}

/// A change of one recipe, drawn before and after it.
struct Pair {
    file: &'static str,
    colourway: &'static str,
    before: &'static [(&'static str, &'static str)],
    after: &'static [(&'static str, &'static str)],
}

const PAIRS: [Pair; 5] = [
    Pair {
        file: "dose",
        colourway: "estuary-at-dusk",
        before: &[
            (
                "Base(\"afterglow\", 15)]",
                "Base(\"afterglow\", 15), Accent(\"lantern\", \"0.1 %\")]",
            ),
            ("Accent(\"lantern\", \"0.5 %\")", "Accent(\"lantern\", \"0.1 %\")"),
        ],
        after: &[
            (
                "Base(\"afterglow\", 15)]",
                "Base(\"afterglow\", 15), Accent(\"lantern\", \"0.8 %\")]",
            ),
            ("Accent(\"lantern\", \"0.5 %\")", "Accent(\"lantern\", \"0.8 %\")"),
        ],
    },
    Pair {
        file: "mist",
        colourway: "tidewater-slate",
        before: &[("mist: Light", "mist: None")],
        after: &[("mist: Light", "mist: Heavy")],
    },
    Pair {
        file: "depth",
        colourway: "estuary-at-dusk",
        before: &[
            (
                "Base(\"afterglow\", 15)]",
                "Base(\"afterglow\", 15), Accent(\"lantern\", \"0.8 %\")]",
            ),
            ("Accent(\"lantern\", \"0.5 %\")", "Accent(\"lantern\", \"0.8 %\")"),
        ],
        after: &[
            ("[Base(\"mercury\", 8)", "[Accent(\"lantern\", \"0.8 %\"), Base(\"mercury\", 8)"),
            (", Accent(\"lantern\", \"0.5 %\")", ""),
            (
                "[Base(\"deep water\", 40)",
                "[Accent(\"lantern\", \"0.8 %\"), Base(\"deep water\", 40)",
            ),
        ],
    },
    Pair {
        file: "path",
        colourway: "copper-hull",
        before: &[("ribbon: Drift, mist: Heavy", "ribbon: Sweep")],
        after: &[("ribbon: Drift, mist: Heavy", "ribbon: Wander")],
    },
    Pair {
        file: "primer",
        colourway: "kelp-and-oyster",
        before: &[("film: \"1/8 in\"", "film: \"1.5 mm\"")],
        after: &[
            ("film: \"1/8 in\"", "film: \"1.5 mm\""),
            ("primer: \"#d9d4c8\"", "primer: \"#141618\""),
        ],
    },
];

#[test]
fn the_books_pairs_are_current() {
    for pair in &PAIRS {
        for (which, changes) in [("before", pair.before), ("after", pair.after)] {
            let bench = Bench::demo();
            for (from, to) in changes {
                bench.change(&format!("colourways/{}.ron", pair.colourway), from, to);
            }
            let ask = ask(pair.colourway, board(600.0), 380);
            let name = format!("{}-{which}.png", pair.file);
            hold(&repository().join("book/src/pictures").join(name), &drawn(&bench, &ask)[0].bytes);
        }
    }
}
