//! A magnetometer made a compass, and whether it is consistent enough to be believed.
//!
//! Iron is found from the field alone (`iron`). What is left points to magnetic north; declination by the model makes it
//! true north in the level axes of the gyro's attitude, where it hardly moves. The heading is that of the gyro's attitude
//! less north. The field found must be the Earth's (strength, dip, declination by the model), and the headings must follow the
//! flight; else the compass is shown and left out.

use super::iron::{FieldSample, Iron, find_iron};
use super::{CalibrationDoubt, EarthField};
use crate::align::{Alignment, FlightNodes};
use crate::constants::{
    DECLINATION_LEAST_DEG, DECLINATION_MOST_DEG, DECLINATION_SIGMAS, DIP_DEG, FEWEST_SECTORS, FIELD_MEAN_S,
    HEADING_SECTORS, LEAST_HEELING, LEVEL_RAD, LEVEL_SHARE, SOFT_IRON_RAD, SPREAD_DEG, STRENGTH_SHARE, TWISTED_RAD,
    USUAL_SWING_S,
};
use crate::log::ImuLog;
use crate::robust::spread;
use driftless_units::median;
use driftless_units::{wrap_180_deg, wrap_360_deg, wrap_pi_rad};
use nalgebra::{Matrix3, Vector3};

/// A calibrated compass.
#[derive(Debug, Clone, PartialEq)]
pub struct Compass {
    /// Field of the things about the sensor, µT, sensor axes.
    pub hard_iron_ut: [f64; 3],
    /// Strength of the field found, µT.
    pub strength_ut: f64,
    /// Its dip, degrees, downward positive.
    pub inclination_deg: f64,
    /// Its direction against the headings of the flight, degrees: declination as flown.
    pub declination_deg: f64,
    /// Track times of the headings, seconds.
    pub t_s: Vec<f64>,
    /// True headings by the compass with the model's declination, rad, not unwrapped.
    pub heading_rad: Vec<f64>,
    /// Direction of true north by the compass, from the zero of the gyro's heading, at those times, rad, not unwrapped.
    pub north_rad: Vec<f64>,
    /// How well the deviation that is left is known beforehand.
    pub deviation: DeviationPrior,
    /// Spread of their differences from the flight's headings, degrees.
    pub spread_deg: f64,
    /// Why it is not to be used; empty when it proved consistent.
    pub doubts: Vec<CalibrationDoubt>,
}

/// Standard uncertainties of what the calibration leaves of the deviation (coefficients as in the trade: see
/// `driftless_wind::flight::CompassHeadings`).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DeviationPrior {
    /// Coefficients A to E, rad.
    pub coefficients_rad: [f64; 5],
    /// Heeling coefficient, rad per rad of bank.
    pub heeling: f64,
}

impl Compass {
    /// Whether it proved consistent.
    pub fn is_consistent(&self) -> bool {
        self.doubts.is_empty()
    }

    /// True headings by the compass at track times, rad, not unwrapped, by the attitude of `alignment`, averaged over
    /// `averaged_s` (0: as the sensor points, swing and all); `None` where a gap is near.
    pub fn headings_rad(&self, alignment: &Alignment, track_s: &[f64], averaged_s: f64) -> Vec<Option<f64>> {
        track_s
            .iter()
            .map(|&t_s| {
                let own = alignment.path.smooth_heading(alignment.sensor_s(t_s), averaged_s)?;
                Some(own - self.north_at(alignment, t_s)?)
            })
            .collect()
    }

    /// Mean direction of north about a track time, within one run of the gyro.
    fn north_at(&self, alignment: &Alignment, track_s: f64) -> Option<f64> {
        let run = |t_s: f64| alignment.path.run_at(alignment.sensor_s(t_s));
        let here = run(track_s)?;
        let from = self.t_s.partition_point(|t| *t < track_s - FIELD_MEAN_S.value);
        let near = (from..self.t_s.len()).take_while(|i| self.t_s[*i] <= track_s + FIELD_MEAN_S.value);
        let (mut sine, mut cosine, mut count) = (0.0, 0.0, 0);
        for i in near.filter(|i| run(self.t_s[*i]) == Some(here)) {
            let (s, c) = self.north_rad[i].sin_cos();
            (sine, cosine, count) = (sine + s, cosine + c, count + 1);
        }
        (count > 0).then(|| sine.atan2(cosine))
    }
}

