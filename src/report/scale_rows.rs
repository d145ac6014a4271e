//! What is put on a scale, row by row, in the order in which it is done: decided once for the text,
//! the printed sheet and the page.

use super::fill_rows::{span, spans};
use super::let_down_words::let_down_words;
use super::then_words::{AFTER_LET_DOWN, AFTER_PART_B, Then};
use crate::model::Standing;
use crate::plan::run_sheet::{RunSheet, Step};
use crate::plan::{
    AccentMeans, BasePlan, DoseWeighed, LayerPlan, Means, Mix, Plan, SmallBatch, Stock, Weighed,
    Wiped, part_a_left_over_words, spare_in_a_cup_words,
};
use crate::quantity::{Fraction, Mass, Units, Volume};
use crate::suggest::listed;

/// One weighing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScaleRow {
    /// What is weighed.
    pub what: String,
    /// How a label names it.
    pub on_label: String,
    /// Which let-down is weighed, where one is.
    pub let_down: Option<String>,
    /// What it waits for; empty where it follows what stands before it.
    pub waits: &'static str,
    /// What is done once it is in, before the next; none where nothing is.
    pub then: Option<&'static Then>,
    /// Whether its weight goes out of the cup that stands tared on the scale.
    pub out_of_cup: bool,
    /// How much, as the scale shows it.
    pub weight: String,
    /// What the tared scale shows once it is in.
    pub reading: String,
    /// On which scale.
    pub scale: String,
    /// The loading of a colorant or an accent, in percent of mixed resin mass; empty elsewhere.
    pub loading: String,
    /// Which lot of a colorant its weight is for: `lot U-7`; empty where its file states none.
    pub lot: String,
    /// How it is done, where that is not plain.
    pub remark: String,
    /// What is wrong with the weight for this scale; empty where nothing is.
    pub flag: String,
}

impl ScaleRow {
    fn of(what: &str, weighed: &Weighed) -> Self {
        let flag = if weighed.within_tolerance() {
            String::new()
        } else {
            format!(
                "BELOW its minimum of {}, a finer scale is better; wanted {}, a step is {} of that",
                weighed.minimum().show(Units::Metric),
                wanted_words(weighed),
                Fraction::new(weighed.readability / weighed.exact).show(Units::Metric),
            )
        };
        Self {
            what: what.to_owned(),
            on_label: what.to_owned(),
            let_down: None,
            waits: "",
            then: None,
            out_of_cup: false,
            weight: weighed.mass.show_weighed(weighed.readability),
            reading: weighed.reading.show_weighed(weighed.readability),
            scale: weighed.scale.clone(),
            loading: String::new(),
            lot: String::new(),
            remark: String::new(),
            flag,
        }
    }

    fn remark(mut self, remark: impl Into<String>) -> Self {
        self.remark = remark.into();
        self
    }

    fn loading(mut self, loading: Fraction) -> Self {
        self.loading = loading.show(Units::Metric);
        self
    }

    /// What is weighed, as a label names it, marked where its scale does not weigh it well.
    #[must_use]
    pub fn marked(&self) -> String {
        if self.flag.is_empty() {
            self.on_label.clone()
        } else {
            format!("{}, BELOW its scale's minimum", self.on_label)
        }
    }

    fn of_lot(mut self, lot: Option<&String>) -> Self {
        self.lot = lot.map_or_else(String::new, |lot| format!("lot {lot}"));
        self
    }

    /// Whether it goes on top of what lies on the scale already.
    #[must_use]
    pub fn on_top(&self) -> bool {
        self.reading != self.weight && !self.out_of_cup
    }

    /// What it waits for, the remark, what is done then, and the flag in one.
    #[must_use]
    pub fn remarks(&self) -> String {
        // That a let-down's cup is rinsed is told once above the mixes.
        let then = self.then.filter(|_| self.let_down.is_none()).map_or("", |then| then.long);
        let all = [self.waits, &self.remark, &self.lot, then, &self.flag];
        all.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
    }

