//! GPX 1.0 and 1.1, read by pulling events: tracks, segments, points with whatever they carry, waypoints as marks.
//!
//! Depth is counted, never recursed over; entities are never expanded; a fault costs one point, not the file.
//! Sources: topografix.com/GPX/1/1/gpx.xsd and the GPX 1.0 schema; `speed` and `course` are children of a point in 1.0
//! and live in private extensions since, so they are known by their local name at any depth of a point.

mod point;
mod value;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::lines::LineCounter;
use driftless_track::{FlightLog, InputLimit, LogFormat, SourceRef};
use driftless_units::excerpt;
use point::{Field, Point, PointKind};
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::borrow::Cow;
use value::Value;

/// After so many syntax errors the rest is not XML any more (each one may cost a scan to the end of the file).
const MAX_RESTARTS: u32 = 50;

/// Reads a GPX document.
pub(crate) fn read(decoded: &Decoded<'_>, mut builder: LogBuilder) -> Result<FlightLog, ReadError> {
    // The lossy conversion is several times slower than the check, and hardly ever needed.
    let text = std::str::from_utf8(&decoded.bytes).map_or_else(
        |_| {
            builder.note_all("bad-utf8", || "some characters are not valid UTF-8 and were replaced".to_owned(), "");
            String::from_utf8_lossy(&decoded.bytes)
        },
        Cow::Borrowed,
    );
    let mut parser = Parser::new(&text, decoded.base, builder);
    parser.run()?;
    parser.finish()
}

struct Parser<'a> {
    text: &'a str,
    lines: LineCounter<'a>,
    builder: LogBuilder,
    depth: u32,
    root_seen: bool,
    /// `</gpx>` has come, and nothing has begun behind it.
    root_closed: bool,
    /// The open point and the depth of its element.
    point: Option<(Point, u32)>,
    /// The open element whose text is wanted, and its depth.
    field: Option<(Field, u32)>,
    value: Value<'a>,
    waypoints: u32,
    track_points: u32,
    ended_early: bool,
}

impl<'a> Parser<'a> {
    fn new(text: &'a str, base: u64, builder: LogBuilder) -> Self {
        Self {
            text,
            lines: LineCounter::new(text.as_bytes(), base),
            value: Value::within(&builder.limits),
            builder,
            depth: 0,
            root_seen: false,
            root_closed: false,
            point: None,
            field: None,
            waypoints: 0,
            track_points: 0,
            ended_early: false,
        }
    }

    fn run(&mut self) -> Result<(), ReadError> {
        let mut start = 0;
        let mut restarts = 0;
        loop {
            let Some(rest) = self.text.get(start..) else { return Ok(()) };
            let Some(error_at) = self.run_from(rest, start)? else { return Ok(()) };
            // A syntax error: go on at the next point behind it, if there is one.
            let behind = error_at + 1;
            let next = self
                .text
                .as_bytes()
                .get(behind..)
                .and_then(|bytes| memchr::memmem::find(bytes, b"<trkpt"))
                .map(|at| behind + at)
                .filter(|_| restarts < MAX_RESTARTS);
            let Some(next) = next else {
                self.ended_early = true;
                return Ok(());
            };
            let place = self.lines.place(error_at);
            self.abandon_point();
            let text = self.text.as_bytes();
            self.builder.warn(
                "xml-broken",
                place,
                || {
                    format!(
                        "broken XML: {}; reading went on at the next track point",
                        excerpt(text.get(error_at..).unwrap_or_default())
                    )
                },
                "what stands between was left out",
            );
            restarts += 1;
            start = next;
        }
    }

