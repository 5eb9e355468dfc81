//! All that a flight's report has to tell beside its figures: problems met while reading, and what the analysis found.

use driftless_analysis::{FlightAlert, FlightAnalysis, Problem};
use driftless_display::DisplayUnits;
use driftless_display::reasons::{
    airspeed_strained, compass_doubts, compass_not_calibrated, gyro_left_out, not_aligned, rate_holds, wind_advice,
    wind_unknown,
};

/// Problems of reading first, then the alerts of the analysis in the same form.
pub(crate) fn problems(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<Problem> {
    let alerts = analysis.alerts.iter().map(|alert| problem(alert, units));
    analysis.problems.iter().cloned().chain(alerts).collect()
}

const UNALIGNED_HELP: &str = "check that the file is of this flight and has gyro and accelerometer, that the sensor was \
                              fixed to the pilot, and that the flight has turns; it is reported without the sensor";
const SENSOR_COMPASS_HELP: &str =
    "keep the sensor away from engine and metal, and fly full circles both ways; the compass is shown and left out";
const MARK_THEM: &str = "mark let-go and take-over in the log, or give their times in a marks file";

fn problem(alert: &FlightAlert, units: &DisplayUnits) -> Problem {
    let (message, help) = match alert {
        FlightAlert::WindNotKnown(why) => {
            (format!("the wind cannot be told from this flight: {}", wind_unknown(why, units)), wind_advice(why))
        }
        FlightAlert::AirspeedOpen { why, slowest_mps, fastest_mps, strained_mps } => (
            format!(
                "the wind cannot be told from this flight: {}; {}{}",
                wind_unknown(why, units),
                rate_holds(*slowest_mps, *fastest_mps, units),
                strained_mps.map_or_else(String::new, |[mean_mps, believed_mps]| {
                    format!("; {}", airspeed_strained(mean_mps, believed_mps, units))
                })
            ),
            wind_advice(why),
        ),
        FlightAlert::NotSettled { passes } => (
            format!(
                "the estimate did not settle in {passes} passes: its turn rates may still be off by a part of their margins"
            ),
            "hold them against the second opinion",
        ),
        FlightAlert::NoWindows => ("nothing is marked, and no steady span was found".to_owned(), MARK_THEM),
        FlightAlert::CandidatesOnly => (
            "nothing is marked: the windows are steady spans that were found, and the hands may have been on"
                .to_owned(),
            MARK_THEM,
        ),
        FlightAlert::SensorNotAligned(why) => (not_aligned(why), UNALIGNED_HELP),
        FlightAlert::GyroLeftOut(why) => (
            format!("the gyro has no part in the turn rates: {}", gyro_left_out(why)),
            "fly some turns both ways before the windows, and fix the sensor well",
        ),
        FlightAlert::CompassLeftOut(doubts) => (
            format!("the recorded compass has no part in the turn rates: {}", compass_doubts(doubts)),
            "none is needed; a compass helps when it is fixed along the flight direction, away from engine and metal",
        ),
        FlightAlert::SensorCompassLeftOut(doubts) => {
            (format!("the compass is not consistent: {}", compass_doubts(doubts)), SENSOR_COMPASS_HELP)
        }
        FlightAlert::SensorCompassNotCalibrated(why) => (compass_not_calibrated(why), SENSOR_COMPASS_HELP),
    };
    Problem {
        code: alert.code(),
        severity: alert.severity(),
        message: message.replace('\u{a0}', " "),
        line: None,
        byte: None,
        count: 1,
        help: Some(help.to_owned()),
    }
}
