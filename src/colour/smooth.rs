//! The smoothest reflectance that has a given colour.
//!
//! Many reflectances look alike; that of a real paint is smooth and lies between 0 and 1. With
//! R = (tanh z + 1)/2 any z is such a reflectance, and the least Σ(z[i+1] − z[i])² subject to the
//! exact colour is the smoothest (S. A. Burns, "Numerical methods for smoothest reflectance
//! reconstruction", Color Res. Appl. 45(1), 2020, "LHTSS"). Lagrange's conditions are solved by
//! Newton's method with their exact Jacobian. Where Newton does not arrive from the grey of the
//! same Y, the colour is approached in steps from that grey.

use super::srgb::{SRGB_WHITE, Srgb8};
use super::{Adaptation, Cat};
use crate::spectrum::{BANDS, Spectrum, Weights, Xyz};

/// Bands, and one multiplier for each of X, Y, Z.
const UNKNOWNS: usize = BANDS + 3;
/// Newton steps towards one target before a nearer one is tried.
const NEWTON_STEPS: u32 = 40;
/// The colour is exact to this much of X, Y, Z (white: Y = 100).
const EXACT: f64 = 1e-9;
/// The conditions of smoothness hold to this much.
const SMOOTH: f64 = 1e-7;
/// The shortest step towards the colour before it counts as out of reach.
const SHORTEST: f64 = 1.0 / 1024.0;

/// A colour that no reflectance between 0 and 1 has under this lamp.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("no surface has this colour under this lamp: X {:.2}, Y {:.2}, Z {:.2}", .0.x, .0.y, .0.z)]
pub struct Unreachable(pub Xyz);

/// The smoothest reflectance with the tristimulus values `xyz` under the weights' lamp and
/// observer; black and white are flat.
///
/// ```
/// use pourbook::{colour::smooth_reflectance, spectrum::{Illuminant, Observer, Xyz, weights}};
/// let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
/// let slate = Xyz::new(10.0, 11.0, 15.0);
/// let r = smooth_reflectance(slate, &w)?;
/// assert!((w.xyz(&r).z - 15.0).abs() < 1e-8 && r.iter().all(|v| (0.0..=1.0).contains(v)));
/// # Ok::<(), pourbook::colour::Unreachable>(())
/// ```
///
/// # Errors
/// [`Unreachable`] for a colour outside the solid of object colours, or so near its surface that
/// nothing smooth has it.
pub fn smooth_reflectance(xyz: Xyz, weights: &Weights) -> Result<Spectrum, Unreachable> {
    let white = weights.white();
    if near(xyz, Xyz::default()) {
        return Ok(Spectrum::flat(0.0));
    }
    if near(xyz, white) {
        return Ok(Spectrum::flat(1.0));
    }
    // Also refuses what is no number.
    let possible = xyz.y > 0.0 && xyz.y < 100.0 && xyz.x > 0.0 && xyz.z > 0.0;
    if !(possible && xyz.x < white.x && xyz.z < white.z) {
        return Err(Unreachable(xyz));
    }
    let grey = xyz.y / 100.0;
    let start = Xyz::new(grey * white.x, grey * white.y, grey * white.z);
    let mut state = [0.0; UNKNOWNS];
    state[..BANDS].fill(0.5 * libm::log(grey / (1.0 - grey)));
    let (mut done, mut step) = (0.0, 1.0);
    while done < 1.0 {
        let next = if done + step >= 1.0 { 1.0 } else { done + step };
        let on_the_way = |from: f64, to: f64| from + next * (to - from);
        let target = if next < 1.0 {
            Xyz::new(on_the_way(start.x, xyz.x), xyz.y, on_the_way(start.z, xyz.z))
        } else {
            xyz
        };
        match newton(state, target, weights) {
            Some(found) => {
                state = found;
                done = next;
                step *= 2.0;
            }
            None => {
                step *= 0.5;
                if step < SHORTEST {
                    return Err(Unreachable(xyz));
                }
            }
        }
    }
    let mut reflectance = Spectrum::flat(0.0);
    for (r, z) in reflectance.0.iter_mut().zip(&state) {
        *r = logistic(*z);
    }
    Ok(reflectance)
}

/// The smoothest reflectance of a screen colour seen as white paper would be under the weights'
/// lamp (adapted by CAT16).
///
/// # Errors
/// [`Unreachable`] as for [`smooth_reflectance`].
pub fn smooth_reflectance_of_srgb(
    colour: Srgb8,
    weights: &Weights,
) -> Result<Spectrum, Unreachable> {
    let adapted = Adaptation::new(SRGB_WHITE, weights.white(), Cat::Cat16).apply(colour.to_xyz());
    smooth_reflectance(adapted, weights)
}

fn near(a: Xyz, b: Xyz) -> bool {
    let (a, b) = (a.to_array(), b.to_array());
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < EXACT)
}

/// (tanh z + 1)/2.
fn logistic(z: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-2.0 * z))
}

