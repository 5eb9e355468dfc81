//! What stands at the back of a flight's page alone: its problems, how to read its figures, its log.

use super::back::{self, Inputs};
use super::fold::{Paper, fold};
use super::parts::sentence;
use crate::finding::typical_days_words;
use crate::known::bare_name;
use driftless_analysis::{FlightAnalysis, Problem};
use driftless_display::{DisplayUnits, TurnUnit, severity_words};
use maud::{Markup, html as markup};

/// All problems found, grouped, with place and advice.
pub(super) fn problems(analysis: &FlightAnalysis, units: &DisplayUnits) -> Markup {
    let problems = crate::reasons::problems(analysis, units);
    markup! {
        section aria-labelledby="problems" {
            @if problems.is_empty() {
                h2 id="problems" { "Problems found" }
                p { "None." }
            } @else {
                (fold(&markup! { h2 id="problems" { "Problems found (" (problems.len()) ")" } }, Paper::Whole, &markup! {
                div.scroll {
                    table.words {
                        caption { "Like problems are grouped; the place is that of the first" }
                        thead { tr {
                            th scope="col" { "Kind" } th scope="col" { "How bad" } th scope="col" { "Count" }
                            th scope="col" { "Place" } th scope="col" { "What and what to do" }
                        } }
                        tbody { @for problem in &problems { tr {
                            th scope="row" { (problem.code) }
                            td { (severity_words(problem.severity)) }
                            td { (problem.count) }
                            td { (place(problem)) }
                            td { (sentence(&problem.message)) @if let Some(help) = &problem.help { span.help { " " (sentence(help)) } } }
                        } } }
                    }
                }
                }))
            }
        }
    }
}

fn place(problem: &Problem) -> String {
    // Lines of an inertial file are not those of the log.
    let (whole, of) =
        if problem.code.starts_with("imu-") { ("inertial data", "inertial file, ") } else { ("whole log", "") };
    match (problem.line, problem.byte) {
        (Some(line), Some(byte)) => format!("{of}line {line}, byte {byte}"),
        (Some(line), None) => format!("{of}line {line}"),
        (None, Some(byte)) => format!("{of}byte {byte}"),
        (None, None) => whole.to_owned(),
    }
}

/// What the figures mean.
pub(super) fn how_to_read(units: &DisplayUnits) -> Markup {
    back::reading(&markup! {
        li { "Heading is where the aircraft points through the air, course where it goes over the ground. A turn \
              to the right is positive. Angles are from true north, clockwise; the wind is named by where it \
              comes from." }
        li { "± is the 95 % margin, half of the 95 % interval: in 95 of 100 such cases the truth lies inside. It is \
              shown with at most two digits, and the value is rounded to match." }
        li { strong { "The set-up" } " (diamond) is what the aircraft does by itself: the mean of its windows, the wander that \
              turbulence put into each counted as uncertainty. It is the figure to take home and to compare. "
             strong { "One window, another day" } " is what a single further window may show; one day does not tell how far \
              days differ, and " (typical_days_words()) " is taken as typical." }
        li { strong { "This window" } " (disc) is what the aircraft did between two times: the change of heading over the \
              time. " strong { "Ground course" } " (cross) is what the track says with the wind left in: it is shown to see \
              the difference, and is not a result." }
        li { "The " strong { "second opinion" } " (triangle) fits a drifting circle to the window alone, with wind from the rest \
              of the flight. The page tells where it differs by more than chance brings about once in twenty such pages." }
        li { strong { "Confirmed" } " means that somebody marked let-go and take-over; a " strong { "candidate" }
             " is a steady span that only looks hands-off." }
        li { "A window that was refused stays in the report with its reason and counts for nothing." }
        @if units.turn == TurnUnit::SecondsPer90 {
            li { "Turn rates in words are given in seconds per 90°; tables and scales stay in °/s, because no \
                  turn at all has no place on a scale of seconds." }
        }
    })
}

/// How the page came to be.
pub(super) fn made_by(analysis: &FlightAnalysis) -> Markup {
    let inertial = analysis.inertial.iter().flat_map(|i| &i.files);
    let files = inertial.map(|f| (f.name.as_str(), f.sha256.as_str())).collect();
    let inputs = Inputs { kind: "log", file: bare_name(&analysis.file), further: "Inertial files", files };
    back::made_by(&analysis.made_by, &inputs)
}
