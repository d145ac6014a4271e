//! The nearest right word for one that is not known, and the phrases that offer it.
//!
//! - [`nearest`]: the candidate a person most likely meant, or nothing.
//! - [`did_you_mean`]: the same as a hint.
//! - [`listed`]: a few words as an English list.
//!
//! Out of scope: what the words mean. A unit, a colorant's name and a field are all the same here.

/// Longer words than this are not compared: nobody mistypes a paragraph.
const LONGEST_WORD: usize = 64;

/// How many slips of the finger are forgiven in a word of so many characters: one in three, and
/// none in a single letter, where every other letter is equally near.
const fn forgiven(characters: usize) -> usize {
    match characters {
        0 | 1 => 0,
        2..=5 => 1,
        _ => characters / 3,
    }
}

/// How many slips are forgiven in the beginning of a longer name: fewer, since more beginnings than names
/// are near by chance.
const fn forgiven_at_the_beginning(characters: usize) -> usize {
    match characters {
        0..=4 => 0,
        5..=9 => 1,
        _ => 2,
    }
}

/// The candidate nearest to `word`: the same but for case and outer spaces, else the one with the
/// fewest slips (a character too many, missing, wrong, or two swapped: optimal string alignment
/// distance), else the only one that holds every word of it (`titanium white` for
/// `titanium white paste`), else the only one that begins most nearly with its words (`yelow oxide` for
/// `yellow oxide paste`). The first wins a tie of whole names. `None` if nothing is near.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.trim().to_lowercase();
    let length = word.chars().count();
    if length == 0 || length > LONGEST_WORD {
        return None;
    }
    let limit = forgiven(length);
    let mut best: Option<(usize, &'a str)> = None;
    let mut holders: Vec<&'a str> = Vec::new();
    let mut beginnings: Vec<(usize, &'a str)> = Vec::new();
    for candidate in candidates {
        let lower = candidate.trim().to_lowercase();
        let characters = lower.chars().count();
        // The distance is never less than the difference in length: most comparisons end here.
        if characters <= LONGEST_WORD && characters.abs_diff(length) <= limit {
            let distance = strsim::osa_distance(&word, &lower);
            if distance <= limit && best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, candidate));
            }
        }
        if length >= 3 && holds_every_word(&lower, &word) {
            holders.push(candidate);
        }
        if let Some(distance) = slips_at_the_beginning(&lower, &word) {
            beginnings.push((distance, candidate));
        }
    }
    match (best, holders.as_slice()) {
        (Some((_, candidate)), _) | (None, &[candidate]) => Some(candidate),
        (None, &[]) => only_nearest(&beginnings),
        (None, _) => None,
    }
}

/// The one with the fewest slips, if no other has as few.
fn only_nearest<'a>(all: &[(usize, &'a str)]) -> Option<&'a str> {
    let (least, nearest) = all.iter().min_by_key(|(distance, _)| *distance)?;
    let as_near = all.iter().filter(|(distance, _)| distance == least).count();
    (as_near == 1).then_some(*nearest)
}

/// The slips between `word` and the beginning of a candidate of more words, if they are forgiven there.
fn slips_at_the_beginning(candidate: &str, word: &str) -> Option<usize> {
    let words = word.split_whitespace().count();
    let mut parts = candidate.split_whitespace();
    let beginning = parts.by_ref().take(words).collect::<Vec<_>>().join(" ");
    parts.next()?;
    let length = word.chars().count();
    let limit = forgiven_at_the_beginning(length);
    if beginning.chars().count().abs_diff(length) > limit {
        return None;
    }
    let distance = strsim::osa_distance(word, &beginning);
    (distance <= limit).then_some(distance)
}

fn holds_every_word(candidate: &str, word: &str) -> bool {
    word.split_whitespace().all(|part| candidate.split_whitespace().any(|other| other == part))
}

/// `did you mean "gal"?`, if some candidate is near.
#[must_use]
pub fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    nearest(word, candidates).map(|found| format!("did you mean \"{found}\"?"))
}

/// A word as it is typed on a command line: in quotes where it holds anything that a shell may take apart.
#[must_use]
pub fn as_typed(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./\\:~+,@%".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_owned();
    }
    if word.contains(['"', '$', '`', '\\', '!']) {
        // Within single quotes a shell takes all as it stands.
        return format!("'{}'", word.replace('\'', "'\\''"));
    }
    format!("\"{word}\"")
}

/// `a, b or c`; empty for no words. `joint` is the word before the last: `or`, `and`.
#[must_use]
pub fn listed(words: &[&str], joint: &str) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} {joint} {last}", first.join(", ")),
    }
}

