//! Rows of pixels, and the exact coverage of polygons on them: how much of each pixel the board takes.
//!
//! Each edge leaves, in the pixels it crosses, the signed area between it and the pixels' right sides; a running
//! sum along the row turns these into coverage (the accumulation buffer of scan conversion).

/// A strip of rows, `N` numbers a pixel.
pub(super) struct Strip<const N: usize> {
    pub(super) width: usize,
    pub(super) first_row: isize,
    pub(super) rows: usize,
    pub(super) cells: Vec<[f32; N]>,
}

/// Two more cells a row, for what is left of an edge at the right side.
pub(super) const SPARE: usize = 2;

impl<const N: usize> Strip<N> {
    pub(super) fn new(width: usize, first_row: isize, rows: usize) -> Self {
        Self { width, first_row, rows, cells: vec![[0.0; N]; (width + SPARE) * rows] }
    }

    /// Makes it such a one, all nought, in the memory that it has.
    pub(super) fn renew(&mut self, width: usize, first_row: isize, rows: usize) {
        (self.width, self.first_row, self.rows) = (width, first_row, rows);
        self.cells.clear();
        self.cells.resize((width + SPARE) * rows, [0.0; N]);
    }

    /// Adds the edge from `a` to `b` (pixels) of a region that holds `weight` more than what is around it. The
    /// region's corners go from x towards y (its shoelace area is positive).
    #[inline(always)]
    pub(super) fn add_edge(&mut self, a: [f32; 2], b: [f32; 2], weight: &[f32; N]) {
        #[expect(clippy::cast_precision_loss, reason = "rows of a picture")]
        let (top, bottom) = (self.first_row as f32, (self.first_row + self.rows as isize) as f32);
        let (sign, p, q) = if a[1] < b[1] { (-1.0, a, b) } else { (1.0, b, a) };
        if q[1] <= top || p[1] >= bottom || p[1] == q[1] {
            return;
        }
        let slope = (q[0] - p[0]) / (q[1] - p[1]);
        let (mut x, mut y) = (p[0], p[1]);
        if y < top {
            x += slope * (top - y);
            y = top;
        }
        let end = if q[1] < bottom { q[1] } else { bottom };
        #[expect(clippy::cast_precision_loss, reason = "columns of a picture")]
        let right = self.width as f32;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within the strip"
        )]
        let mut row = (y - top) as usize;
        let stride = self.width + SPARE;
        while y < end && row < self.rows {
            #[expect(clippy::cast_precision_loss, reason = "rows of a picture")]
            let row_end = top + (row + 1) as f32;
            let y_next = if row_end < end { row_end } else { end };
            let x_next = x + slope * (y_next - y);
            let height = sign * (y_next - y);
            if let Some(cells) = self.cells.get_mut(row * stride..(row + 1) * stride) {
                let (low, high) = if x < x_next { (x, x_next) } else { (x_next, x) };
                add_span(cells, low, high, right, height, weight);
            }
            x = x_next;
            y = y_next;
            row += 1;
        }
    }
}

