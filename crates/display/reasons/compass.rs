//! Why a compass is left out, in words.

use crate::{beside_limit, fixed};
use driftless_analysis::{CalibrationDoubt, CompassDoubt, CompassError, CompassEstimateError, EarthError};

/// All of it, as clauses.
pub fn compass_doubts(doubts: &[CompassDoubt]) -> String {
    doubts.iter().map(compass_doubt).collect::<Vec<_>>().join("; ")
}

/// One thing, as a clause with its figures.
pub fn compass_doubt(doubt: &CompassDoubt) -> String {
    match doubt {
        CompassDoubt::SensorsInstead => "inertial sensors beside the log took its place".to_owned(),
        CompassDoubt::Calibration(doubt) => calibration_doubt(doubt),
        CompassDoubt::DeclinationUnknown(EarthError::Year { year }) => {
            format!("its declination is not known: the World Magnetic Model at hand does not cover the year {year}")
        }
        CompassDoubt::Offset { offset_deg, limit_deg } => {
            let (offset, limit) = beside_limit(*offset_deg, *limit_deg, 0);
            format!(
                "it shows {offset}° from the estimated heading, declination taken off; {limit}° is the most that is taken"
            )
        }
        CompassDoubt::Scatter { scatter_deg, limit_deg } => {
            let (scatter, limit) = beside_limit(*scatter_deg, *limit_deg, 0);
            format!("it scatters by {scatter}° about the estimated heading; {limit}° is the most that is taken")
        }
        CompassDoubt::FewHeadings { flown_deg, .. } => {
            format!(
                "the flight points only within {}° of headings, too few to tell its deviation",
                fixed(*flown_deg, 0)
            )
        }
        CompassDoubt::Deviation { coefficient, found_deg, expected_deg } => format!(
            "coefficient {coefficient} of its deviation is {}° where {}° were to be expected",
            fixed(*found_deg, 0),
            fixed(*expected_deg, 0)
        ),
        CompassDoubt::Heeling { per_bank, limit } => {
            format!("it is off by {}° for every degree of bank", beside_limit(*per_bank, *limit, 1).0)
        }
        CompassDoubt::Wander { wander_deg } => {
            format!("its headings wander by {}° beyond any steady deviation", fixed(*wander_deg, 0))
        }
        CompassDoubt::DeviationJumped { at_s, sigmas, limit } => format!(
            "its deviation changed in flight, most of all {} s after the first fix ({} standard deviations)",
            fixed(*at_s, 0),
            beside_limit(*sigmas, *limit, 0).0
        ),
        CompassDoubt::TurnMoved { sigmas, limit } => {
            format!("with it a turn changes by {} times its uncertainty without", beside_limit(*sigmas, *limit, 1).0)
        }
        CompassDoubt::WindMoved { sigmas, limit } => {
            format!("with it the wind changes by {} times its uncertainty without", beside_limit(*sigmas, *limit, 1).0)
        }
        CompassDoubt::EstimateFailed(CompassEstimateError::NoOverlap) => {
            "the compass headings do not lie within this flight".to_owned()
        }
        CompassDoubt::EstimateFailed(CompassEstimateError::Gyro(why)) => super::gyro_left_out(why),
        CompassDoubt::EstimateFailed(CompassEstimateError::Estimate(why)) => super::wind::no_estimate(why),
    }
}

/// What speaks against a calibration, as a clause with its figures.
fn calibration_doubt(doubt: &CalibrationDoubt) -> String {
    match doubt {
        CalibrationDoubt::EarthFieldUnknown => {
            "the Earth's field of that date is not known, so nothing tests the compass".to_owned()
        }
        CalibrationDoubt::Strength { found_ut, earth_ut } => {
            format!("the field is {} µT, the Earth's is {} µT", fixed(*found_ut, 0), fixed(*earth_ut, 0))
        }
        CalibrationDoubt::LevelStrength { found_ut, earth_ut } => {
            format!(
                "the level part of the field is {} µT, the Earth's is {} µT",
                fixed(*found_ut, 0),
                fixed(*earth_ut, 0)
            )
        }
        CalibrationDoubt::Dip { found_deg, earth_deg } => {
            format!("the field dips {}°, the Earth's {}°", fixed(*found_deg, 0), fixed(*earth_deg, 0))
        }
        CalibrationDoubt::Declination { found_deg, earth_deg } => format!(
            "compass north is {}° from true north on this flight, the declination is {}°",
            fixed(*found_deg, 0),
            fixed(*earth_deg, 0)
        ),
        CalibrationDoubt::Spread { spread_deg, limit_deg } => {
            let (spread, _) = beside_limit(*spread_deg, *limit_deg, 0);
            format!("its headings differ from the flight's by typically {spread}°")
        }
    }
}

/// Why a magnetometer could not be made a compass, as a clause.
pub fn compass_not_calibrated(why: &CompassError) -> String {
    match why {
        CompassError::None => "the log has no usable magnetometer".to_owned(),
        CompassError::NoTurns { covered_deg } => format!(
            "the flight points only within {}° of headings; hard iron needs most of a circle",
            fixed(*covered_deg, 0)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_analysis::{EstimateError, GyroEstimateError};

    #[test]
    fn regression_a_compass_off_by_little_more_than_the_limit_says_so() {
        let offset = CompassDoubt::Offset { offset_deg: -10.2, limit_deg: 10.0 };
        let scatter = CompassDoubt::Scatter { scatter_deg: 8.3, limit_deg: 8.0 };
        assert_eq!(
            compass_doubts(&[offset, scatter]),
            "it shows −11° from the estimated heading, declination taken off; 10° is the most that is taken; it scatters \
             by 9° about the estimated heading; 8° is the most that is taken"
        );
    }

    /// What an estimate fails for is said in the same words whichever sensor it was made with.
    #[test]
    fn a_failed_estimate_is_said_alike_of_flight_gyro_and_compass() {
        let of_flight = crate::reasons::wind::no_estimate(&EstimateError::Diverged);
        let of_gyro = GyroEstimateError::Estimate(EstimateError::Diverged);
        assert_eq!(crate::reasons::gyro_left_out(&of_gyro), of_flight);
        for why in [CompassEstimateError::Estimate(EstimateError::Diverged), CompassEstimateError::Gyro(of_gyro)] {
            assert_eq!(compass_doubt(&CompassDoubt::EstimateFailed(why)), of_flight);
        }
    }
}
