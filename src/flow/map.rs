//! Closed-form, area-preserving maps of the plane, forward and exactly back (f64, the oracle).

use super::ribbon::Ribbon;
use super::series::{sin_turns, sin_turns_fast};

/// New fluid let in at a point: a round drop, or, stretched along a direction, the line source of a ribbon.
///
/// In the frame where the source is round, with q = |P − C|², the plane moves to C + (P − C)·√(1 + R²/q). The
/// disc q < R² is the new fluid; everything else has kept its area (d(q + R²) = dq; the classic marbling drop,
/// Jaffer 2011, "The mathematics of marbling"). A linear stretch of determinant 1 before and after keeps that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Where the stream lands, mm.
    pub centre: [f64; 2],
    /// R², mm²: the new area over π.
    pub radius2: f64,
    /// Unit vector along the ribbon.
    pub along: [f64; 2],
    /// Long semi-axis over R, at least 1 for a ribbon; 1 is a drop.
    pub stretch: f64,
}

/// A shear along a sine: every point slides along a straight line, by how far across it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wave {
    /// Unit vector across the sliding direction.
    pub normal: [f64; 2],
    /// Largest slide, mm.
    pub amplitude: f64,
    /// Waves per mm along `normal`.
    pub per_mm: f64,
    /// Phase, turns.
    pub phase: f64,
}

/// One tooth drawn through the film: a slide along a line that falls off to both sides as 1/(1 + (x/w)²).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tine {
    /// Unit vector across the tooth's path.
    pub normal: [f64; 2],
    /// Where the path lies along `normal`, mm.
    pub offset: f64,
    /// Half width w, mm, above 0.
    pub width: f64,
    /// Slide on the path, mm.
    pub amplitude: f64,
}

/// A turn about a point that fades to nothing at a rim, a circle or an ellipse.
///
/// With q the squared distance from the centre in the frame where the rim is the unit circle, what lies there is turned, in
/// that frame, by twice the angle whose tangent is τ(1 − q)². A turn by an angle that depends on the radius alone keeps
/// area, a linear stretch before and after does not change that, and the inverse is the turn the other way. (Own
/// derivation.) In the plane's own coordinates, with S the symmetric matrix of determinant 1 whose ellipse the rim is and
/// e = S·d, q is d·e over the product of the semi-axes and the turn is d cos + e′ sin with e′ the
/// vector e turned by a right angle: no frame is needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vortex {
    /// The point turned about, mm.
    pub centre: [f64; 2],
    /// The rim's semi-axes, mm, above 0: along and across.
    pub half: [f64; 2],
    /// Unit vector along the first of them.
    pub along: [f64; 2],
    /// tan of half the angle turned at the centre, τ: a rational turn needs no sine.
    pub half_tangent: f64,
}

/// The plane turned as a whole about its origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotation {
    /// Unit vector that the x axis goes to.
    pub along: [f64; 2],
}

/// One movement of the film.
#[derive(Debug, Clone, PartialEq)]
pub enum Map {
    /// New fluid at a point.
    Source(Source),
    /// New fluid along a line.
    Ribbon(Ribbon),
    /// Shear along a sine.
    Wave(Wave),
    /// A tooth.
    Tine(Tine),
    /// A turn about a point, fading out.
    Vortex(Vortex),
    /// A turn of everything.
    Rotation(Rotation),
}

/// Where a point was before a map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Back {
    /// It was here, mm.
    At([f64; 2]),
    /// It came with the new fluid: its place there, in the unit disc of a [`Source`] (first coordinate along), or for
    /// a [`Ribbon`] the share of its area before the place and the place across, 0 near rim to 1 far rim.
    Came([f64; 2]),
}

impl Source {
    /// The place of `p` in the frame where the new fluid is the unit disc.
    #[must_use]
    pub fn in_disc(&self, p: [f64; 2]) -> [f64; 2] {
        let (dx, dy) = (p[0] - self.centre[0], p[1] - self.centre[1]);
        let radius = self.radius2.sqrt();
        let u = dx * self.along[0] + dy * self.along[1];
        let v = dy * self.along[0] - dx * self.along[1];
        [u / (radius * self.stretch), v * self.stretch / radius]
    }

