//! A table in CSV (RFC 4180), every cell with its place.
//!
//! Separated by comma, semicolon or tab, whichever the header holds most of. Lines that begin with `#`
//! before the header are passed over, as are blank lines.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::suggest::{did_you_mean, listed};

/// After this many mistakes of one kind the rest are only counted.
pub(super) const MOST_MISTAKES: usize = 20;

/// No instrument and no spreadsheet writes more columns (the usual ones stop at 16,384).
const MOST_COLUMNS: usize = 16_384;

/// One cell: where its content stands, without its quotes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell(pub(super) Range<usize>);

/// A header and rows of as many cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    source: Arc<Source>,
    header: Vec<Cell>,
    rows: Vec<Vec<Cell>>,
}

impl Table {
    /// Reads a CSV text.
    ///
    /// # Errors
    /// When it has no header, a quote is not closed, or a row has more or fewer cells than the header.
    pub fn csv(source: &Arc<Source>) -> Result<Self, Diagnostics> {
        let text = &source.text;
        let mut at = usize::from(text.starts_with('\u{feff}')) * '\u{feff}'.len_utf8();
        while text[at..].starts_with(['#', '\n', '\r']) {
            at += text[at..].find('\n').map_or(text.len() - at, |length| length + 1);
        }
        let separator = separator(text[at..].lines().next().unwrap_or(""));
        let mut records = Vec::new();
        while at < text.len() {
            let (cells, next) = record(source, at, separator)?;
            let blank =
                matches!(cells.as_slice(), [Cell(only)] if text[only.clone()].trim().is_empty());
            if !blank {
                records.push(cells);
            }
            at = next;
        }
        let mut records = records.into_iter();
        let Some(header) = records.next() else {
            return Err(Diagnostic::error("the table is empty")
                .at(Place::new(source, 0..0))
                .into());
        };
        if header.len() > MOST_COLUMNS {
            let message = format!("this table has {} columns", header.len());
            return Err(Diagnostic::error(message)
                .at(Place::new(source, header[0].0.clone()))
                .hint("are there readings in it at all?")
                .into());
        }
        Self::new(source, header, records.collect(), separator)
    }

    /// A table of cells found already.
    pub(super) fn new(
        source: &Arc<Source>,
        header: Vec<Cell>,
        rows: Vec<Vec<Cell>>,
        separator: char,
    ) -> Result<Self, Diagnostics> {
        let mut found = Diagnostics::default();
        let wrong: Vec<&Vec<Cell>> = rows.iter().filter(|row| row.len() != header.len()).collect();
        for row in wrong.iter().take(MOST_MISTAKES) {
            let span =
                row.first().map_or(0, |cell| cell.0.start)..row.last().map_or(0, |cell| cell.0.end);
            let (has, wants) = (row.len(), header.len());
            let mut diagnostic = Diagnostic::error(format!(
                "this row has {has} {}, the header {wants}",
                if has == 1 { "cell" } else { "cells" }
            ))
            .at(Place::new(source, span));
            if separator == ',' && has > wants {
                diagnostic = diagnostic.hint("decimals are written with a point: 0.5");
            }
            found.push(diagnostic);
        }
        if wrong.len() > MOST_MISTAKES {
            found.push(Diagnostic::error(format!(
                "{} more rows are like that",
                wrong.len() - MOST_MISTAKES
            )));
        }
        if found.stop() {
            return Err(found);
        }
        Ok(Self { source: Arc::clone(source), header, rows })
    }

    /// The text that the table was read from.
    #[must_use]
    pub const fn source(&self) -> &Arc<Source> {
        &self.source
    }

    /// How many columns there are.
    #[must_use]
    pub fn width(&self) -> usize {
        self.header.len()
    }

    /// How many rows there are below the header.
    #[must_use]
    pub fn height(&self) -> usize {
        self.rows.len()
    }

