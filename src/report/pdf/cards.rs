//! Cards of mixes and small batches: two to a row where they stand whole in half the page.

use super::blocks::{BETWEEN, DRAWING};
use super::canvas::{Ink, NodeId, Role, Shape, Strip, Tree};
use super::container::container;
use super::flow::{Flow, text};
use super::font::{Fonts, Weight};
use super::table::{Rows, fits, table, ticks};
use crate::report::sheet::{Card, Ticks};

const TITLE: f32 = 13.0;
const WORDS: f32 = 10.0;

/// A card in parts that are not broken.
struct Parts {
    title: Strip,
    rows: Rows,
    below: Vec<Strip>,
}

impl Parts {
    fn height(&self) -> f32 {
        self.title.height
            + self.rows.head.height
            + self.rows.rows.iter().chain(&self.below).map(|strip| strip.height).sum::<f32>()
    }

    fn whole(self) -> Strip {
        let mut all = Strip::stacked([self.title, self.rows.head]);
        for strip in self.rows.rows.into_iter().chain(self.below) {
            all.append(strip);
        }
        all
    }
}

/// Two to a row where they stand whole in half the page and that takes less of it; a single last one,
/// and those too long for a page, as wide as the page.
pub(super) fn cards(flow: &mut Flow<'_>, node: NodeId, cards: &[Card]) {
    let half = (flow.width() - BETWEEN) / 2.0;
    for two in cards.chunks(2) {
        if !(two.len() == 2 && side_by_side(flow, two, half)) {
            for card in two {
                let width = flow.width();
                let parts = lay_out(flow.fonts, &mut flow.tree, node, card, width);
                place(flow, parts);
            }
            continue;
        }
        let mut row = Strip::default();
        for (card, x) in two.iter().zip([0.0, half + BETWEEN]) {
            let card = whole(flow.fonts, &mut flow.tree, node, card, half);
            row.beside(x, card);
        }
        flow.place(row);
    }
}

/// Whether a card's words and figures stand whole in `width`.
pub(super) fn stands_in(fonts: &Fonts, card: &Card, width: f32) -> bool {
    let drawing = if card.container.is_some() { DRAWING } else { 0.0 };
    fits(fonts, &card.table, width - drawing)
}

/// A card in one piece.
pub(super) fn whole(
    fonts: &Fonts,
    tree: &mut Tree,
    node: NodeId,
    card: &Card,
    width: f32,
) -> Strip {
    let mut whole = lay_out(fonts, tree, node, card, width).whole();
    whole.height += fonts.spacing.below;
    whole
}

/// How high cards are, as [`cards`] sets them.
pub(super) fn height(flow: &Flow<'_>, cards: &[Card]) -> f32 {
    let half = (flow.width() - BETWEEN) / 2.0;
    let own =
        |card: &Card, width: f32| own_height(flow.fonts, card, width) + flow.fonts.spacing.below;
    let of_two = |two: &[Card]| -> f32 {
        if two.len() == 2 && side_by_side(flow, two, half) {
            two.iter().map(|card| own(card, half)).fold(0.0, f32::max)
        } else {
            two.iter().map(|card| own(card, flow.width())).sum()
        }
    };
    cards.chunks(2).map(of_two).sum()
}

fn own_height(fonts: &Fonts, card: &Card, width: f32) -> f32 {
    lay_out(fonts, &mut Tree::new(), 0, card, width).height()
}

/// Whether two cards are better set beside each other.
fn side_by_side(flow: &Flow<'_>, two: &[Card], half: f32) -> bool {
    if !two.iter().all(|card| stands_in(flow.fonts, card, half)) {
        return false;
    }
    let height = |card: &Card, width: f32| own_height(flow.fonts, card, width);
    let narrow = two.iter().map(|card| height(card, half)).fold(0.0, f32::max);
    let wide: f32 = two.iter().map(|card| height(card, flow.width())).sum();
    narrow + flow.fonts.spacing.below <= flow.room() && narrow < wide
}

/// In one piece where a page holds it, else row by row.
fn place(flow: &mut Flow<'_>, parts: Parts) {
    if parts.height() + flow.fonts.spacing.below <= flow.room() {
        let mut whole = parts.whole();
        whole.height += flow.fonts.spacing.below;
        flow.place(whole);
        return;
    }
    flow.hold(parts.title);
    flow.rows(parts.rows.head, parts.rows.rows);
    for strip in parts.below {
        flow.place(strip);
    }
}

