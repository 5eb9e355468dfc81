//! The windows of a flight as a marks file, to be edited and given back.

use crate::json::utc;
use crate::outlet::table;
use driftless_analysis::{FlightAnalysis, HandsOff, PowerKnown, Scenario, WindowMeasurement};
use driftless_display::window_scenario_words;

/// What an edited file has to be checked for; lines that begin with `#` are comments to the reader.
const HEAD: &str = "\
# Windows of this flight: let-go and take-over in UTC. Delete the rows in which your hands were on the brakes, correct the
# times, name scenario and set-up, then give the file back with --marks: a row says that the hands were off.
";

/// A marks file with a row for each window, marked and found, accepted and refused.
///
/// # Errors
/// None that an analysis can cause; the writer's own error type is passed on rather than hidden.
pub fn marks_csv(analysis: &FlightAnalysis) -> Result<String, csv::Error> {
    let names = ["let_go", "take_over", "scenario", "setup", "note"].map(str::to_owned).to_vec();
    let rows = analysis.windows.iter().map(|measured| row(analysis, measured));
    Ok(format!("{HEAD}{}", table(std::iter::once(names).chain(rows))?))
}

fn row(analysis: &FlightAnalysis, measured: &WindowMeasurement) -> Vec<String> {
    let window = &measured.window;
    let time = |t_s| utc(analysis.track.time_at(t_s));
    // A row vouches for what it names: a power that nobody said or recorded is for the reader to name.
    let (scenario, seen) = match (window.scenario, PowerKnown::of(window)) {
        (Scenario::Unclassified, _) => ("", None),
        (known, PowerKnown::Known) => (known.name(), None),
        _ => ("", Some(window_scenario_words(window))),
    };
    let found = match (window.hands_off, measured.accepted()) {
        (HandsOff::Confirmed, _) => None,
        (HandsOff::Candidate, true) => Some(format!("candidate {}", window.id)),
        (HandsOff::Candidate, false) => Some(format!("candidate {}, refused", window.id)),
    };
    let found: Vec<String> = found.into_iter().chain(seen.map(str::to_owned)).collect();
    vec![
        time(window.let_go_s),
        time(window.take_over_s),
        scenario.to_owned(),
        window.setup.clone().unwrap_or_default(),
        window.note.clone().unwrap_or_else(|| found.join(", ")),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sample::round_flight as flight;

    #[test]
    fn each_window_has_its_row() {
        let mut analysis = flight();
        analysis.windows[0].window.setup = Some("=Heron".to_owned());
        let text = marks_csv(&analysis).expect("a file");
        let rows: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
        assert_eq!(rows[0], "let_go,take_over,scenario,setup,note");
        assert_eq!(rows.len(), 4);
        assert!(rows[1].ends_with("Z,trim-level,'=Heron,"), "a cell that a spreadsheet would compute: {}", rows[1]);
        assert!(rows[2].ends_with("Z,full-power-climb,,candidate 2"), "{}", rows[2]);
        assert!(rows[3].ends_with("Z,,,\"candidate 3, refused\""), "{}", rows[3]);
    }

    #[test]
    fn a_power_that_nobody_recorded_is_for_the_reader_to_name() {
        let mut analysis = flight();
        analysis.windows[1].window.scenario_basis = driftless_analysis::ScenarioBasis::ClimbOnly;
        let text = marks_csv(&analysis).expect("a file");
        let rows: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
        assert!(rows[2].ends_with("Z,,,\"candidate 2, climb (power not recorded)\""), "{}", rows[2]);
    }
}
