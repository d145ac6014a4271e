//! Which mix goes into which containers, row by row: decided once for the text, the printed sheet, the
//! labels and the page.

use crate::plan::{MixFills, Plan, Portion, SmallBatch};

/// What one mix fills.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FillRow {
    /// The mix.
    pub mix: String,
    /// Its containers by number, with what goes into each.
    pub into: String,
    /// Its containers alone, where there is little room.
    pub short: String,
    /// Its containers by small batch: `low ink 1–11, top ink 12–17`.
    pub by_pour: String,
}

/// Every mix, in the order of mixing.
#[must_use]
pub fn fill_rows(plan: &Plan) -> Vec<FillRow> {
    plan.fills
        .iter()
        .map(|fills| FillRow {
            mix: mix_of(fills),
            into: into_words(fills),
            short: spans(&fills.containers()),
            by_pour: by_pour_words(fills),
        })
        .collect()
}

/// What each mix of a base fills, in its order, for below its weights: `Mix 1 fills low ink 1–11; 2 top
/// ink 12–33`. Empty where one mix fills all, and where mixes are poured as they are.
#[must_use]
pub fn fills_words(plan: &Plan, base: &str) -> String {
    let rows = fill_rows(plan);
    let own: Vec<String> = plan
        .fills
        .iter()
        .zip(&rows)
        .filter(|(fills, _)| fills.base == base && fills.mixes > 1)
        .map(|(fills, row)| match fills.mix {
            1 => format!("Mix 1 fills {}", row.by_pour),
            mix => format!("{mix} {}", row.by_pour),
        })
        .collect();
    own.join("; ")
}

/// `low ink 1–10, part of 11`: a small batch is named where it begins.
fn by_pour_words(fills: &MixFills) -> String {
    let mut all: Vec<(&str, Vec<u32>, Vec<u32>)> = Vec::new();
    for portion in &fills.portions {
        if all.last().is_none_or(|(pour, ..)| *pour != portion.pour) {
            all.push((&portion.pour, Vec::new(), Vec::new()));
        }
        if let Some((_, whole, parts)) = all.last_mut() {
            let into = if portion.is_part() { parts } else { whole };
            into.extend(portion.containers.0..=portion.containers.1);
        }
    }
    let words = all.into_iter().map(|(pour, whole, parts)| {
        let [whole, parts] = [whole, parts].map(|mut numbers| {
            numbers.sort_unstable();
            numbers.dedup();
            spans(&numbers)
        });
        match (whole.is_empty(), parts.is_empty()) {
            (false, true) => format!("{pour} {whole}"),
            (true, _) => format!("part of {pour} {parts}"),
            (false, false) => format!("{pour} {whole} and part of {parts}"),
        }
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() { "no container".to_owned() } else { words.join(", ") }
}

/// A mix's name, with its number where there are several.
fn mix_of(fills: &MixFills) -> String {
    if fills.mixes > 1 {
        format!("{} {} of {}", fills.base, fills.mix, fills.mixes)
    } else {
        fills.base.clone()
    }
}

fn into_words(fills: &MixFills) -> String {
    let all: Vec<String> = fills.portions.iter().map(words).collect();
    if all.is_empty() { "no container".to_owned() } else { all.join("; ") }
}

fn words(portion: &Portion) -> String {
    let layer =
        if portion.one_of_several { format!(" as layer {}", portion.layer) } else { String::new() };
    let each = portion.each.show_weighed(portion.readability);
    let weight = if portion.is_part() {
        format!("{each} of its {}", portion.whole.show_weighed(portion.readability))
    } else if portion.containers.0 == portion.containers.1 {
        each
    } else {
        format!("{each} each")
    };
    format!("{}: {weight}{layer}", span(portion.containers))
}

/// `4`, `4–9`.
#[must_use]
pub fn span((first, last): (u32, u32)) -> String {
    if first == last { first.to_string() } else { format!("{first}–{last}") }
}

/// Numbers in rising order as spans: `1–4, 7, 9–11`.
#[must_use]
pub fn spans(numbers: &[u32]) -> String {
    let mut all: Vec<(u32, u32)> = Vec::new();
    for number in numbers {
        match all.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => all.push((*number, *number)),
        }
    }
    all.into_iter().map(span).collect::<Vec<_>>().join(", ")
}

/// `container` for spans of a single number, else `containers`.
#[must_use]
pub fn container_noun(spans: &str) -> &'static str {
    if spans.bytes().all(|letter| letter.is_ascii_digit()) { "container" } else { "containers" }
}

/// Each small batch with the number of its first container, in the order of pouring.
pub fn numbered(batches: &[SmallBatch]) -> impl Iterator<Item = (u32, &SmallBatch)> {
    let mut next = 1_u32;
    batches.iter().map(move |batch| {
        let first = next;
        next = next.saturating_add(batch.count);
        (first, batch)
    })
}

/// What a label says of a layer's mixes: which, in turn; none where its base has one mix alone, which
/// needs no number.
#[must_use]
pub fn mixes_of_layer(plan: &Plan, container: u32, layer: usize) -> Option<String> {
    let from: Vec<String> = plan
        .fills
        .iter()
        .filter(|fills| {
            fills.mixes > 1
                && fills.portions.iter().any(|portion| {
                    portion.layer == layer
                        && (portion.containers.0..=portion.containers.1).contains(&container)
                })
        })
        .map(|fills| fills.mix.to_string())
        .collect();
    (!from.is_empty()).then(|| format!("mix {}", from.join(" then ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_are_told_as_a_span() {
        assert_eq!(spans(&[1, 2, 3, 5, 7, 8]), "1–3, 5, 7–8");
        assert_eq!(spans(&[]), "");
    }
}
