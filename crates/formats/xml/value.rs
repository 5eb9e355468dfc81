//! The text of an element, which may come in pieces (around comments, CDATA and character references).

use driftless_track::{InputLimit, InputLimits};
use std::borrow::Cow;

/// Text so far; a single piece is borrowed, several are joined.
#[derive(Debug)]
pub(crate) struct Value<'a> {
    /// How long it may be, counted in bytes, which are never fewer than characters.
    longest: usize,
    single: &'a str,
    joined: String,
    spoiled: bool,
}

impl<'a> Value<'a> {
    pub(crate) fn within(limits: &InputLimits) -> Self {
        Self { longest: limits.of(InputLimit::NameCharacters), single: "", joined: String::new(), spoiled: false }
    }

    pub(crate) fn clear(&mut self) {
        self.single = "";
        self.joined.clear();
        self.spoiled = false;
    }

    pub(crate) fn push(&mut self, piece: Cow<'a, str>) {
        match piece {
            Cow::Borrowed(piece) if self.single.is_empty() && self.joined.is_empty() => self.single = piece,
            piece => self.append(&piece),
        }
    }

    pub(crate) fn push_char(&mut self, character: char) {
        self.append(character.encode_utf8(&mut [0; 4]));
    }

    fn append(&mut self, piece: &str) {
        self.joined.push_str(std::mem::take(&mut self.single));
        if self.joined.len() + piece.len() > self.longest {
            self.spoil();
        } else {
            self.joined.push_str(piece);
        }
    }

    /// The element holds something that is not plain text.
    pub(crate) fn spoil(&mut self) {
        self.spoiled = true;
    }

    /// The text so far, whatever its length and whatever else stands in the element.
    pub(crate) fn piece(&self) -> &str {
        if self.joined.is_empty() { self.single } else { &self.joined }
    }

    /// The text without blanks around it, or `None` when it is not plain text or too long.
    pub(crate) fn text(&self) -> Option<&str> {
        let text = self.piece();
        (!self.spoiled && text.len() <= self.longest).then(|| text.trim())
    }
}
