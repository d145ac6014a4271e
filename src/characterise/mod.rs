//! A colorant's optical data from what a shop can read.
//!
//! [`characterise`] takes whatever there is and says which route it took; the parts can be called by
//! themselves.
//!
//! | a shop has | route | part | what to expect |
//! |---|---|---|---|
//! | a white over black and white, then masstone, 10 % and 25 % tints of each colorant | [`Route::Readings`] | [`characterise_measured`] | mixtures to 0.1 ΔE00 |
//! | one film over black and white | [`Route::OneFilm`] | [`characterise_presumed`] | 1–2 ΔE00; worse the better it hides |
//! | one tint in a known white, or its colour alone ([`tint_of_colour`]) | [`Route::Tint`] | [`characterise_presumed`] | 0.5, of a colour alone 1 ΔE00 |
//! | a masstone alone | [`Route::MasstoneAlone`] | refused, or on demand [`characterise_presumed`] | 12 ΔE00 |
//! | two tints of two lots | | [`lot_strength`] | |
//! | a table of mixtures of several colorants | | [`joint::fit`] | pairs never seen to 2.3 ΔE00 on measured watercolours |
//!
//! [`characterise_colorant`] does this for a colorant of the shelf from a shop's rows of readings, by
//! name, and says what was found as a [`Finding`].
//!
//! The figures are means over random mixtures in a simulated shop (a test): films off by 2 %, an
//! instrument's noise. [`next_reading`] tells which reading would help most.

mod answer;
mod band;
mod block;
mod common_errors;
mod drawdown;
mod finding;
mod impossible;
pub mod joint;
mod measured;
mod next_reading;
mod presumed;
mod route;
mod rows;
mod strength;
mod tint_colour;

pub use answer::{Basis, CONFIDENCE, Characterised, FilmCheck, Identified, Interval};
pub use drawdown::{Conditions, Covariance, Drawdown, Film, Known, Noise, Reading};
pub use finding::{FilmRead, Finding, FindingAsk, Next, characterise_colorant};
pub use impossible::Impossible;
pub use measured::characterise_measured;
pub use next_reading::{Belief, Candidate, Worth, next_reading};
pub use presumed::{Presumption, characterise_presumed};
pub use route::{Refused, Route, characterise};
pub use strength::{LotStrength, lot_strength, tinting_strength};
pub use tint_colour::tint_of_colour;
