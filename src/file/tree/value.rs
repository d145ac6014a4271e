//! Walking a tree: each method takes what is expected, and writes down what is wrong.

use std::cell::RefCell;
use std::fmt;
use std::ops::Range;
use std::str::FromStr;
use std::sync::Arc;

use super::likely::{FEW, article, cased, first_word, in_parts, meant};
use super::{Entry, Fields, Kind, Node};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::suggest::{did_you_mean, listed};

/// Something read, with the place where it was written, for a mistake that shows only later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Located<T> {
    /// What was read.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

/// How a value is called in a message: by where it stands.
#[derive(Debug, Clone, Copy)]
pub(super) enum Label<'t> {
    Top,
    Named(&'t str),
    Key,
    Item(usize),
}

impl fmt::Display for Label<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Top => f.write_str("the file"),
            Self::Named(name) => write!(f, "'{name}'"),
            Self::Key => f.write_str("a name"),
            Self::Item(at) => write!(f, "item {}", at + 1),
        }
    }
}

/// A cursor on one value of a shop file.
///
/// Every taking method returns `None` after it has written down what is wrong; the caller goes on
/// with its other fields and gives up at its own end, so that all mistakes are seen in one run.
#[derive(Debug, Clone, Copy)]
pub struct Value<'t> {
    pub(super) node: &'t Node,
    pub(super) label: Label<'t>,
    /// Whether the word before the bracket has been used already, as the name of a variant.
    pub(super) name_used: bool,
    pub(super) source: &'t Arc<Source>,
    found: &'t RefCell<Diagnostics>,
}

impl<'t> Value<'t> {
    /// A cursor on the whole of a file; mistakes go to `found`.
    #[must_use]
    pub fn top(node: &'t Node, source: &'t Arc<Source>, found: &'t RefCell<Diagnostics>) -> Self {
        Self { node: node.inside(), label: Label::Top, name_used: false, source, found }
    }

    pub(super) fn to(self, node: &'t Node, label: Label<'t>) -> Self {
        Self { node: node.inside(), label, name_used: false, ..self }
    }

    /// Where it stands.
    #[must_use]
    pub fn place(self) -> Place {
        Place::new(self.source, self.node.span.clone())
    }

