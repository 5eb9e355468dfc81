//! Allan deviation of the gyro at rest, both axes logarithmic.

use crate::charts::figure::{Axis, Figure, Series, SeriesStyle, figure};
use crate::charts::{Chart, ticks::extent};
use crate::display::significant;
use driftless_analysis::{AllanPoint, SensorHealth};

/// Coverage factor of 95 %.
const K95: f64 = 1.96;

/// The chart; `None` when the sensor never lay still.
pub(super) fn draw(health: &SensorHealth) -> Option<Chart> {
    let all = || health.allan.iter().flatten().filter(|p| p.deviation > 0.0);
    let (shortest_s, longest_s) = extent(all().map(|p| p.tau_s))?;
    let (lowest, highest) = extent(all().map(|p| p.deviation.to_degrees()))?;
    let styles = [SeriesStyle::First, SeriesStyle::Second, SeriesStyle::Third];
    let mut series: Vec<Series> = Vec::new();
    if let Some(walk) = health.noise.and_then(|n| n.angle_random_walk).map(f64::to_degrees) {
        let at = |tau_s: f64| (tau_s, walk / tau_s.sqrt(), 0.0);
        // As far as the line lies within the values seen.
        let end_s = longest_s.min((walk / lowest).powi(2)).max(shortest_s);
        series.push(Series {
            label: format!("slope of {} °/√s", significant(walk, 2)),
            style: SeriesStyle::Reference,
            points: vec![at(shortest_s), at(end_s)],
        });
    }
    for ((name, style), curve) in ["x", "y", "z"].into_iter().zip(styles).zip(&health.allan) {
        if !curve.is_empty() {
            series.push(Series { label: format!("axis {name}"), style, points: points(curve) });
        }
    }
    Some(figure(&Figure {
        id: "allan".to_owned(),
        headline: headline(health),
        subtitle:
            "Overlapping Allan deviation of the gyro over the longest stretch at rest, with 95 % intervals: how much \
                   two neighbouring means of that length differ. Dotted: white noise of the noisiest axis."
                .to_owned(),
        description: format!(
            "Curves of three axes between averaging times of {} and {} seconds; deviations from {} to {} degrees a second.",
            significant(shortest_s, 2),
            significant(longest_s, 2),
            significant(lowest, 2),
            significant(highest, 2)
        ),
        x: axis("averaging time, s", shortest_s, longest_s),
        y: axis("Allan deviation, °/s", lowest, highest),
        series,
    }))
}

fn points(curve: &[AllanPoint]) -> Vec<(f64, f64, f64)> {
    curve
        .iter()
        .map(|p| (p.tau_s, p.deviation.to_degrees()))
        .zip(curve)
        .filter(|(p, _)| p.1 > 0.0)
        .map(|((tau_s, deg_s), point)| (tau_s, deg_s, (K95 * point.relative_std_u).min(0.9) * deg_s))
        .collect()
}

/// A logarithmic axis with labels at 1, 2 and 5, or at powers of ten when it is long.
fn axis(name: &str, low: f64, high: f64) -> Axis {
    let steps: &[f64] = if (high / low).log10() < 2.2 { &[1.0, 2.0, 5.0] } else { &[1.0] };
    let ticks = (-9_i32..=6)
        .flat_map(|power| {
            // Divided, not multiplied, below one: 5/1000 is 0.005, 5 times 0.001 is not.
            steps.iter().map(move |s| if power < 0 { s / 10_f64.powi(-power) } else { s * 10_f64.powi(power) })
        })
        .collect();
    Axis { name: name.to_owned(), log: true, range: None, ticks }
}

fn headline(health: &SensorHealth) -> String {
    let minute = health.rate_std_u_rad_s(60.0).map(f64::to_degrees);
    match minute {
        Some(deg_s) => format!("The gyro's own noise is {} °/s in a window of a minute", significant(deg_s, 2)),
        None => "The gyro's noise does not fall like white noise, so its random walk is not known".to_owned(),
    }
}