    /// What a label tells of it: what, on which scale, and what that shows once it is in; then what is done.
    #[must_use]
    pub fn label_lines(&self) -> Vec<(String, String)> {
        let on = if self.on_top() {
            format!("adds {}, {} shows", self.weight, self.scale)
        } else {
            self.scale.clone()
        };
        let what = if self.waits.is_empty() {
            self.marked()
        } else {
            format!("{} WAITS: {}", self.marked(), self.waits)
        };
        let parts = [what, self.lot.clone(), on, self.remark.clone()];
        let parts: Vec<String> = parts.into_iter().filter(|words| !words.is_empty()).collect();
        let mut lines = vec![(parts.join("; "), self.reading.clone())];
        lines.extend(self.then.map(|then| (then.long.to_uppercase(), String::new())));
        lines
    }
}

impl ScaleRow {
    /// What a container's label tells of it as a layer: what, of which mix, how much on top of what is in, on which
    /// scale where that is another than the layer's `before` it; and what that shows then.
    #[must_use]
    pub fn layer_line(
        &self,
        number: usize,
        mix: Option<&str>,
        before: Option<&Self>,
    ) -> (String, String) {
        let from = mix.map_or_else(String::new, |mix| format!(", {mix}"));
        let what = format!("{number} {}{from}", self.marked());
        let known = before.is_some_and(|before| before.scale == self.scale);
        let told = if self.out_of_cup || self.scale == SYRINGE {
            what
        } else if !self.on_top() {
            format!("{what}; {}", self.scale)
        } else if known {
            format!("{what}, adds {}", self.weight)
        } else {
            format!("{what}, adds {}; {} shows", self.weight, self.scale)
        };
        (told, self.reading.clone())
    }
}

/// What is wanted, by the coarsest of the fine scales that shows five steps of it.
pub(super) fn wanted_words(weighed: &Weighed) -> String {
    let exact = weighed.exact;
    let steps = [0.01, 0.001, 0.0001].map(Mass::from_g);
    let fine = steps.into_iter().find(|step| exact >= *step * 5.0).unwrap_or(steps[2]);
    exact.show_weighed(fine)
}

/// A let-down: its colorant, then part A on top.
#[must_use]
pub fn stock_rows(stock: &Stock) -> [ScaleRow; 2] {
    let part_a = ScaleRow::of("part A", &stock.part_a_weighed);
    let same_scale = stock.part_a_weighed.scale == stock.colorant_weighed.scale;
    let part_a = if same_scale { part_a } else { part_a.remark("onto it, tared") };
    let colorant = ScaleRow::of(&stock.colorant, &stock.colorant_weighed);
    [colorant.of_lot(stock.lot.as_ref()), part_a]
}

/// Which mixes take from a let-down, by number where a base has several: `fog 1–3, slate`.
#[must_use]
pub fn stock_serves_words(plan: &Plan, stock: &Stock) -> String {
    let of_it = |dose: &DoseWeighed| {
        let Means::LetDown { down, .. } = &dose.means else { return false };
        dose.colorant == stock.colorant && down.ratio == stock.ratio
    };
    let each = plan.bases.iter().filter_map(|base| {
        let mixes = (1..).zip(&base.mixes).filter(|(_, mix)| mix.doses.iter().any(of_it));
        let numbers: Vec<u32> = mixes.map(|(number, _)| number).collect();
        match (numbers.len(), base.mixes.len()) {
            (0, _) => None,
            (_, 1) => Some(base.name.clone()),
            _ => Some(format!("{} {}", base.name, spans(&numbers))),
        }
    });
    each.collect::<Vec<_>>().join(", ")
}

/// How the let-down of a colorant is made and what becomes of it, in words.
#[must_use]
pub fn stock_words(stock: &Stock) -> String {
    let step = stock.part_a_weighed.readability.greater(stock.colorant_weighed.readability);
    let shown = |mass: Mass| mass.show_weighed(step);
    format!(
        "{} in part A, stirred until no streak is left: {} made, {} taken, {} left over",
        let_down_words(stock.ratio),
        shown(stock.made()),
        shown(stock.taken),
        shown(stock.left()),
    )
}

