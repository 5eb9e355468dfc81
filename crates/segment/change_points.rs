//! Where the flight changes: optimal partitioning of several series at once.
//!
//! The partition minimises the sum, over its pieces, of squared distances from each piece's mean (in units of the
//! wander), plus a penalty for every piece. Found exactly by dynamic programming.
//!
//! Source: B. Jackson et al., *An algorithm for optimal partitioning of data on an interval*, IEEE Signal Processing
//! Letters 12 (2005) 105-108; penalty after Y.-C. Yao, *Estimating the number of change-points via Schwarz'
//! criterion*, Statistics & Probability Letters 6 (1988) 181-189 (both from memory). The bound on the length of a
//! piece keeps the cost linear in the length of the flight; pieces that belong together are joined afterwards.

use crate::series::{CHANNELS, Run, per_channel};

/// The piece of a series between two change points: samples `start..end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece {
    pub start: usize,
    pub end: usize,
}

/// Shortest and longest piece, in samples.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PieceLength {
    pub min: usize,
    pub max: usize,
}

/// Splits a run where the level of any channel changes; `wander` is the long-run variance of each channel.
pub(crate) fn partition(run: &Run, wander: &[f64; CHANNELS], length: PieceLength) -> Vec<Piece> {
    let n = run.len();
    let min = length.min.max(1);
    let max = length.max.max(2 * min);
    if n < 2 * min {
        return if n == 0 { Vec::new() } else { vec![Piece { start: 0, end: n }] };
    }
    let sums = Sums::new(run, wander);
    // Schwarz: a piece adds one place and, as a rule, the mean of one channel, each worth ln n. Asking for a change in
    // all channels would miss let-go, where only the turn rate changes; what is cut once too often is joined again.
    let penalty = 2.0 * (n as f64).ln();
    // Of the samples before each: the lowest cost, and where the last piece of that partition begins.
    let mut best: Vec<(f64, usize)> = Vec::with_capacity(n + 1);
    best.push((-penalty, 0));
    for end in 1..=n {
        let mut lowest = (f64::INFINITY, 0);
        let starts = end.saturating_sub(max)..(end + 1).saturating_sub(min);
        for (start, (before, _)) in starts.clone().zip(best.get(starts).unwrap_or_default()) {
            let cost = before + sums.cost(start, end) + penalty;
            if cost < lowest.0 {
                lowest = (cost, start);
            }
        }
        best.push(lowest);
    }
    let mut pieces = Vec::new();
    let mut end = n;
    while end > 0 {
        let Some(&(_, start)) = best.get(end) else { break };
        pieces.push(Piece { start, end });
        end = start;
    }
    pieces.reverse();
    pieces
}

/// Running sums of scaled samples and of their squares, so that the cost of any piece is a handful of operations.
struct Sums(Vec<([f64; CHANNELS], f64)>);

impl Sums {
    fn new(run: &Run, wander: &[f64; CHANNELS]) -> Self {
        // Correlated samples carry less: the long-run variance is what makes the penalty right for means.
        let scale = wander.map(|variance| 1.0 / variance.sqrt());
        // About the first sample, which keeps the squares small.
        let offset = run.channels.each_ref().map(|samples| samples.first().copied().unwrap_or(0.0));
        let mut sums = Vec::with_capacity(run.len() + 1);
        let mut total = ([0.0; CHANNELS], 0.0);
        sums.push(total);
        let [turn, airspeed, climb] = &run.channels;
        for ((turn, airspeed), climb) in turn.iter().zip(airspeed).zip(climb) {
            let from_first = per_channel(&[*turn, *airspeed, *climb], &offset, |value, offset| value - offset);
            let scaled = per_channel(&from_first, &scale, |value, scale| value * scale);
            total.0 = per_channel(&total.0, &scaled, |sum, value| sum + value);
            for value in scaled {
                total.1 += value * value;
            }
            sums.push(total);
        }
        Self(sums)
    }

    /// Sum over the channels of squared distances from the mean of samples `start..end`.
    fn cost(&self, start: usize, end: usize) -> f64 {
        let (Some(a), Some(b)) = (self.0.get(start), self.0.get(end)) else { return f64::INFINITY };
        let weight = 1.0 / (end - start) as f64;
        let of_means: f64 = per_channel(&a.0, &b.0, |a, b| (b - a).powi(2)).into_iter().sum();
        b.1 - a.1 - of_means * weight
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNIT: [f64; CHANNELS] = [0.01; CHANNELS];

    fn run(levels: &[(usize, [f64; CHANNELS])]) -> Run {
        let channels: [Vec<f64>; CHANNELS] = std::array::from_fn(|c| {
            levels
                .iter()
                .flat_map(|(count, level)| std::iter::repeat_n(level[c], *count))
                .enumerate()
                .map(|(k, v)| v + 0.1 * ((k * 7919 + c * 104_729) as f64).sin())
                .collect()
        });
        Run { start_s: 0.0, step_s: 1.0, std_u: channels.clone(), channels }
    }

    #[test]
    fn derived_steps_in_any_channel_are_found_where_they_are() {
        let run =
            run(&[(40, [3.0, 10.0, 0.0]), (30, [-3.0, 10.0, 0.0]), (50, [-3.0, 12.0, 0.0]), (35, [-3.0, 12.0, 2.0])]);
        let pieces = partition(&run, &UNIT, PieceLength { min: 4, max: 600 });
        let ends: Vec<usize> = pieces.iter().map(|p| p.end).collect();
        assert_eq!(ends, [40, 70, 120, 155]);
        assert_eq!(pieces[0].start, 0);
    }

    #[test]
    fn a_steady_series_stays_whole() {
        let run = run(&[(300, [2.0, 10.0, 0.0])]);
        assert_eq!(partition(&run, &UNIT, PieceLength { min: 4, max: 600 }), [Piece { start: 0, end: 300 }]);
    }

    #[test]
    fn short_and_empty_runs_are_taken_as_they_are() {
        let length = PieceLength { min: 4, max: 600 };
        assert_eq!(partition(&run(&[(5, [0.0; 3])]), &UNIT, length), [Piece { start: 0, end: 5 }]);
        assert!(partition(&run(&[]), &UNIT, length).is_empty());
    }

    #[test]
    fn no_piece_is_longer_than_the_bound() {
        let pieces = partition(&run(&[(250, [0.0; 3])]), &UNIT, PieceLength { min: 4, max: 100 });
        assert!(pieces.iter().all(|p| p.end - p.start <= 100));
        assert_eq!(pieces.iter().map(|p| p.end - p.start).sum::<usize>(), 250);
    }
}
