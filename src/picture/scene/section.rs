//! What lies across a ribbon: the container's layers, folded, thicker here and thinner there.
//!
//! At each place along the ribbon the layers that leave the lip together lie side by side, the upper ones outside, the
//! lower ones towards the middle, and a stream that coils as it lands lays that stack several times over, every other
//! time turned round. So a ribbon is a row of [`Lamella`]e whose widths change along it, and amounts are areas: with S
//! the share of the ribbon's area before a place and t the place across, area is dS dt, and a layer's area is the
//! integral of its lamellae's widths over S. The widths are piecewise linear in S and fitted to the poured volumes
//! ([`Section::fitted`]), so each layer's area is its volume over the film, to rounding, whatever the shapes.

use super::easing::eased;
use super::input::PourInput;
use super::paint::{CHANNELS, Channels, Paint};
use super::palette::single;
use super::proportional::{Row, fit};
use super::streaks::Streaks;

/// Widths are given at this many places and one along a ribbon.
pub(crate) const CELLS: usize = 64;
/// Most rounds of fitting, and the error of the widths' sum at which it ends before.
const ROUNDS: usize = 60;
const EXACT: f64 = 1e-6;
/// A floating accent wider than this share of the ribbon keeps the bases on its two sides apart.
const PARTS_AT: f32 = 0.02;
/// As dark as a streak gets, as a share of the strand's own light.
const DARKEST_STREAK: f32 = 0.6;
/// Steps of a tone's half.
const STEPS: usize = 8;

/// Colours from one base to half way to another, as their amounts mix.
type HalfTone = [Channels; STEPS + 1];

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
    tone: [HalfTone; 2],
}

impl Grade {
    /// A grade from its look at each share of the second strand in 0 to 1.
    pub(crate) fn new(between: [usize; 2], softness: f32, tone: impl Fn(f32) -> Channels) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "eight")]
        let share = |k: usize| k as f32 / (2 * STEPS) as f32;
        let tone = [
            core::array::from_fn(|k| tone(share(k))),
            core::array::from_fn(|k| tone(1.0 - share(k))),
        ];
        Self { between, softness, tone }
    }
}

/// One strand's part of a fold.
#[derive(Debug, Clone)]
struct Lamella {
    /// How it looks by itself, and what a streak adds.
    body: Channels,
    streak: Channels,
    strand: usize,
    /// What lies beyond the lower and the upper side, where it grades: strand, and number of the tone that leads there.
    sides: [Option<(usize, usize)>; 2],
}

/// A lamella at one place along: its lower and its upper bound, and how far the grades on these sides reach into it.
type Line = [f32; 4];

/// A ribbon's content.
#[derive(Debug, Clone)]
pub(crate) struct Section {
    lamellae: Vec<Lamella>,
    /// For each of [`CELLS`] + 1 places the lines of all lamellae; in between they go straight.
    lines: Vec<Line>,
    tones: Vec<HalfTone>,
    /// What each strand is made of.
    shares: Vec<Vec<f32>>,
    /// Length and width, mm, and where in the table of streaks it begins.
    size_mm: [f32; 2],
    begin_mm: [f32; 2],
}

/// A place of a section: a lamella, its line there, and where that is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Found {
    lamella: usize,
    line: Line,
    cell: usize,
    rest: f32,
    part: f32,
    across: f32,
}

impl Found {
    /// The lamella's number.
    #[inline(always)]
    pub(crate) fn lamella(&self) -> usize {
        self.lamella
    }
}

