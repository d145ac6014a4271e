//! Who does what when: tasks with hands, inputs and lags shared out to a crew.
//!
//! Main types: [`Project`] (checked on making), [`Schedule`]. [`plan`] finds a short schedule,
//! [`faults`] proves one right. Times are whole seconds, so that nothing hangs on rounding.
//!
//! A [`Link`] is a must: a task never starts before its inputs and their lag. A [`Limit`] is a
//! wish with a price: the schedule with the least total overrun is taken, and each overrun is
//! told, because "the pour comes 6 minutes late" is what a person needs to hear, not "no".
//!
//! In scope: one kind of worker, lags, releases. Out of scope: tools as a resource (write them
//! as links), skills, breaks.

mod profile;
mod search;

pub use search::{Effort, plan};

/// A piece of work that, once begun, is done in one go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Seconds it takes, at least 1.
    pub duration_s: i64,
    /// Workers it takes, at least 1.
    pub hands: usize,
    /// It may not begin before this, s.
    pub earliest_s: i64,
    /// Begin it as late as the rest allows (mixing starts a clock; sanding does not).
    pub hold_back: bool,
    /// What kind of work it is, where one worker should go on with a kind as long as that can be.
    pub role: Option<u32>,
}

/// One end of a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// When it begins.
    Start,
    /// When it ends.
    End,
}

/// `after` begins no sooner than `at_least_s` after an edge of `before`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// Index of the task that comes first.
    pub before: usize,
    /// Index of the task that waits for it.
    pub after: usize,
    /// The edge of `before` that counts.
    pub from: Edge,
    /// The least lag, s, not negative.
    pub at_least_s: i64,
}

/// An edge of `after` should come no later than `within_s` after an edge of `before`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// Index of the task that starts the clock.
    pub before: usize,
    /// The edge that starts it.
    pub from: Edge,
    /// Index of the task that must not be late.
    pub after: usize,
    /// The edge that must not be late.
    pub to: Edge,
    /// The greatest lag, s.
    pub within_s: i64,
}

/// Why tasks cannot be planned at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ScheduleError {
    /// Nobody is there.
    #[error("a crew of none can do nothing")]
    NoCrew,
    /// A task wants more hands than the crew has, or none.
    #[error("task {task} needs {hands} hands of a crew of {crew}")]
    Hands {
        /// Which task.
        task: usize,
        /// Hands it needs.
        hands: usize,
        /// Hands there are.
        crew: usize,
    },
    /// A duration, release or lag outside what can be planned (a duration under 1 s, a
    /// negative lag, anything beyond [`LONGEST_S`]).
    #[error("task {task} has a time out of range")]
    Time {
        /// Which task; of a link, the one that waits.
        task: usize,
    },
    /// A link or limit names a task that is not there.
    #[error("a link names task {task}, which is not there")]
    NoSuchTask {
        /// The index.
        task: usize,
    },
    /// Tasks wait for one another in a ring.
    #[error("task {task} waits for itself")]
    Ring {
        /// A task in the ring.
        task: usize,
    },
}

/// No single duration, lag or release may be longer than this, s (a year).
pub const LONGEST_S: i64 = 366 * 86_400;

/// Tasks that can be planned: each fits the crew, and none waits for itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Project {
    tasks: Vec<Task>,
    links: Vec<Link>,
    limits: Vec<Limit>,
    crew: usize,
    /// For each task, the tasks it waits for, with the least lag from start to start.
    waits_for: Vec<Vec<(usize, i64)>>,
    /// For each task, the tasks that wait for it, likewise.
    awaited_by: Vec<Vec<(usize, i64)>>,
    /// The tasks, each after all that it waits for.
    in_order: Vec<usize>,
}

impl Project {
    /// Checks tasks, links and limits.
    ///
    /// # Errors
    /// The first [`ScheduleError`] found.
    pub fn new(
        tasks: Vec<Task>,
        links: Vec<Link>,
        limits: Vec<Limit>,
        crew: usize,
    ) -> Result<Self, ScheduleError> {
        if crew == 0 {
            return Err(ScheduleError::NoCrew);
        }
        for (at, task) in tasks.iter().enumerate() {
            if task.hands == 0 || task.hands > crew {
                return Err(ScheduleError::Hands { task: at, hands: task.hands, crew });
            }
            if !(1..=LONGEST_S).contains(&task.duration_s)
                || !(0..=LONGEST_S).contains(&task.earliest_s)
            {
                return Err(ScheduleError::Time { task: at });
            }
        }
        let there = |task: usize| {
            if task < tasks.len() { Ok(()) } else { Err(ScheduleError::NoSuchTask { task }) }
        };
        let mut waits_for = vec![Vec::new(); tasks.len()];
        let mut awaited_by = vec![Vec::new(); tasks.len()];
        for link in &links {
            there(link.before)?;
            there(link.after)?;
            if !(0..=LONGEST_S).contains(&link.at_least_s) {
                return Err(ScheduleError::Time { task: link.after });
            }
            let lag_s = link.at_least_s
                + match link.from {
                    Edge::Start => 0,
                    Edge::End => tasks[link.before].duration_s,
                };
            waits_for[link.after].push((link.before, lag_s));
            awaited_by[link.before].push((link.after, lag_s));
        }
        for limit in &limits {
            there(limit.before)?;
            there(limit.after)?;
            if !(0..=LONGEST_S).contains(&limit.within_s) {
                return Err(ScheduleError::Time { task: limit.after });
            }
        }
        let in_order = sorted(&waits_for, &awaited_by)?;
        Ok(Self { tasks, links, limits, crew, waits_for, awaited_by, in_order })
    }

