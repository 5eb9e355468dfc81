//! The track over the ground beside the track through the air: same scale, same orientation.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, Spot, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::Scene;
use super::ticks::{decimal_step, extent, sane_range};
use driftless_display::{compass_point, wind_words};
use driftless_units::Wind;

/// Width, and whether the tracks stand one above the other.
struct Sheet {
    width: f64,
    stacked: bool,
}

const WIDE: Sheet = Sheet { width: 760.0, stacked: false };
const PHONE: Sheet = Sheet { width: 352.0, stacked: true };
const TOP: f64 = 40.0;
const GUTTER: f64 = 20.0;
/// Room below the panels for scale bar, north and wind.
const FOOT: f64 = 62.0;

/// One track with its windows: metres east and north.
struct Way {
    name: &'static str,
    ink: Ink,
    whole: Vec<(f64, f64)>,
    windows: Vec<(u32, Vec<(f64, f64)>)>,
}

/// The chart; `None` without a track to draw.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let mut ways = vec![ground(scene)];
    ways.extend(air(scene));
    let boxes: Vec<_> = ways.iter().map(bounds).collect::<Option<Vec<_>>>()?;
    let wind = scene.mean_wind().map(|(wind, _)| wind);
    Some(for_both([&WIDE, &PHONE], |sheet, titled| {
        let laid = Laid::out(&boxes, sheet);
        chart(
            titled(caption(scene, wind)),
            (sheet.width, laid.bottom + FOOT + if sheet.stacked { 24.0 } else { 0.0 }),
            |canvas| {
                for (way, panel) in ways.iter().zip(&laid.panels) {
                    paint_way(canvas, panel, way);
                }
                paint_foot(canvas, scene, (laid.metres_per_unit, sheet.stacked), wind, laid.bottom + 30.0);
            },
        )
    }))
}

/// Lower left and upper right corner, metres.
type Corners = ((f64, f64), (f64, f64));

/// The panels on a sheet, at one scale.
struct Laid {
    panels: Vec<Panel>,
    metres_per_unit: f64,
    bottom: f64,
}

impl Laid {
    fn out(boxes: &[Corners], sheet: &Sheet) -> Self {
        let beside = boxes.len() == 2 && !sheet.stacked;
        let panel_width = if beside { 0.5 * (sheet.width - GUTTER) - 8.0 } else { sheet.width - 16.0 };
        // One scale for both: the larger extent decides, on either axis.
        let wide = boxes.iter().map(|b| b.1.0 - b.0.0).fold(1.0, f64::max) * 1.12;
        let tall = boxes.iter().map(|b| b.1.1 - b.0.1).fold(1.0, f64::max) * 1.12;
        let tallest = if beside { 460.0 } else { 560.0 };
        let panel_height = (panel_width * tall / wide).clamp(0.55 * panel_width, tallest);
        let metres_per_unit = (wide / panel_width).max(tall / panel_height);
        let place = |i: usize| match beside {
            true => (8.0 + i as f64 * (panel_width + GUTTER), TOP),
            false => (8.0, TOP + i as f64 * (panel_height + TOP)),
        };
        let panel = |(i, b): (usize, &Corners)| {
            let (left, top) = place(i);
            let frame = Frame { left, top, right: left + panel_width, bottom: top + panel_height };
            let (cx, cy) = (0.5 * (b.0.0 + b.1.0), 0.5 * (b.0.1 + b.1.1));
            let (hw, hh) = (0.5 * panel_width * metres_per_unit, 0.5 * panel_height * metres_per_unit);
            Panel { frame, x: (cx - hw, cx + hw), y: (cy - hh, cy + hh) }
        };
        let panels: Vec<Panel> = boxes.iter().enumerate().map(panel).collect();
        let bottom = panels.iter().map(|panel| panel.frame.bottom).fold(TOP, f64::max);
        Self { panels, metres_per_unit, bottom }
    }
}

fn ground(scene: &Scene<'_>) -> Way {
    let pair = |p: &driftless_analysis::TrackPoint| (p.position.east_m, p.position.north_m);
    let windows =
        scene.analysis.windows.iter().map(|w| {
            (w.window.id, scene.broken(scene.points_between(w.window.start_s, w.window.end_s), |p| p.t_s, pair))
        });
    Way {
        name: "Over the ground",
        ink: Ink::GroundSolid,
        whole: scene.broken(&scene.analysis.track.points, |p| p.t_s, pair),
        windows: windows.collect(),
    }
}

fn air(scene: &Scene<'_>) -> Option<Way> {
    let estimate = scene.estimate()?;
    let pair = |n: &driftless_analysis::Node| (n.air_position.east_m, n.air_position.north_m);
    let windows =
        scene.analysis.windows.iter().map(|w| {
            (w.window.id, scene.broken(scene.nodes_between(w.window.start_s, w.window.end_s), |n| n.t_s, pair))
        });
    Some(Way {
        name: "Through the air (drift removed)",
        ink: Ink::Air,
        whole: scene.broken(&estimate.nodes, |n| n.t_s, pair),
        windows: windows.collect(),
    })
}

/// The corners of a track.
fn bounds(way: &Way) -> Option<Corners> {
    let (west, east) = extent(way.whole.iter().map(|p| p.0))?;
    let (south, north) = extent(way.whole.iter().map(|p| p.1))?;
    let ((west, east), (south, north)) = (sane_range(west, east, 10.0), sane_range(south, north, 10.0));
    Some(((west, south), (east, north)))
}

