use super::*;
use proptest::prelude::*;

fn task(duration_s: i64, hands: usize) -> Task {
    Task { duration_s, hands, earliest_s: 0, hold_back: false, role: None }
}

fn after(before: usize, after: usize, at_least_s: i64) -> Link {
    Link { before, after, from: Edge::End, at_least_s }
}

fn planned(project: &Project) -> Schedule {
    plan(project, &[], Effort::for_tasks(project.tasks().len()))
}

/// The shortest whole by trying every start of every task on a grid of seconds, tasks in an
/// order in which inputs come first, cutting off what cannot beat the best. Shares nothing with
/// the search but the project.
fn shortest_s(project: &Project) -> i64 {
    fn place(
        project: &Project,
        depth: usize,
        starts: &mut Vec<Option<i64>>,
        busy: &mut Vec<usize>,
        best: &mut i64,
    ) {
        let Some(&task) = project.in_order.get(depth) else {
            let end = (0..starts.len())
                .map(|at| starts[at].unwrap() + project.tasks[at].duration_s)
                .max()
                .unwrap_or(0);
            *best = (*best).min(end);
            return;
        };
        let needs = &project.tasks[task];
        let mut ready = needs.earliest_s;
        for link in project.links.iter().filter(|link| link.after == task) {
            let from = starts[link.before].unwrap()
                + if link.from == Edge::End { project.tasks[link.before].duration_s } else { 0 };
            ready = ready.max(from + link.at_least_s);
        }
        let mut start = ready;
        while start + needs.duration_s < *best {
            let span =
                usize::try_from(start).unwrap()..usize::try_from(start + needs.duration_s).unwrap();
            if span.end > busy.len() {
                busy.resize(span.end, 0);
            }
            if busy[span.clone()].iter().all(|hands| hands + needs.hands <= project.crew) {
                busy[span.clone()].iter_mut().for_each(|hands| *hands += needs.hands);
                starts[task] = Some(start);
                place(project, depth + 1, starts, busy, best);
                starts[task] = None;
                busy[span].iter_mut().for_each(|hands| *hands -= needs.hands);
            }
            start += 1;
        }
    }
    let mut best = 1
        + project.tasks.iter().map(|t| t.duration_s + t.earliest_s).sum::<i64>()
        + project.links.iter().map(|link| link.at_least_s).sum::<i64>();
    place(project, 0, &mut vec![None; project.tasks.len()], &mut Vec::new(), &mut best);
    best
}

