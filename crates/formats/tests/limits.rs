//! Every limit of a log at one below, at and one above what the file holds: refused, or left out, in words that name it.

use driftless_formats::{ReadError, ReadHint, read, refuse_by_head};
use driftless_track::{FlightLog, InputLimit, InputLimits, MarkKind};
use flate2::Compression;
use flate2::write::GzEncoder;
use std::io::Write;

fn read_within(bytes: &[u8], limit: InputLimit, value: usize) -> Result<FlightLog, ReadError> {
    read(bytes, &ReadHint { limits: InputLimits::default().with(limit, value), ..ReadHint::default() })
}

/// Holds `limit` against a file that reaches `at`; gives what is said one below.
#[track_caller]
fn refused_below(bytes: &[u8], limit: InputLimit, at: usize) -> String {
    for allowed in [at, at + 1] {
        read_within(bytes, limit, allowed).unwrap_or_else(|error| panic!("{allowed}: {error}"));
    }
    let error = read_within(bytes, limit, at - 1).expect_err("must be refused");
    assert_eq!(error.code(), "over-limit", "{error}");
    let words = error.to_string();
    assert!(words.contains(&format!("--limit {}=N", limit.name())), "{words}");
    words
}

/// How often a problem is met one below, at and one above.
fn counts(bytes: &[u8], limit: InputLimit, at: usize, code: &str) -> [u32; 3] {
    [at - 1, at, at + 1].map(|allowed| {
        let log = read_within(bytes, limit, allowed).expect("a log");
        log.problems.iter().filter(|p| p.code == code).map(|p| p.count).sum()
    })
}

const CSV: &str = "time,lat,lon\n2026-05-01T06:00:00Z,47,11\n2026-05-01T06:00:01Z,47,11\n2026-05-01T06:00:02Z,47,11\n";
const IGC: &str = "AXXX001\nHFDTE010526\nB0600004700000N01100000EA0058700558\nB0600014700000N01100000EA0058700558\n\
                   B0600024700000N01100000EA0058700558\n";
const NMEA: &str = "$GPRMC,060000,A,4700.000,N,01100.000,E,10.0,090.0,010526,,\n\
                    $GPRMC,060001,A,4700.000,N,01100.000,E,10.0,090.0,010526,,\n\
                    $GPRMC,060002,A,4700.000,N,01100.000,E,10.0,090.0,010526,,\n";

fn gpx(inside: &str) -> String {
    let point = |s: u32| format!("<trkpt lat=\"47\" lon=\"11\"><time>2026-05-01T06:00:0{s}Z</time></trkpt>\n");
    format!("<gpx>{inside}<trk><trkseg>\n{}{}{}</trkseg></trk></gpx>", point(0), point(1), point(2))
}

fn kml(inside: &str) -> String {
    let pair = |s: u32| format!("<when>2026-05-01T06:00:0{s}Z</when><coord>11 47</coord>\n");
    format!("<kml>{inside}<Placemark><Track>\n{}{}{}</Track></Placemark></kml>", pair(0), pair(1), pair(2))
}

#[test]
fn bytes_as_given_and_unpacked() {
    assert!(refused_below(CSV.as_bytes(), InputLimit::Bytes, CSV.len()).contains("bytes in a log"));
    let mut packer = GzEncoder::new(Vec::new(), Compression::best());
    packer.write_all(CSV.as_bytes()).expect("memory");
    let packed = packer.finish().expect("memory");
    assert!(packed.len() < CSV.len());
    refused_below(&packed, InputLimit::Bytes, CSV.len());
}

#[test]
fn fixes_of_every_format_with_the_line_of_the_first_too_many() {
    for (text, line) in [(CSV.to_owned(), 4), (IGC.to_owned(), 5), (NMEA.to_owned(), 3), (gpx(""), 4), (kml(""), 4)] {
        let words = refused_below(text.as_bytes(), InputLimit::Fixes, 3);
        assert!(words.starts_with(&format!("line {line}: more than 2 fixes")), "{words}");
    }
}

/// A FIT has no lines to name.
#[test]
fn fixes_of_a_binary_file() {
    let fit = include_bytes!("../../../fixtures/formats/fit/good/activity.fit");
    let words = refused_below(fit, InputLimit::Fixes, 12);
    assert!(words.starts_with("more than 11 fixes"), "{words}");
}

#[test]
fn lines_of_an_igc_file() {
    let long = format!("{IGC}LXXX{}\n", "x".repeat(96));
    assert_eq!(counts(long.as_bytes(), InputLimit::LineBytes, 100, "line-too-long"), [1, 0, 0]);
}

