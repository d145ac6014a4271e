//! Work shared among threads.

/// Runs `work` on so many threads and gathers what they give.
pub(super) fn in_threads<T: Send>(threads: usize, work: impl Fn() -> Vec<T> + Sync) -> Vec<T> {
    std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..threads).map(|_| scope.spawn(&work)).collect();
        let mut all = work();
        for helper in helpers {
            match helper.join() {
                Ok(part) => all.extend(part),
                Err(trouble) => std::panic::resume_unwind(trouble),
            }
        }
        all
    })
}

/// How many threads are meant: 0 for as many as the machine has.
pub(super) fn thread_count(asked: usize) -> usize {
    let machine = || std::thread::available_parallelism().map_or(1, core::num::NonZero::get);
    if asked == 0 { machine() } else { asked }.clamp(1, 64)
}
