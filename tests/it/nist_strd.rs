//! The least-squares solver on certified problems: the Statistical Reference Datasets for non-linear
//! regression of the US National Institute of Standards and Technology (public domain;
//! files as published). Certified values carry 11 digits.

use pourbook::solve::{Bounds, Fit, Matrix, Options, Residuals, least_squares};

struct Problem {
    starts: [Vec<f64>; 2],
    certified: Vec<f64>,
    deviations: Vec<f64>,
    squares: f64,
    rows: Vec<(f64, f64)>,
}

/// Reads a dataset file: lines `b1 = start start value deviation`, the sum of squares, and the
/// rows after the last line that begins with `Data:`.
fn read(text: &str) -> Problem {
    let numbers = |line: &str| -> Vec<f64> {
        line.split_whitespace().filter_map(|word| word.parse().ok()).collect()
    };
    let table: Vec<Vec<f64>> = text
        .lines()
        .filter(|line| line.trim_start().starts_with('b') && line.contains('='))
        .map(|line| numbers(line.split_once('=').expect("an equals sign").1))
        .filter(|cells| cells.len() == 4)
        .collect();
    let squares = text
        .lines()
        .find(|line| line.starts_with("Residual Sum of Squares"))
        .and_then(|line| numbers(line).first().copied())
        .expect("a sum of squares");
    let data = text.rfind("Data:").expect("a table of data");
    let rows = text[data..]
        .lines()
        .skip(1)
        .map(numbers)
        .filter(|cells| cells.len() == 2)
        .map(|cells| (cells[0], cells[1]))
        .collect();
    let column = |i: usize| -> Vec<f64> { table.iter().map(|cells| cells[i]).collect() };
    Problem {
        starts: [column(0), column(1)],
        certified: column(2),
        deviations: column(3),
        squares,
        rows,
    }
}

struct Model<'a, F> {
    rows: &'a [(f64, f64)],
    f: F,
}

impl<F: Fn(&[f64], f64) -> f64> Residuals for Model<'_, F> {
    fn count(&self) -> usize {
        self.rows.len()
    }

    fn residuals(&self, parameters: &[f64], out: &mut [f64]) {
        for (r, (y, x)) in out.iter_mut().zip(self.rows) {
            *r = (self.f)(parameters, *x) - y;
        }
    }
}

fn solve(problem: &Problem, start: &[f64], f: impl Fn(&[f64], f64) -> f64) -> Fit {
    let model = Model { rows: &problem.rows, f };
    let options = Options { turns: 2000, ..Options::default() };
    least_squares(&model, start, &Bounds::open(start.len()), &options).expect("a fit")
}

/// Digits to which the parameters agree, at worst.
fn digits(fit: &Fit, certified: &[f64]) -> f64 {
    fit.parameters
        .iter()
        .zip(certified)
        .map(|(got, want)| -((got - want) / want).abs().max(1e-12).log10())
        .fold(f64::INFINITY, f64::min)
}

#[track_caller]
fn check(name: &str, text: &str, rows: usize, starts: &[usize], f: impl Fn(&[f64], f64) -> f64) {
    let problem = read(text);
    assert_eq!(problem.rows.len(), rows, "{name}: the data are whole");
    for start in starts {
        let fit = solve(&problem, &problem.starts[*start], &f);
        let agreed = digits(&fit, &problem.certified);
        assert!(agreed > 6.0, "{name} start {}: {agreed:.1} digits, {fit:?}", start + 1);
        assert!((2.0 * fit.cost / problem.squares - 1.0).abs() < 1e-8, "{name}: sum of squares");
        let variance = fit.residual_variance().expect("more rows than parameters");
        let covariance = fit.covariance(variance).expect("determined");
        for (j, want) in problem.deviations.iter().enumerate() {
            let got = covariance.at(j, j).sqrt();
            assert!((got / want - 1.0).abs() < 1e-4, "{name}: deviation of b{}: {got}", j + 1);
        }
    }
}

#[test]
fn misra1a() {
    check("Misra1a", include_str!("../fixtures/nist_strd/Misra1a.dat"), 14, &[0, 1], |b, x| {
        b[0] * (1.0 - (-b[1] * x).exp())
    });
}

#[test]
fn thurber() {
    check("Thurber", include_str!("../fixtures/nist_strd/Thurber.dat"), 37, &[0, 1], cubic_ratio);
}

#[test]
fn hahn1() {
    check("Hahn1", include_str!("../fixtures/nist_strd/Hahn1.dat"), 236, &[0, 1], cubic_ratio);
}

