//! Velocity space: in steady wind the ground velocities of one airspeed lie on a circle about the wind.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, Spot, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::Scene;
use super::ticks::{decimal, extent, sane_range};
use driftless_analysis::VelocityCircle;
use driftless_display::wind_words;

/// Velocities drawn at most.
const MOST_DOTS: usize = 1500;

/// Size, frame, and where the key begins.
struct Sheet {
    size: (f64, f64),
    frame: Frame,
    key: Spot,
    ticks: f64,
}

const WIDE: Sheet = Sheet {
    size: (760.0, 520.0),
    frame: Frame { left: 60.0, top: 40.0, right: 496.0, bottom: 476.0 },
    key: (520.0, 56.0),
    ticks: 7.0,
};
const PHONE: Sheet = Sheet {
    size: (352.0, 600.0),
    frame: Frame { left: 40.0, top: 40.0, right: 344.0, bottom: 344.0 },
    key: (40.0, 400.0),
    ticks: 5.0,
};

/// The chart; `None` without velocities.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let factor = scene.units.speed.per_mps();
    let airborne = scene.airborne();
    let velocities: Vec<(f64, Spot)> = scene
        .points_between(airborne.0.max(0.0), airborne.1.min(1e12))
        .iter()
        .map(|p| (p.t_s, (p.velocity.east_mps * factor, p.velocity.north_mps * factor)))
        .filter(|(_, v)| v.0.is_finite() && v.1.is_finite())
        .collect();
    if velocities.len() < 3 {
        return None;
    }
    // A circle fits any velocities; where the flight does not tell the wind, its centre is none.
    let circle = scene.analysis.circle.filter(|_| scene.analysis.wind_unknown().is_none()).filter(|c| {
        [c.wind.east_mps, c.wind.north_mps, c.airspeed_mps.value].iter().all(|v| v.is_finite() && v.abs() < 500.0)
    });
    Some(for_both([&WIDE, &PHONE], |sheet, titled| {
        let panel = panel(&velocities, circle.as_ref(), factor, sheet.frame);
        chart(titled(caption(scene, circle.as_ref())), sheet.size, |canvas| {
            paint(canvas, &panel, (scene, sheet), &velocities, circle.as_ref());
        })
    }))
}

/// Equal scale on both axes; the origin (standing still) and the circle inside. A stray velocity does not decide.
fn panel(velocities: &[(f64, Spot)], circle: Option<&VelocityCircle>, factor: f64, frame: Frame) -> Panel {
    let mut speeds: Vec<f64> = velocities.iter().map(|(_, v)| v.0.hypot(v.1)).collect();
    speeds.sort_by(f64::total_cmp);
    let usual = speeds.get(speeds.len() * 99 / 100).copied().unwrap_or(1.0) * 1.1;
    let usual_of = |pick: fn(&Spot) -> f64| {
        velocities.iter().filter(move |(_, v)| v.0.hypot(v.1) <= usual).map(move |(_, v)| pick(v)).chain([0.0])
    };
    let ring = circle.map(|c| {
        let r = c.airspeed_mps.value * factor;
        let (e, n) = (c.wind.east_mps * factor, c.wind.north_mps * factor);
        [(e - r, n - r), (e + r, n + r)]
    });
    let corners = ring.iter().flatten();
    let (west, east) = extent(usual_of(|v| v.0).chain(corners.clone().map(|c| c.0))).unwrap_or((-1.0, 1.0));
    let (south, north) = extent(usual_of(|v| v.1).chain(corners.map(|c| c.1))).unwrap_or((-1.0, 1.0));
    let span = (east - west).max(north - south) * 1.08;
    let about = |low: f64, high: f64| {
        let middle = 0.5 * (low + high);
        sane_range(middle - 0.5 * span, middle + 0.5 * span, 2.0 * factor)
    };
    Panel { frame, x: about(west, east), y: about(south, north) }
}

fn caption(scene: &Scene<'_>, circle: Option<&VelocityCircle>) -> Caption {
    let headline = match circle {
        Some(c) => {
            let clock = |t_s| scene.units.zone.clock(scene.analysis.track.time_at(t_s));
            format!(
                "From {} to {} the ground velocities lie on a circle: wind {}, airspeed {}",
                clock(c.start_s),
                clock(c.end_s),
                wind_words(&scene.units, c.wind),
                scene.units.speed_estimate(&c.airspeed_mps)
            )
        }
        None => match scene.mean_wind() {
            Some((wind, _)) => {
                format!("No single circle fits; from the whole flight: wind {}", wind_words(&scene.units, wind))
            }
            None => "The ground velocities alone: they do not settle the wind, and no circle is drawn".to_owned(),
        },
    };
    let sign = scene.units.speed.sign();
    let subtitle = if circle.is_some() {
        format!(
            "Velocity over the ground at each fix, {sign}, equal scale. The centre of the circle is the wind of that \
             time, its radius the airspeed; the grey ellipse round the centre covers the wind with 95 %. It is only \
             where the estimate begins: the turn rates take out the wind of the whole flight, which changes with time \
             and height."
        )
    } else {
        format!("Velocity over the ground at each fix, {sign}, equal scale.")
    };
    let description = match circle {
        Some(c) => format!(
            "Fitted to that time alone; velocities scatter {} about the circle.",
            scene.units.speed(c.residual_mps)
        ),
        None => "Dots without a circle.".to_owned(),
    };
    Caption { id: "velocity-circle".to_owned(), headline, subtitle, description }
}

