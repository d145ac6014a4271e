//! Which containers go on which piece, row by row: decided once for the text, the printed sheet, the labels and the
//! page.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use crate::plan::{FromContainer, Over, Piece, Plan, SmallBatch};
use crate::quantity::{Fraction, Units};
use crate::suggest::listed;

/// What stands over the pieces.
#[must_use]
pub fn pieces_words(plan: &Plan) -> String {
    let of = if plan.containers.is_some() { "small batch" } else { "base" };
    let mut words = format!(
        "Each piece gets its share of every {of}, so that all look alike and the film is as thick on each: what it takes with what runs over its edges."
    );
    if plan.containers.is_some() {
        words += " Of a container that is shared, pour the weight told here on the first piece and the rest on the next";
        words +=
            &clings_words(plan).map_or_else(|| ".".to_owned(), |clings| format!("; {clings}."));
    }
    words += &thinned_words(plan).unwrap_or_default();
    words
}

/// How much of a container is not poured out of it; none where that is less than a scale shows.
#[must_use]
pub fn clings_words(plan: &Plan) -> Option<String> {
    let (least, most) = plan.over.as_ref()?.clings?;
    let [least, most] = [least, most].map(|mass| format!("{:.0}", mass.g()));
    let about = if least == most { least } else { format!("{least}–{most}") };
    (about != "0").then(|| format!("about {about} g of each container stays on its wall"))
}

/// That the allowance is of the last small batches alone, and what that does to the shares on the pieces.
fn thinned_words(plan: &Plan) -> Option<String> {
    let thinned = &plan.over.as_ref()?.thinned;
    let each: Vec<String> = thinned
        .iter()
        .filter_map(|one| {
            let name = &plan.small_batches.get(one.batch)?.name;
            let [on_pieces, of_all] = [one.on_pieces, one.of_all].map(|share| share.percent());
            Some(format!(
                "{name} is {on_pieces:.0} % of what the pieces have, with it {of_all:.0} %"
            ))
        })
        .collect();
    let each: Vec<&str> = each.iter().map(String::as_str).collect();
    (!each.is_empty()).then(|| {
        format!(
            " The allowance is of what is poured last, for what is filled first would not wait: until it is poured {}.",
            listed(&each, "and")
        )
    })
}

/// The allowance, which is no piece's from the start, as a row under the pieces; none where there is one piece alone.
#[must_use]
pub fn over_row(plan: &Plan) -> Option<PieceRow> {
    let over = plan.over.as_ref().filter(|over| over.mass.g() >= 0.5)?;
    let from = from_words(plan, &over.from, |container| !is_held(plan, container));
    let then = "pour it last, where the film is still too thin; what then remains is kept back";
    Some(PieceRow {
        piece: "allowance".to_owned(),
        size: String::new(),
        share: over.mass.show(Units::Metric),
        from: if from.is_empty() { then.to_owned() } else { format!("{from}: {then}") },
    })
}

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
            "{} of what they take, {}",
            Fraction::from_percent((piece.share.percent() * 10.0).round() / 10.0)
                .show(Units::Metric),
            piece.mass.show(Units::Metric),
        ),
        from: from_words(plan, &piece.from, |container| gets_the_rest(plan, piece, container)),
    };
    plan.pieces.iter().map(row).collect()
}

/// Whether something of a container is held back for splashbacks.
fn is_held(plan: &Plan, container: u32) -> bool {
    plan.upright_coats.as_ref().is_some_and(|coats| coats.held_of(container).is_some())
}

/// Whether a piece is the last that takes of a container, and nothing of that is allowance or held back.
fn gets_the_rest(plan: &Plan, piece: &Piece, container: u32) -> bool {
    let takes = |piece: &&Piece| piece.from.iter().any(|from| from.container == container);
    let is_last = plan.pieces.iter().rev().find(takes).is_some_and(|last| last == piece);
    is_last && over_of(plan, container).is_none() && !is_held(plan, container)
}

/// Less than this left over is not told, g.
pub(super) const LEAST_TOLD_G: f64 = 5.0;

/// The allowance, where containers hold enough of it to be told.
pub(super) fn allowance(plan: &Plan) -> Option<&Over> {
    plan.over.as_ref().filter(|over| over.mass.g() >= LEAST_TOLD_G && !over.from.is_empty())
}

/// Which containers hold the allowance: `the rest of 31 (192 g), 32 and 34 g of 33`.
pub(super) fn allowance_words(plan: &Plan, from: &[FromContainer]) -> String {
    stretch_words(plan, from, |container| !is_held(plan, container))
}

/// What of a container is allowance.
fn over_of(plan: &Plan, container: u32) -> Option<&FromContainer> {
    plan.over.as_ref()?.from.iter().find(|one| one.container == container)
}

