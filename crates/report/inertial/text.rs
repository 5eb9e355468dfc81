//! Inertial data in the plain-text summary.

use super::verdict::{noise, part};
use super::words::gain_rows;
use super::words::{HINT, bare, facts, hint_words, no_curve};
use crate::text::layout::{Align, paragraph, table};
use driftless_analysis::{FlightAnalysis, InertialAnalysis};
use driftless_display::inertial::sources;
use driftless_display::{DisplayUnits, NOT_KNOWN, fixed};

/// The block; empty when no inertial file was given.
pub(crate) fn block(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let Some(inertial) = &analysis.inertial else { return String::new() };
    let names: Vec<String> = inertial.files.iter().map(|f| bare(&f.name)).collect();
    let mut text = paragraph("Inertial data  ", &names.join(", "));
    text.push_str(&paragraph("", &part(analysis, inertial)));
    text.extend(noise(analysis, inertial).map(|words| paragraph("", &words)));
    text.extend(no_curve(inertial).map(|words| paragraph("", words)));
    for (name, value) in facts(analysis, inertial, units.zone) {
        text.push_str(&paragraph(&format!("{name:<32}"), &bare(&value)));
    }
    text.push_str(&gain(analysis, inertial, units));
    text.push_str(&windows(analysis, inertial, units));
    text
}

/// What GPS alone gave, where the sensor took part.
fn gain(analysis: &FlightAnalysis, inertial: &InertialAnalysis, units: &DisplayUnits) -> String {
    let rows: Vec<[String; 4]> = gain_rows(analysis, inertial, units)
        .into_iter()
        .map(|row| [row.id.to_string(), row.gps_alone, row.with_gyro, row.ratio])
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let head = [
        ("No", Align::Right),
        ("GPS alone", Align::Right),
        (sources(inertial), Align::Right),
        ("Interval narrower by", Align::Right),
    ];
    format!("Turn rates in {}, right positive, \u{b1} is 95\u{a0}%\n{}", units.turn.sign(), table(head, &rows))
}

fn windows(analysis: &FlightAnalysis, inertial: &InertialAnalysis, units: &DisplayUnits) -> String {
    let rows: Vec<[String; 5]> = inertial
        .windows
        .iter()
        .map(|window| {
            let measured = analysis.windows.iter().find(|w| w.window.id == window.id);
            let by_gps = measured.and_then(|w| w.heading_change);
            let angle = |e: Option<_>| e.map_or(NOT_KNOWN.to_owned(), |e| units.angle_estimate(&e));
            [
                window.id.to_string(),
                angle(by_gps),
                angle(window.heading_change),
                window.roll_rms_deg().map_or("\u{2013}".to_owned(), |deg| format!("{}°", fixed(deg, 1))),
                match hint_words(window.hint).rsplit_once(": ") {
                    Some((_, hint)) => hint.to_owned(),
                    None => "none".to_owned(),
                },
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let turned = format!("Turned, {}", sources(inertial));
    let head = [
        ("No", Align::Right),
        (&turned, Align::Right),
        ("Turned, gyro", Align::Right),
        ("Swing", Align::Right),
        ("Hands, a hint", Align::Left),
    ];
    format!("{}{}", table(head, &rows), paragraph("", HINT))
}
