//! A plan as JSON: schema `pourbook.plan`, version 3, described in the book's page on plans as JSON.
//!
//! Every figure stands in one unit, named in its key; masses of bases and small batches are for one
//! coat, the ledger and the purchase for all coats. Sentences stand in the units that the plan was asked for in.

use serde_json::{Value, json};

use super::heed_rows::heed_rows;
use super::stop_rows::stop_rows;
use super::time_words::{change_words, finding_words, mix_name, step_words};
use crate::colour::Lab;
use crate::model::{Amount, Origin, Standing};
use crate::plan::run_sheet::Mixing;
use crate::plan::{
    AccentMeans, BasePlan, Caution, Check, Content, Cost, CounterArea, DoseWeighed, Figures,
    FromContainer, LaidOut, LayerPlan, LongPour, Means, MistLiquid, MixFills, OptionCost, Piece,
    Plan, SmallBatch, Source, Stock, TakeOff, UprightCoats, Uprights, Ware, Weighed,
};
use crate::predict::Look;
use crate::quantity::{Fraction, Money};

/// The schema's version: raised when a key changes its meaning or goes away.
pub const VERSION: u32 = 3;

/// The whole plan.
#[must_use]
pub fn plan_json(plan: &Plan) -> Value {
    let demand = &plan.demand;
    json!({
        "schema": "pourbook.plan",
        "version": VERSION,
        "job": plan.job,
        "colourway": plan.colourway,
        "system": plan.system,
        "fingerprint": plan.fingerprint.to_string(),
        "primer": plan.primer.to_string(),
        "film_mm": plan.film.mm(),
        "face_film_mm": plan.face_film.mm(),
        "coats": plan.coats,
        "recoat": plan.recoat.map(|recoat| json!({
            "earliest_s": recoat.earliest.s(),
            "latest_s": recoat.latest.s(),
            "standing": recoat.standing.word(),
        })),
        "stops": stop_rows(plan, plan.units).into_iter().map(|row| json!({
            "text": row.words,
            "remedy": row.remedy,
        })).collect::<Vec<_>>(),
        "heeds": heed_rows(plan, plan.units),
        "mix_ratio": plan.ratio.words(),
        "part_b_per_100_g_part_a_g": plan.phr,
        "ratio_is_checked": plan.ratio_is_checked,
        "mixed_density_g_per_ml": plan.densities[2].g_per_ml(),
        "take_off": take_off(&plan.take_off),
        "demand_one_coat": {
            "flat_ml": demand.flat.ml(),
            "upright_ml": demand.upright.ml(),
            "run_off_ml": demand.run_off.ml(),
            "allowance_ml": demand.allowance.ml(),
            "run_off_from": origin(plan.losses.run_off_from),
            "allowance_from": origin(plan.losses.allowance_from),
            "out_of_containers_ml": demand.out().ml(),
        },
        "resin_issued_ml": plan.resin_volume().ml(),
        "figures": plan.figures.iter().map(|each| json!({
            "of": each.of,
            "kind": if each.system { "system" } else { "colorant" },
            "figures": each.figures.words(),
            "standing": each.standing.word(),
        })).collect::<Vec<_>>(),
        "checks": plan.checks.iter().map(check).collect::<Vec<_>>(),
        "let_downs": plan.stocks.iter().map(|one| let_down_json(one, plan.phr)).collect::<Vec<_>>(),
        "bases": plan.bases.iter().map(base).collect::<Vec<_>>(),
        "uprights": plan.uprights.as_ref().map(uprights),
        "upright_coats": plan.upright_coats.as_ref().map(upright_coats),
        "containers": plan.containers.as_ref().map(|containers| json!({
            "number": containers.number(),
            "fill_ml": containers.fill.ml(),
            "approved_fill_ml": containers.approved.ml(),
            "vein_scale": containers.vein_scale(),
        })),
        "small_batches": plan.small_batches.iter().map(small_batch).collect::<Vec<_>>(),
        "fills": plan.fills.iter().map(fills).collect::<Vec<_>>(),
        "pieces": plan.pieces.iter().map(piece).collect::<Vec<_>>(),
        "over_pieces": plan.over.as_ref().map(|over| json!({
            "mass_g": over.mass.g(),
            "containers": from_containers(&over.from),
            "clings_each_g": over.clings.map(|(least, most)| [least.g(), most.g()]),
            "thinned_until_poured": over.thinned.iter().map(|one| json!({
                "small_batch": plan.small_batches.get(one.batch).map(|batch| &batch.name),
                "of_all_percent": one.of_all.percent(),
                "on_pieces_percent": one.on_pieces.percent(),
            })).collect::<Vec<_>>(),
        })),
        "time": time(plan),
        "left_over_one_coat_g": plan.left_over.g(),
        "ledger": {
            "issued_g": content(&plan.ledger.issued),
            "poured_g": content(&plan.ledger.poured),
            "run_off_g": content(&plan.ledger.run_off),
            "cling_g": content(&plan.ledger.cling),
            "left_g": content(&plan.ledger.left),
        },
        "buy": cost(&plan.cost),
        "lay_out": plan.lay_out.iter().map(laid_out).collect::<Vec<_>>(),
        "have_ready": plan.have_ready.iter().map(|one| one.word()).collect::<Vec<_>>(),
        "mist": plan.mist.as_ref().map(mist),
        "price_standing": plan.standing_of(Figures::Prices).map(Standing::word),
        "options": plan.options.iter().map(option).collect::<Vec<_>>(),
        "cautions": plan.cautions.iter().map(caution).collect::<Vec<_>>(),
        "defers_to": crate::plan::defers(),
    })
}

