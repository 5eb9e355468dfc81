//! What was found, in words: the first thing a reader sees.

use driftless_analysis::{FlightAnalysis, HandsOff, Scenario, WindowMeasurement};
use driftless_display::inertial::gain_words;
use driftless_display::reasons::{wind_advice, wind_unknown};
use driftless_display::{
    DisplayUnits, TurnSide, TurnUnit, count_of, quarter_turn, scenario_words, turn_side, turn_without_sign,
};

/// Sentences that state the finding, most important first: one for each scenario flown, then how far to trust it.
pub(crate) fn finding(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<String> {
    let measured: Vec<_> = analysis.accepted().filter(|w| w.turn_rate.is_some()).collect();
    if measured.is_empty() {
        return vec![nothing_measured(analysis, units)];
    }
    let mut sentences = Vec::new();
    for scenario in Scenario::ALL {
        let windows: Vec<_> = measured.iter().copied().filter(|w| w.window.scenario == scenario).collect();
        sentences.extend(scenario_sentence(scenario, &windows, units));
    }
    let candidates = measured.iter().filter(|w| w.window.hands_off == HandsOff::Candidate).count();
    if candidates > 0 {
        let (which, looks) = match (candidates, measured.len()) {
            (1, 1) => ("The window is a candidate".to_owned(), "it looks"),
            (1, _) => ("One of the windows is a candidate".to_owned(), "it looks"),
            (few, all) if few == all => {
                (format!("All {} are candidates", count_of(all, "window", "windows")), "they look")
            }
            (few, _) => (format!("{few} of the windows are candidates"), "they look"),
        };
        sentences.push(format!(
            "{which}: {looks} steady, but nobody has marked let-go and take-over, so nobody has said that the hands \
             were off."
        ));
    }
    sentences.extend(
        gain_words(analysis).map(|gained| format!("The gyro took part in the estimate: the intervals are {gained}.")),
    );
    sentences
}

/// One sentence for the windows of one scenario; none when there are none.
fn scenario_sentence(scenario: Scenario, windows: &[&WindowMeasurement], units: &DisplayUnits) -> Option<String> {
    let confirmed = |w: &&WindowMeasurement| w.window.hands_off == HandsOff::Confirmed;
    let (hands, itself) = match windows.iter().filter(|w| confirmed(w)).count() {
        0 => ("Hands perhaps off", ""),
        all if all == windows.len() => ("Hands off", " by itself"),
        _ => ("Hands off, or perhaps off", ""),
    };
    let where_ = match scenario {
        Scenario::Unclassified => format!("{hands} (scenario not told)"),
        known => format!("{hands}, {}", scenario_words(known)),
    };
    match windows {
        [] => None,
        [only] => {
            let rate = only.turn_rate?;
            Some(match turn_side(&rate) {
                TurnSide::NotTold => {
                    format!("{where_}: no turn that could be told from zero ({}).", turn_without_sign(units, &rate))
                }
                side => format!(
                    "{where_}: it turned {}{itself} at {}{}.",
                    side.word(),
                    turn_without_sign(units, &rate),
                    // With that unit chosen, the rate already reads as seconds per 90°.
                    if units.turn == TurnUnit::SecondsPer90 {
                        String::new()
                    } else {
                        format!(", {}", quarter_turn(&rate))
                    }
                ),
            })
        }
        several => {
            let mut each: Vec<_> = several.iter().filter_map(|w| w.turn_rate).collect();
            each.sort_by(|a, b| a.value.rad_s().total_cmp(&b.value.rad_s()));
            let (first, last) = (each.first()?, each.last()?);
            let say = |rate| match turn_side(rate) {
                TurnSide::NotTold => format!("{} (direction uncertain)", turn_without_sign(units, rate)),
                side => format!("{} {}", turn_without_sign(units, rate), side.word()),
            };
            Some(format!(
                "{where_}: {} between {} and {}.",
                count_of(several.len(), "window", "windows"),
                say(first),
                say(last)
            ))
        }
    }
}

/// Why there is no number.
fn nothing_measured(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    if let Some(why) = analysis.wind_unknown() {
        return format!(
            "No turn rate: the wind cannot be told from this flight. {} {}",
            sentence(&wind_unknown(why, units)),
            sentence(wind_advice(why))
        );
    }
    if analysis.windows.is_empty() {
        return "No turn rate: no hands-off window was marked, and no steady span was found that could be one."
            .to_owned();
    }
    format!(
        "No turn rate: {} looked at, none good enough. The reasons stand beside each.",
        count_of(analysis.windows.len(), "window was", "windows were")
    )
}

/// A clause as a sentence: a capital letter at the front, a stop at the end.
fn sentence(clause: &str) -> String {
    let clause = clause.trim().trim_end_matches('.');
    let mut letters = clause.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_sample::{round_flight as flight, round_flight_without_wind as flight_without_wind};

    fn plain(sentences: &[String]) -> String {
        sentences.join("\n").replace('\u{a0}', " ")
    }

    #[test]
    fn each_scenario_has_its_sentence_and_doubt_comes_last() {
        assert_eq!(
            plain(&finding(&flight(), &DisplayUnits::default())),
            "Hands off, trim level: it turned right by itself at 3.04 ± 0.10 °/s, 29.6 s per 90°.\n\
             Hands perhaps off, full-power climb: no turn that could be told from zero (−0.04 ± 0.10 °/s).\n\
             One of the windows is a candidate: it looks steady, but nobody has marked let-go and take-over, so nobody \
             has said that the hands were off."
        );
    }

    #[test]
    fn several_windows_of_a_scenario_give_a_range() {
        let mut analysis = flight();
        analysis.windows[1] = analysis.windows[0].clone();
        let words = plain(&finding(&analysis, &DisplayUnits::default()));
        assert_eq!(words, "Hands off, trim level: 2 windows between 3.04 ± 0.10 °/s right and 3.04 ± 0.10 °/s right.");
    }

    #[test]
    fn without_a_number_the_reason_is_said() {
        assert_eq!(
            plain(&finding(&flight_without_wind(), &DisplayUnits::default())),
            "No turn rate: the wind cannot be told from this flight. The headings flown leave the wind uncertain by 4.0 m/s \
             on each axis (standard uncertainty), limit 1.5 m/s. Fly one or two full circles at steady power, in both \
             directions if possible, before the windows and at each power setting; they show the wind."
        );
        let mut analysis = flight();
        analysis.windows.clear();
        assert!(plain(&finding(&analysis, &DisplayUnits::default())).contains("no steady span"));
    }
}
