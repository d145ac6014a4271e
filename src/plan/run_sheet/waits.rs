//! For which step of another hand a hand waits.

use super::work::{Step, Work};
use crate::plan::schedule::{Edge, Link, Schedule};

/// A step of another hand that has to be done first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WaitsFor {
    /// What is done there.
    pub step: Step,
    /// By whom, numbered from 0.
    pub hand: usize,
}

/// What each task waits for, in the tasks' order: of all that must be done before it the last, where another hand
/// does that and the task's own hand is free by then or as soon. Nothing where it is only begun later, so as to
/// start no clock too soon, or where a time has to pass.
pub(super) fn waits(work: &Work, schedule: &Schedule) -> Vec<Option<WaitsFor>> {
    let placed = &schedule.placed;
    let free_s = free_s(work, schedule);
    let wait = |(task, last): (usize, Option<(i64, Link)>)| {
        let (ready_s, link) = last?;
        let (own, by) = (&placed.get(task)?.workers, &placed.get(link.before)?.workers);
        let other = by.iter().copied().find(|hand| !own.contains(hand))?;
        let others_alone = by.iter().all(|hand| !own.contains(hand));
        let (step, _) = work.steps.get(link.before)?.last()?;
        (others_alone && link.at_least_s == 0 && ready_s >= free_s[task])
            .then_some(WaitsFor { step: *step, hand: other })
    };
    last_before(work, schedule).into_iter().enumerate().map(wait).collect()
}

/// When each task's hands have done what they did before it, s.
fn free_s(work: &Work, schedule: &Schedule) -> Vec<i64> {
    let placed = &schedule.placed;
    let mut order: Vec<usize> = (0..placed.len()).collect();
    order.sort_by_key(|task| placed[*task].start_s);
    let mut hands = vec![0; work.project.crew()];
    let mut free_s = vec![0; placed.len()];
    for task in order {
        for &hand in &placed[task].workers {
            let Some(free) = hands.get_mut(hand) else { continue };
            free_s[task] = free_s[task].max(*free);
            *free = placed[task].end_s;
        }
    }
    free_s
}

/// The last thing that must be done before each task, with the moment from which that lets it begin. What waits for
/// another task to begin waits for all that this one waits for.
fn last_before(work: &Work, schedule: &Schedule) -> Vec<Option<(i64, Link)>> {
    let mut into: Vec<Vec<&Link>> = vec![Vec::new(); work.steps.len()];
    for link in work.project.links() {
        into[link.after].push(link);
    }
    let mut last: Vec<Option<(i64, Link)>> = vec![None; work.steps.len()];
    for &task in work.project.in_order() {
        let each = into[task].iter().filter_map(|link| match link.from {
            Edge::End => Some((schedule.placed[link.before].end_s + link.at_least_s, **link)),
            Edge::Start => last[link.before],
        });
        last[task] = each.max_by_key(|(ready_s, _)| *ready_s);
    }
    last
}
