//! What a place of the film looks like and is made of, as numbers that can be averaged.

/// Numbers a place of the picture carries, all linear: they may be added, averaged and blurred.
///
/// 0–2 crisp colour × cover, 3 cover of the crisp film, 4–6 the soft film under it (linear RGB), 7 how far the
/// soft film lets the primer through when it gets thinner.
pub const CHANNELS: usize = 8;

/// The channels of one place.
pub type Channels = [f32; CHANNELS];

/// The channels of a place and what it is made of.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Paint {
    /// How it looks.
    pub channels: Channels,
    /// Share of each colour by volume; 1 in sum for a place, 0 for a difference of two.
    pub shares: Vec<f32>,
}

impl Paint {
    /// Adds `other`.
    pub fn add(&mut self, other: &Self) {
        for (a, b) in self.channels.iter_mut().zip(other.channels) {
            *a += b;
        }
        for (a, b) in self.shares.iter_mut().zip(&other.shares) {
            *a += b;
        }
    }

    /// What `self` has more than `other`.
    #[must_use]
    pub fn less(&self, other: &Self) -> Self {
        let mut out = self.clone();
        for (a, b) in out.channels.iter_mut().zip(other.channels) {
            *a -= b;
        }
        for (a, b) in out.shares.iter_mut().zip(&other.shares) {
            *a -= b;
        }
        out
    }

    /// How much less exact the rim of such a difference may be followed, because it shows less: 1 where the
    /// linear light changes by a tenth or more, up to 3.
    #[must_use]
    pub fn ease(&self) -> f64 {
        let sharp = self.channels.iter().take(7).map(|v| v.abs()).fold(0.0_f32, f32::max);
        let amount = self.shares.iter().map(|v| v.abs()).fold(0.0_f32, f32::max);
        let most = f64::from(sharp.max(amount));
        (0.1 / most.max(1e-6)).clamp(1.0, 3.0)
    }

    /// Whether a difference shows at all.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        self.channels.iter().chain(&self.shares).all(|v| v.abs() < 1e-7)
    }
}
