//! `characterise` as a person runs it: what is found from files of readings, and what is said of files
//! that are wrong.

use std::fmt::Write as _;
use std::fs;

use pourbook::acts::file_stem;
use pourbook::file::{colorant, readings};
use pourbook::spectrum::BANDS;
use serde_json::Value;

use crate::program::{Bench, Ran};

const RED: &str = "red oxide paste";

/// The demo's readings of a colorant.
fn readings_of(name: &str) -> String {
    let path = format!("{}/recipes/readings/{}.csv", env!("CARGO_MANIFEST_DIR"), file_stem(name));
    fs::read_to_string(path).unwrap()
}

/// Rows whose line satisfies a condition, with the head.
fn rows(text: &str, keep: impl Fn(&str) -> bool) -> String {
    let head = |line: &str| line.starts_with('#') || line.starts_with("id,");
    text.lines().filter(|line| head(line) || keep(line)).map(|line| format!("{line}\n")).collect()
}

fn ran(bench: &Bench, text: impl AsRef<[u8]>, more: &[&str]) -> Ran {
    fs::write(bench.path("r.csv"), text).unwrap();
    let mut words = vec!["characterise", RED, "--readings", "r.csv", "--shop", "shop"];
    words.extend(more);
    bench.run(&words)
}

fn json(ran: &Ran) -> Value {
    assert_eq!(ran.code, 0, "{ran:?}");
    serde_json::from_str(&ran.out).unwrap_or_else(|why| panic!("{why}: {ran:?}"))
}

#[test]
fn each_route_is_taken_where_it_should_and_says_what_to_read_next() {
    let bench = Bench::demo();
    let all = readings_of(RED);
    let bare = |line: &str| line.starts_with("bare");
    let found = json(&ran(&bench, &all, &["--json"]));
    assert_eq!(
        (found["route"].as_str(), found["basis"].as_str()),
        (Some("readings"), Some("readings"))
    );
    assert_eq!(found["next_readings"], Value::Array(Vec::new()), "nothing is left to read");
    let one_film = rows(&all, |line| bare(line) || line.starts_with("masstone"));
    let found = json(&ran(&bench, &one_film, &["--json"]));
    assert_eq!(found["route"], "one_film");
    assert_eq!(found["basis"], "presumption", "never passed off as measured");
    let next = found["next_readings"][0]["read"].as_str().unwrap();
    assert!(next.contains("tint"), "{next}");
    let now = found["expected_error_lightness"].as_f64().unwrap();
    let after = found["next_readings"][0]["expected_error_lightness"].as_f64().unwrap();
    assert!(after < 0.9 * now, "{now} to {after}");
    let tint = rows(&all, |line| bare(line) || line.starts_with("10 % tint over white"));
    assert_eq!(json(&ran(&bench, &tint, &["--json"]))["route"], "tint");
    let masstone = rows(&all, |line| bare(line) || line.starts_with("masstone over white"));
    let refused = ran(&bench, &masstone, &[]);
    assert_eq!((refused.code, refused.out.as_str()), (1, ""));
    assert!(refused.err.contains("--accept-masstone"), "{}", refused.err);
    let accepted = json(&ran(&bench, &masstone, &["--json", "--accept-masstone"]));
    assert_eq!(accepted["route"], "masstone_alone");
}

/// The colour alone of a tint, as Lab under the lamp and observer that are said.
#[test]
fn the_colour_of_a_tint_will_do() {
    use pourbook::colour::Lab;
    use pourbook::spectrum::{Illuminant, Observer, Spectrum, weights};
    let bench = Bench::demo();
    let all = readings_of(RED);
    let line = all.lines().find(|line| line.starts_with("10 % tint over white")).unwrap();
    let numbers: Vec<f64> = line.split(',').skip(8).map(|cell| cell.parse().unwrap()).collect();
    let eye = weights(&Illuminant::A, Observer::Cie1964_10deg);
    let seen = Spectrum(numbers.try_into().unwrap());
    let Lab { l, a, b } = Lab::from_xyz(eye.xyz(&seen), eye.white());
    let text = format!(
        "id,geometry,film_mm,substrate,loading_{RED},loading_titanium white paste,LAB_L,LAB_A,LAB_B,standing\n\
         photo,included,0.2,white,0.6 %,5.4 %,{l:.3},{a:.3},{b:.3},demo\n"
    );
    let more = ["--json", "--system", "clear flood 2:1", "--lamp", "A", "--observer", "10"];
    let found = json(&ran(&bench, &text, &more));
    assert_eq!(
        (found["route"].as_str(), found["colour_alone"].as_bool()),
        (Some("tint"), Some(true))
    );
    // Where the paste colours most, its absorption is found from one colour within half of itself.
    let kept = colorant_of(&bench, RED);
    let k = |band: usize| found["k"][band].as_f64().unwrap() / kept.k[band];
    for band in [8, 10, 12, 14] {
        assert!((0.5..1.5).contains(&k(band)), "band {band}: {}", k(band));
    }
    let light = text.replace(&format!("{l:.3},{a:.3},{b:.3}"), "99,0,0");
    let refused = ran(&bench, &light, &more);
    assert_eq!(refused.code, 2, "{refused:?}");
    assert!(refused.err.contains("no such film has that colour"), "{}", refused.err);
}

