//! The steps of a pour as tasks: what waits for what, and what has a clock.

use super::RunSheetError;
use super::ask::{Ask, TintingPaddle};
use super::clocks::PotLife;
use crate::plan::paddle::Wiped;
use crate::plan::schedule::{Edge, Limit, Link, Project, Task};

/// A step of the run sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// B into A, mixed: the clock of the mix starts.
    Mix {
        /// Index of the mix.
        mix: usize,
    },
    /// Into a clean second vessel and mixed again, so that nothing from an unmixed wall is
    /// poured.
    SecondVessel {
        /// Index of the mix.
        mix: usize,
    },
    /// Split into several vessels.
    Split {
        /// Index of the mix.
        mix: usize,
    },
    /// Colorants stirred in.
    Tint {
        /// Index of the mix.
        mix: usize,
    },
    /// Layers into the container of a small batch.
    Decant {
        /// Index of the batch.
        batch: usize,
    },
    /// Accents into the container.
    Accents {
        /// Index of the batch.
        batch: usize,
    },
    /// Poured.
    Pour {
        /// Index of the batch.
        batch: usize,
    },
    /// Edges and splashbacks coated by brush.
    CoatUprights,
    /// The surface misted.
    Mist {
        /// 0 for the first time, 1 for the second.
        pass: usize,
    },
    /// Drips scraped off the lower edge.
    ScrapeDrips {
        /// Which time round, from 0.
        round: usize,
    },
}

/// How mixes follow one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mixing {
    /// Every mix is tinted before the first batch is decanted: one paddle goes once from light
    /// to dark, and nobody mixes while others pour. The usual way.
    AllFirst,
    /// Each mix is begun only when its first batch comes near.
    Staggered,
    /// Every mix is tinted before the first batch is decanted, those that can wait longest first: the paddle is wiped
    /// once more, or oftener, for the sake of a mix that would be too old.
    ShortestLivedLast,
}

impl Mixing {
    /// Whether every mix stands tinted before the first batch is decanted.
    const fn all_first(self) -> bool {
        matches!(self, Self::AllFirst | Self::ShortestLivedLast)
    }
}

/// Seconds as the scheduler counts them: whole, rounded up, at least one.
fn whole_s(seconds: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "durations are checked to be at most a day, and volumes at most a cubic metre"
    )]
    let whole = seconds.ceil().clamp(1.0, 8.64e7) as i64;
    whole.min(crate::plan::schedule::LONGEST_S)
}

fn count(number: usize) -> f64 {
    u32::try_from(number).map_or(f64::from(u32::MAX), f64::from)
}

/// Tasks of a run sheet, with the steps that each stands for.
pub(super) struct Work {
    pub(super) project: Project,
    /// For each task, its steps in order with the seconds of each; one person does them in one
    /// go.
    pub(super) steps: Vec<Vec<(Step, i64)>>,
    /// The mixes before whose tinting the paddle is wiped.
    pub(super) wiped_before: Vec<usize>,
    /// Orders worth trying.
    pub(super) wanted: Vec<Vec<usize>>,
}

/// Filling containers and pouring them are roles that a hand keeps as long as it can: who pours has wet gloves.
const fn role_of(step: Step) -> Option<u32> {
    match step {
        Step::Decant { .. } | Step::Accents { .. } => Some(0),
        Step::Pour { .. } => Some(1),
        _ => None,
    }
}

/// Tasks on their way to becoming a project.
struct Bench {
    steps: Vec<Vec<(Step, i64)>>,
    tasks: Vec<Task>,
    links: Vec<Link>,
}

impl Bench {
    /// Adds steps that one person does in one go.
    fn add(&mut self, steps: &[(Step, f64)]) -> usize {
        // Whatever happens before the pour runs down a clock, so it is not begun too soon.
        let after_the_clock = |step| {
            matches!(
                step,
                Step::Pour { .. }
                    | Step::CoatUprights
                    | Step::Mist { .. }
                    | Step::ScrapeDrips { .. }
            )
        };
        let hold_back = !steps.iter().any(|(step, _)| after_the_clock(*step));
        let steps: Vec<(Step, i64)> =
            steps.iter().map(|&(step, seconds)| (step, whole_s(seconds))).collect();
        let duration_s = steps.iter().map(|(_, seconds)| seconds).sum();
        let role = steps.first().and_then(|(step, _)| role_of(*step));
        self.steps.push(steps);
        self.tasks.push(Task { duration_s, hands: 1, earliest_s: 0, hold_back, role });
        self.tasks.len() - 1
    }

