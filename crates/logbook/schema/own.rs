//! Whether the tables of a file are those of a logbook.
//!
//! A file that somebody gave may carry the mark of a logbook and yet act on its own: a trigger that removes flights when a mark is
//! set, a view in the place of a table, a table without its checks. (SQLite, "Defense Against The Dark Arts": triggers and views of
//! an unknown file are attacks.)

use super::{MIGRATIONS, steps};
use crate::{LogbookError, Result};
use rusqlite::{Connection, OptionalExtension};

/// Refuses a file that lacks an object of its version, has one that was made otherwise, or holds a trigger. What else somebody put
/// beside ours stays, as it does nothing.
pub(crate) fn judge_objects(conn: &Connection, version: i64) -> Result<()> {
    let name = "SELECT name FROM sqlite_schema WHERE type = 'trigger' LIMIT 1";
    let trigger: Option<String> = conn.query_row(name, [], |row| row.get(0)).optional()?;
    if let Some(trigger) = trigger {
        return Err(LogbookError::damaged(format!("it holds the trigger \"{trigger}\", and no logbook has one")));
    }
    let mut found = conn.prepare("SELECT sql FROM sqlite_schema WHERE type = ?1 AND name = ?2")?;
    for Object { kind, name, sql } in of_version(version)? {
        let there: Option<Option<String>> = found.query_row([&kind, &name], |row| row.get(0)).optional()?;
        match there {
            Some(there) if there == sql => {}
            Some(_) => return Err(LogbookError::damaged(format!("its {kind} \"{name}\" is not that of a logbook"))),
            None => return Err(LogbookError::damaged(format!("it has no {kind} \"{name}\""))),
        }
    }
    Ok(())
}

/// A table or index, and how it was made: `None` where the database made it for itself.
struct Object {
    kind: String,
    name: String,
    sql: Option<String>,
}

/// What a logbook of a version holds, as making one anew gives it.
fn of_version(version: i64) -> Result<Vec<Object>> {
    let taken = usize::try_from(version).unwrap_or(0).min(MIGRATIONS.len());
    let mut made = Connection::open_in_memory()?;
    steps(&mut made, &MIGRATIONS[..taken])?;
    // The statistics that the database keeps for itself may come and go.
    let objects = "SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_stat%' ORDER BY rowid";
    let mut objects = made.prepare(objects)?;
    let rows = objects.query_map([], |row| Ok(Object { kind: row.get(0)?, name: row.get(1)?, sql: row.get(2)? }))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
