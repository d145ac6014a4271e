//! Any text as every quantity: never a panic, and whatever is taken reads back as the same value.

#![no_main]

use std::fmt::{Debug, Display};
use std::str::FromStr;

use libfuzzer_sys::fuzz_target;
use pourbook::quantity::{
    Area, Currency, Density, Dimensions, Fraction, Length, Mass, Money, QuantityError, Temperature,
    TimeSpan, Units, Volume,
};

fn reads_back<T>(text: &str) -> Option<T>
where
    T: FromStr<Err = QuantityError> + Display + Debug + PartialEq + Copy,
{
    let value: T = match text.parse() {
        Ok(value) => value,
        Err(error) => {
            let line = error.to_string();
            assert!(line.chars().all(|each| !each.is_control()), "{line:?} would disturb a terminal");
            assert!(line.len() < 1000, "{line} is too long to read");
            return None;
        }
    };
    let again: T = match value.to_string().parse() {
        Ok(again) => again,
        Err(error) => panic!("{value:?} was written as {value}: {error}"),
    };
    assert_eq!(again, value, "{text:?} was written as {value}");
    Some(value)
}

fuzz_target!(|text: &str| {
    if let Some(length) = reads_back::<Length>(text) {
        assert!(length.is_finite() && length.mm() >= 0.0, "{text:?}");
        let _ = (length.show(Units::Us), length.show_film(Units::Us), length.show(Units::Metric));
    }
    if let Some(volume) = reads_back::<Volume>(text) {
        assert!(volume.is_finite() && volume.ml() >= 0.0, "{text:?}");
        let _ = (volume.show(Units::Us), volume.show(Units::Metric));
    }
    reads_back::<Mass>(text);
    reads_back::<Area>(text);
    reads_back::<Temperature>(text);
    reads_back::<TimeSpan>(text);
    reads_back::<Density>(text);
    reads_back::<Fraction>(text);
    reads_back::<Dimensions>(text);
    reads_back::<Money>(text);
    reads_back::<Currency>(text);
});
