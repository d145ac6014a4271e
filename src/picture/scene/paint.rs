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
    /// Share of each colour by volume, 1 in sum.
    pub shares: Vec<f32>,
}
