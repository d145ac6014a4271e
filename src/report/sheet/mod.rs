//! Sheets for the wall: what stands on each page, decided once; [`pdf`](super::pdf),
//! [`html`](super::html) and [`sheet_text`](super::sheet_text) draw it.
//!
//! Four sheets: the mixing sheet, the buying list, the labels of vessels and containers, and the
//! client's approval. Nothing on them is told by colour alone.

mod approval;
mod build;
mod buying;
mod cards;
mod drawing;
mod labels;
mod mixing;
mod words;

pub use build::{BoardShown, SheetsAsk, sheets};
pub use drawing::{Container, DrawnLayer};

use crate::colour::Srgb8;

/// A day, as a sheet is dated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year, 1 to 9999.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

impl Day {
    /// The day so many days after 1970-01-01, by the Gregorian calendar; none after the year 9999.
    #[must_use]
    pub fn of_days_since_1970(days: u64) -> Option<Self> {
        // Years begin in March here, so that the odd day of a leap year comes last; 400 years have
        // 146,097 days, and 0000-03-01 lies 719,468 days before 1970-01-01.
        let days = days.checked_add(719_468)?;
        let (era, day_of_era) = (days / 146_097, days % 146_097);
        let year_of_era =
            (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let march_month = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * march_month + 2) / 5 + 1;
        let month = if march_month < 10 { march_month + 3 } else { march_month - 9 };
        let year = era * 400 + year_of_era + u64::from(month <= 2);
        (year <= 9999).then_some(Self {
            year: u16::try_from(year).ok()?,
            month: u8::try_from(month).ok()?,
            day: u8::try_from(day).ok()?,
        })
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl std::str::FromStr for Day {
    type Err = String;
    /// A day written as `2026-03-14` (ISO 8601).
    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" is no day; write it as 2026-03-14");
        let parts: Vec<&str> = text.trim().split('-').collect();
        let [year, month, day] = parts[..] else { return Err(wrong()) };
        let digits =
            |part: &str, count| part.len() == count && part.bytes().all(|b| b.is_ascii_digit());
        if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
            return Err(wrong());
        }
        let year: u16 = year.parse().map_err(|_| wrong())?;
        let month: u8 = month.parse().map_err(|_| wrong())?;
        let day: u8 = day.parse().map_err(|_| wrong())?;
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let last = match month {
            2 if leap => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return Err(wrong()),
        };
        if year == 0 || !(1..=last).contains(&day) {
            return Err(wrong());
        }
        Ok(Self { year, month, day })
    }
}

/// All sheets of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheets {
    /// The title of the whole.
    pub title: String,
    /// Stands over every page.
    pub head: Head,
    /// Stands under every page of paper, and over every sheet of a screen.
    pub foot: String,
    /// The sheets, the mixing sheet first.
    pub sheets: Vec<Sheet>,
}

/// What every page says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// The job.
    pub job: String,
    /// The colourway.
    pub colourway: String,
    /// The resin, its coats and film, and the primer.
    pub film: String,
    /// The recipe's fingerprint.
    pub fingerprint: String,
    /// One word for this plan as a whole: it changes when any figure of the plan does.
    pub revision: String,
    /// When the sheets were made.
    pub day: Option<Day>,
}

/// Which sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// What is weighed and poured, and when.
    Mixing,
    /// What is bought.
    Buying,
    /// Labels of vessels and containers.
    Labels,
    /// What the client signs.
    Approval,
}

/// One sheet, of one page or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Which of them.
    pub kind: Kind,
    /// What it is.
    pub title: String,
    /// From the top down.
    pub blocks: Vec<Block>,
}

/// A piece of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A section's heading.
    Heading(String),
    /// A line to be read.
    Line(String),
    /// A line in smaller letters.
    Note(String),
    /// A warning with its mark in words.
    Warning {
        /// `STOP`, `caution`, or what it is about.
        mark: String,
        /// What to heed.
        words: String,
        /// Where that comes from.
        source: String,
        /// Whether it should stop the pour.
        stops: bool,
    },
    /// Places to write in.
    Blanks(Vec<Blank>),
    /// Rows and columns.
    Table(Table),
    /// Cards, then a narrow table that goes with them, in two columns where the paper is wide enough.
    CardsAndTable {
        /// The cards.
        cards: Vec<Card>,
        /// The table's heading.
        title: String,
        /// The table.
        table: Table,
    },
    /// What stands above is wanted on the sheet's first page; what follows may come later.
    WorkEnds,
    /// What to heed, each in a few words.
    Brief(Vec<Heed>),
    /// Cards, side by side where there is room.
    Cards(Vec<Card>),
    /// Labels to be cut out; each kind begins a row of its own.
    Labels(Vec<Vec<Label>>),
    /// Chips of colour with names.
    Swatches(Vec<Swatch>),
    /// A picture.
    Picture(Picture),
    /// What is agreed, with the lines to sign on below.
    Signatures {
        /// What is written in before.
        asked: Vec<Blank>,
        /// Who signs.
        lines: Vec<String>,
    },
}

