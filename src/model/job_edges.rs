//! What a counter's edges and splashbacks cannot be beside its outline.
//!
//! - [`check_edges`]: each as a fault.

use super::fault::{Faults, at};
use super::job::{Counter, CutOut, Edge, Splashback};
use super::unusual_edge::edge_meant;
use crate::quantity::{Length, Units};

/// A tape laid along an edge may read so much more than what the shape's own lengths give.
pub(super) const TAPE: f64 = 1.01;

/// Splashbacks stand along the counter's outline; free edges run along the rest of it and along those of its
/// cut-outs. So there cannot be more of either, or of both, no one edge is longer than the outline that it runs
/// along, and no one splashback longer than the longest wall.
pub(super) fn check_edges(name: &str, counter: &Counter, faults: &mut Faults) {
    let walls: f64 = counter.splashbacks.iter().map(|splash| splash.length.mm()).sum();
    let whole = counter.shape.perimeter().mm();
    let cuts: f64 = counter.cutouts.values().map(|cut| cut.shape.perimeter().mm()).sum();
    let edges: f64 = counter.edges.iter().map(|edge| edge.length.mm()).sum();
    let told = |mm: f64| {
        let length = Length::from_mm(mm);
        format!("{} ({})", length.show(Units::Us), length.show(Units::Metric))
    };
    if walls > whole * TAPE {
        let (what, verb) = match counter.splashbacks.len() {
            1 => ("the splashback", "is"),
            _ => ("the splashbacks", "are"),
        };
        faults
            .error(
                at!["counters", name, "splashbacks"],
                format!(
                    "{what} of the counter \"{name}\" {verb} {}, longer than its outline, {}",
                    told(walls),
                    told(whole)
                ),
            )
            .hint("a splashback is as long as the wall that it stands on");
        return;
    }
    let longest = counter.shape.longest_wall();
    let is_beyond_its_wall = |splash: &Splashback| splash.length.mm() > longest.mm() * TAPE;
    if let Some(at) = counter.splashbacks.iter().position(is_beyond_its_wall) {
        faults
            .error(
                at!["counters", name, "splashbacks", at, "length"],
                format!(
                    "a splashback of the counter \"{name}\" is {}, longer than its longest wall, {}",
                    told(counter.splashbacks[at].length.mm()),
                    told(longest.mm())
                ),
            )
            .hint("write one splashback for each wall that it stands along, or is the counter's side mis-measured?");
        return;
    }
    let is_beyond_all = |edge: &Edge| {
        let rim = |cut: &CutOut| cut.shape.perimeter().mm();
        edge.length.mm() > counter.cutouts.values().map(rim).fold(whole, f64::max) * TAPE
    };
    if let Some(at) = counter.edges.iter().position(is_beyond_all) {
        let edge = counter.edges[at].length;
        let fault = faults.error(
            at!["counters", name, "edges", at, "length"],
            format!(
                "an edge of the counter \"{name}\" is {}, longer than its outline, {}",
                told(edge.mm()),
                told(whole)
            ),
        );
        // Where the counter itself is mistyped, its edge is not.
        let asked = counter.shape.unusual_asked();
        let meant = edge_meant(edge, Length::from_mm(whole)).filter(|_| asked.is_empty());
        for question in asked.into_iter().chain(meant) {
            fault.hint(question);
        }
        fault.hint(format!("list the edges that resin runs over: {}", counter.shape.usual_edges()));
        return;
    }
    if edges <= (whole - walls + cuts) * TAPE {
        return;
    }
    let around = if cuts > 0.0 {
        format!("its outline and those of its cut-outs, {} together", told(whole + cuts))
    } else {
        format!("its outline, {}", told(whole))
    };
    let usual = counter.shape.usual_edges();
    if edges <= (whole + cuts) * TAPE {
        faults
            .error(
                at!["counters", name],
                format!(
                    "edges ({}) and splashbacks ({}) of the counter \"{name}\" are {}, longer than {around}",
                    told(edges),
                    told(walls),
                    told(edges + walls),
                ),
            )
            .hint("along its outline each stretch is a free edge or stands at a splashback, and one of the two is typed too long")
            .hint(format!("free edges are those that resin runs over: {usual}"));
        return;
    }
    let what = if counter.edges.len() == 1 { "the edge" } else { "the edges" };
    let verb = if counter.edges.len() == 1 { "is" } else { "are" };
    faults
        .error(
            at!["counters", name, "edges"],
            format!(
                "{what} of the counter \"{name}\" {verb} {}, longer than {around}",
                told(edges)
            ),
        )
        .hint(format!("list the edges that resin runs over: {usual}"));
}
