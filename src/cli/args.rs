//! The words of the command line.

use std::ffi::OsStr;
use std::path::PathBuf;

use clap::builder::{PossibleValue, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use super::characterise::CharacteriseWords;
use super::matching::{CorrectWords, MatchWords};
use crate::colour::Srgb8;
use crate::quantity::{self, Area, Dimensions, Length, QuantityError, Temperature, Volume};
use crate::report::pdf::Paper;
use crate::report::sheet::{Day, Kind};
use crate::spectrum::{Illuminant, Observer, UnknownIlluminant, UnknownObserver};
use crate::suggest;

/// Colour recipes, batch weights and swatches for poured, pigmented two-part epoxy.
#[derive(Debug, Parser)]
#[command(name = "pourbook", version, max_term_width = 100, arg_required_else_help = false)]
#[command(after_help = "\
Begin with the demo, a boathouse café on a tidal river:
  pourbook start my-shop                                copy the demo into a new folder
  pourbook check --shop my-shop                         every file, every ceiling
  pourbook plan --job galley-kitchen --shop my-shop     what to buy, weigh and pour
  pourbook swatch \"Tidewater Slate\" --shop my-shop      chips of every base and accent

Or begin with a shop of your own, without the demo:
  pourbook start my-shop --empty                        a bench, and skeletons to fill in

Exit code: 0 done, 1 refused by a check, 2 bad use or bad input.")]
pub(super) struct Arguments {
    #[command(flatten)]
    pub(super) common: Common,
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

#[derive(Debug, Args)]
pub(super) struct Common {
    /// The shop's folder [default: this folder, or the demo in ./recipes]
    #[arg(long, global = true, value_name = "FOLDER")]
    pub(super) shop: Option<PathBuf>,
    /// Units to show [default: the shop's]
    #[arg(long, global = true, value_parser = UnitsParser)]
    pub(super) units: Option<UnitsWord>,
    /// Answer as JSON
    #[arg(long, global = true)]
    pub(super) json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum UnitsWord {
    /// US customary: gallons, feet, inches (weights stay in grams)
    Us,
    /// Metric
    Metric,
}

/// Reads [`UnitsWord`], and says of any other word what there is.
#[derive(Debug, Clone)]
struct UnitsParser;

impl TypedValueParser for UnitsParser {
    type Value = UnitsWord;

    fn parse_ref(
        &self,
        _: &clap::Command,
        _: Option<&clap::Arg>,
        value: &OsStr,
    ) -> Result<UnitsWord, clap::Error> {
        let word = value.to_string_lossy();
        UnitsWord::from_str(&word, true).map_err(|_| {
            let message = format!(
                "there are no units \"{word}\": --units us (US gallons, feet, inches; weights in grams) or --units metric; imperial gallons are not taken\n"
            );
            clap::Error::raw(clap::error::ErrorKind::InvalidValue, message)
        })
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(UnitsWord::value_variants().iter().filter_map(UnitsWord::to_possible_value)))
    }
}

impl From<UnitsWord> for quantity::Units {
    fn from(word: UnitsWord) -> Self {
        match word {
            UnitsWord::Us => Self::Us,
            UnitsWord::Metric => Self::Metric,
        }
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Make a new shop: a copy of the demo, or an empty one
    #[command(after_help = "\
pourbook start my-shop            a copy of the demo
pourbook start my-shop --empty    a bench, and a skeleton of each kind of file to fill in")]
    Start {
        /// A folder that does not exist yet, or is empty
        folder: PathBuf,
        /// Only the folders, a house file, and in skeletons/ a file of each kind to copy and fill in: system.ron,
        /// colorant.ron, colourway.ron, job.ron
        #[arg(long)]
        empty: bool,
    },
    /// Check every file, every reference and every ceiling
    Check {
        /// What is often typed for --shop FOLDER
        #[arg(hide = true, value_name = "FOLDER")]
        folder: Option<PathBuf>,
    },
    /// Plan a job: what to buy, weigh and pour, in order, with every caution
    #[command(
        override_usage = "pourbook plan [OPTIONS] <--job <JOB>|--board <SIZE>|--area <AREA>|--kit <VOLUME>> [COLOURWAY]"
    )]
    Plan(PlanWords),
    /// Find loadings for a wanted colour, inside every ceiling
    Match(Box<MatchWords>),
    /// Say what to add to a mix that went wrong
    Correct(Box<CorrectWords>),
    /// Draw chips of a colourway's bases and accents, and one sheet of them all
    Swatch(SwatchWords),
    /// Find a colorant's optical data, or a lot's strength, from readings
    Characterise(CharacteriseWords),
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the manual page, or write the pages of all commands into a folder
    Manual {
        /// Where the pages go
        #[arg(value_name = "FOLDER")]
        folder: Option<PathBuf>,
    },
}

#[derive(Debug, Args)]
pub(super) struct PlanWords {
    /// The colourway's name or file [default: the job's own]
    pub(super) colourway: Option<String>,
    #[command(flatten)]
    pub(super) extent: ExtentWords,
    #[command(flatten)]
    pub(super) day: DayWords,
    #[command(flatten)]
    pub(super) sheets: SheetsWords,
    /// Say how far the colours may stray, and what to mend first
    #[arg(long)]
    pub(super) tolerance: bool,
    /// Seed of the draws for --tolerance
    #[arg(long, value_name = "NUMBER", requires = "tolerance", default_value_t = 1, value_parser = seed)]
    pub(super) seed: u64,
    /// Leave the plan (text, JSON, sheets) and the colourway's swatches in this folder
    #[arg(long, value_name = "FOLDER")]
    pub(super) save: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct SheetsWords {
    /// Write the sheets for the wall: mixing sheet, buying list, labels, client approval
    #[arg(long, value_name = "FILE")]
    pub(super) pdf: Option<PathBuf>,
    /// Write the same sheets as one page for a browser
    #[arg(long, value_name = "FILE")]
    pub(super) html: Option<PathBuf>,
    /// Show these of the sheets here instead of the plan, as often as wanted
    #[arg(long, value_enum, value_name = "SHEET", conflicts_with = "json")]
    pub(super) sheet: Vec<SheetWord>,
    /// Paper of the PDF [default: letter for US units, a4 for metric]
    #[arg(long, value_enum)]
    pub(super) paper: Option<PaperWord>,
    /// Name colorants and loadings on the client's approval too, which else shows names, shares and looks
    #[arg(long)]
    pub(super) recipe_on_approval: bool,
    /// The day on the sheets, 2026-03-14 [default: today, UTC]
    #[arg(long, value_name = "DAY")]
    pub(super) date: Option<Day>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SheetWord {
    /// What is weighed, mixed and poured, with its clock and cautions
    Mixing,
    /// What to buy and what it costs
    Buying,
    /// Labels of mixing vessels and containers
    Labels,
    /// What the client approves and signs
    Approval,
}

impl From<SheetWord> for Kind {
    fn from(word: SheetWord) -> Self {
        match word {
            SheetWord::Mixing => Self::Mixing,
            SheetWord::Buying => Self::Buying,
            SheetWord::Labels => Self::Labels,
            SheetWord::Approval => Self::Approval,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperWord {
    /// 8 1/2 × 11 in
    Letter,
    /// 210 × 297 mm
    A4,
}

impl From<PaperWord> for Paper {
    fn from(word: PaperWord) -> Self {
        match word {
            PaperWord::Letter => Self::Letter,
            PaperWord::A4 => Self::A4,
        }
    }
}

/// Needed for a plan; asked for once the shop is known, so that a job's name without `--job` is told.
#[derive(Debug, Args)]
#[group(multiple = false)]
pub(super) struct ExtentWords {
    /// A job of the shop, by name or file
    #[arg(long, value_name = "JOB")]
    pub(super) job: Option<String>,
    /// One sample board: 600x600mm, "24 x 24 in"
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, value_parser = amount::<Dimensions>)]
    pub(super) board: Option<Dimensions>,
    /// A flat area: 42ft2, "3.9 m²"
    #[arg(long, value_name = "AREA", allow_hyphen_values = true, value_parser = amount::<Area>)]
    pub(super) area: Option<Area>,
    /// As much as a kit of mixed resin covers: 3gal, "6 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true, value_parser = amount::<Volume>)]
    pub(super) kit: Option<Volume>,
}

/// What a board, an area or a kit has no job file to say.
#[derive(Debug, Args)]
pub(super) struct DayWords {
    /// Pairs of hands for --board, --area or --kit, 1 to 50; a job states its own [default: 1]
    #[arg(long, value_name = "NUMBER", value_parser = whole(1, 50))]
    pub(super) crew: Option<u32>,
    /// Room temperature for --board, --area or --kit: 74F, "21 °C"; a job states its own [default: 22 °C (72 °F)]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = quantity::<Temperature>)]
    pub(super) temperature: Option<Temperature>,
}

/// A quantity of which there cannot be less than none, as a word of the command line.
pub(super) fn amount<T: std::str::FromStr<Err = QuantityError>>(word: &str) -> Result<T, String> {
    let word = word.trim();
    if word.starts_with("--") {
        return Err("an amount should stand here, not an option".to_owned());
    }
    if word.starts_with(['-', '−']) {
        return Err(format!("{word} is below zero"));
    }
    word.parse().map_err(|why: QuantityError| why.to_string())
}

/// A whole number of a range as a word of the command line.
pub(super) fn whole(least: u32, most: u32) -> impl Fn(&str) -> Result<u32, String> + Clone {
    move |word| {
        let number = word.trim().parse().ok().filter(|number| (least..=most).contains(number));
        number.ok_or_else(|| format!("write a whole number from {least} to {most}"))
    }
}

/// A seed as a word of the command line.
fn seed(word: &str) -> Result<u64, String> {
    let most = u64::MAX;
    word.trim().parse().map_err(|_| format!("write a whole number from 0 to {most}, such as 7"))
}

/// A quantity as a word of the command line.
pub(super) fn quantity<T: std::str::FromStr<Err = QuantityError>>(
    word: &str,
) -> Result<T, QuantityError> {
    word.parse()
}

#[derive(Debug, Args)]
pub(super) struct SwatchWords {
    /// The colourway's name or file [default with --job: the job's own]
    pub(super) colourway: Option<String>,
    /// Where the pictures go [default: swatches/NAME in the shop]
    #[arg(long, value_name = "FOLDER")]
    pub(super) to: Option<PathBuf>,
    /// A lamp to look under, as often as wanted: D65, A, F11, LED-B3, 4000K [default: D65]
    #[arg(long, value_name = "LAMP", value_parser = lamp)]
    pub(super) lamp: Vec<Illuminant>,
    /// The observer: 2 or 10 degrees
    #[arg(long, value_name = "DEGREES", default_value = "2", value_parser = observer)]
    pub(super) observer: Observer,
    /// Another film than the recipe's: "1/8 in", 2mm
    #[arg(long, value_name = "THICKNESS", allow_hyphen_values = true, value_parser = amount::<Length>)]
    pub(super) film: Option<Length>,
    /// Another primer than the recipe's: #202020
    #[arg(long, value_name = "COLOUR")]
    pub(super) primer: Option<Srgb8>,
    #[command(flatten)]
    pub(super) pour: PourWords,
}

/// The pour: drawn where a job, a board or an area is named.
#[derive(Debug, Args)]
pub(super) struct PourWords {
    /// Draw the pour on a job's counters, to scale
    #[arg(long, value_name = "JOB", group = "drawn")]
    pub(super) job: Option<String>,
    /// Draw the pour on a board: 600x600mm
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, value_parser = amount::<Dimensions>, group = "drawn")]
    pub(super) board: Option<Dimensions>,
    /// Draw the pour on a flat area: 42ft2
    #[arg(long, value_name = "AREA", allow_hyphen_values = true, value_parser = amount::<Area>, group = "drawn")]
    pub(super) area: Option<Area>,
    /// Another seed than the recipe's: the pour alone is drawn then, in files that name the seed
    #[arg(long, value_name = "NUMBER", requires = "drawn", value_parser = seed)]
    pub(super) seed: Option<u64>,
    /// Lay this many seeds beside each other
    #[arg(long, value_name = "COUNT", requires = "drawn", default_value_t = 1, value_parser = whole(1, 24))]
    pub(super) seeds: u32,
    /// Pixels of the longer side
    #[arg(long, value_name = "PIXELS", requires = "drawn", default_value_t = 1200, value_parser = whole(16, 16_000))]
    pub(super) size: u32,
    /// Pixels per inch of the real board, instead of --size
    #[arg(long, value_name = "DPI", requires = "drawn", conflicts_with = "size", value_parser = whole(1, 1200))]
    pub(super) dpi: Option<u32>,
    /// A close-up at real scale as well
    #[arg(long, requires = "drawn")]
    pub(super) close_up: bool,
    /// Let the film reflect a window
    #[arg(long, requires = "drawn")]
    pub(super) gloss: bool,
}

/// A lamp as a word of the command line, with the nearest names where there is none such.
pub(super) fn lamp(word: &str) -> Result<Illuminant, String> {
    word.parse().map_err(|why: UnknownIlluminant| {
        let hint = suggest::did_you_mean(word, Illuminant::names()).or_else(|| lamps_like(word));
        match hint {
            Some(hint) => format!("{why}; {hint}"),
            None => {
                let all: Vec<&str> = Illuminant::names().collect();
                format!("{why}; there are {}, and daylight as 5000K", suggest::listed(&all, "and"))
            }
        }
    })
}

/// The lamps that a word stands for: those whose names begin so, or what a kind of lamp is called.
fn lamps_like(word: &str) -> Option<String> {
    const KINDS: [(&str, &[&str]); 8] = [
        ("daylight", &["D65", "D50"]),
        ("sun", &["D55", "D65"]),
        ("incandescent", &["A"]),
        ("halogen", &["A"]),
        ("tungsten", &["A"]),
        ("bulb", &["A", "LED-B1"]),
        ("fluorescent", &["F11", "F2"]),
        ("tube", &["F11", "F2"]),
    ];
    let word = word.trim().to_lowercase();
    if word.is_empty() {
        return None;
    }
    let kind = KINDS.iter().find(|(kind, _)| word.contains(kind));
    let mut all: Vec<&str> = match kind {
        Some((_, lamps)) => lamps.to_vec(),
        None => Illuminant::names().filter(|name| name.to_lowercase().starts_with(&word)).collect(),
    };
    all.dedup();
    match all[..] {
        [] => None,
        [only] => Some(format!("did you mean \"{only}\"?")),
        _ => Some(format!("did you mean one of {}?", suggest::listed(&all, "or"))),
    }
}

pub(super) fn observer(word: &str) -> Result<Observer, String> {
    word.parse().map_err(|why: UnknownObserver| why.to_string())
}
