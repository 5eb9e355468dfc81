//! What a place that was marked calls itself.

use chrono::{DateTime, Utc};
use driftless_track::{Mark, MarkKind, SourceRef};

/// Name, comment and description of a waypoint or placemark.
#[derive(Debug, Default)]
pub(crate) struct Label {
    pub(crate) name: String,
    pub(crate) comment: String,
    pub(crate) description: String,
}

/// What is said of a text that cannot be kept.
pub(crate) const BAD_NAME: &str =
    "a name or note that is no plain text, or too long (--limit name-characters=N takes longer ones)";

impl Label {
    /// The first of name, comment and description that says let go or take over; else the first that says anything.
    pub(crate) fn mark(&self, time: DateTime<Utc>, place: SourceRef) -> Mark {
        let texts = [&self.name, &self.comment, &self.description];
        let mut marks =
            texts.into_iter().filter(|text| !text.is_empty()).map(|text| Mark::from_text(time, text, place));
        let first = marks.next();
        match first {
            Some(first) if first.kind == MarkKind::Other => marks.find(|m| m.kind != MarkKind::Other).unwrap_or(first),
            first => first.unwrap_or_else(|| Mark::from_text(time, "", place)),
        }
    }
}
