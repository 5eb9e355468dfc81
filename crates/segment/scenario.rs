//! Which scenario a window shows: the name given first, else from climb, airspeed and engine.

use crate::constants::{TOP_RPM_SHARE, TRIM_SHARE};
use crate::series::{AIRSPEED, CLIMB};
use crate::{Limits, ScenarioBasis, Signals, Window, WindowSpan};
use driftless_track::{Scenario, Track, TrackPoint};
use driftless_units::{median, quantile};

/// What tells the scenario of one window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Signs {
    /// Mean climb, m/s.
    pub climb_mps: f64,
    /// Mean airspeed, m/s.
    pub airspeed_mps: f64,
    /// Airspeed of the flight's slow level windows, m/s.
    pub trim_airspeed_mps: Option<f64>,
    /// Power as the engine's own record shows it, where it shows anything.
    pub power: Option<Power>,
}

/// Power as logged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Power {
    Off,
    Part,
    Full,
    /// Running, at a power the record does not tell.
    On,
}

/// The windows of these spans, numbered from 1: each with the scenario that was given, else with the one that climb,
/// airspeed and engine tell.
pub fn name_scenarios(spans: Vec<WindowSpan>, track: &Track, signals: &Signals, limits: &Limits) -> Vec<Window> {
    let trim_airspeed_mps = trim_airspeed_mps(&spans, signals, limits);
    let engine = EngineRecord::of(track, limits);
    let told = |span: &WindowSpan| {
        let mean = |channel| signals.mean(channel, span.start_s, span.end_s);
        let (climb_mps, airspeed_mps) = mean(CLIMB).zip(mean(AIRSPEED))?;
        let power = engine.power(track.points_between(span.start_s, span.end_s), limits);
        let scenario = classify(&Signs { climb_mps, airspeed_mps, trim_airspeed_mps, power }, limits);
        Some((scenario, if power.is_some() { engine.basis() } else { ScenarioBasis::ClimbOnly }))
    };
    let named = |(id, span): (u32, WindowSpan)| {
        let (scenario, basis) = match span.given() {
            Scenario::Unclassified => told(&span).unwrap_or((Scenario::Unclassified, ScenarioBasis::ClimbOnly)),
            given => (given, ScenarioBasis::Marked),
        };
        span.into_window(id, scenario, basis)
    };
    (1..).zip(spans).map(named).collect()
}

/// Tells the scenario from the signs; unclassified where they are weak or contradict one another.
pub(crate) fn classify(signs: &Signs, limits: &Limits) -> Scenario {
    let power_may_be = |kinds: &[Power]| signs.power.is_none_or(|p| kinds.contains(&p));
    if signs.climb_mps >= limits.climb_mps {
        let full = power_may_be(&[Power::Full, Power::On]);
        return if full { Scenario::FullPowerClimb } else { Scenario::Unclassified };
    }
    if signs.climb_mps <= limits.glide_mps {
        return if power_may_be(&[Power::Off]) { Scenario::PowerOffGlide } else { Scenario::Unclassified };
    }
    if signs.climb_mps.abs() > limits.level_mps || !power_may_be(&[Power::Part, Power::Full, Power::On]) {
        return Scenario::Unclassified;
    }
    match signs.trim_airspeed_mps.map(|trim| signs.airspeed_mps / trim) {
        Some(ratio) if ratio <= limits.trim_ratio => Scenario::TrimLevel,
        Some(ratio) if ratio >= limits.accelerated_ratio => Scenario::AcceleratedLevel,
        _ => Scenario::Unclassified,
    }
}

/// The flight's trim airspeed: the mean airspeed of windows named trim-level, else the lower quartile, by time, of
/// the airspeeds of its level windows. A flight that is accelerated throughout cannot be told from one at trim.
fn trim_airspeed_mps(spans: &[WindowSpan], signals: &Signals, limits: &Limits) -> Option<f64> {
    let airspeeds = |chosen: &dyn Fn(&WindowSpan) -> bool| -> Vec<(f64, f64)> {
        let mut weighted: Vec<(f64, f64)> = spans
            .iter()
            .filter(|w| chosen(w))
            .filter_map(|w| Some((signals.mean(AIRSPEED, w.start_s, w.end_s)?, w.end_s - w.start_s)))
            .collect();
        weighted.sort_by(|a, b| a.0.total_cmp(&b.0));
        weighted
    };
    let named = airspeeds(&|w| w.given() == Scenario::TrimLevel);
    if !named.is_empty() {
        let time_s: f64 = named.iter().map(|n| n.1).sum();
        return Some(named.iter().map(|(v, s)| v * s).sum::<f64>() / time_s);
    }
    let level = airspeeds(&|w| {
        let climb = signals.mean(CLIMB, w.start_s, w.end_s);
        w.given() == Scenario::Unclassified && climb.is_some_and(|c| c.abs() <= limits.level_mps)
    });
    let read_at_s = TRIM_SHARE.value * level.iter().map(|l| l.1).sum::<f64>();
    let mut passed_s = 0.0;
    level.iter().find_map(|(airspeed_mps, length_s)| {
        passed_s += length_s;
        (passed_s >= read_at_s).then_some(*airspeed_mps)
    })
}

/// What the flight's engine record is worth as a whole.
struct EngineRecord {
    /// Highest engine speed, odd samples left out, 1/min.
    top_rpm: Option<f64>,
    /// Whether the noise sensor ever registered an engine. A recorder without one writes zero throughout, which says nothing.
    registers: bool,
}

impl EngineRecord {
    fn of(track: &Track, limits: &Limits) -> Self {
        let loud = |p: &TrackPoint| p.engine_noise.get().is_some_and(|n| n >= limits.engine_noise_on);
        Self {
            top_rpm: quantile(track.points.iter().filter_map(|p| p.engine_rpm.get()), TOP_RPM_SHARE.value)
                .filter(|rpm| *rpm > 0.0),
            registers: track.points.iter().any(loud),
        }
    }

    /// What its power comes from.
    fn basis(&self) -> ScenarioBasis {
        if self.top_rpm.is_some() { ScenarioBasis::Rpm } else { ScenarioBasis::EngineNoise }
    }

    /// Power in a span, from engine speed where logged, else from the noise level.
    fn power(&self, points: &[TrackPoint], limits: &Limits) -> Option<Power> {
        if let (Some(rpm), Some(top)) = (median(points.iter().filter_map(|p| p.engine_rpm.get())), self.top_rpm) {
            return Some(match rpm / top {
                share if share >= limits.full_power_rpm_ratio => Power::Full,
                share if share <= limits.power_off_rpm_ratio => Power::Off,
                _ => Power::Part,
            });
        }
        let noise = median(points.iter().filter_map(|p| p.engine_noise.get())).filter(|_| self.registers)?;
        Some(if noise >= limits.engine_noise_on { Power::On } else { Power::Off })
    }
}

#[cfg(test)]
mod tests;