    /// Lets a task's first step take so much longer, s.
    fn lengthen(&mut self, task: usize, more_s: f64) {
        let Some((_, seconds)) = self.steps[task].first_mut() else { return };
        let more_s = if more_s > 0.0 { whole_s(more_s) } else { 0 };
        let whole = seconds.saturating_add(more_s).min(crate::plan::schedule::LONGEST_S);
        self.tasks[task].duration_s += whole - *seconds;
        *seconds = whole;
    }

    fn link(&mut self, before: usize, after: usize, lag_s: f64) {
        let at_least_s = if lag_s > 0.0 { whole_s(lag_s) } else { 0 };
        self.links.push(Link { before, after, from: Edge::End, at_least_s });
    }
}

impl Work {
    pub(super) fn of(ask: &Ask, mixing: Mixing, lives: &[PotLife]) -> Result<Self, RunSheetError> {
        let mut bench = Bench { steps: Vec::new(), tasks: Vec::new(), links: Vec::new() };
        let mixed: Vec<Vec<usize>> =
            (0..ask.mixes.len()).map(|mix| prepare(&mut bench, ask, mix)).collect();
        make_by_number(&mut bench, ask, &mixed);
        let order = mixing_order(ask, mixing, lives);
        let wiped_before = match ask.paddle {
            TintingPaddle::OneEach => Vec::new(),
            TintingPaddle::Shared(wiped) => share_paddle(&mut bench, ask, &mixed, &order, wiped),
        };
        let poured: Vec<Vec<usize>> = (0..ask.batches.len())
            .map(|batch| serve(&mut bench, ask, batch, &mixed, mixing))
            .collect();
        for pair in poured.windows(2) {
            if let ([.., before], [.., after]) = (&pair[0][..], &pair[1][..]) {
                bench.link(*before, *after, 0.0);
            }
        }
        // Containers are filled in the order of pouring, so that nobody has to look for one.
        for pair in poured.windows(2) {
            if let ([before, ..], [after, ..]) = (&pair[0][..], &pair[1][..]) {
                let (before, after) = (*before, *after);
                bench.links.push(Link { before, after, from: Edge::Start, at_least_s: 0 });
            }
        }
        // What is held back of the last pour is spread when all of them are poured.
        let coats = coat_uprights(&mut bench, ask, &poured);
        let spread_by = |batch: usize| match coats {
            Some(task) if batch + 1 == poured.len() => Some(task),
            _ => poured[batch].last().copied(),
        };
        let mut limits = Vec::new();
        for (mix, life) in lives.iter().enumerate() {
            let last = ask.takes(mix).last().and_then(|(batch, _)| spread_by(batch));
            if let (Some(last), Some(within_s)) = (last, life.aim_s(&ask.rules)) {
                limits.push(Limit {
                    before: mixed[mix][0],
                    from: Edge::Start,
                    after: last,
                    to: Edge::End,
                    within_s: within_s.min(crate::plan::schedule::LONGEST_S),
                });
            }
        }
        if let Some([.., last_pour]) = poured.last().map(|tasks| &tasks[..]) {
            finish(&mut bench, ask, *last_pour, coats, &mut limits);
        }

        let wanted = vec![one_after_another(ask, mixing, &order, &mixed, &poured, &bench)];
        let Bench { steps, tasks, links } = bench;
        let project = Project::new(tasks, links, limits, ask.crew)?;
        Ok(Self { project, steps, wiped_before, wanted })
    }
}

/// The tasks that make a mix ready, in order; the first starts its clock.
fn prepare(bench: &mut Bench, ask: &Ask, mix: usize) -> Vec<usize> {
    let Ask { durations, .. } = ask;
    let one = &ask.mixes[mix];
    let litres = one.volume_ml / 1000.0;
    let mut steps = vec![
        (Step::Mix { mix }, durations.mix_s + durations.mix_per_litre_s * litres),
        (
            Step::SecondVessel { mix },
            durations.second_vessel_s + durations.second_vessel_per_litre_s * litres,
        ),
    ];
    if one.split_into > 1 {
        steps.push((Step::Split { mix }, durations.split_each_s * count(one.split_into)));
    }
    let mut chain = vec![bench.add(&steps)];
    if one.colorants > 0 {
        let seconds = durations.tint_each_s * count(one.colorants) * count(one.split_into.max(1));
        chain.push(bench.add(&[(Step::Tint { mix }, seconds)]));
    }
    for pair in 1..chain.len() {
        bench.link(chain[pair - 1], chain[pair], 0.0);
    }
    chain
}

