//! The least error of a clock offset: what nobody could better who knew more than the program does.
//!
//! Shown the truth but for three numbers, the offset of a sensor's clock, the direction in which its headings begin and the bias of
//! its gyro, an observer of the positions has a linear problem in coloured noise: gusts, and the error of the receiver. Its Cramér-Rao
//! bound is worked out frequency by frequency (Whittle, *Arkiv för Matematik* 2 (1953) 423-434; from memory). Airspeed, mean wind of
//! each moment, scale and all noise levels are taken as known, the gyro as free of noise and the pilot as one who neither swings nor
//! twists: the program, which knows none of that, cannot come below it.

use driftless_sim::SimulatedFlight;
use driftless_sim::scenario::Gusts;
use nalgebra::Matrix3;
use std::f64::consts::TAU;

/// Steps per second at which the flight is looked at: twice the highest frequency that a fix a second shows.
const STEPS_HZ: f64 = 2.0;

/// What is unknown, as velocities over the ground that it moves, east and north: offset, first heading, bias.
type Moved = [[f64; 2]; 3];

/// Least standard error of the clock offset of a sensor on this flight, s; `None` where the air is not one of the model or nothing
/// turns.
pub(super) fn least_error_s(flight: &SimulatedFlight) -> Option<f64> {
    let scenario = &flight.scenario;
    let (gust_mps, gust_tau_s) = match scenario.air.gusts {
        Gusts::None => (0.0, 1.0),
        Gusts::Markov { sd_mps, tau_s } => (sd_mps, tau_s),
        Gusts::Dryden { .. } => return None,
    };
    let sensors = &scenario.sensors;
    let (slow_mps, slow_tau_s) = (scenario.air.slow_sd_mps, scenario.air.slow_tau_s);
    let markov = |sd: f64, tau_s: f64, w: f64| 2.0 * sd * sd * tau_s / (1.0 + (w * tau_s).powi(2));
    // Of the velocity, at an angular frequency: gusts and slow wind, and the receiver's errors of position, differentiated.
    let density = |w: f64| {
        let white = sensors.position_white_m.powi(2) / sensors.rate_hz;
        let receiver = white + markov(sensors.position_slow_m, sensors.slow_tau_s, w);
        markov(gust_mps, gust_tau_s, w) + markov(slow_mps, slow_tau_s, w) + w * w * receiver
    };
    let moved = moved(flight);
    let length_s = moved.len() as f64 / STEPS_HZ;
    let highest_hz = 0.5 * sensors.rate_hz.min(STEPS_HZ);
    let mut information = Matrix3::<f64>::zeros();
    // Without the mean: the wind is not known beforehand.
    for k in 1..=(highest_hz * length_s) as usize {
        let w = TAU * k as f64 / length_s;
        let [cos, sin] = transformed(&moved, w);
        let weight = 2.0 / (length_s * density(w));
        for (i, j) in (0..3).flat_map(|i| (0..3).map(move |j| (i, j))) {
            let product: f64 = (0..2).map(|axis| cos[i][axis] * cos[j][axis] + sin[i][axis] * sin[j][axis]).sum();
            information[(i, j)] += weight * product;
        }
    }
    let least_s = information.try_inverse()?[(0, 0)].sqrt();
    least_s.is_finite().then_some(least_s)
}

/// What the three unknowns do to the velocity over the ground, along the airborne part of the flight.
fn moved(flight: &SimulatedFlight) -> Vec<Moved> {
    let every = (1.0 / (STEPS_HZ * driftless_sim::STEP_S)).round() as usize;
    let airborne = flight.truth.steps.iter().filter(|step| !step.on_ground).step_by(every);
    let steps: Vec<_> = airborne.collect();
    let first_s = steps.first().map_or(0.0, |step| step.t_s);
    let across = |step: &driftless_sim::TruthStep, turned_rad: f64| {
        let (sin, cos) = step.heading.rad().sin_cos();
        [step.airspeed_mps * turned_rad * cos, -step.airspeed_mps * turned_rad * sin]
    };
    steps
        .iter()
        .map(|step| [across(step, step.turn_rate.rad_s()), across(step, 1.0), across(step, step.t_s - first_s)])
        .collect()
}

/// Fourier sums at an angular frequency, times the length of a step.
fn transformed(moved: &[Moved], w: f64) -> [Moved; 2] {
    let mut sums = [[[0.0; 2]; 3]; 2];
    for (n, of) in moved.iter().enumerate() {
        let (sin, cos) = (w * n as f64 / STEPS_HZ).sin_cos();
        for (i, axis) in (0..3).flat_map(|i| (0..2).map(move |axis| (i, axis))) {
            sums[0][i][axis] += cos * of[i][axis] / STEPS_HZ;
            sums[1][i][axis] += sin * of[i][axis] / STEPS_HZ;
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inertial::study::Kind;
    use driftless_sim::reference::AirClass;
    use driftless_sim::simulate;

    fn least_s(class: AirClass, seed: u64, change: impl Fn(&mut driftless_sim::scenario::Scenario)) -> f64 {
        let mut scenario = Kind::Windows(60).scenario(class, seed);
        change(&mut scenario);
        least_error_s(&simulate(&scenario, seed).expect("a flight")).expect("a bound")
    }

    #[test]
    fn derived_rougher_air_and_worse_receivers_tell_a_clock_less_well() {
        let of = |class| least_s(class, 3, |_| {});
        let (still, light, moderate) = (of(AirClass::Still), of(AirClass::Light), of(AirClass::Moderate));
        assert!(0.0 < still && still < light && light < moderate && moderate < 1.0, "{still} {light} {moderate}");
        let worse = least_s(AirClass::Moderate, 3, |scenario| scenario.sensors.position_white_m *= 3.0);
        assert!(worse > moderate, "{worse} {moderate}");
    }

    /// What is wanted of the clock, 0.05 s, is below what anybody could reach in moderate air.
    #[test]
    fn simulated_in_moderate_air_no_clock_is_told_to_a_twentieth_of_a_second() {
        let squares = (0..8).map(|seed| least_s(AirClass::Moderate, seed, |_| {}).powi(2));
        let least_s = (squares.sum::<f64>() / 8.0).sqrt();
        assert!((0.05..0.067).contains(&least_s), "{least_s}");
    }

    #[test]
    fn derived_gusts_of_twice_the_size_double_the_error_where_they_are_all_there_is() {
        let with = |times: f64| {
            least_s(AirClass::Moderate, 4, |scenario| {
                (scenario.sensors.position_white_m, scenario.sensors.position_slow_m) = (0.0, 0.0);
                scenario.air.slow_sd_mps = 0.0;
                scenario.air.yaw_wander_deg_s = 0.0;
                if let Gusts::Markov { sd_mps, .. } = &mut scenario.air.gusts {
                    *sd_mps *= times;
                }
            })
        };
        let ratio = with(2.0) / with(1.0);
        assert!((ratio - 2.0).abs() < 0.02, "{ratio}");
    }
}
