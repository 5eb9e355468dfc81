//! Steady spans that nobody marked.
//!
//! Change points of turn rate, airspeed and climb cut the flight into pieces; neighbours that differ by less than
//! matters are joined; what is long enough, not on the ground, not turning like a flown orbit and no more restless
//! in yaw than the flight's quiet part is a candidate. Straight flight with the hands on and still looks the same as
//! straight flight with the hands off: a candidate is never more than that.

use crate::change_points::{PieceLength, partition};
use crate::constants::{MAX_PIECE_S, MIN_PIECE_S, SAME_MEAN_SIGMAS};
use crate::series::{AIRSPEED, CHANNELS, CLIMB, Run, TURN, per_channel};
use crate::trend::trend;
use crate::{Limits, Signals};

/// A steady span, seconds from the track's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Candidate {
    /// First moment that is steady.
    pub(crate) start_s: f64,
    /// Last moment that is steady.
    pub(crate) end_s: f64,
}

/// Finds the steady spans of a flight, in time order.
pub(crate) fn find_candidates(signals: &Signals, limits: &Limits) -> Vec<Candidate> {
    signals.runs.iter().flat_map(|run| candidates_of_run(run, signals, limits)).collect()
}

fn candidates_of_run(run: &Run, signals: &Signals, limits: &Limits) -> Vec<Candidate> {
    let samples = |seconds: f64| ((seconds / run.step_s).round() as usize).max(1);
    let length = PieceLength { min: samples(MIN_PIECE_S.value), max: samples(MAX_PIECE_S.value) };
    let pieces = partition(run, &signals.wander, length);
    let plateaus = pieces.iter().map(|p| Plateau::of(run, p.start, p.end)).collect();
    join(plateaus, signals.wander[TURN], limits)
        .into_iter()
        .filter(|plateau| looks_left_alone(plateau, run, signals, limits))
        .map(|plateau| Candidate { start_s: run.time_s(plateau.start), end_s: run.time_s(plateau.end - 1) })
        .collect()
}

/// A piece, samples `start..end`, with the mean of each channel and of its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Plateau {
    start: usize,
    end: usize,
    mean: [f64; CHANNELS],
    std_u: [f64; CHANNELS],
}

impl Plateau {
    fn of(run: &Run, start: usize, end: usize) -> Self {
        let count = (end - start) as f64;
        let mean = |series: &Vec<f64>| series.get(start..end).unwrap_or_default().iter().sum::<f64>() / count;
        Self { start, end, mean: run.channels.each_ref().map(mean), std_u: run.std_u.each_ref().map(mean) }
    }

    fn joined(&self, next: &Self) -> Self {
        let (a, b) = ((self.end - self.start) as f64, (next.end - next.start) as f64);
        let mean = |x, y| per_channel(x, y, |x, y| (a * x + b * y) / (a + b));
        Self {
            start: self.start,
            end: next.end,
            mean: mean(&self.mean, &next.mean),
            std_u: mean(&self.std_u, &next.std_u),
        }
    }

    /// How far two neighbours are apart, 1 being the most that is still one span. `turn_wander` is the long-run
    /// variance of the turn rate: it tells how far the means of two short pieces differ by turbulence alone.
    fn distance(&self, next: &Self, turn_wander: f64, limits: &Limits) -> f64 {
        let mut tolerance = [limits.merge_turn_deg_s, limits.merge_airspeed_mps, limits.merge_climb_mps];
        // The free estimate does not know airspeed well, and errs the same way for long: only that channel needs it.
        tolerance[AIRSPEED] =
            tolerance[AIRSPEED].max(SAME_MEAN_SIGMAS.value * self.std_u[AIRSPEED].hypot(next.std_u[AIRSPEED]));
        let (a, b) = ((self.end - self.start) as f64, (next.end - next.start) as f64);
        tolerance[TURN] = tolerance[TURN].max(SAME_MEAN_SIGMAS.value * (turn_wander * (1.0 / a + 1.0 / b)).sqrt());
        let apart = per_channel(&self.mean, &next.mean, |a, b| (a - b).abs());
        per_channel(&apart, &tolerance, |apart, tolerance| apart / tolerance).into_iter().fold(0.0, f64::max)
    }
}

/// Joins neighbours, nearest first, until none are near enough.
fn join(mut plateaus: Vec<Plateau>, turn_wander: f64, limits: &Limits) -> Vec<Plateau> {
    loop {
        let nearest = plateaus
            .iter()
            .zip(plateaus.iter().skip(1))
            .enumerate()
            .map(|(k, (plateau, next))| (k, plateau.distance(next, turn_wander, limits)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        match nearest {
            Some((k, distance)) if distance < 1.0 => {
                let next = plateaus.remove(k + 1);
                if let Some(plateau) = plateaus.get_mut(k) {
                    *plateau = plateau.joined(&next);
                }
            }
            _ => return plateaus,
        }
    }
}

fn looks_left_alone(plateau: &Plateau, run: &Run, signals: &Signals, limits: &Limits) -> bool {
    let long_enough = (plateau.end - plateau.start - 1) as f64 * run.step_s >= limits.min_candidate_s;
    let turns_by_itself = plateau.mean[TURN].abs() <= limits.max_candidate_rate_deg_s;
    let flies = plateau.mean[AIRSPEED] >= limits.min_candidate_airspeed_mps && plateau.mean[CLIMB].is_finite();
    let quiet = run
        .samples(TURN)
        .get(plateau.start..plateau.end)
        .and_then(trend)
        .is_some_and(|t| t.scatter <= limits.max_jitter_ratio * signals.quiet_jitter_deg_s);
    long_enough && turns_by_itself && flies && quiet
}

#[cfg(test)]
mod tests;
