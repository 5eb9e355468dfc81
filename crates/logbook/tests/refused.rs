//! Files that are no logbook, or not one of ours, or not whole: refused in words, and not a byte of them changed.

mod common;

use common::{add, now};
use driftless_logbook::{APPLICATION_ID, Logbook, LogbookError, SCHEMA_VERSION};
use rusqlite::Connection;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A logbook on the disk with one flight in it, closed.
fn on_disk() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("flights.logbook");
    let mut logbook = Logbook::open(&path).expect("a new logbook");
    let id = logbook.campaigns().expect("campaigns")[0].id;
    add(&mut logbook, id, "evening.igc");
    drop(logbook);
    (folder, path)
}

/// Names and contents of a folder.
fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all: Vec<_> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| (path.clone(), std::fs::read(&path).unwrap_or_default()))
        .collect();
    all.sort();
    all
}

/// Refused in both ways to open, with nothing changed in the folder; gives the error.
#[track_caller]
fn refused(folder: &TempDir, path: &Path) -> LogbookError {
    let before = contents(folder.path());
    let to_read = Logbook::open_read_only(path).map(drop).expect_err("refused");
    let to_write = Logbook::open(path).map(drop).expect_err("refused");
    assert!(before == contents(folder.path()), "something was written: {to_write}");
    assert_eq!(to_read, to_write);
    to_write
}

#[test]
fn what_is_no_database_is_not_touched() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("notes.txt");
    for content in [&b"x"[..], b"SQLite format 3", &[0; 4096], b"let_go,take_over\n"] {
        std::fs::write(&path, content).expect("written");
        assert_eq!(refused(&folder, &path), LogbookError::NoDatabase);
    }
    std::fs::write(&path, b"SQLite format 3\0\x10\0").expect("written");
    assert!(matches!(refused(&folder, &path), LogbookError::Damaged { .. }));
    assert_eq!(Logbook::open(folder.path()).map(drop), Err(LogbookError::NoDatabase), "a folder");
    let missing = folder.path().join("none");
    assert_eq!(Logbook::open_read_only(&missing).map(drop), Err(LogbookError::NotThere));
    assert!(!missing.exists());
}

#[test]
fn a_database_of_another_program_is_not_touched() {
    for journal in ["delete", "wal"] {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("other.db");
        let conn = Connection::open(&path).expect("a database");
        conn.query_row(&format!("PRAGMA journal_mode = {journal}"), [], |_| Ok(())).expect("set");
        conn.execute_batch("CREATE TABLE files (id INTEGER); PRAGMA user_version = 1;").expect("a table");
        drop(conn);
        assert_eq!(refused(&folder, &path), LogbookError::Foreign);
    }
    // A database without anything in it is somebody's too.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("blank.db");
    Connection::open(&path).and_then(|conn| conn.execute_batch("VACUUM")).expect("a database");
    assert_eq!(refused(&folder, &path), LogbookError::Foreign);
}

#[test]
fn a_logbook_of_a_newer_program_is_not_touched() {
    let (folder, path) = on_disk();
    let newer = SCHEMA_VERSION + 1;
    Connection::open(&path).and_then(|conn| conn.pragma_update(None, "user_version", newer)).expect("set");
    assert_eq!(refused(&folder, &path), LogbookError::Newer { found: newer, known: SCHEMA_VERSION });
}

/// The newer program was killed before it tidied up: what it is stands in the log beside it alone.
#[test]
fn a_newer_logbook_is_known_by_the_log_beside_it() {
    let (folder, path) = on_disk();
    let conn = Connection::open(&path).expect("opens");
    conn.set_db_config(rusqlite::config::DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true).expect("set");
    conn.pragma_update(None, "user_version", SCHEMA_VERSION + 1).expect("set");
    drop(conn);
    let beside = || contents(folder.path()).into_iter().filter(|(path, _)| !path.to_string_lossy().ends_with("-shm"));
    let before: Vec<_> = beside().collect();
    assert_eq!(before.len(), 2, "the logbook and its log");
    for opened in [Logbook::open(&path).map(drop), Logbook::open_read_only(&path).map(drop)] {
        assert!(matches!(opened, Err(LogbookError::Newer { .. })), "{opened:?}");
        assert!(before == beside().collect::<Vec<_>>(), "something was written");
    }
}

#[test]
fn a_logbook_cut_short_is_not_touched() {
    let (folder, path) = on_disk();
    let whole = std::fs::read(&path).expect("read");
    for length in [whole.len() - 1, whole.len() - 4096, whole.len() / 2, 4096, 1000, 101, 100, 99] {
        std::fs::write(&path, &whole[..length]).expect("written");
        let error = refused(&folder, &path);
        assert!(matches!(error, LogbookError::Damaged { .. }), "{length} of {}: {error:?}", whole.len());
        assert!(error.to_string().contains("put a backup in its place"), "{error}");
    }
    std::fs::write(&path, &whole).expect("written");
    assert_eq!(Logbook::open(&path).expect("whole again").check(), Ok(Vec::new()));
}

