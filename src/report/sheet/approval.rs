//! The client's approval: what it will look like, what may vary, how to care for it.

use std::collections::BTreeSet;

use super::build::{BoardShown, SheetsAsk};
use super::{Blank, Block, Kind, Picture, Sheet, Swatch};
use crate::picture::{APPROXIMATE, Chip, Note, PngError};
use crate::plan::Plan;
use crate::report::heed_rows::astray_words;
use crate::report::look_words::{HIDING_NOT_KNOWN_TO_CLIENT, look_line};
use crate::report::scale_rows::share_words;
use crate::suggest::listed;

/// What no two pours share.
const VARIES: [&str; 4] = [
    "Every pour is its own: the colours are as approved; where bases meet they mix to tones between; how much of each shows and where veins fall cannot be repeated.",
    "Colours change with the lamp they are seen under. Look at the board where it will lie, by day and by evening light.",
    "A thicker or thinner film, another primer or a second coat looks deeper or lighter than the board.",
    "Epoxy yellows slowly in sunlight, white and pale colours first.",
];

/// How shares are meant, beside what shows tones which no base has.
fn mixed_tones(shown: &str) -> String {
    format!(
        "Shares are of what is poured: where bases meet, {shown} tones mixed of them, which count as neither."
    )
}

pub(super) fn approval(ask: &SheetsAsk<'_>) -> Result<Sheet, PngError> {
    let unknown = unknown_words(ask);
    let any_known = ask.chips.iter().any(|chip| chip.look.is_ok());
    let seen = format!(
        "Colours as under {}; {APPROXIMATE}: a printer and a screen show less than an eye sees. The cured sample board is what counts.",
        ask.viewing
    );
    let upright = ask.plan.uprights.as_ref().and_then(|one| one.approval_words(ask.units));
    let splashbacks = splashback_words(ask.plan);
    let vary = VARIES.iter().map(|words| (*words).to_owned()).chain(upright).chain(splashbacks);
    let vary = vary.map(|words| format!("• {words}"));
    let mut blocks = Vec::new();
    if let Some(words) = ask.plan.astray.as_ref().map(|astray| astray_words(astray, ask.units)) {
        blocks.push(Block::Warning {
            mark: "HEED".to_owned(),
            words,
            source: String::new(),
            stops: false,
        });
    }
    match ask.board {
        Ok(board) => {
            let mut beside = vec![
                seen,
                if ask.plan.take_off.boards_alone() {
                    format!("The picture shows {}.", board.shows)
                } else {
                    format!("The picture shows {}; not the whole job.", board.shows)
                },
                "What may vary:".to_owned(),
            ];
            beside.extend(vary);
            blocks.push(Block::Picture(picture(board, beside, ask)?));
        }
        Err(why) => {
            if any_known {
                blocks.push(Block::Line(seen));
            }
            let (mark, words) = match unknown {
                Some(words) => ("colours not drawn", words),
                None => (
                    "no picture of a board",
                    format!("{}. The board itself is to be shown.", without_names(why, ask)),
                ),
            };
            blocks.push(Block::Warning {
                mark: mark.to_owned(),
                words,
                source: String::new(),
                stops: false,
            });
            blocks.push(Block::Heading("What may vary".to_owned()));
            blocks.extend(vary.map(Block::Line));
        }
    }
    blocks.push(Block::Heading("Colours".to_owned()));
    colours(ask, any_known, &mut blocks);
    blocks.push(Block::Heading("Care".to_owned()));
    for words in [
        "Follow the resin maker's times for light use, full use and heat.",
        "Trivets under hot pans, boards under knives; wipe spills, most of all strong solvents, acids and dyes.",
        "Soft cloth, mild soap and water; no scouring powder, no bleach.",
        "No claim of food contact is made for a coloured counter: boards and plates on it.",
    ] {
        blocks.push(Block::Line(format!("• {words}")));
    }
    blocks.push(Block::Heading("Approved as above".to_owned()));
    let blank = |label: &str| Blank { label: label.to_owned(), hint: String::new() };
    blocks.push(Block::Signatures {
        asked: ["Sample board", "Looked at under", "Agreed changes"].map(blank).to_vec(),
        lines: vec!["Client, date".to_owned(), "For the shop, date".to_owned()],
    });
    Ok(Sheet { kind: Kind::Approval, title: "Client approval".to_owned(), blocks })
}

