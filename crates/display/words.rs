//! Words of the trade for what the records name.

use driftless_analysis::{
    Airborne, CombinedRate, CompassAgreement, CompassReference, FlightAnalysis, FlownFlight, HandsOff, Origin,
    PowerKnown, Scenario, Severity, Window,
};
use driftless_units::{Wind, printable_lines, wrap_360_deg};

use super::campaign::capital;
use super::reasons::compass_doubts;
use super::{DisplayUnits, Zone, fixed};

/// What stands where a number is missing.
pub const NOT_KNOWN: &str = "not known";

/// A scenario as people say it.
pub const fn scenario_words(scenario: Scenario) -> &'static str {
    scenario.words()
}

/// "Flight 2, Heron frame, trim level": as much as tells the set-ups of a log apart.
pub fn combined_name(analysis: &FlightAnalysis, of: &CombinedRate) -> String {
    name_of(analysis, of, of.power().scenario_words(of.scenario))
}

/// The same where room is short.
pub fn short_combined_name(analysis: &FlightAnalysis, of: &CombinedRate) -> String {
    name_of(analysis, of, of.power().short_scenario_words(of.scenario))
}

fn name_of(analysis: &FlightAnalysis, of: &CombinedRate, scenario: &str) -> String {
    let flight = (analysis.flights.len() > 1).then(|| format!("flight {}", of.flight));
    let scenario = match of.scenario {
        Scenario::Unclassified => "scenario not known",
        _ => scenario,
    };
    let setup = of.setup.as_deref().map(|name| printable_lines(name).into_owned());
    capital(&[flight, setup, Some(scenario.to_owned())].into_iter().flatten().collect::<Vec<_>>().join(", "))
}

/// The scenario of a window in words, as far as it is known.
pub fn window_scenario_words(window: &Window) -> &'static str {
    PowerKnown::of(window).scenario_words(window.scenario)
}

/// The same where room is short.
pub fn short_window_scenario_words(window: &Window) -> &'static str {
    PowerKnown::of(window).short_scenario_words(window.scenario)
}

/// Whether the hands were off.
pub const fn hands_off_words(hands_off: HandsOff) -> &'static str {
    match hands_off {
        HandsOff::Confirmed => "confirmed",
        HandsOff::Candidate => "candidate",
    }
}

/// Where a window came from.
pub const fn origin_words(origin: Origin) -> &'static str {
    match origin {
        Origin::Marked => "marked in the log",
        Origin::Found => "found by the program",
        Origin::Given => "given in the marks file",
    }
}

/// How the estimated heading agrees with a recorded compass.
pub fn compass_words(compass: &CompassAgreement) -> String {
    let (kind, holds) = match compass.reference {
        CompassReference::True => ("true", "mounting"),
        CompassReference::Magnetic => ("magnetic", "mounting and declination"),
    };
    let part = if compass.in_estimate {
        "it agrees well enough, and the turn rates of this report rest on GPS and compass together".to_owned()
    } else {
        format!("it has no part in the turn rates: {}", compass_doubts(&compass.doubts))
    };
    format!(
        "offset {}°, scatter {}° against the estimated heading without it ({}, {kind} heading recorded; the offset is \
         {holds}); {part}",
        fixed(compass.offset.deg(), 0),
        fixed(compass.scatter.deg(), 0),
        count_of(compass.samples, "fix", "fixes"),
    )
}

/// The flights of a log with the numbers of their windows; `None` where there is one, as in most logs.
pub fn flights_words(analysis: &FlightAnalysis, zone: Zone) -> Option<String> {
    let several = analysis.flights.len() > 1;
    let track = &analysis.track;
    let one = |(place, flight): (usize, &FlownFlight)| {
        let clock = |t_s: Option<f64>, else_s: f64| zone.clock(track.time_at(t_s.unwrap_or(else_s)));
        let Airborne { takeoff_s, landing_s, .. } = flight.airborne;
        let numbers: Vec<String> = flight.windows.iter().map(u32::to_string).collect();
        let windows = match numbers.as_slice() {
            [] => "no window".to_owned(),
            [one] => format!("window {one}"),
            several => format!("windows {}", several.join(", ")),
        };
        let wind = if flight.wind_unknown.is_some() { "; its wind cannot be told" } else { "" };
        let sensor = match &flight.inertial {
            None => "",
            Some(status) if status.takes_part() => "; with the inertial sensor",
            Some(_) => "; without the inertial sensor",
        };
        let (from, to) = (clock(takeoff_s, 0.0), clock(landing_s, track.duration_s()));
        format!("{} from {from} to {to} ({windows}{wind}{sensor})", place + 1)
    };
    several.then(|| {
        let each: Vec<String> = analysis.flights.iter().enumerate().map(one).collect();
        format!(
            "{} in this log, each estimated by itself: {}",
            count_of(each.len(), "flight", "flights"),
            each.join(", ")
        )
    })
}

