//! Tables: columns as wide as they need, rows as high as they must be.

use std::rc::Rc;

use super::canvas::{Ink, NodeId, Role, Shape, Strip, Tree};
use super::flow::{BASELINE, rule, text};
use super::font::{Fonts, Line, Weight};
use crate::report::sheet::{Cell, Side, Table};

/// Weights are read at arm's length: never below 14 pt.
pub(super) const WEIGHT_SIZE: f32 = 15.0;
const READING_SIZE: f32 = 14.0;
const WORDS_SIZE: f32 = 11.0;
const SMALL_SIZE: f32 = 9.0;
const TITLE_SIZE: f32 = 8.5;
/// What was planned, in a place to write in.
const HINT_SIZE: f32 = 9.0;
/// Between columns of a table as wide as the page, and of one in half of it.
const GUTTER: f32 = 10.0;
const NARROW_GUTTER: f32 = 5.0;
/// A table no wider than this is narrow.
const NARROW: f32 = 300.0;
/// What a place to write in would like, and what a gloved hand needs.
const BLANK_WIDTH: [f32; 2] = [62.0, 46.0];
/// Words that would break at their usual size stand whole at this one, if they can.
const WORDS_SMALL: f32 = 9.5;
/// Between words and the smaller ones beside them, in a line of all rows and in a row of its own.
const BESIDE: f32 = 10.0;
const BESIDE_ALONE: f32 = 5.5;
pub(super) const TICK: f32 = 12.5;
pub(super) const TICK_STEP: f32 = 15.5;
const TICK_NUMBER: f32 = 8.5;
/// Boxes to tick that stand in one line of a table: at most, and where there is little room.
const TICKS_ACROSS: [usize; 2] = [12, 6];

/// A table's head and rows as strips.
pub(super) struct Rows {
    pub(super) head: Strip,
    pub(super) rows: Vec<Strip>,
}

/// Whether a table's words and figures stand whole in `width`.
pub(super) fn fits(fonts: &Fonts, table: &Table, width: f32) -> bool {
    let least: f32 = column_wants(fonts, table).iter().map(|[_, least]| least).sum();
    least <= free(table.columns.len(), width)
}

/// Between columns.
const fn gutter(width: f32) -> f32 {
    if width <= NARROW { NARROW_GUTTER } else { GUTTER }
}

/// What the columns share out.
#[expect(clippy::cast_precision_loss, reason = "columns are few")]
const fn free(columns: usize, width: f32) -> f32 {
    width - gutter(width) * columns.saturating_sub(1) as f32
}

/// Lays a table out, `width` wide, as a child of `parent`.
pub(super) fn table(
    fonts: &Fonts,
    tree: &mut Tree,
    parent: NodeId,
    table: &Table,
    width: f32,
) -> Rows {
    let node = tree.node(parent, Role::Table);
    let widths = widths(fonts, table, width);
    let mut lefts = Vec::with_capacity(widths.len());
    let mut x = 0.0;
    for own in &widths {
        lefts.push(x);
        x += own + gutter(width);
    }
    let besides = besides(fonts, table, &widths);
    let [above, below] = fonts.spacing.padding;
    let head = head(fonts, tree, node, table, &widths, &lefts, width);
    let rows = table
        .rows
        .iter()
        .map(|cells| {
            let row = tree.node(node, Role::Row);
            let cells: Vec<Strip> = cells
                .iter()
                .zip(&table.columns)
                .zip(&besides)
                .enumerate()
                .map(|(at, ((cell, column), beside))| {
                    let data = tree.node(row, Role::Data);
                    let place = Place {
                        side: column.side,
                        width: widths[at],
                        beside: *beside,
                        below: width_below(cells, at, &widths, width - lefts[at]),
                    };
                    draw_cell(fonts, data, cell, place)
                })
                .collect();
            let mut strip = Strip::gap(0.0);
            let tallest = cells.iter().map(|cell| cell.height).fold(0.0, f32::max);
            for (cell, x) in cells.into_iter().zip(&lefts) {
                // Cells stand on a common first line, so that a row reads across.
                strip.beside(*x, cell.moved([0.0, above]));
            }
            strip.height = above + tallest + below;
            let y = strip.height;
            rule(&mut strip, y, width, 0.35);
            strip
        })
        .collect();
    Rows { head, rows }
}

