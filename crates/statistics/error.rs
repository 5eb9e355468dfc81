//! What can keep a statistic from being worked out.

use driftless_units::Estimate;

/// Why a figure cannot be worked out from the numbers given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StatisticsError {
    /// Fewer values than the method needs.
    #[error("cannot work out {what}: it needs at least {needed} {of}, there are {got}")]
    TooFew {
        /// What was to be worked out.
        what: &'static str,
        /// What is too few of.
        of: &'static str,
        /// How many are needed.
        needed: usize,
        /// How many were given.
        got: usize,
    },
    /// A number that is NaN or infinite.
    #[error("cannot work out {what}: {quantity} is {value}, which is not a finite number")]
    NotFinite {
        /// What was to be worked out.
        what: &'static str,
        /// The quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// A number that has to be above zero and is not.
    #[error("cannot work out {what}: {quantity} is {value}, it has to be above zero")]
    NotPositive {
        /// What was to be worked out.
        what: &'static str,
        /// The quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// Lists that belong together have different lengths.
    #[error("cannot work out {what}: {left} values on one side, {right} on the other")]
    Unequal {
        /// What was to be worked out.
        what: &'static str,
        /// Length of one list.
        left: usize,
        /// Length of the other.
        right: usize,
    },
    /// The data leave a parameter open.
    #[error("cannot work out {what}: the data do not tell {parameter}")]
    NotIdentifiable {
        /// What was to be worked out.
        what: &'static str,
        /// The parameter left open.
        parameter: &'static str,
    },
    /// An iteration did not settle.
    #[error("cannot work out {what}: the iteration did not settle in {iterations} steps")]
    NotConverged {
        /// What was to be worked out.
        what: &'static str,
        /// Steps taken.
        iterations: usize,
    },
}

/// The value when it is finite, else an error that names it.
pub fn finite(what: &'static str, quantity: &'static str, value: f64) -> Result<f64, StatisticsError> {
    if value.is_finite() { Ok(value) } else { Err(StatisticsError::NotFinite { what, quantity, value }) }
}

/// The value when it is finite and above zero, else an error that names it.
pub fn positive(what: &'static str, quantity: &'static str, value: f64) -> Result<f64, StatisticsError> {
    finite(what, quantity, value)?;
    if value > 0.0 { Ok(value) } else { Err(StatisticsError::NotPositive { what, quantity, value }) }
}

/// Checks value, uncertainty (above zero) and degrees of freedom (above zero, may be infinite) of an estimate.
pub fn sound(what: &'static str, estimate: &Estimate<f64>) -> Result<(), StatisticsError> {
    finite(what, "a value", estimate.value)?;
    positive(what, "a standard uncertainty", estimate.std_u)?;
    if estimate.dof > 0.0 {
        Ok(())
    } else {
        Err(StatisticsError::NotPositive { what, quantity: "a number of degrees of freedom", value: estimate.dof })
    }
}
