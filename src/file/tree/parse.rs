//! Text to tree, going on after each mistake.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use super::brackets::{Balance, Repair, Repairs, most_mended};
use super::lex::{Cursor, Fault, starts_word};
use super::{Entry, Field, Kind, Node, Tree, Word};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};

/// After this many mistakes of form the rest is left unread: it is hardly a shop file.
const MOST_MISTAKES: usize = 30;

pub(super) fn parse(source: &Arc<Source>) -> Tree {
    parse_counted(source).0
}

/// The tree, and how often the text was read for it.
fn parse_counted(source: &Arc<Source>) -> (Tree, usize) {
    let mut repairs = Repairs::default();
    let most = most_mended(source.text.len());
    let mut readings = 0;
    loop {
        readings += 1;
        let mut parser = Parser {
            source,
            cursor: Cursor::new(&source.text, 0),
            open: Vec::new(),
            repairs: &repairs,
            repair: None,
            balance: None,
            supplied: Vec::new(),
            found: Diagnostics::default(),
            stopped: false,
            lost: false,
        };
        let root = parser.file();
        let Parser { found, lost, repair, .. } = parser;
        let tree = Tree { source: Arc::clone(source), root, found, lost };
        // With what is now known of its brackets the text is read anew: nothing read before it was known can be trusted.
        match repair {
            None => return (tree, readings),
            Some(repair) if repairs.add(repair, most) => {}
            Some(repair) => return (left_unmended(tree, repair), readings),
        }
    }
}

/// A tree whose reading ended at a bracket that does not fit and that is not mended: that is told, and nothing is
/// said of what stands after it.
fn left_unmended(mut tree: Tree, repair: Repair) -> Tree {
    let at = repair.at();
    let told = match tree.source.text.get(at..).and_then(|rest| rest.chars().next()) {
        Some(c @ ('(' | '[' | '{')) => format!("this '{c}' is not closed as it should be"),
        Some(c) => format!("this '{c}' is one too many"),
        None => "a bracket is missing here".to_owned(),
    };
    let place = Place::new(&tree.source, at..at + 1);
    let told = Diagnostic::error(told).at(place);
    tree.found.push(told.hint("the rest of the file is not read before that is mended"));
    tree.lost = true;
    tree
}

/// A bracket that is open while its inside is read.
pub(super) struct Open {
    /// Where it stands, or would.
    pub(super) at: usize,
    /// What closes it.
    pub(super) close: char,
    pub(super) holds: Holds,
    /// Where its last part ended.
    pub(super) last: Option<usize>,
    /// Whether it was left out of the text.
    pub(super) supplied: bool,
}

/// What a bracket holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    Fields,
    Entries,
    Values,
}

pub(super) struct Parser<'s> {
    pub(super) source: &'s Arc<Source>,
    pub(super) cursor: Cursor<'s>,
    /// The brackets that are open, outermost first.
    pub(super) open: Vec<Open>,
    /// What is known already of brackets that do not fit.
    pub(super) repairs: &'s Repairs,
    /// What has been found out of another one: the rest is left unread.
    pub(super) repair: Option<Repair>,
    /// How the brackets of the text balance, once that was asked; `Some(None)` where nobody can tell.
    pub(super) balance: Option<Option<Balance>>,
    /// The opening brackets that were left out of the text so far.
    pub(super) supplied: Vec<char>,
    pub(super) found: Diagnostics,
    /// Set when reading on would only make noise.
    pub(super) stopped: bool,
    /// Set when brackets do not fit, so that nothing is where it was meant to be.
    pub(super) lost: bool,
}

impl<'s> Parser<'s> {
    pub(super) fn report(&mut self, fault: Fault) {
        if self.stopped {
            return;
        }
        let mut diagnostic =
            Diagnostic::error(fault.message).at(Place::new(self.source, fault.span));
        diagnostic.hints.extend(fault.hint);
        self.found.push(diagnostic);
        if self.found.0.len() >= MOST_MISTAKES {
            let end = self.cursor.at;
            self.found.push(
                Diagnostic::error(format!("{MOST_MISTAKES} mistakes so far: the rest is not read"))
                    .at(Place::new(self.source, end..end)),
            );
            self.stop();
        }
    }

    /// Takes back what was told of `span`.
    pub(super) fn take_back(&mut self, span: &Range<usize>) {
        self.found.0.retain(|each| each.place.as_ref().is_none_or(|place| place.span != *span));
    }

    pub(super) fn stop(&mut self) {
        self.stopped = true;
        self.cursor.at = self.cursor.text.len();
    }

    /// The next character; of a bracket of the wrong kind, what it should be.
    pub(super) fn peek(&self) -> Option<char> {
        let read_as = self.repairs.read_as.get(&self.cursor.at).copied();
        read_as.or_else(|| self.cursor.peek())
    }