/// Newton's method from a state to a target; `None` if it does not arrive.
fn newton(mut state: [f64; UNKNOWNS], target: Xyz, weights: &Weights) -> Option<[f64; UNKNOWNS]> {
    for _ in 0..NEWTON_STEPS {
        let (mut system, size_of_slope, size_of_miss) = equations(&state, target, weights);
        if size_of_slope < SMOOTH && size_of_miss < EXACT {
            return Some(state);
        }
        let change = solve(&mut system)?;
        // A step of z over 3 goes from one end of R to the other: shorten it.
        let longest = change[..BANDS].iter().fold(0.0_f64, |most, c| most.max(c.abs()));
        let shorten = if longest > 3.0 { 3.0 / longest } else { 1.0 };
        for (value, change) in state.iter_mut().zip(change) {
            *value += shorten * change;
        }
    }
    None
}

/// Rows of the linear system, the last column its right-hand side.
type System = [[f64; UNKNOWNS + 1]; UNKNOWNS];

/// The linear system of one Newton step, with the largest violations of smoothness and colour.
fn equations(state: &[f64; UNKNOWNS], target: Xyz, weights: &Weights) -> (System, f64, f64) {
    let rows = weights.rows();
    let multipliers = &state[BANDS..];
    let mut system = [[0.0; UNKNOWNS + 1]; UNKNOWNS];
    let (mut slope, mut sums) = (0.0_f64, [0.0; 3]);
    for band in 0..BANDS {
        let r = logistic(state[band]);
        let (first, second) = (2.0 * r * (1.0 - r), 4.0 * r * (1.0 - r) * (1.0 - 2.0 * r));
        let pull: f64 = (0..3).map(|k| multipliers[k] * rows[k][band]).sum();
        let mut residual = first * pull;
        let mut diagonal = second * pull;
        let neighbours = [band.checked_sub(1), (band + 1 < BANDS).then_some(band + 1)];
        for neighbour in neighbours.into_iter().flatten() {
            residual += 2.0 * (state[band] - state[neighbour]);
            diagonal += 2.0;
            system[band][neighbour] = -2.0;
        }
        system[band][band] = diagonal;
        system[band][UNKNOWNS] = -residual;
        slope = slope.max(residual.abs());
        for k in 0..3 {
            let sensitivity = first * rows[k][band];
            system[band][BANDS + k] = sensitivity;
            system[BANDS + k][band] = sensitivity;
            sums[k] += rows[k][band] * r;
        }
    }
    let mut miss = 0.0_f64;
    for (k, (sum, wanted)) in sums.into_iter().zip(target.to_array()).enumerate() {
        system[BANDS + k][UNKNOWNS] = wanted - sum;
        miss = miss.max((wanted - sum).abs());
    }
    (system, slope, miss)
}

/// Gaussian elimination with row pivoting; `None` if the system has no single solution.
fn solve(system: &mut System) -> Option<[f64; UNKNOWNS]> {
    for column in 0..UNKNOWNS {
        let pivot = (column..UNKNOWNS)
            .max_by(|&a, &b| system[a][column].abs().total_cmp(&system[b][column].abs()))?;
        let size = system[pivot][column].abs();
        if size.is_nan() || size < 1e-300 {
            return None;
        }
        system.swap(column, pivot);
        let (above, below) = system.split_at_mut(column + 1);
        let pivot_row = &above[column];
        for row in below {
            let factor = row[column] / pivot_row[column];
            if factor != 0.0 {
                for (value, pivot) in row[column..].iter_mut().zip(&pivot_row[column..]) {
                    *value -= factor * pivot;
                }
            }
        }
    }
    let mut solution = [0.0; UNKNOWNS];
    for row in (0..UNKNOWNS).rev() {
        let known: f64 =
            (row + 1..UNKNOWNS).map(|column| system[row][column] * solution[column]).sum();
        solution[row] = (system[row][UNKNOWNS] - known) / system[row][row];
    }
    solution.iter().all(|v| v.is_finite()).then_some(solution)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spectrum::{Illuminant, Observer, weights};

    #[test]
    fn every_screen_colour_of_a_lattice_has_its_reflectance() {
        let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        let levels = [0, 1, 2, 40, 128, 200, 254, 255];
        for r in levels {
            for g in levels {
                for b in levels {
                    let colour = Srgb8::new(r, g, b);
                    let found = smooth_reflectance_of_srgb(colour, &w);
                    let reflectance = found.unwrap_or_else(|error| panic!("{colour}: {error}"));
                    let shown =
                        super::super::ToScreen::from_white(w.white()).linear(w.xyz(&reflectance));
                    assert_eq!(Srgb8::from_linear(shown), colour, "{colour}");
                    let within = reflectance.iter().all(|v| (0.0..=1.0).contains(v));
                    assert!(within, "{colour}: {reflectance:?}");
                }
            }
        }
    }

    #[test]
    fn colours_that_no_surface_has_are_refused() {
        let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        for xyz in [
            Xyz::new(90.0, 20.0, 90.0),
            Xyz::new(20.0, 90.0, 5.0),
            Xyz::new(50.0, 0.0, 50.0),
            Xyz::new(95.0, 100.1, 108.0),
            Xyz::new(-1.0, 5.0, 5.0),
            Xyz::new(f64::NAN, 5.0, 5.0),
            Xyz::new(5.0, f64::INFINITY, 5.0),
        ] {
            assert!(smooth_reflectance(xyz, &w).is_err(), "{xyz:?}");
        }
    }
}
