//! The resin as the thermal model takes it, calibrated to the datasheet's pot life, with the
//! shapes of cure that the literature leaves open and the cooling that the datasheet does.
//!
//! Each doubt is taken alone. The cup's is the wider one: a datasheet seldom says how the mass it
//! timed was cooled, and the better it was, the quicker the resin must be to gel in that time. Its
//! bounds are a cup in a perfect insulation, and one whose outside is held at the stated temperature. Heat that the cup
//! kept the mixing vessel keeps as well: a larger mass in a vessel that is cooled no better lasts no longer than the stated
//! one.

use super::RunSheetError;
use super::ask::{Ask, Vessel};
use crate::heat::HeatError;
use crate::heat::course::{Cooling, Resin};
use crate::heat::kinetics::Cure;
use crate::heat::pot_life::{StatedPotLife, calibrated};
use crate::heat::vessel::Cylinder;

/// Activation energies published for room-temperature amine–epoxy cures, J/mol: 44–57 kJ/mol
/// (Barral, J. Appl. Polym. Sci. 56, 1029, 1995), 55–60 kJ/mol (Thermochim. Acta 447, 167, 2006).
const ACTIVATIONS_J_PER_MOL: [f64; 2] = [44_000.0, 60_000.0];

/// Heats of cure, J/kg: 486 J/g is published for undiluted DGEBA/TETA (Polímeros); the lower end,
/// for diluted resins with heavy amines, is an estimate.
const HEATS_J_PER_KG: [f64; 2] = [280_000.0, 486_000.0];

/// One resin, calibrated in each shape of cure. It hangs on the datasheet alone, not on the room
/// or the mixes.
pub(super) struct Resins {
    /// The shape that the model takes.
    pub(super) usual: Resin,
    /// The corners of what the literature and the datasheet leave open.
    pub(super) corners: Vec<Corner>,
}

/// One corner of what is open.
pub(super) struct Corner {
    /// The resin in it.
    pub(super) resin: Resin,
    /// The cooling that the cup was spared in it, and every vessel is: what the cup would usually have.
    spared: Option<Cooling>,
}

impl Corner {
    /// How a vessel cools in this corner that usually does by `usual`.
    pub(super) fn cooling(&self, usual: Cooling) -> Cooling {
        let Some(spared) = self.spared else { return usual };
        let per_volume = |cooling: Cooling| cooling.loss_w_per_m2_k / cooling.volume_per_surface_mm;
        let left = (per_volume(usual) - per_volume(spared)).max(0.0);
        Cooling { loss_w_per_m2_k: left * usual.volume_per_surface_mm, ..usual }
    }
}

impl Resins {
    /// The shape that the model takes, alone.
    pub(super) fn usual(ask: &Ask) -> Result<Resin, RunSheetError> {
        calibrated_resin(ask, Cure::AMINE_EPOXY, stated_cup(ask)?.cooling())
    }

    pub(super) fn of(ask: &Ask) -> Result<Self, RunSheetError> {
        let cup = stated_cup(ask)?;
        let usual = cup.cooling();
        let mut corners = Vec::new();
        let mut corner = |shape: Cure, cooling: Cooling, spared: Option<Cooling>| {
            let resin = calibrated_resin(ask, shape, cooling)?;
            corners.push(Corner { resin, spared });
            Ok::<(), RunSheetError>(())
        };
        corner(Cure::AMINE_EPOXY, cup.no_cooling(), Some(usual))?;
        corner(Cure::AMINE_EPOXY, cup.cooling_at_its_best(), None)?;
        for activation_j_per_mol in ACTIVATIONS_J_PER_MOL {
            for heat_j_per_kg in HEATS_J_PER_KG {
                let shape = Cure { activation_j_per_mol, heat_j_per_kg, ..Cure::AMINE_EPOXY };
                corner(shape, usual, None)?;
            }
        }
        Ok(Self { usual: Self::usual(ask)?, corners })
    }
}

/// The cup that the datasheet's pot life was measured in.
fn stated_cup(ask: &Ask) -> Result<Cylinder, HeatError> {
    let stated = &ask.pot_life;
    let volume_ml = stated.mass_g / ask.density_g_per_ml;
    match &stated.vessel {
        Some(vessel) => filled(vessel, volume_ml),
        None => Cylinder::squat(volume_ml),
    }
}

/// The resin with rates that give the datasheet's pot life, if its cure has this shape and its cup
/// was so cooled.
fn calibrated_resin(ask: &Ask, shape: Cure, cooling: Cooling) -> Result<Resin, RunSheetError> {
    let stated = &ask.pot_life;
    let raw = Resin { cure: shape, ..Resin::amine_epoxy(ask.density_g_per_ml * 1000.0) };
    let stated = StatedPotLife { minutes: stated.minutes, celsius: stated.celsius, cooling };
    Ok(calibrated(&raw, &stated)?)
}

/// How a volume in a vessel loses heat.
pub(super) fn cooling(vessel: &Vessel, volume_ml: f64) -> Result<Cooling, HeatError> {
    Ok(filled(vessel, volume_ml)?.cooling())
}

/// A volume in a vessel; nothing at all to its brim.
pub(super) fn filled(vessel: &Vessel, volume_ml: f64) -> Result<Cylinder, HeatError> {
    match vessel.diameter_mm {
        Some(diameter_mm) => {
            crate::heat::within("vessel diameter (mm)", diameter_mm, 5.0, 2000.0)?;
            let face_mm2 = std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm;
            Cylinder::new(diameter_mm, volume_ml * 1000.0 / face_mm2)
        }
        None => Cylinder::filled(vessel.capacity_ml, volume_ml),
    }
}