/// Every page in turn is overwritten: the logbook is refused, or the damage is found by the check.
#[test]
fn a_damaged_page_is_found() {
    let (folder, path) = on_disk();
    let whole = std::fs::read(&path).expect("read");
    let pages = whole.len() / 4096;
    assert!(pages > 20, "{pages}");
    let mut refused_at_once = 0;
    for page in 0..pages {
        let mut damaged = whole.clone();
        damaged[page * 4096..(page + 1) * 4096].fill(0xa5);
        std::fs::write(&path, &damaged).expect("written");
        match Logbook::open_read_only(&path) {
            Err(error) => {
                assert!(matches!(error, LogbookError::Damaged { .. } | LogbookError::NoDatabase), "{page}: {error:?}");
                assert_eq!(refused(&folder, &path), error);
                refused_at_once += 1;
            }
            Ok(logbook) => {
                let found = logbook.check();
                assert!(found != Ok(Vec::new()), "page {page}: nothing was found");
            }
        }
    }
    assert!(refused_at_once > pages / 2, "{refused_at_once} of {pages}");
}

/// Files that carry the mark of a logbook and would act on their own, or keep less than a logbook keeps.
#[test]
fn tables_that_are_not_those_of_a_logbook_are_refused() {
    for (change, words) in [
        (
            "CREATE TRIGGER gone AFTER INSERT ON corrections BEGIN DELETE FROM flights; END",
            "it holds the trigger \"gone\", and no logbook has one",
        ),
        ("ALTER TABLE wings RENAME TO old; CREATE VIEW wings AS SELECT * FROM old", "it has no table \"wings\""),
        ("DROP INDEX flights_marks", "it has no index \"flights_marks\""),
        (
            "PRAGMA foreign_keys = off; DROP TABLE preferences; CREATE TABLE preferences (key, value)",
            "its table \"preferences\" is not that of a logbook",
        ),
    ] {
        let (folder, path) = on_disk();
        let good = Logbook::open(&path).expect("opens").backup().expect("a backup");
        Connection::open(&path).and_then(|conn| conn.execute_batch(change)).expect(change);
        let error = refused(&folder, &path);
        assert_eq!(error, LogbookError::Damaged { what: words.to_owned() });
        let bytes = std::fs::read(&path).expect("read");
        let mut logbook = Logbook::in_memory().expect("a logbook");
        assert_eq!(logbook.restore(&bytes), Err(LogbookError::NoBackup(Box::new(error))));
        logbook.restore(&good).expect("the one before it is taken");
    }
}

/// A trigger that the list of objects calls a table, so that nobody who looks for triggers finds it.
#[test]
fn a_trigger_under_another_name_is_refused() {
    let (folder, path) = on_disk();
    let change = "CREATE TRIGGER gone AFTER INSERT ON corrections BEGIN DELETE FROM flights; END; \
                  PRAGMA writable_schema = on; UPDATE sqlite_schema SET type = 'table' WHERE type = 'trigger'";
    Connection::open(&path).and_then(|conn| conn.execute_batch(change)).expect(change);
    let error = refused(&folder, &path);
    assert!(matches!(error, LogbookError::Damaged { .. }), "{error:?}");
}

/// Somebody looks at the logbook with other tools, and leaves something in it that does nothing.
#[test]
fn what_lies_beside_the_tables_of_a_logbook_stays() {
    let (_folder, path) = on_disk();
    let change = "CREATE VIEW mine AS SELECT key FROM flights; CREATE TABLE notes (note TEXT); ANALYZE";
    Connection::open(&path).and_then(|conn| conn.execute_batch(change)).expect(change);
    drop(Logbook::open(&path).expect("opens"));
    drop(Logbook::open_read_only(&path).expect("opens"));
    let kept: String = Connection::open(&path)
        .and_then(|conn| conn.query_row("SELECT key FROM mine", [], |row| row.get(0)))
        .expect("the view is there");
    assert_eq!(kept, "evening");
}

