//! Charts of a flight: well-formed, spoken for, inside their frame, and drawable whatever the data.

use driftless_analysis::FlightAnalysis;
use driftless_charts::{Chart, charts};
use driftless_display::DisplayUnits;
use driftless_sample::{IMPOSSIBLE, flight, flight_at, with_impossible_values, without_wind};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::{HashMap, HashSet};

fn si(analysis: &FlightAnalysis) -> Vec<Chart> {
    charts(analysis, &DisplayUnits::default())
}

/// Everything a test wants to know of one SVG.
#[derive(Default)]
struct Anatomy {
    role: String,
    title: String,
    desc: String,
    ids: Vec<String>,
    labelled_by: String,
    view: (f64, f64),
    /// Words and their box: left, right, middle height.
    texts: Vec<(String, f64, f64, f64)>,
    numbers: Vec<f64>,
}

/// Fails on anything that is not well-formed.
fn dissect(svg: &str) -> Anatomy {
    let mut reader = Reader::from_str(svg);
    let mut found = Anatomy::default();
    // The element whose words are being gathered, with its attributes.
    let mut open = (String::new(), HashMap::new());
    let mut words = String::new();
    loop {
        match reader.read_event().expect("well-formed XML") {
            Event::Eof => break,
            Event::Start(tag) => {
                open = (tag.name().as_ref().to_owned(), attributes(&tag));
                words.clear();
                found.take(&open.0, &open.1);
            }
            Event::Empty(tag) => found.take(tag.name().as_ref(), &attributes(&tag)),
            Event::Text(piece) => words.push_str(&piece),
            // Each stands for one character; which one does not matter here.
            Event::GeneralRef(_) => words.push('&'),
            Event::End(_) => {
                found.close(&open.0, &open.1, &words);
                open.0.clear();
            }
            _ => {}
        }
    }
    found
}

fn attributes(tag: &BytesStart<'_>) -> HashMap<String, String> {
    tag.attributes()
        .map(|attribute| {
            let attribute = attribute.expect("no attribute twice");
            (attribute.key.as_ref().to_owned(), attribute.value.to_string())
        })
        .collect()
}

impl Anatomy {
    fn take(&mut self, name: &str, attributes: &HashMap<String, String>) {
        for key in ["x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "width", "height", "stroke-width"] {
            self.numbers.extend(attributes.get(key).map(|v| v.parse().unwrap_or(f64::NAN)));
        }
        if let Some(points) = attributes.get("points") {
            let numbers = points.split([' ', ',']).filter(|p| !p.is_empty());
            self.numbers.extend(numbers.map(|p| p.parse().unwrap_or(f64::NAN)));
        }
        self.ids.extend(attributes.get("id").cloned());
        if name == "svg" {
            self.role = attributes["role"].clone();
            self.labelled_by = attributes["aria-labelledby"].clone();
            let view: Vec<f64> = attributes["viewBox"].split(' ').map(|v| v.parse().unwrap()).collect();
            self.view = (view[2], view[3]);
        }
    }

    fn close(&mut self, name: &str, attributes: &HashMap<String, String>, words: &str) {
        match name {
            "title" => self.title = words.to_owned(),
            "desc" => self.desc = words.to_owned(),
            "text" => {
                let number = |key: &str| attributes[key].parse::<f64>().unwrap();
                let (x, y) = (number("x"), number("y"));
                // Wider than any usual sans-serif face sets these words.
                let width = 0.62 * number("font-size") * words.chars().count() as f64;
                let left = match attributes["text-anchor"].as_str() {
                    "start" => x,
                    "middle" => x - 0.5 * width,
                    _ => x - width,
                };
                self.texts.push((words.to_owned(), left, left + width, y));
            }
            _ => {}
        }
    }
}

/// The chart, its variant for a phone, and the file that stands alone.
fn check(chart: &Chart) {
    check_one(chart);
    if let Some(narrow) = &chart.narrow {
        let phone = Chart { id: format!("{}-narrow", chart.id), svg: narrow.clone(), narrow: None, ..chart.clone() };
        check_one(&phone);
        assert!(dissect(narrow).view.0 <= 360.0 * 4.0, "{}: wider than a phone", chart.id);
    }
    let alone = dissect(&chart.standalone());
    let (wide, tall) = dissect(&chart.svg).view;
    assert_eq!(alone.view.0, wide, "{}", chart.id);
    assert!(alone.view.1 > tall && alone.texts.iter().any(|text| chart.headline.starts_with(&text.0)), "{}", chart.id);
}

fn check_one(chart: &Chart) {
    let found = dissect(&chart.svg);
    let id = &chart.id;
    assert_eq!(found.role, "img", "{id}");
    assert!(!found.title.is_empty() && !found.desc.is_empty(), "{id}: title and description");
    assert_eq!(found.labelled_by, format!("{id}-title {id}-desc"));
    assert_eq!(found.ids, [format!("{id}-title"), format!("{id}-desc")]);
    assert!(!chart.headline.is_empty() && !chart.subtitle.is_empty(), "{id}");
    for word in ["NaN", "inf", "01A5"] {
        assert!(!chart.svg.contains(word), "{id} contains {word}");
    }
    assert!(found.numbers.iter().all(|n| n.is_finite()), "{id}");
    for (words, left, right, y) in &found.texts {
        assert!(
            *left >= 0.0 && *right <= found.view.0 && *y >= 0.0 && *y <= found.view.1,
            "{id}: \"{words}\" from {left} to {right} at {y} leaves {:?}",
            found.view
        );
    }
}

