//! The covariance arithmetic against plain matrices, and the bound against a case that can be done by hand.

use super::covariance::Covariance;
use super::{Knowledge, bounds};
use driftless_sim::reference::{AirClass, Options, flight};
use driftless_sim::scenario::{Gusts, Leg};
use driftless_sim::simulate;
use nalgebra::{DMatrix, DVector};

/// F P Fᵀ and P - P hᵀ h P / s with general matrices.
#[test]
fn derived_covariance_arithmetic_equals_plain_matrices() {
    let mut ours = Covariance::independent(&[1.0, 2.0, 0.5, 3.0]);
    let mut plain = DMatrix::from_diagonal(&DVector::from_vec(vec![1.0, 4.0, 0.25, 9.0]));
    for (to, keep, terms) in [(0, 1.0, vec![(1, 0.3), (3, -0.2)]), (2, -1.0, vec![(0, 1.0)]), (1, 0.5, vec![])] {
        ours.combine(to, keep, &terms);
        let mut f = DMatrix::identity(4, 4);
        f[(to, to)] = keep;
        for (from, c) in terms {
            f[(to, from)] = c;
        }
        plain = &f * plain * f.transpose();
    }
    ours.disturb(1, 0.7);
    plain[(1, 1)] += 0.7;
    ours.learn_sum(0, 2, 0.16);
    let h = DMatrix::from_row_slice(1, 4, &[1.0, 0.0, 1.0, 0.0]);
    let s = (&h * &plain * h.transpose())[(0, 0)] + 0.16;
    plain = &plain - &plain * h.transpose() * &h * &plain / s;
    for i in 0..4 {
        for j in 0..4 {
            assert!((ours.at(i, j) - plain[(i, j)]).abs() < 1e-12, "({i}, {j})");
        }
    }
}

/// One long window in air that stands still and is known to, with white errors only: then turn rate, airspeed, heading
/// and place are the unknowns of a circle drawn at even speed, and the bound is that of five-parameter least squares
/// (two places, heading, airspeed, turn rate) with the derivatives of the circle, done here with a dense matrix.
#[test]
fn derived_bound_of_a_plain_circle_equals_least_squares() {
    let mut scenario = flight(AirClass::Still, 7, &Options { rate_hz: Some(1.0), ..Options::default() });
    scenario.air.slow_sd_mps = 0.0;
    scenario.air.wind_mps = 0.0;
    scenario.air.gusts = Gusts::None;
    scenario.air.shear_per_m = 0.0;
    scenario.air.veer_deg_per_m = 0.0;
    scenario.sensors.position_slow_m = 0.0;
    let setting = scenario.legs.iter().find_map(|leg| match leg {
        Leg::HandsOff { setting, .. } => *setting,
        _ => None,
    });
    scenario.legs = vec![Leg::HandsOff { seconds: 50.0, setting }];
    let flown = simulate(&scenario, 7).expect("flies");
    let last_s = flown.truth.duration_s();
    let got = super::model::Walk::in_still_air(&flown, &[(0.0, last_s)], Knowledge::Log).into_bounds()[0];

    let heading = |t_s: f64| flown.truth.heading_at(t_s).rad();
    let airspeed_mps = flown.truth.steps[0].airspeed_mps;
    // Derivatives of the position at t: by place (identity), heading, airspeed, turn rate; integrals along the truth.
    let mut rows = Vec::new();
    let mut by = [[0.0; 3]; 2];
    let h = 0.001;
    let steps_per_fix = 1000;
    for k in 0..=(last_s as usize * steps_per_fix) {
        let t_s = k as f64 * h;
        if k % steps_per_fix == 0 {
            for (place, [heading, airspeed, turn]) in [[1.0, 0.0], [0.0, 1.0]].iter().zip(by) {
                rows.extend([place[0], place[1], heading, airspeed, turn]);
            }
        }
        let (sin, cos) = heading(t_s + 0.5 * h).sin_cos();
        for (axis, (along, across)) in [(sin, cos), (cos, -sin)].into_iter().enumerate() {
            by[axis][0] += h * airspeed_mps * across;
            by[axis][1] += h * along;
            by[axis][2] += h * airspeed_mps * across * (t_s + 0.5 * h);
        }
    }
    let jacobian = DMatrix::from_row_slice(rows.len() / 5, 5, &rows);
    let covariance = (jacobian.transpose() * &jacobian).try_inverse().expect("a circle tells all five") * 0.4 * 0.4;
    let wanted = covariance[(4, 4)].sqrt().to_degrees();
    // Broad priors and steps of 0.05 s.
    assert!((got.turn_deg_s / wanted - 1.0).abs() < 2e-3, "{} and {wanted}", got.turn_deg_s);
    assert!((got.steady_deg_s / wanted - 1.0).abs() < 2e-3, "{} and {wanted}", got.steady_deg_s);
}

/// More noise, fewer fixes or less knowledge never make the bound smaller.
#[test]
fn derived_bound_grows_with_what_is_not_known() {
    let bound = |class, options: &Options, knowledge| {
        let flown = simulate(&flight(class, 11, options), 11).expect("flies");
        let windows: Vec<_> = flown.truth.windows.iter().map(|w| (w.start_s, w.end_s)).collect();
        let all = bounds(&flown, &windows, knowledge);
        all.iter().map(|b| b.turn_deg_s * b.turn_deg_s).sum::<f64>()
    };
    let slow = Options { rate_hz: Some(1.0), ..Options::default() };
    let fast = Options { rate_hz: Some(10.0), ..Options::default() };
    let reference = bound(AirClass::Light, &slow, Knowledge::Log);
    assert!(bound(AirClass::Moderate, &slow, Knowledge::Log) > reference);
    assert!(bound(AirClass::Still, &slow, Knowledge::Log) < reference);
    assert!(bound(AirClass::Light, &fast, Knowledge::Log) < reference);
    assert!(bound(AirClass::Light, &slow, Knowledge::LagsToo) < reference);
    assert!(bound(AirClass::Light, &slow, Knowledge::FreerPilot) > reference);
    let igc = Options { igc_quantised: true, ..slow };
    assert!(bound(AirClass::Light, &igc, Knowledge::Log) > reference);
}
