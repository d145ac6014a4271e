//! The units a person may write, each with the definition its factor comes from.
//!
//! Sources: *SI Brochure*, 9th edition (BIPM, 2019), for metric units and for the minute, hour and
//! day (table 8); *NIST Handbook 44*, appendix C, for US customary units, which rest on the
//! international yard and pound of 1959 (1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg, both exact). All
//! factors below are exact decimals, none is measured.

use super::currency::Currency;

/// Millimetres in an inch: 1 yd = 0.9144 m exactly, 36 in = 1 yd.
pub const MM_PER_IN: f64 = 25.4;
/// Millimetres in a foot: 12 in.
pub const MM_PER_FT: f64 = 304.8;
/// Millimetres in a yard.
pub const MM_PER_YD: f64 = 914.4;
/// Millimetres in a mil: a thousandth of an inch.
pub const MM_PER_MIL: f64 = 0.0254;
/// Grams in an avoirdupois pound, exactly.
pub const G_PER_LB: f64 = 453.592_37;
/// Grams in an avoirdupois ounce: 1/16 lb.
pub const G_PER_OZ: f64 = 28.349_523_125;
/// Millilitres in a cubic inch: 2.54³ cm³.
pub const ML_PER_IN3: f64 = 16.387_064;
/// Millilitres in a cubic foot: 1728 in³.
pub const ML_PER_FT3: f64 = 28_316.846_592;
/// Millilitres in a US gallon: 231 in³.
pub const ML_PER_GAL: f64 = 3_785.411_784;
/// Millilitres in a US liquid quart: 1/4 gal.
pub const ML_PER_QT: f64 = 946.352_946;
/// Millilitres in a US liquid pint: 1/8 gal.
pub const ML_PER_PT: f64 = 473.176_473;
/// Millilitres in a US cup: 1/16 gal.
pub const ML_PER_CUP: f64 = 236.588_236_5;
/// Millilitres in a US fluid ounce: 1/128 gal.
pub const ML_PER_FL_OZ: f64 = 29.573_529_562_5;
/// Square metres in a square foot: 0.3048².
pub const M2_PER_FT2: f64 = 0.092_903_04;
/// Square metres in a square inch: 0.0254².
pub const M2_PER_IN2: f64 = 0.000_645_16;
/// Square metres in a square yard: 0.9144².
pub const M2_PER_YD2: f64 = 0.836_127_36;
/// Kelvins at 0 °C (SI Brochure, 2.3.1).
pub const K_AT_0_C: f64 = 273.15;

/// Litres in an imperial gallon (UK Weights and Measures Act 1985, schedule 1). Only for telling a
/// person what to write instead.
const L_PER_IMPERIAL_GALLON: f64 = 4.546_09;

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Grams.
    Mass,
    /// Millilitres.
    Volume,
    /// Millimetres.
    Length,
    /// Square metres.
    Area,
    /// Degrees Celsius.
    Temperature,
    /// Seconds.
    Time,
    /// Grams per millilitre.
    Density,
    /// Parts of one, written in percent.
    Fraction,
}

impl Dimension {
    /// Its name with the article, for messages: `a mass`, `an area`.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Mass => "a mass",
            Self::Volume => "a volume",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Temperature => "a temperature",
            Self::Time => "a time",
            Self::Density => "a density",
            Self::Fraction => "a percentage",
        }
    }

    /// Units to offer a person, the usual ones first.
    #[must_use]
    pub const fn usual_units(self) -> &'static [&'static str] {
        match self {
            Self::Mass => &["g", "kg", "oz", "lb"],
            Self::Volume => &["mL", "L", "fl oz", "qt", "gal"],
            Self::Length => &["mm", "m", "in", "ft", "mil"],
            Self::Area => &["m2", "ft2"],
            Self::Temperature => &["°C", "°F"],
            Self::Time => &["min", "h", "s"],
            Self::Density => &["g/mL", "kg/L", "lb/gal"],
            Self::Fraction => &["%"],
        }
    }

    /// The unit of the canonical form, in which a value is kept.
    #[must_use]
    pub const fn base_unit(self) -> &'static str {
        match self {
            Self::Mass => "g",
            Self::Volume => "mL",
            Self::Length => "mm",
            Self::Area => "m²",
            Self::Temperature => "°C",
            Self::Time => "s",
            Self::Density => "g/mL",
            Self::Fraction => "%",
        }
    }

    /// Whether `1 lb 4 oz` makes sense: several units, the largest first.
    pub(super) const fn is_compound(self) -> bool {
        matches!(self, Self::Mass | Self::Volume | Self::Length | Self::Time)
    }
}

