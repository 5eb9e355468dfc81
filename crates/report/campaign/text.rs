//! A campaign analysis as plain text, all of it: alerts and finding first, then what they rest on.

use super::alerts::{help, message};
use super::summary::finding;
use super::unused::why_unused;
use super::{advice, class, next, scores, statements};
use crate::cautions::CAUTIONS;
use crate::outlet::finished;
use crate::text::layout::{Align, paragraph_within, table_within};
use driftless_analysis::Severity;
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_display::campaign::{percent_words, setting_alone, typed, weighed};
use driftless_display::{DisplayUnits, count_of, severity_words, turn_signed};

/// All of a campaign in words and figures.
///
/// Lines are at most `width` characters wide, apart from single long words; there are no escape codes in it.
pub fn campaign_text(analysis: &CampaignAnalysis, units: &DisplayUnits, width: usize) -> String {
    let plan = next::plan(analysis);
    let lines = Lines { width };
    let campaign = &analysis.campaign;
    let mut sections = vec![
        title(analysis, lines),
        alerts(analysis, units, lines),
        finding(analysis, units, &plan).iter().map(|sentence| lines.paragraph("", sentence)).collect(),
        cells(analysis, units, lines),
        rankings(analysis, units, lines),
        lines
            .list("Compensation", analysis.compensation.iter().map(|of| statements::compensation(analysis, units, of))),
        lines.list(
            "What is claimed",
            analysis.compensation.iter().filter_map(|of| statements::compensation_claim(analysis, of)),
        ),
        lines.list(
            "Device against device (Holm-corrected)",
            analysis.comparisons.iter().map(|c| statements::comparison(analysis, units, c)),
        ),
        lines.list("How each device acts, and its setting", devices(analysis, units)),
        lines.list(
            "Known-weight runs",
            analysis.physics.sensitivities.iter().map(|of| advice::sensitivity(analysis, of)),
        ),
        claims(analysis, lines),
        agreement(analysis, lines),
        students(analysis, units, lines),
        lines.list(
            "The next flights",
            next::blocks(analysis, &plan).iter().map(|block| {
                format!(
                    "Block {}, day {}: {} on the {}, {}. Why: {}. It brings: {}.",
                    block.number,
                    block.day,
                    campaign.setup(block.setup).name,
                    campaign.wing(block.wing).name,
                    block.scenarios(),
                    block.why,
                    block.brings
                )
            }),
        ),
        lines.list("What brings each compensation to the wish", advice::unmet(analysis).into_iter()),
        unused(analysis, units, lines),
        lines.list("Cautions", CAUTIONS.iter().map(|caution| (*caution).to_owned())),
        made_by(analysis, lines),
    ];
    sections.retain(|section| !section.is_empty());
    finished(sections.join("\n"))
}

/// How wide lines are.
#[derive(Debug, Clone, Copy)]
struct Lines {
    width: usize,
}

impl Lines {
    fn paragraph(self, first: &str, words: &str) -> String {
        paragraph_within(self.width, first, words)
    }

    /// A heading and one paragraph each; nothing without items.
    fn list(self, heading: &str, items: impl Iterator<Item = String>) -> String {
        let body: String = items.map(|item| self.paragraph("- ", &item)).collect();
        if body.is_empty() { body } else { format!("{}{body}", self.paragraph("", heading)) }
    }
}

