//! What speaks against a window: data with the figure and the limit. Reports turn it into words and units.

use driftless_wind::flight::{EstimateError, UnclearWind};

/// One thing that speaks against a window. All but the cautions refuse it.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// The steady span is too short.
    TooShort {
        /// Its length, seconds.
        length_s: f64,
        /// What was cut after let-go for the transient, seconds.
        cut_s: f64,
        /// Least length, seconds.
        limit_s: f64,
    },
    /// It begins on the ground.
    BeforeTakeOff {
        /// How long before take-off, seconds.
        by_s: f64,
    },
    /// It ends on the ground.
    AfterLanding {
        /// How long after landing, seconds.
        by_s: f64,
    },
    /// It stays in one place, as on the ground.
    StaysPut {
        /// Farthest from its first fix, metres.
        extent_m: f64,
        /// Its length between fixes, seconds.
        seconds: f64,
        /// Least extent of a flight of that length, metres.
        limit_m: f64,
    },
    /// The log has a gap inside it.
    GapInLog {
        /// Longest time without a fix, seconds.
        longest_s: f64,
        /// Longest time allowed, seconds.
        limit_s: f64,
    },
    /// The turn rate is not the same at its start and its end.
    TurnRateChanging {
        /// Change from start to end, °/s.
        change_deg_s: f64,
        /// Its standard uncertainty, °/s.
        std_u_deg_s: f64,
        /// Largest change that is still called steady, °/s.
        limit_deg_s: f64,
    },
    /// A piece of a candidate turns at another rate than the whole.
    TurnRateUneven {
        /// Rate of the piece that departs most, °/s.
        rate_deg_s: f64,
        /// Its departure from the mean of the window, °/s.
        departure_deg_s: f64,
        /// Length of the piece, seconds.
        piece_s: f64,
        /// Largest departure that is still called steady, °/s.
        limit_deg_s: f64,
    },
    /// A speed is not the same at its start and its end.
    SpeedChanging {
        /// Which speed.
        speed: SteadySpeed,
        /// Change from start to end, m/s.
        change_mps: f64,
        /// Its standard uncertainty, m/s.
        std_u_mps: f64,
        /// Largest change that is still called steady, m/s.
        limit_mps: f64,
    },
    /// A speed scatters about its trend.
    SpeedScatters {
        /// Which speed.
        speed: SteadySpeed,
        /// Standard deviation about the trend, m/s.
        scatter_mps: f64,
        /// Largest one that is still called steady, m/s.
        limit_mps: f64,
    },
    /// A candidate that turns too fast for hands off.
    CandidateTurnsFast {
        /// Its mean turn rate, °/s.
        rate_deg_s: f64,
        /// Above this a candidate is taken as flown, °/s.
        limit_deg_s: f64,
    },
    /// A turn away from the mean that turbulence does not explain.
    PilotInput {
        /// Turn rate at the moment that departs most, °/s.
        rate_deg_s: f64,
        /// Its departure from the mean of the window, °/s.
        departure_deg_s: f64,
        /// How long it is held, seconds.
        held_s: f64,
        /// Largest departure that turbulence alone explains, °/s.
        limit_deg_s: f64,
    },
    /// The wind of the flight is not known.
    WindUnknown(WindUnknown),
    /// The flight's estimate does not reach this window.
    WindNotEstimated,
    /// The wind is known too badly in this window.
    WindUncertain {
        /// Standard uncertainty per axis, m/s.
        std_u_mps: f64,
        /// Largest one, m/s.
        limit_mps: f64,
    },
    /// No turn rate came out.
    RateNotMeasured,
    /// The turn rate is known too badly.
    RateUncertain {
        /// Standard uncertainty, °/s.
        std_u_deg_s: f64,
        /// Largest one that is still a result, °/s.
        limit_deg_s: f64,
    },
    /// The wind of the flight is not known, and the solutions that the log leaves open disagree on the turn rate.
    SolutionsDisagree {
        /// Half of the 95 % interval that holds them, °/s.
        margin_deg_s: f64,
        /// Largest one that is still a result, °/s.
        limit_deg_s: f64,
    },
    /// Caution: the wind of the flight is not known, and the turn rate holds for every airspeed that the log leaves open.
    AirspeedOpen {
        /// Slowest of them, m/s.
        slowest_mps: f64,
        /// Fastest, m/s.
        fastest_mps: f64,
    },
    /// Caution: the wind changed inside it.
    WindChanged {
        /// How long after its start, seconds.
        after_s: f64,
    },
    /// Caution: flown low.
    FlownLow {
        /// Lowest height above take-off, metres.
        height_m: f64,
        /// Least height advised, metres.
        limit_m: f64,
    },
    /// Caution: below take-off, where the height over the ground is not known.
    BelowTakeOff {
        /// Lowest height above take-off (negative), metres.
        height_m: f64,
    },
    /// Caution: low over the place where it landed.
    LowOverLanding {
        /// Lowest height above the landing place, metres.
        height_m: f64,
        /// Least height advised, metres.
        limit_m: f64,
    },
    /// Caution: it begins during take-off, as far as the time tells.
    JustAfterTakeOff {
        /// How long after take-off it begins, seconds.
        after_s: f64,
        /// What is taken for take-off, seconds.
        limit_s: f64,
    },
    /// Caution: it ends during the landing, as far as the time tells.
    JustBeforeLanding {
        /// How long before landing it ends, seconds.
        before_s: f64,
        /// What is taken for the landing, seconds.
        limit_s: f64,
    },
}

