//! The reader of shop files against the `ron` crate, and its messages as a person sees them.

use std::cell::RefCell;
use std::fmt::Write as _;
use std::sync::Arc;

use pourbook::diagnostic::{Diagnostics, Source};
use pourbook::file::splice;
use pourbook::file::tree::{self, Kind, Node, Tree, Value};
use proptest::prelude::*;

fn source(text: &str) -> Arc<Source> {
    Arc::new(Source { name: "a.ron".into(), text: text.into() })
}

/// The `ron` crate as the shop would use it.
fn ron_options() -> ron::Options {
    use ron::extensions::Extensions;
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
        .with_recursion_limit(128)
}

/// Whether `ron` read the same as we did. Its value forgets the words before brackets.
fn same(ours: &Node, theirs: &ron::Value) -> bool {
    use ron::Value as R;
    match (&ours.inside().kind, theirs) {
        (_, R::Option(Some(inner))) => same(ours, inner),
        (Kind::Flag(a), R::Bool(b)) => a == b,
        (Kind::Number(digits), R::Number(number)) => {
            let (a, b) = (digits.parse::<f64>().unwrap(), number.into_f64());
            // `ron` keeps what fits in single precision so.
            a == b
                || ((a - b) / a).abs() < 1e-6
                || (a.abs() < 1e-37 && b.abs() < 1e-37)
                || a.abs() > 3e38
        }
        (Kind::Text(a), R::String(b)) => a == b,
        (Kind::Char(a), R::Char(b)) => a == b,
        (Kind::Word(word), R::Option(None)) => word == "None",
        (Kind::Word(_), R::Unit) => true,
        (Kind::List(a), R::Seq(b)) => all_same(a, b),
        (Kind::Tuple { items, .. }, R::Unit) => items.is_empty(),
        (Kind::Tuple { items, .. }, R::Seq(b)) => all_same(items, b),
        // One value in brackets is a newtype to `ron`, and may be that value itself.
        (Kind::Tuple { items, .. }, b) if items.len() == 1 => same(&items[0], b),
        (Kind::Map(entries), R::Map(map)) => {
            entries.len() == map.len()
                && entries.iter().all(|entry| match &entry.key.kind {
                    Kind::Text(key) => {
                        map.get(&R::String(key.clone())).is_some_and(|b| same(&entry.value, b))
                    }
                    _ => false,
                })
        }
        (Kind::Fields { fields, .. }, R::Map(map)) => {
            fields.len() == map.len()
                && fields.iter().all(|field| {
                    map.get(&R::String(field.name.text.clone()))
                        .is_some_and(|b| same(&field.value, b))
                })
        }
        _ => false,
    }
}

fn all_same(ours: &[Node], theirs: &[ron::Value]) -> bool {
    ours.len() == theirs.len() && ours.iter().zip(theirs).all(|(a, b)| same(a, b))
}

fn blank() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => Just(String::new()),
        3 => Just(" ".to_owned()),
        1 => Just("\n\t".to_owned()),
        1 => Just(" // so it is, \"mostly\" (\n".to_owned()),
        1 => Just("/* a /* nested */ note */".to_owned()),
    ]
}

fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<u32>().prop_map(|n| n.to_string()),
        any::<i32>().prop_map(|n| n.to_string()),
        (-1e6..1e6_f64).prop_map(|n| n.to_string()),
        (-1e6..1e6_f64).prop_map(|n| format!("{n:e}")),
        (0..99_u32).prop_map(|n| format!("{n}.")),
        (0..99_u32).prop_map(|n| format!(".{n}")),
        (0..99_u32).prop_map(|n| format!("+{n}_{n}")),
        Just("18446744073709551615".to_owned()),
    ]
}

fn word() -> impl Strategy<Value = String> {
    "[A-Z][a-z]{3,6}[0-9_]?"
        .prop_filter("words with a meaning of their own", |word| word != "None" && word != "Some")
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~é☃\n]{0,12}".prop_map(|text| format!("{text:?}").replace('\u{7f}', "")),
        "[a-z \\\\]{0,8}".prop_map(|text| format!("r\"{text}\"")),
        "[a-z \"\\\\]{0,8}".prop_map(|text| format!("r##\"{text}\"##")),
        Just("\"a\\u{e9}\\t\\'\\0 \\\n   b\"".to_owned()),
    ]
}

