use crate::{ReadError, ReadHint, read};
use driftless_track::{FlightLog, MarkKind, Scenario};

fn try_log(text: &str) -> Result<FlightLog, ReadError> {
    read(text.as_bytes(), &ReadHint::default())
}

fn log(text: &str) -> FlightLog {
    try_log(text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

fn kml(inside: &str) -> String {
    format!("<kml xmlns:gx=\"x\"><Document>{inside}</Document></kml>")
}

fn track(inside: &str) -> String {
    kml(&format!("<Placemark><gx:Track>{inside}</gx:Track></Placemark>"))
}

fn when(second: u32) -> String {
    format!("<when>2026-05-01T09:00:{second:02}Z</when>")
}

fn coord(altitude_m: u32) -> String {
    format!("<gx:coord>8.25 47.5 {altitude_m}</gx:coord>")
}

fn altitudes(log: &FlightLog) -> Vec<Option<f64>> {
    log.fixes.iter().map(|fix| fix.gnss_altitude_m.get()).collect()
}

/// The example of a track in the reference of KML 2.2's extensions and OGC 12-007r2: seven times, seven positions, a model.
#[test]
fn published_track_of_the_reference() {
    let log = log("<?xml version=\"1.0\" encoding=\"UTF-8\"?>
<kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\"><Folder><Placemark><gx:Track>
<when>2010-05-28T02:02:09Z</when><when>2010-05-28T02:02:35Z</when><when>2010-05-28T02:02:44Z</when>
<when>2010-05-28T02:02:53Z</when><when>2010-05-28T02:02:54Z</when><when>2010-05-28T02:02:55Z</when>
<when>2010-05-28T02:02:56Z</when>
<gx:coord>-122.207881 37.371915 156.000000</gx:coord><gx:coord>-122.205712 37.373288 152.000000</gx:coord>
<gx:coord>-122.204678 37.373939 147.000000</gx:coord><gx:coord>-122.203572 37.374630 142.199997</gx:coord>
<gx:coord>-122.203451 37.374706 141.800003</gx:coord><gx:coord>-122.203329 37.374780 141.199997</gx:coord>
<gx:coord>-122.203207 37.374857 140.199997</gx:coord></gx:Track></Placemark></Folder></kml>");
    assert_eq!(log.fixes.len(), 7);
    assert_eq!((log.fixes[6].lat_deg, log.fixes[6].lon_deg), (37.374857, -122.203207));
    assert_eq!(log.fixes[6].time.to_rfc3339(), "2010-05-28T02:02:56+00:00");
    // It names no altitudeMode, so its altitudes are not above the sea.
    assert_eq!(codes(&log), [("altitude-not-used", 1)]);
}

#[test]
fn only_absolute_altitudes_are_heights_above_the_sea() {
    let of = |mode: &str| log(&track(&format!("{mode}{}{}", when(0), coord(600))));
    for absolute in ["<altitudeMode>absolute</altitudeMode>", "<gx:altitudeMode> absolute </gx:altitudeMode>"] {
        assert_eq!(altitudes(&of(absolute)), [Some(600.0)], "{absolute}");
    }
    for (mode, words) in [
        ("", "names no altitudeMode"),
        ("<altitudeMode>clampToGround</altitudeMode>", "laid on the ground"),
        ("<altitudeMode>relativeToGround</altitudeMode>", "above the ground"),
        ("<gx:altitudeMode>relativeToSeaFloor</gx:altitudeMode>", "sea floor"),
        ("<altitudeMode>somehow</altitudeMode>", "none of the standard"),
    ] {
        let log = of(mode);
        assert_eq!((altitudes(&log), codes(&log)), (vec![None], vec![("altitude-not-used", 1)]), "{mode}");
        assert!(log.problems[0].message.contains(words), "{:?}", log.problems);
    }
    let flat = log(&track(&format!("{}{}", when(0), coord(0))));
    assert_eq!(codes(&flat), [], "an altitude of 0 on the ground is no loss");
}

#[test]
fn a_multitrack_says_for_its_tracks_what_altitudes_are() {
    let one = |inside: &str| format!("<gx:Track>{inside}{}{}</gx:Track>", when(0), coord(600));
    let log = log(&kml(&format!(
        "<Placemark><gx:MultiTrack><altitudeMode>absolute</altitudeMode>{}{}</gx:MultiTrack></Placemark><Placemark>{}</Placemark>",
        one(""),
        one("<altitudeMode>clampToGround</altitudeMode>"),
        one("")
    )));
    assert_eq!(altitudes(&log), [Some(600.0), None, None]);
    assert_eq!(log.segment_starts, [0, 1, 2]);
}

#[test]
fn counts_that_differ_are_told_at_the_track_and_paired_in_order() {
    let log = log(&format!("\n{}", track(&format!("{}{}{}{}{}", when(0), when(1), when(2), coord(1), coord(2)))));
    assert_eq!((log.fixes.len(), codes(&log)[0]), (2, ("track-counts-differ", 1)));
    assert_eq!(log.problems[0].line, Some(2));
    assert!(log.problems[0].message.contains("3 times and 2 positions"), "{:?}", log.problems);
}

#[test]
fn empty_elements_keep_the_order() {
    let log = log(&track(&format!("{}<when/>{}{}<gx:coord/>{}", when(0), when(2), coord(1), coord(3))));
    let seconds: Vec<_> = log.fixes.iter().map(|fix| fix.time.timestamp() % 60).collect();
    assert_eq!(seconds, [0, 2]);
    assert_eq!(codes(&log)[..1], [("no-position", 1)]);
}

#[test]
fn angles_are_no_heading_of_the_aircraft() {
    let text = track(&format!("{}{}<gx:angles>120 0 0</gx:angles>", when(0), coord(0)));
    let log = log(&text);
    let fix = &log.fixes[0];
    assert_eq!(fix.source.byte, text.find("<gx:coord").expect("a position") as u64);
    assert_eq!((fix.heading_true_deg.get(), fix.heading_magnetic_deg.get(), fix.course_deg.get()), (None, None, None));
}

#[test]
fn a_speed_is_taken_where_its_unit_is_told() {
    let with = |name: &str, schema: &str, values: &str| {
        let data = format!(
            "{}{}{}{}<ExtendedData><SchemaData><gx:SimpleArrayData name=\"{name}\">{values}</gx:SimpleArrayData></SchemaData></ExtendedData>",
            when(0),
            when(1),
            coord(0),
            coord(0)
        );
        let log = log(&kml(&format!("{schema}<Placemark><gx:Track>{data}</gx:Track></Placemark>")));
        let speeds: Vec<_> = log.fixes.iter().map(|fix| fix.ground_speed_mps.get()).collect();
        (speeds, codes(&log).first().map(|(code, _)| (*code).to_owned()))
    };
    let two = "<gx:value>36</gx:value><gx:value>18</gx:value>";
    assert_eq!(with("speed_kmh", "", two), (vec![Some(10.0), Some(5.0)], None));
    let schema =
        "<Schema><gx:SimpleArrayField name=\"s\"><displayName>Speed (m/s)</displayName></gx:SimpleArrayField></Schema>";
    assert_eq!(with("s", schema, two), (vec![Some(36.0), Some(18.0)], None));
    // No unit, another quantity, another unit.
    for name in ["speed", "heading_deg", "airspeed_kmh", "Speed (deg)", "s"] {
        assert_eq!(with(name, "", two), (vec![None, None], None), "{name}");
    }
    assert_eq!(with("speed_kmh", "", "<gx:value>36</gx:value>"), (vec![None, None], Some("bad-speed".to_owned())));
    assert_eq!(with("speed_kmh", "", &two.repeat(9)), (vec![None, None], Some("bad-speed".to_owned())));
    let gap = "<gx:value/><gx:value>18</gx:value>";
    assert_eq!(with("speed_kmh", "", gap), (vec![None, Some(5.0)], None));
}

#[test]
fn placemarks_with_a_time_and_a_point_are_marks() {
    let mark = |inside: &str| format!("<Placemark>{inside}</Placemark>");
    let stamp = "<TimeStamp><when>2026-05-01T09:00:05Z</when></TimeStamp>";
    let point = "<Point><coordinates>8.25,47.5,0</coordinates></Point>";
    let log = log(&kml(&[
        mark(&format!("<name>Let go: trim level</name>{stamp}{point}")),
        mark(&format!("<name>7</name><description>take over</description>{point}{stamp}")),
        mark(&format!("<name>Bridge</name>{stamp}{point}")),
        // No time; a time of the view; no point.
        mark(&format!("<name>let go</name>{point}")),
        mark(&format!("<name>let go</name><LookAt>{}</LookAt>{point}", stamp.replace("Time", "gx:Time"))),
        mark(&format!("<name>let go</name>{stamp}")),
        mark(&format!("<name>Car park</name>{point}")),
        mark(&format!("<gx:Track>{}{}</gx:Track>", when(0), coord(0))),
    ]
    .concat()));
    let marks: Vec<_> = log.marks.iter().map(|m| (m.kind, m.scenario, m.text.as_str())).collect();
    assert_eq!(
        marks,
        [
            (MarkKind::LetGo, Some(Scenario::TrimLevel), "Let go: trim level"),
            (MarkKind::TakeOver, None, "take over"),
            (MarkKind::Other, None, "Bridge"),
        ]
    );
    assert_eq!(codes(&log), [("waypoint-without-time", 2)]);
}

#[test]
fn broken_markup_costs_what_it_stands_in() {
    // In pairs: one is lost. In lists: the rest keeps its order.
    let pairs = track(&format!("{}<gx:coord>8.25 <!oops> 5</gx:coord>{}{}", when(0), when(1), coord(2)));
    let lists =
        track(&format!("{}{}{}{}<gx:coord>8.25 <!oops></gx:coord>{}", when(0), when(1), when(2), coord(0), coord(2)));
    for (text, seconds) in [(pairs, vec![1]), (lists, vec![0, 2])] {
        let log = log(&text);
        assert_eq!(log.fixes.iter().map(|fix| fix.time.timestamp() % 60).collect::<Vec<_>>(), seconds, "{text}");
        assert_eq!(codes(&log)[0], ("xml-broken", 1));
    }
    // Nobody knows what was lost between elements: what came before is sure.
    let between = track(&format!("{}{}{}{}<!oops>{}{}", when(0), when(1), when(2), when(3), coord(0), coord(2)));
    let log = try_log(&between);
    assert_eq!(log.map(|log| log.fixes.len()).map_err(|error| error.code()), Err("no-fixes"));
}

#[test]
fn clear_words_for_files_that_cannot_be_used() {
    let line = "<Placemark><LineString><coordinates>8,47,0 8,48,0\n9,48,0</coordinates></LineString></Placemark>";
    for (text, code, words) in [
        (kml(line), "no-times", "this KML has no times: none of its 3 points (the first at line 1)"),
        (track(&coord(0).repeat(3)), "no-times", "none of its 3 points (the first at line 1)"),
        (track("<when>2026-05-01</when><gx:coord>8 47 0</gx:coord>"), "no-times", "none of its 1 points"),
        (kml(""), "no-fixes", "gx:Track"),
        (kml("<Placemark><Point/></Placemark>"), "no-fixes", "places but no recorded track"),
        (kml("<NetworkLink/>"), "no-fixes", "links to another file"),
        (track(&format!("{}<gx:coord>8 95 0</gx:coord>", when(0))), "no-fixes", "8 95 0"),
        ("<kml><Placemark><gx:Track><when>2026".to_owned(), "cut-off", "ends at line 1"),
        ("<html><body>".to_owned(), "xml-not-gpx", "not <gpx> or <kml>"),
    ] {
        let error = try_log(&text).expect_err(&text);
        assert_eq!(error.code(), code, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
}

#[test]
fn a_kml_is_known_by_its_root_whatever_stands_before() {
    let body = format!("<Placemark><Track>{}<coord>8 47</coord></Track></Placemark>", when(0));
    for text in [
        format!("<kml>{body}</kml>"),
        format!("\n <?xml version='1.0'?>\n<!-- <gpx> --><!DOCTYPE kml>\n<o:kml xmlns:o='x'>{body}</o:kml>"),
        format!("\u{feff}<kml\nxmlns='x'>{body}</kml>"),
        format!("junk before\n<kml>{body}</kml>"),
    ] {
        assert_eq!(log(&text).fixes.len(), 1, "{text}");
    }
}
