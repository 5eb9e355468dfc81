//! Turn rates: what each set-up does by all its windows, and under it the windows, told apart by shape, with their intervals.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, chart, for_both};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::scene::Scene;
use super::ticks::{decimal, extent, sane_range};
use driftless_analysis::{CombinedRate, FlightAnalysis, HandsOff, WindowMeasurement};
use driftless_display::campaign::{join, typed};
use driftless_display::{
    TurnSide, TurnUnit, combined_name, count_of, distinct, short_combined_name, turn_side, turn_without_sign,
};
use driftless_units::{Estimate, TurnRate};

/// Windows that find room; the table holds them all.
const MOST_ROWS: usize = 40;
/// Between one set-up and the next.
const BETWEEN: f64 = 8.0;

/// How a sheet is set: on a wide one words stand beside their row, on a phone above it.
struct Sheet {
    width: f64,
    top: f64,
    /// Left and right end of the axis.
    axis: (f64, f64),
    /// Height of the row of a set-up, and of that of a window.
    rows: (f64, f64),
    /// Letters of a name that find room.
    name_letters: usize,
    /// Whether words stand above their row.
    narrow: bool,
}

const WIDE: Sheet =
    Sheet { width: 760.0, top: 54.0, axis: (218.0, 592.0), rows: (31.0, 20.0), name_letters: 32, narrow: false };
const PHONE: Sheet =
    Sheet { width: 352.0, top: 76.0, axis: (8.0, 344.0), rows: (46.0, 36.0), name_letters: 26, narrow: true };

/// One figure on a row: `half` is the half-width of its 95 % interval.
struct Figure {
    ink: Ink,
    shape: Shape,
    value: f64,
    half: Option<f64>,
}

/// One row: its words on the left and on the right, its figures.
struct Row {
    of_setup: bool,
    name: String,
    value: String,
    figures: Vec<Figure>,
}

impl Sheet {
    fn height_of(&self, row: &Row) -> f64 {
        if row.of_setup { self.rows.0 } else { self.rows.1 }
    }
}

/// The chart; `None` where no window was accepted.
pub(super) fn draw(scene: &Scene<'_>) -> Option<Chart> {
    let combined = scene.analysis.combined();
    if combined.is_empty() {
        return None;
    }
    Some(for_both([&WIDE, &PHONE], |sheet, titled| on_sheet(scene, &combined, sheet, titled)))
}

fn on_sheet(scene: &Scene<'_>, combined: &[CombinedRate], sheet: &Sheet, titled: &dyn Fn(Caption) -> Caption) -> Chart {
    let rows = rows(scene, combined, sheet);
    let x = range(&rows, scene.units.turn.per_deg_s());
    let rows_height = rows.iter().map(|row| sheet.height_of(row)).sum::<f64>();
    let height = sheet.top + rows_height + BETWEEN * combined.len() as f64 + 44.0;
    let (left, right) = sheet.axis;
    let panel = Panel { frame: Frame { left, top: sheet.top, right, bottom: height - 44.0 }, x, y: (0.0, 1.0) };
    let shown = rows.iter().filter(|row| !row.of_setup).count();
    let caption = titled(caption(scene, combined, shown));
    chart(caption, (sheet.width, height), |canvas| paint(canvas, &panel, scene, (sheet, &rows)))
}

/// A row for each set-up and scenario, and one for each of its windows.
fn rows(scene: &Scene<'_>, combined: &[CombinedRate], sheet: &Sheet) -> Vec<Row> {
    let names: Vec<String> = combined.iter().map(|of| short_combined_name(scene.analysis, of)).collect();
    let names = distinct(&names, sheet.name_letters);
    let mut room = MOST_ROWS;
    let mut rows = Vec::new();
    for (of, name) in combined.iter().zip(names) {
        rows.push(setup_row(scene, of, name));
        for measured in scene.analysis.accepted().filter(|w| of.windows.contains(&w.window.id)).take(room) {
            rows.push(window_row(scene, measured));
            room -= 1;
        }
    }
    rows
}

fn setup_row(scene: &Scene<'_>, of: &CombinedRate, name: String) -> Row {
    let rate = typed(&of.rate_deg_s);
    let mut figures = vec![estimated(scene, Ink::Text, Shape::Diamond, &rate)];
    figures.retain(|f| f.value.is_finite());
    // The column is narrow: "> 596 s per 90°".
    let value = turn_without_sign(&scene.units, &rate).replace("more than", ">");
    let side = match turn_side(&rate) {
        TurnSide::NotTold => "?",
        side => side.word(),
    };
    Row { of_setup: true, name, value: format!("{value} {side}"), figures }
}

