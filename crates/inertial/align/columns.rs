//! Columns of a flight, owned: from an estimate, or straight from velocities when there is no estimate.

use super::FlightNodes;
use crate::constants::{DIRECTION_HALF_S, ROUGH_WIND_MPS, SLOWEST_AIR_MPS};
use driftless_units::wrap_pi_rad;

/// What [`FlightNodes`] points to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FlightColumns {
    /// Seconds from the track's epoch.
    pub t_s: Vec<f64>,
    /// Heading, unwrapped, rad.
    pub heading_rad: Vec<f64>,
    /// Turn rate, rad/s.
    pub turn_rate_rad_s: Vec<f64>,
    /// Its standard uncertainty, rad/s.
    pub turn_rate_std_u_rad_s: Vec<f64>,
    /// True airspeed, m/s.
    pub airspeed_mps: Vec<f64>,
    /// How far the wind behind these headings may be off over the whole flight, m/s per axis.
    pub wind_std_u_mps: f64,
}

impl FlightColumns {
    /// The view that alignment takes.
    pub fn nodes(&self) -> FlightNodes<'_> {
        FlightNodes {
            t_s: &self.t_s,
            heading_rad: &self.heading_rad,
            turn_rate_rad_s: &self.turn_rate_rad_s,
            turn_rate_std_u_rad_s: &self.turn_rate_std_u_rad_s,
            airspeed_mps: &self.airspeed_mps,
            wind_std_u_mps: self.wind_std_u_mps,
        }
    }

    /// Headings as directions of ground velocity less one wind: the stand-in where no whole-flight estimate could be
    /// made (aerobatics, too short). `velocity_mps` is east and north, with a standard uncertainty per axis; times rise
    /// strictly. Slow moments are left out.
    pub fn from_velocities(t_s: &[f64], velocity_mps: &[[f64; 2]], wind_mps: [f64; 2], std_u_mps: f64) -> Self {
        let mut columns = Self { wind_std_u_mps: ROUGH_WIND_MPS.value, ..Self::default() };
        for (&t, v) in t_s.iter().zip(velocity_mps) {
            let (east, north) = (v[0] - wind_mps[0], v[1] - wind_mps[1]);
            let speed_mps = east.hypot(north);
            if speed_mps < SLOWEST_AIR_MPS.value {
                continue;
            }
            let direction = east.atan2(north);
            let before = columns.heading_rad.last().copied().unwrap_or(direction);
            columns.t_s.push(t);
            columns.heading_rad.push(before + wrap_pi_rad(direction - before));
            columns.airspeed_mps.push(speed_mps);
        }
        for i in 0..columns.t_s.len() {
            let (low, high) = (
                columns.t_s.partition_point(|&t| t < columns.t_s[i] - DIRECTION_HALF_S.value - 1e-6),
                columns.t_s.partition_point(|&t| t <= columns.t_s[i] + DIRECTION_HALF_S.value + 1e-6) - 1,
            );
            let length_s = (columns.t_s[high] - columns.t_s[low]).max(1e-3);
            let change = columns.heading_rad[high] - columns.heading_rad[low];
            columns.turn_rate_rad_s.push(if high > low { change / length_s } else { 0.0 });
            let std_u = std::f64::consts::SQRT_2 * std_u_mps / columns.airspeed_mps[i] / (2.0 * DIRECTION_HALF_S.value);
            columns.turn_rate_std_u_rad_s.push(std_u);
        }
        columns
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The golden trochoid (10 m/s, +6 °/s, wind from 250° at 4 m/s): taking the wind off gives the turn.
    #[test]
    fn derived_a_circle_in_wind_turns_evenly() {
        let t_s: Vec<f64> = (0..400).map(|k| 0.2 * f64::from(k)).collect();
        let wind = [3.758_770_483_2, 1.368_080_573_3];
        let velocities: Vec<[f64; 2]> = t_s
            .iter()
            .map(|t| {
                let heading = (30.0 + 6.0 * t).to_radians();
                [wind[0] + 10.0 * heading.sin(), wind[1] + 10.0 * heading.cos()]
            })
            .collect();
        let columns = FlightColumns::from_velocities(&t_s, &velocities, wind, 0.3);
        assert!(columns.turn_rate_rad_s.iter().all(|r| (r.to_degrees() - 6.0).abs() < 1e-6));
        assert!((columns.heading_rad[399] - columns.heading_rad[0] - (6.0_f64 * 79.8).to_radians()).abs() < 1e-9);
    }
}
