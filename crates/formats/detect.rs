//! Which format is it? By content, never by name.

use crate::charset::Decoded;
use crate::error::ReadError;
use crate::fit::is_fit;
use crate::lines::{Lines, MAX_LINE};
use driftless_units::excerpt;

/// A recognised kind of content.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Content {
    Gpx,
    Kml,
    Igc,
    Nmea,
    Csv,
    Fit,
}

/// How much of the file is looked at.
pub(crate) const LOOK_BYTES: usize = 1 << 16;

/// First bytes of things people mistake for a log, and what to say.
const OTHER_KINDS: &[(&[u8], &str, &str)] = &[
    (b"\x89PNG", "a PNG picture", ""),
    (b"\xff\xd8\xff", "a JPEG picture", ""),
    (b"GIF8", "a GIF picture", ""),
    (b"%PDF", "a PDF document", ""),
    (b"PK\x03\x04", "a ZIP archive", "unpack it and give the log inside"),
    (b"7z\xbc\xaf", "a 7-Zip archive", "unpack it first"),
    (b"BZh", "a bzip2 archive", "unpack it first"),
    (b"\xfd7zXZ", "an xz archive", "unpack it first"),
    (b"\x28\xb5\x2f\xfd", "a zstd archive", "unpack it first"),
    (b"\x1f\x8b", "a file gzip-ed twice", "unpack it once"),
    (b"SQLite format 3", "a database", ""),
    (b"\x7fELF", "a program", ""),
    (b"MZ", "a program", ""),
];

/// Recognises the content, or says what it looks like instead.
pub(crate) fn content(decoded: &Decoded<'_>) -> Result<Content, ReadError> {
    let bytes = &*decoded.bytes;
    let head = bytes.get(..LOOK_BYTES).unwrap_or(bytes);
    if bytes.trim_ascii_start().is_empty() {
        return Err(ReadError::Empty { bytes: bytes.len() });
    }
    // Before the first bytes of other kinds: the first of a FIT is only a length.
    if is_fit(head) {
        return Ok(Content::Fit);
    }
    if is_kmz(head) {
        return Err(ReadError::NotAFlightLog {
            looks_like: "a KMZ, which is a ZIP archive with a KML in it".to_owned(),
            help: "unzip it, and give the .kml inside",
        });
    }
    for &(magic, looks_like, help) in OTHER_KINDS {
        // Two letters alone could begin a text.
        if head.starts_with(magic) && (magic.len() > 2 || is_binary(head)) {
            return Err(ReadError::NotAFlightLog { looks_like: looks_like.to_owned(), help });
        }
    }
    // One of some 200 binary files begins with "<", too.
    let begins_as_xml = head.trim_ascii_start().starts_with(b"<") && !is_binary(head);
    if begins_as_xml && root_name(head) == Some(b"kml") {
        return Ok(Content::Kml);
    }
    if begins_as_xml || memchr::memmem::find(head, b"<gpx").is_some() {
        return Ok(Content::Gpx);
    }
    if memchr::memmem::find(head, b"<kml").is_some() {
        return Ok(Content::Kml);
    }
    let votes = Votes::count(head);
    if votes.igc > 0 && votes.igc >= votes.nmea {
        return Ok(Content::Igc);
    }
    if votes.nmea > 0 {
        return Ok(Content::Nmea);
    }
    if is_binary(head) {
        return Err(ReadError::NotAFlightLog { looks_like: "a binary file".to_owned(), help: "" });
    }
    match first_long_line(head) {
        Some(line) if line.len() > MAX_LINE => Err(ReadError::NotAFlightLog {
            looks_like: format!("text whose first line is longer than {MAX_LINE} characters ({})", excerpt(line)),
            help: "",
        }),
        _ => Ok(Content::Csv),
    }
}

/// Whether a file is a KMZ: a ZIP archive whose first entry is a KML (APPNOTE 6.3.10, 4.3.7: 30 bytes, then the name, whose
/// length stands at byte 26).
pub fn is_kmz(head: &[u8]) -> bool {
    let Some(&[low, high]) = head.get(26..28).filter(|_| head.starts_with(b"PK\x03\x04")) else { return false };
    let end = 30 + usize::from(u16::from_le_bytes([low, high]));
    let name = head.get(30..end).unwrap_or_default();
    name.len() >= 4 && name.get(name.len() - 4..).is_some_and(|tail| tail.eq_ignore_ascii_case(b".kml"))
}

/// The local name of the first element: behind declarations, comments and a document type.
fn root_name(head: &[u8]) -> Option<&[u8]> {
    let mut rest = head;
    loop {
        rest = rest.get(memchr::memchr(b'<', rest)? + 1..)?;
        let end: &[u8] = match rest {
            [b'!', b'-', b'-', ..] => b"-->",
            [b'!' | b'?', ..] => b">",
            _ => break,
        };
        rest = rest.get(memchr::memmem::find(rest, end)? + end.len()..)?;
    }
    let name = rest.split(|&b| b.is_ascii_whitespace() || matches!(b, b'>' | b'/')).next()?;
    name.rsplit(|&b| b == b':').next()
}

/// Lines that only one format has.
struct Votes {
    igc: u32,
    nmea: u32,
}

impl Votes {
    fn count(head: &[u8]) -> Self {
        let mut votes = Self { igc: 0, nmea: 0 };
        for line in Lines::new(head, 0).take(2_000) {
            votes.igc += u32::from(looks_like_igc(line.bytes));
            votes.nmea += u32::from(looks_like_nmea(line.bytes));
        }
        votes
    }
}

fn looks_like_igc(line: &[u8]) -> bool {
    let b_record = line.first() == Some(&b'B')
        && matches!(line.get(14), Some(b'N' | b'S'))
        && matches!(line.get(23), Some(b'E' | b'W'))
        && line.get(1..7).is_some_and(|time| time.iter().all(u8::is_ascii_digit));
    b_record || matches!(line, [b'H', _, b'D', b'T', b'E', ..])
}

/// `$`, a talker of two letters, one of the sentences that carry positions or times, a comma.
fn looks_like_nmea(line: &[u8]) -> bool {
    let Some(at) = memchr::memchr(b'$', line) else { return false };
    let Some([_, t1, t2, kind @ .., b',']) = line.get(at..at + 7) else { return false };
    let known = [b"RMC", b"GGA", b"VTG", b"ZDA", b"GSA", b"GSV", b"GLL", b"GNS"];
    t1.is_ascii_uppercase() && t2.is_ascii_alphanumeric() && known.iter().any(|k| k.as_slice() == kind)
}

/// Text has next to no control characters; NUL blocks at the end of a log are not looked at here.
fn is_binary(head: &[u8]) -> bool {
    let controls = head.iter().filter(|&&b| b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x0c)).count();
    controls * 50 > head.len()
}

fn first_long_line(head: &[u8]) -> Option<&[u8]> {
    Lines::new(head, 0).map(|line| line.bytes).find(|line| !line.is_empty())
}
