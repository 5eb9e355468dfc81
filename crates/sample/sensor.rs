//! The flight with an inertial sensor on board.

use crate::flight;
use driftless_analysis::{
    BiasSlope, Difference, FlightAnalysis, GyroEstimateError, HandsHint, Headings, InertialAnalysis, InertialSource,
    InertialStatus, InertialWindow, NotUsed, OwnNoise, SensorHealth, Spectrum, TemperatureHealth,
};
use driftless_inertial::allan::{overlapping, read_off};
use driftless_units::{Angle, Estimate, TurnRate};

/// A sensor that slept for forty seconds and then saw the flight; `odd` stands for a few of its values.
pub fn with_sensor(odd: Option<f64>) -> FlightAnalysis {
    let mut analysis = flight();
    // White noise by the generator of NIST SP 1065, section 12.4.
    let mut n = 1_234_567_890_u64;
    let mut white = || {
        n = 16_807 * n % 2_147_483_647;
        1e-3 * (n as f64 / 2_147_483_647.0 - 0.5)
    };
    let rates: Vec<f64> = (0..2000).map(|_| white()).collect();
    let mut curve = overlapping(&rates, 0.02);
    let noise = Some(read_off(&curve));
    let t_s: Vec<f64> = (0..900).map(f64::from).collect();
    let mut headings = Headings {
        by_estimate: true,
        flight_deg: t_s.iter().map(|t| 3.0 * t).collect(),
        gyro_less_flight_deg: t_s.iter().map(|t| (*t % 400.0 > 0.5).then(|| (0.01 * t).sin())).collect(),
        compass_t_s: t_s.clone(),
        compass_less_flight_deg: t_s.iter().map(|t| 4.0 * (0.1 * t).sin()).collect(),
        gyro: Some(Difference { mean_deg: 0.0, scatter_deg: 0.7, within95_deg: 1.0, count: 897 }),
        compass: Some(Difference { mean_deg: 0.1, scatter_deg: 2.8, within95_deg: 4.0, count: 900 }),
        t_s,
    };
    let frequency_hz: Vec<f64> = (1..200).map(|k| 0.05 * f64::from(k)).collect();
    let mut deg2_per_hz: Vec<f64> = frequency_hz.iter().map(|hz| 1.0 / (1.0 + (hz - 0.35).powi(2) * 400.0)).collect();
    if let Some(odd) = odd {
        curve[3].deviation = odd;
        headings.flight_deg[5] = odd;
        headings.gyro_less_flight_deg[9] = Some(odd);
        headings.compass_less_flight_deg[11] = odd;
        headings.t_s[700] = odd;
        deg2_per_hz[7] = odd;
    }
    let spectrum = Spectrum { frequency_hz, deg2_per_hz };
    let files = vec![InertialSource { name: "logs/<phone>.csv".to_owned(), sha256: "ab".repeat(32) }];
    let status = InertialStatus::NotUsed(NotUsed::Gyro(GyroEstimateError::NoOverlap));
    analysis.inertial = Some(InertialAnalysis {
        health: Some(SensorHealth {
            gyro_rate_hz: odd.unwrap_or(50.0),
            gaps: 1,
            missing_s: 2.0,
            still: None,
            allan: [curve.clone(), curve.clone(), curve],
            noise,
            temperature: Some(TemperatureHealth {
                range_c: [odd.unwrap_or(21.0), 25.0],
                ends_c: [21.0, 25.0],
                of_flight: true,
                bias_slope: Some(BiasSlope {
                    rad_s_per_k: [Estimate::new(odd.unwrap_or(0.02).to_radians(), 0.004_f64.to_radians()); 3],
                    range_c: [21.0, 25.0],
                    seconds: 120.0,
                }),
            }),
        }),
        own_noise: Some(OwnNoise::Known {
            minute_rad_s: 0.002_f64.to_radians(),
            ten_seconds_rad_s: 0.005_f64.to_radians(),
            gps_minute_rad_s: Some(0.1_f64.to_radians()),
        }),
        headings: Some(headings),
        windows: vec![InertialWindow {
            id: 1,
            gps_alone: Some(Estimate::new(TurnRate::from_deg_s(odd.unwrap_or(3.0)), TurnRate::from_deg_s(0.1))),
            heading_change: Some(Estimate::new(Angle::from_deg(odd.unwrap_or(184.0)), Angle::from_deg(2.0))),
            roll: Some(spectrum.clone()),
            twist: Some(spectrum),
            swing_period_s: Some(2.9),
            hint: HandsHint::Off { ratio: 0.45 },
        }],
        ..InertialAnalysis::new(files, status)
    });
    analysis
}
