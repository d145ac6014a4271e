//! Laws of quantities: what is written reads back as the same value, for every value.

use std::fmt::Display;
use std::str::FromStr;

use pourbook::quantity::{
    Area, Currency, Density, Dimensions, Fraction, Length, Mass, Money, QuantityError, Temperature,
    TimeSpan, Units, Volume,
};
use proptest::prelude::*;

/// Every amount a double can hold: nought, subnormals and giants too.
fn amounts() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>().prop_map(f64::abs).prop_filter("finite", |value| value.is_finite()),
        0.0..1e5_f64,
        (0_u32..1_000_000).prop_map(|count| f64::from(count) / 1000.0),
        Just(0.0),
        Just(f64::MIN_POSITIVE / 4.0),
        Just(f64::MAX),
    ]
}

/// Amounts as met in a shop, far from where arithmetic itself overflows.
fn workaday() -> impl Strategy<Value = f64> {
    /// Where the unit or the number of decimals shown changes.
    const EDGES: [f64; 11] = [
        1.0,
        10.0,
        60.0,
        100.0,
        120.0,
        304.8,
        946.352_946,
        1000.0,
        3600.0,
        3_785.411_784,
        86_400.0,
    ];
    prop_oneof![
        1e-3..1e6_f64,
        (1_u32..100_000).prop_map(|count| f64::from(count) / 8.0),
        (prop::sample::select(&EDGES[..]), 0.99..1.01_f64).prop_map(|(edge, near)| edge * near),
    ]
}

/// Text and JSON give back the very same value.
fn reads_back<T>(value: T) -> Result<(), TestCaseError>
where
    T: FromStr<Err = QuantityError>
        + Display
        + PartialEq
        + std::fmt::Debug
        + for<'de> serde::Deserialize<'de>,
{
    let text = value.to_string();
    let read: T = text.parse().map_err(|error| TestCaseError::fail(format!("{text}: {error}")))?;
    prop_assert_eq!(&read, &value, "{}", &text);
    let json = serde_json::to_string(&text).expect("a string is JSON");
    let read: T = serde_json::from_str(&json)
        .map_err(|error| TestCaseError::fail(format!("{json}: {error}")))?;
    prop_assert_eq!(&read, &value, "{}", &json);
    Ok(())
}

/// What is shown can be typed back, and showing it again changes nothing: the text is the same, or
/// means the same (`4 qt` comes back as `1 gal`).
fn shown_reads_back<T>(shown: &str, again: impl Fn(T) -> String) -> Result<(), TestCaseError>
where
    T: FromStr<Err = QuantityError>,
{
    let read: T =
        shown.parse().map_err(|error| TestCaseError::fail(format!("{shown}: {error}")))?;
    let again = again(read);
    if again == shown {
        return Ok(());
    }
    let same: Volume =
        shown.parse().map_err(|_| TestCaseError::fail(format!("{shown}: {again}")))?;
    let again: Volume =
        again.parse().map_err(|_| TestCaseError::fail(format!("{shown}: {again}")))?;
    close(again.ml(), same.ml(), 1e-12)
}

fn close(found: f64, right: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!((found - right).abs() <= tolerance * right.abs(), "{} is not {}", found, right);
    Ok(())
}

