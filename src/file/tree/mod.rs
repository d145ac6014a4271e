//! A shop file as a tree in which every value knows its place.
//!
//! Shop files are written in RON by people. Reading one through serde stops at the first mistake and
//! forgets where a value stood, so a later mistake of meaning (a colorant that is not on the shelf)
//! could not point at it. This tree keeps every span and goes on after a mistake; all mistakes of a
//! file come in one run.
//!
//! - [`Tree`] is the text taken apart; [`Node`] one value of it.
//! - [`Value`] is a cursor on a node: it takes what is expected, and writes down what is wrong.
//! - [`read`] does both.
//!
//! A bracket, comma, colon or quote that a hand left out, or put wrong, is told as what is missing and where it belongs,
//! and the rest is read as it was meant: `left_out.rs`, `names.rs` and `unquoted.rs` know the slips, `brackets.rs` finds by the look of the lines and
//! by counting where a bracket belongs, and the text is then read anew with it.
//!
//! What is read is the part of RON that people write: groups in round brackets with or without names,
//! maps, lists, tuples, enum variants, text, numbers, `true`/`false`, `Some(…)`/`None`, comments. Left
//! out on purpose: `inf` and `NaN`, byte strings, raw identifiers, hexadecimal numbers, type suffixes
//! and `#![enable(…)]`. All that is accepted here is accepted by the `ron` crate too, with the same
//! values (a property test holds this).
//!
//! # Example
//!
//! ```
//! use std::sync::Arc;
//! use pourbook::diagnostic::Source;
//! use pourbook::file::tree::{self, Located, Value};
//!
//! #[derive(Debug)]
//! enum Layer { Accent(String, f64), Base(String, f64) }
//! #[derive(Debug)]
//! struct Pour { name: String, count: u32, layers: Vec<Layer>, bases: Vec<(Located<String>, f64)> }
//!
//! fn layer(at: Value<'_>) -> Option<Layer> {
//!     let (kind, at) = at.variant(&["Accent", "Base"])?;
//!     let [name, amount] = at.items(["name", "amount"])?;
//!     let (name, amount) = (name.name(), amount.number());
//!     Some(if kind == "Accent" { Layer::Accent(name?, amount?) } else { Layer::Base(name?, amount?) })
//! }
//!
//! fn pour(at: Value<'_>) -> Option<Pour> {
//!     let fields = at.fields("pour", &["version", "name", "count", "layers", "bases"])?;
//!     // Take every field first, then `?`: so all mistakes are seen in one run.
//!     let version = fields.need("version", |at| at.version(1));
//!     let name = fields.need("name", Value::name);
//!     let count = fields.or("count", 1, Value::whole);
//!     let layers = fields.need("layers", |at| at.list(layer));
//!     let bases = fields.need("bases", |at| at.map(|at| {
//!         at.fields("base", &["share"])?.need("share", Value::number)
//!     }));
//!     version?;
//!     Some(Pour { name: name?, count: count?, layers: layers?, bases: bases? })
//! }
//!
//! let source = |text: &str| Arc::new(Source { name: "pour.ron".into(), text: text.into() });
//! let good = source(r#"(
//!     version: 1, name: "low ink", // the quiet one
//!     layers: [Accent("ink", 0.6), Base("slate", 60)],
//!     bases: { "slate": (share: 0.55), "fog": (share: 0.45) },
//! )"#);
//! let low = tree::read(&good, pour).expect("a good file");
//! assert_eq!((low.count, low.layers.len()), (1, 2));
//! assert_eq!(low.bases[1].0.place.to_string(), "pour.ron:4:38");
//!
//! let bad = source(r#"(
//!     version: 1, name: 7, layers: [Acent("ink", 0.6)],
//!     bases: { "slate": (shares: 0.55) },
//! )"#);
//! assert_eq!(tree::read(&bad, pour).expect_err("three mistakes").to_string(), "\
//! pour.ron:2:23: error: 'name' must be text in quotes, not the number 7 (write \"7\")
//! pour.ron:2:35: error: there is no 'Acent' here (did you mean \"Accent\"?; it may be Accent or Base)
//! pour.ron:3:24: error: a base has no 'shares' (did you mean \"share\"?)");
//! ```

mod ahead;
mod brackets;
mod enclose;
mod fields;
mod instead;
mod items;
mod left_out;
mod lex;
mod likely;
mod names;
mod parse;
mod unquoted;
mod value;

use std::cell::RefCell;
use std::ops::Range;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};

