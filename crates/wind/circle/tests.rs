use super::algebraic::{Circle, Moments};
use super::*;
use driftless_units::Angle;
use proptest::prelude::*;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

fn velocities(points: &[(f64, f64)]) -> Vec<Velocity<Ground>> {
    points.iter().map(|&(e, n)| Velocity::new(e, n)).collect()
}

/// The fit of the results with a knee so far out that every residual counts by its square: plain least squares, which
/// figures of others are for.
fn squares(v: &[Velocity<Ground>]) -> Result<CircleFit, CircleError> {
    geometric::fit(v, f64::INFINITY)
}

fn taubin(v: &[Velocity<Ground>]) -> Option<Circle> {
    let [east, north] = [|v: &Velocity<Ground>| v.east_mps, |v: &Velocity<Ground>| v.north_mps]
        .map(|part| v.iter().map(part).collect::<Vec<f64>>());
    Moments::new(&east, &north).taubin()
}

const SIX: [(f64, f64); 6] = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)];

/// W. Gander, G. H. Golub, R. Strebel, *Least-squares fitting of circles and ellipses*, BIT 34 (1994) 558-578:
/// printed to four decimals (from memory); further digits recomputed for the project by independent code.
#[test]
fn published_six_points_geometric() {
    let v = velocities(&SIX);
    let fit = squares(&v).unwrap();
    let got = [fit.wind.east_mps, fit.wind.north_mps, fit.airspeed_mps.value];
    for ((g, printed), exact) in
        got.iter().zip([4.7398, 2.9835, 4.7142]).zip([4.739_782_410_906, 2.983_532_699_292, 4.714_226_037_792])
    {
        assert!((g - printed).abs() < 5.1e-5 && (g - exact).abs() < 1e-7, "{g}");
    }
    // Six residuals are too few to tell a correlation, so the covariance is the plain one, (JᵀJ)⁻¹ s².
    let s = 0.639_687_183_4;
    let unit =
        [[0.557_417_7, 0.705_3, -0.522_685], [0.705_3, 5.817_649, -4.509_343], [-0.522_685, -4.509_343, 3.663_143_8]];
    for (row, expected) in fit.cov.iter().zip(unit) {
        for (got, expected) in row.iter().zip(expected) {
            assert!((got / (s * s) - expected).abs() < 2e-6, "{got}");
        }
    }
    assert!((fit.residual_mps - (1.227_599_078_184_f64 / 6.0).sqrt()).abs() < 1e-10);
}

/// The axes of an ellipse of uncertainty are the eigenvalues of its covariance (here by nalgebra); these six points leave one of 3:1,
/// askew.
#[test]
fn the_worst_direction_of_the_wind_is_the_longest_axis_of_its_ellipse() {
    let fit = squares(&velocities(&SIX)).unwrap();
    let [ee, en, nn] = fit.wind_cov();
    assert_eq!([ee, en, nn], [fit.cov[0][0], fit.cov[0][1], fit.cov[1][1]]);
    let longest = nalgebra::Matrix2::new(ee, en, en, nn).symmetric_eigenvalues().max().sqrt();
    assert!((fit.wind_worst_std_mps() / longest - 1.0).abs() < 1e-12, "{} {longest}", fit.wind_worst_std_mps());
    assert!(longest > nn.sqrt() && longest > 3.0 * ee.sqrt());
}

/// Taubin's fit of the same six points, from which the geometric one starts (recomputed by two independent
/// implementations; not printed in the paper).
#[test]
fn derived_six_points_algebraic() {
    let circle = taubin(&velocities(&SIX)).unwrap();
    for (got, expected) in
        [(circle.east, 4.613_932_693_9), (circle.north, 2.795_209_346_9), (circle.radius, 4.879_212_845_6)]
    {
        assert!((got - expected).abs() < 1e-9, "{circle:?}");
    }
}

/// Points on an arc, evenly spread, ends included; headings centred on north.
fn arc(n: usize, arc_deg: f64) -> Vec<f64> {
    (0..n).map(|i| (arc_deg * (i as f64 / (n - 1) as f64 - 0.5)).to_radians()).collect()
}

fn noisy(angles: &[f64], sigma: f64, rng: &mut rand_chacha::ChaCha8Rng) -> Vec<Velocity<Ground>> {
    let mut noise = || -> f64 { sigma * Distribution::<f64>::sample(&StandardNormal, rng) };
    angles.iter().map(|a| Velocity::new(a.sin() + noise(), a.cos() + noise())).collect()
}

