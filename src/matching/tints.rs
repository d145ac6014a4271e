//! The shelf as the climb takes it: each colorant in units of the most that may be used of it, and the
//! ceilings as rows on those units.

use super::blend::Unit;
use super::climb::SHARED_ROWS;
use crate::model::{Colorant, System};
use crate::optics::Ks;
use crate::plan::{Limits, Route};
use crate::spectrum::{BANDS, Spectrum, Weights};

/// A colorant ready for mixing.
#[derive(Debug, Clone)]
pub(super) struct Tint<'a> {
    pub(super) colorant: &'a Colorant,
    /// The largest loading that it may have alone, of the standing lot.
    pub(super) largest: f64,
    /// What that loading brings per gram of mixed resin.
    pub(super) unit: Unit,
    /// What it uses of each ceiling, as shares.
    pub(super) uses: [f64; SHARED_ROWS],
    /// Whether the stock, and no ceiling, bounds it: then one unit is the most.
    pub(super) bounded_by_stock: bool,
    /// Optical thickness (K + S)·film of that loading, weighted by luminance.
    pub(super) thickness: f64,
}

/// One gram of clear mixed resin.
pub(super) fn resin(system: &System) -> Unit {
    let binder = Ks { k: system.clear.absorption_per_mm, s: Spectrum::flat(0.0) };
    let volume_ml = 1.0 / system.mixed_density().g_per_ml();
    Unit { ks: binder.scaled(volume_ml), volume_ml }
}

/// One gram of the standing lot of a colorant; `None` without optical data.
pub(super) fn gram(colorant: &Colorant) -> Option<Unit> {
    let optics = colorant.optics.as_ref()?;
    Some(Unit { ks: optics.unit, volume_ml: 1.0 / colorant.density.g_per_ml() })
}

/// The tints of colorants under limits; those without optical data or whose ceilings leave nothing
/// are left out. Lots count: what is weighed is the loading divided by the lot's strength, and the
/// ceilings hold for what is weighed. `in_stock` is what there is of a colorant, as a loading as weighed.
pub(super) fn tints<'a>(
    limits: &Limits<'_>,
    colorants: &[&'a Colorant],
    film_mm: f64,
    luminance: &Weights,
    in_stock: impl Fn(&Colorant) -> Option<f64>,
) -> Vec<Tint<'a>> {
    let rows = limits.inequalities(colorants);
    let mut all = Vec::with_capacity(colorants.len());
    for (at, colorant) in colorants.iter().enumerate() {
        let Some(gram) = gram(colorant) else { continue };
        let strength = colorant.lot_strength();
        let allowed = rows
            .iter()
            .filter(|row| row.per_loading[at] > 0.0)
            .map(|row| row.most / row.per_loading[at])
            .fold(1.0, f64::min);
        let stock = in_stock(colorant).unwrap_or(f64::INFINITY);
        let weighed = allowed.min(stock);
        let usable = weighed > 0.0 && weighed.is_finite();
        if !usable {
            continue;
        }
        let mut uses = [0.0; SHARED_ROWS];
        // A colorant's own ceiling is kept wherever the mixture rule is.
        let shared = rows.iter().filter(|row| !matches!(row.route, Route::Colorant(_)));
        for (cell, row) in uses.iter_mut().zip(shared) {
            if row.per_loading[at] > 0.0 {
                *cell = row.per_loading[at] * weighed / row.most;
            }
        }
        let largest = weighed * strength;
        let unit = gram.times(largest);
        let film_ml = unit.volume_ml + 1.0 / limits.system.mixed_density().g_per_ml();
        let [_, y, _] = luminance.rows();
        let seen: f64 =
            (0..BANDS).map(|band| y[band] * (unit.ks.k[band] + unit.ks.s[band])).sum::<f64>();
        let thickness = seen / y.iter().sum::<f64>() / film_ml * film_mm;
        all.push(Tint {
            colorant,
            largest,
            unit,
            uses,
            bounded_by_stock: stock < allowed,
            thickness,
        });
    }
    all
}
