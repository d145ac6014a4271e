//! Throughput of the film formula on one core: band evaluations a second.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use pourbook::optics::{film_reflectance, film_reflectance_batch, film_slopes};

fn main() {
    divan::main();
}

/// 1,000 films of 36 bands: fits the second-level cache, as a picture's tile does.
const BANDS: usize = 36_000;

struct Films {
    k: Vec<f64>,
    s: Vec<f64>,
    substrate: Vec<f64>,
    out: Vec<f64>,
}

fn films() -> Films {
    let spread = |seed: usize, low: f64, high: f64| -> Vec<f64> {
        (0..BANDS)
            .map(|i| low + (high - low) * ((i * 7919 + seed * 104_729) % 9973) as f64 / 9973.0)
            .collect()
    };
    Films {
        k: spread(1, 0.0, 20.0),
        s: spread(2, 0.0, 40.0),
        substrate: spread(3, 0.0, 1.0),
        out: vec![0.0; BANDS],
    }
}

#[divan::bench]
fn batch(bencher: Bencher) {
    let mut films = films();
    bencher.counter(ItemsCount::new(BANDS)).bench_local(|| {
        let Films { k, s, substrate, out } = &mut films;
        film_reflectance_batch(black_box(k), black_box(s), black_box(0.3), substrate, out);
        black_box(out[17])
    });
}

#[divan::bench]
fn scalar(bencher: Bencher) {
    let films = films();
    bencher.counter(ItemsCount::new(BANDS)).bench_local(|| {
        let mut sum = 0.0;
        for i in 0..BANDS {
            sum += film_reflectance(films.k[i], films.s[i], black_box(0.3), films.substrate[i]);
        }
        sum
    });
}

#[divan::bench]
fn scalar_with_slopes(bencher: Bencher) {
    let films = films();
    bencher.counter(ItemsCount::new(BANDS)).bench_local(|| {
        let mut sum = 0.0;
        for i in 0..BANDS {
            sum += film_slopes(films.k[i], films.s[i], black_box(0.3), films.substrate[i]).by_s;
        }
        sum
    });
}
