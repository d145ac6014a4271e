//! Quantities for eyes, and the canonical form that reads back exactly.
//!
//! | noun | US | metric |
//! |---|---|---|
//! | mass | grams: scales weigh grams everywhere | grams |
//! | mass to buy or lift ([`Mass::show_load`]) | lb | kg |
//! | volume | gal, qt, fl oz | L, mL |
//! | volume in a syringe ([`Volume::show_syringe`]) | mL | mL |
//! | length | ft and in, to 1/16 in | m, mm |
//! | film ([`Length::show_film`]) | mil | mm |
//! | area | ft² | m² |
//! | temperature | °F | °C |
//! | time | h, min, s | h, min, s |
//! | density | lb/gal | g/mL |
//! | fraction | % | % |
//!
//! Whatever is shown can be typed back; it comes out rounded as it was shown.

use super::measure::{Area, Density, Fraction, Length, Mass, Temperature, TimeSpan, Volume};
use super::units::Dimension;

/// Which units a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// US customary.
    #[default]
    Us,
    /// Metric.
    Metric,
}

/// The canonical form of a value in its base unit.
pub(super) fn canonical(value: f64, dimension: Dimension) -> String {
    let shift = if dimension == Dimension::Fraction { 2 } else { 0 };
    format!("{} {}", shifted(value, shift), dimension.base_unit())
}

/// The shortest decimal that reads back as `value`, its point moved right by `places`: plain
/// where that stays short, with an exponent elsewhere. Moving the point in the text rounds
/// nothing.
pub(super) fn shifted(value: f64, places: i32) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let scientific = format!("{:e}", value.abs());
    let (mantissa, exponent) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let digits: String = mantissa.chars().filter(|each| *each != '.').collect();
    let exponent = exponent.parse::<i32>().unwrap_or(0) + places;
    let sign = if value < 0.0 { "-" } else { "" };
    let count = i32::try_from(digits.len()).unwrap_or(i32::MAX);
    let plain = match usize::try_from(exponent) {
        Ok(whole) if exponent < 16 && count > exponent + 1 => {
            let (whole, part) = digits.split_at(whole + 1);
            format!("{whole}.{part}")
        }
        Ok(whole) if exponent < 16 => format!("{digits:0<width$}", width = whole + 1),
        Err(_) if exponent >= -6 => {
            let zeros = usize::try_from(-exponent - 1).unwrap_or(0);
            format!("0.{}{digits}", "0".repeat(zeros))
        }
        _ => {
            let (first, part) = digits.split_at(1);
            let point = if part.is_empty() { "" } else { "." };
            format!("{first}{point}{part}e{exponent}")
        }
    };
    format!("{sign}{plain}")
}

/// `value` with so many decimals. A decimal half goes away from nought, also where its double lies
/// just below: 3.175 is shown as 3.18, as a person would round it.
fn fixed(value: f64, decimals: usize) -> String {
    format!("{:.decimals$}", nudged(value))
}

/// `value`, a few last places larger.
fn nudged(value: f64) -> f64 {
    value * (1.0 + 4.0 * f64::EPSILON)
}

/// `value` with so many decimals, those that are nought left out: `3`, `3.18`.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A positive figure cut to so many significant digits.
fn cut(value: f64, digits: i32) -> f64 {
    #[expect(clippy::cast_possible_truncation, reason = "at most 308")]
    let decimals = (digits - 1 - libm::log10(value).floor() as i32).clamp(0, 12);
    let steps = libm::pow(10.0, f64::from(decimals));
    // What is a step but for the rounding of its double is that step.
    (value * steps * (1.0 + 1e-12)).floor() / steps
}

/// `value` rounded to so many significant digits, but whole digits are never rounded away.
pub(super) fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() || value == 0.0 {
        return value.to_string();
    }
    let scientific = format!("{:.*e}", digits.saturating_sub(1), nudged(value));
    if value.abs() >= 1e15 {
        return scientific;
    }
    let exponent = scientific.split_once('e').and_then(|(_, e)| e.parse::<i64>().ok());
    let wanted = i64::try_from(digits).unwrap_or(0) - 1 - exponent.unwrap_or(0);
    trimmed(value, usize::try_from(wanted.clamp(0, 12)).unwrap_or(0))
}

