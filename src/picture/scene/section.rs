//! What lies across a ribbon: the container's layers, folded, thicker here and thinner there.
//!
//! At each place along the ribbon the layers that leave the lip together lie side by side, the upper ones outside, the
//! lower ones towards the middle, and a stream that coils as it lands lays that stack several times over, every other
//! time turned round. So a ribbon is a row of [`Lamella`]e whose widths change along it, and amounts are areas: with S
//! the share of the ribbon's area before a place and t the place across, area is dS dt, and a layer's area is the
//! integral of its lamellae's widths over S. The widths are piecewise linear in S and fitted to the poured volumes
//! ([`Section::fitted`]), so each layer's area is its volume over the film, to rounding, whatever the shapes.

use super::input::PourInput;
use super::paint::{Channels, Paint};
use super::streaks::Streaks;

/// Widths are given at this many places and one along a ribbon.
pub(crate) const CELLS: usize = 32;
/// Rounds of fitting: what is left of the error then is below a millionth.
const ROUNDS: usize = 60;
/// A floating accent wider than this share of the ribbon keeps the bases on its two sides apart.
const PARTS_AT: f32 = 0.02;
/// As dark as a streak gets, as a share of the strand's own light.
const DARKEST_STREAK: f32 = 0.6;
/// Steps of a tone scale.
const STEPS: usize = 16;

/// Colours from one base to another, as their amounts mix.
#[derive(Debug, Clone)]
pub(crate) struct Tone {
    pub(crate) channels: Vec<Channels>,
}

impl Tone {
    /// A scale from its value at each share of the second in 0 to 1.
    pub(crate) fn new(at: impl Fn(f32) -> Channels) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "sixteen")]
        let channels = (0..=STEPS).map(|k| at(k as f32 / STEPS as f32)).collect();
        Self { channels }
    }

    #[inline(always)]
    fn at(&self, share: f32) -> Channels {
        #[expect(clippy::cast_precision_loss, reason = "sixteen")]
        let x = share.clamp(0.0, 1.0) * STEPS as f32;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 16")]
        let low = (x as usize).min(STEPS - 1);
        #[expect(clippy::cast_precision_loss, reason = "sixteen")]
        let rest = x - low as f32;
        match self.channels.get(low..) {
            Some([a, b, ..]) => core::array::from_fn(|i| a[i] + (b[i] - a[i]) * rest),
            _ => [0.0; 8],
        }
    }
}

/// One of the layers that leave together, or what two of them mixed to.
#[derive(Debug, Clone)]
pub(crate) struct Strand {
    /// How it looks and what it is made of.
    pub(crate) paint: Paint,
    /// What a streak of strength 1 adds.
    pub(crate) streak: Channels,
    /// Whether it floats crisp on what lies around it.
    pub(crate) floats: bool,
    /// Its share of the ribbon's area.
    pub(crate) share: f64,
}

/// How one strand goes over into another.
#[derive(Debug, Clone)]
pub(crate) struct Grade {
    /// Numbers of the two strands.
    pub(crate) between: [usize; 2],
    /// How much of the thinner one's half grades, 0 (an edge) to 1.
    pub(crate) softness: f32,
    /// From the first to the second.
    pub(crate) tone: Tone,
}

/// One strand's part of a fold.
#[derive(Debug, Clone, Copy)]
struct Lamella {
    strand: usize,
    /// What lies beyond the lower and the upper side, where it grades: lamella, number of the grade.
    sides: [Option<(usize, usize)>; 2],
}

/// A ribbon's content.
#[derive(Debug, Clone)]
pub(crate) struct Section {
    strands: Vec<Strand>,
    grades: Vec<Grade>,
    lamellae: Vec<Lamella>,
    /// For each of [`CELLS`] + 1 places the lower bounds of all lamellae, and 1.
    bounds: Vec<f32>,
    /// Length and width, mm, and where in the table of streaks it begins.
    size_mm: [f32; 2],
    begin_mm: [f32; 2],
}

