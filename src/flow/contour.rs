//! A closed curve followed through the maps, with more points only where it bends.
//!
//! The rim of a source is an ellipse at the moment it is laid. Every later map moves it, none can break it: it
//! stays one closed curve round the same area. So the curve carries the whole region, and a picture needs only as
//! many points as the curve has bends at the picture's scale. A new point between two others is put on the
//! ellipse it started from and carried through every map; where the flow has drawn a piece out so far (a
//! thousandmillionfold happens in front of an advancing stream) that the ellipse has no room for it, it is put
//! between them at the moment before they part.
//!
//! Most points are carried in `f32`. Where a piece of the curve is drawn out more than [`STRETCHED`] times, its
//! neighbours on the ellipse are too close for that, and it is carried in `f64`.

use super::advect::Advector;
use super::series::{Real, sin_turns_fast};

/// An ellipse: centre + cos·u + sin·v, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Centre, mm.
    pub centre: [f64; 2],
    /// First conjugate half-diameter, mm.
    pub u: [f64; 2],
    /// Second conjugate half-diameter, mm.
    pub v: [f64; 2],
}

/// An ellipse, and the first map that moves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contour {
    /// The curve as it was laid.
    pub ellipse: Ellipse,
    /// Number of the first map that moves it.
    pub start: usize,
    /// How many times the settings' tolerance this curve may be off: 1 or more.
    pub ease: f64,
    /// What it must hold in the end, mm²: the ellipse's own area and all that was let in inside it later.
    pub area_mm2: f64,
}

/// How finely a curve is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContourSettings {
    /// Largest distance between the curve and the chords of the points found on it, mm, by the estimate from
    /// neighbouring chords. What is given is smooth between these points and much closer.
    pub tolerance_mm: f64,
    /// Largest distance between the smooth curve through the points found and the polygon given, mm.
    pub chord_mm: f64,
    /// Longest chord between points found, mm.
    pub longest_mm: f64,
    /// The part of the plane that matters: least x, least y, greatest x, greatest y, mm. Further away the
    /// tolerance grows with the distance.
    pub window_mm: [f64; 4],
}

impl ContourSettings {
    /// The tolerance so far beyond the window, mm: looser, but never so loose that a finger of the curve which
    /// reaches into the window could be overlooked.
    fn tolerance_at(&self, beyond_mm: f64) -> f64 {
        let loose = self.tolerance_mm * (1.0 + beyond_mm / self.longest_mm);
        loose.min(self.tolerance_mm.max(LOOSEST_MM))
    }
}

/// A closed polygon: the last point joins the first, mm.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TracedCurve {
    /// Corners in order, counter-clockwise where y points up.
    pub points: Vec<[f64; 2]>,
}

/// Where a point of a curve can be carried from: the ellipse, or a later moment.
#[derive(Debug, Clone, Copy)]
struct Seed {
    start: usize,
    at: [f64; 2],
}

/// A point of a curve.
#[derive(Debug, Clone, Copy)]
struct Node {
    /// Its place on the ellipse; none for one put between two others at a later moment.
    turns: Option<f64>,
    seed: Seed,
    double: bool,
    /// Where it ends.
    at: [f64; 2],
    /// Whether it was put here in the last round.
    fresh: bool,
}

/// A node to be carried, and where it belongs: after the old node of this number, or in its place.
#[derive(Debug, Clone, Copy)]
struct Wanted {
    curve: usize,
    after: usize,
    instead: bool,
    node: Node,
}

/// Loosest tolerance outside the window, mm.
const LOOSEST_MM: f64 = 0.12;
/// How often a curve that holds the wrong area is followed again.
const RETRIES: usize = 3;
/// Rounds of refinement; each can cut a chord into up to [`MOST_PARTS`].
const ROUNDS: usize = 24;
const MOST_PARTS: usize = 8;
/// Neighbours on the ellipse closer than this are told apart at a later moment instead, mm.
const CLOSEST_MM: f64 = 2e-8;
/// A piece of a curve that is shorter than this is straight, mm.
const STRAIGHT_MM: f64 = 1e-6;
/// Points closer than this are one, mm.
const NOTHING_MM: f64 = 1e-12;
/// Longest chord anywhere, mm. Whatever the flow has hidden between two nodes (a piece wrapped round a ribbon has
/// its ends on either side of it) leaves them further apart than this, so that it is found.
const HIDING_MM: f64 = 9.0;
/// Chords at the start, where an ellipse is small.
const FEWEST: usize = 10;
/// Chord over arc on the ellipse, from which on `f32` is too coarse.
const STRETCHED: f64 = 500.0;