fn colorant_of(bench: &Bench, name: &str) -> pourbook::optics::Ks {
    let path = bench.path(&format!("shop/colorants/{}.ron", file_stem(name)));
    let text = fs::read_to_string(&path).unwrap();
    let source = std::sync::Arc::new(pourbook::diagnostic::Source { name: "c.ron".into(), text });
    colorant::read(&source).unwrap().noun.optics.as_ref().unwrap().unit
}

/// Films of a colorant that the shop knows nothing of yet: what comes out of the program is what went
/// into the films, and goes into the colorant's file with everything else in it kept.
#[test]
fn optics_are_recovered_and_spliced_into_the_file() {
    let bench = Bench::demo();
    let path = bench.path("shop/colorants/red-oxide-paste.ron");
    let before = fs::read_to_string(&path).unwrap();
    let truth = colorant_of(&bench, RED);
    let (from, to) = (before.find("    optics: (").unwrap(), before.find("    packages").unwrap());
    let blank = format!("// by hand\n{}{}", &before[..from], &before[to..]);
    fs::write(&path, &blank).unwrap();
    // Real readings, of real films, for once.
    let measured = readings_of(RED).replace(",demo,", ",,");
    let to = bench.path("new.ron");
    let ran_to = ran(&bench, &measured, &["--to", to.to_str().unwrap()]);
    assert_eq!(ran_to.code, 0, "{ran_to:?}");
    assert_eq!(fs::read_to_string(&path).unwrap(), blank, "the shop's own is untouched");
    let saved = ran(&bench, &measured, &["--save", "--plot", "curves"]);
    assert_eq!(saved.code, 0, "{saved:?}");
    let after = fs::read_to_string(&path).unwrap();
    assert_eq!(after, fs::read_to_string(&to).unwrap());
    assert!(
        after.starts_with("// by hand\n") && after.contains("// of mixed resin mass"),
        "{after}"
    );
    let found = colorant_of(&bench, RED);
    for band in 0..BANDS {
        let whole = truth.k[band] + truth.s[band];
        for (found, truth) in [(found.k[band], truth.k[band]), (found.s[band], truth.s[band])] {
            assert!((found - truth).abs() <= 2e-3 * whole, "band {band}: {found} for {truth}");
        }
    }
    // Taken in a demo white, they cannot be more than demo themselves.
    assert!(after.contains("optics: (\n        standing: Demo,"), "{after}");
    assert_eq!(bench.run(&["check", "--shop", "shop"]).code, 0);
    for ending in ["png", "svg"] {
        let curves = bench.path(&format!("curves/red-oxide-paste.{ending}"));
        assert!(fs::metadata(curves).unwrap().len() > 2000, "{ending}");
    }
}

/// A white needs nothing else: read for real, it is measured.
#[test]
fn a_white_by_itself_is_measured() {
    let bench = Bench::demo();
    let text = readings_of("titanium white paste").replace(",demo,", ",,");
    fs::write(bench.path("w.csv"), text).unwrap();
    let words =
        ["characterise", "titanium white paste", "--readings", "w.csv", "--shop", "shop", "--json"];
    let found = json(&bench.run(&words));
    assert_eq!(
        (found["standing"].as_str(), found["route"].as_str()),
        (Some("measured"), Some("readings"))
    );
    let films = found["films"].as_array().unwrap();
    assert_eq!(films.len(), 2);
    assert!(films.iter().all(|film| film["denied"] == false), "{films:?}");
}

