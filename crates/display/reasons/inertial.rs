//! Why an inertial sensor came no farther, in words.

use super::apart;
use crate::{beside_limit, fixed};
use driftless_analysis::{AlignError, DownError, FileNotUsed, GyroEstimateError, InertialStatus, NotAligned, NotUsed};

/// Why a sensor has no part in the estimate, as a clause; `None` for one that has.
pub fn why_not_used(status: &InertialStatus) -> Option<String> {
    match status {
        InertialStatus::Used(_) => None,
        InertialStatus::NotUsed(NotUsed::NoEstimate) => {
            Some("there is no estimate of the flight to take it into".to_owned())
        }
        InertialStatus::NotUsed(NotUsed::Gyro(why)) => Some(gyro_left_out(why)),
        InertialStatus::NotAligned(_) | InertialStatus::NotRead(_) => why_not_aligned(status),
    }
}

/// Why a sensor does not lie on the flight, as a clause; `None` for one that does.
pub fn why_not_aligned(status: &InertialStatus) -> Option<String> {
    match status {
        InertialStatus::Used(_) | InertialStatus::NotUsed(_) => None,
        InertialStatus::NotAligned(why) => Some(not_aligned(why)),
        InertialStatus::NotRead(why) => Some(why.to_string()),
    }
}

/// Why the gyro has no part in the estimate, as a clause.
pub fn gyro_left_out(why: &GyroEstimateError) -> String {
    match why {
        GyroEstimateError::NoOverlap => "the gyro's turns do not lie within this flight".to_owned(),
        GyroEstimateError::Estimate(error) => super::wind::no_estimate(error),
    }
}

/// What became of a file given beside a log, as a clause.
pub fn file_not_used(file: &FileNotUsed) -> String {
    match file {
        FileNotUsed::Told(problem) => problem.message.clone(),
        FileNotUsed::NotAligned(why) => not_aligned(why),
    }
}

/// Why a sensor cannot be laid on the flight, as a clause.
pub fn not_aligned(why: &NotAligned) -> String {
    match why {
        NotAligned::GyroUnit { fastest_rad_s, limit_rad_s } => {
            let (fastest, limit) = beside_limit(*fastest_rad_s, *limit_rad_s, 0);
            format!(
                "the gyro reads up to {fastest} rad/s where such sensors measure {limit} rad/s at the most: is its unit \
                 deg/s (a factor 57.3)?"
            )
        }
        NotAligned::Align(error) => match offset_unknown(error) {
            Some(why) => format!("the clock offset is unknown: {why}"),
            None => unusable(error),
        },
    }
}

/// Why the clock offset cannot be told; `None` where something else is missing.
fn offset_unknown(error: &AlignError) -> Option<String> {
    Some(match *error {
        AlignError::TooLittleTurning { turning_rad_s, std_u_rad_s, .. } => format!(
            "the flight does not turn enough (turn rate varies by {} °/s, known to {} °/s)",
            fixed(turning_rad_s.to_degrees(), 1),
            fixed(std_u_rad_s.to_degrees(), 1)
        ),
        AlignError::NothingInCommon => "gyro and flight share too little time, or one of them does not turn".to_owned(),
        AlignError::CorrelationOfChance { correlation, limit } => {
            let (correlation, _) = beside_limit(correlation, limit, 2);
            format!("the best correlation of gyro and flight is {correlation}, which chance can give")
        }
        AlignError::AnotherOffset { rival, limit } => {
            let (percent, _) = beside_limit(100.0 * rival, 100.0 * limit, 0);
            format!("another offset fits {percent} % as well; the flight repeats itself")
        }
        AlignError::TooLittleShared => "gyro and flight share too little time".to_owned(),
        AlignError::OffsetUncertain { std_u_s, correlation, .. } => format!(
            "its uncertainty is {} s and the turn rates correlate by {}",
            fixed(std_u_s, 1),
            fixed(correlation, 2)
        ),
        AlignError::NotThisGyro { factor, limit } => {
            let (factor, _) = beside_limit(factor, limit, 2);
            format!("the gyro turns {factor} times as much as the flight, which no calibration error explains")
        }
        AlignError::NoGyro
        | AlignError::DeadGyroAxis
        | AlignError::Down(_)
        | AlignError::NoOverlap { .. }
        | AlignError::GyroUnit { .. } => return None,
    })
}

/// What makes the sensor unusable; for the rest that the clock offset is unknown.
fn unusable(error: &AlignError) -> String {
    match *error {
        AlignError::NoGyro => "the inertial file has no usable gyro: there is none".to_owned(),
        AlignError::DeadGyroAxis => "the inertial file has no usable gyro: one of its axes is dead".to_owned(),
        AlignError::Down(DownError::NoAccelerometer) => {
            "there is no usable accelerometer, so nothing tells which way is down".to_owned()
        }
        AlignError::Down(DownError::TooShort { blocks, .. }) => {
            format!("the accelerometer has only {blocks} usable periods of three seconds in the flight")
        }
        AlignError::Down(DownError::Loose { spread_deg, limit_deg }) => format!(
            "the sensor points another way by typically {}° from one moment to the next: it does not sit firmly",
            beside_limit(spread_deg, limit_deg, 0).0
        ),
        AlignError::NoOverlap { apart_s } => {
            format!("the inertial data does not overlap the flight: {}", apart::words(apart_s))
        }
        AlignError::GyroUnit { factor } => {
            let (known, advice) = if factor > 1.0 {
                ("57.3", "it seems to be deg/s, read as rad/s")
            } else {
                ("1/57.3", "it seems to be rad/s, read as deg/s")
            };
            format!(
                "the turns of the gyro are {} times those of the flight, about {known}: is the unit of the gyro named \
                 wrongly ({advice})?",
                fixed(factor, 3)
            )
        }
        AlignError::TooLittleTurning { .. }
        | AlignError::NothingInCommon
        | AlignError::CorrelationOfChance { .. }
        | AlignError::AnotherOffset { .. }
        | AlignError::TooLittleShared
        | AlignError::OffsetUncertain { .. }
        | AlignError::NotThisGyro { .. } => "the clock offset is unknown".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reason_and_its_figure_are_said() {
        for (error, said) in [
            (AlignError::GyroUnit { factor: 57.31 }, "57.310 times those of the flight, about 57.3"),
            (AlignError::GyroUnit { factor: 0.0174 }, "it seems to be rad/s, read as deg/s"),
            (AlignError::NoOverlap { apart_s: 2_677_457.0 }, "31 days away by its own clock; is it from another day?"),
            (AlignError::AnotherOffset { rival: 0.8504, limit: 0.85 }, "unknown: another offset fits 86 % as well"),
            (AlignError::CorrelationOfChance { correlation: 0.4999, limit: 0.5 }, "flight is 0.49, which chance"),
        ] {
            let words = not_aligned(&NotAligned::Align(error));
            assert!(words.contains(said), "{words}");
        }
    }
}