    /// The tasks.
    #[must_use]
    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }

    /// The links.
    #[must_use]
    pub fn links(&self) -> &[Link] {
        &self.links
    }

    /// The tasks by index, each after all that it waits for.
    #[must_use]
    pub fn in_order(&self) -> &[usize] {
        &self.in_order
    }

    /// The limits.
    #[must_use]
    pub fn limits(&self) -> &[Limit] {
        &self.limits
    }

    /// Workers.
    #[must_use]
    pub const fn crew(&self) -> usize {
        self.crew
    }

    /// The longest chain of tasks and lags, s: no crew however large is faster.
    #[must_use]
    pub fn critical_path_s(&self) -> i64 {
        let mut starts = vec![0; self.tasks.len()];
        let mut longest = 0;
        for &task in &self.in_order {
            starts[task] = self.waits_for[task]
                .iter()
                .map(|&(before, lag_s)| starts[before] + lag_s)
                .fold(self.tasks[task].earliest_s, i64::max);
            longest = longest.max(starts[task] + self.tasks[task].duration_s);
        }
        longest
    }

    /// The longest chain that each task begins, s, itself included.
    fn tails_s(&self) -> Vec<i64> {
        let mut tails = vec![0; self.tasks.len()];
        for &task in self.in_order.iter().rev() {
            tails[task] = self.awaited_by[task]
                .iter()
                .map(|&(after, lag_s)| lag_s + tails[after])
                .fold(self.tasks[task].duration_s, i64::max);
        }
        tails
    }

    /// No schedule is shorter than this, s: the critical path, and the work shared by all hands.
    #[must_use]
    pub fn lower_bound_s(&self) -> i64 {
        let crew = i64::try_from(self.crew).unwrap_or(i64::MAX);
        let work_s = self.tasks.iter().fold(0_i64, |sum, task| {
            let hands = i64::try_from(task.hands).unwrap_or(i64::MAX);
            sum.saturating_add(task.duration_s.saturating_mul(hands))
        });
        self.critical_path_s().max(work_s / crew + i64::from(work_s % crew != 0))
    }

    /// The least that a limit's span can last, s: the longest chain of tasks and lags from its one task to
    /// the other; none where no chain leads there. No crew however large is faster.
    #[must_use]
    pub fn least_span_s(&self, limit: &Limit) -> Option<i64> {
        let mut from_s: Vec<Option<i64>> = vec![None; self.tasks.len()];
        from_s[limit.before] = Some(0);
        for &task in &self.in_order {
            for &(before, lag_s) in &self.waits_for[task] {
                let by_this = from_s[before].map(|start_s| start_s + lag_s);
                from_s[task] = from_s[task].max(by_this);
            }
        }
        let after_s = from_s[limit.after]?;
        Some(self.edge_s(limit.after, limit.to, after_s) - self.edge_s(limit.before, limit.from, 0))
    }

    /// The moment of a task's edge when it begins at `start_s`.
    fn edge_s(&self, task: usize, edge: Edge, start_s: i64) -> i64 {
        match edge {
            Edge::Start => start_s,
            Edge::End => start_s + self.tasks[task].duration_s,
        }
    }

    /// How long each limit's span lasts with these starts, s.
    fn span_s(&self, limit: &Limit, starts: &[i64]) -> i64 {
        self.edge_s(limit.after, limit.to, starts[limit.after])
            - self.edge_s(limit.before, limit.from, starts[limit.before])
    }
}

/// The tasks in an order in which each follows what it waits for.
fn sorted(
    waits_for: &[Vec<(usize, i64)>],
    awaited_by: &[Vec<(usize, i64)>],
) -> Result<Vec<usize>, ScheduleError> {
    let mut open: Vec<usize> = waits_for.iter().map(Vec::len).collect();
    let mut order: Vec<usize> = (0..open.len()).filter(|&task| open[task] == 0).collect();
    let mut next = 0;
    while next < order.len() {
        for &(after, _) in &awaited_by[order[next]] {
            open[after] -= 1;
            if open[after] == 0 {
                order.push(after);
            }
        }
        next += 1;
    }
    match open.iter().position(|&left| left > 0) {
        Some(task) => Err(ScheduleError::Ring { task }),
        None => Ok(order),
    }
}