impl Section {
    /// Folds `strands` (outside first) `guesses.len() / strands.len()` times, each lamella as wide as its guess by
    /// place ([`CELLS`] + 1 values), fitted so that every strand has its share and no bound between two moves further
    /// across from a place to the next than `most` says, as a share of the ribbon's width.
    pub(crate) fn fitted(
        strands: Vec<Strand>,
        grades: &[Grade],
        guesses: Vec<Vec<f64>>,
        most: &[f64],
        size_mm: [f32; 2],
        begin_mm: [f32; 2],
    ) -> Self {
        let count = strands.len().max(1);
        let strand_of = |lamella: usize| {
            let (fold, place) = (lamella / count, lamella % count);
            if fold.is_multiple_of(2) { place } else { count - 1 - place }
        };
        let order: Vec<usize> = (0..guesses.len()).map(strand_of).collect();
        let shares: Vec<f64> = strands.iter().map(|s| s.share).collect();
        let mut widths = widths(guesses, &order, &shares);
        eased(&mut widths, most);
        let sides: Vec<[Option<Side>; 2]> = (0..order.len())
            .map(|index| [false, true].map(|up| side(&order, &strands, grades, index, up)))
            .collect();
        let mut lines = Vec::with_capacity((CELLS + 1) * order.len());
        for place in 0..=CELLS {
            let here: Vec<f64> = widths.iter().filter_map(|w| w.get(place)).copied().collect();
            let all: f64 = here.iter().sum();
            let here: Vec<f32> = here.into_iter().map(|w| single(w / all)).collect();
            let mut below = 0.0;
            for (index, (width, sides)) in here.iter().zip(&sides).enumerate() {
                let above = if index + 1 == here.len() { 1.0 } else { below + width };
                let [low, high] = sides.map(|s| s.map_or(0.0, |s| s.reach(&here, index)));
                lines.push([below, above, low, high]);
                below = above;
            }
        }
        let lamellae = order.iter().zip(sides).filter_map(|(number, sides)| {
            let strand = strands.get(*number)?;
            Some(Lamella {
                body: strand.paint.channels,
                streak: strand.streak,
                strand: *number,
                sides: sides.map(|s| s.map(|s| (s.strand, s.tone))),
            })
        });
        Self {
            lamellae: lamellae.collect(),
            lines,
            tones: grades.iter().flat_map(|g| g.tone).collect(),
            shares: strands.into_iter().map(|s| s.paint.shares).collect(),
            size_mm,
            begin_mm,
        }
    }

    /// A lamella's line at a place.
    #[inline(always)]
    fn line(&self, cell: usize, rest: f32, lamella: usize) -> Line {
        let at = cell * self.lamellae.len() + lamella;
        match (self.lines.get(at), self.lines.get(at + self.lamellae.len())) {
            (Some(a), Some(b)) => core::array::from_fn(|i| a[i] + (b[i] - a[i]) * rest),
            _ => [1.0, 1.0, 0.0, 0.0],
        }
    }

    /// Looks a place up by the share of the ribbon's area before it and its place across; `near` is the lamella of a
    /// place close by.
    #[inline(always)]
    pub(crate) fn find(&self, [part, across]: [f32; 2], near: usize) -> Found {
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let x = part.clamp(0.0, 1.0) * CELLS as f32;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to CELLS")]
        let cell = (x as usize).min(CELLS - 1);
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let rest = x - cell as f32;
        let last = self.lamellae.len().saturating_sub(1);
        let mut lamella = near.min(last);
        let mut line = self.line(cell, rest, lamella);
        // From place to place it is mostly the same one or the next.
        while across < line[0] && lamella > 0 {
            lamella -= 1;
            line = self.line(cell, rest, lamella);
        }
        while across >= line[1] && lamella < last {
            lamella += 1;
            line = self.line(cell, rest, lamella);
        }
        Found { lamella, line, cell, rest, part, across }
    }

    /// How far across the bound next to a place moves over the whole length, at its slope there.
    #[inline(always)]
    pub(crate) fn slope(&self, at: &Found) -> f32 {
        let first = at.cell * self.lamellae.len() + at.lamella;
        let upper = at.line[1] - at.across < at.across - at.line[0];
        let bound = usize::from(upper);
        match (self.lines.get(first), self.lines.get(first + self.lamellae.len())) {
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            (Some(a), Some(b)) => (b[bound] - a[bound]) * CELLS as f32,
            _ => 0.0,
        }
    }