/// A place of a section: the lamella, how far it is from both bounds, and which place along.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Found {
    lamella: usize,
    from_low: f32,
    to_high: f32,
    cell: usize,
    rest: f32,
    part: f32,
    across: f32,
    /// The grade it lies in, and how much of the other strand it holds there: below one half.
    graded: Option<(usize, f32)>,
}

impl Section {
    /// Folds `strands` (outside first) `guesses.len() / strands.len()` times, each lamella as wide as its guess by
    /// place ([`CELLS`] + 1 values), fitted so that every strand has its share.
    pub(crate) fn fitted(
        strands: Vec<Strand>,
        grades: Vec<Grade>,
        mut guesses: Vec<Vec<f64>>,
        size_mm: [f32; 2],
        begin_mm: [f32; 2],
    ) -> Self {
        let count = strands.len().max(1);
        let strand_of = |lamella: usize| {
            let (fold, place) = (lamella / count, lamella % count);
            if fold.is_multiple_of(2) { place } else { count - 1 - place }
        };
        fit(&mut guesses, strand_of, &strands.iter().map(|s| s.share).collect::<Vec<_>>());
        let order: Vec<usize> = (0..guesses.len()).map(strand_of).collect();
        let lamellae = (0..order.len())
            .map(|index| Lamella {
                strand: order[index],
                sides: [false, true].map(|up| neighbour(&order, &strands, &grades, index, up)),
            })
            .collect();
        let mut bounds = Vec::with_capacity((CELLS + 1) * (order.len() + 1));
        for place in 0..=CELLS {
            let mut sum = 0.0;
            for widths in &guesses {
                bounds.push(single(sum));
                sum += widths.get(place).copied().unwrap_or(0.0);
            }
            bounds.push(1.0);
        }
        Self { strands, grades, lamellae, bounds, size_mm, begin_mm }
    }

    #[inline(always)]
    fn bound(&self, cell: usize, rest: f32, lamella: usize) -> f32 {
        let row = self.lamellae.len() + 1;
        let at = cell * row + lamella;
        match (self.bounds.get(at), self.bounds.get(at + row)) {
            (Some(a), Some(b)) => a + (b - a) * rest,
            _ => 1.0,
        }
    }

