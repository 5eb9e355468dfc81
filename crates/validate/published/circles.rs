//! The circle fit of the results: bias and spread over many drawn arcs.

use super::{Check, Group};
use driftless_units::{Ground, Velocity};
use driftless_wind::circle::fit_circle;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

const BIAS: &str = "A. Al-Sharadqah, N. Chernov, Electron. J. Statist. 3 (2009) 886-911 (σ²/2R; from memory)";
const BOUND: &str = "Y. T. Chan, S. M. Thomas, CVGIP 57 (1995) 527-532 (closed form derived), over 0.95, the efficiency of \
                     Huber's loss (P. J. Huber, Ann. Math. Statist. 35 (1964) 73-101)";

/// Share of the information that the loss keeps when errors are Gaussian.
const EFFICIENCY: f64 = 0.95;

pub(super) fn checks() -> Vec<Check> {
    [bias(), bound()].concat()
}

/// Errors of many fits of an arc about north: along and across its bisector, and of the radius.
fn errors(angles_deg: &[f64], sigma: f64, runs: u32, seed: u64) -> Vec<[f64; 3]> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut noise = || -> f64 { sigma * Distribution::<f64>::sample(&StandardNormal, &mut rng) };
    (0..runs)
        .map(|_| {
            let drawn: Vec<_> = angles_deg
                .iter()
                .map(|deg| {
                    let (sin, cos) = deg.to_radians().sin_cos();
                    Velocity::<Ground>::new(sin + noise(), cos + noise())
                })
                .collect();
            // A fit that fails is a figure that fails.
            let fit = fit_circle(&drawn).ok();
            fit.map_or([f64::NAN; 3], |f| [f.wind.north_mps, f.wind.east_mps, f.airspeed_mps.value - 1.0])
        })
        .collect()
}

/// Mean and three standard errors.
fn mean(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / count;
    let variance = values.map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, 3.0 * (variance / count).sqrt())
}

fn bias() -> Vec<Check> {
    let full: Vec<f64> = (0..200).map(|i| 1.8 * f64::from(i)).collect();
    let sigma = 0.1;
    let (got, three) = mean(errors(&full, sigma, 3_000, 31).iter().map(|e| e[2]));
    let what = "full circle, 200 points, noise 0.1: bias of the radius";
    // Theory of the leading order: 5 % of it for the next ones, σ² = 1 % of the radius each.
    let expected = 0.5 * sigma * sigma;
    vec![Check::derived(Group::Circles, what, BIAS, expected, got, rounded(three + 0.05 * expected))]
}

/// What the scale of the loss, itself estimated from 60 points, may cost beyond the efficiency, which is for many points.
const FEW: f64 = 0.02;

fn bound() -> Vec<Check> {
    let (sigma, points) = (0.002, 60);
    let mut checks = Vec::new();
    for (arc_deg, bounds) in [
        (60.0, [622.658, 11.5602, 568.796]),
        (90.0, [129.192, 5.5039, 105.719]),
        (180.0, [10.5580, 2.0, 5.2790]),
        (270.0, [3.2913, 1.6499, 1.2964]),
        (360.0, [2.0, 2.0, 1.0]),
    ] {
        let part = |i: u32| arc_deg * ((f64::from(i) + 0.5) / f64::from(points) - 0.5);
        let errors = errors(&(0..points).map(part).collect::<Vec<_>>(), sigma, 4_000, 32);
        for (k, name) in ["along the bisector", "across it", "of the radius"].into_iter().enumerate() {
            let (got, three) = mean(errors.iter().map(|e| e[k] * e[k] * f64::from(points) / (sigma * sigma)));
            let what = format!("{arc_deg}° arc: N variance / σ² {name}");
            let expected = bounds[k] / EFFICIENCY;
            checks.push(Check::derived(Group::Circles, what, BOUND, expected, got, rounded(three + FEW * expected)));
        }
    }
    checks
}

/// To two digits, upwards: a tolerance is to be read.
fn rounded(tolerance: f64) -> f64 {
    let power = 10f64.powf(tolerance.log10().floor() - 1.0);
    let digits = (tolerance / power).ceil();
    // 12 · 0.001 has a long tail in binary; 12 / 1000 is the nearest number there is.
    if power < 1.0 { digits / (1.0 / power).round() } else { digits * power }
}