/// What becomes of what is left of a let-down; empty where that is less than the scale shows.
#[must_use]
pub fn stock_left_words(stock: &Stock, phr: f64) -> String {
    let step = stock.part_a_weighed.readability;
    if stock.left() < step {
        return String::new();
    }
    let part_b = stock.part_b_for_left(phr).show_weighed(step);
    format!(
        "left over {}: {}",
        stock.left().show_weighed(step),
        part_a_left_over_words(&part_b, true)
    )
}

/// Where a let-down goes: part A is reckoned from the tared scale on, so what rinses the cup is of that.
pub const INTO_VESSEL_WORDS: &str = "A let-down is weighed in a cup of its own and goes into its vessel first; tare the vessel with it, then rinse the cup with some of its part A.";

/// When the parts of a mix are weighed, and into what. The run sheet's step holds the time that B takes.
pub const PARTS_WORDS: &str = "Before the clock, weigh each mix's part A into its own vessel. Part B goes onto it only as that mix's step \"mix B into A\" begins: the vessel with its part A back onto the same scale, tare, then B; with its first drop the mix's clock runs.";

/// What a let-down's strength is to a client's board, and is not.
pub const STRENGTH_WORDS: &str = "A let-down's strength follows from what a plan weighs; where a sample board's is another, the colour is the same: the mix takes so much less part A. Read the label before using up an older one.";

/// One mix of a base: let-downs, part A, part B, then the colorants.
#[must_use]
pub fn mix_rows(mix: &Mix) -> Vec<ScaleRow> {
    let let_down = |dose: &&DoseWeighed| matches!(dose.means, Means::LetDown { .. });
    let dose_row = |dose: &DoseWeighed, remark: &str| {
        let row = ScaleRow::of(&dose.colorant, dose.weighed()).loading(dose.loading);
        row.remark(remark).of_lot(dose.lot.as_ref())
    };
    let mut rows: Vec<ScaleRow> = Vec::new();
    rows.extend(mix.doses.iter().filter_map(|dose| {
        let Means::LetDown { down, .. } = &dose.means else { return None };
        let let_down = let_down_words(down.ratio);
        let mut row = dose_row(dose, "own cup, goes first");
        row.on_label = format!("{}, {let_down}", row.what);
        row.let_down = Some(let_down);
        row.then = Some(&AFTER_LET_DOWN);
        Some(row)
    }));
    rows.push(ScaleRow::of("part A", &mix.part_a));
    rows.push(ScaleRow {
        waits: "onto A, tared, only as its clock starts",
        then: Some(&AFTER_PART_B),
        ..ScaleRow::of("part B", &mix.part_b)
    });
    rows.extend(mix.doses.iter().filter(|dose| !let_down(dose)).map(|dose| {
        dose_row(dose, if matches!(dose.means, Means::InCup(_)) { "own cup" } else { "" })
    }));
    rows
}

/// Which small cups are weighed before the clock.
#[must_use]
pub fn small_cups_words(plan: &Plan) -> &'static str {
    match (has_accent(plan, AccentMeans::InCup), has_accent(plan, AccentMeans::Shared)) {
        (_, false) => "the small cups (let-downs, colorants)",
        (false, true) => "the small cups (let-downs, colorants, accents)",
        (true, true) => "the small cups (let-downs, colorants, shared accents)",
    }
}

/// Whether some accent is weighed only as it goes out of a cup of its own, which is filled before the clock.
#[must_use]
pub fn fills_accent_cups(plan: &Plan) -> bool {
    has_accent(plan, AccentMeans::InCup)
}

/// Whether some accent is weighed so.
fn has_accent(plan: &Plan, wanted: AccentMeans) -> bool {
    let mut layers = plan.small_batches.iter().flat_map(|batch| &batch.layers);
    layers.any(|layer| matches!(layer, LayerPlan::Accent { means, .. } if *means == wanted))
}

