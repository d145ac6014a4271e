//! Where each map does anything at all, so that a patch passes over those that lie elsewhere.

use super::super::map::Map;
use super::super::ribbon::PAD;
use super::patch::{Nodes, span};
use super::single;

/// Maps looked at together.
const TOGETHER: usize = 16;

/// More than a place on a board of some metres is rounded by in `f32`, mm.
const ROUNDING_MM: f64 = 0.01;

/// A box of the plane, mm: least x and y, greatest x and y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    low: [f32; 2],
    high: [f32; 2],
}

impl Bounds {
    const ALL: Self = Self { low: [f32::NEG_INFINITY; 2], high: [f32::INFINITY; 2] };
    const NONE: Self = Self { low: [f32::INFINITY; 2], high: [f32::NEG_INFINITY; 2] };

    /// The box of a patch; what lies between the nodes may reach a little beyond them.
    #[inline(always)]
    pub(super) fn of(x: &Nodes, y: &Nodes) -> Self {
        let ([x0, x1], [y0, y1]) = (span(x).into(), span(y).into());
        let (wide, high): (f32, f32) = (0.05 * (x1 - x0), 0.05 * (y1 - y0));
        Self { low: [x0 - wide, y0 - high], high: [x1 + wide, y1 + high] }
    }

    /// A place and the little that rounding may move it.
    #[inline(always)]
    pub(super) fn at(p: [f64; 2]) -> Self {
        Self { low: p.map(|v| single(v - ROUNDING_MM)), high: p.map(|v| single(v + ROUNDING_MM)) }
    }

    /// Whether two boxes have a place in common, or either is no box.
    #[inline(always)]
    fn meets(&self, other: &Self) -> bool {
        let apart = self.high[0] < other.low[0]
            || self.low[0] > other.high[0]
            || self.high[1] < other.low[1]
            || self.low[1] > other.high[1];
        !apart
    }

    fn with(self, other: Self) -> Self {
        let least = |k: usize| if other.low[k] < self.low[k] { other.low[k] } else { self.low[k] };
        let most =
            |k: usize| if other.high[k] > self.high[k] { other.high[k] } else { self.high[k] };
        Self { low: [least(0), least(1)], high: [most(0), most(1)] }
    }

    /// Outside of this a map leaves everything where it is.
    fn of_map(map: &Map) -> Self {
        let bounds = match map {
            Map::Ribbon(ribbon) => {
                let lattice = ribbon.lattice();
                let lowest = ribbon.table().iter().fold(f64::INFINITY, |low, [c, _]| low.min(*c));
                #[expect(clippy::cast_precision_loss, reason = "far below 2^52 places")]
                let x = |place: i64| lattice.origin + place as f64 * lattice.step;
                let pad = i64::try_from(PAD).unwrap_or(0);
                let count = i64::try_from(ribbon.table().len()).unwrap_or(0);
                // Two steps on either side of the first and the last width, and one for rounding.
                let from = ribbon.first().saturating_add(pad - 3);
                let to = ribbon.first().saturating_add(count - pad + 2);
                let x = [x(from), x(to)].map(single);
                Self { low: [x[0], single(lowest) - 0.01], high: [x[1], f32::INFINITY] }
            }
            Map::Vortex(vortex) => {
                let ([x, y], [wide, high]) = (vortex.centre, vortex.reach());
                Self {
                    low: [x - wide, y - high].map(single),
                    high: [x + wide, y + high].map(single),
                }
            }
            _ => Self::ALL,
        };
        // A map that is no proper one is never passed over.
        let proper = bounds.low.iter().chain(&bounds.high).all(|v| !v.is_nan());
        if proper { bounds } else { Self::ALL }
    }
}

/// The boxes of maps, each and sixteen together.
#[derive(Debug, Clone)]
pub(super) struct Reaches {
    each: Vec<Bounds>,
    together: Vec<Bounds>,
}

impl Reaches {
    pub(super) fn of(maps: &[Map]) -> Self {
        let each: Vec<Bounds> = maps.iter().map(Bounds::of_map).collect();
        let together = each
            .chunks(TOGETHER)
            .map(|some| some.iter().fold(Bounds::NONE, |all, one| all.with(*one)))
            .collect();
        Self { each, together }
    }

    /// The last of the first `count` maps that does anything in a box.
    #[inline(always)]
    pub(super) fn last_that_meets(&self, count: usize, near: &Bounds) -> Option<usize> {
        let mut number = count;
        while number > 0 {
            let group = (number - 1) / TOGETHER;
            if self.together.get(group).is_some_and(|all| !all.meets(near)) {
                number = group * TOGETHER;
                continue;
            }
            let first = group * TOGETHER;
            while number > first {
                number -= 1;
                if self.each.get(number).is_some_and(|one| one.meets(near)) {
                    return Some(number);
                }
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::map::Vortex;
    use super::*;

    #[test]
    fn only_maps_nearby_are_told_last_first() {
        let maps: Vec<Map> = (0..100_u8)
            .map(|k| {
                let centre = [f64::from(k % 10) * 100.0, f64::from(k / 10) * 100.0];
                let (half, along) = ([30.0, 30.0], [1.0, 0.0]);
                Map::Vortex(Vortex { centre, half, along, half_tangent: 0.3 })
            })
            .collect();
        let reaches = Reaches::of(&maps);
        let near = Bounds { low: [310.0, 480.0], high: [420.0, 490.0] };
        let mut told = Vec::new();
        let mut count = maps.len();
        while let Some(number) = reaches.last_that_meets(count, &near) {
            told.push(number);
            count = number;
        }
        assert_eq!(told, [54, 53]);
        let nowhere = Bounds { low: [f32::NAN; 2], high: [f32::NAN; 2] };
        assert_eq!(reaches.last_that_meets(100, &nowhere), Some(99), "what is no box meets all");
    }
}
