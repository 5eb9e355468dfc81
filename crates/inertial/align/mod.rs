//! Alignment: which moment of the sensor's clock is which moment of the flight, and what its rates mean there.
//!
//! The road: down (gravity) → rate about down → lag against the turn rate of the estimate (`coarse`) → forward →
//! attitude with the turn's acceleration taken off → offset, drift, bias and scale together
//! (`refine`).

mod coarse;
mod columns;
mod error;
mod flight;
mod grids;
mod refine;

#[cfg(test)]
mod tests;

pub use columns::FlightColumns;
pub use error::AlignError;
pub use flight::FlightNodes;

use crate::attitude::{AttitudeConfig, AttitudePath, body_axes, follow};
use crate::constants::{
    BIAS_AFTER_STILL_RAD_S, BIAS_OPEN_RAD_S, CLOCK_DRIFT, GRID_S, LEAST_CORRELATION, LEAST_FACTOR, LEAST_SHARED_S,
    LEAST_TURNING_RAD_S, LEAST_TURNING_SIGMAS, LEVEL_RAD, MOST_FACTOR, NEAR_CLOCK_S, OFFSET_MOST_STD_U_S, RIVAL_SHARE,
    SAME_PEAK_S, SCALE, UNIT_WITHIN, USUAL_SWING_S,
};
use crate::log::ImuLog;
use crate::mounting::{Down, DownError, Forward, find_down, find_forward};
use crate::read::has_dead_axis;
use crate::still::{StillBias, still_bias};
use coarse::{Peak, Search, best_lag};
use driftless_units::Estimate;
use grids::{flight_grid, gyro_grid};
use refine::{Priors, Refined, refine, slope};

/// What is known of the clocks beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClockPrior {
    /// Both clocks have dates: track time = sensor time + this, to within some minutes at most (seconds).
    Near(f64),
    /// The sensor counts from a start of its own.
    Open,
}

/// The inertial data, aligned with the flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Alignment {
    /// Track time - sensor time at `at_s`, seconds. For clocks that both have UTC: how late the flight log is.
    pub offset_s: Estimate<f64>,
    /// The part of its uncertainty that a pitched down axis may make, seconds: no turn tells it from the clock.
    pub axis_std_u_s: f64,
    /// Seconds of track time by which the offset grows in a second.
    pub drift: Estimate<f64>,
    /// Track time at which the offset holds.
    pub at_s: f64,
    /// The rest of the gyro bias about the vertical, after `bias_start`, rad/s.
    pub bias_rad_s: Estimate<f64>,
    /// What the estimate's heading changes are over the gyro's.
    pub scale: Estimate<f64>,
    /// Correlation of the turn rates of gyro and estimate, means over six seconds.
    pub correlation: f64,
    /// Spread of the differences of those turn rates, rad/s.
    pub residual_rad_s: f64,
    /// Down.
    pub down: Down,
    /// Forward, where the flight shows it.
    pub forward: Option<Forward>,
    /// Bias while the sensor lay still, where it did.
    pub still: Option<StillBias>,
    /// Whether the accelerometer writes gravity downward.
    pub accel_reversed: bool,
    /// What the attitude was followed with.
    pub config: AttitudeConfig,
    /// Attitude on the sensor's clock.
    pub path: AttitudePath,
}

impl Alignment {
    /// Rows: the pilot's forward, right and down axes in sensor axes.
    pub(crate) fn sensor_to_pilot(&self) -> nalgebra::Matrix3<f64> {
        body_axes(&self.config)
    }

    /// Sensor time of a track time.
    pub fn sensor_s(&self, track_s: f64) -> f64 {
        track_s - self.offset_s.value - self.drift.value * (track_s - self.at_s)
    }
}