/// A speed that must be steady in a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SteadySpeed {
    /// True airspeed.
    Airspeed,
    /// Climb.
    Climb,
}

/// Why the wind of a flight is not known.
#[derive(Debug, Clone, PartialEq)]
pub enum WindUnknown {
    /// The flight could not be estimated.
    NoEstimate(EstimateError),
    /// It could, and leaves the wind open.
    Unclear(UnclearWind),
}

/// Figure, limit and their unit, as far as a finding has them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// What was found.
    pub value: Option<f64>,
    /// What was allowed.
    pub limit: Option<f64>,
    /// Unit of both.
    pub unit: Option<&'static str>,
}

impl Measured {
    const fn beside(value: f64, limit: f64, unit: &'static str) -> Self {
        Self { value: Some(value), limit: Some(limit), unit: Some(unit) }
    }

    const fn alone(value: f64, unit: &'static str) -> Self {
        Self { value: Some(value), limit: None, unit: Some(unit) }
    }

    const NOTHING: Self = Self { value: None, limit: None, unit: None };
}

impl Finding {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::TooShort { .. } => "too-short",
            Self::BeforeTakeOff { .. } => "before-take-off",
            Self::AfterLanding { .. } => "after-landing",
            Self::StaysPut { .. } => "stays-put",
            Self::GapInLog { .. } => "gap-in-log",
            Self::TurnRateChanging { .. } => "turn-rate-changing",
            Self::TurnRateUneven { .. } => "turn-rate-uneven",
            Self::SpeedChanging { speed: SteadySpeed::Airspeed, .. } => "airspeed-changing",
            Self::SpeedChanging { speed: SteadySpeed::Climb, .. } => "climb-changing",
            Self::SpeedScatters { speed: SteadySpeed::Airspeed, .. } => "airspeed-scatters",
            Self::SpeedScatters { speed: SteadySpeed::Climb, .. } => "climb-scatters",
            Self::CandidateTurnsFast { .. } => "candidate-turns-fast",
            Self::PilotInput { .. } => "pilot-input",
            Self::WindUnknown(why) => why.code(),
            Self::WindNotEstimated => "wind-not-estimated",
            Self::WindUncertain { .. } => "wind-uncertain",
            Self::RateNotMeasured => "rate-not-measured",
            Self::RateUncertain { .. } => "rate-uncertain",
            Self::SolutionsDisagree { .. } => "solutions-disagree",
            Self::AirspeedOpen { .. } => "airspeed-open",
            Self::WindChanged { .. } => "wind-changed",
            Self::FlownLow { .. } => "flown-low",
            Self::BelowTakeOff { .. } => "below-take-off",
            Self::LowOverLanding { .. } => "low-over-landing",
            Self::JustAfterTakeOff { .. } => "just-after-take-off",
            Self::JustBeforeLanding { .. } => "just-before-landing",
        }
    }

    /// The figure that decided, with its limit.
    pub const fn measured(&self) -> Measured {
        match *self {
            Self::TooShort { length_s, limit_s, .. } => Measured::beside(length_s, limit_s, "s"),
            Self::BeforeTakeOff { by_s } | Self::AfterLanding { by_s } => Measured::alone(by_s, "s"),
            Self::StaysPut { extent_m, limit_m, .. } => Measured::beside(extent_m, limit_m, "m"),
            Self::GapInLog { longest_s, limit_s } => Measured::beside(longest_s, limit_s, "s"),
            Self::TurnRateChanging { change_deg_s, limit_deg_s, .. } => {
                Measured::beside(change_deg_s, limit_deg_s, "°/s")
            }
            Self::TurnRateUneven { departure_deg_s, limit_deg_s, .. }
            | Self::PilotInput { departure_deg_s, limit_deg_s, .. } => {
                Measured::beside(departure_deg_s, limit_deg_s, "°/s")
            }
            Self::SpeedChanging { change_mps, limit_mps, .. } => Measured::beside(change_mps, limit_mps, "m/s"),
            Self::SpeedScatters { scatter_mps, limit_mps, .. } => Measured::beside(scatter_mps, limit_mps, "m/s"),
            Self::CandidateTurnsFast { rate_deg_s, limit_deg_s } => Measured::beside(rate_deg_s, limit_deg_s, "°/s"),
            Self::WindUnknown(ref why) => why.measured(),
            Self::WindUncertain { std_u_mps, limit_mps } => Measured::beside(std_u_mps, limit_mps, "m/s"),
            Self::RateUncertain { std_u_deg_s, limit_deg_s } => Measured::beside(std_u_deg_s, limit_deg_s, "°/s"),
            Self::SolutionsDisagree { margin_deg_s, limit_deg_s } => Measured::beside(margin_deg_s, limit_deg_s, "°/s"),
            // How far apart they lie.
            Self::AirspeedOpen { slowest_mps, fastest_mps } => Measured::alone(fastest_mps - slowest_mps, "m/s"),
            Self::WindChanged { after_s } => Measured::alone(after_s, "s"),
            Self::FlownLow { height_m, limit_m } | Self::LowOverLanding { height_m, limit_m } => {
                Measured::beside(height_m, limit_m, "m")
            }
            Self::JustAfterTakeOff { after_s, limit_s } => Measured::beside(after_s, limit_s, "s"),
            Self::JustBeforeLanding { before_s, limit_s } => Measured::beside(before_s, limit_s, "s"),
            Self::BelowTakeOff { height_m } => Measured::alone(height_m, "m"),
            Self::WindNotEstimated | Self::RateNotMeasured => Measured::NOTHING,
        }
    }

    /// Whether it refuses the window; a caution does not.
    pub const fn refuses(&self) -> bool {
        !self.near_ground() && !matches!(self, Self::WindChanged { .. } | Self::AirspeedOpen { .. })
    }

    /// Whether it says that the aircraft was near the ground: below the height advised, on take-off, on landing.
    pub const fn near_ground(&self) -> bool {
        matches!(
            self,
            Self::FlownLow { .. }
                | Self::BelowTakeOff { .. }
                | Self::LowOverLanding { .. }
                | Self::JustAfterTakeOff { .. }
                | Self::JustBeforeLanding { .. }
        )
    }
}