    pub(super) fn blanks(&mut self) {
        loop {
            if let Err(fault) = self.cursor.skip_blanks() {
                self.report(fault);
                self.stop();
            }
            if !self.skip_odd_comment() {
                return;
            }
        }
    }

    pub(super) fn here(&self) -> Range<usize> {
        let at = self.cursor.at;
        at..at + self.cursor.peek().map_or(0, char::len_utf8)
    }

    pub(super) fn broken(&self, start: usize) -> Node {
        Node { span: start..self.cursor.at.max(start), kind: Kind::Broken }
    }

    pub(super) fn file(&mut self) -> Node {
        self.cursor.take('\u{feff}');
        self.blanks();
        if self.cursor.rest().starts_with("#!") {
            let start = self.cursor.at;
            self.cursor.take_while(|c| c != '\n');
            self.report(
                Fault::new(start..self.cursor.at, "shop files have no #![…] line")
                    .hint("take this line out"),
            );
            self.blanks();
        }
        if self.cursor.peek().is_none() {
            let end = self.cursor.at;
            self.report(Fault::new(end..end, "the file is empty"));
            return self.broken(end);
        }
        self.skip_words_before_the_file();
        let start = self.cursor.at;
        let root = match self.names_a_field(start) {
            true => self.without_its_bracket(
                start,
                "a file stands in round brackets, '(' first and ')' last",
            ),
            false => self.value(),
        };
        self.blanks();
        let ended = root.span.end.saturating_sub(1);
        if self.cursor.peek().is_some()
            && let Some(closer @ (')' | ']' | '}')) =
                self.cursor.text.get(ended..).and_then(|rest| rest.chars().next())
            && self.exceeds(closer)
        {
            // One too many closed it, unless the one too many is the last.
            let rest = self.cursor.rest().trim_end();
            let extra = if rest.chars().all(|c| c == closer) { self.cursor.at } else { ended };
            if self.mend(Repair::Skip(extra)) {
                return root;
            }
        }
        self.skip_extra();
        if self.cursor.peek().is_some() && !self.found.0.is_empty() {
            // Where something is wrong further up, that may well have closed it.
            self.lost = true;
        } else if self.cursor.peek().is_some() {
            let start = self.cursor.at;
            self.report_brackets(
                start,
                Fault::new(
                    self.here(),
                    format!("the file goes on after its end, with {}", self.shown(start)),
                )
                .hint("a file holds one value; is a bracket closed too early?"),
            );
        }
        root
    }

    /// A few characters from `start` on, for a message.
    pub(super) fn shown(&self, start: usize) -> String {
        let rest = self.cursor.text.get(start..).unwrap_or("");
        if let Some(text) = rest.strip_prefix('"')
            && let Some(length) = text.find(['"', '\n'])
            && length <= 30
            && text[length..].starts_with('"')
        {
            return format!("\"{}\"", &text[..length]);
        }
        let word: String =
            rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').take(20).collect();
        if word.is_empty() {
            rest.chars().next().map_or_else(
                || "the end of the file".to_owned(),
                |c| format!("'{}'", c.escape_debug()),
            )
        } else {
            format!("'{word}'")
        }
    }

    pub(super) fn value(&mut self) -> Node {
        let start = self.cursor.at;
        let Some(first) = self.peek() else {
            self.report(Fault::new(start..start, "the file ends where a value should stand"));
            return self.broken(start);
        };
        if let Some(raw) = self.cursor.raw() {
            return self.leaf(start, raw.map(Kind::Text));
        }
        match first {
            '"' => match self.map_without_its_bracket(start) {
                Some(map) => map,
                None => {
                    let text = self.cursor.quoted();
                    match self.quotes_within(start) {
                        Some(text) => text,
                        None => self.leaf(start, text.map(Kind::Text)),
                    }
                }
            },
            '\'' => {
                let held = self.cursor.character();
                self.leaf(start, held.map(Kind::Char))
            }
            '“' | '”' | '„' | '‘' | '’' | '«' | '»' | '`' => {
                self.cursor.next();
                let fault = self
                    .cursor
                    .wrong_quotes(start, &['“', '”', '‘', '’', '«', '»', '`', '"', '\'']);
                self.leaf(start, Err(fault))
            }
            '[' => self.list(),
            '{' => self.map(),
            '(' => self.group(start, None),
            '+' | '-' | '.' | '0'..='9' => self.numbered(start),
            c if starts_word(c) => self.worded(start),
            ',' | ':' | ')' | ']' | '}' => {
                self.report(Fault::new(
                    start..start + 1,
                    format!("a value is missing before '{first}'"),
                ));
                self.broken(start)
            }
            _ => {
                if let Some(unquoted) = self.begun_by_a_sign(start) {
                    return unquoted;
                }
                self.report(Fault::new(
                    self.here(),
                    format!("no value begins with '{}'", first.escape_debug()),
                ));
                self.skip_to_delimiter();
                self.broken(start)
            }
        }
    }

