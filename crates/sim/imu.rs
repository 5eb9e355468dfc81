//! From truth to what an inertial sensor on the pilot writes down.
//!
//! The pilot hangs under the wing: his axes are those of the coordinated turn (heading and bank), turned further by a
//! pendulum swing in roll and pitch, a twist in yaw and, with the hands on, twitches in roll. What he feels stays
//! along his own axis, as for anything that hangs. The gyro gives the mean rate over each sample, so that summing it
//! gives the rotation; everything is then seen in the sensor's axes, with its errors, on its own clock.

use crate::noise::{Source, Stream, Wander};
use crate::rotation::Rotation;
use crate::scenario::{Imu, Magnetometer, Scenario, Thermometer};
use crate::truth::{Truth, TruthStep};
use driftless_units::GRAVITY_MPS2;
use std::f64::consts::{PI, TAU};

const DEGREE: f64 = PI / 180.0;
/// Correlation time of the swing's strength, seconds: it comes and goes within some swings.
const SWING_TAU_S: f64 = 12.0;
/// Correlation time of the twitches, seconds.
const CONTROL_TAU_S: f64 = 0.5;
/// With which lag swing and vibration set in when the aircraft moves, seconds.
const SET_IN_S: f64 = 2.0;
/// Correlation time of the magnetic disturbance, seconds.
const DISTURBANCE_TAU_S: f64 = 20.0;

/// One sample as written, sensor axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImuSample {
    /// Seconds from the flight's epoch by the sensor's clock.
    pub t_s: f64,
    /// Angular rates, rad/s.
    pub gyro_rad_s: [f64; 3],
    /// Specific force, m/s².
    pub accel_mps2: [f64; 3],
    /// Magnetic field, µT.
    pub mag_ut: Option<[f64; 3]>,
    /// The gyro's bias at this moment, rad/s: truth, in no file.
    pub bias_rad_s: [f64; 3],
    /// Temperature of the sensor, °C.
    pub temperature_c: Option<f64>,
}

/// Records a flight with the scenario's inertial sensor; nothing when it has none.
pub(crate) fn record(scenario: &Scenario, seed: u64, truth: &Truth) -> Vec<ImuSample> {
    scenario.sensors.imu.as_ref().map_or_else(Vec::new, |imu| Recorder::new(imu, seed).run(truth))
}

/// An oscillation whose strength wanders: cosine and sine with first-order Markov amplitudes.
struct Swing {
    cosine: Wander,
    sine: Wander,
    per_s: f64,
    phase: f64,
}

impl Swing {
    fn new(rms: f64, period_s: f64, dt_s: f64, stream: &mut Stream) -> Self {
        let phase = TAU * stream.uniform();
        let mut amplitude = || Wander::new(rms, SWING_TAU_S, dt_s, stream);
        Self { cosine: amplitude(), sine: amplitude(), per_s: TAU / period_s, phase }
    }

    fn step(&mut self, t_s: f64, stream: &mut Stream) -> f64 {
        let (a, b) = (self.cosine.step(stream), self.sine.step(stream));
        let angle = self.per_s * t_s + self.phase;
        a * libm::cos(angle) + b * libm::sin(angle)
    }
}

struct Recorder<'a> {
    imu: &'a Imu,
    dt_s: f64,
    mounting: Rotation,
    gyro: Stream,
    accel: Stream,
    mag: Stream,
    swing_stream: Stream,
    vibration: Stream,
    clock: Stream,
    control_stream: Stream,
    swings: [Swing; 3],
    control: Wander,
    disturbance: [Wander; 3],
    bias: [f64; 3],
    vibration_phases: [f64; 6],
    /// How much of swing and vibration is there: 0 standing, 1 flying.
    moving: f64,
}

