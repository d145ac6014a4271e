//! Let-downs: a colorant thinned in part A, so that a dose too small for a scale is weighed well.

use crate::model::{House, Scale};
use crate::quantity::{Fraction, Mass};

use super::weighing::{minimum_weight, scale_for, step_up};

/// Ratios at which a colorant is let down in part A, the strongest first: colorant / (colorant + A).
/// None is weaker than 1 : 99, for a drop of colorant in more part A than that is not stirred evenly by hand
/// in one go, and a streak left in it is too pale to be seen. (Common practice, no source.)
pub const LET_DOWN_RATIOS: [f64; 7] = [0.5, 0.25, 0.2, 0.1, 0.05, 0.02, 0.01];

/// The least of a let-down that is made: a few grams are not stirred evenly in a cup, and much of them
/// stays on its wall and on the stick. (Common practice, no source.)
pub const LEAST_LET_DOWN: Mass = Mass::from_g(10.0);

/// What is made beyond the doses, for what stays in the cup. (Common practice, no source.)
const SPARE: f64 = 0.05;

/// The most of a let-down that is made only because its colorant cannot be weighed in less. What is left over
/// has to be mixed off with part B and cured, and more than a cup of it is paste and resin thrown away, in a
/// mass that heats itself; a finer scale costs less. (Common practice, no source.)
pub const MOST_LEFT_OVER: Mass = Mass::from_g(200.0);

/// A colorant let down in part A, as weighed for one dose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LetDown {
    /// Colorant / (colorant + part A).
    pub ratio: Fraction,
    /// What to weigh of it.
    pub weigh: Mass,
    /// What part A is lessened by.
    pub less_a: Mass,
}

/// The let-down that brings `dose` of colorant at a stated ratio.
///
/// ```
/// use pourbook::plan::let_down;
/// use pourbook::quantity::{Fraction, Mass};
/// // 0.06 % black in 750 g, as 1 % in part A
/// let black = let_down(Mass::from_g(0.45), Fraction::from_percent(1.0));
/// assert!((black.weigh.g() - 45.0).abs() < 1e-9 && (black.less_a.g() - 44.55).abs() < 1e-9);
/// ```
#[must_use]
pub fn let_down(dose: Mass, ratio: Fraction) -> LetDown {
    let weigh = dose * (1.0 / ratio.value());
    LetDown { ratio, weigh, less_a: weigh - dose }
}

/// How much of a let-down is made where `taken` of it is needed: that with a little to spare, but no
/// less than is stirred well, nor than brings a weight of colorant that the house's finest scale weighs
/// within tolerance. `None` where that least is more than any scale bears.
pub(super) fn made(house: &House, ratio: f64, taken: Mass) -> Option<Mass> {
    let finest = house.scales.last()?;
    let colorant = minimum_weight(finest.readability, house.weighing_tolerance);
    let least = (step_up(colorant, finest.readability) / ratio).greater(LEAST_LET_DOWN);
    (least <= most(house)).then(|| least.greater(taken * (1.0 + SPARE)))
}

/// The most that a scale of the house bears.
pub(super) fn most(house: &House) -> Mass {
    house.scales.iter().map(|scale| scale.capacity).fold(Mass::ZERO, Mass::greater)
}

/// A dose of colorant that each of so many like mixes takes as a let-down.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brought {
    /// The colorant's own mass in one mix.
    pub(super) dose: Mass,
    /// The most of one mix's part A that may come with it.
    pub(super) most_a: Mass,
    /// How many such mixes, all coats.
    pub(super) mixes: f64,
}

impl Brought {
    /// The let-down of this ratio for one mix and the scale that weighs it; `None` where no scale weighs
    /// it within tolerance or where it brings too much part A.
    pub(super) fn at(self, house: &House, ratio: f64) -> Option<(LetDown, &Scale)> {
        let down = let_down(self.dose, Fraction::new(ratio));
        let scale = scale_for(house, down.weigh, down.weigh)?;
        (down.less_a <= self.most_a).then_some((down, scale))
    }

    /// The strongest that serves and is worth its making: the one that brings the least part A.
    pub(super) fn strongest(self, house: &House) -> Option<(LetDown, &Scale)> {
        LET_DOWN_RATIOS.iter().find_map(|ratio| {
            let (down, scale) = self.at(house, *ratio)?;
            worth_making(house, *ratio, down.weigh * self.mixes)?;
            Some((down, scale))
        })
    }
}

/// How much of a let-down is made for so much of it taken, as [`made`]; `None` also where far more than is
/// taken would have to be made.
fn worth_making(house: &House, ratio: f64, taken: Mass) -> Option<Mass> {
    let made = made(house, ratio, taken)?;
    let spare = taken * SPARE;
    (made - taken <= MOST_LEFT_OVER.greater(spare * (1.0 + 1e-9))).then_some(made)
}