#[test]
fn changed_bytes_of_a_log_are_never_given_out() {
    let (_folder, path) = on_disk();
    let conn = Connection::open(&path).expect("opens");
    conn.execute("UPDATE files SET bytes = x'00'", []).expect("changed");
    drop(conn);
    let logbook = Logbook::open(&path).expect("opens");
    let campaign = logbook.campaigns().expect("campaigns")[0].id;
    let flight = logbook.flights(campaign, &driftless_logbook::FlightFilter::default()).expect("flights")[0].id;
    assert_eq!(logbook.flight_files(flight), Err(LogbookError::FileDamaged { name: "evening.igc".to_owned() }));
    let found = logbook.check().expect("readable");
    assert_eq!(found.len(), 1, "{found:?}");
}

#[test]
fn a_missing_or_empty_file_becomes_a_logbook() {
    let folder = tempfile::tempdir().expect("a folder");
    let empty = folder.path().join("empty");
    std::fs::write(&empty, b"").expect("written");
    for path in [empty, folder.path().join("missing")] {
        let logbook = Logbook::open(&path).expect("a new logbook");
        assert_eq!(logbook.campaigns().expect("campaigns")[0].title, "My flights");
        drop(logbook);
        let bytes = std::fs::read(&path).expect("read");
        assert_eq!(bytes[68..72], APPLICATION_ID.to_be_bytes(), "the head says whose it is");
        assert_eq!(bytes[18..20], [2, 2], "kept by a write-ahead log");
    }
    let names = contents(folder.path()).len();
    assert_eq!(names, 2, "nothing stays beside a closed logbook");
}

#[test]
fn two_programs_read_and_one_waits_for_the_other_to_write() {
    let (_folder, path) = on_disk();
    let mut first = Logbook::open(&path).expect("opens");
    let second = Logbook::open(&path).expect("opens");
    let campaign = first.campaigns().expect("campaigns")[0].id;
    add(&mut first, campaign, "morning.igc");
    assert_eq!(second.campaigns().expect("campaigns")[0].flights, 2);
    drop((first, second));
    // A program that writes and does not come to an end.
    let busy = Connection::open(&path).expect("opens");
    busy.execute_batch("BEGIN IMMEDIATE").expect("begun");
    let mut waiting = Logbook::open(&path).expect("opens");
    let begin = std::time::Instant::now();
    let refused = waiting.add_flight(campaign, &common::log("x.igc", b"x"), now());
    assert_eq!(refused, Err(LogbookError::Locked));
    assert!(begin.elapsed().as_secs_f64() > 4.0, "it waits before it gives up");
    assert_eq!(Logbook::open_read_only(&path).expect("reads").campaigns().expect("campaigns")[0].flights, 2);
    // A backup can be made all the same, and be put back once there is peace.
    let backup = waiting.backup().expect("a backup");
    assert_eq!(waiting.restore(&backup), Err(LogbookError::Locked));
    drop(busy);
    add(&mut waiting, campaign, "noon.igc");
    waiting.restore(&backup).expect("restored");
    drop(waiting);
    let again = Logbook::open(&path).expect("opens");
    assert_eq!((again.campaigns().expect("campaigns")[0].flights, again.check()), (2, Ok(Vec::new())));
}

/// The disk is full: what stood there stands, and once there is room it goes on.
#[test]
fn a_full_disk_takes_nothing_away() {
    let (_folder, path) = on_disk();
    let pages: i64 = Connection::open(&path)
        .and_then(|conn| conn.pragma_query_value(None, "page_count", |row| row.get(0)))
        .expect("counted");
    // A limit on pages gives the same error as a full disk.
    let conn = Connection::open(&path).expect("opens");
    conn.query_row(&format!("PRAGMA max_page_count = {}", pages + 1), [], |_| Ok(())).expect("set");
    let mut full = Logbook::of_connection(conn).expect("opens");
    let campaign = full.campaigns().expect("campaigns")[0].id;
    let large = vec![7; 100_000];
    let refused = full.add_flight(campaign, &common::log("large.igc", &large), now());
    assert_eq!(refused, Err(LogbookError::DiskFull));
    assert_eq!(full.check(), Ok(Vec::new()));
    drop(full);
    let mut room = Logbook::open(&path).expect("opens");
    room.add_flight(campaign, &common::log("large.igc", &large), now()).expect("added");
    assert_eq!(room.check(), Ok(Vec::new()));
}

#[test]
fn what_may_only_be_read_is_read() {
    let (_folder, path) = on_disk();
    let flags = rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY;
    let conn = Connection::open_with_flags(&path, flags).expect("opens");
    assert_eq!(Logbook::of_connection(conn).map(drop), Err(LogbookError::ReadOnly));
    let mut read_only = Logbook::open_read_only(&path).expect("opens");
    let campaign = read_only.campaigns().expect("campaigns")[0].id;
    let refused = read_only.add_flight(campaign, &common::log("x.igc", b"x"), now());
    assert_eq!(refused, Err(LogbookError::ReadOnly));
}
