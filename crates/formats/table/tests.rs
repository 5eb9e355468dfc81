use super::rows::Cells;
use super::*;

/// The smallest kind of table there is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Q {
    Time,
    Length,
    Pair(usize),
    Word,
}

impl ColumnSet for Q {
    const KEYS: &'static [MappingKey<Self>] = &[
        MappingKey { key: "time", needed: true, quantities: &[Self::Time] },
        MappingKey { key: "length", needed: false, quantities: &[Self::Length] },
        MappingKey { key: "pair", needed: false, quantities: &[Self::Pair(0), Self::Pair(1)] },
    ];
    const DIMENSIONS: &'static [Dimension] = &[Dimension::Time, Dimension::Length, Dimension::Acceleration];

    fn named(letters: &str) -> Option<Self> {
        Some(match letters {
            "time" | "t" => Self::Time,
            "length" => Self::Length,
            "px" => Self::Pair(0),
            "pz" => Self::Pair(1),
            "word" => Self::Word,
            _ => return None,
        })
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Time => Dimension::Time,
            Self::Length => Dimension::Length,
            Self::Pair(_) => Dimension::Acceleration,
            Self::Word => Dimension::Unitless,
        }
    }
}

fn layout(text: &str) -> Layout<Q> {
    Layout::find(TableLines::new(text.as_bytes(), 0), None).expect("a header")
}

/// The cells of every row, and the line of each.
fn cells(text: &str) -> Vec<(u32, Vec<String>)> {
    let table = TableLines::new(text.as_bytes(), 0);
    let layout = layout(text);
    let mut rows = Rows::new(table, &layout);
    let mut found = Vec::new();
    loop {
        match rows.advance() {
            NextRow::End => return found,
            NextRow::TooLong(row) => found.push((row.source.line, vec!["too long".to_owned()])),
            NextRow::Row(row) => {
                let words = row.cells().map(|cell| String::from_utf8_lossy(cell).into_owned());
                found.push((row.source.line, words.collect()));
            }
        }
    }
}

fn words(line: u32, words: &[&str]) -> (u32, Vec<String>) {
    (line, words.iter().map(|&word| word.to_owned()).collect())
}

#[test]
fn units_stand_in_brackets_or_are_the_last_words_of_a_name() {
    for (name, quantity, factor) in [
        ("length", Q::Length, None),
        ("Length (km)", Q::Length, Some(1000.0)),
        ("length_km", Q::Length, Some(1000.0)),
        ("LENGTH [ft]", Q::Length, Some(0.3048)),
        ("px_m_s2", Q::Pair(0), Some(1.0)),
        // An axis before it is a time zone; gravity's unit, not an axis.
        ("p_z", Q::Pair(1), None),
        ("p_z_g", Q::Pair(1), Some(driftless_units::GRAVITY_MPS2)),
        ("time (µs)", Q::Time, Some(1e-6)),
        // Greek mu and the micro sign.
        ("time (μs)", Q::Time, Some(1e-6)),
        ("time (txt)", Q::Time, None),
    ] {
        let found = Q::recognise(name).map(|(quantity, scale)| (quantity, scale.map(|s| s.factor)));
        assert_eq!(found, Some((quantity, factor)), "{name}");
    }
    for name in ["length (kg)", "length_s", "width_m", "", "(m)"] {
        assert_eq!(Q::recognise(name), None, "{name}");
    }
}

#[test]
fn cells_in_quotation_marks_hold_delimiters_marks_and_line_ends() {
    let text = "time,word,length\n1,\"a, \"\"b\"\"\",2\n2, \"c\" ,3\n3,\"two\nlines\",4\n\n4,plain,5\n";
    let expected = [
        words(2, &["1", "a, \"b\"", "2"]),
        words(3, &["2", "c", "3"]),
        words(4, &["3", "two\nlines", "4"]),
        words(7, &["4", "plain", "5"]),
    ];
    assert_eq!(cells(text), expected);
}

