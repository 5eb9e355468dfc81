//! How much is taken in: limits that no flight log, sensor file or campaign comes near, so that a file that is none of
//! these ends in words and not in a machine without memory. All of them in one record; each can be raised.

use std::fmt;
use thiserror::Error;

/// What is limited. Each figure is engineering judgement unless it says otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum InputLimit {
    /// Bytes of a log or an inertial file, as given and unpacked. A day at 10 Hz in wordy GPX is about 300 MB, four
    /// hours at 200 Hz of nine columns about as much.
    Bytes,
    /// Bytes of a text that people write: marks, column mappings, campaign files, sheets, scenarios.
    TextBytes,
    /// Fixes of a log. A day at 20 Hz has 1.7 million.
    Fixes,
    /// Bytes of a line. Records of line-based formats have less than 200.
    LineBytes,
    /// Characters of a name, a note or any other text in a file.
    NameCharacters,
    /// Elements inside of each other in XML. GPX with extensions has about 8.
    XmlDepth,
    /// Attributes of a point in XML. GPX has 2.
    XmlAttributes,
    /// Problems kept of one file: kinds in a log (like ones are counted), faults in a campaign file.
    Problems,
    /// Flights and runs of a campaign, with its sheets.
    Runs,
    /// Seconds of a simulated flight: twelve hours.
    ScenarioSeconds,
}

impl InputLimit {
    /// All of them, in the order they are documented in.
    pub const ALL: [Self; 10] = [
        Self::Bytes,
        Self::TextBytes,
        Self::Fixes,
        Self::LineBytes,
        Self::NameCharacters,
        Self::XmlDepth,
        Self::XmlAttributes,
        Self::Problems,
        Self::Runs,
        Self::ScenarioSeconds,
    ];

    /// The name by which it is set.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bytes => "bytes",
            Self::TextBytes => "text-bytes",
            Self::Fixes => "fixes",
            Self::LineBytes => "line-bytes",
            Self::NameCharacters => "name-characters",
            Self::XmlDepth => "xml-depth",
            Self::XmlAttributes => "xml-attributes",
            Self::Problems => "problems",
            Self::Runs => "runs",
            Self::ScenarioSeconds => "scenario-seconds",
        }
    }

    /// What it counts, in words that follow a number.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bytes => "bytes in a log or inertial file",
            Self::TextBytes => "bytes in a text file (marks, mapping, campaign, sheet, scenario)",
            Self::Fixes => "fixes in a log",
            Self::LineBytes => "bytes in a line",
            Self::NameCharacters => "characters in a name or note",
            Self::XmlDepth => "elements inside of each other",
            Self::XmlAttributes => "attributes of a point",
            Self::Problems => "problems of one file",
            Self::Runs => "flights and runs in a campaign",
            Self::ScenarioSeconds => "seconds in a simulated flight",
        }
    }

    /// Where nobody says otherwise.
    pub const fn default_value(self) -> usize {
        match self {
            Self::Bytes => 400 << 20,
            Self::TextBytes => 16 << 20,
            Self::Fixes => 2_000_000,
            Self::LineBytes | Self::NameCharacters => 4096,
            Self::XmlDepth | Self::XmlAttributes => 256,
            Self::Problems => 200,
            Self::Runs => 100_000,
            Self::ScenarioSeconds => 43_200,
        }
    }
}

/// A value for each limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InputLimits([usize; InputLimit::ALL.len()]);

impl Default for InputLimits {
    fn default() -> Self {
        Self(InputLimit::ALL.map(InputLimit::default_value))
    }
}

impl InputLimits {
    /// The value of one.
    #[inline]
    pub fn of(&self, limit: InputLimit) -> usize {
        self.0.get(limit as usize).copied().unwrap_or(usize::MAX)
    }

    /// These with one set otherwise.
    #[must_use]
    pub fn with(mut self, limit: InputLimit, value: usize) -> Self {
        if let Some(place) = self.0.get_mut(limit as usize) {
            *place = value;
        }
        self
    }