/// How an accent in a cup of its own comes out of it in full, and what a shared cup needs more; empty where no accent
/// has either.
#[must_use]
pub fn accent_cups_words(plan: &Plan) -> String {
    let own = format!(
        "An accent in its own cup is weighed as it goes out of it, since nothing rinses the cup. Before the clock: a little more than the weight into each cup ({}, estimated: bought too, left in the cup). At its layer: the cup onto its scale, tare; take it off and pour out of it; back on, the scale shows the weight below zero.",
        spare_in_a_cup_words()
    );
    let shared = format!(
        "A shared cup of accent holds a little more than all its doses ({}, estimated: bought too), for what stays in it and in the syringe.",
        spare_in_a_cup_words()
    );
    let all = [(AccentMeans::InCup, own.as_str()), (AccentMeans::Shared, shared.as_str())];
    let told: Vec<&str> = all
        .into_iter()
        .filter(|(each, _)| has_accent(plan, *each))
        .map(|(_, words)| words)
        .collect();
    told.join(" ")
}

/// Whether bases come on the clock in the order in which they are listed: none of a base is begun or tinted before all of
/// those above it.
fn tinted_in_order(sheet: &RunSheet) -> bool {
    let base = |mix: usize| sheet.mixes.get(mix).map(|mix| mix.name.as_str());
    let first = |base_of: &str| sheet.mixes.iter().position(|mix| mix.name == base_of);
    let in_order =
        |mixes: Vec<usize>| mixes.into_iter().filter_map(base).filter_map(first).is_sorted();
    let begun = sheet.lines.iter().filter_map(|line| match line.step {
        Step::Mix { mix } => Some(mix),
        _ => None,
    });
    let tinted = sheet.lines.iter().filter_map(|line| match line.step {
        Step::Tint { mix } => Some(mix),
        _ => None,
    });
    in_order(begun.collect()) && in_order(tinted.collect())
}

/// In what order bases are tinted, and with what: one paddle goes from colour to colour, as the clock
/// reckons, also where several hands mix.
#[must_use]
pub fn mix_order_words(plan: &Plan) -> &'static str {
    let as_listed = plan.time.as_ref().map_or(true, tinted_in_order);
    if Wiped::of(&plan.bases) == Wiped::BeforeAnyOther {
        let some_known = plan.bases.iter().any(|base| base.look.is_some());
        return match (some_known, as_listed) {
            (false, true) => {
                "as the recipe lists them: the lightest first; wipe the paddle before each other base"
            }
            (false, false) => {
                "as the recipe lists them: the lightest first, tinted as the clock says; wipe before each other base"
            }
            (true, true) => {
                "known colours first, the others as listed; wipe the paddle before each other base"
            }
            (true, false) => {
                "known colours first, the others as listed, tinted as the clock says; wipe before each other"
            }
        };
    }
    let wiped = plan.time.as_ref().is_ok_and(|sheet| !sheet.wiped_before.is_empty());
    if !as_listed {
        return match (plan.crew > 1, wiped) {
            (true, true) => {
                "listed lightest first; one tinting paddle, handed on and wiped as the clock says"
            }
            (true, false) => {
                "listed lightest first, tinted as the clock says; one tinting paddle handed on"
            }
            (false, true) => {
                "listed lightest first, tinted as the clock says; one paddle, wiped where it says"
            }
            (false, false) => "listed lightest first, tinted as the clock says; one paddle",
        };
    }
    match (plan.crew > 1, wiped) {
        (true, false) => "lightest first, one tinting paddle handed on",
        (false, false) => "lightest first, one paddle",
        (true, true) => "lightest first; one tinting paddle handed on, wiped where the clock says",
        (false, true) => "lightest first; one paddle, wiped where the clock says",
    }
}

/// From this difference on, a base's share in the recipe is told beside its share in the plan.
const SHARES_DIFFER: f64 = 0.005;