const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Job => "job",
        Origin::Usual => "usual",
    }
}

fn take_off(take_off: &TakeOff) -> Value {
    let counter = |counter: &CounterArea| {
        let mut told = json!({
            "name": counter.name,
            "gross_m2": counter.gross.m2(),
            "cut_out_m2": counter.cut_out.m2(),
            "net_m2": counter.net().m2(),
            "faces_m2": counter.faces.m2(),
            "splashbacks_m2": counter.splashbacks.m2(),
            "edge_mm": counter.edge.mm(),
            "states_edges": counter.states_edges,
        });
        if !counter.unusual.is_empty() {
            let words: Vec<String> = counter.unusual.iter().map(|size| size.words(None)).collect();
            told["unusual"] = json!(words);
        }
        told
    };
    let mut all = json!({
        "counters": take_off.counters.iter().map(counter).collect::<Vec<_>>(),
        "boards": take_off.boards.iter().map(|board| json!({
            "size_mm": [board.size[0].mm(), board.size[1].mm()],
            "count": board.count,
            "area_m2": board.area.m2(),
        })).collect::<Vec<_>>(),
        "flat_m2": take_off.flat().m2(),
        "upright_m2": take_off.upright().m2(),
        "edge_mm": take_off.edge().mm(),
    });
    if !take_off.unusual.is_empty() {
        let words: Vec<String> = take_off.unusual.iter().map(|size| size.words(None)).collect();
        all["unusual"] = json!(words.join("; "));
    }
    all
}

fn uprights(uprights: &Uprights) -> Value {
    json!({
        "words": uprights.words,
        "film_mm": uprights.film.mm(),
        "coats": uprights.coats,
        "bases": uprights.bases.iter().map(|base| json!({
            "name": base.name,
            "hides": base.hides(),
            "delta_e00_from_flat": base.delta_e,
            "delta_l_from_flat": base.paler,
            "look": look_json(&base.look),
        })).collect::<Vec<_>>(),
    })
}

fn upright_coats(coats: &UprightCoats) -> Value {
    json!({
        "area_m2": coats.area.m2(),
        "edges_g": coats.edges.g(),
        "splashbacks": coats.splashbacks.as_ref().map(|held| match &held.from {
            Source::Containers(first, last) => json!({
                "mass_g": held.mass.g(), "first_container": first, "last_container": last,
                "each": held.each.iter().map(|one| json!({
                    "container": one.container,
                    "held_g": one.held.g(),
                    "poured_g": one.poured.g(),
                })).collect::<Vec<_>>(),
                "bases": bases_percent(&held.bases),
            }),
            Source::LastMix(base) => json!({
                "mass_g": held.mass.g(), "last_mix_of": base, "bases": bases_percent(&held.bases),
            }),
        }),
    })
}

