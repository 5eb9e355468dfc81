//! Work done side by side and taken in order.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::channel;
use std::sync::{Condvar, Mutex, PoisonError};

/// How many pieces of work a thread may be ahead of the one that is taken next. It bounds what is held in memory where one
/// piece takes long and the others go on.
const AHEAD: usize = 8;

/// Does `count` pieces of work on so many threads, and takes the results one by one in the order of their numbers.
///
/// # Errors
/// The first that `take` gives; work that is not begun by then is left.
pub(super) fn in_order<T: Send, E>(
    count: usize,
    jobs: usize,
    work: impl Fn(usize) -> T + Sync,
    mut take: impl FnMut(usize, T) -> Result<(), E>,
) -> Result<(), E> {
    if jobs <= 1 || count <= 1 {
        return (0..count).try_for_each(|index| take(index, work(index)));
    }
    let gate = Gate { ahead: AHEAD * jobs, ..Gate::default() };
    let next = AtomicUsize::new(0);
    std::thread::scope(|threads| {
        let (sender, results) = channel();
        for _ in 0..jobs.min(count) {
            let (sender, gate, next, work) = (sender.clone(), &gate, &next, &work);
            threads.spawn(move || {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= count || !gate.wait_for(index) || sender.send((index, work(index))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(sender);
        let mut early = BTreeMap::new();
        let mut expected = 0;
        // Ends too when a thread panicked and its piece never comes; the scope then passes the panic on.
        while let Ok((index, result)) = results.recv() {
            early.insert(index, result);
            while let Some(result) = early.remove(&expected) {
                if let Err(error) = take(expected, result) {
                    gate.close();
                    return Err(error);
                }
                expected += 1;
                gate.taken(expected);
            }
        }
        Ok(())
    })
}

/// Lets no thread run too far ahead.
#[derive(Default)]
struct Gate {
    ahead: usize,
    taken: Mutex<usize>,
    moved: Condvar,
    closed: AtomicBool,
}

impl Gate {
    /// Waits until a piece may be begun; `false` when it is not wanted any more.
    fn wait_for(&self, index: usize) -> bool {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        while index >= *taken + self.ahead && !self.closed.load(Ordering::Relaxed) {
            taken = self.moved.wait(taken).unwrap_or_else(PoisonError::into_inner);
        }
        !self.closed.load(Ordering::Relaxed)
    }

    fn taken(&self, count: usize) {
        *self.taken.lock().unwrap_or_else(PoisonError::into_inner) = count;
        self.moved.notify_all();
    }

    fn close(&self) {
        // Under the lock, so that nobody falls asleep between looking and waiting.
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        self.closed.store(true, Ordering::Relaxed);
        drop(taken);
        self.moved.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn results_come_in_order_whoever_is_first() {
        for jobs in [1, 2, 7] {
            let mut taken = Vec::new();
            let slow_first = |index: usize| {
                std::thread::sleep(Duration::from_micros(if index.is_multiple_of(5) { 900 } else { 10 }));
                index * index
            };
            in_order(100, jobs, slow_first, |index, square| {
                taken.push((index, square));
                Ok::<(), ()>(())
            })
            .unwrap();
            assert_eq!(taken, (0..100).map(|index| (index, index * index)).collect::<Vec<_>>());
        }
    }

    #[test]
    fn nobody_runs_far_ahead_of_a_slow_one() {
        let begun = AtomicUsize::new(0);
        let most_ahead = AtomicUsize::new(0);
        let work = |index: usize| {
            begun.fetch_max(index + 1, Ordering::Relaxed);
            if index == 0 {
                std::thread::sleep(Duration::from_millis(50));
            }
        };
        in_order(1_000, 2, work, |index, ()| {
            most_ahead.fetch_max(begun.load(Ordering::Relaxed).saturating_sub(index), Ordering::Relaxed);
            Ok::<(), ()>(())
        })
        .unwrap();
        assert!(most_ahead.load(Ordering::Relaxed) <= 2 * AHEAD + 2, "{most_ahead:?}");
    }

    #[test]
    fn an_error_ends_it_soon_and_is_given_back() {
        let worked = AtomicUsize::new(0);
        let ended = in_order(
            10_000,
            3,
            |_| worked.fetch_add(1, Ordering::Relaxed),
            |index, _| if index == 5 { Err("enough") } else { Ok(()) },
        );
        assert_eq!(ended, Err("enough"));
        assert!(worked.load(Ordering::Relaxed) < 100, "{worked:?}");
    }
}
