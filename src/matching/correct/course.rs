//! When the last of a mix is poured: so long after it is corrected, or as in a job's plan, by its own clock.

use crate::plan::run_sheet::PotLife;
use crate::quantity::{Mass, TimeSpan, Volume};

/// When the last of a mix is poured.
#[derive(Debug, Clone, PartialEq)]
pub enum LastPour {
    /// So long after it is corrected, whatever its age.
    After(TimeSpan),
    /// As in a job's plan: the course of each of its mixes that this may be. Where there is none, as it is corrected.
    Planned(Vec<Course>),
}

/// The course of a mix in a job's plan; times are its age, since B met A.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Which mix: `slate 2`.
    pub mix: String,
    /// When it stands tinted.
    pub ready: TimeSpan,
    /// When the first of it begins to be filled or poured.
    pub first: TimeSpan,
    /// When the last of it is poured.
    pub last: TimeSpan,
    /// How long it lasts as planned; none where it is reckoned with another room than the plan's.
    pub lasts: Option<Lasts>,
    /// Whether it is too hot as the last of it is poured as planned already.
    pub hot: bool,
}

/// How long a mix lasts as planned: no more than so much of it in such a vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lasts {
    /// Its mass, with what its scales leave open.
    pub mass: Mass,
    /// Its vessel, brim-full.
    pub vessel: Volume,
    /// Its pot life.
    pub pot_life: PotLife,
}

/// When the last of a corrected mix is poured, its age then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PouredAt {
    /// If all else has been done as planned until now.
    pub(super) on_schedule: TimeSpan,
    /// If all work has stood still since the mix was tinted.
    pub(super) stood_still: TimeSpan,
}

/// What delays a mix: its age, what correcting it takes for each vessel, over how many vessels it is shared out, and what share
/// of it has been poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Delay {
    pub(super) age: TimeSpan,
    pub(super) work: TimeSpan,
    pub(super) vessels: f64,
    pub(super) poured: f64,
}

impl Course {
    /// When the last of it is poured. What has been begun later than planned ends so much later, and so does what a correction
    /// delays; several vessels are poured one after the other.
    pub(super) fn poured_at(&self, delay: Delay) -> PouredAt {
        let Delay { age, work, vessels, poured } = delay;
        let pour = self.last - self.first;
        let end = self.last + work * vessels + pour * (vessels - 1.0);
        let behind = |due: TimeSpan| (age - (due + pour * poured)).greater(TimeSpan::ZERO);
        let stood_still = if poured > 0.0 { self.first } else { self.ready };
        PouredAt { on_schedule: end + behind(self.first), stood_still: end + behind(stood_still) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn course() -> Course {
        let min = TimeSpan::from_min;
        let mix = "slate 2".to_owned();
        Course { mix, ready: min(7.0), first: min(22.0), last: min(44.0), lasts: None, hot: false }
    }

    fn at(age: f64, work: f64, vessels: f64, poured: f64) -> [f64; 2] {
        let [age, work] = [age, work].map(TimeSpan::from_min);
        let PouredAt { on_schedule, stood_still } =
            course().poured_at(Delay { age, work, vessels, poured });
        [on_schedule, stood_still].map(TimeSpan::min)
    }

    #[test]
    fn what_is_on_schedule_ends_as_planned() {
        for (delay, on_schedule, stood_still) in [
            ((3.0, 0.0, 1.0, 0.0), 44.0, 44.0),
            ((10.0, 0.0, 1.0, 0.0), 44.0, 47.0),
            ((22.0, 0.0, 1.0, 0.0), 44.0, 59.0),
            ((25.0, 4.0, 1.0, 0.0), 51.0, 66.0),
            ((10.0, 4.0, 2.0, 0.0), 74.0, 77.0),
            // Half of it has been poured by 0:33 as planned.
            ((33.0, 4.0, 1.0, 0.5), 48.0, 48.0),
            ((40.0, 0.0, 1.0, 0.5), 51.0, 51.0),
        ] {
            let (age, work, vessels, poured) = delay;
            let found = at(age, work, vessels, poured);
            let off = (found[0] - on_schedule).abs() + (found[1] - stood_still).abs();
            assert!(off < 1e-9, "{delay:?}: {found:?}");
        }
    }

    proptest! {
        #[test]
        fn what_is_older_is_never_poured_sooner(
            age in 0.0..90.0_f64, older in 0.0..30.0_f64, work in 0.0..20.0_f64, poured in 0.0..1.0_f64,
        ) {
            let [now, then] = [age, age + older].map(|age| at(age, work, 1.0, poured));
            prop_assert!(now[0] <= then[0] + 1e-9 && now[1] <= then[1] + 1e-9);
            prop_assert!(now[0] <= now[1] + 1e-9 && now[0] >= 44.0 + work - 1e-9);
        }
    }
}
