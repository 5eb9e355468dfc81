//! A flight analysis as plain text for a terminal of 80 columns: the finding first, then what it rests on.

mod brief;
mod combined;
pub(crate) mod layout;
mod sections;

pub use brief::{brief, first_screen};

use crate::outlet::finished;
use driftless_analysis::FlightAnalysis;
use driftless_display::DisplayUnits;

/// The summary of one flight: finding, log, wind, windows, refused windows, problems, cautions, how it was made.
///
/// Lines are at most 80 characters wide, apart from names of files; there are no escape codes in it.
pub fn text(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let mut sections = vec![
        sections::title(analysis),
        sections::finding(analysis, units),
        sections::flight(analysis, units),
        sections::windows(analysis, units),
        combined::section(analysis, units),
        sections::refused(analysis, units),
        crate::inertial::block(analysis, units),
        problems(analysis, units),
        sections::cautions(),
        sections::made_by(analysis),
    ];
    sections.retain(|section| !section.is_empty());
    finished(sections.join("\n"))
}

/// The problems of a flight, worst first, each with its place, count and advice; empty when there are none.
fn problems(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let problems = crate::reasons::problems(analysis, units);
    if problems.is_empty() {
        return String::new();
    }
    format!("Problems found\n{}", problem_list(&problems))
}

/// Problems as a list, worst first, each with its place, count and advice.
pub fn problem_list(problems: &[driftless_analysis::Problem]) -> String {
    let mut worst_first: Vec<_> = problems.iter().collect();
    worst_first.sort_by_key(|problem| std::cmp::Reverse(problem.severity));
    finished(worst_first.into_iter().map(sections::problem).collect())
}

#[cfg(test)]
mod tests;
