//! Campaigns into the logbook and out again.

mod common;

use common::{add, demo, demo_campaign, describe, log, logbook, mark, now, text};
use driftless_analysis::campaign::file::{AnyFolder, read, write};
use driftless_analysis::campaign::model::{Campaign, Flight};
use driftless_analysis::{InertialFile, InputLimits};
use driftless_logbook::archive::pack;
use driftless_logbook::{Logbook, LogbookError};

/// A campaign without its lines, which are those of a file.
#[track_caller]
fn plain(campaign: &Campaign) -> Campaign {
    let text = write(campaign);
    read(&text, "campaign", &AnyFolder).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

#[test]
fn the_demo_campaign_comes_out_as_it_went_in() {
    let (mut logbook, _) = logbook();
    let campaign = demo_campaign();
    let get = |path: &str| std::fs::read(demo().join(path)).ok();
    let id = logbook.import_campaign(&campaign, &get, now()).expect("imported");
    let out = logbook.campaign(id).expect("there");
    assert_eq!((out.waiting.len(), out.flights.len()), (0, campaign.flights.len()));
    assert_eq!(plain(&out.campaign), plain(&campaign));
    assert_eq!(logbook.check(), Ok(Vec::new()));
    // Out as files, and in again by way of an archive: the same once more, bytes of logs included.
    let exported = logbook.export_campaign(id).expect("exported");
    let log = exported.files.iter().find(|(path, _)| *path == campaign.flights[0].log).expect("its log");
    assert_eq!(Some(log.1.clone()), get(&campaign.flights[0].log));
    let packed = pack(exported.files.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice()))).expect("packed");
    let mut other = Logbook::in_memory().expect("a logbook");
    let again = other.import_archive(&packed, &InputLimits::default(), now()).expect("imported");
    assert_eq!(plain(&other.campaign(again).expect("there").campaign), plain(&campaign));
    assert_eq!(other.export_campaign(again).expect("exported").files, exported.files);
}

/// Logs, marks, sensors and mappings of one name in different folders, marks corrected, and a flight that lost its files.
#[test]
fn files_with_the_same_name_keep_apart() {
    let (mut logbook, id) = logbook();
    describe(&mut logbook, id);
    let mut flights = Vec::new();
    for day in ["monday", "tuesday"] {
        let inertial = InertialFile::new(format!("{day}/phone.csv"), day.into(), Some(format!("# {day}")));
        let log_bytes = format!("log of {day}");
        let mut files = log(&format!("{day}/flight.igc"), log_bytes.as_bytes());
        files.marks = text("m.csv", &format!("let_go,take_over\n10,{}\n", 20 + day.len()));
        files.csv_mapping = text("map.toml", day);
        files.inertial = vec![inertial];
        let added = logbook.add_flight(id, &files, now()).expect("added");
        logbook.set_about(added.flight, &common::about("bare", None)).expect("said");
        flights.push(added.flight);
    }
    logbook.correct(flights[1], &[mark(0), mark(90)], "moved the end", now()).expect("corrected");
    let exported = logbook.export_campaign(id).expect("exported");
    let mut paths: Vec<&str> = exported.files.iter().map(|(path, _)| path.as_str()).collect();
    paths.sort_unstable();
    assert_eq!(
        paths,
        [
            "campaign.toml",
            "imu/phone-2.csv",
            "imu/phone-2.csv.toml",
            "imu/phone.csv",
            "imu/phone.csv.toml",
            "logs/flight-2.igc",
            "logs/flight.igc",
            "maps/map-2.toml",
            "maps/map.toml",
            "marks/flight-2.csv",
            "marks/flight.csv",
        ]
    );
    let packed = pack(exported.files.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice()))).expect("packed");
    let again = logbook.import_archive(&packed, &InputLimits::default(), now()).expect("imported");
    assert_eq!(logbook.export_campaign(again).expect("exported").files, exported.files);
    let second = logbook.campaign(again).expect("there").flights[1];
    let stored = logbook.flight_files(second).expect("files");
    assert_eq!((stored.log.as_slice(), stored.inertial[0].bytes.as_slice()), (&b"log of tuesday"[..], &b"tuesday"[..]));
    assert_eq!(stored.inertial[0].mapping_toml.as_deref(), Some("# tuesday"));
    let marks = stored.marks.expect("marks").text;
    let rows = driftless_analysis::marks_file::parse(&marks, &InputLimits::default()).expect("a marks file");
    assert_eq!((rows.len(), rows[1].note.as_deref()), (2, mark(90).note.as_deref()));
}