    /// Adds what lies within `reach` across from a place, by `weight`.
    ///
    /// Each lamella counts by its part of that stretch: a line thinner than the stretch shows by its width, wherever the
    /// place itself lies. What grades and what does not comes apart, each by its middle.
    #[inline(always)]
    pub(crate) fn add(
        &self,
        at: &Found,
        reach: f32,
        weight: f32,
        streaks: Streaks,
        sums: &mut Sums,
    ) {
        let streak = if sums.looks {
            let along = self.begin_mm[0] + at.part * self.size_mm[0];
            let across = [self.begin_mm[1] + at.across * self.size_mm[1], reach * self.size_mm[1]];
            streaks.at(along, across)
        } else {
            0.0
        };
        let (low, high) = (at.across - reach, at.across + reach);
        let low = if low > 0.0 { low } else { 0.0 };
        let high = if high < 1.0 { high } else { 1.0 };
        let (mut lamella, mut line) = (at.lamella, at.line);
        // A reach too small for the numbers is none.
        if low >= high {
            let [below, above, lower, upper] = line;
            let (from_low, to_high) = (at.across - below, above - at.across);
            let piece = if from_low < lower {
                Piece::Grade(0, from_low / lower)
            } else if to_high < upper {
                Piece::Grade(1, to_high / upper)
            } else {
                Piece::Pure
            };
            self.add_piece(lamella, piece, weight, streak, sums);
            return;
        }
        let weight = weight / (high - low);
        while lamella > 0 && line[0] > low {
            lamella -= 1;
            line = self.line(at.cell, at.rest, lamella);
        }
        loop {
            let [below, above, lower, upper] = line;
            let from = if below > low { below } else { low };
            let to = if above < high { above } else { high };
            let (soft, hard) = (below + lower, above - upper);
            // From `from` to `soft` it grades into what lies below, from `hard` on into what lies above.
            if from < soft {
                let end = if soft < to { soft } else { to };
                let away = (0.5 * (from + end) - below) / lower;
                self.add_piece(lamella, Piece::Grade(0, away), weight * (end - from), streak, sums);
            }
            let (start, end) =
                (if soft > from { soft } else { from }, if hard < to { hard } else { to });
            if start < end {
                self.add_piece(lamella, Piece::Pure, weight * (end - start), streak, sums);
            }
            if hard < to {
                let start = if hard > from { hard } else { from };
                let away = (above - 0.5 * (start + to)) / upper;
                self.add_piece(lamella, Piece::Grade(1, away), weight * (to - start), streak, sums);
            }
            lamella += 1;
            if above >= high || lamella >= self.lamellae.len() {
                return;
            }
            line = self.line(at.cell, at.rest, lamella);
        }
    }

    /// Adds one piece of a lamella by `weight`, under a streak.
    #[inline(always)]
    fn add_piece(&self, lamella: usize, piece: Piece, weight: f32, streak: f32, sums: &mut Sums) {
        let Some(lamella) = self.lamellae.get(lamella) else { return };
        let (side, share) = match piece {
            Piece::Grade(side, away) => {
                let z = 0.5 * (1.0 - away);
                (lamella.sides.get(side).copied().flatten(), z * z * (3.0 - 2.0 * z))
            }
            Piece::Pure => (None, 0.0),
        };
        if sums.looks {
            let tone = side.and_then(|(_, tone)| self.tones.get(tone));
            let body = tone.map_or(lamella.body, |tone| toned(tone, share));
            // A streak of one strand ends where the other begins.
            let strength = streak * (1.0 - 2.0 * share);
            for (sum, (body, drawn)) in
                sums.channels.iter_mut().zip(body.iter().zip(&lamella.streak))
            {
                let streaked = body + drawn * strength;
                // A streak is thinner pigment, not another one.
                let least = DARKEST_STREAK * body;
                *sum += weight * if streaked > least { streaked } else { least };
            }
        }
        if sums.amounts {
            let other = side.map_or(lamella.strand, |(strand, _)| strand);
            for (strand, by) in [(lamella.strand, 1.0 - share), (other, share)] {
                let shares = self.shares.get(strand).map_or(&[][..], Vec::as_slice);
                for (sum, share) in sums.shares.iter_mut().zip(shares) {
                    *sum += weight * by * share;
                }
            }
        }
    }
}

