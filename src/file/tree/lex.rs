//! The small change of a shop file: blanks, comments, text, characters, words, numbers.

use std::ops::Range;

/// A cursor on a text.
pub(super) struct Cursor<'s> {
    pub(super) text: &'s str,
    pub(super) at: usize,
    /// Whether a text was never closed so far.
    pub(super) unclosed: bool,
}

/// Why a piece of text could not be read, and where.
pub(super) struct Fault {
    pub(super) message: String,
    pub(super) hint: Option<String>,
    pub(super) span: Range<usize>,
}

impl Fault {
    pub(super) fn new(span: Range<usize>, message: impl Into<String>) -> Self {
        Self { message: message.into(), hint: None, span }
    }

    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// Blanks as the RON grammar has them.
pub(super) const fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t'
            | '\n'
            | '\r'
            | '\x0B'
            | '\x0C'
            | '\u{85}'
            | '\u{200E}'
            | '\u{200F}'
            | '\u{2028}'
            | '\u{2029}'
    )
}

/// What may begin a word. Words of a shop file are fields and variants: plain letters.
pub(super) const fn starts_word(c: char) -> bool {
    c == '_' || c.is_ascii_alphabetic()
}

const fn goes_on_word(c: char) -> bool {
    c == '_' || c.is_ascii_alphanumeric()
}

impl<'s> Cursor<'s> {
    pub(super) const fn new(text: &'s str, at: usize) -> Self {
        Self { text, at, unclosed: false }
    }

    pub(super) fn rest(&self) -> &'s str {
        self.text.get(self.at..).unwrap_or("")
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub(super) fn next(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += c.len_utf8();
        Some(c)
    }

    pub(super) fn take(&mut self, c: char) -> bool {
        let there = self.peek() == Some(c);
        if there {
            self.at += c.len_utf8();
        }
        there
    }

