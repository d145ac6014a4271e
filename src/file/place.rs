//! Where in a person's text a part of a noun stands.
//!
//! The model says what is wrong by a path into the noun (`bases`, `slate`, `share`); [`Places`] keeps
//! the text's tree and turns such a path into a line and a column, also long after the file was read:
//! when a colourway names a colorant that no other file holds.

use std::ops::Range;
use std::sync::Arc;

use super::tree::{Kind, Node, Tree};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::model::{Fault, Faults, Step};

/// The places of one file's values.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    pub(super) tree: Tree,
}

/// A noun with the places of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed<T> {
    /// What the file says.
    pub noun: T,
    /// Where it says so.
    pub places: Places,
}

/// The name that a file gives its noun, where that much can be read, though the rest may be wrong.
#[must_use]
pub fn name_in(source: &Arc<Source>) -> Option<String> {
    let tree = Tree::parse(source);
    let name = child(tree.root.inside(), &Step::from("name"))?;
    match &name.node.kind {
        Kind::Text(text) | Kind::Unquoted(text) => Some(text.clone()),
        Kind::Broken => as_far_as_read(source.text.get(name.node.span.clone())?),
        _ => None,
    }
}

/// What a text says that has only one of its quotes, or others than `"`; none where it is more than a line.
fn as_far_as_read(written: &str) -> Option<String> {
    const QUOTES: &[char] = &['"', '\'', '“', '”', '„', '«', '»', '‘', '’', '`', ' '];
    let uncommented =
        written.split("//").next().unwrap_or(written).trim_end_matches([',', ' ', '\t']);
    let bare = uncommented.strip_prefix(QUOTES)?.trim_matches(QUOTES);
    (!bare.is_empty() && !bare.contains('\n')).then(|| bare.to_owned())
}

/// A value with the word that leads to it: a field's name or a map's key.
struct Found<'t> {
    node: &'t Node,
    word: Option<&'t Range<usize>>,
    /// Whether the word is a key, which a person chose and may have mistaken.
    by_key: bool,
}

impl Places {
    /// The text.
    #[must_use]
    pub const fn source(&self) -> &Arc<Source> {
        &self.tree.source
    }

    /// Where the value at `path` stands. A path that goes further than the text ends at the nearest
    /// value around it. What is longer than a line is shown by its name; an entry of a map by its key
    /// and value.
    #[must_use]
    pub fn place(&self, path: &[Step]) -> Place {
        let found = self.find(path);
        let source = &self.tree.source;
        let one_line = |span: &Range<usize>| {
            source.text.get(span.clone()).is_some_and(|text| !text.contains('\n'))
        };
        let span = &found.node.span;
        let shown = match found.word {
            Some(key) if found.by_key && one_line(&(key.start..span.end)) => key.start..span.end,
            Some(word) if found.by_key || !one_line(span) => word.clone(),
            None if !one_line(span) => span.start..span.start + 1,
            _ => span.clone(),
        };
        Place::new(source, shown)
    }

    /// All bytes of the value at `path`, or of the nearest value around it.
    pub(super) fn extent(&self, path: &[Step]) -> Range<usize> {
        self.find(path).node.span.clone()
    }

    /// What the model found wrong, each at its place.
    #[must_use]
    pub fn diagnostics(&self, faults: Faults) -> Diagnostics {
        Diagnostics(faults.0.into_iter().map(|fault| self.diagnostic(fault)).collect())
    }

    pub(super) fn diagnostic(&self, fault: Fault) -> Diagnostic {
        let place = self.place(&fault.path);
        let mut diagnostic = Diagnostic::of(fault.severity, fault.message).at(place);
        diagnostic.hints = fault.hints;
        diagnostic
    }

    fn find(&self, path: &[Step]) -> Found<'_> {
        let mut found = Found { node: self.tree.root.inside(), word: None, by_key: false };
        for step in path {
            let Some(next) = child(found.node, step) else { break };
            found = next;
        }
        found
    }
}

fn child<'t>(node: &'t Node, step: &Step) -> Option<Found<'t>> {
    match (&node.kind, step) {
        (Kind::Fields { fields, .. }, Step::Key(name)) => fields
            .iter()
            .find(|field| field.name.text == *name)
            .map(|field| (&field.value, Some(&field.name.span), false)),
        (Kind::Map(entries), Step::Key(name)) => entries
            .iter()
            .find(|entry| {
                matches!(&entry.key.kind, Kind::Text(text) | Kind::Unquoted(text) if text == name)
            })
            .map(|entry| (&entry.value, Some(&entry.key.span), true)),
        (Kind::List(items) | Kind::Tuple { items, .. }, Step::Index(at)) => {
            items.get(*at).map(|item| (item, None, false))
        }
        _ => None,
    }
    .map(|(node, word, by_key)| Found { node: node.inside(), word, by_key })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"(
  film: ("1 mm", "6 mm"),
  bases: {
    "slate": (colorants: { "black": "1 %" }),
    "fog": (
      share: 0.5,
    ),
  },
  pours: [(layers: [Base("slate", 60)])],
)"#;

    fn shown(path: &[Step]) -> String {
        let source = Arc::new(Source { name: "a.ron".into(), text: TEXT.into() });
        let place = Places { tree: Tree::parse(&source) }.place(path);
        let (line, column) = place.line_column();
        format!("{line}:{column} {}", place.text())
    }

    #[test]
    fn a_path_leads_to_its_value() {
        let key = |word: &str| Step::from(word);
        for (path, right) in [
            (vec![key("film"), Step::Index(1)], "2:18 \"6 mm\""),
            (vec![key("bases")], "3:3 bases"),
            (vec![key("bases"), key("fog")], "5:5 \"fog\""),
            (vec![key("bases"), key("fog"), key("share")], "6:14 0.5"),
            (
                vec![key("bases"), key("slate"), key("colorants"), key("black")],
                "4:28 \"black\": \"1 %\"",
            ),
            ([key("pours"), 0.into(), key("layers"), 0.into(), 1.into()].to_vec(), "9:35 60"),
            (vec![], "1:1 ("),
        ] {
            assert_eq!(shown(&path), right, "{path:?}");
        }
    }

    #[test]
    fn a_path_that_goes_too_far_ends_at_the_nearest_value() {
        assert_eq!(shown(&["container".into()]), "1:1 (");
        assert_eq!(shown(&["bases".into(), "fog".into(), "colorants".into()]), "5:5 \"fog\"");
        assert_eq!(shown(&["film".into(), 7.into()]), "2:9 (\"1 mm\", \"6 mm\")");
        assert_eq!(shown(&["film".into(), "x".into(), 0.into()]), "2:9 (\"1 mm\", \"6 mm\")");
    }
}