/// One edge within one row, from column `low` to `high`, `height` of the row tall.
#[inline(always)]
fn add_span<const N: usize>(
    cells: &mut [[f32; N]],
    low: f32,
    high: f32,
    right: f32,
    height: f32,
    weight: &[f32; N],
) {
    // Beyond the left side everything is to the right of the edge; beyond the right side nothing is.
    let low = clamp(low, right);
    let high = clamp(high, right);
    if low >= right {
        return;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to the width")]
    let (first, last) = (low as usize, high as usize);
    #[expect(clippy::cast_precision_loss, reason = "columns of a picture")]
    let base = first as f32;
    if first == last {
        let spill = ((low + high) * 0.5 - base) * height;
        if let Some([here, next, ..]) = cells.get_mut(first..) {
            add(here, weight, height - spill);
            add(next, weight, spill);
        }
        return;
    }
    // Area to the right of the edge, column by column, as differences.
    let per = height / (high - low);
    let mut before = 0.0;
    let mut covered = 0.0;
    for column in first..=last {
        #[expect(clippy::cast_precision_loss, reason = "columns of a picture")]
        let (left_side, right_side) = (column as f32, (column + 1) as f32);
        let from = if low > left_side { low } else { left_side };
        let to = if high < right_side { high } else { right_side };
        let step = per * (to - from);
        let inside = covered + step * (right_side - (from + to) * 0.5);
        covered += step;
        if let Some(cell) = cells.get_mut(column) {
            add(cell, weight, inside - before);
        }
        before = inside;
    }
    if let Some(cell) = cells.get_mut(last + 1) {
        add(cell, weight, height - before);
    }
}

#[inline(always)]
fn clamp(x: f32, right: f32) -> f32 {
    let x = if x > 0.0 { x } else { 0.0 };
    if x < right { x } else { right }
}

#[inline(always)]
fn add<const N: usize>(cell: &mut [f32; N], weight: &[f32; N], by: f32) {
    for (c, w) in cell.iter_mut().zip(weight) {
        *c += w * by;
    }
}

/// Turns differences into values along every row, starting each from `left`.
#[inline(always)]
pub(super) fn sum_rows<const N: usize>(strip: &mut Strip<N>, left: &[f32; N]) {
    for row in strip.cells.chunks_exact_mut(strip.width + SPARE) {
        let mut sum = *left;
        for cell in row {
            for (s, c) in sum.iter_mut().zip(cell.iter_mut()) {
                *s += *c;
                *c = *s;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draw(points: &[[f32; 2]], width: usize, first_row: isize, rows: usize) -> Strip<1> {
        let mut strip = Strip::new(width, first_row, rows);
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            strip.add_edge(*a, *b, &[1.0]);
        }
        sum_rows(&mut strip, &[0.0]);
        strip
    }

    /// Coverage of a convex polygon by a fine grid of samples.
    fn sampled(points: &[[f32; 2]], column: usize, row: usize) -> f32 {
        let n = 40_u16;
        let mut hits = 0_u16;
        for i in 0..n {
            for j in 0..n {
                let x = column as f32 + (f32::from(i) + 0.5) / f32::from(n);
                let y = row as f32 + (f32::from(j) + 0.5) / f32::from(n);
                let inside = points
                    .iter()
                    .zip(points.iter().cycle().skip(1))
                    .all(|(a, b)| (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) > 0.0);
                hits += u16::from(inside);
            }
        }
        f32::from(hits) / f32::from(n * n)
    }

    #[test]
    fn coverage_is_the_area_inside_each_pixel() {
        let points = [[1.3, 0.4], [8.6, 2.2], [6.1, 6.7], [2.2, 5.1]];
        let strip = draw(&points, 10, 0, 8);
        for row in 0..8 {
            for column in 0..10 {
                let got = strip.cells[row * 12 + column][0];
                let want = sampled(&points, column, row);
                assert!((got - want).abs() < 0.02, "({column},{row}): {got} {want}");
            }
        }
    }

    #[test]
    fn a_strip_and_a_cut_see_the_same() {
        let points = [[-3.0, -2.0], [14.0, 3.0], [7.0, 11.0], [-1.0, 6.0]];
        let whole = draw(&points, 10, 0, 8);
        let part = draw(&points, 10, 3, 2);
        for row in 0..2 {
            for column in 0..10 {
                let (a, b) =
                    (part.cells[row * 12 + column][0], whole.cells[(row + 3) * 12 + column][0]);
                assert!((a - b).abs() < 1e-5, "({column},{row}): {a} {b}");
            }
        }
    }

    #[test]
    fn junk_leaves_no_trap() {
        let mut strip = Strip::<1>::new(4, 0, 4);
        for bad in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY, 1e30] {
            strip.add_edge([bad, 1.0], [2.0, 3.0], &[1.0]);
            strip.add_edge([1.0, bad], [2.0, 3.0], &[1.0]);
        }
    }
}
