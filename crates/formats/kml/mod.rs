//! KML: tracks with times (`gx:Track`, `gx:MultiTrack`, and the same without prefix), placemarks with a time as marks.
//!
//! Sources: OGC 12-007r2 (KML 2.3), sections on Track, MultiTrack, TimeStamp and altitudeMode; the extensions of KML 2.2
//! have the same elements in a namespace that is usually called `gx`. Elements are known by their local name.

mod altitudes;
mod field;
mod moment;
mod placemark;
mod track;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::csv_positions::ground_speed_scale;
use crate::error::ReadError;
use crate::table::Scale;
use crate::xml::{Tag, XmlReader, text_of, warn_cut_off};
use altitudes::Altitudes;
use driftless_track::{FlightLog, InputLimit, LogFormat, SourceRef};
use field::Field;
use placemark::Placemark;
use quick_xml::events::BytesStart;
use track::Track;

/// Where reading goes on behind broken markup inside of a track, and outside.
const RESUME_IN_TRACK: &[&str] = &["<when", "<gx:coord", "<coord", "</gx:Track", "</Track"];
const RESUME: &[&str] = &["<Placemark", "<gx:Track", "<Track"];

/// Arrays whose unit is told by the schema; no logger has more.
const MOST_ARRAYS: usize = 64;

/// Reads a KML document.
pub(crate) fn read(decoded: &Decoded<'_>, mut builder: LogBuilder) -> Result<FlightLog, ReadError> {
    let text = text_of(decoded, &mut builder);
    let mut parser = Parser {
        xml: XmlReader::new(&text, decoded.base, "kml", &builder),
        builder,
        field: None,
        field_place: SourceRef::default(),
        placemark: None,
        track: None,
        multi_track: None,
        speed_arrays: Vec::new(),
        array_field: String::new(),
        lines: Lines::default(),
        places: 0,
        tracks: 0,
        links: false,
    };
    parser.run()?;
    parser.finish()
}

struct Parser<'a> {
    xml: XmlReader<'a>,
    builder: LogBuilder,
    /// The open element whose text is wanted, and its depth.
    field: Option<(Field, u32)>,
    /// Where it begins.
    field_place: SourceRef,
    placemark: Option<Placemark>,
    track: Option<Track>,
    /// Depth of the open multi-track, and what it says of the altitudes of its tracks.
    multi_track: Option<(u32, Option<Altitudes>)>,
    /// Arrays of the schema that are a ground speed in a unit that is told.
    speed_arrays: Vec<(String, Scale)>,
    /// The array that the schema is describing.
    array_field: String,
    lines: Lines,
    /// Placemarks with a point.
    places: u32,
    tracks: u32,
    links: bool,
}

/// Lines without times.
#[derive(Default)]
struct Lines {
    points: u32,
    first: Option<SourceRef>,
}

