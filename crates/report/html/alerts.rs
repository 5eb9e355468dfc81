//! What matters first: whatever keeps the result from being taken at face value.

use super::front::{self, Alert};
use super::parts::{clean, sentence};
use crate::reasons::problems;
use driftless_analysis::{FlightAnalysis, Severity};
use driftless_display::reasons::{disagreement, reasons};
use driftless_display::{DisplayUnits, count_of};
use maud::Markup;

/// The alerts; nothing when there is nothing to warn of.
pub(super) fn section(analysis: &FlightAnalysis, units: &DisplayUnits) -> Markup {
    front::alerts(collect(analysis, units))
}

/// What keeps the result from being taken at face value.
pub(crate) fn collect(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<Alert> {
    let mut alerts = Vec::new();
    let mut warn = |severity, words: String, help: Option<String>| alerts.push(Alert { severity, words, help });
    for problem in problems(analysis, units).iter().filter(|p| p.severity != Severity::Note) {
        let count = if problem.count > 1 { format!(" ({} of this kind)", problem.count) } else { String::new() };
        warn(
            problem.severity,
            format!("{}{count}.", clean(problem.message.trim_end_matches('.'))),
            problem.help.as_deref().map(sentence),
        );
    }
    // Why the wind is not known stands among the problems; here only what it means for the page.
    if analysis.estimate.is_none() {
        warn(
            Severity::Error,
            "the flight could not be estimated; what remains is the track over the ground.".to_owned(),
            None,
        );
    } else if analysis.wind_unknown().is_some() {
        warn(
            Severity::Error,
            "headings and turn rates are not known; what remains is the track and the course over the ground."
                .to_owned(),
            None,
        );
    }
    for measured in analysis.accepted() {
        let id = measured.window.id;
        for reason in reasons(&measured.verdict, units) {
            warn(Severity::Warning, format!("window {id}: {reason}."), None);
        }
        if let Some(words) = disagreement(analysis, measured, units) {
            warn(
                Severity::Warning,
                format!("window {id}: {words}."),
                Some("Look at its heading chart before using the figure.".to_owned()),
            );
        }
    }
    let refused = analysis.windows.iter().filter(|w| !w.accepted()).count();
    if refused > 0 {
        warn(
            Severity::Note,
            format!(
                "{} refused; why stands under the windows in numbers.",
                count_of(refused, "window was", "windows were")
            ),
            None,
        );
    }
    alerts
}
