//! A campaign analysis as plain text for a terminal of 80 columns: alerts and finding first, then what they rest on.

use super::alerts::{help, message};
use super::summary::finding;
use super::unused::why_unused;
use super::{advice, statements};
use crate::cautions::CAUTIONS;
use crate::outlet::finished;
use crate::text::layout::{Align, paragraph, table};
use driftless_analysis::Severity;
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_display::campaign::{percent_words, setting, typed};
use driftless_display::{DisplayUnits, count_of, severity_words, turn_signed};

/// The summary of a campaign.
///
/// Lines are at most 80 characters wide, apart from long names; there are no escape codes in it.
pub fn campaign_text(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let mut sections = vec![
        title(analysis),
        finding(analysis, units).iter().map(|sentence| paragraph("", sentence)).collect(),
        alerts(analysis, units),
        cells(analysis, units),
        list(
            "Device against device (Holm-corrected)",
            analysis.comparisons.iter().map(|c| statements::comparison(&analysis.campaign, units, c)),
        ),
        list("How each device acts, and its setting", devices(analysis, units)),
        list(
            "Known-weight runs",
            analysis.physics.sensitivities.iter().map(|of| advice::sensitivity(&analysis.campaign, of)),
        ),
        claims(analysis),
        agreement(analysis),
        students(analysis, units),
        list("The next flights", analysis.more_runs.iter().map(|of| advice::more_runs(&analysis.campaign, of))),
        unused(analysis, units),
        list("Cautions", CAUTIONS.iter().map(|caution| (*caution).to_owned())),
        made_by(analysis),
    ];
    sections.retain(|section| !section.is_empty());
    finished(sections.join("\n"))
}

fn title(analysis: &CampaignAnalysis) -> String {
    let campaign = &analysis.campaign;
    let by = campaign.club.as_ref().map(|club| format!(", {club}")).unwrap_or_default();
    let mut text = paragraph("", &format!("{}{by}", campaign.title));
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    text.push_str(&paragraph(
        "",
        &format!(
            "{} in {} from {}; turns to the right are positive.",
            count_of(runs, "run", "runs"),
            count_of(analysis.cells.len(), "cell", "cells"),
            count_of(campaign.flights.len(), "flight", "flights")
        ),
    ));
    text
}

/// A heading and one paragraph each; nothing without items.
fn list(heading: &str, items: impl Iterator<Item = String>) -> String {
    let body: String = items.map(|item| paragraph("- ", &item)).collect();
    if body.is_empty() { body } else { format!("{heading}\n{body}") }
}

fn alerts(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let alert = |alert: &driftless_analysis::campaign::CampaignAlert| {
        let place = alert.place.as_ref().map(|p| format!(" ({}:{})", p.file, p.line)).unwrap_or_default();
        let message = message(&analysis.campaign, units, &alert.kind);
        format!("{}: {message}{place}; {}.", severity_words(alert.severity()), help(&alert.kind))
    };
    let worth = |a: &&driftless_analysis::campaign::CampaignAlert| a.severity() != Severity::Note;
    list("Check first", analysis.alerts.iter().filter(worth).map(alert))
}

fn cells(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    if analysis.cells.is_empty() {
        return String::new();
    }
    let row = |cell: &Cell| {
        let campaign = &analysis.campaign;
        let compensation = analysis.compensation_of(cell.key).map(|c| percent_words(&c.result)).unwrap_or_default();
        [
            campaign.setup(cell.key.setup).name.clone(),
            campaign.wing(cell.key.wing).name.clone(),
            cell.key.scenario.words().to_owned(),
            cell.runs.len().to_string(),
            turn_signed(units, &typed(&cell.turn_deg_s())),
            compensation,
        ]
    };
    let rows: Vec<[String; 6]> = analysis.cells.iter().map(row).collect();
    let head = [
        ("Set-up", Align::Left),
        ("Wing", Align::Left),
        ("Scenario", Align::Left),
        ("Runs", Align::Right),
        (units.turn.sign(), Align::Right),
        ("Compensation", Align::Right),
    ];
    let spread = analysis.spread.as_ref().map(|of| paragraph("", &statements::spread(of))).unwrap_or_default();
    format!("Cells: residual turn and compensation, ± and brackets 95 %\n{}{spread}", table(head, &rows))
}

fn devices(analysis: &CampaignAnalysis, units: &DisplayUnits) -> std::vec::IntoIter<String> {
    let campaign = &analysis.campaign;
    let words = |of: &driftless_analysis::campaign::physics::DeviceOnWing| {
        let parts = [Some(advice::device_model(campaign, of)), setting(campaign, units, of)];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
    };
    analysis.physics.devices.iter().map(words).collect::<Vec<_>>().into_iter()
}

fn students(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let of_class = |class: &driftless_analysis::campaign::ClassTable| {
        let heading = format!("The class, {} (by name; each drawn toward the class)", class.scenario.words());
        let student = |student: &driftless_analysis::campaign::Student| {
            format!(
                "{}: {}\u{a0}{} by own runs. {}",
                analysis.campaign.pilot(student.pilot).name,
                turn_signed(units, &typed(&student.turn_deg_s)),
                units.turn.sign(),
                advice::question(&analysis.campaign, student)
            )
        };
        list(&heading, class.students.iter().map(student))
    };
    analysis.classes.iter().map(of_class).collect::<Vec<_>>().join("\n")
}

fn claims(analysis: &CampaignAnalysis) -> String {
    let campaign = &analysis.campaign;
    let drifts = analysis.drift.iter().filter(|drift| drift.claimed).map(|drift| statements::drift(campaign, drift));
    list("Heading drift against what is claimed, wind taken out", drifts)
}

fn agreement(analysis: &CampaignAnalysis) -> String {
    let Some(of) = &analysis.agreement else { return String::new() };
    list("Log against stopwatch", std::iter::once(statements::agreement(of)))
}

fn unused(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    list(
        "Runs left out",
        analysis.unused.iter().map(|run| format!("{} ({}): {}.", run.name, run.of, why_unused(&run.why, units))),
    )
}

fn made_by(analysis: &CampaignAnalysis) -> String {
    let made = &analysis.made_by;
    let mut text = String::from("How it was made\n");
    text.push_str(&paragraph("Program  ", &format!("driftless {}", made.version)));
    text.push_str(&paragraph("Command  ", &made.command));
    text.push_str(&paragraph("SHA-256  ", &made.input_sha256));
    text
}
