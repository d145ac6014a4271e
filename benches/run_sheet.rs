//! Heat and time: how long calibration, a pot life and whole run sheets take.
#![allow(
    clippy::expect_used,
    reason = "a benchmark that panics has failed, which is what it is for"
)]

use pourbook::heat::course::Resin;
use pourbook::heat::pot_life::{StatedPotLife, calibrated, pot_life_s};
use pourbook::heat::vessel::Cylinder;
use pourbook::plan::Wiped;
use pourbook::plan::run_sheet::{
    Ask, Batch, DatasheetPotLife, Durations, HeatRules, Mix, Take, TintingPaddle, Vessel, run_sheet,
};

fn main() {
    divan::main();
}

fn stated() -> StatedPotLife {
    let cooling = Cylinder::squat(91.0).expect("a cup").cooling();
    StatedPotLife { minutes: 40.0, celsius: 25.0, cooling }
}

#[divan::bench]
fn calibrate_to_a_datasheet(bencher: divan::Bencher<'_, '_>) {
    let stated = stated();
    bencher.bench(|| calibrated(&Resin::amine_epoxy(1100.0), divan::black_box(&stated)));
}

#[divan::bench]
fn pot_life_of_a_gallon(bencher: divan::Bencher<'_, '_>) {
    let resin = calibrated(&Resin::amine_epoxy(1100.0), &stated()).expect("calibrates");
    let gallon = Cylinder::squat(3785.0).expect("a bucket").cooling();
    bencher.bench(|| pot_life_s(&resin, divan::black_box(&gallon), 22.0, 22.0));
}

/// A pour of two bases in some mixes each and small batches that take from both.
fn pour(mixes_each: usize, batches: usize, crew: usize, celsius: f64) -> Ask {
    let volume_ml = 4000.0;
    let mixes: Vec<Mix> = (0..2 * mixes_each)
        .map(|at| Mix {
            name: if at < mixes_each { "fog" } else { "slate" }.to_owned(),
            part: (at % mixes_each + 1, mixes_each),
            mass_g: volume_ml * 1.1,
            volume_ml,
            clings_g: 0.0,
            vessel: Vessel { capacity_ml: 5000.0, diameter_mm: None },
            colorants: 2,
            split_into: 1,
        })
        .collect();
    let served = batches.div_ceil(mixes_each);
    let mass_g = 0.95 * volume_ml * 1.1 / f64::from(u32::try_from(served).expect("a small number"));
    let batches = (0..batches)
        .map(|at| Batch {
            name: format!("batch {at}"),
            takes: [at / served, mixes_each + at / served].map(|mix| Take { mix, mass_g }).to_vec(),
            layers: 3,
            accents: 1,
        })
        .collect();
    Ask {
        mixes,
        batches,
        crew,
        paddle: TintingPaddle::Shared(Wiped::BeforeLighter),
        mist: true,
        upright_m2: 0.0,
        ambient_celsius: celsius,
        parts_celsius: celsius,
        pot_life: DatasheetPotLife { minutes: 40.0, mass_g: 100.0, celsius: 25.0, vessel: None },
        density_g_per_ml: 1.1,
        weather: None,
        durations: Durations::default(),
        rules: HeatRules::default(),
    }
}

#[divan::bench]
fn run_sheet_of_a_kitchen(bencher: divan::Bencher<'_, '_>) {
    let ask = pour(1, 6, 2, 22.0);
    bencher.bench(|| run_sheet(divan::black_box(&ask)));
}

#[divan::bench]
fn run_sheet_of_forty_containers_too_late(bencher: divan::Bencher<'_, '_>) {
    let ask = pour(2, 40, 1, 28.0);
    bencher.bench(|| run_sheet(divan::black_box(&ask)));
}