fn caption(scene: &Scene<'_>, wind: Option<Wind>) -> Caption {
    let (ground_m, air_m) = scene.path_lengths_m();
    let ground = scene.units.distance(ground_m);
    let (headline, description) = match (air_m, scene.drift_m(), wind) {
        (Some(air_m), Some((east, north)), Some(wind)) => {
            let toward = compass_point(east.atan2(north).to_degrees());
            let air = scene.units.distance(air_m);
            let drift = scene.units.distance(east.hypot(north));
            (
                format!("While the aircraft flew {air} through the air, the wind carried it {drift} to the {toward}"),
                format!("{ground} over the ground, {air} through the air, wind {}.", wind_words(&scene.units, wind)),
            )
        }
        _ => (
            format!("{ground} over the ground; the distance through the air is not known"),
            format!("The flight covered {ground} over the ground."),
        ),
    };
    Caption {
        id: "tracks".to_owned(),
        headline,
        subtitle: "Seen from above, true north up, equal scale. Thick: windows, with their numbers. Ring: \
                   first point, square: last point."
            .to_owned(),
        description,
    }
}

fn paint_way(canvas: &Canvas<'_>, panel: &Panel, way: &Way) {
    let frame = &panel.frame;
    canvas.outline(Ink::Grid, 1.0, (frame.left, frame.top), (frame.right, frame.bottom));
    canvas.bold(way.ink, Side::Start, (frame.left, frame.top - 14.0), way.name);
    panel.path(canvas, Ink::Context, 1.2, &way.whole);
    for (_, path) in &way.windows {
        panel.path(canvas, way.ink, 3.4, path);
    }
    let finite = |p: &&(f64, f64)| p.0.is_finite() && p.1.is_finite();
    if let Some(first) = way.whole.iter().find(finite) {
        canvas.marker(Ink::Text, Shape::Ring, panel.at(*first), 4.0);
    }
    if let Some(last) = way.whole.iter().rev().find(finite) {
        canvas.marker(Ink::Text, Shape::Square, panel.at(*last), 4.0);
    }
    let mut taken: Vec<Spot> = Vec::new();
    for (id, path) in &way.windows {
        let run: Vec<_> = path.iter().filter(finite).collect();
        let Some(middle) = run.get(run.len() / 2).map(|p| panel.at(**p)) else { continue };
        if let Some(spot) = free_spot(frame, middle, &taken) {
            taken.push(spot);
            badge(canvas, way.ink, spot, middle, *id);
        }
    }
}

/// A place for a number near a spot, inside the frame and clear of the numbers already set.
fn free_spot(frame: &Frame, near: Spot, taken: &[Spot]) -> Option<Spot> {
    const CLEAR: f64 = 21.0;
    let inner = Frame {
        left: frame.left + 11.0,
        top: frame.top + 11.0,
        right: frame.right - 11.0,
        bottom: frame.bottom - 11.0,
    };
    for distance in [17.0, 27.0, 40.0, 56.0, 75.0] {
        for eighth in [1, 7, 3, 5, 0, 2, 4, 6] {
            let (sin, cos) = (f64::from(eighth) * std::f64::consts::FRAC_PI_4).sin_cos();
            let spot = (near.0 + distance * sin, near.1 - distance * cos);
            let clear = taken.iter().all(|t| (t.0 - spot.0).hypot(t.1 - spot.1) >= CLEAR);
            if clear && inner.holds(spot) {
                return Some(spot);
            }
        }
    }
    None
}

fn badge(canvas: &Canvas<'_>, ink: Ink, spot: Spot, target: Spot, id: u32) {
    canvas.line(ink, 0.8, [spot, target]);
    canvas.marker(ink, Shape::Ring, spot, 9.5);
    canvas.small(ink, Side::Middle, spot, &id.to_string());
}

fn paint_foot(
    canvas: &Canvas<'_>,
    scene: &Scene<'_>,
    (metres_per_unit, stacked): (f64, bool),
    wind: Option<Wind>,
    y: f64,
) {
    // A bar of a round length, about a seventh of the sheet.
    let (long_m, _) = scene.units.height.long();
    let room_m = 110.0 * metres_per_unit;
    let unit_m = if room_m < long_m { 1.0 / scene.units.height.per_m() } else { long_m };
    let mut length_m = decimal_step(room_m / unit_m) * unit_m;
    if length_m > 1.4 * room_m {
        length_m *= 0.5;
    }
    let (a, b) = (24.0, 24.0 + length_m / metres_per_unit);
    canvas.line(Ink::Text, 1.6, [(a, y - 5.0), (a, y), (b, y), (b, y - 5.0)]);
    canvas.small(Ink::Text, Side::Middle, (0.5 * (a + b), y + 13.0), &scene.units.distance(length_m));

    canvas.arrow(Ink::Text, 1.6, (270.0, y + 12.0), (270.0, y - 16.0));
    canvas.bold(Ink::Text, Side::Start, (278.0, y - 2.0), "N");
    // Under the bar where there is no room beside it.
    let (x, y) = if stacked { (24.0, y + 38.0) } else { (350.0, y) };

    if let Some(wind) = wind {
        let speed = wind.speed_mps();
        if speed > 0.05 && speed.is_finite() {
            let (ux, uy) = (wind.east_mps / speed, -wind.north_mps / speed);
            canvas.arrow(Ink::Text, 2.2, (x - 15.0 * ux, y - 2.0 - 15.0 * uy), (x + 15.0 * ux, y - 2.0 + 15.0 * uy));
        }
        let words = format!("mean wind {}", wind_words(&scene.units, wind));
        canvas.text(Ink::Text, Side::Start, (x + 26.0, y - 2.0), &words);
    } else {
        canvas.text(Ink::Soft, Side::Start, (x, y - 2.0), "wind not known");
    }
}
