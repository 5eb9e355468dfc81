//! Rows of figures with intervals under group heads: the common form of the turn, compensation and repeats charts. Name and
//! figure stand above each row, so that the chart holds on a phone, and two of them side by side on a desk or on paper.

use crate::canvas::{Canvas, Shape, Side};
use crate::clip::Frame;
use crate::ink::Ink;
use crate::plot::Panel;
use crate::ticks::{decimal, extent, sane_range};
use driftless_display::distinct;
use driftless_units::Interval;
use std::collections::{BTreeMap, BTreeSet};

pub(super) const WIDTH: f64 = super::style::NARROW;
const LEFT: f64 = 10.0;
const RIGHT: f64 = WIDTH - 10.0;
const ROW: f64 = 33.0;
const GROUP: f64 = 24.0;
/// Letters of a line, where each takes a wide guess of room: no font is at hand.
const LETTERS: usize = ((RIGHT - LEFT) / super::style::LETTER) as usize;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 44.0;
/// Rows that find room; the tables hold all.
pub(super) const MOST_ROWS: usize = 60;

/// What a subtitle adds when a chart shows `shown` of `all` rows; nothing when it shows them all.
pub(super) fn left_out(shown: usize, all: usize, where_else: &str) -> String {
    if shown < all { format!(". The first {shown} of {all} rows; {where_else} hold all") } else { String::new() }
}

/// A row.
pub(super) struct Row {
    /// Its group's head; a new head is drawn where it changes.
    pub(super) group: String,
    /// Words above, to the left.
    pub(super) name: String,
    /// Words above, to the right.
    pub(super) words: String,
    pub(super) ink: Ink,
    pub(super) shape: Shape,
    /// The figure and its interval; `None` leaves the row empty but for its words.
    pub(super) figure: Option<(f64, Option<Interval<f64>>)>,
    /// Single runs behind the figure.
    pub(super) runs: Vec<(f64, Shape)>,
}

