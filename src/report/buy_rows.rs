//! What to buy, row by row: decided once for the text, the printed sheet and the page.

use super::loss_words::over_words;
use super::shape_words::shape_words;
use crate::model::Standing;
use crate::plan::{Cost, Figures, LaidOut, Line, MistLiquid, Plan, Ready};
use crate::quantity::{Dimensions, Mass, Units, Volume};
use crate::suggest::listed;

/// One thing to buy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuyRow {
    /// What.
    pub name: String,
    /// What the job takes of it.
    pub takes: String,
    /// The packages.
    pub packages: String,
    /// Their price; empty where none is stated.
    pub price: String,
    /// What is left over; empty where no packages are stated.
    pub left: String,
}

/// Everything to buy, the resin system first, what is misted last.
#[must_use]
pub fn buy_rows(plan: &Plan, units: Units) -> Vec<BuyRow> {
    let lines = plan.cost.lines.iter().enumerate();
    let lines = lines.map(|(at, line)| buy_row(at == 0, line, units));
    lines.chain(plan.mist.iter().map(|mist| mist_row(mist, units))).collect()
}

/// Something to lay out: how many, what and how large, what for.
#[must_use]
pub fn lay_out_row(laid: &LaidOut, units: Units) -> [String; 3] {
    let size = laid.size.map_or_else(String::new, |size| {
        let least = if laid.at_least { " or larger" } else { "" };
        format!(", {}{least}", size.show(units))
    });
    let what = laid.ware.name();
    [laid.count.to_string(), format!("{what}{size}"), laid.ware.purpose().to_owned()]
}

/// What is to be had besides, which no file prices: what the plan's steps use up, and scales that more hands want at once
/// than there are.
#[must_use]
pub fn have_ready_words(plan: &Plan, units: Units) -> Vec<String> {
    let of = |ready: &Ready| match ready {
        Ready::Primer => {
            let area = plan.take_off.flat() + plan.take_off.upright();
            format!("{} {} for {}", ready.word(), plan.primer, area.show(units))
        }
        _ => ready.word().to_owned(),
    };
    let ready: Vec<String> = plan.have_ready.iter().map(of).collect();
    let ready: Vec<&str> = ready.iter().map(String::as_str).collect();
    let scales: Vec<String> = plan
        .wanted_at_once
        .iter()
        .filter(|wanted| wanted.more() > 0)
        .map(|wanted| {
            let step = wanted.readability.show_weighed(wanted.readability);
            let s = if wanted.more() > 1 && !wanted.scale.ends_with('s') { "s" } else { "" };
            format!("{} more {}{s} ({step})", wanted.more(), wanted.scale)
        })
        .collect();
    let scales: Vec<&str> = scales.iter().map(String::as_str).collect();
    let mut all = Vec::new();
    if !ready.is_empty() {
        all.push(format!(
            "have ready, not priced: all that is to be laid out, {}",
            listed(&ready, "and")
        ));
    }
    if !scales.is_empty() {
        let listed = listed(&scales, "and");
        all.push(format!("not priced either, wanted at once by the clock: {listed}"));
    }
    all
}

fn mist_row(mist: &MistLiquid, units: Units) -> BuyRow {
    BuyRow {
        name: format!("{} (mist)", mist.name),
        takes: format!("{} ({})", mist.in_all().show(units), MistLiquid::STANDING),
        packages: "unpriced, not in total".to_owned(),
        price: String::new(),
        left: String::new(),
    }
}

fn buy_row(resin: bool, line: &Line, units: Units) -> BuyRow {
    let packages = if line.packages.is_empty() {
        "no package sizes in its file".to_owned()
    } else {
        let each = line
            .packages
            .iter()
            .map(|(package, count)| format!("{count} × {}", package.named(units)));
        each.collect::<Vec<_>>().join(" + ")
    };
    let takes = if resin { resin_words(line, units) } else { line.demand.show(units) };
    BuyRow {
        name: line
            .lot
            .as_ref()
            .map_or_else(|| line.name.clone(), |lot| format!("{}, lot {lot}", line.name)),
        takes,
        packages,
        price: line.price.map_or_else(String::new, |price| price.show()),
        left: match line.price {
            Some(_) => format!("{} left", line.left.show(units)),
            None => String::new(),
        },
    }
}

/// How much resin is to be bought: `2.23 gal (20.1 lb)`.
fn resin_words(line: &Line, units: Units) -> String {
    resin_words_of(line.demand / line.density, line.demand, units)
}

fn resin_words_of(volume: Volume, mass: Mass, units: Units) -> String {
    format!("{} ({})", volume.show(units), mass.show_load(units))
}

