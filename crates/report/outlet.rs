//! The last step of every output: what came out of files does nothing to whoever reads it.
//!
//! Sections and tables are written with the words as they stand in the files; here, once for each kind of output,
//! characters that would act on a terminal or a page are made visible ([`printable_lines`]), JSON writes them as
//! escapes, which keep them, and cells of CSV that a spreadsheet would run are made text.

use driftless_units::{acts_on_display, printable_lines};
use std::borrow::Cow;
use std::fmt::Write;

/// A finished page or text.
pub(crate) fn finished(text: String) -> String {
    match printable_lines(&text) {
        Cow::Borrowed(_) => text,
        Cow::Owned(shown) => shown,
    }
}

/// A finished JSON document. Outside of its strings JSON is ASCII without DEL, and in them the serializer has written
/// C0 as escapes already, so what is met here stands in a string, where an escape means the same character (RFC 8259,
/// section 7); the line ends of the layout stay.
pub(crate) fn finished_json(text: String) -> String {
    let acts = |c: char| c != '\n' && acts_on_display(c);
    if !text.contains(acts) {
        return text;
    }
    let mut escaped = String::with_capacity(text.len() + 64);
    for c in text.chars() {
        if acts(c) {
            // All of them are in the basic plane, so four digits hold them; a write into a string cannot fail.
            let _ = write!(escaped, "\\u{:04x}", u32::from(c));
        } else {
            escaped.push(c);
        }
    }
    escaped
}

/// Rows as CSV (RFC 4180 quoting, lines end in a newline).
pub(crate) fn table<Row>(rows: impl IntoIterator<Item = Row>) -> Result<String, csv::Error>
where
    Row: IntoIterator<Item = String>,
{
    let mut bytes = Vec::new();
    let mut writer = csv::Writer::from_writer(&mut bytes);
    for row in rows {
        writer.write_record(row.into_iter().map(|cell| harmless(&cell)))?;
    }
    writer.flush()?;
    drop(writer);
    // Only UTF-8 was written, so nothing is replaced here.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// First characters by which spreadsheets know a formula, in the width of both alphabets (OWASP, "CSV Injection").
const BEGINS_A_FORMULA: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// What begins another cell where a spreadsheet takes the semicolon for the separator, as those of many countries do: for them
/// the quotation marks of a cell stand in the middle of one, and hold nothing together.
const BEGINS_ANOTHER: [char; 2] = [';', '\n'];

/// A cell that shows nothing but itself: a word that would be run as a formula gets the apostrophe by which
/// spreadsheets know text, and so does what would become a cell of its own. Numbers stay numbers.
fn harmless(cell: &str) -> String {
    let shown = printable_lines(cell);
    let mut guarded = String::with_capacity(shown.len());
    for part in shown.split_inclusive(BEGINS_ANOTHER) {
        let word = part.trim_end_matches(BEGINS_ANOTHER);
        if word.trim_start().starts_with(BEGINS_A_FORMULA) && word.parse::<f64>().is_err() {
            guarded.push('\'');
        }
        guarded.push_str(part);
    }
    guarded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_a_spreadsheet_would_run_are_text() {
        for formula in ["=HYPERLINK(\"x\")", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "＝1+1", " =1", "\t=1", "-"] {
            assert_eq!(harmless(formula), format!("'{formula}"));
        }
        for plain in ["", "-1.25", "+3", "1e-7", "a=b", "vanes -5°", "'quoted"] {
            assert_eq!(harmless(plain), plain);
        }
        assert_eq!(harmless("\u{1b}[31mred\r\nnext"), "\\u{1b}[31mred\nnext");
        // Where the semicolon separates, and quotation marks in the middle of a line do not hold.
        for (split, text) in
            [("x;=1", "x;'=1"), ("x; +cmd|'/C calc'!A0;y", "x;' +cmd|'/C calc'!A0;y"), ("x\n@A1", "x\n'@A1")]
        {
            assert_eq!(harmless(split), text);
        }
        for plain in ["vanes; 5°", "x;-1.5", "too short; gaps: 3", ";", "a\nb"] {
            assert_eq!(harmless(plain), plain);
        }
    }

    #[test]
    fn json_keeps_every_character_as_an_escape() {
        let name = "a\u{1b}\u{7f}\u{9b}\u{202e}\u{2028}é";
        let text = finished_json(serde_json::to_string_pretty(&[name]).unwrap());
        assert!(!text.contains(|c: char| c != '\n' && acts_on_display(c)), "{text}");
        assert_eq!(serde_json::from_str::<Vec<String>>(&text).unwrap(), [name]);
    }
}
