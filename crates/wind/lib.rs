//! The wind, and with it the flight through the air.
//!
//! * `circle`: circle fits in velocity space (centre = wind, radius = airspeed), their covariance, concentric circles.
//! * `drift`: the circle-drift (trochoid) model on positions: the second opinion of the report.
//! * `flight`: the whole-flight estimate: heading, turn rate, airspeed and wind at every node of the flight.
//! * `least_squares`: damped Gauss-Newton, shared by the fits.
//! * `triangle`: the wind triangle and the closed forms of the trade, used as checks.

pub mod circle;
pub mod drift;
pub mod flight;
pub mod least_squares;
pub mod triangle;
