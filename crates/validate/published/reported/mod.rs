//! Which figures reports state, and what stands behind each: checks of the page, tests by name.
//!
//! Whoever adds a key to a report adds it to the row of its figure, or to `words` where it is none. Tests hold both lists
//! against the documents, and the tests named against those that there are (`tests/program/reported.rs`).

mod campaigns;
mod flights;
mod words;

use super::Group;
use crate::tables::{Table, strings};
pub use words::is_word;

/// A figure that reports state.
#[derive(Debug, Clone, Copy)]
pub struct Reported {
    /// As people call it.
    pub figure: &'static str,
    /// Its keys in the JSON documents, in full: a dot before the key of an object, `[]` for any entry of a list, `*` at the
    /// end for whatever follows.
    pub keys: &'static [&'static str],
    /// Checks of the page that it rests on.
    pub checks: &'static [Group],
    /// Tests whose names say where their truth is from.
    pub tests: &'static [&'static str],
}

const fn row(
    figure: &'static str,
    keys: &'static [&'static str],
    checks: &'static [Group],
    tests: &'static [&'static str],
) -> Reported {
    Reported { figure, keys, checks, tests }
}

/// All of them, in the order of the documents.
pub fn reported() -> impl Iterator<Item = &'static Reported> {
    flights::FLIGHT.iter().chain(campaigns::CAMPAIGN)
}

/// Whether a key of the list is this one of a document.
pub fn is_key(listed: &str, key: &str) -> bool {
    listed.strip_suffix('*').map_or(listed == key, |start| key.starts_with(start))
}

impl Reported {
    /// Whether this key of a document is of this figure.
    pub fn has(&self, key: &str) -> bool {
        self.keys.iter().any(|listed| is_key(listed, key))
    }

    /// Nothing but simulated flights, and figures kept as they were, stands behind it: the factor of an interval says nothing
    /// of the figure in its middle.
    fn is_simulated_only(&self) -> bool {
        let simulated = |test: &&str| test.starts_with("simulated_") || test.starts_with("regression_");
        self.checks.iter().all(|group| *group == Group::Margins) && self.tests.iter().all(simulated)
    }

    fn cells(&self) -> Vec<String> {
        let checks: Vec<&str> = Group::ALL.iter().filter(|g| self.checks.contains(g)).map(|g| g.words()).collect();
        let checks = match (checks.is_empty(), self.is_simulated_only()) {
            (true, true) => "simulated only".to_owned(),
            (false, true) => format!("{}, else simulated only", checks.join(", ")),
            (_, false) => checks.join(", "),
        };
        let tests: Vec<String> = self.tests.iter().map(|test| format!("`{test}`")).collect();
        vec![self.figure.to_owned(), checks, tests.join(", ")]
    }
}

/// Figures are named up to so many; more are counted.
const MOST_NAMED: usize = 4;

/// Which reported figures rest on checks of a group.
pub(super) fn used_by(group: Group) -> String {
    let figures: Vec<&str> = reported().filter(|r| r.checks.contains(&group)).map(|r| r.figure).collect();
    match figures.len() {
        0 => "no reported figure".to_owned(),
        1..=MOST_NAMED => figures.join("; "),
        more => format!("{more} of the reported figures"),
    }
}

/// The list for the page.
pub(super) fn table() -> Table {
    Table {
        name: "reported",
        title: "Reported figures, and the check behind each".to_owned(),
        head: strings(["figure", "checks of this page", "tests"]),
        rows: reported().map(Reported::cells).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_figure_is_without_a_check() {
        for figure in reported() {
            assert!(!(figure.checks.is_empty() && figure.tests.is_empty()), "{} has no check", figure.figure);
            assert!(!figure.keys.is_empty(), "{} has no key", figure.figure);
            for test in figure.tests {
                let known = ["published_", "derived_", "simulated_", "regression_"];
                assert!(
                    known.iter().any(|start| test.starts_with(start)),
                    "{test} does not say where its truth is from"
                );
            }
        }
    }

    /// Which groups nothing reported rests on is known: a recorded airspeed is read, shown nowhere and takes no part.
    #[test]
    fn every_group_is_used_or_known_to_be_unused() {
        let unused: Vec<Group> = Group::ALL.into_iter().filter(|g| used_by(*g) == "no reported figure").collect();
        assert_eq!(unused, [Group::Airspeed]);
    }

    #[test]
    fn a_key_is_listed_in_full_or_by_its_beginning() {
        assert!(is_key("a.b", "a.b") && !is_key("a.b", "a.b.c") && !is_key("a.b", "a.bc"));
        assert!(is_key("a[].b.*", "a[].b.c") && !is_key("a[].b.*", "a[].bc"));
    }
}