/// Parts of a container that a hand pours by eye, and how they are called.
const PARTS: [(f64, &str); 5] = [
    (0.25, "a quarter"),
    (1.0 / 3.0, "a third"),
    (0.5, "half"),
    (2.0 / 3.0, "two thirds"),
    (0.75, "three quarters"),
];

/// A part is called so within this share of itself. (Common practice, no source.)
const PART_WITHIN: f64 = 0.06;

/// A part of a container, or the rest of it: beside its weight as a part that is seen, `204 g (half) of 31`, or with
/// what the container holds, `163 g of 8 (which holds 408 g)`.
fn part_words(plan: &Plan, part: &FromContainer, rest: bool) -> String {
    let (container, g) = (part.container, part.mass.g());
    if rest {
        return format!("the rest of {container} ({g:.0} g)");
    }
    let holds = plan.small_batches.get(part.batch).map(SmallBatch::mass);
    let Some(holds) = holds.filter(|holds| *holds > part.mass) else {
        return format!("{g:.0} g of {container}");
    };
    let share = part.mass / holds;
    let off = |(part, _): &&(f64, &str)| libm::fabs(share / part - 1.0);
    let nearest = PARTS.iter().min_by(|one, other| off(one).total_cmp(&off(other)));
    match nearest.filter(|part| off(part) <= PART_WITHIN) {
        Some((_, word)) => format!("{g:.0} g ({word}) of {container}"),
        None => format!("{g:.0} g of {container} (which holds {:.0} g)", holds.g()),
    }
}

/// What one small batch gives a piece: `1–7 and 163 g of 8`.
fn stretch_words(plan: &Plan, own: &[FromContainer], rest: impl Fn(u32) -> bool) -> String {
    // In the order of pouring: what is whole as spans, a part by its weight.
    let mut words: Vec<String> = Vec::new();
    for stretch in own.chunk_by(|one, other| one.whole && other.whole) {
        let numbers: Vec<u32> = stretch.iter().map(|one| one.container).collect();
        words.push(match stretch {
            [one] if !one.whole => part_words(plan, one, rest(one.container)),
            _ => spans(&numbers),
        });
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    listed(&words, "and")
}

fn from_words(plan: &Plan, from: &[FromContainer], rest: impl Fn(u32) -> bool) -> String {
    let each = from.chunk_by(|one, other| one.batch == other.batch).map(|own| {
        let name = own
            .first()
            .and_then(|one| plan.small_batches.get(one.batch))
            .map_or("", |batch| batch.name.as_str());
        format!("{name} {}", stretch_words(plan, own, &rest))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// On which pieces the containers of one small batch go, counted from 0, where there is little room: `bar: 1–5 and
/// 198 g of 6; shelf: the rest of 6 (159 g) and 7`. Nothing where there is one piece alone, or too many to be told.
#[must_use]
pub fn pieces_of_batch_words(plan: &Plan, batch: usize) -> Option<String> {
    if plan.pieces.is_empty() || plan.pieces.len() > MOST_NAMES {
        return None;
    }
    let of_batch = |from: &[FromContainer]| -> Vec<FromContainer> {
        from.iter().filter(|one| one.batch == batch).copied().collect()
    };
    let mut each: Vec<String> = Vec::new();
    for piece in &plan.pieces {
        let own = of_batch(&piece.from);
        if !own.is_empty() {
            let rest = |container| gets_the_rest(plan, piece, container);
            each.push(format!("{}: {}", piece.name, stretch_words(plan, &own, rest)));
        }
    }
    let over = plan.over.as_ref().map_or_else(Vec::new, |over| of_batch(&over.from));
    if !over.is_empty() {
        let rest = |container| !is_held(plan, container);
        each.push(format!("allowance: {}", stretch_words(plan, &over, rest)));
    }
    let words = each.join("; ");
    (!words.is_empty()).then_some(words)
}

/// What a container's label says of its piece: `onto galley`, or `163 g onto galley, 246 g of it allowance: poured
/// last`. Nothing where there is one piece alone and nothing of it is allowance.
#[must_use]
pub fn piece_label(plan: &Plan, container: u32) -> Option<String> {
    let own: Vec<(&str, &FromContainer)> = plan
        .pieces
        .iter()
        .flat_map(|piece| piece.from.iter().map(|from| (piece.name.as_str(), from)))
        .filter(|(_, from)| from.container == container)
        .collect();
    let mut words: Vec<String> = own
        .iter()
        .map(|(piece, from)| match from.whole {
            true => format!("onto {piece}"),
            false => format!("{:.0} g onto {piece}", from.mass.g()),
        })
        .collect();
    let over = over_of(plan, container);
    words.extend(over.map(|one| format!("{:.0} g of it allowance: poured last", one.mass.g())));
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
