//! The mixing sheet: what is weighed, in order, with its clock, its containers and its cautions.

use std::fmt::Write as _;

use super::cards::{base_cards, batch_card};
use super::drawing::Colours;
use super::{Blank, Block, Cell, Heading, Heed, Kind, Sheet, Side, Table};
use crate::model::House;
use crate::plan::run_sheet::{RunSheet, Step};
use crate::plan::{AskedBy, BasePlan, Caution, LeastSurface, Plan, Topic, least_warm_words};
use crate::quantity::Units;
use crate::report::ceiling_rows::{near_ceiling_rows, unchecked_ratio_words};
use crate::report::clock_rows::{
    carried_over_words, first_drips_words, hot_from_brief, hot_from_words, mix_clock_rows,
    mixing_words, pot_lives_words, recoat_words, scales_short_brief, wanted_at_once_words,
};
use crate::report::fill_rows::{fill_rows, numbered};
use crate::report::finding_rows::{first_page_rows, late_by_shortest_rows};
use crate::report::heed_rows::{HeedKind, long_pour_words, wait_words};
use crate::report::let_down_words;
use crate::report::mix_ratio_words::mix_by_weight;
use crate::report::piece_rows::{over_row, piece_rows, pieces_of_batch_words, pieces_words};
use crate::report::remedy_rows::remedy_rows;
use crate::report::scale_rows::{
    STRENGTH_WORDS, ScaleRow, accent_cups_words, fills_accent_cups, mix_order_words, mix_rows,
    stock_left_words, stock_rows, stock_serves_words,
};
use crate::report::spread_words::spread_brief;
use crate::report::step_rows::{
    StepRow, after_pour_rows, allowance_brief, hold_back_brief, idle_words, mist_words, step_runs,
};
use crate::report::stop_rows::{StopRow, stop_rows};

