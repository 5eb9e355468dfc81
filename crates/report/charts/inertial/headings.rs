//! Headings by GPS and wind, by gyro and by compass over the flight; below, how the others differ from the first.

use crate::charts::Chart;
use crate::charts::canvas::{Canvas, Caption, Side, chart};
use crate::charts::clip::Frame;
use crate::charts::ink::Ink;
use crate::charts::plot::Panel;
use crate::charts::scene::Scene;
use crate::charts::ticks::{bearings, clock, decimal, extent, sane_range};
use crate::display::fixed;
use driftless_analysis::{Headings, InertialAnalysis};

const SIZE: (f64, f64) = (760.0, 452.0);
const ABOVE: Frame = Frame { left: 60.0, top: 32.0, right: 648.0, bottom: 232.0 };
const BELOW: Frame = Frame { left: 60.0, top: 282.0, right: 648.0, bottom: 408.0 };

type Line = Vec<(f64, f64)>;

/// The chart; `None` without headings.
pub(super) fn draw(scene: &Scene<'_>, inertial: &InertialAnalysis, headings: &Headings) -> Option<Chart> {
    let (from_s, to_s) = extent(headings.t_s.iter().copied())?;
    let x = sane_range(from_s, to_s, 10.0);
    Some(chart(caption(inertial, headings), SIZE, |canvas| {
        for frame in [ABOVE, BELOW] {
            let panel = Panel { frame, x, y: (0.0, 1.0) };
            for w in &scene.analysis.windows {
                panel.stripe(canvas, Ink::Span, 1.0, w.window.start_s, w.window.end_s);
            }
        }
        paint_headings(canvas, scene, x, inertial, headings);
        paint_differences(canvas, scene, x, headings);
    }))
}

fn caption(inertial: &InertialAnalysis, headings: &Headings) -> Caption {
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
    Caption {
        id: "inertial-headings".to_owned(),
        headline,
        subtitle: format!(
            "Above: heading {basis}, by gyro (dashed; averaged over the swing; one bias for the flight) and by compass \
             (dotted). Below: the others less the first. Windows are tinted."
        ),
        description: format!(
            "Two panels over the time of day.{}{}",
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
    panel.y_axis(canvas, &bearings(0.0, 360.0, 4.0));
    panel.y_name(canvas, "Heading, ° true");
    let timed: Line = headings.t_s.iter().copied().zip(headings.flight_deg.iter().copied()).collect();
    let apart = headings.gyro_less_flight_deg.iter().map(|d| d.unwrap_or(f64::NAN));
    let gyro: Line = timed.iter().zip(apart).map(|(p, d)| (p.0, p.1 + d)).collect();
    let compass: Line = inertial
        .compass
        .iter()
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

fn paint_differences(canvas: &Canvas<'_>, scene: &Scene<'_>, x: (f64, f64), headings: &Headings) {
    let apart = headings.gyro_less_flight_deg.iter().map(|d| d.unwrap_or(f64::NAN));
    let gyro: Line = headings.t_s.iter().copied().zip(apart).collect();
    let compass: Line =
        headings.compass_t_s.iter().copied().zip(headings.compass_less_flight_deg.iter().copied()).collect();
    let (low, high) = robust_range([&gyro, &compass]);
    let panel = Panel { frame: BELOW, x, y: (low, high) };
    panel.x_axis(canvas, &clock(x.0, x.1, scene.midnight_s(), 7.0), true);
    panel.y_axis(canvas, &decimal(low, high, 5.0));
    panel.y_name(canvas, "Difference from GPS + wind, °");
    panel.x_name(canvas, "time, UTC");
    let zero = panel.at_y(0.0);
    canvas.line(Ink::Context, 1.0, [(BELOW.left, zero), (BELOW.right, zero)]);
    panel.series(canvas, Ink::Compass, 1.4, &cut(&scene.broken(&compass, |p| p.0, |p| *p)));
    panel.series(canvas, Ink::Gyro, 1.8, &cut(&gyro));
    label(canvas, Ink::Gyro, BELOW.top + 14.0, "gyro");
    if !compass.is_empty() {
        label(canvas, Ink::Compass, BELOW.top + 34.0, "compass");
    }
}

/// A piece of the line and its name, beside the panel.
fn label(canvas: &Canvas<'_>, ink: Ink, y: f64, name: &str) {
    let x = ABOVE.right + 8.0;
    canvas.line(ink, 2.0, [(x, y), (x + 22.0, y)]);
    canvas.small(Ink::Text, Side::Start, (x + 28.0, y), name);
}

/// Within 0 to 360, broken where it goes around.
fn around(line: &[(f64, f64)]) -> Line {
    cut(&line.iter().map(|p| (p.0, p.1.rem_euclid(360.0))).collect::<Line>())
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
fn robust_range(lines: [&Line; 2]) -> (f64, f64) {
    let mut values: Vec<f64> = lines.into_iter().flatten().map(|p| p.1).filter(|v| v.is_finite()).collect();
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
    fn a_heading_that_goes_around_is_broken_there() {
        let line = around(&[(0.0, 350.0), (1.0, 358.0), (2.0, 366.0), (3.0, -4.0)]);
        let shown: Vec<f64> = line.iter().map(|p| p.1).filter(|v| v.is_finite()).collect();
        assert_eq!(shown, [350.0, 358.0, 6.0, 356.0]);
        assert_eq!(line.len(), 6);
    }
}
