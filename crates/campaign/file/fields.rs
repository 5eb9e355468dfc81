//! Values by name, from a table of the campaign file or a row of a sheet, read in the same way.

use super::parts::scenario;
use super::suggest::suggestion;
use super::table::Table;
use crate::model::{FlightId, FlownWith, PilotId, Place, Setup, SetupId, Timing, Turned, WingId};
use chrono::NaiveDate;
use driftless_track::InputLimits;
use driftless_units::Scenario;

/// What runs may name.
pub(super) struct Names<'a> {
    pub(super) setups: &'a [Setup],
    pub(super) setup_keys: Vec<&'a str>,
    pub(super) wing_keys: Vec<&'a str>,
    pub(super) pilot_keys: Vec<&'a str>,
    pub(super) flight_keys: Vec<String>,
    pub(super) stopwatch: StopwatchDefaults,
    pub(super) limits: InputLimits,
}

/// Uncertainties of stopwatch runs that give none.
#[derive(Debug, Clone, Copy)]
pub(super) struct StopwatchDefaults {
    pub(super) reading_std_u_s: f64,
    pub(super) pointing_std_u_deg: f64,
}

/// Values by name.
pub(super) trait Fields {
    fn has(&self, key: &str) -> bool;
    fn text(&self, key: &'static str) -> Option<String>;
    fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64>;
    fn whole(&self, key: &'static str, low: u32, high: u32) -> Option<u32>;
    fn date(&self, key: &'static str) -> Option<NaiveDate>;
    fn windows(&self) -> Vec<u32>;
    fn missing(&self, key: &str, example: &str);
    fn fault(&self, key: &str, message: String, help: Option<String>);
    fn place(&self) -> Place;
    fn what(&self) -> String;
}

impl Fields for Table<'_, '_, '_> {
    fn has(&self, key: &str) -> bool {
        Table::has(self, key)
    }
    fn text(&self, key: &'static str) -> Option<String> {
        Table::text(self, key)
    }
    fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        Table::number(self, key, low, high)
    }
    fn whole(&self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        Table::whole(self, key, low, high)
    }
    fn date(&self, key: &'static str) -> Option<NaiveDate> {
        Table::date(self, key)
    }
    fn windows(&self) -> Vec<u32> {
        self.wholes("windows")
    }
    fn missing(&self, key: &str, example: &str) {
        Table::missing(self, key, example);
    }
    fn fault(&self, key: &str, message: String, help: Option<String>) {
        Table::fault(self, key, message, help);
    }
    fn place(&self) -> Place {
        Place { file: self.reading().source.file.to_owned(), line: self.line() }
    }
    fn what(&self) -> String {
        Table::what(self).to_owned()
    }
}

/// The index of what `key` names; a fault with a suggestion where there is no such thing.
pub(super) fn refer(fields: &dyn Fields, key: &'static str, what: &str, known: &[&str]) -> Option<usize> {
    let name = fields.text(key)?;
    let found = known.iter().position(|candidate| *candidate == name);
    if found.is_none() {
        let help = suggestion(&name, known).unwrap_or_else(|| format!("the file describes no {what} yet"));
        fields.fault(key, format!("there is no {what} \"{name}\""), Some(help));
    }
    found
}

/// What a run was flown with.
pub(super) fn flown_with(fields: &dyn Fields, names: &Names<'_>) -> Option<FlownWith> {
    let setup = refer(fields, "setup", "set-up", &names.setup_keys);
    if setup.is_none() {
        fields.missing("setup", &example(names.setup_keys.first()));
    }
    let wing = refer(fields, "wing", "wing", &names.wing_keys);
    let pilot = refer(fields, "pilot", "pilot", &names.pilot_keys).map(PilotId);
    let setup = setup.map(SetupId)?;
    let of_setup = names.setups.get(setup.0)?;
    let only = || (names.wing_keys.len() == 1).then_some(WingId(0));
    let Some(wing) = wing.map(WingId).or(of_setup.wing).or_else(only) else {
        fields.missing("wing", &example(names.wing_keys.first()));
        return None;
    };
    Some(FlownWith { setup, wing, pilot: pilot.or(of_setup.pilot) })
}

fn example(key: Option<&&str>) -> String {
    format!("\"{}\"", key.unwrap_or(&"name"))
}

/// A scenario that must be there.
pub(super) fn scenario_of(fields: &dyn Fields) -> Option<Scenario> {
    let Some(name) = fields.text("scenario") else {
        fields.missing("scenario", "\"trim-level\"");
        return None;
    };
    scenario_named(fields, &name)
}

/// A scenario by name; a fault where there is none such.
pub(super) fn scenario_named(fields: &dyn Fields, name: &str) -> Option<Scenario> {
    match scenario(name) {
        Ok(found) => Some(found),
        Err((message, help)) => {
            fields.fault("scenario", message, help);
            None
        }
    }
}

/// Which side.
pub(super) fn side(fields: &dyn Fields, key: &'static str) -> Option<Turned> {
    let Some(text) = fields.text(key) else {
        fields.missing(key, "\"left\"");
        return None;
    };
    match text.to_lowercase().as_str() {
        "left" | "l" => Some(Turned::Left),
        "right" | "r" => Some(Turned::Right),
        _ => {
            let message = format!("`{key}` of {} is \"{text}\"; it may be `left` or `right`", fields.what());
            fields.fault(key, message, None);
            None
        }
    }
}

/// No hand and no eye is exact, and runs are weighed by their uncertainty: a run without one cannot be. (Engineering
/// judgement, as are the two below: far better and far worse than anybody times.)
pub(super) const LEAST_ERROR: f64 = 1e-6;
/// Uncertainty of a reading that is taken at the most, s.
pub(super) const MOST_READING_S: f64 = 30.0;
/// Uncertainty of pointing at a landmark that is taken at the most, degrees.
pub(super) const MOST_POINTING_DEG: f64 = 45.0;

/// What a stopwatch said.
pub(super) fn timing(fields: &dyn Fields, names: &Names<'_>) -> Option<Timing> {
    let need = |key, low, high, example| {
        let value = fields.number(key, low, high);
        if value.is_none() {
            fields.missing(key, example);
        }
        value
    };
    let degrees = if fields.has("degrees") { fields.number("degrees", 5.0, 3600.0) } else { Some(90.0) };
    let seconds = need("seconds", 0.5, 3600.0, "28.4");
    let turned = side(fields, "turned");
    Some(Timing {
        degrees: degrees?,
        seconds: seconds?,
        count: fields.whole("count", 1, 100).unwrap_or(1),
        turned: turned?,
        reading_std_u_s: fields
            .number("reading_std_u_s", LEAST_ERROR, MOST_READING_S)
            .unwrap_or(names.stopwatch.reading_std_u_s),
        pointing_std_u_deg: fields
            .number("pointing_std_u_deg", LEAST_ERROR, MOST_POINTING_DEG)
            .unwrap_or(names.stopwatch.pointing_std_u_deg),
    })
}

/// The flight that `flight` names.
pub(super) fn flight(fields: &dyn Fields, names: &Names<'_>) -> Option<FlightId> {
    let known: Vec<&str> = names.flight_keys.iter().map(String::as_str).collect();
    refer(fields, "flight", "flight", &known).map(FlightId)
}
