//! Inertial CSV to streams: columns known by name and unit, or told by an [`ImuMapping`].

mod clock;
pub(crate) mod columns;
mod error;
mod header;
mod inspect;
mod mapping;
mod recording;
mod rows;
mod temperature;
mod timing;
mod units;

pub use error::ImuError;
pub(crate) use inspect::has_dead_axis;
pub use mapping::ImuMapping;
pub(crate) use timing::{gap_s, is_uneven};
pub use units::impossible_rate;

use crate::constants::LONGEST_RECORDING_S;
use crate::log::{ImuLog, Stream};
use clock::Clock;
use columns::{Quantity, Sensor};
use driftless_formats::table::{Layout, TableText};
use driftless_track::{InputLimits, Problems};
use rows::{RawTable, slot};

/// Reads inertial data from a CSV file, plain or gzip-ed. The table may hold other columns too (positions): they are
/// left to other readers.
///
/// Whatever is odd about the data (gaps, saturation, dead axes, doubtful units) is in [`ImuLog::problems`].
///
/// # Errors
/// [`ImuError`] when no sample can be had; a flight can still be estimated without it.
pub fn read(bytes: &[u8], mapping: Option<&ImuMapping>) -> Result<ImuLog, ImuError> {
    read_within(bytes, mapping, &InputLimits::default())
}

/// The same for files larger than is usual.
///
/// # Errors
/// Those of [`read`], at the limits given.
pub fn read_within(bytes: &[u8], mapping: Option<&ImuMapping>, limits: &InputLimits) -> Result<ImuLog, ImuError> {
    let text = TableText::unpack(bytes, limits)?;
    let mut problems = Problems::default();
    let layout = header::find(text.lines(), mapping, &mut problems)?;
    let start_utc = mapping.and_then(|m| m.0.start_utc);
    let mut raw = RawTable::read(text.lines(), &layout, start_utc, &mut problems)?;
    let named = layout.scale_of(Quantity::Time).flatten().map(|scale| scale.factor);
    let clock = Clock::find(&raw, named, start_utc, &mut problems)?;
    let mut take = |sensor, problems: &mut Problems| {
        let samples = std::mem::take(&mut raw.sensors[slot(sensor)]);
        clock.stream(samples, problems)
    };
    let mut gyro = take(Sensor::Gyro, &mut problems);
    let mut accel = take(Sensor::Accel, &mut problems);
    let mut mag = take(Sensor::Mag, &mut problems);
    for stream in [&gyro, &accel, &mag] {
        bounded(stream)?;
    }
    for (sensor, stream) in [(Sensor::Gyro, &mut gyro), (Sensor::Accel, &mut accel), (Sensor::Mag, &mut mag)] {
        if !stream.is_empty() {
            bring_to_si(sensor, stream, &layout, &mut problems);
        }
    }
    let temperature = temperature::in_celsius(std::mem::take(&mut raw.temperature), &clock, &layout, &mut problems);
    let problems = text.problems.into_iter().chain(problems.into_vec()).collect();
    Ok(ImuLog { epoch: clock.epoch, gyro, accel, mag, temperature, problems })
}

/// # Errors
/// [`ImuError::TooLong`] when the samples span more than any flight.
fn bounded(stream: &Stream) -> Result<(), ImuError> {
    let span_s = stream.span_s().map_or(0.0, |[from_s, to_s]| to_s - from_s);
    if span_s > LONGEST_RECORDING_S.value {
        return Err(ImuError::TooLong { hours: span_s / 3600.0, samples: stream.len() });
    }
    Ok(())
}

/// Unit, timing and values of one sensor.
fn bring_to_si(sensor: Sensor, stream: &mut Stream, layout: &Layout<Quantity>, problems: &mut Problems) {
    // The size of a sensor that is dead says nothing of its unit.
    let dead = inspect::dead_axes(sensor, stream, problems);
    let mut unreported = Problems::default();
    units::bring_to_si(sensor, stream, header::is_open(layout, sensor), if dead { &mut unreported } else { problems });
    timing::inspect(sensor, stream, problems);
    inspect::inspect(sensor, stream, problems);
}

#[cfg(test)]
mod tests;
