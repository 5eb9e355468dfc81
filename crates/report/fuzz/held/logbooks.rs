//! A logbook with something in every table, and its file changed as bytes say: in its rows, as no version of the program would write
//! them, or anywhere.

use super::targets::now;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::file::{AnyFolder, read};
use driftless_logbook::{FlightFilter, Logbook, LogbookError, MarkRow};
use rusqlite::Connection;
use rusqlite::types::Value;
use std::fmt::Debug;
use std::sync::LazyLock;

const CAMPAIGN: &str = include_str!("everything.toml");

/// The file of a logbook with something in every table.
static FULL: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut logbook = Logbook::in_memory().expect("a logbook in memory");
    let campaign = read(CAMPAIGN, "campaign.toml", &AnyFolder).expect("a campaign");
    let files = |path: &str| Some(if path.ends_with(".toml") { Vec::new() } else { path.as_bytes().to_vec() });
    let id = logbook.import_campaign(&campaign, &files, now()).expect("it comes in");
    let flights = logbook.flights(id, &FlightFilter::default()).expect("its flights");
    let mark = MarkRow {
        let_go: now(),
        take_over: now() + chrono::TimeDelta::seconds(60),
        scenario: Some(Scenario::TrimLevel),
        setup: Some("bare".to_owned()),
        note: Some("calm".to_owned()),
    };
    for flight in &flights {
        logbook.correct(flight.id, std::slice::from_ref(&mark), "marked by hand", now()).expect("corrected");
        logbook.correct(flight.id, &[], "cleared", now()).expect("corrected");
    }
    logbook.undo(flights[0].id).expect("undone");
    logbook.set_preference("units", Some("kmh")).expect("noted");
    logbook.backup().expect("a file")
});

/// Tables of a logbook, with how many columns each has.
static TABLES: LazyLock<Vec<(String, Vec<String>)>> = LazyLock::new(|| {
    let conn = database(&FULL);
    let mut names = conn
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
        .expect("a query");
    let names: Vec<String> =
        names.query_map([], |row| row.get(0)).expect("rows").map(|name| name.expect("a name")).collect();
    let columns = |table: &str| {
        let query = conn.prepare(&format!("SELECT * FROM {table}")).expect("a query");
        query.column_names().map(str::to_owned).collect()
    };
    names.into_iter().map(|name| (name.clone(), columns(&name))).collect()
});

fn database(bytes: &[u8]) -> Connection {
    let mut conn = Connection::open_in_memory().expect("a database");
    conn.deserialize_read_exact("main", bytes, bytes.len(), false).expect("bytes of a file");
    conn
}

/// The file with rows changed: the first byte of a change chooses the table, the second the column, the third the row and what kind
/// of value, the fourth how many bytes of it follow.
pub(super) fn with_rows(mut bytes: &[u8]) -> Vec<u8> {
    let mut conn = database(&FULL);
    // What the tables themselves refuse does not hold back a hostile file.
    conn.execute_batch("PRAGMA foreign_keys = off; PRAGMA ignore_check_constraints = on").expect("set");
    while let [table, column, row_and_kind, length, rest @ ..] = bytes {
        let (table, columns) = &TABLES[usize::from(*table) % TABLES.len()];
        let column = &columns[usize::from(*column) % columns.len()];
        let (value, rest) = rest.split_at(usize::from(*length).min(rest.len()));
        bytes = rest;
        let row = row_and_kind >> 4;
        let change = format!(
            "UPDATE {table} SET {column} = ?1 WHERE {column} IS (SELECT {column} FROM {table} LIMIT 1 OFFSET ?2)"
        );
        // Types are held by the tables whatever is set: what they refuse changes nothing.
        let _ = conn.execute(&change, (of_kind(*row_and_kind, value), row));
    }
    conn.serialize("main").expect("a file").to_vec()
}

fn of_kind(kind: u8, bytes: &[u8]) -> Value {
    let mut eight = [0; 8];
    eight.iter_mut().zip(bytes).for_each(|(to, from)| *to = *from);
    match kind % 5 {
        0 => Value::Null,
        1 => Value::Integer(i64::from_le_bytes(eight)),
        2 => Value::Real(f64::from_le_bytes(eight)),
        3 => Value::Blob(bytes.to_vec()),
        _ => Value::Text(String::from_utf8_lossy(bytes).into_owned()),
    }
}

/// The file with bytes changed: three say where, one to what.
pub(super) fn with_bytes(bytes: &[u8]) -> Vec<u8> {
    let mut file = FULL.clone();
    let (changes, _) = bytes.as_chunks::<4>();
    for &[a, b, c, to] in changes {
        let place = u32::from_le_bytes([a, b, c, 0]) as usize % file.len();
        file[place] = to;
    }
    file
}

/// Reads everything that a logbook has, changes something, and takes it out and in again: all of it done, or refused in words.
pub(super) fn read_all(file: &[u8]) {
    let mut logbook = Logbook::in_memory().expect("a logbook in memory");
    if in_words(logbook.restore(file)).is_none() {
        assert_eq!(logbook.campaigns().map(|all| all.len()), Ok(1), "what was refused changed something");
        return;
    }
    in_words(logbook.check());
    in_words(logbook.preferences());
    for campaign in in_words(logbook.campaigns()).unwrap_or_default() {
        in_words(logbook.campaign_head(campaign.id));
        in_words(logbook.campaign(campaign.id));
        in_words(logbook.stopwatch_runs(campaign.id));
        in_words(logbook.weight_runs(campaign.id));
        for flight in in_words(logbook.flights(campaign.id, &FlightFilter::default())).unwrap_or_default() {
            in_words(logbook.flight_files(flight.id).map(drop));
            in_words(logbook.fingerprint(flight.id));
            in_words(logbook.marks(flight.id));
            in_words(logbook.history(flight.id));
            in_words(logbook.undo(flight.id));
            in_words(logbook.redo(flight.id));
        }
        let Some(out) = in_words(logbook.export_campaign(campaign.id)) else { continue };
        let files = out.files.into_iter().collect();
        in_words(logbook.import_files(&files, "campaign.toml", &driftless_analysis::InputLimits::default(), now()));
        in_words(logbook.rename_campaign(campaign.id, "renamed"));
        in_words(logbook.remove_campaign(campaign.id));
    }
    in_words(logbook.backup());
}

/// What came of it; refused without a word is broken.
fn in_words<T: Debug>(outcome: Result<T, LogbookError>) -> Option<T> {
    outcome.map_err(|error| assert!(!error.to_string().is_empty(), "refused without a word: {error:?}")).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn something_stands_in_every_table() {
        let conn = database(&FULL);
        for (table, columns) in TABLES.iter() {
            let rows: i64 =
                conn.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).expect("counted");
            assert!(rows > 0 && !columns.is_empty(), "{table}");
        }
    }
}
