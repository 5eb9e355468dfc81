//! How a run over many logs went.

use super::done::Done;
use crate::outcome::Outcome;
use crate::terminal;

/// Logs by what they came to.
#[derive(Debug, Default)]
pub(super) struct Tally {
    made: usize,
    nothing_usable: usize,
    failed: usize,
    passed_over: usize,
}

impl Tally {
    pub(super) fn take(&mut self, done: &Done) {
        *match done.outcome {
            _ if done.passed_over => &mut self.passed_over,
            Outcome::Made => &mut self.made,
            Outcome::NothingUsable => &mut self.nothing_usable,
            Outcome::Failed => &mut self.failed,
        } += 1;
    }

    pub(super) const fn done(&self) -> usize {
        self.made + self.nothing_usable + self.failed + self.passed_over
    }

    pub(super) const fn failed(&self) -> usize {
        self.failed
    }

    /// A failure counts most; else one result is a result.
    pub(super) fn outcome(&self) -> Outcome {
        let found = [(self.failed, Outcome::Failed), (self.made, Outcome::Made)];
        let outcomes: Vec<_> = found.iter().filter(|(count, _)| *count > 0).map(|(_, outcome)| *outcome).collect();
        Outcome::of_all(&outcomes)
    }

    /// The last line of a run over many logs.
    pub(super) fn tell(&self) {
        terminal::note(&self.words());
    }

    fn words(&self) -> String {
        let mut words = vec![format!("{} with turn rates", self.made)];
        if self.nothing_usable > 0 {
            words.push(format!("{} without a usable window", self.nothing_usable));
        }
        if self.failed > 0 {
            words.push(format!("{} failed", self.failed));
        }
        if self.passed_over > 0 {
            words.push(format!("{} passed over", self.passed_over));
        }
        let logs = if self.done() == 1 { "1 log".to_owned() } else { format!("{} logs", self.done()) };
        format!("{logs}: {}", words.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_line_counts_every_log_once() {
        let mut tally = Tally::default();
        assert_eq!((tally.words().as_str(), tally.outcome()), ("0 logs: 0 with turn rates", Outcome::NothingUsable));
        tally.take(&Done::of(Outcome::Made));
        assert_eq!((tally.words().as_str(), tally.outcome()), ("1 log: 1 with turn rates", Outcome::Made));
        tally.take(&Done { passed_over: true, ..Done::of(Outcome::Made) });
        tally.take(&Done::of(Outcome::NothingUsable));
        assert_eq!(tally.outcome(), Outcome::Made);
        tally.take(&Done::of(Outcome::Failed));
        assert_eq!(tally.words(), "4 logs: 1 with turn rates, 1 without a usable window, 1 failed, 1 passed over");
        assert_eq!((tally.done(), tally.failed(), tally.outcome()), (4, 1, Outcome::Failed));
    }
}
