//! How closely a sheet is set, found by setting it: no closer than saves a page or brings more of its
//! work onto the first, and no last page that is nearly empty where a section can begin on it.

use super::font::Fonts;
use super::{Paper, blocks, flow::Flow};
use crate::report::sheet::{Block, Sheet, Sheets};

/// A last page filled less than this has room for the whole of a section that began before it.
const NEARLY_EMPTY: f32 = 0.6;

/// How a sheet is set.
pub(super) struct Fit<'a> {
    pub(super) fonts: &'a Fonts,
    /// The block before which the page is turned.
    pub(super) turn: Option<usize>,
}

/// What comes of a way to set a sheet.
struct Outcome {
    /// Blocks of its work on its first page, where it has work that one page should hold.
    on_first: usize,
    /// The page on which its work ends, from 0.
    work_ends: usize,
    pages: usize,
    /// How much of the last page is filled.
    last: f32,
}

/// The way for a sheet: of those given, the widest first, the first that none does better than.
pub(super) fn fit<'a>(
    sheets: &Sheets,
    sheet: &Sheet,
    paper: Paper,
    [open, closer @ ..]: [&'a Fonts; 3],
) -> Fit<'a> {
    let set = |fonts, turn| {
        let mut flow = Flow::new(fonts, paper, sheets);
        blocks::sheet(&mut flow, sheet, turn);
        let (work_ends, pages) = (flow.work_ended.unwrap_or(0), flow.pages.len());
        let on_first = if flow.work_ended.is_some() { flow.work_on_first } else { 0 };
        Outcome { on_first, work_ends, pages, last: flow.filled() }
    };
    let (mut fonts, mut outcome) = (open, set(open, None));
    if outcome.pages == 1 {
        return Fit { fonts, turn: None };
    }
    let rank = |it: &Outcome| (it.work_ends, it.pages, std::cmp::Reverse(it.on_first));
    for close in closer {
        let set_closer = set(close, None);
        if rank(&set_closer) < rank(&outcome) {
            (fonts, outcome) = (close, set_closer);
        }
    }
    let turn = sheet.blocks.iter().rposition(|block| matches!(block, Block::Heading(_)));
    let turned = (outcome.pages > 1 && outcome.last < NEARLY_EMPTY && turn.is_some())
        .then(|| set(fonts, turn))
        .is_some_and(|turned| turned.pages == outcome.pages && turned.last > outcome.last);
    Fit { fonts, turn: turn.filter(|_| turned) }
}
