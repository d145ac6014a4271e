//! The wanted colour under every lamp.

use super::ask::{Looking, Target, Unmatched};
use super::blend::MOST_LAMPS;
use super::climb::Aim;
use crate::colour::{Lab, Srgb8, ToScreen, smooth_reflectance, smooth_reflectance_of_srgb};
use crate::spectrum::{Illuminant, Observer, Spectrum, Weights, weights};

/// The target as it is aimed at.
#[derive(Debug, Clone, PartialEq)]
pub struct Aimed {
    /// Its reflectance; of a colour alone, the smoothest that has it.
    pub reflectance: Spectrum,
    /// Whether the reflectance is the target's own. If not, how it looks under further lamps is a
    /// supposition.
    pub known: bool,
    /// CIELAB under each lamp.
    pub labs: Vec<Lab>,
    /// As a screen shows it under each lamp.
    pub shown: Vec<Srgb8>,
}

/// Lamps folded for the observer, with their shares of the whole.
pub(super) fn lamps(looking: &Looking) -> Result<Vec<(Weights, f64)>, Unmatched> {
    let all: f64 = looking.lamps.iter().map(|(_, weight)| weight).sum();
    let sound = looking.lamps.iter().all(|(_, weight)| weight.is_finite() && *weight > 0.0);
    if looking.lamps.is_empty() || looking.lamps.len() > MOST_LAMPS || !sound || !all.is_finite() {
        return Err(Unmatched::Lamps(MOST_LAMPS));
    }
    Ok(looking
        .lamps
        .iter()
        .map(|(lamp, weight)| (weights(lamp, looking.observer), weight / all))
        .collect())
}

/// The target under the lamps.
pub(super) fn aimed(
    target: &Target,
    looking: &Looking,
    lamps: &[(Weights, f64)],
) -> Result<Aimed, Unmatched> {
    let none = |what: String| Unmatched::NoSurface(what);
    let (reflectance, known, stated) = match target {
        Target::Reflectance(reflectance) => {
            if !reflectance.iter().all(|r| r.is_finite()) {
                return Err(Unmatched::NotANumber("the target's reflectance"));
            }
            if !reflectance.iter().all(|r| (0.0..=1.0).contains(r)) {
                return Err(none("its reflectance leaves 0 to 1".to_owned()));
            }
            (*reflectance, true, None)
        }
        Target::Screen(colour) => {
            let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
            let smooth = smooth_reflectance_of_srgb(*colour, &daylight)
                .map_err(|_| none(format!("{colour} is brighter than any")))?;
            (smooth, false, None)
        }
        Target::Lab { lab, lamp, observer } => {
            if !lab.to_array().iter().all(|c| c.is_finite()) {
                return Err(Unmatched::NotANumber("the target's colour"));
            }
            if !(0.0..=100.0).contains(&lab.l) {
                return Err(none(format!(
                    "L* {} is {}",
                    lab.l,
                    if lab.l > 100.0 { "brighter than white" } else { "darker than black" }
                )));
            }
            let own = weights(lamp, *observer);
            let smooth = smooth_reflectance(lab.to_xyz(own.white()), &own).map_err(|why| {
                let [x, y, z] = why.0.to_array();
                none(format!("X {x:.1}, Y {y:.1}, Z {z:.1} under {lamp}"))
            })?;
            let first = looking.lamps.first().is_some_and(|(first, _)| first == lamp);
            (smooth, false, (first && *observer == looking.observer).then_some(*lab))
        }
    };
    let mut labs: Vec<Lab> =
        lamps.iter().map(|(lamp, _)| Lab::from_xyz(lamp.xyz(&reflectance), lamp.white())).collect();
    if let (Some(stated), Some(first)) = (stated, labs.first_mut()) {
        *first = stated;
    }
    let shown = lamps
        .iter()
        .map(|(lamp, _)| ToScreen::from_white(lamp.white()).show(lamp.xyz(&reflectance)).srgb8())
        .collect();
    Ok(Aimed { reflectance, known, labs, shown })
}

pub(super) fn aims(labs: &[Lab], lamps: &[(Weights, f64)]) -> Vec<Aim> {
    labs.iter().zip(lamps).map(|(lab, (_, share))| Aim { lab: *lab, share: *share }).collect()
}
