//! The key `inertial` of the document. It keeps all its keys; `null` stands where a thing is not known.

use super::verdict::verdict;
use crate::json::{RateEntry, utc};
use crate::known::finite;
use crate::reasons::FindingEntry;
use driftless_analysis::{ClockTimes, FlightAnalysis, HandsHint, InertialAnalysis, InertialWindow, SensorCompass};
use driftless_display::inertial::gain;
use driftless_display::reasons::{compass_doubt, why_not_aligned, why_not_used};
use driftless_units::Estimate;
use serde::Serialize;

#[derive(Serialize)]
pub(crate) struct InertialEntry<'a> {
    files: Vec<FileEntry<'a>>,
    /// `used`, `not-used` (aligned, and the estimate goes without it), `not-aligned` or `not-read`.
    status: &'static str,
    /// Why it did not get further; `null` when it is used.
    status_reason: Option<String>,
    /// The same for programs.
    status_finding: Option<FindingEntry>,
    /// Whether the gyro took part in the turn rates of the windows.
    used_in_turn_rates: bool,
    /// How many times narrower the intervals of the windows are than by GPS alone: the median.
    gain_over_gps_alone: Option<f64>,
    rate_hz: Option<f64>,
    gaps: Option<usize>,
    missing_s: Option<f64>,
    temperature_low_c: Option<f64>,
    temperature_high_c: Option<f64>,
    temperature_start_c: Option<f64>,
    temperature_end_c: Option<f64>,
    /// Of what the temperatures are: `flight`, or `recording` where the clocks could not be aligned.
    temperature_of: Option<&'static str>,
    /// How the bias of x, y and z moves with temperature, from periods at rest.
    gyro_bias_slope_deg_s_per_k: Option<[f64; 3]>,
    gyro_bias_slope_std_u_deg_s_per_k: Option<[f64; 3]>,
    /// Time of the flight log less time of the sensor, at `clock_offset_at_utc`.
    clock_offset_s: Option<f64>,
    clock_offset_std_u_s: Option<f64>,
    clock_offset_at_utc: Option<String>,
    /// `clocks`: times as they stand in both files; `first-fix`: seconds from the first fix to the sensor's second 0.
    clock_offset_from: Option<&'static str>,
    clock_drift_ppm: Option<f64>,
    clock_drift_std_u_ppm: Option<f64>,
    /// Why the offset is not known; `null` when it is.
    clock_offset_reason: Option<String>,
    correlation: Option<f64>,
    rate_difference_deg_s: Option<f64>,
    gyro_bias_deg_s: Option<f64>,
    gyro_bias_std_u_deg_s: Option<f64>,
    gyro_bias_at_rest_deg_s: Option<[f64; 3]>,
    scale: Option<f64>,
    scale_std_u: Option<f64>,
    down_sensor_axes: Option<[f64; 3]>,
    forward_sensor_axes: Option<[f64; 3]>,
    /// Whether the sensor helps, in words.
    verdict: String,
    /// The noise of the gyro over a minute beside that of GPS alone, for programs.
    own_noise: Option<FindingEntry>,
    allan: Vec<AllanEntry>,
    angle_random_walk_deg_per_sqrt_s: Option<f64>,
    bias_instability_deg_s: Option<f64>,
    bias_instability_tau_s: Option<f64>,
    bias_instability_is_upper_bound: Option<bool>,
    gyro_less_gps_heading_rms_deg: Option<f64>,
    compass_less_gps_heading_mean_deg: Option<f64>,
    compass_less_gps_heading_rms_deg: Option<f64>,
    compass: Option<CompassEntry>,
    swing_period_s: Option<f64>,
    windows: Vec<WindowEntry>,
}

#[derive(Serialize)]
struct FileEntry<'a> {
    file: &'a str,
    input_sha256: &'a str,
}

#[derive(Serialize)]
struct AllanEntry {
    axis: &'static str,
    tau_s: f64,
    adev_deg_s: f64,
    relative_std_u: f64,
}

