//! How much of a move a pass makes: less than all of it while headings swing.
//!
//! A pass goes to the summit of a parabola. In flights that turn hard through rough air the likelihood is none, and headings may
//! swing from one side of the summit to the other without end. Half of the way, and half of that, brings them down; where a pass
//! moves nothing the share does not matter, so the place where the iteration settles is the same.

use super::constants::{LEAST_SHARE, SWING_RAD};

/// The share of the next move, from the last share and what headings wanted to move by, a pass ago and now.
pub(super) fn next_share(share: f64, before_rad: &[f64], now_rad: &[f64]) -> f64 {
    let square = |moves: &[f64]| moves.iter().map(|m| m * m).sum::<f64>();
    let largest_rad = now_rad.iter().fold(0.0_f64, |largest, m| largest.max(m.abs()));
    if before_rad.len() != now_rad.len() || largest_rad < SWING_RAD.value {
        return (2.0 * share).min(1.0);
    }
    let along: f64 = before_rad.iter().zip(now_rad).map(|(a, b)| a * b).sum();
    let cosine = along / (square(before_rad) * square(now_rad)).sqrt().max(f64::MIN_POSITIVE);
    if cosine < 0.0 {
        (0.5 * share).max(LEAST_SHARE.value)
    } else if cosine > 0.5 {
        (1.4 * share).min(1.0)
    } else {
        share
    }
}