    /// The point of the plane at `disc` in the unit disc's frame, mm.
    #[must_use]
    pub fn from_disc(&self, disc: [f64; 2]) -> [f64; 2] {
        let radius = self.radius2.sqrt();
        let (u, v) = (disc[0] * radius * self.stretch, disc[1] * radius / self.stretch);
        [
            self.centre[0] + u * self.along[0] - v * self.along[1],
            self.centre[1] + u * self.along[1] + v * self.along[0],
        ]
    }

    /// Coefficients a, 2b, c of q/… in plane coordinates: q = a·dx² + 2b·dx·dy + c·dy², det 1.
    #[must_use]
    pub fn form(&self) -> [f64; 3] {
        let k2 = self.stretch * self.stretch;
        let [x, y] = self.along;
        [x * x / k2 + y * y * k2, 2.0 * x * y * (1.0 / k2 - k2), y * y / k2 + x * x * k2]
    }

    fn scaled(&self, p: [f64; 2], factor: f64) -> [f64; 2] {
        [
            self.centre[0] + (p[0] - self.centre[0]) * factor,
            self.centre[1] + (p[1] - self.centre[1]) * factor,
        ]
    }

    fn q(&self, p: [f64; 2]) -> f64 {
        let disc = self.in_disc(p);
        (disc[0] * disc[0] + disc[1] * disc[1]) * self.radius2
    }
}

impl Wave {
    fn slide(&self, p: [f64; 2], sign: f64) -> [f64; 2] {
        let across = p[0] * self.normal[0] + p[1] * self.normal[1];
        let by = sign * self.amplitude * sin_turns_fast(across * self.per_mm + self.phase);
        [p[0] - self.normal[1] * by, p[1] + self.normal[0] * by]
    }
}

impl Tine {
    fn slide(&self, p: [f64; 2], sign: f64) -> [f64; 2] {
        let across = (p[0] * self.normal[0] + p[1] * self.normal[1] - self.offset) / self.width;
        let by = sign * self.amplitude / (1.0 + across * across);
        [p[0] - self.normal[1] * by, p[1] + self.normal[0] * by]
    }
}

impl Vortex {
    /// Elements xx, xy and yy of S.
    pub(super) fn form(&self) -> [f64; 3] {
        let (narrow, [x, y]) = (self.half[1] / self.half[0], self.along);
        let wide = 1.0 / narrow;
        [x * x * narrow + y * y * wide, x * y * (narrow - wide), y * y * narrow + x * x * wide]
    }

    /// How far the rim reaches from the centre along x and along y, mm.
    pub(super) fn reach(&self) -> [f64; 2] {
        let ([a, b], [x, y]) = (self.half, self.along);
        [(a * a * x * x + b * b * y * y).sqrt(), (a * a * y * y + b * b * x * x).sqrt()]
    }

    fn turn(&self, p: [f64; 2], sign: f64) -> [f64; 2] {
        let [dx, dy] = [p[0] - self.centre[0], p[1] - self.centre[1]];
        let [xx, xy, yy] = self.form();
        let [ex, ey] = [xx * dx + xy * dy, xy * dx + yy * dy];
        let fade = 1.0 - (dx * ex + dy * ey) / (self.half[0] * self.half[1]);
        if fade <= 0.0 {
            return p;
        }
        let t = sign * self.half_tangent * fade * fade;
        let norm = 1.0 + t * t;
        let (cos, sin) = ((1.0 - t * t) / norm, 2.0 * t / norm);
        [self.centre[0] + dx * cos - ey * sin, self.centre[1] + dy * cos + ex * sin]
    }
}

impl Rotation {
    fn turn(&self, [x, y]: [f64; 2], sign: f64) -> [f64; 2] {
        let (cos, sin) = (self.along[0], sign * self.along[1]);
        [x * cos - y * sin, x * sin + y * cos]
    }
}

