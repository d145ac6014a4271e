//! One value of a shop file changed, every other byte kept: comments, order and layout stay the person's.
//!
//! A path names the way down: a field's name, a map's key, or a list's position from 0, as
//! `["bases", "slate", "share"]`. The result is read again before it is handed out, and must differ in
//! nothing but what was asked.
//!
//! Out of scope: writing the file, and whether the new value makes sense to the shop.

use std::fmt::Write as _;
use std::ops::Range;
use std::sync::Arc;

use ron::extensions::Extensions;

use super::tree::{Entry, Field, Kind, Node, Tree};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::suggest::did_you_mean;

/// `text` as it stands in a shop file: in double quotes, with its escapes.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                // Writing to a String never fails.
                let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// The text of `source` with the value at `path` replaced by `value`, itself written as in a shop file.
///
/// # Errors
/// When `source` has mistakes of form, nothing stands at `path` (with the nearest name), or `value` is
/// not one value.
///
/// ```
/// use std::sync::Arc;
/// use pourbook::diagnostic::Source;
/// use pourbook::file::splice;
///
/// let text = "(\n  film: \"3 mm\", // thin\n  bases: { \"slate\": (share: 0.55) },\n)";
/// let source = Arc::new(Source { name: "a.ron".into(), text: text.into() });
/// assert_eq!(
///     splice::replace(&source, &["bases", "slate", "share"], "0.6").unwrap(),
///     "(\n  film: \"3 mm\", // thin\n  bases: { \"slate\": (share: 0.6) },\n)",
/// );
/// ```
pub fn replace(source: &Arc<Source>, path: &[&str], value: &str) -> Result<String, Diagnostics> {
    let value = value.trim();
    let new = one_value(value)?;
    let tree = sound(source)?;
    let old = find(&tree, path)?;
    let text = spliced(&source.text, old.span.clone(), value);
    let again = reread(source, &text)?;
    let there = find(&again, path)?;
    if same_but(&tree.root, &again.root, path) && same(there, &new) {
        Ok(text)
    } else {
        Err(changes_more(source, old))
    }
}

/// The text of `source` with a field or entry `name: value` more at the end of the group or map at
/// `path`, laid out as its neighbours are.
///
/// # Errors
/// As [`replace`]; also when `path` leads to neither group nor map, or `name` is there already.
pub fn insert(
    source: &Arc<Source>,
    path: &[&str],
    name: &str,
    value: &str,
) -> Result<String, Diagnostics> {
    add(source, path, Some(name), value)
}

/// The text of `source` with one item more at the end of the list at `path`.
///
/// # Errors
/// As [`replace`]; also when `path` does not lead to a list.
pub fn push(source: &Arc<Source>, path: &[&str], value: &str) -> Result<String, Diagnostics> {
    add(source, path, None, value)
}

fn add(
    source: &Arc<Source>,
    path: &[&str],
    name: Option<&str>,
    value: &str,
) -> Result<String, Diagnostics> {
    let value = value.trim();
    let new = one_value(value)?;
    let tree = sound(source)?;
    let holder = find(&tree, path)?;
    let at_holder =
        |message: String| Diagnostics::from(Diagnostic::error(message).at(place(source, holder)));
    let written = match (&holder.kind, name) {
        (Kind::List(_), None) => value.to_owned(),
        (Kind::Map(_), Some(name)) => format!("{}: {value}", quoted(name)),
        (Kind::Fields { .. }, Some(name)) => format!("{name}: {value}"),
        (Kind::Tuple { items, .. }, Some(name)) if items.is_empty() => format!("{name}: {value}"),
        (_, None) => return Err(at_holder("only a list takes another item".into())),
        (_, Some(name)) => {
            return Err(at_holder(format!("nothing named '{name}' can be added here")));
        }
    };
    if let Some(name) = name
        && part_of(holder, name).is_some()
    {
        return Err(at_holder(format!("'{name}' is here already")));
    }
    let text = with_part(&source.text, holder, &written);
    let again = reread(source, &text)?;
    let grown = find(&again, path)?;
    let added = match name {
        Some(name) => part_of(grown, name),
        None => parts(grown).last().map(|part| part.value),
    };
    let (before, after) = (parts(holder), parts(grown));
    let rest_same =
        before.len() + 1 == after.len() && before.iter().zip(&after).all(|(a, b)| a.same(b));
    if rest_same
        && added.is_some_and(|added| same(added, &new))
        && same_but(&tree.root, &again.root, path)
    {
        Ok(text)
    } else {
        Err(changes_more(source, holder))
    }
}