/// A part of a lamella.
#[derive(Debug, Clone, Copy)]
enum Piece {
    /// Its own strand alone.
    Pure,
    /// On the lower (0) or upper (1) side of it, where it grades; how far from that side, as a share of the grade.
    Grade(usize, f32),
}

/// What places look like and what they are made of, added up.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sums {
    pub(crate) channels: Channels,
    pub(crate) shares: [f32; PourInput::MOST_COLOURS],
    /// Whether the look is asked, and whether the amounts are.
    looks: bool,
    amounts: bool,
}

impl Sums {
    #[inline(always)]
    pub(crate) fn new(looks: bool, amounts: bool) -> Self {
        Self { channels: [0.0; CHANNELS], shares: [0.0; PourInput::MOST_COLOURS], looks, amounts }
    }

    /// Adds the look of a gap in the film, `part` of a pixel. A film that levels draws a gap closed that is narrower than
    /// it is thick, so the smaller the part, the less of it shows: part³. No amount changes.
    #[inline(always)]
    pub(crate) fn close(&mut self, part: f32, bare: &Channels) {
        let shown = part * part * part;
        let by = if part < 1.0 { (1.0 - shown) / (1.0 - part) } else { 0.0 };
        for (sum, value) in self.channels.iter_mut().zip(bare) {
            *sum = *sum * by + shown * value;
        }
    }
}

/// The look at a share below one half of the strand that a tone leads to.
#[inline(always)]
fn toned(tone: &HalfTone, share: f32) -> Channels {
    #[expect(clippy::cast_precision_loss, reason = "sixteen")]
    let x = share.clamp(0.0, 0.5) * (2 * STEPS) as f32;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 8")]
    let low = (x as usize).min(STEPS - 1);
    #[expect(clippy::cast_precision_loss, reason = "eight")]
    let rest = x - low as f32;
    match tone.get(low..) {
        Some([a, b, ..]) => core::array::from_fn(|i| a[i] + (b[i] - a[i]) * rest),
        _ => [0.0; 8],
    }
}

/// What lies beyond one side of a lamella, where it grades into that.
#[derive(Debug, Clone, Copy)]
struct Side {
    lamella: usize,
    strand: usize,
    tone: usize,
    softness: f32,
}

impl Side {
    /// How far into lamella `index` the grade reaches where the lamellae are so wide.
    fn reach(self, widths: &[f32], index: usize) -> f32 {
        let width = |k: usize| widths.get(k).copied().unwrap_or(0.0);
        let (own, beyond) = (width(index), width(self.lamella));
        let thinner = if own < beyond { own } else { beyond };
        // An accent between the two parts them where it is thick.
        let gap = match self.lamella.abs_diff(index) {
            0 | 1 => 0.0,
            _ => width(usize::midpoint(self.lamella, index)),
        };
        let joined = 1.0 - gap * (1.0 / PARTS_AT);
        0.5 * self.softness * thinner * if joined > 0.0 { joined } else { 0.0 }
    }
}

/// What lamella `index` grades into on one side: the next that is not its own strand, past an accent that floats.
fn side(
    order: &[usize],
    strands: &[Strand],
    grades: &[Grade],
    index: usize,
    up: bool,
) -> Option<Side> {
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
    grades.iter().enumerate().find_map(|(number, grade)| {
        let [first, second] = grade.between;
        let tone = match () {
            () if [first, second] == [own, other] => 2 * number,
            () if [first, second] == [other, own] => 2 * number + 1,
            () => return None,
        };
        Some(Side { lamella: at, strand: other, tone, softness: grade.softness })
    })
}

