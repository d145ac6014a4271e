//! Where a line of text must not be broken: between a figure and its unit, and within an option to be typed.

use crate::quantity::is_unit;

/// Stand for a space and a hyphen at which no line is broken, while text is wrapped.
const HELD_SPACE: char = '\u{f8fe}';
const HELD_HYPHEN: char = '\u{f8ff}';

/// The words with what is read in one piece held on one line: a figure with its unit, `8 fl oz`; an option with
/// its quoted value, `--held "blue paste=8.8 g"`. [`released`] gives the words back.
pub(super) fn held_together(words: &str) -> String {
    // Where a name holds them itself, nothing can be held by them.
    if words.contains([HELD_SPACE, HELD_HYPHEN]) {
        return words.to_owned();
    }
    let mut out = String::with_capacity(words.len());
    let mut rest = words;
    while let Some((from, to)) = option_in(rest) {
        hold_figures(&rest[..from], &mut out);
        out.extend(rest[from..to].chars().map(|c| match c {
            ' ' => HELD_SPACE,
            '-' => HELD_HYPHEN,
            other => other,
        }));
        rest = &rest[to..];
    }
    hold_figures(rest, &mut out);
    out
}

/// A wrapped line as a person reads it.
pub(super) fn released(line: &str) -> String {
    line.replace(HELD_SPACE, " ").replace(HELD_HYPHEN, "-")
}

/// Where the first option with a quoted value begins and ends.
fn option_in(words: &str) -> Option<(usize, usize)> {
    words.match_indices("--").find_map(|(from, _)| {
        let name = words[from + 2..].find(|c: char| c != '-' && !c.is_ascii_lowercase())?;
        let value = words[from + 2 + name..].strip_prefix(" \"")?;
        let length = value.find('"')?;
        (name > 0).then_some((from, from + 2 + name + 2 + length + 1))
    })
}

/// Adds the words, with no space to break at between a figure and its unit.
fn hold_figures(words: &str, out: &mut String) {
    let mut before: Option<&str> = None;
    for word in words.split(' ') {
        if let Some(before) = before {
            out.push(if belong_together(before, word) { HELD_SPACE } else { ' ' });
        }
        out.push_str(word);
        before = Some(word);
    }
}

/// Whether a word is the unit of the figure before it, or the rest of one.
fn belong_together(before: &str, word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';', ':', ')', '?']);
    match before.trim_start_matches('(') {
        "fl" => bare == "oz",
        figure if figure.ends_with(|c: char| c.is_ascii_digit()) => {
            bare == "fl" || bare == "ppm" || bare == "ΔE00" || is_unit(bare)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn held(words: &str) -> Vec<String> {
        held_together(words).split(' ').map(released).collect()
    }

    #[test]
    fn a_figure_keeps_its_unit() {
        assert_eq!(
            held("pour 2 qt 8 fl oz, then 3.5 ΔE00; 12 hours in 6 rows at 72 °F."),
            [
                "pour",
                "2 qt",
                "8 fl oz,",
                "then",
                "3.5 ΔE00;",
                "12 hours",
                "in",
                "6",
                "rows",
                "at",
                "72 °F."
            ]
        );
        assert_eq!(held("411.00 USD (8.3 ft²) 2 grams"), ["411.00 USD", "(8.3 ft²)", "2 grams"]);
    }

    #[test]
    fn an_option_keeps_its_value() {
        assert_eq!(
            held("add --held \"blue paste=8.8 g\" to it"),
            ["add", "--held \"blue paste=8.8 g\"", "to", "it"]
        );
    }

    proptest! {
        #[test]
        fn no_word_is_changed(words in "[ -~°µ²ΔE0-9]{0,60}") {
            prop_assert_eq!(released(&held_together(&words)), words);
        }
    }
}