/// Mixes of one base are begun in the order of their numbers, so that the number on a vessel tells which
/// of them is older.
fn make_by_number(bench: &mut Bench, ask: &Ask, mixed: &[Vec<usize>]) {
    for (mixes, tasks) in ask.mixes.windows(2).zip(mixed.windows(2)) {
        let next = mixes[0].name == mixes[1].name && mixes[0].part.0 + 1 == mixes[1].part.0;
        if next && let (Some(&before), Some(&after)) = (tasks[0].first(), tasks[1].first()) {
            bench.links.push(Link { before, after, from: Edge::Start, at_least_s: 0 });
        }
    }
}

/// The tasks of a small batch, in order; the last is its pour, and the only one where a mix is poured as it is.
fn serve(
    bench: &mut Bench,
    ask: &Ask,
    batch: usize,
    mixed: &[Vec<usize>],
    mixing: Mixing,
) -> Vec<usize> {
    let Ask { durations, .. } = ask;
    let one = &ask.batches[batch];
    let mut steps = Vec::new();
    if one.layers > 0 {
        steps.push((Step::Decant { batch }, durations.decant_layer_s * count(one.layers)));
    }
    if one.accents > 0 {
        steps.push((Step::Accents { batch }, durations.accent_each_s * count(one.accents)));
    }
    let litres = ask.batch_volume_ml(batch) / 1000.0;
    let pour_s = durations.pour_s + durations.pour_per_litre_s * litres;
    let mut chain = Vec::new();
    if !steps.is_empty() {
        chain.push(bench.add(&steps));
    }
    chain.push(bench.add(&[(Step::Pour { batch }, pour_s)]));
    if let [filled, poured] = chain[..] {
        bench.link(filled, poured, 0.0);
    }
    for (mix, tasks) in mixed.iter().enumerate() {
        // No batch is filled before the one ahead of it, so a mix has to be ready for the first alone.
        let first = match mixing.all_first() {
            true => batch == 0,
            false => ask.takes(mix).next().is_some_and(|(first, _)| first == batch),
        };
        if first && let Some(&ready) = tasks.last() {
            bench.link(ready, chain[0], 0.0);
        }
    }
    chain
}

/// The order in which mixes are tinted: as given when all come first, by first need when they are staggered, or those
/// that live longest first.
fn mixing_order(ask: &Ask, mixing: Mixing, lives: &[PotLife]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..ask.mixes.len()).collect();
    match mixing {
        Mixing::AllFirst => {}
        Mixing::Staggered => {
            let first_need =
                |mix: usize| ask.takes(mix).next().map_or(usize::MAX, |(batch, _)| batch);
            order.sort_by_key(|&mix| (first_need(mix), mix));
        }
        Mixing::ShortestLivedLast => order = shortest_lived_last(ask, lives),
    }
    order
}

/// Mixes in the order in which they can wait, the longest-lived first; those of one base in the order of their
/// numbers, where any of them stands.
pub(super) fn shortest_lived_last(ask: &Ask, lives: &[PotLife]) -> Vec<usize> {
    let lasts_s =
        |mix: usize| lives.get(mix).and_then(PotLife::whole_s).map_or(i64::MAX, |life_s| life_s);
    let mut order: Vec<usize> = (0..ask.mixes.len()).collect();
    order.sort_by_key(|&mix| (std::cmp::Reverse(lasts_s(mix)), mix));
    // The places that a base's mixes have are theirs; within them the numbers rise.
    let mut own: std::collections::BTreeMap<&str, std::collections::VecDeque<usize>> =
        std::collections::BTreeMap::new();
    for (mix, one) in ask.mixes.iter().enumerate() {
        own.entry(&one.name).or_default().push_back(mix);
    }
    for place in &mut order {
        let next = own.get_mut(ask.mixes[*place].name.as_str()).and_then(|own| own.pop_front());
        *place = next.unwrap_or(*place);
    }
    order
}