fn head(
    fonts: &Fonts,
    tree: &mut Tree,
    node: NodeId,
    table: &Table,
    widths: &[f32],
    lefts: &[f32],
    width: f32,
) -> Strip {
    let mut strip = Strip::default();
    if table.columns.iter().all(|column| column.title.is_empty()) {
        return strip;
    }
    let row = tree.node(node, Role::Row);
    for ((column, own), x) in table.columns.iter().zip(widths).zip(lefts) {
        let title = tree.node(row, Role::ColumnTitle);
        let lines = fonts.lines(&column.title, Weight::Regular, TITLE_SIZE, own + 4.0, 0.0);
        if lines.is_empty() {
            strip.piece(Some(title), Vec::new());
        }
        let mut y = 0.0;
        for line in lines {
            let x = match column.side {
                Side::Left => *x,
                Side::Right => x + own - line.width(TITLE_SIZE),
            };
            text(&mut strip, Some(title), x, y, TITLE_SIZE, line);
            y += fonts.step(TITLE_SIZE);
        }
        strip.height = strip.height.max(y);
    }
    strip.height += 2.0;
    let y = strip.height;
    rule(&mut strip, y, width, 0.8);
    strip
}

/// Where the smaller words of each column begin when they stand beside the others, all in one line:
/// none where that has not room for every row.
fn besides(fonts: &Fonts, table: &Table, widths: &[f32]) -> Vec<Option<f32>> {
    let own = |words: &str, size: f32| fonts.line(words, Weight::Regular).width(size);
    let column = |at: usize| table.rows.iter().filter_map(move |row| row.get(at));
    (0..widths.len())
        .map(|at| {
            let (mut large_most, mut small_most) = (0.0_f32, 0.0_f32);
            for cell in column(at) {
                if let Cell::Words { large, small, .. } = cell {
                    large_most = large_most.max(own(large, WORDS_SIZE));
                    small_most = small_most.max(own(small, SMALL_SIZE));
                }
            }
            let from = large_most + BESIDE;
            (small_most > 0.0 && from + small_most <= widths[at]).then_some(from)
        })
        .collect()
}

/// The widest that a cell would like to be, and the narrowest that it can be.
fn wants(fonts: &Fonts, cell: &Cell) -> [f32; 2] {
    let line = |words: &str, weight, size: f32| fonts.line(words, weight).width(size);
    let fixed = |width: f32| [width, width];
    match cell {
        Cell::Words { large, small, flag } => {
            let each = [
                (large, Weight::Regular, WORDS_SIZE),
                (small, Weight::Regular, SMALL_SIZE),
                (flag, Weight::Strong, SMALL_SIZE),
            ];
            let mut wants = [0.0_f32; 2];
            for (words, weight, size) in each {
                wants[0] = wants[0].max(line(words, weight, size));
                for word in words.split_whitespace() {
                    wants[1] = wants[1].max(line(word, weight, size).min(110.0));
                }
            }
            wants
        }
        Cell::Weight { text, strong, added } => {
            let (weight, size) = weight_style(*strong);
            fixed(line(text, weight, size).max(line(added, Weight::Regular, READING_SIZE)))
        }
        Cell::Figure(text) => {
            let wide = line(text, Weight::Regular, WORDS_SIZE);
            // A long figure with words in it may be broken between them.
            let widest = text
                .split_whitespace()
                .map(|word| line(word, Weight::Regular, WORDS_SIZE))
                .fold(0.0, f32::max);
            [wide, if wide > 90.0 { widest } else { wide }]
        }
        Cell::Blank { .. } => BLANK_WIDTH,
        Cell::Tick => fixed(TICK),
        Cell::Ticks(numbers) => TICKS_ACROSS.map(|most| {
            #[expect(clippy::cast_precision_loss, reason = "at most twelve")]
            let across = numbers.len().clamp(1, most) as f32;
            across * TICK_STEP - (TICK_STEP - TICK)
        }),
    }
}

