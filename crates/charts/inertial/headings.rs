//! Headings by GPS and wind, by gyro and by compass over the flight; below, how the others differ from the first.

use crate::Chart;
use crate::canvas::{Canvas, Caption, Side, chart};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::scene::Scene;
use crate::ticks::{self, Ticks, clock, extent, sane_range};
use driftless_analysis::{Headings, InertialAnalysis};
use driftless_display::fixed;

const WIDTH: f64 = 760.0;
const ABOVE: Frame = Frame { left: 60.0, top: 32.0, right: 648.0, bottom: 232.0 };
/// Height of a panel of differences, and the room above it.
const LANE: f64 = 84.0;
const BETWEEN: f64 = 44.0;

type Line = Vec<(f64, f64)>;

/// How one of the headings differs from that of the flight.
struct Apart {
    name: &'static str,
    ink: Ink,
    line: Line,
}

/// The chart; `None` without headings.
pub(super) fn draw(scene: &Scene<'_>, inertial: &InertialAnalysis, headings: &Headings) -> Option<Chart> {
    let (from_s, to_s) = extent(headings.t_s.iter().copied())?;
    let x = sane_range(from_s, to_s, 10.0);
    let apart = apart(headings);
    let height = ABOVE.bottom + apart.len() as f64 * (LANE + BETWEEN) + 44.0;
    Some(chart(caption(scene, inertial, headings), (WIDTH, height), |canvas| {
        tint(canvas, scene, &Panel { frame: ABOVE, x, y: (0.0, 1.0) });
        paint_headings(canvas, scene, x, inertial, headings);
        // One scale for all, so that they can be compared.
        let y = robust_range(&apart);
        for (i, lane) in apart.iter().enumerate() {
            let top = ABOVE.bottom + BETWEEN + i as f64 * (LANE + BETWEEN);
            let panel = Panel { frame: Frame { top, bottom: top + LANE, ..ABOVE }, x, y };
            tint(canvas, scene, &panel);
            paint_difference(canvas, scene, &panel, lane, i + 1 == apart.len());
        }
    }))
}

fn tint(canvas: &Canvas<'_>, scene: &Scene<'_>, panel: &Panel) {
    for w in &scene.analysis.windows {
        panel.stripe(canvas, Ink::Span, 1.0, w.window.start_s, w.window.end_s);
    }
}

fn apart(headings: &Headings) -> Vec<Apart> {
    let gyro = headings.gyro_less_flight_deg.iter().map(|d| d.unwrap_or(f64::NAN));
    let gyro = headings.t_s.iter().copied().zip(gyro).collect();
    let compass = headings.compass_t_s.iter().copied().zip(headings.compass_less_flight_deg.iter().copied()).collect();
    [
        Apart { name: "Gyro", ink: Ink::GyroSolid, line: gyro },
        Apart { name: "Compass", ink: Ink::Second, line: compass },
    ]
    .into_iter()
    .filter(|a| a.line.iter().any(|p| p.1.is_finite()))
    .collect()
}

fn caption(scene: &Scene<'_>, inertial: &InertialAnalysis, headings: &Headings) -> Caption {
    let gyro = headings.gyro.map(|d| format!("gyro and GPS headings differ by {}° rms", fixed(d.scatter_deg, 1)));
    let compass = headings.compass.map(|d| {
        let used = inertial.compass.as_ref().is_some_and(|c| c.is_consistent());
        let doubt = if used { "" } else { ", which is not to be trusted" };
        format!("compass by {}°{doubt}", fixed(d.scatter_deg, 1))
    });
    let said: Vec<String> = gyro.into_iter().chain(compass).collect();
    let headline = match said.as_slice() {
        [] => "Headings of the flight and of the sensor have no moment in common".to_owned(),
        words => format!("Over the flight, {}", words.join("; ")),
    };
    let basis = if headings.by_estimate {
        "by GPS with the wind taken out"
    } else {
        "as direction of the ground velocity less one wind for the flight (there is no estimate)"
    };
    let description = |name: &str, d: Option<driftless_analysis::Difference>| {
        d.map(|d| format!(" {name}: mean {}°, 95 % within {}° of it.", fixed(d.mean_deg, 1), fixed(d.within95_deg, 1)))
            .unwrap_or_default()
    };
    let has_compass = !headings.compass_t_s.is_empty();
    let by_compass = if has_compass { " and by compass (dotted)" } else { "" };
    let others = if has_compass { "each of the others" } else { "the gyro's" };
    let tinted = if scene.analysis.windows.is_empty() { "" } else { " Windows are tinted." };
    Caption {
        id: "inertial-headings".to_owned(),
        headline,
        subtitle: format!(
            "Above: heading {basis}, by gyro (dashed; averaged over the swing; one bias for the flight){by_compass}. Below: \
             {others} less the first.{tinted}"
        ),
        description: format!(
            "Panels over the time of day: the headings, and how they differ.{}{}",
            description("Gyro less GPS", headings.gyro),
            description("Compass less GPS", headings.compass)
        ),
    }
}