fn paint(
    canvas: &Canvas<'_>,
    panel: &Panel,
    (scene, sheet): (&Scene<'_>, &Sheet),
    velocities: &[(f64, Spot)],
    circle: Option<&VelocityCircle>,
) {
    let sign = scene.units.speed.sign();
    let factor = scene.units.speed.per_mps();
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, sheet.ticks), true);
    panel.y_axis(canvas, &decimal(panel.y.0, panel.y.1, sheet.ticks));
    panel.x_name(canvas, &format!("velocity to the east, {sign}"));
    panel.y_name(canvas, &format!("Velocity to the north, {sign}"));
    let origin = panel.at((0.0, 0.0));
    let every = velocities.len().div_ceil(MOST_DOTS).max(1);
    for (t_s, velocity) in velocities.iter().step_by(every) {
        let spot = panel.at(*velocity);
        let fitted = circle.is_none_or(|c| *t_s >= c.start_s && *t_s <= c.end_s);
        if panel.frame.holds(spot) {
            canvas.marker(
                if fitted { Ink::GroundSolid } else { Ink::Context },
                Shape::Disc,
                spot,
                if fitted { 1.6 } else { 1.2 },
            );
        }
    }
    canvas.marker(Ink::Text, Shape::Cross, origin, 4.0);
    if let Some(circle) = circle {
        paint_circle(canvas, panel, circle, factor, origin);
    } else if let Some((wind, _)) = scene.mean_wind() {
        canvas.arrow(Ink::Text, 2.2, origin, panel.at((wind.east_mps * factor, wind.north_mps * factor)));
    }
    paint_key(canvas, scene, circle, sheet.key);
}

fn paint_circle(canvas: &Canvas<'_>, panel: &Panel, circle: &VelocityCircle, factor: f64, origin: Spot) {
    let centre = (circle.wind.east_mps * factor, circle.wind.north_mps * factor);
    let round = |radius_east: f64, radius_north: f64, skew: f64| -> Vec<(f64, f64)> {
        (0..=120)
            .map(|i| {
                let (sin, cos) = (f64::from(i) / 120.0 * std::f64::consts::TAU).sin_cos();
                (centre.0 + radius_east * cos, centre.1 + skew * cos + radius_north * sin)
            })
            .collect()
    };
    let [ee, en, nn] = circle.wind_cov;
    // Cholesky factor of the covariance; 2.448 is the root of the 95 % quantile of chi-square with two degrees.
    let l11 = ee.max(0.0).sqrt();
    let l21 = if l11 > 0.0 { en / l11 } else { 0.0 };
    let l22 = (nn - l21 * l21).max(0.0).sqrt();
    let k = 2.448 * factor;
    let ellipse: Vec<Spot> = round(k * l11, k * l22, k * l21).into_iter().map(|p| panel.at(p)).collect();
    if ellipse.iter().all(|s| panel.frame.holds(*s)) {
        canvas.area(Ink::Context, 0.5, ellipse);
    }
    let radius = circle.airspeed_mps.value * factor;
    panel.path(canvas, Ink::Air, 2.2, &round(radius, radius, 0.0));
    let middle = panel.at(centre);
    canvas.arrow(Ink::Text, 2.2, origin, middle);
    // The radius, drawn away from the wind arrow.
    let speed = circle.wind.speed_mps();
    let (ux, uy) = if speed > 0.0 { (circle.wind.east_mps / speed, circle.wind.north_mps / speed) } else { (1.0, 0.0) };
    let rim = panel.at((centre.0 + radius * ux, centre.1 + radius * uy));
    canvas.line(Ink::Air, 1.4, [middle, rim]);
}

/// What is what, beside or below the panel where nothing can be covered.
fn paint_key(canvas: &Canvas<'_>, scene: &Scene<'_>, circle: Option<&VelocityCircle>, (x, top): Spot) {
    let mut y = top;
    let mut entry = |mark: &dyn Fn(f64), lines: &[String]| {
        mark(y);
        for line in lines {
            canvas.text(Ink::Text, Side::Start, (x + 30.0, y), line);
            y += 17.0;
        }
        y += 14.0;
    };
    entry(&|y| canvas.marker(Ink::GroundSolid, Shape::Disc, (x + 9.0, y), 2.4), &["ground velocity".to_owned()]);
    if let Some(c) = circle {
        entry(
            &|y| canvas.marker(Ink::Context, Shape::Disc, (x + 9.0, y), 2.0),
            &["the same, outside the".to_owned(), "time fitted".to_owned()],
        );
        let radius =
            ["circle, its radius the".to_owned(), format!("airspeed {}", scene.units.speed_estimate(&c.airspeed_mps))];
        entry(&|y| canvas.line(Ink::Air, 2.2, [(x, y), (x + 20.0, y)]), &radius);
    }
    if let Some(wind) = circle.map(|c| c.wind).or_else(|| scene.mean_wind().map(|(wind, _)| wind)) {
        let words = wind_words(&scene.units, wind);
        let (speed, from) = words.split_once(" from ").unwrap_or((&words, ""));
        let mut lines = vec![format!("wind {speed}")];
        if !from.is_empty() {
            lines.push(format!("from {from}"));
        }
        entry(&|y| canvas.arrow(Ink::Text, 2.2, (x, y), (x + 20.0, y)), &lines);
    }
    entry(
        &|y| canvas.marker(Ink::Text, Shape::Cross, (x + 9.0, y), 4.0),
        &["standing still".to_owned(), "over the ground".to_owned()],
    );
}
