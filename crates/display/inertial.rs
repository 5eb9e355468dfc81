//! What an inertial sensor is and gains, in words.

use crate::{count_of, fixed, significant};
use driftless_analysis::{
    BesideGps, BiasInstability, FlightAnalysis, InertialAnalysis, InertialStatus, OwnNoise, SensorsUsed,
};
use driftless_units::{Estimate, TurnRate, coverage_factor};

/// How many times narrower the intervals of the windows are with the sensor than by GPS alone: the median, and the number
/// of windows. `None` where it took no part or no window has both.
pub fn gain(analysis: &FlightAnalysis) -> Option<(f64, usize)> {
    let inertial = analysis.inertial.as_ref().filter(|i| i.takes_part())?;
    let mut ratios: Vec<f64> = inertial
        .windows
        .iter()
        .filter_map(|seen| {
            let with = analysis.windows.iter().find(|w| w.window.id == seen.id)?.turn_rate?;
            Some(narrower(&seen.gps_alone?, &with))
        })
        .filter(|ratio| ratio.is_finite() && *ratio > 0.0)
        .collect();
    ratios.sort_by(f64::total_cmp);
    let (low, high) = (ratios.get(ratios.len().checked_sub(1)? / 2)?, ratios.get(ratios.len() / 2)?);
    Some((0.5 * (low + high), ratios.len()))
}

/// How many times narrower the interval of `with` is than that of `alone`.
pub fn narrower(alone: &Estimate<TurnRate>, with: &Estimate<TurnRate>) -> f64 {
    let half = |rate: &Estimate<TurnRate>| coverage_factor(0.95, rate.dof) * rate.std_u.rad_s();
    half(alone) / half(with)
}

/// What the turn rates of the report rest on.
pub fn sources(inertial: &InertialAnalysis) -> &'static str {
    match &inertial.status {
        InertialStatus::Used(SensorsUsed::GyroAndCompass) => "GPS, gyro and compass",
        InertialStatus::Used(SensorsUsed::Gyro) => "GPS and gyro",
        InertialStatus::Used(SensorsUsed::Compass(_)) => "GPS and compass",
        InertialStatus::NotUsed(_) | InertialStatus::NotAligned(_) | InertialStatus::NotRead(_) => "GPS",
    }
}

/// The gain in words.
pub fn gain_words(analysis: &FlightAnalysis) -> Option<String> {
    /// A difference of less than a tenth is none worth a word.
    const WORTH: f64 = 1.1;
    let (ratio, count) = gain(analysis)?;
    let of = if count > 1 { format!(" (median of {})", count_of(count, "window", "windows")) } else { String::new() };
    Some(if ratio >= WORTH {
        format!("{}\u{a0}times narrower than by GPS alone{of}", fixed(ratio, 1))
    } else if ratio > 1.0 / WORTH {
        format!("about as wide as by GPS alone{of}")
    } else {
        format!("{}\u{a0}times wider than by GPS alone{of}", fixed(1.0 / ratio, 1))
    })
}

/// Whether the sensor is quiet enough to help, in words: its noise over a window of a minute and of ten seconds, against what
/// GPS alone gives for a minute, where known.
pub fn own_noise(noise: &OwnNoise) -> String {
    let deg_s = |rad_s: f64| significant(rad_s.to_degrees(), 2);
    let (minute, ten, gps) = match *noise {
        OwnNoise::NotKnown { .. } => {
            return "The sensor never lay still for ten seconds, so its own noise is not known; leave it still for a minute \
                    before take-off"
                .to_owned();
        }
        OwnNoise::Known { minute_rad_s, ten_seconds_rad_s, gps_minute_rad_s } => {
            (deg_s(minute_rad_s), deg_s(ten_seconds_rad_s), gps_minute_rad_s.map(deg_s).unwrap_or_default())
        }
    };
    let figures = format!("Its own noise is {minute} °/s over a minute and {ten} °/s over ten seconds");
    match noise.beside_gps() {
        Some(BesideGps::Quiet) => format!("{figures}: less than the {gps} °/s of GPS alone, quiet enough to help"),
        Some(BesideGps::Alike) => {
            format!("{figures}: about that of GPS alone ({gps} °/s), so it can help most in short windows")
        }
        Some(BesideGps::Noisy) => format!("{figures}: more than the {gps} °/s of GPS alone, too noisy to help much"),
        None => figures,
    }
}

/// "0.012 °/√s (0.70 °/√h)": both units are usual.
pub fn random_walk(rad_per_sqrt_s: f64) -> String {
    let per_sqrt_s = rad_per_sqrt_s.to_degrees();
    // 3600 s to the hour, so the root of it.
    format!("{}\u{a0}°/√s ({}\u{a0}°/√h)", significant(per_sqrt_s, 2), significant(60.0 * per_sqrt_s, 2))
}

/// "at most 0.0088 °/s (32 °/h)".
pub fn instability(floor: &BiasInstability) -> String {
    let most = if floor.upper_bound { "at most " } else { "" };
    let per_s = floor.value.to_degrees();
    format!("{most}{}\u{a0}°/s ({}\u{a0}°/h)", significant(per_s, 2), significant(3600.0 * per_s, 2))
}
