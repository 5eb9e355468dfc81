//! Statistics of repeats: plain functions of numbers, no domain model, no I/O.
//!
//! Every function takes and gives values in one unit of the caller's choice (°/s in this workspace) and never drops a
//! run. Intervals are 95 % unless a probability is given.
//!
//! | module | question |
//! |---|---|
//! | [`random_effects`] | what is the mean of repeats, how far do they spread, which run stands apart? |
//! | [`shared_spread`] | what do the repeats of all cells say of the spread of each? |
//! | [`fieller`] | how much of the baseline's turn did a device take away? |
//! | [`compare`] | which of two set-ups keeps the smaller turn? |
//! | [`ranking`] | which of several set-ups turns least, and how sure is that? |
//! | [`agreement`] | do log and stopwatch agree on the same run? |
//! | [`stopwatch`] | how sure is a run timed by hand? |
//! | [`drift`] | does the aircraft hold its heading on straight flight? |
//! | [`regression`] | a straight line with errors in both variables |
//! | [`shrinkage`] | where does each pilot stand against the class? |
//! | [`plan`] | how many more runs, and of which cell? |

pub mod agreement;
pub mod compare;
pub mod distributions;
pub mod drift;
mod error;
pub mod fieller;
pub mod plan;
pub mod random_effects;
pub mod ranking;
pub mod regression;
pub mod same_day;
pub mod shared_spread;
pub mod shrinkage;
pub mod stopwatch;
#[cfg(test)]
mod testing;

pub use error::{StatisticsError, finite, positive, sound};
