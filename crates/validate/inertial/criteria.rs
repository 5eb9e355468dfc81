//! What is wanted of inertial data, and whether a run meets it.

use super::InertialStudyScore;
use super::figures::{GPS_ALONE, WITH_GYRO, covered, error, error_ratio, flights, per_flight, rates, share_of};
use super::study::{COMPASS_WINDOW_S, CompassState, Kind};
use crate::statistics::Figure;
use driftless_sim::reference::AirClass;

/// Error wanted over a minute and over ten seconds in moderate air, °/s.
const WANTED_DEG_S: [(u32, f64); 2] = [(60, 0.03), (10, 0.12)];
/// Share of 95 % intervals that should hold the truth, %.
const WANTED_COVERAGE: [f64; 2] = [94.0, 96.0];
/// Error of the clock offset wanted, s.
const WANTED_CLOCK_S: f64 = 0.05;
/// Of flights without turns at least this share should be refused, or held by their interval, %.
const WANTED_NO_TURNS: f64 = 95.0;
/// Of sound compasses at least this share should be used, of disturbed ones left out, % (chosen, no source).
const WANTED_COMPASS: f64 = 95.0;
/// A magnetometer, sound or not, should not make turn rates worse than those of the same flights without by more than this
/// (chosen, no source).
const WANTED_HARM: f64 = 1.1;

/// Whether a wish is met, with the uncertainty of the figure itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// By more than two standard errors.
    Met,
    /// The figure is inside, the limit within two standard errors of it.
    JustMet,
    /// The figure is outside, the limit within two standard errors of it.
    JustMissed,
    /// By more than two standard errors.
    Missed,
    /// Nothing was measured.
    Unknown,
}

impl Verdict {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Met => "pass",
            Self::JustMet => "pass, limit within 2 standard errors",
            Self::JustMissed => "FAIL, limit within 2 standard errors",
            Self::Missed => "FAIL",
            Self::Unknown => "not measured",
        }
    }
}

/// One wish.
#[derive(Debug, Clone, PartialEq)]
pub struct Criterion {
    /// What is measured.
    pub what: String,
    /// What it should be, as words.
    pub wanted: String,
    /// Lowest and highest value wanted.
    pub limits: [f64; 2],
    /// The figure.
    pub got: Figure,
    /// Whether the figure is a share in percent.
    pub share: bool,
    /// Places shown.
    pub places: usize,
}

impl Criterion {
    fn at_most(what: String, most: f64, got: Figure) -> Self {
        Self { what, wanted: format!("≤ {most}"), limits: [f64::NEG_INFINITY, most], got, share: false, places: 4 }
    }

    fn at_least(what: String, least: f64, got: Figure) -> Self {
        Self { what, wanted: format!("≥ {least}"), limits: [least, f64::INFINITY], got, share: true, places: 1 }
    }

    fn between(what: String, limits: [f64; 2], got: Figure) -> Self {
        Self { what, wanted: format!("{} to {}", limits[0], limits[1]), limits, got, share: true, places: 1 }
    }

    /// Whether it is met.
    pub fn verdict(&self) -> Verdict {
        let Figure { value, std_error, count } = self.got;
        if !value.is_finite() {
            return Verdict::Unknown;
        }
        let [low, high] = self.limits;
        // How far inside the nearer limit the figure lies; negative outside.
        let inside = (value - low).min(high - value);
        // A share of all or none has no scatter of its own; at the limit it would have that of the binomial distribution.
        let limit = 0.01 * if value - low < high - value { low } else { high };
        let binomial = if self.share { 100.0 * (limit * (1.0 - limit) / count as f64).sqrt() } else { 0.0 };
        let near = inside.abs() < 2.0 * std_error.max(binomial);
        match (inside >= 0.0, near) {
            (true, false) => Verdict::Met,
            (true, true) => Verdict::JustMet,
            (false, true) => Verdict::JustMissed,
            (false, false) => Verdict::Missed,
        }
    }
}

/// All wishes for which something was flown.
pub fn criteria(scores: &[InertialStudyScore]) -> Vec<Criterion> {
    [windows(scores), clocks(scores), compasses(scores)].concat()
}

