//! What a whole-flight estimate says, prepared once for finding, trimming, naming and judging windows.

use crate::constants::{
    AIRSPEED_WANDER_FLOOR, CLIMB_WANDER_FLOOR, JITTER_FLOOR_DEG_S, JITTER_SPAN_S, QUIET_SHARE, TURN_WANDER_FLOOR,
};
use crate::series::{AIRSPEED, CHANNELS, CLIMB, Run, TURN, airborne_runs, per_channel, wander};
use crate::trend::{Trend, trend};
use driftless_track::Track;
use driftless_units::quantile;
use driftless_wind::flight::Node;

/// Long-run variance below which a quieter channel does not count as quieter.
const WANDER_FLOOR: [f64; CHANNELS] = [TURN_WANDER_FLOOR.value, AIRSPEED_WANDER_FLOOR.value, CLIMB_WANDER_FLOOR.value];

/// Turn rate, airspeed and climb of the airborne part of a flight, with the noise each of them has there.
#[derive(Debug, Clone)]
pub struct Signals {
    pub(crate) runs: Vec<Run>,
    /// Long-run variance of each channel while nothing changes.
    pub(crate) wander: [f64; CHANNELS],
    /// Yaw jitter of the flight's quiet part, °/s.
    pub(crate) quiet_jitter_deg_s: f64,
    /// Whether the log has altitudes. Without them the climb is a channel that never changes, and nothing is told from it.
    climb_known: bool,
}

impl Signals {
    /// From the nodes of an estimate.
    pub fn new(track: &Track, nodes: &[Node]) -> Self {
        let climb_known = nodes.iter().any(|node| node.climb_mps.is_some());
        Self { climb_known, ..Self::from_runs(airborne_runs(track, nodes)) }
    }

    pub(crate) fn from_runs(runs: Vec<Run>) -> Self {
        let wander =
            per_channel(&[TURN, AIRSPEED, CLIMB], &WANDER_FLOOR, |channel, floor| wander(&runs, *channel, *floor));
        let jitters = runs.iter().flat_map(|run| {
            let span = ((JITTER_SPAN_S.value / run.step_s) as usize).max(4);
            run.samples(TURN).chunks_exact(span).filter_map(trend).map(|t| t.scatter)
        });
        let quiet_jitter_deg_s = quantile(jitters, QUIET_SHARE.value).unwrap_or(0.0).max(JITTER_FLOOR_DEG_S.value);
        Self { runs, wander, quiet_jitter_deg_s, climb_known: true }
    }

    /// The samples of a channel between two times; empty where the flight was on the ground or had a gap.
    pub(crate) fn between(&self, channel: usize, from_s: f64, to_s: f64) -> &[f64] {
        self.part(from_s, to_s).and_then(|(run, part)| run.samples(channel).get(part)).unwrap_or_default()
    }

    /// Mean of a channel between two times; `None` where it has no samples, or is not known.
    pub(crate) fn mean(&self, channel: usize, from_s: f64, to_s: f64) -> Option<f64> {
        let known = channel != CLIMB || self.climb_known;
        mean(self.between(channel, from_s, to_s)).filter(|_| known)
    }

    /// The trend of a channel between two times. The uncertainty of its change has two parts: the scatter of the
    /// samples, and what the estimate itself does not know at both ends, as if it knew nothing of one from the other.
    pub(crate) fn trend(&self, channel: usize, from_s: f64, to_s: f64) -> Option<Trend> {
        let (run, part) = self.part(from_s, to_s)?;
        let line = trend(run.samples(channel).get(part.clone())?)?;
        let std_u = mean(run.std_u.get(channel)?.get(part)?)?;
        Some(Trend { change_std_u: line.change_std_u.hypot(std_u * std::f64::consts::SQRT_2), ..line })
    }

    /// Of several runs between two times the one that holds most: a gap is refused elsewhere, with its length.
    fn part(&self, from_s: f64, to_s: f64) -> Option<(&Run, std::ops::Range<usize>)> {
        let parts = self.runs.iter().map(|run| (run, run.indices(from_s, to_s)));
        parts.filter(|(_, part)| !part.is_empty()).max_by_key(|(_, part)| part.len())
    }
}

fn mean(samples: &[f64]) -> Option<f64> {
    (!samples.is_empty()).then(|| samples.iter().sum::<f64>() / samples.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{nodes, track, wiggle};

    /// Ten samples are twenty seconds where there is one every two: a minute holds three such spans, and shows its jitter.
    #[test]
    fn derived_jitter_is_measured_over_seconds_and_not_over_samples() {
        let all = nodes(60, |t_s| [8.0 * wiggle(t_s), 10.5, 0.0]);
        let every_second: Vec<Node> = all.into_iter().step_by(2).collect();
        let quiet = Signals::new(&track(60), &every_second).quiet_jitter_deg_s;
        assert!(quiet > 2.0 * JITTER_FLOOR_DEG_S.value, "{quiet}");
    }
}
