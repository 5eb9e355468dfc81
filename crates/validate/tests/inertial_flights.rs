//! A small run of the inertial study with seeds for tuning: it runs, keeps its figures, and its criteria fail when the
//! analysis is spoiled. The spoiling is done to the analysis, before it is held against the truth.

use driftless_analysis::{FlightAnalysis, WindowMeasurement};
use driftless_sim::reference::AirClass;
use driftless_units::TurnRate;
use driftless_validate::inertial::criteria::{Verdict, criteria};
use driftless_validate::inertial::score::{Flown, fly};
use driftless_validate::inertial::study::{CompassState, InertialStudy, Kind};
use driftless_validate::inertial::{InertialStudyScore, run, tables::tables};
use driftless_validate::study::Seeds;

const FLIGHTS: u64 = 12;

fn flown(kind: Kind, flights: u64) -> Vec<Flown> {
    (0..flights).map(|seed| fly(AirClass::Moderate, kind, seed).expect("a reference flight comes through")).collect()
}

fn scored(kind: Kind, flown: &[Flown]) -> [InertialStudyScore; 1] {
    let study = InertialStudy { class: AirClass::Moderate, kind, flights: flown.len() as u64 };
    [InertialStudyScore { study, flights: flown.iter().map(Flown::score).collect() }]
}

fn spoiled(flown: &[Flown], spoil: impl Fn(&mut FlightAnalysis)) -> Vec<Flown> {
    let mut copies = flown.to_vec();
    copies.iter_mut().for_each(|copy| spoil(&mut copy.with_sensor));
    copies
}

/// The verdict on the one wish whose name holds all these words.
fn verdict(scores: &[InertialStudyScore], words: &[&str]) -> Verdict {
    let all = criteria(scores);
    let mut named = all.iter().filter(|c| words.iter().all(|word| c.what.contains(word)));
    match (named.next(), named.next()) {
        (Some(only), None) => only.verdict(),
        found => panic!("{words:?}: {found:?}"),
    }
}

fn rates(analysis: &mut FlightAnalysis, spoil: impl Fn(&mut WindowMeasurement)) {
    analysis.windows.iter_mut().for_each(spoil);
}

/// 48 windows of a minute: the error is known to a tenth, a coverage of 95 % to about 3 %.
#[test]
fn simulated_windows_with_a_gyro_keep_what_is_wanted_and_spoiled_ones_do_not() {
    let kind = Kind::Windows(60);
    let flown = flown(kind, FLIGHTS);
    let scores = scored(kind, &flown);
    let (error, coverage) = (["rms error with gyro"], ["with gyro", "in the 95 %"]);
    assert_eq!(verdict(&scores, &error), Verdict::Met);
    assert_ne!(verdict(&scores, &coverage), Verdict::Missed);
    let used = scores[0].flights.iter().filter(|f| f.refused.is_none()).count();
    assert!(used + 1 >= flown.len(), "gyro used on {used} of {} flights", flown.len());

    let too_sure = spoiled(&flown, |analysis| {
        rates(analysis, |w| {
            w.turn_rate.iter_mut().for_each(|rate| rate.std_u = TurnRate::from_deg_s(0.4 * rate.std_u.deg_s()));
        });
    });
    assert_eq!(verdict(&scored(kind, &too_sure), &coverage), Verdict::Missed);
    let off = spoiled(&flown, |analysis| {
        rates(analysis, |w| {
            w.turn_rate.iter_mut().for_each(|rate| rate.value = TurnRate::from_deg_s(0.1 + rate.value.deg_s()));
        });
    });
    assert_eq!(verdict(&scored(kind, &off), &error), Verdict::Missed);
    assert_eq!(verdict(&scored(kind, &off), &coverage), Verdict::Missed);
    // GPS alone is measured on the other analysis and does not notice.
    let alone = ["GPS alone", "in the 95 %"];
    assert_eq!(verdict(&scored(kind, &off), &alone), verdict(&scores, &alone));

    let late = spoiled(&flown, |analysis| {
        let alignment = analysis.inertial.as_mut().and_then(|i| i.alignment.as_mut());
        alignment.expect("reference flights align").offset_s.value += 0.4;
    });
    assert_eq!(verdict(&scored(kind, &late), &["clock offset", "rms error"]), Verdict::Missed);
    assert_eq!(verdict(&scored(kind, &late), &["clock offset", "in the 95 %"]), Verdict::Missed);
}

/// A disturbed compass that is believed all the same, and flights without turns whose clock is claimed.
#[test]
fn simulated_compasses_and_flights_without_turns_are_judged() {
    for state in [CompassState::Wandering, CompassState::Turned, CompassState::Weakened] {
        let kind = Kind::Compass(state);
        let flown = flown(kind, 4);
        assert_ne!(verdict(&scored(kind, &flown), &["left out"]), Verdict::Missed, "{state:?}");
        let believed = spoiled(&flown, |analysis| {
            let compass = analysis.inertial.as_mut().and_then(|i| i.compass.as_mut());
            compass.expect("a compass").doubts.clear();
        });
        assert_eq!(verdict(&scored(kind, &believed), &["left out"]), Verdict::Missed, "{state:?}");
    }

    let still = flown(Kind::NoTurns, 4);
    let wish = ["no turns", "moderate"];
    assert_ne!(verdict(&scored(Kind::NoTurns, &still), &wish), Verdict::Missed);
    // The alignment of a flight that turns, claimed for one that does not: that of another sensor, seconds off.
    let other = flown(Kind::Windows(60), 1).remove(0).with_sensor.inertial.expect("an inertial file");
    let claimed = spoiled(&still[1..], |analysis| analysis.inertial = Some(other.clone()));
    assert_eq!(verdict(&scored(Kind::NoTurns, &claimed), &wish), Verdict::Missed);
}

#[test]
fn inertial_results_do_not_depend_on_the_number_of_threads() {
    let plan =
        [Kind::Windows(10), Kind::NoTurns].map(|kind| InertialStudy { class: AirClass::Light, kind, flights: 2 });
    let text = |jobs| {
        let scores = run(&plan, Seeds::Tuning, jobs, &|| ()).expect("flights come through");
        tables(&scores).iter().map(|t| t.markdown()).collect::<String>()
    };
    assert_eq!(text(1), text(3));
}
