//! What was found, in words: the first thing a reader sees.

use driftless_analysis::{CombinedRate, FlightAlert, FlightAnalysis, HandsOff, WindowMeasurement};
use driftless_display::campaign::typed;
use driftless_display::inertial::gain_words;
use driftless_display::reasons::{rate_holds, wind_advice, wind_unknown};
use driftless_display::{DisplayUnits, TurnSide, combined_name, count_of, turn_side, turn_signed, turn_without_sign};
use driftless_units::TurnRate;

/// "0.10 °/s and 4 %": by how much days are taken to differ.
pub(crate) fn typical_days_words() -> String {
    let (deg_s, share) = driftless_analysis::typical_days();
    format!("{}\u{a0}°/s and {}\u{a0}%", driftless_display::fixed(deg_s, 2), driftless_display::fixed(100.0 * share, 0))
}

/// What is said first: the answer, and what it is to be seen beside.
pub(crate) struct Said {
    /// The answer, or what is to be known about all answers: a sentence.
    pub(crate) words: String,
    /// What the ground track alone would have said: a sentence.
    pub(crate) beside: Option<String>,
}

impl Said {
    /// Both sentences.
    pub(crate) fn whole(&self) -> String {
        self.beside.iter().fold(self.words.clone(), |words, beside| format!("{words} {beside}"))
    }
}

/// Sentences that state the finding: one for each set-up and scenario flown, then how far to trust it.
pub(crate) fn finding(analysis: &FlightAnalysis, units: &DisplayUnits) -> Vec<Said> {
    let said = |words: String| Said { words, beside: None };
    let combined = analysis.combined();
    if combined.is_empty() {
        return vec![said(nothing_measured(analysis, units))];
    }
    let mut sentences: Vec<Said> = combined.iter().map(|of| setup_sentence(analysis, of, units)).collect();
    let counted = analysis.accepted().filter(|w| combined.iter().any(|of| of.windows.contains(&w.window.id)));
    sentences.extend(candidates_sentence(counted).map(said));
    let gained = |gained| said(format!("The gyro took part in the estimate: the intervals are {gained}."));
    sentences.extend(gain_words(analysis).map(gained));
    sentences
}

/// What a set-up does in a scenario, by all its windows, and what the ground track alone would have said.
fn setup_sentence(analysis: &FlightAnalysis, of: &CombinedRate, units: &DisplayUnits) -> Said {
    let rate = typed(&of.rate_deg_s);
    let windows = windows_words(analysis, of);
    let by_itself = if candidates_of(analysis, of) == 0 { " by itself" } else { "" };
    let size = turn_without_sign(units, &rate);
    let turns = match turn_side(&rate) {
        TurnSide::NotTold => format!("no clear turn, {size} ({windows})."),
        side => format!("turns {}{by_itself} at {size} ({windows}).", side.word()),
    };
    Said { words: format!("{}: {turns}", combined_name(analysis, of)), beside: worst_ground_track(of, units) }
}

/// "2 windows", "1 candidate", "3 windows, 1 of them a candidate".
fn windows_words(analysis: &FlightAnalysis, of: &CombinedRate) -> String {
    let all = of.windows.len();
    match candidates_of(analysis, of) {
        0 => count_of(all, "window", "windows"),
        few if few == all => count_of(all, "candidate", "candidates"),
        few => format!(
            "{}, {few} of them {}",
            count_of(all, "window", "windows"),
            if few == 1 { "a candidate" } else { "candidates" }
        ),
    }
}

fn candidates_of(analysis: &FlightAnalysis, of: &CombinedRate) -> usize {
    let candidate = |w: &&WindowMeasurement| w.window.hands_off == HandsOff::Candidate;
    analysis.accepted().filter(|w| of.windows.contains(&w.window.id)).filter(candidate).count()
}

/// What the ground track alone would have said where it is farthest off; `None` where it lies within the interval.
fn worst_ground_track(of: &CombinedRate, units: &DisplayUnits) -> Option<String> {
    let course = of.worst_course_deg_s?;
    let within = of.rate_deg_s.interval(0.95);
    if (within.low..=within.high).contains(&course) {
        return None;
    }
    let said = units.bare_turn(TurnRate::from_deg_s(course.abs()));
    let side = if course < 0.0 { "left" } else { "right" };
    let at_worst = if of.windows.len() > 1 { " at worst" } else { "" };
    Some(format!("The ground track alone says {said} {side}{at_worst}."))
}

