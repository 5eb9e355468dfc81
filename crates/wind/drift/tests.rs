use super::model::{Basis, Params};
use super::*;
use driftless_units::Velocity;
use proptest::prelude::*;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

/// A steady turn in steady wind by the closed form of the model's own source (not by our basis functions).
fn trochoid(t: f64, v: f64, omega: f64, heading: f64, wind: Wind) -> Position<Ground> {
    let now = heading + omega * t;
    Position::new(
        wind.east_mps * t + v / omega * (heading.cos() - now.cos()),
        wind.north_mps * t + v / omega * (now.sin() - heading.sin()),
    )
}

fn path(span_s: u32, v: f64, rate_deg_s: f64, wind: Wind) -> (Vec<f64>, Vec<Position<Ground>>) {
    let t: Vec<f64> = (0..=span_s).map(f64::from).collect();
    let p = t.iter().map(|&t| trochoid(t, v, rate_deg_s.to_radians(), 0.7, wind)).collect();
    (t, p)
}

fn shaken(p: &[Position<Ground>], sigma_m: f64, seed: u64) -> Vec<Position<Ground>> {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
    let mut noise = || -> f64 { sigma_m * Distribution::<f64>::sample(&StandardNormal, &mut rng) };
    p.iter().map(|p| Position::new(p.east_m + noise(), p.north_m + noise())).collect()
}

/// Golden track (derived for the project, recomputed by independent code): 10 m/s, +6 °/s, heading 030 at the
/// start, 4 m/s from 250. Columns: t, ground velocity east and north, track, position east and north.
#[test]
fn derived_golden_trochoid() {
    let wind = Wind::from_speed_from(4.0, Angle::from_deg(250.0));
    assert!((wind.east_mps - 3.758_770_483_2).abs() < 1e-9 && (wind.north_mps - 1.368_080_573_3).abs() < 1e-9);
    let omega = 6f64.to_radians();
    let rows = [
        (0.0, 8.758_770, 10.028_335, 41.1340, 0.0, 0.0),
        (5.0, 12.419_025, 6.368_081, 62.8527, 53.74670, 41.79325),
        (10.0, 13.758_770, 1.368_081, 84.3216, 120.28704, 61.42729),
        (15.0, 12.419_025, -3.631_919, 106.3015, 186.82737, 55.47406),
        (30.0, -1.241_230, -7.292_173, 189.6600, 278.16178, -54.45055),
        (60.0, 8.758_770, 10.028_335, 41.1340, 225.52623, 82.08483),
    ];
    let start = Params::from([0.0, 0.0, wind.east_mps, wind.north_mps, 5.0, 75f64.sqrt(), omega]);
    for (t, ve, vn, track, e, n) in rows {
        let place = Basis::new(omega, t).place(&start);
        assert!((place[0] - e).abs() < 5e-6 && (place[1] - n).abs() < 5e-6, "{t}");
        let air = Velocity::from_speed_course(10.0, Angle::from_deg(30.0 + 6.0 * t));
        let ground = wind.ground_velocity(air);
        assert!((ground.east_mps - ve).abs() < 5e-7 && (ground.north_mps - vn).abs() < 5e-7);
        assert!((ground.direction().bearing_deg() - track).abs() < 5e-5);
    }
    // Half a circle in the air is 148.53° over the ground.
    assert!((rows[4].3 - rows[0].3 - 148.526_f64).abs() < 1e-3);

    let t: Vec<f64> = (0..=60).map(f64::from).collect();
    let p: Vec<_> = t.iter().map(|&t| trochoid(t, 10.0, omega, 30f64.to_radians(), wind)).collect();
    let fit = fit_drift(&t, &p, &WindPrior::vague()).unwrap();
    assert!((fit.turn_rate.value.deg_s() - 6.0).abs() < 1e-7, "{fit:?}");
    assert!((fit.airspeed_mps.value - 10.0).abs() < 1e-6);
    assert!((fit.wind.east_mps - wind.east_mps).abs() < 1e-6 && (fit.wind.north_mps - wind.north_mps).abs() < 1e-6);
    assert!((fit.heading.bearing_deg() - 210.0).abs() < 1e-5);
    let end = fit.position_at(60.0);
    assert!((end.east_m - 225.52623).abs() < 1e-5 && (end.north_m - 82.08483).abs() < 1e-5);
}

#[test]
fn series_and_closed_form_meet_without_a_jump() {
    // Either side of the switch at ωτ = 0.1, and through zero, against the next derivative of each function.
    for tau in [-30.0, -2.0, 2.0, 30.0_f64] {
        let (below, above) = (Basis::new(0.099_999_999 / tau, tau), Basis::new(0.100_000_001 / tau, tau));
        let step = 2e-9 / tau;
        assert!((above.s1 - below.s1 - step * below.d1).abs() < 1e-13 * tau.abs());
        assert!((above.s2 - below.s2 - step * below.d2).abs() < 1e-13 * tau.abs());
        assert!((above.d1 - below.d1).abs() < 1e-8 * tau * tau && (above.d2 - below.d2).abs() < 1e-8 * tau * tau);
        let still = Basis::new(0.0, tau);
        assert_eq!((still.s1, still.s2, still.d1, still.d2), (tau, 0.0, 0.0, 0.5 * tau * tau));
    }
}

