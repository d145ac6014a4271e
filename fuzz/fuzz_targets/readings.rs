//! Any bytes as measured readings: never a panic; what is taken holds rising bands and sensible fractions.

#![no_main]

use libfuzzer_sys::fuzz_target;
use pourbook::file::decode::decode;
use pourbook::file::readings;
use pourbook::report::diagnostic_text::diagnostic_text;

fuzz_target!(|bytes: &[u8]| {
    let source = match decode("r.txt", bytes, 1 << 16) {
        Ok(source) => source,
        Err(told) => {
            let _ = diagnostic_text(&told, false, false);
            return;
        }
    };
    match readings::read(&source, None) {
        Ok(readings) => {
            for sample in &readings.samples {
                assert_eq!(sample.wavelengths_nm.len(), sample.reflectance.len(), "a number a band");
                assert!(sample.wavelengths_nm.windows(2).all(|pair| pair[0] < pair[1]), "bands rise");
                assert!(sample.reflectance.iter().all(|r| (0.0..=2.0).contains(r)), "fractions");
            }
        }
        Err(told) => {
            assert!(told.stop(), "a refusal has a reason");
            let _ = diagnostic_text(&told, true, true);
        }
    }
});