/// Follows `contours` (in order of `start`) through the maps.
///
/// Each curve comes out the same whoever else is traced with it. One that does not hold the area it must, because
/// something escaped between two nodes, is followed again, finer and in `f64` throughout.
#[must_use]
pub fn trace(
    contours: &[Contour],
    advector: &Advector,
    settings: &ContourSettings,
) -> Vec<TracedCurve> {
    let mut care = Care { hiding_mm: HIDING_MM, stretched: STRETCHED };
    let mut finer = *settings;
    let mut curves = trace_once(contours, advector, &finer, care);
    for _ in 0..RETRIES {
        let failed: Vec<usize> = curves
            .iter()
            .zip(contours)
            .enumerate()
            .filter(|(_, (curve, contour))| curve.misses(contour, settings))
            .map(|(index, _)| index)
            .collect();
        if failed.is_empty() {
            break;
        }
        care = Care { hiding_mm: care.hiding_mm * 0.4, stretched: 0.0 };
        finer.tolerance_mm *= 0.5;
        let again: Vec<Contour> = failed.iter().filter_map(|i| contours.get(*i)).copied().collect();
        for (index, curve) in failed.into_iter().zip(trace_once(&again, advector, &finer, care)) {
            let Some((old, contour)) = curves.get_mut(index).zip(contours.get(index)) else {
                continue;
            };
            let wrong = |curve: &TracedCurve| (curve.area_mm2() - contour.area_mm2).abs();
            if wrong(&curve) < wrong(old) {
                *old = curve;
            }
        }
    }
    curves
}

/// How carefully a curve is followed.
#[derive(Debug, Clone, Copy)]
struct Care {
    /// Longest chord anywhere, mm.
    hiding_mm: f64,
    /// Chord over arc from which on nodes are carried in `f64`.
    stretched: f64,
}

impl TracedCurve {
    /// Area inside, mm² (shoelace).
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        let Some([x0, y0]) = self.points.first().copied() else { return 0.0 };
        let mut twice = 0.0;
        for pair in self.points.windows(2) {
            if let [[ax, ay], [bx, by]] = pair {
                twice += (ax - x0) * (by - y0) - (bx - x0) * (ay - y0);
            }
        }
        twice * 0.5
    }

    /// Whether it holds clearly more or less than it must. What the tolerance allows along its length (more
    /// outside the window) is no miss.
    fn misses(&self, contour: &Contour, settings: &ContourSettings) -> bool {
        let off = (self.area_mm2() - contour.area_mm2).abs();
        let slip = 0.12 * contour.ease;
        let mut allowed = 2.0 + 0.01 * contour.area_mm2;
        if off <= allowed {
            return false;
        }
        for pair in self.points.windows(2) {
            if let [a, b] = pair {
                let beyond = outside(*a, *b, &settings.window_mm);
                allowed += Chord::new(*a, *b).length * slip * settings.tolerance_at(beyond);
            }
        }
        off > allowed
    }
}

fn trace_once(
    contours: &[Contour],
    advector: &Advector,
    settings: &ContourSettings,
    care: Care,
) -> Vec<TracedCurve> {
    let mut wanted: Vec<Wanted> = Vec::new();
    for (curve, contour) in contours.iter().enumerate() {
        let count = first_count(&contour.ellipse, settings);
        wanted.extend((0..count).map(|i| Wanted {
            curve,
            after: 0,
            instead: false,
            node: Node::on_ellipse(contour, share(i, count), care.stretched <= 0.0),
        }));
    }
    let mut curves: Vec<Vec<Node>> = contours.iter().map(|_| Vec::new()).collect();
    for round in 0..ROUNDS {
        carry(advector, &mut wanted);
        merge(&mut curves, &wanted);
        if round + 1 == ROUNDS {
            break;
        }
        wanted = more_points(&curves, contours, &wanted, advector, settings, care);
        if wanted.is_empty() {
            break;
        }
    }
    curves
        .into_iter()
        .zip(contours)
        .map(|(nodes, contour)| smooth(&nodes, settings.chord_mm * contour.ease))
        .collect()
}