    pub(super) fn leaf(&mut self, start: usize, read: Result<Kind, Fault>) -> Node {
        match read {
            Ok(kind) => Node { span: start..self.cursor.at, kind },
            Err(fault) => {
                self.report(fault);
                self.broken(start)
            }
        }
    }

    /// `true`, `Light`, `Base(…)`: what begins with a word.
    pub(super) fn worded(&mut self, start: usize) -> Node {
        let rest = self.cursor.rest();
        if rest.starts_with("b\"")
            || rest.starts_with("b'")
            || rest.starts_with("br\"")
            || rest.starts_with("br#")
        {
            let body = usize::from(rest.starts_with("br")) + 1;
            let fault =
                Fault::new(start..start + body, "bytes have no use here").hint("leave the b out");
            self.cursor.at += body;
            self.report(fault);
            self.skip_to_delimiter();
            return self.broken(start);
        }
        let Some(word) = self.cursor.word() else { return self.broken(start) };
        let end = self.cursor.at;
        if let "inf" | "NaN" | "inff32" | "inff64" | "NaNf32" | "NaNf64" = word {
            let fault = Fault::new(start..end, format!("{word} is no amount"))
                .hint("write a finite number");
            return self.leaf(start, Err(fault));
        }
        if let Some(group) = self.group_without_its_bracket(start, word) {
            return group;
        }
        let kind = match word {
            "true" => Kind::Flag(true),
            "false" => Kind::Flag(false),
            _ => {
                self.blanks();
                // RON's own word for nothing is no name of something that holds fields.
                let opens = self.peek();
                let name = Word { text: word.to_owned(), span: start..end };
                if word != "None" && opens == Some('(') {
                    return self.group(start, Some(name));
                }
                if let Some(wrong @ ('[' | '{')) = opens
                    && word.starts_with(|c: char| c.is_ascii_uppercase())
                    && self.cursor.at == end
                {
                    if self.exceeds(')') {
                        return self.values_without_their_bracket(start, word, end);
                    }
                    return self.group_in_wrong_brackets(name, wrong);
                }
                self.cursor.at = end;
                Kind::Word(word.to_owned())
            }
        };
        self.leaf_on_line(start, Ok(kind))
    }

    pub(super) fn list(&mut self) -> Node {
        let start = self.cursor.at;
        let mut ahead = Cursor::new(self.cursor.text, start + 1);
        if ahead.skip_blanks().is_ok() && ahead.peek() == Some('"') && self.names_a_field(ahead.at)
        {
            self.report(
                Fault::new(self.here(), "'[' should be '{'")
                    .hint("names in quotes with their values stand in braces: { \"name\": … }"),
            );
            return self.entries(start, ']');
        }
        let mut items = Vec::new();
        self.bracketed(']', Holds::Values, |parser| parser.item(&mut items));
        Node { span: start..self.cursor.at, kind: Kind::List(items) }
    }

    /// One of the values in a list or a group without names.
    pub(super) fn item(&mut self, items: &mut Vec<Node>) {
        let start = self.cursor.at;
        let told = if self.names_a_field(start) {
            self.fields_among_values(items)
        } else {
            self.variant_in_variant(items)
        };
        if !told {
            items.push(self.value());
        }
    }

    pub(super) fn map(&mut self) -> Node {
        let start = self.cursor.at;
        if self.holds_groups(start + 1) {
            self.report(
                Fault::new(self.here(), "'{' should be '['")
                    .hint("a list stands in square brackets"),
            );
            let mut items = Vec::new();
            self.bracketed('}', Holds::Values, |parser| parser.item(&mut items));
            return Node { span: start..self.cursor.at, kind: Kind::List(items) };
        }
        self.entries(start, '}')
    }

    pub(super) fn entries(&mut self, start: usize, close: char) -> Node {
        let mut entries: Vec<Entry> = Vec::new();
        let mut seen = HashMap::new();
        self.bracketed(close, Holds::Entries, |parser| parser.entry(&mut entries, &mut seen));
        Node { span: start..self.cursor.at, kind: Kind::Map(entries) }
    }

    /// One `"name": value` of a map.
    pub(super) fn entry(&mut self, entries: &mut Vec<Entry>, seen: &mut HashMap<String, usize>) {
        let start = self.cursor.at;
        if self.names_a_field(start) && self.peek() != Some('"') {
            let of_outside =
                self.outside_holds() == Some(Holds::Fields) && self.starts_its_line(start);
            if of_outside && self.lacks('}') && self.mend_here() {
                return;
            }
        }
        let key = match self.unquoted_key(start) {
            Some(key) => key,
            None => self.value(),
        };
        if self.stopped {
            return;
        }
        let end = self.cursor.at;
        self.blanks();
        if !self.colon_of_entry(&key, end) {
            return;
        }
        let value = self.value();
        if let Kind::Text(text) | Kind::Unquoted(text) = &key.kind {
            self.refuse_twice(seen, text, &key.span);
        }
        entries.push(Entry { key, value });
    }