/// Why there is no compass at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompassError {
    /// There is no magnetometer that can be used.
    #[error("no usable magnetometer")]
    None,
    /// Headings flown do not go around.
    #[error("headings within {covered_deg:.0}° only")]
    NoTurns {
        /// Headings covered.
        covered_deg: f64,
    },
}

/// One sample.
struct Sample {
    t_s: f64,
    /// Heading of the flight, rad.
    flight_rad: f64,
    /// Heading of the gyro's path, mean over a swing, rad.
    path_rad: f64,
    /// Heading of that path less that of the attitude, rad: the path is unwrapped.
    shift_rad: f64,
    field: FieldSample,
}

/// Calibrates the magnetometer on the flight's turns. `earth` is the model's field, where there is one: without it
/// nothing can be tested, and the compass is shown only.
///
/// # Errors
/// [`CompassError`] when there is nothing to calibrate, or the flight does not turn around.
pub fn calibrate(
    log: &ImuLog,
    alignment: &Alignment,
    nodes: &FlightNodes<'_>,
    earth: Option<&EarthField>,
) -> Result<Compass, CompassError> {
    let samples = samples(log, alignment, nodes);
    if samples.is_empty() {
        return Err(CompassError::None);
    }
    check_turns(&samples)?;
    let iron = find_iron(samples.iter().map(|s| &s.field), earth).ok_or(CompassError::None)?;
    let declination = earth.map_or(0.0, |e| e.declination_deg.to_radians());
    let (mut t_s, mut heading_rad, mut north_rad, mut apart_rad) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for sample in &samples {
        let left = sample.field.without(&iron.iron_ut);
        let north = left.y.atan2(left.x) - declination + sample.shift_rad;
        let heading = sample.path_rad - north;
        t_s.push(sample.t_s);
        heading_rad.push(heading.rem_euclid(std::f64::consts::TAU));
        north_rad.push(north.rem_euclid(std::f64::consts::TAU));
        apart_rad.push(wrap_pi_rad(heading - sample.flight_rad));
    }
    // About the mean direction, so that the place of the cut does not matter.
    let (sine, cosine) = apart_rad.iter().fold((0.0, 0.0), |s, a| (s.0 + a.sin(), s.1 + a.cos()));
    let mean = sine.atan2(cosine);
    let about: Vec<f64> = apart_rad.iter().map(|a| wrap_pi_rad(a - mean).to_degrees()).collect();
    let offset_deg = mean.to_degrees() + median(about.iter().copied()).unwrap_or(f64::NAN);
    let mut compass = Compass {
        hard_iron_ut: iron.iron_ut.into(),
        strength_ut: iron.strength_ut,
        inclination_deg: (iron.down_ut / iron.strength_ut).clamp(-1.0, 1.0).asin().to_degrees(),
        declination_deg: wrap_180_deg(declination.to_degrees() - offset_deg),
        t_s,
        heading_rad,
        north_rad,
        deviation: deviation(&iron, alignment, earth),
        spread_deg: spread(&about),
        doubts: Vec::new(),
    };
    compass.doubts = doubts(&compass, earth);
    Ok(compass)
}

fn check_turns(samples: &[Sample]) -> Result<(), CompassError> {
    let mut flown = [false; HEADING_SECTORS.count()];
    for sample in samples {
        let share = wrap_360_deg(sample.flight_rad.to_degrees()) / 360.0;
        flown[((share * HEADING_SECTORS.count() as f64) as usize).min(HEADING_SECTORS.count() - 1)] = true;
    }
    let sectors = flown.iter().filter(|f| **f).count();
    if sectors < FEWEST_SECTORS.count() {
        return Err(CompassError::NoTurns { covered_deg: 360.0 * sectors as f64 / HEADING_SECTORS.count() as f64 });
    }
    Ok(())
}

