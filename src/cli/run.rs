//! One command from words to exit code.

use std::path::{Path, PathBuf};

use clap::error::{ContextKind, ErrorKind};
use clap::{CommandFactory, Parser};
use indicatif::{ProgressBar, ProgressStyle};
use serde_json::{Value, json};

use super::args::{
    Arguments, Command, Common, ExtentWords, PlanWords, PourWords, SheetWord, SwatchWords,
};
use super::characterise::characterise;
use super::env::Env;
use super::matching;
use super::show::{BAD_INPUT, DONE, code_of, complain, print};
use crate::acts::{self, Extent, Picture, PlanAsk, PourAsk, Seen, SheetsFor, SwatchAsk};
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::matching::Doubts;
use crate::picture::Chip;
use crate::plan::Plan;
use crate::quantity::Units;
use crate::report::html::html;
use crate::report::pdf::{Paper, pdf, unshown};
use crate::report::plan_json::plan_json;
use crate::report::plan_text::plan_text;
use crate::report::sheet::{BoardShown, Kind, Sheets};
use crate::report::sheet_text::sheet_text;
use crate::report::stop_rows::stop_rows;
use crate::report::{Paint, lamp_text, left_out_chips, look_json, tolerance_json, tolerance_text};
use crate::spectrum::Observer;
use crate::store::{
    self, Named, NewFile, Opened, apart, left_from_earlier, outside_shop_folders, write_each,
    write_files,
};
use crate::suggest;

/// Runs one command: 0 done, 1 refused by a check, 2 bad use or bad input.
pub fn run(env: &mut Env<'_>) -> u8 {
    let arguments = match Arguments::try_parse_from(&env.args) {
        Ok(arguments) => arguments,
        Err(words) => return usage(env, &words),
    };
    let outcome = match arguments.command {
        None => Ok(print(env, &Arguments::command().render_help().to_string())),
        Some(Command::Start { folder, empty }) => start(env, &arguments.common, &folder, empty),
        Some(Command::Check { folder: None }) => check(env, &arguments.common),
        Some(Command::Check { folder: Some(folder) }) => Err(shop_without_its_option(&folder)),
        Some(Command::Plan(words)) => plan(env, &arguments.common, &words),
        Some(Command::Match(words)) => matching::match_colour(env, &arguments.common, *words),
        Some(Command::Correct(words)) => matching::correct(env, &arguments.common, *words),
        Some(Command::Swatch(words)) => swatch(env, &arguments.common, words),
        Some(Command::Characterise(words)) => characterise(env, &arguments.common, words),
        Some(Command::Completions { shell }) => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Arguments::command(), "pourbook", &mut script);
            Ok(print(env, &String::from_utf8_lossy(&script)))
        }
        Some(Command::Manual { folder }) => manual(env, folder.as_deref()),
    };
    outcome.unwrap_or_else(|found| complain(env, &found))
}

/// Help and version are answers; anything else that the words bring up is bad use.
fn usage(env: &mut Env<'_>, words: &clap::Error) -> u8 {
    let mut text = words.render().to_string();
    let unknown = words.get(ContextKind::InvalidArg).map(ToString::to_string).unwrap_or_default();
    if words.kind() == ErrorKind::UnknownArgument && !unknown.starts_with('-') {
        // A bare word more than are wanted is most often the second of a name.
        text.push_str("\nPut a name of several words in quotes: \"Salt Marsh\".\n");
    }
    if words.use_stderr() {
        // Nothing more can be done where this stream fails.
        let _ = env.err.write_all(text.as_bytes());
        BAD_INPUT
    } else {
        print(env, &text)
    }
}

pub(super) fn opened(env: &Env<'_>, common: &Common) -> Result<Opened, Diagnostics> {
    let folder = match &common.shop {
        Some(folder) => folder.clone(),
        None => acts::find_shop(&env.working_folder)?,
    };
    let mut opened = store::open(&folder)?;
    if let Some(word) = common.units {
        // All that is said of this shop is said in these, names of boards and areas too.
        opened.shop.house = opened.shop.house.in_units(word.into());
    }
    Ok(opened)
}