/// The covariance stated for an (almost) exact half circle of 20 points, ends included, against the inverse of WᵀW
/// (rows (cos φ, sin φ, 1); diagonal 0.4508727, 0.0952381, 0.2141645, computed by independent code).
#[test]
fn derived_covariance_of_a_half_circle() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(1);
    let fit = squares(&noisy(&arc(20, 180.0), 1e-7, &mut rng)).unwrap();
    let shape = [fit.cov[1][1] / fit.cov[0][0], fit.cov[2][2] / fit.cov[0][0]];
    for (got, expected) in shape.iter().zip([0.450_872_7 / 0.095_238_1, 0.214_164_5 / 0.095_238_1]) {
        assert!((got / expected - 1.0).abs() < 1e-5, "{got}");
    }
}

/// Bias of the radius and total mean square error: A. Al-Sharadqah, N. Chernov, Electron. J. Statist. 3 (2009)
/// 886-911 (theory from memory); expectations are Monte Carlo figures of independent code with 2e5 runs and more.
#[test]
fn simulated_bias_and_error_of_the_radius() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(20_260_101);
    // (angles, σ, runs, bias of the radius: geometric, Taubin; total mean square error × 10⁴ in the same order, where
    // given)
    let full: Vec<f64> = (0..200).map(|i| std::f64::consts::TAU * f64::from(i) / 200.0).collect();
    for (angles, sigma, runs, biases, totals) in [
        (full, 0.1, 3_000, [0.00505, 0.00993], None),
        (arc(20, 180.0), 0.05, 20_000, [0.00188, 0.00255], Some([19.29, 19.41])),
        (arc(20, 90.0), 0.05, 20_000, [0.0134, 0.0115], Some([291.5, 290.3])),
    ] {
        let mut radius = [Tally::default(); 2];
        let mut error = [Tally::default(); 2];
        for _ in 0..runs {
            let v = noisy(&angles, sigma, &mut rng);
            let fit = squares(&v).unwrap();
            let geometric =
                Circle { east: fit.wind.east_mps, north: fit.wind.north_mps, radius: fit.airspeed_mps.value };
            for (k, circle) in [geometric, taubin(&v).unwrap()].into_iter().enumerate() {
                radius[k].add(circle.radius - 1.0);
                error[k].add(circle.east.powi(2) + circle.north.powi(2) + (circle.radius - 1.0).powi(2));
            }
        }
        for k in 0..2 {
            // Half a unit of the last printed digit on top of three standard errors.
            let (mean, std_error) = radius[k].mean();
            assert!((mean - biases[k]).abs() < 3.0 * std_error + 5e-5, "{k}: {mean} ± {std_error}");
            let Some(totals) = totals else { continue };
            let (mean, std_error) = error[k].mean();
            assert!((mean - totals[k] * 1e-4).abs() < 3.0 * std_error + 1e-5, "{k}: {mean} ± {std_error}");
        }
    }
}

/// Mean of what was added, with its standard error.
#[derive(Clone, Copy, Default)]
struct Tally {
    count: f64,
    sum: f64,
    squares: f64,
}

impl Tally {
    fn add(&mut self, value: f64) {
        self.count += 1.0;
        self.sum += value;
        self.squares += value * value;
    }

    fn mean(&self) -> (f64, f64) {
        let mean = self.sum / self.count;
        (mean, ((self.squares / self.count - mean * mean) / self.count).sqrt())
    }
}

/// The fit reaches the Cramér-Rao bound of an arc (see [`published_cramer_rao_bound_of_an_arc`]) when errors are small:
/// variances of 4,000 fits along and across the bisector and of the radius within three standard errors, √(2/4000) of the
/// variance each. Errors of 0.2 % of the radius keep what is of second order below a tenth of that.
#[test]
fn simulated_fit_reaches_the_cramer_rao_bound() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(20_260_102);
    let (runs, sigma, n) = (4_000, 0.002, 60);
    for (arc_deg, bounds) in [
        (60.0, [622.658, 11.5602, 568.796]),
        (90.0, [129.192, 5.5039, 105.719]),
        (120.0, [43.8014, 3.4100, 30.9565]),
        (180.0, [10.5580, 2.0, 5.2790]),
        (270.0, [3.2913, 1.6499, 1.2964]),
        (360.0, [2.0, 2.0, 1.0]),
    ] {
        // Middles of equal parts stand for an even spread: 60 of them within 0.1 % of the continuum.
        let angles: Vec<f64> =
            (0..n).map(|i| (arc_deg * ((f64::from(i) + 0.5) / f64::from(n) - 0.5)).to_radians()).collect();
        let mut squared = [Tally::default(); 3];
        for _ in 0..runs {
            let fit = squares(&noisy(&angles, sigma, &mut rng)).unwrap();
            for (tally, off) in
                squared.iter_mut().zip([fit.wind.north_mps, fit.wind.east_mps, fit.airspeed_mps.value - 1.0])
            {
                tally.add(off * off * f64::from(n) / (sigma * sigma));
            }
        }
        for (tally, bound) in squared.iter().zip(bounds) {
            let (mean, std_error) = tally.mean();
            assert!((mean - bound).abs() < 3.0 * std_error + 1e-3 * bound, "{arc_deg}: {mean} ± {std_error}, {bound}");
        }
    }
}