    pub(super) fn take_while(&mut self, keep: impl Fn(char) -> bool) -> &'s str {
        let rest = self.rest();
        let length = rest.find(|c| !keep(c)).unwrap_or(rest.len());
        self.at += length;
        &rest[..length]
    }

    /// Passes blanks and comments; a block comment without an end is a fault.
    pub(super) fn skip_blanks(&mut self) -> Result<(), Fault> {
        loop {
            self.take_while(is_blank);
            if self.rest().starts_with("//") {
                self.take_while(|c| c != '\n');
            } else if self.rest().starts_with("/*") {
                self.skip_block_comment()?;
            } else {
                return Ok(());
            }
        }
    }

    fn skip_block_comment(&mut self) -> Result<(), Fault> {
        let start = self.at;
        let mut depth = 0_usize;
        loop {
            if self.rest().starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if self.rest().starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return Ok(());
                }
            } else if self.next().is_none() {
                return Err(Fault::new(start..start + 2, "this comment is never closed")
                    .hint("close it with */"));
            }
        }
    }

    pub(super) fn word(&mut self) -> Option<&'s str> {
        self.peek().filter(|c| starts_word(*c))?;
        Some(self.take_while(goes_on_word))
    }

    /// Text in double quotes, standing at its opening quote.
    ///
    /// A closing quote that was forgotten swallows the file up to the next text: a line's end, or what stands
    /// before a text. It is told by what follows, which is that text and no comma, colon or bracket. Then the text
    /// is taken to end with its line, or before the first comma or colon of what it swallowed.
    pub(super) fn quoted(&mut self) -> Result<String, Fault> {
        let start = self.at;
        self.at += 1;
        let mut out = String::new();
        let mut fault = None;
        loop {
            match self.next() {
                None => return Err(self.unclosed(start)),
                Some('"') => break,
                Some('\\') => match self.escape() {
                    Ok(Some(c)) => out.push(c),
                    Ok(None) => {}
                    Err(bad) => fault = fault.or(Some(bad)),
                },
                Some(c) => out.push(c),
            }
        }
        // An inch mark within the quotes: a text that ends in a figure is followed straight by another quote.
        if out.ends_with(|c: char| c.is_ascii_digit()) && self.peek() == Some('"') {
            self.next();
            return Err(Fault::new(start..self.at, "an inch mark ends the text in quotes")
                .hint("write in, as in \"25 1/4 in\", or \\\" for the mark"));
        }
        let swallowed = self.text[start..self.at].contains('\n')
            || out.trim_end().ends_with([',', ':', '(', '[', '{']);
        if swallowed && !self.at_end_of_value() {
            return Err(self.unclosed(start));
        }
        fault.map_or(Ok(out), Err)
    }

    /// Whether what comes next, after blanks, can follow a value or a key.
    fn at_end_of_value(&self) -> bool {
        let next = self.rest().trim_start_matches(is_blank);
        next.is_empty() || next.starts_with([',', ':', ')', ']', '}', '/'])
    }

    fn unclosed(&mut self, start: usize) -> Fault {
        let rest = &self.text[start + 1..];
        let line = rest.find('\n').unwrap_or(rest.len());
        let length = match rest[..line].find('"') {
            // On the same line another text begins.
            Some(next) => {
                let before = rest[..next].find([',', ':']).unwrap_or(next);
                without_closers(&rest[..before]).len()
            }
            None => without_closers(&rest[..line]).len(),
        };
        self.at = start + 1 + length;
        self.unclosed = true;
        Fault::new(start..self.at, "this text is never closed").hint("put a \" at its end")
    }

    /// Raw text, `r"…"` or `r#"…"#`, standing at the `r`; `None` if it is none.
    pub(super) fn raw(&mut self) -> Option<Result<String, Fault>> {
        let start = self.at;
        let after = self.rest().strip_prefix('r')?;
        let hashes = after.len() - after.trim_start_matches('#').len();
        let body = after[hashes..].strip_prefix('"')?;
        let close = format!("\"{}", &after[..hashes]);
        let body_at = self.text.len() - body.len();
        Some(match body.find(&close) {
            Some(length) => {
                self.at = body_at + length + close.len();
                Ok(body[..length].to_owned())
            }
            None => {
                let _ = self.unclosed(start);
                Err(Fault::new(start..body_at, "this raw text is never closed")
                    .hint(format!("put {close} at its end")))
            }
        })
    }

    /// What an escape stands for, after its backslash; `None` for a line that goes on.
    fn escape(&mut self) -> Result<Option<char>, Fault> {
        let start = self.at - 1;
        let Some(c) = self.next() else {
            return Err(Fault::new(start..self.at, "the text ends inside an escape"));
        };
        let plain = match c {
            '\'' | '"' | '\\' => c,
            'n' => '\n',
            'r' => '\r',
            't' => '\t',
            '0' => '\0',
            '\n' | '\r' => {
                self.take_while(|c| matches!(c, ' ' | '\t' | '\n' | '\r'));
                return Ok(None);
            }
            'u' => return self.unicode_escape(start).map(Some),
            _ => {
                return Err(Fault::new(start..self.at, format!("'\\{c}' is no escape"))
                    .hint("for a backslash itself write \\\\"));
            }
        };
        Ok(Some(plain))
    }

    fn unicode_escape(&mut self, start: usize) -> Result<char, Fault> {
        let digits = if self.take('{') {
            let digits = self.take_while(|c| c.is_ascii_hexdigit());
            self.take('}').then_some(digits)
        } else {
            None
        };
        digits
            .filter(|digits| (1..=6).contains(&digits.len()))
            .and_then(|digits| u32::from_str_radix(digits, 16).ok())
            .and_then(char::from_u32)
            .ok_or_else(|| {
                Fault::new(start..self.at, "this is no character")
                    .hint("an escape is written \\u{e9}")
            })
    }

    /// One character in single quotes, standing at the opening quote.
    pub(super) fn character(&mut self) -> Result<char, Fault> {
        let start = self.at;
        self.at += 1;
        let held = match self.next() {
            Some('\\') => self.escape().ok().flatten(),
            Some(c) if c != '\'' => Some(c),
            _ => None,
        };
        if let Some(c) = held
            && self.take('\'')
        {
            return Ok(c);
        }
        self.at = start + 1;
        Err(self.wrong_quotes(start, &['\'']))
    }

    /// A text in quotes that are not `"`: passes it up to one of `close`, or the end of its line.
    pub(super) fn wrong_quotes(&mut self, start: usize, close: &[char]) -> Fault {
        let body = self.rest();
        let line = body.split(['\n', '\r']).next().unwrap_or(body);
        let (inner, passed) = match line.find(close) {
            Some(length) => {
                let closing = line[length..].chars().next().map_or(0, char::len_utf8);
                (&line[..length], length + closing)
            }
            None => {
                let length = line.find([',', ')', ']', '}']).unwrap_or(line.len());
                (line[..length].trim_end(), length)
            }
        };
        self.at += passed;
        Fault::new(start..self.at, "text must stand in plain double quotes")
            .hint(format!("write \"{inner}\""))
    }

    /// A number, standing at its sign, digit or point: its digits without `_`.
    pub(super) fn number(&mut self) -> Result<String, Fault> {
        let start = self.at;
        let mut last = '0';
        while let Some(c) = self.peek() {
            let sign = matches!(c, '+' | '-') && (self.at == start || matches!(last, 'e' | 'E'));
            if !(sign || c.is_ascii_alphanumeric() || matches!(c, '_' | '.')) {
                break;
            }
            last = c;
            self.at += 1;
        }
        let written = &self.text[start..self.at];
        if is_plain_number(written) {
            let digits: String = written.chars().filter(|c| *c != '_').collect();
            // The number may be too large for any number that we could use.
            return match digits.parse::<f64>() {
                Ok(value) if value.is_finite() => Ok(digits),
                _ => Err(Fault::new(start..self.at, format!("{written} is too large a number"))),
            };
        }
        Err(number_fault(start..self.at, written))
    }
}