#[test]
fn derivatives_agree_with_differences() {
    let p = Params::from([1.0, 2.0, 3.0, -1.0, 8.0, 6.0, 0.0]);
    for omega in [-0.3, -0.01, 0.0, 0.004, 0.2_f64] {
        for tau in [-40.0, -3.0, 7.0, 40.0] {
            let h = 1e-5;
            let (low, high) = (Basis::new(omega - h, tau).place(&p), Basis::new(omega + h, tau).place(&p));
            let got = Basis::new(omega, tau).by_omega(&p);
            for axis in 0..2 {
                let difference = (high[axis] - low[axis]) / (2.0 * h);
                // Third derivative of the place, at most V τ⁴/4, times h²/6.
                assert!((got[axis] - difference).abs() < 1e-10 * tau.powi(4) + 1e-5, "{omega} {tau}");
            }
        }
    }
}

#[test]
fn turn_rates_through_zero_come_out_smoothly_with_a_known_wind() {
    let wind = Wind::new(-3.0, 2.0);
    let prior = WindPrior { wind, cov: [0.01, 0.0, 0.01] };
    let t: Vec<f64> = (0..=60).map(f64::from).collect();
    for rate_deg_s in [-0.5, -0.01, -1e-6, 0.0, 1e-6, 0.01, 0.5] {
        let omega = f64::to_radians(rate_deg_s);
        let p: Vec<_> = t
            .iter()
            .map(|&t| {
                let place = Basis::new(omega, t).place(&Params::from([0.0, 0.0, -3.0, 2.0, 8.0, 6.0, omega]));
                Position::new(place[0], place[1])
            })
            .collect();
        let fit = fit_drift(&t, &p, &prior).unwrap();
        assert!((fit.turn_rate.value.deg_s() - rate_deg_s).abs() < 1e-5, "{rate_deg_s}: {fit:?}");
    }
}

/// The scan must find the right minimum without any start, over windows where a start 2 % off is too far.
/// A wind known well along one axis alone, the axis at 45°: its covariance has a term off the diagonal there, and none when all is
/// turned by 45°.
#[test]
fn a_prior_askew_says_what_it_says_when_all_is_turned() {
    let (t, p) = path(60, 9.0, 1.0, Wind::new(3.0, -2.0));
    let p = shaken(&p, 2.0, 5);
    let (sin, cos) = std::f64::consts::FRAC_PI_4.sin_cos();
    let turned: Vec<_> =
        p.iter().map(|p| Position::new(cos * p.east_m - sin * p.north_m, sin * p.east_m + cos * p.north_m)).collect();
    let (narrow, wide) = (0.01, 0.81);
    let wind = Wind::new(3.5, -1.0);
    let straight = WindPrior { wind, cov: [narrow, 0.0, wide] };
    let (half, apart) = (0.5 * (narrow + wide), 0.5 * (narrow - wide));
    let askew = WindPrior {
        wind: Wind::new(cos * wind.east_mps - sin * wind.north_mps, sin * wind.east_mps + cos * wind.north_mps),
        cov: [half, apart, half],
    };
    let [a, b] = [fit_drift(&t, &p, &straight).unwrap(), fit_drift(&t, &turned, &askew).unwrap()];
    // Outliers are judged along each axis, so that not all digits are the same.
    let near = |a: f64, b: f64, share: f64| (a / b - 1.0).abs() < share;
    let apart_deg_s = (a.turn_rate.value.deg_s() - b.turn_rate.value.deg_s()).abs();
    assert!(apart_deg_s < 0.05 * a.turn_rate.std_u.deg_s(), "{a:?} {b:?}");
    assert!(near(a.turn_rate.std_u.deg_s(), b.turn_rate.std_u.deg_s(), 0.03));
    assert!(near(a.airspeed_mps.value, b.airspeed_mps.value, 0.001));
    assert!(near(a.airspeed_mps.std_u, b.airspeed_mps.std_u, 0.03));
    let spread = |fit: &DriftFit| fit.wind_cov[0] + fit.wind_cov[2];
    assert!(near(spread(&a), spread(&b), 0.1), "{a:?} {b:?}");
    // And it says something: without it the airspeed is another.
    let without = fit_drift(&t, &p, &WindPrior::vague()).unwrap();
    assert!((without.airspeed_mps.value - a.airspeed_mps.value).abs() > 0.01, "{without:?} {a:?}");
}

