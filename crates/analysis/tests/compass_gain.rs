//! What a compass gains, on the whole road: file of inertial data, alignment, calibration, estimate. Without it beside.

mod common;

use common::{Score, columns, spans};
use driftless_analysis::{after_doubts, compass_headings, gyro_rates};
use driftless_inertial::align::{Alignment, ClockPrior, align};
use driftless_inertial::compass::{Compass, EarthField, calibrate};
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::{SimulatedFlight, simulate};
use driftless_track::{Track, TrackConfig, prepare};
use driftless_wind::flight::{
    FlightEstimate, estimate, estimate_with_compass, estimate_with_gyro, estimate_with_windows, node_times,
};

/// GPS alone, with the compass, with the gyro, with both: what [`scores`] gives.
const ALONE: usize = 0;
const COMPASS: usize = 1;
const GYRO: usize = 2;
const BOTH: usize = 3;

fn aligned(flight: &SimulatedFlight, track: &Track, alone: &FlightEstimate) -> Option<(Alignment, Compass)> {
    let log = driftless_inertial::read(flight.to_imu_csv().as_bytes(), None).expect("an inertial log");
    let columns = columns(alone);
    let near_s = track.seconds_of(log.epoch.expect("the reference sensor writes dates"));
    let alignment = align(&log, &columns.nodes(), ClockPrior::Near(near_s)).ok()?;
    let mag = flight.scenario.sensors.imu.as_ref()?.mag.as_ref()?;
    let earth = EarthField {
        declination_deg: mag.declination_deg,
        declination_std_u_deg: 0.4,
        inclination_deg: mag.inclination_deg,
        strength_ut: mag.field_ut,
    };
    let compass = calibrate(&log, &alignment, &columns.nodes(), Some(&earth)).ok()?;
    Some((alignment, compass))
}

/// The four scores over the flights on which all four can be made; a compass that is doubted counts as none, as on the road.
fn scores(class: AirClass, seeds: std::ops::Range<u64>, options: &Options) -> [Score; 4] {
    let mut scores: [Score; 4] = std::array::from_fn(|_| Score::default());
    for seed in seeds {
        let mut scenario = reference::flight(class, seed, options);
        scenario.sensors.imu = Some(reference::imu(seed));
        let flight = simulate(&scenario, seed).expect("a reference flight flies");
        let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("a track");
        let path = track.path();
        let shift_s = (track.epoch - flight.truth.time_at(0.0)).as_seconds_f64();
        let spans = spans(&flight, shift_s);
        let free = estimate(&path, &[]).expect("an estimate");
        let alone = estimate_with_windows(&path, &free, &spans).expect("with windows");
        let Some((alignment, compass)) = aligned(&flight, &track, &alone) else { continue };
        let times = node_times(&path, &spans);
        let (rates, headings) = (gyro_rates(&alignment, &times), compass_headings(&compass, &alignment, &times));
        let Ok(gyro) = estimate_with_gyro(&path, &alone, &spans, &rates).map(|e| e.flight) else { continue };
        let with = |gyro, without: &FlightEstimate| {
            let fused = estimate_with_compass(&path, &alone, &spans, &headings, gyro).ok();
            fused
                .filter(|e| compass.is_consistent() && after_doubts(without, e, &headings.deviation_std_u).is_empty())
                .map_or_else(|| without.clone(), |e| e.flight)
        };
        let estimates = [&alone, &with(None, &alone), &gyro, &with(Some(&rates), &gyro)];
        for span in &spans {
            let truth = flight.truth.realised_rate(span.start_s + shift_s, span.end_s + shift_s).deg_s();
            for (score, estimate) in scores.iter_mut().zip(estimates) {
                score.add(estimate.window_turn(*span).expect("its own span").turn_rate, truth);
            }
        }
    }
    scores
}

fn words(scores: &[Score; 4], of: &str) -> String {
    let each = ["GPS", "GPS + compass", "GPS + gyro", "GPS + gyro + compass"].iter().zip(scores);
    let each: Vec<String> =
        each.map(|(name, s)| format!("{name} {:.4} °/s, covered {:.3}", s.rms(), s.coverage())).collect();
    format!("{of}, {} windows: {}", scores[ALONE].windows, each.join("; "))
}

/// 80 windows, four of which share a flight, its compass and its gyro: the coverage scatters by about 4 %.
#[test]
fn simulated_compass_gains_and_stays_honest() {
    for (class, window_s, gain) in [(AirClass::Moderate, 60.0, 0.8), (AirClass::Moderate, 10.0, 0.7)] {
        let options = Options { window_s: [window_s + 0.5; 2], ..Options::default() };
        let scores = scores(class, 0..20, &options);
        let words = words(&scores, &format!("{} air, {window_s} s", class.name()));
        assert!(scores[ALONE].windows >= 60.0, "{words}");
        assert!(scores[COMPASS].rms() < gain * scores[ALONE].rms(), "{words}");
        // Beside a gyro there is little left to gain; nothing may be lost but what chance takes from 80 windows.
        assert!(scores[BOTH].rms() < 1.05 * scores[GYRO].rms(), "{words}");
        for which in [COMPASS, BOTH] {
            assert!((0.87..=1.0).contains(&scores[which].coverage()), "{words}");
        }
    }
}
