//! Flight logs and campaigns from disk, within limits: what the program and the Python package share.
//!
//! * [`bytes`], [`text`]: a file that somebody named; a name may stand for a device without end, a pipe nobody fills or a
//!   file larger than memory, so nothing is read without a limit, and nothing further than its first bytes once they show
//!   that it is no log. [`bytes_of`] and [`text_of`] do the same with a stream.
//! * [`text_file`], [`inertial_file`]: the files of a flight, as the door of the analysis wants them.
//! * [`DiskFolder`], [`LoadedCampaign`], [`analyse_flights`]: a campaign file, what stands beside it, and its flights
//!   analysed side by side on all cores.
//! * [`log_ending`]: whether a file is a log, by its name.
//!
//! Nothing is written here, nothing printed, and no clock is looked at.

mod campaign;
mod endings;
mod error;
mod flight;
mod source;

pub use campaign::{DiskFolder, LoadedCampaign, analyse_flights};
pub use endings::{LOG_ENDINGS, LogEnding, ending, log_ending, log_endings};
pub use error::FileError;
pub use flight::{inertial_file, text_file};
pub use source::{bytes, bytes_of, given_name, shown_name, text, text_of};