/// The tree of `source`, if it has no mistake of form.
fn sound(source: &Arc<Source>) -> Result<Tree, Diagnostics> {
    let tree = Tree::parse(source);
    if tree.found.0.is_empty() { Ok(tree) } else { Err(tree.found) }
}

/// The node of `value`, which must be one whole value.
fn one_value(value: &str) -> Result<Node, Diagnostics> {
    sound(&Arc::new(Source { name: "the new value".into(), text: value.to_owned() }))
        .map(|tree| tree.root)
}

/// The tree of a changed text. What goes into a person's file must be RON to every reader of it, not to
/// ours alone: the `ron` crate has to take it too.
fn reread(source: &Source, text: &str) -> Result<Tree, Diagnostics> {
    let tree = sound(&Arc::new(Source { name: source.name.clone(), text: text.to_owned() }))?;
    let ron = ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES);
    match ron.from_str::<ron::Value>(text.trim_start_matches('\u{feff}')) {
        Ok(_) => Ok(tree),
        Err(_) => {
            Err(Diagnostic::error("the change would make the file unreadable for other programs")
                .at(Place::new(&tree.source, 0..0))
                .into())
        }
    }
}

fn place(source: &Arc<Source>, node: &Node) -> Place {
    Place::new(source, node.span.clone())
}

fn changes_more(source: &Arc<Source>, node: &Node) -> Diagnostics {
    Diagnostic::error("the new value would change more than itself").at(place(source, node)).into()
}

fn spliced(text: &str, span: Range<usize>, new: &str) -> String {
    format!("{}{new}{}", &text[..span.start], &text[span.end..])
}

/// What a node holds: its name, if it has one, where it begins, and its value.
struct Part<'n> {
    name: Option<&'n str>,
    start: usize,
    value: &'n Node,
}

impl Part<'_> {
    fn same(&self, other: &Part<'_>) -> bool {
        self.name == other.name && same(self.value, other.value)
    }
}

fn parts(node: &Node) -> Vec<Part<'_>> {
    match &node.inside().kind {
        Kind::List(items) | Kind::Tuple { items, .. } => {
            items.iter().map(|value| Part { name: None, start: value.span.start, value }).collect()
        }
        Kind::Map(entries) => entries
            .iter()
            .map(|Entry { key, value }| {
                let name =
                    if let Kind::Text(text) = &key.kind { Some(text.as_str()) } else { None };
                Part { name, start: key.span.start, value }
            })
            .collect(),
        Kind::Fields { fields, .. } => fields
            .iter()
            .map(|Field { name, value }| Part {
                name: Some(&name.text),
                start: name.span.start,
                value,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Which of a node's parts a step of a path names.
fn position(parts: &[Part<'_>], step: &str) -> Option<usize> {
    parts.iter().position(|part| part.name == Some(step)).or_else(|| {
        let at = step.parse::<usize>().ok()?;
        parts.get(at).filter(|part| part.name.is_none()).map(|_| at)
    })
}

/// The part of `node` that one step of a path names: a field, a key, or a position from 0.
#[must_use]
pub fn part_of<'n>(node: &'n Node, step: &str) -> Option<&'n Node> {
    let parts = parts(node);
    let at = position(&parts, step)?;
    parts.get(at).map(|part| part.value)
}

fn find<'n>(tree: &'n Tree, path: &[&str]) -> Result<&'n Node, Diagnostics> {
    let mut node = tree.root.inside();
    for step in path {
        node = match part_of(node, step) {
            Some(next) => next.inside(),
            None => {
                let names: Vec<&str> = parts(node).iter().filter_map(|part| part.name).collect();
                let mut diagnostic = Diagnostic::error(format!("there is no '{step}' here"))
                    .at(place(&tree.source, node));
                diagnostic.hints.extend(did_you_mean(step, names));
                return Err(diagnostic.into());
            }
        };
    }
    Ok(node)
}

