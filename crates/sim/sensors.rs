//! From truth to what a logger writes down.

use crate::geodesy::TangentPlane;
use crate::noise::{Source, Stream, Wander};
use crate::receiver_filter::Smoother;
use crate::scenario::Scenario;
use crate::truth::Truth;
use chrono::TimeDelta;
use driftless_track::{Fix, FixQuality, Mark, SourceRef};
use driftless_units::wrap_360_deg;
use std::f64::consts::{PI, TAU};

/// Records a flight. Fixes come at whole milliseconds, so that no file format rounds their times.
pub(crate) fn record(scenario: &Scenario, seed: u64, truth: &Truth) -> Vec<Fix> {
    let sensors = &scenario.sensors;
    let site = &scenario.site;
    let plane = TangentPlane::new(site.lat_deg, site.lon_deg, site.elevation_m);
    let interval_s = 1.0 / sensors.rate_hz;
    let stream = |source| Stream::new(seed, source);
    let (mut white, mut slow) = (stream(Source::PositionWhite), stream(Source::PositionSlow));
    let (mut altitude, doppler) = (stream(Source::Altitude), stream(Source::Doppler));
    let mut spikes = stream(Source::Spike);
    let mut dropouts = Dropouts::new(scenario, stream(Source::Dropout));
    let wander = |sd, stream: &mut Stream| Wander::new(sd, sensors.slow_tau_s, interval_s, stream);
    let mut slow_east = wander(sensors.position_slow_m, &mut slow);
    let mut slow_north = wander(sensors.position_slow_m, &mut slow);
    let mut slow_altitude = wander(sensors.altitude_slow_m, &mut altitude);

    let mut doppler_errors = DopplerErrors::new(scenario, doppler);
    let mut repeats = stream(Source::Repeat);
    let mut smoother = Smoother::new(sensors.filter, interval_s);
    let mut last: Option<Fix> = None;

    let count = (truth.duration_s() * sensors.rate_hz).floor() as u32 + 1;
    let mut fixes = Vec::with_capacity(count as usize);
    for k in 0..count {
        let time_ms = (f64::from(k) * interval_s * 1000.0).round();
        let t_s = time_ms / 1000.0;
        // Every source is drawn on at every fix, dropped or not, so that dropouts change nothing else.
        let seen = truth.motion_at(t_s - sensors.latency_s);
        let mut east_m = seen.east_m + slow_east.value() + sensors.position_white_m * white.normal();
        let mut north_m = seen.north_m + slow_north.value() + sensors.position_white_m * white.normal();
        let gnss_m = seen.altitude_m + slow_altitude.value() + sensors.altitude_white_m * altitude.normal();
        let pressure_noise = altitude.normal();
        slow_east.step(&mut slow);
        slow_north.step(&mut slow);
        slow_altitude.step(&mut altitude);
        let (chance, direction_rad) = (spikes.uniform(), TAU * spikes.uniform());
        if chance < sensors.spike_chance {
            east_m += sensors.spike_m * libm::sin(direction_rad);
            north_m += sensors.spike_m * libm::cos(direction_rad);
        }
        [east_m, north_m] = smoother.smooth([east_m, north_m]);
        let velocity = doppler_errors.next().map(|[error_east, error_north]| {
            let (east, north) = (seen.east_mps + error_east, seen.north_mps + error_north);
            ((east * east + north * north).sqrt(), wrap_360_deg(libm::atan2(east, north) * 180.0 / PI))
        });
        let repeated = repeats.uniform() < sensors.repeat_chance;
        let paused = sensors.pauses.iter().any(|pause| pause.from_s <= t_s && t_s < pause.to_s);
        if dropouts.dropped(t_s) || paused {
            continue;
        }
        let time = truth.epoch + TimeDelta::milliseconds(time_ms as i64);
        if let Some(before) = last.as_ref().filter(|_| repeated) {
            fixes.push(Fix { time, source: SourceRef { line: k + 1, byte: 0 }, ..before.clone() });
            continue;
        }
        let (lat_deg, lon_deg) = plane.lat_lon_deg(east_m, north_m, gnss_m);
        let step_deg = sensors.position_step_arcmin / 60.0;
        let fix = Fix {
            time,
            lat_deg: rounded(lat_deg, step_deg),
            lon_deg: rounded(lon_deg, step_deg),
            gnss_altitude_m: rounded(gnss_m, sensors.altitude_step_m).into(),
            pressure_altitude_m: sensors
                .pressure
                .map(|p| rounded(seen.altitude_m + p.offset_m + p.white_m * pressure_noise, sensors.altitude_step_m))
                .into(),
            ground_speed_mps: velocity.map(|v| v.0).into(),
            course_deg: velocity.map(|v| v.1).into(),
            quality: FixQuality::ThreeD,
            source: SourceRef { line: k + 1, byte: 0 },
            ..Fix::default()
        };
        last = Some(fix.clone());
        fixes.push(fix);
    }
    fixes
}

