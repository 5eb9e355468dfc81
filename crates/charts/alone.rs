//! A chart as a file that stands alone: its headline and subtitle are drawn over it, on white paper.

use super::Chart;
use super::svg::{UNITS, escape};
use std::fmt::Write;

/// Width of most charts, in units of layout.
const USUAL_WIDTH: f64 = 760.0;
/// Letters of a headline and of a subtitle that find room on a line of that width.
const HEADLINE_LETTERS: usize = 84;
const SUBTITLE_LETTERS: usize = 118;
/// Size of their letters and step from line to line, in units of layout.
const HEADLINE: (f64, f64) = (15.0, 20.0);
const SUBTITLE: (f64, f64) = (11.5, 16.0);
const MARGIN: f64 = 10.0;

impl Chart {
    /// The whole SVG file. It needs no style sheet and fetches nothing.
    pub fn standalone(&self) -> String {
        let Some((width, height)) = size(&self.svg) else { return self.svg.clone() };
        let room = |letters: usize| (letters as f64 * width / USUAL_WIDTH) as usize;
        let headline = lines(&self.headline, room(HEADLINE_LETTERS));
        let subtitle = lines(&self.subtitle, room(SUBTITLE_LETTERS));
        let above = MARGIN + HEADLINE.1 * headline.len() as f64 + SUBTITLE.1 * subtitle.len() as f64 + MARGIN;
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A chart of half the width has lines of half as many letters: else they run out of the picture.
    #[test]
    fn regression_the_headline_of_a_narrow_chart_stays_inside_it() {
        let headline = "Offset hang points on the wing: a setting of 26 mm leaves least of it all".to_owned();
        let of = |width: f64| Chart {
            id: "chart".to_owned(),
            headline: headline.clone(),
            subtitle: String::new(),
            svg: format!(
                "<svg width=\"{width}\" height=\"100\" viewBox=\"0 0 {} {}\"></svg>",
                width * UNITS,
                100.0 * UNITS
            ),
            narrow: None,
        };
        let longest = |chart: &Chart| {
            let svg = chart.standalone();
            let words =
                svg.split("</text>").filter_map(|text| text.rsplit_once('>')).map(|(_, words)| words.chars().count());
            words.max().unwrap_or_default()
        };
        assert_eq!(longest(&of(USUAL_WIDTH)), headline.chars().count());
        let narrow = longest(&of(0.5 * USUAL_WIDTH));
        assert!(narrow > 20 && narrow <= HEADLINE_LETTERS / 2, "{narrow} letters");
    }
}