#[test]
fn a_film_that_is_not_what_it_is_said_to_be_is_named() {
    let bench = Bench::demo();
    let wrong = readings_of("titanium white paste").replace(",included,0.2,", ",included,0.4,");
    fs::write(bench.path("w.csv"), wrong).unwrap();
    let ran = bench.run(&[
        "characterise",
        "titanium white paste",
        "--readings",
        "w.csv",
        "--shop",
        "shop",
    ]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("WRONG?") && ran.err.contains("but the readings fit"), "{ran:?}");
}

#[test]
fn a_lot_is_held_against_the_standing_lot() {
    let bench = Bench::demo();
    let bands: Vec<String> = (0..16).map(|i| format!("R{}", 400 + 20 * i)).collect();
    let lots = |ours: &str, name: &str| {
        format!(
            "lot,geometry,system,loading_{RED},{}\nstanding,excluded,clear flood 2:1,1 %{}\n{name},excluded,clear flood 2:1,1 %{}\n",
            bands.join(","),
            ",0.20".repeat(16),
            format!(",{ours}").repeat(16)
        )
    };
    fs::write(bench.path("lot.csv"), lots("0.19", "L-2")).unwrap();
    let words = ["characterise", RED, "--lot", "lot.csv", "--shop", "shop", "--json", "--save"];
    let found = json(&bench.run(&words));
    // ISO 787-24's form with the demo resin's face, worked by hand from the same face.
    let face = pourbook::optics::Surface::of_index(1.55);
    let ratio = |r: f64| {
        let inside = face.internal(r, pourbook::optics::Geometry::SpecularExcluded);
        (1.0 - inside).powi(2) / (2.0 * inside)
    };
    let strength = found["strength"].as_f64().unwrap();
    assert!((strength - ratio(0.19) / ratio(0.20)).abs() < 1e-9, "{strength}");
    let text = fs::read_to_string(bench.path("shop/colorants/red-oxide-paste.ron")).unwrap();
    assert!(
        text.contains(&format!("lot: (name: \"L-2\", strength: \"{:.1} %\")", 100.0 * strength)),
        "{text}"
    );
    assert_eq!(bench.run(&["check", "--shop", "shop"]).code, 0);
    fs::write(bench.path("lot.csv"), lots("0.19", "standing")).unwrap();
    let refused = bench.run(&words);
    assert_eq!(refused.code, 2, "{refused:?}");
}

/// Each wrong file: exit code 2, a word that says what is wrong, nothing on the answer's stream, and the
/// colorant's file as it was.
#[test]
fn bad_readings_are_told_and_nothing_is_written() {
    let bench = Bench::demo();
    let all = readings_of(RED);
    let path = bench.path("shop/colorants/red-oxide-paste.ron");
    let before = fs::read_to_string(&path).unwrap();
    let tint = |edit: &dyn Fn(&str) -> String| -> String {
        let line = all.lines().find(|line| line.starts_with("10 % tint over black")).unwrap();
        all.replace(line, &edit(line))
    };
    let last_band = |value: &'static str| {
        tint(&|line| {
            let (start, _) = line.rsplit_once(',').unwrap();
            format!("{start},{value}")
        })
    };
    let utf_16: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(all.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let percent_in_one_row = tint(&|line| {
        let cells: Vec<&str> = line.split(',').collect();
        let mut text = cells[..8].join(",");
        for cell in &cells[8..] {
            write!(text, ",{:.2}", 100.0 * cell.parse::<f64>().unwrap()).unwrap();
        }
        text
    });
    let exchanged = all
        .replace("0.2,black,", "0.2,BLACK,")
        .replace("0.2,white,", "0.2,black,")
        .replace("0.2,BLACK,", "0.2,white,");
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("a band missing in a row", last_band("").into(), "has no value here"),
        (
            "a band twice",
            all.replace("SPECTRAL_DEC390", "SPECTRAL_DEC380").into(),
            "is there twice",
        ),
        (
            "bands that leave blue out",
            without_bands(&all, 380, 480).into(),
            "there are no readings between 400 and 490 nm",
        ),
        ("one row in percent", percent_in_one_row.into(), "stated as fractions"),
        ("decimal commas", all.replace("0.2,", "\"0,2\",").into(), "write 0.2, with a point"),
        (
            "semicolons and commas",
            all.replace(',', ";").replace('.', ",").into(),
            "decimals are written with a point",
        ),
        ("UTF-16", utf_16, "UTF-16"),
        ("negative", last_band("-0.2").into(), "below zero"),
        ("more light than fell on it", last_band("1.4").into(), "is above 1"),
        ("no number", last_band("inf").into(), "is no number"),
        ("grounds exchanged", exchanged.into(), "exchanged"),
        ("no film", all.replace("film_mm", "note").into(), "how thick"),
        ("no ground", all.replace("substrate", "note").into(), "what lies below"),
        (
            "a colorant that is not there",
            all.replace("loading_titanium", "loading_titanum").into(),
            "did you mean",
        ),
        (
            "another colorant's readings",
            readings_of("ultramarine paste").into(),
            "no reading of a film with",
        ),
        ("cut off", all[..all.len() - 100].to_owned().into(), "this row has"),
        ("empty", Vec::new(), "empty"),
        ("a picture", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0".to_vec(), "not a text file"),
        ("50 MB junk", vec![b'x'; 50 << 20], "too large"),
        ("junk that is short enough", vec![b','; 4 << 20], "columns"),
    ];
    let mut missed = String::new();
    for (what, bytes, word) in cases {
        let ran = ran(&bench, bytes, &["--save"]);
        if ran.code != 2 || !ran.err.contains(word) || !ran.out.is_empty() || ran.err.len() > 20_000
        {
            let err: String = ran.err.chars().take(400).collect();
            writeln!(missed, "{what}: exit {}, no {word:?} in {err}", ran.code).unwrap();
        }
    }
    assert!(missed.is_empty(), "{missed}");
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}

