//! How numbers are written: with a point or with a comma.
//!
//! The pages of the report are made with a decimal point. Where the reader likes a comma, the finished text is gone over
//! once: between two digits a point becomes a comma, in what is read and nowhere else (no tags, no fields, no code, no
//! file names, no versions).

use maud::{Markup, PreEscaped};

/// The decimal sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Numbers {
    /// 1.5
    #[default]
    Point,
    /// 1,5
    Comma,
}

/// Elements whose text is kept as it is.
const KEPT: [&str; 5] = ["code", "style", "script", "textarea", "option"];

impl Numbers {
    pub(crate) const ALL: [(Self, &str, &str); 2] = [(Self::Point, "point", "1.5"), (Self::Comma, "comma", "1,5")];

    pub(crate) fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, own, _)| *own == name).map(|(numbers, ..)| *numbers)
    }

    /// The markup with its numbers written so.
    pub(crate) fn apply(self, markup: Markup) -> Markup {
        match self {
            Self::Point => markup,
            Self::Comma => PreEscaped(with_commas(&markup.0)),
        }
    }
}

fn with_commas(markup: &str) -> String {
    let mut out = String::with_capacity(markup.len());
    let mut rest = markup;
    let mut kept: Option<&str> = None;
    while let Some(open) = rest.find('<') {
        let (text, tag_on) = rest.split_at(open);
        write_text(&mut out, text, kept.is_some());
        let Some(close) = tag_on.find('>') else {
            out.push_str(tag_on);
            return out;
        };
        let (tag, after) = tag_on.split_at(close + 1);
        let name =
            tag.trim_start_matches(['<', '/']).split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default();
        match kept {
            Some(within) if tag.starts_with("</") && name == within => kept = None,
            None if !tag.starts_with("</") => kept = KEPT.iter().find(|own| **own == name).copied(),
            _ => {}
        }
        out.push_str(tag);
        rest = after;
    }
    write_text(&mut out, rest, kept.is_some());
    out
}

fn write_text(out: &mut String, text: &str, as_it_is: bool) {
    if as_it_is {
        out.push_str(text);
        return;
    }
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        write_word(out, word);
    }
}

/// A word that holds one point between digits and no letter before it is a number; "v1.2.3", "log.1.igc" and dates are not.
fn write_word(out: &mut String, word: &str) {
    let number = |c: char| c.is_ascii_digit() || "+-−±°()[]%.,:;/≥≤<>&~≈\u{a0}…".contains(c);
    let letters_after_point =
        word.split_once('.').is_some_and(|(_, after)| after.starts_with(|c: char| c.is_ascii_alphabetic()));
    let points_in_row = word
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .any(|run| run.matches('.').count() > 1 && !run.ends_with('.'));
    let begins = word
        .find(|c: char| c.is_ascii_digit())
        .is_some_and(|at| word.get(..at).is_some_and(|before| before.chars().all(number)));
    if letters_after_point || points_in_row || !begins {
        out.push_str(word);
        return;
    }
    let mut before = ' ';
    let mut chars = word.chars().peekable();
    while let Some(c) = chars.next() {
        let between = c == '.' && before.is_ascii_digit() && chars.peek().is_some_and(char::is_ascii_digit);
        out.push(if between { ',' } else { c });
        before = c;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_are_read_get_the_comma() {
        for (point, comma) in [
            (
                "<p>turns left at 1.83 ± 0.28\u{a0}°/s (2 windows).</p>",
                "<p>turns left at 1,83 ± 0,28\u{a0}°/s (2 windows).</p>",
            ),
            ("<td>−1.5 [−2.25, 0.5]</td>", "<td>−1,5 [−2,25, 0,5]</td>"),
            ("<p>At 2.5. Then</p>", "<p>At 2,5. Then</p>"),
        ] {
            assert_eq!(with_commas(point), comma);
        }
    }

    #[test]
    fn what_is_no_number_stays() {
        for same in [
            "<p>driftless v0.1.0</p>",
            "<p>0.1.0</p>",
            "<svg viewBox=\"0 0 1.5 2.5\"><path d=\"M1.5 2.5\"/></svg>",
            "<code>limit=1.5</code>",
            "<textarea>1.5</textarea>",
            "<p>flight-1.5.igc ridge.2.igc</p>",
            "<p>127.0.0.1</p>",
            "<p>a < b",
        ] {
            assert_eq!(with_commas(same), same);
        }
    }
}
