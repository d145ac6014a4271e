//! CGATS.17 / ISO 28178 text: keywords, then a format of named fields, then rows of data.
//!
//! Tolerated as instruments write it: any case, any blanks between, `NUMBER_OF_…` left out, several
//! tables one after the other, cells parted by tabs with blanks inside them, a row over several lines.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use super::samples::{of_table, shorten};
use super::table::{Cell, MOST_MISTAKES};
use super::{RawReadings, Scale, Table};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};

/// Whether a text is of this kind: some line of it begins the data or its format.
#[must_use]
pub fn is_cgats(text: &str) -> bool {
    text.lines().any(|line| {
        let word = line.split_whitespace().next().unwrap_or("");
        word.eq_ignore_ascii_case("BEGIN_DATA_FORMAT") || word.eq_ignore_ascii_case("BEGIN_DATA")
    })
}

/// Reads all tables of a CGATS.17 / ISO 28178 text.
///
/// # Errors
/// As [`super::read`]; also when format or data are missing or not ended, or a row has too few fields.
pub fn read(source: &Arc<Source>, declared: Option<Scale>) -> Result<RawReadings, Diagnostics> {
    let blocks = blocks(source)?;
    let mut all = RawReadings {
        samples: Vec::new(),
        facts: BTreeMap::new(),
        warnings: Diagnostics::default(),
    };
    let mut found = Diagnostics::default();
    for block in blocks {
        match table(source, &block)
            .and_then(|table| of_table(&table, declared, block.facts.clone()))
        {
            Ok(readings) => {
                all.samples.extend(readings.samples);
                all.facts.extend(readings.facts);
                all.warnings.extend(readings.warnings);
            }
            Err(told) => found.extend(told),
        }
    }
    shorten(&mut found);
    if found.stop() { Err(found) } else { Ok(all) }
}

/// One table as it stands in the text.
#[derive(Default)]
struct Block {
    facts: BTreeMap<String, String>,
    format: Vec<Range<usize>>,
    lines: Vec<Range<usize>>,
    data_at: usize,
}

#[derive(Clone, Copy, PartialEq)]
enum Part {
    Head,
    Format(usize),
    Data(usize),
}

fn blocks(source: &Arc<Source>) -> Result<Vec<Block>, Diagnostics> {
    let text = &source.text;
    let fail = |at: usize, message: &str, hint: &str| {
        let end = at + text[at..].find(['\n', '\r']).unwrap_or(text.len() - at);
        Err(Diagnostics::from(
            Diagnostic::error(message).at(Place::new(source, at..end)).hint(hint),
        ))
    };
    let mut blocks = Vec::new();
    let mut block = Block::default();
    let mut format: Vec<Range<usize>> = Vec::new();
    let mut part = Part::Head;
    for line in lines(text) {
        let tokens = tokens(text, line.clone());
        let Some(first) = tokens.first() else { continue };
        let word = text[first.clone()].to_ascii_uppercase();
        match (part, word.as_str()) {
            (Part::Head, "BEGIN_DATA_FORMAT") => {
                part = Part::Format(first.start);
                block.format = tokens[1..].to_vec();
            }
            (Part::Format(_), "END_DATA_FORMAT") => {
                part = Part::Head;
                format.clone_from(&block.format);
            }
            (Part::Format(at), "BEGIN_DATA") => {
                return fail(at, "the data format is not ended", "END_DATA_FORMAT ends it");
            }
            (Part::Format(_), _) => block.format.extend(tokens),
            (Part::Head, "BEGIN_DATA") => {
                // A later table without a format of its own has that of the one before.
                if block.format.is_empty() {
                    block.format.clone_from(&format);
                }
                if block.format.is_empty() {
                    return fail(
                        first.start,
                        "the data have no format",
                        "BEGIN_DATA_FORMAT names the fields before BEGIN_DATA",
                    );
                }
                part = Part::Data(first.start);
                block.data_at = first.start;
            }
            (Part::Data(_), "END_DATA") => {
                part = Part::Head;
                blocks.push(std::mem::take(&mut block));
            }
            (Part::Data(_), _) => block.lines.push(line),
            (Part::Head, _) => {
                let value = text[first.end..line.end].trim();
                let value = value
                    .strip_prefix('"')
                    .map_or(value, |rest| rest.split('"').next().unwrap_or(rest));
                block.facts.insert(word, value.to_owned());
            }
        }
    }
    match part {
        Part::Data(at) => {
            fail(at, "the data are not ended: the file may be cut off", "END_DATA ends them")
        }
        Part::Format(at) => fail(at, "the data format is not ended", "END_DATA_FORMAT ends it"),
        Part::Head if blocks.is_empty() => fail(0, "there are no data", "BEGIN_DATA begins them"),
        Part::Head => Ok(blocks),
    }
}

