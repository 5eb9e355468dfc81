//! The format of the file: its mark, its version, and the steps that lead from one version to the next.

use crate::{LogbookError, Result};
use rusqlite::{Connection, TransactionBehavior};

/// The mark of a logbook in the head of the file ("Drft").
pub const APPLICATION_ID: i32 = i32::from_be_bytes(*b"Drft");

/// Steps in order; the version of a file is how many it has taken. A step is never changed once it was released: files
/// that took it exist.
const MIGRATIONS: [&str; 1] = [include_str!("001.sql")];

/// The newest version known here.
pub const SCHEMA_VERSION: i64 = MIGRATIONS.len() as i64;

/// What the head of a database says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Head {
    pub(crate) application_id: i64,
    pub(crate) version: i64,
}

impl Head {
    /// As SQLite sees it, write-ahead log included.
    pub(crate) fn of(conn: &Connection) -> Result<Self> {
        let pragma = |name| conn.pragma_query_value(None, name, |row| row.get(0));
        Ok(Self { application_id: pragma("application_id")?, version: pragma("user_version")? })
    }

    /// Refuses what is no logbook, or one of a newer program.
    pub(crate) fn judge(self) -> Result<()> {
        if self.application_id != i64::from(APPLICATION_ID) || self.version < 1 {
            return Err(LogbookError::Foreign);
        }
        if self.version > SCHEMA_VERSION {
            return Err(LogbookError::Newer { found: self.version, known: SCHEMA_VERSION });
        }
        Ok(())
    }
}

/// Whether nothing was ever put into this database.
pub(crate) fn is_blank(conn: &Connection) -> Result<bool> {
    let objects: i64 = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(objects == 0 && Head::of(conn)? == Head { application_id: 0, version: 0 })
}

/// Takes the steps that are missing, all or none of them. A blank database becomes a logbook.
pub(crate) fn migrate(conn: &mut Connection) -> Result<()> {
    // A step may rebuild a table that others point to; what they point to is checked at the end instead.
    conn.pragma_update(None, "foreign_keys", false)?;
    let taken = steps(conn);
    conn.pragma_update(None, "foreign_keys", true)?;
    taken
}

fn steps(conn: &mut Connection) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Looked at again behind the lock: another program may have been here first.
    let blank = is_blank(&tx)?;
    let head = Head::of(&tx)?;
    if !blank {
        head.judge()?;
    }
    let from = usize::try_from(head.version).unwrap_or(0);
    for step in MIGRATIONS.iter().skip(from) {
        tx.execute_batch(step)?;
    }
    if blank {
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.execute_batch(FIRST_CAMPAIGN)?;
    }
    tx.pragma_update(None, "user_version", SCHEMA_VERSION)?;
    if tx.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get::<_, i64>(0))? > 0 {
        return Err(LogbookError::damaged("rows point to rows that are gone"));
    }
    tx.commit()?;
    Ok(())
}

/// What a new logbook begins with.
const FIRST_CAMPAIGN: &str = "INSERT INTO campaigns (title) VALUES ('My flights')";
