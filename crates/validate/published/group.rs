//! What checks of the page are of, so that reported figures can say on which of them they rest.

/// A part of the program, or of its results, that checks of the page hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// Winds and airspeeds of the velocity circle, which the whole-flight estimate starts from.
    Circles,
    /// The drifting circle.
    Drift,
    /// The least-squares solver under the drifting circle.
    LeastSquares,
    /// Winds of flights that went the whole way of a user's log.
    FlownWind,
    /// Airspeeds of such flights.
    FlownAirspeed,
    /// Headings of such flights.
    FlownHeading,
    /// Turn rates of such flights.
    FlownTurn,
    /// Banks and radii of such flights.
    FlownBank,
    /// The coordinated turn.
    Turns,
    /// Half-widths of intervals, from Student's t.
    Margins,
    /// True airspeed from a recorded indicated one.
    Airspeed,
    /// The local frame on the ellipsoid.
    Geodesy,
    /// Lines of logs.
    Formats,
    /// The spread that the cells of a campaign share.
    SharedSpread,
}

impl Group {
    /// All of them, in the order in which the list names them.
    pub const ALL: [Self; 14] = [
        Self::FlownTurn,
        Self::FlownWind,
        Self::FlownAirspeed,
        Self::FlownHeading,
        Self::FlownBank,
        Self::Circles,
        Self::Drift,
        Self::LeastSquares,
        Self::Turns,
        Self::Margins,
        Self::Airspeed,
        Self::Geodesy,
        Self::Formats,
        Self::SharedSpread,
    ];

    /// As the list of reported figures calls its checks.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Circles => "circles",
            Self::Drift => "the drifting circle",
            Self::LeastSquares => "regressions of NIST",
            Self::FlownWind => "winds flown",
            Self::FlownAirspeed => "airspeeds flown",
            Self::FlownHeading => "headings flown",
            Self::FlownTurn => "turns flown",
            Self::FlownBank => "banks and radii flown",
            Self::Turns => "rate, bank and radius",
            Self::Margins => "coverage factors",
            Self::Airspeed => "indicated airspeed",
            Self::Geodesy => "the local frame",
            Self::Formats => "lines of logs",
            Self::SharedSpread => "the shared spread",
        }
    }
}
