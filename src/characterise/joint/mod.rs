//! Every pigment of a table of samples at once, and predictions from what was found.
//!
//! Main types: [`SampleSet`] (what was mixed and read), [`JointFit`] (k and s of each pigment, and
//! the law they share), [`CrossValidation`] (how far it carries).
//!
//! ```text
//! SampleSet ─► fit ─► JointFit ─► predict(other SampleSet) ─► reflectance, Lab, ΔE00
//!                └─► cross_validate: mixtures of a pair held out together
//! ```
//!
//! # Model
//!
//! Two-constant Kubelka–Munk in each band: K = Σ aᵢkᵢ, S = Σ aᵢsᵢ, a film of that over the
//! substrate, then the face (Saunderson). What amounts aᵢ and what face: [`Law`]. Compared in ∛R.
//! What keeps the answer from following noise, each a stated expectation in [`Options`]: s changes
//! little from band to band, k bends little, faces of pigments resemble one another; whole samples
//! that fit nothing else lose weight; ladders of one pigment weigh less than mixtures, for they hold
//! one dosing habit and little about scattering.
//!
//! Tried on measured mixtures of 13 artists' pigments and left out because mixtures never seen were
//! predicted no better, or hardly: an exponent for each pigment, a power of the film's scattering or absorption
//! (crowding), a strength that goes with a pigment's share, uncovered ground, uneven films, doses as
//! unknowns, a separate spreading law for ladders.
//!
//! # Sources
//!
//! D. R. Duncan, Proc. Phys. Soc. 52, 390 (1940), for mixtures; J. L. Saunderson, J. Opt. Soc. Am.
//! 32, 727 (1942), for the face; P. J. Huber, *Robust Statistics*, for weights by size of deviation.

mod answer;
mod fit;
mod law;
mod model;
mod options;
mod sample;
mod stored;
mod table;
mod validate;
mod viewed;

pub use answer::{
    FittedPigment, FittedSubstrate, JointFit, Predicted, Residual, Spread, fit, predict,
};
pub use law::{Face, Law};
pub use options::Options;
pub use sample::{JointError, Measure, Sample, SampleSet, Substrate};
pub use stored::StoredError;
pub use validate::{CrossValidation, cross_validate};
pub use viewed::{Viewed, ViewedRow};
