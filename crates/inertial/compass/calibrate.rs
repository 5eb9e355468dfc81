//! Hard iron and compass heading.
//!
//! With the attitude R from gyro and gravity, its heading laid on that of the flight, a magnetometer reads Rᵀ m + h: the
//! Earth's field m turned into the sensor, and the constant field h of the things about it. Both are linear, so the turns
//! give them by least squares. The field found must then be the Earth's (strength, dip, declination by the model), and the
//! headings it gives must follow the flight; else the compass is shown and left out.

use super::EarthField;
use crate::align::{Alignment, FlightNodes};
use crate::log::ImuLog;
use crate::robust::{huber, spread};
use driftless_units::{wrap_180_deg, wrap_pi_rad};
use nalgebra::{Matrix3, SMatrix, SVector, UnitQuaternion, Vector3};

type Matrix = SMatrix<f64, 6, 6>;
type Vector = SVector<f64, 6>;

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
    /// Spread of their differences from the flight's headings, degrees.
    pub spread_deg: f64,
    /// Why it is not to be used; empty when it proved consistent.
    pub doubts: Vec<String>,
}

impl Compass {
    /// Whether it proved consistent.
    pub fn is_consistent(&self) -> bool {
        self.doubts.is_empty()
    }
}

/// Why there is no compass at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompassError {
    /// None.
    #[error("the log has no usable magnetometer")]
    None,
    /// Headings flown do not go around.
    #[error("the flight points only within {covered_deg:.0}° of headings; hard iron needs most of a circle")]
    NoTurns {
        /// Headings covered.
        covered_deg: f64,
    },
}

/// Time between samples taken, seconds.
const STEP_S: f64 = 0.5;
/// Headings are counted in this many sectors, of which so many must be flown.
const SECTORS: usize = 12;
const FEWEST_SECTORS: usize = 9;
/// Limits of the consistency test: share of the strength, dip and declination in degrees, spread of headings.
const STRENGTH_SHARE: f64 = 0.15;
const DIP_DEG: f64 = 8.0;
const DECLINATION_DEG: f64 = 6.0;
const SPREAD_DEG: f64 = 8.0;

/// One sample: the attitude with its heading laid on the flight's, the level attitude alone, and what was read.
struct Sample {
    t_s: f64,
    heading_rad: f64,
    /// Sensor axes to north, east, down.
    to_earth: Matrix3<f64>,
    read: Vector3<f64>,
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
    let mut flown = [false; SECTORS];
    for sample in &samples {
        let share = driftless_units::wrap_360_deg(sample.heading_rad.to_degrees()) / 360.0;
        flown[((share * SECTORS as f64) as usize).min(SECTORS - 1)] = true;
    }
    let sectors = flown.iter().filter(|f| **f).count();
    if sectors < FEWEST_SECTORS {
        return Err(CompassError::NoTurns { covered_deg: 360.0 * sectors as f64 / SECTORS as f64 });
    }
    let solution = solve(&samples).ok_or(CompassError::None)?;
    let earth_ut = Vector3::new(solution[0], solution[1], solution[2]);
    let hard_iron = Vector3::new(solution[3], solution[4], solution[5]);
    let declination_deg = earth_ut.y.atan2(earth_ut.x).to_degrees();
    let by_model = earth.map_or(declination_deg, |e| e.declination_deg).to_radians();
    let (mut t_s, mut heading_rad, mut differences) = (Vec::new(), Vec::new(), Vec::new());
    for sample in &samples {
        // In the level frame turned to the flight's heading the field should point to the declination; where it points
        // instead, the compass says another heading.
        let field = sample.to_earth * (sample.read - hard_iron);
        let heading = sample.heading_rad - (field.y.atan2(field.x) - by_model);
        t_s.push(sample.t_s);
        heading_rad.push(heading.rem_euclid(std::f64::consts::TAU));
        differences.push(wrap_pi_rad(heading - sample.heading_rad).to_degrees());
    }
    let mut compass = Compass {
        hard_iron_ut: hard_iron.into(),
        strength_ut: earth_ut.norm(),
        inclination_deg: (earth_ut.z / earth_ut.norm()).asin().to_degrees(),
        declination_deg,
        t_s,
        heading_rad,
        spread_deg: spread(&differences),
        doubts: Vec::new(),
    };
    compass.doubts = doubts(&compass, earth);
    Ok(compass)
}

