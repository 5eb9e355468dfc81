use super::*;
use crate::testing::Draws;

/// Peak expiratory flow of 17 people by two meters, the first reading of each (Bland and Altman 1986, table; from
/// memory, confirmed by the printed bias and standard deviation).
const PEAK_FLOW: [(f64, f64); 17] = [
    (494., 512.),
    (395., 430.),
    (516., 520.),
    (434., 428.),
    (476., 500.),
    (557., 600.),
    (413., 364.),
    (442., 380.),
    (650., 658.),
    (433., 445.),
    (417., 432.),
    (656., 626.),
    (267., 260.),
    (478., 477.),
    (178., 259.),
    (423., 350.),
    (427., 451.),
];

fn pairs(values: &[(f64, f64)], u: f64) -> Vec<(Estimate<f64>, Estimate<f64>)> {
    values.iter().map(|(a, b)| (Estimate::new(*a, u), Estimate::new(*b, u))).collect()
}

/// Printed: bias -2.1, standard deviation 38.8, limits -79.7 and 75.5 (with 2 in place of 1.96), bias interval -22.0 to
/// 17.8. The limits' own intervals, -114.3 to -45.1 and 40.9 to 110.1, are large-sample and symmetrical; with 17 pairs
/// the exact ones are near, longer outward and shorter inward.
#[test]
fn published_bland_altman_peak_flow() {
    let result = agreement(&pairs(&PEAK_FLOW, 20.0)).unwrap();
    assert!((result.bias.value + 2.1).abs() < 0.05 && (result.sd - 38.8).abs() < 0.05, "{result:?}");
    assert!((result.bias.value - 2.0 * result.sd + 79.7).abs() < 0.1);
    assert!((result.bias.value + 2.0 * result.sd - 75.5).abs() < 0.1);
    let ends = result.bias.interval(0.95);
    assert!((ends.low + 22.0).abs() < 0.1 && (ends.high - 17.8).abs() < 0.1, "{ends:?}");
    let (low, high) = (result.lower.interval, result.upper.interval);
    assert!((-130.0..-114.3).contains(&low.low) && (-55.0..-45.1).contains(&low.high), "{low:?}");
    assert!((40.9..50.0).contains(&high.low) && (110.1..126.0).contains(&high.high), "{high:?}");
}

/// Tolerance factors of the normal distribution are the same non-central t: two-sided 95 % confidence has no table, the
/// one-sided factor for 95 % of the population with 95 % confidence and n = 10 is 2.911 (NIST/SEMATECH e-Handbook
/// 7.2.6.3 and Hahn and Meeker's tables; from memory).
#[test]
fn published_one_sided_tolerance_factor() {
    let root_n = 10.0_f64.sqrt();
    let p = ScaledChi::new(9.0).non_central_t(2.911 * root_n, 1.644_854 * root_n);
    assert!((p - 0.95).abs() < 1e-4, "{p}");
}

/// 1,000 draws of 3, of 5 and of 12 pairs: 95 % within three standard errors of 0.7 %, for each limit.
#[test]
fn simulated_limits_cover() {
    for count in [3, 5, 12] {
        let mut draws = Draws::new(31);
        let (mut lower, mut upper) = (0, 0);
        for _ in 0..1000 {
            let drawn: Vec<(f64, f64)> =
                (0..count).map(|_| (draws.normal(3.0, 0.05), draws.normal(3.1, 0.2))).collect();
            let result = agreement(&pairs(&drawn, 0.1)).unwrap();
            let sd = 0.05_f64.hypot(0.2);
            let holds = |limit: &Limit, truth: f64| limit.interval.low <= truth && truth <= limit.interval.high;
            lower += usize::from(holds(&result.lower, -0.1 - 1.959_964 * sd));
            upper += usize::from(holds(&result.upper, -0.1 + 1.959_964 * sd));
        }
        for inside in [lower, upper] {
            let covered = inside as f64 / 1000.0;
            assert!((0.929..=0.971).contains(&covered), "{count}: {covered}");
        }
    }
}

#[test]
fn stated_uncertainties_are_put_to_the_test() {
    let values = [(3.0, 3.2), (2.0, 1.9), (5.0, 5.1), (4.0, 3.8)];
    assert!(agreement(&pairs(&values, 0.15)).unwrap().as_stated());
    assert!(!agreement(&pairs(&values, 0.03)).unwrap().as_stated(), "three times too good to be true");
}

#[test]
fn a_watch_that_reads_ten_per_cent_high_shows_as_a_trend() {
    let values: Vec<(f64, f64)> =
        [1.0, 2.0, 3.0, 4.0, 6.0].iter().enumerate().map(|(i, v)| (*v, 1.1 * v + 0.01 * (i % 2) as f64)).collect();
    let trend = agreement(&pairs(&values, 0.1)).unwrap().trend.unwrap();
    assert!(trend.p < 0.001 && (trend.slope.value + 0.1 / 1.05).abs() < 0.01, "{trend:?}");
    assert!(agreement(&pairs(&values[..2], 0.1)).unwrap().trend.is_none());
    assert!(agreement(&pairs(&values[..1], 0.1)).is_err());
}