/// Text of the part of RON that shop files use. Keys and fields are numbered, so that none is twice.
fn written() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        number(),
        text(),
        word(),
        Just("true".to_owned()),
        Just("false".to_owned()),
        Just("None".to_owned()),
        Just("'x'".to_owned()),
        Just("'\\n'".to_owned()),
        Just("()".to_owned()),
    ];
    leaf.prop_recursive(5, 40, 5, |inner| {
        let part =
            (blank(), inner, blank()).prop_map(|(a, value, b)| format!("{a}{value}{b}")).boxed();
        let parts = (prop::collection::vec(part, 0..5), any::<bool>()).boxed();
        prop_oneof![
            parts.clone().prop_map(|(parts, comma)| format!("[{}]", joined(&parts, comma))),
            parts.clone().prop_map(|(parts, comma)| {
                let fields: Vec<String> = parts
                    .iter()
                    .enumerate()
                    .map(|(at, part)| format!(" field_{at} :{part}"))
                    .collect();
                format!("({})", joined(&fields, comma))
            }),
            (word(), parts.clone()).prop_map(|(word, (parts, comma))| {
                let fields: Vec<String> =
                    parts.iter().enumerate().map(|(at, part)| format!("f{at}:{part}")).collect();
                format!("{word} ({})", joined(&fields, comma))
            }),
            (word(), parts.clone())
                .prop_map(|(word, (parts, comma))| format!("{word}({})", joined(&parts, comma))),
            parts.clone().prop_map(|(parts, comma)| format!("({})", joined(&parts, comma))),
            parts.prop_map(|(parts, comma)| {
                let entries: Vec<String> = parts
                    .iter()
                    .enumerate()
                    .map(|(at, part)| format!("\"key {at}\" :{part}"))
                    .collect();
                format!("{{{}}}", joined(&entries, comma))
            }),
        ]
    })
}

fn joined(parts: &[String], trailing_comma: bool) -> String {
    let comma = if trailing_comma && !parts.is_empty() { "," } else { "" };
    format!("{}{comma}", parts.join(","))
}

/// The last part of the last part, down to a leaf, and the way there.
fn last_leaf<'n>(node: &'n Node, path: &mut Vec<String>) -> &'n Node {
    let node = node.inside();
    let (step, next) = match &node.kind {
        Kind::List(items) | Kind::Tuple { items, .. } => match items.last() {
            Some(last) => ((items.len() - 1).to_string(), last),
            None => return node,
        },
        Kind::Map(entries) => match entries.last() {
            Some(last) => (format!("key {}", entries.len() - 1), &last.value),
            None => return node,
        },
        Kind::Fields { fields, .. } => match fields.last() {
            Some(last) => (last.name.text.clone(), &last.value),
            None => return node,
        },
        _ => return node,
    };
    path.push(step);
    last_leaf(next, path)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn what_people_write_reads_as_the_ron_crate_reads_it(text in written()) {
        let tree = Tree::parse(&source(&text));
        let theirs = ron_options().from_str::<ron::Value>(&text);
        prop_assert!(tree.found.0.is_empty(), "we refuse {text:?}: {}", tree.found);
        let theirs = theirs.map_err(|error| TestCaseError::fail(format!("ron refuses {text:?}: {error}")))?;
        prop_assert!(same(&tree.root, &theirs), "{text:?}\nours {:?}\ntheirs {theirs:?}", tree.root);
    }

    #[test]
    fn what_we_accept_after_a_slip_the_ron_crate_accepts(
        text in written(), at in any::<prop::sample::Index>(), put in "[ -~é\n\"']{0,2}", cut in 0..3_usize,
    ) {
        let mut chars: Vec<char> = text.chars().collect();
        let at = at.index(chars.len() + 1);
        let end = (at + cut).min(chars.len());
        chars.splice(at..end, put.chars());
        let slipped: String = chars.into_iter().collect();
        let tree = Tree::parse(&source(&slipped));
        if tree.found.0.is_empty() {
            match ron_options().from_str::<ron::Value>(&slipped) {
                Ok(theirs) => prop_assert!(same(&tree.root, &theirs), "{slipped:?}\n{:?}\n{theirs:?}", tree.root),
                Err(error) => prop_assert!(false, "ron refuses {slipped:?}: {error}"),
            }
        }
    }

    #[test]
    fn nothing_holds_no_fields(body in "[a-z0-9, ]{0,6}") {
        let text = format!("Thing( None\n ({body}))");
        prop_assert!(!Tree::parse(&source(&text)).found.0.is_empty(), "{text:?}");
        prop_assert!(ron_options().from_str::<ron::Value>(&text).is_err(), "{text:?}");
    }

    #[test]
    fn a_value_replaced_leaves_every_other_byte(text in written()) {
        let source = source(&text);
        let tree = Tree::parse(&source);
        let mut path = Vec::new();
        let leaf = last_leaf(&tree.root, &mut path);
        let path: Vec<&str> = path.iter().map(String::as_str).collect();
        let changed = splice::replace(&source, &path, "\"new\"");
        let changed = changed.map_err(|told| TestCaseError::fail(format!("{text:?} {path:?}: {told}")))?;
        prop_assert!(changed.starts_with(&text[..leaf.span.start]), "{changed:?}");
        prop_assert!(changed.ends_with(&text[leaf.span.end..]), "{changed:?}");
        prop_assert_eq!(changed.len(), text.len() - leaf.span.len() + 5);
    }

    #[test]
    fn a_field_added_is_there_and_the_others_are_as_they_were(text in written()) {
        let source = source(&text);
        let tree = Tree::parse(&source);
        if let Kind::Fields { fields, .. } = &tree.root.inside().kind {
            let grown = splice::insert(&source, &[], "added", "[1, 2]");
            let grown = grown.map_err(|told| TestCaseError::fail(format!("{text:?}: {told}")))?;
            let again = Tree::parse(&self::source(&grown));
            let Kind::Fields { fields: more, .. } = &again.root.inside().kind else {
                return Err(TestCaseError::fail(format!("no fields any more: {grown:?}")));
            };
            prop_assert_eq!(more.len(), fields.len() + 1);
            prop_assert_eq!(&more[fields.len()].name.text, "added");
        }
    }

    #[test]
    fn any_text_is_read_to_an_end(text in "(\\PC|[(){}\\[\\],:\"'\n\\\\/*r#])*") {
        let tree = Tree::parse(&source(&text));
        for each in &tree.found.0 {
            prop_assert!(each.place.is_some(), "every mistake of form has a place: {each}");
        }
    }
}

