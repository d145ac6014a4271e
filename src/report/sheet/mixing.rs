//! The mixing sheet: what is weighed, in order, with its clock, its containers and its cautions.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{Blank, Block, Card, Cell, Container, Heading, Heed, Kind, Sheet, Side, Table, Ticks};
use crate::colour::Srgb8;
use crate::model::House;
use crate::plan::run_sheet::{Mixing, RunSheet, Step};
use crate::plan::{
    AskedBy, BasePlan, Caution, LeastSurface, Mix, Plan, SmallBatch, Topic, least_warm_words,
};
use crate::quantity::Units;
use crate::report::ceiling_rows::{near_ceiling_rows, unchecked_ratio_words};
use crate::report::clock_rows::{
    carried_over_words, mix_clock_rows, pot_lives_words, recoat_words, wanted_at_once_words,
    whole_range_words,
};
use crate::report::fill_rows::{fill_rows, fills_words, numbered};
use crate::report::finding_rows::{first_page_rows, late_by_shortest_rows};
use crate::report::heed_rows::{astray_words, graver_cautions, too_coarse_words, wait_words};
use crate::report::let_down_words;
use crate::report::piece_rows::{over_row, piece_rows, pieces_of_batch_words, pieces_words};
use crate::report::remedy_rows::remedy_rows;
use crate::report::scale_rows::{
    STRENGTH_WORDS, ScaleRow, accent_cups_words, batch_words, fills_accent_cups, kind_words,
    kinds_words, layer_rows, mix_order_words, mix_rows, mix_size_words, stock_left_words,
    stock_rows, stock_serves_words,
};
use crate::report::step_rows::{
    StepRow, after_pour_rows, hold_back_brief, idle_words, mist_words, step_runs,
};
use crate::report::stop_rows::{StopRow, stop_rows};

