//! Recipes with room below their ceilings, where the nearest lies at one.

use super::candidate::Candidate;
use super::climb::TO_THE_TOP;
use super::hands::shared_out;
use super::search::{Found, Search};
use super::subsets::MOST_COLORANTS;

/// Room below a ceiling beyond that in which a caution is given, as a part of the ceiling: what rounding takes.
pub(super) const ROOM: f64 = 1e-3;

impl Search<'_> {
    /// The best of the same subsets where there is less room: with less of it no other comes as near as these.
    pub(super) fn again(&self, near: &[Found]) -> Vec<Found> {
        shared_out(near, |_, found| self.up_from(&self.shrunk(found), TO_THE_TOP))
    }

    /// The same for recipes that hide: those that still do, and come within `within`.
    pub(super) fn that_hide_again(&self, hiding: &[Found], within: f64) -> Vec<Found> {
        let shrunk = hiding.iter().map(|found| self.shrunk(found)).collect();
        let mut limit = within;
        self.settled(shrunk, within, &mut limit)
    }

    /// These amounts, shrunk together as far as the ceilings ask for.
    fn shrunk(&self, found: &Found) -> Found {
        let slope = self.slope::<MOST_COLORANTS>(found.subset.members());
        let fullest = slope.fullest(&found.amounts).max(1.0);
        Found { amounts: found.amounts.map(|amount| amount / fullest), ..*found }
    }
}

/// Recipes with room below their ceilings take the place of crowded ones of the same colorants, but for the
/// nearest of all, and join the rest where there is none of them yet.
pub(super) fn take_place(
    candidates: &mut Vec<Candidate>,
    with_room: Vec<Candidate>,
    crowded: impl Fn(&Candidate) -> bool,
) {
    let same = |one: &Candidate, other: &Candidate| {
        one.doses
            .iter()
            .map(|dose| &dose.colorant)
            .eq(other.doses.iter().map(|dose| &dose.colorant))
            && one.hides() == other.hides()
    };
    let nearest = candidates.iter().map(|each| each.exact_error).fold(f64::INFINITY, f64::min);
    candidates.retain(|one| {
        let replaced = crowded(one) && with_room.iter().any(|other| same(one, other));
        !replaced || one.exact_error <= nearest
    });
    for each in with_room {
        if !candidates.iter().any(|other| same(&each, other) && !crowded(other)) {
            candidates.push(each);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Lab;
    use crate::flow::Random;
    use crate::matching::climb::SHARED_ROWS;
    use crate::matching::search::near_enough;
    use crate::matching::search::tests::with_search;

    #[test]
    fn less_room_is_used_as_well_as_from_every_guess() {
        let mut random = Random::new(4);
        let mut between = |a: f64, b: f64| random.between(a, b);
        let aims: Vec<Lab> = (0..40)
            .map(|_| Lab::new(between(15.0, 80.0), between(-40.0, 50.0), between(-45.0, 60.0)))
            .collect();
        let within = 1.0;
        let (mut seen, mut held_back) = (0, 0);
        with_search(9, &aims, |search, number| {
            let roomy = Search { used: [0.1; SHARED_ROWS], ..*search };
            let found = search.hunt(&[], 3, 5, within).found;
            let near = near_enough(&found, within);
            for (before, after) in near.iter().zip(roomy.again(near)) {
                let plainly = roomy.best_of(before.subset, 8, TO_THE_TOP).error;
                let after = after.error;
                seen += 1;
                held_back += u32::from(after > before.error + 1e-3);
                let enough = plainly.max(before.error) + 0.05;
                assert!(after <= enough || plainly > within, "{number}: {after}, {plainly}");
            }
        });
        assert!(seen > 50 && held_back > 5, "{seen} seen, {held_back} held back");
    }
}
