//! The seeded random cases of `tests/fixtures/colour/make_reference.py`, and the answers it stored.

use pourbook::colour::{Lab, Xyz};

/// Cases a quantity.
pub(super) const CASES: usize = 10_000;

/// `SplitMix64` (Steele, Lea, Flood, 2014), as the script draws from it.
pub(super) struct Draws(u64);

impl Draws {
    pub(super) fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number in [0, 1).
    pub(super) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        (z >> 11) as f64 * 2.0_f64.powi(-53)
    }

    pub(super) fn uniforms<const N: usize>(&mut self) -> [f64; N] {
        std::array::from_fn(|_| self.uniform())
    }
}

/// One row of answers a case.
pub(super) fn answers<const COLUMNS: usize>(bytes: &[u8]) -> Vec<[f64; COLUMNS]> {
    assert_eq!(bytes.len(), CASES * COLUMNS * 4, "the fixture has a row a case");
    bytes
        .chunks_exact(4 * COLUMNS)
        .map(|row| {
            std::array::from_fn(|at| {
                f64::from(f32::from_le_bytes(row[4 * at..4 * at + 4].try_into().unwrap()))
            })
        })
        .collect()
}

pub(super) fn lab_pairs() -> Vec<(Lab, Lab)> {
    let mut draws = Draws::seeded(1);
    (0..CASES)
        .map(|case| {
            let u: [f64; 6] = draws.uniforms();
            let one = Lab::new(u[0] * 100.0, u[1] * 200.0 - 100.0, u[2] * 200.0 - 100.0);
            let near = |value: f64, u: f64| value + (u - 0.5) * 10.0;
            let two = if case % 2 == 0 {
                Lab::new(near(one.l, u[3]), near(one.a, u[4]), near(one.b, u[5]))
            } else {
                Lab::new(u[3] * 100.0, u[4] * 200.0 - 100.0, u[5] * 200.0 - 100.0)
            };
            (one, two)
        })
        .collect()
}

pub(super) fn xyz_cases(seed: u64) -> Vec<Xyz> {
    let mut draws = Draws::seeded(seed);
    (0..CASES).map(|_| Xyz::from_array(draws.uniforms().map(|u: f64| u * u * 110.0))).collect()
}

/// The script's `smooth_reflectances`: a level, a slope, an edge and a bump, by wavelength in nm.
pub(super) fn smooth_reflectances() -> Vec<impl Fn(f64) -> f64> {
    let mut draws = Draws::seeded(7);
    (0..CASES)
        .map(|_| {
            let u: [f64; 6] = draws.uniforms();
            move |nm: f64| {
                let t = (nm - 555.0) / 175.0;
                let edge = ((nm - (420.0 + 260.0 * u[2])) / (15.0 + 60.0 * u[3])).tanh();
                let from_bump = (nm - (420.0 + 260.0 * u[4])) / (30.0 + 60.0 * u[5]);
                let bump = (-from_bump * from_bump).exp();
                let z = 3.0 * (u[0] - 0.6) + (u[1] - 0.5) * t + 0.9 * edge + 0.8 * bump;
                0.02 + 0.96 / (1.0 + (-2.0 * z).exp())
            }
        })
        .collect()
}

/// Numbers of a comma-separated table with comment lines and one line of heads.
pub(super) fn table(text: &str) -> Vec<Vec<f64>> {
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').map(|word| word.parse().unwrap()).collect())
        .collect()
}
