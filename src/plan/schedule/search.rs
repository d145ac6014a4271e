//! Finding a short schedule: list scheduling by several priorities, forward–backward passes, and
//! a seeded search over orders.
//!
//! A list schedule places tasks in a given order, each as early as its inputs and the crew
//! allow; some order gives the shortest schedule of all (Kolisch 1996, Eur. J. Oper. Res. 90,
//! 320). Good first orders come from the longest chain that a task begins. A schedule pushed to
//! the right and then to the left again is never longer (Valls, Ballestín, Quintanilla 2005,
//! Eur. J. Oper. Res. 165, 375).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::profile::Profile;
use super::{Project, Schedule};

/// How hard to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Orders tried after those by rule.
    pub orders: usize,
    /// The same seed gives the same schedule.
    pub seed: u64,
}

impl Effort {
    /// Fewer orders for bigger projects, so that any takes a few milliseconds.
    #[must_use]
    pub fn for_tasks(tasks: usize) -> Self {
        Self { orders: (3_000 / tasks.max(1)).clamp(24, 800), seed: 1 }
    }
}

/// A schedule as a list of starts and what it is worth: less is better.
#[derive(Debug, Clone)]
struct Candidate {
    starts: Vec<i64>,
    worth: Worth,
}

/// Total overrun, s; then makespan with the mean of all limited spans, times the number of
/// limits: a minute more of mean age weighs as much as a minute more of the whole.
type Worth = (i64, i64);

/// A short schedule of a project.
///
/// `wanted` holds orders worth trying that the caller knows of (each the index of every task,
/// in any order: inputs are put first).
#[must_use]
pub fn plan(project: &Project, wanted: &[Vec<usize>], effort: Effort) -> Schedule {
    let count = project.tasks.len();
    let tails = project.tails_s();
    let mut rules: Vec<Vec<i64>> = wanted.iter().map(|order| ranks(order, count)).collect();
    rules.push(tails.iter().map(|tail| -tail).collect());
    rules.push((0..count).map(position).collect());
    rules.push(
        (0..count)
            .map(|task| {
                let followers = position(project.awaited_by[task].len());
                -tails[task] * (1 + followers)
            })
            .collect(),
    );
    rules.push(project.tasks.iter().map(|task| -task.duration_s).collect());

    let bound_s = project.lower_bound_s();
    let mut found = Found::new(project);
    for rule in &rules {
        found.consider(project, rule, true);
    }
    let mut random = Random(effort.seed);
    for round in 0..effort.orders {
        let perfect = found
            .best
            .as_ref()
            .is_none_or(|best| best.worth == (0, bound_s) && project.limits.is_empty());
        if perfect || count < 2 {
            break;
        }
        // A third of the tries each: a rule shaken, one task moved in the best order so far, and
        // any order at all.
        let tried = if round % 3 == 0 {
            let rule = &rules[round / 3 % rules.len()];
            let spread = rule
                .iter()
                .copied()
                .fold((i64::MAX, i64::MIN), |(low, high), key| (low.min(key), high.max(key)));
            let reach = (spread.1 - spread.0) / 3 + 1;
            rule.iter().map(|key| key + random.below(reach)).collect()
        } else if round % 3 == 1 {
            let mut moved: Vec<i64> = found.keys.iter().map(|key| key * 2).collect();
            let from = random.index(count);
            moved[from] = found.keys[random.index(count)] * 2 + random.below(3) - 1;
            moved
        } else {
            (0..count).map(|_| random.below(1 << 40)).collect()
        };
        // Passes cost four times the building, so most tries go without.
        found.consider(project, &tried, round % 8 < 3);
    }
    let starts = found.best.map(|best| best.starts).unwrap_or_default();
    Schedule::staffed(project, &starts)
}

/// The best schedule so far, and the order that the search stands at: of equal worth to the
/// best, but the latest such, so that it wanders; the best is the first such, so that a tidy
/// order asked for by the caller is not given up for one that is no better.
#[derive(Debug)]
struct Found {
    best: Option<Candidate>,
    /// The rank of each task in the order that the search stands at.
    keys: Vec<i64>,
    desk: Desk,
}

