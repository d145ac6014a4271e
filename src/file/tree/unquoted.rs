//! Texts and amounts whose quotes were left out, figures with a comma, comments that begin otherwise: told as they
//! should stand.

use super::ahead::SIGNS;
use super::lex::{Fault, is_amount, is_blank};
use super::parse::{Holds, Parser};
use super::{Kind, Node};

impl Parser<'_> {
    /// Text that lacks its quotes, from `start` to where the cursor is.
    pub(super) fn unquoted(&mut self, start: usize, what: &str) -> Node {
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
        if rest.starts_with([',', ';', ')', ']', '}', '\n', '\r']) && !glued {
            return self.leaf(start, read);
        }
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let line = line.split("//").next().unwrap_or(line);
        let line = line.split("/*").next().unwrap_or(line);
        let tail = line.trim_end_matches(is_blank);
        let quotes = tail.matches('"').count();
        let named = names_something(tail) || quotes > 1 || (quotes == 1 && !tail.ends_with('"'));
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

    /// A text that was just read and goes on straight after its closing quote: quotes stand within it.
    pub(super) fn quotes_within(&mut self, start: usize) -> Option<Node> {
        let rest = self.cursor.rest();
        rest.chars().next().filter(|c| c.is_alphanumeric())?;
        let line = rest.split(['\n', '\r', ',', ')', ']', '}']).next().unwrap_or(rest);
        let length = line.rfind('"')? + 1;
        self.cursor.at += length;
        let written = &self.cursor.text[start..self.cursor.at];
        let right = written.trim_matches('"').replace('"', "'");
        self.report(
            Fault::new(start..self.cursor.at, "quotes stand within a text in quotes")
                .hint(format!("write \"{right}\"")),
        );
        Some(Node { span: start..self.cursor.at, kind: Kind::Unquoted(right) })
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
    pub(super) fn after_colon(&mut self) -> Option<String> {
        let rest = self.cursor.rest().trim_start_matches(' ').strip_prefix(':')?;
        let mut ahead = self.after(self.cursor.text.len() - rest.len());
        ahead.take_while(|c| c == ' ');
        ahead.peek().filter(char::is_ascii_digit)?;
        let second = ahead.number().ok()?;
        self.cursor.at = ahead.at;
        Some(second)
    }

    /// Whether `whole`, just read, goes on after a comma: where a value is followed by a name, no figure can follow.
    pub(super) fn decimal_comma(&mut self, start: usize, whole: &str) -> bool {
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
}

/// Whether the rest of a line holds more than the rest of a text: a name, a bracket. The figures of a ratio, as `2:1`,
/// are part of one.
fn names_something(tail: &str) -> bool {
    let figure = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    tail.contains(['(', '[', '{', '='])
        || tail.match_indices(':').any(|(at, _)| {
            !figure(tail[..at].chars().next_back()) || !figure(tail[at + 1..].chars().next())
        })
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
