//! Whether the pilot's body looks as busy as when he steers.

use super::{SwingAxis, spectrum};
use crate::attitude::AttitudePath;
use driftless_units::median;

/// What the motion of the body hints at. A hint only: a candidate stays a candidate until somebody confirms it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HandsHint {
    /// Quieter than the same pilot's steering in this flight.
    Off {
        /// Motion in the window over that while steering.
        ratio: f64,
    },
    /// As busy as his steering.
    On {
        /// Motion in the window over that while steering.
        ratio: f64,
    },
    /// Between the two, or nothing to compare with.
    Unclear,
}

/// Motion above the swing and below the engine, Hz: brake inputs come as jerks of some tenths of a second.
const CONTROL_HZ: [f64; 2] = [0.8, 4.0];
/// Length of the pieces that are compared, seconds.
const PIECE_S: f64 = 24.0;
/// Fewest pieces flown by hand.
const FEWEST_PIECES: usize = 3;
/// Ratios that speak for off and for on (by simulation; see the tests).
const OFF_BELOW: f64 = 0.7;
const ON_ABOVE: f64 = 0.85;

/// Compares the window `[from_s, to_s]` with the rest of `flight_s`, but for `windows` (all on the path's clock): the
/// median over its pieces, since a single jerk is no steering.
pub fn hands_hint(path: &AttitudePath, from_s: f64, to_s: f64, flight_s: [f64; 2], windows: &[[f64; 2]]) -> HandsHint {
    let mut steering = Vec::new();
    let mut start_s = flight_s[0];
    while start_s + PIECE_S <= flight_s[1] {
        let end_s = start_s + PIECE_S;
        if windows.iter().all(|[a, b]| end_s <= *a || start_s >= *b)
            && let Some(motion) = motion_deg(path, start_s, end_s)
        {
            steering.push(motion);
        }
        start_s += 0.5 * PIECE_S;
    }
    let Some(here) = motion_deg(path, from_s, to_s) else { return HandsHint::Unclear };
    if steering.len() < FEWEST_PIECES {
        return HandsHint::Unclear;
    }
    let ratio = here / median(steering).unwrap_or(f64::NAN);
    match ratio {
        r if r < OFF_BELOW => HandsHint::Off { ratio },
        r if r > ON_ABOVE => HandsHint::On { ratio },
        _ => HandsHint::Unclear,
    }
}

fn motion_deg(path: &AttitudePath, from_s: f64, to_s: f64) -> Option<f64> {
    Some(spectrum(path, SwingAxis::Roll, from_s, to_s)?.rms_deg(CONTROL_HZ))
}
