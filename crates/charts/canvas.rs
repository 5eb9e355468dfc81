//! A sheet to draw on, in units of layout; plotters does the drawing, four times as large.

use super::Chart;
use super::ink::Ink;
use super::svg::{Frame, UNITS, finish};
use driftless_units::printable;
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// A point in units of layout: right and down from the upper left corner.
pub(super) type Spot = (f64, f64);

/// Size of ordinary text in units of layout.
pub(super) const TEXT: f64 = 12.5;
/// Size of small text.
pub(super) const SMALL: f64 = 11.5;
/// Where a text stands relative to its spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// Begins at the spot.
    Start,
    /// Is centred on the spot.
    Middle,
    /// Ends at the spot.
    End,
}

/// Shape of a marker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// Filled circle.
    Disc,
    /// Open diamond.
    Diamond,
    /// Filled triangle.
    Triangle,
    /// A cross of two strokes.
    Cross,
    /// Open circle.
    Ring,
    /// Filled square.
    Square,
}

/// The sheet.
pub(super) struct Canvas<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
}

/// What is written around a drawing.
pub(super) struct Caption {
    /// Identifier, unique in the page.
    pub(super) id: String,
    /// States the finding.
    pub(super) headline: String,
    /// States the quantity.
    pub(super) subtitle: String,
    /// Says what is to be seen, for those who cannot see it.
    pub(super) description: String,
}

