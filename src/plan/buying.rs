//! The cheapest set of packages that covers a demand, exactly.

use super::divisor::greatest_common_divisor;

/// A package on sale, in bare numbers of one unit and one currency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// What it holds; above 0.
    pub size: f64,
    /// What it costs; at least 0.
    pub price: f64,
}

/// A set of packages.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// How many of each offer, in the offers' order.
    pub counts: Vec<u64>,
    /// What they hold together.
    pub holds: f64,
    /// What they cost together.
    pub price: f64,
}

/// Room for the rounding of sums: a demand met to one part in 10⁹ is met.
const ROUNDING: f64 = 1e-9;

/// The cheapest set of offers that holds at least `demand`; among equally cheap ones that with the
/// least left over, then the fewest packages. `None` without a usable offer.
///
/// Depth-first over the offers from the best value to the worst, each count from the most that could
/// be needed down, cut off where even buying the rest at the best remaining price per unit could not
/// win. That is quick where values differ. Where packages of all sizes are worth the same per unit
/// nothing is cut; after `MOST_NODES` the price is settled by dynamic programming over all prices
/// below the best one found, and ties are left as they are. The price is exact as long as there are
/// at most `MOST_PRICES` of these; beyond, it is within one package of the cheapest.
#[must_use]
pub fn cheapest(offers: &[Offer], demand: f64) -> Option<Purchase> {
    let mut order: Vec<usize> = (0..offers.len())
        .filter(|at| {
            offers[*at].size > 0.0 && offers[*at].price >= 0.0 && offers[*at].size.is_finite()
        })
        .collect();
    if !demand.is_finite() || order.is_empty() {
        return None;
    }
    order.sort_by(|one, other| {
        let value = |at: &usize| offers[*at].price / offers[*at].size;
        value(one)
            .total_cmp(&value(other))
            .then(offers[*other].size.total_cmp(&offers[*one].size))
            .then(one.cmp(other))
    });
    let mut search = Search {
        nodes: MOST_NODES,
        offers: order.iter().map(|at| offers[*at]).collect(),
        demand: demand.max(0.0),
        counts: vec![0; order.len()],
        best: None,
    };
    search.from(0, 0.0, 0.0);
    if search.nodes == 0
        && let Some((best, ..)) = &search.best
        && let Some(counts) = cheaper(&search.offers, search.demand, *best)
    {
        search.take(counts);
    }
    let (_, _, _, counts) = search.best?;
    let mut by_offer = vec![0; offers.len()];
    for (place, at) in order.iter().enumerate() {
        by_offer[*at] = counts[place];
    }
    #[expect(clippy::cast_precision_loss, reason = "counts of packages are small")]
    let sum = |figure: fn(&Offer) -> f64| -> f64 {
        offers.iter().zip(&by_offer).map(|(offer, count)| figure(offer) * *count as f64).sum()
    };
    Some(Purchase {
        holds: sum(|offer| offer.size),
        price: sum(|offer| offer.price),
        counts: by_offer,
    })
}

/// Sets looked at before the search gives way to [`cheaper`].
const MOST_NODES: u32 = 200_000;

/// Prices that [`cheaper`] goes through at most.
const MOST_PRICES: u64 = 4_000_000;

struct Search {
    /// Sets that may still be looked at.
    nodes: u32,
    /// From the best value to the worst.
    offers: Vec<Offer>,
    demand: f64,
    counts: Vec<u64>,
    /// Price, held, number of packages, counts.
    best: Option<(f64, f64, u64, Vec<u64>)>,
}

impl Search {
    fn covered(&self, held: f64) -> bool {
        held >= self.demand * (1.0 - ROUNDING)
    }

    /// Takes a set if it is better than the best so far.
    fn take(&mut self, counts: Vec<u64>) {
        #[expect(clippy::cast_precision_loss, reason = "counts of packages are small")]
        let sum = |figure: fn(&Offer) -> f64| -> f64 {
            self.offers
                .iter()
                .zip(&counts)
                .map(|(offer, count)| figure(offer) * *count as f64)
                .sum()
        };
        let (held, price) = (sum(|offer| offer.size), sum(|offer| offer.price));
        self.counts = counts;
        self.offer_answer(held, price);
    }

