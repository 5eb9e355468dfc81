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
//! # From a path to the turn of a window
//!
//! [`flight::estimate`] takes a path over the ground and starts from such fits (each a [`flight::StartGuess`]; an empty list
//! will do, as it scans for starts of its own) and knows no windows. [`flight::estimate_with_windows`] takes its result and the
//! steady spans of the windows, and [`flight::FlightEstimate::window_turn`] then gives the turn of each span. A minute of
//! circles at 6 °/s in a wind of 3 m/s, then hands off with 2 °/s:
//!
//! ```
//! use driftless_units::{Angle, GroundPath, PathPoint, Position, Velocity, VelocitySource, Wind};
//! use driftless_wind::flight::{EstimateError, SteadySpan, estimate, estimate_with_windows};
//!
//! let wind = Wind::new(3.0, 0.0);
//! let (mut heading, mut here) = (Angle::from_deg(30.0), Position::new(0.0, 0.0));
//! let points = (0..180).map(|second| {
//!     let velocity = wind.ground_velocity(Velocity::from_speed_course(10.0, heading));
//!     let (t_s, position) = (f64::from(second), here);
//!     here = Position::new(here.east_m + velocity.east_mps, here.north_m + velocity.north_mps);
//!     heading = Angle::from_deg(heading.deg() + if second < 60 { 6.0 } else { 2.0 });
//!     PathPoint { t_s, position, altitude_m: None, velocity, velocity_source: VelocitySource::Positions }
//! });
//! let path = GroundPath { points: points.collect(), ..GroundPath::default() };
//!
//! let free = estimate(&path, &[])?;
//! let span = SteadySpan { start_s: 70.0, end_s: 170.0, marked: true };
//! let turn = estimate_with_windows(&path, &free, &[span])?.window_turn(span).expect("a span it was told of");
//! assert!((turn.turn_rate.value.deg_s() - 2.0).abs() < 0.01, "{:?}", turn.turn_rate);
//! # Ok::<(), EstimateError>(())
//! ```

pub mod circle;
mod columns;
pub mod drift;
pub mod flight;
pub mod least_squares;
