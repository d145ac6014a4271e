//! The demo's optical data come from the demo's readings, through the program's own characterisation.
//!
//! The readings are made up: simulated drawdowns of made-up colorants. The generator is kept here, so
//! that anybody can see how: `cargo test --test it demo_readings -- --ignored` makes them anew from
//! the shelf as it stands (each round moves figures by no more than they are rounded).

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use pourbook::acts::{self, CharacteriseAsk, file_stem};
use pourbook::characterise::{Basis, Finding, Route};
use pourbook::model::{Colorant, Standing, System};
use pourbook::optics::{Geometry, Ks, Layer, Portion, Surface, composition, mix_in_binder};
use pourbook::spectrum::{BANDS, Illuminant, Observer, Spectrum, wavelength_nm};
use pourbook::store::{Opened, open};

const SYSTEM: &str = "clear flood 2:1";
const WHITE: &str = "titanium white paste";
/// Internal reflectance of the simulated chart's black and white.
const CHART: [(&str, f64); 2] = [("black", 0.01), ("white", 0.80)];
const HEAD: &str = "\
# Made up for the demo: simulated drawdowns of a made-up colorant, not readings of any product.
# The standing column says so to pourbook, which never takes demo readings for measured ones.
# Columns: the book's page on readings.
";

fn recipes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes")
}

fn shop() -> Opened {
    open(&recipes()).unwrap()
}

fn surface(system: &System) -> Surface {
    Surface::of_index(system.clear.refractive_index)
}

/// What the simulated instrument reads of a film with these loadings.
fn seen(
    system: &System,
    parts: &[(&Colorant, f64)],
    film_mm: f64,
    below: f64,
    geometry: Geometry,
) -> Spectrum {
    let portions: Vec<Portion> = parts
        .iter()
        .map(|(colorant, loading)| Portion {
            loading: *loading,
            density_g_per_ml: colorant.density.g_per_ml(),
        })
        .collect();
    let made = composition(system.mixed_density().g_per_ml(), &portions);
    let units: Vec<&Ks> =
        parts.iter().map(|(colorant, _)| &colorant.optics.as_ref().unwrap().unit).collect();
    let amounts: Vec<(f64, &Ks)> =
        made.concentrations_g_per_ml.iter().copied().zip(units).collect();
    let binder = Ks { k: system.clear.absorption_per_mm, s: Spectrum::flat(0.0) };
    let ks = mix_in_binder(&binder, made.resin_volume_fraction, &amounts);
    let internal = Layer { ks, film_mm }.over(&Spectrum::flat(below));
    surface(system).reading_spectrum(&internal, geometry)
}

/// The readings a shop would take of a colorant: masstone, 10 % and 25 % tints in white; of the white
/// itself two films; each over black and over white.
fn readings_of(opened: &Opened, colorant: &Colorant) -> String {
    let system = &opened.shop.systems[SYSTEM];
    let white = &opened.shop.colorants[WHITE];
    let geometry = Geometry::SpecularIncluded;
    let name = &colorant.name;
    let of_white = if name == WHITE { String::new() } else { format!(",loading_{WHITE}") };
    let mut text =
        format!("{HEAD}id,standing,system,geometry,film_mm,substrate,loading_{name}{of_white}");
    for band in 0..BANDS {
        write!(text, ",SPECTRAL_DEC{:.0}", wavelength_nm(band)).unwrap();
    }
    text.push('\n');
    let mut row = |id: &str, film: &str, below: &str, loadings: &[String], read: &Spectrum| {
        write!(text, "{id},demo,{SYSTEM},included,{film},{below},{}", loadings.join(",")).unwrap();
        for value in read.iter() {
            write!(text, ",{value:.4}").unwrap();
        }
        text.push('\n');
    };
    let none = if name == WHITE { vec![String::new()] } else { vec![String::new(); 2] };
    for (below, internal) in CHART {
        let bare = Spectrum::flat(surface(system).reading(internal, geometry));
        row(&format!("bare {below}"), "", below, &none, &bare);
    }
    let masstone = colorant.ceiling.value().min(0.05);
    let films = if name == WHITE {
        vec![("0.1 mm", masstone, 0.0, 0.1), ("0.2 mm", masstone, 0.0, 0.2)]
    } else {
        vec![
            ("masstone", masstone, 0.0, 0.2),
            ("10 % tint", 0.006, 0.054, 0.2),
            ("25 % tint", 0.015, 0.045, 0.2),
        ]
    };
    for (make, loading, of_white, film_mm) in films {
        for (below, internal) in CHART {
            let mut parts = vec![(colorant, loading)];
            let mut words = vec![format!("{:.1} %", 100.0 * loading)];
            if name != WHITE {
                words.push(if of_white > 0.0 {
                    format!("{:.1} %", 100.0 * of_white)
                } else {
                    String::new()
                });
            }
            if of_white > 0.0 {
                parts.push((white, of_white));
            }
            let read = seen(system, &parts, film_mm, internal, geometry);
            row(&format!("{make} over {below}"), &film_mm.to_string(), below, &words, &read);
        }
    }
    text
}

