//! XML as flight logs hold it: tags one by one, the text of those that are wanted, nothing expanded, nothing recursed over.
//!
//! Depth is counted, never recursed over; entities are never expanded; a document type is not read; a fault costs a
//! point, not the file. What the tags mean is for `gpx` and `kml` to say.

mod label;
mod value;

pub(crate) use label::{BAD_NAME, Label};
pub(crate) use value::Value;

use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::error::ReadError;
use crate::lines::LineCounter;
use driftless_track::{InputLimit, SourceRef};
use driftless_units::excerpt;
use quick_xml::Reader;
use quick_xml::events::{BytesEnd, BytesRef, BytesStart, Event};
use std::borrow::Cow;

/// After so many syntax errors the rest is not XML any more (each one may cost a scan to the end of the file).
const MAX_RESTARTS: u32 = 50;

/// The document as valid UTF-8.
pub(crate) fn text_of<'a>(decoded: &'a Decoded<'_>, builder: &mut LogBuilder) -> Cow<'a, str> {
    // The lossy conversion is several times slower than the check, and hardly ever needed.
    std::str::from_utf8(&decoded.bytes).map_or_else(
        |_| {
            builder.note_all("bad-utf8", || "some characters are not valid UTF-8 and were replaced".to_owned(), "");
            String::from_utf8_lossy(&decoded.bytes)
        },
        Cow::Borrowed,
    )
}

/// What comes next in a document.
#[derive(Debug)]
pub(crate) enum Tag<'a> {
    /// An element begins; [`XmlReader::depth`] is its own.
    Open(BytesStart<'a>),
    /// An element ends; [`XmlReader::depth`] is still its own.
    Close(BytesEnd<'a>),
    /// The XML is broken here: go on with [`XmlReader::resume`], or there is nothing more.
    Broken,
}

/// Pulls the tags of a document.
pub(crate) struct XmlReader<'a> {
    text: &'a str,
    reader: Reader<&'a [u8]>,
    /// Where in the text `reader` began.
    start: usize,
    lines: LineCounter<'a>,
    /// The name of the root element.
    root: &'static str,
    depth: u32,
    /// The last tag was an end: its element is still counted in `depth`.
    closing: bool,
    /// Where the last tag stands.
    at: usize,
    root_seen: bool,
    /// The end tag of the root has come, and nothing has begun behind it.
    root_closed: bool,
    /// The depth of the element whose text is wanted.
    wanted: Option<u32>,
    value: Value<'a>,
    restarts: u32,
    ended_early: bool,
}

impl<'a> XmlReader<'a> {
    /// Reads `text`, which stands `base` bytes behind the start of the file and should have this root element.
    pub(crate) fn new(text: &'a str, base: u64, root: &'static str, builder: &LogBuilder) -> Self {
        Self {
            text,
            reader: events(text),
            start: 0,
            lines: LineCounter::new(text.as_bytes(), base),
            root,
            depth: 0,
            closing: false,
            at: 0,
            root_seen: false,
            root_closed: false,
            wanted: None,
            value: Value::within(&builder.limits),
            restarts: 0,
            ended_early: false,
        }
    }