pub(super) fn units(opened: &Opened) -> Units {
    opened.shop.house.units
}

pub(super) fn json_text(value: &Value) -> String {
    format!("{value:#}\n")
}

fn start(
    env: &mut Env<'_>,
    common: &Common,
    folder: &Path,
    empty: bool,
) -> Result<u8, Diagnostics> {
    let started = acts::start(folder, empty)?;
    let place = folder.display().to_string();
    let typed = suggest::as_typed(&place);
    let text = if common.json {
        let shown = json!({ "schema": "pourbook.start", "version": 1, "folder": place, "files": started.files });
        json_text(&shown)
    } else if empty {
        format!(
            "{place} is ready, with no system, colorant, colourway or job yet.\nCopy each skeleton into its folder and fill it in: skeletons/system.ron to systems/my-resin.ron, skeletons/colorant.ron to colorants/, skeletons/colourway.ron to colourways/, skeletons/job.ron to jobs/. All fields: book/src/files.md, \"The files of a shop\".\nThen: pourbook check --shop {typed}\n"
        )
    } else {
        format!(
            "{place} holds the demo shop, {} files.\nNext: pourbook check --shop {typed}\n      pourbook plan --job galley-kitchen --shop {typed}\nA shop without the demo: pourbook start FOLDER --empty\n",
            started.files.len()
        )
    };
    Ok(print(env, &text))
}

/// A shop's folder typed as it is, without the option that takes it.
fn shop_without_its_option(folder: &Path) -> Diagnostics {
    let folder = folder.display().to_string();
    Diagnostic::error(format!("\"{folder}\" stands there without --shop"))
        .hint(format!("pourbook check --shop {}", suggest::as_typed(&folder)))
        .into()
}

fn check(env: &mut Env<'_>, common: &Common) -> Result<u8, Diagnostics> {
    let opened = opened(env, common)?;
    let checked = acts::check(&opened);
    let [systems, colorants, colourways, jobs] = checked.sound;
    if common.json {
        let found: Vec<Value> = checked.found.0.iter().map(diagnostic_json).collect();
        let answer = json!({
            "schema": "pourbook.check",
            "version": 1,
            "sound": { "systems": systems, "colorants": colorants, "colourways": colourways, "jobs": jobs },
            "ceilings_checked": checked.ceilings,
            "found": found,
        });
        return Ok(print(env, &json_text(&answer)).max(code_of(&checked.found)));
    }
    let code = complain(env, &checked.found);
    let count = |severity| checked.found.0.iter().filter(|each| each.severity == severity).count();
    let cautions = count(Severity::Caution).saturating_sub(checked.stops);
    let mut verdict = match (count(Severity::Error), count(Severity::Refused)) {
        (0, 0) if cautions + checked.stops > 0 => "no mistakes, but look first at".to_owned(),
        (0, 0) => "all sound".to_owned(),
        (1, refused) => format!("1 error, {refused} refused"),
        (errors, refused) => format!("{errors} errors, {refused} refused"),
    };
    for (number, noun) in [(checked.stops, "STOP"), (cautions, "caution")] {
        if number > 0 {
            let joint = if verdict.ends_with(" at") { " " } else { ", " };
            verdict.push_str(&format!("{joint}{}", counted(number, noun)));
        }
    }
    let text = format!(
        "{}: {}, {}, {}, {} read; {} checked; {verdict}\n",
        if opened.folder == Path::new(".") {
            "this folder".to_owned()
        } else {
            opened.folder.display().to_string()
        },
        counted(systems, "system"),
        counted(colorants, "colorant"),
        counted(colourways, "colourway"),
        counted(jobs, "job"),
        counted(checked.ceilings, "ceiling"),
    );
    Ok(print(env, &text).max(code))
}

/// `1 system`, `2 systems`.
fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

