//! Flights as files: text and bytes, never a file system.

mod csv;
mod gpx;
mod igc;
mod imu;
mod marks;
mod nmea;
mod truth;

use crate::scenario::{Format, Scenario};
use crate::{SimError, SimulatedFlight, simulate_within};
use chrono::{DateTime, SecondsFormat, Utc};
use driftless_track::{Fix, InputLimits, Mark};

/// The files of a scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rendered {
    /// Name (without folder) and content: the logs, the marks file if there is one, the truth.
    pub files: Vec<(String, Vec<u8>)>,
}

/// Flies a scenario and writes all files it asks for: `NAME.gpx` (`.igc`, `.nmea`, `.csv`), `NAME.marks.csv`,
/// `NAME.imu.csv`, `NAME.truth.json`.
///
/// # Errors
/// Those of [`simulate`](crate::simulate).
pub fn render(scenario: &Scenario, seed: u64) -> Result<Rendered, SimError> {
    render_within(scenario, seed, &InputLimits::default())
}

/// The same for flights of another length than is usual.
///
/// # Errors
/// Those of [`simulate_within`].
pub fn render_within(scenario: &Scenario, seed: u64, limits: &InputLimits) -> Result<Rendered, SimError> {
    let flight = simulate_within(scenario, seed, limits)?;
    let output = &scenario.output;
    let name = &scenario.name;
    let mut files: Vec<(String, Vec<u8>)> = output
        .formats
        .iter()
        .map(|&format| (format!("{name}.{}", format.extension()), flight.to_format(format).into_bytes()))
        .collect();
    let marks_would_be_lost = output.marks_in_log && output.formats.contains(&Format::Nmea);
    if output.marks_file || marks_would_be_lost {
        files.push((format!("{name}.marks.csv"), flight.to_marks_csv().into_bytes()));
    }
    if scenario.sensors.imu.is_some() {
        files.push((format!("{name}.imu.csv"), flight.to_imu_csv().into_bytes()));
    }
    files.push((format!("{name}.truth.json"), flight.to_truth_json().into_bytes()));
    Ok(Rendered { files })
}

impl SimulatedFlight {
    /// The log as a file of a format.
    pub fn to_format(&self, format: Format) -> String {
        match format {
            Format::Gpx => gpx::write(self),
            Format::Igc => igc::write(self),
            Format::Nmea => nmea::write(self),
            Format::Csv => csv::write(self),
        }
    }

    /// The inertial log as CSV; empty without a sensor.
    pub fn to_imu_csv(&self) -> String {
        imu::write(self)
    }

    /// The marks file: CSV with header `let_go,take_over,scenario,setup,note`.
    pub fn to_marks_csv(&self) -> String {
        marks::write(self)
    }

    /// The truth: windows, and steps every `truth_interval_s`, column by column.
    pub fn to_truth_json(&self) -> String {
        truth::write(self)
    }

    /// The marks that the log itself carries.
    fn marks_in_log(&self) -> &[Mark] {
        if self.scenario.output.marks_in_log { &self.marks } else { &[] }
    }

    /// For every fix, the text of the mark that is nearest to it, if any.
    fn marks_by_fix(&self) -> Vec<Option<&str>> {
        let mut by_fix = vec![None; self.fixes.len()];
        for mark in self.marks_in_log() {
            let distance = |fix: &Fix| (fix.time - mark.time).abs();
            let nearest = (0..self.fixes.len()).min_by_key(|&i| self.fixes.get(i).map(distance));
            if let Some(place) = nearest.and_then(|i| by_fix.get_mut(i)) {
                *place = Some(mark.text.as_str());
            }
        }
        by_fix
    }
}

/// Who wrote the file.
const CREATOR: &str = concat!("Driftless ", env!("CARGO_PKG_VERSION"), " simulator");

/// RFC 3339 with milliseconds only where the time has them.
fn rfc3339(time: DateTime<Utc>) -> String {
    let format = if time.timestamp_subsec_millis() == 0 { SecondsFormat::Secs } else { SecondsFormat::Millis };
    time.to_rfc3339_opts(format, true)
}

/// Degrees split into a hemisphere letter, whole degrees, and minutes counted in steps of 10^-`digits`, carried
/// over at 60.
fn degrees_minutes(deg: f64, letters: [char; 2], digits: u32) -> (char, u64, u64) {
    let [positive, negative] = letters;
    let per_minute = 10_u64.pow(digits);
    let steps = (deg.abs() * 60.0 * per_minute as f64).round() as u64;
    let letter = if deg < 0.0 { negative } else { positive };
    (letter, steps / (60 * per_minute), steps % (60 * per_minute))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_carry_over_to_the_next_degree() {
        assert_eq!(degrees_minutes(-12.999_999_9, ['N', 'S'], 3), ('S', 13, 0));
        assert_eq!(degrees_minutes(52.105_716_667, ['N', 'S'], 3), ('N', 52, 6343));
    }
}
