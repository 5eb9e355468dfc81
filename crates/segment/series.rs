//! The whole-flight estimate as evenly spaced series of turn rate, airspeed and climb.

use crate::robust::std_about_zero;
use driftless_track::Track;
use driftless_wind::flight::Node;

/// How many quantities are watched.
pub(crate) const CHANNELS: usize = 3;
/// Turn rate, °/s.
pub(crate) const TURN: usize = 0;
/// Airspeed, m/s.
pub(crate) const AIRSPEED: usize = 1;
/// Climb, m/s.
pub(crate) const CLIMB: usize = 2;

/// One stretch of the flight without gaps, evenly sampled.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    /// Time of the first sample, seconds from the epoch.
    pub start_s: f64,
    /// Time between samples, seconds.
    pub step_s: f64,
    /// Samples of each channel, all of one length.
    pub channels: [Vec<f64>; CHANNELS],
}

impl Run {
    /// Number of samples.
    pub(crate) fn len(&self) -> usize {
        self.channels[TURN].len()
    }
    /// Time of sample `k`.
    pub(crate) fn time_s(&self, k: usize) -> f64 {
        self.start_s + self.step_s * k as f64
    }
    /// The samples of a channel with times in `[from_s, to_s]`.
    pub(crate) fn between(&self, channel: usize, from_s: f64, to_s: f64) -> &[f64] {
        let index = |t_s: f64| (t_s - self.start_s) / self.step_s;
        let first = (index(from_s) - 1e-9).ceil().max(0.0) as usize;
        let end = ((index(to_s) + 1e-9).floor() + 1.0).clamp(0.0, self.len() as f64) as usize;
        self.channels[channel].get(first..end).unwrap_or_default()
    }
}

/// Steps missing in a row that end a run.
const BREAK_STEPS: f64 = 5.0;

/// The flight between take-off and landing as runs of evenly spaced samples, split where the nodes or the fixes have
/// a gap. Samples stand one second apart, or one median node interval where that is longer.
pub(crate) fn airborne_runs(track: &Track, nodes: &[Node]) -> Vec<Run> {
    let from_s = track.takeoff_s.unwrap_or(f64::NEG_INFINITY);
    let to_s = track.landing_s.unwrap_or(f64::INFINITY);
    let airborne: Vec<Node> = nodes.iter().filter(|n| n.t_s >= from_s && n.t_s <= to_s).copied().collect();
    evenly_spaced(&airborne, |a_s, b_s| track.gaps.iter().any(|g| g.start_s < b_s && g.end_s > a_s))
}

/// Resamples nodes onto an even grid, run by run; `gap` says whether there is no data between two times.
pub(crate) fn evenly_spaced(nodes: &[Node], gap: impl Fn(f64, f64) -> bool) -> Vec<Run> {
    let steps = nodes.windows(2).map(|w| w[1].t_s - w[0].t_s);
    let step_s = crate::robust::median(steps).unwrap_or(1.0).max(1.0);
    nodes
        .chunk_by(|a, b| b.t_s - a.t_s <= BREAK_STEPS * step_s && !gap(a.t_s, b.t_s))
        .filter(|run| run.len() >= 2)
        .map(|run| resample(run, step_s))
        .collect()
}

fn resample(nodes: &[Node], step_s: f64) -> Run {
    let (first, last) = (nodes[0].t_s, nodes[nodes.len() - 1].t_s);
    let count = ((last - first) / step_s + 1e-9).floor() as usize + 1;
    let mut channels = [const { Vec::new() }; CHANNELS];
    let mut right = 1;
    for k in 0..count {
        let t_s = first + step_s * k as f64;
        while right + 1 < nodes.len() && nodes[right].t_s < t_s {
            right += 1;
        }
        let (a, b) = (&nodes[right - 1], &nodes[right]);
        let share = ((t_s - a.t_s) / (b.t_s - a.t_s)).clamp(0.0, 1.0);
        for (channel, (u, v)) in channels.iter_mut().zip(values(a).into_iter().zip(values(b))) {
            channel.push(u + share * (v - u));
        }
    }
    Run { start_s: first, step_s, channels }
}

fn values(node: &Node) -> [f64; CHANNELS] {
    [node.turn_rate.value.deg_s(), node.airspeed_mps.value, node.climb_mps]
}

/// How a channel scatters while nothing changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scatter {
    /// Standard deviation.
    pub std: f64,
    /// How many samples in a row say the same thing: (1+ρ)/(1-ρ) of a first-order Markov series.
    pub correlated_samples: f64,
}

/// Differences over this many samples no longer know of the common noise of neighbours, but rarely cross a change.
const FAR_LAG: usize = 5;

/// The scatter of a channel over all runs, from the medians of differences, so that real changes do not count.
///
/// For a first-order Markov series of lag-one correlation ρ the differences over 1 and 5 samples have variances
/// 2σ²(1-ρ) and 2σ²(1-ρ⁵), and their ratio is 1 + ρ + ρ² + ρ³ + ρ⁴: both σ and ρ follow.
pub(crate) fn scatter(runs: &[Run], channel: usize, floor: f64) -> Scatter {
    let differences = |lag: usize| {
        let all = runs.iter().flat_map(move |r| {
            let samples = &r.channels[channel];
            samples.iter().zip(samples.iter().skip(lag)).map(|(a, b)| b - a)
        });
        std_about_zero(all).unwrap_or(0.0)
    };
    let (near, far) = (differences(1), differences(FAR_LAG));
    let ratio = if near > 0.0 { (far / near).powi(2) } else { 1.0 };
    let correlation = correlation_from_ratio(ratio);
    let decorrelated = 2.0 * (1.0 - correlation.powi(FAR_LAG as i32));
    Scatter {
        std: (far / decorrelated.sqrt()).max(floor),
        correlated_samples: (1.0 + correlation) / (1.0 - correlation),
    }
}

/// Solves 1 + ρ + ρ² + ρ³ + ρ⁴ = ratio for ρ in [0, 0.9] by bisection; the left side rises with ρ.
fn correlation_from_ratio(ratio: f64) -> f64 {
    let (mut low, mut high) = (0.0, 0.9);
    for _ in 0..40 {
        let middle: f64 = 0.5 * (low + high);
        let sum = 1.0 + middle * (1.0 + middle * (1.0 + middle * (1.0 + middle)));
        if sum < ratio { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn correlation_is_recovered_from_the_ratio_of_differences() {
        for rho in [0.0_f64, 0.3, 0.7, 0.85] {
            let ratio = (1.0 - rho.powi(5)) / (1.0 - rho);
            assert!((correlation_from_ratio(ratio) - rho).abs() < 1e-9);
        }
    }

    #[test]
    fn between_takes_the_samples_inside_both_ends() {
        let run = Run {
            start_s: 10.0,
            step_s: 2.0,
            channels: [(0..10).map(f64::from).collect(), vec![0.0; 10], vec![0.0; 10]],
        };
        assert_eq!(run.between(TURN, 12.0, 16.0), &[1.0, 2.0, 3.0]);
        assert_eq!(run.between(TURN, 12.5, 15.5), &[2.0]);
        assert_eq!(run.between(TURN, -5.0, 10.0), &[0.0]);
        assert!(run.between(TURN, 200.0, 300.0).is_empty());
        assert!(run.between(TURN, 16.0, 12.0).is_empty());
    }
}