fn samples(log: &ImuLog, alignment: &Alignment, nodes: &FlightNodes<'_>) -> Vec<Sample> {
    let Some([from_s, to_s]) = nodes.span_s() else { return Vec::new() };
    let to_pilot = alignment.sensor_to_pilot();
    let path = &alignment.path;
    let count = ((to_s - from_s) / FIELD_MEAN_S.value) as usize;
    (0..count)
        .filter_map(|k| {
            let t_s = from_s + (k as f64 + 0.5) * FIELD_MEAN_S.value;
            let sensor_s = alignment.sensor_s(t_s);
            let range = log.mag.range(sensor_s - 0.5 * FIELD_MEAN_S.value, sensor_s + 0.5 * FIELD_MEAN_S.value);
            let (mut field_ut, mut rotation, mut n, mut time_s) = (Vector3::zeros(), Matrix3::zeros(), 0.0, 0.0);
            for i in range {
                let turn = path.attitude_at(log.mag.t_s[i])?.to_rotation_matrix().into_inner() * to_pilot;
                field_ut += turn * Vector3::from(log.mag.at(i));
                rotation += turn;
                (n, time_s) = (n + 1.0, time_s + log.mag.t_s[i]);
            }
            let at_s = (n > 0.0).then_some(time_s / n)?;
            let forward = path.attitude_at(at_s)? * Vector3::x();
            Some(Sample {
                t_s,
                flight_rad: nodes.heading_at(t_s)?,
                path_rad: path.mean_heading(sensor_s, USUAL_SWING_S.value)?,
                shift_rad: path.mean_heading(at_s, path.step_s)? - forward.y.atan2(forward.x),
                field: FieldSample { field_ut: field_ut / n, rotation: rotation / n },
            })
        })
        .collect()
}

/// What is left of the deviation: mounting and declination make A, iron and an axis that is not level B and C (the field
/// dips into it), soft iron D and E, and iron below shows when the sensor heels.
fn deviation(iron: &Iron, alignment: &Alignment, earth: Option<&EarthField>) -> DeviationPrior {
    let level_ut = (iron.strength_ut.powi(2) - iron.down_ut.powi(2)).max(1.0).sqrt();
    let slope = iron.down_ut / level_ut;
    let axes = alignment.sensor_to_pilot();
    let of = |row: usize| {
        let axis = axes.row(row);
        (axis * iron.covariance * axis.transpose())[0].max(0.0).sqrt() / level_ut
    };
    let forward_rad = alignment.forward.map_or(std::f64::consts::PI, |f| f.std_u_deg.to_radians());
    let model_rad = earth.map_or(0.0, |e| e.declination_std_u_deg.to_radians());
    let tilted = LEVEL_RAD.value * slope;
    DeviationPrior {
        coefficients_rad: [
            TWISTED_RAD.value.hypot(forward_rad).hypot(model_rad),
            of(0).hypot(tilted),
            of(1).hypot(tilted),
            SOFT_IRON_RAD.value,
            SOFT_IRON_RAD.value,
        ],
        heeling: of(2).hypot(LEAST_HEELING.value),
    }
}

fn doubts(compass: &Compass, earth: Option<&EarthField>) -> Vec<CalibrationDoubt> {
    let mut doubts = Vec::new();
    match earth {
        None => doubts.push(CalibrationDoubt::EarthFieldUnknown),
        Some(earth) => {
            let (found_ut, earth_ut) = (compass.strength_ut, earth.strength_ut);
            if (found_ut / earth_ut - 1.0).abs() > STRENGTH_SHARE.value {
                doubts.push(CalibrationDoubt::Strength { found_ut, earth_ut });
            }
            // Turns show the level part by itself, while iron below may hide what is wrong with strength and dip.
            let level_ut = |strength_ut: f64, dip_deg: f64| strength_ut * dip_deg.to_radians().cos();
            let found_ut = level_ut(compass.strength_ut, compass.inclination_deg);
            let earth_ut = level_ut(earth.strength_ut, earth.inclination_deg);
            if (found_ut / earth_ut - 1.0).abs() > LEVEL_SHARE.value {
                doubts.push(CalibrationDoubt::LevelStrength { found_ut, earth_ut });
            }
            let (found_deg, earth_deg) = (compass.inclination_deg, earth.inclination_deg);
            if (found_deg - earth_deg).abs() > DIP_DEG.value {
                doubts.push(CalibrationDoubt::Dip { found_deg, earth_deg });
            }
            let allowed_deg = (DECLINATION_SIGMAS.value * compass.deviation.coefficients_rad[0].to_degrees())
                .clamp(DECLINATION_LEAST_DEG.value, DECLINATION_MOST_DEG.value);
            let (found_deg, earth_deg) = (compass.declination_deg, earth.declination_deg);
            if wrap_180_deg(found_deg - earth_deg).abs() > allowed_deg {
                doubts.push(CalibrationDoubt::Declination { found_deg, earth_deg });
            }
        }
    }
    if compass.spread_deg > SPREAD_DEG.value {
        doubts.push(CalibrationDoubt::Spread { spread_deg: compass.spread_deg, limit_deg: SPREAD_DEG.value });
    }
    doubts
}