const fn weight_style(strong: bool) -> (Weight, f32) {
    if strong { (Weight::Strong, WEIGHT_SIZE) } else { (Weight::Regular, READING_SIZE) }
}

/// What each column would like, and its least.
fn column_wants(fonts: &Fonts, table: &Table) -> Vec<[f32; 2]> {
    table
        .columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            let whole = fonts.line(&column.title, Weight::Regular).width(TITLE_SIZE).min(66.0);
            let title = column
                .title
                .split_whitespace()
                .map(|word| fonts.line(word, Weight::Regular).width(TITLE_SIZE))
                .fold(0.0, f32::max);
            table.rows.iter().filter_map(|row| row.get(at)).fold(
                [whole.max(title), title],
                |so_far, cell| {
                    let own = wants(fonts, cell);
                    [so_far[0].max(own[0]), so_far[1].max(own[1])]
                },
            )
        })
        .collect()
}

/// Columns get what they would like; what is over goes to the last column of words, or else to the places to write
/// in. Where that is too much, those are as narrow as may be, then the widest give way; what is then over they get back.
fn widths(fonts: &Fonts, table: &Table, width: f32) -> Vec<f32> {
    let wants = column_wants(fonts, table);
    let free = free(wants.len(), width);
    let liked: f32 = wants.iter().map(|[like, _]| like).sum();
    let blank =
        |at: &usize| table.rows.iter().any(|row| matches!(row.get(*at), Some(Cell::Blank { .. })));
    let to_blanks = |mut widths: Vec<f32>| {
        let over = free - widths.iter().sum::<f32>();
        let blanks: Vec<usize> = (0..widths.len()).filter(blank).collect();
        #[expect(clippy::cast_precision_loss, reason = "columns are few")]
        let each = over.max(0.0) / blanks.len().max(1) as f32;
        blanks.into_iter().for_each(|at| widths[at] += each);
        widths
    };
    let least: f32 = wants.iter().map(|[_, least]| least).sum();
    if liked <= free {
        let mut widths: Vec<f32> = wants.iter().map(|[like, _]| *like).collect();
        let words = |at: &usize| {
            table.rows.iter().any(|row| matches!(row.get(*at), Some(Cell::Words { .. })))
        };
        let Some(at) = (0..widths.len()).rev().find(words) else { return to_blanks(widths) };
        widths[at] += free - liked;
        return widths;
    }
    if least <= free {
        // Names are read from afar before anything is written beside them.
        let mut wants = wants;
        let blanks = wants.iter_mut().enumerate().filter(|(at, _)| blank(at));
        blanks.for_each(|(_, want)| want[0] = want[1]);
        return to_blanks(capped(&wants, free));
    }
    // Too narrow for every word whole: words are broken, figures never.
    let gives = |at: usize| {
        table.rows.iter().all(|row| matches!(row.get(at), None | Some(Cell::Words { .. })))
    };
    let kept: f32 = (0..wants.len()).filter(|at| !gives(*at)).map(|at| wants[at][1]).sum();
    let words: f32 = least - kept;
    let scale = ((free - kept) / words.max(1.0)).max(0.1);
    wants
        .iter()
        .enumerate()
        .map(|(at, [_, own])| if gives(at) { own * scale } else { *own })
        .collect()
}

/// Each column as wide as it would like up to a common width, so that only the widest give way, and
/// none falls below its least.
fn capped(wants: &[[f32; 2]], free: f32) -> Vec<f32> {
    let at_cap = |cap: f32| -> Vec<f32> {
        wants.iter().map(|[like, least]| like.min(cap).max(*least)).collect()
    };
    let (mut low, mut high) = (0.0, wants.iter().map(|[like, _]| *like).fold(0.0, f32::max));
    for _ in 0..40 {
        let middle = f32::midpoint(low, high);
        if at_cap(middle).iter().sum::<f32>() <= free {
            low = middle;
        } else {
            high = middle;
        }
    }
    at_cap(low)
}

