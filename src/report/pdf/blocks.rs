//! Blocks of a sheet as strips.

use std::rc::Rc;

use super::canvas::{Ink, NodeId, Role, Shape, Strip, Tree};
use super::flow::{Flow, text};
use super::font::{Fonts, Weight};
use super::table::table;
use super::{blanks, cards, columns, container, labels};
use crate::report::sheet::{Block, Heed, Picture, Sheet, Swatch, Table};

const HEADING: f32 = 12.0;
const LINE: f32 = 10.5;
const NOTE: f32 = 9.0;
const BRIEF: f32 = 9.5;

/// Lays a whole sheet out; the page is turned before the block `turn`.
pub(super) fn sheet(flow: &mut Flow<'_>, sheet: &Sheet, turn: Option<usize>) {
    let node = flow.begin(&sheet.title);
    let mut list = None;
    for (at, block) in sheet.blocks.iter().enumerate() {
        if turn == Some(at) {
            flow.turn();
        }
        if !matches!(block, Block::Line(_)) {
            list = None;
        }
        place(flow, node, &mut list, block);
        flow.end_block();
    }
}

fn place(flow: &mut Flow<'_>, node: NodeId, list: &mut Option<NodeId>, block: &Block) {
    match block {
        Block::Heading(words) => {
            let width = flow.width();
            let strip = heading(flow.fonts, &mut flow.tree, node, words, width);
            flow.hold(strip);
        }
        Block::Line(words) => {
            let owner = flow.tree.line(node, words, list);
            let style = (Weight::Regular, LINE);
            let strip = paragraph(flow.fonts, owner, words, style, flow.width());
            flow.place(strip);
        }
        Block::Note(words) => {
            let owner = flow.tree.node(node, Role::Paragraph);
            let style = (Weight::Regular, NOTE);
            let mut strip = paragraph(flow.fonts, owner, words, style, flow.width());
            strip.height += 2.0;
            if flow.is_holding() { flow.hold(strip) } else { flow.place(strip) }
        }
        Block::Warning { mark, words, source, stops } => {
            let strip = warning(flow, node, [mark, words, source], *stops);
            flow.place(strip);
        }
        Block::Brief(all) => brief(flow, node, all),
        Block::Blanks(all) => {
            for row in blanks::blanks(flow, node, all) {
                flow.place(row);
            }
        }
        Block::Table(one) => place_table(flow, node, one),
        Block::CardsAndTable { cards, title, table } => {
            columns::cards_and_table(flow, node, cards, title, table);
        }
        Block::WorkEnds => flow.end_work(),
        Block::Cards(all) => cards::cards(flow, node, all),
        Block::Labels(kinds) => labels::labels(flow, node, kinds),
        Block::Swatches(swatches) => place_swatches(flow, node, swatches),
        Block::Picture(picture) => {
            let strip = place_picture(flow, node, picture);
            flow.place(strip);
        }
        Block::Signatures { asked, lines } => {
            // In one piece: nobody signs beneath nothing.
            let mut strip = Strip::stacked(blanks::blanks(flow, node, asked));
            strip.append(signatures(flow, node, lines));
            flow.place(strip);
        }
    }
}

/// A section's heading.
pub(super) fn heading(
    fonts: &Fonts,
    tree: &mut Tree,
    node: NodeId,
    words: &str,
    width: f32,
) -> Strip {
    let owner = tree.node(node, Role::Heading(2, words.to_owned()));
    let mut strip = Strip::gap(fonts.spacing.above);
    strip.append(paragraph(fonts, owner, words, (Weight::Strong, HEADING), width));
    strip.height += 1.0;
    strip
}

/// Words in lines.
fn paragraph(
    fonts: &Fonts,
    owner: NodeId,
    words: &str,
    (weight, size): (Weight, f32),
    width: f32,
) -> Strip {
    let mut strip = Strip::default();
    for line in fonts.lines(words, weight, size, width, 0.0) {
        let y = strip.height;
        text(&mut strip, Some(owner), 0.0, y, size, line);
        strip.height += fonts.step(size);
    }
    strip
}

