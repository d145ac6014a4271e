//! Which containers go on which piece, where a job has several counters or boards.
//!
//! Every piece gets its share of every small batch, so that all of them look alike. A piece's share is that of its
//! film with what its edges take, so that the film comes out the same on each. The allowance is no piece's: it is
//! the last that is poured, and goes where the film is still too thin. It is of the last small batches alone, since
//! what was filled first would gel before it is known where something is missing; [`Thinned`] says what that does to
//! the shares until then. (Common practice, no source.)

use crate::model::{Losses, RunOff};
use crate::quantity::{Area, Fraction, Length, Mass, Units, Volume};

use super::base::BasePlan;
use super::coat_uprights::UprightCoats;
use super::containers::Containers;
use super::demand::Demand;
use super::run_sheet::{RunSheet, Step};
use super::small_batch::SmallBatch;
use super::take_off::TakeOff;

/// One piece of the work, and what is poured on it in one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The counter's name; of boards their numbers, where there are several: `board 2`.
    pub name: String,
    /// A board's size, in the house's units; empty for counters.
    pub size: String,
    /// Its share of what all pieces take.
    pub share: Fraction,
    /// What is poured on it, with what runs over its edges; without the allowance.
    pub mass: Mass,
    /// What of that comes from each container, by number; empty where mixes are poured as they are.
    pub from: Vec<FromContainer>,
    /// The longest time between two pours on it; none where it is poured from one container, or without a clock.
    pub longest_wait: Option<Wait>,
}

/// Time between two pours on one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wait {
    /// The container before it and the one after, by number.
    pub between: (u32, u32),
    /// How long, s.
    pub seconds: i64,
}

impl Wait {
    /// What is poured later than this on a film runs less into it, s. (Common practice, no source.)
    const LONG_S: i64 = 600;

    /// Whether it is long enough to be told.
    #[must_use]
    pub const fn is_long(&self) -> bool {
        self.seconds > Self::LONG_S
    }
}

/// Finds the longest time between two pours on each piece.
pub(super) fn find_waits(pieces: &mut [Piece], sheet: &RunSheet) {
    let poured = |container: u32| {
        sheet.lines.iter().find(|line| match line.step {
            Step::Pour { batch } => u32::try_from(batch).is_ok_and(|at| at + 1 == container),
            _ => false,
        })
    };
    for piece in pieces {
        let waits = piece.from.windows(2).filter_map(|pair| {
            let (before, after) = (poured(pair[0].container)?, poured(pair[1].container)?);
            let between = (pair[0].container, pair[1].container);
            Some(Wait { between, seconds: after.start_s - before.end_s })
        });
        piece.longest_wait = waits.max_by_key(|wait| wait.seconds);
    }
}

/// What comes out of the containers and is no piece's from the start.
#[derive(Debug, Clone, PartialEq)]
pub struct Over {
    /// The allowance: poured where the film is still too thin, else kept back.
    pub mass: Mass,
    /// The last containers, which hold it; empty where mixes are poured as they are.
    pub from: Vec<FromContainer>,
    /// What is poured out of the first of them all the same; none where all that it gives is allowance.
    pub split: Option<FromContainer>,
    /// The least and the greatest that stays on a container's walls; none where mixes are poured as they are.
    pub clings: Option<(Mass, Mass)>,
    /// The small batches that the pieces have noticeably less of until it is poured.
    pub thinned: Vec<Thinned>,
}

/// A small batch that the allowance is taken from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thinned {
    /// Which, counted from 0.
    pub batch: usize,
    /// Its share of all that is poured out of the containers.
    pub of_all: Fraction,
    /// Its share of what the pieces get before the allowance.
    pub on_pieces: Fraction,
}

impl Thinned {
    /// No less of a small batch than this part of its share is as good as all of it: whole containers stray as much.
    /// (Common practice, no source.)
    const AS_GOOD_AS_ALL: f64 = 0.95;
}

/// What one container gives a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FromContainer {
    /// Its number in the order of pouring.
    pub container: u32,
    /// The small batch that it is of, counted from 0.
    pub batch: usize,
    /// What is poured out of it on this piece.
    pub mass: Mass,
    /// Whether that is all that it gives: nothing of it is another piece's, is allowance or is held back.
    pub whole: bool,
}

