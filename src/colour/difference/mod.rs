//! How different two colours look.
//!
//! | formula | standard | where it fits |
//! |---|---|---|
//! | [`delta_e_2000`] | ISO/CIE 11664-6 | everywhere, unless a contract names another |
//! | [`delta_e_ab`] | ISO/CIE 11664-4 | comparing with old figures; overstates chromatic colours |
//! | [`delta_e_94`] | CIE 116 | old graphic-arts and textile figures |
//! | [`delta_e_cmc`] | ISO 105-J03 | coatings and textiles that ask for CMC(l:c) |
//!
//! Tolerances of one formula mean nothing in another (ASTM D2244).

mod ciede2000;
mod ciede2000_batch;
mod ciede2000_slopes;
mod lanes;
mod older;

pub use ciede2000::delta_e_2000;
pub use ciede2000_batch::delta_e_2000_batch;
pub use ciede2000_slopes::{DeltaE2000Slopes, delta_e_2000_slopes};
pub use older::{Application, delta_e_94, delta_e_ab, delta_e_cmc};
