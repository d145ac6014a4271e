//! Temperatures that are no error, or are one, and that another unit, a sign or a slipped point explains better.
//!
//! - [`unusual`]: whether one is asked about.
//! - [`asked`]: which was likely meant, as a question.
//!
//! All bounds are common practice, no source, and wide: a cold garage and a warm bath for the parts are not asked about.

use std::ops::RangeInclusive;

use super::slip_of_length::is_whole;
use crate::quantity::{Temperature, Units};

/// Rooms that are worked in, °C: from a frosty garage to a desert's noon.
pub(super) const ROOMS_C: RangeInclusive<f64> = 0.0..=45.0;

/// Surfaces and parts, °C: both are warmed before a pour, parts in a bath of hand-hot water.
pub(super) const WARMED_C: RangeInclusive<f64> = 0.0..=50.0;

/// Temperatures that a pot life is stated at, °C: 25 is usual, cold and hot rooms are stated beside it.
pub(super) const OF_POT_LIVES_C: RangeInclusive<f64> = 3.0..=45.0;

/// The lowest temperatures at which a resin is poured, °C: 10–18 is usual, winter hardeners go a little below nought.
pub(super) const LOWEST_C: RangeInclusive<f64> = -5.1..=30.0;

/// Temperatures of rooms, surfaces, parts and datasheets that a slip may have been meant for, °C.
pub(super) const MEANT_C: RangeInclusive<f64> = 10.0..=35.0;

/// Lowest temperatures that a slip may have been meant for, °C: 40 °F to 72 °F.
pub(super) const MEANT_LOWEST_C: RangeInclusive<f64> = 4.0..=22.5;

/// `low` or `high` where a temperature lies outside what is usual.
pub(super) fn unusual(
    temperature: Temperature,
    usual: &RangeInclusive<f64>,
) -> Option<&'static str> {
    match temperature.c() {
        c if c < *usual.start() => Some("low"),
        c if c > *usual.end() => Some("high"),
        _ => None,
    }
}

/// `did you mean 22 °C (72 °F)?`, as a hint; none where nothing likely is known.
pub(super) fn asked(temperature: Temperature, usual: &RangeInclusive<f64>) -> Option<String> {
    meant(temperature, usual).map(|meant| format!("did you mean {meant}?"))
}

/// The temperatures, °C in `usual`, that were likely meant, in words: one by the unit, else one by the sign or the point,
/// or one of each where it is not known in which unit it was typed.
pub(super) fn meant(temperature: Temperature, usual: &RangeInclusive<f64>) -> Option<String> {
    let typed = typed(temperature);
    let first = |slip: &dyn Fn(Scale, f64) -> (Scale, f64)| {
        let all = typed.iter().map(|(scale, figure)| slip(*scale, *figure));
        all.into_iter().find(|(scale, figure)| usual.contains(&scale.temperature(*figure).c()))
    };
    let by_unit = first(&|scale, figure| (scale.other(), figure));
    let by_sign = first(&|scale, figure| (scale, -figure));
    let by_point = || {
        first(&|scale, figure| (scale, figure / 10.0))
            .or_else(|| first(&|scale, figure| (scale, figure * 10.0)))
    };
    let words: Vec<String> = by_unit
        .into_iter()
        .chain(by_sign.or_else(|| if by_unit.is_none() { by_point() } else { None }))
        .map(|(scale, figure)| scale.words(figure))
        .collect();
    (!words.is_empty()).then(|| words.join(", or "))
}

/// The figures that a person may have typed for it, each with its scale: tenths of a degree at the most. Every whole °C is
/// tenths of °F, so where just one of the two is a whole number, that one was typed.
fn typed(temperature: Temperature) -> Vec<(Scale, f64)> {
    let parts_typed = |parts: f64| {
        let each = [Scale::Fahrenheit, Scale::Celsius].map(|scale| (scale, scale.of(temperature)));
        let all = each.into_iter().filter(|(_, figure)| is_whole(libm::fabs(*figure) * parts));
        all.collect::<Vec<_>>()
    };
    let whole = parts_typed(1.0);
    if whole.is_empty() { parts_typed(10.0) } else { whole }
}

/// A scale of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scale {
    Celsius,
    Fahrenheit,
}

impl Scale {
    const fn other(self) -> Self {
        match self {
            Self::Celsius => Self::Fahrenheit,
            Self::Fahrenheit => Self::Celsius,
        }
    }

    const fn of(self, temperature: Temperature) -> f64 {
        match self {
            Self::Celsius => temperature.c(),
            Self::Fahrenheit => temperature.f(),
        }
    }

    const fn temperature(self, figure: f64) -> Temperature {
        match self {
            Self::Celsius => Temperature::from_c(figure),
            Self::Fahrenheit => Temperature::from_f(figure),
        }
    }

    /// In the unit in which it was likely meant, and in brackets in the other: `22 °C (72 °F)`.
    fn words(self, figure: f64) -> String {
        let (unit, other) = match self {
            Self::Celsius => ("°C", Units::Us),
            Self::Fahrenheit => ("°F", Units::Metric),
        };
        let rounded = libm::round(figure * 10.0) / 10.0;
        format!("{rounded} {unit} ({})", self.temperature(figure).show_about(other))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_unit_a_sign_and_a_point_are_put_right() {
        let (c, f) = (Temperature::from_c, Temperature::from_f);
        for (typed, told) in [
            (f(22.0), "22 °C (72 °F)"),
            (f(25.0), "25 °C (77 °F)"),
            (c(72.0), "72 °F (22 °C)"),
            (c(60.0), "60 °F (16 °C)"),
            (c(-20.0), "20 °C (68 °F)"),
            (c(-10.0), "14 °C (57 °F), or 10 °C (50 °F)"),
            (c(-4.0), ""),
            (c(-8.0), ""),
            (c(-9.0), ""),
            (c(-12.0), "12 °C (54 °F)"),
            (f(15.0), "15 °C (59 °F)"),
            (f(-14.0), ""),
            (c(160.0), "16 °C (61 °F)"),
            (f(720.0), "72 °F (22 °C)"),
            (c(2.2), "22 °C (72 °F)"),
            (c(1000.0), ""),
            (c(f64::NAN), ""),
            (c(f64::INFINITY), ""),
        ] {
            let found = meant(typed, &MEANT_C).unwrap_or_default();
            assert_eq!(found, told, "{typed:?}");
        }
    }

    #[test]
    fn what_is_worked_in_is_not_unusual() {
        let (c, f) = (Temperature::from_c, Temperature::from_f);
        for room in [f(32.0), f(40.0), c(5.0), f(72.0), c(22.0), c(45.0), f(110.0)] {
            assert_eq!(unusual(room, &ROOMS_C), None, "{room:?}");
        }
        for bath in [c(50.0), f(120.0)] {
            assert_eq!(unusual(bath, &WARMED_C), None, "{bath:?}");
        }
        for lowest in [f(23.0), f(40.0), f(60.0), c(-5.0), c(16.0)] {
            assert_eq!(unusual(lowest, &LOWEST_C), None, "{lowest:?}");
        }
        for stated in [c(5.0), f(40.0), f(77.0), c(40.0)] {
            assert_eq!(unusual(stated, &OF_POT_LIVES_C), None, "{stated:?}");
        }
        assert_eq!(unusual(f(22.0), &ROOMS_C), Some("low"));
        assert_eq!(unusual(c(60.0), &WARMED_C), Some("high"));
    }
}
