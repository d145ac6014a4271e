//! Search along one variable.

/// The smallest value found in `low..=high` that satisfies a condition which, once true, stays true;
/// `high` is taken to satisfy it. By bisection, down to the spacing of the numbers or 2⁻⁸⁰ of the
/// interval, whichever comes first.
#[must_use]
pub fn crossing(satisfied: impl Fn(f64) -> bool, low: f64, high: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if satisfied(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// A root of `f` between `low`, where f ≤ 0, and `high`, where f ≥ 0: the first point met with |f|
/// at most `near_zero`, or the end of 100 turns. By false position with the Illinois rule (Dowell and
/// Jarratt, BIT 11, 168, 1971), which always keeps the root between.
#[must_use]
pub fn bracketed_root(f: impl Fn(f64) -> f64, low: f64, high: f64, near_zero: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let (mut at_low, mut at_high) = (f(low), f(high));
    let mut kept = 0_i8;
    for _ in 0..100 {
        if at_low.abs() <= near_zero {
            return low;
        }
        if at_high.abs() <= near_zero || high - low <= f64::EPSILON * high.abs() {
            return high;
        }
        let share = at_low / (at_low - at_high);
        let inside = share.is_finite() && share > 0.0 && share < 1.0;
        let middle = if inside { low + share * (high - low) } else { f64::midpoint(low, high) };
        let at_middle = f(middle);
        if at_middle < 0.0 {
            (low, at_low) = (middle, at_middle);
            if kept == 1 {
                at_high /= 2.0;
            }
            kept = 1;
        } else {
            (high, at_high) = (middle, at_middle);
            if kept == -1 {
                at_low /= 2.0;
            }
            kept = -1;
        }
    }
    if at_low.abs() < at_high.abs() { low } else { high }
}

/// Where `f` is lowest in `low..=high`, for an `f` that falls and then rises, to `tolerance` (same
/// unit; not below about 1e-8 of the value, where f stops changing). By golden section.
#[must_use]
pub fn golden_minimum(f: impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> f64 {
    const SHARE: f64 = 0.618_033_988_749_894_9; // (√5 − 1)/2
    let (mut low, mut high) = (low, high);
    let mut left = high - SHARE * (high - low);
    let mut right = low + SHARE * (high - low);
    let (mut at_left, mut at_right) = (f(left), f(right));
    // Each turn keeps 0.618 of the interval: 200 turns exhaust any f64 interval.
    for _ in 0..200 {
        if high - low <= tolerance {
            break;
        }
        if at_left <= at_right {
            high = right;
            (right, at_right) = (left, at_left);
            left = high - SHARE * (high - low);
            at_left = f(left);
        } else {
            low = left;
            (left, at_left) = (right, at_right);
            right = low + SHARE * (high - low);
            at_right = f(right);
        }
    }
    if at_left <= at_right { left } else { right }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_crossing_is_found(edge in -100.0..100.0_f64) {
            let found = crossing(|x| x >= edge, -100.0, 100.0);
            prop_assert!(found >= edge && found - edge < 1e-13, "{} for {}", found, edge);
        }

        #[test]
        fn the_root_is_found(at in -3.0..8.0_f64, bend in 0.1..3.0_f64) {
            let f = |x: f64| libm::expm1(bend * (x - at));
            let found = bracketed_root(f, -3.0, 8.0, 1e-12);
            prop_assert!((found - at).abs() < 1e-9, "{} for {}", found, at);
        }

        #[test]
        fn the_valley_is_found(at in -3.0..8.0_f64) {
            let found = golden_minimum(|x| (x - at) * (x - at) + 2.0, -3.0, 8.0, 1e-9);
            prop_assert!((found - at).abs() < 1e-7, "{} for {}", found, at);
        }
    }

    #[test]
    fn a_minimum_at_the_edge_is_found() {
        assert!(golden_minimum(|x| x, 1.0, 2.0, 1e-9) - 1.0 < 1e-8, "at the low edge");
    }

    #[test]
    fn an_interval_of_nothing_is_its_point() {
        assert_eq!(crossing(|_| true, 3.0, 3.0), 3.0, "one point");
        assert_eq!(golden_minimum(|x| x * x, 3.0, 3.0, 1e-9), 3.0, "one point");
    }
}
