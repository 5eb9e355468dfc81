//! What can go wrong: nothing but faults of the program itself.

/// Why a study could not be run.
#[derive(Debug, thiserror::Error)]
pub enum ValidateError {
    /// A reference flight did not fly.
    #[error("reference flight {seed} does not fly: {source}")]
    Simulate {
        /// Its seed.
        seed: u64,
        /// Why.
        source: driftless_sim::SimError,
    },
    /// The files of a flight were refused.
    #[error("reference flight {seed} is refused: {source}")]
    Refused {
        /// Its seed.
        seed: u64,
        /// Why.
        source: driftless_analysis::Refusal,
    },
    /// A flight could not be estimated.
    #[error("reference flight {seed} cannot be estimated: {source}")]
    Estimate {
        /// Its seed.
        seed: u64,
        /// Why.
        source: driftless_wind::flight::EstimateError,
    },
    /// The file of a campaign was refused.
    #[error("the campaign of seed {0} is refused")]
    Campaign(u64),
    /// The machine gives no threads.
    #[error("no threads to fly with: {0}")]
    Threads(String),
}
