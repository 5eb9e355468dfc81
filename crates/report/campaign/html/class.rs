//! The class of an instructor, and what to fly next.

use super::sections::strings;
use crate::campaign::advice;
use crate::html::parts::{clean, table};
use driftless_analysis::campaign::{CampaignAnalysis, ClassTable};
use driftless_display::campaign::typed;
use driftless_display::{DisplayUnits, fixed, turn_range, turn_signed};
use driftless_units::Estimate;
use maud::{Markup, html as markup};

/// Each student against the class.
pub(super) fn students(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    markup! {
        @if !analysis.classes.is_empty() {
            section aria-labelledby="class" {
                h2 id="class" { "The class" }
                p { "Each student's turn by size, drawn toward the mean of the class as far as the student's own runs are unsure: a \
                     single run ranks by luck. Students stand by name: this is no ranking. \"More\" or \"less\" stands only where the \
                     95 % interval of the difference from the class leaves no doubt. The last column is a question for the \
                     instructor, who decides." }
                @for of in &analysis.classes { (class(analysis, units, of)) }
            }
        }
    }
}

fn class(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &ClassTable) -> Markup {
    let campaign = &analysis.campaign;
    let signed = |turn: &Estimate<f64>| turn_signed(units, &typed(turn));
    let rows: Vec<Vec<String>> = of
        .students
        .iter()
        .map(|student| {
            vec![
                clean(&campaign.pilot(student.pilot).name),
                format!(
                    "{}, {}",
                    clean(&campaign.setup(student.key.setup).name),
                    clean(&campaign.wing(student.key.wing).name)
                ),
                student.runs.to_string(),
                signed(&student.turn_deg_s),
                turn_range(units, &typed(&student.against.estimate)),
                beside_class(student.against.probability_above).to_owned(),
                advice::question(campaign, student),
            ]
        })
        .collect();
    let own = format!("Own runs, {}", units.turn.sign());
    let best = format!("Best guess of size, {}", units.turn.sign());
    let head = strings(["Student", "Flies", "Runs", &own, &best, "Beside the class", "To ask first"]);
    let caption = format!(
        "{}: the class turns by {}\u{a0}{} on average",
        of.scenario.words(),
        signed(&of.class.mean),
        units.turn.sign()
    );
    table(&caption, "verdicts", &head, &rows)
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

/// How many more runs each compensation needs.
pub(super) fn next_flights(analysis: &CampaignAnalysis) -> Markup {
    markup! {
        @if !analysis.more_runs.is_empty() {
            section aria-labelledby="next" {
                h2 id="next" { "The next flights" }
                p { "What brings the half-width of each compensation to ± "
                    (fixed(analysis.campaign.wished_half_width_percent, 0))
                    " percentage points, by the spread that all cells share. " code { "driftless plan" } " prints the cards." }
                ul.reasons { @for of in &analysis.more_runs { li { (advice::more_runs(&analysis.campaign, of)) } } }
            }
        }
    }
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
