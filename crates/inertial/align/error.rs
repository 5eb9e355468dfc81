//! Why inertial data cannot be laid on a flight: data with the figure and the limit. Reports turn it into words.

use crate::mounting::DownError;

/// Why the inertial data cannot be used with a flight. The flight's own result does not need it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AlignError {
    /// There is no gyro.
    NoGyro,
    /// An axis of the gyro is dead.
    DeadGyroAxis,
    /// Down is unknown.
    Down(DownError),
    /// Another day, or no common time.
    NoOverlap {
        /// Seconds between the two.
        apart_s: f64,
    },
    /// The flight does not turn enough for a clock offset to show.
    TooLittleTurning {
        /// Root mean square of its turn rate about the mean, rad/s.
        turning_rad_s: f64,
        /// How well that is known, rad/s.
        std_u_rad_s: f64,
        /// Least that tells an offset, rad/s.
        limit_rad_s: f64,
    },
    /// Gyro and flight share too little time, or one of them does not turn.
    NothingInCommon,
    /// No offset makes their turn rates alike.
    CorrelationOfChance {
        /// The best correlation.
        correlation: f64,
        /// Least that chance does not give.
        limit: f64,
    },
    /// Two offsets fit about as well.
    AnotherOffset {
        /// Score of the second, over that of the first.
        rival: f64,
        /// Largest that leaves the first alone.
        limit: f64,
    },
    /// Too little time in common to find the offset exactly.
    TooLittleShared,
    /// The offset comes out too uncertain.
    OffsetUncertain {
        /// Its standard uncertainty, seconds.
        std_u_s: f64,
        /// Largest that is taken, seconds.
        limit_s: f64,
        /// Correlation of the turn rates.
        correlation: f64,
    },
    /// Rates are off by a known factor: 57.3 either way.
    GyroUnit {
        /// Gyro over flight.
        factor: f64,
    },
    /// Rates are off by a factor that no calibration error explains.
    NotThisGyro {
        /// Gyro over flight.
        factor: f64,
        /// Nearest that is taken.
        limit: f64,
    },
}

impl From<DownError> for AlignError {
    fn from(error: DownError) -> Self {
        Self::Down(error)
    }
}

impl AlignError {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoGyro => "no-gyro",
            Self::DeadGyroAxis => "gyro-axis-dead",
            Self::Down(DownError::NoAccelerometer) => "no-accelerometer",
            Self::Down(DownError::TooShort { .. }) => "accelerometer-too-short",
            Self::Down(DownError::Loose { .. }) => "sensor-loose",
            Self::NoOverlap { .. } => "no-overlap",
            Self::TooLittleTurning { .. } => "too-little-turning",
            Self::NothingInCommon => "nothing-in-common",
            Self::CorrelationOfChance { .. } => "correlation-of-chance",
            Self::AnotherOffset { .. } => "another-offset",
            Self::TooLittleShared => "too-little-shared",
            Self::OffsetUncertain { .. } => "offset-uncertain",
            Self::GyroUnit { .. } => "gyro-unit",
            Self::NotThisGyro { .. } => "not-this-gyro",
        }
    }

    /// What was found, what it was held against, and their unit.
    pub const fn measured(&self) -> (Option<f64>, Option<f64>, Option<&'static str>) {
        match *self {
            Self::Down(DownError::TooShort { blocks, needed }) => (Some(blocks as f64), Some(needed as f64), None),
            Self::Down(DownError::Loose { spread_deg, limit_deg }) => (Some(spread_deg), Some(limit_deg), Some("°")),
            Self::NoOverlap { apart_s } => (Some(apart_s), None, Some("s")),
            Self::TooLittleTurning { turning_rad_s, limit_rad_s, .. } => {
                (Some(turning_rad_s.to_degrees()), Some(limit_rad_s.to_degrees()), Some("°/s"))
            }
            Self::CorrelationOfChance { correlation, limit } => (Some(correlation), Some(limit), None),
            Self::AnotherOffset { rival, limit } => (Some(rival), Some(limit), None),
            Self::OffsetUncertain { std_u_s, limit_s, .. } => (Some(std_u_s), Some(limit_s), Some("s")),
            Self::GyroUnit { factor } => (Some(factor), None, None),
            Self::NotThisGyro { factor, limit } => (Some(factor), Some(limit), None),
            Self::NoGyro
            | Self::DeadGyroAxis
            | Self::Down(DownError::NoAccelerometer)
            | Self::NothingInCommon
            | Self::TooLittleShared => (None, None, None),
        }
    }
}