prop_compose! {
    fn small_project(most: usize)(
        crew in 1_usize..4,
        tasks in prop::collection::vec((1_i64..5, 1_usize..4, 0_i64..4), 1..most),
        links in prop::collection::vec((0_usize..16, 0_usize..16, any::<bool>(), 0_i64..3), 0..10),
        hold in any::<u16>(),
    ) -> Project {
        let count = tasks.len();
        let tasks = tasks
            .into_iter()
            .enumerate()
            .map(|(at, (duration_s, hands, earliest_s))| Task {
                duration_s,
                hands: hands.min(crew),
                earliest_s,
                hold_back: hold >> at & 1 == 1,
                role: (at % 3 < 2).then_some(u32::from(at % 3 == 1)),
            })
            .collect();
        let links = links
            .into_iter()
            .filter_map(|(a, b, from_end, at_least_s)| {
                let (a, b) = (a % count, b % count);
                let from = if from_end { Edge::End } else { Edge::Start };
                (a != b).then_some(Link { before: a.min(b), after: a.max(b), from, at_least_s })
            })
            .collect();
        Project::new(tasks, links, Vec::new(), crew).unwrap()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn small_projects_are_planned_within_a_tenth_of_the_shortest(project in small_project(7)) {
        let schedule = planned(&project);
        let shortest = shortest_s(&project);
        prop_assert!(schedule.makespan_s >= shortest, "the exhaustive search missed one");
        prop_assert!(
            schedule.makespan_s * 10 <= shortest * 11,
            "{} s planned, {} s possible", schedule.makespan_s, shortest
        );
    }

    #[test]
    fn no_schedule_has_a_fault(project in small_project(14)) {
        let schedule = planned(&project);
        prop_assert_eq!(faults(&project, &schedule), Vec::new());
        prop_assert!(schedule.makespan_s >= project.critical_path_s(), "beats the longest chain");
        prop_assert_eq!(&planned(&project), &schedule, "the same twice");
    }
}

#[test]
fn two_hands_halve_independent_work() {
    let four = vec![task(60, 1); 4];
    let alone = planned(&Project::new(four.clone(), vec![], vec![], 1).unwrap());
    let both = planned(&Project::new(four, vec![], vec![], 2).unwrap());
    assert_eq!((alone.makespan_s, both.makespan_s), (240, 120), "{both:?}");
}

#[test]
fn a_lag_holds_no_hands() {
    // Mist, five minutes' wait, mist again; something else to do meanwhile.
    let tasks = vec![task(60, 1), task(60, 1), task(300, 1)];
    let project = Project::new(tasks, vec![after(0, 1, 300)], vec![], 1).unwrap();
    let schedule = planned(&project);
    assert_eq!(schedule.makespan_s, 420, "{schedule:?}");
}

#[test]
fn a_limit_is_worth_more_than_a_short_day() {
    // Task 0 starts a clock of 10 s that task 1's end must meet; task 2 is long and unrelated.
    let tasks = vec![
        Task { hold_back: true, ..task(4, 1) },
        Task { earliest_s: 30, ..task(4, 1) },
        task(20, 1),
    ];
    let limit = Limit { before: 0, from: Edge::Start, after: 1, to: Edge::End, within_s: 10 };
    let project = Project::new(tasks, vec![after(0, 1, 0)], vec![limit], 1).unwrap();
    let schedule = planned(&project);
    assert_eq!(schedule.overruns, [], "{schedule:?}");
    assert_eq!(schedule.placed[0].start_s, 26, "held back to just before it is needed");
}

#[test]
fn an_overrun_that_cannot_be_helped_is_told() {
    let limit = Limit { before: 0, from: Edge::Start, after: 1, to: Edge::End, within_s: 50 };
    let tasks = vec![task(30, 1), task(30, 1)];
    let project = Project::new(tasks, vec![after(0, 1, 5)], vec![limit], 3).unwrap();
    assert_eq!(planned(&project).overruns, [Overrun { limit: 0, by_s: 15 }], "30 + 5 + 30 − 50");
}

#[test]
fn what_cannot_be_planned_is_refused() {
    let two = || vec![task(5, 1), task(5, 1)];
    let ring = vec![after(0, 1, 0), after(1, 0, 0)];
    assert!(matches!(Project::new(two(), ring, vec![], 1), Err(ScheduleError::Ring { .. })));
    assert_eq!(Project::new(two(), vec![], vec![], 0), Err(ScheduleError::NoCrew));
    assert!(matches!(
        Project::new(vec![task(5, 3)], vec![], vec![], 2),
        Err(ScheduleError::Hands { task: 0, hands: 3, crew: 2 })
    ));
    assert!(matches!(
        Project::new(two(), vec![after(0, 7, 0)], vec![], 1),
        Err(ScheduleError::NoSuchTask { task: 7 })
    ));
    for duration_s in [0, -5, i64::MAX] {
        assert!(matches!(
            Project::new(vec![task(duration_s, 1)], vec![], vec![], 1),
            Err(ScheduleError::Time { task: 0 })
        ));
    }
}

#[test]
fn faults_are_seen() {
    let project =
        Project::new(vec![task(5, 1), task(5, 1)], vec![after(0, 1, 2)], vec![], 1).unwrap();
    let good = planned(&project);
    let mut early = good.clone();
    early.placed[1] = Placed { start_s: 4, end_s: 9, workers: vec![0] };
    early.makespan_s = 9;
    assert_eq!(
        faults(&project, &early),
        [
            Fault::TwoPlaces { worker: 0, one: 0, other: 1 },
            Fault::TooSoon { task: 1 },
            Fault::Impossible
        ]
    );
    let mut nobody = good;
    nobody.placed[0].workers.clear();
    assert_eq!(faults(&project, &nobody), [Fault::Hands { task: 0 }]);
}

/// Two fill and pour side by side: one of them fills all, the other pours all, as far as both are at work.
#[test]
fn a_worker_goes_on_with_a_kind_of_work() {
    let of = |role: u32| Task { role: Some(role), ..task(10, 1) };
    // Fill 0, pour 1, fill 2, pour 3 ...
    let tasks: Vec<Task> = (0..12).map(|at| of(at % 2)).collect();
    let mut links: Vec<Link> = (0..6).map(|pair| after(2 * pair, 2 * pair + 1, 0)).collect();
    links.extend((0..10).map(|before| after(before, before + 2, 0)));
    let project = Project::new(tasks, links, Vec::new(), 2).unwrap();
    let schedule = planned(&project);
    assert_eq!(schedule.makespan_s, 70, "each pour while the next is filled");
    let who = |task: usize| schedule.placed[task].workers[0];
    for task in 2..12 {
        assert_eq!(who(task), who(task - 2), "{:?}", schedule.placed);
    }
    assert_ne!(who(0), who(1));
}

#[test]
fn nothing_to_do_takes_no_time() {
    let project = Project::new(vec![], vec![], vec![], 2).unwrap();
    assert_eq!(planned(&project).makespan_s, 0);
}

#[test]
fn the_least_span_is_the_longest_chain() {
    // 0 → 1 → 3 and 0 → 2 → 3; 4 stands alone.
    let tasks = [5, 7, 2, 3, 1].map(|duration_s| task(duration_s, 1)).to_vec();
    let links = vec![after(0, 1, 0), after(0, 2, 10), after(1, 3, 0), after(2, 3, 1)];
    let project = Project::new(tasks, links, Vec::new(), 9).unwrap();
    let span = |before, from, after, to| {
        project.least_span_s(&Limit { before, from, after, to, within_s: 0 })
    };
    assert_eq!(span(0, Edge::Start, 3, Edge::End), Some(5 + 10 + 2 + 1 + 3));
    assert_eq!(span(0, Edge::End, 3, Edge::Start), Some(10 + 2 + 1));
    assert_eq!(span(1, Edge::Start, 3, Edge::Start), Some(7));
    assert_eq!(span(0, Edge::Start, 4, Edge::End), None, "no chain leads there");
}

proptest! {
    #[test]
    fn no_schedule_is_quicker_than_a_least_span(project in small_project(9)) {
        let schedule = planned(&project);
        for limit in project.limits() {
            let at = |task: usize, edge| match edge {
                Edge::Start => schedule.placed[task].start_s,
                Edge::End => schedule.placed[task].end_s,
            };
            let span_s = at(limit.after, limit.to) - at(limit.before, limit.from);
            if let Some(least_s) = project.least_span_s(limit) {
                prop_assert!(span_s >= least_s, "{span_s} below {least_s} for {limit:?}");
            }
        }
    }
}