/// A base's share of this plan's pour, and of the recipe's where that is another.
#[must_use]
pub fn share_words(base: &BasePlan) -> String {
    let here = format!("{:.1} % of the pour", base.share * 100.0);
    if (base.share - base.recipe_share).abs() < SHARES_DIFFER {
        return here;
    }
    format!("{here} ({:.1} % of the recipe)", base.recipe_share * 100.0)
}

/// What a mix is, in words.
#[must_use]
pub fn mix_words(base: &BasePlan, units: Units) -> String {
    format!("{} · {}", share_words(base), mix_size_words(base, units))
}

/// How much of a mix its colorants are shares of, beside those that go into the first vessel; none where all do.
#[must_use]
pub fn comes_over_words(mix: &Mix, units: Units) -> Option<String> {
    let over = mix.resin_over().show(units);
    mix.tints().next().map(|_| format!("{over} of A and B comes over into the clean vessel"))
}

/// How much mixed resin is in a container, where accents are shares of it.
#[must_use]
pub fn accents_are_of_words(batch: &SmallBatch, units: Units) -> Option<String> {
    let accent = |layer: &LayerPlan| matches!(layer, LayerPlan::Accent { .. });
    batch.layers.iter().any(accent).then(|| format!("{} of it A and B", batch.resin.show(units)))
}

/// How many mixes of what size, in what vessel.
#[must_use]
pub fn mix_size_words(base: &BasePlan, units: Units) -> String {
    let vessel = base.mixes.first().map_or_else(String::new, |mix| mix.vessel.show(units));
    match (&base.kinds()[..], base.number()) {
        ([(_, mix)], 1) => format!("1 mix of {} in a {vessel} vessel", mix.mass().show(units)),
        ([(_, mix)], number) => {
            format!("{number} mixes, each {} in a {vessel} vessel", mix.mass().show(units))
        }
        (kinds, _) => kinds_words(kinds, units),
    }
}

/// How large mixes are that are not weighed alike, in what vessel: `2770 g and 2540 g in 1 gal vessels`.
#[must_use]
pub fn kinds_words(kinds: &[(Vec<u32>, &Mix)], units: Units) -> String {
    let masses: Vec<String> = kinds.iter().map(|(_, mix)| mix.mass().show(units)).collect();
    let masses: Vec<&str> = masses.iter().map(String::as_str).collect();
    let vessel = kinds.first().map_or_else(String::new, |(_, mix)| mix.vessel.show(units));
    format!("{} in {vessel} vessels", listed(&masses, "and"))
}

/// Which mixes of a base are weighed so: `mixes 2–3`.
#[must_use]
pub fn kind_words(numbers: &[u32]) -> String {
    let noun = if numbers.len() == 1 { "mix" } else { "mixes" };
    format!("{noun} {}", spans(numbers))
}

/// One container of a small batch, from the bottom layer to the top; where no scale has shown the whole of it,
/// the last says what it weighs then.
#[must_use]
pub fn layer_rows(batch: &SmallBatch) -> Vec<ScaleRow> {
    let mut rows: Vec<ScaleRow> = batch
        .layers
        .iter()
        .map(|layer| {
            let row = ScaleRow::of(layer.name(), layer.weighed());
            let row = match layer {
                LayerPlan::Base { .. } => row,
                LayerPlan::Accent { loading, lot, .. } => {
                    row.loading(*loading).of_lot(lot.as_ref())
                }
            };
            match layer {
                LayerPlan::Base { .. } => row,
                LayerPlan::Accent { means: AccentMeans::OnTop, .. } => {
                    let on_label = format!("{}, into the container on its scale", row.what);
                    ScaleRow { on_label, ..row.remark("accent") }
                }
                LayerPlan::Accent {
                    means: AccentMeans::Shared,
                    containers,
                    volume: Some(volume),
                    density_standing,
                    weighed,
                    ..
                } => {
                    let cup = layer.cup().show_weighed(weighed.readability);
                    shared_out(row, layer.mass(), (*containers, &cup), (*volume, *density_standing))
                }
                LayerPlan::Accent { .. } => out_of_cup(row),
            }
        })
        .collect();
    if let Some((row, holds)) = rows.last_mut().zip(container_holds(batch)) {
        // Short, since it stands under the layer's name on a card of half a page.
        let remark = row.remark.trim_start_matches("accent, ");
        row.remark = format!("{remark}; container then {holds}");
    }
    rows
}

