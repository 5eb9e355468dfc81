//! One flight with an inertial sensor: flown, written as files, analysed with the sensor and without, and held against its
//! truth.

use super::clock_bound::least_error_s;
use super::study::Kind;
use crate::ValidateError;
use crate::score::{DEGREES, Judged, TruthOnTrack, WindowScore, analyse};
use driftless_analysis::{
    CompassDoubt, FlightAnalysis, InertialAnalysis, InertialFile, InertialStatus, SensorCompass, SensorsUsed,
};
use driftless_display::reasons::{gyro_left_out, why_not_aligned, why_not_used};
use driftless_sim::reference::AirClass;
use driftless_sim::scenario::Imu;
use driftless_sim::{SimulatedFlight, simulate};
use driftless_units::{Estimate, TurnRate, wrap_180_deg};

/// A flight and its two analyses.
#[derive(Debug, Clone)]
pub struct Flown {
    /// The flight.
    pub flight: SimulatedFlight,
    /// The log alone.
    pub alone: FlightAnalysis,
    /// The log with its inertial file.
    pub with_sensor: FlightAnalysis,
}

/// One window, measured twice.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowPair {
    /// By GPS alone.
    pub alone: WindowScore,
    /// With the inertial file.
    pub with_sensor: WindowScore,
    /// The gyro's own heading change over the length, °/s, which the estimate has no part in beyond the alignment.
    pub own: Option<Judged>,
}

/// The compass of a flight.
#[derive(Debug, Clone, PartialEq)]
pub struct CompassScore {
    /// Whether the program found it consistent.
    pub consistent: bool,
    /// Why not.
    pub doubts: Vec<CompassDoubt>,
    /// Whether it took part in the turn rates.
    pub in_estimate: bool,
    /// Errors of its headings, degrees.
    pub heading_errors_deg: Vec<f64>,
    /// Error of the hard iron across the pilot's down axis, µT: the part that turns headings.
    pub iron_level_ut: f64,
    /// Its error along that axis.
    pub iron_down_ut: f64,
}

/// One flight against its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct InertialScore {
    /// Its seed.
    pub seed: u64,
    /// Why there is no clock offset; `None` when there is one.
    pub not_aligned: Option<String>,
    /// Why the gyro has no part in the turn rates; `None` when it has.
    pub refused: Option<String>,
    /// Windows, in time order.
    pub windows: Vec<WindowPair>,
    /// Clock offset, s.
    pub clock: Option<Judged>,
    /// Least standard error of the clock offset on this flight, s.
    pub clock_bound_s: Option<f64>,
    /// Gyro bias about the pilot's vertical in the middle of the flight, °/s.
    pub bias: Option<Judged>,
    /// Scale: turn over the gyro's.
    pub scale: Option<Judged>,
    /// The compass, when there is one.
    pub compass: Option<CompassScore>,
}

/// Flies one flight and analyses it twice.
///
/// # Errors
/// [`ValidateError`] when the flight does not come through at all; what the program refuses is part of the score.
pub fn fly(class: AirClass, kind: Kind, seed: u64) -> Result<Flown, ValidateError> {
    let scenario = kind.scenario(class, seed);
    let flight = simulate(&scenario, seed).map_err(|source| ValidateError::Simulate { seed, source })?;
    let file = InertialFile {
        name: "imu.csv".to_owned(),
        bytes: flight.to_imu_csv().into_bytes().into(),
        sha256: String::new(),
        mapping_toml: None,
    };
    let alone = analyse(&flight, kind.config(), Vec::new())?;
    let with_sensor = analyse(&flight, kind.config(), vec![file])?;
    Ok(Flown { flight, alone, with_sensor })
}

impl Flown {
    /// Holds both analyses against the truth.
    pub fn score(&self) -> InertialScore {
        let truth = TruthOnTrack::new(&self.flight.truth, &self.with_sensor.track);
        let found = self.with_sensor.inertial.as_ref();
        let imu = self.flight.scenario.sensors.imu.as_ref();
        InertialScore {
            seed: self.flight.seed,
            not_aligned: found.and_then(|f| why_not_aligned(&f.status)),
            refused: self.why_refused(),
            windows: self.windows(&truth),
            clock: found.zip(imu).and_then(|(found, imu)| self.clock(found, imu)),
            clock_bound_s: least_error_s(&self.flight),
            bias: found.zip(imu).and_then(|(found, imu)| self.bias(found, imu, &truth)),
            scale: found.zip(imu).and_then(|(found, imu)| {
                let scale = found.alignment.as_ref()?.scale;
                Some(Judged::of(&scale, 1.0 / (1.0 + imu.gyro_scale_error), 1.0))
            }),
            compass: found.zip(imu).and_then(|(found, imu)| {
                judge_compass(found.compass.as_ref()?, found.status.compass_takes_part(), imu, &truth)
            }),
        }
    }