/// Room to build schedules in, used over and over.
#[derive(Debug)]
struct Desk {
    /// Who is busy when, in the schedule built last.
    profile: Profile,
    queue: Queue,
}

/// The tasks whose turn it is.
#[derive(Debug, Default)]
struct Queue {
    /// How many tasks each still waits for.
    open: Vec<usize>,
    ready: BinaryHeap<Reverse<(i64, usize)>>,
}

impl Found {
    fn new(project: &Project) -> Self {
        let desk = Desk { profile: Profile::idle(project.crew), queue: Queue::default() };
        Self { best: None, keys: Vec::new(), desk }
    }

    /// Builds the schedule of some keys (smaller first) and, if it is promising, improves it by
    /// passes to the right and to the left.
    fn consider(&mut self, project: &Project, keys: &[i64], promising: bool) {
        let mut starts = forward(project, keys, &mut self.desk);
        if !self.keep(project, &starts, keys) && !promising {
            return;
        }
        for _ in 0..2 {
            let pushed = backward(project, &starts, &mut self.desk);
            let again = forward(project, &pushed, &mut self.desk);
            let shorter = makespan_s(project, &again) < makespan_s(project, &starts);
            self.keep(project, &again, &pushed);
            if !shorter {
                break;
            }
            starts = again;
        }
    }

    /// Keeps a schedule that is better than the best; says whether it is at least as good. It is the
    /// one that [`forward`] has just built on the desk.
    fn keep(&mut self, project: &Project, starts: &[i64], keys: &[i64]) -> bool {
        let best = self.best.as_ref().map(|best| best.worth);
        // Spans only add to it.
        let at_least = makespan_s(project, starts).saturating_mul(limits(project));
        if best.is_some_and(|(over, worth)| over == 0 && at_least > worth) {
            return false;
        }
        let starts = held_back(project, starts, &mut self.desk);
        let worth = worth(project, &starts);
        if best.is_none_or(|best| worth <= best) {
            // As ranks, so that a move to just before or after another task has a meaning.
            let mut order: Vec<usize> = (0..starts.len()).collect();
            order.sort_by_key(|&task| (keys[task], task));
            self.keys = ranks(&order, order.len());
        }
        if best.is_none_or(|best| worth < best) {
            self.best = Some(Candidate { starts, worth });
        }
        best.is_none_or(|best| worth <= best)
    }
}

fn worth(project: &Project, starts: &[i64]) -> Worth {
    let spans = project.limits.iter().map(|limit| {
        let span_s = project.span_s(limit, starts);
        ((span_s - limit.within_s).max(0), span_s.max(0))
    });
    let (over, spans) = spans.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    (over, makespan_s(project, starts).saturating_mul(limits(project)).saturating_add(spans))
}

/// The number of limits, at least one.
fn limits(project: &Project) -> i64 {
    position(project.limits.len()).max(1)
}

fn makespan_s(project: &Project, starts: &[i64]) -> i64 {
    starts
        .iter()
        .zip(&project.tasks)
        .map(|(start_s, task)| start_s + task.duration_s)
        .max()
        .unwrap_or(0)
}

/// Each task in order of its key, as early as it can be.
fn forward(project: &Project, keys: &[i64], desk: &mut Desk) -> Vec<i64> {
    let Desk { profile, queue } = desk;
    profile.clear();
    let mut starts = vec![0; keys.len()];
    queue.for_each_ready(&project.waits_for, &project.awaited_by, keys, |task| {
        let ready_s = project.waits_for[task]
            .iter()
            .map(|&(before, lag_s)| starts[before] + lag_s)
            .fold(project.tasks[task].earliest_s, i64::max);
        let needs = &project.tasks[task];
        starts[task] = profile.first_fit(ready_s, needs.duration_s, needs.hands);
        profile.take(starts[task], needs.duration_s, needs.hands);
    });
    starts
}

