//! The board as ground to pour on: its area, its box, and where in it a container belongs.

use super::input::{Outline, SceneError};

/// Points the inside of the board is sampled with, about.
const GRID_POINTS: f64 = 3600.0;

/// Share of the board that is poured on: its deepest part. What is poured there spreads and carries the first
/// film over the edges, as it does on a bench.
const CORE: f64 = 0.8;

/// A board or a set of counters, corners in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    outlines: Vec<Outline>,
    box_mm: [f64; 4],
    area_mm2: f64,
    inside: Vec<[f64; 2]>,
    core: Vec<[f64; 2]>,
}

/// A part of the board that one container is poured on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plot {
    /// Its middle, mm.
    pub(crate) centre: [f64; 2],
    /// Unit vector along the ground around it.
    pub(crate) along: [f64; 2],
    /// How far the ground around it reaches along and across, mm (twice the standard deviation each way).
    pub(crate) reach: [f64; 2],
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
        let mut board = Self { outlines, box_mm, area_mm2, inside: Vec::new(), core: Vec::new() };
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
        board.core = board.deepest(CORE);
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

    /// The share of the sampled inside that lies furthest from every edge.
    fn deepest(&self, share: f64) -> Vec<[f64; 2]> {
        let mut by_depth: Vec<(f64, [f64; 2])> =
            self.inside.iter().map(|p| (self.depth2(*p), *p)).collect();
        by_depth.sort_by(|a, b| b.0.total_cmp(&a.0));
        #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of it"
        )]
        let count = (by_depth.len() as f64 * share) as usize;
        by_depth.truncate(count.max(1));
        by_depth.into_iter().map(|(_, p)| p).collect()
    }

    /// Squared distance to the nearest edge, mm².
    fn depth2(&self, p: [f64; 2]) -> f64 {
        let rings = self.outlines.iter().flat_map(|o| core::iter::once(&o.outer).chain(&o.holes));
        rings
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
            .map(|(a, b)| to_segment2(p, *a, *b))
            .fold(f64::INFINITY, f64::min)
    }

    /// Cuts the board into plots of about equal area round the places given by `pick` (a number in [0, 1) each
    /// call), by Lloyd's rounds on the sampled inside.
    pub(crate) fn plots(&self, count: usize, mut pick: impl FnMut() -> f64) -> Vec<Plot> {
        let mut seats: Vec<[f64; 2]> = Vec::with_capacity(count);
        for _ in 0..count {
            // The best of a few places: the one furthest from the seats taken.
            let mut best = ([0.0; 2], -1.0);
            for _ in 0..6 {
                let p = pick_from(&self.core, pick());
                let gap = seats.iter().map(|s| distance2(*s, p)).fold(f64::INFINITY, f64::min);
                if gap > best.1 {
                    best = (p, gap);
                }
            }
            seats.push(best.0);
        }
        for _ in 0..6 {
            let mut sums = vec![[0.0_f64; 3]; seats.len()];
            for p in &self.core {
                if let Some(sum) = sums.get_mut(nearest(&seats, *p)) {
                    *sum = [sum[0] + p[0], sum[1] + p[1], sum[2] + 1.0];
                }
            }
            for (seat, sum) in seats.iter_mut().zip(sums) {
                if sum[2] > 0.0 {
                    *seat = [sum[0] / sum[2], sum[1] / sum[2]];
                }
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "at most thousands")]
        let plot_area = self.area_mm2 * CORE / count.max(1) as f64;
        seats.into_iter().map(|centre| self.ground_round(centre, plot_area)).collect()
    }

    /// A sampled point of the inside, from a number in [0, 1).
    pub(crate) fn pick_inside(&self, unit: f64) -> [f64; 2] {
        pick_from(&self.inside, unit)
    }

    /// The lie of the ground within reach of a stream that covers `plot_area` mm².
    fn ground_round(&self, centre: [f64; 2], plot_area: f64) -> Plot {
        let reach2 = plot_area * 1.6;
        let near = || self.core.iter().filter(|p| distance2(**p, centre) < reach2);
        let (mut sx, mut sy, mut n) = (0.0, 0.0, 0.0);
        for [x, y] in near() {
            sx += x;
            sy += y;
            n += 1.0;
        }
        if n < 3.0 {
            let side = plot_area.sqrt();
            return Plot { centre, along: [1.0, 0.0], reach: [side, side] };
        }
        let mean = [sx / n, sy / n];
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for [x, y] in near() {
            let (dx, dy) = (x - mean[0], y - mean[1]);
            xx += dx * dx / n;
            xy += dx * dy / n;
            yy += dy * dy / n;
        }
        let half = (xx + yy) / 2.0;
        let spread = ((xx - yy) * (xx - yy) / 4.0 + xy * xy).sqrt();
        let (large, small) = (half + spread, (half - spread).max(0.0));
        let raw = if xx >= yy { [large - yy, xy] } else { [xy, large - xx] };
        let norm = (raw[0] * raw[0] + raw[1] * raw[1]).sqrt();
        let along = if norm > 1e-9 { [raw[0] / norm, raw[1] / norm] } else { [1.0, 0.0] };
        Plot { centre, along, reach: [2.0 * large.sqrt(), 2.0 * small.sqrt()] }
    }
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

fn nearest(seats: &[[f64; 2]], p: [f64; 2]) -> usize {
    let mut best = (0, f64::INFINITY);
    for (index, seat) in seats.iter().enumerate() {
        let gap = distance2(*seat, p);
        if gap < best.1 {
            best = (index, gap);
        }
    }
    best.0
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
    fn plots_lie_on_the_board_and_along_its_arms() {
        let board = Board::new(vec![ell()]).expect("a board");
        assert!((board.area_mm2() - (2000.0 * 600.0 + 600.0 * 1200.0 - 175_000.0)).abs() < 1e-6);
        let mut random = crate::flow::Random::new(2);
        let plots = board.plots(9, || random.unit());
        assert_eq!(plots.len(), 9);
        let low = plots.iter().filter(|p| p.centre[1] > 1000.0).count();
        assert!((2..=5).contains(&low), "the arm gets its share, {low} of 9");
        let deep = plots.iter().max_by(|a, b| a.centre[1].total_cmp(&b.centre[1])).expect("a plot");
        assert!(deep.along[1].abs() > deep.along[0].abs(), "the arm runs down: {deep:?}");
    }

    #[test]
    fn nothing_to_pour_on_is_said() {
        assert_eq!(Board::new(vec![]), Err(SceneError::NoBoard));
        let line = Outline { outer: vec![[0.0, 0.0], [5.0, 0.0]], holes: vec![] };
        assert_eq!(Board::new(vec![line]), Err(SceneError::NoBoard));
    }
}