/// How a figure in a unit becomes one in the base unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// Times this power of ten: the decimal point moves, so nothing is rounded twice.
    Ten(i32),
    /// Times this factor.
    Times(f64),
    /// (°F − 32)·5/9.
    Fahrenheit,
    /// K − 273.15.
    Kelvin,
}

impl Scale {
    /// The scale of a quotient, where both are plain factors.
    pub(super) fn per(self, other: Self) -> Self {
        match (self, other) {
            (Self::Ten(above), Self::Ten(below)) => Self::Ten(above - below),
            _ => Self::Times(self.size() / other.size()),
        }
    }

    /// The size of the unit in base units; of a degree, for a temperature.
    pub(super) fn size(self) -> f64 {
        match self {
            Self::Ten(exponent) => ten_to(exponent),
            Self::Times(factor) => factor,
            Self::Fahrenheit => 5.0 / 9.0,
            Self::Kelvin => 1.0,
        }
    }
}

/// The double nearest to 10^exponent.
pub(super) fn ten_to(exponent: i32) -> f64 {
    // Parsing rounds correctly; repeated multiplication would not.
    format!("1e{exponent}").parse().unwrap_or(f64::NAN)
}

/// One unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    /// As it is written back to a person.
    pub(super) symbol: &'static str,
    pub(super) dimension: Dimension,
    pub(super) scale: Scale,
    /// Other spellings. Powers are plain digits and dots are left out: see [`tidy`].
    pub(super) names: &'static [&'static str],
}

const fn unit(
    dimension: Dimension,
    symbol: &'static str,
    scale: Scale,
    names: &'static [&'static str],
) -> Unit {
    Unit { symbol, dimension, scale, names }
}

use Dimension::{Area, Fraction, Length, Mass, Temperature, Time, Volume};
use Scale::{Fahrenheit, Kelvin, Ten, Times};

/// Every unit but densities, which are made of a mass and a volume.
pub(super) const UNITS: &[Unit] = &[
    unit(Mass, "g", Ten(0), &["gram", "grams", "gramme", "grammes", "gm"]),
    unit(Mass, "mg", Ten(-3), &["milligram", "milligrams"]),
    unit(Mass, "kg", Ten(3), &["kgs", "kilogram", "kilograms", "kilo", "kilos"]),
    unit(Mass, "oz", Times(G_PER_OZ), &["ounce", "ounces"]),
    unit(Mass, "lb", Times(G_PER_LB), &["lbs", "pound", "pounds"]),
    unit(Volume, "mL", Ten(0), &["milliliter", "milliliters", "millilitre", "millilitres", "cc"]),
    unit(Volume, "cm3", Ten(0), &["cubic centimeters", "cubic centimetres"]),
    unit(Volume, "µL", Ten(-3), &["uL", "microliter", "microlitre"]),
    unit(Volume, "cL", Ten(1), &["centiliter", "centilitre"]),
    unit(Volume, "dL", Ten(2), &["deciliter", "decilitre"]),
    unit(Volume, "L", Ten(3), &["liter", "liters", "litre", "litres", "dm3"]),
    unit(Volume, "m3", Ten(6), &["cubic meters", "cubic metres"]),
    unit(Volume, "fl oz", Times(ML_PER_FL_OZ), &["floz", "fluid ounce", "fluid ounces"]),
    unit(Volume, "cup", Times(ML_PER_CUP), &["cups"]),
    unit(Volume, "pt", Times(ML_PER_PT), &["pint", "pints", "pts"]),
    unit(Volume, "qt", Times(ML_PER_QT), &["quart", "quarts", "qts"]),
    unit(Volume, "gal", Times(ML_PER_GAL), &["gallon", "gallons", "gals"]),
    unit(Volume, "in3", Times(ML_PER_IN3), &["cu in", "cubic inch", "cubic inches"]),
    unit(Volume, "ft3", Times(ML_PER_FT3), &["cu ft", "cubic foot", "cubic feet"]),
    unit(Length, "mm", Ten(0), &["millimeter", "millimeters", "millimetre", "millimetres"]),
    unit(Length, "µm", Ten(-3), &["um", "micron", "microns", "micrometer", "micrometre"]),
    unit(Length, "cm", Ten(1), &["centimeter", "centimeters", "centimetre", "centimetres"]),
    unit(Length, "m", Ten(3), &["meter", "meters", "metre", "metres"]),
    unit(Length, "in", Times(MM_PER_IN), &["inch", "inches", "ins", "\""]),
    unit(Length, "ft", Times(MM_PER_FT), &["foot", "feet", "'"]),
    unit(Length, "yd", Times(MM_PER_YD), &["yard", "yards", "yds"]),
    unit(Length, "mil", Times(MM_PER_MIL), &["mils", "thou"]),
    unit(
        Area,
        "m2",
        Ten(0),
        &["sq m", "square meter", "square meters", "square metre", "square metres"],
    ),
    unit(Area, "cm2", Ten(-4), &["sq cm", "square centimeters", "square centimetres"]),
    unit(Area, "mm2", Ten(-6), &["sq mm", "square millimeters", "square millimetres"]),
    unit(Area, "ft2", Times(M2_PER_FT2), &["sq ft", "sqft", "square foot", "square feet"]),
    unit(Area, "in2", Times(M2_PER_IN2), &["sq in", "sqin", "square inch", "square inches"]),
    unit(Area, "yd2", Times(M2_PER_YD2), &["sq yd", "square yard", "square yards"]),
    unit(
        Temperature,
        "°C",
        Ten(0),
        &["C", "degC", "deg C", "degrees C", "celsius", "degrees celsius"],
    ),
    unit(
        Temperature,
        "°F",
        Fahrenheit,
        &["F", "degF", "deg F", "degrees F", "fahrenheit", "degrees fahrenheit"],
    ),
    unit(Temperature, "K", Kelvin, &["kelvin", "kelvins"]),
    unit(Time, "s", Ten(0), &["sec", "secs", "second", "seconds"]),
    unit(Time, "min", Times(60.0), &["mins", "minute", "minutes"]),
    unit(Time, "h", Times(3_600.0), &["hr", "hrs", "hour", "hours"]),
    unit(Time, "d", Times(86_400.0), &["day", "days"]),
    unit(Fraction, "%", Ten(-2), &["percent", "per cent", "pct"]),
];