/// The first of these words, at most so many, and how many more there are.
#[must_use]
pub fn some_listed(words: &[&str], most: usize) -> String {
    match words.len().saturating_sub(most) {
        0 => listed(words, "and"),
        more => format!("{} and {more} more", words[..most].join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_too_much_to_name_is_counted() {
        let words = ["a", "b", "c"];
        for (most, listed) in [(3, "a, b and c"), (2, "a, b and 1 more"), (1, "a and 2 more")] {
            assert_eq!(some_listed(&words, most), listed);
        }
        assert_eq!(some_listed(&[], 2), "");
    }

    #[test]
    fn a_word_is_typed_so_that_it_stays_one() {
        for (word, typed) in [
            ("my-shop", "my-shop"),
            ("my shop/é", "\"my shop/é\""),
            ("a\"b $c", "'a\"b $c'"),
            ("it's $1", "'it'\\''s $1'"),
            ("", "\"\""),
        ] {
            assert_eq!(as_typed(word), typed);
        }
    }

    const UNITS: [&str; 6] = ["gal", "qt", "fl oz", "mL", "L", "mm"];
    const SHELF: [&str; 3] = ["titanium white paste", "iron oxide black paste", "iron oxide red"];

    #[test]
    fn a_slip_of_the_finger_is_forgiven() {
        for (word, right) in [
            ("gla", "gal"),
            ("gall", "gal"),
            ("gl", "gal"),
            ("ml", "mL"),
            ("floz", "fl oz"),
            ("l", "L"),
        ] {
            assert_eq!(nearest(word, UNITS), Some(right), "{word}");
        }
        assert_eq!(nearest("irn oxdie black paste", SHELF), Some("iron oxide black paste"));
    }

    #[test]
    fn part_of_a_name_finds_the_only_name_that_holds_it() {
        assert_eq!(nearest("titanium white", SHELF), Some("titanium white paste"));
        assert_eq!(nearest("oxide black", SHELF), Some("iron oxide black paste"));
        assert_eq!(nearest("iron oxide", SHELF), None, "two names hold it: no guess");
    }

    #[test]
    fn a_misspelt_beginning_finds_the_only_name_that_begins_so() {
        let shelf =
            ["yellow oxide paste", "red oxide paste", "burnt umber paste", "raw umber paste"];
        assert_eq!(nearest("yelow oxide", shelf), Some("yellow oxide paste"));
        assert_eq!(nearest("Yellow Oxdie", shelf), Some("yellow oxide paste"));
        assert_eq!(nearest("burnt amber", shelf), Some("burnt umber paste"));
        assert_eq!(nearest("titanum", SHELF), Some("titanium white paste"));
    }

    #[test]
    fn a_beginning_that_fits_several_or_none_is_not_guessed() {
        let blacks = ["carbon black paste", "carbon black liquid"];
        assert_eq!(nearest("carbn black", blacks), None, "two begin so");
        assert_eq!(nearest("irn oxide", SHELF), None, "two begin so");
        let shelf = ["red oxide paste", "raw umber paste", "burnt umber paste", "bone black paste"];
        for word in ["raw oxide", "rad", "blue", "oxide", "blunt force", "umber", "paste of red"] {
            let found = nearest(word, shelf);
            // What a name holds word for word is found as before.
            let holders = shelf.iter().filter(|name| holds_every_word(name, word)).count();
            assert!(found.is_none() || holders == 1, "{word}: {found:?}");
        }
    }

    #[test]
    fn far_words_get_no_suggestion() {
        for word in ["", "  ", "bucket", "x", "g"] {
            assert_eq!(nearest(word, UNITS), None, "{word:?}");
        }
        assert_eq!(nearest(&"gal".repeat(100_000), UNITS), None);
    }

    #[test]
    fn the_nearest_wins_and_the_first_wins_a_tie() {
        assert_eq!(nearest("slate", ["state", "slat", "slate grey"]), Some("state"));
        assert_eq!(nearest("slates", ["slate", "states"]), Some("slate"));
    }

    #[test]
    fn phrases_read_as_english() {
        assert_eq!(did_you_mean("gall", UNITS).as_deref(), Some("did you mean \"gal\"?"));
        assert_eq!(did_you_mean("bucket", UNITS), None);
        assert_eq!(listed(&[], "or"), "");
        assert_eq!(listed(&["a"], "or"), "a");
        assert_eq!(listed(&["a", "b", "c"], "or"), "a, b or c");
    }
}
