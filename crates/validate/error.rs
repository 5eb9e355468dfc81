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
    /// A simulated log could not be read back.
    #[error("the log of reference flight {seed} cannot be read: {source}")]
    Read {
        /// Its seed.
        seed: u64,
        /// Why.
        source: driftless_formats::ReadError,
    },
    /// A simulated log holds no track.
    #[error("the log of reference flight {seed} cannot be analysed: {source}")]
    Analyse {
        /// Its seed.
        seed: u64,
        /// Why.
        source: driftless_analysis::AnalysisError,
    },
}