/// What the receiver does to positions, as far as the log shows it; `None` where nothing was estimated.
pub fn receiver_words(analysis: &FlightAnalysis) -> Option<String> {
    Some(match analysis.estimate.as_ref()?.smoothing {
        Some(smoothing) => format!(
            "this receiver smooths positions over about {}\u{a0}s; that was undone before turns were measured",
            about_seconds(smoothing.over_s())
        ),
        None => "no smoothing by the receiver shows".to_owned(),
    })
}

/// A time that is known to a third, with no more digits than it deserves: halves of a second, from 3 s on whole ones.
pub fn about_seconds(seconds: f64) -> String {
    let whole = seconds >= 2.75;
    let rounded = if whole { seconds.round() } else { (2.0 * seconds).round() / 2.0 };
    fixed(rounded, u8::from(rounded.fract() != 0.0))
}

/// How bad a problem is.
pub const fn severity_words(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "Error",
        Severity::Warning => "Warning",
        Severity::Note => "Note",
    }
}

/// One of eight points of the compass in words, from degrees.
pub fn compass_point(deg: f64) -> &'static str {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let index = (wrap_360_deg(deg) / 45.0).round() as usize % POINTS.len();
    POINTS.get(index).copied().unwrap_or("north")
}

/// "3.9 m/s from 128° (south-east)"; "calm" below what anybody would call wind.
pub fn wind_words(units: &DisplayUnits, wind: Wind) -> String {
    let speed = wind.speed_mps();
    if !speed.is_finite() {
        return NOT_KNOWN.to_owned();
    }
    if speed < 0.05 {
        return "calm".to_owned();
    }
    let from = wind.from_deg();
    format!("{} from {}° ({})", units.speed(speed), fixed(from.round() % 360.0, 0), compass_point(from))
}

/// "52 s", "14 min 20 s", "4 h 02 min".
pub fn duration_words(seconds: f64) -> String {
    if !seconds.is_finite() || seconds < 0.0 {
        return NOT_KNOWN.to_owned();
    }
    let whole = seconds.round() as u64;
    let (hours, minutes, rest) = (whole / 3600, whole / 60 % 60, whole % 60);
    match (hours, minutes) {
        (0, 0) => format!("{rest}\u{a0}s"),
        (0, _) => format!("{minutes}\u{a0}min {rest:02}\u{a0}s"),
        _ => format!("{hours}\u{a0}h {minutes:02}\u{a0}min"),
    }
}

/// Words as a sentence: a capital first, a stop last. What begins with the name of a file keeps it as it is.
///
/// ```
/// use driftless_display::sentence;
/// assert_eq!(sentence("window 2: too short"), "Window 2: too short.");
/// assert_eq!(sentence("ridge.igc: this is no log!"), "ridge.igc: this is no log!");
/// ```
pub fn sentence(words: &str) -> String {
    let words = words.trim();
    let first = words.split_whitespace().next().unwrap_or_default();
    let plain = first.chars().all(|c| c.is_alphabetic() || "-,:".contains(c));
    let begun = if plain { capital(words) } else { words.to_owned() };
    let stop = if begun.is_empty() || begun.ends_with(['.', '?', '!']) { "" } else { "." };
    begun + stop
}

/// "1 window", "3 windows".
pub fn count_of(count: usize, one: &str, many: &str) -> String {
    format!("{count}\u{a0}{}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_units::Angle;

    #[test]
    fn derived_the_compass_has_no_seam() {
        for (deg, point) in [(359.9, "north"), (22.0, "north"), (23.0, "north-east"), (338.0, "north"), (-90.0, "west")]
        {
            assert_eq!(compass_point(deg), point, "{deg}");
        }
    }

    #[test]
    fn derived_wind_is_named_by_where_it_comes_from() {
        let units = DisplayUnits::default();
        let wind = Wind::from_speed_from(4.0, Angle::from_deg(135.0));
        assert_eq!(wind_words(&units, wind), "4.0\u{a0}m/s from 135° (south-east)");
        assert_eq!(
            wind_words(&units, Wind::from_speed_from(4.0, Angle::from_deg(359.7))),
            "4.0\u{a0}m/s from 0° (north)"
        );
        assert_eq!(wind_words(&units, Wind::default()), "calm");
        assert_eq!(wind_words(&units, Wind::new(f64::NAN, 0.0)), "not known");
    }

    #[test]
    fn derived_a_smoothing_time_claims_no_more_than_it_is_known_to() {
        for (seconds, words) in [(0.62, "0.5"), (1.4, "1.5"), (2.04, "2"), (2.6, "2.5"), (3.3, "3"), (6.6, "7")] {
            assert_eq!(about_seconds(seconds), words);
        }
    }

    #[test]
    fn derived_durations_read_as_spoken() {
        assert_eq!(duration_words(52.4), "52\u{a0}s");
        assert_eq!(duration_words(860.0), "14\u{a0}min 20\u{a0}s");
        assert_eq!(duration_words(14520.0), "4\u{a0}h 02\u{a0}min");
        assert_eq!(duration_words(f64::NAN), "not known");
    }
}
