//! Random bytes, and fixtures with random damage: a result or an error, never a panic, and every fix in range.

mod held;

use held::check;
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

static SEEDS: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/formats");
    let mut seeds = Vec::new();
    for folder in ["gpx", "igc", "nmea", "csv", "kml", "fit"]
        .iter()
        .flat_map(|f| ["good", "odd", "hostile"].map(|k| format!("{f}/{k}")))
    {
        for entry in std::fs::read_dir(root.join(folder)).expect("a fixture folder") {
            let bytes = std::fs::read(entry.expect("an entry").path()).expect("a fixture");
            seeds.push(bytes);
        }
    }
    seeds.sort();
    seeds
});

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..2000)) {
        check(&bytes);
    }

    #[test]
    fn random_text_of_the_formats(text in r#"(<gpx>|<trkpt lat="1" lon="2">|</trkpt>|<time>|2026-05-01T09:00:00Z|</time>|<!--|]]>|&a;|HFDTE010526
|B0900004730000N00815000EA0057000600
|I013637LAD
|\$GPRMC,|090000,A,|4730.0,N,|t_s,lat,lon
|1,2,3
|"|;|,|\*|[ -~]){0,60}"#) {
        check(text.as_bytes());
    }

    #[test]
    fn random_text_of_kml(text in "(<kml>|<Placemark>|<gx:Track>|<Track>|</Track>|</gx:Track>|<when>|<when>2026-05-01T09:00:00Z</when>|</when>|<coord>|<coord>8 47 1</coord>|</coord>|<gx:MultiTrack>|<altitudeMode>|<SimpleArrayData name=\"speed_kmh\">|<value>|</value>|<name>let go|<Point>|<TimeStamp>|<coordinates>|<!--|]]>|&a;|<!x>|</kml>|[ -~]){0,60}") {
        check(format!("<kml>{text}").as_bytes());
    }

    /// Anything behind the header of a FIT and the layout of a record.
    #[test]
    fn random_messages_of_fit(length in any::<u8>(), messages in proptest::collection::vec(any::<u8>(), 0..600)) {
        let head = [length, 0x10, 0, 0, 0, 0, 0, 0];
        let layout = [0x40, 0, 0, 20, 0, 3, 253, 4, 0x86, 0, 4, 0x85, 1, 4, 0x85];
        check(&[&head[..], b".FIT", &layout, &messages].concat());
    }

    #[test]
    fn damaged_fixtures(seed in any::<prop::sample::Index>(), damage in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0_u8..4), 1..8)) {
        let mut bytes = seed.get(&SEEDS).clone();
        for (at, value, how) in damage {
            if bytes.is_empty() { break; }
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = value,
                1 => { bytes.remove(at); }
                2 => bytes.insert(at, value),
                _ => bytes.truncate(at),
            }
        }
        check(&bytes);
    }
}
