//! Following dy/dt = f(y) in time: explicit Runge–Kutta of order five with an embedded error
//! estimate (Dormand and Prince 1980, J. Comput. Appl. Math. 6, 19), and events located inside
//! the step that crosses them by stepping there again, so an event is as exact as a step.

use super::HeatError;

/// How finely to follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precision {
    /// Allowed local error of each component, relative to its scale.
    pub relative: f64,
    /// No step longer than this, s.
    pub longest_step_s: f64,
}

impl Default for Precision {
    fn default() -> Self {
        Self { relative: 1e-8, longest_step_s: f64::INFINITY }
    }
}

/// A moment of the way followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment<const N: usize> {
    /// Seconds from the start.
    pub time_s: f64,
    /// The state then.
    pub state: [f64; N],
}

/// What was met on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way<const N: usize, const M: usize> {
    /// The first crossing of each event from below zero to zero or above.
    pub events: [Option<Moment<N>>; M],
    /// Where the following ended.
    pub end: Moment<N>,
    /// Steps taken.
    pub steps: usize,
}

/// A function of the state that is watched for rising through zero.
pub type Event<'a, const N: usize> = dyn Fn(&[f64; N]) -> f64 + 'a;

/// More steps than this is an error, so that no input runs for ever.
pub const MOST_STEPS: usize = 200_000;

const A: [[f64; 6]; 6] = [
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];

/// Fifth-order weights less fourth-order weights.
const ERROR: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

struct Step<const N: usize> {
    state: [f64; N],
    slope: [f64; N],
    /// Estimated local error.
    error: [f64; N],
}

fn step<const N: usize>(
    slope: &impl Fn(&[f64; N]) -> [f64; N],
    from: &[f64; N],
    first: &[f64; N],
    length_s: f64,
) -> Step<N> {
    let mut k = [[0.0; N]; 7];
    k[0] = *first;
    let mut state = *from;
    for stage in 0..6 {
        state = *from;
        for (weight, slope) in A[stage].iter().zip(&k) {
            for c in 0..N {
                state[c] += length_s * weight * slope[c];
            }
        }
        k[stage + 1] = slope(&state);
    }
    let mut error = [0.0; N];
    for (weight, slope) in ERROR.iter().zip(&k) {
        for c in 0..N {
            error[c] += length_s * weight * slope[c];
        }
    }
    Step { state, slope: k[6], error }
}

