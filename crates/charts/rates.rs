//! The turn rates of all windows: four figures each, told apart by shape, with their intervals.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, chart};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::Scene;
use super::ticks::{decimal, extent, sane_range};
use driftless_analysis::{HandsOff, WindowMeasurement};
use driftless_display::{
    TurnSide, TurnUnit, clock_utc, count_of, hands_off_words, scenario_words, turn_side, turn_without_sign,
};
use driftless_units::{Estimate, TurnRate};

/// Windows that find room; the table holds them all.
const MOST_ROWS: usize = 40;
const WIDTH: f64 = 760.0;
const TOP: f64 = 66.0;
const ROW: f64 = 62.0;
const LEFT: f64 = 158.0;
const RIGHT: f64 = 606.0;

/// One figure on a row: `half` is the half-width of its 95 % interval.
struct Figure {
    ink: Ink,
    shape: Shape,
    value: f64,
    half: Option<f64>,
}

/// The chart; `None` where no window was accepted.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let windows = scene.analysis.windows.get(..MOST_ROWS).unwrap_or(&scene.analysis.windows);
    scene.analysis.accepted().next()?;
    let factor = scene.units.turn.per_deg_s();
    let rows: Vec<(&WindowMeasurement, Vec<Figure>)> = windows.iter().map(|w| (w, figures(w, factor))).collect();
    let x = range(&rows, factor);
    let height = TOP + ROW * rows.len() as f64 + 44.0;
    let frame = Frame { left: LEFT, top: TOP, right: RIGHT, bottom: height - 44.0 };
    let panel = Panel { frame, x, y: (0.0, 1.0) };
    Some(chart(caption(scene, windows), (WIDTH, height), |canvas| paint(canvas, &panel, scene, &rows)))
}

/// None for a window that was refused: its figures count for nothing, and drawn they would be read.
fn figures(measured: &WindowMeasurement, factor: f64) -> Vec<Figure> {
    if !measured.accepted() {
        return Vec::new();
    }
    let half = |e: &Estimate<TurnRate>| {
        let interval = e.interval(0.95);
        let half = 0.5 * (interval.high.deg_s() - interval.low.deg_s()) * factor;
        half.is_finite().then_some(half)
    };
    let estimate =
        |ink, shape, e: &Estimate<TurnRate>| Figure { ink, shape, value: e.value.deg_s() * factor, half: half(e) };
    let mut figures = Vec::new();
    figures.extend(measured.turn_rate.as_ref().map(|e| estimate(Ink::Air, Shape::Disc, e)));
    figures.extend(measured.steady_rate.as_ref().map(|e| estimate(Ink::Text, Shape::Diamond, e)));
    figures.extend(measured.second_opinion.as_ref().map(|s| estimate(Ink::Second, Shape::Triangle, &s.turn_rate)));
    figures.extend(measured.course_rate.map(|rate| Figure {
        ink: Ink::GroundSolid,
        shape: Shape::Cross,
        value: rate.deg_s() * factor,
        half: None,
    }));
    figures.retain(|f| f.value.is_finite());
    figures
}

/// All values and zero; intervals too, but none may squeeze the values into a corner.
fn range(rows: &[(&WindowMeasurement, Vec<Figure>)], factor: f64) -> (f64, f64) {
    let all = || rows.iter().flat_map(|(_, figures)| figures);
    let (low, high) = extent(all().map(|f| f.value).chain([0.0])).unwrap_or((0.0, 0.0));
    let (low, high) = sane_range(low, high, 2.0 * factor);
    let reach = high - low;
    let ends = all().flat_map(|f| {
        let half = f.half.unwrap_or(0.0).min(reach);
        [f.value - half, f.value + half]
    });
    let (low, high) = extent(ends.chain([low, high])).unwrap_or((low, high));
    let margin = 0.06 * (high - low);
    sane_range(low - margin, high + margin, 2.0 * factor)
}