#[test]
fn names_of_a_mark() {
    let name = format!("let go {}", "x".repeat(93));
    let file = gpx(&format!("<wpt lat=\"47\" lon=\"11\"><time>2026-05-01T06:00:01Z</time><name>{name}</name></wpt>"));
    assert_eq!(counts(file.as_bytes(), InputLimit::NameCharacters, 100, "bad-name"), [1, 0, 0]);
    let kind =
        |allowed| read_within(file.as_bytes(), InputLimit::NameCharacters, allowed).expect("a log").marks[0].kind;
    assert_eq!([99, 100, 101].map(kind), [MarkKind::Other, MarkKind::LetGo, MarkKind::LetGo]);
}

#[test]
fn names_of_a_placemark() {
    let name = format!("let go {}", "x".repeat(93));
    let stamp = "<TimeStamp><when>2026-05-01T06:00:01Z</when></TimeStamp>";
    let file = kml(&format!("<Placemark><name>{name}</name>{stamp}<Point/></Placemark>"));
    assert_eq!(counts(file.as_bytes(), InputLimit::NameCharacters, 100, "bad-name"), [1, 0, 0]);
}

/// Times without positions, and positions without times, are kept until their track ends: they count as fixes.
#[test]
fn times_and_positions_that_wait_for_each_other() {
    for (one, many) in
        [("<coord>11 47</coord>", "<when>2026-05-01T06:00:01Z</when>"), ("<when/>", "<coord>11 47</coord>")]
    {
        let file = format!("<kml><Track>{}{one}</Track></kml>", many.repeat(100));
        let error = read_within(file.as_bytes(), InputLimit::Fixes, 50).expect_err("too many");
        assert_eq!(error.code(), "over-limit", "{error}");
    }
}

#[test]
fn elements_inside_of_each_other() {
    // A point at the twentieth level: gpx, trk, trkseg and seventeen more are open with it.
    let point = "<trkpt lat=\"47\" lon=\"11\"><time>2026-05-01T06:00:09Z</time></trkpt>";
    let deep = gpx("").replacen("</trkseg>", &format!("{}{point}{}</trkseg>", "<x>".repeat(16), "</x>".repeat(16)), 1);
    // Its time is the twenty-first.
    assert_eq!(counts(deep.as_bytes(), InputLimit::XmlDepth, 21, "xml-too-deep"), [1, 0, 0]);
    let fixes = |allowed| read_within(deep.as_bytes(), InputLimit::XmlDepth, allowed).expect("a log").fixes.len();
    assert_eq!([19, 20, 21, 22].map(fixes), [3, 3, 4, 4], "what stands less deep is read");
}

#[test]
fn attributes_before_the_position() {
    let file = gpx("").replacen("lat=\"47\"", &format!("{} lat=\"47\"", "a=\"b\" ".repeat(8).trim_end()), 1);
    assert_eq!(counts(file.as_bytes(), InputLimit::XmlAttributes, 10, "too-many-attributes"), [1, 0, 0]);
    assert_eq!(counts(file.as_bytes(), InputLimit::XmlAttributes, 10, "bad-coordinate"), [1, 0, 0]);
}

#[test]
fn regression_words_behind_the_document_are_told() {
    for (tail, told) in
        [("", 0), (" \n\t\n", 0), ("<!-- made by hand -->\n", 0), ("and more", 1), ("<![CDATA[more]]>", 1)]
    {
        let log = read(format!("{}{tail}", gpx("")).as_bytes(), &ReadHint::default()).expect("a log");
        let found = log.problems.iter().filter(|p| p.code == "text-after-end").count();
        assert_eq!((found, log.fixes.len()), (told, 3), "{tail:?}: {:?}", log.problems);
    }
    let file = format!("{}\n\nand more", gpx(""));
    let log = read(file.as_bytes(), &ReadHint::default()).expect("a log");
    assert_eq!((log.problems[0].line, log.problems[0].byte), (Some(7), Some(file.len() as u64 - 8)));
}

#[test]
fn a_head_refuses_what_no_rest_can_mend() {
    for (head, refused) in [
        (vec![0; 65_536], true),
        // Not UTF-8, so read as Windows-1252; no line of a log is that long.
        ((0..65_536_u32).map(|k| (k * k / 7 + k) as u8 | 0x80).collect(), true),
        ((0..65_536_u32).map(|k| (k % 7) as u8).collect(), true),
        // As random bytes may begin; taken for XML, a device without end was read up to the limit.
        (
            (0..65_536_u32).map(|k| if k == 0 { b'<' } else { (k.wrapping_mul(2_654_435_761) >> 24) as u8 }).collect(),
            true,
        ),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec(), true),
        (vec![b' '; 65_536], false),
        (CSV.as_bytes().to_vec(), false),
        (b"\x1f\x8b anything".to_vec(), false),
        (Vec::new(), false),
    ] {
        assert_eq!(refuse_by_head(&head).is_err(), refused, "{:?}", &head.get(..8));
        if refused {
            assert_eq!(
                refuse_by_head(&head).err(),
                read(&head, &ReadHint::default()).err(),
                "the same words as the reader"
            );
        }
    }
}