impl WindUnknown {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoEstimate(EstimateError::OnTheGround) => "wind-on-the-ground",
            Self::NoEstimate(EstimateError::TooShort { .. }) => "wind-flight-too-short",
            Self::NoEstimate(EstimateError::Diverged) => "wind-no-convergence",
            Self::Unclear(UnclearWind::NoFlight) => "wind-no-flight",
            Self::Unclear(UnclearWind::HeadingsTooAlike { .. }) => "wind-headings-too-alike",
            Self::Unclear(UnclearWind::AirspeedNotTold { .. }) => "wind-airspeed-not-told",
            Self::Unclear(UnclearWind::AirspeedNotBelieved { .. }) => "wind-airspeed-not-believed",
        }
    }

    /// The figure that decided, with its limit.
    pub const fn measured(&self) -> Measured {
        match *self {
            Self::NoEstimate(EstimateError::TooShort { nodes, needed }) => {
                Measured::beside(nodes as f64, needed as f64, "s")
            }
            Self::Unclear(UnclearWind::HeadingsTooAlike { wind_std_u_mps, limit_mps }) => {
                Measured::beside(wind_std_u_mps, limit_mps, "m/s")
            }
            Self::Unclear(UnclearWind::AirspeedNotTold { airspeed_std_u_mps, limit_mps }) => {
                Measured::beside(airspeed_std_u_mps, limit_mps, "m/s")
            }
            Self::Unclear(UnclearWind::AirspeedNotBelieved { airspeed_mps, limit_mps }) => {
                Measured::beside(airspeed_mps, limit_mps, "m/s")
            }
            Self::NoEstimate(EstimateError::OnTheGround | EstimateError::Diverged)
            | Self::Unclear(UnclearWind::NoFlight) => Measured::NOTHING,
        }
    }
}
