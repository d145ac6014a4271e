//! Readings at any wavelengths, brought to the working grid.
//!
//! How, and how well: see the module's own text.

use super::grid::{BANDS, STEP_NM, Spectrum, wavelength_nm};

/// Readings start at this wavelength or below, nm.
pub const MUST_START_BY_NM: f64 = 400.0;
/// Readings go on to this wavelength or above, nm.
pub const MUST_REACH_NM: f64 = 700.0;
/// Widest step between readings that is bridged, nm.
pub const WIDEST_STEP_NM: f64 = 20.0;
/// Steps up to this count as finer than the grid, nm.
const FINE_STEP_NM: f64 = 5.0;
/// Half the base of the triangle by which fine readings are weighted, nm: a step and a half of the
/// grid (a whole one and two were tried and are worse).
const REACH_NM: f64 = 1.5 * STEP_NM;
/// A step this many times another one makes a cubic through both unsafe.
const UNEVEN: f64 = 3.0;

/// Why readings cannot be brought to the grid.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ResampleError {
    /// Not one value a wavelength.
    #[error("{wavelengths} wavelengths for {values} values")]
    Lengths {
        /// How many wavelengths.
        wavelengths: usize,
        /// How many values.
        values: usize,
    },
    /// A value or a wavelength that is no number.
    #[error("the reading {value} at {nm} nm is no number")]
    NotANumber {
        /// The wavelength, nm.
        nm: f64,
        /// The value.
        value: f64,
    },
    /// A wavelength that is there twice.
    #[error("the wavelength {nm} nm is there twice")]
    Twice {
        /// The wavelength, nm.
        nm: f64,
    },
    /// Wavelengths that do not increase.
    #[error("the wavelength {nm} nm comes after a longer one")]
    Order {
        /// The wavelength, nm.
        nm: f64,
    },
    /// Nothing was read where the grid needs it.
    #[error("there are no readings between {from_nm} and {to_nm} nm")]
    Gap {
        /// Start of the gap, nm.
        from_nm: f64,
        /// End of the gap, nm.
        to_nm: f64,
    },
}

/// Values at increasing wavelengths in nm, regular or not, brought to the working grid.
///
/// ```
/// use pourbook::spectrum::resample;
/// let nm: Vec<f64> = (0..16).map(|i| 400.0 + 20.0 * f64::from(i)).collect();
/// let rising: Vec<f64> = nm.iter().map(|nm| nm / 1000.0).collect();
/// let spectrum = resample(&nm, &rising)?;
/// assert!((spectrum[17] - 0.550).abs() < 1e-12); // 550 nm lies between two readings
/// assert_eq!(spectrum[0], 0.400); // 380 nm: the end reading holds
/// # Ok::<(), pourbook::spectrum::ResampleError>(())
/// ```
///
/// # Errors
/// [`ResampleError`]: lengths, order, gaps over 20 nm, or ends short of 400 and 700 nm.
pub fn resample(wavelengths_nm: &[f64], values: &[f64]) -> Result<Spectrum, ResampleError> {
    check(wavelengths_nm, values)?;
    Ok(Spectrum(std::array::from_fn::<f64, BANDS, _>(|band| {
        at(wavelength_nm(band), wavelengths_nm, values)
    })))
}

fn check(nm: &[f64], values: &[f64]) -> Result<(), ResampleError> {
    if nm.len() != values.len() {
        return Err(ResampleError::Lengths { wavelengths: nm.len(), values: values.len() });
    }
    for (&nm, &value) in nm.iter().zip(values) {
        if !(nm.is_finite() && value.is_finite()) {
            return Err(ResampleError::NotANumber { nm, value });
        }
    }
    let gap = |from_nm, to_nm| Err(ResampleError::Gap { from_nm, to_nm });
    for pair in nm.windows(2) {
        let (before, after) = (pair[0], pair[1]);
        if before == after {
            return Err(ResampleError::Twice { nm: after });
        }
        if before > after {
            return Err(ResampleError::Order { nm: after });
        }
        let seen = after > MUST_START_BY_NM && before < MUST_REACH_NM;
        if seen && after - before > WIDEST_STEP_NM {
            return gap(before, after);
        }
    }
    let (Some(&first), Some(&last)) = (nm.first(), nm.last()) else {
        return gap(MUST_START_BY_NM, MUST_REACH_NM);
    };
    if first > MUST_START_BY_NM {
        return gap(MUST_START_BY_NM, first);
    }
    if last < MUST_REACH_NM {
        return gap(last, MUST_REACH_NM);
    }
    Ok(())
}

