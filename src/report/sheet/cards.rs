//! Cards of the mixing sheet: a base with its mixes, a small batch with its containers; what is weighed, in which way,
//! what the scale shows then.

use super::drawing::Colours;
use super::{Card, Cell, Container, Heading, Side, Table, Ticks};
use crate::plan::{BasePlan, Mix, Plan, SmallBatch};
use crate::quantity::Units;
use crate::report::fill_rows::fills_words;
use crate::report::scale_rows::{
    ScaleRow, batch_words, kind_words, kinds_words, layer_rows, mix_rows, mix_size_words,
};

/// A base: kinds of mixes that are not weighed alike stand side by side, two to a card.
pub(super) fn base_cards(plan: &Plan, number: usize, base: &BasePlan, units: Units) -> Vec<Card> {
    let kinds = base.kinds();
    let of = base.mixes.len();
    let mut cards: Vec<Card> = Vec::new();
    for (at, two) in kinds.chunks(2).enumerate() {
        let words = match two {
            _ if kinds.len() == 1 => mix_size_words(base, units),
            [(numbers, _)] => format!("{}, {}", kind_words(numbers), kinds_words(two, units)),
            _ => kinds_words(two, units),
        };
        cards.push(Card {
            title: format!("{number}. {}{}", base.name, if at == 0 { "" } else { ", continued" }),
            words,
            colour: base.look.as_ref().map(|look| look.shown),
            container: None,
            table: match two {
                [(numbers, mix)] => weighing(mix, numbers, of),
                _ => weighing_two(two, of),
            },
            ticks: None,
            notes: Vec::new(),
        });
    }
    let fills = fills_words(plan, &base.name);
    if let Some(last) = cards.last_mut()
        && !fills.is_empty()
    {
        last.notes.push(fills);
    }
    cards
}

/// A small batch: one container with its layers, and a box to tick for each of its kind.
pub(super) fn batch_card(
    number: usize,
    first: u32,
    batch: &SmallBatch,
    colours: &Colours,
    units: Units,
) -> Card {
    Card {
        title: format!("{number}. {}", batch.name),
        words: batch_words(batch, first, units),
        colour: None,
        container: Some(Container::of(batch, colours)),
        table: layering(layer_rows(batch)),
        ticks: Some(Ticks { what: "poured".to_owned(), first, count: batch.count }),
        notes: Vec::new(),
    }
}

/// A mix: what and how, how much, what the scale shows then, in bold since that is what is poured to, boxes to tick.
fn weighing(mix: &Mix, numbers: &[u32], of: usize) -> Table {
    let rows = mix_rows(mix);
    let ways = ways(&rows);
    let rows = (1_usize..)
        .zip(rows.into_iter().zip(ways))
        .map(|(step, (row, small))| {
            let (large, flag) = (large(step, &row), loud(&row));
            vec![
                Cell::Words { large, small, flag },
                Cell::weight(row.weight, false),
                Cell::weight(row.reading, true),
                Cell::ticks(numbers, of),
            ]
        })
        .collect();
    let columns = vec![
        Heading::of("", Side::Left),
        Heading::of("weigh", Side::Right),
        Heading::of("scale shows", Side::Right),
        Heading::of("done", Side::Left),
    ];
    Table { columns, rows }
}