/// The marks the pilot made: let-go and take-over of every window, as late or early as the scenario says.
pub(crate) fn marks(scenario: &Scenario, seed: u64, truth: &Truth) -> Vec<Mark> {
    let mut stream = Stream::new(seed, Source::Mark);
    let mut mark = |t_s: f64, text: String| {
        let pressed_s = (t_s + scenario.sensors.mark_error_s * stream.normal()).max(0.0);
        let time = truth.epoch + TimeDelta::milliseconds((pressed_s * 1000.0).round() as i64);
        Mark::from_text(time, &text, SourceRef::default())
    };
    truth
        .windows
        .iter()
        .flat_map(|w| {
            let let_go = if scenario.output.marks_name_settings {
                format!("let go {}", w.setting.name())
            } else {
                "let go".to_owned()
            };
            [mark(w.let_go_s, let_go), mark(w.take_over_s, "take over".to_owned())]
        })
        .collect()
}

/// To the nearest multiple of a step; 0 leaves the value as it is.
fn rounded(value: f64, step: f64) -> f64 {
    if step > 0.0 { (value / step).round() * step } else { value }
}

/// Errors of the recorded velocity, white or slow; none where it is not recorded.
struct DopplerErrors {
    stream: Stream,
    sd_mps: Option<f64>,
    slow: Option<[Wander; 2]>,
}

impl DopplerErrors {
    fn new(scenario: &Scenario, mut stream: Stream) -> Self {
        let sensors = &scenario.sensors;
        let slow = sensors.doppler_mps.filter(|_| sensors.doppler_tau_s > 0.0).map(|sd| {
            let mut axis = || Wander::new(sd, sensors.doppler_tau_s, 1.0 / sensors.rate_hz, &mut stream);
            [axis(), axis()]
        });
        Self { stream, sd_mps: sensors.doppler_mps, slow }
    }

    fn next(&mut self) -> Option<[f64; 2]> {
        let sd = self.sd_mps?;
        let stream = &mut self.stream;
        Some(match &mut self.slow {
            Some(axes) => axes.each_mut().map(|axis| axis.step(stream)),
            None => [sd * stream.normal(), sd * stream.normal()],
        })
    }
}

/// Dropouts that begin at random and last an exponential time.
struct Dropouts {
    stream: Stream,
    chance: f64,
    mean_s: f64,
    until_s: f64,
}

impl Dropouts {
    fn new(scenario: &Scenario, stream: Stream) -> Self {
        let sensors = &scenario.sensors;
        let chance = sensors.dropouts_per_hour / 3600.0 / sensors.rate_hz;
        Self { stream, chance, mean_s: sensors.dropout_s, until_s: 0.0 }
    }

    fn dropped(&mut self, t_s: f64) -> bool {
        let (chance, length_s) = (self.stream.uniform(), self.stream.exponential(self.mean_s));
        if t_s > 0.0 && chance < self.chance {
            self.until_s = self.until_s.max(t_s + length_s);
        }
        t_s < self.until_s
    }
}
