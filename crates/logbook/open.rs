//! Opening a logbook: looked at before anything is written, so that what is no logbook stays as it is.

use crate::schema::{Head, is_blank, judge_objects, migrate};
use crate::{LogbookError, Result, backup};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::time::Duration;

/// How long another program that writes is waited for. (Engineering judgement: a change takes milliseconds.)
const PATIENCE: Duration = Duration::from_secs(5);

/// Statements kept ready: more than there are that stand in loops.
const STATEMENTS: usize = 64;

/// A logbook that is open.
#[derive(Debug)]
pub struct Logbook {
    pub(crate) conn: Connection,
}

impl Logbook {
    /// Opens the logbook of a path; a missing or empty file becomes a new one.
    ///
    /// # Errors
    /// What is no logbook, is damaged or comes from a newer program is refused and not changed; so is one that may only
    /// be read.
    pub fn open(path: &Path) -> Result<Self> {
        let there = look_at_file(path)?.is_some();
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let flags = if there { flags } else { flags | OpenFlags::SQLITE_OPEN_CREATE };
        let mut conn = Connection::open_with_flags(path, flags)?;
        leave_log_beside(&conn, path)?;
        prepare(&mut conn)?;
        if conn.is_readonly("main")? {
            return Err(LogbookError::ReadOnly);
        }
        // After the steps, so that the head of the file says what it is before anything else can be in a log beside it.
        conn.query_row("PRAGMA journal_mode = wal", [], |_| Ok(()))?;
        conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
        Ok(Self { conn })
    }

    /// Opens the logbook of a path to read alone; also where nothing may be written beside it.
    ///
    /// # Errors
    /// A file that is not there or is refused as by [`Logbook::open`]; one of an older format is told to be opened for
    /// writing once.
    pub fn open_read_only(path: &Path) -> Result<Self> {
        look_at_file(path)?.ok_or(LogbookError::NotThere)?;
        let conn = match open_to_read(path) {
            // No log can be made beside it, as on a disk for reading alone. (One that is there holds what came last.)
            Err(LogbookError::CannotOpen { .. } | LogbookError::ReadOnly) if !lies_beside(path, "-wal") => {
                let bytes = std::fs::read(path).map_err(|error| cannot_open(&error))?;
                let conn = backup::in_memory(&bytes)?;
                look_at_rows(&conn)?;
                conn.pragma_update(None, "query_only", true)?;
                conn
            }
            opened => opened?,
        };
        let head = Head::of(&conn)?;
        head.judge()?;
        if head.version < crate::SCHEMA_VERSION {
            return Err(LogbookError::refused(
                "this logbook is of an older format; add or change something in it once",
            ));
        }
        Ok(Self { conn })
    }

    /// A new logbook that is gone when it is dropped.
    ///
    /// # Errors
    /// Only when there is no memory left.
    pub fn in_memory() -> Result<Self> {
        Self::of_connection(Connection::open_in_memory()?)
    }

    /// The logbook of a database that somebody else opened: a browser, which has its own kind of files.
    ///
    /// # Errors
    /// Those of [`Logbook::open`].
    pub fn of_connection(mut conn: Connection) -> Result<Self> {
        prepare(&mut conn)?;
        Ok(Self { conn })
    }

    /// A change, whole or not at all: committed by the caller, taken back when it is dropped.
    pub(crate) fn change(&mut self) -> Result<Transaction<'_>> {
        Ok(self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}

/// A connection that reads alone. The file is opened for writing where it may be, so that what lies in the log beside it can
/// be tidied up at the end; without that, files would stay beside a logbook that was only looked at.
fn open_to_read(path: &Path) -> Result<Connection> {
    let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    leave_log_beside(&conn, path)?;
    conn.busy_timeout(PATIENCE)?;
    distrust(&conn)?;
    look_at(&conn)?;
    conn.pragma_update(None, "query_only", true)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
    Ok(conn)
}

/// Until what lies in a log beside the file is known to be ours, closing it must not so much as tidy it up. Without such a
/// log nothing is written at the end.
fn leave_log_beside(conn: &Connection, path: &Path) -> Result<()> {
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, lies_beside(path, "-wal"))?;
    Ok(())
}

/// Whether a file of that ending, with anything in it, lies beside the logbook.
fn lies_beside(path: &Path, ending: &str) -> bool {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    std::fs::metadata(name).is_ok_and(|found| found.len() > 0)
}

/// Looks at what was opened, brings it to the newest format, and sets how it is kept.
fn prepare(conn: &mut Connection) -> Result<()> {
    conn.busy_timeout(PATIENCE)?;
    distrust(conn)?;
    let blank = is_blank(conn)?;
    let head = Head::of(conn)?;
    if !blank {
        look_at(conn)?;
    }
    if conn.is_readonly("main")? {
        return Err(LogbookError::ReadOnly);
    }
    conn.pragma_update(None, "synchronous", "FULL")?;
    // Where somebody flew is nobody's business once the flight is removed.
    conn.query_row("PRAGMA secure_delete = on", [], |_| Ok(()))?;
    if head.version < crate::SCHEMA_VERSION {
        migrate(conn)?;
    }
    conn.pragma_update(None, "foreign_keys", true)?;
    conn.set_prepared_statement_cache_capacity(STATEMENTS);
    Ok(())
}

/// Nothing that stands in the file may call a function or write where only the database itself does, and pages are looked at
/// before they are used. (SQLite, "Defense Against The Dark Arts", for files of unknown origin.)
pub(crate) fn distrust(conn: &Connection) -> Result<()> {
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    conn.pragma_update(None, "cell_size_check", true)?;
    Ok(())
}

/// Refuses what is not one of our logbooks, or not whole.
fn look_at(conn: &Connection) -> Result<()> {
    let head = Head::of(conn)?;
    head.judge()?;
    judge_objects(conn, head.version)?;
    look_at_rows(conn)
}

/// Looks through every table but that of the files, which may be large, and whose bytes are held against their SHA-256
/// whenever they are read.
fn look_at_rows(conn: &Connection) -> Result<()> {
    let tables: Vec<String> = conn
        .prepare(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'files' AND name NOT LIKE 'sqlite_%'",
        )?
        .query_map([], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    for table in tables {
        let found: String =
            conn.query_row("SELECT quick_check FROM pragma_quick_check(?1) LIMIT 1", [&table], |row| row.get(0))?;
        if found != "ok" {
            return Err(LogbookError::damaged(found));
        }
    }
    Ok(())
}

/// The head of a file as it lies on the disk, read without the database: `None` where there is nothing yet.
fn look_at_file(path: &Path) -> Result<Option<Head>> {
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(cannot_open(&error)),
    };
    let found = file.metadata().map_err(|error| cannot_open(&error))?;
    if !found.is_file() {
        return Err(LogbookError::NoDatabase);
    }
    if found.len() == 0 {
        return Ok(None);
    }
    let mut head = Vec::new();
    file.by_ref().take(backup::HEAD_BYTES as u64).read_to_end(&mut head).map_err(|error| cannot_open(&error))?;
    let found_head = backup::head(&head)?;
    found_head.judge()?;
    // What was being written when a program was stopped lies beside; with that the file comes right again.
    if !lies_beside(path, "-wal") && !lies_beside(path, "-journal") {
        backup::whole(&head, found.len())?;
    }
    Ok(Some(found_head))
}

fn cannot_open(error: &std::io::Error) -> LogbookError {
    LogbookError::CannotOpen { why: error.to_string() }
}