fn lay_out(fonts: &Fonts, tree: &mut Tree, node: NodeId, card: &Card, width: f32) -> Parts {
    let group = tree.node(node, Role::Group);
    let mut title = Strip::gap(1.0);
    let heading = tree.node(group, Role::Heading(3, card.title.clone()));
    let chip = if card.colour.is_some() { 22.0 } else { 0.0 };
    if let Some(colour) = card.colour {
        let corners = Shape::rectangle([0.0, 2.5], [17.0, TITLE * 0.95]);
        let frame = Shape::Stroke {
            corners: corners.clone(),
            closed: true,
            width: 0.5,
            dashed: false,
            ink: Ink::Black,
        };
        title.piece(None, vec![Shape::Area { corners, ink: Ink::Colour(colour) }, frame]);
    }
    let mut last = chip;
    for line in fonts.lines(&card.title, Weight::Strong, TITLE, width - chip, 0.0) {
        let y = title.height;
        last = chip + line.width(TITLE);
        text(&mut title, Some(heading), chip, y, TITLE, line);
        title.height += fonts.step(TITLE);
    }
    let words = tree.node(group, Role::Paragraph);
    // On the title's line where there is room.
    let line = fonts.line(&card.words, Weight::Regular);
    if last + 10.0 + line.width(WORDS) <= width {
        let y = title.height - fonts.step(TITLE) + (TITLE - WORDS) * 0.98;
        text(&mut title, Some(words), last + 10.0, y, WORDS, line);
    } else {
        for line in fonts.lines(&card.words, Weight::Regular, WORDS, width, 0.0) {
            let y = title.height;
            text(&mut title, Some(words), 0.0, y, WORDS, line);
            title.height += fonts.step(WORDS);
        }
    }
    let mut rows;
    let mut below = Vec::new();
    match &card.container {
        Some(drawing) => {
            let drawing = container(fonts, tree, group, drawing);
            let inner = table(fonts, tree, group, &card.table, width - DRAWING);
            // The drawing stands beside the first rows; the table is moved past it.
            let tall: f32 =
                inner.head.height + inner.rows.iter().map(|row| row.height).sum::<f32>();
            let short = (drawing.height - tall).max(0.0);
            let mut head = Strip::default();
            head.pieces.extend(drawing.pieces);
            head.beside(DRAWING, inner.head);
            rows = Rows {
                head,
                rows: inner.rows.into_iter().map(|row| row.moved([DRAWING, 0.0])).collect(),
            };
            if short > 0.0 {
                rows.rows.push(Strip::gap(short));
            }
            if let Some(all) = &card.ticks {
                let owner = tree.node(group, Role::Paragraph);
                let [beside, across] =
                    [width - DRAWING, width].map(|own| boxes(fonts, all, owner, own));
                // The boxes stand beside the drawing too, where that takes less of the paper.
                if short > 0.0 && beside.height.max(short) < short + across.height {
                    rows.rows.pop();
                    let mut strip = Strip::gap(short);
                    strip.beside(DRAWING, beside);
                    rows.rows.push(strip);
                } else {
                    below.push(across);
                }
            }
        }
        None => {
            rows = table(fonts, tree, group, &card.table, width);
            if let Some(all) = &card.ticks {
                let owner = tree.node(group, Role::Paragraph);
                below.push(boxes(fonts, all, owner, width));
            }
        }
    }
    for note in &card.notes {
        let owner = tree.node(group, Role::Paragraph);
        let mut strip = Strip::default();
        for line in fonts.lines(note, Weight::Regular, 9.0, width, 0.0) {
            let y = strip.height;
            text(&mut strip, Some(owner), 0.0, y, 9.0, line);
            strip.height += fonts.step(9.0);
        }
        below.push(strip);
    }
    Parts { title, rows, below }
}

/// Boxes to tick after what they are for.
fn boxes(fonts: &Fonts, all: &Ticks, owner: NodeId, width: f32) -> Strip {
    let line = fonts.line(&all.what, Weight::Regular);
    let x = line.width(9.0) + 8.0;
    let mut strip = Strip::gap(3.0);
    text(&mut strip, Some(owner), 0.0, 5.0, 9.0, line);
    let numbers: Vec<Option<u32>> = match all.count {
        1 => vec![None],
        _ => all.numbers().take(400).map(Some).collect(),
    };
    let boxes = ticks(fonts, owner, &numbers, width - x);
    strip.beside(x, boxes.moved([0.0, 3.0]));
    strip.height += fonts.spacing.below / 2.0;
    strip
}
