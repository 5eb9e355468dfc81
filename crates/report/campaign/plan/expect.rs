//! What to expect of a run, in the words of its card: the side, about how fast, the bank; and what would be otherwise.

use driftless_analysis::campaign::{CampaignAnalysis, CellKey, ExpectedTurn, KnownBy, expected_turn};
use driftless_display::fixed;

/// What stands on the card.
pub(super) struct Expectation {
    /// "right, about 7 °/s (90° in 13 s), bank 9°".
    pub(super) expect: String,
    /// "it turns left, or faster than 9 °/s (90° in 10 s)".
    pub(super) stop_when: String,
    /// Whether anything is known.
    pub(super) known: bool,
}

/// Below this nobody sees a turn, °/s: a degree in two seconds. Engineering judgement.
const HARDLY_DEG_S: f64 = 0.5;

/// A turn below this is no reason to stop, °/s: a quarter turn in 45 s. Engineering judgement.
const NOTICED_DEG_S: f64 = 2.0;

pub(super) fn expectation(analysis: &CampaignAnalysis, key: CellKey) -> Expectation {
    match expected_turn(analysis, key) {
        Some(of) => known(&of),
        None => Expectation {
            expect: "not known: the first run of this combination".to_owned(),
            stop_when: "it turns more than you like; begin with short releases".to_owned(),
            known: false,
        },
    }
}

fn known(of: &ExpectedTurn) -> Expectation {
    let day = of.another_day_deg_s;
    let fastest = day.low.abs().max(day.high.abs());
    let by = if of.known_by == KnownBy::DeviceModel { " (by the model of the device, not flown yet)" } else { "" };
    let bank =
        of.bank_deg().filter(|bank| *bank >= 0.5).map_or(String::new(), |bank| format!(", bank {}°", fixed(bank, 0)));
    let one_way = day.low * day.high > 0.0;
    let side = if of.turn_deg_s > 0.0 { ("right", "left") } else { ("left", "right") };
    let expect = if one_way && of.turn_deg_s.abs() >= HARDLY_DEG_S {
        format!("{}, {}{bank}{by}", side.0, pace("about", of.turn_deg_s.abs()))
    } else if one_way {
        format!("hardly a turn, {} if any{by}", side.0)
    } else {
        format!("hardly a turn, either way{by}")
    };
    let most = up(fastest.max(NOTICED_DEG_S));
    let stop_when = if !fastest.is_finite() {
        "it does otherwise".to_owned()
    } else if one_way && of.turn_deg_s.abs() >= NOTICED_DEG_S {
        format!("it turns {}, or {}", side.1, pace("faster than", most))
    } else {
        format!("it turns {}, whichever way", pace("faster than", most))
    };
    Expectation { expect, stop_when, known: true }
}

/// "about 7 °/s (90° in 13 s)": nobody in the air reads degrees a second, but everybody can count a quarter turn.
fn pace(how: &str, deg_s: f64) -> String {
    let places = if deg_s < NOTICED_DEG_S { 1 } else { 0 };
    format!("{how}\u{a0}{}\u{a0}°/s (90° in {}\u{a0}s)", fixed(deg_s, places), fixed(90.0 / deg_s, 0))
}

/// Rounded up, so that no run that goes as expected is called off by rounding.
fn up(deg_s: f64) -> f64 {
    deg_s.ceil()
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_units::Interval;

    fn card(turn_deg_s: f64, low: f64, high: f64, airspeed_mps: Option<f64>) -> Expectation {
        let another_day_deg_s = Interval { low, high };
        known(&ExpectedTurn { turn_deg_s, another_day_deg_s, airspeed_mps, known_by: KnownBy::Runs(3) })
    }

    /// tan φ = V ω / g: 12.6 m/s at 7 °/s is 12.6 · 0.1222 / 9.807 = 0.157, 8.9°; 90° at 7 °/s take 12.9 s.
    #[test]
    fn derived_side_pace_and_bank() {
        let of = card(7.0, 5.5, 8.4, Some(12.6));
        assert_eq!(of.expect.replace('\u{a0}', " "), "right, about 7 °/s (90° in 13 s), bank 9°");
        assert_eq!(of.stop_when.replace('\u{a0}', " "), "it turns left, or faster than 9 °/s (90° in 10 s)");
        assert_eq!(card(-3.1, -3.6, -2.5, None).expect.replace('\u{a0}', " "), "left, about 3 °/s (90° in 29 s)");
    }

    #[test]
    fn derived_no_side_is_named_that_the_days_do_not_show() {
        let of = card(0.1, -0.4, 0.6, Some(10.0));
        assert_eq!(of.expect, "hardly a turn, either way");
        assert_eq!(of.stop_when.replace('\u{a0}', " "), "it turns faster than 2 °/s (90° in 45 s), whichever way");
    }
}