pub use fields::Fields;
pub(in crate::file) use lex::comma_after;
pub use value::{Located, Value};

/// Deepest nesting of brackets that is read.
pub const DEEPEST: usize = 32;

/// As many mistakes of one file are told; the rest are counted.
pub const MOST_TOLD: usize = 50;

/// A word that a person wrote, with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Where it stands.
    pub span: Range<usize>,
}

/// One value with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where it stands, from its first byte to its last.
    pub span: Range<usize>,
    /// What it is.
    pub kind: Kind,
}

/// What a [`Node`] is.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// Something that could not be read; it has been reported.
    Broken,
    /// `true` or `false`.
    Flag(bool),
    /// A finite number: its digits as written, without `_`.
    Number(String),
    /// Text in quotes, its escapes undone.
    Text(String),
    /// Text whose quotes were left out; that has been reported, and what it says is still to be read.
    Unquoted(String),
    /// One character in single quotes.
    Char(char),
    /// A bare word: a variant that holds nothing, as `Light`, or `None`.
    Word(String),
    /// `[a, b]`.
    List(Vec<Node>),
    /// `{ key: value }`, in the order of the file.
    Map(Vec<Entry>),
    /// `(a, b)` or `Name(a, b)`; also `()`.
    Tuple {
        /// The word before the bracket.
        name: Option<Word>,
        /// What is inside.
        items: Vec<Node>,
    },
    /// `(field: value)` or `Name(field: value)`.
    Fields {
        /// The word before the bracket.
        name: Option<Word>,
        /// Its fields, in the order of the file.
        fields: Vec<Field>,
        /// Whether a part of it could not be read, so that a field not found may still be there.
        broken: bool,
    },
}

/// One `name: value` of a group.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: Word,
    /// Its value.
    pub value: Node,
}

/// One `key: value` of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its key.
    pub key: Node,
    /// Its value.
    pub value: Node,
}

impl Node {
    /// The node itself, or what is inside `Some(…)`: nobody has to write `Some`, anybody may.
    #[must_use]
    pub fn inside(&self) -> &Self {
        match &self.kind {
            Kind::Tuple { name: Some(name), items } if name.text == "Some" => {
                match items.as_slice() {
                    [one] => one.inside(),
                    _ => self,
                }
            }
            _ => self,
        }
    }

    /// Whether it is `None`.
    #[must_use]
    pub fn is_none(&self) -> bool {
        matches!(&self.inside().kind, Kind::Word(word) if word == "None")
    }
}

/// A whole text taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree {
    /// The text.
    pub source: Arc<Source>,
    /// Its one value.
    pub root: Node,
    /// What was found wrong in its form.
    pub found: Diagnostics,
    /// Whether brackets do not fit, so that nothing further can be said of what stands in them.
    pub lost: bool,
}

impl Tree {
    /// Takes `source` apart as far as it goes. Never fails: what is wrong is in [`Tree::found`].
    #[must_use]
    pub fn parse(source: &Arc<Source>) -> Self {
        parse::parse(source)
    }
}

/// Reads `source` by `take`; everything wrong with its form or its values comes in one run, in the
/// order of the file.
///
/// # Errors
/// All mistakes that the parser and `take` found.
pub fn read<T>(
    source: &Arc<Source>,
    take: impl FnOnce(Value<'_>) -> Option<T>,
) -> Result<T, Diagnostics> {
    let tree = Tree::parse(source);
    if tree.lost {
        return Err(tree.found);
    }
    let found = RefCell::new(tree.found);
    let taken = take(Value::top(&tree.root, source, &found));
    let mut found = found.into_inner();
    in_order(&mut found, source);
    match taken {
        Some(taken) if !found.stop() => Ok(taken),
        _ if found.stop() => Err(found),
        _ => {
            Err(Diagnostic::error("the file could not be read").at(Place::new(source, 0..0)).into())
        }
    }
}

/// Brings the mistakes of a file into its order; beyond [`MOST_TOLD`] they are counted.
pub(in crate::file) fn in_order(found: &mut Diagnostics, source: &Source) {
    found.0.sort_by_key(|each| each.place.as_ref().map_or(0, |place| place.span.start));
    if found.stop() && found.0.len() > MOST_TOLD {
        let more = found.0.len() - MOST_TOLD;
        found.0.truncate(MOST_TOLD);
        found.push(Diagnostic::error(format!("and {more} more mistakes in {}", source.name)));
    }
}