/// That nobody has said that the hands were off; nothing where somebody has.
fn candidates_sentence<'a>(counted: impl Iterator<Item = &'a WindowMeasurement>) -> Option<String> {
    let (candidates, marked): (Vec<_>, Vec<_>) = counted.partition(|w| w.window.hands_off == HandsOff::Candidate);
    let all = candidates.len() + marked.len();
    let which = match candidates.len() {
        0 => return None,
        1 if all == 1 => "The window is a candidate: it looks".to_owned(),
        1 => "One window is a candidate: it looks".to_owned(),
        few if few == all => "All windows are candidates: they look".to_owned(),
        few => format!("{few} windows are candidates: they look"),
    };
    Some(format!("{which} steady, but nobody has said that the hands were off."))
}

/// Why there is no number.
fn nothing_measured(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    if let Some(words) = without_wind(analysis, units) {
        return words;
    }
    if let Some(why) = analysis.wind_unknown() {
        return format!(
            "No turn rate: the wind cannot be told from this flight. {} {}",
            sentence(&wind_unknown(why, units)),
            sentence(wind_advice(why))
        );
    }
    let low = analysis.accepted().count();
    if low > 0 {
        return format!(
            "No turn rate of a set-up: {} flown near the ground, and nobody has said that the hands were off. Mark let-go and take-over \
             to make them count.",
            count_of(low, "candidate was", "candidates were")
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

/// As many rates of single windows stand in a sentence.
const MOST_RATES: usize = 6;

/// What windows say of a flight whose wind is not known; `None` where it is, or where they say nothing.
fn without_wind(analysis: &FlightAnalysis, units: &DisplayUnits) -> Option<String> {
    let open = analysis.alerts.iter().find_map(|alert| match alert {
        FlightAlert::AirspeedOpen { why, slowest_mps, fastest_mps, .. } => Some((why, *slowest_mps, *fastest_mps)),
        _ => None,
    });
    let (why, slowest_mps, fastest_mps) = open?;
    let rate =
        |w: &WindowMeasurement| Some(format!("window {} {}", w.window.id, turn_signed(units, w.steady_rate.as_ref()?)));
    let mut rates: Vec<String> = analysis.rates_without_wind().filter_map(rate).collect();
    if rates.is_empty() {
        return None;
    }
    if rates.len() > MOST_RATES {
        let more = rates.len() - MOST_RATES;
        rates.truncate(MOST_RATES);
        rates.push(format!("and {more} more below"));
    }
    let candidates = candidates_sentence(analysis.rates_without_wind());
    let what = if candidates.is_none() { "What the set-up does" } else { "Turn rates" };
    Some(format!(
        "The wind cannot be told from this flight. {what}, {}, right positive: {}. {}{} {}",
        units.turn.sign(),
        rates.join(", "),
        candidates.map_or_else(String::new, |words| format!("{words} ")),
        sentence(&rate_holds(slowest_mps, fastest_mps, units)),
        sentence(wind_advice(why))
    ))
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

    fn plain(sentences: &[Said]) -> String {
        sentences.iter().map(Said::whole).collect::<Vec<_>>().join("\n").replace('\u{a0}', " ")
    }

    #[test]
    fn each_scenario_has_its_sentence_and_doubt_comes_last() {
        assert_eq!(
            plain(&finding(&flight(), &DisplayUnits::default())),
            "Trim level: turns right by itself at 3.0 ± 0.4 °/s (1 window). The ground track alone says 4.3 °/s right.\n\
             Full-power climb: no clear turn, 0.0 ± 0.4 °/s (1 candidate).\n\
             One window is a candidate: it looks steady, but nobody has said that the hands were off."
        );
    }

    #[test]
    fn several_windows_of_a_set_up_are_one_figure() {
        let mut analysis = flight();
        analysis.windows[1] = analysis.windows[0].clone();
        let words = plain(&finding(&analysis, &DisplayUnits::default()));
        assert!(words.starts_with("Trim level: turns right by itself at 3.04 ± "), "{words}");
        assert!(words.ends_with("(2 windows). The ground track alone says 4.3 °/s right at worst."), "{words}");
    }

    #[test]
    fn a_set_up_and_a_flight_are_named_where_they_tell_figures_apart() {
        let mut analysis = flight();
        analysis.windows[0].window.setup = Some("Heron frame".to_owned());
        let second = analysis.flights[0].clone();
        analysis.flights[0].windows = vec![1];
        analysis.flights.push(driftless_analysis::FlownFlight { windows: vec![2, 3], ..second });
        let words = plain(&finding(&analysis, &DisplayUnits::default()));
        assert!(words.starts_with("Flight 1, Heron frame, trim level: turns right"), "{words}");
        assert!(words.contains("\nFlight 2, full-power climb: no clear turn"), "{words}");
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
