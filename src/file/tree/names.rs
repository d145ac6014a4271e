//! The names of fields and entries, and the colon after them.

use super::ahead::words;
use super::lex::{Fault, starts_word};
use super::parse::{Holds, Parser};
use super::{Field, Kind, Node};

impl Parser<'_> {
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
}

/// A name as a field has it: `pot_life` for `pot life`.
fn one_word(name: &str) -> String {
    let words: Vec<&str> = name.split([' ', '-']).filter(|word| !word.is_empty()).collect();
    words.join("_")
}