/// Bases with their shares by mass, in percent.
fn bases_percent(bases: &[(String, Fraction)]) -> Value {
    bases.iter().map(|(name, share)| json!({ "name": name, "percent": share.percent() })).collect()
}

fn check(check: &Check) -> Value {
    json!({
        "place": check.place.words(),
        "route": check.standing.route.words(),
        "value_percent": check.standing.value * 100.0,
        "ceiling_percent": check.standing.ceiling * 100.0,
        "ceiling_standing": check.standing.trust.word(),
        "raised": check.standing.raised,
        "near": check.near,
        "largest_safe": check.largest_safe.as_ref().map(|(colorant, loading)| json!({
            "colorant": colorant,
            "loading_percent": loading * 100.0,
        })),
    })
}

fn weighed(weighed: &Weighed) -> Value {
    json!({
        "exact_g": weighed.exact.g(),
        "mass_g": weighed.mass.g(),
        "shown": weighed.mass.show_weighed(weighed.readability),
        "reading_g": weighed.reading.g(),
        "scale": weighed.scale,
        "readability_g": weighed.readability.g(),
        "minimum_g": weighed.minimum().g(),
        "within_tolerance": weighed.within_tolerance(),
    })
}

/// A let-down, how it is made, and what is left of it with the part B that cures that, for a system of `phr` of B to
/// 100 of A.
pub(super) fn let_down_json(stock: &Stock, phr: f64) -> Value {
    json!({
        "colorant": stock.colorant,
        "ratio_percent": stock.ratio.percent(),
        "lot": stock.lot,
        "colorant_weighed": weighed(&stock.colorant_weighed),
        "part_a_weighed": weighed(&stock.part_a_weighed),
        "made_g": stock.made().g(),
        "taken_g": stock.taken.g(),
        "left_g": stock.left().g(),
        "part_b_for_left_g": stock.part_b_for_left(phr).g(),
    })
}

