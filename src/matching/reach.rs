//! A target out of reach: how far, in which direction, and which colorant would bring it nearer.

use super::ask::Ask;
use super::blend::{Sight, Unit};
use super::candidate::Candidate;
use super::climb::{Aim, SHARED_ROWS};
use super::search::Search;
use super::target::Aimed;
use super::tints::{Tint, tints};
use crate::model::Colorant;

/// What the nearest recipe lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lack {
    /// The target is lighter, by this much L*.
    Lighter(f64),
    /// The target is darker, by this much L*.
    Darker(f64),
    /// The target has more chroma, by this much C*ab.
    MoreChroma(f64),
    /// The target has less chroma, by this much C*ab.
    LessChroma(f64),
    /// The target's hue lies this many degrees on (towards yellow from red) or back.
    Hue {
        /// Degrees from the nearest recipe's hue to the target's, −180 to 180.
        by_deg: f64,
        /// What that makes it more of.
        towards: &'static str,
    },
}

/// A colorant that would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Helper {
    /// Its name.
    pub colorant: String,
    /// The error that is left with it, ΔE00.
    pub error: f64,
}

/// How far a target is out of reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The nearest recipe's error, ΔE00.
    pub error: f64,
    /// What it lacks, the largest part first.
    pub lacks: Vec<Lack>,
    /// Colorants beyond the choice that would bring it nearer, the best first.
    pub helpers: Vec<Helper>,
}

/// Differences below these are not spoken of: L*, C*ab, and hue as a distance.
const UNSPOKEN: f64 = 0.5;
/// Colorants of the choice that are tried beside a helper, the nearest recipes' own first.
const BESIDE: usize = 8;
/// Helpers named.
const MOST_HELPERS: usize = 3;
/// What counts as help: this much nearer, ΔE00.
const HELPS: f64 = 0.2;

pub(super) fn reach(
    ask: &Ask<'_>,
    sight: &Sight,
    aims: &[Aim],
    resin: &Unit,
    shelf: &[Tint<'_>],
    best: &Candidate,
    aimed: &Aimed,
) -> Reach {
    let lacks = match (aimed.labs.first(), best.looks.first()) {
        (Some(aim), Some(look)) => lacks(look.lab, *aim),
        _ => Vec::new(),
    };
    let beside: Vec<&Colorant> = {
        // What must be used stands in the nearest recipe.
        let own = |tint: &&Tint<'_>| best.doses.iter().any(|d| d.colorant == tint.colorant.name);
        let first = shelf.iter().filter(own);
        let rest = shelf.iter().filter(|tint| !own(tint));
        first.chain(rest).take(BESIDE).map(|tint| tint.colorant).collect()
    };
    let mut helpers: Vec<Helper> = ask
        .beyond
        .iter()
        .filter(|helper| !shelf.iter().any(|tint| tint.colorant.name == helper.name))
        .filter(|helper| !ask.never.contains(&helper.name))
        .filter_map(|helper| {
            let mut with = beside.clone();
            with.push(helper);
            let lamp = sight.lamps.first()?;
            let with = tints(&ask.limits, &with, sight.film_mm, lamp, |_| None);
            let at = |name: &String| with.iter().position(|tint| tint.colorant.name == *name);
            let mut must = vec![at(&helper.name)?];
            must.extend(ask.must.iter().filter_map(at));
            must.dedup();
            if must.len() > ask.most {
                return None;
            }
            let search = Search {
                sight,
                aims,
                base: resin,
                used: [0.0; SHARED_ROWS],
                tints: &with,
                chart: None,
            };
            let hunt = search.hunt(&must, ask.most, 1, 0.0);
            let error = hunt.found.iter().map(|found| found.error).fold(f64::INFINITY, f64::min);
            (error < best.exact_error - HELPS)
                .then(|| Helper { colorant: helper.name.clone(), error })
        })
        .collect();
    helpers.sort_by(|one, two| one.error.total_cmp(&two.error));
    helpers.truncate(MOST_HELPERS);
    Reach { error: best.exact_error, lacks, helpers }
}

/// What must change to come from one colour to another.
fn lacks(from: crate::colour::Lab, to: crate::colour::Lab) -> Vec<Lack> {
    let (one, two) = (from.to_lch(), to.to_lch());
    let mut all: Vec<(f64, Lack)> = Vec::new();
    let lighter = two.l - one.l;
    all.push(if lighter > 0.0 {
        (lighter, Lack::Lighter(lighter))
    } else {
        (-lighter, Lack::Darker(-lighter))
    });
    let more = two.c - one.c;
    all.push(if more > 0.0 {
        (more, Lack::MoreChroma(more))
    } else {
        (-more, Lack::LessChroma(-more))
    });
    let mut by_deg = two.h_deg - one.h_deg;
    if by_deg > 180.0 {
        by_deg -= 360.0;
    } else if by_deg < -180.0 {
        by_deg += 360.0;
    }
    let apart = 2.0 * libm::sqrt(one.c * two.c) * libm::sin(0.5 * by_deg.abs().to_radians());
    all.push((apart, Lack::Hue { by_deg, towards: towards(two.h_deg, by_deg) }));
    all.retain(|(size, _)| *size > UNSPOKEN);
    all.sort_by(|one, two| two.0.total_cmp(&one.0));
    all.into_iter().map(|(_, lack)| lack).collect()
}

/// The first of the four unique hues at or beyond the target on this way; their CIELAB angles are about 25°, 90°, 165° and 255°
/// (common knowledge of the field, from memory).
fn towards(to_deg: f64, by_deg: f64) -> &'static str {
    const HUES: [(f64, &str); 4] =
        [(25.0, "red"), (90.0, "yellow"), (165.0, "green"), (255.0, "blue")];
    let onward = |hue: f64| {
        let ahead = if by_deg >= 0.0 { hue - to_deg } else { to_deg - hue };
        ((ahead % 360.0) + 360.0) % 360.0
    };
    HUES.iter()
        .min_by(|one, two| onward(one.0).total_cmp(&onward(two.0)))
        .map_or("red", |(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Lab;

    #[test]
    fn what_is_lacking_is_named_the_largest_first() {
        let all = lacks(Lab::new(40.0, 10.0, 0.0), Lab::new(70.0, 18.0, 0.0));
        assert!(matches!(all[..], [Lack::Lighter(_), Lack::MoreChroma(_)]), "{all:?}");
        let turn = lacks(Lab::new(50.0, 40.0, 5.0), Lab::new(50.0, 30.0, 27.0));
        assert!(matches!(turn[0], Lack::Hue { towards: "yellow", .. }), "{turn:?}");
        assert!(lacks(Lab::new(50.0, 0.1, 0.0), Lab::new(50.1, 0.0, 0.0)).is_empty(), "alike");
    }
}