/// What the pieces are poured from.
pub(super) struct Poured<'a> {
    pub(super) take_off: &'a TakeOff,
    pub(super) film: Length,
    pub(super) face_film: Length,
    pub(super) demand: &'a Demand,
    pub(super) losses: &'a Losses,
    pub(super) bases: &'a [BasePlan],
    pub(super) batches: &'a [SmallBatch],
    pub(super) containers: Option<&'a Containers>,
    pub(super) uprights: Option<&'a UprightCoats>,
    /// In which a board's size is told.
    pub(super) units: Units,
}

/// More boards of one size than this are one piece: nobody follows so long a list. (Common practice, no source.)
const MOST_BOARDS: u32 = 24;

/// A container of which no more than this is another piece's is poured on one: a hand pours no nearer. (Common
/// practice, no source.)
pub(super) const NOT_WORTH_SHARING: f64 = 0.02;

/// Every piece, none where there is one alone; and what is over, none where mixes are poured as they are on one alone.
pub(super) fn pieces(poured: &Poured<'_>) -> (Vec<Piece>, Option<Over>) {
    let wanted = wanted(poured);
    let all: f64 = wanted.iter().map(|each| each.volume.ml()).sum();
    let one_alone = wanted.len() < 2;
    if all <= 0.0 || (one_alone && poured.containers.is_none()) {
        return (Vec::new(), None);
    }
    let mut given = given(poured);
    let all_given = given.clone();
    let held = poured.uprights.and_then(|coats| coats.splashbacks.as_ref());
    let held = held.map_or(Mass::ZERO, |held| held.mass);
    let spare = poured.demand.allowance.ml() / poured.demand.out().ml();
    let (in_all, over) = match poured.containers {
        Some(_) => {
            let comes_out = given.iter().map(|one| one.mass).sum::<Mass>() + held;
            let from = set_aside(&mut given, comes_out * spare);
            (given.iter().map(|one| one.mass).sum(), from)
        }
        None => {
            let comes_out: Mass = poured.bases.iter().map(|base| base.out).sum();
            (comes_out * (1.0 - spare) - held, Vec::new())
        }
    };
    let over = Over {
        mass: match poured.containers {
            Some(_) => over.iter().map(|one| one.mass).sum(),
            None => (in_all + held) * (spare / (1.0 - spare)),
        },
        split: over.first().and_then(|first| {
            given.last().filter(|last| last.container == first.container).copied()
        }),
        from: over,
        clings: clings(poured),
        thinned: thinned(&all_given, &given),
    };
    let mut before = 0.0;
    let told = wanted.into_iter().map(|Wanted { name, size, volume }| {
        let share = volume.ml() / all;
        let from = from_each_batch(&given, [before, before + share]);
        before += share;
        Piece {
            name,
            size,
            share: Fraction::new(share),
            mass: in_all * share,
            from,
            longest_wait: None,
        }
    });
    let told = told.collect();
    (if one_alone { Vec::new() } else { told }, Some(over))
}

/// What stays in the containers: the least and the greatest.
fn clings(poured: &Poured<'_>) -> Option<(Mass, Mass)> {
    let containers = poured.containers?;
    let each =
        || poured.batches.iter().map(|batch| batch.mass() * (containers.cling / containers.fill));
    let least = each().reduce(Mass::lesser)?;
    Some((least, each().reduce(Mass::greater)?))
}

/// Takes so much from the end of what is poured, and gives it back in the order of pouring. A container of which
/// next to nothing, or nearly all, would be taken is left, or taken, whole.
fn set_aside(given: &mut Vec<FromContainer>, mass: Mass) -> Vec<FromContainer> {
    let (mut aside, mut rest) = (Vec::new(), mass);
    while let Some(last) = given.last_mut() {
        let part = rest.g() / last.mass.g();
        if part <= NOT_WORTH_SHARING {
            break;
        }
        if part < 1.0 - NOT_WORTH_SHARING {
            last.mass = last.mass - rest;
            last.whole = false;
            aside.push(FromContainer { mass: rest, ..*last });
            break;
        }
        rest = rest - last.mass.lesser(rest);
        aside.extend(given.pop());
    }
    aside.reverse();
    aside
}

