//! Labels to be cut out: three to a row, each cut drawn once, rows shared out so that no page of them is
//! nearly empty beside a full one.

use super::canvas::{Ink, NodeId, Role, Shape, Strip};
use super::flow::{BASELINE, Flow, text};
use super::font::Weight;
use super::table::WEIGHT_SIZE;
use crate::report::sheet::Label;

const ACROSS: usize = 3;
const TITLE: f32 = 13.0;
const NUMBER: f32 = 11.0;
const WHAT: f32 = 10.0;
const FOOT: f32 = 8.5;
/// Between a label's words and the cut beside them.
const ASIDE: f32 = 7.0;
/// Between what stands at the left of a line and at its right.
const BETWEEN: f32 = 6.0;

/// Lays out labels of several kinds; each kind begins a row.
pub(super) fn labels(flow: &mut Flow<'_>, node: NodeId, kinds: &[Vec<Label>]) {
    let own = flow.width() / 3.0;
    let mut rows: Vec<Vec<Strip>> = Vec::new();
    for some in kinds.iter().flat_map(|kind| kind.chunks(ACROSS)) {
        rows.push(some.iter().map(|label| draw(flow, node, label, own)).collect());
    }
    let heights: Vec<f32> =
        rows.iter().map(|row| row.iter().map(|label| label.height).fold(0.0, f32::max)).collect();
    let pages = share_out(&heights, flow.left(), flow.body());
    let mut rows = rows.into_iter().zip(heights);
    for (page, count) in pages.into_iter().enumerate() {
        if page > 0 {
            flow.turn();
        }
        let mut above = 0;
        for (row, height) in rows.by_ref().take(count) {
            let labels = row.len();
            flow.place(framed(row, [own, height], above));
            above = labels;
        }
    }
}

/// A row of labels with the lines to cut along; `above` labels stand over it, whose lower edge is its upper
/// one: a line drawn twice would no longer be dashed.
fn framed(row: Vec<Strip>, [own, height]: [f32; 2], above: usize) -> Strip {
    let mut strip = Strip::gap(height);
    let mut x = 0.0;
    let cut = |strip: &mut Strip, corners: [[f32; 2]; 2]| {
        let corners = corners.to_vec();
        let line =
            Shape::Stroke { corners, closed: false, width: 0.6, dashed: true, ink: Ink::Black };
        strip.piece(None, vec![line]);
    };
    for (at, label) in row.into_iter().enumerate() {
        cut(&mut strip, [[x, 0.0], [x, height]]);
        if at >= above {
            cut(&mut strip, [[x, 0.0], [x + own, 0.0]]);
        }
        cut(&mut strip, [[x, height], [x + own, height]]);
        strip.beside(x, label);
        x += own;
    }
    cut(&mut strip, [[x, 0.0], [x, height]]);
    strip.height = height;
    strip
}

/// How many rows of these heights stand on each page, the first of which has room for `first` and each
/// other for `other`: as few pages as hold them, and of those ways the one with the most even pages. A row
/// that no page holds has one to itself.
fn share_out(heights: &[f32], first: f32, other: f32) -> Vec<usize> {
    /// The best way for all rows from one on.
    #[derive(Clone, Copy)]
    struct Way {
        pages: usize,
        /// The sum of the squares of the pages' heights: least where they are even.
        uneven: f32,
        /// Rows on its first page.
        rows: usize,
    }
    let end = Way { pages: 0, uneven: 0.0, rows: 0 };
    let mut ways = vec![end; heights.len() + 1];
    for from in (0..heights.len()).rev() {
        let room = if from == 0 { first } else { other };
        let mut filled = 0.0;
        let mut best: Option<Way> = None;
        for (rows, height) in (1..).zip(&heights[from..]) {
            filled += height;
            if rows > 1 && filled > room + 0.01 {
                break;
            }
            let rest = ways[from + rows];
            let way = Way { pages: rest.pages + 1, uneven: rest.uneven + filled * filled, rows };
            // Of like ways the one with more on its first page.
            let better =
                best.is_none_or(|best| (way.pages, way.uneven - 1.0) <= (best.pages, best.uneven));
            if better {
                best = Some(way);
            }
        }
        ways[from] = best.unwrap_or(end);
    }
    let mut pages = Vec::new();
    let mut from = 0;
    while ways[from].rows > 0 {
        pages.push(ways[from].rows);
        from += ways[from].rows;
    }
    pages
}