impl Map {
    /// Where `p` (mm) goes. A source's own centre stays (it is torn to the whole rim); a ribbon's line goes to its far
    /// rim.
    #[must_use]
    pub fn forward(&self, p: [f64; 2]) -> [f64; 2] {
        match self {
            Self::Source(source) => {
                let q = source.q(p);
                if q <= 0.0 { p } else { source.scaled(p, (1.0 + source.radius2 / q).sqrt()) }
            }
            Self::Ribbon(ribbon) => match ribbon.line_and_width(p[0]) {
                Some([line, width]) if p[1] >= line => [p[0], p[1] + width],
                _ => p,
            },
            Self::Wave(wave) => wave.slide(p, 1.0),
            Self::Tine(tine) => tine.slide(p, 1.0),
            Self::Vortex(vortex) => vortex.turn(p, 1.0),
            Self::Rotation(rotation) => rotation.turn(p, 1.0),
        }
    }

    /// Where `p` (mm) was before the map, or that it came with it.
    #[must_use]
    pub fn back(&self, p: [f64; 2]) -> Back {
        match self {
            Self::Source(source) => {
                let q = source.q(p);
                if q < source.radius2 {
                    Back::Came(source.in_disc(p))
                } else {
                    Back::At(source.scaled(p, (1.0 - source.radius2 / q).sqrt()))
                }
            }
            Self::Ribbon(ribbon) => match ribbon.line_and_width(p[0]) {
                Some([line, width]) if p[1] >= line + width => Back::At([p[0], p[1] - width]),
                Some([line, width]) if p[1] >= line => {
                    Back::Came([ribbon.part_before(p[0]), (p[1] - line) / width])
                }
                _ => Back::At(p),
            },
            Self::Wave(wave) => Back::At(wave.slide(p, -1.0)),
            Self::Tine(tine) => Back::At(tine.slide(p, -1.0)),
            Self::Vortex(vortex) => Back::At(vortex.turn(p, -1.0)),
            Self::Rotation(rotation) => Back::At(rotation.turn(p, -1.0)),
        }
    }
}

/// Where the fluid at a point came from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Origin {
    /// With the new fluid of the map of this number, from this place in it (see [`Back::Came`]).
    Came(usize, [f64; 2]),
    /// It was part of the film before the first map, here, mm.
    Film([f64; 2]),
}

/// Carries `p` (mm) back through `maps`, last first, to where its fluid came from.
#[must_use]
pub fn back_trace(maps: &[Map], p: [f64; 2]) -> Origin {
    let mut at = p;
    for (index, map) in maps.iter().enumerate().rev() {
        match map.back(at) {
            Back::At(before) => at = before,
            Back::Came(disc) => return Origin::Came(index, disc),
        }
    }
    Origin::Film(at)
}

