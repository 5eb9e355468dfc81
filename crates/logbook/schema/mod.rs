//! The format of the file: its mark, its version, and the steps that lead from one version to the next.

mod own;

pub(crate) use own::judge_objects;

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
    take(conn, &MIGRATIONS)
}

fn take(conn: &mut Connection, migrations: &[&str]) -> Result<()> {
    // A step may rebuild a table that others point to; what they point to is checked at the end instead.
    conn.pragma_update(None, "foreign_keys", false)?;
    let taken = steps(conn, migrations);
    conn.pragma_update(None, "foreign_keys", true)?;
    taken
}

fn steps(conn: &mut Connection, migrations: &[&str]) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Looked at again behind the lock: another program may have been here first.
    let blank = is_blank(&tx)?;
    let head = Head::of(&tx)?;
    if !blank {
        head.judge()?;
    }
    let from = usize::try_from(head.version).unwrap_or(0);
    for step in migrations.iter().skip(from) {
        tx.execute_batch(step)?;
    }
    if blank {
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        tx.execute_batch(FIRST_CAMPAIGN)?;
    }
    tx.pragma_update(None, "user_version", migrations.len() as i64)?;
    if tx.query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get::<_, i64>(0))? > 0 {
        return Err(LogbookError::damaged("rows point to rows that are gone"));
    }
    tx.commit()?;
    Ok(())
}

/// What a new logbook begins with.
const FIRST_CAMPAIGN: &str = "INSERT INTO campaigns (title) VALUES ('My flights')";

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(conn: &Connection) -> i64 {
        conn.query_row("SELECT count(*) FROM campaigns", [], |row| row.get(0)).expect("counted")
    }

    /// Steps that a later version may take: one that adds, one that rebuilds a table that others point to.
    const LATER: [&str; 2] = [
        "ALTER TABLE wings ADD COLUMN colour TEXT",
        "CREATE TABLE new_campaigns (id INTEGER PRIMARY KEY AUTOINCREMENT, title TEXT NOT NULL) STRICT; \
         INSERT INTO new_campaigns SELECT id, title FROM campaigns; DROP TABLE campaigns; \
         ALTER TABLE new_campaigns RENAME TO campaigns",
    ];

    fn first() -> Connection {
        let mut conn = Connection::open_in_memory().expect("opens");
        migrate(&mut conn).expect("a new logbook");
        conn.execute("INSERT INTO wings (campaign, key, name) VALUES (1, 'a', 'b')", []).expect("a wing");
        conn
    }

    #[test]
    fn a_new_logbook_begins_with_one_campaign_and_is_marked() {
        let conn = first();
        let head = Head::of(&conn).expect("a head");
        assert_eq!(head, Head { application_id: i64::from(APPLICATION_ID), version: SCHEMA_VERSION });
        assert_eq!(rows(&conn), 1);
    }

    #[test]
    fn steps_that_are_missing_are_taken_in_order_and_once() {
        let mut conn = first();
        let all = [MIGRATIONS.as_slice(), &LATER].concat();
        take(&mut conn, &all).expect("taken");
        let head = Head::of(&conn).expect("a head");
        assert_eq!(head.version, SCHEMA_VERSION + 2);
        assert_eq!(head.judge(), Err(LogbookError::Newer { found: SCHEMA_VERSION + 2, known: SCHEMA_VERSION }));
        let of_wing: i64 = conn.query_row("SELECT campaign FROM wings", [], |row| row.get(0)).expect("the wing");
        assert_eq!((of_wing, rows(&conn)), (1, 1));
    }

    #[test]
    fn a_step_that_fails_takes_all_of_them_back() {
        let mut conn = first();
        for last in ["CREATE TABLE wings (id)", "DELETE FROM campaigns"] {
            let all = [MIGRATIONS.as_slice(), &LATER[..1], &[last]].concat();
            take(&mut conn, &all).expect_err("the last step fails, or leaves rows without what they point to");
            assert_eq!(Head::of(&conn).expect("a head").version, SCHEMA_VERSION);
            assert!(conn.prepare("SELECT colour FROM wings").is_err(), "the step before it was taken back");
            assert_eq!(rows(&conn), 1);
            let on: bool = conn.pragma_query_value(None, "foreign_keys", |row| row.get(0)).expect("read");
            assert!(on);
        }
    }
}