impl<'a> Recorder<'a> {
    fn new(imu: &'a Imu, seed: u64) -> Self {
        let dt_s = 1.0 / imu.rate_hz;
        let stream = |source| Stream::new(seed, source);
        let (mut swing_stream, mut control_stream) = (stream(Source::ImuSwing), stream(Source::ImuControl));
        let (mut vibration, mut mag) = (stream(Source::ImuVibration), stream(Source::ImuMag));
        // A swing goes on at its own pace about each axis: the periods differ a little.
        let swings = [(0, 1.0), (1, 0.87), (2, 1.23)].map(|(axis, pace)| {
            Swing::new(imu.swing_deg[axis] * DEGREE, pace * imu.swing_period_s, dt_s, &mut swing_stream)
        });
        let disturbance_ut = imu.mag.as_ref().map_or(0.0, |m| m.disturbance_ut);
        let [roll, pitch, yaw] = imu.mounting_deg.map(|deg| deg * DEGREE);
        Self {
            imu,
            dt_s,
            mounting: Rotation::from_euler(roll, pitch, yaw),
            gyro: stream(Source::ImuGyro),
            accel: stream(Source::ImuAccel),
            clock: stream(Source::ImuClock),
            swings,
            control: Wander::new(imu.control_deg * DEGREE, CONTROL_TAU_S, dt_s, &mut control_stream),
            disturbance: [0, 1, 2].map(|_| Wander::new(disturbance_ut, DISTURBANCE_TAU_S, dt_s, &mut mag)),
            bias: imu.gyro_bias_deg_s.map(|b| b * DEGREE),
            vibration_phases: [0; 6].map(|_| TAU * vibration.uniform()),
            moving: 0.0,
            mag,
            swing_stream,
            vibration,
            control_stream,
        }
    }

    fn run(mut self, truth: &Truth) -> Vec<ImuSample> {
        let count = (truth.duration_s() * self.imu.rate_hz).floor() as u32;
        let mut samples = Vec::with_capacity(count as usize);
        let mut before = self.attitude(truth, 0.0);
        for k in 0..count {
            // The rate of the sample at its middle is the rotation from half a step before to half a step after.
            let t_s = (f64::from(k) + 0.5) * self.dt_s;
            let after = self.attitude(truth, (f64::from(k) + 1.0) * self.dt_s);
            let sample = self.sample(truth, t_s, before, after);
            before = after;
            if !self.imu.gaps_s.iter().any(|[from, to]| (*from..*to).contains(&t_s)) {
                samples.push(sample);
            }
        }
        samples
    }

    /// The pilot's axes at a time. Called once for each step, in order: the swings move on.
    fn attitude(&mut self, truth: &Truth, t_s: f64) -> Rotation {
        let Some((a, b, x)) = truth.around(t_s) else { return Rotation::from_euler(0.0, 0.0, 0.0) };
        let target = if stands(a) { 0.0 } else { 1.0 };
        self.moving = target + (self.moving - target) * libm::exp(-self.dt_s / SET_IN_S);
        let stream = &mut self.swing_stream;
        let [roll, pitch, twist] = self.swings.each_mut().map(|swing| swing.step(t_s, stream));
        let control = self.control.step(&mut self.control_stream);
        let twitch = if a.hands_off { 0.0 } else { control };
        let bank = a.bank.rad() + x * (b.bank.rad() - a.bank.rad());
        let heading = truth.heading_at(t_s).rad();
        Rotation::from_euler(bank + self.moving * (roll + twitch), self.moving * pitch, heading + self.moving * twist)
    }

