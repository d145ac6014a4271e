//! What a person is told about a quantity that cannot be taken: read these as they would.

use std::fmt::Write as _;

use pourbook::quantity::{
    Area, Currency, Density, Dimensions, Fraction, Length, Mass, Money, QuantityError, Temperature,
    TimeSpan, Volume,
};

/// Each text with its message and hint, as a table to read.
fn told<T>(texts: &[&str]) -> String
where
    T: std::str::FromStr<Err = QuantityError> + std::fmt::Display,
{
    let mut all = String::new();
    for text in texts {
        match text.parse::<T>() {
            Ok(value) => panic!("{text} was taken as {value}"),
            Err(error) => {
                writeln!(all, "{}\n    {}", text.escape_debug(), error.message).unwrap();
                if let Some(hint) = error.hint {
                    writeln!(all, "    hint: {hint}").unwrap();
                }
            }
        }
    }
    all
}

#[test]
fn lengths() {
    insta::assert_snapshot!(told::<Length>(&[
        "",
        "   ",
        "25",
        "125",
        "1/8",
        "1,5 mm",
        "0,5 mm",
        "1,000 mm",
        "1,234,567.5 mm",
        "12,34 mm",
        "3 mn",
        "3 milimeters",
        "3 bananas",
        "3 mm thick",
        "3 M",
        "250\n\tg",
        "3 sq ft",
        "40 min",
        "-3 mm",
        "NaN mm",
        "inf mm",
        "1e999 mm",
        "1e99999999999999999999 mm",
        "1/0 in",
        "1.5/2 in",
        "4-5 in",
        "1.2.3 mm",
        "mm",
        "3 mm 3 mm",
        "4 in 10 ft",
        "10 1/2 ft 3 in",
        "10 ft 3",
        "10 ft -3 in",
        "3 mm, 4 mm",
        "about 3 mm",
        "~3 mm",
        "3 in x 4 in",
        "3\u{1b}[31m mm",
        "٣ mm",
        "1 000 mm",
        "25\t1/2\n",
        "--3 mm",
        "1 per cent",
    ]));
}

#[test]
fn a_text_of_any_length_is_refused_in_short() {
    let error = "9".repeat(1_000_000).parse::<Length>().unwrap_err();
    assert!(error.message.len() < 100, "{error}");
    insta::assert_snapshot!(error);
}

#[test]
fn volumes() {
    insta::assert_snapshot!(told::<Volume>(&[
        "250",
        "250 g",
        "8 oz",
        "1 lb 4 oz",
        "2 qt 8 oz",
        "3",
        "3gl",
        "1 gla",
        "1 galon",
        "1 imp gal",
        "3 imperial gallons",
        "1 gal (imp)",
        "2 imp pint",
        "10 imp fl oz",
        "1 imperial bucket",
        "2 c",
        "250 Mg",
        "8 fl oz 2 qt",
        "1,5 L",
        "3 mm",
        "-1 gal",
    ]));
}

#[test]
fn masses() {
    insta::assert_snapshot!(told::<Mass>(&[
        "250",
        "8 fl oz",
        "250 mL",
        "3 kqs",
        "3 Mg",
        "1 stone",
        "0.5",
        "1 imp gal",
    ]));
}

#[test]
fn areas() {
    insta::assert_snapshot!(told::<Area>(&["42", "42 ft", "42 sqf", "600x600 mm", "1 m2 3 ft2"]));
}

#[test]
fn temperatures() {
    insta::assert_snapshot!(told::<Temperature>(&[
        "25",
        "25 degrees",
        "-5",
        "-300 °C",
        "70-85 °F",
        "-500 F",
        "25 g",
        "1 °C 2 °F",
    ]));
}

#[test]
fn times() {
    insta::assert_snapshot!(told::<TimeSpan>(&["40", "40 m", "1:30 h", "30 min 1 h", "2 weeks"]));
}

#[test]
fn densities() {
    insta::assert_snapshot!(told::<Density>(&[
        "1.15",
        "1.15 g",
        "9.6 lb/gl",
        "1 gal/lb",
        "1 g/mL 2 g/mL"
    ]));
}

#[test]
fn percent() {
    insta::assert_snapshot!(told::<Fraction>(&[
        "0.014",
        "0.5",
        "-0.5",
        "1.4",
        "5",
        "1,4 %",
        "-1 %",
        "1/2",
        "1.4 g",
        "1.4 % w/w",
        "14 per mille",
    ]));
}

#[test]
fn boards() {
    insta::assert_snapshot!(told::<Dimensions>(&[
        "",
        "600",
        "600 mm",
        "600x600",
        "24in x 18",
        "600x",
        "x",
        "600x600x3 mm",
        "600 g x 3 mm",
        "3,5 x 4 in",
        "-3 x 4 in",
        "a x b",
    ]));
}

#[test]
fn prices() {
    insta::assert_snapshot!(told::<Money>(&[
        "",
        "34.50",
        "34.50 UDS",
        "34.505 USD",
        "1200.5 JPY",
        "1,200 USD",
        "34,50 €",
        "-3 USD",
        "¥100",
        "12 kr",
        "C$ 12",
        "USD",
        "$",
        "USD 3 USD",
        "$3 per gal",
        "1/2 USD",
        "1e3 USD",
        "99999999999999999999 USD",
        "3 doubloons",
        "free",
    ]));
}

#[test]
fn currencies() {
    insta::assert_snapshot!(told::<Currency>(&["", "usdd", "dollars", "UDS", "ÜSD"]));
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire {
    film: Length,
    #[serde(default)]
    load: Option<Fraction>,
    #[serde(default)]
    price: Option<Money>,
}

/// As the project's own files are read: optional fields without `Some`.
fn from_ron(text: &str) -> Result<Wire, ron::error::SpannedError> {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
}

#[test]
fn files_give_a_quantity_as_a_string() {
    let wire = from_ron(r#"(film: "1/8 in", load: "1.4 %", price: "$34.50")"#).unwrap();
    assert_eq!(wire.film, Length::from_mm(3.175));
    assert_eq!(wire.load, Some(Fraction::new(0.014)));
    assert_eq!(wire.price, Some(Money::from_minor(3450, Currency::USD)));
    let wire: Wire = serde_json::from_str(r#"{"film": "3 mm"}"#).unwrap();
    assert_eq!(wire.film, Length::from_mm(3.0));
    assert!(wire.load.is_none() && wire.price.is_none());
}

#[test]
fn files_are_told_what_would_be_right() {
    let mut all = String::new();
    for text in [
        "(film: 3)",
        "(film: 3.5)",
        "(film: -3)",
        "(film: NaN)",
        "(film: inf)",
        "(film: true)",
        "(film: [3])",
        "(film: \"3\")",
        "(film: \"3 g\")",
        "(film: \"3 mm\", load: 0.014)",
        "(film: \"3 mm\", load: 2)",
        "(film: \"3 mm\", price: 34.5)",
    ] {
        let error = from_ron(text).unwrap_err();
        writeln!(all, "{text}\n    {}: {}", error.span, error.code).unwrap();
    }
    insta::assert_snapshot!(all);
}

#[test]
fn message_and_hint_survive_a_file() {
    let error = from_ron("(film: \"8 oz\")").unwrap_err();
    let taken = QuantityError::from_line(&error.code.to_string());
    assert_eq!(taken, "8 oz".parse::<Length>().unwrap_err());
    assert!(taken.hint.is_some(), "the hint is taken apart from the message");
}
