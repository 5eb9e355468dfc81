//! A chart as a file that stands alone: its headline and subtitle are drawn over it, on white paper.

use super::Chart;
use super::svg::{UNITS, escape};
use std::fmt::Write;

/// Letters of a headline and of a subtitle that find room on a line of the usual width.
const HEADLINE_LETTERS: usize = 84;
const SUBTITLE_LETTERS: usize = 118;
/// Size of their letters and step from line to line, in units of layout.
const HEADLINE: (f64, f64) = (15.0, 20.0);
const SUBTITLE: (f64, f64) = (11.5, 16.0);
const MARGIN: f64 = 10.0;

impl Chart {
    /// The whole SVG file. It needs no style sheet and fetches nothing.
    pub fn standalone(&self) -> String {
        let headline = lines(&self.headline, HEADLINE_LETTERS);
        let subtitle = lines(&self.subtitle, SUBTITLE_LETTERS);
        let above = MARGIN + HEADLINE.1 * headline.len() as f64 + SUBTITLE.1 * subtitle.len() as f64 + MARGIN;
        let Some((width, height)) = size(&self.svg) else { return self.svg.clone() };
        let (old, new) = (height, height + above);
        let widened = self.svg.replacen(&format!(" height=\"{old}\""), &format!(" height=\"{new}\""), 1).replacen(
            &format!("viewBox=\"0 0 {} {}\"", width * UNITS, height * UNITS),
            &format!("viewBox=\"0 {} {} {}\"", -above * UNITS, width * UNITS, new * UNITS),
            1,
        );
        let mut words = format!(
            "<rect x=\"0\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>\n",
            -above * UNITS,
            width * UNITS,
            new * UNITS
        );
        let mut y = MARGIN - above;
        let set = [(&headline, HEADLINE, "bold", "#1b1b1b"), (&subtitle, SUBTITLE, "normal", "#595959")];
        for (lines, (letters, step), weight, colour) in set {
            for line in lines {
                y += step;
                // Writing to a string cannot fail.
                let _ = writeln!(
                    words,
                    "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"start\" font-weight=\"{weight}\" fill=\"{colour}\">{}</text>",
                    8.0 * UNITS,
                    (y - 0.3 * step) * UNITS,
                    letters * UNITS,
                    escape(line)
                );
            }
        }
        let after_description = widened.find("</desc>\n").map_or(0, |at| at + "</desc>\n".len());
        let (head, drawing) = widened.split_at(after_description);
        format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{head}{words}{drawing}")
    }
}

/// Width and height in units of layout.
fn size(svg: &str) -> Option<(f64, f64)> {
    let number = |name: &str| svg.split_once(&format!(" {name}=\""))?.1.split_once('"')?.0.parse().ok();
    Some((number("width")?, number("height")?))
}

/// Words in lines of at most so many letters; a longer word stands alone.
fn lines(words: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
