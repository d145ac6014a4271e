//! Quantities from outside: what a person may write, what it means, and what they are told.

use pourbook::quantity::{
    Area, Currency, Density, Dimensions, Fraction, Length, Mass, Money, Temperature, TimeSpan,
    Volume,
};

/// The two agree but for the last places of a double.
fn near(found: f64, right: f64, what: &str) {
    let allowed = 1e-12 * right.abs().max(1e-9);
    assert!((found - right).abs() <= allowed, "{what}: {found} is not {right}");
}

#[test]
fn lengths_as_a_tape_is_read() {
    // 1 in = 25.4 mm exactly (international inch, 1959; NIST Handbook 44, appendix C).
    for (text, mm) in [
        ("25 1/2 in", 647.7),
        ("25-1/2 in", 647.7),
        ("25½ in", 647.7),
        ("25 ½\"", 647.7),
        ("25.5in", 647.7),
        ("25 1/2\"", 647.7),
        ("25 1/2 ″", 647.7),
        ("10' 4-1/2\"", 3162.3),
        ("10'-4 1/2\"", 3162.3),
        ("10'4\"", 3149.6),
        ("10′ 4½″", 3162.3),
        ("10’ 4”", 3149.6),
        ("10' 4''", 3149.6),
        ("10 ft 4 1/2 in", 3162.3),
        ("10ft4.5in", 3162.3),
        ("10 ft. 4.5 in.", 3162.3),
        ("10ft3in", 3124.2),
        ("10 ft 2 1/2 in", 3111.5),
        ("8'", 2438.4),
        ("3 mm", 3.0),
        ("3mm", 3.0),
        ("3 MM", 3.0),
        ("0.6 m", 600.0),
        ("1 m 5 cm 2 mm", 1052.0),
        ("125 mil", 3.175),
        ("125 mils", 3.175),
        ("1/8 in", 3.175),
        ("⅛ in", 3.175),
        ("1⁄8 in", 3.175),
        ("1/8\"", 3.175),
        ("500 µm", 0.5),
        ("500 um", 0.5),
        ("2 yd 1 ft", 2133.6),
        ("3e2 mm", 300.0),
        ("+3 mm", 3.0),
        (".5 m", 500.0),
        ("5. mm", 5.0),
        ("0 mm", 0.0),
        ("3\u{a0}mm", 3.0),
        ("  3  mm  ", 3.0),
    ] {
        let length: Length = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
        near(length.mm(), mm, text);
    }
}

#[test]
fn volumes_are_us_measure() {
    // 1 gal = 231 in³ exactly, 1 in³ = 16.387064 mL exactly (NIST Handbook 44, appendix C).
    for (text, ml) in [
        ("1.5 gal", 5_678.117_676),
        ("1 US gal", 3_785.411_784),
        ("1 U.S. gallon", 3_785.411_784),
        ("231 in3", 3_785.411_784),
        ("231 cu in", 3_785.411_784),
        ("4 qt", 3_785.411_784),
        ("8 pints", 3_785.411_784),
        ("128 fl. oz.", 3_785.411_784),
        ("2 qt 8 fl oz", 2.0 * 946.352_946 + 8.0 * 29.573_529_562_5),
        ("3 gal 1 pt", 3.0 * 3_785.411_784 + 473.176_473),
        ("16 cups", 3_785.411_784),
        ("250ml", 250.0),
        ("250 mL", 250.0),
        ("250 ML", 250.0),
        ("3.785 L", 3785.0),
        ("3.785 l", 3785.0),
        ("1 L 250 mL", 1250.0),
        ("2 litres", 2000.0),
        ("30 cc", 30.0),
        ("30 cm³", 30.0),
        ("1/2 gal", 1_892.705_892),
        ("1 m3 200 L", 1_200_000.0),
    ] {
        let volume: Volume = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
        near(volume.ml(), ml, text);
    }
}

