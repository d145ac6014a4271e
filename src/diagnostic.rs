//! What is wrong, where, and what would be right: the one shape in which a mistake travels.
//!
//! A [`Diagnostic`] is made where the mistake is seen and shown at the edge (terminal, page,
//! JSON). It never holds terminal codes. Several travel together in [`Diagnostics`], because a
//! person mends a file once, not once a mistake.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// How much a diagnostic weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing stops.
    Note,
    /// Should be looked at before pouring; nothing stops.
    Caution,
    /// A check refuses to go on: a ceiling, a safety rule. Exit code 1.
    Refused,
    /// The input cannot be understood or carried out. Exit code 2.
    Error,
}

impl Severity {
    /// The word that stands before the message.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Refused => "refused",
            Self::Error => "error",
        }
    }
}

/// A text that a person wrote, with the name under which they know it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The file's name as the person would type it.
    pub name: String,
    /// Its whole text.
    pub text: String,
}

/// A stretch of a [`Source`], as bytes of its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The text it lies in.
    pub source: Arc<Source>,
    /// Bytes of the text, on character boundaries.
    pub span: Range<usize>,
}

impl Place {
    /// The place of `span` in `source`, pushed back inside the text and onto character boundaries.
    #[must_use]
    pub fn new(source: &Arc<Source>, span: Range<usize>) -> Self {
        let text = &source.text;
        let start = floor_boundary(text, span.start.min(text.len()));
        let end = ceil_boundary(text, span.end.clamp(start, text.len()));
        Self { source: Arc::clone(source), span: start..end }
    }

    /// Line and column of the start, both from 1; columns count characters.
    #[must_use]
    pub fn line_column(&self) -> (usize, usize) {
        let before = &self.source.text[..self.span.start];
        let line = before.matches('\n').count() + 1;
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (line, before[line_start..].chars().count() + 1)
    }

    /// The text of the place itself.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.source.text[self.span.clone()]
    }
}

impl fmt::Display for Place {
    /// `file:line:column`, as editors and terminals understand it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, column) = self.line_column();
        write!(f, "{}:{line}:{column}", self.source.name)
    }
}

fn floor_boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn ceil_boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at += 1;
    }
    at
}

/// One thing to tell a person: what is wrong, where, what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How much it weighs.
    pub severity: Severity,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// Where, if it has a place in a text.
    pub place: Option<Place>,
    /// What would be right: each a short sentence.
    pub hints: Vec<String>,
}

impl Diagnostic {
    /// An input that cannot be understood or carried out.
    #[must_use]
    pub fn error(message: impl Into<String>) -> Self {
        Self::of(Severity::Error, message)
    }

    /// A check that refuses to go on.
    #[must_use]
    pub fn refused(message: impl Into<String>) -> Self {
        Self::of(Severity::Refused, message)
    }

    /// Something to look at before pouring.
    #[must_use]
    pub fn caution(message: impl Into<String>) -> Self {
        Self::of(Severity::Caution, message)
    }

    /// Something worth knowing.
    #[must_use]
    pub fn note(message: impl Into<String>) -> Self {
        Self::of(Severity::Note, message)
    }

    /// A diagnostic of any severity.
    #[must_use]
    pub fn of(severity: Severity, message: impl Into<String>) -> Self {
        Self { severity, message: message.into(), place: None, hints: Vec::new() }
    }

    /// The same at a place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// The same with one more hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
}

impl fmt::Display for Diagnostic {
    /// One line: `file:line:column: error: message (hint; hint)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.place {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}: {}", self.severity.word(), self.message)?;
        if !self.hints.is_empty() {
            write!(f, " ({})", self.hints.join("; "))?;
        }
        Ok(())
    }
}

/// All that was found wrong in one run: never empty when it is an error.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Diagnostics(pub Vec<Diagnostic>);

impl Diagnostics {
    /// One more.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.0.push(diagnostic);
    }

    /// All of another's.
    pub fn extend(&mut self, others: Self) {
        self.0.extend(others.0);
    }

    /// The heaviest severity, if there is any diagnostic.
    #[must_use]
    pub fn worst(&self) -> Option<Severity> {
        self.0.iter().map(|each| each.severity).max()
    }

    /// Whether any of them stops the work.
    #[must_use]
    pub fn stop(&self) -> bool {
        self.worst().is_some_and(|worst| worst >= Severity::Refused)
    }

    /// `Err` with everything if any of them stops the work, else the cautions and notes.
    ///
    /// # Errors
    /// All of them, when one is a refusal or an error.
    pub fn into_result(self) -> Result<Self, Self> {
        if self.stop() { Err(self) } else { Ok(self) }
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(one: Diagnostic) -> Self {
        Self(vec![one])
    }
}

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, each) in self.0.iter().enumerate() {
            if at > 0 {
                writeln!(f)?;
            }
            write!(f, "{each}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostics {}

#[cfg(test)]
mod tests {
    use super::*;

    fn source() -> Arc<Source> {
        Arc::new(Source { name: "a.ron".into(), text: "été: 1\nfilm: 3".into() })
    }

    #[test]
    fn columns_count_characters() {
        let source = source();
        let at = source.text.find('1').unwrap();
        assert_eq!(Place::new(&source, at..at + 1).to_string(), "a.ron:1:6");
        let at = source.text.find("film").unwrap();
        assert_eq!(Place::new(&source, at..at + 4).to_string(), "a.ron:2:1");
    }

    #[test]
    fn a_place_is_pushed_onto_character_boundaries_and_inside_the_text() {
        let source = source();
        assert_eq!(Place::new(&source, 1..1).text(), "é", "a span inside a character covers it");
        assert_eq!(Place::new(&source, 500..900).text(), "");
    }

    #[test]
    fn the_worst_severity_decides() {
        let mut all = Diagnostics::from(Diagnostic::note("a"));
        assert!(!all.stop());
        all.push(Diagnostic::refused("b"));
        assert!(all.stop());
        assert_eq!(all.worst(), Some(Severity::Refused));
    }
}
