//! Why a compass is left out, in words.

use crate::{beside_limit, fixed};
use driftless_analysis::CompassDoubt;

/// All of it, as clauses.
pub fn compass_doubts(doubts: &[CompassDoubt]) -> String {
    doubts.iter().map(compass_doubt).collect::<Vec<_>>().join("; ")
}

/// One thing, as a clause with its figures.
pub fn compass_doubt(doubt: &CompassDoubt) -> String {
    match doubt {
        CompassDoubt::SensorsInstead => "inertial sensors beside the log took its place".to_owned(),
        CompassDoubt::EarthFieldUnknown { why: None } => {
            "the Earth's field of that date is not known, so nothing tests the compass".to_owned()
        }
        CompassDoubt::EarthFieldUnknown { why: Some(why) } => format!("its declination is not known: {why}"),
        CompassDoubt::Strength { found_ut, earth_ut } => {
            format!("the field is {} µT, the Earth's is {} µT", fixed(*found_ut, 0), fixed(*earth_ut, 0))
        }
        CompassDoubt::LevelStrength { found_ut, earth_ut } => {
            format!(
                "the level part of the field is {} µT, the Earth's is {} µT",
                fixed(*found_ut, 0),
                fixed(*earth_ut, 0)
            )
        }
        CompassDoubt::Dip { found_deg, earth_deg } => {
            format!("the field dips {}°, the Earth's {}°", fixed(*found_deg, 0), fixed(*earth_deg, 0))
        }
        CompassDoubt::Declination { found_deg, earth_deg } => format!(
            "compass north is {}° from true north on this flight, the declination is {}°",
            fixed(*found_deg, 0),
            fixed(*earth_deg, 0)
        ),
        CompassDoubt::Spread { spread_deg, limit_deg } => {
            let (spread, _) = beside_limit(*spread_deg, *limit_deg, 0);
            format!("its headings differ from the flight's by typically {spread}°")
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
        CompassDoubt::EstimateFailed { why } => why.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