fn paint_headings(
    canvas: &Canvas<'_>,
    scene: &Scene<'_>,
    x: (f64, f64),
    inertial: &InertialAnalysis,
    headings: &Headings,
) {
    let panel = Panel { frame: ABOVE, x, y: (0.0, 360.0) };
    panel.x_axis(canvas, &clock(x.0, x.1, scene.midnight_s(), 7.0), false);
    panel.y_axis(canvas, &full_circle());
    panel.y_name(canvas, "Heading, ° true");
    let timed: Line = headings.t_s.iter().copied().zip(headings.flight_deg.iter().copied()).collect();
    let apart = headings.gyro_less_flight_deg.iter().map(|d| d.unwrap_or(f64::NAN));
    let gyro: Line = timed.iter().zip(apart).map(|(p, d)| (p.0, p.1 + d)).collect();
    let compass: Line = inertial
        .compass
        .iter()
        .map(|c| &c.calibrated)
        .flat_map(|c| c.t_s.iter().copied().zip(c.heading_rad.iter().map(|h| h.to_degrees())))
        .collect();
    panel.series(canvas, Ink::Air, 2.4, &around(&scene.broken(&timed, |p| p.0, |p| *p)));
    panel.series(canvas, Ink::Compass, 1.4, &around(&scene.broken(&compass, |p| p.0, |p| *p)));
    panel.series(canvas, Ink::Gyro, 1.6, &around(&gyro));
    let mut y = ABOVE.top + 14.0;
    for (ink, name) in [(Ink::Air, "GPS + wind"), (Ink::Gyro, "gyro")]
        .into_iter()
        .chain((!compass.is_empty()).then_some((Ink::Compass, "compass")))
    {
        label(canvas, ink, y, name);
        y += 20.0;
    }
}

/// North at both ends, told apart.
fn full_circle() -> Ticks {
    let values: Vec<f64> = (0..=4).map(|quarter| 90.0 * f64::from(quarter)).collect();
    Ticks { labels: values.iter().map(|deg| format!("{deg:03.0}°")).collect(), values }
}

fn paint_difference(canvas: &Canvas<'_>, scene: &Scene<'_>, panel: &Panel, lane: &Apart, last: bool) {
    panel.x_axis(canvas, &clock(panel.x.0, panel.x.1, scene.midnight_s(), 7.0), last);
    panel.y_axis(canvas, &ticks::lane(panel.y.0, panel.y.1));
    panel.y_name(canvas, &format!("{} less GPS + wind, °", lane.name));
    if last {
        panel.x_name(canvas, "time, UTC");
    }
    let zero = panel.at_y(0.0);
    canvas.line(Ink::Context, 1.0, [(panel.frame.left, zero), (panel.frame.right, zero)]);
    panel.series(canvas, lane.ink, 1.4, &cut(&scene.broken(&lane.line, |p| p.0, |p| *p)));
}

/// A piece of the line and its name, beside the panel.
fn label(canvas: &Canvas<'_>, ink: Ink, y: f64, name: &str) {
    let x = ABOVE.right + 8.0;
    canvas.line(ink, 2.0, [(x, y), (x + 22.0, y)]);
    canvas.small(Ink::Text, Side::Start, (x + 28.0, y), name);
}

/// Within 0 to 360; where it goes around it runs to the edge and comes in at the other.
fn around(line: &[(f64, f64)]) -> Line {
    let mut out: Line = Vec::with_capacity(line.len());
    let mut before: Option<(f64, f64)> = None;
    for &(t_s, deg) in line {
        let folded = (t_s, deg.rem_euclid(360.0));
        if let Some((t0, a)) = before.filter(|(_, a)| (a - folded.1).abs() > 180.0) {
            // The way that is shorter: over north.
            let (edge, other) = if folded.1 < a { (360.0, 0.0) } else { (0.0, 360.0) };
            let step = folded.1 + edge - other - a;
            let t = if step == 0.0 { t_s } else { t0 + (t_s - t0) * (edge - a) / step };
            out.extend([(t, edge), (f64::NAN, f64::NAN), (t, other)]);
        }
        out.push(folded);
        before = folded.1.is_finite().then_some(folded);
    }
    out
}

/// Broken where an angle goes around.
fn cut(line: &[(f64, f64)]) -> Line {
    let mut out: Line = Vec::with_capacity(line.len());
    for &(t_s, deg) in line {
        if out.last().is_some_and(|last| (last.1 - deg).abs() > 180.0) {
            out.push((f64::NAN, f64::NAN));
        }
        out.push((t_s, deg));
    }
    out
}

/// From the lowest to the highest but for the outermost per cent, and zero in sight.
fn robust_range(lanes: &[Apart]) -> (f64, f64) {
    let mut values: Vec<f64> =
        lanes.iter().flat_map(|lane| &lane.line).map(|p| p.1).filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let cut = values.len() / 100;
    let low = values.get(cut).copied().unwrap_or(0.0).min(0.0);
    let high = values.get(values.len().saturating_sub(1 + cut)).copied().unwrap_or(0.0).max(0.0);
    let (low, high) = sane_range(low, high, 4.0);
    let margin = 0.12 * (high - low);
    (low - margin, high + margin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_that_goes_around_runs_to_the_edge() {
        let line = around(&[(0.0, 350.0), (1.0, 358.0), (2.0, 366.0), (3.0, -4.0)]);
        let shown: Vec<(f64, f64)> = line.iter().copied().filter(|p| p.1.is_finite()).collect();
        // From 358 to 6 it passes north after a quarter of the step, from 6 to 356 after six tenths.
        let meant = [
            (0.0, 350.0),
            (1.0, 358.0),
            (1.25, 360.0),
            (1.25, 0.0),
            (2.0, 6.0),
            (2.6, 0.0),
            (2.6, 360.0),
            (3.0, 356.0),
        ];
        assert_eq!(shown.len(), meant.len());
        assert!(
            shown.iter().zip(meant).all(|(s, m)| (s.0 - m.0).abs() < 1e-9 && (s.1 - m.1).abs() < 1e-9),
            "{shown:?}"
        );
        assert_eq!(line.len(), shown.len() + 2);
    }
}
