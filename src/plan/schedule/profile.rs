//! How many hands are busy at each moment.

/// A step function of time: from each moment on, so many hands are busy.
#[derive(Debug, Clone)]
pub(super) struct Profile {
    /// Ascending; the first is the least time there is, and neighbours differ in what is busy.
    steps: Vec<Step>,
    crew: usize,
}

#[derive(Debug, Clone, Copy)]
struct Step {
    from_s: i64,
    busy: usize,
}

impl Profile {
    pub(super) fn idle(crew: usize) -> Self {
        Self { steps: vec![Step { from_s: i64::MIN, busy: 0 }], crew }
    }

    /// Idle once more.
    pub(super) fn clear(&mut self) {
        self.steps.truncate(1);
        self.steps[0].busy = 0;
    }

    /// The step that holds a moment.
    fn step(&self, moment: i64) -> usize {
        self.steps.partition_point(|step| step.from_s <= moment).saturating_sub(1)
    }

    /// The step that begins at a moment, which lies in the step `at`; made if need be.
    fn cut(&mut self, at: usize, moment: i64) -> usize {
        let Step { from_s, busy } = self.steps[at];
        if from_s == moment {
            return at;
        }
        self.steps.insert(at + 1, Step { from_s: moment, busy });
        at + 1
    }

    /// Takes hands from `start_s` for `duration_s`.
    pub(super) fn take(&mut self, start_s: i64, duration_s: i64, hands: usize) {
        self.change(start_s, duration_s, |busy| busy + hands);
    }

    /// Gives back what [`Profile::take`] took.
    pub(super) fn give(&mut self, start_s: i64, duration_s: i64, hands: usize) {
        self.change(start_s, duration_s, |busy| busy.saturating_sub(hands));
    }

    fn change(&mut self, start_s: i64, duration_s: i64, to: impl Fn(usize) -> usize) {
        let end_s = start_s + duration_s;
        if end_s <= start_s {
            return;
        }
        let first = self.cut(self.step(start_s), start_s);
        // A task spans few steps: its end is near.
        let mut last = first;
        while self.steps.get(last + 1).is_some_and(|next| next.from_s <= end_s) {
            last += 1;
        }
        let end = self.cut(last, end_s);
        for step in &mut self.steps[first..end] {
            step.busy = to(step.busy);
        }
        for at in [end, first] {
            if at > 0 && self.steps[at].busy == self.steps[at - 1].busy {
                self.steps.remove(at);
            }
        }
    }

    /// The first moment not before `not_before_s` with hands free for `duration_s`.
    pub(super) fn first_fit(&self, not_before_s: i64, duration_s: i64, hands: usize) -> i64 {
        let mut start_s = not_before_s;
        for (at, step) in self.steps.iter().enumerate().skip(self.step(not_before_s)) {
            if step.from_s >= start_s + duration_s {
                break;
            }
            if step.busy + hands > self.crew {
                // The last step is idle, so there is always a next one here.
                start_s = self.steps.get(at + 1).map_or(start_s, |next| next.from_s);
            }
        }
        start_s
    }

    /// The last moment in `from_s..=to_s` with hands free for `duration_s`; `from_s` if none.
    pub(super) fn last_fit(&self, from_s: i64, to_s: i64, duration_s: i64, hands: usize) -> i64 {
        let mut start_s = to_s;
        let last = self.step(to_s + duration_s - 1);
        let mut end_s = self.steps.get(last + 1).map_or(i64::MAX, |next| next.from_s);
        for step in self.steps[..=last].iter().rev() {
            if start_s <= from_s || end_s <= start_s {
                break;
            }
            if step.busy + hands > self.crew {
                start_s = step.from_s.saturating_sub(duration_s);
            }
            end_s = step.from_s;
        }
        start_s.max(from_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_gap_is_found_from_both_sides() {
        let mut profile = Profile::idle(2);
        profile.take(0, 10, 2);
        profile.take(14, 6, 1);
        assert_eq!(profile.first_fit(0, 4, 2), 10, "just fits the gap");
        assert_eq!(profile.first_fit(0, 5, 2), 20, "does not fit the gap");
        assert_eq!(profile.first_fit(0, 5, 1), 10, "one hand is free beside the second task");
        assert_eq!(profile.last_fit(0, 18, 4, 2), 10, "backward into the gap");
        assert_eq!(profile.last_fit(3, 18, 5, 2), 3, "nowhere: stays");
        profile.give(0, 10, 2);
        assert_eq!(profile.first_fit(0, 10, 2), 0, "given back");
        profile.take(10, 4, 1);
        assert_eq!(profile.steps.len(), 3, "neighbours that are equally busy are one step");
        profile.clear();
        assert_eq!(profile.first_fit(0, 100, 2), 0, "idle once more");
    }

    proptest! {
        /// Against looking at every moment.
        #[test]
        fn fits_agree_with_looking_at_every_second(
            taken in prop::collection::vec((0_i64..30, 1_i64..8, 1_usize..3), 0..12),
            from in 0_i64..30,
            duration in 1_i64..8,
            hands in 1_usize..4,
        ) {
            let crew = 3;
            let mut profile = Profile::idle(crew);
            let mut busy = vec![0_usize; 400];
            for (start, length, hands) in taken {
                let start = profile.first_fit(start, length, hands);
                profile.take(start, length, hands);
                for at in start..start + length {
                    busy[usize::try_from(at).unwrap()] += hands;
                }
            }
            let fits = |start: i64| {
                (start..start + duration).all(|at| busy[usize::try_from(at).unwrap()] + hands <= crew)
            };
            let first = (from..).find(|&start| fits(start)).unwrap();
            prop_assert_eq!(profile.first_fit(from, duration, hands), first);
            let last = (from..=from + 40).rev().find(|&start| fits(start)).unwrap_or(from);
            prop_assert_eq!(profile.last_fit(from, from + 40, duration, hands), last);
        }
    }
}
