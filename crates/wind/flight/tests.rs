//! The pieces of the estimate against independent, slower ways to the same numbers.

use super::SteadySpan;
use super::clock;
use super::compass::{self, CompassHeadings, CompassPrior, CompassReading, DeviationStdU};
use super::dynamics::{Linear, Step, Stretch, disturbance};
use super::gyro::{self, GyroDoubt, GyroIncrement, GyroPrior, GyroRates};
use super::nodes::{Measured, NodeInput};
use super::noise::{Level, Levels};
use super::smoother::{Problem, broad_prior, pass};
use super::state::{
    AIRSPEED, CLOCK, COMPASS_DIM, DEVIATION, DIM, DRIFT, GUST_E, GYRO_DIM, HEADING, HEELING, LAG, LEVEL, Matrix, POS_E,
    POS_N, SLOW, STEADY, TWIST, Vector, WANDER, WIND_E, pick, turn_rate,
};
use driftless_units::{Estimate, GRAVITY_MPS2};
use nalgebra::{DMatrix, DVector};

fn some_state(turn_rad_s: f64) -> Vector {
    let mut x = Vector::zeros();
    x[WIND_E] = 3.0;
    x[GUST_E] = 0.4;
    x[AIRSPEED] = 10.5;
    x[LEVEL] = 11.0;
    x[HEADING] = 0.7;
    x[STEADY] = 10.5 * turn_rad_s;
    x[WANDER] = 0.1;
    x
}

/// A step along the expected path.
fn expected(step: &Step, x: &Vector) -> Linear {
    let first = Linear::new(step, x, x);
    Linear::new(step, x, &first.mean(x))
}

/// Stepping the state through many small steps must end where one step ends: the arc, the drift and the decay.
/// Small steps of 1 ms err by less than 1e-4 m over 2 s.
#[test]
fn derived_one_step_equals_many_small_ones() {
    let levels = Levels::typical(0.0);
    for turn in [0.0, 1e-4, 0.12, -0.3] {
        let mut x = some_state(turn);
        // The one step holds the turn rate at its mean while the wander decays; without wander both are exact.
        x[WANDER] = 0.0;
        let whole = expected(&Step::new(2.0, 30.0, Stretch::Window), &x).mean(&x);
        let mut small = x;
        for _ in 0..2000 {
            small = expected(&Step::new(1e-3, 30.0, Stretch::Window), &small).mean(&small);
        }
        assert!((whole - small).abs().max() < 1e-4, "turn {turn}: {}", whole - small);
    }
    // The covariance of the disturbances likewise: twenty thousand small steps against one (heading and gust blocks).
    let step = Step::new(2.0, 0.0, Stretch::Window);
    let x = some_state(0.0);
    let whole = disturbance(&step, &expected(&step, &x), &levels, 1.0);
    let mut small = Matrix::zeros();
    for _ in 0..2000 {
        let tiny = Step::new(1e-3, 0.0, Stretch::Window);
        let linear = expected(&tiny, &x);
        linear.apply(&mut small);
        small = small.transpose();
        linear.apply(&mut small);
        small += disturbance(&tiny, &linear, &levels, 1.0);
    }
    for (a, b) in [(GUST_E, GUST_E), (HEADING, WANDER), (WANDER, WANDER), (HEADING, HEADING)] {
        let (one, many) = (whole[(a, b)], small[(a, b)]);
        assert!((one - many).abs() < 2e-3 * one.abs(), "({a}, {b}): {one} against {many}");
    }
}

/// What a disturbance of the turn does to the position within a step, against two thousand small steps that each only turn.
/// They are a thousandth of a step late on average.
#[test]
fn derived_a_disturbed_turn_moves_the_path() {
    let levels = Levels::typical(0.0);
    // Straight on: the directions of the one step and of the small ones are then the same.
    let straight = some_state(0.0) - 0.1 * pick(WANDER);
    let x = Vector::<GYRO_DIM>::from_fn(|part, _| if part < DIM { straight[part] } else { 0.0 });
    let expected = |step: &Step| {
        let first = Linear::new(step, &x, &x);
        Linear::new(step, &x, &first.mean(&x))
    };
    let step = Step::new(2.0, 0.0, Stretch::Free);
    let whole = disturbance(&step, &expected(&step), &levels, 1.0);
    let mut small = Matrix::<GYRO_DIM>::zeros();
    let tiny = Step::new(1e-3, 0.0, Stretch::Free);
    let linear = expected(&tiny);
    for _ in 0..2000 {
        linear.apply(&mut small);
        small = small.transpose();
        linear.apply(&mut small);
        small += disturbance(&tiny, &linear, &levels, 1.0);
    }
    for (a, b) in [(POS_E, HEADING), (POS_N, HEADING), (POS_E, WANDER), (POS_N, STEADY)] {
        let (one, many) = (whole[(a, b)], small[(a, b)]);
        assert!(one.abs() > 1e-4 && (one - many).abs() < 5e-3 * one.abs(), "({a}, {b}): {one} against {many}");
    }
    // Across the path; along it the small steps know of the airspeed too.
    let across = pick::<GYRO_DIM>(POS_E) * x[HEADING].cos() - pick(POS_N) * x[HEADING].sin();
    let [one, many] = [whole, small].map(|q| across.dot(&(q * across)));
    assert!((one - many).abs() < 1e-2 * one, "{one} against {many}");
}

