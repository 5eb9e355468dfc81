//! Two analyses at a time: each takes a core and the memory of a flight.

use std::sync::{Condvar, Mutex, PoisonError};

/// Analyses that run side by side; further ones wait.
pub(crate) const SIDE_BY_SIDE: usize = 2;

/// The gate that each analysis passes.
#[derive(Debug, Default)]
pub(crate) struct Gate {
    inside: Mutex<usize>,
    left: Condvar,
}

/// A place inside, given back when it is dropped.
pub(crate) struct Inside<'a>(&'a Gate);

impl Gate {
    /// Waits for a place.
    pub(crate) fn enter(&self) -> Inside<'_> {
        let inside = self.inside.lock().unwrap_or_else(PoisonError::into_inner);
        let mut inside =
            self.left.wait_while(inside, |inside| *inside >= SIDE_BY_SIDE).unwrap_or_else(PoisonError::into_inner);
        *inside += 1;
        Inside(self)
    }
}

impl Drop for Inside<'_> {
    fn drop(&mut self) {
        let mut inside = self.0.inside.lock().unwrap_or_else(PoisonError::into_inner);
        *inside = inside.saturating_sub(1);
        self.0.left.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn never_more_than_two_are_inside() {
        let (gate, now, most) = (Gate::default(), AtomicUsize::new(0), AtomicUsize::new(0));
        std::thread::scope(|threads| {
            for _ in 0..8 {
                threads.spawn(|| {
                    for _ in 0..50 {
                        let place = gate.enter();
                        most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                        std::thread::yield_now();
                        now.fetch_sub(1, Ordering::SeqCst);
                        drop(place);
                    }
                });
            }
        });
        assert_eq!(most.load(Ordering::SeqCst), SIDE_BY_SIDE);
    }
}
