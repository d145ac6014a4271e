//! Correlated colour temperature of a light.

use std::sync::OnceLock;

use crate::spectrum::{Observer, Xyz};

/// c2 of Planck's law, nm·K (CIE 15:2018, after ITS-90).
const C2_NM_K: f64 = 1.4388e7;
/// Beyond this distance from the Planckian locus a temperature means nothing (CIE 15:2018 §9.4).
const FARTHEST_DUV: f64 = 0.05;
/// Range searched, in reciprocal megakelvin (mired): 100 000 K to 1000 K.
const MIREDS: (f64, f64) = (10.0, 1000.0);

/// How warm or cool a light looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cct {
    /// The temperature of the Planckian radiator nearest in (u, v), K.
    pub kelvin: f64,
    /// Distance from it in (u, v): positive above the locus (greener), negative below (pinker).
    pub duv: f64,
}

/// Correlated colour temperature and Duv from 2° tristimulus values on any scale.
///
/// Method: the definition itself (CIE 15:2018 §9.4): the distance to the Planckian locus in the CIE
/// 1960 (u, v) diagram is minimised, the locus summed from Planck's law every 5 nm. It agrees with
/// lights made by a general-purpose library from a temperature of 1667–20 000 K and a Duv within
/// ±0.02 to 0.01 % and 1e-6. `None` farther than 0.05 from the locus, or outside 1000–100 000 K.
///
/// ```
/// use pourbook::{colour::cct, spectrum::{Illuminant, Observer, weights}};
/// let a = cct(weights(&Illuminant::A, Observer::Cie1931_2deg).white()).unwrap();
/// assert!((a.kelvin - 2856.0).abs() < 1.0 && a.duv.abs() < 1e-5);
/// ```
#[must_use]
pub fn cct(light: Xyz) -> Option<Cct> {
    let (u, v) = uv(light.to_array());
    if !(u.is_finite() && v.is_finite()) {
        return None;
    }
    let squared_from = |(pu, pv): (f64, f64)| (u - pu) * (u - pu) + (v - pv) * (v - pv);
    // The nearest of the looks along the locus, then the lowest point of the parabola through three
    // distances about it, thrice: its error falls with the cube of their spacing.
    let looks = looks();
    let (nearest, _) = looks
        .iter()
        .map(|&point| squared_from(point))
        .enumerate()
        .min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    if nearest == 0 || nearest + 1 == looks.len() {
        return None;
    }
    let mut mired = mired_of_look(nearest);
    for step in [LOOK_MIRED, LOOK_MIRED / 5.0, LOOK_MIRED / 100.0] {
        let [before, at, after] =
            [-step, 0.0, step].map(|by| squared_from(uv(planckian(1e6 / (mired + by)))));
        let bend = before - 2.0 * at + after;
        if bend > 0.0 {
            mired += step * (0.5 * (before - after) / bend).clamp(-1.0, 1.0);
        }
    }
    let on_locus = uv(planckian(1e6 / mired));
    let distance = libm::sqrt(squared_from(on_locus));
    if distance > FARTHEST_DUV {
        return None;
    }
    let duv = if v >= on_locus.1 { distance } else { -distance };
    Some(Cct { kelvin: 1e6 / mired, duv })
}

/// Mireds between two looks.
const LOOK_MIRED: f64 = 10.0;

fn mired_of_look(look: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a hundred looks")]
    let steps = look as f64;
    MIREDS.0 + LOOK_MIRED * steps
}

/// Points of the locus, computed at first use.
fn looks() -> &'static [(f64, f64)] {
    static LOOKS: OnceLock<Vec<(f64, f64)>> = OnceLock::new();
    LOOKS.get_or_init(|| {
        (0..)
            .map(mired_of_look)
            .take_while(|mired| *mired <= MIREDS.1)
            .map(|mired| uv(planckian(1e6 / mired)))
            .collect()
    })
}

/// CIE 1960 uniform chromaticity coordinates.
fn uv([x, y, z]: [f64; 3]) -> (f64, f64) {
    let sum = x + 15.0 * y + 3.0 * z;
    (4.0 * x / sum, 6.0 * y / sum)
}

/// Tristimulus values of a Planckian radiator, every 5 nm, on no particular scale.
fn planckian(kelvin: f64) -> [f64; 3] {
    let mut sums = [0.0; 3];
    let mut nm = 360.0;
    for row in Observer::Cie1931_2deg.table().iter().step_by(5) {
        let relative = nm / 560.0;
        let fifth = relative * relative * relative * relative * relative;
        let power = 1.0 / (fifth * libm::expm1(C2_NM_K / (nm * kelvin)));
        for (sum, s) in sums.iter_mut().zip(row) {
            *sum += power * s;
        }
        nm += 5.0;
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_light_far_from_the_locus_has_no_temperature() {
        for light in [
            Xyz::new(20.0, 90.0, 5.0),
            Xyz::new(5.0, 5.0, 100.0),
            Xyz::default(),
            Xyz::new(f64::NAN, 1.0, 1.0),
            Xyz::new(-1.0, 1.0, 1.0),
        ] {
            assert_eq!(cct(light), None, "{light:?}");
        }
    }

    #[test]
    fn planckian_radiators_give_their_own_temperature() {
        for kelvin in [1200.0, 2856.0, 4000.0, 6500.0, 12_000.0, 25_000.0] {
            let found = cct(Xyz::from_array(planckian(kelvin))).unwrap();
            assert!((found.kelvin / kelvin - 1.0).abs() < 1e-4, "{kelvin} K: {found:?}");
            assert!(found.duv.abs() < 1e-6, "{kelvin} K: {found:?}");
        }
    }
}