/// The written-out derivative against central differences, through zero turn rate.
#[test]
fn derived_derivative_of_a_step_matches_differences() {
    for turn in [0.0, 1e-9, 1e-4, 0.019, 0.021, 0.3, -0.3] {
        let x = some_state(turn);
        let step = Step::new(1.3, 40.0, Stretch::Free);
        let mut derivative = Matrix::identity();
        expected(&step, &x).apply(&mut derivative);
        for part in 0..DIM {
            let h = 1e-5;
            let at = |d: f64| {
                let moved = x + d * pick(part);
                expected(&step, &moved).mean(&moved)
            };
            let difference = (at(h) - at(-h)) / (2.0 * h);
            let error = (difference - derivative.column(part)).abs().max();
            assert!(error < 1e-7, "turn {turn}, part {part}: {error}");
        }
        let mut transposed = Matrix::identity();
        expected(&step, &x).apply_transposed(&mut transposed);
        assert!((transposed - derivative.transpose()).abs().max() < 1e-12);
    }
}

fn small_flight() -> (Vec<NodeInput>, Vec<Step>, Vec<f64>, Vec<Vector>) {
    let mut x = some_state(0.1);
    let (mut nodes, mut steps, mut heights, mut trajectory) = (vec![], vec![], vec![], vec![]);
    for k in 0..7 {
        let wiggle = (f64::from(k) * 1.7).sin();
        let measured = (k != 3).then(|| Measured {
            position_m: [x[POS_E] + 0.4 * wiggle, x[POS_N] - 0.3 * wiggle],
            doppler_mps: (k % 2 == 0).then_some([9.0 + 0.2 * wiggle, 6.0 - 0.1 * wiggle]),
            fixes: 1.0,
        });
        nodes.push(NodeInput { t_s: f64::from(k), altitude_m: 500.0, climb_mps: 0.0, measured });
        heights.push(10.0 * f64::from(k));
        trajectory.push(x);
        let stretch = if k < 3 { Stretch::Free } else { Stretch::Window };
        let step = Step::new(1.0, 10.0 * f64::from(k) + 5.0, stretch);
        x = expected(&step, &x).mean(&x);
        if k < 6 {
            steps.push(step);
        }
    }
    (nodes, steps, heights, trajectory)
}

/// The smoother against plain conditioning of one big Gaussian: means, covariances and the covariance of two times.
#[test]
fn derived_smoother_equals_conditioning_of_one_big_gaussian() {
    compare_with_one_big_gaussian::<DIM>(None, None);
}

/// The same with a gyro that has a gap, and bias, scale, clock and twist to be found.
#[test]
fn derived_smoother_with_gyro_equals_conditioning_of_one_big_gaussian() {
    compare_with_one_big_gaussian::<GYRO_DIM>(Some(&gyro_with_a_gap()), None);
}

/// With a compass beside it that misses a node, and its deviation to be found; with a compass alone.
#[test]
fn derived_smoother_with_compass_equals_conditioning_of_one_big_gaussian() {
    let compass = compass_with_a_gap();
    compare_with_one_big_gaussian::<COMPASS_DIM>(Some(&gyro_with_a_gap()), Some(&compass));
    compare_with_one_big_gaussian::<COMPASS_DIM>(None, Some(&compass));
}

fn compass_with_a_gap() -> CompassHeadings {
    let reading = |k: u32| CompassReading { t_s: f64::from(k), heading_rad: 0.3 + 0.12 * f64::from(k) };
    CompassHeadings {
        readings: [0, 1, 2, 4, 6].map(reading).to_vec(),
        deviation_std_u: DeviationStdU { coefficients_rad: [0.05, 0.04, 0.03, 0.02, 0.01], heeling: 0.1 },
        lag_std_u_s: 0.2,
        least_errors_rad: [0.0; 2],
    }
}

fn gyro_with_a_gap() -> GyroRates {
    let turn = |k: u32| GyroIncrement {
        start_s: f64::from(k),
        end_s: f64::from(k + 1),
        turn_rad: 0.11 + 0.02 * f64::from(k),
        end_std_u_rad: 0.01,
        white_std_u_rad: 0.002,
    };
    GyroRates {
        increments: [0, 1, 3, 4, 5].map(turn).to_vec(),
        bias_rad_s: Estimate::new(0.02, 0.01),
        bias_walk: 1e-4,
        scale_std_u: 0.01,
        clock_std_u_s: 0.1,
        doubt: GyroDoubt::default(),
    }
}

