//! Characters: byte order marks, UTF-16, and the 8-bit sets an XML declaration may name.

use crate::builder::LogBuilder;
use crate::error::ReadError;
use std::borrow::Cow;

/// Text to read, and how many bytes of the file stand before it.
#[derive(Debug)]
pub(crate) struct Decoded<'a> {
    /// The content without byte order mark. Valid UTF-8 only where the format needs it.
    pub(crate) bytes: Cow<'a, [u8]>,
    /// Bytes taken off the front.
    pub(crate) base: u64,
}

/// Sets whose ASCII bytes mean ASCII everywhere: numbers and markup are safe, only names may come out wrong.
const ASCII_SAFE: &[&str] =
    &["windows-125", "iso-8859-", "koi8-", "shift_jis", "gb2312", "gbk", "gb18030", "big5", "euc-"];

/// Takes off byte order marks and turns UTF-16 and Latin-1 into UTF-8.
pub(crate) fn decode<'a>(bytes: &'a [u8], builder: &mut LogBuilder) -> Result<Decoded<'a>, ReadError> {
    if let Some(rest) = bytes.strip_prefix(b"\xef\xbb\xbf") {
        return Ok(Decoded { bytes: Cow::Borrowed(rest), base: 3 });
    }
    let utf16 = match bytes {
        [0xff, 0xfe, rest @ ..] => Some(utf16_text(rest, u16::from_le_bytes)),
        [0xfe, 0xff, rest @ ..] => Some(utf16_text(rest, u16::from_be_bytes)),
        [b'<', 0, b'?' | b'g', 0, ..] => Some(utf16_text(bytes, u16::from_le_bytes)),
        [0, b'<', 0, b'?' | b'g', ..] => Some(utf16_text(bytes, u16::from_be_bytes)),
        _ => None,
    };
    if let Some(text) = utf16 {
        note_decoded(builder, "UTF-16");
        return Ok(Decoded { bytes: Cow::Owned(text.into_bytes()), base: 0 });
    }
    match xml_encoding(bytes) {
        Some(name) => decode_named(bytes, &name, builder),
        None => Ok(Decoded { bytes: Cow::Borrowed(bytes), base: 0 }),
    }
}

fn decode_named<'a>(bytes: &'a [u8], name: &str, builder: &mut LogBuilder) -> Result<Decoded<'a>, ReadError> {
    let lower = name.to_ascii_lowercase();
    match lower.as_str() {
        // A file that can be read byte by byte is not UTF-16, whatever it says.
        "utf-8" | "utf8" | "us-ascii" | "ascii" | "utf-16" | "utf-16le" | "utf-16be" => {}
        "iso-8859-1" | "latin1" | "latin-1" | "iso8859-1" | "windows-1252" | "cp1252" => {
            if !bytes.is_ascii() {
                note_decoded(builder, name);
                let text: String = bytes.iter().map(|&b| windows_1252(b)).collect();
                return Ok(Decoded { bytes: Cow::Owned(text.into_bytes()), base: 0 });
            }
        }
        _ if ASCII_SAFE.iter().any(|safe| lower.starts_with(safe)) => {
            if !bytes.is_ascii() {
                builder.note_all(
                    "encoding-assumed",
                    || format!("the file is written in the encoding {name}; names in it may be shown wrongly"),
                    "numbers and times are not touched by this; save the file as UTF-8 to keep its names",
                );
            }
        }
        _ => return Err(ReadError::Encoding { name: name.chars().take(40).collect() }),
    }
    Ok(Decoded { bytes: Cow::Borrowed(bytes), base: 0 })
}

fn note_decoded(builder: &mut LogBuilder, name: &str) {
    builder.note_all(
        "decoded",
        || format!("the file is written in {name}; byte positions count in the decoded text"),
        "",
    );
}

fn utf16_text(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> String {
    let units = bytes.chunks_exact(2).filter_map(|pair| pair.first_chunk().copied()).map(unit);
    char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect()
}

/// ISO-8859-1 with the printable characters that Windows puts at 0x80 to 0x9F (WHATWG Encoding Standard: the label
/// ISO-8859-1 means windows-1252 in practice).
fn windows_1252(byte: u8) -> char {
    const C1: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}', '\u{90}', '‘',
        '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
    ];
    C1.get(usize::from(byte.wrapping_sub(0x80))).copied().unwrap_or(char::from(byte))
}

/// Words in a file that does not say how it is written: UTF-8 where it is, else one of the 8-bit sets, which agree on °, µ
/// and ².
pub(crate) fn text_of(bytes: &[u8]) -> Cow<'_, str> {
    std::str::from_utf8(bytes).map_or_else(|_| bytes.iter().copied().map(windows_1252).collect(), Cow::Borrowed)
}

/// The encoding an XML declaration names, if there is one in the first line.
fn xml_encoding(bytes: &[u8]) -> Option<String> {
    let head = bytes.trim_ascii_start();
    let head = head.get(..256).unwrap_or(head);
    if !head.starts_with(b"<?xml") {
        return None;
    }
    let declaration = head.split(|&b| b == b'>').next()?;
    let at = memchr::memmem::find(declaration, b"encoding")?;
    let value = declaration.get(at + 8..)?.trim_ascii_start().strip_prefix(b"=")?.trim_ascii_start();
    let (quote, value) = value.split_first()?;
    if !matches!(quote, b'"' | b'\'') {
        return None;
    }
    let name = value.split(|b| b == quote).next()?;
    Some(String::from_utf8_lossy(name).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(bytes: &[u8]) -> String {
        let decoded = decode(bytes, &mut LogBuilder::default()).expect("known encoding");
        String::from_utf8(decoded.bytes.into_owned()).expect("UTF-8")
    }

    #[test]
    fn utf16_with_and_without_mark() {
        let le: Vec<u8> = "<?xml?>é".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let be: Vec<u8> = "\u{feff}<gpx>é".encode_utf16().flat_map(u16::to_be_bytes).collect();
        assert_eq!(decoded(&le), "<?xml?>é");
        assert_eq!(decoded(&be), "<gpx>é");
    }

    #[test]
    fn declared_latin_1_is_decoded_and_others_are_refused() {
        assert_eq!(
            decoded(b"<?xml version='1.0' encoding='ISO-8859-1'?>\xe9\x80"),
            "<?xml version='1.0' encoding='ISO-8859-1'?>é€"
        );
        let refused = decode(b"<?xml version=\"1.0\" encoding=\"UTF-7\"?>", &mut LogBuilder::default());
        assert_eq!(refused.map(|_| ()).map_err(|e| e.code()), Err("encoding"));
    }
}
