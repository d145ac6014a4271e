//! Labels to cut out: one for each let-down, each mixing vessel, each shared cup of accent and each container.

use super::mixing::stops_in_short;
use super::{Block, Kind, Label, Sheet};
use crate::plan::Plan;
use crate::quantity::Units;
use crate::report::clock_rows::good_for_words;
use crate::report::fill_rows::{
    FillRow, container_noun, fill_rows, mixes_of_layer, numbered, span,
};
use crate::report::let_down_words::ratio_words;
use crate::report::piece_rows::piece_label;
use crate::report::scale_rows::{
    container_holds, layer_rows, mix_rows, shared_cups, stock_left_words, stock_rows,
    stock_serves_words,
};
use crate::report::step_rows::{hold_back_label, hold_back_mix_label};

/// More labels than this of one kind are printed by printing the page again.
const MOST_OF_A_KIND: u32 = 200;

pub(super) fn labels(plan: &Plan, units: Units) -> Sheet {
    let recipe = format!("{} · {}", plan.colourway, plan.fingerprint);
    // Let-downs are made once for all coats; mixes and containers are weighed anew for each.
    let coat = match plan.coats {
        1 => String::new(),
        coats => format!(" · coat __ of {coats}"),
    };
    let mut labels = Vec::new();
    let mut notes = Vec::new();
    let mut number_of = |name: &str, count: u32| {
        if count > MOST_OF_A_KIND {
            notes.push(format!(
                "{count} × {name}: labels for the first {MOST_OF_A_KIND}; print this sheet again for more."
            ));
        }
        count.min(MOST_OF_A_KIND)
    };
    let shown = number_of("let-down", u32::try_from(plan.stocks.len()).unwrap_or(u32::MAX));
    for stock in plan.stocks.iter().take(shown as usize) {
        let step = stock.part_a_weighed.readability;
        let mut foot = vec![
            format!("weighs {} in all when made", stock.made().show_weighed(step)),
            "Part A with pigment: does not cure, keep it closed.".to_owned(),
        ];
        if !stock_left_words(stock, plan.phr).is_empty() {
            let [left, b] = [stock.left(), stock.part_b_for_left(plan.phr)];
            foot.push(format!(
                "{} over: keep for this recipe, or cure with {} B.",
                left.show_weighed(step),
                b.show_weighed(step)
            ));
        }
        foot.push(recipe.clone());
        let content = stock_rows(stock).into_iter().flat_map(|row| row.label_lines()).collect();
        // Its strength is as loud as its name: another job's let-down of the same colorant may be weaker or
        // stronger, and stand on the same shelf.
        let title = format!("{} {}", stock.colorant, ratio_words(stock.ratio));
        let number = format!("let-down for {}", stock_serves_words(plan, stock));
        labels.push(Label { title, number, heed: Vec::new(), content, foot });
    }
    let let_downs = std::mem::take(&mut labels);
    // Mixes and what they fill stand in the same order.
    let mut fills = fill_rows(plan).into_iter();
    for base in &plan.bases {
        let all = base.number();
        let own: Vec<FillRow> = fills.by_ref().take(base.mixes.len()).collect();
        let shown = number_of(&base.name, all) as usize;
        for (number, mix) in (1_u32..).zip(base.mixes.iter().take(shown)) {
            let content = mix_rows(mix).into_iter().flat_map(|row| row.label_lines());
            let mut foot = vec![
                format!(
                    "On the {} vessel that A is weighed into; goes over to the clean one with the mix.",
                    mix.vessel.show(units)
                ),
                "B met A at ______  pour by ______".to_owned(),
            ];
            foot.extend(good_for_words(plan, &base.name, number as usize));
            foot.extend(
                own.get(number as usize - 1)
                    .map(|row| format!("into {} {}", container_noun(&row.short), row.short)),
            );
            foot.push(format!("{}{coat}", plan.fingerprint));
            foot.push("Not cured: gloves, no lid on a warm mix.".to_owned());
            labels.push(Label {
                title: base.name.clone(),
                number: format!("mix {number} of {all}"),
                heed: hold_back_mix_label(plan, base, number).into_iter().collect(),
                content: content.collect(),
                foot,
            });
        }
    }
    let vessels = std::mem::take(&mut labels);
    for (first, batch) in numbered(&plan.small_batches) {
        let into = span((first, first.saturating_add(batch.count.saturating_sub(1))));
        for cup in shared_cups(batch) {
            labels.push(Label {
                title: cup.accent,
                number: format!("shared cup for {into}"),
                heed: Vec::new(),
                content: vec![
                    cup.weighed,
                    (format!("by syringe into each {}", batch.name), cup.each),
                ],
                foot: vec![
                    "A little more than all its doses: a rest stays in it.".to_owned(),
                    format!("{recipe}{coat}"),
                ],
            });
        }
    }
    let cups = std::mem::take(&mut labels);
    let all = plan.containers.as_ref().map_or(0, crate::plan::Containers::number);
    for (first, batch) in numbered(&plan.small_batches) {
        let rows = layer_rows(batch);
        for each in 0..number_of(&batch.name, batch.count) {
            let container = first + each;
            let content = rows.iter().zip(1..).map(|(row, layer): (_, usize)| {
                let mixes = mixes_of_layer(plan, container, layer);
                let before = layer.checked_sub(2).and_then(|before| rows.get(before));
                row.layer_line(layer, mixes.as_deref(), before)
            });
            let mut foot: Vec<String> = Vec::new();
            foot.extend(piece_label(plan, container));
            foot.extend(container_holds(batch).map(|holds| format!("weighs {holds} when full")));
            foot.push("1 is the bottom; no tare between layers".to_owned());
            foot.push(format!("{recipe}{coat}"));
            labels.push(Label {
                title: batch.name.clone(),
                number: format!("container {container} of {all}"),
                heed: hold_back_label(plan, container).into_iter().collect(),
                content: content.collect(),
                foot,
            });
        }
    }
    let mut blocks = stops_in_short(plan, units);
    blocks.push(Block::Note(
        "Weights are of one cup, vessel or container. On paper, cut along the dashed lines."
            .to_owned(),
    ));
    if plan.coats > 1 {
        blocks.push(Block::Note(format!(
            "Labels of mixes and containers are for one coat: print them once for each of the {} coats.",
            plan.coats
        )));
    }
    blocks.extend(notes.into_iter().map(Block::Note));
    let kinds = [let_downs, vessels, cups, labels].into_iter().filter(|kind| !kind.is_empty());
    blocks.push(Block::Labels(kinds.collect()));
    Sheet { kind: Kind::Labels, title: "Labels".to_owned(), blocks }
}
