//! Strips to pages: what fits, where a page breaks, what stands over and under each page.

use super::Paper;
use super::canvas::{Child, Ink, NodeId, Ornament, Piece, Role, Shape, Strip, Tree};
use super::font::{Fonts, Weight};
use crate::report::sheet::{Head, Sheets};

/// White round the page, pt: what a printer reaches, and a little more.
pub(super) const MARGIN: f32 = 25.0;
/// Most lines that a name takes in a head before it is cut.
const MOST_LINES: usize = 4;
const NAME: f32 = 20.0;
const JOB: f32 = 13.0;
const TITLE: f32 = 13.0;
const MARKS: f32 = 10.0;
const WHOSE: f32 = 11.0;
const FOOT_SIZE: f32 = 8.0;
/// A table that goes on to another page begins with so many rows, and ends with so many on its last.
const FEW_ROWS: usize = 5;
/// What stands at the right of the foot: which page of the sheet, which of all.
const FOOT_NUMBERS: f32 = 96.0;
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
    /// Where the foot is read: once, at the document's beginning.
    foot_node: NodeId,
    foot_height: f32,
    /// The tallest head of a continued page.
    head_height: f32,
    y: f32,
    /// Where the body of the present page begins.
    top: f32,
    /// Headings and notes that wait for what they stand over.
    waiting: Vec<Strip>,
    /// The page of its sheet, from 0, on which the work that one page should hold came to its end.
    pub(super) work_ended: Option<usize>,
    /// How many blocks of that work ended on the sheet's first page.
    pub(super) work_on_first: usize,
}

impl<'a> Flow<'a> {
    pub(super) fn new(fonts: &'a Fonts, paper: Paper, sheets: &'a Sheets) -> Self {
        let width = paper.size()[0] - 2.0 * MARGIN;
        // Room for the page's numbers on the right, in two lines.
        let room = width - FOOT_NUMBERS;
        let lines = fonts.lines(&sheets.foot, Weight::Regular, FOOT_SIZE, room, 0.0);
        let mut foot = Vec::new();
        let mut y = 5.0;
        for line in lines {
            let at = [0.0, y + FOOT_SIZE * BASELINE];
            foot.push(Shape::Text { at, size: FOOT_SIZE, line, ink: Ink::Black });
            y += FOOT_SIZE * LEADING;
        }
        let heads = sheets
            .sheets
            .iter()
            .map(|sheet| continued_head(fonts, &sheets.head, &sheet.title, width).height);
        let head_height = heads.fold(0.0, f32::max);
        Self {
            fonts,
            tree: Tree::new(),
            pages: Vec::new(),
            begins: Vec::new(),
            paper,
            head: &sheets.head,
            foot,
            foot_node: 0,
            foot_height: y.max(5.0 + 2.0 * FOOT_SIZE * LEADING),
            head_height,
            y: 0.0,
            top: 0.0,
            waiting: Vec::new(),
            work_ended: None,
            work_on_first: 0,
        }
    }

    pub(super) fn width(&self) -> f32 {
        self.paper.size()[0] - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        self.paper.size()[1] - MARGIN - self.foot_height - 4.0
    }

    /// How much a page holds below a continued page's head.
    pub(super) fn body(&self) -> f32 {
        self.bottom() - MARGIN - self.head_height
    }

