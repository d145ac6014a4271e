//! What the brackets of a whole text tell when they do not fit: which lacks its end, which is one too many, which is of
//! the wrong kind.
//!
//! - [`Repairs`]: what has been found so far, by which the text is read as it was meant.
//! - [`lacks_its_end`]: which bracket lacks its end, by how the lines are set in.
//! - [`Balance`]: how many of each kind are opened and never closed.

use std::collections::{BTreeMap, BTreeSet};

use super::lex::Cursor;

/// So many brackets of one text are mended; one with more is hardly a shop file.
const MOST: usize = 12;

/// So many bytes of one text are read anew in all, so that a large one is not read as often as a small one: a file of
/// up to 80 kB, some two thousand lines, as often as it takes.
const MOST_READ_ANEW: usize = 1 << 20;

/// How many brackets are mended of a text of so many bytes: the text is read anew for each.
pub(super) fn most_mended(bytes: usize) -> usize {
    MOST_READ_ANEW.checked_div(bytes).map_or(MOST, |affordable| affordable.min(MOST))
}

/// How a text with brackets that do not fit is read as it was meant.
///
/// Each is told where it is met while reading, so that it stands in the order of the file.
#[derive(Debug, Default)]
pub(super) struct Repairs {
    /// Where the end of a bracket belongs that lacks it, by the place of the bracket.
    pub(super) ends: BTreeMap<usize, usize>,
    /// What a bracket of the wrong kind should be, by its place.
    pub(super) read_as: BTreeMap<usize, char>,
    /// Closing brackets that are one too many.
    pub(super) skipped: BTreeSet<usize>,
}

impl Repair {
    /// Where the bracket stands that does not fit.
    pub(super) const fn at(self) -> usize {
        match self {
            Self::End { open: at, .. } | Self::Pair { open: (at, _), .. } | Self::Skip(at) => at,
        }
    }
}

/// One more of [`Repairs`].
#[derive(Debug, Clone, Copy)]
pub(super) enum Repair {
    /// The bracket at `open` lacks its end, which belongs at `end`.
    End { open: usize, end: usize },
    /// A bracket opens and closes by two kinds; both are to be read as these.
    Pair { open: (usize, char), close: (usize, char) },
    /// The closing bracket there is one too many.
    Skip(usize),
}

impl Repairs {
    /// Adds `repair`; false if that was there already or there are more than `most`.
    pub(super) fn add(&mut self, repair: Repair, most: usize) -> bool {
        if self.ends.len() + self.read_as.len() + self.skipped.len() >= most {
            return false;
        }
        match repair {
            Repair::End { open, end } => self.ends.insert(open, end).is_none(),
            Repair::Pair { open, close } => {
                let before = self.read_as.len();
                self.read_as.extend([open, close]);
                self.read_as.len() > before
            }
            Repair::Skip(at) => self.skipped.insert(at),
        }
    }
}

/// The brackets that matter of a text, one by one: none in texts and comments, none that is mended already.
struct Brackets<'s> {
    cursor: Cursor<'s>,
    repairs: &'s Repairs,
    /// Where the last that stood before what was told ended: not a comma.
    end_before: usize,
    /// Whether what was told stands first on its line.
    first: bool,
    /// How far its line is set in.
    set_in: usize,
    /// Whether the text ends in a text or comment that is never closed.
    unclosed: bool,
}

impl<'s> Brackets<'s> {
    const fn new(text: &'s str, repairs: &'s Repairs) -> Self {
        Self {
            cursor: Cursor::new(text, 0),
            repairs,
            end_before: 0,
            first: true,
            set_in: 0,
            unclosed: false,
        }
    }

    /// The next thing that is no comma, by its place and first character. `None` at the end, and where a text or
    /// comment is not closed.
    fn next(&mut self) -> Option<(usize, char)> {
        loop {
            self.end_before = self.cursor.at.max(self.end_before);
            let (at, c) = loop {
                let blank = self.cursor.at;
                self.unclosed |= self.cursor.skip_blanks().is_err();
                let passed = &self.cursor.text[blank..self.cursor.at];
                if let Some(after) = passed.rfind('\n') {
                    self.first = true;
                    self.set_in = passed.len() - after - 1;
                } else if blank > 0 {
                    self.first = false;
                }
                let at = self.cursor.at;
                let c = self.cursor.peek()?;
                if c != ',' {
                    break (at, c);
                }
                self.cursor.next();
            };
            match c {
                '"' => drop(self.cursor.quoted()),
                _ => match self.cursor.raw() {
                    Some(raw) => drop(raw),
                    None if self.cursor.word().is_some() => {}
                    None => drop(self.cursor.next()),
                },
            }
            self.unclosed |= self.cursor.unclosed;
            if self.unclosed {
                return None;
            }
            if self.repairs.skipped.contains(&at) || self.repairs.ends.contains_key(&at) {
                continue;
            }
            return Some((at, self.repairs.read_as.get(&at).copied().unwrap_or(c)));
        }
    }
}