/// The closed curve through the nodes, by cubic pieces whose directions come from the parabola through each node
/// and its neighbours, cut into chords that are off by `chord_mm` at most.
///
/// Thin films have a rim on either side. Chords of their own would cross one another where the film is thinner
/// than they are off, and show it as a row of dots.
fn smooth(nodes: &[Node], chord_mm: f64) -> TracedCurve {
    let count = nodes.len();
    let mut points = Vec::with_capacity(count * 2);
    let at = |i: usize| nodes.get(i % count).map_or([0.0; 2], |node| node.at);
    let chords: Vec<Chord> = (0..count).map(|i| Chord::new(at(i), at(i + 1))).collect();
    let nothing = Chord { way: [0.0; 2], length: 0.0 };
    let chord = |i: usize| chords.get(i % count).copied().unwrap_or(nothing);
    let mut leaving = direction(chord(count.saturating_sub(1)), chord(0));
    for (i, node) in nodes.iter().enumerate() {
        let here = chord(i);
        let arriving = direction(here, chord(i + 1));
        points.push(node.at);
        // The cubic leaves its chord by about an eighth of what its ends' directions differ.
        let l = here.length;
        let (a, b) = ([leaving[0] * l, leaving[1] * l], [arriving[0] * l, arriving[1] * l]);
        let off = Chord::new(a, b).length * 0.125;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held to 8")]
        let parts = ((off / chord_mm).sqrt() + 0.7).clamp(1.0, 8.0) as usize;
        for part in 1..parts {
            let t = share(part, parts);
            let u = 1.0 - t;
            // Hermite's cubic, as the chord and what is added to it.
            let (from, to) = (t * u * u, -t * t * u);
            let along = t * t * (3.0 - 2.0 * t);
            points.push([0, 1].map(|k| node.at[k] + here.way[k] * along + a[k] * from + b[k] * to));
        }
        leaving = arriving;
    }
    TracedCurve { points }
}

/// Direction (a unit vector, about) of the parabola through three nodes at the middle one.
fn direction(before: Chord, after: Chord) -> [f64; 2] {
    let (a, b) = (before.length, after.length);
    if a <= 0.0 || b <= 0.0 {
        return [0.0; 2];
    }
    [0, 1].map(|k| (before.way[k] * (b / a) + after.way[k] * (a / b)) / (a + b))
}

/// Points to begin with, from the ellipse's own size.
fn first_count(ellipse: &Ellipse, settings: &ContourSettings) -> usize {
    let chords = mean_radius(ellipse) * 2.2 / settings.longest_mm;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held to 64")]
    let chords = chords.clamp(0.0, 64.0) as usize;
    chords.max(FEWEST)
}

fn mean_radius(ellipse: &Ellipse) -> f64 {
    let [u, v] = [ellipse.u, ellipse.v].map(|h| (h[0] * h[0] + h[1] * h[1]).sqrt());
    0.5 * (u + v)
}

impl Node {
    fn on_ellipse(contour: &Contour, turns: f64, double: bool) -> Self {
        let (cos, sin) = (sin_turns_fast(turns + 0.25), sin_turns_fast(turns));
        let Ellipse { centre, u, v } = contour.ellipse;
        let at = [0, 1].map(|i| centre[i] + cos * u[i] + sin * v[i]);
        Self {
            turns: Some(turns),
            seed: Seed { start: contour.start, at },
            double,
            at,
            fresh: true,
        }
    }
}

/// Carries the wanted nodes from their seeds to the end.
fn carry(advector: &Advector, wanted: &mut [Wanted]) {
    let mut fast: Vec<usize> = Vec::with_capacity(wanted.len());
    let mut exact: Vec<usize> = Vec::new();
    for (index, point) in wanted.iter().enumerate() {
        if point.node.double { exact.push(index) } else { fast.push(index) }
    }
    let seed =
        |index: &usize| wanted.get(*index).map_or(Seed { start: 0, at: [0.0; 2] }, |w| w.node.seed);
    // Seeds of later moments come in any order; the advector wants them by their start.
    exact.sort_by_key(|index| seed(index).start);
    let starts = |of: &[usize]| of.iter().map(|i| seed(i).start).collect::<Vec<_>>();
    let (fast_starts, exact_starts) = (starts(&fast), starts(&exact));
    let mut xs: Vec<f32> = fast.iter().map(|i| f32::near(seed(i).at[0])).collect();
    let mut ys: Vec<f32> = fast.iter().map(|i| f32::near(seed(i).at[1])).collect();
    advector.carry_fast(&fast_starts, &mut xs, &mut ys);
    let mut exact_xs: Vec<f64> = exact.iter().map(|i| seed(i).at[0]).collect();
    let mut exact_ys: Vec<f64> = exact.iter().map(|i| seed(i).at[1]).collect();
    advector.carry(&exact_starts, &mut exact_xs, &mut exact_ys);
    let ends = xs.iter().zip(&ys).map(|(x, y)| [f64::from(*x), f64::from(*y)]);
    let exact_ends = exact_xs.iter().zip(&exact_ys).map(|(x, y)| [*x, *y]);
    for (index, end) in fast.iter().zip(ends).chain(exact.iter().zip(exact_ends)) {
        if let Some(point) = wanted.get_mut(*index) {
            point.node.at = end;
        }
    }
}

