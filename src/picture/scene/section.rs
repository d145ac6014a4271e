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
/// Most rounds of fitting, and the error of the shares at which it ends before.
const ROUNDS: usize = 60;
const EXACT: f64 = 1e-6;
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
    /// How far the grades on both sides reach into the lamella; nought until it is asked ([`Section::moved`], [`Over`]).
    soft: [f32; 2],
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

    /// Looks a place up by the share of the ribbon's area before it and its place across; `near` is the lamella of a
    /// place close by.
    #[inline(always)]
    pub(crate) fn find(&self, [part, t]: [f32; 2], near: usize) -> Found {
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let x = part.clamp(0.0, 1.0) * CELLS as f32;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to CELLS")]
        let cell = (x as usize).min(CELLS - 1);
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let rest = x - cell as f32;
        let found = |lamella, below: f32, above: f32| {
            let (from_low, to_high) = (t - below, above - t);
            Found { lamella, from_low, to_high, cell, rest, part, across: t, soft: [0.0; 2] }
        };
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

    /// The place `part`, `across` of the lamella that `at` lies in, which is near.
    #[inline(always)]
    pub(crate) fn moved(&self, at: &Found, [part, across]: [f32; 2]) -> Found {
        let mut moved = self.find([part, across], at.lamella);
        if moved.lamella != at.lamella {
            moved = *at;
        }
        moved.soft = self.soft(&moved, moved.from_low + moved.to_high);
        moved
    }

    /// How far the grades on both sides of a lamella `own` wide reach into it.
    #[inline(always)]
    fn soft(&self, at: &Found, own: f32) -> [f32; 2] {
        [self.grading(at, own, false), self.grading(at, own, true)]
    }

    /// All lamellae that lie within `reach` across from a place that was found, see [`Over`]; `None` without a reach.
    #[inline(always)]
    pub(crate) fn over(&self, at: &Found, reach: f32) -> Option<Over<'_>> {
        let (low, high) = ((at.across - reach).max(0.0), (at.across + reach).min(1.0));
        // A reach too small for the numbers is none.
        if low >= high {
            return None;
        }
        let mut lamella = at.lamella;
        let mut below = at.across - at.from_low;
        while lamella > 0 && below > low {
            lamella -= 1;
            below = self.bound(at.cell, at.rest, lamella);
        }
        let per = 1.0 / (high - low);
        let from = if below > low { below } else { low };
        let mut over = Over {
            section: self,
            at: Found { lamella, ..*at },
            high,
            per,
            below,
            above: below,
            from,
            piece: 0,
        };
        over.enter();
        Some(over)
    }

    /// How far across the bounds next to a place move over `along` of the way.
    #[inline(always)]
    pub(crate) fn drift(&self, at: &Found, along: f32) -> f32 {
        let row = self.lamellae.len() + 1;
        let first = at.cell * row + at.lamella + usize::from(at.to_high < at.from_low);
        match (self.bounds.get(first), self.bounds.get(first + row)) {
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            (Some(a), Some(b)) => (b - a) * (along * CELLS as f32),
            _ => 0.0,
        }
    }

    /// How far the grade on one side of the lamella at a place, `own` wide, reaches into it.
    #[inline(always)]
    fn grading(&self, at: &Found, own: f32, upper: bool) -> f32 {
        let lamella = self.lamellae.get(at.lamella);
        let Some((other, number)) = lamella.and_then(|l| l.sides[usize::from(upper)]) else {
            return 0.0;
        };
        let widest = self.grades.get(number).map_or(0.0, |g| g.softness * 0.5);
        let bound = |k| self.bound(at.cell, at.rest, k);
        let beyond = bound(other + 1) - bound(other);
        let thinner = if own < beyond { own } else { beyond };
        // An accent between the two parts them where it is thick.
        let gap = if other.abs_diff(at.lamella) < 2 {
            0.0
        } else {
            let middle = usize::midpoint(other, at.lamella);
            bound(middle + 1) - bound(middle)
        };
        let joined = 1.0 - gap * (1.0 / PARTS_AT);
        widest * thinner * if joined > 0.0 { joined } else { 0.0 }
    }

    /// The grade a place lies in, and how much of the other strand it holds there: below one half.
    #[inline(always)]
    fn graded(&self, at: &Found) -> Option<(&Grade, f32)> {
        let upper = at.to_high < at.from_low;
        let away = if upper { at.to_high } else { at.from_low };
        let reach = at.soft[usize::from(upper)];
        if away >= reach {
            return None;
        }
        let (_, number) = self.lamellae.get(at.lamella)?.sides[usize::from(upper)]?;
        let z = 0.5 * (1.0 - away / reach);
        Some((self.grades.get(number)?, z * z * (3.0 - 2.0 * z)))
    }

    /// How a place looks.
    #[inline(always)]
    pub(crate) fn channels(&self, at: &Found, streaks: Streaks) -> Channels {
        let Some(strand) = self.lamellae.get(at.lamella).and_then(|l| self.strands.get(l.strand))
        else {
            return [0.0; 8];
        };
        let number = self.lamellae.get(at.lamella).map_or(0, |l| l.strand);
        let graded = self.graded(at);
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
        let graded = self.graded(at);
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

/// The lamellae within a stretch across a ribbon, each with its part of that: a line thinner than the stretch then shows
/// by its width, wherever the place itself lies. What grades and what does not comes apart, each by its middle.
pub(crate) struct Over<'a> {
    section: &'a Section,
    /// The place; its lamella is the one at hand, with its grades.
    at: Found,
    /// Where the stretch ends, and one over its length.
    high: f32,
    per: f32,
    /// The lamella's bounds, how far it is told, and which piece of it is next: lower grade, middle, upper grade.
    below: f32,
    above: f32,
    from: f32,
    piece: u8,
}