    fn from(&mut self, place: usize, held: f64, price: f64) {
        if self.nodes == 0 {
            return;
        }
        self.nodes -= 1;
        if self.covered(held) {
            self.offer_answer(held, price);
            return;
        }
        let Some(offer) = self.offers.get(place).copied() else {
            return;
        };
        let missing = self.demand - held;
        if let Some((best, ..)) = &self.best {
            let at_least = price + missing * offer.price / offer.size;
            // A tie may still have less left over, so only a clear loss is cut.
            if at_least > best * (1.0 + ROUNDING) + f64::MIN_POSITIVE {
                return;
            }
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a quotient of positive numbers, clamped; counts of packages are small"
        )]
        let most = (missing * (1.0 - ROUNDING) / offer.size).ceil().clamp(1.0, 1e9) as u64;
        for count in (0..=most).rev() {
            #[expect(clippy::cast_precision_loss, reason = "counts of packages are small")]
            let times = count as f64;
            let (held, price) = (held + times * offer.size, price + times * offer.price);
            if let (Some((best, ..)), Some(next)) = (&self.best, self.offers.get(place + 1)) {
                // With fewer of this one the rest costs at least the next value: once that loses while
                // something is missing, so does every smaller count. A set that covers the demand and
                // is too dear says nothing of smaller ones.
                let missing = (self.demand - held).max(0.0);
                if price + missing * next.price / next.size
                    > best * (1.0 + ROUNDING) + f64::MIN_POSITIVE
                {
                    if missing > 0.0 {
                        return;
                    }
                    continue;
                }
            }
            self.counts[place] = count;
            self.from(place + 1, held, price);
            self.counts[place] = 0;
        }
    }

    fn offer_answer(&mut self, held: f64, price: f64) {
        let packages = self.counts.iter().sum();
        let better = match &self.best {
            None => true,
            Some((best, best_held, best_packages, _)) => {
                let tie = (price - best).abs() <= best.abs() * ROUNDING;
                if tie {
                    let even = (held - best_held).abs() <= best_held.abs() * ROUNDING;
                    if even { packages < *best_packages } else { held < *best_held }
                } else {
                    price < *best
                }
            }
        };
        if better {
            self.best = Some((price, held, packages, self.counts.clone()));
        }
    }
}

