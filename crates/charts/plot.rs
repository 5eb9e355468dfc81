//! A panel with two axes: scales, light grid, ticks, clipped series and bands.

use super::canvas::{Canvas, Side, Spot};
use super::clip::{Frame, inside, runs};
use super::ink::Ink;
use super::thin;
use super::ticks::Ticks;

/// Most points of one line.
const MOST_POINTS: usize = 2000;

/// A panel: a frame on the sheet and the values at its edges.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    /// Where on the sheet.
    pub(super) frame: Frame,
    /// Values at the left and right edge.
    pub(super) x: (f64, f64),
    /// Values at the lower and upper edge.
    pub(super) y: (f64, f64),
}

impl Panel {
    /// Where a value of the horizontal axis lies.
    pub(super) fn at_x(&self, value: f64) -> f64 {
        self.frame.left + (value - self.x.0) / (self.x.1 - self.x.0) * self.frame.width()
    }
    /// Where a value of the vertical axis lies.
    pub(super) fn at_y(&self, value: f64) -> f64 {
        self.frame.bottom - (value - self.y.0) / (self.y.1 - self.y.0) * self.frame.height()
    }
    /// Where a pair of values lies.
    pub(super) fn at(&self, (x, y): (f64, f64)) -> Spot {
        (self.at_x(x), self.at_y(y))
    }

    /// Vertical grid lines with labels below.
    pub(super) fn x_axis(&self, canvas: &Canvas<'_>, ticks: &Ticks, labelled: bool) {
        let frame = &self.frame;
        for (value, label) in ticks.values.iter().zip(&ticks.labels) {
            let x = self.at_x(*value);
            canvas.line(Ink::Grid, 1.0, [(x, frame.top), (x, frame.bottom)]);
            if labelled {
                canvas.small(Ink::Soft, Side::Middle, (x, frame.bottom + 12.0), label);
            }
        }
        canvas.line(Ink::Context, 1.0, [(frame.left, frame.bottom), (frame.right, frame.bottom)]);
    }

    /// Horizontal grid lines with labels to the left.
    pub(super) fn y_axis(&self, canvas: &Canvas<'_>, ticks: &Ticks) {
        let frame = &self.frame;
        for (value, label) in ticks.values.iter().zip(&ticks.labels) {
            let y = self.at_y(*value);
            canvas.line(Ink::Grid, 1.0, [(frame.left, y), (frame.right, y)]);
            canvas.small(Ink::Soft, Side::End, (frame.left - 7.0, y), label);
        }
    }

    /// The name of the horizontal axis, under its labels and at its right end.
    pub(super) fn x_name(&self, canvas: &Canvas<'_>, name: &str) {
        canvas.small(Ink::Soft, Side::End, (self.frame.right, self.frame.bottom + 29.0), name);
    }

    /// The name of the vertical axis, above the panel: read without turning the head.
    pub(super) fn y_name(&self, canvas: &Canvas<'_>, name: &str) {
        canvas.small(Ink::Soft, Side::Start, (self.frame.left, self.frame.top - 11.0), name);
    }

    /// A series over time: split at missing values, thinned, cut at the frame. Lone points become dots.
    pub(super) fn series(&self, canvas: &Canvas<'_>, ink: Ink, width: f64, points: &[(f64, f64)]) {
        for run in runs(points) {
            let spots: Vec<Spot> = thin::series(run, MOST_POINTS).into_iter().map(|p| self.at(p)).collect();
            if let [only] = spots.as_slice()
                && self.frame.holds(*only)
            {
                canvas.marker(ink, super::canvas::Shape::Disc, *only, width);
            }
            for part in inside(&self.frame, &spots) {
                canvas.line(ink, width, part);
            }
        }
    }

    /// A path in the plane: split, thinned by distance, cut at the frame.
    pub(super) fn path(&self, canvas: &Canvas<'_>, ink: Ink, width: f64, points: &[(f64, f64)]) {
        for run in runs(points) {
            let spots: Vec<Spot> = run.iter().map(|p| self.at(*p)).collect();
            for part in inside(&self.frame, &thin::path(&spots, 0.35, MOST_POINTS)) {
                canvas.line(ink, width, part);
            }
        }
    }

    /// A band between two values over time: `(x, low, high)`, split at missing values. The band ends at the frame.
    pub(super) fn band(&self, canvas: &Canvas<'_>, ink: Ink, opacity: f64, points: &[(f64, f64, f64)]) {
        for run in points.split(|p| !(p.0.is_finite() && p.1.is_finite() && p.2.is_finite())) {
            let low: Vec<_> = run.iter().map(|p| (p.0, p.1)).collect();
            let high: Vec<_> = run.iter().map(|p| (p.0, p.2)).collect();
            let edge = |line: &[(f64, f64)]| -> Vec<Spot> {
                thin::series(line, MOST_POINTS / 2).into_iter().map(|p| self.clamped(p)).collect()
            };
            canvas.area(ink, opacity, edge(&high).into_iter().chain(edge(&low).into_iter().rev()));
        }
    }

    /// A vertical stripe between two times, as far as it lies in the panel.
    pub(super) fn stripe(&self, canvas: &Canvas<'_>, ink: Ink, opacity: f64, from: f64, to: f64) {
        let (a, b) = (self.clamped((from, self.y.0)).0, self.clamped((to, self.y.0)).0);
        if b > a {
            canvas.block(ink, opacity, (a, self.frame.top), (b, self.frame.bottom));
        }
    }

    /// The spot of a value, moved onto the edge of the frame when it lies outside. For areas only.
    fn clamped(&self, point: (f64, f64)) -> Spot {
        let (x, y) = self.at(point);
        (x.clamp(self.frame.left, self.frame.right), y.clamp(self.frame.top, self.frame.bottom))
    }
}