#[test]
fn deep_nesting_and_long_junk_end_cleanly() {
    for text in ["[", "(", "{\"a\":", "Some(", "(a:", "[(", "/*"] {
        let tree = Tree::parse(&source(&text.repeat(100_000)));
        assert!(!tree.found.0.is_empty(), "{text}… is refused");
        assert!(tree.found.0.len() < 40, "{text}… is refused briefly");
    }
    let tree = Tree::parse(&source(&"\"a\nb\"c ".repeat(20_000)));
    assert!(tree.found.stop(), "junk is refused");
}

#[test]
fn thousands_of_mistakes_are_counted_not_told() {
    let text = format!("[{}]", "1, ".repeat(100_000));
    let told = tree::read(&source(&text), |at| at.list(Value::text)).unwrap_err();
    assert_eq!(told.0.len(), tree::MOST_TOLD + 1);
    assert!(told.to_string().ends_with("and 99950 more mistakes in a.ron"), "{told}");
}

/// A colourway in small, walked as the shop's readers walk.
fn walk(at: Value<'_>) -> Option<()> {
    let fields = at.fields("colourway", &["version", "name", "film", "bases", "pours", "mist"])?;
    fields.need("version", |at| at.version(1));
    fields.need("name", Value::name);
    fields.may("film", Value::text);
    fields.need("bases", |at| {
        at.map(|at| {
            let base = at.fields("base", &["share", "colorants"])?;
            let share = base.need("share", Value::number);
            base.need("colorants", |at| at.map(Value::text));
            share
        })
    });
    fields.need("pours", |at| {
        at.list(|at| {
            let pour = at.fields("pour", &["count", "layers"])?;
            pour.or("count", 1, Value::whole::<u32>);
            pour.need("layers", |at| {
                at.list(|at| {
                    let (_, at) = at.variant(&["Accent", "Base"])?;
                    let [name, amount] = at.items(["name", "amount"])?;
                    name.name();
                    amount.number()
                })
            })
        })
    });
    fields.or("mist", 0, |at| at.one_of(&[("None", 0), ("Light", 1), ("Heavy", 2)]));
    Some(())
}

fn said(text: &str) -> String {
    let source = source(text);
    tree::read(&source, walk).err().unwrap_or_default().to_string()
}

/// A file of ten lines with one part of it put otherwise.
fn with(right: &str, wrong: &str) -> String {
    let good = r#"(
    version: 1,
    name: "Tidewater Slate",
    film: "3 mm",
    bases: {
        "slate": (share: 0.55, colorants: { "iron oxide black paste": "1.4 %" }),
        "fog": (share: 0.45, colorants: {}),
    },
    pours: [(count: 2, layers: [Accent("ink", 0.6), Base("slate", 60)])],
    mist: Light,
)"#;
    assert!(good.contains(right), "{right} is in the good file");
    good.replacen(right, wrong, 1)
}