/// The small batches of which the pieces, which get `left` of all that is `given`, have noticeably less than their
/// share.
fn thinned(given: &[FromContainer], left: &[FromContainer]) -> Vec<Thinned> {
    let in_all = |from: &[FromContainer]| from.iter().map(|one| one.mass.g()).sum::<f64>();
    let share = |from: &[FromContainer], batch| {
        let own = from.iter().filter(|one| one.batch == batch);
        own.map(|one| one.mass.g()).sum::<f64>() / in_all(from)
    };
    if in_all(left) <= 0.0 {
        return Vec::new();
    }
    let batches = given.chunk_by(|one, other| one.batch == other.batch);
    let each = batches.map(|own| own[0].batch).map(|batch| Thinned {
        batch,
        of_all: Fraction::new(share(given, batch)),
        on_pieces: Fraction::new(share(left, batch)),
    });
    each.filter(|one| one.on_pieces.value() < Thinned::AS_GOOD_AS_ALL * one.of_all.value())
        .collect()
}

/// What a piece takes of one coat, splashbacks and allowance apart.
struct Wanted {
    name: String,
    size: String,
    volume: Volume,
}

fn wanted(poured: &Poured<'_>) -> Vec<Wanted> {
    let runs_off = |edge: Length| match poured.losses.run_off {
        // A share of all that is poured changes no piece's share of it.
        RunOff::Share(_) => Volume::from_ml(0.0),
        RunOff::PerEdge { volume, per } => volume * (edge.mm() / per.mm()),
    };
    let flat = |area: Area, edge: Length| area * poured.film + runs_off(edge);
    let take_off = poured.take_off;
    let mut all = Vec::new();
    for counter in &take_off.counters {
        let faces = counter.faces * poured.face_film;
        all.push(Wanted {
            name: counter.name.clone(),
            size: String::new(),
            volume: flat(counter.net(), counter.edge) + faces,
        });
    }
    let mut number = 0_u32;
    for board in &take_off.boards {
        let [length, width] = board.size.map(|side| side.show(poured.units));
        let pieces = if board.count > MOST_BOARDS { 1 } else { board.count };
        let each = board.count / pieces.max(1);
        for _ in 0..pieces {
            let first = number.saturating_add(1);
            number = number.saturating_add(each);
            all.push(Wanted {
                name: match each {
                    1 => format!("board {first}"),
                    _ => format!("boards {first}–{number}"),
                },
                size: format!("{length} × {width}"),
                volume: flat(board.area, board.rim) * (1.0 / f64::from(pieces)),
            });
        }
    }
    if let Some(area) = take_off.plain {
        let rim = Length::from_mm(4.0 * libm::sqrt(area.m2()) * 1000.0);
        let (name, size) = ("plain area".to_owned(), String::new());
        all.push(Wanted { name, size, volume: flat(area, rim) });
    }
    all
}

/// What is poured out of each container, in pour order: what clings in it stays, and what is held back for
/// splashbacks is brushed on.
fn given(poured: &Poured<'_>) -> Vec<FromContainer> {
    let Some(containers) = poured.containers else { return Vec::new() };
    let gives = 1.0 - containers.cling / containers.fill;
    let each = poured.batches.iter().enumerate().flat_map(|(at, batch)| {
        std::iter::repeat_n((at, batch.mass() * gives), batch.count as usize)
    });
    let held = |container| poured.uprights.and_then(|coats| coats.held_of(container));
    (1..)
        .zip(each)
        .map(|(container, (batch, mass))| {
            let held = held(container);
            let mass = held.map_or(mass, |one| one.poured);
            FromContainer { container, batch, mass, whole: held.is_none() }
        })
        .filter(|one| one.mass.g() >= 0.5)
        .collect()
}

