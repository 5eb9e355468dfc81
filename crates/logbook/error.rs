//! What can go wrong with a logbook, each with a way out. The file's name is put before it by whoever knows it.

use crate::archive::ArchiveError;
use driftless_analysis::OverLimit;
use driftless_analysis::campaign::file::CampaignFileError;
use rusqlite::ErrorCode;

/// Why something could not be done. Nothing was changed then.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LogbookError {
    /// There is no such file.
    #[error("there is no such logbook; check the spelling and the folder")]
    NotThere,
    /// The file is no database at all.
    #[error("this is no logbook: it does not begin as one; name another file. Nothing was changed in it")]
    NoDatabase,
    /// A database of another program.
    #[error("this is a database of another program, not a logbook; name another file. Nothing was changed in it")]
    Foreign,
    /// A logbook of a newer program.
    #[error(
        "this logbook was written by a newer version of the program (its format is {found}, this one knows {known}): use the \
         newer version, or a backup from before. Nothing was changed in it"
    )]
    Newer {
        /// Format of the file.
        found: i64,
        /// Newest format known here.
        known: i64,
    },
    /// The file is damaged.
    #[error(
        "this logbook is damaged ({what}): put a backup in its place. Nothing was changed in it, so keep it: other tools may \
         still save what is whole"
    )]
    Damaged {
        /// What was found.
        what: String,
    },
    /// The bytes of a kept file are not those that were put in.
    #[error(
        "the kept bytes of {name} are damaged: they no longer have the SHA-256 they came with; put a backup in its place"
    )]
    FileDamaged {
        /// Name of the file as given.
        name: String,
    },
    /// The file may only be read.
    #[error("this logbook may only be read; check the rights of the file and of its folder, or copy it elsewhere")]
    ReadOnly,
    /// Another program is writing.
    #[error("another program is writing in this logbook; close it there, or try again in a moment")]
    Locked,
    /// The disk is full.
    #[error("the disk is full; make room and do it again. Everything confirmed before is kept")]
    DiskFull,
    /// It cannot be opened.
    #[error("this logbook cannot be opened ({why}); check the folder and the rights of the file")]
    CannotOpen {
        /// Why, in the words of the system.
        why: String,
    },
    /// There is no such campaign, flight or correction.
    #[error("there is no such {what} in the logbook; it may have been removed meanwhile")]
    Gone {
        /// What was looked for.
        what: &'static str,
    },
    /// A part that is named is not described.
    #[error("there is no {what} \"{key}\" in this campaign; describe it first, or choose another")]
    NoSuch {
        /// Kind of the part.
        what: &'static str,
        /// The key.
        key: String,
    },
    /// A key or name is taken.
    #[error("there is a {what} \"{key}\" in this campaign already; give this one another name")]
    Taken {
        /// Kind of the part.
        what: &'static str,
        /// The key or name.
        key: String,
    },
    /// A part is used.
    #[error("the {what} \"{key}\" is used by {by}; change or remove that first")]
    InUse {
        /// Kind of the part.
        what: &'static str,
        /// The key.
        key: String,
        /// What uses it, in words.
        by: String,
    },
    /// A value that a campaign file would not be allowed either.
    #[error("{why}")]
    NotAccepted {
        /// Why, and what to do.
        why: String,
    },
    /// A file that a campaign names cannot be had.
    #[error("the campaign names the file {path}, which is not there; put it beside the campaign file")]
    NoFile {
        /// Path as written.
        path: String,
    },
    /// A text file that is no text.
    #[error("{path} is not UTF-8 text; save the file as UTF-8")]
    NoText {
        /// Path as written.
        path: String,
    },
    /// Two flights of a campaign with one log.
    #[error("the flights \"{first}\" and \"{second}\" have the same log, byte for byte; take one of them out")]
    SameLog {
        /// Key of the one.
        first: String,
        /// Key of the other.
        second: String,
    },
    /// Bytes that are no backup.
    #[error("this is no backup of a logbook: {0}. The logbook is as it was")]
    NoBackup(Box<LogbookError>),
    /// More than a limit allows.
    #[error(transparent)]
    OverLimit(#[from] OverLimit),
    /// An archive that is not taken.
    #[error(transparent)]
    Archive(#[from] ArchiveError),
    /// A campaign file that cannot be used.
    #[error("the campaign file cannot be used\n{0}")]
    CampaignFile(#[from] CampaignFileError),
    /// Anything else the database says.
    #[error("the database says: {0}")]
    Database(String),
}

impl LogbookError {
    /// Something refused for a reason.
    pub(crate) fn refused(why: impl Into<String>) -> Self {
        Self::NotAccepted { why: why.into() }
    }

    /// Damage of some kind.
    pub(crate) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }
}

impl From<rusqlite::Error> for LogbookError {
    fn from(error: rusqlite::Error) -> Self {
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::DiskFull,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked,
            Some(ErrorCode::ReadOnly) => Self::ReadOnly,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::damaged(error.to_string()),
            Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::CannotOpen { why: error.to_string() },
            Some(ErrorCode::TooBig) => Self::refused("this is too large to be kept in a logbook"),
            _ => match error {
                // A value that no version of this program writes.
                rusqlite::Error::FromSqlConversionFailure(..)
                | rusqlite::Error::InvalidColumnType(..)
                | rusqlite::Error::IntegralValueOutOfRange(..) => Self::damaged(error.to_string()),
                other => Self::Database(other.to_string()),
            },
        }
    }
}
