//! A page of text for a terminal: headings, aligned rows, wrapped paragraphs.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Color, RgbColor, Style};
use comfy_table::{CellAlignment, ContentArrangement, Table};

use super::line_breaks::{held_together, released};
use crate::colour::Srgb8;

/// No line is longer than this many columns.
pub const WIDTH: usize = 100;

/// Under the words after a mark wider than this their later lines do not hang: there would be no room.
const WIDEST_MARK: usize = 40;

/// Whether the page may be painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paint {
    /// Plain text.
    None,
    /// Bold, and chips in true colour.
    TrueColour,
}

/// A page being written.
#[derive(Debug)]
pub(super) struct Page {
    text: String,
    paint: Paint,
}

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    /// Words.
    Left,
    /// Figures.
    Right,
}

impl Page {
    pub(super) const fn new(paint: Paint) -> Self {
        Self { text: String::new(), paint }
    }

    pub(super) fn into_text(self) -> String {
        self.text
    }

    fn styled(&self, style: Style, words: &str) -> String {
        match self.paint {
            Paint::None => words.to_owned(),
            Paint::TrueColour => format!("{style}{words}{style:#}"),
        }
    }

    /// A title over the whole page.
    pub(super) fn title(&mut self, words: &str) {
        let style = Style::new().bold();
        let _ = writeln!(self.text, "{}", self.styled(style, words));
    }

    /// A section's heading, with a line above it.
    pub(super) fn heading(&mut self, words: &str) {
        let style = Style::new().bold().fg_color(Some(Color::Ansi(AnsiColor::Cyan)));
        let _ = writeln!(self.text, "\n{}", self.styled(style, words));
    }

    /// An empty line.
    pub(super) fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A line as it stands, wrapped if it is too long.
    pub(super) fn line(&mut self, indent: usize, words: &str) {
        self.hang(indent, "", words);
    }

    /// A line exactly as it stands, however long: a text to be copied.
    pub(super) fn verbatim(&mut self, indent: usize, words: &str) {
        let _ = writeln!(self.text, "{}{words}", " ".repeat(indent));
    }

    /// A paragraph whose later lines hang under the first line's words after `mark`.
    pub(super) fn hang(&mut self, indent: usize, mark: &str, words: &str) {
        let first = format!("{}{mark}", " ".repeat(indent));
        let width = textwrap::core::display_width(&first);
        // A long mark leaves no room beside it.
        let rest = " ".repeat(if width > WIDEST_MARK { indent + 4 } else { width });
        let options = textwrap::Options::new(WIDTH).initial_indent(&first).subsequent_indent(&rest);
        for line in textwrap::wrap(&held_together(words), options) {
            let _ = writeln!(self.text, "{}", released(line.trim_end()));
        }
    }

    /// Rows in columns.
    pub(super) fn rows(&mut self, indent: usize, columns: &[Column], rows: &[Vec<String>]) {
        let mut table = Table::new();
        table.load_style(comfy_table::presets::NOTHING);
        let width = u16::try_from(WIDTH - indent).unwrap_or(80);
        table.set_content_arrangement(ContentArrangement::Dynamic).set_width(width);
        for row in rows {
            table.add_row(row.iter().map(|cell| held_together(cell)));
        }
        for (at, column) in columns.iter().enumerate() {
            if let Some(set) = table.column_mut(at) {
                let last = at + 1 == columns.len();
                set.set_padding((0, if last { 0 } else { 2 }));
                set.set_cell_alignment(match column {
                    Column::Left => CellAlignment::Left,
                    Column::Right => CellAlignment::Right,
                });
            }
        }
        for line in table.lines() {
            let _ = writeln!(self.text, "{}{}", " ".repeat(indent), released(line.trim_end()));
        }
    }

    /// A chip of colour to stand before a name; nothing on a plain page.
    pub(super) fn chip(&self, colour: Srgb8) -> String {
        match self.paint {
            Paint::None => String::new(),
            Paint::TrueColour => {
                let rgb = RgbColor(colour.r, colour.g, colour.b);
                let style = Style::new().bg_color(Some(Color::Rgb(rgb)));
                format!("{style}    {style:#} ")
            }
        }
    }
}