impl Over<'_> {
    /// Reads the bounds and grades of the lamella at hand.
    #[inline(always)]
    fn enter(&mut self) {
        self.piece = 0;
        self.above = self.section.bound(self.at.cell, self.at.rest, self.at.lamella + 1);
        self.at.soft = self.section.soft(&self.at, self.above - self.below);
    }

    /// The next piece and its part of the stretch.
    #[inline(always)]
    pub(crate) fn next(&mut self) -> Option<(Found, f32)> {
        loop {
            if self.piece > 2 {
                self.at.lamella += 1;
                self.below = self.above;
                if self.below >= self.high || self.at.lamella >= self.section.lamellae.len() {
                    return None;
                }
                self.enter();
            }
            let end = match self.piece {
                0 => self.below + self.at.soft[0],
                1 => self.above - self.at.soft[1],
                _ => self.above,
            };
            self.piece += 1;
            let to = if end < self.high { end } else { self.high };
            if to > self.from {
                let across = 0.5 * (self.from + to);
                let (from_low, to_high) = (across - self.below, self.above - across);
                let part = (to - self.from) * self.per;
                self.from = to;
                return Some((Found { from_low, to_high, across, ..self.at }, part));
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

    /// Whether the two are of one half of one lamella: it looks the same but for streaks and an even grade.
    #[inline(always)]
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        let upper = |at: &Self| at.to_high < at.from_low;
        self.lamella == other.lamella && upper(self) == upper(other)
    }

    /// Share of the ribbon before it, and place across.
    #[inline(always)]
    pub(crate) fn place(&self) -> [f32; 2] {
        [self.part, self.across]
    }
}

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
        let off = sums.iter().zip(shares).map(|(sum, share)| (sum - share).abs() / share);
        let done = off.fold(0.0, f64::max) < EXACT;
        for place in 0..=CELLS {
            let sum: f64 = widths.iter().filter_map(|values| values.get(place)).sum();
            for value in widths.iter_mut().filter_map(|values| values.get_mut(place)) {
                *value /= sum;
            }
        }
        if done {
            break;
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
    use crate::flow::Random;

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
    fn every_strand_has_its_area() {
        for seed in 0..12 {
            let (section, shares) = section(seed);
            let (mut sums, n) = ([0.0_f32; PourInput::MOST_COLOURS], 400_u16);
            let mut total = [0.0_f64; 4];
            for i in 0..n {
                let part = (f32::from(i) + 0.5) / f32::from(n);
                sums.fill(0.0);
                for j in 0..n {
                    let t = (f32::from(j) + 0.5) / f32::from(n);
                    let at = section.find([part, t], usize::from(j) % 7);
                    section.add_shares(&section.moved(&at, [part, t]), 1.0, &mut sums);
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
