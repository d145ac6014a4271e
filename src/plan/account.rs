//! Where everything that is weighed out goes: the account of the whole job.

use std::collections::BTreeMap;

use crate::quantity::Volume;

use super::base::BasePlan;
use super::containers::Containers;
use super::demand::Demand;
use super::ledger::{Content, Ledger, Material};
use super::small_batch::{LayerPlan, SmallBatch};
use super::stock::Stock;

/// The account of all coats: mixes, then containers, then what comes out of them by the demand's
/// parts.
pub(super) fn ledger(
    bases: &[BasePlan],
    batches: &[SmallBatch],
    containers: Option<&Containers>,
    demand: &Demand,
    stocks: &[Stock],
    coats: u32,
) -> Ledger {
    let mut coat = Ledger::default();
    let mut poured_out = Content::default();
    let mut waiting = BTreeMap::new();
    for base in bases {
        let (account, out) = base.account();
        coat.add(1.0, &account);
        if batches.is_empty() {
            poured_out += &out;
        } else {
            waiting.insert(base.name.as_str(), out);
        }
    }
    for batch in batches {
        {
            let times = f64::from(batch.count);
            let mut held = Content::default();
            for layer in &batch.layers {
                let mass = layer.mass() * times;
                match layer {
                    LayerPlan::Base { name, .. } => {
                        if let Some(base) = waiting.get_mut(name.as_str()) {
                            held += &base.take(mass);
                        }
                    }
                    LayerPlan::Accent { colorant, spare, .. } => {
                        let material = Material::Colorant(colorant.clone());
                        let left = *spare * times;
                        coat.issued.put(material.clone(), mass + left);
                        coat.left.put(material.clone(), left);
                        held.put(material, mass);
                    }
                }
            }
            let kept = containers.map_or(0.0, |c| c.cling.ml() / c.fill.ml());
            coat.cling += &held.take(held.total() * kept);
            poured_out += &held;
        }
    }
    for rest in waiting.into_values() {
        coat.left += &rest;
    }
    let all = demand.out().ml();
    let part = |volume: Volume| poured_out.times(volume.ml() / all);
    coat.poured += &part(demand.net());
    coat.run_off += &part(demand.run_off);
    coat.left += &part(demand.allowance);
    let mut job = Ledger::default();
    job.add(f64::from(coats), &coat);
    for stock in stocks {
        job.add(1.0, &stock.account());
    }
    job
}
