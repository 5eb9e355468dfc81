//! Circle fits: six nasty points; bias and spread over many drawn arcs.

use super::Check;
use driftless_units::{Ground, Velocity};
use driftless_wind::circle::fit_circle_least_squares;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

const SIX: &str = "W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558-578 (printed digits from memory)";
const BIAS: &str =
    "A. Al-Sharadqah, N. Chernov, Electron. J. Statist. 3 (2009) 886-911 (theory); 2e5 runs of independent code";
const BOUND: &str = "Y. T. Chan, S. M. Thomas, CVGIP 57 (1995) 527-532; K. Kanatani, GMIP 60 (1998) 93-99";

pub(super) fn checks() -> Vec<Check> {
    [six_points(), bias(), bound()].concat()
}

fn six_points() -> Vec<Check> {
    let points = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)];
    let velocities = points.map(|(east, north)| Velocity::<Ground>::new(east, north));
    let Ok(fit) = fit_circle_least_squares(&velocities) else { return Vec::new() };
    let variance = 0.639_687_183_5_f64.powi(2);
    vec![
        Check::new("six points, geometric fit: centre x", SIX, 4.7398, fit.wind.east_mps, 5e-5),
        Check::new("six points, geometric fit: centre y", SIX, 2.9835, fit.wind.north_mps, 5e-5),
        Check::new("six points, geometric fit: radius", SIX, 4.7142, fit.airspeed_mps.value, 5e-5),
        Check::derived("six points: unit variance of x", "recomputed", 0.557_417_7, fit.cov[0][0] / variance, 1e-6),
        Check::derived("six points: unit variance of y", "recomputed", 5.817_649_0, fit.cov[1][1] / variance, 1e-6),
        Check::derived(
            "six points: unit variance of radius",
            "recomputed",
            3.663_143_8,
            fit.cov[2][2] / variance,
            1e-6,
        ),
    ]
}

/// Errors of many fits of an arc about north: along and across its bisector, and of the radius.
fn errors(angles_deg: &[f64], sigma: f64, runs: u32, seed: u64) -> Vec<[f64; 3]> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut noise = || -> f64 { sigma * Distribution::<f64>::sample(&StandardNormal, &mut rng) };
    (0..runs)
        .filter_map(|_| {
            let drawn: Vec<_> = angles_deg
                .iter()
                .map(|deg| {
                    let (sin, cos) = deg.to_radians().sin_cos();
                    Velocity::<Ground>::new(sin + noise(), cos + noise())
                })
                .collect();
            let fit = fit_circle_least_squares(&drawn).ok()?;
            Some([fit.wind.north_mps, fit.wind.east_mps, fit.airspeed_mps.value - 1.0])
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
    let arc = |degrees: f64| (0..20).map(|i| degrees * (f64::from(i) / 19.0 - 0.5)).collect::<Vec<f64>>();
    let mut checks = Vec::new();
    for (name, angles, sigma, runs, bias, square) in [
        ("full circle, 200 points, noise 0.1", full, 0.1, 3_000, 0.00505, None),
        ("half circle, 20 points, noise 0.05", arc(180.0), 0.05, 20_000, 0.00188, Some(19.29)),
        ("90° arc, 20 points, noise 0.05", arc(90.0), 0.05, 20_000, 0.0134, Some(291.5)),
    ] {
        let errors = errors(&angles, sigma, runs, 31);
        let (got, three) = mean(errors.iter().map(|e| e[2]));
        checks.push(Check::derived(format!("{name}: bias of the radius"), BIAS, bias, got, rounded(three + 5e-5)));
        if let Some(square) = square {
            let squares = errors.iter().map(|e| 1e4 * e.iter().map(|v| v * v).sum::<f64>());
            let (got, three) = mean(squares);
            let what = format!("{name}: total mean square error × 10⁴");
            checks.push(Check::derived(what, BIAS, square, got, rounded(three + 0.05)));
        }
    }
    checks
}

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
            // 60 points are within 0.1 % of an even spread.
            checks.push(Check::derived(what, BOUND, bounds[k], got, rounded(three + 1e-3 * bounds[k])));
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