fn diagnostic_json(each: &Diagnostic) -> Value {
    let place = each.place.as_ref().map(|place| {
        let (line, column) = place.line_column();
        json!({ "file": place.source.name, "line": line, "column": column, "text": place.text() })
    });
    json!({
        "severity": each.severity.word(),
        "message": each.message,
        "place": place,
        "hints": each.hints,
    })
}

fn extent(words: &ExtentWords) -> Option<Extent> {
    let job = words.job.clone().map(Extent::Job);
    let board = words.board.map(Extent::Board);
    let area = words.area.map(Extent::Area);
    job.or(board).or(area).or(words.kit.map(Extent::Kit))
}

fn plan(env: &mut Env<'_>, common: &Common, words: &PlanWords) -> Result<u8, Diagnostics> {
    let mut opened = opened(env, common)?;
    if let Some(job) = &words.extent.job {
        let stated =
            [("crew", words.day.crew.is_some()), ("temperature", words.day.temperature.is_some())];
        if let Some((field, _)) = stated.into_iter().find(|(_, stated)| *stated) {
            return Err(acts::job_states(&opened, job, field).into());
        }
    }
    if let Some(crew) = words.day.crew {
        opened.shop.house = opened.shop.house.with_crew(crew);
    }
    if let Some(room) = words.day.temperature {
        opened.shop.house = opened.shop.house.with_room_at(room);
    }
    let extent = extent(&words.extent)
        .ok_or_else(|| acts::no_extent(&opened, words.colourway.as_deref()))?;
    let ask = PlanAsk { colourway: words.colourway.clone(), extent: extent.clone() };
    let doubts = Doubts { seed: words.seed, ..Doubts::default() };
    let (plan, spreads) = if words.tolerance {
        acts::plan_with_spreads(&opened, &ask, &doubts)?
    } else {
        (acts::plan(&opened, &ask)?, Vec::new())
    };
    let units = units(&opened);
    let json = || {
        let mut json = plan_json(&plan);
        if words.tolerance {
            json["tolerance"] = tolerance_json(&plan, &spreads, &doubts);
        }
        json_text(&json)
    };
    let text = |paint: Paint| {
        let mut text = plan_text(&plan, units, paint);
        if words.tolerance {
            text.push_str(&tolerance_text(&plan, &spreads, &doubts, paint));
        }
        text
    };
    let sheets_words = &words.sheets;
    let named: Vec<Named<'_>> = [("--pdf", &sheets_words.pdf), ("--html", &sheets_words.html)]
        .into_iter()
        .filter_map(|(option, path)| path.as_ref().map(|path| Named { option, path }))
        .collect();
    apart(&named, words.save.as_deref())?;
    let wanted = sheets_words.pdf.is_some() || sheets_words.html.is_some() || words.save.is_some();
    let day = sheets_words.date.or_else(|| env.today());
    let recipe_on_approval = sheets_words.recipe_on_approval;
    let mut made = || {
        let with_pour = words.save.is_some() && !matches!(extent, Extent::Kit(_));
        let board = sample_board(env, &opened, &plan.colourway, (units, with_pour));
        let board = board.as_ref().map_err(String::as_str);
        acts::sheets(&opened, &plan, SheetsFor { units, day, board, recipe_on_approval })
    };
    let sheets = wanted.then(&mut made).transpose()?;
    let shown = if common.json {
        json()
    } else if sheets_words.sheet.is_empty() {
        text(env.paint_out)
    } else {
        // A terminal shows no picture, so none is drawn for it.
        let board = Err("a terminal shows none, --pdf and --html do");
        let made = SheetsFor { units, day, board, recipe_on_approval };
        shown_sheets(&acts::sheets(&opened, &plan, made)?, &sheets_words.sheet, env.paint_out)
    };
    let paper = sheets_words.paper.map_or_else(|| Paper::for_units(units), Paper::from);
    let pdf_of =
        |sheets: &Sheets| pdf(sheets, paper).map_err(|why| Diagnostic::error(why.to_string()));
    // All is made before any of it is written, and written before it is told.
    let mut files: Vec<(PathBuf, Vec<u8>)> = Vec::new();
    if let (Some(path), Some(sheets)) = (&sheets_words.pdf, &sheets) {
        files.push((path.clone(), pdf_of(sheets)?));
    }
    if let (Some(path), Some(sheets)) = (&sheets_words.html, &sheets) {
        files.push((path.clone(), html(sheets).into_bytes()));
    }
    let mut saved = String::new();
    if let (Some(folder), Some(sheets)) = (&words.save, &sheets) {
        let ask = SwatchAsk {
            colourway: plan.colourway.clone(),
            lamps: Vec::new(),
            observer: Observer::Cie1931_2deg,
            film: None,
            primer: None,
            units,
        };
        let (mut pictures, seen) = acts::swatch(&opened, &ask)?;
        if let Some(told) = left_out(&seen) {
            complain(env, &told.into());
        }
        if !matches!(extent, Extent::Kit(_)) {
            let pour = PourAsk::plain(plan.colourway.clone(), extent, COUNTER_PX);
            // Where this cannot be drawn the board could not either: that is told already.
            if let Ok((drawn, _)) = acts::pour(&opened, &pour, &|_| ()) {
                pictures.extend(drawn);
            }
        }
        let mut all = vec![
            ("plan.txt".to_owned(), text(Paint::None).into_bytes()),
            ("plan.json".to_owned(), json().into_bytes()),
            ("sheets.pdf".to_owned(), pdf_of(sheets)?),
            ("sheets.html".to_owned(), html(sheets).into_bytes()),
        ];
        all.extend(pictures.into_iter().map(|picture| (picture.file, picture.bytes)));
        save(folder, &all)?;
        let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
        saved = format!("\nSaved in {}: {}\n", folder.display(), names.join(", "));
        let earlier = left_from_earlier(folder, &names);
        let earlier: Vec<&str> = earlier.iter().map(String::as_str).collect();
        if !earlier.is_empty() {
            let told = format!(
                "in {} files of an earlier plan stay, which are not of this one: {}",
                folder.display(),
                suggest::listed(&earlier, "and")
            );
            let hint = "move them away, or save each plan in a folder of its own";
            complain(env, &Diagnostic::caution(told).hint(hint).into());
        }
    }
    let new: Vec<NewFile<'_>> = files.iter().map(|(path, bytes)| NewFile { path, bytes }).collect();
    write_each(&new)?;
    let mut code = print(env, &shown);
    if !common.json && !saved.is_empty() {
        code = code.max(print(env, &saved));
    }
    if !common.json {
        for (path, _) in &files {
            code = code.max(print(env, &format!("\nWritten: {}\n", path.display())));
        }
    }
    if sheets_words.pdf.is_some() || words.save.is_some() {
        complain(env, &by_number(&plan)?);
    }
    Ok(code.max(complain(env, &stopped(&plan, units))))
}

