//! How far an inertial sensor came on its way into a report.

use driftless_inertial::ImuError;
use driftless_inertial::align::AlignError;
use driftless_segment::{Measured, WindUnknown};
use driftless_wind::flight::GyroEstimateError;

/// How far an inertial sensor came, and why no farther.
#[derive(Debug, Clone, PartialEq)]
pub enum InertialStatus {
    /// It took part in the estimate of the flight.
    Used(SensorsUsed),
    /// It lies on the flight, and the estimate goes without it.
    NotUsed(NotUsed),
    /// It was read and cannot be laid on the flight.
    NotAligned(NotAligned),
    /// No file of it could be read.
    NotRead(NotRead),
}

/// Which of its sensors took part.
#[derive(Debug, Clone, PartialEq)]
pub enum SensorsUsed {
    /// The gyro.
    Gyro,
    /// The gyro and the compass.
    GyroAndCompass,
    /// The compass alone, and why not the gyro.
    Compass(GyroEstimateError),
}

/// Why an aligned sensor has no part in the estimate.
#[derive(Debug, Clone, PartialEq)]
pub enum NotUsed {
    /// The flight could not be estimated.
    NoEstimate,
    /// The estimate with the gyro failed, and no compass stands in for it.
    Gyro(GyroEstimateError),
}

/// Why a sensor cannot be laid on the flight.
#[derive(Debug, Clone, PartialEq)]
pub enum NotAligned {
    /// Its gyro turns faster than any such sensor measures, so that the alignment says nothing.
    GyroUnit {
        /// What it reads at the most, rad/s.
        fastest_rad_s: f64,
        /// What such sensors measure at the most, rad/s.
        limit_rad_s: f64,
    },
    /// The alignment failed.
    Align(AlignError),
}

impl NotAligned {
    /// Stable name of the reason, in kebab-case, and the figure that decided, with its limit.
    pub fn reason(&self) -> (&'static str, Measured) {
        match self {
            Self::GyroUnit { fastest_rad_s, limit_rad_s } => {
                let (value, limit) = (Some(*fastest_rad_s), Some(*limit_rad_s));
                ("gyro-unit", Measured { value, limit, unit: Some("rad/s") })
            }
            Self::Align(error) => {
                let (value, limit, unit) = error.measured();
                (error.code(), Measured { value, limit, unit })
            }
        }
    }
}

/// The first fault of files of which none can be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{file}: {error}")]
pub struct NotRead {
    /// Name of the file.
    pub file: String,
    /// What is wrong with it.
    pub error: ImuError,
}

impl NotRead {
    /// No file was given at all.
    pub(super) const fn nothing() -> Self {
        Self { file: String::new(), error: ImuError::Empty { bytes: 0 } }
    }
}

impl InertialStatus {
    /// Stable name, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Used(_) => "used",
            Self::NotUsed(_) => "not-used",
            Self::NotAligned(_) => "not-aligned",
            Self::NotRead(_) => "not-read",
        }
    }

    /// Why it came no farther: stable name of the reason, in kebab-case, and the figure that decided, with its limit; `None`
    /// where it took part.
    pub fn reason(&self) -> Option<(&'static str, Measured)> {
        match self {
            Self::Used(_) => None,
            Self::NotUsed(NotUsed::NoEstimate) => Some(("no-estimate", Measured::default())),
            Self::NotUsed(NotUsed::Gyro(GyroEstimateError::NoOverlap)) => {
                Some(("gyro-outside-flight", Measured::default()))
            }
            Self::NotUsed(NotUsed::Gyro(GyroEstimateError::Estimate(error))) => {
                let why = WindUnknown::NoEstimate(error.clone());
                Some((why.code(), why.measured()))
            }
            Self::NotAligned(why) => Some(why.reason()),
            Self::NotRead(why) => {
                let (value, unit) = why.error.measured();
                Some((why.error.code(), Measured { value, limit: None, unit }))
            }
        }
    }

    /// Whether gyro or compass took part in the estimate of the flight.
    pub const fn takes_part(&self) -> bool {
        matches!(self, Self::Used(_))
    }

    /// Whether the gyro did.
    pub const fn gyro_takes_part(&self) -> bool {
        matches!(self, Self::Used(SensorsUsed::Gyro | SensorsUsed::GyroAndCompass))
    }

    /// Whether the compass did.
    pub const fn compass_takes_part(&self) -> bool {
        matches!(self, Self::Used(SensorsUsed::GyroAndCompass | SensorsUsed::Compass(_)))
    }

    /// Why an aligned gyro has no part in the estimate; `None` when it has one, or was not tried.
    pub const fn gyro_failed(&self) -> Option<&GyroEstimateError> {
        match self {
            Self::Used(SensorsUsed::Compass(error)) | Self::NotUsed(NotUsed::Gyro(error)) => Some(error),
            _ => None,
        }
    }
}
