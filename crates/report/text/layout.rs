//! Plain text in columns and paragraphs, measured in characters.

/// Width the text is set for, in characters: the narrowest terminal in common use.
pub(crate) const WIDTH: usize = 80;

/// Which edge a column keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Breaks a paragraph at blanks; the first line is led in by `first`, the others by blanks of the same width.
///
/// Blanks that must not break (U+00A0) keep their neighbours together and come out as ordinary blanks, so that a
/// plain search finds "12 m/s". A single word longer than the line stands alone on its line.
pub(crate) fn paragraph(first: &str, words: &str) -> String {
    let hang = " ".repeat(first.chars().count());
    let mut text = first.to_owned();
    let mut column = first.chars().count();
    let mut line_is_empty = true;
    for word in words.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if !line_is_empty && column + 1 + length > WIDTH {
            text.push('\n');
            text.push_str(&hang);
            column = hang.len();
            line_is_empty = true;
        }
        if !line_is_empty {
            text.push(' ');
            column += 1;
        }
        text.push_str(word);
        column += length;
        line_is_empty = false;
    }
    text.push('\n');
    text.replace('\u{a0}', " ")
}

/// Rows under a head, columns two blanks apart.
pub(crate) fn table<const N: usize>(columns: [(&str, Align); N], rows: &[[String; N]]) -> String {
    let mut widths = columns.map(|(head, _)| head.chars().count());
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let line = |cells: [&str; N]| {
        let mut line = String::new();
        for ((cell, width), (_, align)) in cells.iter().zip(widths).zip(columns) {
            if !line.is_empty() {
                line.push_str("  ");
            }
            match align {
                Align::Left => line.push_str(&format!("{cell:<width$}")),
                Align::Right => line.push_str(&format!("{cell:>width$}")),
            }
        }
        format!("{}\n", line.trim_end())
    };
    let mut text = line(columns.map(|(head, _)| head));
    for row in rows {
        text.push_str(&line(row.each_ref().map(String::as_str)));
    }
    text.replace('\u{a0}', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_hang_and_keep_within_the_width() {
        let text = paragraph("Wind    ", &"word ".repeat(40));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("        word")));
    }

    #[test]
    fn unbreakable_blanks_hold_and_come_out_plain() {
        let text = paragraph("", &format!("{} 12\u{a0}m/s", "x".repeat(75)));
        assert_eq!(text.lines().nth(1), Some("12 m/s"));
    }

    #[test]
    fn columns_line_up() {
        let rows = [["1".to_owned(), "short".to_owned()], ["20".to_owned(), "longer".to_owned()]];
        let text = table([("No", Align::Right), ("Name", Align::Left)], &rows);
        assert_eq!(text, "No  Name\n 1  short\n20  longer\n");
    }
}
