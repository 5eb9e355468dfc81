//! KML fixtures: the turn as applications write it, and one oddity each.

use super::Made;
use super::turn::{TurnFix, turn};

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\" \
                    xmlns:gx=\"http://www.google.com/kml/ext/2.2\">\n<Document>\n";
const TAIL: &str = "</Document>\n</kml>\n";

pub(crate) fn all() -> Vec<Made> {
    let text = |name: &str, text: String| (format!("kml/{name}"), text.into_bytes());
    vec![
        text("good/gx-track.kml", gx_track()),
        text("good/multitrack-2.3.kml", multitrack()),
        text("odd/other-prefixes-above-ground.kml", other_prefixes()),
        ("kml/odd/utf16.kml".to_owned(), utf16(&lists(&turn()))),
        text("odd/times.kml", times()),
        text("odd/text-in-pieces.kml", pieces()),
        text("odd/counts-differ.kml", lists(&turn()).replacen("<when>2026-05-01T09:00:11Z</when>\n", "", 1)),
        text("odd/line-beside-track.kml", document(&format!("{}{}", line(), placemark(&track(&turn()))))),
        text("odd/broken-position.kml", lists(&turn()).replacen("47.5002187", "47.50<!oops>87", 1)),
        text("odd/one-of-each-bad-point.kml", bad_points()),
        text("hostile/line-only.kml", document(&line())),
        text("hostile/cut-off.kml", cut_at(&lists(&turn()), "8.2502618")),
        text("hostile/cut-off-in-times.kml", cut_at(&lists(&turn()), "09:00:08Z")),
        text("hostile/mismatched-tags.kml", mismatched()),
        text("hostile/entities.kml", entities()),
        text("hostile/places-only.kml", document(&mark("take over here", None))),
        text("hostile/link-only.kml", document("<NetworkLink><Link><href>other.kml</href></Link></NetworkLink>\n")),
        ("kml/hostile/packed.kmz".to_owned(), kmz()),
    ]
}

fn document(inside: &str) -> String {
    format!("{HEAD}{inside}{TAIL}")
}

fn placemark(inside: &str) -> String {
    format!("<Placemark><name>turn</name>\n{inside}</Placemark>\n")
}

fn coord(fix: &TurnFix) -> String {
    format!("{:.7} {:.7} {:.1}", fix.lon_deg(), fix.lat_deg(), fix.altitude_m())
}

/// Times, then positions, as the standard shows it.
fn track(fixes: &[TurnFix]) -> String {
    let whens: String = fixes.iter().map(|fix| format!("<when>{}</when>\n", fix.time())).collect();
    let coords: String = fixes.iter().map(|fix| format!("<gx:coord>{}</gx:coord>\n", coord(fix))).collect();
    format!("<gx:Track>\n<altitudeMode>absolute</altitudeMode>\n{whens}{coords}</gx:Track>\n")
}

fn lists(fixes: &[TurnFix]) -> String {
    document(&placemark(&track(fixes)))
}

fn mark(name: &str, second: Option<u32>) -> String {
    let stamp = second.map(|s| format!("<TimeStamp><when>2026-05-01T09:00:{s:02}Z</when></TimeStamp>"));
    format!(
        "<Placemark><name>{name}</name>{}<Point><coordinates>8.25,47.5,0</coordinates></Point></Placemark>\n",
        stamp.unwrap_or_default()
    )
}

/// KML 2.2 with all that stands beside times and positions: a view with a time of its own, angles, speeds and pulse.
fn gx_track() -> String {
    let schema = "<Schema id=\"schema\"><gx:SimpleArrayField name=\"v\" type=\"float\"><displayName>Speed (km/h)</displayName>\
                  </gx:SimpleArrayField><gx:SimpleArrayField name=\"heart\" type=\"int\"><displayName>Pulse</displayName>\
                  </gx:SimpleArrayField></Schema>\n";
    let view =
        "<LookAt><gx:TimeStamp><when>2020-01-01T00:00:00Z</when></gx:TimeStamp><longitude>8</longitude></LookAt>\n";
    let angles = "<gx:angles>123 0 0</gx:angles>\n".repeat(12);
    let array = |name: &str, value: &str| {
        let values = format!("<gx:value>{value}</gx:value>\n").repeat(12);
        format!("<gx:SimpleArrayData name=\"{name}\">\n{values}</gx:SimpleArrayData>\n")
    };
    let data = format!(
        "{angles}<ExtendedData><SchemaData schemaUrl=\"#schema\">\n{}{}</SchemaData></ExtendedData>\n</gx:Track>",
        array("heart", "120"),
        array("v", "37.69")
    );
    let track = format!("{view}{}", track(&turn()).replacen("</gx:Track>", &data, 1));
    document(&format!(
        "{schema}{}{}{}{}",
        mark("Let go trim-level", Some(3)),
        placemark(&track),
        mark("take over", Some(9)),
        mark("Car park", None)
    ))
}