    /// The name of a column, without blanks around it; empty if there is no such column.
    #[must_use]
    pub fn heading(&self, column: usize) -> Cow<'_, str> {
        self.header.get(column).map_or(Cow::Borrowed(""), |cell| self.content(cell))
    }

    /// All names of columns, in order.
    #[must_use]
    pub fn headings(&self) -> Vec<Cow<'_, str>> {
        self.header.iter().map(|cell| self.content(cell)).collect()
    }

    /// The first column of this name, whatever its case.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        (0..self.width()).find(|column| self.heading(*column).eq_ignore_ascii_case(name))
    }

    /// The first column of this name; its absence is a mistake, told with the nearest name.
    ///
    /// # Errors
    /// When there is no such column.
    pub fn need(&self, name: &str) -> Result<usize, Diagnostic> {
        self.column(name).ok_or_else(|| {
            let names = self.headings();
            let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
            let hint = did_you_mean(name, names.iter().copied()).unwrap_or_else(|| {
                format!("the columns are {}", listed(&names[..names.len().min(12)], "and"))
            });
            Diagnostic::error(format!("the table has no column \"{name}\""))
                .at(self.header_place(0))
                .hint(hint)
        })
    }

    /// What a cell holds, without blanks around it; empty if there is no such cell.
    #[must_use]
    pub fn text(&self, row: usize, column: usize) -> Cow<'_, str> {
        self.cell(row, column).map_or(Cow::Borrowed(""), |cell| self.content(cell))
    }

    /// The finite number that a cell holds.
    ///
    /// # Errors
    /// When it holds none; a decimal comma is told with what to write.
    pub fn number(&self, row: usize, column: usize) -> Result<f64, Diagnostic> {
        let text = self.text(row, column);
        let digits = text.trim_start_matches(['+', '-']);
        // `parse` alone would take `inf` and `nan`.
        let plain = digits.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        match text.parse::<f64>() {
            Ok(number) if plain && number.is_finite() => Ok(number),
            _ => {
                let heading = self.heading(column);
                let message = if text.is_empty() {
                    format!("\"{heading}\" has no value here")
                } else {
                    format!(
                        "\"{}\" is no number",
                        text.chars().take(40).collect::<String>().escape_debug()
                    )
                };
                let mut diagnostic = Diagnostic::error(message).at(self.place(row, column));
                let pointed = text.replacen(',', ".", 1);
                if text.contains(',') && pointed.parse::<f64>().is_ok() {
                    diagnostic =
                        diagnostic.hint(format!("decimals are written with a point: {pointed}"));
                }
                Err(diagnostic)
            }
        }
    }

    /// Where a cell stands.
    #[must_use]
    pub fn place(&self, row: usize, column: usize) -> Place {
        Place::new(&self.source, self.cell(row, column).map_or(0..0, |cell| cell.0.clone()))
    }

    /// Where a row stands.
    #[must_use]
    pub fn row_place(&self, row: usize) -> Place {
        let span = self.rows.get(row).map_or(0..0, |cells| {
            cells.first().map_or(0, |cell| cell.0.start)..cells.last().map_or(0, |cell| cell.0.end)
        });
        Place::new(&self.source, span)
    }

    /// Where the name of a column stands.
    #[must_use]
    pub fn header_place(&self, column: usize) -> Place {
        Place::new(&self.source, self.header.get(column).map_or(0..0, |cell| cell.0.clone()))
    }

    fn cell(&self, row: usize, column: usize) -> Option<&Cell> {
        self.rows.get(row)?.get(column)
    }

    fn content(&self, cell: &Cell) -> Cow<'_, str> {
        let raw = self.source.text[cell.0.clone()].trim();
        if raw.contains("\"\"") {
            Cow::Owned(raw.replace("\"\"", "\""))
        } else {
            Cow::Borrowed(raw)
        }
    }
}

/// The separator that a header line holds most of.
fn separator(header: &str) -> char {
    let count = |separator: char| {
        let mut quoted = false;
        header
            .chars()
            .filter(|c| {
                quoted ^= *c == '"';
                !quoted && *c == separator
            })
            .count()
    };
    let (commas, semicolons, tabs) = (count(','), count(';'), count('\t'));
    if semicolons > commas && semicolons >= tabs {
        ';'
    } else if tabs > commas {
        '\t'
    } else {
        ','
    }
}

/// One record from `at` on, and where the next begins.
fn record(
    source: &Arc<Source>,
    mut at: usize,
    separator: char,
) -> Result<(Vec<Cell>, usize), Diagnostics> {
    let text = &source.text;
    let mut cells = Vec::new();
    loop {
        let quote = at + text[at..].len() - text[at..].trim_start_matches(' ').len();
        let after;
        if text[quote..].starts_with('"') {
            let Some(end) = closing_quote(text, quote + 1) else {
                return Err(Diagnostic::error("this quote is never closed")
                    .at(Place::new(source, quote..quote + 1))
                    .into());
            };
            cells.push(Cell(quote + 1..end));
            let rest = text[end + 1..].trim_start_matches(' ');
            after = text.len() - rest.len();
            if !(rest.is_empty() || rest.starts_with([separator, '\n', '\r'])) {
                return Err(Diagnostic::error("text follows a closing quote")
                    .at(Place::new(source, after..after + 1))
                    .hint("a quote inside a cell is written twice: \"\"")
                    .into());
            }
        } else {
            let length = text[at..].find([separator, '\n', '\r']).unwrap_or(text.len() - at);
            cells.push(Cell(at..at + length));
            after = at + length;
        }
        let rest = &text[after..];
        if rest.starts_with(separator) {
            at = after + 1;
        } else {
            let newline = if rest.starts_with("\r\n") { 2 } else { usize::from(!rest.is_empty()) };
            return Ok((cells, after + newline));
        }
    }
}