/// The value at one wavelength of checked readings.
fn at(wanted: f64, nm: &[f64], values: &[f64]) -> f64 {
    let after = nm.partition_point(|&known| known < wanted);
    if after == nm.len() {
        return values[after - 1];
    }
    if after == 0 {
        return values[0];
    }
    if let Some(fitted) = fit(wanted, nm, values) {
        return fitted;
    }
    if nm[after] == wanted {
        return values[after];
    }
    let first = after.saturating_sub(2).min(nm.len().saturating_sub(4));
    let four = first..(first + 4).min(nm.len());
    if four.len() == 4 && even(&nm[four.clone()]) {
        lagrange(wanted, &nm[four.clone()], &values[four])
    } else {
        let share = (wanted - nm[after - 1]) / (nm[after] - nm[after - 1]);
        values[after - 1] + share * (values[after] - values[after - 1])
    }
}

fn even(nm: &[f64]) -> bool {
    let steps = nm.windows(2).map(|pair| pair[1] - pair[0]);
    let (least, most) = steps.fold((f64::MAX, 0.0_f64), |(l, m), s| (l.min(s), m.max(s)));
    most <= UNEVEN * least
}

fn lagrange(wanted: f64, nm: &[f64], values: &[f64]) -> f64 {
    (0..nm.len())
        .map(|i| {
            (0..nm.len())
                .filter(|&j| j != i)
                .map(|j| (wanted - nm[j]) / (nm[i] - nm[j]))
                .product::<f64>()
                * values[i]
        })
        .sum()
}