#[derive(Serialize)]
struct CompassEntry {
    consistent: bool,
    /// Whether it took part in the turn rates of the windows.
    used_in_turn_rates: bool,
    doubts: Vec<String>,
    /// The same for programs, in the same order.
    findings: Vec<FindingEntry>,
    strength_ut: Option<f64>,
    inclination_deg: Option<f64>,
    declination_deg: Option<f64>,
    hard_iron_ut: [f64; 3],
    spread_deg: Option<f64>,
}

#[derive(Serialize)]
struct WindowEntry {
    id: u32,
    /// By GPS alone, also where the gyro took part in the turn rate of the report.
    turn_rate_gps_alone: RateEntry,
    heading_change_deg: Option<f64>,
    heading_change_std_u_deg: Option<f64>,
    swing_rms_deg: Option<f64>,
    twist_rms_deg: Option<f64>,
    swing_period_s: Option<f64>,
    /// `off`, `on` or `unclear`; no more than a hint.
    hands_hint: &'static str,
    /// Motion of the body over that while steering.
    hands_hint_ratio: Option<f64>,
}

fn known(estimate: Option<Estimate<f64>>, factor: f64) -> (Option<f64>, Option<f64>) {
    let part = |value: fn(&Estimate<f64>) -> f64| estimate.as_ref().and_then(|e| finite(factor * value(e)));
    (part(|e| e.value), part(|e| e.std_u))
}

fn degrees(rad: f64) -> Option<f64> {
    finite(rad.to_degrees())
}

impl<'a> InertialEntry<'a> {
    pub(crate) fn of(analysis: &'a FlightAnalysis, inertial: &'a InertialAnalysis) -> Self {
        let health = inertial.health.as_ref();
        let noise = health.and_then(|h| h.noise);
        let temperature = health.and_then(|h| h.temperature.as_ref());
        let slope = temperature.and_then(|t| t.bias_slope).map(|s| s.rad_s_per_k);
        let floor = noise.and_then(|n| n.bias_instability);
        let clock = inertial.clock_offset(&analysis.track);
        let alignment = inertial.alignment.as_ref();
        let (clock_offset_s, clock_offset_std_u_s) = known(clock.map(|c| c.offset_s), 1.0);
        let (clock_drift_ppm, clock_drift_std_u_ppm) = known(clock.map(|c| c.drift_ppm), 1.0);
        let (gyro_bias_deg_s, gyro_bias_std_u_deg_s) = known(inertial.vertical_bias_rad_s(), 1_f64.to_degrees());
        let (scale, scale_std_u) = known(alignment.map(|a| a.scale), 1.0);
        let headings = inertial.headings.as_ref();
        let compass_apart = headings.and_then(|h| h.compass);
        Self {
            files: inertial.files.iter().map(|f| FileEntry { file: &f.name, input_sha256: &f.sha256 }).collect(),
            status: inertial.status.code(),
            status_reason: why_not_used(&inertial.status),
            status_finding: FindingEntry::of_status(&inertial.status),
            used_in_turn_rates: inertial.status.gyro_takes_part(),
            gain_over_gps_alone: gain(analysis).and_then(|(ratio, _)| finite(ratio)),
            rate_hz: health.and_then(|h| finite(h.gyro_rate_hz)).filter(|hz| *hz > 0.0),
            gaps: health.map(|h| h.gaps),
            missing_s: health.and_then(|h| finite(h.missing_s)),
            temperature_low_c: temperature.and_then(|t| finite(t.range_c[0])),
            temperature_high_c: temperature.and_then(|t| finite(t.range_c[1])),
            temperature_start_c: temperature.and_then(|t| finite(t.ends_c[0])),
            temperature_end_c: temperature.and_then(|t| finite(t.ends_c[1])),
            temperature_of: temperature.map(|t| if t.of_flight { "flight" } else { "recording" }),
            gyro_bias_slope_deg_s_per_k: slope.map(|s| s.map(|e| e.value.to_degrees())),
            gyro_bias_slope_std_u_deg_s_per_k: slope.map(|s| s.map(|e| e.std_u.to_degrees())),
            clock_offset_s,
            clock_offset_std_u_s,
            clock_offset_at_utc: clock.map(|c| utc(c.at)),
            clock_offset_from: clock.map(|c| match c.times {
                ClockTimes::Alike => "clocks",
                ClockTimes::FromFirstFix => "first-fix",
            }),
            clock_drift_ppm,
            clock_drift_std_u_ppm,
            clock_offset_reason: why_not_aligned(&inertial.status),
            correlation: alignment.and_then(|a| finite(a.correlation)),
            rate_difference_deg_s: alignment.and_then(|a| degrees(a.residual_rad_s)),
            gyro_bias_deg_s,
            gyro_bias_std_u_deg_s,
            gyro_bias_at_rest_deg_s: health.and_then(|h| h.still).map(|s| s.rad_s.map(f64::to_degrees)),
            scale,
            scale_std_u,
            down_sensor_axes: alignment.map(|a| a.down.axis),
            forward_sensor_axes: alignment.and_then(|a| a.forward).map(|f| f.axis),
            verdict: verdict(analysis, inertial),
            own_noise: inertial.own_noise.as_ref().map(FindingEntry::of_noise),
            allan: allan(inertial),
            angle_random_walk_deg_per_sqrt_s: noise.and_then(|n| n.angle_random_walk).and_then(degrees),
            bias_instability_deg_s: floor.and_then(|f| degrees(f.value)),
            bias_instability_tau_s: floor.and_then(|f| finite(f.tau_s)),
            bias_instability_is_upper_bound: floor.map(|f| f.upper_bound),
            gyro_less_gps_heading_rms_deg: headings.and_then(|h| h.gyro).and_then(|d| finite(d.scatter_deg)),
            compass_less_gps_heading_mean_deg: compass_apart.and_then(|d| finite(d.mean_deg)),
            compass_less_gps_heading_rms_deg: compass_apart.and_then(|d| finite(d.scatter_deg)),
            compass: inertial.compass.as_ref().map(|c| CompassEntry::of(c, inertial.status.compass_takes_part())),
            swing_period_s: inertial.swing_period_s.and_then(finite),
            windows: inertial.windows.iter().map(WindowEntry::of).collect(),
        }
    }
}

