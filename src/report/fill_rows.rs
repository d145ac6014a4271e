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
        })
        .collect()
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