/// The stretch between two shares of each small batch, in containers.
fn from_each_batch(given: &[FromContainer], [from, to]: [f64; 2]) -> Vec<FromContainer> {
    let mut all = Vec::new();
    for own in given.chunk_by(|one, other| one.batch == other.batch) {
        let in_all: f64 = own.iter().map(|one| one.mass.g()).sum();
        let mut before = 0.0;
        for one in own {
            let mass = one.mass.g();
            // Where the stretch begins and ends in this container, as a part of it.
            let [begins, ends] = [from, to].map(|share| {
                let part = ((share * in_all - before) / mass).clamp(0.0, 1.0);
                match part {
                    _ if part <= NOT_WORTH_SHARING => 0.0,
                    _ if part >= 1.0 - NOT_WORTH_SHARING => 1.0,
                    _ => part,
                }
            });
            before += mass;
            if ends > begins {
                let whole = one.whole && ends - begins >= 1.0;
                all.push(FromContainer { mass: one.mass * (ends - begins), whole, ..*one });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn containers(each: &[(usize, f64)]) -> Vec<FromContainer> {
        let numbered = (1..).zip(each);
        numbered
            .map(|(container, (batch, g))| FromContainer {
                container,
                batch: *batch,
                mass: Mass::from_g(*g),
                whole: true,
            })
            .collect()
    }

    #[test]
    fn each_piece_gets_its_share_of_every_small_batch() {
        let given = containers(&[(0, 100.0), (0, 100.0), (1, 200.0), (1, 200.0), (1, 200.0)]);
        let told = |from, to| -> Vec<(u32, f64, bool)> {
            let own = from_each_batch(&given, [from, to]);
            own.iter().map(|one| (one.container, one.mass.g().round(), one.whole)).collect()
        };
        assert_eq!(told(0.0, 0.5), [(1, 100.0, true), (3, 200.0, true), (4, 100.0, false)]);
        assert_eq!(told(0.5, 1.0), [(2, 100.0, true), (4, 100.0, false), (5, 200.0, true)]);
    }

    #[test]
    fn the_allowance_is_set_aside_from_the_end() {
        let mut given = containers(&[(0, 100.0), (0, 100.0), (1, 200.0), (1, 200.0)]);
        let aside = set_aside(&mut given, Mass::from_g(250.0));
        let told = |all: &[FromContainer]| -> Vec<(u32, f64, bool)> {
            all.iter().map(|one| (one.container, one.mass.g(), one.whole)).collect()
        };
        assert_eq!(told(&aside), [(3, 50.0, false), (4, 200.0, true)]);
        assert_eq!(told(&given), [(1, 100.0, true), (2, 100.0, true), (3, 150.0, false)]);
        // Of the shared one no piece has the whole.
        assert_eq!(
            told(&from_each_batch(&given, [0.5, 1.0])),
            [(2, 100.0, true), (3, 75.0, false)]
        );
        assert!(set_aside(&mut given, Mass::from_g(1.0)).is_empty(), "a gram is not worth sharing");
        // Of 600 g the second small batch is 400 g; of the 350 g before the allowance it is 150 g.
        let before = containers(&[(0, 100.0), (0, 100.0), (1, 200.0), (1, 200.0)]);
        let [one] = thinned(&before, &given)[..] else { panic!("one small batch") };
        assert_eq!(one.batch, 1);
        assert!((one.of_all.value() - 400.0 / 600.0).abs() < 1e-12, "{one:?}");
        assert!((one.on_pieces.value() - 150.0 / 350.0).abs() < 1e-12, "{one:?}");
        assert!(thinned(&before, &before).is_empty(), "nothing is set aside");
    }

    proptest! {
        #[test]
        fn what_is_poured_lands_once_on_some_piece(
            masses in prop::collection::vec((0_usize..3, 10.0..900.0_f64), 1..40),
            shares in prop::collection::vec(0.01..1.0_f64, 2..7),
        ) {
            let mut masses = masses;
            masses.sort_by_key(|(batch, _)| *batch);
            let given = containers(&masses);
            let all: f64 = shares.iter().sum();
            let mut before = 0.0;
            let mut poured = vec![0.0; given.len()];
            for (at, share) in shares.iter().enumerate() {
                let to = if at + 1 == shares.len() { 1.0 } else { before + share / all };
                for one in from_each_batch(&given, [before, to]) {
                    poured[one.container as usize - 1] += one.mass.g();
                }
                before = to;
            }
            for (is, one) in poured.iter().zip(&given) {
                prop_assert!((is - one.mass.g()).abs() < 1e-6 * one.mass.g(), "{} of {:?}", is, one);
            }
        }
    }
}
