use super::{layout::WIDTH, text};
use driftless_analysis::{Finding, FlightAlert, FlightAnalysis, HandsOff};
use driftless_display::DisplayUnits;
use driftless_sample::{
    round_flight as flight, round_flight_with_airspeed_open as flight_with_airspeed_open,
    round_flight_without_wind as flight_without_wind,
};

#[test]
fn the_finding_comes_first() {
    let text = text(&flight(), &DisplayUnits::default());
    let mut lines = text.lines();
    assert_eq!(lines.next(), Some("sample.gpx: turn rates with the wind taken out"));
    assert_eq!(lines.next(), Some(""));
    assert_eq!(lines.next(), Some("Trim level: turns right by itself at 3.0 ± 0.4 °/s (1 window). The ground track"));
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    for units in ["si", "kt", "kmh,deg/min", "s/90"] {
        for analysis in [flight(), flight_without_wind()] {
            for line in text(&analysis, &units.parse().unwrap()).lines() {
                assert!(line.chars().count() <= WIDTH, "{units}: {line}");
            }
        }
    }
}

#[test]
fn windows_and_what_was_refused_have_their_figures() {
    let text = text(&flight(), &DisplayUnits::default());
    assert!(text.contains(" 1   08:05:00  60  trim level         3.04 ± 0.10    3.0 ± 0.4    4.26\n"), "{text}");
    assert!(text.contains(" 2*  08:11:40  60  full-power climb  −0.04 ± 0.10    0.0 ± 0.4   −0.06\n"), "{text}");
    assert!(
        text.contains(" 3  08:18:20, 12 s: too short: 12.0 s are left after 8.0 s for the transient, at\n"),
        "{text}"
    );
}

#[test]
fn problems_say_where_how_often_and_what_to_do() {
    let text = text(&flight(), &DisplayUnits::default());
    assert!(text.contains("(line 812,\n         2 times) [bad-coordinate]"), "{text}");
    assert!(text.contains("To do: nothing to do when there are few"));
}

#[test]
fn a_wind_that_cannot_be_told_is_not_given() {
    let text = text(&flight_without_wind(), &DisplayUnits::default());
    assert!(text.contains("Wind       cannot be told from this flight: the headings flown leave the wind"));
    assert!(!text.contains("m/s from"));
}

/// A rate that holds for each airspeed left open stands by itself: no wind, no airspeed, no figure of a set-up beside it.
#[test]
fn a_rate_without_the_wind_says_for_which_airspeeds_it_holds() {
    let analysis = flight_with_airspeed_open();
    let whole = text(&analysis, &DisplayUnits::default());
    let brief = crate::brief(&analysis, &DisplayUnits::default(), 80);
    for text in [&whole, &brief] {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("the rate holds for each airspeed between 8 and 13 m/s that the log allows"), "{text}");
        assert!(words.contains("window 1 3.0 ± 0.4"), "{text}");
        assert!(!words.contains("m/s from") && !words.contains("6.7") && !words.contains("9.4"), "{text}");
        assert!(!words.contains("by itself at"), "{text}");
    }
    let refused = whole.split_once("Refused windows").expect("windows that are refused").1;
    assert!(!refused.contains('±'), "{refused}");
    let knots = text(&analysis, &"kt".parse().unwrap());
    let words = knots.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("between 16 and 25 kt"), "{knots}");
}

/// A candidate is not the set-up's own turn, one near the ground has no part in the finding, and many do not fill a screen.
#[test]
fn a_rate_without_the_wind_is_the_set_ups_own_only_where_hands_were_off() {
    let said = |change: &dyn Fn(&mut FlightAnalysis)| {
        let mut analysis = flight_with_airspeed_open();
        change(&mut analysis);
        crate::brief(&analysis, &DisplayUnits::default(), 80).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(said(&|_| ()).contains("What the set-up does, °/s"));
    let candidate = |analysis: &mut FlightAnalysis| analysis.windows[0].window.hands_off = HandsOff::Candidate;
    let words = said(&candidate);
    assert!(
        words.contains("nobody has said that the hands were off") && !words.contains("What the set-up does"),
        "{words}"
    );
    let words = said(&|analysis| {
        candidate(analysis);
        analysis.windows[0].verdict.findings.push(Finding::FlownLow { height_m: 30.0, limit_m: 150.0 });
    });
    assert!(words.contains("No turn rate"), "{words}");
    assert!(!words.contains("window 1 3.0"), "{words}");
    let words = said(&|analysis| {
        let window = analysis.windows[0].clone();
        analysis.windows.extend((10..19).map(|id| {
            let mut more = window.clone();
            more.window.id = id;
            more
        }));
    });
    assert!(words.contains("and 4 more below"), "{words}");
}

/// What was believed of the airspeed beforehand is said where the log strains it.
#[test]
fn a_belief_that_the_log_strains_is_said() {
    let mut analysis = flight_with_airspeed_open();
    let [FlightAlert::AirspeedOpen { strained_mps, .. }] = analysis.alerts.as_mut_slice() else { panic!("one alert") };
    *strained_mps = Some([14.2, 10.5]);
    let words = text(&analysis, &DisplayUnits::default()).replace('\u{a0}', " ");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("it fits about 14.2 m/s best, which is faster than most are flown (10.5 m/s)"), "{words}");
}

#[test]
fn units_of_choice_reach_every_speed() {
    let text = text(&flight(), &"kt".parse().unwrap());
    assert!(text.contains("Wind       9.7 kt from 270° (west)"), "{text}");
    assert!(!text.contains("m/s"));
}

#[test]
fn regression_reasons_come_in_the_units_asked_for() {
    // 4.0 and 1.5 m/s are 7.8 and 2.9 kt.
    let text = text(&flight_without_wind(), &"kt,ft".parse().unwrap());
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("uncertain by 7.8 kt on each axis (standard uncertainty), limit 2.9 kt"), "{text}");
    assert!(!words.contains("m/s"), "{text}");
}
