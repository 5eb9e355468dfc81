//! A placemark while it is being read: a point with a time is a mark.

use super::field::Field;
use super::moment::Moment;
use crate::builder::LogBuilder;
use crate::xml::{BAD_NAME, Label, Value};
use chrono::DateTime;
use driftless_track::{MarkKind, SourceRef};

#[derive(Debug)]
pub(super) struct Placemark {
    depth: u32,
    source: SourceRef,
    label: Label,
    time: Option<Moment>,
    has_point: bool,
    /// A TimeStamp of the placemark itself is open (views have some, too).
    in_stamp: bool,
}

impl Placemark {
    pub(super) fn new(depth: u32, source: SourceRef) -> Self {
        Self { depth, source, label: Label::default(), time: None, has_point: false, in_stamp: false }
    }

    pub(super) fn has_point(&self) -> bool {
        self.has_point
    }

    /// An element opens inside; what of it is wanted.
    pub(super) fn open(&mut self, local: &str, depth: u32) -> Option<Field> {
        let child = depth == self.depth + 1;
        match local {
            "name" if child => return Some(Field::Name),
            "description" if child => return Some(Field::Description),
            "TimeStamp" if child => self.in_stamp = true,
            "Point" if child => self.has_point = true,
            "when" if self.in_stamp => return Some(Field::Stamp),
            _ => {}
        }
        None
    }

    /// An element of this depth closes.
    pub(super) fn close(&mut self, depth: u32) {
        if depth <= self.depth + 1 {
            self.in_stamp = false;
        }
    }

    pub(super) fn set(&mut self, field: Field, value: &Value<'_>, builder: &mut LogBuilder) {
        match field {
            Field::Stamp => self.time = Some(Moment::read(value.text(), self.source, builder)),
            Field::Name | Field::Description => {
                let words = value.text().unwrap_or_default().to_owned();
                if value.text().is_none() {
                    let message = || format!("a value was left out: {BAD_NAME}");
                    builder.warn("bad-name", self.source, message, "the rest of the placemark was kept");
                }
                if field == Field::Name { self.label.name = words } else { self.label.description = words }
            }
            _ => {}
        }
    }

    /// The placemark is complete: a mark, where it is a point and says when.
    pub(super) fn store(self, builder: &mut LogBuilder) {
        if !self.has_point {
            return;
        }
        match self.time {
            Some(Moment::At(time)) => builder.marks.push(self.label.mark(time, self.source)),
            // Most maps have places without times, which are meant to be none.
            None | Some(Moment::Untimed) => {
                if self.label.mark(DateTime::UNIX_EPOCH, self.source).kind != MarkKind::Other {
                    let message = || "a placemark of a let-go or take-over has no time and is no mark".to_owned();
                    builder.note("waypoint-without-time", self.source, message, "give it a TimeStamp");
                }
            }
            Some(Moment::Bad) => {}
        }
    }
}
