//! What the fuzz targets do with their bytes: by name, so that the fuzzers and the replay of what they found do the same.

use super::flown::{flown, ordinary};
use super::{Beside, Made, campaigns, logbooks, report, sensed};
use driftless_analysis::campaign::file::{AnyFolder, read_within, write};
use driftless_analysis::{InertialFile, InputLimits};
use driftless_logbook::{Logbook, archive::pack};
use driftless_sim::{Scenario, render_within};
use driftless_track::InputLimit;
use std::collections::BTreeMap;

/// A target: bytes in, what came out for other judges; a panic where a promise is broken.
type Target = fn(&[u8]) -> Vec<Made>;

/// Every target by the name of its binary and of its kept corpus.
pub const TARGETS: [(&str, Target); 11] = [
    ("aligned", aligned),
    ("archive", archive),
    ("campaign", campaign),
    ("flight", flight),
    ("import", import),
    ("inertial", inertial),
    ("logbook", logbook),
    ("mapping", mapping),
    ("marks", marks),
    ("road", road),
    ("scenario", scenario),
];

/// A log of a few fixes, for what is read beside it.
const SHORT: &[u8] = include_bytes!("../../../../fixtures/formats/csv/good/time-utc.csv");

/// Any bytes as a log, into every output.
pub fn road(bytes: &[u8]) -> Vec<Made> {
    report(bytes, Beside::default())
}

/// Bytes as the legs of a flight with its marks, into every output.
pub fn flight(bytes: &[u8]) -> Vec<Made> {
    let flown = flown(bytes);
    report(flown.log.as_bytes(), Beside { marks: Some(&flown.marks), ..Beside::default() })
}

/// Any text as a marks file: whole, and as rows beside a flight.
pub fn marks(bytes: &[u8]) -> Vec<Made> {
    let Ok(text) = str::from_utf8(bytes) else { return Vec::new() };
    let mut made = report(SHORT, Beside { marks: Some(text), ..Beside::default() });
    let rows = format!("let_go,take_over,scenario,setup,note\n{text}");
    made.extend(report(ordinary().log.as_bytes(), Beside { marks: Some(&rows), ..Beside::default() }));
    made
}

/// Any text as a column mapping, of a log and of inertial data.
pub fn mapping(bytes: &[u8]) -> Vec<Made> {
    let Ok(text) = str::from_utf8(bytes) else { return Vec::new() };
    let mut made = report(SHORT, Beside { mapping: Some(text), ..Beside::default() });
    let sensor = InertialFile::new("sensor".to_owned(), SHORT.to_vec(), Some(text.to_owned()));
    made.extend(report(SHORT, Beside { inertial: Some(sensor), ..Beside::default() }));
    made
}

/// Any bytes as an inertial file: whole, and as rows below a header.
pub fn inertial(bytes: &[u8]) -> Vec<Made> {
    let beside = |bytes: Vec<u8>| {
        let sensor = InertialFile::new("sensor".to_owned(), bytes, None);
        report(SHORT, Beside { inertial: Some(sensor), ..Beside::default() })
    };
    let head = b"time,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n";
    let mut made = beside(bytes.to_vec());
    made.extend(beside([head, bytes].concat()));
    made
}

/// Bytes as a sensor that flies along, and as the flight: it is laid on the track, or left out in words.
pub fn aligned(bytes: &[u8]) -> Vec<Made> {
    let (flown, sensor) = sensed::sensed(bytes);
    report(flown.log.as_bytes(), Beside { marks: Some(&flown.marks), inertial: Some(sensor), ..Beside::default() })
}

/// Any text as a campaign file; what is read is written and read again, and goes into every output.
pub fn campaign(bytes: &[u8]) -> Vec<Made> {
    let Ok(text) = str::from_utf8(bytes) else { return Vec::new() };
    match read_within(text, "campaign.toml", &AnyFolder, &InputLimits::default()) {
        Ok(campaign) => {
            let written = write(&campaign);
            let again = read_within(&written, "campaign.toml", &AnyFolder, &InputLimits::default());
            assert!(again.is_ok(), "what was written cannot be read: {again:?}\n{written}");
            campaigns::report(campaign)
        }
        Err(faults) => {
            assert!(!faults.to_string().is_empty(), "refused without a word");
            Vec::new()
        }
    }
}

/// Any bytes as an archive with a campaign; what is taken goes out and comes in again.
pub fn archive(bytes: &[u8]) -> Vec<Made> {
    let mut logbook = Logbook::in_memory().expect("a logbook in memory");
    if let Ok(campaign) = logbook.import_archive(bytes, &InputLimits::default(), now()) {
        there_and_back(&mut logbook, campaign);
    }
    Vec::new()
}

/// Any text as the campaign file of a folder that holds whatever it names; what is taken goes out and comes in again.
pub fn import(bytes: &[u8]) -> Vec<Made> {
    let mut logbook = Logbook::in_memory().expect("a logbook in memory");
    let mut files = BTreeMap::from([("campaign.toml".to_owned(), bytes.to_vec())]);
    for quoted in bytes.split(|&byte| byte == b'"').skip(1).step_by(2) {
        // Two flights with one log are refused: each file is another.
        let content = [SHORT, quoted].concat();
        files.entry(String::from_utf8_lossy(quoted).into_owned()).or_insert(content);
    }
    if let Ok(campaign) = logbook.import_files(&files, "campaign.toml", &InputLimits::default(), now()) {
        there_and_back(&mut logbook, campaign);
    }
    Vec::new()
}

/// The file of a logbook, in whose rows or pages bytes have changed something.
pub fn logbook(bytes: &[u8]) -> Vec<Made> {
    match bytes.split_first() {
        Some((0..200, changes)) => logbooks::read_all(&logbooks::with_rows(changes)),
        Some((_, changes)) => logbooks::read_all(&logbooks::with_bytes(changes)),
        None => logbooks::read_all(bytes),
    }
    Vec::new()
}

/// Any text as a scenario; what flies is written in its formats.
pub fn scenario(bytes: &[u8]) -> Vec<Made> {
    let Ok(text) = str::from_utf8(bytes) else { return Vec::new() };
    if let Ok(scenario) = Scenario::from_toml(text) {
        // Longer flights only take longer.
        let limits = InputLimits::default().with(InputLimit::ScenarioSeconds, 120);
        let _ = render_within(&scenario, 1, &limits);
    }
    Vec::new()
}

fn there_and_back(logbook: &mut Logbook, campaign: driftless_logbook::CampaignId) {
    let out = logbook.export_campaign(campaign).expect("what came in goes out");
    let archive =
        pack(out.files.iter().map(|(path, content)| (path.as_str(), content.as_slice()))).expect("an archive");
    logbook.import_archive(&archive, &InputLimits::default(), now()).expect("and comes in again");
}

pub(super) fn now() -> chrono::DateTime<chrono::Utc> {
    chrono::DateTime::from_timestamp(1_780_000_000, 0).expect("a time")
}