fn path_of(name: &str) -> PathBuf {
    recipes().join("readings").join(format!("{}.csv", file_stem(name)))
}

#[test]
#[ignore = "makes the demo's readings anew from the shelf"]
fn make_readings() {
    let opened = shop();
    fs::create_dir_all(recipes().join("readings")).unwrap();
    for (name, colorant) in &opened.shop.colorants {
        fs::write(path_of(name), readings_of(&opened, colorant)).unwrap();
    }
}

fn characterised(opened: &Opened, name: &str) -> Finding {
    let ask = CharacteriseAsk {
        colorant: name.to_owned(),
        readings: path_of(name),
        scale: None,
        geometry: None,
        system: None,
        lamp: Illuminant::D65,
        observer: Observer::Cie1931_2deg,
        accept_masstone_alone: false,
    };
    acts::characterise(opened, &ask).unwrap_or_else(|told| panic!("{name}: {told}"))
}

/// Every colorant of the demo, from its own readings, gives the optical data in its file, as they are
/// rounded there, and never more than demo standing.
#[test]
fn the_shelf_is_what_its_readings_say() {
    let opened = shop();
    for (name, colorant) in &opened.shop.colorants {
        let finding = characterised(&opened, name);
        let optics = colorant.optics.as_ref().unwrap();
        assert_eq!((finding.standing, optics.standing), (Standing::Demo, Standing::Demo), "{name}");
        assert_eq!(
            (finding.route, finding.found.basis),
            (Route::Readings, Basis::Readings),
            "{name}"
        );
        let unit = &finding.found.unit;
        for band in 0..BANDS {
            let whole = unit.k[band] + unit.s[band];
            for (what, found, kept) in
                [("k", &unit.k, &optics.unit.k), ("s", &unit.s, &optics.unit.s)]
            {
                let off = (found[band] - kept[band]).abs();
                assert!(
                    off <= 1e-3 * kept[band].abs() + 1e-3 * whole,
                    "{name}, {what} at {} nm: {} from the readings, {} in the file",
                    wavelength_nm(band),
                    found[band],
                    kept[band]
                );
            }
        }
    }
}

/// The words at the head of each file, and a file for each colorant and none besides.
#[test]
fn every_file_of_readings_says_that_it_is_made_up() {
    let opened = shop();
    let mut files: Vec<PathBuf> =
        fs::read_dir(recipes().join("readings")).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    let mut wanted: Vec<PathBuf> = opened.shop.colorants.keys().map(|name| path_of(name)).collect();
    wanted.sort();
    assert_eq!(files, wanted);
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        assert!(text.starts_with(HEAD), "{}", file.display());
        let rows = text.lines().skip_while(|line| line.starts_with('#')).skip(1);
        assert!(rows.clone().all(|row| row.contains(",demo,")), "{}", file.display());
        assert!(text.len() < 8 * 1024, "{} stays small: {}", file.display(), text.len());
    }
}
