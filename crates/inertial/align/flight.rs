//! The flight as the whole-flight estimate sees it: what inertial data is aligned with.

use crate::constants::JOINED_S;
use crate::mounting::TurnAt;
use driftless_units::Neighbours;

/// Nodes of the whole-flight estimate, column by column, in time order. All slices have the same length.
#[derive(Debug, Clone, Copy)]
pub struct FlightNodes<'a> {
    /// Seconds from the track's epoch.
    pub t_s: &'a [f64],
    /// Heading, unwrapped, rad.
    pub heading_rad: &'a [f64],
    /// Turn rate, rad/s, right positive.
    pub turn_rate_rad_s: &'a [f64],
    /// Its standard uncertainty, rad/s.
    pub turn_rate_std_u_rad_s: &'a [f64],
    /// True airspeed, m/s.
    pub airspeed_mps: &'a [f64],
    /// How far the wind behind these headings may be off over the whole flight, m/s per axis.
    pub wind_std_u_mps: f64,
}

impl FlightNodes<'_> {
    /// First and last time; `None` when empty.
    pub fn span_s(&self) -> Option<[f64; 2]> {
        Some([*self.t_s.first()?, *self.t_s.last()?])
    }

    /// Turn rate and airspeed at a time, between nodes by a straight line; `None` outside and in gaps.
    pub fn turn_at(&self, t_s: f64) -> Option<TurnAt> {
        let (i, share) = self.between(t_s)?;
        let mix = |values: &[f64]| values[i] + share * (values[i + 1] - values[i]);
        Some(TurnAt { rate_rad_s: mix(self.turn_rate_rad_s), airspeed_mps: mix(self.airspeed_mps) })
    }

    /// Heading at a time, between nodes by a cubic with their turn rates; `None` outside and in gaps.
    pub fn heading_at(&self, t_s: f64) -> Option<f64> {
        let (i, x) = self.between(t_s)?;
        let step_s = self.t_s[i + 1] - self.t_s[i];
        let change = self.heading_rad[i + 1] - self.heading_rad[i];
        let (v0, v1) = (step_s * self.turn_rate_rad_s[i], step_s * self.turn_rate_rad_s[i + 1]);
        let (x2, x3) = (x * x, x * x * x);
        Some(self.heading_rad[i] + x * v0 + x2 * (3.0 * change - 2.0 * v0 - v1) + x3 * (v0 + v1 - 2.0 * change))
    }

    /// The node before a time, and how far between it and the next the time lies.
    fn between(&self, t_s: f64) -> Option<(usize, f64)> {
        let near =
            Neighbours::of(self.t_s, |t| *t, t_s).filter(|near| near.step_s > 0.0 && near.step_s <= JOINED_S.value)?;
        Some((near.at, near.share))
    }
}
