//! A first-order Markov process over one step, with its integrals.

/// Steps shorter than this times τ take the first term of the series: the closed form would lose its digits.
const SHORT: f64 = 0.02;

/// A first-order Markov process over one step: what is left of it, and its integral.
#[derive(Debug, Clone, Copy)]
pub(super) struct Markov {
    /// Share of the value left after the step.
    pub(super) decay: f64,
    /// Integral over the step per unit of the value, s.
    pub(super) reach_s: f64,
    /// Per unit of its stationary variance: variance gained, covariance with the integral, variance of the integral.
    pub(super) gained: [f64; 3],
    /// The same for the integral of the integral: covariance with the value, with the integral, variance.
    pub(super) gained_twice: [f64; 3],
}

impl Markov {
    /// Exact discretisation of dx = -x/τ dt + noise, y' = x (for instance Bar-Shalom, Li, Kirubarajan,
    /// *Estimation with Applications to Tracking and Navigation* (2001), section 8.2; from memory, and checked
    /// in the tests against many small steps).
    pub(super) fn over(dt_s: f64, tau_s: f64) -> Self {
        let decay = (-dt_s / tau_s).exp();
        let lost = -(-dt_s / tau_s).exp_m1();
        let reach_s = tau_s * lost;
        let lost_twice = -(-2.0 * dt_s / tau_s).exp_m1();
        let integral = 2.0 * tau_s * dt_s - 4.0 * tau_s * reach_s + tau_s * tau_s * lost_twice;
        Self {
            decay,
            reach_s,
            gained: [lost_twice, tau_s * lost * lost, integral.max(0.0)],
            gained_twice: Self::gained_twice(dt_s / tau_s, tau_s),
        }
    }

    /// Of the integral of the integral over a step of `a` times τ: sums of products of the answers to a kick. With v the
    /// time since the kick over τ they are exp(-v), τ (1 - exp(-v)) and τ² (v - 1 + exp(-v)).
    fn gained_twice(a: f64, tau_s: f64) -> [f64; 3] {
        let (tau2, a3) = (tau_s * tau_s, a * a * a);
        let units = [tau2, tau2 * tau_s, tau2 * tau2];
        let late = a * (-a).exp();
        let (lost, half_lost_twice) = (-(-a).exp_m1(), -0.5 * (-2.0 * a).exp_m1());
        let sums = if a < SHORT {
            [a3 / 3.0, a3 * a / 4.0, a3 * a * a / 10.0]
        } else {
            [
                2.0 * (half_lost_twice - late),
                2.0 * (0.5 * a * a - a + lost + late - half_lost_twice),
                2.0 * (a3 / 3.0 - a * a + a - 2.0 * late + half_lost_twice),
            ]
        };
        std::array::from_fn(|i| units[i] * sums[i])
    }
}
