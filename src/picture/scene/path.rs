//! The way a stream goes over its plot: passes, each laid as one ribbon.

use super::board::Plot;
use super::input::RibbonPath;
use crate::flow::series::{cos_turns, sin_turns};
use crate::flow::{Bend, Random, Ribbon};

/// About how wide a poured ribbon lies, mm (common practice: a stream as wide as two or three fingers).
const RIBBON_MM: f64 = 50.0;
/// A container's stream goes over more ground than its own share, so that neighbours interlace.
const REACH: f64 = 1.9;

/// How many passes a container of `area` mm² is poured in, and how long one is, mm.
pub(crate) fn pass_count(plot: &Plot, area: f64, kind: RibbonPath) -> (usize, f64) {
    let side = area.sqrt();
    let long = match kind {
        RibbonPath::Wander => (1.1 * side).clamp(60.0, 420.0),
        _ => (plot.reach[0] * REACH).clamp(1.2 * side, 3.2 * side),
    };
    // A short stream is a thin one.
    let (widest, slimness) =
        if kind == RibbonPath::Wander { (85.0, 4.0) } else { (RIBBON_MM, 9.0) };
    let width = (long / slimness).min(widest);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "2 to 12")]
    let count = (area / (0.66 * long * width)).round().clamp(2.0, 12.0) as usize;
    (count, long)
}

/// One pass: a ribbon of `area` mm², the `index`th of `count`, going about `direction` (turns).
pub(crate) fn pass(
    plot: &Plot,
    (index, count): (usize, usize),
    area: f64,
    long: f64,
    kind: RibbonPath,
    direction: f64,
    random: &mut Random,
) -> Ribbon {
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let across = (index as f64 + 0.5) / count as f64 - 0.5;
    let wide = (plot.reach[1] * 1.9).max(0.8 * RIBBON_MM * 2.0);
    let sway = match kind {
        RibbonPath::Sweep => 0.03 * random.bell(),
        RibbonPath::Drift => {
            (if index.is_multiple_of(2) { 0.075 } else { -0.075 }) + 0.02 * random.bell()
        }
        RibbonPath::Wander => random.between(-0.25, 0.25),
    };
    let turn = direction + sway;
    let along = [cos_turns(turn), sin_turns(turn)];
    let n = [-along[1], along[0]];
    let length = long * random.between(0.7, 1.25);
    let (shift, side) = match kind {
        RibbonPath::Wander => (0.42 * plot.reach[0] * random.bell(), 0.42 * wide * random.bell()),
        _ => (0.16 * long * random.bell(), across * wide + 0.3 * RIBBON_MM * random.bell()),
    };
    let middle = [0, 1].map(|k| plot.centre[k] + along[k] * shift + n[k] * side);
    // A hand sways slowly and far, trembles quickly and little.
    let sways = match kind {
        RibbonPath::Wander => [(0.02, 0.09, 0.5, 1.0), (0.004, 0.03, 1.2, 2.4)],
        _ => [(0.02, 0.07, 0.8, 1.6), (0.006, 0.022, 2.0, 3.6)],
    };
    let mut bend = |(least, most, few, many): (f64, f64, f64, f64)| Bend {
        amplitude: random.between(least, most) * length,
        per_mm: random.between(few, many) / length,
        phase: random.unit(),
    };
    let bends = [bend(sways[0]), bend(sways[1])];
    let tremor = Bend {
        amplitude: random.between(0.6, 3.0),
        per_mm: 1.0 / random.between(70.0, 140.0),
        phase: random.unit(),
    };
    Ribbon {
        middle,
        along,
        half_length: 0.5 * length,
        width: Ribbon::width_for(area, 0.5 * length),
        bends: [bends[0], bends[1], tremor],
    }
}
