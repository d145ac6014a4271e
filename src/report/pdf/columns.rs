//! What stands in two columns where that takes less of the paper: a narrow table folded in its middle,
//! and cards with the table that goes with them.

use super::blocks::{BETWEEN, heading, place_table};
use super::canvas::{NodeId, Strip, Tree};
use super::cards;
use super::flow::Flow;
use super::font::Fonts;
use super::table::{Rows, fits, table};
use crate::report::sheet::{Card, Table};

fn half(flow: &Flow<'_>) -> f32 {
    (flow.width() - BETWEEN) / 2.0
}

fn height(fonts: &Fonts, one: &Table, width: f32) -> f32 {
    let Rows { head, rows } = table(fonts, &mut Tree::new(), 0, one, width);
    head.height + rows.iter().map(|row| row.height).sum::<f32>()
}

/// The halves of a table that stand beside each other; none where they are too narrow, too long to
/// stand in one piece in `room` with the white below it, or take no less.
fn halves(flow: &Flow<'_>, one: &Table, room: f32) -> Option<[Table; 2]> {
    let middle = one.rows.len().div_ceil(2);
    let sides = [&one.rows[..middle], &one.rows[middle..]]
        .map(|rows| Table { columns: one.columns.clone(), rows: rows.to_vec() });
    let half = half(flow);
    let folded = sides.iter().map(|side| height(flow.fonts, side, half)).fold(0.0, f32::max);
    let narrow = sides.iter().all(|side| !side.rows.is_empty() && fits(flow.fonts, side, half))
        && folded + flow.fonts.spacing.below <= room
        && folded < height(flow.fonts, one, flow.width());
    narrow.then_some(sides)
}

/// A narrow table in two columns, the first half of its rows on the left; as wide as the page where it
/// cannot be folded.
pub(super) fn folded(flow: &mut Flow<'_>, node: NodeId, one: &Table) {
    let Some(sides) = halves(flow, one, flow.room()) else { return place_table(flow, node, one) };
    let half = half(flow);
    let mut strip = Strip::default();
    for (side, x) in sides.iter().zip([0.0, half + BETWEEN]) {
        let rows = table(flow.fonts, &mut flow.tree, node, side, half);
        strip.beside(x, Strip::stacked(std::iter::once(rows.head).chain(rows.rows)));
    }
    strip.height += flow.fonts.spacing.below;
    flow.place(strip);
}

/// Cards, then a table under its heading: each in the shorter of two columns where that takes less of
/// the paper, else the cards by two and the table folded below them.
pub(super) fn cards_and_table(
    flow: &mut Flow<'_>,
    node: NodeId,
    cards: &[Card],
    title: &str,
    one: &Table,
) {
    if shared(flow, cards, title, one).is_none_or(|shared| shared >= apart(flow, cards, title, one))
    {
        cards::cards(flow, node, cards);
        let width = flow.width();
        let strip = heading(flow.fonts, &mut flow.tree, node, title, width);
        flow.hold(strip);
        return folded(flow, node, one);
    }
    let half = half(flow);
    let mut columns = Columns::new(half + BETWEEN);
    for card in cards {
        columns.add(cards::whole(flow.fonts, &mut flow.tree, node, card, half));
    }
    columns.add(titled(flow.fonts, &mut flow.tree, node, title, one, half));
    flow.place(columns.drawn);
}

/// How high cards and table are in two columns; none where one is too wide, or all too high to stand in
/// one piece below the heading that waits for them.
fn shared(flow: &Flow<'_>, cards: &[Card], title: &str, one: &Table) -> Option<f32> {
    let half = half(flow);
    let narrow = fits(flow.fonts, one, half)
        && cards.iter().all(|card| cards::stands_in(flow.fonts, card, half));
    if !narrow {
        return None;
    }
    let mut scratch = Tree::new();
    let mut columns = Columns::new(half + BETWEEN);
    for card in cards {
        columns.add(cards::whole(flow.fonts, &mut scratch, 0, card, half));
    }
    columns.add(titled(flow.fonts, &mut scratch, 0, title, one, half));
    let height = columns.drawn.height;
    (height <= flow.room()).then_some(height)
}

/// How high they are one below the other.
fn apart(flow: &Flow<'_>, all: &[Card], title: &str, one: &Table) -> f32 {
    let title = heading(flow.fonts, &mut Tree::new(), 0, title, flow.width());
    // The cards take what waits for them; the table's own heading then waits for the table.
    let below = match halves(flow, one, flow.body() - title.height) {
        Some(sides) => {
            sides.iter().map(|side| height(flow.fonts, side, half(flow))).fold(0.0, f32::max)
        }
        None => height(flow.fonts, one, flow.width()),
    };
    cards::height(flow, all) + title.height + below + flow.fonts.spacing.below
}

/// A table under its heading, in one piece.
fn titled(
    fonts: &Fonts,
    tree: &mut Tree,
    node: NodeId,
    title: &str,
    one: &Table,
    width: f32,
) -> Strip {
    let mut strip = heading(fonts, tree, node, title, width);
    let rows = table(fonts, tree, node, one, width);
    std::iter::once(rows.head).chain(rows.rows).for_each(|row| strip.append(row));
    strip.height += fonts.spacing.below;
    strip
}

/// Two columns that are filled evenly, drawn in the order in which they are read.
struct Columns {
    /// Where the right one begins.
    right: f32,
    heights: [f32; 2],
    drawn: Strip,
}

impl Columns {
    fn new(right: f32) -> Self {
        Self { right, heights: [0.0; 2], drawn: Strip::default() }
    }

    /// Adds a strip to the shorter column.
    fn add(&mut self, strip: Strip) {
        let shorter = usize::from(self.heights[1] < self.heights[0]);
        let at = [if shorter == 0 { 0.0 } else { self.right }, self.heights[shorter]];
        self.heights[shorter] += strip.height;
        self.drawn.height = self.heights[0].max(self.heights[1]);
        self.drawn.pieces.extend(strip.moved(at).pieces);
    }
}