    fn sample(&mut self, truth: &Truth, t_s: f64, before: Rotation, after: Rotation) -> ImuSample {
        let imu = self.imu;
        let (dt_s, root_s) = (self.dt_s, self.dt_s.sqrt());
        let shake = self.shake(t_s);
        let rate = before.inverse().after(after).vector().map(|angle| angle / dt_s);
        let seen = self.mounting.inverse().turn(rate);
        let temperature_c = imu.temperature.as_ref().map(|thermometer| temperature_c(thermometer, t_s));
        let (mut gyro_rad_s, mut bias_rad_s) = ([0.0; 3], [0.0; 3]);
        for axis in 0..3 {
            self.bias[axis] += imu.gyro_bias_walk * DEGREE * root_s * self.gyro.normal();
            let warm = imu.temperature.as_ref().zip(temperature_c).map_or(0.0, |(t, c)| warm_bias_rad_s(t, c, axis));
            bias_rad_s[axis] = self.bias[axis] + warm;
            let white = imu.gyro_walk_deg * DEGREE / root_s * self.gyro.normal();
            gyro_rad_s[axis] = seen[axis] * (1.0 + imu.gyro_scale_error)
                + bias_rad_s[axis]
                + white
                + imu.vibration_deg_s * DEGREE * shake[axis];
        }
        let felt = self.mounting.inverse().turn(felt_mps2(truth, t_s));
        let accel_mps2 = [0, 1, 2].map(|axis| {
            let white = imu.accel_noise / root_s * self.accel.normal();
            felt[axis] + imu.accel_bias_mps2[axis] + white + imu.vibration_mps2 * shake[axis + 3]
        });
        let mag_ut = imu.mag.as_ref().map(|mag| self.field_ut(mag, before));
        let written_s = t_s + imu.clock_ahead_s + imu.clock_drift_ppm * 1e-6 * t_s + imu.jitter_s * self.clock.normal();
        ImuSample { t_s: written_s, gyro_rad_s, accel_mps2, mag_ut, bias_rad_s, temperature_c }
    }

    /// Sines of the engine, whose phases wander a little, in both sensors.
    fn shake(&mut self, t_s: f64) -> [f64; 6] {
        let imu = self.imu;
        let angle = TAU * imu.vibration_hz * t_s;
        let over = imu.vibration_hz / imu.filter_hz.unwrap_or(0.4 * imu.rate_hz);
        // Gain of two equal poles; the motion itself is far below the corner and passes.
        let passed = 1.0 / (1.0 + over * over);
        let mut shake = [0.0; 6];
        for (value, phase) in shake.iter_mut().zip(&mut self.vibration_phases) {
            *phase += 0.5 * self.dt_s.sqrt() * self.vibration.normal();
            *value = self.moving * passed * std::f64::consts::SQRT_2 * libm::sin(angle + *phase);
        }
        shake
    }

    fn field_ut(&mut self, mag: &Magnetometer, attitude: Rotation) -> [f64; 3] {
        let (dip, east) = (mag.inclination_deg * DEGREE, mag.declination_deg * DEGREE);
        let level = mag.field_ut * libm::cos(dip);
        let earth = [level * libm::cos(east), level * libm::sin(east), mag.field_ut * libm::sin(dip)];
        let seen = self.mounting.inverse().turn(attitude.inverse().turn(earth));
        let stream = &mut self.mag;
        let disturbance = self.disturbance.each_mut().map(|d| d.step(stream));
        [0, 1, 2].map(|axis| {
            seen[axis] + mag.hard_iron_ut[axis] + self.moving * disturbance[axis] + mag.noise_ut * stream.normal()
        })
    }
}

/// Specific force along the pilot's axes, m/s²: gravity and the turn pull along his own axis; on the ground the run
/// pushes from behind.
fn felt_mps2(truth: &Truth, t_s: f64) -> [f64; 3] {
    let Some((a, b, x)) = truth.around(t_s) else { return [0.0, 0.0, -GRAVITY_MPS2] };
    if a.on_ground {
        let speed = |step: &TruthStep| step.ground_velocity.speed_mps();
        return [(speed(b) - speed(a)) / crate::STEP_S, 0.0, -GRAVITY_MPS2];
    }
    let bank = a.bank.rad() + x * (b.bank.rad() - a.bank.rad());
    [0.0, 0.0, -GRAVITY_MPS2 / libm::cos(bank)]
}

/// Warming towards the settled temperature (Newton's law of cooling).
fn temperature_c(thermometer: &Thermometer, t_s: f64) -> f64 {
    let left = libm::exp(-t_s / thermometer.time_constant_s);
    thermometer.settled_c + (thermometer.start_c - thermometer.settled_c) * left
}

/// What the bias has moved since the start.
fn warm_bias_rad_s(thermometer: &Thermometer, celsius: f64, axis: usize) -> f64 {
    thermometer.bias_deg_s_per_k[axis] * DEGREE * (celsius - thermometer.start_c)
}

fn stands(step: &TruthStep) -> bool {
    step.on_ground && step.ground_velocity.speed_mps() < 0.05
}
