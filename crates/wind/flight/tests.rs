//! The pieces of the estimate against independent, slower ways to the same numbers.

use super::SteadySpan;
use super::blocks::air::{GUST_E, WIND_E, wind_at};
use super::blocks::aircraft::{AIRSPEED, HEADING, POS_E, POS_N, STEADY, TRIM, WANDER, turn_rate};
use super::blocks::compass::CompassStates;
use super::blocks::gyro::GyroStates;
use super::blocks::{COMPASS_DIM, DIM, GYRO_COMPASS_DIM, GYRO_DIM, Layout, SOURCES, StepAt};
use super::clock;
use super::compass::{CompassHeadings, CompassReading, DeviationStdU};
use super::gyro::{GyroDoubt, GyroIncrement, GyroRates};
use super::nodes::{Measured, NodeInput};
use super::noise::{Level, Levels};
use super::setting::Setting;
use super::smoother::{Depth, Problem, pass};
use super::start;
use super::state::{Functional, Matrix, Vector};
use super::step::Step;
use driftless_units::{Estimate, GRAVITY_MPS2};
use nalgebra::{DMatrix, DVector};

const PLAIN: Layout = Layout::new(false, false);

fn some_state<const N: usize>(turn_rad_s: f64) -> Vector<N> {
    let mut x = Vector::zeros();
    x[WIND_E] = 3.0;
    x[GUST_E] = 0.4;
    x[AIRSPEED] = 10.5;
    x[TRIM] = 11.0;
    x[HEADING] = 0.7;
    x[STEADY] = 10.5 * turn_rad_s;
    x[WANDER] = 0.1;
    x
}

fn unit<const N: usize>(part: usize) -> Vector<N> {
    Vector::from_fn(|i, _| f64::from(u8::from(i == part)))
}

fn node(t_s: f64, altitude_m: f64) -> NodeInput {
    let measured = Some(Measured { position_m: [0.0; 2], doppler_mps: None, fixes: 1.0 });
    NodeInput { t_s, altitude_m: Some(altitude_m), climb_mps: None, measured }
}

/// A flight of one level step of `dt_s`, in a window or not.
fn one_step(dt_s: f64, in_window: bool, layout: Layout) -> Setting {
    let far = 1e6;
    let span = if in_window {
        SteadySpan { start_s: -far, end_s: far, marked: true }
    } else {
        SteadySpan { start_s: far, end_s: far, marked: true }
    };
    Setting::new(vec![node(0.0, 500.0), node(dt_s, 500.0)], &[span], Levels::typical(0.0), layout)
}

/// The first step of a setting, linearised about `x` on the way to `next`.
fn linearised<const N: usize>(setting: &Setting, x: &Vector<N>, next: &Vector<N>) -> Step {
    let mut step = Step::default();
    let (x, next, levels, interval) = (x.as_slice(), next.as_slice(), &setting.typical, &setting.intervals[0]);
    setting.blocks.step(&StepAt { k: 0, interval, x, next, levels, airspeed_scale: 1.0, wind_scale: 1.0 }, &mut step);
    step
}

/// The same along the expected path.
fn expected<const N: usize>(setting: &Setting, x: &Vector<N>) -> Step {
    let first = linearised(setting, x, x);
    linearised(setting, x, &first.mean(x))
}

fn disturbance<const N: usize>(step: &Step) -> Matrix<N> {
    let mut q = Matrix::zeros();
    step.carry(&mut Vector::zeros(), &mut q);
    q
}

