//! The CIE's tables, as facts; made by a script that names the library they were carried by.

pub(in crate::spectrum) mod illuminants;
pub(in crate::spectrum) mod observer_10deg;
pub(in crate::spectrum) mod observer_2deg;
