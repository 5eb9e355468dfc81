//! Logbooks that earlier versions of the format left behind are opened, with everything in them.

mod common;

use common::{about, describe, log, mark, now, text};
use driftless_analysis::InertialFile;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{HungWeight, LeftOut, Timing, Turned};
use driftless_logbook::{
    About, CampaignId, FlightFilter, Logbook, StopwatchItem, WeightItem, WeightItemMeasured, WithKeys,
};
use flate2::read::GzDecoder;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Where a logbook of today is to be written, to be kept beside the others when the format moves on.
const KEEP: &str = "DRIFTLESS_LOGBOOK_KEEP";

fn timing() -> Timing {
    Timing {
        degrees: 90.0,
        seconds: 28.5,
        count: 2,
        turned: Turned::Left,
        reading_std_u_s: 0.3,
        pointing_std_u_deg: 5.0,
    }
}

fn with() -> WithKeys {
    WithKeys { setup: "bare".to_owned(), wing: "fenlark".to_owned(), pilot: None }
}

/// Something in every table.
fn fill(logbook: &mut Logbook) {
    let id = logbook.campaigns().expect("campaigns")[0].id;
    describe(logbook, id);
    let mut files = log("evening.csv", b"time,lat,lon\n2026-06-01T12:00:00Z,47,11\n");
    files.marks = text("marks.csv", "let_go,take_over\n10,80\n");
    files.csv_mapping = text("map.toml", "# nothing\n");
    files.inertial = vec![InertialFile::new("phone.csv".to_owned(), b"t,gz\n".to_vec(), Some("# none\n".to_owned()))];
    let flight = logbook.add_flight(id, &files, now()).expect("added").flight;
    let leave_out = vec![LeftOut { window: 2, reason: "gust".to_owned() }];
    let note = Some("zw\u{f6}lf".to_owned());
    logbook.set_about(flight, &About { leave_out, note, ..about("bare", Some("fenlark")) }).expect("said");
    logbook.correct(flight, &[mark(0), mark(100)], "moved", now()).expect("corrected");
    logbook.correct(flight, &[mark(0)], "removed one", now()).expect("corrected");
    logbook.undo(flight).expect("undone");
    let scenario = Scenario::TrimLevel;
    let run = StopwatchItem {
        with: with(),
        scenario,
        timing: timing(),
        timed_by: Some("Birch".to_owned()),
        date: now().date_naive().into(),
        same_run: Some((flight, 1)),
        note: None,
    };
    logbook.put_stopwatch_run(id, &run, None).expect("a run");
    let weight = HungWeight { mass_kg: 2.0, mass_std_u_kg: 0.02, arm_m: 0.5, arm_std_u_m: 0.02, side: Turned::Right };
    for measured in [
        WeightItemMeasured::Log { flight, windows: vec![1, 3] },
        WeightItemMeasured::Stopwatch { with: with(), scenario, timing: timing() },
    ] {
        logbook.put_weight_run(id, &WeightItem { weight, measured, note: None }, None).expect("a run");
    }
    logbook.set_preference("units", Some("kmh")).expect("noted");
}

/// Everything that can be asked of it.
fn everything(logbook: &Logbook) -> impl PartialEq + std::fmt::Debug {
    let id: CampaignId = logbook.campaigns().expect("campaigns")[0].id;
    let flights = logbook.flights(id, &FlightFilter::default()).expect("flights");
    let flight = flights[0].id;
    let beside = (logbook.marks(flight), logbook.history(flight), logbook.flight_files(flight));
    let runs = (logbook.stopwatch_runs(id), logbook.weight_runs(id));
    (logbook.campaign(id), flights, beside, runs, logbook.preferences(), logbook.export_campaign(id))
}

/// Tables and indexes, as they were made.
fn schema(path: &Path) -> Vec<(String, Option<String>)> {
    let conn = rusqlite::Connection::open(path).expect("opens");
    let mut statement = conn.prepare("SELECT name, sql FROM sqlite_schema ORDER BY name").expect("a schema");
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).expect("rows");
    let all: Vec<_> = rows.map(|row| row.expect("a row")).collect();
    assert!(all.len() > 30, "{all:?}");
    all
}

fn kept(version: i64) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../fixtures/logbook/version-{version}.logbook.gz"))
}

#[test]
fn logbooks_of_every_version_open_with_everything_in_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut today = Logbook::in_memory().expect("a logbook");
    fill(&mut today);
    if let Some(path) = std::env::var_os(KEEP) {
        std::fs::write(path, today.backup().expect("a backup")).expect("written");
    }
    for version in 1..=driftless_logbook::SCHEMA_VERSION {
        let packed = std::fs::read(kept(version)).unwrap_or_else(|error| panic!("version {version}: {error}"));
        let mut bytes = Vec::new();
        GzDecoder::new(packed.as_slice()).read_to_end(&mut bytes).expect("gzip");
        assert_eq!(bytes[60..64], u32::try_from(version).expect("small").to_be_bytes(), "version {version}");
        let path = folder.path().join(format!("{version}.logbook"));
        std::fs::write(&path, bytes).expect("written");
        let opened = Logbook::open(&path).expect("opens");
        assert_eq!(opened.check(), Ok(Vec::new()));
        assert!(everything(&opened) == everything(&today), "version {version}: {:#?}", everything(&opened));
        drop(opened);
        let new = folder.path().join("new.logbook");
        drop(Logbook::open(&new).expect("a new logbook"));
        assert_eq!(schema(&path), schema(&new), "version {version}: brought to the newest, and new");
    }
}

/// Runs are held to what is described, changed in their place and removed.
#[test]
fn runs_come_back_as_they_were_put_in() {
    let mut logbook = Logbook::in_memory().expect("a logbook");
    fill(&mut logbook);
    let id = logbook.campaigns().expect("campaigns")[0].id;
    let (run, mut item) = logbook.stopwatch_runs(id).expect("runs").remove(0);
    item.timing.seconds = 31.0;
    assert_eq!(logbook.put_stopwatch_run(id, &item, Some(run)), Ok(run));
    assert_eq!(logbook.stopwatch_runs(id), Ok(vec![(run, item.clone())]));
    item.timing.seconds = 0.01;
    let refused = logbook.put_stopwatch_run(id, &item, Some(run)).expect_err("too short").to_string();
    assert!(refused.contains("`seconds` of stopwatch run 1"), "{refused}");
    let flight = logbook.flights(id, &FlightFilter::default()).expect("flights")[0].id;
    let refused = logbook.remove_flight(flight).expect_err("used").to_string();
    assert!(refused.contains("1 stopwatch and 1 known-weight runs"), "{refused}");
    for (run, _) in logbook.weight_runs(id).expect("runs") {
        logbook.remove_weight_run(run).expect("removed");
        assert!(logbook.remove_weight_run(run).is_err());
    }
    logbook.remove_stopwatch_run(run).expect("removed");
    logbook.remove_flight(flight).expect("unused now");
    assert_eq!(logbook.check(), Ok(Vec::new()));
}
