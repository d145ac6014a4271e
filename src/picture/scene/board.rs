//! The board: its area, its box, what lies on it and how deep.

use super::input::{Outline, SceneError};
use crate::flow::series::{cos_turns, sin_turns};

/// Points the inside of the board is sampled with, about.
const GRID_POINTS: f64 = 3600.0;
/// A board is long whose longest edge is so much of the side of a square of its area.
const LONG: f64 = 1.3;

/// A board or a set of counters, corners in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    outlines: Vec<Outline>,
    box_mm: [f64; 4],
    area_mm2: f64,
    inside: Vec<[f64; 2]>,
}

impl Board {
    /// Takes the outlines as they are.
    ///
    /// # Errors
    /// [`SceneError::NoBoard`] where nothing is left to pour on.
    pub fn new(outlines: Vec<Outline>) -> Result<Self, SceneError> {
        let mut box_mm = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for [x, y] in outlines.iter().flat_map(|o| o.outer.iter().copied()) {
            box_mm = [box_mm[0].min(x), box_mm[1].min(y), box_mm[2].max(x), box_mm[3].max(y)];
        }
        let area_mm2: f64 = outlines
            .iter()
            .map(|o| {
                ring_area(&o.outer).abs() - o.holes.iter().map(|h| ring_area(h).abs()).sum::<f64>()
            })
            .sum();
        let (wide, high) = (box_mm[2] - box_mm[0], box_mm[3] - box_mm[1]);
        if !(area_mm2 > 1.0 && wide > 0.0 && high > 0.0) {
            return Err(SceneError::NoBoard);
        }
        let mut board = Self { outlines, box_mm, area_mm2, inside: Vec::new() };
        let pitch = (area_mm2 / GRID_POINTS).sqrt();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held to 4000")]
        let count = |length: f64| (length / pitch).ceil().clamp(1.0, 4000.0) as u32;
        let (columns, rows) = (count(wide), count(high));
        for row in 0..rows {
            for column in 0..columns {
                let p = [
                    box_mm[0] + wide * (f64::from(column) + 0.5) / f64::from(columns),
                    box_mm[1] + high * (f64::from(row) + 0.5) / f64::from(rows),
                ];
                if board.contains(p) {
                    board.inside.push(p);
                }
            }
        }
        if board.inside.is_empty() {
            return Err(SceneError::NoBoard);
        }
        Ok(board)
    }

    /// Least x, least y, greatest x, greatest y, mm.
    #[must_use]
    pub fn box_mm(&self) -> [f64; 4] {
        self.box_mm
    }

    /// Area less cut-outs, mm².
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        self.area_mm2
    }

    /// The outlines.
    #[must_use]
    pub fn outlines(&self) -> &[Outline] {
        &self.outlines
    }

    /// Whether a point lies on it (even–odd).
    #[must_use]
    pub fn contains(&self, p: [f64; 2]) -> bool {
        self.outlines.iter().any(|o| {
            ring_contains(&o.outer, p) && !o.holes.iter().any(|hole| ring_contains(hole, p))
        })
    }

    /// Squared distance to the nearest edge, mm².
    pub(crate) fn depth2(&self, p: [f64; 2]) -> f64 {
        let rings = self.outlines.iter().flat_map(|o| core::iter::once(&o.outer).chain(&o.holes));
        rings
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
            .map(|(a, b)| to_segment2(p, *a, *b))
            .fold(f64::INFINITY, f64::min)
    }

    /// The direction of its longest edge, turns from 0 to 0.5, if it is long for its area.
    pub(crate) fn long_side(&self) -> Option<f64> {
        let edges = self.outlines.iter().flat_map(|o| {
            let ring = &o.outer;
            ring.iter().zip(ring.iter().cycle().skip(1))
        });
        let [dx, dy] = edges
            .map(|(a, b)| [b[0] - a[0], b[1] - a[1]])
            .max_by(|a, b| (a[0] * a[0] + a[1] * a[1]).total_cmp(&(b[0] * b[0] + b[1] * b[1])))?;
        let length = (dx * dx + dy * dy).sqrt();
        (length > LONG * self.area_mm2.sqrt()).then(|| turn_of([dx / length, dy / length]))
    }

    /// A sampled point of the inside, from a number in [0, 1).
    pub(crate) fn pick_inside(&self, unit: f64) -> [f64; 2] {
        pick_from(&self.inside, unit)
    }
}

/// The turn (0 to 0.5) of a line's direction, to a thousandth, by search: no arc tangent needed.
fn turn_of(along: [f64; 2]) -> f64 {
    let mut best = (0.0, -1.0);
    for step in 0..500 {
        let turn = f64::from(step) / 1000.0;
        let hit = (cos_turns(turn) * along[0] + sin_turns(turn) * along[1]).abs();
        if hit > best.1 {
            best = (turn, hit);
        }
    }
    best.0
}

/// Signed area of a closed ring, mm².
fn ring_area(ring: &[[f64; 2]]) -> f64 {
    let twice: f64 = ring
        .iter()
        .zip(ring.iter().cycle().skip(1))
        .map(|([ax, ay], [bx, by])| ax * by - bx * ay)
        .sum();
    twice / 2.0
}

fn ring_contains(ring: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut inside = false;
    for ([ax, ay], [bx, by]) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if (*ay > y) != (*by > y) && x < ax + (bx - ax) * (y - ay) / (by - ay) {
            inside = !inside;
        }
    }
    inside
}

/// One of the points, by a number in [0, 1).
fn pick_from(points: &[[f64; 2]], unit: f64) -> [f64; 2] {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "below the length")]
    #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
    let index = (unit * points.len() as f64) as usize;
    points.get(index).or_else(|| points.first()).copied().unwrap_or_default()
}

/// Squared distance from `p` to the segment `a`–`b`.
fn to_segment2(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length2 = dx * dx + dy * dy;
    let along = (p[0] - a[0]) * dx + (p[1] - a[1]) * dy;
    let t = if length2 > 0.0 { (along / length2).clamp(0.0, 1.0) } else { 0.0 };
    distance2(p, [a[0] + t * dx, a[1] + t * dy])
}

fn distance2(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ell() -> Outline {
        Outline {
            outer: vec![
                [0.0, 0.0],
                [2000.0, 0.0],
                [2000.0, 600.0],
                [600.0, 600.0],
                [600.0, 1800.0],
                [0.0, 1800.0],
            ],
            holes: vec![vec![[900.0, 100.0], [1400.0, 100.0], [1400.0, 450.0], [900.0, 450.0]]],
        }
    }

    #[test]
    fn area_and_depth_are_those_of_the_outlines() {
        let board = Board::new(vec![ell()]).expect("a board");
        assert!((board.area_mm2() - (2000.0 * 600.0 + 600.0 * 1200.0 - 175_000.0)).abs() < 1e-6);
        assert!(board.contains([300.0, 1500.0]) && !board.contains([1000.0, 200.0]));
        assert!(
            (board.depth2([150.0, 1500.0]) - 150.0 * 150.0).abs() < 1e-9,
            "from the arm's side"
        );
        assert!((board.depth2([1000.0, 110.0]) - 100.0).abs() < 1e-9, "in the cut-out");
    }

    #[test]
    fn nothing_to_pour_on_is_said() {
        assert_eq!(Board::new(vec![]), Err(SceneError::NoBoard));
        let line = Outline { outer: vec![[0.0, 0.0], [5.0, 0.0]], holes: vec![] };
        assert_eq!(Board::new(vec![line]), Err(SceneError::NoBoard));
    }
}
