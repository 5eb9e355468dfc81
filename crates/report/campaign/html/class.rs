//! The class of an instructor, and what to fly next.

use super::sections::strings;
use crate::campaign::{advice, class, next};
use crate::html::fold::folded;
use crate::html::parts::{clean, table};
use driftless_analysis::campaign::model::SCENARIOS;
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan, ClassTable, Student};
use driftless_display::campaign::{points, typed};
use driftless_display::{DisplayUnits, turn_range, turn_signed};
use driftless_units::Estimate;
use maud::{Markup, html as markup};

/// Student x scenario, and one question each.
pub(super) fn students(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let campaign = &analysis.campaign;
    let rows: Vec<Vec<String>> = class::lines(analysis, units)
        .into_iter()
        .map(|line| {
            let mut row = vec![
                clean(&campaign.pilot(line.pilot).name),
                format!("{}, {}", clean(&campaign.setup(line.setup).name), clean(&campaign.wing(line.wing).name)),
            ];
            row.extend(SCENARIOS.map(|scenario| {
                let found = line.turns.iter().find(|(of, _)| *of == scenario);
                found.map_or("–".to_owned(), |(_, student)| turn(units, student))
            }));
            row.push(clean(&line.question));
            row
        })
        .collect();
    if rows.is_empty() {
        return markup! {};
    }
    let [trim, accelerated, climb, glide] = SCENARIOS.map(|scenario| analysis.scenario_words(scenario));
    let head = strings(["Student", "Flies", trim, accelerated, climb, glide, "To ask the instructor"]);
    let caption = format!(
        "Turn by own runs, {}, right positive. ▲ turns more than the class, ▼ less, beyond doubt",
        units.turn.sign()
    );
    markup! {
        section aria-labelledby="class" {
            h2 id="class" { "The class" }
            p.subtitle { "By name: this is no ranking, and a single run stands for its day. The instructor decides." }
            (table(&caption, "class", &head, &rows))
            (folded("Each student drawn toward the class", &markup! {
                p { "Sizes of turns, each drawn toward the mean of the class as far as the student's own runs are unsure." }
                @for of in &analysis.classes { (drawn(analysis, units, of)) }
            }))
        }
    }
}

fn turn(units: &DisplayUnits, student: &Student) -> String {
    let mark = match beside_class(student.against.probability_above) {
        "more" => " ▲",
        "less" => " ▼",
        _ => "",
    };
    format!("{}{mark}", turn_signed(units, &typed(&student.turn_deg_s)))
}

fn drawn(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &ClassTable) -> Markup {
    let campaign = &analysis.campaign;
    let signed = |turn: &Estimate<f64>| turn_signed(units, &typed(turn));
    let rows: Vec<Vec<String>> = of
        .students
        .iter()
        .map(|student| {
            vec![
                clean(&campaign.pilot(student.pilot).name),
                student.runs.to_string(),
                turn_range(units, &typed(&student.against.estimate)),
                beside_class(student.against.probability_above).to_owned(),
            ]
        })
        .collect();
    let best = format!("Best guess of size, {}", units.turn.sign());
    let head = strings(["Student", "Runs", &best, "Beside the class"]);
    let caption = format!(
        "{}: the class turns by {}\u{a0}{} on average",
        analysis.scenario_words(of.scenario),
        signed(&of.class.mean),
        units.turn.sign()
    );
    table(&caption, "", &head, &rows)
}

/// Whether a student's turn differs from the class, as far as the runs tell.
fn beside_class(probability_above: f64) -> &'static str {
    // The two ends of the 95 % interval of the difference.
    match probability_above {
        above if above > 0.975 => "more",
        above if above < 0.025 => "less",
        _ => "not told apart",
    }
}

/// The blocks to fly, each with why and what it brings.
pub(super) fn next_flights(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Markup {
    let rows: Vec<Vec<String>> = next::blocks(analysis, plan).iter().map(|block| row(analysis, block)).collect();
    let wished = points(Some(analysis.campaign.wished_half_width_percent));
    markup! {
        @if !rows.is_empty() || !analysis.more_runs.is_empty() {
            section aria-labelledby="next" {
                h2 id="next" { "The next flights" }
                @if let Some(words) = next::imprecise(analysis, plan) { p { (words) } }
                @if rows.is_empty() {
                    p { "The campaign file asks for no further runs." }
                } @else {
                    (order(&rows, "Blocks in the order to fly; the order is random. driftless plan prints a card for each run"))
                }
                @if analysis.more_runs.iter().any(|of| !of.met) {
                    (folded(&format!("What brings each compensation to {wished}"), &markup! {
                        ul.reasons { @for words in advice::unmet(analysis) { li { (words) } } }
                    }))
                }
            }
        }
    }
}

fn row(analysis: &CampaignAnalysis, block: &next::Block<'_>) -> Vec<String> {
    let campaign = &analysis.campaign;
    vec![
        format!("{}, day {}", block.number, block.day),
        format!("{} on {}", clean(&campaign.setup(block.setup).name), clean(&campaign.wing(block.wing).name)),
        block.cards.len().to_string(),
        clean(&block.why),
        clean(&block.brings),
    ]
}

/// The table of blocks.
fn order(rows: &[Vec<String>], caption: &str) -> Markup {
    let head = strings(["Block", "Set-up", "Runs", "Why", "What it brings"]);
    table(caption, "order verdicts", &head, rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two ends of a 95 % interval leave 2.5 % on either side; on the end itself nothing is told.
    #[test]
    fn beside_the_class_more_or_less_stands_only_without_doubt() {
        for (probability_above, expected) in [
            (0.976, "more"),
            (0.975, "not told apart"),
            (0.5, "not told apart"),
            (0.025, "not told apart"),
            (0.024, "less"),
            (f64::NAN, "not told apart"),
        ] {
            assert_eq!(beside_class(probability_above), expected, "{probability_above}");
        }
    }
}
