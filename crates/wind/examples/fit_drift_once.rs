//! One circle-drift fit with its scan, for an instruction count or a profile: a minute of 600 positions.
//!
//! `valgrind --tool=callgrind --toggle-collect='driftless_wind::drift::fit_drift*' target/release/examples/fit_drift_once`

use driftless_units::{Ground, Position};
use driftless_wind::drift::{WindPrior, fit_drift};
use std::hint::black_box;

/// Positions.
const POINTS: usize = 600;

/// Small repeatable disturbance in [-1, 1].
fn shake(i: usize) -> f64 {
    (i as f64 * 12.9898).sin()
}

fn main() {
    let t_s: Vec<f64> = (0..POINTS).map(|i| 60.0 * i as f64 / POINTS as f64).collect();
    let rate_rad_s = 4_f64.to_radians();
    let positions: Vec<Position<Ground>> = t_s
        .iter()
        .enumerate()
        .map(|(i, t_s)| {
            let heading = 0.4 + rate_rad_s * t_s;
            Position::new(
                3.0 * t_s - 11.0 / rate_rad_s * heading.cos() + 0.5 * shake(i),
                11.0 / rate_rad_s * heading.sin() + 0.5 * shake(7 * i),
            )
        })
        .collect();
    let fit = fit_drift(black_box(&t_s), black_box(&positions), &WindPrior::vague());
    black_box(fit.is_ok());
}