fn title(analysis: &CampaignAnalysis, lines: Lines) -> String {
    let campaign = &analysis.campaign;
    let by = campaign.club.as_ref().map(|club| format!(", {club}")).unwrap_or_default();
    let mut text = lines.paragraph("", &format!("{}{by}", campaign.title));
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    text.push_str(&lines.paragraph(
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

fn alerts(analysis: &CampaignAnalysis, units: &DisplayUnits, lines: Lines) -> String {
    let alert = |alert: &driftless_analysis::campaign::CampaignAlert| {
        let place = alert.place.as_ref().map(|p| format!(" ({}:{})", p.file, p.line)).unwrap_or_default();
        let message = message(analysis, units, &alert.kind);
        format!("{}: {message}{place}; {}.", severity_words(alert.severity()), help(&alert.kind))
    };
    let worth = |a: &&driftless_analysis::campaign::CampaignAlert| a.severity() != Severity::Note;
    lines.list("Check first", analysis.alerts.iter().filter(worth).map(alert))
}

/// The set-ups of each wing, the least turn first; wings whose scenarios count alike stand together.
fn rankings(analysis: &CampaignAnalysis, units: &DisplayUnits, lines: Lines) -> String {
    let mut by_weights: Vec<(String, Vec<String>)> = Vec::new();
    for of in &analysis.rankings {
        let Some(words) = advice::ranking(&analysis.campaign, units, of) else { continue };
        let weights = weighed(&of.scenarios, |of| analysis.scenario_words(of));
        match by_weights.iter_mut().find(|(other, _)| *other == weights) {
            Some((_, list)) => list.push(words),
            None => by_weights.push((weights, vec![words])),
        }
    }
    let part = |(weights, list): (String, Vec<String>)| {
        lines.list(&format!("Which set-up turns least {weights}"), list.into_iter())
    };
    by_weights.into_iter().map(part).collect::<Vec<_>>().join("\n")
}

fn cells(analysis: &CampaignAnalysis, units: &DisplayUnits, lines: Lines) -> String {
    if analysis.cells.is_empty() {
        return String::new();
    }
    let row = |cell: &Cell| {
        let campaign = &analysis.campaign;
        let compensation = analysis.compensation_of(cell.key).map(|c| percent_words(&c.result)).unwrap_or_default();
        let flag = scores::flag(analysis, cell.key).map_or("", scores::Flag::sign);
        [
            campaign.setup(cell.key.setup).name.clone(),
            campaign.wing(cell.key.wing).name.clone(),
            analysis.power_of(cell.key.scenario).short_scenario_words(cell.key.scenario).to_owned(),
            cell.runs.len().to_string(),
            turn_signed(units, &typed(&cell.turn_deg_s())),
            format!("{compensation}{flag}"),
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
    let spread = analysis.spread.as_ref().map(|of| lines.paragraph("", &statements::spread(of))).unwrap_or_default();
    let heading = lines.paragraph("", "Cells: turn and compensation; ± and brackets 95 %");
    let legend = lines.paragraph("", &scores::legend(analysis, units));
    format!("{heading}{}{legend}{spread}", table_within(lines.width, 3, head, &rows))
}

fn devices(analysis: &CampaignAnalysis, units: &DisplayUnits) -> std::vec::IntoIter<String> {
    let campaign = &analysis.campaign;
    let words = |of: &driftless_analysis::campaign::physics::DeviceOnWing| {
        let parts = [Some(advice::device_model(campaign, of)), setting_alone(campaign, units, of)];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
    };
    analysis.physics.devices.iter().map(words).collect::<Vec<_>>().into_iter()
}

/// One line a student, questions for the instructor.
fn students(analysis: &CampaignAnalysis, units: &DisplayUnits, lines: Lines) -> String {
    let campaign = &analysis.campaign;
    let student = |line: &class::Line<'_>| {
        let turns: Vec<String> = line
            .turns
            .iter()
            .map(|(scenario, of)| {
                format!("{} {}", analysis.scenario_words(*scenario), turn_signed(units, &typed(&of.turn_deg_s)))
            })
            .collect();
        format!(
            "{}, {} on the {} ({}, {}). {}",
            campaign.pilot(line.pilot).name,
            campaign.setup(line.setup).name,
            campaign.wing(line.wing).name,
            turns.join(", "),
            units.turn.sign(),
            line.question
        )
    };
    lines.list(
        "The class, by name and no ranking: questions for the instructor",
        class::lines(analysis, units).iter().map(student),
    )
}

fn claims(analysis: &CampaignAnalysis, lines: Lines) -> String {
    let drifts = analysis.drift.iter().filter(|drift| drift.claimed).map(|drift| statements::drift(analysis, drift));
    lines.list("Heading drift against what is claimed, wind taken out", drifts)
}

fn agreement(analysis: &CampaignAnalysis, lines: Lines) -> String {
    let Some(of) = &analysis.agreement else { return String::new() };
    lines.list("Log against stopwatch", std::iter::once(statements::agreement(of)))
}

fn unused(analysis: &CampaignAnalysis, units: &DisplayUnits, lines: Lines) -> String {
    lines.list(
        "Runs left out",
        analysis.unused.iter().map(|run| format!("{} ({}): {}.", run.name, run.of, why_unused(&run.why, units))),
    )
}

fn made_by(analysis: &CampaignAnalysis, lines: Lines) -> String {
    let made = &analysis.made_by;
    let mut text = String::from("How it was made\n");
    text.push_str(&lines.paragraph("Program  ", &format!("driftless {}", made.version)));
    text.push_str(&lines.paragraph("Command  ", &made.command));
    text.push_str(&lines.paragraph("SHA-256  ", &made.input_sha256));
    text
}
