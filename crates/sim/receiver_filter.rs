//! What a receiver does to positions before it writes them down.

use crate::scenario::ReceiverFilter;

/// The filter of one log, fix by fix.
#[derive(Debug, Clone)]
pub(crate) struct Smoother {
    filter: Option<ReceiverFilter>,
    interval_s: f64,
    /// Place and velocity, m and m/s, once there was a fix.
    state: Option<([f64; 2], [f64; 2])>,
}

impl Smoother {
    pub(crate) fn new(filter: Option<ReceiverFilter>, interval_s: f64) -> Self {
        Self { filter, interval_s, state: None }
    }

    /// The place that is written down for a place that was measured.
    pub(crate) fn smooth(&mut self, measured_m: [f64; 2]) -> [f64; 2] {
        let Some(filter) = self.filter else { return measured_m };
        let Some((place, velocity)) = &mut self.state else {
            self.state = Some((measured_m, [0.0; 2]));
            return measured_m;
        };
        for (axis, measured) in measured_m.into_iter().enumerate() {
            match filter {
                ReceiverFilter::LowPass(tau_s) => {
                    place[axis] += (1.0 - libm::exp(-self.interval_s / tau_s)) * (measured - place[axis]);
                }
                ReceiverFilter::AlphaBeta { alpha, beta } => {
                    let expected = place[axis] + self.interval_s * velocity[axis];
                    let missed = measured - expected;
                    place[axis] = expected + alpha * missed;
                    velocity[axis] += beta / self.interval_s * missed;
                }
            }
        }
        *place
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In steady motion a first-order low-pass lags by its time constant in continuous time; sampled, by Δt/(e^(Δt/τ) - 1)
    /// (sum of the geometric series).
    #[test]
    fn derived_low_pass_is_late_by_its_time_constant() {
        let (tau_s, interval_s, speed_mps) = (3.0, 1.0, 10.0);
        let mut smoother = Smoother::new(Some(ReceiverFilter::LowPass(tau_s)), interval_s);
        let last = (0..100).map(|i| smoother.smooth([speed_mps * f64::from(i) * interval_s, 0.0])).last();
        let late_s = 99.0 - last.expect("a fix")[0] / speed_mps;
        assert!((late_s - interval_s / ((interval_s / tau_s).exp() - 1.0)).abs() < 1e-9, "{late_s}");
    }

    /// An alpha-beta tracker follows steady motion without lag.
    #[test]
    fn derived_alpha_beta_tracker_has_no_lag_in_steady_motion() {
        let mut smoother = Smoother::new(Some(ReceiverFilter::AlphaBeta { alpha: 0.4, beta: 0.08 }), 1.0);
        let last = (0..200).map(|i| smoother.smooth([10.0 * f64::from(i), 0.0])).last();
        assert!((last.expect("a fix")[0] - 1990.0).abs() < 1e-6);
    }
}