/// Names whose letters the PDF cannot show.
fn by_number(plan: &Plan) -> Result<Diagnostics, Diagnostic> {
    let names = unshown(plan).map_err(|why| Diagnostic::error(why.to_string()))?;
    let names: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let told = (!names.is_empty()).then(|| {
        Diagnostic::caution(format!(
            "the PDF has no letters for all of {}: there they stand by their numbers, such as [U+77F3]",
            suggest::listed(&names, "and")
        ))
        .hint("the page of --html shows them as they are written; Latin, Greek and Cyrillic letters stand on paper too")
    });
    Ok(Diagnostics(told.into_iter().collect()))
}

/// A plan that must not be poured as it is counts as refused, though it is shown.
fn stopped(plan: &Plan, units: Units) -> Diagnostics {
    let told = stop_rows(plan, units).into_iter().map(|row| {
        let told = format!("STOP, do not pour as planned: {}", row.words);
        if row.is_a_way {
            Diagnostic::refused(format!("{told}. Refused as it stands; THERE IS A WAY, see below"))
                .hint(format!("a way: {}", row.remedy))
        } else {
            Diagnostic::refused(told).hint(row.remedy)
        }
    });
    Diagnostics(told.collect())
}

/// The sheets that are asked for, in that order.
fn shown_sheets(sheets: &Sheets, wanted: &[SheetWord], paint: Paint) -> String {
    let of_kind = |word: &SheetWord| {
        let kind = Kind::from(*word);
        sheets.sheets.iter().find(|sheet| sheet.kind == kind)
    };
    let texts = wanted.iter().filter_map(of_kind).map(|sheet| sheet_text(sheets, sheet, paint));
    texts.collect::<Vec<_>>().join("\n\n")
}