    pub(super) fn refuse_twice(
        &mut self,
        seen: &mut HashMap<String, usize>,
        text: &str,
        span: &Range<usize>,
    ) {
        match seen.get(text) {
            Some(first) => {
                let (line, _) = Place::new(self.source, *first..*first).line_column();
                self.report(
                    Fault::new(span.clone(), format!("'{text}' is given twice"))
                        .hint(format!("the first is on line {line}")),
                );
            }
            None => {
                seen.insert(text.to_owned(), span.start);
            }
        }
    }

    /// `( … )`, its name already read; it holds fields if its first part is `word:`.
    pub(super) fn group(&mut self, start: usize, name: Option<Word>) -> Node {
        let mut ahead = Cursor::new(self.cursor.text, self.cursor.at + 1);
        let blank = ahead.skip_blanks().is_ok();
        if blank && (self.names_a_field(ahead.at) || self.names_without_colon(ahead.at)) {
            let mut fields = Vec::new();
            let mut seen = HashMap::new();
            let mut lost = false;
            let closed = self.bracketed(')', Holds::Fields, |parser| {
                lost |= !parser.field(&mut fields, &mut seen);
            });
            let broken = lost || !closed;
            Node { span: start..self.cursor.at, kind: Kind::Fields { name, fields, broken } }
        } else {
            let mut items = Vec::new();
            let list = blank && name.is_some() && ahead.peek() == Some('(') && self.exceeds(']');
            self.bracketed(')', Holds::Values, |parser| match list && items.is_empty() {
                true => items.push(parser.list_all_the_same()),
                false => parser.item(&mut items),
            });
            Node { span: start..self.cursor.at, kind: Kind::Tuple { name, items } }
        }
    }

    /// One `name: value`; false if it could not be read, so that its name is lost.
    pub(super) fn field(
        &mut self,
        fields: &mut Vec<Field>,
        seen: &mut HashMap<String, usize>,
    ) -> bool {
        let start = self.cursor.at;
        let Some(text) = self.name_of_field(start, fields) else { return false };
        let name = Word { text, span: start..self.cursor.at };
        self.blanks();
        if !self.colon(&name.text, name.span.end) {
            return false;
        }
        let value = self.value();
        self.refuse_twice(seen, &name.text, &name.span);
        fields.push(Field { name, value });
        true
    }

    /// Passes what cannot be read, up to a comma, a closing bracket or the end of the line.
    pub(super) fn skip_to_delimiter(&mut self) {
        self.cursor.take_while(|c| !matches!(c, ',' | ')' | ']' | '}' | '\n'));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counters of which so many, spread over the file, lack a brace.
    fn lacking(braces: usize, counters: usize) -> Arc<Source> {
        let mut text = "(\n  version: 1,\n  counters: {\n".to_owned();
        for counter in 0..counters {
            let brace = if counter % (counters / braces) == 0 { "" } else { "}" };
            text.push_str(&format!(
                "    \"c{counter}\": (\n      cutouts: {{ \"s\": (at: (1, 2)) {brace},\n    ),\n"
            ));
        }
        text.push_str("  },\n)\n");
        Arc::new(Source { name: "big.ron".into(), text })
    }

    #[test]
    fn a_small_file_is_read_until_all_its_brackets_are_told() {
        let (tree, readings) = parse_counted(&lacking(5, 20));
        assert_eq!((readings, tree.found.0.len(), tree.lost), (6, 5, false));
    }

    #[test]
    fn a_large_broken_file_is_read_few_times_and_says_what_to_mend_first() {
        for (counters, most) in [(40, 13), (4_000, 7), (40_000, 1)] {
            let source = lacking(20, counters);
            let (tree, readings) = parse_counted(&source);
            assert!(readings <= most, "{readings} readings of {} bytes", source.text.len());
            assert!(tree.lost, "the rest is not read");
            let last = tree.found.0.last().unwrap();
            assert_eq!(last.message, "this '{' is not closed as it should be");
            assert_eq!(tree.found.0.len(), readings, "one told a reading");
        }
    }

    #[test]
    fn what_is_nested_too_deep_is_told_once() {
        for text in ["[".repeat(100_000), "(a: ".repeat(50_000), "(a: [".repeat(40_000)] {
            let source = Arc::new(Source { name: "deep.ron".into(), text });
            let (tree, readings) = parse_counted(&source);
            assert_eq!((readings, tree.found.0.len()), (1, 1), "{:?}", tree.found);
        }
    }
}
