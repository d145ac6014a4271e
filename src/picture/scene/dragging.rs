//! What a stream drags along where it lands: the lines that it crosses come to lean along it.

use super::ground::{Ground, number};
use crate::flow::{Drag, Random};

/// Half the length of one stretch that drags, mm.
const HALF_LENGTH_MM: (f64, f64) = (60.0, 150.0);
/// Half its width, mm: about as far as a stream two or three fingers wide is felt beside it (common practice, no source).
const HALF_WIDTH_MM: (f64, f64) = (10.0, 24.0);
/// Less width than that is none, mm.
const LEAST_MM: f64 = 4.0;
/// How far a line across it comes to lean along it in its middle, mm a mm.
const LEAN: (f64, f64) = (1.5, 3.4);
/// From the middle of one stretch to that of the next, in halves of its length.
const APART: f64 = 1.7;
/// So much of the fluid beside the line is dragged at most: its own end stays where it is.
const OF_ROOM: f64 = 0.8;
/// Columns beyond a stretch that its line is told for: a spline's coefficient acts two steps far.
const SPARE: usize = 3;

/// How a stream along `line` (mm, by column from `first` on) drags what lies there: stretch by stretch and one way round, as
/// far as there is fluid on both sides (`room`, mm).
pub(super) fn drags(
    ground: &Ground,
    first: usize,
    line: &[f64],
    room: &[f64],
    random: &mut Random,
) -> Vec<Drag> {
    let step = ground.lattice.step;
    let long = number(line.len()) * step;
    let sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
    let mut all = Vec::new();
    let mut from = 0.0;
    while from < long {
        let half = random.between(HALF_LENGTH_MM.0, HALF_LENGTH_MM.1).min(0.5 * long);
        let wide = random.between(HALF_WIDTH_MM.0, HALF_WIDTH_MM.1);
        let lean = random.between(LEAN.0, LEAN.1);
        let middle = (from + half).min(long - half);
        from += APART * half;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held")]
        let column = |x: f64| (x / step).round().clamp(0.0, number(line.len())) as usize;
        let (low, high) = (column(middle - half), column(middle + half));
        let beside = room.get(low..high).unwrap_or_default();
        let wide = wide.min(OF_ROOM * beside.iter().copied().fold(f64::INFINITY, f64::min));
        if wide < LEAST_MM {
            continue;
        }
        // What lies t across slides by about sin(2 arctan τ)·t·a/b.
        let turn = 0.5 * lean * wide / half;
        let low = low.saturating_sub(SPARE);
        let own = line.get(low..(high + SPARE).min(line.len())).unwrap_or_default();
        let place = i64::try_from(first + low).unwrap_or(0);
        let middle = ground.x(first) + middle;
        all.push(Drag::new(ground.lattice, place, own.to_vec(), middle, [half, wide], sign * turn));
    }
    all
}
