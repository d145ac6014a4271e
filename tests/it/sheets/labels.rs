//! Labels on paper: however many there are, no page of them is nearly empty beside a full one.

use super::*;
use pourbook::model::House;
use pourbook::plan::{AccentMeans, LayerPlan};
use pourbook::report::Paint;
use pourbook::report::sheet::{Block, Kind, Label};

/// So many labels for containers of four layers, after those of three mixes.
fn labelled(count: usize) -> Sheets {
    let (_, mut sheets) = demo("round-table", Units::Us, None);
    let sheet = sheets.sheets.iter_mut().find(|sheet| sheet.kind == Kind::Labels).unwrap();
    for block in &mut sheet.blocks {
        if let Block::Labels(kinds) = block {
            let last = kinds[1].last().unwrap().clone();
            let numbered = |number: usize| Label {
                number: format!("container {number} of {count}"),
                ..last.clone()
            };
            kinds[1] = (1..=count).map(numbered).collect();
        }
    }
    sheets
}

fn label_pages(pages: &[Vec<Run>]) -> Vec<&Vec<Run>> {
    let of_labels = |page: &&Vec<Run>| page.iter().any(|run| run.text.starts_with("labels "));
    pages.iter().filter(of_labels).collect()
}

fn labels_on(page: &[Run]) -> usize {
    page.iter().filter(|run| run.text.starts_with("container ")).count()
}

#[test]
fn no_page_of_labels_is_nearly_empty_however_many_there_are() {
    for (paper, [_, height]) in PAPERS {
        for count in 1..=60 {
            let pages = runs(&pdf(&labelled(count), paper).unwrap());
            let labels = label_pages(&pages);
            let on: Vec<usize> = labels.iter().map(|page| labels_on(page)).collect();
            assert_eq!(on.iter().sum::<usize>(), count);
            if labels.len() == 1 {
                continue;
            }
            for page in labels {
                let body = page.iter().filter(|run| run.size > 8.2 && run.y < height - 75.0);
                let lowest = body.map(|run| run.y).fold(height, f64::min);
                let filled = (height - 75.0 - lowest) / (height - 150.0);
                assert!(filled > 1.0 / 3.0, "{paper:?}, {count} labels: {on:?}, {filled:.2}");
            }
        }
    }
}

/// Ten containers stand on one page with their three mixes.
#[test]
fn the_round_table_s_labels_are_two_pages_at_most() {
    for units in [Units::Us, Units::Metric] {
        let (_, sheets) = demo("round-table", units, None);
        for (paper, _) in PAPERS {
            let pages = runs(&pdf(&sheets, paper).unwrap());
            assert!(label_pages(&pages).len() <= 2, "{paper:?}");
        }
    }
}

/// A dose too small for any scale is weighed for several containers at once; a label says what goes into its
/// own, and by what: a syringe reads millilitres.
#[test]
fn a_shared_cup_s_dose_is_told_container_by_container() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes");
    let mut opened = pourbook::store::open(&folder).unwrap();
    let mut parts = (*opened.shop.house).clone();
    parts.scales.retain(|scale| scale.readability.g() > 0.05);
    opened.shop.house = House::new(parts).unwrap();
    let ask = PlanAsk { colourway: None, extent: Extent::Job("galley-kitchen".to_owned()) };
    let plan = acts::plan(&opened, &ask).unwrap();
    let sheets = bare_sheets(&plan);
    let blocks = sheets.sheets.iter().flat_map(|sheet| &sheet.blocks);
    let labels: Vec<&Label> = blocks
        .filter_map(|block| match block {
            Block::Labels(kinds) => Some(kinds.iter().flatten()),
            _ => None,
        })
        .flatten()
        .collect();
    let mut seen = 0;
    for batch in &plan.small_batches {
        for layer in &batch.layers {
            let LayerPlan::Accent { means: AccentMeans::Shared, containers, .. } = layer else {
                continue;
            };
            assert!(*containers > 1, "one container alone has a cup of its own");
            let weighed = layer.weighed();
            let cup = layer.cup();
            assert!(cup > weighed.mass, "a rest stays in it");
            let own = labels
                .iter()
                .filter(|label| {
                    label.title == layer.name() && label.number.starts_with("shared cup for ")
                })
                .filter(|label| label.content[0].1 == cup.show_weighed(weighed.readability))
                .count();
            assert_eq!(own, 1, "a label for the cup of {} in {}", layer.name(), batch.name);
            let each = layer.mass().show(Units::Us);
            let of_batch = |label: &&&Label| {
                label.title == batch.name && label.number.starts_with("container ")
            };
            for label in labels.iter().filter(of_batch) {
                let told = |(what, _): &&(String, String)| what.contains("by syringe");
                let (what, shown) = label.content.iter().find(told).unwrap();
                assert!(shown.ends_with(" mL"), "{label:?}");
                let words = format!(", {each} by syringe from the shared cup");
                assert!(what.ends_with(&words), "{label:?}");
                seen += 1;
            }
        }
    }
    assert!(seen > 0, "without its pocket scale the demo shares cups out");
}