/// Pixels of a saved counter's longer side.
const COUNTER_PX: u32 = 1600;

/// The board that the client is shown. What cannot be drawn is left out of the sheets (and the counter, `with_pour`,
/// of what is saved), and told here and there: weights do not hang on a picture.
fn sample_board(
    env: &mut Env<'_>,
    opened: &Opened,
    colourway: &str,
    (units, with_pour): (Units, bool),
) -> Result<BoardShown, String> {
    acts::sample_board(opened, colourway, units).map_err(|found| {
        let all: Vec<&str> = found.0.iter().map(|each| each.message.as_str()).collect();
        let why = all.join("; ");
        let pour = if with_pour { ", and pour.png is left out" } else { "" };
        let told = format!("the sheets have no picture of a sample board{pour}: {why}");
        let caution = Diagnostic::caution(told).hint("the rest of the sheets is whole");
        complain(env, &caution.into());
        why
    })
}

pub(super) fn save(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Diagnostics> {
    outside_shop_folders(folder)?;
    let new: Vec<NewFile<'_>> =
        files.iter().map(|(name, bytes)| NewFile { path: Path::new(name), bytes }).collect();
    Ok(write_files(folder, &new)?)
}

fn swatch(env: &mut Env<'_>, common: &Common, words: SwatchWords) -> Result<u8, Diagnostics> {
    let opened = opened(env, common)?;
    let extent = drawn_on(&words.pour);
    let colourway = acts::colourway_to_draw(&opened, words.colourway.as_deref(), extent.as_ref())?;
    let ask = SwatchAsk {
        colourway,
        lamps: words.lamp,
        observer: words.observer,
        film: words.film,
        primer: words.primer,
        units: units(&opened),
    };
    let (mut pictures, seen) = acts::swatch(&opened, &ask)?;
    let mut parts = Vec::new();
    if let Some(extent) = extent {
        let ask = PourAsk {
            colourway: Some(ask.colourway.clone()),
            extent,
            lamps: ask.lamps.clone(),
            observer: ask.observer,
            seed: words.pour.seed,
            seeds: words.pour.seeds,
            longest_px: words.pour.size,
            dpi: words.pour.dpi,
            close_up: words.pour.close_up,
            gloss: words.pour.gloss,
        };
        let bar = progress_bar(env, "drawing the pour");
        let drawn = acts::pour(&opened, &ask, &|done| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
            bar.set_position((done.clamp(0.0, 1.0) * 1000.0) as u64);
        });
        bar.finish_and_clear();
        let (mut drawn, shares) = drawn?;
        if let Some(word) = &words.pour.job {
            let job = acts::job_stem(&opened, word)?;
            drawn.iter_mut().for_each(|picture| picture.name_job(&job));
        }
        if let Some(seed) = words.pour.seed {
            // The recipe's own pictures stay as they are.
            pictures.clear();
            drawn.iter_mut().for_each(|picture| picture.name_seed(seed));
        }
        pictures.extend(drawn);
        parts = shares;
    }
    let folder = match words.to {
        Some(folder) => folder,
        None => acts::swatch_folder(&opened, &ask.colourway)?,
    };
    let files: Vec<(String, Vec<u8>)> =
        pictures.into_iter().map(|Picture { file, bytes }| (file, bytes)).collect();
    if files.is_empty() {
        // Nothing that was asked for can be had.
        let told = left_out(&seen).unwrap_or_else(|| Diagnostic::error("there is nothing to draw"));
        let message = format!("no picture is made, for none would show a colour: {}", told.message);
        return Err(Diagnostic::error(message).into());
    }
    save(&folder, &files)?;
    let paths: Vec<PathBuf> = files.iter().map(|(name, _)| folder.join(name)).collect();
    let text = if common.json {
        json_text(&json!({
            "schema": "pourbook.swatch",
            "version": 1,
            "colourway": ask.colourway,
            "pictures": paths.iter().map(|path| path.display().to_string()).collect::<Vec<_>>(),
            "seen": seen.iter().map(|seen| json!({
                "viewing": seen.viewing,
                "chips": seen.chips.iter().map(chip_json).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "pour": parts.iter().map(|part| json!({
                "name": part.name,
                "poured_percent": part.poured * 100.0,
                "on_board_percent": part.on_board * 100.0,
            })).collect::<Vec<_>>(),
        }))
    } else {
        let mut text: String = paths.iter().map(|path| format!("{}\n", path.display())).collect();
        if words.colourway.is_none() {
            text.push_str(&format!("in {}, the colourway of the job\n", ask.colourway));
        }
        let lamps: Vec<(&str, &[Chip])> =
            seen.iter().map(|seen| (seen.viewing.as_str(), &seen.chips[..])).collect();
        text.push_str(&lamp_text(&lamps, env.paint_out));
        text
    };
    let told = Diagnostics(left_out(&seen).into_iter().collect());
    Ok(print(env, &text).max(complain(env, &told)))
}

/// Which chips are left out; they are the same under every lamp.
fn left_out(seen: &[Seen]) -> Option<Diagnostic> {
    seen.first().and_then(|seen| left_out_chips(&seen.chips))
}

/// A bar of a thousand steps for long work; unseen where nobody looks.
fn progress_bar(env: &Env<'_>, what: &'static str) -> ProgressBar {
    let bar = if env.err_is_terminal { ProgressBar::new(1000) } else { ProgressBar::hidden() };
    if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {percent} % {elapsed}") {
        bar.set_style(style);
    }
    bar.set_message(what);
    bar
}

fn drawn_on(words: &PourWords) -> Option<Extent> {
    let job = words.job.clone().map(Extent::Job);
    job.or(words.board.map(Extent::Board)).or(words.area.map(Extent::Area))
}

fn chip_json(chip: &Chip) -> Value {
    json!({
        "name": chip.name,
        "kind": if chip.accent { "accent" } else { "base" },
        "shown_as": chip.doses.iter().map(|(name, loading)| json!({
            "colorant": name,
            "loading_percent": loading * 100.0,
        })).collect::<Vec<_>>(),
        "dosed_percent": chip.poured.map(|range| range.map(|dose| dose * 100.0)),
        "look": chip.look.as_ref().ok().map(look_json),
        "unknown_because": chip.look.as_ref().err().map(ToString::to_string),
    })
}

fn manual(env: &mut Env<'_>, folder: Option<&Path>) -> Result<u8, Diagnostics> {
    let page = |command: &clap::Command| -> Result<Vec<u8>, Diagnostic> {
        let mut page = Vec::new();
        clap_mangen::Man::new(command.clone())
            .render(&mut page)
            .map_err(|why| Diagnostic::error(format!("the manual could not be written: {why}")))?;
        Ok(page)
    };
    let mut command = Arguments::command();
    command.build();
    let Some(folder) = folder else {
        return Ok(print(env, &String::from_utf8_lossy(&page(&command)?)));
    };
    let mut files = vec![("pourbook.1".to_owned(), page(&command)?)];
    for inner in command.get_subcommands().filter(|inner| inner.get_name() != "help") {
        files.push((format!("pourbook-{}.1", inner.get_name()), page(inner)?));
    }
    save(folder, &files)?;
    let text = format!("{} pages in {}\n", files.len(), folder.display());
    print(env, &text);
    Ok(DONE)
}