fn warning(
    flow: &mut Flow<'_>,
    node: NodeId,
    [mark, words, source]: [&str; 3],
    stops: bool,
) -> Strip {
    let owner = flow.tree.node(node, Role::Paragraph);
    let size = if stops { 12.0 } else { 10.0 };
    let inset = if stops { 6.0 } else { 0.0 };
    let width = flow.width() - 2.0 * inset;
    let fonts = flow.fonts;
    let mark = fonts.line(&format!("{mark}: "), Weight::Strong);
    let indent = mark.width(size) + 2.0;
    let words = if source.is_empty() { words.to_owned() } else { format!("{words} [{source}]") };
    let weight = if stops { Weight::Strong } else { Weight::Regular };
    let mut strip = Strip::gap(inset);
    text(&mut strip, Some(owner), inset, inset, size, mark);
    for (at, line) in fonts.lines(&words, weight, size, width, indent).into_iter().enumerate() {
        let (x, y) = (if at == 0 { indent } else { 0.0 }, strip.height);
        text(&mut strip, Some(owner), inset + x, y, size, line);
        strip.height += flow.fonts.step(size);
    }
    strip.height += inset + 2.0;
    if stops {
        let frame = Shape::Stroke {
            corners: Shape::rectangle([0.0, 1.0], [flow.width(), strip.height - 3.0]),
            closed: true,
            width: 1.8,
            dashed: false,
            ink: Ink::Black,
        };
        strip.piece(None, vec![frame]);
        strip.height += 3.0;
    }
    strip
}

/// Between two columns.
pub(super) const BETWEEN: f32 = 12.0;

pub(super) fn place_table(flow: &mut Flow<'_>, node: NodeId, one: &Table) {
    let width = flow.width();
    let rows = table(flow.fonts, &mut flow.tree, node, one, width);
    flow.rows(rows.head, rows.rows);
    flow.place(Strip::gap(flow.fonts.spacing.below));
}

/// Short words of warning in two columns, read down the left and then down the right.
fn brief(flow: &mut Flow<'_>, node: NodeId, all: &[Heed]) {
    let half = (flow.width() - BETWEEN) / 2.0;
    if all.is_empty() {
        return;
    }
    let list = flow.tree.node(node, Role::List);
    let strips: Vec<Strip> = all.iter().map(|heed| draw_heed(flow, list, heed, half)).collect();
    let whole: f32 = strips.iter().map(|strip| strip.height).sum();
    let tallest = strips.iter().map(|strip| strip.height).fold(0.0, f32::max);
    if whole / 2.0 + tallest > flow.room() {
        strips.into_iter().for_each(|strip| flow.place(strip));
        return;
    }
    let (mut left, mut right) = (Strip::default(), Strip::default());
    for strip in strips {
        // The left column takes what brings it nearer to half.
        let over = left.height + strip.height / 2.0 > whole / 2.0;
        if over || right.height > 0.0 { right.append(strip) } else { left.append(strip) }
    }
    left.beside(half + BETWEEN, right);
    left.height += flow.fonts.spacing.below / 2.0;
    flow.place(left);
}

fn draw_heed(flow: &mut Flow<'_>, list: NodeId, heed: &Heed, width: f32) -> Strip {
    let owner = flow.tree.item(list);
    let mark = flow.fonts.line(&format!("{} ", heed.mark), Weight::Strong);
    let indent = mark.width(BRIEF);
    let mut strip = Strip::default();
    text(&mut strip, Some(owner), 0.0, 0.0, BRIEF, mark);
    let lines = flow.fonts.lines(&heed.words, Weight::Regular, BRIEF, width, indent);
    for (at, line) in lines.into_iter().enumerate() {
        let (x, y) = (if at == 0 { indent } else { 0.0 }, strip.height);
        text(&mut strip, Some(owner), x, y, BRIEF, line);
        strip.height += flow.fonts.step(BRIEF);
    }
    strip.height = strip.height.max(flow.fonts.step(BRIEF)) + 1.0;
    strip
}

fn place_swatches(flow: &mut Flow<'_>, node: NodeId, swatches: &[Swatch]) {
    const GUTTER: f32 = 12.0;
    // As many rows as there must be, none nearly empty: a client signs on the page that shows the colours.
    const MOST_ACROSS: usize = 6;
    let rows = swatches.len().div_ceil(MOST_ACROSS).max(1);
    let across = swatches.len().div_ceil(rows).max(3);
    #[expect(clippy::cast_precision_loss, reason = "three to six")]
    let own = (flow.width() - (across - 1) as f32 * GUTTER) / across as f32;
    for some in swatches.chunks(across) {
        let mut row = Strip::default();
        let mut x = 0.0;
        for swatch in some {
            let drawn = draw_swatch(flow, node, swatch, own);
            row.beside(x, drawn);
            x += own + GUTTER;
        }
        row.height += 4.0;
        flow.place(row);
    }
}