/// The size at which words stand in a column: a little smaller where that keeps them in one line.
fn words_size(whole: &Line, width: f32) -> f32 {
    let breaks = |size: f32| whole.width(size) > width + 0.5;
    if breaks(WORDS_SIZE) && !breaks(WORDS_SMALL) { WORDS_SMALL } else { WORDS_SIZE }
}

/// How wide a cell's smaller words may be below the others: to the table's right edge, `right` away, where
/// what stands there is one line high.
fn width_below(cells: &[Cell], at: usize, widths: &[f32], right: f32) -> f32 {
    let low = |(cell, width): (&Cell, &f32)| match cell {
        Cell::Weight { added, .. } => added.is_empty(),
        Cell::Tick => true,
        Cell::Ticks(numbers) => {
            #[expect(clippy::cast_precision_loss, reason = "boxes are few")]
            let across = numbers.len() as f32 * TICK_STEP - (TICK_STEP - TICK);
            across <= width + 0.01
        }
        _ => false,
    };
    let clear = cells.iter().zip(widths).skip(at + 1).all(low);
    if clear { right } else { widths[at] }
}

/// So much lower do smaller words begin that run below a large figure, pt.
const BELOW_FIGURE: f32 = 2.6;

/// Where a cell's content stands.
#[derive(Clone, Copy)]
struct Place {
    side: Side,
    width: f32,
    /// How wide the smaller words may be where they stand below.
    below: f32,
    /// Where smaller words begin beside the others; none where they stand below.
    beside: Option<f32>,
}

fn draw_cell(fonts: &Fonts, node: NodeId, cell: &Cell, place: Place) -> Strip {
    let Place { side, width, beside, below } = place;
    let mut strip = Strip::default();
    let set_line = |strip: &mut Strip, line: Rc<Line>, size: f32| {
        let x = match side {
            Side::Left => 0.0,
            Side::Right => width - line.width(size),
        };
        let y = strip.height;
        text(strip, Some(node), x, y, size, line);
        strip.height += fonts.step(size);
    };
    let set = |strip: &mut Strip, words: &str, weight, size: f32| {
        for line in fonts.lines(words, weight, size, width + 0.5, 0.0) {
            set_line(strip, line, size);
        }
    };
    match cell {
        Cell::Words { large, small, flag } => {
            let whole = fonts.line(large, Weight::Regular);
            let size = words_size(&whole, width);
            set(&mut strip, large, Weight::Regular, size);
            let line = fonts.line(small, Weight::Regular);
            let alone = whole.width(size) + BESIDE_ALONE;
            let fits = alone + line.width(SMALL_SIZE) <= width;
            match beside.or(fits.then_some(alone)) {
                Some(x) if !small.is_empty() => {
                    let y = (WORDS_SIZE - SMALL_SIZE) * BASELINE;
                    text(&mut strip, Some(node), x, y, SMALL_SIZE, line);
                    strip.height = strip.height.max(fonts.step(WORDS_SIZE));
                }
                _ => {
                    let whole = line.width(SMALL_SIZE) <= width;
                    let room = if whole || side == Side::Right { width + 0.5 } else { below };
                    if room > width + 0.5 {
                        // Under the figure beside it, whose tails it would touch.
                        strip.height += BELOW_FIGURE;
                    }
                    for line in fonts.lines(small, Weight::Regular, SMALL_SIZE, room, 0.0) {
                        set_line(&mut strip, line, SMALL_SIZE);
                    }
                }
            }
            set(&mut strip, flag, Weight::Strong, SMALL_SIZE);
            if strip.pieces.is_empty() {
                strip.piece(Some(node), Vec::new());
            }
        }
        Cell::Weight { text, strong, added } => {
            let (weight, size) = weight_style(*strong);
            // On the same line as the words of its row.
            let up = (size - WORDS_SIZE) * BASELINE;
            let line = fonts.line(text, weight);
            set_line(&mut strip, line, size);
            if !added.is_empty() {
                set_line(&mut strip, fonts.line(added, Weight::Regular), READING_SIZE);
            }
            strip = strip.moved([0.0, -up]);
            strip.height -= up;
        }
        Cell::Figure(text) => {
            set(&mut strip, text, Weight::Regular, WORDS_SIZE);
            if strip.pieces.is_empty() {
                strip.piece(Some(node), Vec::new());
            }
        }
        Cell::Blank { hint } => {
            strip.height = fonts.spacing.blank + 1.2;
            let frame = Shape::Stroke {
                corners: Shape::rectangle([0.0, 0.6], [width, fonts.spacing.blank]),
                closed: true,
                width: 0.5,
                dashed: false,
                ink: Ink::Black,
            };
            let mut spoken = "to be written in".to_owned();
            let mut shapes = vec![frame];
            if !hint.is_empty() {
                // Small at the left, so that there is room to write beside it.
                let line = fonts.line(hint, Weight::Regular);
                let at = [2.5, 0.6 + fonts.spacing.blank / 2.0 + HINT_SIZE * 0.36];
                shapes.push(Shape::Text { at, size: HINT_SIZE, line, ink: Ink::Grey });
                spoken = format!("plan {hint}, {spoken}");
            }
            strip.spoken(node, spoken, shapes);
        }
        Cell::Tick => strip = ticks(fonts, node, &[None], width),
        Cell::Ticks(numbers) => {
            let numbers: Vec<Option<u32>> = numbers.iter().copied().map(Some).collect();
            strip = ticks(fonts, node, &numbers, width);
        }
    }
    strip
}