/// The first bracket, by its place, whose inside has ended by the look of the lines and that is not closed, and where
/// its end belongs: before a line that is set in no deeper than the line that it was opened on, and does not begin by
/// closing it. `None` where the lines are set in so that they tell nothing.
pub(super) fn lacks_its_end(text: &str, repairs: &Repairs) -> Option<(usize, usize)> {
    // Where each open bracket stands, with how far its line is set in.
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut brackets = Brackets::new(text, repairs);
    // Whether all on the line so far closes something.
    let mut only_closers = true;
    while let Some((at, c)) = brackets.next() {
        let (first, set_in, end) = (brackets.first, brackets.set_in, brackets.end_before);
        let closes = matches!(c, ')' | ']' | '}');
        if first {
            only_closers = true;
        }
        if first
            && !closes
            && let Some((bracket, line)) = open.last()
            && set_in <= *line
        {
            return Some((*bracket, end));
        }
        match c {
            '(' | '[' | '{' => open.push((at, set_in)),
            ')' | ']' | '}' => {
                let (bracket, line) = open.pop()?;
                if only_closers && set_in < line {
                    return Some((bracket, end));
                }
                // Nothing tells whether this one is too many or another is lacking.
                let opening = repairs.read_as.get(&bracket).copied();
                let opening = opening.or_else(|| text[bracket..].chars().next())?;
                if closer_of(opening) != Some(c) {
                    return None;
                }
            }
            _ => {}
        }
        only_closers &= closes;
    }
    None
}

/// What closes an opening bracket.
pub(super) const fn closer_of(opening: char) -> Option<char> {
    match opening {
        '(' => Some(')'),
        '[' => Some(']'),
        '{' => Some('}'),
        _ => None,
    }
}

/// What opens what `close` closes.
pub(super) const fn opener_of(close: char) -> char {
    match close {
        ']' => '[',
        '}' => '{',
        _ => '(',
    }
}

/// How many brackets of each kind are opened and never closed in a text, or closed and never opened.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Balance {
    round: i32,
    square: i32,
    curly: i32,
}

impl Balance {
    /// That of `text`, but for what is mended. `None` where a text or comment in it is never closed.
    pub(super) fn of(text: &str, repairs: &Repairs) -> Option<Self> {
        let mut balance = Self::default();
        let mut brackets = Brackets::new(text, repairs);
        while let Some((_, c)) = brackets.next() {
            balance.count(c);
        }
        (!brackets.unclosed).then_some(balance)
    }

    /// Counts one bracket.
    pub(super) const fn count(&mut self, bracket: char) {
        match bracket {
            '(' => self.round += 1,
            ')' => self.round -= 1,
            '[' => self.square += 1,
            ']' => self.square -= 1,
            '{' => self.curly += 1,
            '}' => self.curly -= 1,
            _ => {}
        }
    }

    const fn surplus(self, close: char) -> i32 {
        match close {
            ')' => self.round,
            ']' => self.square,
            _ => self.curly,
        }
    }

    /// Whether one that `close` would close is open to the end.
    pub(super) const fn lacks(self, close: char) -> bool {
        self.surplus(close) > 0
    }

    /// Whether `close` stands more often than there is something for it to close.
    pub(super) const fn exceeds(self, close: char) -> bool {
        self.surplus(close) < 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bracket_whose_lines_have_ended_lacks_its_end() {
        fn told(text: &str) -> Option<(&str, &str)> {
            lacks_its_end(text, &Repairs::default())
                .map(|(at, end)| (&text[at - 1..], &text[end..]))
        }
        let one = "(\n  a: (\n    shape: R(1, 2,\n    edges: [(b: 1)],\n  ),\n)";
        let (open, end) = told(one).unwrap();
        assert!(open.starts_with("R(1") && end.starts_with(",\n    edges"), "{:?}", told(one));
        let list = "(\n  a: [\n    (b: 1),\n  c: 2,\n)";
        let (open, end) = told(list).unwrap();
        assert!(open.starts_with(" [") && end.starts_with(",\n  c"), "{:?}", told(list));
        let outer = "(\n  a: (\n    b: (\n      c: 1,\n  ),\n)";
        let (open, end) = told(outer).unwrap();
        assert!(open.starts_with(" (\n      c") && end.starts_with(",\n  )"), "{:?}", told(outer));
        let text = "(\n  a: \"( [\", // (\n  b: (c: [\n    1,\n  ]),\n)\n";
        assert_eq!(told(text), None, "nothing lacks its end");
    }

    #[test]
    fn a_large_text_is_read_anew_less_often() {
        assert_eq!(most_mended(0), MOST);
        assert_eq!(most_mended(80_000), MOST, "a shop file that a hand wrote");
        assert_eq!(most_mended(400_000), 2);
        assert_eq!(
            most_mended(2_000_000),
            0,
            "read once, and its first bracket that does not fit told"
        );
        for bytes in [1, 79, 100_000, 1 << 20, usize::MAX] {
            assert!(most_mended(bytes) * bytes <= MOST * MOST_READ_ANEW, "{bytes}");
        }
    }

    #[test]
    fn brackets_are_counted_outside_texts_and_comments() {
        let balance = |text| Balance::of(text, &Repairs::default());
        let text = "(a: [\"(\", 'x', r#\"[\"#], // (\n";
        let balance_of_text = balance(text).unwrap();
        assert!(balance_of_text.lacks(')') && !balance_of_text.lacks(']'), "{balance_of_text:?}");
        assert!(balance("(a: 1))").unwrap().exceeds(')'));
        assert!(balance("(a: \"b").is_none());
    }
}
