//! Throughput of the colour kernels beside the crate `palette` and the usual Python colour library,
//! on one core.
//!
//! ```text
//! cargo bench --bench colour
//! POURBOOK_PYTHON=path/to/python cargo bench --bench colour
//! ```
//!
//! The Python figures are printed first, if that Python (or `python3`) has colour-science.
#![allow(clippy::print_stdout, reason = "a benchmark prints its figures")]

use std::process::Command;

use divan::Bencher;
use divan::counter::ItemsCount;
use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use pourbook::colour::{
    ByteTable, Lab, SRGB_WHITE, ToScreen, Xyz, delta_e_2000, delta_e_2000_batch, smooth_reflectance,
};
use pourbook::spectrum::{Illuminant, Observer, Spectrum, Weights, weights};

/// Small enough for a core's own cache, as when matching.
const PAIRS: usize = 4096;
const SPECTRA: usize = 1024;
/// Too many for any cache: 288 MB of spectra.
const MANY_SPECTRA: usize = 1_000_000;

fn main() {
    python();
    divan::main();
}

/// Prints the Python library's figures for the same work.
fn python() {
    let python = std::env::var("POURBOOK_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/python_reference.py");
    let run = Command::new(&python)
        .arg(script)
        .env("OMP_NUM_THREADS", "1")
        .env("OPENBLAS_NUM_THREADS", "1")
        .output();
    match run {
        Ok(output) if output.status.success() => {
            println!("{}", String::from_utf8_lossy(&output.stdout));
        }
        _ => println!("{python} has no colour-science: no Python figures\n"),
    }
}

/// A plain congruential sequence in [0, 1).
fn numbers() -> impl Iterator<Item = f64> {
    let mut state = 1_u64;
    std::iter::repeat_with(move || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(state >> 32).unwrap_or(0)) / 4_294_967_296.0
    })
}

fn labs(skip: usize) -> Vec<Lab> {
    let values: Vec<f64> = numbers().skip(skip).take(3 * PAIRS).collect();
    let lab = |v: &[f64]| Lab::new(v[0] * 100.0, v[1] * 200.0 - 100.0, v[2] * 200.0 - 100.0);
    values.chunks_exact(3).map(lab).collect()
}

fn spectra(count: usize) -> Vec<Spectrum> {
    let mut numbers = numbers();
    (0..count).map(|_| Spectrum::flat(numbers.next().unwrap_or(0.5))).collect()
}

#[divan::bench]
fn delta_e_2000_ours_batch(bencher: Bencher<'_, '_>) {
    let (ones, twos, mut out) = (labs(0), labs(1), vec![0.0; PAIRS]);
    bencher.counter(ItemsCount::new(PAIRS)).bench_local(|| {
        delta_e_2000_batch(divan::black_box(&ones), &twos, &mut out);
        divan::black_box(&mut out);
    });
}

#[divan::bench]
fn delta_e_2000_ours_scalar(bencher: Bencher<'_, '_>) {
    let (ones, twos, mut out) = (labs(0), labs(1), vec![0.0; PAIRS]);
    bencher.counter(ItemsCount::new(PAIRS)).bench_local(|| {
        for ((one, two), out) in ones.iter().zip(&twos).zip(&mut out) {
            *out = delta_e_2000(*one, *two);
        }
        divan::black_box(&mut out);
    });
}

#[divan::bench]
fn delta_e_2000_palette(bencher: Bencher<'_, '_>) {
    let theirs = |labs: Vec<Lab>| -> Vec<palette::Lab<D65, f64>> {
        labs.into_iter().map(|lab| palette::Lab::new(lab.l, lab.a, lab.b)).collect()
    };
    let (ones, twos, mut out) = (theirs(labs(0)), theirs(labs(1)), vec![0.0; PAIRS]);
    bencher.counter(ItemsCount::new(PAIRS)).bench_local(|| {
        for ((one, two), out) in ones.iter().zip(&twos).zip(&mut out) {
            *out = one.difference(*two);
        }
        divan::black_box(&mut out);
    });
}

fn to_xyz(bencher: Bencher<'_, '_>, count: usize) {
    let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    let (spectra, mut out) = (spectra(count), vec![Xyz::default(); count]);
    bencher.counter(ItemsCount::new(count)).bench_local(|| {
        w.xyz_batch(divan::black_box(&spectra), &mut out);
        divan::black_box(&mut out);
    });
}

#[divan::bench]
fn spectra_to_xyz_in_cache(bencher: Bencher<'_, '_>) {
    to_xyz(bencher, SPECTRA);
}

#[divan::bench(sample_count = 20)]
fn spectra_to_xyz_from_memory(bencher: Bencher<'_, '_>) {
    to_xyz(bencher, MANY_SPECTRA);
}

#[divan::bench]
fn xyz_to_screen_hue_kept(bencher: Bencher<'_, '_>) {
    let screen = ToScreen::from_white(SRGB_WHITE);
    let xyz: Vec<Xyz> = labs(0).into_iter().map(|lab| lab.to_xyz(SRGB_WHITE)).collect();
    bencher.counter(ItemsCount::new(PAIRS)).bench_local(|| {
        for xyz in &xyz {
            divan::black_box(screen.show(*xyz));
        }
    });
}

#[divan::bench]
fn linear_light_to_bytes(bencher: Bencher<'_, '_>) {
    let (table, light) = (ByteTable::get(), numbers().take(3 * PAIRS).collect::<Vec<_>>());
    let mut bytes = vec![0_u8; light.len()];
    bencher.counter(ItemsCount::new(light.len())).bench_local(|| {
        for (byte, light) in bytes.iter_mut().zip(&light) {
            *byte = table.byte(*light);
        }
        divan::black_box(&mut bytes);
    });
}

#[divan::bench]
fn folding_one_set_of_weights(bencher: Bencher<'_, '_>) {
    let power = Illuminant::D65.power();
    bencher.bench_local(|| Weights::fold(divan::black_box(&power), 1, Observer::Cie1931_2deg));
}

#[divan::bench]
fn smoothest_reflectance_of_a_colour(bencher: Bencher<'_, '_>) {
    let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    bencher.bench_local(|| smooth_reflectance(divan::black_box(Xyz::new(21.0, 12.0, 4.0)), &w));
}
