//! Where an analysis stands, for a progress display.

/// What is being done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Cleaning the track.
    Track,
    /// Looking for a first wind.
    FirstWind,
    /// Estimating the flight without windows.
    FreeEstimate,
    /// Finding windows.
    Windows,
    /// Estimating the flight with its windows.
    Estimate,
    /// Aligning inertial files, if there are any.
    Inertial,
    /// Measuring and judging.
    Measure,
}

impl Stage {
    /// All of them in order.
    pub const ALL: [Self; 7] = [
        Self::Track,
        Self::FirstWind,
        Self::FreeEstimate,
        Self::Windows,
        Self::Estimate,
        Self::Inertial,
        Self::Measure,
    ];

    /// What is being done, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Track => "cleaning the track",
            Self::FirstWind => "looking for a first wind",
            Self::FreeEstimate => "estimating the flight",
            Self::Windows => "finding windows",
            Self::Estimate => "estimating the flight with its windows",
            Self::Inertial => "aligning inertial data",
            Self::Measure => "measuring windows",
        }
    }
}
