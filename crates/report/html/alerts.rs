//! What matters first: whatever keeps the result from being taken at face value.

use super::parts::{clean, sentence};
use driftless_analysis::{FlightAnalysis, Observability, Severity};
use driftless_display::{count_of, severity_words};
use maud::{Markup, html as markup};

struct Alert {
    severity: Severity,
    words: String,
    help: Option<String>,
}

/// The alerts; nothing when there is nothing to warn of.
pub(super) fn section(analysis: &FlightAnalysis) -> Markup {
    let mut alerts = collect(analysis);
    alerts.sort_by_key(|a| std::cmp::Reverse(a.severity));
    markup! {
        @if !alerts.is_empty() {
            section.alerts aria-labelledby="alerts" {
                h2 id="alerts" { "First of all" }
                ul {
                    @for alert in &alerts {
                        li.error[alert.severity == Severity::Error] {
                            strong { (severity_words(alert.severity)) ": " } (alert.words)
                            @if let Some(help) = &alert.help { span.help { " " (help) } }
                        }
                    }
                }
            }
        }
    }
}

fn collect(analysis: &FlightAnalysis) -> Vec<Alert> {
    let mut alerts = Vec::new();
    let mut warn = |severity, words: String, help: Option<String>| alerts.push(Alert { severity, words, help });
    for problem in analysis.problems.iter().filter(|p| p.severity != Severity::Note) {
        let count = if problem.count > 1 { format!(" ({} of this kind)", problem.count) } else { String::new() };
        warn(
            problem.severity,
            format!("{}{count}.", clean(problem.message.trim_end_matches('.'))),
            problem.help.as_deref().map(sentence),
        );
    }
    match analysis.estimate.as_ref().map(|e| &e.observability) {
        Some(Observability::Observable) => {}
        // The analysis tells it among its problems; here only what it means for the page.
        Some(Observability::NotObservable(_)) => warn(
            Severity::Error,
            "headings and turn rates are not known; what remains is the track and the course over the ground."
                .to_owned(),
            None,
        ),
        None => warn(
            Severity::Error,
            "the flight could not be estimated; what remains is the track over the ground.".to_owned(),
            None,
        ),
    }
    for measured in analysis.accepted() {
        let id = measured.window.id;
        for reason in &measured.window.reasons {
            warn(Severity::Warning, format!("window {id}: {}.", clean(reason.trim_end_matches('.'))), None);
        }
        if measured.second_opinion.is_some_and(|s| s.disagrees) {
            warn(
                Severity::Warning,
                format!("window {id}: the second opinion differs by more than the joint uncertainty of both."),
                Some("Look at its heading chart before using the figure.".to_owned()),
            );
        }
    }
    let refused = analysis.windows.iter().filter(|w| !w.window.accepted).count();
    if refused > 0 {
        warn(
            Severity::Note,
            format!(
                "{} refused; the reasons stand below the table of windows.",
                count_of(refused, "window was", "windows were")
            ),
            None,
        );
    }
    alerts
}
