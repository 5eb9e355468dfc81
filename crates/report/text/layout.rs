//! Plain text in columns and paragraphs, measured in characters.

use driftless_units::printable;

/// Width that text is set for where nobody says another, in characters.
pub(crate) const WIDTH: usize = 80;

/// Which edge a column keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// [`paragraph_within`] the usual width.
pub(crate) fn paragraph(first: &str, words: &str) -> String {
    paragraph_within(WIDTH, first, words)
}

/// Breaks a paragraph at blanks; the first line is led in by `first`, the others by blanks of the same width.
///
/// Blanks that must not break (U+00A0) keep their neighbours together and come out as ordinary blanks, so that a
/// plain search finds "12 m/s". A single word longer than the line stands alone on its line.
pub(crate) fn paragraph_within(width: usize, first: &str, words: &str) -> String {
    let hang = " ".repeat(first.chars().count());
    let mut text = first.to_owned();
    let mut column = first.chars().count();
    let mut line_is_empty = true;
    for word in words.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if !line_is_empty && column + 1 + length > width {
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

/// Rows under a head, columns two blanks apart; each row is one line.
pub(crate) fn table<const N: usize>(columns: [(&str, Align); N], rows: &[[String; N]]) -> String {
    let rows: Vec<_> = rows.iter().map(|row| row.each_ref().map(|cell| printable(cell))).collect();
    let mut widths = columns.map(|(head, _)| head.chars().count());
    for row in &rows {
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
            // Not by the width of a format string, which ends at 65,535.
            let blanks = " ".repeat(width.saturating_sub(cell.chars().count()));
            match align {
                Align::Left => line.extend([cell, blanks.as_str()]),
                Align::Right => line.extend([blanks.as_str(), cell]),
            }
        }
        format!("{}\n", line.trim_end())
    };
    let mut text = line(columns.map(|(head, _)| head));
    for row in &rows {
        text.push_str(&line(row.each_ref().map(AsRef::as_ref)));
    }
    text.replace('\u{a0}', " ")
}

/// [`table`] where it holds; else each row as a heading of its first cells and a line for each of the others, so that no line
/// is wider.
pub(crate) fn table_within<const N: usize>(
    width: usize,
    heading_cells: usize,
    columns: [(&str, Align); N],
    rows: &[[String; N]],
) -> String {
    let whole = table(columns, rows);
    if whole.lines().all(|line| line.chars().count() <= width) {
        return whole;
    }
    let mut text = String::new();
    for row in rows {
        let (heading, rest) = row.split_at(heading_cells.min(N));
        text.push_str(&paragraph_within(width, "", &printable(&heading.join(", "))));
        let filled = rest.iter().zip(columns.iter().skip(heading.len())).filter(|(cell, _)| !cell.is_empty());
        for (cell, (head, _)) in filled {
            text.push_str(&paragraph_within(width, "  ", &format!("{head}: {}", printable(cell))));
        }
    }
    text
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
    fn regression_a_cell_of_seventy_thousand_characters_is_a_wide_column() {
        let text = table([("A", Align::Left), ("B", Align::Right)], &[["x".repeat(70_000), "1".to_owned()]]);
        assert!(text.lines().all(|line| line.chars().count() == 70_003));
    }

    #[test]
    fn a_line_end_in_a_cell_makes_no_row() {
        let text = table([("A", Align::Left), ("B", Align::Left)], &[["x\ny".to_owned(), "1".to_owned()]]);
        assert_eq!(text, "A     B\nx\\ny  1\n");
    }

    #[test]
    fn columns_line_up() {
        let rows = [["1".to_owned(), "short".to_owned()], ["20".to_owned(), "longer".to_owned()]];
        let text = table([("No", Align::Right), ("Name", Align::Left)], &rows);
        assert_eq!(text, "No  Name\n 1  short\n20  longer\n");
    }
}