#[test]
fn a_good_file_is_read_without_a_word() {
    assert_eq!(said(&with("", "")), "");
    assert_eq!(said(&with("\"3 mm\"", "Some(\"3 mm\")")), "");
    assert_eq!(said(&with("\"3 mm\"", "None")), "");
}

#[test]
fn each_slip_is_told_with_its_place_and_the_nearest_right_word() {
    let slips = [
        ("version: 1", "version: 2"),
        ("version: 1", "version: 0"),
        ("name:", "nmae:"),
        ("name:", "title:"),
        ("name:", "\"name\":"),
        ("name:", "name ="),
        ("\"Tidewater Slate\"", "Tidewater Slate"),
        ("\"Tidewater Slate\"", "'Tidewater Slate'"),
        ("\"Tidewater Slate\"", "“Tidewater Slate”"),
        ("\"Tidewater Slate\"", "\"Tidewater Slate"),
        ("\"Tidewater Slate\"", "\" \""),
        ("\"Tidewater Slate\"", "\"Slate \""),
        ("\"Tidewater Slate\"", "\"a\\qb\""),
        ("\"Tidewater Slate\"", ""),
        ("\"Tidewater Slate\",", "\"Tidewater Slate\""),
        ("\"3 mm\"", "3 mm"),
        ("\"3 mm\"", "3mm"),
        ("\"3 mm\"", "10' 4-1/2\""),
        ("\"1.4 %\"", "1.4 %"),
        ("\"1.4 %\"", "1.4"),
        ("0.55", "0,55"),
        ("0.55", "\"0.55\""),
        ("0.55", "NaN"),
        ("0.55", "-inf"),
        ("0.55", "0x1F"),
        ("0.55", "1e999"),
        ("share: 0.55, ", ""),
        ("share: 0.55, ", "share: 0.55, share: 0.5, "),
        ("\"fog\"", "\"slate\""),
        ("\"fog\"", "fog"),
        ("(share: 0.45, colorants: {})", "{share: 0.45, colorants: {}}"),
        ("(share: 0.45, colorants: {})", "0.45"),
        ("(share: 0.45, colorants: {})", "(0.45, {})"),
        ("(share: 0.45", "Accent(share: 0.45"),
        ("count: 2", "count: 2.5"),
        ("count: 2", "count: -2"),
        ("count: 2", "count: 5000000000"),
        ("Accent(", "Acent("),
        ("Accent(", "Flood("),
        ("Accent(\"ink\", 0.6)", "Accent(\"ink\")"),
        ("Accent(\"ink\", 0.6)", "\"ink\""),
        ("[Accent(\"ink\", 0.6), Base(\"slate\", 60)]", "Accent(\"ink\", 0.6)"),
        ("Base(\"slate\", 60)]", "Base(\"slate\", 60)"),
        ("Light", "Lihgt"),
        ("Light", "\"Light\""),
        ("Light", "3"),
        ("Light,\n)", "Light,\n"),
        ("Light,\n)", "Light,\n))"),
        ("Light,\n)", "Light,\n]"),
        ("(\n    version", "#![enable(implicit_some)]\n(\n    version"),
        ("film:", "/* film:"),
        ("film:", "\u{1F3A8} film:"),
    ];
    let mut all = String::new();
    for (right, wrong) in slips {
        assert!(
            !said(&with(right, wrong)).is_empty(),
            "{right:?} → {wrong:?} is taken without a word"
        );
        writeln!(all, "{right:?} → {wrong:?}\n{}\n", said(&with(right, wrong))).unwrap();
    }
    insta::assert_snapshot!(all);
}

#[test]
fn all_mistakes_of_a_file_come_in_one_run_in_its_order() {
    let text = with("version: 1", "version: 9")
        .replace("share: 0.45", "shard: 0.45")
        .replace("Light", "Fog")
        .replace("count: 2", "count: two")
        .replace("\"3 mm\"", "3 mm");
    insta::assert_snapshot!(said(&text));
}

#[test]
fn a_mistake_of_meaning_found_later_keeps_its_place() {
    let text = "[\"ink\",\n  \"black\"]";
    let source = source(text);
    let found = RefCell::new(Diagnostics::default());
    let tree = Tree::parse(&source);
    let names = Value::top(&tree.root, &source, &found).list(|at| at.located(Value::name)).unwrap();
    assert_eq!(names[1].place.to_string(), "a.ron:2:3");
    assert_eq!(names[1].place.text(), "\"black\"");
}
