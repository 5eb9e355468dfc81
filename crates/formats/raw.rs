//! What readers of other tables (inertial data) share with the readers here: unpacking, characters, lines, numbers,
//! time stamps, and short excerpts for messages.

pub use crate::excerpt::excerpt;
pub use crate::lines::{Line, Lines, MAX_LINE};
pub use crate::number::parse_f64;
pub use crate::time::{Stamp, parse_stamp};

use crate::builder::LogBuilder;
use crate::charset::{self, Decoded};
use crate::detect::{self, Content};
use crate::{ReadError, gunzip};
use driftless_track::Problem;
use std::borrow::Cow;

/// A table as text: unpacked and decoded.
#[derive(Debug)]
pub struct TableText<'a> {
    /// The text. Numbers and names in it are ASCII or UTF-8.
    pub bytes: Cow<'a, [u8]>,
    /// Bytes of the file before it (a byte order mark).
    pub base: u64,
    /// What was met on the way.
    pub problems: Vec<Problem>,
}

/// Unpacks and decodes a file that should hold a table.
///
/// # Errors
/// [`ReadError`] when the file is empty, damaged, binary, or a flight log of another format.
pub fn table_text(bytes: &[u8]) -> Result<TableText<'_>, ReadError> {
    let mut builder = LogBuilder::default();
    let decoded = match gunzip::plain_bytes(bytes, &mut builder)? {
        Cow::Borrowed(plain) => charset::decode(plain, &mut builder)?,
        Cow::Owned(plain) => {
            let Decoded { bytes, base } = charset::decode(&plain, &mut builder)?;
            Decoded { bytes: Cow::Owned(bytes.into_owned()), base }
        }
    };
    let other = match detect::content(&decoded)? {
        Content::Csv => None,
        Content::Gpx => Some("a GPX or XML file"),
        Content::Igc => Some("an IGC file"),
        Content::Nmea => Some("a file of NMEA 0183 sentences"),
    };
    if let Some(other) = other {
        return Err(ReadError::NotAFlightLog { looks_like: format!("{other}, not a table"), help: "" });
    }
    Ok(TableText { bytes: decoded.bytes, base: decoded.base, problems: builder.into_problems() })
}
