//! The shared solver and its covariance on regressions that NIST certifies.

use super::{Check, Group};
use driftless_wind::least_squares::{Stop, Sums, descend};
use nalgebra::SVector;

const NORRIS: &str = "NIST StRD Norris (linear)";
const MISRA: &str = "NIST StRD Misra1a (nonlinear, lower difficulty)";
const THURBER: &str = "NIST StRD Thurber (nonlinear, higher difficulty)";

pub(super) fn checks() -> Vec<Check> {
    [norris(), misra1a(), thurber()].concat()
}

fn pairs(csv: &str) -> Vec<(f64, f64)> {
    csv.lines()
        .filter_map(|line| line.split_once(','))
        .filter_map(|(x, y)| x.parse().ok().zip(y.parse().ok()))
        .collect()
}

/// Value and standard deviation of each parameter, and the residual standard deviation.
fn fit<const N: usize>(
    data: &[(f64, f64)],
    start: [f64; N],
    model: impl Fn(f64, &SVector<f64, N>) -> (f64, SVector<f64, N>),
) -> Option<([f64; N], [f64; N], f64)> {
    let sums = |p: &SVector<f64, N>| {
        let mut sums = Sums::zero();
        for &(x, y) in data {
            let (value, slope) = model(x, p);
            sums.add(y - value, slope);
        }
        sums
    };
    let fitted = descend(SVector::from(start), sums, Stop::FINE)?;
    let end = sums(&fitted);
    let variance = 2.0 * end.cost / (data.len() - N) as f64;
    let covariance = end.inverse()? * variance;
    Some((fitted.into(), std::array::from_fn(|i| covariance[(i, i)].sqrt()), variance.sqrt()))
}

fn compare<const N: usize>(
    source: &'static str,
    fitted: Option<([f64; N], [f64; N], f64)>,
    certified: ([f64; N], [f64; N], f64),
    digits: i32,
) -> Vec<Check> {
    let nothing = ([f64::NAN; N], [f64::NAN; N], f64::NAN);
    let (values, sds, residual) = fitted.unwrap_or(nothing);
    // So many digits of each certified figure: a tolerance that is a power of ten.
    let check = |what: String, expected: f64, got: f64| {
        Check::new(
            Group::LeastSquares,
            what,
            source,
            expected,
            got,
            10f64.powi(expected.abs().log10().floor() as i32 + 1 - digits),
        )
    };
    let mut checks = Vec::new();
    for i in 0..N {
        checks.push(check(format!("parameter {}", i + 1), certified.0[i], values[i]));
        checks.push(check(format!("its standard deviation ({})", i + 1), certified.1[i], sds[i]));
    }
    checks.push(check("residual standard deviation".to_owned(), certified.2, residual));
    checks
}

fn norris() -> Vec<Check> {
    let data = pairs(include_str!("../../../fixtures/nist/norris.csv"));
    let line = |x: f64, p: &SVector<f64, 2>| (p[0] + p[1] * x, SVector::from([1.0, x]));
    let certified = (
        [-0.262_323_073_774_029, 1.002_116_818_020_45],
        [0.232_818_234_301_152, 0.429_796_848_199_937e-3],
        0.884_796_396_144_373,
    );
    compare(NORRIS, fit(&data, [0.0, 0.0], line), certified, 10)
}

fn misra1a() -> Vec<Check> {
    let data = pairs(include_str!("../../../fixtures/nist/misra1a.csv"));
    let model = |x: f64, p: &SVector<f64, 2>| {
        let left = (-p[1] * x).exp();
        (p[0] * (1.0 - left), SVector::from([1.0 - left, p[0] * x * left]))
    };
    let certified = ([238.942_129_18, 5.501_564_318_1e-4], [2.707_007_524_1, 7.266_868_843_6e-6], 0.101_878_763_30);
    compare(MISRA, fit(&data, [500.0, 1e-4], model), certified, 8)
}

fn thurber() -> Vec<Check> {
    let data = pairs(include_str!("../../../fixtures/nist/thurber.csv"));
    let model = |x: f64, p: &SVector<f64, 7>| {
        let above = p[0] + p[1] * x + p[2] * x * x + p[3] * x * x * x;
        let below = 1.0 + p[4] * x + p[5] * x * x + p[6] * x * x * x;
        let value = above / below;
        let slope = [1.0, x, x * x, x * x * x, -value * x, -value * x * x, -value * x * x * x].map(|s| s / below);
        (value, SVector::from(slope))
    };
    let certified = (
        [
            1_288.139_680_0,
            1_491.079_253_5,
            583.238_368_77,
            75.416_644_291,
            0.966_295_028_64,
            0.397_972_857_97,
            0.049_727_297_349,
        ],
        [
            4.664_796_334_4,
            39.571_156_086,
            28.698_696_102,
            5.567_537_027_0,
            0.031_333_340_687,
            0.014_984_928_198,
            0.006_584_234_462_3,
        ],
        13.714_600_784,
    );
    let fitted = fit(&data, [1300.0, 1500.0, 500.0, 75.0, 1.0, 0.4, 0.05], model);
    compare(THURBER, fitted, certified, 6)
}
