//! Which loadings make a wanted colour, what brings back a mix that went wrong, and how sure a mix is.
//!
//! ```text
//! ask ─► target (under every lamp) ─┐
//! shelf ─► tints (ceilings) ────────┴─► search (bounds ─► climb ─► blend; hiding)
//!                                         └─► find (weigh, rank, reach)
//! ```
//!
//! - [`find`] takes an [`Ask`] and gives an [`Answer`]: ranked [`Candidate`]s, and [`Reach`] where the
//!   target cannot be had.
//! - [`correct`] takes a [`CorrectAsk`] and gives the least additions.
//! - [`spreads`] says how far the colours of a plan's bases stray, and why.
//!
//! Ceilings are those of [`crate::plan::Limits`]; colours those of [`crate::predict`]. What is made
//! least is the root of the lamps' weighted mean of ΔE00².

mod ask;
mod blend;
mod bounds;
mod candidate;
mod climb;
mod correct;
mod find;
mod hands;
mod hiding;
mod reach;
mod ridge;
mod room;
mod search;
mod subsets;
mod target;
mod tints;
mod tolerance;
mod weigh;

pub use ask::{Ask, Looking, Rank, Target, Unmatched};
pub use blend::MOST_LAMPS;
pub use candidate::{Candidate, CandidateDose};
pub use correct::{
    Amount, AsItStands, AsWeighed, BesideAnew, ByProportion, Clock, CorrectAsk, Correction, Course,
    Divided, Exactly, Expected, Held, InTime, InVessel, Kept, Known, LastPour, Lasts, OnSchedule,
    OtherBase, Overfull, Part, PartAdded, Planned, RATIO_WITHIN, RatioOff, Restored, Slipped,
    Supply, Suspicion, Uncorrected, Unmixed, VesselAsked, Weighing, Worth, as_it_stands,
    as_weighed, beside_anew, by_proportion, correct, divide, for_ratio, foreign, keep,
    keep_by_proportion, overfull, ratio_off, restore, smallest_vessel, suspicions,
};
pub use find::{Answer, MOST_CHOICE, find};
pub use reach::{Helper, Lack, Reach};
pub use subsets::MOST_COLORANTS;
pub use target::Aimed;
pub use tolerance::{Cause, Doubts, Improve, Spread, percentile, spreads};
pub use weigh::{WeighedBatch, WeighedDose};
