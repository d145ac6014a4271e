//! The way a hand means to go with one pass over its strip.

use super::input::RibbonPath;
use super::pass::Pass;
use crate::flow::Random;
use crate::flow::series::sin_turns;

/// A line keeps about so far from where it may not go, mm.
const SOFT_MM: f64 = 5.0;

/// How one pass goes over its strip.
pub(super) struct Way {
    /// Where between the nearest and the furthest line it may be, 0 to 1.
    place: f64,
    /// How steeply it crosses the strip.
    slope: f64,
    /// Amplitude mm, waves per mm, phase.
    bends: [[f64; 3]; 3],
}

/// Where in what lies there a pass is laid, 0 to 1.
pub(super) fn place(pass: &Pass, path: RibbonPath, random: &mut Random) -> f64 {
    let [turn, of] = pass.turn;
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let through = (turn as f64 + 0.5) / of.max(1) as f64;
    let place = match path {
        RibbonPath::Sweep => 0.3 + 0.6 * through + 0.1 * random.bell(),
        RibbonPath::Drift => 0.5 + 0.15 * random.bell(),
        RibbonPath::Wander => random.unit(),
    };
    place.clamp(0.0, 1.0)
}

impl Way {
    pub(super) fn new(
        pass: &Pass,
        place: f64,
        path: RibbonPath,
        length: f64,
        random: &mut Random,
    ) -> Self {
        let slope = match path {
            RibbonPath::Sweep => 0.08 * random.bell(),
            RibbonPath::Drift => {
                let sign = if pass.turn[0].is_multiple_of(2) { 1.0 } else { -1.0 };
                sign * random.between(0.12, 0.3)
            }
            RibbonPath::Wander => 0.14 * random.bell(),
        };
        // A hand sways slowly and far, trembles quickly and little.
        let sways = match path {
            RibbonPath::Wander => [(0.03, 0.08, 0.6, 1.3), (0.005, 0.02, 1.4, 2.6)],
            _ => [(0.02, 0.05, 0.8, 1.6), (0.003, 0.011, 2.0, 3.6)],
        };
        let mut bend = |(least, most, few, many): (f64, f64, f64, f64)| {
            [
                random.between(least, most) * length,
                random.between(few, many) / length,
                random.unit(),
            ]
        };
        let (slow, quick) = (bend(sways[0]), bend(sways[1]));
        let tremor = [random.between(0.4, 1.6), 1.0 / random.between(70.0, 140.0), random.unit()];
        Self { place, slope, bends: [slow, quick, tremor] }
    }

    /// Where the hand would lay it at `x`, mm, if it may be between two lines there.
    pub(super) fn line(&self, x: f64, middle: f64, [low, high]: [f64; 2]) -> f64 {
        let mut y = low + self.place * (high - low) + self.slope * (x - middle);
        for [amplitude, per_mm, phase] in self.bends {
            y += amplitude * sin_turns((x - middle) * per_mm + phase);
        }
        y
    }
}

/// A place held between two others, softly where they are far apart.
pub(super) fn held(y: f64, [low, high]: [f64; 2]) -> f64 {
    let room = (high - low).max(0.0);
    let soft = SOFT_MM.min(0.25 * room);
    let below = |a: f64, b: f64| 0.5 * (a + b - ((a - b) * (a - b) + soft * soft).sqrt());
    let held = below(y - low, room);
    low + (-below(-held, 0.0)).clamp(0.0, room)
}