/// A table without the bands from one wavelength to another, both included.
fn without_bands(text: &str, from: u32, to: u32) -> String {
    let head = text.lines().find(|line| line.starts_with("id,")).unwrap();
    let keep: Vec<bool> = head
        .split(',')
        .map(|cell| {
            let nm = cell.strip_prefix("SPECTRAL_DEC").and_then(|nm| nm.parse::<u32>().ok());
            nm.is_none_or(|nm| !(from..=to).contains(&nm))
        })
        .collect();
    text.lines()
        .map(|line| {
            if line.starts_with('#') {
                return format!("{line}\n");
            }
            let cells: Vec<&str> = line
                .split(',')
                .zip(&keep)
                .filter(|(_, keep)| **keep)
                .map(|(cell, _)| cell)
                .collect();
            format!("{}\n", cells.join(","))
        })
        .collect()
}

/// Choices that the program makes for a person are said.
#[test]
fn doubtful_readings_are_taken_with_a_word() {
    let bench = Bench::demo();
    let all = readings_of(RED);
    for (what, text, word) in [
        ("no word on the scale", all.replace("SPECTRAL_DEC", "R"), "taken as fractions"),
        ("no word on the gloss", all.replace(",included,", ",,"), "whether the gloss"),
        (
            "no bare chart",
            rows(&all, |line| !line.starts_with("bare")),
            "the bare chart was not read",
        ),
        ("a column misspelt", all.replace("geometry", "geometri"), "is not read"),
    ] {
        let ran = ran(&bench, &text, &[]);
        assert!(ran.err.contains(word), "{what}: {}", ran.err);
        assert_eq!(ran.code, 0, "{what}: {}", ran.err);
    }
}

/// The same readings as CGATS.17 text give the same answer.
#[test]
fn cgats_text_reads_alike() {
    let bench = Bench::demo();
    let all = readings_of(RED);
    let from_csv = json(&ran(&bench, &all, &["--json"]));
    let mut lines = all.lines().filter(|line| !line.starts_with('#'));
    let fields: Vec<String> =
        lines.next().unwrap().split(',').map(|name| format!("\"{name}\"")).collect();
    let mut text = format!(
        "CGATS.17\nORIGINATOR \"by hand\"\nBEGIN_DATA_FORMAT\n{}\nEND_DATA_FORMAT\nBEGIN_DATA\n",
        fields.join("\t")
    );
    for line in lines {
        let cells: Vec<String> = line.split(',').map(|cell| format!("\"{cell}\"")).collect();
        writeln!(text, "{}", cells.join("\t")).unwrap();
    }
    text.push_str("END_DATA\n");
    assert!(readings::cgats::is_cgats(&text));
    assert_eq!(json(&ran(&bench, &text, &["--json"])), from_csv);
}

