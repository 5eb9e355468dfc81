//! What a sensor's clock that is off does to the positions.
//!
//! The flight is followed on the sensor's clock, and the track is read later or earlier by the state's clock error: a
//! position moves by the velocity over the ground times that, a recorded velocity by the acceleration.
//!
//! Motion is taken from the trajectory, with the airspeed averaged and gusts left off. What is left in a trajectory
//! of gust and receiver noise would otherwise be fitted to the same noise in the positions half a step later, and be
//! taken for a clock. To shift the sensor's headings instead of the positions is worse still: their roughness holds a
//! clock fast that is off, as a shift in time alone does not make a path rougher, but its straight line does.

use super::blocks::air::wind_at;
use super::blocks::aircraft::{AIRSPEED, HEADING, turn_rate};
use super::constants::CLOCK_AVERAGED_NODES;
use super::state::Vector;

/// Motion over the ground of a flight without its gusts, at one node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Motion {
    /// East and north.
    pub(super) velocity_mps: [f64; 2],
    /// East and north.
    pub(super) acceleration_mps2: [f64; 2],
}

/// Motion at each node of a trajectory.
pub(super) fn motions<const N: usize>(trajectory: &[Vector<N>], heights_m: &[f64]) -> Vec<Motion> {
    let airspeeds_mps = moving_average(
        &trajectory.iter().map(|x| x[AIRSPEED]).collect::<Vec<_>>(),
        CLOCK_AVERAGED_NODES.value as usize,
    );
    trajectory
        .iter()
        .zip(heights_m)
        .zip(airspeeds_mps)
        .map(|((x, height_m), airspeed_mps)| {
            let x = x.as_slice();
            let (sin, cos) = x[HEADING].sin_cos();
            let [east, north] = wind_at(*height_m).map(|wind| wind.of(x));
            let across = airspeed_mps * turn_rate(x).0;
            Motion {
                velocity_mps: [east + airspeed_mps * sin, north + airspeed_mps * cos],
                acceleration_mps2: [across * cos, -across * sin],
            }
        })
        .collect()
}

/// Means over `half` values on either side, fewer at the ends.
pub(super) fn moving_average(values: &[f64], half: usize) -> Vec<f64> {
    let mut sums = vec![0.0];
    sums.extend(values.iter().scan(0.0, |sum, value| {
        *sum += value;
        Some(*sum)
    }));
    (0..values.len())
        .map(|k| {
            let (low, high) = (k.saturating_sub(half), (k + half + 1).min(values.len()));
            (sums[high] - sums[low]) / (high - low) as f64
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::blocks::GYRO_DIM;
    use crate::flight::blocks::air::WIND_E;
    use crate::flight::blocks::aircraft::STEADY;

    #[test]
    fn derived_motion_is_wind_and_flight_along_the_heading() {
        let mut x = Vector::<GYRO_DIM>::zeros();
        (x[AIRSPEED], x[HEADING], x[STEADY], x[WIND_E]) = (10.0, 90.0_f64.to_radians(), 2.0, 3.0);
        let motion = motions(&[x, x, x], &[0.0; 3])[1];
        // Eastward at 10 m/s in a wind from the west of 3 m/s, turning right: the pull is to the south.
        for (found, meant) in [(motion.velocity_mps, [13.0, 0.0]), (motion.acceleration_mps2, [0.0, -2.0])] {
            assert!((found[0] - meant[0]).abs() < 1e-12 && (found[1] - meant[1]).abs() < 1e-12, "{motion:?}");
        }
    }

    #[test]
    fn means_are_shorter_at_the_ends() {
        assert_eq!(moving_average(&[1.0, 2.0, 6.0, 3.0], 1), [1.5, 3.0, 11.0 / 3.0, 4.5]);
        assert!(moving_average(&[], 3).is_empty());
    }
}
