//! The wind against height: speed and direction side by side.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::{HeightBin, Scene, unwrap_deg};
use super::ticks::{bearings, decimal, extent, sane_range};
use driftless_display::compass_point;

/// Size and frames: side by side, or one above the other.
struct Sheet {
    size: (f64, f64),
    speed: Frame,
    direction: Frame,
    /// Whether the direction needs an altitude axis of its own.
    stacked: bool,
}

const WIDE: Sheet = Sheet {
    size: (760.0, 330.0),
    speed: Frame { left: 64.0, top: 40.0, right: 384.0, bottom: 286.0 },
    direction: Frame { left: 420.0, top: 40.0, right: 740.0, bottom: 286.0 },
    stacked: false,
};
const PHONE: Sheet = Sheet {
    size: (352.0, 560.0),
    speed: Frame { left: 52.0, top: 40.0, right: 336.0, bottom: 240.0 },
    direction: Frame { left: 52.0, top: 314.0, right: 336.0, bottom: 514.0 },
    stacked: true,
};
/// Coverage factor of 95 % for a wind whose uncertainty is as good as known.
const K95: f64 = 1.96;

/// The chart; `None` when the wind is not known.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let bins = scene.height_bins();
    let (first, last) = (bins.first()?, bins.last()?);
    let per_m = scene.units.height.per_m();
    let y = sane_range(first.low_m * per_m, last.high_m * per_m, 20.0);
    Some(for_both([&WIDE, &PHONE], |sheet, titled| {
        chart(titled(caption(scene, first, last)), sheet.size, |canvas| paint(canvas, (scene, sheet), &bins, y))
    }))
}

fn caption(scene: &Scene<'_>, first: &HeightBin, last: &HeightBin) -> Caption {
    let tell = |bin: &HeightBin| {
        format!("{} from {}", scene.units.speed(bin.wind.speed_mps()), compass_point(bin.wind.from_deg()))
    };
    let low = scene.units.height(0.5 * (first.low_m + first.high_m));
    let high = scene.units.height(0.5 * (last.low_m + last.high_m));
    let change = last.wind.speed_mps() - first.wind.speed_mps();
    let sure = K95 * first.std_u_mps.hypot(last.std_u_mps);
    let headline = if first.low_m == last.low_m {
        format!("The flight stayed in one layer: wind {} at {low}", tell(first))
    } else if change.abs() <= sure {
        format!(
            "No change of wind speed with height beyond its uncertainty: {} at {low}, {} at {high}",
            tell(first),
            tell(last)
        )
    } else {
        let word = if change > 0.0 { "stronger" } else { "weaker" };
        format!("The wind was {word} higher up: {} at {low}, {} at {high}", tell(first), tell(last))
    };
    Caption {
        id: "wind-height".to_owned(),
        headline,
        subtitle: "Mean wind of each layer flown through, with 95 % intervals: speed, and where it comes from (true)."
            .to_owned(),
        description: format!("From {low} to {high} above sea level as logged."),
    }
}

fn paint(canvas: &Canvas<'_>, (scene, sheet): (&Scene<'_>, &Sheet), bins: &[HeightBin], y: (f64, f64)) {
    let (per_mps, per_m) = (scene.units.speed.per_mps(), scene.units.height.per_m());
    let middle = |bin: &HeightBin| 0.5 * (bin.low_m + bin.high_m) * per_m;
    let speeds: Vec<_> = bins.iter().map(|b| (b.wind.speed_mps() * per_mps, K95 * b.std_u_mps * per_mps)).collect();
    let highest = extent(speeds.iter().map(|(v, half)| v + half)).map_or(1.0, |e| e.1);
    let speed = Panel { frame: sheet.speed, x: sane_range(0.0, 1.08 * highest, per_mps), y };

    let from = unwrap_deg(bins.iter().map(|b| b.wind.from_deg()), bins.first().map_or(0.0, |b| b.wind.from_deg()));
    let angles: Vec<_> = bins
        .iter()
        .zip(from)
        .map(|(b, deg)| {
            // Small-angle: the error across the wind over its speed. Beyond a quarter turn nothing is known.
            let half = (K95 * b.std_u_mps / b.wind.speed_mps()).to_degrees();
            (deg, if half.is_finite() { half.min(90.0) } else { 90.0 })
        })
        .collect();
    let (low, high) = extent(angles.iter().flat_map(|(v, half)| [v - half, v + half])).unwrap_or((0.0, 360.0));
    let (low, high) = sane_range(low, high, 60.0);
    let margin = 0.06 * (high - low);
    let direction = Panel { frame: sheet.direction, x: (low - margin, high + margin), y };

    speed.x_axis(canvas, &decimal(speed.x.0, speed.x.1, 6.0), true);
    speed.y_axis(canvas, &decimal(y.0, y.1, 7.0));
    speed.x_name(canvas, &format!("wind speed, {}", scene.units.speed.sign()));
    speed.y_name(canvas, &format!("Altitude, {}", scene.units.height.sign()));
    direction.x_axis(canvas, &bearings(direction.x.0, direction.x.1, 6.0), true);
    if sheet.stacked {
        direction.y_axis(canvas, &decimal(y.0, y.1, 7.0));
        direction.y_name(canvas, &format!("Altitude, {}", scene.units.height.sign()));
    } else {
        let unlabelled = super::ticks::Ticks { labels: vec![String::new(); 60], ..decimal(y.0, y.1, 7.0) };
        direction.y_axis(canvas, &unlabelled);
    }
    direction.x_name(canvas, "wind from, ° true");
    for (panel, values) in [(&speed, &speeds), (&direction, &angles)] {
        let spots: Vec<_> = bins.iter().zip(values).map(|(b, (v, _))| (*v, middle(b))).collect();
        panel.path(canvas, Ink::Context, 1.2, &spots);
        for (bin, (value, half)) in bins.iter().zip(values) {
            let at = panel.at((*value, middle(bin)));
            let (a, b) =
                (panel.at_x(value - half).max(panel.frame.left), panel.at_x(value + half).min(panel.frame.right));
            canvas.line(Ink::Text, 1.6, [(a, at.1), (b, at.1)]);
            canvas.marker(Ink::Text, Shape::Disc, at, 4.0);
        }
    }
}
