//! A file that should hold a table, as text.

use super::layout;
use crate::builder::LogBuilder;
use crate::charset::{self, Decoded};
use crate::detect::{self, Content};
use crate::lines::{Line, Lines};
use crate::{ReadError, gunzip};
use driftless_track::{InputLimit, InputLimits, Problem};
use std::borrow::Cow;

/// A table as text: unpacked and decoded.
#[derive(Debug)]
pub struct TableText<'a> {
    bytes: Cow<'a, [u8]>,
    base: u64,
    /// What was met on the way.
    pub problems: Vec<Problem>,
}

impl<'a> TableText<'a> {
    /// Unpacks and decodes a file.
    ///
    /// # Errors
    /// [`ReadError`] when the file is larger than is read, empty, damaged, binary, or a flight log of another format.
    pub fn unpack(bytes: &'a [u8], limits: &InputLimits) -> Result<Self, ReadError> {
        let mut builder = LogBuilder::within(*limits);
        limits.hold(InputLimit::Bytes, bytes.len(), None)?;
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
            Content::Fit => Some("a FIT file"),
            Content::Kml => Some("a KML file"),
            Content::Igc => Some("an IGC file"),
            Content::Nmea => Some("a file of NMEA 0183 sentences"),
        };
        if let Some(other) = other {
            return Err(ReadError::NotAFlightLog { looks_like: format!("{other}, not a table"), help: "" });
        }
        Ok(Self { bytes: decoded.bytes, base: decoded.base, problems: builder.into_problems() })
    }

    /// The text, to be read line by line.
    pub fn lines(&self) -> TableLines<'_> {
        TableLines::new(&self.bytes, self.base)
    }
}

/// The text of a table.
#[derive(Debug, Clone, Copy)]
pub struct TableLines<'a> {
    pub(super) bytes: &'a [u8],
    pub(super) base: u64,
}

impl<'a> TableLines<'a> {
    /// `bytes` begin `base` bytes behind the start of the file.
    pub(crate) fn new(bytes: &'a [u8], base: u64) -> Self {
        Self { bytes, base }
    }

    /// All lines.
    pub(super) fn all(self) -> Lines<'a> {
        Lines::new(self.bytes, self.base)
    }

    /// Lines that are neither blank nor comments.
    pub(crate) fn filled(self) -> impl Iterator<Item = Line<'a>> {
        self.all().filter(|line| !line.bytes.is_empty() && !is_comment(line.bytes))
    }

    /// The line and the cells of the first row, for words about a table in which nothing was understood.
    pub fn first_names(self) -> (u32, Vec<String>) {
        layout::first_names(self)
    }

    /// Bytes of the text.
    pub fn len(self) -> usize {
        self.bytes.len()
    }

    /// Whether there are none.
    pub fn is_empty(self) -> bool {
        self.bytes.is_empty()
    }
}

pub(super) fn is_comment(line: &[u8]) -> bool {
    line.first() == Some(&b'#')
}
