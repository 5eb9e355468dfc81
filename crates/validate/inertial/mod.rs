//! What inertial data adds, on simulated flights with a simulated sensor.
//!
//! Each flight goes down the road of `driftless report LOG --imu FILE` twice: once with the inertial file and once without,
//! so that GPS alone stands beside on the same windows of the same flights.
//!
//! * [`study`]: what is flown, and with which sensor.
//! * [`score`]: one flight against its truth: windows, clock, bias, scale, compass.
//! * `figures`: scores to figures; [`criteria`]: what is wanted, and whether it is met.
//! * [`tables`]: the figures as tables; [`chart`]: error by length of the window.

pub mod chart;
mod clock_bound;
pub mod criteria;
mod figures;
pub mod score;
pub mod study;
pub mod tables;

use crate::ValidateError;
use crate::run::in_parallel;
use crate::study::Seeds;
use score::{InertialScore, fly};
use study::InertialStudy;

/// A study and the scores of its flights, in the order of seeds.
#[derive(Debug, Clone)]
pub struct InertialStudyScore {
    /// What was flown.
    pub study: InertialStudy,
    /// The flights.
    pub flights: Vec<InertialScore>,
}

/// How many flights a plan holds.
pub fn flights(plan: &[InertialStudy]) -> u64 {
    plan.iter().map(|s| s.flights).sum()
}

/// Flies a plan with `jobs` threads. `done` is told of every flight as it lands, from any thread. The result does not
/// depend on the number of threads.
///
/// # Errors
/// The first [`ValidateError`] in the order of the plan.
pub fn run(
    plan: &[InertialStudy],
    seeds: Seeds,
    jobs: usize,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<InertialStudyScore>, ValidateError> {
    let tasks: Vec<(usize, u64)> =
        plan.iter().enumerate().flat_map(|(i, s)| (0..s.flights).map(move |k| (i, seeds.first() + k))).collect();
    let scores = in_parallel(&tasks, jobs, |&(i, seed)| {
        let scored = fly(plan[i].class, plan[i].kind, seed).map(|flown| flown.score());
        done();
        scored
    })?;
    let mut scores = scores.into_iter();
    plan.iter()
        .map(|&study| {
            let flights = scores.by_ref().take(study.flights as usize).collect::<Result<_, _>>()?;
            Ok(InertialStudyScore { study, flights })
        })
        .collect()
}
