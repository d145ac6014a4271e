//! Ceilings exceeded, as a person is told: one refusal for each loading that has to change.

use crate::diagnostic::Severity;
use crate::model::{Faults, Recipe, overdose_meant};
use crate::quantity::{Fraction, Units};
use crate::suggest::listed;

use super::checks::{Mixed, Place, apart, with_loading};
use super::loading::{Limits, Route, Standing};

/// Refusals that point into the colourway. What else exceeds a ceiling through the same loading is told
/// beside it in short: other ceilings of the same mix, and small batches that hold the base.
pub(super) fn refusals(
    recipe: &Recipe<'_>,
    limits: &Limits<'_>,
    of_bases: &[Mixed<'_>],
    of_batches: &[Mixed<'_>],
) -> Faults {
    let mut faults = Faults::default();
    let mut through_a_base: Vec<&Place> = Vec::new();
    for mix in of_bases {
        let mut groups = by_culprit(mix, limits).into_iter();
        let Some((which, exceeded)) = groups.next() else { continue };
        let mut first = Refusal::alone(limits, mix, which, exceeded);
        first.follow(recipe, limits, of_batches);
        through_a_base.extend(first.follow.iter().map(|batch| &batch.place));
        first.tell(limits, &mut faults);
        for (which, exceeded) in groups {
            Refusal::alone(limits, mix, which, exceeded).tell(limits, &mut faults);
        }
    }
    for mix in of_batches.iter().filter(|mix| !through_a_base.contains(&&mix.place)) {
        for (which, exceeded) in by_culprit(mix, limits) {
            Refusal::alone(limits, mix, which, exceeded).tell(limits, &mut faults);
        }
    }
    faults
}

/// What a mix exceeds, by the colorant that counts most there, in the order of the ceilings.
fn by_culprit(mix: &Mixed<'_>, limits: &Limits<'_>) -> Vec<(Option<usize>, Vec<Standing>)> {
    let mut groups: Vec<(Option<usize>, Vec<Standing>)> = Vec::new();
    for standing in mix.exceeded(limits) {
        let culprit = mix.culprit(&standing.route);
        match groups.iter_mut().find(|(which, _)| *which == culprit) {
            Some((_, all)) => all.push(standing),
            None => groups.push((culprit, vec![standing])),
        }
    }
    groups
}

/// A loading that is too large.
struct Refusal<'m, 'a> {
    mix: &'m Mixed<'a>,
    /// Which colorant of the mix; none where only its bases can be lowered.
    which: Option<usize>,
    /// The ceilings of the mix that it exceeds.
    exceeded: Vec<Standing>,
    /// The largest safe loading, as weighed; none where the others alone exceed a ceiling.
    safe: Option<f64>,
    /// What stops any more, in words, where that is not the first of these.
    binds: Option<String>,
    /// Small batches that exceed a ceiling through it.
    follow: Vec<&'m Mixed<'a>>,
}

impl<'m, 'a> Refusal<'m, 'a> {
    /// Of a mix by itself.
    fn alone(
        limits: &Limits<'_>,
        mix: &'m Mixed<'a>,
        which: Option<usize>,
        exceeded: Vec<Standing>,
    ) -> Self {
        let safe = which.and_then(|which| limits.largest_safe(&mix.dosed, which));
        let binds = which.zip(safe).and_then(|(which, safe)| {
            binding(limits, &[mix.with(which, just_above(safe))], &mix.place, exceeded.first())
        });
        Self { mix, which, exceeded, safe, binds, follow: Vec::new() }
    }

    /// Counts the small batches that hold the base, if a loading of nought lets them pass: a batch
    /// whose accents are too much by themselves needs a word of its own.
    fn follow(&mut self, recipe: &Recipe<'a>, limits: &Limits<'_>, of_batches: &'m [Mixed<'a>]) {
        let (Place::Base(base), Some(which), Some(alone)) =
            (&self.mix.place, self.which, self.safe)
        else {
            return;
        };
        let with = |loading: f64| with_loading(recipe, of_batches, base, which, loading);
        let keep = |loading: f64| with(loading).iter().all(|batch| batch.keeps(limits));
        if !keep(0.0) {
            return;
        }
        let now = with(self.mix.dosed[which].loading);
        let is_over =
            |place: &Place| now.iter().any(|batch| batch.place == *place && !batch.keeps(limits));
        self.follow = of_batches.iter().filter(|batch| is_over(&batch.place)).collect();
        let safe = largest(alone, keep);
        if safe < alone {
            self.safe = Some(safe);
            self.binds = binding(limits, &with(just_above(safe)), &self.mix.place, None);
        }
    }

    /// The first of the ceilings in full, the rest in short.
    fn tell(&self, limits: &Limits<'_>, faults: &mut Faults) {
        let [first, rest @ ..] = &self.exceeded[..] else { return };
        let path = self.which.map_or_else(Vec::new, |which| self.mix.paths[which].clone());
        let fault = faults.push(path, Severity::Refused, exceeds(&self.mix.place, first));
        if let Some(asked) = self.through_its_lot().or_else(|| self.meant()) {
            fault.hint(asked);
        }
        fault.hint(self.mend(limits));
        let batches = self.follow.iter().filter_map(|batch| {
            let all = batch.exceeded(limits);
            let worst = all.iter().max_by(|one, two| one.used().total_cmp(&two.used()))?;
            Some(format!("{}: {}", batch.place.words(), in_short(worst)))
        });
        let also: Vec<String> = rest.iter().map(in_short).chain(batches).collect();
        if !also.is_empty() {
            fault.hint(format!("through it these are exceeded too: {}", also.join("; ")));
        }
    }

    /// The loading that was likely meant, where a point that slipped makes it safe.
    fn meant(&self) -> Option<String> {
        let dosed = self.mix.dosed.get(self.which?)?;
        let as_written = |loading| Fraction::new(loading * dosed.colorant.lot_strength());
        overdose_meant(as_written(dosed.loading), as_written(self.safe?))
    }

    /// That a loading is too large through the strength of its lot alone.
    fn through_its_lot(&self) -> Option<String> {
        let dosed = self.mix.dosed.get(self.which?)?;
        let lot = dosed.colorant.lot.as_ref()?;
        let written = dosed.loading * dosed.colorant.lot_strength();
        (written <= self.safe? && written < dosed.loading).then(|| {
            format!(
                "its loading is written as {}; lot \"{}\" is said to tint at {} of the standing lot's strength, so {} is weighed: is that strength right?",
                Fraction::new(written).show(Units::Metric),
                lot.name,
                lot.strength,
                Fraction::new(dosed.loading).show(Units::Metric),
            )
        })
    }

    /// What would be right.
    fn mend(&self, limits: &Limits<'_>) -> String {
        if self.exceeded.iter().any(Standing::allows_none) {
            let mut names: Vec<String> = Vec::new();
            for dosed in self.mix.dosed.iter().filter(|d| d.loading > 0.0) {
                let name = format!("\"{}\"", dosed.colorant.name);
                if limits.bars(dosed.colorant) && !names.contains(&name) {
                    names.push(name);
                }
            }
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            return format!(
                "leave {} out here; take a colorant with an epoxy carrier or a dry one instead",
                listed(&names, "and")
            );
        }
        let Some(which) = self.which else {
            return "lower the loadings of its bases".to_owned();
        };
        let Some(safe) = self.safe else {
            return format!(
                "the others alone exceed it: bring all loadings here to {} of what they are, or less",
                Fraction::new(limits.largest_scale(&self.mix.dosed)).show_at_most()
            );
        };
        let colorant = self.mix.dosed[which].colorant;
        let name = &colorant.name;
        let shown = Fraction::new(safe * colorant.lot_strength()).show_at_most();
        let binds =
            self.binds.as_ref().map_or_else(String::new, |binds| format!("; more is over {binds}"));
        if shown == "0 %" {
            return format!("leave \"{name}\" out here: the others use the ceiling up{binds}");
        }
        let lot = match &colorant.lot {
            Some(lot) if colorant.lot_strength() != 1.0 => {
                format!(" (as the file writes it; its lot tints at {})", lot.strength)
            }
            _ => String::new(),
        };
        format!(
            "the largest safe loading of \"{name}\" here is {shown}, the others as they are{lot}{binds}"
        )
    }
}

/// The largest loading up to `most` that `keep`s, which nought does: by halving.
fn largest(most: f64, keep: impl Fn(f64) -> bool) -> f64 {
    if keep(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if keep(middle) { low = middle } else { high = middle }
    }
    low
}

/// A loading by so little larger that it exceeds just the ceiling that binds.
fn just_above(loading: f64) -> f64 {
    loading * (1.0 + 1e-6) + 1e-12
}

/// The first ceiling that these mixes exceed, with its place where that is not `here`; none where it is
/// the one that has been told.
fn binding(
    limits: &Limits<'_>,
    mixes: &[Mixed<'_>],
    here: &Place,
    told: Option<&Standing>,
) -> Option<String> {
    mixes.iter().find_map(|mix| {
        let route = mix.exceeded(limits).into_iter().next()?.route;
        if told.is_some_and(|told| told.route == route) {
            return None;
        }
        let place =
            if mix.place == *here { String::new() } else { format!(" of {}", mix.place.words()) };
        Some(match route {
            Route::Colorant(_) => format!("its own ceiling{place}"),
            Route::Mixture => format!("the mixture rule{place}"),
            Route::AllColorants => format!("the ceiling of all colorants{place}"),
            Route::Solvent => format!("the ceiling of solvent{place}"),
            Route::OffRatio => format!("the off-ratio limit{place}"),
        })
    })
}

/// A ceiling and where the mix stands, in a few words.
fn in_short(standing: &Standing) -> String {
    let [value, ceiling] = apart(standing);
    format!("{} at {value} (at most {ceiling})", standing.route.short_words())
}

fn exceeds(place: &Place, standing: &Standing) -> String {
    let [value, ceiling] = apart(standing);
    let trust = standing.trust;
    let told = match &standing.route {
        Route::Colorant(name) => {
            format!(
                "\"{name}\" at {value} in {} exceeds its ceiling of {ceiling} of mixed resin mass",
                place.words()
            )
        }
        Route::Mixture => format!(
            "the colorants of {} use {value} of their ceilings together, and may use {ceiling} (mixture rule)",
            place.words()
        ),
        Route::AllColorants => format!(
            "all colorants of {} are {value} of mixed resin mass, above the system's ceiling of {ceiling}",
            place.words()
        ),
        Route::Solvent if standing.allows_none() => format!(
            "{} holds solvent or non-reactive carrier, {value} of mixed resin mass, and the system's file allows none: its ceiling of solvent is 0 %",
            place.words()
        ),
        Route::Solvent => format!(
            "solvent and non-reactive carrier in {} are {value} of mixed resin mass, above the system's ceiling of {ceiling}",
            place.words()
        ),
        Route::OffRatio => format!(
            "epoxy carriers bring {} {value} off ratio, beyond the limit of {ceiling}",
            place.words()
        ),
    };
    format!("{told} ({trust})")
}
