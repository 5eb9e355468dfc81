//! A column's name, taken to pieces: what it is called, and its unit.

use super::units::Dimension;

/// The pieces of a name.
#[derive(Debug, PartialEq)]
pub(super) struct Name {
    /// Letters and digits in lower case, the unit taken off.
    pub(super) letters: String,
    /// In lower case.
    pub(super) unit: Option<String>,
}

impl Name {
    /// `Speed (km/h)`, `alt [ft]`, `gs_mps`, `accel_x_m_s2`: the unit stands in brackets, or is as many of the last words
    /// as make one.
    pub(super) fn parse(name: &str, dimensions: &[Dimension]) -> Self {
        let lower = plain(name.trim().trim_matches('"'));
        if let Some((words, unit)) = lower.split_once(['(', '[']) {
            let unit = unit.trim_end_matches([')', ']', ' ']).trim();
            // `loggingTime(txt)` and the like name a kind, not a unit.
            let unit = (!unit.is_empty() && unit != "txt").then(|| unit.to_owned());
            return Self { letters: letters(words), unit };
        }
        let parts: Vec<&str> = lower.split(['_', ' ', '-', '.']).filter(|part| !part.is_empty()).collect();
        let ends_as_unit = |at: &usize| parts.get(*at..).is_some_and(|tail| is_unit(&tail.join("_"), dimensions));
        match (1..parts.len()).find(ends_as_unit).and_then(|at| parts.split_at_checked(at)) {
            Some((words, unit)) => Self { letters: letters(&words.concat()), unit: Some(unit.join("_")) },
            None => Self { letters: letters(&lower), unit: None },
        }
    }
}

/// As units and names are compared: lower case, and one of the two signs for micro.
pub(super) fn plain(text: &str) -> String {
    text.trim().to_lowercase().replace('μ', "µ")
}

fn letters(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).collect()
}

/// A `z` at the end is an axis before it is a time zone.
fn is_unit(tail: &str, dimensions: &[Dimension]) -> bool {
    tail != "z" && dimensions.iter().any(|dimension| dimension.scale(tail).is_some())
}
