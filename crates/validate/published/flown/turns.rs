//! Published turns, flown as circles with the hands off, in wind.
//!
//! Turns of airliners are flown slower at the bank printed. A bank allows half the airspeed twice the rate and a quarter of
//! the radius (tan φ = Vω/g), and what is reported is scaled back by that before it is compared.

use super::{Angle, Check, Format, Group, Leg, Setting, Wind, analysed, fly};

/// A window holds a full circle, and lasts at least this long, s.
const WINDOW_S: f64 = 60.0;
const KNOT_MPS: f64 = 1852.0 / 3600.0;
const FOOT_M: f64 = 0.3048;
/// The wind flown in, m/s and degrees (generated).
const WIND: (f64, f64) = (5.0, 250.0);

const FAA: &str = "FAA-H-8083-25, rate and radius of turn: airspeed, bank, rate and radius printed (with rounded constants; \
                   radius from memory); flown slower at the same bank and scaled back; wind and log generated";
const SCHOOL: &str = "wannamaker.org/aviation/turns: airspeed, rate and radius printed; wind and log generated";
const FORUM: &str = "pprune 178506: airspeed, bank, rate and time of a circle printed; wind and log generated";

/// What was printed of a turn.
struct Turn {
    source: &'static str,
    airspeed_kt: f64,
    rate_deg_s: f64,
    /// How many times slower it is flown.
    slower: f64,
    bank_deg: Option<f64>,
    radius_ft: Option<f64>,
    circle_s: Option<f64>,
    /// The format it is written in.
    format: Format,
}

const TURNS: [Turn; 4] = [
    Turn {
        source: FAA,
        airspeed_kt: 120.0,
        rate_deg_s: 5.25,
        slower: 2.0,
        bank_deg: Some(30.0),
        radius_ft: Some(2_215.0),
        circle_s: Some(68.6),
        format: Format::Gpx,
    },
    Turn {
        source: FAA,
        airspeed_kt: 240.0,
        rate_deg_s: 2.63,
        slower: 3.0,
        bank_deg: Some(30.0),
        radius_ft: Some(8_861.0),
        circle_s: Some(137.0),
        format: Format::Igc,
    },
    Turn {
        source: SCHOOL,
        airspeed_kt: 100.0,
        rate_deg_s: 3.0,
        slower: 1.0,
        bank_deg: None,
        radius_ft: Some(3_223.0),
        circle_s: None,
        format: Format::Nmea,
    },
    Turn {
        source: FORUM,
        airspeed_kt: 60.0,
        rate_deg_s: 6.63,
        slower: 1.0,
        bank_deg: Some(20.0),
        radius_ft: None,
        circle_s: Some(54.3),
        format: Format::Csv,
    },
];

pub(super) fn checks() -> Vec<Check> {
    TURNS.iter().flat_map(Turn::checks).collect()
}

impl Turn {
    fn checks(&self) -> Vec<Check> {
        let &Self { source, airspeed_kt, rate_deg_s, bank_deg, radius_ft, circle_s, .. } = self;
        let got = self.reported();
        let case = format!("turn of {airspeed_kt} kt at {rate_deg_s} °/s, flown");
        let check = |group: Group, what: &str, expected: f64, got: Option<f64>, tolerance: f64| {
            Check::new(group, format!("{case}: {what}"), source, expected, got.unwrap_or(f64::NAN), tolerance)
        };
        let airspeed_mps = KNOT_MPS * airspeed_kt;
        let mut checks = vec![
            check(Group::FlownTurn, "turn rate, °/s", rate_deg_s, got.map(|g| g.rate_deg_s), 0.02),
            check(Group::FlownAirspeed, "airspeed, m/s", airspeed_mps, got.map(|g| g.airspeed_mps), 0.3),
        ];
        // The wind is not published.
        for (what, expected, got, tolerance) in [
            ("wind from, °", WIND.1, got.map(|g| g.wind_from_deg), 2.0),
            ("wind, m/s", WIND.0, got.map(|g| g.wind_mps), 0.2),
        ] {
            let got = got.unwrap_or(f64::NAN);
            checks.push(Check::derived(
                Group::FlownWind,
                format!("{case}: {what}"),
                "wind flown in, generated",
                expected,
                got,
                tolerance,
            ));
        }
        // Rounded constants of the handbook, rounding of the printed rate, and the rate and airspeed above.
        if let Some(bank_deg) = bank_deg {
            checks.push(check(Group::FlownBank, "bank, °", bank_deg, got.map(|g| g.bank_deg), 0.2));
        }
        if let Some(radius_ft) = radius_ft {
            checks.push(check(
                Group::FlownBank,
                "radius, ft",
                radius_ft,
                got.map(|g| g.radius_m / FOOT_M),
                0.008 * radius_ft,
            ));
        }
        if let Some(circle_s) = circle_s {
            checks.push(check(
                Group::FlownTurn,
                "full circle, s",
                circle_s,
                got.map(|g| 360.0 / g.rate_deg_s),
                0.005 * circle_s,
            ));
        }
        checks
    }

    /// What the program reports of a full circle and more with the hands off.
    fn reported(&self) -> Option<Reported> {
        let setting = Setting::TrimLevel;
        let (airspeed_mps, rate_deg_s) = (KNOT_MPS * self.airspeed_kt / self.slower, self.slower * self.rate_deg_s);
        let legs = vec![
            Leg::Straight { seconds: 40.0, setting: Some(setting), heading_deg: Some(0.0) },
            Leg::HandsOff { seconds: WINDOW_S.max(360.0 / rate_deg_s), setting: Some(setting) },
            Leg::Straight { seconds: 40.0, setting: Some(setting), heading_deg: None },
        ];
        let wind = Wind::from_speed_from(WIND.0, Angle::from_deg(WIND.1));
        let flight = fly(&[(setting, airspeed_mps, rate_deg_s)], wind, 0.0, legs)?;
        let analysis = analysed(&flight, self.format)?;
        let window = analysis.accepted().next()?;
        let wind = window.wind?;
        Some(Reported {
            rate_deg_s: window.turn_rate?.value.deg_s() / self.slower,
            airspeed_mps: window.airspeed_mps?.value * self.slower,
            bank_deg: window.bank?.deg(),
            radius_m: window.air_radius_m? * self.slower.powi(2),
            wind_mps: wind.speed_mps(),
            wind_from_deg: wind.from_deg(),
        })
    }
}

/// A window as reported, scaled back.
#[derive(Debug, Clone, Copy)]
struct Reported {
    rate_deg_s: f64,
    airspeed_mps: f64,
    bank_deg: f64,
    radius_m: f64,
    wind_mps: f64,
    wind_from_deg: f64,
}
