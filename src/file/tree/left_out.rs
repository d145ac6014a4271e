//! Brackets that were left out or are of the wrong kind, told by what stands where they should, and what they would
//! hold.

use super::ahead::words;
use super::lex::{Fault, is_blank};
use super::parse::{Holds, Parser};
use super::{Entry, Field, Kind, Node, Word};
use std::collections::HashMap;

impl Parser<'_> {
    /// The values that follow with commas between, up to what is none.
    pub(super) fn values_that_follow(&mut self, items: &mut Vec<Node>) {
        loop {
            let before = self.cursor.at;
            items.push(self.value());
            let end = self.cursor.at;
            self.blanks();
            let comma = self.cursor.take(',');
            self.blanks();
            let at = self.cursor.at;
            let more = comma && end > before && self.at_value() && !self.names_a_field(at);
            if !more || self.starts_its_line(at) || self.holds_groups(at) {
                self.cursor.at = end;
                return;
            }
        }
    }

    /// `fields` whose opening bracket was left out, read up to what closes it.
    pub(super) fn without_its_bracket(&mut self, start: usize, why: &str) -> Node {
        let shown = self.shown(start);
        self.report(Fault::new(start..start, format!("'(' is missing before {shown}")).hint(why));
        self.fields_all_the_same(start, None)
    }

    pub(super) fn fields_all_the_same(&mut self, start: usize, name: Option<Word>) -> Node {
        let mut fields = Vec::new();
        let mut seen = HashMap::new();
        let mut lost = false;
        let at = self.cursor.at;
        self.bracketed_all_the_same(at, ')', Holds::Fields, |parser| {
            lost |= !parser.field(&mut fields, &mut seen);
        });
        Node { span: start..self.cursor.at, kind: Kind::Fields { name, fields, broken: lost } }
    }

    /// A map whose opening bracket was left out, if that is what stands here.
    pub(super) fn map_without_its_bracket(&mut self, start: usize) -> Option<Node> {
        let a_map =
            self.holds() == Some(Holds::Fields) && self.names_a_field(start) && self.exceeds('}');
        if !a_map {
            return None;
        }
        self.report(
            Fault::new(start..start, "'{' is missing here")
                .hint("names in quotes with their values stand in braces: { \"name\": … }"),
        );
        let mut entries: Vec<Entry> = Vec::new();
        let mut seen = HashMap::new();
        self.bracketed_all_the_same(start, '}', Holds::Entries, |parser| {
            parser.entry(&mut entries, &mut seen);
        });
        Some(Node { span: start..self.cursor.at, kind: Kind::Map(entries) })
    }

    /// What a word that was just read begins, if the opening bracket after it, or before it, was left out.
    pub(super) fn group_without_its_bracket(&mut self, start: usize, word: &str) -> Option<Node> {
        let end = self.cursor.at;
        let mut ahead = self.after(end);
        let spaces = ahead.take_while(|c| c == ' ').len();
        let inside = ahead.at;
        let next = ahead.peek();
        let variant = word.starts_with(|c: char| c.is_ascii_uppercase());
        let mut second = self.after(inside);
        let more = second.word().filter(|more| more.starts_with(|c: char| c.is_ascii_uppercase()));
        if let Some(more) = more
            && variant
            && spaces > 0
            && second.peek() == Some('(')
        {
            self.cursor.at = second.at;
            let name = Word { text: format!("{word}{more}"), span: start..second.at };
            self.report(
                Fault::new(name.span.clone(), "this is one word")
                    .hint(format!("write {}( … )", name.text)),
            );
            return Some(self.group(start, Some(name)));
        }
        let named = variant && spaces > 0 && self.names_a_field(inside) && next != Some('"');
        if named && self.exceeds(')') {
            self.cursor.at = inside;
            self.report(
                Fault::new(end..end, format!("'(' is missing after {word}"))
                    .hint(format!("write {word}( … )")),
            );
            let name = Word { text: word.to_owned(), span: start..end };
            return Some(self.fields_all_the_same(start, Some(name)));
        }
        if variant
            && (next == Some('"') && !self.names_a_field(inside) || two_figures(ahead.rest()))
        {
            return Some(self.values_without_their_bracket(start, word, inside));
        }
        let in_fields = matches!(self.holds(), Some(Holds::Fields | Holds::Entries));
        if !in_fields || !self.names_a_field(start) {
            return None;
        }
        if self.starts_its_line(start) && !self.exceeds(')') {
            // The next field: the value was left out.
            self.cursor.at = start;
            let message = format!("a value is missing before {}", self.shown(start));
            self.report(Fault::new(start..start, message));
            return Some(self.broken(start));
        }
        self.cursor.at = start;
        if self.exceeds(')') {
            return Some(
                self.without_its_bracket(start, "fields stand in round brackets: (name: …)"),
            );
        }
        let line = self.cursor.rest().split(['\n', '\r', ')', ']', '}']).next().unwrap_or("");
        let written = line.trim_end_matches(|c| is_blank(c) || c == ',');
        self.cursor.at += written.len();
        let right = match written.split_once(' ') {
            Some((_, fields)) if named => format!("write {word}({})", fields.trim_start()),
            _ => format!("write ({written})"),
        };
        self.report(
            Fault::new(start..self.cursor.at, "fields stand in round brackets").hint(right),
        );
        Some(self.broken(start))
    }

    pub(super) fn values_without_their_bracket(
        &mut self,
        start: usize,
        word: &str,
        inside: usize,
    ) -> Node {
        let name = Word { text: word.to_owned(), span: start..self.cursor.at };
        let at = name.span.end;
        self.cursor.at = inside;
        let (rest, mut items) = (self.after(inside), Vec::new());
        if let Some((first, second)) = ratio(rest.rest()) {
            self.cursor.at += two_figures_length(rest.rest());
            self.report(
                Fault::new(
                    start..self.cursor.at,
                    format!("a ratio does not stand as {first}:{second}"),
                )
                .hint(format!("write {word}({first}, {second})")),
            );
            return self.broken(start);
        }
        if self.exceeds(')') {
            self.bracketed_all_the_same(at, ')', Holds::Values, |parser| parser.item(&mut items));
        } else {
            self.values_that_follow(&mut items);
        }
        self.report(
            Fault::new(at..at, format!("'(' is missing after {word}"))
                .hint(format!("write {word}({})", self.written(&items))),
        );
        Node { span: start..self.cursor.at, kind: Kind::Tuple { name: Some(name), items } }
    }

    /// `Base[…]` or `Base{…}`, standing at the bracket.
    pub(super) fn group_in_wrong_brackets(&mut self, name: Word, wrong: char) -> Node {
        let start = name.span.start;
        let close = if wrong == '[' { ']' } else { '}' };
        self.report(
            Fault::new(self.here(), format!("'{wrong}' should be '('"))
                .hint(format!("write {}( … )", name.text)),
        );
        let mut ahead = self.after(self.cursor.at + 1);
        if ahead.skip_blanks().is_ok() && self.names_a_field(ahead.at) {
            let (mut fields, mut seen, mut lost) = (Vec::new(), HashMap::new(), false);
            let closed = self.bracketed(close, Holds::Fields, |parser| {
                lost |= !parser.field(&mut fields, &mut seen);
            });
            let kind = Kind::Fields { name: Some(name), fields, broken: lost || !closed };
            return Node { span: start..self.cursor.at, kind };
        }
        let mut items = Vec::new();
        self.bracketed(close, Holds::Values, |parser| parser.item(&mut items));
        Node { span: start..self.cursor.at, kind: Kind::Tuple { name: Some(name), items } }
    }

    /// `name:` stands where a value should, in a list or a group without names. False if nothing was done about it.
    pub(super) fn fields_among_values(&mut self, items: &mut Vec<Node>) -> bool {
        let start = self.cursor.at;
        let in_list = self.open.last().is_some_and(|open| open.close == ']');
        if self.peek() == Some('"') {
            return false;
        }
        let in_fields = self.open.iter().any(|open| open.holds == Holds::Fields);
        let close = if in_list { ']' } else { ')' };
        let ended = !items.is_empty() && in_fields && self.lacks(close);
        if ended && self.mend_here() {
            return true;
        }
        if in_list && (items.is_empty() || self.exceeds(')')) {
            let why = "each in the list stands in round brackets: [(…), (…)]";
            if self.peek().is_some_and(|c| c.is_ascii_uppercase()) {
                items.push(self.variant_with_colon(start));
            } else {
                items.push(self.without_its_bracket(start, why));
            }
            return true;
        }
        if !in_list && !items.is_empty() {
            // Told once, of the first.
            if items.iter().all(|item| item.kind != Kind::Broken) {
                let first = items[0].span.clone();
                self.report(
                    Fault::new(first, "this value needs a name, as the next has one")
                        .hint("write its name and ':' before it"),
                );
            }
            words(&mut self.cursor);
            self.blanks();
            self.cursor.next();
            self.blanks();
            self.value();
            items.push(self.broken(start));
            return true;
        }
        false
    }

    /// `Base: "a", 1` for `Base("a", 1)`.
    pub(super) fn variant_with_colon(&mut self, start: usize) -> Node {
        let word = self.cursor.word().unwrap_or_default();
        let name = Word { text: word.to_owned(), span: start..self.cursor.at };
        self.blanks();
        self.cursor.next();
        self.blanks();
        let mut items = Vec::new();
        self.values_that_follow(&mut items);
        self.report(
            Fault::new(start..self.cursor.at, format!("{word} holds its values in round brackets"))
                .hint(format!("write {word}({})", self.written(&items))),
        );
        Node { span: start..self.cursor.at, kind: Kind::Tuple { name: Some(name), items } }
    }

    /// A group in a group of the same make, as `Base("a", 1, Base("b", 2)`: the first lacks its end.
    pub(super) fn variant_in_variant(&mut self, items: &[Node]) -> bool {
        let Some(open) = self.open.last() else { return false };
        let text = self.cursor.text;
        let named = text[..open.at].ends_with(|c: char| c.is_ascii_alphanumeric());
        if !named || items.is_empty() || open.close != ')' {
            return false;
        }
        let mut ahead = self.after(self.cursor.at);
        let variant = ahead.word().is_some_and(|word| word != "Some" && word != "None");
        variant && ahead.peek() == Some('(') && self.lacks(')') && self.mend_here()
    }

    /// A value stands where the next field should: the last one has several, without brackets.
    pub(super) fn several_values(&mut self, start: usize, fields: &mut [Field]) -> Option<String> {
        let Some(last) = fields.last_mut() else {
            let message = format!("a field needs a name before {}", self.shown(start));
            self.report(Fault::new(self.here(), message));
            self.value();
            return None;
        };
        if self.exceeds(']') {
            self.list_without_its_bracket(last);
            return None;
        }
        let mut items = vec![std::mem::replace(&mut last.value, self.broken(start))];
        self.values_that_follow(&mut items);
        let kind = |node: &Node| match node.kind {
            Kind::Unquoted(_) => std::mem::discriminant(&Kind::Text(String::new())),
            _ => std::mem::discriminant(&node.kind),
        };
        let alike = items.iter().all(|item| Some(kind(item)) == items.first().map(kind));
        if !alike {
            let message = format!("a field needs a name before {}", self.shown(start));
            self.report(
                Fault::new(start..self.cursor.at, message).hint("write its name and ':' before it"),
            );
            last.value = items.swap_remove(0);
            return None;
        }
        let from = items.first().map_or(start, |first| first.span.start);
        let mut right = Vec::new();
        for item in &items {
            match &item.kind {
                Kind::Unquoted(text) => {
                    self.take_back(&item.span);
                    right.push(format!("\"{text}\""));
                }
                _ => right.push(self.written(std::slice::from_ref(item))),
            }
        }
        self.report(
            Fault::new(from..self.cursor.at, "several values stand in brackets").hint(format!(
                "write {}: ({})",
                last.name.text,
                right.join(", ")
            )),
        );
        last.value = Node { span: from..self.cursor.at, kind: Kind::Tuple { name: None, items } };
        None
    }

    /// A list whose opening bracket was left out.
    pub(super) fn list_all_the_same(&mut self) -> Node {
        let start = self.cursor.at;
        self.report(
            Fault::new(start..start, "'[' is missing here")
                .hint("a list stands in square brackets: [ … ]"),
        );
        let mut items = Vec::new();
        self.bracketed_all_the_same(start, ']', Holds::Values, |parser| parser.item(&mut items));
        Node { span: start..self.cursor.at, kind: Kind::List(items) }
    }

    /// The value of `last` is the first of a list whose opening bracket was left out.
    pub(super) fn list_without_its_bracket(&mut self, last: &mut Field) {
        let start = last.value.span.start;
        let name = &last.name.text;
        self.report(
            Fault::new(start..start, format!("'[' is missing after {name}:"))
                .hint("a list stands in square brackets: [ … ]"),
        );
        let mut items = vec![std::mem::replace(&mut last.value, self.broken(start))];
        self.bracketed_all_the_same(start, ']', Holds::Values, |parser| parser.item(&mut items));
        last.value = Node { span: start..self.cursor.at, kind: Kind::List(items) };
    }
}

/// Two figures with a comma or colon between, as `2, 1`: how much of `rest` they are.
fn two_figures_length(rest: &str) -> usize {
    let figure = |text: &str| {
        text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').len()
    };
    let blank = |text: &str| text.len() - text.trim_start_matches(' ').len();
    let mut at = figure(rest);
    let first = at;
    at += blank(&rest[at..]);
    if first == 0 || !rest[at..].starts_with([',', ':']) {
        return 0;
    }
    at += 1;
    at += blank(&rest[at..]);
    match figure(&rest[at..]) {
        0 => 0,
        second => at + second,
    }
}

fn two_figures(rest: &str) -> bool {
    two_figures_length(rest) > 0
}

/// The two figures of a ratio `2:1` at the beginning of `rest`.
fn ratio(rest: &str) -> Option<(&str, &str)> {
    let (first, second) = rest[..two_figures_length(rest)].split_once(':')?;
    Some((first.trim(), second.trim()))
}