/// One label with its white, `own` wide.
fn draw(flow: &mut Flow<'_>, node: NodeId, label: &Label, own: f32) -> Strip {
    let fonts = flow.fonts;
    let inset = fonts.spacing.inset;
    let width = own - 2.0 * ASIDE;
    let group = flow.tree.node(node, Role::Group);
    let mut strip = Strip::default();
    let head = flow.tree.node(group, Role::Paragraph);
    let title = fonts.line(&label.title, Weight::Strong);
    let number = fonts.line(&label.number, Weight::Regular);
    if title.width(TITLE) + BETWEEN + number.width(NUMBER) <= width {
        let (x, y) = (width - number.width(NUMBER), (TITLE - NUMBER) * BASELINE);
        text(&mut strip, Some(head), 0.0, 0.0, TITLE, title);
        text(&mut strip, Some(head), x, y, NUMBER, number);
        strip.height = fonts.step(TITLE);
    } else {
        for (words, weight, size) in
            [(&label.title, Weight::Strong, TITLE), (&label.number, Weight::Regular, NUMBER)]
        {
            for line in fonts.lines(words, weight, size, width, 0.0) {
                let y = strip.height;
                text(&mut strip, Some(head), 0.0, y, size, line);
                strip.height += fonts.step(size);
            }
        }
    }
    for words in &label.heed {
        let owner = flow.tree.node(group, Role::Paragraph);
        for line in fonts.lines(words, Weight::Strong, TITLE, width, 0.0) {
            let y = strip.height;
            text(&mut strip, Some(owner), 0.0, y, TITLE, line);
            strip.height += fonts.step(TITLE);
        }
    }
    strip.height += 2.0;
    for (what, weight) in &label.content {
        let owner = flow.tree.node(group, Role::Paragraph);
        let size = WEIGHT_SIZE - 1.0;
        if weight.is_empty() {
            for line in fonts.lines(what, Weight::Strong, WHAT, width, 0.0) {
                let y = strip.height;
                text(&mut strip, Some(owner), 0.0, y, WHAT, line);
                strip.height += fonts.step(WHAT);
            }
            continue;
        }
        let weight = fonts.line(weight, Weight::Strong);
        let x = width - weight.width(size);
        let mut names = Strip::gap((size - WHAT) * BASELINE);
        for line in fonts.lines(what, Weight::Regular, WHAT, x - BETWEEN, 0.0) {
            let y = names.height;
            text(&mut names, Some(owner), 0.0, y, WHAT, line);
            names.height += fonts.step(WHAT);
        }
        text(&mut names, Some(owner), x, 0.0, size, weight);
        names.height = names.height.max(fonts.step(size));
        strip.append(names);
    }
    strip.height += 3.0;
    let foot = flow.tree.node(group, Role::Paragraph);
    for words in &label.foot {
        for line in fonts.lines(words, Weight::Regular, FOOT, width, 0.0) {
            let y = strip.height;
            text(&mut strip, Some(foot), 0.0, y, FOOT, line);
            strip.height += fonts.step(FOOT);
        }
    }
    let height = strip.height + 2.0 * inset;
    let mut label = strip.moved([ASIDE, inset]);
    label.height = height;
    label
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every way to share rows out, each page within its room.
    fn ways(heights: &[f32], room: f32, other: f32) -> Vec<Vec<usize>> {
        if heights.is_empty() {
            return vec![Vec::new()];
        }
        let mut all = Vec::new();
        for rows in 1..=heights.len() {
            let filled: f32 = heights[..rows].iter().sum();
            if rows > 1 && filled > room + 0.01 {
                break;
            }
            for mut rest in ways(&heights[rows..], other, other) {
                rest.insert(0, rows);
                all.push(rest);
            }
        }
        all
    }

    fn filled(heights: &[f32], pages: &[usize]) -> Vec<f32> {
        let mut rows = heights.iter();
        pages.iter().map(|count| rows.by_ref().take(*count).sum()).collect()
    }

    #[test]
    fn equal_rows_are_shared_out_evenly_the_first_page_fullest() {
        assert_eq!(share_out(&[100.0; 5], 520.0, 540.0), [5]);
        assert_eq!(share_out(&[100.0; 6], 520.0, 540.0), [3, 3]);
        assert_eq!(share_out(&[100.0; 7], 520.0, 540.0), [4, 3]);
        assert_eq!(share_out(&[100.0; 11], 520.0, 540.0), [4, 4, 3]);
        assert_eq!(share_out(&[600.0, 100.0], 520.0, 540.0), [1, 1], "a row that no page holds");
        assert!(share_out(&[], 520.0, 540.0).is_empty());
    }

    #[test]
    fn a_line_to_cut_along_is_drawn_once() {
        let (own, height) = (180.0, 100.0);
        let mut drawn: Vec<Vec<[f32; 2]>> = Vec::new();
        let mut above = 0;
        for (row, y) in [(3, 0.0), (2, height), (3, 2.0 * height)] {
            let labels = vec![Strip::default(); row];
            let strip = framed(labels, [own, height], above).moved([0.0, y]);
            for shape in strip.pieces.iter().flat_map(|piece| &piece.shapes) {
                let Shape::Stroke { corners, dashed: true, .. } = shape else { continue };
                assert!(!drawn.contains(corners), "{corners:?} again");
                drawn.push(corners.clone());
            }
            above = row;
        }
        // Eleven upright; a lower edge for each label, three above the first row and one above the last,
        // where the row above it is short.
        assert_eq!(drawn.len(), 11 + 8 + 3 + 1);
    }

    proptest! {
        #[test]
        fn as_few_pages_as_hold_them_and_the_most_even_of_those_ways(
            heights in prop::collection::vec(60.0_f32..330.0, 1..11),
            first in 500.0_f32..700.0,
        ) {
            let other = first + 20.0;
            let uneven = |pages: &[usize]| -> f32 {
                filled(&heights, pages).iter().map(|filled| filled * filled).sum()
            };
            let found = share_out(&heights, first, other);
            prop_assert_eq!(found.iter().sum::<usize>(), heights.len());
            let all = ways(&heights, first, other);
            let fewest = all.iter().map(Vec::len).min().unwrap();
            prop_assert_eq!(found.len(), fewest);
            let best = all.iter().filter(|pages| pages.len() == fewest);
            let best = best.map(|pages| uneven(pages)).fold(f32::INFINITY, f32::min);
            prop_assert!(uneven(&found) <= best + 20.0, "{:?}", found);
        }

        #[test]
        fn no_page_of_several_is_nearly_empty(
            heights in prop::collection::vec(60.0_f32..170.0, 1..70),
        ) {
            let pages = share_out(&heights, 650.0, 680.0);
            if pages.len() > 1 {
                for filled in filled(&heights, &pages) {
                    prop_assert!(filled >= 680.0 / 3.0, "{:?}", pages);
                }
            }
        }
    }
}