fn samples(log: &ImuLog, alignment: &Alignment, nodes: &FlightNodes<'_>) -> Vec<Sample> {
    let Some([from_s, to_s]) = nodes.span_s() else { return Vec::new() };
    let to_pilot = alignment.sensor_to_pilot();
    let count = ((to_s - from_s) / STEP_S) as usize;
    (0..count)
        .filter_map(|k| {
            let t_s = from_s + k as f64 * STEP_S;
            let sensor_s = alignment.sensor_s(t_s);
            let range = log.mag.range(sensor_s - 0.5 * STEP_S, sensor_s + 0.5 * STEP_S);
            let nearest = range
                .min_by(|a, b| (log.mag.t_s[*a] - sensor_s).abs().total_cmp(&(log.mag.t_s[*b] - sensor_s).abs()))?;
            let at_s = log.mag.t_s[nearest];
            let attitude = alignment.path.attitude_at(at_s)?;
            let own = alignment.path.mean_heading(at_s, alignment.path.step_s)?;
            // The pilot twists under the wing: his heading is the flight's plus his own about its mean over a swing.
            let twist = own - alignment.path.mean_heading(at_s, 3.0)?;
            let heading_rad = nodes.heading_at(t_s)?;
            let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), heading_rad + twist - own);
            let to_earth = (turn * attitude).to_rotation_matrix().into_inner() * to_pilot;
            Some(Sample { t_s, heading_rad, to_earth, read: Vector3::from(log.mag.at(nearest)) })
        })
        .collect()
}

/// Field and hard iron by robust least squares.
fn solve(samples: &[Sample]) -> Option<Vector> {
    let mut weights = vec![1.0; samples.len()];
    let mut solution = Vector::zeros();
    for _ in 0..5 {
        let (mut normal, mut right) = (Matrix::zeros(), Vector::zeros());
        for (sample, weight) in samples.iter().zip(&weights) {
            let turned = sample.to_earth.transpose();
            let mut rows = SMatrix::<f64, 3, 6>::zeros();
            rows.fixed_view_mut::<3, 3>(0, 0).copy_from(&turned);
            rows.fixed_view_mut::<3, 3>(0, 3).fill_with_identity();
            normal += rows.transpose() * rows * *weight;
            right += rows.transpose() * sample.read * *weight;
        }
        // Level turns alone cannot tell a steady field below from hard iron below: a weak pull of the latter to nothing
        // (30 µT against 1 µT of noise) keeps the sum solvable, and headings do not mind.
        let ridge = Matrix::from_diagonal(&Vector::new(0.0, 0.0, 0.0, 1.0, 1.0, 1.0)) / 900.0;
        solution = (normal + ridge).try_inverse()? * right;
        let residual = |s: &Sample| {
            let field = Vector3::new(solution[0], solution[1], solution[2]);
            let iron = Vector3::new(solution[3], solution[4], solution[5]);
            (s.read - s.to_earth.transpose() * field - iron).norm()
        };
        let residuals: Vec<f64> = samples.iter().map(residual).collect();
        let size = crate::robust::median(&mut residuals.clone()).max(1e-6);
        weights = residuals.iter().map(|r| huber(r / size)).collect();
    }
    solution.iter().all(|v| v.is_finite()).then_some(solution)
}

fn doubts(compass: &Compass, earth: Option<&EarthField>) -> Vec<String> {
    let mut doubts = Vec::new();
    match earth {
        None => doubts.push("the Earth's field of that date is not known, so nothing tests the compass".to_owned()),
        Some(earth) => {
            if (compass.strength_ut / earth.strength_ut - 1.0).abs() > STRENGTH_SHARE {
                doubts.push(format!(
                    "the field is {:.0} µT, the Earth's is {:.0} µT",
                    compass.strength_ut, earth.strength_ut
                ));
            }
            if (compass.inclination_deg - earth.inclination_deg).abs() > DIP_DEG {
                doubts.push(format!(
                    "the field dips {:.0}°, the Earth's {:.0}°",
                    compass.inclination_deg, earth.inclination_deg
                ));
            }
            if wrap_180_deg(compass.declination_deg - earth.declination_deg).abs() > DECLINATION_DEG {
                doubts.push(format!(
                    "compass north is {:.0}° from true north on this flight, the declination is {:.0}°",
                    compass.declination_deg, earth.declination_deg
                ));
            }
        }
    }
    if compass.spread_deg > SPREAD_DEG {
        doubts.push(format!("its headings differ from the flight's by typically {:.0}°", compass.spread_deg));
    }
    doubts
}
