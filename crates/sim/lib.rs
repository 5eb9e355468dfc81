//! A scenario and a seed become a flight log with known truth. Pure: no files, no clock, no global state.
//!
//! ```
//! use driftless_sim::{reference, simulate};
//! let options = reference::Options::default();
//! let scenario = reference::flight(reference::AirClass::Light, 3, &options);
//! let flight = simulate(&scenario, 3)?;
//! let log = flight.to_log();
//! let window = &flight.truth.windows[0];
//! let did = flight.truth.realised_rate(window.start_s, window.end_s);
//! // What the aircraft did and what the set-up does differ by what turbulence put into the window.
//! assert!((did.deg_s() - window.steady_rate.deg_s()).abs() < 1.0);
//! assert!(log.fixes.len() > 300);
//! # Ok::<(), driftless_sim::SimError>(())
//! ```
//!
//! # The model
//! **Aircraft.** Each power setting has a true airspeed and a climb, reached with first-order lags. Bank and turn are
//! coupled: ω = g tan φ / V. The pilot asks for turn rates and the bank follows with the roll lag; after let-go it
//! goes over to the bank of the residual turn with its own time constant. The residual turn is given outright or by
//! the torque model ([`torque`]). Airspeed does not rise in turns and gusts do not change it.
//!
//! **Air.** A mean wind with shear and veer over height, a slow change in time, gusts (first-order Markov, or Dryden
//! with the low-altitude scales of MIL-F-8785C, 1980), a wander of the turn rate, and thermals (Gaussian updraughts).
//! Every slow or correlated random quantity but the Dryden gusts across the path is a first-order Markov process,
//! stepped exactly. The air carries the aircraft: ground velocity = wind + gust + airspeed along the heading.
//!
//! **Logger.** White and slow position error, Doppler velocity, dropouts, spikes, latency, rounding.
//!
//! **Inertial sensor.** Rotation and specific force of the pilot under the wing, with swing, twist, vibration, sensor
//! errors and a clock of its own.
//!
//! **Randomness.** ChaCha with one stream per source ([`rand_chacha`]); elementary functions from `libm`, compiled
//! from source, so that a flight is the same to the bit on every machine.

mod atmosphere;
pub mod campaign;
mod dryden;
mod error;
mod flight;
mod fly;
mod geodesy;
mod imu;
mod noise;
mod receiver_filter;
pub mod reference;
mod rotation;
pub mod scenario;
mod sensors;
pub mod torque;
mod truth;
mod write;

pub use error::SimError;
pub use flight::{SimulatedFlight, simulate, simulate_within};
pub use imu::ImuSample;
pub use scenario::Scenario;
pub use truth::{STEP_S, Truth, TruthStep, TruthWindow};
pub use write::{Rendered, render, render_within};