/// Follows `slope` from `start` until `enough` says so of an accepted step's moment and the
/// events met so far, or until `horizon_s`.
///
/// `scale` is the size that each component's error is measured against. An event is a function
/// of the state; it is met where it rises from below zero to zero or above.
///
/// # Errors
/// [`HeatError::TooManySteps`] past [`MOST_STEPS`], also where the slope stops being finite.
pub fn follow<const N: usize, const M: usize>(
    slope: impl Fn(&[f64; N]) -> [f64; N],
    start: [f64; N],
    scale: [f64; N],
    horizon_s: f64,
    precision: Precision,
    events: [&Event<'_, N>; M],
    enough: impl Fn(&Moment<N>, &[Option<Moment<N>>; M]) -> bool,
) -> Result<Way<N, M>, HeatError> {
    let too_many = HeatError::TooManySteps { steps: MOST_STEPS };
    let mut now = Moment { time_s: 0.0, state: start };
    let mut first = slope(&now.state);
    let mut met = [None; M];
    let mut length_s = first_step_s(&first, &scale, precision).min(horizon_s);
    for steps in 0..MOST_STEPS {
        let left_s = horizon_s - now.time_s;
        if left_s <= 0.0 || enough(&now, &met) {
            return Ok(Way { events: met, end: now, steps });
        }
        let last = length_s >= left_s;
        let tried_s = length_s.min(left_s);
        let tried = step(&slope, &now.state, &first, tried_s);
        let error = tried
            .error
            .iter()
            .zip(&scale)
            .map(|(e, s)| (e / (s * precision.relative)).abs())
            .fold(0.0, |worst: f64, e| if e.is_nan() { f64::INFINITY } else { worst.max(e) });
        // Standard step control: aim at 0.9 of the allowed error, change by at most ×0.2 to ×5.
        let change =
            if error == 0.0 { 5.0 } else { (0.9 * libm::pow(error, -0.2)).clamp(0.2, 5.0) };
        length_s = (tried_s * change).min(precision.longest_step_s);
        if error > 1.0 {
            if tried_s <= now.time_s * 1e-15 {
                return Err(too_many);
            }
            continue;
        }
        for (event, met) in events.iter().zip(&mut met) {
            if met.is_none() && event(&now.state) < 0.0 && event(&tried.state) >= 0.0 {
                let at_s = crossing_s(&slope, &now.state, &first, tried_s, event);
                let state = step(&slope, &now.state, &first, at_s).state;
                *met = Some(Moment { time_s: now.time_s + at_s, state });
            }
        }
        let time_s = if last { horizon_s } else { now.time_s + tried_s };
        now = Moment { time_s, state: tried.state };
        first = tried.slope;
    }
    Err(too_many)
}

/// A first step over which no component moves more than a hundredth of its scale.
fn first_step_s<const N: usize>(slope: &[f64; N], scale: &[f64; N], precision: Precision) -> f64 {
    let quickest = slope.iter().zip(scale).map(|(k, s)| (k / s).abs()).fold(1e-9, f64::max);
    (0.01 / quickest).min(precision.longest_step_s)
}

/// Seconds into a step at which `event` rises through zero, by regula falsi (Illinois form),
/// which keeps the crossing between its two ends.
fn crossing_s<const N: usize>(
    slope: &impl Fn(&[f64; N]) -> [f64; N],
    from: &[f64; N],
    first: &[f64; N],
    length_s: f64,
    event: &Event<'_, N>,
) -> f64 {
    let value = |at_s: f64| event(&step(slope, from, first, at_s).state);
    bracketed_zero(0.0, length_s, event(from), value(length_s), 1e-12 * length_s, value)
}

/// The zero of a rising or falling function between `low` and `high`, where its values `at_low`
/// and `at_high` differ in sign: regula falsi with the Illinois correction (Dowell and Jarratt
/// 1971, BIT 11, 168), to a bracket of `width`, at most 100 evaluations.
pub(super) fn bracketed_zero(
    mut low: f64,
    mut high: f64,
    mut at_low: f64,
    mut at_high: f64,
    width: f64,
    value: impl Fn(f64) -> f64,
) -> f64 {
    let mut kept_low = 0_i8;
    for _ in 0..100 {
        if at_high == 0.0 || (high - low).abs() <= width {
            break;
        }
        let guess = low + (high - low) * (at_low / (at_low - at_high)).clamp(0.0, 1.0);
        let at_guess = value(guess);
        if at_guess == 0.0 {
            return guess;
        }
        if (at_guess < 0.0) == (at_low < 0.0) {
            if (guess - low).abs() <= width && kept_low < 0 {
                return guess;
            }
            (low, at_low) = (guess, at_guess);
            if kept_low < 0 {
                at_high *= 0.5;
            }
            kept_low = -1;
        } else {
            if (high - guess).abs() <= width && kept_low > 0 {
                return guess;
            }
            (high, at_high) = (guess, at_guess);
            if kept_low > 0 {
                at_low *= 0.5;
            }
            kept_low = 1;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// y″ = −y from (0, 1): sine. Its first return to zero from below is at 2π.
    #[test]
    fn a_sine_comes_back_at_two_pi() {
        let rises = |y: &[f64; 2]| y[0];
        let way = follow(
            |y: &[f64; 2]| [y[1], -y[0]],
            [0.0, 1.0],
            [1.0, 1.0],
            7.0,
            Precision::default(),
            [&rises],
            |_, _| false,
        )
        .unwrap();
        let met = way.events[0].unwrap();
        assert!((met.time_s - std::f64::consts::TAU).abs() < 1e-7, "{}", met.time_s);
        assert_eq!(way.end.time_s, 7.0, "the horizon is met exactly");
        assert!((way.end.state[0] - libm::sin(7.0)).abs() < 1e-7, "{:?}", way.end);
    }

    /// With the step held fixed, halving it must lessen the error by about 2⁵.
    #[test]
    fn the_order_is_five() {
        let error = |step_s: f64| {
            let way = follow(
                |y: &[f64; 1]| [y[0]],
                [1.0],
                [1e3],
                1.0,
                Precision { relative: 1e6, longest_step_s: step_s },
                [],
                |_, _| false,
            )
            .unwrap();
            (way.end.state[0] - std::f64::consts::E).abs()
        };
        let order = libm::log2(error(0.1) / error(0.05));
        assert!((4.8..5.3).contains(&order), "observed order {order}");
    }

    #[test]
    fn a_slope_that_is_no_number_ends_with_an_error() {
        let way = follow(
            |_: &[f64; 1]| [f64::NAN],
            [1.0],
            [1.0],
            1.0,
            Precision::default(),
            [],
            |_, _| false,
        );
        assert!(way.is_err(), "{way:?}");
    }

    #[test]
    fn a_zero_is_found_between_its_ends() {
        let root = bracketed_zero(0.0, 3.0, -2.0, 7.0, 1e-14, |x| x * x - 2.0);
        assert!((root - std::f64::consts::SQRT_2).abs() < 1e-12, "{root}");
        let falling = bracketed_zero(0.0, 10.0, 1.0, -1e9, 1e-13, |x| 1.0 - x * x * x);
        assert!((falling - 1.0).abs() < 1e-9, "{falling}");
    }
}
