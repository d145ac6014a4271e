//! Strips to pages: what fits, where a page breaks, what stands over and under each page.

use super::Paper;
use super::canvas::{Child, Ink, NodeId, Piece, Role, Shape, Strip, Tree};
use super::font::{Fonts, Weight};
use crate::report::sheet::{Head, Sheets};

/// White round the page, pt.
pub(super) const MARGIN: f32 = 36.0;
const FOOT_SIZE: f32 = 8.0;
/// Lines are this much further apart than their letters are large.
pub(super) const LEADING: f32 = 1.25;
/// From a line's top to its baseline, in parts of its size.
pub(super) const BASELINE: f32 = 0.98;

/// A page with what is on it.
#[derive(Debug, Default)]
pub(super) struct PageLayout {
    pub(super) pieces: Vec<Piece>,
}

/// Where a sheet begins.
#[derive(Debug)]
pub(super) struct Begin {
    pub(super) title: String,
    pub(super) page: usize,
}

pub(super) struct Flow<'a> {
    pub(super) fonts: &'a Fonts,
    pub(super) tree: Tree,
    pub(super) pages: Vec<PageLayout>,
    pub(super) begins: Vec<Begin>,
    paper: Paper,
    head: &'a Head,
    foot: Vec<Shape>,
    foot_height: f32,
    y: f32,
    /// Where the body of the present page begins.
    top: f32,
    /// Headings and notes that wait for what they stand over.
    waiting: Vec<Strip>,
}

impl<'a> Flow<'a> {
    pub(super) fn new(fonts: &'a Fonts, paper: Paper, sheets: &'a Sheets) -> Self {
        let width = paper.size()[0] - 2.0 * MARGIN;
        // Room for the page's number on the right.
        let lines = fonts.lines(&sheets.foot, Weight::Regular, FOOT_SIZE, width - 70.0, 0.0);
        let mut foot = Vec::new();
        let mut y = 5.0;
        for line in lines {
            let at = [0.0, y + FOOT_SIZE * BASELINE];
            foot.push(Shape::Text { at, size: FOOT_SIZE, line, ink: Ink::Black });
            y += FOOT_SIZE * LEADING;
        }
        Self {
            fonts,
            tree: Tree::new(),
            pages: Vec::new(),
            begins: Vec::new(),
            paper,
            head: &sheets.head,
            foot,
            foot_height: y,
            y: 0.0,
            top: 0.0,
            waiting: Vec::new(),
        }
    }

    pub(super) fn width(&self) -> f32 {
        self.paper.size()[0] - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        self.paper.size()[1] - MARGIN - self.foot_height - 6.0
    }

    /// How much a page holds below a continued page's head.
    pub(super) fn body(&self) -> f32 {
        self.bottom() - MARGIN - 30.0
    }

    pub(super) fn left(&self) -> f32 {
        self.bottom() - self.y
    }

    /// Begins a sheet on a new page; its node in the tree is returned.
    pub(super) fn begin(&mut self, title: &str) -> NodeId {
        self.release();
        let sheet = self.tree.node(0, Role::Sheet);
        self.pages.push(PageLayout::default());
        self.y = MARGIN;
        self.begins.push(Begin { title: title.to_owned(), page: self.pages.len() - 1 });
        let width = self.width();
        let mut strip = Strip::default();
        let heading = self.tree.node(sheet, Role::Heading(1, title.to_owned()));
        let line = self.fonts.line(title, Weight::Strong);
        text(&mut strip, Some(heading), 0.0, 0.0, 11.0, line);
        strip.height = 11.0 * LEADING;
        let paragraph = self.tree.node(sheet, Role::Paragraph);
        let day = self.head.day.map_or_else(String::new, |day| format!(" · {day}"));
        for (words, size, weight) in [
            (self.head.colourway.clone(), 20.0, Weight::Strong),
            (format!("for {}", self.head.job), 13.0, Weight::Regular),
            (
                format!("recipe {} · plan {}{day}", self.head.fingerprint, self.head.revision),
                10.0,
                Weight::Regular,
            ),
        ] {
            for line in self.fonts.lines(&words, weight, size, width, 0.0) {
                let y = strip.height;
                text(&mut strip, Some(paragraph), 0.0, y, size, line);
                strip.height += size * LEADING;
            }
        }
        let y = strip.height + 2.0;
        rule(&mut strip, y, width, 1.2);
        strip.height += 8.0;
        self.put(strip);
        self.top = self.y;
        sheet
    }