/// The rest of a line without the commas at its end and the brackets there that nothing in it opens.
fn without_closers(line: &str) -> &str {
    let mut kept = line.trim_end();
    loop {
        let count = |c: char| kept.matches(c).count();
        let closes = match kept.chars().next_back() {
            Some(',') => true,
            Some(')') => count(')') > count('('),
            Some(']') => count(']') > count('['),
            Some('}') => count('}') > count('{'),
            _ => false,
        };
        if !closes {
            return kept;
        }
        kept = kept[..kept.len() - 1].trim_end();
    }
}

/// `[+-] digits [. digits] [e [+-] digits]`, with a digit on at least one side of the point, and `_`
/// between digits.
fn is_plain_number(written: &str) -> bool {
    let unsigned = written.strip_prefix(['+', '-']).unwrap_or(written);
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let (whole, part) = match mantissa.split_once('.') {
        Some((whole, part)) => (whole, Some(part)),
        None => (mantissa, None),
    };
    let digits = |text: &str| {
        text.starts_with(|c: char| c.is_ascii_digit())
            && text.ends_with(|c: char| c.is_ascii_digit())
            && text.chars().all(|c| c.is_ascii_digit() || c == '_')
    };
    let mantissa_good = match part {
        None => digits(whole),
        Some("") => digits(whole),
        Some(part) => digits(part) && (whole.is_empty() || digits(whole)),
    };
    let exponent_good = exponent
        .is_none_or(|exponent| digits(exponent.strip_prefix(['+', '-']).unwrap_or(exponent)));
    mantissa_good && exponent_good
}

fn number_fault(span: Range<usize>, written: &str) -> Fault {
    let bare = written.trim_start_matches(['+', '-']);
    if bare.eq_ignore_ascii_case("inf") || bare.eq_ignore_ascii_case("nan") {
        Fault::new(span, format!("{written} is no amount")).hint("write a finite number")
    } else if bare.starts_with("0x") || bare.starts_with("0b") || bare.starts_with("0o") {
        Fault::new(span, format!("{written} is not written in decimal digits"))
    } else {
        if is_amount(written) {
            Fault::new(span, format!("an amount with its unit must stand in quotes: {written}"))
                .hint(format!("write \"{written}\""))
        } else {
            Fault::new(span, format!("{written} is no number"))
        }
    }
}

/// Whether it is a figure with letters straight after it, as `3mm`.
pub(super) fn is_amount(written: &str) -> bool {
    let bare = written.trim_start_matches(['+', '-']);
    let other_digits = bare.starts_with("0x") || bare.starts_with("0b") || bare.starts_with("0o");
    if other_digits || is_plain_number(written) {
        return false;
    }
    let split = bare.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(bare.len());
    let unit = &bare[split..];
    split > 0 && !unit.is_empty() && unit.chars().all(|c| c.is_ascii_alphanumeric())
}

/// The comma that follows `at` after blanks and comments.
pub(in crate::file) fn comma_after(text: &str, at: usize) -> Option<usize> {
    let mut cursor = Cursor::new(text, at);
    cursor.skip_blanks().ok()?;
    (cursor.peek() == Some(',')).then_some(cursor.at)
}
