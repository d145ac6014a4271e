//! A simulated shop: colorants with made-up but plausible coefficients, drawdowns of them, and an
//! instrument with noise. It tests that a characterisation finds what the simulation put in; it says
//! nothing about any real pigment.

use pourbook::characterise::{Conditions, Drawdown, Film, Noise, Reading};
use pourbook::colour::{Lab, delta_e_2000};
use pourbook::optics::{Geometry, Ks, Layer, Portion, Surface, composition, mix_in_binder};
use pourbook::spectrum::{Illuminant, Observer, Spectrum, Weights, weights};

/// Deterministic randomness for tests (the generator of Steele, Lea and Flood, 2014).
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small place")]
    pub(super) fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[(self.even() * choices.len() as f64) as usize]
    }

    /// Standard normal (Box and Muller 1958).
    pub(super) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}

pub(super) struct Colorant {
    pub(super) unit: Ks,
    pub(super) density_g_per_ml: f64,
    /// A usual loading for a masstone.
    pub(super) masstone: f64,
}

fn bump(nm: f64, centre: f64, width: f64) -> f64 {
    (-((nm - centre) / width).powi(2)).exp()
}

/// 1 below the edge, 0 above.
fn below(nm: f64, edge: f64, width: f64) -> f64 {
    1.0 / (1.0 + ((nm - edge) / width).exp())
}

fn colorant(
    k: impl Fn(f64) -> f64,
    s: impl Fn(f64) -> f64,
    density_g_per_ml: f64,
    masstone: f64,
) -> Colorant {
    let unit = Ks { k: Spectrum::of_wavelength(k), s: Spectrum::of_wavelength(s) };
    Colorant { unit, density_g_per_ml, masstone }
}

/// A white, then seven colours: pastes of about half pigment.
pub(super) fn shelf() -> Vec<Colorant> {
    vec![
        colorant(
            |nm| 0.15 + 60.0 * below(nm, 398.0, 5.0),
            |nm| 160.0 * (550.0 / nm).powf(0.8),
            2.1,
            0.05,
        ),
        // yellow earth
        colorant(
            |nm| 3.0 + 260.0 * below(nm, 505.0, 16.0) + 25.0 * bump(nm, 640.0, 40.0),
            |nm| 30.0 + 25.0 * (1.0 - below(nm, 540.0, 40.0)),
            1.9,
            0.04,
        ),
        // red earth
        colorant(
            |nm| 6.0 + 420.0 * below(nm, 568.0, 14.0),
            |nm| 38.0 + 45.0 * (1.0 - below(nm, 600.0, 30.0)),
            2.2,
            0.04,
        ),
        // a violet-leaning blue
        colorant(
            |nm| 2.0 + 190.0 * bump(nm, 595.0, 62.0) + 25.0 * below(nm, 395.0, 6.0),
            |nm| 7.0 + 4.0 * bump(nm, 450.0, 60.0),
            1.5,
            0.04,
        ),
        // a strong greenish blue
        colorant(
            |nm| 12.0 + 900.0 * bump(nm, 625.0, 55.0) + 700.0 * bump(nm, 700.0, 40.0),
            |nm| 12.0 + 14.0 * bump(nm, 480.0, 50.0),
            1.25,
            0.02,
        ),
        // a bluish green
        colorant(
            |nm| {
                20.0 + 650.0 * bump(nm, 640.0, 60.0)
                    + 450.0 * bump(nm, 410.0, 45.0)
                    + 300.0 * bump(nm, 710.0, 40.0)
            },
            |nm| 10.0 + 15.0 * bump(nm, 520.0, 45.0),
            1.3,
            0.02,
        ),
        // black
        colorant(|nm| 1500.0 - 0.4 * (nm - 380.0), |_| 8.0, 1.4, 0.015),
        // brown earth
        colorant(
            |nm| 25.0 + 300.0 * (-(nm - 380.0) / 95.0).exp(),
            |nm| 16.0 + 0.02 * (nm - 380.0),
            2.0,
            0.04,
        ),
    ]
}

pub(super) struct Shop {
    pub(super) shelf: Vec<Colorant>,
    pub(super) surface: Surface,
    pub(super) binder: Ks,
    pub(super) resin_density_g_per_ml: f64,
    pub(super) geometry: Geometry,
    pub(super) black: Spectrum,
    pub(super) white: Spectrum,
}

impl Shop {
    pub(super) fn new() -> Self {
        Self {
            shelf: shelf(),
            surface: Surface::of_index(1.53),
            binder: Ks {
                k: Spectrum::of_wavelength(|nm| 0.004 + 0.03 * below(nm, 400.0, 10.0)),
                s: Spectrum::flat(0.0),
            },
            resin_density_g_per_ml: 1.09,
            geometry: Geometry::SpecularIncluded,
            black: Spectrum::flat(0.01),
            white: Spectrum::of_wavelength(|nm| 0.9 - 0.3 * below(nm, 400.0, 8.0)),
        }
    }

    pub(super) fn conditions(&self, noise: Noise) -> Conditions {
        Conditions { surface: self.surface, binder: self.binder, noise }
    }

