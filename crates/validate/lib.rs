//! The program against simulated flights whose truth is known.
//!
//! Every flight goes down the road that a user's log goes down: written as a file, read as a file, analysed by
//! [`driftless_analysis::analyse_flight`]. What comes out is held against the truth.
//!
//! * [`study`]: what is flown: the reference flights, and what is varied about them.
//! * [`score`]: one flight against its truth, window by window; [`unmarked`]: what was found without marks.
//! * `bound`: the posterior Cramér-Rao bound of each window, with the true noise levels.
//! * [`run`]: many flights in parallel; the result does not depend on the number of threads.
//! * [`inertial`]: the same with an inertial sensor: turn rates with it and without, clock, bias, scale, compass.
//! * [`ordinary`]: what real receivers, pilots and days do to a log.
//! * [`settling`]: passes that the whole-flight estimate takes to settle.
//! * [`campaigns`]: whole campaigns, drawn and flown: what cells and compensations hold.
//! * [`method`]: the tables of the method page, from the record of the estimate's constants.
//! * [`published`]: figures of other people, and what the program gets for them.
//! * [`statistics`]: means over windows with standard errors that know that windows of a flight err together.
//! * [`tables`]: the figures as tables; [`charts`]: as charts; [`page`]: both into a page.

mod bound;
pub mod campaigns;
pub mod charts;
mod error;
pub mod inertial;
pub mod method;
pub mod ordinary;
pub mod page;
pub mod published;
pub mod run;
pub mod score;
pub mod settling;
pub mod statistics;
pub mod study;
pub mod tables;
pub mod unmarked;

pub use error::ValidateError;
