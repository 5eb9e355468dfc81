//! The constants of inertial data: one record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

mod attitude;
mod clock;
mod compass;
mod gyro;
mod health;
mod mounting;
mod reading;
mod swing;

pub use attitude::*;
pub use clock::*;
pub use compass::*;
pub use gyro::*;
pub use health::*;
pub use mounting::*;
pub use reading::*;
pub use swing::*;

use driftless_units::constant::Group;

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 8] = [
    reading::GROUP,
    mounting::GROUP,
    attitude::GROUP,
    clock::GROUP,
    gyro::GROUP,
    health::GROUP,
    compass::GROUP,
    swing::GROUP,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A constant that is written down and not listed would be missing on the method page.
    #[test]
    fn every_constant_is_listed_once() {
        let written = [
            include_str!("constants/reading.rs"),
            include_str!("constants/mounting.rs"),
            include_str!("constants/attitude.rs"),
            include_str!("constants/clock.rs"),
            include_str!("constants/gyro.rs"),
            include_str!("constants/health.rs"),
            include_str!("constants/compass.rs"),
            include_str!("constants/swing.rs"),
        ];
        for (source, group) in written.into_iter().zip(GROUPS) {
            assert_eq!(source.matches(": Constant =").count(), group.constants.len(), "{}", group.title);
            let mut said: Vec<&str> = group.constants.iter().map(|c| c.what).collect();
            said.sort_unstable();
            said.dedup();
            assert_eq!(said.len(), group.constants.len(), "{}", group.title);
        }
    }
}
