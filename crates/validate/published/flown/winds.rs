//! Winds and airspeeds from straight legs.

use super::{Angle, Check, FORMATS, Format, Group, Leg, Node, Setting, SimulatedFlight, Wind, analysed, fly, mean};
use driftless_units::{Velocity, wrap_180_deg, wrap_360_deg};

/// Metres per second flown for a knot published.
const SCALE: f64 = 0.1;
const LEG_S: f64 = 90.0;
const TURN_DEG_S: f64 = 6.0;
/// How near wind and airspeed of a flight without noise must come, m/s.
const NEAR_MPS: f64 = 0.1;
/// How near its headings: what the wind may be off by, across the airspeed.
const NEAR_DEG: f64 = 0.6;
/// Position noise of the second flight, m.
const NOISE_M: f64 = 0.4;

/// A published case in knots and degrees.
struct Case {
    name: &'static str,
    source: &'static str,
    /// Whether wind and airspeed were published, or ground speeds that tell them; else the formula alone was.
    truth_published: bool,
    /// Speed and where from.
    wind: (f64, f64),
    legs: Legs,
}

/// How the legs of a case are given.
enum Legs {
    /// Ground speeds and tracks.
    Ground(&'static [(f64, f64)]),
    /// An airspeed, and headings.
    Headings(f64, &'static [f64]),
    /// An airspeed, and tracks.
    Tracks(f64, &'static [f64]),
}

const CASES: [Case; 6] = [
    Case {
        name: "three legs of Gray",
        source: "D. Gray, Using GPS to accurately establish True Airspeed (1998): ground speeds and tracks published, \
                 wind recomputed from them to seven digits; times generated",
        truth_published: true,
        wind: (20.633_444_0, 314.758_446_7),
        legs: Legs::Ground(&[(140.0, 192.0), (112.0, 283.0), (120.0, 20.0)]),
    },
    Case {
        name: "four legs of NTPS",
        source: "aerocalc documentation, NTPS four-leg sample data: ground speeds and tracks published, wind of the \
                 circle through all four recomputed from them; times generated",
        truth_published: true,
        wind: (5.006_958_1, 179.456_596),
        legs: Legs::Ground(&[(178.0, 178.0), (185.0, 82.0), (188.0, 355.0), (184.0, 265.0)]),
    },
    Case {
        name: "cardinal headings of Horton",
        source: "K. Horton, Finding TAS from GPS data: truth published; ground speeds and times generated",
        truth_published: true,
        wind: (20.0, 270.0),
        legs: Legs::Headings(100.0, &[0.0, 90.0, 180.0, 270.0]),
    },
    Case {
        name: "three headings of Williams",
        source: "E. Williams, Aviation Formulary: formula published; truth, ground speeds and times generated",
        truth_published: false,
        wind: (20.0, 270.0),
        legs: Legs::Headings(100.0, &[40.0, 160.0, 280.0]),
    },
    Case {
        name: "north, east, south of Lowry",
        source: "J. T. Lowry, Performance of Light Aircraft (1999), p. 31: formula published; truth, ground speeds and \
                 times generated",
        truth_published: false,
        wind: (25.0, 300.0),
        legs: Legs::Headings(100.0, &[0.0, 90.0, 180.0]),
    },
    Case {
        name: "three tracks of Sanchez",
        source: "P. K. Sanchez, newsgroup article: truth and tracks published; ground speeds and times generated",
        truth_published: true,
        wind: (30.0, 45.0),
        legs: Legs::Tracks(100.0, &[0.0, 120.0, 240.0]),
    },
];

pub(super) fn checks() -> Vec<Check> {
    CASES.iter().flat_map(Case::checks).collect()
}

impl Case {
    fn wind(&self) -> Wind {
        Wind::from_speed_from(SCALE * self.wind.0, Angle::from_deg(self.wind.1))
    }

    /// Heading in degrees and airspeed in m/s of each leg.
    fn headings(&self) -> Vec<(f64, f64)> {
        match self.legs {
            Legs::Headings(kt, headings) => headings.iter().map(|&heading_deg| (heading_deg, SCALE * kt)).collect(),
            Legs::Ground(legs) => legs
                .iter()
                .map(|&(kt, track_deg)| {
                    let air =
                        self.wind().air_velocity(Velocity::from_speed_course(SCALE * kt, Angle::from_deg(track_deg)));
                    (air.direction().bearing_deg(), air.speed_mps())
                })
                .collect(),
            // The sine rule of the wind triangle.
            Legs::Tracks(kt, tracks) => tracks
                .iter()
                .map(|&track_deg| {
                    let across = self.wind.0 / kt * (self.wind.1 - track_deg).to_radians().sin();
                    (wrap_360_deg(track_deg + across.asin().to_degrees()), SCALE * kt)
                })
                .collect(),
        }
    }

    fn checks(&self) -> Vec<Check> {
        let Self { name, source, .. } = *self;
        let quiet = self.flight();
        let errors: Vec<Errors> =
            FORMATS.iter().map(|&format| self.errors(quiet.as_ref(), format).unwrap_or(Errors::NONE)).collect();
        let noisy = quiet.map(noisy);
        // One format suffices to see whether stated uncertainties hold.
        let shaken = self.errors(noisy.as_ref(), Format::Gpx).unwrap_or(Errors::NONE);
        let worst = |value: fn(&Errors) -> f64| errors.iter().map(value).fold(0.0, f64::max);
        let check = |group: Group, what: &str, got: f64, tolerance: f64| {
            let what = format!("{name}, flown, {what}");
            let check = if self.truth_published { Check::new } else { Check::derived };
            check(group, what, source, 0.0, got, tolerance)
        };
        vec![
            check(Group::FlownWind, "worst of four formats: error of the wind, m/s", worst(|e| e.wind_mps), NEAR_MPS),
            check(
                Group::FlownAirspeed,
                "worst of four formats: error of the airspeed, m/s",
                worst(|e| e.airspeed_mps),
                NEAR_MPS,
            ),
            check(
                Group::FlownHeading,
                "worst of four formats: error of the headings, °",
                worst(|e| e.heading_deg),
                NEAR_DEG,
            ),
            check(
                Group::FlownWind,
                "worst of four formats: error of the wind in stated uncertainties",
                worst(|e| e.wind_in_u),
                2.0,
            ),
            check(
                Group::FlownWind,
                "with 0.4 m of noise: error of the wind in stated uncertainties",
                shaken.wind_in_u,
                2.0,
            ),
            check(
                Group::FlownAirspeed,
                "with 0.4 m of noise: error of the airspeed in stated uncertainties",
                shaken.airspeed_in_u,
                2.0,
            ),
        ]
    }

    /// Its legs, one after the other. An airspeed of its own is a power setting of its own.
    fn flight(&self) -> Option<SimulatedFlight> {
        let headings = self.headings();
        let mut settings: Vec<(Setting, f64, f64)> = Vec::new();
        let mut legs = Vec::new();
        let first_deg = headings.first()?.0;
        let mut heading_deg = first_deg;
        for (to_deg, airspeed_mps) in headings {
            let known = settings.iter().find(|known| (known.1 - airspeed_mps).abs() < 1e-6).map(|known| known.0);
            let setting = match known {
                Some(setting) => setting,
                None => {
                    let &next = Setting::ALL.get(settings.len())?;
                    settings.push((next, airspeed_mps, 0.0));
                    next
                }
            };
            if to_deg != heading_deg {
                let by_deg = wrap_180_deg(to_deg - heading_deg);
                legs.push(Leg::Turn { by_deg, rate_deg_s: TURN_DEG_S, setting: Some(setting) });
            }
            legs.push(Leg::Straight { seconds: LEG_S, setting: Some(setting), heading_deg: Some(to_deg) });
            heading_deg = to_deg;
        }
        fly(&settings, self.wind(), first_deg, legs)
    }

    /// What the program makes of it. A flight that gives no estimate is off by more than anything.
    fn errors(&self, flight: Option<&SimulatedFlight>, format: Format) -> Option<Errors> {
        let flight = flight?;
        let analysis = analysed(flight, format)?;
        let estimate = analysis.estimate.as_ref()?;
        let shift_s = analysis.track.seconds_of(flight.truth.epoch);
        let (truth, headings) = (self.wind(), self.headings());
        let mut errors = Errors::default();
        let mut on_legs: Vec<&Node> = Vec::new();
        for &(heading_deg, airspeed_mps) in &headings {
            // The leg is where the truth flies its heading.
            let steps = flight.truth.steps.iter().filter(|s| {
                wrap_180_deg(s.heading.deg() - heading_deg).abs() < 0.5 && (s.airspeed_mps - airspeed_mps).abs() < 0.01
            });
            let times: Vec<f64> = steps.map(|s| s.t_s + shift_s).collect();
            let nodes: Vec<&Node> = estimate.nodes_in(*times.first()?, *times.last()?).iter().collect();
            let heading = mean(&nodes, |n| wrap_180_deg(n.heading.value.deg() - heading_deg));
            errors.heading_deg = errors.heading_deg.max(heading.abs());
            on_legs.extend(nodes);
        }
        let wind = [mean(&on_legs, |n| n.wind.east_mps), mean(&on_legs, |n| n.wind.north_mps)];
        errors.wind_mps = (wind[0] - truth.east_mps).hypot(wind[1] - truth.north_mps);
        errors.wind_in_u = errors.wind_mps / mean(&on_legs, Node::wind_std_u_mps);
        let true_mps = headings.iter().map(|leg| leg.1).sum::<f64>() / headings.len() as f64;
        errors.airspeed_mps = (mean(&on_legs, |n| n.airspeed_mps.value) - true_mps).abs();
        errors.airspeed_in_u = errors.airspeed_mps / mean(&on_legs, |n| n.airspeed_mps.std_u);
        Some(errors)
    }
}

/// How far the mean over the legs lies off.
#[derive(Debug, Clone, Copy, Default)]
struct Errors {
    wind_mps: f64,
    /// Over its stated standard uncertainty, as is the airspeed's.
    wind_in_u: f64,
    airspeed_mps: f64,
    airspeed_in_u: f64,
    /// The worst leg's.
    heading_deg: f64,
}

impl Errors {
    const NONE: Self = Self {
        wind_mps: f64::INFINITY,
        wind_in_u: f64::INFINITY,
        airspeed_mps: f64::INFINITY,
        airspeed_in_u: f64::INFINITY,
        heading_deg: f64::INFINITY,
    };
}

/// The same plan, recorded with noise.
fn noisy(quiet: SimulatedFlight) -> SimulatedFlight {
    let mut scenario = quiet.scenario.clone();
    scenario.sensors.position_white_m = NOISE_M;
    driftless_sim::simulate(&scenario, scenario.seed).unwrap_or(quiet)
}
