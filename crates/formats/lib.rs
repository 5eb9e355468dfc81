//! Bytes to flight log: GPX 1.0 and 1.1, IGC, KML, FIT, NMEA 0183 and CSV positions, each also gzip-ed.
//!
//! [`read`] looks at the content (never at a file name), picks the reader and returns a
//! [`FlightLog`]: the data, and the problems met on the way. A bad record is dropped,
//! counted and located; only a file out of which no fix can be had is a [`ReadError`].
//!
//! ```
//! use driftless_formats::{ReadHint, read};
//! let igc = b"AXXX001\r\nHFDTE160701\r\nB1101355206343N00006198WA0058700558\r\n";
//! let log = read(igc, &ReadHint::default())?;
//! assert_eq!(log.fixes[0].pressure_altitude_m, Some(587.0));
//! # Ok::<(), driftless_formats::ReadError>(())
//! ```
//!
//! The road of the bytes: `gunzip` → `charset` (byte order marks, UTF-16, Latin-1) → `detect` → one of `gpx`, `kml`, `igc`,
//! `nmea`, `fit`, `csv_positions` → `LogBuilder` (which owns the counting of problems). `xml` pulls the tags of GPX and KML; [`table`] is the one reader of tables, for
//! positions and for the inertial data of another crate. `number`, `time` and `sane` hold what
//! all of them share: finite numbers, calendars and clocks, ranges. [`write_gpx`] and [`write_geojson`] go the other
//! way for a drift-removed track.
//!
//! Nothing here indexes a slice, recurses over the input, or keeps more of it than one record.

#![cfg_attr(
    not(test),
    warn(clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::string_slice)
)]

mod builder;
mod charset;
mod csv_positions;
mod detect;
mod error;
mod export;
mod fit;
mod gpx;
mod gunzip;
mod igc;
mod kml;
mod lines;
mod nmea;
mod number;
mod sane;
pub mod table;
mod time;
mod xml;

pub use csv_positions::CsvMapping;
pub use detect::is_kmz;
pub use error::ReadError;
pub use export::{ExportError, ExportPoint, ExportTrack, ExportWaypoint, write_geojson, write_gpx};

use builder::LogBuilder;
use detect::Content;
use driftless_track::{FlightLog, InputLimit, InputLimits};

/// What the caller knows beyond the bytes.
#[derive(Debug, Clone, Default)]
pub struct ReadHint {
    /// Which column is what, for a CSV whose header does not tell.
    pub csv_mapping: Option<CsvMapping>,
    /// How much is read.
    pub limits: InputLimits,
}

/// How much of a file its kind is told by.
pub const HEAD_BYTES: usize = detect::LOOK_BYTES;

/// Refuses a file by its first [`HEAD_BYTES`] bytes where they cannot begin a log or a table, so that nobody needs to
/// read a disk image or a device without end to be told so.
///
/// # Errors
/// The [`ReadError`] that [`read`] would end with.
pub fn refuse_by_head(head: &[u8]) -> Result<(), ReadError> {
    if head.starts_with(gunzip::MAGIC) {
        return Ok(());
    }
    let decoded = charset::decode(head, &mut LogBuilder::default())?;
    match detect::content(&decoded) {
        // Blanks may stand before the rest, and the first line may go on.
        Ok(_) | Err(ReadError::Empty { .. }) => Ok(()),
        Err(error) => Err(error),
    }
}

/// Reads a flight log of any known format.
///
/// `bytes` is the whole file. Positions in problems and errors are lines (from 1) and bytes (from 0) of the file after
/// decompression; where its characters had to be decoded (UTF-16, Latin-1) they count in the decoded text, and a note
/// says so.
///
/// # Errors
/// [`ReadError`] when no fix can be had: the file is empty, damaged, of another kind, without times or positions.
pub fn read(bytes: &[u8], hint: &ReadHint) -> Result<FlightLog, ReadError> {
    let mut builder = LogBuilder::within(hint.limits);
    hint.limits.hold(InputLimit::Bytes, bytes.len(), None)?;
    let plain = gunzip::plain_bytes(bytes, &mut builder)?;
    let decoded = charset::decode(&plain, &mut builder)?;
    builder.expect_bytes(decoded.bytes.len());
    match detect::content(&decoded)? {
        Content::Gpx => gpx::read(&decoded, builder),
        Content::Kml => kml::read(&decoded, builder),
        Content::Igc => igc::read(&decoded, builder),
        Content::Nmea => nmea::read(&decoded, builder),
        Content::Fit => fit::read(&decoded.bytes, builder),
        Content::Csv => csv_positions::read(&decoded, hint.csv_mapping.as_ref(), builder),
    }
}