/// Words of the axis and its lines of reference.
pub(super) struct Axis {
    pub(super) name: String,
    /// Values that must be on the axis.
    pub(super) holds: Vec<f64>,
    /// Solid line with words on both sides, at zero.
    pub(super) sides: Option<(&'static str, &'static str)>,
    /// Dotted lines with words above.
    pub(super) references: Vec<(f64, &'static str)>,
    /// Smallest span of the axis.
    pub(super) smallest: f64,
}

/// Height of the chart.
pub(super) fn height(rows: &[Row]) -> f64 {
    TOP + rows.len() as f64 * ROW + groups(rows) as f64 * GROUP + BOTTOM
}

fn groups(rows: &[Row]) -> usize {
    let mut count = 0;
    let mut last = None;
    for row in rows {
        if last != Some(&row.group) {
            count += 1;
            last = Some(&row.group);
        }
    }
    count
}

/// Draws rows and axis.
pub(super) fn paint(canvas: &Canvas<'_>, rows: &[Row], axis: &Axis) {
    let height = height(rows);
    let frame = Frame { left: LEFT, top: TOP, right: RIGHT, bottom: height - BOTTOM };
    let panel = Panel { frame, x: range(rows, axis), y: (0.0, 1.0) };
    panel.x_axis(canvas, &decimal(panel.x.0, panel.x.1, 6.0), true);
    panel.x_name(canvas, &axis.name);
    references(canvas, &panel, axis);
    let names = short_names(rows);
    let mut y = TOP;
    let mut last: Option<&str> = None;
    for row in rows {
        if last != Some(row.group.as_str()) {
            if last.is_some() {
                canvas.line(Ink::Grid, 1.0, [(LEFT, y + 4.0), (RIGHT, y + 4.0)]);
            }
            canvas.block(Ink::Paper, 1.0, (LEFT, y + 6.0), (RIGHT, y + GROUP));
            canvas.bold(Ink::Text, Side::Start, (LEFT, y + 0.62 * GROUP), &row.group);
            y += GROUP;
            last = Some(row.group.as_str());
        }
        let (words, middle) = (y + 8.0, y + 24.0);
        // No line of the grid goes through words.
        canvas.block(Ink::Paper, 1.0, (LEFT, y), (RIGHT, y + 16.0));
        canvas.text(Ink::Text, Side::Start, (LEFT, words), names.get(&row.name).unwrap_or(&row.name));
        canvas.small(Ink::Text, Side::End, (RIGHT, words), &row.words);
        for (value, shape) in &row.runs {
            if inside(&panel, *value) {
                canvas.marker(Ink::Context, *shape, (panel.at_x(*value), middle + 5.0), 2.8);
            }
        }
        figure(canvas, &panel, row, if row.runs.is_empty() { middle } else { middle - 3.0 });
        y += ROW;
    }
}

/// Names that leave room for the words beside them; no two look alike.
fn short_names(rows: &[Row]) -> BTreeMap<&String, String> {
    let words = rows.iter().map(|row| row.words.chars().count()).max().unwrap_or(0);
    let names: BTreeSet<&String> = rows.iter().map(|row| &row.name).collect();
    let names: Vec<&String> = names.into_iter().collect();
    let short = distinct(&names, LETTERS.saturating_sub(words + 2));
    names.into_iter().zip(short).collect()
}

fn references(canvas: &Canvas<'_>, panel: &Panel, axis: &Axis) {
    let frame = &panel.frame;
    if let Some((left, right)) = axis.sides.filter(|_| inside(panel, 0.0)) {
        let zero = panel.at_x(0.0);
        canvas.line(Ink::Text, 1.2, [(zero, frame.top), (zero, frame.bottom)]);
        if zero - frame.left > 60.0 {
            canvas.small(Ink::Soft, Side::End, (zero - 8.0, frame.top - 12.0), left);
        }
        if frame.right - zero > 60.0 {
            canvas.small(Ink::Soft, Side::Start, (zero + 8.0, frame.top - 12.0), right);
        }
    }
    for (value, words) in axis.references.iter().filter(|(value, _)| inside(panel, *value)) {
        let x = panel.at_x(*value);
        canvas.line(Ink::Reference, 1.4, [(x, frame.top), (x, frame.bottom)]);
        canvas.small(Ink::Soft, Side::Middle, (x, frame.top - 12.0), words);
    }
}

fn inside(panel: &Panel, value: f64) -> bool {
    value >= panel.x.0 && value <= panel.x.1
}

/// All figures and what the axis must hold; intervals too, but none may squeeze the figures into a corner.
fn range(rows: &[Row], axis: &Axis) -> (f64, f64) {
    let values = || {
        let figures = rows.iter().filter_map(|row| Some(row.figure.as_ref()?.0));
        figures.chain(rows.iter().flat_map(|row| row.runs.iter().map(|run| run.0))).chain(axis.holds.iter().copied())
    };
    let (low, high) = extent(values()).unwrap_or((0.0, 0.0));
    let (low, high) = sane_range(low, high, axis.smallest);
    let reach = 0.6 * (high - low);
    let ends = rows.iter().filter_map(|row| row.figure.as_ref()?.1).flat_map(|ends| [ends.low, ends.high]);
    let ends = ends.map(|end| end.clamp(low - reach, high + reach));
    let (low, high) = extent(ends.chain([low, high])).unwrap_or((low, high));
    let margin = 0.05 * (high - low);
    sane_range(low - margin, high + margin, axis.smallest)
}

fn figure(canvas: &Canvas<'_>, panel: &Panel, row: &Row, y: f64) {
    let Some((value, interval)) = &row.figure else { return };
    let frame = &panel.frame;
    if let Some(ends) = interval {
        let (a, b) = (panel.at_x(ends.low), panel.at_x(ends.high));
        canvas.line(row.ink, 1.8, [(a.max(frame.left), y), (b.min(frame.right), y)]);
        for (end, within, outward) in [(a, a >= frame.left, -1.0), (b, b <= frame.right, 1.0)] {
            if within {
                canvas.line(row.ink, 1.8, [(end, y - 4.0), (end, y + 4.0)]);
            } else {
                // An arrow: the interval goes on beyond the frame.
                let edge = if outward > 0.0 { frame.right } else { frame.left };
                canvas.arrow(row.ink, 1.8, (edge - 10.0 * outward, y), (edge, y));
            }
        }
    }
    canvas.marker(row.ink, row.shape, (panel.at_x(*value), y), 4.6);
}
