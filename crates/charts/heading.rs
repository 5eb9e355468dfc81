//! Heading against time in one window, the raw course beside it.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::{Scene, unwrap_deg, window_name};
use super::ticks::{bearings, elapsed, extent, sane_range};
use driftless_analysis::{Origin, WindowMeasurement};
use driftless_display::{TurnSide, turn_side, turn_without_sign};
use driftless_units::{Estimate, TurnRate, coverage_factor};

/// Time shown before let-go and after take-over, s.
const MARGIN_S: f64 = 8.0;

/// Size, frame, and how many ticks find room below it.
struct Sheet {
    size: (f64, f64),
    frame: Frame,
    ticks: f64,
}

const WIDE: Sheet =
    Sheet { size: (760.0, 276.0), frame: Frame { left: 60.0, top: 44.0, right: 668.0, bottom: 234.0 }, ticks: 9.0 };
const PHONE: Sheet =
    Sheet { size: (352.0, 276.0), frame: Frame { left: 40.0, top: 44.0, right: 276.0, bottom: 234.0 }, ticks: 4.0 };

struct Lines {
    heading: Vec<(f64, f64)>,
    band: Vec<(f64, f64, f64)>,
    course: Vec<(f64, f64)>,
    /// The steady turn of the window, from start to end.
    steady: Vec<(f64, f64)>,
    /// The turn of the second opinion, from the same start.
    second: Vec<(f64, f64)>,
}

/// The chart of a window; `None` when nothing was recorded in it.
pub(super) fn draw(scene: &Scene<'_>, measured: &WindowMeasurement) -> Option<Chart> {
    let window = &measured.window;
    let (from_s, to_s) = (window.let_go_s - MARGIN_S, window.take_over_s + MARGIN_S);
    let lines = lines(scene, measured, from_s, to_s)?;
    let x = sane_range(from_s - window.start_s, to_s - window.start_s, 1.0);
    let inside_window = |p: &&(f64, f64)| p.0 >= window.let_go_s - window.start_s - 1.0;
    let shown = lines.heading.iter().chain(lines.course.iter().filter(inside_window)).chain(&lines.second).map(|p| p.1);
    let (low, high) = extent(shown)?;
    let (low, high) = sane_range(low, high, 40.0);
    let margin = 0.05 * (high - low);
    Some(for_both([&WIDE, &PHONE], |sheet, titled| {
        let panel = Panel { frame: sheet.frame, x, y: (low - margin, high + margin) };
        chart(titled(caption(scene, measured)), sheet.size, |canvas| {
            paint(canvas, &panel, measured, &lines, sheet.ticks);
        })
    }))
}

fn lines(scene: &Scene<'_>, measured: &WindowMeasurement, from_s: f64, to_s: f64) -> Option<Lines> {
    let window = &measured.window;
    let nodes = scene.nodes_between(from_s, to_s);
    let points = scene.points_between(from_s, to_s);
    if nodes.len() < 2 && points.len() < 2 {
        return None;
    }
    let k = nodes.first().map_or(f64::INFINITY, |n| coverage_factor(0.95, n.heading.dof));
    // Whole turns are taken off so that the axis begins between 0 and 360 at the start of the steady span.
    let at_start = scene.nodes_between(window.start_s, to_s).first().map(|n| n.heading.value.deg());
    let offset = at_start.map_or(0.0, |deg| deg - deg.rem_euclid(360.0));
    let heading = scene.broken(nodes, |n| n.t_s, |n| (n.t_s - window.start_s, n.heading.value.deg() - offset));
    let half = scene.broken(nodes, |n| n.t_s, |n| (n.t_s, k * n.heading.std_u.deg()));
    let band = heading.iter().zip(&half).map(|(p, h)| (p.0, p.1 - h.1, p.1 + h.1)).collect();

    let course_deg: Vec<f64> = points.iter().map(|p| p.velocity.direction().bearing_deg()).collect();
    // Beside the heading from the first point on; where they part the axis shows how far.
    let near = nodes.first().map_or(180.0, |n| n.heading.value.deg() - offset);
    let course_deg = unwrap_deg(course_deg, near);
    let timed: Vec<(f64, f64)> = points.iter().map(|p| p.t_s).zip(course_deg).collect();
    let course = scene.broken(&timed, |p| p.0, |p| (p.0 - window.start_s, p.1));
    let turn = |rate: Option<Estimate<TurnRate>>| match (at_start, rate) {
        (Some(start), Some(rate)) if measured.accepted() => {
            let length_s = window.end_s - window.start_s;
            vec![(0.0, start - offset), (length_s, start - offset + rate.value.deg_s() * length_s)]
        }
        _ => Vec::new(),
    };
    let steady = turn(measured.turn_rate);
    let second = turn(measured.second_opinion.map(|second| second.turn_rate));
    Some(Lines { heading, band, course, steady, second })
}