fn caption(scene: &Scene<'_>, windows: &[WindowMeasurement]) -> Caption {
    let headline = headline(windows);
    let note = if scene.units.turn == TurnUnit::SecondsPer90 { " The scale stays in °/s." } else { "" };
    let more = scene.analysis.windows.len().saturating_sub(windows.len());
    let rest = if more > 0 { format!(" {more} more in the table.") } else { String::new() };
    Caption {
        id: "turn-rates".to_owned(),
        headline,
        subtitle: format!(
            "Turn rate of each window, to the right positive, with 95 % intervals; the rate of the ground course for \
             contrast.{note}{rest}"
        ),
        description: windows
            .iter()
            .map(|w| match &w.turn_rate {
                _ if !w.accepted() => format!("Window {}: refused.", w.window.id),
                Some(rate) => format!(
                    "Window {}: {} {}.",
                    w.window.id,
                    turn_without_sign(&scene.units, rate),
                    turn_side(rate).word()
                ),
                None => format!("Window {}: no turn rate.", w.window.id),
            })
            .collect::<Vec<_>>()
            .join(" "),
    }
}

/// What the aircraft did, and by itself only where somebody said that the hands were off.
fn headline(windows: &[WindowMeasurement]) -> String {
    let measured: Vec<_> =
        windows.iter().filter(|w| w.accepted()).filter_map(|w| Some((w.window.hands_off, w.turn_rate?))).collect();
    let sides: Vec<_> = measured.iter().map(|(_, rate)| turn_side(rate)).collect();
    let candidates = measured.iter().filter(|(hands, _)| *hands == HandsOff::Candidate).count();
    let (by_itself, doubt) = match candidates {
        0 => (true, String::new()),
        all if all == measured.len() => (false, ": candidates, for nobody said that the hands were off".to_owned()),
        some => (false, format!("; in {} the hands were perhaps on", count_of(some, "candidate", "candidates"))),
    };
    let itself = if by_itself { " by itself" } else { "" };
    let every = if measured.len() == 1 { "the accepted window" } else { "every accepted window" };
    match sides.first() {
        None => return "No window gave a turn rate that can be relied on".to_owned(),
        Some(TurnSide::NotTold) if sides.iter().all(|s| *s == TurnSide::NotTold) => {
            return format!("No accepted window shows a turn that can be told from zero{doubt}");
        }
        Some(first) if sides.iter().all(|s| s == first) => {
            return format!("The aircraft turned {}{itself} in {every}{doubt}", first.word());
        }
        Some(_) => {}
    }
    let count = |side| sides.iter().filter(|s| **s == side).count();
    let (right, left, none) = (count(TurnSide::Right), count(TurnSide::Left), count(TurnSide::NotTold));
    let parts: Vec<String> = [(right, "right"), (left, "left"), (none, "neither way for sure")]
        .into_iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| format!("{word} in {}", count_of(n, "window", "windows")))
        .collect();
    let who = if by_itself { "Left to itself the aircraft" } else { "The aircraft" };
    format!("{who} turned {}{doubt}", join(&parts))
}

fn join(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn paint(canvas: &Canvas<'_>, panel: &Panel, scene: &Scene<'_>, rows: &[(&WindowMeasurement, Vec<Figure>)]) {
    legend(canvas, rows);
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, 8.0), true);
    panel.x_name(canvas, &format!("turn rate, {}", scene.units.turn.sign()));
    let zero = panel.at_x(0.0);
    canvas.line(Ink::Text, 1.2, [(zero, panel.frame.top), (zero, panel.frame.bottom)]);
    let y = panel.frame.top - 12.0;
    // Each word has its half of the axis; the one without room is left out, the sign of the ticks remains.
    if zero - panel.frame.left > 70.0 {
        canvas.small(Ink::Soft, Side::End, (zero - 8.0, y), "← left");
    }
    if panel.frame.right - zero > 70.0 {
        canvas.small(Ink::Soft, Side::Start, (zero + 8.0, y), "right →");
    }
    for (index, (measured, figures)) in rows.iter().enumerate() {
        let top = panel.frame.top + ROW * index as f64;
        if index > 0 {
            canvas.line(Ink::Grid, 1.0, [(8.0, top), (WIDTH - 8.0, top)]);
        }
        row_words(canvas, scene, measured, top);
        for (place, figure) in figures.iter().enumerate() {
            draw_figure(canvas, panel, figure, top + 11.0 + 13.3 * place as f64);
        }
    }
}

