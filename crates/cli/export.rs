//! The track with the drift taken out, as files for maps.

use driftless_analysis::{AirTrackPoint, FlightAnalysis, HandsOff, PowerKnown, Scenario, WindowMeasurement};
use driftless_display::window_scenario_words;
use driftless_formats::{ExportPoint, ExportTrack, ExportWaypoint};
use driftless_units::printable;

/// The air track with a segment for every run without a gap and both ends of every window as waypoints; `None`
/// when the wind, and with it the air track, is not known.
pub(crate) fn air_track(analysis: &FlightAnalysis) -> Option<ExportTrack> {
    let points = analysis.air_track();
    if points.is_empty() {
        return None;
    }
    let mut segments: Vec<Vec<ExportPoint>> = Vec::new();
    let mut gaps = analysis.track.gaps.iter().map(|gap| analysis.track.time_at(gap.end_s)).peekable();
    for point in &points {
        let behind_a_gap = gaps.next_if(|end| *end <= point.time).is_some();
        while gaps.next_if(|end| *end <= point.time).is_some() {}
        match segments.last_mut() {
            Some(segment) if !behind_a_gap => segment.push(export_point(point)),
            _ => segments.push(vec![export_point(point)]),
        }
    }
    Some(ExportTrack {
        name: format!("{}, drift removed", printable(&analysis.file)),
        description: "The track as flown through the air: the wind's drift is taken out, so places are not those \
                      flown over"
            .to_owned(),
        segments,
        waypoints: analysis.windows.iter().flat_map(|window| ends(analysis, window, &points)).collect(),
    })
}

/// Let-go and take-over. Those of a confirmed window are named as marks, so that the file read again has the same
/// windows; those of a candidate are not, because nobody has said that the hands were off. Nor is a scenario named whose power
/// nobody said or recorded: read again it would stand there as said.
fn ends(analysis: &FlightAnalysis, measured: &WindowMeasurement, points: &[AirTrackPoint]) -> Vec<ExportWaypoint> {
    let window = &measured.window;
    let (begin, end) = match (window.hands_off, window.scenario) {
        (HandsOff::Confirmed, Scenario::Unclassified) => ("let go".to_owned(), "take over".to_owned()),
        (HandsOff::Confirmed, _) if PowerKnown::of(window) != PowerKnown::Known => {
            ("let go".to_owned(), "take over".to_owned())
        }
        (HandsOff::Confirmed, scenario) => (format!("let go {}", scenario.name()), "take over".to_owned()),
        (HandsOff::Candidate, _) => {
            (format!("candidate {} begins", window.id), format!("candidate {} ends", window.id))
        }
    };
    let verdict = if measured.accepted() { "accepted" } else { "refused" };
    let description = format!("window {}, {}, {verdict}", window.id, window_scenario_words(window));
    [(window.let_go_s, begin), (window.take_over_s, end)]
        .into_iter()
        .filter_map(|(at_s, name)| {
            let time = analysis.track.time_at(at_s);
            let nearest = points.iter().min_by_key(|point| (point.time - time).abs())?;
            Some(ExportWaypoint { point: export_point(nearest), name, description: description.clone() })
        })
        .collect()
}

fn export_point(point: &AirTrackPoint) -> ExportPoint {
    ExportPoint {
        time: point.time,
        lat_deg: point.place.lat_deg,
        lon_deg: point.place.lon_deg,
        altitude_m: point.altitude_m,
    }
}