fn window_row(scene: &Scene<'_>, measured: &WindowMeasurement) -> Row {
    let window = &measured.window;
    let mut figures = Vec::new();
    figures.extend(measured.course_rate.map(|rate| Figure {
        ink: Ink::GroundSolid,
        shape: Shape::Cross,
        value: rate.deg_s() * scene.units.turn.per_deg_s(),
        half: None,
    }));
    figures.extend(measured.turn_rate.as_ref().map(|rate| estimated(scene, Ink::Air, Shape::Disc, rate)));
    figures.retain(|f| f.value.is_finite());
    let candidate = if window.hands_off == HandsOff::Candidate { ", candidate" } else { "" };
    Row {
        of_setup: false,
        name: format!(
            "{} at {}, {:.0} s{candidate}",
            window.id,
            scene.units.zone.clock(scene.analysis.track.time_at(window.start_s)),
            window.end_s - window.start_s
        ),
        value: measured
            .turn_rate
            .map_or(String::new(), |rate| turn_without_sign(&scene.units, &rate).replace("more than", ">")),
        figures,
    }
}

fn estimated(scene: &Scene<'_>, ink: Ink, shape: Shape, rate: &Estimate<TurnRate>) -> Figure {
    let factor = scene.units.turn.per_deg_s();
    let interval = rate.interval(0.95);
    let half = 0.5 * (interval.high.deg_s() - interval.low.deg_s()) * factor;
    Figure { ink, shape, value: rate.value.deg_s() * factor, half: half.is_finite().then_some(half) }
}

/// All values and zero; intervals too, but none may squeeze the values into a corner.
fn range(rows: &[Row], factor: f64) -> (f64, f64) {
    let all = || rows.iter().flat_map(|row| &row.figures);
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

fn caption(scene: &Scene<'_>, combined: &[CombinedRate], shown: usize) -> Caption {
    let note = if scene.units.turn == TurnUnit::SecondsPer90 { " The scale stays in °/s." } else { "" };
    let more = scene.analysis.accepted().count().saturating_sub(shown);
    let rest = if more > 0 { format!(" {more} more in the table.") } else { String::new() };
    let say = |of: &CombinedRate| {
        let rate = typed(&of.rate_deg_s);
        let windows = count_of(of.windows.len(), "window", "windows");
        let value = turn_without_sign(&scene.units, &rate);
        format!("{}: {value} {}, {windows}.", combined_name(scene.analysis, of), turn_side(&rate).word())
    };
    Caption {
        id: "turn-rates".to_owned(),
        headline: headline(scene.analysis, combined),
        subtitle: format!(
            "Turn rate, to the right positive, with 95 % intervals: the set-up (diamond), under it each window (disc) and its \
             ground course (cross).{note}{rest}"
        ),
        description: combined.iter().map(say).collect::<Vec<_>>().join(" "),
    }
}

/// Which way each set-up turns, and by itself only where somebody said that the hands were off.
fn headline(analysis: &FlightAnalysis, combined: &[CombinedRate]) -> String {
    let sides: Vec<TurnSide> = combined.iter().map(|of| turn_side(&typed(&of.rate_deg_s))).collect();
    // Those that the figures rest on: a candidate near the ground has no part in them.
    let counted = || analysis.accepted().filter(|w| combined.iter().any(|of| of.windows.contains(&w.window.id)));
    let all = counted().count();
    let candidates = counted().filter(|w| w.window.hands_off == HandsOff::Candidate).count();
    let (itself, doubt) = match candidates {
        0 => (" by itself", String::new()),
        _ if candidates == all => ("", ": candidates, for nobody said that the hands were off".to_owned()),
        some => ("", format!("; in {} the hands were perhaps on", count_of(some, "candidate", "candidates"))),
    };
    let count = |side| sides.iter().filter(|s| **s == side).count();
    let (right, left, none) = (count(TurnSide::Right), count(TurnSide::Left), count(TurnSide::NotTold));
    let everywhere = if sides.len() == 1 { "" } else { " in every scenario" };
    match (right, left, none) {
        (0, 0, _) => format!("No clear turn{everywhere}{doubt}"),
        (_, 0, 0) => format!("The aircraft turns right{itself}{everywhere}{doubt}"),
        (0, _, 0) => format!("The aircraft turns left{itself}{everywhere}{doubt}"),
        _ => {
            let words = |of: &CombinedRate| of.power().scenario_words(of.scenario);
            let note = shared_note(combined.iter().map(words)).unwrap_or_default();
            let named = |side| {
                let of_side = combined.iter().zip(&sides).filter(|(_, s)| **s == side);
                let bare = |of| words(of).strip_suffix(note).unwrap_or(words(of)).to_owned();
                of_side.map(|(of, _)| bare(of)).collect::<Vec<_>>()
            };
            let mut parts: Vec<String> = Vec::new();
            for (side, words) in
                [(TurnSide::Right, "right"), (TurnSide::Left, "left"), (TurnSide::NotTold, "no clear turn")]
            {
                let mut names = named(side);
                names.dedup();
                if !names.is_empty() {
                    parts.push(format!("{words} in {}", join(&names)));
                }
            }
            format!("Turns{itself}: {}{note}{doubt}", parts.join("; "))
        }
    }
}

/// What stands in brackets behind each of these names, where it is the same: it is said once then.
fn shared_note<'a>(mut names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let note_of = |name: &'a str| name.split_at_checked(name.find(" (")?).map(|(_, note)| note);
    let first = note_of(names.next()?)?;
    names.all(|name| note_of(name) == Some(first)).then_some(first)
}

