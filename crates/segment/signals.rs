//! What the free estimate says about the flight, prepared once for finding, trimming, naming and judging windows.

use crate::robust::{quantile, trend};
use crate::series::{AIRSPEED, CHANNELS, CLIMB, Run, Scatter, TURN, airborne_runs, scatter};
use driftless_track::Track;
use driftless_wind::flight::Node;

/// Scatter below which a quieter channel does not count as quieter: turn rate °/s, airspeed m/s, climb m/s.
/// The size of what a 1 Hz log without any turbulence still leaves in the estimate.
const SCATTER_FLOOR: [f64; CHANNELS] = [0.3, 0.15, 0.15];

/// The length over which yaw jitter is measured, seconds: several swings of pilot under wing (3 to 4 s each).
const JITTER_SPAN_S: f64 = 20.0;

/// The share of the flight that is taken as its quiet part.
const QUIET_SHARE: f64 = 0.2;

/// Turn rate, airspeed and climb of the airborne part of a flight, with the noise each of them has there.
#[derive(Debug, Clone)]
pub struct Signals {
    pub(crate) runs: Vec<Run>,
    pub(crate) scatter: [Scatter; CHANNELS],
    /// Yaw jitter of the flight's quiet part, °/s.
    pub(crate) quiet_jitter_deg_s: f64,
}

impl Signals {
    /// From the nodes of an estimate that knows of no windows.
    pub fn new(track: &Track, free_nodes: &[Node]) -> Self {
        Self::from_runs(airborne_runs(track, free_nodes))
    }

    pub(crate) fn from_runs(runs: Vec<Run>) -> Self {
        let scatter = [TURN, AIRSPEED, CLIMB].map(|c| scatter(&runs, c, SCATTER_FLOOR[c]));
        let jitters = runs.iter().flat_map(|run| {
            let span = ((JITTER_SPAN_S / run.step_s) as usize).max(4);
            run.channels[TURN].chunks_exact(span).filter_map(trend).map(|t| t.scatter)
        });
        let quiet_jitter_deg_s = quantile(jitters, QUIET_SHARE).unwrap_or(0.0).max(SCATTER_FLOOR[TURN]);
        Self { runs, scatter, quiet_jitter_deg_s }
    }

    /// The samples of a channel between two times; empty where the flight was on the ground or had a gap.
    pub(crate) fn between(&self, channel: usize, from_s: f64, to_s: f64) -> &[f64] {
        let inside = |run: &&Run| run.len() > 0 && run.time_s(run.len() - 1) >= from_s && run.start_s <= to_s;
        // Of several runs within the times, the one that holds most: a gap is refused elsewhere, with its length.
        self.runs
            .iter()
            .filter(inside)
            .map(|run| run.between(channel, from_s, to_s))
            .max_by_key(|samples| samples.len())
            .unwrap_or_default()
    }

    /// Mean of a channel between two times.
    pub(crate) fn mean(&self, channel: usize, from_s: f64, to_s: f64) -> Option<f64> {
        let samples = self.between(channel, from_s, to_s);
        (!samples.is_empty()).then(|| samples.iter().sum::<f64>() / samples.len() as f64)
    }
}
