//! A plain figure: lines with markers and error bars, or steps, over two axes. For charts of anything that is no
//! flight, such as the validation runs.

use super::Chart;
use super::canvas::{Canvas, Caption, Shape, Side, chart};
use super::clip::Frame;
use super::ink::Ink;
use super::plot::Panel;
use super::ticks::{Ticks, decimal, extent, sane_range};

const SIZE: (f64, f64) = (760.0, 400.0);
const FRAME: Frame = Frame { left: 64.0, top: 46.0, right: 560.0, bottom: 354.0 };

/// A figure.
#[derive(Debug, Clone)]
pub struct Figure {
    /// Identifier, unique in a page.
    pub id: String,
    /// States the finding.
    pub headline: String,
    /// States the quantity.
    pub subtitle: String,
    /// Says what is to be seen, for those who cannot see it.
    pub description: String,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
    /// What is drawn, in this order.
    pub series: Vec<Series>,
}

/// An axis.
#[derive(Debug, Clone)]
pub struct Axis {
    /// Name with unit.
    pub name: String,
    /// Logarithmic.
    pub log: bool,
    /// Values at both ends; from the data when absent.
    pub range: Option<(f64, f64)>,
    /// Where it is labelled; round numbers when empty.
    pub ticks: Vec<f64>,
}

/// One line.
#[derive(Debug, Clone)]
pub struct Series {
    /// Its label, at its right end; none when empty.
    pub label: String,
    /// How it is drawn.
    pub style: SeriesStyle,
    /// Values in the order of x: `(x, y, half-width of the error bar)`.
    pub points: Vec<(f64, f64, f64)>,
}

/// How a line is drawn; told apart by colour and by marker or dash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeriesStyle {
    /// Blue discs.
    First,
    /// Vermillion diamonds.
    Second,
    /// Purple triangles.
    Third,
    /// A dotted line of reference without markers.
    Reference,
    /// A grey line without markers.
    Context,
}

impl SeriesStyle {
    const fn ink(self) -> Ink {
        match self {
            Self::First => Ink::Air,
            Self::Second => Ink::GroundSolid,
            Self::Third => Ink::Second,
            Self::Reference => Ink::Reference,
            Self::Context => Ink::Context,
        }
    }

    const fn shape(self) -> Option<Shape> {
        match self {
            Self::First => Some(Shape::Disc),
            Self::Second => Some(Shape::Diamond),
            Self::Third => Some(Shape::Triangle),
            Self::Reference | Self::Context => None,
        }
    }
}

/// Draws a figure.
pub fn figure(figure: &Figure) -> Chart {
    figure_with(figure, |_, _| {})
}

