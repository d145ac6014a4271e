//! How a film settles: its last movements, when all is poured.
//!
//! A board that is tilted and set level again, or a counter that a hand breathes over, moves its film in eddies, large and
//! small. None crosses an edge by much: what has run over it does not come back. So the board's own shape stays, and what
//! was poured beside one another from end to end of it still reaches from end to end.

use super::board::Board;
use super::input::RibbonPath;
use crate::flow::series::{cos_turns, sin_turns};
use crate::flow::{Map, Random, Rotation, Vortex};

/// Eddies of about one size.
struct Eddies {
    /// Half their width across the streams, mm.
    half_mm: (f64, f64),
    /// So many times as long along them.
    longer: (f64, f64),
    /// The tangent of half the angle turned in their middle.
    half_tangent: (f64, f64),
    /// So many times over they cover the board together.
    cover: f64,
}

/// From the small ones, that the larger carry along, to the largest. (Sizes and strengths by eye; no source.)
const SIZES: [Eddies; 3] = [
    Eddies { half_mm: (50.0, 100.0), longer: (1.0, 1.8), half_tangent: (0.2, 0.55), cover: 0.6 },
    Eddies { half_mm: (100.0, 180.0), longer: (1.0, 1.8), half_tangent: (0.2, 0.5), cover: 1.0 },
    Eddies { half_mm: (180.0, 320.0), longer: (1.0, 1.5), half_tangent: (0.2, 0.45), cover: 3.0 },
];
/// Longer than that is not taken in hands, mm, and its film turns by so much less (common practice, no source).
const IN_HANDS_MM: f64 = 1000.0;
const FIXED: f64 = 0.65;
/// As far over an edge as an eddy reaches, mm.
const OVER_MM: f64 = 60.0;
/// One that is cut back to less than so much of the least of its size is none.
const CUT_BACK: f64 = 0.6;
/// How far an eddy's length may point away from the streams, turns.
const ASKEW: f64 = 0.06;
/// So many places are asked for each, and the one furthest from the others taken (Mitchell 1991, "Spectrally optimal
/// sampling for distribution ray tracing": the best candidate).
const CANDIDATES: usize = 8;
/// Most eddies of a size.
const MOST: usize = 1000;
/// Places of a rim that are held over the board.
const RIM: u8 = 24;

/// The last movements: the plane of the pour is turned onto the board's, then the film turns in eddies.
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
    // A board is taken in both hands and tilted, a counter is not.
    let [x0, y0, x1, y1] = board.box_mm();
    let in_hands = (x1 - x0).max(y1 - y0) <= IN_HANDS_MM;
    let stir = if in_hands { stir } else { FIXED * stir };
    let mut moves = vec![Map::Rotation(Rotation { along: unit(direction) })];
    for size in &SIZES {
        let mut left = size.cover * board.area_mm2();
        let mut centres: Vec<[f64; 2]> = Vec::new();
        while left > 0.0 && centres.len() < MOST {
            let centre = furthest(board, &centres, &mut random);
            centres.push(centre);
            let wide = random.between(size.half_mm.0, size.half_mm.1);
            let half = [wide * random.between(size.longer.0, size.longer.1), wide];
            let along = unit(direction + ASKEW * random.bell());
            let turn = (size.half_tangent.0 * stir, size.half_tangent.1 * stir);
            let eddy = eddy(centre, half, along, turn, &mut random);
            let fit = fit(board, &eddy);
            let half = half.map(|h| fit * h);
            left -= core::f64::consts::PI * half[0] * half[1];
            if half[1] > CUT_BACK * size.half_mm.0 {
                moves.push(Map::Vortex(Vortex { half, ..eddy }));
            }
        }
    }
    moves
}

/// An eddy about `centre`, the tangent of half its angle drawn between bounds, one way round or the other.
fn eddy(
    centre: [f64; 2],
    half: [f64; 2],
    along: [f64; 2],
    half_tangent: (f64, f64),
    random: &mut Random,
) -> Vortex {
    let sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
    let half_tangent = sign * random.between(half_tangent.0, half_tangent.1);
    Vortex { centre, half, along, half_tangent }
}

/// A place on the board far from others.
fn furthest(board: &Board, others: &[[f64; 2]], random: &mut Random) -> [f64; 2] {
    let mut best = ([0.0; 2], -1.0);
    for _ in 0..CANDIDATES {
        let place = board.pick_inside(random.unit());
        let away = others.iter().map(|other| {
            let [dx, dy] = [place[0] - other[0], place[1] - other[1]];
            dx * dx + dy * dy
        });
        let away = away.fold(f64::INFINITY, f64::min);
        if away > best.1 {
            best = (place, away);
        }
    }
    best.0
}

/// How large an eddy may be, as a share of itself, for its rim to stay over the board or a little beside it.
fn fit(board: &Board, eddy: &Vortex) -> f64 {
    let ([a, b], [x, y]) = (eddy.half, eddy.along);
    let mut fit: f64 = 1.0;
    for k in 0..RIM {
        let [u, v] = unit(f64::from(k) / f64::from(RIM));
        let rim = [a * u * x - b * v * y, a * u * y + b * v * x];
        let held = |fit: f64| {
            let p = [eddy.centre[0] + fit * rim[0], eddy.centre[1] + fit * rim[1]];
            board.contains(p) || board.depth2(p) < OVER_MM * OVER_MM
        };
        while fit > 0.1 && !held(fit) {
            fit *= 0.95;
        }
    }
    fit
}

fn unit(turns: f64) -> [f64; 2] {
    [cos_turns(turns), sin_turns(turns)]
}

#[cfg(test)]
mod tests {
    use super::super::input::Outline;
    use super::*;

    #[test]
    fn nothing_far_from_a_counter_moves_and_something_on_it_does() {
        let outer = [[0.0, 0.0], [3000.0, 0.0], [3000.0, 650.0], [650.0, 650.0]];
        let outer = [&outer[..], &[[650.0, 2500.0], [0.0, 2500.0]]].concat();
        let sink = vec![[1300.0, 90.0], [2000.0, 90.0], [2000.0, 540.0], [1300.0, 540.0]];
        let board = Board::new(vec![Outline { outer, holes: vec![sink] }]).expect("a board");
        for seed in 0..20 {
            let moves = last_moves(&board, 0.0, RibbonPath::Wander, Random::new(seed));
            let after = |p| moves.iter().fold(p, |at, map| map.forward(at));
            // Between two places that are held a rim may stand out a little.
            for still in [[1650.0, 315.0], [750.0, 750.0], [2000.0, 1500.0], [-75.0, 1000.0]] {
                let [x, y] = after(still);
                let off = (x - still[0]).abs().max((y - still[1]).abs());
                assert!(off < 1e-9, "{seed}: {still:?} moved by {off} mm"); // it was turned by 0
            }
            let moved = (0..60).map(|k| {
                let place = [50.0 * f64::from(k), 60.0];
                let [x, y] = after(place);
                (x - place[0]).abs() + (y - place[1]).abs()
            });
            assert!(moved.fold(0.0, f64::max) > 20.0, "{seed}");
        }
    }
}
