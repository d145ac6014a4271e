//! What a word or text was most likely meant for.

use crate::suggest::nearest;

/// The field of `names` that was meant by `name`: the same but for blanks, hyphens and capitals, else the nearest.
pub(super) fn meant<'n>(name: &str, names: &[&'n str]) -> Option<&'n str> {
    let bare = |text: &str| text.replace(['_', ' ', '-'], "").to_ascii_lowercase();
    let same = names.iter().find(|each| bare(each) == bare(name)).copied();
    // Else the only one that stands in it whole, as film in film_thickness.
    let within = || {
        let mut within = names.iter().filter(|each| name.split('_').any(|word| word == **each));
        within.next().filter(|_| within.next().is_none()).copied()
    };
    same.or_else(|| nearest(name, names.iter().copied())).or_else(within)
}

/// The first of several words.
pub(super) fn first_word(text: &str) -> Option<&str> {
    text.split_once(' ').map(|(word, _)| word)
}

/// The one of `names` that `text` is but for capitals.
pub(super) fn cased<'n>(text: &str, names: &[&'n str]) -> Option<&'n str> {
    names.iter().find(|name| name.eq_ignore_ascii_case(text.trim())).copied()
}

/// The amounts of which a text holds `N`, as `5 ft x 3 ft` two. One without a unit has that of the last.
pub(super) fn in_parts<const N: usize>(text: &str) -> Option<[String; N]> {
    if N < 2 {
        return None;
    }
    let lower = text.replace(['×', 'X'], "x").replace(['–', '—'], "-");
    for between in [" x ", "x", ",", " to ", " by ", " - ", ";", "/", "-"] {
        let parts: Vec<&str> = lower.split(between).map(str::trim).collect();
        let figures = parts.iter().all(|part| part.starts_with(|c: char| c.is_ascii_digit()));
        let Ok(parts) = <[&str; N]>::try_from(parts) else { continue };
        if !figures {
            continue;
        }
        let last = parts[N - 1];
        let unit = last.find(|c: char| c.is_alphabetic() || matches!(c, '%' | '°'));
        let unit = &last[unit?..];
        return Some(parts.map(|part| {
            if part.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '°')) {
                part.to_owned()
            } else {
                format!("{part} {unit}")
            }
        }));
    }
    None
}

/// The whole or decimal number that a text begins with or spells.
pub(super) fn number_in(text: &str) -> Option<String> {
    const SPELT: [&str; 11] =
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let text = text.trim();
    if let Some(spelt) = SPELT.iter().position(|word| text.eq_ignore_ascii_case(word)) {
        return Some(spelt.to_string());
    }
    let figures =
        text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.').len();
    let (number, rest) = text.split_at(figures);
    let apart =
        !rest.starts_with(['/', ',', ':', '-']) && !rest.contains(|c: char| c.is_ascii_digit());
    (apart && number.parse::<f64>().is_ok()).then(|| number.to_owned())
}

/// So many fields can be shown in one line.
pub(super) const FEW: usize = 5;

/// `a base`, `an accent`.
pub(super) fn article(noun: &str) -> &'static str {
    if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// The number of a percentage: `55` of `55 %`.
pub(super) fn percent_of(text: &str) -> Option<&str> {
    let number = text.trim().strip_suffix('%')?.trim_end();
    number.parse::<f64>().ok().map(|_| number)
}

/// At most 40 characters of a text.
pub(super) fn short(text: &str) -> String {
    if text.chars().count() <= 40 {
        text.to_owned()
    } else {
        text.chars().take(39).chain(['…']).collect()
    }
}