proptest! {
    #[test]
    fn the_canonical_form_reads_back_exactly(value in amounts()) {
        reads_back(Mass::from_g(value))?;
        reads_back(Volume::from_ml(value))?;
        reads_back(Length::from_mm(value))?;
        reads_back(Area::from_m2(value))?;
        reads_back(TimeSpan::from_s(value))?;
        reads_back(Density::from_g_per_ml(value))?;
        // A percentage of the greatest doubles is written with a hundredfold figure.
        reads_back(Fraction::new(value))?;
        reads_back(Dimensions::new(Length::from_mm(value), Length::from_mm(value / 3.0)))?;
    }

    #[test]
    fn temperatures_read_back_exactly(c in prop_oneof![-273.15..1e6_f64, Just(-273.15), Just(-0.0)]) {
        reads_back(Temperature::from_c(c))?;
    }

    #[test]
    fn money_reads_back_exactly(minor in 0..i64::MAX, which in 0_usize..5) {
        let code = ["USD", "EUR", "GBP", "JPY", "KWD"][which];
        let money = Money::from_minor(minor, code.parse().expect("a currency"));
        reads_back(money)?;
        let (amount, code) = {
            let text = money.to_string();
            let (amount, code) = text.split_once(' ').expect("amount and code");
            (amount.to_owned(), code.to_owned())
        };
        prop_assert_eq!(format!("{code} {amount}").parse::<Money>().expect("code first"), money);
    }

    #[test]
    fn each_unit_converts_there_and_back(value in workaday()) {
        const LAST_PLACES: f64 = 4.0 * f64::EPSILON;
        for (there_and_back, what) in [
            (Mass::from_kg(value).kg(), "kg"),
            (Mass::from_oz(value).oz(), "oz"),
            (Mass::from_lb(value).lb(), "lb"),
            (Volume::from_l(value).l(), "l"),
            (Volume::from_gal(value).gal(), "gal"),
            (Volume::from_qt(value).qt(), "qt"),
            (Volume::from_fl_oz(value).fl_oz(), "fl oz"),
            (Length::from_m(value).m(), "m"),
            (Length::from_in(value).in_(), "in"),
            (Length::from_ft(value).ft(), "ft"),
            (Length::from_mil(value).mil(), "mil"),
            (Area::from_ft2(value).ft2(), "ft2"),
            (Area::from_mm2(value).mm2(), "mm2"),
            (TimeSpan::from_min(value).min(), "min"),
            (TimeSpan::from_h(value).h(), "h"),
            (Density::from_lb_per_gal(value).lb_per_gal(), "lb/gal"),
            (Fraction::from_percent(value).percent(), "%"),
        ] {
            prop_assert!((there_and_back - value).abs() <= LAST_PLACES * value, "{}", what);
        }
        // The offsets cost digits near their zero, not relative ones.
        prop_assert!((Temperature::from_f(value).f() - value).abs() <= 1e-13 * (value + 460.0));
        prop_assert!((Temperature::from_k(value).k() - value).abs() <= 1e-13 * (value + 460.0));
    }

    #[test]
    fn text_in_any_unit_agrees_with_its_constructor(value in workaday()) {
        const LAST_PLACES: f64 = 4.0 * f64::EPSILON;
        let mass = |unit: &str| format!("{value} {unit}").parse::<Mass>().expect("a mass").g();
        close(mass("kg"), Mass::from_kg(value).g(), LAST_PLACES)?;
        close(mass("oz"), Mass::from_oz(value).g(), LAST_PLACES)?;
        close(mass("lb"), Mass::from_lb(value).g(), LAST_PLACES)?;
        let volume = |unit: &str| format!("{value}{unit}").parse::<Volume>().expect("a volume").ml();
        close(volume("L"), Volume::from_l(value).ml(), LAST_PLACES)?;
        close(volume("gal"), Volume::from_gal(value).ml(), LAST_PLACES)?;
        close(volume("qt"), Volume::from_qt(value).ml(), LAST_PLACES)?;
        close(volume("fl oz"), Volume::from_fl_oz(value).ml(), LAST_PLACES)?;
        let length = |unit: &str| format!("{value} {unit}").parse::<Length>().expect("a length").mm();
        close(length("m"), Length::from_m(value).mm(), LAST_PLACES)?;
        close(length("in"), Length::from_in(value).mm(), LAST_PLACES)?;
        close(length("'"), Length::from_ft(value).mm(), LAST_PLACES)?;
        close(length("mil"), Length::from_mil(value).mm(), LAST_PLACES)?;
        let area = format!("{value} ft²").parse::<Area>().expect("an area").m2();
        close(area, Area::from_ft2(value).m2(), LAST_PLACES)?;
        let density = format!("{value} lb/gal").parse::<Density>().expect("a density").g_per_ml();
        close(density, Density::from_lb_per_gal(value).g_per_ml(), LAST_PLACES)?;
        let time = format!("{value} h").parse::<TimeSpan>().expect("a time").s();
        close(time, TimeSpan::from_h(value).s(), LAST_PLACES)?;
        let f = format!("{value} °F").parse::<Temperature>().expect("a temperature").c();
        prop_assert!((f - Temperature::from_f(value).c()).abs() <= 1e-12 * (value + 32.0));
    }

    /// The point moves in the text: the value is the double nearest to what was written.
    #[test]
    fn powers_of_ten_round_once(digits in 0_u64..1_000_000_000, places in 0_usize..9) {
        let figure = format!("{digits:0>width$}", width = places + 1);
        let (whole, part) = figure.split_at(figure.len() - places);
        let figure = format!("{whole}.{part}");
        let nearest = |shift: i32| format!("{figure}e{shift}").parse::<f64>().expect("a number");
        let percent: Fraction = format!("{figure} %").parse().expect("a percentage");
        prop_assert_eq!(percent.value(), nearest(-2));
        let litres: Volume = format!("{figure} L").parse().expect("a volume");
        prop_assert_eq!(litres.ml(), nearest(3));
        let micrometres: Length = format!("{figure} µm").parse().expect("a length");
        prop_assert_eq!(micrometres.mm(), nearest(-3));
        let density: Density = format!("{figure} kg/m3").parse().expect("a density");
        prop_assert_eq!(density.g_per_ml(), nearest(-3));
    }

    /// Feet, inches and a vulgar fraction, in every way a tape's reading is written.
    #[test]
    fn fractional_inches_in_every_spelling(
        feet in 0_u32..1000,
        inches in 0_u32..12,
        power in 1_u32..7,
        part in 0_u32..64,
    ) {
        let below = 2_u32.pow(power);
        let above = part % below;
        // Sixty-fourths of an inch are exact doubles; one multiplication follows.
        let total = f64::from(feet * 12 + inches) + f64::from(above) / f64::from(below);
        for text in [
            format!("{feet} ft {inches} {above}/{below} in"),
            format!("{feet}' {inches}-{above}/{below}\""),
            format!("{feet}'-{inches} {above}/{below}\""),
            format!("{feet}' - {inches} {above}/{below}\""),
            format!("{feet}′ {inches} {above}⁄{below}″"),
            format!("{feet}’{inches}-{above}/{below}”"),
            format!("{feet}ft{inches} {above}/{below}in"),
            format!("{feet} feet {inches} {above}/{below} inches"),
            format!("{} {above}/{below}\"", feet * 12 + inches),
            format!("{total} in"),
        ] {
            let length: Length = text.parse().expect("a reading of a tape");
            let found = length.in_();
            prop_assert!((found - total).abs() <= 1e-14 * total.max(1.0), "{}: {}", text, found);
        }
    }

    /// A length on a sixteenth of an inch is shown as it is, and typing it back gives it again.
    #[test]
    fn sixteenths_survive_being_shown(sixteenths in 0_u32..1_000_000) {
        let length = Length::from_in(f64::from(sixteenths) / 16.0);
        let read: Length = length.show(Units::Us).parse().expect("a shown length");
        prop_assert!((read.in_() - length.in_()).abs() <= 1e-9, "{}", length.show(Units::Us));
    }

    #[test]
    fn compounds_are_sums(a in 0_u32..100, b in 0_u32..100, c in 0_u32..100) {
        let volume: Volume = format!("{a} gal {b} qt {c} fl oz").parse().expect("a volume");
        close(volume.fl_oz(), f64::from(a * 128 + b * 32 + c), 1e-14)?;
        let mass: Mass = format!("{a} lb {b} oz").parse().expect("a mass");
        close(mass.oz(), f64::from(a * 16 + b), 1e-14)?;
        let time: TimeSpan = format!("{a} h {b} min {c} s").parse().expect("a time");
        prop_assert_eq!(time.s(), f64::from(a * 3600 + b * 60 + c));
    }

    #[test]
    fn what_is_shown_can_be_typed_back(value in workaday()) {
        for units in [Units::Us, Units::Metric] {
            shown_reads_back(&Mass::from_g(value).show(units), |read: Mass| read.show(units))?;
            shown_reads_back(&Mass::from_g(value).show_load(units), |read: Mass| read.show_load(units))?;
            shown_reads_back(&Volume::from_ml(value).show(units), |read: Volume| read.show(units))?;
            shown_reads_back(&Length::from_mm(value).show(units), |read: Length| read.show(units))?;
            shown_reads_back(&Area::from_m2(value).show(units), |read: Area| read.show(units))?;
            shown_reads_back(&Temperature::from_c(value).show(units), |read: Temperature| read.show(units))?;
            shown_reads_back(&TimeSpan::from_s(value).show(units), |read: TimeSpan| read.show(units))?;
            shown_reads_back(&Density::from_g_per_ml(value).show(units), |read: Density| read.show(units))?;
            shown_reads_back(&Fraction::new(value).show(units), |read: Fraction| read.show(units))?;
            let board = Dimensions::new(Length::from_mm(value), Length::from_mm(value));
            shown_reads_back(&board.show(units), |read: Dimensions| read.show(units))?;
        }
    }

    #[test]
    fn what_is_shown_is_near_the_value(value in workaday()) {
        for units in [Units::Us, Units::Metric] {
            let read = |text: String| text.parse::<Volume>().expect("a volume").ml();
            close(read(Volume::from_ml(value).show(units)), value, 0.005)?;
            let read = |text: String| text.parse::<Mass>().expect("a mass").g();
            prop_assert!((read(Mass::from_g(value).show(units)) - value).abs() <= 0.0051 * value.max(1.0));
            let read = |text: String| text.parse::<Length>().expect("a length").mm();
            close(read(Length::from_mm(value).show_film(units)), value, 0.0101)?;
            prop_assert!((read(Length::from_mm(value).show(units)) - value).abs() <= 0.794);
            let read = |text: String| text.parse::<TimeSpan>().expect("a time").s();
            prop_assert!((read(TimeSpan::from_s(value).show(units)) - value).abs() <= 181.0);
        }
    }

    #[test]
    fn nothing_makes_the_parser_panic(text in "\\PC{0,120}") {
        read_as_everything(&text);
    }

    /// Nearly right texts reach deeper than random ones.
    #[test]
    fn nearly_right_texts_do_not_panic(parts in prop::collection::vec(prop::sample::select(PIECES), 0..12)) {
        read_as_everything(&parts.concat());
    }

    /// Whatever is accepted is an amount: finite, not negative, and it reads back.
    #[test]
    fn whatever_is_accepted_is_an_amount(parts in prop::collection::vec(prop::sample::select(PIECES), 1..6)) {
        let text = parts.concat();
        if let Ok(length) = text.parse::<Length>() {
            prop_assert!(length.is_finite() && length.mm() >= 0.0, "{}", text);
            reads_back(length)?;
        }
        if let Ok(volume) = text.parse::<Volume>() {
            prop_assert!(volume.is_finite() && volume.ml() >= 0.0, "{}", text);
            reads_back(volume)?;
        }
        if let Ok(temperature) = text.parse::<Temperature>() {
            prop_assert!(temperature.is_finite() && temperature.k() >= -1e-9, "{}", text);
            reads_back(temperature)?;
        }
        if let Ok(money) = text.parse::<Money>() {
            prop_assert!(money.minor() >= 0, "{}", text);
            reads_back(money)?;
        }
    }

    #[test]
    fn money_adds_exactly_and_never_across_currencies(cents in prop::collection::vec(0..1_000_000_000_i64, 1..20)) {
        let prices = cents.iter().map(|minor| Money::from_minor(*minor, Currency::USD));
        let sum = Money::sum(prices.clone()).expect("one currency").expect("some prices");
        prop_assert_eq!(sum.minor(), cents.iter().sum::<i64>());
        let euros = Money::from_minor(1, Currency::EUR);
        prop_assert!(Money::sum(prices.chain([euros])).is_err());
        prop_assert!(sum.partial_cmp(&euros).is_none());
    }

    /// An amount of money in doubles rounds to the nearest cent.
    #[test]
    fn money_from_a_double_is_the_nearest_cent(minor in 0..100_000_000_000_i64, off in -0.4..0.4_f64) {
        let exact = Money::from_minor(minor, Currency::USD);
        let near = Money::new(exact.amount() + off / 100.0, Currency::USD).expect("countable");
        prop_assert_eq!(near, exact);
    }
}