/// The cheapest set that covers `demand` for clearly less than `than`, by the most that can be held at
/// each price; `None` where there is none, where prices are no whole hundredths, or are too many.
fn cheaper(offers: &[Offer], demand: f64, than: f64) -> Option<Vec<u64>> {
    const FINEST: f64 = 1000.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded, above 0 and below 2⁵³"
    )]
    let whole = |price: f64| {
        let units = (price * FINEST).round();
        let is_whole = (units - price * FINEST).abs() < 1e-4;
        (is_whole && (1.0..9e15).contains(&units)).then_some(units as u64)
    };
    let prices: Vec<u64> = offers.iter().map(|offer| whole(offer.price)).collect::<Option<_>>()?;
    let unit = prices.iter().copied().fold(0, greatest_common_divisor);
    let most = (whole(than)?.saturating_sub(1)) / unit;
    if most > MOST_PRICES {
        return None;
    }
    let prices: Vec<usize> =
        prices.iter().map(|price| usize::try_from(price / unit).ok()).collect::<Option<_>>()?;
    let mut held: Vec<Option<(f64, usize)>> = vec![Some((0.0, 0))];
    for price in 1..=usize::try_from(most).ok()? {
        let best = offers
            .iter()
            .zip(&prices)
            .enumerate()
            .filter_map(|(at, (offer, own))| {
                let (before, _) = held[price.checked_sub(*own)?]?;
                Some((before + offer.size, at))
            })
            .max_by(|one, other| one.0.total_cmp(&other.0));
        held.push(best);
        if best.is_some_and(|(held, _)| held >= demand * (1.0 - ROUNDING)) {
            let mut counts = vec![0; offers.len()];
            let mut at = price;
            while at > 0 {
                let (_, last) = held[at]?;
                counts[last] += 1;
                at -= prices[last];
            }
            return Some(counts);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    #![expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "small whole numbers"
    )]
    use super::*;
    use proptest::prelude::*;

    fn offers(list: &[(f64, f64)]) -> Vec<Offer> {
        list.iter().map(|(size, price)| Offer { size: *size, price: *price }).collect()
    }

    #[test]
    fn a_large_kit_beats_small_ones_only_when_needed() {
        let kits = offers(&[(1.5, 130.0), (3.0, 240.0), (0.5, 55.0)]);
        assert_eq!(cheapest(&kits, 3.1054).unwrap().counts, [0, 1, 1]);
        assert_eq!(cheapest(&kits, 0.4).unwrap().counts, [0, 0, 1]);
        assert_eq!(cheapest(&kits, 0.0).unwrap().counts, [0, 0, 0]);
    }

    #[test]
    fn a_dear_set_that_covers_does_not_hide_a_cheaper_one() {
        // 8.75 + 5.25 at 82 loses to 2 × 8.75 at 70, and 8.75 + 3.5 at 67 wins.
        let kits = offers(&[(5.25, 47.0), (8.75, 35.0), (3.5, 32.0)]);
        assert_eq!(cheapest(&kits, 9.0).unwrap().counts, [0, 1, 1]);
    }

    #[test]
    fn no_offer_no_purchase() {
        assert_eq!(cheapest(&[], 1.0), None);
        assert_eq!(cheapest(&offers(&[(0.0, 1.0)]), 1.0), None);
        assert_eq!(cheapest(&offers(&[(1.0, 1.0)]), f64::NAN), None);
    }

    #[test]
    fn a_large_demand_in_small_packages_ends() {
        let kits = offers(&[
            (0.946, 61.0),
            (3.785, 199.0),
            (11.356, 560.0),
            (18.927, 905.0),
            (0.4731, 33.0),
        ]);
        let purchase = cheapest(&kits, 4000.0).unwrap();
        assert!(purchase.holds >= 4000.0 * (1.0 - 1e-9));
    }

    #[test]
    fn packages_all_worth_the_same_per_unit_end_too() {
        // 1 to 5 L at 10 a litre: nothing can be cut by value. 1000.3 L need 1001 L, whatever the set.
        let same = offers(&[(1.0, 10.0), (2.0, 20.0), (3.0, 30.0), (4.0, 40.0), (5.0, 50.0)]);
        let purchase = cheapest(&same, 1000.3).unwrap();
        assert!((purchase.price - 10_010.0).abs() < 1e-9, "{purchase:?}");
        assert!((purchase.holds - 1001.0).abs() < 1e-9, "{purchase:?}");
        // Odd sizes near the same value, where only a search through all prices is sure.
        let near = offers(&[(0.946, 9.46), (2.27, 22.70), (3.785, 37.85), (11.356, 113.55)]);
        assert!(cheapest(&near, 731.9).unwrap().holds >= 731.9 * (1.0 - 1e-9));
    }

    /// Every set of at most `most` packages of each.
    fn brute_force(offers: &[Offer], demand: f64) -> f64 {
        let mut best = f64::INFINITY;
        let most: Vec<u64> = offers.iter().map(|o| (demand / o.size).ceil() as u64 + 1).collect();
        let mut counts = vec![0_u64; offers.len()];
        loop {
            let held: f64 = offers.iter().zip(&counts).map(|(o, c)| o.size * *c as f64).sum();
            let price: f64 = offers.iter().zip(&counts).map(|(o, c)| o.price * *c as f64).sum();
            if held >= demand && price < best {
                best = price;
            }
            let mut place = 0;
            loop {
                if place == counts.len() {
                    return best;
                }
                counts[place] += 1;
                if counts[place] <= most[place] {
                    break;
                }
                counts[place] = 0;
                place += 1;
            }
        }
    }

    proptest! {
        #[test]
        fn no_cheaper_set_exists(
            list in prop::collection::vec((1_u32..40, 0_u32..200), 1..5),
            demand in 0_u32..120,
        ) {
            let offers: Vec<Offer> = list
                .iter()
                .map(|(size, price)| Offer { size: f64::from(*size) / 4.0, price: f64::from(*price) })
                .collect();
            let demand = f64::from(demand) / 4.0;
            let found = cheapest(&offers, demand).unwrap();
            prop_assert!(found.holds >= demand - 1e-9, "covers the demand");
            prop_assert!((found.price - brute_force(&offers, demand)).abs() < 1e-9, "cheapest");
        }

        #[test]
        fn going_through_all_prices_finds_the_same(
            list in prop::collection::vec((1_u32..40, 1_u32..200), 1..5),
            demand in 1_u32..120,
        ) {
            let offers: Vec<Offer> = list
                .iter()
                .map(|(size, price)| Offer { size: f64::from(*size) / 4.0, price: f64::from(*price) / 4.0 })
                .collect();
            let demand = f64::from(demand) / 4.0;
            let counts = cheaper(&offers, demand, 1e4).unwrap();
            let price: f64 = offers.iter().zip(&counts).map(|(o, c)| o.price * *c as f64).sum();
            prop_assert!((price - brute_force(&offers, demand)).abs() < 1e-9, "cheapest");
            prop_assert_eq!(cheaper(&offers, demand, price), None);
        }
    }
}
