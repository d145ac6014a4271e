//! The way a stream goes over its plot: passes, each a bent line.

use super::board::Plot;
use super::input::RibbonPath;
use crate::flow::Random;
use crate::flow::series::{cos_turns, sin_turns};

/// One pass of the stream: a bent line over the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pass {
    middle: [f64; 2],
    along: [f64; 2],
    length: f64,
    bend: f64,
    phase: f64,
    cycles: f64,
    /// Turn of a ring; 0 for a line.
    ring: f64,
}

/// About how wide a poured ribbon lies, mm (common practice: a stream as wide as two or three fingers).
const RIBBON_MM: f64 = 52.0;
/// A container's stream goes over more ground than its own share, so that neighbours interlace.
const REACH: f64 = 1.75;

impl Pass {
    /// Where the stream is at `s` in [0, 1] of the pass, and its direction.
    pub(crate) fn at(&self, s: f64) -> ([f64; 2], [f64; 2]) {
        let t = s - 0.5;
        let (e, n) = (self.along, [-self.along[1], self.along[0]]);
        if self.ring > 0.0 {
            let turn = self.phase + s * self.ring;
            let radius = self.length * (1.0 + 0.2 * sin_turns(2.0 * turn + self.cycles));
            let (c, k) = (cos_turns(turn), sin_turns(turn));
            let p = [self.middle[0] + radius * c, self.middle[1] + radius * k];
            return (p, [-k, c]);
        }
        let wave = self.cycles * t + self.phase;
        let side = self.bend * sin_turns(wave);
        let slope = self.bend * core::f64::consts::TAU * self.cycles * cos_turns(wave)
            / self.length.max(1.0);
        let p = [
            self.middle[0] + e[0] * t * self.length + n[0] * side,
            self.middle[1] + e[1] * t * self.length + n[1] * side,
        ];
        let d = [e[0] + n[0] * slope, e[1] + n[1] * slope];
        let norm = (d[0] * d[0] + d[1] * d[1]).sqrt();
        (p, [d[0] / norm, d[1] / norm])
    }
}

/// The passes of one container that covers `area` mm², and the way they go in general (turns).
pub(crate) fn passes(
    plot: &Plot,
    area: f64,
    kind: RibbonPath,
    direction: f64,
    random: &mut Random,
) -> Vec<Pass> {
    let side = area.sqrt();
    let long = (plot.reach[0] * REACH).clamp(0.8 * side, 2.4 * side);
    let wide = (plot.reach[1] * 1.5).clamp(0.5 * side, 1.6 * side);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "2 to 9")]
    let count = (area / (long * RIBBON_MM)).round().clamp(2.0, 9.0) as usize;
    let turn = direction + 0.02 * random.bell();
    let phase = random.unit();
    (0..count)
        .map(|k| {
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            let across = ((k as f64 + 0.5) / count as f64 - 0.5) * wide;
            let sway = match kind {
                RibbonPath::ZigZag => {
                    (if k % 2 == 0 { 0.055 } else { -0.055 }) + 0.01 * random.bell()
                }
                _ => 0.016 * random.bell(),
            };
            let along = [cos_turns(turn + sway), sin_turns(turn + sway)];
            let n = [-along[1], along[0]];
            let shift = 0.12 * long * random.bell();
            let jitter = 0.2 * RIBBON_MM * random.bell();
            let middle = match kind {
                RibbonPath::Rings => plot.centre,
                RibbonPath::Puddles => [
                    plot.centre[0] + 0.33 * long * random.bell(),
                    plot.centre[1] + 0.33 * wide * random.bell(),
                ],
                _ => [
                    plot.centre[0] + n[0] * (across + jitter) + along[0] * shift,
                    plot.centre[1] + n[1] * (across + jitter) + along[1] * shift,
                ],
            };
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            let ring_radius = side * (0.12 + 0.42 * (k as f64 + 0.4) / count as f64);
            Pass {
                middle,
                along,
                length: match kind {
                    RibbonPath::Rings => ring_radius,
                    RibbonPath::Puddles => 0.35 * RIBBON_MM,
                    _ => long * random.between(0.72, 1.05),
                },
                bend: random.between(0.04, 0.1) * long,
                phase: phase + 0.06 * random.bell(),
                cycles: random.between(0.7, 1.5),
                ring: if kind == RibbonPath::Rings { random.between(0.8, 1.0) } else { 0.0 },
            }
        })
        .collect()
}
