//! Any text as each noun's file: never a panic; what is refused has a reason that can be shown, and a
//! recipe that is taken has shares that sum to 1 and its mixes checked.

#![no_main]

use std::sync::Arc;

use libfuzzer_sys::fuzz_target;
use pourbook::diagnostic::{Diagnostics, Source};
use pourbook::file::{self, place::Placed};
use pourbook::model::{House, Recipe, Shop};
use pourbook::plan::{TakeOff, check_ceilings};
use pourbook::report::diagnostic_text::diagnostic_text;

/// The noun, or nothing where the text was refused with a reason.
fn taken<T>(read: Result<Placed<T>, Diagnostics>) -> Option<T> {
    match read {
        Ok(placed) => Some(placed.noun),
        Err(told) => {
            assert!(told.stop(), "a refusal has a reason");
            let _ = diagnostic_text(&told, true, true);
            None
        }
    }
}

fuzz_target!(|text: &str| {
    let source = Arc::new(Source { name: "a.ron".into(), text: text.to_owned() });
    let house = House::default();
    let mut shop = Shop::default();
    if let Some(house) = taken(file::house::read(&source)) {
        shop.house = house;
    }
    if let Some(system) = taken(file::system::read(&source)) {
        assert!((0.0..=1.0).contains(&system.mass_fraction_a()), "{text:?}");
        shop.systems.insert(system.name.clone(), system);
    }
    if let Some(colorant) = taken(file::colorant::read(&source)) {
        shop.colorants.insert(colorant.name.clone(), colorant);
    }
    if let Some(job) = taken(file::job::read(&source, &house)) {
        let take_off = TakeOff::of(&job);
        assert!(take_off.flat().m2() >= 0.0, "{text:?}");
        let _ = shop.faults_of_job(&job);
    }
    if let Some(colourway) = taken(file::colourway::read(&source, &house)) {
        let sum: f64 = colourway.shares().values().sum();
        assert!((sum - 1.0).abs() < 1e-9, "{text:?}: shares sum to {sum}");
        if let Ok(recipe) = Recipe::of(&shop, &colourway) {
            let _ = check_ceilings(&recipe, &house, &[]);
        }
    }
});