/// Made-up colorants of any shape, drawn down at any film, read at any usual step, in percent or as
/// fractions, with or without the gloss: what the program finds agrees with what went in, to the
/// rounding of the readings, wherever it says that it knows.
#[test]
fn any_made_up_colorant_is_found_again() {
    use pourbook::optics::{Geometry, Ks, Layer, Portion, Surface, composition, mix_in_binder};
    use pourbook::spectrum::{Spectrum, wavelength_nm};
    use proptest::prelude::*;
    use proptest::test_runner::{Config, TestRunner};

    let bench = Bench::demo();
    let opened = pourbook::store::open(&bench.path("shop")).unwrap();
    let system = &opened.shop.systems["clear flood 2:1"];
    let density_g_per_ml = opened.shop.colorants[RED].density.g_per_ml();
    let surface = Surface::of_index(system.clear.refractive_index);
    let case = (
        5.0..300.0_f64,
        1.0..60.0_f64,
        420.0..680.0_f64,
        0.01..0.05_f64,
        0.03..0.3_f64,
        any::<[bool; 2]>(),
    );
    let mut runner =
        TestRunner::new(Config { cases: 12, failure_persistence: None, ..Config::default() });
    let answer =
        runner.run(&case, |(k_top, s_mean, centre, loading, film_mm, [gloss, percent])| {
            let truth = Ks {
                k: Spectrum::of_wavelength(|nm| {
                    0.5 + k_top * (-((nm - centre) / 70.0).powi(2)).exp()
                }),
                s: Spectrum::of_wavelength(|nm| s_mean * (550.0 / nm)),
            };
            let geometry =
                if gloss { Geometry::SpecularIncluded } else { Geometry::SpecularExcluded };
            let made = composition(
                system.mixed_density().g_per_ml(),
                &[Portion { loading, density_g_per_ml }],
            );
            let binder = Ks { k: system.clear.absorption_per_mm, s: Spectrum::flat(0.0) };
            let ks = mix_in_binder(
                &binder,
                made.resin_volume_fraction,
                &[(made.concentrations_g_per_ml[0], &truth)],
            );
            let (full, word) = if percent { (100.0, "percent") } else { (1.0, "fraction") };
            let mut text = format!("id,film_mm,substrate,loading_{RED}");
            for band in 0..BANDS {
                write!(text, ",R{}", wavelength_nm(band)).unwrap();
            }
            for (ground, inside) in [("black", 0.01), ("white", 0.8)] {
                let bare = Spectrum::flat(surface.reading(inside, geometry));
                let over = Layer { ks, film_mm }.over(&Spectrum::flat(inside));
                let seen = surface.reading_spectrum(&over, geometry);
                for (id, film, loading, read) in [
                    ("bare", String::new(), String::new(), bare),
                    ("film", film_mm.to_string(), loading.to_string(), seen),
                ] {
                    write!(text, "\n{id} {ground},{film},{ground},{loading}").unwrap();
                    for value in read.iter() {
                        write!(text, ",{:.7}", full * value).unwrap();
                    }
                }
            }
            let word_of_gloss = if gloss { "included" } else { "excluded" };
            let more = [
                "--json",
                "--scale",
                word,
                "--geometry",
                word_of_gloss,
                "--system",
                "clear flood 2:1",
            ];
            let ran = ran(&bench, &text, &more);
            prop_assert_eq!(ran.code, 0, "{}", ran.err);
            let found = json(&ran);
            let mut known = 0;
            for band in 0..BANDS {
                if found["basis"] != "readings" || found["identified"][band] != "both" {
                    continue;
                }
                known += 1;
                let whole = truth.k[band] + truth.s[band];
                for (name, truth) in [("k", truth.k[band]), ("s", truth.s[band])] {
                    let value = found[name][band].as_f64().unwrap();
                    let off = (value - truth).abs() / whole;
                    prop_assert!(off < 0.01, "{} in band {}: {} for {}", name, band, value, truth);
                    let interval = &found[format!("{name}_interval")][band];
                    let (low, high) =
                        (interval[0].as_f64().unwrap(), interval[1].as_f64().unwrap());
                    prop_assert!(
                        low <= truth && truth <= high,
                        "{}: {} is not in {}",
                        name,
                        truth,
                        interval
                    );
                }
            }
            prop_assert!(known > 0 || found["basis"] == "presumption", "{}", found);
            Ok(())
        });
    answer.unwrap_or_else(|why| panic!("{why}"));
}
