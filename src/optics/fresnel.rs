//! Reflection at the smooth face between a clear film and air, from the refractive index.

/// Fresnel reflectance at normal incidence, ((n−1)/(n+1))². Works from either side.
///
/// ```
/// assert!((pourbook::optics::normal_reflectance(1.5) - 0.04).abs() < 1e-15);
/// ```
#[must_use]
pub fn normal_reflectance(index: f64) -> f64 {
    let root = (index - 1.0) / (index + 1.0);
    root * root
}

/// Reflectance, for perfectly diffuse light inside the film, of its face to air:
/// ∫ R(θ) sin 2θ dθ over the hemisphere.
///
/// Beyond the critical angle everything returns; Snell's law turns the rest into the integral over
/// the outer angle, so k₂ = 1 − (1 − r)/n² with r = ∫₀¹ 2μ·R(μ) dμ, which is smooth and taken by
/// composite five-point Gauss–Legendre quadrature. Meant for `index` 1–3; published: n 1.50 → .5963.
#[must_use]
pub fn diffuse_internal_reflectance(index: f64) -> f64 {
    let outer = integral_over_unit(|mu| 2.0 * mu * from_air(index, mu));
    1.0 - (1.0 - outer) / (index * index)
}

/// Fresnel reflectance of unpolarised light from air, `mu` the cosine of the angle of incidence.
fn from_air(index: f64, mu: f64) -> f64 {
    let inside = libm::sqrt((index * index - 1.0 + mu * mu).max(0.0)); // n·cos θ
    if inside + mu <= 0.0 {
        return 1.0;
    }
    let across = (mu - inside) / (mu + inside);
    let squared = index * index * mu;
    let along = (squared - inside) / (squared + inside);
    f64::midpoint(across * across, along * along)
}

/// Gauss–Legendre, five points in each of 64 panels graded towards 0, where an index near 1 makes
/// the integrand steep.
fn integral_over_unit(f: impl Fn(f64) -> f64) -> f64 {
    const PANELS: u32 = 64;
    // Abramowitz and Stegun, table 25.4, n = 5.
    const NODES: [(f64, f64); 5] = [
        (0.0, 0.568_888_888_888_888_9),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (0.906_179_845_938_664, 0.236_926_885_056_189_08),
        (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
    ];
    let edge = |panel: u32| {
        let t = f64::from(panel) / f64::from(PANELS);
        t * t
    };
    let mut sum = 0.0;
    for panel in 0..PANELS {
        let (low, high) = (edge(panel), edge(panel + 1));
        let (middle, half) = (f64::midpoint(low, high), (high - low) / 2.0);
        for (node, weight) in NODES {
            sum += half * weight * f(middle + half * node);
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form of the outer diffuse reflectance (J. W. T. Walsh 1926, quoted by S. Q. Duntley,
    /// J. Opt. Soc. Am. 32, 61, 1942; from memory).
    fn walsh(n: f64) -> f64 {
        let (n2, n4) = (n * n, n * n * n * n);
        0.5 + (n - 1.0) * (3.0 * n + 1.0) / (6.0 * (n + 1.0) * (n + 1.0))
            + n2 * (n2 - 1.0) * (n2 - 1.0) / ((n2 + 1.0) * (n2 + 1.0) * (n2 + 1.0))
                * libm::log((n - 1.0) / (n + 1.0))
            - 2.0 * n2 * n * (n2 + 2.0 * n - 1.0) / ((n2 + 1.0) * (n4 - 1.0))
            + 8.0 * n4 * (n4 + 1.0) / ((n2 + 1.0) * (n4 - 1.0) * (n4 - 1.0)) * libm::log(n)
    }

    /// The hemisphere's integral as defined, from inside, by the midpoint rule in the inner angle:
    /// nothing shared with the code under test.
    fn from_inside(n: f64) -> f64 {
        let steps = 400_000_u32;
        let width = std::f64::consts::FRAC_PI_2 / f64::from(steps);
        let mut sum = 0.0;
        for step in 0..steps {
            let inner = width * (f64::from(step) + 0.5);
            let outer_sine = n * libm::sin(inner);
            let reflected = if outer_sine >= 1.0 {
                1.0
            } else {
                let outer = libm::asin(outer_sine);
                let s = libm::sin(outer - inner) / libm::sin(outer + inner);
                let p = libm::tan(outer - inner) / libm::tan(outer + inner);
                f64::midpoint(s * s, p * p)
            };
            sum += reflected * libm::sin(2.0 * inner) * width;
        }
        sum
    }

    #[test]
    fn published_values() {
        for (n, k1, k2) in [(1.50, 0.0400, 0.5963), (1.55, 0.0465, 0.6250)] {
            assert!((normal_reflectance(n) - k1).abs() < 1e-4, "k1 of {n}");
            let got = diffuse_internal_reflectance(n);
            assert!((got - k2).abs() < 1e-4, "k2 of {n}: {got}");
        }
    }

    #[test]
    fn agrees_with_the_closed_form() {
        for n in [1.05, 1.2, 1.33, 1.45, 1.5, 1.55, 1.6, 1.8, 2.5] {
            let closed = 1.0 - (1.0 - walsh(n)) / (n * n);
            let got = diffuse_internal_reflectance(n);
            assert!((got - closed).abs() < 1e-9, "n {n}: {got} against {closed}");
        }
    }

    #[test]
    fn agrees_with_direct_quadrature_from_inside() {
        for n in [1.4, 1.5, 1.55, 1.7] {
            let got = diffuse_internal_reflectance(n);
            let direct = from_inside(n);
            assert!((got - direct).abs() < 2e-6, "n {n}: {got} against {direct}");
        }
    }

    #[test]
    fn no_face_no_reflection() {
        assert!(normal_reflectance(1.0).abs() < 1e-15, "n = 1");
        assert!(diffuse_internal_reflectance(1.0).abs() < 1e-12, "n = 1");
    }
}
