//! Characters that act on whatever shows them instead of being shown, made visible.
//!
//! Names and notes come out of files that anybody may have written. A terminal obeys escape codes, a page or terminal
//! lets bidirectional marks turn words around, a line separator begins a line nobody wrote. Text passes through here
//! where it leaves the program, and nowhere before: what is kept and compared is what stands in the file.

use std::borrow::Cow;

/// Whether a character acts instead of being shown: C0 and C1 controls and DEL (Unicode category Cc), the line and
/// paragraph separators (Zl, Zp), and the marks, embeddings, overrides and isolates of the bidirectional algorithm
/// (Unicode Standard Annex #9, section 2).
pub fn acts_on_display(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}'
        )
}

/// One line that can be shown: whatever acts, line ends included, is written as its escape (`\n`, `\u{1b}`).
///
/// ```
/// assert_eq!(driftless_units::printable("let go \u{1b}[31m"), "let go \\u{1b}[31m");
/// ```
pub fn printable(text: &str) -> Cow<'_, str> {
    escaped(text, |_| false)
}

/// The same for text of several lines: tabs and line ends (LF, or CR LF, which becomes LF) stay.
pub fn printable_lines(text: &str) -> Cow<'_, str> {
    match text.contains("\r\n") {
        true => Cow::Owned(escaped(&text.replace("\r\n", "\n"), is_layout).into_owned()),
        false => escaped(text, is_layout),
    }
}

fn is_layout(c: char) -> bool {
    matches!(c, '\n' | '\t')
}

fn escaped(text: &str, stays: fn(char) -> bool) -> Cow<'_, str> {
    let acts = |c: char| acts_on_display(c) && !stays(c);
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if acts(c) {
            shown.extend(c.escape_default());
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every character of the classes named, and none else: Unicode 16.0, DerivedGeneralCategory (Cc, Zl, Zp) and
    /// PropList (Bidi_Control).
    #[test]
    fn published_classes_of_unicode_are_met_exactly() {
        let controls = (0x00..=0x1f).chain(0x7f..=0x9f);
        let bidi = [0x61c, 0x200e, 0x200f].into_iter().chain(0x202a..=0x202e).chain(0x2066..=0x2069);
        let expected: Vec<u32> = controls.chain(bidi).chain([0x2028, 0x2029]).collect();
        let mut found: Vec<u32> = ('\0'..=char::MAX).filter(|c| acts_on_display(*c)).map(u32::from).collect();
        let mut expected = expected;
        expected.sort_unstable();
        found.sort_unstable();
        assert_eq!(found, expected);
    }

    #[test]
    fn what_acts_is_written_as_its_escape() {
        assert_eq!(
            printable("a\u{1b}[31m\u{7f}\u{9b}\u{202e}\u{2028}z"),
            "a\\u{1b}[31m\\u{7f}\\u{9b}\\u{202e}\\u{2028}z"
        );
        assert_eq!(printable("two\nlines\t"), "two\\nlines\\t");
        assert_eq!(printable_lines("two\r\nlines\r\tend"), "two\nlines\\r\tend");
    }

    #[test]
    fn words_of_any_language_are_left_alone() {
        for words in ["", "Überflug 12\u{a0}m/s", "طيران", "飛行", "e\u{301}", "👩‍✈️"] {
            assert!(matches!(printable(words), Cow::Borrowed(same) if same == words), "{words}");
        }
    }
}
