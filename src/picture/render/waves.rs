//! What changes slowly over a board: a few waves, each its own way.

use super::View;
use crate::flow::Random;
use crate::flow::series::{cos_turns, sin_turns, sin_turns_fast};

/// Columns between two places where a row's sum is computed.
const COARSE: usize = 8;

/// A sum of waves.
#[derive(Debug, Clone)]
pub(super) struct Waves {
    each: Vec<Wave>,
    /// How high each is.
    height: f32,
}

#[derive(Debug, Clone)]
struct Wave {
    /// Waves per mm.
    per_mm: [f64; 2],
    phase: f64,
    length_mm: f64,
}

impl Waves {
    /// Waves of these lengths, mm, each as high as the others, in directions and phases as `random` draws them.
    pub(super) fn new(lengths_mm: &[f64], height: f32, random: &mut Random) -> Self {
        let each = lengths_mm
            .iter()
            .map(|length| {
                let turn = random.unit();
                let per_mm = [cos_turns(turn), sin_turns(turn)].map(|a| a / length);
                Wave { per_mm, phase: random.unit(), length_mm: *length }
            })
            .collect();
        Self { each, height }
    }

    /// The sum at a place, mm.
    #[inline(always)]
    fn at(&self, p: [f64; 2]) -> f32 {
        let height = |wave: &Wave| {
            #[expect(clippy::cast_possible_truncation, reason = "the picture is computed in f32")]
            let height = sin_turns_fast(wave.turns(p)) as f32;
            self.height * height
        };
        self.each.iter().map(height).sum()
    }

    /// The sum along a row of a picture, taken every few columns.
    pub(super) fn row(&self, view: &View, row: usize, out: &mut [f32]) {
        let steps = out.len().div_ceil(COARSE) + 1;
        let coarse: Vec<f32> = (0..steps).map(|k| self.at(view.place(k * COARSE, row))).collect();
        for (chunk, pair) in out.chunks_mut(COARSE).zip(coarse.windows(2)) {
            let &[a, b] = pair else { continue };
            let mut share = 0.0;
            for value in chunk {
                *value = a + (b - a) * share;
                share += 0.125;
            }
        }
    }

    /// Which way and how far the surface leans at a place, a wave L long by up to L: long ones carry a mirrored line
    /// further off than short ones.
    #[inline(always)]
    pub(super) fn lean(&self, p: [f64; 2]) -> [f64; 2] {
        let mut sum = [0.0; 2];
        for wave in &self.each {
            // The lean is a quarter of a wave ahead of the height.
            let lean = sin_turns_fast(wave.turns(p) + 0.25) * wave.length_mm * wave.length_mm;
            for (sum, per_mm) in sum.iter_mut().zip(wave.per_mm) {
                *sum += lean * per_mm;
            }
        }
        sum
    }
}

impl Wave {
    /// Where in the wave a place is, turns.
    #[inline(always)]
    fn turns(&self, p: [f64; 2]) -> f64 {
        p[0] * self.per_mm[0] + p[1] * self.per_mm[1] + self.phase
    }
}