/// What to heed, in a few words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heed {
    /// What it is about.
    pub mark: String,
    /// What to do or leave.
    pub words: String,
}

/// A place to write in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// What is written.
    pub label: String,
    /// What was planned, or the limit; may be empty.
    pub hint: String,
}

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// Its title; may be empty where the cells speak for themselves.
    pub title: String,
    /// How it stands.
    pub side: Side,
}

impl Heading {
    /// A column of this title.
    fn of(title: &str, side: Side) -> Self {
        Self { title: title.to_owned(), side }
    }
}

/// Rows and columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Heading>,
    /// The rows; each has a cell for every column.
    pub rows: Vec<Vec<Cell>>,
}

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words, with smaller ones below; either may be empty.
    Words {
        /// In the usual size.
        large: String,
        /// Below, smaller.
        small: String,
        /// What is wrong or is not to be overlooked, below that, in bold.
        flag: String,
    },
    /// A weight to be read at arm's length.
    Weight {
        /// With its unit.
        text: String,
        /// Whether it is what the scale shows, to which is poured (bold), rather than the other (regular).
        strong: bool,
        /// How much of that is added to what lies on the scale already, below it; empty where that has a column of its
        /// own, or it is all.
        added: String,
    },
    /// A figure.
    Figure(String),
    /// A place to write in.
    Blank {
        /// What was planned, printed small in it; may be empty.
        hint: String,
    },
    /// A box to tick.
    Tick,
    /// Boxes to tick with their numbers.
    Ticks(Vec<u32>),
}

impl Cell {
    /// Words alone.
    #[must_use]
    pub fn words(words: impl Into<String>) -> Self {
        Self::Words { large: words.into(), small: String::new(), flag: String::new() }
    }

    /// A place to write in.
    #[must_use]
    pub const fn blank() -> Self {
        Self::Blank { hint: String::new() }
    }

    /// A weight alone, that the scale shows or how much it is.
    #[must_use]
    pub fn weight(text: impl Into<String>, strong: bool) -> Self {
        Self::Weight { text: text.into(), strong, added: String::new() }
    }

    /// Boxes to tick, one for each number; a single one of all there are needs none.
    #[must_use]
    pub fn ticks(numbers: &[u32], of: usize) -> Self {
        if of == 1 { Self::Tick } else { Self::Ticks(numbers.to_vec()) }
    }
}

/// Boxes to tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ticks {
    /// What they are for.
    pub what: String,
    /// Number of the first.
    pub first: u32,
    /// How many.
    pub count: u32,
}

impl Ticks {
    /// Their numbers.
    pub fn numbers(&self) -> impl Iterator<Item = u32> + use<> {
        self.first..self.first.saturating_add(self.count)
    }
}

/// A mix or a small batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Its number in the order of work and its name.
    pub title: String,
    /// What it is.
    pub words: String,
    /// Its colour, where known.
    pub colour: Option<Srgb8>,
    /// The container, drawn.
    pub container: Option<Container>,
    /// What goes in.
    pub table: Table,
    /// The boxes below; none where the table has its own.
    pub ticks: Option<Ticks>,
    /// Remarks below.
    pub notes: Vec<String>,
}

/// A label to be cut out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// In large letters.
    pub title: String,
    /// Which of how many.
    pub number: String,
    /// What must not be overlooked, in letters as large; mostly nothing.
    pub heed: Vec<String>,
    /// What is in it, from the bottom up, with its weight.
    pub content: Vec<(String, String)>,
    /// Below, small.
    pub foot: Vec<String>,
}

/// A chip of colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Swatch {
    /// Its name.
    pub name: String,
    /// The film over its primer; none where it is not known.
    pub colour: Option<Srgb8>,
    /// Film over black, over white, and the bare primer.
    pub grounds: Vec<Srgb8>,
    /// What it is made of, and how it looks in figures.
    pub lines: Vec<String>,
}

/// A picture with its text for those who do not see it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// PNG, sRGB.
    pub png: Vec<u8>,
    /// Pixels across and down.
    pub size: [u32; 2],
    /// In words.
    pub alt: String,
    /// What stands beside it: what it shows and what it does not.
    pub beside: Vec<String>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_read_and_shown() {
        let day: Day = "2028-02-29".parse().unwrap();
        assert_eq!(day, Day { year: 2028, month: 2, day: 29 });
        assert_eq!(day.to_string(), "2028-02-29");
    }

    /// Days between dates as a calendar counts them.
    #[test]
    fn days_are_counted_from_1970() {
        for (days, day) in [
            (0, "1970-01-01"),
            (58, "1970-02-28"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_454, "2026-01-01"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
        ] {
            assert_eq!(Day::of_days_since_1970(days).unwrap().to_string(), day);
        }
        assert_eq!(Day::of_days_since_1970(u64::MAX), None);
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for wrong in [
            "",
            "2027-02-29",
            "2026-13-01",
            "2026-04-31",
            "26-04-01",
            "2026-4-1",
            "+026-04-01",
            "0000-01-01",
            "1900-02-29",
        ] {
            assert!(wrong.parse::<Day>().is_err(), "{wrong}");
        }
    }
}