/// Two kinds of mixes of one base side by side: what and how, then for each what the scale shows, below it how much
/// that is on top of what was weighed before, and boxes to tick.
fn weighing_two(two: &[(Vec<u32>, &Mix)], of: usize) -> Table {
    let each: Vec<Vec<ScaleRow>> = two.iter().map(|(_, mix)| mix_rows(mix)).collect();
    let all_ways: Vec<Vec<String>> = each.iter().map(|rows| self::ways(rows)).collect();
    let height = each.iter().map(Vec::len).max().unwrap_or(0);
    let rows = (0..height).map(|at| {
        let own: Vec<&ScaleRow> = each.iter().filter_map(|rows| rows.get(at)).collect();
        let mut ways: Vec<String> =
            all_ways.iter().filter_map(|ways| ways.get(at)).cloned().collect();
        ways.dedup();
        let mut flags: Vec<String> = own.iter().map(|row| loud(row)).collect();
        flags.retain(|flag| !flag.is_empty());
        flags.dedup();
        let large = own.first().map_or_else(String::new, |row| large(at + 1, row));
        let small = ways.join(", then ");
        let mut cells = vec![Cell::Words { large, small, flag: flags.join("; ") }];
        for (row, (numbers, _)) in own.iter().zip(two) {
            let own = if row.on_top() { row.weight.clone() } else { String::new() };
            cells.push(Cell::Weight { text: row.reading.clone(), strong: true, added: own });
            cells.push(Cell::ticks(numbers, of));
        }
        cells
    });
    let rows = rows.collect();
    let mut columns = vec![Heading::of("", Side::Left)];
    for (numbers, _) in two {
        columns.push(Heading::of(&kind_words(numbers), Side::Right));
        // Short, so that names have room beside two weights.
        columns.push(Heading::of("ok", Side::Left));
    }
    Table { columns, rows }
}

/// What is weighed, with its number, and that it waits, in letters as large.
fn large(step: usize, row: &ScaleRow) -> String {
    let waits = if row.waits.is_empty() { "" } else { ", at its clock" };
    // The neat colorant of a let-down's weight would be many times too much: it is not what is told in large letters.
    let what = row.let_down.as_ref().unwrap_or(&row.what);
    format!("{step} {what}{waits}")
}

/// What is done once it is in and what is wrong, neither in small print.
fn loud(row: &ScaleRow) -> String {
    // A let-down's stands beside its scale.
    let then = row.then.filter(|_| row.let_down.is_none()).map_or("", |then| then.short);
    let parts = [row.flag.as_str(), then];
    let parts: Vec<&str> = parts.into_iter().filter(|words| !words.is_empty()).collect();
    parts.join("; ")
}

/// A container in half a page: layers numbered from the bottom, how much, what the scale shows then.
fn layering(rows: Vec<ScaleRow>) -> Table {
    let ways = ways(&rows);
    let rows = rows
        .into_iter()
        .zip(ways)
        .zip(1..)
        .map(|((row, small), number): (_, usize)| {
            vec![
                Cell::Words { large: format!("{number} {}", row.what), small, flag: row.flag },
                Cell::weight(row.weight, false),
                Cell::weight(row.reading, true),
            ]
        })
        .collect();
    let columns = vec![
        Heading::of("layer", Side::Left),
        Heading::of("weigh", Side::Right),
        Heading::of("scale shows", Side::Right),
    ];
    Table { columns, rows }
}

/// On which scale and in what way, row by row.
fn ways(rows: &[ScaleRow]) -> Vec<String> {
    let before = core::iter::once(None).chain(rows.iter().map(Some));
    rows.iter().zip(before).map(|(row, before)| how(row, before)).collect()
}

/// On which scale and in what way. What goes on top of what was weighed just before goes onto the same scale, and that
/// needs no words.
fn how(row: &ScaleRow, before: Option<&ScaleRow>) -> String {
    let same = before.is_some_and(|before| before.scale == row.scale);
    if same && !row.waits.is_empty() {
        // That A is tared is told once above all mixes: a line here would push work off the first page.
        return String::new();
    }
    let scale = if row.on_top() && same { "" } else { row.scale.as_str() };
    if row.let_down.is_some() {
        let then = row.then.map_or("", |then| then.short);
        let lot = if row.lot.is_empty() { String::new() } else { format!(", {}", row.lot) };
        return format!("{}{lot} · {scale}; {then}", row.what);
    }
    let parts = [scale, &row.remark, &row.lot];
    let parts: Vec<&str> = parts.into_iter().filter(|words| !words.is_empty()).collect();
    parts.join(" · ")
}