/// An accent that goes out of its own cup, tared full: the scale shows its weight below zero.
fn out_of_cup(row: ScaleRow) -> ScaleRow {
    let reading = format!("−{}", row.weight);
    ScaleRow {
        on_label: format!("{}, {} out of its tared cup; {} shows", row.what, row.weight, row.scale),
        reading,
        out_of_cup: true,
        ..row.remark("accent, own cup")
    }
}

/// What shows the dose of an accent that is shared out.
const SYRINGE: &str = "syringe";

/// An accent that is weighed once for several containers, as one of them takes it: `cup` is the weighing of
/// all, of which the cup `holds` a little more. What a syringe shows is told in place of what a scale would, which never shows one container's dose.
fn shared_out(
    cup: ScaleRow,
    each: Mass,
    (containers, holds): (u32, &str),
    (volume, standing): (Volume, Standing),
) -> ScaleRow {
    let syringe = volume.show_syringe();
    let weight = each.show(Units::Metric);
    ScaleRow {
        on_label: format!("{}, {weight} by syringe from the shared cup", cup.what),
        remark: format!(
            "accent, by syringe: of one cup for all {containers} and a little over, {holds} on the {} (mL by the {standing} density)",
            cup.scale
        ),
        weight,
        reading: syringe,
        scale: SYRINGE.to_owned(),
        // The scale weighs the cup alone, which holds more than all doses.
        flag: String::new(),
        ..cup
    }
}

/// A cup of accent that is shared out over the containers of a small batch, for its label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedCup {
    /// The accent.
    pub accent: String,
    /// What is weighed into it, on which scale.
    pub weighed: (String, String),
    /// What goes into each container, as a syringe shows it; by weight where it cannot be drawn.
    pub each: String,
}

/// The shared cups of a small batch, from the bottom layer to the top.
#[must_use]
pub fn shared_cups(batch: &SmallBatch) -> Vec<SharedCup> {
    let cup = |layer: &LayerPlan| {
        let LayerPlan::Accent { name, colorant, lot, means, weighed, volume, .. } = layer else {
            return None;
        };
        let lot = lot.as_ref().map_or_else(String::new, |lot| format!(", lot {lot}"));
        (*means == AccentMeans::Shared).then(|| SharedCup {
            accent: name.clone(),
            weighed: (
                format!("{colorant}{lot}; {} shows", weighed.scale),
                layer.cup().show_weighed(weighed.readability),
            ),
            each: volume.map_or_else(|| layer.mass().show(Units::Metric), Volume::show_syringe),
        })
    };
    batch.layers.iter().filter_map(cup).collect()
}

/// What a container weighs in all once its last layer is in, where that is weighed in a cup of its own and so
/// no scale has shown it.
#[must_use]
pub fn container_holds(batch: &SmallBatch) -> Option<String> {
    let (last, below) = batch.layers.split_last()?;
    let on_container = below.last().map(LayerPlan::weighed)?;
    let shown = last.weighed().reading > last.weighed().mass;
    (!shown).then(|| batch.mass().show_weighed(on_container.readability))
}

/// What a small batch is, in words; its containers are numbered from `first`.
#[must_use]
pub fn batch_words(batch: &SmallBatch, first: u32, units: Units) -> String {
    let mass = batch.mass().show(units);
    if batch.count == 1 {
        return format!("container {first}, {mass}");
    }
    let last = first.saturating_add(batch.count - 1);
    format!("{} containers ({}), each {mass}", batch.count, span((first, last)))
}