    /// Looks a place up; `near` is the lamella of a place close by.
    #[inline(always)]
    pub(crate) fn find(&self, [s, t]: [f32; 2], near: usize) -> Found {
        let part = part_before(s);
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let x = part.clamp(0.0, 1.0) * CELLS as f32;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to CELLS")]
        let cell = (x as usize).min(CELLS - 1);
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let rest = x - cell as f32;
        let found =
            |lamella, below, above| self.found(lamella, [below, above], cell, rest, part, t);
        let near = near.min(self.lamellae.len().saturating_sub(1));
        let (below, above) = (self.bound(cell, rest, near), self.bound(cell, rest, near + 1));
        if below <= t && t < above {
            return found(near, below, above);
        }
        // The lamella whose lower bound is the last one not above t.
        let (mut low, mut high) = (0, self.lamellae.len());
        let (mut below, mut above) = (0.0, 1.0);
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            let bound = self.bound(cell, rest, middle);
            if bound <= t {
                (low, below) = (middle, bound);
            } else {
                (high, above) = (middle, bound);
            }
        }
        found(low, below, above)
    }

    #[inline(always)]
    fn found(
        &self,
        lamella: usize,
        [below, above]: [f32; 2],
        cell: usize,
        rest: f32,
        part: f32,
        across: f32,
    ) -> Found {
        let (from_low, to_high) = (across - below, above - across);
        let mut at = Found { lamella, from_low, to_high, cell, rest, part, across, graded: None };
        at.graded = self.graded(&at);
        at
    }

    /// Tells all lamellae that lie within `reach` across from a place that was found, each with its part of that
    /// stretch: a line thinner than the stretch then shows by its width, wherever the place itself lies.
    #[inline(always)]
    pub(crate) fn over(&self, at: &Found, reach: f32, mut tell: impl FnMut(Found, f32)) {
        if at.from_low >= reach && at.to_high >= reach {
            tell(*at, 1.0);
            return;
        }
        let (low, high) = ((at.across - reach).max(0.0), (at.across + reach).min(1.0));
        let bound = |k| self.bound(at.cell, at.rest, k);
        let mut lamella = at.lamella;
        while lamella > 0 && bound(lamella) > low {
            lamella -= 1;
        }
        let mut below = bound(lamella);
        while lamella < self.lamellae.len() && below < high {
            let above = bound(lamella + 1);
            let from = if below > low { below } else { low };
            let to = if above < high { above } else { high };
            if to > from {
                let middle = 0.5 * (from + to);
                let one = self.found(lamella, [below, above], at.cell, at.rest, at.part, middle);
                tell(one, (to - from) / (high - low));
            }
            below = above;
            lamella += 1;
        }
    }

    /// Whether all places within `reach` (along, across) of a place that was found are of the same lamella.
    #[inline(always)]
    pub(crate) fn is_alone(&self, at: &Found, reach: [f32; 2]) -> bool {
        // How fast the bounds go along, by place: their slope in the cell, and a share's growth.
        let row = self.lamellae.len() + 1;
        let first = at.cell * row + at.lamella;
        let slope = |k: usize| match (self.bounds.get(first + k), self.bounds.get(first + row + k))
        {
            (Some(a), Some(b)) => (b - a).abs(),
            _ => 1.0,
        };
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let along = reach[0] * (MOST_GROWTH * CELLS as f32);
        at.from_low > reach[1] + along * slope(0) && at.to_high > reach[1] + along * slope(1)
    }

    #[inline(always)]
    fn graded(&self, at: &Found) -> Option<(usize, f32)> {
        let lamella = self.lamellae.get(at.lamella)?;
        let upper = at.to_high < at.from_low;
        let away = if upper { at.to_high } else { at.from_low };
        let (other, number) = lamella.sides[usize::from(upper)]?;
        let widest = self.grades.get(number)?.softness * 0.5;
        let own = at.from_low + at.to_high;
        if away >= widest * own {
            return None;
        }
        let [low, high] = [other, other + 1].map(|k| self.bound(at.cell, at.rest, k));
        let thinner = if own < high - low { own } else { high - low };
        // An accent between the two parts them where it is thick.
        let gap = if other.abs_diff(at.lamella) < 2 {
            0.0
        } else {
            let middle = usize::midpoint(other, at.lamella);
            self.bound(at.cell, at.rest, middle + 1) - self.bound(at.cell, at.rest, middle)
        };
        let joined = 1.0 - gap * (1.0 / PARTS_AT);
        let reach = widest * thinner * if joined > 0.0 { joined } else { 0.0 };
        if away >= reach {
            return None;
        }
        let z = 0.5 * (1.0 - away / reach);
        Some((number, z * z * (3.0 - 2.0 * z)))
    }

    /// How a place looks.
    #[inline(always)]
    pub(crate) fn channels(&self, at: &Found, streaks: Streaks) -> Channels {
        let Some(strand) = self.lamellae.get(at.lamella).and_then(|l| self.strands.get(l.strand))
        else {
            return [0.0; 8];
        };
        let number = self.lamellae.get(at.lamella).map_or(0, |l| l.strand);
        let graded = at.graded.and_then(|(grade, share)| Some((self.grades.get(grade)?, share)));
        let (body, own) = match graded {
            None => (strand.paint.channels, 1.0),
            Some((grade, share)) => {
                let share_of_second = if grade.between[0] == number { share } else { 1.0 - share };
                // A streak of one strand ends where the other begins.
                (grade.tone.at(share_of_second), 1.0 - 2.0 * share)
            }
        };
        let along = self.begin_mm[0] + at.part * self.size_mm[0];
        let across = self.begin_mm[1] + at.across * self.size_mm[1];
        let strength = own * streaks.at(along, across);
        core::array::from_fn(|i| {
            let streaked = body[i] + strand.streak[i] * strength;
            // A streak is thinner pigment, not another one.
            let least = DARKEST_STREAK * body[i];
            if streaked > least { streaked } else { least }
        })
    }

    /// What a place is made of, added to `sums` by `weight`.
    #[inline(always)]
    pub(crate) fn add_shares(
        &self,
        at: &Found,
        weight: f32,
        sums: &mut [f32; PourInput::MOST_COLOURS],
    ) {
        let Some(lamella) = self.lamellae.get(at.lamella) else { return };
        let own = self.strands.get(lamella.strand);
        let graded = at.graded.and_then(|(grade, share)| Some((self.grades.get(grade)?, share)));
        let (other, part) = match graded {
            None => (None, 0.0),
            Some((grade, share)) => {
                let beyond = usize::from(grade.between[0] == lamella.strand);
                (self.strands.get(grade.between[beyond]), share)
            }
        };
        for (strand, by) in [(own, 1.0 - part), (other, part)] {
            let Some(strand) = strand else { continue };
            for (sum, share) in sums.iter_mut().zip(&strand.paint.shares) {
                *sum += weight * by * share;
            }
        }
    }
}

