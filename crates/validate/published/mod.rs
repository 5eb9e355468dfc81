//! Checks against figures known beforehand: published, of other people, and derived, worked out for this project.
//!
//! Each check computes its figure anew; nothing is typed in but the input and the figure expected. The same cases, and
//! more, stand in the tests of the crates.

mod airspeed;
mod campaigns;
mod circles;
mod flown;
mod formats;
mod geodesy;
mod group;
mod least_squares;
pub mod reported;
mod turns;
mod wind;

pub use group::Group;

use crate::tables::Table;

/// Who the expected figure is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Printed by somebody else, or computed by somebody else's program.
    Published,
    /// Worked out for this project by independent means: closed forms, other code, other libraries.
    Derived,
}

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What reported figures rest on it as.
    pub group: Group,
    /// What is checked.
    pub what: String,
    /// Who the expected figure is of.
    pub origin: Origin,
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
    /// Against a figure of somebody else.
    fn new(
        group: Group,
        what: impl Into<String>,
        source: &'static str,
        expected: f64,
        got: f64,
        tolerance: f64,
    ) -> Self {
        let places = if tolerance > 0.0 { (-tolerance.log10()).ceil().clamp(0.0, 12.0) as usize } else { 0 };
        Self { group, what: what.into(), origin: Origin::Published, source, expected, got, tolerance, places }
    }

    /// Against a figure worked out for this project.
    fn derived(
        group: Group,
        what: impl Into<String>,
        source: &'static str,
        expected: f64,
        got: f64,
        tolerance: f64,
    ) -> Self {
        Self { origin: Origin::Derived, ..Self::new(group, what, source, expected, got, tolerance) }
    }

    fn row(&self) -> Vec<String> {
        let places = self.places;
        vec![
            self.what.clone(),
            self.source.to_owned(),
            format!("{:.places$}", self.expected),
            format!("{:.places$}", self.got),
            shown(self.tolerance),
            if self.holds() { "yes" } else { "NO" }.to_owned(),
            reported::used_by(self.group),
        ]
    }

    /// Whether the figure got is the one expected.
    pub fn holds(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}

/// A tolerance as people write it: four digits, and none of those that a product leaves behind.
fn shown(tolerance: f64) -> String {
    let rounded: f64 = format!("{tolerance:.3e}").parse().unwrap_or(tolerance);
    rounded.to_string()
}

/// All checks.
pub fn checks() -> Vec<Check> {
    [
        wind::checks(),
        flown::checks(),
        circles::checks(),
        least_squares::checks(),
        turns::checks(),
        airspeed::checks(),
        geodesy::checks(),
        formats::checks(),
        campaigns::checks(),
    ]
    .concat()
}

/// The checks as tables, published and derived apart, and the figures that reports state with what stands behind each.
pub fn tables(checks: &[Check]) -> Vec<Table> {
    let mut tables: Vec<Table> = [
        (Origin::Published, "published", "Published checks: figures of other people"),
        (Origin::Derived, "derived", "Derived checks: figures worked out for this project by independent means"),
    ]
    .map(|(origin, name, title)| Table {
        name,
        title: title.to_owned(),
        head: ["check", "source", "expected", "got", "may differ by", "holds", "used by"].map(str::to_owned).to_vec(),
        rows: checks.iter().filter(|check| check.origin == origin).map(Check::row).collect(),
    })
    .into();
    tables.push(reported::table());
    tables
}

#[cfg(test)]
mod tests {
    use super::{Origin, checks, shown};

    /// Rows of each table: a check that is lost, by a fit that fails or a line deleted, is to fail here.
    const ROWS: [(Origin, usize); 2] = [(Origin::Published, 112), (Origin::Derived, 63)];

    #[test]
    fn tolerances_are_short() {
        for (tolerance, words) in [(0.005 * 68.6, "0.343"), (1e-9, "0.000000001"), (0.0, "0"), (70.888, "70.89")] {
            assert_eq!(shown(tolerance), words);
        }
    }

    #[test]
    fn published_and_derived_figures_are_met_and_none_is_lost() {
        let checks = checks();
        for check in &checks {
            assert!(check.holds(), "{check:?}");
        }
        for (origin, rows) in ROWS {
            let got = checks.iter().filter(|check| check.origin == origin).count();
            assert_eq!(got, rows, "rows of {origin:?} checks");
        }
    }
}