/// Whether two nodes mean the same, wherever they stand.
fn same(a: &Node, b: &Node) -> bool {
    same_but_inner(a, b, None)
}

/// Whether two trees mean the same but for what stands at `path`.
fn same_but(a: &Node, b: &Node, path: &[&str]) -> bool {
    same_but_inner(a, b, Some(path))
}

fn same_but_inner(a: &Node, b: &Node, path: Option<&[&str]>) -> bool {
    let (a, b) = (a.inside(), b.inside());
    if path == Some(&[]) {
        return true;
    }
    let alike = match (&a.kind, &b.kind) {
        (Kind::List(_), Kind::List(_)) | (Kind::Map(_), Kind::Map(_)) => true,
        (Kind::Tuple { name: a, .. }, Kind::Tuple { name: b, .. })
        | (Kind::Fields { name: a, .. }, Kind::Fields { name: b, .. }) => {
            a.as_ref().map(|name| &name.text) == b.as_ref().map(|name| &name.text)
        }
        (a, b) => return a == b,
    };
    let (a, b) = (parts(a), parts(b));
    let apart = path.and_then(|path| {
        let (step, rest) = path.split_first()?;
        position(&a, step).map(|at| (at, rest))
    });
    alike
        && a.len() == b.len()
        && a.iter().zip(&b).enumerate().all(|(at, (a, b))| {
            let path = apart.filter(|(apart, _)| *apart == at).map(|(_, rest)| rest);
            a.name == b.name && same_but_inner(a.value, b.value, path)
        })
}

/// The text with `written` added at the end of `holder`.
fn with_part(text: &str, holder: &Node, written: &str) -> String {
    let close = holder.span.end - 1;
    let Some(last) = parts(holder).pop() else {
        let open = text[holder.span.clone()]
            .find(['(', '[', '{'])
            .map_or(close, |at| holder.span.start + at + 1);
        return spliced(text, open..open, written);
    };
    let value_end = last.value.span.end;
    let comma = super::tree::comma_after(text, value_end);
    let indent = line_indent(text, last.start);
    let closes_alone = line_indent(text, close).is_some();
    let mut out = String::with_capacity(text.len() + written.len() + 16);
    match (indent, closes_alone) {
        (Some(indent), true) => {
            // On a line of its own, below the last part and what is remarked beside it.
            let from = comma.map_or(value_end, |at| at + 1);
            let line_end = text[from..close].find('\n').map_or(from, |at| from + at);
            let line_end = if text[..line_end].ends_with('\r') { line_end - 1 } else { line_end };
            let newline = if text[line_end..].starts_with("\r\n") { "\r\n" } else { "\n" };
            out.push_str(&text[..value_end]);
            if comma.is_none() {
                out.push(',');
            }
            out.push_str(&text[value_end..line_end]);
            out.push_str(newline);
            out.push_str(indent);
            out.push_str(written);
            if comma.is_some() {
                out.push(',');
            }
            out.push_str(&text[line_end..]);
        }
        _ => {
            let from = comma.map_or(value_end, |at| at + 1);
            out.push_str(&text[..from]);
            out.push_str(if comma.is_some() { " " } else { ", " });
            out.push_str(written);
            if comma.is_some() {
                out.push(',');
            }
            out.push_str(&text[from..]);
        }
    }
    out
}

