//! What stands between brackets, and what is done where they do not fit.

use super::DEEPEST;
use super::brackets::{Balance, Repair, closer_of, lacks_its_end, opener_of};
use super::lex::Fault;
use super::parse::{Holds, Open, Parser};
use crate::diagnostic::Place;

impl Parser<'_> {
    /// Reports brackets that do not fit, the innermost opened at `open`: not after a text that was never closed,
    /// which may have swallowed some.
    ///
    /// From the bracket on, words stand for something else than they were meant for. So this alone is told of what
    /// follows it, and the rest is not read.
    pub(super) fn report_brackets(&mut self, open: usize, fault: Fault) {
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

    /// How the brackets of the text balance, those included that were left out and told; `None` where nobody can tell.
    pub(super) fn balance(&mut self) -> Option<Balance> {
        let (text, repairs) = (self.cursor.text, self.repairs);
        let mut balance = (*self.balance.get_or_insert_with(|| Balance::of(text, repairs)))?;
        self.supplied.iter().for_each(|bracket| balance.count(*bracket));
        Some(balance)
    }

    pub(super) fn lacks(&mut self, close: char) -> bool {
        self.balance().is_some_and(|balance| balance.lacks(close))
    }

    pub(super) fn exceeds(&mut self, close: char) -> bool {
        self.balance().is_some_and(|balance| balance.exceeds(close))
    }

    /// Leaves the text, which is to be read anew with `repair`. False, with nothing done, where that cannot be: after a
    /// text that was never closed, which may have swallowed brackets.
    pub(super) fn mend(&mut self, repair: Repair) -> bool {
        if self.cursor.unclosed || self.stopped {
            return false;
        }
        self.repair = Some(repair);
        self.stop();
        true
    }

    /// Leaves the text, which is to be read anew with the innermost bracket that is open closed after its last part.
    pub(super) fn mend_here(&mut self) -> bool {
        match self.open.last() {
            Some(&Open { at, last: Some(end), supplied: false, .. }) => {
                self.mend(Repair::End { open: at, end })
            }
            _ => false,
        }
    }

    /// What stands between brackets, standing at the opening one: `part` for each, commas between. False if they are not
    /// closed as they should be.
    pub(super) fn bracketed(
        &mut self,
        close: char,
        holds: Holds,
        part: impl FnMut(&mut Self),
    ) -> bool {
        let at = self.cursor.at;
        if let Some(should) = self.repairs.read_as.get(&at) {
            let is = self.cursor.peek().filter(|is| is != should);
            let what = match should {
                '(' => "fields and values stand in round brackets",
                '{' => "entries with names in quotes stand in braces",
                _ => "a list stands in square brackets",
            };
            if let Some(is) = is {
                let message = format!("'{is}' should be '{should}'");
                self.report(Fault::new(at..at + 1, message).hint(what));
            }
        }
        self.cursor.next();
        self.inside(Open { at, close, holds, last: None, supplied: false }, part)
    }

    /// As [`Self::bracketed`], of a bracket that was left out, at `at`.
    pub(super) fn bracketed_all_the_same(
        &mut self,
        at: usize,
        close: char,
        holds: Holds,
        part: impl FnMut(&mut Self),
    ) -> bool {
        self.supplied.push(opener_of(close));
        let closed = self.inside(Open { at, close, holds, last: None, supplied: true }, part);
        if !closed {
            self.supplied.push(close);
        }
        closed
    }

    pub(super) fn inside(&mut self, open: Open, mut part: impl FnMut(&mut Self)) -> bool {
        let Open { at: open_at, close, supplied, holds, .. } = open;
        if self.open.len() >= DEEPEST {
            self.report(Fault::new(
                open_at..open_at + usize::from(!supplied),
                format!("brackets are nested deeper than {DEEPEST}"),
            ));
            self.stop();
            return false;
        }
        self.open.push(open);
        let end = if supplied { None } else { self.repairs.ends.get(&open_at).copied() };
        let closed = loop {
            if end.is_some_and(|end| self.cursor.at >= end) {
                self.report_missing(open_at, close);
                break true;
            }
            self.blanks();
            self.skip_extra();
            match self.peek() {
                None if supplied => break false,
                None => {
                    self.ends_too_early(open_at);
                    break false;
                }
                Some(c) if c == close => {
                    let is = self.cursor.peek().unwrap_or_default();
                    if is != c
                        && self.repairs.read_as.contains_key(&self.cursor.at)
                        && self.cursor.text[open_at..].starts_with(opener_of(close))
                    {
                        let fault = Fault::new(self.here(), format!("'{is}' should be '{close}'"))
                            .hint(format!("it closes {}", self.opened(open_at)));
                        self.report(fault);
                    }
                    self.cursor.next();
                    break true;
                }
                Some(')' | ']' | '}') if supplied => break false,
                // The next of a list, after one that lacked both its brackets.
                Some('(') if supplied && holds == Holds::Fields => break false,
                Some(c @ (')' | ']' | '}')) => {
                    self.wrong_closer(open_at, close, c);
                    break false;
                }
                Some(_) => self.one_part(close, end, &mut part),
            }
        };
        self.open.pop();
        closed
    }

    /// Passes closing brackets that are one too many.
    pub(super) fn skip_extra(&mut self) {
        while self.repairs.skipped.contains(&self.cursor.at) {
            let shown = self.shown(self.cursor.at);
            self.report(
                Fault::new(self.here(), format!("this {shown} is one too many"))
                    .hint("take it out"),
            );
            self.cursor.next();
            self.blanks();
        }
    }

    /// Tells that the bracket at `open` lacks its end, which belongs here.
    pub(super) fn report_missing(&mut self, open: usize, close: char) {
        let at = self.cursor.at;
        let fault = Fault::new(at..at, format!("'{close}' is missing here"))
            .hint(format!("it closes {}", self.opened(open)));
        self.report(fault);
    }

    /// A bracket with the word before it and its place, for a message.
    pub(super) fn opened(&self, open: usize) -> String {
        let text = self.cursor.text;
        let before = text[..open].trim_end_matches(|c: char| c.is_ascii_alphanumeric() || c == '_');
        let (line, column) = Place::new(self.source, open..open).line_column();
        format!("the '{}' of line {line}, column {column}", &text[before.len()..=open])
    }

    /// The text ends while the bracket at `open` is open.
    pub(super) fn ends_too_early(&mut self, open: usize) {
        // Reading was broken off further in, and what is to be said has been said.
        if self.stopped {
            return;
        }
        let lacking = lacks_its_end(self.cursor.text, self.repairs);
        if let Some((open, end)) = lacking
            && self.mend(Repair::End { open, end })
        {
            return;
        }
        if lacking.is_none() && self.open.len() == 1 && self.mend_here() {
            return;
        }
        let lacking = lacking.map_or(open, |(lacking, _)| lacking);
        self.report_brackets(lacking.min(open), self.never_closed(lacking));
        self.stopped = true;
    }

    /// `closer` stands where `close` should close the bracket at `open`.
    pub(super) fn wrong_closer(&mut self, open: usize, close: char, closer: char) {
        let at = self.cursor.at;
        let lacking = lacks_its_end(self.cursor.text, self.repairs).filter(|(open, _)| *open < at);
        if let Some(balance) = self.balance() {
            let mended = if balance.lacks(close) && balance.exceeds(closer) {
                let right = self.closer_by_its_inside(open, closer).unwrap_or(close);
                let opening = opener_of(right);
                self.mend(Repair::Pair { open: (open, opening), close: (at, right) })
            } else if balance.lacks(close) {
                match lacking {
                    Some((open, end)) => self.mend(Repair::End { open, end }),
                    None => self.mend_here(),
                }
            } else if balance.exceeds(closer) {
                self.mend(Repair::Skip(at))
            } else {
                false
            };
            if mended {
                return;
            }
        }
        let outer = self.open[..self.open.len() - 1].iter().any(|outer| outer.close == closer);
        // The one that lacks its end may have taken another's.
        match lacking {
            Some((lacking, _)) => {
                self.report_brackets(lacking.min(open), self.never_closed(lacking));
            }
            None => {
                let message =
                    format!("'{closer}' stands where '{close}' should close {}", self.opened(open));
                self.report_brackets(open, Fault::new(at..at + 1, message));
            }
        }
        // If nothing further out wants it, it was most likely meant to be this one's.
        if !outer {
            self.cursor.next();
        }
    }

    /// That the bracket at `open` lacks its end.
    pub(super) fn never_closed(&self, open: usize) -> Fault {
        let opening = &self.cursor.text[open..=open];
        let close = opening.chars().next().and_then(closer_of).unwrap_or(')');
        Fault::new(open..open + 1, format!("this '{opening}' is never closed"))
            .hint(format!("close it with '{close}'"))
    }

    /// One part and the comma after it, unless the bracket lacks its end, which belongs at `end`; always moves on.
    pub(super) fn one_part(
        &mut self,
        close: char,
        end: Option<usize>,
        part: &mut impl FnMut(&mut Self),
    ) {
        let before = self.cursor.at;
        let mistakes = self.found.0.len();
        part(self);
        let after = self.cursor.at;
        if let Some(open) = self.open.last_mut()
            && after > before
        {
            open.last = Some(after);
        }
        if end.is_some_and(|end| after >= end) {
            return;
        }
        self.blanks();
        self.skip_extra();
        let clean = self.found.0.len() == mistakes;
        match self.peek() {
            None => {}
            Some(',') => {
                self.cursor.next();
            }
            Some(wrong @ (';' | '.' | 'x' | '×')) if after > before && self.stands_alone() => {
                self.report(Fault::new(self.here(), format!("'{wrong}' should be ','")));
                self.cursor.next();
                self.cursor.take(',');
            }
            Some(c) if c == close || matches!(c, ')' | ']' | '}') => {}
            Some(_) => {
                if clean {
                    let shown = self.shown(self.cursor.at);
                    let message = format!("a comma is missing before {shown}");
                    self.report(Fault::new(after..after, message));
                } else if after == before || self.peek() == Some(':') {
                    self.skip_to_delimiter();
                    self.cursor.take(',');
                }
                if self.cursor.at == before {
                    self.cursor.next();
                }
            }
        }
    }
}
