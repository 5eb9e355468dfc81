//! The text of an element, which may come in pieces (around comments, CDATA and character references).

use driftless_track::{InputLimit, InputLimits};
use std::borrow::Cow;

/// Text so far; a single piece is borrowed, several are joined.
#[derive(Debug)]
pub(super) struct Value<'a> {
    /// How long it may be, counted in bytes, which are never fewer than characters.
    longest: usize,
    single: &'a str,
    joined: String,
    spoiled: bool,
}

impl<'a> Value<'a> {
    pub(super) fn within(limits: &InputLimits) -> Self {
        Self { longest: limits.of(InputLimit::NameCharacters), single: "", joined: String::new(), spoiled: false }
    }

    pub(super) fn clear(&mut self) {
        self.single = "";
        self.joined.clear();
        self.spoiled = false;
    }

    pub(super) fn push(&mut self, piece: Cow<'a, str>) {
        match piece {
            Cow::Borrowed(piece) if self.single.is_empty() && self.joined.is_empty() => self.single = piece,
            piece => self.append(&piece),
        }
    }

    pub(super) fn push_char(&mut self, character: char) {
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
    pub(super) fn spoil(&mut self) {
        self.spoiled = true;
    }

    /// The text without blanks around it, or `None` when it is not plain text or too long.
    pub(super) fn text(&self) -> Option<&str> {
        let text = if self.joined.is_empty() { self.single } else { &self.joined };
        (!self.spoiled && text.len() <= self.longest).then(|| text.trim())
    }
}