    /// Reads events until the end (`None`) or a syntax error (its offset).
    fn run_from(&mut self, rest: &'a str, start: usize) -> Result<Option<usize>, ReadError> {
        let mut reader = Reader::from_str(rest);
        let config = reader.config_mut();
        config.expand_empty_elements = true;
        config.check_end_names = false;
        config.allow_unmatched_ends = true;
        config.allow_dangling_amp = true;
        config.check_comments = false;
        let offset = |position: u64| start + usize::try_from(position).unwrap_or(usize::MAX - start);
        loop {
            let at = reader.buffer_position();
            match reader.read_event() {
                Ok(Event::Start(element)) => self.open(&element, offset(at))?,
                Ok(Event::End(element)) => self.close(element.local_name().into_inner(), offset(at)),
                Ok(Event::Text(text)) => {
                    self.note_behind_root(text.as_ref(), offset(at));
                    if self.field.is_some() {
                        self.value.push(text.into_inner());
                    } else if !self.root_seen && text.as_ref().trim().len() > 4096 {
                        // A page of prose with "<" somewhere.
                        return Err(not_gpx(text.as_ref(), 1));
                    }
                }
                Ok(Event::CData(text)) => {
                    self.note_behind_root(text.as_ref(), offset(at));
                    if self.field.is_some() {
                        self.value.push(text.into_inner());
                    }
                }
                Ok(Event::GeneralRef(reference)) => self.reference(&reference, offset(at)),
                Ok(Event::DocType(_)) => {
                    let place = self.lines.place(offset(at));
                    self.builder.note("doctype-ignored", place, || "a document type was not read".to_owned(), "");
                }
                Ok(Event::Eof) => return Ok(None),
                Ok(_) => {}
                Err(_) => return Ok(Some(offset(reader.error_position().max(at)))),
            }
        }
    }

    fn open(&mut self, element: &BytesStart<'_>, at: usize) -> Result<(), ReadError> {
        self.depth = self.depth.saturating_add(1);
        self.root_closed = false;
        let depth = usize::try_from(self.depth).unwrap_or(usize::MAX);
        if let Err(over) = self.builder.limits.hold(InputLimit::XmlDepth, depth, None) {
            let place = self.lines.place(at);
            let words = || format!("what stands deeper was left out: {over}");
            self.builder.warn("xml-too-deep", place, words, "an end tag may be missing");
            return Ok(());
        }
        let local = element.local_name().into_inner();
        if !self.root_seen {
            if local != "gpx" {
                return Err(not_gpx(local, self.lines.place(at).line));
            }
            self.root_seen = true;
            return Ok(());
        }
        let point_depth = self.point.as_ref().map(|(_, depth)| *depth);
        match (local, point_depth) {
            ("trkpt", _) => self.begin_point(PointKind::Track, element, at),
            ("wpt", _) => self.begin_point(PointKind::Waypoint, element, at),
            (_, Some(point_depth)) => {
                if let Some((_, _)) = self.field {
                    // An element inside of one whose text is wanted: that text is not a plain value.
                    self.value.spoil();
                } else if let Some(field) = Field::of(local, self.depth == point_depth + 1) {
                    self.field = Some((field, self.depth));
                    self.value.clear();
                }
            }
            ("trkseg", None) => self.builder.start_segment(),
            ("rte", None) => {
                let place = self.lines.place(at);
                self.builder.note(
                    "route-ignored",
                    place,
                    || "a planned route is not a flight and was not read".to_owned(),
                    "",
                );
            }
            _ => {}
        }
        Ok(())
    }

    fn begin_point(&mut self, kind: PointKind, element: &BytesStart<'_>, at: usize) {
        if let Some((_, depth)) = self.point {
            self.abandon_point();
            self.depth = depth;
        }
        let source = self.lines.place(at);
        let limits = self.builder.limits;
        self.point = Some((Point::new(kind, element, source, &limits), self.depth));
    }