#[test]
fn masses_areas_times_temperatures_densities_and_percent() {
    for (text, g) in [
        ("250 g", 250.0),
        ("1 lb 4 oz", 566.990_462_5),
        ("1 lb", 453.592_37),
        ("16 oz", 453.592_37),
        ("2 lbs", 907.184_74),
        ("1.2 kg", 1200.0),
        ("450 mg", 0.45),
    ] {
        near(text.parse::<Mass>().unwrap().g(), g, text);
    }
    for (text, m2) in [
        ("42ft2", 3.901_927_68),
        ("42 ft²", 3.901_927_68),
        ("42 sq ft", 3.901_927_68),
        ("42 sq. ft.", 3.901_927_68),
        ("42 square feet", 3.901_927_68),
        ("42 ft^2", 3.901_927_68),
        ("3.9 m2", 3.9),
        ("144 in2", 0.092_903_04),
        ("1 sq yd", 0.836_127_36),
        ("2500 cm2", 0.25),
    ] {
        near(text.parse::<Area>().unwrap().m2(), m2, text);
    }
    for (text, c) in [
        ("77 °F", 25.0),
        ("77F", 25.0),
        ("77 ° F", 25.0),
        ("77 deg F", 25.0),
        ("77 ℉", 25.0),
        ("25 C", 25.0),
        ("25 °c", 25.0),
        ("-40 °F", -40.0),
        ("−40 °C", -40.0),
        ("298.15 K", 25.0),
        ("0 K", -273.15),
        ("-459.67 °F", -273.15),
    ] {
        near(text.parse::<Temperature>().unwrap().c(), c, text);
    }
    for (text, s) in [
        ("40 min", 2400.0),
        ("1 h 30 min", 5400.0),
        ("1h30min", 5400.0),
        ("1.5 hours", 5400.0),
        ("90 s", 90.0),
        ("2 days", 172_800.0),
        ("1 min 30 sec", 90.0),
    ] {
        near(text.parse::<TimeSpan>().unwrap().s(), s, text);
    }
    for (text, g_per_ml) in [
        ("9.6 lb/gal", 9.6 * 453.592_37 / 3_785.411_784),
        ("1.15 g/mL", 1.15),
        ("1.15 kg/L", 1.15),
        ("1.15 g/cm³", 1.15),
        ("1.15 g / cc", 1.15),
        ("1150 kg/m3", 1.15),
        ("1.15 grams per milliliter", 1.15),
    ] {
        near(text.parse::<Density>().unwrap().g_per_ml(), g_per_ml, text);
    }
    for (text, value) in [
        ("1.4 %", 0.014),
        ("1.4%", 0.014),
        ("1.4 percent", 0.014),
        ("1/2 %", 0.005),
        ("120 %", 1.2),
    ] {
        assert_eq!(text.parse::<Fraction>().unwrap().value(), value, "{text}: the nearest double");
    }
}

#[test]
fn money_in_its_forms() {
    for (text, minor, currency) in [
        ("34.50 USD", 3450, Currency::USD),
        ("USD 34.50", 3450, Currency::USD),
        ("34.5usd", 3450, Currency::USD),
        ("$34.50", 3450, Currency::USD),
        ("US$ 34.50", 3450, Currency::USD),
        ("€12", 1200, Currency::EUR),
        ("12 €", 1200, Currency::EUR),
        ("£9.99", 999, Currency::GBP),
        ("$.99", 99, Currency::USD),
        ("34.500 USD", 3450, Currency::USD),
    ] {
        let money: Money = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_eq!(money, Money::from_minor(minor, currency), "{text}");
    }
    assert_eq!("1200 JPY".parse::<Money>().unwrap().minor(), 1200);
    assert_eq!("1.5 KWD".parse::<Money>().unwrap().minor(), 1500);
}

#[test]
fn boards_have_two_sides() {
    for (text, width, height) in [
        ("600x600mm", 600.0, 600.0),
        ("600 x 450 mm", 600.0, 450.0),
        ("600×450mm", 600.0, 450.0),
        ("600mm x 450mm", 600.0, 450.0),
        ("600 X 450 MM", 600.0, 450.0),
        ("25\" x 8'", 635.0, 2438.4),
        ("24in x 18in", 609.6, 457.2),
        ("24 x 18 in", 609.6, 457.2),
        ("24 1/2 x 18 in", 622.3, 457.2),
        ("24 by 18 in", 609.6, 457.2),
        ("2' 1\" x 8' 6\"", 635.0, 2590.8),
        ("25½ x 8½ in", 647.7, 215.9),
        ("1 m x 60 cm", 1000.0, 600.0),
    ] {
        let board: Dimensions = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
        near(board.width.mm(), width, text);
        near(board.height.mm(), height, text);
    }
}

#[test]
fn a_board_is_shown_in_the_units_asked_for_and_in_those_in_which_it_is_round() {
    use pourbook::quantity::Units;
    let board: Dimensions = "600x600mm".parse().unwrap();
    assert_eq!(board.show_both(Units::Metric), "600 mm x 600 mm");
    assert_eq!(board.show_both(Units::Us), "1 ft 11 5/8 in x 1 ft 11 5/8 in (600 mm x 600 mm)");
    let board: Dimensions = "2 ft x 18 in".parse().unwrap();
    assert_eq!(board.show_both(Units::Us), "2 ft x 1 ft 6 in");
    assert!(board.show_both(Units::Metric).ends_with(" (2 ft x 1 ft 6 in)"));
}
