//! What speaks against a compass: data with the figure and the limit. Reports turn it into words.

use driftless_inertial::compass::{CalibrationDoubt, EarthError};
use driftless_segment::Measured;
use driftless_wind::flight::CompassEstimateError;

/// One thing for which a compass is left out.
#[derive(Debug, Clone, PartialEq)]
pub enum CompassDoubt {
    /// Inertial sensors beside the log took its place.
    SensorsInstead,
    /// Its calibration does not hold.
    Calibration(CalibrationDoubt),
    /// Its declination is not known.
    DeclinationUnknown(EarthError),
    /// It shows another direction than the estimate, throughout.
    Offset {
        /// Recorded less estimated heading, declination taken off, degrees.
        offset_deg: f64,
        /// Largest that is taken, degrees.
        limit_deg: f64,
    },
    /// It scatters about the estimated heading.
    Scatter {
        /// Standard deviation, degrees.
        scatter_deg: f64,
        /// Largest that is taken, degrees.
        limit_deg: f64,
    },
    /// The headings flown are too few to tell its deviation.
    FewHeadings {
        /// Headings flown, degrees in all.
        flown_deg: f64,
        /// Fewest, degrees.
        limit_deg: f64,
    },
    /// A coefficient of its deviation is too large.
    Deviation {
        /// Which: A to E.
        coefficient: char,
        /// Found, degrees.
        found_deg: f64,
        /// What was to be expected (standard uncertainty), degrees.
        expected_deg: f64,
    },
    /// It errs with bank.
    Heeling {
        /// Degrees for each degree of bank.
        per_bank: f64,
        /// Largest that is taken.
        limit: f64,
    },
    /// Its headings wander.
    Wander {
        /// Root mean square beyond any steady deviation, degrees.
        wander_deg: f64,
    },
    /// Its deviation changed in flight.
    DeviationJumped {
        /// When most, seconds from the first fix.
        at_s: f64,
        /// By how many standard deviations.
        sigmas: f64,
        /// Most that a steady one shows.
        limit: f64,
    },
    /// With it a turn changes by more than its uncertainty without.
    TurnMoved {
        /// Change over uncertainty.
        sigmas: f64,
        /// Largest that is taken.
        limit: f64,
    },
    /// With it the wind changes by more than its uncertainty without.
    WindMoved {
        /// Change over uncertainty.
        sigmas: f64,
        /// Largest that is taken.
        limit: f64,
    },
    /// The estimate with it failed.
    EstimateFailed(CompassEstimateError),
}

impl CompassDoubt {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::SensorsInstead => "sensors-instead",
            Self::Calibration(doubt) => doubt.code(),
            Self::DeclinationUnknown(_) => CalibrationDoubt::EarthFieldUnknown.code(),
            Self::Offset { .. } => "offset",
            Self::Scatter { .. } => "scatter",
            Self::FewHeadings { .. } => "few-headings",
            Self::Deviation { .. } => "deviation",
            Self::Heeling { .. } => "heeling",
            Self::Wander { .. } => "wander",
            Self::DeviationJumped { .. } => "deviation-jumped",
            Self::TurnMoved { .. } => "turn-moved",
            Self::WindMoved { .. } => "wind-moved",
            Self::EstimateFailed(_) => "estimate-failed",
        }
    }

    /// What was found, what it was held against (a limit, or what is to be expected), and their unit.
    pub const fn measured(&self) -> Measured {
        let (value, limit, unit) = match *self {
            Self::Calibration(doubt) => doubt.measured(),
            Self::Offset { offset_deg: value, limit_deg }
            | Self::Scatter { scatter_deg: value, limit_deg }
            | Self::FewHeadings { flown_deg: value, limit_deg } => (Some(value), Some(limit_deg), Some("°")),
            Self::Deviation { found_deg, expected_deg, .. } => (Some(found_deg), Some(expected_deg), Some("°")),
            Self::Heeling { per_bank, limit } => (Some(per_bank), Some(limit), Some("°/°")),
            Self::Wander { wander_deg } => (Some(wander_deg), None, Some("°")),
            Self::DeviationJumped { sigmas, limit, .. }
            | Self::TurnMoved { sigmas, limit }
            | Self::WindMoved { sigmas, limit } => (Some(sigmas), Some(limit), None),
            Self::SensorsInstead | Self::DeclinationUnknown(_) | Self::EstimateFailed(_) => (None, None, None),
        };
        Measured { value, limit, unit }
    }
}
