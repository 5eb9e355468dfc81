//! Files as they were given, each kept once.

use crate::{FlightId, LogbookError, Result};
use driftless_analysis::{TextFile, sha256};
use rusqlite::{Connection, OptionalExtension, params};

/// Row of a kept file.
pub(crate) type FileRow = i64;

/// Keeps bytes; the same bytes are kept once.
pub(crate) fn keep(conn: &Connection, bytes: &[u8]) -> Result<FileRow> {
    let hash = sha256(bytes);
    if let Some(row) = find(conn, &hash)? {
        return Ok(row);
    }
    conn.execute("INSERT INTO files (sha256, bytes) VALUES (?1, ?2)", params![hash, bytes])?;
    Ok(conn.last_insert_rowid())
}

/// The row of the file of this SHA-256.
pub(crate) fn find(conn: &Connection, hash: &str) -> Result<Option<FileRow>> {
    Ok(conn.query_row("SELECT id FROM files WHERE sha256 = ?1", [hash], |row| row.get(0)).optional()?)
}

/// The SHA-256 that a kept file came with.
pub(crate) fn hash(conn: &Connection, row: FileRow) -> Result<String> {
    let sql = "SELECT sha256 FROM files WHERE id = ?1";
    Ok(conn.prepare_cached(sql)?.query_row([row], |row| row.get(0))?)
}

/// The bytes of a kept file, held against its SHA-256; `name` is for the message.
pub(crate) fn bytes(conn: &Connection, row: FileRow, name: &str) -> Result<Vec<u8>> {
    let (hash, bytes): (String, Vec<u8>) =
        conn.query_row("SELECT sha256, bytes FROM files WHERE id = ?1", [row], |row| Ok((row.get(0)?, row.get(1)?)))?;
    if sha256(&bytes) != hash {
        return Err(LogbookError::FileDamaged { name: name.to_owned() });
    }
    Ok(bytes)
}

/// The text of a kept file.
pub(crate) fn text(conn: &Connection, row: FileRow, name: &str) -> Result<TextFile> {
    let text = String::from_utf8(bytes(conn, row, name)?);
    let text = text.map_err(|_| LogbookError::NoText { path: name.to_owned() })?;
    Ok(TextFile { name: name.to_owned(), text })
}

/// What has a file.
const UNUSED: &str = "NOT EXISTS (SELECT 1 FROM flights WHERE log = files.id OR marks = files.id OR csv_mapping = files.id) \
    AND NOT EXISTS (SELECT 1 FROM inertial_files WHERE file = files.id OR mapping = files.id)";

/// Lets go of all files that no flight has any more.
pub(crate) fn forget_unused(conn: &Connection) -> Result<()> {
    conn.execute(&format!("DELETE FROM files WHERE {UNUSED}"), [])?;
    Ok(())
}

/// Lets go of those of these files that no flight has any more.
pub(crate) fn forget_of(conn: &Connection, rows: &[FileRow]) -> Result<()> {
    let mut delete = conn.prepare(&format!("DELETE FROM files WHERE id = ?1 AND {UNUSED}"))?;
    rows.iter().try_for_each(|row| delete.execute([row]).map(drop))?;
    Ok(())
}

/// Files of a flight.
pub(crate) fn of_flight(conn: &Connection, flight: FlightId) -> Result<Vec<FileRow>> {
    let mut statement = conn.prepare(
        "SELECT log FROM flights WHERE id = ?1 UNION SELECT marks FROM flights WHERE id = ?1 \
         UNION SELECT csv_mapping FROM flights WHERE id = ?1 UNION SELECT file FROM inertial_files WHERE flight = ?1 \
         UNION SELECT mapping FROM inertial_files WHERE flight = ?1",
    )?;
    let rows = statement.query_map([flight], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<Vec<Option<FileRow>>>>()?.into_iter().flatten().collect())
}