pub(super) fn mixing(plan: &Plan, colours: &Colours, units: Units) -> Sheet {
    let mut blocks = stops(plan, units);
    blocks.push(Block::Blanks(blanks(plan, units)));
    let coat = if plan.coats == 1 { "" } else { ", each coat" };
    // What protects the crew is read before anything is opened, so it stands on the first page
    // however large the job is.
    blocks.push(Block::Brief(brief(plan, units)));
    if !plan.stocks.is_empty() {
        blocks.push(Block::Heading(
            "First, let down in part A, each stirred until no streak is left".to_owned(),
        ));
        blocks.push(Block::Table(let_downs(plan)));
    }
    blocks.push(Block::Heading(format!("Mix{coat}: {}", mix_order_words(plan))));
    // In one line of paper, since all work stands on the first page.
    let accents =
        if fills_accent_cups(plan) { ", fill accents' own cups a little over" } else { "" };
    let added = if shows_added(plan) { " Below: added." } else { "" };
    blocks.push(Block::Note(format!(
        "Before: weigh A and small cups{accents}. B at its clock, A tared. Rinse cups with the mix.{added}"
    )));
    let bases = plan.bases.iter().zip(1..);
    let cards = bases.flat_map(|(base, at)| base_cards(plan, at, base, units)).collect();
    blocks.push(match &plan.time {
        Ok(sheet) => {
            let (title, table) = mix_clock(plan, sheet, coat);
            Block::CardsAndTable { cards, title, table }
        }
        Err(_) => Block::Cards(cards),
    });
    if let Some(containers) = &plan.containers {
        blocks.push(Block::Heading(format!(
            "Pour{coat}: {}{} to {}; bottom first; tare once",
            match containers.number() {
                1 => "1 container".to_owned(),
                number => format!("{number} containers in order"),
            },
            spread_brief(plan).map_or_else(String::new, |spread| format!(", {spread},")),
            containers.fill.show(units)
        )));
        let scale = containers.vein_scale();
        if (scale - 1.0).abs() > 0.06 {
            blocks.push(Block::Note(format!(
                "The containers change size: veins come out at about {scale:.2} of {}.",
                if plan.take_off.boards_alone() {
                    "those from full containers"
                } else {
                    "the sample's"
                }
            )));
        }
        if let Some(held) = plan.upright_coats.as_ref().and_then(hold_back_brief) {
            let last = allowance_brief(plan).map_or_else(String::new, |last| format!("; {last}"));
            blocks.push(Block::Note(format!("{held}{last}.")));
        }
        let batches = numbered(&plan.small_batches).zip(1..);
        let card = |((first, batch), at): (_, usize)| {
            let mut card = batch_card(at, first, batch, colours, units);
            card.notes.extend(pieces_of_batch_words(plan, at - 1));
            card
        };
        blocks.push(Block::Cards(batches.map(card).collect()));
    }
    after_pour(plan, coat, units, &mut blocks);
    blocks.push(Block::WorkEnds);
    pieces(plan, coat, &mut blocks);
    let cups = accent_cups_words(plan);
    if !cups.is_empty() {
        blocks.push(Block::Heading("Accents from cups".to_owned()));
        blocks.push(Block::Note(cups));
    }
    if !plan.fills.is_empty() {
        blocks.push(Block::Heading("Which mix goes into which containers".to_owned()));
        blocks.push(Block::Table(fill_table(plan)));
    }
    if !plan.stocks.is_empty() {
        blocks.push(Block::Heading("What is left of the let-downs".to_owned()));
        for stock in &plan.stocks {
            let left = stock_left_words(stock, plan.phr);
            if !left.is_empty() {
                blocks.push(Block::Note(format!("{}: {left}.", stock.colorant)));
            }
        }
        blocks.push(Block::Note(STRENGTH_WORDS.to_owned()));
    }
    tried_in_vain(plan, units, &mut blocks);
    every_step(plan, units, coat, &mut blocks);
    blocks.push(Block::Heading("Cautions in full, with their sources".to_owned()));
    blocks.extend(plan.cautions.iter().map(|caution| Block::Warning {
        mark: caution.topic.word().to_owned(),
        words: caution.text.clone(),
        source: caution.source.to_owned(),
        stops: caution.topic == Topic::Raised,
    }));
    let near = near_ceiling_rows(plan).into_iter().map(|words| warning("ceiling", words, false));
    blocks.extend(near);
    blocks.extend(unchecked_ratio_words(plan).map(|words| warning("mix ratio", words, false)));
    Sheet { kind: Kind::Mixing, title: "Mixing sheet".to_owned(), blocks }
}

/// What to heed in a few words: what is left out of the recipe, the plan's cautions, then what the clock says.
fn brief(plan: &Plan, units: Units) -> Vec<Heed> {
    let heed = |mark: &str, words: String| Heed { mark: mark.to_owned(), words };
    let head = HeedKind::ALL.into_iter().flat_map(|kind| kind.at_the_head(plan, units));
    let mut all: Vec<Heed> = head.map(|words| heed("HEED", words)).collect();
    all.extend(recoat_words(plan, units).map(|words| heed("coats", words)));
    let told = |caution: &&Caution| caution.brief.is_empty() || caution.topic.spoils_the_pour();
    let cautions = plan.cautions.iter().filter(|caution| !told(caution));
    all.extend(cautions.map(|caution| heed(caution.topic.word(), caution.brief.clone())));
    all.extend(scales_short_brief(plan).map(|words| heed("scales", words)));
    if let Ok(sheet) = &plan.time {
        all.extend(hot_from_brief(sheet).map(|words| heed("hot", words)));
        let found = first_page_rows(sheet, units).into_iter();
        all.extend(found.map(|words| heed("clock", words)));
    }
    all
}