    /// A further page of the present sheet.
    fn turn(&mut self) {
        self.pages.push(PageLayout::default());
        self.y = MARGIN;
        let title = self.begins.last().map_or("", |begin| begin.title.as_str());
        let day = self.head.day.map_or_else(String::new, |day| format!(" · {day}"));
        let words = format!(
            "{title}, continued · recipe {} · plan {}{day} · {} for {}",
            self.head.fingerprint, self.head.revision, self.head.colourway, self.head.job
        );
        let width = self.width();
        let mut strip = Strip::default();
        let line = self.fonts.cut(&words, Weight::Strong, 10.0, width);
        text(&mut strip, None, 0.0, 0.0, 10.0, line);
        rule(&mut strip, 10.0 * LEADING + 2.0, width, 1.2);
        strip.height = 10.0 * LEADING + 8.0;
        self.put(strip);
        self.top = self.y;
    }

    /// Puts a strip at the present place, come what may.
    fn put(&mut self, strip: Strip) {
        let page = self.pages.len() - 1;
        let height = strip.height;
        for piece in strip.moved([MARGIN, self.y]).pieces {
            if let Some(owner) = piece.owner {
                let at = self.pages[page].pieces.len();
                self.tree.nodes[owner].1.push(Child::Piece { page, at });
            }
            self.pages[page].pieces.push(piece);
        }
        self.y += height;
    }

    fn release(&mut self) {
        for strip in std::mem::take(&mut self.waiting) {
            self.put(strip);
        }
    }

    /// Holds a strip until what it stands over is placed, on the same page.
    pub(super) fn hold(&mut self, strip: Strip) {
        self.waiting.push(strip);
    }

    pub(super) fn is_holding(&self) -> bool {
        !self.waiting.is_empty()
    }

    fn waits(&self) -> f32 {
        self.waiting.iter().map(|strip| strip.height).sum()
    }

    /// Turns the page unless so much more fits on it.
    pub(super) fn need(&mut self, height: f32) {
        if self.waits() + height > self.left() + 0.01 && self.y > self.top + 0.01 {
            self.turn();
        }
    }

    /// Places a strip, on a new page if it does not fit.
    pub(super) fn place(&mut self, strip: Strip) {
        self.need(strip.height);
        self.release();
        self.put(strip);
    }

    /// Places rows under a head that is repeated on every page. A table that is not long is kept
    /// together; of a long one neither the first nor the last row stands alone.
    pub(super) fn rows(&mut self, head: Strip, rows: Vec<Strip>) {
        let whole = head.height + rows.iter().map(|row| row.height).sum::<f32>();
        if whole <= 0.45 * self.body() {
            self.need(whole);
        }
        let first =
            rows.first().map_or(0.0, |row| row.height) + rows.get(1).map_or(0.0, |row| row.height);
        let repeated = head.as_ornament();
        self.need(head.height + first);
        self.release();
        self.put(head);
        let count = rows.len();
        let mut rows = rows.into_iter().enumerate().peekable();
        while let Some((at, row)) = rows.next() {
            let next = rows.peek().map_or(0.0, |(_, next)| next.height);
            let with = if at + 2 == count { row.height + next } else { row.height };
            if with > self.left() + 0.01 && at > 0 {
                self.turn();
                self.put(repeated.clone());
            }
            self.put(row);
        }
    }

    /// Adds the foot of every page once their number is known.
    pub(super) fn finish(&mut self) {
        self.release();
        let count = self.pages.len();
        let [width, height] = self.paper.size();
        for (page, layout) in self.pages.iter_mut().enumerate() {
            let mut strip = Strip::default();
            rule(&mut strip, 0.0, width - 2.0 * MARGIN, 0.5);
            strip.piece(None, self.foot.clone());
            let line = self.fonts.line(&format!("page {} of {count}", page + 1), Weight::Strong);
            let x = width - 2.0 * MARGIN - line.width(FOOT_SIZE);
            text(&mut strip, None, x, 5.0, FOOT_SIZE, line);
            let strip = strip.moved([MARGIN, height - MARGIN - self.foot_height]);
            layout.pieces.extend(strip.pieces);
        }
    }
}

/// A line of text whose top left corner is at `x`, `y`.
pub(super) fn text(
    strip: &mut Strip,
    owner: Option<NodeId>,
    x: f32,
    y: f32,
    size: f32,
    line: std::rc::Rc<super::font::Line>,
) {
    let at = [x, y + size * BASELINE];
    strip.piece(owner, vec![Shape::Text { at, size, line, ink: Ink::Black }]);
}

/// A rule across.
pub(super) fn rule(strip: &mut Strip, y: f32, width: f32, thick: f32) {
    let corners = vec![[0.0, y], [width, y]];
    let rule =
        Shape::Stroke { corners, closed: false, width: thick, dashed: false, ink: Ink::Black };
    strip.piece(None, vec![rule]);
}
