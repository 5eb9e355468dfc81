//! Whether a table is one of inertial data: which sensors it has whole, and whose unit is open.

use super::ImuError;
use super::columns::{Quantity, Sensor};
use super::mapping::ImuMapping;
use driftless_formats::table::{Layout, LayoutError, TableLines, shortened};
use driftless_track::{Problems, Severity};

const SENSORS: [Sensor; 3] = [Sensor::Gyro, Sensor::Accel, Sensor::Mag];

/// Finds the columns, and notes those of no use.
pub(super) fn find(
    table: TableLines<'_>,
    mapping: Option<&ImuMapping>,
    problems: &mut Problems,
) -> Result<Layout<Quantity>, ImuError> {
    let layout = match Layout::find(table, mapping.map(|m| &m.0)) {
        Ok(layout) => layout,
        Err(LayoutError::Mapping(error)) => return Err(error.into()),
        Err(LayoutError::NoHeader) => {
            let (line, names) = table.first_names();
            let missing = "time, gyro and accelerometer".to_owned();
            return Err(ImuError::Header { line, found: shortened(&names), missing });
        }
    };
    if !layout.unused.is_empty() {
        let unused = || shortened(&layout.unused).join(", ");
        problems.add(
            "imu-columns-not-used",
            Severity::Note,
            Some(layout.header),
            || format!("columns of the inertial file that were not used: {}", unused()),
            "a mapping can tell what they are",
        );
    }
    let missing = missing(&layout);
    if missing.is_empty() {
        return Ok(layout);
    }
    let found = shortened(&layout.names);
    Err(ImuError::Header { line: layout.header.line, found, missing: missing.join(" and ") })
}

/// Whether the unit of a sensor was not named.
pub(super) fn is_open(layout: &Layout<Quantity>, sensor: Sensor) -> bool {
    (0..3).any(|axis| layout.scale_of(Quantity::Axis(sensor, axis)) == Some(None))
}

/// Whether there are columns of a sensor.
pub(super) fn has_sensor(layout: &Layout<Quantity>, sensor: Sensor) -> bool {
    (0..3).any(|axis| layout.has(Quantity::Axis(sensor, axis)))
}

/// What a table needs and this one has not.
fn missing(layout: &Layout<Quantity>) -> Vec<String> {
    let axes = |sensor| (0..3).filter(|&axis| layout.has(Quantity::Axis(sensor, axis))).count();
    let mut missing = Vec::new();
    if !layout.has(Quantity::Time) {
        missing.push("time".to_owned());
    }
    for sensor in SENSORS {
        if matches!(axes(sensor), 1 | 2) {
            missing.push(format!("all three axes of the {}", sensor.word()));
        }
    }
    // A file of temperatures alone belongs to the file of the sensor beside it.
    if !layout.has(Quantity::Temperature) && !SENSORS.iter().any(|&sensor| axes(sensor) == 3) {
        missing.push("a gyro, accelerometer or magnetometer".to_owned());
    }
    missing
}