fn blanks(plan: &Plan, units: Units) -> Vec<Blank> {
    let gate = plan.time.as_ref().ok().and_then(|sheet| sheet.gate.as_ref());
    let warm = || least_warm_words(plan.lowest_temperature, units);
    let least = match gate {
        Some(gate) => {
            let least = LeastSurface::of(gate.dew_point_celsius, plan.lowest_temperature, units);
            // One line of a fifth of the page; the reason stands with the caution of the dew.
            match least.asked_by {
                AskedBy::Dew => format!("from {}", least.temperature.show(units)),
                AskedBy::System | AskedBy::Usual => format!("from {}", warm()),
            }
        }
        None if plan.cautions.iter().any(|caution| caution.topic == Topic::Cold) => {
            format!("from {}", warm())
        }
        None => String::new(),
    };
    let conditions = &plan.conditions;
    // Their ratio by weight is held against the tin; parts as warm as the room need no figure of their own.
    let warm = if conditions.parts == conditions.room {
        String::new()
    } else {
        format!(", plan {}", House::room_words(conditions.parts, units))
    };
    vec![
        blank("Date and crew", String::new()),
        blank("Room", format!("plan {}", House::room_words(conditions.room, units))),
        blank("Resin A and B", format!("{} g{warm}", mix_by_weight(plan))),
        blank("Surface", least),
        blank("Humidity", format!("plan {}", conditions.humidity.show(units))),
    ]
}

fn blank(label: &str, hint: String) -> Blank {
    Blank { label: label.to_owned(), hint }
}

/// What speaks against pouring as planned stands under the title, each with what would mend it.
pub(super) fn stops(plan: &Plan, units: Units) -> Vec<Block> {
    let told = |row: StopRow| warning("STOP", format!("{}. Mend: {}", row.words, row.remedy), true);
    stop_rows(plan, units).into_iter().map(told).collect()
}

/// The same on a sheet for who buys or labels: the reasons alone.
pub(super) fn stops_in_short(plan: &Plan, units: Units) -> Vec<Block> {
    let told = |row: StopRow| {
        warning("STOP", format!("{}. What would mend it: see the mixing sheet.", row.words), true)
    };
    stop_rows(plan, units).into_iter().map(told).collect()
}

/// Where the ways that do not do are told.
const IN_VAIN: &str = "What was tried";

/// What was tried where nothing does.
fn tried_in_vain(plan: &Plan, units: Units, blocks: &mut Vec<Block>) {
    let tried = remedy_rows(plan, units);
    if tried.is_empty() || tried.iter().any(|row| row.does) {
        return;
    }
    blocks.push(Block::Heading(IN_VAIN.to_owned()));
    let heed = |words: String| Heed { mark: "tried".to_owned(), words };
    blocks.push(Block::Brief(tried.into_iter().map(|row| heed(row.words)).collect()));
}

/// Whether some mix that stands beside another of its base is weighed on top of what lies on the scale.
fn shows_added(plan: &Plan) -> bool {
    let beside = plan.bases.iter().map(BasePlan::kinds).filter(|kinds| kinds.len() > 1);
    beside.flatten().any(|(_, mix)| mix_rows(mix).iter().any(ScaleRow::on_top))
}

fn warning(mark: &str, words: String, stops: bool) -> Block {
    Block::Warning { mark: mark.to_owned(), words, source: String::new(), stops }
}

/// Let-downs, one a row: the colorant, then part A on top.
fn let_downs(plan: &Plan) -> Table {
    let weight = |row: &ScaleRow| {
        [Cell::weight(row.weight.clone(), false), Cell::weight(row.reading.clone(), true)]
    };
    let rows = plan
        .stocks
        .iter()
        .map(|stock| {
            let [colorant, part_a] = stock_rows(stock);
            let mut small = format!(
                "{} for {} · {}",
                let_down_words(stock.ratio),
                stock_serves_words(plan, stock),
                colorant.scale
            );
            if !part_a.on_top() {
                let _ = write!(small, ", part A on the {}", part_a.scale);
            }
            let flags = [&colorant, &part_a].map(|row| row.flag.as_str());
            let flags: Vec<&str> = flags.into_iter().filter(|flag| !flag.is_empty()).collect();
            if !colorant.lot.is_empty() {
                let _ = write!(small, ", {}", colorant.lot);
            }
            let name = Cell::Words { large: stock.colorant.clone(), small, flag: flags.join("; ") };
            let [weigh, shows] = weight(&colorant);
            let [then, shows_then] = weight(&part_a);
            vec![name, weigh, shows, then, shows_then, Cell::Tick]
        })
        .collect();
    let columns = vec![
        Heading::of("", Side::Left),
        Heading::of("weigh colorant", Side::Right),
        Heading::of("scale shows", Side::Right),
        Heading::of("then part A", Side::Right),
        Heading::of("scale shows", Side::Right),
        Heading::of("done", Side::Left),
    ];
    Table { columns, rows }
}