/// A unit as it was written, found in the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Found {
    pub(super) dimension: Dimension,
    pub(super) scale: Scale,
    pub(super) symbol: &'static str,
}

/// The written unit in the table's spelling: single spaces, no dots, powers as digits, one sign
/// each for inch, foot, micro and degree, no `US` before it.
pub(super) fn tidy(written: &str) -> String {
    let mut text = String::with_capacity(written.len());
    for character in written.chars() {
        match character {
            '²' => text.push('2'),
            '³' => text.push('3'),
            '.' | '^' => {}
            'μ' => text.push('µ'),
            'º' | '˚' => text.push('°'),
            '℃' => text.push_str("°C"),
            '℉' => text.push_str("°F"),
            '％' => text.push('%'),
            '″' | '“' | '”' | '〃' => text.push('"'),
            '′' | '‘' | '’' => text.push('\''),
            _ if character.is_whitespace() => text.push(' '),
            _ => text.push(character),
        }
    }
    let mut words: Vec<&str> = text.split_whitespace().collect();
    if words.len() > 1 && words[0].eq_ignore_ascii_case("us") {
        words.remove(0);
    }
    words.join(" ").replace("''", "\"").replace(" / ", "/").replace("° ", "°")
}

/// The unit of that (tidy) name. The exact spelling first; then any case, but for a lone `M` and
/// for `Mg`, which mean mega and would be a thousandfold or worse misread.
pub(super) fn find(name: &str) -> Option<Found> {
    if let Some((above, below)) = name.split_once('/').or_else(|| name.split_once(" per ")) {
        let mass = find_plain(above.trim()).filter(|found| found.dimension == Mass)?;
        let volume = find_plain(below.trim()).filter(|found| found.dimension == Volume)?;
        return Some(Found {
            dimension: Dimension::Density,
            scale: mass.scale.per(volume.scale),
            symbol: "g/mL",
        });
    }
    find_plain(name)
}

/// Whether a word is the name of a unit, or of a currency.
#[must_use]
pub fn is_unit(word: &str) -> bool {
    find(&tidy(word)).is_some() || (word == word.to_uppercase() && word.parse::<Currency>().is_ok())
}

fn find_plain(name: &str) -> Option<Found> {
    let matching = |same: &dyn Fn(&str) -> bool| {
        UNITS
            .iter()
            .find(|unit| same(unit.symbol) || unit.names.iter().any(|other| same(other)))
            .map(|unit| Found { dimension: unit.dimension, scale: unit.scale, symbol: unit.symbol })
    };
    matching(&|other| other == name).or_else(|| {
        if matches!(name, "M" | "Mg") {
            return None;
        }
        let lower = name.to_lowercase();
        matching(&|other| other.to_lowercase() == lower)
    })
}