fn cubic_ratio(b: &[f64], x: f64) -> f64 {
    (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1.0 + x * (b[4] + x * (b[5] + x * b[6])))
}

#[test]
fn mgh09() {
    // The file tells of a second minimum at infinity; both starts reach the certified one.
    check("MGH09", include_str!("../fixtures/nist_strd/MGH09.dat"), 11, &[0, 1], |b, x| {
        b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3])
    });
}

#[test]
fn mgh10() {
    // Start 1 is 400 times too far out: from there the first steps flatten the curve for good.
    check("MGH10", include_str!("../fixtures/nist_strd/MGH10.dat"), 16, &[1], |b, x| {
        b[0] * (b[1] / (x + b[2])).exp()
    });
}

#[test]
fn rat43() {
    check("Rat43", include_str!("../fixtures/nist_strd/Rat43.dat"), 15, &[0, 1], |b, x| {
        b[0] / (1.0 + (b[1] - b[2] * x).exp()).powf(1.0 / b[3])
    });
}

#[test]
fn boxbod() {
    let rise = |b: &[f64], x: f64| b[0] * (1.0 - (-b[1] * x).exp());
    let text = include_str!("../fixtures/nist_strd/BoxBOD.dat");
    check("BoxBOD", text, 6, &[1], rise);
    // From start 1 the first step makes the curve a constant, from which nothing leads back; a box
    // that keeps the rate sensible is the cure.
    let problem = read(text);
    let model = Model { rows: &problem.rows, f: rise };
    let bounds = Bounds { low: vec![0.0, 0.0], high: vec![1e4, 2.0] };
    let fit = least_squares(&model, &problem.starts[0], &bounds, &Options::default());
    let fit = fit.expect("a fit");
    assert!(digits(&fit, &problem.certified) > 6.0, "{fit:?}");
}

#[test]
fn eckerle4() {
    check("Eckerle4", include_str!("../fixtures/nist_strd/Eckerle4.dat"), 35, &[0, 1], |b, x| {
        let z = (x - b[2]) / b[1];
        b[0] / b[1] * (-0.5 * z * z).exp()
    });
}

/// The same problem with its derivative written out agrees to more digits than by differences.
#[test]
fn derivatives_written_out_give_more_digits() {
    struct Misra {
        rows: Vec<(f64, f64)>,
    }
    impl Residuals for Misra {
        fn count(&self) -> usize {
            self.rows.len()
        }
        fn residuals(&self, b: &[f64], out: &mut [f64]) {
            for (r, (y, x)) in out.iter_mut().zip(&self.rows) {
                *r = b[0] * (1.0 - (-b[1] * x).exp()) - y;
            }
        }
        fn jacobian(&self, b: &[f64], out: &mut Matrix) -> bool {
            for (i, (_, x)) in self.rows.iter().enumerate() {
                let decay = (-b[1] * x).exp();
                out.set(i, 0, 1.0 - decay);
                out.set(i, 1, b[0] * x * decay);
            }
            true
        }
    }
    let problem = read(include_str!("../fixtures/nist_strd/Misra1a.dat"));
    let model = Misra { rows: problem.rows.clone() };
    let options = Options { gradient_tolerance: 1e-14, cost_tolerance: 0.0, ..Options::default() };
    let fit = least_squares(&model, &problem.starts[0], &Bounds::open(2), &options).expect("a fit");
    let agreed = digits(&fit, &problem.certified);
    assert!(agreed > 8.0, "{agreed} digits");
}

/// Walls that hold the certified answer change nothing; walls that cut it off are kept.
#[test]
fn certified_answers_in_a_box() {
    let problem = read(include_str!("../fixtures/nist_strd/MGH09.dat"));
    let f = |b: &[f64], x: f64| b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]);
    let model = Model { rows: &problem.rows, f };
    let options = Options::default();
    let wide = Bounds::all(4, 0.0, 1.0);
    let inside = least_squares(&model, &[0.5; 4], &wide, &options).expect("a fit");
    assert!(digits(&inside, &problem.certified) > 6.0, "{inside:?}");
    let narrow = Bounds { low: vec![0.0; 4], high: vec![1.0, 1.0, 0.1, 1.0] };
    let cut = least_squares(&model, &[0.05; 4], &narrow, &options).expect("a fit");
    assert_eq!((cut.parameters[2], cut.held[2]), (0.1, true), "b3 on its wall: {cut:?}");
    assert!(cut.cost > inside.cost, "a smaller box fits worse");
}