    /// The node itself.
    #[must_use]
    pub const fn node(self) -> &'t Node {
        self.node
    }

    /// Writes down `diagnostic`; its place is this value's unless it has its own. Always `None`, so that
    /// a reader may end with it.
    pub fn report<T>(self, mut diagnostic: Diagnostic) -> Option<T> {
        if diagnostic.place.is_none() {
            diagnostic.place = Some(self.place());
        }
        self.found.borrow_mut().push(diagnostic);
        None
    }

    /// As [`Self::report`], of a value whose form was told to be wrong already: `diagnostic` stands in its stead.
    pub fn instead_of_its_form<T>(self, diagnostic: Diagnostic) -> Option<T> {
        self.instead();
        self.report(diagnostic)
    }

    /// Writes down that this value is wrong: the message follows its name, as `'film' is thicker than …`
    /// for `is thicker than …`.
    pub fn wrong<T>(self, message: impl fmt::Display) -> Option<T> {
        self.report(Diagnostic::error(format!("{} {message}", self.label)))
    }

    /// Takes back that the text lacks its quotes: something else is to be told of it.
    pub(super) fn instead(self) {
        if let Kind::Unquoted(_) = self.node.kind {
            self.take_back(&self.node.span);
        }
    }

    /// Takes back what was told of the form of `span`.
    pub(super) fn take_back(self, span: &Range<usize>) {
        self.found
            .borrow_mut()
            .0
            .retain(|each| each.place.as_ref().is_none_or(|place| place.span != *span));
    }

    /// The text in quotes, also where the quotes were left out.
    pub(super) fn words(self) -> Option<&'t str> {
        match &self.node.kind {
            Kind::Text(text) | Kind::Unquoted(text) => Some(text),
            _ => None,
        }
    }

    /// The value as it stands in the file.
    pub(super) fn written(self) -> &'t str {
        self.source.text.get(self.node.span.clone()).unwrap_or_default()
    }

    /// Text in quotes, as written.
    pub fn text(self) -> Option<String> {
        self.words().map(str::to_owned).or_else(|| self.not("text in quotes"))
    }

    /// Text fit for a name: one line, not blank, no blanks at its ends.
    pub fn name(self) -> Option<String> {
        let text = self.text()?;
        if text.trim().is_empty() {
            self.wrong("must not be empty")
        } else if text.trim() != text {
            self.report(
                Diagnostic::error(format!("{} begins or ends with a blank", self.label))
                    .hint(format!("write {:?}", text.trim())),
            )
        } else if text.chars().any(char::is_control) {
            self.wrong("must be one line of plain text")
        } else {
            Some(text)
        }
    }

    /// A finite number, written without quotes.
    pub fn number(self) -> Option<f64> {
        match &self.node.kind {
            Kind::Number(digits) => match digits.parse::<f64>() {
                Ok(number) if number.is_finite() => Some(number),
                _ => self.not("a number"),
            },
            _ => self.not("a number"),
        }
    }

    /// A whole number of type `T` (`u8` to `u64`), written without quotes.
    pub fn whole<T: TryFrom<u64>>(self) -> Option<T> {
        let Kind::Number(digits) = &self.node.kind else { return self.not("a whole number") };
        let negative = digits.starts_with('-');
        match digits.trim_start_matches('+').parse::<u64>() {
            Ok(whole) => match T::try_from(whole) {
                Ok(whole) => Some(whole),
                Err(_) => self.wrong(format!("is too large: {digits}")),
            },
            Err(_) if negative => self.wrong(format!("must not be negative: {digits}")),
            Err(_) if digits.contains(['.', 'e', 'E']) => match digits.split_once('.') {
                Some((whole, part)) if part.chars().all(|c| c == '0') => self.report(
                    Diagnostic::error(format!(
                        "{} must be a whole number, not {digits}",
                        self.label
                    ))
                    .hint(format!("write {whole}")),
                ),
                _ => self.not("a whole number"),
            },
            Err(_) => self.wrong(format!("is too large: {digits}")),
        }
    }

    /// `true` or `false`.
    pub fn flag(self) -> Option<bool> {
        match self.node.kind {
            Kind::Flag(flag) => Some(flag),
            _ => self.not("true or false"),
        }
    }

    /// The `N` amounts that stand in one text where each should stand in its own, as `5 ft x 3 ft`: one without a unit
    /// with that of the last. What was told of its form is then taken back: something else is to be told of it.
    #[must_use]
    pub fn in_one_text<const N: usize>(self) -> Option<[String; N]> {
        let parts = in_parts(self.words()?)?;
        self.instead();
        Some(parts)
    }

    /// Text or a bare number, read by `T`'s own rules: a quantity, a date, a colour.
    ///
    /// `T`'s error becomes the diagnostic, with the field's name before it. Types whose error is not
    /// one of ours wrap it by `Diagnostic::error(error.to_string())`.
    pub fn parse<T: FromStr>(self) -> Option<T>
    where
        T::Err: Into<Diagnostic>,
    {
        self.parsed(None)
    }

    /// As [`Self::parse`], with `right`, texts for this very place, as the hint how to write it: those
    /// of its dimension may be of quite another size.
    pub fn parse_like<T: FromStr>(self, right: &str) -> Option<T>
    where
        T::Err: Into<Diagnostic>,
    {
        self.parsed(Some(right))
    }

    fn parsed<T: FromStr>(self, right: Option<&str>) -> Option<T>
    where
        T::Err: Into<Diagnostic>,
    {
        let written = match &self.node.kind {
            Kind::Text(text) | Kind::Unquoted(text) => text,
            Kind::Number(digits) => digits,
            _ => return self.not("text in quotes"),
        };
        match written.parse::<T>() {
            Ok(value) => Some(value),
            Err(error) => {
                let mut diagnostic: Diagnostic = error.into();
                // How to write it tells the quotes too.
                if diagnostic.hints.iter().any(|hint| hint.starts_with("write \""))
                    || right.is_some()
                {
                    self.instead();
                }
                diagnostic.message = format!("{}: {}", self.label, diagnostic.message);
                if let Some(right) = right {
                    // A choice of texts is of the dimension at large; a single one mends a slip.
                    let at_large =
                        |hint: &&mut String| hint.starts_with("write") && hint.contains(" or ");
                    for hint in diagnostic.hints.iter_mut().filter(at_large) {
                        *hint = format!("write it like {right}");
                    }
                }
                self.report(diagnostic)
            }
        }
    }

    /// The version of a file, at most `newest`.
    pub fn version(self, newest: u32) -> Option<u32> {
        let version = self.whole::<u32>()?;
        if version == 0 {
            self.wrong("begins at 1")
        } else if version > newest {
            self.report(
                Diagnostic::error(format!(
                    "this file is of version {version}; this pourbook reads up to {newest}"
                ))
                .hint("a newer pourbook reads it"),
            )
        } else {
            Some(version)
        }
    }

    /// What `take` reads, with its place.
    pub fn located<T>(self, take: impl FnOnce(Self) -> Option<T>) -> Option<Located<T>> {
        take(self).map(|value| Located { value, place: self.place() })
    }

    /// The items of `[…]`, each by `take`. All are read, also after one that is wrong.
    pub fn list<T>(self, mut take: impl FnMut(Self) -> Option<T>) -> Option<Vec<T>> {
        let Kind::List(items) = &self.node.kind else {
            return self.not("a list in square brackets");
        };
        let read: Vec<Option<T>> = items
            .iter()
            .enumerate()
            .map(|(at, item)| take(self.to(item, Label::Item(at))))
            .collect();
        read.into_iter().collect()
    }

    /// The entries of `{ "name": value }` in the order of the file, each value by `take`. Names given
    /// twice have been refused already.
    pub fn map<T>(
        self,
        mut take: impl FnMut(Self) -> Option<T>,
    ) -> Option<Vec<(Located<String>, T)>> {
        let entries = match &self.node.kind {
            Kind::Map(entries) => entries.as_slice(),
            _ => return self.not("a map in braces"),
        };
        let read: Vec<_> = entries
            .iter()
            .map(|Entry { key, value }| {
                let label = match &key.kind {
                    Kind::Text(text) | Kind::Unquoted(text) | Kind::Word(text) => {
                        Label::Named(text)
                    }
                    _ => Label::Item(0),
                };
                let key = match key.kind {
                    Kind::Text(_) | Kind::Unquoted(_) => {
                        self.to(key, Label::Key).located(Self::name)
                    }
                    _ => self.to(key, Label::Key).not("text in quotes"),
                };
                let taken = take(self.to(value, label));
                Some((key?, taken?))
            })
            .collect();
        read.into_iter().collect()
    }

    /// The fields of a group in round brackets, which is a `what` (as `base`) and may hold `names`.
    /// Fields of any other name are refused at once.
    pub fn fields(self, what: &'static str, names: &'static [&'static str]) -> Option<Fields<'t>> {
        self.fields_or_elsewhere(what, names, |_| None)
    }

    /// As [`Self::fields`]; of a field that it may not hold, `elsewhere` says where one of that name stands.
    pub fn fields_or_elsewhere(
        self,
        what: &'static str,
        names: &'static [&'static str],
        elsewhere: impl Fn(&str) -> Option<String>,
    ) -> Option<Fields<'t>> {
        let fields = Fields::new(self, what, names);
        match &self.node.kind {
            Kind::Fields { name, fields: given, .. } => {
                if !self.name_used
                    && let Some(name) = name
                    && !name.text.eq_ignore_ascii_case(&what.replace([' ', '-'], ""))
                {
                    self.report::<()>(
                        Diagnostic::error(format!(
                            "{} {what} is expected here, not {}",
                            article(what),
                            name.text
                        ))
                        .at(Place::new(self.source, name.span.clone())),
                    );
                }
                for field in given.iter().filter(|field| !names.contains(&field.name.text.as_str()))
                {
                    // Of one slip, as two words for one, only the nearest name is told.
                    self.take_back(&field.name.span);
                    let mut diagnostic = Diagnostic::error(format!(
                        "{} {what} has no '{}'",
                        article(what),
                        field.name.text
                    ))
                    .at(Place::new(self.source, field.name.span.clone()));
                    let name = field.name.text.as_str();
                    diagnostic.hints.extend(elsewhere(name));
                    diagnostic
                        .hints
                        .extend(meant(name, names).map(|name| format!("did you mean {name:?}?")));
                    if diagnostic.hints.is_empty() {
                        diagnostic.hints.push(format!("it may hold {}", listed(names, "and")));
                    }
                    self.report::<()>(diagnostic);
                }
                Some(fields)
            }
            Kind::Tuple { items, .. } if items.is_empty() => Some(fields),
            Kind::Tuple { items, .. } if items.iter().any(|item| item.kind == Kind::Broken) => None,
            Kind::Tuple { name: Some(name), items } if self.name_used && names.len() <= FEW => self
                .report(
                    Diagnostic::error(format!("{} {what} names what it holds", article(what)))
                        .hint(format!("write {}({})", name.text, self.named(items, names))),
                ),
            Kind::Tuple { items, .. } if names.len() <= FEW => self.report(
                Diagnostic::error(format!("{} {what} names what it holds", article(what)))
                    .hint(format!("write ({})", self.named(items, names))),
            ),
            Kind::Text(_) | Kind::Unquoted(_) | Kind::Number(_) | Kind::Word(_)
                if names.len() <= FEW =>
            {
                self.instead();
                self.report(
                    Diagnostic::error(format!(
                        "{} must be {} {what}: fields in round brackets, not {}",
                        self.label,
                        article(what),
                        self.described()
                    ))
                    .hint(format!("write ({})", self.named(&[], names))),
                )
            }
            Kind::Map(entries) => {
                entries.iter().for_each(|entry| self.take_back(&entry.key.span));
                self.not(&format!("{} {what}: fields in round brackets", article(what)))
            }
            _ => self.not(&format!("{} {what}: fields in round brackets", article(what))),
        }
    }

    /// Which of `names` the value is, as `Base` for `Base("slate", 60)`, and the value for what the
    /// brackets hold: [`Value::items`] or [`Value::fields`] of it.
    pub fn variant(self, names: &'static [&'static str]) -> Option<(&'static str, Self)> {
        let (text, span) = match &self.node.kind {
            Kind::Word(word) => (word, &self.node.span),
            Kind::Tuple { name: Some(name), .. } | Kind::Fields { name: Some(name), .. } => {
                (&name.text, &name.span)
            }
            Kind::Text(text) if cased(text, names).is_some() => {
                return self.without_quotes(cased(text, names).unwrap_or_default());
            }
            Kind::Text(text)
                if text.split_once('(').is_some_and(|(word, _)| names.contains(&word.trim())) =>
            {
                return self.without_quotes(text);
            }
            Kind::Unquoted(text) if first_word(text).is_some_and(|word| names.contains(&word)) => {
                self.instead();
                let word = first_word(text).unwrap_or_default();
                return self.report(
                    Diagnostic::error(format!("{word} holds its values in round brackets"))
                        .at(self.place())
                        .hint(format!("write {word}( … )")),
                );
            }
            Kind::Tuple { name: None, .. } | Kind::Fields { name: None, .. } => {
                // Of two either may be meant; of more the first is the usual one.
                let likely = names.iter().take(if names.len() > 2 { 1 } else { 2 });
                let each: Vec<String> =
                    likely.map(|name| format!("{name}{}", self.written())).collect();
                let each: Vec<&str> = each.iter().map(String::as_str).collect();
                return self.report(
                    Diagnostic::error(format!(
                        "{} lacks the word before its bracket: {}",
                        self.label,
                        listed(names, "or")
                    ))
                    .hint(format!("write {}", listed(&each, "or"))),
                );
            }
            _ => return self.not(&listed(names, "or")),
        };
        match names.iter().find(|name| *name == text) {
            Some(name) => Some((*name, Self { name_used: true, ..self })),
            None => {
                let mut diagnostic = Diagnostic::error(format!("there is no '{text}' here"))
                    .at(Place::new(self.source, span.clone()));
                diagnostic.hints.extend(did_you_mean(text, names.iter().copied()));
                diagnostic.hints.push(format!("it may be {}", listed(names, "or")));
                self.report(diagnostic)
            }
        }
    }

    /// That `word` stands in quotes.
    fn without_quotes<T>(self, word: &str) -> Option<T> {
        self.report(
            Diagnostic::error(format!("{} is a word without quotes", self.label))
                .hint(format!("write {word}")),
        )
    }

    /// A bare word out of `choices`, as `Light`.
    pub fn one_of<T: Copy>(self, choices: &'static [(&'static str, T)]) -> Option<T> {
        let names: Vec<&'static str> = choices.iter().map(|(name, _)| *name).collect();
        let word = match &self.node.kind {
            Kind::Word(word) => word,
            Kind::Text(text) if cased(text, &names).is_some() => {
                return self.without_quotes(cased(text, &names).unwrap_or_default());
            }
            _ => return self.not(&listed(&names, "or")),
        };
        match choices.iter().find(|(name, _)| name == word) {
            Some((_, choice)) => Some(*choice),
            None => {
                let mut diagnostic =
                    Diagnostic::error(format!("{} cannot be '{word}'", self.label));
                diagnostic.hints.extend(did_you_mean(word, names.iter().copied()));
                diagnostic.hints.push(format!("it may be {}", listed(&names, "or")));
                self.report(diagnostic)
            }
        }
    }
}