/// The total and its rates per area, and how far the prices can be trusted.
#[must_use]
pub fn total_words(cost: &Cost, standing: Option<Standing>, units: Units) -> String {
    let Some(total) = cost.total else {
        return "no prices in the files".to_owned();
    };
    let per = match units {
        Units::Us => cost.per_ft2().map(|rate| format!(", {} per ft² coated", rate.show())),
        Units::Metric => cost.per_m2().map(|rate| format!(", {} per m² coated", rate.show())),
    };
    let per = per.unwrap_or_default();
    let rest = if cost.incomplete { " (something has no price)" } else { "" };
    let standing = standing.map_or_else(String::new, |standing| format!(", {standing} prices"));
    format!("total {}{per}{rest}{standing}", total.show())
}

/// Where all that is weighed out goes.
#[must_use]
pub fn account_words(plan: &Plan, units: Units) -> String {
    let ledger = &plan.ledger;
    let (all, resin) = (ledger.issued.total(), ledger.issued.resin());
    // One of the parts is then bought beyond what is weighed out, as where a let-down leaves part A over, or by what
    // whole steps of a scale take the ratio off. What is to be bought is told by its own figure wherever it shows.
    let told =
        format!("A and B {}, which is {}", resin.show_load(units), plan.resin_volume().show(units));
    let bought = plan.cost.resin().map(|line| resin_words(line, units));
    let of_it = resin_words_of(plan.resin_volume(), resin, units);
    let told = match bought.filter(|bought| *bought != of_it) {
        Some(bought) => format!("{told}, to buy {bought} for the kit's ratio"),
        None => told,
    };
    format!(
        "Weighed out in all: {} ({told}; colorants {}) = on the work {} + {} {} + on vessel walls {} + left {}",
        all.show_load(units),
        (all - resin).show_load(units),
        ledger.poured.total().show_load(units),
        over_words(plan),
        ledger.run_off.total().show_load(units),
        ledger.cling.total().show_load(units),
        ledger.left.total().show_load(units),
    )
}

/// What all that is left over is worth, and what of it stays in tins; none where nothing has a price.
#[must_use]
pub fn left_value_words(plan: &Plan) -> Option<String> {
    plan.cost.left_value().map(|left| {
        format!(
            "what is left over is worth {}; what stays in tins and bottles is not counted, it comes out of that and of the allowance",
            left.show()
        )
    })
}

/// Each of the job's other ways, with what it costs.
#[must_use]
pub fn option_rows(plan: &Plan, units: Units) -> Vec<(String, String)> {
    plan.options
        .iter()
        .map(|option| {
            let words = match &option.cost {
                Ok(cost) => total_words(cost, plan.standing_of(Figures::Prices), units),
                Err(why) => format!("cannot be planned: {why}"),
            };
            (format!("option \"{}\"", option.name), words)
        })
        .collect()
}

/// What an option's price does not say; none where there is no option.
#[must_use]
pub fn options_words(plan: &Plan) -> Option<&'static str> {
    (!plan.options.is_empty()).then_some(
        "options are priced, their clocks are not reckoned: before one is offered plan it by itself, by a copy of the job file with its coats or colourway, or of the recipe's with its film",
    )
}

/// What there is to coat: what, how large, of what that is made.
#[must_use]
pub fn take_off_rows(plan: &Plan, units: Units) -> Vec<[String; 3]> {
    let take_off = &plan.take_off;
    let silent: Vec<&str> = plan.without_run_off().map(|counter| counter.name.as_str()).collect();
    let mut rows = Vec::new();
    for counter in &take_off.counters {
        let mut parts = vec![shape_words(&counter.shape, units)];
        if counter.cut_out.m2() > 0.0 {
            let (gross, cut) = (counter.gross.show(units), counter.cut_out.show(units));
            parts.push(format!("{gross} less {cut} cut out"));
        }
        if counter.edge.mm() > 0.0 {
            parts.push(format!("edge {}", counter.edge.show(units)));
        }
        if silent.contains(&counter.name.as_str()) {
            parts.push("no edge stated, so no run-off counted".to_owned());
        }
        if counter.faces.m2() > 0.0 {
            parts.push(format!("faces {}", counter.faces.show(units)));
        }
        if counter.splashbacks.m2() > 0.0 {
            parts.push(format!("splashback {}", counter.splashbacks.show(units)));
        }
        parts.extend(counter.unusual.iter().map(|size| size.words(Some(units))));
        rows.push([counter.name.clone(), counter.net().show(units), parts.join(" · ")]);
    }
    for board in &take_off.boards {
        rows.push([
            format!("{} × sample board", board.count),
            board.area.show(units),
            Dimensions::new(board.size[0], board.size[1]).show_both(units),
        ]);
    }
    if let Some(area) = take_off.plain {
        rows.push([
            "area".to_owned(),
            area.show(units),
            format!("edge taken as a square's: {} (estimated)", take_off.edge().show(units)),
        ]);
    }
    let upright = take_off.upright();
    let upright = (upright.m2() > 0.0).then(|| format!("and upright {}", upright.show(units)));
    let unusual = take_off.unusual.iter().map(|size| size.words(Some(units)));
    let besides: Vec<String> = upright.into_iter().chain(unusual).collect();
    rows.push(["together".to_owned(), take_off.flat().show(units), besides.join(" · ")]);
    rows
}