/// Where the quote stands that closes what begins at `from`; a doubled one is content.
fn closing_quote(text: &str, mut from: usize) -> Option<usize> {
    loop {
        let quote = from + text[from..].find('"')?;
        if text[quote + 1..].starts_with('"') {
            from = quote + 2;
        } else {
            return Some(quote);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn table(text: &str) -> Result<Table, Diagnostics> {
        Table::csv(&Arc::new(Source { name: "t.csv".into(), text: text.into() }))
    }

    #[test]
    fn cells_know_their_places() {
        let table = table("# made by hand\n\nid; note ;R380\r\n\"a;\"\"b\"; ok ; 0.5 \n\nc;;1,5\n")
            .unwrap();
        assert_eq!(table.headings(), ["id", "note", "R380"]);
        assert_eq!(
            (table.height(), table.text(0, 0).as_ref(), table.text(0, 1).as_ref()),
            (2, "a;\"b", "ok")
        );
        assert_eq!(table.number(0, 2), Ok(0.5));
        assert_eq!(
            table.number(1, 2).unwrap_err().to_string(),
            "t.csv:6:4: error: \"1,5\" is no number (decimals are written with a point: 1.5)"
        );
        assert_eq!(
            table.number(1, 1).unwrap_err().to_string(),
            "t.csv:6:3: error: \"note\" has no value here"
        );
        assert_eq!(
            table.need("R38").unwrap_err().to_string(),
            "t.csv:3:1: error: the table has no column \"R38\" (did you mean \"R380\"?)"
        );
    }

    #[test]
    fn what_is_no_table_is_told() {
        for (text, told) in [
            ("", "t.csv:1:1: error: the table is empty"),
            (
                "a,b\n1,5,0,5\n",
                "t.csv:2:1: error: this row has 4 cells, the header 2 (decimals are written with a point: 0.5)",
            ),
            ("a,b\n1\n", "t.csv:2:1: error: this row has 1 cell, the header 2"),
            ("a,b\n\"1,2\n", "t.csv:2:1: error: this quote is never closed"),
            (
                "a,b\n\"1\"2,3\n",
                "t.csv:2:4: error: text follows a closing quote (a quote inside a cell is written twice: \"\")",
            ),
        ] {
            assert_eq!(table(text).unwrap_err().to_string(), told, "{text:?}");
        }
    }

    #[test]
    fn numbers_are_finite_and_plain() {
        let table = table("a\ninf\nnan\n1e999\n0x1F\n1_000\n+1.5e-3\n").unwrap();
        for row in 0..5 {
            assert!(table.number(row, 0).is_err(), "{} is refused", table.text(row, 0));
        }
        assert_eq!(table.number(5, 0), Ok(1.5e-3));
    }

    proptest! {
        #[test]
        fn any_cells_written_by_the_csv_crate_read_back(
            rows in (1..5_usize).prop_flat_map(|width| {
                prop::collection::vec(prop::collection::vec("[a-z0-9,;\"\n\té.]{0,6}", width), 1..6)
            }),
        ) {
            let mut writer = csv::WriterBuilder::new().quote_style(csv::QuoteStyle::Always).from_writer(Vec::new());
            let width = rows[0].len();
            let header: Vec<String> = (0..width).map(|at| format!("column {at}")).collect();
            writer.write_record(&header).unwrap();
            for row in &rows {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            let table = table(&text).map_err(|told| TestCaseError::fail(format!("{text:?}: {told}")))?;
            let wanted: Vec<&Vec<String>> =
                rows.iter().filter(|row| row.len() > 1 || !row[0].trim().is_empty()).collect();
            prop_assert_eq!(table.height(), wanted.len());
            for (at, row) in wanted.iter().enumerate() {
                for (column, cell) in row.iter().enumerate() {
                    let read = table.text(at, column);
                    prop_assert_eq!(read.as_ref(), cell.trim());
                }
            }
        }

        #[test]
        fn any_text_gives_a_table_or_a_reason(text in "(\\PC|[,;\t\n\r\"#])*") {
            if let Ok(table) = table(&text) {
                prop_assert!(table.width() > 0);
            }
        }
    }
}
