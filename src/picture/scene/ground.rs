//! The ground that a pour covers: the board and as much beside it as the fluid reaches, column by column.
//!
//! The pour is laid in a plane of its own, before the last movements of the film; there the board has the shape that they
//! make of it, and where they end each of its places is covered. How far beyond its edges the fluid goes follows from
//! its volume: all that is at least so deep inside (or at most so far outside) that the areas agree.

use super::board::Board;
use crate::flow::{Back, Lattice, Map};

/// Most places that depths are asked at.
const MOST_PLACES: f64 = 60_000.0;
/// Columns from one such place to the next; between them depths are straight lines.
const APART: usize = 4;
/// So far beyond the board's edges the fluid is to go, if it can, mm.
const SPARE_MM: f64 = 6.0;
/// What would be left for the next strip at a stretch's end is taken along if it is no more, mm.
const SLIVER_MM: f64 = 40.0;
/// Wider gaps that are poured over where there is fluid enough, though not for all.
const WIDER: f64 = 2.5;
/// What lies further beyond the board than that is covered for the margin's sake alone, mm.
const TIP_MM: f64 = 6.0;
/// A shorter stretch is none, mm.
const LEAST_MM: f64 = 4.0;
/// Columns to each side that are covered as well: a spline's coefficient acts two steps far, and the board is not to
/// feel where what is laid ends.
const FELT: usize = 2;

/// Ground to pour on, column by column.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    /// The columns' places along x.
    pub(super) lattice: Lattice,
    /// Number of columns.
    pub(super) columns: usize,
    /// Where along y each column is ground, from and to, mm, upwards.
    runs: Vec<Vec<[f64; 2]>>,
    /// How deep inside the board its places lie.
    depths: Depths,
}

impl Ground {
    /// The ground of `area` mm² in and around the board, as it lies before `moves`, in columns about `step` mm apart. Gaps
    /// along y are poured over: all where `area` is enough for that, else those shorter than `bridged` mm.
    pub(super) fn new(board: &Board, moves: &[Map], area: f64, step: f64, bridged: f64) -> Self {
        let [x0, y0, x1, y1] = board.box_mm();
        let (wide, high) = (x1 - x0, y1 - y0);
        // The margin at which even the box with its margins would have the area.
        let half = 0.25 * (wide + high);
        let spare = (area - wide * high).max(0.0);
        let margin = (half * half + 0.25 * spare).sqrt() - half + 3.0 * step;
        let before = |p: [f64; 2]| {
            moves.iter().rev().fold(p, |at, map| match map.back(at) {
                Back::At(before) => before,
                Back::Came(_) => at,
            })
        };
        let mut span = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let (from, size) = ([x0 - margin, y0 - margin], [wide + 2.0 * margin, high + 2.0 * margin]);
        for i in 0..=60 {
            for j in 0..=60 {
                let at = [f64::from(i) / 60.0, f64::from(j) / 60.0];
                let [x, y] = before([0, 1].map(|k| from[k] + size[k] * at[k]));
                span = [span[0].min(x), span[1].min(y), span[2].max(x), span[3].max(y)];
            }
        }
        let (wide, high) = (span[2] - span[0], span[3] - span[1]);
        let apart = (number(APART) * step).max((wide * high / MOST_PLACES).sqrt());
        let step = apart / number(APART);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded")]
        let count = |length: f64| (length / apart).ceil().clamp(1.0, MOST_PLACES) as usize + 3;
        let (lines, cells) = (count(wide), count(high));
        let lattice = Lattice { origin: span[0] - apart, step };
        let bottom = span[1] - apart;
        let mut asked = Vec::with_capacity(lines * cells);
        for line in 0..lines {
            let x = lattice.origin + number(line) * apart;
            for cell in 0..cells {
                let y = bottom + number(cell) * apart;
                let p = moves.iter().fold([x, y], |at, map| map.forward(at));
                let depth = board.depth2(p).sqrt();
                asked.push(if board.contains(p) { depth } else { -depth });
            }
        }
        let columns = (lines - 1) * APART + 1;
        let at = |line: usize, cell: usize| asked.get(line * cells + cell).copied();
        let mut depths: Vec<f64> = Vec::with_capacity(columns * cells);
        for column in 0..columns {
            let (line, on) = (column / APART, number(column % APART) / number(APART));
            depths.extend((0..cells).map(|cell| {
                let (one, next) = (at(line, cell), at(line + 1, cell));
                let one = one.unwrap_or_default();
                one + on * (next.unwrap_or(one) - one)
            }));
        }
        for _ in 0..FELT {
            depths = widened(&depths, cells);
        }
        let depths = Depths { cells, bottom, apart, values: depths };
        // A gap is an end of lines that shows, so none is left where there is fluid enough to pour over it.
        let over = [f64::INFINITY, WIDER * bridged].map(|most| depths.runs_of(area / step, most));
        let enough = over.into_iter().find(|(reach, _)| *reach >= SPARE_MM);
        let runs = enough.unwrap_or_else(|| depths.runs_of(area / step, bridged)).1;
        Self { lattice, columns, runs, depths }
    }