/// 95 % intervals under correlated noise: first-order residuals of coefficient 0.7 over two turns.
#[test]
fn simulated_covariance_stays_honest_when_residuals_follow_each_other() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(5);
    let (runs, n) = (600, 120);
    let mut inside = 0;
    for _ in 0..runs {
        let mut state = [0.0_f64; 2];
        let v: Vec<_> = (0..n)
            .map(|i| {
                for s in &mut state {
                    let fresh: f64 = StandardNormal.sample(&mut rng);
                    *s = 0.7 * *s + 0.3 * fresh;
                }
                let a = f64::from(i) * 0.105;
                Velocity::new(3.0 + 11.0 * a.sin() + state[0], -2.0 + 11.0 * a.cos() + state[1])
            })
            .collect();
        let fit = fit_circle(&v).unwrap();
        let cov = nalgebra::Matrix2::new(fit.cov[0][0], fit.cov[0][1], fit.cov[0][1], fit.cov[1][1]);
        let off = nalgebra::Vector2::new(fit.wind.east_mps - 3.0, fit.wind.north_mps + 2.0);
        let distance = off.dot(&(cov.try_inverse().unwrap() * off));
        // 95 % of a chi-square with two degrees of freedom.
        inside += i32::from(distance < 5.991);
    }
    let share = f64::from(inside) / f64::from(runs);
    // White-noise covariance would cover about 65 %; 600 runs have a standard error of 1 to 1.5 %.
    assert!((0.87..=0.995).contains(&share), "{share}");
}

/// D. Gray, *Using GPS to accurately establish True Airspeed*, 1998: three legs.
#[test]
fn published_three_legs_of_gray() {
    let legs: Vec<_> = [(140.0, 192.0), (112.0, 283.0), (120.0, 20.0)]
        .map(|(speed, track)| Velocity::<Ground>::from_speed_course(speed, Angle::from_deg(track)))
        .to_vec();
    let fit = fit_circle(&legs).unwrap();
    assert!((fit.airspeed_mps.value - 129.998_523_5).abs() < 1e-6);
    assert!((fit.wind.speed_mps() - 20.633_444).abs() < 1e-6);
    assert!((fit.wind.from_deg() - 314.758_446_7).abs() < 1e-6);
    for (v, heading) in legs.iter().zip([199.670_594, 287.792_125, 11.713_026]) {
        assert!((fit.wind.air_velocity(*v).direction().bearing_deg() - heading).abs() < 1e-6);
    }
}

/// Four legs of the National Test Pilot School sample (documentation of aerocalc): the least-squares circle of all
/// four was recomputed for the project, the four triples are printed.
#[test]
fn published_four_legs_of_ntps() {
    let legs: Vec<_> = [(178.0, 178.0), (185.0, 82.0), (188.0, 355.0), (184.0, 265.0)]
        .map(|(speed, track)| Velocity::<Ground>::from_speed_course(speed, Angle::from_deg(track)))
        .to_vec();
    let all = squares(&legs).unwrap();
    assert!((all.airspeed_mps.value - 183.721_913_7).abs() < 1e-6);
    assert!((all.wind.speed_mps() - 5.006_958_1).abs() < 1e-6);
    assert!((all.wind.from_deg() - 179.456_596).abs() < 1e-5);
    let mut airspeeds = vec![];
    for (pick, tas, wind, from) in [
        ([0, 1, 2], 183.049_867_8, 5.260_836_9, 194.516_737_4),
        ([1, 2, 3], 184.441_234_5, 3.582_396_7, 181.521_746_3),
        ([2, 3, 0], 182.972_009_7, 5.149_521_8, 162.698_034_2),
        ([3, 0, 1], 184.443_670_2, 6.443_672_8, 177.947_830_8),
    ] {
        let fit = fit_circle(&pick.map(|i| legs[i])).unwrap();
        assert!((fit.airspeed_mps.value - tas).abs() < 1e-6 && (fit.wind.speed_mps() - wind).abs() < 1e-6);
        assert!((fit.wind.from_deg() - from).abs() < 1e-5);
        airspeeds.push(fit.airspeed_mps.value);
    }
    let mean = airspeeds.iter().sum::<f64>() / 4.0;
    let sd = (airspeeds.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / 3.0).sqrt();
    assert!((mean - 183.726_695_57).abs() < 1e-7 && (sd - 0.827_096_35).abs() < 1e-7);
}