/// Boxes to tick, those that have one with their number.
pub(super) fn ticks(fonts: &Fonts, node: NodeId, boxes: &[Option<u32>], width: f32) -> Strip {
    let mut strip = Strip::default();
    let mut shapes = Vec::new();
    let (mut x, mut y) = (0.0, 1.0);
    for number in boxes {
        if x > 0.0 && x + TICK > width + 0.01 {
            x = 0.0;
            y += TICK_STEP;
        }
        shapes.push(Shape::Stroke {
            corners: Shape::rectangle([x, y], [TICK, TICK]),
            closed: true,
            width: 0.8,
            dashed: false,
            ink: Ink::Black,
        });
        if let Some(number) = number {
            let line = fonts.line(&number.to_string(), Weight::Regular);
            // Three figures have no more room than two.
            let size = if *number < 100 { TICK_NUMBER } else { TICK_NUMBER - 1.0 };
            let at = [x + (TICK - line.width(size)) / 2.0, y + TICK / 2.0 + size * 0.36];
            shapes.push(Shape::Text { at, size, line, ink: Ink::Black });
        }
        x += TICK_STEP;
    }
    strip.height = y + TICK_STEP - 1.0;
    let spoken = match boxes.len() {
        1 => "a box to tick".to_owned(),
        count => format!("{count} boxes to tick"),
    };
    strip.spoken(node, spoken, shapes);
    strip
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sheet::Heading;

    /// From a capital's foot to its head, and from a small g's foot up to the line, in parts of the size: of Inter, the
    /// font that the program carries.
    const CAPITAL: f32 = 0.727;
    const TAIL: f32 = 0.205;

    #[test]
    fn a_weight_stands_clear_of_the_rules_however_closely_it_is_set() {
        let open = Fonts::new().unwrap();
        let [close, closest] = open.closer();
        let column = |side| Heading { title: String::new(), side };
        let weighed = Table {
            columns: vec![column(Side::Left), column(Side::Right)],
            rows: vec![vec![Cell::words("part A"), Cell::weight("1262 g", true)]],
        };
        for fonts in [&open, &close, &closest] {
            let row = table(fonts, &mut Tree::new(), 0, &weighed, 250.0).rows.remove(0);
            let baseline = row.pieces.iter().flat_map(|piece| &piece.shapes).find_map(|shape| {
                let Shape::Text { at, size, .. } = shape else { return None };
                (*size == WEIGHT_SIZE).then_some(at[1])
            });
            let baseline = baseline.unwrap();
            let above = baseline - CAPITAL * WEIGHT_SIZE;
            let below = row.height - baseline - TAIL * WEIGHT_SIZE;
            assert!(above >= 1.1 && below >= 0.9, "{above} {below} {:?}", fonts.spacing);
        }
    }
}