impl Mass {
    /// In grams under either choice, because scales weigh grams: two decimals below 10 g, one
    /// below 1 kg, none above.
    #[must_use]
    pub fn show(self, _units: Units) -> String {
        let decimals = match self.g().abs() {
            size if size < 9.995 => 2,
            size if size < 999.95 => 1,
            _ => 0,
        };
        format!("{} g", fixed(self.g(), decimals))
    }

    /// In grams with the decimals that a scale of this readability shows: `12.30 g` at 0.01 g.
    #[must_use]
    pub fn show_weighed(self, readability: Self) -> String {
        let step = readability.g();
        let decimals = (0..6).find(|decimals| {
            let in_steps = step * super::units::ten_to(*decimals);
            in_steps >= 1.0 - 1e-9 && (in_steps - in_steps.round()).abs() < 1e-6
        });
        let decimals = usize::try_from(decimals.unwrap_or(0)).unwrap_or(0);
        format!("{} g", fixed(self.g(), decimals))
    }

    /// A package's size as it is sold: `4 oz`, `1.5 lb`; `250 g`, `2.5 kg`.
    #[must_use]
    pub fn show_package(self, units: Units) -> String {
        match units {
            Units::Us if self.lb() < 0.995 => format!("{} oz", significant(self.oz(), 3)),
            Units::Us => format!("{} lb", significant(self.lb(), 3)),
            Units::Metric if self.kg() < 0.9995 => format!("{} g", significant(self.g(), 4)),
            Units::Metric => format!("{} kg", significant(self.kg(), 3)),
        }
    }

    /// A mass to buy or lift: `28.2 lb`, `12.8 kg`.
    #[must_use]
    pub fn show_load(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} lb", significant(self.lb(), 3)),
            Units::Metric => format!("{} kg", significant(self.kg(), 3)),
        }
    }
}

/// Up to so many quarts a pail may be sold by quarts.
const ODD_QUARTS: f64 = 15.0;

impl Volume {
    /// `3.11 gal`, `2.5 qt`, `8.5 fl oz`; `9.59 L`, `250 mL`. A pail of an odd number of quarts is called by them,
    /// as it is sold: `5 qt`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        let size = self.abs();
        let quarts = size.qt().round();
        let odd = quarts <= ODD_QUARTS && quarts % 2.0 == 1.0 && (size.qt() - quarts).abs() < 1e-9;
        match units {
            Units::Us if odd => format!("{} qt", significant(self.qt(), 3)),
            Units::Us if size.gal() >= 0.9995 => format!("{} gal", significant(self.gal(), 3)),
            Units::Us if size.qt() >= 0.9995 => format!("{} qt", significant(self.qt(), 3)),
            Units::Us => format!("{} fl oz", significant(self.fl_oz(), 3)),
            Units::Metric if size.ml() >= 999.5 => format!("{} L", significant(self.l(), 3)),
            Units::Metric => format!("{} mL", significant(self.ml(), 3)),
        }
    }

    /// In the unit in which `sum` is shown, of which it is a part: `0.208 gal`, `0.1 gal` beside `3.12 gal`.
    #[must_use]
    pub fn show_beside(self, sum: Self, units: Units) -> String {
        let shown = sum.show(units);
        let (whole, unit) = shown.split_once(' ').unwrap_or_default();
        let (figure, name) = match unit {
            "gal" => (self.gal(), "gal"),
            "qt" => (self.qt(), "qt"),
            "L" => (self.l(), "L"),
            "mL" => (self.ml(), "mL"),
            _ => (self.fl_oz(), "fl oz"),
        };
        // No part is told more finely than by one place beyond the sum's, or by two where that has none.
        let places = |shown: &str| shown.split_once('.').map_or(0, |(_, part)| part.len());
        let (own, most) = (significant(figure, 3), (places(whole) + 1).max(2));
        format!("{} {name}", if places(&own) > most { trimmed(figure, most) } else { own })
    }

    /// As a syringe is read, in mL under either choice of units: `1.5 mL`, `0.25 mL`.
    #[must_use]
    pub fn show_syringe(self) -> String {
        format!("{} mL", significant(self.ml(), 2))
    }
}

