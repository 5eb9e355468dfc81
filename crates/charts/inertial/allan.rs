//! Allan deviation of the gyro at rest, both axes logarithmic.

use crate::canvas::{Canvas, Shape, Side};
use crate::figure::{Axis, Figure, Series, SeriesStyle, figure_with};
use crate::ink::Ink;
use crate::plot::Panel;
use crate::{Chart, ticks::extent};
use driftless_analysis::{AllanPoint, BiasInstability, SensorHealth};
use driftless_display::inertial::{instability, random_walk};
use driftless_display::significant;

/// Coverage factor of 95 %.
const K95: f64 = 1.96;

/// The chart; `None` when the sensor never lay still.
pub(super) fn draw(health: &SensorHealth) -> Option<Chart> {
    let all = || health.allan.iter().flatten().filter(|p| p.deviation > 0.0);
    let (shortest_s, longest_s) = extent(all().map(|p| p.tau_s))?;
    let (lowest, highest) = extent(all().map(|p| p.deviation.to_degrees()))?;
    let styles = [SeriesStyle::First, SeriesStyle::Second, SeriesStyle::Third];
    let marks = Marks::of(health);
    let mut series = marks.lines(shortest_s, longest_s, lowest);
    for ((name, style), curve) in ["x", "y", "z"].into_iter().zip(styles).zip(&health.allan) {
        if !curve.is_empty() {
            series.push(Series { label: format!("axis {name}"), style, points: points(curve) });
        }
    }
    let whole = Figure {
        id: "allan".to_owned(),
        headline: headline(health),
        subtitle:
            "Overlapping Allan deviation of the gyro over the longest period at rest, with 95 % intervals: how much \
             two neighbouring means of that length differ. Dotted, for the noisiest axis: white noise, which falls with slope \
             −1/2, and the lowest level, which is 0.664 times the bias instability."
                .to_owned(),
        description: format!(
            "Curves of three axes between averaging times of {} and {} seconds; deviations from {} to {} degrees a \
             second.{}",
            significant(shortest_s, 2),
            significant(longest_s, 2),
            significant(lowest, 2),
            significant(highest, 2),
            marks.words()
        ),
        x: axis("averaging time, s", shortest_s, longest_s),
        y: axis("Allan deviation, °/s", lowest, highest),
        series,
    };
    Some(figure_with(&whole, |canvas, panel| marks.paint(canvas, panel)))
}

/// What was read off the curves: shown where it was read.
struct Marks {
    /// Angle random walk, rad/√s.
    walk: Option<f64>,
    floor: Option<BiasInstability>,
}

impl Marks {
    fn of(health: &SensorHealth) -> Self {
        let noise = health.noise;
        Self { walk: noise.and_then(|n| n.angle_random_walk), floor: noise.and_then(|n| n.bias_instability) }
    }

    /// White noise falls with slope -1/2; bias instability is a level. Both as far as they lie within the values seen.
    fn lines(&self, shortest_s: f64, longest_s: f64, lowest: f64) -> Vec<Series> {
        let line = |points| Series { label: String::new(), style: SeriesStyle::Reference, points };
        let mut lines = Vec::new();
        if let Some(walk) = self.walk.map(f64::to_degrees) {
            let at = |tau_s: f64| (tau_s, walk / tau_s.sqrt(), 0.0);
            let end_s = longest_s.min((walk / lowest).powi(2)).max(shortest_s);
            lines.push(line(vec![at(shortest_s), at(end_s)]));
        }
        if let Some(floor) = &self.floor {
            let level = floor.lowest().to_degrees();
            lines.push(line(vec![(shortest_s, level, 0.0), (longest_s, level, 0.0)]));
        }
        lines
    }

    fn words(&self) -> String {
        let walk = self.walk.map(|walk| format!(" Angle random walk {}.", random_walk(walk)));
        let floor = self.floor.as_ref().map(|floor| {
            format!(" Bias instability {} at {} seconds.", instability(floor), significant(floor.tau_s, 2))
        });
        walk.into_iter().chain(floor).collect()
    }

    /// Markers on the lines; their names in the upper right corner, which a falling curve leaves free.
    fn paint(&self, canvas: &Canvas<'_>, panel: &Panel) {
        let x = panel.frame.right - 306.0;
        let mut y = panel.frame.top + 13.0;
        let mut mark = |shape, tau_s: f64, rad_s: f64, words: String| {
            let spot = panel.at((tau_s.log10(), rad_s.to_degrees().log10()));
            if panel.frame.holds(spot) {
                canvas.marker(Ink::Text, shape, spot, 5.0);
            }
            canvas.marker(Ink::Text, shape, (x, y), 5.0);
            canvas.small(Ink::Text, Side::Start, (x + 11.0, y), &words);
            y += 19.0;
        };
        // The line of white noise is read at one second.
        if let Some(walk) = self.walk {
            mark(Shape::Square, 1.0, walk, format!("angle random walk {}, read at 1 s", random_walk(walk)));
        }
        if let Some(floor) = &self.floor {
            mark(Shape::Cross, floor.tau_s, floor.lowest(), format!("bias instability {}", instability(floor)));
        }
    }
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
    let steps: &[f64] = if (high / low).log10() < 2.6 { &[1.0, 2.0, 5.0] } else { &[1.0] };
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