/// Value at `wanted` of the cubic that fits the readings within reach best, weighted by a
/// triangle; `None` where they are not fine enough.
fn fit(wanted: f64, nm: &[f64], values: &[f64]) -> Option<f64> {
    let from = nm.partition_point(|&known| known <= wanted - REACH_NM);
    let to = nm.partition_point(|&known| known < wanted + REACH_NM);
    let with_neighbours = &nm[from.saturating_sub(1)..(to + 1).min(nm.len())];
    let fine = with_neighbours.windows(2).all(|pair| pair[1] - pair[0] <= FINE_STEP_NM);
    if to - from < 5 || !fine {
        return None;
    }
    // Normal equations of the weighted fit, the last column its right-hand side.
    let mut system = [[0.0; 5]; 4];
    for (&known, &value) in nm[from..to].iter().zip(&values[from..to]) {
        let x = (known - wanted) / REACH_NM;
        let weight = 1.0 - x.abs();
        let powers = [1.0, x, x * x, x * x * x];
        for (row, down) in system.iter_mut().zip(powers) {
            for (sum, across) in row.iter_mut().zip(powers) {
                *sum += weight * down * across;
            }
            row[4] += weight * down * value;
        }
    }
    // They are positive definite, so that elimination needs no pivoting; from the highest power,
    // because only the constant is wanted.
    for pivot in (1..4).rev() {
        for row in 0..pivot {
            let factor = system[row][pivot] / system[pivot][pivot];
            let down = system[pivot];
            for (value, under) in system[row].iter_mut().zip(down) {
                *value -= factor * under;
            }
        }
    }
    let constant = system[0][4] / system[0][0];
    constant.is_finite().then_some(constant)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn regular(from: f64, step: f64, count: u32) -> Vec<f64> {
        (0..count).map(|i| from + step * f64::from(i)).collect()
    }

    fn cubic(nm: f64) -> f64 {
        let t = (nm - 550.0) / 200.0;
        0.5 + t * (0.3 + t * (-0.2 + 0.1 * t))
    }

    #[test]
    fn the_grid_itself_comes_back_unchanged() {
        let nm = regular(380.0, 10.0, 36);
        let values: Vec<f64> = nm.iter().map(|nm| libm::sin(*nm)).collect();
        assert_eq!(resample(&nm, &values).unwrap().0.to_vec(), values);
    }

    #[test]
    fn cubics_are_exact_on_every_source_grid() {
        let irregular: Vec<f64> =
            regular(372.0, 9.0, 42).iter().map(|nm| nm + 1.5 * libm::sin(*nm)).collect();
        for (name, nm) in [
            ("1 nm", regular(360.0, 1.0, 421)),
            ("3.3 nm", regular(361.7, 3.3, 128)),
            ("5 nm", regular(360.0, 5.0, 85)),
            ("7 nm", regular(362.0, 7.0, 60)),
            ("20 nm", regular(360.0, 20.0, 22)),
            ("irregular", irregular),
        ] {
            let values: Vec<f64> = nm.iter().map(|nm| cubic(*nm)).collect();
            let spectrum = resample(&nm, &values).unwrap();
            for (band, value) in spectrum.iter().enumerate() {
                let wanted = cubic(wavelength_nm(band));
                assert!((value - wanted).abs() < 1e-9, "{name}, band {band}: {value} {wanted}");
            }
        }
    }

    #[test]
    fn fine_readings_are_averaged() {
        // Alternating noise of ±0.01 all but vanishes.
        let nm = regular(380.0, 1.0, 351);
        let values: Vec<f64> =
            nm.iter().enumerate().map(|(i, _)| if i % 2 == 0 { 0.51 } else { 0.49 }).collect();
        let spectrum = resample(&nm, &values).unwrap();
        for band in 1..BANDS - 1 {
            assert!((spectrum[band] - 0.5).abs() < 1e-3, "band {band}: {}", spectrum[band]);
        }
    }

    #[test]
    fn uneven_steps_do_not_overshoot() {
        let mut nm = regular(380.0, 20.0, 19);
        nm.insert(5, 461.0);
        let mut values = vec![0.5; nm.len()];
        values[5] = 0.502;
        let spectrum = resample(&nm, &values).unwrap();
        assert!(spectrum.iter().all(|v| (0.499..=0.503).contains(v)), "{spectrum:?}");
    }

    #[test]
    fn what_cannot_be_brought_is_refused() {
        let nm = regular(400.0, 10.0, 31);
        let flat = vec![0.5; 31];
        assert!(resample(&nm, &flat).is_ok(), "400–700 nm by 10 is a usual instrument");
        let changed = |at: usize, to: f64| {
            let mut nm = nm.clone();
            nm[at] = to;
            resample(&nm, &flat).unwrap_err()
        };
        assert!(matches!(changed(5, 440.0), ResampleError::Twice { .. }), "twice");
        assert!(matches!(changed(5, 430.0), ResampleError::Order { .. }), "order");
        assert!(matches!(changed(5, f64::NAN), ResampleError::NotANumber { .. }), "no number");
        assert!(matches!(changed(0, 405.0), ResampleError::Gap { .. }), "starts late");
        let gap = resample(&[&nm[..10], &nm[12..]].concat(), &flat[2..]);
        assert_eq!(gap, Err(ResampleError::Gap { from_nm: 490.0, to_nm: 520.0 }));
        assert!(
            matches!(resample(&nm[..30], &flat[..30]), Err(ResampleError::Gap { .. })),
            "short"
        );
        assert!(matches!(resample(&[], &[]), Err(ResampleError::Gap { .. })), "nothing");
        assert!(matches!(resample(&nm, &flat[1..]), Err(ResampleError::Lengths { .. })), "lengths");
    }
}