impl Length {
    /// As a tape measures: `10 ft 4 1/2 in` to the nearest 1/16 in; `3.048 m`, `600 mm` to the
    /// nearest millimetre.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Us => feet_and_inches(self.in_()),
            Units::Metric if self.abs().mm() >= 999.5 => format!("{} m", trimmed(self.m(), 3)),
            Units::Metric if self.abs().mm() >= 9.95 => format!("{} mm", trimmed(self.mm(), 0)),
            Units::Metric => format!("{} mm", trimmed(self.mm(), 1)),
        }
    }

    /// In inches however long, to the nearest 1/16 in: `31 in`, `125 in`.
    #[must_use]
    pub fn show_in_inches(self) -> String {
        let sign = if self.in_() < 0.0 { "-" } else { "" };
        match vulgar_fraction((self.in_().abs() * 16.0).round(), 16) {
            Some(text) => format!("{sign}{text} in"),
            // Too large for its sixteenths to be told apart, or no number at all.
            None => self.show(Units::Us),
        }
    }

    /// As a film is spoken of, in one unit however thick, so that films can be compared: `125 mil`
    /// (thousandths of an inch); `3.18 mm`, `0.5 mm`.
    #[must_use]
    pub fn show_film(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} mil", significant(self.mil(), 3)),
            Units::Metric => format!("{} mm", significant(self.mm(), 3)),
        }
    }
}

impl Area {
    /// `42 ft²`, `3.9 m²`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} ft²", significant(self.ft2(), 3)),
            Units::Metric => format!("{} m²", significant(self.m2(), 3)),
        }
    }
}

impl Temperature {
    /// `77 °F`, `25 °C`, to a tenth of a degree.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} °F", trimmed(self.f(), 1)),
            Units::Metric => format!("{} °C", trimmed(self.c(), 1)),
        }
    }

    /// As people say it, to whole degrees: `72 °F`, `22 °C`.
    #[must_use]
    pub fn show_about(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} °F", trimmed(self.f(), 0)),
            Units::Metric => format!("{} °C", trimmed(self.c(), 0)),
        }
    }

    /// In both units, where it is not known which of them was typed: `25.0 °C (77.0 °F)`.
    #[must_use]
    pub fn show_in_both(self) -> String {
        format!("{:.1} °C ({:.1} °F)", self.c(), self.f())
    }
}

impl TimeSpan {
    /// `45 s`, `4.5 min`, `40 min`, `1 h 30 min`, `72 h`: to the second below 2 min, to a tenth of a minute below ten, to
    /// the minute below a day, to a tenth of an hour above. The same under either choice.
    #[must_use]
    pub fn show(self, _units: Units) -> String {
        let size = self.abs();
        let sign = if self.s() < 0.0 { "-" } else { "" };
        if size.s() < 119.5 {
            return format!("{sign}{} s", trimmed(size.s(), 0));
        }
        let minutes = size.min().round();
        if size.min() < 9.95 {
            return format!("{sign}{} min", trimmed(size.min(), 1));
        }
        if minutes < 60.0 {
            return format!("{sign}{minutes:.0} min");
        }
        if minutes >= 24.0 * 60.0 || !minutes.is_finite() {
            return format!("{sign}{} h", trimmed(size.h(), 1));
        }
        let hours = (minutes / 60.0).floor();
        let rest = minutes - hours * 60.0;
        if rest == 0.0 {
            return format!("{sign}{hours:.0} h");
        }
        format!("{sign}{hours:.0} h {rest:.0} min")
    }
}