/// The lines of a text, without their ends.
fn lines(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut at = 0;
    text.split_inclusive(['\n', '\r']).map(move |line| {
        let start = at;
        at += line.len();
        start..start + line.trim_end_matches(['\n', '\r']).len()
    })
}

/// The words of a line, texts in quotes as one; what follows `#` is a remark.
fn tokens(text: &str, line: Range<usize>) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut at = line.start;
    while at < line.end {
        let rest = &text[at..line.end];
        let blank = rest.len() - rest.trim_start().len();
        if blank > 0 {
            at += blank;
        } else if rest.starts_with('#') {
            break;
        } else if let Some(inner) = rest.strip_prefix('"') {
            let length = inner.find('"').unwrap_or(inner.len());
            found.push(at + 1..at + 1 + length);
            at += (length + 2).min(rest.len());
        } else {
            let length = rest.find(char::is_whitespace).unwrap_or(rest.len());
            found.push(at..at + length);
            at += length;
        }
    }
    found
}

/// The cells of a line parted by tabs, quotes taken off.
fn tabbed(text: &str, line: Range<usize>) -> Vec<Range<usize>> {
    let mut at = line.start;
    text[line]
        .split('\t')
        .map(|cell| {
            let start = at;
            at += cell.len() + 1;
            let inner = cell.trim();
            let start = start + cell.len() - cell.trim_start().len();
            match inner.strip_prefix('"').and_then(|inner| inner.strip_suffix('"')) {
                Some(inner) => start + 1..start + 1 + inner.len(),
                None => start..start + inner.len(),
            }
        })
        .collect()
}

fn table(source: &Arc<Source>, block: &Block) -> Result<Table, Diagnostics> {
    let text = &source.text;
    let width = block.format.len();
    let mut found = stated_counts(source, block);
    let mut rows: Vec<Vec<Range<usize>>> = Vec::with_capacity(block.lines.len());
    let mut odd = Vec::new();
    for line in &block.lines {
        let by_blanks = tokens(text, line.clone());
        if by_blanks.len() == width {
            rows.push(by_blanks);
            continue;
        }
        let by_tabs = tabbed(text, line.clone());
        if by_tabs.len() == width {
            rows.push(by_tabs);
        } else {
            odd.push((line.clone(), by_blanks.len()));
            rows.push(by_blanks);
        }
    }
    if !odd.is_empty() {
        // Rows may run over several lines, if the fields come out even and as many as stated.
        let all: Vec<Range<usize>> = rows.iter().flatten().cloned().collect();
        let stated = block.facts.get("NUMBER_OF_SETS").and_then(|sets| sets.parse::<usize>().ok());
        if width > 0 && all.len().is_multiple_of(width) && stated == Some(all.len() / width) {
            rows = all.chunks(width).map(<[Range<usize>]>::to_vec).collect();
        } else {
            for (line, has) in odd.iter().take(MOST_MISTAKES) {
                found.push(
                    Diagnostic::error(format!(
                        "this row has {has} fields, the format names {width}"
                    ))
                    .at(Place::new(source, line.clone())),
                );
            }
            if odd.len() > MOST_MISTAKES {
                found.push(Diagnostic::error(format!(
                    "{} more rows are like that",
                    odd.len() - MOST_MISTAKES
                )));
            }
            return Err(found);
        }
    }
    let stated = block.facts.get("NUMBER_OF_SETS").and_then(|sets| sets.parse::<usize>().ok());
    if let Some(stated) = stated
        && stated != rows.len()
    {
        found.push(
            Diagnostic::error(format!("the header states {stated} rows, there are {}", rows.len()))
                .at(Place::new(source, block.data_at..block.data_at))
                .hint("the file may be cut off"),
        );
    }
    if found.stop() {
        return Err(found);
    }
    let header = block.format.iter().cloned().map(Cell).collect();
    let rows = rows.into_iter().map(|row| row.into_iter().map(Cell).collect()).collect();
    Table::new(source, header, rows, ' ')
}

/// Mistakes where the header states another number of fields than its format names.
fn stated_counts(source: &Arc<Source>, block: &Block) -> Diagnostics {
    let mut found = Diagnostics::default();
    let stated =
        block.facts.get("NUMBER_OF_FIELDS").and_then(|fields| fields.parse::<usize>().ok());
    if let (Some(stated), Some(first)) = (stated, block.format.first())
        && stated != block.format.len()
    {
        found.push(
            Diagnostic::error(format!(
                "the header states {stated} fields, the format names {}",
                block.format.len()
            ))
            .at(Place::new(source, first.clone())),
        );
    }
    found
}