/// Puts new nodes (grouped by curve, in order along it) into their curves.
fn merge(curves: &mut [Vec<Node>], wanted: &[Wanted]) {
    for group in wanted.chunk_by(|a, b| a.curve == b.curve) {
        let Some(curve) = group.first().and_then(|first| curves.get_mut(first.curve)) else {
            continue;
        };
        if curve.is_empty() {
            curve.extend(group.iter().map(|w| w.node));
            continue;
        }
        let old = core::mem::take(curve);
        curve.reserve(old.len() + group.len());
        let mut fresh = group.iter().peekable();
        for (index, node) in old.into_iter().enumerate() {
            match fresh.next_if(|w| w.after == index && w.instead) {
                Some(new) => curve.push(new.node),
                None => curve.push(Node { fresh: false, ..node }),
            }
            while let Some(new) = fresh.next_if(|w| w.after == index) {
                curve.push(new.node);
            }
        }
    }
}

/// Where the curves that grew last time still bend too much.
fn more_points(
    curves: &[Vec<Node>],
    contours: &[Contour],
    grown: &[Wanted],
    advector: &Advector,
    settings: &ContourSettings,
    care: Care,
) -> Vec<Wanted> {
    let mut wanted = Vec::new();
    for group in grown.chunk_by(|a, b| a.curve == b.curve) {
        let Some(curve) = group.first().map(|first| first.curve) else { continue };
        if let (Some(nodes), Some(contour)) = (curves.get(curve), contours.get(curve)) {
            refine(nodes, curve, contour, advector, settings, care, &mut wanted);
        }
    }
    wanted
}

/// From one node to the next.
#[derive(Debug, Clone, Copy)]
struct Chord {
    way: [f64; 2],
    length: f64,
}

impl Chord {
    fn new(a: [f64; 2], b: [f64; 2]) -> Self {
        let way = [b[0] - a[0], b[1] - a[1]];
        Self { way, length: (way[0] * way[0] + way[1] * way[1]).sqrt() }
    }
}

fn refine(
    nodes: &[Node],
    curve: usize,
    contour: &Contour,
    advector: &Advector,
    settings: &ContourSettings,
    care: Care,
    wanted: &mut Vec<Wanted>,
) {
    let (Some(first), Some(last)) = (nodes.first(), nodes.last()) else { return };
    let longest = settings.longest_mm * contour.ease.sqrt();
    let circumference = core::f64::consts::TAU * mean_radius(&contour.ellipse);
    // Whether the chord before asked for its end in f64.
    let mut promote = false;
    for (i, a) in nodes.iter().enumerate() {
        let b = nodes.get(i + 1).unwrap_or(first);
        let c = nodes.get(i + 2).or_else(|| nodes.get(i + 2 - nodes.len())).unwrap_or(first);
        let z = i.checked_sub(1).and_then(|k| nodes.get(k)).unwrap_or(last);
        // A chord that was fine last time is so still, unless it or a neighbour is new.
        if !(promote || z.fresh || a.fresh || b.fresh || c.fresh) {
            continue;
        }
        let here = Chord::new(a.at, b.at);
        let bend_here = curvature(Chord::new(z.at, a.at), here);
        let bend_next = curvature(here, Chord::new(b.at, c.at));
        let beyond = outside(a.at, b.at, &settings.window_mm);
        let tolerance = contour.ease * settings.tolerance_at(beyond);
        let most = (longest + 0.5 * beyond).min(care.hiding_mm);
        let bend = if bend_here > bend_next { bend_here } else { bend_next };
        let sagitta = here.length * here.length * bend * 0.125 / tolerance;
        let asked = sagitta.sqrt().max(here.length / most);
        let fine = asked > 1.0;
        let arc = Chord::new(a.seed.at, b.seed.at).length;
        let double = fine
            && (a.double && b.double
                || a.seed.start != b.seed.start
                || here.length > care.stretched * arc);
        if (promote || double) && !a.double {
            wanted.push(Wanted {
                curve,
                after: i,
                instead: true,
                node: Node { double: true, fresh: true, ..*a },
            });
        }
        promote = double;
        if fine {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a float cast saturates, and the count is held to a few"
            )]
            let parts = (asked as usize + 1).clamp(2, MOST_PARTS);
            let put = |node: Node| Wanted { curve, after: i, instead: false, node };
            let end = if i + 1 == nodes.len() { Some(1.0) } else { b.turns };
            match (a.turns, end) {
                (Some(from), Some(to)) if (to - from) * circumference > CLOSEST_MM => {
                    wanted.extend((1..parts).map(|part| {
                        let turns = from + (to - from) * share(part, parts);
                        put(Node::on_ellipse(contour, turns, double))
                    }));
                }
                _ => wanted.extend(between(a, b, parts, advector).map(put)),
            }
        }
    }
}

