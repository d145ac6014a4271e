//! What stands ahead while a shop file is read: a name, a value, a group.

use super::Node;
use super::lex::{Cursor, starts_word};
use super::parse::{Holds, Parser};

/// Signs that begin a colour, a price or an amount, never a value as it should be written.
pub(super) const SIGNS: &str = "#$€£¥½¼¾⅛⅜⅝⅞°";

/// Longer values are not written out in a hint.
const MOST_SHOWN: usize = 80;

impl<'s> Parser<'s> {
    pub(super) fn after(&self, at: usize) -> Cursor<'s> {
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

    /// Whether nothing stands before `at` on its line.
    pub(super) fn starts_its_line(&self, at: usize) -> bool {
        let before = self.cursor.text[..at].trim_end_matches([' ', '\t']);
        before.is_empty() || before.ends_with(['\n', '\r'])
    }

    /// Whether the sign that is read is no part of a word or number.
    pub(super) fn stands_alone(&self) -> bool {
        let mut ahead = self.after(self.cursor.at);
        let sign = ahead.next();
        let next = ahead.peek().unwrap_or(' ');
        if sign == Some('.') { !next.is_ascii_digit() } else { !starts_word(next) && next != ':' }
    }

    /// Whether what is read begins a value.
    pub(super) fn at_value(&self) -> bool {
        self.peek().is_some_and(|c| {
            matches!(c, '"' | '(' | '[' | '{' | '+' | '-' | '.')
                || c.is_ascii_digit()
                || starts_word(c)
                || SIGNS.contains(c)
        })
    }

    /// What the innermost open bracket holds.
    pub(super) fn holds(&self) -> Option<Holds> {
        self.open.last().map(|open| open.holds)
    }

    /// What the bracket around the innermost one holds.
    pub(super) fn outside_holds(&self) -> Option<Holds> {
        self.open.len().checked_sub(2).map(|outside| self.open[outside].holds)
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

    /// The text of `nodes` with commas between.
    pub(super) fn written(&self, nodes: &[Node]) -> String {
        let each: Vec<&str> =
            nodes.iter().map(|node| &self.cursor.text[node.span.clone()]).collect();
        let all = each.join(", ");
        // As much as is seen at a glance.
        if all.len() > MOST_SHOWN || all.contains('\n') { "…".to_owned() } else { all }
    }
}

/// Words with blanks or hyphens between, the cursor then standing after the last.
pub(super) fn words<'s>(cursor: &mut Cursor<'s>) -> Vec<&'s str> {
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