fn base(base: &BasePlan) -> Value {
    json!({
        "name": base.name,
        "share_percent": base.share * 100.0,
        "recipe_share_percent": base.recipe_share * 100.0,
        "out_g": base.out.g(),
        "mixes": (1_u32..).zip(&base.mixes).map(|(number, mix)| json!({
            "number": number,
            "out_g": mix.out.g(),
            "mass_g": mix.mass().g(),
            "resin_g": mix.resin().g(),
            "resin_over_g": mix.resin_over().g(),
            "volume_ml": mix.volume.ml(),
            "vessel_ml": mix.vessel.ml(),
            "part_a": weighed(&mix.part_a),
            "part_b": weighed(&mix.part_b),
            "colorants": mix.doses.iter().map(dose).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "look": base.look.as_ref().map(look_json),
        "rounding_delta_e00": base.rounding_delta_e,
    })
}

fn dose(dose: &DoseWeighed) -> Value {
    let (means, ratio) = match &dose.means {
        Means::OnTop(_) => ("on top", None),
        Means::InCup(_) => ("in a cup", None),
        Means::LetDown { down, .. } => ("let-down", Some(down.ratio.percent())),
    };
    json!({
        "name": dose.colorant,
        "lot": dose.lot,
        "loading_percent": dose.loading.percent(),
        "exact_g": dose.exact.g(),
        "means": means,
        "let_down_percent": ratio,
        "weighed": weighed(dose.weighed()),
    })
}

#[must_use]
/// A look: colour, how it was reckoned and how far to trust it.
pub fn look_json(look: &Look) -> Value {
    json!({
        "lab": lab(look.lab),
        "srgb": look.shown.to_string(),
        "in_gamut": look.in_gamut,
        "contrast_ratio": look.contrast_ratio,
        "hiding_film_mm": look.hiding_film.map(|film| film.mm()),
        "standing": look.standing.word(),
        "reflectance_380_730_by_10_nm": look.reflectance.0.to_vec(),
    })
}

fn lab(lab: Lab) -> Value {
    json!({ "l": lab.l, "a": lab.a, "b": lab.b })
}

fn small_batch(batch: &SmallBatch) -> Value {
    json!({
        "name": batch.name,
        "count": batch.count,
        "mass_g": batch.mass().g(),
        "resin_g": batch.resin.g(),
        "layers_from_bottom": batch.layers.iter().map(layer).collect::<Vec<_>>(),
    })
}

fn fills(fills: &MixFills) -> Value {
    json!({
        "base": fills.base,
        "mix": fills.mix,
        "of": fills.mixes,
        "portions": fills.portions.iter().map(|portion| json!({
            "first_container": portion.containers.0,
            "last_container": portion.containers.1,
            "small_batch": portion.pour,
            "layer_from_bottom": portion.layer,
            "mass_each_g": portion.each.g(),
            "layer_mass_g": portion.whole.g(),
        })).collect::<Vec<_>>(),
    })
}

fn piece(piece: &Piece) -> Value {
    json!({
        "name": piece.name,
        "size": if piece.size.is_empty() { Value::Null } else { json!(piece.size) },
        "share_percent": piece.share.percent(),
        "mass_g": piece.mass.g(),
        "containers": from_containers(&piece.from),
        "longest_wait": piece.longest_wait.map(|wait| json!({
            "after_container": wait.between.0,
            "before_container": wait.between.1,
            "seconds": wait.seconds,
        })),
    })
}

fn from_containers(from: &[FromContainer]) -> Value {
    let each = from.iter().map(|from| {
        json!({
            "container": from.container,
            "mass_g": from.mass.g(),
            "whole": from.whole,
        })
    });
    each.collect()
}

fn laid_out(laid: &LaidOut) -> Value {
    json!({
        "what": laid.ware.word(),
        "for": laid.ware.purpose(),
        "scale": match &laid.ware {
            Ware::Scale(name) => Some(name),
            _ => None,
        },
        "size_ml": laid.size.map(|size| size.ml()),
        "larger_does": laid.at_least,
        "count": laid.count,
    })
}

fn layer(layer: &LayerPlan) -> Value {
    let weighed = weighed(layer.weighed());
    match layer {
        LayerPlan::Base { name, volume, .. } => json!({
            "kind": "base", "name": name, "volume_ml": volume.ml(), "weighed": weighed,
        }),
        LayerPlan::Accent {
            name,
            colorant,
            lot,
            loading,
            means,
            containers,
            volume,
            density_standing,
            spare,
            ..
        } => json!({
            "kind": "accent",
            "name": name,
            "colorant": colorant,
            "lot": lot,
            "loading_percent": loading.percent(),
            "means": match means {
                AccentMeans::OnTop => "on top",
                AccentMeans::InCup => "in a cup",
                AccentMeans::Shared => "shared cup",
            },
            "containers_sharing": containers,
            "spare_each_g": spare.g(),
            "mass_each_g": layer.mass().g(),
            "volume_each_ml": volume.map(|volume| volume.ml()),
            "volume_each_standing": volume.map(|_| density_standing.word()),
            "weighed": weighed,
        }),
    }
}

fn content(content: &Content) -> Value {
    content
        .iter()
        .map(|(material, mass)| (material.words().to_owned(), json!(mass.g())))
        .collect::<serde_json::Map<String, Value>>()
        .into()
}

fn money(money: Option<Money>) -> Value {
    money.map_or(
        Value::Null,
        |money| json!({ "amount": money.amount(), "currency": money.currency().to_string() }),
    )
}

fn cost(cost: &Cost) -> Value {
    json!({
        "lines": cost.lines.iter().map(|line| json!({
            "name": line.name,
            "demand_g": line.demand.g(),
            "packages": line.packages.iter().map(|(package, count)| {
                let (kind, size) = match package.size {
                    Amount::Mass(mass) => ("size_g", mass.g()),
                    Amount::Volume(volume) => ("size_ml", volume.ml()),
                };
                json!({ kind: size, "count": count, "price": money(Some(package.price)) })
            }).collect::<Vec<_>>(),
            "price": money(line.price),
            "left_g": line.left.g(),
            "left_value": money(line.left_value),
        })).collect::<Vec<_>>(),
        "total": money(cost.total),
        "left_value": money(cost.left_value()),
        "incomplete": cost.incomplete,
        "per_ft2": money(cost.per_ft2()),
        "per_m2": money(cost.per_m2()),
    })
}

fn option(option: &OptionCost) -> Value {
    match &option.cost {
        Ok(found) => json!({ "name": option.name, "buy": cost(found) }),
        Err(why) => json!({ "name": option.name, "cannot_be_planned": why }),
    }
}

fn caution(caution: &Caution) -> Value {
    json!({ "topic": caution.topic.word(), "text": caution.text, "source": caution.source, "stops": caution.stops })
}

/// The run sheet of one coat, or why there is none.
fn mist(mist: &MistLiquid) -> Value {
    json!({
        "name": mist.name,
        "each_coat_ml": mist.each_coat.ml(),
        "in_all_ml": mist.in_all().ml(),
        "standing": MistLiquid::STANDING.word(),
    })
}

fn long_pour(long: LongPour) -> Value {
    json!({ "stands_s": long.stands_s, "runs_s": long.runs_s })
}

fn time(plan: &Plan) -> Value {
    let sheet = match &plan.time {
        Ok(sheet) => sheet,
        Err(why) => return json!({ "none_because": why.to_string() }),
    };
    json!({
        "staggered": sheet.mixing == Mixing::Staggered,
        "shortest_lived_last": sheet.mixing == Mixing::ShortestLivedLast,
        "scales_wanted_at_once": plan.wanted_at_once.iter().filter(|wanted| wanted.more() > 0).map(|wanted| json!({
            "scale": wanted.scale,
            "readability_g": wanted.readability.g(),
            "hands": wanted.hands,
            "first_s": wanted.first_s,
            "seconds": wanted.seconds,
            "seconds_by_most": wanted.most_s,
        })).collect::<Vec<_>>(),
        "long_pour": plan.long_pour.map(long_pour),
        "makespan_s": sheet.makespan_s,
        "critical_path_s": sheet.critical_path_s,
        "steps": sheet.lines.iter().map(|line| json!({
            "step": step_words(sheet, line.step),
            "start_s": line.start_s,
            "end_s": line.end_s,
            "hands": line.workers.iter().map(|worker| worker + 1).collect::<Vec<_>>(),
            "waits_for": line.waits_for.map(|wait| json!({
                "step": step_words(sheet, wait.step),
                "hand": wait.hand + 1,
            })),
        })).collect::<Vec<_>>(),
        "mixes": sheet.clocks.iter().enumerate().map(|(mix, clock)| json!({
            "name": mix_name(sheet, mix),
            "start_s": clock.start_s,
            "pot_life_s": clock.pot_life.seconds,
            "too_hot_from_s": clock.pot_life.hot.map(|hot| hot.seconds),
            "pot_life_range_s": clock.pot_life.range_s.map(|(least, most)| [least, most]),
            "pot_life_standing": plan.pot_life_standing(clock.pot_life.basis).word(),
            "pour_by_s": clock.pour_by_s,
            "last_pour_s": clock.last_pour.map(|(s, _)| s),
            "late_by_s": clock.late_by_s,
        })).collect::<Vec<_>>(),
        "findings": sheet.findings.iter().map(|finding| json!({
            "stops": finding.stops(),
            "text": finding_words(sheet, finding, plan.units),
        })).collect::<Vec<_>>(),
        "remedies": plan.remedies.tried.iter().map(|remedy| json!({
            "changes": remedy.changes.iter().map(|c| change_words(*c, plan.filed, plan.units)).collect::<Vec<_>>(),
            "does": remedy.outcome.does(),
            "late_mixes": remedy.outcome.late_mixes,
            "tight_mixes": remedy.outcome.tight_mixes,
            "hot_mixes": remedy.outcome.hot_mixes,
            "other_stops": remedy.outcome.other_stops,
            "worst_late_s": remedy.outcome.worst_late_s,
            "makespan_s": remedy.outcome.makespan_s,
            "dearer": remedy.outcome.dearer.map(|more| more.show()),
            "long_pour": remedy.outcome.long_pour.map(long_pour),
            "too_long": remedy.outcome.too_long,
        })).collect::<Vec<_>>(),
    })
}
