//! A smooth function of one variable from evenly spaced coefficients: the uniform cubic B-spline.
//!
//! f(q) = Σ aₖ·B(q − k) with q in steps and B the cubic B-spline of support (−2, 2) (de Boor 1978, "A practical guide to
//! splines", ch. IX). It is twice smooth, it lies between the least and the greatest of the four coefficients that act
//! at a place, sums of coefficients give sums of functions, and ∫f = Σ aₖ steps: what is asked of coefficients holds
//! for the function, exactly.

use super::series::Real;

/// Weights of the coefficients k−1, k, k+1 and k+2 at `t` in 0 to 1 of the way from k to k+1.
#[inline(always)]
pub(super) fn weights<T: Real>(t: T) -> [T; 4] {
    let n = T::near;
    let u = n(1.0) - t;
    let (t2, u2) = (t * t, u * u);
    let sixth = n(1.0 / 6.0);
    [
        u2 * u * sixth,
        (n(4.0) - t2 * (n(6.0) - n(3.0) * t)) * sixth,
        (n(4.0) - u2 * (n(6.0) - n(3.0) * u)) * sixth,
        t2 * t * sixth,
    ]
}

/// How much of the integral of the same four lies before `t`, in steps; of those further left all, further right none.
#[inline(always)]
pub(super) fn integrals<T: Real>(t: T) -> [T; 4] {
    let n = T::near;
    let per = n(1.0 / 24.0);
    let (t2, u) = (t * t, n(1.0) - t);
    let u2 = u * u;
    [
        n(1.0) - u2 * u2 * per,
        (n(12.0) + t * (n(16.0) - t2 * (n(8.0) - n(3.0) * t))) * per,
        (n(12.0) - u * (n(16.0) - u2 * (n(8.0) - n(3.0) * u))) * per,
        t2 * t2 * per,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_sum_to_one_and_follow_a_straight_line() {
        for i in 0..=20 {
            let t = f64::from(i) / 20.0;
            let w = weights(t);
            assert!((w.iter().sum::<f64>() - 1.0).abs() < 1e-15);
            let line: f64 = w.iter().zip([-1.0, 0.0, 1.0, 2.0]).map(|(w, a)| w * a).sum();
            assert!((line - t).abs() < 1e-15, "{line} at {t}");
        }
        // De Boor's values at a knot.
        assert_eq!(weights(0.0_f64).map(|w| (w * 6.0).round()), [1.0, 4.0, 1.0, 0.0]);
    }

    #[test]
    fn integrals_grow_as_the_weights_say() {
        assert_eq!(integrals(0.0_f64).map(|v| (v * 24.0).round()), [23.0, 12.0, 1.0, 0.0]);
        let mut sums = integrals(0.0_f64);
        for i in 0..1000 {
            let at = |k: f64| weights((f64::from(i) + k) / 1000.0);
            for (k, sum) in sums.iter_mut().enumerate() {
                *sum += (at(0.0)[k] + 4.0 * at(0.5)[k] + at(1.0)[k]) / 6000.0; // Simpson
            }
            let want = integrals((f64::from(i) + 1.0) / 1000.0);
            assert!(sums.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-13), "{sums:?} {want:?}");
        }
    }
}