/// The litres in one imperial measure of this (tidy) name, if it is one.
pub(super) fn imperial_litres(name: &str) -> Option<f64> {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower.split([' ', '(', ')']).filter(|word| !word.is_empty()).collect();
    let imperial = |word: &&str| matches!(*word, "imp" | "imperial" | "uk" | "british");
    if !words.iter().any(imperial) {
        return None;
    }
    let plain: Vec<&str> = words.iter().copied().filter(|word| !imperial(word)).collect();
    let found = find_plain(&plain.join(" "))?;
    let parts_of_a_gallon = match found.symbol {
        "gal" => 1.0,
        "qt" => 4.0,
        "pt" => 8.0,
        "fl oz" => 160.0,
        _ => return None,
    };
    Some(L_PER_IMPERIAL_GALLON / parts_of_a_gallon)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact in rational arithmetic; doubles may differ in the last place.
    fn same(a: f64, b: f64) {
        assert!((a - b).abs() <= 4.0 * f64::EPSILON * b.abs(), "{a} is not {b}");
    }

    #[test]
    fn factors_follow_from_their_definitions() {
        // International yard and pound, 1959; NIST Handbook 44, appendix C.
        same(MM_PER_YD, 914.4);
        same(MM_PER_YD / 36.0, MM_PER_IN);
        same(MM_PER_YD / 3.0, MM_PER_FT);
        same(MM_PER_IN / 1000.0, MM_PER_MIL);
        same(G_PER_LB, 453.592_37);
        same(G_PER_LB / 16.0, G_PER_OZ);
        same(2.54 * 2.54 * 2.54, ML_PER_IN3);
        same(231.0 * ML_PER_IN3, ML_PER_GAL);
        same(1728.0 * ML_PER_IN3, ML_PER_FT3);
        for (parts, measure) in
            [(4.0, ML_PER_QT), (8.0, ML_PER_PT), (16.0, ML_PER_CUP), (128.0, ML_PER_FL_OZ)]
        {
            same(ML_PER_GAL / parts, measure);
        }
        same(0.3048 * 0.3048, M2_PER_FT2);
        same(M2_PER_FT2 / 144.0, M2_PER_IN2);
        same(M2_PER_FT2 * 9.0, M2_PER_YD2);
    }

    #[test]
    fn no_spelling_belongs_to_two_units_even_in_another_case() {
        let mut seen: Vec<(String, &str)> = Vec::new();
        for unit in UNITS {
            for name in unit.names.iter().chain([&unit.symbol]) {
                let lower = name.to_lowercase();
                if let Some((_, other)) = seen.iter().find(|(known, _)| *known == lower) {
                    panic!("{name} is both {other} and {}", unit.symbol);
                }
                seen.push((lower, unit.symbol));
            }
        }
    }

    #[test]
    fn every_spelling_is_tidy_and_finds_its_unit() {
        for unit in UNITS {
            for name in unit.names.iter().chain([&unit.symbol]) {
                assert_eq!(tidy(name), **name, "{name} would never be looked up");
                assert_eq!(find(name).map(|found| found.symbol), Some(unit.symbol), "{name}");
            }
        }
        for dimension in [
            Dimension::Mass,
            Dimension::Volume,
            Dimension::Length,
            Dimension::Area,
            Dimension::Temperature,
            Dimension::Time,
            Dimension::Density,
            Dimension::Fraction,
        ] {
            for name in dimension.usual_units().iter().chain([&dimension.base_unit()]) {
                let found = find(&tidy(name)).map(|found| found.dimension);
                assert_eq!(found, Some(dimension), "{name}");
            }
        }
    }

    #[test]
    fn spellings_are_made_one() {
        for (written, name) in [
            ("fl. oz.", "fl oz"),
            ("U.S. gal", "gal"),
            ("ft²", "ft2"),
            ("ft^2", "ft2"),
            ("''", "\""),
            ("μm", "µm"),
            ("lb / gal", "lb/gal"),
            ("° F", "°F"),
        ] {
            assert_eq!(tidy(written), name, "{written}");
        }
        assert_eq!(find("ML").map(|found| found.symbol), Some("mL"));
        assert_eq!(find("Mg"), None, "a megagram is no milligram");
        assert_eq!(find("M"), None);
    }
}
