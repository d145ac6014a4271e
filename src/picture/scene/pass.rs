//! The passes of a swath, and the hand that lays them.

use super::input::RibbonPath;

/// One pass of a container that is to be laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pass {
    /// Number of its container.
    pub(super) container: usize,
    /// Which of the container's passes it is, and of how many.
    pub(super) turn: [usize; 2],
    /// mm².
    pub(super) area: f64,
}

/// How a swath is laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hand {
    pub(super) path: RibbonPath,
    /// How far below its beginning a pass may be laid, mm.
    pub(super) dip: f64,
    /// Whether it goes along the strip the other way.
    pub(super) back: bool,
    /// Whether it is the last: then every pass helps to cover what is left.
    pub(super) last: bool,
}