fn caption(scene: &Scene<'_>, measured: &WindowMeasurement) -> Caption {
    let window = &measured.window;
    let name = window_name(measured);
    let verdict = if measured.accepted() { "" } else { " (refused)" };
    let headline = match &measured.turn_rate {
        Some(_) if !measured.accepted() => format!("{name}{verdict}: heading and course"),
        Some(rate) => match turn_side(rate) {
            TurnSide::NotTold => format!(
                "{name}{verdict}: no turn that can be told from zero, {}",
                turn_without_sign(&scene.units, rate)
            ),
            side => {
                format!("{name}{verdict}: turned {} at {}", side.word(), turn_without_sign(&scene.units, rate))
            }
        },
        None => format!("{name}{verdict}: the heading is not known, only the course over the ground"),
    };
    let start = scene.analysis.track.time_at(window.start_s);
    let what = match (scene.estimate(), measured.second_opinion) {
        (Some(_), Some(_)) if measured.accepted() => {
            "Heading with its 95 % band, steady turn (dotted, disc), second opinion (triangle), course over the ground (dashed)"
        }
        (Some(_), _) => "Heading with its 95 % band, steady turn (dotted, disc), course over the ground (dashed)",
        (None, _) => "Course over the ground",
    };
    let subtitle = format!(
        "{what}; time from {} {}, the start of the steady span (tinted).",
        scene.units.zone.clock(start),
        scene.units.zone.name()
    );
    let description = match (&measured.heading_change, &measured.course_rate) {
        (Some(change), Some(course)) => format!(
            "Over {:.0} seconds the heading changed by {}; the course over the ground turned at {} on average.",
            window.end_s - window.start_s,
            scene.units.angle_estimate(change),
            scene.units.bare_turn(*course)
        ),
        _ => format!("Direction of flight over {:.0} seconds.", window.end_s - window.start_s),
    };
    Caption { id: format!("window-{}", window.id), headline, subtitle, description }
}

fn paint(canvas: &Canvas<'_>, panel: &Panel, measured: &WindowMeasurement, lines: &Lines, ticks: f64) {
    let window = &measured.window;
    let (let_go, take_over) = (window.let_go_s - window.start_s, window.take_over_s - window.start_s);
    let end = window.end_s - window.start_s;
    panel.stripe(canvas, Ink::Span, 0.6, let_go, take_over);
    panel.stripe(canvas, Ink::Span, 1.0, 0.0, end);
    panel.x_axis(canvas, &elapsed(panel.x.0, panel.x.1, ticks), true);
    panel.y_axis(canvas, &bearings(panel.y.0, panel.y.1, 5.0));
    panel.x_name(canvas, "time, min:s");
    canvas.small(Ink::Soft, Side::Start, (panel.frame.left, panel.frame.top - 28.0), "direction, ° true");
    let (a, b) = (panel.at_x(let_go), panel.at_x(take_over));
    let (first, last) = match window.origin {
        Origin::Found => ("from", "to"),
        Origin::Marked | Origin::Given => ("let-go", "take-over"),
    };
    canvas.small(Ink::Soft, Side::Middle, (a, panel.frame.top - 10.0), first);
    // The second word is left out where the two would meet.
    if b - a > 70.0 {
        canvas.small(Ink::Soft, Side::Middle, (b, panel.frame.top - 10.0), last);
    }
    for x in [a, b] {
        canvas.line(Ink::Context, 1.0, [(x, panel.frame.top), (x, panel.frame.bottom)]);
    }
    panel.series(canvas, Ink::Ground, 1.6, &lines.course);
    panel.band(canvas, Ink::Air, 0.25, &lines.band);
    panel.series(canvas, Ink::Air, 2.2, &lines.heading);
    panel.series(canvas, Ink::Reference, 1.2, &lines.steady);
    for end in &lines.steady {
        canvas.marker(Ink::Air, Shape::Disc, panel.at(*end), 3.5);
    }
    panel.series(canvas, Ink::Second, 1.2, &lines.second);
    if let Some(end) = lines.second.last() {
        canvas.marker(Ink::Second, Shape::Triangle, panel.at(*end), 4.5);
    }
    end_labels(canvas, panel, lines);
}

/// Names at the right end of the lines, kept a line of text apart.
fn end_labels(canvas: &Canvas<'_>, panel: &Panel, lines: &Lines) {
    const APART: f64 = 16.0;
    let last = |line: &[(f64, f64)]| {
        let y = line.iter().rev().find(|p| p.1.is_finite()).map(|p| panel.at_y(p.1))?;
        Some(y.clamp(panel.frame.top + 6.0, panel.frame.bottom - 6.0))
    };
    let x = panel.frame.right + 8.0;
    match (last(&lines.heading), last(&lines.course)) {
        (Some(mut heading), Some(mut course)) => {
            let apart = (course - heading).abs();
            if apart < APART {
                let push = 0.5 * (APART - apart) * if course >= heading { 1.0 } else { -1.0 };
                (heading, course) = (heading - push, course + push);
            }
            canvas.bold(Ink::Air, Side::Start, (x, heading), "heading");
            canvas.bold(Ink::GroundSolid, Side::Start, (x, course), "course");
        }
        (Some(heading), None) => canvas.bold(Ink::Air, Side::Start, (x, heading), "heading"),
        (None, Some(course)) => canvas.bold(Ink::GroundSolid, Side::Start, (x, course), "course"),
        (None, None) => {}
    }
}
