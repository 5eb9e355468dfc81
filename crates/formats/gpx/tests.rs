use super::read_trying_plain;
use crate::builder::LogBuilder;
use crate::charset::Decoded;
use crate::{ReadError, ReadHint, read};
use chrono::{DateTime, Utc};
use driftless_track::{FixQuality, FlightLog, InputLimit, InputLimits, MarkKind, Scenario};
use proptest::prelude::*;
use std::borrow::Cow;

fn try_log(text: &str) -> Result<FlightLog, ReadError> {
    read(text.as_bytes(), &ReadHint::default())
}

fn log(text: &str) -> FlightLog {
    try_log(text).expect("readable")
}

fn utc(text: &str) -> DateTime<Utc> {
    DateTime::parse_from_rfc3339(text).expect("a test's own time").to_utc()
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

/// Wraps points into the smallest GPX file.
fn gpx(points: &str) -> String {
    format!("<?xml version=\"1.0\"?>\n<gpx version=\"1.1\"><trk><trkseg>\n{points}\n</trkseg></trk></gpx>\n")
}

fn point(inside: &str) -> String {
    gpx(&format!("<trkpt lat=\"47.5\" lon=\"8.25\"><time>2020-01-01T00:00:00Z</time>{inside}</trkpt>"))
}

/// Two points as a real logger of 2017 wrote them in GPX 1.0 (where the file is from is not known any more); course and speed
/// are children of the point in that version's schema (topografix.com/GPX/1/0). The chord between them is 24.30 m at
/// 230.59°, which shows that the speed is in m/s.
#[test]
fn derived_gpx_1_0_points_with_course_and_speed() {
    let log = log(r#"<gpx version="1.0" creator="x" xmlns="http://www.topografix.com/GPX/1/0"><trk><trkseg>
<trkpt lat="38.635696333" lon="-90.163234333"><ele>193.1</ele><time>2017-06-19T18:41:37Z</time><course>229.869995</course>
<speed>24.126415</speed><geoidheight>-32.1</geoidheight><fix>3d</fix><sat>4</sat><hdop>2.38</hdop></trkpt>
<trkpt lat="38.635557333" lon="-90.163449667"><ele>193.1</ele><time>2017-06-19T18:41:38Z</time><course>228.100006</course>
<speed>24.344025</speed></trkpt></trkseg></trk></gpx>"#);
    let [first, second] = &*log.fixes else { panic!("two fixes") };
    assert_eq!((first.lat_deg, first.lon_deg), (38.635696333, -90.163234333));
    assert_eq!(
        (first.gnss_altitude_m.get(), first.hdop.get(), first.quality),
        (Some(193.1), Some(2.38), FixQuality::ThreeD)
    );
    assert_eq!((first.course_deg.get(), first.ground_speed_mps.get()), (Some(229.869995), Some(24.126415)));
    assert_eq!((second.course_deg.get(), second.ground_speed_mps.get()), (Some(228.100006), Some(24.344025)));
    assert_eq!((second.time - first.time).num_milliseconds(), 1000);
    // The chord on a sphere of mean radius; 1 % is far more than the ellipsoid changes, far less than km/h for m/s would.
    let north_m = (second.lat_deg - first.lat_deg).to_radians() * 6_371_000.0;
    let east_m = (second.lon_deg - first.lon_deg).to_radians() * 6_371_000.0 * first.lat_deg.to_radians().cos();
    assert!((north_m.hypot(east_m) / 24.30 - 1.0).abs() < 0.01);
    assert!(log.problems.is_empty(), "{:?}", log.problems);
}

#[test]
fn extensions_are_known_by_local_name_in_any_namespace() {
    let log = log(&point(
        "<extensions><a:TrackPointExtension><a:speed>5.5</a:speed><b:course>360</b:course><time>not the point's</time>\
         </a:TrackPointExtension><hAcc>1.8</hAcc></extensions>",
    ));
    let fix = &log.fixes[0];
    assert_eq!(
        (fix.ground_speed_mps.get(), fix.course_deg.get(), fix.horizontal_error_m.get()),
        (Some(5.5), Some(0.0), Some(1.8))
    );
    let bearing = self::log(&point("<extensions><bearing>12.5</bearing></extensions>"));
    assert_eq!(bearing.fixes[0].course_deg.get(), Some(12.5));
}

#[test]
fn text_in_pieces_is_one_value() {
    let log = log(&point("<ele>18<!-- a comment -->00.5</ele><speed>1<![CDATA[2]]>.&#53;</speed>"));
    assert_eq!((log.fixes[0].gnss_altitude_m.get(), log.fixes[0].ground_speed_mps.get()), (Some(1800.5), Some(12.5)));
}

#[test]
fn entities_are_not_expanded() {
    let text = format!(
        "<!DOCTYPE gpx [<!ENTITY e \"123\">]>{}",
        point("<ele>&e;</ele>").replace("<?xml version=\"1.0\"?>", "")
    );
    let log = log(&text);
    assert_eq!(log.fixes[0].gnss_altitude_m.get(), None);
    assert_eq!(codes(&log), [("doctype-ignored", 1), ("entity-not-expanded", 1), ("bad-altitude", 1)]);
}

#[test]
fn tracks_and_segments_begin_segments_of_the_log() {
    let p = "<trkpt lat=\"1\" lon=\"180\"><time>2020-01-01T00:00:00Z</time></trkpt>";
    let log = log(&format!(
        "<gpx><trk><trkseg>{p}{p}</trkseg><trkseg/><trkseg>{p}</trkseg></trk><trk><trkseg>{p}</trkseg></trk></gpx>"
    ));
    assert_eq!(log.segment_starts, [0, 2, 3]);
    assert_eq!(log.fixes[0].lon_deg, 180.0);
}

#[test]
fn waypoints_with_a_time_are_marks() {
    let text = gpx("<trkpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:00Z</time></trkpt>").replace(
        "<trk>",
        "<wpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:05Z</time><name>Let go &amp; trim</name></wpt>\
         <wpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:09Z</time><name/><cmt>TAKE_OVER</cmt></wpt>\
         <wpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:10Z</time><name>007</name><desc>let go trim level</desc></wpt>\
         <wpt lat=\"1\" lon=\"2\"><name>let go</name></wpt><rte><rtept lat=\"1\" lon=\"2\"/></rte><trk>",
    );
    let log = log(&text);
    let marks: Vec<_> = log.marks.iter().map(|m| (m.kind, m.scenario, m.text.as_str())).collect();
    assert_eq!(
        marks,
        [
            (MarkKind::LetGo, None, "Let go & trim"),
            (MarkKind::TakeOver, None, "TAKE_OVER"),
            (MarkKind::LetGo, Some(Scenario::TrimLevel), "let go trim level"),
        ]
    );
    assert_eq!(codes(&log), [("waypoint-without-time", 1), ("route-ignored", 1)]);
}

#[test]
fn bad_points_are_dropped_counted_and_located() {
    let good = "<trkpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:00.25+01:00</time></trkpt>";
    let log = log(&gpx(&format!(
        "{good}\n<trkpt lat=\"95\" lon=\"2\"><time>2020-01-01T00:00:00Z</time></trkpt>\n\
         <trkpt lat=\"1\" lon=\"NaN\"><time>2020-01-01T00:00:00Z</time></trkpt>\n\
         <trkpt lat=\"1\" lon=\"2\"><time>2021-02-29T00:00:00Z</time></trkpt>\n\
         <trkpt lat=\"1\" lon=\"2\"></trkpt>\n<trkpt lat=\"1\" lon=\"2\"><ele>high</ele><speed>-3</speed><course>-1</course>\
         <fix>best</fix><time>2020-01-01T00:00:00</time></trkpt>"
    )));
    assert_eq!(log.fixes.len(), 2);
    assert_eq!(log.fixes[0].time, utc("2019-12-31T23:00:00.250Z"));
    assert_eq!(
        codes(&log),
        [
            ("bad-coordinate", 2),
            ("bad-time", 1),
            ("point-without-time", 1),
            ("bad-altitude", 1),
            ("value-not-known", 1),
            ("unknown-fix-kind", 1),
            ("time-without-zone", 1),
        ]
    );
    assert_eq!(log.problems[0].line, Some(4));
    let line_start = 70; // The declaration and the opening tags.
    assert!(log.problems[0].byte.is_some_and(|byte| byte > line_start));
}

#[test]
fn a_cut_off_file_keeps_what_came_before() {
    let whole = point("<ele>1</ele>");
    let extra = "<trkpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:00Z</time><ele>12";
    let cut = whole.replace("\n</trkseg></trk></gpx>\n", extra);
    let log = log(&cut);
    assert_eq!(log.fixes.len(), 1);
    assert_eq!(codes(&log), [("cut-off", 1)]);
    assert_eq!(log.problems[0].byte, Some(cut.len() as u64));
    assert_eq!(codes(&self::log(&whole.replace("</trk></gpx>", "</trk></gp"))), [("cut-off", 1)]);
}

#[test]
fn broken_xml_costs_a_point_not_the_file() {
    let p = "<trkpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:00Z</time></trkpt>\n";
    let log =
        log(&gpx(&format!("{p}<trkpt lat=\"1\" lon=\"2\"><time>2020-01-01T00:00:00Z</time><!oops></trkpt>\n{p}")));
    assert_eq!(log.fixes.len(), 2);
    assert!(log.problems.iter().any(|p| p.code == "xml-broken" && p.line == Some(4)), "{:?}", log.problems);
    let unclosed =
        self::log(&gpx(&format!("<trkpt lat=\"1\" lon=\"2\"><ele>5</trkpt>{p}<trkpt lat=\"1\" lon=\"2\">{p}{p}")));
    assert_eq!(unclosed.fixes.len(), 3);
    let found = codes(&unclosed);
    assert!(found.contains(&("xml-mismatched-tags", 2)) && found.contains(&("point-unfinished", 1)), "{found:?}");
}

#[test]
fn clear_words_for_files_that_cannot_be_used() {
    let no_times = try_log(&gpx("<trkpt lat=\"1\" lon=\"2\"/><trkpt lat=\"1\" lon=\"2\"/>")).unwrap_err();
    assert!(no_times.to_string().contains("this GPX has no times: none of its 2 points"), "{no_times}");
    let tcx = try_log("<?xml version=\"1.0\"?><TrainingCenterDatabase/>").unwrap_err();
    assert!(tcx.to_string().contains("<TrainingCenterDatabase>"), "{tcx}");
    let empty = try_log("<gpx></gpx>").unwrap_err();
    assert_eq!(empty.code(), "no-fixes");
    let cut = try_log("<gpx><trk><trkseg><trkpt lat=\"1\" lon=\"2\"><ti").unwrap_err();
    assert_eq!(cut.code(), "cut-off");
    let bad = try_log(&gpx("<trkpt lat=\"95\" lon=\"2\"><time>2020-01-01T00:00:00Z</time></trkpt>")).unwrap_err();
    assert!(bad.to_string().contains("latitude \"95\""), "{bad}");
}

#[test]
fn nesting_is_counted_not_recursed() {
    let deep = 40_000;
    let text = point(&format!("<extensions>{}{}</extensions><ele>7</ele>", "<x>".repeat(deep), "</x>".repeat(deep)));
    assert_eq!(log(&text).fixes[0].gnss_altitude_m.get(), Some(7.0));
}

#[test]
fn other_encodings_are_read() {
    let text = point("<ele>7</ele>").replace("<?xml version=\"1.0\"?>", "<?xml version=\"1.0\" encoding=\"UTF-16\"?>");
    let utf16: Vec<u8> = format!("\u{feff}{text}").encode_utf16().flat_map(u16::to_be_bytes).collect();
    let log = read(&utf16, &ReadHint::default()).expect("readable");
    assert_eq!(log.fixes[0].gnss_altitude_m.get(), Some(7.0));
    assert_eq!(codes(&log), [("decoded", 1)]);
    let marked = read(format!("\u{feff}\n\n{}", point("")).as_bytes(), &ReadHint::default()).expect("readable");
    assert!(marked.problems.is_empty());
}

/// A clock set to 2226 makes no fix, and the advice is about the clock, not about waypoints that stand beside.
#[test]
fn a_year_that_cannot_be_is_named() {
    let point = "<trkpt lat=\"47\" lon=\"11\"><time>2226-05-01T09:00:00Z</time></trkpt>";
    let text = format!(
        "<gpx><wpt lat=\"47\" lon=\"11\"><time>2226-05-01T09:00:00Z</time></wpt><trk><trkseg>{}</trkseg></trk></gpx>",
        point.repeat(9)
    );
    let error = crate::read(text.as_bytes(), &crate::ReadHint::default()).expect_err("no fix").to_string();
    assert!(error.contains("2226-05-01") && error.contains("1970 to 2199"), "{error}");
    assert!(!error.contains("waypoints") && !error.contains("export the recorded track"), "{error}");
}

/// The same log, or the same error, whether plain points are read the quick way or not.
fn assert_agree(text: &str, limits: InputLimits) -> Result<(), TestCaseError> {
    let decoded = Decoded { bytes: Cow::Borrowed(text.as_bytes()), base: 0 };
    let [quick, general] = [true, false].map(|plain| read_trying_plain(&decoded, LogBuilder::within(limits), plain));
    prop_assert_eq!(quick, general, "{}", text);
    Ok(())
}

/// Pieces of points, most of them right.
const PIECES: &[&str] = &[
    "<ele>600.5</ele>",
    "<time>2026-05-01T09:00:00.25Z</time>",
    "<time>2026-05-01T09:00:01Z</time>",
    "<x:speed>10.5</x:speed>",
    "<course> 360 </course>",
    "<bearing>7</bearing>",
    "<hdop>0.9</hdop>",
    "<fix>3d</fix>",
    "<hAcc>0</hAcc>",
    "<rpm>6500</rpm>",
    "<extensions><x:p>",
    "</x:p></extensions>",
    "<extensions>words</extensions>",
    "<a><b><c><d><e><f><g><h><speed>3</speed></h></g></f></e></d></c></b></a>",
    "\n  ",
    "words",
    "<speed>-1</speed>",
    "<speed>\u{a0}5</speed>",
    "<speed>900</speed>",
    "<ele>high</ele>",
    "<ele></ele>",
    "<ele/>",
    "<ele unit=\"m\">5</ele>",
    "<ele>5</x:ele>",
    "<ele>5<b>6</b></ele>",
    "<ele>5<!-- -->6</ele>",
    "<ele>1&#50;</ele>",
    "<ele>&a;</ele>",
    "<ele><![CDATA[7]]></ele>",
    "<time>2026-05-01T09:00:02</time>",
    "<time>yesterday</time>",
    "<name>let go</name>",
    "<fix>best</fix>",
    "<a:b:speed>4</a:b:speed>",
    "<!-- <trkpt -->",
    "<?pi?>",
    "</speed>",
    "<speed>",
    "</trkseg>",
    "<trkseg>",
    "<wpt lat=\"1\" lon=\"2\">",
    "</wpt>",
    "<trkpt lat=\"1\" lon=\"2\">",
    "</trkpt>",
    "</gpx>",
    "<!oops>",
    "<",
    ">",
    "&",
    "é",
];

const STARTS: &[&str] = &[
    "<trkpt lat=\"47.5\" lon=\"8.25\">",
    "<trkpt lon=\"8.25\" lat=\"47.5\" >",
    "<trkpt\n lat=\"47.5\"\n lon=\"8.25\">",
    "<trkpt lat='47.5' lon='8.25'>",
    "<trkpt lat=\"95\" lon=\"8.25\">",
    "<trkpt lat=\"47.5\">",
    "<trkpt lat=\"47.5\" lat=\"5\" lon=\"8.25\">",
    "<trkpt lat=\"47.5\" lon=\"8.25\" id=\"7\">",
    "<trkpt lat=\"4>7\" lon=\"8.25\">",
    "<trkpt lat=\"47.5\"lon=\"8.25\">",
    "<trkpt lat=\"47.5\" lon=\"8.25\"/>",
    "<x:trkpt lat=\"47.5\" lon=\"8.25\">",
    "<trkptx>",
];

/// Points: one of three ends wrongly or has any piece; the rest is as loggers write it.
fn points() -> impl Strategy<Value = String> {
    let piece = prop_oneof![6 => 0..13_usize, 1 => 0..PIECES.len()].prop_map(|at| PIECES[at]);
    let start = prop_oneof![6 => Just(0_usize), 2 => 0..STARTS.len()].prop_map(|at| STARTS[at]);
    let end = prop_oneof![9 => Just("</trkpt>\n"), 1 => Just("")];
    let point =
        (start, proptest::collection::vec(piece, 0..6), any::<bool>(), end).prop_map(|(start, pieces, timed, end)| {
            format!("{start}{}{}{end}", if timed { PIECES[1] } else { "" }, pieces.concat())
        });
    proptest::collection::vec(point, 0..8).prop_map(|points| points.concat())
}

/// Found by the test below: once the document's end had come in the middle, words between points were told of or not.
#[test]
fn points_behind_the_end_of_the_document_are_read_the_same_either_way() {
    let point = "<trkpt lat=\"47.5\" lon=\"8.25\"><time>2026-05-01T09:00:00.25Z</time></trkpt>";
    let text =
        format!("<gpx><trk><trkseg>\n<x:trkpt lat=\"47.5\" lon=\"8.25\"></gpx></trkpt>\n{point}words</trkpt>\n{point}");
    assert_agree(&text, InputLimits::default()).expect("the same");
    assert!(codes(&log(&text)).contains(&("text-after-end", 1)), "{:?}", codes(&log(&text)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: ProptestConfig::default().cases.max(3000), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn plain_points_are_read_as_the_general_reader_reads_them(points in points(), closed: bool, deep in 0_usize..12, short: bool) {
        let end = if closed { "</trkseg></trk></gpx>\n" } else { "" };
        let mut limits = InputLimits::default();
        if short {
            limits = limits.with(InputLimit::XmlDepth, deep + 1).with(InputLimit::NameCharacters, 5).with(InputLimit::Fixes, 4);
        }
        assert_agree(&format!("<gpx><trk><trkseg>\n{points}{end}"), limits)?;
    }
}

#[test]
fn every_fixture_is_read_the_same_either_way() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/formats/gpx");
    for entry in ["good", "odd", "hostile"]
        .map(|kind| std::fs::read_dir(root.join(kind)).expect("fixtures"))
        .into_iter()
        .flatten()
    {
        let bytes = std::fs::read(entry.expect("an entry").path()).expect("a fixture");
        assert_agree(&String::from_utf8_lossy(&bytes), InputLimits::default()).expect("the same");
    }
    let demo = include_str!("../../../demo-tracks/meadow-light-wind.gpx");
    assert_agree(demo, InputLimits::default()).expect("the same");
}