/// Which containers go on which piece, where there are several.
fn pieces(plan: &Plan, coat: &str, blocks: &mut Vec<Block>) {
    let rows = piece_rows(plan);
    if rows.is_empty() {
        return;
    }
    blocks.push(Block::Heading(format!("On which piece{coat}")));
    blocks.push(Block::Note(pieces_words(plan)));
    blocks.extend(wait_words(plan).map(|words| warning("HEED", words, false)));
    let rows = rows.into_iter().chain(over_row(plan)).map(|row| {
        let small = [row.size, row.share];
        let small: Vec<&str> = small.iter().map(String::as_str).filter(|s| !s.is_empty()).collect();
        let small = small.join(", ");
        let piece = Cell::Words { large: row.piece, small, flag: String::new() };
        vec![piece, Cell::words(row.from), Cell::Tick]
    });
    let columns = vec![
        Heading::of("piece", Side::Left),
        Heading::of("containers", Side::Left),
        Heading::of("poured", Side::Left),
    ];
    blocks.push(Block::Table(Table { columns, rows: rows.collect() }));
}

/// What each mix fills.
fn fill_table(plan: &Plan) -> Table {
    let rows = fill_rows(plan)
        .into_iter()
        .map(|row| vec![Cell::words(row.mix), Cell::words(row.into)])
        .collect();
    let columns = vec![Heading::of("mix", Side::Left), Heading::of("containers", Side::Left)];
    Table { columns, rows }
}

/// Every mix's clock: a place for the time at which it began, and one for when it must be poured.
fn mix_clock(plan: &Plan, sheet: &RunSheet, coat: &str) -> (String, Table) {
    let all = mix_clock_rows(plan, sheet);
    let first = all.first().map_or("", |row| row.basis.as_str());
    let one_basis = all.iter().all(|row| row.basis == first);
    // What holds of every mix is told once above them: a line below each would push work off the page.
    let all_tight = all.len() > 1 && all.iter().all(|row| row.tight && !row.late);
    let known = |words: &str| if words.is_empty() { String::new() } else { format!(" ({words})") };
    let basis = if one_basis { known(first) } else { String::new() };
    let tight = if all_tight { ", all tight" } else { "" };
    // The shortest stands beside the estimate in every row: by that alone a mix is surely still good.
    let ranged = all.iter().any(|row| !row.range.is_empty());
    let lasts = if ranged { "est. min" } else { "good for" };
    let title = format!("Clock{coat}{tight}: B met A at + {lasts}{basis} = pour by; as planned");

    let mut columns = vec![
        Heading::of("mix", Side::Left),
        Heading::of("B met A at", Side::Left),
        Heading::of(if ranged { "est." } else { "good for" }, Side::Right),
        Heading::of("pour by", Side::Left),
        Heading::of("used up", Side::Right),
    ];
    if ranged {
        columns.insert(2, Heading::of("good for", Side::Right));
    }
    let rows = all
        .into_iter()
        .map(|row| {
            let flagged = row.late || (row.tight && !all_tight);
            let flag = if flagged { row.verdict } else { String::new() };
            let bare = row.life.strip_suffix(" min").filter(|_| ranged).unwrap_or(&row.life);
            let basis = if one_basis { String::new() } else { known(&row.basis) };
            let mut cells = vec![
                Cell::Words { large: row.short, small: String::new(), flag },
                Cell::Blank { hint: row.start },
                Cell::Figure(format!("{bare}{basis}")),
                Cell::Blank { hint: row.pour_by },
                Cell::Figure(row.last_pour),
            ];
            if ranged {
                cells.insert(2, Cell::Figure(row.range));
            }
            cells
        })
        .collect();
    (title, Table { columns, rows })
}

