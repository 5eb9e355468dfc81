//! The gyro as a measurement of the whole-flight estimate: heading changes between its nodes.
//!
//! The heading of the pilot is that of the aircraft plus his twist about it. Twist comes and goes within a swing, so the
//! heading is averaged over the swing period before it is read at the nodes ([`AttitudePath::smooth_heading`]).

use crate::align::Alignment;
#[cfg(doc)]
use crate::attitude::AttitudePath;
use crate::constants::{
    BIAS_AFTER_STILL_RAD_S, BIAS_OPEN_RAD_S, BIAS_WALK, LEAST_HEADING_RAD, LEFT_SHARE, TWIST_MEAN_S, WALK_OPEN,
};
use crate::robust::spread;

/// One measurement: the mean turn rate of the pilot from one node to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateMeasurement {
    /// Track time of the first node, seconds.
    pub start_s: f64,
    /// Track time of the second.
    pub end_s: f64,
    /// Mean rate about the vertical: the heading change over the time, rad/s, right positive, scale corrected.
    pub mean_rate_rad_s: f64,
    /// Standard uncertainty of the heading at each end, rad: what is left of the twist. It belongs to the node: the
    /// error of the next measurement begins with that with which this one ends, and the sum over a window has only
    /// those of its two ends.
    pub end_std_u_rad: f64,
    /// Standard uncertainty of the change from the gyro's white noise, rad: independent from one to the next.
    pub white_std_u_rad: f64,
}

/// The measurements of a flight, and the slow error they share.
#[derive(Debug, Clone, PartialEq)]
pub struct RateSeries {
    /// In time order; nodes in a gap of the gyro, or far from upright (aerobatics), have none.
    pub measurements: Vec<RateMeasurement>,
    /// Bias left in every rate at the middle of the flight: best value and uncertainty before this flight's GPS is
    /// looked at, rad/s. (The value found by alignment is the place to start from; to use its small uncertainty too would
    /// count the GPS twice.)
    pub bias_prior_rad_s: [f64; 2],
    /// Random walk of the bias, rad/s per √s.
    pub bias_walk: f64,
    /// Standard uncertainty of the scale, common to all rates.
    pub scale_std_u: f64,
    /// Period over which the swing was averaged, seconds.
    pub swing_period_s: f64,
}

impl Alignment {
    /// Gyro headings at track times, averaged over the swing; `None` where the gyro has a gap. Zero unknown, scale
    /// corrected, bias left in.
    pub fn headings_rad(&self, track_s: &[f64], swing_period_s: f64) -> Vec<Option<f64>> {
        track_s
            .iter()
            .map(|&t| Some(self.scale.value * self.path.smooth_heading(self.sensor_s(t), swing_period_s)?))
            .collect()
    }

    /// Measurements between neighbouring node times. `angle_random_walk` is that of the gyro, rad per √s, where it is
    /// known.
    pub fn rate_series(&self, node_s: &[f64], swing_period_s: f64, angle_random_walk: Option<f64>) -> RateSeries {
        let headings = self.headings_rad(node_s, swing_period_s);
        let end_std_u_rad = (LEFT_SHARE.value * self.twist_rad(node_s, swing_period_s)).max(LEAST_HEADING_RAD.value);
        let walk = angle_random_walk.unwrap_or(WALK_OPEN.value);
        let run = |t_s: f64| self.path.run_at(self.sensor_s(t_s));
        let measurements = node_s
            .windows(2)
            .zip(headings.windows(2))
            .filter_map(|(t, h)| {
                let (from, to) = (h[0]?, h[1]?);
                let length_s = t[1] - t[0];
                let steep = self.path.is_steep([self.sensor_s(t[0]), self.sensor_s(t[1])]);
                (length_s > 0.0 && !steep && run(t[0]) == run(t[1])).then(|| RateMeasurement {
                    start_s: t[0],
                    end_s: t[1],
                    mean_rate_rad_s: (to - from) / length_s,
                    end_std_u_rad,
                    white_std_u_rad: walk * length_s.sqrt(),
                })
            })
            .collect();
        let before = if self.still.is_some() { BIAS_AFTER_STILL_RAD_S.value } else { BIAS_OPEN_RAD_S.value };
        RateSeries {
            measurements,
            bias_prior_rad_s: [self.bias_rad_s.value * self.scale.value, before],
            bias_walk: BIAS_WALK.value,
            scale_std_u: self.scale.std_u,
            swing_period_s,
        }
    }

    /// Size of the twist: spread of the heading about its own mean over a swing.
    fn twist_rad(&self, node_s: &[f64], period_s: f64) -> f64 {
        let about: Vec<f64> = node_s
            .iter()
            .filter_map(|&t| {
                let sensor_s = self.sensor_s(t);
                Some(
                    self.path.mean_heading(sensor_s, TWIST_MEAN_S.value)?
                        - self.path.smooth_heading(sensor_s, period_s)?,
                )
            })
            .collect();
        if about.is_empty() { LEAST_HEADING_RAD.value } else { spread(&about) }
    }
}