    /// The lowest and the highest y of it, mm.
    pub(super) fn span(&self) -> [f64; 2] {
        self.runs.iter().flatten().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], [from, to]| {
            [if *from < a { *from } else { a }, if *to > b { *to } else { b }]
        })
    }

    /// The ground of a column from `low` up to `high`: where its first stretch begins and ends, mm. A stretch that would end
    /// a sliver later goes to its end, and one that would end a little after that goes on for a part of it: where columns
    /// end later and later, what is left grows as a wedge, without a step.
    pub(super) fn stretch(&self, column: usize, low: f64, high: f64) -> Option<[f64; 2]> {
        let runs = self.runs.get(column)?.iter();
        let upto = |to: f64| {
            let rest = to - high;
            high + rest.min((0.5 * (3.0 * SLIVER_MM - rest)).max(0.0))
        };
        runs.take_while(|[from, _]| *from < high)
            .map(|[from, to]| [from.max(low), upto(*to)])
            .find(|[from, to]| to - from > LEAST_MM)
    }

    /// Whether the ground of a column ends there.
    pub(super) fn ends_at(&self, column: usize, y: f64) -> bool {
        let mut runs = self.runs.get(column).into_iter().flatten();
        runs.any(|[_, to]| to.total_cmp(&y).is_eq())
    }

    /// Whether any place of a column from `low` to `high` comes to lie on the board or just beside it.
    pub(super) fn shows(&self, column: usize, [low, high]: [f64; 2]) -> bool {
        let cells = self.depths.values.chunks(self.depths.cells).nth(column);
        let mut cells = cells.into_iter().flatten().enumerate();
        cells.any(|(cell, depth)| {
            let y = self.depths.y(number(cell));
            *depth > -TIP_MM && y > low - self.depths.apart && y < high + self.depths.apart
        })
    }

    /// x of a column, mm.
    pub(super) fn x(&self, column: usize) -> f64 {
        self.lattice.origin + number(column) * self.lattice.step
    }
}

/// How deep inside the board (above 0) or how far outside (below 0) places lie, mm, column by column.
#[derive(Debug, Clone)]
struct Depths {
    cells: usize,
    bottom: f64,
    apart: f64,
    values: Vec<f64>,
}

impl Depths {
    /// y of a cell, mm.
    fn y(&self, cell: f64) -> f64 {
        self.bottom + cell * self.apart
    }

    /// The columns' ground where it is so long in all, mm, and how far outside the board it reaches.
    fn runs_of(&self, length: f64, bridged: f64) -> (f64, Vec<Vec<[f64; 2]>>) {
        let widest = self.values.iter().fold(0.0_f64, |most, d| most.max(d.abs())) + self.apart;
        let (mut low, mut high) = (-widest, widest);
        let mut runs = Vec::new();
        for _ in 0..32 {
            let reach = f64::midpoint(low, high);
            runs = self.values.chunks(self.cells).map(|c| self.runs(c, reach, bridged)).collect();
            let sum: f64 = runs.iter().flatten().map(|[from, to]| to - from).sum();
            if sum < length { low = reach } else { high = reach }
        }
        (high, runs)
    }