fn share(part: usize, parts: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let share = part as f64 / parts as f64;
    share
}

/// Nodes between two that the ellipse can't tell apart: put on the straight line between them at the last moment
/// at which they are so close that the curve is straight, and carried from there.
fn between(
    a: &Node,
    b: &Node,
    parts: usize,
    advector: &Advector,
) -> impl Iterator<Item = Node> + use<> {
    let (moment, [p, q]) =
        advector.while_close((a.seed.start, a.seed.at), (b.seed.start, b.seed.at), STRAIGHT_MM);
    let gap = Chord::new(p, q).length;
    // Where even f64 has nothing between them, or they part in one map, the chord stays.
    let parts = if gap > NOTHING_MM && moment < advector.len() { parts } else { 1 };
    (1..parts).map(move |part| {
        let s = share(part, parts);
        let at = [p[0] + (q[0] - p[0]) * s, p[1] + (q[1] - p[1]) * s];
        Node { turns: None, seed: Seed { start: moment, at }, double: true, at, fresh: true }
    })
}

/// Turn between two chords over the mean of their lengths, 1/mm.
fn curvature(one: Chord, two: Chord) -> f64 {
    let ([ax, ay], [bx, by]) = (one.way, two.way);
    let lengths = one.length * two.length;
    if lengths <= 0.0 {
        return 0.0;
    }
    let sine = (ax * by - ay * bx).abs() / lengths;
    let cosine = (ax * bx + ay * by) / lengths;
    // A chord of the angle: exact enough below a right angle, held near two beyond it.
    let turn = if cosine > 0.0 { sine * (1.2 - 0.2 * cosine) } else { 2.0 - sine * 0.8 };
    2.0 * turn / (one.length + two.length)
}

/// How far the box round a chord lies outside the window, mm; 0 where they touch.
fn outside(a: [f64; 2], b: [f64; 2], window: &[f64; 4]) -> f64 {
    let [x0, y0, x1, y1] = *window;
    let gap = |low: f64, high: f64, p: f64, q: f64| {
        let (least, most) = if p < q { (p, q) } else { (q, p) };
        if least > high {
            least - high
        } else if most < low {
            low - most
        } else {
            0.0
        }
    };
    gap(x0, x1, a[0], b[0]) + gap(y0, y1, a[1], b[1])
}

#[cfg(test)]
mod tests {
    use super::super::map::{Map, Source, Wave};
    use super::*;

    fn area(curve: &TracedCurve) -> f64 {
        curve.area_mm2()
    }

    fn circle(radius: f64) -> Ellipse {
        Ellipse { centre: [100.0, 80.0], u: [radius, 0.0], v: [0.0, radius] }
    }

    fn settings(tolerance_mm: f64) -> ContourSettings {
        ContourSettings {
            tolerance_mm,
            chord_mm: tolerance_mm / 8.0,
            longest_mm: 8.0,
            window_mm: [0.0, 0.0, 300.0, 300.0],
        }
    }

