//! What matters first: whatever keeps the result from being taken at face value.

use crate::html::front::Alert;
use crate::html::parts::{clean, sentence};
use crate::reasons::problems;
use driftless_analysis::{Favoured, Finding, FlightAnalysis, Severity};
use driftless_display::reasons::{disagreement, reason};
use driftless_display::{DisplayUnits, count_of};

/// What keeps the result from being taken at face value.
pub(crate) fn collect(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<Alert> {
    let mut alerts = Vec::new();
    let mut warn = |severity, words: String, help: Option<String>| alerts.push(Alert { severity, words, help });
    for problem in problems(analysis, units).iter().filter(|p| p.severity != Severity::Note) {
        let count = if problem.count > 1 { format!(" ({} of this kind)", problem.count) } else { String::new() };
        warn(
            problem.severity,
            format!("{}{count}.", clean(problem.message.trim_end_matches('.'))),
            problem.help.as_deref().map(sentence),
        );
    }
    // Why the wind is not known stands among the problems; here only what it means for the page.
    if analysis.estimate.is_none() {
        warn(
            Severity::Error,
            "the flight could not be estimated; what remains is the track over the ground.".to_owned(),
            None,
        );
    } else if analysis.wind_unknown().is_some() && analysis.accepted().next().is_none() {
        warn(
            Severity::Error,
            "headings and turn rates are not known; what remains is the track and the course over the ground."
                .to_owned(),
            None,
        );
    }
    for measured in analysis.accepted() {
        let id = measured.window.id;
        // For which airspeeds its rate holds stands among the problems, once for all windows.
        let of_its_own = measured.verdict.findings.iter().filter(|f| !matches!(f, Finding::AirspeedOpen { .. }));
        for finding in of_its_own {
            warn(Severity::Warning, format!("window {id}: {}.", reason(finding, units)), None);
        }
        if let Some(words) = disagreement(analysis, measured, units) {
            let open = analysis.disagreement(measured) == Some(Favoured::Neither);
            let look = || "Look at its heading chart before using the figure.".to_owned();
            // Where the log speaks for the main figure there is nothing to do.
            let severity = if open { Severity::Warning } else { Severity::Note };
            warn(severity, format!("window {id}: {words}."), open.then(look));
        }
    }
    let refused = analysis.windows.iter().filter(|w| !w.accepted()).count();
    if refused > 0 {
        warn(
            Severity::Note,
            format!(
                "{} refused; why stands under the windows in numbers.",
                count_of(refused, "window was", "windows were")
            ),
            None,
        );
    }
    alerts
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sample::round_flight;
    use driftless_units::{Estimate, TurnRate};

    /// Six standard uncertainties apart: a warning where the log speaks for neither, a note where it speaks for the main figure.
    #[test]
    fn a_second_opinion_that_differs_is_a_warning_only_where_it_is_open_which_is_right() {
        let mut analysis = round_flight();
        let rate = analysis.windows[0].turn_rate.expect("a rate").value;
        let second = analysis.windows[0].second_opinion.as_mut().expect("a second opinion");
        second.turn_rate = Estimate::new(TurnRate::from_deg_s(rate.deg_s() + 1.0), TurnRate::from_deg_s(0.15));
        second.apart = -6.0;
        let told = |analysis: &FlightAnalysis| {
            let alerts = collect(analysis, &DisplayUnits::default());
            let of_second = alerts.into_iter().find(|alert| alert.words.contains("second opinion"));
            of_second.map(|alert| (alert.severity, alert.help.is_some())).expect("told")
        };
        assert_eq!(told(&analysis), (Severity::Warning, true));
        analysis.windows[0].second_opinion.as_mut().expect("a second opinion").with_window_wind = Some(rate);
        assert_eq!(told(&analysis), (Severity::Note, false));
    }
}