fn draw_swatch(flow: &mut Flow<'_>, node: NodeId, swatch: &Swatch, width: f32) -> Strip {
    const FIELD: f32 = 36.0;
    const SMALL: f32 = 17.0;
    let fonts = flow.fonts;
    let alt = match swatch.colour {
        Some(colour) => format!("{}, shown as {colour}", swatch.name),
        None => format!("{}: its colour is not known", swatch.name),
    };
    let figure = flow.tree.node(node, Role::Figure(alt));
    let frame = |corners: Vec<[f32; 2]>, dashed| Shape::Stroke {
        corners,
        closed: true,
        width: 0.5,
        dashed,
        ink: Ink::Black,
    };
    let field = Shape::rectangle([0.0, 2.0], [width, FIELD]);
    let mut shapes = Vec::new();
    if let Some(colour) = swatch.colour {
        shapes.push(Shape::Area { corners: field.clone(), ink: Ink::Colour(colour) });
    }
    shapes.push(frame(field, swatch.colour.is_none()));
    let mut x = 0.0;
    for ground in &swatch.grounds {
        let small = Shape::rectangle([x, FIELD + 5.0], [width / 3.0 - 3.0, SMALL]);
        shapes.push(Shape::Area { corners: small.clone(), ink: Ink::Colour(*ground) });
        shapes.push(frame(small, false));
        x += width / 3.0 + 1.5;
    }
    let mut strip = Strip::gap(FIELD + SMALL + 8.0);
    strip.piece(Some(figure), shapes);
    let owner = flow.tree.node(node, Role::Paragraph);
    let mut set = |words: &str, weight, size: f32| {
        for line in fonts.lines(words, weight, size, width, 0.0) {
            let y = strip.height;
            text(&mut strip, Some(owner), 0.0, y, size, line);
            strip.height += flow.fonts.step(size);
        }
    };
    set(&swatch.name, Weight::Strong, 11.0);
    for line in &swatch.lines {
        set(line, Weight::Regular, NOTE);
    }
    strip
}

fn place_picture(flow: &mut Flow<'_>, node: NodeId, picture: &Picture) -> Strip {
    let owner = flow.tree.node(node, Role::Figure(picture.alt.clone()));
    #[expect(clippy::cast_precision_loss, reason = "a picture has fewer than 2²⁴ pixels a side")]
    let [across, down] = picture.size.map(|pixels| pixels.max(1) as f32);
    // Half of the page is left to the words beside it.
    let most = flow.width() * if picture.beside.is_empty() { 1.0 } else { 0.5 };
    let width = most.min(flow.fonts.spacing.picture * across / down);
    let size = [width, width * down / across];
    let mut strip = Strip::gap(size[1] + 8.0);
    let png = Rc::new(picture.png.clone());
    strip.piece(Some(owner), vec![Shape::Picture { at: [0.0, 4.0], size, png }]);
    let (mut words, mut list) = (Strip::gap(4.0), None);
    for one in &picture.beside {
        let owner = flow.tree.line(node, one, &mut list);
        let room = flow.width() - width - 14.0;
        for line in flow.fonts.lines(one, Weight::Regular, LINE, room, 0.0) {
            let y = words.height;
            text(&mut words, Some(owner), 0.0, y, LINE, line);
            words.height += flow.fonts.step(LINE);
        }
        words.height += 1.0;
    }
    strip.beside(width + 14.0, words);
    strip
}

fn signatures(flow: &mut Flow<'_>, node: NodeId, lines: &[String]) -> Strip {
    let own = (flow.width() - 24.0) / 2.0;
    let mut all = Strip::default();
    for two in lines.chunks(2) {
        let mut row = Strip::default();
        let mut x = 0.0;
        for words in two {
            let owner = flow.tree.node(node, Role::Paragraph);
            let mut cell = Strip::default();
            let corners = vec![[0.0, 34.0], [own, 34.0]];
            let line = Shape::Stroke {
                corners,
                closed: false,
                width: 0.8,
                dashed: false,
                ink: Ink::Black,
            };
            cell.spoken(owner, "to be signed".to_owned(), vec![line]);
            text(&mut cell, Some(owner), 0.0, 37.0, 9.0, flow.fonts.line(words, Weight::Regular));
            cell.height = 52.0;
            row.beside(x, cell);
            x += own + 24.0;
        }
        all.append(row);
    }
    all
}

/// Room that a container's drawing takes beside a table.
pub(super) const DRAWING: f32 = container::WIDTH + 3.0;