/// Draws a figure, and on it what `annotate` adds; the panel's values are logarithms where an axis is logarithmic.
pub(super) fn figure_with(figure: &Figure, annotate: impl FnOnce(&Canvas<'_>, &Panel)) -> Chart {
    let caption = Caption {
        id: figure.id.clone(),
        headline: figure.headline.clone(),
        subtitle: figure.subtitle.clone(),
        description: figure.description.clone(),
    };
    chart(caption, SIZE, |canvas| {
        let panel = paint(canvas, figure);
        annotate(canvas, &panel);
    })
}

impl Axis {
    /// A value as it is drawn.
    fn place(&self, value: f64) -> f64 {
        if self.log { value.log10() } else { value }
    }

    fn ends(&self, values: impl Iterator<Item = f64>) -> (f64, f64) {
        let (low, high) = self.range.or_else(|| extent(values)).unwrap_or((0.0, 1.0));
        let (low, high) = sane_range(self.place(low), self.place(high), if self.log { 0.1 } else { 1e-6 });
        let margin = if self.range.is_some() { 0.0 } else { 0.04 * (high - low) };
        (low - margin, high + margin)
    }

    fn labelled(&self, (low, high): (f64, f64), about: f64) -> Ticks {
        if self.ticks.is_empty() && !self.log {
            return decimal(low, high, about);
        }
        let values: Vec<f64> = if self.ticks.is_empty() {
            (low.floor() as i32..=high.ceil() as i32).map(|power| 10f64.powi(power)).collect()
        } else {
            self.ticks.clone()
        };
        // A tick beyond the ends would be drawn outside the frame.
        let values: Vec<f64> = values.into_iter().filter(|v| (low..=high).contains(&self.place(*v))).collect();
        Ticks {
            labels: values.iter().map(f64::to_string).collect(),
            values: values.into_iter().map(|v| self.place(v)).collect(),
        }
    }
}

fn paint(canvas: &Canvas<'_>, figure: &Figure) -> Panel {
    let all = || figure.series.iter().flat_map(|s| &s.points);
    let positive = |v: f64| if figure.y.log && v <= 0.0 { f64::NAN } else { v };
    let x = figure.x.ends(all().map(|p| p.0));
    let y = figure.y.ends(all().flat_map(|p| [positive(p.1 - p.2), p.1 + p.2]));
    let panel = Panel { frame: FRAME, x, y };
    panel.x_axis(canvas, &figure.x.labelled(x, 8.0), true);
    panel.y_axis(canvas, &figure.y.labelled(y, 7.0));
    panel.x_name(canvas, &figure.x.name);
    panel.y_name(canvas, &figure.y.name);
    let mut labels: Vec<(f64, &Series)> = Vec::new();
    for series in &figure.series {
        let ink = series.style.ink();
        let place = |x: f64, y: f64| (figure.x.place(x), figure.y.place(y));
        let line: Vec<_> = series.points.iter().map(|p| place(p.0, p.1)).collect();
        panel.path(canvas, ink, 1.8, &line);
        for (x, y, half) in series.points.iter().copied() {
            let at = panel.at(place(x, y));
            let ends = [place(x, positive(y - half)), place(x, y + half)].map(|p| panel.at(p));
            if half > 0.0 && panel.frame.holds(at) {
                canvas.line(ink, 1.4, ends.map(|e| (e.0, e.1.clamp(FRAME.top, FRAME.bottom))));
            }
            if let Some(shape) = series.style.shape().filter(|_| panel.frame.holds(at)) {
                canvas.marker(ink, shape, at, 4.0);
            }
        }
        if !series.label.is_empty() {
            labels.extend(line.last().map(|last| (panel.at_y(last.1), series)));
        }
    }
    write_labels(canvas, labels);
    panel
}

/// Labels beside the right ends of the lines, moved apart where they would lie on each other.
fn write_labels(canvas: &Canvas<'_>, mut labels: Vec<(f64, &Series)>) {
    const APART: f64 = 17.0;
    labels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut lowest = f64::NEG_INFINITY;
    for (y, _) in &mut labels {
        *y = y.clamp(FRAME.top, FRAME.bottom).max(lowest + APART);
        lowest = *y;
    }
    let over = (lowest - FRAME.bottom).max(0.0);
    for (y, series) in labels {
        let x = FRAME.right + 10.0;
        if let Some(shape) = series.style.shape() {
            canvas.marker(series.style.ink(), shape, (x + 4.0, y - over), 4.0);
        } else {
            canvas.line(series.style.ink(), 1.8, [(x - 3.0, y - over), (x + 11.0, y - over)]);
        }
        canvas.small(Ink::Text, Side::Start, (x + 17.0, y - over), &series.label);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(x: Axis, y: Axis, points: Vec<(f64, f64, f64)>) -> String {
        let series = vec![Series { label: "one".to_owned(), style: SeriesStyle::First, points }];
        figure(&Figure {
            id: "f".to_owned(),
            headline: "It is so".to_owned(),
            subtitle: String::new(),
            description: String::new(),
            x,
            y,
            series,
        })
        .svg
    }

    fn plain(name: &str) -> Axis {
        Axis { name: name.to_owned(), log: false, range: None, ticks: Vec::new() }
    }

    /// Every coordinate of the drawing lies on the sheet, whatever the data.
    #[test]
    fn nothing_is_drawn_off_the_sheet() {
        let log = |ticks: &[f64]| Axis { log: true, ticks: ticks.to_vec(), ..plain("log") };
        let odd = vec![(1.0, 0.0, 1.0), (2.0, f64::NAN, 0.0), (10.0, 0.3, 0.5), (100.0, 5.0, 0.0)];
        for (x, y) in [
            (plain("x"), plain("y")),
            (log(&[0.1, 1.0, 10.0, 1000.0]), log(&[1e-3, 0.1, 1.0, 1e3])),
            (log(&[]), log(&[])),
            (Axis { range: Some((0.0, 5.0)), ..plain("x") }, Axis { range: Some((0.0, 0.1)), ..plain("y") }),
        ] {
            let svg = drawn(x, y, odd.clone());
            for (name, most) in
                [(" x=\"", 4.0 * SIZE.0), (" y=\"", 4.0 * SIZE.1), ("cx=\"", 4.0 * SIZE.0), ("cy=\"", 4.0 * SIZE.1)]
            {
                for value in svg.split(name).skip(1).filter_map(|rest| rest.split('"').next()) {
                    let value: f64 = value.parse().expect("a number");
                    assert!((0.0..=most).contains(&value), "{name}{value} in {svg}");
                }
            }
        }
    }

    #[test]
    fn ticks_outside_the_frame_are_left_out() {
        let axis = Axis { log: true, ticks: vec![0.01, 0.1, 1.0, 10.0], ..plain("y") };
        let svg = drawn(plain("x"), axis, vec![(0.0, 0.05, 0.0), (1.0, 2.0, 0.0)]);
        assert!(svg.contains(">0.1<") && svg.contains(">1<") && !svg.contains(">0.01<") && !svg.contains(">10<"));
    }
}
