//! The wind, and with it the flight through the air.
//!
//! * `circle`: circle fits in velocity space (centre = wind, radius = airspeed), their covariance.
//! * `drift`: the circle-drift (trochoid) model on positions: the second opinion of the report.
//! * `flight`: the whole-flight estimate: heading, turn rate, airspeed and wind at every node of the flight.
//! * `least_squares`: damped Gauss-Newton, shared by the fits.
//!
//! # A circle tells the wind
//!
//! A full turn at 10 m/s, one velocity every ten degrees, in a wind that carries the aircraft 3 m/s east and 2 m/s south:
//! the ground velocities lie on a circle of 10 m/s about that wind.
//!
//! ```
//! use driftless_units::{Angle, Ground, Velocity};
//! use driftless_wind::circle::fit_circle;
//!
//! let seen: Vec<Velocity<Ground>> = (0..36)
//!     .map(|k| {
//!         let (sin, cos) = Angle::from_deg(10.0 * f64::from(k)).rad().sin_cos();
//!         Velocity::new(3.0 + 10.0 * sin, -2.0 + 10.0 * cos)
//!     })
//!     .collect();
//! let fit = fit_circle(&seen)?;
//! // Velocities without error leave rounding only.
//! assert!((fit.wind.east_mps - 3.0).abs() < 1e-6 && (fit.wind.north_mps + 2.0).abs() < 1e-6);
//! assert!((fit.airspeed_mps.value - 10.0).abs() < 1e-6);
//! // Named by where it comes from: north-west by west.
//! assert!((fit.wind.from_deg() - 303.69).abs() < 0.01);
//! # Ok::<(), driftless_wind::circle::CircleError>(())
//! ```
//!
//! # From a track to the turn of a window
//!
//! [`flight::estimate`] takes a track and starts from such fits (each a [`flight::StartGuess`]; an empty list will do, as it
//! scans for starts of its own) and knows no windows. [`flight::estimate_with_windows`] takes its result and the steady
//! spans of the windows, and [`flight::FlightEstimate::window_turn`] then gives the turn of each span:
//!
//! ```no_run
//! use driftless_wind::flight::{EstimateError, SteadySpan, WindowTurn, estimate, estimate_with_windows};
//!
//! # fn turn(track: &driftless_track::Track) -> Result<Option<WindowTurn>, EstimateError> {
//! let free = estimate(track, &[])?;
//! let span = SteadySpan { start_s: 312.5, end_s: 360.0 };
//! let known = estimate_with_windows(track, &free, &[span])?;
//! let turn = known.window_turn(span);
//! # Ok(turn)
//! # }
//! ```

pub mod circle;
mod columns;
pub mod drift;
pub mod flight;
pub mod least_squares;