impl Found {
    /// The lamella's number.
    #[inline(always)]
    pub(crate) fn lamella(&self) -> usize {
        self.lamella
    }

    /// Whether the two are of one lamella and neither in a grade.
    #[inline(always)]
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        self.lamella == other.lamella && self.graded.is_none() && other.graded.is_none()
    }
}

/// [`Ribbon::part_before`] in `f32`.
#[inline(always)]
fn part_before(s: f32) -> f32 {
    const WHOLE: f32 = 2.0 * (1.0 - 3.0 / 5.0 + 3.0 / 9.0 - 1.0 / 13.0);
    let s4 = s * s * s * s;
    let integral = s * (1.0 - s4 * (0.6 - s4 * (1.0 / 3.0 - s4 * (1.0 / 13.0))));
    0.5 + integral * (1.0 / WHOLE)
}

/// The greatest growth of the share of area by the place along, at a ribbon's middle.
const MOST_GROWTH: f32 = 0.762;

/// What lamella `index` grades into on one side: the next that is not its own strand, past an accent that floats.
fn neighbour(
    order: &[usize],
    strands: &[Strand],
    grades: &[Grade],
    index: usize,
    up: bool,
) -> Option<(usize, usize)> {
    let own = *order.get(index)?;
    let floats = |strand: usize| strands.get(strand).is_some_and(|s| s.floats);
    let step = |from: usize| if up { from.checked_add(1) } else { from.checked_sub(1) };
    let mut at = step(index)?;
    if floats(*order.get(at)?) {
        at = step(at)?;
    }
    let other = *order.get(at)?;
    if other == own || floats(other) || floats(own) {
        return None;
    }
    let number =
        grades.iter().position(|g| g.between == [own, other] || g.between == [other, own])?;
    Some((at, number))
}