type Colours = BTreeMap<(bool, String), Srgb8>;

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
    let two = plan.bases.iter().any(|base| base.kinds().len() > 1);
    // In one line of paper, since all work stands on the first page.
    let accents =
        if fills_accent_cups(plan) { ", fill accents' own cups a little over" } else { "" };
    let shows = if two { " Below: scale shows." } else { "" };
    blocks.push(Block::Note(format!(
        "Before: weigh A and small cups{accents}. B at its clock. Rinse cups with the mix.{shows}"
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
            "Pour{coat}: {} to {}; 1 is the bottom; no tare between layers",
            match containers.number() {
                1 => "1 container".to_owned(),
                number => format!("{number} containers in this order, each"),
            },
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
        if let Some(words) = plan.upright_coats.as_ref().and_then(hold_back_brief) {
            blocks.push(Block::Note(words));
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
    let graver = graver_cautions(plan).map(|caution| heed("HEED", caution.brief.clone()));
    let astray = plan.astray.as_ref().map(|astray| heed("HEED", astray_words(astray, units)));
    let coarse = too_coarse_words(plan).map(|words| heed("HEED", words));
    let mut all: Vec<Heed> = graver.chain(coarse).chain(astray).collect();
    all.extend(recoat_words(plan, units).map(|words| heed("coats", words)));
    let told = |caution: &&Caution| caution.brief.is_empty() || caution.topic.spoils_the_pour();
    let cautions = plan.cautions.iter().filter(|caution| !told(caution));
    all.extend(cautions.map(|caution| heed(caution.topic.word(), caution.brief.clone())));
    if let Ok(sheet) = &plan.time {
        let found = first_page_rows(sheet, units).into_iter();
        all.extend(found.map(|words| heed("clock", words)));
    }
    all
}

fn blanks(plan: &Plan, units: Units) -> Vec<Blank> {
    let least = plan.time.as_ref().ok().and_then(|sheet| sheet.gate.as_ref()).map_or_else(
        String::new,
        |gate| {
            let least = LeastSurface::of(gate.dew_point_celsius, plan.lowest_temperature);
            // One line of a fifth of the page; the reason stands with the caution of the dew.
            match least.asked_by {
                AskedBy::Dew => format!("from {}", least.temperature.show(units)),
                AskedBy::System => {
                    format!("from {}", least_warm_words(plan.lowest_temperature, units))
                }
            }
        },
    );
    let cold = plan.cautions.iter().any(|caution| caution.topic == Topic::Cold);
    let least = if cold {
        format!("from {}", least_warm_words(plan.lowest_temperature, units))
    } else {
        least
    };
    let conditions = &plan.conditions;
    vec![
        blank("Date and crew", String::new()),
        blank("Room", format!("plan {}", House::room_words(conditions.room, units))),
        blank("Resin A and B", format!("plan {}", House::room_words(conditions.parts, units))),
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

fn warning(mark: &str, words: String, stops: bool) -> Block {
    Block::Warning { mark: mark.to_owned(), words, source: String::new(), stops }
}

fn column(title: &str, side: Side) -> Heading {
    Heading { title: title.to_owned(), side }
}

/// A mix: what and how, how much, what the scale shows then, boxes to tick.
fn weighing(mix: &Mix, numbers: &[u32], of: usize) -> Table {
    let rows = (1_usize..)
        .zip(mix_rows(mix))
        .map(|(step, row)| {
            let (large, flag) = (large(step, &row), loud(&row));
            vec![
                Cell::Words { large, small: how(&row), flag },
                Cell::weight(row.weight, true),
                Cell::weight(row.reading, false),
                Cell::ticks(numbers, of),
            ]
        })
        .collect();
    let columns = vec![
        column("", Side::Left),
        column("weigh", Side::Right),
        column("scale shows", Side::Right),
        column("done", Side::Left),
    ];
    Table { columns, rows }
}

/// Two kinds of mixes of one base side by side: what and how, then for each how much, below it what the
/// scale shows then where that differs, and boxes to tick.
fn weighing_two(two: &[(Vec<u32>, &Mix)], of: usize) -> Table {
    let each: Vec<Vec<ScaleRow>> = two.iter().map(|(_, mix)| mix_rows(mix)).collect();
    let height = each.iter().map(Vec::len).max().unwrap_or(0);
    let rows = (0..height).map(|at| {
        let own: Vec<&ScaleRow> = each.iter().filter_map(|rows| rows.get(at)).collect();
        let mut ways: Vec<String> = own.iter().map(|row| how(row)).collect();
        ways.dedup();
        let mut flags: Vec<String> = own.iter().map(|row| loud(row)).collect();
        flags.retain(|flag| !flag.is_empty());
        flags.dedup();
        let large = own.first().map_or_else(String::new, |row| large(at + 1, row));
        let small = ways.join(", then ");
        let mut cells = vec![Cell::Words { large, small, flag: flags.join("; ") }];
        for (row, (numbers, _)) in own.iter().zip(two) {
            let then = if row.on_top() { row.reading.clone() } else { String::new() };
            cells.push(Cell::Weight { text: row.weight.clone(), strong: true, then });
            cells.push(Cell::ticks(numbers, of));
        }
        cells
    });
    let rows = rows.collect();
    let mut columns = vec![column("", Side::Left)];
    for (numbers, _) in two {
        columns.push(column(&kind_words(numbers), Side::Right));
        // Short, so that names have room beside two weights.
        columns.push(column("ok", Side::Left));
    }
    Table { columns, rows }
}

/// What is weighed, with its number, and that it waits, in letters as large.
fn large(step: usize, row: &ScaleRow) -> String {
    let waits = if row.waits.is_empty() { "" } else { ", at its clock" };
    // The neat colorant of a let-down's weight would be many times too much: it is not what is told in large letters.
    let what = row.let_down.as_ref().unwrap_or(&row.what);
    format!("{step} {what}{waits}")
}

/// What is done once it is in and what is wrong, neither in small print.
fn loud(row: &ScaleRow) -> String {
    // A let-down's stands beside its scale.
    let then = row.then.filter(|_| row.let_down.is_none()).map_or("", |then| then.short);
    let parts = [row.flag.as_str(), then];
    let parts: Vec<&str> = parts.into_iter().filter(|words| !words.is_empty()).collect();
    parts.join("; ")
}

/// A container in half a page: layers numbered from the bottom, how much, what the scale shows then.
fn layering(rows: Vec<ScaleRow>) -> Table {
    let rows = rows
        .into_iter()
        .zip(1..)
        .map(|(row, number): (_, usize)| {
            let small = how(&row);
            vec![
                Cell::Words { large: format!("{number} {}", row.what), small, flag: row.flag },
                Cell::weight(row.weight, true),
                Cell::weight(row.reading, false),
            ]
        })
        .collect();
    let columns = vec![
        column("layer", Side::Left),
        column("weigh", Side::Right),
        column("scale shows", Side::Right),
    ];
    Table { columns, rows }
}

/// On which scale and in what way. What goes on top of something goes onto the same scale, and that
/// needs no words.
fn how(row: &ScaleRow) -> String {
    let scale = if row.on_top() { "" } else { row.scale.as_str() };
    if row.let_down.is_some() {
        let then = row.then.map_or("", |then| then.short);
        return format!("{} · {scale}; {then}", row.what);
    }
    let parts = [scale, &row.remark];
    let parts: Vec<&str> = parts.into_iter().filter(|words| !words.is_empty()).collect();
    parts.join(" · ")
}

/// Let-downs, one a row: the colorant, then part A on top.
fn let_downs(plan: &Plan) -> Table {
    let weight = |row: &ScaleRow| {
        [Cell::weight(row.weight.clone(), true), Cell::weight(row.reading.clone(), false)]
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
            let name = Cell::Words { large: stock.colorant.clone(), small, flag: flags.join("; ") };
            let [weigh, shows] = weight(&colorant);
            let [then, shows_then] = weight(&part_a);
            vec![name, weigh, shows, then, shows_then, Cell::Tick]
        })
        .collect();
    let columns = vec![
        column("", Side::Left),
        column("weigh colorant", Side::Right),
        column("scale shows", Side::Right),
        column("then part A", Side::Right),
        column("scale shows", Side::Right),
        column("done", Side::Left),
    ];
    Table { columns, rows }
}

/// A base: kinds of mixes that are not weighed alike stand side by side, two to a card.
fn base_cards(plan: &Plan, number: usize, base: &BasePlan, units: Units) -> Vec<Card> {
    let kinds = base.kinds();
    let of = base.mixes.len();
    let mut cards: Vec<Card> = Vec::new();
    for (at, two) in kinds.chunks(2).enumerate() {
        let words = match two {
            _ if kinds.len() == 1 => mix_size_words(base, units),
            [(numbers, _)] => format!("{}, {}", kind_words(numbers), kinds_words(two, units)),
            _ => kinds_words(two, units),
        };
        cards.push(Card {
            title: format!("{number}. {}{}", base.name, if at == 0 { "" } else { ", continued" }),
            words,
            colour: base.look.as_ref().map(|look| look.shown),
            container: None,
            table: match two {
                [(numbers, mix)] => weighing(mix, numbers, of),
                _ => weighing_two(two, of),
            },
            ticks: None,
            notes: Vec::new(),
        });
    }
    let fills = fills_words(plan, &base.name);
    if let Some(last) = cards.last_mut()
        && !fills.is_empty()
    {
        last.notes.push(fills);
    }
    cards
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
        column("piece", Side::Left),
        column("containers", Side::Left),
        column("poured", Side::Left),
    ];
    blocks.push(Block::Table(Table { columns, rows: rows.collect() }));
}

/// What each mix fills.
fn fill_table(plan: &Plan) -> Table {
    let rows = fill_rows(plan)
        .into_iter()
        .map(|row| vec![Cell::words(row.mix), Cell::words(row.into)])
        .collect();
    let columns = vec![column("mix", Side::Left), column("containers", Side::Left)];
    Table { columns, rows }
}

fn batch_card(
    number: usize,
    first: u32,
    batch: &SmallBatch,
    colours: &Colours,
    units: Units,
) -> Card {
    Card {
        title: format!("{number}. {}", batch.name),
        words: batch_words(batch, first, units),
        colour: None,
        container: Some(Container::of(batch, colours)),
        table: layering(layer_rows(batch)),
        ticks: Some(Ticks { what: "poured".to_owned(), first, count: batch.count }),
        notes: Vec::new(),
    }
}

/// Every mix's clock: a place for the time at which it began, and one for when it must be poured.
fn mix_clock(plan: &Plan, sheet: &RunSheet, coat: &str) -> (String, Table) {
    let all = mix_clock_rows(plan, sheet);
    let first = all.first().map_or("", |row| row.basis.as_str());
    let one_basis = all.iter().all(|row| row.basis == first);
    // What holds of every mix is told once above them: a line below each would push work off the page.
    let all_tight = all.len() > 1 && all.iter().all(|row| row.tight && !row.late);
    let known: Vec<String> = whole_range_words(sheet)
        .into_iter()
        .chain(one_basis.then(|| first.to_owned()))
        .filter(|words| !words.is_empty())
        .collect();
    let known = if known.is_empty() { String::new() } else { format!(" ({})", known.join(", ")) };
    let tight = if all_tight { ", all tight" } else { "" };
    let heading = format!("Clock{coat}{tight}: B met A at + good for{known} = pour by; as planned");

    let columns = vec![
        column("mix", Side::Left),
        column("start", Side::Right),
        column("B met A at", Side::Left),
        column("good for", Side::Right),
        column("pour by", Side::Left),
        column("end", Side::Right),
    ];
    let rows = all
        .into_iter()
        .map(|row| {
            let flagged = row.late || (row.tight && !all_tight);
            let flag = if flagged { row.verdict } else { String::new() };
            vec![
                Cell::Words { large: row.short, small: String::new(), flag },
                Cell::Figure(row.start),
                Cell::blank(),
                Cell::Figure(if one_basis {
                    row.life
                } else {
                    format!("{} ({})", row.life, row.basis)
                }),
                Cell::Blank { hint: row.pour_by },
                Cell::Figure(row.last_pour),
            ]
        })
        .collect();
    (heading, Table { columns, rows })
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
    blocks.push(Block::Heading(format!("After the pour{coat} (h:min){how}")));
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
    if sheet.mixing == Mixing::Staggered {
        blocks.push(Block::Note(
            "Mixes start only when they are needed: all at once would not be poured in time."
                .to_owned(),
        ));
    }
    blocks.extend(wanted_at_once_words(plan).into_iter().map(Block::Note));
    blocks.extend(idle_words(plan, sheet).map(Block::Note));
    // Before the table, which may end at a page's foot.
    if let Some(words) = carried_over_words(plan, sheet, units) {
        blocks.push(Block::Note(format!("{words} {}.", pot_lives_words(plan, sheet))));
    }
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
        column("no.", Side::Right),
        column("from", Side::Right),
        column("to", Side::Right),
        column("step", Side::Left),
        column("done at", Side::Left),
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