fn compare_with_one_big_gaussian<const N: usize>(rates: Option<&GyroRates>, compass: Option<&CompassHeadings>) {
    let (nodes, mut steps, heights_m, trajectory) = small_flight();
    let trajectory: Vec<Vector<N>> =
        trajectory.iter().map(|x| Vector::from_fn(|part, _| if part < DIM { x[part] } else { 0.0 })).collect();
    let headings: Vec<f64> = trajectory.iter().map(|x| x[HEADING]).collect();
    let gyro = rates.map_or_else(Vec::new, |rates| gyro::readings(rates, &nodes, &headings));
    for (step, pair) in steps.iter_mut().zip(gyro.windows(2)) {
        step.gyro = gyro::step(pair[0], pair[1], 1e-4).twisting(step.dt_s, 3.0);
    }
    let motion = if gyro.is_empty() { vec![] } else { clock::motions(&trajectory, &heights_m) };
    let levels = Levels::typical(0.0);
    let weights = vec![1.0; nodes.len()];
    let mut prior = broad_prior(&trajectory[0], &levels);
    let seen = compass.map_or_else(Vec::new, |compass| compass::readings(compass, &nodes));
    if let Some(compass) = compass {
        CompassPrior::new(compass).fill(&levels, &mut prior);
    }
    if let Some(rates) = rates {
        GyroPrior::new(rates).fill(&levels, &mut prior);
    }
    let problem = Problem {
        nodes: &nodes,
        steps: &steps,
        heights_m: &heights_m,
        levels: &levels,
        weights: &weights,
        airspeed_scales: &[1.0; 6],
        typical_fixes: 1.0,
        gyro: &gyro,
        gyro_weights: &weights,
        motion: &motion,
        compass: &seen,
        compass_weights: &weights,
        prior,
    };
    let smoothed = pass(&problem, &trajectory, vec![]);

    // The joint prior of all states, built block by block.
    let n = nodes.len();
    let mut mean = DVector::zeros(n * N);
    let mut cov = DMatrix::zeros(n * N, n * N);
    let (mut m, mut p) = prior;
    for k in 0..n {
        mean.rows_mut(k * N, N).copy_from(&m);
        cov.view_mut((k * N, k * N), (N, N)).copy_from(&p);
        let mut cross = p;
        for j in k..n - 1 {
            Linear::new(&steps[j], &trajectory[j], &trajectory[j + 1]).apply(&mut cross);
            cov.view_mut(((j + 1) * N, k * N), (N, N)).copy_from(&cross);
            cov.view_mut((k * N, (j + 1) * N), (N, N)).copy_from(&cross.transpose());
        }
        if k < n - 1 {
            let linear = Linear::new(&steps[k], &trajectory[k], &trajectory[k + 1]);
            m = linear.mean(&m);
            linear.apply(&mut p);
            p = p.transpose();
            linear.apply(&mut p);
            p += disturbance(&steps[k], &linear, &levels, 1.0);
        }
    }
    // All measurements at once: rows, values and noise, linearised about the same trajectory.
    let (mut rows, mut values, mut noise) = (vec![], vec![], vec![]);
    for (k, reading) in gyro.iter().enumerate() {
        let Some(reading) = reading else { continue };
        let mut row = DVector::zeros(n * N);
        for part in [HEADING, DRIFT, TWIST] {
            row[k * N + part] = 1.0;
        }
        rows.push(row);
        values.push(reading.heading_rad);
        noise.push(reading.variance_rad2);
    }
    for (k, reading_rad) in seen.iter().enumerate() {
        let Some(c) = *reading_rad else { continue };
        let (rate, _) = turn_rate(&trajectory[k]);
        let bank = (trajectory[k][AIRSPEED] * rate / GRAVITY_MPS2).atan();
        let deviation = [1.0, c.sin(), c.cos(), (2.0 * c).sin(), (2.0 * c).cos(), bank * c.cos()];
        let mut row = DVector::zeros(n * N);
        for (part, weight) in [(HEADING, 1.0), (TWIST, 1.0), (LAG, rate), (SLOW, 1.0)]
            .into_iter()
            .chain(DEVIATION.into_iter().chain([HEELING]).zip(deviation.map(|share| -share)))
        {
            row[k * N + part] = weight;
        }
        rows.push(row);
        values.push(c);
        noise.push(levels[Level::CompassWhite]);
    }
    for (k, node) in nodes.iter().enumerate() {
        let Some(measured) = &node.measured else { continue };
        for (axis, part) in [POS_E, POS_N].into_iter().enumerate() {
            let mut row = DVector::zeros(n * N);
            row[k * N + part] = 1.0;
            if let Some(motion) = motion.get(k) {
                row[k * N + CLOCK] = -motion.velocity_mps[axis];
            }
            rows.push(row);
            values.push(measured.position_m[axis]);
            noise.push(levels[Level::Position]);
        }
        let Some(velocity) = measured.doppler_mps else { continue };
        for axis in 0..2 {
            let predict = |x: &Vector<N>| {
                let along = [x[HEADING].sin(), x[HEADING].cos()][axis];
                super::state::wind_at::<N>(heights_m[k])[axis].dot(x) + x[GUST_E + axis] + x[AIRSPEED] * along
            };
            let mut row = DVector::zeros(n * N);
            for part in 0..N {
                let h = 1e-5;
                let up = predict(&(trajectory[k] + h * pick(part)));
                let down = predict(&(trajectory[k] - h * pick(part)));
                row[k * N + part] = (up - down) / (2.0 * h);
            }
            if let Some(motion) = motion.get(k) {
                row[k * N + CLOCK] = -motion.acceleration_mps2[axis];
            }
            let here = row.rows(k * N, N).dot(&trajectory[k]);
            values.push(velocity[axis] - predict(&trajectory[k]) + here);
            rows.push(row);
            noise.push(levels[Level::Doppler]);
        }
    }
    let h = DMatrix::from_rows(&rows.iter().map(DVector::transpose).collect::<Vec<_>>());
    let s = &h * &cov * h.transpose() + DMatrix::from_diagonal(&DVector::from_vec(noise));
    let gain = &cov * h.transpose() * s.try_inverse().expect("noise makes it regular");
    let mean = &mean + &gain * (DVector::from_vec(values) - &h * &mean);
    let cov = &cov - &gain * &h * &cov;

    // Priors of 1 km and 10 rad against posteriors of centimetres lose digits in the big inverse: 1e-5 is what is left.
    for k in 0..n {
        let error = (smoothed.nodes[k].mean - mean.rows(k * N, N)).abs().max();
        assert!(error < 1e-5, "mean of node {k} off by {error}");
    }
    for (i, a, j, b) in [(0, HEADING, 6, HEADING), (1, HEADING, 4, STEADY), (2, POS_E, 5, WIND_E)] {
        let dense = cov[(i * N + a, j * N + b)];
        let ours = smoothed.cross_covariance(i, &pick(a), j, &pick(b));
        assert!(
            (dense - ours).abs() < 1e-5 * (1.0 + dense.abs()),
            "({i}, {a}) with ({j}, {b}): {ours} against {dense}"
        );
    }
    for (k, a, b) in [(0, HEADING, HEADING), (3, HEADING, HEADING), (6, WIND_E, WIND_E), (5, STEADY, HEADING)] {
        let dense = cov[(k * N + a, k * N + b)];
        let ours = smoothed.covariance(k, &pick(a), &pick(b));
        assert!((dense - ours).abs() < 1e-5 * (1.0 + dense.abs()), "node {k} ({a}, {b}): {ours} against {dense}");
    }
}

