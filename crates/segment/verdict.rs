//! Whether a window is good enough to count.

use crate::Finding;

/// The verdict on a window: all that speaks against it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Verdict {
    /// Limits missed first, then cautions.
    pub findings: Vec<Finding>,
}

impl Verdict {
    /// Whether the window passed every limit; cautions refuse nothing.
    pub fn accepted(&self) -> bool {
        !self.findings.iter().any(Finding::refuses)
    }
}