/// Widths of the lamellae by place: at each place they sum to 1, and over all places (trapezium rule: exact for widths that
/// are linear in between) every strand's lamellae to its share.
fn widths(guesses: Vec<Vec<f64>>, order: &[usize], shares: &[f64]) -> Vec<Vec<f64>> {
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let columns: [f64; CELLS + 1] = core::array::from_fn(|place| {
        if place == 0 || place == CELLS { 0.5 / CELLS as f64 } else { 1.0 / CELLS as f64 }
    });
    // Amounts are widths by the part of the way that they stand for.
    let mut rows: Vec<Row> = guesses
        .into_iter()
        .zip(order)
        .map(|(guess, strand)| {
            // A trace everywhere, so that no strand is without a place.
            let least = |v: f64| if v.is_finite() && v > 1e-9 { v } else { 1e-9 };
            let amounts = guess.into_iter().zip(columns).map(|(v, part)| least(v) * part);
            Row { total: *strand, first: 0, amounts: amounts.collect() }
        })
        .collect();
    fit(&mut rows, shares, &columns, ROUNDS, EXACT * columns[0]);
    let widths = |row: Row| row.amounts.into_iter().zip(columns).map(|(v, part)| v / part);
    rows.into_iter().map(|row| widths(row).collect()).collect()
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
        let grades = [Grade::new([1, 3], 0.9, |_| [0.1; 8])];
        let folds = 1 + random.below(5);
        let guesses = (0..4 * folds)
            .map(|_| (0..=CELLS).map(|_| random.between(-0.3, 1.0)).collect())
            .collect();
        (Section::fitted(strands, &grades, guesses, &[0.2; CELLS], [500.0, 50.0], [0.0; 2]), shares)
    }

    #[test]
    fn every_strand_has_its_area() {
        for seed in 0..12 {
            let (section, shares) = section(seed);
            let n = 400_u16;
            let mut total = [0.0_f64; 4];
            for i in 0..n {
                let part = (f32::from(i) + 0.5) / f32::from(n);
                let mut sums = Sums::new(false, true);
                for j in 0..n {
                    // Elsewhere across at each place along, so that no lamella is always missed.
                    let t = (f32::from(j) + (0.618 * f32::from(i)).fract()) / f32::from(n);
                    let at = section.find([part, t], usize::from(j) % 7);
                    section.add(&at, 0.0, 1.0, Streaks::new(), &mut sums);
                }
                for (all, one) in total.iter_mut().zip(&sums.shares) {
                    *all += f64::from(*one);
                }
            }
            for (sum, share) in total.iter().zip(shares) {
                let got = sum / f64::from(n) / f64::from(n);
                assert!((got - share).abs() < 5e-4, "seed {seed}: {got} of {share}");
            }
        }
    }

    #[test]
    fn a_stretch_holds_what_its_places_hold() {
        for seed in 0..12 {
            let (section, _) = section(seed);
            let mut random = Random::new(seed);
            for _ in 0..200 {
                let [part, low, high] = [0; 3].map(|_| single(random.unit()));
                let (middle, reach) = (0.5 * (low + high), 0.5 * (high - low).abs());
                let (mut whole, mut places) = (Sums::new(true, true), Sums::new(true, true));
                let at = section.find([part, middle], 3);
                section.add(&at, reach, 1.0, Streaks::new(), &mut whole);
                let n = 2000_u16;
                for k in 0..n {
                    let across = middle + reach * (2.0 * (f32::from(k) + 0.5) / f32::from(n) - 1.0);
                    let at = section.find([part, across], 3);
                    section.add(&at, 0.0, 1.0 / f32::from(n), Streaks::new(), &mut places);
                }
                assert!((whole.shares.iter().sum::<f32>() - 1.0).abs() < 1e-4, "all of it");
                for (one, other) in whole.shares.iter().zip(&places.shares) {
                    // A grade goes by its middle: at most so far off.
                    assert!((one - other).abs() < 0.03, "{seed}: {whole:?} {places:?}");
                }
            }
        }
    }
}
