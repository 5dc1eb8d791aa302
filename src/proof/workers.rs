//! Many visits shared out among a few worker threads. What comes of each depends on its number alone, so the
//! outcome is the same however many workers there are.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// More workers than this would only wait for memory.
const MOST_WORKERS: usize = 8;

/// Does `each` for every number below `count`, each worker with its own `tools`, and returns what came of
/// them in order. `progress` is told how many are through.
pub fn share_out<W, T: Send>(
    count: usize,
    tools: impl Fn() -> W + Sync,
    each: impl Fn(&mut W, usize) -> T + Sync,
    progress: &mut dyn FnMut(usize),
) -> Vec<T> {
    let workers = thread::available_parallelism().map_or(1, usize::from);
    let workers = workers.clamp(1, MOST_WORKERS).min(count.max(1));
    let next = AtomicUsize::new(0);
    let (done, through) = mpsc::channel();
    let mut all: Vec<(usize, T)> = Vec::with_capacity(count);
    thread::scope(|scope| {
        for _ in 0..workers {
            let (next, done, tools, each) = (&next, done.clone(), &tools, &each);
            scope.spawn(move || {
                let mut tools = tools();
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= count || done.send((number, each(&mut tools, number))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(done);
        for outcome in through {
            all.push(outcome);
            progress(all.len());
        }
    });
    all.sort_by_key(|(number, _)| *number);
    all.into_iter().map(|(_, outcome)| outcome).collect()
}

#[cfg(test)]
mod tests {
    use super::share_out;

    #[test]
    fn everything_is_done_once_and_comes_back_in_order() {
        let mut seen = Vec::new();
        let squares = share_out(50, || (), |(), n| n * n, &mut |through| seen.push(through));
        assert_eq!(squares, (0..50).map(|n| n * n).collect::<Vec<_>>());
        assert_eq!(seen, (1..=50).collect::<Vec<_>>());
        assert!(share_out(0, || (), |(), n| n, &mut |_| {}).is_empty());
    }
}