/// Fits widths by place and lamella: at each place they sum to 1, and over all places (trapezium rule: exact for widths
/// that are linear in between) every strand's lamellae to its share. Iterative proportional fitting (Deming and Stephan
/// 1940, Ann. Math. Statist. 11, 427), which keeps the guess's shape: ratios within a strand and within a place only change together.
fn fit(widths: &mut [Vec<f64>], strand_of: impl Fn(usize) -> usize, shares: &[f64]) {
    for value in widths.iter_mut().flatten() {
        // A trace everywhere, so that no strand is without a place.
        *value = if value.is_finite() && *value > 1e-9 { *value } else { 1e-9 };
    }
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let weight = |place: usize| {
        if place == 0 || place == CELLS { 0.5 / CELLS as f64 } else { 1.0 / CELLS as f64 }
    };
    for _ in 0..ROUNDS {
        let mut sums = vec![0.0; shares.len()];
        for (lamella, values) in widths.iter().enumerate() {
            if let Some(sum) = sums.get_mut(strand_of(lamella)) {
                *sum += values.iter().enumerate().map(|(k, v)| weight(k) * v).sum::<f64>();
            }
        }
        for (lamella, values) in widths.iter_mut().enumerate() {
            let strand = strand_of(lamella);
            let (Some(share), Some(sum)) = (shares.get(strand), sums.get(strand)) else { continue };
            for value in values {
                *value *= share / sum;
            }
        }
        for place in 0..=CELLS {
            let sum: f64 = widths.iter().filter_map(|values| values.get(place)).sum();
            for value in widths.iter_mut().filter_map(|values| values.get_mut(place)) {
                *value /= sum;
            }
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "pictures are computed in f32")]
fn single(x: f64) -> f32 {
    x as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::{Random, Ribbon};

    fn strand(number: usize, share: f64, floats: bool) -> Strand {
        let mut paint = Paint { channels: [0.1; 8], shares: vec![0.0; 4] };
        paint.shares[number] = 1.0;
        Strand { paint, streak: [0.0; 8], floats, share }
    }

    fn section(seed: u64) -> (Section, [f64; 4]) {
        let mut random = Random::new(seed);
        let raw =
            [random.between(0.005, 0.03), random.between(0.2, 1.0), 0.4, random.between(0.1, 0.9)];
        let sum: f64 = raw.iter().sum();
        let shares = raw.map(|v| v / sum);
        let strands = (0..4).map(|k| strand(k, shares[k], k == 2 || k == 0)).collect::<Vec<_>>();
        let tone = Tone::new(|_| [0.1; 8]);
        let grades = vec![Grade { between: [1, 3], softness: 0.9, tone }];
        let folds = 1 + random.below(5);
        let guesses = (0..4 * folds)
            .map(|_| (0..=CELLS).map(|_| random.between(-0.3, 1.0)).collect())
            .collect();
        (Section::fitted(strands, grades, guesses, [500.0, 50.0], [0.0; 2]), shares)
    }

    #[test]
    fn the_share_before_a_place_is_the_ribbons_own() {
        for i in -100..=100_i8 {
            let s = f32::from(i) / 100.0;
            let exact = Ribbon::part_before(f64::from(s));
            assert!((f64::from(part_before(s)) - exact).abs() < 1e-6, "at {s}");
            let growth = (Ribbon::part_before(f64::from(s) + 1e-4) - exact) / 1e-4;
            assert!(growth <= f64::from(MOST_GROWTH), "{growth} at {s}");
        }
    }

    #[test]
    fn every_strand_has_its_area() {
        for seed in 0..12 {
            let (section, shares) = section(seed);
            let (mut sums, n) = ([0.0_f32; PourInput::MOST_COLOURS], 400_u16);
            let mut total = [0.0_f64; 4];
            for i in 0..n {
                // Even in area: the place along whose share before it is that, by halving.
                let want = (f64::from(i) + 0.5) / f64::from(n);
                let (mut low, mut high) = (-1.0, 1.0);
                for _ in 0..50 {
                    let middle = 0.5 * (low + high);
                    if Ribbon::part_before(middle) < want { low = middle } else { high = middle }
                }
                sums.fill(0.0);
                for j in 0..n {
                    let t = (f32::from(j) + 0.5) / f32::from(n);
                    let at = section.find([single(low), t], usize::from(j) % 7);
                    section.add_shares(&at, 1.0, &mut sums);
                }
                for (all, one) in total.iter_mut().zip(&sums) {
                    *all += f64::from(*one);
                }
            }
            for (sum, share) in total.iter().zip(shares) {
                let got = sum / f64::from(n) / f64::from(n);
                assert!((got - share).abs() < 5e-4, "seed {seed}: {got} of {share}");
            }
        }
    }
}