/// All tasks pushed as late as they can be without a longer whole: those that end last first.
fn backward(project: &Project, starts: &[i64], desk: &mut Desk) -> Vec<i64> {
    let end_s = makespan_s(project, starts);
    let keys: Vec<i64> = starts
        .iter()
        .zip(&project.tasks)
        .map(|(start_s, task)| -(start_s + task.duration_s))
        .collect();
    let Desk { profile, queue } = desk;
    profile.clear();
    let mut late = vec![0; keys.len()];
    queue.for_each_ready(&project.awaited_by, &project.waits_for, &keys, |task| {
        let needs = &project.tasks[task];
        let latest_s = project.awaited_by[task]
            .iter()
            .map(|&(after, lag_s)| late[after] - lag_s)
            .fold(end_s - needs.duration_s, i64::min);
        late[task] = profile.last_fit(
            latest_s.saturating_sub(4 * super::LONGEST_S),
            latest_s,
            needs.duration_s,
            needs.hands,
        );
        profile.take(late[task], needs.duration_s, needs.hands);
    });
    late
}

/// The tasks that want to be held back, moved later without touching the others; the desk holds the
/// schedule as it was built, and then as it is.
fn held_back(project: &Project, starts: &[i64], desk: &mut Desk) -> Vec<i64> {
    let mut starts = starts.to_vec();
    if !project.tasks.iter().any(|task| task.hold_back) {
        return starts;
    }
    let end_s = makespan_s(project, &starts);
    let Desk { profile, queue } = desk;
    let keys: Vec<i64> = starts
        .iter()
        .zip(&project.tasks)
        .map(|(start_s, task)| -(start_s + task.duration_s))
        .collect();
    queue.for_each_ready(&project.awaited_by, &project.waits_for, &keys, |task| {
        let needs = &project.tasks[task];
        if !needs.hold_back {
            return;
        }
        let latest_s = project.awaited_by[task]
            .iter()
            .map(|&(after, lag_s)| starts[after] - lag_s)
            .fold(end_s - needs.duration_s, i64::min);
        profile.give(starts[task], needs.duration_s, needs.hands);
        starts[task] = profile.last_fit(starts[task], latest_s, needs.duration_s, needs.hands);
        profile.take(starts[task], needs.duration_s, needs.hands);
    });
    starts
}

impl Queue {
    /// Visits every task after all that it waits for, among the ready ones the smallest key first.
    fn for_each_ready(
        &mut self,
        waits_for: &[Vec<(usize, i64)>],
        awaited_by: &[Vec<(usize, i64)>],
        keys: &[i64],
        mut visit: impl FnMut(usize),
    ) {
        let Self { open, ready } = self;
        open.clear();
        open.extend(waits_for.iter().map(Vec::len));
        ready.clear();
        ready.extend(
            (0..open.len()).filter(|&task| open[task] == 0).map(|task| Reverse((keys[task], task))),
        );
        while let Some(Reverse((_, task))) = ready.pop() {
            visit(task);
            for &(after, _) in &awaited_by[task] {
                open[after] -= 1;
                if open[after] == 0 {
                    ready.push(Reverse((keys[after], after)));
                }
            }
        }
    }
}

/// Each task's place in an order; tasks that the order forgets come last.
fn ranks(order: &[usize], count: usize) -> Vec<i64> {
    let mut ranks = vec![position(count); count];
    for (rank, &task) in order.iter().enumerate() {
        if let Some(place) = ranks.get_mut(task) {
            *place = position(rank);
        }
    }
    ranks
}

fn position(at: usize) -> i64 {
    i64::try_from(at).unwrap_or(i64::MAX)
}

/// `SplitMix64` (Steele, Lea, Flood 2014): small, seeded, the same everywhere.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from 0 to below `end`, which is at least 1.
    fn below(&mut self, end: i64) -> i64 {
        let end = u64::try_from(end.max(1)).unwrap_or(1);
        i64::try_from(self.next() % end).unwrap_or(0)
    }

    fn index(&mut self, count: usize) -> usize {
        usize::try_from(self.below(position(count))).unwrap_or(0)
    }
}
