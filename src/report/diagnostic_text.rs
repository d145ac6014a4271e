//! Diagnostics for a terminal: the line of the file with the mistake underlined, and what would be right.

use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::line_breaks::{held_together, released};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Severity};

/// Widest line, in characters.
const WIDTH: usize = 100;

/// As many characters of a line are shown before the mistake, and as many after: a long line would
/// push the mistake itself off the terminal.
const AROUND: usize = 60;

/// All of `diagnostics` as text, with a last line that counts them; empty for none. `colour` adds
/// terminal colours. On a terminal (`broken`) long sentences are broken between words; elsewhere, as in a log, each
/// stays in one line.
#[must_use]
pub fn diagnostic_text(diagnostics: &Diagnostics, colour: bool, broken: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(WIDTH);
    let mut out = String::new();
    for each in &diagnostics.0 {
        out.push_str(&one(each, &renderer, broken));
        out.push_str("\n\n");
    }
    if !diagnostics.0.is_empty() {
        out.push_str(&counted(diagnostics));
        out.push('\n');
    }
    out
}

fn one(diagnostic: &Diagnostic, renderer: &Renderer, broken: bool) -> String {
    let level = match diagnostic.severity {
        Severity::Note => Level::NOTE,
        Severity::Caution => Level::WARNING,
        Severity::Refused | Severity::Error => Level::ERROR,
    };
    let level = level.with_name(diagnostic.severity.word());
    let said = |words: &str| {
        let words = printable(words);
        if broken { broken_between_words(&words) } else { words }
    };
    let title = level.primary_title(said(&diagnostic.message));
    let hints =
        || diagnostic.hints.iter().map(|hint| Level::HELP.with_name("hint").message(said(hint)));
    match &diagnostic.place {
        None => renderer.render(&[Group::with_title(title).elements(hints())]),
        Some(place) => {
            let (line, column) = place.line_column();
            let name = printable(&place.source.name);
            let (shown, span, cut) = excerpt(place);
            let snippet = Snippet::source(shown.clone())
                .line_start(line)
                .annotation(AnnotationKind::Primary.span(span));
            let group = Group::with_title(title);
            let origin = Origin::path(name.clone()).line(line).char_column(column);
            let group = if shown.trim().is_empty() {
                group.element(origin)
            } else if cut {
                // The snippet alone would count its columns from the cut.
                group.element(origin).element(snippet)
            } else {
                group.element(snippet.path(name))
            };
            renderer.render(&[group.elements(hints())])
        }
    }
}

/// The part of the place's first line that is shown, where the place lies in it, in bytes, and whether
/// its front is cut off.
fn excerpt(place: &Place) -> (String, Range<usize>, bool) {
    let text = &place.source.text;
    let line_start = text[..place.span.start].rfind('\n').map_or(0, |at| at + 1);
    let line_end =
        text[place.span.start..].find('\n').map_or(text.len(), |at| place.span.start + at);
    let line_end =
        line_end - usize::from(text[..line_end].ends_with('\r') && line_end > place.span.start);
    let marked = &text[place.span.start..place.span.end.clamp(place.span.start, line_end)];
    let before = &text[line_start..place.span.start];
    let after = &text[place.span.start + marked.len()..line_end];
    let mut shown = String::new();
    let cut_front = before.char_indices().rev().nth(AROUND - 1).map_or(0, |(at, _)| at);
    if cut_front > 0 {
        shown.push('…');
    }
    shown.push_str(&visible(&before[cut_front..]));
    let start = shown.len();
    let (marked, marked_cut) = first(marked, AROUND);
    shown.push_str(&visible(marked));
    let end = shown.len();
    let (after, after_cut) = if marked_cut { ("", true) } else { first(after, AROUND) };
    shown.push_str(&visible(after));
    if marked_cut || after_cut {
        shown.push('…');
    }
    (shown, start..end, cut_front > 0)
}

/// The first `count` characters, and whether that is less than all.
fn first(text: &str, count: usize) -> (&str, bool) {
    match text.char_indices().nth(count) {
        Some((at, _)) => (&text[..at], true),
        None => (text, false),
    }
}

