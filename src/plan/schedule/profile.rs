//! How many hands are busy at each moment.

/// A step function of time: from each moment on, so many hands are busy.
#[derive(Debug, Clone)]
pub(super) struct Profile {
    /// Ascending; the first is the least time there is.
    moments: Vec<i64>,
    busy: Vec<usize>,
    crew: usize,
}

impl Profile {
    pub(super) fn idle(crew: usize) -> Self {
        Self { moments: vec![i64::MIN], busy: vec![0], crew }
    }

    /// The segment that holds a moment.
    fn segment(&self, moment: i64) -> usize {
        self.moments.partition_point(|&from| from <= moment).saturating_sub(1)
    }

    /// The first segment boundary at a moment, made if need be.
    fn cut(&mut self, moment: i64) -> usize {
        let segment = self.segment(moment);
        if self.moments[segment] == moment {
            return segment;
        }
        self.moments.insert(segment + 1, moment);
        self.busy.insert(segment + 1, self.busy[segment]);
        segment + 1
    }

    /// Takes hands from `start_s` for `duration_s`.
    pub(super) fn take(&mut self, start_s: i64, duration_s: i64, hands: usize) {
        let first = self.cut(start_s);
        let end = self.cut(start_s + duration_s);
        for busy in &mut self.busy[first..end] {
            *busy += hands;
        }
    }

    /// Gives back what [`Profile::take`] took.
    pub(super) fn give(&mut self, start_s: i64, duration_s: i64, hands: usize) {
        let first = self.cut(start_s);
        let end = self.cut(start_s + duration_s);
        for busy in &mut self.busy[first..end] {
            *busy = busy.saturating_sub(hands);
        }
    }

    /// The first moment not before `not_before_s` with hands free for `duration_s`.
    pub(super) fn first_fit(&self, not_before_s: i64, duration_s: i64, hands: usize) -> i64 {
        let mut start_s = not_before_s;
        for segment in self.segment(not_before_s)..self.moments.len() {
            if segment + 1 < self.moments.len() && self.moments[segment + 1] <= start_s {
                continue;
            }
            if self.moments[segment] >= start_s + duration_s {
                break;
            }
            if self.busy[segment] + hands > self.crew {
                // The last segment is idle, so there is always a next one here.
                start_s = self.moments.get(segment + 1).copied().unwrap_or(start_s);
            }
        }
        start_s
    }

    /// The last moment in `from_s..=to_s` with hands free for `duration_s`; `from_s` if none.
    pub(super) fn last_fit(&self, from_s: i64, to_s: i64, duration_s: i64, hands: usize) -> i64 {
        let mut start_s = to_s;
        let mut segment = self.segment(to_s + duration_s - 1) + 1;
        while segment > 0 && start_s > from_s {
            segment -= 1;
            let end_s = self.moments.get(segment + 1).copied().unwrap_or(i64::MAX);
            if end_s <= start_s {
                break;
            }
            if self.busy[segment] + hands > self.crew {
                start_s = self.moments[segment].saturating_sub(duration_s);
            }
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