#[test]
fn every_chart_is_well_formed_and_speaks() {
    for units in ["si", "kmh,°/min", "kt,s/90"] {
        let all = charts(&flight(), &units.parse().unwrap());
        let ids: Vec<_> = all.iter().map(|c| c.id.as_str()).collect();
        assert_eq!(
            ids,
            [
                "turn-rates",
                "window-1",
                "window-2",
                "window-3",
                "window-4",
                "window-5",
                "tracks",
                "velocity-circle",
                "wind-height",
                "strip"
            ]
        );
        all.iter().for_each(check);
        assert_eq!(ids.iter().collect::<HashSet<_>>().len(), ids.len());
    }
}

#[test]
fn without_wind_the_track_and_the_course_remain() {
    let all = si(&without_wind());
    all.iter().for_each(check);
    let ids: Vec<_> = all.iter().map(|c| c.id.as_str()).collect();
    assert!(ids.contains(&"tracks") && ids.contains(&"window-1") && !ids.contains(&"wind-height"));
    let tracks = all.iter().find(|c| c.id == "tracks").unwrap();
    assert!(tracks.svg.contains("wind not known") && !tracks.svg.contains("Through the air"));
}

#[test]
fn no_windows_and_one_window() {
    let mut analysis = flight();
    analysis.windows.truncate(1);
    si(&analysis).iter().for_each(check);
    analysis.windows.clear();
    let all = si(&analysis);
    all.iter().for_each(check);
    assert!(all.iter().all(|c| c.id != "turn-rates"));
}

#[test]
fn a_gap_is_not_bridged() {
    let mut analysis = flight();
    let broken = si(&analysis);
    analysis.track.gaps.clear();
    let bridged = si(&analysis);
    let lines = |charts: &[Chart]| charts.iter().find(|c| c.id == "strip").unwrap().svg.matches("<polyline").count();
    assert!(lines(&broken) > lines(&bridged));
}

#[test]
fn a_long_flight_at_ten_hertz_stays_small() {
    let mut analysis = flight_at(10);
    // Sixteen times the flight, end to end: four hours.
    let (points, nodes) = (analysis.track.points.clone(), analysis.estimate.as_ref().unwrap().nodes.clone());
    let length_s = points.last().unwrap().t_s + 0.1;
    for round in 1..16 {
        let later_s = f64::from(round) * length_s;
        analysis.track.points.extend(points.iter().map(|p| {
            let mut p = *p;
            p.t_s += later_s;
            p
        }));
        analysis.estimate.as_mut().unwrap().nodes.extend(nodes.iter().map(|n| {
            let mut n = *n;
            n.t_s += later_s;
            n
        }));
    }
    assert!(analysis.track.points.len() > 140_000);
    let all = si(&analysis);
    all.iter().for_each(check);
    let bytes: usize = all.iter().map(|c| c.svg.len()).sum();
    // 2 MB is what a mail can carry without thought; the page adds some 30 kB of words.
    assert!(bytes < 1_500_000, "{bytes} bytes");
}

#[test]
fn impossible_values_neither_hang_nor_panic() {
    for value in IMPOSSIBLE {
        let analysis = with_impossible_values(value);
        for chart in si(&analysis) {
            let found = dissect(&chart.svg);
            assert!(found.numbers.iter().all(|n| n.is_finite()), "{} with {value}", chart.id);
        }
    }
}

#[test]
fn a_single_point_gives_no_false_chart() {
    let mut analysis = flight();
    analysis.track.points.truncate(1);
    analysis.estimate = None;
    analysis.circle = None;
    analysis.windows.clear();
    si(&analysis).iter().for_each(check);
    assert!(si(&analysis).iter().all(|c| c.id != "strip"));
}

/// A circle can be fitted to any velocities: where the flight does not tell the wind its centre is none.
#[test]
fn regression_no_circle_is_drawn_where_the_wind_is_not_known() {
    let unknown = driftless_analysis::FlightAnalysis { circle: flight().circle, ..without_wind() };
    let headline = |analysis: &FlightAnalysis| {
        let all = si(analysis);
        let chart = all.iter().find(|chart| chart.id == "velocity-circle").expect("velocities");
        format!("{}. {}", chart.headline, chart.subtitle)
    };
    let words = headline(&unknown);
    assert!(!words.contains("m/s from") && !words.contains("airspeed"), "{words}");
    let words = headline(&flight());
    let clock = |t_s| flight().track.time_at(t_s).format("%H:%M:%S").to_string();
    assert!(words.starts_with(&format!("From {} to {} the ground", clock(60.0), clock(252.0))), "{words}");
    assert!(words.contains("the turn rates take out the wind of the whole flight"), "{words}");
}

/// The chart of the first screen as a person accepted it: words with their places, marks with theirs, to a tenth of a unit.
#[test]
fn regression_turn_rates_look_as_accepted() {
    let chart = si(&flight()).into_iter().find(|chart| chart.id == "turn-rates").expect("the chart");
    let phone = chart.narrow.clone().expect("for a phone");
    for (name, svg) in [("turn_rates", chart.svg.clone()), ("turn_rates_on_a_phone", phone)] {
        let found = dissect(&svg);
        let mut drawn = format!("{} x {}\n{}\n{}\n", found.view.0, found.view.1, found.title, found.desc);
        for (words, left, _, y) in &found.texts {
            drawn.push_str(&format!("{left:6.1} {y:6.1} {words}\n"));
        }
        let shapes = ["<circle", "<polygon", "<line", "<polyline", "<rect"].map(|shape| svg.matches(shape).count());
        drawn.push_str(&format!("circles, polygons, lines, polylines, rectangles: {shapes:?}\n"));
        insta::assert_snapshot!(name, drawn);
    }
}
