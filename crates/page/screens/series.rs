//! The lines of a flight for the chart that can be worked on: thinned to what a screen can show, finer where it is zoomed.

use crate::bench;
use crate::failure::{Failure, Result};
use crate::request::Request;
use crate::response::{JSON, Response};
use crate::settings::Settings;
use driftless_analysis::{FlightAnalysis, WindowMeasurement};
use driftless_display::turn_signed;
use driftless_logbook::MarkRow;
use serde_json::{Value, json};

/// Points of a line: two for each pixel of a wide screen.
const POINTS: usize = 3000;

/// The document: lines between `from` and `to` (seconds of the track), windows, units.
pub(crate) fn document(
    request: &Request,
    analysis: &FlightAnalysis,
    rows: &[MarkRow],
    candidates: &[&WindowMeasurement],
    settings: &Settings,
) -> Result<Response> {
    let track = &analysis.track;
    let bound = |name: &str| request.asked(name).and_then(|value| value.parse::<f64>().ok()).filter(|s| s.is_finite());
    let (from_s, to_s) = (bound("from").unwrap_or(0.0), bound("to").unwrap_or(track.duration_s()));
    let known = analysis.wind_unknown().is_none();
    let nodes = analysis.estimate.as_ref().filter(|_| known).map_or(&[][..], |estimate| estimate.nodes.as_slice());
    let units = &settings.units;
    let nodes: Vec<_> = nodes.iter().filter(|node| (from_s..=to_s).contains(&node.t_s)).collect();
    let points: Vec<_> = track.points.iter().filter(|point| (from_s..=to_s).contains(&point.t_s)).collect();
    let (node_step, point_step) = (nodes.len().div_ceil(POINTS).max(1), points.len().div_ceil(POINTS).max(1));
    let air: Vec<Value> = nodes
        .iter()
        .step_by(node_step)
        .map(|node| {
            json!([
                round(node.t_s, 2),
                round(node.heading.value.deg(), 2),
                round(node.airspeed_mps.value * units.speed.per_mps(), 2),
                round(node.air_position.east_m, 1),
                round(node.air_position.north_m, 1),
                round(node.turn_rate.value.deg_s(), 3),
            ])
        })
        .collect();
    let ground: Vec<Value> = points
        .iter()
        .step_by(point_step)
        .map(|point| {
            json!([
                round(point.t_s, 2),
                round(point.velocity.direction().bearing_deg(), 2),
                round(point.velocity.speed_mps() * units.speed.per_mps(), 2),
                round(point.position.east_m, 1),
                round(point.position.north_m, 1),
                point.altitude_m.get().map(|height| round(height * units.height.per_m(), 1)),
            ])
        })
        .collect();
    let windows: Vec<Value> = rows
        .iter()
        .enumerate()
        .map(|(row, marks)| {
            let measured = bench::measured(analysis, marks);
            json!({
                "row": row,
                "let_go_s": track.seconds_of(marks.let_go),
                "take_over_s": track.seconds_of(marks.take_over),
                "words": measured.filter(|w| w.accepted()).and_then(|w| w.turn_rate.as_ref()).map(|rate| format!("{} {}", turn_signed(units, rate), units.turn.sign())),
                "accepted": measured.is_some_and(WindowMeasurement::accepted),
            })
        })
        .chain(candidates.iter().map(|candidate| {
            json!({ "row": null, "let_go_s": candidate.window.let_go_s, "take_over_s": candidate.window.take_over_s })
        }))
        .collect();
    let document = json!({
        "epoch_ms": track.epoch.timestamp_millis(),
        "zone_s": units.zone.seconds_east(),
        "zone": units.zone.name(),
        "duration_s": track.duration_s(),
        "from_s": from_s,
        "to_s": to_s,
        "thinned": node_step > 1 || point_step > 1,
        "speed": units.speed.sign(),
        "height": units.height.sign(),
        "comma": settings.numbers == crate::numbers::Numbers::Comma,
        "air": air,
        "ground": ground,
        "windows": windows,
    });
    let bytes = serde_json::to_vec(&document).map_err(|error| Failure::Written(error.to_string()))?;
    Ok(Response::of(JSON, bytes))
}

fn round(value: f64, places: i32) -> f64 {
    let scale = 10f64.powi(places);
    (value * scale).round() / scale
}
