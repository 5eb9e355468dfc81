//! The front that pages share: what it is of, what to check first, the finding.

use driftless_analysis::Severity;
use driftless_display::severity_words;
use maud::{Markup, html as markup};

/// What the page is of.
pub(crate) fn header(kicker: &str, title: &str, facts: &Markup, note: Option<&str>) -> Markup {
    markup! {
        header {
            p.kicker { (kicker) }
            h1 { (title) }
            p.facts { (facts) }
            @if let Some(note) = note { p { (note) } }
        }
    }
}

/// Whatever keeps the result from being taken at face value.
pub(crate) struct Alert {
    /// How bad.
    pub(crate) severity: Severity,
    /// What it is: a sentence with its stop.
    pub(crate) words: String,
    /// What to do about it: a sentence.
    pub(crate) help: Option<String>,
}

/// The alerts, worst first; nothing when there is nothing to warn of.
pub(crate) fn alerts(mut alerts: Vec<Alert>) -> Markup {
    alerts.sort_by_key(|alert| std::cmp::Reverse(alert.severity));
    markup! {
        @if !alerts.is_empty() {
            section.alerts aria-labelledby="alerts" {
                h2 id="alerts" { "Check first" }
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

/// The finding in sentences, the first in large letters; `care` ends the word of care with what not to do before.
pub(crate) fn finding(sentences: &[String], care: (&str, &str)) -> Markup {
    markup! {
        section.finding aria-labelledby="finding" {
            h2 id="finding" { "Finding" }
            @for (i, sentence) in sentences.iter().enumerate() { p.lead[i == 0] { (sentence) } }
            p.care { (care.0) ", not a clearance: see " a href="#cautions" { "the cautions" } " before " (care.1) "." }
        }
    }
}
