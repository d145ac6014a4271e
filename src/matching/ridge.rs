//! Along ridges: where ΔE00 has a crease (hues opposite, colours near neutral) its slopes mislead a
//! climb, and the simplex of J. A. Nelder and R. Mead (Comput. J. 7, 308, 1965) goes on without them.

/// Evaluations at most.
const MOST_LOOKS: usize = 400;
/// The first simplex's edge, and the smallest, in the coordinates' own units.
const EDGES: [f64; 2] = [0.5, 1e-6];

/// From `start` to a lower point of `height`; coordinates are free.
pub(super) fn descended<const N: usize>(
    start: [f64; N],
    mut height: impl FnMut(&[f64; N]) -> f64,
) -> ([f64; N], f64) {
    let mut corners: Vec<([f64; N], f64)> = Vec::with_capacity(N + 1);
    corners.push((start, height(&start)));
    for at in 0..N {
        let mut corner = start;
        corner[at] -= EDGES[0];
        let value = height(&corner);
        corners.push((corner, value));
    }
    let mut looks = N + 1;
    while looks < MOST_LOOKS {
        corners.sort_by(|one, two| one.1.total_cmp(&two.1));
        let (best, worst) = (corners[0], corners[N]);
        let spread = corners
            .iter()
            .flat_map(|(corner, _)| corner.iter().zip(&best.0).map(|(c, b)| (c - b).abs()))
            .fold(0.0, f64::max);
        if spread < EDGES[1] {
            break;
        }
        let mut middle = [0.0; N];
        #[expect(clippy::cast_precision_loss, reason = "a count of colorants")]
        let count = N.max(1) as f64;
        for (corner, _) in &corners[..N] {
            for (cell, value) in middle.iter_mut().zip(corner) {
                *cell += value / count;
            }
        }
        let mut look = |by: f64| {
            let point = std::array::from_fn(|at| middle[at] + by * (worst.0[at] - middle[at]));
            looks += 1;
            (point, height(&point))
        };
        let reflected = look(-1.0);
        let next = if reflected.1 < best.1 {
            let further = look(-2.0);
            if further.1 < reflected.1 { further } else { reflected }
        } else if reflected.1 < corners[N.saturating_sub(1)].1 {
            reflected
        } else {
            let nearer = if reflected.1 < worst.1 { look(-0.5) } else { look(0.5) };
            if nearer.1 < worst.1.min(reflected.1) {
                nearer
            } else {
                for (corner, value) in &mut corners[1..] {
                    for (cell, best) in corner.iter_mut().zip(&best.0) {
                        *cell = 0.5 * (*cell + best);
                    }
                    *value = height(corner);
                }
                looks += N;
                continue;
            }
        };
        corners[N] = next;
    }
    corners.sort_by(|one, two| one.1.total_cmp(&two.1));
    corners[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crease_is_followed_to_its_end() {
        // A valley with a sharp floor along x = y, lowest at (2, 2).
        let height = |p: &[f64; 2]| 10.0 * (p[0] - p[1]).abs() + (p[0] + p[1] - 4.0).abs();
        let (point, value) = descended([-1.0, 3.0], height);
        assert!(value < 1e-3, "{point:?}: {value}");
    }
}
