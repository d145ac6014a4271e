//! What is wrong with a written quantity, and what would be right.

use super::units::Dimension;
use crate::diagnostic::Diagnostic;

/// Between message and hint in the one line that serde carries.
const HINT_MARK: &str = "; hint: ";

/// As much of a person's text as is repeated to them.
const QUOTED_CHARACTERS: usize = 40;

/// A written quantity that cannot be taken.
///
/// `Display` gives message and hint in one line, because a deserializer carries nothing but that;
/// [`QuantityError::from_line`] takes them apart again.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{message}{}", .hint.as_ref().map(|hint| format!("{HINT_MARK}{hint}")).unwrap_or_default())]
pub struct QuantityError {
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// What would be right, if it can be said.
    pub hint: Option<String>,
    /// Of what kind the amount is, where another kind was expected.
    found: Option<Dimension>,
}

/// Errors that read alike are alike: a file's text carries nothing further.
impl PartialEq for QuantityError {
    fn eq(&self, other: &Self) -> bool {
        (&self.message, &self.hint) == (&other.message, &other.hint)
    }
}

impl Eq for QuantityError {}

impl QuantityError {
    /// An error without a hint.
    #[must_use]
    pub fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), hint: None, found: None }
    }

    /// The same of an amount that is of another kind than expected.
    #[must_use]
    pub(super) const fn found(mut self, found: Dimension) -> Self {
        self.found = Some(found);
        self
    }

    /// Whether what is wrong is that a volume stands where another kind of amount was expected.
    #[must_use]
    pub fn is_of_a_volume(&self) -> bool {
        self.found == Some(Dimension::Volume)
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The same with a hint, if there is one.
    #[must_use]
    pub(super) fn hint_if(mut self, hint: Option<String>) -> Self {
        if hint.is_some() {
            self.hint = hint;
        }
        self
    }

    /// Takes apart a line made by `Display`: message and hint. Any other line is all message.
    #[must_use]
    pub fn from_line(line: &str) -> Self {
        match line.split_once(HINT_MARK) {
            Some((message, hint)) => Self::new(message).hint(hint),
            None => Self::new(line),
        }
    }
}

impl From<QuantityError> for Diagnostic {
    fn from(error: QuantityError) -> Self {
        let diagnostic = Self::error(error.message);
        match error.hint {
            Some(hint) => diagnostic.hint(hint),
            None => diagnostic,
        }
    }
}

/// A person's text as it is repeated to them, in quotes.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{}\"", harmless(text))
}

/// A person's text with control characters escaped, cut short.
pub(super) fn harmless(text: &str) -> String {
    let mut shown = String::new();
    for (at, character) in text.trim().chars().enumerate() {
        if at == QUOTED_CHARACTERS {
            shown.push('…');
            break;
        }
        // A quotation mark is an inch here: only what would disturb a terminal is escaped.
        if character.is_control() {
            shown.extend(character.escape_default());
        } else {
            shown.push(character);
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_comes_apart_into_message_and_hint() {
        let error = QuantityError::new("250 has no unit").hint("write \"250 mL\"");
        assert_eq!(error.to_string(), "250 has no unit; hint: write \"250 mL\"");
        assert_eq!(QuantityError::from_line(&error.to_string()), error);
        let bare = QuantityError::new("nothing");
        assert_eq!(QuantityError::from_line(&bare.to_string()), bare);
    }

    #[test]
    fn quoting_is_short_and_harmless() {
        assert_eq!(quoted(" 3\u{1b}[31m mm\n"), "\"3\\u{1b}[31m mm\"");
        assert_eq!(quoted(&"x".repeat(1000)).chars().count(), QUOTED_CHARACTERS + 3);
    }

    #[test]
    fn becomes_a_diagnostic_with_its_hint() {
        let diagnostic = Diagnostic::from(QuantityError::new("a").hint("b"));
        assert_eq!(diagnostic.to_string(), "error: a (b)");
    }
}