fn allan(inertial: &InertialAnalysis) -> Vec<AllanEntry> {
    let curves = inertial.health.iter().flat_map(|h| ["x", "y", "z"].into_iter().zip(&h.allan));
    curves
        .flat_map(|(axis, curve)| {
            curve.iter().filter(|p| p.deviation.is_finite()).map(move |p| AllanEntry {
                axis,
                tau_s: p.tau_s,
                adev_deg_s: p.deviation.to_degrees(),
                relative_std_u: p.relative_std_u,
            })
        })
        .collect()
}

impl CompassEntry {
    fn of(compass: &SensorCompass, used_in_turn_rates: bool) -> Self {
        let calibrated = &compass.calibrated;
        Self {
            consistent: compass.is_consistent(),
            used_in_turn_rates,
            doubts: compass.doubts.iter().map(compass_doubt).collect(),
            findings: compass.doubts.iter().map(FindingEntry::of_compass).collect(),
            strength_ut: finite(calibrated.strength_ut),
            inclination_deg: finite(calibrated.inclination_deg),
            declination_deg: finite(calibrated.declination_deg),
            hard_iron_ut: calibrated.hard_iron_ut,
            spread_deg: finite(calibrated.spread_deg),
        }
    }
}

impl WindowEntry {
    fn of(window: &InertialWindow) -> Self {
        let (hands_hint, ratio) = match window.hint {
            HandsHint::Off { ratio } => ("off", Some(ratio)),
            HandsHint::On { ratio } => ("on", Some(ratio)),
            HandsHint::Unclear => ("unclear", None),
        };
        Self {
            id: window.id,
            turn_rate_gps_alone: RateEntry::of(window.gps_alone),
            heading_change_deg: window.heading_change.and_then(|c| finite(c.value.deg())),
            heading_change_std_u_deg: window.heading_change.and_then(|c| finite(c.std_u.deg())),
            swing_rms_deg: window.roll_rms_deg().and_then(finite),
            twist_rms_deg: window.twist_rms_deg().and_then(finite),
            swing_period_s: window.swing_period_s.and_then(finite),
            hands_hint,
            hands_hint_ratio: ratio.and_then(finite),
        }
    }
}
