//! Which containers go on which piece, row by row: decided once for the text, the printed sheet, the labels and the
//! page.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use crate::plan::{FromContainer, Piece, Plan};
use crate::quantity::{Fraction, Units};
use crate::suggest::listed;

/// What stands over the pieces.
pub const PIECES_WORDS: &str = "Each piece gets its share of every small batch, so that all look alike and the film is as thick on each. Of a container that is shared, pour the weight told here on the first piece and the rest on the next.";

/// The same where mixes are poured as they are.
pub const PIECES_AS_MIXED_WORDS: &str = "Each piece gets its share of every base, so that all look alike and the film is as thick on each.";

/// What one piece gets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PieceRow {
    /// Its name.
    pub piece: String,
    /// A board's size; empty for counters.
    pub size: String,
    /// Its share of the pour and the weight of that.
    pub share: String,
    /// Its containers by small batch, `low ink 1–7 and 163 g of 8; top ink the rest of 12 (246 g) and 13–26`; empty where mixes are poured as
    /// they are.
    pub from: String,
}

/// Every piece in the order of pouring; none where there is one alone.
#[must_use]
pub fn piece_rows(plan: &Plan) -> Vec<PieceRow> {
    let row = |piece: &Piece| PieceRow {
        piece: piece.name.clone(),
        size: piece.size.clone(),
        share: format!(
            "{} of the pour, {}",
            Fraction::from_percent((piece.share.percent() * 10.0).round() / 10.0)
                .show(Units::Metric),
            piece.mass.show(Units::Metric),
        ),
        from: from_words(plan, piece),
    };
    plan.pieces.iter().map(row).collect()
}

/// A part of a container; the last piece that takes of it gets the rest.
fn part_words(plan: &Plan, piece: &Piece, part: &FromContainer) -> String {
    let takes = |piece: &&Piece| piece.from.iter().any(|from| from.container == part.container);
    let is_last = plan.pieces.iter().rev().find(takes).is_some_and(|last| last == piece);
    match is_last {
        true => format!("the rest of {} ({:.0} g)", part.container, part.mass.g()),
        false => format!("{:.0} g of {}", part.mass.g(), part.container),
    }
}

/// What one small batch gives a piece: `1–7 and 163 g of 8`.
fn stretch_words(plan: &Plan, piece: &Piece, own: &[FromContainer]) -> String {
    // In the order of pouring: what is whole as spans, a part by its weight.
    let mut words: Vec<String> = Vec::new();
    for stretch in own.chunk_by(|one, other| one.whole && other.whole) {
        let numbers: Vec<u32> = stretch.iter().map(|one| one.container).collect();
        words.push(match stretch {
            [one] if !one.whole => part_words(plan, piece, one),
            _ => spans(&numbers),
        });
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    listed(&words, "and")
}

fn from_words(plan: &Plan, piece: &Piece) -> String {
    let each = piece.from.chunk_by(|one, other| one.batch == other.batch).map(|own| {
        let name = own
            .first()
            .and_then(|one| plan.small_batches.get(one.batch))
            .map_or("", |batch| batch.name.as_str());
        format!("{name} {}", stretch_words(plan, piece, own))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// On which pieces the containers of one small batch go, counted from 0, where there is little room: `bar: 1–5 and
/// 198 g of 6; shelf: the rest of 6 (159 g) and 7`. Nothing where there is one piece alone, or too many to be told.
#[must_use]
pub fn pieces_of_batch_words(plan: &Plan, batch: usize) -> Option<String> {
    if plan.pieces.len() > MOST_NAMES {
        return None;
    }
    let each = plan.pieces.iter().filter_map(|piece| {
        let mut own = piece.from.chunk_by(|one, other| one.batch == other.batch);
        let own = own.find(|own| own.first().is_some_and(|one| one.batch == batch))?;
        Some(format!("{}: {}", piece.name, stretch_words(plan, piece, own)))
    });
    let words = each.collect::<Vec<_>>().join("; ");
    (!words.is_empty()).then_some(words)
}

/// What a container's label says of its piece: `onto galley`, or `163 g onto galley, 246 g onto bar`. Nothing where
/// there is one piece alone.
#[must_use]
pub fn piece_label(plan: &Plan, container: u32) -> Option<String> {
    let own: Vec<(&str, &FromContainer)> = plan
        .pieces
        .iter()
        .flat_map(|piece| piece.from.iter().map(|from| (piece.name.as_str(), from)))
        .filter(|(_, from)| from.container == container)
        .collect();
    let words: Vec<String> = own
        .iter()
        .map(|(piece, from)| match from.whole {
            true => format!("onto {piece}"),
            false => format!("{:.0} g onto {piece}", from.mass.g()),
        })
        .collect();
    (!words.is_empty()).then(|| words.join(", "))
}

/// More pieces than this are counted rather than listed.
const MOST_NAMES: usize = 3;

/// On which pieces some containers are poured: `onto galley and bar`. Nothing where there is one piece alone.
pub(super) fn onto_words(plan: &Plan, containers: &BTreeSet<u32>) -> Option<String> {
    let takes = |piece: &&Piece| piece.from.iter().any(|from| containers.contains(&from.container));
    let names: Vec<&str> =
        plan.pieces.iter().filter(takes).map(|piece| piece.name.as_str()).collect();
    match names.len() {
        0 => None,
        count if count > MOST_NAMES => Some(format!("onto {count} pieces")),
        _ => Some(format!("onto {}", listed(&names, "and"))),
    }
}
