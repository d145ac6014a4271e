//! Colours as paint over one primer at one film.

use super::input::{FilmColour, Finish, PourColour};
use super::mixer::{Mixer, tinting_strengths};
use super::paint::{Channels, Paint};

/// Film that is thinned to ask how far the primer shows, as a share of the film.
const THINNED: f64 = 0.75;

/// Colours as paint over one primer at one film.
pub(super) struct Palette<'a> {
    film: FilmColour<'a>,
    film_mm: f64,
    colours: &'a [PourColour],
    primer: [f64; 3],
    /// Linear RGB of each colour by itself, and its strength in mixtures.
    pub(super) pure: Vec<[f32; 3]>,
    pub(super) strength: Vec<[f32; 3]>,
    mixer: Mixer,
}

impl<'a> Palette<'a> {
    pub(super) fn new(film: FilmColour<'a>, film_mm: f64, colours: &'a [PourColour]) -> Self {
        let primer = film(&vec![0.0; colours.len()]);
        let rgb = |shares: &[f64]| film_of(film, film_mm, shares);
        let pure: Vec<[f64; 3]> =
            (0..colours.len()).map(|c| rgb(&one_hot(c, colours.len()))).collect();
        let strength = tinting_strengths(&pure, rgb);
        let pure: Vec<[f32; 3]> = pure.into_iter().map(|c| c.map(single)).collect();
        let mixer = Mixer::new(&pure, &strength);
        Self { film, film_mm, colours, primer, pure, strength, mixer }
    }

    pub(super) fn primer(&self) -> [f64; 3] {
        self.primer
    }

    /// Mixed right through: a soft film without edge of its own.
    pub(super) fn soft(&self, shares: &[f64]) -> Paint {
        let full = film_of(self.film, self.film_mm, shares);
        let thin = film_of(self.film, self.film_mm * THINNED, shares);
        let (mut along, mut square) = (0.0, 1e-6);
        for i in 0..3 {
            let way = self.primer[i] - full[i];
            along += way * (thin[i] - full[i]);
            square += way * way;
        }
        let through = (along / square / (1.0 - THINNED)).clamp(0.0, 1.0);
        let [r, g, b] = full.map(single);
        Paint {
            channels: [0.0, 0.0, 0.0, 0.0, r, g, b, single(through)],
            shares: shares.iter().map(|s| single(*s)).collect(),
        }
    }

    /// A crisp accent that floats on `under`.
    pub(super) fn crisp(&self, shares: &[f64], under: &Paint) -> Paint {
        let rgb = film_of(self.film, self.film_mm, shares);
        let mut paint = under.clone();
        for (channel, value) in paint.channels.iter_mut().zip([rgb[0], rgb[1], rgb[2], 1.0]) {
            *channel = single(value);
        }
        paint.shares = shares.iter().map(|s| single(*s)).collect();
        paint
    }

    /// How strongly the shares' flakes show the flow, 0 to 1.
    pub(super) fn sheen(&self, shares: &[f32]) -> f32 {
        let of = |finish: Finish| match finish {
            Finish::Opaque => 0.0,
            Finish::Pearl => 0.6,
            Finish::Metallic => 1.0,
        };
        shares.iter().zip(self.colours).map(|(share, colour)| share * of(colour.finish)).sum()
    }

    /// What a streak adds: pigment lies a little denser here and thinner there, a neighbouring base is drawn in, and
    /// flakes turn with the flow. Lighter and darker streaks are as wide and as strong, and no amount is changed.
    pub(super) fn streak(&self, own: &Paint, neighbour: Option<&Paint>) -> Channels {
        let strength = 0.07 + 0.4 * self.sheen(&own.shares);
        core::array::from_fn(|i| {
            if !(4..7).contains(&i) {
                return 0.0;
            }
            // Lighter by a share of the way to white, so that dark bases show it too.
            let lighter = strength * (own.channels[i] * 0.8 + 0.03);
            let drawn = neighbour.map_or(0.0, |n| 0.3 * (n.channels[i] - own.channels[i]));
            lighter + drawn
        })
    }

    /// How a mixture of two bases looks, by the share of the second: as their amounts mix (Kubelka–Munk), its ends exactly
    /// theirs.
    pub(super) fn tone(&self, from: &Paint, to: &Paint) -> impl Fn(f32) -> Channels {
        let mixed = |share: f32| {
            let shares = from.shares.iter().zip(&to.shares);
            self.mixer.rgb(shares.map(|(a, b)| a * (1.0 - share) + b * share))
        };
        let (first, last) = (mixed(0.0), mixed(1.0));
        move |share| {
            let here = mixed(share);
            core::array::from_fn(|i| {
                let (a, b) = (from.channels[i], to.channels[i]);
                match i.checked_sub(4) {
                    Some(k) if k < 3 => {
                        here[k] + (a - first[k]) * (1.0 - share) + (b - last[k]) * share
                    }
                    _ => a + (b - a) * share,
                }
            })
        }
    }
}

/// Linear RGB of a film of these shares.
fn film_of(film: FilmColour<'_>, film_mm: f64, shares: &[f64]) -> [f64; 3] {
    let amounts: Vec<f64> = shares.iter().map(|s| s * film_mm).collect();
    film(&amounts).map(|v| if v.is_finite() { v.clamp(0.0, 4.0) } else { 0.0 })
}

pub(super) fn one_hot(index: usize, count: usize) -> Vec<f64> {
    (0..count).map(|i| if i == index { 1.0 } else { 0.0 }).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "paint is f32 on purpose")]
pub(super) fn single(x: f64) -> f32 {
    x as f32
}
