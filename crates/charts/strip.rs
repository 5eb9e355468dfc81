//! The flight as a strip: altitude, airspeed, climb and turn rate over time, with the windows marked on it.

use super::Chart;
use super::canvas::{Canvas, Caption, Side, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::Scene;
use super::ticks::{self, clock, extent, sane_range};
use driftless_display::{count_of, duration_words};

/// Width, left and right end of the axis, and how many ticks find room on it.
struct Sheet {
    width: f64,
    left: f64,
    right: f64,
    ticks: f64,
}

const WIDE: Sheet = Sheet { width: 760.0, left: 60.0, right: 744.0, ticks: 8.0 };
const PHONE: Sheet = Sheet { width: 352.0, left: 44.0, right: 332.0, ticks: 4.0 };
const TOP: f64 = 50.0;
const PANEL: f64 = 92.0;
const BETWEEN: f64 = 34.0;

/// One panel: a line, and perhaps one for contrast.
struct Lane {
    name: String,
    main: Vec<(f64, f64)>,
    contrast: Vec<(f64, f64)>,
    /// Smallest range of values shown.
    smallest: f64,
    /// Whether zero must be in sight.
    zero: bool,
}

/// The chart; `None` when the log has less than two points.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let points = &scene.analysis.track.points;
    let (start_s, end_s) = extent(points.iter().map(|p| p.t_s))?;
    if points.len() < 2 {
        return None;
    }
    let lanes = lanes(scene);
    if lanes.is_empty() {
        return None;
    }
    let x = sane_range(start_s, end_s, 10.0);
    let height = TOP + lanes.len() as f64 * (PANEL + BETWEEN) + 8.0;
    Some(for_both([&WIDE, &PHONE], |sheet, titled| {
        chart(titled(caption(scene, end_s - start_s)), (sheet.width, height), |canvas| {
            for (i, lane) in lanes.iter().enumerate() {
                let top = TOP + i as f64 * (PANEL + BETWEEN);
                let frame = Frame { left: sheet.left, top, right: sheet.right, bottom: top + PANEL };
                let panel = Panel { frame, x, y: robust_range(lane) };
                paint_lane(canvas, (scene, sheet), &panel, lane, (i == 0, i + 1 == lanes.len()));
            }
        })
    }))
}

fn lanes(scene: &Scene<'_>) -> Vec<Lane> {
    let units = &scene.units;
    let (per_m, per_mps, per_deg_s) = (units.height.per_m(), units.speed.per_mps(), units.turn.per_deg_s());
    let points = &scene.analysis.track.points;
    let nodes = scene.analysis.estimate.as_ref().map_or(&[][..], |e| e.nodes.as_slice());
    let known = scene.estimate().map_or(&[][..], |e| e.nodes.as_slice());
    let ground_speed = scene.broken(points, |p| p.t_s, |p| (p.t_s, p.velocity.speed_mps() * per_mps));
    let speed_sign = units.speed.sign();
    let mut lanes = Vec::new();
    if scene.analysis.track.has_altitude() {
        lanes.push(Lane {
            name: format!("Altitude, {}", units.height.sign()),
            main: scene.broken(points, |p| p.t_s, |p| (p.t_s, p.altitude_m.get().map_or(f64::NAN, |h| h * per_m))),
            contrast: Vec::new(),
            smallest: 30.0 * per_m,
            zero: false,
        });
    }
    lanes.push(if known.is_empty() {
        let name = format!("Ground speed, {speed_sign} (airspeed not known)");
        Lane { name, main: ground_speed, contrast: Vec::new(), smallest: 4.0 * per_mps, zero: false }
    } else {
        Lane {
            name: format!("Airspeed, {speed_sign} (dashed: ground speed)"),
            main: scene.broken(known, |n| n.t_s, |n| (n.t_s, n.airspeed_mps.value * per_mps)),
            contrast: ground_speed,
            smallest: 4.0 * per_mps,
            zero: false,
        }
    });
    if scene.analysis.track.has_altitude() && !nodes.is_empty() {
        lanes.push(Lane {
            name: format!("Climb, {speed_sign}"),
            main: scene.broken(nodes, |n| n.t_s, |n| (n.t_s, n.climb_mps.map_or(f64::NAN, |climb| climb * per_mps))),
            contrast: Vec::new(),
            smallest: 2.0 * per_mps,
            zero: true,
        });
    }
    if !known.is_empty() {
        lanes.push(Lane {
            name: format!("Turn rate, {} (right positive)", units.turn.sign()),
            main: scene.broken(known, |n| n.t_s, |n| (n.t_s, n.turn_rate.value.deg_s() * per_deg_s)),
            contrast: Vec::new(),
            smallest: 4.0 * per_deg_s,
            zero: true,
        });
    }
    lanes.retain(|lane| lane.main.iter().any(|p| p.1.is_finite()));
    lanes
}