    fn stir() -> Vec<Map> {
        let mut maps = Vec::new();
        for i in 0..12 {
            let x = f64::from(i);
            maps.push(Map::Source(Source {
                centre: [90.0 + 3.0 * x, 80.0 + 9.0 * (x - 5.0)],
                radius2: 150.0,
                along: [1.0, 0.0],
                stretch: 1.3,
            }));
            maps.push(Map::Wave(Wave {
                normal: [0.6, 0.8],
                amplitude: 6.0,
                per_mm: 0.012,
                phase: 0.31 * x,
            }));
        }
        maps
    }

    #[test]
    fn the_area_inside_stays_and_the_error_falls_with_the_tolerance() {
        // A curve that the sources lie outside of, so it only bends: they push from x ≥ 90, it starts at 40.
        let advector = Advector::new(&stir());
        let ellipse = Ellipse { centre: [30.0, 80.0], u: [25.0, 0.0], v: [0.0, 25.0] };
        let truth = core::f64::consts::PI * 625.0;
        let mut errors = Vec::new();
        for tolerance in [1.0, 0.1, 0.01] {
            let curve = &trace(
                &[Contour { ellipse, start: 0, ease: 1.0, area_mm2: f64::NAN }],
                &advector,
                &settings(tolerance),
            )[0];
            errors.push((area(curve) / truth - 1.0).abs());
        }
        assert!(errors[0] < 0.05 && errors[1] < 0.006 && errors[2] < 0.0008, "{errors:?}");
    }

    #[test]
    fn a_curve_round_later_sources_holds_their_area_too() {
        let inner = Map::Source(Source {
            centre: [103.0, 81.0],
            radius2: 64.0,
            along: [1.0, 0.0],
            stretch: 1.0,
        });
        let advector = Advector::new(&[inner]);
        let curve = &trace(
            &[Contour { ellipse: circle(10.0), start: 0, ease: 1.0, area_mm2: f64::NAN }],
            &advector,
            &settings(0.01),
        )[0];
        let truth = core::f64::consts::PI * 164.0;
        assert!((area(curve) / truth - 1.0).abs() < 0.002, "{} {truth}", area(curve));
    }

    #[test]
    fn a_curve_is_the_same_alone_and_in_company() {
        let advector = Advector::new(&stir());
        let contours: Vec<Contour> = (0..24_u32)
            .map(|i| Contour {
                ellipse: circle(3.0 + f64::from(i)),
                start: i as usize,
                ease: 1.0,
                area_mm2: f64::NAN,
            })
            .collect();
        let together = trace(&contours, &advector, &settings(0.05));
        for (contour, traced) in contours.iter().zip(&together) {
            assert_eq!(
                &trace(&[*contour], &advector, &settings(0.05))[0],
                traced,
                "company changed it"
            );
        }
    }

    #[test]
    fn a_turned_and_moved_scene_gives_the_turned_and_moved_curve() {
        // A rotation with rational cosine and sine, about the origin, then a shift.
        let turn = |[x, y]: [f64; 2]| [0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y];
        let place = |p: [f64; 2]| {
            let [x, y] = turn(p);
            [x + 40.0, y - 25.0]
        };
        let maps = stir();
        let moved: Vec<Map> = maps
            .iter()
            .map(|map| match *map {
                Map::Source(s) => {
                    Map::Source(Source { centre: place(s.centre), along: turn(s.along), ..s })
                }
                Map::Wave(w) => {
                    let normal = turn(w.normal);
                    let shift = (normal[0] * 40.0 - normal[1] * 25.0) * w.per_mm;
                    Map::Wave(Wave { normal, phase: w.phase - shift, ..w })
                }
                other => other,
            })
            .collect();
        let here = circle(20.0);
        let there = Ellipse { centre: place(here.centre), u: turn(here.u), v: turn(here.v) };
        let wide = ContourSettings { window_mm: [-900.0, -900.0, 900.0, 900.0], ..settings(0.02) };
        let area_of = |ellipse, maps: &[Map]| {
            let contour = Contour { ellipse, start: 0, ease: 1.0, area_mm2: f64::NAN };
            area(&trace(&[contour], &Advector::new(maps), &wide)[0])
        };
        let (one, two) = (area_of(here, &maps), area_of(there, &moved));
        assert!((one / two - 1.0).abs() < 1e-3, "{one} {two}");
    }
}