impl Density {
    /// `9.6 lb/gal`, `1.15 g/mL`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Us => format!("{} lb/gal", significant(self.lb_per_gal(), 4)),
            Units::Metric => format!("{} g/mL", significant(self.g_per_ml(), 4)),
        }
    }
}

impl Fraction {
    /// `1.4 %`, `0.06 %`, to three significant digits. The same under either choice.
    #[must_use]
    pub fn show(self, _units: Units) -> String {
        format!("{} %", significant(self.percent(), 3))
    }

    /// To three significant digits and never above itself, so that a largest amount can be typed
    /// back: `0.984 %`.
    #[must_use]
    pub fn show_at_most(self) -> String {
        let percent = self.percent();
        if !(percent.is_finite() && percent > 0.0) {
            return self.show(Units::Metric);
        }
        format!("{} %", significant(cut(percent, 3), 3))
    }

    /// As [`Self::show_at_most`], with as many digits (at most nine) as it takes to be no less than
    /// `least`: what is held now never reads as more than what is allowed.
    #[must_use]
    pub fn show_between(self, least: Self) -> String {
        let percent = self.percent();
        if !(percent.is_finite() && percent > 0.0 && least <= self) {
            return self.show_at_most();
        }
        let enough = |digits: &i32| cut(percent, *digits) >= least.percent() * (1.0 - 1e-12);
        let digits = (3..9).find(enough).unwrap_or(9);
        format!("{} %", significant(cut(percent, digits), usize::try_from(digits).unwrap_or(3)))
    }

    /// Two fractions to three significant digits, or to as many as tell them apart: what exceeds a
    /// limit never reads as if it were at it.
    #[must_use]
    pub fn show_apart(self, other: Self) -> [String; 2] {
        let shown =
            |digits| [self, other].map(|each| format!("{} %", significant(each.percent(), digits)));
        let apart = |digits: &usize| {
            let [one, two] = shown(*digits);
            one != two
        };
        shown((3..=17).find(apart).unwrap_or(3))
    }
}

/// `10 ft 4 1/2 in`, to the nearest 1/16 in.
fn feet_and_inches(inches: f64) -> String {
    let sign = if inches < 0.0 { "-" } else { "" };
    let sixteenths = (inches.abs() * 16.0).round();
    let feet = (sixteenths / (12.0 * 16.0)).floor();
    let rest = sixteenths - feet * 12.0 * 16.0;
    match vulgar_fraction(rest, 16) {
        // Too large for its sixteenths to be told apart, or no number at all.
        None => format!("{sign}{} ft", significant(inches.abs() / 12.0, 3)),
        Some(_) if sixteenths >= 1e9 => format!("{sign}{} ft", significant(inches.abs() / 12.0, 3)),
        Some(text) if feet == 0.0 => format!("{sign}{text} in"),
        Some(_) if rest == 0.0 => format!("{sign}{feet:.0} ft"),
        Some(text) => format!("{sign}{feet:.0} ft {text} in"),
    }
}

/// A whole count of `1/parts` as `4 1/2`, in lowest terms. `None` if it is no such count.
fn vulgar_fraction(count: f64, parts: u64) -> Option<String> {
    if !(0.0..1e9).contains(&count) {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number between 0 and 1e9"
    )]
    let count = count as u64;
    let (whole, mut above, mut below) = (count / parts, count % parts, parts);
    if above == 0 {
        return Some(whole.to_string());
    }
    while above % 2 == 0 {
        above /= 2;
        below /= 2;
    }
    Some(if whole == 0 { format!("{above}/{below}") } else { format!("{whole} {above}/{below}") })
}

#[cfg(test)]
mod tests {
    use super::Units::{Metric, Us};
    use super::*;