/// Aligns inertial data with a flight.
///
/// # Errors
/// [`AlignError`], which says what is missing.
pub fn align(log: &ImuLog, nodes: &FlightNodes<'_>, clock: ClockPrior) -> Result<Alignment, AlignError> {
    check_sensors(log)?;
    let down = first_down(log, nodes, clock)?;
    let still = still_bias(log);
    let bias_rad_s = still.map_or([0.0; 3], |s| s.rad_s);
    let peak = coarse_lag(log, nodes, &down, bias_rad_s, clock)?;
    let reversed = peak.correlation < 0.0;
    // Once more over the flight alone: a sensor that stood on the ground for long stood another way.
    let down = match nodes.span_s() {
        Some([from_s, to_s]) => find_down(log, from_s - peak.offset_s, to_s - peak.offset_s)?,
        None => down,
    };
    let axis = if reversed { down.axis.map(|c| -c) } else { down.axis };
    let offset_s = peak.offset_s;

    let forward = find_forward(&log.gyro, axis, |t| nodes.turn_at(t + offset_s));
    let config = AttitudeConfig { down: axis, forward: forward.map(|f| f.axis), bias_rad_s, accel_reversed: reversed };
    let path = follow(log, &config, |t| Some(nodes.turn_at(t + offset_s)?.airspeed_mps));
    check_unit(nodes, &path, offset_s)?;
    let priors = Priors {
        drift: CLOCK_DRIFT.value,
        bias_rad_s: if still.is_some() { BIAS_AFTER_STILL_RAD_S.value } else { BIAS_OPEN_RAD_S.value },
        scale: SCALE.value,
    };
    let mut refined = refined(nodes, &path, offset_s, &priors)?;
    let axis_std_u_s = axis_std_u_s(nodes);
    refined.offset_s.std_u = refined.offset_s.std_u.hypot(axis_std_u_s);
    if refined.offset_s.std_u > OFFSET_MOST_STD_U_S.value || refined.correlation < LEAST_CORRELATION.value {
        return Err(AlignError::OffsetUncertain {
            std_u_s: refined.offset_s.std_u,
            limit_s: OFFSET_MOST_STD_U_S.value,
            correlation: refined.correlation,
        });
    }
    Ok(Alignment {
        offset_s: refined.offset_s,
        axis_std_u_s,
        drift: refined.drift,
        at_s: refined.at_s,
        bias_rad_s: refined.bias_rad_s,
        scale: refined.scale,
        correlation: refined.correlation,
        residual_rad_s: refined.residual_rad_s,
        down: Down { axis, ..down },
        forward,
        still,
        accel_reversed: reversed,
        config,
        path,
    })
}

fn check_sensors(log: &ImuLog) -> Result<(), AlignError> {
    if log.gyro.len() < 2 {
        return Err(AlignError::NoGyro);
    }
    if has_dead_axis(log, crate::read::columns::Sensor::Gyro) {
        return Err(AlignError::DeadGyroAxis);
    }
    if has_dead_axis(log, crate::read::columns::Sensor::Accel) || log.accel.is_empty() {
        return Err(DownError::NoAccelerometer.into());
    }
    Ok(())
}

/// Down over the flight where its time is known, else over the whole log.
fn first_down(log: &ImuLog, nodes: &FlightNodes<'_>, clock: ClockPrior) -> Result<Down, AlignError> {
    let [mut from_s, mut to_s] = log.accel.span_s().unwrap_or_default();
    if let (ClockPrior::Near(offset_s), Some([start_s, end_s])) = (clock, nodes.span_s()) {
        let (first_s, last_s) = (start_s - offset_s, end_s - offset_s);
        let apart_s = (first_s - to_s).max(from_s - last_s);
        if apart_s > 0.0 {
            return Err(AlignError::NoOverlap { apart_s });
        }
        (from_s, to_s) = (from_s.max(first_s - NEAR_CLOCK_S.value), to_s.min(last_s + NEAR_CLOCK_S.value));
    }
    Ok(find_down(log, from_s, to_s)?)
}

/// A coarse offset and the correlation it rests on.
struct Coarse {
    offset_s: f64,
    correlation: f64,
}

