//! Charts of inertial data: what was found stands in the headline, and any values can be drawn.

use driftless_analysis::{FlightAnalysis, ImuError, InertialAnalysis, InertialStatus, NotRead, SensorsUsed};
use driftless_charts::Chart;
use driftless_display::DisplayUnits;
use driftless_sample::{IMPOSSIBLE, with_sensor};

fn charts(analysis: &FlightAnalysis) -> Vec<Chart> {
    driftless_charts::charts(analysis, &DisplayUnits::default())
}

#[test]
fn charts_state_what_was_found() {
    let all = charts(&with_sensor(None));
    let headline = |id: &str| &all.iter().find(|c| c.id == id).unwrap_or_else(|| panic!("{id}")).headline;
    assert_eq!(
        headline("inertial-headings"),
        "Over the flight, gyro and GPS headings differ by 0.7° rms; compass by 2.8°, which is not to be trusted"
    );
    assert!(headline("allan").starts_with("The gyro's own noise"));
    assert!(headline("swing").contains("rms in the windows"));
}

#[test]
fn any_values_can_be_drawn_and_none_is_written() {
    for odd in IMPOSSIBLE {
        for chart in charts(&with_sensor(Some(odd))) {
            assert!(!chart.svg.contains("NaN") && !chart.svg.contains("inf"), "{} with {odd}", chart.id);
        }
    }
}

/// The first window stands at 3.10 °/s with u = 0.05 and 42 degrees of freedom in the report, at 3.0 with u = 0.1 and many by
/// GPS alone: 0.1 · 1.960 against 0.05 · 2.018.
#[test]
fn the_gain_is_drawn_where_the_gyro_took_part() {
    let mut analysis = with_sensor(None);
    assert!(charts(&analysis).iter().all(|c| c.id != "inertial-gain"));
    analysis.inertial.as_mut().unwrap().status = InertialStatus::Used(SensorsUsed::Gyro);
    let all = charts(&analysis);
    let gain = all.iter().find(|c| c.id == "inertial-gain").expect("a chart");
    let headline = gain.headline.replace('\u{a0}', " ");
    assert_eq!(headline, "With the sensor the intervals are 1.9 times narrower than by GPS alone");
}

/// What is read off the Allan curve is marked where it was read, with its units and the lines it belongs to.
#[test]
fn the_allan_chart_marks_what_is_read_off_it() {
    let all = charts(&with_sensor(None));
    let allan = all.iter().find(|c| c.id == "allan").expect("a chart");
    for words in ["angle random walk 0", "°/√s (", "°/√h), read at 1 s", "bias instability at most 0", "°/h)"] {
        assert!(allan.svg.contains(words), "{words}: {}", allan.svg);
    }
    assert!(allan.subtitle.contains("slope −1/2") && allan.subtitle.contains("0.664"));
    // A dotted line each, and a marker on each beside the one in the legend.
    assert_eq!(allan.svg.matches("stroke-dasharray=\"5 12\"").count(), 2);
}

#[test]
fn a_sensor_that_was_not_read_has_no_charts() {
    let mut analysis = with_sensor(None);
    let why = NotRead { file: "phone.csv".to_owned(), error: ImuError::Empty { bytes: 0 } };
    analysis.inertial = Some(InertialAnalysis::new(Vec::new(), InertialStatus::NotRead(why)));
    assert!(charts(&analysis).iter().all(|c| !["inertial-headings", "allan", "swing"].contains(&c.id.as_str())));
}