    #[test]
    fn the_shortest_decimal_with_its_point_moved() {
        for (value, places, text) in [
            (0.014, 2, "1.4"),
            (1.0, 2, "100"),
            (0.0, 2, "0"),
            (-0.0, 0, "0"),
            (123.456, 0, "123.456"),
            (-12.5, 0, "-12.5"),
            (1e-5, 0, "0.00001"),
            (1.5e-9, 0, "1.5e-9"),
            (1e15, 0, "1000000000000000"),
            (1e300, 0, "1e300"),
            (0.1 + 0.2, 0, "0.30000000000000004"),
            (0.0007, 2, "0.07"),
        ] {
            assert_eq!(shifted(value, places), text, "{value}");
        }
    }

    #[test]
    fn significant_digits_keep_whole_ones() {
        for (value, digits, text) in [
            (1.2345, 3, "1.23"),
            (12_345.6, 3, "12346"),
            (0.000_123_45, 3, "0.000123"),
            (3.0, 3, "3"),
            (9.996, 3, "10"),
            (100.0, 3, "100"),
            (1e300, 3, "1.00e300"),
        ] {
            assert_eq!(significant(value, digits), text, "{value}");
        }
    }

    #[test]
    fn a_largest_amount_is_cut_and_an_excess_is_told_apart() {
        for (percent, text) in [
            (0.984_9, "0.984 %"),
            (6.24, "6.24 %"),
            (6.0, "6 %"),
            (0.0, "0 %"),
            (0.000_321_9, "0.000321 %"),
            (119.9, "119 %"),
            (0.3 * 3.0, "0.9 %"),
        ] {
            assert_eq!(Fraction::from_percent(percent).show_at_most(), text);
        }
        for (value, limit, shown) in [
            (112.1795, 100.0, ["112 %", "100 %"]),
            (6.000_001, 6.0, ["6.000001 %", "6 %"]),
            (6.7308, 6.0, ["6.73 %", "6 %"]),
            (1.0, 1.0, ["1 %", "1 %"]),
        ] {
            let [value, limit] = [value, limit].map(Fraction::from_percent);
            assert_eq!(value.show_apart(limit), shown.map(str::to_owned));
        }
    }

    #[test]
    fn what_is_allowed_never_reads_below_what_is_held() {
        let between = |most: f64, held: f64| {
            Fraction::from_percent(most).show_between(Fraction::from_percent(held))
        };
        assert_eq!(between(5.058_185_9, 5.058_185), "5.058185 %");
        assert_eq!(between(5.058_185_9, 5.0), "5.05 %");
        assert_eq!(between(5.058_185_9, 5.051), "5.058 %");
        assert_eq!(between(5.0, 6.0), "5 %", "above it nothing is between");
        assert_eq!(between(0.0, 0.0), "0 %");
    }

    #[test]
    fn weights_are_grams_with_the_scales_decimals() {
        assert_eq!(Mass::from_g(12_813.3).show(Us), "12813 g");
        assert_eq!(Mass::from_g(45.04).show(Metric), "45.0 g");
        assert_eq!(Mass::from_g(0.45).show(Us), "0.45 g");
        for (readability, text) in
            [(0.01, "12.30 g"), (0.1, "12.3 g"), (0.5, "12.3 g"), (1.0, "12 g"), (5.0, "12 g")]
        {
            assert_eq!(Mass::from_g(12.3).show_weighed(Mass::from_g(readability)), text);
        }
        assert_eq!(Mass::from_g(12_813.3).show_load(Us), "28.2 lb");
        assert_eq!(Mass::from_g(12_813.3).show_load(Metric), "12.8 kg");
    }

    #[test]
    fn volumes_take_the_largest_unit_that_fits() {
        for (ml, us, metric) in [
            (11_755.3, "3.11 gal", "11.8 L"),
            (3_785.411_784, "1 gal", "3.79 L"),
            (2.5 * 946.352_946, "2.5 qt", "2.37 L"),
            (5.0 * 946.352_946, "5 qt", "4.73 L"),
            (6.0 * 946.352_946, "1.5 gal", "5.68 L"),
            (8.0 * 29.573_529_562_5, "8 fl oz", "237 mL"),
            (1.0, "0.0338 fl oz", "1 mL"),
            (0.0, "0 fl oz", "0 mL"),
        ] {
            let volume = Volume::from_ml(ml);
            assert_eq!((volume.show(Us), volume.show(Metric)), (us.to_owned(), metric.to_owned()));
        }
    }