    /// How much of that is left for what follows a heading that waits for it.
    pub(super) fn room(&self) -> f32 {
        self.body() - self.waits()
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
        // Sheets are handed out one by one, so each says whose it is; the foot is read once.
        let paragraph = Some(self.tree.node(sheet, Role::Paragraph));
        if self.foot_node == 0 {
            self.foot_node = self.tree.node(sheet, Role::Paragraph);
        }
        // The sheet's title stands at the right of the colourway's name.
        let line = self.fonts.line(title, Weight::Strong);
        let room = width - line.width(TITLE) - 14.0;
        let y = (NAME - TITLE) * BASELINE;
        text(&mut strip, Some(heading), width - line.width(TITLE), y, TITLE, line);
        let mut last = 0.0;
        for line in name_lines(self.fonts, &self.head.colourway, Weight::Strong, NAME, room) {
            let y = strip.height;
            last = line.width(NAME) + 14.0;
            text(&mut strip, paragraph, 0.0, y, NAME, line);
            strip.height += NAME * LEADING;
        }
        let film = self.fonts.line(&self.head.film, Weight::Regular);
        if last + film.width(MARKS) <= room {
            let y = strip.height - NAME * LEADING + (NAME - MARKS) * BASELINE;
            text(&mut strip, paragraph, last, y, MARKS, film);
        } else {
            for line in name_lines(self.fonts, &self.head.film, Weight::Regular, MARKS, width) {
                let y = strip.height;
                text(&mut strip, paragraph, 0.0, y, MARKS, line);
                strip.height += MARKS * LEADING;
            }
        }
        let marks = self.fonts.line(&marks(self.head), Weight::Regular);
        let job = format!("for {}", self.head.job);
        let room = width - marks.width(MARKS) - 14.0;
        let beside = self.fonts.line(&job, Weight::Regular).width(JOB) <= room;
        for line in name_lines(self.fonts, &job, Weight::Regular, JOB, width) {
            let y = strip.height;
            text(&mut strip, paragraph, 0.0, y, JOB, line);
            strip.height += JOB * LEADING;
        }
        if beside {
            let y = strip.height - JOB * LEADING + (JOB - MARKS) * BASELINE;
            text(&mut strip, paragraph, width - marks.width(MARKS), y, MARKS, marks);
        } else {
            let y = strip.height;
            text(&mut strip, paragraph, 0.0, y, MARKS, marks);
            strip.height += MARKS * LEADING;
        }
        let y = strip.height + 2.0;
        rule(&mut strip, y, width, 1.2);
        strip.height += 6.0;
        self.put(strip);
        self.top = self.y;
        sheet
    }

    /// The page of its sheet that is being filled, from 0.
    fn page_of_sheet(&self) -> usize {
        self.pages.len() - 1 - self.begins.last().map_or(0, |begin| begin.page)
    }

    /// A block of the sheet ends here.
    pub(super) fn end_block(&mut self) {
        if self.work_ended.is_none() && self.page_of_sheet() == 0 && !self.is_holding() {
            self.work_on_first += 1;
        }
    }

    /// What one page should hold ends here.
    pub(super) fn end_work(&mut self) {
        self.work_ended = Some(self.page_of_sheet());
    }

    /// How much of the present page is filled, from 0 to 1.
    pub(super) fn filled(&self) -> f32 {
        (self.y - self.top) / (self.bottom() - self.top)
    }

