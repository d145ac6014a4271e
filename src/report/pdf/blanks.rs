//! Places to write in: boxes side by side, as many to a row as leave room for a gloved hand.

use super::canvas::{Ink, NodeId, Role, Shape, Strip};
use super::flow::{Flow, text};
use super::font::{Fonts, Weight};
use crate::report::sheet::Blank;

const LABEL: f32 = 9.5;
const HINT: f32 = 9.0;
const INSET: f32 = 4.0;
const BETWEEN: f32 = 5.0;
/// What is left beside the hint to write in.
const ROOM: f32 = 36.0;
/// More than this stand in a further row.
const MOST: usize = 6;

/// Lays the boxes out below `node`, a strip for each row.
pub(super) fn blanks(flow: &mut Flow<'_>, node: NodeId, blanks: &[Blank]) -> Vec<Strip> {
    let across = across(flow.fonts, blanks, flow.width());
    let own = own(flow.width(), across);
    let mut rows = Vec::new();
    for some in blanks.chunks(across) {
        let mut row = Strip::default();
        let mut x = 0.0;
        for blank in some {
            let cell = draw(flow, node, blank, own);
            row.beside(x, cell);
            x += own + BETWEEN;
        }
        row.height += 2.5;
        rows.push(row);
    }
    rows
}

#[expect(clippy::cast_precision_loss, reason = "at most six")]
fn own(width: f32, across: usize) -> f32 {
    (width - (across - 1) as f32 * BETWEEN) / across as f32
}

/// How many stand in a row; rows are as even as can be.
fn across(fonts: &Fonts, blanks: &[Blank], width: f32) -> usize {
    let needs = |blank: &Blank| {
        let label = fonts.line(&blank.label, Weight::Strong).width(LABEL);
        let hint = fonts.line(&blank.hint, Weight::Regular).width(HINT);
        label.max(hint + ROOM) + 2.0 * INSET
    };
    let widest = blanks.iter().map(needs).fold(0.0, f32::max);
    let most = (1..=MOST).rev().find(|&across| own(width, across) >= widest).unwrap_or(1);
    let rows = blanks.len().div_ceil(most).max(1);
    blanks.len().div_ceil(rows).max(1)
}

fn draw(flow: &mut Flow<'_>, node: NodeId, blank: &Blank, own: f32) -> Strip {
    let owner = flow.tree.node(node, Role::Paragraph);
    let room = own - 2.0 * INSET;
    let label = flow.fonts.cut(&blank.label, Weight::Strong, LABEL, room);
    let hint = flow.fonts.cut(&blank.hint, Weight::Regular, HINT, room);
    let height = flow.fonts.spacing.entry;
    let mut cell = Strip::gap(height);
    text(&mut cell, Some(owner), INSET, 1.5, LABEL, label);
    text(&mut cell, Some(owner), INSET, height - 13.0, HINT, hint);
    let frame = Shape::Stroke {
        corners: Shape::rectangle([0.0, 0.0], [own, height]),
        closed: true,
        width: 0.6,
        dashed: false,
        ink: Ink::Black,
    };
    cell.spoken(owner, "to be written in".to_owned(), vec![frame]);
    cell
}
