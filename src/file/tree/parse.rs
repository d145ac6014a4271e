//! Text to tree, going on after each mistake.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use super::brackets::lacks_its_end;
use super::lex::{Cursor, Fault, is_blank, starts_word};
use super::{DEEPEST, Entry, Field, Kind, Node, Tree, Word};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};

/// After this many mistakes of form the rest is left unread: it is hardly a shop file.
const MOST_MISTAKES: usize = 30;

pub(super) fn parse(source: &Arc<Source>) -> Tree {
    let mut parser = Parser {
        source,
        cursor: Cursor::new(&source.text, 0),
        closers: Vec::new(),
        found: Diagnostics::default(),
        stopped: false,
        lost: false,
    };
    let root = parser.file();
    Tree { source: Arc::clone(source), root, found: parser.found, lost: parser.lost }
}

struct Parser<'s> {
    source: &'s Arc<Source>,
    cursor: Cursor<'s>,
    /// The brackets that would close what is open, outermost first.
    closers: Vec<char>,
    found: Diagnostics,
    /// Set when reading on would only make noise.
    stopped: bool,
    /// Set when brackets do not fit, so that nothing is where it was meant to be.
    lost: bool,
}

impl Parser<'_> {
    fn report(&mut self, fault: Fault) {
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

    /// Reports brackets that do not fit, the innermost opened at `open`: not after a text that was never closed,
    /// which may have swallowed some.
    ///
    /// From the bracket on, words stand for something else than they were meant for. So this alone is told of what
    /// follows it, and the rest is not read.
    fn report_brackets(&mut self, open: usize, fault: Fault) {
        if self.cursor.unclosed || self.stopped {
            return;
        }
        self.found.0.retain(|each| each.place.as_ref().is_none_or(|place| place.span.start < open));
        const UNREAD: &str = "the rest of the file is not read before that is mended";
        let hint = fault
            .hint
            .as_ref()
            .map_or_else(|| UNREAD.to_owned(), |hint| format!("{hint}; {UNREAD}"));
        self.report(fault.hint(hint));
        self.lost = true;
        self.stop();
    }

    fn stop(&mut self) {
        self.stopped = true;
        self.cursor.at = self.cursor.text.len();
    }

    fn blanks(&mut self) {
        if let Err(fault) = self.cursor.skip_blanks() {
            self.report(fault);
            self.stop();
        }
    }

    fn here(&self) -> Range<usize> {
        let at = self.cursor.at;
        at..at + self.cursor.peek().map_or(0, char::len_utf8)
    }

    fn broken(&self, start: usize) -> Node {
        Node { span: start..self.cursor.at.max(start), kind: Kind::Broken }
    }

    fn file(&mut self) -> Node {
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
        let root = self.value();
        self.blanks();
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
    fn shown(&self, start: usize) -> String {
        let rest = self.cursor.text.get(start..).unwrap_or("");
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

    fn value(&mut self) -> Node {
        let start = self.cursor.at;
        let Some(first) = self.cursor.peek() else {
            self.report(Fault::new(start..start, "the file ends where a value should stand"));
            return self.broken(start);
        };
        if let Some(raw) = self.cursor.raw() {
            return self.leaf(start, raw.map(Kind::Text));
        }
        match first {
            '"' => {
                let text = self.cursor.quoted();
                self.leaf(start, text.map(Kind::Text))
            }
            '\'' => {
                let held = self.cursor.character();
                self.leaf(start, held.map(Kind::Char))
            }
            '“' | '”' | '„' | '‘' | '’' | '«' | '»' => {
                self.cursor.next();
                let fault =
                    self.cursor.wrong_quotes(start, &['“', '”', '‘', '’', '«', '»', '"', '\'']);
                self.leaf(start, Err(fault))
            }
            '[' => self.list(),
            '{' => self.map(),
            '(' => self.group(start, None),
            '+' | '-' | '.' | '0'..='9' => {
                let number = self.cursor.number();
                if let Ok(first) = &number
                    && let Some(second) = self.after_colon()
                {
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
                self.leaf_on_line(start, number.map(Kind::Number))
            }
            c if starts_word(c) => self.worded(start),
            ',' | ':' | ')' | ']' | '}' => {
                self.report(Fault::new(
                    start..start + 1,
                    format!("a value is missing before '{first}'"),
                ));
                self.broken(start)
            }
            _ => {
                self.report(Fault::new(
                    self.here(),
                    format!("no value begins with '{}'", first.escape_debug()),
                ));
                self.skip_to_delimiter();
                self.broken(start)
            }
        }
    }

    /// The number of a `:1` that follows another number; nothing is passed where there is none.
    fn after_colon(&mut self) -> Option<String> {
        let rest = self.cursor.rest().trim_start_matches(' ').strip_prefix(':')?;
        let mut ahead = Cursor::new(self.cursor.text, self.cursor.text.len() - rest.len());
        ahead.take_while(|c| c == ' ');
        ahead.peek().filter(char::is_ascii_digit)?;
        let second = ahead.number().ok()?;
        self.cursor.at = ahead.at;
        Some(second)
    }

    fn leaf(&mut self, start: usize, read: Result<Kind, Fault>) -> Node {
        match read {
            Ok(kind) => Node { span: start..self.cursor.at, kind },
            Err(fault) => {
                self.report(fault);
                self.broken(start)
            }
        }
    }

    /// A number or bare word must be alone on its line up to the next delimiter: what follows is
    /// the rest of a text or an amount that lacks its quotes.
    fn leaf_on_line(&mut self, start: usize, read: Result<Kind, Fault>) -> Node {
        let end = self.cursor.at;
        let rest = self.cursor.rest();
        // Most numbers stand in a list, with nothing to look for.
        if rest.starts_with([',', ')', ']', '}', '\n', '\r']) {
            return self.leaf(start, read);
        }
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let line = line.split("//").next().unwrap_or(line);
        let line = line.split("/*").next().unwrap_or(line);
        let tail = line.trim_end_matches(is_blank);
        let named = tail.contains([':', '(', '[', '{', '"', '=']) && !tail.ends_with('"');
        if tail.trim_matches(is_blank).is_empty() || named {
            return self.leaf(start, read);
        }
        self.cursor.at = end + tail.len();
        let written = &self.cursor.text[start..self.cursor.at];
        let what =
            if matches!(read, Ok(Kind::Word(_))) { "text" } else { "an amount with its unit" };
        let fault =
            Fault::new(start..self.cursor.at, format!("{what} must stand in quotes: {written}"))
                .hint(format!("write \"{}\"", written.replace('\\', "\\\\").replace('"', "\\\"")));
        self.report(fault);
        self.broken(start)
    }

    /// `true`, `Light`, `Base(…)`: what begins with a word.
    fn worded(&mut self, start: usize) -> Node {
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
        let kind = match word {
            "true" => Kind::Flag(true),
            "false" => Kind::Flag(false),
            _ => {
                self.blanks();
                // RON's own word for nothing is no name of something that holds fields.
                if word != "None" && self.cursor.peek() == Some('(') {
                    return self
                        .group(start, Some(Word { text: word.to_owned(), span: start..end }));
                }
                self.cursor.at = end;
                Kind::Word(word.to_owned())
            }
        };
        self.leaf_on_line(start, Ok(kind))
    }

    fn list(&mut self) -> Node {
        let start = self.cursor.at;
        let mut items = Vec::new();
        self.bracketed(']', |parser| items.push(parser.value()));
        Node { span: start..self.cursor.at, kind: Kind::List(items) }
    }

    fn map(&mut self) -> Node {
        let start = self.cursor.at;
        let mut entries: Vec<Entry> = Vec::new();
        let mut seen = HashMap::new();
        self.bracketed('}', |parser| {
            let key = parser.value();
            parser.blanks();
            if !parser.colon("a key") {
                return;
            }
            let value = parser.value();
            if let Kind::Text(text) = &key.kind {
                parser.refuse_twice(&mut seen, text, &key.span);
            }
            entries.push(Entry { key, value });
        });
        Node { span: start..self.cursor.at, kind: Kind::Map(entries) }
    }

    fn refuse_twice(&mut self, seen: &mut HashMap<String, usize>, text: &str, span: &Range<usize>) {
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

    /// Passes `:` and the blanks after it; takes `=` for it, with a word about that.
    fn colon(&mut self, what: &str) -> bool {
        let at = self.cursor.at;
        let there = self.cursor.take(':');
        if !there {
            if self.cursor.take('=') {
                self.report(Fault::new(at..at + 1, "'=' should be ':'"));
            } else {
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

    /// `( … )`, its name already read; it holds fields if its first part is `word:`.
    fn group(&mut self, start: usize, name: Option<Word>) -> Node {
        if self.holds_fields() {
            let mut fields = Vec::new();
            let mut seen = HashMap::new();
            let mut lost = false;
            let closed = self.bracketed(')', |parser| {
                lost |= !parser.field(&mut fields, &mut seen);
            });
            let broken = lost || !closed;
            Node { span: start..self.cursor.at, kind: Kind::Fields { name, fields, broken } }
        } else {
            let mut items = Vec::new();
            self.bracketed(')', |parser| items.push(parser.value()));
            Node { span: start..self.cursor.at, kind: Kind::Tuple { name, items } }
        }
    }

    fn holds_fields(&self) -> bool {
        let mut ahead = Cursor::new(self.cursor.text, self.cursor.at + 1);
        if ahead.skip_blanks().is_err() {
            return false;
        }
        let named = match ahead.peek() {
            Some('"') => ahead.quoted().is_ok(),
            _ => ahead.word().is_some(),
        };
        named && ahead.skip_blanks().is_ok() && matches!(ahead.peek(), Some(':' | '='))
    }

    /// One `name: value`; false if it could not be read, so that its name is lost.
    fn field(&mut self, fields: &mut Vec<Field>, seen: &mut HashMap<String, usize>) -> bool {
        let start = self.cursor.at;
        let text = match self.cursor.peek() {
            Some('"') => match self.cursor.quoted() {
                Ok(text) => {
                    let fault = Fault::new(
                        start..self.cursor.at,
                        "the name of a field stands without quotes",
                    )
                    .hint(format!("write {text}:"));
                    self.report(fault);
                    text
                }
                Err(fault) => {
                    self.report(fault);
                    return false;
                }
            },
            Some(c) if starts_word(c) => self.cursor.word().unwrap_or_default().to_owned(),
            Some(c) if c.is_ascii_digit() => {
                let digits = self.cursor.take_while(|c| c.is_ascii_digit());
                let fault = Fault::new(
                    start..self.cursor.at,
                    format!("a field needs a name before {digits}"),
                )
                .hint("decimals are written with a point: 0.5");
                self.report(fault);
                self.skip_to_delimiter();
                return false;
            }
            Some('(' | '[' | '{') => {
                let fault = Fault::new(
                    self.here(),
                    format!("a field needs a name, not {}", self.shown(start)),
                )
                .hint("is the bracket before it closed?");
                self.report_brackets(start, fault);
                return false;
            }
            _ => {
                let shown = self.shown(start);
                self.report(Fault::new(self.here(), format!("a field needs a name, not {shown}")));
                self.skip_to_delimiter();
                return false;
            }
        };
        let name = Word { text, span: start..self.cursor.at };
        self.blanks();
        if !self.colon(&format!("field '{}'", name.text)) {
            return false;
        }
        let value = self.value();
        self.refuse_twice(seen, &name.text, &name.span);
        fields.push(Field { name, value });
        true
    }

    /// What stands between brackets, standing at the opening one: `part` for each, commas between. False if they are not
    /// closed as they should be.
    fn bracketed(&mut self, close: char, mut part: impl FnMut(&mut Self)) -> bool {
        let open = self.cursor.at;
        self.cursor.next();
        if self.closers.len() >= DEEPEST {
            self.report(Fault::new(
                open..open + 1,
                format!("brackets are nested deeper than {DEEPEST}"),
            ));
            self.stop();
            return false;
        }
        self.closers.push(close);
        let closed = loop {
            self.blanks();
            match self.cursor.peek() {
                None => {
                    let lacking = lacks_its_end(self.cursor.text).unwrap_or(open);
                    self.report_brackets(lacking.min(open), self.never_closed(lacking));
                    self.stopped = true;
                    break false;
                }
                Some(c) if c == close => {
                    self.cursor.next();
                    break true;
                }
                Some(c @ (')' | ']' | '}')) => {
                    let at = self.cursor.at;
                    let outer = self.closers[..self.closers.len() - 1].contains(&c);
                    let (line, _) = Place::new(self.source, open..open).line_column();
                    // The one that lacks its end may have taken another's.
                    match lacks_its_end(self.cursor.text).filter(|lacking| *lacking < at) {
                        Some(lacking) => {
                            self.report_brackets(lacking.min(open), self.never_closed(lacking));
                        }
                        None => self.report_brackets(
                            open,
                            Fault::new(
                                at..at + 1,
                                format!(
                                    "'{c}' stands where '{close}' should close the bracket of line {line}"
                                ),
                            ),
                        ),
                    }
                    // If nothing further out wants it, it was most likely meant to be this one's.
                    if !outer {
                        self.cursor.next();
                    }
                    break false;
                }
                Some(_) => self.one_part(close, &mut part),
            }
        };
        self.closers.pop();
        closed
    }

    /// That the bracket at `open` lacks its end.
    fn never_closed(&self, open: usize) -> Fault {
        let opening = &self.cursor.text[open..=open];
        let close = match opening {
            "[" => ']',
            "{" => '}',
            _ => ')',
        };
        Fault::new(open..open + 1, format!("this '{opening}' is never closed"))
            .hint(format!("close it with '{close}'"))
    }

    /// One part and the comma after it; always moves on.
    fn one_part(&mut self, close: char, part: &mut impl FnMut(&mut Self)) {
        let before = self.cursor.at;
        let mistakes = self.found.0.len();
        part(self);
        let end = self.cursor.at;
        self.blanks();
        let clean = self.found.0.len() == mistakes;
        match self.cursor.peek() {
            None => {}
            Some(',') => {
                self.cursor.next();
            }
            Some(c) if c == close || matches!(c, ')' | ']' | '}') => {}
            Some(_) => {
                if clean {
                    let shown = self.shown(self.cursor.at);
                    self.report(Fault::new(end..end, format!("a comma is missing before {shown}")));
                } else if end == before {
                    self.skip_to_delimiter();
                    self.cursor.take(',');
                }
                if self.cursor.at == before {
                    self.cursor.next();
                }
            }
        }
    }

    /// Passes what cannot be read, up to a comma, a closing bracket or the end of the line.
    fn skip_to_delimiter(&mut self) {
        self.cursor.take_while(|c| !matches!(c, ',' | ')' | ']' | '}' | '\n'));
    }
}
