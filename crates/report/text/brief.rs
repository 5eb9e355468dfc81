//! The summary that fits on a screen: what was found, what to check first. Everything else is in [`super::text`].

use super::layout::{Align, paragraph_within, table_within};
use super::sections::mean_wind;
use crate::alerts;
use crate::finding::finding;
use crate::html::parts::file_name;
use crate::outlet::finished;
use driftless_analysis::{CombinedRate, FlightAnalysis, Severity};
use driftless_display::campaign::typed;
use driftless_display::{
    DisplayUnits, TurnSide, count_of, distinct, severity_words, short_combined_name, turn_side, turn_signed, wind_words,
};
use driftless_units::{TurnRate, printable};

/// Set-ups that find room, each with its line; the report has them all.
const MOST_SETUPS: usize = 9;
/// Things to check that find room, in lines of the usual width.
const MOST_ALERTS: usize = 3;
/// Letters of a name in the table.
const NAME_LETTERS: usize = 30;

/// Under every summary: it is a flight test, and where the rest is.
const LAST_WORDS: [&str; 2] = [
    "Letting go of the brakes is a flight test: read the cautions in the report.",
    "All figures: --format text. All flags: driftless report --help.",
];

/// At most 24 lines of 80 characters: title, turn rate of each set-up and scenario, wind, what to check first, and that it is a flight test. Narrower lines
/// are more.
pub fn brief(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize) -> String {
    first_screen(analysis, units, width, &LAST_WORDS)
}

/// The same for a host that is no command line, with its own last words.
pub fn first_screen(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize, last_words: &[&str]) -> String {
    let mut text = title(analysis, units, width);
    text.push('\n');
    text.push_str(&rates(analysis, units, width));
    text.push_str(&wind(analysis, units, width));
    text.push_str(&check_first(analysis, units, width));
    text.push('\n');
    last_words.iter().for_each(|words| text.push_str(&paragraph_within(width, "", words)));
    finished(text)
}

fn title(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize) -> String {
    let track = &analysis.track;
    let (start, end) = (track.epoch, track.time_at(track.duration_s()));
    let zone = units.zone;
    let when = format!("{}, {} to {} {}", zone.date(start), zone.clock(start), zone.clock(end), zone.name());
    paragraph_within(width, "", &format!("{}, {when}", printable(&file_name(&analysis.file))))
}

/// One set-up in a sentence, several in a table; then how far to trust it.
fn rates(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize) -> String {
    let combined = analysis.combined();
    let sentences = finding(analysis, units);
    if combined.len() < 2 {
        return sentences.iter().map(|sentence| paragraph_within(width, "", &sentence.whole())).collect();
    }
    let (shown, more) = combined.split_at(combined.len().min(MOST_SETUPS));
    let names: Vec<String> = shown.iter().map(|of| short_combined_name(analysis, of)).collect();
    let rows: Vec<[String; 4]> =
        shown.iter().zip(distinct(&names, NAME_LETTERS)).map(|(of, name)| row(of, &name, units)).collect();
    let rates = format!("{}, ± 95 %", units.turn.sign());
    let head = [
        ("Turns by itself", Align::Left),
        (&rates, Align::Right),
        ("Windows", Align::Right),
        ("Ground track says", Align::Right),
    ];
    let mut text = table_within(width, 1, head, &rows);
    if !more.is_empty() {
        text.push_str(&format!("… and {} in the report.\n", count_of(more.len(), "more", "more")));
    }
    if names.iter().any(|name| name.contains("power?")) {
        text.push_str(&paragraph_within(width, "", "(power?): nobody named or recorded the power."));
    }
    // The first sentences are the rows of the table.
    for sentence in sentences.iter().skip(combined.len()) {
        text.push_str(&paragraph_within(width, "", &sentence.whole()));
    }
    text
}

fn row(of: &CombinedRate, name: &str, units: &DisplayUnits) -> [String; 4] {
    let rate = typed(&of.rate_deg_s);
    let signed = turn_signed(units, &rate);
    let said = match turn_side(&rate) {
        TurnSide::NotTold => format!("{signed} no clear turn"),
        side => format!("{} {}", signed.trim_start_matches('−'), side.word()),
    };
    let ground = of.worst_course_deg_s.map_or(String::new(), |deg_s| {
        let said = units.bare_turn_number(TurnRate::from_deg_s(deg_s.abs()));
        // What rounds to nothing has no side.
        let side = if !said.contains(|digit: char| ('1'..='9').contains(&digit)) {
            ""
        } else if deg_s < 0.0 {
            " left"
        } else {
            " right"
        };
        format!("{said}{side}")
    });
    [name.to_owned(), said, of.windows.len().to_string(), ground]
}

fn wind(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize) -> String {
    let known = analysis.estimate.as_ref().filter(|_| analysis.wind_unknown().is_none());
    let words = |wind| format!("Wind {}, mean of the flight.", wind_words(units, wind));
    known.and_then(|e| mean_wind(&e.nodes)).map_or(String::new(), |wind| paragraph_within(width, "", &words(wind)))
}

fn check_first(analysis: &FlightAnalysis, units: &DisplayUnits, width: usize) -> String {
    let mut alerts = alerts::collect(analysis, units);
    alerts.retain(|alert| alert.severity != Severity::Note);
    alerts.sort_by_key(|alert| std::cmp::Reverse(alert.severity));
    if alerts.is_empty() {
        return String::new();
    }
    let mut text = "\nCheck first\n".to_owned();
    for alert in alerts.iter().take(MOST_ALERTS) {
        let lead = format!("{}: ", severity_words(alert.severity));
        text.push_str(&paragraph_within(width, &lead, &alert.words));
    }
    if alerts.len() > MOST_ALERTS {
        text.push_str(&format!("… and {} more in the report.\n", alerts.len() - MOST_ALERTS));
    }
    text
}
