//! Receivers that smooth positions before they write them down, and how that is undone.
//!
//! A smoothed track is late, its circles are too small, and its errors are as large over a window as ever while they look
//! small from fix to fix: an estimate that takes them for white is too sure of itself. Both usual filters can be undone
//! exactly, since every position written is a share of the one measured and the rest known from those before it. What comes
//! out is what the receiver had measured, white error and all; which filter it was is told by the likelihood.

use super::constants::{BREAK_S, Constant};
use super::constants::{LONGEST_SMOOTHING_S, SHORTEST_SMOOTHING_S, SMOOTHING_STEP};
use super::nodes::NodeInput;

/// What a receiver does to positions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Smoothing {
    /// First-order low-pass: each position moves a share of the way to the one measured; late by this time constant.
    LowPass {
        /// Time constant, s.
        time_constant_s: f64,
    },
    /// Tracker with place and velocity (alpha-beta filter): not late in steady flight, but in turns.
    Tracker {
        /// Share of a miss that corrects the place, at one fix a second.
        alpha: f64,
        /// Share of a miss over the interval that corrects the velocity.
        beta: f64,
    },
}

impl Smoothing {
    /// Filters that are tried, in two families.
    pub(super) fn families() -> [Vec<Self>; 2] {
        let steps = (SMOOTHING_STEP.value, [SHORTEST_SMOOTHING_S, LONGEST_SMOOTHING_S].map(|c: Constant| c.value));
        let (factor, [shortest_s, longest_s]) = steps;
        let times_s =
            || std::iter::successors(Some(shortest_s), move |t| Some(t * factor)).take_while(move |t| *t <= longest_s);
        [
            times_s().map(|time_constant_s| Self::LowPass { time_constant_s }).collect(),
            times_s().map(Self::tracker_over).collect(),
        ]
    }

    /// The tracker that weighs misses as a low-pass of this time constant would.
    fn tracker_over(time_constant_s: f64) -> Self {
        let alpha = 1.0 - (-1.0 / time_constant_s).exp();
        // Benedict & Bordner, *IRE Trans. Automatic Control* AC-7 (1962) 27-32: best for tracks that turn (from memory).
        Self::Tracker { alpha, beta: alpha * alpha / (2.0 - alpha) }
    }

    /// How long positions are smoothed over, about, s.
    pub fn over_s(self) -> f64 {
        match self {
            Self::LowPass { time_constant_s } => time_constant_s,
            Self::Tracker { alpha, .. } => -1.0 / (1.0 - alpha).ln(),
        }
    }

    /// The same kind of filter over another time.
    pub(super) fn with_over_s(self, over_s: f64) -> Self {
        match self {
            Self::LowPass { .. } => Self::LowPass { time_constant_s: over_s },
            Self::Tracker { alpha, beta } => {
                let Self::Tracker { alpha: other, .. } = Self::tracker_over(over_s) else { return self };
                // Keeps how far the velocity is corrected beyond the usual.
                let usual = |a: f64| a * a / (2.0 - a);
                Self::Tracker { alpha: other, beta: beta / usual(alpha) * usual(other) }
            }
        }
    }

    /// Puts positions as measured in the place of positions as written. Returns the logarithm of how much wider their
    /// distribution is: what a likelihood of measured positions has to be corrected by to be one of written positions.
    pub(super) fn undo(self, nodes: &mut [NodeInput]) -> f64 {
        let mut wider = 0.0;
        let mut before: Option<(f64, [f64; 2])> = None;
        let mut velocity_mps = [0.0; 2];
        for node in nodes {
            let Some(measured) = &mut node.measured else { continue };
            let written_m = measured.position_m;
            match before.map(|(t_s, place_m)| (node.t_s - t_s, place_m)) {
                Some((dt_s, place_m)) if dt_s <= BREAK_S.value => {
                    let (share, gain) = self.shares(dt_s);
                    wider -= 2.0 * share.ln();
                    for axis in 0..2 {
                        let expected_m = place_m[axis] + velocity_mps[axis] * dt_s;
                        let missed_m = (written_m[axis] - expected_m) / share;
                        measured.position_m[axis] = expected_m + missed_m;
                        velocity_mps[axis] += gain * missed_m;
                    }
                }
                _ => velocity_mps = [0.0; 2],
            }
            before = Some((node.t_s, written_m));
        }
        wider
    }

    /// Share of a miss by which the place is corrected after an interval, and what the velocity gains by it, 1/s.
    fn shares(self, dt_s: f64) -> (f64, f64) {
        match self {
            Self::LowPass { time_constant_s } => (1.0 - (-dt_s / time_constant_s).exp(), 0.0),
            Self::Tracker { alpha, beta } => (alpha, beta / dt_s),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_of_filter_says_over_what_time_it_was_made() {
        for family in Smoothing::families() {
            assert!(family.len() > 3);
            for pair in family.windows(2) {
                assert!((pair[1].over_s() / pair[0].over_s() / SMOOTHING_STEP.value - 1.0).abs() < 1e-9, "{pair:?}");
            }
            for filter in family {
                let again = filter.with_over_s(2.5);
                assert!((again.over_s() - 2.5).abs() < 1e-9, "{again:?}");
                assert!((again.with_over_s(filter.over_s()).over_s() - filter.over_s()).abs() < 1e-9);
            }
        }
    }
}
