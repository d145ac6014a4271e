//! The paint of what comes with one source: its body, the grades within, and its streaks.

use super::input::{FilmColour, Finish, PourColour};
use super::paint::Paint;
use super::{Inclusion, Spot};
use crate::flow::Random;
use crate::flow::series::{cos_turns, sin_turns};

/// Film that is thinned to ask how far the primer shows, as a share of the film.
const THINNED: f64 = 0.75;

/// Colours as paint over one primer at one film.
pub(super) struct Palette<'a> {
    film: FilmColour<'a>,
    film_mm: f64,
    colours: &'a [PourColour],
    primer: [f64; 3],
}

impl<'a> Palette<'a> {
    pub(super) fn new(film: FilmColour<'a>, film_mm: f64, colours: &'a [PourColour]) -> Self {
        let primer = film(&vec![0.0; colours.len()]);
        Self { film, film_mm, colours, primer }
    }

    pub(super) fn primer(&self) -> [f64; 3] {
        self.primer
    }

    /// Linear RGB of a film of these shares.
    pub(super) fn rgb(&self, shares: &[f64], film_share: f64) -> [f64; 3] {
        let amounts: Vec<f64> = shares.iter().map(|s| s * self.film_mm * film_share).collect();
        (self.film)(&amounts).map(|v| if v.is_finite() { v.clamp(0.0, 4.0) } else { 0.0 })
    }

    /// Mixed right through: a soft film without edge of its own.
    pub(super) fn soft(&self, shares: &[f64]) -> Paint {
        let full = self.rgb(shares, 1.0);
        let thin = self.rgb(shares, THINNED);
        let (mut along, mut square) = (0.0, 1e-6);
        for i in 0..3 {
            let way = self.primer[i] - full[i];
            along += way * (thin[i] - full[i]);
            square += way * way;
        }
        let through = (along / square / (1.0 - THINNED)).clamp(0.0, 1.0);
        Paint {
            channels: [
                0.0,
                0.0,
                0.0,
                0.0,
                single(full[0]),
                single(full[1]),
                single(full[2]),
                single(through),
            ],
            shares: shares.iter().map(|s| single(*s)).collect(),
        }
    }

    /// A crisp accent that floats on whatever film lies there.
    fn crisp(&self, shares: &[f64], under: &Paint) -> Paint {
        let rgb = self.rgb(shares, 1.0);
        let mut paint = under.clone();
        for (channel, value) in paint.channels.iter_mut().zip([rgb[0], rgb[1], rgb[2], 1.0]) {
            *channel = single(value);
        }
        paint.shares = shares.iter().map(|s| single(*s)).collect();
        paint
    }

    /// How strongly the shares' flakes show the flow, 0 to 1.
    pub(super) fn sheen(&self, shares: &[f64]) -> f64 {
        let of = |finish: Finish| match finish {
            Finish::Opaque => 0.0,
            Finish::Pearl => 0.6,
            Finish::Metallic => 1.0,
        };
        shares.iter().zip(self.colours).map(|(share, colour)| share * of(colour.finish)).sum()
    }

    /// A drop of base, all of one mixture, with its streaks.
    pub(super) fn base_spot(&self, shares: &[f64], radius_mm: f64, random: &mut Random) -> Spot {
        let mut body = self.soft(shares);
        // No two drops hold quite the same pigment; as much more as less.
        let more = 0.045 * random.between(-1.0, 1.0);
        for channel in body.channels.iter_mut().skip(4).take(3) {
            *channel += single(more) * (*channel * 0.8 + 0.03);
        }
        let count = streak_count(radius_mm);
        let inclusions = self.streaks(&body, self.sheen(shares), count, random);
        Spot { body, inclusions }
    }

    /// A drop of accent, floating crisp on `under`, or mixed into the film when it came up from the bottom.
    pub(super) fn accent_spot(
        &self,
        shares: &[f64],
        under: Option<&Paint>,
        radius_mm: f64,
        random: &mut Random,
    ) -> Spot {
        match under {
            Some(paint) => Spot { body: self.crisp(shares, paint), inclusions: Vec::new() },
            None => self.base_spot(shares, radius_mm, random),
        }
    }

    /// Streaks of a little more and a little less pigment: what a paddle leaves, and how flakes show the flow.
    /// They change no amount: lighter and darker ones are as wide and as strong. Lengths in unit discs.
    pub(super) fn streaks(
        &self,
        body: &Paint,
        sheen: f64,
        count: usize,
        random: &mut Random,
    ) -> Vec<Inclusion> {
        let mut sign = if random.unit() < 0.5 { 1.0 } else { -1.0 };
        (0..count)
            .map(|_| {
                sign = -sign;
                let strength = sign * (0.1 + 0.26 * sheen) * random.between(0.25, 1.0);
                let turn = random.unit();
                let (from, far) = (random.unit(), random.unit().sqrt());
                let half = [random.between(0.25, 0.62), random.between(0.025, 0.15)];
                let reach = (0.96 - half[0]) * far;
                let mut step =
                    Paint { channels: [0.0; 8], shares: body.shares.iter().map(|_| 0.0).collect() };
                for (to, of) in step.channels.iter_mut().zip(body.channels).skip(4).take(3) {
                    // Lighter by a share of the way to white, so that dark bases show it too.
                    *to = single(strength) * (of * 0.8 + 0.03);
                }
                Inclusion {
                    centre: [reach * cos_turns(from), reach * sin_turns(from)],
                    along: [cos_turns(turn), sin_turns(turn)],
                    half,
                    step,
                }
            })
            .collect()
    }
}

/// Streaks in a drop: large drops show more of them.
fn streak_count(radius_mm: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 9")]
    let count = (radius_mm * 0.5).clamp(1.0, 10.0) as usize;
    count
}

#[expect(clippy::cast_possible_truncation, reason = "paint is f32 on purpose")]
pub(super) fn single(x: f64) -> f32 {
    x as f32
}
