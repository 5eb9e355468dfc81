//! Why a request could not be answered as it was meant, in words.

use driftless_analysis::{DroppedFault, Refusal};
use driftless_logbook::LogbookError;

/// What stands in the way.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum Failure {
    /// There is nothing at this address.
    #[error("there is nothing at this address; it may have been removed")]
    NotFound,
    /// The logbook says no.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
    /// A file of a flight cannot be used.
    #[error("{0}")]
    Refused(Box<Refusal>),
    /// A dropped file cannot be used.
    #[error("{name}: {fault}")]
    Dropped {
        /// Name of the file.
        name: String,
        /// What is wrong with it.
        fault: DroppedFault,
    },
    /// What was filled in cannot be meant.
    #[error("{0}")]
    Asked(String),
    /// A document could not be written.
    #[error("the document could not be written: {0}")]
    Written(String),
    /// Something went wrong in an earlier request and left things in an unknown state.
    #[error("something went wrong before; close the program and start it again: what was confirmed is kept")]
    Broken,
}

impl Failure {
    /// What was filled in cannot be meant.
    pub(crate) fn asked(words: impl Into<String>) -> Self {
        Self::Asked(words.into())
    }

    /// Status as HTTP counts it.
    pub(crate) const fn status(&self) -> u16 {
        match self {
            Self::NotFound | Self::Logbook(LogbookError::Gone { .. }) => 404,
            Self::Logbook(LogbookError::DiskFull) => 507,
            Self::Logbook(LogbookError::Locked) => 503,
            Self::Written(_) | Self::Broken => 500,
            Self::Logbook(_) | Self::Refused(_) | Self::Dropped { .. } | Self::Asked(_) => 422,
        }
    }
}

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(Box::new(refusal))
    }
}

/// What nearly everything here returns.
pub(crate) type Result<T, E = Failure> = std::result::Result<T, E>;