/// A board tilted and set level again: waves of nearly one direction that draw blobs out into veins.
///
/// `direction` in turns, `wavelengths_mm` one a wave, `strength` the amplitude over the wavelength (0.05 to 0.26
/// looks like a hand-tilted board); `wobble` draws numbers in [−1, 1] for phases and directions.
pub fn tilt(
    direction: f64,
    wavelengths_mm: &[f64],
    strength: f64,
    mut wobble: impl FnMut() -> f64,
) -> Vec<Map> {
    wavelengths_mm
        .iter()
        .map(|wavelength| {
            let turn = direction + 0.045 * wobble();
            Map::Wave(Wave {
                normal: [sin_turns(turn + 0.25), sin_turns(turn)],
                amplitude: wavelength * strength * (1.0 + 0.35 * wobble()),
                per_mm: 1.0 / wavelength,
                phase: 0.5 * wobble(),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::ribbon::Lattice;
    use super::*;
    use proptest::prelude::*;

    fn unit(turns: f64) -> [f64; 2] {
        [sin_turns(turns + 0.25), sin_turns(turns)]
    }

    fn any_map() -> impl Strategy<Value = Map> {
        let place = (-300.0_f64..300.0, -300.0_f64..300.0);
        prop_oneof![
            (place.clone(), 1.0_f64..60.0, 0.0_f64..1.0, 1.0_f64..3.0).prop_map(
                |((x, y), r, turn, stretch)| {
                    Map::Source(Source {
                        centre: [x, y],
                        radius2: r * r,
                        along: unit(turn),
                        stretch,
                    })
                }
            ),
            (
                (-300.0_f64..300.0, 3.0_f64..40.0, -20_i64..20),
                prop::collection::vec((-300.0_f64..300.0, 0.0_f64..60.0), 1..30)
            )
                .prop_map(|((origin, step, first), table)| {
                    let table: Vec<_> = table.into_iter().map(|(c, w)| [c, w]).collect();
                    Map::Ribbon(Ribbon::new(Lattice { origin, step }, first, &table))
                }),
            (0.0_f64..1.0).prop_map(|turn| Map::Rotation(Rotation { along: unit(turn) })),
            (0.0_f64..1.0, -80.0_f64..80.0, 0.001_f64..0.03, 0.0_f64..1.0).prop_map(
                |(turn, amplitude, per_mm, phase)| {
                    Map::Wave(Wave { normal: unit(turn), amplitude, per_mm, phase })
                }
            ),
            (0.0_f64..1.0, -200.0_f64..200.0, 3.0_f64..90.0, -80.0_f64..80.0).prop_map(
                |(turn, offset, width, amplitude)| {
                    Map::Tine(Tine { normal: unit(turn), offset, width, amplitude })
                }
            ),
            (place, (20.0_f64..400.0, 20.0_f64..400.0), 0.0_f64..1.0, -1.2_f64..1.2).prop_map(
                |((x, y), (a, b), turn, half_tangent)| {
                    Map::Vortex(Vortex {
                        centre: [x, y],
                        half: [a, b],
                        along: unit(turn),
                        half_tangent,
                    })
                }
            ),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn back_undoes_forward(map in any_map(), x in -400.0_f64..400.0, y in -400.0_f64..400.0) {
            let p = [x, y];
            if let Map::Source(source) = &map {
                // The centre itself is torn; a micrometre from it the inverse is conditioned as r/R.
                prop_assume!(source.q(p) > 1e-4);
            }
            match map.back(map.forward(p)) {
                Back::At(again) => {
                    let error = (again[0] - x).abs().max((again[1] - y).abs());
                    prop_assert!(error < 1e-9, "{:?} moved {:?} by {}", map, p, error);
                }
                Back::Came(disc) => prop_assert!(false, "old fluid taken for new: {:?}", disc),
            }
        }

        #[test]
        fn forward_undoes_back(map in any_map(), x in -400.0_f64..400.0, y in -400.0_f64..400.0) {
            match map.back([x, y]) {
                Back::At(before) => {
                    if let Map::Source(source) = &map { prop_assume!(source.q(before) > 1e-4); }
                    let again = map.forward(before);
                    prop_assert!((again[0] - x).abs().max((again[1] - y).abs()) < 1e-9, "{:?}", map);
                }
                Back::Came(place) => {
                    let again = match &map {
                        Map::Source(source) => {
                            let reach = place[0] * place[0] + place[1] * place[1];
                            prop_assert!(reach < 1.0 + 1e-12, "inside the disc");
                            source.from_disc(place)
                        }
                        Map::Ribbon(ribbon) => {
                            let [line, width] = ribbon.line_and_width(x).unwrap_or_default();
                            prop_assert!(place.iter().all(|c| (0.0..=1.0).contains(c)), "inside");
                            [x, line + place[1] * width]
                        }
                        _ => return Err(TestCaseError::fail("nothing new came")),
                    };
                    prop_assert!((again[0] - x).abs().max((again[1] - y).abs()) < 1e-9, "its place");
                }
            }
        }

        #[test]
        fn area_is_kept(map in any_map(), x in -400.0_f64..400.0, y in -400.0_f64..400.0) {
            // Central differences of fourth order: the step's own error is below the 1e-6 asked.
            if let Map::Source(source) = &map { prop_assume!(source.q([x, y]) > 4.0); }
            if let Map::Vortex(vortex) = &map {
                let (dx, dy) = (x - vortex.centre[0], y - vortex.centre[1]);
                let [xx, xy, yy] = vortex.form();
                let q = xx * dx * dx + 2.0 * xy * dx * dy + yy * dy * dy;
                let fade = 1.0 - q / (vortex.half[0] * vortex.half[1]);
                prop_assume!(fade.abs() > 2e-3); // the rim is smooth only once, differences straddle it
            }
            if let Map::Ribbon(ribbon) = &map {
                // Differences must not straddle the line, nor a place where the splines' third derivative jumps.
                let [line, _] = ribbon.line_and_width(x).unwrap_or([f64::INFINITY; 2]);
                prop_assume!((y - line).abs() > 2.0);
                let lattice = ribbon.lattice();
                let at = (x - lattice.origin) / lattice.step;
                prop_assume!((at - at.round()).abs() * lattice.step > 0.01);
            }
            let h = 2e-3;
            let along = |axis: usize| {
                let at = |k: f64| {
                    let mut p = [x, y];
                    p[axis] += k * h;
                    map.forward(p)
                };
                let (a, b, c, d) = (at(-2.0), at(-1.0), at(1.0), at(2.0));
                [0, 1].map(|i| (a[i] - 8.0 * b[i] + 8.0 * c[i] - d[i]) / (12.0 * h))
            };
            let (jx, jy) = (along(0), along(1));
            let det = jx[0] * jy[1] - jx[1] * jy[0];
            prop_assert!((det - 1.0).abs() < 1e-6, "{:?} has determinant {}", map, det);
        }
    }

    #[test]
    fn a_round_vortex_turns_by_its_angle_and_an_oval_one_does_not_reach_past_its_rim() {
        let round =
            Vortex { centre: [5.0, 5.0], half: [40.0, 40.0], along: unit(0.1), half_tangent: 0.5 };
        // Half way to the rim 9/16 of the tangent: an angle of twice atan(9/32).
        let out = Map::Vortex(round).forward([25.0, 5.0]);
        let t = 0.5 * (0.75_f64 * 0.75);
        let want =
            [5.0 + 20.0 * (1.0 - t * t) / (1.0 + t * t), 5.0 + 20.0 * 2.0 * t / (1.0 + t * t)];
        assert!((out[0] - want[0]).abs() < 1e-12 && (out[1] - want[1]).abs() < 1e-12, "{out:?}");
        let oval = Vortex { half: [60.0, 20.0], along: [0.6, 0.8], ..round };
        let [x, y] = oval.reach();
        for turn in 0..360 {
            let u = unit(f64::from(turn) / 360.0);
            let on = [60.0 * u[0] * 0.6 - 20.0 * u[1] * 0.8, 60.0 * u[0] * 0.8 + 20.0 * u[1] * 0.6];
            assert!(on[0].abs() < x + 1e-9 && on[1].abs() < y + 1e-9, "{on:?} beyond {x} {y}");
            let outside = [5.0 + 1.001 * on[0], 5.0 + 1.001 * on[1]];
            assert_eq!(Map::Vortex(oval).forward(outside), outside);
        }
    }

    #[test]
    fn one_drop_is_the_analytic_circle() {
        let drop = Map::Source(Source {
            centre: [10.0, -4.0],
            radius2: 25.0,
            along: [1.0, 0.0],
            stretch: 1.0,
        });
        assert!(matches!(drop.back([14.9, -4.0]), Back::Came(_)), "inside the rim");
        assert!(matches!(drop.back([15.1, -4.0]), Back::At(_)), "outside the rim");
        // A ring of radius 12 about the centre grows to √(144 + 25).
        let out = drop.forward([22.0, -4.0]);
        assert!((out[0] - 10.0 - 13.0).abs() < 1e-12, "{out:?}");
    }

    #[test]
    fn the_quadratic_form_is_the_disc_frame() {
        let source = Source { centre: [3.0, 2.0], radius2: 49.0, along: unit(0.13), stretch: 1.7 };
        let p = [8.5, -2.5];
        let [a, b2, c] = source.form();
        let (dx, dy) = (p[0] - 3.0, p[1] - 2.0);
        let q = a * dx * dx + b2 * dx * dy + c * dy * dy;
        assert!((q - source.q(p)).abs() < 1e-10, "{q} {}", source.q(p));
        assert!((a * c - b2 * b2 / 4.0 - 1.0).abs() < 1e-12, "the stretch keeps area");
    }
}
