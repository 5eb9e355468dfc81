//! The front that pages share: what it is of, what to check first, the finding.

use super::fold::{Paper, fold};
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

/// Alerts shown before the finding; the others are folded.
const MOST_ALERTS: usize = 4;

fn one(alert: &Alert) -> Markup {
    markup! { li.error[alert.severity == Severity::Error] { (alert_words(alert)) } }
}

/// An alert in a line.
pub(crate) fn alert_words(alert: &Alert) -> Markup {
    markup! {
        strong { (severity_words(alert.severity)) ": " } (alert.words)
        @if let Some(help) = &alert.help { span.help { " " (help) } }
    }
}

/// Links to the sections of a page: their ids and names.
pub(crate) fn contents(sections: &[(&str, &str)]) -> Markup {
    markup! {
        nav.contents aria-label="Contents" {
            @for (id, words) in sections { a href=(format!("#{id}")) { (words) } " " }
        }
    }
}

/// The word of care under a finding: what it is, and what not to do before.
pub(crate) fn care(what: &str, not_before: &str) -> Markup {
    markup! { p.care { (what) ", not a clearance: see " a href="#cautions" { "the cautions" } " before " (not_before) "." } }
}

/// The alerts, worst first; nothing when there is nothing to warn of.
pub(crate) fn alerts(mut alerts: Vec<Alert>) -> Markup {
    alerts.sort_by_key(|alert| std::cmp::Reverse(alert.severity));
    markup! {
        @if !alerts.is_empty() {
            section.alerts aria-labelledby="alerts" {
                h2 id="alerts" { "Check first" }
                @let (first, rest) = alerts.split_at(alerts.len().min(MOST_ALERTS));
                ul { @for alert in first { (one(alert)) } }
                @if !rest.is_empty() {
                    (fold(&markup! { (rest.len()) " more" }, Paper::Whole, &markup! { ul { @for alert in rest { (one(alert)) } } }))
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
            (self::care(care.0, care.1))
        }
    }
}
