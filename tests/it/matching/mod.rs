//! Loadings for wanted colours, corrections and tolerances.

mod ceilings;
mod company;
mod correcting;
mod finding;
mod impossible;
mod shelf;
mod straying;
