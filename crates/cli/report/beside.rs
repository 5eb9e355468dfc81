//! What became of the files given beside the logs.

use super::done::Done;
use crate::terminal;
use std::collections::BTreeMap;

/// Each file beside the logs belongs to every log of the run; it is of no use only where no log could use it.
#[derive(Default)]
pub(super) struct BesideFiles {
    analysed: usize,
    /// Each kind of fault: how many logs had it, and the words of the first.
    faults: BTreeMap<String, (usize, String)>,
}

impl BesideFiles {
    pub(super) fn take(&mut self, done: &Done) {
        let Some(faults) = &done.beside else { return };
        self.analysed += 1;
        for (code, words) in faults {
            self.faults.entry(code.clone()).or_insert_with(|| (0, words.clone())).0 += 1;
        }
    }

    /// Whoever names a file expects it to be used: says so where that could not be, and whether there was one.
    pub(super) fn tell(&self) -> bool {
        let of_no_use = self.faults.values().filter(|(logs, _)| *logs == self.analysed);
        of_no_use.map(|(_, words)| terminal::error(words)).count() > 0
    }
}