fn coarse_lag(
    log: &ImuLog,
    nodes: &FlightNodes<'_>,
    down: &Down,
    bias_rad_s: [f64; 3],
    clock: ClockPrior,
) -> Result<Coarse, AlignError> {
    check_turning(nodes)?;
    let (gyro, gyro_from_s) = gyro_grid(&log.gyro, down.axis, bias_rad_s);
    let (flight, flight_from_s) = flight_grid(nodes);
    let steps = |seconds: f64| (seconds / GRID_S.value).round() as i64;
    let known = |series: &coarse::Series| series.iter().flatten().count();
    // Lag of the flight's series behind the gyro's: track time = sensor time + offset.
    let zero_s = flight_from_s - gyro_from_s;
    let lags = match clock {
        ClockPrior::Near(offset_s) => {
            [steps(offset_s - NEAR_CLOCK_S.value - zero_s), steps(offset_s + NEAR_CLOCK_S.value - zero_s)]
        }
        ClockPrior::Open => [i64::MIN / 4, i64::MAX / 4],
    };
    let overlap = (known(&gyro).min(known(&flight)) / 3).max(steps(LEAST_SHARED_S.value) as usize);
    let search = Search { lags, overlap, neighbours: steps(SAME_PEAK_S.value), either_sign: true };
    let Some(Peak { lag, correlation, rival }) = best_lag(&gyro, &flight, &search) else {
        return Err(AlignError::NothingInCommon);
    };
    if correlation.abs() < LEAST_CORRELATION.value {
        return Err(AlignError::CorrelationOfChance { correlation, limit: LEAST_CORRELATION.value });
    }
    if rival > RIVAL_SHARE.value {
        return Err(AlignError::AnotherOffset { rival, limit: RIVAL_SHARE.value });
    }
    Ok(Coarse { offset_s: zero_s + lag as f64 * GRID_S.value, correlation })
}

fn check_turning(nodes: &FlightNodes<'_>) -> Result<(), AlignError> {
    let n = nodes.t_s.len().max(1) as f64;
    let mean = nodes.turn_rate_rad_s.iter().sum::<f64>() / n;
    let turning = (nodes.turn_rate_rad_s.iter().map(|r| (r - mean).powi(2)).sum::<f64>() / n).sqrt();
    let unsure = (nodes.turn_rate_std_u_rad_s.iter().map(|u| u * u).sum::<f64>() / n).sqrt();
    if turning < LEAST_TURNING_RAD_S.value || turning < LEAST_TURNING_SIGMAS.value * unsure {
        return Err(AlignError::TooLittleTurning {
            turning_rad_s: turning,
            std_u_rad_s: unsure,
            limit_rad_s: LEAST_TURNING_RAD_S.value.max(LEAST_TURNING_SIGMAS.value * unsure),
        });
    }
    Ok(())
}

fn refined(
    nodes: &FlightNodes<'_>,
    path: &AttitudePath,
    offset_s: f64,
    priors: &Priors,
) -> Result<Refined, AlignError> {
    refine(nodes, path, USUAL_SWING_S.value, offset_s, priors).ok_or(AlignError::TooLittleShared)
}

/// What an error of the down axis in pitch does to the offset. The heading of an axis that is pitched by ε is off by ε sin φ
/// in a bank φ; in coordinated turns that is ε V ω / g, the same as a clock that is off by ε V / g.
fn axis_std_u_s(nodes: &FlightNodes<'_>) -> f64 {
    let n = nodes.airspeed_mps.len().max(1) as f64;
    LEVEL_RAD.value * nodes.airspeed_mps.iter().sum::<f64>() / n / driftless_units::GRAVITY_MPS2
}

/// A factor of 57.3 either way is a unit; any other is not the gyro of this flight, or a broken one.
fn check_unit(nodes: &FlightNodes<'_>, path: &AttitudePath, offset_s: f64) -> Result<(), AlignError> {
    let Some((slope, correlation)) = slope(nodes, path, USUAL_SWING_S.value, offset_s) else { return Ok(()) };
    let factor = 1.0 / slope;
    let near = |known: f64| (known / UNIT_WITHIN.value..known * UNIT_WITHIN.value).contains(&factor);
    if near(57.3) {
        return Err(AlignError::GyroUnit { factor });
    }
    if near(1.0 / 57.3) {
        return Err(AlignError::GyroUnit { factor });
    }
    if !(LEAST_FACTOR.value..MOST_FACTOR.value).contains(&factor) && correlation > LEAST_CORRELATION.value {
        return Err(AlignError::NotThisGyro {
            factor,
            limit: if factor < 1.0 { LEAST_FACTOR.value } else { MOST_FACTOR.value },
        });
    }
    Ok(())
}