fn windows(scores: &[InertialStudyScore]) -> Vec<Criterion> {
    let mut all = Vec::new();
    for (seconds, most_deg_s) in WANTED_DEG_S {
        let flown = flights(scores, AirClass::Moderate, Kind::Windows(seconds));
        if !flown.is_empty() {
            let what = format!("{seconds} s, moderate air: rms error with gyro, °/s");
            all.push(Criterion::at_most(what, most_deg_s, error(&rates(flown, WITH_GYRO))));
        }
    }
    for (road, pick) in [("with gyro", WITH_GYRO), ("GPS alone", GPS_ALONE)] {
        for (seconds, _) in WANTED_DEG_S {
            for class in AirClass::ALL {
                let flown = flights(scores, class, Kind::Windows(seconds));
                if !flown.is_empty() {
                    let what = format!("{seconds} s, {} air, {road}: in the 95 % interval, %", class.name());
                    all.push(Criterion::between(what, WANTED_COVERAGE, covered(&rates(flown, pick), 0.95)));
                }
            }
        }
    }
    all
}

fn clocks(scores: &[InertialStudyScore]) -> Vec<Criterion> {
    let mut all = Vec::new();
    let of = |kind| AirClass::ALL.map(|class| (class.name(), flights(scores, class, kind)));
    let turning = || of(Kind::Windows(60)).into_iter().filter(|(_, flown)| !flown.is_empty());
    for (air, flown) in turning() {
        let what = format!("clock offset, {air} air: rms error, s");
        all.push(Criterion::at_most(what, WANTED_CLOCK_S, error(&per_flight(flown, |f| f.clock))));
    }
    for (air, flown) in turning() {
        let what = format!("clock offset, {air} air: in the 95 % interval, %");
        all.push(Criterion::between(what, WANTED_COVERAGE, covered(&per_flight(flown, |f| f.clock), 0.95)));
    }
    for (air, flown) in of(Kind::NoTurns).into_iter().filter(|(_, flown)| !flown.is_empty()) {
        let what = format!("no turns, {air} air: clock refused, or held by its 95 % interval, %");
        let honest = share_of(flown, |f| f.clock.is_none_or(|j| j.covered(0.95)));
        all.push(Criterion::at_least(what, WANTED_NO_TURNS, honest));
    }
    all
}

fn compasses(scores: &[InertialStudyScore]) -> Vec<Criterion> {
    let mut all = Vec::new();
    for state in CompassState::ALL {
        for class in AirClass::ALL {
            let flown = flights(scores, class, Kind::Compass(state));
            if flown.is_empty() {
                continue;
            }
            let sound = state == CompassState::Sound;
            let judged = if sound { "found consistent" } else { "left out" };
            let what = format!("compass {}, {} air: {judged}, %", state.name(), class.name());
            let right = share_of(flown, |f| f.compass.as_ref().is_some_and(|c| c.consistent) == sound);
            all.push(Criterion::at_least(what, WANTED_COMPASS, right));
        }
    }
    for state in CompassState::ALL {
        for class in AirClass::ALL {
            let flown = flights(scores, class, Kind::Compass(state));
            let without = flights(scores, class, Kind::Windows(COMPASS_WINDOW_S));
            if !flown.is_empty() && !without.is_empty() {
                let what =
                    format!("compass {}, {} air: error of turn rates over that without", state.name(), class.name());
                all.push(Criterion::at_most(what, WANTED_HARM, error_ratio(flown, without, WITH_GYRO)));
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn verdicts_know_how_sure_a_figure_is() {
        let verdict = |value, std_error| {
            let got = Figure { value, std_error, count: 3000 };
            Criterion::between(String::new(), WANTED_COVERAGE, got).verdict()
        };
        assert_eq!(verdict(95.0, 0.4), Verdict::Met);
        assert_eq!(verdict(95.0, 1.0), Verdict::JustMet);
        assert_eq!(verdict(93.0, 1.0), Verdict::JustMissed);
        assert_eq!(verdict(90.0, 1.0), Verdict::Missed);
        assert_eq!(verdict(98.0, 0.5), Verdict::Missed);
        let all = |count| {
            let got = Figure { value: 100.0, std_error: 0.0, count };
            Criterion::between(String::new(), WANTED_COVERAGE, got).verdict()
        };
        assert_eq!([all(20), all(2000)], [Verdict::JustMissed, Verdict::Missed]);
        assert_eq!(verdict(f64::NAN, 0.5), Verdict::Unknown);
    }
}