/// The ratio of one let-down from which all these mixes take: of those that serve each mix, the one for
/// which the least colorant is made, since what is not taken is lost; of equals the strongest, which
/// takes the least part A. `None` where none serves them all, or only one of which far more would be made than
/// is taken.
pub(super) fn ratio_for(house: &House, all: &[Brought]) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for ratio in LET_DOWN_RATIOS {
        let taken: Option<Vec<Mass>> =
            all.iter().map(|one| Some(one.at(house, ratio)?.0.weigh * one.mixes)).collect();
        let Some(taken) = taken else { continue };
        let taken = taken.into_iter().sum();
        let Some(made) = worth_making(house, ratio, taken) else { continue };
        let colorant = made.g() * ratio;
        if best.is_none_or(|(_, least)| colorant < least * (1.0 - 1e-9)) {
            best = Some((ratio, colorant));
        }
    }
    best.map(|(ratio, _)| ratio)
}

/// So many like mixes a job may have; further ones change no ratio that is made in a shop. (Common practice, no
/// source.)
const MOST_LIKE_MIXES: u32 = 12;

/// The ratios at which a plan would let down a colorant of which each mix takes `dose` and has `part_a`, the
/// strongest first, whether one mix or a few take of it; none where it would weigh it neat.
#[must_use]
pub fn let_down_ratios_made(house: &House, dose: Mass, part_a: Mass) -> Vec<f64> {
    let mixes = (1..=MOST_LIKE_MIXES).map(f64::from);
    let made: Vec<f64> = mixes
        .filter_map(|mixes| ratio_for(house, &[Brought { dose, most_a: part_a, mixes }]))
        .collect();
    LET_DOWN_RATIOS.into_iter().filter(|ratio| made.contains(ratio)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn house() -> House {
        House::new(crate::model::HouseParts {
            scales: vec![
                Scale {
                    name: "bench".into(),
                    readability: Mass::from_g(1.0),
                    capacity: Mass::from_g(15_000.0),
                },
                Scale {
                    name: "pocket".into(),
                    readability: Mass::from_g(0.01),
                    capacity: Mass::from_g(200.0),
                },
            ],
            ..crate::model::HouseParts::default()
        })
        .unwrap()
    }

    fn brought(dose: f64, mixes: f64) -> Brought {
        Brought { dose: Mass::from_g(dose), most_a: Mass::from_g(300.0), mixes }
    }

    #[test]
    fn the_least_colorant_is_wasted() {
        let house = house();
        // 0.3 g once: at 1 : 1 ten grams hold 5 g of colorant; at 1 : 49 the 0.41 g that the pocket scale
        // weighs at least make 20.5 g, of which 15 g are taken. Weaker ones hold as much and more part A.
        assert_eq!(ratio_for(&house, &[brought(0.3, 1.0)]), Some(0.02));
        let made = made(&house, 0.02, Mass::from_g(15.0)).unwrap();
        assert!((made.g() - 20.5).abs() < 1e-9, "{made}");
        // 0.3 g in each of a hundred mixes: nothing but the spare is lost at any ratio.
        assert_eq!(ratio_for(&house, &[brought(0.3, 100.0)]), Some(0.5));
    }

    #[test]
    fn one_ratio_serves_all_mixes_or_there_is_none() {
        let house = house();
        // 0.005 g is weighed from 1 : 99 on alone; 0.4 g as that would bring 39.6 g of part A.
        assert_eq!(ratio_for(&house, &[brought(0.005, 1.0)]), Some(0.01));
        assert_eq!(ratio_for(&house, &[brought(0.005, 1.0), brought(0.4, 1.0)]), Some(0.01));
        let little = Brought { most_a: Mass::from_g(30.0), ..brought(0.4, 1.0) };
        assert_eq!(ratio_for(&house, &[brought(0.005, 1.0), little]), None);
        // 0.001 g would have to be let down 1 : 499.
        assert_eq!(ratio_for(&house, &[brought(0.001, 1.0)]), None);
    }

    #[test]
    fn no_paste_is_wasted_by_the_kilogram() {
        let scales = vec![Scale {
            name: "bench".into(),
            readability: Mass::from_g(1.0),
            capacity: Mass::from_g(15_000.0),
        }];
        let parts = crate::model::HouseParts { scales, ..crate::model::HouseParts::default() };
        let house = House::new(parts).unwrap();
        // The 41 g that a scale of 1 g weighs at least within 2 % make 410 g at 1 : 9; 5 g of colorant take 50.
        assert_eq!(ratio_for(&house, &[brought(5.0, 1.0)]), None);
        assert_eq!(ratio_for(&house, &[brought(0.45, 1.0)]), None, "41 g at 1 : 99 are 4.1 kg");
        // 45 g in each of six mixes are most of what is made.
        assert_eq!(ratio_for(&house, &[brought(4.5, 6.0)]), Some(0.1));
        assert_eq!(ratio_for(&house, &[brought(20.0, 1.0)]), Some(0.25), "164 g made, 80 g taken");
        assert!(brought(5.0, 1.0).strongest(&house).is_none(), "nor for a correction");
    }
}
