//! Areas of shapes against a general-purpose geometry library (`geo`) and exact formulas.

use geo::{Area as _, Coord, LineString, Polygon};
use pourbook::model::{Counter, CutOut, House, Job, JobParts, Point, Shape};
use pourbook::plan::TakeOff;
use pourbook::quantity::Length;
use proptest::prelude::*;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn polygon(corners: &[(f64, f64)]) -> Shape {
    Shape::Polygon(corners.iter().map(|(x, y)| Point { x: mm(*x), y: mm(*y) }).collect())
}

/// The shoelace sum, mm².
fn shoelace(corners: &[(f64, f64)]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let twice: f64 = corners.iter().zip(next).map(|((x0, y0), (x1, y1))| x0 * y1 - x1 * y0).sum();
    twice.abs() / 2.0
}

prop_compose! {
    /// A star-shaped polygon round a centre: corners by rising angle, so no side crosses another.
    fn star()(
        corners in prop::collection::vec((0.2..1.0_f64, 200.0..3000.0_f64), 3..40),
        x in -5000.0..5000.0_f64, y in -5000.0..5000.0_f64,
    ) -> Vec<(f64, f64)> {
        let all: f64 = corners.iter().map(|(turn, _)| turn).sum();
        let mut angle = 0.0;
        corners
            .iter()
            .map(|(turn, radius)| {
                // Less than half a turn between neighbours keeps the centre inside.
                angle += turn / all * std::f64::consts::TAU;
                (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
            })
            .collect()
    }
}

proptest! {
    #[test]
    fn polygons_agree_with_the_geometry_library(corners in star(), turn in 0_usize..40, back in any::<bool>()) {
        let mut corners = corners;
        let turn = turn % corners.len();
        corners.rotate_left(turn);
        if back { corners.reverse(); }
        let shape = polygon(&corners);
        prop_assert_eq!(shape.fault(), None);
        let ring: Vec<Coord<f64>> = corners.iter().map(|(x, y)| Coord { x: *x, y: *y }).collect();
        let library = Polygon::new(LineString(ring), vec![]).unsigned_area() * 1e-6;
        prop_assert!((shape.area().m2() - library).abs() <= 1e-9 * library);
        prop_assert!((library - shoelace(&corners) * 1e-6).abs() <= 1e-9 * (1.0 + library));
    }

    #[test]
    fn two_corners_changed_over_cross_and_are_refused(corners in star(), at in 0_usize..40) {
        prop_assume!(corners.len() > 4);
        let mut crossed = corners.clone();
        let n = crossed.len();
        let at = at % n;
        crossed.swap(at, (at + 1) % n);
        let sound = |corners: &[(f64, f64)]| polygon(corners).fault().is_none();
        // Independent test for crossings: every pair of sides that share no corner, by orientation.
        let side = |c: &[(f64, f64)], i: usize| (c[i % n], c[(i + 1) % n]);
        let turn = |a: (f64, f64), b: (f64, f64), p: (f64, f64)| {
            (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
        };
        let crosses = (0..n).any(|i| (i + 2..n).filter(|j| (j + 1) % n != i).any(|j| {
            let ((a, b), (c, d)) = (side(&crossed, i), side(&crossed, j));
            turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
        }));
        prop_assert_eq!(sound(&crossed), !crosses);
        if crosses {
            let fault = polygon(&crossed).fault().unwrap();
            prop_assert!(fault.contains("crosses itself at ") && fault.contains(" mm)"), "{fault}");
        }
    }

    #[test]
    fn l_u_and_cut_outs_by_formula(
        a in 700.0..5000.0_f64, b in 700.0..5000.0_f64, c in 700.0..5000.0_f64, depth in 200.0..650.0_f64,
        hole in (0.05..0.9_f64, 0.05..0.9_f64), across in 0.1..0.9_f64,
    ) {
        let l = Shape::L { a: mm(a), b: mm(b), depth: mm(depth) };
        let by_formula = depth * (a + b - depth);
        prop_assert!((l.area().m2() - by_formula * 1e-6).abs() < 1e-12 * by_formula);
        let back = a.max(2.0 * depth + 1.0);
        let u = Shape::U { left: mm(b), back: mm(back), right: mm(c), depth: mm(depth) };
        let by_formula = depth * (b + back + c - 2.0 * depth);
        prop_assert!((u.area().m2() - by_formula * 1e-6).abs() < 1e-12 * by_formula);
        // A hole in the L's first leg and a round one in its second.
        let (width, height) = (hole.0 * (a - depth), hole.1 * depth);
        let diameter = across * depth.min(b - depth);
        let mut parts = JobParts::bare("job".into(), &House::default());
        let counter = Counter {
            shape: l,
            cutouts: [
                ("sink".to_owned(), CutOut {
                    shape: Shape::Rectangle { length: mm(width), depth: mm(height) },
                    at: Point { x: mm(depth + 0.05 * (a - depth)), y: mm(0.05 * depth) },
                }),
                ("tap".to_owned(), CutOut {
                    shape: Shape::Circle { diameter: mm(diameter) },
                    at: Point { x: mm(depth / 2.0), y: mm(depth + (b - depth) / 2.0) },
                }),
            ].into(),
            edges: Vec::new(),
            states_edges: true,
            splashbacks: Vec::new(),
        };
        parts.counters.insert("l".into(), counter);
        let take_off = TakeOff::of(&Job::new(parts).unwrap());
        let holes = width * height + std::f64::consts::PI * diameter * diameter / 4.0;
        let net = depth * (a + b - depth) - holes;
        prop_assert!((take_off.flat().m2() - net * 1e-6).abs() < 1e-9);
        prop_assert!((take_off.counters[0].cut_out.m2() - holes * 1e-6).abs() < 1e-12 * (1.0 + holes));
    }

    #[test]
    fn a_cut_out_outside_its_counter_is_refused(x in -900.0..2900.0_f64, y in -900.0..900.0_f64) {
        let mut parts = JobParts::bare("job".into(), &House::default());
        let counter = Counter {
            shape: Shape::Rectangle { length: mm(2000.0), depth: mm(600.0) },
            cutouts: [("sink".to_owned(), CutOut {
                shape: Shape::Rectangle { length: mm(500.0), depth: mm(400.0) },
                at: Point { x: mm(x), y: mm(y) },
            })].into(),
            edges: Vec::new(),
            states_edges: true,
            splashbacks: Vec::new(),
        };
        parts.counters.insert("run".into(), counter);
        let inside = (0.0..=1500.0).contains(&x) && (0.0..=200.0).contains(&y);
        prop_assert_eq!(Job::new(parts).is_ok(), inside);
    }
}

/// A splashback of one piece is as long as a wall at most: a bow is one, a corner parts two.
#[test]
fn the_longest_wall_goes_around_a_bow_and_not_around_a_corner() {
    let near = |shape: &Shape, wall: f64| {
        let longest = shape.longest_wall().mm();
        assert!((longest - wall).abs() < 1e-9 * wall, "{shape:?}: {longest} mm");
    };
    near(&Shape::Rectangle { length: mm(3000.0), depth: mm(650.0) }, 3000.0);
    near(&Shape::L { a: mm(2400.0), b: mm(3800.0), depth: mm(640.0) }, 3800.0);
    let [left, back, right, depth] = [1500.0, 3500.0, 1800.0, 640.0].map(mm);
    near(&Shape::U { left, back, right, depth }, 3500.0);
    let round = Shape::Circle { diameter: mm(1000.0) };
    near(&round, round.perimeter().mm());
    // A back of two sides that turn by a little, then square corners.
    let bow = [(0.0, 0.0), (750.0, 100.0), (1500.0, 0.0), (1500.0, 500.0), (0.0, 500.0)];
    near(&polygon(&bow), 2.0 * libm::hypot(750.0, 100.0));
}