/// That splashbacks have no pattern, and their colour; none where there are none.
fn splashback_words(plan: &Plan) -> Option<String> {
    let held = plan.upright_coats.as_ref()?.splashbacks.as_ref()?;
    let names: Vec<String> = held.bases.iter().map(|(name, _)| format!("\"{name}\"")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let of = match (&names[..], held.shares()) {
        ([only], _) => (*only).to_owned(),
        (_, Some(shares)) => {
            let shares = shares.iter().map(|(_, share)| format!("{:.0}", share.percent()));
            let shares = shares.collect::<Vec<_>>().join(" : ");
            format!("{} stirred together, about {shares}", listed(&names, "and"))
        }
        (_, None) => format!("{} stirred together", listed(&names, "and")),
    };
    Some(format!(
        "Splashbacks are brushed on and have one even colour, without the pattern of the counter: {of}."
    ))
}

/// Bases and accents: as fields of colour, or in words where none of them is known.
fn colours(ask: &SheetsAsk<'_>, any_known: bool, blocks: &mut Vec<Block>) {
    let tones = |shown| (ask.plan.bases.len() > 1).then(|| mixed_tones(shown));
    let swatches: Vec<Swatch> = ask.chips.iter().map(|chip| swatch(chip, ask)).collect();
    if !any_known {
        blocks.push(Block::Line(HIDING_NOT_KNOWN_TO_CLIENT.to_owned()));
        blocks.extend(tones("the counter shows").map(Block::Note));
        blocks.extend(swatches.into_iter().map(|one| {
            let words: Vec<String> = std::iter::once(one.name).chain(one.lines).collect();
            Block::Line(format!("• {}", words.join(" · ")))
        }));
        return;
    }
    let fields = "Each field is the film over its primer. The small fields: the same film over black, over white, and the bare primer.";
    let words: Vec<String> =
        std::iter::once(fields.to_owned()).chain(tones("picture and counter show")).collect();
    blocks.push(Block::Note(words.join(" ")));
    blocks.push(Block::Swatches(swatches));
}

/// What a client is told where colours are not known, and what to approve instead; the colorants behind it only
/// where the shop wants its recipe told.
fn unknown_words(ask: &SheetsAsk<'_>) -> Option<String> {
    let unknown: Vec<&Chip> = ask.chips.iter().filter(|chip| chip.look.is_err()).collect();
    let names: Vec<String> = unknown.iter().map(|chip| chip_name(chip)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let which = match names.len() {
        0 => return None,
        all if all == ask.chips.len() => "these colours look".to_owned(),
        1 => format!("the colour of {} looks", names[0]),
        _ => format!("the colours of {} look", listed(&names, "and")),
    };
    let why: BTreeSet<String> = unknown
        .iter()
        .filter(|_| ask.recipe_on_approval)
        .filter_map(|chip| chip.look.as_ref().err().map(ToString::to_string))
        .collect();
    let why = if why.is_empty() {
        String::new()
    } else {
        format!(" ({})", why.into_iter().collect::<Vec<_>>().join(", "))
    };
    Some(format!(
        "how {which} in this resin is not known{why}, so neither is drawn nor a board of it. A sample board, poured and cured, is to be approved instead."
    ))
}

/// Why there is no picture, unless that tells what the colours are made of and the shop keeps that to itself.
fn without_names<'a>(why: &'a str, ask: &SheetsAsk<'_>) -> &'a str {
    let made_of = |chip: &Chip| chip.doses.iter().any(|(colorant, _)| why.contains(colorant));
    if !ask.recipe_on_approval && ask.chips.iter().any(made_of) {
        "It cannot be drawn"
    } else {
        why.trim_end_matches('.')
    }
}

fn chip_name(chip: &Chip) -> String {
    format!("{} ({})", chip.name, if chip.accent { "accent" } else { "base" })
}

/// The poured board; sRGB, with the recipe it shows.
fn picture(
    board: &BoardShown,
    beside: Vec<String>,
    ask: &SheetsAsk<'_>,
) -> Result<Picture, PngError> {
    let alt = format!("{APPROXIMATE}: {}", board.shows);
    let notes = [
        Note { keyword: "Description", text: alt.clone() },
        Note { keyword: "Recipe fingerprint", text: ask.plan.fingerprint.to_string() },
    ];
    let raster = &board.picture;
    Ok(Picture { png: raster.png(&notes)?, size: [raster.width, raster.height], alt, beside })
}

/// A colour with its share; what it is made of only where the shop wants that to be told, since a
/// colourway's loadings are what another shop would need to make it.
fn swatch(chip: &Chip, ask: &SheetsAsk<'_>) -> Swatch {
    let base = ask.plan.bases.iter().find(|base| !chip.accent && base.name == chip.name);
    let mut lines: Vec<String> = base.map(share_words).into_iter().collect();
    if ask.plan.astray.as_ref().is_some_and(|astray| astray.leaves_out(chip.accent, &chip.name)) {
        lines.push("of the recipe, NOT in this pour".to_owned());
    }
    if ask.recipe_on_approval {
        lines.extend(if chip.accent {
            vec![chip.kind_words().split_off(1).join(" ")]
        } else {
            chip.dose_words()
        });
    }
    let look = chip.look.as_ref();
    match look {
        Ok(look) => lines.extend(look_line(look, ask.units).split(" · ").map(str::to_owned)),
        // Where none is known that is told once, for all of them.
        Err(_) if ask.chips.iter().all(|chip| chip.look.is_err()) => {}
        Err(_) => {
            lines.extend(["its colour is not known", HIDING_NOT_KNOWN_TO_CLIENT].map(str::to_owned))
        }
    }
    let grounds = match (chip.over_black, chip.over_white) {
        (Some(black), Some(white)) => vec![black, white, chip.primer],
        _ => Vec::new(),
    };
    Swatch { name: chip_name(chip), colour: look.ok().map(|look| look.shown), grounds, lines }
}
