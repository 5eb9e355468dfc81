//! What the estimate says to a path or an earlier estimate that holds no flight.

use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::simulate;
use driftless_track::{TrackConfig, prepare};
use driftless_units::{Estimate, Wind};
use driftless_wind::flight::{
    EstimateError, GyroDoubt, GyroEstimateError, GyroRates, StartGuess, SteadySpan, estimate, estimate_with_gyro,
    estimate_with_windows,
};

#[test]
fn regression_nothing_to_go_on_from_is_an_error() {
    let flight = simulate(&reference::flight(AirClass::Light, 1, &Options::default()), 1).expect("it flies");
    let path = prepare(&flight.to_log(), &TrackConfig::default()).expect("it has a track").path();
    let start = StartGuess { wind: Wind::default(), airspeed_mps: 10.0 };
    let free = estimate(&path, &[start]).expect("it can be estimated");
    let spans = [SteadySpan { start_s: 100.0, end_s: 130.0, marked: true }];

    let (mut empty, mut grounded, mut hollow) = (path.clone(), path.clone(), free.clone());
    empty.points.clear();
    grounded.takeoff_s = path.points.last().map(|last| last.t_s - 10.0);
    hollow.nodes.clear();
    let too_short = |error: &EstimateError| matches!(error, EstimateError::TooShort { .. });
    for (path, earlier) in [(&empty, &free), (&grounded, &free), (&path, &hollow)] {
        assert!(estimate_with_windows(path, earlier, &spans).is_err_and(|e| too_short(&e)));
        let gyro = GyroRates {
            increments: vec![],
            bias_rad_s: Estimate::new(0.0, 0.01),
            bias_walk: 3e-5,
            scale_std_u: 0.01,
            clock_std_u_s: 0.1,
            doubt: GyroDoubt::default(),
        };
        let refused = estimate_with_gyro(path, earlier, &spans, &gyro);
        assert!(matches!(refused, Err(GyroEstimateError::Estimate(e)) if too_short(&e)));
    }
    assert!(estimate(&empty, &[]).is_err_and(|e| too_short(&e)));
}
