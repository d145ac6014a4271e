//! What hands that type in haste leave out or put wrong, told as what would be right, and read as it was meant.

use std::collections::HashMap;

use super::lex::{Cursor, Fault, is_amount, is_blank, starts_word};
use super::parse::{Holds, Parser};
use super::{Entry, Field, Kind, Node, Word};

/// Signs that begin a colour, a price or an amount, never a value as it should be written.
const SIGNS: &str = "#$€£¥½¼¾⅛⅜⅝⅞°";

impl<'s> Parser<'s> {
    fn after(&self, at: usize) -> Cursor<'s> {
        Cursor::new(self.cursor.text, at)
    }

    /// Whether a name and `:` stand at `at`, the name in quotes or in several words also.
    pub(super) fn names_a_field(&self, at: usize) -> bool {
        let mut ahead = self.after(at);
        let named = match ahead.peek() {
            Some('"') => ahead.quoted().is_ok(),
            _ => !words(&mut ahead).is_empty(),
        };
        named && ahead.skip_blanks().is_ok() && matches!(ahead.peek(), Some(':' | '='))
    }

    /// Whether nothing stands before `at` on its line.
    pub(super) fn starts_its_line(&self, at: usize) -> bool {
        let before = self.cursor.text[..at].trim_end_matches([' ', '\t']);
        before.is_empty() || before.ends_with(['\n', '\r'])
    }

    /// What the innermost open bracket holds.
    fn holds(&self) -> Option<Holds> {
        self.open.last().map(|open| open.holds)
    }

    /// Whether a lower-case word and a value stand at `at`: a field whose `:` was left out.
    pub(super) fn names_without_colon(&self, at: usize) -> bool {
        let mut ahead = self.after(at);
        let word =
            ahead.word().is_some_and(|word| word.starts_with(|c: char| c.is_ascii_lowercase()));
        let apart = !ahead.take_while(|c| c == ' ').is_empty();
        let value = |c: char| matches!(c, '"' | '(' | '[' | '{') || c.is_ascii_digit();
        word && apart && ahead.peek().is_some_and(value)
    }

    /// Whether `(name: … )` or `Word( … )` stands at `at`, after blanks.
    pub(super) fn holds_groups(&self, at: usize) -> bool {
        let mut ahead = self.after(at);
        if ahead.skip_blanks().is_err() {
            return false;
        }
        let variant = ahead.peek().is_some_and(|c| c.is_ascii_uppercase());
        if variant {
            ahead.word();
        }
        if ahead.peek() != Some('(') {
            return false;
        }
        ahead.next();
        variant || ahead.skip_blanks().is_ok() && self.names_a_field(ahead.at)
    }

    /// Passes a comment that does not begin as it should, to the end of its line.
    pub(super) fn skip_odd_comment(&mut self) -> bool {
        let rest = self.cursor.rest();
        let odd = rest.starts_with("# ")
            || rest.starts_with("--")
            || rest.starts_with('/') && !rest.starts_with("//");
        if odd {
            let start = self.cursor.at;
            let line = rest.split(['\n', '\r']).next().unwrap_or(rest);
            self.cursor.at += line.len();
            let words = line.trim_start_matches(['#', '-', '/', ' ']);
            self.report(
                Fault::new(start..self.cursor.at, "a comment begins with //")
                    .hint(format!("write // {words}")),
            );
        }
        odd
    }

    /// Passes a first line of plain words, where the file begins on a later one.
    pub(super) fn skip_words_before_the_file(&mut self) {
        let start = self.cursor.at;
        let rest = self.cursor.rest();
        let Some((line, after)) = rest.split_once('\n') else { return };
        let begins = after.lines().any(|line| line.trim_end() == "(");
        if begins
            && rest.starts_with(char::is_alphabetic)
            && !self.names_a_field(start)
            && !line.contains('(')
        {
            self.cursor.at += line.trim_end().len();
            self.report(
                Fault::new(start..self.cursor.at, "a comment begins with //")
                    .hint(format!("write // {}", line.trim_end())),
            );
            self.blanks();
        }
    }

    /// What should close the bracket at `open`, which `closer` closes, by what stands in it.
    pub(super) fn closer_by_its_inside(&self, open: usize, closer: char) -> Option<char> {
        let before = &self.cursor.text[..open];
        let mut ahead = self.after(open + 1);
        ahead.skip_blanks().ok()?;
        if !self.names_a_field(ahead.at) {
            if before.ends_with(|c: char| c.is_ascii_alphanumeric()) {
                return Some(')');
            }
            let a_map = self.cursor.text[open..].starts_with('{');
            return (a_map || self.holds_groups(ahead.at)).then_some(if a_map {
                closer
            } else {
                ']'
            });
        }
        Some(if ahead.peek() == Some('"') { '}' } else { ')' })
    }

    /// Whether the sign that is read is no part of a word or number.
    pub(super) fn stands_alone(&self) -> bool {
        let mut ahead = self.after(self.cursor.at);
        let sign = ahead.next();
        let next = ahead.peek().unwrap_or(' ');
        if sign == Some('.') { !next.is_ascii_digit() } else { !starts_word(next) && next != ':' }
    }

    /// What the bracket around the innermost one holds.
    pub(super) fn outside_holds(&self) -> Option<Holds> {
        self.open.len().checked_sub(2).map(|outside| self.open[outside].holds)
    }

    /// Whether what is read begins a value.
    fn at_value(&self) -> bool {
        self.peek().is_some_and(|c| {
            matches!(c, '"' | '(' | '[' | '{' | '+' | '-' | '.')
                || c.is_ascii_digit()
                || starts_word(c)
                || SIGNS.contains(c)
        })
    }

    /// The text of `nodes` with commas between.
    fn written(&self, nodes: &[Node]) -> String {
        let each: Vec<&str> =
            nodes.iter().map(|node| &self.cursor.text[node.span.clone()]).collect();
        each.join(", ")
    }

    /// The values that follow with commas between, up to what is none.
    fn values_that_follow(&mut self, items: &mut Vec<Node>) {
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

    /// Text that lacks its quotes, from `start` to where the cursor is.
    fn unquoted(&mut self, start: usize, what: &str) -> Node {
        let written = &self.cursor.text[start..self.cursor.at];
        let right = in_words(written);
        let message = if written.ends_with('"') && right.len() + 1 == written.len() {
            format!("the first \" is missing before {right}")
        } else {
            format!("{what} must stand in quotes: {written}")
        };
        self.report(
            Fault::new(start..self.cursor.at, message)
                .hint(format!("write \"{}\"", right.replace('\\', "\\\\").replace('"', "\\\""))),
        );
        Node { span: start..self.cursor.at, kind: Kind::Unquoted(right) }
    }

    /// A number or bare word must be alone on its line up to the next delimiter: what follows is
    /// the rest of a text or an amount that lacks its quotes.
    pub(super) fn leaf_on_line(&mut self, start: usize, read: Result<Kind, Fault>) -> Node {
        let end = self.cursor.at;
        let rest = self.cursor.rest();
        let glued = read.is_err() && is_amount(&self.cursor.text[start..end]);
        // Most numbers stand in a list, with nothing to look for.
        if rest.starts_with([',', ')', ']', '}', '\n', '\r']) && !glued {
            return self.leaf(start, read);
        }
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let line = line.split("//").next().unwrap_or(line);
        let line = line.split("/*").next().unwrap_or(line);
        let tail = line.trim_end_matches(is_blank);
        let quotes = tail.matches('"').count();
        let named = tail.contains([':', '(', '[', '{', '='])
            || quotes > 1
            || (quotes == 1 && !tail.ends_with('"'));
        let bare = tail.trim_matches(is_blank);
        // Two numbers in a row are two values.
        let second = self.holds() == Some(Holds::Values)
            && matches!(read, Ok(Kind::Number(_)))
            && bare.parse::<f64>().is_ok();
        if named || second || (bare.is_empty() && !glued) {
            return self.leaf(start, read);
        }
        self.cursor.at = end + tail.len();
        let what =
            if matches!(read, Ok(Kind::Word(_))) { "text" } else { "an amount with its unit" };
        self.unquoted(start, what)
    }

    /// A colour, price or fraction that lacks its quotes, told by its first sign.
    pub(super) fn begun_by_a_sign(&mut self, start: usize) -> Option<Node> {
        let first = self.cursor.peek().filter(|c| SIGNS.contains(*c) || c.is_alphabetic())?;
        let rest = self.cursor.rest();
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let line = line.split("//").next().unwrap_or(line);
        self.cursor.at += line.trim_end_matches(is_blank).len();
        let what = match first {
            '#' => "a colour",
            c if c.is_alphabetic() => "text",
            _ => "an amount with its unit",
        };
        Some(self.unquoted(start, what))
    }

    /// What begins with a figure: a number, or an amount or ratio that should be written otherwise.
    pub(super) fn numbered(&mut self, start: usize) -> Node {
        let number = self.cursor.number();
        if let Ok(first) = &number {
            if let Some(second) = self.after_colon() {
                self.report(
                    Fault::new(
                        start..self.cursor.at,
                        format!("a ratio does not stand as {first}:{second}"),
                    )
                    .hint(format!(
                        "write ByVolume({first}, {second}), or ByMass({first}, {second}) where it is by weight"
                    )),
                );
                return self.broken(start);
            }
            if self.decimal_comma(start, first) {
                return self.broken(start);
            }
        }
        self.leaf_on_line(start, number.map(Kind::Number))
    }

    /// The number of a `:1` that follows another number; nothing is passed where there is none.
    fn after_colon(&mut self) -> Option<String> {
        let rest = self.cursor.rest().trim_start_matches(' ').strip_prefix(':')?;
        let mut ahead = self.after(self.cursor.text.len() - rest.len());
        ahead.take_while(|c| c == ' ');
        ahead.peek().filter(char::is_ascii_digit)?;
        let second = ahead.number().ok()?;
        self.cursor.at = ahead.at;
        Some(second)
    }

    /// Whether `whole`, just read, goes on after a comma: where a value is followed by a name, no figure can follow.
    fn decimal_comma(&mut self, start: usize, whole: &str) -> bool {
        if !matches!(self.holds(), Some(Holds::Fields | Holds::Entries)) {
            return false;
        }
        let Some(rest) = self.cursor.rest().strip_prefix(',') else { return false };
        let digits =
            &rest[..rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len()];
        if digits.is_empty() {
            return false;
        }
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let tail = line.split("//").next().unwrap_or(line).trim_end_matches(is_blank);
        let unit = &tail[digits.len()..];
        let quote = if unit.is_empty() { "" } else { "\"" };
        let unit = in_words(unit);
        let point = format!("{quote}{whole}.{digits}{unit}{quote}");
        let hint = if digits.len() == 3 {
            format!(
                "write {quote}{whole}{digits}{unit}{quote}, or {point} where the comma stands for a point"
            )
        } else {
            format!("write {point}, with a point")
        };
        self.cursor.at += 1 + tail.len();
        let written = &self.cursor.text[start..self.cursor.at];
        let message = format!("{written} has a comma in the number");
        self.report(Fault::new(start..self.cursor.at, message).hint(hint));
        true
    }

    /// `fields` whose opening bracket was left out, read up to what closes it.
    pub(super) fn without_its_bracket(&mut self, start: usize, why: &str) -> Node {
        let shown = self.shown(start);
        self.report(Fault::new(start..start, format!("'(' is missing before {shown}")).hint(why));
        self.fields_all_the_same(start, None)
    }

    fn fields_all_the_same(&mut self, start: usize, name: Option<Word>) -> Node {
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

    fn values_without_their_bracket(&mut self, start: usize, word: &str, inside: usize) -> Node {
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
        let in_list = self.open.last().is_some_and(|open| open.closes_with(']'));
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
    fn variant_with_colon(&mut self, start: usize) -> Node {
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
        let named = text[..open.place()].ends_with(|c: char| c.is_ascii_alphanumeric());
        if !named || items.is_empty() || !open.closes_with(')') {
            return false;
        }
        let mut ahead = self.after(self.cursor.at);
        let variant = ahead.word().is_some_and(|word| word != "Some" && word != "None");
        variant && ahead.peek() == Some('(') && self.lacks(')') && self.mend_here()
    }

    /// The key of an entry that lacks its quotes.
    pub(super) fn unquoted_key(&mut self, start: usize) -> Option<Node> {
        self.cursor.peek().filter(|c| c.is_alphanumeric() || *c == '_')?;
        let rest = self.cursor.rest();
        let length = rest.find([':', '=', ',', '(', ')', '[', ']', '{', '}', '"', '\n', '\r'])?;
        if !rest[length..].starts_with([':', '=']) {
            return None;
        }
        let written = rest[..length].trim_end();
        self.cursor.at += written.len();
        self.report(
            Fault::new(start..self.cursor.at, "a name in braces stands in quotes")
                .hint(format!("write \"{written}\":")),
        );
        Some(Node { span: start..self.cursor.at, kind: Kind::Unquoted(written.to_owned()) })
    }

    /// Passes the `:` after the key of an entry, which ended at `end`. False if no value follows.
    pub(super) fn colon_of_entry(&mut self, key: &Node, end: usize) -> bool {
        let written = &self.cursor.text[key.span.clone()];
        let a_name = matches!(key.kind, Kind::Text(_) | Kind::Unquoted(_));
        if matches!(self.peek(), Some(':' | '=')) || a_name && self.peek() != Some(',') {
            return self.colon(written, end);
        }
        if key.kind == Kind::Broken {
            return false;
        }
        if a_name {
            let mut ahead = self.after(self.cursor.at + 1);
            let blank = ahead.skip_blanks().is_ok();
            let value = ahead.peek().is_some_and(|c| c == '"' || c == '(' || c.is_ascii_digit());
            if blank && value && !self.names_a_field(ahead.at) {
                self.report(
                    Fault::new(self.here(), "',' should be ':'")
                        .hint(format!("write {written}: and its value")),
                );
                self.cursor.next();
                self.blanks();
                return true;
            }
        }
        let in_one = match &key.kind {
            Kind::Text(text) => text.split_once(':'),
            _ => None,
        };
        let right = match (in_one, &key.kind) {
            (Some((name, value)), _) => {
                format!("write \"{}\": \"{}\"", name.trim(), value.trim())
            }
            (None, Kind::Tuple { name: None, items }) if items.len() == 2 => {
                format!("write {}: {}", self.written(&items[..1]), self.written(&items[1..]))
            }
            _ => "write \"name\": and its value".to_owned(),
        };
        self.report(Fault::new(self.here(), "a key needs ':' and a value after it").hint(right));
        false
    }

    /// Passes the `:` after a name that ended at `end`, and the blanks after it; takes another sign for it, or none,
    /// with a word about that. False if no value follows.
    pub(super) fn colon(&mut self, name: &str, end: usize) -> bool {
        let at = self.cursor.at;
        if !self.cursor.take(':') {
            let on_line = !self.cursor.text[end..at].contains(['\n', '\r']);
            if self.cursor.take('=') || self.cursor.take(';') {
                self.cursor.take('>');
                let wrong = &self.cursor.text[at..self.cursor.at];
                self.report(Fault::new(at..self.cursor.at, format!("'{wrong}' should be ':'")));
            } else if on_line && self.at_value() && !self.names_a_field(at) {
                self.report(
                    Fault::new(end..end, format!("':' is missing after {name}"))
                        .hint(format!("write {name}: …")),
                );
            } else {
                let what = if name.starts_with('"') {
                    "a key".to_owned()
                } else {
                    format!("field '{name}'")
                };
                self.report(Fault::new(
                    self.here(),
                    format!("{what} needs ':' and a value after it"),
                ));
                return false;
            }
        }
        self.blanks();
        true
    }

    /// The name of a field, as one word. `None` if none stands here; what does has been told.
    pub(super) fn name_of_field(&mut self, start: usize, fields: &mut [Field]) -> Option<String> {
        match self.peek() {
            Some('"') if !self.names_a_field(start) => self.several_values(start, fields),
            Some(c) if c.is_ascii_uppercase() && self.holds_groups(start) && self.exceeds(']') => {
                if let Some(last) = fields.last_mut() {
                    self.list_without_its_bracket(last);
                }
                None
            }
            Some('"') => {
                let new_entry = self.outside_holds() == Some(Holds::Entries)
                    && self.starts_its_line(start)
                    && self.lacks(')');
                if new_entry && self.mend_here() {
                    return None;
                }
                match self.cursor.quoted() {
                    Ok(text) => {
                        let name = one_word(&text);
                        let message = "the name of a field stands without quotes";
                        self.report(
                            Fault::new(start..self.cursor.at, message)
                                .hint(format!("write {name}:")),
                        );
                        Some(name)
                    }
                    Err(fault) => {
                        self.report(fault);
                        None
                    }
                }
            }
            Some(c) if starts_word(c) => {
                let several = self.names_a_field(start);
                let name = words(&mut self.cursor);
                if name.len() == 1 || !several {
                    // Without a colon what follows the first word may be its value.
                    let first = name.first().copied().unwrap_or_default();
                    self.cursor.at = start + first.len();
                    return Some(first.to_owned());
                }
                let name = name.join("_");
                let message = format!(
                    "the name of a field is one word, not {}",
                    &self.cursor.text[start..self.cursor.at]
                );
                self.report(
                    Fault::new(start..self.cursor.at, message).hint(format!("write {name}:")),
                );
                Some(name)
            }
            Some(c) if c.is_ascii_digit() => self.several_values(start, fields),
            Some(c @ ('(' | '[' | '{')) => {
                let new_item =
                    c == '(' && self.outside_holds() == Some(Holds::Values) && self.lacks(')');
                if new_item && self.mend_here() {
                    return None;
                }
                if self.exceeds(']')
                    && let Some(last) = fields.last_mut()
                {
                    self.list_without_its_bracket(last);
                    return None;
                }
                let fault = Fault::new(
                    self.here(),
                    format!("a field needs a name, not {}", self.shown(start)),
                )
                .hint("is the bracket before it closed?");
                self.report_brackets(start, fault);
                None
            }
            Some(',') => {
                self.report(
                    Fault::new(self.here(), "this ',' is one too many").hint("take it out"),
                );
                None
            }
            _ => {
                let shown = self.shown(start);
                self.report(Fault::new(self.here(), format!("a field needs a name, not {shown}")));
                self.skip_to_delimiter();
                None
            }
        }
    }

    /// A value stands where the next field should: the last one has several, without brackets.
    fn several_values(&mut self, start: usize, fields: &mut [Field]) -> Option<String> {
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
        self.report(
            Fault::new(from..self.cursor.at, "several values stand in brackets").hint(format!(
                "write {}: ({})",
                last.name.text,
                self.written(&items)
            )),
        );
        last.value = Node { span: from..self.cursor.at, kind: Kind::Tuple { name: None, items } };
        None
    }

    /// The value of `last` is the first of a list whose opening bracket was left out.
    fn list_without_its_bracket(&mut self, last: &mut Field) {
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

/// Words with blanks or hyphens between, the cursor then standing after the last.
fn words<'s>(cursor: &mut Cursor<'s>) -> Vec<&'s str> {
    let mut words = Vec::new();
    while let Some(word) = cursor.word() {
        words.push(word);
        let end = cursor.at;
        cursor.take_while(|c| c == ' ' || c == '-');
        if !cursor.peek().is_some_and(starts_word) {
            cursor.at = end;
            break;
        }
    }
    words
}

/// A name as a field has it: `pot_life` for `pot life`.
fn one_word(name: &str) -> String {
    let words: Vec<&str> = name.split([' ', '-']).filter(|word| !word.is_empty()).collect();
    words.join("_")
}

/// What was written without its quotes, as it should stand within them: feet and inches as words, since the mark of an
/// inch would end the text; without a quote that closes it where a unit or word stands before that.
fn in_words(written: &str) -> String {
    let text = match written.strip_suffix(['"', '”']) {
        Some(text) if text.ends_with(|c: char| c.is_ascii_digit()) => format!("{text} in"),
        Some(text) => text.to_owned(),
        None => written.to_owned(),
    };
    let mut out = String::with_capacity(text.len() + 3);
    for c in text.chars() {
        if matches!(c, '\'' | '’' | '′') && out.ends_with(|c: char| c.is_ascii_digit()) {
            out.push_str(" ft");
        } else {
            out.push(c);
        }
    }
    out
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
