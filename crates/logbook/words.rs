//! Words of the tables, and the values they stand for.

use crate::{LogbookError, Result};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{DeviceKind, PropellerDirection, Turned};

/// The scenario of a column.
pub(crate) fn scenario(word: &str) -> Result<Scenario> {
    Scenario::from_name(word).ok_or_else(|| unknown("scenario", word))
}

/// The same where it may be unknown.
pub(crate) fn scenario_or_none(word: Option<String>) -> Result<Option<Scenario>> {
    word.map(|word| scenario(&word)).transpose()
}

pub(crate) fn turned(word: &str) -> Result<Turned> {
    match word {
        "left" => Ok(Turned::Left),
        "right" => Ok(Turned::Right),
        _ => Err(unknown("side", word)),
    }
}

pub(crate) const fn of_turned(turned: Turned) -> &'static str {
    match turned {
        Turned::Left => "left",
        Turned::Right => "right",
    }
}

pub(crate) fn propeller(word: &str) -> Result<PropellerDirection> {
    match word {
        "clockwise" => Ok(PropellerDirection::Clockwise),
        "anticlockwise" => Ok(PropellerDirection::Anticlockwise),
        _ => Err(unknown("direction", word)),
    }
}

pub(crate) const fn of_propeller(direction: PropellerDirection) -> &'static str {
    match direction {
        PropellerDirection::Clockwise => "clockwise",
        PropellerDirection::Anticlockwise => "anticlockwise",
    }
}

pub(crate) fn device_kind(word: &str) -> Result<DeviceKind> {
    match word {
        "constant" => Ok(DeviceKind::Constant),
        "propwash" => Ok(DeviceKind::Propwash),
        "mixed" => Ok(DeviceKind::Mixed),
        _ => Err(unknown("kind of device", word)),
    }
}

pub(crate) const fn of_device_kind(kind: DeviceKind) -> &'static str {
    match kind {
        DeviceKind::Constant => "constant",
        DeviceKind::Propwash => "propwash",
        DeviceKind::Mixed => "mixed",
    }
}

fn unknown(what: &str, word: &str) -> LogbookError {
    LogbookError::damaged(format!("unknown {what} \"{word}\""))
}