/// Draws a chart of this size.
pub(super) fn chart(caption: Caption, (width, height): (f64, f64), paint: impl FnOnce(&Canvas<'_>)) -> Chart {
    let mut raw = String::new();
    {
        let size = (whole(width).unsigned_abs(), whole(height).unsigned_abs());
        let canvas = Canvas { area: SVGBackend::with_string(&mut raw, size).into_drawing_area() };
        paint(&canvas);
        // Drawing into a string cannot fail.
        let _ = canvas.area.present();
    }
    let frame = Frame { id: &caption.id, title: &caption.headline, description: &caption.description, width, height };
    let svg = finish(&raw, &frame);
    Chart { id: caption.id, headline: caption.headline, subtitle: caption.subtitle, svg, narrow: None }
}

/// A chart for a wide sheet and for a phone held upright: `draw` draws either, its caption is the same but for the ids.
pub(super) fn for_both<Sheet>(
    sheets: [&Sheet; 2],
    draw: impl Fn(&Sheet, &dyn Fn(Caption) -> Caption) -> Chart,
) -> Chart {
    let [wide, phone] = sheets;
    let narrow = draw(phone, &|caption| Caption { id: format!("{}-narrow", caption.id), ..caption }).svg;
    Chart { narrow: Some(narrow), ..draw(wide, &|caption| caption) }
}

/// Drawing units; anything that is not a sane coordinate lands at the border rather than in an overflow.
fn whole(layout: f64) -> i32 {
    (layout * UNITS).round().clamp(-100_000.0, 100_000.0) as i32
}

fn at(spot: Spot) -> (i32, i32) {
    (whole(spot.0), whole(spot.1))
}

fn stroke(ink: Ink, width: f64) -> ShapeStyle {
    ShapeStyle { color: ink.key().to_rgba(), filled: false, stroke_width: whole(width).unsigned_abs().max(1) }
}

fn fill(ink: Ink, opacity: f64) -> ShapeStyle {
    ShapeStyle { color: ink.key().mix(opacity), filled: true, stroke_width: 0 }
}

impl Canvas<'_> {
    // Every drawing call writes into a string, which cannot fail: results are let go on purpose.

    /// A line through all spots.
    pub(super) fn line(&self, ink: Ink, width: f64, spots: impl IntoIterator<Item = Spot>) {
        let spots: Vec<_> = spots.into_iter().filter(|s| s.0.is_finite() && s.1.is_finite()).map(at).collect();
        if spots.len() > 1 {
            let _ = self.area.draw(&PathElement::new(spots, stroke(ink, width)));
        }
    }

    /// A filled shape.
    pub(super) fn area(&self, ink: Ink, opacity: f64, spots: impl IntoIterator<Item = Spot>) {
        let spots: Vec<_> = spots.into_iter().filter(|s| s.0.is_finite() && s.1.is_finite()).map(at).collect();
        if spots.len() > 2 {
            let _ = self.area.draw(&Polygon::new(spots, fill(ink, opacity)));
        }
    }

    /// A filled rectangle between two corners.
    pub(super) fn block(&self, ink: Ink, opacity: f64, from: Spot, to: Spot) {
        let _ = self.area.draw(&Rectangle::new([at(from), at(to)], fill(ink, opacity)));
    }

    /// The outline of a rectangle.
    pub(super) fn outline(&self, ink: Ink, width: f64, from: Spot, to: Spot) {
        self.line(ink, width, [from, (to.0, from.1), to, (from.0, to.1), from]);
    }

    /// A marker.
    pub(super) fn marker(&self, ink: Ink, shape: Shape, centre: Spot, radius: f64) {
        let (x, y) = centre;
        let r = radius;
        if !(x.is_finite() && y.is_finite()) {
            return;
        }
        match shape {
            Shape::Disc => {
                let _ = self.area.draw(&Circle::new(at(centre), whole(r), fill(ink, 1.0)));
            }
            Shape::Ring => {
                let _ = self.area.draw(&Circle::new(at(centre), whole(r), fill(Ink::Paper, 1.0)));
                let _ = self.area.draw(&Circle::new(at(centre), whole(r), stroke(ink, 1.6)));
            }
            Shape::Diamond => {
                let r = r * 1.25;
                let corners = [(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
                self.area(Ink::Paper, 1.0, corners);
                self.line(ink, 1.6, corners.into_iter().chain([corners[0], corners[1]]));
            }
            Shape::Triangle => {
                let r = r * 1.2;
                self.area(ink, 1.0, [(x, y - r), (x + 0.95 * r, y + 0.75 * r), (x - 0.95 * r, y + 0.75 * r)]);
            }
            Shape::Square => self.block(ink, 1.0, (x - 0.85 * r, y - 0.85 * r), (x + 0.85 * r, y + 0.85 * r)),
            Shape::Cross => {
                let r = 0.9 * r;
                self.line(ink, 2.0, [(x - r, y - r), (x + r, y + r)]);
                self.line(ink, 2.0, [(x - r, y + r), (x + r, y - r)]);
            }
        }
    }

    /// An arrow with a filled head at its end.
    pub(super) fn arrow(&self, ink: Ink, width: f64, from: Spot, to: Spot) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        if !length.is_finite() || length < 0.5 {
            return;
        }
        let (ux, uy) = (dx / length, dy / length);
        let head = (4.0 * width + 3.0).min(length);
        let base = (to.0 - head * ux, to.1 - head * uy);
        self.line(ink, width, [from, (to.0 - 0.8 * head * ux, to.1 - 0.8 * head * uy)]);
        let half = 0.42 * head;
        self.area(ink, 1.0, [to, (base.0 - half * uy, base.1 + half * ux), (base.0 + half * uy, base.1 - half * ux)]);
    }

    /// Words in ordinary size, centred in height on the spot.
    pub(super) fn text(&self, ink: Ink, side: Side, spot: Spot, words: &str) {
        self.words(ink, side, spot, words, TEXT, FontStyle::Normal);
    }
    /// Words in small size.
    pub(super) fn small(&self, ink: Ink, side: Side, spot: Spot, words: &str) {
        self.words(ink, side, spot, words, SMALL, FontStyle::Normal);
    }
    /// Bold words in ordinary size.
    pub(super) fn bold(&self, ink: Ink, side: Side, spot: Spot, words: &str) {
        self.words(ink, side, spot, words, TEXT, FontStyle::Bold);
    }

    fn words(&self, ink: Ink, side: Side, spot: Spot, words: &str, size: f64, weight: FontStyle) {
        let horizontal = match side {
            Side::Start => HPos::Left,
            Side::Middle => HPos::Center,
            Side::End => HPos::Right,
        };
        // plotters shrinks font sizes by 1.24 on the way into SVG.
        let font = FontDesc::new(FontFamily::SansSerif, size * UNITS * 1.24, weight);
        let colour = ink.key();
        let style = TextStyle::from(font).color(&colour).pos(Pos::new(horizontal, VPos::Center));
        let clean = printable(words);
        let _ = self.area.draw(&Text::new(clean.as_ref(), at(spot), style));
    }
}
