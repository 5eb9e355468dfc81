//! Looking through everything that is kept.

use crate::{Logbook, Result};
use driftless_analysis::sha256;
use rusqlite::Connection;

impl Logbook {
    /// Looks through the whole file: its pages, what points to what, and the bytes of every kept file against their
    /// SHA-256. Gives what is wrong, in words; nothing where all is well.
    ///
    /// # Errors
    /// Damage so grave that the database itself gives up.
    pub fn check(&self) -> Result<Vec<String>> {
        Self::check_of(&self.conn)
    }

    pub(crate) fn check_of(conn: &Connection) -> Result<Vec<String>> {
        let mut found: Vec<String> = conn
            .prepare("PRAGMA integrity_check")?
            .query_map([], |row| row.get(0))?
            .collect::<rusqlite::Result<_>>()?;
        found.retain(|line| line != "ok");
        let mut dangling = conn.prepare("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check")?;
        let mut rows = dangling.query([])?;
        while let Some(row) = rows.next()? {
            let (table, id, parent): (String, Option<i64>, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let id = id.map_or(String::new(), |id| format!(" {id}"));
            found.push(format!("row{id} of {table} points to a row of {parent} that is gone"));
        }
        let mut files = conn.prepare("SELECT id, sha256, bytes FROM files")?;
        let mut rows = files.query([])?;
        while let Some(row) = rows.next()? {
            let (id, hash): (i64, String) = (row.get(0)?, row.get(1)?);
            let bytes = row.get_ref(2)?.as_blob().unwrap_or_default();
            if sha256(bytes) != hash {
                found.push(format!("file {id} no longer has the SHA-256 it came with ({hash})"));
            }
        }
        Ok(found)
    }
}
