//! Makes the SVG of plotters fit to be read: it scales, has a title and a description, and obeys a style sheet.

use super::ink::Ink;
use driftless_units::printable_lines;
use std::fmt::Write;

/// Drawing units for one unit of layout: plotters knows whole units only, so charts are drawn large and scaled.
pub(super) const UNITS: f64 = 4.0;

/// What a screen reader says, and the size in units of layout.
pub(super) struct Frame<'a> {
    /// Identifier, unique in the page.
    pub(super) id: &'a str,
    /// Short title.
    pub(super) title: &'a str,
    /// What is to be seen.
    pub(super) description: &'a str,
    /// Width in units of layout.
    pub(super) width: f64,
    /// Height in units of layout.
    pub(super) height: f64,
}

/// The finished SVG element from what plotters wrote.
pub(super) fn finish(raw: &str, frame: &Frame<'_>) -> String {
    let mut out = String::with_capacity(raw.len() + 1024);
    let id = frame.id;
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<svg class=\"chart\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" \
         viewBox=\"0 0 {vw} {vh}\" preserveAspectRatio=\"xMinYMin meet\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
         font-family=\"system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif\" \
         stroke-linejoin=\"round\">\n<title id=\"{id}-title\">{title}</title>\n<desc id=\"{id}-desc\">{desc}</desc>\n",
        w = frame.width,
        h = frame.height,
        vw = frame.width * UNITS,
        vh = frame.height * UNITS,
        title = escape(frame.title),
        desc = escape(frame.description),
    );
    let mut lines = raw.lines().peekable();
    while let Some(line) = lines.next() {
        let line = line.trim();
        if line.is_empty() || line.starts_with("<svg") || line.starts_with("</svg") || line.starts_with("<?xml") {
            continue;
        }
        if line.starts_with("<text") {
            // plotters sets the words on lines of their own; the line breaks would become blanks beside them.
            let mut words = String::new();
            for inner in lines.by_ref() {
                if inner.trim_start().starts_with("</text") {
                    break;
                }
                words.push_str(inner.trim());
            }
            out.push_str(&element(line));
            out.push_str(&words);
            out.push_str("</text>\n");
        } else {
            out.push_str(&element(line));
            out.push('\n');
        }
    }
    out.push_str("</svg>\n");
    out
}

/// One start tag with inks resolved and noise removed.
fn element(tag: &str) -> String {
    let mut tag = tag
        .replace(" opacity=\"1\"", "")
        .replace("dy=\"0.5ex\"", "dy=\"0.35em\"")
        .replace(" \"/>", "\"/>")
        .replace(" font-family=\"sans-serif\"", "");
    for ink in Ink::ALL {
        let key = ink.key();
        let hex = format!("#{:02X}{:02X}{:02X}", key.0, key.1, key.2);
        if !tag.contains(&hex) {
            continue;
        }
        let dashes = ink.dashes().map_or(String::new(), |d| format!(" stroke-dasharray=\"{d}\""));
        let (class, colour) = (ink.class(), ink.colour());
        tag = tag
            .replace(&format!("stroke=\"{hex}\""), &format!("class=\"s-{class}\" stroke=\"{colour}\"{dashes}"))
            .replace(&format!("fill=\"{hex}\""), &format!("class=\"f-{class}\" fill=\"{colour}\""));
    }
    round_font_size(&tag)
}

/// plotters divides font sizes by 1.24; the quotient comes out with sixteen digits.
fn round_font_size(tag: &str) -> String {
    const NAME: &str = "font-size=\"";
    let Some((before, rest)) = tag.split_once(NAME) else { return tag.to_owned() };
    let Some((number, after)) = rest.split_once('"') else { return tag.to_owned() };
    match number.parse::<f64>() {
        Ok(size) => format!("{before}{NAME}{:.0}\"{after}", size.round()),
        Err(_) => tag.to_owned(),
    }
}

/// Text as XML character data on one line, with whatever would act on the page made visible (XML 1.0 allows none of
/// it); two code points that are no characters are left out.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in printable_lines(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' => out.push(' '),
            '\u{fffe}' | '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ink_becomes_a_class_with_its_colour_behind_it() {
        let tag =
            element("<line opacity=\"1\" stroke=\"#01A505\" stroke-width=\"4\" x1=\"0\" y1=\"1\" x2=\"2\" y2=\"3\"/>");
        assert_eq!(
            tag,
            "<line class=\"s-ground\" stroke=\"#D55E00\" stroke-dasharray=\"24 14\" stroke-width=\"4\" x1=\"0\" \
             y1=\"1\" x2=\"2\" y2=\"3\"/>"
        );
    }

    #[test]
    fn characters_that_break_xml_are_escaped_or_left_out() {
        assert_eq!(escape("a<b & \"c\"\u{8}\u{ffff}>"), "a&lt;b &amp; &quot;c&quot;\\u{8}&gt;");
    }

    #[test]
    fn font_sizes_are_whole() {
        assert_eq!(round_font_size("<text font-size=\"47.99999\" x=\"1\">"), "<text font-size=\"48\" x=\"1\">");
    }
}
