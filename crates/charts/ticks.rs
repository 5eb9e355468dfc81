//! Where an axis is labelled: round numbers, round minutes, round bearings. Any range is survived.

use driftless_display::round_to_places;

/// Ticks of an axis.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ticks {
    /// Values, rising.
    pub(super) values: Vec<f64>,
    /// Words beside each.
    pub(super) labels: Vec<String>,
}

/// Steps of a clock, seconds.
const CLOCK_STEPS_S: [f64; 17] = [
    1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 10800.0, 21600.0,
    86400.0,
];
/// Steps of a compass, degrees.
const COMPASS_STEPS_DEG: [f64; 11] = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0, 180.0, 360.0, 720.0];

/// A range that can be drawn: finite, not empty, low before high.
pub(super) fn sane_range(low: f64, high: f64, smallest: f64) -> (f64, f64) {
    const FARTHEST: f64 = 1e12;
    if !(low.is_finite() && high.is_finite()) || low > high {
        return (0.0, smallest);
    }
    let (low, high) = (low.clamp(-FARTHEST, FARTHEST), high.clamp(-FARTHEST, FARTHEST));
    // Far from zero a small span drowns in the rounding of the numbers themselves.
    let smallest = smallest.max(1e-9 * low.abs().max(high.abs()));
    if high - low < smallest {
        let middle = 0.5 * (low + high);
        return (middle - 0.5 * smallest, middle + 0.5 * smallest);
    }
    (low, high)
}

/// Lowest and highest of the finite values; `None` when there are none.
pub(super) fn extent(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    values.into_iter().filter(|v| v.is_finite()).fold(None, |range, v| match range {
        None => Some((v, v)),
        Some((low, high)) => Some((low.min(v), high.max(v))),
    })
}

/// Steps of 1, 2 or 5 times a power of ten, about `about` of them.
pub(super) fn decimal(low: f64, high: f64, about: f64) -> Ticks {
    let step = decimal_step((high - low) / about.max(1.0));
    let places = (-step.log10().floor()).clamp(-300.0, 9.0) as i32;
    every(low, high, step, |v| round_to_places(v, places.max(0)))
}

/// The round step (1, 2 or 5 times a power of ten) at or above `raw`.
pub(super) fn decimal_step(raw: f64) -> f64 {
    if !raw.is_finite() || raw <= 0.0 {
        return 1.0;
    }
    let power = 10f64.powf(raw.log10().floor());
    let lead = raw / power;
    // A hair of slack, or 2.0000001 from rounding would become 5.
    power
        * if lead <= 1.0001 {
            1.0
        } else if lead <= 2.0001 {
            2.0
        } else if lead <= 5.0001 {
            5.0
        } else {
            10.0
        }
}

/// Ticks of a low panel: finer ones where the round step leaves a single label, which is no scale.
pub(super) fn lane(low: f64, high: f64) -> Ticks {
    let ticks = decimal(low, high, 3.5);
    if ticks.values.len() > 1 { ticks } else { decimal(low, high, 5.0) }
}

/// Round bearings on an unwrapped axis of degrees, labelled as three-figure bearings (000 is north).
pub(super) fn bearings(low: f64, high: f64, about: f64) -> Ticks {
    let step = listed_step(&COMPASS_STEPS_DEG, (high - low) / about.max(1.0));
    every(low, high, step, bearing_label)
}

/// "045°" for any unwrapped angle in degrees.
pub(super) fn bearing_label(deg: f64) -> String {
    format!("{:03.0}°", deg.rem_euclid(360.0).round() % 360.0)
}

/// Round times from a zero, labelled "m:ss" or "h:mm:ss".
pub(super) fn elapsed(low_s: f64, high_s: f64, about: f64) -> Ticks {
    let step = listed_step(&CLOCK_STEPS_S, (high_s - low_s) / about.max(1.0));
    every(low_s, high_s, step, elapsed_label)
}

/// Round clock times: `midnight_s` is the time of day of the axis' zero in seconds.
pub(super) fn clock(low_s: f64, high_s: f64, midnight_s: f64, about: f64) -> Ticks {
    let step = listed_step(&CLOCK_STEPS_S, (high_s - low_s) / about.max(1.0));
    let with_seconds = step < 60.0;
    let ticks = every(low_s + midnight_s, high_s + midnight_s, step, |s| {
        let second = s.rem_euclid(86_400.0).round() as u64;
        let (h, m, s) = (second / 3600 % 24, second / 60 % 60, second % 60);
        if with_seconds { format!("{h:02}:{m:02}:{s:02}") } else { format!("{h:02}:{m:02}") }
    });
    Ticks { values: ticks.values.into_iter().map(|v| v - midnight_s).collect(), labels: ticks.labels }
}

fn elapsed_label(s: f64) -> String {
    let sign = if s < -0.5 { "\u{2212}" } else { "" };
    let whole = s.abs().round() as u64;
    let (h, m, s) = (whole / 3600, whole / 60 % 60, whole % 60);
    if h > 0 { format!("{sign}{h}:{m:02}:{s:02}") } else { format!("{sign}{m}:{s:02}") }
}

fn listed_step(steps: &[f64], raw: f64) -> f64 {
    steps.iter().copied().find(|step| *step >= raw * 0.999).unwrap_or_else(|| {
        let longest = steps.last().copied().unwrap_or(1.0);
        longest * decimal_step(raw / longest)
    })
}

fn every(low: f64, high: f64, step: f64, label: impl Fn(f64) -> String) -> Ticks {
    /// More labels than any axis has room for: a bound, not a choice.
    const MOST: usize = 60;
    let slack = 1e-6 * step;
    let first = ((low - slack) / step).ceil();
    let values: Vec<f64> = (0..MOST).map(|k| (first + k as f64) * step).take_while(|v| *v <= high + slack).collect();
    let labels = values.iter().map(|v| label(*v)).collect();
    Ticks { values, labels }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        assert_eq!(decimal(0.0, 10.0, 5.0).values, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(decimal(-0.3, 0.31, 6.0).labels, ["−0.2", "0.0", "0.2"]);
        assert_eq!(decimal(412.0, 498.0, 4.0).labels, ["450"]);
    }

    #[test]
    fn times_and_bearings_have_their_own_steps() {
        assert_eq!(elapsed(0.0, 75.0, 6.0).labels, ["0:00", "0:15", "0:30", "0:45", "1:00", "1:15"]);
        assert_eq!(bearings(-50.0, 410.0, 6.0).labels, ["000°", "090°", "180°", "270°", "000°"]);
        // 23:50 to 00:20 over midnight.
        assert_eq!(clock(0.0, 1800.0, 85_800.0, 3.0).labels, ["23:50", "00:00", "00:10", "00:20"]);
    }

    #[test]
    fn impossible_ranges_are_replaced() {
        assert_eq!(sane_range(f64::NAN, 1.0, 10.0), (0.0, 10.0));
        assert_eq!(sane_range(f64::NEG_INFINITY, f64::INFINITY, 10.0), (0.0, 10.0));
        assert_eq!(sane_range(3.0, 3.0, 10.0), (-2.0, 8.0));
        assert_eq!(extent([f64::NAN]), None);
    }

    #[test]
    fn no_range_gives_too_many_ticks() {
        for (low, high) in [(0.0, 1e12), (-1e-9, 1e-9), (1e12, 1e12 + 1.0), (0.0, f64::INFINITY)] {
            assert!(decimal(low, high, 5.0).values.len() <= 60);
            assert!(bearings(low, high, 5.0).values.len() <= 60);
            assert!(elapsed(low, high, 5.0).values.len() <= 60);
        }
    }
}