fn caption(scene: &Scene<'_>, duration_s: f64) -> Caption {
    let windows = &scene.analysis.windows;
    let accepted = windows.iter().filter(|w| w.accepted()).count();
    let headline = if windows.is_empty() {
        format!("A flight of {} without a window", duration_words(duration_s))
    } else {
        format!(
            "{} in a flight of {}, {accepted} accepted",
            count_of(windows.len(), "window", "windows"),
            duration_words(duration_s)
        )
    };
    Caption {
        id: "strip".to_owned(),
        headline,
        subtitle: format!(
            "Altitude, airspeed, climb and turn rate over the time of day, {}. Tinted and numbered: windows (number in \
             brackets: refused). Lines are broken where the log has a gap.",
            scene.units.zone.name()
        ),
        description: "Stacked lines over one time axis.".to_owned(),
    }
}

fn paint_lane(
    canvas: &Canvas<'_>,
    (scene, sheet): (&Scene<'_>, &Sheet),
    panel: &Panel,
    lane: &Lane,
    (first, last): (bool, bool),
) {
    let frame = &panel.frame;
    let ((start_s, end_s), (low, high)) = (panel.x, panel.y);
    for w in &scene.analysis.windows {
        panel.stripe(canvas, Ink::Span, 1.0, w.window.let_go_s, w.window.take_over_s);
    }
    panel.x_axis(canvas, &clock(start_s, end_s, scene.midnight_s(), sheet.ticks), last);
    panel.y_axis(canvas, &ticks::lane(low, high));
    panel.y_name(canvas, &lane.name);
    if lane.zero && low < 0.0 && high > 0.0 {
        let y = panel.at_y(0.0);
        canvas.line(Ink::Context, 1.0, [(frame.left, y), (frame.right, y)]);
    }
    panel.series(canvas, Ink::Ground, 1.0, &lane.contrast);
    panel.series(canvas, Ink::Air, 1.6, &lane.main);
    if first {
        number_windows(canvas, scene, panel, &lane.name);
    }
    if last {
        panel.x_name(canvas, &format!("time, {}", scene.units.zone.name()));
    }
}

/// From the lowest to the highest, but for the outermost half per cent at either side: one spike must not flatten
/// the rest. What lies outside is cut.
fn robust_range(lane: &Lane) -> (f64, f64) {
    let mut values: Vec<f64> = lane.main.iter().chain(&lane.contrast).map(|p| p.1).filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let cut = values.len() / 200;
    let low = values.get(cut).copied().unwrap_or(0.0);
    let high = values.get(values.len().saturating_sub(1 + cut)).copied().unwrap_or(0.0);
    let (low, high) = if lane.zero { (low.min(0.0), high.max(0.0)) } else { (low, high) };
    let (low, high) = sane_range(low, high, lane.smallest);
    let margin = 0.12 * (high - low);
    (low - margin, high + margin)
}

/// Numbers over the first panel; one that would touch the number before it is left out. A line leads down from each,
/// but not through the name of the panel.
fn number_windows(canvas: &Canvas<'_>, scene: &Scene<'_>, panel: &Panel, name: &str) {
    let name_ends = panel.frame.left + 6.6 * name.chars().count() as f64;
    let y = panel.frame.top - 30.0;
    let mut free_from = panel.frame.left;
    for w in &scene.analysis.windows {
        let words = if w.accepted() { w.window.id.to_string() } else { format!("({})", w.window.id) };
        let x = panel.at_x(0.5 * (w.window.let_go_s + w.window.take_over_s));
        let half = 4.2 * words.chars().count() as f64;
        if x - half < free_from || x + half > panel.frame.right {
            continue;
        }
        canvas.bold(Ink::Text, Side::Middle, (x, y), &words);
        if x > name_ends {
            canvas.line(Ink::Context, 1.0, [(x, y + 9.0), (x, panel.frame.top)]);
        }
        free_from = x + half + 4.0;
    }
}