/// One task in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// When it begins, s.
    pub start_s: i64,
    /// When it ends, s.
    pub end_s: i64,
    /// Who does it: numbers from 0, ascending.
    pub workers: Vec<usize>,
}

/// A limit that is not kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Overrun {
    /// Index of the limit.
    pub limit: usize,
    /// By how much, s.
    pub by_s: i64,
}

/// All tasks in their places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Schedule {
    /// One a task, in the project's order.
    pub placed: Vec<Placed>,
    /// When the last task ends, s.
    pub makespan_s: i64,
    /// The limits that are not kept.
    pub overruns: Vec<Overrun>,
}

impl Schedule {
    /// Gives workers to tasks that begin at `starts`, which the crew can meet at every moment.
    ///
    /// Taken in order of start, a task always finds hands free. Work of a role goes to who did that last, and rather
    /// to somebody without a role than to one of another, so that one fills and another pours; any other work to who
    /// did what it waits for, so that a person follows a mix. Whoever does it, it begins at the same moment.
    fn staffed(project: &Project, starts: &[i64]) -> Self {
        let mut placed: Vec<Placed> = starts
            .iter()
            .zip(&project.tasks)
            .map(|(&start_s, task)| Placed {
                start_s,
                end_s: start_s + task.duration_s,
                workers: Vec::new(),
            })
            .collect();
        let mut by_start: Vec<usize> = (0..starts.len()).collect();
        by_start.sort_by_key(|&task| (starts[task], task));
        let mut busy_until = vec![0_i64; project.crew];
        let mut last_role: Vec<Option<u32>> = vec![None; project.crew];
        for task in by_start {
            let role = project.tasks[task].role;
            let changes = |worker: usize| match (role, last_role[worker]) {
                (Some(role), Some(last)) if role != last => 2,
                (Some(_), None) => 1,
                _ => 0,
            };
            let knows = |worker: usize| {
                project.waits_for[task]
                    .iter()
                    .any(|&(before, _)| placed[before].workers.contains(&worker))
            };
            let mut free: Vec<usize> =
                (0..project.crew).filter(|&worker| busy_until[worker] <= starts[task]).collect();
            free.sort_by_key(|&worker| (changes(worker), !knows(worker), worker));
            free.truncate(project.tasks[task].hands);
            free.sort_unstable();
            for &worker in &free {
                busy_until[worker] = placed[task].end_s;
                last_role[worker] = role.or(last_role[worker]);
            }
            placed[task].workers = free;
        }
        let makespan_s = placed.iter().map(|task| task.end_s).max().unwrap_or(0);
        let overruns = project
            .limits
            .iter()
            .enumerate()
            .filter_map(|(at, limit)| {
                let by_s = project.span_s(limit, starts) - limit.within_s;
                (by_s > 0).then_some(Overrun { limit: at, by_s })
            })
            .collect();
        Self { placed, makespan_s, overruns }
    }
}

/// What is wrong with a schedule; a planned one has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A worker is in two places.
    TwoPlaces {
        /// Who.
        worker: usize,
        /// One task.
        one: usize,
        /// The other.
        other: usize,
    },
    /// A task has not the hands it needs, or hands that do not exist.
    Hands {
        /// Which task.
        task: usize,
    },
    /// A task begins before an input is ready or before its release.
    TooSoon {
        /// Which task.
        task: usize,
    },
    /// A task takes more or less time than it needs.
    Length {
        /// Which task.
        task: usize,
    },
    /// The whole is shorter than its longest chain.
    Impossible,
}

/// Checks a schedule from the tasks and links alone.
#[must_use]
pub fn faults(project: &Project, schedule: &Schedule) -> Vec<Fault> {
    let mut found = Vec::new();
    for (at, (task, placed)) in project.tasks.iter().zip(&schedule.placed).enumerate() {
        let mut workers = placed.workers.clone();
        workers.dedup();
        if workers.len() != task.hands || workers.iter().any(|&who| who >= project.crew) {
            found.push(Fault::Hands { task: at });
        }
        if placed.end_s - placed.start_s != task.duration_s {
            found.push(Fault::Length { task: at });
        }
        if placed.start_s < task.earliest_s {
            found.push(Fault::TooSoon { task: at });
        }
        for (other, second) in schedule.placed.iter().enumerate().skip(at + 1) {
            if placed.start_s < second.end_s
                && second.start_s < placed.end_s
                && let Some(&worker) = workers.iter().find(|who| second.workers.contains(who))
            {
                found.push(Fault::TwoPlaces { worker, one: at, other });
            }
        }
    }
    for link in &project.links {
        let before = &schedule.placed[link.before];
        let from_s = match link.from {
            Edge::Start => before.start_s,
            Edge::End => before.end_s,
        };
        if schedule.placed[link.after].start_s < from_s + link.at_least_s {
            found.push(Fault::TooSoon { task: link.after });
        }
    }
    if schedule.makespan_s < project.critical_path_s() {
        found.push(Fault::Impossible);
    }
    found
}

#[cfg(test)]
mod tests;
