//! The client's approval: what it will look like, what may vary, how to care for it.

use super::build::{BoardShown, SheetsAsk};
use super::{Blank, Block, Kind, Picture, Sheet, Swatch};
use crate::picture::{APPROXIMATE, Chip, Note, PngError};
use crate::report::heed_rows::astray_words;
use crate::report::look_words::look_line;
use crate::report::scale_rows::share_words;

/// What no two pours share.
const VARIES: [&str; 4] = [
    "Every pour is its own: the colours are as approved; where bases meet they mix to tones between; how much of each shows and where veins fall cannot be repeated.",
    "Colours change with the lamp they are seen under. Look at the board where it will lie, by day and by evening light.",
    "A thicker or thinner film, another primer or a second coat looks deeper or lighter than the board.",
    "Epoxy yellows slowly in sunlight, white and pale colours first.",
];

/// How shares are meant, beside a picture that shows tones which no base has.
const MIXED_TONES: &str = " Shares are of what is poured: where bases meet, picture and counter show tones mixed of them, which count as neither.";

pub(super) fn approval(ask: &SheetsAsk<'_>) -> Result<Sheet, PngError> {
    let seen = format!(
        "Colours as under {}; {APPROXIMATE}: a printer and a screen show less than an eye sees. The cured sample board is what counts.",
        ask.viewing
    );
    let upright = ask.plan.uprights.as_ref().and_then(|one| one.approval_words(ask.units));
    let vary = VARIES.iter().map(|words| (*words).to_owned()).chain(upright);
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
            blocks.push(Block::Line(seen));
            blocks.push(Block::Warning {
                mark: "no picture of a board".to_owned(),
                words: format!("{}. The board itself is to be shown.", why.trim_end_matches('.')),
                source: String::new(),
                stops: false,
            });
            blocks.push(Block::Heading("What may vary".to_owned()));
            blocks.extend(vary.map(Block::Line));
        }
    }
    blocks.push(Block::Heading("Colours".to_owned()));
    blocks.push(Block::Note(
        format!(
            "Each field is the film over its primer. The small fields: the same film over black, over white, and the bare primer.{}",
            if ask.plan.bases.len() > 1 { MIXED_TONES } else { "" }
        ),
    ));
    blocks.push(Block::Swatches(ask.chips.iter().map(|chip| swatch(chip, ask)).collect()));
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
        Err(why) => lines.push(why.to_string()),
    }
    let grounds = match (chip.over_black, chip.over_white) {
        (Some(black), Some(white)) => vec![black, white, chip.primer],
        _ => Vec::new(),
    };
    let kind = if chip.accent { "accent" } else { "base" };
    Swatch {
        name: format!("{} ({kind})", chip.name),
        colour: look.ok().map(|look| look.shown),
        grounds,
        lines,
    }
}
