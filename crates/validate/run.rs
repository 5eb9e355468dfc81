//! Many flights in parallel. Each is a pure function of class, variant and seed, and results are kept in the order of
//! seeds, so nothing depends on the number of threads.

use crate::ValidateError;
use crate::score::{FlightScore, score};
use crate::study::{Seeds, Study};
use rayon::prelude::*;

/// A study and the scores of its flights, in the order of seeds.
#[derive(Debug, Clone)]
pub struct StudyScore {
    /// What was flown.
    pub study: Study,
    /// The flights.
    pub flights: Vec<FlightScore>,
}

/// How many flights a plan holds.
pub fn flights(plan: &[Study]) -> u64 {
    plan.iter().map(|s| s.flights).sum()
}

/// Flies a plan with `jobs` threads. `done` is told of every flight as it lands, from any thread.
///
/// # Errors
/// The first [`ValidateError`] in the order of the plan.
pub fn run(
    plan: &[Study],
    seeds: Seeds,
    jobs: usize,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<StudyScore>, ValidateError> {
    let tasks: Vec<(usize, u64)> =
        plan.iter().enumerate().flat_map(|(i, s)| (0..s.flights).map(move |k| (i, seeds.first() + k))).collect();
    let scores = in_parallel(&tasks, jobs, |&(i, seed)| {
        let scored = score(plan[i].class, plan[i].variant, seed);
        done();
        scored
    })?;
    let mut scores = scores.into_iter();
    plan.iter()
        .map(|&study| {
            let flights = scores.by_ref().take(study.flights as usize).collect::<Result<_, _>>()?;
            Ok(StudyScore { study, flights })
        })
        .collect()
}

/// Applies a function to every task, with so many threads; results in the order of tasks.
///
/// # Errors
/// [`ValidateError::Threads`] when the threads cannot be had.
pub(crate) fn in_parallel<T: Sync, R: Send>(
    tasks: &[T],
    jobs: usize,
    work: impl Fn(&T) -> R + Sync + Send,
) -> Result<Vec<R>, ValidateError> {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(jobs.max(1)).build();
    let pool = pool.map_err(|error| ValidateError::Threads(error.to_string()))?;
    Ok(pool.install(|| tasks.par_iter().with_max_len(1).map(work).collect()))
}