/// A let-down on a label is called one: the paste itself would be another dose.
#[test]
fn a_let_down_is_called_one_on_its_label() {
    let (plan, sheets) = demo("sample-board", Units::Us, None);
    assert!(!plan.stocks.is_empty());
    let pages = runs(&pdf(&sheets, Paper::Letter).unwrap());
    let labels = label_pages(&pages);
    let words: String = labels[0].iter().map(|run| format!("{} ", run.text)).collect();
    for stock in &plan.stocks {
        let name = format!("{}, let-down 1 : ", stock.colorant);
        assert!(words.contains(&name), "{name}: {words}");
    }
}

fn labels_of(sheets: &Sheets) -> Vec<&Label> {
    let blocks = sheets.sheets.iter().flat_map(|sheet| &sheet.blocks);
    let kinds = blocks.filter_map(|block| match block {
        Block::Labels(kinds) => Some(kinds),
        _ => None,
    });
    kinds.flatten().flatten().collect()
}

/// A container's label says layer by layer what the scale shows, that it is not tared between, and by its last
/// line what it weighs when no scale has shown that.
#[test]
fn a_container_s_label_tells_the_running_reading() {
    for job in DEMO_JOBS {
        let (plan, sheets) = demo(job, Units::Us, None);
        let labels = labels_of(&sheets);
        let mut then = 0;
        for batch in &plan.small_batches {
            let own = labels
                .iter()
                .find(|one| one.title == batch.name && one.number.starts_with("container "))
                .unwrap();
            assert!(own.foot.iter().any(|line| line.contains("no tare between layers")), "{own:?}");
            let mut named = false;
            for (layer, (what, reading)) in batch.layers.iter().zip(&own.content) {
                let weighed = layer.weighed();
                let shown = weighed.reading.show_weighed(weighed.readability);
                let in_cup = matches!(
                    layer,
                    LayerPlan::Accent { means: AccentMeans::InCup | AccentMeans::Shared, .. }
                );
                if in_cup {
                    continue;
                }
                assert_eq!(*reading, shown, "{what}");
                if weighed.reading == weighed.mass {
                    assert!(what.ends_with(&weighed.scale), "{what}");
                } else {
                    let own = weighed.mass.show_weighed(weighed.readability);
                    assert!(what.contains(&format!(", adds {own}")), "{what}: {own}");
                    then += 1;
                }
                named |= what.contains(&weighed.scale);
                assert!(named, "no scale before {what}");
            }
        }
        assert!(then > 0, "{job}");
    }
}

/// A let-down's own label names its scale, what that shows, and what it weighs in all.
#[test]
fn a_let_down_s_label_tells_its_scale_and_its_total() {
    let (plan, sheets) = demo("galley-kitchen", Units::Us, None);
    let labels = labels_of(&sheets);
    assert!(!plan.stocks.is_empty());
    for (stock, label) in plan.stocks.iter().zip(labels) {
        let step = stock.part_a_weighed.readability;
        let all = stock.made().show_weighed(step);
        assert!(label.title.starts_with(&stock.colorant), "{label:?}");
        assert!(label.content[0].0.ends_with(&stock.colorant_weighed.scale), "{label:?}");
        let shows = format!(" g, {} shows", stock.part_a_weighed.scale);
        assert!(label.content[1].0.ends_with(&shows), "{shows}: {label:?}");
        assert_eq!(label.content[1].1, all, "{label:?}");
        assert!(label.foot[0].contains(&format!("weighs {all} in all")), "{label:?}");
    }
}

/// What must not be poured stands on its label in letters as large as the label's name.
#[test]
fn hold_back_is_as_large_as_the_label_s_name() {
    let (plan, sheets) = demo("galley-kitchen", Units::Us, None);
    let held = plan.upright_coats.as_ref().and_then(|coats| coats.splashbacks.as_ref()).unwrap();
    for (paper, _) in PAPERS {
        let pages = runs(&pdf(&sheets, paper).unwrap());
        let pages = label_pages(&pages);
        let told: Vec<&Run> = pages
            .iter()
            .flat_map(|page| page.iter())
            .filter(|run| run.text.starts_with("HOLD BACK"))
            .collect();
        assert_eq!(told.len(), held.each.len(), "{paper:?}: {told:?}");
        let name = &plan.small_batches.last().unwrap().name;
        let names = pages.iter().flat_map(|page| page.iter()).filter(|run| run.text == *name);
        let size = names.map(|run| run.size).fold(0.0, f64::max);
        for run in told {
            assert!(run.size >= size && size >= 12.9, "{run:?}, the name {size} pt");
        }
    }
}

/// What is done once part B, or a let-down, is in: the card's short words stand for the label's long ones.
#[test]
fn cards_and_labels_tell_one_act() {
    use pourbook::report::then_words::{AFTER_LET_DOWN, AFTER_PART_B};
    let (plan, sheets) = demo("galley-kitchen", Units::Us, None);
    let text = pourbook::report::plan_text::plan_text(&plan, Units::Us, Paint::None);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("then into a clean vessel"), "{text}");
    let cards = html(&sheets);
    let labels = labels_of(&sheets);
    for then in [AFTER_PART_B, AFTER_LET_DOWN] {
        assert!(cards.contains(then.short), "{}: {cards}", then.short);
        let long = then.long.to_uppercase();
        let told = labels.iter().filter(|one| one.content.iter().any(|(what, _)| *what == long));
        assert!(told.count() > 0, "{long}: {labels:?}");
    }
}
