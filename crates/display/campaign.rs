//! Figures of a campaign in words, rounded once, each with its interval.

mod setting;

pub use setting::{best_setting, setting, setting_alone, setting_unit};

use crate::{DisplayUnits, TurnSide, fixed, places_for, round_to_places, turn_side, turn_without_sign};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::statistics::fieller::Compensation;
use driftless_analysis::campaign::{CampaignAnalysis, CellKey};
use driftless_units::{Estimate, Interval, TurnRate};

/// Which scenarios a figure goes over, and what each counts: "at trim level", or "over trim level and full-power climb,
/// weighed 3 : 2". `words` names a scenario.
pub fn weighed(scenarios: &[(Scenario, f64)], words: impl Fn(Scenario) -> &'static str) -> String {
    let each: Vec<String> = scenarios.iter().map(|(scenario, _)| words(*scenario).to_owned()).collect();
    if scenarios.len() == 1 {
        format!("at {}", join(&each))
    } else if scenarios.windows(2).all(|pair| matches!(pair, [(_, one), (_, next)] if one == next)) {
        format!("over {}, weighed alike", join(&each))
    } else {
        format!("over {}, weighed {}", join(&each), ratio(scenarios))
    }
}

/// "3 : 1 : 2 : 1": what each scenario counts, in their order.
pub fn ratio(scenarios: &[(Scenario, f64)]) -> String {
    let weights: Vec<String> = scenarios.iter().map(|(_, weight)| weight.to_string()).collect();
    weights.join("\u{a0}:\u{a0}")
}

/// A scenario in the head of a narrow column.
pub const fn short_scenario(scenario: Scenario) -> &'static str {
    match scenario {
        Scenario::TrimLevel => "trim",
        Scenario::AcceleratedLevel => "accelerated",
        Scenario::FullPowerClimb => "climb",
        Scenario::PowerOffGlide => "glide",
        Scenario::Unclassified => "unclassified",
    }
}

/// "at trim level", "in the power-off glide".
pub fn at(scenario: Scenario) -> String {
    let preposition = match scenario {
        Scenario::FullPowerClimb | Scenario::PowerOffGlide => "in the",
        _ => "at",
    };
    format!("{preposition} {}", scenario.words())
}

/// "± 9 points": the margin of a compensation in percentage points, or that it has none.
pub fn points(margin: Option<f64>) -> String {
    match margin.and_then(|margin| Some((margin, places_for(margin)?))) {
        Some((margin, places)) => format!("±\u{a0}{}\u{a0}points", round_to_places(margin, places.min(1))),
        None => "without bounds".to_owned(),
    }
}

/// A turn in °/s as the typed turn rate of the flight report.
pub fn typed(turn_deg_s: &Estimate<f64>) -> Estimate<TurnRate> {
    let of = TurnRate::from_deg_s;
    Estimate::with_dof(of(turn_deg_s.value), of(turn_deg_s.std_u), turn_deg_s.dof)
}

/// "2.4 ± 0.3 °/s left", or with "direction uncertain".
pub fn turn_words(units: &DisplayUnits, turn_deg_s: &Estimate<f64>) -> String {
    let turn = typed(turn_deg_s);
    let size = turn_without_sign(units, &turn);
    match turn_side(&turn) {
        TurnSide::NotTold => format!("{size} (direction uncertain)"),
        side => format!("{size} {}", side.word()),
    }
}

/// "60 to 72", rounded by its own length.
pub fn range_words(interval: &Interval<f64>) -> String {
    match places_for(0.5 * (interval.high - interval.low)) {
        Some(places) => {
            let places = places.min(2);
            format!("{} to {}", round_to_places(interval.low, places), round_to_places(interval.high, places))
        }
        None => "without bounds".to_owned(),
    }
}

/// "66 % (60 to 72 %)"; "not resolvable" without a bounded interval.
pub fn percent_words(result: &Compensation) -> String {
    match result.percent.zip(result.interval) {
        Some((percent, interval)) => {
            format!("{}\u{a0}% ({}\u{a0}%)", fixed(percent, 0), whole_range(&interval))
        }
        None => "not resolvable".to_owned(),
    }
}

/// Both ends in whole numbers.
pub fn whole_range(interval: &Interval<f64>) -> String {
    format!("{} to {}", fixed(interval.low, 0), fixed(interval.high, 0))
}

/// "Fenlark 26, full-power climb".
pub fn place_words(analysis: &CampaignAnalysis, key: CellKey) -> String {
    format!("{}, {}", analysis.campaign.wing(key.wing).name, analysis.scenario_words(key.scenario))
}

/// "a, b and c".
pub fn join(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// A sentence may begin with the name of a set-up.
pub fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whoever reads which set-up is best must see what counted how much.
    #[test]
    fn regression_a_ranking_names_its_weights() {
        let (trim, climb) = (Scenario::TrimLevel, Scenario::FullPowerClimb);
        assert_eq!(weighed(&[(trim, 2.0)], Scenario::words), "at trim level");
        assert_eq!(
            weighed(&[(trim, 2.0), (climb, 2.0)], Scenario::words),
            "over trim level and full-power climb, weighed alike"
        );
        assert_eq!(
            weighed(&[(trim, 2.0), (climb, 0.5)], Scenario::words),
            "over trim level and full-power climb, weighed 2\u{a0}:\u{a0}0.5"
        );
    }
}
