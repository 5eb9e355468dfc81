//! Periods in which the sensor lies still: they show the gyro bias outright.

use crate::constants::{BIAS_MOST_RAD_S, FEWEST_REST_SAMPLES, LEAST_REST_S, REST_BLOCK_S, STILL_MPS2, STILL_RAD_S};
use crate::log::{ImuLog, Stream};
use driftless_units::median;
use nalgebra::Vector3;

/// The gyro bias as periods at rest show it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillBias {
    /// Mean rates, rad/s, sensor axes.
    pub rad_s: [f64; 3],
    /// Standard uncertainty of each, rad/s: from the spread between blocks.
    pub std_u_rad_s: f64,
    /// Seconds that were still.
    pub seconds: f64,
    /// The longest period without a break, seconds on the log's clock.
    pub longest_s: [f64; 2],
}

/// Finds periods at rest; `None` when there is none of five seconds.
pub fn still_bias(log: &ImuLog) -> Option<StillBias> {
    let periods = periods_at_rest(log);
    let (start_s, longest) = periods.iter().max_by_key(|(_, run)| run.len())?;
    let longest_s = [*start_s, start_s + longest.len() as f64 * REST_BLOCK_S.value];
    let centre = middle(longest);
    // A slow even turn can look still; it does not show the bias that lying still does.
    let used: Vec<Vector3<f64>> =
        periods.iter().filter(|(_, run)| agree(run, &centre)).flat_map(|(_, run)| run.iter().copied()).collect();
    let rad_s: [f64; 3] = middle(&used).into();
    let n = used.len() as f64;
    let squares: f64 = used.iter().map(|b| (b - Vector3::from(rad_s)).norm_squared()).sum();
    // √(π/2): the median of Gaussian blocks is that much less sure than their mean.
    let std_u_rad_s = (std::f64::consts::FRAC_PI_2 * squares / (3.0 * n * (n - 1.0))).sqrt();
    Some(StillBias { rad_s, std_u_rad_s, seconds: n * REST_BLOCK_S.value, longest_s })
}

/// Mean rates of blocks of [`REST_BLOCK_S`], one behind the other, with the start of the first.
pub(crate) type RestPeriod = (f64, Vec<Vector3<f64>>);

/// Periods of at least five seconds in which nothing moves, in time order.
pub(crate) fn periods_at_rest(log: &ImuLog) -> Vec<RestPeriod> {
    let Some([from_s, to_s]) = log.gyro.span_s() else { return Vec::new() };
    let count = ((to_s - from_s) / REST_BLOCK_S.value).floor() as usize;
    let blocks: Vec<Option<Vector3<f64>>> = (0..count)
        .map(|k| {
            let start_s = from_s + k as f64 * REST_BLOCK_S.value;
            still_mean(log, start_s, start_s + REST_BLOCK_S.value)
        })
        .collect();
    let mut periods = Vec::new();
    let mut k = 0;
    while k < blocks.len() {
        let run: Vec<Vector3<f64>> = blocks[k..].iter().map_while(|b| *b).collect();
        let length = run.len();
        if length as f64 * REST_BLOCK_S.value >= LEAST_REST_S.value && agree(&run, &middle(&run)) {
            periods.push((from_s + k as f64 * REST_BLOCK_S.value, run));
        }
        k += length.max(1);
    }
    periods
}

/// Medians of each axis.
fn middle(blocks: &[Vector3<f64>]) -> Vector3<f64> {
    let axis = |i: usize| median(blocks.iter().map(|b| b[i])).unwrap_or(f64::NAN);
    Vector3::new(axis(0), axis(1), axis(2))
}

/// Whether all blocks lie as near to a value as the noise within a still block lets them.
fn agree(blocks: &[Vector3<f64>], centre: &Vector3<f64>) -> bool {
    blocks.iter().all(|b| (b - centre).amax() < STILL_RAD_S.value)
}

/// The mean rates of a block, if it is still.
fn still_mean(log: &ImuLog, from_s: f64, to_s: f64) -> Option<Vector3<f64>> {
    let (mean, spread) = mean_and_spread(&log.gyro, from_s, to_s)?;
    if spread > STILL_RAD_S.value || mean.norm() > BIAS_MOST_RAD_S.value {
        return None;
    }
    match mean_and_spread(&log.accel, from_s, to_s) {
        Some((_, spread)) => (spread < STILL_MPS2.value).then_some(mean),
        // Without an accelerometer the rates have to do.
        None => log.accel.is_empty().then_some(mean),
    }
}

/// Mean, and root-mean-square distance from it per axis; `None` with fewer than five samples.
fn mean_and_spread(stream: &Stream, from_s: f64, to_s: f64) -> Option<(Vector3<f64>, f64)> {
    let range = stream.range(from_s, to_s);
    let n = range.len() as f64;
    if n < FEWEST_REST_SAMPLES.value {
        return None;
    }
    let values = || range.clone().map(|i| Vector3::from(stream.at(i)));
    let mean = values().sum::<Vector3<f64>>() / n;
    let squares: f64 = values().map(|v| (v - mean).norm_squared()).sum();
    Some((mean, (squares / (3.0 * n)).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sim::reference::{self, AirClass, Options};
    use driftless_sim::scenario::{Imu, Leg};
    use driftless_sim::simulate;

    /// Half a minute on the ground shows the bias to its white noise, 0.01 °/√s over √30 s, and no flight does.
    #[test]
    fn simulated_bias_is_found_on_the_ground_and_not_in_flight() {
        let mut scenario = reference::flight(AirClass::Light, 1, &Options::default());
        let swing_deg = [2.0, 1.0, 1.0];
        scenario.sensors.imu = Some(Imu { gyro_bias_deg_s: [0.5, -0.4, 0.3], swing_deg, ..Imu::default() });
        let flying = crate::read(simulate(&scenario, 1).unwrap().to_imu_csv().as_bytes(), None).unwrap();
        assert_eq!(still_bias(&flying), None);
        scenario.site.start_height_m = 0.0;
        scenario.legs = vec![
            Leg::Stand { seconds: 30.0 },
            Leg::TakeOff { seconds: 6.0, heading_deg: None },
            Leg::Straight { seconds: 60.0, setting: None, heading_deg: None },
        ];
        let standing = crate::read(simulate(&scenario, 1).unwrap().to_imu_csv().as_bytes(), None).unwrap();
        let bias = still_bias(&standing).unwrap();
        assert!((25.0..=31.0).contains(&bias.seconds), "{bias:?}");
        for (found, set) in bias.rad_s.iter().zip([0.5_f64, -0.4, 0.3]) {
            assert!((found - set.to_radians()).abs() < 4.0 * bias.std_u_rad_s, "{bias:?}");
        }
        assert!(bias.std_u_rad_s < 0.01_f64.to_radians());
    }
}
