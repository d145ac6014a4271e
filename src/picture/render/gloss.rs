//! Gloss: a window of the room, mirrored in the film.

use crate::picture::scene::Board;

/// What a face of resin mirrors of light that falls on it steeply (Fresnel, n = 1.5: ((n − 1)/(n + 1))²), times how much
/// brighter than white paper a window is, about (common practice, no source).
const MIRRORED: f32 = 0.04 * 10.0;
/// Of the room beside the window.
const ROOM: f32 = 0.04 * 0.3;
/// The window's size as a share of the board's smaller side, and how it leans.
const WIDE: f64 = 0.24;
const HIGH: f64 = 0.44;
const LEAN: f64 = -0.22;
/// Width of its edges and of the bars between its panes, as a share of its half.
const EDGE: f32 = 0.05;
const BAR: f32 = 0.05;
/// How much less its lower end shows than its upper: trees and houses stand before the sky there.
const FADE: f32 = 0.45;

/// Where a window is seen in the film.
pub(super) struct Window {
    centre: [f64; 2],
    per_mm: [f64; 2],
}

impl Window {
    /// A window seen where the board is broad.
    pub(super) fn over(board: &Board) -> Self {
        let [x0, y0, x1, y1] = board.box_mm();
        let side = if x1 - x0 < y1 - y0 { x1 - x0 } else { y1 - y0 };
        // Of some places on the board the one deepest inside.
        let mut centre = [f64::midpoint(x0, x1), f64::midpoint(y0, y1)];
        let mut deepest = if board.contains(centre) { board.depth2(centre) } else { 0.0 };
        for k in 0..32 {
            let place = board.pick_inside((f64::from(k) + 0.5) / 32.0);
            if board.depth2(place) > 1.2 * deepest {
                (centre, deepest) = (place, board.depth2(place));
            }
        }
        // No larger than what is there to mirror it.
        let side = side.min(2.4 * deepest.sqrt()).max(1.0);
        Self { centre, per_mm: [2.0 / (WIDE * side), 2.0 / (HIGH * side)] }
    }

    /// How much of white is mirrored at a place, mm, where the film's lean carries the window off by `sway` mm.
    #[inline(always)]
    pub(super) fn light(&self, p: [f64; 2], sway: [f64; 2]) -> f32 {
        let [x, y] = [0, 1].map(|k| p[k] + sway[k] - self.centre[k]);
        #[expect(clippy::cast_possible_truncation, reason = "the picture is computed in f32")]
        let [u, v] = [((x + LEAN * y) * self.per_mm[0]) as f32, (y * self.per_mm[1]) as f32];
        let within = |t: f32, half: f32| {
            let t = (half - t.abs()) / EDGE + 0.5;
            let t = if t > 0.0 { t } else { 0.0 };
            let t = if t < 1.0 { t } else { 1.0 };
            t * t * (3.0 - 2.0 * t)
        };
        // Two panes wide and three high.
        let bars = [within(u, BAR), within(v - 1.0 / 3.0, BAR), within(v + 1.0 / 3.0, BAR)];
        let whole = within(u, 1.0) * within(v, 1.0);
        let panes = bars.into_iter().fold(whole, |light, bar| light * (1.0 - bar));
        ROOM + (MIRRORED - ROOM) * panes * (1.0 - FADE * 0.5 * (1.0 + v))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::scene::Outline;

    #[test]
    fn the_window_lies_on_the_board_and_the_rest_mirrors_the_room() {
        // An L whose box's middle is beside it.
        let outer = vec![
            [0.0, 0.0],
            [2000.0, 0.0],
            [2000.0, 300.0],
            [300.0, 300.0],
            [300.0, 1500.0],
            [0.0, 1500.0],
        ];
        let board = Board::new(vec![Outline { outer, holes: vec![] }]).expect("a board");
        let window = Window::over(&board);
        assert!(board.contains(window.centre), "{:?}", window.centre);
        let pane = |u: f64, v: f64| {
            [
                window.centre[0] + u / window.per_mm[0] - LEAN * v / window.per_mm[1],
                window.centre[1] + v / window.per_mm[1],
            ]
        };
        let [upper, lower] = [-0.6, 0.6].map(|v| window.light(pane(0.5, v), [0.0; 2]));
        assert!(MIRRORED > upper && upper > lower && lower > 5.0 * ROOM, "{upper} {lower}");
        assert!(window.light(window.centre, [0.0; 2]) < 0.5 * lower, "the bars");
        let away = [window.centre[0] + 3.0 / window.per_mm[0], window.centre[1]];
        assert!((window.light(away, [0.0; 2]) - ROOM).abs() < 1e-6, "the room");
    }
}
