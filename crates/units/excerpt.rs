//! Short, printable pieces of the input for messages.

use crate::printable;

/// At most 60 characters of `bytes`, in quotes, with characters that act and foreign bytes made visible.
pub fn excerpt(bytes: &[u8]) -> String {
    const LIMIT: usize = 60;
    let head = bytes.get(..4 * LIMIT).unwrap_or(bytes);
    let text = String::from_utf8_lossy(head);
    let mut shown = printable(&text.chars().take(LIMIT).collect::<String>()).into_owned();
    if text.chars().nth(LIMIT).is_some() || head.len() < bytes.len() {
        shown.push('…');
    }
    format!("\"{shown}\"")
}

#[cfg(test)]
mod tests {
    use super::excerpt;

    #[test]
    fn excerpts_are_short_and_printable() {
        assert_eq!(excerpt(b"plain"), "\"plain\"");
        assert_eq!(excerpt(b"a\0b"), "\"a\\u{0}b\"");
        assert_eq!(excerpt(&[b'x'; 1000]).chars().count(), 63);
    }
}
