//! What to know before reading a campaign's figures, in words.

use driftless_analysis::campaign::{CampaignAlertKind, CampaignAnalysis, CellKey};
use driftless_display::reasons::{file_not_used, flight_failure};
use driftless_display::{DisplayUnits, count_of};
use driftless_units::printable;

/// Cells named in one alert.
const MOST_NAMED: usize = 4;

/// What it is, as a clause.
pub(super) fn message(analysis: &CampaignAnalysis, units: &DisplayUnits, kind: &CampaignAlertKind) -> String {
    let cell = |key: &CellKey| analysis.words(*key);
    match kind {
        CampaignAlertKind::NoCells => "no run counts, so there is nothing to compare".to_owned(),
        CampaignAlertKind::FlightNotUsable { flight, why } => format!("flight {flight}: {}", flight_failure(why)),
        CampaignAlertKind::FileNotUsed { flight, log, why } => {
            format!("flight {flight}: {}: {}", printable(log), file_not_used(why))
        }
        CampaignAlertKind::NoWindowToLeaveOut { flight, window } => {
            format!("flight {flight}: window {window} was to be left out, but there is none of that number")
        }
        CampaignAlertKind::NoWindowWithWeight { flight, window } => {
            format!("flight {flight}: window {window} was flown with a known weight, but there is none of that number")
        }
        CampaignAlertKind::FlightWithoutRuns { flight, windows: 0 } => {
            format!("flight {flight}: no hands-off window was marked or found")
        }
        CampaignAlertKind::FlightWithoutRuns { flight, windows } => {
            format!("flight {flight}: none of its windows counts ({windows} looked at)")
        }
        CampaignAlertKind::LogTwice { flight, same_as } => {
            format!("flight {flight}: its log is the same, byte for byte, as that of {same_as}; its runs count twice")
        }
        CampaignAlertKind::TimedAnotherRun { stopwatch, log } => {
            format!("the stopwatch run names {}, its log is of {}", cell(stopwatch), cell(log))
        }
        CampaignAlertKind::CellNotCombined { cell: key, error } => {
            format!("{}: its runs cannot be combined: {error}", cell(key))
        }
        CampaignAlertKind::SpreadNotShared { error } => {
            format!("the cells cannot share what their repeats say of the spread from run to run: {error}")
        }
        CampaignAlertKind::RepeatsDiffer { cells, of, .. } => {
            let named: Vec<String> = cells
                .iter()
                .take(MOST_NAMED)
                .map(|(key, spread)| format!("{} ({})", cell(key), bare(units, *spread)))
                .collect();
            let more = cells.len().saturating_sub(MOST_NAMED);
            let rest = if more > 0 { format!("; and {more} more") } else { String::new() };
            format!(
                "repeats differ by more than their own uncertainties explain in {} of {of} cells (spread from run to \
                 run): {}{rest}",
                cells.len(),
                named.join("; ")
            )
        }
        CampaignAlertKind::RunStandsApart { cell: key, run, rate_deg_s } => {
            format!("{}: the run {run} ({}) stands apart from the others", cell(key), bare(units, *rate_deg_s))
        }
        CampaignAlertKind::SingleRuns { cells, of, repeats } => {
            let which = match cells.as_slice() {
                all if all.len() == *of => "every cell was flown on a single day".to_owned(),
                [one] => format!("{} was flown on a single day", cell(one)),
                few => format!("{} of {of} cells were flown on a single day", few.len()),
            };
            match repeats {
                0 => format!("{which}; how far days differ is not known, and the intervals allow for a typical spread"),
                _ => format!(
                    "{which}; the intervals allow for the spread that {} of other cells show",
                    count_of(*repeats, "repeat", "repeats")
                ),
            }
        }
        CampaignAlertKind::CompensationNotWorkedOut { cell: key, error } => format!("{}: {error}", cell(key)),
        CampaignAlertKind::BaselineNotFlown { baseline } => {
            format!("{} was not flown, so there is no compensation for what is held against it", cell(baseline))
        }
        CampaignAlertKind::PowerNotRecorded { flight, windows } => format!(
            "flight {flight}: nobody named the scenario of {} or recorded the power; {} by climb and airspeed alone",
            count_of(windows.len(), "window", "windows"),
            if windows.len() == 1 { "it is sorted" } else { "they are sorted" }
        ),
        CampaignAlertKind::NoBaseline { setup } => format!(
            "{}: no baseline is named, so nothing is said on how much of the turn it compensates",
            analysis.campaign.setup(*setup).name
        ),
    }
}

/// What to do about it, as a clause.
pub(super) const fn help(kind: &CampaignAlertKind) -> &'static str {
    match kind {
        CampaignAlertKind::NoCells => {
            "add flights with marked hands-off windows, or stopwatch runs, to the campaign file"
        }
        CampaignAlertKind::FlightNotUsable { .. } => "see the log by itself",
        CampaignAlertKind::FileNotUsed { .. } => "its runs count without that file; see the log by itself",
        CampaignAlertKind::NoWindowToLeaveOut { .. } | CampaignAlertKind::NoWindowWithWeight { .. } => {
            "look at the flight's own report"
        }
        CampaignAlertKind::FlightWithoutRuns { .. } => "the reasons stand in the list of runs left out",
        CampaignAlertKind::LogTwice { .. } => "leave one of the two out",
        CampaignAlertKind::TimedAnotherRun { .. } => {
            "check set-up, wing, scenario, flight and window of the run; the log counts"
        }
        CampaignAlertKind::CellNotCombined { .. } => "look at its runs one by one",
        CampaignAlertKind::SpreadNotShared { .. } => {
            "each cell stands by itself; single runs are surer of a day than of the next"
        }
        CampaignAlertKind::RepeatsDiffer { .. } => {
            "look for what was not the same: rigging, loading, power, hands; the intervals are as wide as the repeats \
             demand"
        }
        CampaignAlertKind::RunStandsApart { .. } => {
            "it is in the mean all the same; if something was wrong with it, leave it out by name, with the reason"
        }
        CampaignAlertKind::SingleRuns { .. } => "repeat on another day",
        CampaignAlertKind::CompensationNotWorkedOut { .. } => "look at the runs of both cells",
        CampaignAlertKind::BaselineNotFlown { .. } => {
            "fly the baseline on the same wing and in the same scenario; until then judge by the residual turn"
        }
        CampaignAlertKind::PowerNotRecorded { .. } => {
            "name the scenario in the marks, or for the flight in the campaign file"
        }
        CampaignAlertKind::NoBaseline { .. } => "fly the same power unit and wing without torque device",
    }
}

/// A turn rate in the unit of a scale, with two decimals of °/s.
fn bare(units: &DisplayUnits, deg_s: f64) -> String {
    format!("{}\u{a0}{}", units.turn_number(deg_s, 2), units.turn.sign())
}