/// Stepping the state through many small steps must end where one step ends: the arc, the drift and the decay.
/// Small steps of 1 ms err by less than 1e-4 m over 2 s.
#[test]
fn derived_one_step_equals_many_small_ones() {
    let (whole_setting, small_setting) = (one_step(2.0, true, PLAIN), one_step(1e-3, true, PLAIN));
    for turn in [0.0, 1e-4, 0.12, -0.3] {
        let mut x = some_state::<DIM>(turn);
        // The one step holds the turn rate at its mean while the wander decays; without wander both are exact.
        x[WANDER] = 0.0;
        let whole = expected(&whole_setting, &x).mean(&x);
        let mut small = x;
        for _ in 0..2000 {
            small = expected(&small_setting, &small).mean(&small);
        }
        assert!((whole - small).abs().max() < 1e-4, "turn {turn}: {}", whole - small);
    }
    // The covariance of the disturbances likewise: two thousand small steps against one (heading and gust).
    let x = some_state::<DIM>(0.0);
    let whole = disturbance::<DIM>(&expected(&whole_setting, &x));
    let mut small = Matrix::<DIM>::zeros();
    let tiny = expected(&small_setting, &x);
    for _ in 0..2000 {
        tiny.carry(&mut Vector::zeros(), &mut small);
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
    // Straight on: the directions of the one step and of the small ones are then the same.
    let x = some_state::<GYRO_DIM>(0.0) - 0.1 * unit(WANDER);
    let layout = Layout::new(true, false);
    let whole = disturbance::<GYRO_DIM>(&expected(&one_step(2.0, false, layout), &x));
    let tiny = expected(&one_step(1e-3, false, layout), &x);
    let mut small = Matrix::<GYRO_DIM>::zeros();
    for _ in 0..2000 {
        tiny.carry(&mut Vector::zeros(), &mut small);
    }
    for (a, b) in [(POS_E, HEADING), (POS_N, HEADING), (POS_E, WANDER), (POS_N, STEADY)] {
        let (one, many) = (whole[(a, b)], small[(a, b)]);
        assert!(one.abs() > 1e-4 && (one - many).abs() < 5e-3 * one.abs(), "({a}, {b}): {one} against {many}");
    }
    // Across the path; along it the small steps know of the airspeed too.
    let across = unit::<GYRO_DIM>(POS_E) * x[HEADING].cos() - unit(POS_N) * x[HEADING].sin();
    let [one, many] = [whole, small].map(|q| across.dot(&(q * across)));
    assert!((one - many).abs() < 1e-2 * one, "{one} against {many}");
}

/// The derivative that the blocks write beside the value, against central differences of the value, through zero turn rate;
/// the transpose and the products with matrices, against the same derivative written out.
#[test]
fn derived_derivative_of_a_step_matches_differences() {
    compare_with_differences::<DIM>(&some_sensors(None, None));
    compare_with_differences::<GYRO_COMPASS_DIM>(&some_sensors(Some(&gyro_with_a_gap()), Some(&compass_with_a_gap())));
    compare_with_differences::<COMPASS_DIM>(&some_sensors(None, Some(&compass_with_a_gap())));
}

fn some_sensors(rates: Option<&GyroRates>, compass: Option<&CompassHeadings>) -> Setting {
    let (nodes, trajectory) = small_flight();
    let spans = [SteadySpan { start_s: 3.0, end_s: 6.0, marked: true }];
    let layout = Layout::new(rates.is_some(), compass.is_some());
    let mut setting = Setting::new(nodes, &spans, Levels::typical(0.0), layout);
    if let Some(rates) = rates {
        setting.add_gyro(rates, &trajectory);
    }
    if let Some(compass) = compass {
        setting.add_compass(compass);
    }
    setting.set_twist_period_s(3.0);
    setting
}

fn compare_with_differences<const N: usize>(setting: &Setting) {
    for turn in [0.0, 1e-9, 1e-4, 0.019, 0.021, 0.3, -0.3] {
        let mut x = some_state::<N>(turn);
        for part in DIM..N {
            x[part] = 0.01 * part as f64;
        }
        let step = expected(setting, &x);
        let mut derivative = Matrix::<N>::identity();
        for part in 0..N {
            let mut column = unit(part);
            step.apply(&mut column);
            derivative.set_column(part, &column);
            let h = 1e-5;
            let at = |d: f64| {
                let moved = x + d * unit(part);
                expected(setting, &moved).mean(&moved)
            };
            let difference = (at(h) - at(-h)) / (2.0 * h);
            let error = (difference - column).abs().max();
            assert!(error < 1e-7, "turn {turn}, part {part}: {error}");
        }
        let mut transposed = Matrix::<N>::zeros();
        for part in 0..N {
            let mut column = unit(part);
            step.apply_transposed(&mut column);
            transposed.set_column(part, &column);
        }
        assert!((transposed - derivative.transpose()).abs().max() < 1e-12);
        let root = Matrix::<N>::from_fn(|i, j| (1.3 * i as f64 + 0.7 * j as f64).sin());
        let some = root * root.transpose();
        let (mut forward, mut back) = (some, some);
        let (mut mean, mut score) = (x, x);
        step.carry(&mut mean, &mut forward);
        step.carry_back(&mut score, &mut back);
        assert!((mean - step.mean(&x)).abs().max() < 1e-12, "turn {turn}");
        assert!((score - transposed * x).abs().max() < 1e-12, "turn {turn}");
        let noise = disturbance::<N>(&step);
        assert!((forward - derivative * some * transposed - noise).abs().max() < 1e-9, "turn {turn}");
        assert!((back - transposed * some * derivative).abs().max() < 1e-9, "turn {turn}");
    }
}

/// Seven nodes a second apart, climbing, the last three of its steps in a window; node 3 has no fix, every other a velocity.
fn small_flight() -> (Vec<NodeInput>, Vec<Vector<DIM>>) {
    let mut x = some_state(0.1);
    let (mut nodes, mut trajectory) = (vec![], vec![]);
    for k in 0..7 {
        let wiggle = (f64::from(k) * 1.7).sin();
        let measured = (k != 3).then(|| Measured {
            position_m: [x[POS_E] + 0.4 * wiggle, x[POS_N] - 0.3 * wiggle],
            doppler_mps: (k % 2 == 0).then_some([9.0 + 0.2 * wiggle, 6.0 - 0.1 * wiggle]),
            fixes: 1.0,
        });
        let altitude_m = 500.0 + 10.0 * f64::from(k);
        nodes.push(NodeInput { t_s: f64::from(k), altitude_m: Some(altitude_m), climb_mps: None, measured });
        trajectory.push(x);
        x = expected(&one_step(1.0, k >= 3, PLAIN), &x).mean(&x);
    }
    (nodes, trajectory)
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
    compare_with_one_big_gaussian::<GYRO_COMPASS_DIM>(Some(&gyro_with_a_gap()), Some(&compass));
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
    let (_, trajectory) = small_flight();
    let setting = some_sensors(rates, compass);
    let trajectory: Vec<Vector<N>> =
        trajectory.iter().map(|x| Vector::from_fn(|part, _| if part < DIM { x[part] } else { 0.0 })).collect();
    let motion = if rates.is_some() { clock::motions(&trajectory, &setting.heights_m) } else { vec![] };
    let levels = setting.typical;
    let n = setting.nodes.len();
    let weights: [Vec<f64>; SOURCES] = std::array::from_fn(|_| vec![1.0; n]);
    let scales = vec![1.0; n - 1];
    let problem = Problem {
        setting: &setting,
        levels: &levels,
        weights: &weights,
        airspeed_scales: &scales,
        wind_scales: &scales,
        motion: &motion,
    };
    let smoothed = pass(&problem, &trajectory, Depth::Covariances, vec![]);
    // Shallower passes leave work out, and nothing else.
    for depth in [Depth::Means, Depth::Levels] {
        let shallow = pass(&problem, &trajectory, depth, vec![]);
        for (got, expected) in shallow.means().iter().zip(smoothed.means()) {
            assert!((got - expected).abs().max() < 1e-9, "{depth:?}: {got} {expected}");
        }
        let residuals =
            shallow.by_products.residuals.iter().flatten().zip(smoothed.by_products.residuals.iter().flatten());
        for (got, expected) in residuals {
            assert!((got - expected).abs() < 1e-9 * (1.0 + expected.abs()), "{depth:?}: {got} {expected}");
        }
    }

    // The joint prior of all states, built step by step.
    let steps: Vec<Step> = (0..n - 1)
        .map(|k| {
            let (x, next, interval) = (trajectory[k].as_slice(), trajectory[k + 1].as_slice(), &setting.intervals[k]);
            let mut step = Step::default();
            setting.blocks.step(
                &StepAt { k, interval, x, next, levels: &levels, airspeed_scale: 1.0, wind_scale: 1.0 },
                &mut step,
            );
            step
        })
        .collect();
    let derivatives: Vec<Matrix<N>> = steps
        .iter()
        .map(|step| {
            let mut derivative = Matrix::<N>::zeros();
            for part in 0..N {
                let mut column = unit(part);
                step.apply(&mut column);
                derivative.set_column(part, &column);
            }
            derivative
        })
        .collect();
    let mut mean = DVector::zeros(n * N);
    let mut cov = DMatrix::zeros(n * N, n * N);
    let prior = setting.blocks.prior(trajectory[0].as_slice(), &levels);
    let mut m = Vector::<N>::from_fn(|part, _| prior.mean[part]);
    let mut p = Matrix::from_diagonal(&Vector::<N>::from_fn(|part, _| prior.std_u[part].powi(2)));
    for k in 0..n {
        mean.rows_mut(k * N, N).copy_from(&m);
        cov.view_mut((k * N, k * N), (N, N)).copy_from(&p);
        let mut cross = p;
        for (j, derivative) in derivatives.iter().enumerate().skip(k) {
            cross = derivative * cross;
            cov.view_mut(((j + 1) * N, k * N), (N, N)).copy_from(&cross);
            cov.view_mut((k * N, (j + 1) * N), (N, N)).copy_from(&cross.transpose());
        }
        if k < n - 1 {
            m = steps[k].mean(&m);
            p = derivatives[k] * p * derivatives[k].transpose() + disturbance(&steps[k]);
        }
    }
    // All measurements at once: rows, values and noise, written out here, linearised about the same trajectory.
    let (mut rows, mut values, mut noise) = (vec![], vec![], vec![]);
    let twist = setting.blocks.layout.twist.unwrap_or_default();
    let gyro = setting.blocks.gyro.as_ref();
    let clock_part = setting.blocks.layout.gyro.map(|first| GyroStates::from(first).clock);
    for k in 0..n {
        let Some(reading) = gyro.and_then(|gyro| gyro.reading(k)) else { continue };
        let mut row = DVector::zeros(n * N);
        for part in [HEADING, GyroStates::from(setting.blocks.layout.gyro.unwrap_or_default()).drift, twist] {
            row[k * N + part] = 1.0;
        }
        rows.push(row);
        values.push(reading.heading_rad);
        noise.push(reading.variance_rad2);
    }
    for (k, x) in trajectory.iter().enumerate() {
        let reading = compass.and_then(|c| c.readings.iter().find(|r| r.t_s == setting.nodes[k].t_s));
        let Some(c) = reading.map(|r| r.heading_rad) else { continue };
        let states = CompassStates::from(setting.blocks.layout.compass.unwrap_or_default());
        let (rate, _) = turn_rate(x.as_slice());
        let bank = (x[AIRSPEED] * rate / GRAVITY_MPS2).atan();
        let deviation = [1.0, c.sin(), c.cos(), (2.0 * c).sin(), (2.0 * c).cos(), bank * c.cos()];
        let mut row = DVector::zeros(n * N);
        for (part, weight) in [(HEADING, 1.0), (twist, 1.0), (states.lag, rate), (states.slow, 1.0)]
            .into_iter()
            .chain(states.deviation.into_iter().chain([states.heeling]).zip(deviation.map(|share| -share)))
        {
            row[k * N + part] = weight;
        }
        rows.push(row);
        values.push(c);
        noise.push(levels[Level::COMPASS_WHITE]);
    }
    for (k, node) in setting.nodes.iter().enumerate() {
        let Some(measured) = &node.measured else { continue };
        for (axis, part) in [POS_E, POS_N].into_iter().enumerate() {
            let mut row = DVector::zeros(n * N);
            row[k * N + part] = 1.0;
            if let Some((motion, clock)) = motion.get(k).zip(clock_part) {
                row[k * N + clock] = -motion.velocity_mps[axis];
            }
            rows.push(row);
            values.push(measured.position_m[axis]);
            noise.push(levels[Level::POSITION]);
        }
        let Some(velocity) = measured.doppler_mps else { continue };
        for axis in 0..2 {
            let predict = |x: &Vector<N>| {
                let along = [x[HEADING].sin(), x[HEADING].cos()][axis];
                wind_at(setting.heights_m[k])[axis].of(x.as_slice()) + x[GUST_E + axis] + x[AIRSPEED] * along
            };
            let mut row = DVector::zeros(n * N);
            for part in 0..N {
                let h = 1e-5;
                let up = predict(&(trajectory[k] + h * unit(part)));
                let down = predict(&(trajectory[k] - h * unit(part)));
                row[k * N + part] = (up - down) / (2.0 * h);
            }
            if let Some((motion, clock)) = motion.get(k).zip(clock_part) {
                row[k * N + clock] = -motion.acceleration_mps2[axis];
            }
            let here = row.rows(k * N, N).dot(&trajectory[k]);
            values.push(velocity[axis] - predict(&trajectory[k]) + here);
            rows.push(row);
            // Velocities lie two seconds apart; the error of one lasts for ten.
            let correlation = if k == 0 { 0.0 } else { (-2.0_f64 / 10.0).exp() };
            noise.push(levels[Level::DOPPLER] * (1.0 + correlation) / (1.0 - correlation));
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
        let ours = smoothed.cross_covariance(i, &Functional::pick(a), j, &Functional::pick(b));
        assert!(
            (dense - ours).abs() < 1e-5 * (1.0 + dense.abs()),
            "({i}, {a}) with ({j}, {b}): {ours} against {dense}"
        );
    }
    for (k, a, b) in [(0, HEADING, HEADING), (3, HEADING, HEADING), (6, WIND_E, WIND_E), (5, STEADY, HEADING)] {
        let dense = cov[(k * N + a, k * N + b)];
        let ours = smoothed.covariance(k, &Functional::pick(a), &Functional::pick(b));
        assert!((dense - ours).abs() < 1e-5 * (1.0 + dense.abs()), "node {k} ({a}, {b}): {ours} against {dense}");
    }
}

#[test]
fn a_window_edge_between_fixes_gets_a_node_of_its_own() {
    use driftless_units::{GroundPath, PathPoint, Position, Velocity, VelocitySource};
    let points = (0..40)
        .map(|k| PathPoint {
            t_s: f64::from(k),
            position: Position::new(10.0 * f64::from(k), 0.0),
            altitude_m: Some(500.0 + 2.0 * f64::from(k)),
            velocity: Velocity::new(10.0, 0.0),
            velocity_source: VelocitySource::Positions,
        })
        .collect();
    let path = GroundPath { points, ..GroundPath::default() };
    let nodes = super::nodes::build(&path, &[SteadySpan { start_s: 10.25, end_s: 30.0, marked: true }]);
    assert_eq!(nodes.len(), 41);
    let edge = nodes.iter().find(|n| n.t_s == 10.25).expect("an edge node");
    assert!(edge.measured.is_none() && edge.altitude_m.is_some_and(|m| (m - 520.5).abs() < 1e-12));
    assert!(nodes.iter().all(|n| n.climb_mps.is_some_and(|climb| (climb - 2.0).abs() < 1e-9)));
    assert!(nodes.windows(2).all(|n| n[1].t_s > n[0].t_s));
}

#[test]
fn states_between_nodes_are_in_proportion_and_hold_beyond_the_ends() {
    let at = [10.0, 11.0, 13.0].map(|t_s| node(t_s, 500.0));
    let states: [Vector<DIM>; 3] = [1.0, 2.0, 6.0].map(Vector::repeat);
    let wanted = [9.0, 10.0, 10.25, 12.0, 13.0, 99.0].map(|t_s| node(t_s, 500.0));
    let got: Vec<f64> = start::between(&wanted, &at, &states).iter().map(|state| state[HEADING]).collect();
    assert_eq!(got, [1.0, 1.0, 1.25, 4.0, 6.0, 6.0]);
}

#[test]
fn a_part_is_watched_in_steps_that_are_no_break() {
    for broken in [false, true] {
        let mut step = Step::default();
        step.begin(&[0.0; DIM], broken);
        step.watch(HEADING);
        assert_eq!(step.watched(), (!broken).then_some(HEADING));
    }
}
