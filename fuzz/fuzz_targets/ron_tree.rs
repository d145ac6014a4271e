//! Any text as a shop file: never a panic, and what is taken without a mistake is RON, and stays what it
//! is when one of its values is replaced by itself.

#![no_main]

use std::sync::Arc;

use libfuzzer_sys::fuzz_target;
use pourbook::diagnostic::Source;
use pourbook::file::splice;
use pourbook::file::tree::{Kind, Node, Tree};
use pourbook::report::diagnostic_text::diagnostic_text;

/// The way to one leaf: always the last part.
fn way_down(node: &Node, path: &mut Vec<String>) {
    match &node.inside().kind {
        Kind::List(items) | Kind::Tuple { items, .. } => {
            if let Some(last) = items.last() {
                path.push((items.len() - 1).to_string());
                way_down(last, path);
            }
        }
        Kind::Map(entries) => {
            if let Some(last) = entries.last()
                && let Kind::Text(key) = &last.key.kind
            {
                path.push(key.clone());
                way_down(&last.value, path);
            }
        }
        Kind::Fields { fields, .. } => {
            if let Some(last) = fields.last() {
                path.push(last.name.text.clone());
                way_down(&last.value, path);
            }
        }
        _ => {}
    }
}

fuzz_target!(|text: &str| {
    let source = Arc::new(Source { name: "a.ron".into(), text: text.to_owned() });
    let tree = Tree::parse(&source);
    let _ = diagnostic_text(&tree.found, false, false);
    if !tree.found.0.is_empty() {
        return;
    }
    let options = {
        use ron::extensions::Extensions;
        ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
    };
    if let Err(error) = options.from_str::<ron::Value>(text.trim_start_matches('\u{feff}')) {
        panic!("{text:?} is taken, but ron refuses it: {error}");
    }
    let mut path = Vec::new();
    way_down(&tree.root, &mut path);
    let path: Vec<&str> = path.iter().map(String::as_str).collect();
    let mut node = &tree.root;
    for step in &path {
        let Some(next) = splice::part_of(node, step) else { return };
        node = next;
    }
    let value = &text[node.inside().span.clone()];
    match splice::replace(&source, &path, value) {
        Ok(same) => assert_eq!(same, text, "{path:?} replaced by itself"),
        Err(told) => panic!("{text:?}: {path:?} cannot be replaced by itself: {told}"),
    }
});
