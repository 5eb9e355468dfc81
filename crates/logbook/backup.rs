//! The whole logbook as bytes, and back.

use crate::open::distrust;
use crate::schema::{Head, judge_objects, migrate};
use crate::{Logbook, LogbookError, Result};
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use std::ops::Range;
use std::time::Duration;

/// How every SQLite file begins. (SQLite file format, 1.3: "The Database Header".)
const MAGIC: &[u8] = b"SQLite format 3\0";

/// Length of that header, bytes.
pub(crate) const HEAD_BYTES: usize = 100;

/// Where in it stand: the size of a page (1 for 65536), how the file is written and read (1 by a rollback journal, 2 by a
/// write-ahead log), how many pages there are, the version of its format, and whose it is.
const PAGE_SIZE: Range<usize> = 16..18;
const WRITTEN_BY: Range<usize> = 18..20;
const PAGE_COUNT: Range<usize> = 28..32;
const USER_VERSION: usize = 60;
const APPLICATION_ID: usize = 68;

/// "As many as there are", to the copier.
const ALL_PAGES: i32 = -1;

/// How often, and how far apart, a copy is tried while another program writes. (Engineering judgement, as for other changes.)
const TRIES: u32 = 100;
const BETWEEN_TRIES: Duration = Duration::from_millis(50);

impl Logbook {
    /// The whole logbook as the bytes of a file, consistent whatever else is being written; a new logbook may be opened
    /// from it, or it is given to [`Logbook::restore`].
    ///
    /// # Errors
    /// What the database says.
    pub fn backup(&self) -> Result<Vec<u8>> {
        let mut copy = Connection::open_in_memory()?;
        copy_all(&self.conn, &mut copy)?;
        Ok(copy.serialize("main")?.to_vec())
    }

    /// Puts a backup in the place of everything that is in this logbook, after looking through all of it.
    ///
    /// # Errors
    /// What is no whole logbook is refused, and nothing is changed.
    pub fn restore(&mut self, bytes: &[u8]) -> Result<()> {
        let given = Self::of_backup(bytes).map_err(|error| LogbookError::NoBackup(Box::new(error)))?;
        copy_all(&given.conn, &mut self.conn)
    }

    fn of_backup(bytes: &[u8]) -> Result<Self> {
        let mut conn = in_memory(bytes)?;
        let found = Self::check_of(&conn)?;
        if let Some(first) = found.into_iter().next() {
            return Err(LogbookError::damaged(first));
        }
        migrate(&mut conn)?;
        Ok(Self { conn })
    }
}

/// What the first bytes of a file say it is.
pub(crate) fn head(bytes: &[u8]) -> Result<Head> {
    if !bytes.starts_with(MAGIC) {
        return Err(LogbookError::NoDatabase);
    }
    let number = |at: usize| bytes.get(at..at + 4).and_then(|four| four.try_into().ok()).map(i32::from_be_bytes);
    match (number(APPLICATION_ID), number(USER_VERSION)) {
        (Some(application_id), Some(version)) => {
            Ok(Head { application_id: application_id.into(), version: version.into() })
        }
        _ => Err(LogbookError::damaged("it ends within its head")),
    }
}

/// Refuses a file that is shorter than its head says, or does not end with a page.
pub(crate) fn whole(head: &[u8], length: u64) -> Result<()> {
    let page = head.get(PAGE_SIZE).and_then(|two| two.try_into().ok()).map_or(0, u16::from_be_bytes);
    let page = if page == 1 { 1 << 16 } else { u64::from(page) };
    let count = head.get(PAGE_COUNT).and_then(|four| four.try_into().ok()).map_or(0, u32::from_be_bytes);
    if page == 0 || !length.is_multiple_of(page) || length < page * u64::from(count) {
        return Err(LogbookError::damaged("it is cut short"));
    }
    Ok(())
}

/// A database of its own, in memory, with what these bytes hold.
pub(crate) fn in_memory(bytes: &[u8]) -> Result<Connection> {
    head(bytes)?.judge()?;
    whole(bytes, bytes.len() as u64)?;
    let mut bytes = bytes.to_vec();
    // A copy in memory has no write-ahead log beside it.
    if let Some(written_by) = bytes.get_mut(WRITTEN_BY) {
        written_by.fill(1);
    }
    let mut conn = Connection::open_in_memory()?;
    distrust(&conn)?;
    conn.deserialize_read_exact("main", bytes.as_slice(), bytes.len(), false)?;
    let head = Head::of(&conn)?;
    head.judge()?;
    judge_objects(&conn, head.version)?;
    Ok(conn)
}

/// Copies everything at once, so that nobody ever meets half of it; a program that writes is waited for.
fn copy_all(from: &Connection, to: &mut Connection) -> Result<()> {
    let copy = Backup::new(from, to)?;
    for _ in 0..TRIES {
        match copy.step(ALL_PAGES)? {
            StepResult::Done => return Ok(()),
            // There nobody can wait, and there is no other program.
            _ if cfg!(target_family = "wasm") => break,
            _ => std::thread::sleep(BETWEEN_TRIES),
        }
    }
    Err(LogbookError::Locked)
}
