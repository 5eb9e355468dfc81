//! One track point or waypoint while it is being read.

use crate::builder::LogBuilder;
use crate::number::parse_f64;
use crate::sane;
use crate::time::{Stamp, bad_year, parse_stamp};
use crate::xml::{BAD_NAME, Label};
use driftless_track::{Fix, FixQuality, InputLimit, InputLimits, SourceRef};
use driftless_units::excerpt;
use quick_xml::events::BytesStart;

/// Elements of a point whose text is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Time,
    Elevation,
    Speed,
    Course,
    /// `bearing`: taken for the course when no `course` is there.
    Bearing,
    HorizontalError,
    Hdop,
    FixKind,
    EngineRpm,
    Name,
    Comment,
    Description,
}

impl Field {
    /// The field of a local name; some only count as a child of the point itself, not deep inside of extensions.
    pub(super) fn of(local: &str, direct: bool) -> Option<Self> {
        Some(match local {
            "time" if direct => Self::Time,
            "ele" if direct => Self::Elevation,
            "hdop" if direct => Self::Hdop,
            "fix" if direct => Self::FixKind,
            "name" if direct => Self::Name,
            "cmt" if direct => Self::Comment,
            "desc" if direct => Self::Description,
            "speed" | "Speed" => Self::Speed,
            "course" | "Course" => Self::Course,
            "bearing" | "Bearing" => Self::Bearing,
            "hAcc" | "hacc" | "horizontalAccuracy" | "accuracy" => Self::HorizontalError,
            "rpm" | "RPM" => Self::EngineRpm,
            _ => return None,
        })
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PointKind {
    Track,
    Waypoint,
}

/// A value that may be missing, good, or bad (then the words stand in a problem when the point is stored).
#[derive(Debug, Clone, PartialEq, Default)]
enum Read<T> {
    #[default]
    Missing,
    Good(T),
    Bad(String),
}

impl<T> Read<T> {
    fn from(text: Option<&str>, parse: impl FnOnce(&[u8]) -> Option<T>) -> Self {
        match text {
            None => Self::Bad("not plain text".to_owned()),
            Some("") => Self::Missing,
            Some(text) => parse(text.as_bytes()).map_or_else(|| Self::Bad(excerpt(text.as_bytes())), Self::Good),
        }
    }
}

#[derive(Debug)]
pub(super) struct Point {
    kind: PointKind,
    fix: Fix,
    lat: Read<f64>,
    lon: Read<f64>,
    time: Read<Stamp>,
    bearing_deg: Option<f64>,
    label: Label,
    /// The first optional value that made no sense: its code and the words.
    bad_value: Option<(&'static str, String)>,
    not_known: bool,
    odd_fix_kind: Option<String>,
}

impl Point {
    pub(super) fn new(kind: PointKind, source: SourceRef) -> Self {
        Self {
            kind,
            fix: Fix { source, ..Fix::default() },
            lat: Read::Missing,
            lon: Read::Missing,
            time: Read::Missing,
            bearing_deg: None,
            label: Label::default(),
            bad_value: None,
            not_known: false,
            odd_fix_kind: None,
        }
    }

    /// With the position that stands in the attributes of its element.
    pub(super) fn of_element(
        kind: PointKind,
        element: &BytesStart<'_>,
        source: SourceRef,
        limits: &InputLimits,
    ) -> Self {
        let mut point = Self::new(kind, source);
        let most = limits.of(InputLimit::XmlAttributes);
        for (index, attribute) in element.attributes().with_checks(false).flatten().enumerate() {
            if index >= most {
                let over = limits.over(InputLimit::XmlAttributes, None);
                point.bad_value = Some(("too-many-attributes", over.to_string()));
                break;
            }
            point.set_coordinate(attribute.key.as_ref(), attribute.value.as_ref());
            if point.lat != Read::Missing && point.lon != Read::Missing {
                break;
            }
        }
        point
    }

    /// `lat` or `lon` as written; other attributes say nothing.
    pub(super) fn set_coordinate(&mut self, name: &str, value: &str) {
        match name {
            "lat" => self.lat = Read::from(Some(value), |text| parse_f64(text).and_then(sane::latitude)),
            "lon" => self.lon = Read::from(Some(value), |text| parse_f64(text).and_then(sane::longitude)),
            _ => {}
        }
    }

    pub(super) fn source(&self) -> SourceRef {
        self.fix.source
    }

    pub(super) fn is_waypoint(&self) -> bool {
        self.kind == PointKind::Waypoint
    }

    /// The text of an element, or `None` where it is no plain text.
    pub(super) fn set(&mut self, field: Field, text: Option<&str>) {
        match field {
            Field::Time => self.time = Read::from(text, parse_stamp),
            Field::Elevation => self.fix.gnss_altitude_m = self.number(text, "bad-altitude", sane::altitude_m).into(),
            Field::Speed => {
                let speed = self.number(text, "bad-speed", sane::speed_mps);
                self.fix.ground_speed_mps = self.fix.ground_speed_mps.or(speed.into());
            }
            Field::Course => {
                let course = self.number(text, "bad-course", sane::direction_deg);
                self.fix.course_deg = self.fix.course_deg.or(course.into());
            }
            Field::Bearing => self.bearing_deg = self.number(text, "bad-course", sane::direction_deg),
            Field::HorizontalError => {
                self.fix.horizontal_error_m =
                    self.number(text, "bad-accuracy", |m| (m >= 0.0).then_some(m)).and_then(sane::positive).into();
            }
            Field::Hdop => {
                self.fix.hdop =
                    self.number(text, "bad-accuracy", |m| (m >= 0.0).then_some(m)).and_then(sane::positive).into();
            }
            Field::EngineRpm => {
                self.fix.engine_rpm = self.number(text, "bad-engine-speed", |n| (n >= 0.0).then_some(n)).into();
            }
            Field::FixKind => self.fix.quality = self.fix_kind(text.unwrap_or_default()),
            Field::Name => self.label.name = self.words(text),
            Field::Comment => self.label.comment = self.words(text),
            Field::Description => self.label.description = self.words(text),
        }
    }

    fn words(&mut self, text: Option<&str>) -> String {
        if text.is_none() {
            self.bad_value.get_or_insert(("bad-name", BAD_NAME.to_owned()));
        }
        text.unwrap_or_default().to_owned()
    }

    fn fix_kind(&mut self, text: &str) -> FixQuality {
        match text {
            "3d" | "dgps" | "pps" => FixQuality::ThreeD,
            "2d" | "none" => FixQuality::TwoD,
            "" => FixQuality::Unstated,
            _ => {
                self.odd_fix_kind = Some(excerpt(text.as_bytes()));
                FixQuality::Unstated
            }
        }
    }

    fn number(&mut self, text: Option<&str>, code: &'static str, check: fn(f64) -> Option<f64>) -> Option<f64> {
        let text = text.unwrap_or("(not plain text)");
        if text.is_empty() {
            return None;
        }
        // Phones write -1 for a speed, course or accuracy they do not know.
        if code != "bad-altitude" && parse_f64(text.as_bytes()) == Some(-1.0) {
            self.not_known = true;
            return None;
        }
        let number = parse_f64(text.as_bytes()).and_then(check);
        if number.is_none() && self.bad_value.is_none() {
            self.bad_value = Some((code, excerpt(text.as_bytes())));
        }
        number
    }

    /// Puts the finished point into the log, or counts why not.
    pub(super) fn store(mut self, builder: &mut LogBuilder) {
        let place = self.fix.source;
        self.report_values(builder);
        let stamp = match std::mem::take(&mut self.time) {
            Read::Good(stamp) => stamp,
            Read::Missing if self.kind == PointKind::Waypoint => {
                builder.note("waypoint-without-time", place, || "a waypoint without a time is no mark".to_owned(), "");
                return;
            }
            Read::Missing => return builder.drop_without_time(place),
            Read::Bad(text) => {
                let message = || format!("a point was left out: the time {text} cannot be");
                let written = "times are written like 2026-05-01T09:30:00Z";
                let help = bad_year(text.trim_matches('"').as_bytes()).unwrap_or(written);
                return builder.warn("bad-time", place, message, help);
            }
        };
        if !stamp.zoned {
            builder.note(
                "time-without-zone",
                place,
                || "times have no zone and were taken as UTC".to_owned(),
                "GPX times are UTC; if the logger wrote local time, only the clock in the report is off",
            );
        }
        if self.kind == PointKind::Waypoint {
            builder.marks.push(self.label.mark(stamp.time, place));
            return;
        }
        let (Read::Good(lat_deg), Read::Good(lon_deg)) = (&self.lat, &self.lon) else {
            let message =
                || format!("a point was left out: latitude {}, longitude {}", shown(&self.lat), shown(&self.lon));
            return builder.warn("bad-coordinate", place, message, "");
        };
        let course_deg = self.fix.course_deg.or(self.bearing_deg.into());
        builder.fix(Fix { time: stamp.time, lat_deg: *lat_deg, lon_deg: *lon_deg, course_deg, ..self.fix });
    }

    fn report_values(&self, builder: &mut LogBuilder) {
        let place = self.fix.source;
        if let Some((code, text)) = &self.bad_value {
            builder.warn(code, place, || format!("a value was left out: {text}"), "the rest of the point was kept");
        }
        if self.not_known {
            builder.note(
                "value-not-known",
                place,
                || "a speed, course or accuracy of -1 means not known".to_owned(),
                "",
            );
        }
        if let Some(text) = &self.odd_fix_kind {
            builder.note(
                "unknown-fix-kind",
                place,
                || format!("the fix kind {text} is not one of GPX"),
                "the point was kept",
            );
        }
    }
}

fn shown(read: &Read<f64>) -> String {
    match read {
        Read::Missing => "missing".to_owned(),
        Read::Good(value) => value.to_string(),
        Read::Bad(text) => text.clone(),
    }
}