    fn close(&mut self, local: &str, at: usize) {
        if let Some((field, depth)) = self.field
            && depth >= self.depth
        {
            self.field = None;
            let direct = self.point.as_ref().is_some_and(|(_, point_depth)| depth == point_depth + 1);
            if Field::of(local, direct) == Some(field) {
                if let Some((point, _)) = &mut self.point {
                    point.set(field, &self.value);
                }
            } else {
                self.mismatch(local, at);
            }
        }
        match local {
            "trkpt" | "wpt" => {
                if let Some((point, depth)) = self.point.take() {
                    if self.depth != depth {
                        self.mismatch(local, at);
                        self.depth = depth;
                    }
                    self.waypoints += u32::from(point.is_waypoint());
                    self.track_points += u32::from(!point.is_waypoint());
                    point.store(&mut self.builder);
                }
            }
            "trkseg" | "trk" | "gpx" if self.point.is_some() => self.abandon_point(),
            _ => {}
        }
        self.depth = if local == "gpx" { 0 } else { self.depth.saturating_sub(1) };
        self.root_closed = self.root_seen && self.depth == 0;
    }

    /// Words behind the end of the document: perhaps half of another file.
    fn note_behind_root(&mut self, text: &str, at: usize) {
        let words = text.trim();
        if !self.root_closed || words.is_empty() {
            return;
        }
        let place = self.lines.place(at + text.len() - text.trim_start().len());
        self.builder.warn(
            "text-after-end",
            place,
            || format!("text behind </gpx> was not read: {}", excerpt(words.as_bytes())),
            "two files may have been joined; read them one by one",
        );
    }

    /// A point whose end never came.
    fn abandon_point(&mut self) {
        self.field = None;
        if let Some((point, _)) = self.point.take() {
            self.builder.warn(
                "point-unfinished",
                point.source(),
                || "a point without its end tag was left out".to_owned(),
                "",
            );
        }
    }

    fn mismatch(&mut self, local: &str, at: usize) {
        let place = self.lines.place(at);
        self.builder.warn(
            "xml-mismatched-tags",
            place,
            || format!("the end tag </{}> does not match", local.chars().take(40).collect::<String>()),
            "the value before it was left out",
        );
    }

    fn reference(&mut self, reference: &BytesRef<'a>, at: usize) {
        if self.field.is_none() {
            return;
        }
        let name: &str = reference.as_ref();
        let character = match name {
            "lt" => Some('<'),
            "gt" => Some('>'),
            "amp" => Some('&'),
            "apos" => Some('\''),
            "quot" => Some('"'),
            _ => reference.resolve_char_ref().ok().flatten(),
        };
        if let Some(character) = character {
            self.value.push_char(character);
            return;
        }
        self.value.spoil();
        let place = self.lines.place(at);
        self.builder.warn(
            "entity-not-expanded",
            place,
            || format!("the entity {} was not expanded; the value it stands in was left out", excerpt(name.as_bytes())),
            "write the value itself",
        );
    }

    fn finish(mut self) -> Result<FlightLog, ReadError> {
        let end = self.text.len();
        let place = self.lines.place(end);
        if !self.root_seen {
            return Err(not_gpx(self.text, 1));
        }
        if self.depth > 0 || self.ended_early {
            if self.builder.fixes.is_empty() && !self.builder.has_points_without_time() {
                return Err(self.builder.cut_off(LogFormat::Gpx, place));
            }
            self.cut_off(place);
        }
        let help = if self.track_points > 0 {
            ""
        } else if self.waypoints > 0 {
            "it has waypoints but no recorded track; export the track"
        } else {
            "export the recorded track"
        };
        self.builder.finish(LogFormat::Gpx, help)
    }

    fn cut_off(&mut self, place: SourceRef) {
        let inside = if self.point.take().is_some() { " inside a point, which was left out" } else { "" };
        self.builder.warn(
            "cut-off",
            place,
            || format!("the file ends early{inside}: </gpx> is missing"),
            "what came before was read; copy the file from the logger again",
        );
    }
}

fn not_gpx(root: &str, line: u32) -> ReadError {
    let help = match root {
        "kml" => "export the flight as GPX or IGC instead of KML",
        "TrainingCenterDatabase" => "export the flight as GPX instead of TCX",
        "html" | "HTML" => "this is a web page, perhaps saved instead of the file behind it",
        _ => "GPX is the only XML that is read",
    };
    ReadError::XmlNotGpx { root: root.trim().chars().take(40).collect(), line, help }
}

#[cfg(test)]
mod tests;
