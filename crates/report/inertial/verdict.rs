//! Whether the sensor helps, in words: first what part it has in this report, then how quiet it is.

use crate::html::parts::{sentence, stopped};
use driftless_analysis::{FlightAnalysis, InertialAnalysis, InertialStatus, SensorsUsed};
use driftless_display::inertial::{gain, gain_words, own_noise, sources};
use driftless_display::reasons::{gyro_left_out, why_not_used};

/// What part the inertial data has in the turn rates, and why no more.
pub(super) fn part(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> String {
    let why = why_not_used(&inertial.status).unwrap_or_default();
    match &inertial.status {
        InertialStatus::Used(used) => taken_in(analysis, inertial, used),
        InertialStatus::NotUsed(_) => format!(
            "The sensor does not help: it is aligned with the flight, but has no part in the turn rates of this report, \
             which rest on GPS alone. {} What the sensor says stands beside them.",
            sentence(&why)
        ),
        InertialStatus::NotAligned(_) => format!(
            "The sensor does not help: it cannot be aligned with the flight, and the turn rates of this report rest on GPS \
             alone. {}",
            sentence(&why)
        ),
        // It begins with the name of the file, which keeps its letters.
        InertialStatus::NotRead(_) => format!(
            "The sensor does not help: no inertial file could be read, and the turn rates of this report rest on GPS alone. \
             {}",
            stopped(&why)
        ),
    }
    .trim_end()
    .to_owned()
}

/// What part the sensors have that took part.
fn taken_in(analysis: &FlightAnalysis, inertial: &InertialAnalysis, used: &SensorsUsed) -> String {
    let gained = match gain_words(analysis) {
        Some(words) => format!("their intervals are {words}"),
        None => "there is no window to show what that gains".to_owned(),
    };
    let helps = match gain(analysis) {
        Some((ratio, _)) if ratio < 1.1 => "The sensor helps little here",
        Some(_) => "The sensor helps",
        None => "The sensor was taken in",
    };
    let together = sources(inertial);
    let (parts, gyro) = match used {
        SensorsUsed::GyroAndCompass => ("gyro and compass", String::new()),
        SensorsUsed::Gyro => ("gyro", String::new()),
        SensorsUsed::Compass(why) => ("compass", format!(" The gyro has no part: {}", stopped(&gyro_left_out(why)))),
    };
    format!(
        "{helps}: its {parts} took part in the estimate, the turn rates of this report rest on {together} together, and \
         {gained}.{gyro}"
    )
}

/// How quiet the sensor is; nothing for one whose gyro is dead, for what is left of it says nothing.
pub(super) fn noise(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> Option<String> {
    let dead = analysis.problems.iter().any(|p| p.code == "imu-gyro-axis-dead");
    inertial.own_noise.as_ref().filter(|_| !dead).map(|noise| sentence(&own_noise(noise)))
}

/// All of it.
pub(super) fn verdict(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> String {
    let words = [Some(part(analysis, inertial)), noise(analysis, inertial)];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}