    /// A further page of the present sheet.
    pub(super) fn turn(&mut self) {
        self.pages.push(PageLayout::default());
        self.y = MARGIN;
        let title = self.begins.last().map_or("", |begin| begin.title.as_str());
        let strip = continued_head(self.fonts, self.head, title, self.width());
        self.put(strip.into_ornament(Ornament::Header));
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
    /// together; a long one begins with a few rows, and ends with a few.
    pub(super) fn rows(&mut self, head: Strip, rows: Vec<Strip>) {
        let whole = head.height + rows.iter().map(|row| row.height).sum::<f32>();
        if whole <= 0.45 * self.body() {
            self.need(whole);
        }
        let first: f32 = rows.iter().take(FEW_ROWS).map(|row| row.height).sum();
        let repeated = head.clone().into_ornament(Ornament::Repeated);
        self.need(head.height + first);
        self.release();
        self.put(head);
        let count = rows.len();
        let last: f32 = rows.iter().rev().take(FEW_ROWS).map(|row| row.height).sum();
        for (at, row) in rows.into_iter().enumerate() {
            let ends = at + FEW_ROWS == count && last <= self.body() - repeated.height;
            let with = if ends { last } else { row.height };
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
        let last = |at: usize| self.begins.get(at + 1).map_or(count, |next| next.page);
        let of_sheet: Vec<String> = (self.begins.iter().enumerate())
            .flat_map(|(at, begin)| {
                let (first, own) = (begin.page, last(at) - begin.page);
                (first..last(at)).map(move |page| {
                    format!("{} {} of {own}", begin.title.to_lowercase(), page + 1 - first)
                })
            })
            .collect();
        for (page, layout) in self.pages.iter_mut().enumerate() {
            let mut strip = Strip::default();
            rule(&mut strip, 0.0, width - 2.0 * MARGIN, 0.5);
            if page > 0 {
                strip.piece(None, self.foot.clone());
            }
            let own = of_sheet.get(page).map_or("", String::as_str);
            let all = format!("page {} of {count}", page + 1);
            for (words, y) in [(own, 5.0), (all.as_str(), 5.0 + FOOT_SIZE * LEADING)] {
                let line = self.fonts.line(words, Weight::Strong);
                let x = width - 2.0 * MARGIN - line.width(FOOT_SIZE);
                text(&mut strip, None, x, y, FOOT_SIZE, line);
            }
            let mut strip = strip.into_ornament(Ornament::Footer);
            if page == 0 {
                strip.piece(Some(self.foot_node), self.foot.clone());
                let at = layout.pieces.len() + strip.pieces.len() - 1;
                self.tree.nodes[self.foot_node].1.push(Child::Piece { page, at });
            }
            let strip = strip.moved([MARGIN, height - MARGIN - self.foot_height]);
            layout.pieces.extend(strip.pieces);
        }
    }
}

/// What tells this recipe and this plan from any other.
fn marks(head: &Head) -> String {
    let day = head.day.map_or_else(String::new, |day| format!(" · {day}"));
    format!("recipe {} · plan {}{day}", head.fingerprint, head.revision)
}

/// A name in as many lines as it needs, up to [`MOST_LINES`].
fn name_lines(
    fonts: &Fonts,
    name: &str,
    weight: Weight,
    size: f32,
    width: f32,
) -> Vec<std::rc::Rc<super::font::Line>> {
    let mut lines = fonts.lines(name, weight, size, width, 0.0);
    if lines.len() > MOST_LINES {
        let rest: Vec<String> =
            lines.drain(MOST_LINES - 1..).map(|line| line.text.clone()).collect();
        lines.push(fonts.cut(&rest.concat(), weight, size, width));
    }
    lines
}

/// Stands over each further page of a sheet: which sheet, which recipe and plan, and whose.
fn continued_head(fonts: &Fonts, head: &Head, title: &str, width: f32) -> Strip {
    let mut strip = Strip::default();
    let title = fonts.line(&format!("{title}, continued"), Weight::Strong);
    let marks = fonts.line(&marks(head), Weight::Regular);
    let beside = title.width(MARKS) + 14.0 + marks.width(MARKS) <= width;
    text(&mut strip, None, 0.0, 0.0, MARKS, title);
    strip.height += MARKS * LEADING;
    if beside {
        text(&mut strip, None, width - marks.width(MARKS), 0.0, MARKS, marks);
    } else {
        text(&mut strip, None, 0.0, MARKS * LEADING, MARKS, marks);
        strip.height += MARKS * LEADING;
    }
    let whose = format!("{} for {}", head.colourway, head.job);
    for line in name_lines(fonts, &whose, Weight::Strong, WHOSE, width) {
        let y = strip.height;
        text(&mut strip, None, 0.0, y, WHOSE, line);
        strip.height += WHOSE * LEADING;
    }
    let y = strip.height + 2.0;
    rule(&mut strip, y, width, 1.2);
    strip.height += 8.0;
    strip
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
