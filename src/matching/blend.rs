//! The film that amounts of ingredients make, and how its reflectance moves with each amount: the
//! inner loop of matching and correcting, in vector registers and on the stack.
//!
//! With fixed content (K₀, S₀, v₀: coefficients times volume, and volume) and amounts yⱼ of
//! ingredients of volume vⱼ and coefficients times volume κⱼ, σⱼ,
//! K = (K₀ + Σ yⱼκⱼ)/V, V = v₀ + Σ yⱼvⱼ, so ∂K/∂yⱼ = (κⱼ − K·vⱼ)/V, and S alike: the same sums as
//! [`crate::optics::composition`] and [`crate::optics::mix_in_binder`], which a test compares.

#![expect(
    clippy::needless_range_loop,
    reason = "indices of rows and columns read as in the formulas"
)]

use pulp::Arch;

use crate::optics::{Ks, Surface, film_slopes_lane};
use crate::spectrum::{BANDS, Spectrum, Weights};

/// Most lamps in one ask.
pub const MOST_LAMPS: usize = 6;
/// Running sums side by side; their order is the same on every machine.
const LANES: usize = 4;

/// What one unit of an ingredient brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    /// Coefficients times volume, mm⁻¹·mL.
    pub(super) ks: Ks,
    /// Volume, mL.
    pub(super) volume_ml: f64,
}

impl Unit {
    /// Nothing at all.
    pub(super) const NONE: Self = Self { ks: Ks::CLEAR, volume_ml: 0.0 };

    /// So many times as much.
    pub(super) fn times(&self, amount: f64) -> Self {
        Self { ks: self.ks.scaled(amount), volume_ml: self.volume_ml * amount }
    }

    /// With `amount` of another.
    pub(super) fn plus(mut self, amount: f64, other: &Self) -> Self {
        self.ks.add(amount, &other.ks);
        self.volume_ml += amount * other.volume_ml;
        self
    }
}

/// How a film is looked at, reckoned once.
#[derive(Debug, Clone)]
pub(super) struct Sight {
    pub(super) film_mm: f64,
    /// Internal reflectance below the film.
    pub(super) ground: Spectrum,
    pub(super) surface: Surface,
    /// Folded weights, a lamp each; at most [`MOST_LAMPS`].
    pub(super) lamps: Vec<Weights>,
}

/// Tristimulus values under each lamp with their slopes by each amount.
#[derive(Debug, Clone, Copy)]
pub(super) struct Blend<const N: usize> {
    pub(super) xyz: [[f64; 3]; MOST_LAMPS],
    pub(super) slopes: [[[f64; N]; 3]; MOST_LAMPS],
}

/// The film of `fixed` with `amounts` of `units`, seen under every lamp.
pub(super) fn blend<const N: usize>(
    sight: &Sight,
    fixed: &Unit,
    units: &[&Unit; N],
    amounts: &[f64; N],
) -> Blend<N> {
    Arch::new().dispatch(
        #[inline(always)]
        || {
            let mut whole = *fixed;
            for at in 0..N {
                if amounts[at] != 0.0 {
                    whole = whole.plus(amounts[at], units[at]);
                }
            }
            let per_ml = 1.0 / whole.volume_ml;
            let face = sight.surface;
            let through = (1.0 - face.k1) * (1.0 - face.k2);
            let (mut seen, mut by_k, mut by_s) = ([0.0; BANDS], [0.0; BANDS], [0.0; BANDS]);
            let (mut k_of, mut s_of) = ([0.0; BANDS], [0.0; BANDS]);
            for band in 0..BANDS {
                let (k, s) = (whole.ks.k.0[band] * per_ml, whole.ks.s.0[band] * per_ml);
                let lane = film_slopes_lane(k, s, sight.film_mm, sight.ground.0[band]);
                // Saunderson's reading and its slope, the gloss left out.
                let below = 1.0 / (1.0 - face.k2 * lane.reflectance);
                seen[band] = through * lane.reflectance * below;
                let rise = through * below * below;
                by_k[band] = rise * lane.by_k * per_ml;
                by_s[band] = rise * lane.by_s * per_ml;
                (k_of[band], s_of[band]) = (k, s);
            }
            let mut out =
                Blend { xyz: [[0.0; 3]; MOST_LAMPS], slopes: [[[0.0; N]; 3]; MOST_LAMPS] };
            let lamps = &sight.lamps[..sight.lamps.len().min(MOST_LAMPS)];
            for (lamp, weights) in lamps.iter().enumerate() {
                let [x, y, z] = weights.rows();
                out.xyz[lamp] = [sum(x, &seen), sum(y, &seen), sum(z, &seen)];
            }
            for at in 0..N {
                let unit = units[at];
                let mut moved = [0.0; BANDS];
                for band in 0..BANDS {
                    moved[band] = by_k[band] * (unit.ks.k.0[band] - k_of[band] * unit.volume_ml)
                        + by_s[band] * (unit.ks.s.0[band] - s_of[band] * unit.volume_ml);
                }
                for (lamp, weights) in lamps.iter().enumerate() {
                    for (axis, row) in weights.rows().iter().enumerate() {
                        out.slopes[lamp][axis][at] = sum(row, &moved);
                    }
                }
            }
            out
        },
    )
}

#[inline(always)]
fn sum(row: &[f64; BANDS], values: &[f64; BANDS]) -> f64 {
    let mut lanes = [0.0; LANES];
    for block in 0..BANDS / LANES {
        for lane in 0..LANES {
            lanes[lane] += row[block * LANES + lane] * values[block * LANES + lane];
        }
    }
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3])
}