/// A mark without its partner costs its own row; those behind it are read.
/// Where marks do no more than enclose a cell they are taken off without the reader of quotations; what it makes of the same
/// row is held against that.
#[test]
fn marks_around_whole_cells_are_taken_off_like_all_others() {
    for (row, expected) in [
        ("\"a\",b,c", ["a", "b", "c"]),
        ("a, \"b\" ,\"\"", ["a", "b", ""]),
        ("\" a \",\"b\",\"c\"", ["a", "b", "c"]),
        ("a,\"b;\t'\",c", ["a", "b;\t'", "c"]),
        // These need the reader.
        ("\"a\"\"x\",b,c", ["a\"x", "b", "c"]),
        ("\"a,x\",b,c", ["a,x", "b", "c"]),
        ("a\"x\",b,c", ["a\"x\"", "b", "c"]),
        ("a,\"b\"x,c", ["a", "bx", "c"]),
    ] {
        let read = |row: &str| {
            let mut cells = Cells::new(b',');
            cells
                .of_line(row.as_bytes())
                .cells()
                .map(|cell| String::from_utf8_lossy(cell).into_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(read(row), expected, "{row}");
        // A doubled mark in a further cell leaves no way around the reader.
        let with_reader = read(&format!("{row},\"x\"\"y\""));
        assert_eq!(with_reader, [expected.as_slice(), &["x\"y"]].concat(), "{row}");
    }
}

#[test]
fn a_quotation_without_an_end_costs_one_row() {
    let rest: String = (2..60).map(|k| format!("{k},w,{k}\n")).collect();
    let found = cells(&format!("time,word,length\n1,w,\"1\n{rest}"));
    assert_eq!(found[0], words(2, &["1", "w", "\"1"]));
    assert_eq!(found.len(), 59);
    assert_eq!(found[58], words(60, &["59", "w", "59"]));
}

/// Looking for the end of each of many open quotations must not read the file once for each of them.
#[test]
fn many_open_quotations_are_read_in_one_go() {
    let line = format!("1,\"{}\n", "w".repeat(1000));
    let text = format!("time,word\n{}", line.repeat(20_000));
    let table = TableLines::new(text.as_bytes(), 0);
    let layout = layout(&text);
    let mut rows = Rows::new(table, &layout);
    let (mut count, mut looked_at) = (0, 0);
    while let NextRow::Row(row) = rows.advance() {
        count += 1;
        looked_at += row.bytes.len();
    }
    // Each pair of lines makes one quotation that ends where the next one begins.
    assert!(count >= 10_000 && looked_at <= text.len(), "{count} rows, {looked_at} bytes");
}

#[test]
fn a_header_is_found_behind_a_preamble_and_as_a_comment() {
    for (text, line) in [
        ("Logger;7\nmade in May\ntime;length\n1;2\n", 3),
        ("# time,length\n1,2\n", 1),
        ("# time,length: what it holds\ntime,length\n1,2\n", 2),
    ] {
        let layout = layout(text);
        assert_eq!((layout.header.line, layout.columns.len()), (line, 2), "{text}");
        assert_eq!(cells(text).len(), 1, "{text}");
    }
    let latin = Layout::<Q>::find(TableLines::new(b"time,l\xe4nge,length\n1,2,3\n", 0), None).expect("a header");
    assert_eq!(latin.unused, ["länge"]);
}

#[test]
fn decimal_commas_are_told_by_the_numbers() {
    let number = |text: &str, cell: &[u8]| layout(text).number(cell);
    // Whole numbers tell nothing: a comma is a decimal then, and where it is the rule.
    assert_eq!(number("time;length\n1;47\n2;48\n", b"47,5"), Some(47.5));
    assert_eq!(number("time;length;px\n1;47,5;3,5\n2;48;4.5\n", b"47,5"), Some(47.5));
    // Points in most numbers: a comma parts thousands, and is no decimal. Stamps do not count.
    assert_eq!(number("time\tlength\tpx\n1\t1,234\t4.5\n2\t1,235.5\t3.5\n", b"1,234"), None);
    assert_eq!(number("time;length\n2026-05-01T09:00:00.5Z;47,5\n", b"47,5"), Some(47.5));
    assert_eq!(number("time,length\n1,2\n", b"47,5"), None);
}

#[test]
fn a_mapping_says_where_it_does_not_fit() {
    let fits = |toml: &str| {
        let mapping = Mapping::<Q>::from_toml(toml)?;
        match Layout::find(TableLines::new(b"a,b,c\n1,2,3\n", 0), Some(&mapping)) {
            Ok(layout) => Ok(layout),
            Err(LayoutError::Mapping(error)) => Err(error),
            Err(LayoutError::NoHeader) => panic!("a mapping needs no header"),
        }
    };
    for (toml, parts) in [
        ("length = 1", vec!["missing key `time`"]),
        ("time = 1\nlenght = 2", vec!["line 2", "unknown key `lenght`", "time, length, pair"]),
        ("time = 1\nlength = [2, 3]", vec!["line 2", "`length` is a column by name or by number"]),
        ("time = 1\nlength = { colum = 2 }", vec!["`length` is a column by name or by number"]),
        ("time = 1\npair = 2", vec!["`pair` is { columns ="]),
        ("time = 1\npair = { columns = [2] }", vec!["`pair` is { columns ="]),
        ("time = 1\npair = { columns = [2, 4] }", vec!["no column 4", "the header names 3 columns: a, b, c"]),
        ("time = 1\nlength = { column = 2, unit = \"kg\" }", vec!["unit \"kg\" does not fit"]),
        ("header = false\ntime = \"a\"", vec!["numbered from 1"]),
        ("header = false\ntime = 4", vec!["the first row has 3 columns: a, b, c"]),
        ("time = 1\ndelimiter = \"ab\"", vec!["line 2"]),
        ("time = 1\ndelimiter = \"→\"", vec!["not one plain character"]),
    ] {
        let error = fits(toml).expect_err(toml).to_string();
        assert!(error.starts_with("column mapping: "), "{error}");
        for part in parts {
            assert!(error.contains(part), "{toml}: {error}");
        }
    }
    let layout = fits("pair = { columns = [\"C\", 2], unit = \"g\" }\ntime = 1\ndelimiter = \",\"").expect("fits");
    assert_eq!(layout.index_of(Q::Pair(0)), Some(2));
    assert_eq!(layout.scale_of(Q::Pair(1)).flatten().map(|s| s.factor), Some(driftless_units::GRAVITY_MPS2));
    assert_eq!(layout.scale_of(Q::Time), Some(None), "the unit of a time is told by the numbers");
}

#[test]
fn times_are_stamps_times_of_day_or_numbers() {
    let utc = |text: &str| chrono::DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc();
    let read = |reader: &mut TimeReader, text: &str, date: Option<&[u8]>| {
        reader.read(text.as_bytes(), date, crate::number::parse_f64)
    };
    let mut reader = TimeReader::new(None);
    let moment = |time: &str, zoned, dated| Some(TableTime::Moment { time: utc(time), zoned, dated });
    assert_eq!(read(&mut reader, "2026-05-01 09:00:00", None), moment("2026-05-01T09:00:00Z", false, true));
    assert_eq!(read(&mut reader, "09:00:00.5", Some(b"2026-05-01")), moment("2026-05-01T09:00:00.500Z", true, true));
    assert_eq!(read(&mut reader, "09:00:00.5", Some(b"May")), None);
    assert_eq!(read(&mut reader, "23:59:59", None), moment("1970-01-01T23:59:59Z", true, false));
    assert_eq!(read(&mut reader, "00:00:01", None), moment("1970-01-02T00:00:01Z", true, false));
    assert_eq!(read(&mut reader, "12.5", None), Some(TableTime::Number(12.5)));
    assert_eq!(read(&mut reader, "noon", None), None);
    let mut started = TimeReader::new(Some(utc("2026-05-01T08:00:00Z")));
    assert_eq!(read(&mut started, "09:00:00", None), moment("2026-05-01T09:00:00Z", true, true));
}

#[test]
fn sizes_and_steps_tell_units_of_time() {
    // 2026-05-01 09:00 UTC in each unit.
    for (name, factor) in TIME_UNITS {
        assert_eq!(unit_since_1970(1_777_626_000.0 / factor), Some(factor), "{name}");
        assert_eq!(unit_of_step(0.01 / factor, [0.000_8, 0.11]), Some((name, factor)));
    }
    // Two days in milliseconds, three in seconds: from a start.
    assert_eq!((unit_since_1970(99_999_999.0), unit_since_1970(300_000.0)), (None, None));
    assert_eq!(median_step(&[0.0, 1.0, 0.5, 1.5, 2.5, 9.0]), Some(1.0));
    assert_eq!(median_step(&[3.0, 2.0]), None);
}