const PIECES: &[&str] = &[
    "1", "25", "0", ".", "1.5", "1/2", "½", "⅛", "/", "-", "−", " ", " ", "'", "\"", "′", "″",
    "in", "ft", "mm", "m", "M", "gal", "fl oz", "oz", "lb", "lb/gal", "g/mL", "%", "°", "F", "C",
    "K", "e9", "e-400", "e999", "x", "×", " by ", ",", ",000", "imp ", "US ", "²", "3", "^2", "$",
    "€", "USD", "JPY", "h", "min", "NaN", "inf", "\u{feff}", "\t", "é", "🪣",
];

fn read_as_everything(text: &str) {
    let _ = text.parse::<Mass>();
    let _ = text.parse::<Volume>();
    let _ = text.parse::<Length>();
    let _ = text.parse::<Area>();
    let _ = text.parse::<Temperature>();
    let _ = text.parse::<TimeSpan>();
    let _ = text.parse::<Density>();
    let _ = text.parse::<Fraction>();
    let _ = text.parse::<Money>();
    let _ = text.parse::<Currency>();
    let _ = text.parse::<Dimensions>();
}

#[test]
fn showing_never_panics_on_any_double() {
    for value in [f64::NAN, f64::INFINITY, f64::MAX, f64::MIN_POSITIVE, 0.0, -0.0, -1.0, -1e300] {
        for units in [Units::Us, Units::Metric] {
            for text in [
                Mass::from_g(value).show(units),
                Mass::from_g(value).show_load(units),
                Mass::from_g(value).show_weighed(Mass::from_g(value)),
                Mass::from_g(1.0).show_weighed(Mass::from_g(value)),
                Volume::from_ml(value).show(units),
                Length::from_mm(value).show(units),
                Length::from_mm(value).show_film(units),
                Area::from_m2(value).show(units),
                Temperature::from_c(value).show(units),
                TimeSpan::from_s(value).show(units),
                Density::from_g_per_ml(value).show(units),
                Fraction::new(value).show(units),
            ] {
                assert!(!text.is_empty(), "{value}");
            }
        }
    }
}