    /// The next tag; `None` at the end of the text, or behind broken XML that nobody resumed from.
    pub(crate) fn next(&mut self, builder: &mut LogBuilder) -> Result<Option<Tag<'a>>, ReadError> {
        if self.ended_early {
            return Ok(None);
        }
        if std::mem::take(&mut self.closing) {
            self.depth = self.depth.saturating_sub(1);
            self.root_closed = self.root_seen && self.depth == 0;
        }
        loop {
            self.at = self.offset(self.reader.buffer_position());
            match self.reader.read_event() {
                Ok(Event::Start(element)) => {
                    if self.enter(&element, builder)? {
                        return Ok(Some(Tag::Open(element)));
                    }
                }
                Ok(Event::End(element)) => {
                    if element.local_name().into_inner() == self.root {
                        self.depth = self.depth.min(1);
                    }
                    self.closing = true;
                    return Ok(Some(Tag::Close(element)));
                }
                Ok(Event::Text(text)) => self.words(text.into_inner(), builder)?,
                Ok(Event::CData(text)) => self.words(text.into_inner(), builder)?,
                Ok(Event::GeneralRef(reference)) => self.reference(&reference, builder),
                Ok(Event::DocType(_)) => {
                    let place = self.place();
                    builder.note("doctype-ignored", place, || "a document type was not read".to_owned(), "");
                }
                Ok(Event::Eof) => {
                    self.at = self.text.len();
                    return Ok(None);
                }
                Ok(_) => {}
                Err(_) => {
                    self.at = self.offset(self.reader.error_position()).max(self.at);
                    // Until somebody resumes.
                    self.ended_early = true;
                    return Ok(Some(Tag::Broken));
                }
            }
        }
    }

    fn offset(&self, position: u64) -> usize {
        self.start.saturating_add(usize::try_from(position).unwrap_or(usize::MAX))
    }

    /// Counts an element in; `false` where it is not for the caller.
    fn enter(&mut self, element: &BytesStart<'_>, builder: &mut LogBuilder) -> Result<bool, ReadError> {
        self.depth = self.depth.saturating_add(1);
        self.root_closed = false;
        let depth = usize::try_from(self.depth).unwrap_or(usize::MAX);
        if let Err(over) = builder.limits.hold(InputLimit::XmlDepth, depth, None) {
            let place = self.place();
            let words = || format!("what stands deeper was left out: {over}");
            builder.warn("xml-too-deep", place, words, "an end tag may be missing");
            return Ok(false);
        }
        if !self.root_seen {
            let name = element.local_name().into_inner();
            if name != self.root {
                return Err(not_a_log(name, self.place().line));
            }
            self.root_seen = true;
            return Ok(false);
        }
        if self.wanted.is_some() {
            // An element inside of one whose text is wanted: that text is not a plain value.
            self.value.spoil();
        }
        Ok(true)
    }

    fn words(&mut self, text: Cow<'a, str>, builder: &mut LogBuilder) -> Result<(), ReadError> {
        if self.wanted.is_some() {
            self.value.push(text);
        } else if !self.root_seen && text.trim().len() > 4096 {
            // A page of prose with "<" somewhere.
            return Err(not_a_log(&text, 1));
        } else if self.root_closed {
            self.note_behind_root(&text, builder);
        }
        Ok(())
    }

    /// Words behind the end of the document: perhaps half of another file.
    fn note_behind_root(&mut self, text: &str, builder: &mut LogBuilder) {
        let words = text.trim();
        if words.is_empty() {
            return;
        }
        let place = self.lines.place(self.at + text.len() - text.trim_start().len());
        let root = self.root;
        builder.warn(
            "text-after-end",
            place,
            || format!("text behind </{root}> was not read: {}", excerpt(words.as_bytes())),
            "two files may have been joined; read them one by one",
        );
    }

    fn reference(&mut self, reference: &BytesRef<'_>, builder: &mut LogBuilder) {
        if self.wanted.is_none() {
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
        let place = self.place();
        builder.warn(
            "entity-not-expanded",
            place,
            || format!("the entity {} was not expanded; the value it stands in was left out", excerpt(name.as_bytes())),
            "write the value itself",
        );
    }

    /// How many elements are open, the one of the last tag with them.
    pub(crate) fn depth(&self) -> u32 {
        self.depth
    }

    /// Sets that right where an end tag was missing.
    pub(crate) fn set_depth(&mut self, depth: u32) {
        self.depth = depth;
    }

    /// Where the last tag stands in the text.
    pub(crate) fn at(&self) -> usize {
        self.at
    }

    /// Where the last tag stands in the file.
    pub(crate) fn place(&mut self) -> SourceRef {
        self.lines.place(self.at)
    }

    /// Where a place of the text behind the last one asked for stands in the file.
    pub(crate) fn place_of(&mut self, at: usize) -> SourceRef {
        self.lines.place(at)
    }

    /// The text from a place on.
    pub(crate) fn text_from(&self, at: usize) -> Option<&'a str> {
        self.text.get(at..)
    }

    /// Somebody else has read the element that has just been opened and more of its kind: the next tag is sought here.
    pub(crate) fn go_on_at(&mut self, at: usize) {
        self.start = at;
        self.reader = events(self.text.get(at..).unwrap_or_default());
        self.depth = self.depth.saturating_sub(1);
    }

    /// Begins to collect the text of the element that has just been opened.
    pub(crate) fn want_text(&mut self) {
        self.wanted = Some(self.depth);
        self.value.clear();
    }

    /// Gives up the text that was being collected.
    pub(crate) fn drop_text(&mut self) {
        self.wanted = None;
    }

    /// Ends the collecting; the text is there until more is collected.
    pub(crate) fn take_text(&mut self) -> &Value<'a> {
        self.wanted = None;
        &self.value
    }

    /// An end tag that is none of the element that is open.
    pub(crate) fn warn_mismatch(&mut self, local: &str, builder: &mut LogBuilder) {
        let place = self.place();
        builder.warn(
            "xml-mismatched-tags",
            place,
            || format!("the end tag </{}> does not match", local.chars().take(40).collect::<String>()),
            "the value before it was left out",
        );
    }

    /// After [`Tag::Broken`]: goes on at the next of these tags (each written as `<name`), if there is one.
    /// `what` names it.
    pub(crate) fn resume(&mut self, tags: &[&str], what: &str, builder: &mut LogBuilder) {
        let behind = self.at.saturating_add(1);
        let rest = self.text.as_bytes().get(behind..).unwrap_or_default();
        let next = tags.iter().filter_map(|tag| memchr::memmem::find(rest, tag.as_bytes())).min();
        let next = next.map(|at| behind + at).filter(|_| self.restarts < MAX_RESTARTS);
        let Some((next, rest)) = next.and_then(|next| Some((next, self.text.get(next..)?))) else { return };
        let broken = self.text.as_bytes().get(self.at..).unwrap_or_default();
        let place = self.lines.place(self.at);
        builder.warn(
            "xml-broken",
            place,
            || format!("broken XML: {}; reading went on at the next {what}", excerpt(broken)),
            "what stands between was left out",
        );
        self.restarts += 1;
        self.ended_early = false;
        self.wanted = None;
        self.start = next;
        self.reader = events(rest);
    }

    /// At the end: where that is, where the document is not complete.
    ///
    /// # Errors
    /// When there was no root element at all.
    pub(crate) fn cut_off(&mut self) -> Result<Option<SourceRef>, ReadError> {
        if !self.root_seen {
            return Err(not_a_log(self.text, 1));
        }
        let early = self.depth > 0 || self.ended_early;
        Ok(early.then(|| self.lines.place(self.text.len())))
    }
}

fn events(text: &str) -> Reader<&[u8]> {
    let mut reader = Reader::from_str(text);
    let config = reader.config_mut();
    config.expand_empty_elements = true;
    config.check_end_names = false;
    config.allow_unmatched_ends = true;
    config.allow_dangling_amp = true;
    config.check_comments = false;
    reader
}

/// What came before was read.
pub(crate) fn warn_cut_off(root: &str, inside: &str, place: SourceRef, builder: &mut LogBuilder) {
    builder.warn(
        "cut-off",
        place,
        || format!("the file ends early{inside}: </{root}> is missing"),
        "what came before was read; copy the file from the logger again",
    );
}

fn not_a_log(root: &str, line: u32) -> ReadError {
    let help = match root {
        "TrainingCenterDatabase" => "export the flight as GPX instead of TCX",
        "html" | "HTML" => "this is a web page, perhaps saved instead of the file behind it",
        _ => "GPX and KML are the only XML that is read",
    };
    ReadError::XmlNotGpx { root: root.trim().chars().take(40).collect(), line, help }
}
