//! GPX 1.0 and 1.1, read by pulling tags: tracks, segments, points with whatever they carry, waypoints as marks.
//!
//! Sources: topografix.com/GPX/1/1/gpx.xsd and the GPX 1.0 schema; `speed` and `course` are children of a point in 1.0
//! and live in private extensions since, so they are known by their local name at any depth of a point.

mod plain;
mod point;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::xml::{Tag, XmlReader, text_of, warn_cut_off};
use driftless_track::{FlightLog, InputLimit, LogFormat};
use point::{Field, Point, PointKind};
use quick_xml::events::BytesStart;

/// Reads a GPX document.
pub(crate) fn read(decoded: &Decoded<'_>, builder: LogBuilder) -> Result<FlightLog, ReadError> {
    read_trying_plain(decoded, builder, true)
}

/// The same, with or without the quick way of plain points.
fn read_trying_plain(decoded: &Decoded<'_>, mut builder: LogBuilder, plain: bool) -> Result<FlightLog, ReadError> {
    let text = text_of(decoded, &mut builder);
    let mut parser = Parser {
        xml: XmlReader::new(&text, decoded.base, "gpx", &builder),
        builder,
        point: None,
        field: None,
        waypoints: 0,
        track_points: 0,
        not_plain: 0,
        skip: if plain { 0 } else { u32::MAX },
    };
    parser.run()?;
    parser.finish()
}

struct Parser<'a> {
    xml: XmlReader<'a>,
    builder: LogBuilder,
    /// The open point and the depth of its element.
    point: Option<(Point, u32)>,
    /// The open element whose text is wanted, and its depth.
    field: Option<(Field, u32)>,
    waypoints: u32,
    track_points: u32,
    /// How many points were tried as plain ones and were none, since the last that was.
    not_plain: u32,
    /// How many points are not even tried.
    skip: u32,
}

impl Parser<'_> {
    fn run(&mut self) -> Result<(), ReadError> {
        while let Some(tag) = self.xml.next(&mut self.builder)? {
            match tag {
                Tag::Open(element) if self.plain_points(&element) => {}
                Tag::Open(element) => self.open(&element),
                Tag::Close(element) => self.close(element.local_name().into_inner()),
                Tag::Broken => {
                    self.xml.resume(&["<trkpt"], "track point", &mut self.builder);
                    self.abandon_point();
                }
            }
        }
        Ok(())
    }

    /// Reads the point that begins here and all that follow it as long as they are plain; `false` where it is not.
    fn plain_points(&mut self, element: &BytesStart<'_>) -> bool {
        let depth = usize::try_from(self.xml.depth()).unwrap_or(usize::MAX);
        let deepest = self.builder.limits.of(InputLimit::XmlDepth);
        let is_open = self.point.is_some() || self.field.is_some();
        // Behind the end of the document words between points are told of, which the quick way does not.
        let is_inside = depth > 1;
        if is_open
            || !is_inside
            || element.name().into_inner() != "trkpt"
            || depth.saturating_add(plain::DEEPEST) > deepest
        {
            return false;
        }
        if self.skip > 0 {
            self.skip -= 1;
            return false;
        }
        let longest = self.builder.limits.of(InputLimit::NameCharacters);
        let mut at = self.xml.at();
        let begin = at;
        while let Some(text) = self.xml.text_from(at).filter(|text| text.starts_with("<trkpt")) {
            let mut point = Point::new(PointKind::Track, self.xml.place_of(at));
            let Some(length) = plain::fill(&mut point, text, longest) else { break };
            point.store(&mut self.builder);
            self.track_points += 1;
            at += length;
            // Words between points mean nothing.
            at += text.as_bytes().get(length..).and_then(|rest| memchr::memchr(b'<', rest)).unwrap_or(0);
        }
        if at == begin {
            // Points of one logger are alike: after many that are not plain hardly one is.
            self.not_plain = (2 * self.not_plain + 1).min(255);
            self.skip = self.not_plain;
            return false;
        }
        self.not_plain = 0;
        self.xml.go_on_at(at);
        true
    }

    fn open(&mut self, element: &BytesStart<'_>) {
        let local = element.local_name().into_inner();
        let point_depth = self.point.as_ref().map(|(_, depth)| *depth);
        match (local, point_depth) {
            ("trkpt", _) => self.begin_point(PointKind::Track, element),
            ("wpt", _) => self.begin_point(PointKind::Waypoint, element),
            (_, Some(point_depth)) => {
                if self.field.is_none()
                    && let Some(field) = Field::of(local, self.xml.depth() == point_depth + 1)
                {
                    self.field = Some((field, self.xml.depth()));
                    self.xml.want_text();
                }
            }
            ("trkseg", None) => self.builder.start_segment(),
            ("rte", None) => {
                let place = self.xml.place();
                self.builder.note(
                    "route-ignored",
                    place,
                    || "a planned route is not a flight and was not read".to_owned(),
                    "",
                );
            }
            _ => {}
        }
    }

    fn begin_point(&mut self, kind: PointKind, element: &BytesStart<'_>) {
        if let Some((_, depth)) = self.point {
            self.abandon_point();
            self.xml.set_depth(depth);
        }
        let source = self.xml.place();
        let limits = self.builder.limits;
        self.point = Some((Point::of_element(kind, element, source, &limits), self.xml.depth()));
    }

    fn close(&mut self, local: &str) {
        if let Some((field, depth)) = self.field
            && depth >= self.xml.depth()
        {
            self.field = None;
            let direct = self.point.as_ref().is_some_and(|(_, point_depth)| depth == point_depth + 1);
            let value = self.xml.take_text();
            if Field::of(local, direct) == Some(field) {
                if let Some((point, _)) = &mut self.point {
                    point.set(field, value.text());
                }
            } else {
                self.xml.warn_mismatch(local, &mut self.builder);
            }
        }
        match local {
            "trkpt" | "wpt" => {
                if let Some((point, depth)) = self.point.take() {
                    if self.xml.depth() != depth {
                        self.xml.warn_mismatch(local, &mut self.builder);
                        self.xml.set_depth(depth);
                    }
                    self.waypoints += u32::from(point.is_waypoint());
                    self.track_points += u32::from(!point.is_waypoint());
                    point.store(&mut self.builder);
                }
            }
            "trkseg" | "trk" | "gpx" if self.point.is_some() => self.abandon_point(),
            _ => {}
        }
    }

    /// A point whose end never came.
    fn abandon_point(&mut self) {
        self.field = None;
        self.xml.drop_text();
        if let Some((point, _)) = self.point.take() {
            self.builder.warn(
                "point-unfinished",
                point.source(),
                || "a point without its end tag was left out".to_owned(),
                "",
            );
        }
    }

    fn finish(mut self) -> Result<FlightLog, ReadError> {
        if let Some(place) = self.xml.cut_off()? {
            if self.builder.fixes.is_empty() && !self.builder.has_points_without_time() {
                return Err(self.builder.cut_off(LogFormat::Gpx, place));
            }
            let inside = if self.point.is_some() { " inside a point, which was left out" } else { "" };
            warn_cut_off("gpx", inside, place, &mut self.builder);
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
}

#[cfg(test)]
mod tests;
