//! How a film settles: its last movements, when all is poured.

use super::board::Board;
use super::input::RibbonPath;
use crate::flow::series::{cos_turns, sin_turns};
use crate::flow::{Map, Random, Rotation, Vortex, tilt};

/// Longer than that is not taken in hands, mm, and so much less stirred (common practice, no source).
const IN_HANDS_MM: f64 = 1000.0;
const FIXED: f64 = 0.65;

/// The last movements: the plane of the pour is turned onto the board's, the film turns here and there, then the
/// board is tilted and set level.
pub(super) fn last_moves(
    board: &Board,
    direction: f64,
    path: RibbonPath,
    mut random: Random,
) -> Vec<Map> {
    // A board poured in long even passes is not stirred about much afterwards.
    let stir = match path {
        RibbonPath::Sweep => 0.8,
        RibbonPath::Drift => 1.0,
        RibbonPath::Wander => 1.15,
    };
    // A board is taken in both hands and tilted, a counter is not: its film moves by what is poured and by a hand's breath.
    let [x0, y0, x1, y1] = board.box_mm();
    let in_hands = (x1 - x0).max(y1 - y0) <= IN_HANDS_MM;
    let stir = if in_hands { stir } else { FIXED * stir };
    let along = [cos_turns(direction), sin_turns(direction)];
    let mut moves = vec![Map::Rotation(Rotation { along })];
    // One turn for each square as wide as three hands, as large as the edges let it be.
    let area = board.area_mm2();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 1000")]
    let turns = (area / 40_000.0).round().clamp(1.0, 1000.0) as usize + 1;
    for _ in 0..turns {
        let centre = board.pick_inside(random.unit());
        let room = 1.1 * board.depth2(centre).sqrt();
        let radius = random.between(90.0, 330.0).min(room);
        moves.push(turn_about(centre, radius, (0.14 * stir, 0.5 * stir), &mut random));
    }
    let scaled = |lengths: &[f64], random: &mut Random| -> Vec<f64> {
        lengths.iter().map(|l| l * random.between(0.85, 1.18)).collect()
    };
    // Tilted across the ribbons they bend, tilted along them what crosses them leans. Each wave comes from a side of its
    // own: where they meet they grow and fade, so that none runs on through the whole board.
    for (length, side) in [(520.0, 0.0), (330.0, 0.07), (210.0, -0.08)] {
        let wave = scaled(&[length], &mut random);
        let way = direction + 0.25 + side + 0.05 * random.bell();
        moves.extend(tilt(way, &wave, 0.14 * stir, || random.bell() * 0.7));
    }
    for (length, side) in [(360.0, 0.05), (230.0, -0.06)] {
        let wave = scaled(&[length], &mut random);
        let way = direction + side + 0.05 * random.bell();
        moves.extend(tilt(way, &wave, 0.1 * stir, || random.bell() * 0.7));
    }
    // Ripples.
    for (length, side) in [(130.0, 0.13), (95.0, -0.13)] {
        let ripple = scaled(&[length], &mut random);
        let way = direction + side + 0.05 * random.bell();
        moves.extend(tilt(way, &ripple, 0.045, || random.bell() * 0.7));
    }
    moves
}

/// A turn about `centre` of a radius, mm, the tangent of half its angle drawn between bounds.
pub(super) fn turn_about(
    centre: [f64; 2],
    radius: f64,
    half_tangent: (f64, f64),
    random: &mut Random,
) -> Map {
    let sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
    let half_tangent = sign * random.between(half_tangent.0, half_tangent.1);
    Map::Vortex(Vortex { centre, radius2: radius * radius, half_tangent })
}
