//! What somebody prefers, by name.

use crate::{Logbook, Result};
use rusqlite::OptionalExtension;
use std::collections::BTreeMap;

impl Logbook {
    /// What is preferred, where somebody said so.
    ///
    /// # Errors
    /// What the database says.
    pub fn preference(&self, key: &str) -> Result<Option<String>> {
        let found = self.conn.query_row("SELECT value FROM preferences WHERE key = ?1", [key], |row| row.get(0));
        Ok(found.optional()?)
    }

    /// Notes what is preferred; `None` forgets it.
    ///
    /// # Errors
    /// What the database says.
    pub fn set_preference(&mut self, key: &str, value: Option<&str>) -> Result<()> {
        match value {
            Some(value) => self.conn.execute(
                "INSERT INTO preferences (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2",
                [key, value],
            )?,
            None => self.conn.execute("DELETE FROM preferences WHERE key = ?1", [key])?,
        };
        Ok(())
    }

    /// Everything that is preferred.
    ///
    /// # Errors
    /// What the database says.
    pub fn preferences(&self) -> Result<BTreeMap<String, String>> {
        let mut statement = self.conn.prepare("SELECT key, value FROM preferences")?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }
}