    #[test]
    fn parts_are_shown_in_the_unit_of_their_sum() {
        let gal = Volume::from_gal;
        for (part, sum, us, metric) in [
            (gal(2.7654), gal(3.122), "2.77 gal", "10.5 L"),
            (gal(0.2081), gal(3.122), "0.208 gal", "0.79 L"),
            (gal(0.0998), gal(3.122), "0.1 gal", "0.38 L"),
            (gal(0.0041), gal(0.5), "0.02 qt", "0.016 L"),
            (gal(0.0), gal(0.5), "0 qt", "0 L"),
        ] {
            let shown = (part.show_beside(sum, Us), part.show_beside(sum, Metric));
            assert_eq!(shown, (us.to_owned(), metric.to_owned()), "{part:?}");
        }
    }

    #[test]
    fn a_syringe_reads_millilitres() {
        for (ml, text) in
            [(1.5155, "1.5 mL"), (0.2517, "0.25 mL"), (12.34, "12 mL"), (0.004, "0.004 mL")]
        {
            assert_eq!(Volume::from_ml(ml).show_syringe(), text);
        }
    }

    #[test]
    fn lengths_as_on_a_tape_and_films_as_spoken_of() {
        for (mm, us, metric) in [
            (3162.3, "10 ft 4 1/2 in", "3.162 m"),
            (2438.4, "8 ft", "2.438 m"),
            (647.7, "2 ft 1 1/2 in", "648 mm"),
            (38.1, "1 1/2 in", "38 mm"),
            (304.2, "1 ft", "304 mm"),
            (3.0, "1/8 in", "3 mm"),
            (0.0, "0 in", "0 mm"),
            (-25.4, "-1 in", "-25 mm"),
        ] {
            let length = Length::from_mm(mm);
            assert_eq!((length.show(Us), length.show(Metric)), (us.to_owned(), metric.to_owned()));
        }
        for (mm, us, metric) in [
            (3.175, "125 mil", "3.18 mm"),
            (3.0, "118 mil", "3 mm"),
            (1.5875, "62.5 mil", "1.59 mm"),
            (0.508, "20 mil", "0.508 mm"),
            (2.54, "100 mil", "2.54 mm"),
            (0.0, "0 mil", "0 mm"),
        ] {
            let film = Length::from_mm(mm);
            assert_eq!(
                (film.show_film(Us), film.show_film(Metric)),
                (us.to_owned(), metric.to_owned())
            );
        }
    }

    #[test]
    fn the_rest_in_both_systems() {
        let shown = |us: String, metric: String| format!("{us} = {metric}");
        let area = Area::from_ft2(42.0);
        assert_eq!(shown(area.show(Us), area.show(Metric)), "42 ft² = 3.9 m²");
        let room = Temperature::from_c(25.0);
        assert_eq!(shown(room.show(Us), room.show(Metric)), "77 °F = 25 °C");
        let resin = Density::from_g_per_ml(1.15);
        assert_eq!(shown(resin.show(Us), resin.show(Metric)), "9.597 lb/gal = 1.15 g/mL");
        for (value, text) in
            [(0.014, "1.4 %"), (0.0006, "0.06 %"), (0.05660, "5.66 %"), (1.0, "100 %")]
        {
            assert_eq!(Fraction::new(value).show(Us), text);
        }
        for (s, text) in [
            (45.0, "45 s"),
            (119.6, "2 min"),
            (270.0, "4.5 min"),
            (597.0, "10 min"),
            (2400.0, "40 min"),
            (3590.0, "1 h"),
            (5400.0, "1 h 30 min"),
            (259_200.0, "72 h"),
        ] {
            assert_eq!(TimeSpan::from_s(s).show(Us), text, "{s}");
        }
    }
}
