//! The buying list: what to coat, what to buy, what it costs.

use super::mixing::stops_in_short;
use super::{Block, Cell, Heading, Kind, Sheet, Side, Table};
use crate::plan::{Figures, Plan};
use crate::quantity::Units;
use crate::report::buy_rows::{
    account_words, buy_rows, have_ready_words, lay_out_row, left_value_words, option_rows,
    options_words, take_off_rows, total_words,
};
use crate::report::standing_words::standing_rows;

pub(super) fn buying(plan: &Plan, units: Units) -> Sheet {
    let mut blocks = stops_in_short(plan, units);
    blocks.extend([
        Block::Heading("To buy".to_owned()),
        Block::Table(to_buy(plan, units)),
        Block::Line(total_words(&plan.cost, plan.standing_of(Figures::Prices), units)),
    ]);
    blocks.extend(left_value_words(plan).map(Block::Line));
    blocks.extend(have_ready_words(plan, units).into_iter().map(Block::Line));
    blocks.push(Block::Heading("To lay out; no spares counted".to_owned()));
    blocks.push(Block::Table(to_lay_out(plan, units)));
    let options = option_rows(plan, units);
    if !options.is_empty() {
        blocks.push(Block::Heading("The job's other ways".to_owned()));
        let rows = options
            .into_iter()
            .map(|(name, words)| vec![Cell::words(name), Cell::words(words)])
            .collect();
        blocks.push(Block::Table(Table {
            columns: vec![Heading::of("way", Side::Left), Heading::of("cost", Side::Left)],
            rows,
        }));
        blocks.extend(options_words(plan).map(|words| Block::Line(words.to_owned())));
    }
    blocks.push(Block::Heading("To coat".to_owned()));
    let rows = take_off_rows(plan, units)
        .into_iter()
        .map(|[what, size, parts]| vec![Cell::words(what), Cell::Figure(size), Cell::words(parts)])
        .collect();
    blocks.push(Block::Table(Table {
        columns: vec![
            Heading::of("what", Side::Left),
            Heading::of("flat", Side::Right),
            Heading::of("of which, and besides", Side::Left),
        ],
        rows,
    }));
    blocks.push(Block::Note(format!("{}.", account_words(plan, units))));
    blocks.push(Block::Heading("What the figures rest on".to_owned()));
    for (standing, words) in standing_rows(plan) {
        blocks.push(Block::Line(format!("{standing}: {words}.")));
    }
    Sheet { kind: Kind::Buying, title: "Buying list".to_owned(), blocks }
}

fn to_lay_out(plan: &Plan, units: Units) -> Table {
    let rows = plan.lay_out.iter().map(|laid| {
        let [count, what, purpose] = lay_out_row(laid, units);
        vec![Cell::Tick, Cell::Figure(count), Cell::words(what), Cell::words(purpose)]
    });
    let rows = rows.collect();
    let columns = vec![
        Heading::of("got", Side::Left),
        Heading::of("how many", Side::Right),
        Heading::of("what", Side::Left),
        Heading::of("what for", Side::Left),
    ];
    Table { columns, rows }
}

fn to_buy(plan: &Plan, units: Units) -> Table {
    let rows = buy_rows(plan, units)
        .into_iter()
        .map(|row| {
            vec![
                Cell::Tick,
                Cell::words(row.name),
                Cell::words(row.packages),
                Cell::Figure(row.takes),
                Cell::Figure(row.price),
                Cell::Figure(row.left),
            ]
        })
        .collect();
    let columns = vec![
        Heading::of("got", Side::Left),
        Heading::of("what", Side::Left),
        Heading::of("packages", Side::Left),
        Heading::of("the job takes", Side::Right),
        Heading::of("price", Side::Right),
        Heading::of("left over", Side::Right),
    ];
    Table { columns, rows }
}
