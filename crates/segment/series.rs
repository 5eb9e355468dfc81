//! The whole-flight estimate as evenly spaced series of turn rate, airspeed and climb.

use crate::constants::{
    BREAK_STEPS, CLIPPED_AT, FEWEST_DIFFERENCES, MOST_CLIPPING_ROUNDS, NORMAL_CLIPPED_VARIANCE,
    NORMAL_QUIET_DIFFERENCES, QUIET_DIFFERENCES, WANDER_BLOCK_S,
};
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

/// One gap-free run of the flight, evenly sampled.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    /// Time of the first sample, seconds from the epoch.
    pub start_s: f64,
    /// Time between samples, seconds.
    pub step_s: f64,
    /// Samples of each channel, all of one length.
    pub channels: [Vec<f64>; CHANNELS],
    /// Standard uncertainty of each sample, same lengths; zero for climb, whose error is small beside its limits.
    pub std_u: [Vec<f64>; CHANNELS],
}

/// Something of the same channel of two, channel by channel.
pub(crate) fn per_channel<A, B, C>(a: &[A; CHANNELS], b: &[B; CHANNELS], of: impl Fn(&A, &B) -> C) -> [C; CHANNELS] {
    let ([a0, a1, a2], [b0, b1, b2]) = (a, b);
    [of(a0, b0), of(a1, b1), of(a2, b2)]
}

impl Run {
    /// The samples of a channel.
    pub(crate) fn samples(&self, channel: usize) -> &[f64] {
        self.channels.get(channel).map_or(&[], Vec::as_slice)
    }
    /// Number of samples.
    pub(crate) fn len(&self) -> usize {
        self.channels[TURN].len()
    }
    /// Time of sample `k`.
    pub(crate) fn time_s(&self, k: usize) -> f64 {
        self.start_s + self.step_s * k as f64
    }
    /// Which samples have times in `[from_s, to_s]`.
    pub(crate) fn indices(&self, from_s: f64, to_s: f64) -> std::ops::Range<usize> {
        let index = |t_s: f64| (t_s - self.start_s) / self.step_s;
        let first = (index(from_s) - 1e-9).ceil().clamp(0.0, self.len() as f64) as usize;
        let end = ((index(to_s) + 1e-9).floor() + 1.0).clamp(0.0, self.len() as f64) as usize;
        first..end.max(first)
    }
}

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
    let steps = nodes.iter().zip(nodes.iter().skip(1)).map(|(a, b)| b.t_s - a.t_s);
    let step_s = driftless_units::median(steps).unwrap_or(1.0).max(1.0);
    nodes
        .chunk_by(|a, b| b.t_s - a.t_s <= BREAK_STEPS.value * step_s && !gap(a.t_s, b.t_s))
        .filter_map(|run| resample(run, step_s))
        .collect()
}

/// Nothing for a single node.
fn resample(nodes: &[Node], step_s: f64) -> Option<Run> {
    let [first, .., last] = nodes else { return None };
    let count = ((last.t_s - first.t_s) / step_s + 1e-9).floor() as usize + 1;
    let mut channels = [const { Vec::new() }; CHANNELS];
    let mut std_u = [const { Vec::new() }; CHANNELS];
    let mut pairs = nodes.windows(2).peekable();
    let mut pair = pairs.next()?;
    for k in 0..count {
        let t_s = first.t_s + step_s * k as f64;
        while let ([_, right], Some(_)) = (pair, pairs.peek())
            && right.t_s < t_s
        {
            pair = pairs.next()?;
        }
        let [a, b] = pair else { return None };
        let share = ((t_s - a.t_s) / (b.t_s - a.t_s)).clamp(0.0, 1.0);
        let between = |u: &f64, v: &f64| u + share * (v - u);
        for (series, value) in channels.iter_mut().zip(per_channel(&values(a), &values(b), between)) {
            series.push(value);
        }
        for (series, value) in std_u.iter_mut().zip(per_channel(&uncertainties(a), &uncertainties(b), between)) {
            series.push(value);
        }
    }
    Some(Run { start_s: first.t_s, step_s, channels, std_u })
}

fn values(node: &Node) -> [f64; CHANNELS] {
    // Without altitudes the climb is even, so that it parts nothing; `Signals` says that it is not known.
    [node.turn_rate.value.deg_s(), node.airspeed_mps.value, node.climb_mps.unwrap_or(0.0)]
}

fn uncertainties(node: &Node) -> [f64; CHANNELS] {
    [node.turn_rate.std_u.deg_s(), node.airspeed_mps.std_u, 0.0]
}

/// Wander of a channel while nothing changes: its long-run variance, the variance that the mean of n samples would
/// have times n. It is the one figure that the cost of a mean needs, whatever the correlation in between.
///
/// From the differences between neighbouring blocks. Real changes are the largest of them and do not count: a first
/// value from the smallest differences is too large by the share of flight that is not quiet, so what lies beyond
/// [`CLIPPED_AT`] of it is left out and the rest taken again, until nothing changes.
pub(crate) fn wander(runs: &[Run], channel: usize, floor: f64) -> f64 {
    let differences: Vec<f64> = runs
        .iter()
        .flat_map(|run| {
            let block = ((WANDER_BLOCK_S.value / run.step_s).round() as usize).max(1);
            let means: Vec<f64> =
                run.samples(channel).chunks_exact(block).map(|b| b.iter().sum::<f64>() / block as f64).collect();
            let per_sample = (0.5 * block as f64).sqrt();
            means.iter().zip(means.iter().skip(1)).map(|(a, b)| (b - a).abs() * per_sample).collect::<Vec<_>>()
        })
        .collect();
    let smallest = driftless_units::quantile(differences.iter().copied(), QUIET_DIFFERENCES.value).unwrap_or(0.0);
    let mut std = smallest / NORMAL_QUIET_DIFFERENCES.value;
    for _ in 0..MOST_CLIPPING_ROUNDS.count() {
        let kept: Vec<f64> = differences.iter().copied().filter(|d| *d <= CLIPPED_AT.value * std).collect();
        if kept.len() < FEWEST_DIFFERENCES.count() {
            break;
        }
        let mean_square = kept.iter().map(|d| d * d).sum::<f64>() / kept.len() as f64;
        std = (mean_square / NORMAL_CLIPPED_VARIANCE.value).sqrt();
    }
    (std * std).max(floor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_samples_inside_both_ends_are_taken() {
        let channels = [vec![0.0; 10], vec![0.0; 10], vec![0.0; 10]];
        let run = Run { start_s: 10.0, step_s: 2.0, std_u: channels.clone(), channels };
        assert_eq!(run.indices(12.0, 16.0), 1..4);
        assert_eq!(run.indices(12.5, 15.5), 2..3);
        assert_eq!(run.indices(-5.0, 10.0), 0..1);
        assert!(run.indices(200.0, 300.0).is_empty());
        assert!(run.indices(16.0, 12.0).is_empty());
    }
}
