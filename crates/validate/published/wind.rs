//! Circles through few legs, the drifting circle.

use super::{Check, Group};
use driftless_units::{Angle, Ground, Position, Velocity, Wind};
use driftless_wind::circle::fit_circle;
use driftless_wind::drift::{WindPrior, fit_drift};

const GRAY: &str = "D. Gray, Using GPS to accurately establish True Airspeed (1998), three legs";
const NTPS: &str = "aerocalc documentation, NTPS four-leg sample data (G. Lewis 2003)";
const HORTON: &str = "K. Horton, Finding TAS from GPS data (truth published, ground velocities computed from it)";
const GOLDEN: &str = "derived for the project, recomputed by independent code";

pub(super) fn checks() -> Vec<Check> {
    [gray(), ntps(), horton(), drifting_circle()].concat()
}

fn deg(deg: f64) -> Angle {
    Angle::from_deg(deg)
}

fn legs<const N: usize>(speed_and_track: [(f64, f64); N]) -> [Velocity<Ground>; N] {
    speed_and_track.map(|(speed, track)| Velocity::from_speed_course(speed, deg(track)))
}

fn gray() -> Vec<Check> {
    let legs = legs([(140.0, 192.0), (112.0, 283.0), (120.0, 20.0)]);
    let Ok(fit) = fit_circle(&legs) else { return vec![failed(Group::Circles, "three legs", GRAY)] };
    let mut checks = vec![
        Check::new(Group::Circles, "three legs: airspeed, kt", GRAY, 129.998_523_5, fit.airspeed_mps.value, 1e-6),
        Check::new(Group::Circles, "three legs: wind speed, kt", GRAY, 20.633_444_0, fit.wind.speed_mps(), 1e-6),
        Check::new(Group::Circles, "three legs: wind from, °", GRAY, 314.758_446_7, fit.wind.from_deg(), 1e-6),
    ];
    for (leg, heading) in legs.iter().zip([199.670_594, 287.792_125, 11.713_026]) {
        let got = fit.wind.air_velocity(*leg).direction().bearing_deg();
        checks.push(Check::new(Group::Circles, "three legs: heading, °", GRAY, heading, got, 1e-6));
    }
    checks
}

fn ntps() -> Vec<Check> {
    let legs = legs([(178.0, 178.0), (185.0, 82.0), (188.0, 355.0), (184.0, 265.0)]);
    let mut checks = Vec::new();
    let mut airspeeds = Vec::new();
    for (pick, wind, from) in [
        ([0, 1, 2], 5.260_836_9, 194.516_737_4),
        ([1, 2, 3], 3.582_396_7, 181.521_746_3),
        ([2, 3, 0], 5.149_521_8, 162.698_034_2),
        ([3, 0, 1], 6.443_672_8, 177.947_830_8),
    ] {
        let Ok(fit) = fit_circle(&pick.map(|i| legs[i])) else {
            return vec![failed(Group::Circles, "four legs", NTPS)];
        };
        airspeeds.push(fit.airspeed_mps.value);
        checks.push(Check::new(
            Group::Circles,
            "four legs by threes: wind speed, kt",
            NTPS,
            wind,
            fit.wind.speed_mps(),
            1e-6,
        ));
        checks.push(Check::new(
            Group::Circles,
            "four legs by threes: wind from, °",
            NTPS,
            from,
            fit.wind.from_deg(),
            1e-6,
        ));
    }
    let mean = airspeeds.iter().sum::<f64>() / 4.0;
    let sd = (airspeeds.iter().map(|a| (a - mean).powi(2)).sum::<f64>() / 3.0).sqrt();
    checks.push(Check::new(Group::Circles, "four legs by threes: mean airspeed, kt", NTPS, 183.726_695_57, mean, 1e-7));
    checks.push(Check::new(
        Group::Circles,
        "four legs by threes: standard deviation, kt",
        NTPS,
        0.827_096_35,
        sd,
        1e-7,
    ));
    checks
}

fn horton() -> Vec<Check> {
    let wind = Wind::from_speed_from(20.0, deg(270.0));
    let legs = [0.0, 90.0, 180.0, 270.0].map(|h| wind.ground_velocity(Velocity::from_speed_course(100.0, deg(h))));
    let Ok(fit) = fit_circle(&legs) else { return vec![failed(Group::Circles, "cardinal headings", HORTON)] };
    vec![
        Check::new(Group::Circles, "cardinal headings: airspeed, kt", HORTON, 100.0, fit.airspeed_mps.value, 1e-9),
        Check::new(Group::Circles, "cardinal headings: wind speed, kt", HORTON, 20.0, fit.wind.speed_mps(), 1e-9),
    ]
}

/// 10 m/s, 6 °/s to the right from heading 030, wind 4 m/s from 250: rows of the golden track.
const TRACK: [(f64, f64, f64); 6] = [
    (0.0, 0.0, 0.0),
    (5.0, 53.74670, 41.79325),
    (10.0, 120.28704, 61.42729),
    (15.0, 186.82737, 55.47406),
    (30.0, 278.16178, -54.45055),
    (60.0, 225.52623, 82.08483),
];

fn drifting_circle() -> Vec<Check> {
    let wind = Wind::from_speed_from(4.0, deg(250.0));
    let omega = 6f64.to_radians();
    let heading = |t: f64| 30f64.to_radians() + omega * t;
    let place = |t: f64| {
        Position::<Ground>::new(
            wind.east_mps * t + 10.0 / omega * (heading(0.0).cos() - heading(t).cos()),
            wind.north_mps * t + 10.0 / omega * (heading(t).sin() - heading(0.0).sin()),
        )
    };
    let times: Vec<f64> = (0..=60).map(f64::from).collect();
    let places: Vec<_> = times.iter().map(|t| place(*t)).collect();
    let Ok(fit) = fit_drift(&times, &places, &WindPrior::vague()) else {
        return vec![failed(Group::Drift, "golden track", GOLDEN)];
    };
    let mut checks = vec![
        Check::derived(Group::Drift, "drifting circle: turn rate, °/s", GOLDEN, 6.0, fit.turn_rate.value.deg_s(), 1e-6),
        Check::derived(Group::Drift, "drifting circle: airspeed, m/s", GOLDEN, 10.0, fit.airspeed_mps.value, 1e-6),
        Check::derived(
            Group::Drift,
            "drifting circle: wind east, m/s",
            GOLDEN,
            3.758_770_483_2,
            fit.wind.east_mps,
            1e-6,
        ),
        Check::derived(
            Group::Drift,
            "drifting circle: wind north, m/s",
            GOLDEN,
            1.368_080_573_3,
            fit.wind.north_mps,
            1e-6,
        ),
    ];
    for (t, east, north) in TRACK {
        let got = fit.position_at(t);
        checks.push(Check::derived(
            Group::Drift,
            format!("drifting circle: east at {t} s, m"),
            GOLDEN,
            east,
            got.east_m,
            2e-5,
        ));
        checks.push(Check::derived(
            Group::Drift,
            format!("drifting circle: north at {t} s, m"),
            GOLDEN,
            north,
            got.north_m,
            2e-5,
        ));
    }
    checks
}

fn failed(group: Group, what: &str, source: &'static str) -> Check {
    Check::new(group, format!("{what}: a fit"), source, 1.0, 0.0, 0.0)
}
