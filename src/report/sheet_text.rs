//! Sheets as text for a terminal: each kind of block as lines and columns. It knows of no sheet.

use super::page::{Column, Page, Paint};
use super::sheet::{Blank, Block, Card, Cell, Heed, Label, Sheet, Sheets, Side, Swatch, Table};

/// Where something is written.
const BLANK: &str = "__________";
/// The same for a name and a day.
const SIGNED: &str = "______________________________";

/// One of the sheets as text, no line longer than [`super::WIDTH`] columns. Labels that differ in their
/// number alone are told once.
#[must_use]
pub fn sheet_text(sheets: &Sheets, sheet: &Sheet, paint: Paint) -> String {
    let mut page = Page::new(paint);
    let head = &sheets.head;
    page.title(&format!("{}: {}  for  {}", sheet.title, head.colourway, head.job));
    let day = head.day.map_or_else(String::new, |day| format!(" · {day}"));
    page.line(0, &format!("recipe {} · plan {}{day}", head.fingerprint, head.revision));
    page.line(0, &head.film);
    sheet.blocks.iter().for_each(|block| write(&mut page, block));
    page.gap();
    page.line(0, &sheets.foot);
    page.into_text()
}

fn write(page: &mut Page, block: &Block) {
    match block {
        Block::Heading(words) => page.heading(words),
        Block::Line(words) | Block::Note(words) => line(page, words),
        Block::Warning { mark, words, source, .. } => {
            let source = if source.is_empty() { String::new() } else { format!(" [{source}]") };
            page.hang(2, &format!("{mark}: "), &format!("{words}{source}"));
        }
        Block::Blanks(all) => blanks(page, all),
        Block::Table(one) => table(page, 2, one),
        Block::CardsAndTable { cards, title, table: one } => {
            cards.iter().for_each(|one| card(page, one));
            page.heading(title);
            table(page, 2, one);
        }
        Block::WorkEnds => {}
        Block::Brief(all) => {
            for Heed { mark, words } in all {
                page.hang(2, &format!("{mark}: "), words);
            }
        }
        Block::Cards(all) => all.iter().for_each(|one| card(page, one)),
        Block::Labels(kinds) => kinds.iter().for_each(|all| labels(page, all)),
        Block::Swatches(all) => all.iter().for_each(|one| swatch(page, one)),
        Block::Picture(picture) => {
            page.line(2, &picture.alt);
            picture.beside.iter().for_each(|words| line(page, words));
        }
        Block::Signatures { asked, lines } => {
            blanks(page, asked);
            let rows: Vec<Vec<String>> =
                lines.iter().map(|who| vec![who.clone(), SIGNED.to_owned()]).collect();
            page.rows(2, &[Column::Left; 2], &rows);
        }
    }
}

/// A line, or one of a list.
fn line(page: &mut Page, words: &str) {
    match words.strip_prefix("• ") {
        Some(rest) => page.hang(2, "• ", rest),
        None => page.line(2, words),
    }
}

fn blanks(page: &mut Page, all: &[Blank]) {
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|blank| vec![blank.label.clone(), BLANK.to_owned(), blank.hint.clone()])
        .collect();
    page.rows(2, &[Column::Left; 3], &rows);
}

fn table(page: &mut Page, indent: usize, table: &Table) {
    let columns: Vec<Column> = table
        .columns
        .iter()
        .map(|column| match column.side {
            Side::Left => Column::Left,
            Side::Right => Column::Right,
        })
        .collect();
    let titles: Vec<String> = table.columns.iter().map(|column| column.title.clone()).collect();
    let mut rows = Vec::new();
    if titles.iter().any(|title| !title.is_empty()) {
        rows.push(titles);
    }
    rows.extend(table.rows.iter().map(|row| row.iter().map(cell).collect::<Vec<_>>()));
    page.rows(indent, &columns, &rows);
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Words { large, small, flag } => {
            let parts = [large, small, flag];
            let parts: Vec<&str> =
                parts.into_iter().map(String::as_str).filter(|words| !words.is_empty()).collect();
            parts.join(" · ")
        }
        Cell::Weight { text, added, .. } if !added.is_empty() => format!("{text}, {added} added"),
        Cell::Weight { text, .. } | Cell::Figure(text) => text.clone(),
        Cell::Blank { hint } if hint.is_empty() => BLANK.to_owned(),
        Cell::Blank { hint } => format!("{BLANK} plan {hint}"),
        Cell::Tick => "[ ]".to_owned(),
        Cell::Ticks(numbers) => ticks(numbers.iter().copied()),
    }
}

/// Boxes to tick with their numbers.
fn ticks(numbers: impl Iterator<Item = u32>) -> String {
    numbers.map(|number| format!("[{number}]")).collect::<Vec<_>>().join(" ")
}

fn card(page: &mut Page, card: &Card) {
    let chip = card.colour.map_or_else(String::new, |colour| page.chip(colour));
    page.line(2, &format!("{chip}{} · {}", card.title, card.words));
    table(page, 6, &card.table);
    if let Some(boxes) = &card.ticks {
        let all = match boxes.count {
            1 => "[ ]".to_owned(),
            _ => ticks(boxes.numbers()),
        };
        page.hang(6, &format!("{}: ", boxes.what), &all);
    }
    for note in &card.notes {
        page.line(6, note);
    }
}

fn labels(page: &mut Page, all: &[Label]) {
    let same = |one: &Label, other: &Label| {
        one.title == other.title
            && one.heed == other.heed
            && one.content == other.content
            && one.foot == other.foot
    };
    for run in all.chunk_by(same) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
        let numbers = match run.len() {
            1 => first.number.clone(),
            count => format!("{} to {} ({count} labels)", first.number, last.number),
        };
        page.gap();
        page.line(2, &format!("{} · {numbers}", first.title));
        for words in &first.heed {
            page.line(6, words);
        }
        let rows: Vec<Vec<String>> =
            first.content.iter().map(|(what, weight)| vec![what.clone(), weight.clone()]).collect();
        page.rows(6, &[Column::Left, Column::Right], &rows);
        for words in &first.foot {
            page.line(6, words);
        }
    }
}

fn swatch(page: &mut Page, swatch: &Swatch) {
    let chip = swatch.colour.map_or_else(String::new, |colour| page.chip(colour));
    page.line(2, &format!("{chip}{}", swatch.name));
    let grounds: Vec<String> = swatch
        .grounds
        .iter()
        .zip(["over black", "over white", "the bare primer"])
        .map(|(ground, what)| format!("{}{what}", page.chip(*ground)))
        .collect();
    if !chip.is_empty() && !grounds.is_empty() {
        page.line(6, &grounds.join("  "));
    }
    for words in &swatch.lines {
        page.line(6, words);
    }
}