/// Misting and drips: when by the plan, and places to write when they were done.
fn after_pour(plan: &Plan, coat: &str, units: Units, blocks: &mut Vec<Block>) {
    let Ok(sheet) = &plan.time else { return };
    let after = after_pour_rows(plan, sheet);
    if after.is_empty() {
        return;
    }
    let misted = sheet.lines.iter().any(|line| matches!(line.step, Step::Mist { .. }));
    let how = match &plan.mist {
        Some(mist) if misted => {
            format!(": mist lightly, never flood; {}", mist_words(mist, units))
        }
        _ => String::new(),
    };
    // Beside what is held back it stands already, and a line of its own would push work off the page.
    let held = plan.upright_coats.as_ref().and_then(hold_back_brief);
    let last = allowance_brief(plan).filter(|_| held.is_none());
    let last = last.map_or_else(String::new, |last| format!("The {last}. "));
    blocks.push(Block::Heading(format!("{last}After the pour{coat} (h:min){how}")));
    let mut all = vec![blank("first B into A", "0:00".to_owned())];
    all.extend(after.into_iter().map(|row| blank(&row.words, row.start)));
    blocks.push(Block::Blanks(all));
}

/// The whole run sheet.
fn every_step(plan: &Plan, units: Units, coat: &str, blocks: &mut Vec<Block>) {
    let Ok(sheet) = &plan.time else { return };
    let runs = step_runs(plan, sheet, units);
    let title = |who: &str| {
        let who = if who.is_empty() { String::new() } else { format!(", {who}") };
        format!("Every step{coat}{who}, in hours and minutes from the first B into A")
    };
    blocks.push(Block::Heading(title(runs.first().map_or("", |run| run.who.as_str()))));
    blocks.extend(mixing_words(sheet.mixing).map(|words| Block::Note(words.to_owned())));
    blocks.extend(long_pour_words(plan).map(|words| warning("HEED", words, false)));
    blocks.extend(wanted_at_once_words(plan).into_iter().map(Block::Note));
    blocks.extend(
        first_drips_words(sheet).into_iter().chain(idle_words(plan, sheet)).map(Block::Note),
    );
    // Before the table, which may end at a page's foot.
    if let Some(words) = carried_over_words(plan, sheet, units) {
        blocks.push(Block::Note(format!("{words} {}.", pot_lives_words(plan, sheet))));
    }
    blocks.extend(hot_from_words(sheet, units).map(Block::Note));
    for words in late_by_shortest_rows(sheet, units) {
        blocks.push(Block::Note(format!("Tight: {words}.")));
    }
    for (at, run) in runs.into_iter().enumerate() {
        if at > 0 {
            blocks.push(Block::Heading(title(&run.who)));
        }
        blocks.push(Block::Table(every_step_table(run.rows)));
    }
}

fn every_step_table(rows: Vec<StepRow>) -> Table {
    let columns = vec![
        Heading::of("no.", Side::Right),
        Heading::of("from", Side::Right),
        Heading::of("to", Side::Right),
        Heading::of("step", Side::Left),
        Heading::of("done at", Side::Left),
    ];
    let rows = (1_usize..)
        .zip(rows)
        .map(|(number, row)| {
            vec![
                Cell::Figure(number.to_string()),
                Cell::Figure(row.start),
                Cell::Figure(row.end),
                Cell::words(row.words),
                Cell::blank(),
            ]
        })
        .collect();
    Table { columns, rows }
}
