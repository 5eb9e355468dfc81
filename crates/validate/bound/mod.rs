//! The posterior Cramér-Rao bound of a window's turn rates: what no unbiased estimate can beat on average.
//!
//! The model that made the flight is linearised about the TRUE trajectory, and the covariance of everything unknown is
//! carried along it with the TRUE noise levels (Van Trees, *Detection, Estimation, and Modulation Theory I* (1968),
//! section 2.4; Tichavský, Muravchik & Nehorai, *IEEE Trans. Signal Process.* 46 (1998) 1386-1396; both from
//! memory). At both ends of a window the heading is copied into the state; the copies learn from everything that comes
//! later, so at the end of the flight the covariance is that of the best smoother. The code shares nothing with the
//! estimate that it judges.
//!
//! # What is taken as known and unknown
//! - Known: positions at every fix with white and slow (Markov) error of the true sizes; slow change of the wind,
//!   gusts and yaw wander, Markov of the true sizes and correlation times; the form of shear and veer; height.
//! - Unknown: the mean wind; shear and veer, with a spread as large as they are; the turn rate the aircraft settles to
//!   in a window, constant there; airspeed, constant in a window.
//! - The pilot: outside windows turn rate and airspeed are random walks, as strong as this flight's own changes from
//!   second to second.
//! - [`Knowledge::LagsToo`] knows more than a log tells: that airspeed goes over to one trim airspeed per power setting with
//!   the known lag, at the known times, so that orbits and windows of a setting share it. That bound is lower still.
//! - [`Knowledge::FreerPilot`] shows what the assumption about the pilot is worth: that bound is higher.
//!
//! Averaged over flights as a mean square this is a bound on the mean square error (to first order: the error of the
//! linearisation is of second order in errors of a few degrees).

mod covariance;
mod model;

use driftless_sim::SimulatedFlight;

/// What the bound takes as known of the aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Knowledge {
    /// What a log tells.
    Log,
    /// That airspeed has one trim per power setting and how it gets there.
    LagsToo,
    /// What a log tells, of a pilot who is ten times as free between windows (variance of both walks).
    FreerPilot,
}

/// Smallest standard deviations possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Of `turn_rate`, °/s.
    pub turn_deg_s: f64,
    /// Of `steady_rate`, °/s.
    pub steady_deg_s: f64,
    /// Of the wind vector in the middle of the window (root of the sum of both variances), m/s.
    pub wind_mps: f64,
}

/// The bounds of windows `(start_s, end_s)`, given in the times of the truth, in time order, not overlapping.
pub(crate) fn bounds(flight: &SimulatedFlight, windows: &[(f64, f64)], knowledge: Knowledge) -> Vec<Bound> {
    model::Walk::new(flight, windows, knowledge).into_bounds()
}

#[cfg(test)]
mod tests;