    /// Concentrations of colorants at these loadings, in order, and the resin's volume.
    pub(super) fn concentrations(&self, loadings: &[(usize, f64)]) -> (Vec<f64>, f64) {
        let portions: Vec<Portion> = loadings
            .iter()
            .map(|(i, loading)| Portion {
                loading: *loading,
                density_g_per_ml: self.shelf[*i].density_g_per_ml,
            })
            .collect();
        let made = composition(self.resin_density_g_per_ml, &portions);
        (made.concentrations_g_per_ml, made.resin_volume_fraction)
    }

    /// The film that these units make.
    pub(super) fn film(&self, units: &[Ks], loadings: &[(usize, f64)]) -> Ks {
        let (c, resin) = self.concentrations(loadings);
        let amounts: Vec<(f64, &Ks)> =
            c.iter().zip(loadings).map(|(c, (i, _))| (*c, &units[*i])).collect();
        mix_in_binder(&self.binder, resin, &amounts)
    }

    pub(super) fn truth(&self) -> Vec<Ks> {
        self.shelf.iter().map(|c| c.unit).collect()
    }

    /// A reading without noise.
    pub(super) fn seen(&self, film: &Ks, film_mm: f64, ground: &Spectrum) -> Spectrum {
        let internal = Layer { ks: *film, film_mm }.over(ground);
        self.surface.reading_spectrum(&internal, self.geometry)
    }

    /// Draws a film down over grounds and reads it: the first loading is the sought colorant's, the
    /// second, if any, that of the white, which is known colorant 0.
    pub(super) fn drawdown(
        &self,
        loadings: &[(usize, f64)],
        film_mm: f64,
        grounds: &[Spectrum],
        noise: Noise,
        dice: &mut Dice,
    ) -> Drawdown {
        let film = self.film(&self.truth(), loadings);
        let laid_mm = film_mm * (1.0 + noise.film * dice.normal());
        let readings = grounds
            .iter()
            .map(|ground| {
                let clean = self.seen(&film, laid_mm, ground);
                Reading {
                    ground: *ground,
                    seen: Spectrum(std::array::from_fn(|band| {
                        clean[band] + noise.of(clean[band]) * dice.normal()
                    })),
                    geometry: self.geometry,
                }
            })
            .collect();
        let (c, resin) = self.concentrations(loadings);
        let film = Film {
            sought_g_per_ml: c[0],
            others_g_per_ml: c.get(1).map(|white| (0, *white)).into_iter().collect(),
            resin_volume_fraction: resin,
            film_mm,
        };
        Drawdown { film, readings }
    }

    /// What the shop draws down of its white: over black and white, thin enough to show both.
    pub(super) fn white_drawdown(&self, noise: Noise, dice: &mut Dice) -> Vec<Drawdown> {
        vec![self.drawdown(&[(0, 0.05)], 0.2, &[self.black, self.white], noise, dice)]
    }

    /// Masstone and tints of 10 % and 25 % colorant in white, over a black-and-white chart, at a film
    /// of 0.2 mm.
    pub(super) fn full_set(&self, which: usize, noise: Noise, dice: &mut Dice) -> Vec<Drawdown> {
        let masstone = self.shelf[which].masstone;
        let mut tint = |share: f64| {
            let loadings = [(which, 0.06 * share), (0, 0.06 * (1.0 - share))];
            self.drawdown(&loadings, 0.2, &[self.black, self.white], noise, dice)
        };
        let tints = [tint(0.10), tint(0.25)];
        let mut set =
            vec![self.drawdown(&[(which, masstone)], 0.2, &[self.black, self.white], noise, dice)];
        set.extend(tints);
        set
    }
}

pub(super) struct Eye {
    pub(super) weights: Weights,
}

impl Eye {
    pub(super) fn new() -> Self {
        Self { weights: weights(&Illuminant::D65, Observer::Cie1931_2deg) }
    }

    pub(super) fn lab(&self, seen: &Spectrum) -> Lab {
        Lab::from_xyz(self.weights.xyz(seen), self.weights.white())
    }
}

/// Mean ΔE00 between colours predicted with `units` and with the truth, over random recipes of a
/// white with one or two of the colours, 1–5 % in all, 3 mm over the white ground.
pub(super) fn error_of_recipes(shop: &Shop, units: &[Ks], recipes: usize, seed: u64) -> f64 {
    let (eye, truth, mut dice) = (Eye::new(), shop.truth(), Dice(seed));
    let mut sum = 0.0;
    for _ in 0..recipes {
        let mut colour = || dice.one_of(&[1, 2, 3, 4, 5, 6, 7]);
        let (one, two) = (colour(), colour());
        let mut loadings = vec![(0, dice.between(0.005, 0.03)), (one, dice.between(0.001, 0.015))];
        if two != one {
            loadings.push((two, dice.between(0.001, 0.01)));
        }
        let lab =
            |units: &[Ks]| eye.lab(&shop.seen(&shop.film(units, &loadings), 3.0, &shop.white));
        sum += delta_e_2000(lab(units), lab(&truth));
    }
    sum / recipes as f64
}
