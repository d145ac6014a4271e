//! Work shared out to every core, the answers in the order of the work.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Pieces taken at a time.
const CHUNK: usize = 8;
/// More threads than this gain nothing here.
const MOST_HANDS: usize = 16;

/// `work` done to each piece, with its place. The order of the answers, and so the whole, is the same
/// however many hands there are.
pub(super) fn shared_out<T: Sync, R: Send>(
    pieces: &[T],
    work: impl Fn(usize, &T) -> R + Sync,
) -> Vec<R> {
    let hands = std::thread::available_parallelism().map_or(1, NonZero::get).min(MOST_HANDS);
    if hands < 2 || pieces.len() <= CHUNK {
        return pieces.iter().enumerate().map(|(at, piece)| work(at, piece)).collect();
    }
    let next = AtomicUsize::new(0);
    let turn = || {
        let mut mine: Vec<(usize, Vec<R>)> = Vec::new();
        loop {
            let start = next.fetch_add(CHUNK, Ordering::Relaxed);
            if start >= pieces.len() {
                return mine;
            }
            let end = (start + CHUNK).min(pieces.len());
            let done = pieces[start..end].iter().enumerate();
            mine.push((start, done.map(|(at, piece)| work(start + at, piece)).collect()));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..hands).map(|_| scope.spawn(turn)).collect();
        let mut done = turn();
        for helper in helpers {
            match helper.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(start, _)| *start);
    done.into_iter().flat_map(|(_, part)| part).collect()
}
