//! What can go wrong.

use driftless_track::OverLimit;

/// Why a scenario could not be read or flown.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SimError {
    /// Not TOML, a key missing, or a key unknown; the text names the line and shows it.
    #[error("cannot read the scenario: {0}")]
    Toml(#[from] toml::de::Error),
    /// A value that makes no sense.
    #[error("{}`{key}` {message}", line.map(|n| format!("line {n}: ")).unwrap_or_default())]
    Invalid {
        /// Line in the scenario file, from 1; `None` for a scenario built in code.
        line: Option<usize>,
        /// The key, dotted: `flight[3].rate_deg_s`.
        key: String,
        /// What is wrong with it.
        message: String,
    },
    /// A leg that never comes to its end.
    #[error(
        "flight[{leg}] ({name}) is not finished after {limit_s} s; check that its power setting climbs or sinks toward the height"
    )]
    Endless {
        /// Index of the leg, from 0.
        leg: usize,
        /// Its name.
        name: &'static str,
        /// The longest a leg may take, seconds.
        limit_s: f64,
    },
    /// The flight is longer than is flown.
    #[error("flight[{leg}] ({name}) makes the flight too long: {over}")]
    TooLong {
        /// Index of the leg, from 0.
        leg: usize,
        /// Its name.
        name: &'static str,
        /// The limit.
        over: OverLimit,
    },
    /// The aircraft meets the ground outside a landing.
    #[error(
        "flight[{leg}] ({name}) flies into the ground at {at_s:.0} s; start it higher or end the flight with `land`"
    )]
    HitsGround {
        /// Index of the leg, from 0.
        leg: usize,
        /// Its name.
        name: &'static str,
        /// When, seconds from the start.
        at_s: f64,
    },
    /// The scenario cannot be expressed as TOML.
    #[error("cannot write the scenario as TOML: {0}")]
    Unwritable(String),
}