#[test]
fn a_flight_left_out_may_have_lost_its_files() {
    let (mut logbook, _) = logbook();
    let mut campaign = demo_campaign();
    campaign.stopwatch_runs.clear();
    campaign.weight_runs.clear();
    campaign.flights.truncate(2);
    let lost = Flight {
        exclude: Some("rain".to_owned()),
        marks: Some("m/marks.csv".to_owned()),
        imu: vec!["i/phone.csv".to_owned()],
        csv_map: Some("map.toml".to_owned()),
        ..campaign.flights[1].clone()
    };
    let get = |path: &str| (path == campaign.flights[0].log).then(|| b"a log".to_vec());
    let refused = logbook.import_campaign(&campaign, &get, now());
    assert_eq!(refused, Err(LogbookError::NoFile { path: campaign.flights[1].log.clone() }));
    assert_eq!(logbook.campaigns().expect("campaigns").len(), 1, "all or nothing");
    let with_lost = Campaign { flights: vec![campaign.flights[0].clone(), lost], ..campaign.clone() };
    let id = logbook.import_campaign(&with_lost, &get, now()).expect("imported");
    let out = logbook.campaign(id).expect("there");
    assert_eq!(out.campaign.flights[1].imu, ["imu/phone.csv"]);
    assert_eq!(out.campaign.flights[1].csv_map.as_deref(), Some("maps/map.toml"));
    assert!(out.campaign.flights[1].marks.is_some());
    let exported = logbook.export_campaign(id).expect("exported");
    assert_eq!(exported.files.len(), 2, "the campaign file and the one log");
    let lost = out.flights[1];
    assert!(logbook.flight_files(lost).is_err());
    // It cannot count again: there is nothing to count.
    let about = driftless_logbook::About { exclude: None, ..logbook.flight(lost).expect("there").about };
    let refused = logbook.set_about(lost, &about).expect_err("no log").to_string();
    assert!(refused.contains("can only be left out"), "{refused}");
}

#[test]
fn flights_wait_until_set_up_and_wing_are_said() {
    let (mut logbook, id) = logbook();
    let waiting = add(&mut logbook, id, "evening.igc");
    assert_eq!(logbook.campaign(id).expect("there").waiting, [waiting]);
    assert_eq!(logbook.export_campaign(id).expect("exported").waiting, [waiting]);
    describe(&mut logbook, id);
    assert_eq!(logbook.campaign(id).expect("there").waiting, [waiting]);
    logbook.set_about(waiting, &common::about("bare", None)).expect("said");
    // The only wing of the campaign is the one meant.
    let out = logbook.campaign(id).expect("there");
    assert_eq!((out.waiting.len(), out.flights.as_slice()), (0, &[waiting][..]));
    assert!(!logbook.flight(waiting).expect("there").waiting);
    logbook.put_wing(id, &common::wing("sedgewren", "Sedgewren 20"), None).expect("a second wing");
    assert_eq!(logbook.campaign(id).expect("there").waiting, [waiting]);
    assert!(logbook.flight(waiting).expect("there").waiting);
}

#[test]
fn two_flights_with_one_log_are_refused() {
    let (mut logbook, _) = logbook();
    let campaign = demo_campaign();
    let refused = logbook.import_campaign(&campaign, &|_| Some(b"the same".to_vec()), now());
    assert!(matches!(refused, Err(LogbookError::SameLog { .. })), "{refused:?}");
    assert_eq!(logbook.check(), Ok(Vec::new()));
}

/// Behind the head, in which changes are counted.
const HEAD: usize = 100;

fn pages(logbook: &Logbook) -> Vec<u8> {
    logbook.backup().expect("a backup").split_off(HEAD)
}

#[test]
fn a_backup_holds_everything_and_comes_back() {
    let (mut logbook, id) = logbook();
    describe(&mut logbook, id);
    let flight = add(&mut logbook, id, "evening.igc");
    logbook.correct(flight, &[mark(0)], "first", now()).expect("corrected");
    logbook.set_preference("units", Some("kmh")).expect("noted");
    let backup = logbook.backup().expect("a backup");
    let mut other = Logbook::in_memory().expect("a logbook");
    other.restore(&backup).expect("restored");
    assert!(pages(&other) == backup[HEAD..]);
    assert_eq!(other.marks(flight), Ok(Some(vec![mark(0)])));
    assert_eq!(other.preference("units").expect("read").as_deref(), Some("kmh"));
    // It is a file that opens.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("copy.logbook");
    std::fs::write(&path, &backup).expect("written");
    assert_eq!(Logbook::open(&path).expect("opens").history(flight).expect("there").len(), 1);
}

#[test]
fn what_is_no_whole_backup_leaves_the_logbook_as_it_was() {
    let (mut logbook, id) = logbook();
    logbook.add_flight(id, &log("evening.igc", b"bytes of the log"), now()).expect("added");
    let backup = logbook.backup().expect("a backup");
    let mut newer = backup.clone();
    newer[60..64].copy_from_slice(&99_u32.to_be_bytes());
    let mut changed = backup.clone();
    let at = backup.windows(16).position(|bytes| bytes == b"bytes of the log").expect("the bytes of the log");
    changed[at] ^= 1;
    for (bytes, what) in [
        (&b""[..], "nothing"),
        (b"let_go,take_over", "text"),
        (&backup[..backup.len() - 4096], "cut off"),
        (&backup[..50], "hardly begun"),
        (&newer, "newer"),
        (&changed, "changed"),
    ] {
        let refused = logbook.restore(bytes);
        assert!(matches!(refused, Err(LogbookError::NoBackup(_))), "{what}: {refused:?}");
        assert!(pages(&logbook) == backup[HEAD..], "{what}");
    }
}
