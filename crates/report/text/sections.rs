//! The sections of the summary, each a block of lines that ends in a newline, or empty when it has nothing to say.

use super::layout::{Align, paragraph, table};
use crate::cautions::CAUTIONS;
use driftless_analysis::{FlightAnalysis, HandsOff, Node, Problem, WindowMeasurement};
use driftless_display::reasons::{disagreement, reasons, wind_unknown};
use driftless_display::{
    DisplayUnits, TurnUnit, compass_words, count_of, duration_words, fixed, flights_words, quarter_turn,
    receiver_words, severity_words, short_window_scenario_words, turn_signed, wind_words,
};
use driftless_units::{Wind, printable};

/// Differences of wind or airspeed below this are not worth a line, m/s.
const WORTH_SAYING_MPS: f64 = 0.5;

pub(super) fn title(analysis: &FlightAnalysis) -> String {
    format!("{}: turn rates with the wind taken out\n", printable(&analysis.file))
}

pub(super) fn finding(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    crate::finding::finding(analysis, units).iter().map(|said| paragraph("", &said.whole())).collect()
}

/// Log, wind and airspeed.
pub(super) fn flight(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let track = &analysis.track;
    let (start, end) = (track.epoch, track.time_at(track.duration_s()));
    let mut text = paragraph(
        "Log        ",
        &format!(
            "{}, {} of {} used, {} {} to {} {} ({}), one every {}\u{a0}s",
            analysis.format.name(),
            track.points.len(),
            count_of(analysis.fixes_read, "fix", "fixes"),
            units.zone.date(start),
            units.zone.clock(start),
            units.zone.clock(end),
            units.zone.name(),
            duration_words(track.duration_s()),
            fixed(track.median_interval_s, 1),
        ),
    );
    for (head, words) in
        [("Flights    ", flights_words(analysis, units.zone)), ("Receiver   ", receiver_words(analysis))]
    {
        text.push_str(&words.map(|words| paragraph(head, &words)).unwrap_or_default());
    }
    text.push_str(&paragraph("Wind       ", &wind(analysis, units)));
    if let Some(airspeed) = airspeed_range(analysis, units) {
        text.push_str(&paragraph("Airspeed   ", &airspeed));
    }
    if let Some(compass) = &analysis.compass {
        text.push_str(&paragraph("Compass    ", &compass_words(compass)));
    }
    text
}

/// The wind in the middle of the flight, and over which range it lay.
fn wind(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    if let Some(why) = analysis.wind_unknown() {
        return format!("cannot be told from this flight: {}", wind_unknown(why, units));
    }
    let Some(estimate) = &analysis.estimate else { return "not known".to_owned() };
    let nodes = &estimate.nodes;
    let Some(mean) = mean_wind(nodes) else { return "not known".to_owned() };
    let per_node = 1.0 / nodes.len() as f64;
    let std_u_mps = (nodes.iter().map(|n| 0.5 * (n.wind_cov[0] + n.wind_cov[2])).sum::<f64>() * per_node).sqrt();
    let speeds = range(nodes.iter().map(|n| n.wind.speed_mps()));
    let mut text = format!("{}, mean of the flight", wind_words(units, mean));
    text.push_str(&format!(", ± {} (95\u{a0}%, each axis)", units.speed(1.96 * std_u_mps)));
    if let Some((low, high)) = speeds.filter(|(low, high)| high - low > WORTH_SAYING_MPS) {
        text.push_str(&format!("; {} to {} along it", fixed(low * units.speed.per_mps(), 1), units.speed(high)));
    }
    if analysis.track.has_altitude()
        && let Some(((lowest, low_m), (highest, high_m))) = lowest_and_highest(nodes)
        && (highest.wind.east_mps - lowest.wind.east_mps).hypot(highest.wind.north_mps - lowest.wind.north_mps)
            > WORTH_SAYING_MPS
    {
        let at = |node: &Node, altitude_m: f64| {
            let from = node.wind.from_deg();
            format!(
                "{} from {}° at {}",
                units.speed(node.wind.speed_mps()),
                fixed(from.round() % 360.0, 0),
                units.height(altitude_m)
            )
        };
        text.push_str(&format!("; lowest {}, highest {}", at(lowest, low_m), at(highest, high_m)));
    }
    text
}

/// A node and its altitude, metres.
type AtAltitude<'a> = (&'a Node, f64);

/// The mean wind of the flight; `None` of nothing.
pub(super) fn mean_wind(nodes: &[Node]) -> Option<Wind> {
    let mean = |value: fn(&Node) -> f64| nodes.iter().map(value).sum::<f64>() / nodes.len() as f64;
    (!nodes.is_empty()).then(|| Wind::new(mean(|n| n.wind.east_mps), mean(|n| n.wind.north_mps)))
}

fn lowest_and_highest(nodes: &[Node]) -> Option<(AtAltitude<'_>, AtAltitude<'_>)> {
    let known = || nodes.iter().filter_map(|n| Some((n, n.altitude_m?)));
    let by_altitude = |a: &AtAltitude<'_>, b: &AtAltitude<'_>| a.1.total_cmp(&b.1);
    Some((known().min_by(by_altitude)?, known().max_by(by_altitude)?))
}

