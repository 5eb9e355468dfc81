//! Track points in the plain form that nearly every logger writes, read without a parser of all XML.
//!
//! Plain is a point whose tags match and have no attributes but `lat` and `lon`, and whose values are short text without
//! references, comments or CDATA. Such a point fills the same [`Point`] as with the general reader, value by value, so that
//! the same is kept and the same is told of it; at anything else this one steps back, and the general reader takes the
//! point. A test holds both against each other.

use super::point::{Field, Point};

/// Elements inside of each other in a plain point, itself with them.
pub(super) const DEEPEST: usize = 8;

/// Fills `point` from a plain point at the start of `text`, which begins with `<trkpt`, and tells how long it is there; values
/// are no longer than `longest`. `None` where the point is not plain: then it is filled with anything.
pub(super) fn fill(point: &mut Point, text: &str, longest: usize) -> Option<usize> {
    let mut rest = Cursor { text, at: "<trkpt".len() };
    rest.attributes(point)?;
    let mut open = [""; DEEPEST];
    // How many are open besides the point.
    let mut depth = 0_usize;
    loop {
        let name = match rest.tag()? {
            Tag::End(name) if depth == 0 => return (name == "trkpt").then_some(rest.at),
            Tag::End(name) => {
                depth -= 1;
                if open.get(depth) != Some(&name) {
                    return None;
                }
                continue;
            }
            Tag::Start(name) => name,
        };
        let local = name.split_once(':').map_or(name, |(_, local)| local);
        if matches!(local, "trkpt" | "wpt" | "trkseg" | "trk" | "gpx") || local.contains(':') {
            return None;
        }
        match Field::of(local, depth == 0) {
            Some(field) => {
                let value = rest.value(name)?;
                if value.len() > longest {
                    return None;
                }
                point.set(field, Some(value.trim()));
            }
            None => {
                *open.get_mut(depth).filter(|_| depth + 1 < DEEPEST)? = name;
                depth += 1;
            }
        }
    }
}

/// A tag without attributes.
enum Tag<'a> {
    Start(&'a str),
    End(&'a str),
}

struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Cursor<'a> {
    fn rest(&self) -> &'a [u8] {
        self.text.as_bytes().get(self.at..).unwrap_or_default()
    }

    /// `lat` and `lon`, once each, up to the `>`.
    fn attributes(&mut self, point: &mut Point) -> Option<()> {
        let mut seen = [false; 2];
        loop {
            let rest = self.rest();
            let blanks = rest.iter().take_while(|b| matches!(b, b' ' | b'\t' | b'\r' | b'\n')).count();
            self.at += blanks;
            let (name, which) = match rest.get(blanks..)? {
                [b'>', ..] => {
                    self.at += 1;
                    return (seen == [true; 2]).then_some(());
                }
                [b'l', b'a', b't', b'=', b'"', ..] => ("lat", 0),
                [b'l', b'o', b'n', b'=', b'"', ..] => ("lon", 1),
                _ => return None,
            };
            if blanks == 0 || std::mem::replace(seen.get_mut(which)?, true) {
                return None;
            }
            self.at += "lat=\"".len();
            let end = self.rest().iter().take(64).position(|&b| matches!(b, b'"' | b'<' | b'&'))?;
            let value = self.text.get(self.at..self.at + end)?;
            self.at += end;
            if self.rest().first() != Some(&b'"') {
                return None;
            }
            self.at += 1;
            point.set_coordinate(name, value);
        }
    }

    /// The next tag, over whatever words stand before it.
    fn tag(&mut self) -> Option<Tag<'a>> {
        let rest = self.rest();
        let mut begin = rest.iter().take(24).position(|&b| b == b'<');
        if begin.is_none() {
            begin = memchr::memchr(b'<', rest);
        }
        let begin = self.at + begin? + 1;
        let rest = self.text.as_bytes().get(begin..)?;
        let is_end = rest.first() == Some(&b'/');
        let begin = begin + usize::from(is_end);
        let rest = self.text.as_bytes().get(begin..)?;
        let length = rest.iter().take(64).position(|&b| !is_name(b))?;
        if length == 0 || rest.get(length) != Some(&b'>') {
            return None;
        }
        self.at = begin + length + 1;
        let name = self.text.get(begin..begin + length)?;
        Some(if is_end { Tag::End(name) } else { Tag::Start(name) })
    }

    /// Text up to the end tag of this name, and over that.
    fn value(&mut self, name: &str) -> Option<&'a str> {
        let rest = self.rest();
        let length = rest.iter().take(64).position(|&b| matches!(b, b'<' | b'&'))?;
        let value = self.text.get(self.at..self.at + length)?;
        let end = rest.get(length..)?.strip_prefix(b"</")?.strip_prefix(name.as_bytes())?;
        end.strip_prefix(b">")?;
        self.at += length + 3 + name.len();
        Some(value)
    }
}

/// Characters of names as loggers write them; others are for the general reader.
fn is_name(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b':' | b'_' | b'-' | b'.')
}