/// One paddle tints one mix after another. Gives the mixes before which it is wiped, by the hand that then
/// tints and in that hand's time.
fn share_paddle(
    bench: &mut Bench,
    ask: &Ask,
    mixed: &[Vec<usize>],
    order: &[usize],
    wiped: Wiped,
) -> Vec<usize> {
    let tints: Vec<(usize, usize)> = order
        .iter()
        .filter(|&&mix| ask.mixes[mix].colorants > 0)
        .filter_map(|&mix| mixed[mix].last().map(|&tint| (mix, tint)))
        .collect();
    let mut wiped_before = Vec::new();
    for pair in tints.windows(2) {
        let ((before, tinted), (mix, tint)) = (pair[0], pair[1]);
        bench.link(tinted, tint, 0.0);
        // Mixes come from the lightest base to the darkest, as far as that is known.
        let other_base = ask.mixes[mix].name != ask.mixes[before].name;
        if other_base && (wiped == Wiped::BeforeAnyOther || mix < before) {
            bench.lengthen(tint, ask.durations.clean_paddle_s);
            wiped_before.push(mix);
        }
    }
    wiped_before
}

/// Edges and splashbacks, once everything is poured; none where there are none, or nothing is poured.
fn coat_uprights(bench: &mut Bench, ask: &Ask, poured: &[Vec<usize>]) -> Option<usize> {
    let last_pour = *poured.last()?.last()?;
    (ask.upright_m2 > 0.0).then(|| {
        let seconds = ask.durations.coat_per_m2_s * ask.upright_m2;
        let task = bench.add(&[(Step::CoatUprights, seconds)]);
        bench.link(last_pour, task, 0.0);
        task
    })
}

/// What follows the last pour and the coat on uprights: misting twice, and drips.
fn finish(
    bench: &mut Bench,
    ask: &Ask,
    last_pour: usize,
    coats: Option<usize>,
    limits: &mut Vec<Limit>,
) {
    let Ask { durations, .. } = ask;
    if ask.mist {
        let first = bench.add(&[(Step::Mist { pass: 0 }, durations.mist_s)]);
        let second = bench.add(&[(Step::Mist { pass: 1 }, durations.mist_s)]);
        bench.link(coats.unwrap_or(last_pour), first, 0.0);
        bench.link(first, second, durations.mist_wait_s);
        limits.push(Limit {
            before: first,
            from: Edge::End,
            after: second,
            to: Edge::Start,
            within_s: whole_s(durations.mist_wait_s + durations.mist_slack_s),
        });
    }
    for (round, &after_s) in durations.scrape_after_s.iter().enumerate() {
        let scrape = bench.add(&[(Step::ScrapeDrips { round }, durations.scrape_s)]);
        bench.link(last_pour, scrape, after_s);
        limits.push(Limit {
            before: last_pour,
            from: Edge::End,
            after: scrape,
            to: Edge::Start,
            within_s: whole_s(after_s + durations.scrape_slack_s),
        });
    }
}

/// All tasks as one person would do them: the mixes (first, or each when it is needed), each
/// batch decanted, dosed and poured.
fn one_after_another(
    ask: &Ask,
    mixing: Mixing,
    order: &[usize],
    mixed: &[Vec<usize>],
    poured: &[Vec<usize>],
    bench: &Bench,
) -> Vec<usize> {
    let mut tasks = Vec::with_capacity(bench.tasks.len());
    let mut waiting = order.iter().copied().peekable();
    for (batch, chain) in poured.iter().enumerate() {
        let needs = |mix: usize| {
            mixing.all_first() || ask.batches[batch].takes.iter().any(|t| t.mix == mix)
        };
        while let Some(mix) = waiting.next_if(|&mix| needs(mix)) {
            tasks.extend(&mixed[mix]);
        }
        tasks.extend(chain);
    }
    for mix in waiting {
        tasks.extend(&mixed[mix]);
    }
    let rest = (0..bench.tasks.len()).filter(|task| {
        matches!(
            bench.steps[*task][..],
            [(Step::CoatUprights | Step::Mist { .. } | Step::ScrapeDrips { .. }, _)]
        )
    });
    tasks.extend(rest);
    tasks
}
