//! What a gyro is worth, in figures.

use crate::allan::{AllanPoint, GyroNoise, overlapping, read_off};
use crate::constants::{NOISE_REST_S, QUIET_BESIDE_GPS};
use crate::log::ImuLog;
use crate::still::{StillBias, still_bias};
use crate::temperature::{TemperatureHealth, temperature_health};

/// The state of the inertial sensors.
#[derive(Debug, Clone, PartialEq)]
pub struct SensorHealth {
    /// Samples of the gyro a second.
    pub gyro_rate_hz: f64,
    /// Gaps of the gyro, and seconds missing in them.
    pub gaps: usize,
    /// Seconds missing.
    pub missing_s: f64,
    /// Bias while still, where the sensor lay still.
    pub still: Option<StillBias>,
    /// Allan curves of x, y and z, rad/s: of the longest period at rest, else empty, for a sensor in motion shows the
    /// motion.
    pub allan: [Vec<AllanPoint>; 3],
    /// What was read off the noisiest axis.
    pub noise: Option<GyroNoise>,
    /// Temperature over the whole recording, where it was logged; with a flight known, ask [`temperature_health`] again.
    pub temperature: Option<TemperatureHealth>,
}

/// Looks a log over.
pub fn sensor_health(log: &ImuLog) -> SensorHealth {
    let interval_s = log.gyro.mean_interval_s().unwrap_or(f64::INFINITY);
    let gap_s = crate::read::gap_s(interval_s);
    let steps = log.gyro.t_s.windows(2).map(|w| w[1] - w[0]);
    let (gaps, missing_s) =
        steps.filter(|s| *s > gap_s).fold((0, 0.0), |(n, sum), step| (n + 1, sum + step - interval_s));
    let still = still_bias(log);
    let span_s = still.map(|s| s.longest_s).filter(|[from, to]| to - from >= NOISE_REST_S.value);
    let allan = [0, 1, 2].map(|axis| {
        let Some([from_s, to_s]) = span_s else { return Vec::new() };
        let rates: Vec<f64> = log.gyro.range(from_s, to_s).map(|i| log.gyro.at(i)[axis]).collect();
        overlapping(&rates, interval_s)
    });
    let noise = allan
        .iter()
        .filter(|curve| !curve.is_empty())
        .map(|curve| read_off(curve))
        .max_by(|a, b| a.angle_random_walk.unwrap_or(0.0).total_cmp(&b.angle_random_walk.unwrap_or(0.0)));
    let temperature = temperature_health(log, None);
    SensorHealth { gyro_rate_hz: 1.0 / interval_s, gaps, missing_s, still, allan, noise, temperature }
}

impl SensorHealth {
    /// Standard uncertainty that the gyro's own noise puts on a turn rate over a window, rad/s: angle random walk over
    /// √length, and bias instability. `None` when the sensor never lay still.
    pub fn rate_std_u_rad_s(&self, length_s: f64) -> Option<f64> {
        let noise = self.noise?;
        let white = noise.angle_random_walk? / length_s.sqrt();
        let floor = noise.bias_instability.map_or(0.0, |b| b.value);
        Some(white.hypot(floor))
    }

    /// The noise of the gyro over a window of a minute and of ten seconds, beside what GPS alone gives for a minute
    /// (`gps_std_u_rad_s`, where known).
    pub fn own_noise(&self, gps_std_u_rad_s: Option<f64>) -> OwnNoise {
        match self.rate_std_u_rad_s(60.0).zip(self.rate_std_u_rad_s(10.0)) {
            Some((minute_rad_s, ten_seconds_rad_s)) => {
                OwnNoise::Known { minute_rad_s, ten_seconds_rad_s, gps_minute_rad_s: gps_std_u_rad_s }
            }
            None => OwnNoise::NotKnown { rest_needed_s: NOISE_REST_S.value },
        }
    }
}

/// What the own noise of a gyro puts on turn rates: standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnNoise {
    /// The sensor never lay still for long enough to tell.
    NotKnown {
        /// Shortest period at rest that tells, seconds.
        rest_needed_s: f64,
    },
    /// As read off the sensor at rest.
    Known {
        /// Over a window of a minute, rad/s.
        minute_rad_s: f64,
        /// Over a window of ten seconds, rad/s.
        ten_seconds_rad_s: f64,
        /// What GPS alone gives for a minute, where known, rad/s.
        gps_minute_rad_s: Option<f64>,
    },
}

