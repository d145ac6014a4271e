//! Colours as numbers: tristimulus values, CIELAB, OKLab, sRGB, adaptation between whites, and
//! differences.
//!
//! ```
//! use pourbook::colour::{Lab, ToScreen, delta_e_2000};
//! use pourbook::spectrum::{Illuminant, Observer, Spectrum, weights};
//!
//! let seen = weights(&Illuminant::D65, Observer::Cie1964_10deg);
//! let (grey, lighter) = (seen.xyz(&Spectrum::flat(0.20)), seen.xyz(&Spectrum::flat(0.21)));
//! let lab = |xyz| Lab::from_xyz(xyz, seen.white());
//! assert!((delta_e_2000(lab(grey), lab(lighter)) - 1.09).abs() < 0.01);
//! assert_eq!(ToScreen::from_white(seen.white()).show(grey).srgb8().to_string(), "#7c7c7c");
//! ```
//!
//! # Our own kernels, and `palette`
//!
//! The crate `palette` is right (its ΔE00 agrees on the published pairs, its sRGB and OKLab with
//! ours) and serves as an oracle in tests and as the measure in benchmarks. The kernels here are
//! our own, for these reasons:
//!
//! | quantity | why not `palette` 0.7 |
//! |---|---|
//! | ΔE00 | one pair at a time, 4.9 M pairs/s; the batch here reaches 55 M/s on the same core |
//! | XYZ, Lab | a white is a type there; here it comes from any lamp's folded weights at run time |
//! | sRGB bytes | its powers come from the platform's mathematics library; here the same bytes everywhere, and 300 M/s by table |
//! | adaptation | no CAT16, and again whites as types |
//! | spectra, ΔE94, CMC, CCT, metamerism, smoothest reflectance | not there |
//!
//! Every transcendental function is `libm`'s, in software: results do not depend on the platform.
//!
//! Out of scope: colour appearance models, fluorescent samples, spectral upsampling of pictures.

mod adaptation;
mod difference;
mod lab;
mod matrix;
mod metamerism;
mod oklab;
mod screen;
mod smooth;
mod srgb;
mod temperature;
mod whiteness;
mod xyy;

pub use crate::spectrum::Xyz;
pub use adaptation::{Adaptation, Cat};
pub use difference::{
    Application, DeltaE2000Slopes, delta_e_94, delta_e_2000, delta_e_2000_batch,
    delta_e_2000_slopes, delta_e_ab, delta_e_cmc,
};
pub use lab::{Lab, Lch};
pub use metamerism::metamerism_index;
pub use oklab::OkLab;
pub use screen::{Shown, ToScreen, into_gamut};
pub use smooth::{Unreachable, smooth_reflectance, smooth_reflectance_of_srgb};
pub use srgb::{
    ByteTable, NotAColour, SRGB_WHITE, Srgb8, decode as srgb_decode, encode as srgb_encode,
    linear_from_xyz, xyz_from_linear,
};
pub use temperature::{Cct, cct};
pub use whiteness::{Whiteness, cie_whiteness, yellowness_e313};
pub use xyy::Xyy;
