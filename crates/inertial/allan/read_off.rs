//! Angle random walk and bias instability from an Allan curve.

use super::AllanPoint;
use crate::constants::{RISE_SIGMAS, SLOPE_TOLERANCE, WHITE_MOST_S};
use std::f64::consts::{LN_2, PI};

/// What a rate sensor's Allan curve tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GyroNoise {
    /// Angle random walk N, in rate unit times √s: the heading error grows as N √t. `None` when no part of the curve
    /// falls like white noise.
    pub angle_random_walk: Option<f64>,
    /// The lowest that averaging brings the rate.
    pub bias_instability: Option<BiasInstability>,
}

/// Bias instability B, in the unit of the rates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BiasInstability {
    /// Lowest deviation over √(2 ln 2 / π) = 0.664.
    pub value: f64,
    /// Averaging time at which it is reached, seconds.
    pub tau_s: f64,
    /// The curve still falls at its end: the true value is smaller, the recording is too short to show it.
    pub upper_bound: bool,
}

impl BiasInstability {
    /// The lowest deviation itself, as the curve shows it.
    pub fn lowest(&self) -> f64 {
        self.value * flicker_floor()
    }
}

/// Lowest deviation over the bias instability of flicker noise.
fn flicker_floor() -> f64 {
    (2.0 * LN_2 / PI).sqrt()
}

/// Reads both figures off a curve.
///
/// Angle random walk: the mean of σ √τ over the points with slope about -1/2 (which is the value of the line at τ = 1 s);
/// bias instability: the flat lowest part over 0.664 (IEEE Std 952-1997, annex C, from memory).
pub fn read_off(curve: &[AllanPoint]) -> GyroNoise {
    GyroNoise { angle_random_walk: angle_random_walk(curve), bias_instability: bias_instability(curve) }
}

fn angle_random_walk(curve: &[AllanPoint]) -> Option<f64> {
    // Slopes over three points, so that one odd point does not decide.
    let white = curve.windows(3).filter(|w| {
        let slope = (w[2].deviation / w[0].deviation).ln() / (w[2].tau_s / w[0].tau_s).ln();
        w[1].tau_s <= WHITE_MOST_S.value && (slope + 0.5).abs() < SLOPE_TOLERANCE.value
    });
    let logs: Vec<f64> = white.map(|w| (w[1].deviation * w[1].tau_s.sqrt()).ln()).collect();
    (logs.len() >= 2).then(|| (logs.iter().sum::<f64>() / logs.len() as f64).exp())
}

fn bias_instability(curve: &[AllanPoint]) -> Option<BiasInstability> {
    let lowest = curve.iter().filter(|p| p.deviation > 0.0).min_by(|a, b| a.deviation.total_cmp(&b.deviation))?;
    let last = curve.last()?;
    let rise = last.deviation - lowest.deviation;
    let upper_bound = rise <= RISE_SIGMAS.value * last.relative_std_u * last.deviation;
    Some(BiasInstability { value: lowest.deviation / flicker_floor(), tau_s: lowest.tau_s, upper_bound })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(deviation: impl Fn(f64) -> f64) -> Vec<AllanPoint> {
        (0..32)
            .map(|k| 0.01 * 10_f64.powf(f64::from(k) / 8.0))
            .map(|tau_s| AllanPoint { tau_s, deviation: deviation(tau_s), relative_std_u: 0.05 })
            .collect()
    }

    /// White noise N, flicker floor 0.664 B and rate random walk K √(τ/3), added as squares (IEEE Std 952-1997).
    #[test]
    fn derived_curve_gives_its_coefficients_back() {
        let (n, b, k) = (0.01, 0.002, 0.0001);
        let whole = curve(|tau| (n * n / tau + (0.664 * b) * (0.664 * b) + k * k * tau / 3.0).sqrt());
        let noise = read_off(&whole);
        // The floor lifts the white part by under 2 % where its slope is still taken as white.
        assert!((noise.angle_random_walk.unwrap() / n - 1.0).abs() < 0.03, "{noise:?}");
        // The curve ends at 77 s, still falling: the floor cannot be told, only bounded.
        let bound = noise.bias_instability.unwrap();
        assert!(bound.upper_bound && bound.value >= b && bound.value < 1.5 * b, "{bound:?}");
        let rising = curve(|tau| (n * n / tau + 0.003 * 0.003 * tau).sqrt());
        let floor = read_off(&rising).bias_instability.unwrap();
        // The lowest point of that sum is √(2 N K) at τ = N/K.
        assert!(!floor.upper_bound && (floor.tau_s - n / 0.003).abs() < 1.0, "{floor:?}");
        assert!((floor.lowest() / floor.value - 0.664).abs() < 5e-4);
        assert!((floor.value - (2.0 * n * 0.003_f64).sqrt() / 0.664).abs() < 1e-4);
    }

    #[test]
    fn a_curve_without_white_noise_gives_no_random_walk() {
        assert_eq!(read_off(&curve(|_| 0.1)).angle_random_walk, None);
        assert_eq!(read_off(&[]), GyroNoise { angle_random_walk: None, bias_instability: None });
    }
}
