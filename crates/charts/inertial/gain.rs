//! What the gyro gains: each window by GPS alone and with the gyro, about the figure of the report.

use crate::Chart;
use crate::canvas::{Canvas, Caption, Shape, Side, chart};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::scene::Scene;
use crate::ticks::{decimal, extent, sane_range};
use driftless_analysis::{InertialAnalysis, WindowMeasurement};
use driftless_display::inertial::{gain, gain_words, sources};
use driftless_display::{count_of, fixed, window_scenario_words};
use driftless_units::{Estimate, TurnRate};

const WIDTH: f64 = 760.0;
const LEFT: f64 = 178.0;
const RIGHT: f64 = 620.0;
const TOP: f64 = 46.0;
const ROW: f64 = 34.0;
/// Windows that find room; the table holds all.
const MOST_ROWS: usize = 20;

struct Row<'a> {
    window: &'a WindowMeasurement,
    /// GPS alone less the report, and half its 95 % interval, in the unit of display.
    alone: (f64, f64),
    /// Half the 95 % interval of the report.
    half: f64,
}

/// The chart; `None` where the sensor took no part or no window has both figures.
pub(super) fn draw(scene: &Scene<'_>, inertial: &InertialAnalysis) -> Option<Chart> {
    let rows = rows(scene, inertial);
    if rows.is_empty() || !inertial.takes_part() {
        return None;
    }
    let ends = rows.iter().flat_map(|r| [r.alone.0 - r.alone.1, r.alone.0 + r.alone.1, -r.half, r.half]);
    let (low, high) = extent(ends)?;
    let (low, high) = sane_range(low, high, 0.1);
    let margin = 0.08 * (high - low);
    let bottom = TOP + ROW * rows.len() as f64;
    let frame = Frame { left: LEFT, top: TOP, right: RIGHT, bottom };
    let panel = Panel { frame, x: (low - margin, high + margin), y: (0.0, 1.0) };
    Some(chart(caption(scene, inertial, &rows), (WIDTH, bottom + 42.0), |canvas| {
        paint(canvas, scene, inertial, &panel, &rows);
    }))
}

fn rows<'a>(scene: &Scene<'a>, inertial: &InertialAnalysis) -> Vec<Row<'a>> {
    let factor = scene.units.turn.per_deg_s();
    let half = |rate: &Estimate<TurnRate>| {
        let interval = rate.interval(0.95);
        0.5 * (interval.high.deg_s() - interval.low.deg_s()) * factor
    };
    let of = |id: u32, alone: Option<Estimate<TurnRate>>| {
        let window = scene.analysis.windows.iter().find(|w| w.window.id == id)?;
        let (with, alone) = (window.turn_rate?, alone?);
        let apart = (alone.value.deg_s() - with.value.deg_s()) * factor;
        let row = Row { window, alone: (apart, half(&alone)), half: half(&with) };
        [apart, row.alone.1, row.half].iter().all(|v| v.is_finite()).then_some(row)
    };
    inertial.windows.iter().filter_map(|seen| of(seen.id, seen.gps_alone)).take(MOST_ROWS).collect()
}

fn caption(scene: &Scene<'_>, inertial: &InertialAnalysis, rows: &[Row<'_>]) -> Caption {
    let headline = match gain_words(scene.analysis) {
        Some(words) => format!("With the sensor the intervals are {words}"),
        None => "What the sensor gains cannot be told".to_owned(),
    };
    let more = inertial.windows.len().saturating_sub(rows.len());
    let rest = if more > 0 {
        format!(" {} more in the table, or without a figure.", count_of(more, "window", "windows"))
    } else {
        String::new()
    };
    let with = sources(inertial);
    let ratio =
        gain(scene.analysis).map_or(String::new(), |(r, _)| format!(" Ratio of the intervals: {}.", fixed(r, 1)));
    Caption {
        id: "inertial-gain".to_owned(),
        headline,
        subtitle: format!(
            "Turn rate of each window by GPS alone (diamond) less that of this report, by {with} (disc, at zero), with \
             the 95 % interval of each.{rest}"
        ),
        description: format!(
            "{}, two intervals each: by GPS alone and by {with}.{ratio}",
            count_of(rows.len(), "window", "windows")
        ),
    }
}

fn paint(canvas: &Canvas<'_>, scene: &Scene<'_>, inertial: &InertialAnalysis, panel: &Panel, rows: &[Row<'_>]) {
    for (x, ink, shape, words) in
        [(14.0, Ink::Text, Shape::Diamond, "GPS alone"), (112.0, Ink::Air, Shape::Disc, sources(inertial))]
    {
        canvas.marker(ink, shape, (x, 16.0), 4.5);
        canvas.text(Ink::Text, Side::Start, (x + 11.0, 16.0), words);
    }
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, 7.0), true);
    panel.x_name(canvas, &format!("difference of turn rates, {}", scene.units.turn.sign()));
    let zero = panel.at_x(0.0);
    canvas.line(Ink::Context, 1.0, [(zero, panel.frame.top), (zero, panel.frame.bottom)]);
    for (index, row) in rows.iter().enumerate() {
        let middle = panel.frame.top + ROW * (index as f64 + 0.5);
        let window = &row.window.window;
        let name = format!("{}  {}", window.id, window_scenario_words(window));
        canvas.bold(Ink::Text, Side::Start, (8.0, middle), &name);
        interval(canvas, panel, Ink::Air, Shape::Disc, (0.0, row.half), middle - 6.0);
        interval(canvas, panel, Ink::Text, Shape::Diamond, row.alone, middle + 7.0);
        let ratio = format!("{} times", fixed(row.alone.1 / row.half, 1));
        canvas.small(Ink::Soft, Side::Start, (panel.frame.right + 12.0, middle), &ratio);
    }
}

fn interval(canvas: &Canvas<'_>, panel: &Panel, ink: Ink, shape: Shape, (value, half): (f64, f64), y: f64) {
    let ends = [value - half, value + half].map(|v| panel.at_x(v));
    canvas.line(ink, 1.6, ends.map(|x| (x, y)));
    for x in ends {
        canvas.line(ink, 1.6, [(x, y - 3.5), (x, y + 3.5)]);
    }
    canvas.marker(ink, shape, (panel.at_x(value), y), 4.2);
}
