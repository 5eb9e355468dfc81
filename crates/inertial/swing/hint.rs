//! Whether the pilot's body looks as busy as when he steers.

use super::{SwingAxis, spectrum};
use crate::attitude::AttitudePath;
use crate::constants::{FASTEST_CONTROL_HZ, FEWEST_HINT_PIECES, HINT_PIECE_S, OFF_BELOW, ON_ABOVE, SLOWEST_CONTROL_HZ};
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

/// Compares the window `[from_s, to_s]` with the rest of `flight_s`, but for `windows` (all on the path's clock): the
/// median over its pieces, since a single jerk is no steering.
pub fn hands_hint(path: &AttitudePath, from_s: f64, to_s: f64, flight_s: [f64; 2], windows: &[[f64; 2]]) -> HandsHint {
    let mut steering = Vec::new();
    let mut start_s = flight_s[0];
    while start_s + HINT_PIECE_S.value <= flight_s[1] {
        let end_s = start_s + HINT_PIECE_S.value;
        if windows.iter().all(|[a, b]| end_s <= *a || start_s >= *b)
            && let Some(motion) = motion_deg(path, start_s, end_s)
        {
            steering.push(motion);
        }
        start_s += 0.5 * HINT_PIECE_S.value;
    }
    let Some(here) = motion_deg(path, from_s, to_s) else { return HandsHint::Unclear };
    if steering.len() < FEWEST_HINT_PIECES.count() {
        return HandsHint::Unclear;
    }
    let ratio = here / median(steering).unwrap_or(f64::NAN);
    match ratio {
        r if r < OFF_BELOW.value => HandsHint::Off { ratio },
        r if r > ON_ABOVE.value => HandsHint::On { ratio },
        _ => HandsHint::Unclear,
    }
}

fn motion_deg(path: &AttitudePath, from_s: f64, to_s: f64) -> Option<f64> {
    Some(spectrum(path, SwingAxis::Roll, from_s, to_s)?.rms_deg([SLOWEST_CONTROL_HZ.value, FASTEST_CONTROL_HZ.value]))
}