/// K. Horton, *Finding TAS from GPS data*: cardinal headings at 100 kt in 20 kt from 270; the mean of the ground
/// speeds, 100.99, is not the airspeed.
#[test]
fn published_cardinal_headings_of_horton() {
    let wind = Wind::from_speed_from(20.0, Angle::from_deg(270.0));
    let legs =
        [0.0, 90.0, 180.0, 270.0].map(|h| wind.ground_velocity(Velocity::from_speed_course(100.0, Angle::from_deg(h))));
    for (v, printed) in legs.iter().zip([102.0, 120.0, 102.0, 80.0]) {
        assert!((v.speed_mps() - printed).abs() < 0.05);
    }
    let fit = fit_circle(&legs).unwrap();
    assert!((fit.airspeed_mps.value - 100.0).abs() < 1e-9);
    assert!((fit.wind.east_mps - 20.0).abs() < 1e-9 && fit.wind.north_mps.abs() < 1e-9);
    let mean = legs.iter().map(|v| v.speed_mps()).sum::<f64>() / 4.0;
    assert!((mean - 100.990_20).abs() < 1e-5);
}

#[test]
fn lines_spots_and_nonsense_are_refused() {
    let line = velocities(&(0..50).map(|i| (f64::from(i), 2.0 * f64::from(i) + 1.0)).collect::<Vec<_>>());
    assert_eq!(fit_circle(&line), Err(CircleError::NotACircle));
    assert_eq!(squares(&line), Err(CircleError::NotACircle));
    assert_eq!(fit_circle(&velocities(&[(3.0, 4.0); 30])), Err(CircleError::NotACircle));
    assert_eq!(fit_circle(&velocities(&[(3.0, 4.0), (1.0, 1.0)])), Err(CircleError::TooFew { have: 2, needed: 3 }));
    let with_nan = velocities(&[(3.0, 4.0), (1.0, 1.0), (0.0, 5.0), (f64::NAN, 0.0)]);
    assert_eq!(fit_circle(&with_nan), Err(CircleError::NotFinite { index: 3 }));
}

#[test]
fn jumps_hardly_move_the_robust_fit() {
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(3);
    let angles: Vec<f64> = (0..200).map(|i| 0.05 * f64::from(i)).collect();
    let mut v = noisy(&angles, 0.03, &mut rng);
    for i in (5..200).step_by(20) {
        v[i] = Velocity::new(6.0, 1.0);
    }
    let fit = fit_circle(&v).unwrap();
    assert!(fit.wind.speed_mps() < 0.03 && (fit.airspeed_mps.value - 1.0).abs() < 0.02, "{fit:?}");
    assert!(squares(&v).unwrap().wind.speed_mps() > 0.1, "the plain fit is pulled away");
}

#[test]
fn a_wind_above_the_airspeed_is_found_all_the_same() {
    let wind = Wind::from_speed_from(14.0, Angle::from_deg(300.0));
    let v: Vec<_> = (0..60)
        .map(|i| wind.ground_velocity(Velocity::from_speed_course(10.0, Angle::from_deg(6.0 * f64::from(i)))))
        .collect();
    let fit = fit_circle(&v).unwrap();
    assert!((fit.wind.speed_mps() - 14.0).abs() < 1e-7 && (fit.airspeed_mps.value - 10.0).abs() < 1e-7);
    assert_eq!(fit.heading_coverage_deg, 360.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    /// Turning the velocities turns the wind; adding a constant wind moves the centre and nothing else.
    #[test]
    fn the_fit_turns_and_shifts_with_the_velocities(
        seed in 0u64..1_000, turn in -3.2..3.2f64, e in -30.0..30.0f64, n in -30.0..30.0f64,
    ) {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
        let v = noisy(&arc(40, 200.0), 0.05, &mut rng);
        let (s, c) = turn.sin_cos();
        let moved: Vec<_> = v
            .iter()
            .map(|v| Velocity::new(c * v.east_mps + s * v.north_mps + e, -s * v.east_mps + c * v.north_mps + n))
            .collect();
        let (a, b) = (fit_circle(&v).unwrap(), fit_circle(&moved).unwrap());
        prop_assert!((b.wind.east_mps - (c * a.wind.east_mps + s * a.wind.north_mps + e)).abs() < 1e-7);
        prop_assert!((b.wind.north_mps - (-s * a.wind.east_mps + c * a.wind.north_mps + n)).abs() < 1e-7);
        prop_assert!((b.airspeed_mps.value - a.airspeed_mps.value).abs() < 1e-7);
        prop_assert!((b.airspeed_mps.std_u / a.airspeed_mps.std_u - 1.0).abs() < 1e-4);
    }
}