impl Parser<'_> {
    fn run(&mut self) -> Result<(), ReadError> {
        while let Some(tag) = self.xml.next(&mut self.builder)? {
            match tag {
                Tag::Open(element) => self.open(&element),
                Tag::Close(element) => self.close(element.local_name().into_inner()),
                Tag::Broken => self.broken(),
            }
        }
        Ok(())
    }

    fn open(&mut self, element: &BytesStart<'_>) {
        let local = element.local_name().into_inner();
        match local {
            "Placemark" => return self.begin_placemark(),
            "Track" => return self.begin_track(),
            _ => {}
        }
        if self.field.is_some() {
            return self.open_inside_of_field(local);
        }
        let depth = self.xml.depth();
        if let Some(track) = &mut self.track {
            if depth == track.depth + 1 {
                match local {
                    "when" => self.want(Field::When),
                    "coord" => self.want(Field::Coord),
                    "altitudeMode" => self.want(Field::AltitudeMode),
                    _ => {}
                }
            } else if local == "SimpleArrayData" {
                let name = attribute(element, "name", &self.builder);
                let of_name = ground_speed_scale(&name);
                let of_schema = || self.speed_arrays.iter().find(|(known, _)| *known == name).map(|(_, scale)| *scale);
                track.begin_array(of_name.or_else(of_schema), depth);
            } else if local == "value" && track.array_depth() == Some(depth - 1) {
                self.want(Field::ArrayValue);
            }
            return;
        }
        match local {
            "MultiTrack" => self.multi_track = Some((depth, None)),
            "altitudeMode" if self.multi_track.is_some_and(|(multi, _)| depth == multi + 1) => {
                self.want(Field::AltitudeMode);
            }
            "SimpleArrayField" => self.array_field = attribute(element, "name", &self.builder),
            "displayName" if !self.array_field.is_empty() => self.want(Field::ArrayName),
            "NetworkLink" => self.links = true,
            "coordinates" => self.want(Field::Coordinates),
            _ => {}
        }
        if let Some(placemark) = &mut self.placemark
            && let Some(field) = placemark.open(local, depth)
        {
            self.want(field);
        }
    }

    /// An end tag is missing: the next time or position begins inside of the one before.
    fn open_inside_of_field(&mut self, local: &str) {
        let (Some((field, _)), Some(track)) = (self.field, &mut self.track) else { return };
        let next = match local {
            "when" => Field::When,
            "coord" => Field::Coord,
            _ => return,
        };
        if !matches!(field, Field::When | Field::Coord) {
            return;
        }
        self.xml.drop_text();
        self.xml.warn_mismatch(local, &mut self.builder);
        track.push_missing(field, self.xml.place(), &mut self.builder);
        self.xml.set_depth(track.depth + 1);
        self.want(next);
    }

    fn want(&mut self, field: Field) {
        self.field = Some((field, self.xml.depth()));
        self.field_place = self.xml.place();
        self.xml.want_text();
    }

    fn begin_placemark(&mut self) {
        self.end_track();
        self.abandon_field();
        let (depth, place) = (self.xml.depth(), self.xml.place());
        self.placemark = Some(Placemark::new(depth, place));
        self.multi_track = None;
    }

    fn begin_track(&mut self) {
        self.abandon_field();
        if let Some(open) = &self.track {
            let depth = open.depth;
            self.end_track();
            self.xml.set_depth(depth);
        }
        self.tracks += 1;
        let altitudes = self.multi_track.and_then(|(_, altitudes)| altitudes);
        let (depth, place) = (self.xml.depth(), self.xml.place());
        self.track = Some(Track::new(depth, place, altitudes));
        self.builder.start_segment();
    }

    fn end_track(&mut self) {
        if let Some(track) = self.track.take() {
            track.store(false, &mut self.builder);
        }
    }

    fn abandon_field(&mut self) {
        self.field = None;
        self.xml.drop_text();
    }

    fn close(&mut self, local: &str) {
        let depth = self.xml.depth();
        if let Some((field, field_depth)) = self.field
            && field_depth >= depth
        {
            self.field = None;
            if local == field.name() {
                self.set(field);
            } else {
                self.xml.drop_text();
                self.xml.warn_mismatch(local, &mut self.builder);
                let place = self.xml.place();
                if let Some(track) = &mut self.track {
                    track.push_missing(field, place, &mut self.builder);
                }
            }
        }
        if let Some(track) = &mut self.track {
            track.close(depth);
        }
        match local {
            "Track" => self.end_track(),
            "MultiTrack" => {
                self.end_track();
                self.multi_track = None;
            }
            "SimpleArrayField" => self.array_field.clear(),
            "Placemark" | "Folder" | "Document" | "kml" => {
                self.end_track();
                if let Some(placemark) = self.placemark.take() {
                    self.places += u32::from(placemark.has_point());
                    placemark.store(&mut self.builder);
                }
            }
            _ => {}
        }
        if let Some(placemark) = &mut self.placemark {
            placemark.close(depth);
        }
    }

    /// The text of a field is complete.
    fn set(&mut self, field: Field) {
        let place = self.field_place;
        let value = self.xml.take_text();
        match field {
            Field::When => {
                if let Some(track) = &mut self.track {
                    track.push_when(value.text(), place, &mut self.builder);
                }
            }
            Field::Coord => {
                if let Some(track) = &mut self.track {
                    track.push_coord(value.text(), place, &mut self.builder);
                }
            }
            Field::ArrayValue => {
                if let Some(track) = &mut self.track {
                    track.push_array_value(value.text());
                }
            }
            Field::AltitudeMode => {
                let altitudes = Altitudes::of(value.text().unwrap_or_default());
                match (&mut self.track, &mut self.multi_track) {
                    (Some(track), _) => track.set_altitudes(altitudes),
                    (None, Some((_, of_all))) => *of_all = Some(altitudes),
                    (None, None) => {}
                }
            }
            Field::ArrayName => {
                let scale = ground_speed_scale(value.text().unwrap_or_default());
                if let Some(scale) = scale.filter(|_| self.speed_arrays.len() < MOST_ARRAYS) {
                    self.speed_arrays.push((self.array_field.clone(), scale));
                }
            }
            Field::Coordinates => {
                let points = value.piece().split_ascii_whitespace().count();
                let in_line = self.placemark.as_ref().is_none_or(|placemark| !placemark.has_point());
                if in_line && points > 0 {
                    self.lines.points = self.lines.points.saturating_add(u32::try_from(points).unwrap_or(u32::MAX));
                    self.lines.first.get_or_insert(place);
                }
            }
            Field::Name | Field::Description | Field::Stamp => {
                if let Some(placemark) = &mut self.placemark {
                    placemark.set(field, value, &mut self.builder);
                }
            }
        }
    }

    /// The XML is broken: the value that it stands in is lost, and perhaps more of a track.
    fn broken(&mut self) {
        let field = self.field.take().map(|(field, _)| field);
        self.xml.drop_text();
        let place = self.xml.place();
        if let Some(track) = &mut self.track {
            track.break_off(field, place, &mut self.builder);
            self.xml.resume(RESUME_IN_TRACK, "time or position", &mut self.builder);
            self.xml.set_depth(track.depth);
        } else {
            self.placemark = None;
            self.xml.resume(RESUME, "placemark", &mut self.builder);
        }
    }

    fn finish(mut self) -> Result<FlightLog, ReadError> {
        let cut_off = self.xml.cut_off()?;
        let inside = if self.track.is_some() { " inside a track" } else { "" };
        if let Some(track) = self.track.take() {
            track.store(cut_off.is_some(), &mut self.builder);
        }
        let nothing = self.builder.fixes.is_empty() && !self.builder.has_points_without_time();
        if let Some(place) = cut_off {
            if nothing {
                return Err(self.builder.cut_off(LogFormat::Kml, place));
            }
            warn_cut_off("kml", inside, place, &mut self.builder);
        }
        if let Some(first) = self.lines.first {
            if nothing && self.tracks == 0 {
                return Err(ReadError::NoTimes { format: LogFormat::Kml, points: self.lines.points, line: first.line });
            }
            self.builder.note(
                "line-ignored",
                first,
                || "a line without times is not a recorded flight and was not read".to_owned(),
                "",
            );
        }
        let help = if self.tracks > 0 {
            ""
        } else if self.places > 0 {
            "it has places but no recorded track (gx:Track); export the track with its times"
        } else if self.links {
            "it only links to another file (NetworkLink); give that one"
        } else {
            "export the recorded track with its times (gx:Track), or as GPX or IGC"
        };
        self.builder.finish(LogFormat::Kml, help)
    }
}

/// An attribute of an element, or nothing.
fn attribute(element: &BytesStart<'_>, name: &str, builder: &LogBuilder) -> String {
    let most = builder.limits.of(InputLimit::XmlAttributes);
    let longest = builder.limits.of(InputLimit::NameCharacters);
    let mut attributes = element.attributes();
    let found = attributes.with_checks(false).flatten().take(most).find(|attribute| attribute.key.as_ref() == name);
    found.map(|attribute| attribute.value.chars().take(longest).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests;