/// How the noise of a gyro compares with GPS alone over a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BesideGps {
    /// Less than half of it: quiet enough to help.
    Quiet,
    /// About as much: it can help most in short windows.
    Alike,
    /// More: too noisy to help much.
    Noisy,
}

impl OwnNoise {
    /// How it compares with GPS alone; `None` where either is not known.
    pub fn beside_gps(&self) -> Option<BesideGps> {
        let Self::Known { minute_rad_s, gps_minute_rad_s: Some(gps_rad_s), .. } = *self else { return None };
        Some(match minute_rad_s {
            minute if minute < QUIET_BESIDE_GPS.value * gps_rad_s => BesideGps::Quiet,
            minute if minute < gps_rad_s => BesideGps::Alike,
            _ => BesideGps::Noisy,
        })
    }

    /// Stable name of what was found, in kebab-case.
    pub fn code(&self) -> &'static str {
        match (self, self.beside_gps()) {
            (Self::NotKnown { .. }, _) => "noise-not-known",
            (Self::Known { .. }, None) => "noise-known",
            (Self::Known { .. }, Some(BesideGps::Quiet)) => "noise-less-than-gps",
            (Self::Known { .. }, Some(BesideGps::Alike)) => "noise-about-gps",
            (Self::Known { .. }, Some(BesideGps::Noisy)) => "noise-more-than-gps",
        }
    }

    /// The noise over a minute, what it was held against, and their unit.
    pub fn measured(&self) -> (Option<f64>, Option<f64>, Option<&'static str>) {
        match *self {
            Self::NotKnown { rest_needed_s } => (None, Some(rest_needed_s), Some("s")),
            Self::Known { minute_rad_s, gps_minute_rad_s, .. } => {
                (Some(minute_rad_s.to_degrees()), gps_minute_rad_s.map(f64::to_degrees), Some("°/s"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sim::reference::{self, AirClass, Options};
    use driftless_sim::scenario::{Imu, Leg};
    use driftless_sim::simulate;

    /// Three minutes on the ground with a walk of 0.012 °/√s: the white part rests on thousands of samples and eight
    /// points of the curve, so 10 % is wide.
    #[test]
    fn simulated_random_walk_is_read_off_the_ground() {
        let mut scenario = reference::flight(AirClass::Still, 2, &Options::default());
        scenario.site.start_height_m = 0.0;
        scenario.legs = vec![Leg::Stand { seconds: 180.0 }];
        scenario.sensors.imu =
            Some(Imu { rate_hz: 100.0, gyro_walk_deg: 0.012, gaps_s: vec![[20.0, 22.0]], ..Imu::default() });
        let log = crate::read(simulate(&scenario, 2).unwrap().to_imu_csv().as_bytes(), None).unwrap();
        let health = sensor_health(&log);
        assert!((health.gyro_rate_hz - 100.0).abs() < 0.1 && health.gaps == 1 && (health.missing_s - 2.0).abs() < 0.05);
        let walk = health.noise.unwrap().angle_random_walk.unwrap().to_degrees();
        assert!((walk / 0.012 - 1.0).abs() < 0.1, "{walk}");
        // White noise alone over a minute: 0.012/√60 = 0.0015 °/s, with a floor that a recording this short only bounds.
        let minute = health.rate_std_u_rad_s(60.0).unwrap().to_degrees();
        assert!((0.0015..0.006).contains(&minute), "{minute}");
        let beside = |deg_s: f64| health.own_noise(Some(deg_s.to_radians())).beside_gps();
        assert_eq!(beside(0.1), Some(BesideGps::Quiet));
        assert_eq!(beside(0.0005), Some(BesideGps::Noisy));
    }

    #[test]
    fn simulated_a_sensor_that_never_lay_still_says_so() {
        let mut scenario = reference::flight(AirClass::Light, 3, &Options::default());
        scenario.sensors.imu = Some(reference::imu(3));
        let log = crate::read(simulate(&scenario, 3).unwrap().to_imu_csv().as_bytes(), None).unwrap();
        let health = sensor_health(&log);
        assert!(health.noise.is_none() && health.allan.iter().all(Vec::is_empty));
        assert_eq!(health.own_noise(None).code(), "noise-not-known");
    }
}