/// The blanks before `at` on its line, if there is nothing else before it.
fn line_indent(text: &str, at: usize) -> Option<&str> {
    let start = text[..at].rfind('\n').map(|newline| newline + 1)?;
    let before = &text[start..at];
    before.chars().all(|c| c == ' ' || c == '\t').then_some(before)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLOURWAY: &str = r#"// by hand
(
    name: "Tidewater Slate", /* the café */
    bases: {
        "slate": (share: 0.55, colorants: { "black": "1.4 %" }), // dark
        "fog":   (share: 0.45) // light
    },
    pours: [Pour(count: 2), Pour(count: 4)],
    accents: {},
)
"#;

    fn source() -> Arc<Source> {
        Arc::new(Source { name: "a.ron".into(), text: COLOURWAY.into() })
    }

    #[test]
    fn one_value_changes_and_every_other_byte_stays() {
        for (path, old, new) in [
            (&["bases", "slate", "colorants", "black"][..], "\"1.4 %\"", "\"0.9 %\""),
            (&["bases", "fog", "share"], "0.45)", "0.4)"),
            (&["pours", "1", "count"], "4)", "5)"),
            (&["name"], "\"Tidewater Slate\"", "\"Ebb\""),
        ] {
            let wanted = COLOURWAY.replacen(old, new, 1);
            assert_eq!(
                replace(&source(), path, new.trim_end_matches(')')).unwrap(),
                wanted,
                "{path:?}"
            );
        }
    }

    #[test]
    fn an_entry_is_added_in_the_layout_of_its_neighbours() {
        let added = insert(&source(), &["bases"], "foam", "(share: 0.1)").unwrap();
        assert_eq!(
            added,
            COLOURWAY.replacen(
                "(share: 0.45) // light\n",
                "(share: 0.45), // light\n        \"foam\": (share: 0.1)\n",
                1
            )
        );
        let added = insert(&source(), &[], "film", "\"3 mm\"").unwrap();
        assert_eq!(
            added,
            COLOURWAY.replacen("accents: {},\n", "accents: {},\n    film: \"3 mm\",\n", 1)
        );
        let added = insert(&source(), &["bases", "fog"], "colorants", "{}").unwrap();
        assert_eq!(added, COLOURWAY.replacen("0.45)", "0.45, colorants: {})", 1));
        let added = insert(&source(), &["accents"], "in\"k", "(colorant: \"black\")").unwrap();
        assert_eq!(
            added,
            COLOURWAY.replacen("accents: {}", "accents: {\"in\\\"k\": (colorant: \"black\")}", 1)
        );
        let added = push(&source(), &["pours"], "Pour(count: 1)").unwrap();
        assert_eq!(added, COLOURWAY.replacen("(count: 4)]", "(count: 4), Pour(count: 1)]", 1));
    }

    #[test]
    fn what_would_change_more_than_itself_is_refused() {
        for value in ["0.5, extra: 1", "0.5 // and so", "0.5)", "", "(", "/* */"] {
            let told = replace(&source(), &["bases", "slate", "share"], value);
            assert!(told.is_err(), "{value:?} gives {told:?}");
        }
        assert!(insert(&source(), &["bases"], "fog", "1").is_err(), "it is there already");
        assert!(insert(&source(), &[], "two words", "1").is_err(), "that is no field name");
        assert!(push(&source(), &["bases"], "1").is_err(), "a map is no list");
    }

    #[test]
    fn a_wrong_path_is_told_with_the_nearest_name() {
        let told = replace(&source(), &["bases", "slat", "share"], "1").unwrap_err().to_string();
        assert_eq!(told, "a.ron:4:12: error: there is no 'slat' here (did you mean \"slate\"?)");
    }

    #[test]
    fn quoted_text_reads_back() {
        for text in ["", "a\"b\\c", "café\n\t\r\0\u{7f}\u{85}", "🎨"] {
            assert_eq!(one_value(&quoted(text)).unwrap().kind, Kind::Text(text.into()), "{text:?}");
        }
    }
}
