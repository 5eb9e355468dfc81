//! Ordinary logs: what real receivers, pilots and days do, down the whole road and against the truth.
//!
//! * [`score`]: one flight against its truth; [`tables`]: the figures as tables.

pub mod score;
pub mod tables;

use crate::ValidateError;
use crate::run::in_parallel;
use crate::study::Seeds;
use driftless_sim::reference::Condition;
use score::{OrdinaryScore, fly};

/// The flights of one condition, in the order of seeds.
#[derive(Debug, Clone)]
pub struct OrdinaryStudy {
    /// What was out of the ordinary.
    pub condition: Condition,
    /// The flights.
    pub flights: Vec<OrdinaryScore>,
}

/// Flies so many flights under each condition with `jobs` threads. `done` is told of every flight as it lands, from any
/// thread. The result does not depend on the number of threads.
///
/// # Errors
/// The first [`ValidateError`] in the order of conditions and seeds.
pub fn run(
    conditions: &[Condition],
    flights: u64,
    seeds: Seeds,
    jobs: usize,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<OrdinaryStudy>, ValidateError> {
    let tasks: Vec<(Condition, u64)> =
        conditions.iter().flat_map(|&c| (0..flights).map(move |k| (c, seeds.first() + k))).collect();
    let scores = in_parallel(&tasks, jobs, |&(condition, seed)| {
        let scored = fly(condition, seed);
        done();
        scored
    })?;
    let mut scores = scores.into_iter();
    conditions
        .iter()
        .map(|&condition| {
            let flights = scores.by_ref().take(flights as usize).collect::<Result<_, _>>()?;
            Ok(OrdinaryStudy { condition, flights })
        })
        .collect()
}
