//! Asks without an answer.

use std::collections::BTreeMap;

use pourbook::colour::Lab;
use pourbook::matching::{Ask, Lack, Looking, Target, Unmatched, find};
use pourbook::model::{Carrier, Colorant, Override, Raised};
use pourbook::plan::Limits;
use pourbook::quantity::{Fraction, Length, Mass};
use pourbook::spectrum::{Illuminant, Observer, Spectrum};

use super::finding::{ask, looking, reflectance};
use super::shelf;

fn lab(l: f64, a: f64, b: f64) -> Target {
    let (lamp, observer) = (Illuminant::D65, Observer::Cie1931_2deg);
    Target::Lab { lab: Lab::new(l, a, b), lamp, observer }
}

#[test]
fn each_impossible_ask_gets_its_own_answer() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let all: Vec<&Colorant> = shelf.iter().collect();
    let grey = || ask(shelf::limits(&system), &house, all.clone(), lab(50.0, 0.0, 0.0));
    let why = |ask: &Ask<'_>| find(ask).unwrap_err();

    assert_eq!(why(&Ask { shelf: Vec::new(), ..grey() }), Unmatched::EmptyShelf);
    let never = shelf.iter().map(|c| c.name.clone()).collect();
    assert_eq!(why(&Ask { never, ..grey() }), Unmatched::EmptyShelf, "all are never to be used");
    let both = Ask { must: vec!["red".into()], never: vec!["red".into()], ..grey() };
    assert!(matches!(why(&both), Unmatched::MustNot { .. }), "contradiction");
    let missing = Ask { must: vec!["teal".into()], ..grey() };
    assert_eq!(why(&missing), Unmatched::MustBeMissing("teal".into()));
    let must: Vec<String> = ["white", "black", "red"].map(String::from).to_vec();
    assert_eq!(why(&Ask { must, most: 2, ..grey() }), Unmatched::MustTooMany(3, 2));
    assert_eq!(why(&Ask { most: 0, ..grey() }), Unmatched::Most(0));
    assert_eq!(why(&Ask { most: 5, ..grey() }), Unmatched::Most(5));
    let bright = Ask { target: lab(103.0, 0.0, 0.0), ..grey() };
    assert!(why(&bright).to_string().contains("brighter than white"), "{}", why(&bright));
    let vivid = Ask { target: lab(50.0, 127.0, -127.0), ..grey() };
    assert!(matches!(why(&vivid), Unmatched::NoSurface(_)), "no surface is so vivid");
    let nan = Ask { target: lab(f64::NAN, 0.0, 0.0), ..grey() };
    assert!(matches!(why(&nan), Unmatched::NotANumber(_)));
    let mut hole = Spectrum::flat(0.5);
    hole[7] = f64::NAN;
    assert!(matches!(
        why(&Ask { target: Target::Reflectance(hole), ..grey() }),
        Unmatched::NotANumber(_)
    ));
    let glow = Ask { target: Target::Reflectance(Spectrum::flat(1.2)), ..grey() };
    assert!(matches!(why(&glow), Unmatched::NoSurface(_)), "brighter than white");
    let thick = Ask { looking: Looking { film: Length::from_mm(60.0), ..looking() }, ..grey() };
    assert!(matches!(why(&thick), Unmatched::Film(..)));
    let dark = Ask { looking: Looking { lamps: Vec::new(), ..looking() }, ..grey() };
    assert!(matches!(why(&dark), Unmatched::Lamps(_)));
    let lamps = vec![(Illuminant::D65, f64::NAN)];
    let odd = Ask { looking: Looking { lamps, ..looking() }, ..grey() };
    assert!(matches!(why(&odd), Unmatched::Lamps(_)));
    let heavy = Ask { batch: Some(Mass::from_g(1e9)), ..grey() };
    assert!(matches!(why(&heavy), Unmatched::TooHeavy(_)));
}

#[test]
fn a_ceiling_of_nought_leaves_no_room() {
    let (system, house) = (shelf::system(), shelf::house());
    let red = shelf::colorant(2, Carrier::None, 1.0);
    let nought =
        Override { ceiling: Raised::AllColorants, to: Fraction::new(0.0), reason: "a test".into() };
    let raised = [nought];
    let limits = Limits { raised: &raised, ..shelf::limits(&system) };
    let none = find(&ask(limits, &house, vec![&red], lab(50.0, 20.0, 10.0)));
    assert_eq!(none.unwrap_err(), Unmatched::NoRoom);
    let stock = BTreeMap::from([("red".to_owned(), Mass::from_g(0.0))]);
    let batch = Some(Mass::from_g(1000.0));
    let empty = Ask {
        stock,
        batch,
        ..ask(shelf::limits(&system), &house, vec![&red], lab(50.0, 20.0, 10.0))
    };
    assert_eq!(find(&empty).unwrap_err(), Unmatched::NoRoom, "none in stock");
}

#[test]
fn a_target_out_of_reach_says_what_is_lacking_and_what_would_help() {
    let (system, shelf, house) = (shelf::system(), shelf::shelf(), shelf::house());
    let of = |names: &[&str]| -> Vec<&Colorant> {
        shelf.iter().filter(|c| names.contains(&c.name.as_str())).collect()
    };
    // A blue of white and blue, with umber in blue's place.
    let blue = shelf.iter().find(|c| c.name == "blue").unwrap();
    let seen = reflectance(&shelf::limits(&system), &[(&shelf[0], 0.03), (blue, 0.004)]);
    let dull = Ask {
        beyond: of(&["red", "yellow", "blue"]),
        ..ask(
            shelf::limits(&system),
            &house,
            of(&["white", "black", "umber"]),
            Target::Reflectance(seen),
        )
    };
    let reach = find(&dull).unwrap().reach.unwrap();
    assert!(reach.error > 5.0, "{reach:?}");
    assert!(reach.lacks.iter().any(|lack| matches!(lack, Lack::MoreChroma(_))), "{reach:?}");
    assert_eq!(reach.helpers[0].colorant, "blue", "{reach:?}");
    assert!(reach.helpers[0].error < reach.error, "{reach:?}");

    let dark = ask(shelf::limits(&system), &house, of(&["black", "umber"]), lab(97.0, 0.0, 1.0));
    let reach = find(&dark).unwrap().reach.unwrap();
    assert!(matches!(reach.lacks[0], Lack::Lighter(_)), "{reach:?}");
}
