//! What cannot be weighed, mixed or coated as a job asks: refused, each with what would serve.

use crate::diagnostic::Severity;
use crate::model::{Faults, House, Job, Recipe, at, face_film_meant};
use crate::quantity::{Fraction, Mass, Units};

use super::ask::NotPlanned;
use super::base::BasePlan;
use super::take_off::TakeOff;

/// Refuses more film on upright faces than the system bears on the flat, where a job has any.
pub(super) fn face_film_beyond(
    recipe: &Recipe<'_>,
    house: &House,
    job: &Job,
    take_off: &TakeOff,
) -> Faults {
    let mut faults = Faults::default();
    let (system, units) = (recipe.system, house.units);
    if take_off.upright().m2() > 0.0 && job.face_film > system.film_max {
        let message = format!(
            "a film of {} on upright faces is more than \"{}\" allows in one pour even on the flat: {}",
            job.face_film.show_film(units),
            system.name,
            system.film_max.show_film(units),
        );
        let fault = faults.error(at!["face_film"], message);
        if let Some(meant) = face_film_meant(job.face_film) {
            fault.hint(meant);
        }
        fault.hint(format!(
            "on an upright face {} is usual, and much more runs down",
            House::USUAL_FACE_FILM.show_film(units)
        ));
    }
    faults
}

pub(super) fn no_container(job: &str, hint: &str) -> NotPlanned {
    let mut faults = Faults::default();
    let message =
        format!("the house's scales, or containers of this size, cannot serve the job \"{job}\"");
    faults.error(at!["container"], message).hint(hint);
    NotPlanned::colourway(faults)
}

pub(super) fn no_vessel(units: Units) -> NotPlanned {
    let mut faults = Faults::default();
    let sizes = match units {
        Units::Us => "[\"1 qt\", \"1 gal\"]",
        Units::Metric => "[\"1 L\", \"5 L\"]",
    };
    faults
        .error(at![], "no mixing vessel and scale of the house serve this job")
        .hint(format!("add a vessel size or a scale to house.ron: vessels: {sizes}"));
    NotPlanned::job(faults)
}

/// Bases whose parts A and B no scale of the house weighs near enough to the mix ratio.
pub(super) fn off_ratio_as_weighed(bases: &[BasePlan], phr: f64, house: &House) -> Faults {
    let mut faults = Faults::default();
    let limit = house.off_ratio_limit;
    // Each base with the worst of its mixes.
    let worst_of = |base: &'_ BasePlan| {
        let off = base.mixes.iter().map(|mix| (mix.ratio_error(phr), mix.part_b.readability));
        off.max_by(|one, two| one.0.total_cmp(&two.0))
    };
    // Written so that a figure that is no number is refused.
    let beyond = |base: &BasePlan| {
        let (off, step) = worst_of(base)?;
        let within = off <= limit.value();
        (!within).then(|| (base.name.clone(), off, step))
    };
    let bases: Vec<(String, f64, Mass)> = bases.iter().filter_map(beyond).collect();
    if let Some((_, _, step)) = bases.iter().max_by(|one, two| one.1.total_cmp(&two.1)) {
        let each = bases.iter().map(|(name, off, _)| {
            format!("base \"{name}\" {}", Fraction::new(*off).show(Units::Metric))
        });
        let message = format!(
            "the scale's steps of {} bring parts A and B off ratio beyond the limit of {}: {}",
            step,
            limit.show(Units::Metric),
            each.collect::<Vec<_>>().join(", ")
        );
        faults
            .push(at![], Severity::Refused, message)
            .hint("a finer scale in house.ron, or more to pour at once");
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vessel_to_add_is_named_in_the_houses_units() {
        for (units, sizes) in [
            (Units::Us, "vessels: [\"1 qt\", \"1 gal\"]"),
            (Units::Metric, "vessels: [\"1 L\", \"5 L\"]"),
        ] {
            let told = no_vessel(units);
            let hints: Vec<&str> =
                told.job.0.iter().flat_map(|fault| &fault.hints).map(String::as_str).collect();
            assert!(hints.iter().any(|hint| hint.ends_with(sizes)), "{hints:?}");
        }
    }
}