    /// Refuses more than one of them allows; a place, where there is one, goes into the words.
    ///
    /// # Errors
    /// [`OverLimit`] when `count` is above it.
    #[inline]
    pub fn hold(&self, limit: InputLimit, count: usize, line: Option<u32>) -> Result<(), OverLimit> {
        if count > self.of(limit) { Err(self.over(limit, line)) } else { Ok(()) }
    }

    /// What is said where one of them is passed.
    pub fn over(&self, limit: InputLimit, line: Option<u32>) -> OverLimit {
        OverLimit { limit, allowed: self.of(limit), line }
    }
}

/// More than a limit allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "{}more than {} {}: the limit; if that is right, raise it with --limit {}=N",
    place(*line), Grouped(*allowed), limit.words(), limit.name()
)]
pub struct OverLimit {
    /// Which limit.
    pub limit: InputLimit,
    /// What it allows.
    pub allowed: usize,
    /// Line at which it was passed, from 1, where lines are known.
    pub line: Option<u32>,
}

fn place(line: Option<u32>) -> String {
    line.map(|line| format!("line {line}: ")).unwrap_or_default()
}

/// A whole number with a comma before each three digits.
#[derive(Debug, Clone, Copy)]
pub struct Grouped(pub usize);

impl fmt::Display for Grouped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = self.0.to_string();
        for (at, digit) in digits.chars().enumerate() {
            if at > 0 && (digits.len() - at).is_multiple_of(3) {
                f.write_str(",")?;
            }
            write!(f, "{digit}")?;
        }
        Ok(())
    }
}

/// One limit set: `fixes=5000000`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LimitSetting {
    /// Which.
    pub limit: InputLimit,
    /// To what.
    pub value: usize,
}

/// Why a limit cannot be set so.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("a limit is set as NAME=N with a whole number N above 0; names are {}", InputLimit::ALL.map(InputLimit::name).join(", "))]
pub struct LimitSettingError;

impl std::str::FromStr for LimitSetting {
    type Err = LimitSettingError;

    fn from_str(text: &str) -> Result<Self, LimitSettingError> {
        let (name, value) = text.split_once('=').ok_or(LimitSettingError)?;
        let limit = InputLimit::ALL.into_iter().find(|limit| limit.name() == name.trim()).ok_or(LimitSettingError)?;
        let value = value.trim().replace(['_', ','], "").parse().ok().filter(|value| *value > 0);
        Ok(Self { limit, value: value.ok_or(LimitSettingError)? })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_limit_has_a_place_of_its_own_and_holds_at_its_value() {
        for limit in InputLimit::ALL {
            let limits = InputLimits::default().with(limit, 7);
            assert_eq!([6, 7, 8].map(|count| limits.hold(limit, count, None).is_ok()), [true, true, false]);
            let others = InputLimit::ALL.into_iter().filter(|other| *other != limit);
            assert!(others.into_iter().all(|other| limits.of(other) == other.default_value()));
        }
    }

    #[test]
    fn a_limit_is_set_by_its_name() {
        assert_eq!("fixes=5,000,000".parse(), Ok(LimitSetting { limit: InputLimit::Fixes, value: 5_000_000 }));
        for wrong in ["", "fixes", "fixes=", "fixes=0", "fixes=-1", "fixes=many", "lines=5"] {
            assert_eq!(wrong.parse::<LimitSetting>(), Err(LimitSettingError), "{wrong}");
        }
    }

    #[test]
    fn the_words_say_where_how_many_and_what_to_do() {
        let over = InputLimits::default().hold(InputLimit::Fixes, 2_000_001, Some(12)).unwrap_err();
        assert_eq!(
            over.to_string(),
            "line 12: more than 2,000,000 fixes in a log: the limit; if that is right, raise it with --limit fixes=N"
        );
    }
}