#[test]
fn long_turns_are_found_without_a_start() {
    let wind = Wind::new(4.0, -3.0);
    for (span_s, rate_deg_s) in [(20, 12.0), (60, 3.0), (60, -7.0), (300, 5.0), (600, 6.3), (600, -2.1)] {
        let (t, p) = path(span_s, 11.0, rate_deg_s, wind);
        let fit = fit_drift(&t, &shaken(&p, 1.0, 9), &WindPrior::vague()).unwrap();
        let off = fit.turn_rate.value.deg_s() - rate_deg_s;
        assert!(off.abs() < 5.0 * fit.turn_rate.std_u.deg_s(), "{span_s} s {rate_deg_s}: {fit:?}");
        assert!(off.abs() < 0.3);
    }
}

#[test]
fn jumps_hardly_move_the_fit() {
    let (t, p) = path(90, 10.5, 4.0, Wind::new(2.0, 5.0));
    let mut p = shaken(&p, 0.5, 4);
    for i in (10..90).step_by(20) {
        p[i].east_m += 40.0;
    }
    let fit = fit_drift(&t, &p, &WindPrior::vague()).unwrap();
    assert!((fit.turn_rate.value.deg_s() - 4.0).abs() < 0.1, "{fit:?}");
}

/// 95 % intervals of the turn rate with white position noise and a wind known to 0.5 m/s that is wrong by as much.
#[test]
fn simulated_intervals_cover_the_turn_rate() {
    let runs = 300;
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(11);
    let mut inside = 0;
    for seed in 0..runs {
        let (t, p) = path(50, 10.5, 3.0, Wind::new(2.0, 5.0));
        let mut guess = || -> f64 { 0.5 * Distribution::<f64>::sample(&StandardNormal, &mut rng) };
        let prior = WindPrior { wind: Wind::new(2.0 + guess(), 5.0 + guess()), cov: [0.25, 0.0, 0.25] };
        let fit = fit_drift(&t, &shaken(&p, 0.8, seed), &prior).unwrap();
        let interval = fit.turn_rate.interval(0.95);
        inside += i32::from(interval.low.deg_s() < 3.0 && 3.0 < interval.high.deg_s());
    }
    let share = f64::from(inside) / runs as f64;
    // Three standard errors of 300 runs are 3.8 %; the inflation never sharpens, so a little over is expected.
    assert!((0.91..=1.0).contains(&share), "{share}");
}

#[test]
fn what_cannot_be_fitted_is_refused() {
    let (t, p) = path(60, 10.0, 5.0, Wind::default());
    let vague = WindPrior::vague();
    assert_eq!(fit_drift(&[], &[], &vague), Err(DriftError::TooFew { have: 0, needed: 8 }));
    assert_eq!(fit_drift(&t[..5], &p[..5], &vague), Err(DriftError::TooFew { have: 5, needed: 8 }));
    assert_eq!(fit_drift(&t[..9], &p[..10], &vague), Err(DriftError::Unequal { times: 9, positions: 10 }));
    let mut bad = p.clone();
    bad[7].east_m = f64::NAN;
    assert_eq!(fit_drift(&t, &bad, &vague), Err(DriftError::BadFix { index: 7 }));
    let prior = WindPrior { cov: [1.0, 2.0, 1.0], ..vague };
    assert_eq!(fit_drift(&t, &p, &prior), Err(DriftError::BadPrior));
    let still = vec![Position::new(5.0, 5.0); t.len()];
    let known = WindPrior { wind: Wind::default(), cov: [0.01, 0.0, 0.01] };
    assert!(matches!(fit_drift(&t, &still, &known), Err(DriftError::NoFit { .. })));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Turning the path and adding a constant wind change no turn rate.
    #[test]
    fn rotation_and_wind_change_no_turn_rate(
        turn in -3.1..3.1f64, e in -12.0..12.0f64, n in -12.0..12.0f64, rate in 2.0..9.0f64, left in any::<bool>(),
    ) {
        let rate = if left { -rate } else { rate };
        let (t, p) = path(70, 11.0, rate, Wind::default());
        let p = shaken(&p, 0.4, 2);
        let (s, c) = turn.sin_cos();
        let moved: Vec<_> = p.iter().zip(&t).map(|(p, t)| {
            Position::new(c * p.east_m + s * p.north_m + e * t, -s * p.east_m + c * p.north_m + n * t)
        }).collect();
        // The vague prior is centred on still air and pulls by 1e-4 of an error at most; so it must not be seen.
        let (a, b) = (fit_drift(&t, &p, &WindPrior::vague()).unwrap(), fit_drift(&t, &moved, &WindPrior::vague()).unwrap());
        let off = (a.turn_rate.value.deg_s() - b.turn_rate.value.deg_s()).abs();
        prop_assert!(off < 0.02 * a.turn_rate.std_u.deg_s() + 1e-6, "{off} {a:?}");
    }
}