    fn why_refused(&self) -> Option<String> {
        let found = self.with_sensor.inertial.as_ref()?;
        match &found.status {
            InertialStatus::Used(SensorsUsed::Compass(why)) => Some(gyro_left_out(why)),
            status => why_not_used(status),
        }
    }

    fn windows(&self, truth: &TruthOnTrack<'_>) -> Vec<WindowPair> {
        let found = self.with_sensor.inertial.as_ref();
        let own = |id: u32| {
            let of_sensor = found?.windows.iter().find(|w| w.id == id)?.heading_change?;
            let window = &self.with_sensor.windows.iter().find(|w| w.window.id == id)?.window;
            let length_s = window.end_s - window.start_s;
            let rate = |angle: driftless_units::Angle| TurnRate::from_rad_s(angle.rad() / length_s);
            let rate = Estimate::with_dof(rate(of_sensor.value), rate(of_sensor.std_u), of_sensor.dof);
            let realised = truth.truth.realised_rate(truth.time_s(window.start_s), truth.time_s(window.end_s));
            Some(Judged::of(&rate, realised, DEGREES))
        };
        let alone = |id: u32| self.alone.windows.iter().find(|w| w.window.id == id);
        let pair = |both: &driftless_analysis::WindowMeasurement| {
            let id = both.window.id;
            Some(WindowPair {
                alone: truth.window(&self.alone, alone(id)?),
                with_sensor: truth.window(&self.with_sensor, both),
                own: own(id),
            })
        };
        self.with_sensor.windows.iter().filter_map(pair).collect()
    }

    /// Log time less sensor time against what the simulated clock was ahead at that moment.
    fn clock(&self, found: &InertialAnalysis, imu: &Imu) -> Option<Judged> {
        let offset = found.clock_offset(&self.with_sensor.track)?;
        let t_s = (offset.at - self.flight.truth.epoch).as_seconds_f64();
        Some(Judged::of(&offset.offset_s, -(imu.clock_ahead_s + 1e-6 * imu.clock_drift_ppm * t_s), 1.0))
    }

    /// The bias walks: it is held against the truth at the moment for which the clock offset is stated, the middle of the
    /// flight.
    fn bias(&self, found: &InertialAnalysis, imu: &Imu, truth: &TruthOnTrack<'_>) -> Option<Judged> {
        let down = imu.seen_by_sensor([0.0, 0.0, 1.0]);
        let middle_s = truth.time_s(found.alignment.as_ref()?.at_s);
        let written_s = middle_s + imu.clock_ahead_s + 1e-6 * imu.clock_drift_ppm * middle_s;
        let samples = &self.flight.imu;
        let sample = samples.get(samples.partition_point(|s| s.t_s < written_s))?;
        let bias: f64 = sample.bias_rad_s.iter().zip(down).map(|(b, d)| b * d).sum();
        Some(Judged::of(&found.vertical_bias_rad_s()?, bias, DEGREES))
    }
}

fn judge_compass(
    compass: &SensorCompass,
    in_estimate: bool,
    imu: &Imu,
    truth: &TruthOnTrack<'_>,
) -> Option<CompassScore> {
    let calibrated = &compass.calibrated;
    let heading_errors_deg = calibrated
        .t_s
        .iter()
        .zip(&calibrated.heading_rad)
        .map(|(t, heading)| wrap_180_deg(heading.to_degrees() - truth.truth.heading_at(truth.time_s(*t)).deg()))
        .collect();
    let iron = imu.mag.as_ref()?.hard_iron_ut;
    let down = imu.seen_by_sensor([0.0, 0.0, 1.0]);
    let error = [0, 1, 2].map(|i| calibrated.hard_iron_ut[i] - iron[i]);
    let iron_down_ut: f64 = error.iter().zip(down).map(|(e, d)| e * d).sum();
    let square: f64 = error.iter().map(|e| e * e).sum();
    Some(CompassScore {
        consistent: compass.is_consistent(),
        doubts: compass.doubts.clone(),
        in_estimate,
        heading_errors_deg,
        iron_level_ut: (square - iron_down_ut * iron_down_ut).max(0.0).sqrt(),
        iron_down_ut,
    })
}
