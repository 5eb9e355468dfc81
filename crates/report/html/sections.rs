//! The air and the flight: what the turn rates rest on.

use super::fold::{Paper, fold};
use super::parts::{facts, figure, table};
use driftless_charts::{FlightCharts, Scene};
use driftless_display::reasons::wind_unknown;
use driftless_display::{NOT_KNOWN, Places, compass_words, duration_words, fixed, plus_minus, wind_words};
use maud::{Markup, html as markup};

/// Wind: velocity circle and wind against height.
pub(super) fn air(scene: &Scene<'_>, charts: &FlightCharts) -> Markup {
    markup! {
        section aria-labelledby="air" {
            h2 id="air" { "The air" }
            @if let Some(why) = scene.analysis.wind_unknown() {
                p { "The wind is not known: " (wind_unknown(why, &scene.units)) "." }
            }
            @if let Some(chart) = &charts.hodograph { (figure(chart, &in_numbers(&circle(scene)))) }
            @if let Some(chart) = &charts.wind_height { (figure(chart, &in_numbers(&layers(scene)))) }
            @if let Some(noise) = scene.estimate().map(|e| e.noise) {
                p.subtitle {
                    "Noise levels estimated from this log: position " (fixed(noise.position_m, 2)) "\u{a0}m per fix and \
                     axis, gusts " (scene.units.speed(noise.gust_mps)) " per axis, wander of the turn rate by \
                     turbulence " (fixed(noise.yaw_wander_deg_s, 2)) "\u{a0}°/s."
                }
            }
        }
    }
}

/// The numbers of a chart, folded.
fn in_numbers(numbers: &Markup) -> Markup {
    fold(&markup! { "In numbers" }, Paper::Whole, numbers)
}

fn circle(scene: &Scene<'_>) -> Markup {
    let units = &scene.units;
    let known = scene.analysis.wind_unknown().is_none();
    let Some(circle) = scene.analysis.circle.as_ref().filter(|_| known) else { return markup! {} };
    let [east, _, north] = circle.wind_cov;
    let per = units.speed.per_mps();
    let axis = |value: f64, variance: f64| {
        format!("{} {}", plus_minus(value * per, 1.96 * variance.max(0.0).sqrt() * per, 1), units.speed.sign())
    };
    facts(&[
        ("Wind (centre)", wind_words(units, circle.wind)),
        ("Air moves east", axis(circle.wind.east_mps, east)),
        ("Air moves north", axis(circle.wind.north_mps, north)),
        ("Airspeed (radius)", units.speed_estimate(&circle.airspeed_mps)),
        ("Scatter about the circle", units.speed(circle.residual_mps)),
        ("Span fitted", duration_words(circle.end_s - circle.start_s)),
    ])
}

fn layers(scene: &Scene<'_>) -> Markup {
    let units = &scene.units;
    let head = [
        format!("Altitude, {}", units.height.sign()),
        format!("Wind speed, {}", units.speed.sign()),
        "From, ° true".to_owned(),
        "Time there".to_owned(),
    ];
    let rows: Vec<_> = scene
        .height_bins()
        .iter()
        .map(|bin| {
            let speed = bin.wind.speed_mps();
            let half_deg = (1.96 * bin.std_u_mps / speed).to_degrees();
            vec![
                format!("{} to {}", units.height_number(bin.low_m), units.height_number(bin.high_m)),
                plus_minus(speed * units.speed.per_mps(), 1.96 * bin.std_u_mps * units.speed.per_mps(), 1),
                if half_deg < 90.0 { plus_minus(bin.wind.from_deg(), half_deg, 0) } else { NOT_KNOWN.to_owned() },
                duration_words(bin.time_s),
            ]
        })
        .collect();
    table("Mean wind by height, ± the 95 % margin", "numbers", &head, &rows)
}

/// Tracks and strip.
pub(super) fn flight(scene: &Scene<'_>, charts: &FlightCharts) -> Markup {
    markup! {
        section aria-labelledby="flight" {
            h2 id="flight" { "The flight" }
            @if let Some(chart) = &charts.tracks { (figure(chart, &in_numbers(&ways(scene)))) }
            @if let Some(chart) = &charts.strip { (figure(chart, &in_numbers(&ranges(scene)))) }
            @if let Some(compass) = &scene.analysis.compass {
                p { "Recorded compass: " (compass_words(compass)) "." }
            }
        }
    }
}

fn ways(scene: &Scene<'_>) -> Markup {
    let (ground_m, air_m) = scene.path_lengths_m();
    let frame = &scene.analysis.track.frame;
    let mut rows = vec![
        ("Distance over the ground", scene.units.distance(ground_m)),
        ("Distance through the air", air_m.map_or(NOT_KNOWN.to_owned(), |m| scene.units.distance(m))),
    ];
    if let Some((wind, std_u)) = scene.mean_wind() {
        rows.push(("Mean wind of the flight", wind_words(&scene.units, wind)));
        rows.push(("Its uncertainty (95 %), either axis", format!("±\u{a0}{}", scene.units.speed(1.96 * std_u))));
    }
    let origin = |decimals| format!("{}°, {}°", fixed(frame.lat_deg, decimals), fixed(frame.lon_deg, decimals));
    match scene.units.places {
        Places::Exact => rows.push(("Origin (WGS-84)", origin(5))),
        Places::Rounded => rows.push(("Origin, rounded (WGS-84)", origin(2))),
        Places::LeftOut => {}
    }
    facts(&rows)
}

fn ranges(scene: &Scene<'_>) -> Markup {
    let units = &scene.units;
    let (from, to) = scene.airborne();
    let points = scene.points_between(from, to);
    let nodes = scene.nodes_between(from, to);
    let mut rows = Vec::new();
    let mut row = |name: String, values: Vec<f64>, decimals: u8| {
        let values: Vec<f64> = values.into_iter().filter(|v| v.is_finite()).collect();
        if values.is_empty() {
            return;
        }
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        rows.push(vec![name, fixed(low, decimals), fixed(mean, decimals), fixed(high, decimals)]);
    };
    let (per_m, per_mps) = (units.height.per_m(), units.speed.per_mps());
    if scene.analysis.track.has_altitude() {
        row(
            format!("Altitude, {}", units.height.sign()),
            points.iter().map(|p| p.altitude_m.get().map_or(f64::NAN, |h| h * per_m)).collect(),
            0,
        );
    }
    let speed = units.speed.sign();
    row(format!("Airspeed, {speed}"), nodes.iter().map(|n| n.airspeed_mps.value * per_mps).collect(), 1);
    row(format!("Ground speed, {speed}"), points.iter().map(|p| p.velocity.speed_mps() * per_mps).collect(), 1);
    row(
        format!("Climb, {speed}"),
        nodes.iter().map(|n| n.climb_mps.map_or(f64::NAN, |climb| climb * per_mps)).collect(),
        1,
    );
    let head = ["In the air".to_owned(), "Lowest".to_owned(), "Mean".to_owned(), "Highest".to_owned()];
    table("Range of each quantity between take-off and landing", "numbers", &head, &rows)
}
