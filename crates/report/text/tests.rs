use super::{layout::WIDTH, text};
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
