//! Published checks: figures of other people, and what the program gets for them.
//!
//! Each check computes its figure anew; nothing is typed in but the input and the figure expected. The same cases, and
//! more, stand in the tests of the crates.

mod airspeed;
mod circles;
mod formats;
mod geodesy;
mod least_squares;
mod turns;
mod wind;

use crate::tables::Table;

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked.
    pub what: String,
    /// Where the expected figure comes from.
    pub source: &'static str,
    /// The figure expected.
    pub expected: f64,
    /// The figure got.
    pub got: f64,
    /// How far they may lie apart: the digits printed, or three standard errors.
    pub tolerance: f64,
    /// Places shown.
    pub places: usize,
}

impl Check {
    fn new(what: impl Into<String>, source: &'static str, expected: f64, got: f64, tolerance: f64) -> Self {
        let places = (-tolerance.log10()).ceil().clamp(0.0, 12.0) as usize;
        Self { what: what.into(), source, expected, got, tolerance, places }
    }

    /// Whether the figure got is the one expected.
    pub fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}

/// All checks.
pub fn checks() -> Vec<Check> {
    [
        wind::checks(),
        circles::checks(),
        least_squares::checks(),
        turns::checks(),
        airspeed::checks(),
        geodesy::checks(),
        formats::checks(),
    ]
    .concat()
}

/// The checks as a table.
pub fn table(checks: &[Check]) -> Table {
    let rows = checks
        .iter()
        .map(|check| {
            let places = check.places;
            vec![
                check.what.clone(),
                check.source.to_owned(),
                format!("{:.places$}", check.expected),
                format!("{:.places$}", check.got),
                format!("{}", check.tolerance),
                if check.holds() { "yes" } else { "NO" }.to_owned(),
            ]
        })
        .collect();
    Table {
        name: "published",
        title: "Published checks".to_owned(),
        head: ["check", "source", "expected", "got", "may differ by", "holds"].map(str::to_owned).to_vec(),
        rows,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn published_figures_are_met() {
        let checks = super::checks();
        assert!(checks.len() > 60, "a suite that runs few cases proves little: {}", checks.len());
        for check in checks {
            assert!(check.holds(), "{check:?}");
        }
    }
}
