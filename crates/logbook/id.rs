//! Names for rows of the logbook that cannot be mixed up with each other.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlResult, ToSqlOutput, ValueRef};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        ///
        /// It is never given to anything else, even when the row is gone.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub i64);

        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                self.0.to_sql()
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                i64::column_result(value).map(Self)
            }
        }
    )+};
}

ids! {
    /// Which campaign.
    CampaignId,
    /// Which flight of the logbook.
    FlightId,
    /// Which correction of a flight's marks.
    CorrectionId,
    /// Which stopwatch or known-weight run.
    RunId,
}