/// Airspeeds of the accepted windows.
fn airspeed_range(analysis: &FlightAnalysis, units: &DisplayUnits) -> Option<String> {
    let speeds: Vec<_> = analysis.accepted().filter_map(|w| w.airspeed_mps).collect();
    match speeds.as_slice() {
        [] => None,
        [only] => Some(format!("{} (95\u{a0}%) in the window", units.speed_estimate(only))),
        several => range(several.iter().map(|s| s.value)).map(|(low, high)| {
            if high - low < WORTH_SAYING_MPS {
                return format!("{} in the windows", units.speed(0.5 * (low + high)));
            }
            format!("{} to {} in the windows", fixed(low * units.speed.per_mps(), 1), units.speed(high))
        }),
    }
}

fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values
        .filter(|v| v.is_finite())
        .fold(None, |range, v| Some(range.map_or((v, v), |(low, high): (f64, f64)| (low.min(v), high.max(v)))))
}

/// The accepted windows as a table.
pub(super) fn windows(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let accepted: Vec<_> = analysis.accepted().collect();
    if accepted.is_empty() {
        return String::new();
    }
    let rows: Vec<_> = accepted.iter().map(|w| window_row(analysis, w, units)).collect();
    let unit = units.turn.sign();
    let mut text = format!("Windows: turn rates in {unit}, right positive, ± is 95\u{a0}%\n").replace('\u{a0}', " ");
    text.push_str(&table(
        [
            ("No ", Align::Right),
            ("From", Align::Left),
            ("s", Align::Right),
            ("Scenario", Align::Left),
            ("This window", Align::Right),
            ("This set-up", Align::Right),
            ("Course", Align::Right),
        ],
        &rows,
    ));
    if accepted.iter().any(|w| w.window.hands_off == HandsOff::Candidate) {
        text.push_str("* candidate: found by the program, nobody has said that the hands were off.\n");
    }
    text.push_str(&paragraph(
        "",
        "This window: what the aircraft did in it. This set-up: what it does by itself, so that the wander which turbulence put \
         into the window counts as uncertainty. Course: the ground course, which is what the track alone says with the \
         wind left in, for contrast.",
    ));
    if units.turn == TurnUnit::SecondsPer90 {
        for window in &accepted {
            if let Some(rate) = &window.turn_rate {
                text.push_str(&paragraph(&format!("{:>2}  ", window.window.id), &quarter_turn(rate)));
            }
        }
    }
    for window in &accepted {
        text.push_str(&doubts(analysis, window, units));
    }
    text
}

fn window_row(analysis: &FlightAnalysis, measured: &WindowMeasurement, units: &DisplayUnits) -> [String; 7] {
    let window = &measured.window;
    let rate = |rate: &Option<_>| rate.as_ref().map_or_else(|| "—".to_owned(), |r| turn_signed(units, r));
    [
        match window.hands_off {
            HandsOff::Confirmed => format!("{} ", window.id),
            HandsOff::Candidate => format!("{}*", window.id),
        },
        units.zone.clock(analysis.track.time_at(window.start_s)),
        fixed(window.end_s - window.start_s, 0),
        // The column has room for as much.
        short_window_scenario_words(window).to_owned(),
        rate(&measured.turn_rate),
        rate(&measured.steady_rate),
        measured.course_rate.map_or_else(|| "—".to_owned(), |r| units.bare_turn_number(r)),
    ]
}

/// What speaks against an accepted window.
fn doubts(analysis: &FlightAnalysis, measured: &WindowMeasurement, units: &DisplayUnits) -> String {
    let lead = format!("{:>2}  ", measured.window.id);
    let mut text: String = reasons(&measured.verdict, units).iter().map(|reason| paragraph(&lead, reason)).collect();
    if let Some(words) = disagreement(analysis, measured, units) {
        text.push_str(&paragraph(&lead, &words));
    }
    text
}

/// The refused windows, each with its reasons.
pub(super) fn refused(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let refused: Vec<_> = analysis.windows.iter().filter(|w| !w.accepted()).collect();
    if refused.is_empty() {
        return String::new();
    }
    let mut text = "Refused windows\n".to_owned();
    for measured in refused {
        let window = &measured.window;
        let words = format!(
            "{}, {}: {}",
            units.zone.clock(analysis.track.time_at(window.start_s)),
            duration_words(window.end_s - window.start_s),
            reasons(&measured.verdict, units).join("; ")
        );
        text.push_str(&paragraph(&format!("{:>2}  ", window.id), &words));
    }
    text
}

/// One problem: what, where, how often, and what to do.
pub(super) fn problem(problem: &Problem) -> String {
    let mut facts = Vec::new();
    if let Some(line) = problem.line {
        facts.push(format!("line\u{a0}{line}"));
    } else if let Some(byte) = problem.byte {
        facts.push(format!("byte\u{a0}{byte}"));
    }
    if problem.count > 1 {
        facts.push(format!("{}\u{a0}times", problem.count));
    }
    let facts = if facts.is_empty() { String::new() } else { format!(" ({})", facts.join(", ")) };
    let lead = format!("{:<9}", format!("{}:", severity_words(problem.severity)));
    let mut text = paragraph(&lead, &format!("{}{facts} [{}]", problem.message, problem.code));
    if let Some(help) = &problem.help {
        text.push_str(&paragraph("         To do: ", help));
    }
    text
}

pub(super) fn cautions() -> String {
    let list: String = CAUTIONS.iter().map(|caution| paragraph("- ", caution)).collect();
    format!("Cautions\n{list}")
}

pub(super) fn made_by(analysis: &FlightAnalysis) -> String {
    let made_by = &analysis.made_by;
    format!("Made by driftless {}; the log's SHA-256 is\n{}\n", made_by.version, made_by.input_sha256)
}