fn row_words(canvas: &Canvas<'_>, scene: &Scene<'_>, measured: &WindowMeasurement, top: f64) {
    let window = &measured.window;
    canvas.bold(
        Ink::Text,
        Side::Start,
        (8.0, top + 16.0),
        &format!("{}  {}", window.id, scenario_words(window.scenario)),
    );
    let clock = clock_utc(scene.analysis.track.time_at(window.start_s));
    canvas.small(
        Ink::Soft,
        Side::Start,
        (8.0, top + 32.0),
        &format!("{clock}, {:.0} s", window.end_s - window.start_s),
    );
    let verdict = if measured.accepted() { "accepted" } else { "refused" };
    canvas.small(
        Ink::Soft,
        Side::Start,
        (8.0, top + 47.0),
        &format!("{}, {verdict}", hands_off_words(window.hands_off)),
    );
    let x = RIGHT + 14.0;
    // The column is narrow: "> 596 s per 90°".
    let words = |rate| turn_without_sign(&scene.units, rate).replace("more than", ">");
    match &measured.turn_rate {
        _ if !measured.accepted() => canvas.small(Ink::Soft, Side::Start, (x, top + 16.0), "refused"),
        Some(rate) => {
            canvas.bold(Ink::Air, Side::Start, (x, top + 16.0), &words(rate));
            let side = match turn_side(rate) {
                TurnSide::NotTold => "direction uncertain",
                side => side.word(),
            };
            canvas.small(Ink::Soft, Side::Start, (x, top + 32.0), side);
        }
        None => canvas.small(Ink::Soft, Side::Start, (x, top + 16.0), "no turn rate"),
    }
}

fn draw_figure(canvas: &Canvas<'_>, panel: &Panel, figure: &Figure, y: f64) {
    let frame = &panel.frame;
    if let Some(half) = figure.half {
        let (a, b) = (panel.at_x(figure.value - half), panel.at_x(figure.value + half));
        canvas.line(figure.ink, 1.6, [(a.max(frame.left), y), (b.min(frame.right), y)]);
        for (end, inside, outward) in [(a, a >= frame.left, -1.0), (b, b <= frame.right, 1.0)] {
            if inside {
                canvas.line(figure.ink, 1.6, [(end, y - 3.5), (end, y + 3.5)]);
            } else {
                // An arrow: the interval goes on beyond the frame.
                let edge = if outward > 0.0 { frame.right } else { frame.left };
                canvas.arrow(figure.ink, 1.6, (edge - 10.0 * outward, y), (edge, y));
            }
        }
    }
    canvas.marker(figure.ink, figure.shape, (panel.at_x(figure.value), y), 4.2);
}

/// What each shape means; only those that occur.
fn legend(canvas: &Canvas<'_>, rows: &[(&WindowMeasurement, Vec<Figure>)]) {
    let y = 16.0;
    let mut x = 14.0;
    for (ink, shape, words, width) in [
        (Ink::Air, Shape::Disc, "this window", 122.0),
        (Ink::Text, Shape::Diamond, "this set-up, on another day", 220.0),
        (Ink::Second, Shape::Triangle, "second opinion", 140.0),
        (Ink::GroundSolid, Shape::Cross, "ground course, wind left in", 0.0),
    ] {
        if rows.iter().any(|(_, figures)| figures.iter().any(|f| f.shape == shape)) {
            canvas.marker(ink, shape, (x, y), 4.5);
            canvas.text(Ink::Text, Side::Start, (x + 11.0, y), words);
            x += width;
        }
    }
}
