//! The vocabulary every other crate speaks: angles and how they wrap, turn rates, velocities that know their
//! frame, the wind, scenarios, and estimates that never travel without their uncertainty. And the few computations that more
//! than one crate needs: medians and robust weights, things in time order, the path that a flight is estimated from, the
//! standard atmosphere.
//!
//! Conventions, everywhere in the workspace: angles are clockwise from true north, a positive turn is to the
//! right (clockwise seen from above), the wind is named by where it comes *from*, and values are SI inside.
//!
//! ```
//! use driftless_units::{Angle, Ground, Velocity, Wind};
//! let ground = Velocity::<Ground>::from_speed_course(13.0, Angle::from_deg(90.0));
//! let wind = Wind::from_speed_from(3.0, Angle::from_deg(270.0));
//! // The only way from ground to air is by way of a wind.
//! let air = wind.air_velocity(ground);
//! assert!((air.speed_mps() - 10.0).abs() < 1e-12);
//! ```

mod angle;
pub mod atmosphere;
pub mod constant;
mod estimate;
mod excerpt;
mod frame;
mod path;
mod printable;
mod robust;
mod scenario;
mod series;
mod turn;

pub use angle::{Angle, wrap_180_deg, wrap_360_deg, wrap_pi_rad};
pub use estimate::{Estimate, Interval, Quantity, coverage_factor};
pub use excerpt::excerpt;
pub use frame::{Air, Frame, Ground, Position, Velocity, Wind};
pub use path::{GroundPath, PathPoint, VelocitySource};
pub use printable::{acts_on_display, printable, printable_lines};
pub use robust::{huber_weight, median, quantile};
pub use scenario::Scenario;
pub use series::{Neighbours, items_between};
pub use turn::{GRAVITY_MPS2, TurnRate, air_radius_m, bank_rad, load_factor};
