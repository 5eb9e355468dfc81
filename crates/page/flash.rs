//! What was done, kept until the next screen says it.

use crate::layout::Told;
use std::collections::VecDeque;

/// Most that is kept: screens that nobody fetched leave theirs behind.
const MOST: usize = 32;

/// What is still to be said, by number.
#[derive(Debug, Default)]
pub(crate) struct Flash {
    next: u64,
    kept: VecDeque<(u64, Told)>,
}

impl Flash {
    /// Keeps it, and gives the number to ask for it.
    pub(crate) fn keep(&mut self, told: Told) -> u64 {
        if self.kept.len() >= MOST {
            self.kept.pop_front();
        }
        self.next += 1;
        self.kept.push_back((self.next, told));
        self.next
    }

    /// Gives it once.
    pub(crate) fn take(&mut self, number: &str) -> Option<Told> {
        let at = self.kept.iter().position(|(own, _)| number.parse() == Ok(*own))?;
        self.kept.remove(at).map(|(_, told)| told)
    }
}
