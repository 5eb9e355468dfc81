//! How much of a move a pass makes: less than all of it while headings swing.
//!
//! A pass goes to the summit of a parabola. In flights that turn hard through rough air the likelihood is none, and headings may
//! swing from one side of the summit to the other without end. Half of the way, and half of that, brings them down; where a pass
//! moves nothing the share does not matter, so the place where the iteration settles is the same.

use super::constants::{LEAST_SHARE, SWING_RAD};

/// The share of the next move, from the last share and what headings wanted to move by, a pass ago and now.
///
/// Where they go back the share is halved; where they go on the same way it grows by two fifths; where little moves it doubles, up
/// to the whole. (Engineering judgement: any factors do that shrink faster than they grow.)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_a_swing_halves_the_share_and_calm_restores_it() {
        let there = [0.4, -0.2];
        let back = there.map(|m: f64| -m);
        assert_eq!(next_share(1.0, &there, &back), 0.5);
        assert_eq!(next_share(LEAST_SHARE.value, &there, &back), LEAST_SHARE.value);
        assert_eq!(next_share(0.5, &there, &there), 0.7);
        let small = there.map(|m: f64| 0.1 * m);
        assert_eq!(next_share(0.5, &small, &small.map(|m| -m)), 1.0);
        assert_eq!(next_share(0.5, &[], &there), 1.0);
    }

    #[test]
    fn derived_a_step_that_goes_too_far_without_end_settles() {
        // Each pass wants to go to the other side of the goal, as far beyond it and a little more.
        let (mut at, mut share, mut before): (f64, f64, Vec<f64>) = (1.0, 1.0, Vec::new());
        for _ in 0..60 {
            let wanted = vec![-2.1 * at];
            share = next_share(share, &before, &wanted);
            at += share * wanted[0];
            before = wanted;
        }
        assert!(at.abs() < 0.05, "{at}");
    }
}
