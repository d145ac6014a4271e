//! How far a match under one lamp falls apart under another.

use super::difference::delta_e_2000;
use super::lab::Lab;
use crate::spectrum::{Spectrum, Weights, Xyz};

/// Special index of metamerism, change of illuminant (CIE 15:2018 §9.2), in ΔE00: the difference
/// of two reflectances under a test lamp, less what already differs under the reference lamp.
///
/// What differs under the reference is taken out as the CIE allows, by scaling the second's
/// tristimulus values under the test lamp by the ratio of the two under the reference.
#[must_use]
pub fn metamerism_index(
    standard: &Spectrum,
    sample: &Spectrum,
    reference: &Weights,
    test: &Weights,
) -> f64 {
    let (standard_ref, sample_ref) = (reference.xyz(standard), reference.xyz(sample));
    let (standard_test, sample_test) = (test.xyz(standard), test.xyz(sample));
    let scaled = |value: f64, wanted: f64, have: f64| {
        if have > 0.0 { value * wanted / have } else { value }
    };
    let corrected = Xyz {
        x: scaled(sample_test.x, standard_ref.x, sample_ref.x),
        y: scaled(sample_test.y, standard_ref.y, sample_ref.y),
        z: scaled(sample_test.z, standard_ref.z, sample_ref.z),
    };
    let white = test.white();
    delta_e_2000(Lab::from_xyz(standard_test, white), Lab::from_xyz(corrected, white))
}