    /// Where one column lies at most `reach` outside, with gaps shorter than `bridged` filled.
    fn runs(&self, column: &[f64], reach: f64, bridged: f64) -> Vec<[f64; 2]> {
        let mut runs: Vec<[f64; 2]> = Vec::new();
        // Cells are counted from one before the first.
        let y = |cell: f64| self.y(cell - 1.0);
        // Beyond the first and the last cell there is none.
        let inside = |cell: usize| match cell.checked_sub(1).and_then(|c| column.get(c)) {
            Some(depth) => depth + reach,
            None => -self.apart,
        };
        for cell in 0..=column.len() {
            let (a, b) = (inside(cell), inside(cell + 1));
            let crossing = y(number(cell) + a / (a - b));
            match (a >= 0.0, b >= 0.0) {
                (false, true) => match runs.last_mut() {
                    Some(last) if crossing - last[1] < bridged => last[1] = f64::INFINITY,
                    _ => runs.push([crossing, f64::INFINITY]),
                },
                (true, false) => {
                    if let Some(last) = runs.last_mut() {
                        last[1] = crossing;
                    }
                }
                _ => {}
            }
        }
        runs.retain(|[_, to]| to.is_finite());
        if runs.len() > 1 {
            // The tip of a margin that overhangs has no board to cover.
            let board = |[from, to]: &[f64; 2]| {
                let cells = column.iter().enumerate().filter(|(_, depth)| **depth > -TIP_MM);
                cells.map(|(cell, _)| y(number(cell + 1))).any(|y| *from <= y && y <= *to)
            };
            runs.retain(board);
        }
        runs
    }
}

/// Every column as deep as the deepest of itself and its neighbours.
fn widened(depths: &[f64], cells: usize) -> Vec<f64> {
    let at = |index: Option<usize>| index.and_then(|i| depths.get(i)).copied();
    let own = depths.iter().enumerate();
    own.map(|(i, depth)| {
        let beside = [at(i.checked_sub(cells)), at(i.checked_add(cells))];
        beside.into_iter().flatten().fold(*depth, f64::max)
    })
    .collect()
}

/// A count of columns or cells, to compute with.
#[expect(clippy::cast_precision_loss, reason = "at most thousands")]
pub(super) fn number(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::super::input::Outline;
    use super::*;

    fn rectangle(wide: f64, high: f64, holes: Vec<Vec<[f64; 2]>>) -> Board {
        let outer = vec![[0.0, 0.0], [wide, 0.0], [wide, high], [0.0, high]];
        Board::new(vec![Outline { outer, holes }]).expect("a board")
    }

    #[test]
    fn a_rectangle_grows_by_an_even_margin() {
        let board = rectangle(600.0, 400.0, vec![]);
        // Two columns more to each side along x.
        let area = 700.0 * 460.0;
        let ground = Ground::new(&board, &[], area, 10.0, 100.0);
        let all: f64 = ground.runs.iter().flatten().map(|[from, to]| 10.0 * (to - from)).sum();
        assert!((all / area - 1.0).abs() < 1e-4, "{all}");
        let middle = ground.columns / 2;
        let [low, high] = ground.stretch(middle, -1e9, 1e9).expect("ground");
        // Corners are rounded by the margin, so it is a little more than 30.
        assert!((low + 31.0).abs() < 2.0 && (high - 431.0).abs() < 2.0, "{low} {high}");
    }

    #[test]
    fn what_lies_beside_the_board_does_not_show() {
        let board = rectangle(600.0, 400.0, vec![]);
        let ground = Ground::new(&board, &[], 700.0 * 460.0, 10.0, 100.0);
        let column = |x: f64| {
            (0..ground.columns).find(|k| ground.x(*k) >= x).expect("a column of the ground")
        };
        let (left, middle) = (column(-45.0), column(300.0));
        assert!(!ground.shows(left, [-1e3, 1e3]), "left of the board");
        assert!(ground.shows(middle, [200.0, 210.0]) && ground.shows(middle, [-50.0, 500.0]));
        assert!(!ground.shows(middle, [480.0, 600.0]), "above it");
    }

    #[test]
    fn a_sink_is_spared_and_a_tap_is_not() {
        let sink = vec![[200.0, 100.0], [400.0, 100.0], [400.0, 300.0], [200.0, 300.0]];
        let tap = vec![[480.0, 190.0], [510.0, 190.0], [510.0, 220.0], [480.0, 220.0]];
        let board = rectangle(600.0, 400.0, vec![sink, tap]);
        let ground = Ground::new(&board, &[], board.area_mm2(), 10.0, 100.0);
        let at = |x: f64| {
            let column = ((x - ground.lattice.origin) / 10.0).round();
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a column")]
            ground.stretch(column as usize, -1e9, 1e9).expect("ground")
        };
        let ([a, b], [c, d]) = (at(300.0), at(495.0));
        assert!(b < 115.0 && a < 15.0, "up to the sink: {a} {b}");
        assert!(d - c > 370.0, "across the tap: {c} {d}");
    }
}