#[test]
fn a_window_edge_between_fixes_gets_a_node_of_its_own() {
    use driftless_track::{LocalFrame, Track, TrackPoint, VelocitySource};
    use driftless_units::{Position, Velocity};
    let points = (0..40)
        .map(|k| TrackPoint {
            t_s: f64::from(k),
            position: Position::new(10.0 * f64::from(k), 0.0),
            altitude_m: 500.0 + 2.0 * f64::from(k),
            velocity: Velocity::new(10.0, 0.0),
            velocity_source: VelocitySource::Positions,
            heading_true_deg: None,
            heading_magnetic_deg: None,
            true_airspeed_mps: None,
            engine_rpm: None,
            engine_noise: None,
            fix_index: 0,
        })
        .collect();
    let track = Track {
        epoch: chrono::DateTime::UNIX_EPOCH,
        frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 0.0 },
        points,
        gaps: vec![],
        marks: vec![],
        takeoff_s: None,
        landing_s: None,
        takeoff_altitude_m: None,
        median_interval_s: 1.0,
        rounding_m: 0.0,
        problems: vec![],
    };
    let nodes = super::nodes::build(&track, &[SteadySpan { start_s: 10.25, end_s: 30.0 }]);
    assert_eq!(nodes.len(), 41);
    let edge = nodes.iter().find(|n| n.t_s == 10.25).expect("an edge node");
    assert!(edge.measured.is_none() && (edge.altitude_m - 520.5).abs() < 1e-12);
    assert!(nodes.iter().all(|n| (n.climb_mps - 2.0).abs() < 1e-9));
    assert!(nodes.windows(2).all(|n| n[1].t_s > n[0].t_s));
}