/// A line of a file with its tabs as single blanks and nothing that could move a terminal's cursor.
fn visible(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c == '\t' {
                ' '
            } else if is_unsafe(c) {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}

/// What stands before a sentence, and before its later lines: at most `12345 = hint: `.
const MARK: usize = 14;

/// A sentence in lines that fit behind their mark.
fn broken_between_words(words: &str) -> String {
    let held = held_together(words);
    let lines = textwrap::wrap(&held, WIDTH - MARK).into_iter();
    lines.map(|line| released(line.trim_end())).collect::<Vec<_>>().join("\n")
}

/// A message with nothing that could move a terminal's cursor.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_whitespace() {
                ' '
            } else if is_unsafe(c) {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}

/// Control characters, and marks that turn the direction of writing.
fn is_unsafe(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// `2 errors, 1 caution`.
fn counted(diagnostics: &Diagnostics) -> String {
    let count = |severity| diagnostics.0.iter().filter(|each| each.severity == severity).count();
    [
        (count(Severity::Error), "error", "errors"),
        (count(Severity::Refused), "refusal", "refusals"),
        (count(Severity::Caution), "caution", "cautions"),
        (count(Severity::Note), "note", "notes"),
    ]
    .iter()
    .filter(|(count, ..)| *count > 0)
    .map(|(count, one, many)| format!("{count} {}", if *count == 1 { one } else { many }))
    .collect::<Vec<_>>()
    .join(", ")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::diagnostic::Source;

    fn place(text: &str, part: &str) -> Place {
        let at = text.find(part).unwrap();
        Place::new(
            &Arc::new(Source { name: "recipes/ebb.ron".into(), text: text.into() }),
            at..at + part.len(),
        )
    }

    fn several() -> Diagnostics {
        let text = "(\n    name: \"café\", filn: \"3 mm\",\n\tshare: 0.5,\r\n)\n";
        let long = format!("[{}WRONG{}]", "é, ".repeat(500), ", 1".repeat(500));
        let mut all = Diagnostics::default();
        all.push(
            Diagnostic::error("a colourway has no 'filn'")
                .at(place(text, "filn"))
                .hint("did you mean \"film\"?"),
        );
        all.push(
            Diagnostic::caution("two lines").at(place(text, "0.5,\r\n)")).hint("one").hint("two"),
        );
        all.push(Diagnostic::refused("too much carbon black: 2.4 %\u{1b}[31m").hint("at most 2 %"));
        all.push(Diagnostic::error("far out").at(place(&long, "WRONG")));
        all.push(Diagnostic::note("at the end").at(place("(", "")));
        all
    }

    #[test]
    fn mistakes_are_underlined_and_counted() {
        insta::assert_snapshot!(diagnostic_text(&several(), false, false));
    }

    #[test]
    fn colours_come_only_when_asked_and_change_no_word() {
        let plain = diagnostic_text(&several(), false, false);
        let coloured = diagnostic_text(&several(), true, false);
        assert!(!plain.contains('\u{1b}'), "no terminal codes in plain text");
        assert!(coloured.contains("\u{1b}["), "colours are there when asked");
        assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
    }

    /// On a terminal no sentence runs past the edge, no figure parts from its unit, and no word is changed.
    #[test]
    fn sentences_are_broken_between_words_on_a_terminal() {
        let long = "the mix would hold 12.5 fl oz more than its vessel, which takes 2 qt 8 fl oz; "
            .repeat(4);
        let mut all = several();
        all.push(Diagnostic::error(&long).at(place("(\n)", ")")).hint(&long).hint("short"));
        all.push(Diagnostic::refused(&long).hint(&long));
        let broken = diagnostic_text(&all, false, true);
        insta::assert_snapshot!(broken);
        let one_line = diagnostic_text(&all, false, false);
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let bars = |word: &String| word.chars().all(|c| c == '|' || c == '^');
        let told =
            |text: &str| words(text).into_iter().filter(|word| !bars(word)).collect::<Vec<_>>();
        assert_eq!(told(&broken), told(&one_line));
        assert!(
            broken
                .lines()
                .filter(|line| !line.contains('…'))
                .all(|line| line.chars().count() <= WIDTH)
        );
    }

    #[test]
    fn none_gives_nothing() {
        assert_eq!(diagnostic_text(&Diagnostics::default(), true, false), "");
    }
}