/// KML 2.3: no prefixes, a time and a position in turn, two tracks of one flight.
fn multitrack() -> String {
    let fixes = turn();
    let half = |fixes: &[TurnFix]| {
        let pairs: String =
            fixes.iter().map(|fix| format!("<when>{}</when><coord>{}</coord>\n", fix.time(), coord(fix))).collect();
        format!("<Track>\n{pairs}</Track>\n")
    };
    let (first, second) = fixes.split_at(6);
    format!(
        "<?xml version=\"1.0\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.3\" version=\"2.3\">\n<Placemark>\n<MultiTrack>\n\
         <altitudeMode>absolute</altitudeMode>\n<interpolate>0</interpolate>\n{}{}</MultiTrack>\n</Placemark>\n</kml>\n",
        half(first),
        half(second)
    )
}

fn other_prefixes() -> String {
    lists(&turn())
        .replace("gx:", "e:")
        .replace("xmlns:gx", "xmlns:e")
        .replace("<kml xmlns=", "<k:kml xmlns:k=")
        .replace("</kml>", "</k:kml>")
        .replace("absolute", "relativeToGround")
}

fn utf16(text: &str) -> Vec<u8> {
    format!("\u{feff}{}", text.replace("UTF-8", "UTF-16")).encode_utf16().flat_map(u16::to_le_bytes).collect()
}

/// Offset, fraction, no zone, a date alone, nothing: three of five say when, one of these has no position.
fn times() -> String {
    document(&placemark(
        "<gx:Track>\n<when>2026-05-01T11:00:00+02:00</when>\n<when>2026-05-01T09:00:00.25Z</when>\n\
         <when>2026-05-01T09:00:01</when>\n<when>2026-05-01</when>\n<when/>\n<when>2026-05-01T09:00:02Z</when>\n\
         <gx:coord>8.25 47.5 0</gx:coord>\n<gx:coord>8.25 47.5</gx:coord>\n<gx:coord>8.25 47.5 0</gx:coord>\n\
         <gx:coord>8.25 47.5 0</gx:coord>\n<gx:coord>8.25 47.5 0</gx:coord>\n<gx:coord></gx:coord>\n</gx:Track>\n",
    ))
}

fn pieces() -> String {
    document(&placemark(
        "<gx:Track>\n<altitudeMode><![CDATA[absolute]]></altitudeMode>\n<when>2026-05-01<!-- c -->T09:00:00Z</when>\n\
         <gx:coord><![CDATA[8.25]]> 47&#46;5<!-- c --> 6<!-- -->00</gx:coord>\n</gx:Track>\n",
    ))
}

fn bad_points() -> String {
    let points = [
        ("2026-05-01T09:00:00Z", "8.25 95 600"),
        ("2026-05-01T09:00:01Z", "8.25,47.5,600"),
        ("2026-02-30T09:00:02Z", "8.25 47.5 600"),
        ("2226-05-01T09:00:03Z", "8.25 47.5 600"),
        ("2026-05-01T09:00:04Z", "8.25 47.5 99999"),
        ("2026-05-01T09:00:05Z", "181 47.5"),
        ("2026-05-01T09:00:06Z", "8.25 47.5 600"),
    ];
    let pairs: String =
        points.iter().map(|(when, coord)| format!("<when>{when}</when>\n<gx:coord>{coord}</gx:coord>\n")).collect();
    document(&placemark(&format!("<gx:Track>\n<altitudeMode>absolute</altitudeMode>\n{pairs}</gx:Track>\n")))
}

fn line() -> String {
    let points: Vec<String> = turn().iter().map(|f| format!("{:.7},{:.7},0", f.lon_deg(), f.lat_deg())).collect();
    format!("<Placemark><LineString><coordinates>\n{}\n</coordinates></LineString></Placemark>\n", points.join("\n"))
}

fn cut_at(text: &str, word: &str) -> String {
    let at = text.find(word).expect("a place to cut");
    text[..at + 3].to_owned()
}

/// A wrong end tag, one that is missing, and a track that never ends.
fn mismatched() -> String {
    lists(&turn())
        .replacen("09:00:01Z</when>", "09:00:01Z</then>", 1)
        .replacen("09:00:02Z</when>", "09:00:02Z", 1)
        .replacen("600.0</gx:coord>", "600.0", 1)
        .replacen("</gx:Track>\n", "", 1)
}

fn entities() -> String {
    let typed = "<!DOCTYPE kml [<!ENTITY a \"47.5\"><!ENTITY b \"&a;&a;&a;\">]>\n<kml ";
    lists(&turn()).replacen("<kml ", typed, 1).replacen("47.5000000", "&b;", 1)
}

/// The beginning of a ZIP archive: the header of an entry that is stored, and its bytes.
fn kmz() -> Vec<u8> {
    let (name, inside) = (b"doc.kml", lists(&turn()));
    let mut bytes = b"PK\x03\x04\x0a\0\0\0\0\0\0\0\0\0\0\0\0\0".to_vec();
    let length = u32::try_from(inside.len()).expect("small").to_le_bytes();
    bytes.extend([length, length].concat());
    bytes.extend([name.len() as u8, 0, 0, 0]);
    bytes.extend(name);
    bytes.extend(inside.as_bytes());
    bytes
}
