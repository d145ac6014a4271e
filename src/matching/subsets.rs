//! Which colorants to try together: subsets in a fixed order.

/// Most colorants in one recipe.
pub const MOST_COLORANTS: usize = 4;

/// A subset of tints by index, ascending.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Subset {
    members: [u16; MOST_COLORANTS],
    size: u8,
}

impl Subset {
    pub(super) fn of(members: &[usize]) -> Self {
        let mut sorted = [u16::MAX; MOST_COLORANTS];
        let size = members.len().min(MOST_COLORANTS);
        for (cell, member) in sorted.iter_mut().zip(&members[..size]) {
            *cell = u16::try_from(*member).unwrap_or(u16::MAX);
        }
        sorted[..size].sort_unstable();
        Self { members: sorted, size: u8::try_from(size).unwrap_or(0) }
    }

    pub(super) fn members(&self) -> impl Iterator<Item = usize> + '_ {
        self.members[..usize::from(self.size)].iter().map(|member| usize::from(*member))
    }

    /// The subsets that lack one of these tints, with the place of the one that is lacking.
    pub(super) fn parents(&self) -> impl Iterator<Item = (Self, usize)> + '_ {
        (0..self.len()).map(|lacking| {
            let mut members = self.members;
            members[lacking..].rotate_left(1);
            members[MOST_COLORANTS - 1] = u16::MAX;
            (Self { members, size: self.size - 1 }, lacking)
        })
    }

    pub(super) fn len(&self) -> usize {
        usize::from(self.size)
    }
}

/// How many subsets of up to `most` of `count` there are, none at all included.
pub(super) fn grown(count: usize, most: usize) -> usize {
    let mut all = 1;
    let mut of_size: usize = 1;
    for size in 1..=most.min(count) {
        of_size = of_size * (count + 1 - size) / size;
        all += of_size;
    }
    all
}

/// All subsets of `tints` that hold every one of `must` (indices), from `fewest` to `most`
/// members.
pub(super) fn subsets(tints: &[usize], must: &[usize], fewest: usize, most: usize) -> Vec<Subset> {
    let others: Vec<usize> = tints.iter().filter(|at| !must.contains(at)).copied().collect();
    let mut all = Vec::new();
    let mut members = must.to_vec();
    grow(&others, &mut members, fewest, most.min(MOST_COLORANTS), &mut all);
    all
}

fn grow(
    others: &[usize],
    members: &mut Vec<usize>,
    fewest: usize,
    most: usize,
    all: &mut Vec<Subset>,
) {
    if members.len() > most {
        return;
    }
    if members.len() >= fewest {
        all.push(Subset::of(members));
    }
    if members.len() == most {
        return;
    }
    for (at, other) in others.iter().enumerate() {
        members.push(*other);
        grow(&others[at + 1..], members, fewest, most, all);
        members.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parents_lack_one_each() {
        let whole = Subset::of(&[7, 2, 5]);
        let parents: Vec<_> = whole.parents().collect();
        let want = [(&[5, 7], 0), (&[2, 7], 1), (&[2, 5], 2)];
        assert_eq!(parents, want.map(|(members, lacking)| (Subset::of(members), lacking)));
        assert_eq!(Subset::of(&[]).parents().count(), 0, "nothing has no parent");
    }

    #[test]
    fn counts_are_binomial_and_must_is_kept() {
        let shelf: Vec<usize> = (0..24).collect();
        assert_eq!(subsets(&shelf[..16], &[], 3, 3).len(), 560, "16 choose 3");
        assert_eq!(subsets(&shelf, &[], 4, 4).len(), 10_626, "24 choose 4");
        assert_eq!(
            subsets(&shelf[..5], &[], 0, 4).len(),
            1 + 5 + 10 + 10 + 5,
            "up to four of five"
        );
        assert_eq!(grown(5, 4), 1 + 5 + 10 + 10 + 5, "counted without listing");
        let with = subsets(&shelf[..6], &[2], 1, 3);
        assert_eq!(with.len(), 1 + 5 + 10, "two more of five");
        assert!(with.iter().all(|s| s.members().any(|m| m == 2)), "the must is in each");
        assert!(subsets(&shelf[..6], &[0, 1, 2], 1, 2).is_empty(), "more musts than places");
    }
}
