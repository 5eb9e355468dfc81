//! Circle and circle-drift fits: 60, 600 and 6,000 points.

use criterion::{Criterion, criterion_group, criterion_main};
use driftless_units::{Angle, Ground, Position, Velocity, Wind};
use driftless_wind::circle::fit_circle;
use driftless_wind::drift::{WindPrior, fit_drift};
use std::hint::black_box;

/// Small repeatable disturbance in [-1, 1].
fn shake(i: usize) -> f64 {
    (i as f64 * 12.9898).sin()
}

fn velocities(n: usize) -> Vec<Velocity<Ground>> {
    let wind = Wind::new(3.0, -2.0);
    (0..n)
        .map(|i| {
            let air = Velocity::from_speed_course(11.0 + 0.4 * shake(i), Angle::from_deg(400.0 * i as f64 / n as f64));
            wind.ground_velocity(air)
        })
        .collect()
}

fn benches(c: &mut Criterion) {
    for n in [60, 600, 6_000] {
        let v = velocities(n);
        c.bench_function(&format!("circle robust with covariance {n}"), |b| b.iter(|| fit_circle(black_box(&v))));
    }
    for n in [60, 600, 6_000] {
        let t: Vec<f64> = (0..n).map(|i| 60.0 * i as f64 / n as f64).collect();
        let rate = 4f64.to_radians();
        let p: Vec<Position<Ground>> = t
            .iter()
            .enumerate()
            .map(|(i, t)| {
                let heading = 0.4 + rate * t;
                Position::new(
                    3.0 * t - 11.0 / rate * heading.cos() + 0.5 * shake(i),
                    11.0 / rate * heading.sin() + 0.5 * shake(7 * i),
                )
            })
            .collect();
        let prior = WindPrior::vague();
        c.bench_function(&format!("circle-drift scan, refinement, covariance {n}"), |b| {
            b.iter(|| fit_drift(black_box(&t), black_box(&p), &prior));
        });
    }
}

criterion_group!(fits, benches);
criterion_main!(fits);