fn paint(canvas: &Canvas<'_>, panel: &Panel, scene: &Scene<'_>, (sheet, rows): (&Sheet, &[Row])) {
    legend(canvas, rows, sheet);
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, if sheet.narrow { 5.0 } else { 8.0 }), true);
    panel.x_name(canvas, &format!("turn rate, {}", scene.units.turn.sign()));
    let zero = panel.at_x(0.0);
    canvas.line(Ink::Text, 1.2, [(zero, panel.frame.top), (zero, panel.frame.bottom)]);
    let y = panel.frame.top - 10.0;
    // Each word has its half of the axis; the one without room is left out, the sign of the ticks remains.
    if zero - panel.frame.left > 70.0 {
        canvas.small(Ink::Soft, Side::End, (zero - 8.0, y), "← left");
    }
    if panel.frame.right - zero > 70.0 {
        canvas.small(Ink::Soft, Side::Start, (zero + 8.0, y), "right →");
    }
    let mut top = panel.frame.top;
    for (index, row) in rows.iter().enumerate() {
        if row.of_setup && index > 0 {
            top += BETWEEN;
            canvas.line(Ink::Grid, 1.0, [(8.0, top), (sheet.width - 8.0, top)]);
        }
        let height = sheet.height_of(row);
        // On a phone the words have the upper part of the row.
        let (words, figures) =
            if sheet.narrow { (top + 14.0, top + height - 11.0) } else { (top + 0.5 * height, top + 0.5 * height) };
        row_words(canvas, row, sheet, words);
        for figure in &row.figures {
            draw_figure(canvas, panel, figure, (figures, if row.of_setup { 2.4 } else { 1.4 }));
        }
        top += height;
    }
}

fn row_words(canvas: &Canvas<'_>, row: &Row, sheet: &Sheet, y: f64) {
    let (side, x) = if sheet.narrow { (Side::End, sheet.axis.1) } else { (Side::Start, sheet.axis.1 + 12.0) };
    if row.of_setup {
        canvas.bold(Ink::Text, Side::Start, (8.0, y), &row.name);
        canvas.bold(Ink::Text, side, (x, y), &row.value);
    } else {
        canvas.small(Ink::Soft, Side::Start, (20.0, y), &row.name);
        canvas.small(Ink::Air, side, (x, y), &row.value);
    }
}

fn draw_figure(canvas: &Canvas<'_>, panel: &Panel, figure: &Figure, (y, width): (f64, f64)) {
    let frame = &panel.frame;
    if let Some(half) = figure.half {
        let (a, b) = (panel.at_x(figure.value - half), panel.at_x(figure.value + half));
        canvas.line(figure.ink, width, [(a.max(frame.left), y), (b.min(frame.right), y)]);
        for (end, inside, outward) in [(a, a >= frame.left, -1.0), (b, b <= frame.right, 1.0)] {
            if inside {
                canvas.line(figure.ink, width, [(end, y - 3.5), (end, y + 3.5)]);
            } else {
                // An arrow: the interval goes on beyond the frame.
                let edge = if outward > 0.0 { frame.right } else { frame.left };
                canvas.arrow(figure.ink, width, (edge - 10.0 * outward, y), (edge, y));
            }
        }
    }
    canvas.marker(figure.ink, figure.shape, (panel.at_x(figure.value), y), 4.2);
}

/// What each shape means; only those that occur.
fn legend(canvas: &Canvas<'_>, rows: &[Row], sheet: &Sheet) {
    let (mut x, mut y) = (14.0, 14.0);
    for (ink, shape, words, width) in [
        (Ink::Text, Shape::Diamond, "set-up, all its windows", 190.0),
        (Ink::Air, Shape::Disc, "one window", 116.0),
        (Ink::GroundSolid, Shape::Cross, "ground course, wind left in", 200.0),
    ] {
        if rows.iter().any(|row| row.figures.iter().any(|f| f.shape == shape)) {
            if x + width > sheet.width {
                (x, y) = (14.0, y + 20.0);
            }
            canvas.marker(ink, shape, (x, y), 4.5);
            canvas.text(Ink::Text, Side::Start, (x + 11.0, y), words);
            x += width;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_all_names_share_in_brackets_is_said_once() {
        let (climb, descent) = ("climb (power not recorded)", "descent (power not recorded)");
        assert_eq!(shared_note([climb, descent].into_iter()), Some(" (power not recorded)"));
        assert_eq!(shared_note([climb, "trim level"].into_iter()), None);
        assert_eq!(shared_note([climb, "descent (power not always recorded)"].into_iter()), None);
        assert_eq!(shared_note(std::iter::empty()), None);
    }
}
